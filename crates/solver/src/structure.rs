//! Which equation could fix which unknown, before any number is known.

use std::collections::VecDeque;

/// Why a set of equations cannot have a single solution, whatever its numbers.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{} equations compete for too few unknowns, {} unknowns share too few equations", excess.len(), lacking.len())]
pub struct Structure {
    /// Every equation that takes part in an over-determined set, ascending. At least one must go.
    pub excess: Vec<usize>,
    /// Every unknown that takes part in an under-determined set, ascending. At least one more must be fixed.
    pub lacking: Vec<usize>,
}

/// Gives each equation an unknown of its own; the unknown of equation `i` stands at place `i`.
///
/// `pattern` holds an (equation, unknown) pair for each unknown that occurs in an equation; duplicates do no harm.
///
/// # Errors
/// [`Structure`] when some equation or some unknown is left over: the coarse over- and under-determined parts.
///
/// # Panics
/// When a pair lies outside `n_equations` or `n_unknowns`.
///
/// # Source
/// Matching `[Hopcroft1973]`; the parts `[Dulmage1958]`.
pub fn matching(n_equations: usize, n_unknowns: usize, pattern: &[(usize, usize)]) -> Result<Vec<usize>, Structure> {
    let unknowns_of = neighbours(n_equations, pattern.iter().copied());
    let mut pairs = Pairs { unknown_of: vec![NONE; n_equations], equation_of: vec![NONE; n_unknowns] };
    while pairs.grow(&unknowns_of) {}
    if pairs.unknown_of.iter().chain(&pairs.equation_of).all(|&partner| partner != NONE) {
        return Ok(pairs.unknown_of);
    }
    let equations_of = neighbours(n_unknowns, pattern.iter().map(|&(equation, unknown)| (unknown, equation)));
    Err(Structure {
        excess: alternating(&pairs.unknown_of, &pairs.equation_of, &unknowns_of),
        lacking: alternating(&pairs.equation_of, &pairs.unknown_of, &equations_of),
    })
}

const NONE: usize = usize::MAX;

fn neighbours(n: usize, pattern: impl Iterator<Item = (usize, usize)>) -> Vec<Vec<usize>> {
    let mut lists = vec![Vec::new(); n];
    for (from, to) in pattern {
        lists[from].push(to);
    }
    lists
}

struct Pairs {
    unknown_of: Vec<usize>,
    equation_of: Vec<usize>,
}

impl Pairs {
    /// One phase: adds a maximal set of disjoint shortest augmenting paths. False when there is none.
    fn grow(&mut self, unknowns_of: &[Vec<usize>]) -> bool {
        let mut level = self.levels(unknowns_of);
        let mut next = vec![0; unknowns_of.len()];
        let mut grown = false;
        for equation in 0..unknowns_of.len() {
            if self.unknown_of[equation] == NONE {
                grown |= self.augment(equation, unknowns_of, &mut level, &mut next);
            }
        }
        grown
    }

    /// Distance of each equation from a free one, along alternating paths.
    fn levels(&self, unknowns_of: &[Vec<usize>]) -> Vec<usize> {
        let mut level = vec![NONE; unknowns_of.len()];
        let mut queue: VecDeque<usize> = (0..unknowns_of.len()).filter(|&e| self.unknown_of[e] == NONE).collect();
        for &equation in &queue {
            level[equation] = 0;
        }
        while let Some(equation) = queue.pop_front() {
            for &unknown in &unknowns_of[equation] {
                let partner = self.equation_of[unknown];
                if partner != NONE && level[partner] == NONE {
                    level[partner] = level[equation] + 1;
                    queue.push_back(partner);
                }
            }
        }
        level
    }

    /// Depth-first along the levels; a loop with its own path, so that a long chain cannot exhaust the stack.
    fn augment(&mut self, free: usize, unknowns_of: &[Vec<usize>], level: &mut [usize], next: &mut [usize]) -> bool {
        let mut path = vec![free];
        while let Some(&equation) = path.last() {
            let Some(&unknown) = unknowns_of[equation].get(next[equation]) else {
                level[equation] = NONE; // a dead end for this phase
                path.pop();
                continue;
            };
            next[equation] += 1;
            let partner = self.equation_of[unknown];
            if partner == NONE {
                for &equation in &path {
                    let unknown = unknowns_of[equation][next[equation] - 1];
                    self.unknown_of[equation] = unknown;
                    self.equation_of[unknown] = equation;
                }
                return true;
            }
            if level[partner] != NONE && level[partner] == level[equation] + 1 {
                path.push(partner);
            }
        }
        false
    }
}

/// All nodes of one side that alternating paths reach from its unmatched nodes.
fn alternating(partner_here: &[usize], partner_there: &[usize], lists: &[Vec<usize>]) -> Vec<usize> {
    let mut reached: Vec<bool> = partner_here.iter().map(|&partner| partner == NONE).collect();
    let mut open: Vec<usize> = (0..reached.len()).filter(|&node| reached[node]).collect();
    while let Some(node) = open.pop() {
        for &there in &lists[node] {
            let back = partner_there[there];
            if back != NONE && !reached[back] {
                reached[back] = true;
                open.push(back);
            }
        }
    }
    (0..reached.len()).filter(|&node| reached[node]).collect()
}
