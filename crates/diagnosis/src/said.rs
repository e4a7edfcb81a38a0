//! Words as evidence: how likely each is, given a cause and the state it puts the plant in.

use crate::act::tap_of;
use crate::hypothesis::{self, What, kind_of};
use crate::lies;
use measure::figure::normal_below;
use model::steady::{Model, State};
use parts::catalogue;
use parts::kind::{Misreads, Of, Probe, When, Word};
use plant::evidence::{Evidence, Moment, Named, Occasion, Said};
use plant::plant::{PartId, Plant, Tap};

/// What a word is judged against on one occasion.
pub struct Scene<'a> {
    /// The model, for its probes.
    pub model: &'a Model,
    /// The plant with the cause.
    pub state: &'a State,
    /// The same plant without it.
    pub without: &'a State,
    /// What is supposed.
    pub what: What,
    /// What was found besides.
    pub beside: Option<What>,
    /// Nobody was asked what there is to say.
    pub unasked: bool,
    /// How bad [0 to 1].
    pub severity: f64,
    /// How far quantities of this state may be off because figures and operating point are not known exactly: one
    /// standard deviation of each tap [SI].
    pub doubt: &'a [(Tap, f64)],
}

/// In a consultation people do not complain for nothing: false words are this much rarer when all is well.
/// A prototype's figure (about twenty times).
const CONSULTED: f64 = 0.05;
/// A whole story of which nothing is of the making of what is supposed is this much rarer again: one complaint in some ten
/// turns out to be of nothing. From memory.
const FOR_NOTHING: f64 = 0.2;
/// And when something else is wrong: what troubles people enough to ask is seldom nothing. From memory.
const CONSULTED_OTHER: f64 = 0.3;
/// Weight of a danger left out of a story, against one looked for in vain: whoever tells that a lamp came on while she boiled
/// tells that she boiled. From memory.
const LEFT_OUT: f64 = 0.8;
/// And of anything that would be noticed, where nothing else was. From memory.
const NOTHING_ELSE: f64 = 0.9;
/// A further word of one group counts this much.
const SAME_GROUP: f64 = 0.35;
/// Chance that the vessel has been at such a point before, so that what she always does there is known; from memory.
const BEEN_THERE: f64 = 0.9;
/// A sound plant is quiet at least this surely, or it would not have been called sound.
const LEAST_QUIET: f64 = 0.05;
/// An alarm that cries wolf, or keeps silent, does so this surely when it is looked at. From memory.
const FALSE_ALARM: f64 = 0.9;

/// Logarithm of how much rarer a story is for nothing, if with this chance it is one.
pub fn for_nothing(what: What, idle: f64) -> f64 {
    // Beside some other trouble people say more that means nothing; but not what makes them ask.
    let rare = if what == What::Well { FOR_NOTHING } else { FOR_NOTHING * CONSULTED / CONSULTED_OTHER };
    (1.0 - idle + idle * rare).ln()
}

/// Words of one group on one occasion, and what they come to.
#[derive(Clone, Debug)]
pub struct Heard {
    /// The words, and whether they were said or looked for in vain; of what was left out the loudest.
    pub words: Vec<(Said, bool)>,
    /// Their group; "" of a word by itself.
    pub group: &'static str,
    /// Nobody spoke of it.
    pub left_out: bool,
    /// Logarithm of how likely that is.
    pub log: f64,
}

/// What was said and looked for in vain on one occasion, and what a story leaves out that shouts, group by group; and the
/// chance that nothing of what was said is of the making of what is supposed [1].
pub fn heard(scene: &Scene, occasion: &Occasion) -> (Vec<Heard>, f64) {
    let words = occasion.said.iter().map(|s| (s, true)).chain(occasion.not.iter().map(|s| (s, false)));
    let (mut groups, mut idle): (Vec<Heard>, f64) = (Vec::new(), 1.0);
    for (word, yes) in words {
        let Some(row) = word_of(&scene.model.plant, *word) else { continue };
        let chance = chance(scene, word.of, row);
        if yes {
            idle *= (said_falsely(scene, row) / chance).min(1.0);
        }
        let log = if yes { chance.ln() } else { (1.0 - chance).ln() };
        match groups.iter_mut().find(|g| g.group == row.group && !row.group.is_empty()) {
            Some(group) => {
                group.log += log;
                group.words.push((*word, yes));
            }
            None => groups.push(Heard { words: vec![(*word, yes)], group: row.group, left_out: false, log }),
        }
    }
    let told: Vec<&str> = groups.iter().map(|g| g.group).collect();
    // "Towed in" sums up what shouted.
    let summed_up =
        occasion.said.iter().filter_map(|said| word_of(&scene.model.plant, *said)).any(|w| w.of == Of::Danger);
    let silent = occasion.said.is_empty() || scene.unasked || summed_up;
    let unsaid = if silent { Vec::new() } else { left_out(scene, &told, occasion) };
    for group in &mut groups {
        let count = group.words.len() as f64;
        group.log = group.log / count * (1.0 + SAME_GROUP * (count - 1.0));
    }
    groups.extend(unsaid);
    (groups, idle)
}

fn word_of(plant: &Plant, said: Said) -> Option<&'static Word> {
    kind_of(plant, said.of).words.get(said.word)
}

/// What a story leaves out is not absent; but a danger that shouts is seldom left out of one. The surest word of each
/// group of dangers that the state or the cause would make people say, and nobody did, counts a little against it.
fn left_out(scene: &Scene, told: &[&str], occasion: &Occasion) -> Vec<Heard> {
    let weight = if occasion.nothing_else { NOTHING_ELSE } else { LEFT_OUT };
    let unsaid = |loud: Loud| Heard {
        words: vec![(loud.word, false)],
        group: loud.group,
        left_out: true,
        log: (1.0 - weight * loud.surely).ln(),
    };
    loud(scene, told, occasion).into_iter().map(unsaid).collect()
}

/// A group of dangers, its loudest word, and how surely it is said.
struct Loud {
    group: &'static str,
    word: Said,
    surely: f64,
}

/// How surely each group of dangers shouts that was not spoken of.
fn loud(scene: &Scene, told: &[&str], occasion: &Occasion) -> Vec<Loud> {
    let plant = &scene.model.plant;
    // An alarm that sounds has spoken for what it watches.
    let alarmed: Vec<Tap> = occasion
        .said
        .iter()
        .filter_map(|word| if let Named::Gauge(alarm) = word.of { Some(plant[alarm].tap) } else { None })
        .collect();
    let mut groups: Vec<Loud> = Vec::new();
    for part in (0..plant.parts.len()).map(PartId) {
        for (place, word) in telling(plant, part, occasion).filter(|(_, w)| !told.contains(&w.group)) {
            if probe_of(word).and_then(|probe| tap_behind(plant, part, probe)).is_some_and(|tap| alarmed.contains(&tap))
            {
                continue;
            }
            let of = Named::Part(part);
            let surely = (felt(scene, of, word) * (1.0 - word.miss)).max(told_by(scene, of, word));
            let loud = Loud { group: word.group, word: Said { of, word: place }, surely };
            match groups.iter_mut().find(|g| g.group == word.group) {
                Some(group) if group.surely < surely => *group = loud,
                Some(_) => {}
                None => groups.push(loud),
            }
        }
    }
    groups
}

/// Words of a part that would hardly be left out of what was told of an occasion: dangers, and where it was asked and
/// said that there was nothing else, whatever the state of the plant makes people notice.
fn telling<'a>(plant: &'a Plant, part: PartId, occasion: &'a Occasion) -> impl Iterator<Item = (usize, &'static Word)> {
    let asked = |word: &Word| occasion.nothing_else && probe_of(word).is_some() && !matches!(word.of, Of::About { .. });
    let words = plant[part].kind.words.iter().enumerate();
    words.filter(move |(_, word)| word.tells_itself() && (word.danger.is_some() || asked(word)))
}

/// All of those on this plant.
pub fn telling_words(plant: &Plant, occasion: &Occasion) -> Vec<Said> {
    let of = |part| telling(plant, part, occasion).map(move |(word, _)| Said { of: Named::Part(part), word });
    (0..plant.parts.len()).map(PartId).flat_map(|part| of(part).collect::<Vec<_>>()).collect()
}

impl Scene<'_> {
    fn doubt_of(&self, part: PartId, probe: Probe) -> f64 {
        let Some(tap) = tap_behind(&self.model.plant, part, probe) else { return 0.0 };
        self.doubt.iter().find(|(other, _)| *other == tap).map_or(0.0, |d| d.1)
    }
}

/// The tap whose doubt a probe shares.
fn tap_behind(plant: &Plant, part: PartId, probe: Probe) -> Option<Tap> {
    match probe {
        Probe::BoilingMargin(k) => tap_of(plant, part, Probe::OutletTemperature(k)),
        other => tap_of(plant, part, other),
    }
}

/// The quantity that a word speaks of.
fn probe_of(word: &Word) -> Option<Probe> {
    match word.of {
        Of::Value { probe, .. }
        | Of::Found { probe, .. }
        | Of::About { probe, .. }
        | Of::Share { probe, .. }
        | Of::Change { probe, .. } => Some(probe),
        Of::Cause | Of::Danger | Of::Trip => None,
    }
}

/// Taps of the quantities that these words speak of as they are.
pub fn taps_spoken_of(plant: &Plant, words: &[Said]) -> Vec<Tap> {
    let mut taps: Vec<Tap> = words
        .iter()
        .filter_map(|said| {
            let word = word_of(plant, *said)?;
            match (word.of, said.of) {
                (Of::Value { probe, .. } | Of::Found { probe, .. } | Of::About { probe, .. }, Named::Part(part)) => {
                    tap_behind(plant, part, probe)
                }
                (Of::Trip, Named::Gauge(gauge)) => Some(plant[gauge].tap),
                _ => None,
            }
        })
        .collect();
    taps.sort_by_key(|tap| format!("{tap:?}"));
    taps.dedup();
    taps
}

/// Chance that the word is said.
pub fn chance(scene: &Scene, of: Named, word: &Word) -> f64 {
    let false_said = said_falsely(scene, word);
    let felt = if word.of == Of::Trip { tripped(scene, of) } else { felt(scene, of, word) };
    let by_state = false_said + (1.0 - false_said - word.miss).max(0.0) * felt;
    (1.0 - (1.0 - by_state) * (1.0 - told_by(scene, of, word))).clamp(1e-4, 1.0 - 1e-4)
}

/// Chance that the word is said of nothing.
fn said_falsely(scene: &Scene, word: &Word) -> f64 {
    word.false_said * if scene.what == What::Well { CONSULTED } else { CONSULTED_OTHER }
}

/// What a slight cause leaves of the chance that its sign is there: all of it from a severity of a half.
fn severity_share(severity: f64) -> f64 {
    (severity / 0.5).clamp(0.15, 1.0)
}

/// Chance that the cause itself, or what was found besides, makes people say it, whatever the state.
fn told_by(scene: &Scene, of: Named, word: &Word) -> f64 {
    let silent = |what| 1.0 - told_by_one(scene, what, of, word);
    1.0 - silent(scene.what) * scene.beside.map_or(1.0, silent)
}

fn told_by_one(scene: &Scene, what: What, of: Named, word: &Word) -> f64 {
    let plant = &scene.model.plant;
    let (What::Cause(own, _), Some(cause)) = (what, hypothesis::cause_of(plant, what)) else { return 0.0 };
    let says = cause
        .says
        .iter()
        .filter(|says| {
            says.word == word.name
                && if says.kind.is_empty() {
                    own == of
                } else {
                    catalogue::answers_for(kind_of(plant, of), says.kind) && concerns(plant, own, of)
                }
        })
        .map(|says| says.chance)
        .fold(0.0, f64::max);
    says * severity_share(scene.severity)
}

/// Of several engines a cause speaks of its own.
fn concerns(plant: &Plant, own: Named, of: Named) -> bool {
    match (own, of) {
        (Named::Part(own), Named::Part(of)) => plant.concerns(own, of),
        _ => true,
    }
}

/// Share of people who would say it of this state.
fn felt(scene: &Scene, of: Named, word: &Word) -> f64 {
    let Named::Part(part) = of else { return 0.0 };
    let see = |state: &State, probe| scene.model.probe(state, part, probe);
    let both = |probe| Some((see(scene.state, probe)?, see(scene.without, probe)?));
    let sigma = |probe, spread: f64| spread.hypot(scene.doubt_of(part, probe));
    match word.of {
        Of::Cause | Of::Trip => 0.0,
        Of::Danger => {
            1.0 - loud(scene, &[], &Occasion::default()).iter().map(|loud| 1.0 - loud.surely).product::<f64>()
        }
        Of::Value { probe, midpoint, spread, when } => both(probe).map_or(0.0, |(now, was)| {
            let past = |value| past(value, midpoint, sigma(probe, spread), when);
            newly(past(now), past(was))
        }),
        Of::Found { probe, midpoint, spread, when } => {
            see(scene.state, probe).map_or(0.0, |now| past(now, midpoint, sigma(probe, spread), when))
        }
        Of::About { probe, midpoint, spread } => see(scene.state, probe).map_or(0.0, |now| {
            let sigma = sigma(probe, spread);
            let z = (now - midpoint) / sigma;
            spread / sigma * (-0.5 * z * z).exp()
        }),
        Of::Share { probe, midpoint, spread, when } => {
            let past = |share| past(share, midpoint, spread, when);
            both(probe)
                .filter(|(_, was)| was.abs() > 1e-9)
                .map_or(0.0, |(now, was)| changed(past(now / was), past(1.0)))
        }
        Of::Change { probe, midpoint, spread, when } => {
            let past = |change| past(change, midpoint, spread, when);
            both(probe).map_or(0.0, |(now, was)| changed(past(now - was), past(0.0)))
        }
    }
}

/// Chance that a value is past a mark that is only known so well.
fn past(value: f64, midpoint: f64, sigma: f64, when: When) -> f64 {
    let z = (value - midpoint) / sigma.max(1e-12);
    normal_below(if when == When::High { z } else { -z })
}

/// Chance that a state is complained of which a sound plant of the same figures would not have shown. What is not known
/// of the figures is the same with the cause and without it: an engine that by its make ran hot would have been called
/// hot from its first day.
fn newly(now: f64, was: f64) -> f64 {
    let new = (now - was).max(0.0) / (1.0 - was).max(LEAST_QUIET);
    BEEN_THERE * new.min(1.0) + (1.0 - BEEN_THERE) * now
}

/// Chance that a change is spoken of, beyond that of speaking of one where there is none: that is what false words count.
fn changed(now: f64, unchanged: f64) -> f64 {
    ((now - unchanged) / (1.0 - unchanged)).max(0.0)
}

/// Chance that an alarm's switch is past its trip point, or pretends to be.
fn tripped(scene: &Scene, of: Named) -> f64 {
    let Named::Gauge(gauge) = of else { return 0.0 };
    match lies::misreads(&scene.model.plant, scene.what, gauge) {
        Some(Misreads::Silent) => return 1.0 - FALSE_ALARM,
        Some(_) => return FALSE_ALARM,
        None => {}
    }
    let alarm = &scene.model.plant[gauge];
    let Some((trip, when)) = alarm.trips else { return 0.0 };
    let doubt = scene.doubt.iter().find(|(tap, _)| *tap == alarm.tap).map_or(0.0, |d| d.1);
    let sigma = doubt.hypot(alarm.accuracy / 1.96);
    let past = |state: &State| past(scene.model.read(state, alarm.tap), trip, sigma, when);
    newly(past(scene.state), past(scene.without))
}

/// Occasions after onset with their places among those told.
pub fn after_onset(evidence: &Evidence) -> impl Iterator<Item = (usize, &Occasion)> {
    evidence.occasions.iter().enumerate().filter(|(_, occasion)| occasion.when == Moment::Now)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_plant_always_did_is_hardly_a_complaint() {
        for always in [0.1, 0.5, 0.95] {
            assert!((newly(always, always) - (1.0 - BEEN_THERE) * always).abs() < 1e-12);
        }
        // Bayes' rule for one threshold: half of the plants would have shown it anyway, half of the rest do now.
        assert!((newly(0.75, 0.5) - (BEEN_THERE * 0.5 + (1.0 - BEEN_THERE) * 0.75)).abs() < 1e-12);
        assert!(newly(1.0, 0.0) > newly(0.9, 0.0) && newly(0.2, 0.6) < newly(0.6, 0.6));
    }
}
