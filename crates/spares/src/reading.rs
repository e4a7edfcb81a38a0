//! `[item.NAME]` and `[kit.NAME]`, from the text of `work.toml` or `vessel.toml`, with every mistake at its place.

use crate::amount::{self, Counted};
use crate::item::{Fit, Item, ItemId, Kit, Meant, Stores, plain};
use measure::nearest::nearest;
use measure::quantity::Quantity;
use plant::aboard;
use plant::evidence::Named;
use plant::finding::{Finding, Problem};
use plant::names::folded;
use plant::plant::Plant;
use plant::told::{Entry, document, entries};

/// Items and kits that are read: far more than any vessel has.
const MOST: usize = 2_000;
const ITEM: &[&str] = &[
    "what",
    "number",
    "equivalents",
    "supplier",
    "lead",
    "stowed",
    "aboard",
    "counted",
    "keep",
    "shelf-life",
    "bought",
    "by",
    "pack",
    "weight",
    "cost",
    "volume",
    "per-use",
    "tool",
    "fits",
    "note",
];
const KIT: &[&str] = &["what", "contents", "fits", "note"];

/// Amounts within reason: pieces, m³, kg or m.
const AMOUNT: (f64, f64) = (0.0, 100_000.0);
/// Mass of a pack [kg], cost [EUR] and room [m³] within reason.
const WEIGHT: (f64, f64) = (0.0, 10_000.0);
const COST: (f64, f64) = (0.0, 1_000_000.0);
const VOLUME: (f64, f64) = (0.0, 100.0);
/// Days from order to aboard [d], and months of shelf life, within reason.
const LEAD: (f64, f64) = (0.0, 1_500.0);
const SHELF: (f64, f64) = (1.0, 600.0);
/// Average length of a month [d].
const MONTH: f64 = 365.25 / 12.0;

/// What a text tells of items and kits; other sections are passed over.
pub fn read(text: &str, plant: &Plant) -> (Stores, Vec<Finding>) {
    read_beside(text, plant, &[], Stores::default())
}

/// The same in a text that stands beside another one, of which `stores` are: a kit may hold what that one describes.
///
/// * `used`: what service tasks use, as (part, word): an item may fit those words, too
pub fn read_beside(text: &str, plant: &Plant, used: &[Fit], mut stores: Stores) -> (Stores, Vec<Finding>) {
    let whole = Whole { plant, used };
    let document = match document(text) {
        Ok(document) => document,
        Err(findings) => return (stores, findings),
    };
    let mut findings = Vec::new();
    // What is wrong with other sections is found by whoever reads them.
    let sections = entries(document.as_table(), &mut Vec::new());
    for section in sections.iter().filter(|section| section.key == "item") {
        for entry in section.table(&mut findings) {
            if is_new(&stores, &entry, &mut findings) {
                let item = item(whole, &entry, &mut findings);
                stores.items.push(item);
            }
        }
    }
    for section in sections.iter().filter(|section| section.key == "kit") {
        for entry in section.table(&mut findings) {
            if is_new(&stores, &entry, &mut findings) {
                let kit = kit(whole, &stores, &entry, &mut findings);
                stores.kits.push(kit);
            }
        }
    }
    unlike(&stores, &mut findings);
    findings.sort_by_key(|finding| finding.places.first().map_or(usize::MAX, |(range, _)| range.start));
    (stores, findings)
}

/// What names are looked up in.
#[derive(Copy, Clone)]
struct Whole<'a> {
    plant: &'a Plant,
    used: &'a [Fit],
}

fn is_new(stores: &Stores, entry: &Entry, findings: &mut Vec<Finding>) -> bool {
    if stores.items.len() + stores.kits.len() >= MOST {
        let problem = Problem::TooMany { what: "items and kits", limit: MOST };
        findings.push(Finding::at(problem, entry.key_place.clone()));
        return false;
    }
    let first = match stores.called(&entry.key) {
        Some(Meant::Item(item)) => stores[item].place.clone(),
        Some(Meant::Kit(kit)) => kit.place.clone(),
        None => return true,
    };
    let what = format!("`{}` is the name of an item or kit already", entry.key);
    let problem = Problem::Unfit { what, advice: "Give one of them another name, or put both into one." };
    findings.push(Finding::at(problem, entry.key_place.clone()).and(first, "the first is here"));
    false
}

/// Two that are said to serve as well as each other cannot be added up if one is counted and the other measured.
fn unlike(stores: &Stores, findings: &mut Vec<Finding>) {
    for (place, item) in stores.items.iter().enumerate() {
        let other = stores.items[..place].iter().find(|other| other.serves_as(item) && other.counted != item.counted);
        if let Some(other) = other {
            let (a, b) = (item.counted.word(), other.counted.word());
            let what = format!("`{}` is {a} and `{}`, which serves as well, is {b}", item.name, other.name);
            let problem = Problem::Unfit { what, advice: "Count both in the same." };
            findings.push(Finding::at(problem, item.place.clone()).and(other.place.clone(), "the other is here"));
        }
    }
}

fn item(whole: Whole, section: &Entry, findings: &mut Vec<Finding>) -> Item {
    let mut item = Item {
        name: section.key.clone(),
        what: section.key.replace('-', " "),
        number: None,
        equivalents: Vec::new(),
        alike: Vec::new(),
        supplier: None,
        lead: None,
        stowed: None,
        counted: Counted::Pieces,
        aboard: 0.0,
        counted_on: None,
        keep: 0.0,
        shelf_life: None,
        good_until: None,
        pack: 1.0,
        weight: None,
        cost: None,
        volume: None,
        per_use: None,
        tool: false,
        fits: Vec::new(),
        place: section.key_place.clone(),
    };
    let told = section.table(findings);
    let mut counted: Option<Counted> = None;
    let (mut pack, mut per_use, mut bought) = (None, None, None);
    for entry in &told {
        let mut amount = |findings: &mut Vec<Finding>| amount(entry, &mut counted, findings);
        match entry.key.as_str() {
            "what" => item.what = text(entry, findings).unwrap_or(item.what),
            "number" => item.number = number(entry, findings),
            "equivalents" => item.equivalents = words(entry, findings),
            "supplier" => item.supplier = text(entry, findings),
            "stowed" => item.stowed = text(entry, findings),
            "lead" => {
                let days = span(entry, "days", 1.0, findings);
                item.lead = days.and_then(|days| within(days, LEAD, entry, findings));
            }
            "aboard" => item.aboard = amount(findings).unwrap_or(0.0),
            "keep" => item.keep = amount(findings).unwrap_or(0.0),
            "pack" => pack = amount(findings).and_then(|pack| positive(pack, entry, findings)),
            "per-use" => per_use = amount(findings).and_then(|each| positive(each, entry, findings)),
            "counted" => item.counted_on = entry.day(findings),
            "bought" => bought = entry.day(findings),
            "by" => item.good_until = entry.day(findings),
            "shelf-life" => {
                let days = span(entry, "months", MONTH, findings);
                item.shelf_life = days.and_then(|days| within(days / MONTH, SHELF, entry, findings));
            }
            "weight" => item.weight = valued(entry, Quantity::Mass, WEIGHT, findings),
            "volume" => item.volume = valued(entry, Quantity::Volume, VOLUME, findings),
            "cost" => item.cost = money(entry, findings),
            "tool" => match entry.value.as_bool() {
                Some(tool) => item.tool = tool,
                None => findings.push(entry.wrong("true or false")),
            },
            "fits" => item.fits = fits(whole, entry, findings),
            "note" => drop(entry.text(findings)),
            _ => findings.push(entry.unknown(&format!("item `{}`", section.key), ITEM)),
        }
    }
    item.alike = item.number.iter().chain(&item.equivalents).map(|number| plain(number)).collect();
    item.counted = counted.unwrap_or(Counted::Pieces);
    item.pack = pack.unwrap_or(item.counted.one());
    item.per_use = per_use;
    if per_use.is_none() && item.counted != Counted::Pieces && !item.fits.is_empty() {
        let of = format!("item `{}`", item.name);
        let problem = Problem::MissingKey { key: "per-use", of, example: "\"2 L\", what one repair takes of it" };
        findings.push(Finding::at(problem, item.place.clone()));
    }
    if let (None, Some(bought), Some(months)) = (item.good_until, bought, item.shelf_life) {
        item.good_until = Some(bought + (months * MONTH).round() as i64);
    }
    item
}

fn kit(whole: Whole, stores: &Stores, section: &Entry, findings: &mut Vec<Finding>) -> Kit {
    let mut kit = Kit {
        name: section.key.clone(),
        what: section.key.replace('-', " "),
        contents: Vec::new(),
        fits: Vec::new(),
        place: section.key_place.clone(),
    };
    let told = section.table(findings);
    for entry in &told {
        match entry.key.as_str() {
            "what" => kit.what = text(entry, findings).unwrap_or(kit.what),
            "fits" => kit.fits = fits(whole, entry, findings),
            "note" => drop(entry.text(findings)),
            "contents" => kit.contents = contents(stores, entry, findings),
            _ => findings.push(entry.unknown(&format!("kit `{}`", section.key), KIT)),
        }
    }
    if !told.iter().any(|entry| entry.key == "contents") {
        let of = format!("kit `{}`", kit.name);
        let problem = Problem::MissingKey { key: "contents", of, example: "{ impeller = 1, gasket = 1 }" };
        findings.push(Finding::at(problem, kit.place.clone()));
    }
    kit
}

fn contents(stores: &Stores, entry: &Entry, findings: &mut Vec<Finding>) -> Vec<(ItemId, f64)> {
    let mut contents: Vec<(ItemId, f64)> = Vec::new();
    for inner in entry.table(findings) {
        let Some(place) = stores.items.iter().position(|item| item.name == inner.key) else {
            let nearest = nearest(&inner.key, stores.items.iter().map(|item| item.name.as_str()));
            let problem =
                Problem::Unknown { sort: "item", name: inner.key.clone(), nearest: nearest.map(String::from) };
            findings.push(Finding::at(problem, inner.key_place.clone()));
            continue;
        };
        let mut counted = Some(stores.items[place].counted);
        let amount = amount(&inner, &mut counted, findings).and_then(|amount| positive(amount, &inner, findings));
        contents.extend(amount.map(|amount| (ItemId(place), amount)));
    }
    contents
}

/// A count or an amount, in what the item is counted in.
fn amount(entry: &Entry, counted: &mut Option<Counted>, findings: &mut Vec<Finding>) -> Option<f64> {
    let Some((amount, found)) = entry.digits().and_then(|text| amount::parse(&text)) else {
        findings.push(entry.wrong("a count, or an amount with its unit such as \"14 L\""));
        return None;
    };
    let counted = counted.get_or_insert(found);
    // None of it is none, whatever it is counted in.
    if *counted != found && amount != 0.0 {
        let (a, b) = (found.word(), counted.word());
        let what = format!("`{}` is {a}, where the item is counted in {b}", entry.key);
        let problem = Problem::Unfit { what, advice: "Tell all amounts of an item in the same, pieces or a unit." };
        findings.push(Finding::at(problem, entry.place.clone()));
        return None;
    }
    if *counted == Counted::Pieces && amount.fract() != 0.0 {
        findings.push(entry.wrong("a whole number of pieces"));
        return None;
    }
    within(amount, AMOUNT, entry, findings)
}

fn positive(amount: f64, entry: &Entry, findings: &mut Vec<Finding>) -> Option<f64> {
    if amount > 0.0 {
        return Some(amount);
    }
    findings.push(entry.wrong("more than nothing"));
    None
}

fn valued(entry: &Entry, quantity: Quantity, bounds: (f64, f64), findings: &mut Vec<Finding>) -> Option<f64> {
    entry.value_of(quantity, findings).and_then(|value| within(value, bounds, entry, findings))
}

/// "14 days", "2 weeks", "18 months", or a bare number of the unit usual for it [d].
fn span(entry: &Entry, usual: &'static str, usual_days: f64, findings: &mut Vec<Finding>) -> Option<f64> {
    let text = entry.digits().unwrap_or_default();
    let end = text.find(|letter: char| !(letter.is_ascii_digit() || letter == '.')).unwrap_or(text.len());
    let number: Option<f64> = text[..end].parse().ok();
    let days = match text[end..].trim() {
        "" => Some(usual_days),
        "d" | "day" | "days" => Some(1.0),
        "week" | "weeks" => Some(7.0),
        "month" | "months" => Some(MONTH),
        "year" | "years" => Some(365.25),
        _ => None,
    };
    let span = number.zip(days).map(|(number, days)| number * days);
    if span.is_none() {
        let expected =
            if usual == "days" { "a time such as \"14 days\" or \"3 weeks\"" } else { "a time such as \"24 months\"" };
        findings.push(entry.wrong(expected));
    }
    span
}

/// "40 EUR", or the number.
fn money(entry: &Entry, findings: &mut Vec<Finding>) -> Option<f64> {
    let text = entry.digits().unwrap_or_default();
    let Ok(cost) = text.trim().trim_end_matches("EUR").trim_end().parse::<f64>() else {
        findings.push(entry.wrong("a sum of money in euro, such as 40 or \"40 EUR\""));
        return None;
    };
    within(cost, COST, entry, findings)
}

fn within(value: f64, (low, high): (f64, f64), entry: &Entry, findings: &mut Vec<Finding>) -> Option<f64> {
    if (low..=high).contains(&value) {
        return Some(value);
    }
    let given: String = entry.digits().unwrap_or_default().chars().take(40).collect();
    let problem = Problem::Unreasonable { key: entry.key.clone(), given, low: low.to_string(), high: high.to_string() };
    findings.push(Finding::at(problem, entry.place.clone()));
    None
}

fn fits(whole: Whole, entry: &Entry, findings: &mut Vec<Finding>) -> Vec<Fit> {
    let mut list: Vec<Fit> = Vec::new();
    for (word, place) in entry.list(findings) {
        let by_task = || {
            let (part, word) = word.split_once('.')?;
            let fit = (Named::find(whole.plant, part)?, folded(word));
            whole.used.iter().any(|(of, used)| *of == fit.0 && folded(used) == fit.1).then_some(fit)
        };
        match aboard::spare(whole.plant, word).or_else(|problem| by_task().ok_or(problem)) {
            Ok(fit) if list.contains(&fit) => {}
            Ok(fit) => list.push(fit),
            Err(problem) => findings.push(Finding::at(problem, place)),
        }
    }
    list
}

fn text(entry: &Entry, findings: &mut Vec<Finding>) -> Option<String> {
    entry.text(findings).map(|text| text.trim().to_string()).filter(|text| !text.is_empty())
}

/// A part number: text, or digits.
fn number(entry: &Entry, findings: &mut Vec<Finding>) -> Option<String> {
    let number = entry.digits();
    if number.is_none() {
        findings.push(entry.wrong("a part number in quotes"));
    }
    number.map(|number| number.trim().to_string()).filter(|number| !number.is_empty())
}

fn words(entry: &Entry, findings: &mut Vec<Finding>) -> Vec<String> {
    entry.list(findings).into_iter().map(|(word, _)| word.trim().to_string()).filter(|word| !word.is_empty()).collect()
}
