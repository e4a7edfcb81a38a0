//! Who fires when, and which valves are shut then.

use crate::given::{From, Given};
use crate::job::Refused;
use std::f64::consts::{PI, TAU};

/// Most cylinders.
const MOST: usize = 24;
/// Two cylinders whose tops are within this of each other are told as meeting [rad].
const TOGETHER: f64 = 2.0 * PI / 180.0;
/// What a boundary may be missed by in reckoning [rad].
const HAIR: f64 = 1e-9;

/// A valve.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Valve {
    Inlet,
    Exhaust,
}

impl Valve {
    pub fn word(self) -> &'static str {
        match self {
            Valve::Inlet => "inlet",
            Valve::Exhaust => "exhaust",
        }
    }
}

/// The engine as far as its valves go. Crank angles count from the first cylinder's firing top through one cycle [rad].
#[derive(Clone, Debug)]
pub struct Engine {
    /// Cylinders in the order they fire.
    pub order: Vec<usize>,
    /// Where each of them fires.
    pub fires: Vec<f64>,
    /// One cycle.
    pub cycle: f64,
    /// When each sort of valve is open, after its own cylinder's firing top: from, to.
    pub open: Vec<(Valve, f64, f64)>,
    /// How far shut a valve is to be before it is set.
    pub margin: f64,
}

impl Engine {
    pub fn of(given: &Given) -> Result<Engine, Refused> {
        let order = order(given)?;
        let two_stroke = given.word("strokes") == "two";
        let cycle = if two_stroke { TAU } else { 2.0 * TAU };
        let fires = fires(given, order.len(), cycle)?;
        let margin = given.value("margin")?;
        let open = if two_stroke {
            let [opens, closes] = [("opens", 85.0_f64), ("closes", 60.0)]
                .map(|(end, usual)| given.maybe(&format!("two-stroke-exhaust-{end}")).unwrap_or(usual.to_radians()));
            vec![(Valve::Exhaust, PI - opens, PI + closes)]
        } else {
            let [opens, closes] = [given.value("exhaust-opens")?, given.value("exhaust-closes")?];
            let inlet = [given.value("inlet-opens")?, given.value("inlet-closes")?];
            vec![(Valve::Inlet, TAU - inlet[0], TAU + PI + inlet[1]), (Valve::Exhaust, PI - opens, TAU + closes)]
        };
        let engine = Engine { order, fires, cycle, open, margin };
        if let Some((valve, ..)) = engine.open.iter().find(|(valve, ..)| !engine.shut(*valve, 0.0)) {
            return Err(Refused::of(
                "margin",
                format!(
                    "with this margin the {} valve does not count as shut even at its own firing top",
                    valve.word()
                ),
                "Look at the cam's angles and make the margin smaller.",
            ));
        }
        Ok(engine)
    }

    /// Whether a valve is shut, and stays so for the margin either way, so far after its own cylinder's firing top.
    pub fn shut(&self, valve: Valve, after: f64) -> bool {
        let open = self.open.iter().filter(|(one, ..)| *one == valve);
        open.into_iter().all(|(_, from, to)| {
            let (from, to) = (from - self.margin, to + self.margin);
            let into = (after - from).rem_euclid(self.cycle);
            into < HAIR || into >= to - from - HAIR || self.cycle - into < HAIR
        })
    }

    /// How far a cylinder of the order is past its firing top with the crank at `crank`.
    pub fn after(&self, place: usize, crank: f64) -> f64 {
        (crank - self.fires[place]).rem_euclid(self.cycle)
    }

    /// Valves that may be set with the crank there: cylinder and valve, by cylinder.
    pub fn settable(&self, crank: f64) -> Vec<(usize, Valve)> {
        let each = self.order.iter().enumerate().flat_map(|(place, cylinder)| {
            let after = self.after(place, crank);
            let shut = self.open.iter().filter(move |(valve, ..)| self.shut(*valve, after));
            shut.map(|(valve, ..)| (*cylinder, *valve))
        });
        let mut all: Vec<_> = each.collect();
        all.sort_by_key(|(cylinder, valve)| (*cylinder, *valve == Valve::Exhaust));
        all
    }

    /// The cylinder at the top between exhaust and inlet with the crank there: its valves rock.
    pub fn rocks(&self, crank: f64) -> Option<usize> {
        let half = self.cycle / 2.0;
        let rocking = |place: &usize| self.open.len() == 2 && (self.after(*place, crank) - half).abs() < TOGETHER;
        (0..self.order.len()).find(rocking).map(|place| self.order[place])
    }

    /// Pairs that reach the top together, in firing order; one of each pair fires.
    pub fn companions(&self) -> Vec<(usize, usize)> {
        let pairs = self.order.iter().zip(&self.fires).filter_map(|(cylinder, fires)| {
            let other = self.rocks(*fires)?;
            let before = |one: usize| self.order.iter().position(|cylinder| *cylinder == one);
            (before(*cylinder) < before(other)).then_some((*cylinder, other))
        });
        pairs.collect()
    }

    /// Whether all intervals are alike.
    pub fn even(&self) -> bool {
        let step = self.cycle / self.order.len() as f64;
        self.fires.iter().enumerate().all(|(place, fires)| (fires - step * place as f64).abs() < 1e-6)
    }
}

/// "1-5-3-6-2-4", "1, 3, 4, 2" or "1342".
fn order(given: &Given) -> Result<Vec<usize>, Refused> {
    const KEY: &str = "firing-order";
    let advice =
        "Write it as in the manual, number by number: 1-5-3-6-2-4. Count both banks through: 1 to 8, not A1 or L1.";
    let text = given.text(KEY).trim();
    let lone = text.len() > 1 && text.len() <= 9 && text.chars().all(|letter| letter.is_ascii_digit());
    let pieces: Vec<String> = if lone {
        text.chars().map(String::from).collect()
    } else {
        let parts = text.split(|letter: char| "-–—,; /".contains(letter) || letter.is_whitespace());
        parts.filter(|piece| !piece.is_empty()).map(str::to_string).collect()
    };
    let mut order = Vec::new();
    for piece in &pieces {
        match piece.parse::<usize>() {
            Ok(number) if (1..=MOST).contains(&number) => order.push(number),
            _ => {
                let short: String = piece.chars().take(12).collect();
                return Err(Refused::of(KEY, format!("`{short}` is no cylinder from 1 to {MOST}"), advice));
            }
        }
    }
    if order.is_empty() || order.len() > MOST {
        return Err(Refused::of(KEY, format!("it names {} cylinders", order.len()), advice));
    }
    for (place, cylinder) in order.iter().enumerate() {
        if order[..place].contains(cylinder) {
            return Err(Refused::of(
                KEY,
                format!("cylinder {cylinder} fires twice"),
                "Each cylinder stands in it once.",
            ));
        }
    }
    let missing: Vec<String> =
        (1..=order.len()).filter(|number| !order.contains(number)).map(|number| number.to_string()).collect();
    if !missing.is_empty() {
        let why = format!("{} cylinders are named, and {} is not among them", order.len(), missing.join(", "));
        return Err(Refused::of(KEY, why, "Each cylinder from 1 to the last stands in it once."));
    }
    // A count that is only usual for such an engine tells nothing against a firing order.
    let sure = given.told("cylinders").is_some_and(|told| !matches!(told.from, From::Figure(_, "typical")));
    if let Some(count) = given.maybe("cylinders").filter(|_| sure)
        && count.round() as usize != order.len()
    {
        let why = format!("it names {} cylinders, and she has {}", order.len(), count.round());
        return Err(Refused::of(KEY, why, "Look both up; each cylinder stands in it once."));
    }
    Ok(order)
}

/// Where each cylinder of the order fires: even, or by the told intervals, which may be the first few that come again.
fn fires(given: &Given, count: usize, cycle: f64) -> Result<Vec<f64>, Refused> {
    const KEY: &str = "firing-intervals";
    let told = given.list(KEY);
    if told.is_empty() {
        return Ok((0..count).map(|place| cycle * place as f64 / count as f64).collect());
    }
    if told.len() > count || !count.is_multiple_of(told.len()) {
        let why = format!("{} intervals do not go into {count} firings", told.len());
        return Err(Refused::of(KEY, why, "Tell one for each firing, or the few that come again and again."));
    }
    let all: Vec<f64> = told.iter().copied().cycle().take(count).collect();
    let sum: f64 = all.iter().sum();
    if (sum - cycle).abs() > 0.5 * PI / 180.0 {
        let (is, wants) = (sum.to_degrees(), cycle.to_degrees());
        let why = format!("they add up to {is:.0}°, and one cycle is {wants:.0}°");
        return Err(Refused::of(
            KEY,
            why,
            "Tell the angle of the crank from each firing to the next, in firing order.",
        ));
    }
    Ok((0..count).map(|place| all[..place].iter().sum()).collect())
}
