//! The plant while it is being read: parts by place in a list, paths by part and passage.

use super::MOST;
use crate::finding::{Finding, Problem};
use crate::told::Entry;
use parts::kind::{Circuit, Kind};
use physics::contents::Contents;
use std::collections::BTreeMap;
use std::ops::Range;

/// All that was read so far.
#[derive(Debug)]
pub(crate) struct Draft<'a> {
    pub name: String,
    pub sea: Contents,
    pub parts: Vec<DraftPart<'a>>,
    /// By the engine they serve (its place in `engines`) and what they carry.
    pub circuits: BTreeMap<(usize, Circuit), DraftCircuit<'a>>,
    /// Kinds that the owner described, in the order of the file.
    pub kinds: Vec<&'static Kind>,
    /// Names of the engines, in the order of the file.
    pub engines: Vec<String>,
    /// The engine whose circuits are being read or completed, by its place in `engines`.
    pub serving: usize,
    /// Names of gauges and alarms, which assumed parts keep clear of.
    pub gauges: Vec<String>,
    pub findings: Vec<Finding>,
}

/// A part, its sizes not yet read.
#[derive(Debug)]
pub(crate) struct DraftPart<'a> {
    pub name: String,
    pub kind: &'static Kind,
    /// What its table says; empty if it has none.
    pub told: Vec<Entry<'a>>,
    pub place: Range<usize>,
    pub assumed: bool,
    /// It has a table of its own.
    pub declared: bool,
    /// The engine it serves, by its place in [`Draft::engines`]; none if nothing tells yet.
    pub serves: Option<usize>,
}

/// The paths of a circuit.
#[derive(Debug, Default)]
pub(crate) struct DraftCircuit<'a> {
    /// The main path; of a closed circuit it closes itself.
    pub trunk: Vec<Step>,
    /// Further paths, which close nothing.
    pub branches: Vec<Vec<Step>>,
    /// What it is filled with, as told.
    pub told: Vec<Entry<'a>>,
    /// The owner described its path.
    pub described: bool,
}

impl DraftCircuit<'_> {
    /// Every step, trunk first.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.trunk.iter().chain(self.branches.iter().flatten())
    }
}

/// One part in a path, and which way the path takes through it.
#[derive(Clone, Debug)]
pub(crate) struct Step {
    pub part: usize,
    pub passage: usize,
    pub place: Range<usize>,
}

impl Step {
    /// The same way through the same part?
    pub fn same(&self, other: &Step) -> bool {
        (self.part, self.passage) == (other.part, other.passage)
    }
}

impl Default for Draft<'_> {
    fn default() -> Self {
        Draft {
            name: String::new(),
            sea: Contents::OCEAN,
            parts: Vec::new(),
            circuits: BTreeMap::new(),
            kinds: Vec::new(),
            engines: Vec::new(),
            serving: 0,
            gauges: Vec::new(),
            findings: Vec::new(),
        }
    }
}

impl<'a> Draft<'a> {
    /// Are there as many parts as will be read? The first one too many is a finding.
    pub fn is_full(&mut self, place: &Range<usize>) -> bool {
        let full = self.parts.len() >= MOST;
        let problem = Problem::TooMany { what: "parts", limit: MOST };
        if full && !self.findings.iter().any(|finding| finding.problem == problem) {
            self.findings.push(Finding::at(problem, place.clone()));
        }
        full
    }

    /// The place among the parts of the engine that is being served.
    pub fn engine_index(&self) -> Option<usize> {
        self.engine_at(self.serving)
    }

    /// The place among the parts of an engine, by its place among the engines.
    pub fn engine_at(&self, engine: usize) -> Option<usize> {
        let name = self.engines.get(engine)?;
        self.parts.iter().position(|part| part.name == *name)
    }

    /// The engine that a word ends with, as "strainer-port" does.
    pub fn engine_by_tail(&self, word: &str) -> Option<usize> {
        let ends = |engine: &String| word.strip_suffix(engine.as_str()).is_some_and(|head| head.ends_with('-'));
        if self.engines.len() > 1 { self.engines.iter().position(ends) } else { None }
    }

    /// Does a part serve the engine that is being served, or none that is told?
    pub fn serves_here(&self, part: usize) -> bool {
        self.parts[part].serves.is_none_or(|engine| engine == self.serving)
    }

    /// The paths of a circuit of the engine that is being served, if there are any.
    pub fn told_circuit(&self, circuit: Circuit) -> Option<&DraftCircuit<'a>> {
        self.circuits.get(&(self.serving, circuit))
    }

    /// The same, made if need be.
    pub fn circuit(&mut self, circuit: Circuit) -> &mut DraftCircuit<'a> {
        self.circuits.entry((self.serving, circuit)).or_default()
    }

    /// Every step of a circuit of the engine that is being served, trunk first.
    pub fn steps(&self, circuit: Circuit) -> impl Iterator<Item = &Step> {
        self.told_circuit(circuit).into_iter().flat_map(DraftCircuit::steps)
    }

    /// Is this way through this part in a path, of any circuit?
    pub fn is_placed(&self, part: usize, passage: usize) -> bool {
        self.circuits.values().any(|c| c.steps().any(|step| (step.part, step.passage) == (part, passage)))
    }

    /// Is any way through this part in a path?
    pub fn is_placed_at_all(&self, part: usize) -> bool {
        self.circuits.values().any(|c| c.steps().any(|step| step.part == part))
    }

    /// A part is in a path of the engine that is being served: it serves that one, if nothing else was told.
    pub fn placed_here(&mut self, part: usize) {
        let serving = self.serving;
        self.parts[part].serves.get_or_insert(serving);
    }

    /// A name that no part has yet: the word itself, or with a number.
    pub fn free_name(&self, word: &str) -> String {
        let taken = |name: &str| {
            self.parts.iter().any(|part| part.name == name) || self.gauges.iter().any(|gauge| gauge == name)
        };
        if !taken(word) {
            return word.to_string();
        }
        (2..self.parts.len() + self.gauges.len() + 3)
            .map(|n| format!("{word}-{n}"))
            .find(|name| !taken(name))
            .unwrap_or_default()
    }
}
