//! What is aboard of a vessel, put together out of her texts, her history and what work has used.

use crate::history::History;
use crate::papers::Papers;
use plant::plant::Plant;
use spares::{Movement, Stock, Stores, Wanted, stock};
use std::sync::Arc;
use work::passage::{Passage, falls};
use work::usage::Planned;

/// Items and kits, and what of them is there.
#[derive(Clone, Debug, Default)]
pub struct Shelf {
    /// As her texts describe them.
    pub stores: Arc<Stores>,
    /// What is aboard.
    pub stock: Stock,
}

impl Shelf {
    /// Of what is described, and of everything that was written down up to now.
    ///
    /// * `now`: [ms since 1970, UTC]
    pub fn of(plant: &Plant, stores: Arc<Stores>, papers: &Papers, history: &History, now: i64) -> Shelf {
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
