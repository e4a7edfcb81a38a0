//! The answer in words, tables and a drawing.

use super::circuit::Circuit;
use super::told::{Places, Reading};
use super::{BAR, ENOUGH, RPM, Verdict, bar, celsius, rpm};
use crate::chart::Chart;
use crate::given::Given;
use crate::sketch::{Hold, Look, Sketch};
use crate::worked::{Table, Worked};
use physics::constants::ZERO_CELSIUS as ZERO;
use physics::oil_pressure::OilPressure;

/// Temperatures of the map beside the warm one [K].
const COLD: f64 = ZERO + 20.0;
const COOL: f64 = ZERO + 50.0;
const HOTTER: f64 = 20.0;
/// A reading missed by more than this does not belong to such a circuit [Pa].
const MISSED: f64 = 0.3 * BAR;
/// A pressure more uncertain than this share of itself is not told by the readings [1].
pub const UNTOLD: f64 = 0.2;
/// A spring that does less than this share of what it should is held by something [1].
const HELD: f64 = 0.6;

pub fn says(circuit: &Circuit, verdict: Verdict, now: f64, idle: f64) -> String {
    let at = format!("at {} and {}", rpm(circuit.rated), celsius(circuit.warm_at));
    let wanted = bar(circuit.wanted);
    match verdict {
        Verdict::Limited => format!(
            "No spring will give {wanted} {at}: bearings and pump let all of it through at about {}. Leave the valve alone and find out why.",
            bar(circuit.now.free)
        ),
        Verdict::Idle => format!(
            "The valve is not what limits: turning it changed nothing, and {at} she makes about {}. Put it back where it stood and find out why, before it is turned any further.",
            bar(now)
        ),
        Verdict::First => format!(
            "Warm at idle she makes about {}, under the least allowed, {}. No spring mends that: gauge, oil and bearings come first, and the valve stays as it is.",
            bar(idle),
            bar(circuit.least_idle)
        ),
        Verdict::Right => format!("It is right as it stands: about {} {at}, wanted {wanted}.", bar(now)),
        Verdict::Move(by) => format!("{} for {wanted} {at}; now it is about {}.", moved(circuit.places, by), bar(now)),
        Verdict::Unscaled(by) => format!(
            "It must open {} {} for {wanted} {at}. How many turns or shims that is nothing here tells: read the pressure at two places of the screw, or tell the spring's rate and the seat.",
            bar(by.abs()),
            if by < 0.0 { "lower" } else { "higher" }
        ),
    }
}

fn moved(places: Places, by: f64) -> String {
    match (places, by < 0.0) {
        (Places::Turns, false) => format!("Turn the screw in by {by:.2} turns"),
        (Places::Turns, true) => format!("Turn the screw out by {:.2} turns", -by),
        (Places::Shims, false) => format!("Add {:.2} mm of shims under the spring", by * 1e3),
        (Places::Shims, true) => format!("Take {:.2} mm of shims out", -by * 1e3),
    }
}

pub fn flags(worked: &mut Worked, given: &Given, circuit: &Circuit, verdict: Verdict, after: &OilPressure) {
    if let Some((reading, miss)) = circuit.worst.filter(|(_, miss)| miss.abs() > MISSED) {
        worked.flags.push(format!(
            "The readings do not go together with pump, bearings and a free valve: {} at {} and {} is {} {} than they give. A valve that sticks, air drawn in, a screen that blocks or a slip of the pen does that.",
            bar(reading.pressure), rpm(reading.speed), celsius(reading.temperature), bar(miss.abs()),
            if miss > 0.0 { "lower" } else { "higher" }
        ));
    }
    if let Some((slow, fast)) = falls(&circuit.readings) {
        worked.flags.push(format!(
            "The pressure falls from {} to {} as she goes from {} to {}: air in the oil, a blocked pick-up screen or a filter does that, no setting.",
            bar(slow.pressure), bar(fast.pressure), rpm(slow.speed), rpm(fast.speed)
        ));
    }
    if let (Some(spring), Some(slope), true) = (circuit.by_spring, circuit.slope, circuit.has_table && !circuit.flat)
        && (slope < HELD * spring || slope > spring / HELD)
    {
        worked.flags.push(
            "The table and the spring do not agree by far: a plunger that sticks, another spring, or a pressure that acts on another face than the seat."
                .into(),
        );
    }
    if !circuit.free_known() && matches!(verdict, Verdict::Move(_) | Verdict::Unscaled(_)) {
        worked.flags.push(
            "Nothing read here tells how much the bearings take: if the pressure stops rising before it is there, stop turning. A reading warm at idle would tell."
                .into(),
        );
    }
    let then = after.at(circuit.rated, circuit.warm);
    if *after != circuit.now && then > circuit.wanted + ENOUGH {
        worked.flags.push(format!(
            "Even with a slack spring she would make {}: the valve is too small, or the way back is blocked.",
            bar(then)
        ));
    }
    let cold = after.at(circuit.rated, circuit.cold);
    match given.maybe("most-pressure") {
        Some(most) if cold > most => worked.flags.push(format!(
            "With cold oil it then makes {}, more than the {} allowed: set it lower, and do not race her cold.",
            bar(cold),
            bar(most)
        )),
        None => worked.flags.push(format!(
            "With oil of 20 °C it then makes about {} at {}. Hold that against what maker and filter allow; it was not told.",
            bar(cold),
            rpm(circuit.rated)
        )),
        _ => {}
    }
}

/// Two readings as warm as each other, of which the faster is lower.
fn falls(readings: &[Reading]) -> Option<(Reading, Reading)> {
    let now = || readings.iter().filter(|reading| reading.off == 0.0);
    let lower = |slow: &Reading, fast: &Reading| {
        fast.speed > 1.1 * slow.speed
            && (fast.temperature - slow.temperature).abs() < 5.0
            && slow.pressure - fast.pressure > 2.0 * ENOUGH
    };
    now().find_map(|slow| now().find(|fast| lower(slow, fast)).map(|fast| (*slow, *fast)))
}

pub fn steps(worked: &mut Worked, circuit: &Circuit, verdict: Verdict) {
    worked.step(
        "Hold a second gauge of known truth against hers at the same tap, and read hers with the engine stopped.",
    );
    worked.step("Look at the dipstick, smell the oil for fuel, and make sure of its grade and of its temperature when she is read.");
    if matches!(verdict, Verdict::Limited | Verdict::Idle | Verdict::First) {
        worked.step("Read before and after the filter, warm at speed; renew it if it takes more than 0.7 bar.");
        worked.step_with_care(
            "Engine stopped and cool, take the valve out: seat, plunger and spring clean, free and whole. Put it back with the shims it had.",
            "The spring pushes the plug out: hold it over the last thread. Hot oil scalds and burns on the manifold.",
        );
        worked.step("Have a sample of the oil looked at for fuel and for bearing metal.");
        worked.step_with_care(
            "If gauge, oil, filter and valve are sound, have pump and bearings measured before she works hard again.",
            "Never raise by the spring what bearings have lost: it hides the wear until one seizes.",
        );
        return;
    }
    match verdict {
        Verdict::Move(by) => {
            let first = if circuit.free_known() { "" } else { " Go half of it first, and read again." };
            worked.step_with_care(
                format!(
                    "Engine stopped and cool: {}. Count from where it stands, and lock it.{first}",
                    lower_first(&moved(circuit.places, by))
                ),
                "Hot oil under pressure scalds and burns on the manifold. Never beyond what the maker allows: cold oil then bursts the filter.",
            );
        }
        Verdict::Unscaled(_) => worked.step_with_care(
            "Engine stopped and cool: move it by half a turn or 0.5 mm, and read again warm at rated speed; two places tell how far.",
            "Hot oil under pressure scalds and burns on the manifold. Never beyond what the maker allows: cold oil then bursts the filter.",
        ),
        _ => worked.step_with_care(
            "Leave the valve as it is.",
            "Never beyond what the maker allows: cold oil then bursts the filter.",
        ),
    }
    worked.step("Start, see pressure within ten seconds, look for leaks; read cold at fast idle, then warm at rated speed and at idle.");
    worked.step("Write down what it was left at; tell left-pressure here to keep it.");
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

pub fn working(worked: &mut Worked, given: &Given, circuit: &Circuit, by: Option<f64>) {
    worked.working(
        "V n = p K / μ + valve(p)",
        format!(
            "warm, μ = {:.1} mPa s: without the valve {} at {}; the valve lifts at {} and is open by {} more",
            circuit.warm * 1e3,
            bar(circuit.now.free),
            rpm(circuit.rated),
            bar(circuit.now.cracks),
            bar(circuit.now.rise)
        ),
        "displacement [Esposito7], gaps and edges [White7], viscosity [D341]; fitted to all readings",
    );
    if let (Some(by), Some(slope)) = (by, circuit.slope) {
        let with = match circuit.places {
            Places::Turns => format!("{} / {} a turn = {:.2} turns", bar(by), bar(slope), by / slope),
            Places::Shims => format!("{} / {} a mm = {:.2} mm", bar(by), bar(slope * 1e-3), by / slope * 1e3),
        };
        worked.working("x = Δp / (dp/dx)", with, "the table's own slope, or the spring's");
    }
    if let (Some(spring), Some(rate), Some(seat)) =
        (circuit.by_spring, given.maybe("relief-spring-rate"), given.maybe("relief-seat"))
    {
        let (slope, of) = match circuit.places {
            Places::Turns => (bar(spring), "a turn"),
            Places::Shims => (bar(spring * 1e-3), "a mm"),
        };
        worked.working(
            "dp/dx = k / A",
            format!("{:.2} N/mm over a seat of {:.1} mm: {slope} {of}", rate * 1e-3, seat * 1e3),
            "balance of spring and pressure, [Esposito7] ex. 8.1",
        );
    }
}

/// Pressure over speed and temperature, now and then; and where the oil goes, where the plant tells how much there is.
pub fn map(worked: &mut Worked, given: &Given, circuit: &Circuit, after: &OilPressure) {
    let speeds: Vec<f64> =
        (0..4).map(|place| circuit.idle + (circuit.rated - circuit.idle) * f64::from(place) / 3.0).collect();
    let changed = *after != circuit.now;
    let told =
        |speed: f64, viscosity: f64| circuit.sigma_at(speed, viscosity) < UNTOLD * circuit.now.at(speed, viscosity);
    let cell = |speed: f64, temperature: f64| {
        let viscosity = circuit.oil.viscosity(temperature);
        let [now, then] = [&circuit.now, after].map(|of| of.at(speed, viscosity) / BAR);
        let text = if changed { format!("{now:.1} → {then:.1}") } else { format!("{now:.1}") };
        if told(speed, viscosity) { text } else { format!("({text})") }
    };
    let all = temperatures(circuit)
        .into_iter()
        .all(|temperature| speeds.iter().all(|speed| told(*speed, circuit.oil.viscosity(temperature))));
    let untold = if all { "" } else { "; in brackets what nothing read here tells" };
    let rows = temperatures(circuit).into_iter().map(|temperature| {
        let cells = speeds.iter().map(|speed| cell(*speed, temperature));
        std::iter::once(celsius(temperature)).chain(cells).collect()
    });
    worked.tables.push(Table {
        title: format!("{} [bar]{untold}", if changed { "Pressure, now and then" } else { "Pressure" }),
        heads: std::iter::once("oil at".into()).chain(speeds.iter().map(|speed| rpm(*speed))).collect(),
        rows: rows.collect(),
    });
    let Some(displacement) = given.maybe("pump-displacement") else { return };
    let pumped = displacement * circuit.rated * given.maybe("pump-drive").unwrap_or(1.0) * 60_000.0;
    let each = |name: &str, of: &OilPressure| {
        let through = pumped * of.at(circuit.rated, circuit.warm) / of.free;
        vec![name.to_string(), format!("{pumped:.0}"), format!("{through:.0}"), format!("{:.0}", pumped - through)]
    };
    let mut rows = vec![each("now", &circuit.now)];
    if changed {
        rows.push(each("then", after));
    }
    worked.tables.push(Table {
        title: format!("Where the oil goes at {} and {} [L/min]", rpm(circuit.rated), celsius(circuit.warm_at)),
        heads: ["", "pumped", "bearings and slip", "back through the valve"].map(Into::into).into(),
        rows,
    });
}

fn temperatures(circuit: &Circuit) -> [f64; 4] {
    [COLD, COOL, circuit.warm_at, circuit.warm_at + HOTTER]
}

pub fn sketch(circuit: &Circuit, after: &OilPressure) -> Sketch {
    let from = 0.7 * circuit.idle;
    let to = 1.1 * circuit.rated;
    let speeds: Vec<f64> = (0..=40).map(|place| from + (to - from) * f64::from(place) / 40.0).collect();
    let curve = |of: &OilPressure, temperature: f64| -> Vec<(f64, f64)> {
        let viscosity = circuit.oil.viscosity(temperature);
        speeds.iter().map(|speed| (*speed / RPM, of.at(*speed, viscosity) / BAR)).collect()
    };
    let read = circuit.readings.iter().map(|reading| reading.pressure / BAR);
    let top =
        read.chain([circuit.wanted / BAR, after.at(to, circuit.cold) / BAR, circuit.now.at(to, circuit.cold) / BAR]);
    let mut chart = Chart::new(
        "Oil pressure over speed for oil of four temperatures: as it stands dashed, as it will be firm and marked; rings are readings.",
        (0.0, to / RPM),
        (0.0, 1.08 * top.fold(0.5, f64::max)),
    );
    chart.upright("bar");
    chart.level("rpm");
    let changed = *after != circuit.now;
    let mut above = f64::MAX;
    for temperature in temperatures(circuit) {
        let warm = temperature == circuit.warm_at;
        if changed {
            chart.line(Look::Dashed, &curve(&circuit.now, temperature));
        }
        let then = curve(after, temperature);
        chart.line(if warm { Look::Marked } else { Look::Firm }, &then);
        let Some((speed, pressure)) = then.first().copied() else { continue };
        // One name under another; where two curves begin together the cooler has it.
        let (_, height) = chart.at(speed, pressure);
        if above - height > 3.5 {
            chart.letters((speed - 0.01 * to / RPM, pressure), Hold::End, celsius(temperature));
            above = height;
        }
    }
    chart.limit(Look::Thin, circuit.wanted / BAR, "wanted");
    let least = circuit.least_idle / BAR;
    chart.line(Look::Thin, &[(0.0, least), (circuit.idle / RPM, least)]);
    chart.letters((0.01 * to / RPM, least + 0.05), Hold::Start, "least");
    for reading in &circuit.readings {
        chart.ring(Look::Marked, (reading.speed / RPM, reading.pressure / BAR));
    }
    chart.sketch
}
