//! Several engines: a sheet for each, one below the other; what they share stands on each of them.

use super::{Drawn, Hung, Label, Of, Run, Schematic};
use plant::aboard::Aboard;
use plant::plant::{Flow, FlowId, Gauge, GaugeId, Linked, Node, NodeId, PartId, Plant, Pool, Tap, Terminal};
use plant::sisters::Sisters;

/// One engine's part of a plant, and which part and gauge of the whole each of its own is.
pub(super) struct Section {
    pub plant: Plant,
    parts: Vec<usize>,
    gauges: Vec<usize>,
}

/// A section for each engine; none if there is but one.
pub(super) fn sections(plant: &Plant) -> Vec<Section> {
    let mut engines: Vec<Option<PartId>> = Vec::new();
    for part in &plant.parts {
        if !engines.contains(&part.engine) {
            engines.push(part.engine);
        }
    }
    if engines.len() < 2 {
        return Vec::new();
    }
    let mut hung = vec![false; plant.gauges.len()];
    engines.into_iter().map(|engine| section(plant, engine, &mut hung)).collect()
}

/// The engine's own parts, and of the others what leads to them.
fn section(plant: &Plant, engine: Option<PartId>, hung: &mut [bool]) -> Section {
    let mut kept: Vec<bool> = plant.parts.iter().map(|part| part.engine == engine).collect();
    loop {
        let leads = |flow: &&Flow| {
            !kept[flow.part.0]
                && plant
                    .flows
                    .iter()
                    .any(|on| kept[on.part.0] && on.from == flow.to && matches!(on.from, Terminal::Node(_)))
        };
        let Some(flow) = plant.flows.iter().find(leads) else { break };
        kept[flow.part.0] = true;
    }
    let parts: Vec<usize> = (0..plant.parts.len()).filter(|part| kept[*part]).collect();
    let own_part = |part: PartId| parts.iter().position(|own| *own == part.0).map(PartId);
    // Ways of what is shared that lead to another engine end nowhere here, and are left out.
    let flows: Vec<usize> = (0..plant.flows.len()).filter(|flow| kept[plant.flows[*flow].part.0]).collect();
    let own_flow = |flow: FlowId| flows.iter().position(|own| *own == flow.0).map(FlowId);
    let place = |part: &PartId| own_part(*part);
    let linked = |linked: &Linked| match linked {
        Linked::Unknowns(all) => {
            Linked::Unknowns(all.iter().filter_map(|(part, unknown)| Some((place(part)?, *unknown))).collect())
        }
        Linked::Flows(all) => Linked::Flows(all.iter().filter_map(|flow| own_flow(*flow)).collect()),
        Linked::Constant(_) | Linked::Temperature(_) => linked.clone(),
    };
    let nodes: Vec<Node> = plant.nodes.clone();
    let mut mine = Plant {
        name: plant.name.clone(),
        parts: Vec::new(),
        nodes,
        flows: Vec::new(),
        pools: Vec::new(),
        gauges: Vec::new(),
        line_ups: Vec::new(),
        sisters: Sisters::default(),
        aboard: Aboard::default(),
        rates: Vec::new(),
        rated_power: plant.rated_power,
        rated_speed: plant.rated_speed,
        nominal_voltage: plant.nominal_voltage,
    };
    for part in parts.iter().map(|part| &plant.parts[*part]) {
        let mut own = part.clone();
        own.engine = part.engine.and_then(own_part);
        own.links = part.links.iter().map(linked).collect();
        own.flows = part.flows.iter().map(|flow| flow.and_then(own_flow)).collect();
        mine.parts.push(own);
    }
    for flow in flows.iter().map(|flow| &plant.flows[*flow]) {
        mine.flows.extend(own_part(flow.part).map(|part| Flow { part, ..flow.clone() }));
    }
    for pool in &plant.pools {
        mine.pools.extend(own_part(pool.part).map(|part| Pool { part, ..pool.clone() }));
    }
    let met = |node: NodeId| {
        let at = Terminal::Node(node);
        mine.flows.iter().any(|flow| flow.from == at || flow.to == at)
            || mine.pools.iter().any(|pool| pool.node == node)
    };
    let mut gauges = Vec::new();
    for id in plant.gauge_ids().filter(|id: &GaugeId| !hung[id.0]) {
        let gauge: &Gauge = &plant[id];
        let tap = match gauge.tap {
            Tap::Pressure(node) | Tap::Voltage(node) | Tap::Temperature(node) => met(node).then_some(gauge.tap),
            Tap::Drop(flow) => own_flow(flow).map(Tap::Drop),
            Tap::Flow(flow) => own_flow(flow).map(Tap::Flow),
            Tap::Meter(flow) => own_flow(flow).map(Tap::Meter),
            Tap::Unknown(part, unknown) => own_part(part).map(|part| Tap::Unknown(part, unknown)),
            Tap::Sea | Tap::Air => Some(gauge.tap),
        };
        if let Some(tap) = tap {
            gauges.push((id.0, Gauge { tap, ..gauge.clone() }));
        }
    }
    for (gauge, _) in &gauges {
        hung[*gauge] = true;
    }
    let (gauges, own): (Vec<usize>, Vec<Gauge>) = gauges.into_iter().unzip();
    mine.gauges = own;
    Section { plant: mine, parts, gauges }
}

/// One schematic of all sections, each with what was laid out for it.
pub(super) fn below_each_other(plant: &Plant, sheets: Vec<(Section, Schematic)>) -> Schematic {
    let mut pieces: Vec<Option<Drawn>> = (0..plant.parts.len()).map(|_| None).collect();
    let mut whole = Schematic {
        size: (0.0, 0.0),
        pieces: Vec::new(),
        again: Vec::new(),
        runs: Vec::new(),
        junctions: Vec::new(),
        arrows: Vec::new(),
        labels: Vec::new(),
        gauges: Vec::new(),
    };
    let mut nets = 0;
    for (section, sheet) in sheets {
        let top = whole.size.1;
        let down = |(x, y)| (x, y + top);
        let net = |net: usize| nets + net;
        let part = |part: usize| section.parts[part];
        for (index, mut drawn) in sheet.pieces.into_iter().enumerate() {
            drawn.rect.y += top;
            drawn.ports.iter_mut().for_each(|port| port.at = down(port.at));
            let slot = &mut pieces[part(index)];
            if slot.is_none() { *slot = Some(drawn) } else { whole.again.push((part(index), drawn)) }
        }
        let mut most = 0;
        for run in sheet.runs {
            most = most.max(run.net + 1);
            whole.runs.push(Run {
                net: net(run.net),
                from: (part(run.from.0), run.from.1),
                to: (part(run.to.0), run.to.1),
                points: run.points.into_iter().map(down).collect(),
                ..run
            });
        }
        whole.junctions.extend(sheet.junctions.into_iter().map(|(of, at)| (net(of), down(at))));
        whole.arrows.extend(sheet.arrows.into_iter().map(|(of, at, along)| (net(of), down(at), along)));
        whole.labels.extend(sheet.labels.into_iter().map(|mut label: Label| {
            label.rect.y += top;
            label.of = match label.of {
                Of::Part(index) => Of::Part(part(index)),
                Of::Gauge(index) => Of::Gauge(section.gauges[index]),
                other => other,
            };
            label
        }));
        whole.gauges.extend(sheet.gauges.into_iter().map(|mut hung: Hung| {
            hung.gauge = section.gauges[hung.gauge];
            hung.circle.y += top;
            hung.leader = hung.leader.into_iter().map(down).collect();
            hung
        }));
        whole.size = (whole.size.0.max(sheet.size.0), top + sheet.size.1);
        nets += most;
    }
    // Every part serves an engine, and so stands on that one's sheet.
    whole.pieces = pieces.into_iter().flatten().collect();
    whole
}
