//! What the simulated vessel reads, kept as a real one's readings are: for trying what can be done with them.

use super::MARRAM;
use crate::clocks::Machine;
use crate::files::VESSEL_FILE;
use crate::keeping::Keeping;
use crate::stop::Stop;
use live::aboard::Clocks as _;
use live::inbox::{Inbox, Moment};
use live::keeper::Keeper;
use plant::plant::Plant;
use std::fs::OpenOptions;
use std::io::{self, Write as _};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, JoinHandle};
use watch::recent::Reading;

/// A folder that readings are kept in, and who keeps them.
pub struct Kept {
    inbox: Arc<Inbox>,
    keeper: Arc<Keeper>,
    stop: Arc<AtomicBool>,
    keeps: JoinHandle<()>,
    /// When the demonstration began [ms since 1970].
    begun: i64,
}

impl Kept {
    /// In this folder, which is made if it is not there; the demonstration vessel is described in it.
    ///
    /// # Errors
    /// [`Stop::BadInput`] if another vessel lies there, or it cannot be written.
    pub fn begin(folder: &Path, plant: &Plant) -> Result<Kept, Stop> {
        describe(folder)?;
        let keeping = Keeping::open(folder, plant, Some("simulator"))
            .map_err(|why| Stop::BadInput(format!("{}: fault: {why}", folder.display())))?;
        let (keeper, stop) = (Arc::new(Keeper::new(keeping)), Arc::new(AtomicBool::new(false)));
        let (inbox, received) = Inbox::new(plant.gauges.len());
        let (run, stopped) = (keeper.clone(), stop.clone());
        let keeps = thread::spawn(move || run.run(&received, &stopped));
        let begun = Machine::start().now().time;
        Ok(Kept { inbox: Arc::new(inbox), keeper, stop, keeps, begun })
    }

    /// Takes readings in, by the simulator's own clock: it runs ahead of the day.
    pub fn taking(&self) -> impl Fn(&[Reading]) + Send + use<> {
        let (inbox, begun) = (self.inbox.clone(), self.begun);
        move |read| {
            for Reading { gauge, value, at } in read {
                let time = begun + (at * 1e3).round() as i64;
                inbox.take(*gauge, *value, Moment { since: *at, time }, true);
            }
        }
    }

    /// How many are kept, once all are.
    pub fn end(self) -> u64 {
        self.stop.store(true, Ordering::Relaxed);
        // If it had panicked, what it kept is told all the same.
        let _ = self.keeps.join();
        self.keeper.state().stored
    }
}

/// Describes the demonstration vessel in a folder, if it does not yet.
fn describe(folder: &Path) -> Result<(), Stop> {
    let path = folder.join(VESSEL_FILE);
    let refused = |why: &str, advice: &str| Stop::BadInput(format!("{}: fault: {why}\n  {advice}", path.display()));
    std::fs::create_dir_all(folder).map_err(|error| refused(&error.to_string(), "Name another folder."))?;
    match OpenOptions::new().write(true).create_new(true).open(&path) {
        Ok(mut file) => file.write_all(MARRAM.as_bytes()).map_err(|error| refused(&error.to_string(), "Make room.")),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            // Simulated readings have no business among real ones.
            let same = std::fs::read(&path).is_ok_and(|text| text == MARRAM.as_bytes());
            let advice = "Name an empty folder.";
            if same { Ok(()) } else { Err(refused("another vessel is described here", advice)) }
        }
        Err(error) => Err(refused(&error.to_string(), "Name another folder.")),
    }
}
