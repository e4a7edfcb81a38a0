//! Service tasks, records and hours of one vessel, put together out of her texts and her history.

use crate::history::History;
use diary::Diary;
use plant::evidence::{Named, Work};
use plant::plant::{GaugeId, PartId, Plant};
use std::ops::Range;
use store::Reader;
use work::due::{Asked, List, hours_at, list};
use work::effect;
use work::record::Record;
use work::task::Task;
use work::usage::Planned;

/// Points of a gauge that a condition is followed by.
const POINTS: usize = 60;

/// Everything that work is worked out from.
#[derive(Clone, Debug, Default)]
pub struct Papers {
    /// Her service tasks.
    pub tasks: Vec<Task>,
    /// What was done and what happened.
    pub records: Diary<Record>,
    /// What the hour meter of each engine showed: times [ms since 1970, UTC] and running hours [h], both rising.
    pub meters: Vec<(PartId, Vec<(i64, f64)>)>,
    /// What could not be read, in words.
    pub unread: Vec<String>,
}

impl Papers {
    /// Of these tasks and this history.
    pub fn of(plant: &Plant, tasks: Vec<Task>, history: &History) -> Papers {
        let records = history.read::<Record>();
        let unread = history.damaged.iter().chain(&records.unread).cloned().collect();
        let ledger = history.read::<ledger::Posting>();
        let both = |engine: PartId| {
            let mut meter = meter(plant, &tasks, &records, engine);
            meter.extend(ledger::Hours::of(&ledger.entries, &plant[engine].name).readings());
            rising(&mut meter);
            (engine, meter)
        };
        let meters = plant.engines().map(both).collect();
        Papers { tasks, records, meters, unread }
    }

    /// Takes in what a meter shows at a time [h], as told now.
    pub fn tell_hours(&mut self, engine: PartId, time: i64, hours: f64) {
        let Some((_, meter)) = self.meters.iter_mut().find(|(of, _)| *of == engine) else { return };
        meter.push((time, hours));
        rising(meter);
    }

    /// What is due.
    pub fn due(&self, plant: &Plant, reader: Option<&Reader>, now: i64, planned: Option<Planned>) -> List {
        let readings = |gauge: GaugeId, since: i64| self.readings(plant, reader, gauge, since..now);
        let Papers { tasks, records, meters, .. } = self;
        list(&Asked { plant, tasks, records, meters, readings: &readings, now, planned })
    }

    /// What a gauge read, by running hours of its vessel's engine [h, SI].
    fn readings(&self, plant: &Plant, reader: Option<&Reader>, gauge: GaugeId, span: Range<i64>) -> Vec<(f64, f64)> {
        let Some((_, meter)) = self.meters.first() else { return Vec::new() };
        let plot = reader.and_then(|reader| reader.query(&plant[gauge].name, span, POINTS).ok());
        let points = plot.map(|plot| plot.points).unwrap_or_default();
        points.iter().filter_map(|point| Some((hours_at(meter, point.from)?, point.mean))).collect()
    }

    /// Lays what was done over the plant: what was looked over or renewed has run only so long since.
    pub fn lay_over(&self, plant: &mut Plant, now: i64) {
        let hours = |plant: &Plant, of: Named| self.hours_of(plant, of, now);
        effect::on_plant(plant, &self.tasks, &self.records, hours);
    }

    /// What was lately done, as evidence tells it.
    pub fn lately(&self, plant: &Plant, now: i64) -> Vec<Work> {
        let hours = |plant: &Plant, of: Named| self.hours_of(plant, of, now);
        effect::lately(plant, &self.tasks, &self.records, now, &hours)
    }

    /// Running hours of a part's engine at a time [h].
    pub fn hours_of(&self, plant: &Plant, of: Named, time: i64) -> Option<f64> {
        let engine = match of {
            Named::Part(part) => plant[part].engine,
            Named::Gauge(_) => None,
        };
        let meter = self.meters.iter().find(|(of, _)| engine.is_none_or(|engine| engine == *of))?;
        hours_at(&meter.1, time)
    }
}

/// What records of work tell of an engine's meter.
fn meter(plant: &Plant, tasks: &[Task], records: &Diary<Record>, engine: PartId) -> Vec<(i64, f64)> {
    let of = |record: &Record| {
        let task = record.task.as_deref().and_then(|name| tasks.iter().find(|task| task.name == name));
        let part = record.of.as_deref().and_then(|name| plant.part(name)).and_then(|part| plant[part].engine);
        task.and_then(|task| task.engine).or(part).unwrap_or(engine)
    };
    let told = records.entries.iter().filter(|entry| of(&entry.what) == engine);
    let mut meter: Vec<(i64, f64)> = told.filter_map(|entry| Some((entry.time, entry.what.hours?))).collect();
    rising(&mut meter);
    meter
}

/// In order of time, each no less than before: what stands lower is left out, for a meter only goes on.
fn rising(meter: &mut Vec<(i64, f64)>) {
    meter.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut highest = f64::NEG_INFINITY;
    meter.retain(|(_, hours)| {
        let kept = hours.is_finite() && *hours >= highest;
        if kept {
            highest = *hours;
        }
        kept
    });
}
