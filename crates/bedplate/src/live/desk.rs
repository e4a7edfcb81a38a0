//! The desk of a vessel: tasks out of her texts, entries out of her store or, in the demonstration, out of memory.

use crate::attached;
use crate::books::{Books, Terms};
use crate::history::{self, History};
use crate::keeping;
use crate::papers::Papers;
use crate::shelf::Shelf;
use diary::Line;
use plant::plant::Plant;
use spares::Stores;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use store::Reader;
use web::Worked;
use work::date::DAY;
use work::record::Kept;
use work::risk;
use work::task::Task;

/// A desk.
pub struct Desk {
    plant: Arc<Plant>,
    tasks: Vec<Task>,
    terms: Terms,
    /// What is described as kept aboard.
    stores: Arc<Stores>,
    drawer: Drawer,
    clock: fn() -> i64,
    /// What was worked out last, and for what.
    last: Mutex<Option<(Stamp, Arc<Worked>)>>,
}

/// Where entries lie.
enum Drawer {
    /// In the store of this folder.
    Folder(PathBuf),
    /// In memory, and gone with the program: invented entries, and what is written beside them; with files that were kept.
    Memory(Mutex<Memory>),
}

/// Entries, and files that were kept.
type Memory = (Vec<Line>, Vec<(Kept, Vec<u8>)>);

/// What an answer holds for: entries so far, and the day.
type Stamp = (i64, i64);

impl Desk {
    /// Of the vessel in a folder.
    pub fn of_folder(plant: Arc<Plant>, tasks: Vec<Task>, folder: PathBuf, clock: fn() -> i64) -> Desk {
        Desk::new(plant, tasks, Drawer::Folder(folder), clock)
    }

    /// Of the demonstration, with invented entries.
    pub fn in_memory(plant: Arc<Plant>, tasks: Vec<Task>, lines: Vec<Line>, clock: fn() -> i64) -> Desk {
        Desk::new(plant, tasks, Drawer::Memory(Mutex::new((lines, Vec::new()))), clock)
    }

    fn new(plant: Arc<Plant>, tasks: Vec<Task>, drawer: Drawer, clock: fn() -> i64) -> Desk {
        Desk { plant, tasks, terms: Terms::default(), stores: Arc::default(), drawer, clock, last: Mutex::default() }
    }

    /// With what her texts tell of tanks, rates and limits.
    #[must_use]
    pub fn under(self, terms: Terms) -> Desk {
        Desk { terms, ..self }
    }

    /// With what is described as kept aboard.
    #[must_use]
    pub fn with(self, stores: Stores) -> Desk {
        Desk { stores: Arc::new(stores), ..self }
    }

    fn stamp(&self) -> Result<Stamp, String> {
        let day = (self.clock)() / DAY;
        let entries = match &self.drawer {
            Drawer::Folder(folder) => {
                let file = keeping::file(folder);
                let last = |reader: Reader| reader.last_event();
                if file.exists() { Reader::open(&file).and_then(last).map_err(|why| why.to_string())? } else { 0 }
            }
            Drawer::Memory(lines) => i64::try_from(lines.lock().map_err(|_| GONE)?.0.len()).unwrap_or(i64::MAX),
        };
        Ok((entries, day))
    }

    fn history(&self) -> Result<History, String> {
        match &self.drawer {
            Drawer::Folder(folder) => History::of(folder).map_err(|why| why.to_string()),
            Drawer::Memory(lines) => {
                let lines = lines.lock().map_err(|_| GONE)?.0.clone();
                Ok(History { lines, damaged: Vec::new() })
            }
        }
    }

    fn work_out(&self) -> Result<Worked, String> {
        let (history, now) = (self.history()?, (self.clock)());
        let papers = Papers::of(&self.plant, self.tasks.clone(), &history);
        let reader = match &self.drawer {
            Drawer::Folder(folder) => keeping::reader(folder),
            Drawer::Memory(_) => None,
        };
        let list = papers.due(&self.plant, reader.as_ref(), now, None);
        let risks = risk::first(&self.plant, &papers.tasks, &list.rows);
        let books = Books::of(&self.plant, &self.terms, &history, now);
        let Shelf { stores, stock } = Shelf::of(&self.plant, self.stores.clone(), &papers, &history, now);
        let Papers { tasks, records, meters, mut unread } = papers;
        unread.extend(books.unread);
        let (ledger, results, tanks) = (books.ledger, books.results, self.terms.tanks.clone());
        let sections = self.terms.sections.clone();
        let invented = matches!(self.drawer, Drawer::Memory(_));
        let (plant, lines) = (self.plant.clone(), history.lines);
        Ok(Worked {
            plant,
            tasks,
            records,
            meters,
            ledger,
            tanks,
            sections,
            results,
            list,
            risks,
            stores,
            stock,
            now,
            lines,
            unread,
            invented,
        })
    }
}

/// A thread that had the lock has died; nothing of ours does.
const GONE: &str = "the desk cannot be opened any more; end the program and start it again";

impl web::Desk for Desk {
    fn worked(&self) -> Result<Arc<Worked>, String> {
        let stamp = self.stamp()?;
        let mut last = self.last.lock().map_err(|_| GONE)?;
        if let Some((_, worked)) = last.as_ref().filter(|(of, _)| *of == stamp) {
            return Ok(worked.clone());
        }
        let worked = Arc::new(self.work_out()?);
        *last = Some((stamp, worked.clone()));
        Ok(worked)
    }

    fn now(&self) -> i64 {
        (self.clock)()
    }

    fn note(&self, line: Line) -> Result<(), String> {
        match &self.drawer {
            Drawer::Folder(folder) => history::note(folder, &[line]).map(drop).map_err(|why| why.to_string()),
            Drawer::Memory(lines) => {
                let mut lines = lines.lock().map_err(|_| GONE)?;
                // As the store does: what is there already, to the letter, is left out.
                if !lines.0.contains(&line) {
                    lines.0.push(line);
                }
                Ok(())
            }
        }
    }

    fn keep(&self, name: &str, bytes: &[u8]) -> Result<Kept, String> {
        match &self.drawer {
            Drawer::Folder(folder) => {
                attached::keep(folder, name, bytes).map_err(|why| format!("it cannot be kept: {why}"))
            }
            Drawer::Memory(lines) => {
                let kept = Kept { name: name.to_string(), sha256: diary::digest(bytes), bytes: bytes.len() as u64 };
                lines.lock().map_err(|_| GONE)?.1.push((kept.clone(), bytes.to_vec()));
                Ok(kept)
            }
        }
    }

    fn kept(&self, file: &Kept) -> Result<Vec<u8>, String> {
        match &self.drawer {
            Drawer::Folder(folder) => attached::read(folder, file).map_err(|why| format!("{}: {why}", file.name)),
            Drawer::Memory(lines) => {
                let lines = lines.lock().map_err(|_| GONE)?;
                let found = lines.1.iter().find(|(kept, _)| kept == file).map(|(_, bytes)| bytes.clone());
                found.ok_or_else(|| format!("{}: it is not there", file.name))
            }
        }
    }
}
