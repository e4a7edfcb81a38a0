//! Whether the plant can work at all: every circuit has its pressure, every port leads somewhere, sizes agree.

use crate::finding::{Finding, Problem};
use crate::names::folded;
use crate::plant::{NodeId, Part, Plant, Terminal};
use parts::kind::{Circuit, End};
use std::collections::{BTreeMap, BTreeSet};

/// Mean pressure that a diesel's rating can mean: from a tired low-speed one to a highly charged one [Pa]; from memory.
const MEAN_PRESSURE: std::ops::RangeInclusive<f64> = 2.0e5..=30.0e5;
/// Fastest mean piston speed of a diesel in a vessel [m/s]; from memory.
const PISTON_SPEED: f64 = 16.0;

/// Adds what is wrong with the plant as a whole.
pub(crate) fn checks(plant: &Plant, findings: &mut Vec<Finding>) {
    // Paths that were not understood leave gaps that would be reported over again.
    if !findings.iter().any(Finding::is_fatal) {
        pressures(plant, findings);
        dangling(plant, findings);
    }
    lonely(plant, findings);
    for part in &plant.parts {
        rating(part, findings);
    }
}

/// Places in the file of these parts, or none where all are assumed.
fn places<'a>(parts: impl Iterator<Item = &'a Part>) -> Vec<(std::ops::Range<usize>, String)> {
    parts.filter(|part| !part.assumed).map(|part| (part.place.clone(), String::new())).collect()
}

/// Each connected net of a circuit must have one pool, or an end in the sea, the air or another net.
fn pressures(plant: &Plant, findings: &mut Vec<Finding>) {
    let mut net: Vec<usize> = (0..plant.nodes.len()).collect();
    let root = |net: &[usize], mut at: usize| {
        while net[at] != at {
            at = net[at];
        }
        at
    };
    for flow in &plant.flows {
        if let (Terminal::Node(a), Terminal::Node(b)) = (flow.from, flow.to) {
            let (a, b) = (root(&net, a.0), root(&net, b.0));
            net[a.max(b)] = a.min(b);
        }
    }
    let mut pools: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut open: BTreeSet<usize> = BTreeSet::new();
    for pool in &plant.pools {
        pools.entry(root(&net, pool.node.0)).or_default().push(pool.part.0);
    }
    // Fuel that leaves for the cylinders leaves the tank: it takes what the engine asks for, and holds no pressure.
    for flow in plant.flows.iter().filter(|flow| flow.circuit != Circuit::Fuel) {
        match (flow.from, flow.to) {
            (Terminal::Node(_), Terminal::Node(_)) => {}
            (Terminal::Node(node), _) | (_, Terminal::Node(node)) => {
                open.insert(root(&net, node.0));
            }
            _ => {}
        }
    }
    for node in (0..plant.nodes.len()).filter(|node| root(&net, *node) == *node) {
        let circuit = plant.nodes[node].circuit.name().to_string();
        let here = pools.get(&node).map_or(&[][..], Vec::as_slice);
        let at = |parts: &[usize]| places(parts.iter().map(|part| &plant.parts[*part]));
        match (here, open.contains(&node)) {
            ([_], false) | ([], true) => {}
            ([], false) => {
                let near = plant.nodes[node].name.clone();
                let places = places(touching(plant, NodeId(node)).take(1));
                findings.push(Finding { problem: Problem::PressureFloats { circuit, near }, places });
            }
            (several, also_open) => {
                let mut parts: Vec<String> =
                    several.iter().map(|part| format!("`{}`", plant.parts[*part].name)).collect();
                if also_open {
                    parts.push("the open end".into());
                }
                let problem = Problem::PressureFixedTwice { circuit, parts };
                findings.push(Finding { problem, places: at(several) });
            }
        }
    }
}

fn touching(plant: &Plant, node: NodeId) -> impl Iterator<Item = &Part> {
    let at = Terminal::Node(node);
    plant.flows.iter().filter(move |flow| flow.from == at || flow.to == at).map(|flow| &plant.parts[flow.part.0])
}

/// A node that only one flow reaches, and no pool, leads nowhere.
fn dangling(plant: &Plant, findings: &mut Vec<Finding>) {
    let mut ends = vec![0_usize; plant.nodes.len()];
    for flow in &plant.flows {
        for end in [flow.from, flow.to] {
            if let Terminal::Node(node) = end {
                ends[node.0] += 1;
            }
        }
    }
    for pool in &plant.pools {
        ends[pool.node.0] += 1;
    }
    for flow in &plant.flows {
        for (terminal, end) in [
            (flow.from, plant[flow.part].kind.passages[flow.passage].from),
            (flow.to, plant[flow.part].kind.passages[flow.passage].to),
        ] {
            if let (Terminal::Node(node), End::Port(port)) = (terminal, end)
                && ends[node.0] == 1
            {
                let part = &plant[flow.part];
                let problem = Problem::LeadsNowhere { part: part.name.clone(), port: folded(port) };
                findings.push(Finding { problem, places: places(std::iter::once(part)) });
            }
        }
    }
}

/// Parts that something should flow through and nothing does.
fn lonely(plant: &Plant, findings: &mut Vec<Finding>) {
    for (index, part) in plant.parts.iter().enumerate() {
        let pooled = plant.pools.iter().any(|pool| pool.part.0 == index);
        let flows = part.flows.iter().any(Option::is_some);
        if !part.kind.passages.is_empty() && !pooled && !flows {
            let problem = Problem::NotConnected { part: part.name.clone() };
            findings.push(Finding { problem, places: places(std::iter::once(part)) });
        }
    }
}

/// Does the rating fit the cylinders?
fn rating(part: &Part, findings: &mut Vec<Finding>) {
    let told = |name: &str| {
        let index = part.kind.parameters.iter().position(|p| p.name == name)?;
        part.figures.get(index).map(|figure| figure.value)
    };
    let (Some(power), Some(speed), Some(bore), Some(stroke), Some(cylinders)) =
        (told("rated_power"), told("rated_speed"), told("bore"), told("stroke"), told("cylinders"))
    else {
        return;
    };
    let swept = std::f64::consts::FRAC_PI_4 * bore * bore * stroke * cylinders;
    // Four-stroke: one working stroke in two turns.
    let mean = power * 4.0 * std::f64::consts::PI / (speed * swept);
    let piston = stroke * speed / std::f64::consts::PI;
    let litres = swept * 1e3;
    let kilowatts = power / 1e3;
    let turns = speed * 30.0 / std::f64::consts::PI;
    let what = if !MEAN_PRESSURE.contains(&mean) {
        format!("{kilowatts:.0} kW at {turns:.0} rpm from {litres:.1} L of cylinders is hardly possible")
    } else if piston > PISTON_SPEED {
        format!("a stroke of {:.0} mm at {turns:.0} rpm means pistons at {piston:.0} m/s", stroke * 1e3)
    } else {
        return;
    };
    let problem = Problem::Contradiction { what, advice: "Check bore, stroke, number of cylinders, power and speed." };
    findings.push(Finding { problem, places: places(std::iter::once(part)) });
}
