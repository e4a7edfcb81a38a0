//! What every document is made of, worked out once: the plant, what is normal at a few loads, its drawing, the walk.

use crate::history::History;
use crate::procedures::Procedure;
use crate::whereabouts;
use drawing::Schematic;
use model::expect::{Band, Expected};
use model::fit::Seen;
use model::steady::Model;
use plant::evidence::ToldPoint;
use plant::plant::{GaugeId, PartId, Plant};
use watch::place;

/// What is asked of the book, beside the plant.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// The day it is made, as people write it; empty leaves it out.
    pub date: String,
    /// Leave the vessel's name and where she is out of it.
    pub nameless: bool,
    /// Where her pages are, for the codes on tags: "http://10.0.0.5:8461"; none makes no codes.
    pub address: Option<String>,
    /// The owner's own procedures.
    pub procedures: Vec<Procedure>,
    /// What was done to her, and what is due.
    pub history: History,
}

/// One of the loads that everything is told at.
#[derive(Clone, Debug)]
pub struct Normal {
    /// "idle", "half", "cruise", "full".
    pub name: &'static str,
    /// "at 1350 rpm", "at 600 rpm, out of gear".
    pub words: String,
    /// What is expected there; or why there is no such state.
    pub expected: Result<Expected, String>,
}

impl Normal {
    /// The band of a gauge there.
    pub fn band(&self, gauge: GaugeId) -> Option<&Band> {
        self.expected.as_ref().ok()?.bands.get(gauge.0)
    }

    /// Why it does not last, if it does not.
    pub fn unsteady(&self) -> bool {
        self.expected.as_ref().is_ok_and(|expected| expected.unsteady.is_some())
    }
}

/// Everything that documents are made of.
pub struct Facts<'a> {
    /// The plant.
    pub plant: &'a Plant,
    /// What was asked.
    pub asked: &'a Asked,
    /// What is normal, from the least load to the most.
    pub normals: Vec<Normal>,
    /// The schematic, laid out.
    pub schematic: Schematic,
    /// Every part in walking order.
    pub walk: Vec<PartId>,
    /// Her engines.
    pub engines: Vec<PartId>,
}

/// Names of the loads, their share of rated speed, and the load where it is not the propeller's own. Common practice, no
/// source: a slow engine idles at about a third of its rated speed, and cruises at four fifths.
const LOADS: [(&str, f64, Option<f64>); 4] =
    [("idle", 0.38, Some(0.0)), ("half", 0.6, None), ("cruise", 0.8, None), ("full", 1.0, None)];

impl<'a> Facts<'a> {
    /// Works them out; a second or so, most of it the bands.
    ///
    /// # Errors
    /// Why the plant cannot be worked out, in the owner's words.
    pub fn of(plant: &'a Plant, asked: &'a Asked) -> Result<Facts<'a>, String> {
        let normals = normals(plant)?;
        Ok(Facts {
            plant,
            asked,
            normals,
            schematic: Schematic::lay_out(plant),
            walk: whereabouts::walk(plant),
            engines: plant.engines().collect(),
        })
    }

    /// The load of that name.
    pub fn normal(&self, name: &str) -> Option<&Normal> {
        self.normals.iter().find(|normal| normal.name == name)
    }

    /// The vessel's name, or "she" where it is left out or was never told.
    pub fn vessel(&self) -> &str {
        if self.asked.nameless { "" } else { &self.plant.name }
    }

    /// The vessel in a sentence, with a capital: "Marram", or "She".
    pub fn she(&self) -> &str {
        if self.vessel().is_empty() { "She" } else { self.vessel() }
    }
}

/// What is normal at each load, each on a thread of its own with a model of its own, so that none knows of another.
fn normals(plant: &Plant) -> Result<Vec<Normal>, String> {
    let one = |(name, share, load): &(&'static str, f64, Option<f64>)| -> Result<Normal, String> {
        let mut model = Model::new(plant).map_err(|why| format!("This plant cannot be worked out: {why}."))?;
        let at = ToldPoint { speed: Some(rounded(share * plant.rated_speed)), load: *load, ..ToldPoint::default() };
        let (point, _) = model::point::told(plant, &at);
        let expected = model.expect(&at, &Seen::default()).map_err(|why| why.to_string().replace('_', " "));
        // The sea is not told, so its temperature belongs to the bands and not to the words.
        let words = place::in_words(&point);
        let words = words.split(", sea").next().unwrap_or(&words).to_string();
        Ok(Normal { name, words, expected })
    };
    let done: Vec<Result<Normal, String>> = std::thread::scope(|scope| {
        let handles: Vec<_> = LOADS.iter().map(|load| scope.spawn(move || one(load))).collect();
        let lost = || Err("The bands could not be worked out.".to_string());
        handles.into_iter().map(|handle| handle.join().unwrap_or_else(|_| lost())).collect()
    });
    done.into_iter().collect()
}

/// A speed as a tachometer is read [rad/s]: to 50 rpm, of a slow engine to 10.
fn rounded(speed: f64) -> f64 {
    let turn = std::f64::consts::TAU / 60.0;
    let step = if speed / turn > 400.0 { 50.0 } else { 10.0 };
    (speed / turn / step).round() * step * turn
}
