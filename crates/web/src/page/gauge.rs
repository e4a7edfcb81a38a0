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

/// The scale, drawn: places on it are shares of its width [%].
struct Strip {
    low: String,
    high: String,
    ticks: Vec<f64>,
    band: Option<(f64, f64)>,
    reading: Option<f64>,
    /// From the nearer bracket to the reading, if that is outside.
    dashes: Option<(f64, f64)>,
}

/// The scale shown is about so many bands wide, or as wide as it takes.
const BANDS: f64 = 8.0;
/// Marks on it, both ends included.
const MARKS: usize = 6;
/// Room at either end [%].
const MARGIN: f64 = 2.5;

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
            age: age(gauged, picture.at),
            strip: None,
            in_words: String::new(),
        };
        if gauge.trips.is_some() { row.alarm(plant, id) } else { row.dial(gauge, gauged) }
    }

    /// What it shows, as it is written in the drawing.
    pub fn shown(&self) -> String {
        if self.state == State::Unread { self.value.clone() } else { dial::with_unit(&self.value, &self.unit) }
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
            let step = dial::reading_step(gauge);
            let at = dial::with_unit(&dial::number(dial::on_dial(gauge, trip), step), dial::unit(gauge));
            self.note = format!("trips {side} {at}");
        }
        if self.state == State::Ringing
            && let Some(limit) = limits_at(plant, id).next()
        {
            self.note = limit.act.into();
        }
        self
    }

    fn dial(mut self, gauge: &Gauge, gauged: &Gauged) -> Row {
        let step = dial::reading_step(gauge);
        self.unit = dial::unit(gauge).into();
        let reading = gauged.reading.map(|shown| dial::on_dial(gauge, shown.value));
        self.value = reading.map_or("not read".into(), |reading| dial::number(reading, step));
        let band = gauged.band.map(|Band { low, high, .. }| dial::band(gauge, low, high));
        self.note = match (self.state, reading, band) {
            (State::Off, Some(reading), Some((low, high))) => off(gauge, reading, (low, high)),
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
        self.strip = strip(gauge, reading, band);
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

/// "1.5 K over", from the nearer end of the band.
fn off(gauge: &Gauge, reading: f64, (low, high): (f64, f64)) -> String {
    let (by, word) = if reading > high { (reading - high, "over") } else { (low - reading, "under") };
    let unit = dial::change(gauge, 0.0).1;
    format!("{} {word}", dial::with_unit(&dial::number(by, dial::step(4.0 * by)), unit))
}

/// The scale: as much of the dial as eight bands take, or as holds the reading.
fn strip(gauge: &Gauge, reading: Option<f64>, band: Option<(f64, f64)>) -> Option<Strip> {
    let ends = dial::band(gauge, gauge.scale.0, gauge.scale.1);
    let (low, high) = window(ends, reading, band)?;
    let place = |value: f64| {
        let share = ((value - low) / (high - low)).clamp(0.0, 1.0);
        ((MARGIN + (100.0 - 2.0 * MARGIN) * share) * 10.0).round() / 10.0
    };
    let step = (high - low) / (MARKS - 1) as f64;
    let outside = match (reading, band) {
        (Some(reading), Some((_, high))) if reading > high => Some((high, reading)),
        (Some(reading), Some((low, _))) if reading < low => Some((reading, low)),
        _ => None,
    };
    Some(Strip {
        low: dial::number(low, dial::step(4.0 * step)),
        high: dial::number(high, dial::step(4.0 * step)),
        ticks: (0..MARKS).map(|k| place(low + step * k as f64)).collect(),
        band: band.map(|(low, high)| (place(low), place(high))),
        reading: reading.map(place),
        dashes: outside.map(|(from, to)| (place(from), place(to))),
    })
}

/// The part of a dial that is drawn, in round numbers.
fn window(ends: (f64, f64), reading: Option<f64>, band: Option<(f64, f64)>) -> Option<(f64, f64)> {
    let whole = ends.1 - ends.0;
    if !(whole.is_finite() && whole > 0.0) {
        return None;
    }
    let Some((low, high)) = band.filter(|(low, high)| high - low < 0.9 * whole / BANDS) else { return Some(ends) };
    let middle = 0.5 * (low + high);
    let mut wide = BANDS * (high - low);
    while wide < whole {
        // Marks stand at round values, so the window does not creep with the band.
        let mark = round_up(wide / (MARKS - 1) as f64);
        let first = ((middle / mark) - 0.5 * (MARKS - 1) as f64).round() * mark;
        let first = first.clamp(ends.0, (ends.1 - mark * (MARKS - 1) as f64).max(ends.0));
        let last = first + mark * (MARKS - 1) as f64;
        if reading.is_none_or(|reading| (first..=last).contains(&reading)) {
            return Some((first, last.min(ends.1)));
        }
        wide *= 1.5;
    }
    Some(ends)
}

/// The next of 1, 2, 5, 10, 20 …
fn round_up(value: f64) -> f64 {
    let ten = 10f64.powf(value.max(1e-12).log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|step| step * ten).find(|step| *step >= value * 0.999).unwrap_or(10.0 * ten)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_narrow_band_is_drawn_large_and_stays_put() {
        let ends = (0.0, 120.0);
        let (low, high) = window(ends, Some(81.0), Some((79.0, 83.0))).expect("there is a scale");
        assert!(high - low < 60.0 && low < 79.0 && high > 83.0, "{low} to {high}");
        let moved = window(ends, Some(82.5), Some((79.1, 83.1))).expect("there is a scale");
        assert_eq!((low, high), moved, "the scale creeps");
    }

    #[test]
    fn a_reading_far_off_is_still_on_the_strip() {
        for reading in [0.0, 15.0, 60.0, 119.0, 120.0] {
            let (low, high) = window((0.0, 120.0), Some(reading), Some((79.0, 83.0))).expect("there is a scale");
            assert!((low..=high).contains(&reading), "{reading} in {low} to {high}");
            assert!(low >= 0.0 && high <= 120.0);
        }
    }

    #[test]
    fn without_a_band_the_whole_dial_is_drawn() {
        assert_eq!(window((0.0, 6.0), Some(3.0), None), Some((0.0, 6.0)));
        assert_eq!(window((0.0, f64::NAN), Some(3.0), None), None);
    }

    #[test]
    fn marks_stand_at_round_values() {
        assert_eq!((round_up(0.7), round_up(1.2), round_up(6.4), round_up(2.0)), (1.0, 2.0, 10.0, 2.0));
    }
}
