//! All samples together: how each stands, what wears off, and when a limit is reached.

use crate::dilution;
use crate::limits::{Limit, Limits, Standing, grade_limits};
use crate::origin::{Origin, origin};
use crate::sample::{Analyte, Sample};
use diary::{Diary, Entry};
use measure::figure::Origin as From;
use measure::trend::Trend;
use parts::kind::{Circuit, Kind};
use plant::plant::Plant;
use std::collections::BTreeMap;

/// Top-ups of each part: running hours of its engine [h] and how much went in [m³], by hours.
pub type Toppings = BTreeMap<String, Vec<(f64, f64)>>;

/// Metals whose wear is reckoned back.
const METALS: [Analyte; 7] = [
    Analyte::Iron,
    Analyte::Copper,
    Analyte::Lead,
    Analyte::Aluminium,
    Analyte::Chromium,
    Analyte::Tin,
    Analyte::Nickel,
];
/// Wear found by one laboratory differs from sample to sample by so much, as a share [1], and by so much whatever it is [1/h]: 0.5 ppm
/// in 100 h. From memory.
const SCATTER: f64 = 0.2;
const LEAST: f64 = 5e-9;
/// Where there are too few samples for a trend, the wear to come lies within so much, as a factor. From memory.
const FACTOR: f64 = 1.8;
/// Looked ahead so far on one filling [h].
const FURTHEST: f64 = 2_000.0;

/// A sample with what follows from it.
#[derive(Clone, Debug)]
pub struct Judged {
    /// As it was entered.
    pub entry: Entry<Sample>,
    /// Of which circuit its part is.
    pub circuit: Circuit,
    /// Everything that has a limit, and how it stands.
    pub standing: Vec<(Analyte, Standing, Limit)>,
    /// What may have got in.
    pub origin: Option<Origin>,
    /// What wears off in an hour.
    pub wear: Vec<Metal>,
}

/// Wear of one metal.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Metal {
    /// Which.
    pub of: Analyte,
    /// How much of the filling's mass in an hour [1/h], as if nothing were topped up.
    pub rate: f64,
}

/// How the wear of one metal goes on in one part.
#[derive(Clone, Debug)]
pub struct Ahead {
    /// The part.
    pub part: String,
    /// The metal.
    pub of: Analyte,
    /// Running hours of the engine [h], wear in an hour [1/h] and weight, sample by sample.
    pub points: Vec<(f64, f64, f64)>,
    /// Its line, of three samples and more.
    pub trend: Option<Trend>,
    /// The limit at which it is looked into [1].
    pub limit: f64,
    /// Hours on one filling at which it is reached [h]: earliest, likely, latest; nothing beyond 2000 h.
    pub reached: [Option<f64>; 3],
    /// Hours on the filling in the last sample [h].
    pub last: f64,
}

/// All samples, worked out.
#[derive(Clone, Debug, Default)]
pub struct Results {
    /// The entries, with what was struck.
    pub diary: Diary<Sample>,
    /// Each that stands, by time; those of parts that are no more are left out.
    pub judged: Vec<Judged>,
    /// Metals whose wear is known in at least one sample, part by part.
    pub ahead: Vec<Ahead>,
    /// When it was worked out [ms since 1970, UTC].
    pub now: i64,
}

impl Results {
    /// Works out everything.
    ///
    /// * `now` [ms since 1970, UTC]
    pub fn of(diary: Diary<Sample>, limits: &Limits, toppings: &Toppings, plant: &Plant, now: i64) -> Results {
        let entries = &diary.entries;
        let judged: Vec<Judged> =
            entries.iter().filter_map(|entry| judged(entry, entries, limits, toppings, plant)).collect();
        let mut parts: Vec<&str> = Vec::new();
        for one in &judged {
            if !parts.contains(&one.entry.what.of.as_str()) {
                parts.push(&one.entry.what.of);
            }
        }
        let ahead = parts
            .iter()
            .flat_map(|part| METALS.map(|metal| ahead(part, metal, &judged, limits, toppings, plant)))
            .flatten()
            .collect();
        Results { diary, judged, ahead, now }
    }

    /// The last sample of each part that is not fresh from the can, in order of their first samples.
    pub fn last(&self) -> Vec<&Judged> {
        let mut last: Vec<&Judged> = Vec::new();
        for one in self.judged.iter().filter(|one| !is_fresh(&one.entry.what)) {
            match last.iter_mut().find(|known| known.entry.what.of == one.entry.what.of) {
                Some(known) => *known = one,
                None => last.push(one),
            }
        }
        last
    }
}

impl Judged {
    /// How it stands at worst.
    pub fn worst(&self) -> Standing {
        self.standing.iter().map(|(_, standing, _)| *standing).max().unwrap_or(Standing::Within)
    }
}

/// The circuit whose liquid is in a kind of part, as far as a laboratory is asked of it: a gearbox belongs to the drive, and holds
/// gear oil.
pub fn liquid(kind: &Kind) -> Option<Circuit> {
    let asked = |circuit: &Circuit| circuit.is_liquid() && circuit.is_closed();
    let carried = kind.passages.iter().flat_map(|passage| passage.carries).copied();
    std::iter::once(kind.circuit).chain(carried).find(asked)
}

/// Is it fresh from the can?
pub fn is_fresh(sample: &Sample) -> bool {
    sample.hours_on_fill == Some(0.0)
}

/// The last sample of the same filling fresh from the can that was drawn before this one.
fn fresh<'a>(of: &Entry<Sample>, entries: &'a [Entry<Sample>]) -> Option<&'a Sample> {
    let same = |other: &&Entry<Sample>| {
        is_fresh(&other.what)
            && other.time <= of.time
            && other.what.of == of.what.of
            && other.what.grade == of.what.grade
    };
    entries.iter().rev().filter(same).map(|entry| &entry.what).next().filter(|_| !is_fresh(&of.what))
}

fn judged(
    entry: &Entry<Sample>,
    entries: &[Entry<Sample>],
    limits: &Limits,
    toppings: &Toppings,
    plant: &Plant,
) -> Option<Judged> {
    let sample = &entry.what;
    let circuit = liquid(plant[plant.part(&sample.of)?].kind)?;
    let fresh = fresh(entry, entries);
    let limited = |(analyte, value): (&Analyte, &f64)| {
        let limit = match (analyte, sample.grade.as_deref().and_then(grade_limits)) {
            // Thinner than its grade is what matters; thicker is soot and age.
            (Analyte::Viscosity100, Some((least, _))) if circuit == Circuit::Oil => {
                Limit { look: least, act: 0.9 * least, low: true, source: "[J300]" }
            }
            _ => limits.of(&sample.of, circuit, *analyte)?.clone(),
        };
        // Less than what a laboratory can see is within, unless it is too little that matters.
        let standing =
            if sample.under.contains(analyte) && !limit.low { Standing::Within } else { limit.judge(*value) };
        Some((*analyte, standing, limit))
    };
    Some(Judged {
        circuit,
        standing: if is_fresh(sample) { Vec::new() } else { sample.values.iter().filter_map(limited).collect() },
        origin: if is_fresh(sample) { None } else { origin(sample, circuit, fresh) },
        wear: wear(sample, fresh, toppings, plant),
        entry: entry.clone(),
    })
}

/// What a part holds [m³], if that is told of the sample or the part.
fn volume(sample: &Sample, plant: &Plant) -> Option<f64> {
    let told = || {
        let part = &plant[plant.part(&sample.of)?];
        let place = part.kind.parameters.iter().position(|parameter| parameter.name == "volume")?;
        Some(&part.figures[place]).filter(|figure| figure.origin != From::Typical).map(|figure| figure.value)
    };
    sample.volume.or_else(told)
}

/// What is found per unit of wear [h]: of the mass an hour.
fn found_per_wear(sample: &Sample, hours: f64, toppings: &Toppings, plant: &Plant) -> f64 {
    let Some(volume) = volume(sample, plant) else { return hours };
    let own = toppings.get(&sample.of).filter(|_| sample.hours.is_some());
    let single: Vec<(f64, f64)> = own
        .into_iter()
        .flatten()
        .map(|(at, added)| (at - sample.hours.unwrap_or_default() + hours, *added))
        .filter(|(at, _)| (0.0..=hours).contains(at))
        .collect();
    if single.is_empty() {
        return dilution::even(sample.added.unwrap_or_default() / hours, volume, hours) * volume;
    }
    dilution::topped_up(&single, volume, hours) * volume
}

fn wear(sample: &Sample, fresh: Option<&Sample>, toppings: &Toppings, plant: &Plant) -> Vec<Metal> {
    let Some(hours) = sample.hours_on_fill.filter(|hours| *hours > 0.0) else { return Vec::new() };
    let per = found_per_wear(sample, hours, toppings, plant);
    let of = |metal: Analyte| {
        let found = sample.values.get(&metal)?;
        let brought = fresh.and_then(|fresh| fresh.values.get(&metal)).copied().unwrap_or_default();
        Some(Metal { of: metal, rate: (found - brought).max(0.0) / per })
    };
    METALS.into_iter().filter_map(of).collect()
}

fn ahead(
    part: &str,
    metal: Analyte,
    judged: &[Judged],
    limits: &Limits,
    toppings: &Toppings,
    plant: &Plant,
) -> Option<Ahead> {
    let of_part = || judged.iter().filter(|one| one.entry.what.of == part);
    let weight = |rate: f64| 1.0 / (rate * SCATTER).hypot(LEAST).powi(2);
    let points: Vec<(f64, f64, f64)> = of_part()
        .filter_map(|one| {
            let metal = one.wear.iter().find(|known| known.of == metal)?;
            Some((one.entry.what.hours?, metal.rate, weight(metal.rate)))
        })
        .collect();
    let last = of_part().rfind(|one| one.wear.iter().any(|known| known.of == metal))?;
    let sample = &last.entry.what;
    let rate = last.wear.iter().find(|known| known.of == metal)?.rate;
    let limit = limits.of(part, last.circuit, metal)?.look;
    let trend = Trend::through(&points);
    let hours = sample.hours_on_fill?;
    // At the end of the filling that is in her now.
    let (likely, band) = match (trend, sample.hours) {
        (Some(trend), Some(at)) => (trend.at(at), Some(trend.band(at, weight(rate)))),
        _ => (rate, None),
    };
    let edges = match band {
        Some(band) => [likely + band, likely, likely - band],
        None => [likely * FACTOR, likely, likely / FACTOR],
    };
    let even = found_per_wear(sample, hours, toppings, plant) / hours;
    Some(Ahead {
        part: part.into(),
        of: metal,
        reached: edges.map(|rate| reached(limit, rate, even, hours)),
        points,
        trend,
        limit,
        last: hours,
    })
}

/// Hours on one filling at which wear at this rate reaches a limit, with as much topped up an hour as in the last one [h].
///
/// * `share`: of what would be found without any top-up, what was found after `hours` [1]
fn reached(limit: f64, rate: f64, share: f64, hours: f64) -> Option<f64> {
    if rate <= 0.0 {
        return None;
    }
    // The even make-up m t/V that thins so much: (1 − e⁻ˣ)/x = share.
    let (mut low, mut high) = (0.0, 50.0);
    for _ in 0..60 {
        let x = f64::midpoint(low, high);
        if dilution::even(x, 1.0, 1.0) > share { low = x } else { high = x }
    }
    let makeup = low / hours;
    let found = |t: f64| rate * dilution::even(makeup, 1.0, t);
    if found(FURTHEST) < limit {
        return None;
    }
    let (mut low, mut high) = (0.0, FURTHEST);
    for _ in 0..60 {
        let t = f64::midpoint(low, high);
        if found(t) < limit { low = t } else { high = t }
    }
    Some(high)
}
