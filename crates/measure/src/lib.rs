//! What does a number mean?
//!
//! A number as the owner writes it ("2.4 bar", "about 78 C and climbing") becomes a plain SI value of a known
//! quantity, and goes back to words for the page. Only this crate converts units.
//!
//! Never here: files, sockets, clocks, physics. Kept apart: temperature and difference, absolute and gauge
//! pressure and difference, flow by mass and by volume.
//!
//! Start at [`unit::parse`] and [`quantity::Quantity`]; [`figure::Figure`] is a value with its spread and origin,
//! [`reading`] is what a gauge says.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod figure;
mod length;
pub mod nearest;
mod number;
pub mod quantity;
pub mod reading;
mod table;
pub mod trend;
pub mod unit;
