//! Do odds come true? Vessels drawn in a world apart, half of them sound, the rest with something wrong by the rates of the table;
//! the chance that an answer gives to each cause beside how often it was so.

use crate::cases::{place, wilson};
use crate::chance::Chance;
use crate::faults::Faults;
use crate::trial::{Rounds, Trial, many, next_fault, run};
use crate::world::Nature;
use ::live::world::MATTERS;
use diagnosis::hypothesis::What;
use model::steady::Model;
use parts::kind::Circuit;
use plant::plant::Plant;
use std::fmt::Write as _;
use std::ops::Range;

/// Share of the drawn vessels that are sound.
const SOUND: f64 = 0.5;
/// Chances below this are many and tell nothing [1].
const TOLD: f64 = 0.02;
/// Bins of chances.
const BINS: usize = 10;

/// Told chances in bins, and what was so.
#[derive(Clone, Default)]
pub struct Bins([Bin; BINS]);

#[derive(Copy, Clone, Default)]
struct Bin {
    count: f64,
    told: f64,
    so: f64,
    /// Variance of what would be so if all that is told were true.
    doubt: f64,
}

impl Bins {
    fn add(&mut self, told: f64, so: bool, weight: f64) {
        let bin = &mut self.0[((told * BINS as f64) as usize).min(BINS - 1)];
        bin.count += weight;
        bin.told += weight * told;
        bin.so += weight * f64::from(u8::from(so));
        bin.doubt += weight * weight * told * (1.0 - told);
    }

    /// Mean gap between what was told and what was so [1], and what chance alone would make of it were every told chance true.
    pub fn error(&self) -> (f64, f64) {
        let whole: f64 = self.0.iter().map(|bin| bin.count).sum::<f64>().max(1e-300);
        let gap: f64 = self.0.iter().map(|bin| (bin.told - bin.so).abs()).sum();
        // Mean size of a normal of that spread.
        let by_chance: f64 = self.0.iter().map(|bin| (bin.doubt * 2.0 / std::f64::consts::PI).sqrt()).sum();
        (gap / whole, by_chance / whole)
    }

    /// (how many, mean told, share so, its 95 % interval) of every bin that holds any.
    pub fn rows(&self) -> Vec<(f64, f64, f64, (f64, f64))> {
        let filled = self.0.iter().filter(|bin| bin.count > 0.5);
        filled
            .map(|b| {
                (b.count, b.told / b.count, b.so / b.count, wilson(b.so.round() as usize, b.count.round() as usize))
            })
            .collect()
    }
}

/// What came of a calibration.
#[derive(Clone, Default)]
pub struct Calibration {
    /// Vessels.
    pub plants: usize,
    /// Of them with something wrong.
    pub troubled: usize,
    /// The likeliest answer of each, and every answer above 2 %.
    pub likeliest: Bins,
    pub every: Bins,
    /// "All is well", each vessel counted as often as such come by the rates.
    pub well: Bins,
    log: f64,
    brier: f64,
    /// Troubled ones whose trouble shows in the gauges: true cause first, in first three, its circuit first.
    shown: usize,
    first: usize,
    in_three: usize,
    circuit: usize,
}

/// Draws, asks and counts.
pub fn calibrate(
    plant: &Plant,
    plants: Range<usize>,
    seed: u64,
    nature: Nature,
    rounds: &Rounds,
) -> Result<Calibration, String> {
    let mut model = Model::new(plant).map_err(|e| format!("{e:?}"))?;
    let faults = Faults::of(&mut model, nature, &mut Chance::new(seed));
    let trials = many(plant, plants, seed, |model, chance| {
        let fault = next_fault(&faults, SOUND, chance);
        let trial = run(model, nature, fault, rounds, chance)?;
        Some(Counted::of(&model.plant, &trial, faults.nothing()[0]))
    })?;
    let mut sum = Calibration { plants: trials.len(), ..Calibration::default() };
    let truly_well = faults.nothing()[1];
    for trial in &trials {
        sum.add(trial, truly_well);
    }
    Ok(sum)
}

/// What is counted of a trial.
struct Counted {
    sound: bool,
    shows: bool,
    /// Chance of every answer, with as many sound vessels as are drawn, and whether it was so.
    told: Vec<(f64, bool)>,
    /// Chance of all is well as told.
    well: f64,
    place: usize,
    circuit: bool,
}

impl Counted {
    fn of(plant: &Plant, trial: &Trial, well: f64) -> Counted {
        let truth = trial.fault.as_ref().map_or(What::Well, |fault| fault.what);
        let answer = &trial.answer;
        // An answer believes in as many sound vessels as there are; here are half of them. By Bayes' rule.
        let turn = |what: What| if what == What::Well { SOUND / well } else { (1.0 - SOUND) / (1.0 - well) };
        let turned: Vec<f64> = answer.ranked.iter().map(|r| r.probability * turn(r.what)).collect();
        let whole: f64 = turned.iter().sum();
        let told = turned
            .iter()
            .zip(&answer.ranked)
            .map(|(chance, r)| (chance / whole, r.what == truth && r.beside.is_none()))
            .collect();
        let circuit =
            |c: Circuit| answer.ranked.iter().filter(|r| r.circuit == Some(c)).map(|r| r.probability).sum::<f64>();
        let likeliest = Circuit::ALL.into_iter().max_by(|a, b| circuit(*a).total_cmp(&circuit(*b)));
        Counted {
            sound: trial.fault.is_none(),
            shows: trial.shows >= MATTERS,
            told,
            well: answer.ranked.iter().find(|r| r.what == What::Well).map_or(0.0, |r| r.probability),
            place: place(plant, answer, &|r| r.what == truth, |r| r.probability),
            circuit: trial.fault.as_ref().is_some_and(|fault| fault.circuit == likeliest),
        }
    }
}

impl Calibration {
    fn add(&mut self, trial: &Counted, truly_well: f64) {
        let likeliest = trial.told.iter().max_by(|a, b| a.0.total_cmp(&b.0)).copied().unwrap_or((0.0, false));
        self.likeliest.add(likeliest.0, likeliest.1, 1.0);
        for (told, so) in trial.told.iter().filter(|(told, _)| *told >= TOLD) {
            self.every.add(*told, *so, 1.0);
        }
        let weight = if trial.sound { truly_well / SOUND } else { (1.0 - truly_well) / (1.0 - SOUND) };
        self.well.add(trial.well, trial.sound, weight);
        let true_chance: f64 = trial.told.iter().filter(|(_, so)| *so).map(|(told, _)| told).sum();
        self.log -= true_chance.max(1e-6).ln();
        self.brier += trial.told.iter().map(|(told, so)| (f64::from(u8::from(*so)) - told).powi(2)).sum::<f64>();
        if !trial.sound {
            self.troubled += 1;
            if trial.shows {
                self.shown += 1;
                self.first += usize::from(trial.place == 1);
                self.in_three += usize::from(trial.place <= 3);
                self.circuit += usize::from(trial.circuit);
            }
        }
    }

    /// In words.
    pub fn report(&self) -> String {
        let mut text = format!("{} vessels, {} of them with something wrong\n", self.plants, self.troubled);
        for (name, bins) in [
            ("the likeliest answer", &self.likeliest),
            ("every answer above 2 %", &self.every),
            ("all is well, as often as by the rates", &self.well),
        ] {
            let (error, by_chance) = bins.error();
            let _ = writeln!(text, "{name}: ten-bin calibration error {error:.3} (by chance alone {by_chance:.3})");
            for (count, told, so, (low, high)) in bins.rows() {
                let _ = writeln!(text, "  {count:7.1}  told {told:.3}  so {so:.3}  ({low:.3} to {high:.3})");
            }
        }
        let n = self.plants.max(1) as f64;
        let _ =
            writeln!(text, "mean of −ln(chance of the truth) {:.3}, Brier score {:.3}", self.log / n, self.brier / n);
        for (name, k) in [("first", self.first), ("in first three", self.in_three), ("right circuit", self.circuit)] {
            let (low, high) = wilson(k, self.shown.max(1));
            let _ = writeln!(
                text,
                "  of {} that show: {name} {:.1} % ({:.1} to {:.1})",
                self.shown,
                100.0 * k as f64 / self.shown.max(1) as f64,
                100.0 * low,
                100.0 * high
            );
        }
        text
    }
}
