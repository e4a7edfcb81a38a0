//! What a tank holds below a surface that lies aslant: exact sections, summed along it.

use std::f64::consts::PI;

/// Slices along a tank. Even, for the sums of Simpson's rule.
const SLICES: usize = 120;

/// A tank in its own measures: x along it, y across it, z up from its bottom, x and y from its middle [m].
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Shape {
    /// One section all along: points (y, z) around it, counter-clockwise, of a shape without hollows [m].
    Prism { length: f64, section: Vec<(f64, f64)> },
    /// A cylinder that lies, its ends flat.
    Lying { length: f64, diameter: f64 },
    /// A cylinder that stands.
    Standing { diameter: f64, height: f64 },
}

/// A surface: height above the bottom at the middle [m], and how it rises along x and along y [1].
#[derive(Copy, Clone, Debug, PartialEq)]
pub(super) struct Surface {
    pub middle: f64,
    pub along: f64,
    pub across: f64,
}

impl Surface {
    /// The surface that stands at a height [m] at a place, x and y [m].
    pub(super) fn through(place: (f64, f64), height: f64, along: f64, across: f64) -> Surface {
        Surface { middle: height - place.0 * along - place.1 * across, along, across }
    }
}

impl Shape {
    /// Height inside [m].
    pub(super) fn height(&self) -> f64 {
        match self {
            Shape::Prism { section, .. } => section.iter().fold(0.0, |top: f64, point| top.max(point.1)),
            Shape::Lying { diameter, .. } => *diameter,
            Shape::Standing { height, .. } => *height,
        }
    }

    /// Half of its length and width [m].
    pub(super) fn half(&self) -> (f64, f64) {
        match self {
            Shape::Prism { length, section } => {
                (length / 2.0, section.iter().fold(0.0, |most: f64, point| most.max(point.0.abs())))
            }
            Shape::Lying { length, diameter } => (length / 2.0, diameter / 2.0),
            Shape::Standing { diameter, .. } => (diameter / 2.0, diameter / 2.0),
        }
    }

    /// Height of the bottom at a place across [m].
    pub(super) fn bottom(&self, y: f64) -> f64 {
        match self {
            Shape::Prism { section, .. } => {
                let edges = (0..section.len()).map(|k| (section[k], section[(k + 1) % section.len()]));
                let under = edges.filter_map(|((y1, z1), (y2, z2))| {
                    if !(y1.min(y2)..=y1.max(y2)).contains(&y) {
                        return None;
                    }
                    // An upright side begins at its lower end.
                    Some(if y1 == y2 { z1.min(z2) } else { z1 + (z2 - z1) * (y - y1) / (y2 - y1) })
                });
                under.reduce(f64::min).unwrap_or(0.0)
            }
            Shape::Lying { diameter, .. } => {
                let radius = diameter / 2.0;
                radius - (radius * radius - y * y).max(0.0).sqrt()
            }
            Shape::Standing { .. } => 0.0,
        }
    }

    /// Everything it holds [m³].
    pub(super) fn whole(&self) -> f64 {
        self.below(Surface { middle: 2.0 * self.height(), along: 0.0, across: 0.0 })
    }

    /// What it holds below a surface [m³].
    pub(super) fn below(&self, surface: Surface) -> f64 {
        let at = |x: f64, half: f64| {
            let (middle, slope) = (surface.middle + x * surface.along, surface.across);
            match self {
                Shape::Prism { section, .. } => wetted(section, middle, slope),
                Shape::Lying { diameter, .. } => segment(*diameter / 2.0, middle, slope),
                Shape::Standing { height, .. } => wetted(&rectangle(half, *height), middle, slope),
            }
        };
        match self {
            // Every slice is the same.
            Shape::Prism { length, .. } | Shape::Lying { length, .. } if surface.along == 0.0 => at(0.0, 0.0) * length,
            _ => self.sum(at),
        }
    }

    /// Second moments of a level surface at a height [m⁴]: about its own middle line along x, and about that along y.
    pub(super) fn free_surface(&self, height: f64) -> (f64, f64) {
        let (length, width) = match self {
            Shape::Prism { length, section } => (*length, width_at(section, height)),
            Shape::Lying { length, diameter } => (*length, 2.0 * (height * (diameter - height)).max(0.0).sqrt()),
            Shape::Standing { diameter, .. } => {
                let disc = PI * diameter.powi(4) / 64.0;
                return (disc, disc);
            }
        };
        (length * width.powi(3) / 12.0, width * length.powi(3) / 12.0)
    }

    /// Sums something over slices along the tank: of `x` and of half the width of a standing cylinder there.
    ///
    /// # Source
    /// Simpson's rule; a standing cylinder by the angle about its axis, so that its sides end without a corner.
    fn sum(&self, of: impl Fn(f64, f64) -> f64) -> f64 {
        let (long, _) = self.half();
        let slice = |k: usize| {
            let share = 2.0 * k as f64 / SLICES as f64 - 1.0;
            match self {
                Shape::Standing { .. } => {
                    let angle = share * PI / 2.0;
                    of(long * angle.sin(), long * angle.cos()) * long * angle.cos() * PI / 2.0
                }
                _ => of(long * share, 0.0) * long,
            }
        };
        let weight = |k: usize| {
            if k == 0 || k == SLICES {
                1.0
            } else if k % 2 == 1 {
                4.0
            } else {
                2.0
            }
        };
        (0..=SLICES).map(|k| weight(k) * slice(k)).sum::<f64>() * 2.0 / SLICES as f64 / 3.0
    }
}

/// A rectangle of this half width and height [m].
pub(super) fn rectangle(half: f64, height: f64) -> Vec<(f64, f64)> {
    vec![(-half, 0.0), (half, 0.0), (half, height), (-half, height)]
}

/// The part of a section that lies below a line [m]; exact.
///
/// # Source
/// Clipping after Sutherland and Hodgman, from memory.
pub(super) fn clipped(section: &[(f64, f64)], middle: f64, slope: f64) -> Vec<(f64, f64)> {
    let over = |point: (f64, f64)| point.1 - middle - slope * point.0;
    let mut kept = Vec::with_capacity(section.len() + 2);
    for (k, point) in section.iter().enumerate() {
        let next = section[(k + 1) % section.len()];
        let (here, there) = (over(*point), over(next));
        if here <= 0.0 {
            kept.push(*point);
        }
        if (here < 0.0 && there > 0.0) || (here > 0.0 && there < 0.0) {
            let share = here / (here - there);
            kept.push((point.0 + (next.0 - point.0) * share, point.1 + (next.1 - point.1) * share));
        }
    }
    kept
}

/// Area of a section below a line [m²].
fn wetted(section: &[(f64, f64)], middle: f64, slope: f64) -> f64 {
    let kept = clipped(section, middle, slope);
    let turn = |k: usize| {
        let ((x1, y1), (x2, y2)) = (kept[k], kept[(k + 1) % kept.len()]);
        x1 * y2 - x2 * y1
    };
    (0..kept.len()).map(turn).sum::<f64>().abs() / 2.0
}

/// Area of a circle below a line [m²]; the circle stands on the bottom.
fn segment(radius: f64, middle: f64, slope: f64) -> f64 {
    // Distance of the line from the centre, counted up.
    let over = ((middle - radius) / slope.hypot(1.0)).clamp(-radius, radius);
    radius * radius * (PI - (over / radius).acos()) + over * (radius * radius - over * over).max(0.0).sqrt()
}

/// Width of a section at a height [m].
fn width_at(section: &[(f64, f64)], height: f64) -> f64 {
    let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
    for (k, (y1, z1)) in section.iter().enumerate() {
        let (y2, z2) = section[(k + 1) % section.len()];
        if (z1.min(z2)..=z1.max(z2)).contains(&height) {
            let share = if z1 == &z2 { 0.0 } else { (height - z1) / (z2 - z1) };
            for y in [y1 + (y2 - y1) * share, if z1 == &z2 { y2 } else { y1 + (y2 - y1) * share }] {
                ends = (ends.0.min(y), ends.1.max(y));
            }
        }
    }
    (ends.1 - ends.0).max(0.0)
}
