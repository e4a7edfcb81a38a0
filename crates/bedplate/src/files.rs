//! Files of the owner's: read with a bound on their size, and every mistake in them shown at its place.

use crate::feed::Place;
use crate::stop::{Stop, tell};
use plant::evidence::Evidence;
use plant::finding::{Finding, Problem, Weight, render};
use plant::line_up::{self, Turned};
use plant::plant::{PartId, Plant};
use plant::reader::line_ups;
use plant::reader::wires::Wire;
use plant::told::LARGEST;
use std::fmt::Write as _;
use std::fs::File;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

/// The file that describes the plant in a vessel's folder.
pub(crate) const VESSEL_FILE: &str = "vessel.toml";
/// The file beside it that keeps how the valves stand.
const LINE_UP_FILE: &str = "line-up.toml";
/// The file beside it that says where her buses are heard.
pub(crate) const WIRES_FILE: &str = "wires.toml";
/// Findings shown of one file: beyond these it is the wrong file.
const SHOWN: usize = 60;

/// A file as text, with the name it is spoken of by.
pub struct Text {
    /// Path as given.
    pub name: String,
    /// What is in it.
    pub text: String,
}

/// The file beside it that tells service tasks and stores, if they do not stand in it.
const WORK_FILE: &str = "work.toml";

/// The plant in a vessel's folder, or in a file.
///
/// # Errors
/// [`Stop::BadInput`] with everything that is wrong with it.
pub fn plant(path: &Path) -> Result<Plant, Stop> {
    let mut plant = if path.is_dir() {
        let file = path.join(VESSEL_FILE);
        if !file.exists() {
            let advice = "Give the folder of a vessel, or the file itself.";
            let none = format!("{}: fault: there is no {VESSEL_FILE} in this folder\n  {advice}", path.display());
            return Err(Stop::BadInput(none));
        }
        plant_in(&read(&file)?)?
    } else {
        plant_in(&read(path)?)?
    };
    for turned in turned(path, &plant)? {
        plant.turn(&turned.stands);
    }
    Ok(plant)
}

/// The texts that tell tasks and stores: the description, and `work.toml` beside it if there is one.
///
/// # Errors
/// As [`read`].
pub fn work_texts(path: &Path) -> Result<Vec<Text>, Stop> {
    let folder = if path.is_dir() { path } else { path.parent().unwrap_or(Path::new("")) };
    let vessel = if path.is_dir() { path.join(VESSEL_FILE) } else { path.to_path_buf() };
    let mut texts = vec![read(&vessel)?];
    let beside = folder.join(WORK_FILE);
    if beside.exists() && beside != vessel {
        texts.push(read(&beside)?);
    }
    Ok(texts)
}

/// Where tasks and stores stand beside the description.
pub fn work_file(path: &Path) -> PathBuf {
    let folder = if path.is_dir() { path } else { path.parent().unwrap_or(Path::new("")) };
    folder.join(WORK_FILE)
}

/// The headings of sections in a text, as they are written.
pub fn sections(text: &str) -> Vec<String> {
    text.lines().map(str::trim).filter(|line| line.starts_with('[')).map(str::to_string).collect()
}

/// That a text may stand as `work.toml` of this vessel.
///
/// # Errors
/// [`Stop::BadInput`] with everything that is wrong with it.
pub fn try_work(path: &Path, plant: &Plant, text: &str) -> Result<(), Stop> {
    let (_, findings) = work::tasks(plant, &[text]);
    let file = Text { name: work_file(path).display().to_string(), text: text.to_string() };
    let own: Vec<Finding> = findings.into_iter().map(|(_, finding)| finding).collect();
    usable(Some(()), &own, &file)
}

/// Puts a text in a file's place, whole or not at all.
///
/// # Errors
/// [`Stop::BadInput`] if it cannot be written.
pub fn replace(path: &Path, text: &str) -> Result<(), Stop> {
    let half = path.with_extension("part");
    let written = std::fs::write(&half, text).and_then(|()| std::fs::rename(&half, path));
    written.map_err(|error| {
        Stop::BadInput(format!("{}: fault: it cannot be written: {error}\n  Nothing was changed.", path.display()))
    })
}

/// The results of a laboratory in a file.
///
/// # Errors
/// As [`plant()`].
pub fn samples(path: &Path, plant: &Plant) -> Result<Vec<samples::reading::Told>, Stop> {
    let file = read(path)?;
    let (told, findings) = samples::reading::read(&file.text, plant);
    usable(Some(told), &findings, &file)
}

/// What the vessel's folder keeps of valves that were turned, oldest first.
///
/// # Errors
/// As [`plant()`].
pub fn turned(path: &Path, plant: &Plant) -> Result<Vec<Turned>, Stop> {
    let Some(kept) = kept_beside(path).filter(|file| file.exists()) else { return Ok(Vec::new()) };
    let file = read(&kept)?;
    let (turned, findings) = line_ups::turned(&file.text, plant);
    usable(Some(turned), &findings, &file)
}

/// Keeps in the vessel's folder that these valves were turned just now.
///
/// The file is written anew beside the old one and put in its place, so that it is whole whenever power fails.
///
/// # Errors
/// [`Stop::BadInput`] if there is no folder or it may not be written.
pub fn keep_turn(
    path: &Path,
    plant: &Plant,
    stands: &[(PartId, f64)],
    line_up: Option<&str>,
    who: Option<&str>,
) -> Result<(), Stop> {
    let Some(kept) = kept_beside(path) else {
        let advice = "Give the folder of the vessel.";
        let none = format!("{}: fault: beside this file nothing is kept\n  {advice}", path.display());
        return Err(Stop::BadInput(none));
    };
    let mut text = if kept.exists() { read(&kept)?.text } else { HEAD.to_string() };
    if !text.is_empty() && !text.ends_with('\n') {
        text.push('\n');
    }
    let mut turned = toml_edit::Table::new();
    turned["when"] = toml_edit::value(jiff::Zoned::now().strftime("%Y-%m-%d %H:%M").to_string());
    if let Some(who) = who {
        turned["who"] = toml_edit::value(who);
    }
    if let Some(line_up) = line_up {
        turned["line-up"] = toml_edit::value(plant::names::folded(line_up));
    }
    // Valve by valve as well: the name may come to mean something else.
    let mut valves = toml_edit::InlineTable::new();
    for (valve, to) in stands {
        valves.insert(&plant[*valve].name, line_up::position_as_written(plant[*valve].kind, *to).into());
    }
    if !valves.is_empty() {
        turned["valves"] = toml_edit::value(valves);
    }
    let _ = write!(text, "\n[[turned]]\n{turned}");
    let new = kept.with_extension("toml.new");
    let unkept = |error: io::Error| {
        Stop::BadInput(format!(
            "{}: fault: it cannot be written: {error}\n  Look at the folder and the disk.",
            kept.display()
        ))
    };
    std::fs::write(&new, text).and_then(|()| File::open(&new)?.sync_all()).map_err(unkept)?;
    std::fs::rename(&new, &kept).map_err(unkept)
}

/// What stands at the head of the file that keeps how the valves stand.
const HEAD: &str = "# How the valves stand, oldest first; the description says how they stood before that.\n\
                    # `bedplate line-up --keep` adds to it, and so may you.\n";

/// The file that keeps how the valves of a vessel stand: beside its description, whatever its folder is called.
fn kept_beside(path: &Path) -> Option<PathBuf> {
    let folder = if path.is_dir() { path } else { path.parent().filter(|_| path.ends_with(VESSEL_FILE))? };
    Some(folder.join(LINE_UP_FILE))
}

/// The wires of a vessel's folder, as far as it describes any; recordings are looked for in the folder.
///
/// # Errors
/// As [`plant()`].
pub fn wires(folder: &Path, plant: &Plant) -> Result<Vec<Wire<Place>>, Stop> {
    let path = folder.join(WIRES_FILE);
    if !path.exists() {
        return Ok(Vec::new());
    }
    let file = read(&path)?;
    let place = |text: &str| match text.parse::<Place>()? {
        Place::Stdin => Err("what comes in is no wire".into()),
        Place::File(name) if folder.join(&name).is_file() => Ok(Place::File(folder.join(name))),
        Place::File(_) => Err("it names no wire, and there is no such recording in this folder".into()),
        wire => Ok(wire),
    };
    let (wires, findings) = plant::reader::wires::read(&file.text, plant, place);
    let dumb = wires.iter().find(|wire| match &wire.from {
        Place::Mqtt(_, topic) => topic.is_none() && wire.topics.is_empty(),
        _ => !wire.topics.is_empty(),
    });
    if let Some(wire) = dumb {
        let advice = "A broker wants topics = { coolant = \"engine/coolant\" }, or a topic after mqtt:HOST:PORT/; no other wire has any.";
        return Err(Stop::BadInput(format!("{}: fault: topics of `{}`\n  {advice}", file.name, wire.name)));
    }
    usable(Some(wires), &findings, &file)
}

/// The plant that a text describes.
///
/// # Errors
/// As [`plant()`].
pub fn plant_in(file: &Text) -> Result<Plant, Stop> {
    let (plant, findings) = plant::reader::read(&file.text);
    usable(plant, &findings, file)
}

/// Writes an answer into a file.
///
/// # Errors
/// [`Stop::BadInput`] if there can be no such file.
pub fn write(path: &Path, answer: &[u8]) -> Result<(), Stop> {
    std::fs::write(path, answer).map_err(|error| {
        let why = match error.kind() {
            io::ErrorKind::NotFound => "there is no such folder".into(),
            io::ErrorKind::PermissionDenied => "it may not be written".into(),
            io::ErrorKind::IsADirectory => "this is a folder, not a file".into(),
            _ => format!("it cannot be written: {error}"),
        };
        Stop::BadInput(format!("{}: fault: {why}\n  Give another name after --out.", path.display()))
    })
}

/// The evidence in a file.
///
/// # Errors
/// As [`plant()`].
pub fn evidence(path: &Path, plant: &Plant) -> Result<Evidence, Stop> {
    evidence_in(&read(path)?, plant)
}

/// The evidence that a text holds.
///
/// # Errors
/// As [`plant()`].
pub fn evidence_in(file: &Text, plant: &Plant) -> Result<Evidence, Stop> {
    let (evidence, findings) = plant::evidence_reader::read_any(&file.name, &file.text, plant);
    usable(Some(evidence), &findings, file)
}

/// What was read, if nothing fatal was found in it; lesser findings go to the error stream.
pub(crate) fn usable<T>(read: Option<T>, findings: &[Finding], file: &Text) -> Result<T, Stop> {
    match read.filter(|_| !findings.iter().any(Finding::is_fatal)) {
        Some(read) => {
            tell(shown(findings.iter(), file).trim_end());
            Ok(read)
        }
        // What is merely assumed does not matter until the faults are put right.
        None => Err(Stop::BadInput(shown(findings.iter().filter(|f| f.problem.weight() > Weight::Note), file))),
    }
}

fn shown<'a>(findings: impl Iterator<Item = &'a Finding>, file: &Text) -> String {
    let mut all: Vec<&Finding> = findings.collect();
    let more = all.len().saturating_sub(SHOWN);
    // Faults come before doubts if not all can be shown.
    if more > 0 {
        all.sort_by_key(|finding| std::cmp::Reverse(finding.problem.weight()));
    }
    let mut text: String = all.iter().take(SHOWN).map(|finding| render(finding, &file.text, &file.name)).collect();
    if more > 0 {
        let _ = writeln!(text, "{}: and {more} more of the sort", file.name);
    }
    text
}

/// Reads a file of at most [`LARGEST`] bytes as text; what is longer is refused before it is read.
pub(crate) fn read(path: &Path) -> Result<Text, Stop> {
    let name = path.display().to_string();
    let unreadable =
        |error: &io::Error| Stop::BadInput(format!("{name}: fault: {}\n  Check the name.", in_words(error)));
    let refused = |problem| Stop::BadInput(render(&Finding::whole(problem), "", &name));
    let too_large = |bytes: u64| {
        let (megabytes, limit) = (bytes.div_ceil(1_000_000) as usize, LARGEST / 1_000_000);
        refused(Problem::TooLarge { megabytes, limit })
    };
    let length = std::fs::metadata(path).map_err(|error| unreadable(&error))?.len();
    if length > LARGEST as u64 {
        return Err(too_large(length));
    }
    // A pipe or a device tells no length: one byte past the limit is enough to know.
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(|error| unreadable(&error))?;
    file.take(LARGEST as u64 + 1).read_to_end(&mut bytes).map_err(|error| unreadable(&error))?;
    if bytes.len() > LARGEST {
        return Err(too_large(bytes.len() as u64));
    }
    let text = String::from_utf8(bytes).map_err(|_| refused(Problem::NotText))?;
    Ok(Text { name, text })
}

pub(crate) fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".into(),
        io::ErrorKind::PermissionDenied => "this file may not be read".into(),
        io::ErrorKind::IsADirectory => "this is a folder, not a file".into(),
        _ => format!("this file cannot be read: {error}"),
    }
}
