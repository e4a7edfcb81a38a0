//! Cable: the voltage it loses, and the section that loses no more than is allowed.

use super::shared::{SECTIONS, next_up, percent, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::Worked;
use measure::quantity::Quantity::{Area, Current, Length, Power, Ratio, Temperature, Voltage};
use physics::electrical::cable_resistance;

pub const JOB: Job = Job {
    word: "cable",
    title: "Section of a cable",
    about: "What voltage a cable loses on its way out and back, and how thick it must be.",
    group: Group::Size,
    kinds: &["cable"],
    task: None,
    asks: &[
        Ask::one("cable-current", "Current through it", Current, (0.01, 3_000.0)).like("75 A"),
        Ask::one("cable-length", "Length of the way, one way", Length, (0.05, 200.0))
            .like("3 m")
            .of_plant(&[("cable", "length")]),
        Ask::choice(
            "cable-duty",
            "What it is for",
            &[
                ("charging", "between alternator or charger and batteries: 3 %"),
                ("starting", "to the starter: 5 %"),
                ("navigation", "lights, instruments, radio, pumps: 3 %"),
                ("comfort", "what may run weak: 10 %"),
            ],
        )
        .usual("charging", "the strictest"),
        Ask::one("system-voltage", "Voltage of the system", Voltage, (5.0, 400.0))
            .like("12 V")
            .usual("12 V", "the commonest")
            .of_plant(&[("battery", "nominal")]),
        Ask::one("cable-section", "Section of the copper of the cable that is there", Area, (0.1e-6, 1e-3))
            .like("35 mm²")
            .may()
            .of_plant(&[("cable", "section")]),
        Ask::one("cable-temperature", "How warm the copper gets", Temperature, (230.0, 400.0))
            .like("50 °C")
            .usual("50 °C", "in an engine space, common practice, no source"),
    ],
    work,
};

/// What each duty may lose [1]. Source: [Trade] 2.7 (charging); the others common practice, no source.
const ALLOWED: [(&str, f64); 4] = [("charging", 0.03), ("starting", 0.05), ("navigation", 0.03), ("comfort", 0.10)];

fn work(given: &Given) -> Result<Worked, Refused> {
    let (current, length) = (given.value("cable-current")?, given.value("cable-length")?);
    let (volts, warm) = (given.value("system-voltage")?, given.value("cable-temperature")?);
    let duty = given.word("cable-duty");
    let allowed = ALLOWED.iter().find(|(word, _)| *word == duty).map_or(0.03, |(_, share)| *share);
    let drop = |area: f64| current * cable_resistance(length, area, warm);
    let needed = drop(1.0) / (allowed * volts);
    let chosen = next_up(&SECTIONS, needed);
    let square = |area: f64| format!("{} mm²", area * 1e6);
    let says = match chosen {
        Some(area) => format!(
            "For {duty}, take {}: it loses {} ({}); {} is allowed.",
            square((area * 1e8).round() / 1e8),
            show(drop(area), Voltage, "V"),
            percent(drop(area) / volts),
            percent(allowed)
        ),
        None => format!(
            "One cable of no usual section does it: it needs {}. Lay two side by side, or go nearer.",
            show(needed, Area, "mm²")
        ),
    };
    let mut worked = Worked { says, ..Worked::default() };
    worked.result("needed-section", "Copper that just loses what is allowed", needed, Area, "mm²");
    if let Some(area) = given.maybe("cable-section") {
        worked.result(
            "drop",
            format!("Lost in the cable that is there, {}", show(area, Area, "mm²")),
            drop(area),
            Voltage,
            "V",
        );
        worked.result("drop-share", "The same as a share of the system", drop(area) / volts, Ratio, "%");
        worked.result("lost-power", "Heat in it", drop(area) * current, Power, "W");
        if drop(area) > allowed * volts {
            worked.flags.push(format!(
                "The cable that is there loses {}, where {} is allowed for {duty}.",
                percent(drop(area) / volts),
                percent(allowed)
            ));
        }
        if drop(area) > 0.5 * volts {
            worked.flags.push("It would lose more than half the voltage: that current cannot flow here at all.".into());
        }
    }
    let near = SECTIONS.into_iter().filter(|area| (0.2..6.0).contains(&(area / needed)));
    worked.tables.push(table(
        "Sections on sale",
        &["section", "lost", "share", "heat", "for each mm²", "fits"],
        near.map(|area| {
            let fits = if drop(area) <= allowed * volts { "yes" } else { "no" };
            vec![
                square((area * 1e8).round() / 1e8),
                show(drop(area), Voltage, "V"),
                percent(drop(area) / volts),
                show(drop(area) * current, Power, "W"),
                show(current / (area * 1e6), Current, "A"),
                fits.into(),
            ]
        })
        .collect(),
    ));
    let area = given.maybe("cable-section").or(chosen).unwrap_or(needed);
    worked.working(
        "ΔU = I · 2 L ρ / A, ρ = 0.017241 Ω mm²/m · (1 + 0.00393 (T − 20 °C))",
        format!(
            "{} · 2 · {} over {} at {}: {}",
            show(current, Current, "A"),
            show(length, Length, "m"),
            show(area, Area, "mm²"),
            show(warm, Temperature, "°C"),
            show(drop(area), Voltage, "V")
        ),
        "[IEC60028], annealed copper",
    );
    worked.flags.push(
        "This is the section for the voltage alone. What the insulation stands by its heat is another table, of the cable's maker and of \
         the rules she is built to, and may ask for more; lugs and fuses lose as much again when they are bad."
            .into(),
    );
    worked.step_with_care(
        "Fuse it at its source for what the cable stands, crimp the lugs with the tool made for them, and measure the drop under load afterwards.",
        "A cable without a fuse is what fires aboard begin with. Take the negative off first, and the shore plug out, before work at batteries.",
    );
    Ok(worked)
}
