//! Pass or fail, item by item, each with what it is held to.

use crate::compared::off;
use crate::kept::{Step, Trial};
use crate::stages::{Ought, ought};
use diagnosis::act::limits_by_part;
use measure::figure::SIGMAS_TO_95;
use measure::quantity::Quantity;
use measure::unit::print;
use model::steady::Model;
use parts::kind::{Circuit, Limit, When};
use plant::plant::{GaugeId, Plant};
use watch::dial;
use watch::place::circuit_of;

/// One item of the trial.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// What is asked.
    pub asks: String,
    /// What was found.
    pub found: String,
    /// How it stands.
    pub verdict: Verdict,
    /// What to do where it failed.
    pub advice: String,
    /// What it is held to, and from where.
    pub source: String,
}

/// How an item stands.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It holds.
    Passed,
    /// It does not.
    Failed,
    /// What it needs was not read.
    NotRead,
}

impl Verdict {
    /// The word on a page.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Passed => "passed",
            Verdict::Failed => "failed",
            Verdict::NotRead => "not read",
        }
    }
}

/// Share of rated speed that counts as reached, and the most that is still right [1]; common practice, no source.
const REACHED: (f64, f64) = (0.985, 1.04);
/// Speeds closer than this are the same step [share].
const SAME: f64 = 0.02;
/// A temperature that moves more than this between two readings of a step creeps [K]; common practice, no source.
const CREEP: f64 = 1.5;
/// How far the rise of raw water may be from what it should be [share]; common practice, no source.
const RISE: f64 = 0.2;
/// Rises smaller than this are not judged: two thermometers differ by as much [K].
const SMALL: f64 = 3.0;

/// Judges a trial.
pub fn judge(model: &mut Model, trial: &Trial) -> Vec<Item> {
    let mut items = vec![speed(&model.plant, trial)];
    items.extend(creep(&model.plant, trial));
    items.extend(limits(&model.plant, trial));
    let oughts: Vec<Vec<Ought>> = trial.steps.iter().map(|step| ought(model, &step.at(&model.plant))).collect();
    for (step, oughts) in trial.steps.iter().zip(&oughts) {
        items.extend(rises(&model.plant, step, oughts));
    }
    items.extend(bands(&model.plant, trial, &oughts));
    items
}

fn turns(speed: f64) -> String {
    print(speed, Quantity::RotationalSpeed, "rpm").unwrap_or_default()
}

/// The fastest step, by what it is told to have been.
fn fastest<'a>(plant: &Plant, trial: &'a Trial) -> Option<(f64, &'a Step)> {
    let speeds = trial.steps.iter().filter_map(|step| Some((step.at(plant).speed?, step)));
    speeds.max_by(|a, b| a.0.total_cmp(&b.0))
}

fn speed(plant: &Plant, trial: &Trial) -> Item {
    let rated = plant.rated_speed;
    let asks = format!("Reaches her rated {}, and no more than 4 % over", turns(rated));
    let source =
        "common practice, no source; the power a propeller asks for goes with the cube of its speed".to_string();
    let Some((reached, _)) = fastest(plant, trial) else {
        let found = "no speed was told".to_string();
        return Item { asks, found, verdict: Verdict::NotRead, advice: String::new(), source };
    };
    let share = reached / rated;
    let found = format!("{} at most", turns(reached));
    let (verdict, advice) = if share < REACHED.0 {
        let over = 100.0 * (share.powi(-3) - 1.0);
        let advice = format!(
            "If the lever was against its stop and she was deep loaded, the propeller asks for {over:.0} % more than the engine gives \
             at rated speed: propeller, hull, air, fuel, in the order of what is easiest to look at."
        );
        (Verdict::Failed, advice)
    } else if share > REACHED.1 {
        let advice = "She was too light, the propeller is too small, or the governor's stop is too high: the maker's manual tells how far it may go.";
        (Verdict::Failed, advice.to_string())
    } else {
        (Verdict::Passed, String::new())
    };
    Item { asks, found, verdict, advice, source }
}

/// Whether temperatures still moved between two readings at full speed.
fn creep(plant: &Plant, trial: &Trial) -> Vec<Item> {
    let Some((most, _)) = fastest(plant, trial) else { return Vec::new() };
    let full: Vec<&Step> = trial
        .steps
        .iter()
        .filter(|step| step.at(plant).speed.is_some_and(|speed| (speed / most - 1.0).abs() < SAME))
        .collect();
    let source = "common practice, no source: no creep after ten to fifteen minutes".to_string();
    let asks = "Temperatures stand still at full speed".to_string();
    let [.., before, last] = full[..] else {
        let found = "full speed was read only once".to_string();
        let advice = "Read it after ten minutes, and again five minutes later.".to_string();
        return vec![Item { asks, found, verdict: Verdict::NotRead, advice, source }];
    };
    let closed = |gauge: &GaugeId| {
        plant[*gauge].quantity == Quantity::Temperature
            && matches!(circuit_of(plant, *gauge), Circuit::FreshWater | Circuit::Oil | Circuit::GearOil)
    };
    let moved = plant
        .gauge_ids()
        .filter(closed)
        .filter_map(|gauge| Some((gauge, last.read(plant, gauge)? - before.read(plant, gauge)?)));
    let Some((gauge, most)) = moved.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())) else { return Vec::new() };
    let found = format!("{} moved most, by {most:+.1} K", plant[gauge].name);
    let (verdict, advice) = if most > CREEP {
        let advice =
            "It may not have come to rest yet: hold her longer. If it goes on rising, what cools it is at its end.";
        (Verdict::Failed, advice.to_string())
    } else {
        (Verdict::Passed, String::new())
    };
    vec![Item { asks, found, verdict, advice, source }]
}

/// Every gauge that watches over a limit, at the step where it came nearest.
fn limits(plant: &Plant, trial: &Trial) -> Vec<Item> {
    let mut items = Vec::new();
    for gauge in plant.gauge_ids().filter(|gauge| plant[*gauge].trips.is_none()) {
        for (part, limit) in limits_by_part(plant, gauge) {
            let read = trial.steps.iter().filter(|step| step.at(plant).speed.is_none_or(|speed| speed > 1.0));
            let read = read.filter_map(|step| step.read(plant, gauge));
            let worst = read.max_by(|a, b| beyond(limit, *a).total_cmp(&beyond(limit, *b)));
            let show = |value: f64| shown(plant, gauge, value);
            let side = if limit.when == When::High { "below" } else { "above" };
            let dial = dial::on_dial(&plant[gauge], limit.value);
            let asks =
                format!("{} stays {side} {} {}", plant[gauge].name, dial::as_told(dial), dial::unit(&plant[gauge]));
            let source = limit.source.to_string();
            let (found, verdict, advice) = match worst {
                None => ("not read".to_string(), Verdict::NotRead, String::new()),
                Some(value) if beyond(limit, value) > 0.0 => {
                    (format!("{} at worst", show(value)), Verdict::Failed, plant.worded(limit.act).into_owned())
                }
                Some(value) => (format!("{} at worst", show(value)), Verdict::Passed, String::new()),
            };
            let of = format!("{} ({})", asks, plant[part].name);
            items.push(Item { asks: of, found, verdict, advice, source });
        }
    }
    items
}

/// How far past a limit a value is [SI]; below zero it is not.
fn beyond(limit: &Limit, value: f64) -> f64 {
    match limit.when {
        When::High => value - limit.value,
        When::Low => limit.value - value,
    }
}

/// Whether raw water gains as much heat as it should at a step: the rise of every thermometer in it over the sea.
fn rises(plant: &Plant, step: &Step, designed: &[Ought]) -> Vec<Item> {
    let at = step.at(plant);
    let (Some(sea), Some(speed)) = (at.sea, at.speed) else { return Vec::new() };
    let in_raw = |gauge: &GaugeId| {
        plant[*gauge].quantity == Quantity::Temperature && circuit_of(plant, *gauge) == Circuit::RawWater
    };
    let of = |gauge: GaugeId| {
        let should = designed.iter().find(|ought| ought.gauge == gauge)?.value - sea;
        let rise = step.read(plant, gauge)? - sea;
        if should < SMALL {
            return None;
        }
        let share = rise / should - 1.0;
        let verdict = if share.abs() <= RISE { Verdict::Passed } else { Verdict::Failed };
        let advice = if share > RISE {
            "More rise is less water for the same heat: strainer, pump, hoses, outlet."
        } else if share < -RISE {
            "Less rise is more water, or less heat than was thought: the load, or the thermometers."
        } else {
            ""
        };
        Some(Item {
            asks: format!(
                "Raw water gains what it should by {} at {}: {should:.1} K, within a fifth",
                plant[gauge].name,
                turns(speed)
            ),
            found: format!("{rise:.1} K"),
            verdict,
            advice: advice.into(),
            source: "heat balance of the described plant; a fifth is common practice, no source".into(),
        })
    };
    plant.gauge_ids().filter(in_raw).filter_map(of).collect()
}

/// Whether readings lie where 95 of 100 plants like this one read: gauge by gauge, at the step where it is furthest off.
fn bands(plant: &Plant, trial: &Trial, oughts: &[Vec<Ought>]) -> Vec<Item> {
    let mut worst: Vec<(GaugeId, usize, f64, f64, String)> = Vec::new();
    for (step, oughts) in trial.steps.iter().zip(oughts) {
        let at = step.at(plant);
        for ought in oughts {
            let Some(read) = step.read(plant, ought.gauge) else { continue };
            let off = off(ought, read);
            let show = |value: f64| shown(plant, ought.gauge, value);
            let speed = at.speed.map_or_else(|| "a speed not told".into(), turns);
            let found = format!("{} at {speed}, where {} was expected", show(read), between(plant, ought));
            match worst.iter_mut().find(|known| known.0 == ought.gauge) {
                None => worst.push((ought.gauge, 1, off, read, found)),
                Some(known) => {
                    known.1 += 1;
                    if off.abs() > known.2.abs() {
                        *known = (ought.gauge, known.1, off, read, found);
                    }
                }
            }
        }
    }
    let item = |(gauge, steps, off, _, found): (GaugeId, usize, f64, f64, String)| {
        // Of more steps one may stand further out by chance alone.
        let most = far_of(steps);
        let verdict = if off.abs() <= most { Verdict::Passed } else { Verdict::Failed };
        let advice = if verdict == Verdict::Passed {
            ""
        } else {
            "Look at the gauge with a second instrument; then give the readings to `bedplate explain`, or to the page Causes."
        };
        Item {
            asks: format!("{} reads what she was described to read", plant[gauge].name),
            found,
            verdict,
            advice: advice.into(),
            source: "the model of the described plant, 95 of 100".into(),
        }
    };
    worst.into_iter().map(item).collect()
}

/// How far out the furthest of so many readings may stand by chance, one time in twenty [standard deviations].
fn far_of(count: usize) -> f64 {
    let each = 0.05 / count.max(1) as f64;
    let (mut low, mut high) = (SIGMAS_TO_95, 6.0);
    while high - low > 1e-6 {
        let middle = f64::midpoint(low, high);
        if 2.0 * measure::figure::normal_below(-middle) > each { low = middle } else { high = middle }
    }
    low
}

/// A value as the gauge shows it.
pub fn shown(plant: &Plant, gauge: GaugeId, value: f64) -> String {
    let g = &plant[gauge];
    format!("{} {}", dial::number(dial::on_dial(g, value), dial::reading_step(g)), dial::unit(g)).trim_end().to_string()
}

/// A band as the gauge shows it, without its unit: "76 to 88".
pub fn between(plant: &Plant, ought: &Ought) -> String {
    let g = &plant[ought.gauge];
    let (low, high) = dial::band(g, ought.low, ought.high);
    let step = dial::step(high - low);
    format!("{} to {}", dial::number(low, step), dial::number(high, step))
}
