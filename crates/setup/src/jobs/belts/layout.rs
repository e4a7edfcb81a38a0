//! The pulleys as told, and the belt's way round them.

use super::mm;
use crate::given::Given;
use crate::job::Refused;
use physics::belt_path::{NoWay, Pulley, Round, round};
use physics::drive::alternator_power;

/// Most pulleys of one belt.
const MOST: usize = 16;

/// A pulley that is moved, and the way it moves.
pub type Tensioner = (usize, (f64, f64));

/// A drive.
#[derive(Clone, Debug)]
pub struct Layout {
    /// The driving one first, in the way the belt runs.
    pub pulleys: Vec<Pulley>,
    pub names: Vec<String>,
    /// Power each takes [W]; 0 at the driving one.
    pub powers: Vec<f64>,
    pub round: Round,
    /// Whether the belt as a whole runs counter-clockwise.
    pub counter: bool,
    /// Whether they were told against the way the belt runs.
    pub turned_round: bool,
    pub tensioner: Option<Tensioner>,
}

impl Layout {
    pub fn of(given: &Given) -> Result<Layout, Refused> {
        let diameters = given.list("pulley-diameter");
        let count = diameters.len();
        if !(2..=MOST).contains(&count) {
            let why = format!("{count} pulleys are told");
            return Err(Refused::of(
                "pulley-diameter",
                why,
                format!("A belt runs round 2 to {MOST}; tell each, the driving one first."),
            ));
        }
        let at = places(given, count)?;
        let outside = sides(given, count)?;
        let mut pulleys: Vec<Pulley> = (0..count)
            .map(|place| Pulley { at: at[place], radius: diameters[place] / 2.0, outside: outside[place] })
            .collect();
        let mut names = names(given, count)?;
        let mut powers = powers(given, count)?;
        let mut tensioner = tensioner(given, &pulleys)?;
        let wanted = match given.word("driver-turns") {
            "clockwise" => Some(false),
            "anticlockwise" => Some(true),
            _ => None,
        };
        if pulleys[0].outside {
            return Err(Refused::of(
                "pulley-side",
                "the driving pulley runs on the back of the belt",
                "Tell the others by it.",
            ));
        }
        // Which way round they lie follows from their places; two lie either way.
        let area: f64 = (0..count).map(|one| cross(pulleys[one].at, pulleys[(one + 1) % count].at)).sum();
        let counter = if area.abs() < 1e-9 { wanted.unwrap_or(false) } else { area > 0.0 };
        let first = round(&pulleys, counter);
        let (counter, way) = match first {
            Ok(way) => (counter, way),
            Err(no) => (!counter, round(&pulleys, !counter).map_err(|_| refused(no, &names))?),
        };
        let turned_round = wanted.is_some_and(|wanted| wanted != counter);
        let (counter, way) = if turned_round {
            pulleys[1..].reverse();
            names[1..].reverse();
            powers[1..].reverse();
            tensioner = tensioner.map(|(which, moves)| (if which == 0 { 0 } else { count - which }, moves));
            (!counter, round(&pulleys, !counter).map_err(|no| refused(no, &names))?)
        } else {
            (counter, way)
        };
        Ok(Layout { pulleys, names, powers, round: way, counter, turned_round, tensioner })
    }

    /// The span that is pressed and plucked.
    pub fn longest(&self) -> usize {
        let spans = self.round.spans.iter().enumerate();
        // Of like ones the first.
        spans.rev().max_by(|(_, a), (_, b)| a.length.total_cmp(&b.length)).map_or(0, |(place, _)| place)
    }

    /// "crank to pump".
    pub fn span_name(&self, place: usize) -> String {
        format!("{} to {}", self.names[place], self.names[(place + 1) % self.names.len()])
    }

    /// Length of the belt with the tensioner moved so far [m], and how it grows for each metre more [1]; none where the belt has no
    /// way then.
    pub fn length_with(&self, moved: f64) -> Option<(f64, f64)> {
        let (which, (x, y)) = self.tensioner?;
        let mut pulleys = self.pulleys.clone();
        pulleys[which].at.0 += moved * x;
        pulleys[which].at.1 += moved * y;
        let way = round(&pulleys, self.counter).ok()?;
        // Each of its two spans is drawn out along itself; what lies round the pulleys changes by nothing of first order.
        let along = |span: usize| way.spans[span].direction.cos() * x + way.spans[span].direction.sin() * y;
        let grows = along((which + pulleys.len() - 1) % pulleys.len()) - along(which);
        Some((way.length, grows))
    }
}

fn cross(a: (f64, f64), b: (f64, f64)) -> f64 {
    a.0 * b.1 - a.1 * b.0
}

/// Why there is no way, in words.
fn refused(no: NoWay, names: &[String]) -> Refused {
    let name = |place: usize| &names[place];
    let (why, advice) = match no {
        NoWay::Overlap(one, other) => (
            format!("Two pulleys overlap: {} and {}.", name(one), name(other)),
            "Look at their diameters and the places of their centres.",
        ),
        NoWay::Off(one) => (
            format!("The belt does not lie on {} that way: it would lift off it, or cross itself.", name(one)),
            "Look at its place, at the order of the pulleys, and whether the belt's inside or its back runs on it.",
        ),
        NoWay::Cross(one, other) => (
            format!("The belt crosses itself between the span after {} and the span after {}.", name(one), name(other)),
            "Tell the pulleys in the order in which the belt comes to them.",
        ),
        NoWay::Through(one, other) => (
            format!("The span after {} runs through {}.", name(one), name(other)),
            "Tell the pulleys in the order in which the belt comes to them, and each one's side.",
        ),
    };
    Refused::together(why, advice)
}

fn places(given: &Given, count: usize) -> Result<Vec<(f64, f64)>, Refused> {
    let (x, y) = (given.list("pulley-x"), given.list("pulley-y"));
    if let Some(centres) = given.maybe("centres") {
        if count != 2 || !x.is_empty() || !y.is_empty() {
            return Err(Refused::of(
                "centres",
                "it tells two pulleys only",
                "Tell pulley-x and pulley-y of each instead.",
            ));
        }
        return Ok(vec![(0.0, 0.0), (centres, 0.0)]);
    }
    if x.is_empty() && y.is_empty() {
        return Err(Refused::of(
            "pulley-x",
            "where the pulleys lie is not told",
            "Tell pulley-x and pulley-y; of two pulleys centres will do.",
        ));
    }
    for (key, list) in [("pulley-x", &x), ("pulley-y", &y)] {
        if !list.is_empty() && list.len() != count {
            let why = format!("{} values for {count} pulleys", list.len());
            return Err(Refused::of(key, why, "Tell one for each pulley in the same order, the first 0."));
        }
    }
    let of = |list: &[f64], place: usize| list.get(place).copied().unwrap_or(0.0);
    Ok((0..count).map(|place| (of(&x, place), of(&y, place))).collect())
}

fn words(given: &Given, key: &'static str, count: usize) -> Result<Vec<String>, Refused> {
    let words: Vec<String> =
        given.text(key).split([',', ';']).map(|word| word.trim().to_string()).filter(|word| !word.is_empty()).collect();
    if !words.is_empty() && words.len() != count {
        let why = format!("{} words for {count} pulleys", words.len());
        return Err(Refused::of(key, why, "Tell one for each pulley, with commas, in the same order."));
    }
    Ok(words)
}

fn sides(given: &Given, count: usize) -> Result<Vec<bool>, Refused> {
    let words = words(given, "pulley-side", count)?;
    if words.is_empty() {
        return Ok(vec![false; count]);
    }
    let side = |word: &String| match word.to_lowercase().as_str() {
        "inside" | "in" => Ok(false),
        "outside" | "out" | "back" => Ok(true),
        _ => {
            let short: String = word.chars().take(20).collect();
            Err(Refused::of("pulley-side", format!("`{short}` is no side"), "Each is inside or outside."))
        }
    };
    words.iter().map(side).collect()
}

fn names(given: &Given, count: usize) -> Result<Vec<String>, Refused> {
    let words = words(given, "pulley-names", count)?;
    if words.is_empty() {
        return Ok((1..=count).map(|number| format!("pulley {number}")).collect());
    }
    Ok(words.into_iter().map(|word| word.chars().take(24).collect()).collect())
}

/// The place of a pulley that is told by its number.
fn numbered(given: &Given, key: &'static str, count: usize) -> Result<Option<usize>, Refused> {
    let Some(number) = given.maybe(key) else { return Ok(None) };
    if number.fract() != 0.0 || number > count as f64 {
        return Err(Refused::of(
            key,
            format!("there is no pulley {number}"),
            format!("They are numbered 1 to {count}, as told."),
        ));
    }
    Ok(Some(number as usize - 1))
}

fn powers(given: &Given, count: usize) -> Result<Vec<f64>, Refused> {
    let mut powers = given.list("pulley-power");
    if powers.is_empty() {
        powers = vec![0.0; count];
    }
    if powers.len() != count {
        let why = format!("{} values for {count} pulleys", powers.len());
        return Err(Refused::of("pulley-power", why, "Tell one for each pulley; the driving one and idlers 0."));
    }
    let alternator = numbered(given, "alternator-place", count)?;
    match (given.maybe("alternator-current"), given.maybe("alternator-voltage")) {
        (Some(current), Some(voltage)) => {
            let place = alternator.or((count == 2).then_some(1)).ok_or_else(|| {
                Refused::of(
                    "alternator-place",
                    "which pulley is the alternator's is not told",
                    "Tell its number in the order.",
                )
            })?;
            powers[place] += alternator_power(voltage, current, given.value("alternator-efficiency")?);
        }
        (Some(_), None) => {
            return Err(Refused::of("alternator-voltage", "it is not told, and the current needs it", "Tell it."));
        }
        _ => {}
    }
    // What the driving one gives is what the others take.
    powers[0] = 0.0;
    Ok(powers)
}

fn tensioner(given: &Given, pulleys: &[Pulley]) -> Result<Option<Tensioner>, Refused> {
    let told = numbered(given, "tensioner", pulleys.len())?;
    let Some(which) = told.or((pulleys.len() == 2).then_some(1)) else { return Ok(None) };
    let away = (pulleys[which].at.0 - pulleys[0].at.0, pulleys[which].at.1 - pulleys[0].at.1);
    let far = away.0.hypot(away.1);
    let moves = match given.maybe("tensioner-moves") {
        Some(angle) => (angle.cos(), angle.sin()),
        None if far > 0.0 => (away.0 / far, away.1 / far),
        None => {
            let why = format!("the way it moves is not told, and it lies at the first, {} away", mm(far));
            return Err(Refused::of("tensioner-moves", why, "Tell the angle of its slot."));
        }
    };
    Ok(Some((which, moves)))
}
