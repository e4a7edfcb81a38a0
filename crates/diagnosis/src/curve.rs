//! How likely everything known is at every severity: a curve through the few that were looked at, and which to look at next.

use crate::severity::Node;
use model::fit::Fit;
use parts::kind::Severity;

/// The severity that seems best by those looked at is looked at itself, if it promises to be so much likelier than the
/// best that was looked at [1], and none was nearer than this.
const PROMISES: f64 = 0.2;
const NEAR_ENOUGH: f64 = 5e-4;
/// Belief that the ways to lead a curve between two looks differ by, as a share of all, that is worth a further look [1].
const IN_DOUBT: f64 = 0.1;
/// Between two looks likelihood is summed over so many strips, and about where it is highest there in strips of this share of
/// how wide it is, so many to each side [standard deviations].
const STRIPS: usize = 24;
const FINE: f64 = 0.75;
const FINE_STRIPS: i32 = 6;

/// Where severities are summed: the middle of a strip, how wide it is, and the logarithm of the likelihood there.
pub(crate) struct Strip {
    /// Severity in its middle [1].
    pub middle: f64,
    /// How wide it is [1].
    pub width: f64,
    /// Logarithm of the likelihood there.
    pub log: f64,
}

impl Strip {
    /// Belief in it, against what would be in one as wide and as likely as this logarithm says.
    pub fn belief(&self, spread: Severity, best: f64) -> f64 {
        (self.log - best).exp() * density(spread, self.middle) * self.width
    }
}

/// How severities spread. Rates count what is noticed, and the worse it is the surer it is noticed: each leans that way.
fn density(spread: Severity, s: f64) -> f64 {
    match spread {
        Severity::MostlySlight => 6.0 * s * (1.0 - s),
        Severity::MostlyBad => 4.0 * s * s * s,
        Severity::NearlyShut => 10.0 * s.powi(9),
        Severity::Even | Severity::Whole => 2.0 * s,
    }
}

/// Logarithm of the likelihood at every severity, in strips: narrow where it is.
pub(crate) fn curve(nodes: &[Node]) -> Vec<Strip> {
    let (Some(first), Some(last)) = (nodes.first(), nodes.last()) else { return Vec::new() };
    let mut strips = flat(0.0, first.severity, first.value);
    for k in 1..nodes.len() {
        let (a, b) = (&nodes[k - 1], &nodes[k]);
        if let Some(arc) = Arc::between(nodes, k) {
            strips.extend(arc.strips());
        } else {
            let halfway = 0.5 * (a.severity + b.severity);
            strips.extend(flat(a.severity, halfway, a.value));
            strips.extend(flat(halfway, b.severity, b.value));
        }
    }
    strips.extend(flat(last.severity, 1.0, last.value));
    strips
}

/// What is taken to be the same from one severity to another.
fn flat(from: f64, to: f64, log: f64) -> Vec<Strip> {
    let width = (to - from) / STRIPS as f64;
    let strip = |k| Strip { middle: from + (f64::from(k) + 0.5) * width, width, log };
    if width > 0.0 { (0..STRIPS as u32).map(strip).collect() } else { Vec::new() }
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
        Arc::ways(nodes, k).0
    }

    /// The same, and the other way to lead a curve from one to the other: as far as they part it is not known.
    fn ways(nodes: &[Node], k: usize) -> (Option<Arc>, Option<Arc>) {
        let ends = [&nodes[k - 1], &nodes[k]];
        let beyond = [k.checked_sub(2), (k + 1 < nodes.len()).then_some(k + 1)];
        let thirds = beyond.into_iter().flatten().filter_map(|k| Arc::through([ends[0], ends[1], &nodes[k]]));
        // Of two parabolas the flatter: one that leans on a bend outside swings inside.
        let mut ways: Vec<Arc> = thirds.collect();
        ways.sort_by(|a, b| a.bend().total_cmp(&b.bend()));
        let mut ways = ways.into_iter().chain(Arc::through([ends[0], ends[1], ends[1]]));
        (ways.next(), ways.next())
    }

    fn through(nodes: [&Node; 3]) -> Option<Arc> {
        let [a, b, c] = [nodes[0].fit.as_ref()?, nodes[1].fit.as_ref()?, nodes[2].fit.as_ref()?];
        let off = [a, b, c].map(Fit::off_after);
        let gram: [[f64; 3]; 3] = std::array::from_fn(|i| std::array::from_fn(|j| off[i].dot(&off[j])));
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

    /// Severity between the ends where the logarithm is highest, and that.
    fn top(&self) -> (f64, f64) {
        let [from, to, _] = self.severity;
        let step = (to - from) / STRIPS as f64;
        let coarse = (0..=STRIPS).map(|k| step.mul_add(k as f64, from));
        let top = coarse.map(|s| (s, self.at(s))).max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((from, self.at(from)));
        // A third of what is between, from either side, until it is as narrow as can be told.
        let (mut low, mut high) = ((top.0 - step).max(from), (top.0 + step).min(to));
        while high - low > 1e-6 {
            let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if self.at(a) < self.at(b) { low = a } else { high = b }
        }
        let s = 0.5 * (low + high);
        if self.at(s) > top.1 { (s, self.at(s)) } else { top }
    }

    /// Strips between the ends.
    fn strips(&self) -> Vec<Strip> {
        let [from, to, _] = self.severity;
        let even = (0..=STRIPS).map(|k| from + (to - from) * k as f64 / STRIPS as f64);
        let (top, best) = self.top();
        // As wide as the curve itself says: half a logarithm below its top.
        let step = 1e-3 * (to - from);
        let aside = if top + step < to { top + step } else { top - step };
        let width = step / (2.0 * (best - self.at(aside)).max(1e-12)).sqrt();
        let fine = (-FINE_STRIPS..=FINE_STRIPS).map(|k| top + f64::from(k) * FINE * width);
        let mut marks: Vec<f64> = even.chain(fine.filter(|s| *s > from && *s < to)).collect();
        marks.sort_by(f64::total_cmp);
        let strip = |ends: &[f64]| {
            let middle = 0.5 * (ends[0] + ends[1]);
            Strip { middle, width: ends[1] - ends[0], log: self.at(middle) }
        };
        marks.windows(2).map(strip).collect()
    }
}

/// The severity that fits best by what is known so far, its place among those looked at, if it was not looked at, and what
/// the logarithm of the likelihood promises to be there.
pub(crate) fn likeliest_between(nodes: &[Node]) -> Option<(usize, f64, f64)> {
    let tops = (1..nodes.len()).filter_map(|k| Some((k, Arc::between(nodes, k)?.top())));
    let (place, (s, promised)) = tops.max_by(|a, b| a.1.1.total_cmp(&b.1.1))?;
    let best = nodes.iter().map(|node| node.value).fold(f64::NEG_INFINITY, f64::max);
    let new = nodes.iter().all(|n| (n.severity - s).abs() > NEAR_ENOUGH);
    (new && promised > best + PROMISES).then_some((place, s, promised))
}

/// The severity between two looks that most belief is in doubt about, by how the ways to lead a curve through them part, and
/// its place among those looked at; nothing where all of it together hardly matters.
pub(crate) fn doubtful_between(nodes: &[Node], spread: Severity) -> Option<(usize, f64)> {
    let best = nodes.iter().map(|node| node.value).fold(f64::NEG_INFINITY, f64::max);
    let mass = |strips: &[Strip]| strips.iter().map(|strip| strip.belief(spread, best)).sum::<f64>();
    let whole = mass(&curve(nodes));
    let doubt = |k: usize| {
        let (a, b) = (&nodes[k - 1], &nodes[k]);
        if a.fit.is_some() != b.fit.is_some() {
            // How far the plant has a state: up to there it may be as likely as where it was found to have one.
            let there = flat(a.severity, b.severity, a.value.max(b.value));
            return Some((k, 0.5 * (a.severity + b.severity), 0.5 * mass(&there)));
        }
        let (Some(arc), Some(other)) = Arc::ways(nodes, k) else { return None };
        let strips = arc.strips();
        let parted = |strip: &Strip| {
            let other = Strip { log: other.at(strip.middle), ..*strip };
            (strip.belief(spread, best) - other.belief(spread, best)).abs()
        };
        let doubt: f64 = strips.iter().map(parted).sum();
        // Where half of the belief between the two lies on either side.
        let (half, mut below) = (0.5 * mass(&strips), 0.0);
        let middle = strips.iter().find(|strip| {
            below += strip.belief(spread, best);
            below >= half
        })?;
        Some((k, middle.middle, doubt))
    };
    let all: Vec<_> = (1..nodes.len()).filter_map(doubt).collect();
    let apart = |s: f64| nodes.iter().all(|node| (node.severity - s).abs() > NEAR_ENOUGH);
    let most = all.into_iter().max_by(|a, b| a.2.total_cmp(&b.2));
    most.filter(|(_, s, doubt)| *doubt > IN_DOUBT * whole && apart(*s)).map(|(k, s, _)| (k, s))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::severity::sum;
    use nalgebra::DVector;

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

    /// Looks at which one reading is off by so much, as a fit would leave it.
    fn nodes(off: &dyn Fn(f64) -> Option<f64>, severities: &[f64]) -> Vec<Node> {
        let node = |&severity: &f64| {
            let off = off(severity);
            let fit = off.map(|off| {
                let mut fit = Fit::default();
                fit.off = DVector::from_element(1, off);
                fit
            });
            Node { severity, value: off.map_or(f64::NEG_INFINITY, |off| -0.5 * off * off), fit }
        };
        severities.iter().map(node).collect()
    }

    /// Logarithm of the likelihood summed over ten thousand severities, all as common as `Severity::Even` has them.
    fn exact(off: &dyn Fn(f64) -> Option<f64>) -> f64 {
        let at = |k: u32| (f64::from(k) + 0.5) / 1e4;
        let each = |s: f64| off(s).map_or(0.0, |off| 2.0 * s * (-0.5 * off * off).exp() * 1e-4);
        (0..10_000).map(at).map(each).sum::<f64>().ln()
    }

    #[test]
    fn a_peak_narrower_than_any_even_strip_is_summed() {
        // 0.0004 wide, about 0.9312.
        let off = |s: f64| Some((s - 0.9312) / 4e-4);
        let weighed = sum(nodes(&off, &[0.15, 0.65, 0.97]), Severity::Even);
        assert!((weighed.log_likelihood - exact(&off)).abs() < 0.01, "{} {}", weighed.log_likelihood, exact(&off));
        assert!((weighed.severity - 0.9312).abs() < 1e-4);
        let nine_in_ten = 2.0 * 1.645 * 4e-4;
        assert!((weighed.severity_range.1 - weighed.severity_range.0 - nine_in_ten).abs() < 1e-4);
    }

    #[test]
    fn what_is_flat_and_then_falls_off_is_looked_at_where_it_falls() {
        // A way that chokes: the reading goes with the inverse square of what is left open.
        let off = |s: f64| Some(((1.0 - 0.98 * s).powi(-2) - 1.0) / 8.0);
        let mut looked_at = vec![0.25, 0.6, 0.9, 0.97];
        let before = (sum(nodes(&off, &looked_at), Severity::Even).log_likelihood - exact(&off)).abs();
        while let Some((place, s)) = doubtful_between(&nodes(&off, &looked_at), Severity::Even) {
            looked_at.insert(place, s);
        }
        let after = (sum(nodes(&off, &looked_at), Severity::Even).log_likelihood - exact(&off)).abs();
        assert!(after < 0.05 && after < 0.5 * before && looked_at.len() < 9, "{before} to {after}: {looked_at:?}");
    }

    #[test]
    fn where_there_is_a_state_is_found_out() {
        let off = |s: f64| (s < 0.955).then_some(20.0 * (0.95 - s));
        let mut looked_at = vec![0.25, 0.6, 0.9, 0.97];
        while let Some((place, s)) = doubtful_between(&nodes(&off, &looked_at), Severity::Even) {
            looked_at.insert(place, s);
        }
        let told = sum(nodes(&off, &looked_at), Severity::Even).log_likelihood;
        assert!((told - exact(&off)).abs() < 0.1 && looked_at.len() < 9, "{told} {}: {looked_at:?}", exact(&off));
    }
}
