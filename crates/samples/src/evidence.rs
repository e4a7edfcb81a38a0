//! What samples say of causes: what a laboratory was asked, and whether it is there.

use crate::results::{Judged, Results};
use crate::sources::{self, Source};
use parts::kind::{Circuit, Find};
use plant::evidence::{CheckMade, Found, Named};
use plant::plant::{PartId, Plant};

/// There, or not, for certain enough to be told [1]. From memory.
const THERE: f64 = 0.8;
/// Not there: its chance has fallen to so much of what it was before anything was known [1]. From memory.
const FALLEN: f64 = 0.4;
/// A clean sample says nothing of what came after; it stands for so long [ms]: 120 days. From memory.
const STANDS: i64 = 120 * 86_400_000;

/// A check that a sample made, and what it rests on, in words.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckTold {
    /// As evidence.
    pub made: CheckMade,
    /// What it rests on: "sample A-7: coolant in it".
    pub because: String,
}

impl Results {
    /// What the last sample of each part says of causes: nothing where it cannot tell.
    pub fn evidence(&self, plant: &Plant) -> Vec<CheckMade> {
        self.told(plant).into_iter().map(|told| told.made).collect()
    }

    /// The same with what it rests on.
    pub fn told(&self, plant: &Plant) -> Vec<CheckTold> {
        self.last().into_iter().flat_map(|last| self.of_sample(last, plant)).collect()
    }

    fn of_sample(&self, last: &Judged, plant: &Plant) -> Vec<CheckTold> {
        let Some(part) = plant.part(&last.entry.what.of) else { return Vec::new() };
        let Some(name) = check(last.circuit) else { return Vec::new() };
        // An engine's oil runs through other parts that are asked of the same sample.
        let concerned = |other: PartId| {
            let of_engine = last.circuit == Circuit::Oil && plant[other].engine == plant[part].engine;
            other == part || of_engine
        };
        (0..plant.parts.len())
            .map(PartId)
            .filter(|other| concerned(*other))
            .filter_map(|other| {
                let place = plant[other].kind.checks.iter().position(|check| check.name == name)?;
                let finds = plant[other].kind.checks[place].finds;
                let each: Vec<(usize, bool)> =
                    finds.iter().enumerate().filter_map(|(k, find)| Some((k, self.there(last, find)?))).collect();
                (!each.is_empty()).then(|| CheckTold {
                    because: because(last, &each),
                    made: CheckMade { of: Named::Part(other), check: place, found: Found::Each(each) },
                })
            })
            .collect()
    }

    /// Whether what a find asks for is there; nothing if that is not certain enough, or too long ago.
    fn there(&self, last: &Judged, find: &Find) -> Option<bool> {
        let origin = last.origin.as_ref()?;
        let asked = asked(find);
        let chances: Vec<(Source, f64)> =
            origin.sources.iter().copied().filter(|(source, _)| asked.contains(source)).collect();
        if chances.is_empty() {
            return None;
        }
        if chances.iter().map(|(_, chance)| chance).sum::<f64>() > THERE {
            return Some(true);
        }
        let fallen = |(source, chance): &(Source, f64)| *chance < FALLEN * before(*source, last.circuit);
        let lately = self.now - last.entry.time < STANDS;
        (lately && chances.iter().all(fallen)).then_some(false)
    }
}

/// The check that a sample from a circuit makes.
fn check(circuit: Circuit) -> Option<&'static str> {
    match circuit {
        Circuit::Oil => Some("oil_sample"),
        Circuit::GearOil => Some("gear_oil_sample"),
        Circuit::FreshWater => Some("coolant_sample"),
        Circuit::Fuel => Some("drain_a_sample"),
        _ => None,
    }
}

/// What a find of such a check asks for: by what the laboratory measures for it, and of fuel by its name.
fn asked(find: &Find) -> &'static [Source] {
    match (find.power, find.cause) {
        ("oil-lab-salt", _) => &[Source::SeaWater],
        ("oil-lab-coolant", _) => &[Source::Coolant],
        ("oil-lab-fuel", _) => &[Source::Fuel],
        ("oil-lab-wear", _) => &[Source::BearingWear, Source::GearWear],
        (_, "water") => &[Source::Water, Source::SeaWater],
        (_, "growth") => &[Source::Growth],
        _ => &[],
    }
}

/// The chance that a source has got in before anything is known [1].
fn before(source: Source, circuit: Circuit) -> f64 {
    let signatures = sources::of(circuit).map(|(_, signatures)| signatures).unwrap_or_default();
    signatures.iter().filter(|one| one.of == source).map(|one| one.chance).sum()
}

fn because(last: &Judged, each: &[(usize, bool)]) -> String {
    let number = &last.entry.what.number;
    let named = if number.is_empty() { "the last sample".to_string() } else { format!("sample {number}") };
    let likely = last.origin.as_ref().and_then(|origin| origin.sources.first()).filter(|(_, chance)| *chance > THERE);
    match likely.filter(|_| each.iter().any(|(_, there)| *there)) {
        Some((source, _)) => format!("{named}: {} in it", source.word()),
        None => format!("{named}: nothing of what it was asked for in it"),
    }
}
