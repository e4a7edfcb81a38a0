use crate::Check;
use physics::electrical::*;

const HOUR: f64 = 3600.0;
/// Cells of a battery of 12 V, and of a bank of 24 V.
const CELLS: f64 = 6.0;

pub fn ours(check: &Check) -> Option<Vec<f64>> {
    let get = |name| check.get(name);
    Some(vec![match check.id.as_str() {
        "el.drop" => {
            let resistance = cable_resistance(get("one_way_m"), get("area_mm2") * 1e-6, 293.15);
            assert!((COPPER - get("rho_ohm_m")).abs() < 1e-12, "the same copper");
            get("amps") * resistance
        }
        "el.peukert" => {
            let (capacity, rate) = (get("capacity_Ah") * HOUR, get("rate_h") * HOUR);
            run_time(capacity, rate, get("amps"), get("exponent")) / HOUR
        }
        id if id.starts_with("el.pub.battery.") => {
            CELLS * cell_emf(get("state_of_charge_percent") / 100.0, CHARGING_AT)
        }
        "el.charge.absorb" => 2.0 * CELLS * CELL_CHARGE,
        _ => return crate::senders::ours(check),
    }])
}
