//! The surveyor's record, the history of her service, and the list for the yard.

use crate::document::{Block, Chapter, Document, Span};
use crate::facts::Facts;
use crate::make::{chapter, document, heading, say, table, text};
use crate::rounds::part_of;
use crate::words::{self, gauge_name, name, note, sentence, the};
use parts::kind::{End, State, When};
use plant::plant::{PartId, Plant, Terminal};

/// What a surveyor wants on one paper: the record, what was done, and what is for the yard.
pub fn paper(facts: &Facts) -> Document {
    // Its title is the paper's own.
    let first = Chapter { title: String::new(), new_sheet: false, ..record(facts) };
    let chapters = vec![first, history(facts), yard(facts)];
    document(facts, "Surveyor's record", "Openings, hoses, alarms, fire gear, and what was done.", chapters)
}

/// Openings, alarms, fire gear.
pub(crate) fn record(facts: &Facts) -> Chapter {
    let plant = facts.plant;
    let mut blocks = vec![say(
        "For whoever surveys her. What the description does not tell is left open to be filled in by hand, on the spot.",
    )];
    blocks.push(heading("Openings in the hull", "openings"));
    let openings = openings(plant);
    if openings.is_empty() {
        blocks.push(say("The description names no opening below or near the waterline."));
    } else {
        let rows = openings.iter().map(|opening| opening_row(plant, *opening)).collect();
        blocks.push(Block::Table(crate::document::Table {
            row_height: Some(9.0),
            ..table(
                &["Opening", "Where", "Shut by", "Hose or pipe behind it", "Renewed", "Looked at"],
                &[1.6, 1.8, 2.0, 2.0, 1.0, 1.0],
                rows,
            )
        }));
    }
    blocks.push(heading("Alarms, and when each was tried", "alarms-tried"));
    blocks.extend(alarms(facts));
    blocks.push(heading("Fire gear", "fire-gear"));
    let fire = fire_gear(plant);
    if fire.is_empty() {
        blocks.push(Block::Lines {
            text: "The description does not tell of it. Fixed, portable, detectors; weighed and tested on".into(),
            count: 4,
        });
    } else {
        blocks.push(Block::List(fire.into_iter().map(|line| vec![text(line)]).collect()));
        blocks.push(Block::Lines { text: "Weighed and tested on".into(), count: 2 });
    }
    chapter("Surveyor's record", "survey", blocks)
}

/// Parts with an end in the sea, or in the air at the hull: where something comes in or leaves.
pub(crate) fn openings(plant: &Plant) -> Vec<PartId> {
    let outside = |part: &PartId| {
        let flows = plant[*part].flows.iter().flatten().map(|flow| &plant.flows[flow.0]);
        let sea = flows.clone().any(|flow| flow.from == Terminal::Sea || flow.to == Terminal::Sea);
        // An exhaust outlet ends in the air, at the sea's surface.
        let outlet =
            plant[*part].kind.passages.iter().any(|passage| passage.to == End::Air && passage.from != End::Air)
                && flows.clone().any(|flow| flow.to == Terminal::Air && flow.circuit == parts::kind::Circuit::Exhaust);
        sea || outlet
    };
    (0..plant.parts.len()).map(PartId).filter(outside).collect()
}

fn opening_row(plant: &Plant, opening: PartId) -> Vec<String> {
    let shut: Vec<String> = next_to(plant, opening)
        .into_iter()
        .filter(|part| plant.opening(*part).is_some())
        .map(|valve| words::name(plant, valve))
        .collect();
    let hose: Vec<String> = pipes_from(plant, opening);
    let or =
        |all: Vec<String>, none: &str| if all.is_empty() { none.to_string() } else { sentence(&words::list(&all)) };
    vec![
        sentence(&name(plant, opening)),
        words::place(plant, opening).unwrap_or_default(),
        or(shut, "no valve is described"),
        or(hose, ""),
        String::new(),
        String::new(),
    ]
}

/// Parts that share a joint with this one.
fn next_to(plant: &Plant, part: PartId) -> Vec<PartId> {
    let ends = |of: PartId| {
        let flows = plant[of].flows.iter().flatten().map(|flow| &plant.flows[flow.0]);
        flows.flat_map(|flow| [flow.from, flow.to]).filter(|end| matches!(end, Terminal::Node(_))).collect::<Vec<_>>()
    };
    let own = ends(part);
    let all = (0..plant.parts.len()).map(PartId).filter(|other| *other != part);
    all.filter(|other| ends(*other).iter().any(|end| own.contains(end))).collect()
}

/// Hoses and pipes behind an opening, and one part further.
fn pipes_from(plant: &Plant, opening: PartId) -> Vec<String> {
    let near = next_to(plant, opening);
    let behind = near.iter().flat_map(|part| next_to(plant, *part));
    let mut found: Vec<PartId> = near
        .iter()
        .copied()
        .chain(behind)
        .filter(|part| {
            let kind = plant[*part].kind;
            kind.name.contains("hose") || kind.title.to_lowercase().contains("hose")
        })
        .collect();
    found.sort_unstable();
    found.dedup();
    found.into_iter().map(|part| name(plant, part)).collect()
}

fn alarms(facts: &Facts) -> Vec<Block> {
    let plant = facts.plant;
    let row = |gauge: plant::plant::GaugeId| {
        let it = &plant[gauge];
        let (trip, when) = it.trips?;
        let side = if when == When::High { "above" } else { "below" };
        let tried = facts.asked.history.tried.iter().find(|tried| tried.alarm == it.name);
        let at = part_of(plant, gauge).map_or_else(|| watch::place::looks_at(plant, gauge), |part| the(plant, part));
        Some(vec![
            sentence(&gauge_name(it)),
            sentence(&at),
            format!("{side} {}", words::told(it, trip)),
            tried.map_or_else(String::new, |tried| tried.day.clone()),
            tried.map_or_else(String::new, |tried| tried.how.clone()),
        ])
    };
    let rows: Vec<Vec<String>> = plant.gauge_ids().filter_map(row).collect();
    if rows.is_empty() {
        return vec![say(
            "The description names no alarm. There ought to be one for oil pressure and one for heat, at the least.",
        )];
    }
    let it = table(
        &["Alarm", "Watches", "Speaks", "Tried on", "How, and was it heard at the helm"],
        &[1.6, 1.8, 1.3, 1.2, 2.6],
        rows,
    );
    vec![
        say("An alarm is tried at its sensor, with heat, pressure or a lifted float; a lamp test tries the lamp."),
        Block::Table(crate::document::Table { row_height: Some(9.0), ..it }),
    ]
}

/// What the description tells of fire gear: parts of that name, and notes that speak of it.
fn fire_gear(plant: &Plant) -> Vec<String> {
    let all = (0..plant.parts.len()).map(PartId).filter(|part| plant[*part].name.contains("fire"));
    all.map(|part| {
        let note = note(plant, part, "note").map_or(String::new(), |note| format!(": {note}"));
        words::stopped(&format!("{}{note}", sentence(&words::found(plant, part))))
    })
    .collect()
}

/// What was done to her, and what comes next.
pub(crate) fn history(facts: &Facts) -> Chapter {
    let it = &facts.asked.history;
    let plant = facts.plant;
    let named = |part: &str| plant.part(part).map_or_else(|| watch::saying::key(part), |part| name(plant, part));
    let mut blocks = Vec::new();
    if it.done.is_empty() {
        blocks.push(say("Nothing has been recorded in the program yet. What is known from before:"));
        let known: Vec<Vec<Span>> = facts
            .walk
            .iter()
            .filter_map(|part| {
                let hours = plant[*part].hours_since?;
                Some(vec![text(format!(
                    "{} had run {hours:.0} hours since it was last seen to.",
                    sentence(&the(plant, *part))
                ))])
            })
            .collect();
        if known.is_empty() {
            blocks = vec![say("Nothing has been recorded yet; what is done from now on is written here.")];
            blocks.push(Block::Lines { text: "Day, hours, what was done, by whom".into(), count: 12 });
        } else {
            blocks.push(Block::List(known));
        }
    } else {
        let row = |done: &crate::history::Done| {
            vec![
                done.day.clone(),
                done.hours.clone(),
                sentence(&named(&done.part)),
                done.what.clone(),
                done.remarks.clone(),
                done.who.clone(),
            ]
        };
        let rows = it.done.iter().map(row).collect();
        blocks.push(Block::Table(table(
            &["Day", "Hours", "On what", "What was done", "As found and left", "By"],
            &[1.1, 0.9, 1.5, 2.2, 2.4, 1.0],
            rows,
        )));
    }
    if !it.due.is_empty() {
        blocks.push(heading("What comes next", "due"));
        let line = |due: &crate::history::Due| {
            let of = if due.part.is_empty() { String::new() } else { format!(" ({})", named(&due.part)) };
            let needs = if due.needs.is_empty() { String::new() } else { format!("; {}", due.needs) };
            vec![text(words::stopped(&format!("{}{of}: {}{needs}", sentence(&due.what), due.when)))]
        };
        blocks.push(Block::List(it.due.iter().map(line).collect()));
    }
    chapter("Service history", "history", blocks)
}

/// What is done when she is out of the water, and room for more.
pub(crate) fn yard(facts: &Facts) -> Chapter {
    let plant = facts.plant;
    let mut lines: Vec<Vec<Span>> = Vec::new();
    let due = facts.asked.history.due.iter().filter(|due| due.yard);
    lines.extend(due.map(|due| vec![text(words::stopped(&format!("{}, {}", sentence(&due.what), due.when)))]));
    for part in &facts.walk {
        let dry = plant[*part].kind.checks.iter().filter(|check| check.state == State::UnderWater);
        for check in dry {
            lines.push(vec![text(words::stopped(&format!(
                "{}: {}",
                sentence(&name(plant, *part)),
                words::lower_first(check.title)
            )))]);
        }
    }
    for opening in openings(plant) {
        lines.push(vec![text(format!(
            "{}: look at the fitting from outside, and at what is growing in it.",
            sentence(&name(plant, opening))
        ))]);
    }
    for valve in crate::valves::all(facts).filter(|valve| crate::valves::is_seacock(plant, *valve)) {
        lines.push(vec![text(format!(
            "{}: take it apart, grease it, try it wide open and shut.",
            sentence(&name(plant, valve))
        ))]);
    }
    let mut blocks = vec![say(
        "What can only be done, or is best done, with her out of the water. Uncouple the shaft before she is lifted, and hang \
         a tag on the start for every opening that is shut or plugged.",
    )];
    if !lines.is_empty() {
        blocks.push(Block::List(lines));
    }
    blocks.push(Block::Lines { text: "Found since".into(), count: 8 });
    chapter("For the yard", "yard", blocks)
}
