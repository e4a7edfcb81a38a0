//! Other people's recordings, read by other decoders too: what they read of a line must be what we read of it.
//!
//! The recordings are not part of the project. `BEDPLATE_RECORDINGS` names the folder that holds them in `bus/`, each
//! `X.log` beside its `X.expected.jsonl`; where it is not set this says so and passes.
//!
//! Where we differ, it is for what the standards say, and only so: see [`argued`].

mod common;

use bus::decoder::Decoder;
use bus::heard::{Absent, Fault, Reading};
use common::{Gathered, Read, kebab, si};
use serde_json::Value;
use std::path::PathBuf;

fn folder() -> Option<PathBuf> {
    let folder = std::env::var_os("BEDPLATE_RECORDINGS").map(|folder| PathBuf::from(folder).join("bus"));
    if folder.is_none() {
        eprintln!("BEDPLATE_RECORDINGS is not set: the recordings of others are not compared");
    }
    folder
}

/// Every recording with what is expected of it.
fn recordings(folder: &PathBuf) -> Vec<(String, Vec<u8>, Vec<Value>)> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .expect("the folder of recordings can be read")
        .filter_map(|entry| entry.ok()?.file_name().to_str()?.strip_suffix(".expected.jsonl").map(str::to_string))
        .collect();
    names.sort();
    names
        .into_iter()
        .map(|name| {
            let log = std::fs::read(folder.join(format!("{name}.log"))).expect("each has its recording");
            let text = std::fs::read_to_string(folder.join(format!("{name}.expected.jsonl"))).expect("it is text");
            let rows = text.lines().map(|line| serde_json::from_str(line).expect("each line is JSON")).collect();
            (name, log, rows)
        })
        .collect()
}

fn gathered(log: &[u8]) -> Gathered {
    let (mut decoder, mut gathered) = (Decoder::new(), Gathered::default());
    // Cut where no line ends, as a wire does.
    for chunk in log.chunks(777) {
        decoder.bytes(chunk, &mut gathered);
    }
    decoder.end(&mut gathered);
    gathered
}

#[test]
fn what_others_read_is_what_we_read() {
    let Some(folder) = folder() else { return };
    let recordings = recordings(&folder);
    assert!(recordings.len() >= 10, "{} recordings in {}", recordings.len(), folder.display());
    for (name, log, rows) in recordings {
        let gathered = gathered(&log);
        let mut wrong = Vec::new();
        let mut argued_for = 0;
        for row in &rows {
            match compared(&gathered, row) {
                Compared::Same => {}
                Compared::Argued => argued_for += 1,
                Compared::Other(ours) => wrong.push(format!("{row}\n    ours: {ours}")),
            }
        }
        eprintln!("{name}: {} values compared, {argued_for} argued", rows.len());
        assert!(
            wrong.is_empty(),
            "{name}: {} of {} differ:\n{}",
            wrong.len(),
            rows.len(),
            wrong[..wrong.len().min(12)].join("\n")
        );
    }
}

enum Compared {
    Same,
    Argued,
    Other(String),
}

fn compared(gathered: &Gathered, row: &Value) -> Compared {
    if row["sentence"].is_string() { of_sentence(gathered, row) } else { of_message(gathered, row) }
}

fn of_message(gathered: &Gathered, row: &Value) -> Compared {
    let (line, field) = (row["line"].as_u64().unwrap_or(0), kebab(row["field"].as_str().unwrap_or("")));
    let what = row["pgn"].to_string();
    let found: Vec<&Read> = gathered.of(line).filter(|read| read.what == what).collect();
    if let Some(code) = field.strip_prefix("dtc") {
        return trouble(&found, code, &row["value"]);
    }
    let Some(ours) = found.iter().find(|read| read.field == field) else {
        return Compared::Other(format!("no such field of {} read", found.len()));
    };
    let source = row["src"].to_string();
    let instance = row["inst"].as_u64();
    if ours.sender != source || instance.is_some() && ours.instance.map(u64::from) != instance {
        return Compared::Other(format!("{ours:?}"));
    }
    let unit = row["unit"].as_str().unwrap_or("");
    let same = match (&row["value"], ours.reading) {
        (Value::Null, Reading::Absent(_)) => true,
        (Value::Number(theirs), Reading::Choice(choice)) => theirs.as_f64() == Some(f64::from(choice)),
        (Value::Number(theirs), Reading::Value(ours)) => near(theirs.as_f64().unwrap_or(f64::NAN), ours, unit),
        _ => false,
    };
    match same {
        true => Compared::Same,
        false if argued(row, ours) => Compared::Argued,
        false => Compared::Other(format!("{ours:?}")),
    }
}

/// Where the references are wrong by the standard: a signed field filled with ones (0xFF, 0xFFFF) for "not known", whose
/// value cannot be negative. They read -1 % of load or torque, and -0.1 L/h of fuel.
fn argued(row: &Value, ours: &Read) -> bool {
    let never_negative = ["engineLoad", "engineTorque", "fuelRate"];
    row["pgn"] == 127489
        && never_negative.iter().any(|field| row["field"] == *field)
        && matches!(row["value"].as_f64(), Some(value) if value == -1.0 || value == -0.1)
        && ours.reading == Reading::Absent(Absent::NotAvailable)
}

/// The same to half of the sixth decimal, to which the references round.
fn near(theirs: f64, ours: f64, unit: &str) -> bool {
    let (factor, offset) = si(unit);
    let ours = (ours - offset) / factor;
    (theirs - ours).abs() <= 6e-7 + theirs.abs() * 1e-9
}

fn trouble(found: &[&Read], code: &str, theirs: &Value) -> Compared {
    let ours = match code {
        "-count" => found.iter().find(|read| read.field == "code-count"),
        _ => found
            .iter()
            .find(|read| read.field == "code" && read.kind.map(|kind| (kind - 1).to_string()).as_deref() == Some(code)),
    };
    let Some(ours) = ours else { return Compared::Other("no such code".into()) };
    let same = match ours.reading {
        Reading::Value(count) => theirs.as_f64() == Some(count),
        Reading::Trouble(trouble) => {
            theirs["spn"] == trouble.spn
                && theirs["fmi"] == trouble.fmi
                && theirs["oc"] == trouble.occurrences.unwrap_or(127)
                && (theirs["cm"] == 1) == trouble.old_layout
        }
        _ => false,
    };
    if same { Compared::Same } else { Compared::Other(format!("{ours:?}")) }
}

fn of_sentence(gathered: &Gathered, row: &Value) -> Compared {
    let text = |key: &str| row[key].as_str().unwrap_or("").to_string();
    let (line, sentence, name) = (row["line"].as_u64().unwrap_or(0), text("sentence"), text("field"));
    // A maker's own sentence has no layout in any standard: it is counted, with its line.
    if sentence.starts_with("PSXN") {
        let counted =
            gathered.faults.iter().any(|&(at, fault)| at == line && matches!(fault, Fault::UnknownSentence { .. }));
        return if counted { Compared::Argued } else { Compared::Other("neither read nor counted".into()) };
    }
    let found: Vec<&Read> = gathered.of(line).filter(|read| read.what == sentence).collect();
    if found.iter().any(|read| read.sender != text("talker")) {
        return Compared::Other("another talker".into());
    }
    if sentence == "XDR" {
        return transducer(&found, row);
    }
    let value = &row["value"];
    match common::sentence_field(&sentence, &name) {
        // A letter that only names the unit, or the sense, of the number before it: the decoder takes both together, and a
        // wrong one is a fault of that field, so that what was read proves the letter.
        common::Theirs::Letter(letters) => match value.as_str() {
            None => Compared::Same,
            Some(letter) if letters.contains(letter) => Compared::Same,
            Some(letter) => Compared::Other(format!("letter {letter}, one of {letters} expected")),
        },
        common::Theirs::Sign { of, minus } => {
            let ours = found.iter().find(|read| read.field == of).map(|read| read.reading);
            match (value.as_str(), ours) {
                (None | Some("E"), Some(Reading::Absent(_))) => Compared::Same,
                (Some(letter), Some(Reading::Value(ours))) if ours == 0.0 || (ours < 0.0) == (letter == minus) => {
                    Compared::Same
                }
                _ => Compared::Other(format!("{ours:?}")),
            }
        }
        common::Theirs::Field { name, unit, unsigned } => {
            let Some(ours) = found.iter().find(|read| read.field == name) else {
                return Compared::Other(format!("no field {name} of {found:?}"));
            };
            let same = match (value, ours.reading) {
                (Value::Null, Reading::Absent(Absent::NotAvailable | Absent::NotSent)) => true,
                (Value::Number(_) | Value::String(_), Reading::Value(ours)) => common::number(value, unit)
                    .is_some_and(|theirs| near(theirs, if unsigned { ours.abs() } else { ours }, unit)),
                (Value::String(letter), Reading::Letter(ours)) => *letter == ours.to_string(),
                _ => false,
            };
            if same { Compared::Same } else { Compared::Other(format!("{ours:?}")) }
        }
    }
}

fn transducer(found: &[&Read], row: &Value) -> Compared {
    let name = row["field"].as_str().unwrap_or("");
    let whole = |read: &&&Read| match read.instance {
        Some(number) => format!("{}#{number}", read.field) == name,
        None => read.field == name,
    };
    let Some(ours) = found.iter().find(whole) else { return Compared::Other(format!("none of {found:?}")) };
    let kind = ours.kind.and_then(char::from_u32).map(String::from);
    let unit = match (row["type"].as_str(), row["unit"].as_str()) {
        (Some("P"), Some("P")) => "Pa",
        (Some("P"), Some("B")) => "bar",
        (Some("C"), Some("C")) => "degC",
        (Some("A"), Some("D")) => "deg",
        (Some("R"), Some("l")) => "L/s",
        (Some("U"), Some("V")) => "V",
        (Some("G"), Some("")) => "",
        other => return Compared::Other(format!("no such transducer met before: {other:?}")),
    };
    let same = match (&row["value"], ours.reading) {
        (Value::Null, Reading::Absent(Absent::NotAvailable)) => true,
        (Value::Number(theirs), Reading::Value(ours)) => near(theirs.as_f64().unwrap_or(f64::NAN), ours, unit),
        _ => false,
    };
    if same && kind.as_deref() == row["type"].as_str() { Compared::Same } else { Compared::Other(format!("{ours:?}")) }
}

#[test]
fn no_line_of_a_recording_is_passed_over_in_silence() {
    let Some(folder) = folder() else { return };
    for (name, log, _) in recordings(&folder) {
        let gathered = gathered(&log);
        let lines = log.split(|&byte| byte == b'\n').filter(|line| !line.trim_ascii().is_empty()).count();
        let spoken: std::collections::BTreeSet<u64> =
            gathered.reads.iter().map(|read| read.line).chain(gathered.faults.iter().map(|(line, _)| *line)).collect();
        let mut sorts = std::collections::BTreeMap::new();
        for (_, fault) in &gathered.faults {
            *sorts.entry(Fault::NAMES[fault.sort()]).or_insert(0) += 1;
        }
        eprintln!("{name}: {lines} lines, {} speak, {sorts:?}", spoken.len());
        // Frames in the midst of a longer message speak with its last line; nothing else may be silent.
        let (candump, gateway) = (name.contains("candump"), name.contains("gatewaytext"));
        assert!(candump || gateway || spoken.len() == lines, "{name}: {} of {lines} lines speak", spoken.len());
        let unreadable = gathered.faults.iter().filter(|(_, fault)| fault.sort() <= 5 && fault.sort() != 3);
        assert_eq!(unreadable.collect::<Vec<_>>(), Vec::<&(u64, Fault)>::new(), "{name}");
    }
}
