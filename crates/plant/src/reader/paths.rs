//! Paths: which part follows which in a circuit, and by which way through it.

use super::draft::{Draft, DraftPart, Step};
use crate::finding::{Finding, Problem};
use crate::names;
use crate::told::Entry;
use crate::told::tables;
use parts::kind::{Circuit, Kind};
use std::ops::Range;

/// `[circuit]`: a list for each circuit, or a table with `path`, `paths` and what it is filled with.
pub(crate) fn circuits<'a>(draft: &mut Draft<'a>, section: &Entry<'a>) {
    for entry in section.table(&mut draft.findings) {
        // "raw-water-port", where one of several engines is called port.
        let engine = draft.engine_by_tail(&entry.key);
        draft.serving = engine.unwrap_or(0);
        let word = engine.map_or(entry.key.as_str(), |engine| {
            entry
                .key
                .strip_suffix(draft.engines[engine].as_str())
                .map_or(&*entry.key, |head| head.trim_end_matches('-'))
        });
        let circuit = match names::circuit_called(word) {
            Ok(circuit) => circuit,
            Err(problem) => {
                draft.findings.push(Finding::at(problem, entry.key_place.clone()));
                continue;
            }
        };
        if entry.value.as_table_like().is_some() {
            let told = entry.table(&mut draft.findings);
            for key in &told {
                match key.key.as_str() {
                    "path" => trunk(draft, circuit, key),
                    "paths" => branches(draft, circuit, key),
                    _ => {}
                }
            }
            // What it is filled with says nothing of the way it takes.
            draft.circuit(circuit).described |= told.iter().any(|key| matches!(key.key.as_str(), "path" | "paths"));
            draft.circuit(circuit).told = told;
        } else {
            trunk(draft, circuit, &entry);
            draft.circuit(circuit).described = true;
        }
    }
    draft.serving = 0;
}

fn trunk(draft: &mut Draft, circuit: Circuit, entry: &Entry) {
    let names = entry.list(&mut draft.findings);
    let steps = steps(draft, circuit, &names);
    let both = std::mem::take(&mut draft.circuit(circuit).trunk);
    draft.circuit(circuit).trunk = steps;
    // A trunk told before, in another spelling of the circuit's name, is kept as a branch.
    if !both.is_empty() {
        draft.circuit(circuit).branches.push(both);
    }
}

fn branches<'a>(draft: &mut Draft<'a>, circuit: Circuit, entry: &Entry<'a>) {
    let Some(array) = entry.value.as_array() else {
        draft.findings.push(entry.wrong("a list of lists of names"));
        return;
    };
    for (index, value) in array.iter().enumerate() {
        let place = value.span().unwrap_or_else(|| entry.place.clone());
        let Some(list) = value.as_array() else {
            let wrong = entry.wrong("a list of lists of names");
            draft.findings.push(Finding { places: vec![(place, String::new())], ..wrong });
            continue;
        };
        let named =
            |item: &'a toml_edit::Value| item.as_str().map(|text| (text, item.span().unwrap_or_else(|| place.clone())));
        let names: Vec<_> = list.iter().filter_map(named).collect();
        if names.len() < list.len() {
            let wrong = entry.wrong("a list of lists of names");
            draft.findings.push(Finding { places: vec![(place.clone(), String::new())], ..wrong });
        }
        let steps = steps(draft, circuit, &names);
        let paths = draft.circuit(circuit);
        if index == 0 && paths.trunk.is_empty() {
            paths.trunk = steps;
        } else {
            paths.branches.push(steps);
        }
    }
}

/// The steps of a path; names that mean nothing are findings and are left out.
fn steps(draft: &mut Draft, circuit: Circuit, names: &[(&str, Range<usize>)]) -> Vec<Step> {
    let has_flow =
        parts::catalogue::KINDS.iter().any(|kind| kind.passages.iter().any(|p| p.carries.contains(&circuit)));
    let mut steps: Vec<Step> = Vec::new();
    for (index, (text, place)) in names.iter().enumerate() {
        let (name, way) = text.split_once('.').map_or((*text, None), |(name, way)| (name, Some(way)));
        let Some(part) = part_in_path(draft, name, place) else { continue };
        if !has_flow {
            continue;
        }
        let passage = match passage_of(draft.parts[part].kind, circuit, way, &draft.parts[part].name) {
            Ok(passage) => passage,
            Err(problem) => {
                draft.findings.push(Finding::at(problem, place.clone()));
                continue;
            }
        };
        let step = Step { part, passage, place: place.clone() };
        draft.placed_here(part);
        match steps.iter().position(|other| other.same(&step)) {
            // A ring written out to its beginning.
            Some(0) if circuit.is_closed() && index + 1 == names.len() => {}
            Some(other) => {
                let problem =
                    Problem::PathMeetsItself { part: draft.parts[part].name.clone(), circuit: circuit.name().into() };
                let first = steps[other].place.clone();
                draft.findings.push(Finding::at(problem, place.clone()).and(first, "the first is here"));
            }
            None => steps.push(step),
        }
    }
    steps
}

/// The part that a word in a path means; a kind's word that names no part yet makes one.
fn part_in_path(draft: &mut Draft, word: &str, place: &Range<usize>) -> Option<usize> {
    let mut name = names::folded(word);
    if let Some(index) =
        draft.parts.iter().position(|part| part.name == name && (part.declared || draft.engines.len() < 2))
    {
        return Some(index);
    }
    let kind = match names::kind_among(&draft.kinds, &name) {
        Ok(kind) => kind,
        Err(Problem::UnknownKind { .. }) => {
            let known = draft.parts.iter().map(|part| part.name.as_str());
            let known = known.chain(draft.kinds.iter().chain(parts::catalogue::KINDS).map(|kind| kind.name));
            let nearest = measure::nearest::nearest(&name, known).map(str::to_string);
            draft.findings.push(Finding::at(Problem::UnknownPart { name, nearest }, place.clone()));
            return None;
        }
        Err(problem) => {
            draft.findings.push(Finding::at(problem, place.clone()));
            return None;
        }
    };
    if names::is_engine(kind) && draft.engine_index().is_some() {
        return draft.engine_index();
    }
    // A bare word is each engine's own part where there are several.
    if draft.engines.len() > 1 && draft.engine_by_tail(&name).is_none() {
        name = format!("{name}-{}", draft.engines[draft.serving]);
    }
    if let Some(index) = draft.parts.iter().position(|part| part.name == name) {
        return Some(index);
    }
    let here = |(part, it): &(usize, &DraftPart)| it.declared && it.kind.name == kind.name && draft.serves_here(*part);
    let mut declared = draft.parts.iter().enumerate().filter(here);
    if let (Some((index, _)), None) = (declared.next(), declared.next())
        && names::folded(word) == kind.name
    {
        return Some(index);
    }
    if draft.is_full(place) {
        return None;
    }
    if names::is_engine(kind) {
        draft.engines.push(name.clone());
    }
    let serves = Some(draft.serving);
    let told = Vec::new();
    draft.parts.push(DraftPart { name, kind, told, place: place.clone(), assumed: false, declared: false, serves });
    Some(draft.parts.len() - 1)
}

/// The way through a kind that carries a circuit: the one named, else the only one; of several that begin at the
/// same port the first, which is the main one; a pool only if there is no other.
pub(crate) fn passage_of(kind: &Kind, circuit: Circuit, way: Option<&str>, part: &str) -> Result<usize, Problem> {
    let carried = |k: &usize| kind.passages[*k].carries.contains(&circuit);
    let all: Vec<usize> = (0..kind.passages.len()).filter(carried).collect();
    let through: Vec<usize> = all.iter().copied().filter(|k| !kind.passages[*k].is_pool()).collect();
    let passages = || kind.passages.iter().map(|p| p.name.to_string()).collect();
    let none = || Problem::NoPassage { part: part.into(), circuit: circuit.name().into(), passages: passages() };
    if let Some(way) = way {
        let way = names::folded(way);
        return all.into_iter().find(|k| names::folded(kind.passages[*k].name) == way).ok_or_else(none);
    }
    match (through.as_slice(), all.as_slice()) {
        ([], []) => Err(none()),
        ([first, rest @ ..], _) | ([], [first, rest @ ..]) => {
            let main = rest.iter().all(|k| kind.passages[*k].from == kind.passages[*first].from);
            let names = || through.iter().map(|k| kind.passages[*k].name.to_string()).collect();
            main.then_some(*first).ok_or_else(|| Problem::AmbiguousPassage {
                part: part.into(),
                circuit: circuit.name().into(),
                passages: names(),
            })
        }
    }
}

/// `[[pipe]]`: a hose or pipe between two neighbours of a path.
pub(crate) fn pipes<'a>(draft: &mut Draft<'a>, section: &Entry<'a>) {
    for (told, place) in tables(section, &mut draft.findings) {
        let Some(path) = told.iter().find(|entry| entry.key == "path") else {
            let problem =
                Problem::MissingKey { key: "path", of: "a pipe".into(), example: "[\"strainer\", \"raw-pump\"]" };
            draft.findings.push(Finding::at(problem, place));
            continue;
        };
        let names = path.list(&mut draft.findings);
        let [(first, _), (second, _)] = names.as_slice() else {
            draft.findings.push(path.wrong("a list of two names"));
            continue;
        };
        let (Some(from), Some(to)) = (existing(draft, first, path), existing(draft, second, path)) else { continue };
        let Some((engine, circuit, branch, at)) = between(draft, from, to) else {
            let problem = Problem::NotNeighbours { first: names::folded(first), second: names::folded(second) };
            draft.findings.push(Finding::at(problem, path.place.clone()));
            continue;
        };
        // The plain hose carries liquids; hot gas has a kind of its own.
        let mut kinds = ["hose", "exhaust-hose"].iter().filter_map(|name| parts::catalogue::find(name));
        let Some((kind, passage)) =
            kinds.find_map(|kind| passage_of(kind, circuit, None, kind.name).ok().map(|passage| (kind, passage)))
        else {
            continue;
        };
        if draft.is_full(&place) {
            continue;
        }
        let named = told.iter().find(|entry| entry.key == "name").and_then(|entry| entry.text(&mut draft.findings));
        let name = named.map_or_else(
            || format!("{}-{}-to-{}", kind.name, names::folded(first), names::folded(second)),
            names::folded,
        );
        let name = draft.free_name(&name);
        let told = told.iter().filter(|entry| entry.key != "path" && entry.key != "name").cloned().collect();
        let serves = Some(engine);
        draft.parts.push(DraftPart { name, kind, told, place: place.clone(), assumed: false, declared: true, serves });
        let step = Step { part: draft.parts.len() - 1, passage, place };
        let paths = draft.circuits.entry((engine, circuit)).or_default();
        match branch {
            None => paths.trunk.insert(at, step),
            Some(index) => paths.branches[index].insert(at, step),
        }
    }
}

fn existing(draft: &mut Draft, word: &str, path: &Entry) -> Option<usize> {
    let name = names::folded(word.split_once('.').map_or(word, |(name, _)| name));
    let by_name = draft.parts.iter().position(|part| part.name == name);
    let engine =
        || names::kind_among(&draft.kinds, &name).ok().filter(|kind| names::is_engine(kind)).and(draft.engine_index());
    let found = by_name.or_else(engine);
    if found.is_none() {
        let nearest = measure::nearest::nearest(&name, draft.parts.iter().map(|part| part.name.as_str()));
        let problem = Problem::UnknownPart { nearest: nearest.map(str::to_string), name };
        draft.findings.push(Finding::at(problem, path.place.clone()));
    }
    found
}

/// Engine, circuit, branch (none: the trunk) and place in it where `to` follows `from`, pipes in between not counted.
fn between(draft: &Draft, from: usize, to: usize) -> Option<(usize, Circuit, Option<usize>, usize)> {
    for ((engine, circuit), paths) in &draft.circuits {
        let all =
            std::iter::once((None, &paths.trunk)).chain(paths.branches.iter().enumerate().map(|(k, b)| (Some(k), b)));
        for (branch, path) in all {
            let follows = path.windows(2).position(|pair| pair[0].part == from && pair[1].part == to);
            let closes = branch.is_none()
                && circuit.is_closed()
                && path.last().is_some_and(|last| last.part == from)
                && path.first().is_some_and(|first| first.part == to);
            if let Some(at) = follows.map(|at| at + 1).or_else(|| closes.then_some(path.len())) {
                return Some((*engine, *circuit, branch, at));
            }
        }
    }
    None
}
