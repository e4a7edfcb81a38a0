//! The engine from the side and from above, as it stands and as it is to stand.

use super::moves::{Feet, Off};
use super::readings::Line;
use crate::sketch::{At, Hold, Look, Sketch};

/// Draws both views; what is off is magnified, and the drawing says how much.
pub fn draw(off: &Off, feet: &Feet, diameter: f64) -> Sketch {
    let long = feet.forward * 1.12;
    let most = [&off.up, &off.starboard].into_iter().flatten().flat_map(|line| [line.at(0.0), line.at(long)]);
    let most = most.fold(0.0, |most: f64, off| most.max(off.abs()));
    let times = magnified(0.10 * long, most);
    let mut sketch = Sketch::new(
        "The engine's axis against the shaft's, from the side and from above: as it stands and as it is to stand.",
    );
    let view = View { feet, long, times, flange: diameter.min(0.2 * long) / 2.0 };
    let below = 0.62 * long;
    if let Some(line) = &off.up {
        view.draw(&mut sketch, 0.0, "from the side", ("up", "down"), line, ("raise", "lower"));
    }
    if let Some(line) = &off.starboard {
        // Seen from above with the bow to the right, starboard is below.
        let flipped = line.mirrored();
        let y = if off.up.is_some() { -below } else { 0.0 };
        view.draw(&mut sketch, y, "from above", ("port", "starboard"), &flipped, ("to port", "to starboard"));
    }
    let y = if off.up.is_some() && off.starboard.is_some() { -below } else { 0.0 };
    let says = format!(
        "What is off is drawn {times:.0} times too large; lengths and flanges are to scale. Dashed: as it stands."
    );
    sketch.letters((long * 0.45, y - 0.33 * long), Hold::Middle, says);
    sketch
}

/// A round number of times that makes `most` about as large as `wanted`.
fn magnified(wanted: f64, most: f64) -> f64 {
    let times = (wanted / most.max(1e-9)).clamp(1.0, 1000.0);
    let power = 10f64.powf(times.log10().floor());
    let steps = [5.0, 2.0, 1.0];
    steps.into_iter().map(|step| step * power).find(|step| *step <= times).unwrap_or(1.0)
}

struct View<'a> {
    feet: &'a Feet,
    long: f64,
    times: f64,
    /// Radius of the flanges as drawn [m].
    flange: f64,
}

impl View<'_> {
    fn draw(&self, sketch: &mut Sketch, y: f64, title: &str, sides: (&str, &str), line: &Line, words: (&str, &str)) {
        let (long, r, thick) = (self.long, self.flange, 0.02 * self.long);
        let aft = -0.22 * long;
        sketch.letters(
            (aft, y + 0.25 * long),
            Hold::Start,
            format!("{title}, bow to the right; {} above, {} below", sides.0, sides.1),
        );
        // The shaft and its flange.
        sketch.outline(
            Look::Face,
            [(aft, y - 0.3 * r), (-thick, y - 0.3 * r), (-thick, y + 0.3 * r), (aft, y + 0.3 * r)],
        );
        sketch.outline(Look::Face, [(-thick, y - r), (0.0, y - r), (0.0, y + r), (-thick, y + r)]);
        sketch.line(Look::Thin, [(aft, y), (long * 1.04, y)]);
        // The engine as it stands, every point moved by what is off there.
        let body: Vec<At> = vec![
            (0.06, -0.55),
            (0.3, -0.55),
            (0.3, -0.8),
            (0.98, -0.8),
            (0.98, 1.0),
            (0.3, 1.0),
            (0.3, 0.6),
            (0.06, 0.6),
        ];
        let height = 0.14 * long;
        let is = |ahead: f64, above: f64| {
            let slope = line.slope * self.times;
            (ahead - above * slope, y + above + line.offset * self.times + slope * ahead)
        };
        let outline =
            |at: &dyn Fn(f64, f64) -> At| body.iter().map(|(x, h)| at(x * long, h * height)).collect::<Vec<_>>();
        let flange = |at: &dyn Fn(f64, f64) -> At| vec![at(0.0, -r), at(thick, -r), at(thick, r), at(0.0, r)];
        let shall = |ahead: f64, above: f64| (ahead, y + above);
        sketch.outline(Look::Firm, outline(&shall));
        sketch.outline(Look::Firm, flange(&shall));
        sketch.outline(Look::Dashed, outline(&is));
        sketch.outline(Look::Dashed, flange(&is));
        sketch.line(Look::Marked, [is(0.0, 0.0), is(long, 0.0)]);
        // The feet, and what is done there.
        for ahead in [self.feet.aft, self.feet.forward] {
            let by = -line.at(ahead);
            let word = if by < 0.0 { words.1 } else { words.0 };
            sketch.outline(
                Look::Face,
                [(ahead - 0.03 * long, y - height), (ahead + 0.03 * long, y - height), (ahead, y - 0.8 * height)],
            );
            sketch.letters(
                (ahead, y - height - 0.045 * long),
                Hold::Middle,
                format!("{word} {:.2} mm", by.abs() * 1e3),
            );
        }
        sketch.letters(
            (0.0, y - height - 0.045 * long),
            Hold::Middle,
            format!("off {:.2} mm", line.offset.abs() * 1e3),
        );
    }
}
