//! What could be wrong: every way every part and gauge of this plant fails, all is well, and what no list holds.

use crate::lies;
use measure::reading::ReadingText;
use model::layout::Layout;
use model::under::Change;
use parts::kind::{By, Cause, Circuit, Misreads, Whose};
use parts::rates::{self, Basis, Comes, Rate};
use plant::evidence::{Evidence, Found, Moment, Named, Work};
use plant::plant::{FlowId, PartId, Plant, Terminal};

/// One thing that could be so.
#[derive(Clone, Debug)]
pub struct Hypothesis {
    /// What.
    pub what: What,
    /// Circuit it is counted under; `None` for all is well.
    pub circuit: Option<Circuit>,
    /// Chance before anything is read, relative to the others [1].
    pub prior: f64,
    /// Moves of the plant's parameters.
    pub moves: Vec<(usize, By)>,
    /// What is so besides: what a check found in the plant, with which a lying gauge or dead alarm is weighed; or the second
    /// of two causes.
    pub beside: Option<What>,
    /// What the second of two causes does to the plant, at a severity of its own.
    pub with: Option<Change>,
}

impl Hypothesis {
    /// Of what the severity is asked: of the first cause; but of what a check found where that is what moves the plant.
    pub fn graded(&self) -> What {
        let found = |_: &What| self.with.is_none() && matches!(self.what, What::Cause(Named::Gauge(_), _));
        self.beside.filter(found).unwrap_or(self.what)
    }

    /// Logarithm of its chance before anything is read; what cannot be is merely very unlikely.
    pub fn log_prior(&self) -> f64 {
        self.prior.max(1e-300).ln()
    }

    /// Two causes at once, of which neither was found.
    pub fn is_pair(&self) -> bool {
        self.beside.is_some() && self.graded() == self.what
    }
}

/// What a hypothesis says.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum What {
    /// Nothing is wrong.
    Well,
    /// This part or gauge fails this way (place in its kind's table).
    Cause(Named, usize),
    /// Something that no list holds, in this circuit.
    Else(Circuit),
}

/// Running hours in which trouble may have come on unnoticed, where nothing better is known [h]. From memory.
const EXPOSURE: f64 = 10.0;
/// The same where gauges are watched all the time: odds are asked for every hour at least.
const WATCHED: f64 = 1.0;
/// Hours since service that a part has on average when it fails [h]; from memory.
const USUAL_AGE: f64 = 150.0;
/// Share of a circuit's trouble that no list holds, `[Rates]` "From a rate to a prior" 4.
const UNLISTED: f64 = 0.07;
/// Chance that a job leaves trouble on what it touched, all ways together, and the hours over which that fades.
/// From memory; 1 to 3 % a job.
const JOB_SPOILS: f64 = 0.02;
const JOB_FADES: f64 = 15.0;
/// That chance is shared by at least so many ways: a short list does not make each of them likelier. From memory.
const FEW_WAYS: usize = 5;
/// What the table counts by such a job shows on the next run: hours over which it fades, a departure by `[Rates]`.
const EVENT_FADES: f64 = 4.0;
/// Share of a part's trouble that whoever works on it would see. From memory.
const SEEN_AT_WORK: f64 = 0.5;
/// The same for what lies next to it, as a share.
const NEIGHBOUR: f64 = 0.25;

/// What was there from the start shows on the first day: share of troubled vessels that meet it only now, being new to
/// their owner or loaded as never before. From memory.
const MET_ONLY_NOW: f64 = 0.1;
/// And of those known to have run well.
const RAN_WELL: f64 = 0.01;

/// The cause a hypothesis names, if it names one.
pub fn cause_of(plant: &Plant, what: What) -> Option<&'static Cause> {
    let What::Cause(named, cause) = what else { return None };
    kind_of(plant, named).causes.get(cause)
}

/// Kind of a part or gauge.
pub fn kind_of(plant: &Plant, named: Named) -> &'static parts::kind::Kind {
    match named {
        Named::Part(p) => plant[p].kind,
        Named::Gauge(g) => plant[g].kind,
    }
}

/// Name of a part or gauge.
pub fn name_of(plant: &Plant, named: Named) -> &str {
    match named {
        Named::Part(p) => &plant[p].name,
        Named::Gauge(g) => &plant[g].name,
    }
}

/// Every hypothesis of a plant with its prior, given the work done lately.
pub fn all(plant: &Plant, layout: &Layout, evidence: &Evidence) -> Vec<Hypothesis> {
    let mut list = Vec::new();
    for named in Named::all(plant) {
        let kind = kind_of(plant, named);
        let spoiled: f64 = fresh(plant, named, evidence, JOB_FADES).sum();
        // A job leaves things loose, shut, wrong or forgotten; it does not wear or foul what it touched.
        let left = |cause: &Cause| rates::rate(cause.rate).is_none_or(|rate| rate.comes != Comes::ByDegrees);
        let ways = kind.causes.iter().filter(|cause| left(cause)).count();
        let spoiled = JOB_SPOILS * spoiled / ways.max(FEW_WAYS) as f64;
        // Of several openings the latest dominates.
        let own_jobs = evidence.work.iter().filter(|work| work.of == named);
        let last_job = own_jobs.map(|work| freshness(work, EVENT_FADES)).fold(0.0, f64::max);
        for (k, cause) in kind.causes.iter().enumerate() {
            if plant.told_of_a_part(named, cause) || !reaches(plant, named, cause) {
                continue;
            }
            let Some(moves) = moves(plant, layout, named, cause) else { continue };
            let rate = plant.rate(named, cause);
            let rate = rate.as_ref();
            let spoiled = if left(cause) { spoiled } else { 0.0 };
            list.push(Hypothesis {
                what: What::Cause(named, k),
                circuit: Some(rate.and_then(Rate::circuit).unwrap_or(kind.circuit)),
                prior: rate.map_or(0.0, |rate| {
                    hazard(plant, (named, k), rate, evidence) + happened(rate, last_job).max(spoiled)
                }),
                moves,
                beside: None,
                with: None,
            });
        }
    }
    set_beside_found(plant, evidence, &mut list);
    let total: f64 = list.iter().map(|h| h.prior).sum();
    for circuit in Circuit::ALL {
        let within: f64 = list.iter().filter(|h| h.circuit == Some(circuit)).map(|h| h.prior).sum();
        if within > 0.0 {
            list.push(Hypothesis {
                what: What::Else(circuit),
                circuit: Some(circuit),
                prior: within * UNLISTED,
                moves: Vec::new(),
                beside: None,
                with: None,
            });
        }
    }
    // One thing at a time: chances of nothing and of one thing in the time it may have come on are as exp(-H) to
    // 1 - exp(-H), and the single causes share the latter as their rates.
    let nothing = total / total.exp_m1().max(1e-12);
    list.push(Hypothesis {
        what: What::Well,
        circuit: None,
        prior: nothing,
        moves: Vec::new(),
        beside: None,
        with: None,
    });
    list
}

/// Does a way for a gauge to lie reach this one? A needle without a wire loses none.
fn reaches(plant: &Plant, named: Named, cause: &Cause) -> bool {
    let (Named::Gauge(gauge), Some(misreads)) = (named, cause.misreads) else { return true };
    lies::comes_to(plant, gauge, misreads).is_some()
}

/// Hours since an alarm was tripped for real, not by its lamp test: three years; from memory.
const UNTESTED: f64 = 900.0;

/// A fault that a check found is there: whether an alarm that is spoken of keeps silent is then asked with it and not instead
/// of it, as that shows only when it is wanted; it may have done so since it was last tripped.
fn set_beside_found(plant: &Plant, evidence: &Evidence, list: &mut [Hypothesis]) {
    let found = evidence.checks.iter().rev().find_map(|made| match (made.of, &made.found) {
        (Named::Part(_), Found::Cause(k)) => Some(What::Cause(made.of, *k)),
        _ => None,
    });
    let Some(found) = found else { return };
    let Some((prior, moves)) = list.iter().find(|h| h.what == found).map(|h| (h.prior, h.moves.clone())) else {
        return;
    };
    let spoken_of = |named: Named| evidence.occasions.iter().any(|o| o.said.iter().any(|told| told.of == named));
    for h in list.iter_mut() {
        let What::Cause(named @ Named::Gauge(gauge), _) = h.what else { continue };
        let silent = lies::misreads(plant, h.what, gauge) == Some(Misreads::Silent) && spoken_of(named);
        let Some(cause) = cause_of(plant, h.what).filter(|_| silent) else { continue };
        let rate = plant.rate(named, cause).map_or(0.0, |rate| rate.per_1000_h[1] * rate.use_factor);
        h.prior = -(-rate * UNTESTED / 1000.0).exp_m1() * prior;
        h.moves.clone_from(&moves);
        h.beside = Some(found);
    }
}

/// Chance that a job done lately left what the table counts by such jobs (by the opening, the oil change): the table's
/// own figure, `[Rates]` "From a rate to a prior" 2. `last_job` is how fresh the last job on that very part is [1].
fn happened(rate: &Rate, last_job: f64) -> f64 {
    let by_job = rate.basis == Basis::Event && rate.native_unit != "per departure";
    if by_job { rate.native[1] * rate.use_factor * last_job } else { 0.0 }
}

/// Was the plant seen well before the trouble?
fn ran_well(evidence: &Evidence) -> bool {
    let compared = |reading: &ReadingText| matches!(reading, ReadingText::AsUsual | ReadingText::OverUsual { .. });
    evidence.occasions.iter().any(|o| o.when != Moment::Now || o.readings.iter().any(|(_, text)| compared(text)))
}

/// Chance that it came on lately [1]; of what a share of plants has from the start, that it is met only now.
fn hazard(plant: &Plant, (named, cause): (Named, usize), rate: &Rate, evidence: &Evidence) -> f64 {
    if rate.basis == Basis::Prevalence {
        let since =
            |of: Option<Named>| evidence.work.iter().any(|work| work.since && of.is_none_or(|of| work.of == of));
        let met = match (since(Some(named)), since(None)) {
            // Put in with the work since which the trouble is there, or met by chance on that very run.
            (true, _) => 1.0,
            (false, true) => MET_ONLY_NOW * FIRST_RUN / EXPOSURE,
            _ if ran_well(evidence) => RAN_WELL,
            _ => MET_ONLY_NOW,
        };
        return rate.native[1] * rate.use_factor * met;
    }
    let age = match named {
        Named::Part(p) => {
            let looked_for = plant[p].causes_since.iter().find(|(place, _)| *place == cause).map(|(_, hours)| *hours);
            looked_for.into_iter().chain(plant[p].hours_since).reduce(f64::min)
        }
        Named::Gauge(_) => None,
    };
    let worn = match (rate.basis, age) {
        // The table holds no ages: what wears follows the hours by their root, so that a guess of age is not a verdict.
        (Basis::RunningHour, Some(hours)) => (hours / USUAL_AGE).sqrt().clamp(0.4, 2.5),
        _ => 1.0,
    };
    rate.per_1000_h[1] * rate.use_factor * exposure(named, evidence) / 1000.0 * worn
}

/// Hours in which trouble came on that was there from the first run after a job [h]; from memory.
const FIRST_RUN: f64 = 1.0;

/// Hours in which it may have come on: since the part was last under somebody's hands, as far as they saw it; or no longer
/// than that first run, if the trouble was there from then [h].
fn exposure(named: Named, evidence: &Evidence) -> f64 {
    if evidence.work.iter().any(|work| work.since) {
        return FIRST_RUN;
    }
    let unnoticed = if evidence.unasked { WATCHED } else { EXPOSURE };
    let last = evidence.work.iter().filter(|work| work.of == named).map(|work| work.hours_ago.max(0.0));
    let since = last.fold(unnoticed, f64::min);
    SEEN_AT_WORK * since + (1.0 - SEEN_AT_WORK) * unnoticed
}

/// How fresh each job done on this part is: 1 just done, 0 long ago; less for one on what lies next to it. It fades over so
/// many hours.
fn fresh(plant: &Plant, named: Named, evidence: &Evidence, fades: f64) -> impl Iterator<Item = f64> {
    evidence.work.iter().map(move |work| {
        let near = neighbours(plant, work.of, named);
        let share = if work.of == named { 1.0 } else { f64::from(u8::from(near)) * NEIGHBOUR };
        share * freshness(work, fades)
    })
}

/// How fresh a job is: 1 just done, 0 long ago. What was there from the first run after it was left by it or came in that
/// run, however long ago that is.
fn freshness(work: &Work, fades: f64) -> f64 {
    let hours_ago = if work.since { 0.0 } else { work.hours_ago.max(0.0) };
    (-hours_ago / fades).exp()
}

fn neighbours(plant: &Plant, a: Named, b: Named) -> bool {
    let (Named::Part(a), Named::Part(b)) = (a, b) else { return false };
    let nodes = |part: PartId| {
        plant
            .flows
            .iter()
            .filter(move |f| f.part == part)
            .flat_map(|f| [f.from, f.to])
            .filter_map(|end| if let Terminal::Node(n) | Terminal::Into(n) = end { Some(n) } else { None })
            .chain(plant.pools.iter().filter(move |pool| pool.part == part).map(|pool| pool.node))
    };
    nodes(a).any(|n| nodes(b).any(|m| m == n))
}

/// The parameters a cause moves; `None` if the part it would move is not there to be moved and nothing else is said.
fn moves(plant: &Plant, layout: &Layout, named: Named, cause: &Cause) -> Option<Vec<(usize, By)>> {
    let mut list = Vec::new();
    for m in cause.moves {
        let targets: Vec<PartId> = match (m.on, named) {
            (Whose::Own, Named::Part(part)) => vec![part],
            (Whose::Kind(kind), _) => {
                let engines = if let Named::Part(part) = named { plant.engines_of(part) } else { Vec::new() };
                let here = |p: &PartId| engines.is_empty() || engines.contains(&plant[*p].engine);
                (0..plant.parts.len()).map(PartId).filter(|p| plant[*p].kind.name == kind && here(p)).collect()
            }
            (Whose::Flooded(kind), Named::Part(part)) if meets_the_sea(plant, part) => {
                (0..plant.parts.len()).map(PartId).filter(|p| plant[*p].kind.name == kind).collect()
            }
            (Whose::Downstream(kinds), Named::Part(part)) => downstream(plant, part, kinds).into_iter().collect(),
            (Whose::Flooded(_), _) | (Whose::Own | Whose::Downstream(_), Named::Gauge(_)) => Vec::new(),
        };
        for part in targets {
            let place = plant[part].kind.parameters.iter().position(|p| p.name == m.parameter)?;
            list.push((layout.first_parameter(part) + place, m.by));
        }
    }
    let speaks = !cause.says.is_empty() || cause.misreads.is_some();
    (!list.is_empty() || speaks || cause.moves.is_empty()).then_some(list)
}

/// Would what a part lets out be the sea? That of a shaft through the hull would, though nothing is led through it.
fn meets_the_sea(plant: &Plant, part: PartId) -> bool {
    let wet = |flow: &FlowId| {
        let flow = &plant.flows[flow.0];
        matches!(flow.circuit, Circuit::RawWater | Circuit::Bilge | Circuit::Exhaust)
    };
    plant[part].kind.passages.is_empty() || plant[part].flows.iter().flatten().any(wet)
}

/// The next part of one of these kinds downstream, along whichever way through the part leads there.
fn downstream(plant: &Plant, part: PartId, kinds: &[&str]) -> Option<PartId> {
    let along = |mut at: Terminal| {
        for _ in 0..plant.flows.len() {
            let Terminal::Node(node) = at else { return None };
            let next = plant.flows.iter().find(|f| f.from == Terminal::Node(node))?;
            if kinds.contains(&plant[next.part].kind.name) {
                return Some(next.part);
            }
            at = next.to;
        }
        None
    };
    plant.flows.iter().filter(|f| f.part == part).find_map(|f| along(f.to))
}
