//! Fuel in the oil, by how much thinner it has become.

use super::asked;
use super::oils;
use super::shared::{percent, show};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::{Outcome, Worked};
use measure::quantity::Quantity::{KinematicViscosity, Ratio, Volume};
use physics::diesel_fuel::{USUAL_DENSITY, USUAL_NU40, USUAL_NU100};
use physics::oil::{Oil, blended_share};

pub const JOB: Job = Job {
    word: "fuel-dilution",
    title: "Fuel in the oil",
    about: "How much fuel has got into the engine oil, from how thin it has become.",
    group: Group::Judge,
    kinds: &["sump"],
    task: None,
    asks: &[
        Ask::one("sample-viscosity-40", "Viscosity of the sample at 40 °C", KinematicViscosity, (2e-6, 2e-3))
            .like("92 cSt")
            .may()
            .about(1e-6),
        Ask::one("sample-viscosity-100", "Viscosity of the sample at 100 °C", KinematicViscosity, (1e-6, 1e-4))
            .like("12.6 cSt")
            .may()
            .about(0.15e-6),
        asked::OIL_GRADE.may(),
        asked::VISCOSITY_40.may(),
        asked::VISCOSITY_100.may(),
        Ask::one("sump-volume", "Oil in the sump", Volume, (5e-4, 0.5))
            .like("18 L")
            .may()
            .of_plant(&[("sump", "volume")]),
        asked::WARM_OIL,
    ],
    work,
};

/// Fuel of the mass that is looked into, and acted on [1]. From memory; see the check values.
const LIMITS: (f64, f64) = (0.02, 0.05);
/// How far two temperatures may disagree before it is something else [1]. From memory.
const APART: f64 = 0.025;

fn work(given: &Given) -> Result<Worked, Refused> {
    let fresh = oils::told(given)?.ok_or_else(|| {
        Refused::of(
            "oil-grade",
            "nothing is told of the oil as it was new",
            "Tell viscosity-40 and viscosity-100 of its data sheet, or oil-grade=15W-40.",
        )
    })?;
    let at = |key: &str, fresh: f64, fuel: f64| {
        given.maybe(key).map(|found| (found, fresh, blended_share(fresh, fuel, found)))
    };
    let cool = at("sample-viscosity-40", fresh.nu40_m2s, USUAL_NU40);
    let hot = at("sample-viscosity-100", fresh.nu100_m2s, USUAL_NU100);
    let both: Vec<(f64, f64, f64)> = cool.into_iter().chain(hot).collect();
    if both.is_empty() {
        return Err(Refused::of(
            "sample-viscosity-40",
            "no viscosity of the sample is told",
            "Tell the one at 40 °C, at 100 °C, or better both.",
        ));
    }
    if let (Some((nu40, ..)), Some((nu100, ..))) = (cool, hot)
        && nu40 <= nu100
    {
        return Err(Refused::of(
            "sample-viscosity-40",
            "no oil is thinner at 40 °C than at 100 °C",
            "Look whether they are exchanged.",
        ));
    }
    if both.iter().any(|(_, _, share)| *share >= 0.6) {
        return Err(Refused::together(
            "So thin it would be mostly fuel.",
            "Look at the values and their temperatures; if they stand, do not start her: fuel runs into the sump.",
        ));
    }
    let mean = both.iter().map(|(_, _, share)| share).sum::<f64>() / both.len() as f64;
    let share = mean.max(0.0);
    let says = if mean <= -0.01 {
        "It is thicker than new: no fuel shows, and soot, age or another oil may hide some.".into()
    } else {
        let judged = if share >= LIMITS.1 {
            "change it and find the leak now"
        } else if share >= LIMITS.0 {
            "look into it"
        } else {
            "within what is usual"
        };
        format!("About {} of it is fuel: {judged}.", percent(share))
    };
    let mut worked = Worked { says, ..Worked::default() };
    let scatter = (both.len() > 1).then(|| (both[0].2 - both[1].2).abs() / 2.0);
    worked.results.push(Outcome {
        key: "fuel".into(),
        says: "Fuel, of the mass of the oil".into(),
        value: share,
        quantity: Ratio,
        unit: "%",
        doubt: scatter,
    });
    for (key, says, found) in
        [("fuel-by-40", "By the viscosity at 40 °C", cool), ("fuel-by-100", "By the viscosity at 100 °C", hot)]
    {
        if let Some((found, fresh, share)) = found {
            worked.result(key, says, share, Ratio, "%");
            worked.working(
                "x = (ν_new^⅓ − ν^⅓) / (ν_new^⅓ − ν_fuel^⅓)",
                format!(
                    "{} new, {} found: {}",
                    show(fresh, KinematicViscosity, "cSt"),
                    show(found, KinematicViscosity, "cSt"),
                    percent(share)
                ),
                "[Kendall-Monroe]; fuel of 3.0 cSt at 40 °C and 1.25 at 100 °C, [EN590]",
            );
        }
    }
    let warm = given.value("warm-oil")?;
    let diluted = Oil::diluted(fresh.nu40_m2s, fresh.nu100_m2s, share);
    let left = diluted.kinematic_viscosity(warm) / fresh.kinematic_viscosity(warm);
    worked.result("thinner", "What is left of its thickness, warm", left, Ratio, "%");
    if let Some(sump) = given.maybe("sump-volume") {
        let fuel = sump * share * diluted.density_15 / USUAL_DENSITY;
        worked.result("fuel-volume", "Fuel in the sump", fuel, Volume, "L");
    }
    if scatter.is_some_and(|scatter| 2.0 * scatter > APART) {
        worked.flags.push("The two temperatures tell different shares: not fuel alone. Soot thickens, a multigrade is sheared thin by use, or it was topped up with another grade.".into());
    }
    if given.maybe("viscosity-40").is_none() && given.maybe("viscosity-100").is_none() {
        worked.flags.push("New oil of one grade differs by a tenth from brand to brand, which is as much as 3 % of fuel: the data sheet of this oil, or a sample of it from the can, tells much more.".into());
    }
    if share >= LIMITS.0 {
        worked.step_with_care(
            "Look for a leaking injector or its return inside the engine, the lift pump's seal or the injection pump's, and for long idling cold.",
            "Diluted oil burns more easily, and a sump that fills with fuel can run the engine away: with the level rising do not start her.",
        );
        worked.step("Change oil and filter, take a sample after ten hours, and follow the level on the dipstick.");
    } else {
        worked.step("Smell it, put a drop on blotting paper, and watch the level: rising oil is fuel or water whatever the sums say.");
    }
    Ok(worked)
}
