//! A gauge on a page: a strip to scale with its band and its tick, and the same in words.

use crate::page::{address, long};
use askama::Template;
use diagnosis::act::limits_at;
use model::expect::Band;
use parts::kind::When;
use plant::evidence::Named;
use plant::plant::{Gauge, GaugeId, Plant};
use watch::picture::{Gauged, Picture};
use watch::recent::STALE;
use watch::saying::{key, sentence};
use watch::{dial, place};

/// One gauge or alarm.
#[derive(Template)]
#[template(path = "gauge.html")]
pub struct Row {
    /// Its element on the page.
    pub id: String,
    name: String,
    link: String,
    looks_at: String,
    /// How the reading is to be taken.
    pub state: State,
    value: String,
    unit: String,
    note: String,
    /// "over" or "under", where it is off.
    side: &'static str,
    age: String,
    strip: Option<Strip>,
    in_words: String,
}

/// How a reading is to be taken.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// In its band, or an alarm that is off.
    In,
    /// Outside its band.
    Off,
    /// An alarm that is on.
    Ringing,
    /// Read too long ago.
    Stale,
    /// Never read.
    Unread,
    /// Read, but there is no band to hold it against.
    Bare,
}

impl State {
    /// The class of its element.
    pub fn class(self) -> &'static str {
        match self {
            State::In => "in",
            State::Off => "off",
            State::Ringing => "ringing",
            State::Stale => "stale",
            State::Unread => "unread",
            State::Bare => "bare",
        }
    }
}

/// The scale, drawn: paths on a field of [`WIDE`] by 32, stretched to the room there is.
struct Strip {
    low: String,
    high: String,
    scale: String,
    bracket: String,
    tick: String,
    /// From the nearer bracket to the reading, if that is outside.
    dashes: String,
}

/// Marks on the scale, both ends included.
const MARKS: usize = 6;
/// Width of the field, and room at either end of it [1].
const WIDE: f64 = 200.0;
const MARGIN: f64 = 5.0;
/// Length of a bracket's serif, and of the point of what goes beyond the scale [same].
const SERIF: f64 = 2.5;
/// As much more of the dial is drawn at either end as this share of where a sound plant reads [1].
const BEYOND: f64 = 0.25;

impl Row {
    /// Of a gauge at this moment.
    pub fn of(picture: &Picture, id: GaugeId) -> Row {
        let plant = &picture.plant;
        let (gauge, gauged) = (&plant[id], &picture.gauges[id.0]);
        let row = Row {
            id: format!("g{}", id.0),
            name: sentence(&key(&gauge.name)),
            link: address(plant, Named::Gauge(id)),
            looks_at: place::looks_at(plant, id),
            state: state(gauge, gauged, picture.at),
            value: String::new(),
            unit: String::new(),
            note: String::new(),
            side: "",
            age: age(gauged, picture.at),
            strip: None,
            in_words: String::new(),
        };
        if gauge.trips.is_some() {
            row.alarm(plant, id)
        } else {
            row.dial(gauge, gauged, picture.reach.get(id.0).copied())
        }
    }

    /// What it shows, as it is written in the drawing.
    pub fn shown(&self) -> String {
        let value =
            if self.state == State::Unread { self.value.clone() } else { dial::with_unit(&self.value, &self.unit) };
        if self.side.is_empty() {
            value
        } else {
            format!("{value} {}", if self.side == "over" { "high" } else { "low" })
        }
    }

    fn alarm(mut self, plant: &Plant, id: GaugeId) -> Row {
        self.value = match self.state {
            State::Ringing => "on",
            State::Unread => "not read",
            _ => "off",
        }
        .into();
        if let Some((trip, when)) = plant[id].trips {
            let gauge = &plant[id];
            let side = if when == When::High { "above" } else { "below" };
            let at = dial::with_unit(&dial::as_told(dial::on_dial(gauge, trip)), dial::unit(gauge));
            self.note = format!("trips {side} {at}");
        }
        if self.state == State::Ringing
            && let Some(limit) = limits_at(plant, id).next()
        {
            self.note = plant.worded(limit.act).into();
        }
        self
    }

    fn dial(mut self, gauge: &Gauge, gauged: &Gauged, reach: Option<(f64, f64)>) -> Row {
        let step = dial::reading_step(gauge);
        self.unit = dial::unit(gauge).into();
        let reading = gauged.reading.map(|shown| dial::on_dial(gauge, shown.value));
        self.value = reading.map_or("not read".into(), |reading| dial::number(reading, step));
        let band = gauged.band.map(|Band { low, high, .. }| dial::band(gauge, low, high));
        self.note = match (self.state, reading, band) {
            (State::Off, Some(reading), Some((low, high))) => {
                self.side = if reading > high { "over" } else { "under" };
                off(gauge, reading, (low, high), self.side)
            }
            (State::Stale, ..) => "stale".into(),
            _ => String::new(),
        };
        let number = |value| dial::number(value, step);
        self.in_words = match (reading, band) {
            (Some(reading), Some((low, high))) => {
                format!("reads {} {}, expected {} to {}", number(reading), self.unit, number(low), number(high))
            }
            (Some(reading), None) => format!("reads {} {}, no band", number(reading), self.unit),
            (None, Some((low, high))) => {
                format!("not read, expected {} to {} {}", number(low), number(high), self.unit)
            }
            (None, None) => "not read".into(),
        };
        if let Some(scale) = window(gauge, reach) {
            let beyond = reading.and_then(|reading| scale.beyond(reading));
            for end in beyond.into_iter().filter(|_| self.state != State::Stale) {
                self.note = if self.note.is_empty() { end.into() } else { format!("{}, {end}", self.note) };
            }
            self.strip = Some(scale.strip(reading, band));
        }
        self
    }
}

fn state(gauge: &Gauge, gauged: &Gauged, at: f64) -> State {
    let Some(shown) = gauged.reading else { return State::Unread };
    match (gauge.trips.is_some(), gauged.band) {
        _ if at - shown.at > STALE => State::Stale,
        (true, _) if shown.value > 0.5 => State::Ringing,
        (false, None) => State::Bare,
        (false, Some(band)) if shown.value < band.low || shown.value > band.high => State::Off,
        _ => State::In,
    }
}

fn age(gauged: &Gauged, at: f64) -> String {
    match gauged.reading.map(|shown| at - shown.at) {
        None => String::new(),
        Some(age) if age < 2.0 => "now".into(),
        Some(age) => format!("{} ago", long(age)),
    }
}

/// "1.5 °C over", from the nearer end of the band.
fn off(gauge: &Gauge, reading: f64, (low, high): (f64, f64), word: &str) -> String {
    let by = (reading - high).max(low - reading);
    let unit = dial::change(gauge, 0.0).1;
    format!("{} {word}", dial::with_unit(&dial::number(by, dial::step(4.0 * by)), unit))
}

/// The part of a dial that is drawn: the same at every speed and whatever is read.
#[derive(Copy, Clone, Debug, PartialEq)]
struct Scale {
    low: f64,
    high: f64,
}

/// Where a sound plant reads at any speed, and a quarter as much again at either end, in round numbers; the whole dial where
/// that is not known.
fn window(gauge: &Gauge, reach: Option<(f64, f64)>) -> Option<Scale> {
    let ends = dial::band(gauge, gauge.scale.0, gauge.scale.1);
    let whole = ends.1 - ends.0;
    if !(whole.is_finite() && whole > 0.0) {
        return None;
    }
    let dial = Scale { low: ends.0, high: ends.1 };
    let reach = reach.filter(|(low, high)| low.is_finite() && high.is_finite());
    let Some((low, high)) = reach.map(|(low, high)| dial::band(gauge, low, high)) else { return Some(dial) };
    let more = BEYOND * (high - low);
    let mark = round_up((high - low + 2.0 * more) / (MARKS - 1) as f64);
    let low = (((low - more) / mark).floor() * mark).max(ends.0);
    let high = (((high + more) / mark).ceil() * mark).min(ends.1);
    Some(if high > low { Scale { low, high } } else { dial })
}

impl Scale {
    /// Place on the field.
    fn place(self, value: f64) -> f64 {
        let share = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        ((MARGIN + (WIDE - 2.0 * MARGIN) * share) * 10.0).round() / 10.0
    }

    /// In words, where a reading lies beyond what is drawn.
    fn beyond(self, reading: f64) -> Option<&'static str> {
        let slight = 1e-6 * (self.high - self.low);
        match reading {
            r if r > self.high + slight => Some("beyond this scale"),
            r if r < self.low - slight => Some("below this scale"),
            _ => None,
        }
    }

    fn strip(self, reading: Option<f64>, band: Option<(f64, f64)>) -> Strip {
        let step = (self.high - self.low) / (MARKS - 1) as f64;
        let marks = (0..MARKS).map(|k| format!("M{} 25V30", self.place(self.low + step * k as f64)));
        let outside = match (reading, band) {
            (Some(reading), Some((_, high))) if reading > high => Some((high, reading)),
            (Some(reading), Some((low, _))) if reading < low => Some((reading, low)),
            _ => None,
        };
        let number = |value| dial::number(value, dial::step(4.0 * step));
        Strip {
            low: number(self.low),
            high: number(self.high),
            scale: format!("M{MARGIN} 25H{}{}", WIDE - MARGIN, marks.collect::<String>()),
            bracket: band.map_or(String::new(), |(low, high)| self.end(low, SERIF) + &self.end(high, -SERIF)),
            tick: reading.map_or(String::new(), |reading| self.tick(reading)),
            dashes: outside.map_or(String::new(), |(from, to)| format!("M{} 15H{}", self.place(from), self.place(to))),
        }
    }

    /// One end of a bracket; where it lies beyond the scale, a point that leads there.
    fn end(self, value: f64, serif: f64) -> String {
        let at = self.place(value);
        match self.beyond(value) {
            Some(_) => format!("M{} 5L{} 15L{} 25", at + serif, at - serif, at + serif),
            None => format!("M{} 5H{at}V25H{}", at + serif, at + serif),
        }
    }

    /// A reading's tick; where it lies beyond the scale, a point that leads there.
    fn tick(self, value: f64) -> String {
        let at = self.place(value);
        let out = if value > self.high { SERIF } else { -SERIF };
        match self.beyond(value) {
            Some(_) => format!("M{} 4L{} 15L{} 26", at - out, at + out, at - out),
            None => format!("M{at} 2V27"),
        }
    }
}

/// The next of 1, 2, 5, 10, 20 …
fn round_up(value: f64) -> f64 {
    let ten = 10f64.powf(value.max(1e-12).log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|step| step * ten).find(|step| *step >= value * 0.999).unwrap_or(10.0 * ten)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SCALE: Scale = Scale { low: 60.0, high: 100.0 };

    #[test]
    fn what_lies_beyond_the_scale_is_a_point_at_its_end_and_said() {
        assert_eq!(SCALE.beyond(60.0).or(SCALE.beyond(100.0)).or(SCALE.beyond(81.0)), None);
        assert_eq!((SCALE.beyond(101.0), SCALE.beyond(59.0)), (Some("beyond this scale"), Some("below this scale")));
        let strip = SCALE.strip(Some(120.0), Some((50.0, 83.0)));
        let (end, start) = (WIDE - MARGIN, MARGIN);
        assert_eq!(strip.tick, format!("M{} 4L{} 15L{} 26", end - SERIF, end + SERIF, end - SERIF));
        assert!(strip.bracket.starts_with(&format!("M{} 5L{} 15", start + SERIF, start - SERIF)), "{}", strip.bracket);
        assert!(!strip.dashes.is_empty());
    }

    #[test]
    fn what_lies_on_the_scale_stands_at_its_place() {
        let strip = SCALE.strip(Some(80.0), Some((70.0, 90.0)));
        assert_eq!((strip.tick.as_str(), strip.dashes.as_str()), ("M100 2V27", ""));
        assert_eq!(strip.bracket, "M55 5H52.5V25H55M145 5H147.5V25H145");
        assert_eq!((strip.low.as_str(), strip.high.as_str()), ("60", "100"));
    }

    #[test]
    fn marks_stand_at_round_values() {
        assert_eq!((round_up(0.7), round_up(1.2), round_up(6.4), round_up(2.0)), (1.0, 2.0, 10.0, 2.0));
    }
}
