//! A circuit's way in prose: followed from where it begins to where it ends, every branch once.

use crate::document::{Block, Span};
use crate::make::text;
use crate::words::{linked, note, sentence, the};
use parts::kind::{Circuit, Place, Station};
use plant::follow::{Along, End, Step, Trail, follow};
use plant::plant::{FlowId, PartId, Plant, Terminal};
use watch::tale::stuff;

/// Steps in a sentence before a new one begins.
const BREATH: usize = 3;

/// How it flows, a paragraph for each beginning.
pub(crate) fn story(plant: &Plant, circuit: Circuit) -> Vec<Block> {
    // The way is told with everything open: what stands shut is said so, and is still part of the way.
    let mut open = plant.clone();
    let all: Vec<(PartId, f64)> = open.valves().map(|valve| (valve, 1.0)).collect();
    open.turn(&all);
    let mut teller = Teller { plant, open: &open, circuit, told: Vec::new(), out: Vec::new() };
    for start in starts(&open, circuit) {
        teller.from(start);
    }
    teller.out.into_iter().map(Block::Paragraph).collect()
}

/// Flows that a circuit is told from: where it comes in from outside; of what goes round, its tank, sump or pump; and then
/// whatever has not been told.
fn starts(plant: &Plant, circuit: Circuit) -> Vec<FlowId> {
    let flows = || (0..plant.flows.len()).map(FlowId).filter(|flow| plant.flows[flow.0].circuit == circuit);
    let outside = |flow: &FlowId| matches!(plant.flows[flow.0].from, Terminal::Sea | Terminal::Air | Terminal::Ground);
    let pooled = |flow: &FlowId| {
        plant.pools.iter().any(|pool| Terminal::Node(pool.node) == plant.flows[flow.0].from)
            && !plant.stores(*flow).is_some_and(|_| true)
    };
    let drives = |flow: &FlowId| {
        let along = |place: &Place| matches!(place, Place::Along { station: Station::Pump, .. });
        plant[plant.flows[flow.0].part].kind.places.iter().any(along)
    };
    let mut all: Vec<FlowId> = flows().filter(outside).collect();
    if all.is_empty() && circuit == Circuit::FreshWater {
        all.extend(flows().filter(drives));
    }
    all.extend(flows().filter(|flow| pooled(flow) && drives_or_draws(plant, *flow)));
    all.extend(flows().filter(drives));
    all.extend(flows());
    all
}

/// Is it on the way out of a pool, and not on the way back into it?
fn drives_or_draws(plant: &Plant, flow: FlowId) -> bool {
    plant.flows[flow.0].from != plant.flows[flow.0].to
}

struct Teller<'a> {
    /// As she stands.
    plant: &'a Plant,
    /// With everything open.
    open: &'a Plant,
    circuit: Circuit,
    told: Vec<FlowId>,
    out: Vec<Vec<Span>>,
}

/// A sentence that is being said, and how many steps are in it.
struct Saying {
    spans: Vec<Span>,
    steps: usize,
    last: Option<PartId>,
    was: Circuit,
}

impl Teller<'_> {
    fn from(&mut self, start: FlowId) {
        if self.told.contains(&start) {
            return;
        }
        let part = self.open.flows[start.0].part;
        let found = follow(self.open, part, Along::Onward);
        let begins = |trail: &Trail| trail.steps.first() == Some(&Step::Flow(start));
        let Some((_, trail)) = found.into_iter().find(|(_, trail)| begins(trail)) else { return };
        let pool = self.open.plant_pool_at(start);
        let subject = match pool {
            Some(pool) => format!("{} begins in {}. It ", sentence(&stuff(self.circuit)), the(self.plant, pool)),
            None => format!("{} ", sentence(&stuff(self.circuit))),
        };
        let mut saying = Saying { spans: vec![text(subject)], steps: 0, last: None, was: self.circuit };
        self.trail(&trail, &mut saying);
        finish(&mut saying);
        self.out.push(saying.spans);
    }

    fn trail(&mut self, trail: &Trail, saying: &mut Saying) {
        for step in &trail.steps {
            if let Step::Flow(flow) = step {
                if self.told.contains(flow) {
                    let part = self.open.flows[flow.0].part;
                    if saying.last != Some(part) {
                        saying.spans.push(text(if saying.steps == 0 { "joins " } else { ", and joins at " }));
                        saying.spans.push(linked(self.plant, part));
                        saying.spans.push(text(" what was told before"));
                        saying.steps += 1;
                    }
                    return;
                }
                self.told.push(*flow);
                let circuit = self.open.flows[flow.0].circuit;
                if circuit != saying.was {
                    saying.was = circuit;
                    saying.spans.push(text(format!(". From here on it goes with the {}. It ", stuff(circuit))));
                    saying.steps = 0;
                }
            }
            let (part, passage) = step.way(self.open);
            let does = self.plant[part].kind.passages[passage].does;
            saying.next(does);
            saying.spans.push(linked(self.plant, part));
            saying.spans.push(text(self.aside(part)));
            saying.last = Some(part);
        }
        match &trail.end {
            End::Sea => saying.end(", and is back in the sea"),
            End::Air if saying.was == Circuit::Fuel => saying.end(", and is burnt"),
            End::Air => saying.end(", and is out in the open"),
            End::Ground if saying.last.is_some_and(|part| self.stores(part)) => {
                saying.end(", where it stays until it is drawn");
            }
            End::Ground => saying.end(", and goes back by ground, the negative side"),
            End::Shut(_) => {}
            End::Again(part) if saying.last != Some(*part) => {
                saying.spans.push(text(", and is back at "));
                saying.spans.push(linked(self.plant, *part));
            }
            End::Again(_) => {}
            End::Parts(ways) => self.branches(ways, saying),
        }
    }

    fn branches(&mut self, ways: &[Trail], saying: &mut Saying) {
        let fresh = |way: &&Trail, told: &[FlowId]| match way.steps.first() {
            Some(Step::Flow(flow)) => !told.contains(flow),
            _ => true,
        };
        let open: Vec<&Trail> = ways.iter().filter(|way| fresh(way, &self.told)).collect();
        match open.as_slice() {
            [] => {
                if let Some(Step::Flow(flow)) = ways.first().and_then(|way| way.steps.first()) {
                    let part = self.open.flows[flow.0].part;
                    if saying.last != Some(part) {
                        saying.spans.push(text(", and comes to "));
                        saying.spans.push(linked(self.plant, part));
                    }
                }
            }
            [only] if ways.len() == 1 => self.trail(only, saying),
            several => {
                let mut first = true;
                finish(saying);
                for way in several.iter().copied() {
                    let so_far = way
                        .steps
                        .first()
                        .is_some_and(|step| matches!(step, Step::Flow(flow) if self.told.contains(flow)));
                    if so_far {
                        continue;
                    }
                    let word = if first { " From here one part " } else { " Another part " };
                    saying.spans.push(text(word));
                    first = false;
                    saying.steps = 0;
                    let was = saying.was;
                    self.trail(way, saying);
                    saying.was = was;
                    finish(saying);
                }
            }
        }
    }

    fn stores(&self, part: PartId) -> bool {
        self.plant[part].kind.passages.iter().any(|passage| passage.to == parts::kind::End::Store)
    }

    /// Where a part is, and how it stands if it can be shut.
    fn aside(&self, part: PartId) -> String {
        let stands = self.plant.opening(part).map(|share| self.plant[part].kind.stands(share));
        let all: Vec<String> = [stands, note(self.plant, part, "where")].into_iter().flatten().collect();
        if all.is_empty() { String::new() } else { format!(" ({})", all.join("; ")) }
    }
}

impl Saying {
    /// What happens next: in the same sentence, or in a new one after a few.
    fn next(&mut self, does: &str) {
        let joint = match self.steps {
            0 => "",
            steps if steps.is_multiple_of(BREATH) => ". Then it ",
            _ => ", ",
        };
        self.spans.push(text(format!("{joint}{does} ")));
        self.steps += 1;
    }

    fn end(&mut self, words: &str) {
        self.spans.push(text(words));
    }
}

/// A full stop, if there is none.
fn finish(saying: &mut Saying) {
    let said = crate::make::plain(&saying.spans);
    if !said.trim_end().ends_with('.') {
        saying.spans.push(text("."));
    }
}

trait PoolAt {
    /// The part whose pool a flow leaves, if it leaves one.
    fn plant_pool_at(&self, flow: FlowId) -> Option<PartId>;
}

impl PoolAt for Plant {
    fn plant_pool_at(&self, flow: FlowId) -> Option<PartId> {
        let from = self.flows[flow.0].from;
        let pool = self.pools.iter().find(|pool| Terminal::Node(pool.node) == from)?;
        (pool.part != self.flows[flow.0].part).then_some(pool.part)
    }
}
