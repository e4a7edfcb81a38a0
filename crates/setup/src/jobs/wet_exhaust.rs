//! Bore of a wet exhaust hose: how hot the mix is behind the injection, and what hose, silencer and lift cost.

use super::asked;
use super::shared::{HOSES, celsius, crossing, mm, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::Worked;
use measure::quantity::Quantity::{Length, MassFlow, PressureDifference, Temperature, Velocity, VolumeFlow};
use physics::constants::ATMOSPHERE;
use physics::dry_exhaust::{SOOTY, density_roughly, straightened};
use physics::flow::velocity;
use physics::teos10::STANDARD_SALINITY;
use physics::wet_exhaust::{
    ALARM_TEMPERATURE, HOSE_LIMIT, WetMix, back_pressure, lifted, mixed_temperature, sprayed, wetter,
};
use physics::{gas, sea_water};
use std::f64::consts::PI;

pub const JOB: Job = Job {
    word: "wet-exhaust",
    title: "Bore of a wet exhaust",
    about: "How hot the exhaust is behind the injection, and how wide the hose must be for the engine's limit of back pressure.",
    group: Group::Size,
    kinds: &["exhaust-hose"],
    task: None,
    asks: &[
        Ask::one("gas-flow", "Exhaust gas at full load, air and fuel together", MassFlow, (1e-3, 20.0))
            .like("0.096 kg/s"),
        asked::GAS_TEMPERATURE,
        Ask::one(
            "exhaust-water",
            "Sea water that is injected, by bucket and watch at the outlet",
            VolumeFlow,
            (1e-6, 0.05),
        )
        .like("62 L/min"),
        Ask::one(
            "exhaust-water-temperature",
            "Temperature of that water before it is injected",
            Temperature,
            (271.0, 353.0),
        )
        .like("38 °C"),
        Ask::one("hose-length", "Length of the hose from the elbow to the outlet", Length, (0.1, 60.0))
            .like("4 m")
            .of_plant(&[("exhaust-hose", "length")]),
        asked::BENDS,
        asked::HALF_BENDS,
        asked::SILENCER_DROP,
        Ask::one("water-lift", "How high the hose rises from the silencer to its highest point", Length, (0.0, 3.0))
            .like("400 mm")
            .usual("0 mm", "none told")
            .of_plant(&[("silencer", "lift")]),
        asked::BACK_PRESSURE_LIMIT,
        Ask::one("hose-bore", "Bore of the hose that is there", Length, (0.02, 1.0))
            .like("102 mm")
            .may()
            .of_plant(&[("exhaust-hose", "bore")]),
    ],
    work,
};

/// Fuel burnt in a mass of air at full load [1]; from memory.
const FUEL: f64 = 0.035;
/// Share of the gas that the spray of a sound elbow reaches [1], from memory; the figure of the elbow.
const WETTING: f64 = 0.975;
/// What the hose may take of the limit, so that fouling and a following sea have room [1]. Common practice, no source.
const SHARE: f64 = 0.75;

/// A wet bore over the dry one [1]. Source: [Trade] 2.5.
const BY_RULE: f64 = 1.4;
/// Speed of the gas in a dry pipe [m/s]. Common practice, no source.
const DRY_SPEED: f64 = 50.0;

struct Hose {
    gas: f64,
    water: f64,
    mixed: f64,
    length: f64,
    bends: (f64, f64),
    besides: f64,
}

impl Hose {
    fn drop(&self, bore: f64) -> f64 {
        let along = (straightened(self.length, bore, self.bends.0, self.bends.1), bore, SOOTY, 0.0);
        let at = |over: f64| {
            let dry = back_pressure(self.gas, (self.mixed, ATMOSPHERE + over, FUEL), along);
            self.besides + dry * wetter(self.gas, self.water)
        };
        (0..3).fold(0.0, |over, _| at(over))
    }

    fn speed(&self, bore: f64) -> f64 {
        velocity(self.gas, bore, gas::density_at_atmosphere(FUEL, self.mixed))
    }
}

fn kpa(pressure: f64) -> String {
    format!("{:.2} kPa", pressure / 1e3)
}

/// Temperature behind the injection [K]: what the spray misses goes on hot beside the mix.
fn behind_injection(gas_flow: f64, hot: f64, water_flow: f64, cold: f64) -> f64 {
    let wetted = gas_flow * WETTING * sprayed(water_flow, gas_flow);
    let mixed = mixed_temperature(&WetMix {
        gas_flow: wetted,
        gas_temperature: hot,
        fuel_air_ratio: FUEL,
        water_flow,
        water_temperature: cold,
        salinity: STANDARD_SALINITY,
        pressure: ATMOSPHERE,
        wetting: 1.0,
    });
    let share = wetted / gas_flow;
    mixed * share + hot * (1.0 - share)
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let (flow, hot) = (given.value("gas-flow")?, given.value("gas-temperature")?);
    let cold = given.value("exhaust-water-temperature")?;
    let water = given.value("exhaust-water")? * sea_water::density(STANDARD_SALINITY, cold);
    let mixed = behind_injection(flow, hot, water, cold);
    let lift = given.value("water-lift")?;
    let hose = Hose {
        gas: flow,
        water,
        mixed,
        length: given.value("hose-length")?,
        bends: (given.value("bends")?, given.value("half-bends")?),
        besides: given.value("silencer-drop")? + lifted(lift, water, flow),
    };
    let limit = given.value("back-pressure-limit")?;
    if hose.besides >= limit {
        return Err(Refused::together(
            format!("Silencer and lift alone cost {}, and {} is allowed.", kpa(hose.besides), kpa(limit)),
            "No hose is wide enough: a lower rise, or a silencer that costs less.",
        ));
    }
    let most = hose.besides + SHARE * (limit - hose.besides);
    let needed = crossing((5e-3, 3.0), |bore| most - hose.drop(bore)).ok_or_else(|| {
        Refused::together("No bore from 5 mm to 3 m carries this gas.", "Look at flow, length and limit.")
    })?;
    let chosen = HOSES.into_iter().find(|bore| *bore >= needed);
    let mut worked = Worked::default();
    let heat = format!("behind the injection it is {}", celsius(mixed));
    worked.says = match chosen {
        Some(bore) => format!(
            "Choose {} hose: {} at full load of {} allowed; {heat}.",
            mm(bore),
            kpa(hose.drop(bore)),
            kpa(limit)
        ),
        None => format!("No usual hose is wide enough: it needs {}; {heat}.", mm(needed)),
    };
    worked.result("mixed-temperature", "Behind the injection", mixed, Temperature, "°C");
    worked.result("needed-bore", "Bore that takes three quarters of what is left to it", needed, Length, "mm");
    // The rule of the trade goes from the dry bore, which goes by the speed of the gas.
    let dry = (4.0 * flow / (density_roughly(hot) * PI * DRY_SPEED)).sqrt();
    let rule = BY_RULE * dry;
    worked.result("rule-bore", "Bore by the rule of 1.4 times the dry one", rule, Length, "mm");
    worked.working(
        "bore = 1.4 · dry bore, the gas at 50 m/s in it",
        format!("1.4 · {} = {}", mm(dry), mm(rule)),
        "[Trade] 2.5; the speed common practice, no source",
    );
    if chosen.is_some_and(|bore| bore < 0.9 * rule) {
        worked.flags.push(format!(
            "The rule of 1.4 times the dry bore gives {}: quieter, and with room for a hose that swells or gathers soot. The larger one is never wrong.",
            mm(rule)
        ));
    }
    let shown =
        chosen.into_iter().map(|bore| (bore, "chosen")).chain(given.maybe("hose-bore").map(|bore| (bore, "there")));
    for (bore, which) in shown {
        let key = format!("back-pressure-{which}-{}", mm(bore).replace(' ', "-"));
        let of = if which == "there" { "the hose that is there" } else { "the hose chosen" };
        worked.result(
            key,
            format!("Back pressure with {of}, {}", mm(bore)),
            hose.drop(bore),
            PressureDifference,
            "kPa",
        );
    }
    let rows = HOSES.into_iter().filter(|bore| (0.4..2.5).contains(&(bore / needed)));
    worked.tables.push(table(
        "Hoses on sale",
        &["bore", "gas", "back pressure", "fits"],
        rows.map(|bore| {
            let fits = if bore >= needed {
                "yes"
            } else if hose.drop(bore) <= limit {
                "no margin"
            } else {
                "no"
            };
            vec![mm(bore), show(hose.speed(bore), Velocity, "m/s"), kpa(hose.drop(bore)), fits.into()]
        })
        .collect(),
    ));
    worked.working(
        "heat of the gas = heat into the water + what evaporates of it, the gas leaving saturated",
        format!(
            "{} of gas at {}, {} of sea water at {}: {}; the spray reaches {:.1} % of the gas",
            show(flow, MassFlow, "kg/s"),
            celsius(hot),
            show(water, MassFlow, "kg/s"),
            celsius(cold),
            celsius(mixed),
            100.0 * WETTING * sprayed(water, flow),
        ),
        "balance of enthalpy over [IF97], [IAPWS08] and [NASA-thermo]; the law of her elbow",
    );
    let bore = chosen.unwrap_or(needed);
    worked.working(
        "Δp = f (L/D) ρ v²/2 · (1 + 0.1 water/gas) + silencer + lift",
        format!(
            "in {} with L = {}: {} for the hose, water/gas = {:.1}; {} for silencer and a lift of {}",
            mm(bore), show(straightened(hose.length, bore, hose.bends.0, hose.bends.1), Length, "m"),
            kpa(hose.drop(bore) - hose.besides), water / flow, kpa(hose.besides), mm(lift),
        ),
        "[White7] eq. 6.10 and [Zigrang1982]; twice with water in it, [Trade] 2.5; the lift about half full, from memory",
    );
    if mixed > HOSE_LIMIT {
        worked.flags.push(format!(
            "At {} no rubber hose lasts ({} at most): too little water.",
            celsius(mixed),
            celsius(HOSE_LIMIT)
        ));
    } else if mixed > ALARM_TEMPERATURE {
        worked.flags.push(format!(
            "At {} the usual alarm of {} would sound all the time: too little water.",
            celsius(mixed),
            celsius(ALARM_TEMPERATURE)
        ));
    }
    if let Some(bore) = given.maybe("hose-bore").filter(|bore| hose.drop(*bore) > limit) {
        worked.flags.push(format!(
            "The hose that is there, {}, costs {} where {} is allowed.",
            mm(bore),
            kpa(hose.drop(bore)),
            kpa(limit)
        ));
    }
    worked.step_with_care(
        "Inject at least 200 mm above the waterline, let the hose fall all the way to the silencer and to the outlet, and put an alarm for heat on it.",
        "Water that cannot fall away runs back into the cylinders. A leaking exhaust kills by carbon monoxide: alarms in the cabins.",
    );
    worked.step("Measure the back pressure at full load before the water comes in: that counts, not this sum.");
    Ok(worked)
}
