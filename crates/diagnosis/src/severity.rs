//! How likely everything known is at every severity, from the few severities that were looked at, and summed over all.

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

/// The severity that seems best by those looked at is looked at itself, if it promises to be so much likelier than the
/// best that was looked at [1], and none was nearer than this.
const PROMISES: f64 = 0.2;
const NEAR_ENOUGH: f64 = 0.003;
/// Strips that likelihood is summed over.
const STRIPS: usize = 400;

/// Severity in the middle of a strip.
fn strip(k: usize) -> f64 {
    (k as f64 + 0.5) / STRIPS as f64
}

/// Logarithm of the likelihood in every strip.
fn curve(nodes: &[Node]) -> Vec<f64> {
    let arcs: Vec<Option<Arc>> = (1..nodes.len()).map(|k| Arc::between(nodes, k)).collect();
    (0..STRIPS).map(|k| at(nodes, &arcs, strip(k))).collect()
}

/// Logarithm of the likelihood at any severity.
fn at(nodes: &[Node], arcs: &[Option<Arc>], s: f64) -> f64 {
    let k = nodes.partition_point(|n| n.severity < s);
    match (k.checked_sub(1).map(|k| &nodes[k]), nodes.get(k)) {
        (Some(a), Some(b)) => match &arcs[k - 1] {
            Some(arc) => arc.at(s),
            None if s < 0.5 * (a.severity + b.severity) => a.value,
            None => b.value,
        },
        (Some(n), None) | (None, Some(n)) => n.value,
        (None, None) => f64::NEG_INFINITY,
    }
}

/// Readings between two severities that were looked at, in their standard deviations: on the parabola through both and
/// a third, so that what is narrow and steep (a strainer nearly shut) is found in a few looks. The logarithm is half
/// the square of that; the rest of it goes in a straight line.
struct Arc {
    /// The two ends, and the third.
    severity: [f64; 3],
    /// Products of the readings at each with those at each.
    gram: [[f64; 3]; 3],
    /// The rest of the logarithm at the two ends.
    rest: [f64; 2],
}

impl Arc {
    /// Between a node and the one before it; nothing where the plant has no state at either.
    fn between(nodes: &[Node], k: usize) -> Option<Arc> {
        let ends = [&nodes[k - 1], &nodes[k]];
        let beyond = [k.checked_sub(2), (k + 1 < nodes.len()).then_some(k + 1)];
        let both = |third: &Node| Arc::through([ends[0], ends[1], third]);
        let thirds = beyond.into_iter().flatten().filter_map(|k| both(&nodes[k]));
        // Of two parabolas the flatter: one that leans on a bend outside swings inside.
        let flatter = thirds.min_by(|a, b| a.bend().total_cmp(&b.bend()));
        flatter.or_else(|| Arc::through([ends[0], ends[1], ends[1]]))
    }

    fn through(nodes: [&Node; 3]) -> Option<Arc> {
        let [a, b, c] = [nodes[0].fit.as_ref()?, nodes[1].fit.as_ref()?, nodes[2].fit.as_ref()?];
        let off = [&a.off, &b.off, &c.off];
        let gram: [[f64; 3]; 3] = std::array::from_fn(|i| std::array::from_fn(|j| off[i].dot(off[j])));
        Some(Arc {
            severity: nodes.map(|node| node.severity),
            rest: [nodes[0].value + 0.5 * gram[0][0], nodes[1].value + 0.5 * gram[1][1]],
            gram,
        })
    }

    /// Weights of the three in a parabola through them.
    fn weights(&self, s: f64) -> [f64; 3] {
        let [a, b, c] = self.severity;
        if b == c {
            let t = (s - a) / (b - a);
            return [1.0 - t, t, 0.0];
        }
        [
            (s - b) * (s - c) / ((a - b) * (a - c)),
            (s - a) * (s - c) / ((b - a) * (b - c)),
            (s - a) * (s - b) / ((c - a) * (c - b)),
        ]
    }

    fn square(&self, weights: [f64; 3]) -> f64 {
        (0..3).flat_map(|i| (0..3).map(move |j| (i, j))).map(|(i, j)| weights[i] * weights[j] * self.gram[i][j]).sum()
    }

    /// Square of the second divided difference.
    fn bend(&self) -> f64 {
        let [a, b, c] = self.severity;
        self.square([1.0 / ((a - b) * (a - c)), 1.0 / ((b - a) * (b - c)), 1.0 / ((c - a) * (c - b))])
    }

    /// Logarithm of the likelihood at a severity between the ends.
    fn at(&self, s: f64) -> f64 {
        let t = (s - self.severity[0]) / (self.severity[1] - self.severity[0]);
        self.rest[0] + (self.rest[1] - self.rest[0]) * t - 0.5 * self.square(self.weights(s))
    }
}

/// The severity that fits best by what is known so far, and its place among those looked at, if it was not looked at.
pub(crate) fn likeliest_between(nodes: &[Node]) -> Option<(usize, f64)> {
    let (top, promised) = curve(nodes).into_iter().enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let best = nodes.iter().map(|node| node.value).fold(f64::NEG_INFINITY, f64::max);
    let s = strip(top);
    let place = nodes.partition_point(|n| n.severity < s);
    let inside = place > 0 && place < nodes.len();
    let new = nodes.iter().all(|n| (n.severity - s).abs() > NEAR_ENOUGH);
    (inside && new && promised > best + PROMISES).then_some((place, s))
}

/// Sums likelihood over severity.
pub(crate) fn sum(nodes: Vec<Node>, spread: Severity) -> Weighed {
    // Rates count what is noticed, and the worse it is the surer it is noticed: each spread leans that way.
    let density = |s: f64| match spread {
        Severity::MostlySlight => 6.0 * s * (1.0 - s),
        Severity::MostlyBad => 4.0 * s * s * s,
        Severity::NearlyShut => 10.0 * s.powi(9),
        Severity::Even | Severity::Whole => 2.0 * s,
    };
    let logs = curve(&nodes);
    let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    // What it comes to is told of the cause, not of its absence.
    let there = nodes.iter().filter(|node| node.severity > 0.0);
    let top = there.max_by(|a, b| a.value.total_cmp(&b.value));
    let (at, told, fit) = top.map_or((0.5, 0.0, None), |node| (node.severity, node.told(), node.fit.clone()));
    let looks = nodes.into_iter().map(|node| Node { fit: node.fit.map(Fit::slim), ..node }).collect();
    if best == f64::NEG_INFINITY {
        let none = Weighed::anywhere(Node { severity: 0.5, value: best, fit: None });
        return Weighed { severity_range: (0.0, 1.0), looks, ..none };
    }
    let weights: Vec<f64> = logs.iter().enumerate().map(|(k, log)| (log - best).exp() * density(strip(k))).collect();
    let whole: f64 = weights.iter().sum();
    let mut below = 0.0;
    let (mut low, mut middle, mut high) = (0.0, 0.5, 1.0);
    for (k, w) in weights.iter().enumerate() {
        let s = strip(k);
        let next = below + w / whole;
        for (mark, place) in [(0.05, &mut low), (0.5, &mut middle), (0.95, &mut high)] {
            if below < mark && next >= mark {
                *place = s;
            }
        }
        below = next;
    }
    let log_likelihood = best + (whole / STRIPS as f64).max(1e-300).ln();
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

#[cfg(test)]
mod tests {
    use super::*;

    /// An arc through three severities at which two readings are off by so much, with no rest.
    fn arc(severity: [f64; 3], off: [[f64; 2]; 3]) -> Arc {
        let gram = std::array::from_fn(|i| std::array::from_fn(|j| off[i][0] * off[j][0] + off[i][1] * off[j][1]));
        Arc { severity, gram, rest: [0.0, 0.0] }
    }

    fn log(off: [f64; 2]) -> f64 {
        -0.5 * (off[0] * off[0] + off[1] * off[1])
    }

    #[test]
    fn with_two_looks_readings_move_in_a_straight_line() {
        let (from, to) = ([3.0, 1.0], [-1.0, 2.0]);
        let arc = arc([0.2, 0.6, 0.6], [from, to, to]);
        for t in [0.0, 0.25, 0.6, 1.0] {
            let on_the_line = [from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t];
            assert!((arc.at(0.2 + 0.4 * t) - log(on_the_line)).abs() < 1e-12);
        }
    }

    #[test]
    fn with_three_looks_readings_that_bend_are_met() {
        let reads = |s: f64| [40.0 * s * s - 7.0 * s - 9.0, 3.0 - s];
        let arc = arc([0.4, 0.8, 0.1], [reads(0.4), reads(0.8), reads(0.1)]);
        for s in [0.4, 0.47, 0.61, 0.8] {
            assert!((arc.at(s) - log(reads(s))).abs() < 1e-9, "at {s}");
        }
        // The second difference of the first reading is twice 40 over 2, of the second none.
        assert!((arc.bend() - 1600.0).abs() < 1e-6);
    }
}
