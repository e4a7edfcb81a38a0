//! Fuel lift pump: a diaphragm on the engine between fuel and sump.

use crate::kind::*;
use crate::laws::{Silent, both};

/// The kind.
pub const KIND: Kind = Kind {
    name: "lift-pump",
    title: "Fuel lift pump",
    circuit: Circuit::Fuel,
    passages: &[],
    parameters: &[],
    unknowns: &[],
    links: &[],
    laws: both::<Silent>(),
    causes: &[],
    words: &[],
    checks: &[],
    limits: &[],
};
