//! What a gauge looks at, from the owner's words for the place.

use super::instruments::Reads;
use crate::finding::Problem;
use crate::names::{self, folded};
use crate::plant::{FlowId, NodeId, PITCH, PartId, Plant, Tap, Terminal};
use measure::nearest::nearest;
use measure::quantity::Quantity;
use parts::kind::{Circuit, End, Kind};

/// A tap, what is read there, and in which circuit.
pub(crate) type Place = (Tap, Quantity, Option<Circuit>);

/// Finds "engine.coolant-out", "exchanger.raw.out", "raw-pump.in", "engine.speed", "thermostat", "sea", "air".
pub(crate) fn tap(plant: &Plant, at: &str, reads: Reads) -> Result<Place, Problem> {
    let words: Vec<String> = at.split('.').map(folded).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match (words.as_slice(), reads) {
        (["sea"], Reads::Temperature) => return Ok((Tap::Sea, Quantity::Temperature, None)),
        (["air"], Reads::Temperature) => return Ok((Tap::Air, Quantity::Temperature, None)),
        _ => {}
    }
    let Some(part) = words.first().and_then(|word| names::part_called(plant, word)) else {
        let known = plant.parts.iter().filter(|p| !p.kind.passages.is_empty() || !p.kind.unknowns.is_empty());
        let known: Vec<String> = known.map(|part| part.name.clone()).chain(["sea".into(), "air".into()]).collect();
        let word = words.first().copied().unwrap_or("");
        let nearest = nearest(word, known.iter().map(String::as_str)).map(str::to_string);
        return Err(Problem::UnknownTap { at: at.into(), nearest, known });
    };
    let rest = &words[1..];
    match reads {
        Reads::Temperature => inner(plant, part, rest, &[Quantity::Temperature], "")
            .map_or_else(|| node(plant, part, rest, at, reads), Ok),
        // What a part tells as a pressure of its own is its charge.
        Reads::Pressure => inner(plant, part, rest, &[Quantity::GaugePressure], "").map_or_else(
            || node(plant, part, rest, at, reads),
            |(tap, quantity, _)| Ok((tap, quantity, Some(Circuit::Air))),
        ),
        Reads::Vacuum => node(plant, part, rest, at, reads),
        Reads::Current => flow(plant, part, rest, at, reads),
        Reads::Flow => {
            inner(plant, part, rest, &[Quantity::MassFlow], "-").map_or_else(|| flow(plant, part, rest, at, reads), Ok)
        }
        Reads::Drop => inner(plant, part, rest, &[Quantity::PressureDifference], "-")
            .map_or_else(|| flow(plant, part, rest, at, reads), Ok),
        Reads::Speed => inner(plant, part, rest, &[Quantity::RotationalSpeed, Quantity::Velocity], "speed")
            .ok_or_else(|| unfit(plant, part, at, reads)),
        Reads::Voltage => inner(plant, part, rest, &[Quantity::Voltage], "voltage")
            .map_or_else(|| node(plant, part, rest, at, reads), Ok),
        Reads::Pitch => inner(plant, part, rest, &[Quantity::Ratio], "pitch")
            .filter(|(tap, ..)| plant.is_pitch(*tap))
            .ok_or_else(|| unfit(plant, part, at, reads)),
        Reads::Level => inner(plant, part, rest, &[Quantity::Level, Quantity::Ratio], "level")
            .map(|(tap, _, circuit)| (tap, Quantity::Level, circuit))
            .ok_or_else(|| unfit(plant, part, at, reads)),
    }
}

/// An inner unknown of the part: by the word after its name, else the one called `usual`, else the only one that fits.
fn inner(plant: &Plant, part: PartId, rest: &[&str], quantities: &[Quantity], usual: &str) -> Option<Place> {
    let kind = plant[part].kind;
    let fits = |k: &usize| quantities.contains(&kind.unknowns[*k].quantity);
    let all: Vec<usize> = (0..kind.unknowns.len()).filter(fits).collect();
    let called = |name: &str| all.iter().copied().find(|k| folded(kind.unknowns[*k].name) == name);
    let found = match rest {
        [name] => called(name)?,
        // A place that says no more than the part means its pipe where it has one.
        [] if (usual.is_empty() || usual == "-") && !kind.passages.is_empty() => return None,
        [] => called(usual).or_else(|| all.first().copied())?,
        _ => return None,
    };
    let quantity = kind.unknowns[found].quantity;
    Some((Tap::Unknown(part, found), quantity, Some(kind.circuit)))
}

/// A passage and, if told, which end of it; without a word the way that is connected and no side way.
fn way(plant: &Plant, part: PartId, rest: &[&str]) -> Option<(usize, Option<bool>)> {
    let kind = plant[part].kind;
    let end = |word: &str| match word {
        "in" | "inlet" | "suction" | "before" => Some(true),
        "out" | "outlet" | "discharge" | "after" => Some(false),
        _ => None,
    };
    let connected = |k: &usize| plant[part].flows.get(*k).copied().flatten().is_some();
    let only = || {
        let ways: Vec<usize> = (0..kind.passages.len()).filter(connected).collect();
        let first = *ways.first()?;
        ways.iter().all(|k| kind.passages[*k].from == kind.passages[first].from).then_some(first)
    };
    match rest {
        [] => only().map(|k| (k, None)),
        [word] => {
            let port = |end: End| matches!(end, End::Port(name) if folded(name) == *word);
            let by_port = (0..kind.passages.len()).filter(|k| !kind.passages[*k].is_pool()).find_map(|k| {
                let passage = &kind.passages[k];
                if port(passage.from) { Some((k, Some(true))) } else { port(passage.to).then_some((k, Some(false))) }
            });
            let by_name = || kind.passages.iter().position(|p| folded(p.name) == *word).map(|k| (k, None));
            by_port.or_else(by_name).or_else(|| Some((only()?, Some(end(word)?))))
        }
        [name, word] => Some((kind.passages.iter().position(|p| folded(p.name) == *name)?, Some(end(word)?))),
        _ => None,
    }
}

fn node(plant: &Plant, part: PartId, rest: &[&str], at: &str, reads: Reads) -> Result<Place, Problem> {
    let unfit = || unfit(plant, part, at, reads);
    let pool = plant.pools.iter().find(|pool| pool.part == part).map(|pool| pool.node);
    let Some((passage, inlet)) = way(plant, part, rest) else {
        let is_pool = matches!(rest, [] | ["pool" | "sump"]);
        return pool.filter(|_| is_pool).map(|node| at_node(plant, node, reads)).ok_or_else(unfit);
    };
    let Some(FlowId(flow)) = plant[part].flows.get(passage).copied().flatten() else {
        return pool.map(|node| at_node(plant, node, reads)).ok_or_else(unfit);
    };
    let flow = &plant.flows[flow];
    let end = if inlet == Some(true) { flow.from } else { flow.to };
    // What ends in ground has one side to read.
    let end = if end != Terminal::Ground {
        end
    } else if flow.from == end {
        flow.to
    } else {
        flow.from
    };
    if flow.circuit.is_electric() != (reads == Reads::Voltage) && reads != Reads::Temperature {
        return Err(unfit());
    }
    match (end, reads) {
        (Terminal::Node(node) | Terminal::Into(node), _) => Ok(at_node(plant, node, reads)),
        (Terminal::Sea, Reads::Temperature) => Ok((Tap::Sea, Quantity::Temperature, Some(flow.circuit))),
        (Terminal::Air, Reads::Temperature) if inlet == Some(true) => {
            Ok((Tap::Air, Quantity::Temperature, Some(flow.circuit)))
        }
        // What leaves into the air is read in the pipe before it.
        (Terminal::Air, _) => match flow.from {
            Terminal::Node(node) => Ok(at_node(plant, node, reads)),
            _ => Err(unfit()),
        },
        (Terminal::Sea | Terminal::Ground, _) => Err(unfit()),
    }
}

fn at_node(plant: &Plant, node: NodeId, reads: Reads) -> Place {
    let circuit = Some(plant.nodes[node.0].circuit);
    if reads == Reads::Temperature {
        (Tap::Temperature(node), Quantity::Temperature, circuit)
    } else if reads == Reads::Voltage {
        (Tap::Voltage(node), Quantity::Voltage, circuit)
    } else {
        (Tap::Pressure(node), Quantity::GaugePressure, circuit)
    }
}

fn flow(plant: &Plant, part: PartId, rest: &[&str], at: &str, reads: Reads) -> Result<Place, Problem> {
    let found = way(plant, part, rest).and_then(|(passage, _)| plant[part].flows.get(passage).copied().flatten());
    let flow = found.ok_or_else(|| unfit(plant, part, at, reads))?;
    let circuit = plant.flows[flow.0].circuit;
    if circuit.is_electric() != (reads == Reads::Current) {
        return Err(unfit(plant, part, at, reads));
    }
    match reads {
        Reads::Current => Ok((Tap::Flow(flow), Quantity::Current, Some(circuit))),
        Reads::Drop => Ok((Tap::Drop(flow), Quantity::PressureDifference, Some(circuit))),
        _ if circuit == Circuit::Exhaust => Ok((Tap::Flow(flow), Quantity::MassFlow, Some(circuit))),
        // Flow meters for liquids are marked in volume.
        _ => Ok((Tap::Meter(flow), Quantity::VolumeFlow, Some(circuit))),
    }
}

fn unfit(plant: &Plant, part: PartId, at: &str, reads: Reads) -> Problem {
    let word = at.split('.').next().unwrap_or(at);
    let places: Vec<String> = places(plant, part, reads).into_iter().map(|place| format!("{word}.{place}")).collect();
    let near = nearest(at, places.iter().map(String::as_str)).filter(|near| *near != at);
    let quoted = || places.iter().map(|place| format!("`{place}`")).collect::<Vec<_>>().join(", ");
    let advice = match (near, places.is_empty()) {
        (Some(near), _) => format!("Did you mean `{near}`?"),
        (None, true) => format!("Nothing of that sort is known of {}.", plant[part].kind.title.to_lowercase()),
        (None, false) => format!("Places for it here: {}.", quoted()),
    };
    Problem::TapDoesNotFit { reads: reads.word().into(), at: at.into(), advice }
}

/// The places on a part where that can be read, as the file would write them after the part's name.
fn places(plant: &Plant, part: PartId, reads: Reads) -> Vec<String> {
    let Kind { passages, unknowns, .. } = plant[part].kind;
    let ports = || {
        let ends = passages
            .iter()
            .zip(&plant[part].flows)
            .filter(|(_, flow)| flow.is_some())
            .flat_map(|(p, _)| [p.from, p.to]);
        let mut names: Vec<String> =
            ends.filter_map(|end| if let End::Port(name) = end { Some(folded(name)) } else { None }).collect();
        names.dedup();
        names
    };
    let ways = || passages.iter().map(|p| folded(p.name)).collect::<Vec<_>>();
    let inner = |quantities: &[Quantity]| {
        unknowns.iter().filter(|u| quantities.contains(&u.quantity)).map(|u| folded(u.name)).collect::<Vec<_>>()
    };
    match reads {
        Reads::Temperature => [ports(), inner(&[Quantity::Temperature])].concat(),
        Reads::Pressure => [ports(), inner(&[Quantity::GaugePressure])].concat(),
        Reads::Vacuum => ports(),
        Reads::Drop => [ways(), inner(&[Quantity::PressureDifference])].concat(),
        Reads::Current => ways(),
        Reads::Flow => [ways(), inner(&[Quantity::MassFlow])].concat(),
        Reads::Speed => inner(&[Quantity::RotationalSpeed, Quantity::Velocity]),
        Reads::Voltage => [inner(&[Quantity::Voltage]), ports()].concat(),
        Reads::Level => inner(&[Quantity::Level]),
        Reads::Pitch => inner(&[Quantity::Ratio]).into_iter().filter(|name| name == PITCH).collect(),
    }
}
