//! From the text of one value to what it says: a reading, an operating point, a moment.

use crate::evidence::{Came, Moment, RenewalResult, ToldPoint};
use crate::evidence_names::{meant, short};
use crate::finding::Problem;
use crate::names::folded;
use crate::plant::{Gauge, GaugeId, Plant};
use measure::quantity::Quantity;
use measure::reading::{Mark, ReadingText, parse_reading};
use measure::unit::{UnitError, convert_to, parse, print, print_usual};
use physics::constants::ATMOSPHERE;

/// The keys of an operating point.
pub(crate) const POINT_KEYS: &[&str] =
    &["speed", "load", "pitch", "sea", "air", "minutes", "eased-from", "engine", "side"];
/// A reading this many scales past the end of its scale is a slip of the pen or of the unit, not a reading [1]: 60 psi
/// written as bar is ten past the end of six, 200 °F written as Celsius is none past the end of 120.
const ABSURD: f64 = 2.0;
/// Off the scale by less than this is rounding of units [share of the scale].
const ROUNDING: f64 = 1e-6;
/// Idle speed as a share of rated speed [1]: 600 to 850 rpm at 1700 to 2400. Common practice, no source.
const IDLE: f64 = 0.35;
/// A speed over this share of rated speed can hardly be meant [1]: governors cut in at about 1.1.
const OVERSPEED: f64 = 1.3;

/// What a gauge said, and what is doubtful about it.
pub(crate) fn reading(plant: &Plant, id: GaugeId, text: &str) -> Result<(ReadingText, Option<Problem>), Problem> {
    let gauge = &plant[id];
    if gauge.trips.is_some() {
        return Err(Problem::AlarmHasNoReading { alarm: gauge.name.clone() });
    }
    let not_one = |error| Problem::NotAReading { gauge: gauge.name.clone(), given: short(text), error };
    let written = match parse_reading(text, gauge.quantity) {
        Ok(written) => written,
        Err(error) => by_sender(gauge, text)?.ok_or_else(|| not_one(error))?,
    };
    let read = if gauge.vacuum { of_vacuum(written) } else { written };
    if matches!(read, ReadingText::OverSister { .. }) && plant.sister_gauge(id).is_none() {
        return Err(Problem::NoSister { gauge: gauge.name.clone() });
    }
    let (low, high) = gauge.scale;
    let scale = high - low;
    let (past, stopped) = match read {
        ReadingText::Value { value, mark, .. } => ((low - value).max(value - high).max(0.0), is_stop(mark)),
        ReadingText::OverUsual { difference, .. } | ReadingText::OverSister { difference, .. } => {
            ((difference.abs() - scale).max(0.0), false)
        }
        ReadingText::AsUsual | ReadingText::OffScale { .. } => (0.0, true),
    };
    // No pressure is less than none at all, whatever the scale.
    let below_nothing = match (gauge.quantity, read) {
        (Quantity::GaugePressure, ReadingText::Value { value, .. }) => value < -ATMOSPHERE * (1.0 + ROUNDING),
        _ => false,
    };
    let absurd = past > ABSURD * scale || below_nothing;
    let doubtful = past > ROUNDING * scale && !stopped;
    if !absurd && !doubtful {
        return Ok((corrected(gauge, read), None));
    }
    let (low, high) = if gauge.vacuum { (-high, -low) } else { (low, high) };
    let shown = |value| print(value, gauge.quantity, &gauge.unit).unwrap_or_else(|| print_usual(value, gauge.quantity));
    let (name, given, low, high) = (gauge.name.clone(), short(text), shown(low), shown(high));
    if absurd {
        return Err(Problem::Unreasonable { key: name, given, low, high });
    }
    Ok((corrected(gauge, read), Some(Problem::OffScaleValue { gauge: name, given, low, high })))
}

/// The reading, if what was given is what the gauge's sender gives.
fn by_sender(gauge: &Gauge, text: &str) -> Result<Option<ReadingText>, Problem> {
    let signal = gauge.sends.as_ref().and_then(|curve| Some((curve, parse_reading(text, curve.gives).ok()?)));
    let Some((curve, ReadingText::Value { value: signal, mark, rough })) = signal else { return Ok(None) };
    if let Ok(value) = curve.reads(signal) {
        return Ok(Some(ReadingText::Value { value, mark, rough }));
    }
    let (low, high) = curve.ends();
    let (given, name, low, high) = (short(text), &gauge.name, curve.shown(low), curve.shown(high));
    let what = format!("`{given}` is not what the sender of `{name}` gives, which is {low} to {high}");
    let advice = "A wire may be open or shorted; or it is another sender than `sends` says.";
    Err(Problem::Unfit { what, advice })
}

/// With what the gauge was found to be off taken away.
fn corrected(gauge: &Gauge, read: ReadingText) -> ReadingText {
    match read {
        ReadingText::Value { value, mark, rough } if !is_stop(mark) => {
            ReadingText::Value { value: gauge.corrected(value), mark, rough }
        }
        other => other,
    }
}

/// A reading of a dial that shows suction as positive; a minus written with it says the same again.
fn of_vacuum(read: ReadingText) -> ReadingText {
    let turned = |mark| match mark {
        Mark::Steady => Mark::Steady,
        Mark::Climbing => Mark::Falling,
        Mark::Falling => Mark::Climbing,
        Mark::OffScaleHigh => Mark::OffScaleLow,
        Mark::OffScaleLow => Mark::OffScaleHigh,
    };
    match read {
        ReadingText::Value { value, mark, rough } => {
            ReadingText::Value { value: -value.abs(), mark: turned(mark), rough }
        }
        ReadingText::OverUsual { difference, mark, rough } => {
            ReadingText::OverUsual { difference: -difference, mark: turned(mark), rough }
        }
        ReadingText::OverSister { difference, mark, rough } => {
            ReadingText::OverSister { difference: -difference, mark: turned(mark), rough }
        }
        ReadingText::AsUsual => ReadingText::AsUsual,
        ReadingText::OffScale { mark } => ReadingText::OffScale { mark: turned(mark) },
    }
}

fn is_stop(mark: Mark) -> bool {
    matches!(mark, Mark::OffScaleHigh | Mark::OffScaleLow)
}

/// Enters one key of an operating point; what comes back is wrong or doubtful with it.
pub(crate) fn enter(at: &mut ToldPoint, key: &str, text: &str, plant: Option<&Plant>) -> Option<Problem> {
    let (slot, read) = match folded(key).as_str() {
        "speed" => (&mut at.speed, speed(text, plant)),
        "load" => (&mut at.load, load(text)),
        "pitch" => (&mut at.pitch, pitch(text, plant)),
        "sea" => (&mut at.sea, within(text, "sea", Quantity::Temperature, ("-3 °C", "45 °C"))),
        "air" => (&mut at.air, within(text, "air", Quantity::Temperature, ("-50 °C", "60 °C"))),
        "eased-from" => (&mut at.eased_from, speed(text, plant)),
        "minutes" => (&mut at.minutes, lasting(text, "minutes", "min", "1000 h")),
        key @ ("engine" | "side") => {
            return Some(Problem::TellsByItself { key: key.to_string(), given: short(text) });
        }
        _ => {
            let known = POINT_KEYS.iter().copied();
            return Some(Problem::UnknownKey {
                key: short(key),
                of: "an operating point".into(),
                nearest: meant(key, known.clone()),
                known: known.map(String::from).collect(),
            });
        }
    };
    match read {
        Ok(value) => *slot = Some(value),
        Err(problem) => return Some(problem),
    }
    overspeed(at, text, plant).filter(|_| folded(key) == "speed")
}

/// Speed [rad/s], also in words.
fn speed(text: &str, plant: Option<&Plant>) -> Result<f64, Problem> {
    let share = match folded(text).as_str() {
        "stopped" => return Ok(0.0),
        "idle" => IDLE,
        "full" => 1.0,
        _ => {
            let read = within(text, "speed", Quantity::RotationalSpeed, ("0 rpm", "10000 rpm"));
            return or_words(read, &["idle", "full", "stopped", "1500 rpm"]);
        }
    };
    plant.map(|plant| share * plant.rated_speed).ok_or_else(|| Problem::NeedsVessel { word: short(text) })
}

fn overspeed(at: &ToldPoint, text: &str, plant: Option<&Plant>) -> Option<Problem> {
    let rated = plant?.rated_speed;
    (at.speed? > OVERSPEED * rated).then(|| Problem::Contradiction {
        what: format!(
            "`{}` is far over the engine's rated {}",
            short(text),
            print_usual(rated, Quantity::RotationalSpeed)
        ),
        advice: "Check the speed here, and the rated speed in the vessel file.",
    })
}

/// Load as a share of the propeller's calm-water demand [1], also in words.
fn load(text: &str) -> Result<f64, Problem> {
    match folded(text).as_str() {
        "neutral" => Ok(0.0),
        "half" => Ok(0.5),
        "full" => Ok(1.0),
        _ => or_words(within(text, "load", Quantity::Ratio, ("0 %", "200 %")), &["neutral", "half", "full", "80 %"]),
    }
}

/// Pitch as a share of design pitch [1], also in words.
fn pitch(text: &str, plant: Option<&Plant>) -> Result<f64, Problem> {
    if plant.is_some_and(|plant| !plant.sets_pitch()) {
        return Err(Problem::Contradiction {
            what: "`pitch` is told, and the propeller's pitch is fixed".into(),
            advice: "Leave it out; or, if its pitch can be set, describe it as `kind = \"controllable-pitch-propeller\"`.",
        });
    }
    match folded(text).as_str() {
        "zero" | "none" => Ok(0.0),
        "design" | "full" => Ok(1.0),
        _ => or_words(within(text, "pitch", Quantity::Ratio, ("-100 %", "130 %")), &["zero", "design", "80 %"]),
    }
}

/// Where words may stand for a value, what is no number was meant for one of them.
fn or_words(read: Result<f64, Problem>, known: &[&str]) -> Result<f64, Problem> {
    match read {
        Err(Problem::BadUnit { key, error: UnitError::NoNumber { text }, .. }) => Err(Problem::UnknownChoice {
            key,
            nearest: meant(&text, known.iter().copied()),
            word: text,
            known: known.iter().map(ToString::to_string).collect(),
        }),
        other => other,
    }
}

/// Hours, `most` of them at most [h]; a plain number or with a unit.
pub(crate) fn hours(text: &str, key: &str, most: &'static str) -> Result<f64, Problem> {
    lasting(text, key, "h", most)
}

/// A duration in `unit`, which a plain number need not name.
fn lasting(text: &str, key: &str, unit: &'static str, most: &'static str) -> Result<f64, Problem> {
    let bare = text.trim().parse::<f64>().is_ok();
    let named = if bare { format!("{} {unit}", text.trim()) } else { text.to_string() };
    let seconds = within(&named, key, Quantity::Duration, ("0 h", most))?;
    Ok(convert_to(seconds, Quantity::Duration, unit).unwrap_or(seconds))
}

/// A value of a quantity within bounds that are written as an owner would [SI].
fn within(text: &str, key: &str, quantity: Quantity, bounds: (&str, &str)) -> Result<f64, Problem> {
    let wrong = |error: UnitError| Problem::BadUnit { key: key.to_string(), quantity, error };
    let value = parse(text, quantity).map_err(wrong)?;
    let (low, high) = (parse(bounds.0, quantity).map_err(wrong)?, parse(bounds.1, quantity).map_err(wrong)?);
    if (low..=high).contains(&value) {
        return Ok(value);
    }
    let (low, high) = (bounds.0.to_string(), bounds.1.to_string());
    Err(Problem::Unreasonable { key: key.to_string(), given: short(text), low, high })
}

/// "usual", "before" or "now".
pub(crate) fn moment(text: &str) -> Result<Moment, Problem> {
    choice(text, "when", &[("usual", Moment::Usual), ("before", Moment::Before), ("now", Moment::Now)])
}

/// "no change", "better" or "cured".
pub(crate) fn result(text: &str) -> Result<RenewalResult, Problem> {
    use RenewalResult::*;
    choice(text, "result", &[("no change", NoChange), ("better", Better), ("cured", Cured)])
}

/// "at once", "by degrees" or "on and off".
pub(crate) fn came(text: &str) -> Result<Came, Problem> {
    use Came::*;
    choice(text, "came", &[("at once", AtOnce), ("by degrees", ByDegrees), ("on and off", OnAndOff)])
}

/// "well": that the other engine is too has no bearing yet.
pub(crate) fn sister(text: &str) -> Result<bool, Problem> {
    choice(text, "sister", &[("well", true)])
}

fn choice<T: Copy>(text: &str, key: &str, known: &[(&str, T)]) -> Result<T, Problem> {
    let words = || known.iter().map(|(word, _)| *word);
    known.iter().find(|(word, _)| folded(word) == folded(text)).map(|(_, meaning)| *meaning).ok_or_else(|| {
        Problem::UnknownChoice {
            key: key.to_string(),
            word: short(text),
            nearest: meant(text, words()),
            known: words().map(String::from).collect(),
        }
    })
}
