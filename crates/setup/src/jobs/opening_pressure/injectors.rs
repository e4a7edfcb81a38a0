//! Each injector, and what is to be done with it.

use super::BAR;
use crate::given::Given;
use crate::job::Refused;
use crate::jobs::by_cylinder::{MOST, as_many};
use physics::injector::Needle;

/// Change by 0.1 mm of shim where nothing tells it [Pa]; common practice, no source: 8 to 15 bar.
const USUAL: f64 = 10.0 * BAR;
/// Standard uncertainty of that, as a share [1].
const USUAL_DOUBT: f64 = 0.18;
/// Under this share of what is wanted a spring is broken or a needle stuck, and no shim mends it [1]; common practice, no source.
const BROKEN: f64 = 0.6;
/// More shim than this at once is not what a worn spring loses [m]; common practice, no source.
const TOO_MUCH: f64 = 0.6e-3;
/// Steps tried on either side of the exact one.
const NEAR: [f64; 4] = [-1.0, 0.0, 1.0, 2.0];

/// What is to be done with one.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    Leave,
    Shim,
    /// Its nozzle first: no shim mends what it does.
    Nozzle,
    /// Its spring or needle is broken or stuck.
    Broken,
}

/// How it sprays.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Spray {
    NotTold,
    Good,
    Drips,
    Streams,
    Weak,
    Stuck,
}

/// One injector.
#[derive(Copy, Clone, Debug)]
pub struct One {
    pub number: usize,
    pub found: f64,
    pub spray: Spray,
    pub verdict: Verdict,
    /// Shim to add, exactly and by steps [m].
    pub change: f64,
    pub by_steps: f64,
    /// What it then opens at [Pa].
    pub then: f64,
    pub shims_now: Option<f64>,
}

/// All of them.
#[derive(Clone, Debug)]
pub struct Injectors {
    pub each: Vec<One>,
    pub wanted: f64,
    pub band: f64,
    /// What they are set to: above the wanted one where springs have yet to settle [Pa].
    pub target: f64,
    pub settles: f64,
    /// Change of pressure by shim [Pa/m], and where that comes from.
    pub slope: f64,
    pub slope_from: &'static str,
    /// How uncertain it is where nothing told it, as a share [1].
    pub slope_doubt: Option<f64>,
    pub shuts_at: Option<f64>,
    pub step: f64,
    pub left: Vec<f64>,
}

impl Injectors {
    pub fn read(given: &Given) -> Result<Injectors, Refused> {
        let found = given.list("opening-pressures");
        if found.is_empty() || found.len() > MOST {
            let why = format!("{} injectors are told", found.len());
            return Err(Refused::of("opening-pressures", why, format!("Tell one to {MOST}, in order.")));
        }
        let (shims, left) = (given.list("shims-now"), given.list("left-openings"));
        as_many("shims-now", shims.len(), found.len())?;
        as_many("left-openings", left.len(), found.len())?;
        let sprays = sprays(given.text("sprays"), found.len())?;
        let wanted = given.value("wanted-opening")?;
        let settles = if given.word("injector-springs") == "new" { given.value("new-spring-drop")? } else { 0.0 };
        let (slope, slope_from, shuts_at) = slope(given)?;
        let (band, step, target) = (given.value("opening-band")?, given.value("shim-step")?, wanted + settles);
        let one = |(place, found): (usize, f64)| {
            let exact = (target - found) / slope;
            let by_steps = steps(exact, step, |change| found + slope * change - target, band);
            let spray = sprays.get(place).copied().unwrap_or(Spray::NotTold);
            // Where it is wanted, and above by no more than the band.
            let within = found >= target && found <= target + band;
            let verdict = match spray {
                Spray::Stuck => Verdict::Broken,
                _ if found < BROKEN * wanted => Verdict::Broken,
                Spray::Drips | Spray::Streams | Spray::Weak => Verdict::Nozzle,
                // What the shims at hand cannot bring closer stays.
                _ if within || by_steps == 0.0 => Verdict::Leave,
                _ => Verdict::Shim,
            };
            let change = if within { 0.0 } else { exact };
            let then = if verdict == Verdict::Leave { found } else { found + slope * by_steps };
            One {
                number: place + 1,
                found,
                spray,
                verdict,
                change,
                by_steps,
                then,
                shims_now: shims.get(place).copied(),
            }
        };
        let each: Vec<One> = found.into_iter().enumerate().map(one).collect();
        let short = each.iter().find(|one| one.shims_now.is_some_and(|now| now + one.by_steps < -1e-9));
        if let Some(one) = short.filter(|one| one.verdict == Verdict::Shim) {
            let why = format!("injector {} has fewer shims than must come out", one.number);
            let advice = "Look at what was measured: another spring or another washer may be in it.";
            return Err(Refused::of("shims-now", why, advice));
        }
        let slope_doubt = slope_from.starts_with("common").then_some(USUAL_DOUBT);
        Ok(Injectors { each, wanted, band, target, settles, slope, slope_from, slope_doubt, shuts_at, step, left })
    }

    /// Those with a verdict.
    pub fn with(&self, verdict: Verdict) -> Vec<usize> {
        self.each.iter().filter(|one| one.verdict == verdict).map(|one| one.number).collect()
    }

    /// Those that want more shim than a spring loses by wear.
    pub fn far(&self) -> Vec<usize> {
        let far = |one: &&One| one.verdict == Verdict::Shim && one.change.abs() > TOO_MUCH;
        self.each.iter().filter(far).map(|one| one.number).collect()
    }

    /// Shims at hand are coarser than the band.
    pub fn coarse(&self) -> bool {
        self.step * self.slope > self.band
    }
}

/// The whole steps that leave it nearest above what is wanted; where none lies in the band, the nearest.
fn steps(exact: f64, step: f64, over: impl Fn(f64) -> f64, band: f64) -> f64 {
    let first = (exact / step).floor();
    let miss = |change: &f64| {
        let over = over(*change);
        if (-1.0..=band).contains(&over) { over.abs() * 1e-6 } else { over.abs() }
    };
    let all = NEAR.map(|more| (first + more) * step);
    all.into_iter().min_by(|a, b| miss(a).total_cmp(&miss(b))).unwrap_or(exact)
}

/// Change of pressure by shim [Pa/m], where it comes from, and at what share it shuts again.
fn slope(given: &Given) -> Result<(f64, &'static str, Option<f64>), Refused> {
    let (guide, seat) = (given.maybe("needle-guide"), given.maybe("needle-seat"));
    let needle = match (guide, seat) {
        (Some(guide), Some(seat)) if seat >= guide => {
            let advice = "The seat is the small end: measure again, or leave both out.";
            return Err(Refused::of("needle-seat", "a seat as wide as its guide never opens", advice));
        }
        (Some(guide), Some(seat)) => Some(Needle { guide, seat }),
        _ => None,
    };
    let shuts_at = needle.map(|needle| needle.shuts_at());
    let by_spring = needle.zip(given.maybe("injector-spring-rate")).map(|(needle, rate)| needle.opens(rate, 1.0));
    Ok(match (given.maybe("bar-per-shim"), by_spring) {
        (Some(told), _) => (told / 0.1e-3, "told", shuts_at),
        (None, Some(slope)) => (slope, "the spring over the ring between seat and guide", shuts_at),
        (None, None) => (USUAL / 0.1e-3, "common practice, no source", shuts_at),
    })
}

/// "good, good, drips": one word for each.
fn sprays(text: &str, count: usize) -> Result<Vec<Spray>, Refused> {
    let words: Vec<&str> = text.split([',', ';']).map(str::trim).filter(|word| !word.is_empty()).collect();
    as_many("sprays", words.len(), count)?;
    let of = |word: &&str| match word.to_lowercase().as_str() {
        "good" => Ok(Spray::Good),
        "drips" => Ok(Spray::Drips),
        "streams" => Ok(Spray::Streams),
        "weak" => Ok(Spray::Weak),
        "stuck" => Ok(Spray::Stuck),
        other => {
            let short: String = other.chars().take(20).collect();
            let advice = "Each is good, drips, streams, weak or stuck.";
            Err(Refused::of("sprays", format!("`{short}` is none of the words"), advice))
        }
    };
    words.iter().map(of).collect()
}
