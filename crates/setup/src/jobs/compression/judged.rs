//! The test judged: against each other, against what ought to be, wet against dry, and by leak-down.

use super::BAR;
use crate::given::Given;
use crate::job::Refused;
use crate::jobs::by_cylinder::{as_many, fit_for, median};
use crate::sure::below;
use physics::compression::{Cranked, leak_area};
use physics::engine::swept_volume;
use physics::gas::pressure_at_height;
use std::f64::consts::PI;

/// Rods over throws where none is told [1]; from memory.
const ROD: f64 = 3.5;
/// Leak-down of a sound cylinder [1]; common practice, no source.
const SOUND: f64 = 0.08;
/// Leak-down that counts as a leak [1]; common practice, no source.
const LEAKS: f64 = 0.2;
/// Shares of what a weak cylinder lacks that oil brings back: from here on rings, up to here valves or gasket [1]; common practice,
/// no source.
const RINGS: f64 = 0.6;
const VALVES: f64 = 0.3;
/// So much above the good ones is oil or carbon in the cylinder, or the tester [1]; common practice, no source.
const HIGH: f64 = 0.12;
/// So far from what is expected all of them together are off [1]; common practice, no source.
const ALL_OFF: f64 = 0.2;
/// Readings are this sure at least [Pa].
const LEAST: f64 = 0.1 * BAR;
/// A leak-down that explains so much less than is missing is not the cause [1].
const UNEXPLAINED: f64 = 0.15;

/// Where a weak cylinder leaks.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Where {
    NotTold,
    Rings,
    ValvesOrGasket,
    Both,
    /// Neighbours weak together: the gasket between them.
    Gasket(usize),
}

/// One cylinder.
#[derive(Clone, Debug)]
pub struct Cylinder {
    pub number: usize,
    pub dry: f64,
    pub wet: Option<f64>,
    pub leak_down: Option<f64>,
    /// What its leak-down alone would leave of the expected compression, of a weak one [1].
    pub left_by_leak: Option<f64>,
    /// Diameter of a round hole that leaks as much [m].
    pub gap: Option<f64>,
    pub low: bool,
    pub high: bool,
    /// Chance that it is under the limit [1].
    pub chance: f64,
    pub leaks: Where,
    /// What its leak-down leaves is far more than what was read: it is not leaking that makes it low.
    pub unexplained: bool,
}

/// The whole test.
#[derive(Clone, Debug)]
pub struct Test {
    pub cylinders: Vec<Cylinder>,
    pub good: f64,
    pub expected: Option<f64>,
    pub wanted: Option<f64>,
    pub least: Option<f64>,
    pub limit: f64,
    pub cranked: Option<Cranked>,
    /// They fall one after the other.
    pub tires: bool,
}

impl Test {
    pub fn read(given: &Given) -> Result<Test, Refused> {
        let dry = given.values("compressions");
        let (wet, leak_downs) = (given.list("wet-compressions"), given.list("leak-downs"));
        fit_for("compressions", dry.len())?;
        if dry.is_empty() {
            return Err(Refused::of("compressions", "no cylinder is told", "Tell all of them, in order."));
        }
        as_many("wet-compressions", wet.len(), dry.len())?;
        as_many("leak-downs", leak_downs.len(), dry.len())?;
        let reads: Vec<f64> = dry.iter().map(|(read, _)| *read).collect();
        let good = better_half(&reads);
        if good < BAR {
            let advice = "Look at the tester, its hose and washer, and that the stop or decompressor is not what holds them open.";
            return Err(Refused::of("compressions", "none of them compresses", advice));
        }
        if reads.iter().any(|read| !read.is_finite()) {
            return Err(Refused::of("compressions", "one of them is no number", "Tell a pressure for each."));
        }
        if let Some(place) = (0..wet.len()).find(|place| wet[*place] < 0.8 * reads[*place]) {
            let why = format!("cylinder {} makes less wet than dry", place + 1);
            return Err(Refused::of(
                "wet-compressions",
                why,
                "Oil only helps: look at the order of the cylinders, or test again.",
            ));
        }
        let air = given
            .maybe("air-pressure")
            .unwrap_or_else(|| pressure_at_height(given.maybe("height-above-sea").unwrap_or(0.0)));
        let limit = given.value("compression-spread")?;
        let leak = Leak::read(given, air)?;
        let cranked = cranked(given, air, leak.area(SOUND))?;
        let over = |cranked: Cranked| cranked.highest() - air;
        let expected = cranked.map(over);
        let mut cylinders: Vec<Cylinder> = dry
            .iter()
            .enumerate()
            .map(|(place, (read, sigma))| {
                let leak_down = leak_downs.get(place).copied();
                let low = *read < (1.0 - limit) * good;
                let area = leak_down.filter(|_| low).and_then(|share| leak.area(share));
                let left = |area: f64| Some(over(Cranked { leak: area, ..cranked? }) / expected?);
                Cylinder {
                    number: place + 1,
                    dry: *read,
                    wet: wet.get(place).copied(),
                    leak_down,
                    left_by_leak: area.and_then(left),
                    gap: area.map(|area| (4.0 * area / PI).sqrt()),
                    low,
                    high: *read > (1.0 + HIGH) * good,
                    chance: below(*read, sigma.max(LEAST), (1.0 - limit) * good),
                    leaks: Where::NotTold,
                    unexplained: false,
                }
            })
            .collect();
        for cylinder in &mut cylinders {
            let left = cylinder.left_by_leak;
            cylinder.unexplained = cylinder.low
                && left.is_some_and(|left| left.min(1.0) - cylinder.dry / good > UNEXPLAINED + (1.0 - left));
        }
        find(&mut cylinders, good);
        let tires = reads.len() >= 4 && reads.windows(2).all(|pair| pair[1] < pair[0]);
        let (wanted, least) = (given.maybe("wanted-compression"), given.maybe("least-compression"));
        Ok(Test { cylinders, good, expected, wanted, least, limit, cranked, tires })
    }

    /// The lowest under the highest, as a share [1].
    pub fn spread(&self) -> f64 {
        let dry = || self.cylinders.iter().map(|cylinder| cylinder.dry);
        1.0 - dry().fold(f64::MAX, f64::min) / dry().fold(f64::MIN, f64::max)
    }

    pub fn low(&self) -> Vec<usize> {
        self.cylinders.iter().filter(|cylinder| cylinder.low).map(|cylinder| cylinder.number).collect()
    }

    /// What all of them are held against, and who says so.
    pub fn against(&self) -> Option<(f64, &'static str)> {
        self.wanted
            .map(|wanted| (wanted, "the maker tells"))
            .or(self.expected.map(|expected| (expected, "ought to be")))
    }

    /// All together are lower, or higher, than they ought to be.
    pub fn all_low(&self) -> bool {
        let by_maker = self.least.is_some_and(|least| self.good < least);
        by_maker || self.against().is_some_and(|(ought, _)| self.good < (1.0 - ALL_OFF) * ought)
    }

    pub fn all_high(&self) -> bool {
        self.against().is_some_and(|(ought, _)| self.good > (1.0 + ALL_OFF) * ought)
    }

    /// Oil brought back much in all of them.
    pub fn all_by_rings(&self) -> Option<bool> {
        let rises: Vec<f64> =
            self.cylinders.iter().filter_map(|cylinder| Some(cylinder.wet? / cylinder.dry - 1.0)).collect();
        (!rises.is_empty()).then(|| median(&rises) > ALL_OFF)
    }
}

/// The middle of the better half: one bad cylinder, or half of them, does not pull it down.
fn better_half(reads: &[f64]) -> f64 {
    let mut sorted = reads.to_vec();
    sorted.sort_by(f64::total_cmp);
    median(&sorted[sorted.len() / 2..])
}

/// Where each weak cylinder leaks.
fn find(cylinders: &mut [Cylinder], good: f64) {
    let sound: Vec<f64> = cylinders.iter().filter(|one| !one.low).filter_map(|one| one.wet).collect();
    // A spoonful of oil fills part of the space of every cylinder: the sound ones tell what that alone does.
    let good_wet = if sound.is_empty() { good } else { better_half(&sound) };
    for one in cylinders.iter_mut().filter(|one| one.low) {
        let Some(wet) = one.wet else { continue };
        let (lacks, lacks_wet) = (1.0 - one.dry / good, 1.0 - wet / good_wet);
        let regained = 1.0 - lacks_wet / lacks;
        one.leaks = match regained {
            share if share >= RINGS => Where::Rings,
            share if share <= VALVES => Where::ValvesOrGasket,
            _ => Where::Both,
        };
    }
    let gasket = |one: &Cylinder| {
        one.low && !matches!(one.leaks, Where::Rings) && one.leak_down.is_none_or(|share| share > LEAKS)
    };
    let pairs: Vec<usize> =
        (1..cylinders.len()).filter(|place| gasket(&cylinders[place - 1]) && gasket(&cylinders[*place])).collect();
    for place in pairs {
        let alike = (cylinders[place - 1].dry - cylinders[place].dry).abs() < 0.15 * good;
        if alike {
            cylinders[place - 1].leaks = Where::Gasket(place + 1);
            cylinders[place].leaks = Where::Gasket(place);
        }
    }
}

/// The leak-down tester.
struct Leak {
    supply: f64,
    orifice: f64,
    air: f64,
}

impl Leak {
    fn read(given: &Given, air: f64) -> Result<Leak, Refused> {
        let supply = given.value("leak-down-supply")? + air;
        Ok(Leak { supply, orifice: given.value("leak-down-orifice")?, air })
    }

    /// Area that leaks so much of what is supplied [m²].
    fn area(&self, share: f64) -> Option<f64> {
        let held = self.air + (1.0 - share) * (self.supply - self.air);
        leak_area(self.supply, held, self.air, self.orifice)
    }
}

/// The cylinder as a sound one, where its ratio is told.
fn cranked(given: &Given, air: f64, leak: Option<f64>) -> Result<Option<Cranked>, Refused> {
    let Some(ratio) = given.maybe("compression-ratio") else { return Ok(None) };
    let (bore, stroke) = (given.value("bore")?, given.value("stroke")?);
    let rod = given.maybe("rod-length").map_or(ROD, |rod| rod / (stroke / 2.0));
    if rod <= 1.0 {
        let why = "a rod shorter than the crank's throw cannot turn over";
        return Err(Refused::of("rod-length", why, "Measure from eye to eye."));
    }
    let swept = swept_volume(bore, stroke, 1);
    Ok(Some(Cranked {
        swept,
        clearance: swept / (ratio - 1.0) + given.value("tester-volume")?,
        rod,
        shut: PI - given.value("inlet-closes")?,
        pressure: air,
        temperature: given.value("cylinder-air")?,
        exponent: given.value("compression-exponent")?,
        speed: given.value("cranking-speed")?,
        leak: leak.unwrap_or(0.0),
    }))
}
