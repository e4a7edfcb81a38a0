//! `bedplate new`: begins a vessel's folder from a starting layout and a few questions.

use crate::files::{VESSEL_FILE, WIRES_FILE};
use crate::page::{Side, columns};
use crate::stop::Stop;
use clap::Args;
use measure::quantity::Quantity;
use measure::unit;
use std::fs::OpenOptions;
use std::io::{self, BufRead, IsTerminal as _, Write};
use std::path::{Path, PathBuf};

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// The folder to begin; it is made if it is not there, and nothing that is in it is touched
    #[arg(value_name = "DIR")]
    vessel: PathBuf,
    /// The layout to begin with: wet-exhaust, keel-cooled, twin-engines or sailing; left out, it is asked for
    #[arg(long, value_name = "NAME", value_parser = layout)]
    layout: Option<&'static Layout>,
    /// What she is called; left out, the folder's name
    #[arg(long)]
    name: Option<String>,
    /// Rated power of each engine, such as "60 kW" or "80 hp"
    #[arg(long, value_parser = |text: &str| value(text, POWER))]
    power: Option<String>,
    /// Rated speed of the engine, such as "2400 rpm"
    #[arg(long, value_parser = |text: &str| value(text, SPEED))]
    speed: Option<String>,
    /// Her way at rated speed, such as "8 kn"
    #[arg(long, value_parser = |text: &str| value(text, BOAT_SPEED))]
    boat_speed: Option<String>,
}

/// A layout to begin with.
#[derive(Debug, PartialEq)]
struct Layout {
    name: &'static str,
    title: &'static str,
    text: &'static str,
    /// What is taken if nothing is said: power, speed, her way. Usual for such a vessel, from memory.
    usual: [&'static str; 3],
}

/// All of them.
const LAYOUTS: [Layout; 4] = [
    Layout {
        name: "wet-exhaust",
        title: "one engine, cooled through an exchanger, wet exhaust",
        text: include_str!("../../layouts/wet-exhaust.toml"),
        usual: ["75 kW", "2400 rpm", "8 kn"],
    },
    Layout {
        name: "keel-cooled",
        title: "one engine, keel-cooled, dry exhaust",
        text: include_str!("../../layouts/keel-cooled.toml"),
        usual: ["90 kW", "1800 rpm", "8 kn"],
    },
    Layout {
        name: "twin-engines",
        title: "two engines, each cooled through an exchanger, wet exhaust",
        text: include_str!("../../layouts/twin-engines.toml"),
        usual: ["110 kW", "2600 rpm", "11 kn"],
    },
    Layout {
        name: "sailing",
        title: "sailing auxiliary, wet exhaust over a vented loop",
        text: include_str!("../../layouts/sailing.toml"),
        usual: ["22 kW", "3000 rpm", "6.5 kn"],
    },
];
/// What stands in wires.toml to begin with.
const WIRES: &str = include_str!("../../layouts/wires.toml");

/// A value that is asked for: its quantity, and what it may be [SI].
type Bounds = (Quantity, f64, f64);
const POWER: Bounds = (Quantity::Power, 1e3, 5e6);
const SPEED: Bounds = (Quantity::RotationalSpeed, 10.0, 700.0);
const BOAT_SPEED: Bounds = (Quantity::Velocity, 1.0, 30.0);
/// Longest name [letters].
const LONGEST: usize = 60;

/// The layout of that name.
fn layout(word: &str) -> Result<&'static Layout, String> {
    let found = LAYOUTS.iter().find(|layout| layout.name == word.trim());
    let names = || LAYOUTS.iter().map(|layout| layout.name).collect::<Vec<_>>().join(", ");
    found.ok_or_else(|| format!("the layouts are {}", names()))
}

/// A value with its unit, as written.
fn value(text: &str, (quantity, low, high): Bounds) -> Result<String, String> {
    let text = text.trim();
    let value = unit::parse(text, quantity)
        .map_err(|error| format!("{error}; write it with its unit, such as \"{}\"", quantity.example()))?;
    let within = (low..=high).contains(&value) && !text.contains(['"', '\\', '\n']);
    let bounds = || [low, high].map(|end| unit::print_usual(end, quantity)).join(" to ");
    if within { Ok(text.into()) } else { Err(format!("it must lie within {}", bounds())) }
}

/// A name of one line.
fn name(text: &str) -> Result<String, String> {
    let text = text.trim();
    let plain = !text.is_empty() && text.chars().count() <= LONGEST && !text.chars().any(char::is_control);
    if plain { Ok(text.into()) } else { Err(format!("write a name of 1 to {LONGEST} letters")) }
}

/// Begins a folder.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let folder = &asked.vessel;
    untouched(folder)?;
    // What is not told is asked, if there is somebody to ask.
    let somebody = asked.layout.is_none() && io::stdin().is_terminal();
    let begun = if somebody { begun(asked, Some(&mut io::stdin().lock()), out)? } else { begun(asked, None, out)? };
    write(folder, &begun)?;
    let here = folder.display();
    writeln!(out, "{}: {} in {here}, to be put right in any text editor:", begun.name, begun.layout.title)?;
    writeln!(out, "  vessel.toml  her engine room\n  wires.toml   where her buses are heard")?;
    writeln!(out, "What she should read:        bedplate expect {here}")?;
    writeln!(out, "Which figure helps most:     bedplate margins {here}")?;
    Ok(writeln!(out, "Her pages:                   bedplate serve {here}")?)
}

/// What a folder begins with.
struct Begun {
    layout: &'static Layout,
    name: String,
    /// Power, speed, her way, as written.
    values: [String; 3],
}

/// From what was told, what is answered, and for the rest what is usual.
fn begun(asked: &Asked, mut typed: Option<&mut dyn BufRead>, out: &mut dyn Write) -> Result<Begun, Stop> {
    let own = asked.vessel.file_name().and_then(|own| own.to_str()).unwrap_or("Vessel");
    let own = own.chars().take(1).flat_map(char::to_uppercase).chain(own.chars().skip(1)).collect::<String>();
    let name_told = asked.name.as_deref().map(|told| name(told).map_err(|why| said("--name", &why))).transpose()?;
    let name = match (name_told, &mut typed) {
        (Some(name), _) => name,
        (None, Some(typed)) => ask("What is she called?", &own, &mut **typed, out, name)?,
        (None, None) => own,
    };
    let layout = match (asked.layout, &mut typed) {
        (Some(layout), _) => layout,
        (None, Some(typed)) => {
            for (number, layout) in LAYOUTS.iter().enumerate() {
                writeln!(out, "  {}  {} ({})", number + 1, layout.title, layout.name)?;
            }
            ask("Which is most like her?", "1", &mut **typed, out, |word| {
                let number = word.parse::<usize>().ok().and_then(|number| LAYOUTS.get(number.wrapping_sub(1)));
                number.map_or_else(|| self::layout(word), Ok)
            })?
        }
        (None, None) => {
            let cells: Vec<Vec<String>> =
                LAYOUTS.iter().map(|one| vec![format!("--layout {}", one.name), one.title.into()]).collect();
            let layouts = columns(&cells, &[Side::Left, Side::Left], "  ");
            return Err(Stop::BadInput(format!("fault: it is not told which layout to begin with\n{layouts}")));
        }
    };
    let [power, speed, way] = layout.usual;
    let mut value_of = |told: &Option<String>, question: &str, usual: &str, bounds: Bounds| match (told, &mut typed) {
        (Some(told), _) => Ok(told.clone()),
        (None, Some(typed)) => ask(question, usual, &mut **typed, out, |text| value(text, bounds)),
        (None, None) => Ok(usual.to_string()),
    };
    let values = [
        value_of(&asked.power, "Rated power of each engine, from the plate?", power, POWER)?,
        value_of(&asked.speed, "Rated speed?", speed, SPEED)?,
        value_of(&asked.boat_speed, "Her way at rated speed?", way, BOAT_SPEED)?,
    ];
    Ok(Begun { layout, name, values })
}

fn said(of: &str, why: &str) -> Stop {
    Stop::BadInput(format!("{of}: fault: {why}"))
}

/// Asks until the answer can be read; an empty one is the usual.
fn ask<T>(
    question: &str,
    usual: &str,
    typed: &mut dyn BufRead,
    out: &mut dyn Write,
    read: impl Fn(&str) -> Result<T, String>,
) -> Result<T, Stop> {
    loop {
        write!(out, "{question} [{usual}] ")?;
        out.flush()?;
        let mut line = String::new();
        if typed.read_line(&mut line)? == 0 {
            return Err(Stop::BadInput("fault: there was no answer, and nothing was begun".into()));
        }
        let answer = if line.trim().is_empty() { usual } else { line.trim() };
        match read(answer) {
            Ok(value) => return Ok(value),
            Err(why) => writeln!(out, "  That cannot be: {why}.")?,
        }
    }
}

/// A layout with its gaps filled: the name may hold anything, the values were read.
fn filled(text: &str, begun: &Begun) -> String {
    let quoted = begun.name.replace('\\', "\\\\").replace('"', "\\\"");
    let [power, speed, way] = &begun.values;
    // The name last, and in comments as it is: what stands in it is filled no further.
    let text = text.replace("@power@", power).replace("@speed@", speed).replace("@boat-speed@", way);
    text.replace("\"@name@\"", &format!("\"{quoted}\"")).replace("@name@", &begun.name)
}

/// Nothing is begun where a vessel lies already.
fn untouched(folder: &Path) -> Result<(), Stop> {
    if folder.exists() && !folder.is_dir() {
        let what = "this is a file, and a vessel has a folder";
        return Err(Stop::BadInput(format!("{}: fault: {what}\n  Give another name.", folder.display())));
    }
    let there = [VESSEL_FILE, WIRES_FILE].into_iter().map(|file| folder.join(file)).find(|path| path.exists());
    match there {
        Some(path) => {
            let advice = "Take another folder; nothing was changed.";
            Err(Stop::BadInput(format!("{}: fault: it is there already\n  {advice}", path.display())))
        }
        None => Ok(()),
    }
}

/// Writes what a folder begins with; what is there is never written over.
fn write(folder: &Path, begun: &Begun) -> Result<(), Stop> {
    let refused = |path: &Path, error: &io::Error| {
        let why = match error.kind() {
            io::ErrorKind::AlreadyExists => "it is there already".into(),
            io::ErrorKind::PermissionDenied => "it may not be written".into(),
            io::ErrorKind::ReadOnlyFilesystem => "the disk is read-only".into(),
            _ => format!("it cannot be written: {error}"),
        };
        Stop::BadInput(format!("{}: fault: {why}\n  Take another folder.", path.display()))
    };
    std::fs::create_dir_all(folder).map_err(|error| refused(folder, &error))?;
    for (name, text) in [(VESSEL_FILE, begun.layout.text), (WIRES_FILE, WIRES)] {
        let path = folder.join(name);
        let file = OpenOptions::new().write(true).create_new(true).open(&path);
        let written = file.and_then(|mut file| {
            file.write_all(filled(text, begun).as_bytes())?;
            file.sync_all()
        });
        written.map_err(|error| refused(&path, &error))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use plant::finding::Finding;
    use std::io::Cursor;

    fn asked(layout: Option<&'static Layout>, name: Option<&str>) -> Asked {
        let vessel = PathBuf::from("/tmp/periwinkle");
        Asked { vessel, layout, name: name.map(str::to_string), power: None, speed: None, boat_speed: None }
    }

    #[test]
    fn every_layout_reads_back_without_a_fault_and_can_be_worked_out() {
        for layout in &LAYOUTS {
            for name in ["Periwinkle", "A \"quoted\" \\ name @power@"] {
                let begun = begun(&asked(Some(layout), Some(name)), None, &mut Vec::new()).expect("all is told");
                let text = filled(layout.text, &begun);
                let (plant, findings) = plant::reader::read(&text);
                let faults: Vec<&Finding> =
                    findings.iter().filter(|f| f.problem.weight() > plant::finding::Weight::Note).collect();
                assert!(faults.is_empty(), "{}: {faults:#?}", layout.name);
                let plant = plant.expect("it is a plant");
                assert_eq!(plant.name, name);
                let mut model = model::steady::Model::new(&plant).expect("it has a structure");
                let cruise = model::point::told(&plant, &plant::evidence::ToldPoint::default()).0;
                let figures = model.figures.clone();
                assert!(model.solve(&figures, &cruise, None).is_ok(), "{} has no state at cruise", layout.name);
                // What is only commented out must be good once its # is taken off.
                let more = uncommented(&text);
                let (_, findings) = plant::reader::read(&more);
                let faults: Vec<&Finding> = findings.iter().filter(|f| f.is_fatal()).collect();
                assert!(faults.is_empty() && more != text, "{}: {faults:#?}", layout.name);
                let wires = filled(WIRES, &begun);
                let place = |text: &str| text.parse::<crate::feed::Place>();
                assert_eq!(plant::reader::wires::read(&wires, &plant, place).1, []);
            }
        }
    }

    /// With every example taken for true.
    fn uncommented(text: &str) -> String {
        let example = |line: &str| {
            line.strip_prefix("# ")
                .is_some_and(|line| line.contains(" = \"") && line.starts_with(|c: char| c.is_lowercase()))
        };
        let lines = text.lines().map(|line| if example(line) && !line.contains("heard") { &line[2..] } else { line });
        lines.flat_map(|line| [line, "\n"]).collect()
    }

    #[test]
    fn the_examples_of_wires_are_wires() {
        let begun = begun(&asked(Some(&LAYOUTS[0]), None), None, &mut Vec::new()).expect("all is told");
        assert_eq!(begun.name, "Periwinkle");
        let (plant, _) = plant::reader::read(&filled(LAYOUTS[0].text, &begun));
        let examples = WIRES.lines().filter_map(|line| line.strip_prefix("# "));
        let told = |line: &&str| {
            ["[[wire]]", "name =", "from =", "gauges =", "topics ="].iter().any(|key| line.starts_with(key))
        };
        let examples: String = examples.filter(told).flat_map(|line| [line, "\n"]).collect();
        let place = |text: &str| text.parse::<crate::feed::Place>();
        let (wires, findings) = plant::reader::wires::read(&examples, &plant.expect("a plant"), place);
        assert_eq!((wires.len(), findings), (5, Vec::new()), "{examples}");
    }

    #[test]
    fn questions_are_asked_until_they_are_answered() {
        let answers = "Periwinkle II\n7\n4\n\n900 furlongs\n2800 rpm\n6 kn\n";
        let mut out = Vec::new();
        let begun = begun(&asked(None, None), Some(&mut Cursor::new(answers)), &mut out).expect("all is answered");
        assert_eq!((begun.name.as_str(), begun.layout.name), ("Periwinkle II", "sailing"));
        assert_eq!(begun.values, ["22 kW", "2800 rpm", "6 kn"]);
        let said = String::from_utf8(out).expect("text");
        assert_eq!(said.matches("That cannot be").count(), 2, "{said}");
        let unanswered = super::begun(&asked(None, None), Some(&mut Cursor::new("x\n")), &mut Vec::new());
        assert!(unanswered.is_err());
        assert!(
            super::begun(&asked(None, None), None, &mut Vec::new())
                .is_err_and(|s| s.to_string().contains("keel-cooled"))
        );
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for (text, bounds) in
            [("60", POWER), ("60 rpm", POWER), ("0 kW", POWER), ("1e9 kW", POWER), ("8 kn", SPEED), ("", BOAT_SPEED)]
        {
            assert!(value(text, bounds).is_err(), "{text}");
        }
        assert!(name(" ").is_err() && name("a\nb").is_err() && name(&"a".repeat(61)).is_err());
    }
}
