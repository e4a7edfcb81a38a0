//! How far each pair of feet is off, what moves it back, and what fewer moves would do.

use super::mm;
use super::readings::{Axis, Line};
use crate::given::Given;
use crate::worked::{Outcome, Table, Worked};
use measure::quantity::Quantity::{Length, Ratio};

/// Where the feet stand, ahead of the coupling [m].
pub struct Feet {
    pub aft: f64,
    pub forward: f64,
}

/// How far the engine's axis is from where it should be: upward and to starboard.
pub struct Off {
    pub up: Option<Line>,
    pub starboard: Option<Line>,
    /// Whether it is to be set off by what it will yet move.
    pub rises: bool,
}

/// What may be left.
pub struct Tolerance {
    /// Difference of gaps across the flange [m], and the flange.
    pub gap: f64,
    diameter: f64,
    /// Offset of the centres [m].
    pub offset: f64,
    speed: Option<f64>,
}

impl Tolerance {
    /// Of a flange that turns so fast [m, rad/s].
    ///
    /// # Source
    /// Gap: a thousandth of the diameter, common practice, no source. Offset: 0.10 mm at 1200 turns a minute, less in proportion
    /// at more and more at less, at most 0.15 mm; from memory of tables of offset by speed.
    pub fn of(speed: Option<f64>, diameter: f64) -> Tolerance {
        let rpm = speed.map(|speed| speed * 60.0 / std::f64::consts::TAU);
        let offset = rpm.map_or(0.1e-3, |rpm| (0.1e-3 * 1200.0 / rpm).min(0.15e-3));
        Tolerance { gap: diameter / 1000.0, diameter, offset, speed: rpm }
    }

    /// How much of it is used: the greater of gap and offset over what is allowed [1].
    fn used(&self, (offset, slope): (f64, f64)) -> f64 {
        (slope.abs() * self.diameter / self.gap).max(offset.abs() / self.offset)
    }
}

impl Off {
    /// What was measured, and what it will yet move.
    pub fn of(given: &Given, axis: &Axis, feet: &Feet) -> Off {
        let rise = |end: &str| {
            let of = |why: &str| given.maybe(&format!("{why}-rise-{end}")).unwrap_or(0.0);
            of("warm") + of("afloat")
        };
        let (aft, forward) = (rise("aft"), rise("forward"));
        let slope = (forward - aft) / (feet.forward - feet.aft);
        let mut up = axis.up.clone();
        if let Some(line) = &mut up {
            line.slope += slope;
            line.offset += aft - slope * feet.aft;
        }
        Off { up, starboard: axis.starboard.clone(), rises: aft != 0.0 || forward != 0.0 }
    }

    /// Each plane with how a move up and a move down it is called.
    fn planes(&self) -> impl Iterator<Item = (&Line, &'static str, fn(f64) -> String)> {
        let up: fn(f64) -> String = |by| format!("{} {}", if by < 0.0 { "lower" } else { "raise" }, mm(by.abs()));
        let side: fn(f64) -> String =
            |by| format!("{} to {}", mm(by.abs()), if by < 0.0 { "port" } else { "starboard" });
        let upright = self.up.as_ref().map(|line| (line, "up", up));
        let level = self.starboard.as_ref().map(|line| (line, "starboard", side));
        upright.into_iter().chain(level)
    }

    /// Offset at the coupling and slope, both planes together [m, 1].
    fn whole(&self) -> (f64, f64) {
        let part = |line: &Option<Line>| line.as_ref().map_or((0.0, 0.0), |line| (line.offset, line.slope));
        let ((ou, su), (os, ss)) = (part(&self.up), part(&self.starboard));
        (ou.hypot(os), su.hypot(ss))
    }

    /// What is done to each plane, as orders.
    pub fn orders(&self, feet: &Feet) -> Vec<String> {
        let mut orders = Vec::new();
        for (line, plane, words) in self.planes() {
            let (aft, forward) = (-line.at(feet.aft), -line.at(feet.forward));
            orders.push(if plane == "up" {
                format!(
                    "Shims first: {} at the aft feet, {} at the forward feet, both sides alike.",
                    words(aft),
                    words(forward)
                )
            } else {
                format!(
                    "Then sideways, with a dial at each end: aft feet {}, forward feet {}.",
                    words(aft),
                    words(forward)
                )
            });
        }
        orders
    }

    /// How the moves come about.
    pub fn worked(&self, feet: &Feet, worked: &mut Worked) {
        for (line, plane, words) in self.planes() {
            let each = [("aft", feet.aft), ("forward", feet.forward)].map(|(end, ahead)| {
                format!(
                    "{end}: −({:.3} mm + {:.3} mm/m · {:.3} m) = {}",
                    line.offset * 1e3,
                    line.slope * 1e3,
                    ahead,
                    words(-line.at(ahead))
                )
            });
            let formula = if plane == "up" {
                "shim = −(offset + slope · distance)"
            } else {
                "sideways = −(offset + slope · distance)"
            };
            worked.working(formula, each.join("; "), "geometry");
        }
    }
}

/// The answer: moves, what is off, what fewer moves would leave.
pub fn answer(worked: &mut Worked, off: &Off, feet: &Feet, tolerance: &Tolerance) {
    let mut said = Vec::new();
    for (line, plane, words) in off.planes() {
        for (end, ahead) in [("aft", feet.aft), ("forward", feet.forward)] {
            let (key, says) = if plane == "up" {
                (format!("shim-{end}"), format!("Shims at the {end} feet (minus: lower)"))
            } else {
                (format!("side-{end}"), format!("The {end} feet to starboard (minus: to port)"))
            };
            let value = -line.at(ahead);
            let doubt = Some(line.scatter_at(ahead));
            worked.results.push(Outcome { key, says, value, quantity: Length, unit: "mm", doubt });
        }
        let (aft, forward) = (words(-line.at(feet.aft)), words(-line.at(feet.forward)));
        said.push(if plane == "up" {
            format!("Shims: aft feet {aft}, forward feet {forward}.")
        } else {
            format!("Sideways: aft feet {aft}, forward feet {forward}.")
        });
    }
    let (offset, slope) = off.whole();
    let gap = slope * tolerance.diameter;
    let used = tolerance.used((offset, slope));
    worked.result("gap-difference", "Greatest difference of the gap across the flange", gap, Length, "mm");
    worked.result("gap-allowed", "The same that is allowed", tolerance.gap, Length, "mm");
    worked.result("offset", "Centres of the flanges apart", offset, Length, "mm");
    worked.result("offset-allowed", "The same that is allowed", tolerance.offset, Length, "mm");
    worked.result("used", "Share of what is allowed that is used", used, Ratio, "");
    let verdict = if used <= 1.0 {
        "The coupling is within what is allowed; nothing need be moved. To bring it true all the same: "
    } else {
        "Out of line. "
    };
    worked.says = format!("{verdict}{}", said.join(" "));
    worked.working(
        "gap allowed = D / 1000",
        format!("{} / 1000 = {:.3} mm", mm(tolerance.diameter), tolerance.gap * 1e3),
        "common practice, no source",
    );
    let speed = tolerance.speed.map_or_else(|| "speed not told".into(), |rpm| format!("{rpm:.0} rpm"));
    worked.working(
        "offset allowed = 0.10 mm · 1200 rpm / n, at most 0.15 mm",
        format!("{speed}: {:.3} mm", tolerance.offset * 1e3),
        "from memory; the maker's figure goes before it",
    );
    if used > 1.0 {
        fewer(worked, off, feet, tolerance);
    }
}

/// Moving one pair of feet alone.
struct Alone {
    end: &'static str,
    moves: Vec<String>,
    left: (f64, f64),
    used: f64,
}

/// What moving one pair of feet alone would leave at best.
fn fewer(worked: &mut Worked, off: &Off, feet: &Feet, tolerance: &Tolerance) {
    let apart = feet.forward - feet.aft;
    // A millimetre at one pair turns the engine about the other: offset and slope that it brings.
    let ends = [("aft", (feet.forward / apart, -1.0 / apart)), ("forward", (-feet.aft / apart, 1.0 / apart))];
    let all = ends.map(|(end, brings)| {
        let mut alone = Alone { end, moves: Vec::new(), left: (0.0, 0.0), used: 0.0 };
        for (line, _, words) in off.planes() {
            let by = best(tolerance, (line.offset, line.slope), brings);
            let left = (line.offset + by * brings.0, line.slope + by * brings.1);
            alone.left = (alone.left.0.hypot(left.0), alone.left.1.hypot(left.1));
            alone.moves.push(words(by));
        }
        alone.used = tolerance.used(alone.left);
        alone
    });
    let least = if all[0].used <= all[1].used { &all[0] } else { &all[1] };
    worked.say(if least.used <= 1.0 {
        format!(
            "Fewer moves do: the {} feet alone, {}, bring it within what is allowed.",
            least.end,
            least.moves.join(" and ")
        )
    } else {
        "No single pair of feet brings it within what is allowed.".into()
    });
    let rows = all.iter().map(|alone| {
        let verdict = if alone.used <= 1.0 { "within" } else { "not within" };
        let gap = mm(alone.left.1 * tolerance.diameter);
        vec![alone.end.to_string(), alone.moves.join(", "), gap, mm(alone.left.0), verdict.to_string()]
    });
    worked.tables.push(Table {
        title: "One pair of feet alone, moved as well as it can be".into(),
        heads: ["feet", "move", "gap differs by", "centres apart", "allowed"].map(String::from).to_vec(),
        rows: rows.collect(),
    });
}

/// The move that leaves least of one plane [m]: of the greater of two lengths that grow with it, the least.
fn best(tolerance: &Tolerance, (offset, slope): (f64, f64), (per_offset, per_slope): (f64, f64)) -> f64 {
    // Both as shares of what is allowed: a + b · move.
    let (a, b) = (offset / tolerance.offset, per_offset / tolerance.offset);
    let share = tolerance.diameter / tolerance.gap;
    let (c, d) = (slope * share, per_slope * share);
    // Least at a zero of one, or where both are alike.
    let places = [-a / b, -c / d, (c - a) / (b - d), -(c + a) / (b + d)];
    let used = |by: &f64| (a + b * by).abs().max((c + d * by).abs());
    let finite = places.into_iter().filter(|by| by.is_finite());
    finite.min_by(|one, other| used(one).total_cmp(&used(other))).unwrap_or(0.0)
}
