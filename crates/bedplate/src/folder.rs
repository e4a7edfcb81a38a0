//! What a vessel's folder tells beside the plant, read once for a verb: tasks, stores, tanks, and what was written down.

use crate::clocks::day_now;
use crate::files::{Text, usable, work_texts};
use crate::stop::Stop;
use live::books::{Books, Terms};
use live::history::History;
use live::papers::Papers;
use live::shelf::Shelf;
use plant::finding::Finding;
use plant::plant::Plant;
use spares::Stores;
use std::path::Path;
use std::sync::Arc;
use work::task::Task;

/// Her texts and her history, as they were when it was opened; what is written after that is in the next one.
pub struct Folder {
    texts: Vec<Text>,
    history: History,
}

impl Folder {
    /// Reads `vessel.toml`, `work.toml` beside it if there is one, and the entries of the log.
    ///
    /// # Errors
    /// [`Stop::BadInput`] if one of them cannot be read.
    pub fn open(path: &Path) -> Result<Folder, Stop> {
        let texts = work_texts(path)?;
        let history = History::of(path).map_err(|error| Stop::BadInput(error.to_string()))?;
        Ok(Folder { texts, history })
    }

    /// A vessel's service tasks, what was done on her, and her hours.
    ///
    /// # Errors
    /// [`Stop::BadInput`] with everything that is wrong with her texts.
    pub fn papers(&self, plant: &Plant) -> Result<Papers, Stop> {
        let (tasks, findings) = work::tasks(plant, &self.strs());
        self.judged(&findings)?;
        Ok(Papers::of(plant, tasks, &self.history))
    }

    /// What her texts tell of tanks, rates, limits and set-up.
    ///
    /// # Errors
    /// As [`Folder::papers`].
    pub fn terms(&self, plant: &Plant) -> Result<Terms, Stop> {
        let (terms, findings) = Terms::of(plant, &self.strs());
        self.judged(&findings)?;
        Ok(terms)
    }

    /// Her ledger and her samples.
    ///
    /// # Errors
    /// As [`Folder::papers`].
    pub fn books(&self, plant: &Plant) -> Result<Books, Stop> {
        Ok(Books::of(plant, &self.terms(plant)?, &self.history, day_now()))
    }

    /// The items and kits that her texts describe.
    ///
    /// # Errors
    /// As [`Folder::papers`].
    pub fn stores(&self, plant: &Plant, tasks: &[Task]) -> Result<Stores, Stop> {
        stores_in(&self.texts, plant, tasks)
    }

    /// What is kept aboard, and what of it is there.
    ///
    /// * `now`: [ms since 1970, UTC]
    ///
    /// # Errors
    /// As [`Folder::papers`].
    pub fn shelf(&self, plant: &Plant, papers: &Papers, now: i64) -> Result<Shelf, Stop> {
        let stores = self.stores(plant, &papers.tasks)?;
        Ok(Shelf::of(plant, Arc::new(stores), papers, &self.history, now))
    }

    fn strs(&self) -> Vec<&str> {
        self.texts.iter().map(|file| file.text.as_str()).collect()
    }

    /// Findings, each of the text of its place, shown at their lines.
    fn judged(&self, findings: &[(usize, Finding)]) -> Result<(), Stop> {
        self.texts.iter().enumerate().try_for_each(|(place, file)| {
            let own: Vec<Finding> = findings.iter().filter(|(of, _)| *of == place).map(|(_, f)| f.clone()).collect();
            usable(Some(()), &own, file)
        })
    }
}

/// The items and kits that these texts describe.
///
/// # Errors
/// [`Stop::BadInput`] with everything that is wrong with them.
pub fn stores_in(files: &[Text], plant: &Plant, tasks: &[Task]) -> Result<Stores, Stop> {
    let words = work::stores::words(tasks);
    let mut stores = Stores::default();
    for file in files {
        let (read, findings) = spares::read_beside(&file.text, plant, &words, stores);
        stores = usable(Some(read), &findings, file)?;
    }
    Ok(stores)
}
