//! Ledger and samples of one vessel, put together out of her texts and her history.

use crate::history::History;
use ledger::Ledger;
use ledger::told::{self, Told};
use plant::evidence::CheckMade;
use plant::finding::Finding;
use plant::plant::Plant;
use samples::{Limits, Results, Toppings};
use setup::known::Sections;

/// What her texts tell of tanks, rates, limits and set-up.
#[derive(Clone, Debug, Default)]
pub struct Terms {
    /// Tanks and rates.
    pub tanks: Told,
    /// The owner's own limits.
    pub limits: Limits,
    /// What is told for the set-up jobs.
    pub sections: Sections,
}

/// Both, worked out.
#[derive(Clone, Debug, Default)]
pub struct Books {
    /// Fuel, oil, coolant and hours.
    pub ledger: Ledger,
    /// What the laboratory found.
    pub results: Results,
    /// What could not be read, in words.
    pub unread: Vec<String>,
}

/// Something that they say of causes.
#[derive(Clone, Debug, PartialEq)]
pub struct Says {
    /// "from the ledger" or "from the laboratory".
    pub from: &'static str,
    /// What it rests on.
    pub because: String,
    /// As a check that was made.
    pub made: CheckMade,
}

impl Terms {
    /// Out of these texts; with what is wrong in them, and in which.
    pub fn of(plant: &Plant, texts: &[&str]) -> (Terms, Vec<(usize, Finding)>) {
        let mut terms = Terms { tanks: told::read("", plant).0, ..Terms::default() };
        let mut findings = Vec::new();
        for (place, text) in texts.iter().enumerate() {
            let own = told::read_into(&mut terms.tanks, text, plant).into_iter();
            let own = own.chain(terms.limits.read(text, plant)).chain(terms.sections.read(text, plant));
            findings.extend(own.map(|finding| (place, finding)));
        }
        (terms, findings)
    }
}

impl Books {
    /// Of this history.
    ///
    /// * `now` [ms since 1970, UTC]
    pub fn of(plant: &Plant, terms: &Terms, history: &History, now: i64) -> Books {
        let ledger = Ledger::of(history.read(), &terms.tanks, plant, now);
        let results = Results::of(history.read(), &terms.limits, &toppings(&ledger, plant), plant, now);
        let unread = ledger.diary.unread.iter().chain(&results.diary.unread).cloned().collect();
        Books { ledger, results, unread }
    }

    /// What they say of causes.
    pub fn says(&self, plant: &Plant) -> Vec<Says> {
        let ledger = self.ledger.told(plant).into_iter().map(|told| Says {
            from: "from the ledger",
            because: told.because,
            made: told.made,
        });
        let results = self.results.told(plant).into_iter().map(|told| Says {
            from: "from the laboratory",
            because: told.because,
            made: told.made,
        });
        ledger.chain(results).collect()
    }
}

/// What was topped up in each part, by the hours of its engine.
fn toppings(ledger: &Ledger, plant: &Plant) -> Toppings {
    let mut all = Toppings::new();
    for entry in &ledger.diary.entries {
        let ledger::Posting::Added { part, volume } = &entry.what else { continue };
        let engine = plant.part(part).and_then(|part| plant[part].engine).map(|engine| plant[engine].name.as_str());
        let meter = engine.and_then(|engine| ledger.hours.get(engine)).or_else(|| ledger.hours.values().next());
        if let Some(hours) = meter.and_then(|meter| meter.at(entry.time)) {
            all.entry(part.clone()).or_default().push((hours, *volume));
        }
    }
    all
}
