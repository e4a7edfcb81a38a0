//! Direct current on board: copper, lead-acid cells, alternators. Charge is in coulombs, currents per charge in 1/s.

use crate::number::Number;
use crate::smooth::{positive_part, smooth_min, softplus};

/// Resistivity of annealed copper at 20 °C [Ω m], `[IEC60028]`.
pub const COPPER: f64 = 1.7241e-8;
/// How much more it resists for each kelvin [1/K], `[IEC60028]`.
const COPPER_PER_KELVIN: f64 = 3.93e-3;
/// 20 °C [K].
const TWENTY: f64 = 293.15;
/// Seconds of an hour: makers state charge in ampere hours.
const HOUR: f64 = 3600.0;

/// Resistance of a copper cable out and back [Ω]: `length` one way [m], `area` of the copper [m²], `temperature` [K].
pub fn cable_resistance<N: Number>(length: N, area: N, temperature: N) -> N {
    length * 2.0 * COPPER / area * ((temperature - TWENTY) * COPPER_PER_KELVIN + 1.0)
}

/// Nominal voltage of a lead-acid cell [V].
pub const CELL_NOMINAL: f64 = 2.0;
/// What a charging regulator holds for each cell at 25 °C [V], `[Trade] 2.7`.
pub const CELL_CHARGE: f64 = 2.37;
/// How much less a cell wants for each kelvin above 25 °C [V/K], `[Trade] 2.7`, from memory.
pub const CELL_PER_KELVIN: f64 = 0.005;
/// 25 °C, where makers state charging voltages [K].
pub const CHARGING_AT: f64 = 298.15;

/// Density of the acid over that of water, empty and full [1], from memory.
const ACID: (f64, f64) = (1.13, 1.27);
/// A cell's resting voltage is the density of its acid and this [V], from memory.
const OVER_ACID: f64 = 0.84;
/// Rise of the resting voltage with temperature [V/K], from memory.
const EMF_PER_KELVIN: f64 = 2e-4;

/// Resting voltage of a lead-acid cell [V] at a state of `charge` from 0 to 1 and a `temperature` [K].
///
/// # Source
/// Density of the acid, straight between empty and full, and 0.84 V: a rule of the trade, from memory; within 0.1 V of a
/// published table of resting voltages of a 12 V battery (see the check values).
pub fn cell_emf<N: Number>(charge: N, temperature: N) -> N {
    charge * (ACID.1 - ACID.0) + (ACID.0 + OVER_ACID) + (temperature - CHARGING_AT) * EMF_PER_KELVIN
}

/// Two printed tables of the resting voltage of a flooded cell [V] at states of charge [1], emptiest first; they are of batteries
/// of 12 V and stop at a quarter.
///
/// # Source
/// `[RestedBattery]`.
pub const RESTED: [[(f64, f64); 4]; 2] = [
    [(12.15 / 6.0, 0.25), (12.30 / 6.0, 0.50), (12.45 / 6.0, 0.75), (12.66 / 6.0, 1.0)],
    [(12.0 / 6.0, 0.25), (12.2 / 6.0, 0.50), (12.4 / 6.0, 0.75), (12.6 / 6.0, 1.0)],
];

/// Resistance of a cell times its capacity [V s]: charging, its share at the end of charge, and how near to full that is.
const CHARGING: (f64, f64, f64) = (0.42 * HOUR, 0.888, 1.001);
/// The same for discharging, over the charge taken out.
const DISCHARGING: (f64, f64, f64) = (0.699 * HOUR, 0.0464, 1.75);
/// Current lost to gas of a cell over its capacity [1/s], at this voltage [V] and 25 °C.
const GASSING: (f64, f64) = (0.017 / 100.0 / HOUR, 2.23);
/// How fast it grows with voltage [1/V] and temperature [1/K].
const GASSING_GROWS: (f64, f64) = (11.0, 0.06);
/// Exponent past which it grows no more, so that a solver may wander [1].
const MOST_GASSING: f64 = 12.0;
/// Least distance from full that the law of charging knows [1].
const NEAR_FULL: f64 = 2e-3;
/// Width of the corner between charging and discharging [V].
const REST: f64 = 2e-3;

/// Resistance of a cell that gives current, times its capacity [V s], at a state of `charge` from 0 to 1.
///
/// # Source
/// Shepherd's law as `[Schiffer2007]` has it; its figures as transcribed.
pub fn discharging_resistance<N: Number>(charge: N) -> N {
    let (resistance, share, end) = DISCHARGING;
    let taken = -charge + 1.0;
    (taken * share / (-taken + end) + 1.0) * resistance
}

/// The same of a cell that takes current: it grows steeply towards full.
///
/// # Source
/// As [`discharging_resistance`].
pub fn charging_resistance<N: Number>(charge: N) -> N {
    let (resistance, share, end) = CHARGING;
    let left = positive_part(-charge + end, NEAR_FULL);
    (charge * share / left + 1.0) * resistance
}

/// Current that a cell loses to gas, over its capacity [1/s], at its `voltage` [V] and `temperature` [K].
///
/// # Source
/// `[Schiffer2007]`, the law of its gassing current: 17 mA per 100 A·h as transcribed, its growth of 11 per volt from memory.
pub fn gassing<N: Number>(voltage: N, temperature: N) -> N {
    let (at_rest, nominal) = GASSING;
    let grows = (voltage - nominal) * GASSING_GROWS.0 + (temperature - CHARGING_AT) * GASSING_GROWS.1;
    smooth_min(grows, N::constant(MOST_GASSING), 0.5).exp() * at_rest
}

/// Current into a lead-acid cell over its capacity [1/s] at its `voltage` [V]; below zero it gives.
///
/// What goes into gas does not charge it, but flows all the same.
pub fn cell_current<N: Number>(voltage: N, charge: N, temperature: N) -> N {
    let over = voltage - cell_emf(charge, temperature);
    positive_part(over, REST) / charging_resistance(charge)
        - positive_part(-over, REST) / discharging_resistance(charge)
        + gassing(voltage, temperature)
}

/// How long a full bank lasts [s]: `capacity` [C] stated for a discharge in `rate` [s], drawn by `current` [A] with
/// Peukert's `exponent`.
///
/// # Source
/// Peukert 1897, as every battery maker gives it; from memory.
pub fn run_time<N: Number>(capacity: N, rate: f64, current: N, exponent: N) -> N {
    ((capacity / (current * rate)).ln() * exponent).exp() * rate
}

/// Speed above its cut-in at which an alternator gives all but a third of what it can [rad/s of its own shaft]: 880 rpm.
const ALTERNATOR_GROWS: f64 = 92.0;
/// Width of the corner at the cut-in [rad/s].
const CUT_IN: f64 = 6.0;

/// Share of its greatest current that an alternator with full field gives at a `speed` of its own shaft [1];
/// `cut_in` is where it begins [rad/s].
///
/// # Source
/// From memory: shape of published curves of output after `[ISO8854]`, two fifths at 1500 rpm, nine tenths at 3000.
pub fn alternator_share<N: Number>(speed: N, cut_in: N) -> N {
    -(-softplus(speed - cut_in, CUT_IN) / ALTERNATOR_GROWS).exp() + 1.0
}

/// Share of its cold output that an alternator's hot windings leave it, for each kelvin that its space is over 25 °C [1/K],
/// from memory: its copper resists 0.4 % more.
const HOT: f64 = 0.003;

/// Share of its output at 25 °C that an alternator gives in a space of this `temperature` [K].
pub fn alternator_in_heat<N: Number>(temperature: N) -> N {
    positive_part(-(temperature - CHARGING_AT) * HOT + 1.0, 0.05)
}

/// Voltage that a regulator holds [V]: `at_25` [V] as set, following its batteries' wish by a `share` [1] in a space of
/// this `temperature` [K].
pub fn held_voltage<N: Number>(at_25: N, share: N, temperature: N) -> N {
    at_25 * (-(temperature - CHARGING_AT) * share * (CELL_PER_KELVIN / CELL_CHARGE) + 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Current into 100 A·h of 12 V at a voltage and a state of charge [A].
    fn into_hundred(voltage: f64, charge: f64) -> f64 {
        cell_current(voltage / 6.0, charge, CHARGING_AT) * 100.0 * HOUR
    }

    #[test]
    fn a_bank_takes_what_the_trade_says_it_takes() {
        // [Trade] 2.7: a fifth of its capacity an hour up to 85 % of charge, a tenth above, a fifteenth to a twentieth above
        // 95 %; at the voltages it gives for this, 14.1 to 14.8 V.
        for (charge, low, high) in [(0.83, 10.0, 25.0), (0.9, 5.0, 14.0), (0.96, 2.0, 6.7)] {
            let taken = into_hundred(14.4, charge);
            assert!((low..=high).contains(&taken), "{taken} A at {charge}");
        }
        // And next to nothing when full and floating: makers state some tenths of an ampere. From memory.
        assert!(into_hundred(13.5, 1.0) < 0.5, "{}", into_hundred(13.5, 1.0));
    }

    #[test]
    fn it_gasses_hard_when_nothing_limits_the_voltage() {
        // Trade rule, from memory: past 16 V a bank boils, taking a tenth of its capacity and more.
        assert!(into_hundred(17.0, 1.0) > 10.0, "{}", into_hundred(17.0, 1.0));
        assert!(into_hundred(14.2, 1.0) < 1.5, "{}", into_hundred(14.2, 1.0));
    }

    #[test]
    fn it_gives_what_is_drawn_at_a_little_less_voltage() {
        // 10 A out of 100 A·h three quarters full: some 12.1 V. From memory: a bank under a tenth of its capacity loses
        // between 0.2 and 0.6 V.
        let (mut low, mut high) = (10.0, 12.6);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if into_hundred(middle, 0.75) > -10.0 { high = middle } else { low = middle }
        }
        let rested = 6.0 * cell_emf(0.75, CHARGING_AT);
        assert!((0.2..0.6).contains(&(rested - low)), "{low} of {rested}");
    }

    #[test]
    fn an_alternator_gives_what_its_class_gives() {
        // ISO 8854 states currents at 1500 and 6000 rpm; makers' curves for 70 A: 24 to 30, and 60 at 3000. From memory.
        let share = |rpm: f64| alternator_share(rpm * std::f64::consts::TAU / 60.0, 110.0);
        assert!((0.34..0.45).contains(&share(1500.0)) && (0.85..0.93).contains(&share(3000.0)));
        assert!(share(6000.0) > 0.99 && share(900.0) < 0.04 && share(0.0) < 0.01);
    }

    #[test]
    fn a_regulator_that_follows_holds_less_in_heat() {
        // [Trade] 2.7: 5 mV a kelvin and cell, here six cells and 10 K.
        let less = 14.2 - held_voltage(14.2, 1.0, CHARGING_AT + 10.0);
        assert!((less - 0.3).abs() < 0.003, "{less}");
        assert!((held_voltage(14.2, 0.0, 330.0) - 14.2).abs() < 1e-12);
    }
}
