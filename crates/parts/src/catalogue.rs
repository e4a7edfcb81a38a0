//! The one list of kinds.

use crate::kind::Kind;

/// Every kind of part.
pub static KINDS: &[&Kind] = &[
    &crate::alarm::KIND,
    &crate::alternator::KIND,
    &crate::bellows::KIND,
    &crate::belt::KIND,
    &crate::box_cooler::KIND,
    &crate::bypass_filter::KIND,
    &crate::cabin_heater::KIND,
    &crate::centrifugal_pump::KIND,
    &crate::charge_air_cooler::KIND,
    &crate::check_valve::KIND,
    &crate::controllable_pitch::KIND,
    &crate::coolant_pump::KIND,
    &crate::day_tank::KIND,
    &crate::diesel::KIND,
    &crate::dry_stack::KIND,
    &crate::duplex_fuel_filter::KIND,
    &crate::duplex_strainer::KIND,
    &crate::elbow::KIND,
    &crate::electric_feed_pump::KIND,
    &crate::electric_pump::KIND,
    &crate::exchanger::KIND,
    &crate::exhaust_hose::KIND,
    &crate::feed_pump::KIND,
    &crate::fuel_filter::KIND,
    &crate::fuel_pickup::KIND,
    &crate::fuel_separator::KIND,
    &crate::fuel_tank::KIND,
    &crate::gauge::FLOW,
    &crate::gauge::KIND,
    &crate::gauge::LEVEL,
    &crate::gauge::PRESSURE,
    &crate::gauge::SPEED,
    &crate::gauge::TEMPERATURE,
    &crate::gauge::VOLTAGE,
    &crate::gear_cooler::KIND,
    &crate::gearbox::KIND,
    &crate::header_tank::KIND,
    &crate::hose::KIND,
    &crate::injection_pump::KIND,
    &crate::intake::KIND,
    &crate::keel_cooler::KIND,
    &crate::lift_pump::KIND,
    &crate::oil_cooler::KIND,
    &crate::oil_filter::KIND,
    &crate::oil_pickup::KIND,
    &crate::oil_pump::KIND,
    &crate::outlet::KIND,
    &crate::plate_exchanger::KIND,
    &crate::plug::KIND,
    &crate::plunger_pump::KIND,
    &crate::propeller::KIND,
    &crate::raw_pump::KIND,
    &crate::relief_valve::KIND,
    &crate::sea_chest::KIND,
    &crate::silencer::KIND,
    &crate::skin_tank::KIND,
    &crate::stern_tube_feed::KIND,
    &crate::strainer::KIND,
    &crate::sump::KIND,
    &crate::thermostat::KIND,
    &crate::turbocharger::KIND,
    &crate::valve::KIND,
    &crate::vented_loop::KIND,
];

/// Does this kind answer for the one of that name: is it that, or do the words people say of it begin with all of that one's?
pub fn answers_for(kind: &'static Kind, name: &str) -> bool {
    let words = |kind: &'static Kind| kind.words.iter().map(|word| word.name);
    kind.name == name
        || find(name)
            .is_some_and(|other| !other.words.is_empty() && words(kind).take(other.words.len()).eq(words(other)))
}

/// The kind of that name.
pub fn find(name: &str) -> Option<&'static Kind> {
    KINDS.iter().copied().find(|kind| kind.name == name)
}
