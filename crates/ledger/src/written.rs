//! Entries as an owner writes them: "fuel-tank=1200 L".

use crate::posting::Posting;
use crate::told::Told;
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit;
use parts::kind::Circuit;
use plant::names;
use plant::plant::{PartId, Plant};

/// What sort of entry is written.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Sort {
    /// Fuel taken: TANK=AMOUNT.
    Taken,
    /// Fuel moved: FROM=TO=AMOUNT.
    Moved,
    /// A tank sounded: TANK=AMOUNT, share or depth.
    Sounded,
    /// Fuel burnt by a meter: AMOUNT, or TANK=AMOUNT.
    Burnt,
    /// Oil or coolant topped up: PART=AMOUNT.
    Added,
    /// Drained: PART=AMOUNT.
    Drained,
    /// Changed for new: PART=AMOUNT.
    Renewed,
    /// Hour-meter: ENGINE=HOURS, or HOURS where there is one engine.
    Hours,
    /// Hour-meter changed: ENGINE=OLD=NEW.
    MeterChanged,
}

impl Sort {
    /// Each, with its word on the command line and in a form.
    pub const ALL: [(&'static str, Sort); 9] = [
        ("taken", Sort::Taken),
        ("moved", Sort::Moved),
        ("sounded", Sort::Sounded),
        ("burnt", Sort::Burnt),
        ("added", Sort::Added),
        ("drained", Sort::Drained),
        ("renewed", Sort::Renewed),
        ("hours", Sort::Hours),
        ("meter-changed", Sort::MeterChanged),
    ];

    /// The one of this word.
    pub fn of(word: &str) -> Option<Sort> {
        Sort::ALL.iter().find(|(known, _)| *known == word).map(|(_, sort)| *sort)
    }
}

/// What is told beside an amount.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Beside<'a> {
    /// How closely it is known: "20 L".
    pub within: Option<&'a str>,
    /// Density as delivered: "840 kg/m³".
    pub density: Option<&'a str>,
    /// Where.
    pub place: Option<&'a str>,
    /// What it cost.
    pub price: Option<&'a str>,
}

/// An entry of this sort from its text.
///
/// # Errors
/// What is wrong, and what to write instead.
pub fn posting(sort: Sort, text: &str, beside: &Beside, told: &Told, plant: &Plant) -> Result<Posting, String> {
    let within = beside.within.map(|text| volume(text, "within")).transpose()?;
    let words: Vec<&str> = text.split('=').map(str::trim).collect();
    let tank =
        |word: &str| told.tank(word).map(|tank| tank.name.clone()).map_err(|problem| tanks(&problem.to_string(), told));
    let posting = match (sort, words.as_slice()) {
        (Sort::Taken, [to, amount]) => {
            let density = beside.density.map(|text| of(text, Quantity::Density)).transpose()?;
            let volume = match (unit::parse(amount, Quantity::Mass), density) {
                (Ok(mass), Some(density)) if density > 0.0 => mass / density,
                (Ok(_), _) => return Err("fuel by mass needs its density, such as 840 kg/m³".into()),
                (Err(_), _) => volume(amount, "taken")?,
            };
            let (place, price) = (beside.place.map(str::to_string), beside.price.map(str::to_string));
            Posting::Taken { tank: tank(to)?, volume, within, density, place, price }
        }
        (Sort::Moved, [from, to, amount]) => {
            let (from, to) = (tank(from)?, tank(to)?);
            if from == to {
                return Err(format!("{from} cannot be moved into itself"));
            }
            Posting::Moved { from, to, volume: volume(amount, "moved")?, within }
        }
        (Sort::Sounded, [of, amount]) => {
            let known = told.tank(of).map_err(|problem| tanks(&problem.to_string(), told))?;
            Posting::Sounded { tank: known.name.clone(), volume: not_below(known.holds(amount)?, "sounded")?, within }
        }
        (Sort::Burnt, [amount]) => Posting::Burnt { tank: None, volume: volume(amount, "burnt")?, within },
        (Sort::Burnt, [out, amount]) => {
            Posting::Burnt { tank: Some(tank(out)?), volume: volume(amount, "burnt")?, within }
        }
        (Sort::Added, [of, amount]) => Posting::Added { part: part(of, plant)?, volume: volume(amount, "added")? },
        (Sort::Drained, [of, amount]) => {
            Posting::Drained { part: part(of, plant)?, volume: volume(amount, "drained")? }
        }
        (Sort::Renewed, [of, amount]) => {
            Posting::Renewed { part: part(of, plant)?, volume: volume(amount, "renewed")? }
        }
        (Sort::Hours, [of, read]) => Posting::Hours { engine: engine(Some(of), plant)?, hours: hours(read)? },
        (Sort::Hours, [read]) => Posting::Hours { engine: engine(None, plant)?, hours: hours(read)? },
        (Sort::MeterChanged, [of, old, new]) => {
            Posting::MeterChanged { engine: engine(Some(of), plant)?, old: hours(old)?, new: hours(new)? }
        }
        (Sort::MeterChanged, [old, new]) => {
            Posting::MeterChanged { engine: engine(None, plant)?, old: hours(old)?, new: hours(new)? }
        }
        (sort, _) => return Err(format!("`{text}` is not {}", shape(sort))),
    };
    Ok(posting)
}

/// How an entry is written.
fn shape(sort: Sort) -> &'static str {
    match sort {
        Sort::Taken => "TANK=AMOUNT, such as \"fuel-tank=1200 L\"",
        Sort::Moved => "FROM=TO=AMOUNT, such as \"fuel-tank=day-tank=150 L\"",
        Sort::Sounded => "TANK=AMOUNT, such as \"fuel-tank=640 L\", \"fuel-tank=60 %\" or \"fuel-tank=42 cm\"",
        Sort::Burnt => "AMOUNT or TANK=AMOUNT, such as \"84 L\"",
        Sort::Added | Sort::Drained | Sort::Renewed => "PART=AMOUNT, such as \"sump=2 L\"",
        Sort::Hours => "ENGINE=HOURS, such as \"main=1850 h\"",
        Sort::MeterChanged => "ENGINE=OLD=NEW, such as \"main=1850 h=0 h\"",
    }
}

fn tanks(why: &str, told: &Told) -> String {
    let names: Vec<&str> = told.tanks.iter().map(|tank| tank.name.as_str()).collect();
    if names.is_empty() {
        return format!(
            "{why}: no fuel tank is told of; write [tank.NAME] with its volume into vessel.toml or work.toml"
        );
    }
    format!("{why}; there are {}, and [tank.NAME] in vessel.toml or work.toml tells of more", names.join(", "))
}

fn of(text: &str, quantity: Quantity) -> Result<f64, String> {
    unit::parse(text, quantity).map_err(|error| error.to_string())
}

fn not_below(value: f64, what: &str) -> Result<f64, String> {
    if value < 0.0 { Err(format!("less than nothing was {what}")) } else { Ok(value) }
}

fn volume(text: &str, what: &str) -> Result<f64, String> {
    not_below(of(text, Quantity::Volume)?, what)
}

/// Hours: "1850 h", or the bare number of a meter.
fn hours(text: &str) -> Result<f64, String> {
    const HOUR: f64 = 3600.0;
    let bare = text.parse::<f64>().ok();
    let hours = bare.map_or_else(|| of(text, Quantity::Duration).map(|seconds| seconds / HOUR), Ok)?;
    if !hours.is_finite() || hours > 1e6 {
        return Err(format!("`{text}` is more than an engine runs"));
    }
    not_below(hours, "run")
}

/// A part that holds oil or coolant.
fn part(word: &str, plant: &Plant) -> Result<String, String> {
    let holds = |part: &PartId| {
        let kind = plant[*part].kind;
        let circuit = matches!(kind.circuit, Circuit::Oil | Circuit::GearOil | Circuit::FreshWater | Circuit::Drive);
        circuit && kind.unknowns.iter().any(|unknown| unknown.name == "level")
    };
    if let Some(part) = names::part_called(plant, word).filter(holds) {
        return Ok(plant[part].name.clone());
    }
    let known: Vec<&str> =
        (0..plant.parts.len()).map(PartId).filter(holds).map(|part| plant[part].name.as_str()).collect();
    let nearest = nearest(word, known.iter().copied()).map_or_else(String::new, |name| format!("; is `{name}` meant?"));
    Err(format!("`{word}` holds no oil or coolant{nearest} These do: {}", known.join(", ")))
}

fn engine(word: Option<&str>, plant: &Plant) -> Result<String, String> {
    let engines: Vec<&str> = plant.engines().map(|engine| plant[engine].name.as_str()).collect();
    match (word, engines.as_slice()) {
        (None, [one]) => Ok((*one).to_string()),
        (None, _) => Err(format!("which engine? Write ENGINE=HOURS; there are {}", engines.join(", "))),
        (Some(word), _) => {
            let part = names::part_called(plant, word).filter(|part| names::is_engine(plant[*part].kind));
            part.map(|part| plant[part].name.clone())
                .ok_or_else(|| format!("`{word}` is no engine; there are {}", engines.join(", ")))
        }
    }
}
