//! What is aboard of a vessel, put together out of her texts, her history and what work has used.

use crate::history::{self, History};
use crate::papers::Papers;
use diary::Line;
use plant::plant::Plant;
use spares::{Movement, Stock, Stores, Wanted, stock};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use work::date::DAY;
use work::passage::{Passage, falls};
use work::task::Task;
use work::usage::Planned;

/// Items and kits, and what of them is there.
#[derive(Clone, Debug, Default)]
pub struct Shelf {
    /// As her texts describe them.
    pub stores: Stores,
    /// What is aboard.
    pub stock: Stock,
}

impl Shelf {
    /// Of what is described, and of everything that was written down up to now.
    ///
    /// * `now`: [ms since 1970, UTC]
    pub fn of(plant: &Plant, stores: Stores, papers: &Papers, history: &History, now: i64) -> Shelf {
        let taken = work::stores::taken(plant, &stores, &papers.tasks, &papers.records, now);
        let mut movements = history.read::<Movement>();
        movements.entries.retain(|entry| entry.time <= now);
        let stock = stock(plant, &stores, &movements, &taken);
        Shelf { stores, stock }
    }
}

/// What the work of a passage uses, as far as it falls due on it.
pub fn planned(plant: &Plant, papers: &Papers, now: i64, passage: &Passage) -> Vec<Wanted> {
    let Passage { start, hours, days } = *passage;
    let list = papers.due(plant, None, now, Some(Planned { start, days, hours }));
    work::stores::wanted(plant, &papers.tasks, &falls(&papers.tasks, &list, passage))
}

/// The lockers of one vessel, for her pages.
pub struct Lockup {
    /// She.
    pub plant: Arc<Plant>,
    /// Her service tasks.
    pub tasks: Vec<Task>,
    /// What is described.
    pub stores: Stores,
    /// Where it is written down.
    pub book: Book,
    /// What the day's clock shows [ms since 1970, UTC].
    pub now: fn() -> i64,
}

/// Where what people write down is kept.
pub enum Book {
    /// In the store of the vessel of this folder.
    Folder(PathBuf),
    /// Only as long as the program runs: the demonstration's.
    Memory(Mutex<Vec<Line>>),
}

impl Lockup {
    fn history(&self) -> Result<History, String> {
        match &self.book {
            Book::Folder(folder) => History::of(folder).map_err(|why| why.to_string()),
            Book::Memory(lines) => {
                let lines = lines.lock().unwrap_or_else(PoisonError::into_inner).clone();
                Ok(History { lines, damaged: Vec::new() })
            }
        }
    }
}

impl web::Shelf for Lockup {
    fn today(&self) -> i64 {
        (self.now)().div_euclid(DAY)
    }

    fn look(&self, passage: Option<&spares::Passage>) -> Result<web::Lockers, String> {
        let (now, history) = ((self.now)(), self.history()?);
        let papers = Papers::of(&self.plant, self.tasks.clone(), &history);
        let Shelf { stores, stock } = Shelf::of(&self.plant, self.stores.clone(), &papers, &history, now);
        let planned = passage.map_or_else(Vec::new, |passage| {
            let start = (passage.departs * DAY).max(now);
            planned(&self.plant, &papers, now, &Passage { start, hours: passage.hours, days: passage.days })
        });
        Ok(web::Lockers { stores, stock, planned })
    }

    fn keep(&self, movement: &Movement) -> Result<(), String> {
        let line = Line::of((self.now)(), None, None, movement);
        match &self.book {
            Book::Folder(folder) => history::note(folder, &[line]).map(drop).map_err(|why| why.to_string()),
            Book::Memory(lines) => {
                lines.lock().unwrap_or_else(PoisonError::into_inner).push(line);
                Ok(())
            }
        }
    }
}
