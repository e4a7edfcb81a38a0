//! What the owner tells of tanks and of how much is burnt an hour: `[tank.*]` and `[burn.*]` of the vessel's text.

use measure::figure::{Origin, SIGMAS_TO_95};
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit::{self, UnitError};
use parts::kind::Circuit;
use plant::finding::{Finding, Problem};
use plant::names;
use plant::plant::Plant;
use plant::told::{Entry, document, entries};

const TANK: &[&str] = &["volume", "sounding"];
const BURN: &[&str] = &["rate", "within"];
/// Half the band that holds 19 of 20 where a rate is told without one, as a share of it [1]. From memory.
const RATE_WITHIN: f64 = 0.15;

/// Tanks and rates.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Told {
    /// Fuel tanks: those among the parts first, then those told here alone.
    pub tanks: Vec<Tank>,
    /// What engines burn.
    pub burns: Vec<Burn>,
}

/// A fuel tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Tank {
    /// Its name.
    pub name: String,
    /// What it holds [m³], where that is told.
    pub volume: Option<f64>,
    /// Depth on the stick [m] and what is in it then [m³], rising, where a table is told.
    pub sounding: Vec<(f64, f64)>,
}

/// What an engine burns at the speed she is usually run.
#[derive(Clone, Debug, PartialEq)]
pub struct Burn {
    /// The engine.
    pub engine: String,
    /// Fuel per hour of running [m³/h].
    pub rate: f64,
    /// Standard deviation of that over the hours of a passage [m³/h].
    pub sigma: f64,
}

impl Told {
    /// The tank of that name.
    ///
    /// # Errors
    /// [`Problem::Unknown`] with the nearest.
    pub fn tank(&self, word: &str) -> Result<&Tank, Problem> {
        let name = names::folded(word);
        self.tanks.iter().find(|tank| tank.name == name).ok_or_else(|| Problem::Unknown {
            sort: "fuel tank",
            nearest: nearest(&name, self.tanks.iter().map(|tank| tank.name.as_str())).map(str::to_string),
            name,
        })
    }
}

impl Tank {
    /// What a sounding means: litres, a share of a tank whose volume is told, or a depth where a table is told [m³].
    ///
    /// # Errors
    /// In words, with what to write instead.
    pub fn holds(&self, text: &str) -> Result<f64, String> {
        if let Ok(volume) = unit::parse(text, Quantity::Volume) {
            return Ok(volume);
        }
        if let (Ok(share), Some(volume)) = (unit::parse(text, Quantity::Level), self.volume) {
            return Ok(share * volume);
        }
        if let Ok(depth) = unit::parse(text, Quantity::Length) {
            return self.at_depth(depth);
        }
        let error = unit::parse(text, Quantity::Volume).err().map_or_else(String::new, |error| format!(": {error}"));
        Err(format!(
            "`{text}` is no sounding of {}{error}; write litres, a share such as \"60 %\", or a depth",
            self.name
        ))
    }

    /// What is in it where the stick is wet this far, straight between the rows of its table [m³].
    fn at_depth(&self, depth: f64) -> Result<f64, String> {
        let Some((first, last)) = self.sounding.first().zip(self.sounding.last()) else {
            return Err(format!(
                "no table of depths is told of {}; write litres, or tell sounding = [[\"0 cm\", \"0 L\"], …] under [tank.{}]",
                self.name, self.name
            ));
        };
        if !(first.0..=last.0).contains(&depth) {
            let (low, high) =
                (unit::print_usual(first.0, Quantity::Length), unit::print_usual(last.0, Quantity::Length));
            return Err(format!("the table of {} goes from {low} to {high}", self.name));
        }
        let after = self.sounding.partition_point(|(row, _)| *row <= depth).min(self.sounding.len() - 1).max(1);
        let ((low, from), (high, to)) = (self.sounding[after - 1], self.sounding[after]);
        Ok(from + (depth - low) / (high - low) * (to - from))
    }
}

/// Reads `[tank.*]` and `[burn.*]` of a text; other sections are for others. Every mistake is found in one go.
pub fn read(text: &str, plant: &Plant) -> (Told, Vec<Finding>) {
    let mut told = Told { tanks: of_plant(plant), burns: Vec::new() };
    let findings = read_into(&mut told, text, plant);
    (told, findings)
}

/// Reads more of a further text into what was read.
pub fn read_into(told: &mut Told, text: &str, plant: &Plant) -> Vec<Finding> {
    let document = match document(text) {
        Ok(document) => document,
        Err(findings) if findings.iter().all(|f| f.problem == Problem::Empty) => return Vec::new(),
        Err(findings) => return findings,
    };
    let mut findings = Vec::new();
    // What is twice in the text is found by whoever reads all of it.
    for section in entries(document.as_table(), &mut Vec::new()) {
        match section.key.as_str() {
            "tank" => section.table(&mut findings).iter().for_each(|entry| tank(told, entry, &mut findings)),
            "burn" => section.table(&mut findings).iter().for_each(|entry| burn(told, plant, entry, &mut findings)),
            _ => {}
        }
    }
    findings
}

/// The fuel tanks among the parts: what holds fuel and has a level.
fn of_plant(plant: &Plant) -> Vec<Tank> {
    let place = |part: &plant::plant::Part| {
        let has_level = part.kind.unknowns.iter().any(|unknown| unknown.name == "level");
        let volume = part.kind.parameters.iter().position(|parameter| parameter.name == "volume");
        volume.filter(|_| part.kind.circuit == Circuit::Fuel && has_level)
    };
    let tank = |part: &plant::plant::Part| {
        let figure = &part.figures[place(part)?];
        let volume = (figure.origin != Origin::Typical).then_some(figure.value);
        Some(Tank { name: part.name.clone(), volume, sounding: Vec::new() })
    };
    plant.parts.iter().filter(|part| !part.assumed).filter_map(tank).collect()
}

fn tank(told: &mut Told, section: &Entry, findings: &mut Vec<Finding>) {
    let at = told.tanks.iter().position(|tank| tank.name == section.key).unwrap_or_else(|| {
        told.tanks.push(Tank { name: section.key.clone(), volume: None, sounding: Vec::new() });
        told.tanks.len() - 1
    });
    for entry in section.table(findings) {
        match entry.key.as_str() {
            "volume" => match entry.value_of(Quantity::Volume, findings) {
                Some(volume) if volume > 0.0 => told.tanks[at].volume = Some(volume),
                Some(_) => findings.push(unfit(&entry, "a tank holds more than nothing")),
                None => {}
            },
            "sounding" => match table(&entry) {
                Ok(rows) => told.tanks[at].sounding = rows,
                Err(finding) => findings.push(*finding),
            },
            _ => findings.push(entry.unknown("`[tank.*]`", TANK)),
        }
    }
}

fn unfit(entry: &Entry, what: &str) -> Finding {
    let advice = "Look at the value and its unit.";
    Finding::at(Problem::Unfit { what: format!("`{}`: {what}", entry.key), advice }, entry.place.clone())
}

/// Rows of depth and contents, both rising.
fn table(entry: &Entry) -> Result<Vec<(f64, f64)>, Box<Finding>> {
    let expected = "rows of depth and contents: [[\"0 cm\", \"0 L\"], [\"40 cm\", \"310 L\"]]";
    let wrong = || Box::new(entry.wrong(expected));
    let rows = entry.value.as_array().ok_or_else(wrong)?;
    let mut table = Vec::new();
    for row in rows {
        let pair = row.as_array().filter(|pair| pair.len() == 2).ok_or_else(wrong)?;
        let read = |k: usize, quantity: Quantity| {
            let text = pair.get(k).and_then(|value| value.as_str()).ok_or_else(wrong)?;
            let bad = |error: UnitError| {
                Box::new(Finding::at(Problem::BadUnit { key: entry.key.clone(), quantity, error }, entry.place.clone()))
            };
            unit::parse(text, quantity).map_err(bad)
        };
        table.push((read(0, Quantity::Length)?, read(1, Quantity::Volume)?));
    }
    let rises = table.windows(2).all(|pair| pair[1].0 > pair[0].0 && pair[1].1 >= pair[0].1);
    if table.len() < 2 || !rises {
        return Err(Box::new(unfit(entry, "a table of soundings has two rows at least, and both columns rise")));
    }
    Ok(table)
}

fn burn(told: &mut Told, plant: &Plant, section: &Entry, findings: &mut Vec<Finding>) {
    const HOUR: f64 = 3600.0;
    let Some(engine) = names::part_called(plant, &section.key).filter(|part| names::is_engine(plant[*part].kind))
    else {
        let engines = plant.engines().map(|engine| plant[engine].name.as_str());
        let nearest = nearest(&section.key, engines).map(str::to_string);
        let problem = Problem::Unknown { sort: "engine", name: section.key.clone(), nearest };
        findings.push(Finding::at(problem, section.key_place.clone()));
        return;
    };
    let (mut rate, mut within) = (None, None);
    for entry in section.table(findings) {
        match entry.key.as_str() {
            "rate" => rate = entry.value_of(Quantity::VolumeFlow, findings),
            "within" => within = entry.value_of(Quantity::VolumeFlow, findings),
            _ => findings.push(entry.unknown("`[burn.*]`", BURN)),
        }
    }
    match rate {
        Some(rate) if rate > 0.0 => told.burns.push(Burn {
            engine: plant[engine].name.clone(),
            rate: rate * HOUR,
            sigma: within.unwrap_or(rate * RATE_WITHIN) * HOUR / SIGMAS_TO_95,
        }),
        Some(_) => findings.push(unfit(section, "an engine burns more than nothing")),
        None => {
            let problem = Problem::MissingKey { key: "rate", of: "`[burn.*]`".into(), example: "rate = \"9 L/h\"" };
            findings.push(Finding::at(problem, section.key_place.clone()));
        }
    }
}
