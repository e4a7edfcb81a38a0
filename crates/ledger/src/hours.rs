//! Running hours as a function of time, from what was read off hour-meters, across meters that were changed.

use crate::posting::Posting;
use diary::{Entry, Key};

/// Milliseconds in an hour.
const HOUR: f64 = 3_600_000.0;
/// A meter counts whole hours or tenths, and a time is noted to the nearest watch: so much [h] a reading may run ahead of the
/// clock or behind the reading before before it is absurd. From memory.
const SLACK: f64 = 1.0;
/// So many readings back a reading is held against: more wrong ones than this in a row are believed.
const LOOK_BACK: usize = 200;

/// Running hours of one engine.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hours {
    readings: Vec<(i64, f64)>,
    /// Readings that do not fit the others.
    pub absurd: Vec<Absurd>,
}

/// A reading of an hour-meter that cannot be: it is kept, and not counted with.
#[derive(Clone, Debug, PartialEq)]
pub struct Absurd {
    /// The entry.
    pub key: Key,
    /// When [ms since 1970, UTC].
    pub time: i64,
    /// What it shows, carried on over changes of the meter [h].
    pub hours: f64,
    /// What is wrong with it.
    pub why: Wrong,
}

/// What is wrong with a reading of an hour-meter.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// It shows less than one before it, and no change of the meter is told.
    Backwards,
    /// More hours have run than have passed.
    FasterThanTime,
}

/// A reading carried on over changes of the meter.
struct Read {
    time: i64,
    hours: f64,
    key: Key,
}

impl Hours {
    /// The running hours of an engine, from all entries of the ledger by time.
    ///
    /// Hours go on counting when a meter is changed. Of readings that cannot all be right the most that can are believed.
    pub fn of(entries: &[Entry<Posting>], engine: &str) -> Hours {
        let mut carried = 0.0;
        let mut all: Vec<Read> = Vec::new();
        for entry in entries {
            let mut read = |hours: f64| all.push(Read { time: entry.time, hours, key: entry.key.clone() });
            match &entry.what {
                Posting::Hours { engine: of, hours } if of == engine => read(carried + hours),
                Posting::MeterChanged { engine: of, old, new } if of == engine => {
                    read(carried + old);
                    carried += old - new;
                }
                _ => {}
            }
        }
        believed(&all)
    }

    /// Running hours at a time [ms since 1970, UTC], between readings in proportion to time; nothing before the first.
    /// After the last it is the last: what has run since is not told.
    ///
    /// Returns hours [h].
    pub fn at(&self, time: i64) -> Option<f64> {
        let after = self.readings.partition_point(|(at, _)| *at <= time);
        let (before, hours) = *self.readings.get(after.checked_sub(1)?)?;
        let Some((next, then)) = self.readings.get(after) else { return Some(hours) };
        let share = (time - before) as f64 / (next - before) as f64;
        Some(hours + share * (then - hours))
    }

    /// What was read: times [ms since 1970, UTC] and running hours [h], both rising, carried on over changes of the meter.
    pub fn readings(&self) -> &[(i64, f64)] {
        &self.readings
    }

    /// Hours run between two times [h]; nothing if the first lies before the first reading.
    pub fn between(&self, from: i64, to: i64) -> Option<f64> {
        Some(self.at(to)? - self.at(from)?)
    }
}

/// Whether one reading can come after another.
fn wrong(before: &Read, after: &Read) -> Option<Wrong> {
    let run = after.hours - before.hours;
    if run < -1e-9 {
        Some(Wrong::Backwards)
    } else if run > (after.time - before.time) as f64 / HOUR + SLACK {
        Some(Wrong::FasterThanTime)
    } else {
        None
    }
}

/// The longest row of readings in which each can come after the one before.
fn believed(all: &[Read]) -> Hours {
    // For each reading: how long a row ends in it, and which comes before it there.
    let mut rows: Vec<(usize, Option<usize>)> = Vec::with_capacity(all.len());
    for (k, read) in all.iter().enumerate() {
        let fits = (k.saturating_sub(LOOK_BACK)..k).filter(|j| wrong(&all[*j], read).is_none());
        // Of rows of one length the one that ends first: what stands in the way came later.
        let first = std::cmp::Reverse::<usize>;
        let best = fits.max_by_key(|j| (rows[*j].0, first(*j)));
        rows.push((best.map_or(1, |j| rows[j].0 + 1), best));
    }
    let mut end = (0..all.len()).max_by_key(|k| (rows[*k].0, std::cmp::Reverse(*k)));
    let mut kept = vec![false; all.len()];
    while let Some(k) = end {
        kept[k] = true;
        end = rows[k].1;
    }
    let mut hours = Hours::default();
    let mut last: Option<&Read> = None;
    for (read, kept) in all.iter().zip(kept) {
        if kept {
            last = Some(read);
            match hours.readings.last_mut() {
                Some(same) if same.0 == read.time => same.1 = read.hours,
                _ => hours.readings.push((read.time, read.hours)),
            }
        } else {
            let why = last.and_then(|last| wrong(last, read)).unwrap_or(Wrong::FasterThanTime);
            let Read { time, hours: shown, key } = read;
            hours.absurd.push(Absurd { key: key.clone(), time: *time, hours: *shown, why });
        }
    }
    hours
}

#[cfg(test)]
mod tests {
    use super::*;

    const DAY: i64 = 86_400_000;

    fn entry(time: i64, what: Posting) -> Entry<Posting> {
        Entry { key: Key(format!("{time}")), time, who: None, corrects: None, what }
    }

    fn read(day: i64, hours: f64) -> Entry<Posting> {
        entry(day * DAY, Posting::Hours { engine: "main".into(), hours })
    }

    fn changed(day: i64, old: f64, new: f64) -> Entry<Posting> {
        entry(day * DAY, Posting::MeterChanged { engine: "main".into(), old, new })
    }

    #[test]
    fn hours_are_interpolated_and_carried_on_over_a_change_of_the_meter() {
        let entries = [read(0, 100.0), read(10, 120.0), changed(20, 130.0, 5.0), read(30, 15.0)];
        let hours = Hours::of(&entries, "main");
        assert_eq!(hours.readings(), [(0, 100.0), (10 * DAY, 120.0), (20 * DAY, 130.0), (30 * DAY, 140.0)]);
        assert_eq!(hours.at(5 * DAY), Some(110.0));
        assert_eq!(hours.at(25 * DAY), Some(135.0));
        assert_eq!(hours.at(-1), None);
        assert_eq!(hours.at(99 * DAY), Some(140.0));
        assert_eq!(hours.between(5 * DAY, 25 * DAY), Some(25.0));
        assert_eq!(Hours::of(&entries, "port").at(0), None, "another engine");
    }

    #[test]
    fn a_meter_that_runs_backwards_or_faster_than_time_is_told_and_not_counted_with() {
        let back = Hours::of(&[read(0, 100.0), read(10, 90.0), read(20, 110.0)], "main");
        assert_eq!(back.readings(), [(0, 100.0), (20 * DAY, 110.0)]);
        assert_eq!((back.absurd[0].time, back.absurd[0].why), (10 * DAY, Wrong::Backwards));
        // One digit too many is one wrong reading, and does not make wrong all that come after.
        let fast = Hours::of(&[read(0, 100.0), read(1, 1_010.0), read(2, 105.0), read(3, 109.0)], "main");
        assert_eq!(fast.readings().len(), 3);
        assert_eq!((fast.absurd[0].time, fast.absurd[0].why), (DAY, Wrong::FasterThanTime));
        // An hour by the clock with the meter in whole hours is none.
        let near = Hours::of(&[entry(0, read(0, 7.0).what), entry(1_800_000, read(0, 8.0).what)], "main");
        assert!(near.absurd.is_empty());
    }
}
