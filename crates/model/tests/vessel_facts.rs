//! Facts that people tell of such engines, each tried on a vessel that it fits; all common practice, no source, as plausibility
//! ranges of `reference/check-values.toml`, area `vessel_facts`.

mod common;

use common::*;
use model::steady::Model;
use parts::kind::Probe;
use parts::laws::Site;
use physics::flow::velocity;

/// A slow-turning six-cylinder engine whose thermostat, relief valve and coolers are set as such engines' are.
const SLOW_SIX: &str = r#"
[vessel]
name = "a slow six"
[engine.main]
kind = "diesel"
cylinders = 6
rated = { power = "135 kW", speed = "1000 rpm" }
[part.thermostat]
kind = "thermostat"
opens = "57 C"
[part.relief-valve]
kind = "relief-valve"
cracks = "31 psi"
[part.gearbox]
kind = "gearbox"
reduction = 3.1
[part.oil-cooler]
kind = "oil-cooler"
clean-conductance = "0.4 kW/K"
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "oil-cooler.water", "exchanger", "elbow"]
"#;

/// What each fact is tried on, and what comes out in its unit; none where no figure of ours says it.
fn ours(id: &str) -> Option<f64> {
    let cruise = |model: &mut Model| {
        let at = point(model, 0.8, 1.0, 15.0);
        solved(model, &at)
    };
    let mut slow = model(SLOW_SIX);
    let state = cruise(&mut slow);
    let of =
        |probe: Probe, kind: &str| slow.probe(&state, part(&slow.plant, kind), probe).expect("it is led somewhere");
    let figure = |kind: &str, name: &str| slow.figures[place(&slow, kind, name)];
    Some(match id {
        "ves.oil.pressure" => (of(Probe::InletPressure(1), "diesel") - state.point.atmosphere) / 6_894.757,
        // Where such an engine's oil thermometer sits: behind the cooler.
        "ves.temp.oil" => of(Probe::InletTemperature(1), "diesel") - ICE,
        "ves.temp.water" => of(Probe::OutletTemperature(0), "diesel") - ICE,
        "ves.sump" => figure("sump", "volume") * 1e3,
        "ves.gear" => figure("gearbox", "reduction"),
        "ves.rw.rise" => {
            // The demonstration vessel, whose raw water runs through three coolers.
            let mut marram = model(MARRAM);
            let at = point(&marram, 1.0, 1.0, 15.0);
            let state = solved(&mut marram, &at);
            let exchanger = part(&marram.plant, "exchanger");
            marram.probe(&state, exchanger, Probe::OutletTemperature(0))? - state.point.sea
        }
        "ves.suction.speed" => {
            // The bound that the margins put to a suction hose.
            let hose = parts::catalogue::find("hose")?;
            hose.margins.iter().find(|margin| margin.name == "suction velocity")?.most
        }
        // The open area of a basket is in no figure of ours (a strainer is told by its drop), nor is a thumb's push on a belt.
        "ves.strainer" | "ves.belt.deflect" => return None,
        other => panic!("{other} is tried on nothing"),
    })
}

#[test]
fn every_fact_is_plausible_of_a_vessel_it_fits() {
    let text = include_str!("../../../reference/check-values.toml");
    let table: toml::Table = text.parse().expect("check values are TOML");
    let checks = table["check"].as_array().expect("a list");
    let mut tried = 0;
    let mut wrong = Vec::new();
    for check in checks.iter().filter(|check| check["area"].as_str() == Some("vessel_facts")) {
        let id = check["id"].as_str().expect("an id");
        let number = |key: &str| check[key].as_float().expect("a number");
        let Some(ours) = ours(id) else { continue };
        tried += 1;
        if (ours - number("expected")).abs() > number("abs_tol") {
            wrong.push(format!("{id}: {} ± {}, we have {ours:.2}", number("expected"), number("abs_tol")));
        }
    }
    assert!(tried >= 7, "{tried} tried");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_shipped_vessel_draws_its_raw_water_faster_than_is_common() {
    let mut wrong = Vec::new();
    for text in [MARRAM, REFERENCE, TEN, EELGRASS, SAMPHIRE, ORACHE] {
        let mut model = model(text);
        let at = point(&model, 1.0, 1.0, 15.0);
        let state = solved(&mut model, &at);
        let drawn = |site: &Site<f64>, bore: f64| velocity(site.flow[0], bore, 1025.0);
        for (id, hose) in model.plant.parts.iter().enumerate().filter(|(_, part)| part.kind.name == "hose") {
            let id = plant::plant::PartId(id);
            let bore = hose.kind.parameters.iter().position(|p| p.name == "bore").expect("a hose has a bore");
            let bore = hose.figures[bore].value;
            let speed = model.ask(&model.figures, &state, id, |site| {
                (site.outlet_pressure[0] < site.point.atmosphere).then(|| drawn(site, bore))
            });
            if let Some(speed) = speed.filter(|speed| *speed > 2.5) {
                wrong.push(format!("{} of {}: {speed:.2} m/s", hose.name, model.plant.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
