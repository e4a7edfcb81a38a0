//! What a hypothesis weighs, from the few severities that were looked at, summed over all.

use crate::curve::{Strip, curve};
use model::fit::Fit;
use parts::kind::Severity;

/// What came of weighing a hypothesis.
#[derive(Clone, Debug)]
pub(crate) struct Weighed {
    /// Logarithm of the likelihood of everything, severity summed out.
    pub log_likelihood: f64,
    /// Severity that half of the belief lies below [0 to 1].
    pub severity: f64,
    /// Severity between which nine in ten of the belief lie.
    pub severity_range: (f64, f64),
    /// Logarithm of the likelihood at the severity where it is highest, by the looks and the curve through them.
    pub peak: f64,
    /// The best severity that was looked at [0 to 1].
    pub at: f64,
    /// What all but the readings adds to the logarithm there.
    pub told: f64,
    /// Fit there.
    pub fit: Option<Fit>,
    /// What it weighs with every reading taken as it stands, and the fit to that, where some are doubted in the rest of this.
    pub as_read: Option<Box<(f64, Fit)>>,
    /// Readings that are taken for slips in it.
    pub doubted: Vec<usize>,
    /// What the logarithm gains by slips at that fit, at the least; 0 where they were weighed by a fit of their own.
    pub slips: f64,
    /// Every severity looked at, without what only a draw or a further reading would need.
    pub looks: Vec<Node>,
}

impl Weighed {
    /// Of what is there or not.
    pub fn only(node: Node) -> Weighed {
        let (log_likelihood, severity, severity_range) = (node.value, node.severity, (node.severity, node.severity));
        Weighed {
            log_likelihood,
            severity,
            severity_range,
            peak: node.value,
            at: severity,
            told: node.told(),
            fit: node.fit,
            as_read: None,
            doubted: Vec::new(),
            slips: 0.0,
            looks: Vec::new(),
        }
    }

    /// Of what shows nowhere, however bad.
    pub fn anywhere(node: Node) -> Weighed {
        Weighed { severity: 0.5, severity_range: (0.05, 0.95), ..Weighed::only(node) }
    }

    /// With every reading taken as it stands, or with some doubted: two ways for the same to be so.
    pub fn or_doubting(self, doubting: Weighed, doubted: Vec<usize>) -> Weighed {
        let (a, b) = (self.log_likelihood, doubting.log_likelihood);
        let as_read = self.fit.clone().map(|fit| Box::new((a, fit)));
        let (better, doubted) = if b > a { (doubting, doubted) } else { (self, Vec::new()) };
        Weighed { log_likelihood: a.max(b) + (-(a - b).abs()).exp().ln_1p(), as_read, doubted, ..better }
    }

    /// What it weighs with every reading taken as it stands, and the fit to that.
    pub fn as_read(&self) -> Option<(f64, &Fit)> {
        let doubted = self.as_read.as_deref().map(|(log, fit)| (*log, fit));
        doubted.or_else(|| Some((self.log_likelihood, self.fit.as_ref()?)))
    }
}

/// One severity looked at.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    /// How bad [0 to 1].
    pub severity: f64,
    /// Logarithm of the likelihood there.
    pub value: f64,
    /// Fit there; nothing if the plant has no state.
    pub fit: Option<Fit>,
}

impl Node {
    /// What all but the readings adds to the logarithm.
    fn told(&self) -> f64 {
        self.fit.as_ref().map_or(0.0, |fit| self.value - fit.log_evidence)
    }
}

/// Sums likelihood over severity.
pub(crate) fn sum(nodes: Vec<Node>, spread: Severity) -> Weighed {
    let strips = curve(&nodes);
    let best = strips.iter().map(|strip| strip.log).fold(f64::NEG_INFINITY, f64::max);
    // What it comes to is told of the cause, not of its absence.
    let there = nodes.iter().filter(|node| node.severity > 0.0);
    let top = there.max_by(|a, b| a.value.total_cmp(&b.value));
    let (at, told, fit) = top.map_or((0.5, 0.0, None), |node| (node.severity, node.told(), node.fit.clone()));
    let looks = nodes.into_iter().map(|node| Node { fit: node.fit.map(Fit::slim), ..node }).collect();
    if best == f64::NEG_INFINITY {
        let none = Weighed::anywhere(Node { severity: 0.5, value: best, fit: None });
        return Weighed { severity_range: (0.0, 1.0), looks, ..none };
    }
    let belief = |strip: &Strip| strip.belief(spread, best);
    let whole: f64 = strips.iter().map(belief).sum();
    let below = |share: f64| {
        let mut below = 0.0;
        for strip in &strips {
            let here = belief(strip) / whole;
            if below + here >= share {
                return strip.middle + strip.width * ((share - below) / here - 0.5);
            }
            below += here;
        }
        1.0
    };
    let (low, middle, high) = (below(0.05), below(0.5), below(0.95));
    let log_likelihood = best + whole.max(1e-300).ln();
    Weighed {
        log_likelihood,
        severity: middle,
        severity_range: (low, high),
        peak: best,
        at,
        told,
        fit,
        as_read: None,
        doubted: Vec::new(),
        slips: 0.0,
        looks,
    }
}
