//! What is told of a job, read against what it asks.

use crate::ask::{Ask, Need, Sort};
use crate::job::{Job, Refusal, Refused};
use crate::known::Known;
use measure::figure::SIGMAS_TO_95;
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit;
use plant::finding::Finding;
use plant::names::folded;
use plant::told::{document, entries};
use std::collections::BTreeMap;
use toml_edit::{Item, Value};

/// Most values in one list.
const MOST: usize = 200;
/// Longest text of one answer [bytes].
const LONGEST: usize = 4_000;

/// What a job is worked from: every ask that is told, known or taken as usual.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Given {
    told: BTreeMap<&'static str, Told>,
}

/// One of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What it is.
    pub what: What,
    /// As it was written, or would be.
    pub written: String,
    /// Who says so.
    pub from: From,
}

/// What it is.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Values [SI], each with its standard uncertainty [SI]; one, or a list.
    Values(Vec<(f64, f64)>),
    /// One of the words of a choice.
    Word(&'static str),
    /// A text.
    Text(String),
}

/// Who says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum From {
    /// It was told for this job.
    Told,
    /// A `[setup.PART]` section of her texts; the part.
    Section(String),
    /// A figure of a part, and where that comes from: "maker", "typical".
    Figure(String, &'static str),
    /// Usual, and the source.
    Usual(&'static str),
}

impl From {
    /// In words: "told", "main, maker", "from memory".
    pub fn words(&self) -> String {
        match self {
            From::Told => "told".into(),
            From::Section(part) => format!("[setup.{part}]"),
            From::Figure(part, origin) => format!("{part}, {origin}"),
            From::Usual(source) => (*source).to_string(),
        }
    }
}

impl Given {
    /// Reads what was told: first what was told now, then what is known of her, then what is usual.
    ///
    /// # Errors
    /// [`Refused`] with everything that is wrong or missing.
    pub fn read(job: &Job, told: &[(String, String)], known: &[(&'static str, Known)]) -> Result<Given, Refused> {
        let mut wrong = Refused::default();
        let mut given = Given::default();
        for (key, text) in told {
            let Some(ask) = job.asks.iter().find(|ask| ask.key == folded(key)) else {
                wrong.0.push(unknown(job, key));
                continue;
            };
            if text.trim().is_empty() {
                continue;
            }
            match read(ask, text) {
                Ok(_) if given.told.contains_key(ask.key) => {
                    wrong.0.push(refusal(ask, "it is told twice".into(), "Tell it once.".into()));
                }
                Ok(what) => given.take(ask, what, text, From::Told),
                Err(refused) => wrong.0.push(refused),
            }
        }
        for ask in job.asks {
            if given.told.contains_key(ask.key) || wrong.0.iter().any(|refused| refused.key == Some(ask.key)) {
                continue;
            }
            if let Some((_, known)) = known.iter().find(|(key, _)| *key == ask.key) {
                match known {
                    Known::Section { part, text } => match read(ask, text) {
                        Ok(what) => given.take(ask, what, text, From::Section(part.clone())),
                        Err(refused) => wrong.0.push(refused),
                    },
                    Known::Figure { part, origin, value, doubt, written } => {
                        let from = From::Figure(part.clone(), origin);
                        given.take(ask, What::Values(vec![(*value, *doubt)]), written, from);
                    }
                }
                continue;
            }
            match ask.need {
                Need::Usual(text, source) => match read(ask, text) {
                    Ok(what) => given.take(ask, what, text, From::Usual(source)),
                    Err(refused) => wrong.0.push(refused),
                },
                Need::Must => {
                    wrong.0.push(refusal(ask, "it is not told".into(), format!("Tell it, such as {}.", ask.example())));
                }
                Need::May => {}
            }
        }
        if wrong.0.is_empty() { Ok(given) } else { Err(wrong) }
    }

    fn take(&mut self, ask: &Ask, what: What, written: &str, from: From) {
        self.told.insert(ask.key, Told { what, written: written.trim().to_string(), from });
    }

    /// Every ask that has an answer, with it.
    pub fn all(&self) -> impl Iterator<Item = (&'static str, &Told)> {
        self.told.iter().map(|(key, told)| (*key, told))
    }

    /// One of them.
    pub fn told(&self, key: &str) -> Option<&Told> {
        self.told.get(key)
    }

    /// A value that the job cannot do without [SI].
    ///
    /// # Errors
    /// [`Refused`] where it is not there.
    pub fn value(&self, key: &'static str) -> Result<f64, Refused> {
        self.maybe(key).ok_or_else(|| Refused::of(key, "it is not told", "Tell it."))
    }

    /// A value, if there is one [SI].
    pub fn maybe(&self, key: &str) -> Option<f64> {
        self.values(key).first().map(|(value, _)| *value)
    }

    /// A list of values; empty where there is none [SI].
    pub fn list(&self, key: &str) -> Vec<f64> {
        self.values(key).iter().map(|(value, _)| *value).collect()
    }

    /// Values with their standard uncertainties [SI].
    pub fn values(&self, key: &str) -> &[(f64, f64)] {
        match self.told.get(key).map(|told| &told.what) {
            Some(What::Values(values)) => values,
            _ => &[],
        }
    }

    /// The word of a choice; empty where none was made.
    pub fn word(&self, key: &str) -> &'static str {
        match self.told.get(key).map(|told| &told.what) {
            Some(What::Word(word)) => word,
            _ => "",
        }
    }

    /// A text; empty where there is none.
    pub fn text(&self, key: &str) -> &str {
        match self.told.get(key).map(|told| &told.what) {
            Some(What::Text(text)) => text,
            _ => "",
        }
    }

    /// Every value that is uncertain: key, place in its list, and standard uncertainty [SI].
    pub fn uncertain(&self) -> Vec<(&'static str, usize, f64)> {
        let of = |(key, told): (&&'static str, &Told)| -> Vec<(&'static str, usize, f64)> {
            let What::Values(values) = &told.what else { return Vec::new() };
            let all = values.iter().enumerate().filter(|(_, (_, doubt))| *doubt > 0.0);
            all.map(|(place, (_, doubt))| (*key, place, *doubt)).collect()
        };
        self.told.iter().flat_map(of).collect()
    }

    /// The same with one value moved.
    #[must_use]
    pub fn moved(&self, key: &str, place: usize, by: f64) -> Given {
        let mut moved = self.clone();
        if let Some(Told { what: What::Values(values), .. }) = moved.told.get_mut(key)
            && let Some((value, _)) = values.get_mut(place)
        {
            *value += by;
        }
        moved
    }
}

/// Reads one answer.
///
/// # Errors
/// Why it cannot be.
pub fn read(ask: &Ask, text: &str) -> Result<What, Refusal> {
    if text.len() > LONGEST {
        return Err(refusal(ask, format!("{} letters are too many", text.len()), format!("At most {LONGEST}.")));
    }
    match ask.sort {
        Sort::One(quantity) => Ok(What::Values(vec![value(ask, text, quantity)?])),
        Sort::Many(quantity) => list(ask, text, quantity),
        Sort::Text(_) => Ok(What::Text(text.trim().to_string())),
        Sort::Choice(words) => {
            let word = folded(text);
            words.iter().find(|(known, _)| *known == word).map(|(known, _)| What::Word(known)).ok_or_else(|| {
                let near = nearest(&word, words.iter().map(|(known, _)| *known));
                let advice =
                    near.map_or_else(|| format!("It is {}.", ask.example()), |near| format!("Did you mean {near}?"));
                refusal(ask, format!("`{}` is none of its words", short(text)), advice)
            })
        }
    }
}

/// "0.30 mm", "0.30 ± 0.02 mm", "0.30 mm +/- 0.02 mm": what follows is what 95 % lies within.
fn value(ask: &Ask, text: &str, quantity: Quantity) -> Result<(f64, f64), Refusal> {
    let split = ["±", "+/-", "+-"].iter().find_map(|sign| text.split_once(sign));
    let (middle, spread) = split.map_or((text, None), |(middle, spread)| (middle, Some(spread)));
    let advice = || format!("Write it such as {}.", ask.example());
    let bad = |error: &unit::UnitError| refusal(ask, error.to_string(), advice());
    let parsed = unit::parse(middle, quantity);
    let borrowed =
        spread.and_then(unit_of).and_then(|unit| unit::parse(&format!("{} {unit}", middle.trim()), quantity).ok());
    let parsed = parsed.or_else(|error| borrowed.ok_or(error)).map_err(|error| bad(&error))?;
    let (low, high) = ask.within;
    if !(low..=high).contains(&parsed) {
        let print = |value: f64| unit::print_usual(value, quantity);
        let why = format!("{} cannot be: it lies within {} to {}", short(text), print(low), print(high));
        return Err(refusal(ask, why, "Look at the number and its unit.".into()));
    }
    let Some(spread) = spread else { return Ok((parsed, ask.doubt)) };
    let spread = unit::parse_change(spread, quantity).map_err(|error| bad(&error))?;
    Ok((parsed, spread.abs() / SIGMAS_TO_95))
}

/// "2.4, 2.9, 3.3 bar": apart by commas or semicolons; the last tells the unit for those that have none.
fn list(ask: &Ask, text: &str, quantity: Quantity) -> Result<What, Refusal> {
    let each: Vec<&str> = text.split([',', ';']).map(str::trim).filter(|each| !each.is_empty()).collect();
    if each.len() > MOST {
        return Err(refusal(ask, format!("{} values are too many", each.len()), format!("At most {MOST}.")));
    }
    let unit = each.last().and_then(|last| unit_of(last));
    let with_unit = |text: &&str| match unit {
        Some(unit) if unit_of(text).is_none() => format!("{text} {unit}"),
        _ => (*text).to_string(),
    };
    let values: Result<Vec<_>, _> = each.iter().map(|text| value(ask, &with_unit(text), quantity)).collect();
    values.map(What::Values)
}

/// The unit at the end of a value, if it has one.
fn unit_of(text: &str) -> Option<&str> {
    let text = text.trim();
    let end = text.rfind(|letter: char| letter.is_ascii_digit() || letter == '.')?;
    Some(text[end + 1..].trim()).filter(|unit| !unit.is_empty())
}

fn unknown(job: &Job, key: &str) -> Refusal {
    let keys = job.asks.iter().map(|ask| ask.key);
    let near = nearest(&folded(key), keys.clone()).map(|near| format!("Did you mean `{near}`?"));
    let advice = near.unwrap_or_else(|| format!("It takes {}.", keys.collect::<Vec<_>>().join(", ")));
    Refusal { key: None, why: format!("`{}` is nothing that {} takes", short(key), job.word), advice }
}

fn refusal(ask: &Ask, why: String, advice: String) -> Refusal {
    Refusal { key: Some(ask.key), why, advice }
}

/// Keys and values of a text, each value as it would be written on a line.
///
/// # Errors
/// Findings where it cannot be read.
pub fn pairs(text: &str) -> Result<Vec<(String, String)>, Vec<Finding>> {
    let document = document(text)?;
    let mut findings = Vec::new();
    let mut all = Vec::new();
    for told in entries(document.as_table(), &mut findings) {
        match plain(told.value) {
            Some(text) => all.push((told.key, text)),
            None => findings.push(told.wrong("a value with its unit, in quotes, or a list of them")),
        }
    }
    if findings.is_empty() { Ok(all) } else { Err(findings) }
}

/// A value, number or list as one text.
pub(crate) fn plain(item: &Item) -> Option<String> {
    let one = |value: &Value| match value {
        Value::String(text) => Some(text.value().clone()),
        Value::Integer(number) => Some(number.value().to_string()),
        Value::Float(number) => Some(number.value().to_string()),
        _ => None,
    };
    match item.as_value()? {
        Value::Array(array) => array.iter().map(one).collect::<Option<Vec<_>>>().map(|all| all.join(", ")),
        value => one(value),
    }
}

/// No more of a text than an error should show.
fn short(text: &str) -> String {
    let text = text.trim();
    if text.chars().count() > 40 { text.chars().take(40).chain(['…']).collect() } else { text.to_string() }
}
