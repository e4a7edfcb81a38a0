//! A world apart from the side that judges it: vessels drawn from what a description says of them, run at points that are
//! told a little wrong, read on gauges that are a little wrong.
//!
//! Of the judging side it shares the equations (what a true figure makes true gauges read) and nothing else: how figures
//! are spread, what sisters have in common, what a gauge, the model and an owner get wrong is written here once more, from
//! the words in which each is described, so that a slip there shows as odds that do not come true.

use crate::chance::Chance;
use measure::figure::{Figure, Origin, Spread};
use measure::quantity::Quantity;
use measure::reading::{Mark, ReadingText};
use model::steady::{Model, State};
use parts::laws::Point;
use plant::evidence::{Evidence, Moment, Occasion, ToldPoint};
use plant::plant::{Gauge, GaugeId, Plant};
use std::f64::consts::TAU;

/// A world in which all is as the judging side believes, or not.
#[derive(Copy, Clone, Debug)]
pub struct Nature {
    /// True figures lie so many times as far from the told or typical ones [1].
    pub spreads: f64,
    /// The model is wrong by so many times what it is believed to be [1].
    pub model: f64,
    /// Every cause is so many times as common as the table has it, or as rare, by the toss of a coin [1].
    pub rates: f64,
}

/// The world as it is believed to be.
pub const AS_BELIEVED: Nature = Nature { spreads: 1.0, model: 1.0, rates: 1.0 };

/// Worlds by the word of the command.
pub const NATURES: [(&str, Nature); 4] = [
    ("as-believed", AS_BELIEVED),
    ("spreads", Nature { spreads: 1.5, ..AS_BELIEVED }),
    ("rates", Nature { rates: 3.0, ..AS_BELIEVED }),
    ("model", Nature { model: 2.0, ..AS_BELIEVED }),
];

/// Standard deviations from the middle to the edge of what holds 19 of 20.
const EDGE: f64 = 1.96;
/// Share of the variance of a doubt about the make that sister parts have in common, and of the model's error at the same
/// place of both.
const OF_THE_MAKE: f64 = 0.8;
/// Share of the variance of a gauge's own error that sits in its sender.
const OF_THE_SENDER: f64 = 0.7;
/// Share of the variance of the model's error that stays from occasion to occasion.
const LASTS: f64 = 0.75;

/// The passing error goes up and down so often between rest and rated speed, and once in so many kelvin of the sea: a pump's
/// curve or a pipe is wrong by a bend, not by a saw.
const WAVES: [f64; 2] = [0.7, 1.3];
const SEA_WAVE: f64 = 12.0;

/// One drawn vessel.
pub struct Vessel {
    /// Its true figures [SI].
    pub parameters: Vec<f64>,
    /// Each gauge's own lasting error [SI].
    own: Vec<f64>,
    /// What the model gets lastingly wrong where each gauge looks [of its standard deviations].
    model: Vec<f64>,
    /// Where on its waves along speed and sea the rest of that error is [of a turn].
    waves: Vec<[f64; 2]>,
    nature: Nature,
}

impl Vessel {
    /// Draws a vessel of this description.
    pub fn draw(model: &Model, nature: Nature, chance: &mut Chance) -> Vessel {
        let plant = &model.plant;
        let dials: Vec<&Gauge> = plant.gauges.iter().collect();
        let normals = |chance: &mut Chance| -> Vec<f64> { dials.iter().map(|_| chance.normal()).collect() };
        let (make, place, sender, head) = (normals(chance), normals(chance), normals(chance), normals(chance));
        let first = |alike: &dyn Fn(&Gauge, &Gauge) -> bool, g: usize| {
            dials.iter().position(|other| alike(other, dials[g])).unwrap_or(g)
        };
        let of_make =
            |a: &Gauge, b: &Gauge| plant.sisters.first(a.tap) == plant.sisters.first(b.tap) && a.quantity == b.quantity;
        let of_sender = |a: &Gauge, b: &Gauge| a.chain.sender.is_some() && a.chain.sender == b.chain.sender;
        let all = 0..dials.len();
        let wrong = |g| both(OF_THE_MAKE, make[first(&of_make, g)], place[first(&same_place, g)]);
        let own = |g: usize| both(OF_THE_SENDER, sender[first(&of_sender, g)], head[g]) * dials[g].accuracy / EDGE;
        Vessel {
            parameters: figures(plant, nature.spreads, chance),
            own: all.clone().map(own).collect(),
            model: all.clone().map(wrong).collect(),
            waves: all.map(|_| [chance.uniform(), chance.uniform()]).collect(),
            nature,
        }
    }

    /// What every gauge indicates in a state, on one occasion [SI].
    pub fn round(&self, model: &Model, state: &State, chance: &mut Chance) -> Vec<f64> {
        let gauges = &model.plant.gauges;
        let passing: Vec<f64> = gauges.iter().map(|_| chance.normal()).collect();
        let shows = self.indicates(model, state, |first| passing[first]);
        shows.zip(gauges).map(|(shows, gauge)| shows + gauge.noise * chance.normal()).collect()
    }

    /// The same without flicker, and with a model whose passing error is the same wherever she is run the same [SI].
    pub fn shows(&self, model: &Model, state: &State) -> Vec<f64> {
        let along = state.point.speed / model.plant.rated_speed;
        let turns = |often: f64, phase: f64| (TAU * (often * along + state.point.sea / SEA_WAVE + phase)).sin();
        let passing = |first: usize| turns(WAVES[0], self.waves[first][0]) + turns(WAVES[1], self.waves[first][1]);
        self.indicates(model, state, passing).collect()
    }

    /// What every gauge indicates; `passing` is the model's passing error at the first gauge of a place, of unit variance.
    fn indicates<'a>(
        &'a self,
        model: &'a Model,
        state: &'a State,
        passing: impl Fn(usize) -> f64 + 'a,
    ) -> impl Iterator<Item = f64> + 'a {
        let gauges = &model.plant.gauges;
        gauges.iter().enumerate().map(move |(g, gauge)| {
            let truth = model.read(state, gauge.tap);
            let first = gauges.iter().position(|other| same_place(other, gauge)).unwrap_or(g);
            let wrong = both(LASTS, self.model[g], passing(first));
            truth + wrong * self.nature.model * model_wrong(gauge.quantity, truth) + self.own[g]
        })
    }
}

/// A unit normal of which this share of the variance is in common with others.
fn both(share: f64, common: f64, own: f64) -> f64 {
    share.sqrt() * common + (1.0 - share).sqrt() * own
}

fn same_place(a: &Gauge, b: &Gauge) -> bool {
    a.tap == b.tap && a.quantity == b.quantity
}

/// One standard deviation of what the equations get wrong [SI]: 1 K and 1.5 % of a temperature's distance from 15 °C, 3 % and
/// 0.8 kPa of a pressure, 0.3 rad/s and 0.3 % of a speed, 50 mV, half an ampere and 3 %, 3 % of anything else.
fn model_wrong(quantity: Quantity, truth: f64) -> f64 {
    match quantity {
        Quantity::Temperature => 1.0 + 0.015 * (truth - 288.15).abs(),
        Quantity::GaugePressure | Quantity::PressureDifference | Quantity::Pressure => 800.0 + 0.03 * truth.abs(),
        Quantity::RotationalSpeed => 0.3 + 0.003 * truth.abs(),
        Quantity::Voltage => 0.05,
        Quantity::Current => 0.5 + 0.03 * truth.abs(),
        Quantity::VolumeFlow => 1e-6 + 0.03 * truth.abs(),
        _ => 1e-3 + 0.03 * truth.abs(),
    }
}

/// True figures: every told or typical value off as far as it says it may be, what two parts of one make have in common once.
fn figures(plant: &Plant, spreads: f64, chance: &mut Chance) -> Vec<f64> {
    let own: Vec<Vec<f64>> =
        plant.parts.iter().map(|part| part.figures.iter().map(|_| chance.normal()).collect()).collect();
    let sisters = plant.sisters.parts();
    let mut values = Vec::new();
    for (id, part) in plant.parts.iter().enumerate() {
        let group = sisters.iter().find(|group| group.iter().any(|sister| sister.0 == id));
        for (k, figure) in part.figures.iter().enumerate() {
            let of_each = part.kind.parameters[k].each || matches!(figure.origin, Origin::Measured | Origin::Learned);
            // The first of the group lends its draw to what the make has in common.
            let normal = match group.map(|group| group[0]) {
                Some(first) if !of_each && plant[first].figures[k] == *figure && first.0 != id => {
                    both(OF_THE_MAKE * OF_THE_MAKE, own[first.0][k], own[id][k])
                }
                _ => own[id][k],
            };
            values.push(off(figure, spreads * normal));
        }
    }
    values
}

/// A figure off by so many standard deviations.
fn off(figure: &Figure, normal: f64) -> f64 {
    match figure.spread {
        Spread::Exact => figure.value,
        Spread::Factor(factor) => figure.value * factor.powf(normal / EDGE),
        Spread::Plus(amount) => figure.value + amount * normal / EDGE,
    }
}

/// A told operating point somewhere from 45 to 95 % of rated speed, and the true one.
pub fn points(plant: &Plant, chance: &mut Chance) -> (ToldPoint, Point<f64>) {
    let (share, sea) = (0.45 + 0.5 * chance.uniform(), 278.15 + 20.0 * chance.uniform());
    let told = told(plant, share, sea);
    let truth = truth(plant, &told, chance);
    (told, truth)
}

/// In gear with an ordinary load at this share of rated speed; who tells it has a speed gauge and a sea thermometer.
pub fn told(plant: &Plant, share: f64, sea: f64) -> ToldPoint {
    ToldPoint { speed: Some(plant.rated_speed * share), sea: Some(sea), load: Some(1.0), ..ToldPoint::default() }
}

/// Where she truly runs when that is told: speed known to 2 % of rated, sea to 1 K, load to a tenth, each 9 times in 10; the
/// air within 8 K of 3 K over the sea; fair or foul weather.
pub fn truth(plant: &Plant, told: &ToldPoint, chance: &mut Chance) -> Point<f64> {
    let sea = told.sea.unwrap_or(288.15);
    Point {
        speed: (told.speed.unwrap_or(0.0) + 0.012 * plant.rated_speed * chance.normal()).max(0.0),
        load: (told.load.unwrap_or(1.0) + 0.05 * chance.normal()).max(0.0),
        sea: sea + 0.7 * chance.normal(),
        air: sea + 3.0 + 5.0 * chance.normal(),
        atmosphere: 101_325.0 + 1_000.0 * chance.normal(),
        pitch: if plant.sets_pitch() { 1.0 + 0.08 * chance.normal() } else { 1.0 },
    }
}

/// Dials, in the order of the file.
pub fn dials(plant: &Plant) -> impl Iterator<Item = GaugeId> + '_ {
    plant.gauge_ids().filter(|g| plant[*g].trips.is_none())
}

/// An occasion with what these dials indicate [SI, one for each gauge of the plant] written down; one against its stop is told
/// so.
pub fn occasion(plant: &Plant, when: Moment, at: &ToldPoint, gauges: &[GaugeId], indicated: &[f64]) -> Occasion {
    let write = |g: &GaugeId| {
        let (low, high) = plant[*g].scale;
        let text = match indicated[g.0] {
            value if value >= high => ReadingText::OffScale { mark: Mark::OffScaleHigh },
            value if value <= low => ReadingText::OffScale { mark: Mark::OffScaleLow },
            value => ReadingText::Value { value, mark: Mark::Steady, rough: false },
        };
        (*g, text)
    };
    Occasion { when, at: at.clone(), readings: gauges.iter().map(write).collect(), ..Occasion::default() }
}

/// Evidence of one occasion now: every dial read.
pub fn read_all(model: &Model, vessel: &Vessel, state: &State, told: &ToldPoint, chance: &mut Chance) -> Evidence {
    let indicated = vessel.round(model, state, chance);
    let gauges: Vec<GaugeId> = dials(&model.plant).collect();
    let occasion = occasion(&model.plant, Moment::Now, told, &gauges, &indicated);
    Evidence { occasions: vec![occasion], ..Evidence::default() }
}
