//! Plant, evidence and odds set out as a problem in numbers.

use super::cost::{Cost, Need, SetUp, Standing};
use super::problem::{Cures, Does, Here, MOST_STEPS, Problem, Shows, Step};
use crate::act::{Act, Urgency, urgency};
use crate::explain::Ranked;
use crate::hypothesis::{What, cause_of, kind_of};
use crate::tried;
use parts::kind::{Check, State};
use parts::remedy::{self, Effort};
use plant::evidence::{Evidence, Moment, Named};
use plant::plant::{PartId, Plant};

/// Something to do.
#[derive(Clone, Debug)]
pub enum Deed {
    /// Make a check.
    Check {
        /// On what.
        of: Named,
        /// The check.
        check: &'static Check,
        /// Minutes it takes here [min].
        minutes: f64,
    },
    /// Put something right and see.
    Repair {
        /// On what.
        of: Named,
        /// The causes that it cures in one go, likeliest first.
        causes: Vec<What>,
        /// What it takes.
        effort: Effort,
        /// The spare it takes is not aboard.
        lacks_spare: bool,
    },
    /// Call for help: a tow, a yard, a longer search.
    Help,
    /// Leave it until it shows more plainly.
    Leave,
    /// Read these again, by their places among what was set out: nothing explains them, and nothing is worth doing before
    /// that is settled.
    ReadAgain(Vec<usize>),
    /// Nothing: it is cured.
    Cured,
}

/// The problem, and what its numbers stand for.
#[derive(Clone, Debug)]
pub struct LaidOut {
    /// The problem.
    pub problem: Problem,
    /// Where it begins.
    pub here: Here,
    /// What each step is.
    pub deeds: Vec<Deed>,
    /// What each hypothesis is; nothing for all that is not carried by name.
    pub whats: Vec<Option<What>>,
    /// Checks whose tools are not aboard.
    pub wanting: Vec<Wanting>,
}

/// A check whose tools are not aboard.
#[derive(Clone, Debug)]
pub struct Wanting {
    /// On what.
    pub of: Named,
    /// The check.
    pub check: &'static Check,
    /// The tools.
    pub tools: Vec<&'static str>,
    /// What it would be.
    pub step: Step,
}

/// Named causes carried one by one: so many, and from this chance on [1].
const NAMED: usize = 24;
const LIKELY_ENOUGH: f64 = 0.004;
/// A repair is a step, and a check, if what it is for has this chance [1].
const WORTH_A_STEP: f64 = 0.01;
/// Checks among the steps at most.
const CHECKS: usize = 36;

/// What an hour of the owner is worth where he does not say [EUR/h]; from memory.
const HOUR: f64 = 40.0;
/// Hours to a haven, where she is at sea and they are not told [h]; from memory.
const TO_HAVEN: f64 = 4.0;
/// Run up to see whether it helped [min]; from memory.
const PROVE: f64 = 10.0;
/// What a job may spoil besides: two of a hundred leave trouble, of some two hours [min]; from memory.
const SPOILS: f64 = 0.02 * 120.0;
/// To fetch a part that is not aboard, once ashore [min]; from memory.
const FETCH: f64 = 120.0;
/// Whoever is called: minutes until he is there or she is there, what coming costs, his hour, and what he needs to find
/// a cause that is on the list and one that is on none [min, EUR, EUR/h]; all from memory.
const COMES: Cost = Cost { minutes: 240.0, money: 120.0, risk: 0.0 };
const TOWS: Cost = Cost { minutes: 120.0, money: 500.0, risk: 0.0 };
const HIRED: f64 = 60.0;
const FINDS: f64 = 60.0;
const SEARCHES: f64 = 300.0;
/// Trouble that is left until it shows more plainly has done some harm by then [min]; from memory.
const HARM: f64 = 120.0;

/// Lays out the problem; nothing where no cause is likely enough to be worth a step.
pub fn lay_out(plant: &Plant, evidence: &Evidence, ranked: &[Ranked], act: &[Act]) -> Option<LaidOut> {
    let named = ranked.iter().filter(|r| matches!(r.what, What::Cause(..)) && r.probability >= LIKELY_ENOUGH);
    let kept: Vec<&Ranked> = named.take(NAMED).collect();
    if kept.is_empty() {
        return None;
    }
    let well: f64 = ranked.iter().filter(|r| r.what == What::Well).map(|r| r.probability).sum();
    let named: f64 = kept.iter().map(|r| r.probability).sum();
    let mut chances: Vec<f64> = kept.iter().map(|r| r.probability).collect();
    let mut whats: Vec<Option<What>> = kept.iter().map(|r| Some(r.what)).collect();
    // All that is on no list, and all that is too unlikely to be carried, is a longer search.
    chances.extend([well, (1.0 - named - well).max(0.0)]);
    whats.extend([Some(What::Well), None]);
    let (set_up, standing) = where_she_is(plant, evidence, act);
    let table = Table { plant, evidence, kept: &kept, set_up };
    let (mut steps, mut deeds) = table.repairs();
    let (checks, wanting) = table.checks(&deeds, standing);
    for (deed, step) in checks.into_iter().take(MOST_STEPS - steps.len()) {
        deeds.push(deed);
        steps.push(step);
    }
    let problem = Problem {
        well: Some(kept.len()),
        help: table.help(),
        steps,
        set_up,
        prove: Cost::of_minutes(PROVE),
        harm: Cost { risk: HARM, ..Cost::default() },
        hour: plant.aboard.hour_worth.unwrap_or(HOUR),
    };
    let here = Here { chances, made: 0, standing };
    Some(LaidOut { problem, here, deeds, whats, wanting })
}

/// Where she is, and how her engine stands: stopped, where it was told so or where it is to be stopped this minute.
pub fn where_she_is(plant: &Plant, evidence: &Evidence, act: &[Act]) -> (SetUp, Standing) {
    let situation = evidence.situation;
    let to_haven = if situation.at_sea { situation.haven_hours.unwrap_or(TO_HAVEN) * 60.0 } else { 0.0 };
    let set_up = SetUp { at_sea: situation.at_sea, cannot_stop: situation.cannot_stop, to_haven };
    let last = evidence.occasions.iter().rev().find(|occasion| occasion.when == Moment::Now);
    let told = last.and_then(|occasion| occasion.at.speed).is_some_and(|speed| speed < 1.0);
    let state = if told || must_stop(plant, evidence, act) { State::Stopped } else { State::Running };
    (set_up, Standing { state, shut: false, haven: !situation.at_sea })
}

/// Is she to be stopped this minute, and can she be?
fn must_stop(plant: &Plant, evidence: &Evidence, act: &[Act]) -> bool {
    let asked = act.iter().any(|act| urgency(&act.line) >= Urgency::Stop);
    asked && !(evidence.situation.cannot_stop && driving(plant).len() < 2)
}

/// Engines that drive her.
fn driving(plant: &Plant) -> Vec<PartId> {
    let drives = |unknown: &parts::kind::Unknown| unknown.name == "boat_speed";
    let screws = plant.parts.iter().filter(|part| part.kind.unknowns.iter().any(drives));
    let mut engines: Vec<PartId> = screws.filter_map(|part| part.engine).collect();
    engines.sort_unstable();
    engines.dedup();
    engines
}

/// Would stopping for this stop the only engine that drives her?
fn takes_the_way_off(plant: &Plant, of: Named) -> bool {
    let driving = driving(plant);
    match of {
        _ if driving.len() > 1 && !matches!(of, Named::Part(part) if plant[part].common) => false,
        Named::Part(part) if !plant[part].common => plant[part].engine.is_none_or(|engine| driving.contains(&engine)),
        _ => true,
    }
}

/// Hands near what turns: such a check comes last.
pub fn hands_near_what_turns(check: &Check) -> bool {
    check.state <= State::Idling && ["belt", "pulley", "rotating", "turning"].iter().any(|w| check.caution.contains(w))
}

/// Is it made alongside, and so not under way?
fn made_alongside(check: &Check) -> bool {
    check.title.contains("alongside")
}

/// What a check needs here.
pub(crate) fn need(plant: &Plant, of: Named, check: &Check) -> Need {
    Need { state: check.state, ashore: made_alongside(check), whole: takes_the_way_off(plant, of) }
}

/// What the steps are made from.
struct Table<'a> {
    plant: &'a Plant,
    evidence: &'a Evidence,
    kept: &'a [&'a Ranked],
    set_up: SetUp,
}

impl Table<'_> {
    fn effort(&self, what: What) -> Option<(Named, Effort)> {
        let (What::Cause(of, _), Some(cause)) = (what, cause_of(self.plant, what)) else { return None };
        let effort = remedy::effort(kind_of(self.plant, of), cause);
        let own = self.plant.aboard.repair_minutes(of, cause);
        Some((of, Effort { minutes: own.unwrap_or(effort.minutes), ..effort }))
    }

    /// Where the lump of everything else stands.
    fn rest(&self) -> usize {
        self.kept.len() + 1
    }

    /// Where a cause alone stands; among everything else if it is not carried.
    fn alone(&self, what: What) -> usize {
        self.kept.iter().position(|r| r.what == what && r.beside.is_none()).unwrap_or(self.rest())
    }

    /// Repairs worth a step, each for all causes that it cures in one go.
    fn repairs(&self) -> (Vec<Step>, Vec<Deed>) {
        let (mut steps, mut deeds) = (Vec::new(), Vec::new());
        let mut seen: Vec<(Named, &str)> = Vec::new();
        let each = self.kept.iter().flat_map(|r| [Some(r.what), r.beside]).flatten();
        for what in each {
            let (Some((of, effort)), Some(cause)) = (self.effort(what), cause_of(self.plant, what)) else { continue };
            if seen.contains(&(of, cause.remedy)) {
                continue;
            }
            seen.push((of, cause.remedy));
            let cures = self.cures(what);
            let likely: f64 = cures.iter().map(|cure| self.kept[cure.hypothesis].probability * cure.chance).sum();
            if likely < WORTH_A_STEP || tried::renewed_already(self.plant, self.evidence, what) {
                continue;
            }
            let lacks_spare = effort.spare && !effort.yard && !self.plant.aboard.has_spare(of, cause);
            let fetch = if lacks_spare { FETCH } else { 0.0 };
            let whole = takes_the_way_off(self.plant, of);
            let same = |r: &&&Ranked| cures.iter().any(|c| self.kept[c.hypothesis].what == r.what) && on(of, r.what);
            let mut causes: Vec<What> = self.kept.iter().filter(same).map(|r| r.what).collect();
            causes.retain(|other| cause_of(self.plant, *other).is_some_and(|other| other.remedy == cause.remedy));
            if causes.is_empty() {
                causes.push(what);
            }
            causes.dedup();
            steps.push(Step {
                cost: Cost { minutes: effort.minutes + fetch, money: effort.money, risk: SPOILS },
                need: Need { state: effort.state, ashore: effort.yard || lacks_spare, whole },
                last: false,
                does: Does::Mends(cures),
            });
            deeds.push(Deed::Repair { of, causes, effort, lacks_spare });
        }
        (steps, deeds)
    }

    /// What the repair of a cause undoes.
    fn cures(&self, repaired: What) -> Vec<Cures> {
        let each = self.kept.iter().enumerate();
        each.filter_map(|(hypothesis, r)| {
            let first = tried::mends(self.plant, repaired, r.what);
            let Some(beside) = r.beside else {
                return (first > 0.0).then_some(Cures { hypothesis, chance: first, leaves: None });
            };
            let second = tried::mends(self.plant, repaired, beside);
            let (chance, left) = if first > 0.0 { (first, beside) } else { (second, r.what) };
            (chance > 0.0).then(|| Cures { hypothesis, chance, leaves: Some(self.alone(left)) })
        })
        .collect()
    }

    /// Checks worth a step, what settles most of the odds for its minutes first; and those whose tools are not aboard.
    fn checks(&self, repairs: &[Deed], standing: Standing) -> (Vec<(Deed, Step)>, Vec<Wanting>) {
        let (mut there, mut wanting) = (Vec::new(), Vec::new());
        for of in Named::all(self.plant) {
            for (place, check) in kind_of(self.plant, of).checks.iter().enumerate() {
                let made = self.evidence.checks.iter().any(|made| made.of == of && made.check == place);
                let done = made || check.state == State::Kept;
                let shows = if done { Vec::new() } else { self.shows(of, check, repairs) };
                let shown =
                    |s: &Shows| s.under.iter().map(|(h, chance)| self.kept[*h].probability * chance).sum::<f64>();
                let likely: f64 = shows.iter().map(shown).sum();
                if likely < WORTH_A_STEP {
                    continue;
                }
                let minutes = self.plant.aboard.check_minutes(of, place, check);
                let need = need(self.plant, of, check);
                // What must not be restarted for a look, unless nothing else is left.
                let restarts = standing.state >= State::Stopped && check.state < State::Stopped;
                let last = restarts || hands_near_what_turns(check);
                let step = Step { cost: Cost::of_minutes(minutes), need, last, does: Does::Looks(shows) };
                let tools = self.plant.missing(of, check);
                if tools.is_empty() {
                    let price = minutes + self.set_up.reach(standing, need).0.minutes;
                    there.push((likely / price, (Deed::Check { of, check, minutes }, step)));
                } else {
                    wanting.push(Wanting { of, check, tools, step });
                }
            }
        }
        there.sort_by(|a, b| b.0.total_cmp(&a.0));
        (there.into_iter().take(CHECKS).map(|(_, it)| it).collect(), wanting)
    }

    /// What a check may show, one thing for all causes that one repair puts right.
    fn shows(&self, of: Named, check: &'static Check, repairs: &[Deed]) -> Vec<Shows> {
        let mut shows: Vec<Shows> = Vec::new();
        for (hypothesis, r) in self.kept.iter().enumerate() {
            let mine = |what: What, bad: f64| Some((what, bad, tried::find_of(self.plant, of, check, what)?));
            // Of two at a time it shows the one that it looks for.
            let beside = || r.beside.and_then(|what| mine(what, r.beside_severity));
            let Some((what, bad, find)) = mine(r.what, r.severity).or_else(beside) else { continue };
            let by_chance = tried::named_by_chance(find);
            let chance = tried::told_detect(find, bad).max(by_chance);
            let cures = |deed: &Deed| matches!(deed, Deed::Repair { causes, .. } if causes.contains(&what));
            let mend = repairs.iter().position(cures);
            let measured = (!tried::names_it(find)).then_some(find.power);
            // Causes that one remedy cures, or that are off by one measure alike, are one thing shown; its repair is that of
            // the likeliest, which comes first.
            let alike =
                |s: &&mut Shows| s.measured == measured && (measured.is_some() || (s.mend == mend && mend.is_some()));
            match shows.iter_mut().find(alike) {
                Some(same) => {
                    same.by_chance = same.by_chance.max(by_chance);
                    same.under.push((hypothesis, chance));
                    same.mend = same.mend.or(mend);
                }
                None => shows.push(Shows { by_chance, under: vec![(hypothesis, chance)], mend, measured }),
            }
        }
        shows
    }

    /// What calling for help costs under each hypothesis.
    fn help(&self) -> Vec<Cost> {
        let at_sea = Cost { minutes: self.set_up.to_haven, ..Cost::default() } + TOWS;
        let comes = if self.set_up.at_sea { at_sea } else { COMES };
        let works = |minutes: f64, parts: f64| Cost { minutes, money: minutes / 60.0 * HIRED + parts, risk: 0.0 };
        let mends = |what: What| self.effort(what).map_or(Cost::default(), |(_, e)| works(e.minutes, e.money));
        let each = self
            .kept
            .iter()
            .map(|r| comes + works(FINDS, 0.0) + mends(r.what) + r.beside.map_or(Cost::default(), mends));
        each.chain([comes + works(FINDS, 0.0), comes + works(SEARCHES, 150.0)]).collect()
    }
}

/// Is a cause one of this part's or gauge's?
fn on(of: Named, what: What) -> bool {
    matches!(what, What::Cause(own, _) if own == of)
}

impl LaidOut {
    /// The causes that a thing shown speaks for, likeliest first as the odds then are.
    pub fn causes(&self, there: &Here, shown: &Shows) -> Vec<What> {
        let mut list: Vec<(f64, What)> =
            shown.under.iter().filter_map(|&(h, _)| Some((there.chances[h], self.whats[h]?))).collect();
        list.sort_by(|a, b| b.0.total_cmp(&a.0));
        list.into_iter().map(|(_, what)| what).collect()
    }
}
