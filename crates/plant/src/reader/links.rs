//! What turns and feeds what.

use super::draft::Draft;
use crate::finding::{Finding, Problem};
use crate::names;
use crate::plant::{FlowId, Linked, PartId, Plant, Pool, Terminal};
use measure::nearest::nearest;
use parts::kind::{Circuit, Link};
use std::collections::HashSet;

/// Fills in every part's links.
pub(crate) fn links(draft: &mut Draft, plant: &mut Plant) {
    let engines: Vec<Option<usize>> = plant.parts.iter().map(|part| part.engine.map(|engine| engine.0)).collect();
    let drivers: Vec<Option<usize>> = (0..plant.parts.len())
        .map(|part| {
            let usual = if on_shaft(plant, part) { before_on_shaft(plant, part) } else { engines[part] };
            driver(draft, plant, part, usual)
        })
        .collect();
    loops(draft, plant, &drivers);
    for part in 0..plant.parts.len() {
        let kind = plant.parts[part].kind;
        let resolve = |link: &Link| match *link {
            Link::DriverSpeed => unknowns(plant, drivers[part], "speed"),
            Link::Engine(name) => unknowns(plant, engines[part], name),
            Link::Shaft(name) => shaft(plant, drivers[part], name),
            Link::Drawn(name) => drawn(plant, &drivers, part, name),
            Link::Turned(name) => sum(plant, name, |other| drivers[other] == Some(part)),
            Link::Fed => fed(plant, part),
            Link::Demand => own(plant, part, "demand").unwrap_or(Linked::Constant(1.0)),
            Link::Delivery => own(plant, part, "delivery").unwrap_or(Linked::Constant(1.0)),
            Link::BoatSpeed => boat_speed(plant, part),
            Link::Injected => injected(plant, part),
            Link::Charge(name) => charge(plant, part, name),
            Link::Upstream(name) => upstream(plant, part, name),
            Link::Own(name) => every(plant, name, |other| plant.parts[other].engine == plant.parts[part].engine),
            Link::All(name) => every(plant, name, |_| true),
            Link::Gas => {
                Linked::Flows(gas(plant).filter(|flow| Some(plant.flows[flow.0].part.0) == engines[part]).collect())
            }
            Link::EveryGas => Linked::Flows(gas(plant).collect()),
            Link::GasTemperature => gas_temperature(plant, engines[part]),
        };
        plant.parts[part].links = kind.links.iter().map(resolve).collect();
    }
}

/// What turns a part: as told, else what usually does.
fn driver(draft: &mut Draft, plant: &Plant, part: usize, usual: Option<usize>) -> Option<usize> {
    let told = draft.parts[part].told.iter().find(|entry| entry.key == "driven-by").cloned();
    if !plant.parts[part].kind.links.contains(&Link::DriverSpeed) && !on_shaft(plant, part) {
        if let Some(entry) = told {
            let sizes: Vec<String> = draft.parts[part].kind.parameters.iter().map(|p| names::folded(p.name)).collect();
            let known: Vec<&str> = sizes.iter().map(String::as_str).collect();
            draft.findings.push(entry.unknown(&format!("`{}`, which nothing turns", draft.parts[part].name), &known));
        }
        return None;
    }
    let Some(entry) = told else { return usual };
    let word = entry.value.as_str()?;
    let Some(found) = names::part_called(plant, word) else {
        let nearest = nearest(&names::folded(word), plant.parts.iter().map(|p| p.name.as_str())).map(str::to_string);
        let problem = Problem::UnknownPart { name: names::folded(word), nearest };
        draft.findings.push(Finding::at(problem, entry.place));
        return None;
    };
    if place_of(plant, found.0, "speed").is_none() && place_of(plant, found.0, SHAFT_SPEED).is_none() {
        let why = format!("`{}` does not turn", plant[found].name);
        let problem = Problem::NothingDrives { part: plant.parts[part].name.clone(), why };
        draft.findings.push(Finding::at(problem, entry.place));
        return None;
    }
    Some(found.0)
}

/// Turns of the propeller shaft, of whatever stands on it.
const SHAFT_SPEED: &str = "shaft_speed";

/// Does it stand on the propeller shaft, behind the gearbox?
fn on_shaft(plant: &Plant, part: usize) -> bool {
    plant.parts[part].kind.links.iter().any(|link| matches!(link, Link::Shaft(_)))
}

/// What stands before a part on the shaft if nothing is told of it: the one described before it, else the gearbox, else the
/// engine.
fn before_on_shaft(plant: &Plant, part: usize) -> Option<usize> {
    let same = |other: &usize| plant.parts[*other].engine == plant.parts[part].engine;
    let mates = || (0..plant.parts.len()).filter(same);
    let before = mates().take_while(|other| *other < part).filter(|other| on_shaft(plant, *other)).last();
    let gearbox = || mates().find(|other| place_of(plant, *other, SHAFT_SPEED).is_some() && !on_shaft(plant, *other));
    before.or_else(gearbox).or(plant.parts[part].engine.map(|engine| engine.0))
}

/// An unknown of what stands before on the shaft; of an engine, its own turns and power.
fn shaft(plant: &Plant, driver: Option<usize>, name: &str) -> Linked {
    let own = match name {
        SHAFT_SPEED => "speed",
        _ => "brake_power",
    };
    match unknowns(plant, driver, name) {
        Linked::Unknowns(found) if found.is_empty() => unknowns(plant, driver, own),
        found => found,
    }
}

/// The unknowns of this name of every part for which that holds.
fn sum(plant: &Plant, name: &str, of: impl Fn(usize) -> bool) -> Linked {
    let found = (0..plant.parts.len()).filter(|part| of(*part));
    Linked::Unknowns(found.filter_map(|part| Some((PartId(part), place_of(plant, part, name)?))).collect())
}

/// The unknowns of this name of all that an engine turns in the end; asked by the engine itself or by what serves it.
fn drawn(plant: &Plant, drivers: &[Option<usize>], part: usize, name: &str) -> Linked {
    let asked = if names::is_engine(plant.parts[part].kind) { Some(PartId(part)) } else { plant.parts[part].engine };
    let first = |part: usize| {
        let mut at = part;
        // A loop of drives is told elsewhere; here it ends.
        for _ in 0..drivers.len() {
            let Some(next) = drivers[at] else { break };
            at = next;
        }
        if names::is_engine(plant.parts[at].kind) { Some(PartId(at)) } else { plant.parts[at].engine }
    };
    sum(plant, name, |other| asked.is_some() && first(other) == asked)
}

/// What is fed to the stern tube.
fn fed(plant: &Plant, part: usize) -> Linked {
    let same = |other: &usize| plant.parts[*other].engine == plant.parts[part].engine;
    let feeds = |other: &usize| place_of(plant, *other, "seal").is_some();
    let feed = (0..plant.parts.len()).filter(same).find(feeds);
    let flow = feed.and_then(|feed| plant.parts[feed].flows.iter().flatten().next().copied());
    flow.map_or(Linked::Constant(0.0), |flow| Linked::Flows(vec![flow]))
}

/// A part that turns itself, by way of others, is a finding.
fn loops(draft: &mut Draft, plant: &Plant, drivers: &[Option<usize>]) {
    let mut told = HashSet::new();
    for start in 0..drivers.len() {
        let mut round = vec![start];
        let mut at = start;
        while let Some(next) = drivers[at] {
            round.push(next);
            if next == start {
                if round.iter().all(|part| told.insert(*part) || *part == start) {
                    let names = round.iter().map(|part| format!("`{}`", plant.parts[*part].name)).collect();
                    let problem = Problem::LoopOfDrives { part: plant.parts[start].name.clone(), round: names };
                    draft.findings.push(Finding::at(problem, plant.parts[start].place.clone()));
                }
                break;
            }
            if round.len() > drivers.len() {
                break;
            }
            at = next;
        }
    }
}

fn place_of(plant: &Plant, part: usize, unknown: &str) -> Option<usize> {
    plant.parts[part].kind.unknowns.iter().position(|u| u.name == unknown)
}

fn unknowns(plant: &Plant, part: Option<usize>, name: &str) -> Linked {
    let found = part.and_then(|part| place_of(plant, part, name).map(|unknown| (PartId(part), unknown)));
    Linked::Unknowns(found.into_iter().collect())
}

/// An unknown that one kind alone has, of the part of that kind on the engine that `part` serves.
fn own(plant: &Plant, part: usize, name: &str) -> Option<Linked> {
    let same = |other: &usize| plant.parts[*other].engine == plant.parts[part].engine;
    let mut parts = (0..plant.parts.len()).filter(same);
    parts.find_map(|other| Some(Linked::Unknowns(vec![(PartId(other), place_of(plant, other, name)?)])))
}

/// Unknowns of this name of every part that is meant.
fn every(plant: &Plant, name: &str, meant: impl Fn(usize) -> bool) -> Linked {
    let parts = (0..plant.parts.len()).filter(|part| meant(*part));
    Linked::Unknowns(parts.filter_map(|part| Some((PartId(part), place_of(plant, part, name)?))).collect())
}

/// What the engines draw in and burn: the ways that make gas of air.
fn gas(plant: &Plant) -> impl Iterator<Item = FlowId> {
    let made = |flow: &FlowId| {
        let flow = &plant.flows[flow.0];
        flow.from == Terminal::Air && names::is_engine(plant[flow.part].kind)
    };
    (0..plant.flows.len()).map(FlowId).filter(made)
}

fn gas_temperature(plant: &Plant, engine: Option<usize>) -> Linked {
    let own = gas(plant).find(|flow| Some(plant.flows[flow.0].part.0) == engine);
    match own.map(|flow| plant.flows[flow.0].to) {
        Some(Terminal::Node(node)) => Linked::Temperature(node),
        _ => Linked::Constant(0.0),
    }
}

/// What gives a part its charge air. One that asks for charge itself stands behind one that does not: the cooler behind the
/// turbocharger. Without the latter there is no charge.
fn charge(plant: &Plant, part: usize, name: &str) -> Linked {
    let asks = |other: usize| plant.parts[other].kind.links.iter().any(|link| matches!(link, Link::Charge(_)));
    let engine = plant.parts[part].engine.map(|engine| engine.0);
    let of = |behind: bool| {
        let mut own = (0..plant.parts.len()).filter(|other| {
            *other != part && Some(*other) != engine && plant.parts[*other].engine == plant.parts[part].engine
        });
        own.find_map(|other| {
            (asks(other) == behind).then_some(())?;
            Some((PartId(other), place_of(plant, other, name)?))
        })
    };
    let Some(first) = of(false) else { return Linked::Constant(0.0) };
    let last = if engine == Some(part) { of(true).unwrap_or(first) } else { first };
    Linked::Unknowns(vec![last])
}

/// How fast she goes: by the engine's own propeller, else by any; without one she lies still.
fn boat_speed(plant: &Plant, part: usize) -> Linked {
    let any = || (0..plant.parts.len()).find_map(|other| own(plant, other, "boat_speed"));
    own(plant, part, "boat_speed").or_else(any).unwrap_or(Linked::Constant(0.0))
}

/// Flows of a circuit that lead to this part, itself included, nearest first.
fn leading_to(plant: &Plant, part: usize, circuit: Circuit) -> Vec<FlowId> {
    let own = plant.parts[part].flows.iter().flatten().filter(|flow| plant.flows[flow.0].circuit == circuit);
    let mut found: Vec<FlowId> = own.copied().collect();
    let mut seen: HashSet<FlowId> = found.iter().copied().collect();
    let mut next = 0;
    while let Some(flow) = found.get(next).copied() {
        next += 1;
        let Terminal::Node(node) = plant.flows[flow.0].from else { continue };
        for (index, other) in plant.flows.iter().enumerate() {
            if other.to == Terminal::Node(node) && seen.insert(FlowId(index)) {
                found.push(FlowId(index));
            }
        }
    }
    found
}

/// Water sprayed into the exhaust before this part.
fn injected(plant: &Plant, part: usize) -> Linked {
    let lead = leading_to(plant, part, Circuit::Exhaust);
    let inlets: HashSet<_> = lead.iter().map(|flow| plant.flows[flow.0].from).collect();
    let sprayed = |(_, flow): &(usize, &crate::plant::Flow)| match flow.to {
        Terminal::Into(node) => inlets.contains(&Terminal::Node(node)),
        _ => false,
    };
    let water: Vec<FlowId> = plant.flows.iter().enumerate().filter(sprayed).map(|(index, _)| FlowId(index)).collect();
    if water.is_empty() { Linked::Constant(0.0) } else { Linked::Flows(water) }
}

/// Unknowns of this name of the parts before this one in the circuits it belongs to; of a ring, of all its parts.
fn upstream(plant: &Plant, part: usize, name: &str) -> Linked {
    let mut parts: Vec<usize> = Vec::new();
    let circuits: HashSet<Circuit> =
        plant.parts[part].flows.iter().flatten().map(|flow| plant.flows[flow.0].circuit).collect();
    for circuit in circuits {
        if circuit.is_closed() {
            let own = |other: PartId| plant[other].engine == plant.parts[part].engine;
            let flows = plant.flows.iter().filter(|flow| flow.circuit == circuit && own(flow.part));
            parts.extend(flows.map(|flow| flow.part.0));
            // A tank that several engines share is in the ring of each.
            let node = |pool: &Pool| Terminal::Node(pool.node);
            let met = |pool: &Pool| {
                let mut flows = plant.flows.iter().filter(|flow| flow.circuit == circuit && own(flow.part));
                flows.any(|flow| flow.from == node(pool) || flow.to == node(pool))
            };
            let here = |pool: &&Pool| plant.nodes[pool.node.0].circuit == circuit && (own(pool.part) || met(pool));
            let pools = plant.pools.iter().filter(here);
            parts.extend(pools.map(|pool| pool.part.0));
        } else {
            parts.extend(leading_to(plant, part, circuit).iter().map(|flow| plant.flows[flow.0].part.0));
        }
    }
    parts.sort_unstable();
    parts.dedup();
    let found = parts.iter().filter(|other| **other != part);
    Linked::Unknowns(found.filter_map(|other| Some((PartId(*other), place_of(plant, *other, name)?))).collect())
}
