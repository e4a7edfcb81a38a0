//! Now: what to do this minute, the verdict, every gauge on its strip.

use crate::page::alerts::Lines;
use crate::page::frame::{Frame, Theme};
use crate::page::gauge::Row;
use crate::page::opening::{Opening, drawn};
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;
use parts::kind::Circuit;
use plant::plant::{GaugeId, Plant};
use watch::place::circuit_of;

/// The page.
#[derive(Template)]
#[template(path = "now.html")]
pub struct NowPage {
    frame: Frame,
    opening: Opening,
    alerts: Lines,
    circuits: Vec<Section>,
}

/// The gauges of a circuit.
struct Section {
    circuit: Circuit,
    gauges: Vec<Row>,
}

impl NowPage {
    /// At this moment.
    pub fn of(scene: &Scene, theme: Theme) -> NowPage {
        let picture = &scene.picture;
        let circuits = Circuit::ALL.into_iter().filter_map(|circuit| {
            let gauges: Vec<Row> = listed(&picture.plant, circuit).map(|gauge| Row::of(picture, gauge)).collect();
            (!gauges.is_empty()).then_some(Section { circuit, gauges })
        });
        NowPage {
            frame: Frame::of(scene, "Now", theme, "/"),
            opening: Opening::of(picture),
            alerts: Lines::of(picture),
            circuits: circuits.collect(),
        }
    }

    /// What changes on it.
    pub fn pieces(scene: &Scene) -> Pieces {
        let picture = &scene.picture;
        let mut html = Opening::pieces(scene);
        html.push(("alerts".into(), drawn(&Lines::of(picture))));
        let gauges = (0..picture.gauges.len()).map(|g| Row::of(picture, GaugeId(g)));
        html.extend(gauges.map(|row| (row.id.clone(), drawn(&row))));
        Pieces { html, marks: Vec::new() }
    }
}

/// The gauges of a circuit, in the order of the file.
fn listed(plant: &Plant, circuit: Circuit) -> impl Iterator<Item = GaugeId> + '_ {
    plant.gauge_ids().filter(move |gauge| circuit_of(plant, *gauge) == circuit)
}
