//! What her texts and her plant already know of what a job asks.

use crate::ask::{Ask, Sort};
use crate::given::{self, plain};
use crate::job::Job;
use crate::jobs::JOBS;
use measure::unit;
use plant::finding::{Finding, Problem};
use plant::plant::{PartId, Plant};
use plant::told::{document, entries};

/// Something known, and who says so.
#[derive(Clone, Debug, PartialEq)]
pub enum Known {
    /// A `[setup.PART]` section tells it.
    Section {
        /// The part.
        part: String,
        /// As it stands there.
        text: String,
    },
    /// It is a figure of a part.
    Figure {
        /// The part.
        part: String,
        /// Where the figure comes from: "maker", "typical".
        origin: &'static str,
        /// The value [SI].
        value: f64,
        /// Its standard uncertainty [SI].
        doubt: f64,
        /// As it would be written.
        written: String,
    },
}

/// What `[setup.PART]` sections tell: part, key and value as it stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sections(Vec<(String, &'static str, String)>);

impl Sections {
    /// Reads the `[setup]` section of one of her texts, after those read before.
    pub fn read(&mut self, text: &str, plant: &Plant) -> Vec<Finding> {
        // Whoever reads the whole text tells of what cannot be read at all.
        let Ok(document) = document(text) else { return Vec::new() };
        let mut findings = Vec::new();
        let sections = entries(document.as_table(), &mut findings);
        // What is doubled in the rest of the text is told by whoever reads it.
        findings.clear();
        for section in sections.iter().filter(|section| section.key == "setup") {
            for part in section.table(&mut findings) {
                if plant.part(&part.key).is_none() {
                    let names = plant.parts.iter().map(|part| part.name.as_str());
                    let near = measure::nearest::nearest(&part.key, names).map(str::to_string);
                    let problem = Problem::UnknownPart { name: part.key.clone(), nearest: near };
                    findings.push(Finding::at(problem, part.key_place.clone()));
                    continue;
                }
                for told in part.table(&mut findings) {
                    let Some(ask) = ask(&told.key) else {
                        findings.push(told.unknown(&format!("[setup.{}]", part.key), &keys()));
                        continue;
                    };
                    let Some(text) = plain(told.value) else {
                        findings.push(told.wrong("a value with its unit, in quotes, or a list of them"));
                        continue;
                    };
                    match given::read(ask, &text) {
                        Ok(_) => self.0.push((part.key.clone(), ask.key, text)),
                        Err(refused) => {
                            let what = format!("`{}`: {}; {}", told.key, refused.why, refused.advice);
                            let problem = Problem::Unfit { what, advice: "`bedplate setup JOB` tells what it takes." };
                            findings.push(Finding::at(problem, told.place.clone()));
                        }
                    }
                }
            }
        }
        findings
    }
}

fn ask(key: &str) -> Option<&'static Ask> {
    JOBS.iter().flat_map(|job| job.asks).find(|ask| ask.key == key)
}

fn keys() -> Vec<&'static str> {
    JOBS.iter().flat_map(|job| job.asks).map(|ask| ask.key).collect()
}

/// The part a job is done on where none is named: the only one of its kinds, or of its first kind that has one.
pub fn part_of(job: &Job, plant: &Plant) -> Option<PartId> {
    job.kinds.iter().find_map(|kind| only(plant, kind))
}

fn only(plant: &Plant, kind: &str) -> Option<PartId> {
    let mut all = (0..plant.parts.len()).filter(|part| plant.parts[*part].kind.name == kind);
    let first = all.next()?;
    all.next().is_none().then_some(PartId(first))
}

/// What is known for a job on a part: the sections of that part and of its engine first, then figures of the plant.
pub fn known(job: &Job, plant: &Plant, sections: &Sections, of: Option<PartId>) -> Vec<(&'static str, Known)> {
    let near: Vec<PartId> = of.into_iter().chain(of.and_then(|of| plant.parts[of.0].engine)).collect();
    let mut all = Vec::new();
    for ask in job.asks {
        let told = near.iter().find_map(|part| {
            let name = &plant.parts[part.0].name;
            sections.0.iter().rev().find(|(part, key, _)| part == name && *key == ask.key)
        });
        if let Some((part, _, text)) = told {
            all.push((ask.key, Known::Section { part: part.clone(), text: text.clone() }));
        } else if let Some(figure) = ask.plant.iter().find_map(|wanted| figure(ask, plant, &near, wanted)) {
            all.push((ask.key, figure));
        }
    }
    all
}

/// A figure of the part that the job is done on, of its engine, or of the only part of that kind.
fn figure(ask: &Ask, plant: &Plant, near: &[PartId], (kind, name): &(&'static str, &'static str)) -> Option<Known> {
    let Sort::One(quantity) = ask.sort else { return None };
    let of = near.iter().copied().find(|part| plant.parts[part.0].kind.name == *kind).or_else(|| only(plant, kind))?;
    let part = &plant.parts[of.0];
    let place = part.kind.parameters.iter().position(|parameter| parameter.name == *name)?;
    let figure = &part.figures[place];
    let sigma = figure.spread.sigma();
    let doubt = if figure.spread.is_factor() { sigma * figure.value.abs() } else { sigma };
    Some(Known::Figure {
        part: part.name.clone(),
        origin: figure.origin.word(),
        value: figure.value,
        doubt,
        written: unit::print_usual(figure.value, quantity),
    })
}
