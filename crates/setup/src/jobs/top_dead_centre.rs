//! Top dead centre, found by the stop method: turned against a stop both ways, it lies midway.

use super::asked;
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::sketch::{Hold, Look, Sketch};
use crate::worked::{Kept, Worked};
use measure::quantity::Quantity::{Angle, Length};
use measure::unit::print_usual;
use physics::engine::piston_travel;
use std::f64::consts::PI;

pub const JOB: Job = Job {
    word: "top-dead-centre",
    title: "Top dead centre",
    about: "Where top dead centre is, between the two places where the piston meets a stop.",
    group: Group::Adjust,
    kinds: &["diesel"],
    task: None,
    asks: &[
        asked::FLYWHEEL_DIAMETER,
        Ask::one(
            "stop-ahead",
            "Along the rim from the pointer to where she stops, turned her own way",
            Length,
            (-2.0, 2.0),
        )
        .like("142 mm")
        .about(0.5e-3),
        Ask::one("stop-astern", "The same turned the other way, counted the same way round", Length, (-2.0, 2.0))
            .like("142 mm")
            .about(0.5e-3),
        asked::STROKE.may(),
        asked::ROD_LENGTH.may(),
    ],
    work,
};

/// Stops closer together than this leave top dead centre to the flat of the crank; wider than this the stop stands too deep [rad].
const APART: (f64, f64) = (10.0 * PI / 180.0, 180.0 * PI / 180.0);

fn work(given: &Given) -> Result<Worked, Refused> {
    let diameter = given.value("flywheel-diameter")?;
    let (ahead, astern) = (given.value("stop-ahead")?, given.value("stop-astern")?);
    let angle = |rim: f64| 2.0 * rim / diameter;
    let apart = angle((ahead - astern).abs());
    if apart < APART.0 || apart > APART.1 {
        return Err(Refused::together(
            format!("The two stops are {} apart on this flywheel.", print_usual(apart, Angle)),
            "They should be 20 to 120° apart: set the stop so that it meets the piston well before the top, and measure again.",
        ));
    }
    let middle = f64::midpoint(ahead, astern);
    let mut worked = Worked {
        says: format!("Top dead centre is {} along the rim from the pointer, midway between the stops.", mm(middle)),
        ..Worked::default()
    };
    worked.result("rim-to-top", "From the pointer to top dead centre, along the rim", middle, Length, "mm");
    worked.result("angle-to-top", "The same as an angle of the crank", angle(middle), Angle, "°");
    worked.result("apart", "Angle between the stops", apart, Angle, "°");
    if let (Some(stroke), Some(rod)) = (given.maybe("stroke"), given.maybe("rod-length")) {
        if rod <= stroke / 2.0 {
            return Err(Refused::of(
                "rod-length",
                "a rod shorter than the crank's throw cannot turn over",
                "Measure from eye to eye.",
            ));
        }
        worked.result(
            "stop-depth",
            "How far below the top the stop meets the piston",
            piston_travel(stroke / 2.0, rod, apart / 2.0),
            Length,
            "mm",
        );
        worked.working(
            "x = r (1 − cos α) + l − √(l² − r² sin² α)",
            format!("r = {}, l = {}, α = {}", mm(stroke / 2.0), mm(rod), print_usual(apart / 2.0, Angle)),
            "slider crank, [Norton]",
        );
    }
    worked.working(
        "top = (ahead + astern) / 2",
        format!("({} + {}) / 2 = {}", mm(ahead), mm(astern), mm(middle)),
        "the crank's motion is the same on both sides of the top",
    );
    worked.step_with_care(
        "Stop her so that she cannot start: pull the stop, shut the fuel, take the key or the start battery off. Take the injector or glow plug out of the cylinder.",
        "She can fire when turned by hand. Nobody near the starter while a stop stands in a cylinder: it breaks the piston.",
    );
    worked.step("Fit the stop. Turn her gently her own way until the piston meets it; mark the rim under the pointer.");
    worked.step("Turn her the other way round until it meets again; mark the rim.");
    worked.step(format!(
        "Top dead centre is midway, {} from the pointer. Take the stop out before anything else.",
        mm(middle)
    ));
    worked.kept.push(Kept {
        name: "pointer from top dead centre".into(),
        found: Some(middle),
        left: None,
        quantity: Length,
        unit: "mm",
    });
    worked.sketch = Some(sketch(diameter, ahead, astern, middle));
    Ok(worked)
}

fn mm(length: f64) -> String {
    format!("{:.1} mm", length * 1e3)
}

fn sketch(diameter: f64, ahead: f64, astern: f64, middle: f64) -> Sketch {
    let r = diameter / 2.0;
    let mut sketch = Sketch::new("The flywheel's rim with the pointer, the two stops and top dead centre midway.");
    sketch.circle(Look::Firm, (0.0, 0.0), r);
    sketch.circle(Look::Thin, (0.0, 0.0), r * 0.86);
    sketch.outline(Look::Face, [(0.0, r), (-0.03 * r, 1.12 * r), (0.03 * r, 1.12 * r)]);
    let mut mark = |look: Look, rim: f64, text: &str| {
        let angle = PI / 2.0 - rim / r;
        let at = |share: f64| (share * r * angle.cos(), share * r * angle.sin());
        sketch.line(look, [at(0.86), at(1.0)]);
        sketch.letters(at(0.76), Hold::Middle, text);
    };
    mark(Look::Thin, ahead, "stop");
    mark(Look::Thin, astern, "stop");
    mark(Look::Marked, middle, "top");
    sketch.letters((0.0, 1.16 * r), Hold::Middle, "pointer");
    sketch
}
