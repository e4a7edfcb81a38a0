//! From the owner's word to the part, gauge, word, check or cause that it means.

use crate::evidence::{Found, Named, Renewal, Said};
use crate::finding::Problem;
use crate::names::{folded, part_called};
use crate::plant::{GaugeId, Plant};
use measure::nearest::nearest;
use parts::kind::{Cause, Check, Kind, Of};

/// Where in the list a name stands, as far as names count.
pub(crate) fn place_of<'a>(name: &str, among: impl IntoIterator<Item = &'a str>) -> Option<usize> {
    let wanted = folded(name);
    among.into_iter().position(|other| folded(other) == wanted)
}

/// The owner's text as a message may show it: short, and on one line.
pub(crate) fn short(text: &str) -> String {
    const MOST: usize = 40;
    let one_line = |letter: char| if letter.is_control() { ' ' } else { letter };
    let mut shown: String = text.trim().chars().take(MOST).map(one_line).collect();
    if text.trim().chars().nth(MOST).is_some() {
        shown.push('…');
    }
    shown
}

/// The name in the list that may have been meant.
pub(crate) fn meant<'a>(name: &str, among: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let names: Vec<(String, &str)> = among.into_iter().map(|other| (folded(other), other)).collect();
    let near = nearest(&folded(name), names.iter().map(|(folded, _)| folded.as_str()))?;
    names.iter().find(|(folded, _)| folded == near).map(|(_, other)| (*other).to_string())
}

/// The gauge of that name.
pub(crate) fn gauge(plant: &Plant, name: &str) -> Result<GaugeId, Problem> {
    let names = || plant.gauges.iter().map(|gauge| gauge.name.as_str());
    let unknown = || Problem::UnknownGauge { name: short(name), nearest: meant(name, names()) };
    place_of(name, names()).map(GaugeId).ok_or_else(unknown)
}

/// The part or gauge of that name, or the only one of that kind, also by another word for the kind.
pub(crate) fn named(plant: &Plant, name: &str) -> Result<Named, Problem> {
    let all = || Named::all(plant);
    if let Some(place) = place_of(name, all().map(|of| name_of(plant, of))) {
        return all().nth(place).ok_or_else(|| unknown_name(plant, name));
    }
    let wanted = folded(name);
    let of_kind: Vec<Named> = all().filter(|of| folded(kind_of(plant, *of).name) == wanted).collect();
    match of_kind[..] {
        [] => part_called(plant, name).map(Named::Part).ok_or_else(|| unknown_name(plant, name)),
        [one] => Ok(one),
        _ => Err(Problem::AmbiguousName {
            word: short(name),
            known: of_kind.iter().map(|of| name_of(plant, *of).to_string()).collect(),
        }),
    }
}

/// The word said: "part.word", or a word alone that only one part of the plant has.
pub(crate) fn said(plant: &Plant, text: &str) -> Result<Said, Problem> {
    if let Some((name, word)) = text.split_once('.') {
        let of = named(plant, name)?;
        return word_of(plant, of, word).map(|word| Said { of, word });
    }
    let found = who_says(plant, text);
    match found[..] {
        [one] => Ok(one),
        [] => Err(named(plant, text).map_or_else(|_| nobody_says(plant, text), |of| says_what(plant, of))),
        _ => Err(Problem::AmbiguousName { word: short(text), known: forms(plant, &found) }),
    }
}

/// The check of that name on a part or gauge.
pub(crate) fn check(plant: &Plant, of: Named, name: &str) -> Result<usize, Problem> {
    let names = || kind_of(plant, of).checks.iter().map(|check| check.name);
    place_of(name, names()).ok_or_else(|| Problem::UnknownCheck {
        check: short(name),
        of: name_of(plant, of).to_string(),
        nearest: meant(name, names()),
        known: names().map(String::from).collect(),
    })
}

/// What a check showed: "clean", "something", or the name of a cause.
pub(crate) fn found(plant: &Plant, of: Named, check: &Check, text: &str) -> Result<Found, Problem> {
    let kind = kind_of(plant, of);
    let causes = || kind.causes.iter().map(|cause| cause.name);
    match folded(text).as_str() {
        "clean" => return Ok(Found::Clean),
        "something" => return Ok(Found::Something),
        _ => {}
    }
    if let Some(cause) = place_of(text, causes()) {
        return Ok(Found::Cause(cause));
    }
    // A cause of another part ("strainer/blocked") is something found, not one of this part's ways to fail.
    let wanted = text.rsplit('/').next().unwrap_or(text);
    let elsewhere = check.finds.iter().filter_map(|find| find.cause.split_once('/'));
    let elsewhere = place_of(wanted, elsewhere.map(|(_, cause)| cause)).map(|_| "something".to_string());
    Err(Problem::UnknownCause {
        cause: short(text),
        of: name_of(plant, of).to_string(),
        nearest: elsewhere.or_else(|| meant(text, ["clean", "something"].into_iter().chain(causes()))),
        known: ["clean", "something"].into_iter().chain(causes()).map(String::from).collect(),
    })
}

/// The part of "raw-pump" or "raw-pump.impeller", and what of it was renewed; nothing for the whole part.
pub(crate) fn renewed(plant: &Plant, text: &str) -> Result<(Named, String), Problem> {
    let (name, what) = text.split_once('.').unwrap_or((text, ""));
    let of = named(plant, name)?;
    let what = folded(what);
    let causes = kind_of(plant, of).causes;
    if what.is_empty() || causes.iter().any(|cause| undoes(&what, cause)) {
        return Ok((of, what));
    }
    let pieces: Vec<String> = causes.iter().flat_map(|cause| [folded(cause.name), folded(cause.remedy)]).collect();
    Err(Problem::UnknownRenewal {
        nearest: meant(&what, pieces.iter().flat_map(|piece| piece.split('-')).filter(|word| word.len() > 3)),
        what: short(&what),
        of: name_of(plant, of).to_string(),
        known: causes.iter().map(|cause| cause.remedy.to_string()).collect(),
    })
}

/// Does renewing `what` of a part undo this cause? Its name or its remedy then holds the word.
pub(crate) fn undoes(what: &str, cause: &Cause) -> bool {
    let what = folded(what);
    what.is_empty() || folded(cause.name).contains(&what) || folded(cause.remedy).contains(&what)
}

pub(crate) fn name_of(plant: &Plant, of: Named) -> &str {
    match of {
        Named::Part(part) => &plant[part].name,
        Named::Gauge(gauge) => &plant[gauge].name,
    }
}

pub(crate) fn kind_of(plant: &Plant, of: Named) -> &'static Kind {
    match of {
        Named::Part(part) => plant[part].kind,
        Named::Gauge(gauge) => plant[gauge].kind,
    }
}

/// The word as it is written in evidence: "overboard.flow weak".
pub(crate) fn form(plant: &Plant, said: Said) -> String {
    format!("{}.{}", name_of(plant, said.of), kind_of(plant, said.of).words[said.word].name)
}

/// A renewal as an owner writes it: "raw-pump.impeller".
pub(crate) fn renewal(plant: &Plant, made: &Renewal) -> String {
    let of = name_of(plant, made.of);
    if made.what.is_empty() { of.to_string() } else { format!("{of}.{}", made.what) }
}

/// Whether two words say of one quantity that it is high and that it is low.
pub(crate) fn contrary(plant: &Plant, one: Said, other: Said) -> bool {
    let side = |said: Said| {
        let word = kind_of(plant, said.of).words.get(said.word)?;
        let (how, probe, when) = match word.of {
            Of::Value { probe, when, .. } => (0, probe, when),
            Of::Found { probe, when, .. } => (1, probe, when),
            Of::Share { probe, when, .. } => (2, probe, when),
            Of::Change { probe, when, .. } => (3, probe, when),
            Of::Cause | Of::Danger | Of::Trip | Of::About { .. } => return None,
        };
        Some((how, probe, when))
    };
    match (side(one), side(other)) {
        (Some(a), Some(b)) => one.of == other.of && (a.0, a.1) == (b.0, b.1) && a.2 != b.2,
        _ => false,
    }
}

/// Is the word said of an engine at work: that something stands at its mark?
pub(crate) fn at_work(plant: &Plant, said: Said) -> bool {
    matches!(kind_of(plant, said.of).words[said.word].of, Of::About { .. })
}

fn forms(plant: &Plant, said: &[Said]) -> Vec<String> {
    said.iter().map(|said| form(plant, *said)).collect()
}

fn who_says(plant: &Plant, word: &str) -> Vec<Said> {
    let says = |of| words(plant, of).position(|other| folded(other) == folded(word)).map(|word| Said { of, word });
    Named::all(plant).filter_map(says).collect()
}

fn words(plant: &Plant, of: Named) -> impl Iterator<Item = &'static str> {
    kind_of(plant, of).words.iter().map(|word| word.name)
}

fn word_of(plant: &Plant, of: Named, word: &str) -> Result<usize, Problem> {
    if folded(word).is_empty() {
        return Err(says_what(plant, of));
    }
    let unknown = || {
        let elsewhere = || forms(plant, &who_says(plant, word)).into_iter().next();
        Problem::UnknownWord {
            word: short(word),
            of: name_of(plant, of).to_string(),
            nearest: meant(word, words(plant, of)).or_else(elsewhere),
            known: words(plant, of).map(String::from).collect(),
        }
    };
    place_of(word, words(plant, of)).ok_or_else(unknown)
}

fn says_what(plant: &Plant, of: Named) -> Problem {
    let name = name_of(plant, of).to_string();
    Problem::SaidWhat { name, known: words(plant, of).map(String::from).collect() }
}

fn nobody_says(plant: &Plant, word: &str) -> Problem {
    let known = Named::all(plant).flat_map(|of| words(plant, of));
    Problem::NobodySays { word: short(word), nearest: meant(word, known) }
}

fn unknown_name(plant: &Plant, name: &str) -> Problem {
    let names = Named::all(plant).map(|of| name_of(plant, of));
    let kinds = Named::all(plant).map(|of| kind_of(plant, of).name);
    Problem::UnknownName { name: short(name), nearest: meant(name, names.chain(kinds)) }
}
