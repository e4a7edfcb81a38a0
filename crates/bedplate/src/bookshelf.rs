//! What the book is made with beside the plant: the procedures in the vessel's folder, and the day.

use crate::files;
use crate::stop::{Stop, tell};
use book::facts::Asked;
use book::procedures::{self, Procedure};
use plant::plant::Plant;
use std::path::{Path, PathBuf};

/// The folder beside the description that holds the owner's procedures.
const FOLDER: &str = "procedures";
/// More than that are not one vessel's procedures.
const MOST: usize = 200;

/// What the book is made with.
///
/// # Errors
/// [`Stop::BadInput`] if a procedure cannot be read, or names what is not there.
pub fn asked(vessel: &Path, plant: &Plant) -> Result<Asked, Stop> {
    let procedures = paths(vessel)?.iter().map(|path| procedure(path, plant)).collect::<Result<_, _>>()?;
    Ok(Asked { procedures, ..today() })
}

/// The same for pages, which are served whatever is wrong with a procedure: it is told of, and left out.
pub fn asked_for_pages(vessel: &Path, plant: &Plant) -> Asked {
    let mut asked = today();
    match paths(vessel) {
        Ok(paths) => {
            for path in &paths {
                match procedure(path, plant) {
                    Ok(procedure) => asked.procedures.push(procedure),
                    Err(stop) => tell(&stop.to_string()),
                }
            }
        }
        Err(stop) => tell(&stop.to_string()),
    }
    asked
}

/// The same with procedures that the program brings along: name and text.
pub fn built_in(procedures: &[(&str, &str)]) -> Asked {
    let procedure = |(name, text): &(&str, &str)| Procedure { name: (*name).into(), text: (*text).into() };
    Asked { procedures: procedures.iter().map(procedure).collect(), ..today() }
}

fn today() -> Asked {
    Asked { date: jiff::Zoned::now().strftime("%-d %B %Y").to_string(), ..Asked::default() }
}

/// A day as documents bear it [ms since 1970, UTC].
pub fn date(time: i64) -> String {
    let day = jiff::Timestamp::from_millisecond(time).map(|time| time.to_zoned(jiff::tz::TimeZone::UTC));
    day.map(|day| day.strftime("%-d %B %Y").to_string()).unwrap_or_default()
}

/// Files of procedures, in the order of their names; none where there is no such folder.
fn paths(vessel: &Path) -> Result<Vec<PathBuf>, Stop> {
    let folder = vessel.join(FOLDER);
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let unread = |error: std::io::Error| {
        Stop::BadInput(format!("{}: fault: {}\n  Check the folder.", folder.display(), files::in_words(&error)))
    };
    let mut found = Vec::new();
    for entry in std::fs::read_dir(&folder).map_err(unread)? {
        let path = entry.map_err(unread)?.path();
        if path.extension().is_some_and(|ending| ending == "md") {
            found.push(path);
        }
    }
    found.sort();
    if found.len() > MOST {
        let advice = "Leave those that are hers.";
        let many = format!("{}: fault: {} procedures are too many\n  {advice}", folder.display(), found.len());
        return Err(Stop::BadInput(many));
    }
    Ok(found)
}

fn procedure(path: &Path, plant: &Plant) -> Result<Procedure, Stop> {
    let file = files::read(path)?;
    let name = path.file_stem().map(|stem| plant::names::folded(&stem.to_string_lossy())).unwrap_or_default();
    let findings = procedures::findings(plant, &file.text);
    files::usable(Some(Procedure { name, text: file.text.clone() }), &findings, &file)
}
