//! The answer in words, by cylinder, and drawn.

use super::judged::{Cylinder, Test, Where};
use super::{BAR, RPM};
use crate::given::Given;
use crate::jobs::by_cylinder::{Bar, bars, named};
use crate::sketch::{Look, Sketch};
use crate::sure::sure;
use crate::worked::{Table, Worked};

fn bar(pressure: f64) -> String {
    format!("{:.1} bar", pressure / BAR)
}

impl Cylinder {
    fn leaks_says(&self) -> String {
        match self.leaks {
            _ if self.unexplained => {
                "not by a leak: it holds air standing; lash, cam, a bent rod, or the tester".into()
            }
            Where::NotTold => "rings, valves or gasket: a wet test tells".into(),
            Where::Rings => "rings or bore: oil brought it back".into(),
            Where::ValvesOrGasket => "valves or gasket: oil did not help".into(),
            Where::Both => "oil helped by half: rings and valves both".into(),
            Where::Gasket(other) => format!("the gasket between it and {other}: both are weak alike"),
        }
    }
}

pub fn says(test: &Test) -> String {
    let low = test.low();
    let level = match test.against() {
        _ if test.all_low() => " All of them are lower than they ought to be.",
        Some(_) if test.all_high() => " All of them are higher than they ought to be.",
        _ => "",
    };
    if low.is_empty() {
        return format!(
            "No cylinder is more than {:.0} % under the good ones, which make {}.{level}",
            100.0 * test.limit,
            bar(test.good)
        );
    }
    if let [a, b] = low[..]
        && matches!(test.cylinders[a - 1].leaks, Where::Gasket(_))
    {
        return format!(
            "Cylinders {a} and {b} are weak, side by side and alike: the head gasket between them first. The good ones make {}.{level}",
            bar(test.good)
        );
    }
    let weak = test.cylinders.iter().filter(|cylinder| cylinder.low);
    let each = weak.map(|one| format!("cylinder {} ({}): {}", one.number, sure(one.chance), one.leaks_says()));
    let each = each.collect::<Vec<_>>().join("; ");
    format!("Weak against the others, which make {}: {each}.{level}", bar(test.good))
}

pub fn tell(worked: &mut Worked, given: &Given, test: &Test) {
    flags(worked, given, test);
    let maybe = |value: Option<f64>, write: &dyn Fn(f64) -> String| value.map_or_else(|| "–".into(), write);
    let rows = test.cylinders.iter().map(|one| {
        vec![
            one.number.to_string(),
            bar(one.dry),
            format!("{:+.0} %", 100.0 * (one.dry / test.good - 1.0)),
            maybe(one.wet, &bar),
            maybe(one.leak_down, &|share| format!("{:.0} %", 100.0 * share)),
            maybe(one.left_by_leak.zip(test.expected).map(|(left, expected)| left * expected), &bar),
            if one.low {
                one.leaks_says()
            } else if one.high {
                "high: oil or carbon in it, or badly read".into()
            } else {
                "good".into()
            },
        ]
    });
    worked.tables.push(Table {
        title: "By cylinder".into(),
        heads: ["cylinder", "dry", "from the good", "wet", "leak-down", "with that leak", ""].map(Into::into).into(),
        rows: rows.collect(),
    });
    steps(worked, test);
    if let (Some(cranked), Some(expected)) = (test.cranked, test.expected) {
        worked.working(
            "p = p₁ (V₁ m / V m₁)ⁿ",
            format!(
                "{:.3} bar shut in at {:.0} cm³ into {:.1} cm³, n = {:.2}, at {:.0} rpm a sound leak of {:.2} mm²: {} over the air",
                cranked.pressure / BAR,
                cranked.volume(cranked.shut) * 1e6,
                cranked.clearance * 1e6,
                cranked.exponent,
                cranked.speed / RPM,
                cranked.leak * 1e6,
                bar(expected)
            ),
            "polytropic compression [Heywood1988] sec. 9.2; leak as a nozzle [White7] eq. 9.46",
        );
    }
    worked.working(
        "limit = good (1 − spread)",
        format!(
            "{} · (1 − {:.2}) = {}; the good ones are the middle of the better half",
            bar(test.good),
            test.limit,
            bar(test.good * (1.0 - test.limit))
        ),
        "common practice, no source",
    );
}

fn flags(worked: &mut Worked, given: &Given, test: &Test) {
    let flags = &mut worked.flags;
    if test.tires {
        flags.push(
            "Each cylinder reads lower than the one before: a battery that tires does that. Charge it, and test the last ones first."
                .into(),
        );
    }
    if let Some((ought, says)) = test.against() {
        if test.all_low() {
            let what = match test.all_by_rings() {
                Some(true) => "Oil raised all of them: rings and bores are worn all round.",
                Some(false) => {
                    "Oil did not raise them: slow or cold cranking, a choked air filter, late valves, or the tester before worn rings."
                }
                None => {
                    "Slow or cold cranking, a choked air filter and the tester come before worn rings; a wet test tells more."
                }
            };
            flags.push(format!("The good ones make {}, and {} {says}. {what}", bar(test.good), bar(ought)));
        } else if test.all_high() {
            flags.push(format!(
                "The good ones make {}, and {} {says}: another tester, carbon on the pistons, or another ratio than told.",
                bar(test.good),
                bar(ought)
            ));
        }
    }
    if let Some(least) = test.least {
        let under: Vec<usize> = test.cylinders.iter().filter(|one| one.dry < least).map(|one| one.number).collect();
        if !under.is_empty() {
            flags.push(format!("{} under the least the maker allows, {}.", named("cylinder", &under), bar(least)));
        }
    } else if test.wanted.is_none() {
        flags.push("What the maker allows was not told; cylinders are judged against each other.".into());
    }
    let high: Vec<usize> = test.cylinders.iter().filter(|one| one.high).map(|one| one.number).collect();
    if !high.is_empty() {
        flags.push(format!(
            "{} higher than the others: oil from a leaking seal, carbon, or a slip in reading.",
            named("cylinder", &high)
        ));
    }
    if test.cylinders.iter().any(|one| one.wet.is_some()) {
        flags.push("In a diesel the oil itself fills part of the small space, so all rise a little; weak ones are held against the rise of the good.".into());
    }
    if !given.list("leak-downs").is_empty() && test.cranked.is_none() {
        flags.push(
            "Tell compression-ratio, and what a leak-down would leave of the compression is worked out too.".into(),
        );
    }
}

fn steps(worked: &mut Worked, test: &Test) {
    worked.step_with_care(
        "Fuel off and kept off, all injectors or glow plugs out, air filter clean, battery full, valve clearances right, engine warm; crank each cylinder until the gauge stands still.",
        "What is blown out of an open hole goes through skin and burns: stand clear of all of them, no flame near. Nobody at belts and shaft.",
    );
    let low: Vec<&Cylinder> = test.cylinders.iter().filter(|one| one.low).collect();
    if low.is_empty() {
        worked.step("Write the readings down: the next time tells more than the limit.");
        return;
    }
    if low.iter().any(|one| one.wet.is_none()) {
        worked.step_with_care(
            "Put a small spoonful of engine oil, no more, into each cylinder in turn, turn her over twice by hand, and read again.",
            "More oil than the space at the top holds bends the rod: turn by hand first.",
        );
    }
    if low.iter().any(|one| one.leak_down.is_none()) {
        worked.step_with_care(
            "Leak-down of the weak ones and of one good: at the top with both valves shut. Listen: at the air filter the inlet valve, at the exhaust its valve, at the oil filler the rings, in the next cylinder or as bubbles in the coolant the gasket.",
            "The air turns the crank with force: lock the flywheel, no spanner left on it, hands away.",
        );
    }
    for one in low {
        worked.step(format!("Cylinder {}: {}.", one.number, one.leaks_says()));
    }
}

pub fn sketch(test: &Test) -> Sketch {
    let each: Vec<Bar> = test
        .cylinders
        .iter()
        .map(|one| Bar { height: one.dry / BAR, marked: one.low, beside: one.wet.map(|wet| wet / BAR) })
        .collect();
    let mut limits = vec![
        (test.good * (1.0 - test.limit) / BAR, Look::Dashed, "limit"),
        (test.good / BAR, Look::Thin, "the good ones"),
    ];
    limits.extend(test.expected.map(|expected| (expected / BAR, Look::Dashed, "expected")));
    limits.extend(test.least.map(|least| (least / BAR, Look::Firm, "least")));
    bars("Compression of each cylinder with the limit; the thin bar beside is the wet test.", "bar", &each, &limits)
}
