//! Plant: the schematic with live values, and the part that was chosen.

use crate::page::frame::{Frame, Theme};
use crate::page::gauge::{Row, State};
use crate::page::opening::{Opening, drawn};
use crate::page::part::{Panel, gauges};
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;
use diagnosis::hypothesis::What;
use drawing::{Live, Schematic, Shown};
use plant::evidence::Named;
use watch::picture::Picture;
use watch::saying::Odds;
use watch::verdict::entries;

/// The page.
#[derive(Template)]
#[template(path = "plant.html")]
pub struct PlantPage {
    frame: Frame,
    opening: Opening,
    drawing: String,
    panel: Option<Panel>,
    parts: Vec<String>,
}

impl PlantPage {
    /// At this moment, with a part or gauge opened.
    pub fn of(scene: &Scene, schematic: &Schematic, theme: Theme, chosen: Option<Named>) -> PlantPage {
        let picture = &scene.picture;
        let here = chosen.map_or("/plant".into(), |of| {
            format!("/plant?part={}", super::query(diagnosis::hypothesis::name_of(&picture.plant, of)))
        });
        PlantPage {
            frame: Frame::of(scene, "Plant", theme, &here),
            opening: Opening::of(picture),
            drawing: schematic.svg(&picture.plant, &live(picture)),
            panel: chosen.map(|of| Panel::of(scene, of)),
            parts: picture.plant.parts.iter().map(|part| part.name.clone()).collect(),
        }
    }

    /// What changes on it: the words above, values in the drawing, and the gauges of what is opened.
    pub fn pieces(scene: &Scene, chosen: Option<Named>) -> Pieces {
        let plant = &scene.picture.plant;
        let rows: Vec<Row> = plant.gauge_ids().map(|gauge| Row::of(&scene.picture, gauge)).collect();
        let opened = chosen.into_iter().flat_map(|of| gauges(plant, of)).map(|gauge| &rows[gauge.0]);
        let mut html = Opening::pieces(scene);
        html.extend(opened.map(|row| (row.id.clone(), drawn(row))));
        let marks = rows.iter().zip(&plant.gauges);
        let marks = marks.map(|(row, gauge)| (gauge.name.clone(), row.shown(), state_of(row.state).1));
        Pieces { html, marks: marks.collect() }
    }
}

/// What is drawn into the schematic now.
fn live(picture: &Picture) -> Live {
    let rows = picture.plant.gauge_ids().map(|gauge| Row::of(picture, gauge));
    Live {
        gauges: rows.map(|row| Shown { text: row.shown(), state: state_of(row.state).0 }).collect(),
        marked: marked(picture),
        link: Some("/plant?part={}#part".into()),
        standalone: false,
        trail: Vec::new(),
    }
}

/// How a reading is taken in the drawing, and the class of its element there.
fn state_of(state: State) -> (drawing::State, &'static str) {
    match state {
        State::In | State::Bare => (drawing::State::AsExpected, "in"),
        State::Off | State::Ringing => (drawing::State::Off, "off"),
        State::Stale => (drawing::State::Stale, "stale"),
        State::Unread => (drawing::State::NoReading, "none"),
    }
}

/// Parts that the likeliest causes are in, each with its odds.
fn marked(picture: &Picture) -> Vec<Option<String>> {
    let mut marks = vec![None; picture.plant.parts.len()];
    let Some(explained) = &picture.explained else { return marks };
    let case = explained.case(&picture.plant, Odds::Words);
    let likely = entries(&case);
    for entry in likely.iter().filter(|entry| entry.chance >= MARKED && entry.chance > explained.well()) {
        if let What::Cause(Named::Part(part), _) = entry.ways[0].what
            && let Some(mark) = marks.get_mut(part.0)
            && mark.is_none()
        {
            *mark = Some(case.odds.say(entry.chance));
        }
    }
    marks
}

/// A chance from which a part is marked [1].
const MARKED: f64 = 0.15;
