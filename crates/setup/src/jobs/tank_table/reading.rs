//! What is told of a tank, and what that holds.

use super::shape::{Shape, Surface, rectangle};
use crate::given::Given;
use crate::job::Refused;
use physics::sender::between;

/// Points that a section may have.
const POINTS: usize = 40;

/// What the tank holds, however it is known.
pub(super) enum Tank {
    /// Its shape, and whether its x lies across the ship.
    Shape(Shape, bool),
    /// Dip [m] and volume [m³], rising.
    Filled(Vec<(f64, f64)>),
}

/// How she lies: the surface's rise forward and to starboard [1].
#[derive(Copy, Clone)]
pub(super) struct Lies {
    pub(super) forward: f64,
    pub(super) starboard: f64,
}

impl Tank {
    pub(super) fn height(&self) -> f64 {
        match self {
            Tank::Shape(shape, _) => shape.height(),
            Tank::Filled(points) => points.last().map_or(0.0, |last| last.0),
        }
    }

    /// Volume below the surface that stands this high at a place forward and to starboard of the middle [m³].
    pub(super) fn below(&self, place: (f64, f64), height: f64, lies: Lies) -> f64 {
        match self {
            Tank::Shape(shape, across) => shape.below(turned(place, height, lies, *across)),
            Tank::Filled(points) => {
                let middle = height - place.0 * lies.forward - place.1 * lies.starboard;
                let (first, last) = (points[0], points[points.len() - 1]);
                between(points, middle.clamp(first.0, last.0)).unwrap_or(last.1)
            }
        }
    }

    pub(super) fn whole(&self) -> f64 {
        match self {
            Tank::Shape(shape, _) => shape.whole(),
            Tank::Filled(points) => points.last().map_or(0.0, |last| last.1),
        }
    }

    /// Height of the bottom under a place, over the lowest of it [m].
    pub(super) fn bottom(&self, place: (f64, f64)) -> f64 {
        match self {
            Tank::Shape(shape, across) => shape.bottom(if *across { place.0 } else { place.1 }),
            Tank::Filled(_) => 0.0,
        }
    }

    /// Second moment of the surface about its middle line along the ship [m⁴].
    pub(super) fn free_surface(&self, height: f64) -> Option<f64> {
        match self {
            Tank::Shape(shape, across) => {
                let (about_x, about_y) = shape.free_surface(height);
                Some(if *across { about_y } else { about_x })
            }
            Tank::Filled(_) => None,
        }
    }
}

/// The surface in the tank's own measures.
fn turned(place: (f64, f64), height: f64, lies: Lies, across: bool) -> Surface {
    if across {
        Surface::through((place.1, place.0), height, lies.starboard, lies.forward)
    } else {
        Surface::through(place, height, lies.forward, lies.starboard)
    }
}

fn must(given: &Given, key: &'static str) -> Result<f64, Refused> {
    given.maybe(key).ok_or_else(|| Refused::of(key, "this shape needs it", "Tell it, measured inside."))
}

fn rising(key: &'static str, values: &[f64]) -> Result<(), Refused> {
    if values.len() < 2 || values.windows(2).any(|pair| pair[0] >= pair[1]) {
        return Err(Refused::of(
            key,
            "it takes two values or more, each larger than the one before",
            "Write them in rising order.",
        ));
    }
    Ok(())
}

pub(super) fn tank(given: &Given) -> Result<Tank, Refused> {
    let shape = match given.word("tank-shape") {
        "box" => Shape::Prism {
            length: must(given, "tank-length")?,
            section: rectangle(must(given, "tank-width")? / 2.0, must(given, "tank-height")?),
        },
        "lying" => Shape::Lying { length: must(given, "tank-length")?, diameter: must(given, "tank-diameter")? },
        "standing" => Shape::Standing { diameter: must(given, "tank-diameter")?, height: must(given, "tank-height")? },
        "sections" => Shape::Prism { length: must(given, "tank-length")?, section: section(given)? },
        _ => return filled(given),
    };
    let across = given.word("tank-shape") == "lying" && given.word("tank-lies") == "across";
    Ok(Tank::Shape(shape, across))
}

/// The section from widths at heights, counter-clockwise; the middle of its greatest width is the middle.
fn section(given: &Given) -> Result<Vec<(f64, f64)>, Refused> {
    let (heights, widths) = (given.list("section-heights"), given.list("section-widths"));
    rising("section-heights", &heights)?;
    if heights.len() != widths.len() || heights.len() > POINTS {
        return Err(Refused::of(
            "section-widths",
            format!("{} widths at {} heights", widths.len(), heights.len()),
            format!("One width for each height, at most {POINTS}."),
        ));
    }
    if heights[0] > 0.0 {
        return Err(Refused::of(
            "section-heights",
            "they begin above the bottom",
            "Begin with 0 mm and the width of the bottom (0 mm where it is a keel).",
        ));
    }
    let greatest = widths.iter().fold(0.0, |most: f64, width| most.max(*width));
    if greatest <= 0.0 {
        return Err(Refused::of("section-widths", "it has no width", "Measure inside, from side to side."));
    }
    let ends = |width: f64| match given.word("straight-side") {
        "port" => (-greatest / 2.0, width - greatest / 2.0),
        "starboard" => (greatest / 2.0 - width, greatest / 2.0),
        _ => (-width / 2.0, width / 2.0),
    };
    let all: Vec<(f64, f64)> = heights.into_iter().zip(widths).collect();
    let up = all.iter().map(|(height, width)| (ends(*width).1, *height));
    Ok(up.chain(all.iter().rev().map(|(height, width)| (ends(*width).0, *height))).collect())
}

fn filled(given: &Given) -> Result<Tank, Refused> {
    let (dips, litres) = (given.list("fill-dips"), given.list("fill-litres"));
    rising("fill-dips", &dips)?;
    rising("fill-litres", &litres)?;
    if dips.len() != litres.len() {
        return Err(Refused::of(
            "fill-litres",
            format!("{} amounts at {} dips", litres.len(), dips.len()),
            "One amount for each dip, all that is in it by then.",
        ));
    }
    Ok(Tank::Filled(dips.into_iter().zip(litres).collect()))
}
