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
    let load = args.get(2).and_then(|s| s.parse::<f64>().ok());
    let at = ToldPoint { speed: Some(rated * share), load, ..ToldPoint::default() };
    let (point, _) = model::point::told(&plant, &at);
    let figures = model.figures.clone();
    let start = std::time::Instant::now();
    let state = match model.solve(&figures, &point, None) {
        Ok(state) => state,
        Err(e) => return eprintln!("{e}"),
    };
    println!("cold {:?}, {} steps", start.elapsed(), state.iterations);
    let start = std::time::Instant::now();
    let warm = model.solve(
        &figures,
        &model::point::from_array({
            let mut a = model::point::to_array(&point);
            a[0] *= 1.01;
            a
        }),
        Some(&state),
    );
    println!("warm {:?}, {:?} steps", start.elapsed(), warm.map(|s| s.iterations));
    let taps: Vec<_> = plant.gauges.iter().map(|g| g.tap).collect();
    let start = std::time::Instant::now();
    let _ = model.slopes(&figures, &state, &taps);
    println!("slopes {:?}", start.elapsed());
    let mut model2 = Model::new(&plant).expect("made before");
    let n = model.layout.len();
    let balance = model.balance(&figures, point);
    let (mut gaps, mut slopes) = (vec![0.0; n], vec![0.0; solver::System::pattern(&balance).len()]);
    println!("entries {}", slopes.len());
    let start = std::time::Instant::now();
    for _ in 0..1000 {
        solver::System::evaluate(&balance, &state.x, &mut gaps, &mut slopes);
    }
    println!("evaluate {:?}", start.elapsed() / 1000);
    let start = std::time::Instant::now();
    for _ in 0..1000 {
        solver::System::gaps(&balance, &state.x, &mut gaps);
    }
    println!("gaps {:?}", start.elapsed() / 1000);
    let mut solver = solver::Solver::new(&balance).unwrap();
    let start = std::time::Instant::now();
    for _ in 0..1000 {
        solver.factor(&balance, &state.x).unwrap();
    }
    println!("factor {:?}", start.elapsed() / 1000);
    let start = std::time::Instant::now();
    for _ in 0..1000 {
        solver.adjoint(&mut gaps);
    }
    println!("adjoint {:?}", start.elapsed() / 1000);
    let mut at = point;
    let start = std::time::Instant::now();
    let mut steps = 0;
    for k in 0..1000 {
        at.speed = point.speed * (1.0 + 0.002 * f64::from(k % 10));
        steps += model2.solve(&figures, &at, Some(&state)).unwrap().iterations;
    }
    println!("warm {:?} {} steps", start.elapsed() / 1000, steps);
    let start = std::time::Instant::now();
    for _ in 0..1000 {
        model2.slopes(&figures, &state, &taps).unwrap();
    }
    println!("slopes {:?}", start.elapsed() / 1000);
    for (n, node) in plant.nodes.iter().enumerate() {
        println!(
            "{:12} {:40} {:9.2} kPa {:8.2} C",
            node.circuit.name(),
            node.name,
            (state.x[2 * n] - 101_325.0) / 1e3,
            state.x[2 * n + 1] - 273.15
        );
    }
    for (f, flow) in plant.flows.iter().enumerate() {
        let kind = plant[flow.part].kind;
        println!(
            "{:12} {:28} {:10} {:9.4} kg/s",
            flow.circuit.name(),
            plant[flow.part].name,
            kind.passages[flow.passage].name,
            state.x[2 * plant.nodes.len() + f]
        );
    }
    for (id, part) in plant.parts.iter().enumerate() {
        for (u, unknown) in part.kind.unknowns.iter().enumerate() {
            let value =
                model.probe(&state, plant::plant::PartId(id), parts::kind::Probe::Unknown(u)).unwrap_or(f64::NAN);
            println!("{:28} {:20} {:12.4}", part.name, unknown.name, value);
        }
        let heat = model.balance(&figures, point).heat(plant::plant::PartId(id), &state.x);
        if heat.iter().any(|h| h.abs() > 1.0) {
            println!("{:28} heat {:?}", part.name, heat.map(|h| (h / 10.0).round() / 100.0));
        }
    }
    println!("unsteady {:?}", model.unsteady(&state));
}
