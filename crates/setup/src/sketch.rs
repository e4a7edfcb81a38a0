//! A drawing to scale: lines, arcs and letters in the measures of the thing drawn.

pub use crate::svg::STYLE;

/// A drawing. x to the right, y up, in the measures of the thing [m]; the frame fits itself around what is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sketch {
    /// What it shows, for those who cannot see it.
    pub title: String,
    /// What is drawn, the lowest first.
    pub strokes: Vec<Stroke>,
}

/// A point: x, y [m].
pub type At = (f64, f64);

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Stroke {
    /// A line through points.
    Line(Look, Vec<At>),
    /// A closed outline through points.
    Outline(Look, Vec<At>),
    /// A circle: middle and radius.
    Circle(Look, At, f64),
    /// Part of a circle: middle, radius, from and to [rad, counter-clockwise from the right].
    Arc(Look, At, f64, f64, f64),
    /// Letters at a point.
    Letters(At, Hold, String),
    /// A measure: from, to, how far beside the line it stands [m], and what it says.
    Measure(At, At, f64, String),
}

/// How a line looks; the style knows weights and colours.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Look {
    /// The thing itself.
    Firm,
    /// Thin: axes, marks, what is behind.
    Thin,
    /// Dashed: as it was, or what is hidden.
    Dashed,
    /// As it is to be, or what matters here.
    Marked,
    /// A filled face.
    Face,
}

/// Where letters are held.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Hold {
    /// They begin at the point.
    Start,
    /// They are about the point.
    Middle,
    /// They end at the point.
    End,
}

impl Sketch {
    /// Begins a drawing.
    pub fn new(title: impl Into<String>) -> Sketch {
        Sketch { title: title.into(), strokes: Vec::new() }
    }

    /// Adds a line.
    pub fn line(&mut self, look: Look, points: impl Into<Vec<At>>) {
        self.strokes.push(Stroke::Line(look, points.into()));
    }

    /// Adds a closed outline.
    pub fn outline(&mut self, look: Look, points: impl Into<Vec<At>>) {
        self.strokes.push(Stroke::Outline(look, points.into()));
    }

    /// Adds a circle.
    pub fn circle(&mut self, look: Look, middle: At, radius: f64) {
        self.strokes.push(Stroke::Circle(look, middle, radius));
    }

    /// Adds part of a circle, counter-clockwise.
    pub fn arc(&mut self, look: Look, middle: At, radius: f64, from: f64, to: f64) {
        self.strokes.push(Stroke::Arc(look, middle, radius, from, to));
    }

    /// Adds letters.
    pub fn letters(&mut self, at: At, hold: Hold, text: impl Into<String>) {
        self.strokes.push(Stroke::Letters(at, hold, text.into()));
    }

    /// Adds a measure.
    pub fn measure(&mut self, from: At, to: At, beside: f64, text: impl Into<String>) {
        self.strokes.push(Stroke::Measure(from, to, beside, text.into()));
    }

    /// The corners that hold all of it: least and greatest x and y [m]; none of an empty drawing.
    pub fn corners(&self) -> Option<(At, At)> {
        let points = self.strokes.iter().flat_map(Stroke::points).filter(|(x, y)| x.is_finite() && y.is_finite());
        points.fold(None, |corners, (x, y)| {
            let ((left, low), (right, high)) = corners.unwrap_or(((x, y), (x, y)));
            Some(((left.min(x), low.min(y)), (right.max(x), high.max(y))))
        })
    }

    /// As SVG: a piece of a page, or alone with its style.
    pub fn svg(&self, alone: bool) -> String {
        crate::svg::draw(self, alone)
    }
}

impl Stroke {
    /// Points that the frame must hold.
    fn points(&self) -> Vec<At> {
        match self {
            Stroke::Line(_, points) | Stroke::Outline(_, points) => points.clone(),
            Stroke::Circle(_, (x, y), r) => vec![(x - r, y - r), (x + r, y + r)],
            Stroke::Arc(_, (x, y), r, from, to) => {
                let steps = 24;
                let at = |step: i32| from + (to - from) * f64::from(step) / f64::from(steps);
                (0..=steps).map(at).map(|angle| (x + r * angle.cos(), y + r * angle.sin())).collect()
            }
            Stroke::Letters(at, ..) => vec![*at],
            Stroke::Measure(from, to, beside, _) => {
                let (a, b) = beside_line(*from, *to, *beside);
                vec![*from, *to, a, b]
            }
        }
    }
}

/// The ends of a line moved to its left by so much [m].
pub(crate) fn beside_line((x1, y1): At, (x2, y2): At, beside: f64) -> (At, At) {
    let length = (x2 - x1).hypot(y2 - y1).max(f64::MIN_POSITIVE);
    let (nx, ny) = (-(y2 - y1) / length * beside, (x2 - x1) / length * beside);
    ((x1 + nx, y1 + ny), (x2 + nx, y2 + ny))
}
