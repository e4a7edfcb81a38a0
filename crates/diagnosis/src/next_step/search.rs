//! The step of least expected cost until she is right: checks and repairs weighed together, a few steps deep.
//!
//! Beyond the steps looked ahead, what is left is reckoned as it would go by the plainest sensible way: one after the
//! other, repair or look and repair what is found, what cures most for its cost first, and help once nothing pays.

use super::cost::{Cost, Standing};
use super::problem::{Does, Here, Outcome, Problem};

/// How far is looked ahead: at each depth the steps that seem best are followed, so many of them.
#[derive(Copy, Clone, Debug)]
pub struct Breadth(pub &'static [usize]);

/// What the product looks ahead.
pub const AHEAD: Breadth = Breadth(&[8, 4]);

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
        let first = self.best(here, ahead.0, false);
        let helpless = !matches!(first.choice, Choice::Step(_)) && self.steps.iter().any(|step| step.last);
        if helpless { self.best(here, ahead.0, true) } else { first }
    }

    fn best(&self, here: &Here, ahead: &[usize], last_too: bool) -> Chosen {
        let worth = |cost: Cost| cost.worth(self.hour);
        let mut best = self.end(here);
        let Some((&width, deeper)) = ahead.split_first() else { return best };
        let mut steps: Vec<(usize, Cost)> =
            self.open(here, last_too).map(|step| (step, self.after(here, step, |then| self.plainly(then)))).collect();
        steps.sort_by(|a, b| worth(a.1).total_cmp(&worth(b.1)));
        for &(step, plainly) in steps.iter().take(width) {
            let cost = if deeper.is_empty() {
                plainly
            } else {
                // Looking further can only find what is cheaper than the plainest way.
                self.after(here, step, |then| match then.mass() {
                    mass if mass < SELDOM => self.plainly(then),
                    _ => cheaper(self.best(then, deeper, last_too).cost, self.plainly(then), self.hour),
                })
            };
            if worth(cost) < worth(best.cost) {
                best = Chosen { choice: Choice::Step(step), cost };
            }
        }
        best
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

    /// Expected cost of the plainest sensible way on from here.
    pub fn plainly(&self, here: &Here) -> Cost {
        let mut now = here.clone();
        let mut total = Cost::default();
        loop {
            let mass = now.mass();
            let mut best: Option<(f64, Plain)> = None;
            for step in self.open(&now, false) {
                let Some(plain) = self.plain(&now, mass, step) else { continue };
                // What it saves of help for what it costs; below 1 help is cheaper.
                let pays = plain.saves.worth(self.hour) / plain.cost.worth(self.hour).max(1e-9);
                if pays > best.as_ref().map_or(1.0, |(most, _)| *most) {
                    best = Some((pays, plain));
                }
            }
            let Some((_, plain)) = best else { return total + self.ended(&now) };
            total += plain.cost;
            for (hypothesis, cured, leaves) in plain.cured {
                now.chances[hypothesis] = (now.chances[hypothesis] - cured).max(0.0);
                if let Some(other) = leaves {
                    now.chances[other] += cured;
                }
            }
            now.made |= plain.made;
            now.standing = plain.standing;
        }
    }

    /// A repair, or a look and the repair of what it shows, as one.
    fn plain(&self, here: &Here, mass: f64, step: usize) -> Option<Plain> {
        let (price, standing) = self.price(here.standing, step);
        let mut plain =
            Plain { cost: price * mass, saves: Cost::default(), cured: Vec::new(), made: 1 << step, standing };
        match &self.steps[step].does {
            Does::Mends(_) => self.mend(here, step, None, &mut plain),
            Does::Looks(shows) => {
                for thing in shows {
                    let Some(mend) = thing.mend.filter(|mend| here.made & (1 << mend) == 0) else { continue };
                    let known: f64 =
                        thing.under.iter().map(|&(h, chance)| here.chances[h] * (chance - thing.by_chance)).sum();
                    let (price, _) = self.price(standing, mend);
                    plain.cost += price * (known + mass * thing.by_chance);
                    self.mend(here, mend, Some(&thing.under), &mut plain);
                }
            }
        }
        (!plain.cured.is_empty()).then_some(plain)
    }

    /// Adds what a repair cures: of everything, or of what a look has shown.
    fn mend(&self, here: &Here, step: usize, shown: Option<&[(usize, f64)]>, plain: &mut Plain) {
        let Does::Mends(cures) = &self.steps[step].does else { return };
        for cure in cures {
            let share = match shown {
                None => 1.0,
                Some(under) => under.iter().find(|(h, _)| *h == cure.hypothesis).map_or(0.0, |(_, chance)| *chance),
            };
            let cured = here.chances[cure.hypothesis] * share * cure.chance;
            if cured > 0.0 {
                let left = cure.leaves.map_or(Cost::default(), |other| self.help[other]);
                plain.saves += (self.help[cure.hypothesis] - left) * cured;
                plain.cured.push((cure.hypothesis, cured, cure.leaves));
            }
        }
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

/// A step of the plainest way.
struct Plain {
    cost: Cost,
    saves: Cost,
    cured: Vec<(usize, f64, Option<usize>)>,
    made: u64,
    standing: Standing,
}

fn cheaper(a: Cost, b: Cost, hour: f64) -> Cost {
    if b.worth(hour) < a.worth(hour) { b } else { a }
}

/// A choice with what follows each way that it may come out.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What to do.
    pub choice: Choice,
    /// Chance of coming here [1].
    pub mass: f64,
    /// Expected cost from here on, once here.
    pub expected: Cost,
    /// What then, the likeliest outcome first; nothing for what is hardly to be expected, and beyond so many steps.
    pub then: Vec<(Outcome, Plan)>,
}

/// A way a step may come out is told from this chance on [1].
const TOLD: f64 = 0.03;

impl Problem {
    /// The choice here and what follows it, so many steps deep.
    pub fn plan(&self, here: &Here, ahead: Breadth, deep: usize) -> Plan {
        let chosen = self.choose(here, ahead);
        let mass = here.mass();
        let mut then = Vec::new();
        if let (Choice::Step(step), 1..) = (chosen.choice, deep) {
            let mut outcomes = self.outcomes(here, step);
            outcomes.retain(|(_, then)| then.mass() >= TOLD * mass);
            outcomes.sort_by(|a, b| b.1.mass().total_cmp(&a.1.mass()));
            then.extend(outcomes.into_iter().map(|(outcome, there)| (outcome, self.plan(&there, ahead, deep - 1))));
        }
        Plan { choice: chosen.choice, mass, expected: chosen.cost * (1.0 / mass.max(1e-12)), then }
    }
}
