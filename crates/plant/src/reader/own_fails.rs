//! How a kind of the owner's own fails: what moves, what is said, how often.

use super::kinds::{find, strangers, text, unfit};
use crate::finding::{Finding, Problem};
use crate::names::{self, folded};
use crate::told::Entry;
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit;
use parts::kind::{By, Kind, Parameter, Severity};
use parts::own_kind::{FALSE_SAID, Of, OwnCause, OwnKind, OwnMove, OwnSays};
use parts::rates;
use std::ops::RangeInclusive;

/// Most ways to fail, and most checks, of one such kind.
pub(super) const MOST: usize = 40;
/// Chances and factors within reason.
const CHANCES: RangeInclusive<f64> = 0.01..=0.99;
const OTHERWISE: RangeInclusive<f64> = 0.0..=0.7;
const FACTORS: RangeInclusive<f64> = 1e-3..=1e3;

const FAILS: &[&str] = &["title", "moves", "severity", "says", "rate", "remedy", "note"];

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
            severity: find(&told, "severity").and_then(|e| e.one_of(SEVERITIES, findings)).unwrap_or(Severity::Even),
            says,
            rate: find(&told, "rate").and_then(|entry| rate(entry, findings)).unwrap_or("owner-sometimes"),
            remedy: remedy.unwrap_or_default(),
        });
    }
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
        let deeper = one.value.as_table_like().is_some_and(|table| !table.contains_key("chance"));
        if deeper {
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
fn said(entry: &Entry, kinds: &[&'static Kind], findings: &mut Vec<Finding>) -> Vec<OwnSays> {
    let mut words = Vec::new();
    for (first, second, value) in pairs(entry, findings) {
        let Some((chance, otherwise)) = chances(&value, findings) else { continue };
        let Some(second) = second else {
            words.push(OwnSays { kind: String::new(), word: first.replace('-', " "), chance, otherwise });
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
            words.push(OwnSays { kind: kind.name.into(), word: word.name.into(), chance, otherwise });
        } else {
            let known: Vec<&str> = kind.words.iter().map(|word| word.name).collect();
            findings.push(value.unknown(&format!("what is said of a {}", kind.title.to_lowercase()), &known));
        }
    }
    words
}

/// A chance of being said, alone or as { chance = …, otherwise = … } with that of being said though nothing is off.
fn chances(entry: &Entry, findings: &mut Vec<Finding>) -> Option<(f64, f64)> {
    if !entry.value.is_table_like() {
        return Some((chance(entry, &CHANCES, findings)?, FALSE_SAID));
    }
    let told = entry.table(findings);
    strangers(&told, &format!("`{}`", entry.key), &["chance", "otherwise"], findings);
    let one = find(&told, "chance").and_then(|entry| chance(entry, &CHANCES, findings))?;
    let otherwise = find(&told, "otherwise").map(|entry| chance(entry, &OTHERWISE, findings));
    Some((one, otherwise.unwrap_or(Some(FALSE_SAID))?))
}

fn chance(entry: &Entry, within: &RangeInclusive<f64>, findings: &mut Vec<Finding>) -> Option<f64> {
    let chance = entry.value_of(Quantity::Ratio, findings)?;
    if within.contains(&chance) {
        return Some(chance);
    }
    let what = format!("`{}` is no chance of being said", entry.digits().unwrap_or_default());
    findings.push(unfit(entry, what, "Write a share between 0.01 and 0.99; said though nothing is off, at most 0.7."));
    None
}
