//! Where did the fuel, the oil and the coolant go, and how long has she run? Entries of what was taken, moved, sounded, burnt
//! and added, and what follows from them.
//!
//! It balances: what went into the tanks and what was burnt is held against what the soundings say, each with its doubt. It
//! knows no file and no clock; [`diary`] keeps the entries.
//!
//! Start with [`posting`] (what an entry holds) and [`Ledger::of`], which works everything out; [`hours`] and [`balance`] are its
//! two halves, and [`saying`] puts it in words.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod balance;
mod books;
mod evidence;
pub mod hours;
pub mod posting;
pub mod reading;
pub mod saying;
pub mod told;
pub mod topping;
pub mod written;

pub use books::{Ledger, Odd, What, holds_coolant, holds_oil};
pub use evidence::{COOLANT_LOST, FUEL_LOST, OIL_FOR_FUEL, Told as CheckTold};
pub use hours::Hours;
pub use posting::Posting;
