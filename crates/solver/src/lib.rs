//! How are equations solved? Structure check, damped Newton with a sparse factorisation, adjoint solves, and
//! walking along a path of systems.
//!
//! This room knows only numbered unknowns and numbered equations ("sentences"), each with a gap that a solution
//! closes. It never learns what a sentence is about, never prints, and never touches a file, a socket or a clock.
//!
//! Start with [`System`], which says what is asked, then [`Solver`]. [`matching`] is the check before any number,
//! and [`walk`] helps where Newton fails from the start at hand.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

mod again;
mod continuation;
mod damping;
mod newton;
mod outcome;
mod sparse;
mod step;
mod structure;
mod system;

pub use continuation::{WalkReport, walk};
pub use newton::Solver;
pub use outcome::{Options, Report, Steps, Stuck};
pub use structure::{Structure, matching};
pub use system::System;
