//! The sizes of a part: as told, or typical for the engine it serves.

use super::draft::{Draft, DraftPart};
use crate::finding::{Finding, Problem};
use crate::names;
use crate::plant::{metered_density, metered_passage};
use crate::told::{Entry, entries};
use measure::figure::{Figure, Origin, Spread};
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit::{self, UnitError};
use parts::kind::{Kind, Link, OnceTold, Parameter, REFERENCE_POWER, REFERENCE_SPEED, REFERENCE_VOLTAGE};
use physics::contents::Contents;
use physics::electrical::{CELL_CHARGE, CELL_NOMINAL};

/// A size told without a spread is believed this closely either way [1]: a plate or a tape measure.
const TOLD: f64 = 1.05;
/// And so much more closely than untold: share of the typical spread's logarithm [1].
const SHARPER: f64 = 0.25;
/// Further factor on everything scaled by an engine whose rating is not told [1].
const UNRATED: f64 = 1.5;

/// Keys that any part may have beside its sizes: kept as notes.
pub(crate) const NOTES: &[&str] = &["tag", "where", "handle", "photo", "manual", "serial", "note"];
/// Keys that are read elsewhere.
const ELSEWHERE: &[&str] = &["kind", "driven-by", "drives", "hours-since", "engine"];

/// What typical values are scaled by.
#[derive(Copy, Clone)]
#[expect(clippy::struct_excessive_bools, reason = "four facts that have nothing to do with each other")]
pub(crate) struct Scale {
    /// [W]
    pub rated_power: f64,
    /// [rad/s]
    pub rated_speed: f64,
    /// The owner told both, and both can be used.
    pub known: bool,
    /// The owner told both, rightly or wrongly.
    pub told: bool,
    /// Coolant runs through this part where raw water might.
    pub in_coolant: bool,
    /// A turbocharger serves the engine.
    pub charged: bool,
    /// Nominal voltage of the vessel [V].
    pub nominal_voltage: f64,
}

/// What a charged engine sweeps, as a share of what an aspirated one of its rating does: at rated power mean effective
/// pressures are 700 kPa and 850 to 950, [Heywood1988] 2.7.
const CHARGED: f64 = 0.78;

impl Default for Scale {
    fn default() -> Self {
        let (rated_power, rated_speed) = (REFERENCE_POWER, REFERENCE_SPEED);
        let nominal_voltage = REFERENCE_VOLTAGE;
        Scale {
            rated_power,
            rated_speed,
            known: false,
            told: false,
            in_coolant: false,
            charged: false,
            nominal_voltage,
        }
    }
}

/// What a part's table says.
pub(crate) struct Read {
    pub figures: Vec<Figure>,
    pub notes: Vec<(String, String)>,
    pub hours_since: Option<f64>,
}

/// A key and its value, `rated = { power = … }` already flat.
struct Told<'a> {
    entry: Entry<'a>,
    used: bool,
}

/// Rated power and speed of an engine, by its place among the engines.
pub(crate) fn rating(draft: &Draft, engine: usize) -> Scale {
    let boosts = |part: &DraftPart| part.kind.unknowns.iter().any(|unknown| unknown.name == "boost");
    let charged = draft.parts.iter().any(|part| part.serves.unwrap_or(0) == engine && boosts(part));
    let engine = draft.engine_at(engine).map(|index| &draft.parts[index]);
    let find = |name: &str| engine.and_then(|engine| told(engine, name));
    let (power, speed) = (find("rated_power"), find("rated_speed"));
    let keys = engine.map(|engine| flat(&engine.told, engine.kind, &mut Vec::new())).unwrap_or_default();
    let is_told = |key: &str| keys.iter().any(|told| told.entry.key == key);
    Scale {
        rated_power: power.unwrap_or(REFERENCE_POWER),
        rated_speed: speed.unwrap_or(REFERENCE_SPEED),
        known: power.is_some() && speed.is_some(),
        told: is_told("rated-power") && is_told("rated-speed"),
        in_coolant: false,
        charged,
        nominal_voltage: nominal_voltage(draft),
    }
}

/// What a part's table says of a parameter [SI], if that can be used; read again with the part, where mistakes are reported.
fn told(part: &DraftPart, name: &str) -> Option<f64> {
    let parameter = part.kind.parameters.iter().find(|p| p.name == name)?;
    let told = flat(&part.told, part.kind, &mut Vec::new());
    let entry = &told.iter().find(|told| told.entry.key == names::folded(name))?.entry;
    let figure = figure(entry, parameter, &Contents::FreshWater, "", &mut Vec::new())?;
    (figure.value >= parameter.range.0 && figure.value <= parameter.range.1).then_some(figure.value)
}

/// Nominal voltage of the vessel [V]: as the first part says that says it, else by what a regulator is said to hold.
pub(crate) fn nominal_voltage(draft: &Draft) -> f64 {
    let electric = || draft.parts.iter().filter(|part| part.kind.circuit.is_electric());
    let by_name = electric().find_map(|part| told(part, "nominal"));
    // Lead-acid cells come in threes.
    let cells = |held: f64| (held / CELL_CHARGE / 3.0).round().max(1.0) * 3.0;
    let by_regulator = || electric().find_map(|part| told(part, "regulated")).map(|held| cells(held) * CELL_NOMINAL);
    by_name.or_else(by_regulator).unwrap_or(REFERENCE_VOLTAGE)
}

/// Reads a part's table; `contents` is what each of its passages carries.
pub(crate) fn part(part: &DraftPart, contents: &[Contents], scale: &Scale, findings: &mut Vec<Finding>) -> Read {
    let mut told = flat(&part.told, part.kind, findings);
    let mut figures = Vec::new();
    for parameter in part.kind.parameters {
        let key = names::folded(parameter.name);
        let given = told.iter_mut().find(|told| told.entry.key == key).and_then(|told| {
            told.used = true;
            let carried = carried(part.kind, parameter, contents);
            figure(&told.entry, parameter, &carried, &part.name, findings)
        });
        figures.push(given.unwrap_or_else(|| typical(parameter, scale)));
    }
    fill_up(part.kind, scale, &mut figures);
    let mut read = Read { figures, notes: Vec::new(), hours_since: None };
    for told in told.iter().filter(|told| !told.used) {
        rest(part, &told.entry, &mut read, findings);
    }
    read
}

fn rest(part: &DraftPart, entry: &Entry, read: &mut Read, findings: &mut Vec<Finding>) {
    match entry.key.as_str() {
        "hours-since" => {
            let quantity = Quantity::Duration;
            read.hours_since = entry.value_of(quantity, findings).map(|seconds| seconds.max(0.0) / 3600.0);
        }
        key if NOTES.contains(&key) => match entry.digits() {
            Some(text) => read.notes.push((key.to_string(), text)),
            None => findings.push(entry.wrong("text in quotes")),
        },
        key if ELSEWHERE.contains(&key) => {
            if entry.value.as_str().is_none() {
                findings.push(entry.wrong("text in quotes"));
            } else if key != "kind" {
                read.notes.push((key.to_string(), entry.digits().unwrap_or_default()));
            }
        }
        _ => findings.push(unknown(part, entry)),
    }
}

fn unknown(part: &DraftPart, entry: &Entry) -> Finding {
    let sizes: Vec<String> = part.kind.parameters.iter().map(|p| names::folded(p.name)).collect();
    let turned = part.kind.links.iter().any(|link| matches!(link, Link::DriverSpeed | Link::Shaft(_)));
    let here = |key: &&&str| match **key {
        "driven-by" => turned,
        "drives" => names::is_engine(part.kind),
        _ => true,
    };
    let others = ELSEWHERE.iter().filter(here).chain(NOTES).copied();
    let known: Vec<&str> = sizes.iter().map(String::as_str).chain(others).collect();
    let problem = Problem::UnknownKey {
        key: entry.key.clone(),
        of: format!("`{}` ({})", part.name, part.kind.title.to_lowercase()),
        nearest: nearest(&entry.key, known.iter().copied()).map(str::to_string),
        known: known.iter().map(ToString::to_string).collect(),
    };
    Finding::at(problem, entry.key_place.clone())
}

/// `rated = { power = … }` becomes `rated-power`, however deep; a value with its spread stays as it is.
fn flat<'a>(told: &[Entry<'a>], kind: &Kind, findings: &mut Vec<Finding>) -> Vec<Told<'a>> {
    let mut all: Vec<Told> = Vec::new();
    for entry in told {
        let inner = entry.value.as_table_like().filter(|table| !table.contains_key("value"));
        let is_size = kind.parameters.iter().any(|p| names::folded(p.name) == entry.key);
        let flattened = match inner {
            Some(table) if !is_size => {
                let inner = entries(table, findings);
                let inner: Vec<Entry> =
                    inner.into_iter().map(|e| Entry { key: format!("{}-{}", entry.key, e.key), ..e }).collect();
                flat(&inner, kind, findings)
            }
            _ => vec![Told { entry: entry.clone(), used: false }],
        };
        for new in flattened {
            if let Some(first) = all.iter().find(|old| old.entry.key == new.entry.key) {
                let problem = Problem::Duplicate { what: format!("`{}`", new.entry.key) };
                let first = first.entry.key_place.clone();
                findings.push(Finding::at(problem, new.entry.key_place.clone()).and(first, "the first is here"));
            } else {
                all.push(new);
            }
        }
    }
    all
}

/// What flows where this parameter's flow is meant.
fn carried(kind: &Kind, parameter: &Parameter, contents: &[Contents]) -> Contents {
    contents.get(metered_passage(kind, parameter)).copied().unwrap_or(Contents::FreshWater)
}

/// The value [SI], in the parameter's own quantity or one that can be turned into it.
fn parse(text: &str, parameter: &Parameter, carried: &Contents) -> Result<f64, UnitError> {
    let own = unit::parse(text, parameter.quantity);
    let Err(UnitError::WrongQuantity { .. }) = own else { return own };
    let other = match parameter.quantity {
        Quantity::MassFlow => {
            metered_density(carried).and_then(|density| Some(unit::parse(text, Quantity::VolumeFlow).ok()? * density))
        }
        // A pump's displacement is told a turn and kept a radian.
        Quantity::Volume if parameter.title.contains("[m³/rad]") => {
            unit::parse(text, Quantity::VolumePerRevolution).ok().map(|turn| turn / std::f64::consts::TAU)
        }
        _ => None,
    };
    other.map_or(own, Ok)
}

/// The figure as told; `None` with a finding if it cannot be used.
pub(super) fn figure(
    entry: &Entry,
    parameter: &Parameter,
    carried: &Contents,
    part: &str,
    findings: &mut Vec<Finding>,
) -> Option<Figure> {
    let Some(table) = entry.value.as_table_like() else {
        let value = value(entry, parameter, carried, part, findings)?;
        return Some(Figure { value, spread: told_spread(parameter, value), origin: Origin::Maker, source: None });
    };
    let mut told = None;
    let (mut spread, mut origin, mut source) = (None, Origin::Maker, None);
    for inner in entries(table, findings) {
        match inner.key.as_str() {
            "value" => told = value(&Entry { key: entry.key.clone(), ..inner }, parameter, carried, part, findings),
            "within" => {
                spread = inner.value_of(Quantity::Ratio, findings).and_then(|factor| {
                    let fits = (1.0..=100.0).contains(&factor);
                    if !fits {
                        findings.push(out_of_range(&inner, &entry.key, "1", "100"));
                    }
                    fits.then_some(if factor == 1.0 { Spread::Exact } else { Spread::Factor(factor) })
                });
            }
            "plus" => spread = inner.change_of(parameter.quantity, findings).map(Spread::Plus),
            "from" => {
                origin = match inner.choice(&["maker", "measured", "log"], findings) {
                    Some("measured") => Origin::Measured,
                    Some("log") => Origin::Learned,
                    _ => Origin::Maker,
                }
            }
            "source" => source = inner.text(findings).map(str::to_string),
            _ => findings
                .push(inner.unknown(&format!("`{}`", entry.key), &["value", "within", "plus", "from", "source"])),
        }
    }
    if !table.contains_key("value") {
        findings.push(entry.wrong("a value with its unit, in quotes"));
    }
    let value = told?;
    Some(Figure { value, spread: spread.unwrap_or_else(|| told_spread(parameter, value)), origin, source })
}

fn value(
    entry: &Entry,
    parameter: &Parameter,
    carried: &Contents,
    part: &str,
    findings: &mut Vec<Finding>,
) -> Option<f64> {
    let value = entry.read_by(parameter.quantity, findings, |text| parse(text, parameter, carried))?;
    let (low, high) = parameter.range;
    if value >= low && value <= high {
        return Some(value);
    }
    let print = |value: f64| unit::print_usual(value, parameter.quantity);
    findings.push(out_of_range(entry, part, &print(low), &print(high)));
    None
}

fn out_of_range(entry: &Entry, of: &str, low: &str, high: &str) -> Finding {
    let problem = Problem::OutOfRange {
        part: format!("`{of}`"),
        parameter: entry.key.clone(),
        given: entry.digits().unwrap_or_default(),
        low: low.to_string(),
        high: high.to_string(),
    };
    Finding::at(problem, entry.place.clone())
}

/// How closely a bare value is believed.
fn told_spread(parameter: &Parameter, value: f64) -> Spread {
    match parameter.spread {
        Spread::Exact => Spread::Exact,
        _ if parameter.once_told != OnceTold::Near => Spread::Exact,
        // A factor of nothing is nothing.
        Spread::Factor(_) if value == 0.0 => Spread::Exact,
        Spread::Factor(factor) => Spread::Factor(factor.powf(SHARPER).min(TOLD)),
        Spread::Plus(amount) => Spread::Plus(amount / 2.0),
    }
}

/// The typical figure for this engine.
fn typical(parameter: &Parameter, scale: &Scale) -> Figure {
    let scaled = parameter.typical.power != 0.0 || parameter.typical.speed != 0.0;
    let spread = match parameter.spread {
        Spread::Factor(factor) if scaled && !scale.known => Spread::Factor((factor.ln().hypot(UNRATED.ln())).exp()),
        spread => spread,
    };
    // A typical value for a very large or very small engine stays within what a file may say.
    let cooled = if scale.in_coolant { parameter.typical.in_coolant } else { 1.0 };
    let volts = (scale.nominal_voltage / REFERENCE_VOLTAGE).powf(parameter.typical.volts);
    let value = parameter.typical.of(scale.rated_power, scale.rated_speed) * cooled * volts;
    let value = value.clamp(parameter.range.0, parameter.range.1);
    // What the owner told of a kind is told of each part of it.
    let origin = if parameter.source == parts::own_kind::TOLD { Origin::Maker } else { Origin::Typical };
    Figure { value, spread, origin, source: Some(parameter.source.to_string()) }
}

/// Makes the untold of several dimensions such that their product is what it typically is: an engine with a smaller bore
/// than usual for its rating has a longer stroke or more cylinders.
fn fill_up(kind: &Kind, scale: &Scale, figures: &mut [Figure]) {
    let (mut told, mut open) = (if scale.charged { -CHARGED.ln() } else { 0.0 }, 0.0);
    for (parameter, figure) in kind.parameters.iter().zip(figures.iter()) {
        let exponent = parameter.typical.of_swept;
        if figure.origin == Origin::Typical {
            open += exponent;
        } else if exponent != 0.0 {
            let usual = parameter.typical.of(scale.rated_power, scale.rated_speed);
            told += exponent * (figure.value / usual).ln();
        }
    }
    for (parameter, figure) in kind.parameters.iter().zip(figures.iter_mut()) {
        if figure.origin == Origin::Typical && parameter.typical.of_swept != 0.0 {
            let value = figure.value * (-told / open).exp();
            let value = if parameter.once_told == OnceTold::Whole { value.round() } else { value };
            figure.value = value.clamp(parameter.range.0, parameter.range.1);
        }
    }
}
