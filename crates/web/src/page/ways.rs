//! Ways: where it flows from a part and to it, which valves shut it off, and what could leak into what there.

use crate::page::frame::{Frame, Theme};
use crate::page::opening::Opening;
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;
use drawing::{Live, Schematic};
use jobs::turning::Turning;
use model::steady::Model;
use parts::laws::Point;
use plant::evidence::ToldPoint;
use plant::follow::{Along, follow};
use plant::plant::{PartId, Plant};
use watch::place;
use watch::saying::{key, sentence};
use watch::tale::{self, Line};
use watch::valves::{self, Paragraph};

/// What was worked out of a part, which takes a tenth of a second or so.
pub struct Ways {
    part: PartId,
    at: String,
    tales: Vec<Vec<Line>>,
    /// A valve: what comes of turning it.
    turned: Option<Paragraph>,
    plan: Vec<Paragraph>,
    walls: Vec<String>,
    trail: Vec<(usize, usize)>,
    marked: Vec<Option<String>>,
}

/// The page.
#[derive(Template)]
#[template(path = "ways.html")]
pub struct WaysPage {
    frame: Frame,
    opening: Opening,
    name: String,
    part: String,
    drawing: String,
    ways: Ways,
}

/// Works it out for a part of this plant, run at this point; at cruise if nothing tells where she is run.
///
/// # Errors
/// Why it cannot be worked out, in the owner's words.
pub fn work_out(plant: &Plant, part: PartId, point: Option<Point<f64>>) -> Result<Ways, String> {
    let mut model = Model::new(plant).map_err(|why| format!("This plant cannot be worked out: {why}."))?;
    let point = point.unwrap_or_else(|| model::point::told(plant, &ToldPoint::default()).0);
    let (mut tales, mut trail) = (Vec::new(), Vec::new());
    for along in [Along::Onward, Along::Back] {
        for (circuit, it) in follow(plant, part, along) {
            trail.extend(it.ways(plant).into_iter().map(|(part, passage)| (part.0, passage)));
            tales.push(tale::trail(plant, circuit, &it, along));
        }
    }
    let turning = tale::turning(plant, part, Along::Onward);
    if !turning.is_empty() {
        tales.push(turning);
    }
    let walls = model.touching_at(point);
    let own = walls.iter().filter(|wall| wall.part == part);
    let walls = own.map(|wall| valves::touching(plant, wall)).collect();
    let mut turning = Turning { model: &mut model, point };
    let turned = plant.opening(part).map(|opening| {
        let to = if opening < 0.5 { 1.0 } else { 0.0 };
        let effects = turning.effects(&[(part, to)]);
        let none = "Nothing is starved or overheated by it.".to_string();
        let lines: Vec<String> = effects.iter().map(|effect| valves::effect(plant, effect)).collect();
        let heading = format!("If it is {}", if to > 0.5 { "opened" } else { "shut" });
        Paragraph { heading, lines: if lines.is_empty() { vec![none] } else { lines }, steps: false }
    });
    let job = turning.take_out(part);
    let at = place::in_words(&point);
    let (plan, marked) = (valves::take_out(plant, &job), valves::marked(plant, &job));
    Ok(Ways { part, at, tales, turned, plan, walls, trail, marked })
}

impl WaysPage {
    /// Of what was worked out.
    pub fn of(scene: &Scene, schematic: &Schematic, theme: Theme, ways: Ways) -> WaysPage {
        let plant = &scene.picture.plant;
        let part = &plant[ways.part].name;
        let live = Live {
            link: Some("/plant/ways?part={}".into()),
            trail: ways.trail.clone(),
            marked: ways.marked.clone(),
            ..Live::default()
        };
        WaysPage {
            frame: Frame::of(scene, "Plant", theme, &format!("/plant/ways?part={}", super::query(part))),
            opening: Opening::of(&scene.picture),
            name: sentence(&key(part)),
            part: super::query(part),
            drawing: schematic.svg(plant, &live),
            ways,
        }
    }

    /// What changes on it: the words above.
    pub fn pieces(scene: &Scene) -> Pieces {
        Pieces { html: Opening::pieces(scene), marks: Vec::new() }
    }
}
