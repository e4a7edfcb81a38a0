//! Ledger: where the fuel, the oil and the coolant went, and entries of it.

use crate::desk::Worked;
use crate::page::frame::{Frame, Theme};
use crate::page::plot::{Mark, Plot};
use crate::ship::Scene;
use askama::Template;
use diary::{Entry, Key};
use ledger::balance::{By, Stretch};
use ledger::topping::Topping;
use ledger::{Posting, saying};
use parts::kind::Circuit;
use plant::plant::Plant;
use work::date;

/// Entries shown.
const LAST: usize = 40;
/// Stretches shown.
const STRETCHES: usize = 24;
/// Letters of a key that are shown.
const KEY: usize = 8;

/// The page.
#[derive(Template)]
#[template(path = "ledger.html")]
pub struct LedgerPage {
    frame: Frame,
    /// The answer: its first sentence, and the rest.
    first: String,
    rest: String,
    invented: bool,
    tanks: Vec<TankRow>,
    balance: Option<Plot>,
    stretches: Vec<[String; 6]>,
    topped: Vec<(String, Option<Plot>)>,
    odd: Vec<(String, String)>,
    entries: Vec<Line>,
    struck: Vec<Line>,
    unread: Vec<String>,
    /// The entry that what is told next stands for instead.
    correct: Option<Line>,
    tank_names: Vec<String>,
    part_names: Vec<String>,
    engine_names: Vec<String>,
}

/// A tank, drawn to scale.
struct TankRow {
    name: String,
    holds: String,
    bracket: String,
    bar: String,
    tick: String,
}

/// An entry.
pub struct Line {
    key: String,
    short: String,
    day: String,
    text: String,
    who: String,
}

impl LedgerPage {
    /// Of what lies on the desk.
    ///
    /// * `correct`: key of an entry that is to be corrected
    pub fn of(scene: &Scene, theme: Theme, worked: &Worked, correct: Option<&str>) -> LedgerPage {
        let (plant, ledger) = (&worked.plant, &worked.ledger);
        let said = saying::first(ledger, plant);
        let (first, rest) = said.split_once(". ").map_or((said.as_str(), ""), |(first, rest)| (first, rest));
        let all = &ledger.diary.entries;
        let find = |key: &str| all.iter().find(|entry| entry.key.0 == key).map(line);
        LedgerPage {
            frame: Frame::of(scene, "Ledger", theme, "/work/ledger"),
            first: if rest.is_empty() { first.into() } else { format!("{first}.") },
            rest: rest.into(),
            invented: worked.invented,
            tanks: tanks(worked),
            balance: balance(&ledger.balance.all),
            stretches: ledger.balance.all.iter().rev().take(STRETCHES).map(row).collect(),
            topped: ledger
                .topping
                .iter()
                .map(|topping| (saying::topped(ledger, topping, plant), topped(topping)))
                .collect(),
            odd: ledger.odd.iter().map(|odd| (short(&odd.key), saying::odd(odd))).collect(),
            entries: all.iter().rev().take(LAST).map(line).collect(),
            struck: ledger.diary.struck.iter().rev().take(LAST).map(|struck| line(&struck.entry)).collect(),
            unread: ledger.diary.unread.clone(),
            correct: correct.and_then(find),
            tank_names: worked.tanks.tanks.iter().map(|tank| tank.name.clone()).collect(),
            part_names: filled(plant),
            engine_names: engines(plant),
        }
    }
}

/// Parts that oil or coolant is filled into.
fn filled(plant: &Plant) -> Vec<String> {
    let holds =
        |circuit: Circuit| matches!(circuit, Circuit::Oil | Circuit::GearOil | Circuit::FreshWater | Circuit::Drive);
    let parts = plant
        .parts
        .iter()
        .filter(|part| holds(part.kind.circuit) && part.kind.unknowns.iter().any(|unknown| unknown.name == "level"));
    parts.map(|part| part.name.clone()).collect()
}

fn engines(plant: &Plant) -> Vec<String> {
    plant.engines().map(|engine| plant[engine].name.clone()).collect()
}

fn short(key: &Key) -> String {
    key.0.get(..KEY).unwrap_or(&key.0).into()
}

fn line(entry: &Entry<Posting>) -> Line {
    Line {
        key: entry.key.0.clone(),
        short: short(&entry.key),
        day: date::iso(entry.time),
        text: saying::entry(&entry.what),
        who: entry.who.clone().unwrap_or_default(),
    }
}

fn tanks(worked: &Worked) -> Vec<TankRow> {
    let now = &worked.ledger.balance.now;
    let most = worked.tanks.tanks.iter().filter_map(|tank| tank.volume).fold(0.0, f64::max);
    let most = now.iter().map(|(_, amount, _)| amount.high()).fold(most, f64::max).max(1e-9);
    let place = |volume: f64| (4.0 + 192.0 * (volume / most).clamp(0.0, 1.0) * 10.0 / 10.0).round();
    now.iter()
        .map(|(name, amount, time)| {
            let volume = worked.tanks.tanks.iter().find(|tank| tank.name == *name).and_then(|tank| tank.volume);
            let of = volume.map_or_else(String::new, |volume| format!(" of {:.0} L", volume * 1e3));
            TankRow {
                name: name.clone(),
                holds: format!(
                    "{:.0} L{of}, within {:.0} L; sounded {}",
                    amount.value * 1e3,
                    amount.band() * 1e3,
                    date::iso(*time)
                ),
                bracket: volume.map_or_else(String::new, |volume| {
                    let end = place(volume);
                    format!("M8 4H4V28H8M{} 4H{end}V28H{}M4 28H{end}", end - 4.0, end - 4.0)
                }),
                bar: format!("M{} 16H{}", place(amount.low()), place(amount.high())),
                tick: format!("M{} 7V25", place(amount.value)),
            }
        })
        .collect()
}

/// What is unaccounted for, stretch by stretch, held against nothing.
fn balance(all: &[Stretch]) -> Option<Plot> {
    let mark = |stretch: &Stretch| {
        let missing = stretch.unaccounted()?;
        Some(Mark { at: stretch.to as f64, value: missing.value, band: (missing.low(), missing.high()) })
    };
    let marks: Vec<Mark> = all.iter().rev().take(STRETCHES).filter_map(mark).collect();
    let last = all.last().map(saying::accounted).unwrap_or_default();
    Plot::of(&marks, None, Some((0.0, 0)), format!("Fuel unaccounted for between soundings. {last}"))
}

fn topped(topping: &Topping) -> Option<Plot> {
    let marks: Vec<Mark> =
        topping.spans.iter().map(|(at, rate, _)| Mark { at: *at, value: *rate, band: (*rate, *rate) }).collect();
    let line = topping.trend.map(|trend| move |at: f64| trend.at(at));
    let line = line.as_ref().map(|line| line as &dyn Fn(f64) -> f64);
    let label = format!("What {} took an hour, span by span", topping.part);
    if marks.len() < 2 { None } else { Plot::of(&marks, line, Some((0.0, 0)), label) }
}

fn row(stretch: &Stretch) -> [String; 6] {
    // No zero has a sign.
    let litres = |value: f64| format!("{:.0}", (value * 1e3).round() + 0.0);
    let by = |by: By| match by {
        By::Meter => "meter",
        By::Rate => "rate told",
        By::Usual => "usual",
    };
    [
        format!("{} to {}", date::iso(stretch.from), date::iso(stretch.to)),
        stretch.hours.map_or_else(String::new, |hours| format!("{hours:.0}")),
        litres(stretch.taken.value),
        litres(stretch.drawn.value),
        stretch.burnt.map_or_else(String::new, |(burnt, how)| format!("{}, {}", litres(burnt.value), by(how))),
        stretch
            .unaccounted()
            .map_or_else(String::new, |missing| format!("{} ± {}", litres(missing.value), litres(missing.band()))),
    ]
}
