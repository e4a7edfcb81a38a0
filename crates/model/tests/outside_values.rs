//! Networks and marches that others computed: pipes, pump and lumps from `physics`, through `solver`.
//!
//! Our kinds state a pump by what it delivers, not by two coefficients, and a hose has no second branch without a
//! fitting; so these circuits are written down here as equations, with the same laws the kinds use.

mod common;

use common::{Check, ICE, agrees, checks};
use physics::constants::GRAVITY;
use physics::number::{Dual, Number};
use physics::{flow, fresh_water, pumps, transient};
use solver::{Options, Solver, System};
use std::f64::consts::PI;

/// Equations stated once over any number type; every unknown may stand in every one.
trait Laws {
    fn gaps<N: Number>(&self, x: &[N], gaps: &mut [N]);
}

struct Circuit<L> {
    laws: L,
    sizes: Vec<f64>,
    gap_sizes: Vec<f64>,
    pattern: Vec<(usize, usize)>,
    bounds: Vec<(f64, f64)>,
}

impl<L: Laws> Circuit<L> {
    fn new(laws: L, sizes: &[f64], gap_sizes: &[f64]) -> Self {
        let n = sizes.len();
        let pattern = (0..n * n).map(|k| (k / n, k % n)).collect();
        let bounds = vec![(f64::NEG_INFINITY, f64::INFINITY); n];
        Circuit { laws, sizes: sizes.to_vec(), gap_sizes: gap_sizes.to_vec(), pattern, bounds }
    }

    #[track_caller]
    fn solved(&self, start: &[f64]) -> Vec<f64> {
        let mut x = start.to_vec();
        Solver::new(self).expect("sound").solve(self, &mut x, &Options::default()).expect("has a solution");
        x
    }
}

impl<L: Laws> System for Circuit<L> {
    fn len(&self) -> usize {
        self.sizes.len()
    }
    fn pattern(&self) -> &[(usize, usize)] {
        &self.pattern
    }
    fn evaluate(&self, x: &[f64], gaps: &mut [f64], slopes: &mut [f64]) {
        let n = x.len();
        let seeded: Vec<Dual> = x.iter().enumerate().map(|(k, &x)| Dual::variable(x, k)).collect();
        let mut sloped = vec![Dual::new(0.0); n];
        self.laws.gaps(&seeded, &mut sloped);
        for (row, gap) in sloped.iter().enumerate() {
            gaps[row] = gap.value();
            (0..n).for_each(|column| slopes[row * n + column] = gap.slope(column));
        }
    }
    fn gaps(&self, x: &[f64], gaps: &mut [f64]) {
        self.laws.gaps(x, gaps);
    }
    fn sizes(&self) -> &[f64] {
        &self.sizes
    }
    fn gap_sizes(&self) -> &[f64] {
        &self.gap_sizes
    }
    fn bounds(&self) -> &[(f64, f64)] {
        &self.bounds
    }
}

struct Pipe {
    length: f64,
    bore: f64,
    roughness: f64,
    sum_k: f64,
}

impl Pipe {
    fn all(check: &Check, roughness: &str) -> Vec<Pipe> {
        let (bores, lengths, sums) = (check.list("bores_m"), check.list("lengths_m"), check.list("sum_K"));
        let roughness = check.get(roughness);
        (0..bores.len()).map(|k| Pipe { length: lengths[k], bore: bores[k], roughness, sum_k: sums[k] }).collect()
    }

    fn drop<N: Number>(&self, mass_flow: N, density: f64, viscosity: f64) -> N {
        let n = N::constant;
        let Pipe { length, bore, roughness, sum_k } = *self;
        flow::pipe_drop(mass_flow, n(length), n(bore), n(roughness), n(sum_k), n(density), n(viscosity))
    }
}

/// Density of water in the networks [kg/m³]; heads and volumes do not depend on it.
const WATER: f64 = 998.2;

/// A suction pipe, a centrifugal pump, and two coolers side by side, back to where the water came from and up.
struct PumpAndTwoBranches {
    pipes: Vec<Pipe>,
    viscosity: f64,
    shut_off: f64,
    curvature: f64,
    lift: f64,
    /// Second branch open?
    open: bool,
}

impl PumpAndTwoBranches {
    fn of(check: &Check, open: bool) -> Self {
        let head = WATER * GRAVITY;
        PumpAndTwoBranches {
            pipes: Pipe::all(check, "roughness_m"),
            viscosity: check.get("nu_m2_per_s") * WATER,
            shut_off: check.get("pump_H0_m") * head,
            curvature: check.get("pump_coefficient_m_per_Lps2") * 1e6 * head,
            lift: check.get("static_head_m") * head,
            open,
        }
    }

    fn rise<N: Number>(&self, volume_flow: N) -> N {
        let n = N::constant;
        pumps::centrifugal_rise(n(1.0), n(self.shut_off), n(self.curvature), volume_flow)
    }
}

impl Laws for PumpAndTwoBranches {
    /// Unknown: mass flow of the pump and of either branch [kg/s], pressure where the branches part [Pa].
    fn gaps<N: Number>(&self, x: &[N], gaps: &mut [N]) {
        let drop = |k: usize, m: N| self.pipes[k].drop(m, WATER, self.viscosity);
        gaps[0] = x[0] - x[1] - x[2];
        gaps[1] = self.rise(x[0] / WATER) - drop(0, x[0]) - x[3];
        gaps[2] = x[3] - self.lift - drop(1, x[1]);
        gaps[3] = if self.open { x[3] - self.lift - drop(2, x[2]) } else { x[2] * 1e4 };
    }
}

#[test]
fn a_pump_and_two_coolers_share_the_flow_as_others_computed() {
    let checks = checks(|area, id| area == "network" && id.starts_with("net.pump."));
    assert_eq!(checks.len(), 5);
    for check in &checks {
        let laws = PumpAndTwoBranches::of(check, check.id != "net.pump.blocked");
        let circuit = Circuit::new(laws, &[1.0, 1.0, 1.0, 1e4], &[0.01, 1e3, 1e3, 1e3]);
        let x = circuit.solved(&[3.0, 2.0, 1.0, 3e4]);
        let litres = |mass: f64| mass / WATER * 1e3;
        check.holds(match check.id.as_str() {
            "net.pump.total" | "net.pump.blocked" => litres(x[0]),
            "net.pump.branch1" => litres(x[1]),
            "net.pump.branch2" => litres(x[2]),
            "net.pump.head" => circuit.laws.rise(x[0] / WATER) / (WATER * GRAVITY),
            other => panic!("{other} is not tried"),
        });
    }
}

struct Parallel {
    pipes: Vec<Pipe>,
    drop: f64,
    density: f64,
    viscosity: f64,
}

impl Laws for Parallel {
    /// Unknown: mass flow of each pipe [kg/s].
    fn gaps<N: Number>(&self, x: &[N], gaps: &mut [N]) {
        for ((gap, m), pipe) in gaps.iter_mut().zip(x).zip(&self.pipes) {
            *gap = pipe.drop(*m, self.density, self.viscosity) - self.drop;
        }
    }
}

#[test]
fn parallel_pipes_share_as_others_computed() {
    let checks = checks(|area, id| area == "network" && id.starts_with("net.parallel."));
    assert_eq!(checks.len(), 2);
    for (k, check) in checks.iter().enumerate() {
        let temperature = check.get("T_degC") + ICE;
        let laws = Parallel {
            pipes: Pipe::all(check, "roughness_m"),
            drop: check.get("dp_bar") * 1e5,
            density: fresh_water::density(temperature),
            viscosity: fresh_water::viscosity(temperature),
        };
        check.holds(Circuit::new(laws, &[1.0; 2], &[1e3; 2]).solved(&[1.0, 1.0])[k]);
    }
}

/// Area of a round hole [m²].
fn round(diameter: f64) -> f64 {
    PI / 4.0 * diameter * diameter
}

#[test]
fn closed_forms_in_time_agree() {
    let checks = checks(|area, id| area == "transient" && !id.starts_with("tr.twonode."));
    assert_eq!(checks.len(), 7);
    for check in &checks {
        let get = |name| check.get(name);
        check.holds(match check.id.as_str() {
            "tr.warmup.62" => {
                let rise = get("T_degC") - get("T_ambient_degC");
                transient::warm_up_time(rise, get("heat_W"), get("UA_W_per_K"), get("C_J_per_K"))
            }
            "tr.warmup.600" => {
                let room = get("T_ambient_degC");
                transient::warmed(get("t_s"), get("heat_W"), get("UA_W_per_K"), get("C_J_per_K"), room)
            }
            "tr.rawwater.lost" => transient::rise_rate(get("heat_W"), get("C_J_per_K")) * 60.0,
            "tr.lag" => transient::lagged(get("t_s"), get("tau_s"), get("T0_degC"), get("T1_degC")),
            "tr.drain" => transient::drain_time(round(get("D_m")), round(get("hole_m")), get("Cd"), get("depth_m")),
            "tr.flood" => transient::inflow(round(get("bore_m")), get("Cd"), get("depth_m")) * 60e3,
            "tr.surge" => transient::surge(get("rho_kg_per_m3"), get("wave_speed_m_per_s"), get("dv_m_per_s")),
            other => panic!("{other} is not tried"),
        });
    }
}

#[test]
fn the_closed_forms_agree_with_each_other() {
    let time = transient::warm_up_time(42.0, 30e3, 250.0, 450e3);
    agrees(transient::warmed(time, 30e3, 250.0, 450e3, 293.15), 335.15, 1e-9, "there and back");
    // A tank of falling depth runs at half its first flow on average.
    let first = transient::inflow(1e-4, 0.62, 0.8);
    agrees(transient::drain_time(0.28, 1e-4, 0.62, 0.8), 2.0 * 0.28 * 0.8 / first, 1e-6, "volume over mean flow");
}

/// Coolant and oil, coupled, with a thermostat on the coolant: one implicit step in time.
struct TwoLumps<'a> {
    check: &'a Check,
    was: [f64; 2],
    /// Length of the step [s].
    step: f64,
}

impl Laws for TwoLumps<'_> {
    /// Unknown: temperature of coolant and oil [°C].
    fn gaps<N: Number>(&self, x: &[N], gaps: &mut [N]) {
        let get = |name| self.check.get(name);
        let around = get("T_sea_and_room_degC");
        let (start, full) = (get("thermostat_start_degC"), get("thermostat_full_degC"));
        // Straight from shut to open, its corners rounded over 0.1 mK.
        let corner = |x: N| physics::smooth::positive_part(x, 1e-4);
        let open = (corner(x[0] - start) - corner(x[0] - full)) / (full - start);
        let across = (x[0] - x[1]) * get("UA_water_oil_W_per_K");
        let cooled = open * get("UA_cooler_open_W_per_K") + get("UA_loss_water_W_per_K");
        let stored = |k: usize, name| (x[k] - self.was[k]) * (get(name) / self.step);
        gaps[0] = stored(0, "C_water_J_per_K") + across + cooled * (x[0] - around) - get("heat_water_W");
        gaps[1] =
            stored(1, "C_oil_J_per_K") - across + (x[1] - around) * get("UA_loss_oil_W_per_K") - get("heat_oil_W");
    }
}

#[test]
fn two_lumps_and_a_thermostat_march_as_others_computed() {
    let checks = checks(|area, id| area == "transient" && id.starts_with("tr.twonode."));
    assert_eq!(checks.len(), 6);
    // Backward Euler: half a step times the change of rate is off by less than 0.02 K at this length.
    let step = 1.0;
    for check in &checks {
        let mut x = vec![check.get("T_sea_and_room_degC"); 2];
        let mut solver = None;
        for _ in 0..(check.get("t_s") / step) as usize {
            let laws = TwoLumps { check, was: [x[0], x[1]], step };
            let circuit = Circuit::new(laws, &[1.0; 2], &[100.0; 2]);
            let solver = solver.get_or_insert_with(|| Solver::new(&circuit).expect("sound"));
            solver.solve(&circuit, &mut x, &Options::default()).expect("a step");
        }
        check.holds(if check.id.contains(".water.") { x[0] } else { x[1] });
    }
}

/// Every check of the two areas is tried: 5 + 2 networks, 7 closed forms, 6 of two lumps; none is left out.
#[test]
fn nothing_of_networks_or_time_is_left_out() {
    let all = checks(|area, _| area == "network" || area == "transient");
    let tried = ["net.pump.", "net.parallel.", "tr."];
    assert_eq!(all.len(), 20);
    assert!(all.iter().all(|check| tried.iter().any(|start| check.id.starts_with(start))));
}
