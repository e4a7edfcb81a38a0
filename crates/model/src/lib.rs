//! What should happen? A plant becomes equations; equations become a steady state, a march in time, a band.
//!
//! Parts say the laws of their passages; the balances of mass and heat are written here, once. Nothing here
//! knows a kind by name, reads a file or tells the time.
//!
//! Start with `steady.rs` (what is solved and how it may end), then `balance.rs` (the equations),
//! `layout.rs` (which unknown is where), `sensitivity.rs` (exact slopes) and `expect.rs` (bands).

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod balance;
mod bend;
pub mod common;
pub mod curve;
pub mod expect;
pub mod fit;
pub mod foretell;
pub mod layout;
pub mod likeness;
pub mod march;
pub mod misfit;
pub mod point;
mod sane;
pub mod scores;
pub mod sensitivity;
pub mod steady;
pub mod taken_apart;
pub mod touching;
pub mod under;
mod walk;
pub mod warmth;
