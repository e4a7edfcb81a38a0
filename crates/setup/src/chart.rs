//! A chart as a drawing: axes with their marks, to scale along each.

use crate::sketch::{At, Hold, Look, Sketch};

/// The paper [drawing units]; the axes have their own measures.
const WIDE: f64 = 100.0;
const HIGH: f64 = 66.0;
/// Length of a mark on an axis.
const TICK: f64 = 1.2;

/// Two axes.
pub(crate) struct Chart {
    pub sketch: Sketch,
    x: (f64, f64),
    y: (f64, f64),
}

impl Chart {
    /// Axes from one value to another, in the units written beside them.
    pub fn new(title: impl Into<String>, x: (f64, f64), y: (f64, f64)) -> Chart {
        let wide = |(low, high): (f64, f64)| if high > low { (low, high) } else { (low - 0.5, low + 0.5) };
        Chart { sketch: Sketch::new(title), x: wide(x), y: wide(y) }
    }

    /// Where a point stands on the paper.
    pub fn at(&self, x: f64, y: f64) -> At {
        let place = |value: f64, (low, high): (f64, f64)| (value - low) / (high - low);
        (WIDE * place(x, self.x), HIGH * place(y, self.y))
    }

    /// Draws the upright axis with its marks, and what it is of.
    pub fn upright(&mut self, says: &str) {
        self.sketch.line(Look::Firm, [(0.0, 0.0), (0.0, HIGH)]);
        for value in marks(self.y) {
            let (_, y) = self.at(self.x.0, value);
            self.sketch.line(Look::Thin, [(-TICK, y), (0.0, y)]);
            self.sketch.letters((-2.0 * TICK, y - 0.8), Hold::End, number(value, self.y));
        }
        self.sketch.letters((0.0, HIGH + 2.5), Hold::Middle, says);
    }

    /// Draws the level axis with its marks, and what it is of.
    pub fn level(&mut self, says: &str) {
        self.sketch.line(Look::Firm, [(0.0, 0.0), (WIDE, 0.0)]);
        for value in marks(self.x) {
            let (x, _) = self.at(value, self.y.0);
            self.sketch.line(Look::Thin, [(x, -TICK), (x, 0.0)]);
            self.sketch.letters((x, -4.2), Hold::Middle, number(value, self.x));
        }
        self.under_all(says);
    }

    /// Letters under a place of the level axis.
    pub fn under(&mut self, x: f64, text: &str) {
        let (x, _) = self.at(x, 0.0);
        self.sketch.letters((x, -4.2), Hold::Middle, text);
    }

    /// Letters under all of it: what stands along the level axis.
    pub fn under_all(&mut self, says: &str) {
        self.sketch.letters((WIDE / 2.0, -8.5), Hold::Middle, says);
    }

    /// A line through points.
    pub fn line(&mut self, look: Look, points: &[(f64, f64)]) {
        let points: Vec<At> = points.iter().map(|(x, y)| self.at(*x, *y)).collect();
        self.sketch.line(look, points);
    }

    /// Letters at a point.
    pub fn letters(&mut self, (x, y): (f64, f64), hold: Hold, text: impl Into<String>) {
        let at = self.at(x, y);
        self.sketch.letters(at, hold, text);
    }

    /// A point as a small ring.
    pub fn ring(&mut self, look: Look, (x, y): (f64, f64)) {
        let at = self.at(x, y);
        self.sketch.circle(look, at, 0.9);
    }

    /// A bar from the ground up.
    pub fn bar(&mut self, look: Look, (from, to): (f64, f64), height: f64) {
        let ground = self.y.0.max(0.0).min(self.y.1);
        let [a, b, c, d] = [(from, ground), (from, height), (to, height), (to, ground)].map(|(x, y)| self.at(x, y));
        self.sketch.outline(look, [a, b, c, d]);
    }

    /// The whole width at one height, with what it is at its end.
    pub fn limit(&mut self, look: Look, height: f64, text: &str) {
        let (_, y) = self.at(self.x.0, height);
        self.sketch.line(look, [(0.0, y), (WIDE, y)]);
        self.sketch.letters((WIDE + 1.0, y - 0.8), Hold::Start, text);
    }
}

/// Round numbers within an axis, four to nine of them.
fn marks((low, high): (f64, f64)) -> Vec<f64> {
    let step = step((low, high));
    let first = (low / step - 1e-9).ceil();
    let last = (high / step + 1e-9).floor();
    (0..=(last - first).max(0.0) as usize).map(|place| (first + place as f64) * step).collect()
}

fn step((low, high): (f64, f64)) -> f64 {
    let rough = (high - low) / 8.0;
    let ten = 10f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|times| times * ten).find(|step| *step >= rough).unwrap_or(rough)
}

fn number(value: f64, axis: (f64, f64)) -> String {
    let places = (-step(axis).log10().floor()).max(0.0) as usize;
    format!("{:.places$}", if value == 0.0 { 0.0 } else { value })
}

/// The least and the greatest of some values, with a little room.
pub(crate) fn reach(values: impl IntoIterator<Item = f64>) -> (f64, f64) {
    let finite = values.into_iter().filter(|value| value.is_finite());
    let (low, high) = finite.fold((f64::MAX, f64::MIN), |(low, high), value| (low.min(value), high.max(value)));
    if low > high { (0.0, 1.0) } else { (low - 0.05 * (high - low), high + 0.05 * (high - low)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_round_and_within() {
        assert_eq!(marks((0.0, 4.2)), [0.0, 1.0, 2.0, 3.0, 4.0]);
        assert_eq!(marks((-3.0, 110.0)).len(), 6);
        assert_eq!(number(0.5, (0.0, 2.5)), "0.5");
        assert_eq!(number(20.0, (0.0, 110.0)), "20");
    }
}
