//! The sea trial: its sheet with what every gauge ought to read and a form to fill in; a trial judged; and designed,
//! commissioned and now beside each other.

use crate::desk::Worked;
use crate::page::frame::{Frame, Theme};
use crate::page::query;
use crate::ship::Scene;
use crate::trials::NOW;
use askama::Template;
use diary::Diary;
use measure::quantity::Quantity;
use measure::unit::print;
use model::steady::Model;
use plant::evidence::ToldPoint;
use plant::plant::{GaugeId, Plant};
use trial::compared::{Baseline, Beside, beside};
use trial::judged::{Item, Verdict, between, judge, shown};
use trial::kept::Trial;
use trial::stages::{Ought, Stage, sheet};
use watch::dial::{on_dial, unit};
use work::date;

/// Where it is.
pub const WHERE: &str = "/setup/sea-trial";

/// The sheet and the trials kept.
#[derive(Template)]
#[template(path = "trials.html")]
pub struct TrialsPage {
    frame: Frame,
    stages: Vec<Stage>,
    sheet: Filled,
    kept: Vec<Named>,
    sea: String,
    day: String,
    invented: bool,
}

/// A trial that was kept.
struct Named {
    name: String,
    day: String,
    link: String,
}

/// What every gauge ought to read at every stage.
pub struct Sheet {
    stages: Vec<(Stage, Vec<Ought>)>,
    /// The sea it is for [K]; as usual where none was told.
    sea: Option<f64>,
}

/// The same as a table: speeds of its columns, and a row a gauge.
struct Filled {
    /// Name, and speed as it is set [rpm].
    steps: Vec<(String, String)>,
    rows: Vec<(String, String, Vec<String>)>,
}

impl Sheet {
    /// For a sea [K].
    pub fn of(model: &mut Model, sea: Option<f64>) -> Sheet {
        Sheet { stages: sheet(model, &ToldPoint { sea, ..ToldPoint::default() }), sea }
    }

    fn filled(&self, plant: &Plant) -> Filled {
        let read: Vec<_> =
            self.stages.iter().filter_map(|(stage, oughts)| Some((stage, stage.speed?, oughts))).collect();
        let gauges: Vec<GaugeId> =
            read.first().map_or_else(Vec::new, |(.., oughts)| oughts.iter().map(|ought| ought.gauge).collect());
        let row = |gauge: GaugeId| {
            let cell = |oughts: &[Ought]| {
                oughts.iter().find(|ought| ought.gauge == gauge).map_or_else(String::new, |ought| between(plant, ought))
            };
            let cells = read.iter().map(|(.., oughts)| cell(oughts)).collect();
            (plant[gauge].name.clone(), unit(&plant[gauge]).to_string(), cells)
        };
        let bare = |speed: f64| turns(speed).trim_end_matches(" rpm").to_string();
        let steps = read.iter().map(|(stage, speed, _)| (stage.name.clone(), bare(*speed)));
        Filled { steps: steps.collect(), rows: gauges.into_iter().map(row).collect() }
    }
}

fn turns(speed: f64) -> String {
    print(speed, Quantity::RotationalSpeed, "rpm").unwrap_or_default()
}

fn named(kept: &Diary<Trial>) -> Vec<Named> {
    let each = kept.entries.iter().rev().map(|entry| Named {
        name: entry.what.name.clone(),
        day: date::words(entry.time),
        link: format!("{WHERE}?trial={}", query(&entry.what.name)),
    });
    each.collect()
}

impl TrialsPage {
    /// With a sheet.
    pub fn of(scene: &Scene, worked: &Worked, kept: &Diary<Trial>, sheet: Sheet, theme: Theme) -> TrialsPage {
        TrialsPage {
            frame: Frame::of(scene, "Set-up", theme, WHERE),
            sheet: sheet.filled(&worked.plant),
            stages: sheet.stages.into_iter().map(|(stage, _)| stage).collect(),
            kept: named(kept),
            sea: sheet.sea.and_then(|sea| print(sea, Quantity::Temperature, "°C")).unwrap_or_default(),
            day: date::iso(worked.now),
            invented: worked.invented,
        }
    }
}

/// One trial.
#[derive(Template)]
#[template(path = "trial.html")]
pub struct TrialPage {
    frame: Frame,
    name: String,
    is_now: bool,
    says: String,
    groups: Vec<(&'static str, Vec<Item>)>,
    against: Option<String>,
    /// Others it can be held against.
    others: Vec<Named>,
    gone: Vec<String>,
    steps: Vec<Stood>,
}

/// One step: its speed, and circuit by circuit what was designed, commissioned and read.
struct Stood {
    speed: String,
    circuits: Vec<(String, Vec<Row>)>,
}

struct Row {
    gauge: String,
    designed: String,
    commissioned: String,
    now: String,
    stands: &'static str,
    /// Places on its scale of 300: designed and commissioned from and to, and the reading.
    scale: Scale,
}

/// Where bands and reading lie on a line of 300.
struct Scale {
    designed: Option<(f64, f64)>,
    commissioned: Option<(f64, f64)>,
    now: Option<f64>,
}

impl TrialPage {
    /// Of a trial, held against another if one is named.
    ///
    /// # Errors
    /// Why it cannot be worked out, in the owner's words.
    pub fn of(
        scene: &Scene,
        model: &mut Model,
        kept: &Diary<Trial>,
        trial: &Trial,
        against: Option<&Trial>,
        theme: Theme,
    ) -> Result<TrialPage, String> {
        let is_now = trial.name == NOW;
        // Of one moment under way only what lies beside is asked, not whether a trial was passed.
        let items = if is_now { Vec::new() } else { judge(model, trial) };
        let count = |verdict: Verdict| items.iter().filter(|item| item.verdict == verdict).count();
        let (failed, passed, unread) = (count(Verdict::Failed), count(Verdict::Passed), count(Verdict::NotRead));
        let baseline = against.map(|trial| Baseline::of(model, trial)).transpose();
        let baseline = baseline.map_err(|why| format!("The baseline cannot be worked out: {why}."))?;
        let steps: Vec<Stood> = trial
            .steps
            .iter()
            .map(|step| {
                let at = step.at(&model.plant);
                let rows = beside(model, baseline.as_ref(), step);
                Stood {
                    speed: at.speed.map_or_else(|| "Speed not told".into(), turns),
                    circuits: by_circuit(&model.plant, &rows),
                }
            })
            .collect();
        let off = steps
            .iter()
            .flat_map(|step| &step.circuits)
            .flat_map(|(_, rows)| rows)
            .filter(|row| !row.stands.is_empty())
            .count();
        let beside_what = against.map_or_else(
            || "what she was designed to read".to_string(),
            |trial| format!("what she read “{}”", trial.name),
        );
        let says = if is_now {
            match off {
                0 => format!("Nothing is off {beside_what}."),
                1 => format!("One reading is off {beside_what}."),
                _ => format!("{off} readings are off {beside_what}."),
            }
        } else {
            format!("{failed} failed, {passed} passed, {unread} not read.")
        };
        let of = |verdict: Verdict, title: &'static str| {
            (title, items.iter().filter(|item| item.verdict == verdict).cloned().collect::<Vec<_>>())
        };
        let groups = [of(Verdict::Failed, "Failed"), of(Verdict::NotRead, "Not read"), of(Verdict::Passed, "Passed")];
        let mut here = format!("{WHERE}?trial={}", query(&trial.name));
        if let Some(against) = against {
            here = format!("{here}&against={}", query(&against.name));
        }
        Ok(TrialPage {
            frame: Frame::of(scene, "Set-up", theme, &here),
            is_now,
            says,
            groups: groups.into_iter().filter(|(_, items)| !items.is_empty()).collect(),
            against: against.map(|trial| trial.name.clone()),
            others: named(kept).into_iter().filter(|other| other.name != trial.name).collect(),
            gone: baseline.map(|baseline| baseline.gone).unwrap_or_default(),
            steps,
            name: trial.name.clone(),
        })
    }
}

/// Gauges under the circuit they look at, in the plant's order.
fn by_circuit(plant: &Plant, rows: &[Beside]) -> Vec<(String, Vec<Row>)> {
    let mut circuits: Vec<(String, Vec<Row>)> = Vec::new();
    for one in rows {
        let group = watch::place::circuit_of(plant, one.gauge).title().to_string();
        let row = row(plant, one);
        match circuits.iter_mut().find(|(name, _)| *name == group) {
            Some((_, rows)) => rows.push(row),
            None => circuits.push((group, vec![row])),
        }
    }
    circuits
}

fn row(plant: &Plant, one: &Beside) -> Row {
    let told = |ought: Option<Ought>| {
        ought.map_or_else(String::new, |ought| {
            format!("{} ({})", shown(plant, one.gauge, ought.value), between(plant, &ought))
        })
    };
    Row {
        gauge: plant[one.gauge].name.clone(),
        designed: told(one.designed),
        commissioned: told(one.commissioned),
        now: one.now.map_or_else(String::new, |now| shown(plant, one.gauge, now)),
        stands: one.stands(plant).unwrap_or_default(),
        scale: scale(plant, one),
    }
}

fn scale(plant: &Plant, one: &Beside) -> Scale {
    let gauge = &plant[one.gauge];
    let band = |ought: Ought| {
        let (a, b) = (on_dial(gauge, ought.low), on_dial(gauge, ought.high));
        (a.min(b), a.max(b))
    };
    let (designed, commissioned) = (one.designed.map(band), one.commissioned.map(band));
    let now = one.now.map(|now| on_dial(gauge, now));
    let ends = designed.into_iter().chain(commissioned).chain(now.map(|now| (now, now)));
    let (low, high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (a, b)| (low.min(a), high.max(b)));
    let place = |value: f64| if high > low { 10.0 + 280.0 * (value - low) / (high - low) } else { 150.0 };
    let both = |(a, b): (f64, f64)| (place(a), place(b));
    Scale { designed: designed.map(both), commissioned: commissioned.map(both), now: now.map(place) }
}
