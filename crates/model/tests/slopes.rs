//! Exact slopes against differences of states solved again.

mod common;

use common::*;
use model::point::{from_array, to_array};
use model::steady::{Model, State};
use parts::laws::Point;
use plant::plant::Tap;
use solver::{Options, Solver};

/// States solved to a tolerance that leaves differences their digits.
struct Exact {
    solver: Solver,
    options: Options,
}

impl Exact {
    fn new(model: &Model, at: Point<f64>) -> Exact {
        let solver = Solver::new(&model.balance(&model.figures, at)).expect("sound");
        Exact { solver, options: Options { tolerance: 1e-11, step_tolerance: 1e-11, ..Options::default() } }
    }

    fn solve(&mut self, model: &Model, figures: &[f64], at: Point<f64>, near: &State) -> State {
        let mut x = near.x.clone();
        self.solver.solve(&model.balance(figures, at), &mut x, &self.options).expect("a state nearby");
        State { x, point: at, iterations: 0, held: None }
    }
}

/// Something that can be moved: its name, and one standard deviation of it [its unit].
struct Input {
    name: String,
    sigma: f64,
}

/// Every parameter of the plant, then every part of the operating point.
fn inputs(model: &Model) -> Vec<Input> {
    let mut all = Vec::new();
    for part in &model.plant.parts {
        for (figure, parameter) in part.figures.iter().zip(part.kind.parameters) {
            let turn = if figure.spread.is_factor() { figure.value } else { 1.0 };
            // What is taken as exact is moved by a hundredth, and what is nothing by a ten-thousandth of its range.
            let span = (parameter.range.1 - parameter.range.0).min(100.0 * parameter.range.0.abs().max(1e-2));
            let sigma = match figure.spread.sigma() * turn.abs() {
                0.0 if figure.value == 0.0 => 1e-4 * span,
                0.0 => 1e-2 * figure.value.abs(),
                sigma => sigma,
            };
            all.push(Input { name: format!("{}.{}", part.name, parameter.name), sigma });
        }
    }
    let spreads = [2.0, 0.05, 1.0, 2.0, 1e3, 0.02];
    let names = ["speed", "load", "sea", "air", "atmosphere", "pitch"];
    all.extend(names.into_iter().zip(spreads).map(|(name, sigma)| Input { name: name.into(), sigma }));
    all
}

/// Readings of every tap with one input moved.
fn moved(model: &Model, exact: &mut Exact, base: &State, taps: &[Tap], input: usize, by: f64) -> Vec<f64> {
    let mut figures = model.figures.clone();
    let mut at = to_array(&base.point);
    match input.checked_sub(figures.len()) {
        None => figures[input] += by,
        Some(k) => at[k] += by,
    }
    let state = exact.solve(model, &figures, from_array(at), base);
    taps.iter().map(|&tap| model.read(&state, tap)).collect()
}

/// Compares at one operating point; tells how many slopes were compared and how many stood at a corner.
fn compare(text: &str, speed: f64, pitch: f64) -> (usize, usize) {
    let mut model = model(text);
    let at = Point { pitch, ..point(&model, speed, 1.0, 15.0) };
    let rough = solved(&mut model, &at);
    let mut exact = Exact::new(&model, at);
    let figures = model.figures.clone();
    let base = exact.solve(&model, &figures, at, &rough);
    let taps: Vec<Tap> = model.plant.gauges.iter().map(|gauge| gauge.tap).collect();
    let here: Vec<f64> = taps.iter().map(|&tap| model.read(&base, tap)).collect();
    let slopes = model.slopes(&figures, &base, &taps).expect("slopes");
    let (mut compared, mut corners, mut faults) = (0, 0, Vec::new());
    for (k, input) in inputs(&model).iter().enumerate() {
        let step = 0.02 * input.sigma;
        let mut around = |by: f64| moved(&model, &mut exact, &base, &taps, k, by);
        let ([a, b], [c, d]) = ([around(step), around(-step)], [around(step / 2.0), around(-step / 2.0)]);
        for (g, gauge) in model.plant.gauges.iter().enumerate() {
            let exact = if k < figures.len() { slopes[g].parameters[k] } else { slopes[g].point[k - figures.len()] };
            // Richardson's rule: the error of a difference falls with the fourth power of its step.
            let (wide, near) = ((a[g] - b[g]) / (2.0 * step), (c[g] - d[g]) / step);
            let difference = (4.0 * near - wide) / 3.0;
            let least = 0.01 * (gauge.accuracy / 2.0).hypot(gauge.noise) / input.sigma;
            let allowed = 1e-4 * exact.abs().max(least);
            // A law with a corner between the two steps has other slopes either side.
            let corner = ((a[g] - here[g]) / step - (here[g] - b[g]) / step).abs() > 0.05 * exact.abs().max(least);
            compared += 1;
            if corner {
                corners += 1;
            } else if (exact - difference).abs() > allowed {
                faults.push(format!(
                    "{} in {}: exact {exact:e}, difference {difference:e}, allowed {allowed:e}",
                    gauge.name, input.name
                ));
            }
        }
    }
    println!("{compared} slopes at {speed} of rated, {corners} at a corner, {} wrong", faults.len());
    assert!(faults.is_empty(), "{} of {compared}:\n{}", faults.len(), faults.join("\n"));
    (compared, corners)
}

#[test]
fn slopes_are_exact_at_cruise() {
    let (compared, corners) = compare(MARRAM, 0.8, 1.0);
    assert!(compared > 3_000 && corners * 200 < compared, "{corners} corners of {compared}");
}

#[test]
fn slopes_are_exact_at_idle() {
    let (compared, corners) = compare(MARRAM, 0.4, 1.0);
    assert!(compared > 3_000 && corners * 200 < compared, "{corners} corners of {compared}");
}

#[test]
fn slopes_are_exact_at_every_pitch() {
    for pitch in [1.0, 0.55, 0.1] {
        let (compared, corners) = compare(THRIFT, 0.8, pitch);
        assert!(compared > 2_000 && corners * 100 < compared, "{corners} corners of {compared} at pitch {pitch}");
    }
}
