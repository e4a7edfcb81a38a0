//! What was told, set out for weighing: occasions with their operating points, readings, one-sided readings.

use measure::reading::{Mark, ReadingText};
use model::common::MODEL_OF_ONE_MAKE;
use model::expect::{LASTING_SHARE, discrepancy, reading_noise};
use model::fit::{Observed, Run, Seen};
use model::point::{self, PointSpread};
use model::warmth::Warmth;
use plant::evidence::{Evidence, Moment, Occasion, ToldPoint};
use plant::plant::{GaugeId, Plant};

/// Evidence set out for weighing.
#[derive(Clone, Debug)]
pub struct Setting {
    /// Occasions and readings.
    pub seen: Seen,
    /// Readings that only say "at least" or "at most".
    pub bounds: Vec<Bound>,
    /// For each occasion told, its run.
    pub run_of: Vec<usize>,
    /// Runs after onset.
    pub troubled: Vec<usize>,
}

/// A one-sided reading.
#[derive(Copy, Clone, Debug)]
pub struct Bound {
    /// Which run.
    pub run: usize,
    /// Which gauge.
    pub gauge: GaugeId,
    /// The value passed [SI].
    pub value: f64,
    /// One standard deviation of the gauge [SI].
    pub sigma: f64,
    /// At least (true) or at most.
    pub at_least: bool,
}

/// How much better "the same as usual" repeats an operating point than being told it: shares of the told spread.
const REPEATS: [f64; point::SIZE] = [0.4, 0.5, 0.3, 0.5, 0.5, 0.5];

/// Sets out evidence.
pub fn set_out(plant: &Plant, evidence: &Evidence) -> Setting {
    let mut setting = Setting { seen: Seen::default(), bounds: Vec::new(), run_of: Vec::new(), troubled: Vec::new() };
    for occasion in &evidence.occasions {
        let troubled = occasion.when == Moment::Now;
        let told = if troubled { complained_at(plant, &occasion.at) } else { occasion.at.clone() };
        let (at, spread) = point::told(plant, &told);
        let run = setting.seen.runs.len();
        setting.seen.runs.push(Run { point: at, spread, warmth: Warmth::told(&occasion.at), troubled });
        setting.run_of.push(run);
        if troubled {
            setting.troubled.push(run);
        }
        setting.readings(plant, occasion, run);
    }
    // Before onset first: what is read after it is held against that.
    let (runs, observed) = (&setting.seen.runs, &mut setting.seen.observed);
    observed.sort_by_key(|o| o.terms.iter().any(|(run, ..)| runs[*run].troubled));
    if setting.troubled.is_empty() {
        let (at, spread) = point::told(plant, &plant::evidence::ToldPoint::default());
        setting.troubled.push(setting.seen.runs.len());
        setting.seen.runs.push(Run { point: at, spread, warmth: Warmth::Settled, troubled: true });
    }
    setting
}

/// Where people complain if they do not say where: near full speed, in water on the warm side; trouble shows there first.
/// From memory. The spread of what is not told stays wide.
fn complained_at(plant: &Plant, at: &ToldPoint) -> ToldPoint {
    ToldPoint { speed: at.speed.or(Some(0.93 * plant.rated_speed)), sea: at.sea.or(Some(293.15)), ..at.clone() }
}

impl Setting {
    fn readings(&mut self, plant: &Plant, occasion: &Occasion, run: usize) {
        let mut twin = None;
        for &(gauge, text) in &occasion.readings {
            let scale = plant[gauge].scale;
            match text {
                ReadingText::Value { value, mark, rough } => match mark {
                    Mark::Steady => self.seen.observed.push(Observed {
                        terms: vec![(run, gauge, 1.0)],
                        value,
                        noise: reading_noise(plant, gauge, value, rough),
                    }),
                    Mark::Climbing | Mark::OffScaleHigh => self.bound(plant, run, gauge, value, true),
                    Mark::Falling | Mark::OffScaleLow => self.bound(plant, run, gauge, value, false),
                },
                ReadingText::OffScale { mark } => {
                    let high = mark == Mark::OffScaleHigh;
                    self.bound(plant, run, gauge, if high { scale.1 } else { scale.0 }, high);
                }
                ReadingText::OverSister { difference, rough, .. } => {
                    let Some(sister) = plant.sister_gauge(gauge) else { continue };
                    let (own, hers) = (plant[gauge].noise, plant[sister].noise);
                    // What the model gets wrong of the make cancels.
                    let model = discrepancy(plant[gauge].quantity, 0.5 * (scale.0 + scale.1));
                    let passing = model * (2.0 * (1.0 - LASTING_SHARE) * (1.0 - MODEL_OF_ONE_MAKE)).sqrt();
                    self.seen.observed.push(Observed {
                        terms: vec![(run, gauge, 1.0), (run, sister, -1.0)],
                        value: difference,
                        noise: own.hypot(hers).hypot(passing) * if rough { 2.5 } else { 1.0 },
                    });
                }
                ReadingText::OverUsual { .. } | ReadingText::AsUsual => {
                    let (difference, rough) = match text {
                        ReadingText::OverUsual { difference, rough, .. } => (difference, rough),
                        _ => (0.0, false),
                    };
                    let usual = *twin.get_or_insert_with(|| self.usual_twin(run));
                    self.seen.observed.push(Observed {
                        terms: vec![(run, gauge, 1.0), (usual, gauge, -1.0)],
                        value: difference,
                        // The model's own error cancels; two readings' flicker stays.
                        noise: plant[gauge].noise * std::f64::consts::SQRT_2 * if rough { 2.5 } else { 1.0 },
                    });
                }
            }
        }
    }

    /// The same operating point on a good day.
    fn usual_twin(&mut self, run: usize) -> usize {
        let told = self.seen.runs[run].clone();
        let spread = PointSpread(std::array::from_fn(|k| told.spread.0[k] * REPEATS[k]));
        self.seen.runs.push(Run { point: told.point, spread, warmth: told.warmth, troubled: false });
        self.seen.runs.len() - 1
    }

    fn bound(&mut self, plant: &Plant, run: usize, gauge: GaugeId, value: f64, at_least: bool) {
        let model = discrepancy(plant[gauge].quantity, value);
        let sigma = (plant[gauge].accuracy / 1.96).hypot(plant[gauge].noise).hypot(model);
        self.bounds.push(Bound { run, gauge, value, sigma, at_least });
    }
}
