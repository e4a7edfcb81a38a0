//! What early or late burning costs, by following the gas of one cylinder twice.

use crate::given::Given;
use crate::worked::{Table, Worked};
use measure::quantity::Quantity::{PressureDifference, Ratio, TemperatureDifference};
use physics::constants::{ATMOSPHERE, GAS_CONSTANT};
use physics::diesel_fuel::LOWER_HEATING_VALUE;
use physics::gas::{heat_capacity, molar_mass};
use physics::heat_release::{Burning, Cylinder, Released, blown_down, release};
use std::f64::consts::PI;

/// Rod over crank radius where neither is told [1]; from memory.
const USUAL_ROD: f64 = 3.6;
/// Form of the burning of a diesel [1]; from memory.
const FORM: f64 = 1.0;

/// Power, exhaust temperature and peak pressure with the spill point as found against as wanted, at the same fuel.
pub fn cost(given: &Given, found: f64, wanted: f64, worked: &mut Worked) {
    let Some(all) = [wanted, found].into_iter().map(|spill| follow(given, spill)).collect::<Option<Vec<_>>>() else {
        return;
    };
    let [(is, warm), (was, hot)] = all[..] else { return };
    let power = was.work / is.work - 1.0;
    worked.result("power-change", "Power in the cylinders against well timed, same fuel", power, Ratio, "%");
    worked.result("exhaust-change", "Exhaust warmer than well timed", hot - warm, TemperatureDifference, "K");
    worked.result("peak-change", "Greatest pressure above well timed", was.peak - is.peak, PressureDifference, "bar");
    worked.working(
        "c_v dT = dq − R T dV/V, burnt = 1 − exp(−6.9 x²)",
        format!(
            "one zone from inlet shut to exhaust open, twice: work {:.0} and {:.0} kJ/kg, peak {:.0} and {:.0} bar, exhaust {:.0} and {:.0} °C",
            is.work / 1e3,
            was.work / 1e3,
            is.peak / 1e5,
            was.peak / 1e5,
            warm - 273.15,
            hot - 273.15
        ),
        "[Heywood1988] ch. 9 and 10, from memory",
    );
    worked.tables.push(Table {
        title: "Against well timed, at the same fuel, by crank angle of the error".into(),
        heads: ["spill point", "power in the cylinders", "exhaust", "peak pressure"].map(String::from).to_vec(),
        rows: [-6.0, -3.0, 3.0, 6.0]
            .into_iter()
            .filter_map(|off: f64| {
                let (other, warmth) = follow(given, wanted + off.to_radians())?;
                let word = if off < 0.0 { "late" } else { "early" };
                Some(vec![
                    format!("{:.0}° {word}", off.abs()),
                    format!("{:+.1} %", 100.0 * (other.work / is.work - 1.0)),
                    format!("{:+.0} K", warmth - warm),
                    format!("{:+.0} bar", (other.peak - is.peak) / 1e5),
                ])
            })
            .collect(),
    });
    if (found - wanted).abs() >= 0.5_f64.to_radians() {
        worked.flags.push(
            "What the error costs is worked without heat to the walls, with burning of one shape whenever it comes: a direction and a \
             size, not a promise. Early burning loses more than is told here, late burning smokes besides."
                .into(),
        );
        worked.flags.push(if found > wanted {
            "Early: hard knock, high peak pressure on rings, bearings and head gasket.".into()
        } else {
            "Late: smoke, hot exhaust and exhaust valves, hard starting.".into()
        });
    }
}

/// The gas of one cylinder, and the temperature of its exhaust [K].
fn follow(given: &Given, spill: f64) -> Option<(Released, f64)> {
    let value = |key: &str| given.maybe(key);
    let told = given.maybe("rod-length").zip(given.maybe("stroke")).map(|(rod, stroke)| 2.0 * rod / stroke);
    let pressure = value("charge-pressure")?;
    let cylinder = Cylinder {
        compression: value("compression-ratio")?,
        rod: told.unwrap_or(USUAL_ROD),
        shut: value("inlet-closes")? - PI,
        open: PI - value("exhaust-opens")?,
        pressure,
        temperature: value("charge-temperature")?,
    };
    let fuel_air = 1.0 / value("air-fuel-ratio")?;
    let burning = Burning {
        begins: value("ignition-delay")? - spill,
        lasts: value("burn-lasts")?,
        form: FORM,
        // Each mass of what is in the cylinder, fuel included.
        heat: LOWER_HEATING_VALUE * fuel_air / (1.0 + fuel_air),
    };
    // Between fresh air and burnt gas: the mean of both, over the whole cycle.
    let gas = GAS_CONSTANT / molar_mass(fuel_air / 2.0);
    let capacity = |temperature: f64| heat_capacity(fuel_air / 2.0, temperature) - gas;
    let released = release(&cylinder, &burning, gas, capacity);
    let ratio = 1.0 + gas / capacity(released.temperature);
    // A charged engine pushes its exhaust out against about what charges it.
    let exhaust = blown_down(&released, pressure.max(ATMOSPHERE), ratio);
    Some((released, exhaust))
}
