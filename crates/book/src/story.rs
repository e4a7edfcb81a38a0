//! A circuit's way in prose: followed from where it begins to where it ends, every branch once.

use crate::document::{Block, Span};
use crate::make::text;
use crate::rounds::pumps;
use crate::words::{linked, note, sentence, the};
use parts::kind::Circuit;
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
    let drives = |flow: &FlowId| pumps(plant[plant.flows[flow.0].part].kind);
    let mut all: Vec<FlowId> = flows().filter(outside).collect();
    // What goes on comes before what only drips in.
    all.sort_by_key(|flow| !matches!(plant.flows[flow.0].to, Terminal::Node(_)));
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

/// What is being said: whole sentences, and the phrases of the one that is not finished.
struct Saying {
    spans: Vec<Span>,
    /// What the phrases say something of: "Raw water ", "Then it ".
    subject: String,
    phrases: Vec<Vec<Span>>,
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
        let mut saying =
            Saying { spans: Vec::new(), subject: String::new(), phrases: Vec::new(), last: None, was: self.circuit };
        match pool {
            Some(pool) => {
                saying.spans.push(text(format!("{} begins in ", sentence(&stuff(self.circuit)))));
                saying.spans.push(linked(self.plant, pool));
                saying.spans.push(text(". "));
                saying.subject = "It ".into();
            }
            None => saying.subject = format!("{} ", sentence(&stuff(self.circuit))),
        }
        self.trail(&trail, &mut saying);
        saying.finish();
        if let Some(Span::Text(last)) = saying.spans.last_mut() {
            last.truncate(last.trim_end().len());
        }
        if !saying.spans.is_empty() {
            self.out.push(saying.spans);
        }
    }

    fn trail(&mut self, trail: &Trail, saying: &mut Saying) {
        for step in &trail.steps {
            if let Step::Flow(flow) = step {
                if self.told.contains(flow) {
                    let part = self.open.flows[flow.0].part;
                    if saying.last != Some(part) {
                        let told = text(" on the way that was told before");
                        saying.phrases.push(vec![text("comes to "), linked(self.plant, part), told]);
                    }
                    return;
                }
                self.told.push(*flow);
                let circuit = self.open.flows[flow.0].circuit;
                if circuit != saying.was {
                    saying.was = circuit;
                    saying.finish();
                    saying.subject = format!("From here on it goes with the {}: it ", stuff(circuit));
                }
            }
            let (part, passage) = step.way(self.open);
            let does = self.plant[part].kind.passages[passage].does;
            saying.next(vec![text(format!("{does} ")), linked(self.plant, part), text(self.aside(part))]);
            saying.last = Some(part);
        }
        let stored = saying.last.is_some_and(|part| self.stores(part));
        match &trail.end {
            End::Sea => saying.end("is back in the sea"),
            End::Air if saying.was == Circuit::Fuel => saying.end("is burnt"),
            // Of a liquid the last part says where it goes.
            End::Air if saying.was.is_liquid() => {}
            End::Air => saying.end("is out in the open"),
            End::Ground if stored => saying.end("stays there until it is drawn"),
            End::Ground => saying.end("goes back by ground, the negative side"),
            End::Again(part) if saying.last != Some(*part) => {
                saying.phrases.push(vec![text("is back at "), linked(self.plant, *part)]);
            }
            // Nothing is shut here, and a ring that closes where it was last is told.
            End::Shut(_) | End::Again(_) => {}
            End::Parts(ways) => self.branches(ways, saying),
        }
    }

    fn branches(&mut self, ways: &[Trail], saying: &mut Saying) {
        let first = |way: &Trail| match way.steps.first() {
            Some(Step::Flow(flow)) => Some(*flow),
            _ => None,
        };
        let fresh: Vec<&Trail> =
            ways.iter().filter(|way| first(way).is_none_or(|flow| !self.told.contains(&flow))).collect();
        if fresh.is_empty() {
            let part = ways.first().and_then(first).map(|flow| self.open.flows[flow.0].part);
            if let Some(part) = part.filter(|part| saying.last != Some(*part)) {
                saying.phrases.push(vec![text("comes to "), linked(self.plant, part)]);
            }
            return;
        }
        if ways.len() == 1 {
            return self.trail(fresh[0], saying);
        }
        saying.finish();
        let (was, last) = (saying.was, saying.last);
        let mut number = 0;
        for way in fresh {
            // A way may have been told as the end of another.
            if first(way).is_some_and(|flow| self.told.contains(&flow)) {
                continue;
            }
            let at = last.map_or_else(|| "Here".into(), |part| format!("From {}", the(self.plant, part)));
            saying.subject = if number == 0 { format!("{at} one part ") } else { "Another part ".into() };
            number += 1;
            (saying.was, saying.last) = (was, last);
            self.trail(way, saying);
            saying.finish();
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
    fn next(&mut self, phrase: Vec<Span>) {
        if self.phrases.len() >= BREATH {
            self.finish();
            self.subject = "Then it ".into();
        }
        self.phrases.push(phrase);
    }

    fn end(&mut self, words: &str) {
        self.phrases.push(vec![text(words)]);
    }

    /// The sentence is over.
    fn finish(&mut self) {
        let phrases = std::mem::take(&mut self.phrases);
        if phrases.is_empty() {
            return;
        }
        self.spans.push(text(std::mem::take(&mut self.subject)));
        let last = phrases.len() - 1;
        for (place, phrase) in phrases.into_iter().enumerate() {
            if place > 0 {
                self.spans.push(text(if place == last { " and " } else { ", " }));
            }
            self.spans.extend(phrase);
        }
        self.spans.push(text(". "));
        self.subject = "It ".into();
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
