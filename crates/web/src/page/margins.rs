//! Margins: is every part sized and arranged right, where she is hardest put to it?

use crate::page::address;
use crate::page::frame::{Frame, Theme};
use crate::page::opening::Opening;
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;
use jobs::margins::margins;
use model::steady::Model;
use plant::evidence::Named;
use plant::plant::Plant;
use watch::saying::{key, sentence};
use watch::sizing::{Line, Standing, lines, unasked};

/// What was asked and answered, which takes a fraction of a second: the same as long as the description is.
pub struct Sized {
    groups: Vec<Group>,
    summary: String,
    unasked: Vec<String>,
}

/// Questions that stand alike.
struct Group {
    heading: &'static str,
    rows: Vec<Row>,
}

/// A question.
struct Row {
    part: String,
    link: String,
    line: Line,
    scale: Scale,
}

/// The page.
#[derive(Template)]
#[template(path = "margins.html")]
pub struct MarginsPage<'a> {
    frame: Frame,
    opening: Opening,
    sized: &'a Sized,
}

/// Asks every question of this plant.
///
/// # Errors
/// Why it cannot be worked out, in the owner's words.
pub fn work_out(plant: &Plant) -> Result<Sized, String> {
    let mut model = Model::new(plant).map_err(|why| format!("This plant cannot be worked out: {why}."))?;
    let found = margins(&mut model);
    let all = lines(plant, &found);
    let of = |standing: Standing| {
        let those = all.iter().filter(|line| line.standing == standing);
        those.map(|line| row(plant, line.clone())).collect::<Vec<_>>()
    };
    let groups: Vec<Group> =
        Standing::ALL.map(|standing| Group { heading: standing.heading(), rows: of(standing) }).into();
    let summary = watch::sizing::summary(&all);
    Ok(Sized { summary, groups, unasked: unasked(&found) })
}

fn row(plant: &Plant, line: Line) -> Row {
    Row {
        part: sentence(&key(&plant[line.part].name)),
        link: address(plant, Named::Part(line.part)),
        scale: Scale::of(&line),
        line,
    }
}

impl MarginsPage<'_> {
    /// Of what was worked out.
    pub fn of<'a>(scene: &Scene, theme: Theme, sized: &'a Sized) -> MarginsPage<'a> {
        let frame = Frame::of(scene, "Plant", theme, "/plant/margins");
        MarginsPage { frame, opening: Opening::of(&scene.picture), sized }
    }

    /// What changes on it: the words above.
    pub fn pieces(scene: &Scene) -> Pieces {
        Pieces { html: Opening::pieces(scene), marks: Vec::new() }
    }
}

/// The answer drawn to scale on a field of 200 by 32: what is sound as a bracket, the value as a tick, nine in ten as a bar.
struct Scale {
    bracket: String,
    bar: String,
    tick: String,
}

/// Room at either end of the field, and length of a bracket's serif [1].
const MARGIN: f64 = 8.0;
const SERIF: f64 = 4.0;
/// The field [1].
const WIDE: f64 = 200.0;

impl Scale {
    fn of(line: &Line) -> Scale {
        let drawn = &line.drawn;
        let all = [drawn.value, drawn.low, drawn.high, drawn.least, drawn.most];
        let finite = || all.iter().copied().filter(|value| value.is_finite());
        let (from, to) = (finite().fold(f64::INFINITY, f64::min), finite().fold(f64::NEG_INFINITY, f64::max));
        let place = |value: f64| {
            let share = if to > from { (value - from) / (to - from) } else { 0.5 };
            ((MARGIN + (WIDE - 2.0 * MARGIN) * share) * 10.0).round() / 10.0
        };
        let end = |value: f64, serif: f64| {
            let at = place(value);
            if value.is_finite() { format!("M{} 4H{at}V28H{}", at + serif, at + serif) } else { String::new() }
        };
        // A bound on one side only: the sound side is ruled to the edge of the field.
        let ruled = match (drawn.least.is_finite(), drawn.most.is_finite()) {
            (true, true) => format!("M{} 28H{}", place(drawn.least), place(drawn.most)),
            (true, false) => format!("M{} 28H{WIDE}", place(drawn.least)),
            _ => format!("M0 28H{}", place(drawn.most)),
        };
        Scale {
            bracket: end(drawn.least, SERIF) + &end(drawn.most, -SERIF) + &ruled,
            bar: format!("M{} 16H{}", place(drawn.low), place(drawn.high)),
            tick: format!("M{} 7V25", place(drawn.value)),
        }
    }
}
