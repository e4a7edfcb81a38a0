//! Crank angles as distances along the rim and as drops of the piston, and back.

use crate::given::Given;
use crate::job::Refused;
use crate::worked::Worked;
use physics::engine::piston_travel;
use physics::halving::zero;
use std::f64::consts::PI;

/// The flywheel's rim, and what it is measured with.
pub struct Rim {
    pub diameter: f64,
    straight: bool,
}

impl Rim {
    pub fn of(given: &Given) -> Option<Rim> {
        Some(Rim { diameter: given.maybe("flywheel-diameter")?, straight: given.word("rim-by") == "dividers" })
    }

    /// Along the rim, or straight across [m].
    pub fn distance(&self, angle: f64) -> f64 {
        if self.straight { self.diameter * (angle / 2.0).sin() } else { self.diameter * angle / 2.0 }
    }

    /// The angle of a distance [rad]; none where it does not go on the flywheel.
    pub fn angle(&self, distance: f64) -> Option<f64> {
        let share = distance / self.diameter;
        let most = if self.straight { 1.0 } else { PI / 2.0 };
        (share.abs() <= most).then(|| 2.0 * if self.straight { share.asin() } else { share })
    }

    /// How it was worked.
    pub fn working(&self, angle: f64, worked: &mut Worked) {
        let formula = if self.straight { "c = D sin(α / 2), dividers" } else { "s = π D α / 360°, tape" };
        let with = format!("D = {}, α = {}: {}", mm(self.diameter), degrees(angle), mm(self.distance(angle)));
        worked.working(formula, with, "geometry");
    }
}

/// What a distance on the rim is along.
pub fn way(rim: &Rim) -> &'static str {
    if rim.straight { "straight across the rim" } else { "along the rim" }
}

pub fn no_flywheel() -> Refused {
    Refused::of(
        "flywheel-diameter",
        "it is not told, and a distance along the rim needs it",
        "Measure it where the marks are.",
    )
}

pub fn too_far(key: &'static str, rim: &Rim) -> Refused {
    Refused::of(
        key,
        format!("it does not go on a rim of {}", mm(rim.diameter)),
        "Look at both numbers and their units.",
    )
}

/// The spill point as an angle before the top, whichever way it is told.
pub fn spill(given: &Given, rim: Option<&Rim>, keys: [&'static str; 3]) -> Result<Option<f64>, Refused> {
    let [by_angle, by_rim, by_drop] = keys;
    if keys.iter().filter(|key| given.maybe(key).is_some()).count() > 1 {
        let why = format!("{}, {} and {} tell one thing", keys[0], keys[1], keys[2]);
        return Err(Refused::together(why, "Tell it one way only."));
    }
    if let Some(distance) = given.maybe(by_rim) {
        let rim = rim.ok_or_else(no_flywheel)?;
        return rim.angle(distance).map(Some).ok_or_else(|| too_far(by_rim, rim));
    }
    if let Some(drop) = given.maybe(by_drop) {
        let (radius, rod) = crank(given)?.ok_or_else(|| {
            Refused::of("rod-length", "stroke and rod are needed to read a piston's drop as an angle", "Tell both.")
        })?;
        if drop >= radius {
            let why = format!("{} is half the stroke or more", mm(drop));
            return Err(Refused::of(
                by_drop,
                why,
                "Look at the unit; a spill point lies a few millimetres below the top.",
            ));
        }
        return Ok(Some(angle_of_drop(radius, rod, drop)));
    }
    Ok(given.maybe(by_angle))
}

/// Crank radius and rod [m], where both are told.
pub fn crank(given: &Given) -> Result<Option<(f64, f64)>, Refused> {
    let Some((stroke, rod)) = given.maybe("stroke").zip(given.maybe("rod-length")) else { return Ok(None) };
    if rod <= stroke / 2.0 {
        return Err(Refused::of(
            "rod-length",
            "a rod shorter than the crank's throw cannot turn over",
            "Measure from eye to eye.",
        ));
    }
    Ok(Some((stroke / 2.0, rod)))
}

/// Angle at which the piston stands so far below the top [rad].
fn angle_of_drop(radius: f64, rod: f64, drop: f64) -> f64 {
    zero((0.0, PI), |angle| piston_travel(radius, rod, angle) - drop)
}

pub fn mm(length: f64) -> String {
    format!("{:.1} mm", length * 1e3)
}

pub fn degrees(angle: f64) -> String {
    format!("{:.1}°", angle.to_degrees() + 0.0)
}
