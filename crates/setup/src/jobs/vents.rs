//! Air of the engine space: what burns, what carries heat off, and the openings or the fan for it.

use super::asked;
use super::shared::{or, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::Worked;
use measure::quantity::Quantity::{
    Area, Length, MassFlow, Power, PressureDifference, Temperature, TemperatureDifference, Velocity, VolumeFlow,
};
use physics::constants::ATMOSPHERE;
use physics::engine::USUAL_ROOM_SHARE;
use physics::gas;
use physics::ventilation::{
    AREA_RULE, COMBUSTION_AIR, FAN_RULE, GENEROUS_RULE, air_for_heat, draught, opening_area, opening_drop, rise,
};

pub const JOB: Job = Job {
    word: "vents",
    title: "Air of the engine space",
    about: "How much air the engine space needs to burn and to carry heat off, and how large vents or fan must be.",
    group: Group::Size,
    kinds: &["engine-space"],
    task: None,
    asks: &[
        asked::ENGINE_POWER,
        Ask::one(
            "heat-to-air",
            "Heat that engine, exhaust and machines give to the space, where it is known",
            Power,
            (10.0, 1e6),
        )
        .like("8.2 kW")
        .may(),
        Ask::one("combustion-air", "Air that the engine burns, by its data sheet", MassFlow, (1e-3, 20.0))
            .like("0.085 kg/s")
            .may(),
        Ask::one("outside-air", "Hottest air outside", Temperature, (250.0, 330.0))
            .like("35 °C")
            .usual("35 °C", "ISO 8861, from memory"),
        Ask::one("air-rise", "How much warmer the space may be", TemperatureDifference, (2.0, 40.0))
            .like("12.5 K")
            .usual("12.5 K", "ISO 8861, from memory"),
        Ask::one("opening-speed", "Most speed of the air in the openings", Velocity, (0.5, 15.0))
            .like("3 m/s")
            .usual("3 m/s", "[Trade] 2.6, 3 to 5 m/s"),
        Ask::one("vent-height", "Height of the way out over the way in", Length, (0.0, 15.0))
            .like("1.5 m")
            .usual("0 m", "none told")
            .of_plant(&[("engine-space", "height")]),
        Ask::one("inlet-area", "Free area in that is there, louvres and nets taken off", Area, (1e-4, 5.0))
            .like("300 cm²")
            .may()
            .of_plant(&[("engine-space", "inlet_area")]),
        Ask::one("outlet-area", "Free area out that is there", Area, (1e-4, 5.0))
            .like("300 cm²")
            .may()
            .of_plant(&[("engine-space", "outlet_area")]),
    ],
    work,
};

/// Efficiency of a small diesel at full load [1], from memory: what its heat to the room is reckoned from.
const EFFICIENCY: f64 = 0.38;
/// Flow below which an opening's law runs straight [kg/s].
const REST: f64 = 1e-4;
/// Depression that some engines' makers allow in the space [Pa]; one maker 1.2 kPa, far less is common. From memory.
const MOST_DEPRESSION: f64 = 100.0;

fn hourly(flow: f64) -> String {
    show(flow, VolumeFlow, "m³/h")
}

fn cm2(area: f64) -> String {
    show(area, Area, "cm²")
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let power = given.value("engine-power")?;
    let (outside, over) = (given.value("outside-air")?, given.value("air-rise")?);
    let density = gas::density(0.0, outside, ATMOSPHERE);
    let heat = or(given, "heat-to-air", USUAL_ROOM_SHARE * power / EFFICIENCY);
    let burnt = or(given, "combustion-air", COMBUSTION_AIR * power) / density;
    let carried = air_for_heat(heat, over, density);
    let speed = given.value("opening-speed")?;
    let inward = burnt + carried;
    let (inlet, outlet) = (inward / speed, carried * (outside + over) / outside / speed);
    let mut worked = Worked {
        says: format!(
            "It needs {} in: {} to burn and {} to carry {} off. With {} in the openings that is {} free in and {} out.",
            hourly(inward),
            hourly(burnt),
            hourly(carried),
            show(heat, Power, "kW"),
            show(speed, Velocity, "m/s"),
            cm2(inlet),
            cm2(outlet)
        ),
        ..Worked::default()
    };
    worked.result("combustion", "Air that burns", burnt, VolumeFlow, "m³/h");
    worked.result("heat-air", "Air that carries heat off", carried, VolumeFlow, "m³/h");
    worked.result("air", "All air in", inward, VolumeFlow, "m³/h");
    worked.result("inlet", "Free area in", inlet, Area, "cm²");
    worked.result("outlet", "Free area out", outlet, Area, "cm²");
    worked.working(
        "heat air = heat / (ρ c ΔT)",
        format!(
            "{} over {} at ρ = {density:.3} kg/m³: {}",
            show(heat, Power, "kW"),
            show(over, TemperatureDifference, "K"),
            hourly(carried)
        ),
        "[Trade] 2.6; the rise ISO 8861, from memory",
    );
    if given.maybe("heat-to-air").is_none() {
        worked.working(
            "heat = 5 % of the fuel's heat",
            format!("0.05 · {} / 0.38 = {}", show(power, Power, "kW"), show(heat, Power, "kW")),
            "common practice, no source; a dry exhaust that is badly lagged gives more",
        );
    }
    if given.maybe("combustion-air").is_none() {
        worked.working(
            "combustion air = 0.0023 kg/(kW s)",
            format!("{} / {density:.3} = {}", show(COMBUSTION_AIR * power, MassFlow, "kg/s"), hourly(burnt)),
            "ISO 8861, from memory; an engine that is not blown burns a third less",
        );
    }
    let depression = opening_drop(inward * density, inlet, density, REST);
    worked.working(
        "Δp = (ρ/2) (Q / (0.6 A))²",
        format!("{} in such an inlet", show(depression, PressureDifference, "Pa")),
        "[White7] sec. 6.12",
    );
    by_itself(given, carried, density, outside, over, &mut worked)?;
    worked.tables.push(table(
        "Rules of thumb for the same engine, five times apart: the balance above counts",
        &["rule", "air", "free area, in and as much out"],
        vec![
            vec![
                "0.07 m³/min and 1.65 cm² for each kW, with a fan".into(),
                hourly(FAN_RULE * power),
                cm2(AREA_RULE * power),
            ],
            vec![
                "9.25 ft³/min for each hp, combustion included".into(),
                hourly(GENEROUS_RULE * power),
                cm2(GENEROUS_RULE * power / speed),
            ],
            vec!["this balance".into(), hourly(inward), cm2(inlet)],
        ],
    ));
    there(given, (inward, carried, burnt, heat), density, &mut worked);
    worked.step("Lead the cool air low to the far side of the engine and take the hot air off high above it, so that it sweeps the space; keep the way in away from the way out and from the exhaust.");
    worked.step_with_care(
        "With a fan, one that blows out for the heat air and runs with the engine; try it at full load with the door shut, then open the door: nothing may change.",
        "A space that is sucked hard draws exhaust gas out of stoves and heaters into the cabins. Vents must have flaps that shut from outside in a fire.",
    );
    Ok(worked)
}

/// Whether warm air rises out by itself.
fn by_itself(
    given: &Given,
    carried: f64,
    density: f64,
    outside: f64,
    over: f64,
    worked: &mut Worked,
) -> Result<(), Refused> {
    let height = given.value("vent-height")?;
    let hot = gas::density(0.0, outside + over, ATMOSPHERE);
    let pull = draught(density, hot, height);
    if height <= 0.0 || pull <= 0.0 {
        worked.flags.push(
            "With no height between the ways in and out nothing rises by itself: the heat air needs a fan.".into(),
        );
        return Ok(());
    }
    // The pull is shared by both openings alike.
    let area = opening_area(carried, pull / 2.0, density);
    worked.result(
        "passive-area",
        "Free area in and as much out with which the heat air rises by itself",
        area,
        Area,
        "cm²",
    );
    worked.working(
        "pull = (ρ outside − ρ inside) g h, half of it at each opening",
        format!("{} over {}: {}", show(pull, PressureDifference, "Pa"), show(height, Length, "m"), cm2(area)),
        "hydrostatics, [White7] eq. 2.14",
    );
    Ok(())
}

/// What the openings that are there do.
fn there(given: &Given, (inward, carried, burnt, heat): (f64, f64, f64, f64), density: f64, worked: &mut Worked) {
    if let Some(area) = given.maybe("inlet-area") {
        let depression = opening_drop(inward * density, area, density, REST);
        worked.result(
            "depression-there",
            "Depression with the inlet that is there, all air drawn through it",
            depression,
            PressureDifference,
            "Pa",
        );
        if depression > MOST_DEPRESSION {
            worked.flags.push(format!("The inlet that is there is too small: {} of depression; the engine breathes hard and gas is drawn out of stoves.", show(depression, PressureDifference, "Pa")));
        }
        // With nothing but the engine drawing, what it burns is all that carries heat.
        worked.result(
            "rise-there",
            "How much warmer the space gets if the engine alone draws air",
            rise(heat, burnt, density),
            TemperatureDifference,
            "K",
        );
    }
    if let Some(area) = given.maybe("outlet-area") {
        let depression = opening_drop(carried * density, area, density, REST);
        if depression > MOST_DEPRESSION {
            worked.flags.push(format!("The way out that is there is too small: {} to push the heat air through it. Air that cannot leave cannot enter.", show(depression, PressureDifference, "Pa")));
        }
    }
}
