//! Injection timing: angles and rim distances, what was found against what is wanted, how far the pump is moved, what it costs.

mod burning;
mod marks;
mod sketch;

use super::asked;
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::{Kept, Worked};
use marks::{Rim, crank, degrees, mm, no_flywheel, spill, too_far, way};
use measure::quantity::Quantity::{Angle, Length, Pressure, Ratio, Temperature};
use physics::engine::piston_travel;
use std::f64::consts::{PI, TAU};

const DEGREE: f64 = PI / 180.0;

const fn before_top(key: &'static str, says: &'static str) -> Ask {
    Ask::one(key, says, Angle, (-20.0 * DEGREE, 70.0 * DEGREE)).may().like("22 °")
}

const fn along_rim(key: &'static str, says: &'static str) -> Ask {
    Ask::one(key, says, Length, (-0.5, 2.0)).may().like("92 mm").about(0.5e-3)
}

const fn below_top(key: &'static str, says: &'static str) -> Ask {
    Ask::one(key, says, Length, (0.0, 0.3)).may().like("6.20 mm")
}

pub const JOB: Job = Job {
    word: "timing",
    title: "Injection timing",
    about: "Crank angle and distance along the rim, spill point found and wanted, how far the pump is moved and what the error costs.",
    group: Group::Adjust,
    kinds: &["diesel", "injection-pump"],
    task: Some("timing"),
    asks: &[
        before_top("spill-wanted", "Spill point wanted, crank angle before the top"),
        along_rim("spill-wanted-rim", "The same as a distance along the rim before the top"),
        below_top("spill-wanted-drop", "The same as how far the piston stands below the top"),
        before_top("spill-found", "Spill point found, crank angle before the top").about(0.3 * DEGREE),
        along_rim("spill-found-rim", "The same along the rim from the top's mark; after the top: minus"),
        below_top("spill-found-drop", "The same by dial gauge on the piston, below the top").about(0.02e-3),
        before_top("spill-left", "Spill point left after the work, crank angle before the top"),
        asked::FLYWHEEL_DIAMETER.may(),
        Ask::choice(
            "rim-by",
            "What the rim is measured with",
            &[("tape", "a tape laid along the rim"), ("dividers", "dividers or a rule straight across")],
        )
        .usual("tape", "common practice, no source"),
        Ask::one("crank-angle", "Any crank angle, to be laid off along the rim", Angle, (0.0, PI)).may().like("24 °"),
        Ask::one("rim-distance", "Any distance along the rim, to be read as an angle", Length, (0.0, 3.0))
            .may()
            .like("50 mm"),
        asked::STROKE.may(),
        asked::ROD_LENGTH.may(),
        Ask::choice(
            "strokes",
            "Strokes of a cycle: the pump turns at half speed of a four-stroke, at full speed of a two-stroke",
            &[("four", "four-stroke"), ("two", "two-stroke")],
        )
        .usual("four", "common practice, no source"),
        Ask::one(
            "pump-flange-radius",
            "From the middle of the pump's shaft to the mark on its flange, or its slot",
            Length,
            (0.005, 0.5),
        )
        .may()
        .like("70 mm")
        .about(0.5e-3),
        Ask::choice(
            "pump-moved",
            "What is moved to set it",
            &[
                ("body", "the pump's body turns in its slots, the shaft stands"),
                ("coupling", "the pump's shaft turns in its coupling, the body stands"),
            ],
        )
        .usual("body", "common practice, no source"),
        Ask::choice(
            "pump-turns",
            "How the pump's shaft turns, seen on its driven end",
            &[("clockwise", "clockwise"), ("anticlockwise", "anticlockwise")],
        )
        .may(),
        Ask::one("pump-gear-teeth", "Teeth of the gear on the pump's shaft", Ratio, (8.0, 300.0)).may().like("56"),
        Ask::one("compression-ratio", "Compression ratio", Ratio, (8.0, 26.0)).usual("17", "from memory").like("17"),
        Ask::one("air-fuel-ratio", "Air for each mass of fuel at the load in question", Ratio, (15.0, 120.0))
            .usual("26", "from memory: near full load of an aspirated engine")
            .like("26"),
        Ask::one("charge-pressure", "Absolute pressure in the inlet", Pressure, (0.5e5, 5e5))
            .usual("0.97 bar_abs", "from memory: aspirated")
            .like("0.97 bar_abs"),
        Ask::one(
            "charge-temperature",
            "Temperature of the air as the inlet shuts, warmed by the walls",
            Temperature,
            (250.0, 450.0),
        )
        .usual("60 °C", "from memory"),
        Ask::one("inlet-closes", "Inlet closes, after the bottom", Angle, (-20.0 * DEGREE, 100.0 * DEGREE))
            .usual("40 °", "from memory"),
        Ask::one("exhaust-opens", "Exhaust opens, before the bottom", Angle, (-20.0 * DEGREE, 100.0 * DEGREE))
            .usual("45 °", "from memory"),
        Ask::one("ignition-delay", "Crank angle from spill to the first burning", Angle, (0.0, 40.0 * DEGREE))
            .usual("12 °", "from memory"),
        Ask::one(
            "burn-lasts",
            "Crank angle from the first burning to the last",
            Angle,
            (15.0 * DEGREE, 120.0 * DEGREE),
        )
        .usual("60 °", "from memory"),
    ],
    work,
};

/// An error that asks whether the gears mesh a tooth out [rad]; common practice, no source.
const FAR_OUT: f64 = 8.0 * DEGREE;

fn work(given: &Given) -> Result<Worked, Refused> {
    let rim = Rim::of(given);
    let rim = rim.as_ref();
    let mut worked = Worked::default();
    let said = conversions(given, rim, &mut worked)?;
    let found = spill(given, rim, ["spill-found", "spill-found-rim", "spill-found-drop"])?;
    let wanted = spill(given, rim, ["spill-wanted", "spill-wanted-rim", "spill-wanted-drop"])?;
    if found.is_none() && wanted.is_none() && said.is_empty() {
        return Err(Refused::together(
            "Nothing is told to work from.",
            "Tell the spill point found and wanted, or crank-angle or rim-distance with flywheel-diameter.",
        ));
    }
    worked.says = said.join(" ");
    if let Some(wanted) = wanted {
        marks("wanted", "Spill point wanted", wanted, given, rim, &mut worked)?;
    }
    if let Some(found) = found {
        marks("found", "Spill point found", found, given, rim, &mut worked)?;
    }
    match (found, wanted) {
        (Some(found), Some(wanted)) => {
            error(given, rim, found, wanted, &mut worked);
            burning::cost(given, found, wanted, &mut worked);
        }
        (Some(found), None) => {
            worked.say(format!("The spill point is {} before the top.", degrees(found)));
            worked.flags.push("What is wanted is not told: look on the flywheel, the plate or in the manual.".into());
        }
        (None, Some(wanted)) => {
            worked.say(format!("The spill point belongs {} before the top.", degrees(wanted)));
        }
        (None, None) => {}
    }
    worked.says = worked.says.trim().to_string();
    steps(found.is_some() || wanted.is_some(), &mut worked);
    let left = given.maybe("spill-left");
    if found.is_some() || left.is_some() {
        worked.kept.push(Kept { name: "spill point".into(), found, left, quantity: Angle, unit: "°" });
    }
    if let Some((left, wanted)) = left.zip(wanted)
        && (left - wanted).abs() > DEGREE
    {
        worked.flags.push(format!("Left {} off what is wanted.", degrees((left - wanted).abs())));
    }
    let any = given.maybe("crank-angle").or_else(|| rim.and_then(|rim| rim.angle(given.maybe("rim-distance")?)));
    worked.sketch = Some(sketch::draw(rim, found, wanted, any));
    Ok(worked)
}

/// Any angle to a distance, and any distance to an angle.
fn conversions(given: &Given, rim: Option<&Rim>, worked: &mut Worked) -> Result<Vec<String>, Refused> {
    let mut said = Vec::new();
    let with = |key: &'static str| {
        let value = given.maybe(key);
        match (value, rim) {
            (Some(value), Some(rim)) => Ok(Some((value, rim))),
            (Some(_), None) => Err(no_flywheel()),
            (None, _) => Ok(None),
        }
    };
    if let Some((angle, rim)) = with("crank-angle")? {
        let distance = rim.distance(angle);
        worked.result("rim-of-angle", "The angle along the rim", distance, Length, "mm");
        rim.working(angle, worked);
        said.push(format!("{} is {} {}.", degrees(angle), mm(distance), way(rim)));
    }
    if let Some((distance, rim)) = with("rim-distance")? {
        let angle = rim.angle(distance).ok_or_else(|| too_far("rim-distance", rim))?;
        worked.result("angle-of-rim", "The distance as a crank angle", angle, Angle, "°");
        rim.working(angle, worked);
        said.push(format!("{} {} is {}.", mm(distance), way(rim), degrees(angle)));
    }
    if let Some(rim) = rim {
        worked.result("rim-per-degree", "Along the rim for one degree", rim.diameter * DEGREE / 2.0, Length, "mm");
    }
    Ok(said)
}

/// A spill point in every measure it can be marked by.
fn marks(
    key: &str,
    says: &str,
    angle: f64,
    given: &Given,
    rim: Option<&Rim>,
    worked: &mut Worked,
) -> Result<(), Refused> {
    worked.result(format!("spill-{key}"), format!("{says}, before the top"), angle, Angle, "°");
    if let Some(rim) = rim {
        worked.result(
            format!("rim-{key}"),
            format!("{says}, {} before the top", way(rim)),
            rim.distance(angle),
            Length,
            "mm",
        );
        rim.working(angle, worked);
    }
    if let Some((radius, rod)) = crank(given)? {
        let drop = piston_travel(radius, rod, angle);
        worked.result(format!("drop-{key}"), format!("{says}, piston below the top"), drop, Length, "mm");
        worked.working(
            "x = r (1 − cos α) + l − √(l² − r² sin² α)",
            format!("r = {}, l = {}, α = {}: {:.2} mm", mm(radius), mm(rod), degrees(angle), drop * 1e3),
            "slider crank, [Norton]",
        );
    }
    Ok(())
}

/// How far it is out, and how far the pump is moved.
fn error(given: &Given, rim: Option<&Rim>, found: f64, wanted: f64, worked: &mut Worked) {
    let early = found - wanted;
    let half = if given.word("strokes") == "two" { 1.0 } else { 0.5 };
    worked.result("error", "Found earlier than wanted (minus: later)", early, Angle, "°");
    if let Some(rim) = rim {
        worked.result("error-rim", "The same along the rim by tape", rim.diameter * early / 2.0, Length, "mm");
    }
    worked.result("pump-angle", "The same at the pump's shaft", early * half, Angle, "°");
    worked.working(
        "pump = crank / 2 of a four-stroke, = crank of a two-stroke",
        format!("{} of the crank = {} of the pump", degrees(early), degrees(early * half)),
        "the pump's shaft makes one turn a cycle",
    );
    let state = match early {
        early if early.abs() < 0.5 * DEGREE => "It is timed as wanted".to_string(),
        early if early > 0.0 => format!("It is {} early", degrees(early)),
        early => format!("It is {} late", degrees(-early)),
    };
    let slot = given.maybe("pump-flange-radius").map(|radius| radius * early.abs() * half);
    if let Some(slot) = slot {
        worked.result("pump-move", "Along the pump's flange", slot, Length, "mm");
        worked.working(
            "move = radius · pump angle",
            format!(
                "{} · {} = {:.2} mm",
                mm(given.maybe("pump-flange-radius").unwrap_or(0.0)),
                degrees(early.abs() * half),
                slot * 1e3
            ),
            "geometry",
        );
    }
    let how = if early == 0.0 { String::new() } else { format!(": {}", direction(given, early > 0.0)) };
    let by = slot.map_or_else(
        || degrees(early.abs() * half),
        |slot| format!("{:.1} mm at its flange ({})", slot * 1e3, degrees(early.abs() * half)),
    );
    worked.say(if early.abs() < 0.5 * DEGREE {
        format!("{state}, within half a degree: let it be.")
    } else {
        format!("{state}: {} before the top, wanted {}. Move the pump {by}{how}.", degrees(found), degrees(wanted))
    });
    if early.abs() > FAR_OUT {
        let tooth = given.maybe("pump-gear-teeth").map(|teeth| TAU / half / teeth);
        worked.flags.push(match tooth {
            Some(tooth) => format!(
                "One tooth of the pump's gear is {} of the crank; this error is {:.1} teeth. Look at the gears' marks before the pump \
                 is moved.",
                degrees(tooth),
                early.abs() / tooth
            ),
            None => "So great an error is seldom wear: a gear a tooth out, the wrong mark, or a sheared key. Look before the pump is moved.".into(),
        });
    }
}

/// Which way, in words.
fn direction(given: &Given, early: bool) -> String {
    // The body turned against the shaft meets its lift sooner; the shaft turned on in its coupling too.
    let against = (given.word("pump-moved") == "coupling") == early;
    let what = if given.word("pump-moved") == "coupling" { "turn its shaft in the coupling" } else { "turn its body" };
    let way = if against { "against the way its shaft runs" } else { "the way its shaft runs" };
    let seen = match (given.word("pump-turns"), against) {
        ("clockwise", true) | ("anticlockwise", false) => ", anticlockwise seen on its driven end",
        ("clockwise", false) | ("anticlockwise", true) => ", clockwise seen on its driven end",
        _ => "",
    };
    format!("{what} {way}{seen}, which makes it {}", if early { "later" } else { "earlier" })
}

fn steps(spills: bool, worked: &mut Worked) {
    if !spills {
        worked.step_with_care(
            "Mark the rim, and turn her by hand to the mark.",
            "Key in the pocket while she is turned by hand: she can fire.",
        );
        return;
    }
    worked.step_with_care(
        "Stop her so that she cannot start: take the key or the start battery off. Stop control in the running position, or the pump \
         gives nothing.",
        "Key in the pocket while she is turned by hand, and never a hand before an injector or a parted high-pressure pipe: fuel \
         under pressure goes through skin.",
    );
    worked.step("Check the top's mark by the stop method before it is trusted.");
    worked.step("Turn her back past the spill point, then slowly her own way, so that all play of the gears is taken up one way.");
    worked.step(
        "Delivery valve of the first cylinder out, swan-neck pipe on, lift pump worked by hand: turn until the stream breaks into \
         single drops. Do it three times and take the mean.",
    );
    worked.step("After moving the pump: bolts tight, spill again, delivery valve back with a new washer, bleed.");
}
