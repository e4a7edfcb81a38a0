//! How a kind of the owner's own fails, and what can be checked on it.

use super::kinds::{find, strangers, text, unfit};
use super::told::Entry;
use crate::finding::{Finding, Problem};
use crate::names::{self, folded};
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit;
use parts::kind::{By, Kind, Parameter, Severity, State};
use parts::own_kind::{Of, OwnCause, OwnCheck, OwnKind, OwnMove};
use parts::rates;

/// Most ways to fail, and most checks, of one such kind.
const MOST: usize = 40;
/// Chances and factors within reason.
const CHANCES: std::ops::RangeInclusive<f64> = 0.01..=0.99;
const FACTORS: std::ops::RangeInclusive<f64> = 1e-3..=1e3;

const FAILS: &[&str] = &["title", "moves", "severity", "says", "rate", "remedy", "note"];
const CHECKS: &[&str] = &["title", "minutes", "state", "tool", "caution", "finds", "power", "note"];

/// How often, in words, and the class of the table that it is.
const OFTEN: &[(&str, &str)] =
    &[("seldom", "owner-seldom"), ("sometimes", "owner-sometimes"), ("often", "owner-often")];
const SEVERITIES: &[(&str, Severity)] = &[
    ("even", Severity::Even),
    ("mostly-slight", Severity::MostlySlight),
    ("mostly-bad", Severity::MostlyBad),
    ("nearly-shut", Severity::NearlyShut),
    ("whole", Severity::Whole),
];
const STATES: &[(&str, State)] = &[
    ("running", State::Running),
    ("idling", State::Idling),
    ("stopped", State::Stopped),
    ("stopped-and-shut", State::StoppedAndShut),
    ("stopped-and-cold", State::StoppedCold),
    ("under-water", State::UnderWater),
];
/// How sure a look is where nothing else is told.
const LOOK: &str = "visual-general";

/// Reads `fails`.
pub(super) fn fails(own: &mut OwnKind, told: &[Entry], kinds: &[&'static Kind], findings: &mut Vec<Finding>) {
    let Some(section) = find(told, "fails") else { return };
    for entry in section.table(findings) {
        if own.causes.len() >= MOST {
            findings.push(Finding::at(Problem::TooMany { what: "ways to fail", limit: MOST }, entry.key_place.clone()));
            return;
        }
        let told = entry.table(findings);
        strangers(&told, &format!("way to fail `{}`", entry.key), FAILS, findings);
        let moves = find(&told, "moves").map(|moves| moved(own, moves, kinds, findings)).unwrap_or_default();
        let says = find(&told, "says").map(|says| said(says, kinds, findings)).unwrap_or_default();
        if moves.is_empty() && says.is_empty() {
            let what =
                format!("`{}` moves nothing and makes nobody say anything, so it could never be found", entry.key);
            findings.push(unfit(&entry, what, "Add moves = { drop = \"blocked\" } or says = { \"hums\" = 0.6 }."));
        }
        let remedy = text(&told, "remedy", findings);
        if remedy.is_none() {
            let of = format!("way to fail `{}`", entry.key);
            let problem = Problem::MissingKey { key: "remedy", of, example: "\"clean it\"" };
            findings.push(Finding::at(problem, entry.key_place.clone()));
        }
        own.causes.push(OwnCause {
            title: text(&told, "title", findings)
                .unwrap_or_else(|| format!("{} {}", own.title.to_lowercase(), entry.key.replace('-', " "))),
            name: entry.key.replace('-', "_"),
            moves,
            severity: find(&told, "severity").and_then(|e| one_of(e, SEVERITIES, findings)).unwrap_or(Severity::Even),
            says,
            rate: find(&told, "rate").and_then(|entry| rate(entry, findings)).unwrap_or("owner-sometimes"),
            remedy: remedy.unwrap_or_default(),
        });
    }
}

fn one_of<T: Copy>(entry: &Entry, known: &[(&'static str, T)], findings: &mut Vec<Finding>) -> Option<T> {
    let words: Vec<&'static str> = known.iter().map(|(word, _)| *word).collect();
    let word = entry.choice(&words, findings)?;
    known.iter().find(|(known, _)| *known == word).map(|(_, value)| *value)
}

/// A rate by its class, or by the key of a like part's in the table.
fn rate(entry: &Entry, findings: &mut Vec<Finding>) -> Option<&'static str> {
    let word = folded(entry.text(findings)?);
    if let Some((_, key)) = OFTEN.iter().find(|(often, _)| *often == word) {
        return Some(key);
    }
    if let Some(rate) = rates::rate(&word) {
        return Some(rate.key);
    }
    let known: Vec<&str> = OFTEN.iter().map(|(often, _)| *often).collect();
    let keys = known.iter().copied().chain(rates::RATES.iter().map(|rate| rate.key));
    let problem = Problem::UnknownChoice {
        key: "rate".into(),
        nearest: nearest(&word, keys).map(String::from),
        word,
        known: known.into_iter().map(String::from).collect(),
    };
    findings.push(Finding::at(problem, entry.place.clone()));
    None
}

/// Keys of a table and of the tables in it, one level deep: (first key, second key, value).
fn pairs<'a>(entry: &Entry<'a>, findings: &mut Vec<Finding>) -> Vec<(String, Option<String>, Entry<'a>)> {
    let mut all = Vec::new();
    for one in entry.table(findings) {
        if one.value.is_table_like() {
            all.extend(one.table(findings).into_iter().map(|two| (one.key.clone(), Some(two.key.clone()), two)));
        } else if let Some((first, second)) = one.key.split_once('.') {
            all.push((first.to_string(), Some(second.to_string()), one.clone()));
        } else {
            all.push((one.key.clone(), None, one.clone()));
        }
    }
    all
}

/// What a cause moves: its own "drop" or "water.drop", or "diesel.fuel-limit" of another kind.
fn moved(own: &OwnKind, entry: &Entry, kinds: &[&'static Kind], findings: &mut Vec<Finding>) -> Vec<OwnMove> {
    let mut moves = Vec::new();
    for (first, second, value) in pairs(entry, findings) {
        let way = own.ways.iter().position(|way| way.name == first);
        let (way, word) = match &second {
            Some(second) => (way, second.as_str()),
            None => ((own.ways.len() == 1).then_some(0), first.as_str()),
        };
        let of = Of::ALL.iter().find(|(known, _)| *known == word).map(|(_, of)| *of);
        if let (Some(way), Some(of)) = (way, of) {
            let parameter = own.parameter(way, of);
            if !own.parameters().contains(&parameter) {
                let what = format!("`{}` has no {word} that could change", own.ways[way].name);
                findings.push(unfit(&value, what, "Tell that figure of the passage first."));
            } else if let Some(by) = by(&value, &of.parameter(""), Some(of), findings) {
                moves.push(OwnMove { kind: "", parameter, by });
            }
            continue;
        }
        let kind = second.as_ref().and_then(|_| names::kind_among(kinds, &first).ok());
        let there = kind.zip(second.as_ref()).and_then(|(kind, name)| {
            kind.parameters.iter().find(|parameter| folded(parameter.name) == folded(name)).map(|p| (kind, p))
        });
        match there {
            Some((kind, parameter)) => {
                if let Some(by) = by(&value, parameter, None, findings) {
                    moves.push(OwnMove { kind: kind.name, parameter: parameter.name.to_string(), by });
                }
            }
            None => findings.push(nothing_to_move(own, &value, kind)),
        }
    }
    moves
}

fn nothing_to_move(own: &OwnKind, value: &Entry, kind: Option<&'static Kind>) -> Finding {
    let known: Vec<String> = match kind {
        Some(kind) => kind.parameters.iter().map(|p| format!("{}.{}", kind.name, folded(p.name))).collect(),
        None => own
            .ways
            .iter()
            .flat_map(|way| Of::ALL.iter().map(move |(word, _)| (way, word)))
            .map(|(way, word)| if own.ways.len() > 1 { format!("{}.{word}", way.name) } else { (*word).to_string() })
            .collect(),
    };
    value.unknown("`moves`", &known.iter().map(String::as_str).collect::<Vec<_>>())
}

/// "blocked", "lost", "x 0.3", "+ 2 kW", "to 5 kPa".
fn by(entry: &Entry, parameter: &Parameter, own: Option<Of>, findings: &mut Vec<Finding>) -> Option<By> {
    let (quantity, (low, high)) = (parameter.quantity, parameter.range);
    let written = entry.text(findings)?.trim().to_string();
    let word = folded(&written);
    let bad_unit =
        |error| Finding::at(Problem::BadUnit { key: entry.key.clone(), quantity, error }, entry.place.clone());
    let drops = own == Some(Of::Drop) || (own.is_none() && quantity == Quantity::PressureDifference);
    if own == Some(Of::Flow) {
        let what = "the rated flow is what the drop is told at, and no fault changes it".to_string();
        findings.push(unfit(entry, what, "Move the drop: \"blocked\"."));
        return None;
    }
    match word.as_str() {
        "blocked" if drops => return Some(By::Blocked),
        "lost" if !drops => return Some(By::Lost),
        _ => {}
    }
    let after = |words: &[&str]| words.iter().find_map(|head| written.strip_prefix(head)).map(str::trim);
    if let Some(number) = after(&["x ", "× ", "times "]) {
        return match unit::parse(number, Quantity::Ratio) {
            Ok(factor) if FACTORS.contains(&factor) => Some(By::Factor(factor)),
            Ok(_) => {
                let what = format!("`{written}` is beyond all reason");
                findings.push(unfit(entry, what, "A factor at its worst lies within a thousandth and a thousand."));
                None
            }
            Err(error) => {
                findings.push(bad_unit(error));
                None
            }
        };
    }
    if let Some(amount) = after(&["to "]) {
        return reached(entry, unit::parse(amount, quantity), quantity, (low, high), findings).map(By::Towards);
    }
    if written.starts_with(['+', '-']) && !drops && own != Some(Of::Conductance) {
        let amount = written.replacen("+ ", "+", 1).replacen("- ", "-", 1);
        let most = (high - low).abs();
        return reached(entry, unit::parse_change(&amount, quantity), quantity, (-most, most), findings).map(By::Add);
    }
    let known: &[&str] = if drops {
        &["blocked", "x 4", "to 20 kPa"]
    } else if own == Some(Of::Conductance) {
        &["lost", "x 0.3", "to 20 W/K"]
    } else {
        &["lost", "x 0.3", "+ …", "to …"]
    };
    let problem = Problem::UnknownChoice {
        key: entry.key.clone(),
        word,
        nearest: None,
        known: known.iter().map(ToString::to_string).collect(),
    };
    findings.push(Finding::at(problem, entry.place.clone()));
    None
}

/// A value with its unit that a parameter may come to.
fn reached(
    entry: &Entry,
    read: Result<f64, unit::UnitError>,
    quantity: Quantity,
    (low, high): (f64, f64),
    findings: &mut Vec<Finding>,
) -> Option<f64> {
    match read {
        Ok(value) if (low..=high).contains(&value) => Some(value),
        Ok(_) => {
            let what = format!("`{}` is more than that can ever be", entry.digits().unwrap_or_default());
            findings.push(unfit(entry, what, "Check the unit first."));
            None
        }
        Err(error) => {
            let problem = Problem::BadUnit { key: entry.key.clone(), quantity, error };
            findings.push(Finding::at(problem, entry.place.clone()));
            None
        }
    }
}

/// Words it makes people say, with the chance that they do: of itself, or "diesel.weak" of another kind.
fn said(entry: &Entry, kinds: &[&'static Kind], findings: &mut Vec<Finding>) -> Vec<(String, String, f64)> {
    let mut words = Vec::new();
    for (first, second, value) in pairs(entry, findings) {
        let Some(chance) = value.value_of(Quantity::Ratio, findings) else { continue };
        if !CHANCES.contains(&chance) {
            let what = format!("`{}` is no chance of being said", value.digits().unwrap_or_default());
            findings.push(unfit(&value, what, "Write a share between 0.01 and 0.99."));
            continue;
        }
        let Some(second) = second else {
            words.push((String::new(), first.replace('-', " "), chance));
            continue;
        };
        let kind = match names::kind_among(kinds, &first) {
            Ok(kind) => kind,
            Err(problem) => {
                findings.push(Finding::at(problem, value.key_place.clone()));
                continue;
            }
        };
        if let Some(word) = kind.words.iter().find(|word| folded(word.name) == folded(&second)) {
            words.push((kind.name.to_string(), word.name.to_string(), chance));
        } else {
            let known: Vec<&str> = kind.words.iter().map(|word| word.name).collect();
            findings.push(value.unknown(&format!("what is said of a {}", kind.title.to_lowercase()), &known));
        }
    }
    words
}

/// Reads `checks`; what no check finds, a look does.
pub(super) fn checks(own: &mut OwnKind, told: &[Entry], findings: &mut Vec<Finding>) {
    for entry in find(told, "checks").map(|section| section.table(findings)).unwrap_or_default() {
        if own.checks.len() >= MOST {
            findings.push(Finding::at(Problem::TooMany { what: "checks", limit: MOST }, entry.key_place.clone()));
            break;
        }
        let told = entry.table(findings);
        let of = format!("check `{}`", entry.key);
        strangers(&told, &of, CHECKS, findings);
        let mut need = |key: &'static str, example: &'static str| {
            let found = text(&told, key, findings);
            if found.is_none() && find(&told, key).is_none_or(|entry| entry.value.as_str().is_some()) {
                let problem = Problem::MissingKey { key, of: of.clone(), example };
                findings.push(Finding::at(problem, entry.key_place.clone()));
            }
            found.unwrap_or_default()
        };
        let title = need("title", "\"Open it and look\"");
        let caution = need("caution", "\"Stopped and cooled; seacock shut before it is opened.\"");
        let finds = find(&told, "finds").map(|entry| found(own, entry, findings)).unwrap_or_default();
        if find(&told, "finds").is_none() {
            let problem = Problem::MissingKey { key: "finds", of, example: "[\"blocked\"]" };
            findings.push(Finding::at(problem, entry.key_place.clone()));
        }
        own.checks.push(OwnCheck {
            name: entry.key.replace('-', "_"),
            title,
            minutes: find(&told, "minutes").and_then(|entry| minutes(entry, findings)).unwrap_or(10.0),
            state: find(&told, "state").and_then(|e| one_of(e, STATES, findings)).unwrap_or(State::Stopped),
            tool: text(&told, "tool", findings),
            caution,
            finds,
            power: find(&told, "power").and_then(|entry| power(entry, findings)).unwrap_or(LOOK),
        });
    }
    let unfound = |cause: &&OwnCause| own.checks.iter().all(|check| !check.finds.contains(&cause.name));
    let finds: Vec<String> = own.causes.iter().filter(unfound).map(|cause| cause.name.clone()).collect();
    if !finds.is_empty() && own.checks.iter().all(|check| check.name != "look") {
        own.checks.push(OwnCheck {
            name: "look".into(),
            title: format!("Look at the {}, listen to it, feel about it", own.title.to_lowercase()),
            minutes: 10.0,
            state: State::Stopped,
            tool: None,
            caution: "Stopped: what turns, what is hot and what stands under voltage stays untouched.".into(),
            finds,
            power: LOOK,
        });
    }
}

fn minutes(entry: &Entry, findings: &mut Vec<Finding>) -> Option<f64> {
    let bare = entry.digits().and_then(|text| text.trim().parse::<f64>().ok());
    let minutes = match bare {
        Some(minutes) => minutes,
        None => entry.value_of(Quantity::Duration, findings)? / 60.0,
    };
    if (0.1..=6_000.0).contains(&minutes) {
        return Some(minutes);
    }
    let what = format!("`{}` is no time that a check takes", entry.digits().unwrap_or_default());
    findings.push(unfit(entry, what, "Write minutes, such as 10."));
    None
}

fn found(own: &OwnKind, entry: &Entry, findings: &mut Vec<Finding>) -> Vec<String> {
    let known: Vec<&str> = own.causes.iter().map(|cause| cause.name.as_str()).collect();
    let mut names = Vec::new();
    for (word, place) in entry.list(findings) {
        let name = folded(word).replace('-', "_");
        if known.contains(&name.as_str()) {
            names.push(name);
            continue;
        }
        let problem = Problem::UnknownChoice {
            key: "finds".into(),
            nearest: nearest(&name, known.iter().copied()).map(String::from),
            word: name,
            known: known.iter().map(ToString::to_string).collect(),
        };
        findings.push(Finding::at(problem, place));
    }
    names
}

fn power(entry: &Entry, findings: &mut Vec<Finding>) -> Option<&'static str> {
    let word = folded(entry.text(findings)?);
    if let Some(power) = rates::power(&word) {
        return Some(power.key);
    }
    let keys: Vec<&str> = rates::POWERS.iter().map(|power| power.key).collect();
    let problem = Problem::UnknownChoice {
        key: "power".into(),
        nearest: nearest(&word, keys.iter().copied()).map(String::from),
        word,
        known: keys.into_iter().map(String::from).collect(),
    };
    findings.push(Finding::at(problem, entry.place.clone()));
    None
}
