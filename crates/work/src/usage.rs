//! The hours she runs: what the meter has shown, and what it will show.
//!
//! Running hours are a gamma process: over any time they come in independent lots, their expected number follows the season,
//! and lots of a day's run or of a crossing make it lumpy. Four figures (hours a day, size of a lot, and how the year goes
//! up and down) are drawn from what the meter showed by Metropolis steps; each draw then runs on into the future. A year is
//! not like the last one either: each path has a factor of its own on it.

use crate::chance::{Chance, quantile};
use crate::date::DAY;
use libm::lgamma;

/// Hours a vessel of this sort runs in a year where nothing is known, as the table of failure rates assumes.
const USUAL: f64 = 300.0;
/// Spread of its logarithm between vessels; from memory.
const USUAL_SPREAD: f64 = 0.9;
/// Hours of a lot, and the spread of its logarithm: a day's run, an afternoon's to a crossing's; from memory.
const LOT: (f64, f64) = (8.0, 1.2);
/// Spread of how much the logarithm of the rate goes up and down over the year; from memory.
const SEASON_SPREAD: f64 = 0.8;
/// Spread of the logarithm of one year's hours against the long run's; from memory.
const YEAR_SPREAD: f64 = 0.25;
/// What a meter shows no difference below [h].
const SHOWN: f64 = 0.5;
/// Intervals that are weighed, and the least length of one [days].
const INTERVALS: usize = 100;
const SHORTEST: f64 = 7.0;
const YEAR: f64 = 365.25;
/// Steps walked before any counts, and after.
const WALK: (usize, usize) = (1_500, 4_000);
/// Paths into the future.
const PATHS: usize = 400;
/// How far they go [weeks], and one of their steps [days].
const WEEKS: usize = 7 * 52;
const WEEK: f64 = 7.0;

/// What is believed of her use.
#[derive(Clone, Debug)]
pub struct Usage {
    draws: Vec<[f64; 4]>,
}

/// Where the meter may stand from now on.
#[derive(Clone, Debug)]
pub struct Ahead {
    start: i64,
    /// Hours at the end of each week of each path [h].
    paths: Vec<Vec<f64>>,
    before: f64,
}

/// Running that is planned.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Planned {
    /// When it begins [ms since 1970, UTC].
    pub start: i64,
    /// How long it takes [days].
    pub days: f64,
    /// Hours run in it [h].
    pub hours: f64,
}

impl Usage {
    /// From what the meter showed: times [ms since 1970, UTC] and hours [h], both rising.
    pub fn of(meter: &[(i64, f64)]) -> Usage {
        let intervals = intervals(meter);
        let fit = |x: &[f64; 4]| weight(x, &intervals);
        let mut chance = Chance::new(meter.len() as u64 + 17);
        let mut at = [(USUAL / YEAR).ln(), LOT.0.ln(), 0.0, 0.0];
        if let (Some(first), Some(last)) = (intervals.first(), intervals.last()) {
            let hours: f64 = intervals.iter().map(|i| i.hours).sum();
            at[0] = (hours.max(1.0) / (last.to - first.from)).ln();
        }
        let (mut fitness, mut scale) = (fit(&at), 1.0_f64);
        let mut draws = Vec::with_capacity(PATHS);
        let every = WALK.1 / PATHS;
        // Wide where little is known, close where much is.
        let close = 1.0 / (1.0 + intervals.len() as f64 / 4.0).sqrt();
        let stride = [0.9 * close, 1.2 * close, 0.8 * close, 0.8 * close];
        for step in 0..WALK.0 + WALK.1 {
            let mut tried = at;
            for (place, stride) in tried.iter_mut().zip(stride) {
                *place += scale * stride * chance.normal();
            }
            let tried_fitness = fit(&tried);
            let taken = chance.even().ln() < tried_fitness - fitness;
            if taken {
                (at, fitness) = (tried, tried_fitness);
            }
            if step < WALK.0 {
                // A quarter of the steps taken is near the best for four figures, [Roberts1997].
                scale = (scale * if taken { 1.05 } else { 0.984 }).clamp(0.05, 5.0);
            } else if (step - WALK.0).is_multiple_of(every) {
                draws.push(at);
            }
        }
        Usage { draws }
    }

    /// Hours a year that she runs: 5, 50 and 95 % of belief [h].
    pub fn a_year(&self) -> [f64; 3] {
        let mut hours: Vec<f64> = self.draws.iter().map(|draw| expected(draw, 0.0, YEAR)).collect();
        hours.sort_by(f64::total_cmp);
        [0.05, 0.5, 0.95].map(|share| quantile(&hours, share))
    }

    /// From a time on [ms since 1970, UTC], at which the meter stands at `hours` [h].
    pub fn ahead(&self, start: i64, hours: f64, planned: Option<Planned>) -> Ahead {
        let mut chance = Chance::new(start.unsigned_abs() / 1000 + 5);
        let day = start as f64 / DAY as f64;
        let path = |draw: &[f64; 4]| {
            let lot = draw[1].exp();
            let (mut at, mut year) = (hours, 1.0);
            (0..WEEKS)
                .map(|week| {
                    if week % 52 == 0 {
                        year = (YEAR_SPREAD * chance.normal()).exp();
                    }
                    let from = day + WEEK * week as f64;
                    let by_plan = planned.map_or(0.0, |planned| planned.within(from));
                    let free = planned.map_or(1.0, |planned| 1.0 - planned.share(from));
                    let mean = year * expected(draw, from, from + WEEK) * free;
                    at += by_plan + lot * chance.gamma(mean / lot);
                    at
                })
                .collect()
        };
        Ahead { start, paths: self.draws.iter().map(path).collect(), before: hours }
    }
}

impl Planned {
    fn overlap(&self, from: f64) -> f64 {
        let start = self.start as f64 / DAY as f64;
        let length = self.days.max(1e-6);
        ((from + WEEK).min(start + length) - from.max(start)).max(0.0)
    }

    /// Hours of it in the week from this day on [h].
    fn within(&self, from: f64) -> f64 {
        self.hours * self.overlap(from) / self.days.max(1e-6)
    }

    /// The share of that week that it takes [1].
    fn share(&self, from: f64) -> f64 {
        self.overlap(from) / WEEK
    }
}

impl Ahead {
    /// When the meter comes to so many hours, path by path [ms since 1970, UTC]; the last time looked at where it does not.
    pub fn reach(&self, hours: f64) -> Vec<f64> {
        (0..self.paths.len()).map(|path| self.reach_on(path, hours)).collect()
    }

    /// The same on one path; after the last it begins anew.
    pub fn reach_on(&self, path: usize, hours: f64) -> f64 {
        let path = &self.paths[path % self.paths.len()];
        let place = path.partition_point(|at| *at < hours);
        let before = if place == 0 { self.before } else { path[place - 1] };
        let after = path.get(place).copied().unwrap_or(f64::INFINITY);
        let part = if hours <= before { 0.0 } else { ((hours - before) / (after - before)).clamp(0.0, 1.0) };
        self.start as f64 + WEEK * DAY as f64 * (place as f64 + part)
    }

    /// Hours that the meter shows at a time: 5, 50 and 95 % of belief [h].
    pub fn hours_at(&self, time: i64) -> [f64; 3] {
        let weeks = ((time - self.start) as f64 / (WEEK * DAY as f64)).max(0.0);
        let (whole, part) = (weeks.floor() as usize, weeks.fract());
        let mut hours: Vec<f64> = self
            .paths
            .iter()
            .map(|path| {
                let at = |place: usize| if place == 0 { self.before } else { path[(place - 1).min(path.len() - 1)] };
                at(whole) + part * (at(whole + 1) - at(whole))
            })
            .collect();
        hours.sort_by(f64::total_cmp);
        [0.05, 0.5, 0.95].map(|share| quantile(&hours, share))
    }

    /// The last time it looks at [ms since 1970, UTC].
    pub fn end(&self) -> i64 {
        self.start + (WEEKS as f64 * WEEK * DAY as f64) as i64
    }
}

/// What the meter went on by in some days.
struct Interval {
    from: f64,
    to: f64,
    hours: f64,
}

/// Not shorter than a week, not more than are worth weighing, the latest ones.
fn intervals(meter: &[(i64, f64)]) -> Vec<Interval> {
    let days = |time: i64| time as f64 / DAY as f64;
    let (Some(first), Some(last)) = (meter.first(), meter.last()) else { return Vec::new() };
    let shortest = SHORTEST.max((days(last.0) - days(first.0)) / INTERVALS as f64);
    let mut intervals = Vec::new();
    let mut from = *first;
    for &(time, hours) in &meter[1..] {
        let is_last = time == last.0;
        if days(time) - days(from.0) >= shortest || (is_last && days(time) - days(from.0) >= 1.0) {
            intervals.push(Interval { from: days(from.0), to: days(time), hours: (hours - from.1).max(0.0) });
            from = (time, hours);
        }
    }
    intervals
}

/// Hours expected between two days [h].
fn expected(draw: &[f64; 4], from: f64, to: f64) -> f64 {
    // Steps short against a season.
    let steps = ((to - from) / 30.0).ceil().max(1.0);
    let width = (to - from) / steps;
    (0..steps as usize)
        .map(|step| {
            let turn = std::f64::consts::TAU * (from + (step as f64 + 0.5) * width) / YEAR;
            width * (draw[0] + draw[2] * turn.cos() + draw[3] * turn.sin()).exp()
        })
        .sum()
}

/// Logarithm of how well four figures fit, and of how likely they were before.
fn weight(draw: &[f64; 4], intervals: &[Interval]) -> f64 {
    let square = |value: f64, spread: f64| -0.5 * (value / spread).powi(2);
    let prior = square(draw[0] - (USUAL / YEAR).ln(), USUAL_SPREAD)
        + square(draw[1] - LOT.0.ln(), LOT.1)
        + square(draw[2], SEASON_SPREAD)
        + square(draw[3], SEASON_SPREAD);
    let lot = draw[1].exp();
    let fit: f64 = intervals
        .iter()
        .map(|interval| {
            let shape = expected(draw, interval.from, interval.to) / lot;
            if interval.hours <= SHOWN {
                // Chance of no more than is shown; lots are long against it.
                shape * (SHOWN / lot).ln() - lgamma(shape + 1.0)
            } else {
                (shape - 1.0) * interval.hours.ln() - interval.hours / lot - shape * lot.ln() - lgamma(shape)
            }
        })
        .sum();
    prior + fit
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A vessel that goes out by day trips, more in summer, with a cruise of some weeks: not the law that is believed in.
    fn simulated(seed: u64, years: f64) -> Vec<(i64, f64)> {
        let mut chance = Chance::new(seed);
        let trips = 0.06 + 0.18 * chance.even();
        let cruise = 150.0 + 60.0 * chance.even();
        let length = 10.0 + 25.0 * chance.even();
        let mut hours = 100.0 + 3000.0 * chance.even();
        let mut meter = Vec::new();
        for day in 0..(years * YEAR) as i64 {
            let of_year = day as f64 % YEAR;
            let summer = 0.5 * (1.0 - (std::f64::consts::TAU * (of_year + 10.0) / YEAR).cos());
            let away = of_year > cruise && of_year < cruise + length;
            let chance_of_run = if away { 0.85 } else { trips * (0.2 + 1.6 * summer) };
            if chance.even() < chance_of_run {
                hours += if away { 4.0 + 6.0 * chance.even() } else { 1.0 + 5.0 * chance.even() };
            }
            meter.push((day * DAY, hours));
        }
        meter
    }

    #[test]
    fn what_is_foreseen_comes_true_as_often_as_it_is_said() {
        let (mut within, mut below, mut count) = (0, 0, 0);
        for seed in 0..60 {
            let meter = simulated(seed, 5.0);
            let (seen, later) = meter.split_at(700 + 45 * (seed % 9) as usize);
            // Read once a fortnight, as people do.
            let read: Vec<(i64, f64)> = seen.iter().step_by(14).copied().collect();
            let Some(&(start, hours)) = read.last() else { continue };
            let ahead = Usage::of(&read).ahead(start, hours, None);
            for wanted in [40.0, 100.0, 250.0] {
                let Some((truth, _)) = later.iter().find(|(_, at)| *at >= hours + wanted) else { continue };
                let mut reach = ahead.reach(hours + wanted);
                reach.sort_by(f64::total_cmp);
                let (low, middle, high) = (quantile(&reach, 0.05), quantile(&reach, 0.5), quantile(&reach, 0.95));
                let slack = DAY as f64;
                count += 1;
                within += i32::from((low - slack..=high + slack).contains(&(*truth as f64)));
                below += i32::from((*truth as f64) < middle);
            }
        }
        let (within, below) = (f64::from(within) / f64::from(count), f64::from(below) / f64::from(count));
        assert!(count > 120, "{count}");
        assert!((0.84..=0.98).contains(&within), "nine in ten were said, {within} came true of {count}");
        assert!((0.35..=0.65).contains(&below), "half were said to come sooner, {below} did");
    }

    #[test]
    fn nothing_known_is_wide_and_a_meter_read_for_years_is_close() {
        let nothing = Usage::of(&[]).a_year();
        assert!(nothing[2] / nothing[0] > 6.0 && nothing[0] < USUAL && USUAL < nothing[2], "{nothing:?}");
        let meter: Vec<(i64, f64)> = (0..100).map(|week| (week * 7 * DAY, 5.0 * week as f64)).collect();
        let known = Usage::of(&meter).a_year();
        assert!(known[2] / known[0] < 1.6 && known[0] < 261.0 && 261.0 < known[2], "{known:?}");
        // All at one time, or all the same, is no reason to fall.
        Usage::of(&[(0, 1.0), (0, 1.0), (0, 5.0)]);
        Usage::of(&[(0, 7.0), (40 * DAY, 7.0), (400 * DAY, 7.0)]);
    }

    #[test]
    fn a_planned_passage_is_run_when_it_is_planned() {
        let meter: Vec<(i64, f64)> = (0..50).map(|week| (week * 7 * DAY, 2.0 * week as f64)).collect();
        let (start, hours) = meter[49];
        let planned = Planned { start: start + 7 * DAY, days: 14.0, hours: 300.0 };
        let ahead = Usage::of(&meter).ahead(start, hours, Some(planned));
        assert!(ahead.hours_at(start + 7 * DAY)[2] < hours + 60.0);
        let after = ahead.hours_at(start + 21 * DAY);
        assert!(after[0] > hours + 299.0 && after[1] < hours + 340.0, "{after:?}");
    }
}
