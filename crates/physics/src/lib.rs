//! What do the books say? Liquids, gases, friction, heat transfer, pump and propeller laws.
//!
//! Every law is a pure function over [`number::Number`], in SI with kelvin and absolute pascal, and says
//! where it was printed. Nothing here reads a file, a clock or a part of a plant; nothing converts units;
//! nothing panics, and what the model evaluates stays finite with finite slopes outside its stated range.
//!
//! Start reading with [`number`], then [`contents`] (what a circuit is filled with), then [`flow`].

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod belt_path;
pub mod compression;
pub mod constants;
pub mod contents;
pub mod coolant;
pub mod diesel_fuel;
pub mod drive;
pub mod dry_exhaust;
pub mod electrical;
pub mod engine;
pub mod flow;
pub mod fresh_water;
pub mod gas;
pub mod halving;
pub mod heat_release;
pub mod heat_transfer;
pub mod hull_cooler;
pub mod if97;
pub mod injector;
pub mod number;
pub mod oil;
pub mod oil_pressure;
pub mod propeller;
pub mod pumps;
pub mod sea_water;
pub mod sender;
pub mod smooth;
pub mod teos10;
pub mod transient;
pub mod turbocharger;
pub mod valve_train;
pub mod ventilation;
pub mod viscosity_index;
pub mod wet_exhaust;
