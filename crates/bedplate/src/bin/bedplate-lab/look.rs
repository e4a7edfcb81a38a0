//! Every node, flow and inner quantity of a vessel at a few speeds.

use model::steady::Model;
use plant::evidence::ToldPoint;

/// Prints what the model makes of a vessel.
pub fn look(args: &[String]) {
    let Some(path) = args.first() else { return eprintln!("which vessel?") };
    let Ok(text) = std::fs::read_to_string(path) else { return eprintln!("cannot read {path}") };
    let (plant, findings) = plant::reader::read(&text);
    for finding in &findings {
        eprintln!("{}", finding.problem);
    }
    let Some(plant) = plant else { return };
    let mut model = match Model::new(&plant) {
        Ok(model) => model,
        Err(e) => return eprintln!("{e:?}"),
    };
    println!("{} unknowns, {} parts, {} parameters", model.layout.len(), plant.parts.len(), model.layout.parameters());
    let rated = plant.rated_speed;
    let share = args.get(1).and_then(|s| s.parse::<f64>().ok()).unwrap_or(0.9);
    let at = ToldPoint { speed: Some(rated * share), ..ToldPoint::default() };
    let (point, _) = model::point::told(&plant, &at);
    let figures = model.figures.clone();
    let start = std::time::Instant::now();
    let state = match model.solve(&figures, &point, None) {
        Ok(state) => state,
        Err(e) => return eprintln!("{e}"),
    };
    println!("cold {:?}, {} steps", start.elapsed(), state.iterations);
    let start = std::time::Instant::now();
    let warm = model.solve(&figures, &model::point::from_array({ let mut a = model::point::to_array(&point); a[0] *= 1.01; a }), Some(&state));
    println!("warm {:?}, {:?} steps", start.elapsed(), warm.map(|s| s.iterations));
    let taps: Vec<_> = plant.gauges.iter().map(|g| g.tap).collect();
    let start = std::time::Instant::now();
    let _ = model.slopes(&figures, &state, &taps);
    println!("slopes {:?}", start.elapsed());
    for (n, node) in plant.nodes.iter().enumerate() {
        println!("{:12} {:40} {:9.2} kPa {:8.2} C", node.circuit.name(), node.name, (state.x[2 * n] - 101_325.0) / 1e3, state.x[2 * n + 1] - 273.15);
    }
    for (f, flow) in plant.flows.iter().enumerate() {
        let kind = plant[flow.part].kind;
        println!("{:12} {:28} {:10} {:9.4} kg/s", flow.circuit.name(), plant[flow.part].name, kind.passages[flow.passage].name, state.x[2 * plant.nodes.len() + f]);
    }
    for (id, part) in plant.parts.iter().enumerate() {
        for (u, unknown) in part.kind.unknowns.iter().enumerate() {
            let value = model.probe(&state, plant::plant::PartId(id), parts::kind::Probe::Unknown(u)).unwrap_or(f64::NAN);
            println!("{:28} {:20} {:12.4}", part.name, unknown.name, value);
        }
        let heat = model.balance(&figures, point).heat(plant::plant::PartId(id), &state.x);
        if heat.iter().any(|h| h.abs() > 1.0) {
            println!("{:28} heat {:?}", part.name, heat.map(|h| (h / 10.0).round() / 100.0));
        }
    }
    println!("unsteady {:?}", model.unsteady(&state));
}
