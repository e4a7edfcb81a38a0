//! What if the true cause is on no list? Every kind in turn is struck off the judging side's list, with all that is counted
//! under the same rates elsewhere, and faults of that kind are put to it.

use crate::cases::wilson;
use crate::chance::Chance;
use crate::faults::Faults;
use crate::struck::with_causes;
use crate::trial::{Rounds, many, read};
use crate::world::AS_BELIEVED;
use ::live::world::MATTERS;
use diagnosis::explain::explain;
use diagnosis::hypothesis::{What, cause_of};
use model::steady::Model;
use parts::kind::Circuit;
use plant::evidence::Named;
use plant::plant::Plant;
use std::ops::Range;

/// A wrong cause as likely as this is believed [1].
const SURE: f64 = 0.9;

/// What may come of a fault whose kind is not known.
const OUTCOMES: [&str; 5] = [
    "a wrong named cause above 0.9",
    "the right circuit is the likeliest",
    "something else in the right circuit first",
    "something else in the right circuit in the first three",
    "all is well first",
];

/// Draws so many faults that show, each explained with its kind struck off.
pub fn left_out(plant: &Plant, numbers: Range<usize>, seed: u64, rounds: &Rounds) -> Result<String, String> {
    let mut model = Model::new(plant).map_err(|e| format!("{e:?}"))?;
    let faults = Faults::of(&mut model, AS_BELIEVED, &mut Chance::new(seed));
    let kinds: Vec<&str> = plant.parts.iter().map(|part| part.kind.name).collect();
    let mut known: Vec<&str> = kinds.clone();
    known.sort_unstable();
    known.dedup();
    let without: Vec<(&str, Plant)> = known.iter().map(|kind| (*kind, struck(plant, kind))).collect();
    let list = many(plant, numbers, seed, |model, chance| {
        let fault = faults.draw(chance);
        let What::Cause(Named::Part(part), _) = fault.acts else { return None };
        if fault.what != fault.acts || !fault.acts_on(&model.plant, &rounds.gauges) {
            return None;
        }
        let (evidence, shows) = read(model, AS_BELIEVED, Some(&fault), rounds, chance)?;
        // What does not show accuses nobody.
        if shows < MATTERS {
            return None;
        }
        let (_, plant) = without.iter().find(|(kind, _)| *kind == model.plant[part].kind.name)?;
        let answer = explain(plant, &evidence).ok()?;
        let chance_of =
            |c: Circuit| answer.ranked.iter().filter(|r| r.circuit == Some(c)).map(|r| r.probability).sum::<f64>();
        let likeliest = Circuit::ALL.into_iter().max_by(|a, b| chance_of(*a).total_cmp(&chance_of(*b)));
        let place = answer.ranked.iter().position(|r| fault.circuit.is_some_and(|c| r.what == What::Else(c)))?;
        let top = answer.ranked.first()?;
        let sure = matches!(top.what, What::Cause(..)) && top.probability > SURE;
        Some([sure, fault.circuit == likeliest, place == 0, place < 3, top.what == What::Well])
    })?;
    let line = |(k, what): (usize, &&str)| {
        let count = list.iter().filter(|outcomes| outcomes[k]).count();
        let (low, high) = wilson(count, list.len().max(1));
        let share = 100.0 * count as f64 / list.len().max(1) as f64;
        format!("  {what}: {count} of {}, {share:.1} % ({:.1} to {:.1})", list.len(), 100.0 * low, 100.0 * high)
    };
    let lines: Vec<String> = OUTCOMES.iter().enumerate().map(line).collect();
    Ok(lines.join("\n") + "\n")
}

/// The plant as one sees it who has never heard how parts of this kind fail, wherever that is counted.
fn struck(plant: &Plant, kind: &str) -> Plant {
    let ways = (0..plant.parts.len()).filter(|k| plant.parts[*k].kind.name == kind);
    let rates: Vec<&str> = ways
        .flat_map(|k| (0..plant.parts[k].kind.causes.len()).map(move |c| (k, c)))
        .filter_map(|(k, c)| {
            cause_of(plant, What::Cause(Named::Part(plant::plant::PartId(k)), c)).map(|cause| cause.rate)
        })
        .collect();
    with_causes(plant, &|other, cause| other.name != kind && !rates.contains(&cause.rate))
}
