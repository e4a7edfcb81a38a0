//! Compression: what it ought to be, which cylinders leak, and where.

mod judged;
mod shown;

use super::asked;
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::{Kept, Worked};
use judged::Test;
use measure::quantity::Quantity::{
    Angle, GaugePressure, Length, Pressure, Ratio, RotationalSpeed, Temperature, Volume,
};
use physics::constants::ZERO_CELSIUS as ZERO;
use std::f64::consts::TAU;

const RPM: f64 = TAU / 60.0;
const BAR: f64 = 1e5;
const READ: (f64, f64) = (0.0, 80.0 * BAR);

pub const JOB: Job = Job {
    word: "compression",
    title: "Compression",
    about: "What the compression ought to be, which cylinders leak, and whether rings, valves or the gasket is why.",
    group: Group::Judge,
    kinds: &["diesel"],
    task: Some("compression"),
    asks: &[
        Ask::many(
            "compressions",
            "Compression of each cylinder in order, all injectors out, cranked until the gauge stands still",
            GaugePressure,
            READ,
        )
        .like("27, 28, 21, 27.5 bar")
        .about(0.3 * BAR),
        Ask::many(
            "wet-compressions",
            "The same again with a spoonful of oil put into each cylinder",
            GaugePressure,
            READ,
        )
        .may()
        .like("30, 31, 28, 30 bar")
        .about(0.3 * BAR),
        Ask::many(
            "leak-downs",
            "Leak-down of each cylinder, its piston at the top with both valves shut",
            Ratio,
            (0.0, 1.0),
        )
        .may()
        .like("8, 7, 35, 9 %"),
        Ask::one(
            "leak-down-supply",
            "Pressure before the orifice of the leak-down tester",
            GaugePressure,
            (0.5 * BAR, 15.0 * BAR),
        )
        .usual("7 bar", "common practice, no source"),
        Ask::one("leak-down-orifice", "Bore of its orifice", Length, (0.2e-3, 5e-3)).usual("1 mm", "from memory"),
        Ask::one("wanted-compression", "Compression of a sound engine, as the maker tells", GaugePressure, READ)
            .may()
            .like("28 bar"),
        Ask::one("least-compression", "Least compression the maker allows", GaugePressure, READ).may().like("22 bar"),
        Ask::one("compression-ratio", "Compression ratio", Ratio, (5.0, 30.0)).may().like("17"),
        Ask::one("bore", "Bore", Length, (0.03, 1.0)).usual("100 mm", "from memory").of_plant(&[("diesel", "bore")]),
        asked::STROKE,
        Ask::one("rod-length", "Length of the connecting rod between its eyes", Length, (0.05, 3.0))
            .may()
            .like("210 mm"),
        Ask::one(
            "inlet-closes",
            "Where the inlet valve is shut, after bottom dead centre",
            Angle,
            (0.0, 100.0 * TAU / 360.0),
        )
        .usual("40 °", "from memory")
        .about(6.0 * TAU / 360.0),
        Ask::one("tester-volume", "Space inside the tester's adaptor and hose, up to its valve", Volume, (0.0, 1e-3))
            .usual("0 mL", "an adaptor that fills the injector's hole"),
        Ask::one(
            "cranking-speed",
            "Speed at which the starter turned her",
            RotationalSpeed,
            (30.0 * RPM, 1000.0 * RPM),
        )
        .usual("200 rpm", "from memory")
        .about(20.0 * RPM),
        Ask::one(
            "cylinder-air",
            "Temperature of the air as it is shut in: that of the engine",
            Temperature,
            (ZERO - 30.0, ZERO + 120.0),
        )
        .usual("60 °C", "common practice, no source: warm")
        .about(10.0),
        Ask::one("compression-exponent", "Exponent of the compression of a cranked engine", Ratio, (1.05, 1.4))
            .usual("1.27", "from memory, after [Heywood1988] sec. 9.2")
            .about(0.02),
        Ask::one("air-pressure", "Pressure of the air, from the barometer", Pressure, (5e4, 1.1e5))
            .may()
            .about(300.0)
            .like("1.013 bar_abs"),
        Ask::one("height-above-sea", "Height of the place above the sea", Length, (-400.0, 5000.0))
            .usual("0 m", "she floats on the sea")
            .about(0.0),
        Ask::one("compression-spread", "How far a cylinder may be under the good ones", Ratio, (0.03, 0.6))
            .usual("15 %", "common practice, no source"),
    ],
    work,
};

fn work(given: &Given) -> Result<Worked, Refused> {
    let test = Test::read(given)?;
    let mut worked = Worked { says: shown::says(&test), ..Worked::default() };
    worked.result("good", "The good cylinders make", test.good, GaugePressure, "bar");
    if let Some(expected) = test.expected {
        worked.result("expected", "Expected of a sound one at this ratio and cranking", expected, GaugePressure, "bar");
    }
    worked.result("spread", "The lowest is under the highest by", test.spread(), Ratio, "%");
    for cylinder in &test.cylinders {
        if cylinder.low {
            let says = format!("Cylinder {} is under the good ones by", cylinder.number);
            worked.result(format!("under-{}", cylinder.number), says, 1.0 - cylinder.dry / test.good, Ratio, "%");
            if let Some(gap) = cylinder.gap {
                let says = format!("Cylinder {} leaks through a hole of", cylinder.number);
                worked.result(format!("hole-{}", cylinder.number), says, gap, Length, "mm");
            }
        }
    }
    shown::tell(&mut worked, given, &test);
    for cylinder in &test.cylinders {
        let name = format!("compression cylinder {}", cylinder.number);
        worked.kept.push(Kept { name, found: Some(cylinder.dry), left: None, quantity: GaugePressure, unit: "bar" });
    }
    worked.sketch = Some(shown::sketch(&test));
    Ok(worked)
}
