//! The stages of a sea trial, and what every gauge ought to read at each.

use measure::figure::SIGMAS_TO_95;
use model::steady::Model;
use plant::evidence::ToldPoint;
use plant::plant::{GaugeId, Plant};
use std::f64::consts::PI;

/// One stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// Its name: "1250 rpm".
    pub name: String,
    /// What is done.
    pub says: &'static str,
    /// What to heed there.
    pub caution: Option<&'static str>,
    /// How long it lasts before it is read [min].
    pub minutes: f64,
    /// Engine speed at which it is read [rad/s]; none where nothing of the engine is read.
    pub speed: Option<f64>,
}

/// A gauge, and what it ought to read.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Ought {
    /// Which.
    pub gauge: GaugeId,
    /// Most likely [SI].
    pub value: f64,
    /// 95 of 100 plants described like this one read between these [SI].
    pub low: f64,
    /// See `low`.
    pub high: f64,
}

/// Steps are no further apart than this [rad/s]: 300 turns a minute, common practice, no source.
const STEP: f64 = 300.0 * RPM;
/// One turn a minute [rad/s].
const RPM: f64 = PI / 30.0;
/// The lowest speed in gear, as a share of rated [1]; common practice, no source.
const IDLE: f64 = 0.38;
/// So long at each step, at full speed and once eased [min]; common practice, no source.
const DWELL: [f64; 3] = [10.0, 15.0, 5.0];
/// She is eased by so much after full speed [rad/s].
const EASED: f64 = 200.0 * RPM;

/// All stages for this plant, in order.
///
/// # Source
/// [Trade] 1.3, common practice, no source: deep loaded, in steps of 200 to 300 turns a minute, ten minutes each, then full speed
/// until nothing moves, eased, manoeuvres, alarms.
pub fn stages(plant: &Plant) -> Vec<Stage> {
    let plain = |name: &str, says: &'static str, caution: Option<&'static str>, minutes: f64| Stage {
        name: name.into(),
        says,
        caution,
        minutes,
        speed: None,
    };
    let mut all = vec![
        plain(
            "Alongside",
            "Fuel, water and stores as for a passage: a trial half loaded proves nothing. Levels looked at. Every gauge held against \
             a second instrument: stopped and cold each should stand at the air's temperature, and at no pressure.",
            None,
            0.0,
        ),
        Stage {
            name: "Cold start".into(),
            says: "Started cold and watched: oil pressure within ten seconds, water overboard within a minute, smoke, leaks. Warmed in gear.",
            caution: Some("No oil pressure after ten seconds: stop."),
            minutes: DWELL[0],
            speed: None,
        },
    ];
    let (low, high) = (IDLE * plant.rated_speed, plant.rated_speed);
    let steps = ((high - low) / STEP).ceil().max(1.0) as usize;
    for step in 0..steps {
        let speed = low + (high - low) * step as f64 / steps as f64;
        // A speed that can be set by eye.
        let speed = (speed / RPM / 50.0).round() * 50.0 * RPM;
        all.push(Stage {
            name: format!("{:.0} rpm", speed / RPM),
            says: "Held on a straight course in calm water. When the time is up, everything is read and written down.",
            caution: None,
            minutes: DWELL[0],
            speed: Some(speed),
        });
    }
    all.push(Stage {
        name: "Full speed".into(),
        says: "The lever against its stop, until no temperature moves any more. Read after ten minutes, and again at the end: the \
               difference shows whether it creeps.",
        caution: Some("A temperature past its limit, black smoke, or a noise that was not there: ease her at once. The trial is over."),
        minutes: DWELL[1],
        speed: Some(high),
    });
    all.push(Stage {
        name: "Eased".into(),
        says: "Eased by 200 turns a minute and held: temperatures should fall within minutes.",
        caution: None,
        minutes: DWELL[2],
        speed: Some((high - EASED).max(low)),
    });
    all.push(plain(
        "Manoeuvres",
        "From cruise: crash stop, full astern, rudder hard over both ways, steering by its emergency means.",
        Some("Everybody holding on, engine space empty of people, sea room all round."),
        10.0,
    ));
    all.push(plain(
        "Alarms and stopping",
        "Every alarm tripped for real (heat, pressure, float) and heard at the helm; stopped by every way there is; started again as after a blackout.",
        Some("Fit every sender back before she is run again."),
        20.0,
    ));
    all
}

/// What every gauge ought to read at a point, with its band; nothing where the plant has no state there.
pub fn ought(model: &mut Model, at: &ToldPoint) -> Vec<Ought> {
    let (point, _) = model::point::told(&model.plant, at);
    let figures = model.figures.clone();
    let Ok(state) = model.solve(&figures, &point, None) else { return Vec::new() };
    let Some(sigmas) = model.spread(at, &state) else { return Vec::new() };
    let of = |(gauge, sigma): (GaugeId, f64)| {
        let value = model.read(&state, model.plant[gauge].tap);
        let reach = SIGMAS_TO_95 * sigma;
        Ought { gauge, value, low: value - reach, high: value + reach }
    };
    let read = |gauge: &(GaugeId, f64)| model.plant[gauge.0].trips.is_none();
    model.plant.gauge_ids().zip(sigmas).filter(read).map(of).collect()
}

/// Every stage with what every gauge ought to read there; nothing where nothing of the engine is read.
///
/// * `at`: the sea, the air and what else is told; the speed is the stage's
pub fn sheet(model: &mut Model, at: &ToldPoint) -> Vec<(Stage, Vec<Ought>)> {
    let each = stages(&model.plant).into_iter().map(|stage| {
        let told = stage.speed.map(|speed| ToldPoint { speed: Some(speed), ..at.clone() });
        let oughts = told.map_or_else(Vec::new, |told| ought(model, &told));
        (stage, oughts)
    });
    each.collect()
}
