//! Where did the fuel, the oil and the coolant go, and how long has she run? Entries of what was taken, moved, sounded, burnt
//! and added, and what follows from them.
//!
//! It balances: what went into the tanks and what was burnt is held against what the soundings say, each with its doubt. It
//! knows no file and no clock; [`diary`] keeps the entries.
//!
//! Start with [`posting`] (what an entry holds), then [`hours`] (running hours), then [`balance`].

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod hours;
pub mod posting;

pub use hours::Hours;
pub use posting::Posting;
