//! One file per verb; each takes what was asked and writes the answer.

pub mod decode;
pub mod demo;
pub mod done;
pub mod draw;
pub mod due;
mod entered;
pub mod expect;
pub mod explain;
pub mod export;
pub mod follow;
pub mod import;
pub mod isolate;
pub mod ledger;
pub mod leg;
pub mod line_up;
pub mod margins;
pub mod new;
pub mod print;
pub mod samples;
pub mod serve;
pub mod setup;
pub mod stores;
pub mod tour;
pub mod words;

use crate::stop::Stop;
use model::steady::Model;
use plant::finding::{Finding, Problem, render};
use plant::names;
use plant::plant::{PartId, Plant};

/// The part that a word on the command line means.
///
/// # Errors
/// [`Stop::BadInput`] with the nearest name.
pub(crate) fn part(plant: &Plant, word: &str) -> Result<PartId, Stop> {
    names::part_called(plant, word).ok_or_else(|| {
        let name = names::folded(word);
        let nearest = measure::nearest::nearest(&name, plant.parts.iter().map(|part| part.name.as_str()));
        let problem = Problem::UnknownPart { nearest: nearest.map(str::to_string), name };
        Stop::BadInput(render(&Finding::whole(problem), "", &plant.name))
    })
}

/// The plant's model, ready to be solved.
///
/// # Errors
/// [`Stop::NoAnswer`] when no numbers could solve it.
pub(crate) fn ready(plant: &Plant) -> Result<Model, Stop> {
    Model::new(plant).map_err(|structure| {
        Stop::NoAnswer(format!("{}: this plant cannot be worked out: {structure}.", expect::name(plant)))
    })
}
