//! A vessel with one of its causes beside the same vessel sound: every node, flow and inner quantity at one point.

use diagnosis::hypothesis;
use model::steady::{Model, State};
use model::under::Change;
use model::warmth::Warmth;
use parts::kind::Probe;
use plant::evidence::{Evidence, ToldPoint};
use plant::plant::{PartId, Plant};

/// Prints both. `fault` is "part.cause@percent", `speed` [rpm], `minutes` since a cold start, or less than nothing for
/// settled.
pub fn show(plant: &Plant, fault: &str, speed: &str, minutes: &str) -> Result<(), String> {
    let number = |text: &str| text.parse::<f64>().map_err(|_| format!("{text}: which number?"));
    let (cause, percent) = fault.split_once('@').ok_or("which? part.cause@percent")?;
    let severity = number(percent)? / 100.0;
    let minutes = number(minutes)?;
    let mut model = Model::new(plant).map_err(|e| format!("{e:?}"))?;
    let told = ToldPoint { speed: Some(number(speed)? * std::f64::consts::PI / 30.0), ..ToldPoint::default() };
    let (point, _) = model::point::told(plant, &told);
    let all = hypothesis::all(plant, &model.layout, &Evidence::default());
    let found = all.iter().find(|h| crate::cases::label(plant, h.what) == cause).ok_or("no such cause")?;
    let figures = model.figures.clone();
    let changed = Change { moves: found.moves.clone(), severity }.apply(&figures);
    let warmth = if minutes < 0.0 { Warmth::Settled } else { Warmth::Started(minutes) };
    let mut solve = |figures: &[f64]| model.solve_warm(figures, &point, warmth, None).map_err(|e| e.to_string());
    let (sound, sick) = (solve(&figures)?, solve(&changed)?);
    let of = |state: &State, k: usize| state.x[k];
    for (n, node) in plant.nodes.iter().enumerate() {
        let kpa = |state: &State| (of(state, 2 * n) - 101_325.0) / 1e3;
        let celsius = |state: &State| of(state, 2 * n + 1) - 273.15;
        let (a, b) = (&sound, &sick);
        let name = format!("{} {}", node.circuit.name(), node.name);
        println!("{name:60} {:9.2} {:9.2} kPa {:8.1} {:8.1} °C", kpa(a), kpa(b), celsius(a), celsius(b));
    }
    for (f, flow) in plant.flows.iter().enumerate() {
        let name = format!("{} {}", plant[flow.part].name, plant[flow.part].kind.passages[flow.passage].name);
        let k = 2 * plant.nodes.len() + f;
        println!("{name:60} {:9.4} {:9.4} kg/s", of(&sound, k), of(&sick, k));
    }
    for (id, part) in plant.parts.iter().enumerate() {
        for (u, unknown) in part.kind.unknowns.iter().enumerate() {
            let see = |state: &State| model.probe(state, PartId(id), Probe::Unknown(u)).unwrap_or(f64::NAN);
            println!("{:60} {:9.3} {:9.3}", format!("{} {}", part.name, unknown.name), see(&sound), see(&sick));
        }
    }
    println!("unsteady: {:?}, {:?}", model.unsteady(&sound), model.unsteady(&sick));
    Ok(())
}
