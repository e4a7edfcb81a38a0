use crate::{Check, kelvin};
use physics::constants::ZERO_CELSIUS;
use physics::sender::*;

pub fn ours(check: &Check) -> Option<Vec<f64>> {
    let get = |name| check.get(name);
    let celsius = |kelvin: f64| kelvin - ZERO_CELSIUS;
    Some(vec![match check.id.as_str() {
        "el.pt100.inverse" => celsius(platinum_temperature(get("R_ohm") / 100.0)?),
        "el.pub.pt100.classb" => platinum_class_b(kelvin(get("T_degC"))),
        id if id.starts_with("el.pt100.") || id.starts_with("el.pub.pt100.") => {
            100.0 * platinum_ratio(kelvin(get("T_degC")))
        }
        "el.typek.cjc" => celsius(type_k_temperature(1e-3 * get("emf_mV"), kelvin(get("T_terminal_degC")))?),
        id if id.starts_with("el.typek.") => 1e3 * type_k_voltage(kelvin(get("T_degC"))),
        "el.ntc.beta" => {
            Thermistor::of_beta(get("R25_ohm"), 298.15, get("beta_K")).resistance(kelvin(get("T_degC")))?
        }
        "el.sender.us.half" => between(&[(0.0, get("R_empty_ohm")), (1.0, get("R_full_ohm"))], get("fraction"))?,
        "el.sender.eu.level" => between(&[(get("R_empty_ohm"), 0.0), (get("R_full_ohm"), 1.0)], get("R_ohm"))?,
        _ => return None,
    }])
}
