//! Do all cylinders pull alike? By the temperature at each port, and by cutting out one after the other.

mod causes;
mod shown;

use super::asked;
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::jobs::by_cylinder::{as_many, fit_for, median};
use crate::worked::{Kept, Worked};
use causes::{Lean, Seen};
use measure::quantity::Quantity::{
    GaugePressure, Power, PressureDifference, Ratio, RotationalSpeed, Temperature, TemperatureDifference,
};
use physics::constants::ZERO_CELSIUS as ZERO;
use physics::engine::cylinder_share;
use physics::halving::zero;
use std::f64::consts::TAU;

const RPM: f64 = TAU / 60.0;
const SPEEDS: (f64, f64) = (50.0 * RPM, 6000.0 * RPM);
const GAS: (f64, f64) = (ZERO - 20.0, ZERO + 900.0);

pub const JOB: Job = Job {
    word: "injector-balance",
    title: "Balance of the cylinders",
    about: "Which cylinder gives more or less than the others, and whether fuel, timing, compression or the sensor is why.",
    group: Group::Judge,
    kinds: &["diesel"],
    task: None,
    asks: &[
        Ask::many(
            "port-temperatures",
            "Exhaust temperature of each cylinder, in order, warm at a steady load",
            Temperature,
            GAS,
        )
        .may()
        .about(4.0)
        .like("355, 362, 348, 410 °C"),
        Ask::many(
            "port-temperatures-cold",
            "What the same sensors show before she is started, all as cold as each other",
            Temperature,
            GAS,
        )
        .may()
        .about(0.5)
        .like("21, 21, 20, 22 °C"),
        Ask::one("air-in", "Temperature of the air she draws in", Temperature, (ZERO - 30.0, ZERO + 90.0))
            .usual("35 °C", "common practice, no source")
            .about(5.0),
        Ask::one(
            "uncut-speed",
            "Speed with all cylinders working, the rack held so that the governor cannot make up",
            RotationalSpeed,
            SPEEDS,
        )
        .may()
        .like("700 rpm")
        .about(1.5 * RPM),
        Ask::many(
            "cut-drops",
            "By how much the speed drops when each cylinder is cut, in order",
            RotationalSpeed,
            (0.0, 1500.0 * RPM),
        )
        .may()
        .about(2.0 * RPM)
        .like("42, 45, 12, 44 rpm"),
        Ask::choice(
            "cut-load",
            "How she was loaded while they were cut",
            &[
                ("out-of-gear", "she turned nothing but herself"),
                ("in-gear", "she turned her propeller, ahead, the course held"),
            ],
        )
        .usual("out-of-gear", "the usual way"),
        Ask::one("mechanical-efficiency", "Shaft work over indicated work at that speed, in gear", Ratio, (0.1, 0.95))
            .usual("70 %", "from memory")
            .about(0.08),
        Ask::one("load-exponent", "Exponent of the propeller's power over speed", Ratio, (1.0, 4.0))
            .usual("3", "[Carlton4] cubic propeller law")
            .about(0.2)
            .of_plant(&[("diesel", "load_exponent")]),
        Ask::one(
            "friction-pressure",
            "Friction of the engine at no piston speed, as a mean pressure",
            PressureDifference,
            (2e4, 3e5),
        )
        .usual("90 kPa", "[Heywood1988] ch. 13")
        .of_plant(&[("diesel", "friction_pressure")]),
        asked::STROKE,
        Ask::one(
            "uncut-power",
            "Power at one speed with all cylinders working, where power was read instead of speed",
            Power,
            (100.0, 1e7),
        )
        .may()
        .like("22 kW")
        .about(0.0),
        Ask::many("cut-powers", "Power left when each cylinder is cut, in order", Power, (0.0, 1e7))
            .may()
            .like("15, 15.4, 20, 15.1 kW"),
        Ask::many(
            "compressions",
            "Compression of each cylinder, in order, if it was measured",
            GaugePressure,
            (0.0, 80e5),
        )
        .may()
        .like("27, 28, 21, 27.5 bar"),
        Ask::one("port-limit", "How far a cylinder may be from the middle of all", TemperatureDifference, (5.0, 200.0))
            .usual("30 K", "common practice, no source"),
        Ask::one("pull-limit", "How far what a cylinder gives may be from the middle of all", Ratio, (0.02, 0.9))
            .usual("15 %", "common practice, no source"),
        Ask::one(
            "fuel-step",
            "How much the fuel of one cylinder changes by one step of its own adjustment, where the pump has it",
            Ratio,
            (1e-3, 0.5),
        )
        .may()
        .like("2 %"),
    ],
    work,
};

/// A compression under this share of the middle one is weak [1]; common practice, no source.
const WEAK: f64 = 0.85;
/// Least share of a cylinder that works at all, of the middle one [1].
pub(crate) const DEAD: f64 = 0.15;

/// All that was read, by cylinder.
pub(crate) struct Cylinders {
    pub count: usize,
    /// Above the middle of all, what the sensor shows too much cold taken off [K].
    pub apart: Vec<f64>,
    /// Temperatures as they are judged [K].
    pub ports: Vec<f64>,
    /// What each gives over the middle one, less one [1].
    pub pulls: Vec<f64>,
    /// How much of the cuts the speed or the power shows, the whole being 1: the governor made up for the rest [1].
    pub seen: f64,
    /// Compression under the middle one's by more than may be.
    pub weak: Vec<bool>,
    pub port_limit: f64,
    pub pull_limit: f64,
    /// Standard uncertainty of one of them from the middle [K], [1].
    pub port_sigma: f64,
    pub pull_sigma: f64,
    /// The gas is hotter than the air by so much, at the middle one [K].
    pub rise: f64,
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let all = Cylinders::read(given)?;
    let seen: Vec<Seen> = (0..all.count).map(|cylinder| Seen::of(&all, cylinder)).collect();
    let off: Vec<usize> = (0..all.count).filter(|cylinder| seen[*cylinder].is_off()).collect();
    let mut worked = Worked { says: shown::says(&all, &seen, &off), ..Worked::default() };
    let step = given.maybe("fuel-step");
    for cylinder in 0..all.count {
        let number = cylinder + 1;
        let fuel = all.fuel(cylinder);
        if off.contains(&cylinder) && matches!(seen[cylinder].lean(), Lean::Fuel) {
            worked.result(
                format!("fuel-{number}"),
                format!("Fuel of cylinder {number} over the middle one"),
                fuel,
                Ratio,
                "%",
            );
            if let Some(step) = step {
                let way = if fuel > 0.0 { "less" } else { "more" };
                let says = format!("Cylinder {number}: steps of its adjustment, to {way} fuel");
                worked.result(format!("steps-{number}"), says, (fuel / step).abs(), Ratio, "");
            }
        }
        if let Some(apart) = all.apart.get(cylinder).filter(|_| off.contains(&cylinder)) {
            let says = format!("Exhaust of cylinder {number} above the middle of all");
            worked.result(format!("apart-{number}"), says, *apart, TemperatureDifference, "K");
        }
        if let Some(pull) = all.pulls.get(cylinder).filter(|_| off.contains(&cylinder)) {
            let says = format!("What cylinder {number} gives, of the middle one");
            worked.result(format!("pull-{number}"), says, 1.0 + pull, Ratio, "%");
        }
    }
    if !all.pulls.is_empty() {
        worked.result("seen", "Of all cuts together her speed or power shows", all.seen, Ratio, "%");
    }
    shown::tell(&mut worked, given, &all, &seen, &off);
    let mut keep = |name: String, found: f64, quantity, unit| {
        worked.kept.push(Kept { name, found: Some(found), left: None, quantity, unit });
    };
    for (place, read) in given.list("port-temperatures").into_iter().enumerate() {
        keep(format!("exhaust cylinder {}", place + 1), read, Temperature, "°C");
    }
    for (place, read) in given.list("cut-drops").into_iter().enumerate() {
        keep(format!("speed drop cylinder {}", place + 1), read, RotationalSpeed, "rpm");
    }
    worked.sketch = Some(shown::sketch(&all, &off));
    Ok(worked)
}

impl Cylinders {
    fn read(given: &Given) -> Result<Cylinders, Refused> {
        let (ports, cold) = (given.values("port-temperatures"), given.list("port-temperatures-cold"));
        let (drops, powers) = (given.values("cut-drops"), given.values("cut-powers"));
        let compressions = given.list("compressions");
        if ports.is_empty() && drops.is_empty() && powers.is_empty() {
            return Err(Refused::together(
                "Nothing by cylinder is told.",
                "Tell port-temperatures, or uncut-speed with cut-drops, or uncut-power with cut-powers; best the first with one of the others.",
            ));
        }
        if !drops.is_empty() && !powers.is_empty() {
            return Err(Refused::together("Drops of speed and powers are both told.", "Tell the one that was read."));
        }
        let keys = [("port-temperatures", ports.len()), ("cut-drops", drops.len()), ("cut-powers", powers.len())];
        let count = keys.iter().map(|(_, count)| *count).find(|count| *count > 0).unwrap_or(0);
        for (key, own) in
            keys.into_iter().chain([("port-temperatures-cold", cold.len()), ("compressions", compressions.len())])
        {
            as_many(key, own, count)?;
        }
        fit_for(keys.iter().find(|(_, own)| *own > 0).map_or("port-temperatures", |(key, _)| key), count)?;
        let middle_cold = median(&cold);
        let offset = |cylinder: usize| cold.get(cylinder).map_or(0.0, |shows| shows - middle_cold);
        let ports: Vec<f64> = ports.iter().enumerate().map(|(place, (read, _))| read - offset(place)).collect();
        let middle = median(&ports);
        let (shares, seen) = shares(given)?;
        let usual = median(&shares);
        if !shares.is_empty() && usual <= 0.0 {
            return Err(Refused::together(
                "Cutting one after the other changes nothing with most of them.",
                "The governor makes up for it: hold the rack, or cut them at idle out of gear, and read the drop within some seconds.",
            ));
        }
        let sigma = |key: &str| given.values(key).iter().map(|(_, sigma)| *sigma).fold(0.0, f64::max);
        // The middle of many is itself uncertain: √(1 + π/2n) of one.
        let with_middle = (1.0 + std::f64::consts::PI / (2.0 * count as f64)).sqrt();
        let drop = median(&given.list("cut-drops")).max(f64::MIN_POSITIVE);
        let weakest = WEAK * median(&compressions);
        Ok(Cylinders {
            count,
            apart: ports.iter().map(|port| port - middle).collect(),
            rise: middle - given.value("air-in")?,
            ports,
            pulls: shares.iter().map(|share| share / usual - 1.0).collect(),
            seen,
            weak: compressions.iter().map(|read| *read < weakest).collect(),
            port_limit: given.value("port-limit")?,
            pull_limit: given.value("pull-limit")?,
            port_sigma: sigma("port-temperatures").hypot(sigma("port-temperatures-cold")) * with_middle,
            pull_sigma: if given.list("cut-drops").is_empty() { 0.02 } else { sigma("cut-drops") / drop * with_middle },
        })
    }

    /// Fuel over the middle one's, by temperature and by pull, each by how sure it is [1].
    ///
    /// The gas is hotter than the air by what the fuel of the cylinder brings to the same air.
    pub fn fuel(&self, cylinder: usize) -> f64 {
        let by_port = self
            .apart
            .get(cylinder)
            .filter(|_| self.rise > 50.0)
            .map(|apart| (apart / self.rise, (self.port_sigma / self.rise).max(0.01)));
        let by_pull = self.pulls.get(cylinder).map(|pull| (*pull, self.pull_sigma.max(0.01)));
        let each: Vec<(f64, f64)> = by_port.into_iter().chain(by_pull).collect();
        let weight: f64 = each.iter().map(|(_, sigma)| sigma.powi(-2)).sum();
        each.iter().map(|(fuel, sigma)| fuel * sigma.powi(-2)).sum::<f64>() / weight
    }
}

/// Share of the whole that each cylinder gives [1], and how much of that was seen without a governor's part [1].
fn shares(given: &Given) -> Result<(Vec<f64>, f64), Refused> {
    let in_gear = given.word("cut-load") == "in-gear";
    let drops = given.list("cut-drops");
    let powers = given.list("cut-powers");
    if !powers.is_empty() {
        let uncut = given.value("uncut-power")?;
        // At one speed friction stays: what is lost is lost of the indicated power.
        let indicated = uncut / given.value("mechanical-efficiency")?;
        let shares: Vec<f64> = powers.iter().map(|power| (uncut - power) / indicated).collect();
        let seen = shares.iter().sum();
        return Ok((shares, seen));
    }
    if drops.is_empty() {
        return Ok((Vec::new(), 0.0));
    }
    let speed = given.value("uncut-speed")?;
    if let Some(drop) = drops.iter().find(|drop| **drop >= 0.9 * speed) {
        let why = format!("a drop of {:.0} rpm is all of her {:.0} rpm", drop / RPM, speed / RPM);
        return Err(Refused::of("cut-drops", why, "Tell by how much it drops, not the speed that is left."));
    }
    let mechanical = if in_gear { given.value("mechanical-efficiency")? } else { 0.0 };
    let (exponent, base, stroke) =
        (given.value("load-exponent")?, given.value("friction-pressure")?, given.value("stroke")?);
    let bare = |drop: f64| cylinder_share(speed, speed - drop, mechanical, exponent, base, stroke);
    let seen: f64 = drops.iter().map(|drop| bare(*drop)).sum();
    // A governor gives the others more the lower the speed, by so much that all shares come to the whole.
    let with = |gain: f64| drops.iter().map(move |drop| 1.0 - (1.0 - bare(*drop)) / (1.0 + gain * drop / speed));
    let gain = zero((0.0, 1e4), |gain| with(gain).sum::<f64>() - 1.0);
    Ok((with(gain).collect(), seen))
}
