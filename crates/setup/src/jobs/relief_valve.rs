//! The oil relief valve: how far to turn or shim it, and whether it is the valve at all that wants it.

mod causes;
mod circuit;
mod shown;
mod told;

use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::sure::below;
use crate::worked::{Kept, Worked};
use circuit::Circuit;
use measure::quantity::Quantity::{
    GaugePressure, KinematicViscosity, Length, MassFlow, PressureDifference, Ratio, RotationalSpeed, SpringRate,
    Temperature, Volume,
};
use physics::constants::ZERO_CELSIUS as ZERO;
use std::f64::consts::TAU;
use told::Places;

const RPM: f64 = TAU / 60.0;
const BAR: f64 = 1e5;
/// Pressure that an oil gauge is read to [Pa].
const READ: f64 = 0.05 * BAR;
const SPEEDS: (f64, f64) = (50.0 * RPM, 6000.0 * RPM);
const OIL: (f64, f64) = (ZERO - 20.0, ZERO + 150.0);
const PRESSURES: (f64, f64) = (0.0, 20.0 * BAR);

pub const JOB: Job = Job {
    word: "relief-valve",
    title: "Oil relief valve",
    about: "How far to turn or shim the oil relief valve, and whether it is the valve that wants it.",
    group: Group::Adjust,
    kinds: &["relief-valve", "oil-pump", "diesel"],
    task: Some("pressure"),
    asks: &[
        Ask::one(
            "wanted-pressure",
            "Oil pressure wanted, warm at rated speed, as the maker tells",
            GaugePressure,
            (0.2 * BAR, 15.0 * BAR),
        )
        .like("3.5 bar"),
        Ask::one("rated-speed", "Rated speed of the engine", RotationalSpeed, SPEEDS)
            .like("1800 rpm")
            .of_plant(&[("diesel", "rated_speed")]),
        Ask::one("idle-speed", "Speed at which she idles", RotationalSpeed, SPEEDS)
            .usual("650 rpm", "common practice, no source")
            .like("650 rpm"),
        Ask::one("least-idle", "Least pressure allowed, warm at idle", GaugePressure, PRESSURES)
            .usual("1 bar", "[Trade] 2.3 pressures")
            .like("1 bar"),
        Ask::one("most-pressure", "Greatest pressure allowed with cold oil", GaugePressure, PRESSURES)
            .may()
            .like("6 bar"),
        Ask::one("warm-oil", "Temperature of the oil when warm", Temperature, OIL)
            .usual("85 °C", "[Trade] 2.3 oil temperature")
            .like("85 °C")
            .about(2.0),
        Ask::text("oil-grade", "Grade of the oil in her", "15W-40").usual("15W-40", "common practice, no source"),
        Ask::one(
            "viscosity-40",
            "Its viscosity at 40 °C, from its data sheet or a sample",
            KinematicViscosity,
            (5e-6, 1e-3),
        )
        .may()
        .like("110 mm²/s")
        .about(3e-6),
        Ask::one(
            "viscosity-100",
            "Its viscosity at 100 °C, from its data sheet or a sample",
            KinematicViscosity,
            (2e-6, 5e-5),
        )
        .may()
        .like("14.7 mm²/s")
        .about(0.3e-6),
        Ask::many(
            "turns",
            "Turns of the screw inward from any mark, one for each pressure; the last as it stands now",
            Ratio,
            (-100.0, 100.0),
        )
        .may()
        .like("0, 1, 2"),
        Ask::many("shims", "Shims under the spring instead of turns, the last as it stands now", Length, (0.0, 0.05))
            .may()
            .like("0, 0.5, 1 mm"),
        Ask::many("pressures", "Pressure read at each of them", GaugePressure, PRESSURES)
            .may()
            .like("2.5, 2.9, 3.0 bar")
            .about(READ),
        Ask::one("pressure-now", "Pressure as it stands now, where there is no table", GaugePressure, PRESSURES)
            .may()
            .like("2.9 bar")
            .about(READ),
        Ask::one("table-speed", "Speed at which these were read; the rated speed if left out", RotationalSpeed, SPEEDS)
            .may()
            .about(10.0 * RPM)
            .like("1800 rpm"),
        Ask::one(
            "table-temperature",
            "Temperature of the oil when these were read; warm if left out",
            Temperature,
            OIL,
        )
        .may()
        .about(2.0)
        .like("85 °C"),
        Ask::many("at-speeds", "Speeds of more readings, the valve as it stands now", RotationalSpeed, SPEEDS)
            .may()
            .like("650, 1200, 1800 rpm"),
        Ask::many("at-temperatures", "Temperature of the oil at each of them", Temperature, OIL)
            .may()
            .like("85, 85, 86 °C")
            .about(2.0),
        Ask::many("at-pressures", "Pressure at each of them", GaugePressure, PRESSURES)
            .may()
            .like("1.2, 2.3, 2.9 bar")
            .about(READ),
        Ask::one(
            "gauge-at-rest",
            "What the gauge shows with the engine stopped",
            GaugePressure,
            (-2.0 * BAR, 5.0 * BAR),
        )
        .may()
        .like("0 bar"),
        Ask::one("before-filter", "Pressure before the oil filter, warm at speed", GaugePressure, PRESSURES)
            .may()
            .like("3.2 bar"),
        Ask::one("after-filter", "Pressure after the oil filter at the same moment", GaugePressure, PRESSURES)
            .may()
            .like("2.9 bar"),
        Ask::one("relief-spring-rate", "Rate of the valve's spring", SpringRate, (50.0, 1e6))
            .may()
            .like("6 N/mm")
            .about(0.0),
        Ask::one("relief-seat", "Diameter of the valve's seat, or of its plunger", Length, (2e-3, 0.1))
            .may()
            .like("16 mm")
            .about(0.1e-3),
        Ask::one("screw-pitch", "Pitch of the screw's thread: how far one turn moves it", Length, (0.2e-3, 5e-3))
            .may()
            .like("1 mm"),
        Ask::one(
            "relief-rise",
            "Further pressure from lifting until the valve passes all that is pumped",
            PressureDifference,
            (0.02 * BAR, 5.0 * BAR),
        )
        .usual("0.6 bar", "from memory")
        .about(0.15 * BAR)
        .of_plant(&[("relief-valve", "rise")]),
        Ask::one(
            "pump-displacement",
            "Oil the pump moves in a radian of its shaft: that of a turn over 6.28",
            Volume,
            (1e-8, 1e-3),
        )
        .may()
        .like("3.6 mL")
        .of_plant(&[("oil-pump", "displacement")]),
        Ask::one("pump-drive", "Turns of the oil pump for each turn of the engine", Ratio, (0.1, 10.0))
            .usual("1", "common practice, no source")
            .of_plant(&[("oil-pump", "drive_ratio")]),
        Ask::one(
            "pump-slip",
            "Share of the pump's rated delivery that slips back at 3 bar with hot oil",
            Ratio,
            (0.0, 0.95),
        )
        .usual("8 %", "from memory")
        .of_plant(&[("oil-pump", "slip")]),
        Ask::one("gallery-flow", "Oil that sound bearings pass at 3.5 bar with hot oil", MassFlow, (0.01, 20.0))
            .may()
            .like("24 kg/min")
            .of_plant(&[("diesel", "gallery_flow")]),
        Ask::one(
            "left-pressure",
            "Pressure it was left at, warm at rated speed, once it is done",
            GaugePressure,
            PRESSURES,
        )
        .may()
        .like("3.5 bar"),
    ],
    work,
};

/// From this chance on something is taken as so.
const SURE: f64 = 0.7;
/// A change of pressure that is not worth a spanner [Pa].
const ENOUGH: f64 = 0.1 * BAR;

/// What is to be done with the valve.
#[derive(Copy, Clone, Debug, PartialEq)]
enum Verdict {
    /// No spring gives what is wanted.
    Limited,
    /// Turning changed nothing, so that the valve is not what limits.
    Idle,
    /// Idle is too low: bearings, pump, oil or gauge first.
    First,
    /// It is right.
    Right,
    /// It is to be moved by so much: turns, or shims [m].
    Move(f64),
    /// It is to be moved by so much pressure [Pa], and nothing tells how many turns that is.
    Unscaled(f64),
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let circuit = Circuit::read(given)?;
    let wanted = circuit.wanted;
    let after_cracks = circuit.now.cracking_for(wanted, circuit.rated, circuit.warm);
    let limited = below(circuit.now.free.ln(), circuit.free_sigma(), wanted.ln());
    let idle = circuit.now.at(circuit.idle, circuit.warm);
    let idle_low = below(idle, circuit.sigma_at(circuit.idle, circuit.warm), circuit.least_idle);
    let now = circuit.now.at(circuit.rated, circuit.warm);
    let by = after_cracks.map(|cracks| cracks - circuit.now.cracks);
    let verdict = match (by, circuit.slope) {
        _ if circuit.flat && (now - wanted).abs() > ENOUGH => Verdict::Idle,
        (None, _) => Verdict::Limited,
        _ if limited >= SURE => Verdict::Limited,
        _ if idle_low >= SURE => Verdict::First,
        (Some(_), _) if (now - wanted).abs() < ENOUGH => Verdict::Right,
        (Some(by), Some(slope)) => Verdict::Move(by / slope),
        (Some(by), None) => Verdict::Unscaled(by),
    };
    let after = match (verdict, after_cracks) {
        (Verdict::Move(_) | Verdict::Unscaled(_), Some(cracks)) => {
            physics::oil_pressure::OilPressure { cracks, ..circuit.now }
        }
        _ => circuit.now,
    };
    let mut worked = Worked { says: shown::says(&circuit, verdict, now, idle), ..Worked::default() };
    results(&mut worked, &circuit, verdict, by, (now, idle), &after);
    causes::tell(&mut worked, given, &circuit, verdict, limited, idle_low);
    shown::flags(&mut worked, given, &circuit, verdict, &after);
    shown::steps(&mut worked, &circuit, verdict);
    shown::working(&mut worked, given, &circuit, by);
    shown::map(&mut worked, given, &circuit, &after);
    worked.sketch = Some(shown::sketch(&circuit, &after));
    keep(&mut worked, given, &circuit, verdict);
    Ok(worked)
}

fn results(
    worked: &mut Worked,
    circuit: &Circuit,
    verdict: Verdict,
    by: Option<f64>,
    (now, idle): (f64, f64),
    after: &physics::oil_pressure::OilPressure,
) {
    let own = |worked: &mut Worked, doubt: f64| {
        if let Some(last) = worked.results.last_mut() {
            last.doubt = Some(doubt).filter(|doubt| doubt.is_finite());
        }
    };
    // What it would take is told where it must wait too, but not as the first thing.
    if let (Some(by), Some(slope), Verdict::Move(_)) = (by, circuit.slope, verdict) {
        let change = by / slope;
        match circuit.places {
            Places::Turns => {
                let says = if change < 0.0 { "Turn it out by, in turns" } else { "Turn it in by, in turns" };
                worked.result("turns", says, change.abs(), Ratio, "");
            }
            Places::Shims => {
                let says = if change < 0.0 { "Take shims out, thickness" } else { "Add shims, thickness" };
                worked.result("shim", says, change.abs(), Length, "mm");
            }
        }
        own(worked, circuit.move_doubt(by, slope));
        if circuit.has_table {
            let to = circuit.place_now + change;
            let (says, quantity, unit) = match circuit.places {
                Places::Turns => ("It then stands at, in turns from your mark", Ratio, ""),
                Places::Shims => ("All shims together then", Length, "mm"),
            };
            worked.result("place", says, to, quantity, unit);
            own(worked, circuit.move_doubt(by, slope));
        }
    }
    worked.result("now", "Pressure now, warm at rated speed", now, GaugePressure, "bar");
    own(worked, circuit.belief_at(circuit.rated, circuit.warm));
    // What nothing read tells is not printed with a doubt as wide as itself.
    if circuit.sigma_at(circuit.idle, circuit.warm) < shown::UNTOLD * idle {
        worked.result("idle", "Pressure now, warm at idle", idle, GaugePressure, "bar");
        own(worked, circuit.belief_at(circuit.idle, circuit.warm));
    }
    if circuit.free_known() {
        worked.result(
            "most",
            "The most any spring can give, warm at rated speed",
            circuit.now.free,
            GaugePressure,
            "bar",
        );
        own(worked, circuit.now.free * circuit.free_belief());
    }
    if let Some(kink) = circuit.kink {
        let (says, quantity, unit) = match circuit.places {
            Places::Turns => ("Beyond this turning does nothing, in turns from your mark", Ratio, ""),
            Places::Shims => ("Beyond this shims do nothing", Length, "mm"),
        };
        worked.result("kink", says, kink, quantity, unit);
        own(worked, circuit.kink_belief());
    }
    let cold = after.at(circuit.rated, circuit.cold);
    worked.result("cold", "Then, with oil of 20 °C at rated speed", cold, GaugePressure, "bar");
}

fn keep(worked: &mut Worked, given: &Given, circuit: &Circuit, verdict: Verdict) {
    let left = given.maybe("left-pressure");
    let mut keep = |name: &str, found: Option<f64>, left: Option<f64>, quantity, unit| {
        if found.is_some() || left.is_some() {
            worked.kept.push(Kept { name: name.into(), found, left, quantity, unit });
        }
    };
    keep("pressure hot at rated speed", circuit.read_near(circuit.rated), left, GaugePressure, "bar");
    keep("pressure hot at idle", circuit.read_near(circuit.idle), None, GaugePressure, "bar");
    if circuit.places == Places::Shims && circuit.has_table {
        let moved = match verdict {
            Verdict::Move(by) => left.map(|_| circuit.place_now + by),
            _ => None,
        };
        keep("shim", Some(circuit.place_now), moved, Length, "mm");
    }
}

fn bar(pressure: f64) -> String {
    format!("{:.2} bar", pressure / BAR)
}

fn rpm(speed: f64) -> String {
    format!("{:.0} rpm", speed / RPM)
}

fn celsius(temperature: f64) -> String {
    format!("{:.0} °C", temperature - ZERO)
}
