//! Fuel between soundings: what went in, what was moved and burnt, and what is unaccounted for.

use crate::hours::Hours;
use crate::posting::Posting;
use crate::told::Told;
use diary::Entry;
use measure::figure::SIGMAS_TO_95;
use std::collections::BTreeMap;

/// Doubts where none is told, as half the band that holds 19 of 20: of fuel taken by the meter of a pump and of fuel moved, as a
/// share [1]; of a sounding, as a share of the tank, or of what is in it where the tank's volume is not told [1]; of a flow meter, as
/// a share [1]. From memory.
const TAKEN_WITHIN: f64 = 0.005;
const MOVED_WITHIN: f64 = 0.05;
const SOUNDED_WITHIN: f64 = 0.02;
const METER_WITHIN: f64 = 0.02;
/// Tanks sounded within this time of each other are sounded together [ms]: a round of all tanks, and the day after.
const TOGETHER: i64 = 36 * 3_600_000;
/// Stretches before this one that it takes to know what is usual, and hours that each must have run [h].
const USUAL_FROM: usize = 3;
const USUAL_HOURS: f64 = 5.0;

/// A number with its doubt.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct Amount {
    /// The number.
    pub value: f64,
    /// One standard deviation, in the same unit.
    pub sigma: f64,
}

impl Amount {
    /// The number whose band of 19 in 20 is this much either way.
    pub fn within(value: f64, within: f64) -> Amount {
        Amount { value, sigma: within.abs() / SIGMAS_TO_95 }
    }

    /// Half the band that holds 19 of 20.
    pub fn band(self) -> f64 {
        SIGMAS_TO_95 * self.sigma
    }

    /// Lower edge of that band.
    pub fn low(self) -> f64 {
        self.value - self.band()
    }

    /// Upper edge of it.
    pub fn high(self) -> f64 {
        self.value + self.band()
    }

    /// A number without doubt times this.
    pub fn times(self, factor: f64) -> Amount {
        Amount { value: self.value * factor, sigma: self.sigma * factor.abs() }
    }
}

impl std::ops::Add for Amount {
    type Output = Amount;
    fn add(self, other: Amount) -> Amount {
        Amount { value: self.value + other.value, sigma: self.sigma.hypot(other.sigma) }
    }
}

impl std::ops::Sub for Amount {
    type Output = Amount;
    fn sub(self, other: Amount) -> Amount {
        self + other.times(-1.0)
    }
}

/// How it is known what was burnt.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum By {
    /// By a meter.
    Meter,
    /// By the rate told and the hours run.
    Rate,
    /// By the hours run, at the rate of the stretches before.
    Usual,
}

/// What happened between two soundings.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// From the one sounding [ms since 1970].
    pub from: i64,
    /// To the other [ms since 1970].
    pub to: i64,
    /// In the tanks at the beginning [m³].
    pub before: Amount,
    /// And at the end [m³].
    pub after: Amount,
    /// Taken aboard [m³].
    pub taken: Amount,
    /// Moved in, less moved out [m³].
    pub moved: Amount,
    /// What has gone out of the tanks to be burnt, or otherwise: by the soundings, and what was taken and moved [m³].
    pub drawn: Amount,
    /// Hours run [h], of all engines; where they are told.
    pub hours: Option<f64>,
    /// What was burnt [m³], and how that is known.
    pub burnt: Option<(Amount, By)>,
}

impl Stretch {
    /// Drawn and not burnt [m³]; below zero, more was burnt than is missing.
    pub fn unaccounted(&self) -> Option<Amount> {
        Some(self.drawn - self.burnt?.0)
    }
}

/// The tanks' books.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Balance {
    /// Of each tank that was sounded twice, its stretches by time; what was burnt out of it is known where the meter is its own.
    pub tanks: Vec<(String, Vec<Stretch>)>,
    /// Of all tanks together, between rounds in which each was sounded.
    pub all: Vec<Stretch>,
    /// From the first such round to the last, if there are more than two.
    pub whole: Option<Stretch>,
    /// What is in each tank by the last sounding and what was taken and moved since [m³], and when it was sounded.
    pub now: Vec<(String, Amount, i64)>,
}

/// What a balance is made of.
struct Desk<'a> {
    entries: &'a [Entry<Posting>],
    told: &'a Told,
    hours: &'a BTreeMap<String, Hours>,
}

/// One sounding of all tanks.
struct Round {
    time: i64,
    holds: Amount,
}

impl Balance {
    /// The balance of all entries by time.
    pub fn of(entries: &[Entry<Posting>], told: &Told, hours: &BTreeMap<String, Hours>) -> Balance {
        let desk = Desk { entries, told, hours };
        let mut balance = Balance::default();
        let names = desk.sounded();
        for name in &names {
            let rounds = desk.soundings(name);
            let stretches: Vec<Stretch> =
                rounds.windows(2).map(|pair| desk.stretch(&[name], &pair[0], &pair[1], names.len() == 1)).collect();
            if let Some(last) = rounds.last() {
                balance.now.push((name.to_string(), last.holds + desk.flows(&[name], last.time, i64::MAX), last.time));
            }
            if !stretches.is_empty() {
                balance.tanks.push((name.to_string(), stretches));
            }
        }
        let rounds = desk.rounds(&names);
        balance.all = rounds.windows(2).map(|pair| desk.stretch(&names, &pair[0], &pair[1], true)).collect();
        Desk::at_usual_rate(&mut balance.all);
        if let [first, _, .., last] = rounds.as_slice() {
            balance.whole = Some(desk.stretch(&names, first, last, true));
        }
        balance
    }
}

impl<'a> Desk<'a> {
    /// Tanks that were ever sounded.
    fn sounded(&self) -> Vec<&'a str> {
        let mut names: Vec<&str> = Vec::new();
        for entry in self.entries {
            if let Posting::Sounded { tank, .. } = &entry.what
                && !names.contains(&tank.as_str())
            {
                names.push(tank);
            }
        }
        names
    }

    fn soundings(&self, name: &str) -> Vec<Round> {
        let of = |entry: &Entry<Posting>| match &entry.what {
            Posting::Sounded { tank, volume, within } if tank == name => {
                let size = self.told.tanks.iter().find(|tank| tank.name == name).and_then(|tank| tank.volume);
                let within = within.unwrap_or(SOUNDED_WITHIN * size.unwrap_or(*volume).max(*volume));
                Some(Round { time: entry.time, holds: Amount::within(*volume, within) })
            }
            _ => None,
        };
        self.entries.iter().filter_map(of).collect()
    }

    /// Moments when all these tanks have been sounded together, and what was in them; each sounding counts once.
    fn rounds(&self, names: &[&str]) -> Vec<Round> {
        let mut all: Vec<(usize, Round)> = Vec::new();
        for (k, name) in names.iter().enumerate() {
            all.extend(self.soundings(name).into_iter().map(|round| (k, round)));
        }
        all.sort_by_key(|(_, round)| round.time);
        let mut last: Vec<Option<Round>> = names.iter().map(|_| None).collect();
        let mut rounds = Vec::new();
        for (k, round) in all {
            let time = round.time;
            last[k] = Some(round);
            if last.iter().all(|one| one.as_ref().is_some_and(|one| time - one.time <= TOGETHER)) {
                let holds = last
                    .iter_mut()
                    .zip(names)
                    .filter_map(|(one, name)| one.take().map(|one| one.holds + self.flows(&[name], one.time, time)));
                rounds.push(Round { time, holds: holds.fold(Amount::default(), |sum, one| sum + one) });
            }
        }
        rounds
    }

    /// What was taken into these tanks and moved into them, less moved out of them, after `from` and up to `to` [m³].
    fn flows(&self, names: &[&str], from: i64, to: i64) -> Amount {
        let (taken, moved) = self.taken_and_moved(names, from, to);
        taken + moved
    }

    fn taken_and_moved(&self, names: &[&str], from: i64, to: i64) -> (Amount, Amount) {
        let (mut taken, mut moved) = (Amount::default(), Amount::default());
        let of = |name: &String| names.contains(&name.as_str());
        for entry in self.entries.iter().filter(|entry| from < entry.time && entry.time <= to) {
            match &entry.what {
                Posting::Taken { tank, volume, within, .. } if of(tank) => {
                    taken = taken + Amount::within(*volume, within.unwrap_or(TAKEN_WITHIN * volume));
                }
                Posting::Moved { from, to, volume, within } if of(from) != of(to) => {
                    let amount = Amount::within(*volume, within.unwrap_or(MOVED_WITHIN * volume));
                    moved = if of(to) { moved + amount } else { moved - amount };
                }
                _ => {}
            }
        }
        (taken, moved)
    }

    /// * `only`: these tanks are all there are, and everything that is burnt comes out of them
    fn stretch(&self, names: &[&str], first: &Round, last: &Round, only: bool) -> Stretch {
        let (from, to) = (first.time, last.time);
        let (taken, moved) = self.taken_and_moved(names, from, to);
        let drawn = first.holds + taken + moved - last.holds;
        let of_meter = |tank: Option<&String>| only || tank.is_some_and(|tank| names.contains(&tank.as_str()));
        let metered = self.metered(from, to, &of_meter).map(|burnt| (burnt, By::Meter));
        let rated = || self.rated(from, to).map(|burnt| (burnt, By::Rate));
        let burnt = metered.or_else(|| if only { rated() } else { None });
        Stretch {
            from,
            to,
            before: first.holds,
            after: last.holds,
            taken,
            moved,
            drawn,
            hours: self.run(from, to),
            burnt,
        }
    }

    fn run(&self, from: i64, to: i64) -> Option<f64> {
        let each = self.hours.values().filter_map(|hours| hours.between(from, to));
        each.reduce(|sum, one| sum + one)
    }

    /// What the meter had between two times, in proportion to time between its readings; nothing where it was not read, or began
    /// later or ended sooner than a day off [m³].
    fn metered(&self, from: i64, to: i64, of: &dyn Fn(Option<&String>) -> bool) -> Option<Amount> {
        const DAY: i64 = 86_400_000;
        let mut total = 0.0;
        let mut relative: f64 = METER_WITHIN;
        let mut read: Vec<(i64, f64)> = Vec::new();
        for entry in self.entries {
            let Posting::Burnt { tank, volume, within } = &entry.what else { continue };
            if of(tank.as_ref()) {
                // What the first one counted began nobody knows when: it is where the count starts.
                if !read.is_empty() {
                    total += volume;
                }
                relative = within.filter(|_| *volume > 0.0).map_or(relative, |within| within / volume);
                read.push((entry.time, total));
            }
        }
        let (first, last) = (read.first()?.0, read.last()?.0);
        let covered = |time: i64| first - DAY <= time && time <= last + DAY;
        let at = |time: i64| {
            let after = read.partition_point(|(at, _)| *at <= time);
            let Some(before) = after.checked_sub(1) else { return 0.0 };
            let (t0, v0) = read[before];
            read.get(after).map_or(v0, |(t1, v1)| v0 + (time - t0) as f64 / (t1 - t0) as f64 * (v1 - v0))
        };
        (covered(from) && covered(to)).then(|| {
            let burnt = at(to) - at(from);
            Amount::within(burnt, relative * burnt)
        })
    }

    /// The rates told times the hours run [m³]; nothing if either is not told of every engine that ran.
    fn rated(&self, from: i64, to: i64) -> Option<Amount> {
        let mut sum = None;
        for (engine, hours) in self.hours {
            let run = hours.between(from, to)?;
            let burn = self.told.burns.iter().find(|burn| burn.engine == *engine)?;
            let burnt = Amount { value: burn.rate, sigma: burn.sigma }.times(run);
            sum = Some(sum.unwrap_or_default() + burnt);
        }
        sum
    }

    /// Where neither meter nor rate is told, what the stretches before burnt an hour tells what this one should have.
    fn at_usual_rate(stretches: &mut [Stretch]) {
        for k in USUAL_FROM..stretches.len() {
            let rates: Vec<(f64, f64)> = stretches[..k]
                .iter()
                .filter_map(|s| Some((s.drawn.value, s.hours.filter(|hours| *hours >= USUAL_HOURS)?)))
                .map(|(drawn, hours)| (drawn / hours, hours))
                .collect();
            let stretch = &mut stretches[k];
            let Some(run) = stretch.hours.filter(|_| stretch.burnt.is_none() && rates.len() >= USUAL_FROM) else {
                continue;
            };
            let hours: f64 = rates.iter().map(|(_, hours)| hours).sum();
            let mean = rates.iter().map(|(rate, hours)| rate * hours).sum::<f64>() / hours;
            let count = rates.len() as f64;
            let about = rates.iter().map(|(rate, hours)| hours * (rate - mean).powi(2)).sum::<f64>() / hours;
            // The spread of so few is itself not well known: t in the place of z.
            let wide = measure::trend::student_975(rates.len() - 1) / SIGMAS_TO_95;
            let sigma = (about * count / (count - 1.0) * (1.0 + 1.0 / count)).sqrt() * wide;
            stretch.burnt = Some((Amount { value: mean, sigma }.times(run), By::Usual));
        }
    }
}
