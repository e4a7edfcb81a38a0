//! What does the laboratory's sheet say? Samples of oil, coolant and fuel: limits, wear in an hour, what got in, and trends.
//!
//! It knows no file and no clock; [`diary`] keeps the entries. What a sheet says in single figures is put together: metal is
//! reckoned back to what wears off in an hour ([`dilution`]), and what is found is weighed over everything that may have got in
//! ([`origin`]).
//!
//! Start with [`sample`] (what an entry holds), then [`Results::of`].

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod dilution;
mod evidence;
pub mod iso4406;
pub mod limits;
pub mod origin;
pub mod reading;
mod results;
pub mod sample;
pub mod saying;
mod sources;

pub use evidence::CheckTold;
pub use limits::{Limit, Limits, Standing};
pub use results::{Ahead, Judged, Metal, Results, Toppings, liquid};
pub use sample::{Analyte, Sample};
pub use sources::Source;
