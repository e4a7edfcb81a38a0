//! Work too long to wait for: bands, causes, what would escape. A job is plain data; whoever runs the watch runs its
//! jobs, beside it and one at a time, and hands back what came of them.

use crate::escape::{self, Unseen};
use crate::picture::Explained;
use diagnosis::explain::{Ranked, explain};
use diagnosis::hypothesis::What;
use model::expect::{Expected, usual};
use model::steady::Model;
use plant::evidence::{Evidence, ToldPoint};
use plant::plant::Plant;
use std::sync::Arc;

/// The likeliest causes, of which one may be named.
const MAY_BE_NAMED: usize = 3;

/// Something to work out.
#[derive(Clone, Debug)]
pub enum Job {
    /// What a sound plant would read: a tenth of a second or some.
    Bands {
        /// Where.
        told: ToldPoint,
        /// Occasions when it was well.
        usual: Evidence,
    },
    /// What is wrong: a second or some, on every core.
    Weigh {
        /// From what.
        evidence: Evidence,
        /// When it was asked [s].
        at: f64,
        /// A sound plant as she is run now, with its bands.
        expected: Option<Arc<Expected>>,
    },
    /// What the gauges would not show: a fraction of a second.
    Escapes {
        /// A sound plant there, with its bands.
        expected: Arc<Expected>,
    },
    /// Whether a cause would show at an operating point where nothing is odd: a solve.
    Shows {
        /// Which.
        what: What,
        /// How bad; of what blocks, the share of the area shut [1].
        severity: f64,
        /// A sound plant there, with its bands.
        expected: Arc<Expected>,
    },
}

/// What came of a job.
pub enum Outcome {
    /// Bands at an operating point; nothing if the plant has no state there.
    Bands {
        /// Where.
        told: ToldPoint,
        /// Occasions behind them.
        usual: usize,
        /// The bands.
        expected: Option<Arc<Expected>>,
    },
    /// Causes with their odds; nothing if there is no answer.
    Weighed(Option<Arc<Explained>>),
    /// What would escape.
    Escapes(Unseen),
    /// Whether it would show.
    Shows(bool),
}

impl Job {
    /// Does it. Pure, and the same each time; how long it takes is all that differs.
    pub fn run(&self, plant: &Plant) -> Outcome {
        match self {
            Job::Bands { told, usual: evidence } => Outcome::Bands {
                told: told.clone(),
                usual: evidence.occasions.len(),
                expected: Model::new(plant)
                    .ok()
                    .and_then(|mut model| model.expect(told, &usual(plant, evidence)).ok())
                    .map(Arc::new),
            },
            Job::Weigh { evidence, at, expected } => Outcome::Weighed(explain(plant, evidence).ok().map(|answer| {
                let causes =
                    answer.ranked.iter().filter(|ranked| matches!(ranked.what, What::Cause(..))).take(MAY_BE_NAMED);
                let moves = |ranked: &Ranked| {
                    let moves = expected.as_ref().map(|e| escape::moves(plant, e, ranked.what, ranked.severity));
                    (ranked.what, moves.unwrap_or_default())
                };
                let moves = causes.map(moves).collect();
                Arc::new(Explained { at: *at, answer, held: None, moves })
            })),
            Job::Escapes { expected } => Outcome::Escapes(escape::unseen(plant, expected)),
            Job::Shows { what, severity, expected } => {
                Outcome::Shows(escape::would_show(plant, expected, *what, *severity))
            }
        }
    }
}
