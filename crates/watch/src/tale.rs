//! Where it flows, told step by step as one would tell a visitor.

use crate::saying::{circuit, list, sentence};
use parts::kind::{Circuit, End as PassageEnd};
use plant::follow::{Along, End, Step, Trail, turned_by, turns};
use plant::plant::{PartId, Plant};

/// One line of a tale, and how deep in its branches it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Branches above it.
    pub depth: usize,
    /// What is told.
    pub text: String,
}

/// A trail, line by line.
pub fn trail(plant: &Plant, in_circuit: Circuit, trail: &Trail, along: Along) -> Vec<Line> {
    let heading = match along {
        Along::Onward => format!("{} goes on like this:", sentence(&stuff(in_circuit))),
        Along::Back => format!("{} comes from here, told backwards:", sentence(&stuff(in_circuit))),
    };
    let mut lines = vec![Line { depth: 0, text: heading }];
    tell(plant, trail, along, 1, in_circuit, &mut lines);
    lines
}

fn tell(plant: &Plant, trail: &Trail, along: Along, depth: usize, mut was: Circuit, lines: &mut Vec<Line>) {
    let mut line = |text: String| lines.push(Line { depth, text });
    for step in &trail.steps {
        if let Step::Flow(flow) = step
            && plant.flows[flow.0].circuit != was
        {
            was = plant.flows[flow.0].circuit;
            line(format!("from here on it goes with the {}", stuff(was)));
        }
        let (part, passage) = step.way(plant);
        let does = plant[part].kind.passages[passage].does;
        line(format!("{does} {}{}", plant[part].name, aside(plant, part)));
    }
    match &trail.end {
        End::Sea if along == Along::Back => line("and that is the sea".into()),
        End::Sea => line("and is in the sea".into()),
        End::Air if along == Along::Back => line("and that is the open air".into()),
        End::Air if was == Circuit::Fuel => line("and is burnt".into()),
        End::Air => line("and is out in the open".into()),
        End::Ground => line(ground(plant, trail.steps.last(), along).into()),
        End::Shut(valve) => line(format!(
            "but {} is {}: nothing passes{}",
            plant[*valve].name,
            plant[*valve].kind.stands(0.0),
            place(plant, *valve)
        )),
        End::Again(part) => line(format!("and is back at {}", plant[*part].name)),
        End::Parts(ways) if ways.is_empty() => line("and there it ends".into()),
        End::Parts(ways) => {
            let split = if along == Along::Onward { "here it divides" } else { "here it comes together from" };
            line(format!("{split}, {} ways:", ways.len()));
            for (number, way) in ways.iter().enumerate() {
                if number > 0 {
                    lines.push(Line { depth, text: "and".into() });
                }
                tell(plant, way, along, depth + 1, was, lines);
            }
        }
    }
}

/// How an electric way ends: in ground, which closes every circuit, or in what stores its current.
fn ground(plant: &Plant, last: Option<&Step>, along: Along) -> &'static str {
    let stored = last.is_some_and(|step| {
        let (part, passage) = step.way(plant);
        plant[part].kind.passages[passage].to == PassageEnd::Store
    });
    match (stored, along) {
        (true, Along::Onward) => "and stays there until it is drawn",
        (true, Along::Back) => "and that is what was put there before",
        (false, Along::Onward) => "and goes back through ground, the negative side",
        (false, Along::Back) => "and there it begins, out of ground, the negative side",
    }
}

/// What turns a part and what it turns, each of them to its end: onward from the engine, or back to it; nothing of what
/// neither turns nor is turned.
pub fn turning(plant: &Plant, part: PartId, along: Along) -> Vec<Line> {
    let mut chain = vec![part];
    while let Some(driver) = turned_by(plant, chain[chain.len() - 1])
        && !chain.contains(&driver)
    {
        chain.push(driver);
    }
    let name = |part: &PartId| plant[*part].name.clone();
    let mut lines = Vec::new();
    match along {
        Along::Back if chain.len() > 1 => {
            let by: Vec<String> = chain[1..].iter().map(|driver| format!("turned by {}", name(driver))).collect();
            lines.push(Line { depth: 1, text: format!("{} is {}", name(&part), by.join(", which is ")) });
        }
        Along::Back => {}
        Along::Onward => {
            for pair in chain.windows(2).rev() {
                lines.push(Line { depth: 1, text: format!("{} turns {}", name(&pair[1]), name(&pair[0])) });
            }
            lines.extend(driven(plant, part).map(|text| Line { depth: 1, text }));
        }
    }
    if !lines.is_empty() {
        lines.insert(0, Line { depth: 0, text: "Power:".into() });
    }
    lines
}

/// What a part turns: in one line what goes no further, and a line each for what turns something in its turn, to the end.
fn driven(plant: &Plant, part: PartId) -> impl Iterator<Item = String> {
    let name = |part: PartId| plant[part].name.as_str();
    let (on, last): (Vec<PartId>, Vec<PartId>) =
        turns(plant, part).into_iter().partition(|other| !turns(plant, *other).is_empty());
    let last: Vec<String> = last.into_iter().map(|part| name(part).to_string()).collect();
    let last = (!last.is_empty()).then(|| format!("{} turns {}", name(part), list(&last)));
    let mut lines = Vec::new();
    for first in on {
        let (mut text, mut at, mut told) = (format!("{} turns {}", name(part), name(first)), first, vec![part, first]);
        loop {
            let next = turns(plant, at);
            let names: Vec<String> = next.iter().map(|part| name(*part).to_string()).collect();
            if next.is_empty() || next.iter().any(|part| told.contains(part)) {
                break;
            }
            text.push_str(", which turns ");
            text.push_str(&list(&names));
            let [only] = next[..] else { break };
            told.push(only);
            at = only;
        }
        lines.push(text);
    }
    last.into_iter().chain(lines)
}

/// What is in a circuit, in running text.
pub fn stuff(of: Circuit) -> String {
    match of {
        Circuit::RawWater => "raw water".into(),
        Circuit::FreshWater => "coolant".into(),
        Circuit::Oil => "engine oil".into(),
        Circuit::GearOil => "gear oil".into(),
        Circuit::Exhaust => "exhaust gas".into(),
        Circuit::Bilge => "bilge water".into(),
        Circuit::Charging => "current".into(),
        other => circuit(other),
    }
}

/// Where a part is, and how far it is open.
fn aside(plant: &Plant, part: PartId) -> String {
    let open = plant.opening(part).map(|share| plant[part].kind.stands(share));
    let place = note(plant, part, "where");
    let all: Vec<String> = [open, place].into_iter().flatten().collect();
    if all.is_empty() { String::new() } else { format!(" ({})", all.join("; ")) }
}

fn place(plant: &Plant, part: PartId) -> String {
    note(plant, part, "where").map_or(String::new(), |place| format!(" ({place})"))
}

/// A note of a part, as the owner wrote it.
pub fn note(plant: &Plant, part: PartId, key: &str) -> Option<String> {
    plant[part].notes.iter().find(|(told, _)| told == key).map(|(_, text)| text.clone())
}
