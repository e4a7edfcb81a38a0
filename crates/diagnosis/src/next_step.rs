//! The next step: what brings the plant back in the least expected minutes, money and risk. A check, a trial repair or
//! simply the repair; looking stops when it no longer pays.
//!
//! `laid_out.rs` makes of plant, evidence and odds a problem in numbers, `problem.rs` says what that is, `search.rs` solves
//! it, `cost.rs` knows what it takes to stop an engine.

mod cost;
mod laid_out;
mod problem;
mod search;

use crate::act::Act;
use crate::explain::Ranked;
use crate::hypothesis::What;
use crate::tried;
use parts::kind::{Check, State};
use plant::evidence::{Evidence, Named};
use plant::plant::Plant;

pub use cost::{Cost, Need, SetUp, Standing};
pub(crate) use laid_out::need;
pub use laid_out::{Deed, LaidOut, Wanting, hands_near_what_turns, lay_out, where_she_is};
pub use problem::{Cures, Does, Here, MOST_STEPS, Outcome, Problem, Shows, Step};
pub use search::{AHEAD, Breadth, Choice, Chosen, Plan};

/// Steps told ahead, beyond the first.
const DEEP: usize = 2;

/// What to do next, and what then.
#[derive(Clone, Debug)]
pub struct NextStep {
    /// The step, and what follows it each way it may come out.
    pub then: Ahead,
    /// What simply doing the likeliest repair, and the next likeliest after it, is expected to cost: the repair and that.
    pub instead: Option<(Deed, Cost)>,
    /// A check that would bring her back for less, if its tools were aboard.
    pub lacking: Option<Lacking>,
    /// What an hour is worth [EUR/h].
    pub hour: f64,
    /// Where she is.
    pub set_up: SetUp,
}

/// A step and what follows it.
#[derive(Clone, Debug)]
pub struct Ahead {
    /// What.
    pub does: Deed,
    /// Chance of coming here, of those that came to the step before [1].
    pub chance: f64,
    /// What the step itself costs, with what it takes to bring the engine into its state and to see whether it helped.
    pub price: Cost,
    /// Hands on, of that [min].
    pub hands_on: f64,
    /// What becomes of her way meanwhile.
    pub way: Way,
    /// Expected cost from here until she is right, this step and all that follows.
    pub expected: Cost,
    /// What then, the likeliest first.
    pub then: Vec<(Came, Ahead)>,
}

/// What becomes of a vessel's way while a step is made.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Way {
    /// Nothing that matters: she lies in a haven, or the engine runs on.
    Kept,
    /// At sea, with her only engine stopped.
    Drifts,
    /// At sea, and the other engine takes her on.
    OtherRunsOn,
    /// It has to wait until she lies in a haven, for so long [min].
    Waits(f64),
}

/// How a step came out.
#[derive(Clone, Debug, PartialEq)]
pub enum Came {
    /// The check found one of these, all cured in one go; likeliest first.
    Found(Vec<What>),
    /// The check found that something is off by one of these, and not which; likeliest first.
    Something(Vec<What>),
    /// The check found nothing.
    Clean,
    /// The repair has not cured it.
    Persists,
}

/// A check that would help, and what it wants.
#[derive(Clone, Debug)]
pub struct Lacking {
    /// On what.
    pub of: Named,
    /// The check.
    pub check: &'static Check,
    /// Tools that are not aboard.
    pub tools: Vec<&'static str>,
    /// What it would save [min, all in].
    pub saves: f64,
}

/// A check that is not to be had is told of if it would save so much of what the rest costs [1].
const WORTH_TELLING: f64 = 0.05;

/// What to do next on this plant; nothing where there is nothing to weigh. `unexplained`: readings that nothing explains, by
/// their places among what was set out.
pub fn next(
    plant: &Plant,
    evidence: &Evidence,
    ranked: &[Ranked],
    act: &[Act],
    unexplained: Option<&[usize]>,
) -> Option<NextStep> {
    let laid = lay_out(plant, evidence, ranked, act)?;
    let (problem, here) = (&laid.problem, &laid.here);
    let plan = problem.plan(here, DEEP);
    let mut then = ahead(&laid, here, plan, 1.0);
    let gives_up = matches!(then.does, Deed::Help | Deed::Leave);
    // Where gauges are watched all the time, what they show now was read after the cure.
    if tried::cured(evidence) && (gives_up || !evidence.unasked) {
        then = Ahead::end(Deed::Cured);
    } else if let Some(readings) = unexplained.filter(|_| gives_up) {
        then = Ahead::end(Deed::ReadAgain(readings.to_vec()));
    }
    let weighed = !matches!(then.does, Deed::Cured | Deed::ReadAgain(_));
    let instead = problem.likeliest_repair(here).filter(|_| weighed);
    let instead = instead.map(|step| (laid.deeds[step].clone(), problem.repairs_by_odds(here)));
    let lacking = lacking(&laid, then.expected);
    Some(NextStep { then, instead, lacking, hour: problem.hour, set_up: problem.set_up })
}

/// A plan in terms of the plant.
fn ahead(laid: &LaidOut, here: &Here, plan: Plan, chance: f64) -> Ahead {
    let problem = &laid.problem;
    let Choice::Step(step) = plan.choice else {
        let does = if plan.choice == Choice::Help { Deed::Help } else { Deed::Leave };
        let (price, expected) = (plan.expected, plan.expected);
        return Ahead { does, chance, price, hands_on: 0.0, way: Way::Kept, expected, then: Vec::new() };
    };
    let (price, _) = problem.price(here.standing, step);
    let outcomes = problem.outcomes(here, step);
    let then = plan.then.into_iter().filter_map(|(outcome, plan)| {
        let (_, there) = outcomes.iter().find(|(other, _)| *other == outcome)?;
        let chance = there.mass() / here.mass().max(1e-12);
        let came = match (&laid.problem.steps[step].does, outcome) {
            (Does::Looks(shows), Outcome::Shown(k)) => {
                let causes = laid.causes(there, &shows[k]);
                if shows[k].measured.is_some() { Came::Something(causes) } else { Came::Found(causes) }
            }
            (_, Outcome::Persists) => Came::Persists,
            _ => Came::Clean,
        };
        Some((came, ahead(laid, there, plan, chance)))
    });
    Ahead {
        does: laid.deeds[step].clone(),
        chance,
        price,
        hands_on: problem.steps[step].cost.minutes,
        way: way(problem.set_up, here.standing, problem.steps[step].need),
        expected: plan.expected,
        then: then.collect(),
    }
}

fn way(set_up: SetUp, standing: Standing, need: Need) -> Way {
    if standing.haven {
        Way::Kept
    } else if set_up.waits_for_haven(need) {
        Way::Waits(set_up.to_haven)
    } else if need.state < State::Stopped {
        Way::Kept
    } else if need.whole {
        Way::Drifts
    } else {
        Way::OtherRunsOn
    }
}

/// The check that would save most if its tools were aboard, if that is worth telling.
fn lacking(laid: &LaidOut, expected: Cost) -> Option<Lacking> {
    let hour = laid.problem.hour;
    let without = expected.worth(hour);
    let all = laid.wanting.iter().filter_map(|wanting| {
        let mut with = laid.problem.clone();
        with.steps.truncate(MOST_STEPS - 1);
        with.steps.push(wanting.step.clone());
        let place = with.steps.len() - 1;
        let (price, _) = with.price(laid.here.standing, place);
        let then: Cost = with.outcomes(&laid.here, place).iter().map(|(_, then)| with.plainly(then)).sum();
        let saves = without - (price * laid.here.mass() + then).worth(hour);
        let Wanting { of, check, tools, .. } = wanting;
        (saves > WORTH_TELLING * without).then(|| Lacking { of: *of, check, tools: tools.clone(), saves })
    });
    all.max_by(|a, b| a.saves.total_cmp(&b.saves))
}

impl NextStep {
    /// What it is expected to save against simply doing the likeliest repair [min, all in]; nothing where there is none.
    pub fn saves(&self) -> Option<f64> {
        let (_, instead) = self.instead.as_ref()?;
        Some(instead.worth(self.hour) - self.then.expected.worth(self.hour))
    }
}

impl Ahead {
    /// An end that costs nothing.
    fn end(does: Deed) -> Ahead {
        let nothing = Cost::default();
        Ahead { does, chance: 1.0, price: nothing, hands_on: 0.0, way: Way::Kept, expected: nothing, then: Vec::new() }
    }
}

impl Deed {
    /// State of the engine it needs, if it is made by hand here.
    pub fn state(&self) -> Option<State> {
        match self {
            Deed::Check { check, .. } => Some(check.state),
            Deed::Repair { effort, .. } => Some(effort.state),
            Deed::Help | Deed::Leave | Deed::ReadAgain(_) | Deed::Cured => None,
        }
    }
}
