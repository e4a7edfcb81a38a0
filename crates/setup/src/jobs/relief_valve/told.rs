//! What is told of the oil, the valve, and the pressures read.

use super::{BAR, READ};
use crate::given::Given;
use crate::job::Refused;
use physics::oil::Oil;
use physics::oil_pressure::{rise_for, sound};
use physics::pumps::ReliefValve;
use std::f64::consts::PI;

/// Most rows of a table.
const MOST: usize = 20;
/// Pressures and viscosities at which the plant's figures stand [Pa], [Pa s].
const SLIP_AT: (f64, f64) = (3e5, 0.012);
const BEARINGS_AT: (f64, f64) = (3.5e5, 0.012);

/// What is moved.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Places {
    Turns,
    Shims,
}

/// One reading.
#[derive(Copy, Clone, Debug)]
pub struct Reading {
    /// How far from where the valve stands now: turns, or [m].
    pub off: f64,
    pub speed: f64,
    pub temperature: f64,
    pub viscosity: f64,
    /// As read less what the gauge shows at rest.
    pub pressure: f64,
    pub sigma: f64,
}

type Table = (Places, Vec<Reading>, f64);

/// The table of turns or shims against pressure, or the one pressure.
pub fn table(given: &Given, oil: &Oil, rated: f64, warm_at: f64) -> Result<Table, Refused> {
    let (turns, shims) = (given.list("turns"), given.list("shims"));
    let (places, key, at) = match (turns.is_empty(), shims.is_empty()) {
        (false, false) => {
            return Err(Refused::together("Turns and shims are both told.", "Tell the one that was moved."));
        }
        (true, false) => (Places::Shims, "shims", shims),
        (false, true) => (Places::Turns, "turns", turns),
        (true, true) if given.maybe("screw-pitch").is_none() => (Places::Shims, "shims", Vec::new()),
        (true, true) => (Places::Turns, "turns", Vec::new()),
    };
    let pressures = given.values("pressures");
    if at.len() != pressures.len() {
        let why = format!("there are {} of them and {} pressures", at.len(), pressures.len());
        return Err(Refused::of(key, why, "Tell one pressure for each, in the same order."));
    }
    few(key, at.len())?;
    let speed = given.maybe("table-speed").unwrap_or(rated);
    let temperature = given.maybe("table-temperature").unwrap_or(warm_at);
    let now = at.last().copied().unwrap_or(0.0);
    let of = |off: f64, (pressure, sigma): (f64, f64)| Reading {
        off,
        speed,
        temperature,
        viscosity: oil.viscosity(temperature),
        pressure,
        sigma: sigma.max(0.4 * READ),
    };
    let mut rows: Vec<Reading> = at.iter().zip(pressures).map(|(at, read)| of(at - now, *read)).collect();
    let told_now = given.values("pressure-now").iter().map(|read| of(0.0, *read));
    for (told, last) in told_now.clone().zip(rows.last()) {
        if (told.pressure - last.pressure).abs() > FAR * told.sigma.hypot(last.sigma) {
            let why = format!(
                "the table ends at {:.2} bar, where the valve is taken to stand, and this is {:.2} bar",
                last.pressure / BAR,
                told.pressure / BAR
            );
            let advice =
                "If it was turned back, tell that as a further row, such as turns=0, 1, 2, 0 with a pressure for each.";
            return Err(Refused::of("pressure-now", why, advice));
        }
    }
    rows.extend(told_now);
    Ok((places, rows, now))
}

/// Further readings as it stands now.
pub fn more(given: &Given, oil: &Oil) -> Result<Vec<Reading>, Refused> {
    let (speeds, temperatures) = (given.list("at-speeds"), given.list("at-temperatures"));
    let pressures = given.values("at-pressures");
    if speeds.len() != pressures.len() || speeds.len() != temperatures.len() {
        let why = format!(
            "There are {} speeds, {} temperatures and {} pressures.",
            speeds.len(),
            temperatures.len(),
            pressures.len()
        );
        let advice = "Tell as many at-speeds, at-temperatures and at-pressures, in the same order.";
        return Err(Refused::together(why, advice));
    }
    few("at-speeds", speeds.len())?;
    let each = speeds.iter().zip(temperatures).zip(pressures);
    let of = |((speed, temperature), (pressure, sigma)): ((&f64, f64), &(f64, f64))| Reading {
        off: 0.0,
        speed: *speed,
        temperature,
        viscosity: oil.viscosity(temperature),
        pressure: *pressure,
        sigma: sigma.max(0.4 * READ),
    };
    Ok(each.map(of).collect())
}

fn few(key: &'static str, count: usize) -> Result<(), Refused> {
    if count > MOST {
        let why = format!("{count} rows are more than anyone reads at a valve");
        return Err(Refused::of(key, why, format!("At most {MOST}: keep those that differ most.")));
    }
    Ok(())
}

/// Pressure for each turn, or for each metre of shim [Pa].
pub fn by_spring(given: &Given, places: Places) -> Option<f64> {
    let (rate, seat) = (given.maybe("relief-spring-rate")?, given.maybe("relief-seat")?);
    let valve = ReliefValve::on_round_seat(seat, rate, 0.0, 1.0, 1.0);
    match places {
        Places::Shims => Some(valve.pressure_at(1.0)),
        Places::Turns => Some(valve.pressure_at(given.maybe("screw-pitch")?)),
    }
}

/// The steepest step of the table [Pa a turn, or a metre].
pub fn slope(rows: &[Reading]) -> Option<f64> {
    let steepest = rows.iter().enumerate().flat_map(|(place, a)| {
        rows[place + 1..]
            .iter()
            .filter(|b| b.off != a.off && b.speed == a.speed)
            .map(|b| (b.pressure - a.pressure) / (b.off - a.off))
    });
    steepest.filter(|slope| *slope > 0.0).reduce(f64::max)
}

/// Readings so many times their standard uncertainty apart are not the same [1].
const FAR: f64 = 3.0;

/// From one end of the table to the other nothing changed, nor between.
pub fn flat(rows: &[Reading]) -> bool {
    let of = |row: Option<&Reading>| row.map(|row| (row.off, row.pressure, row.sigma)).unwrap_or_default();
    let table = || rows.iter().filter(|row| row.speed == rows[0].speed && row.viscosity == rows[0].viscosity);
    let low = of(table().min_by(|a, b| a.off.total_cmp(&b.off)));
    let high = of(table().max_by(|a, b| a.off.total_cmp(&b.off)));
    let same = |row: &Reading| (row.pressure - low.1).abs() < FAR * row.sigma.hypot(low.2);
    high.0 > low.0 && high.1 - low.1 < 1.5 * low.2.hypot(high.2) && table().all(same)
}

/// Pressure without a valve of a sound engine, from the plant's figures [Pa].
pub fn sound_of(given: &Given, rated: f64, density: f64, warm: f64) -> Option<f64> {
    let (displacement, gallery) = (given.maybe("pump-displacement")?, given.maybe("gallery-flow")?);
    let speed = rated * given.maybe("pump-drive")?;
    let slip = (given.maybe("pump-slip")?, speed, SLIP_AT);
    Some(sound((displacement, speed), slip, (gallery / density, BEARINGS_AT), warm))
}

/// Pressure over which the valve opens: by its spring and seat where the flow is known too, else as told [Pa].
pub fn rise(given: &Given, wanted: f64, rated: f64, density: f64) -> Result<f64, Refused> {
    let flow = given.maybe("pump-displacement").map(|displacement| displacement * rated);
    match (given.maybe("relief-spring-rate"), given.maybe("relief-seat"), flow) {
        (Some(rate), Some(seat), Some(flow)) => {
            let area = seat * seat * PI / 4.0;
            let valve = ReliefValve::on_round_seat(seat, rate, wanted * area / rate, 1.0, 0.62);
            Ok(rise_for(&valve, flow * given.value("pump-drive")?, density).clamp(0.01 * BAR, 20.0 * BAR))
        }
        _ => given.value("relief-rise"),
    }
}
