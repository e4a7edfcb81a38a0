//! The one sentence a page opens with, and what goes with it: it follows the odds, not how many gauges are outside.

use crate::escape;
use crate::next;
use crate::picture::{Explained, Picture, Steadiness};
use crate::saying::{Odds, key, lower_first, sentence as capital};
use crate::verdict::{leading, unlisted, verdict};
use crate::why::Case;
use diagnosis::hypothesis::{What, name_of};
use plant::evidence::Named;
use plant::plant::{GaugeId, Plant};
use std::ops::Range;

/// What is said first.
#[derive(Clone, Debug, PartialEq)]
pub struct Headline {
    /// The answer.
    pub sentence: String,
    /// The parts and gauges it names, and where in it, in its order.
    pub named: Vec<(Range<usize>, Named)>,
    /// How old the answer is, if there is one [s].
    pub age: Option<f64>,
    /// The step to make next, if something is wrong.
    pub next: Option<String>,
    /// How many gauges are in their bands, where the sentence does not say so.
    pub bands: Option<String>,
    /// What these gauges would not show, where nothing is found.
    pub escapes: Option<String>,
    /// And which they would show as each other.
    pub alike: Option<String>,
}

/// So many outside their bands are no chance: on a sound plant fewer than one time in a hundred [1].
const BY_CHANCE: f64 = 0.01;
/// Share of sound readings outside a band [1].
const OUTSIDE: f64 = 0.05;
/// What would escape is told of so many.
const TOLD: usize = 2;

impl Explained {
    /// For the words of `verdict` and `why`.
    pub fn case<'a>(&'a self, plant: &'a Plant, odds: Odds) -> Case<'a> {
        Case { plant, answer: &self.answer, odds, held: self.held }
    }

    /// The cause that its verdict names first; nothing where all is well.
    pub fn named(&self, plant: &Plant) -> Option<What> {
        let (what, chance) = leading(&self.case(plant, Odds::Words))?;
        (chance > self.well()).then_some(what)
    }

    /// Chance that all is well [1].
    pub fn well(&self) -> f64 {
        self.answer.ranked.iter().find(|ranked| ranked.what == What::Well).map_or(0.0, |ranked| ranked.probability)
    }
}

/// What a page says first of a picture.
pub fn headline(picture: &Picture) -> Headline {
    let (outside, held) = count(picture);
    let bands = match (held, held - outside) {
        (0, _) => "No band is worked out here yet.".to_string(),
        (all, inside) if all == inside => format!("All {all} gauges are in their bands."),
        (all, inside) => format!("{inside} of {all} gauges are in their bands."),
    };
    let (answer, about, next) = said(picture, outside, held);
    let next = next.map(|next| if picture.act.is_empty() { next } else { format!("{} {next}", next::ABOVE_FIRST) });
    let off = if next.is_some() { off(picture) } else { Vec::new() };
    let (mut sentence, mut named) = are_off(&picture.plant, &off);
    let (joint, answer) = match answer.starts_with("Most likely") {
        _ if sentence.is_empty() => ("", answer),
        true => (": ", lower_first(&answer)),
        false => (". ", answer),
    };
    sentence.extend([joint, &answer]);
    // A title may hold the same word; the name stands last.
    if let Some(of) = about
        && let Some(at) = sentence.rfind(name_of(&picture.plant, of))
        && named.iter().all(|(place, _): &(Range<usize>, Named)| place.end <= at)
    {
        named.push((at..at + name_of(&picture.plant, of).len(), of));
    }
    let bands = (!sentence.contains("gauges")).then_some(bands);
    let age = picture.explained.as_ref().map(|explained| picture.at - explained.at);
    // What would not show is no news to one who has something to look for.
    let (escapes, alike) = if next.is_none() { (escapes(picture), alike(picture)) } else { (None, None) };
    Headline { sentence, named, age, next, bands, escapes, alike }
}

/// Gauges outside their bands, the furthest in widths of its band first.
fn off(picture: &Picture) -> Vec<(GaugeId, bool)> {
    let mut all: Vec<(f64, GaugeId, bool)> = Vec::new();
    for gauged in &picture.gauges {
        let (Some(value), Some(band)) = (gauged.fresh(picture.at), gauged.band) else { continue };
        let far = (value - band.high).max(band.low - value) / (band.high - band.low).max(1e-9);
        if far > 0.0 {
            // What a vacuum gauge shows goes up when the pressure goes down.
            all.push((far, gauged.gauge, (value > band.high) != picture.plant[gauged.gauge].vacuum));
        }
    }
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    all.into_iter().map(|(_, gauge, high)| (gauge, high)).collect()
}

/// "Suction high, raw out high and 1 more"
fn are_off(plant: &Plant, off: &[(GaugeId, bool)]) -> (String, Vec<(Range<usize>, Named)>) {
    let (mut text, mut named) = (String::new(), Vec::new());
    for (k, (gauge, high)) in off.iter().take(TOLD).enumerate() {
        let last = k + 1 == off.len();
        text += if k == 0 {
            ""
        } else if last {
            " and "
        } else {
            ", "
        };
        let name = key(&plant[*gauge].name);
        let name = if k == 0 { capital(&name) } else { name };
        named.push((text.len()..text.len() + name.len(), Named::Gauge(*gauge)));
        text += &name;
        text += if *high { " high" } else { " low" };
    }
    if off.len() > TOLD {
        text.extend([" and ", &(off.len() - TOLD).to_string(), " more"]);
    }
    (text, named)
}

fn said(picture: &Picture, outside: usize, held: usize) -> (String, Option<Named>, Option<String>) {
    let Some(explained) = &picture.explained else {
        let sentence = match picture.steadiness {
            Steadiness::Unknown => "Nothing has been read yet.",
            Steadiness::Stopped => "The engine is stopped; causes are weighed when it runs.",
            _ if picture.weighing => "Causes are being weighed for the first time.",
            _ => "Not judged yet: causes are weighed once the readings have kept still for five minutes.",
        };
        return (sentence.into(), None, None);
    };
    let case = explained.case(&picture.plant, Odds::Words);
    let top = leading(&case);
    let most = unlisted(&case).map(|ranked| ranked.probability).fold(0.0, f64::max);
    let well = explained.well() >= most && top.is_none_or(|(_, chance)| explained.well() >= chance);
    let chance = |p| case.odds.say(p);
    if well && !picture.act.is_empty() {
        let weighing = if picture.weighing { " Causes are being weighed." } else { "" };
        let sentence = format!(
            "Do what stands above first. When causes were last weighed all was well, {}.{weighing}",
            chance(explained.well())
        );
        return (sentence, None, None);
    }
    if well && by_chance(outside, held) < BY_CHANCE {
        let then = if picture.weighing { "being weighed" } else { "weighed once the readings keep still" };
        let sentence =
            format!("Something has changed: {outside} of {held} gauges are outside their bands. Causes are {then}.");
        return (sentence, None, None);
    }
    if well {
        return (all_well(explained.well(), outside, held, case.odds), None, None);
    }
    let about = top.filter(|(_, chance)| *chance > most).and_then(|(what, _)| match what {
        What::Cause(of, _) => Some(of),
        _ => None,
    });
    (verdict(&case), about, next::in_short(&case))
}

/// Likely enough that nothing need be added to "all is well" [1].
const SURE: f64 = 2.0 / 3.0;

/// Nothing is found: how likely it is that all is well, said so that it is true of what is known.
fn all_well(chance: f64, outside: usize, held: usize, odds: Odds) -> String {
    let gauges = match (outside, held) {
        (_, 0) => "when last judged".to_string(),
        (0, all) => format!("all {all} gauges are in their bands"),
        (1, all) => format!("one of {all} gauges just outside its band is nothing unusual"),
        _ => format!("{outside} of {held} gauges are just outside their bands"),
    };
    match odds.say(chance) {
        said if chance >= SURE => format!("All is well, {said}: {gauges}."),
        said => format!("Nothing found yet; all is well in {said}: {gauges}."),
    }
}

/// Gauges outside their bands, and those that can be held against one.
pub fn count(picture: &Picture) -> (usize, usize) {
    let held = picture.gauges.iter().filter_map(|gauge| Some((gauge.fresh(picture.at)?, gauge.band?)));
    held.fold((0, 0), |(out, all), (value, band)| (out + usize::from(value < band.low || value > band.high), all + 1))
}

/// Chance that a sound plant has so many of its gauges outside their bands, or more [1].
fn by_chance(outside: usize, held: usize) -> f64 {
    let mut fewer = 0.0;
    let mut term = (1.0 - OUTSIDE).powf(held as f64);
    for k in 0..outside {
        fewer += term;
        term *= (held - k) as f64 / (k + 1) as f64 * OUTSIDE / (1.0 - OUTSIDE);
    }
    1.0 - fewer
}

/// "These gauges would not show: strainer blocked (strainer-port) by less than about 45 %".
fn escapes(picture: &Picture) -> Option<String> {
    let told = picture.unseen.escapes.iter().take(TOLD);
    let told: Vec<String> = told.map(|escape| escape::in_words(&picture.plant, escape)).collect();
    (!told.is_empty()).then(|| format!("These gauges would not show: {}.", told.join("; ")))
}

/// "Here these would look alike: …".
fn alike(picture: &Picture) -> Option<String> {
    let group = picture.unseen.alike.first()?;
    Some(format!("These would look alike: {}.", escape::alike_in_words(&picture.plant, group)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_gauge_outside_is_chance_and_five_are_not() {
        // Of 18 gauges with one in twenty outside by chance: 0.95^18 = 0.397 that none is.
        assert!((by_chance(1, 18) - (1.0 - 0.95f64.powi(18))).abs() < 1e-12);
        assert!(by_chance(2, 18) > BY_CHANCE && by_chance(5, 18) < BY_CHANCE);
        assert_eq!(by_chance(0, 18), 1.0);
    }

    #[test]
    fn all_is_well_is_said_only_where_it_is_likely() {
        assert_eq!(all_well(0.9, 0, 18, Odds::Words), "All is well, about 9 in 10: all 18 gauges are in their bands.");
        let doubtful = all_well(0.52, 1, 18, Odds::Words);
        assert!(doubtful.starts_with("Nothing found yet; all is well in about 1 in 2: one of 18"), "{doubtful}");
    }
}
