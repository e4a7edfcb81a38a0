//! Table of a tank: litres over dip, level and as she lies, and what the pick-up leaves.

use super::asked;
use super::shared::{mm, or, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::sketch::{Hold, Look, Sketch};
use crate::worked::Worked;
use measure::quantity::Quantity::{Angle, Density, Length, Volume};
use std::f64::consts::TAU;

mod reading;
mod shape;

use reading::{Lies, Tank, tank};
use shape::{Shape, clipped, rectangle};

pub const JOB: Job = Job {
    word: "tank-table",
    title: "Table of a tank",
    about: "How many litres stand in a tank at a dip, level and as she heels and trims, and what its pick-up cannot reach.",
    group: Group::Size,
    kinds: &["fuel-tank", "day-tank"],
    task: None,
    asks: &[
        Ask::choice(
            "tank-shape",
            "Shape of the tank",
            &[
                ("box", "a box: length, width, height"),
                ("lying", "a cylinder that lies: length, diameter"),
                ("standing", "a cylinder that stands: diameter, height"),
                (
                    "sections",
                    "one section all along, told as widths at heights: length, section-heights, section-widths",
                ),
                ("filled", "of any shape, filled by known amounts and dipped: fill-dips, fill-litres"),
            ],
        ),
        Ask::choice(
            "tank-lies",
            "Which way a lying cylinder lies",
            &[("along", "along the ship"), ("across", "across the ship")],
        )
        .usual("along", "the commonest")
        .only("tank-shape", &["lying"]),
        Ask::one("tank-length", "Length inside", Length, (0.05, 30.0))
            .like("1.5 m")
            .may()
            .only("tank-shape", &["box", "lying", "sections"]),
        Ask::one("tank-width", "Width inside", Length, (0.05, 15.0)).like("800 mm").may().only("tank-shape", &["box"]),
        Ask::one("tank-height", "Height inside", Length, (0.05, 10.0))
            .like("600 mm")
            .may()
            .only("tank-shape", &["box", "standing"]),
        Ask::one("tank-diameter", "Diameter inside", Length, (0.05, 10.0))
            .like("600 mm")
            .may()
            .only("tank-shape", &["lying", "standing"]),
        Ask::many(
            "section-heights",
            "Heights over the bottom at which the width is told, from 0 up",
            Length,
            (0.0, 10.0),
        )
        .like("0, 200, 400, 600 mm")
        .may()
        .only("tank-shape", &["sections"]),
        Ask::many("section-widths", "Width inside at each of them", Length, (0.0, 15.0))
            .like("300, 550, 700, 760 mm")
            .may()
            .only("tank-shape", &["sections"]),
        Ask::choice(
            "straight-side",
            "Whether one side stands upright, as against a bulkhead, and the other follows the hull",
            &[
                ("none", "both sides alike"),
                ("port", "its port side stands upright"),
                ("starboard", "its starboard side stands upright"),
            ],
        )
        .usual("none", "both alike")
        .only("tank-shape", &["sections"]),
        Ask::many("fill-dips", "Dips while it was filled, level", Length, (0.0, 10.0))
            .like("0, 120, 260, 410 mm")
            .may()
            .only("tank-shape", &["filled"]),
        Ask::many("fill-litres", "Litres in it at each of them, all together", Volume, (0.0, 100.0))
            .like("0, 50, 100, 150 L")
            .may()
            .only("tank-shape", &["filled"]),
        Ask::one("dip", "Dip that was read at the sounding pipe", Length, (0.0, 10.0)).like("310 mm").may().about(2e-3),
        Ask::one("heel", "Heel, to starboard; minus to port", Angle, (-0.6, 0.6))
            .like("4°")
            .usual("0°", "level")
            .about(0.0),
        Ask::one("trim", "Trim, by the stern; minus by the head", Angle, (-0.35, 0.35))
            .like("1.5°")
            .usual("0°", "level")
            .about(0.0),
        Ask::one("pipe-along", "Sounding pipe forward of the tank's middle; minus aft", Length, (-15.0, 15.0))
            .like("-0.3 m")
            .usual("0 m", "in the middle"),
        Ask::one("pipe-across", "Sounding pipe to starboard of the tank's middle; minus to port", Length, (-8.0, 8.0))
            .like("0.2 m")
            .usual("0 m", "in the middle"),
        Ask::one(
            "pipe-foot",
            "Height over the tank's lowest bottom where the rod strikes; untold, the bottom under the pipe",
            Length,
            (0.0, 5.0),
        )
        .like("0 mm")
        .may(),
        Ask::one("pick-up", "Height of the pick-up's mouth over the tank's lowest bottom", Length, (0.0, 5.0))
            .like("25 mm")
            .may(),
        Ask::one("pick-up-along", "Pick-up forward of the tank's middle; minus aft", Length, (-15.0, 15.0))
            .like("-0.6 m")
            .usual("0 m", "in the middle"),
        Ask::one("pick-up-across", "Pick-up to starboard of the tank's middle; minus to port", Length, (-8.0, 8.0))
            .like("0 m")
            .usual("0 m", "in the middle"),
        Ask::one("dip-step", "Steps of the table", Length, (1e-3, 1.0)).like("20 mm").may(),
        asked::DISPLACEMENT.may(),
        Ask::one("liquid-density", "Density of what is in it", Density, (500.0, 1_500.0))
            .like("840 kg/m³")
            .usual("840 kg/m³", "diesel fuel, common practice, no source"),
    ],
    work,
};

/// Rows that a table may have.
const ROWS: f64 = 100.0;
/// Steps that people mark on a rod [m].
const STEPS: [f64; 6] = [5e-3, 10e-3, 20e-3, 25e-3, 50e-3, 100e-3];

fn work(given: &Given) -> Result<Worked, Refused> {
    let tank = tank(given)?;
    let (height, whole) = (tank.height(), tank.whole());
    let (heel, trim) = (given.value("heel")?, given.value("trim")?);
    // Liquid gathers on the low side: to starboard of a heel to starboard, aft of a trim by the stern.
    let lies = Lies { forward: -trim.tan(), starboard: heel.tan() };
    let level = Lies { forward: 0.0, starboard: 0.0 };
    let aslant = heel != 0.0 || trim != 0.0;
    let pipe = (given.value("pipe-along")?, given.value("pipe-across")?);
    inside(&tank, pipe, "pipe-along", "The sounding pipe")?;
    let foot = given.maybe("pipe-foot").unwrap_or_else(|| tank.bottom(pipe));
    let litres = |volume: f64| show(volume, Volume, "L");
    let mut worked = Worked { says: format!("It holds {} in all.", litres(whole)), ..Worked::default() };
    worked.result("whole", "All it holds", whole, Volume, "L");
    let unusable = unusable(given, &tank, lies)?;
    if let Some(dip) = given.maybe("dip") {
        if foot + dip > height + 1e-3 {
            return Err(Refused::of(
                "dip",
                format!("{} is more than the tank is high at the pipe, {}", mm(dip), mm(height - foot)),
                "Look at the dip, and whether its zero is the bottom.",
            ));
        }
        let (so, read) = (tank.below(pipe, foot + dip, lies), tank.below(pipe, foot + dip, level));
        worked.says = format!("At {} there are {} in it, of {}.", mm(dip), litres(so), litres(whole));
        worked.result("volume", "In it at this dip, as she lies", so, Volume, "L");
        if aslant {
            worked.result("read-level", "What the dip would say if she lay level", read, Volume, "L");
            worked.say(format!(
                "Read as if she lay level it would be {}, {} too {}.",
                litres(read),
                litres((read - so).abs()),
                if read > so { "much" } else { "little" }
            ));
        }
        if let Some(unusable) = unusable {
            worked.result("usable", "What the pick-up can reach of it", (so - unusable).max(0.0), Volume, "L");
        }
        stability(given, &tank, foot + dip, &mut worked)?;
    }
    if let Some(unusable) = unusable {
        worked.result("unusable", "What lies below the pick-up as she lies", unusable, Volume, "L");
    }
    rows(given, &tank, (pipe, foot), (lies, aslant), &mut worked)?;
    told(given, &tank, &mut worked);
    if let Tank::Shape(shape, across) = &tank {
        worked.sketch = Some(sketch(given, shape, *across, (pipe, foot, lies)));
    }
    Ok(worked)
}

/// A place must lie in the tank.
fn inside(tank: &Tank, place: (f64, f64), key: &'static str, what: &str) -> Result<(), Refused> {
    let Tank::Shape(shape, across) = tank else { return Ok(()) };
    let (long, wide) = shape.half();
    let (long, wide) = if *across { (wide, long) } else { (long, wide) };
    if place.0.abs() > long * 1.001 || place.1.abs() > wide * 1.001 {
        return Err(Refused::of(
            key,
            format!("{} would stand outside the tank", what.to_lowercase()),
            "Measure from the tank's middle, forward and to starboard.",
        ));
    }
    Ok(())
}

/// What lies below the pick-up's mouth [m³].
fn unusable(given: &Given, tank: &Tank, lies: Lies) -> Result<Option<f64>, Refused> {
    let Some(mouth) = given.maybe("pick-up") else { return Ok(None) };
    let place = (given.value("pick-up-along")?, given.value("pick-up-across")?);
    inside(tank, place, "pick-up-along", "The pick-up")?;
    if mouth >= tank.height() {
        return Err(Refused::of("pick-up", "its mouth is above the tank", "Height over the bottom, inside."));
    }
    Ok(Some(tank.below(place, mouth, lies)))
}

/// What the free surface takes off her stability.
fn stability(given: &Given, tank: &Tank, height: f64, worked: &mut Worked) -> Result<(), Refused> {
    let Some(moment) = tank.free_surface(height) else { return Ok(()) };
    let density = given.value("liquid-density")?;
    let shown =
        format!("{moment:.4} m⁴; times {} it is {:.3} t m", show(density, Density, "kg/m³"), moment * density / 1e3);
    worked.working(
        "i = ∫ b³/12 dx, about the surface's own middle line along the ship",
        shown,
        "definition, from memory",
    );
    if let Some(weight) = given.maybe("displacement") {
        let loss = density * moment / weight;
        worked.result("gm-loss", "What its free surface takes off her metacentric height", loss, Length, "mm");
    }
    Ok(())
}

/// The table itself.
fn rows(
    given: &Given,
    tank: &Tank,
    (pipe, foot): ((f64, f64), f64),
    (lies, aslant): (Lies, bool),
    worked: &mut Worked,
) -> Result<(), Refused> {
    let height = tank.height() - foot;
    if height <= 0.0 {
        return Err(Refused::of(
            "pipe-foot",
            "the rod would strike above the tank",
            "Height over the lowest bottom, inside.",
        ));
    }
    let step = or(given, "dip-step", STEPS.into_iter().find(|step| height / step <= 25.0).unwrap_or(height / 25.0));
    if height / step > ROWS {
        return Err(Refused::of(
            "dip-step",
            format!("steps of {} make {:.0} rows", mm(step), height / step),
            "Larger steps.",
        ));
    }
    let level = Lies { forward: 0.0, starboard: 0.0 };
    let count = (height / step + 1e-9).floor() as usize;
    let mut dips: Vec<f64> = (0..=count).map(|k| k as f64 * step).collect();
    if height - dips[count] > 1e-6 {
        dips.push(height);
    }
    let mut heads = vec!["dip", "level"];
    if aslant {
        heads.push("as she lies");
    }
    if tank.free_surface(0.0).is_some() {
        heads.push("free surface");
    }
    let row = |dip: &f64| {
        let mut row = vec![mm(*dip), format!("{:.1} L", tank.below(pipe, foot + dip, level) * 1e3)];
        if aslant {
            row.push(format!("{:.1} L", tank.below(pipe, foot + dip, lies) * 1e3));
        }
        row.extend(tank.free_surface(foot + dip).map(|moment| format!("{moment:.4} m⁴")));
        row
    };
    worked.tables.push(table("Litres over the dip at the sounding pipe", &heads, dips.iter().map(row).collect()));
    Ok(())
}

/// What is said of it besides.
fn told(given: &Given, tank: &Tank, worked: &mut Worked) {
    match tank {
        Tank::Shape(..) => worked.working("V = ∫ section below the surface dx, z = foot of the pipe + dip + (x − x_pipe) · rise forward + (y − y_pipe) · rise to starboard", "sections cut exactly, Simpson's rule along the tank", "geometry"),
        Tank::Filled(_) => {
            worked.working("V = table(dip − y tan(heel) + x tan(trim))", "straight between the dips; the surface at the tank's middle", "geometry, good while the surface meets neither bottom nor top");
            worked.flags.push("Aslant, a table by filling tells only what the middle of the surface says: near empty and near full it errs.".into());
        }
    }
    let pipe = (or(given, "pipe-along", 0.0), or(given, "pipe-across", 0.0));
    if pipe.0.abs() > 0.02 || pipe.1.abs() > 0.02 {
        worked.flags.push(format!(
            "The sounding pipe stands {} from the tank's middle: each degree of heel moves the dip by {}, of trim by {}. In the middle neither would.",
            mm(pipe.0.hypot(pipe.1)), mm(pipe.1.abs() * (TAU / 360.0).tan()), mm(pipe.0.abs() * (TAU / 360.0).tan()),
        ));
    }
    worked.flags.push(
        "Baffles, pipes and plate take 1 to 3 % off (from memory), and fuel swells by 0.08 % for each kelvin: what was metered cold stands higher when warm.".into(),
    );
    worked.step_with_care(
        "Dip slowly, twice, on a mark that does not move, and find the bottom first: sludge and a striking plate raise it. Prove the table with a metered filling.",
        "Fuel vapour burns: no flame, engine and heater stopped. Never climb into a tank: the air in it does not keep you alive.",
    );
}

/// Looking forward, starboard to the right: the section at the sounding pipe with what is in it.
fn sketch(given: &Given, shape: &Shape, across: bool, (pipe, foot, lies): ((f64, f64), f64, Lies)) -> Sketch {
    let mut sketch = Sketch::new(
        "The tank looking forward, starboard to the right: what is in it, the sounding pipe and the pick-up.",
    );
    let height = shape.height();
    let dip = or(given, "dip", (height - foot) / 2.0);
    let section = match shape {
        Shape::Prism { section, .. } => section.clone(),
        Shape::Lying { diameter, .. } if !across => {
            let at = |k: i32| TAU * f64::from(k) / 96.0;
            (0..96).map(|k| (diameter / 2.0 * at(k).cos(), diameter / 2.0 * (1.0 + at(k).sin()))).collect()
        }
        Shape::Lying { length, diameter } => rectangle(length / 2.0, *diameter),
        Shape::Standing { diameter, height } => rectangle(diameter / 2.0, *height),
    };
    let wet = clipped(&section, foot + dip - pipe.1 * lies.starboard, lies.starboard);
    if wet.len() > 2 {
        sketch.outline(Look::Face, wet);
    }
    let half = section.iter().fold(0.0, |most: f64, point| most.max(point.0.abs()));
    sketch.outline(Look::Firm, section);
    sketch.line(Look::Thin, [(pipe.1, foot), (pipe.1, 1.12 * height)]);
    sketch.letters((pipe.1, 1.15 * height), Hold::Middle, "pipe");
    sketch.measure((pipe.1, foot + dip), (pipe.1, foot), half - pipe.1 + 0.12 * height, format!("dip {}", mm(dip)));
    if let Some(mouth) = given.maybe("pick-up") {
        let at = or(given, "pick-up-across", 0.0);
        sketch.line(Look::Marked, [(at, mouth), (at, height)]);
        sketch.letters((at + 0.02 * half, height * 0.88), Hold::Start, "pick-up");
    }
    sketch.letters((-half, -0.1 * height), Hold::Start, "port");
    sketch.letters((half, -0.1 * height), Hold::End, "starboard");
    sketch
}
