//! Oil and coolant topped up: how much in a hundred hours, and whether it grows.

use crate::balance::Amount;
use crate::hours::Hours;
use crate::posting::Posting;
use diary::Entry;
use measure::figure::SIGMAS_TO_95;
use measure::trend::Trend;

/// A mark is filled to within this much of what the part holds, 19 times in 20 [1]; where that is not told, within so much [m³].
/// From memory.
const MARK_SHARE: f64 = 0.03;
const MARK: f64 = 0.3e-3;

/// What was topped up into one part.
#[derive(Clone, Debug, PartialEq)]
pub struct Topping {
    /// The part.
    pub part: String,
    /// Hours over which it is known [h].
    pub hours: f64,
    /// What it took in that time [m³].
    pub added: f64,
    /// What it takes an hour [m³/h].
    pub rate: Amount,
    /// Each span between two fillings to the mark: running hours at its middle [h], what it took an hour [m³/h], its weight.
    pub spans: Vec<(f64, f64, f64)>,
    /// How that goes with running hours.
    pub trend: Option<Trend>,
    /// First and last filling [ms since 1970].
    pub span: (i64, i64),
}

impl Topping {
    /// Of one part, from entries by time and the hours of the engine it serves; nothing before it was filled to its mark twice
    /// with hours between.
    ///
    /// * `holds`: what the part holds [m³], if told
    pub fn of(entries: &[Entry<Posting>], part: &str, hours: &Hours, holds: Option<f64>) -> Option<Topping> {
        let mark = holds.map_or(MARK, |holds| MARK_SHARE * holds) / SIGMAS_TO_95;
        // When it was last full, and what was drawn off on purpose since.
        let mut full: Option<(i64, f64)> = None;
        let mut drained = 0.0;
        let (mut spans, mut added, mut run, mut whole) = (Vec::new(), 0.0, 0.0, (i64::MAX, 0));
        let mut rows = 0.0;
        let mut joined = false;
        for entry in entries {
            match &entry.what {
                Posting::Drained { part: of, volume } if of == part => drained += volume,
                Posting::Renewed { part: of, .. } if of == part => {
                    // How low it stood before it was drained nobody knows.
                    (full, drained, joined) = (hours.at(entry.time).map(|at| (entry.time, at)), 0.0, false);
                }
                Posting::Added { part: of, volume } if of == part => {
                    let Some(at) = hours.at(entry.time) else { continue };
                    if let Some((time, before)) = full
                        && at > before
                    {
                        let took = volume - drained;
                        let span = at - before;
                        spans.push((f64::midpoint(at, before), took / span, span * span));
                        (added, run) = (added + took, run + span);
                        rows += f64::from(!joined);
                        joined = true;
                        whole = (whole.0.min(time), entry.time);
                    }
                    (full, drained) = (Some((entry.time, at)), 0.0);
                }
                _ => {}
            }
        }
        if run <= 0.0 {
            return None;
        }
        // Marks between spans that follow on each other cancel: only the two ends of a row of them count.
        let sigma = mark * f64::sqrt(2.0 * rows) / run;
        let trend = Trend::through(&spans);
        let part = part.to_string();
        Some(Topping { part, hours: run, added, rate: Amount { value: added / run, sigma }, spans, trend, span: whole })
    }
}
