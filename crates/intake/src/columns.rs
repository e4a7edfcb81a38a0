//! What each column is: from its heading, its unit and what was asked, to a gauge.

use crate::fault::Refusal;
use crate::lines::shown;
use crate::value::{Measured, Told};
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit::{Scale, UnitError};
use plant::names::folded;
use plant::plant::{GaugeId, Plant};

/// What a column is.
#[derive(Clone, Debug)]
pub enum Role {
    /// The time, whole or of day.
    Time,
    /// The date.
    Date,
    /// The zone of the line's time.
    Zone,
    /// The name of the gauge that the line's value is of.
    Name,
    /// That value.
    Value,
    /// Its unit.
    Unit,
    /// A gauge.
    Gauge(Measured),
    /// Left out, as asked.
    Ignored,
    /// No gauge of this vessel.
    Unknown {
        /// The gauge that may be meant.
        nearest: Option<String>,
    },
    /// A gauge, but not to be read so.
    Unfit {
        /// Why, and what to write.
        why: String,
    },
}

/// A column, or a name in the lines, and what it is.
#[derive(Clone, Debug)]
pub struct Column {
    /// What it is called, without its unit.
    pub name: String,
    /// The unit that stands with it.
    pub unit: Option<String>,
    /// What it is.
    pub role: Role,
}

/// What is asked of a column by whoever imports it.
#[derive(Clone, Debug)]
pub struct Renamed {
    /// As asked.
    pub asked: String,
    /// The column: its heading, or its number from 1.
    pub column: String,
    to: To,
}

#[derive(Clone, Debug)]
enum To {
    Role(Role),
    Gauge(GaugeId, Option<String>),
}

impl Renamed {
    /// Reads COLUMN=GAUGE, COLUMN=GAUGE:UNIT, COLUMN=time and so on.
    ///
    /// # Errors
    /// [`Refusal::BadMapping`].
    pub fn parse(text: &str, plant: &Plant) -> Result<Renamed, Refusal> {
        let bad = |why: String| Refusal::BadMapping { asked: shown(text.as_bytes()), why };
        let (column, to) = text.rsplit_once('=').ok_or_else(|| bad("there is no `=` in it".into()))?;
        let role = match folded(to).as_str() {
            "time" => Some(Role::Time),
            "date" => Some(Role::Date),
            "zone" => Some(Role::Zone),
            "gauge" => Some(Role::Name),
            "value" => Some(Role::Value),
            "unit" => Some(Role::Unit),
            "ignore" | "" => Some(Role::Ignored),
            _ => None,
        };
        let (gauge, unit) =
            to.split_once(':').map_or((to, None), |(gauge, unit)| (gauge, Some(unit.trim().to_string())));
        let to = match (gauge_called(plant, gauge), role) {
            (Some(id), _) => {
                // A gauge that says so is asked now, not at every line.
                if let Role::Unfit { why } = measured(plant, id, unit.as_deref(), Told::Asked) {
                    return Err(bad(why));
                }
                To::Gauge(id, unit)
            }
            (None, Some(role)) => To::Role(role),
            (None, None) => {
                let near = nearest(gauge, plant.gauges.iter().map(|gauge| gauge.name.as_str()));
                let near = near.map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
                return Err(bad(format!("`{}` is no gauge of this vessel{near}", shown(gauge.as_bytes()))));
            }
        };
        Ok(Renamed { asked: text.to_string(), column: column.trim().to_string(), to })
    }

    /// Whether this column is meant.
    pub(crate) fn is_of(&self, name: &str, heading: &str, number: usize) -> bool {
        let asked = folded(&self.column);
        asked == folded(name) || asked == folded(heading) || (number > 0 && self.column == number.to_string())
    }

    fn role(&self, plant: &Plant, unit: Option<&str>) -> Role {
        match &self.to {
            To::Role(role) => role.clone(),
            To::Gauge(id, asked) => match asked {
                Some(asked) => measured(plant, *id, Some(asked), Told::Asked),
                None => measured(plant, *id, unit, Told::File),
            },
        }
    }
}

fn gauge_called(plant: &Plant, name: &str) -> Option<GaugeId> {
    let name = folded(name);
    plant.gauge_ids().find(|id| folded(&plant[*id].name) == name)
}

fn measured(plant: &Plant, id: GaugeId, unit: Option<&str>, told: Told) -> Role {
    let gauge = &plant[id];
    if gauge.trips.is_some() {
        return Role::Unfit { why: format!("`{}` is an alarm, and has no reading", gauge.name) };
    }
    match Measured::new(id, gauge, unit, told) {
        Ok(measured) => Role::Gauge(measured),
        Err(error) => Role::Unfit { why: error.to_string() },
    }
}

/// Words for what is no gauge, in the languages that loggers speak; a column is known by what is in it, too.
const WORDS: [(&[&str], Role); 6] = [
    (
        &[
            "time",
            "timestamp",
            "datetime",
            "clock",
            "date-time",
            "date-and-time",
            "date/time",
            "utc",
            "zeit",
            "zeitstempel",
            "tijd",
            "heure",
            "hora",
            "ora",
        ],
        Role::Time,
    ),
    (&["date", "datum", "fecha", "data"], Role::Date),
    (&["zone", "time-zone", "timezone", "utc-offset", "offset"], Role::Zone),
    (&["gauge", "sensor", "channel", "signal", "tag", "name", "point", "kanal"], Role::Name),
    (&["value", "reading", "wert"], Role::Value),
    (&["unit", "units", "einheit"], Role::Unit),
];

/// What a column of this heading is; `under` stands under the heading, in a row of units.
pub(crate) fn column(heading: &str, under: Option<&str>, number: usize, plant: &Plant, renamed: &[Renamed]) -> Column {
    let heading = heading.trim();
    let (name, unit) = split(heading, plant);
    let unit = unit.or_else(|| under.map(|unit| bare(unit).to_string()).filter(|unit| !unit.is_empty()));
    let asked = renamed.iter().find(|renamed| renamed.is_of(&name, heading, number));
    let role = match asked {
        Some(asked) => asked.role(plant, unit.as_deref()),
        None => match gauge_called(plant, &name) {
            Some(id) => measured(plant, id, unit.as_deref(), Told::File),
            None => known(&name).unwrap_or_else(|| Role::Unknown { nearest: near(&name, plant) }),
        },
    };
    Column { name, unit, role }
}

fn known(name: &str) -> Option<Role> {
    let name = folded(name);
    WORDS.iter().find(|(words, _)| words.contains(&name.as_str())).map(|(_, role)| role.clone())
}

/// The gauge that a name may mean: one slip away, or with the most words in common.
fn near(name: &str, plant: &Plant) -> Option<String> {
    let readable = || plant.gauges.iter().filter(|gauge| gauge.trips.is_none()).map(|gauge| gauge.name.as_str());
    let name = folded(name);
    if let Some(near) = nearest(&name, readable()) {
        return Some(near.to_string());
    }
    let letters = |letter: char| !letter.is_alphanumeric();
    let words: Vec<&str> = name.split(letters).filter(|word| word.len() > 1).collect();
    let common = |gauge: &str| folded(gauge).split(letters).filter(|word| words.contains(word)).count();
    let best = readable().max_by_key(|gauge| (common(gauge), std::cmp::Reverse(gauge.len())))?;
    (common(best) > 0).then(|| best.to_string())
}

/// A heading's name and unit: `coolant [°C]`, `coolant (°C)`, `coolant / °C`, `coolant_degC`.
fn split(heading: &str, plant: &Plant) -> (String, Option<String>) {
    let name = |name: &str| name.trim_end_matches([' ', '_', '-', ',', '/', ':']).trim().to_string();
    for (open, close) in [('[', ']'), ('(', ')'), ('{', '}')] {
        if let Some((before, unit)) = heading.strip_suffix(close).and_then(|rest| rest.rsplit_once(open)) {
            return (name(before), Some(unit.trim().to_string()));
        }
    }
    // Elsewhere a unit is one only if what is before it is a gauge's name, or it stands apart.
    for (at, letter) in heading.char_indices().rev().filter(|(_, letter)| matches!(letter, '/' | ',' | ' ' | '_')) {
        let (before, unit) = (name(&heading[..at]), heading[at + letter.len_utf8()..].trim());
        let apart = letter == '/' || letter == ',';
        if !unit.is_empty()
            && is_unit(unit)
            && (gauge_called(plant, &before).is_some() || (apart && known(heading).is_none()))
        {
            return (before, Some(unit.to_string()));
        }
    }
    (name(heading), None)
}

/// A unit without brackets around it.
fn bare(unit: &str) -> &str {
    unit.trim().trim_start_matches(['[', '(', '{']).trim_end_matches([']', ')', '}']).trim()
}

/// Whether this is a unit of anything.
pub(crate) fn is_unit(text: &str) -> bool {
    let text = bare(text);
    // One look tells: what is no unit of this quantity is one of another, or none.
    let known = || match Scale::of(text, Quantity::Temperature) {
        Ok(_) => true,
        Err(error) => matches!(error, UnitError::WrongQuantity { .. }),
    };
    !text.is_empty() && text.len() <= 16 && text.parse::<f64>().is_err() && known()
}
