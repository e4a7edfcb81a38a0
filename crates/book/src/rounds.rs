//! The round sheet: a fixed walk, what each gauge should read at four loads, room to write, what to look and listen for.

use crate::document::{Block, Chapter, Document, Span, Table};
use crate::facts::Facts;
use crate::kinds::Stop;
use crate::make::{document, say, strong, text};
use crate::whereabouts;
use crate::words::{self, name, sentence};
use parts::kind::Circuit;
use plant::names::is_engine;
use plant::plant::{GaugeId, PartId, Plant, Tap, Terminal};
use std::fmt::Write as _;

/// Columns to write in.
const ROUNDS: usize = 4;
/// Height of a row that is written in [mm].
const ROW: f64 = 9.0;

/// The sheet for one watch.
pub fn sheet(facts: &Facts) -> Document {
    let chapters = vec![Chapter {
        title: String::new(),
        anchor: "round".into(),
        new_sheet: false,
        blocks: vec![say(how(facts)), Block::Table(whole(facts)), Block::Lines { text: "Remarks".into(), count: 3 }],
    }];
    let subtitle = "Walk it always the same way. Read, write, look, listen, feel, smell; then go on.";
    Document { landscape: true, ..document(facts, "Round sheet", subtitle, chapters) }
}

/// How it is used, and what the bands stand for.
fn how(facts: &Facts) -> String {
    let loads: Vec<String> = facts
        .normals
        .iter()
        .map(|normal| format!("{} is {}", normal.name, normal.words.trim_start_matches("at ")))
        .collect();
    let mut said = format!(
        "The bands are what 95 of 100 sound engine rooms like this one would read, once she has settled: {}. A reading \
         outside its band, or one that has moved since the last round at the same speed, is told to whoever is in charge.",
        words::list(&loads)
    );
    let not: Vec<String> = facts.normals.iter().filter(|n| n.expected.is_err()).map(|n| n.name.into()).collect();
    if !not.is_empty() {
        let _ = write!(said, " There is no band for {}, where she has no settled state.", words::list(&not));
    }
    let boils: Vec<String> = facts.normals.iter().filter(|n| n.unsteady()).map(|n| n.name.into()).collect();
    if !boils.is_empty() {
        let _ = write!(said, " At {} she cannot stay for long: her coolant would come to boil.", words::list(&boils));
    }
    said
}

/// The table of the walk.
pub(crate) fn whole(facts: &Facts) -> Table {
    let plant = facts.plant;
    let mut head: Vec<String> = ["Stop", "Read", "Unit"].map(String::from).into();
    head.extend(facts.normals.iter().map(|normal| sentence(normal.name)));
    head.extend((1..=ROUNDS).map(|round| format!("Round {round}")));
    head.push("Look, feel, hear, smell".into());
    let blank = |count: usize| vec![Vec::<Span>::new(); count];
    let mut rows: Vec<Vec<Vec<Span>>> = Vec::new();
    for what in ["Time", "How she is run", "Initials"] {
        let mut row = vec![Vec::new(), vec![text(what)], Vec::new()];
        row.extend(blank(facts.normals.len() + ROUNDS + 1));
        rows.push(row);
    }
    for stop in stops(plant) {
        let gauges: Vec<GaugeId> = words::read_gauges(plant).filter(|gauge| stop_of(plant, *gauge) == stop).collect();
        let mut first = vec![strong(stop.title())];
        let senses = senses(facts, stop);
        let mut senses = vec![text(senses)];
        if gauges.is_empty() {
            let mut row = vec![std::mem::take(&mut first), Vec::new(), Vec::new()];
            row.extend(blank(facts.normals.len() + ROUNDS));
            row.push(std::mem::take(&mut senses));
            rows.push(row);
        }
        for gauge in gauges {
            let it = &plant[gauge];
            let mut row = vec![
                std::mem::take(&mut first),
                vec![text(sentence(&words::gauge_name(it)))],
                vec![text(words::unit(it))],
            ];
            row.extend(facts.normals.iter().map(|normal| {
                vec![text(normal.band(gauge).map_or_else(|| "–".into(), |band| words::band_alone(plant, band)))]
            }));
            row.extend(blank(ROUNDS));
            row.push(std::mem::take(&mut senses));
            rows.push(row);
        }
    }
    let mut widths = vec![1.5, 1.9, 0.7];
    widths.extend(facts.normals.iter().map(|_| 1.25));
    widths.extend([1.0; ROUNDS]);
    widths.push(3.2);
    let figures = head.iter().map(|_| false).collect();
    Table { caption: String::new(), head, widths, figures, rows, row_height: Some(ROW) }
}

/// Stops that there is something to do at: parts that stand there, or gauges; door and bilge always, the helm always.
pub(crate) fn stops(plant: &Plant) -> Vec<Stop> {
    let there = |stop: &Stop| {
        let parts = (0..plant.parts.len()).map(PartId).any(|part| whereabouts::stop(plant, part) == *stop);
        let gauges = words::read_gauges(plant).any(|gauge| stop_of(plant, gauge) == *stop);
        parts || gauges || matches!(stop, Stop::Door | Stop::Bilge | Stop::Helm)
    };
    Stop::ALL.into_iter().filter(there).collect()
}

/// What to look, feel, listen and smell for there: what holds everywhere, and what people say of what stands there.
pub(crate) fn senses(facts: &Facts, stop: Stop) -> String {
    let plant = facts.plant;
    let wet = plant.flows.iter().any(|flow| flow.circuit == Circuit::RawWater);
    let mut said = match stop {
        Stop::Exhaust if !wet => "Soot, hiss, smoke from lagging.".to_string(),
        Stop::Bilge if !wet => "How high it stands, and its colour: oily, or coolant.".into(),
        _ => stop.senses().into(),
    };
    // Two more, of what stands there: what tells itself and is no danger of its own.
    let mut more: Vec<(String, &str)> = Vec::new();
    for part in facts.walk.iter().filter(|part| whereabouts::stop(plant, **part) == stop) {
        let kind = plant[*part].kind;
        let Some(word) = kind.words.iter().find(|word| word.tells_itself() && word.danger.is_none()) else { continue };
        let familiar = said.to_lowercase();
        let known = word.name.split(' ').any(|part| part.len() > 3 && familiar.contains(&part.to_lowercase()));
        // What shows only with something open is for a repair, not for a walk.
        let closed = !["opened", "fitted", "hose off", "barred", "dived"].iter().any(|open| word.name.contains(open));
        if !known && closed && !is_engine(kind) && !more.iter().any(|(_, other)| *other == word.name) {
            more.push((name(plant, *part), word.name));
        }
    }
    more.truncate(2);
    for (part, word) in more {
        let _ = write!(said, " {}: {word}?", sentence(&part));
    }
    said
}

/// Where on the walk a gauge is read.
pub(crate) fn stop_of(plant: &Plant, gauge: GaugeId) -> Stop {
    let it = &plant[gauge];
    if it.name.ends_with("-helm") || it.name.starts_with("helm-") || it.chain.plug.is_some() {
        return Stop::Helm;
    }
    match part_of(plant, gauge) {
        Some(part) => whereabouts::stop(plant, part),
        None => Stop::Helm,
    }
}

/// The part a gauge looks at: where its tap is.
pub(crate) fn part_of(plant: &Plant, gauge: GaugeId) -> Option<PartId> {
    match plant[gauge].tap {
        Tap::Unknown(part, _) => Some(part),
        Tap::Drop(flow) | Tap::Flow(flow) | Tap::Meter(flow) => Some(plant.flows[flow.0].part),
        Tap::Pressure(node) | Tap::Temperature(node) | Tap::Voltage(node) => {
            let name = &plant.nodes[node.0].name;
            let named = |part: &PartId| name.strip_prefix(&plant[*part].name).is_some_and(|rest| rest.starts_with(' '));
            let all = || (0..plant.parts.len()).map(PartId);
            let touches = |part: &PartId| {
                let ends = plant[*part].flows.iter().flatten().map(|flow| &plant.flows[flow.0]);
                let at = |end: Terminal| end == Terminal::Node(node);
                ends.into_iter().any(|flow| at(flow.from) || at(flow.to))
            };
            // Oil pressure is the engine's wherever its pipe is joined, and suction is the pump's and not its hose's.
            let engine = || all().find(|part| is_engine(plant[*part].kind) && touches(part));
            let pump = || all().find(|part| pumps(plant[*part].kind) && touches(part));
            let pressed = matches!(plant[gauge].tap, Tap::Pressure(_));
            let first = if pressed && plant.nodes[node.0].circuit == Circuit::Oil { engine() } else { None };
            first
                .or_else(|| if pressed { pump() } else { None })
                .or_else(|| all().filter(named).max_by_key(|part| plant[*part].name.len()))
                .or_else(|| all().find(touches))
        }
        Tap::Sea | Tap::Air => None,
    }
}

/// Does this kind move what flows through it?
pub(crate) fn pumps(kind: &parts::kind::Kind) -> bool {
    use parts::kind::{Place, Station};
    kind.places.iter().any(|place| matches!(place, Place::Along { station: Station::Pump, .. }))
}
