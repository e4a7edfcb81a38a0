//! What is a thing? One file per kind of part: figures, ports, laws, ways to fail, words, checks.
//!
//! Never here: a vessel, a file, a clock, a balance. Parts state the laws of their passages; `model`
//! writes the balances. A cause moves parameters or is only spoken of; nothing else knows it.
//!
//! Start reading in `kind.rs` (what a kind is), then `strainer.rs` (a small one), then `catalogue.rs`.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod catalogue;
mod duplex_fuel_filter;
mod electric_feed_pump;
mod feed_pump;
mod fuel_cooler;
mod fuel_element;
mod fuel_filter;
mod fuel_pickup;
mod fuel_separator;
mod fuel_tank;
mod injection_pump;
pub mod kind;
pub mod laws;
pub mod own_kind;
mod parameters;
pub mod rates;
pub mod remedy;
pub mod tools;
pub mod wording;

mod hull_cooler;
mod rotodynamic;
mod tubular;

#[cfg(test)]
mod bench;

mod air_compressor;
mod air_filter;
mod air_receiver;
mod alarm;
mod alternator;
mod battery;
mod bellows;
mod belt;
mod belt_tensioner;
mod bilge;
mod bilge_pump;
mod box_cooler;
mod breaker;
mod bypass_filter;
mod cabin_heater;
mod cable;
mod centrifugal_pump;
mod chain_drive;
mod charge_air_cooler;
mod charge_relay;
mod check_valve;
mod controllable_pitch;
mod coolant_pump;
mod cylinder;
mod day_tank;
mod diesel;
mod diesel_checks;
mod diesel_knowledge;
mod diesel_margins;
mod diesel_words;
mod diode_isolator;
mod dry_stack;
mod duplex_strainer;
mod elbow;
mod electric_pump;
mod electrical_load;
mod engine_bilge_pump;
mod engine_space;
mod exchanger;
mod exhaust_hose;
mod face_seal;
mod gauge;
mod gear_cooler;
mod gearbox;
mod ground;
mod hand_bilge_pump;
mod hand_start;
mod header_tank;
mod hose;
mod hydraulic_pump;
mod instrument_supply;
mod intake;
mod keel_cooler;
mod lift_pump;
mod oil_cooler;
mod oil_feed;
mod oil_filter;
mod oil_pickup;
mod oil_pump;
mod oil_trough;
mod outlet;
mod overboard;
mod overboard_discharge;
mod pitch_gauge;
mod plate_exchanger;
mod plug;
mod plunger_pump;
mod power_take_off;
mod propeller;
mod raw_pump;
mod relief_valve;
mod sea_chest;
mod sender;
mod shaft;
mod shaft_bearing;
mod silencer;
mod skin_tank;
mod starting_air_valve;
mod steering;
mod stern_gland;
mod stern_tube_feed;
mod strainer;
mod stuffing_box;
mod sump;
mod thermostat;
mod thrust_bearing;
mod turbocharger;
mod valve;
mod vented_loop;
mod water_bearing;
