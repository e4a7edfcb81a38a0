//! Alternator: how fast its belt turns it, what it gives and takes, and the pulley for a wanted current.

use super::asked;
use super::shared::{crossing, graph, mm, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::sketch::{Look, Sketch};
use crate::worked::Worked;
use measure::quantity::Quantity::{Current, Length, Power, Ratio, RotationalSpeed, Temperature, Voltage};
use physics::drive::{alternator_power, driven_speed};
use physics::electrical::{alternator_in_heat, alternator_share};
use std::f64::consts::TAU;

pub const JOB: Job = Job {
    word: "alternator",
    title: "Alternator and its pulleys",
    about: "How fast an alternator turns at idle and at cruise, what it gives there, what power that takes, and which pulley gives more.",
    group: Group::Size,
    kinds: &["alternator"],
    task: None,
    asks: &[
        Ask::one("engine-pulley", "Effective diameter of the pulley on the engine", Length, (0.03, 1.0))
            .like("180 mm")
            .about(0.5e-3),
        Ask::one("alternator-pulley", "Effective diameter of the pulley on the alternator", Length, (0.03, 0.5))
            .like("75 mm")
            .about(0.5e-3),
        Ask::one("idle-speed", "Engine speed at idle", RotationalSpeed, (10.0, 400.0)).like("650 rpm"),
        Ask::one("cruise-speed", "Engine speed at cruise", RotationalSpeed, (10.0, 700.0)).like("1500 rpm"),
        Ask::one("alternator-rated", "Current on its plate, cold", Current, (5.0, 600.0))
            .like("120 A")
            .of_plant(&[("alternator", "rated_current")]),
        asked::DERATING,
        Ask::one("cut-in-speed", "Alternator speed at which it begins to charge", RotationalSpeed, (20.0, 400.0))
            .like("1050 rpm")
            .usual("1050 rpm", "from memory")
            .about(12.0)
            .of_plant(&[("alternator", "cut_in")]),
        Ask::one("charging-voltage", "Voltage it charges at", Voltage, (5.0, 60.0))
            .like("14.2 V")
            .usual("14.2 V", "[Trade] 2.7")
            .of_plant(&[("alternator", "regulated")]),
        Ask::one("alternator-efficiency", "Share of the belt's power that it turns into current", Ratio, (0.3, 0.95))
            .like("0.55")
            .usual("0.55", "from memory, 0.5 to 0.6")
            .about(0.03),
        Ask::one("alternator-space", "Temperature of the air at it", Temperature, (250.0, 370.0))
            .like("45 °C")
            .usual("45 °C", "a warm engine space, common practice, no source"),
        Ask::one("wanted-current", "Current that is wanted at idle", Current, (1.0, 600.0)).like("40 A").may(),
        Ask::one(
            "alternator-limit",
            "Most speed its maker allows, of its own shaft",
            RotationalSpeed,
            (300.0, 3_000.0),
        )
        .like("12000 rpm")
        .usual("12000 rpm", "small alternators stand 12000 to 18000, from memory"),
    ],
    work,
};

/// Turns that a belt loses [1]; the figure of a belt in her model, from memory.
const SLIP: f64 = 0.015;
/// Least pulley that a belt of this sort runs on for long [m]; from memory.
const LEAST_PULLEY: f64 = 55e-3;

fn rpm(speed: f64) -> String {
    format!("{:.0} rpm", speed * 60.0 / TAU)
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let (driver, driven) = (given.value("engine-pulley")?, given.value("alternator-pulley")?);
    let (idle, cruise) = (given.value("idle-speed")?, given.value("cruise-speed")?);
    if idle >= cruise {
        return Err(Refused::of("idle-speed", "she idles no faster than she cruises", "Tell the lower speed here."));
    }
    let (rated, share) = (given.value("alternator-rated")?, given.value("derating")?);
    let (cut_in, space) = (given.value("cut-in-speed")?, given.value("alternator-space")?);
    let most = rated * share * alternator_in_heat(space);
    let turned = |engine: f64, pulley: f64| driven_speed(engine, driver, pulley, SLIP);
    let gives = |engine: f64, pulley: f64| most * alternator_share(turned(engine, pulley), cut_in);
    let (volts, efficiency) = (given.value("charging-voltage")?, given.value("alternator-efficiency")?);
    let takes = |current: f64| alternator_power(volts, current, efficiency);
    let (slow, fast) = (gives(idle, driven), gives(cruise, driven));
    let mut worked = Worked {
        says: format!(
            "It gives {} at idle and {} at cruise, hot, and takes {} from the belt there.",
            show(slow, Current, "A"),
            show(fast, Current, "A"),
            show(takes(fast), Power, "kW")
        ),
        ..Worked::default()
    };
    worked.result("ratio", "Turns of the alternator to one of the engine", driver / driven, Ratio, "");
    worked.result("speed-at-idle", "Alternator speed at idle", turned(idle, driven), RotationalSpeed, "rpm");
    worked.result("speed-at-cruise", "Alternator speed at cruise", turned(cruise, driven), RotationalSpeed, "rpm");
    worked.result("current-at-idle", "Current at idle, hot", slow, Current, "A");
    worked.result("current-at-cruise", "Current at cruise, hot", fast, Current, "A");
    worked.result("belt-power", "Power from the belt at cruise", takes(fast), Power, "kW");
    worked.result("belt-power-cold", "The same cold, on full plate current", takes(rated), Power, "kW");
    let limit = given.value("alternator-limit")?;
    let pulleys: Vec<f64> = (10..=24).map(|k| f64::from(k) * 5e-3).collect();
    worked.tables.push(table(
        "Other pulleys on the alternator",
        &["pulley", "at idle", "current", "at cruise", "current", "from the belt"],
        pulleys
            .iter()
            .filter(|pulley| turned(cruise, **pulley) <= limit)
            .map(|pulley| {
                let (slow, fast) = (gives(idle, *pulley), gives(cruise, *pulley));
                vec![
                    mm(*pulley),
                    rpm(turned(idle, *pulley)),
                    show(slow, Current, "A"),
                    rpm(turned(cruise, *pulley)),
                    show(fast, Current, "A"),
                    show(takes(fast), Power, "kW"),
                ]
            })
            .collect(),
    ));
    worked.working(
        "n = n_engine · D / d · (1 − 0.015)",
        format!("{} · {} / {} = {} at idle", rpm(idle), mm(driver), mm(driven), rpm(turned(idle, driven))),
        "definition; slip of a sound belt from memory",
    );
    worked.working(
        "I = rated · derating · (1 − 0.3 % for each kelvin over 25 °C) · (1 − e^(−(n − cut-in)/880 rpm))",
        format!(
            "at most {} hot; {} at idle, {} at cruise",
            show(most, Current, "A"),
            show(slow, Current, "A"),
            show(fast, Current, "A")
        ),
        "the law of her model, shape of published curves after [ISO8854], from memory",
    );
    worked.working(
        "P = U I / η",
        format!(
            "{} · {} / {efficiency} = {}",
            show(volts, Voltage, "V"),
            show(fast, Current, "A"),
            show(takes(fast), Power, "kW")
        ),
        "definition; η from memory",
    );
    if turned(cruise, driven) > limit {
        worked.flags.push(format!(
            "At cruise it turns {}, more than the {} it stands: a larger pulley.",
            rpm(turned(cruise, driven)),
            rpm(limit)
        ));
    }
    if turned(idle, driven) < cut_in {
        worked.flags.push("At idle it turns too slowly to charge at all.".into());
    }
    wanted(given, most, driven, &|pulley| gives(idle, pulley), &|pulley| turned(cruise, pulley), &mut worked)?;
    worked.step_with_care(
        "Measure diameters where the belt runs, not over the rims. Change a pulley with the engine stopped, the start battery off and the alternator's own lead off.",
        "Belts take fingers, and the lead of an alternator is live with the engine stopped.",
    );
    worked.sketch =
        Some(sketch(&|speed| most * alternator_share(speed, cut_in), turned(idle, driven), turned(cruise, driven)));
    Ok(worked)
}

/// The pulley that gives the wanted current at idle.
fn wanted(
    given: &Given,
    most: f64,
    driven: f64,
    at_idle: &dyn Fn(f64) -> f64,
    at_cruise: &dyn Fn(f64) -> f64,
    worked: &mut Worked,
) -> Result<(), Refused> {
    let Some(wanted) = given.maybe("wanted-current") else { return Ok(()) };
    if wanted >= 0.99 * most {
        return Err(Refused::of(
            "wanted-current",
            format!("hot it gives no more than {} at any speed", show(most, Current, "A")),
            "Ask for less, or take a larger alternator.",
        ));
    }
    // A smaller pulley gives more.
    let Some(pulley) = crossing((5e-3, 1.0), |pulley| wanted - at_idle(pulley)) else { return Ok(()) };
    worked.result(
        "pulley",
        format!("Pulley on the alternator that gives {} at idle", show(wanted, Current, "A")),
        pulley,
        Length,
        "mm",
    );
    let limit = given.value("alternator-limit")?;
    worked.say(format!("For {} at idle its pulley must be {}.", show(wanted, Current, "A"), mm(pulley)));
    if pulley < LEAST_PULLEY {
        worked.flags.push(format!(
            "A pulley of {} is smaller than belts run on for long ({}): a larger one on the engine instead.",
            mm(pulley),
            mm(LEAST_PULLEY)
        ));
    }
    if at_cruise(pulley) > limit {
        worked.flags.push(format!(
            "With that pulley it would turn {} at cruise, more than the {} it stands: idle faster instead.",
            rpm(at_cruise(pulley)),
            rpm(limit)
        ));
    }
    if pulley < driven {
        worked.flags.push(
            "More current takes more from the belt, and a smaller pulley is wrapped less: work the belt again.".into(),
        );
    }
    Ok(())
}

fn sketch(gives: &dyn Fn(f64) -> f64, idle: f64, cruise: f64) -> Sketch {
    let rpm = 60.0 / TAU;
    let end = (cruise * rpm * 1.3).max(4_000.0);
    let curve: Vec<(f64, f64)> = (0..=120).map(|k| end * f64::from(k) / 120.0).map(|n| (n, gives(n / rpm))).collect();
    let top = curve.last().map_or(1.0, |last| last.1) * 1.15;
    let at = |speed: f64| vec![(speed * rpm, 0.0), (speed * rpm, gives(speed))];
    graph(
        "What the alternator gives hot over its own speed, with idle and cruise marked.",
        ("alternator speed [rpm]", (0.0, end)),
        ("current [A]", (0.0, top.max(1.0))),
        &[
            (Look::Firm, curve, "hot".into()),
            (Look::Marked, at(idle), "idle".into()),
            (Look::Marked, at(cruise), "cruise".into()),
        ],
    )
}
