//! Opening pressure of injectors: what shims set it, and what no shim mends.

mod injectors;
mod shown;

use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::{Kept, Worked};
use injectors::{Injectors, Verdict};
use measure::quantity::Quantity::{GaugePressure, Length, PressureDifference, Ratio, SpringRate};

const BAR: f64 = 1e5;
const POPS: (f64, f64) = (0.0, 1200.0 * BAR);

pub const JOB: Job = Job {
    word: "opening-pressure",
    title: "Opening pressure of injectors",
    about: "What shims bring each injector to its opening pressure, and which of them no shim mends.",
    group: Group::Adjust,
    kinds: &["diesel"],
    task: Some("injectors"),
    asks: &[
        Ask::many(
            "opening-pressures",
            "Pressure at which each injector opened on the tester, in order",
            GaugePressure,
            POPS,
        )
        .like("238, 251, 247, 210 bar")
        .about(2.0 * BAR),
        Ask::one(
            "wanted-opening",
            "Opening pressure wanted, as the maker tells",
            GaugePressure,
            (50.0 * BAR, 1000.0 * BAR),
        )
        .like("250 bar"),
        Ask::one(
            "opening-band",
            "How far above the wanted one it may be left",
            PressureDifference,
            (0.5 * BAR, 60.0 * BAR),
        )
        .usual("8 bar", "common practice, no source"),
        Ask::choice(
            "injector-springs",
            "Whether the springs are new",
            &[("used", "they have run in her"), ("new", "they have not run yet, and will settle")],
        )
        .usual("used", "the usual case"),
        Ask::one(
            "new-spring-drop",
            "How far a new spring lets the opening pressure fall while it settles",
            PressureDifference,
            (0.0, 60.0 * BAR),
        )
        .usual("10 bar", "common practice, no source")
        .about(3.0 * BAR)
        .only("injector-springs", &["new"]),
        Ask::one(
            "bar-per-shim",
            "Change of the opening pressure by 0.1 mm of shim, tried or from the manual",
            PressureDifference,
            (0.5 * BAR, 100.0 * BAR),
        )
        .may()
        .like("10 bar")
        .about(0.5 * BAR),
        Ask::one("injector-spring-rate", "Rate of the injector's spring, instead", SpringRate, (1e3, 1e7))
            .may()
            .like("200 N/mm"),
        Ask::one("needle-guide", "Diameter of the needle in its guide", Length, (2e-3, 2e-2))
            .may()
            .like("6 mm")
            .about(0.02e-3),
        Ask::one("needle-seat", "Diameter at which the needle seats", Length, (0.5e-3, 1.5e-2))
            .may()
            .like("3 mm")
            .about(0.1e-3),
        Ask::one("shim-step", "Step in which shims are to be had", Length, (0.005e-3, 1e-3))
            .usual("0.05 mm", "common practice, no source"),
        Ask::many("shims-now", "Shims under each spring now, all together, in order", Length, (0.0, 0.02))
            .may()
            .like("1.20, 1.25, 1.20, 1.15 mm"),
        Ask::text(
            "sprays",
            "How each sprays, in order: good, drips, streams, weak or stuck",
            "good, good, drips, good",
        )
        .may(),
        Ask::many("left-openings", "Pressure at which each opened when it was left, in order", GaugePressure, POPS)
            .may()
            .like("252, 251, 253, 252 bar"),
    ],
    work,
};

fn work(given: &Given) -> Result<Worked, Refused> {
    let all = Injectors::read(given)?;
    let mut worked = Worked { says: shown::says(&all), ..Worked::default() };
    for one in &all.each {
        if one.verdict == Verdict::Shim {
            let says = format!("Injector {}: {} shims", one.number, if one.change < 0.0 { "take out" } else { "add" });
            worked.result(format!("shim-{}", one.number), says, one.change.abs(), Length, "mm");
            if let Some(last) = worked.results.last_mut() {
                last.doubt = all.slope_doubt.map(|share| share * one.change.abs());
            }
        }
    }
    worked.result("target", "To be set to", all.target, GaugePressure, "bar");
    worked.result("per-shim", "0.1 mm of shim changes it by", all.slope * 0.1e-3, PressureDifference, "bar");
    if let Some(share) = all.shuts_at {
        worked.result("shuts-at", "It shuts again at, of the opening pressure", share, Ratio, "%");
    }
    shown::tell(&mut worked, &all);
    for (place, one) in all.each.iter().enumerate() {
        let name = format!("opening pressure cylinder {}", one.number);
        let left = all.left.get(place).copied();
        worked.kept.push(Kept { name, found: Some(one.found), left, quantity: GaugePressure, unit: "bar" });
    }
    worked.sketch = Some(shown::sketch(&all));
    Ok(worked)
}
