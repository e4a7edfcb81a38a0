use crate::{Check, kelvin};
use physics::constants::ATMOSPHERE;
use physics::coolant::{Coolant, Glycol};
use physics::{fresh_water as fw, if97, sea_water as sw, teos10};

/// Both the short fit and the exact function must agree: the one that is farther off is returned.
fn farther(expected: f64, fit: f64, exact: f64) -> f64 {
    if (fit - expected).abs() > (exact - expected).abs() { fit } else { exact }
}

fn expected(check: &Check) -> f64 {
    check.expected.as_ref().map_or(f64::NAN, |list| list[0])
}

pub fn sea_water(check: &Check) -> Option<Vec<f64>> {
    let salinity = || {
        if check.has("salt_mass_fraction") {
            check.get("salt_mass_fraction")
        } else {
            check.get("S_abs_g_per_kg") / 1000.0
        }
    };
    let t = || kelvin(check.get("T_degC"));
    let deep = || ATMOSPHERE + check.get("p_dbar") * 1e4;
    let near = expected(check);
    Some(vec![match check.id.as_str() {
        "sw.sr35" => teos10::reference_salinity(check.get("practical_salinity")) * 1000.0,
        id if id.starts_with("sw.rho") => {
            farther(near, sw::density(salinity(), t()), teos10::Gibbs::at(salinity(), t(), ATMOSPHERE).density())
        }
        id if id.starts_with("sw.cp.") => {
            farther(near, sw::heat_capacity(salinity(), t()), teos10::heat_capacity(salinity(), t(), ATMOSPHERE))
        }
        id if id.starts_with("sw.mu.") => sw::viscosity(salinity(), t()),
        id if id.starts_with("sw.k.") => sw::conductivity(salinity(), t()),
        "sw.freeze" => sw::freezing_temperature(salinity()) - kelvin(0.0),
        "sw.pub.rho48" => {
            let t = teos10::temperature_from_conservative(salinity(), kelvin(check.get("CT_degC")), deep());
            teos10::Gibbs::at(salinity(), t, deep()).density()
        }
        "sw.pub.ct" => teos10::conservative_temperature(salinity(), t(), deep()) - kelvin(0.0),
        _ => return None,
    }])
}

pub fn fresh_water(check: &Check) -> Option<Vec<f64>> {
    let t = || if check.has("T_K") { check.get("T_K") } else { kelvin(check.get("T_degC")) };
    let p = || check.get("p_abs_bar") * 1e5;
    let exact = || if97::liquid(t(), check.get("p_MPa") * 1e6);
    let near = expected(check);
    Some(vec![match check.id.as_str() {
        id if id.starts_with("fw.rho.") => farther(near, fw::density(t()), if97::liquid(t(), p()).volume.recip()),
        id if id.starts_with("fw.cp.") => farther(near, fw::heat_capacity(t()), if97::liquid(t(), p()).heat_capacity),
        id if id.starts_with("fw.mu.") => {
            farther(near, fw::viscosity(t()), if97::viscosity(t(), if97::liquid(t(), p()).volume.recip()))
        }
        id if id.starts_with("fw.psat.") => fw::saturation_pressure(t()),
        "fw.pub.if97.v" => exact().volume,
        "fw.pub.if97.h" => exact().enthalpy / 1000.0,
        "fw.pub.if97.cp" => exact().heat_capacity / 1000.0,
        "fw.pub.psat" => if97::saturation_pressure(t()) / 1e6,
        "fw.pub.tsat" => if97::saturation_temperature(check.get("p_MPa") * 1e6),
        "fw.pub.mu" => if97::viscosity(t(), check.get("rho_kg_per_m3")),
        "fw.pub.k" => if97::conductivity(t(), check.get("rho_kg_per_m3")),
        _ => return None,
    }])
}

pub fn coolant(check: &Check) -> Option<Vec<f64>> {
    let ethylene = check.id.contains("meg") || check.id.contains(".eg.");
    let glycol = if ethylene { Glycol::Ethylene } else { Glycol::Propylene };
    let mix = if check.has("mass_fraction") {
        Coolant::by_mass(glycol, check.get("mass_fraction"))
    } else {
        Coolant::by_volume(glycol, check.get("volume_percent") / 100.0)
    };
    let t = || kelvin(check.get("T_degC"));
    Some(vec![match check.id.as_str() {
        id if id.contains(".freeze.") || id.contains(".pub.") => mix.freezing_temperature() - kelvin(0.0),
        id if id.contains(".d.") => mix.density(t()),
        id if id.contains(".c.") => mix.heat_capacity(t()),
        id if id.contains(".v.") => mix.viscosity(t()),
        _ => return None,
    }])
}
