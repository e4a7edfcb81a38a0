//! The step of least expected cost until she is right: checks and repairs weighed together, a few steps deep.
//!
//! Beyond the steps looked ahead, what is left is reckoned as it would go by the plainest sensible way: one after the
//! other, repair or look and repair what is found, what cures most for its cost first, and help once nothing pays.

use super::cost::{Cost, Standing};
use super::problem::{Cures, Does, Here, Outcome, Problem};
use parts::kind::State;

/// How far is looked ahead: at each depth the steps that seem best are followed, so many of them.
#[derive(Copy, Clone, Debug)]
pub struct Breadth(pub &'static [usize]);

/// What the product looks ahead.
pub const AHEAD: Breadth = Breadth(&[6, 4]);

/// A chance of coming somewhere below which it is reckoned by the plainest way [1].
const SELDOM: f64 = 0.004;

/// What to do.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// This step.
    Step(usize),
    /// Call for help: a tow, a yard, a longer search.
    Help,
    /// Leave it until it shows more plainly.
    Leave,
}

/// A choice and what is then expected to come.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Chosen {
    /// What.
    pub choice: Choice,
    /// Expected cost from here, times the chance of having come here.
    pub cost: Cost,
}

impl Problem {
    /// What to do here, looking so far ahead; what comes last only where nothing else helps.
    pub fn choose(&self, here: &Here, ahead: Breadth) -> Chosen {
        self.choose_but(here, ahead, 0)
    }

    /// The same, but for some steps, one bit each; they may follow.
    fn choose_but(&self, here: &Here, ahead: Breadth, but: u64) -> Chosen {
        let first = self.best(here, ahead.0, false, but);
        let helpless = !matches!(first.choice, Choice::Step(_)) && self.steps.iter().any(|step| step.last);
        if helpless { self.best(here, ahead.0, true, but) } else { first }
    }

    fn best(&self, here: &Here, ahead: &[usize], last_too: bool, but: u64) -> Chosen {
        let worth = |cost: Cost| cost.worth(self.hour);
        let mut best = self.end(here);
        let Some((&width, deeper)) = ahead.split_first() else { return best };
        for (step, plainly) in self.promising(here, width, last_too, but) {
            let cost = if deeper.is_empty() {
                plainly
            } else {
                // Looking further can only find what is cheaper than the plainest way.
                self.after(here, step, |then| match then.mass() {
                    mass if mass < SELDOM => self.plainly(then),
                    _ => cheaper(self.best(then, deeper, last_too, 0).cost, self.plainly(then), self.hour),
                })
            };
            if worth(cost) < worth(best.cost) {
                best = Chosen { choice: Choice::Step(step), cost };
            }
        }
        best
    }

    /// Steps worth following, with what they cost if all goes on plainly: the cheapest so, and, for what is learnt may show
    /// its worth only with the step after it, the looks that settle most for their price.
    fn promising(&self, here: &Here, width: usize, last_too: bool, but: u64) -> Vec<(usize, Cost)> {
        let worth = |cost: Cost| cost.worth(self.hour);
        let mut steps: Vec<(usize, Cost, f64)> = self
            .open(here, last_too)
            .filter(|step| but & (1 << step) == 0)
            .map(|step| {
                let outcomes = self.outcomes(here, step);
                let price = self.price(here.standing, step).0 * here.mass();
                let then: Cost = outcomes.iter().map(|(_, then)| self.plainly(then)).sum();
                let is_look = matches!(self.steps[step].does, Does::Looks(_));
                let settles = if is_look {
                    (unsure(here) - outcomes.iter().map(|(_, then)| unsure(then)).sum::<f64>()).max(0.0)
                } else {
                    0.0
                };
                (step, price + then, settles / worth(price).max(1e-9))
            })
            .collect();
        steps.sort_by(|a, b| worth(a.1).total_cmp(&worth(b.1)));
        let after = steps.split_off(width.min(steps.len()));
        let mut looks: Vec<_> = after.into_iter().filter(|step| step.2 > 0.0).collect();
        looks.sort_by(|a, b| b.2.total_cmp(&a.2));
        steps.extend(looks.into_iter().take(width / 2));
        steps.into_iter().map(|(step, cost, _)| (step, cost)).collect()
    }

    /// To end here, in the better way.
    fn end(&self, here: &Here) -> Chosen {
        let help = Chosen { choice: Choice::Help, cost: self.calling(here) };
        let Some(well) = self.well else { return help };
        // Left alone it comes back if it is there, and then it is known to be: what is done then costs what it would now.
        let mut wrong = here.clone();
        wrong.chances[well] = 0.0;
        let cost = self.plainly(&wrong) + self.harm * wrong.mass();
        if cost.worth(self.hour) < help.cost.worth(self.hour) { Chosen { choice: Choice::Leave, cost } } else { help }
    }

    /// Expected cost of making a step, with what follows reckoned by `rest`.
    fn after(&self, here: &Here, step: usize, rest: impl Fn(&Here) -> Cost) -> Cost {
        let (price, _) = self.price(here.standing, step);
        let then: Cost = self.outcomes(here, step).iter().map(|(_, then)| rest(then)).sum();
        price * here.mass() + then
    }

    /// Expected cost of the plainest sensible way on from here; the way to a haven, which no one step pays for, is made
    /// first where that is cheaper.
    pub fn plainly(&self, here: &Here) -> Cost {
        let from_here = self.plainly_from(here);
        if here.standing.haven || !self.set_up.at_sea {
            return from_here;
        }
        let standing = Standing { state: State::Running, shut: false, haven: true };
        let there = Here { standing, ..here.clone() };
        let trip = Cost::of_minutes(self.set_up.to_haven) * here.mass();
        cheaper(from_here, trip + self.plainly_from(&there), self.hour)
    }

    fn plainly_from(&self, here: &Here) -> Cost {
        let mut now = here.clone();
        let mut total = Cost::default();
        loop {
            let mass = now.mass();
            let mut best: Option<(f64, usize)> = None;
            for step in self.open(&now, false) {
                let mut saves = Cost::default();
                let (cost, _) = self.plain(&now, mass, step, |cure, cured, _| {
                    let left = cure.leaves.map_or(Cost::default(), |other| self.help[other]);
                    saves += (self.help[cure.hypothesis] - left) * cured;
                });
                // What it saves of help for what it costs; below 1 help is cheaper.
                let pays = saves.worth(self.hour) / cost.worth(self.hour).max(1e-9);
                if pays > best.map_or(1.0, |(most, _)| most) {
                    best = Some((pays, step));
                }
            }
            let Some((_, step)) = best else { return total + self.ended(&now) };
            let mut then = now.clone();
            then.made |= 1 << step;
            let (cost, standing) = self.plain(&now, mass, step, |cure, cured, in_vain| {
                // What was found and mended in vain is not mended so again: it is left to help.
                total += self.help[cure.hypothesis] * in_vain;
                then.chances[cure.hypothesis] = (then.chances[cure.hypothesis] - cured - in_vain).max(0.0);
                if let Some(other) = cure.leaves {
                    then.chances[other] += cured;
                }
            });
            total += cost;
            now = Here { standing, ..then };
        }
    }

    /// A repair, or a look and the repair of what it shows, as one: its expected cost, and how she stands where it was in
    /// vain. `cures` is told of all that it cures, how often, and how often it was that, seen, and mended in vain.
    fn plain(&self, here: &Here, mass: f64, step: usize, mut cures: impl FnMut(&Cures, f64, f64)) -> (Cost, Standing) {
        let (price, standing) = self.price(here.standing, step);
        let shows = match &self.steps[step].does {
            Does::Mends(all) => {
                for cure in all {
                    cures(cure, here.chances[cure.hypothesis] * cure.chance, 0.0);
                }
                return (price * mass, standing);
            }
            Does::Looks(shows) => shows,
        };
        let mut cost = price * mass;
        for thing in shows {
            let Some(mend) = thing.mend.filter(|mend| here.made & (1 << mend) == 0) else { continue };
            let Does::Mends(all) = &self.steps[mend].does else { continue };
            let known: f64 = thing.under.iter().map(|&(h, chance)| here.chances[h] * (chance - thing.by_chance)).sum();
            let (price, run) = self.price(standing, mend);
            let mut in_vain = known + mass * thing.by_chance;
            cost += price * in_vain;
            for cure in all {
                if let Some((_, shown)) = thing.under.iter().find(|(h, _)| *h == cure.hypothesis) {
                    let seen = here.chances[cure.hypothesis] * shown;
                    let cured = seen * cure.chance;
                    in_vain -= cured;
                    cures(cure, cured, seen - cured);
                }
            }
            // She was run to see, and has to be brought back to where the look left her.
            cost += self.set_up.reach(run, self.steps[step].need).0 * in_vain.max(0.0);
        }
        (cost, standing)
    }

    /// Expected cost of the repairs in order of their odds, nothing looked at, and help once the rest is not worth one.
    pub fn repairs_by_odds(&self, here: &Here) -> Cost {
        let (mut now, mut total) = (here.clone(), Cost::default());
        while let Some(step) = self.likeliest_repair(&now) {
            total += self.price(now.standing, step).0 * now.mass();
            if let Some((_, then)) = self.outcomes(&now, step).pop() {
                now = then;
            }
        }
        total + self.ended(&now)
    }

    /// The repair still to be made that cures most often, if any does in more than one of a hundred.
    pub fn likeliest_repair(&self, here: &Here) -> Option<usize> {
        let cures = |step: usize| match &self.steps[step].does {
            Does::Mends(cures) => cures.iter().map(|cure| here.chances[cure.hypothesis] * cure.chance).sum(),
            Does::Looks(_) => 0.0,
        };
        let best = self.open(here, true).max_by(|a, b| f64::total_cmp(&cures(*a), &cures(*b)))?;
        (cures(best) > WORTH_A_TRY * here.mass()).then_some(best)
    }
}

/// A repair likely to help less often than this is not tried [1].
const WORTH_A_TRY: f64 = 0.01;

/// What is not settled yet [bits, times the chance of having come here].
fn unsure(here: &Here) -> f64 {
    let mass = here.mass().max(1e-300);
    here.chances.iter().filter(|p| **p > 1e-12).map(|p| -p * (p / mass).log2()).sum()
}

fn cheaper(a: Cost, b: Cost, hour: f64) -> Cost {
    if b.worth(hour) < a.worth(hour) { b } else { a }
}

/// A choice with what follows each way that it may come out.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What to do.
    pub choice: Choice,
    /// Expected cost from here on, once here.
    pub expected: Cost,
    /// What then, the likeliest outcome first; nothing for what is hardly to be expected, and beyond so many steps.
    pub then: Vec<(Outcome, Plan)>,
}

/// Ways that a step may come out are followed: of the first step so many and from this chance on [1], after it fewer.
const FIRST: (usize, f64) = (4, 0.04);
const AFTER: (usize, f64) = (2, 0.15);
/// A look that changes nothing of the next step is begun with only where all else costs so many times as much [1].
const WORTH_WAITING: f64 = 1.1;
/// What is looked ahead where a plan is told and need not be followed: it is chosen anew when it comes to it.
const LATER: Breadth = Breadth(&[4, 2]);

impl Plan {
    /// Whether it is a look of which each outcome is followed by the same.
    fn changes_nothing(&self) -> bool {
        let [(_, first), others @ ..] = self.then.as_slice() else { return false };
        !others.is_empty() && others.iter().all(|(_, other)| other.choice == first.choice)
    }
}

impl Problem {
    /// The choice here and what follows it, so many steps deep. A look after which the same is done whatever it shows is not
    /// begun with, unless what only shows later makes it worth it.
    pub fn plan(&self, here: &Here, deep: usize) -> Plan {
        let but = |idle| self.planned(here, self.choose_but(here, AHEAD, idle), FIRST, deep);
        let best = but(0);
        let (mut plan, mut idle) = (best.clone(), 0_u64);
        while let Choice::Step(step) = plan.choice
            && plan.changes_nothing()
        {
            idle |= 1 << step;
            plan = but(idle);
            if plan.expected.worth(self.hour) > WORTH_WAITING * best.expected.worth(self.hour) {
                return best;
            }
        }
        plan
    }

    fn planned(&self, here: &Here, chosen: Chosen, (most, least): (usize, f64), deep: usize) -> Plan {
        let mass = here.mass();
        let mut then = Vec::new();
        if let (Choice::Step(step), 1..) = (chosen.choice, deep) {
            let mut outcomes = self.outcomes(here, step);
            outcomes.retain(|(_, then)| then.mass() >= least * mass);
            outcomes.sort_by(|a, b| b.1.mass().total_cmp(&a.1.mass()));
            let told = outcomes.into_iter().take(most);
            let planned = |there: Here| self.planned(&there, self.choose(&there, LATER), AFTER, deep - 1);
            then.extend(told.map(|(outcome, there)| (outcome, planned(there))));
        }
        Plan { choice: chosen.choice, expected: chosen.cost * (1.0 / mass.max(1e-12)), then }
    }
}
