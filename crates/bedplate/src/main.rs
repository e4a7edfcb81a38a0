//! The program: one verb, one question, one file in `verbs/`.
//!
//! Only here are files opened, words of the command line read and lines printed. What a verb answers it takes from
//! `model` and `diagnosis`; words and values on a dial come from
//! `watch`, the schematic from `drawing`; what a program reads is in `json.rs`.
//!
//! Exit codes: 0 answered, 1 the plant cannot be solved, 2 what was given cannot be used.

mod bookshelf;
mod circuits;
mod clocks;
mod currents;
mod feed;
mod files;
mod folder;
mod json;
mod page;
mod pages;
mod paper;
mod point;
mod sound;
mod stop;
mod turned;
mod verbs;

use clap::{Parser, Subcommand};
use live::keeping;
use std::io::{BufWriter, Write as _};
use std::process::ExitCode;
use stop::Stop;

/// What every gauge in an engine room ought to read now, and what is wrong when it does not.
#[derive(Parser)]
#[command(
    name = "bedplate",
    version,
    about,
    after_help = "It advises. The oil-pressure switch and its bell, the maker's manual and a licensed engineer come before it."
)]
struct Line {
    #[command(subcommand)]
    verb: Verb,
}

/// What is asked.
#[derive(Subcommand)]
enum Verb {
    /// What every gauge should read, with its band, and the flows and heat behind it
    Expect(verbs::expect::Asked),
    /// What is off, the likely causes with their odds, and the next checks worth making
    Explain(verbs::explain::Asked),
    /// What can be said, felt, heard, checked and renewed on this plant
    Words(verbs::words::Asked),
    /// The schematic of the plant, as a drawing that stands alone (SVG)
    Draw(verbs::draw::Asked),
    /// Where it flows from a part, onwards or back, with the valves as they stand
    Follow(verbs::follow::Asked),
    /// Which valves shut a part off, in what order, what stops with it, and how it is put back
    Isolate(verbs::isolate::Asked),
    /// How the valves stand, what comes of turning some, and who turned them
    LineUp(verbs::line_up::Asked),
    /// Is everything sized and arranged right, where she is hardest put to it?
    Margins(verbs::margins::Asked),
    /// The adjusting jobs and calculators, worked: shims, clearances, timing, belts, alignment, sizes
    Setup(verbs::setup::Asked),
    /// What is kept aboard, what a passage needs of it, and what to order; and what was counted, received and used
    Stores(verbs::stores::Asked),
    /// What is due, when, and what falls due on a passage
    Due(verbs::due::Asked),
    /// Writes down what was done and what happened; and what was written down before
    Done(verbs::done::Asked),
    /// What recordings of a bus say: every value, who sends it, and what cannot be used
    Decode(verbs::decode::Asked),
    /// Begins a vessel's folder from a starting layout and a few questions
    New(verbs::new::Asked),
    /// The pages and the live readings of a vessel: her wires heard, kept and watched
    Serve(verbs::serve::Asked),
    /// Tables, rounds and recordings of a bus into a vessel's log: shown first, then kept
    Import(verbs::import::Asked),
    /// The tour of her engine room, as a folder of pages that needs nothing else
    Tour(verbs::tour::Asked),
    /// Documents on paper: round sheet, cards, tags, handbook (PDF)
    Print(verbs::print::Asked),
    /// Readings out of a vessel's log, as a table (CSV) or Parquet
    Export(verbs::export::Asked),
    /// Where the fuel, the oil and the coolant went, and how long she has run; entries of it
    Ledger(verbs::ledger::Asked),
    /// What the laboratory found in oil, coolant and fuel: limits, wear, what got in
    Samples(verbs::samples::Asked),
    /// The demonstration vessel: sound at cruise, then with a simulated fault to find
    Demo(verbs::demo::Asked),
}

fn main() -> ExitCode {
    let line = Line::parse();
    let mut out = BufWriter::new(std::io::stdout().lock());
    let done = match &line.verb {
        Verb::Expect(asked) => verbs::expect::run(asked, &mut out),
        Verb::Explain(asked) => verbs::explain::run(asked, &mut out),
        Verb::Words(asked) => verbs::words::run(asked, &mut out),
        Verb::Draw(asked) => verbs::draw::run(asked, &mut out),
        Verb::Follow(asked) => verbs::follow::run(asked, &mut out),
        Verb::Isolate(asked) => verbs::isolate::run(asked, &mut out),
        Verb::LineUp(asked) => verbs::line_up::run(asked, &mut out),
        Verb::Margins(asked) => verbs::margins::run(asked, &mut out),
        Verb::Stores(asked) => verbs::stores::run(asked, &mut out),
        Verb::Setup(asked) => verbs::setup::run(asked, &mut out),
        Verb::Due(asked) => verbs::due::run(asked, &mut out),
        Verb::Done(asked) => verbs::done::run(asked, &mut out),
        Verb::Decode(asked) => verbs::decode::run(asked, &mut out),
        Verb::New(asked) => verbs::new::run(asked, &mut out),
        Verb::Serve(asked) => verbs::serve::run(asked, &mut out),
        Verb::Import(asked) => verbs::import::run(asked, &mut out),
        Verb::Print(asked) => verbs::print::run(asked, &mut out),
        Verb::Tour(asked) => verbs::tour::run(asked, &mut out),
        Verb::Export(asked) => verbs::export::run(asked, &mut out),
        Verb::Ledger(asked) => verbs::ledger::run(asked, &mut out),
        Verb::Samples(asked) => verbs::samples::run(asked, &mut out),
        Verb::Demo(asked) => verbs::demo::run(asked, &mut out),
    };
    match done.and_then(|()| out.flush().map_err(Stop::from)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(stop) => {
            stop::tell(&stop.to_string());
            ExitCode::from(stop.code())
        }
    }
}
