//! The engine from the side and from above, as it stands and as it is to stand.

use super::moves::{Feet, Off};
use super::readings::Line;
use crate::sketch::{At, Hold, Look, Sketch};

/// Draws both views; what is off is magnified, and the drawing says how much.
pub fn draw(off: &Off, feet: &Feet, diameter: f64) -> Sketch {
    let long = feet.forward * 1.12;
    let lines = || [&off.up, &off.starboard].into_iter().flatten();
    let most = |of: &dyn Fn(&Line) -> f64| lines().map(of).fold(0.0, f64::max);
    let times = magnified(0.10 * long, most(&|line| line.at(0.0).abs().max(line.at(long).abs())));
    let gapes = magnified(0.05 * long, most(&|line| line.offset.abs().max(line.slope.abs() * diameter / 2.0)));
    let mut sketch = Sketch::new(
        "The engine's axis against the shaft's, and the coupling close by, from the side and from above: as it stands and as it is to stand.",
    );
    let view = View { feet, long, times, gapes, diameter };
    if let Some(line) = &off.up {
        view.draw(&mut sketch, 0.0, "from the side", ("top", "bottom"), line, ("raise", "lower"));
    }
    let below = if off.up.is_some() { -0.66 * long } else { 0.0 };
    if let Some(line) = &off.starboard {
        // Seen from above with the bow to the right, starboard is below.
        view.draw(
            &mut sketch,
            below,
            "from above",
            ("port", "starboard"),
            &line.mirrored(),
            ("to port", "to starboard"),
        );
    }
    let y = if off.starboard.is_some() { below } else { 0.0 } - 0.36 * long;
    let says = [
        format!(
            "Red and dashed: as it stands. The engine's lengths are to scale, what it is off is drawn {times:.0} times too large;"
        ),
        format!("at the coupling to the left gaps and offset are drawn {gapes:.0} times too large."),
    ];
    for (line, says) in says.into_iter().enumerate() {
        sketch.letters((-0.85 * long, y - 0.06 * long * line as f64), Hold::Start, says);
    }
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
    /// How many times too large what is off is drawn along the engine, and at the coupling.
    times: f64,
    gapes: f64,
    /// Of the flanges [m].
    diameter: f64,
}

impl View<'_> {
    fn draw(&self, sketch: &mut Sketch, y: f64, title: &str, sides: (&str, &str), line: &Line, words: (&str, &str)) {
        let (long, r, thick) = (self.long, self.diameter.min(0.2 * self.long) / 2.0, 0.02 * self.long);
        let aft = -0.22 * long;
        let sides_named = format!("{title}: {} above, {} below, bow to the right", sides.0, sides.1);
        sketch.letters((-0.85 * long, y + 0.27 * long), Hold::Start, sides_named);
        self.coupling(sketch, y, sides, line);
        // The shaft and its flange.
        sketch.outline(
            Look::Face,
            [(aft, y - 0.3 * r), (-thick, y - 0.3 * r), (-thick, y + 0.3 * r), (aft, y + 0.3 * r)],
        );
        sketch.outline(Look::Face, [(-thick, y - r), (0.0, y - r), (0.0, y + r), (-thick, y + r)]);
        sketch.line(Look::Thin, [(aft, y), (long * 1.04, y)]);
        // The engine as it stands, every point moved by what is off there.
        let body: [At; 8] =
            [(0.06, -0.55), (0.3, -0.55), (0.3, -0.8), (0.98, -0.8), (0.98, 1.0), (0.3, 1.0), (0.3, 0.6), (0.06, 0.6)];
        let height = 0.14 * long;
        let slope = line.slope * self.times;
        let is = |ahead: f64, above: f64| (ahead - above * slope, y + above + line.offset * self.times + slope * ahead);
        let shall = |ahead: f64, above: f64| (ahead, y + above);
        let outline =
            |at: &dyn Fn(f64, f64) -> At| body.iter().map(|(x, h)| at(x * long, h * height)).collect::<Vec<_>>();
        let flange = |at: &dyn Fn(f64, f64) -> At| vec![at(0.0, -r), at(thick, -r), at(thick, r), at(0.0, r)];
        sketch.outline(Look::Firm, outline(&shall));
        sketch.outline(Look::Firm, flange(&shall));
        sketch.outline(Look::Dashed, outline(&is));
        sketch.outline(Look::Dashed, flange(&is));
        sketch.line(Look::Marked, [is(0.0, 0.0), is(long, 0.0)]);
        // The feet, and what is done there; close together, one a line lower.
        let near = self.feet.forward - self.feet.aft < 0.4 * long;
        for (ahead, lower) in [(self.feet.aft, false), (self.feet.forward, near)] {
            let by = -line.at(ahead);
            let word = if by < 0.0 { words.1 } else { words.0 };
            let foot =
                [(ahead - 0.03 * long, y - height), (ahead + 0.03 * long, y - height), (ahead, y - 0.8 * height)];
            sketch.outline(Look::Face, foot);
            // Clear of the engine however it hangs.
            let down = if lower { 0.31 } else { 0.255 } * long;
            sketch.letters((ahead, y - down), Hold::Middle, format!("{word} {:.2} mm", by.abs() * 1e3));
        }
    }

    /// The flanges close by: the shaft's, the gear's as it stands and as it is to stand.
    fn coupling(&self, sketch: &mut Sketch, y: f64, sides: (&str, &str), line: &Line) {
        let long = self.long;
        let (x, r, thick, gap) = (-0.7 * long, 0.15 * long, 0.05 * long, 0.07 * long);
        sketch.outline(Look::Face, [(x - thick, y - r), (x, y - r), (x, y + r), (x - thick, y + r)]);
        sketch.line(Look::Thin, [(x - 2.5 * thick, y), (x + gap + 3.0 * thick, y)]);
        // How far the rim leans, drawn as much too large as the offset.
        let lean = line.slope * self.diameter / 2.0 * self.gapes;
        let at = |ahead: f64, above: f64, lean: f64, rise: f64| {
            (x + gap + ahead - above / r * lean, y + above + ahead / r * lean + rise)
        };
        let gear = |lean: f64, rise: f64| {
            [(0.0, -r), (thick, -r), (thick, r), (0.0, r)].map(|(ahead, above)| at(ahead, above, lean, rise))
        };
        sketch.outline(Look::Firm, gear(0.0, 0.0));
        sketch.outline(Look::Marked, gear(lean, line.offset * self.gapes));
        let wide = if line.slope > 0.0 { sides.1 } else { sides.0 };
        let wider = (line.slope * self.diameter).abs() * 1e3;
        let gap = if wider < 0.005 { "gap even".to_string() } else { format!("{wider:.2} mm wider at {wide}") };
        let says = format!("{gap}, {:.2} mm off", line.offset.abs() * 1e3);
        sketch.letters((-0.85 * long, y - r - 0.09 * long), Hold::Start, says);
    }
}
