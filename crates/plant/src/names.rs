//! The words of the trade, and which kind of part or circuit each one means.

use crate::finding::Problem;
use crate::plant::{PartId, Plant};
use measure::nearest::nearest;
use parts::catalogue;
use parts::kind::{Circuit, Kind};

/// Words for circuits.
const CIRCUITS: &[(&str, Circuit)] = &[
    ("sea-water", Circuit::RawWater),
    ("seawater", Circuit::RawWater),
    ("raw", Circuit::RawWater),
    ("coolant", Circuit::FreshWater),
    ("fresh", Circuit::FreshWater),
    ("jacket-water", Circuit::FreshWater),
    ("engine-oil", Circuit::Oil),
    ("lube-oil", Circuit::Oil),
    ("lubricating-oil", Circuit::Oil),
    ("gearbox-oil", Circuit::GearOil),
    ("electrical", Circuit::Charging),
    ("electric", Circuit::Charging),
    ("electrics", Circuit::Charging),
];

/// A name as it is compared: small letters, hyphens for spaces and underscores.
pub fn folded(word: &str) -> String {
    let spaced = |letter: char| if letter == '_' || letter.is_whitespace() { '-' } else { letter };
    word.trim().chars().flat_map(char::to_lowercase).map(spaced).collect()
}

/// The kind that a word means: its name or another word for it, perhaps with a tail ("strainer-port", "strainer-2").
///
/// # Errors
/// [`Problem::AmbiguousKind`] or [`Problem::UnknownKind`].
pub fn kind_called(word: &str) -> Result<&'static Kind, Problem> {
    kind_among(&[], word)
}

/// The same, among these kinds of the owner's own too.
///
/// # Errors
/// As [`kind_called`].
pub fn kind_among(own: &[&'static Kind], word: &str) -> Result<&'static Kind, Problem> {
    let word = folded(word);
    let mut head = word.as_str();
    loop {
        if let Some(kind) = own.iter().find(|kind| kind.name == head) {
            return Ok(kind);
        }
        if let Some(kind) = catalogue::find(head).or_else(|| catalogue::find(&head.replace('-', "_"))) {
            return Ok(kind);
        }
        let called: Vec<_> = catalogue::KINDS.iter().copied().filter(|kind| kind.called.contains(&head)).collect();
        match called.as_slice() {
            [one] => return Ok(one),
            [] => {}
            several => {
                let known = several.iter().map(|kind| format!("`{}`", kind.name)).collect();
                return Err(Problem::AmbiguousKind { word, known });
            }
        }
        match head.rfind('-') {
            Some(dash) => head = &head[..dash],
            None => break,
        }
    }
    let all = own.iter().chain(catalogue::KINDS);
    let known = all.flat_map(|kind| std::iter::once(&kind.name).chain(kind.called)).copied();
    let nearest = nearest(&word, known).map(str::to_string);
    Err(Problem::UnknownKind { kind: word, nearest })
}

/// The circuit that a word means.
///
/// # Errors
/// [`Problem::UnknownCircuit`].
pub fn circuit_called(word: &str) -> Result<Circuit, Problem> {
    let word = folded(word);
    let by_name = Circuit::ALL.iter().copied().find(|circuit| circuit.name() == word);
    let found = by_name.or_else(|| CIRCUITS.iter().find(|(name, _)| *name == word).map(|(_, circuit)| *circuit));
    found.ok_or_else(|| {
        let known: Vec<&str> =
            Circuit::ALL.iter().map(|circuit| circuit.name()).filter(|name| has_flow(name)).collect();
        let nearest = nearest(&word, known.iter().copied()).map(str::to_string);
        Problem::UnknownCircuit { name: word, nearest, known: known.iter().map(ToString::to_string).collect() }
    })
}

fn has_flow(name: &str) -> bool {
    catalogue::KINDS.iter().any(|kind| kind.passages.iter().any(|p| p.carries.iter().any(|c| c.name() == name)))
}

/// Is it the kind that turns and heats everything?
pub fn is_engine(kind: &Kind) -> bool {
    kind.name == "diesel"
}

/// Is it a gauge or an alarm, which have sections of their own?
pub fn is_gauge(kind: &Kind) -> bool {
    kind.circuit == Circuit::Gauges && (kind.name.ends_with("gauge") || kind.name.ends_with("alarm"))
}

/// The kinds of a plant's parts that its owner described.
fn own_kinds(plant: &Plant) -> Vec<&'static Kind> {
    let kinds = plant.parts.iter().map(|part| part.kind);
    kinds.filter(|kind| catalogue::find(kind.name).is_none()).collect()
}

/// The part that a word means: by its name; "engine" for the engine; or the kind's word where there is but one.
pub fn part_called(plant: &Plant, word: &str) -> Option<PartId> {
    let word = folded(word);
    if let Some(part) = plant.part(&word) {
        return Some(part);
    }
    let kind = kind_among(&own_kinds(plant), &word).ok()?;
    // With a tail it names one of several, and that one is not there.
    let whole = kind.name == word || kind.called.contains(&word.as_str());
    let mut of_kind = plant.parts.iter().enumerate().filter(|(_, part)| std::ptr::eq(part.kind, kind));
    let first = of_kind.next()?.0;
    (whole && of_kind.next().is_none()).then_some(PartId(first))
}
