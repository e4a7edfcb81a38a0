//! What to do next, as a problem in numbers: chances, steps, what each costs and shows. Nothing here knows a plant.
//!
//! Chances are carried as they are reached ("is so, and has come this far"), so they need not sum to 1, and what is worked
//! out from them is an expected cost already. A repair is a check too: what it does not cure, it hardly was.

use super::cost::{Cost, Need, SetUp, Standing};
use parts::kind::State;

/// One step that can be made.
#[derive(Clone, Debug)]
pub struct Step {
    /// What it costs, without bringing the engine into its state.
    pub cost: Cost,
    /// What it needs.
    pub need: Need,
    /// Only where nothing else helps: hands near what turns.
    pub last: bool,
    /// What it does.
    pub does: Does,
}

/// What a step does.
#[derive(Clone, Debug)]
pub enum Does {
    /// May show one of these things, or nothing.
    Looks(Vec<Shows>),
    /// Undoes these hypotheses, and she is run to see.
    Mends(Vec<Cures>),
}

/// One thing that a look may show.
#[derive(Clone, Debug)]
pub struct Shows {
    /// Chance of it under any hypothesis that is not among `under` [1].
    pub by_chance: f64,
    /// Hypotheses under which it is likelier, and its chance there [1].
    pub under: Vec<(usize, f64)>,
    /// The repair that it asks for first, by place among the steps.
    pub mend: Option<usize>,
    /// The power of what was measured, where it tells only that something is off and not which of these.
    pub measured: Option<&'static str>,
}

/// A hypothesis that a repair undoes.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Cures {
    /// Which.
    pub hypothesis: usize,
    /// Chance that it is undone [1].
    pub chance: f64,
    /// What is left then, if not nothing: the other one of two at a time.
    pub leaves: Option<usize>,
}

/// Everything that does not change from step to step.
#[derive(Clone, Debug)]
pub struct Problem {
    /// The hypothesis that all is well, if it is one.
    pub well: Option<usize>,
    /// Every step, at most [`MOST_STEPS`].
    pub steps: Vec<Step>,
    /// Where she is.
    pub set_up: SetUp,
    /// What it takes to see whether a repair has helped.
    pub prove: Cost,
    /// What it costs to call for help until she is right again, under each hypothesis.
    pub help: Vec<Cost>,
    /// What it costs to leave it until it shows more plainly, where something is wrong.
    pub harm: Cost,
    /// What an hour is worth [EUR/h].
    pub hour: f64,
}

/// Most steps: one bit each.
pub const MOST_STEPS: usize = 64;

/// How far things have come.
#[derive(Clone, Debug, PartialEq)]
pub struct Here {
    /// Chance of each hypothesis, and of having come here [1].
    pub chances: Vec<f64>,
    /// Steps made, one bit each.
    pub made: u64,
    /// How engine and vessel stand.
    pub standing: Standing,
}

impl Here {
    /// Chance of having come here [1].
    pub fn mass(&self) -> f64 {
        self.chances.iter().sum()
    }
}

/// How a step came out.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// A look showed the thing of this place.
    Shown(usize),
    /// It showed nothing.
    Clean,
    /// A repair, and the trouble is still there.
    Persists,
}

impl Problem {
    /// What making a step costs, and how she stands after it if nothing is cured.
    pub fn price(&self, standing: Standing, step: usize) -> (Cost, Standing) {
        let step = &self.steps[step];
        let (reach, then) = self.set_up.reach(standing, step.need);
        let minutes = step.cost.minutes * self.set_up.counts(standing, step.need);
        let cost = reach + Cost { minutes, ..step.cost };
        if let Does::Looks(_) = step.does {
            return (cost, then);
        }
        let run = Need { state: State::Running, ..step.need };
        let (start, running) = self.set_up.reach(then, run);
        (cost + start + self.prove, running)
    }

    /// How a step may come out other than by a cure.
    pub fn outcomes(&self, here: &Here, step: usize) -> Vec<(Outcome, Here)> {
        let (_, standing) = self.price(here.standing, step);
        let then = |chances| Here { chances, made: here.made | 1 << step, standing };
        match &self.steps[step].does {
            Does::Mends(cures) => {
                let mut left = here.chances.clone();
                for cure in cures {
                    let undone = here.chances[cure.hypothesis] * cure.chance;
                    left[cure.hypothesis] -= undone;
                    if let Some(other) = cure.leaves {
                        left[other] += undone;
                    }
                }
                vec![(Outcome::Persists, then(left))]
            }
            Does::Looks(shows) => {
                let mut clean = here.chances.clone();
                let mut all = Vec::with_capacity(shows.len() + 1);
                for (place, thing) in shows.iter().enumerate() {
                    let mut shown: Vec<f64> = here.chances.iter().map(|chance| chance * thing.by_chance).collect();
                    for &(hypothesis, chance) in &thing.under {
                        shown[hypothesis] = here.chances[hypothesis] * chance;
                    }
                    clean.iter_mut().zip(&shown).for_each(|(clean, shown)| *clean = (*clean - shown).max(0.0));
                    all.push((Outcome::Shown(place), then(shown)));
                }
                all.push((Outcome::Clean, then(clean)));
                all
            }
        }
    }

    /// Steps still to be made; those that come last only where asked for.
    pub fn open<'a>(&'a self, here: &Here, last_too: bool) -> impl Iterator<Item = usize> + use<'a> {
        let made = here.made;
        (0..self.steps.len()).filter(move |&k| made & (1 << k) == 0 && (last_too || !self.steps[k].last))
    }

    /// What it costs to end here by calling for help, all is well or not.
    pub fn calling(&self, here: &Here) -> Cost {
        here.chances.iter().zip(&self.help).map(|(chance, cost)| *cost * *chance).sum()
    }

    /// What it costs to end here: by calling for help, or by leaving it until it shows and calling then, so that nobody
    /// is called where all is well.
    pub fn ended(&self, here: &Here) -> Cost {
        let call = self.calling(here);
        let Some(well) = self.well else { return call };
        let in_vain = self.help[well] * here.chances[well];
        let leave = call - in_vain + self.harm * (here.mass() - here.chances[well]);
        if leave.worth(self.hour) < call.worth(self.hour) { leave } else { call }
    }
}
