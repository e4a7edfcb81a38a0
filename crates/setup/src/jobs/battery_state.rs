//! How full a battery is by its rested voltage, and how long it lasts.

use super::shared::{crossing, pair, percent, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::{Outcome, Worked};
use measure::quantity::Quantity::{Charge, Current, Duration, Ratio, Temperature, Voltage};
use physics::electrical::{CELL_NOMINAL, RESTED, cell_emf, run_time};

pub const JOB: Job = Job {
    word: "battery-state",
    title: "State of a battery",
    about: "How full a lead-acid battery is by its rested voltage, and how long it lasts at a draw.",
    group: Group::Judge,
    kinds: &["battery"],
    task: None,
    asks: &[
        Ask::one("rest-voltage", "Voltage at its posts, nothing charging and nothing drawn", Voltage, (1.0, 120.0))
            .like("12.40 V")
            .about(0.02),
        Ask::one("battery-voltage", "Its nominal voltage", Voltage, (2.0, 96.0))
            .like("12 V")
            .usual("12 V", "the commonest")
            .of_plant(&[("battery", "nominal")]),
        Ask::one("rested-for", "How long it has rested", Duration, (0.0, 30.0 * 86_400.0)).like("12 h").may(),
        Ask::one("battery-temperature", "Its temperature", Temperature, (233.0, 353.0))
            .like("20 °C")
            .usual("25 °C", "where makers state voltages"),
        Ask::one("bank-capacity", "Capacity of the bank, as its maker states it", Charge, (3.6e3, 36e6))
            .like("200 A·h")
            .may()
            .of_plant(&[("battery", "capacity")]),
        Ask::one(
            "capacity-hours",
            "Hours of discharge that the maker states it for",
            Duration,
            (3_600.0, 100.0 * 3_600.0),
        )
        .like("20 h")
        .usual("20 h", "the commonest, common practice, no source"),
        Ask::one("draw", "Current that is drawn", Current, (0.01, 2_000.0)).like("20 A").may(),
        Ask::one("peukert", "Exponent by which it gives less when drawn hard", Ratio, (1.0, 1.6))
            .like("1.2")
            .usual("1.2", "flooded lead-acid, from memory")
            .of_plant(&[("battery", "peukert")]),
        Ask::one("charge-floor", "How empty it may get", Ratio, (0.0, 0.95))
            .like("50 %")
            .usual("50 %", "for a long life, common practice, no source"),
    ],
    work,
};

/// Cells above this are on charge or have just been [V]; from memory.
const FRESH: f64 = 2.17;
/// A cell below this is dead or shorted [V]; from memory.
const DEAD: f64 = 1.9;
/// Rest that lets the surface charge go [s]; common practice, no source.
const REST: f64 = 4.0 * 3600.0;

/// How full by a table, straight on past its ends, between empty and full.
fn by(table: &[(f64, f64)], cell: f64) -> f64 {
    let after = table.iter().position(|point| point.0 >= cell).unwrap_or(table.len()).clamp(1, table.len() - 1);
    let ((x0, y0), (x1, y1)) = (table[after - 1], table[after]);
    (y0 + (y1 - y0) * (cell - x0) / (x1 - x0)).clamp(0.0, 1.0)
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let (nominal, warm) = (given.value("battery-voltage")?, given.value("battery-temperature")?);
    let cells = nominal / CELL_NOMINAL;
    let cell = given.value("rest-voltage")? / cells;
    if !(1.0..=FRESH).contains(&cell) {
        return Err(Refused::of(
            "rest-voltage",
            format!(
                "no battery of {} stands at {} at rest",
                show(nominal, Voltage, "V"),
                show(cell * cells, Voltage, "V")
            ),
            "Charger off, nothing drawn, four hours or a night of rest; and look at battery-voltage.",
        ));
    }
    let [first, second] = RESTED.map(|table| by(&table, cell));
    // The law of the model rises with charge; past its ends it is empty or full.
    let model = crossing((0.0, 1.0), |charge| cell_emf(charge, warm) - cell).unwrap_or(if cell > cell_emf(1.0, warm) {
        1.0
    } else {
        0.0
    });
    let charge = f64::midpoint(first, second);
    let mut worked = Worked {
        says: format!(
            "It is about {} full: {} and {} by two printed tables.",
            percent(charge),
            percent(first),
            percent(second)
        ),
        ..Worked::default()
    };
    // Two tables that differ by d leave a standard doubt of d/2.
    worked.results.push(Outcome {
        key: "charge".into(),
        says: "How full it is, the middle of two tables".into(),
        value: charge,
        quantity: Ratio,
        unit: "%",
        doubt: Some((first - second).abs() / 2.0),
    });
    worked.result("charge-first", "By the first table", first, Ratio, "%");
    worked.result("charge-second", "By the second table", second, Ratio, "%");
    worked.result("charge-model", "By the law of her model", model, Ratio, "%");
    worked.tables.push(table(
        format!("Rested voltage of a battery of {}", show(nominal, Voltage, "V")),
        &["full", "first table", "second table", "law of the model"],
        (0..4)
            .rev()
            .map(|k| {
                let full = RESTED[0][k].1;
                let volts = |cell: f64| format!("{:.2} V", cell * cells);
                vec![percent(full), volts(RESTED[0][k].0), volts(RESTED[1][k].0), volts(cell_emf(full, warm))]
            })
            .collect(),
    ));
    worked.working(
        "straight between the printed points",
        format!("{:.3} V a cell: {} and {}", cell, percent(first), percent(second)),
        "[RestedBattery]",
    );
    if cell < RESTED[0][0].0 {
        worked.flags.push("Below a quarter full neither table says anything: that end is drawn on straight. Charge it at once, an empty battery spoils in days.".into());
    }
    if cell < DEAD {
        worked.flags.push(format!("{} a cell is no resting voltage of a sound battery: dead flat for long, or a cell is shorted. Measure each cell or battery by itself, and their acid.", show(cell, Voltage, "V")));
    }
    if given.maybe("rested-for").is_some_and(|rested| rested < REST) {
        worked
            .flags
            .push("It has not rested four hours: after charging it shows too much, after a load too little.".into());
    }
    lasts(given, charge, &mut worked)?;
    worked.step_with_care(
        "Measure at its own posts, with a meter that reads hundredths; of several in parallel each by itself, its link taken off.",
        "A spanner across the posts melts: rings and watch off, negative off first, no flame near it.",
    );
    worked.step("Of a battery whose acid can be reached, its density tells more than its voltage; and neither tells how much it still holds: only drawing it down does.");
    Ok(worked)
}

fn lasts(given: &Given, charge: f64, worked: &mut Worked) -> Result<(), Refused> {
    if given.maybe("draw").is_none() {
        return Ok(());
    }
    let Some((capacity, draw)) = pair(given, "bank-capacity", "draw", "how long it lasts")? else { return Ok(()) };
    let (hours, exponent) = (given.value("capacity-hours")?, given.value("peukert")?);
    let floor = given.value("charge-floor")?;
    let full = run_time(capacity, hours, draw, exponent);
    let left = full * (charge - floor).max(0.0);
    worked.result("full-run", "How long a full one lasts to the last", full, Duration, "h");
    worked.result("run", format!("From now to {}", percent(floor)), left, Duration, "h");
    worked.say(format!("At {} it reaches {} in {:.1} h.", show(draw, Current, "A"), percent(floor), left / 3600.0));
    worked.working(
        "t = H (C / (I H))^k",
        format!(
            "{:.0} h · ({} / ({} · {:.0} h))^{exponent} = {:.2} h from full to empty",
            hours / 3600.0,
            show(capacity, Charge, "A·h"),
            show(draw, Current, "A"),
            hours / 3600.0,
            full / 3600.0
        ),
        "Peukert 1897, from memory",
    );
    if charge <= floor {
        worked.flags.push(format!("It is at {} already: charge before drawing more.", percent(charge)));
    }
    worked.flags.push("The time is that of a bank as good as new; an old one holds less.".into());
    Ok(())
}
