//! The plant while it is being read: parts by place in a list, paths by part and passage.

use super::MOST;
use super::told::Entry;
use crate::finding::{Finding, Problem};
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
    pub circuits: BTreeMap<Circuit, DraftCircuit<'a>>,
    /// Name of the engine: its first.
    pub engine: Option<String>,
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
            engine: None,
            gauges: Vec::new(),
            findings: Vec::new(),
        }
    }
}

impl<'a> Draft<'a> {
    /// Remembers the first engine and says whether it is the first; a second one is a finding.
    pub fn engine_found(&mut self, name: &str, place: &Range<usize>) -> bool {
        if self.engine.is_some() {
            let problem = Problem::SecondEngine { name: name.to_string() };
            self.findings.push(Finding::at(problem, place.clone()));
            return false;
        }
        self.engine = Some(name.to_string());
        true
    }

    /// Are there as many parts as will be read? The first one too many is a finding.
    pub fn is_full(&mut self, place: &Range<usize>) -> bool {
        let full = self.parts.len() >= MOST;
        let problem = Problem::TooMany { what: "parts", limit: MOST };
        if full && !self.findings.iter().any(|finding| finding.problem == problem) {
            self.findings.push(Finding::at(problem, place.clone()));
        }
        full
    }

    /// The engine's place among the parts.
    pub fn engine_index(&self) -> Option<usize> {
        self.engine.as_deref().and_then(|name| self.parts.iter().position(|part| part.name == name))
    }

    /// The paths of a circuit, made if need be.
    pub fn circuit(&mut self, circuit: Circuit) -> &mut DraftCircuit<'a> {
        self.circuits.entry(circuit).or_default()
    }

    /// Every step of a circuit, trunk first.
    pub fn steps(&self, circuit: Circuit) -> impl Iterator<Item = &Step> {
        self.circuits.get(&circuit).into_iter().flat_map(|c| c.trunk.iter().chain(c.branches.iter().flatten()))
    }

    /// Is this way through this part in a path, of any circuit?
    pub fn is_placed(&self, part: usize, passage: usize) -> bool {
        Circuit::ALL.iter().any(|c| self.steps(*c).any(|step| (step.part, step.passage) == (part, passage)))
    }

    /// Is any way through this part in a path?
    pub fn is_placed_at_all(&self, part: usize) -> bool {
        Circuit::ALL.iter().any(|c| self.steps(*c).any(|step| step.part == part))
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
