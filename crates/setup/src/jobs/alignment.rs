//! The propeller shaft's coupling: what is shimmed and moved at each pair of feet to bring the gear in line with the shaft.
//!
//! The shaft stands, the engine is moved. Ahead of the coupling the engine's axis is a straight line; what was read tells it
//! ([`readings`]), and each foot is moved back by what the line is off there ([`moves`]).

mod moves;
mod readings;
mod sketch;

use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::{Kept, Worked};
use measure::quantity::Quantity::{Length, RotationalSpeed};
use moves::{Feet, Off, Tolerance};
use readings::{Axis, PLACES};

/// Standard uncertainty of a gap felt with leaves in steps of 0.05 mm [m]; common practice, no source.
const FELT: f64 = 0.015e-3;
/// Of a dial in hundredths [m]; common practice, no source.
const DIAL: f64 = 0.007e-3;
/// Of a tape along the engine [m].
const TAPE: f64 = 3e-3;

const FEELERS: &[&str] = &["feelers"];
const RIM_AND_FACE: &[&str] = &["rim-and-face"];
const REVERSE_DIAL: &[&str] = &["reverse-dial"];

const fn gap(key: &'static str, says: &'static str) -> Ask {
    Ask::many(key, says, Length, (0.0, 0.02)).may().about(FELT).like("0.05 mm").only("method", FEELERS)
}

const fn dial(key: &'static str, says: &'static str, method: &'static [&'static str]) -> Ask {
    Ask::many(key, says, Length, (-0.02, 0.02)).may().about(DIAL).like("-0.30 mm").only("method", method)
}

const fn small(key: &'static str, says: &'static str) -> Ask {
    Ask::one(key, says, Length, (-0.02, 0.02)).may().like("0.20 mm")
}

pub const JOB: Job = Job {
    word: "alignment",
    title: "Shaft alignment",
    about: "Shims and sideways moves at each pair of feet, from what is read at the propeller shaft's coupling.",
    group: Group::Adjust,
    kinds: &["gearbox"],
    task: Some("alignment"),
    asks: &[
        Ask::choice(
            "method",
            "How the coupling was measured",
            &[
                ("feelers", "gaps between the flanges, at four places"),
                ("rim-and-face", "one dial on the rim and one on the face, turned round"),
                ("reverse-dial", "two dials, each on the other half's rim"),
            ],
        )
        .usual("feelers", "common practice, no source"),
        Ask::one("flange-diameter", "Diameter of the coupling's flanges, where the gaps are felt", Length, (0.04, 1.5))
            .like("127 mm")
            .about(0.5e-3),
        gap("gap-top", "Gap at the top; several values for several turns of the shaft"),
        gap("gap-bottom", "Gap at the bottom, at the same turns"),
        gap("gap-port", "Gap at the port side, at the same turns"),
        gap("gap-starboard", "Gap at the starboard side, at the same turns"),
        Ask::many(
            "turned",
            "How far the shaft's flange had been turned at each value; left out, even steps of one turn",
            measure::quantity::Quantity::Angle,
            (-7.0, 7.0),
        )
        .may()
        .like("0, 90, 180, 270 °").only("method", FEELERS),
        small("flange-above", "How far the gear's flange stands above the shaft's, by straight edge; below: minus")
            .about(0.02e-3).only("method", FEELERS),
        small("flange-starboard", "How far it stands to starboard of it; to port: minus").about(0.02e-3).only("method", FEELERS),
        Ask::one("face-swing", "Diameter of the circle on which the face dial runs", Length, (0.03, 1.5))
            .may()
            .like("150 mm")
            .about(0.5e-3).only("method", RIM_AND_FACE),
        dial("rim-bottom", "Rim dial at the bottom, set to nothing at the top; plus where it is pressed in", RIM_AND_FACE),
        dial("rim-port", "Rim dial at the port side", RIM_AND_FACE),
        dial("rim-starboard", "Rim dial at the starboard side", RIM_AND_FACE),
        dial("face-bottom", "Face dial at the bottom, set to nothing at the top; plus where it is pressed in", RIM_AND_FACE),
        dial("face-port", "Face dial at the port side", RIM_AND_FACE),
        dial("face-starboard", "Face dial at the starboard side", RIM_AND_FACE),
        Ask::choice(
            "bracket",
            "The half that carries the dials' bracket; left out, the engine's",
            &[("engine", "the gear's half, the dials run on the shaft's"), ("shaft", "the shaft's half, they run on the gear's")],
        )
        .may().only("method", RIM_AND_FACE),
        Ask::choice(
            "face-touched",
            "The face that its dial touches; left out, the front",
            &[("front", "the one that looks at the half with the bracket"), ("back", "the one turned away from it")],
        )
        .may().only("method", RIM_AND_FACE),
        dial("shaft-dial-bottom", "Dial on the shaft's rim, bracket on the gear's half, at the bottom", REVERSE_DIAL),
        dial("shaft-dial-port", "The same at the port side", REVERSE_DIAL),
        dial("shaft-dial-starboard", "The same at the starboard side", REVERSE_DIAL),
        dial("gear-dial-bottom", "Dial on the gear's rim, bracket on the shaft's half, at the bottom", REVERSE_DIAL),
        dial("gear-dial-port", "The same at the port side", REVERSE_DIAL),
        dial("gear-dial-starboard", "The same at the starboard side", REVERSE_DIAL),
        Ask::one("dials-apart", "Distance between the two dials along the shaft", Length, (0.02, 3.0))
            .may()
            .like("200 mm")
            .about(1e-3).only("method", REVERSE_DIAL),
        small("sag", "What the rim dial on its bracket reads at the bottom of a stiff bar, set to nothing at the top")
            .like("-0.06 mm")
            .about(DIAL).only("method", &["rim-and-face", "reverse-dial"]),
        Ask::one(
            "aft-feet",
            "Ahead to the feet nearest to the coupling, from its face; with dials from where the rim dial runs, of two the one on the gear",
            Length,
            (0.01, 10.0),
        )
        .like("550 mm")
        .about(TAPE),
        Ask::one("forward-feet", "The same to the feet farthest from the coupling", Length, (0.05, 15.0)).like("1550 mm").about(TAPE),
        Ask::one("feet-across", "Distance between port and starboard feet", Length, (0.1, 5.0)).may().like("560 mm"),
        Ask::many(
            "soft-foot",
            "Rise of each foot when its own bolt alone is slackened: aft port, aft starboard, forward port, forward starboard",
            Length,
            (0.0, 0.02),
        )
        .may()
        .like("0.02, 0.10, 0.00, 0.03 mm"),
        small("warm-rise-aft", "How much the aft feet rise, or the gear over them, from cold to working heat").about(0.02e-3),
        small("warm-rise-forward", "The same at the forward feet").about(0.02e-3),
        small("afloat-rise-aft", "Measured ashore: how much the aft feet rise against the shaft when she is afloat and loaded")
            .about(0.05e-3),
        small("afloat-rise-forward", "The same at the forward feet").about(0.05e-3),
        Ask::choice(
            "mounts",
            "What the engine stands on",
            &[("solid", "chocks or shims on the beds"), ("flexible", "rubber or spring mounts")],
        )
        .may(),
        Ask::one("shaft-speed", "Fastest speed of the propeller shaft", RotationalSpeed, (1.0, 800.0)).may().like("650 rpm"),
        gap("left-top", "Gap at the top after the work"),
        gap("left-bottom", "Gap at the bottom after the work"),
        gap("left-port", "Gap at the port side after the work"),
        gap("left-starboard", "Gap at the starboard side after the work"),
    ],
    work,
};

/// Feet closer together than this do not hold an angle [m].
const FEET_APART: f64 = 0.1;
/// A slope beyond this is no misalignment but a slip in a number [1].
const STEEPEST: f64 = 0.03;

fn work(given: &Given) -> Result<Worked, Refused> {
    let diameter = given.value("flange-diameter")?;
    let feet = feet(given)?;
    let axis = match given.word("method") {
        "rim-and-face" => readings::rim_and_face(given)?,
        "reverse-dial" => readings::reverse_dial(given)?,
        _ => readings::feelers(given, diameter)?,
    };
    let steep = [&axis.up, &axis.starboard].into_iter().flatten().find(|line| line.slope.abs() > STEEPEST);
    if let Some(line) = steep {
        return Err(Refused::together(
            format!("The engine would stand {:.0} mm out over each metre.", line.slope.abs() * 1e3),
            "That is seen by eye: bring it nearer first, or look at the readings, their units and the flange's diameter.",
        ));
    }
    let off = Off::of(given, &axis, &feet);
    let tolerance = Tolerance::of(given.maybe("shaft-speed"), diameter);
    let mut worked = Worked::default();
    moves::answer(&mut worked, &off, &feet, &tolerance);
    worked.flags.extend(axis.flags.iter().cloned());
    let soft = soft_foot(given, &mut worked);
    notes(given, &off, &axis, &mut worked);
    for (formula, with) in &axis.working {
        worked.working(formula, with.clone(), "geometry");
    }
    off.worked(&feet, &mut worked);
    steps(given, &off, &feet, soft, &mut worked);
    kept(given, &mut worked);
    worked.sketch = Some(sketch::draw(&off, &feet, diameter));
    Ok(worked)
}

fn feet(given: &Given) -> Result<Feet, Refused> {
    let feet = Feet { aft: given.value("aft-feet")?, forward: given.value("forward-feet")? };
    if feet.forward - feet.aft < FEET_APART {
        return Err(Refused::of(
            "forward-feet",
            format!("the feet at {} and at {} stand at one place", mm(feet.aft), mm(feet.forward)),
            "Measure both from the coupling's face; the aft feet are the nearer ones.",
        ));
    }
    Ok(feet)
}

/// Greatest rise of a foot that is let be [m]: 0.05 mm; common practice, no source.
const SOFT: f64 = 0.05e-3;
const FEET: [&str; 4] = ["aft port", "aft starboard", "forward port", "forward starboard"];

/// Feet that do not bear are shimmed before anything else: the step, if there are any.
fn soft_foot(given: &Given, worked: &mut Worked) -> Option<String> {
    let soft: Vec<(usize, f64)> =
        given.list("soft-foot").into_iter().enumerate().filter(|(_, rise)| *rise > SOFT).collect();
    if soft.is_empty() {
        return None;
    }
    let name = |place: usize| FEET.get(place).map_or_else(|| format!("{}th", place + 1), |name| (*name).to_string());
    let each: Vec<String> = soft.iter().map(|(place, rise)| format!("{} {}", name(*place), mm(*rise))).collect();
    let mut says = format!(
        "A foot does not bear ({}): the engine twists as its bolt is drawn down, and what was read moves with it. Shim \
         that foot first and read the coupling again; the moves given here are rough until then.",
        each.join(", ")
    );
    if let (Some(across), Some((_, rise))) = (given.maybe("feet-across"), soft.first()) {
        let tilt =
            format!(" Over {} between the feet it tilts the engine by {:.2} mm/m.", mm(across), rise / across * 1e3);
        says.push_str(&tilt);
    }
    worked.flags.push(says);
    Some(format!("Shim what does not bear, before anything is moved: {}. Read the coupling again.", each.join(", ")))
}

fn notes(given: &Given, off: &Off, axis: &Axis, worked: &mut Worked) {
    if given.word("mounts") == "flexible" {
        worked.flags.push(
            "Flexible mounts settle with time, most in the first weeks: set the engine a little high rather than low, level \
             each pair of mounts, and measure again after some fifty hours (common practice, no source)."
                .into(),
        );
    }
    if off.rises {
        worked.flags.push(
            "The moves leave the engine off by as much as it will move when warm or afloat: cold and at rest the coupling \
             will then not look true."
                .into(),
        );
    }
    if axis.up.is_none() || axis.starboard.is_none() {
        worked.flags.push("Only one plane is judged; measure the other before the bolts are drawn down.".into());
    }
}

fn steps(given: &Given, off: &Off, feet: &Feet, soft: Option<String>, worked: &mut Worked) {
    worked.step_with_care(
        "Stop her, take the key or the start battery off, and hang a note on it. Put the gear in neutral, let the shaft lie free.",
        "Key in the pocket; hands clear of the coupling while anyone turns the shaft, and no foot under an engine on a jack.",
    );
    if let Some(soft) = soft {
        worked.step(soft);
    }
    if given.word("method") == "feelers" {
        worked.step(
            "Part the flanges until feelers enter, spigot just clear, and hold the shaft's own weight and that of the half \
             coupling in the middle of its play.",
        );
    }
    for says in off.orders(feet) {
        worked.step(says);
    }
    worked.step("Draw the bolts down evenly and measure again: drawing down moves the engine.");
    worked.step("Measure afloat, after one to two days in the water with fuel, water and stores as usual.");
}

/// What was found and left.
fn kept(given: &Given, worked: &mut Worked) {
    let mut keep = |name: String, found: Option<f64>, left: Option<f64>| {
        if found.is_some() || left.is_some() {
            worked.kept.push(Kept { name, found, left, quantity: Length, unit: "mm" });
        }
    };
    let mean = |key: &str| {
        let all = given.list(key);
        (!all.is_empty()).then(|| all.iter().sum::<f64>() / all.len() as f64)
    };
    for (place, ..) in PLACES {
        keep(format!("gap, {place}"), mean(&format!("gap-{place}")), mean(&format!("left-{place}")));
    }
    for (dial, name) in [
        ("rim", "rim dial"),
        ("face", "face dial"),
        ("shaft-dial", "dial on the shaft's rim"),
        ("gear-dial", "dial on the gear's rim"),
    ] {
        for (place, ..) in PLACES {
            keep(format!("{name}, {place}"), mean(&format!("{dial}-{place}")), None);
        }
    }
    keep("gear flange above the shaft's".into(), given.maybe("flange-above"), None);
    keep("gear flange to starboard of the shaft's".into(), given.maybe("flange-starboard"), None);
}

/// Hundredths of a millimetre; whole ones from ten centimetres on.
fn mm(length: f64) -> String {
    if length.abs() >= 0.1 { format!("{:.0} mm", length * 1e3) } else { format!("{:.2} mm", length * 1e3) }
}
