//! A chapter for each circuit: how it flows, its drawing, and every part that belongs to it.

use crate::document::{Block, Chapter};
use crate::facts::Facts;
use crate::kinds;
use crate::make::{chapter, heading, say, text};
use crate::rounds::part_of;
use crate::story::story;
use crate::words::{self, a, lower_first, name, note, sentence, stopped, the};
use drawing::{Live, Only};
use measure::quantity::Quantity;
use parts::kind::{Circuit, Limit, Probe, When};
use plant::follow::{turned_by, turns};
use plant::names::is_engine;
use plant::plant::{GaugeId, PartId, Plant, Tap, metered_density};
use watch::assumed::in_owners_unit;
use watch::{dial, place::circuit_of};

/// What a circuit is there for; common practice, no source.
fn purpose(circuit: Circuit) -> &'static str {
    match circuit {
        Circuit::RawWater => {
            "Sea water is drawn in, takes the engine's heat and leaves again. It is used once, and it is the circuit that \
             fails most: weed, a worn impeller or a seacock left shut stop it. It also stands open to the sea, so that \
             every hose of it is a way in for water."
        }
        Circuit::FreshWater => {
            "The coolant goes round and round in the engine and carries its heat to where the sea can take it. It never \
             leaves, so that a level that falls means a leak."
        }
        Circuit::Oil => {
            "The engine's oil keeps metal off metal and carries heat away. It is the circuit with the shortest warning: \
             without pressure the bearings last seconds."
        }
        Circuit::Exhaust => {
            "Burnt gas leaves this way, hot enough to set wood alight before it is cooled or lagged, and deadly to \
             breathe all the way."
        }
        Circuit::GearOil => "The gearbox has oil of its own, which works its clutches and must be kept cool.",
        Circuit::Fuel => {
            "Fuel goes from the tank through filters to the engine, and what is not burnt goes back. Dirt, water and air \
             stop it, and none of them gives much warning."
        }
        Circuit::Air => {
            "The engine breathes the air of its space, and that air also carries off the heat it gives to the room."
        }
        Circuit::Bilge => "What leaks gathers in the bilge and is pumped overboard.",
        Circuit::Drive => "This is the way the power takes, from the engine to the water.",
        Circuit::Charging => {
            "The engine turns an alternator, which fills the batteries and feeds what uses current aboard."
        }
        Circuit::Gauges => "What tells how all the rest is: gauges, the alarms, and the wires they hang on.",
    }
}

/// The circuit a part is told of under: its own where something of that flows in it, else the first that does.
pub(crate) fn home(plant: &Plant, part: PartId) -> Circuit {
    let flows: Vec<Circuit> = plant[part].flows.iter().flatten().map(|flow| plant.flows[flow.0].circuit).collect();
    let own = plant[part].kind.circuit;
    if flows.is_empty() || flows.contains(&own) { own } else { flows[0] }
}

/// Does anything of this circuit flow through a part, or is it at home in it?
fn belongs(plant: &Plant, part: PartId, circuit: Circuit) -> bool {
    let flows = plant[part].flows.iter().flatten().any(|flow| plant.flows[flow.0].circuit == circuit);
    let pools = plant.pools.iter().any(|pool| pool.part == part && plant.nodes[pool.node.0].circuit == circuit);
    flows || pools || home(plant, part) == circuit
}

/// Circuits that this plant has, in the order pages list them.
pub(crate) fn present(plant: &Plant) -> Vec<Circuit> {
    let all = || (0..plant.parts.len()).map(PartId);
    let there = |circuit: &Circuit| {
        all().any(|part| home(plant, part) == *circuit) || { *circuit == Circuit::Gauges && !plant.gauges.is_empty() }
    };
    Circuit::ALL.into_iter().filter(there).collect()
}

/// What links to a circuit's chapter use.
pub(crate) fn anchor(circuit: Circuit) -> String {
    format!("circuit-{}", circuit.name())
}

/// The chapters.
pub(crate) fn chapters(facts: &Facts) -> Vec<Chapter> {
    present(facts.plant).into_iter().map(|circuit| of(facts, circuit)).collect()
}

fn of(facts: &Facts, circuit: Circuit) -> Chapter {
    let plant = facts.plant;
    let mut blocks = vec![say(purpose(circuit))];
    blocks.extend(story(plant, circuit));
    if circuit == Circuit::Drive {
        blocks.extend(power(facts));
    }
    blocks.extend(drawn(facts, circuit));
    if circuit == Circuit::Gauges {
        blocks.extend(instruments(facts));
    }
    let there: Vec<PartId> = facts
        .walk
        .iter()
        .copied()
        .filter(|part| home(plant, *part) == circuit && !is_engine(plant[*part].kind))
        .collect();
    blocks.extend(parts_told(facts, &there));
    chapter(circuit.title(), &anchor(circuit), blocks)
}

/// The chapter of the engine, or of all of them.
pub(crate) fn engines(facts: &Facts) -> Chapter {
    let several = facts.several();
    let title = if several { "The engines" } else { "The engine" };
    chapter(title, "engine", parts_told(facts, &facts.engines))
}

/// Parts with their headings; what is the same of several of a kind is told of the first.
pub(crate) fn parts_told(facts: &Facts, parts: &[PartId]) -> Vec<Block> {
    let plant = facts.plant;
    let mut blocks = Vec::new();
    for (place, part) in parts.iter().enumerate() {
        let like = parts[..place].iter().copied().find(|other| std::ptr::eq(plant[*other].kind, plant[*part].kind));
        blocks.push(heading(sentence(&name(plant, *part)), words::anchor(plant, *part)));
        blocks.extend(part_told(facts, *part, like));
    }
    blocks
}

/// What turns what, from each engine on.
fn power(facts: &Facts) -> Vec<Block> {
    let plant = facts.plant;
    let chain = |engine: &PartId| {
        let mut said = Vec::new();
        let mut at = vec![*engine];
        let mut told = vec![*engine];
        while let Some(part) = at.pop() {
            let driven: Vec<PartId> = turns(plant, part).into_iter().filter(|other| !told.contains(other)).collect();
            if driven.is_empty() {
                continue;
            }
            said.push(format!("{} turns {}.", sentence(&the(plant, part)), words::the_all(plant, &driven)));
            told.extend(&driven);
            at.extend(driven.into_iter().rev());
        }
        said.join(" ")
    };
    facts.engines.iter().map(chain).filter(|said| !said.is_empty()).map(say).collect()
}

/// Its schematic, cut out of the whole; nothing where no pipes are drawn.
fn drawn(facts: &Facts, circuit: Circuit) -> Option<Block> {
    let plant = facts.plant;
    facts.schematic.runs.iter().find(|run| run.circuit == circuit)?;
    let only = Only {
        circuit,
        parts: (0..plant.parts.len()).map(|part| belongs(plant, PartId(part), circuit)).collect(),
        gauges: plant.gauge_ids().map(|gauge| circuit_of(plant, gauge) == circuit).collect(),
    };
    let live = Live { standalone: true, only: Some(only), ..Live::default() };
    let svg = drawing::on_paper(&facts.schematic.svg(plant, &live));
    let caption = format!("{} of {}, drawn from the description.", circuit.title(), her(facts));
    Some(Block::Drawing { svg, caption, width: 1.0 })
}

/// The vessel, after "of".
fn her<'a>(facts: &'a Facts) -> &'a str {
    if facts.vessel().is_empty() { "this vessel" } else { facts.vessel() }
}

/// All that is told of a part, in sentences; what it has in common with one `like` it is told there.
pub(crate) fn part_told(facts: &Facts, part: PartId, like: Option<PartId>) -> Vec<Block> {
    let plant = facts.plant;
    let mut said: Vec<String> = Vec::new();
    match (like, kinds::told(plant[part].kind)) {
        (Some(like), _) => {
            said.push(format!("It does what {} does, and what may go wrong is the same.", the(plant, like)));
        }
        (None, Some(told)) => said.push(told.what.into()),
        (None, None) => said.push(format!("It is {}.", a(&lower_first(plant[part].kind.title)))),
    }
    if let Some(place) = words::place(plant, part) {
        said.push(format!("Look for it here: {}", stopped(&place)));
    }
    said.extend(identity(plant, part));
    if let Some(by) = turned_by(plant, part) {
        said.push(format!("It is turned by {}.", the(plant, by)));
    }
    said.extend(stands(plant, part));
    said.extend(looked_at(plant, part));
    if plant[part].assumed {
        said.push("Nobody described it; it is taken to be there, as on any vessel of this sort.".into());
    }
    let mut blocks = vec![say(said.join(" "))];
    if like.is_some() {
        return blocks;
    }
    let fails: Vec<String> = plant[part].kind.causes.iter().map(|cause| cause.title.to_string()).take(5).collect();
    if !fails.is_empty() {
        blocks.push(Block::Paragraph(vec![text(format!("What may go wrong: {}.", fails.join("; ")))]));
    }
    blocks.extend(plant[part].kind.limits.iter().map(|limit| Block::Caution(limit_told(plant, part, limit))));
    blocks
}

/// Tag, serial number, manual, photo and note, as the owner wrote them.
fn identity(plant: &Plant, part: PartId) -> Vec<String> {
    let of = |key: &str| note(plant, part, key);
    let mut said = Vec::new();
    if let Some(tag) = of("tag") {
        said.push(format!("Its tag reads {}.", tag.trim_end_matches('.')));
    }
    if let Some(serial) = of("serial") {
        said.push(format!("Its serial number is {}.", serial.trim_end_matches('.')));
    }
    if let Some(manual) = of("manual") {
        said.push(format!("In the manual: {}", stopped(&manual)));
    }
    if let Some(photo) = of("photo") {
        said.push(format!("There is a photograph of it: {}", stopped(&photo)));
    }
    if let Some(note) = of("note") {
        said.push(stopped(&sentence(&note)));
    }
    if let Some(hours) = plant[part].hours_since {
        said.push(format!("When this was described it had run {hours:.0} hours since it was last seen to."));
    }
    said
}

/// How a valve stands, and what its handle says.
fn stands(plant: &Plant, part: PartId) -> Vec<String> {
    let Some(opening) = plant.opening(part) else { return Vec::new() };
    let mut said = vec![format!("As she is described it stands {}.", plant[part].kind.stands(opening))];
    said.extend(handle(plant, part));
    said
}

/// Which way a handle lies, as a sentence: "Along the pipe: open" reads "With its handle along the pipe it is open."
pub(crate) fn handle(plant: &Plant, part: PartId) -> Option<String> {
    let written = note(plant, part, "handle")?;
    let clauses: Vec<String> = written
        .split(';')
        .map(|clause| match clause.split_once(':') {
            Some((lies, is)) => format!("with its handle {} it is {}", lies.trim(), is.trim()),
            None => format!("its handle lies {}", clause.trim()),
        })
        .collect();
    Some(stopped(&sentence(&words::list(&clauses))))
}

/// The gauges that look at it.
fn looked_at(plant: &Plant, part: PartId) -> Option<String> {
    let here = |gauge: &GaugeId| part_of(plant, *gauge) == Some(part);
    let (alarms, gauges): (Vec<GaugeId>, Vec<GaugeId>) =
        plant.gauge_ids().filter(here).partition(|gauge| plant[*gauge].trips.is_some());
    let names =
        |all: &[GaugeId]| words::list(&all.iter().map(|gauge| words::gauge_name(&plant[*gauge])).collect::<Vec<_>>());
    let watched = format!("the {}", names(&alarms).replace(" and ", " and the "));
    match (gauges.len(), alarms.len()) {
        (0, 0) => None,
        (_, 0) => Some(format!("What is read on it: {}.", names(&gauges))),
        (0, _) => Some(format!("It is watched by {watched}.")),
        _ => Some(format!("What is read on it: {}; it is watched by {watched}.", names(&gauges))),
    }
}

/// A limit and what to do past it.
fn limit_told(plant: &Plant, part: PartId, limit: &Limit) -> String {
    let side = if limit.when == When::High { "Above" } else { "Below" };
    let quantity = limit.probe.quantity(plant[part].kind);
    let density = match limit.probe {
        Probe::Flow(passage) => plant[part]
            .flows
            .get(passage)
            .copied()
            .flatten()
            .and_then(|flow| metered_density(&plant.flows[flow.0].contents)),
        _ => None,
    };
    let (value, unit) = match quantity {
        // A share is said in hundredths, however small it is.
        Quantity::Ratio => (format!("{:.0}", 100.0 * limit.value), "%"),
        _ => in_owners_unit(limit.value, quantity, density),
    };
    let running = if limit.running_only { " with the engine running" } else { "" };
    format!("{side} {}{running}: {}", dial::with_unit(&value, unit), lower_first(&plant.worded(limit.act)))
}

/// The gauges and alarms, in prose and as a list.
fn instruments(facts: &Facts) -> Vec<Block> {
    let plant = facts.plant;
    let gauges: Vec<GaugeId> = words::read_gauges(plant).collect();
    let alarms: Vec<GaugeId> = plant.gauge_ids().filter(|gauge| plant[*gauge].trips.is_some()).collect();
    let mut out = Vec::new();
    let counted = format!(
        "She has {} to read and {} that speak by themselves. A gauge can lie: before anything is taken apart because of a \
         single one, hold it against another gauge, a hand or a thermometer.",
        words::count(gauges.len(), "gauge", "gauges"),
        words::count(alarms.len(), "alarm", "alarms"),
    );
    out.push(say(counted));
    let line = |gauge: &GaugeId| {
        let it = &plant[*gauge];
        let at = match (it.tap, part_of(plant, *gauge)) {
            (Tap::Sea, _) => "outside, in the sea".into(),
            (Tap::Air, _) => "outside, in the air".into(),
            (_, Some(part)) => format!("at {}", the(plant, part)),
            (_, None) => format!("at {}", watch::place::looks_at(plant, *gauge)),
        };
        let name = sentence(&words::gauge_name(it));
        let what = format!("{name} is taken {at}");
        match it.trips {
            Some((trip, When::High)) => {
                vec![text(format!("{name} listens {at} and speaks above {}.", words::told(it, trip)))]
            }
            Some((trip, When::Low)) => {
                vec![text(format!("{name} listens {at} and speaks below {}.", words::told(it, trip)))]
            }
            None => {
                let place = it.notes.iter().find(|(key, _)| key == "where").map(|(_, place)| format!(" ({place})"));
                let unit = words::unit(it);
                let unit = if unit.is_empty() { String::new() } else { format!(", in {unit}") };
                vec![text(format!("{what}{unit}{}.", place.unwrap_or_default()))]
            }
        }
    };
    if !plant.gauges.is_empty() {
        out.push(Block::List(gauges.iter().chain(&alarms).map(line).collect()));
    }
    out
}
