//! `bedplate stores`: what is kept aboard, what a passage needs of it, what to order; and what was counted, received, used.

mod moving;
mod shape;
mod tables;

use crate::folder::Folder;
use crate::stop::Stop;
use crate::verbs::leg::{Leg, refused};
use crate::{files, json};
use clap::{Args, ValueEnum};
use live::shelf::{self, Shelf};
use plant::plant::Plant;
use spares::need::SHORT;
use spares::{Goal, Need, Order, need, order};
use std::io::Write;
use std::path::PathBuf;
use work::date::DAY;
use work::passage::Passage;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    #[command(flatten)]
    leg: Leg,
    /// Chance of lacking any spare that is needed on the passage, at most
    #[arg(long, value_name = "PERCENT", default_value = "5%", requires = "passage")]
    short: String,
    /// What is to be bought is to come to the least
    #[arg(long, value_enum, default_value = "weight", requires = "passage")]
    least: Least,
    /// What is to be ordered, by supplier
    #[arg(long)]
    order: bool,
    /// How often things fail that want a spare, and where that comes from
    #[arg(long)]
    rates: bool,
    #[command(flatten)]
    moved: moving::Moved,
    /// For programs
    #[arg(long)]
    json: bool,
}

/// What is to be least.
#[derive(Copy, Clone, ValueEnum)]
enum Least {
    /// Mass
    Weight,
    /// Money
    Cost,
    /// Room
    Volume,
}

impl Least {
    fn goal(self) -> Goal {
        match self {
            Least::Weight => Goal::Weight,
            Least::Cost => Goal::Cost,
            Least::Volume => Goal::Volume,
        }
    }
}

/// All that an answer is made of.
struct Answer<'a> {
    plant: &'a Plant,
    shelf: Shelf,
    /// Days since 1970.
    today: i64,
    leg: Option<(Passage, Need)>,
    order: Order,
    goal: Goal,
    asked: &'a Asked,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let short = short(&asked.short)?;
    let plant = files::plant(&asked.plant)?;
    let folder = Folder::open(&asked.plant)?;
    let mut papers = folder.papers(&plant)?;
    let now = asked.leg.now()?;
    asked.leg.tell_hours(&plant, &mut papers, now)?;
    let told = folder.shelf(&plant, &papers, now)?;
    let written = asked.moved.write(&asked.plant, &told.stores, now)?;
    let told = if written.is_empty() { told } else { Folder::open(&asked.plant)?.shelf(&plant, &papers, now)? };
    let today = now.div_euclid(DAY);
    let leg = asked.leg.passage(now)?.map(|passage| {
        let Passage { start, hours, days } = passage;
        let departs = start.div_euclid(DAY);
        let planned = shelf::planned(&plant, &papers, now, &passage);
        let spared = spares::Passage { hours, days, departs };
        let need = need(&plant, &told.stores, &told.stock, &spared, &planned, asked.least.goal(), short);
        (passage, need)
    });
    let leaving = leg.as_ref().map(|(passage, need)| (need, passage.start.div_euclid(DAY)));
    let order = order(&told.stores, &told.stock, today, leaving);
    let answer = Answer { plant: &plant, shelf: told, today, leg, order, goal: asked.least.goal(), asked };
    if asked.json {
        return json::write(out, &answer.shape());
    }
    out.write_all((written + &answer.text()).as_bytes()).map_err(Stop::from)
}

/// "5%", "5 %" or 0.05.
fn short(text: &str) -> Result<f64, Stop> {
    let advice = "Write a share of passages, from 0.01% to 50%, such as 5%.";
    let chance = measure::unit::parse(text, measure::quantity::Quantity::Ratio).ok();
    let within = chance.filter(|chance| (SHORT.0..=SHORT.1).contains(chance));
    within.ok_or_else(|| refused("--short", &format!("`{text}` is no chance to run short"), advice))
}
