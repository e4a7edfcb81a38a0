//! Bore of a dry exhaust pipe: the printed formula, and the friction law of the model beside it.

use super::asked;
use super::shared::{PIPES, crossing, graph, mm, or, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::sketch::{Look, Sketch};
use crate::worked::Worked;
use measure::quantity::Quantity::{Length, MassFlow, PressureDifference, Temperature, Velocity};
use physics::constants::{ATMOSPHERE, GRAVITY};
use physics::dry_exhaust::{
    CLEAN, ROUGH, SOOTY, density_roughly, friction_within, printed_back_pressure, straightened,
};
use physics::flow::{friction_factor, reynolds, velocity};
use physics::wet_exhaust::back_pressure;
use physics::{fresh_water, gas};

pub const JOB: Job = Job {
    word: "dry-stack",
    title: "Bore of a dry exhaust",
    about: "How wide a dry exhaust pipe must be for the engine's limit of back pressure, and what the pipe that is there costs.",
    group: Group::Size,
    kinds: &["dry-stack"],
    task: None,
    asks: &[
        Ask::one("gas-flow", "Exhaust gas at full load, air and fuel together", MassFlow, (1e-3, 20.0))
            .like("0.17 kg/s"),
        asked::GAS_TEMPERATURE,
        Ask::one("stack-length", "Straight length of the pipe from the engine to the air", Length, (0.1, 60.0))
            .like("7 m")
            .of_plant(&[("dry-stack", "length")]),
        asked::BENDS,
        asked::HALF_BENDS,
        asked::SILENCER_DROP,
        Ask::one(
            "water-head",
            "Height of water that the gas must push up, of a riser that stands full",
            Length,
            (0.0, 5.0),
        )
        .like("300 mm")
        .usual("0 mm", "a dry pipe has none"),
        asked::BACK_PRESSURE_LIMIT,
        Ask::one("gas-velocity-limit", "Most speed of the gas, for its noise", Velocity, (10.0, 150.0))
            .like("50 m/s")
            .usual("50 m/s", "common practice, no source"),
        Ask::one("stack-bore", "Bore of the pipe that is there", Length, (0.02, 1.0))
            .like("88.9 mm")
            .may()
            .of_plant(&[("dry-stack", "bore")]),
    ],
    work,
};

/// Fuel burnt in a mass of air at full load [1]; from memory, and gas weighs the same within a per cent whatever it is.
const FUEL: f64 = 0.035;
/// What a riser stands full of is reckoned at this temperature [K].
const COLD: f64 = 288.15;

/// The pipe with everything but its bore.
struct Pipe {
    flow: f64,
    hot: f64,
    length: f64,
    bends: (f64, f64),
    /// What does not go with the bore: silencer and water [Pa].
    besides: f64,
}

impl Pipe {
    fn straight(&self, bore: f64) -> f64 {
        straightened(self.length, bore, self.bends.0, self.bends.1)
    }

    fn printed(&self, constant: f64, bore: f64) -> f64 {
        self.besides + printed_back_pressure(constant, self.straight(bore), self.flow, self.hot, bore)
    }

    /// By the law of the model: the gas as dense as it is at the pressure it stands under.
    fn by_model(&self, bore: f64) -> f64 {
        let along = (self.straight(bore), bore, SOOTY, 0.0);
        let at = |drop: f64| self.besides + back_pressure(self.flow, (self.hot, ATMOSPHERE + drop, FUEL), along);
        // The pressure hardly moves the density: three turns settle it to the pascal.
        (0..3).fold(0.0, |drop, _| at(drop))
    }

    fn speed(&self, bore: f64) -> f64 {
        velocity(self.flow, bore, density_roughly(self.hot))
    }

    /// Friction factor that the model's law finds.
    fn friction(&self, bore: f64) -> f64 {
        friction_factor(reynolds(self.flow, bore, gas::viscosity(FUEL, self.hot)), SOOTY / bore)
    }
}

fn kpa(pressure: f64) -> String {
    format!("{:.2} kPa", pressure / 1e3)
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let water = given.value("water-head")? * fresh_water::density(COLD) * GRAVITY;
    let pipe = Pipe {
        flow: given.value("gas-flow")?,
        hot: given.value("gas-temperature")?,
        length: given.value("stack-length")?,
        bends: (or(given, "bends", 0.0), or(given, "half-bends", 0.0)),
        besides: given.value("silencer-drop")? + water,
    };
    let (limit, fastest) = (given.value("back-pressure-limit")?, given.value("gas-velocity-limit")?);
    if pipe.besides >= limit {
        return Err(Refused::together(
            format!("Silencer and water alone cost {}, and {} is allowed.", kpa(pipe.besides), kpa(limit)),
            "No pipe is wide enough: take another silencer, or less water in the riser.",
        ));
    }
    let fits = |bore: f64| pipe.printed(ROUGH, bore) <= limit && pipe.speed(bore) <= fastest;
    let needed = crossing((5e-3, 3.0), |bore| {
        ((limit - pipe.printed(ROUGH, bore)) / limit).min((fastest - pipe.speed(bore)) / fastest)
    });
    let needed = needed.ok_or_else(|| {
        Refused::together("No bore from 5 mm to 3 m carries this gas.", "Look at flow, length and limit.")
    })?;
    let chosen = PIPES.into_iter().find(|bore| fits(*bore));
    let says = match chosen {
        Some(bore) => format!(
            "Choose {} bore: {} of back pressure at full load ({} if the pipe stays clean), of {} allowed, and the gas at {:.0} m/s.",
            mm(bore),
            kpa(pipe.printed(ROUGH, bore)),
            kpa(pipe.printed(CLEAN, bore)),
            kpa(limit),
            pipe.speed(bore),
        ),
        None => format!("No usual pipe is wide enough: it needs {}.", mm(needed)),
    };
    let mut worked = Worked { says, ..Worked::default() };
    worked.result("needed-bore", "Bore that just meets both limits", needed, Length, "mm");
    let shown =
        chosen.into_iter().map(|bore| (bore, "chosen")).chain(given.maybe("stack-bore").map(|bore| (bore, "there")));
    for (bore, which) in shown {
        // The key carries the size: where another one is chosen it is another result, and no doubt of this one.
        let key = |what: &str| format!("{what}-{which}-{}", mm(bore).replace(' ', "-"));
        let of = if which == "there" {
            format!("the pipe that is there, {}", mm(bore))
        } else {
            format!("{} pipe", mm(bore))
        };
        let mut result =
            |what: &str, says: String, value| worked.result(key(what), says, value, PressureDifference, "kPa");
        result("rough", format!("Back pressure with {of}, sooty (6.32)"), pipe.printed(ROUGH, bore));
        result("clean", format!("The same, clean (4.56), {}", mm(bore)), pipe.printed(CLEAN, bore));
        result("model", format!("The same by the model's friction law, {}", mm(bore)), pipe.by_model(bore));
        worked.result(key("velocity"), format!("Speed of the gas in {of}"), pipe.speed(bore), Velocity, "m/s");
        worked.working(
            "Δp = 6.32 L Q² / (D⁵ (T + 273)) + silencer + water, L with 15 D for each 90° and 6.4 D for each 45°; clean pipe 4.56",
            format!(
                "D = {}: L = {}, Q = {:.3} m³/s, T = {}: {} + {} = {}; clean {}",
                mm(bore), show(pipe.straight(bore), Length, "m"), pipe.flow / density_roughly(pipe.hot),
                show(pipe.hot, Temperature, "°C"), kpa(pipe.printed(ROUGH, bore) - pipe.besides), kpa(pipe.besides),
                kpa(pipe.printed(ROUGH, bore)), kpa(pipe.printed(CLEAN, bore)),
            ),
            "[Trade] 2.5",
        );
    }
    compare(&pipe, chosen.unwrap_or(needed), &mut worked);
    worked.tables.push(table(
        "Pipes on sale",
        &["bore", "gas", "sooty (6.32)", "clean (4.56)", "model's law", "differs by", "fits"],
        PIPES
            .into_iter()
            .filter(|bore| pipe.printed(ROUGH, *bore) < 20.0 * limit)
            .map(|bore| row(&pipe, bore, fits(bore)))
            .collect(),
    ));
    flags(&pipe, given, limit, chosen, &mut worked);
    worked.step_with_care(
        "Lead it up with a fall to a drain at its lowest point, with a bellows behind the engine, hung so that it can grow, lagged, and clear of everything that burns.",
        "A leaking dry exhaust kills by carbon monoxide, and its skin sets fire to wood and to oily lagging: alarms in the cabins, lagging sheathed.",
    );
    worked.step("Fit a tapping for a gauge within a hand's breadth of the engine, and measure at full load when she first runs: that counts, not this sum.");
    worked.sketch = Some(sketch(&pipe, limit));
    Ok(worked)
}

/// How far the law of the model is off the formula, and why.
fn compare(pipe: &Pipe, bore: f64, worked: &mut Worked) {
    let (printed, model) = (pipe.printed(ROUGH, bore) - pipe.besides, pipe.by_model(bore) - pipe.besides);
    let density = gas::density(FUEL, pipe.hot, ATMOSPHERE + pipe.by_model(bore));
    worked.working(
        "Δp = f (L/D) ρ v²/2: the law by which her readings are foretold",
        format!(
            "in {} f = {:.4} and ρ = {:.3} kg/m³ give {} for the pipe alone, {:+.0} % against 6.32: that constant holds f = {:.4} and 4.56 holds {:.4} \
             whatever the bore and the speed, and ρ = 352/(T + 273) = {:.3} kg/m³",
            mm(bore), pipe.friction(bore), density, kpa(model), 100.0 * (model / printed - 1.0), friction_within(ROUGH),
            friction_within(CLEAN), density_roughly(pipe.hot),
        ),
        "Darcy-Weisbach [White7] eq. 6.10, friction [Zigrang1982], wall of sooty steel 0.1 mm",
    );
}

fn row(pipe: &Pipe, bore: f64, fits: bool) -> Vec<String> {
    let (printed, model) = (pipe.printed(ROUGH, bore), pipe.by_model(bore));
    vec![
        mm(bore),
        format!("{:.0} m/s", pipe.speed(bore)),
        kpa(printed),
        kpa(pipe.printed(CLEAN, bore)),
        kpa(model),
        format!("{:+.0} %", 100.0 * (model / printed - 1.0)),
        if fits { "yes" } else { "no" }.into(),
    ]
}

fn flags(pipe: &Pipe, given: &Given, limit: f64, chosen: Option<f64>, worked: &mut Worked) {
    if let Some(bore) = given.maybe("stack-bore") {
        let printed = pipe.printed(ROUGH, bore);
        if printed > limit {
            worked.flags.push(format!(
                "The pipe that is there, {}, costs {} where {} is allowed.",
                mm(bore),
                kpa(printed),
                kpa(limit)
            ));
        }
    }
    let narrower = PIPES.into_iter().rev().find(|bore| chosen.is_some_and(|chosen| *bore < chosen));
    if let Some(bore) = narrower.filter(|bore| pipe.printed(ROUGH, *bore) <= limit) {
        worked.flags.push(format!(
            "{} would be inside the limit of pressure too, with {}: no margin for soot, and noisy at {:.0} m/s.",
            mm(bore),
            kpa(pipe.printed(ROUGH, bore)),
            pipe.speed(bore),
        ));
    }
    if chosen.is_some_and(|bore| pipe.printed(ROUGH, bore) > 0.1 * ATMOSPHERE) {
        worked.flags.push(
            "Over a tenth of the atmosphere the gas thins along the pipe, and neither law holds any more.".into(),
        );
    }
}

fn sketch(pipe: &Pipe, limit: f64) -> Sketch {
    let bores: Vec<f64> = (0..=120).map(|k| 0.03 + 0.18 * f64::from(k) / 120.0).collect();
    let line = |of: &dyn Fn(f64) -> f64| bores.iter().map(|bore| (bore * 1e3, of(*bore) / 1e3)).collect::<Vec<_>>();
    let top = 2.0 * limit / 1e3;
    graph(
        "Back pressure over the bore of the pipe, with the engine's limit.",
        ("bore [mm]", (30.0, 210.0)),
        ("back pressure at full load [kPa]", (0.0, top)),
        &[
            (Look::Firm, line(&|bore| pipe.printed(ROUGH, bore)), String::new()),
            (Look::Thin, line(&|bore| pipe.printed(CLEAN, bore)), String::new()),
            (Look::Dashed, line(&|bore| pipe.by_model(bore)), "sooty; thin: clean".into()),
            (Look::Marked, vec![(30.0, limit / 1e3), (210.0, limit / 1e3)], "limit".into()),
        ],
    )
}
