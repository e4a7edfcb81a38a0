//! How far gauges alone can get: faults that matter on a vessel of ten lines and eighteen gauges, with and without readings
//! from when she was well, at one speed and at three, and with ever fewer gauges.

use crate::cases::{label, place, wilson};
use crate::chance::Chance;
use crate::faults::Faults;
use crate::trial::{Rounds, Trial, many, run};
use crate::world::AS_BELIEVED;
use ::live::world::MATTERS;
use diagnosis::explain::Answer;
use diagnosis::hypothesis::{What, cause_of};
use model::steady::Model;
use plant::evidence::Named;
use plant::plant::{GaugeId, Plant};
use std::fmt::Write as _;
use std::ops::Range;

/// The ten lines of a first vessel file, and eighteen gauges. Invented.
const TEN_LINES: &str = r#"
[vessel]
name = "Ten lines, eighteen gauges"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "exchanger", "elbow"]
"#;

/// The gauges, those that tell most first: fewer are the first of them.
const GAUGES: [(&str, &str, &str); 18] = [
    ("coolant", "engine.coolant-out", "temperature"),
    ("oil", "engine.oil-in", "pressure"),
    ("raw-out", "exchanger.raw-out", "temperature"),
    ("suction", "raw-pump.in", "pressure"),
    ("exhaust", "engine.gas-out", "temperature"),
    ("raw-pressure", "raw-pump.out", "pressure"),
    ("back-pressure", "elbow.in", "pressure"),
    ("oil-temperature", "sump", "temperature"),
    ("boat-speed", "propeller.boat-speed", "speed"),
    ("coolant-return", "exchanger.coolant-out", "temperature"),
    ("speed", "engine.speed", "speed"),
    ("elbow-out", "elbow.out", "temperature"),
    ("coolant-pressure", "coolant-pump.out", "pressure"),
    ("oil-before-filter", "oil-filter.in", "pressure"),
    ("raw-flow", "exchanger.raw", "flow"),
    ("sea", "sea", "temperature"),
    ("coolant-in", "engine.coolant-in", "temperature"),
    ("raw-before-elbow", "exchanger.raw-out", "pressure"),
];

/// The plant with its eighteen gauges.
pub fn ten_lines() -> Result<Plant, String> {
    let mut text = TEN_LINES.to_owned();
    for (name, at, reads) in GAUGES {
        let _ = writeln!(text, "[gauge.{name}]\nat = \"{at}\"\nreads = \"{reads}\"");
        if name == "suction" {
            // A pump that stands below the waterline is under pressure until its suction clogs.
            text += "scale = [\"-1 bar\", \"1 bar\"]\n";
        }
    }
    let (plant, findings) = plant::reader::read(&text);
    match findings.iter().find(|finding| finding.is_fatal()) {
        Some(fatal) => Err(fatal.problem.to_string()),
        None => plant.ok_or_else(|| "the ten lines do not load".into()),
    }
}

/// One setting: its name, speeds at which she was read while well and now, gauges, and what a prototype reached (first, in
/// first three) [%].
pub struct Setting {
    name: &'static str,
    usual: &'static [f64],
    now: &'static [f64],
    gauges: usize,
    prototype: Option<(u32, u32)>,
}

const NONE: &[f64] = &[];
const ONE: &[f64] = &[0.83];
const THREE: &[f64] = &[0.5, 0.72, 0.94];

/// The settings by number.
pub const SETTINGS: [Setting; 8] = [
    Setting { name: "ten lines, 18 gauges, one speed", usual: NONE, now: ONE, gauges: 18, prototype: Some((56, 79)) },
    Setting {
        name: "ten lines, 18 gauges, three speeds",
        usual: NONE,
        now: THREE,
        gauges: 18,
        prototype: Some((70, 87)),
    },
    Setting {
        name: "read while well, 18 gauges, one speed",
        usual: THREE,
        now: ONE,
        gauges: 18,
        prototype: Some((78, 93)),
    },
    Setting {
        name: "read while well, 10 gauges, three speeds",
        usual: THREE,
        now: THREE,
        gauges: 10,
        prototype: Some((70, 87)),
    },
    Setting {
        name: "read while well, 18 gauges, three speeds",
        usual: THREE,
        now: THREE,
        gauges: 18,
        prototype: Some((88, 100)),
    },
    Setting { name: "read while well, 14 gauges, three speeds", usual: THREE, now: THREE, gauges: 14, prototype: None },
    Setting { name: "read while well, 6 gauges, three speeds", usual: THREE, now: THREE, gauges: 6, prototype: None },
    Setting { name: "ten lines, 6 gauges, one speed", usual: NONE, now: ONE, gauges: 6, prototype: None },
];

/// Faults are worse than this [1].
const WORSE: f64 = 0.4;

/// What came of one setting.
pub struct Reached {
    /// Vessels with a fault above 0.4; with one that shows in these gauges.
    pub plants: usize,
    pub shown: usize,
    /// The true cause first and in the first three: of all; of all, of those that show with every way in which one gauge lies
    /// counted as one. Causes of one part that one repair cures count as one.
    pub first: [usize; 3],
    pub in_three: [usize; 3],
    /// Those not first: which, how bad, how far they moved the gauges, their place and chance, and what came first.
    pub missed: Vec<String>,
}

/// Runs one setting.
pub fn reach(setting: &Setting, plants: Range<usize>, seed: u64) -> Result<Reached, String> {
    let plant = ten_lines()?;
    let mut model = Model::new(&plant).map_err(|e| format!("{e:?}"))?;
    let faults = Faults::of(&mut model, AS_BELIEVED, &mut Chance::new(seed));
    let rounds = Rounds {
        usual: setting.usual.to_vec(),
        now: setting.now.to_vec(),
        gauges: (0..setting.gauges).map(GaugeId).collect(),
    };
    let trials = many(&plant, plants.clone(), seed, |model, chance| {
        let fault = faults.draw(chance);
        // What no list holds has no place on one, and what does nothing to plant or gauge cannot be read.
        let counts = fault.what == fault.acts && fault.bad() > WORSE && fault.acts_on(&model.plant, &rounds.gauges);
        if !counts {
            return None;
        }
        run(model, AS_BELIEVED, Some(fault), &rounds, chance)
    })?;
    let mut reached = Reached { plants: trials.len(), shown: 0, first: [0; 3], in_three: [0; 3], missed: Vec::new() };
    for (number, trial) in plants.zip(&trials) {
        reached.add(&plant, number, trial);
    }
    Ok(reached)
}

/// Place among named causes if a gauge that lies is one cause, whichever way it lies, and so is a part that one repair cures.
fn place_by_gauge(plant: &Plant, answer: &Answer, truth: What) -> usize {
    let mut sums: Vec<((Named, &str), f64)> = Vec::new();
    let key = |what: What| match what {
        What::Cause(named @ Named::Gauge(_), _) => Some((named, "")),
        What::Cause(named, _) => Some((named, cause_of(plant, what).map_or("", |cause| cause.remedy))),
        _ => None,
    };
    for ranked in &answer.ranked {
        let Some(key) = key(ranked.what) else { continue };
        match sums.iter_mut().find(|(known, _)| *known == key) {
            Some((_, sum)) => *sum += ranked.probability,
            None => sums.push((key, ranked.probability)),
        }
    }
    let own = sums.iter().find(|(known, _)| Some(*known) == key(truth)).map_or(0.0, |(_, sum)| *sum);
    1 + sums.iter().filter(|(_, sum)| *sum > own).count()
}

impl Reached {
    fn add(&mut self, plant: &Plant, number: usize, trial: &Trial) {
        let Some(fault) = &trial.fault else { return };
        let place = place(plant, &trial.answer, &|r| r.what == fault.what, |r| r.probability);
        let shows = trial.shows >= MATTERS;
        self.shown += usize::from(shows);
        let by_gauge = place_by_gauge(plant, &trial.answer, fault.what);
        for (k, place, counts) in [(0, place, true), (1, by_gauge, true), (2, by_gauge, shows)] {
            self.first[k] += usize::from(counts && place == 1);
            self.in_three[k] += usize::from(counts && place <= 3);
        }
        if by_gauge > 1 {
            let own = trial.answer.ranked.iter().find(|r| r.what == fault.what);
            let top = trial.answer.ranked.iter().find(|r| matches!(r.what, What::Cause(..)));
            let line = |r: &diagnosis::explain::Ranked| {
                format!(
                    "{} {:.3} (weight {:.2}, rate {:.4}, {:.2})",
                    label(plant, r.what),
                    r.probability,
                    r.weight,
                    r.by_rate,
                    r.severity
                )
            };
            self.missed.push(format!(
                "{number}: {} at {:.2} moved {:.1}: place {by_gauge}, {}; first {}",
                label(plant, fault.what),
                fault.bad(),
                trial.shows,
                own.map_or_else(String::new, line),
                top.map_or_else(String::new, line)
            ));
        }
    }

    /// In words.
    pub fn report(&self, setting: &Setting) -> String {
        let mut text = format!("{}\n", setting.name);
        let percent = |k: usize, n: usize| {
            let (low, high) = wilson(k, n.max(1));
            format!("{:.1} % ({:.1} to {:.1})", 100.0 * k as f64 / n.max(1) as f64, 100.0 * low, 100.0 * high)
        };
        for (k, n, of) in [
            (0, self.plants, "all"),
            (1, self.plants, "all, a lying gauge as one cause"),
            (2, self.shown, "those that show, a lying gauge as one cause"),
        ] {
            let (first, three) = (percent(self.first[k], n), percent(self.in_three[k], n));
            let _ = writeln!(text, "  {of}, {n}: first {first}, in first three {three}");
        }
        if let Some((first, three)) = setting.prototype {
            let _ = writeln!(text, "  a prototype: {first} %, {three} %");
        }
        text
    }
}
