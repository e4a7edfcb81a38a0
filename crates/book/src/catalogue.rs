//! Which documents there are: the same list for paper, for pages and for the command line.

use crate::document::Document;
use crate::facts::Facts;
use crate::kept::{self, Kept};
use crate::{emergencies, handbook, rounds, survey, tour, valves, watch_cards};

/// A document that can be made.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Printable {
    /// The round sheet.
    Rounds,
    /// What is due.
    Due,
    /// Work cards.
    Cards,
    /// What is aboard, and what is to be ordered.
    Stores,
    /// Emergency cards.
    Emergency,
    /// Cards for the watch.
    Watch,
    /// Tags for the valves.
    Tags,
    /// The surveyor's record.
    Survey,
    /// The tour.
    Tour,
    /// The handbook.
    Handbook,
}

impl Printable {
    /// All of them, the one most often wanted first.
    pub const ALL: [Printable; 10] = [
        Printable::Rounds,
        Printable::Due,
        Printable::Cards,
        Printable::Stores,
        Printable::Emergency,
        Printable::Watch,
        Printable::Tags,
        Printable::Survey,
        Printable::Tour,
        Printable::Handbook,
    ];

    /// Its word on the command line and in addresses.
    pub fn word(self) -> &'static str {
        match self {
            Printable::Rounds => "rounds",
            Printable::Due => "due",
            Printable::Cards => "cards",
            Printable::Stores => "stores",
            Printable::Emergency => "emergency",
            Printable::Watch => "watch",
            Printable::Tags => "tags",
            Printable::Survey => "survey",
            Printable::Tour => "tour",
            Printable::Handbook => "handbook",
        }
    }

    /// What it is called where it is chosen.
    pub fn title(self) -> &'static str {
        match self {
            Printable::Rounds => "Round sheet",
            Printable::Due => "Due list",
            Printable::Cards => "Work cards",
            Printable::Stores => "Stores",
            Printable::Emergency => "Emergency cards",
            Printable::Watch => "Watch cards",
            Printable::Tags => "Valve tags",
            Printable::Survey => "Surveyor's record",
            Printable::Tour => "Tour",
            Printable::Handbook => "Handbook",
        }
    }

    /// What it is for, in a sentence.
    pub fn about(self) -> &'static str {
        match self {
            Printable::Rounds => "To be filled in by hand at each round, with what every gauge should read beside it.",
            Printable::Due => "What is past and what comes due, to be ticked off and written down.",
            Printable::Cards => "A sheet for each task that is due, with what it takes and room for what was found.",
            Printable::Stores => "What is aboard, locker by locker with room to count, and what is to be ordered.",
            Printable::Emergency => "A sheet for each emergency, to be hung where it may happen.",
            Printable::Watch => "What whoever stands the watch should know and do.",
            Printable::Tags => "A tag for each valve, to be cut out and tied on.",
            Printable::Survey => {
                "Openings, hoses and their dates, alarms tried, fire gear; what was done; what is for the yard."
            }
            Printable::Tour => "A walk through the engine room, for crew and visitors.",
            Printable::Handbook => "All of it, for whoever is aboard and for the next owner; some sixty pages.",
        }
    }

    /// The one of this word.
    pub fn of(word: &str) -> Option<Printable> {
        Printable::ALL.into_iter().find(|one| one.word() == word)
    }

    /// Makes it.
    pub fn make(self, facts: &Facts, kept: &Kept) -> Document {
        match self {
            Printable::Rounds => rounds::sheet(facts),
            Printable::Due => kept::due(facts, kept),
            Printable::Cards => kept::cards(facts, kept),
            Printable::Stores => kept::stores(facts, kept),
            Printable::Emergency => emergencies::cards(facts),
            Printable::Watch => watch_cards::cards(facts),
            Printable::Tags => valves::tags(facts),
            Printable::Survey => survey::paper(facts),
            Printable::Tour => tour::tour(facts),
            Printable::Handbook => handbook::handbook(facts),
        }
    }
}
