//! `[kind.*]`: kinds that the owner describes, for what no kind of the catalogue covers.
//!
//! A kind is its ways through, what each does to what flows in it, the ways it fails and the checks on it. Everything else
//! about it (words, parameters, symbol) follows, and a part of it is a part like any other.

use super::draft::Draft;
use super::{figures, filling};
use super::{own_checks, own_fails};
use crate::finding::{Finding, Problem};
use crate::names;
use crate::told::Entry;
use measure::figure::Spread;
use parts::kind::Circuit;
use parts::laws::PASSAGES;
use parts::own_kind::{Of, Opening, Outside, OwnFigure, OwnKind, OwnWay};

/// Most kinds that one file describes: far beyond any vessel, and each lives as long as the program.
const MOST_KINDS: usize = 50;

const KIND: &[&str] = &["title", "circuit", "passage", "fails", "checks", "note"];
const PASSAGE: &[&str] =
    &["carries", "from", "to", "does", "rated", "flow", "drop", "heat", "conductance", "heat-to", "note"];

/// Reads a section of kinds.
pub(super) fn kinds(draft: &mut Draft, section: &Entry) {
    for entry in section.table(&mut draft.findings) {
        if draft.kinds.len() >= MOST_KINDS {
            let problem = Problem::TooMany { what: "kinds", limit: MOST_KINDS };
            draft.findings.push(Finding::at(problem, entry.key_place.clone()));
            return;
        }
        if let Some(own) = kind(draft, &entry) {
            draft.kinds.push(own.kind());
        }
    }
}

/// A finding that something about a kind cannot be, at this place.
pub(super) fn unfit(entry: &Entry, what: String, advice: &'static str) -> Finding {
    Finding::at(Problem::Unfit { what, advice }, entry.place.clone())
}

/// The entry of this key.
pub(super) fn find<'e, 'a>(told: &'e [Entry<'a>], key: &str) -> Option<&'e Entry<'a>> {
    told.iter().find(|entry| entry.key == key)
}

/// Keys that are none of `known`.
pub(super) fn strangers(told: &[Entry], of: &str, known: &[&str], findings: &mut Vec<Finding>) {
    let strangers = told.iter().filter(|entry| !known.contains(&entry.key.as_str()));
    findings.extend(strangers.map(|entry| entry.unknown(of, known)));
}

fn kind(draft: &mut Draft, entry: &Entry) -> Option<OwnKind> {
    let name = entry.key.clone();
    let mut findings = Vec::new();
    let told = entry.table(&mut findings);
    let there = names::kind_among(&draft.kinds, &name).is_ok_and(|kind| names::folded(kind.name) == name);
    let known_word = parts::catalogue::KINDS.iter().any(|kind| kind.called.contains(&name.as_str()));
    if there || known_word || name.is_empty() {
        let what = format!("`{name}` is a kind already, or another word for one");
        let problem = Problem::Unfit { what, advice: "Give yours a name of its own." };
        findings.push(Finding::at(problem, entry.key_place.clone()));
        draft.findings.extend(findings);
        return None;
    }
    strangers(&told, &format!("`[kind.{name}]`"), KIND, &mut findings);
    let mut ways: Vec<(OwnWay, Option<(Entry, OwnFigure)>)> = Vec::new();
    for passage in find(&told, "passage").map(|entry| entry.table(&mut findings)).unwrap_or_default() {
        if ways.len() >= PASSAGES {
            findings.push(unfit(&passage, format!("`{name}` has more than {PASSAGES} passages"), "Make it two kinds."));
            break;
        }
        ways.push(way(draft, &passage, &mut findings));
    }
    let ways = joined(ways, &mut findings);
    let title = text(&told, "title", &mut findings).unwrap_or_else(|| spaced(&name));
    let circuit = find(&told, "circuit").and_then(|entry| circuit(entry, &mut findings));
    let first = ways.first().and_then(|way| way.carries.first()).copied();
    if find(&told, "circuit").is_none() && first.is_none() {
        let problem = Problem::MissingKey { key: "circuit", of: format!("`[kind.{name}]`"), example: "\"raw-water\"" };
        findings.push(Finding::at(problem, entry.key_place.clone()));
    }
    let circuit = circuit.or(first).unwrap_or(Circuit::RawWater);
    let mut own = OwnKind { name, title, circuit, ways, causes: Vec::new(), checks: Vec::new() };
    own_fails::fails(&mut own, &told, &draft.kinds, &mut findings);
    own_checks::checks(&mut own, &told, &mut findings);
    draft.findings.extend(findings);
    Some(own)
}

/// "wine-cooler" as "Wine cooler".
fn spaced(name: &str) -> String {
    let mut letters = name.replace('-', " ").chars().collect::<Vec<char>>().into_iter();
    let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
    first + &letters.collect::<String>()
}

/// The text of a key, if it is there.
pub(super) fn text(told: &[Entry], key: &str, findings: &mut Vec<Finding>) -> Option<String> {
    let text = find(told, key)?.text(findings)?.trim();
    (!text.is_empty()).then(|| text.to_string())
}

/// A circuit by its name, one that an owner's part may have to do with.
fn circuit(entry: &Entry, findings: &mut Vec<Finding>) -> Option<Circuit> {
    let found = names::circuit_called(entry.text(findings)?);
    let named =
        || Circuit::ALL.into_iter().find(|c| entry.value.as_str().is_some_and(|t| names::folded(t) == c.name()));
    match found {
        Ok(Circuit::Gauges) => {
            let advice = "Describe it as [gauge.…], or count its trouble under another circuit.";
            findings.push(unfit(entry, "a kind of the owner's own cannot be a gauge".into(), advice));
            None
        }
        Ok(found) => Some(found),
        Err(problem) => named().filter(|circuit| *circuit != Circuit::Gauges).or_else(|| {
            findings.push(Finding::at(problem, entry.place.clone()));
            None
        }),
    }
}

/// One way through, and where its heat goes if that is another way.
fn way<'a>(draft: &Draft, entry: &Entry<'a>, findings: &mut Vec<Finding>) -> (OwnWay, Option<(Entry<'a>, OwnFigure)>) {
    let name = entry.key.clone();
    let of = format!("passage `{name}`");
    let told = entry.table(findings);
    strangers(&told, &of, PASSAGE, findings);
    let missing =
        |key, example| Finding::at(Problem::MissingKey { key, of: of.clone(), example }, entry.key_place.clone());
    let listed = find(&told, "carries");
    if listed.is_none() {
        findings.push(missing("carries", "\"raw-water\""));
    }
    let mut carries = Vec::new();
    for (word, place) in listed.map(|listed| listed.list(findings)).unwrap_or_default() {
        match names::circuit_called(word) {
            Ok(circuit) if !(circuit.letters().is_empty() || circuit.is_electric()) => carries.push(circuit),
            Ok(_) => {
                let what = format!("nothing flows in `{word}`");
                let advice = "Name a circuit of water, oil, gas or fuel.";
                findings.push(Finding::at(Problem::Unfit { what, advice }, place));
            }
            Err(problem) => findings.push(Finding::at(problem, place)),
        }
    }
    let first = carries.first().copied().unwrap_or(Circuit::RawWater);
    let rated = find(&told, "rated").map(|rated| rated.table(findings)).unwrap_or_default();
    strangers(&rated, "`rated`", &["flow", "drop"], findings);
    let carried = filling::usual(draft, first);
    let mut figure = |key: &str, which: Of| {
        let entry = find(&told, key).or_else(|| find(&rated, key))?;
        let read = figures::figure(entry, &which.parameter(""), &carried, &name, findings)?;
        Some(OwnFigure { value: read.value, spread: read.spread })
    };
    let (flow, drop) = (figure("flow", Of::Flow), figure("drop", Of::Drop));
    let (heat, conductance) = (figure("heat", Of::Heat), figure("conductance", Of::Conductance));
    for (key, example, there) in [
        ("flow", "\"20 L/min\"", find(&told, "flow").or_else(|| find(&rated, "flow"))),
        ("drop", "\"5 kPa\"", find(&told, "drop").or_else(|| find(&rated, "drop"))),
    ] {
        if there.is_none() {
            findings.push(missing(key, example));
        }
    }
    let (from, to) = (opening(&told, "from", "in", findings), opening(&told, "to", "out", findings));
    let ported = |end: &Opening| matches!(end, Opening::Port(_));
    if from == to || !(ported(&from) || ported(&to)) {
        let advice = "Write two ports, or one port and \"sea\" or \"air\".";
        findings.push(unfit(entry, format!("{of} does not lead from one place to another"), advice));
    }
    let to_other = find(&told, "heat-to").cloned();
    let outside = to_other.as_ref().and_then(|entry| entry.text(findings)).map(names::folded);
    let (mut own, mut other) = (None, None);
    match (conductance, outside.as_deref()) {
        (Some(figure), Some("air" | "room" | "space")) => own = Some((figure, Outside::Room)),
        (Some(figure), Some("sea")) => own = Some((figure, Outside::Sea)),
        (Some(figure), Some(_)) => other = to_other.map(|entry| (entry, figure)),
        (Some(_), None) => findings.push(missing("heat-to", "\"air\"")),
        (None, Some(_)) if find(&told, "conductance").is_none() => findings.push(missing("conductance", "\"50 W/K\"")),
        (None, _) => {}
    }
    let does = text(&told, "does", findings).unwrap_or_else(|| "passes".into());
    // A file with findings is not used, but read on to its end.
    let none = OwnFigure { value: 1e3, spread: Spread::Exact };
    let (flow, drop) = (flow.unwrap_or(none), drop.unwrap_or(none));
    let way = OwnWay { name, carries, from, to, does, flow, drop, heat, conductance: own };
    (way, other)
}

fn opening(told: &[Entry], key: &str, usual: &str, findings: &mut Vec<Finding>) -> Opening {
    let word = text(told, key, findings).map(|word| names::folded(&word));
    match word.as_deref() {
        Some("sea") => Opening::Sea,
        Some("air") => Opening::Air,
        Some(port) => Opening::Port(port.replace('-', "_")),
        None => Opening::Port(usual.to_string()),
    }
}

/// Ways with the heat that goes between them. Ports that nothing named are each way's own.
fn joined(ways: Vec<(OwnWay, Option<(Entry, OwnFigure)>)>, findings: &mut Vec<Finding>) -> Vec<OwnWay> {
    let all: Vec<String> = ways.iter().map(|(way, _)| way.name.clone()).collect();
    let mut done: Vec<OwnWay> = Vec::new();
    for (k, (mut way, to)) in ways.into_iter().enumerate() {
        if let Some((entry, figure)) = to {
            let word = names::folded(entry.value.as_str().unwrap_or_default());
            match all.iter().position(|name| *name == word) {
                Some(j) if j != k => {
                    let back =
                        done.get(j).and_then(|other| other.conductance).is_some_and(|(_, to)| to == Outside::Way(k));
                    if back {
                        let what = format!("the heat between `{word}` and `{}` is told twice", way.name);
                        findings.push(unfit(&entry, what, "Tell it of one of the two."));
                    }
                    way.conductance = Some((figure, Outside::Way(j)));
                }
                _ => {
                    let known: Vec<String> = ["air", "sea"]
                        .into_iter()
                        .map(String::from)
                        .chain(all.iter().filter(|n| **n != way.name).cloned())
                        .collect();
                    let nearest = measure::nearest::nearest(&word, known.iter().map(String::as_str)).map(String::from);
                    let problem = Problem::UnknownChoice { key: "heat-to".into(), word, nearest, known };
                    findings.push(Finding::at(problem, entry.place.clone()));
                }
            }
        }
        if all.len() > 1 {
            for (end, usual) in [(&mut way.from, "in"), (&mut way.to, "out")] {
                if *end == Opening::Port(usual.into()) {
                    *end = Opening::Port(format!("{}_{usual}", way.name.replace('-', "_")));
                }
            }
        }
        done.push(way);
    }
    done
}
