//! From the text of `vessel.toml` to the typed plant.
//!
//! One pass a concern, all findings together: what is told (`told`), kinds of the owner's own (`kinds`), which kind a word means ([`crate::names`]),
//! the paths (`paths`), what was not told (`crate::completion`), what meets where (`joins`), sizes
//! (`figures`), what turns and feeds what (`links`), gauges (`gauges`, `chain`, `taps`), and last whether it can
//! work at all (`checks`).

mod aboard;
mod chain;
mod checks;
mod delays;
pub(crate) mod draft;
mod figures;
mod filling;
mod gauges;
mod heard;
mod instruments;
mod joins;
mod kinds;
pub mod line_ups;
mod links;
mod own_checks;
mod own_fails;
pub(crate) mod paths;
mod rates;
mod sends;
mod taps;
pub mod wires;

use crate::aboard::Aboard;
use crate::completion;
use crate::finding::{Finding, Problem};
use crate::names;
use crate::plant::{FlowId, Part, PartId, Plant};
use crate::sisters::Sisters;
use crate::told::{self, Entry, document, entries};
use draft::{Draft, DraftPart};
use measure::figure::{Origin, Spread};
use measure::quantity::Quantity;
use parts::kind::{Circuit, OnceTold, Parameter, REFERENCE_POWER, REFERENCE_SPEED};

/// Most parts, and most gauges, in one file: far beyond any vessel, and it bounds the work, which grows with its cube.
pub(crate) const MOST: usize = 500;
/// Most findings that are handed back: a file that is all wrong need not be listed to its end.
const MOST_FINDINGS: usize = 200;

/// Reads a vessel file; the plant is there if no finding is fatal.
///
/// Every mistake is found in one go, except that a line which is no TOML hides what follows it.
pub fn read(text: &str) -> (Option<Plant>, Vec<Finding>) {
    let document = match document(text) {
        Ok(document) => document,
        Err(findings) => return (None, findings),
    };
    let mut draft = Draft::default();
    let sections = entries(document.as_table(), &mut draft.findings);
    sections.iter().filter(|section| section.key == "vessel").for_each(|section| vessel(&mut draft, section));
    sections.iter().filter(|section| section.key == "kind").for_each(|section| kinds::kinds(&mut draft, section));
    engines(&mut draft, &sections);
    for section in &sections {
        match section.key.as_str() {
            "engine" | "part" => parts(&mut draft, section),
            "kind" | "circuit" | "pipe" | "vessel" | "gauge" | "alarm" | "line-up" | "aboard" | "rates" => {}
            // Service and stores may stand here as well as in a file of their own; whoever asks for them reads them.
            key if told::SERVICE.contains(&key) => {}
            _ => draft.findings.push(section.unknown("a vessel file", SECTIONS)),
        }
    }
    for section in sections.iter().filter(|section| matches!(section.key.as_str(), "gauge" | "alarm")) {
        // Only the names: what is wrong with them is found when they are read.
        draft.gauges.extend(section.table(&mut Vec::new()).into_iter().map(|entry| entry.key));
    }
    chain::members(&mut draft, &sections);
    for section in sections.iter().filter(|section| section.key == "circuit") {
        paths::circuits(&mut draft, section);
    }
    completion::complete(&mut draft);
    for section in sections.iter().filter(|section| section.key == "pipe") {
        paths::pipes(&mut draft, section);
    }
    let mut plant = assemble(&mut draft);
    for section in &sections {
        match section.key.as_str() {
            "gauge" => gauges::gauges(&mut plant, section, gauges::Sort::Gauge, &mut draft.findings),
            "alarm" => gauges::gauges(&mut plant, section, gauges::Sort::Alarm, &mut draft.findings),
            "line-up" => line_ups::line_ups(&mut plant, section, &mut draft.findings),
            _ => {}
        }
    }
    for section in sections.iter().filter(|section| section.key == "aboard") {
        aboard::aboard(&mut plant, section, &mut draft.findings);
    }
    for section in sections.iter().filter(|section| section.key == "rates") {
        rates::rates(&mut plant, section, &mut draft.findings);
    }
    checks::checks(&plant, &mut draft.findings);
    let mut findings = draft.findings;
    findings.sort_by_key(|finding| finding.places.first().map_or(usize::MAX, |(range, _)| range.start));
    let sound = !findings.iter().any(Finding::is_fatal);
    if !sound && findings.len() > MOST_FINDINGS {
        let count = findings.len() - MOST_FINDINGS;
        findings.truncate(MOST_FINDINGS);
        findings.push(Finding::whole(Problem::MoreFaults { count }));
    }
    (sound.then_some(plant), findings)
}

/// The sections of a vessel file.
const SECTIONS: &[&str] = &[
    "vessel", "kind", "engine", "part", "circuit", "pipe", "gauge", "alarm", "line-up", "aboard", "rates", "task",
    "item", "kit", "tank", "burn", "limit",
];
/// The keys of `[vessel]`, and what kind of number each is; the rest is text.
const VESSEL: &[(&str, Option<Quantity>)] = &[
    ("name", None),
    ("waterline", Some(Quantity::Length)),
    ("beam", Some(Quantity::Length)),
    ("draft", Some(Quantity::Length)),
    ("displacement", Some(Quantity::Mass)),
    ("sea-water", None),
    ("notes", None),
    ("note", None),
];

fn vessel(draft: &mut Draft, section: &Entry) {
    for entry in section.table(&mut draft.findings) {
        let Some((key, quantity)) = VESSEL.iter().find(|(key, _)| *key == entry.key) else {
            let known: Vec<&str> = VESSEL.iter().map(|(key, _)| *key).collect();
            draft.findings.push(entry.unknown("`[vessel]`", &known));
            continue;
        };
        match (quantity, *key) {
            (Some(quantity), _) => drop(entry.value_of(*quantity, &mut draft.findings)),
            (None, "name") => draft.name = entry.text(&mut draft.findings).unwrap_or_default().to_string(),
            (None, "sea-water") => {
                let choice = entry.choice(&["salt", "brackish", "fresh"], &mut draft.findings);
                draft.sea = filling::sea(choice.unwrap_or("salt"));
            }
            (None, _) => drop(entry.text(&mut draft.findings)),
        }
    }
}

/// `[engine.*]` and `[part.*]`.
fn parts<'a>(draft: &mut Draft<'a>, section: &Entry<'a>) {
    let is_engine = section.key == "engine";
    for entry in section.table(&mut draft.findings) {
        let name = entry.key.clone();
        if let Some(other) = draft.parts.iter().find(|part| part.name == name) {
            let problem = Problem::DuplicateName { name };
            let first = other.place.clone();
            draft.findings.push(Finding::at(problem, entry.key_place.clone()).and(first, "the first is here"));
            continue;
        }
        if draft.is_full(&entry.key_place) {
            continue;
        }
        let told = entry.table(&mut draft.findings);
        let kind = told.iter().find(|e| e.key == "kind");
        let (word, place) = match kind {
            Some(kind) => (kind.text(&mut draft.findings).map(names::folded), kind.place.clone()),
            None if is_engine => (Some("diesel".to_string()), entry.key_place.clone()),
            None => (Some(name.clone()), entry.key_place.clone()),
        };
        let Some(word) = word else { continue };
        let kind = match names::kind_among(&draft.kinds, &word) {
            Ok(kind) => kind,
            Err(problem) => {
                draft.findings.push(Finding::at(problem, place));
                continue;
            }
        };
        if names::is_gauge(kind) {
            let problem = Problem::UnknownKind { kind: kind.name.into(), nearest: Some(format!("[gauge.{name}]")) };
            draft.findings.push(Finding::at(problem, place));
            continue;
        }
        let serves = served(draft, &name, &told);
        draft.parts.push(DraftPart {
            name,
            kind,
            told,
            place: entry.key_place.clone(),
            assumed: false,
            declared: true,
            serves,
        });
    }
}

/// The names of the engines, before anything else is read: parts and circuits are told by them.
fn engines(draft: &mut Draft, sections: &[Entry]) {
    for section in sections.iter().filter(|section| matches!(section.key.as_str(), "engine" | "part")) {
        // Only the names: what is wrong with them is found when they are read.
        for entry in section.table(&mut Vec::new()) {
            let kind = entry.table(&mut Vec::new()).iter().find(|e| e.key == "kind").and_then(|e| e.value.as_str());
            let word = kind.unwrap_or(if section.key == "engine" { "diesel" } else { &entry.key });
            if names::kind_among(&draft.kinds, word).is_ok_and(names::is_engine) && !draft.engines.contains(&entry.key)
            {
                draft.engines.push(entry.key);
            }
        }
    }
}

/// The engine a part says it serves, itself or by the tail of its name.
fn served(draft: &mut Draft, name: &str, told: &[Entry]) -> Option<usize> {
    let by_name = draft.engines.iter().position(|engine| engine == name);
    let Some(entry) = told.iter().find(|entry| entry.key == "engine") else {
        return by_name.or_else(|| draft.engine_by_tail(name));
    };
    let word = names::folded(entry.value.as_str()?);
    let found = draft.engines.iter().position(|engine| *engine == word);
    if found.is_none() {
        let nearest = measure::nearest::nearest(&word, draft.engines.iter().map(String::as_str)).map(str::to_string);
        draft.findings.push(Finding::at(Problem::UnknownPart { name: word, nearest }, entry.place.clone()));
    }
    found
}

fn rating_told(draft: &mut Draft, engine: usize, scale: &figures::Scale) {
    let Some(engine) =
        draft.engine_at(engine).map(|index| &draft.parts[index]).filter(|engine| !scale.told && !engine.assumed)
    else {
        return;
    };
    let print = measure::unit::print_usual;
    let assumed = format!(
        "{} at {}",
        print(scale.rated_power, Quantity::Power),
        print(scale.rated_speed, Quantity::RotationalSpeed)
    );
    let problem = Problem::RatingNotTold { engine: engine.name.clone(), assumed };
    draft.findings.push(Finding::at(problem, engine.place.clone()));
}

/// Everything but the gauges.
fn assemble(draft: &mut Draft) -> Plant {
    let scales: Vec<figures::Scale> = (0..draft.engines.len()).map(|engine| figures::rating(draft, engine)).collect();
    for (engine, scale) in scales.iter().enumerate() {
        rating_told(draft, engine, scale);
    }
    let engine_parts: Vec<Option<usize>> = (0..draft.engines.len()).map(|engine| draft.engine_at(engine)).collect();
    let joined = joins::join(draft);
    let mut plant = Plant {
        name: draft.name.clone(),
        parts: Vec::new(),
        nodes: joined.nodes,
        flows: joined.flows,
        pools: joined.pools,
        gauges: Vec::new(),
        line_ups: Vec::new(),
        sisters: Sisters::default(),
        aboard: Aboard::default(),
        rates: Vec::new(),
        rated_power: scales.first().map_or(REFERENCE_POWER, |scale| scale.rated_power),
        rated_speed: scales.first().map_or(REFERENCE_SPEED, |scale| scale.rated_speed),
        nominal_voltage: figures::nominal_voltage(draft),
    };
    for index in 0..draft.parts.len() {
        let contents = joined.contents[index].clone();
        let ways = draft.parts[index].kind.passages.iter().zip(&joined.part_flows[index]);
        let in_coolant = ways
            .filter(|(way, _)| way.carries.contains(&Circuit::RawWater))
            .any(|(_, flow)| flow.is_some_and(|flow: FlowId| plant.flows[flow.0].circuit == Circuit::FreshWater));
        let serves = draft.parts[index].serves.unwrap_or(0);
        let scale = scales.get(serves).copied().unwrap_or_default();
        let scale = figures::Scale { in_coolant, ..scale };
        let read = figures::part(&draft.parts[index], &contents, &scale, &mut draft.findings);
        let part = &draft.parts[index];
        plant.parts.push(Part {
            name: part.name.clone(),
            kind: part.kind,
            figures: read.figures,
            engine: engine_parts.get(serves).copied().flatten().map(PartId),
            common: part.serves.is_none(),
            links: Vec::new(),
            flows: joined.part_flows[index].clone(),
            assumed: part.assumed,
            place: if part.assumed { 0..0 } else { part.place.clone() },
            notes: read.notes,
            hours_since: read.hours_since,
            causes_since: Vec::new(),
        });
    }
    count_alike(&mut plant);
    links::links(draft, &mut plant);
    plant.sisters = Sisters::of(&plant);
    plant
}

/// What is counted once for an engine, its cylinders, need not be told again of what serves it.
fn count_alike(plant: &mut Plant) {
    for part in 0..plant.parts.len() {
        let Some(PartId(engine)) = plant.parts[part].engine.filter(|engine| engine.0 != part) else { continue };
        for (place, parameter) in plant.parts[part].kind.parameters.iter().enumerate() {
            let told = plant.parts[part].figures[place].origin != Origin::Typical;
            let same = |other: &Parameter| other.name == parameter.name;
            if parameter.once_told != OnceTold::Whole || told {
                continue;
            }
            if let Some(of_engine) = plant.parts[engine].kind.parameters.iter().position(same) {
                let value = plant.parts[engine].figures[of_engine].value;
                let figure = &mut plant.parts[part].figures[place];
                figure.value = value.clamp(parameter.range.0, parameter.range.1);
                figure.spread = Spread::Exact;
            }
        }
    }
}
