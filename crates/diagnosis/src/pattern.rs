//! What no state of the plant says: how trouble came, and that it spares the other engine. A small table of likelihoods on
//! the cause, neutral where the table of rates says nothing of it.

use crate::hypothesis::{self, What};
use parts::rates::{self, Comes, Rate};
use plant::evidence::{Came, Evidence};
use plant::plant::Plant;

/// Chance that trouble is told to have come as its cause comes, and otherwise in either of the other two ways. From memory:
/// a slow fault is often noticed only from one moment to the next.
const AS_IT_COMES: f64 = 0.7;
const OTHERWISE: f64 = 0.15;
/// Where nothing is known of how a cause comes, each of the three alike.
const EITHER: f64 = 1.0 / 3.0;
/// Chance that the other engine is well though what is wrong would reach it as much: that it is slower to show. From memory.
const SPARED: f64 = 0.15;
/// And where it would not: that she has no trouble of her own.
const SOUND: f64 = 0.97;

/// Logarithm of how likely it is told to have come so, and the other engine to be well, under a cause.
pub fn log_likelihood(plant: &Plant, evidence: &Evidence, what: What) -> f64 {
    came(plant, evidence, what) + sister(plant, evidence, what)
}

fn rate(plant: &Plant, what: What) -> Option<&'static Rate> {
    hypothesis::cause_of(plant, what).and_then(|cause| rates::rate(cause.rate))
}

/// Logarithm of how likely it is told to have come so.
pub fn came(plant: &Plant, evidence: &Evidence, what: What) -> f64 {
    let comes = rate(plant, what).map_or(Comes::Either, |rate| rate.comes);
    let came: f64 = evidence.came.map_or(1.0, |came| match (comes, came) {
        (Comes::Either, _) => EITHER,
        (Comes::AtOnce, Came::AtOnce) | (Comes::ByDegrees, Came::ByDegrees) | (Comes::OnAndOff, Came::OnAndOff) => {
            AS_IT_COMES
        }
        _ => OTHERWISE,
    });
    came.ln()
}

/// Logarithm of how likely the other engine is told to be well.
pub fn sister(plant: &Plant, evidence: &Evidence, what: What) -> f64 {
    let both = rate(plant, what).is_some_and(|rate| rate.both_engines);
    let sister: f64 = if !evidence.sister_well {
        1.0
    } else if both {
        SPARED
    } else {
        SOUND
    };
    sister.ln()
}
