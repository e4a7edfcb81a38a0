use crate::{Check, rpm};
use physics::constants::NAUTICAL_MILE;
use physics::drive::*;
use physics::propeller::{self, BSeries};
use std::f64::consts::PI;

pub fn belts(check: &Check) -> Option<Vec<f64>> {
    let get = |name| check.get(name);
    let pulleys = || (get("big_m"), get("small_m"), get("centres_m"));
    let degrees = |name| get(name).to_radians();
    let (big, small, centres) = if check.has("centres_m") && check.has("big_m") { pulleys() } else { (0.0, 0.0, 1.0) };
    Some(vec![match check.id.as_str() {
        "belt.length" => open_belt_length(big, small, centres) * 1000.0,
        "belt.length.approx" => open_belt_length_roughly(big, small, centres) * 1000.0,
        "belt.wrap.small" => open_belt_wrap(big, small, centres).to_degrees(),
        "belt.wrap.crossed" => crossed_belt_wrap(get("d1_m"), get("d2_m"), get("centres_m")),
        "belt.centres" => belt_centres(get("big_m"), get("small_m"), get("length_mm") / 1000.0)? * 1000.0,
        "belt.ratio.flat" => tension_ratio(get("mu"), degrees("wrap_deg")),
        "belt.ratio.vee" => tension_ratio(wedged_friction(get("mu"), degrees("groove_deg")), degrees("wrap_deg")),
        "belt.tight" | "belt.hub" => {
            let speed = big / 2.0 * rpm(get("big_pulley_rpm"));
            let friction = wedged_friction(get("mu"), degrees("groove_deg"));
            let ratio = tension_ratio(friction, open_belt_wrap(big, small, centres));
            let tight = tight_tension(get("power_W"), speed, ratio);
            if check.id == "belt.tight" { tight } else { hub_pull(tight, tight / ratio) }
        }
        "belt.frequency" => span_frequency(get("tension_N"), get("mass_kg_per_m"), free_span(big, small, centres)),
        "belt.alternator.rpm" => driven_speed(get("engine_rpm"), get("big_m"), get("small_m"), get("slip")),
        "belt.alternator.power" => alternator_power(get("volts"), get("amps"), get("efficiency")),
        "belt.khurmi11.1" | "belt.khurmi11.1.slip" => {
            let slip = if check.has("slip_percent") { get("slip_percent") / 100.0 } else { 0.0 };
            let between = driven_speed(get("rpm"), get("d1_mm"), get("d2_mm"), slip);
            driven_speed(between, get("d3_mm"), get("d4_mm"), slip)
        }
        "belt.khurmi11.4" => {
            let speed = PI * get("D_m") * get("rpm") / 60.0;
            belt_power(get("T1_N"), 0.0, speed, tension_ratio(get("mu"), degrees("wrap_deg"))) / 1000.0
        }
        "belt.khurmi11.6.length" => crossed_belt_length(get("d1_m"), get("d2_m"), get("centres_m")),
        "belt.khurmi11.10.v" => best_belt_speed(get("T_max_N"), get("mass_kg_per_m")),
        "belt.khurmi11.10.p" => {
            let speed = best_belt_speed(get("T_max_N"), get("mass_kg_per_m"));
            let ratio = tension_ratio(get("mu"), degrees("wrap_deg"));
            belt_power(get("T_max_N"), get("mass_kg_per_m"), speed, ratio) / 1000.0
        }
        "belt.khurmi11.11.p" => {
            let speed = PI * get("d1_m") * get("rpm1") / 60.0;
            let wrap = open_belt_wrap(get("d1_m"), get("d2_m"), get("centres_m"));
            belt_power(get("T_max_N"), get("mass_kg_per_m"), speed, tension_ratio(get("mu"), wrap)) / 1000.0
        }
        "belt.khurmi11.12" => {
            let speed = get("r_m") * rpm(get("rpm"));
            power_of_initial_tension(get("T0_N"), speed, tension_ratio(get("mu"), degrees("wrap_deg"))) / 1000.0
        }
        _ => return None,
    }])
}

pub fn propulsion(check: &Check) -> Option<Vec<f64>> {
    let get = |name| check.get(name);
    let series = || BSeries { pitch_ratio: get("P_over_D"), area_ratio: get("AE_over_A0"), blades: get("Z") as u32 };
    let knots = |name| get(name) * NAUTICAL_MILE / 3600.0;
    let turns = || get(if check.has("shaft_rpm") { "shaft_rpm" } else { "rpm" }) / 60.0;
    let wake = || if check.id.contains("real") { get("wake_fraction") } else { 0.0 };
    let slip = |speed: f64| propeller::slip(propeller::advance_speed(speed, wake()), get("pitch_m"), turns());
    Some(vec![match check.id.as_str() {
        id if id.starts_with("prop.b.kt.") => series().thrust_coefficient(get("J")),
        id if id.starts_with("prop.b.10kq.") => 10.0 * series().torque_coefficient(get("J")),
        id if id.starts_with("prop.b.eta.") => series().efficiency(get("J")),
        "prop.torque" => {
            let turns = propeller::geared(get("engine_rpm"), get("gear_ratio")) / 60.0;
            propeller::torque(get("10KQ") / 10.0, get("rho_kg_per_m3"), turns, get("D_m"))
        }
        "prop.shaft.rpm" => propeller::geared(get("engine_rpm"), get("gear_ratio")),
        id if id.starts_with("prop.ittc57.") => propeller::hull_friction(get("Re")),
        "prop.law" => propeller_law(get("power_W"), get("rpm") / get("rpm_ref")),
        "prop.admiralty" => propeller::admiralty_power(get("displacement_t"), get("speed_kn"), get("coefficient")),
        "prop.slip.day" => 100.0 * slip(knots("observed_kn")),
        "prop.slip.apparent" | "prop.slip.real" => slip(knots("speed_kn")),
        "prop.slip.apparent.pub" | "prop.slip.real.pub" => 100.0 * slip(knots("speed_kn")),
        "prop.clearance" => propeller::USUAL_TIP_CLEARANCE,
        _ => return None,
    }])
}
