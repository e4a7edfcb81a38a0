//! How long the engine must run to charge a bank: as it is reckoned, and as the cells of the model take it.

use super::asked;
use super::shared::{graph, percent, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::sketch::{Look, Sketch};
use crate::worked::Worked;
use measure::quantity::Quantity::{Charge, Current, Duration, Ratio};
use physics::electrical::{CELL_CHARGE, CHARGING_AT, cell_current, gassing};

pub const JOB: Job = Job {
    word: "battery-charge",
    title: "Charging a bank",
    about: "How long the alternator must run to bring a bank of lead-acid batteries up.",
    group: Group::Size,
    kinds: &["battery"],
    task: None,
    asks: &[
        Ask::one("bank-capacity", "Capacity of the bank, as its maker states it", Charge, (3.6e3, 36e6))
            .like("800 A·h")
            .of_plant(&[("battery", "capacity")]),
        Ask::one(
            "charge-now",
            "How full it is now, by rested voltage or by a meter of ampere hours",
            Ratio,
            (0.0, 1.0),
        )
        .like("50 %")
        .about(0.04),
        Ask::one("charge-wanted", "How full it is to be", Ratio, (0.0, 1.0))
            .like("85 %")
            .usual("85 %", "where it begins to take less, [Trade] 2.7"),
        Ask::one("charge-current", "What the alternator or charger is rated at", Current, (1.0, 2_000.0))
            .like("120 A")
            .of_plant(&[("alternator", "rated_current")]),
        asked::DERATING,
        Ask::one("house-load", "What is drawn meanwhile", Current, (0.0, 2_000.0))
            .like("18 A")
            .usual("0 A", "none told"),
        Ask::one("charge-efficiency", "Share of the charge put in that the bank keeps", Ratio, (0.5, 1.0))
            .like("90 %")
            .usual("90 %", "flooded lead-acid, from memory")
            .about(0.03),
    ],
    work,
};

/// How full it is when the voltage limits and the current begins to fall [1]. Source: [Trade] 2.7.
const TAIL: f64 = 0.85;
/// Charge at which the tail is told [1].
const FULLER: [f64; 2] = [0.95, 0.98];
/// What a flooded bank takes an hour at most, of its capacity [1]. Source: [Trade] 2.7.
const TAKES: f64 = 0.2;
const HOUR: f64 = 3600.0;

/// Time [s] to a state of charge: at full current, and then with a current that falls as what is missing.
fn time_to(to: f64, from: f64, capacity: f64, net: f64, efficiency: f64) -> f64 {
    let at_full = (to.min(TAIL) - from).max(0.0) * capacity / (efficiency * net);
    let begins = from.max(TAIL);
    let tail = (1.0 - begins) * capacity / (efficiency * net);
    if to > begins { at_full + tail * ((1.0 - begins) / (1.0 - to)).ln() } else { at_full }
}

/// Current over capacity [1/s] that a cell takes, and what of it stays: no more than `most`, held at its charging voltage.
fn taken(charge: f64, most: f64) -> (f64, f64) {
    let at = |voltage: f64| cell_current(voltage, charge, CHARGING_AT);
    if at(CELL_CHARGE) <= most {
        return (at(CELL_CHARGE), at(CELL_CHARGE) - gassing(CELL_CHARGE, CHARGING_AT));
    }
    let voltage = super::shared::crossing((1.8, CELL_CHARGE), |voltage| at(voltage) - most).unwrap_or(CELL_CHARGE);
    (most, most - gassing(voltage, CHARGING_AT))
}

/// What is taken over time as the cells of the model do: time [s], charge [1], current [A]; until next to nothing stays, or a week.
fn by_cells(from: f64, capacity: f64, net: f64) -> Vec<(f64, f64, f64)> {
    let (mut time, mut charge) = (0.0, from);
    let mut course = Vec::new();
    while time < 168.0 * HOUR && charge < 0.995 {
        let (current, stays) = taken(charge, net / capacity);
        course.push((time, charge, current * capacity));
        // Half a per cent at a time.
        let step = (0.005 / stays.max(1e-9)).min(2.0 * HOUR);
        let (_, then) = taken((charge + stays * step).min(1.0), net / capacity);
        charge += 0.5 * (stays + then) * step;
        time += step;
    }
    course.push((time, charge, taken(charge.min(1.0), net / capacity).0 * capacity));
    course
}

fn when(course: &[(f64, f64, f64)], charge: f64) -> Option<f64> {
    let points: Vec<(f64, f64)> = course.iter().map(|(time, charge, _)| (*charge, *time)).collect();
    physics::sender::between(&points, charge)
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let capacity = given.value("bank-capacity")?;
    let (from, to) = (given.value("charge-now")?, given.value("charge-wanted")?);
    let given_current = given.value("charge-current")? * given.value("derating")?;
    let net = given_current - given.value("house-load")?;
    let efficiency = given.value("charge-efficiency")?;
    if net <= 0.0 {
        return Err(Refused::together(
            format!(
                "{} are given and as much or more is drawn: nothing is left to charge.",
                show(given_current, Current, "A")
            ),
            "Switch loads off, or run more alternator.",
        ));
    }
    if to <= from {
        return Err(Refused::of("charge-wanted", "it is that full already", "Tell more than charge-now."));
    }
    let time = time_to(to.min(0.999), from, capacity, net, efficiency);
    let course = by_cells(from, capacity, net);
    let hours = |time: f64| format!("{:.1} h", time / HOUR);
    let mut worked = Worked {
        says: format!(
            "{} net bring it from {} to {} in {}.",
            show(net, Current, "A"),
            percent(from),
            percent(to),
            hours(time)
        ),
        ..Worked::default()
    };
    worked.result("net-current", "What is left for the bank", net, Current, "A");
    worked.result("time", format!("Time to {}", percent(to)), time, Duration, "h");
    if let Some(time) = when(&course, to) {
        worked.result(
            "time-by-cells",
            format!("The same as her model's cells take it, to {}", percent(to)),
            time,
            Duration,
            "h",
        );
    }
    for full in FULLER.into_iter().filter(|full| *full > from && *full > to) {
        let key = format!("time-to-{:.0}", full * 100.0);
        worked.result(
            key,
            format!("Time to {}", percent(full)),
            time_to(full, from, capacity, net, efficiency),
            Duration,
            "h",
        );
    }
    let steps = [0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 0.98];
    let rows = steps.into_iter().filter(|full| *full > from).map(|full| {
        let cells = when(&course, full).map_or("over a week".into(), hours);
        vec![percent(full), hours(time_to(full, from, capacity, net, efficiency)), cells]
    });
    worked.tables.push(table("Time from now", &["full", "reckoned", "by her model's cells"], rows.collect()));
    let tail = (1.0 - from.max(TAIL)) * capacity / (efficiency * net);
    worked.working(
        "t = (to − from) · capacity / (efficiency · net current) up to 85 %; then the current falls as e^(−t/τ), τ = missing / (efficiency · net current)",
        format!(
            "net = {} · {} − {} = {}; {:.1} h to {}; τ = {} / ({efficiency:.2} · {}) = {:.2} h",
            given.told("charge-current").map_or("", |told| &told.written), percent(given.value("derating")?),
            show(given.value("house-load")?, Current, "A"), show(net, Current, "A"),
            time_to(to.min(TAIL), from, capacity, net, efficiency) / HOUR, percent(to.min(TAIL)),
            show((1.0 - from.max(TAIL)) * capacity, Charge, "A·h"), show(net, Current, "A"), tail / HOUR,
        ),
        "[Trade] 2.7; the tail as an exponential, from memory",
    );
    worked.working(
        "current into a cell = (voltage − resting voltage) / charging resistance + gas, no more than is given",
        "held at 2.37 V a cell and 25 °C; what goes into gas does not charge",
        "[Schiffer2007], the law by which her batteries are foretold: a sound flooded bank",
    );
    if net > TAKES * capacity / HOUR {
        worked.flags.push(format!(
            "{} is more than a fifth of the capacity an hour: a flooded bank will not take it for long, and more alternator does not help. \
             The time by the cells is the nearer one.",
            show(net, Current, "A"),
        ));
    }
    if to > 0.95 {
        worked.flags.push("The last tenth takes hours whatever the alternator: a shore charger or the sun does it better than the engine.".into());
    }
    worked.step_with_care(
        "Air the battery space while it charges, and feel alternator and belt after a quarter of an hour.",
        "Charging batteries give off hydrogen: no flame, no spark, and no lead taken off while current flows.",
    );
    worked.sketch = Some(sketch(&course, &|full| time_to(full, from, capacity, net, efficiency), from));
    Ok(worked)
}

fn sketch(course: &[(f64, f64, f64)], reckoned: &dyn Fn(f64) -> f64, from: f64) -> Sketch {
    let cells: Vec<(f64, f64)> = course.iter().map(|(time, charge, _)| (time / HOUR, 100.0 * charge)).collect();
    let rough: Vec<(f64, f64)> = (0..=80)
        .map(|k| from + (0.98 - from).max(0.0) * f64::from(k) / 80.0)
        .map(|full| (reckoned(full) / HOUR, 100.0 * full))
        .collect();
    let last = rough.last().map_or(1.0, |last| last.0).max(0.5) * 1.4;
    let low = (from * 10.0).floor() * 10.0;
    graph(
        "How full the bank is over time: reckoned (firm), and as the cells of the model take it (dashed).",
        ("hours", (0.0, last)),
        ("full [%]", (low.min(90.0), 103.0)),
        &[(Look::Firm, rough, "reckoned".into()), (Look::Dashed, cells, "by cells".into())],
    )
}
