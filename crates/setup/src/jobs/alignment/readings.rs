//! What feelers and dials read round a coupling, as where the gear's axis lies.

use super::mm;
use crate::given::Given;
use crate::job::Refused;
use crate::least_squares::{Reading, fit};
use std::f64::consts::TAU;

/// Places round the rim: name, and how far up and to starboard it lies.
pub const PLACES: [(&str, f64, f64); 4] =
    [("top", 1.0, 0.0), ("bottom", -1.0, 0.0), ("port", 0.0, -1.0), ("starboard", 0.0, 1.0)];

/// Most turns of the shaft that are told.
const TURNS: usize = 12;
/// Readings that miss each other by more than so many times their doubt are told of, and refused [1].
const ODD: f64 = 2.0;
const FALSE: f64 = 5.0;

/// Where the gear's axis lies from the shaft's in one plane, as a straight line along the engine.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Line {
    /// At the coupling [m]: up, or to starboard.
    pub offset: f64,
    /// How it grows for each metre ahead [1].
    pub slope: f64,
    /// What scatter of readings beyond their own doubt adds: to offset and slope, for each round that was read [m, 1].
    scatter: Vec<(f64, f64)>,
}

impl Line {
    /// At so far ahead of the coupling [m].
    pub fn at(&self, ahead: f64) -> f64 {
        self.offset + self.slope * ahead
    }

    /// What scatter adds to the doubt of that [m].
    pub fn scatter_at(&self, ahead: f64) -> f64 {
        self.scatter.iter().map(|(offset, slope)| (offset + slope * ahead).powi(2)).sum::<f64>().sqrt()
    }

    /// The same seen from the other side.
    pub fn mirrored(&self) -> Line {
        Line { offset: -self.offset, slope: -self.slope, scatter: self.scatter.clone() }
    }

    fn add(&mut self, amplitude: (f64, f64), offset: f64, slope: f64) {
        let (value, scatter) = amplitude;
        self.offset += offset * value;
        self.slope += slope * value;
        self.scatter.push((offset * scatter, slope * scatter));
    }
}

/// Where the gear's axis lies, each plane where it was measured, and what was seen on the way.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Axis {
    /// From the side.
    pub up: Option<Line>,
    /// From above.
    pub starboard: Option<Line>,
    /// What is odd.
    pub flags: Vec<String>,
    /// How it was worked: formula, and with its numbers.
    pub working: Vec<(&'static str, String)>,
}

/// What one round of readings says: value = mean + up · (height) + starboard · (breadth), each with its scatter.
struct Round {
    up: Option<(f64, f64)>,
    starboard: Option<(f64, f64)>,
    /// Wobble of the flange that was turned, from its middle [m].
    wobble: Option<f64>,
}

/// Keys of a round, in the order of [`PLACES`].
type Keys = [&'static str; 4];

const GAPS: Keys = ["gap-top", "gap-bottom", "gap-port", "gap-starboard"];
const RIM: Keys = ["", "rim-bottom", "rim-port", "rim-starboard"];
const FACE: Keys = ["", "face-bottom", "face-port", "face-starboard"];
const ON_SHAFT: Keys = ["", "shaft-dial-bottom", "shaft-dial-port", "shaft-dial-starboard"];
const ON_GEAR: Keys = ["", "gear-dial-bottom", "gear-dial-port", "gear-dial-starboard"];

/// Gaps of the flanges by feelers.
///
/// A gear flange whose axis rises ahead leans back at its top: the gap below less the gap above is slope × diameter.
pub fn feelers(given: &Given, diameter: f64) -> Result<Axis, Refused> {
    let mut axis = Axis::default();
    for key in GAPS {
        if let Some(gap) = given.list(key).into_iter().find(|gap| *gap > diameter / 10.0) {
            let why = format!("{} is no gap between flanges of {} that feelers measure", mm(gap), mm(diameter));
            return Err(Refused::of(
                key,
                why,
                "Look at its unit and at the flange's diameter; bring the flanges nearer.",
            ));
        }
    }
    let round = round(given, GAPS, 0.0, &mut axis.flags)?;
    let offset = |key: &str| given.maybe(key).unwrap_or(0.0);
    let line = |told: Option<(f64, f64)>, offset: f64| {
        let mut line = Line { offset, ..Line::default() };
        line.add(told?, 0.0, -2.0 / diameter);
        Some(line)
    };
    axis.up = line(round.up, offset("flange-above"));
    axis.starboard = line(round.starboard, offset("flange-starboard"));
    if given.maybe("flange-above").is_none() && given.maybe("flange-starboard").is_none() {
        axis.flags.push(
            "How far the flanges' centres lie apart is not told: taken as nothing. Lay a straight edge over both rims, \
             top and side, and tell it; a spigot that enters by hand says the same."
                .into(),
        );
    }
    if let Some(wobble) = round.wobble {
        let all = 2.0 * wobble;
        let says = "The flange that was turned runs out of true by";
        axis.flags.push(if all > diameter / 1000.0 {
            format!(
                "{says} {} across its face, more than the gap may differ: it was averaged out here, and ought to be faced true.",
                mm(all)
            )
        } else {
            format!("{says} {} across its face; averaged out.", mm(all))
        });
    }
    for (name, round, wide, narrow) in
        [("up", round.up, "bottom", "top"), ("to starboard", round.starboard, "port", "starboard")]
    {
        if let Some((amplitude, _)) = round {
            let difference = -2.0 * amplitude;
            let with = format!(
                "axis {name}: ({wide} − {narrow}) / D = {} / {} = {:.3} mm/m",
                mm(difference),
                mm(diameter),
                difference / diameter * 1e3
            );
            axis.working.push(("slope = (gap one side − gap other side) / D", with));
        }
    }
    Ok(axis)
}

/// A dial on the rim and one on the face, turned through a round.
///
/// With the bracket on the engine's half the rim dial is pressed where the shaft's rim stands farther out from the gear's
/// axis; the face dial where the faces stand nearer.
pub fn rim_and_face(given: &Given) -> Result<Axis, Refused> {
    let mut axis = Axis::default();
    let swing = needed(given, "face-swing")?;
    let rim_sign = if given.word("bracket") == "shaft" { 1.0 } else { -1.0 };
    let face_sign = if given.word("face-touched") == "back" { -1.0 } else { 1.0 };
    let rim = round(given, RIM, given.maybe("sag").unwrap_or(0.0), &mut axis.flags)?;
    let face = round(given, FACE, 0.0, &mut axis.flags)?;
    let line = |rim: Option<(f64, f64)>, face: Option<(f64, f64)>| {
        let mut line = Line::default();
        line.add(rim?, rim_sign, 0.0);
        line.add(face?, 0.0, face_sign * 2.0 / swing);
        Some(line)
    };
    axis.up = line(rim.up, face.up);
    axis.starboard = line(rim.starboard, face.starboard);
    lines_worked(&mut axis, "offset = rim / 2, slope = face / swing");
    Ok(axis)
}

/// Two dials on two rims, each with its bracket on the other half.
pub fn reverse_dial(given: &Given) -> Result<Axis, Refused> {
    let mut axis = Axis::default();
    let apart = needed(given, "dials-apart")?;
    let sag = given.maybe("sag").unwrap_or(0.0);
    let shaft = round(given, ON_SHAFT, sag, &mut axis.flags)?;
    let gear = round(given, ON_GEAR, sag, &mut axis.flags)?;
    let line = |shaft: Option<(f64, f64)>, gear: Option<(f64, f64)>| {
        let mut line = Line::default();
        line.add(gear?, 1.0, 1.0 / apart);
        line.add(shaft?, 0.0, 1.0 / apart);
        Some(line)
    };
    axis.up = line(shaft.up, gear.up);
    axis.starboard = line(shaft.starboard, gear.starboard);
    lines_worked(&mut axis, "offset = reading / 2 at each dial, slope = (gear's − shaft's) / apart");
    Ok(axis)
}

fn needed(given: &Given, key: &'static str) -> Result<f64, Refused> {
    let way = given.word("method");
    given
        .maybe(key)
        .ok_or_else(|| Refused::of(key, format!("it is not told, and {way} needs it"), "Measure it, and tell it."))
}

fn lines_worked(axis: &mut Axis, formula: &'static str) {
    for (name, line) in [("up", &axis.up), ("to starboard", &axis.starboard)] {
        if let Some(line) = line {
            let with = format!(
                "gear's axis {name}: {} at the coupling, {:.3} mm more for each metre ahead",
                mm(line.offset),
                line.slope * 1e3
            );
            axis.working.push((formula, with));
        }
    }
}

/// One round of readings, or several: means, and what goes with height and breadth, by least squares.
///
/// A dial is set to nothing at the top, so that its top counts as read. `sag` is what the dial's own bracket reads at the
/// bottom of a stiff bar; at the sides half of it.
fn round(given: &Given, keys: Keys, sag: f64, flags: &mut Vec<String>) -> Result<Round, Refused> {
    let dial = keys[0].is_empty();
    let told: [&[(f64, f64)]; 4] = keys.map(|key| given.values(key));
    let turns = told.iter().map(|values| values.len()).max().unwrap_or(0);
    let missing = keys.iter().zip(told).find(|(key, values)| !key.is_empty() && values.is_empty());
    if turns == 0 {
        let key = missing.map_or(keys[1], |(key, _)| *key);
        let why = format!("nothing is read there, and {} needs it", given.word("method"));
        return Err(Refused::of(key, why, "Read top and bottom at least; better all four."));
    }
    if turns > TURNS {
        return Err(Refused::of(
            keys[1],
            format!("{turns} turns are too many"),
            "Four of a quarter turn each are enough.",
        ));
    }
    if let Some((key, values)) = keys.iter().zip(told).find(|(_, values)| !values.is_empty() && values.len() != turns) {
        let why = format!("{} values where others have {turns}", values.len());
        return Err(Refused::of(
            key,
            why,
            "Read every place at every turn of the shaft, and tell them in the same order.",
        ));
    }
    let angles = if dial { vec![0.0; turns] } else { turned(given, turns)? };
    let mut read = Vec::new();
    for (place, (_, up, starboard)) in PLACES.iter().enumerate() {
        let sagged = sag * (1.0 - up) / 2.0;
        for turn in 0..turns {
            let (value, doubt) = match told[place].get(turn) {
                Some((value, doubt)) => (value - sagged, *doubt),
                // The top, where the dial was set to nothing, is as sure as its first neighbour.
                None if dial && place == 0 => {
                    (0.0, told.iter().flat_map(|values| values.iter()).next().map_or(0.0, |v| v.1))
                }
                None => continue,
            };
            // A reading told without any doubt is taken as sure to a micrometre.
            read.push(Read { turn, up: *up, starboard: *starboard, value, doubt: doubt.max(1e-6) });
        }
    }
    let settled = settle(&read, &angles, !dial && turns > 1);
    let Some(settled) = settled else {
        let key = missing.map_or(keys[1], |(key, _)| *key);
        return Err(Refused::of(key, "too little is read to tell a tilt", "Read top and bottom, port and starboard."));
    };
    if settled.misfit > ODD && settled.spare > 0 {
        contradict(keys, &read, &settled, flags)?;
    }
    if settled.starboard.is_none() {
        flags.push("Port and starboard are not read: sideways nothing is told.".into());
    }
    if settled.up.is_none() {
        flags.push("Top and bottom are not read: of height nothing is told.".into());
    }
    Ok(Round { up: settled.up, starboard: settled.starboard, wobble: settled.wobble })
}

/// Angles of the shaft at each turn [rad]: as told, or even steps.
fn turned(given: &Given, turns: usize) -> Result<Vec<f64>, Refused> {
    let told = given.list("turned");
    if told.is_empty() {
        return Ok((0..turns).map(|turn| TAU * turn as f64 / turns as f64).collect());
    }
    if told.len() != turns {
        let why = format!("{} angles where gaps were read {turns} times", told.len());
        return Err(Refused::of("turned", why, "Tell one angle for each time the gaps were read, the first 0 °."));
    }
    Ok(told)
}

struct Read {
    turn: usize,
    up: f64,
    starboard: f64,
    value: f64,
    doubt: f64,
}

struct Settled {
    up: Option<(f64, f64)>,
    starboard: Option<(f64, f64)>,
    wobble: Option<f64>,
    misfit: f64,
    spare: usize,
}

/// Fits as much as the readings settle: both tilts with the wobble of what was turned, or less.
fn settle(read: &[Read], angles: &[f64], wobbles: bool) -> Option<Settled> {
    let turns = angles.len();
    let columns = |up: bool, starboard: bool, wobble: usize, way: f64| {
        // A place that lies off an axis whose tilt is not asked for says nothing of the other.
        let counts = |one: &&Read| (up || one.up == 0.0) && (starboard || one.starboard == 0.0);
        read.iter()
            .filter(counts)
            .map(|one| {
                let mut enters = vec![0.0; turns];
                enters[one.turn] = 1.0;
                enters.extend(up.then_some(one.up));
                enters.extend(starboard.then_some(one.starboard));
                let (sin, cos) = (way * angles[one.turn]).sin_cos();
                let wobbles = [one.up * cos + one.starboard * sin, one.starboard * cos - one.up * sin];
                enters.extend(&wobbles[..wobble]);
                Reading { enters, read: one.value, doubt: one.doubt }
            })
            .collect::<Vec<_>>()
    };
    // Half a turn and two places read settle one part of the wobble only.
    for wobble in if wobbles { [2, 1, 0].as_slice() } else { &[0] } {
        for (up, starboard) in [(true, true), (true, false), (false, true)] {
            // Which way round she was turned is not asked: the way that fits.
            let fits = [1.0, -1.0].iter().filter_map(|way| fit(&columns(up, starboard, *wobble, *way)));
            let Some(best) = fits.min_by(|a, b| a.misfit.total_cmp(&b.misfit)) else { continue };
            let beyond = (best.misfit * best.misfit - 1.0).max(0.0).sqrt();
            let mut next = turns..;
            let mut take = |there: bool| {
                let place = there.then(|| next.next()).flatten()?;
                Some((best.values[place], best.doubts[place] * beyond))
            };
            let (up, starboard) = (take(up), take(starboard));
            let last = &best.values[best.values.len() - wobble..];
            let wobble = (*wobble > 0).then(|| last.iter().map(|part| part * part).sum::<f64>().sqrt());
            return Some(Settled { up, starboard, wobble, misfit: best.misfit, spare: best.spare });
        }
    }
    None
}

/// Readings that do not go together are told of, or refused.
fn contradict(keys: Keys, read: &[Read], settled: &Settled, flags: &mut Vec<String>) -> Result<(), Refused> {
    let sum = |upright: bool| {
        let of = read.iter().filter(|one| (one.up != 0.0) == upright);
        let turns = read.iter().map(|one| one.turn).max().map_or(1, |last| last + 1);
        of.map(|one| one.value).sum::<f64>() / turns as f64
    };
    let what = if keys[0].is_empty() { "dial readings" } else { "gaps" };
    let says = format!(
        "the {what} do not go together: top and bottom add up to {}, port and starboard to {}, and they should be the same \
         within what the readings are sure to",
        mm(sum(true)),
        mm(sum(false))
    );
    if settled.misfit > FALSE {
        return Err(Refused::of(
            keys[1],
            says,
            "Clean the faces, look for a burr or a bent flange, keep the shaft from moving fore and aft, and read them all again.",
        ));
    }
    flags.push(format!("Look: {says}. Read them again before anything is moved; the doubt shown has grown by it."));
    Ok(())
}
