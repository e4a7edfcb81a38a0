//! A plain plan and a side sketch with numbers on them, none on another.

use crate::whereabouts::Place;
use std::fmt::Write as _;

/// Both drawings.
pub(super) struct Sketches {
    pub plan: String,
    pub side: String,
}

/// Size of the room on the page, and of what is left about it [px].
const ROOM: (f64, f64) = (560.0, 240.0);
const ABOUT: f64 = 60.0;
/// Room for what is up in the wheelhouse or the funnel, on the side sketch [px].
const ABOVE: f64 = 70.0;
/// A number's circle [px].
const RADIUS: f64 = 13.0;
/// Least distance between two of them, middle to middle [px].
const APART: f64 = 2.0 * RADIUS + 5.0;

/// Plan and side of a room with numbers at these places, in their order from 1.
pub(super) fn both(places: &[Place]) -> Sketches {
    let plan: Vec<(f64, f64)> = places
        .iter()
        .map(|place| (ABOUT + place.along * ROOM.0, ABOUT + (0.5 + place.across * 0.44) * ROOM.1))
        .collect();
    let side: Vec<(f64, f64)> = places
        .iter()
        .map(|place| (ABOUT + place.along * ROOM.0, ABOUT + ABOVE + (1.0 - place.height) * ROOM.1))
        .collect();
    Sketches { plan: drawn(&hull_plan(), &spread(&plan), 0.0), side: drawn(&hull_side(), &spread(&side), ABOVE) }
}

/// The same places moved apart until no two circles touch: each, in order, to the nearest free place about its own.
pub(super) fn spread(wanted: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut placed: Vec<(f64, f64)> = Vec::new();
    for at in wanted {
        let free = |spot: &(f64, f64)| placed.iter().all(|(x, y)| (spot.0 - x).hypot(spot.1 - y) >= APART);
        let ring = |step: usize| {
            // Six on the first ring, and as many more as there is room for on each further one.
            let count = (6 * step).max(1);
            (0..count).map(move |k| {
                let angle = std::f64::consts::TAU * k as f64 / count as f64;
                let far = APART * 0.55 * step as f64;
                (at.0 + far * angle.cos(), at.1 + far * angle.sin())
            })
        };
        let spot = (0..60).flat_map(ring).find(free).unwrap_or(*at);
        placed.push(spot);
    }
    placed
}

/// The outline of the hull and the room, from above.
fn hull_plan() -> String {
    let (left, top, right, bottom) = (ABOUT, ABOUT, ABOUT + ROOM.0, ABOUT + ROOM.1);
    let middle = f64::midpoint(top, bottom);
    let mut out = String::new();
    let _ = write!(
        out,
        "<path class=\"outline\" d=\"M{0} {1}H{2}V{3}H{0}Z\"/><path class=\"dashed\" d=\"M{4} {5}H{6}\"/>",
        left,
        top,
        right,
        bottom,
        left - 30.0,
        middle,
        right + 40.0
    );
    // The engine, and the shaft to the propeller.
    let _ = write!(
        out,
        "<path class=\"dashed\" d=\"M{} {}H{}V{}H{}Z\"/>",
        left + 0.3 * ROOM.0,
        middle - 34.0,
        left + 0.62 * ROOM.0,
        middle + 34.0,
        left + 0.3 * ROOM.0
    );
    for (words, at) in
        [("PORT", (left + ROOM.0 / 2.0, top - 14.0)), ("STARBOARD", (left + ROOM.0 / 2.0, bottom + 24.0))]
    {
        out += &word(words, at);
    }
    out + &word("BOW", (left - 34.0, middle - 10.0)) + &word("STERN", (right + 34.0, middle - 10.0))
}

/// The same from the side.
fn hull_side() -> String {
    let (left, top, right, bottom) = (ABOUT, ABOUT + ABOVE, ABOUT + ROOM.0, ABOUT + ABOVE + ROOM.1);
    let water = bottom - 0.45 * ROOM.1;
    let mut out = String::new();
    let _ = write!(
        out,
        "<path class=\"outline\" d=\"M{left} {top}H{right}V{bottom}H{left}Z\"/>\
         <path class=\"dashed\" d=\"M{} {water}H{}\"/>",
        left - 40.0,
        right + 40.0
    );
    let _ = write!(
        out,
        "<path class=\"dashed\" d=\"M{0} {1}H{2}V{3}H{0}Z\"/>",
        left + 0.3 * ROOM.0,
        top + 0.3 * ROOM.1,
        left + 0.62 * ROOM.0,
        top + 0.78 * ROOM.1
    );
    let deck = word("DECKHEAD", (left + ROOM.0 / 2.0, top - 8.0));
    out + &deck + &word("KEEL", (left + ROOM.0 / 2.0, bottom + 22.0)) + &word("WATERLINE", (right + 12.0, water - 8.0))
}

fn word(words: &str, (x, y): (f64, f64)) -> String {
    format!("<text class=\"soft middle\" x=\"{x:.1}\" y=\"{y:.1}\">{words}</text>")
}

/// One sketch, with as much about it as the numbers need.
fn drawn(hull: &str, numbers: &[(f64, f64)], above: f64) -> String {
    let ends = |of: fn(&(f64, f64)) -> f64, least: f64, most: f64| {
        let low = numbers.iter().map(of).fold(least, f64::min) - RADIUS - 4.0;
        let high = numbers.iter().map(of).fold(most, f64::max) + RADIUS + 4.0;
        (low, high)
    };
    let (left, right) = ends(|at| at.0, 17.0, ROOM.0 + 2.0 * ABOUT - 17.0);
    let (top, bottom) = ends(|at| at.1, 40.0, ROOM.1 + 2.0 * ABOUT + above - 30.0);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"schematic fits alone\" width=\"{0:.0}\" height=\"{1:.0}\" \
         viewBox=\"{left:.0} {top:.0} {0:.0} {1:.0}\" role=\"img\" aria-label=\"Numbers of the stops\">\n<style>\n{2}</style>\n\
         <rect class=\"paper\" x=\"{left:.0}\" y=\"{top:.0}\" width=\"{0:.0}\" height=\"{1:.0}\"/>\n{hull}\n",
        right - left,
        bottom - top,
        drawing::STYLE,
    );
    for (place, (x, y)) in numbers.iter().enumerate() {
        let _ = writeln!(
            out,
            "<g class=\"number\"><circle class=\"outline\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{RADIUS}\"/>\
             <text class=\"word middle\" x=\"{x:.1}\" y=\"{:.1}\">{}</text></g>",
            y + 4.2,
            place + 1
        );
    }
    drawing::on_paper(&(out + "</svg>\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_would_lie_on_each_other_are_moved_apart_and_others_stay() {
        let wanted = vec![(100.0, 100.0); 25].into_iter().chain([(400.0, 100.0)]).collect::<Vec<_>>();
        let placed = spread(&wanted);
        assert_eq!(placed[0], wanted[0]);
        assert_eq!(placed[25], wanted[25]);
        for (k, a) in placed.iter().enumerate() {
            for b in &placed[..k] {
                assert!((a.0 - b.0).hypot(a.1 - b.1) >= APART - 1e-9, "{a:?} {b:?}");
            }
        }
        // Twenty-five in one place still lie about it.
        assert!(placed[..25].iter().all(|at| (at.0 - 100.0).hypot(at.1 - 100.0) < 6.0 * APART));
    }

    #[test]
    fn each_number_stands_once_on_each_sketch() {
        let places: Vec<Place> =
            (0..9).map(|k| Place { along: 0.1 * f64::from(k), across: 0.0, height: 0.5 }).collect();
        let sketches = both(&places);
        for svg in [&sketches.plan, &sketches.side] {
            roxmltree::Document::parse(svg).expect("it is well formed");
            for number in 1..=9 {
                assert_eq!(svg.matches(&format!(">{number}</text>")).count(), 1);
            }
        }
    }
}
