//! Laws swept over their whole range, against slopes by differences and against second relations.

use physics::contents::Contents;
use physics::coolant::Glycol;
use physics::heat_transfer::{self as ht, Arrangement};
use physics::number::{Dual, Number};
use physics::pumps::{FlexibleImpeller, ReliefValve};
use physics::wet_exhaust::{self, WetMix};
use physics::{engine, flow, fresh_water, gas, if97, sea_water, smooth, teos10};

const FILLINGS: [Contents; 8] = [
    Contents::OCEAN,
    Contents::FreshWater,
    Contents::Coolant { glycol: Glycol::Ethylene, volume_fraction: 0.5 },
    Contents::Coolant { glycol: Glycol::Propylene, volume_fraction: 0.4 },
    Contents::Oil { nu40_m2s: 110e-6, nu100_m2s: 14.7e-6, dilution: 0.04 },
    Contents::Gas { fuel_air_ratio: 0.04 },
    Contents::AIR,
    Contents::Fuel,
];

/// A law of one argument, callable with and without slopes.
trait Law {
    fn at<N: Number>(&self, x: N) -> N;
}

/// Writes a [`Law`] as an expression, once for every number type.
macro_rules! law {
    (|$x:ident: $n:ident| $body:expr) => {{
        struct This;
        impl Law for This {
            fn at<$n: Number>(&self, $x: $n) -> $n {
                $body
            }
        }
        This
    }};
}

/// The exact slope must be finite and equal the central difference within a share `within` of the law's size over
/// `scale` (the length over which the law changes by its own size).
#[track_caller]
fn slope_agrees(name: &str, law: &impl Law, x: f64, scale: f64, within: f64) {
    let dual = law.at(Dual::variable(x, 5));
    let step = scale * 1e-5;
    let by_difference = (law.at(x + step) - law.at(x - step)) / (2.0 * step);
    assert!(dual.value().is_finite() && dual.slope(5).is_finite(), "{name} at {x}: {dual:?}");
    assert!((dual.value() - law.at(x)).abs() <= 1e-12 * dual.value().abs(), "{name} at {x}: values differ");
    assert_eq!(dual.slope(4), 0.0, "{name}: slopes leak into another direction");
    let size = by_difference.abs() + law.at(x).abs() / scale + 1e-30;
    let off = (dual.slope(5) - by_difference).abs() / size;
    assert!(off < within, "{name} at {x}: slope {} against {by_difference}", dual.slope(5));
}

struct Property(Contents, fn_name::Name);

/// Which property, since a generic function is no value.
mod fn_name {
    #[derive(Clone, Copy, Debug)]
    pub enum Name {
        Density,
        HeatCapacity,
        Enthalpy,
        Viscosity,
        Conductivity,
        Boiling,
    }
}
use fn_name::Name;

impl Law for Property {
    fn at<N: Number>(&self, t: N) -> N {
        match self.1 {
            Name::Density => self.0.density(t),
            Name::HeatCapacity => self.0.heat_capacity(t),
            Name::Enthalpy => self.0.enthalpy(t),
            Name::Viscosity => self.0.viscosity(t),
            Name::Conductivity => self.0.conductivity(t),
            Name::Boiling => self.0.saturation_pressure(t).unwrap_or(N::one()),
        }
    }
}

const PROPERTIES: [Name; 6] =
    [Name::Density, Name::HeatCapacity, Name::Enthalpy, Name::Viscosity, Name::Conductivity, Name::Boiling];

fn temperatures(from: f64, to: f64, step: f64) -> impl Iterator<Item = f64> {
    (0..).map(move |k| from + step * f64::from(k)).take_while(move |t| *t <= to)
}

#[test]
fn properties_have_right_slopes_and_sound_values_wherever_a_solver_wanders() {
    for filling in FILLINGS {
        for name in PROPERTIES {
            for t in temperatures(250.3, 650.0, 3.7) {
                let law = Property(filling, name);
                slope_agrees(&format!("{filling:?} {name:?}"), &law, t, 100.0, 1e-4);
                if !matches!(name, Name::Enthalpy) {
                    assert!(law.at(t) > 0.0, "{filling:?} {name:?} at {t}: {}", law.at(t));
                }
            }
            for t in [-300.0, 0.0, 50.0, 200.0, 900.0, 2000.0, 1e5] {
                let dual = Property(filling, name).at(Dual::variable(t, 0));
                assert!(dual.value().is_finite() && dual.slope(0).is_finite(), "{filling:?} {name:?} at {t}");
            }
        }
    }
}

#[test]
fn heat_capacity_is_the_slope_of_enthalpy() {
    for filling in FILLINGS {
        assert!(filling.enthalpy(273.15).abs() < 1e-6, "{filling:?}: enthalpy starts at the wrong place");
        for t in temperatures(250.0, 650.0, 5.0) {
            let (slope, capacity) = (filling.enthalpy(Dual::variable(t, 0)).slope(0), filling.heat_capacity(t));
            assert!((slope / capacity - 1.0).abs() < 1e-6, "{filling:?} at {t}: {slope} against {capacity}");
        }
    }
}

#[test]
fn boiling_pressure_and_temperature_undo_each_other() {
    for filling in &FILLINGS[..4] {
        for t in temperatures(275.0, 620.0, 5.0) {
            let back = filling.saturation_pressure(t).and_then(|p| filling.saturation_temperature(p));
            assert!(back.is_some_and(|back| (back - t).abs() < 0.01), "{filling:?} at {t}: {back:?}");
        }
    }
    assert!(Contents::Fuel.saturation_pressure(300.0).is_none());
}

#[test]
fn short_fits_keep_their_stated_errors() {
    let close = |name: &str, t: f64, ours: f64, exact: f64, within: f64| {
        assert!((ours / exact - 1.0).abs() < within, "{name} at {t} K: {ours} against {exact}");
    };
    for t in temperatures(273.16, 423.15, 2.5) {
        let exact = if97::liquid(t, 5e5);
        let saturated = if97::liquid(t, if97::saturation_pressure(t).max(101_325.0));
        close("density", t, fresh_water::density(t), saturated.volume.recip(), 8e-5);
        close("heat capacity", t, fresh_water::heat_capacity(t), exact.heat_capacity, 1.2e-3);
        close("viscosity", t, fresh_water::viscosity(t), if97::viscosity(t, exact.volume.recip()), 1.3e-3);
        close("conductivity", t, fresh_water::conductivity(t), if97::conductivity(t, exact.volume.recip()), 5e-3);
    }
    // The exact saline function rests on pure water that is good up to 40 °C only.
    for s in [0.005, 0.02, 0.035, 0.042] {
        for t in temperatures(272.0, 313.0, 1.0) {
            let exact = teos10::Gibbs::at(s, t, 101_325.0);
            close("sea density", t, sea_water::density(s, t), exact.density(), 2e-4);
            let capacity = teos10::heat_capacity(s, t, 101_325.0);
            close("sea heat capacity", t, sea_water::heat_capacity(s, t), capacity, 2.5e-3);
        }
    }
}

#[test]
fn gas_agrees_with_the_printed_polynomials_of_its_species() {
    // [NASA-thermo]: N2, O2, CO2 and H2O over 300 to 1000 K and above, argon 5/2 throughout.
    const SPECIES: [([f64; 5], [f64; 5], f64, f64); 5] = [
        (
            [3.298677, 1.4082404e-3, -3.963222e-6, 5.641515e-9, -2.444854e-12],
            [2.92664, 1.4879768e-3, -5.68476e-7, 1.0097038e-10, -6.753351e-15],
            28.0134e-3,
            0.78084,
        ),
        (
            [3.78245636, -2.99673416e-3, 9.84730201e-6, -9.68129509e-9, 3.24372837e-12],
            [3.28253784, 1.48308754e-3, -7.57966669e-7, 2.09470555e-10, -2.16717794e-14],
            31.998e-3,
            0.20946,
        ),
        ([2.5, 0.0, 0.0, 0.0, 0.0], [2.5, 0.0, 0.0, 0.0, 0.0], 39.948e-3, 0.00934),
        (
            [2.35677352, 8.98459677e-3, -7.12356269e-6, 2.45919022e-9, -1.43699548e-13],
            [3.85746029, 4.41437026e-3, -2.21481404e-6, 5.23490188e-10, -4.72084164e-14],
            44.0095e-3,
            0.0004,
        ),
        (
            [4.1986405, -2.0364341e-3, 6.5204021e-6, -5.4879706e-9, 1.7719782e-12],
            [3.03399249, 2.17691804e-3, -1.64072518e-7, -9.7041987e-11, 1.68200992e-14],
            18.01528e-3,
            0.0,
        ),
    ];
    for ratio in [0.0, 0.03, 0.06] {
        // One mass of air and `ratio` of fuel, in moles.
        let air = 1.0 / 28.9655e-3;
        let (carbon, hydrogen) = (ratio * 0.866 / 12.011e-3, ratio * 0.134 / 1.008e-3);
        let burnt = [0.0, -(carbon + hydrogen / 4.0), 0.0, carbon, hydrogen / 2.0];
        for t in temperatures(300.0, 1700.0, 50.0) {
            let powers: [f64; 5] = std::array::from_fn(|k| t.powi(i32::try_from(k).unwrap_or(0)));
            let (mut heat, mut mass) = (0.0, 0.0);
            for ((low, high, molar, share), change) in SPECIES.iter().zip(burnt) {
                let moles = air * share + change;
                let terms = if t < 1000.0 { low } else { high };
                heat += moles * 8.314_462_618 * terms.iter().zip(powers).map(|(a, p)| a * p).sum::<f64>();
                mass += moles * molar;
            }
            let ours: f64 = gas::heat_capacity(ratio, t);
            assert!((ours / (heat / mass) - 1.0).abs() < 5e-3, "{ratio} at {t}: {ours} against {}", heat / mass);
        }
    }
}

#[test]
fn pipes_have_a_slope_at_rest_and_in_reverse() {
    let pipe = law!(|m: N| flow::pipe_drop(
        m,
        N::constant(4.0),
        N::constant(0.05),
        N::constant(4.6e-5),
        N::constant(3.0),
        N::constant(1023.0),
        N::constant(9.6e-4),
    ));
    for m in [-3.0, -0.1, -1e-3, 1e-9, 1e-3, 0.05, 0.079, 0.1, 0.13, 0.2, 0.5, 2.0, 20.0] {
        slope_agrees("pipe", &pipe, m, m.abs().max(1e-3), 1e-4);
        assert!(pipe.at(Dual::variable(m, 0)).slope(0) > 0.0, "the drop falls with flow at {m}");
        assert!((pipe.at(m) + pipe.at(-m)).abs() < 1e-9 * pipe.at(m).abs());
    }
    assert_eq!(pipe.at(0.0), 0.0);
}

#[test]
fn explicit_friction_solves_the_implicit_equation() {
    for rough in [0.0, 1e-5, 1e-3, 0.03] {
        for re in [4.1e3, 2e4, 1e6, 1e8] {
            let root = flow::friction_factor(re, rough).sqrt();
            // Colebrook-White, [White7] eq. 6.48.
            let colebrook = -2.0 * (rough / 3.7 + 2.51 / (re * root)).log10();
            assert!((colebrook * root - 1.0).abs() < 2e-3, "{re} {rough}: {root}");
        }
    }
}

#[test]
fn counterflow_keeps_its_limits_and_its_slopes() {
    let heat = law!(|c: N| ht::counterflow_heat(N::constant(3.0), N::constant(1.0), c, N::constant(1.0)));
    let condensing = ht::counterflow_heat(2.0, 1.0, 1e12, 1.0);
    assert!((condensing - (1.0 - (-2.0_f64).exp())).abs() < 1e-6, "one side condenses: {condensing}");
    assert!((heat.at(1.0) - 0.75).abs() < 1e-6, "equal rates");
    for c in [0.05, 0.5, 0.999, 1.0 - 1e-9, 1.0 + 1e-9, 1.001, 2.0, 50.0] {
        slope_agrees("counterflow", &heat, c, c, 1e-4);
    }
    for c in [-5.0, 0.0, 1e-9] {
        let dual = heat.at(Dual::variable(c, 0));
        assert!(dual.value().is_finite() && dual.slope(0).is_finite() && dual.value() < 2e-3, "{c}: {dual:?}");
    }
}

#[test]
fn every_arrangement_passes_less_than_counterflow_and_starts_alike() {
    use Arrangement::*;
    for arrangement in [Parallel, Shell, CrossUnmixed, CrossSmallMixed, CrossLargeMixed] {
        for ratio in [0.0, 0.3, 1.0] {
            for units in [0.0, 1e-6, 0.3, 2.0, 6.0] {
                let (ours, best): (f64, f64) =
                    (ht::effectiveness(arrangement, units, ratio), ht::effectiveness(Counterflow, units, ratio));
                assert!(ours <= best * (1.0 + 1e-9) + 1e-9, "{arrangement:?} {units} {ratio}: {ours} over {best}");
                assert!((0.0..=1.0).contains(&ours));
            }
            let slope = ht::effectiveness(arrangement, Dual::variable(1e-6, 0), Dual::new(ratio)).slope(0);
            assert!((slope - 1.0).abs() < 1e-2, "{arrangement:?} {ratio}: starts with slope {slope}");
        }
    }
}

#[test]
fn wet_mix_rises_steadily_from_flooded_to_dry() {
    for water_flow in [0.0, 0.001, 0.01, 0.03, 0.1, 0.3, 1.1] {
        for wetting in [0.0, 0.5, 1.0] {
            let mix = WetMix {
                gas_flow: 0.096,
                gas_temperature: 693.15,
                fuel_air_ratio: 0.045,
                water_flow,
                water_temperature: 311.15,
                salinity: 0.035,
                pressure: 103e3,
                wetting,
            };
            let mut last = f64::NEG_INFINITY;
            for t in temperatures(275.0, 750.0, 0.5) {
                let gap = wet_exhaust::wet_mix_gap(t, &mix);
                assert!(gap > last, "{water_flow} kg/s, wetting {wetting}: not steady at {t}");
                last = gap;
            }
            let t = wet_exhaust::mixed_temperature(&mix);
            assert!((300.0..=693.2).contains(&t), "{water_flow} kg/s, wetting {wetting}: {t}");
            if water_flow == 0.0 {
                assert!((t - 693.15).abs() < 0.2, "without water the mix is as hot as the gas: {t}");
            }
        }
    }
    let gap = law!(|t: N| wet_exhaust::wet_mix_gap(
        t,
        &WetMix {
            gas_flow: N::constant(0.096),
            gas_temperature: N::constant(693.15),
            fuel_air_ratio: 0.045,
            water_flow: N::constant(0.03),
            water_temperature: N::constant(311.15),
            salinity: 0.035,
            pressure: N::constant(103e3),
            wetting: N::constant(0.9),
        },
    ));
    for t in temperatures(280.0, 700.0, 2.3) {
        slope_agrees("wet mix", &gap, t, 20.0, 1e-3);
    }
}

#[test]
fn pumps_and_valves_have_slopes_and_inverses() {
    let pump = FlexibleImpeller { displacement: 2.5e-4, slip: 0.08, shut_off: 2.5e5, wear: 0.1 };
    for speed in [0.0, 50.0, 105.0, 260.0] {
        for rise in [-3e4, 0.0, 4e4, 1.5e5] {
            let back = pump.rise(speed, pump.flow(speed, rise));
            assert!((back - rise).abs() < 10.0, "{speed} rad/s: {rise} comes back as {back}");
        }
    }
    let shut = pump.flow(200.0, 0.9 * 2.5e5);
    assert!(shut.abs() < 2e-5 * pump.flow(200.0, 0.0).abs() + 1e-6, "delivers {shut} against shut-off");
    let valve = law!(|p: N| ReliefValve::on_round_seat(
        N::constant(0.016),
        N::constant(6000.0),
        N::constant(0.0065),
        N::constant(0.003),
        0.62,
    )
    .flow(p, N::constant(870.0)));
    for p in [-1e5, 1.0, 1e5, 1.9e5, 1.94e5, 2e5, 2.8e5, 2.84e5, 6e5] {
        // Around cracking the corner is a few hundred pascal wide.
        slope_agrees("relief valve", &valve, p, 100.0, 1e-2);
    }
    assert!(valve.at(1.5e5) < 1e-3 * valve.at(2.4e5));
}

#[test]
fn rounded_corners_are_right_in_value_and_slope() {
    let laws = law!(|x: N| smooth::signed_square(x, 0.1)
        + smooth::positive_part(x, 0.2)
        + smooth::smooth_max(x, x * 2.0 + 1.0, 0.1)
        - smooth::smooth_min(x, x * 2.0 + 1.0, 0.1)
        + smooth::step(x, 0.5)
        + smooth::softplus(x, 0.3)
        + smooth::within(x, -0.5, 0.5, 0.05)
        + smooth::signed_root(x, 0.1)
        + smooth::ramp(x, -0.3, 0.7)
        + x.sin() * x.cos()
        + x.atan()
        + (x / 10.0).asin());
    for x in temperatures(-6.0, 6.0, 0.173) {
        slope_agrees("corners", &laws, x, 1.0, 1e-6);
    }
    for x in [-1e4, -700.0, 0.0, 700.0, 1e4] {
        let soft = smooth::softplus(Dual::variable(x, 0), 1.0);
        assert!((soft.value() - f64::max(x, 0.0)).abs() < 0.7 && (0.0..=1.0).contains(&soft.slope(0)));
        assert!((smooth::positive_part(x, 1e-3) - f64::max(x, 0.0)).abs() < 1e-3);
    }
    for z in [-1.0, -2e-3, -1e-3, -1e-9, 0.0, 1e-9, 9.9e-4, 1.1e-3, 0.5, 40.0, 1e6] {
        slope_agrees("1 - e^-z", &law!(|z: N| smooth::one_minus_exp_over(z)), z, 1.0, 1e-7);
        slope_agrees("ln(1 + y)", &law!(|y: N| smooth::ln_one_plus_over(y)), z.max(-0.5), 1.0, 1e-7);
    }
}

#[test]
fn gas_side_film_stands_still_and_grows() {
    let film =
        law!(|m: N| engine::gas_side_conductance(m, N::constant(0.12), 6, N::constant(3.3e-5), N::constant(0.05)));
    assert!(film.at(Dual::variable(0.0, 0)).slope(0).is_finite());
    // Nu ∝ Re^0.75: sixteen times the flow is eight times the film.
    assert!((film.at(1.6) / film.at(0.1) - 8.0).abs() < 1e-3);
}
