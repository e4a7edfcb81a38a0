//! At which operating point the plant is, as its gauges tell it.

use crate::recent::Recent;
use measure::quantity::Quantity;
use model::steady::{Model, Unsolved};
use plant::evidence::ToldPoint;
use plant::plant::{GaugeId, Plant, Tap};

/// The gauges that tell the operating point.
#[derive(Clone, Debug)]
pub struct Helm {
    /// Of speed, and what the engine turns at for each unit on it [1].
    speed: Option<(GaugeId, f64)>,
    sea: Option<GaugeId>,
    air: Option<GaugeId>,
    /// Of the pitch, where it can be set.
    pitch: Option<GaugeId>,
    /// Of the way through the water, and how far the vessel goes at cruise for each radian the engine turns [m].
    log: Option<(GaugeId, f64)>,
}

/// A vessel that makes less than this share of her way at that speed is in neutral, or not yet under way [1].
const IN_GEAR: f64 = 0.3;
/// Below this share of design pitch her way does not tell whether she is in gear [1].
const LITTLE_PITCH: f64 = 0.6;
/// Speeds this close are one operating point: share of rated speed [1].
const SAME_SPEED: f64 = 0.006;
/// Sea temperatures this close are [K].
const SAME_SEA: f64 = 0.4;
/// Speeds further apart than this share of rated speed tell different things of a plant [1].
const DISTINCT: f64 = 0.08;
/// Pitches this close are one operating point, and those further apart tell different things [share of design pitch].
const SAME_PITCH: f64 = 0.02;
const DISTINCT_PITCH: f64 = 0.1;

impl Helm {
    /// Finds them.
    ///
    /// # Errors
    /// [`Unsolved`] when the plant as described has no state at cruise.
    pub fn of(model: &mut Model) -> Result<Helm, Unsolved> {
        let cruise = model::point::told(&model.plant, &ToldPoint::default()).0;
        let parameters = model.figures.clone();
        let state = model.solve(&parameters, &cruise, None)?;
        let plant = &model.plant;
        let all = || plant.gauge_ids().filter(|g| plant[*g].trips.is_none());
        let read = |gauge: GaugeId| model.read(&state, plant[gauge].tap);
        let first = |quantity: Quantity| all().find(|g| plant[*g].quantity == quantity && read(*g) > 0.0);
        Ok(Helm {
            speed: first(Quantity::RotationalSpeed).map(|g| (g, cruise.speed / read(g))),
            log: first(Quantity::Velocity).map(|g| (g, read(g) / cruise.speed)),
            pitch: all().find(|g| plant.is_pitch(plant[*g].tap)),
            sea: all().find(|g| plant[*g].tap == Tap::Sea),
            air: all().find(|g| plant[*g].tap == Tap::Air),
        })
    }

    /// The operating point over the last `span` [s]; nothing where no gauge tells the speed at this time.
    pub fn told(&self, recent: &Recent, now: f64, span: f64) -> Option<ToldPoint> {
        let mean = |gauge: GaugeId| recent.mean(gauge, now, span);
        let (gauge, turns) = self.speed?;
        let speed = (mean(gauge)? * turns).max(0.0);
        let way = self.log.and_then(|(log, stride)| Some(mean(log)? / (stride * speed).max(1e-9)));
        let pitch = self.pitch.and_then(mean);
        // With little pitch she makes little way in gear too.
        let meant_to_go = pitch.is_none_or(|pitch| pitch > LITTLE_PITCH);
        let load = way.filter(|way| meant_to_go && speed > 1.0 && *way < IN_GEAR).map(|_| 0.0);
        Some(ToldPoint {
            speed: Some(speed),
            load,
            pitch,
            sea: self.sea.and_then(mean),
            air: self.air.and_then(mean),
            minutes: None,
            eased_from: None,
        })
    }

    /// Whether the helm has been left alone over the last `span` [s].
    pub fn still(&self, plant: &Plant, recent: &Recent, now: f64, span: f64) -> bool {
        let Some((speed, _)) = self.speed else { return false };
        let gauges = [Some(speed), self.log.map(|(log, _)| log)];
        gauges.into_iter().flatten().all(|g| recent.drift(plant, g, now, span).is_some_and(crate::recent::Drift::still))
    }
}

/// Shares of rated speed from slow to full [1].
const SPEEDS: [f64; 4] = [0.4, 0.6, 0.8, 1.0];

/// Where each gauge of nearly every sound plant reads from slow to full speed, in gear and out of it, before any was read
/// [SI]; nothing where the plant has no state at one of them.
pub fn reach(model: &mut Model) -> Option<Vec<(f64, f64)>> {
    let parameters = model.figures.clone();
    let mut reach = vec![(f64::INFINITY, f64::NEG_INFINITY); model.plant.gauges.len()];
    for (share, load) in SPEEDS.into_iter().map(|share| (share, None)).chain([(SPEEDS[0], Some(0.0))]) {
        let speed = Some(share * model.plant.rated_speed);
        let told = ToldPoint { speed, load, ..ToldPoint::default() };
        let state = model.solve(&parameters, &model::point::told(&model.plant, &told).0, None).ok()?;
        let spread = model.spread(&told, &state)?;
        for ((gauge, (low, high)), sigma) in model.plant.gauge_ids().zip(&mut reach).zip(spread) {
            let value = model.read(&state, model.plant[gauge].tap);
            (*low, *high) = (low.min(value - 2.0 * sigma), high.max(value + 2.0 * sigma));
        }
    }
    Some(reach)
}

/// Whether two told points are one as far as bands go.
pub fn same(plant: &Plant, a: &ToldPoint, b: &ToldPoint) -> bool {
    near(plant, a, b, SAME_SPEED)
        && a.load == b.load
        && close(a.pitch, b.pitch, SAME_PITCH)
        && close(a.sea, b.sea, SAME_SEA)
        && close(a.air, b.air, 2.0)
}

/// Whether two told points tell much the same of a plant.
pub fn alike(plant: &Plant, a: &ToldPoint, b: &ToldPoint) -> bool {
    near(plant, a, b, DISTINCT) && a.load == b.load && close(a.pitch, b.pitch, DISTINCT_PITCH)
}

fn near(plant: &Plant, a: &ToldPoint, b: &ToldPoint, share: f64) -> bool {
    close(a.speed, b.speed, share * plant.rated_speed)
}

fn close(a: Option<f64>, b: Option<f64>, within: f64) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= within,
        (None, None) => true,
        _ => false,
    }
}
