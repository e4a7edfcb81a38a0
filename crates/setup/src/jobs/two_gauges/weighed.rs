//! The weighing: offset and scale of both gauges and of the place between them, under each way of who lies.

use super::asks::{Family, Known};
use crate::fitted::{inverse, rooted};
use crate::given::Given;
use crate::job::Refused;
use crate::sure::below;
use measure::figure::SIGMAS_TO_95;
use measure::quantity::Quantity::Temperature;
use measure::unit::print_usual;
use physics::constants::ZERO_CELSIUS;
use physics::fresh_water::saturation_temperature;
use physics::gas::pressure_at_height;

/// Most looks of each sort.
const MOST: usize = 40;
/// Chance that a gauge lies before anything is read [1]; from memory.
const LIES: f64 = 0.15;
/// How many times what it promises a gauge that lies is off by [1]; from memory.
const FARTHER: f64 = 5.0;
/// Offset and scale of A, of B, and the place.
pub const UNKNOWNS: usize = 5;
/// Misses that are odd, and that cannot be: multiples of what such readings scatter.
const ODD: f64 = 3.0;
const CANNOT_BE: f64 = 6.0;

type Row = [f64; UNKNOWNS];

#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Side {
    A,
    B,
}

impl Side {
    pub const BOTH: [Side; 2] = [Side::A, Side::B];

    pub fn letter(self) -> &'static str {
        ["a", "b"][self as usize]
    }
}

/// One look at both.
#[derive(Copy, Clone, Debug)]
pub struct Pair {
    pub a: f64,
    pub b: f64,
    pub swapped: bool,
    /// Standard uncertainty of their difference.
    sigma: f64,
}

/// One gauge where the truth is known, or where both stand in the same.
#[derive(Clone, Debug)]
pub struct Point {
    pub side: Side,
    pub says: String,
    pub shows: f64,
    pub truth: f64,
    sigma: f64,
}

/// All that was read.
pub struct Gauges {
    pub family: &'static Family,
    names: [String; 2],
    pub within: [f64; 2],
    pub pairs: Vec<Pair>,
    pub known: Vec<Point>,
    /// Both stand in the same, which is not known.
    same: Vec<Pair>,
    /// The middle of what was read.
    pub middle: f64,
    /// Half of the scale that was read over, or of a usual one.
    half: f64,
}

/// Chances, and what is off.
pub struct Weighed {
    /// Chance that each is off by more than it promises, and that neither is [1].
    lies: [f64; 2],
    neither: f64,
    /// Offset and scale of A, of B, and the place.
    pub at: Row,
    spread: [Row; UNKNOWNS],
    /// Largest miss over what such readings scatter, and of which look.
    pub odd: Option<usize>,
}

impl Gauges {
    pub fn read(given: &Given, family: &'static Family) -> Result<Gauges, Refused> {
        let mut pairs = looks(given, family, 0, false)?;
        pairs.extend(looks(given, family, 2, true)?);
        let (known, same) = points(given, family)?;
        let shown = pairs.iter().map(|pair| f64::midpoint(pair.a, pair.b));
        let middle: Vec<f64> = shown.chain(known.iter().map(|point| point.truth)).collect();
        let names = ["a-name", "b-name"].map(|key| given.text(key).to_string());
        if names[0] == names[1] {
            return Err(Refused::of("b-name", "both gauges have one name", "Give each its own."));
        }
        for (key, name) in ["a-name", "b-name"].into_iter().zip(&names) {
            let plain = name.chars().all(|letter| letter.is_alphanumeric() || "-_ .".contains(letter));
            if !plain || name.chars().count() > 40 {
                return Err(Refused::of(key, "no gauge is called so", "Use its name in her text, such as coolant."));
            }
        }
        let day = given.text("day");
        let is_day = |day: &str| {
            let shape = day.bytes().map(|byte| if byte.is_ascii_digit() { b'0' } else { byte });
            shape.eq(*b"0000-00-00")
        };
        if !day.is_empty() && !is_day(day) {
            return Err(Refused::of("day", "it is no day", "Write it such as 2026-05-03."));
        }
        let within = [given.value(family.within[0])?, given.value(family.within[1])?];
        let middle = if pairs.is_empty() {
            middle.iter().sum::<f64>() / middle.len().max(1) as f64
        } else {
            middle[..pairs.len()].iter().sum::<f64>() / pairs.len() as f64
        };
        let zero = if family.quantity == Temperature { ZERO_CELSIUS } else { 0.0 };
        let most = pairs.iter().flat_map(|pair| [pair.a, pair.b]).chain(known.iter().map(|point| point.shows));
        let half = most.map(|shows| 0.5 * (shows - zero).abs()).fold(family.half_scale, f64::max);
        let gauges = Gauges { family, names, within, pairs, known, same, middle, half };
        for pair in gauges.pairs.iter().chain(&gauges.same) {
            gauges.close(pair.a, pair.b)?;
        }
        for point in &gauges.known {
            gauges.close(point.shows, point.truth)?;
        }
        Ok(gauges)
    }

    /// More than half a scale apart is no error of a gauge.
    fn close(&self, one: f64, other: f64) -> Result<(), Refused> {
        if (one - other).abs() <= self.half {
            return Ok(());
        }
        let print = |value: f64| print_usual(value, self.family.quantity);
        Err(Refused::together(
            format!("{} and {} are not two readings of one thing.", print(one), print(other)),
            "That is no error to correct: look for a broken wire, the wrong sender, another tap, or a slip of the pen.",
        ))
    }

    pub fn name(&self, side: Side) -> &str {
        &self.names[side as usize]
    }

    pub fn swapped(&self) -> bool {
        self.pairs.iter().any(|pair| pair.swapped)
    }

    /// Anything tells of this gauge.
    pub fn has(&self, side: Side) -> bool {
        !self.pairs.is_empty() || !self.same.is_empty() || self.known.iter().any(|point| point.side == side)
    }

    /// What was read is far enough apart to tell a scale.
    pub fn spread(&self) -> bool {
        let all = || self.pairs.iter().map(|pair| pair.a).chain(self.known.iter().map(|point| point.truth));
        all().fold(f64::MIN, f64::max) - all().fold(f64::MAX, f64::min) > 0.25 * self.half
    }

    /// Weighs who lies: each way has its own width of offset and scale, and the readings speak for one or the other.
    ///
    /// # Source
    /// Linear model with normal uncertainties, its marginal likelihood, `[Gelman2013]` ch. 14.
    pub fn weighed(&self) -> Result<Weighed, Refused> {
        // The scale counts from the truth, which is not known before the offsets are: a few turns settle it.
        let mut at = [0.0; UNKNOWNS];
        let mut weighed = None;
        for _ in 0..3 {
            let rows = self.rows(&at);
            let ways = [[false, false], [true, false], [false, true], [true, true]];
            let each: Option<Vec<Way>> = ways.iter().map(|lies| self.way(&rows, *lies)).collect();
            let each = each.ok_or_else(|| {
                Refused::together(
                    "These readings cannot be weighed.",
                    "Look at the numbers and at what each gauge promises.",
                )
            })?;
            let next = mixed(&each, self.within);
            at = next.at;
            weighed = Some(next);
        }
        let (weighed, worst) = weighed
            .map(|weighed| {
                let worst = self.worst(&weighed);
                (weighed, worst)
            })
            .ok_or_else(|| Refused::together("Nothing was read.", "Tell readings of both."))?;
        match worst {
            Some((place, misses)) if misses > CANNOT_BE => {
                let print = |value: f64| print_usual(value, self.family.quantity);
                let which = self.pairs.get(place).map_or_else(
                    || "what they show in a known state".to_string(),
                    |pair| format!("{} against {}", print(pair.a), print(pair.b)),
                );
                Err(Refused::together(
                    format!(
                        "The readings contradict each other, {which} most of all: a gauge that is off is off alike each time."
                    ),
                    "Look for a slip of the pen, a loose wire or a pointer that sticks, and read again in the same minute.",
                ))
            }
            worst => Ok(Weighed { odd: worst.filter(|(_, misses)| *misses > ODD).map(|(place, _)| place), ..weighed }),
        }
    }

    /// Each measurement: its row, its value and its standard uncertainty.
    fn rows(&self, at: &Row) -> Vec<(Row, f64, f64)> {
        let pair = |pair: &Pair, place: f64| {
            // The truth as both tell it, what is known of them taken off.
            let tells = |shows: f64, of: usize| (shows - at[of] - self.middle) / (1.0 + at[of + 1]);
            let truth = f64::midpoint(tells(pair.a, 0), tells(pair.b, 2));
            ([1.0, truth, -1.0, -truth, place], pair.a - pair.b, pair.sigma)
        };
        let pairs = self.pairs.iter().map(|one| pair(one, if one.swapped { -1.0 } else { 1.0 }));
        let same = self.same.iter().map(|one| pair(one, 0.0));
        let known = self.known.iter().map(|point| {
            let off = point.truth - self.middle;
            let row = match point.side {
                Side::A => [1.0, off, 0.0, 0.0, 0.0],
                Side::B => [0.0, 0.0, 1.0, off, 0.0],
            };
            (row, point.shows - point.truth, point.sigma)
        });
        pairs.chain(same).chain(known).collect()
    }

    fn way(&self, rows: &[(Row, f64, f64)], lies: [bool; 2]) -> Option<Way> {
        let off = |side: usize| self.within[side] / SIGMAS_TO_95 * if lies[side] { FARTHER } else { 1.0 };
        let scale = |side: usize| off(side) / self.half;
        // Nobody swapped: both are taken to stand in the same.
        let place = if self.swapped() { self.half / 10.0 } else { self.family.read_to * 1e-3 };
        let believed = [off(0), scale(0), off(1), scale(1), place];
        let prior = lies.map(|lies| if lies { LIES } else { 1.0 - LIES });
        Way::of(rows, believed, prior[0] * prior[1])
    }

    /// The largest miss over what such readings scatter, and where.
    fn worst(&self, weighed: &Weighed) -> Option<(usize, f64)> {
        let rows = self.rows(&weighed.at);
        let miss = |(row, value, sigma): &(Row, f64, f64)| (value - dot(row, &weighed.at)).abs() / sigma;
        rows.iter().map(miss).enumerate().max_by(|a, b| a.1.total_cmp(&b.1))
    }
}

/// One way of who lies.
struct Way {
    at: Row,
    spread: [Row; UNKNOWNS],
    /// Logarithm of how likely the readings are, with how likely the way was before.
    likely: f64,
}

impl Way {
    fn of(rows: &[(Row, f64, f64)], believed: Row, prior: f64) -> Option<Way> {
        let mut normal = [[0.0; UNKNOWNS]; UNKNOWNS];
        let mut slope = [0.0; UNKNOWNS];
        let mut likely = prior.ln();
        for (i, sigma) in believed.iter().enumerate() {
            normal[i][i] = sigma.powi(-2);
            likely -= sigma.ln();
        }
        for (row, value, sigma) in rows {
            for i in 0..UNKNOWNS {
                slope[i] += row[i] * value / (sigma * sigma);
                for j in 0..UNKNOWNS {
                    normal[i][j] += row[i] * row[j] / (sigma * sigma);
                }
            }
            likely -= sigma.ln() + 0.5 * (value / sigma).powi(2);
        }
        let rooted = rooted(&normal)?;
        likely -= rooted.l_dirty().diagonal().map(f64::ln).sum();
        let spread: [Row; UNKNOWNS] = inverse(&rooted);
        let at: Row = std::array::from_fn(|i| dot(&spread[i], &slope));
        likely += 0.5 * dot(&slope, &at);
        likely.is_finite().then_some(Way { at, spread, likely })
    }
}

/// All ways together, each by its chance.
fn mixed(each: &[Way], within: [f64; 2]) -> Weighed {
    let best = each.iter().map(|way| way.likely).fold(f64::MIN, f64::max);
    let weights: Vec<f64> = each.iter().map(|way| (way.likely - best).exp()).collect();
    let all: f64 = weights.iter().sum();
    let chances: [f64; 4] = std::array::from_fn(|way| weights[way] / all);
    let mean = |of: &dyn Fn(&Way) -> f64| each.iter().zip(chances).map(|(way, chance)| chance * of(way)).sum::<f64>();
    let at: Row = std::array::from_fn(|i| mean(&|way| way.at[i]));
    let spread = std::array::from_fn(|i| {
        std::array::from_fn(|j| mean(&|way| way.spread[i][j] + (way.at[i] - at[i]) * (way.at[j] - at[j])))
    });
    let beyond = |way: &Way, side: usize| {
        let (off, sigma) = (way.at[2 * side], way.spread[2 * side][2 * side].max(0.0).sqrt());
        below(off, sigma, -within[side]) + 1.0 - below(off, sigma, within[side])
    };
    let lies = [0, 1].map(|side| mean(&|way| beyond(way, side)));
    let neither = mean(&|way| (1.0 - beyond(way, 0)) * (1.0 - beyond(way, 1)));
    Weighed { lies, neither, at, spread, odd: None }
}

impl Weighed {
    /// Chance that it lies: that it is off by more than it promises where it was read [1].
    pub fn lies(&self, side: Side) -> f64 {
        self.lies[side as usize]
    }

    /// Chance that neither does [1].
    pub fn neither(&self) -> f64 {
        self.neither
    }

    /// Too much by so much at a truth, and its standard uncertainty.
    pub fn off(&self, side: Side, truth: f64, middle: f64) -> (f64, f64) {
        let mut row = [0.0; UNKNOWNS];
        row[2 * side as usize] = 1.0;
        row[2 * side as usize + 1] = truth - middle;
        (dot(&row, &self.at), self.sigma(row))
    }

    /// Scale less one, and its standard uncertainty.
    pub fn scale(&self, side: Side) -> (f64, f64) {
        let place = 2 * side as usize + 1;
        (self.at[place], self.spread[place][place].max(0.0).sqrt())
    }

    /// The truth where it shows so much.
    pub fn truth(&self, side: Side, shows: f64, middle: f64) -> f64 {
        let (off, scale) = (self.at[2 * side as usize], self.at[2 * side as usize + 1]);
        middle + (shows - middle - off) / (1.0 + scale)
    }

    pub fn sigma(&self, row: Row) -> f64 {
        (0..UNKNOWNS).map(|i| row[i] * dot(&self.spread[i], &row)).sum::<f64>().max(0.0).sqrt()
    }
}

fn dot(a: &Row, b: &Row) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Looks at both, from the lists that begin at `first`.
fn looks(given: &Given, family: &Family, first: usize, swapped: bool) -> Result<Vec<Pair>, Refused> {
    let (a, b) = (family.lists[first], family.lists[first + 1]);
    let (shown_a, shown_b) = (given.values(a), given.values(b));
    if shown_a.len() != shown_b.len() {
        let why = format!("there are {} of A and {} of B", shown_a.len(), shown_b.len());
        return Err(Refused::of(b, why, "Look at both in the same minute, and tell as many of each."));
    }
    if shown_a.len() > MOST {
        return Err(Refused::of(a, format!("{} looks are too many", shown_a.len()), format!("At most {MOST}.")));
    }
    let sigma = |told: f64| if told > 0.0 { told } else { family.read_to };
    let pair =
        |(a, b): (&(f64, f64), &(f64, f64))| Pair { a: a.0, b: b.0, swapped, sigma: sigma(a.1).hypot(sigma(b.1)) };
    Ok(shown_a.iter().zip(shown_b).map(pair).collect())
}

/// Looks where the truth is known, and those where both stood in the same.
fn points(given: &Given, family: &'static Family) -> Result<(Vec<Point>, Vec<Pair>), Refused> {
    let (mut points, mut same) = (Vec::new(), Vec::new());
    for (keys, known, sigma) in family.known {
        let read = keys.map(|key| given.values(key).first().copied());
        let truth = match known {
            Known::Ice => Some(("melting ice", ZERO_CELSIUS)),
            Known::Boiling => {
                let height = given.maybe("height-above-sea").unwrap_or(0.0);
                let air = given.maybe("air-pressure").unwrap_or_else(|| pressure_at_height(height));
                Some(("boiling water", saturation_temperature(air)))
            }
            Known::Surroundings => given.maybe("surroundings").map(|truth| ("rest, cold", truth)),
            Known::Nothing => Some(("nothing", 0.0)),
        };
        let reads = |told: f64| if told > 0.0 { told } else { family.read_to };
        match (read, truth) {
            ([Some(a), Some(b)], None) => {
                same.push(Pair { a: a.0, b: b.0, swapped: false, sigma: reads(a.1).hypot(reads(b.1)) });
            }
            ([None, None], _) => {}
            (_, None) => {
                return Err(Refused::of(
                    "surroundings",
                    "one gauge alone was read cold",
                    "Tell the temperature around it then.",
                ));
            }
            (read, Some((says, truth))) => points.extend(Side::BOTH.iter().zip(read).filter_map(|(side, read)| {
                let (shows, told) = read?;
                Some(Point { side: *side, says: says.into(), shows, truth, sigma: reads(told).hypot(*sigma) })
            })),
        }
    }
    Ok((points, same))
}
