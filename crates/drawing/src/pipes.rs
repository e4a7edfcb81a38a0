//! The pipes of each net with every piece once, so that no line is drawn over itself.

use super::runs::length;
use super::{Point, Run};
use parts::kind::Circuit;

/// For each net what it carries, whether that stands still, and its lines.
pub(super) fn pipes(runs: &[Run]) -> Vec<(Circuit, bool, Vec<Vec<Point>>)> {
    let mut found: Vec<(usize, bool, Circuit, Vec<Vec<Point>>)> = Vec::new();
    for (nth, run) in runs.iter().enumerate() {
        // What this run shares with those before it is drawn already.
        let drawn: Vec<(Point, Point)> = runs[..nth]
            .iter()
            .filter(|other| other.net == run.net)
            .flat_map(|other| other.points.windows(2).map(|pair| (pair[0], pair[1])))
            .collect();
        let line = fresh(&run.points, &drawn);
        if line.len() < 2 {
            continue;
        }
        match found.iter_mut().find(|(net, standing, _, _)| *net == run.net && *standing == run.standing) {
            Some((_, _, _, lines)) => lines.push(line),
            None => found.push((run.net, run.standing, run.circuit, vec![line])),
        }
    }
    found.into_iter().map(|(_, standing, circuit, lines)| (circuit, standing, lines)).collect()
}

/// A run without what it shares, at either end, with what is drawn already.
fn fresh(points: &[Point], drawn: &[(Point, Point)]) -> Vec<Point> {
    let mut points = points.to_vec();
    for _ in 0..2 {
        while let [first, second, ..] = points[..] {
            let Some(shared) = drawn
                .iter()
                .filter_map(|line| overlap(first, second, *line))
                .reduce(|a, b| if length((first, a)) > length((first, b)) { a } else { b })
            else {
                break;
            };
            points[0] = shared;
            if shared == second {
                points.remove(0);
            }
        }
        points.reverse();
    }
    points
}

/// How far from `first` towards `second` this line covers the way, if it covers its beginning.
fn overlap(first: Point, second: Point, (a, b): (Point, Point)) -> Option<Point> {
    let across = first.1 == second.1;
    let turned = |p: Point| if across { p } else { (p.1, p.0) };
    let (first, second, a, b) = (turned(first), turned(second), turned(a), turned(b));
    if a.1 != first.1 || b.1 != first.1 || first.0 == second.0 {
        return None;
    }
    let (low, high) = (a.0.min(b.0), a.0.max(b.0));
    if first.0 < low || first.0 > high {
        return None;
    }
    let reach = if second.0 > first.0 { second.0.min(high) } else { second.0.max(low) };
    (reach != first.0).then(|| turned((reach, first.1)))
}
