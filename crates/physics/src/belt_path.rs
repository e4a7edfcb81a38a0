//! The way of a belt round any number of pulleys, by their common tangents. x to the right, y up [m]; angles [rad].

use std::f64::consts::{PI, TAU};

/// A pulley, by its pitch circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulley {
    /// Its middle.
    pub at: (f64, f64),
    /// Its radius.
    pub radius: f64,
    /// Whether the belt's back runs on it.
    pub outside: bool,
}

/// A straight piece between two pulleys.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Where it leaves a pulley.
    pub from: (f64, f64),
    /// Where it meets the next.
    pub to: (f64, f64),
    /// Its length.
    pub length: f64,
    /// The way it runs, counter-clockwise from the right.
    pub direction: f64,
}

/// The whole way, in the order of the pulleys.
#[derive(Clone, Debug, PartialEq)]
pub struct Round {
    /// Its length.
    pub length: f64,
    /// The span that leaves each pulley.
    pub spans: Vec<Span>,
    /// How far the belt lies on each.
    pub wraps: Vec<f64>,
    /// Which way each turns: 1 counter-clockwise, −1 clockwise.
    pub turns: Vec<f64>,
}

/// Why there is no such way; pulleys by their place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoWay {
    /// Two pulleys overlap.
    Overlap(usize, usize),
    /// The belt does not lie on this one on that side.
    Off(usize),
    /// The spans that leave these two cross.
    Cross(usize, usize),
    /// The span that leaves the first runs through the second.
    Through(usize, usize),
}

/// What reckoning may miss.
const HAIR: f64 = 1e-9;

/// The way of a belt that comes to the pulleys in this order, counter-clockwise as a whole or clockwise.
///
/// # Errors
/// [`NoWay`].
///
/// # Source
/// Geometry: a tangent in direction d touches a circle at c + s r (d_y, −d_x), s = 1 where the pulley turns counter-clockwise.
pub fn round(pulleys: &[Pulley], counter: bool) -> Result<Round, NoWay> {
    let count = pulleys.len();
    for one in 0..count {
        for other in one + 1..count {
            let (a, b) = (&pulleys[one], &pulleys[other]);
            let (x, y, least) = (b.at.0 - a.at.0, b.at.1 - a.at.1, a.radius + b.radius);
            if x * x + y * y < least * least {
                return Err(NoWay::Overlap(one, other));
            }
        }
    }
    let sense = if counter { 1.0 } else { -1.0 };
    let turns: Vec<f64> = pulleys.iter().map(|pulley| if pulley.outside { -sense } else { sense }).collect();
    let spans: Vec<Span> = (0..count)
        .map(|place| {
            let next = (place + 1) % count;
            tangent((&pulleys[place], turns[place]), (&pulleys[next], turns[next]))
        })
        .collect();
    let wraps: Vec<f64> = (0..count)
        .map(|place| {
            let before = spans[(place + count - 1) % count].direction;
            let wrap = (turns[place] * (spans[place].direction - before)).rem_euclid(TAU);
            if TAU - wrap < HAIR { 0.0 } else { wrap }
        })
        .collect();
    // Once round, and no more: else somewhere it would lie on the far side of a pulley.
    let turned: f64 = wraps.iter().zip(&turns).map(|(wrap, turn)| wrap * turn).sum();
    if (turned - sense * TAU).abs() > 1e-6 {
        let most = (0..count).max_by(|a, b| wraps[*a].total_cmp(&wraps[*b])).unwrap_or(0);
        return Err(NoWay::Off(most));
    }
    let ways: Vec<(f64, f64)> = spans.iter().map(along).collect();
    for one in 0..count {
        let ends = [one, (one + 1) % count];
        let through = |other: &usize| {
            let reach = pulleys[*other].radius - HAIR;
            !ends.contains(other) && square_of_distance(pulleys[*other].at, &spans[one], ways[one]) < reach * reach
        };
        if let Some(other) = (0..count).find(through) {
            return Err(NoWay::Through(one, other));
        }
        let crossed = |other: &usize| crosses((&spans[one], ways[one]), (&spans[*other], ways[*other]));
        if let Some(other) = (one + 1..count).find(crossed) {
            return Err(NoWay::Cross(one, other));
        }
    }
    let lying: f64 = wraps.iter().zip(pulleys).map(|(wrap, pulley)| wrap * pulley.radius).sum();
    let length = spans.iter().map(|span| span.length).sum::<f64>() + lying;
    Ok(Round { length, spans, wraps, turns })
}

/// The straight piece from a pulley to the next, each turning as told.
fn tangent((from, s): (&Pulley, f64), (to, t): (&Pulley, f64)) -> Span {
    let (dx, dy) = (to.at.0 - from.at.0, to.at.1 - from.at.1);
    let apart = dx.hypot(dy);
    let step = t * to.radius - s * from.radius;
    let direction = dy.atan2(dx) - (step / apart).asin();
    let (sin, cos) = direction.sin_cos();
    let touch = |pulley: &Pulley, turn: f64| {
        (pulley.at.0 + turn * pulley.radius * sin, pulley.at.1 - turn * pulley.radius * cos)
    };
    Span { from: touch(from, s), to: touch(to, t), length: (apart * apart - step * step).sqrt(), direction }
}

/// The way a span runs, as a vector of length one.
fn along(span: &Span) -> (f64, f64) {
    let length = span.length.max(f64::MIN_POSITIVE);
    ((span.to.0 - span.from.0) / length, (span.to.1 - span.from.1) / length)
}

/// From a point to the nearest of a span, squared.
fn square_of_distance((x, y): (f64, f64), span: &Span, (cos, sin): (f64, f64)) -> f64 {
    let (x, y) = (x - span.from.0, y - span.from.1);
    let far = (x * cos + y * sin).clamp(0.0, span.length);
    (x - far * cos).powi(2) + (y - far * sin).powi(2)
}

fn crosses((one, way): (&Span, (f64, f64)), (other, other_way): (&Span, (f64, f64))) -> bool {
    let side =
        |span: &Span, (cos, sin): (f64, f64), (x, y): (f64, f64)| cos * (y - span.from.1) - sin * (x - span.from.0);
    let apart = |a: f64, b: f64| (a > HAIR && b < -HAIR) || (a < -HAIR && b > HAIR);
    apart(side(one, way, other.from), side(one, way, other.to))
        && apart(side(other, other_way, one.from), side(other, other_way, one.to))
}

/// The least force on the slack side of a pulley [N] with which it does not slip, `margin` [1] times over.
///
/// * `pull` [N]: tight less slack side; `ratio` [1]: [`crate::drive::tension_ratio`]; `flung` [N]: m v², which presses nothing
///
/// # Source
/// Euler-Eytelwein with centrifugal tension, `[Khurmi14]` sec. 11.14 and 11.17: (T₁ − m v²) = ratio (T₂ − m v²).
pub fn least_slack(pull: f64, ratio: f64, flung: f64, margin: f64) -> f64 {
    flung + margin * pull / (ratio - 1.0)
}

/// How many times over a pulley carries its pull before it slips [1]: [`least_slack`] the other way round; 0 where the slack side
/// presses nothing.
pub fn slip_margin(pull: f64, ratio: f64, flung: f64, slack: f64) -> f64 {
    (slack - flung).max(0.0) * (ratio - 1.0) / pull
}

/// Pull on the hub of a pulley [N] and its direction [rad] from the tensions [N] of the spans before and after it.
///
/// # Source
/// Statics: the sum of both, each drawing away from the pulley.
pub fn hub_load(before: (f64, &Span), after: (f64, &Span)) -> (f64, f64) {
    let (sin, cos) = (before.1.direction + PI).sin_cos();
    let (s, c) = after.1.direction.sin_cos();
    let (x, y) = (before.0 * cos + after.0 * c, before.0 * sin + after.0 * s);
    (x.hypot(y), y.atan2(x))
}

#[cfg(test)]
mod tests {
    use super::{NoWay, Pulley, Round, round};
    use crate::drive::{free_span, open_belt_length, open_belt_wrap};
    use std::f64::consts::PI;

    fn pulley(x: f64, y: f64, diameter: f64) -> Pulley {
        Pulley { at: (x, y), radius: diameter / 2.0, outside: false }
    }

    fn way(pulleys: &[Pulley]) -> Round {
        round(pulleys, true).unwrap_or_else(|no| panic!("{no:?}"))
    }

    #[test]
    fn two_pulleys_are_the_open_belt_however_they_lie() {
        for (x, y) in [(0.4, 0.0), (0.0, 0.4), (-0.24, 0.32), (0.1, -0.387298334620742)] {
            let both = way(&[pulley(0.0, 0.0, 0.2), pulley(x, y, 0.07)]);
            assert!((both.length - open_belt_length(0.2, 0.07, 0.4)).abs() < 1e-12);
            assert!((both.wraps[1] - open_belt_wrap(0.2, 0.07, 0.4)).abs() < 1e-12);
            assert!((both.spans[0].length - free_span(0.2, 0.07, 0.4)).abs() < 1e-12);
            let other = round(&[pulley(0.0, 0.0, 0.2), pulley(x, y, 0.07)], false).map_or(0.0, |way| way.length);
            assert!((other - both.length).abs() < 1e-12);
        }
    }

    #[test]
    fn equal_pulleys_at_the_corners_are_their_sides_and_one_circle() {
        let square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].map(|(x, y)| pulley(x, y, 0.2));
        let way = way(&square);
        assert!((way.length - 4.0 - PI * 0.2).abs() < 1e-12);
        assert!(way.wraps.iter().all(|wrap| (wrap - PI / 2.0).abs() < 1e-12));
    }

    #[test]
    fn a_pulley_on_the_back_is_as_drawn_out_of_a_circle_and_two_tangents() {
        // Two like pulleys, an idler pressed in from below midway: by hand from a right triangle on each side.
        let (r, c, i, depth): (f64, f64, f64, f64) = (0.1, 0.5, 0.04, 0.05);
        let idler = Pulley { at: (c / 2.0, -(r + i - depth)), radius: i, outside: true };
        let way = way(&[pulley(0.0, 0.0, 2.0 * r), idler, pulley(c, 0.0, 2.0 * r)]);
        // Between centres, the crossed tangent: √(d² − (r + i)²).
        let d = (c / 2.0).hypot(r + i - depth);
        let span = (d * d - (r + i).powi(2)).sqrt();
        // The belt leaves by the angle between centres less that of the tangent.
        let bend = ((r + i) / d).asin() - ((r + i - depth) / (c / 2.0)).atan();
        let length = c + 2.0 * span + PI * 2.0 * r + 2.0 * bend * r + 2.0 * bend * i;
        assert!((way.length - length).abs() < 1e-12, "{} {length}", way.length);
        assert!((way.wraps[1] - 2.0 * bend).abs() < 1e-12);
        assert_eq!(way.turns, [1.0, -1.0, 1.0]);
    }

    #[test]
    fn what_cannot_be_is_told() {
        let (a, b) = (pulley(0.0, 0.0, 0.2), pulley(0.15, 0.0, 0.2));
        assert_eq!(round(&[a, b], true), Err(NoWay::Overlap(0, 1)));
        let crossed = [a, Pulley { at: (0.5, 0.0), radius: 0.1, outside: true }];
        assert!(matches!(round(&crossed, true), Err(NoWay::Off(_))));
        // A third one stands in the way of a span that does not know it.
        let four = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].map(|(x, y)| pulley(x, y, 0.2));
        assert!(round(&[four[0], four[2], four[1], four[3]], true).is_err(), "a bow tie");
        // A pulley inside the loop, beside the way, is not touched.
        assert!(matches!(
            round(&[four[0], four[1], pulley(0.6, 0.3, 0.1), four[2], four[3]], true),
            Err(NoWay::Off(2))
        ));
    }
}
