//! A desk for tests: entries in memory, on a day of its own.

use super::plant;
use diary::Line;
use ledger::Ledger;
use samples::{Limits, Results, Toppings};
use std::sync::{Arc, Mutex};
use web::{Desk, Worked};
use work::due::{Asked, list};
use work::record::Kept;
use work::risk;

/// The day of the tests: 1 June 2026, noon.
pub const TODAY: i64 = 1_780_315_200_000;

/// Entries in memory.
#[derive(Default)]
pub struct InMemory(Mutex<Vec<Line>>);

impl InMemory {
    /// Everything that was written.
    pub fn lines(&self) -> Vec<Line> {
        self.0.lock().expect("one thread").clone()
    }
}

impl Desk for InMemory {
    fn worked(&self) -> Result<Arc<Worked>, String> {
        let (plant, lines) = (plant(), self.lines());
        let tasks = work::tasks(&plant, &[]).0;
        let records = diary::read(&lines);
        let meters =
            vec![(plant.part("main").expect("an engine"), vec![(TODAY - 86_400_000, 1_800.0), (TODAY, 1_850.0)])];
        let readings = |_, _| Vec::new();
        let list = list(&Asked {
            plant: &plant,
            tasks: &tasks,
            records: &records,
            meters: &meters,
            readings: &readings,
            now: TODAY,
            planned: None,
        });
        let tanks = ledger::told::read("[tank.fuel]\nvolume = \"1000 L\"\n", &plant).0;
        let ledger = Ledger::of(diary::read(&lines), &tanks, &plant, TODAY);
        let results = Results::of(diary::read(&lines), &Limits::default(), &Toppings::new(), &plant, TODAY);
        let risks = risk::first(&plant, &tasks, &list.rows);
        let worked = Worked {
            plant: plant.clone(),
            tasks,
            records,
            meters,
            ledger,
            tanks,
            sections: setup::known::Sections::default(),
            results,
            list,
            risks,
            stores: Arc::default(),
            stock: spares::Stock::default(),
            now: TODAY,
            lines,
            unread: Vec::new(),
            invented: false,
        };
        Ok(Arc::new(worked))
    }

    fn now(&self) -> i64 {
        TODAY
    }

    fn note(&self, line: Line) -> Result<(), String> {
        self.0.lock().expect("one thread").push(line);
        Ok(())
    }

    fn keep(&self, name: &str, bytes: &[u8]) -> Result<Kept, String> {
        Ok(Kept { name: name.into(), sha256: diary::digest(bytes), bytes: bytes.len() as u64 })
    }

    fn kept(&self, file: &Kept) -> Result<Vec<u8>, String> {
        Err(format!("{}: it is not there", file.name))
    }
}
