//! Coolant: where it freezes and boils, and how much to drain and add.

use super::shared::{graph, percent, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::sketch::{Look, Sketch};
use crate::worked::{Kept, Worked};
use measure::quantity::Quantity::{GaugePressure, Ratio, Temperature, Volume};
use physics::constants::{ATMOSPHERE, ZERO_CELSIUS};
use physics::coolant::{Coolant, Glycol, STRONGEST};

pub const JOB: Job = Job {
    word: "coolant-mix",
    title: "Mix of the coolant",
    about: "Where the coolant freezes and boils, and how much to drain and to fill for a wanted freezing point.",
    group: Group::Size,
    kinds: &["header-tank"],
    task: None,
    asks: &[
        Ask::choice(
            "glycol",
            "Which glycol is in it, from the can",
            &[("ethylene", "ethylene glycol, the commonest, poisonous"), ("propylene", "propylene glycol, food safe")],
        )
        .usual("ethylene", "the commonest"),
        Ask::one(
            "circuit-volume",
            "Coolant in the whole circuit: engine, cooler, hoses, header tank",
            Volume,
            (1e-3, 5.0),
        )
        .like("40 L"),
        Ask::one(
            "freeze-now",
            "Where it freezes now, by the refractometer's scale for this glycol",
            Temperature,
            (200.0, 274.0),
        )
        .like("-18 °C")
        .may()
        .about(1.5),
        Ask::one("share-now", "Or its share of glycol by volume, where that is known", Ratio, (0.0, 1.0))
            .like("33 %")
            .may()
            .about(0.02),
        Ask::one("freeze-wanted", "Where it is to freeze", Temperature, (200.0, 273.0)).like("-37 °C"),
        Ask::one("concentrate", "Share of glycol in what is filled in", Ratio, (0.05, 1.0))
            .like("95 %")
            .usual("95 %", "concentrate as sold, from memory"),
        Ask::one("cap-pressure", "Pressure that the cap holds", GaugePressure, (0.0, 250e3))
            .like("0.5 bar")
            .usual("0 bar", "none told")
            .of_plant(&[("header-tank", "cap")]),
    ],
    work,
};

/// Least mix that still guards against rust, by volume [1]; common practice, no source.
const LEAST: f64 = 0.30;
/// Where the heat it carries is compared [K].
const WARM: f64 = ZERO_CELSIUS + 80.0;

fn carries(mix: &Coolant) -> f64 {
    mix.density(WARM) * mix.heat_capacity(WARM)
}

fn litres(volume: f64) -> String {
    show(volume, Volume, "L")
}

/// "-37 °C".
fn cold(temperature: f64) -> String {
    show(temperature, Temperature, "°C")
}

/// How much is in it now, by whatever was told.
fn now(given: &Given, glycol: Glycol, worked: &mut Worked) -> Result<f64, Refused> {
    let by_freezing = match given.maybe("freeze-now") {
        None => None,
        Some(at) => Some(Coolant::freezing_at(glycol, at.min(ZERO_CELSIUS)).map(|mix| mix.volume_fraction()).ok_or_else(|| {
            Refused::of(
                "freeze-now",
                format!("no mix up to {} freezes that low", percent(STRONGEST)),
                "Look at the scale for this glycol; past 60 % a mix freezes higher again, and a refractometer tells less than it shows. Tell share-now instead.",
            )
        })?),
    };
    match (by_freezing, given.maybe("share-now")) {
        (Some(freezing), Some(told)) => {
            if (freezing - told).abs() > 0.08 {
                worked.flags.push(format!("By where it freezes it holds {}, told are {}: another glycol, or a refractometer that is off (try it on plain water: 0 °C). What was measured counts.", percent(freezing), percent(told)));
            }
            Ok(freezing)
        }
        (Some(share), None) | (None, Some(share)) => Ok(share),
        (None, None) => Err(Refused::of(
            "freeze-now",
            "neither where it freezes nor its share is told",
            "Tell freeze-now=\"-18 °C\" or share-now=\"33 %\".",
        )),
    }
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let glycol = if given.word("glycol") == "propylene" { Glycol::Propylene } else { Glycol::Ethylene };
    let volume = given.value("circuit-volume")?;
    let mut worked = Worked::default();
    let share = now(given, glycol, &mut worked)?;
    let wanted_at = given.value("freeze-wanted")?;
    let wanted = Coolant::freezing_at(glycol, wanted_at).ok_or_else(|| {
        let most = Coolant::by_volume(glycol, STRONGEST).freezing_temperature();
        Refused::of(
            "freeze-wanted",
            format!("no mix freezes at {}", cold(wanted_at)),
            format!("{} at {} is as low as one goes; stronger freezes higher again.", cold(most), percent(STRONGEST)),
        )
    })?;
    let target = wanted.volume_fraction();
    let concentrate = given.value("concentrate")?;
    let stronger = target > share;
    if stronger && concentrate <= target {
        return Err(Refused::of(
            "concentrate",
            format!("{} never makes a mix of {}", percent(concentrate), percent(target)),
            "Take a stronger concentrate.",
        ));
    }
    let swap = if stronger {
        volume * (target - share) / (concentrate - share)
    } else {
        volume * (1.0 - target / share.max(1e-9))
    };
    let with = if stronger { "concentrate" } else { "water (soft or distilled)" };
    let pressure = ATMOSPHERE + given.value("cap-pressure")?;
    let freezes = Coolant::by_volume(glycol, share).freezing_temperature();
    worked.says = if swap < 0.01 * volume {
        format!("It is as wanted: {} glycol, frozen at {}.", percent(share), cold(freezes))
    } else {
        format!(
            "Drain {} of {} and fill {} of {with}: from {} to {} glycol, which freezes at {}.",
            litres(swap),
            litres(volume),
            litres(swap),
            percent(share),
            percent(target),
            cold(wanted_at)
        )
    };
    worked.result("swap", "Drain, and fill as much", swap, Volume, "L");
    worked.result("share-now", "Glycol in it now, by volume", share, Ratio, "%");
    worked.result("share-wanted", "Glycol wanted, by volume", target, Ratio, "%");
    if share <= STRONGEST {
        worked.result("freezes-now", "Where it freezes now", freezes, Temperature, "°C");
    }
    worked.result(
        "boils",
        "Where the mix wanted boils under the cap",
        wanted.saturation_temperature(pressure),
        Temperature,
        "°C",
    );
    worked.result(
        "carries",
        "Heat the mix wanted carries, of what water carries",
        carries(&wanted) / carries(&Coolant::by_volume(glycol, 0.0)),
        Ratio,
        "%",
    );
    let rows = (0..=6).map(|k| {
        let mix = Coolant::by_volume(glycol, 0.1 * f64::from(k));
        vec![
            percent(0.1 * f64::from(k)),
            cold(mix.freezing_temperature()),
            cold(mix.saturation_temperature(pressure)),
            percent(carries(&mix) / carries(&Coolant::by_volume(glycol, 0.0))),
        ]
    });
    worked.tables.push(table(
        "Mixes",
        &["glycol by volume", "freezes", "boils under the cap", "carries heat"],
        rows.collect(),
    ));
    let formula =
        if stronger { "x = V (wanted − now) / (concentrate − now)" } else { "x = V (1 − wanted / now)" };
    worked.working(
        formula,
        format!(
            "V = {}, {} now, {} wanted, {} filled in: {}",
            litres(volume),
            percent(share),
            percent(target),
            if stronger { percent(concentrate) } else { "water".into() },
            litres(swap)
        ),
        "balance of the glycol, well mixed",
    );
    worked.working(
        "freezing by tables; boiling where water's vapour, by its share of the molecules, reaches the cap's pressure",
        format!("{:.2} bar absolute under the cap", pressure / 1e5),
        "[Lange15], [ASHRAE-glycol]; Raoult's law, [Perry8]",
    );
    flags(share, target, &mut worked);
    worked.step_with_care("Let it cool, ease the cap a quarter turn, wait, then take it off. Drain into a can what was worked out.", "Hot coolant scalds. Glycol is poisonous and slippery, and kills animals that lick it: none on deck, none overboard.");
    worked.step(format!("Fill {with}, run her warm with the heater open and the thermostat too, let it cool, and measure again. Top up with the mix wanted, not with plain water."));
    worked.kept.push(Kept {
        name: "freezing point".into(),
        found: (share <= STRONGEST).then_some(freezes),
        left: None,
        quantity: Temperature,
        unit: "°C",
    });
    worked.sketch = Some(sketch(glycol, share.min(STRONGEST), target));
    Ok(worked)
}

fn flags(share: f64, target: f64, worked: &mut Worked) {
    if share > STRONGEST {
        worked.flags.push(format!("{} is more than {}: it freezes higher again (pure ethylene glycol at about −13 °C, from memory), carries less heat and lets inhibitors fall out. Where it freezes now cannot be told.", percent(share), percent(STRONGEST)));
    } else if target > 0.55 {
        worked.flags.push("Close to 60 %: more than that freezes higher again and carries less heat.".into());
    }
    if target < LEAST {
        worked.flags.push(format!("Under {} there is too little inhibitor against rust in most products: keep to the maker's least mix even where it never freezes.", percent(LEAST)));
    }
    worked.flags.push("Never mix sorts: inhibitors of one can turn those of another to jelly, and the colour tells nothing. Not sure what is in it? Drain all of it, flush and fill one sort. Products as sold differ by some kelvin: the table on the can counts.".into());
}

fn sketch(glycol: Glycol, share: f64, target: f64) -> Sketch {
    let at = |share: f64| (100.0 * share, Coolant::by_volume(glycol, share).freezing_temperature() - ZERO_CELSIUS);
    let curve: Vec<(f64, f64)> = (0..=60).map(|k| at(STRONGEST * f64::from(k) / 60.0)).collect();
    let mark = |share: f64| vec![(100.0 * share, -60.0), at(share)];
    graph(
        "Where the mix freezes over its share of glycol, now (dashed) and as wanted (marked).",
        ("glycol by volume [%]", (0.0, 60.0)),
        ("freezes at [°C]", (-60.0, 0.0)),
        &[
            (Look::Firm, curve, String::new()),
            (Look::Dashed, mark(share), String::new()),
            (Look::Marked, mark(target), "wanted".into()),
        ],
    )
}
