//! The drive to scale.

use super::layout::Layout;
use super::mm;
use crate::sketch::{Hold, Look, Sketch};
use std::f64::consts::FRAC_PI_2;

pub fn draw(layout: &Layout) -> Sketch {
    let mut sketch = Sketch::new("The pulleys and the belt round them, to scale, seen from the belt's end.");
    let (spans, count) = (&layout.round.spans, layout.pulleys.len());
    let size = layout.pulleys.iter().map(|pulley| pulley.at.0.hypot(pulley.at.1) + pulley.radius).fold(0.0, f64::max);
    for pulley in &layout.pulleys {
        let ((x, y), cross) = (pulley.at, 0.02 * size);
        sketch.circle(Look::Firm, pulley.at, 0.97 * pulley.radius);
        sketch.line(Look::Thin, [(x - cross, y), (x + cross, y)]);
        sketch.line(Look::Thin, [(x, y - cross), (x, y + cross)]);
    }
    for place in 0..count {
        let (pulley, before) = (&layout.pulleys[place], &spans[(place + count - 1) % count]);
        sketch.line(Look::Marked, [spans[place].from, spans[place].to]);
        let turn = layout.round.turns[place];
        // Where the belt comes on: on the right of its way round a pulley that turns counter-clockwise.
        let on = before.direction - turn * FRAC_PI_2;
        let off = on + turn * layout.round.wraps[place];
        sketch.arc(Look::Marked, pulley.at, pulley.radius, on.min(off), on.max(off));
    }
    // Which way the belt leaves the driving pulley.
    let (sin, cos) = spans[0].direction.sin_cos();
    let at = |along: f64, beside: f64| {
        let (x, y) = spans[0].from;
        (x + along * cos - beside * sin, y + along * sin + beside * cos)
    };
    let (half, head) = (spans[0].length / 2.0, 0.03 * size);
    sketch.outline(Look::Face, [at(half + head, 0.0), at(half - head, 0.6 * head), at(half - head, -0.6 * head)]);
    for place in 0..count {
        name(&mut sketch, layout, place, size);
    }
    if let Some((which, (x, y))) = layout.tensioner {
        let pulley = &layout.pulleys[which];
        let far = pulley.radius + 0.05 * size;
        sketch.line(Look::Dashed, [pulley.at, (pulley.at.0 + far * x, pulley.at.1 + far * y)]);
    }
    // The longest span, told on its free side.
    let span = &spans[layout.longest()];
    let out = span.direction + if layout.counter { -FRAC_PI_2 } else { FRAC_PI_2 };
    let (x, y) = (f64::midpoint(span.from.0, span.to.0), f64::midpoint(span.from.1, span.to.1));
    let at = (x + 0.04 * size * out.cos(), y + 0.04 * size * out.sin());
    sketch.letters(at, hold(out.cos()), format!("span {}", mm(span.length)));
    sketch
}

/// A large pulley's name stands in it, a small one's on the side away from the others.
fn name(sketch: &mut Sketch, layout: &Layout, place: usize, size: f64) {
    let pulley = &layout.pulleys[place];
    let (x, y) = pulley.at;
    let mut says = format!("{} {}", layout.names[place], mm(2.0 * pulley.radius));
    if layout.tensioner.is_some_and(|(which, _)| which == place) {
        says.push_str(", dashed: tightens");
    }
    if pulley.radius > 0.2 * size && says.len() < 18 {
        sketch.letters((x, y - 0.08 * size), Hold::Middle, says);
        return;
    }
    let count = layout.pulleys.len() as f64;
    let sum = layout.pulleys.iter().fold((0.0, 0.0), |sum, pulley| (sum.0 + pulley.at.0, sum.1 + pulley.at.1));
    let out = (y - sum.1 / count).atan2(x - sum.0 / count);
    let far = pulley.radius + 0.08 * size;
    let (cos, sin) = (out.cos(), out.sin());
    sketch.letters((x + far * cos, y + far * sin - 0.015 * size), hold(cos), says);
}

/// Letters that lead away to the right or the left.
fn hold(right: f64) -> Hold {
    if right < -0.3 {
        Hold::End
    } else if right > 0.3 {
        Hold::Start
    } else {
        Hold::Middle
    }
}
