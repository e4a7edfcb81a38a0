//! Plant: the schematic with live values, and the part that was chosen.

use crate::page::frame::{Frame, Theme};
use crate::page::gauge::{Row, State};
use crate::page::opening::{Opening, drawn};
use crate::page::part::{Panel, gauges};
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;
use diagnosis::hypothesis::What;
use drawing::{Live, Only, Schematic, Shown};
use parts::kind::Circuit;
use plant::evidence::Named;
use plant::plant::{Part, Plant};
use watch::picture::Picture;
use watch::place::circuit_of;
use watch::saying::Odds;
use watch::verdict::entries;

/// The page.
#[derive(Template)]
#[template(path = "plant.html")]
pub struct PlantPage {
    frame: Frame,
    opening: Opening,
    drawing: String,
    /// Ways to look at the sheet: words, address, whether this is it.
    ways: Vec<(String, String, bool)>,
    /// As wide as the page.
    fit: bool,
    panel: Option<Panel>,
    parts: Vec<String>,
}

/// How the sheet is looked at.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct View {
    /// One circuit alone.
    pub circuit: Option<Circuit>,
    /// As wide as the page, however small that makes it.
    pub fit: bool,
}

impl View {
    /// Its address.
    fn address(self) -> String {
        let circuit = self.circuit.map(|circuit| format!("circuit={}", circuit.name()));
        let asked: Vec<String> = circuit.into_iter().chain(self.fit.then(|| "fit=yes".into())).collect();
        if asked.is_empty() { "/plant".into() } else { format!("/plant?{}", asked.join("&")) }
    }

    /// The same with a part opened.
    fn with_part(self, part: &str) -> String {
        let address = self.address();
        let joined = if address.contains('?') { '&' } else { '?' };
        format!("{address}{joined}part={part}")
    }
}

/// Ways to look at the sheet: all of it, each circuit that has pipes, fitted to the page or not.
fn ways(schematic: &Schematic, view: View) -> Vec<(String, String, bool)> {
    let drawn = |circuit: &Circuit| schematic.runs.iter().any(|run| run.circuit == *circuit);
    let circuits = Circuit::ALL.into_iter().filter(drawn).map(Some);
    let fit = ("Fit to the page".to_string(), View { fit: !view.fit, ..view }.address(), view.fit);
    let each = std::iter::once(None).chain(circuits).map(|circuit| {
        let words = circuit.map_or("All circuits", Circuit::title).to_string();
        (words, View { circuit, ..view }.address(), circuit == view.circuit)
    });
    std::iter::once(fit).chain(each).collect()
}

/// What belongs to a circuit.
fn only(plant: &Plant, circuit: Circuit) -> Only {
    // What carries nothing belongs where its kind is at home.
    let belongs = |part: &Part| match part.flows.iter().flatten().collect::<Vec<_>>()[..] {
        [] => part.kind.circuit == circuit,
        ref flows => flows.iter().any(|flow| plant.flows[flow.0].circuit == circuit),
    };
    Only {
        circuit,
        parts: plant.parts.iter().map(belongs).collect(),
        gauges: plant.gauge_ids().map(|gauge| circuit_of(plant, gauge) == circuit).collect(),
    }
}

impl PlantPage {
    /// At this moment, with a part or gauge opened.
    pub fn of(scene: &Scene, schematic: &Schematic, theme: Theme, chosen: Option<Named>, view: View) -> PlantPage {
        let picture = &scene.picture;
        let name = |of| super::query(diagnosis::hypothesis::name_of(&picture.plant, of));
        let here = chosen.map_or_else(|| view.address(), |of| view.with_part(&name(of)));
        PlantPage {
            frame: Frame::of(scene, "Plant", theme, &here),
            opening: Opening::of(picture),
            drawing: schematic.svg(&picture.plant, &live(picture, view)),
            ways: ways(schematic, view),
            fit: view.fit,
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
fn live(picture: &Picture, view: View) -> Live {
    let rows = picture.plant.gauge_ids().map(|gauge| Row::of(picture, gauge));
    Live {
        gauges: rows.map(|row| Shown { text: row.shown(), state: state_of(row.state).0 }).collect(),
        marked: marked(picture),
        link: Some(view.with_part("{}#part")),
        only: view.circuit.map(|circuit| only(&picture.plant, circuit)),
        ..Live::default()
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
