//! `bedplate demo`: the demonstration vessel at sea, on pages of its own; or in words. All of it is simulated.

mod history;
mod keep;
mod pages;
mod terminal;

use crate::files::{self, Text};
use crate::stop::Stop;
use clap::Args;
use std::io::Write;
use std::path::PathBuf;

/// The demonstration vessel, built in: the program needs no file to show it.
const MARRAM: &str = include_str!("../../../../vessels/marram/vessel.toml");

/// Her service tasks and stores, invented as she is.
const WORK: &str = include_str!("../../../../vessels/marram/work.toml");

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Another vessel of the same description, with other gauges: any whole number
    #[arg(long, default_value_t = 1, value_parser = |text: &str| whole::<u32>(text, 0, u32::MAX))]
    seed: u32,
    /// Port of the local address; another free one is taken if it is in use
    #[arg(long, default_value_t = 8461, value_parser = |text: &str| whole::<u16>(text, 0, 65_535))]
    port: u16,
    /// Seconds that pass in each, from 1 to 120
    #[arg(long, default_value_t = live::PACE as u8, value_parser = |text: &str| whole::<u8>(text, 1, 120))]
    pace: u8,
    /// Keeps what is read in a folder, with her description, as a served vessel's readings are kept; all of it simulated
    #[arg(long, value_name = "DIR", conflicts_with = "terminal")]
    keep: Option<PathBuf>,
    /// Alerts sound on this computer too: by a program that plays a file (named, or the first found), or by "bell", the
    /// terminal's; never in place of the engine's own switch and bell
    #[arg(long, value_name = "HOW", num_args = 0..=1, default_missing_value = "auto", conflicts_with = "terminal")]
    sound: Option<String>,
    /// No pages: the demonstration in words, with the port strainer blocked
    #[arg(long)]
    terminal: bool,
    /// With --terminal: how much of the port strainer is shut [%]
    #[arg(long, default_value_t = 85, value_parser = |text: &str| whole::<u8>(text, 0, 100), requires = "terminal")]
    blocked: u8,
    /// With --terminal: chances as exact figures instead of words
    #[arg(long, requires = "terminal")]
    exact: bool,
}

/// A whole number between two, or what to write instead.
fn whole<T: TryFrom<u32>>(text: &str, low: u32, high: u32) -> Result<T, String> {
    let number = text.trim().parse().ok().filter(|number| (low..=high).contains(number));
    number
        .and_then(|number| T::try_from(number).ok())
        .ok_or_else(|| format!("write a whole number from {low} to {high}"))
}

/// Runs the demonstration.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let file = Text { name: "marram/vessel.toml".into(), text: MARRAM.into() };
    // What is assumed of it is no news here; a fault in it would be.
    let plant = plant::reader::read(MARRAM).0.map_or_else(|| files::plant_in(&file), Ok)?;
    if asked.terminal { terminal::run(&plant, asked, out) } else { pages::run(plant, asked, out) }
}
