//! What is told of the oil circuit, and the circuit that fits it.

use super::told::{Places, Reading, by_spring, flat, more, rise, slope, sound_of, table};
use super::{BAR, ENOUGH};
use crate::fitted::{Fit, fit};
use crate::given::Given;
use crate::job::Refused;
use crate::jobs::oils;
use physics::oil::Oil;
use physics::oil_pressure::OilPressure;

/// How far a used engine may be from its maker's figures, as a logarithm [1]; from memory.
const USED: f64 = 0.7;
/// Less than this everywhere is no pressure [Pa].
const NONE: f64 = 0.1 * BAR;
/// What a sound engine makes warm at idle, over the least that is allowed [1]; common practice, no source.
const USUAL: f64 = 1.4;
/// A limit known so well, as a logarithm, counts as found [1].
const FOUND: f64 = 0.25;
/// Oil of a cold start [K].
const COLD: f64 = physics::constants::ZERO_CELSIUS + 20.0;

/// The circuit as found.
pub struct Circuit {
    pub oil: Oil,
    pub wanted: f64,
    pub rated: f64,
    pub idle: f64,
    pub least_idle: f64,
    pub warm_at: f64,
    /// Viscosity when warm and when cold [Pa s].
    pub warm: f64,
    pub cold: f64,
    pub places: Places,
    pub has_table: bool,
    pub place_now: f64,
    pub readings: Vec<Reading>,
    /// As it is set now.
    pub now: OilPressure,
    /// Pressure for each turn or metre [Pa], where something tells it.
    pub slope: Option<f64>,
    /// The same from spring, seat and thread alone.
    pub by_spring: Option<f64>,
    /// The table is flat.
    pub flat: bool,
    /// Place beyond which nothing rises, where the table reaches it.
    pub kink: Option<f64>,
    /// Pressure without a valve of a sound engine, warm at rated speed, where the plant tells it [Pa].
    pub sound: Option<f64>,
    /// Largest miss of the fit: the reading and predicted less read [Pa].
    pub worst: Option<(Reading, f64)>,
    fit: Fit<3>,
}

impl Circuit {
    pub fn read(given: &Given) -> Result<Circuit, Refused> {
        let oil = oils::told(given)?
            .ok_or_else(|| Refused::of("oil-grade", "no oil is told", "Tell its grade, such as 15W-40."))?;
        let (rated, idle) = (given.value("rated-speed")?, given.value("idle-speed")?);
        if idle >= rated {
            return Err(Refused::of("idle-speed", "she idles no slower than rated", "Look at both speeds."));
        }
        let warm_at = given.value("warm-oil")?;
        let (warm, wanted) = (oil.viscosity(warm_at), given.value("wanted-pressure")?);
        let least_idle = given.value("least-idle")?;
        if least_idle > wanted {
            let advice = "Idle asks for less than rated speed does; look at both.";
            return Err(Refused::of("least-idle", "it is more than is wanted at rated speed", advice));
        }
        let (places, table, place_now) = table(given, &oil, rated, warm_at)?;
        let has_table = table.len() > 1;
        let mut readings = table;
        readings.extend(more(given, &oil)?);
        if readings.is_empty() {
            return Err(Refused::together(
                "No pressure is told.",
                "Tell turns (or shims) and pressures, or pressure-now, or at-speeds with at-temperatures and at-pressures.",
            ));
        }
        let rest = given.maybe("gauge-at-rest").unwrap_or(0.0);
        for reading in &mut readings {
            reading.pressure -= rest;
        }
        if readings.iter().any(|reading| reading.pressure < -0.2 * BAR) {
            let advice = "Look at both, or at a gauge that has broken.";
            return Err(Refused::of("gauge-at-rest", "the gauge shows less running than stopped", advice));
        }
        if readings.iter().all(|reading| reading.pressure < NONE) {
            let why = "there is no oil pressure at all";
            let advice =
                "Stop her at once: dipstick, pick-up, pump and gauge come before any setting. Do not run her without.";
            return Err(Refused::together(why, advice));
        }
        let by_spring = by_spring(given, places);
        let flat = has_table && flat(&readings);
        let first = slope(&readings).or(by_spring);
        let sound = sound_of(given, rated, oil.density(warm_at), warm);
        let rise = rise(given, wanted, rated, oil.density(warm_at))?;
        let base = OilPressure { speed: rated, viscosity: warm, free: wanted, cracks: wanted, rise };
        let (fit, now) =
            found(&readings, base, (sound, USUAL * least_idle * rated / idle), first.unwrap_or(0.0), by_spring)?;
        let slope = Some(fit.at[1]).filter(|slope| !flat && has_table && *slope > 0.0).or(by_spring);
        let mut circuit = Circuit {
            oil,
            wanted,
            rated,
            idle,
            least_idle,
            warm_at,
            warm,
            cold: oil.viscosity(COLD),
            places,
            has_table,
            place_now,
            readings,
            now,
            slope,
            by_spring,
            flat,
            kink: None,
            sound,
            worst: None,
            fit,
        };
        circuit.kink = circuit.kink();
        let miss = |reading: &Reading| (*reading, circuit.predicted(reading) - reading.pressure);
        circuit.worst = circuit.readings.iter().map(miss).max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        Ok(circuit)
    }

    /// Pressure the circuit as found gives where a reading was taken [Pa].
    pub fn predicted(&self, reading: &Reading) -> f64 {
        predict(&self.now, &self.fit.at, reading)
    }

    /// Standard uncertainty of the logarithm of the pressure without a valve.
    pub fn free_sigma(&self) -> f64 {
        self.fit.sigma(&[0.0, 0.0, 1.0])
    }

    /// The part of it that the measurements do not bring.
    pub fn free_belief(&self) -> f64 {
        self.fit.of_belief(&[0.0, 0.0, 1.0])
    }

    /// The readings tell how much the bearings take.
    pub fn free_known(&self) -> bool {
        self.free_sigma() < FOUND
    }

    /// Standard uncertainty of a pressure [Pa].
    pub fn sigma_at(&self, speed: f64, viscosity: f64) -> f64 {
        self.fit.sigma(&self.slopes_at(speed, viscosity))
    }

    /// The part of it that the measurements do not bring [Pa].
    pub fn belief_at(&self, speed: f64, viscosity: f64) -> f64 {
        self.fit.of_belief(&self.slopes_at(speed, viscosity))
    }

    /// The same of how far it is to be moved.
    pub fn move_doubt(&self, by: f64, slope: f64) -> f64 {
        let told = if self.flat || !self.has_table { 0.0 } else { -by / (slope * slope) };
        let per_free = (self.cracks_for(1e-3) - self.cracks_for(-1e-3)) / 2e-3;
        self.fit.of_belief(&[-1.0 / slope, told, per_free / slope])
    }

    /// The same of the kink.
    pub fn kink_belief(&self) -> f64 {
        let Some(slope) = self.slope else { return 0.0 };
        let reach = self.kink.unwrap_or(self.place_now) - self.place_now;
        let free = self.now.cracks + slope * reach;
        self.fit.of_belief(&[-1.0 / slope, -reach / slope, free / slope])
    }

    /// Cracking pressure for what is wanted with so much more pressure without a valve, as a logarithm [Pa].
    fn cracks_for(&self, more: f64) -> f64 {
        let moved = OilPressure { free: self.now.free * more.exp(), ..self.now };
        moved.cracking_for(self.wanted, self.rated, self.warm).unwrap_or(self.wanted)
    }

    fn slopes_at(&self, speed: f64, viscosity: f64) -> [f64; 3] {
        let at = |cracks: f64, free: f64| {
            OilPressure { cracks: self.now.cracks + cracks, free: self.now.free * free.exp(), ..self.now }
                .at(speed, viscosity)
        };
        [(at(500.0, 0.0) - at(-500.0, 0.0)) / 1e3, 0.0, (at(0.0, 1e-3) - at(0.0, -1e-3)) / 2e-3]
    }

    /// Where the valve begins to hold all shut at the speed and temperature of the table, if the table goes that far.
    fn kink(&self) -> Option<f64> {
        let slope = self.slope.filter(|_| self.has_table && !self.flat)?;
        let row = self.readings.first()?;
        let kink = (self.now.without_valve(row.speed, row.viscosity) - self.now.cracks) / slope;
        let last = self.readings.iter().map(|reading| reading.off).fold(f64::MIN, f64::max);
        (kink < last && self.free_known()).then_some(self.place_now + kink)
    }

    /// Pressure with oil more than twice as thick over that of the table, at no lower a speed, if it was read [1].
    pub fn cold_share(&self) -> Option<f64> {
        let row = self.readings.first()?;
        let cold = |reading: &&Reading| {
            reading.off == 0.0 && reading.viscosity > 2.0 * row.viscosity && reading.speed > 0.8 * row.speed
        };
        self.readings.iter().filter(cold).map(|reading| reading.pressure / row.pressure).reduce(f64::max)
    }

    /// What was read warm near a speed, if it was [Pa].
    pub fn read_near(&self, speed: f64) -> Option<f64> {
        let near = |reading: &&Reading| {
            reading.off == 0.0
                && (reading.speed / speed - 1.0).abs() < 0.12
                && (reading.temperature - self.warm_at).abs() < 10.0
        };
        self.readings.iter().filter(near).map(|reading| reading.pressure).next_back()
    }
}

fn predict(base: &OilPressure, at: &[f64; 3], reading: &Reading) -> f64 {
    let circuit = OilPressure { cracks: at[0] + at[1] * reading.off, free: at[2].exp(), ..*base };
    circuit.at(reading.speed, reading.viscosity)
}

/// The setting, the slope and the bearings' share that fit all that was read.
fn found(
    readings: &[Reading],
    base: OilPressure,
    (sound, usual): (Option<f64>, f64),
    slope: f64,
    by_spring: Option<f64>,
) -> Result<(Fit<3>, OilPressure), Refused> {
    // No reading can be above what the pump drives through the bearings.
    let scaled =
        |reading: &Reading| reading.pressure * (base.speed / reading.speed) * (base.viscosity / reading.viscosity);
    let bound = readings.iter().map(scaled).fold(0.05 * BAR, f64::max);
    let now = readings.iter().filter(|reading| reading.off == 0.0).map(|reading| reading.pressure).fold(0.0, f64::max);
    let free = sound.map_or((usual.max(1.5 * bound), 1.0), |sound| (sound, USED));
    let reach = readings.iter().map(|reading| reading.off.abs()).fold(0.0, f64::max);
    let loose = if reach > 0.0 { slope + 0.1 * BAR / reach } else { slope.max(BAR) };
    let believed = [
        (now.max(0.2 * BAR), 0.5 * now + 0.5 * BAR),
        by_spring.map_or((slope, loose), |slope| (slope, 0.15 * slope)),
        (free.0.ln(), free.1),
    ];
    let misses = |at: &[f64; 3], each: &mut Vec<f64>| {
        each.extend(readings.iter().map(|reading| (predict(&base, at, reading) - reading.pressure) / reading.sigma));
    };
    // Where the bearings take all before the valve opens, the search finds that only from there: a spring that rises faster than what is
    // read, from the line of the rows below, against a pressure that nothing passes.
    let line = readings.iter().map(|reading| reading.pressure - slope * reading.off).fold(now, f64::max);
    let steeper = 1.25 * slope;
    let mut starts = vec![(now, believed[1].0, 1.05), (now, believed[1].0, 2.0), (now, steeper, 1.0)];
    if line > now + ENOUGH {
        starts.push((line, steeper, 1.0));
    }
    let start = |(now, slope, times): (f64, f64, f64)| [now - 0.5 * base.rise, slope, (times * bound).ln()];
    let best = starts.into_iter().filter_map(|from| fit(believed, start(from), misses));
    let best = best.min_by(|a, b| a.misses.total_cmp(&b.misses));
    let best = best.ok_or_else(|| {
        Refused::together("No circuit fits these readings.", "Look at the pressures and the speeds they were read at.")
    })?;
    Ok((best, OilPressure { cracks: best.at[0], free: best.at[2].exp(), ..base }))
}
