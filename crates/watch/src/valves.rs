//! Turning valves, taking a part out, what leaks into what: in words.

use crate::place;
use crate::saying::{list, sentence};
use crate::tale::{note, stuff};
use jobs::take_out::{Plan, Running, Step, TakeOut};
use jobs::turning::{Effect, STOPPED};
use measure::quantity::Quantity;
use measure::unit::print_usual;
use model::touching::{Side, Touching};
use parts::kind::{Beyond, Circuit, Limit, Probe, When};
use plant::isolate::{Closing, Shutting, Source};
use plant::plant::{FlowId, PartId, Plant};

/// A heading and what stands below it.
#[derive(Clone, Debug, PartialEq)]
pub struct Paragraph {
    /// The heading; empty for none.
    pub heading: String,
    /// Lines, each a sentence or a step.
    pub lines: Vec<String>,
    /// The lines are steps, done in this order.
    pub steps: bool,
}

/// One effect, as a sentence.
pub fn effect(plant: &Plant, effect: &Effect) -> String {
    let name = |part: &PartId| plant[*part].name.clone();
    match effect {
        Effect::RunsDry { pump } => format!("{} turns and gets nothing: it runs dry.", name(pump)),
        Effect::DeadHeads { pump, pressure } => {
            let pressure = print_usual(*pressure, Quantity::GaugePressure);
            format!("{} presses against a shut pipe, at {pressure}.", name(pump))
        }
        Effect::Boils { part, minutes } => match minutes {
            Some(minutes) if *minutes < 1.5 => {
                format!("The cooling water in {} boils within a minute or so.", name(part))
            }
            Some(minutes) => format!("The cooling water in {} boils in about {minutes:.0} min.", name(part)),
            None => format!("The cooling water in {} boils.", name(part)),
        },
        Effect::PastLimit { part, limit, value } => past(plant, *part, limit, *value),
        Effect::Starves { flows, left } => starves(plant, flows, *left),
        Effect::Unknown { why } => format!("What comes of it could not be worked out ({why}): take it for harmful."),
    }
}

fn past(plant: &Plant, part: PartId, limit: &Limit, value: f64) -> String {
    let quantity = limit.probe.quantity(plant[part].kind);
    let side = if limit.when == When::High { "over" } else { "under" };
    let name = &plant[part].name;
    let what = match limit.probe {
        Probe::InletTemperature(k)
        | Probe::OutletTemperature(k)
        | Probe::InletPressure(k)
        | Probe::OutletPressure(k) => {
            let circuit = plant[part].flows.get(k).copied().flatten().map(|flow| plant.flows[flow.0].circuit);
            circuit.map_or_else(|| name.clone(), |circuit| format!("The {} at {name}", stuff(circuit)))
        }
        _ => name.clone(),
    };
    let (value, limit) = (print_usual(value, quantity), print_usual(limit.value, quantity));
    format!("{what} comes to {value}, {side} its limit of {limit}.")
}

fn starves(plant: &Plant, flows: &[FlowId], left: f64) -> String {
    let mut names: Vec<String> = Vec::new();
    for flow in flows {
        let name = &plant[plant.flows[flow.0].part].name;
        if !names.contains(name) {
            names.push(name.clone());
        }
    }
    let what = stuff(plant.flows[flows[0].0].circuit);
    let (gets, had) = if names.len() == 1 { ("gets", "it had") } else { ("get", "they had") };
    let names = list(&names);
    if left < STOPPED {
        format!("{names} {gets} no {what}.")
    } else {
        format!("{names} {gets} about {:.0} % of the {what} {had}.", left * 100.0)
    }
}

/// A plan to take a part out, from its first sentence to how it is put back.
pub fn take_out(plant: &Plant, job: &TakeOut) -> Vec<Paragraph> {
    let name = &plant[job.part].name;
    let mut all = vec![Paragraph { heading: String::new(), lines: vec![first(plant, job)], steps: false }];
    if !job.open.is_empty() {
        let lines = job.open.iter().map(|closing| open(plant, job.part, closing)).collect();
        let what = if job.running == Running::Live { "switch" } else { "valve" };
        all.push(Paragraph { heading: format!("No {what} stands between"), lines, steps: false });
    }
    if let Running::Can { plan, effects, .. } = &job.running {
        let lines = plan.steps.iter().map(|it| step(plant, it, true)).collect();
        all.push(Paragraph { heading: "Under way, in this order".into(), lines, steps: true });
        also(plant, plan, &mut all);
        let less: Vec<String> = effects.iter().map(|it| effect(plant, it)).collect();
        if !less.is_empty() {
            all.push(Paragraph { heading: "Meanwhile".into(), lines: less, steps: false });
        }
    }
    if let Running::Cannot { effects } = &job.running {
        let lines = effects.iter().map(|it| effect(plant, it)).collect();
        all.push(Paragraph { heading: "Shut off with the engine running".into(), lines, steps: false });
    }
    if !job.stopped.steps.is_empty() || !job.stopped.stay.is_empty() {
        let mut lines: Vec<String> =
            vec!["Stop the engine, and see to it that nobody can start it: key in your pocket.".into()];
        lines.extend(job.stopped.steps.iter().map(|it| step(plant, it, false)));
        all.push(Paragraph { heading: "With the engine stopped".into(), lines, steps: true });
        also(plant, &job.stopped, &mut all);
    }
    let circuits = circuits(plant, job.part);
    let proof = circuits.iter().map(|circuit| proof(*circuit, name)).collect();
    all.push(Paragraph {
        heading: "Proof that it is shut off, before anything is loosened".into(),
        lines: proof,
        steps: false,
    });
    all.push(Paragraph { heading: "To put it back".into(), lines: back(plant, job), steps: false });
    let cautions = circuits.iter().map(|circuit| caution(*circuit).to_string()).collect();
    all.push(Paragraph { heading: "Mind".into(), lines: cautions, steps: false });
    all
}

/// What a drawing marks for it: the part itself, and each valve by where it goes.
pub fn marked(plant: &Plant, job: &TakeOut) -> Vec<Option<String>> {
    let mut marked = vec![None; plant.parts.len()];
    let plan = if let Running::Can { plan, .. } = &job.running { plan } else { &job.stopped };
    for step in &plan.steps {
        marked[step.valve.0] = Some(format!("to {}", plant[step.valve].kind.turned(step.to > 0.5)));
    }
    marked[job.part.0] = Some("out".into());
    marked
}

fn first(plant: &Plant, job: &TakeOut) -> String {
    let name = &plant[job.part].name;
    match &job.running {
        Running::Can { plan, fastest, .. } => {
            let valves: Vec<String> = plan.steps.iter().map(|it| plant[it.valve].name.clone()).collect();
            let fast = if *fastest > 0.999 * plant.rated_speed {
                "at any speed".into()
            } else {
                format!("up to {}", place::speed(*fastest))
            };
            format!("{name} can be taken out under way, {fast}: turn {}.", list(&valves))
        }
        Running::Cannot { .. } => format!("To take {name} out the engine must be stopped."),
        Running::Live => {
            format!("{name} carries current: stop the engine before it is switched off or a lug is loosened.")
        }
        Running::NoValves if job.open.is_empty() => {
            format!("Nothing flows through {name} that a valve could shut off.")
        }
        Running::NoValves => {
            format!("{name} cannot be shut off on every side: stop the engine, and read what runs out of it.")
        }
    }
}

fn step(plant: &Plant, step: &Step, running: bool) -> String {
    let valve = &plant[step.valve];
    let act = sentence(valve.kind.turned(step.to > 0.5));
    let notes: Vec<String> = ["tag", "where", "handle"]
        .iter()
        .filter_map(|key| {
            note(plant, step.valve, key).map(|text| if *key == "handle" { format!("handle {text}") } else { text })
        })
        .collect();
    let notes = if notes.is_empty() { String::new() } else { format!(" ({})", notes.join("; ")) };
    let vent = if step.to > 0.5 && running {
        ", and vent what was empty behind it until solid liquid comes; above the waterline fill it by hand"
    } else {
        ""
    };
    format!("{act} {}{notes}{vent}.", valve.name)
}

fn also(plant: &Plant, plan: &Plan, all: &mut Vec<Paragraph>) {
    let names = |parts: &[PartId]| list(&parts.iter().map(|part| plant[*part].name.clone()).collect::<Vec<_>>());
    let mut lines = Vec::new();
    if !plan.stay.is_empty() {
        let off = plan.stay.iter().all(|valve| plant[*valve].kind.is_switch());
        lines.push(format!("Leave {} {}.", names(&plan.stay), if off { "off" } else { "shut" }));
    }
    if !plan.with.is_empty() {
        lines.push(format!("Shut off with it: {}.", names(&plan.with)));
    }
    if !lines.is_empty() {
        all.push(Paragraph { heading: String::new(), lines, steps: false });
    }
}

fn open(plant: &Plant, part: PartId, closing: &Closing) -> String {
    let Shutting::Open { source, through } = &closing.by else { return String::new() };
    let (what, name) = (stuff(closing.circuit), &plant[part].name);
    let from = match source {
        Source::Sea => "the sea".to_string(),
        Source::Pool(pool) => plant[*pool].name.clone(),
    };
    let through: Vec<String> = through.iter().map(|part| plant[*part].name.clone()).collect();
    let through = if through.is_empty() { String::new() } else { format!(" through {}", list(&through)) };
    match source {
        Source::Pool(_) if closing.circuit.is_electric() => format!(
            "{from} feeds {name}{through}, and no switch stands between. Take the cable off at {from}, negative first, \
             and wrap its lug."
        ),
        Source::Sea => format!(
            "The sea stands at {name}{through}. It is not for taking out afloat, unless the opening is plugged from \
             outside by somebody who does that work."
        ),
        Source::Pool(_) => format!(
            "The {what} of {from} can reach {name}{through}. Stopped, what stands above it runs out: let it cool, \
             drain it first, or have a container under it."
        ),
    }
}

/// Circuits whose liquid runs through a part, in the order circuits are listed.
fn circuits(plant: &Plant, part: PartId) -> Vec<Circuit> {
    let own = plant[part].flows.iter().flatten().map(|flow| plant.flows[flow.0].circuit);
    let pooled = plant.pools.iter().filter(|pool| pool.part == part).map(|pool| plant.nodes[pool.node.0].circuit);
    let all: Vec<Circuit> = own.chain(pooled).collect();
    Circuit::ALL.into_iter().filter(|circuit| all.contains(circuit)).collect()
}

/// Common practice, no source.
fn proof(circuit: Circuit, name: &str) -> String {
    match circuit {
        Circuit::RawWater => format!(
            "Crack the lid, vent or drain of {name}: no water keeps coming, no air is drawn in, and the level stands \
             still for a minute."
        ),
        Circuit::Exhaust | Circuit::Air => format!("{name} carries gas: it is cold to the hand before it is opened."),
        Circuit::Charging => format!("Measure at {name}: no voltage against ground on any of its studs."),
        Circuit::Fuel => format!("Crack the bleed screw of {name}: it weeps and stops, and stays dry for a minute."),
        other => format!(
            "Ease the lowest joint of {name}, cold: the {} that stands in it runs out and stops, and the level where \
             it is topped up stands still.",
            stuff(other)
        ),
    }
}

/// Common practice, no source.
fn caution(circuit: Circuit) -> &'static str {
    match circuit {
        Circuit::RawWater | Circuit::Bilge => {
            "What is opened below the waterline with the sea on it floods the engine space. Keep a bung and the lid at \
             hand, and a hand on the seacock."
        }
        Circuit::FreshWater => "Hot coolant under its cap scalds: let it cool first.",
        Circuit::Oil | Circuit::GearOil => "Hot oil burns: let it cool, and catch what runs out.",
        Circuit::Fuel => "Fuel on hot metal burns: no flame, no hot engine, and catch every drop.",
        Circuit::Exhaust | Circuit::Air => {
            "Exhaust parts stay hot long after a stop, and exhaust gas kills: air the space."
        }
        Circuit::Charging => {
            "A bank melts the spanner that shorts it: rings off, negative first off and last on, no flame near batteries. \
             Never switch a bank off while the alternator charges."
        }
        _ => "Keep hands and clothes away from what turns.",
    }
}

fn back(plant: &Plant, job: &TakeOut) -> Vec<String> {
    let name = &plant[job.part].name;
    let (steps, by) = match &job.running {
        Running::Can { plan, .. } => (&plan.steps, true),
        _ => (&job.stopped.steps, false),
    };
    let shut: Vec<&Step> = steps.iter().filter(|step| step.to < 0.5).rev().collect();
    if job.running == Running::Live {
        let on: Vec<String> = shut.iter().map(|step| plant[step.valve].name.clone()).collect();
        let on = if on.is_empty() { String::new() } else { format!(" Then switch {} on.", list(&on)) };
        return vec![
            format!("Fasten every lug of {name}, positive first, negative last.{on}"),
            "Start the engine: the voltage rises, and no lug grows warm.".into(),
        ];
    }
    let opened = steps.iter().any(|step| step.to > 0.5);
    let Some((first, rest)) = shut.split_first() else {
        return vec![format!("Close {name} up, fill and vent it, and look for leaks with the engine idling.")];
    };
    let mut lines = vec![format!(
        "Close {name} up. Open {} with its lid or vent cracked until solid liquid comes, then shut the vent.",
        plant[first.valve].name
    )];
    let others: Vec<String> = rest.iter().map(|step| plant[step.valve].name.clone()).collect();
    if by && opened && !others.is_empty() {
        lines.push(format!("It now stands by: leave {} shut until it is wanted again.", list(&others)));
    } else if !others.is_empty() {
        lines.push(format!("Then open {}.", list(&others)));
    }
    lines.push(
        "Look for leaks, first still and then with the engine idling, and at the gauges for a few minutes.".into(),
    );
    lines
}

/// What could leak into what at a wall, as a sentence.
pub fn touching(plant: &Plant, at: &Touching) -> String {
    format!("{}, {}: if it leaks, {}.", plant[at.part].name, at.wall.name, leak(plant, at))
}

/// What goes where at a wall that leaks: "coolant goes into the raw water, running and stopped".
pub fn leak(plant: &Plant, at: &Touching) -> String {
    let carries = |passage: usize| {
        let flow = plant[at.part].flows[passage].map(|flow| plant.flows[flow.0].circuit);
        let pool = || plant.pools.iter().find(|p| p.part == at.part && p.passage == passage);
        let circuit = flow.or_else(|| pool().map(|pool| plant.nodes[pool.node.0].circuit));
        stuff(circuit.unwrap_or(plant[at.part].kind.circuit))
    };
    let inside = carries(at.inside);
    let (beyond, takes) = match (at.wall.beyond, at.beyond) {
        (_, Some(passage)) => (carries(passage), format!("the {}", carries(passage))),
        (Beyond::Cylinder, None) => ("combustion gas".into(), "the cylinders".into()),
        (Beyond::Crankcase, None) => ("engine oil".into(), "the engine oil".into()),
        (Beyond::Sea, None) => ("sea water".into(), "the sea".to_string()),
        (_, None) => ("air".into(), "the bilge".into()),
    };
    let goes = |side: Side| match side {
        Side::Inside(_) => format!("{inside} goes into {takes}"),
        Side::Beyond(_) => format!("{beyond} goes into the {inside}"),
        Side::Either(_) => "either may go".into(),
    };
    let (running, stopped) = (goes(at.running), goes(at.stopped));
    if running == stopped {
        format!("{running}, running and stopped")
    } else {
        format!("running, {running}; stopped, {stopped}")
    }
}

/// A line-up as a list: "seacock-port shut, seacock-starboard open".
pub fn stands(plant: &Plant, stands: &[(PartId, f64)]) -> String {
    let all: Vec<String> =
        stands.iter().map(|(valve, to)| format!("{} {}", plant[*valve].name, plant[*valve].kind.stands(*to))).collect();
    list(&all)
}
