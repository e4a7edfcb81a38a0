//! The drive to scale.

use super::layout::Layout;
use super::mm;
use crate::sketch::{Hold, Look, Sketch};
use std::f64::consts::FRAC_PI_2;

pub fn draw(layout: &Layout) -> Sketch {
    let mut sketch = Sketch::new("The pulleys and the belt round them, to scale, seen from the belt's end.");
    let (spans, count) = (&layout.round.spans, layout.pulleys.len());
    let size = layout.pulleys.iter().map(|pulley| pulley.at.0.hypot(pulley.at.1) + pulley.radius).fold(0.0, f64::max);
    for (pulley, name) in layout.pulleys.iter().zip(&layout.names) {
        let (x, y) = pulley.at;
        sketch.circle(Look::Firm, pulley.at, 0.97 * pulley.radius);
        let cross = 0.02 * size;
        sketch.line(Look::Thin, [(x - cross, y), (x + cross, y)]);
        sketch.line(Look::Thin, [(x, y - cross), (x, y + cross)]);
        // A small pulley's name goes under it, clear of the belt.
        let below = if pulley.radius > 0.12 * size { y - 0.08 * size } else { y - pulley.radius - 0.07 * size };
        sketch.letters((x, below), Hold::Middle, format!("{name} {}", mm(2.0 * pulley.radius)));
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
    if let Some((which, (x, y))) = layout.tensioner {
        let pulley = &layout.pulleys[which];
        let from = (pulley.at.0 + 0.3 * pulley.radius * x, pulley.at.1 + 0.3 * pulley.radius * y);
        let far = pulley.radius + 0.12 * size;
        let to = (pulley.at.0 + far * x, pulley.at.1 + far * y);
        sketch.line(Look::Dashed, [from, to]);
        let hold = if x < -0.3 {
            Hold::End
        } else if x > 0.3 {
            Hold::Start
        } else {
            Hold::Middle
        };
        sketch.letters((to.0 + 0.02 * size * x, to.1 + 0.03 * size * y), hold, "tightens");
    }
    let longest = layout.longest();
    let span = &spans[longest];
    let beside = if layout.counter { -0.09 * size } else { 0.09 * size };
    sketch.measure(span.from, span.to, beside, mm(span.length));
    sketch
}
