//! A small drawing to scale: values with their bands along a line, and where a bound lies.

/// The field [1].
const WIDE: f64 = 200.0;
const HIGH: f64 = 60.0;
/// Room at the edges [1].
const MARGIN: f64 = 6.0;

/// A value at its place, with the band about it.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Mark {
    /// Along the line.
    pub at: f64,
    /// The value.
    pub value: f64,
    /// Lower and upper edge of its band.
    pub band: (f64, f64),
}

/// Values drawn to scale on a field of 200 by 60.
pub struct Plot {
    /// Each value.
    pub ticks: String,
    /// Each band.
    pub bands: String,
    /// A line through them, if there is one.
    pub line: String,
    /// The bound that they are held against, as a bracket from side to side.
    pub bound: String,
    /// What is read to those who do not see it.
    pub label: String,
}

impl Plot {
    /// Of these marks; nothing of none.
    ///
    /// * `line`: value of a line at a place
    /// * `bound`: a value that they are held against, with serifs towards what is sound: +1 up, −1 down, 0 both ways
    pub fn of(
        marks: &[Mark],
        line: Option<&dyn Fn(f64) -> f64>,
        bound: Option<(f64, i8)>,
        label: String,
    ) -> Option<Plot> {
        let (first, last) = ends(marks.iter().map(|mark| mark.at))?;
        let edges = marks.iter().flat_map(|mark| [mark.value, mark.band.0, mark.band.1]);
        let (low, high) = ends(edges.chain(bound.map(|(value, _)| value)))?;
        let across = |at: f64| scaled(at, first, last, WIDE);
        let up = |value: f64| round(HIGH - scaled(value, low, high, HIGH));
        let each = |draw: &dyn Fn(&Mark) -> String| marks.iter().map(draw).collect::<String>();
        Some(Plot {
            ticks: each(&|mark| {
                let x = across(mark.at);
                format!("M{} {}h6", round(x - 3.0), up(mark.value))
            }),
            bands: each(&|mark| format!("M{} {}V{}", round(across(mark.at)), up(mark.band.0), up(mark.band.1))),
            line: line.map_or_else(String::new, |line| {
                format!("M{} {}L{} {}", across(first), up(line(first)), across(last), up(line(last)))
            }),
            bound: bound.map_or_else(String::new, |(value, side)| {
                let (y, serif) = (up(value), -5 * i32::from(side));
                format!("M0 {}V{y}H{WIDE}V{}", y + f64::from(serif), y + f64::from(serif))
            }),
            label,
        })
    }
}

fn round(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// Where a value stands between two ends on a field with margins; in the middle if there is but one.
fn scaled(value: f64, low: f64, high: f64, field: f64) -> f64 {
    let share = if high > low { (value - low) / (high - low) } else { 0.5 };
    round(MARGIN + (field - 2.0 * MARGIN) * share.clamp(-0.2, 1.2))
}

fn ends(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.filter(|value| value.is_finite()).fold(None, |ends, value| {
        let (low, high) = ends.unwrap_or((value, value));
        Some((value.min(low), value.max(high)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_stand_to_scale() {
        let mark = |at: f64, value: f64| Mark { at, value, band: (value - 1.0, value + 1.0) };
        let plot =
            Plot::of(&[mark(0.0, 1.0), mark(10.0, 9.0)], Some(&|at| 1.0 + 0.8 * at), Some((5.0, 0)), String::new());
        let plot = plot.expect("two marks");
        // From 0 to 10: 48 of 60, six free at each edge.
        assert_eq!(plot.bands, "M6 54V44.4M194 15.6V6");
        assert_eq!(plot.line, "M6 49.2L194 10.8");
        assert_eq!(plot.bound, "M0 30V30H200V30");
        assert!(Plot::of(&[], None, None, String::new()).is_none());
    }
}
