//! A plant whose true figures nobody knows, and what its gauges show: what the demonstration has to find out.
//!
//! Figures are drawn from their spreads, each gauge gets a lasting error and flicker, and each reading an error of the
//! model's own. Who explains sees only the vessel file and the readings.

use diagnosis::hypothesis::{What, cause_of};
use diagnosis::tried;
use measure::figure::normal_below;
use measure::quantity::Quantity;
use measure::unit::print;
use model::expect::{discrepancy, quasi_normal};
use model::scores::Scores;
use model::steady::{Model, State, Unsolved};
use model::under::Change;
use parts::catalogue;
use parts::kind::{Check, Find, Severity, When};
use parts::laws::Point;
use plant::evidence::{Evidence, Named};
use plant::plant::{GaugeId, PartId, Plant};
use std::fmt::Write as _;
use watch::dial;

/// What is put wrong.
#[derive(Copy, Clone, Debug)]
pub struct Fault {
    /// In this part of the vessel.
    pub part: &'static str,
    /// This way to fail.
    pub cause: &'static str,
    /// How bad [0 to 1].
    pub severity: f64,
}

/// A simulated vessel.
pub struct Simulation {
    pub(crate) model: Model,
    pub(crate) figures: Vec<f64>,
    /// What is lastingly wrong with each gauge [standard deviations].
    errors: Vec<f64>,
    pub(crate) seed: usize,
}

/// A true figure lies no further out than this [standard deviations]: a vessel that runs well to begin with.
const FURTHEST: f64 = 2.0;
/// A check that shows what is wholly so at least this often looks straight at it [1].
const PLAIN: f64 = 0.85;
/// Which draw is for what.
const GAUGE_ERRORS: usize = 10_000;
const MODEL_ERRORS: usize = 20_000;
const WORDS: usize = 30_000;
const CHECKS: usize = 40_000;
pub(crate) const FLICKER: usize = 50_000;

impl Simulation {
    /// Draws a vessel: the same from the same seed.
    pub fn draw(model: Model, seed: usize) -> Simulation {
        let scores = Scores::of(&model, 0);
        let gauges = model.plant.gauges.len();
        let first = scores.len() - gauges;
        let figures = (0..first).map(|k| quasi_normal(seed, k).clamp(-FURTHEST, FURTHEST));
        let normals: Vec<f64> = figures.chain((0..gauges).map(|g| quasi_normal(seed, GAUGE_ERRORS + g))).collect();
        let figures = scores.parameters(&model, &normals);
        let errors = model.plant.gauge_ids().map(|gauge| scores.off(gauge, &normals)).collect();
        Simulation { model, figures, errors, seed }
    }

    /// What an owner would write down at this point, with the fault if there is one.
    ///
    /// # Errors
    /// [`Unsolved`] if the drawn vessel has no state there.
    pub fn round(&mut self, point: &Point<f64>, fault: Option<&Fault>, occasion: usize) -> Result<Round, Unsolved> {
        let figures = fault
            .and_then(|fault| self.change(fault))
            .map_or_else(|| self.figures.clone(), |change| change.apply(&self.figures));
        let state = self.model.solve(&figures, point, None)?;
        let plant = &self.model.plant;
        let mut round = Round { readings: Vec::new(), said: fault.map_or_else(Vec::new, |fault| self.noticed(fault)) };
        for (g, gauge) in plant.gauges.iter().enumerate() {
            match gauge.trips {
                None => round.readings.push((gauge.name.clone(), self.dial(&state, GaugeId(g), occasion))),
                Some((trip, when)) => {
                    let value = self.model.read(&state, gauge.tap);
                    if if when == When::High { value > trip } else { value < trip } {
                        round.said.push(format!("{}.on", gauge.name));
                    }
                }
            }
        }
        Ok(round)
    }

    /// What a check comes out as with this fault; the word for evidence.
    pub fn check(&self, fault: &Fault, of: Named, check: &'static Check, turn: usize) -> &'static str {
        let wrong = self.what(fault).map(|what| (what, fault.severity));
        match self.shows(wrong, of, check, turn) {
            (true, Some(find)) if !find.cause.contains('/') => find.cause,
            (true, _) => "something",
            (false, _) => "clean",
        }
    }

    /// Whether a check shows something with this wrong, and which of its finds that is: with its power to miss and to
    /// cry wolf.
    pub(crate) fn shows(
        &self,
        wrong: Option<(What, f64)>,
        of: Named,
        check: &'static Check,
        turn: usize,
    ) -> (bool, Option<&'static Find>) {
        let found = wrong.and_then(|(what, bad)| Some((tried::find_of(&self.model.plant, of, check, what)?, bad)));
        let cries_wolf = tried::false_find(check);
        let whole = wrong
            .and_then(|(what, _)| cause_of(&self.model.plant, what))
            .is_some_and(|c| c.severity == Severity::Whole);
        let chance = found.map_or(cries_wolf, |(find, bad)| match tried::detect(find, if whole { 1.0 } else { bad }) {
            // What is wholly so and in plain sight is seen: a pump that stands does not turn.
            chance if whole && chance > PLAIN => 1.0,
            chance => chance.max(cries_wolf),
        });
        (normal_below(quasi_normal(self.seed, CHECKS + turn)) < chance, found.map(|(find, _)| find))
    }

    /// The cause that a fault is.
    pub fn what(&self, fault: &Fault) -> Option<What> {
        let plant = &self.model.plant;
        let part = plant.part(fault.part)?;
        let cause = plant[part].kind.causes.iter().position(|cause| cause.name == fault.cause)?;
        Some(What::Cause(Named::Part(part), cause))
    }

    fn change(&self, fault: &Fault) -> Option<Change> {
        self.change_by(self.what(fault)?, fault.severity)
    }

    /// What a cause of this severity does to the figures.
    pub(crate) fn change_by(&self, what: What, severity: f64) -> Option<Change> {
        let all = diagnosis::hypothesis::all(&self.model.plant, &self.model.layout, &Evidence::default());
        let moves = all.into_iter().find(|each| each.what == what)?.moves;
        Some(Change { moves, severity })
    }

    /// What goes with the fault and is noticed, as often as it is there to be noticed.
    fn noticed(&self, fault: &Fault) -> Vec<String> {
        let plant = &self.model.plant;
        let Some(part) = plant.part(fault.part) else { return Vec::new() };
        let Some(cause) = plant[part].kind.causes.iter().find(|cause| cause.name == fault.cause) else {
            return Vec::new();
        };
        // As a check detects it: half severity is as plain as it gets, and none is nothing to be noticed.
        let noticeable = (fault.severity / 0.5).min(1.0);
        let there = cause
            .says
            .iter()
            .enumerate()
            .filter(|(k, says)| normal_below(quasi_normal(self.seed, WORDS + k)) < says.chance * noticeable);
        there
            .filter_map(|(_, says)| {
                let of = if says.kind.is_empty() {
                    Some(part)
                } else {
                    (0..plant.parts.len()).map(PartId).find(|id| catalogue::answers_for(plant[*id].kind, says.kind))
                };
                Some(format!("{}.{}", plant[of?].name, says.word))
            })
            .collect()
    }

    /// What a gauge shows in a state, with what it and the model are off by [SI]: `passing` standard deviations of the
    /// model's own error, `flicker` of the gauge's.
    pub(crate) fn shown(&self, state: &State, id: GaugeId, passing: f64, flicker: f64) -> f64 {
        let gauge = &self.model.plant[id];
        let truth = self.model.read(state, gauge.tap);
        let lasting = self.model.lasting(id) * self.errors[id.0];
        let value = truth + lasting + discrepancy(gauge.quantity, truth) * passing + gauge.noise * flicker;
        value.clamp(gauge.scale.0, gauge.scale.1)
    }

    /// What the dial shows, as it would be read.
    fn dial(&self, state: &State, id: GaugeId, occasion: usize) -> String {
        let gauge = &self.model.plant[id];
        let normal = |first: usize| quasi_normal(self.seed, first + id.0);
        let value = self.shown(state, id, normal(MODEL_ERRORS), normal(FLICKER + 1_000 * occasion));
        let step = dial::step(4.0 * dial::change(gauge, gauge.noise).0.abs());
        dial::with_unit(&dial::number(dial::on_dial(gauge, value), step), dial::unit(gauge))
    }
}

/// What was read on one round.
pub struct Round {
    readings: Vec<(String, String)>,
    said: Vec<String>,
}

impl Round {
    /// As an occasion of evidence, the way an owner writes it.
    pub fn occasion(&self, when: &str, point: &Point<f64>) -> String {
        let told = |value, quantity, unit| print(value, quantity, unit).unwrap_or_default();
        let speed = told(point.speed, Quantity::RotationalSpeed, "rpm");
        let sea = told(point.sea, Quantity::Temperature, "°C");
        let mut text = format!("[[occasion]]\nwhen = \"{when}\"\nat = {{ speed = \"{speed}\", sea = \"{sea}\" }}\n");
        if !self.said.is_empty() {
            let words: Vec<String> = self.said.iter().map(|word| format!("\"{word}\"")).collect();
            let _ = writeln!(text, "said = [{}]", words.join(", "));
        }
        text += "[occasion.readings]\n";
        for (gauge, shown) in &self.readings {
            let _ = writeln!(text, "{gauge} = \"{shown}\"");
        }
        text
    }
}

/// The point that a plant is simulated at: a share of its rated speed, a usual load.
pub fn cruise(plant: &Plant, sea: f64) -> Point<f64> {
    let at = plant::evidence::ToldPoint { sea: Some(sea), ..plant::evidence::ToldPoint::default() };
    model::point::told(plant, &at).0
}
