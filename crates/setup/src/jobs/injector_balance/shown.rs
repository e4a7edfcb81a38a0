//! The answer in words, by cylinder, and drawn.

use super::causes::{Lean, Seen};
use super::{Cylinders, RPM};
use crate::given::Given;
use crate::jobs::by_cylinder::{Bar, bars, scatter, together};
use crate::sketch::{Look, Sketch};
use crate::sure::sure;
use crate::worked::{Table, Worked};
use measure::unit::print_usual;
use physics::constants::ZERO_CELSIUS as ZERO;

/// Less of the cuts than this in the speed means that a governor made up for them [1].
const HELD: f64 = 0.7;
/// Shares that come to more than this together were read under another load than told [1].
const TOO_MUCH: f64 = 1.4;

pub fn says(all: &Cylinders, seen: &[Seen], off: &[usize]) -> String {
    if off.is_empty() {
        return "All cylinders are within the limits: none stands out.".into();
    }
    if off.len() * 2 > all.count {
        let numbers: Vec<usize> = off.iter().map(|cylinder| cylinder + 1).collect();
        return format!(
            "Cylinders {} stand apart from the middle: with so many the middle itself means little. Read again at a steady load before anything is turned.",
            together(&numbers)
        );
    }
    let each = off.iter().map(|cylinder| {
        let (what, _) = seen[*cylinder].says();
        format!("Cylinder {} stands out ({}): {what}", cylinder + 1, sure(seen[*cylinder].chance))
    });
    each.collect::<Vec<_>>().join(". ") + "."
}

pub fn tell(worked: &mut Worked, given: &Given, all: &Cylinders, seen: &[Seen], off: &[usize]) {
    flags(worked, given, all, seen, off);
    let number =
        |value: Option<&f64>, write: &dyn Fn(f64) -> String| value.map_or_else(|| "–".into(), |value| write(*value));
    let rows = (0..all.count).map(|cylinder| {
        vec![
            (cylinder + 1).to_string(),
            number(all.ports.get(cylinder), &|port| format!("{:.0} °C", port - ZERO)),
            number(all.apart.get(cylinder), &|apart| format!("{apart:+.0} K")),
            number(all.pulls.get(cylinder), &|pull| format!("{:.0} %", 100.0 * (1.0 + pull))),
            if off.contains(&cylinder) { sure(seen[cylinder].chance) } else { "" }.to_string(),
            if off.contains(&cylinder) { seen[cylinder].says().0 } else { "like the others" }.to_string(),
        ]
    });
    worked.tables.push(Table {
        title: "By cylinder".into(),
        heads: ["cylinder", "exhaust", "from the middle", "gives", "off?", ""].map(Into::into).into(),
        rows: rows.collect(),
    });
    steps(worked, given, all, seen, off);
    if !all.pulls.is_empty() {
        let with = match (given.maybe("uncut-speed"), given.maybe("uncut-power")) {
            (_, Some(power)) => format!(
                "of {} at the shaft, {:.0} % of what is burnt into work",
                print_usual(power, measure::quantity::Quantity::Power),
                100.0 * given.maybe("mechanical-efficiency").unwrap_or(1.0)
            ),
            (Some(speed), _) => {
                format!(
                    "from {:.0} rpm, {}; {:.0} % of the cuts seen, the governor made up for the rest",
                    speed / RPM,
                    given.word("cut-load"),
                    100.0 * all.seen.min(1.0)
                )
            }
            _ => String::new(),
        };
        worked.working(
            "share = 1 − (load + friction) after / before, over what the governor added",
            with,
            "balance of torque, [Heywood1988] sec. 13.2; friction [Millington1968], propeller [Carlton4]",
        );
    }
    if !all.apart.is_empty() && all.rise > 50.0 {
        worked.working(
            "fuel = ΔT / (T − air)",
            format!("the middle port is {:.0} K above the air: 1 % of fuel is {:.1} K", all.rise, all.rise / 100.0),
            "first law on the same air, [Heywood1988] eq. 12.2",
        );
    }
}

fn flags(worked: &mut Worked, given: &Given, all: &Cylinders, seen: &[Seen], off: &[usize]) {
    if !all.pulls.is_empty() && all.seen < HELD {
        worked.flags.push(format!(
            "Her speed shows {:.0} % of the cuts; the governor made up for the rest, which is reckoned in. With the rack held the drops are larger and surer.",
            100.0 * all.seen
        ));
    }
    if all.seen > TOO_MUCH {
        worked.flags.push(format!(
            "All cuts together come to {:.0} % of the whole: the load or the speed is not as told; compare the cylinders, not the figures.",
            100.0 * all.seen
        ));
    }
    if !all.apart.is_empty() && all.rise < 150.0 {
        worked.flags.push("The ports are hardly warmer than the air: read at half load or more.".into());
    }
    if !all.apart.is_empty() && given.list("port-temperatures-cold").is_empty() {
        worked.flags.push("The sensors were not compared cold: what one shows too much looks like fuel here.".into());
    }
    if all.apart.is_empty() || all.pulls.is_empty() {
        worked.flags.push(
            "One way alone was read; ports and cut-outs together tell fuel from timing and from the sensor.".into(),
        );
    }
    let good: Vec<f64> =
        all.apart.iter().enumerate().filter(|(cylinder, _)| !off.contains(cylinder)).map(|(_, apart)| *apart).collect();
    if good.len() > 3 && scatter(&good) > 0.6 * all.port_limit {
        worked.flags.push(
            "Those within the limits scatter widely themselves: a steady load and clean sensor pockets first.".into(),
        );
    }
    if off.iter().any(|cylinder| seen[*cylinder].lean() == Lean::Fuel) && given.maybe("fuel-step").is_none() {
        worked.flags.push(
            "Not every pump has an adjustment for each cylinder; where it has none, the pump goes to a bench for it."
                .into(),
        );
    }
    worked.flags.push(
        "Cylinders are in the order told; engines are numbered from either end, so look which end hers begins.".into(),
    );
}

/// Where ports are read.
const HOT: &str = "Exhaust parts burn skin and set rags alight: sleeves down, nothing loose near belts while she runs.";

fn steps(worked: &mut Worked, given: &Given, all: &Cylinders, seen: &[Seen], off: &[usize]) {
    if all.pulls.is_empty() {
        worked.step_with_care(
            "At idle out of gear, the rack held, loosen the union at one injector after the other and write down by how much the speed drops.",
            "Fuel under pressure goes through gloves and skin: hospital at once, even for a prick. Goggles, a rag round the union, never a hand in front; nothing hot below. Not on common-rail engines.",
        );
    } else if all.apart.is_empty() {
        worked.step_with_care("Read the temperature at each port, at the same spot, warm at half load or more.", HOT);
    }
    for cylinder in off {
        let (_, first) = seen[*cylinder].says();
        worked.step(format!("Cylinder {}: {first}.", cylinder + 1));
    }
    if off.iter().any(|cylinder| seen[*cylinder].lean() == Lean::Fuel) && given.maybe("fuel-step").is_some() {
        worked.step_with_care(
            "Only when injector and compression are known to be sound: move the adjustment of that cylinder by half of what is told, read all again, then the rest.",
            "Too much fuel melts pistons: never above the maker's limit of exhaust temperature. Seals on a pump are broken by licensed shops.",
        );
    }
    if off.is_empty() {
        worked.step_with_care(
            "Leave injectors and pump alone, and keep these readings to compare with the next ones.",
            HOT,
        );
    } else {
        worked.step_with_care("Read all cylinders again at the same load, and keep both.", HOT);
    }
}

pub fn sketch(all: &Cylinders, off: &[usize]) -> Sketch {
    if all.ports.is_empty() {
        let each = all.pulls.iter().enumerate().map(|(cylinder, pull)| Bar {
            height: 100.0 * (1.0 + pull),
            marked: off.contains(&cylinder),
            beside: None,
        });
        let limits = [
            (100.0 * (1.0 + all.pull_limit), Look::Dashed, "limit"),
            (100.0, Look::Thin, "middle"),
            (100.0 * (1.0 - all.pull_limit), Look::Dashed, "limit"),
        ];
        return bars(
            "What each cylinder gives, of the middle one, with the limits.",
            "% of the middle",
            &each.collect::<Vec<_>>(),
            &limits,
        );
    }
    let middle = crate::jobs::by_cylinder::median(&all.ports) - ZERO;
    // What each gives stands beside, a full middle one as high as the middle port.
    let each = all.ports.iter().enumerate().map(|(cylinder, port)| Bar {
        height: port - ZERO,
        marked: off.contains(&cylinder),
        beside: all.pulls.get(cylinder).map(|pull| middle * (1.0 + pull).max(0.0)),
    });
    let limits = [
        (middle + all.port_limit, Look::Dashed, "limit"),
        (middle, Look::Thin, "middle"),
        (middle - all.port_limit, Look::Dashed, "limit"),
    ];
    bars(
        "Exhaust temperature of each cylinder with the limits about the middle; the thin bar beside is what each gives, the middle one as high as the middle.",
        "exhaust [°C]",
        &each.collect::<Vec<_>>(),
        &limits,
    )
}
