//! Where what is in a sample comes from: odds over the sources, alone and two together, none of them, and something else.
//!
//! Each sum of what is there without a source and what sources bring is foretold for every amount between least and most; how likely
//! what was found is under it follows from the spreads. What a laboratory cannot see counts as less than what it can.

use crate::sample::{Analyte, Sample};
use crate::sources::{self, Ground, Signature, Source};
use measure::figure::normal_below;
use parts::kind::Circuit;
use physics::{diesel_fuel, oil};

/// Amounts tried of each source.
const STEPS: usize = 28;
/// Error of a laboratory as a logarithm [1]: a twentieth to a tenth. From memory.
const LABORATORY: f64 = 0.1;
/// Oil of one grade differs so much from another in viscosity, and thins or thickens so much in use, as a logarithm [1]. From memory.
const GRADE: f64 = 0.08;
/// Chance of something that is on no list [1], and then of each thing measured that it is off; how far, as a logarithm. From memory.
const ELSE: f64 = 0.03;
const ELSE_EACH: f64 = 0.3;
const ELSE_WIDE: f64 = 1.5;

/// Where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Origin {
    /// Chance that each has got in [1], alone or with another, likeliest first.
    pub sources: Vec<(Source, f64)>,
    /// Nothing has.
    pub none: f64,
    /// Something that is on no list.
    pub other: f64,
}

impl Origin {
    /// Chance of a source [1]; nothing if it cannot get in here.
    pub fn of(&self, source: Source) -> Option<f64> {
        self.sources.iter().find(|(of, _)| *of == source).map(|(_, chance)| *chance)
    }
}

/// Least that a laboratory tells apart, [the unit of the analyte]. From memory.
fn least(analyte: Analyte) -> f64 {
    match analyte {
        Analyte::Fuel => 3e-3,
        Analyte::Water => 1e-4,
        Analyte::Soot => 1e-3,
        Analyte::Glycol => 5e-5,
        Analyte::Bacteria => 100.0,
        _ => 1e-6,
    }
}

/// What is known of one thing that was measured.
struct Known {
    analyte: Analyte,
    found: f64,
    under: bool,
    /// Without any source.
    ground: (f64, f64),
}

/// The odds for a sample from this circuit; nothing where nothing was measured that tells.
///
/// * `fresh`: a sample of the same filling fresh from the can
pub fn origin(sample: &Sample, circuit: Circuit, fresh: Option<&Sample>) -> Option<Origin> {
    let (ground, signatures) = sources::of(circuit)?;
    let known: Vec<Known> =
        sample.values.iter().filter_map(|(a, found)| known(sample, *a, *found, ground, fresh)).collect();
    if known.is_empty() {
        return None;
    }
    // Each combination: its sources, and the logarithm of chance and likelihood together.
    let mut all: Vec<(Vec<Source>, f64)> = Vec::new();
    let free: f64 = signatures.iter().map(|one| 1.0 - one.chance).product();
    let odds = |one: &Signature| one.chance / (1.0 - one.chance);
    let say = |found: &[(&Signature, f64)]| known.iter().map(|known| likely(known, found)).sum::<f64>();
    let given = (1.0 - ELSE) * free;
    all.push((Vec::new(), given.ln() + say(&[])));
    for (k, one) in signatures.iter().enumerate() {
        let alone = mean_of((0..STEPS).map(|i| say(&[(one, amount(one, i))])));
        all.push((vec![one.of], (given * odds(one)).ln() + alone));
        for two in &signatures[k + 1..] {
            let pairs = (0..STEPS * STEPS).step_by(3);
            let both = mean_of(pairs.map(|i| say(&[(one, amount(one, i / STEPS)), (two, amount(two, i % STEPS))])));
            all.push((vec![one.of, two.of], (given * odds(one) * odds(two)).ln() + both));
        }
    }
    let other = ELSE.ln() + known.iter().map(anything).sum::<f64>();
    let most = all.iter().map(|(_, log)| *log).fold(other, f64::max);
    let sum: f64 = all.iter().map(|(_, log)| (log - most).exp()).sum::<f64>() + (other - most).exp();
    let chance = |of: &dyn Fn(&[Source]) -> bool| {
        all.iter().filter(|(sources, _)| of(sources)).map(|(_, log)| (log - most).exp()).sum::<f64>() / sum
    };
    let mut names: Vec<Source> = signatures.iter().map(|one| one.of).collect();
    names.dedup();
    let mut sources: Vec<(Source, f64)> =
        names.into_iter().map(|of| (of, chance(&|sources| sources.contains(&of)))).collect();
    sources.sort_by(|a, b| b.1.total_cmp(&a.1));
    Some(Origin { sources, none: chance(&|sources| sources.is_empty()), other: (other - most).exp() / sum })
}

/// The logarithm of the mean of what these are logarithms of.
fn mean_of(logs: impl Iterator<Item = f64>) -> f64 {
    let logs: Vec<f64> = logs.collect();
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    most + (logs.iter().map(|log| (log - most).exp()).sum::<f64>() / logs.len() as f64).ln()
}

/// The amount of a source at a step.
fn amount(one: &Signature, step: usize) -> f64 {
    let (least, most) = one.amount;
    least * (most / least).powf(step as f64 / (STEPS - 1) as f64)
}

/// What is known of one thing measured; nothing if no source and no ground speaks of it.
fn known(sample: &Sample, analyte: Analyte, found: f64, ground: Ground, fresh: Option<&Sample>) -> Option<Known> {
    let usual = ground.iter().find(|(of, _, _)| *of == analyte).map(|(_, median, spread)| (*median, *spread));
    let in_fresh = fresh.and_then(|fresh| fresh.values.get(&analyte)).copied();
    // What fresh oil holds stays in it, and metal comes to it.
    let wears = matches!(usual, Some((median, spread)) if in_fresh.is_some_and(|own| own < median && spread < 1.5));
    let ground = match (in_fresh, usual) {
        (Some(own), Some(usual)) if wears => (usual.0.max(own), usual.1),
        (Some(own), Some(_)) => (own, 0.25),
        _ => usual.or_else(|| viscosity(sample, analyte, in_fresh))?,
    };
    Some(Known { analyte, found, under: sample.under.contains(&analyte), ground })
}

/// What the viscosity of an oil is without any fuel in it [m²/s], and its spread.
fn viscosity(sample: &Sample, analyte: Analyte, fresh: Option<f64>) -> Option<(f64, f64)> {
    if !matches!(analyte, Analyte::Viscosity40 | Analyte::Viscosity100) {
        return None;
    }
    if let Some(own) = fresh {
        return Some((own, GRADE / 2.0));
    }
    let named = sample.grade.as_deref()?.to_uppercase().replace("SAE", "");
    let (_, at_40, at_100) = oil::TYPICAL.iter().find(|(name, _, _)| *name == named.trim())?;
    Some((if analyte == Analyte::Viscosity40 { *at_40 } else { *at_100 }, GRADE))
}

/// Logarithm of how likely what was found is with these sources in these amounts.
fn likely(known: &Known, sources: &[(&Signature, f64)]) -> f64 {
    let (median, spread) = known.ground;
    let (mut sum, mut variance) = (median, (median * spread).powi(2));
    for (source, amount) in sources {
        match known.analyte {
            Analyte::Viscosity40 if source.of == Source::Fuel => {
                sum = oil::blended_viscosity(median, diesel_fuel::USUAL_NU40, *amount);
            }
            Analyte::Viscosity100 if source.of == Source::Fuel => {
                sum = oil::blended_viscosity(median, diesel_fuel::USUAL_NU100, *amount);
            }
            analyte => {
                if let Some((_, share, spread)) = source.brings.iter().find(|(of, _, _)| *of == analyte) {
                    sum += amount * share;
                    variance += (amount * share * spread).powi(2);
                }
            }
        }
    }
    score(known, sum, variance.sqrt() / sum)
}

/// The same under something of which nothing is known but that this, or other things, are off.
fn anything(known: &Known) -> f64 {
    let (median, spread) = known.ground;
    let usual = score(known, median, spread).exp() * (1.0 - ELSE_EACH);
    let off = score(known, median * ELSE_WIDE.exp(), spread.hypot(ELSE_WIDE)).exp() * ELSE_EACH;
    (usual + off).max(1e-300).ln()
}

/// Logarithm of the chance of what was found about a median of this spread, up to what is common to all.
fn score(known: &Known, median: f64, spread: f64) -> f64 {
    let fine = match known.analyte {
        Analyte::Viscosity40 | Analyte::Viscosity100 => 0.0,
        analyte => least(analyte),
    };
    let sigma = (spread * spread + LABORATORY * LABORATORY + (fine / (median + fine)).powi(2)).sqrt();
    let z = ((known.found.max(0.0) + fine) / (median + fine)).ln() / sigma;
    if known.under { normal_below(z).max(1e-300).ln() } else { -0.5 * z * z - sigma.ln() }
}
