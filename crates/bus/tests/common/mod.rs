//! What the tests share: everything heard, kept; and how other decoders name and measure things.

#![allow(dead_code)] // each test uses a part of it

use bus::can::Frame;
use bus::heard::{Fault, Heading, Listener, Reading};
use bus::table::Field;
use serde_json::Value;

/// Everything heard.
#[derive(Default)]
pub struct Gathered {
    pub reads: Vec<Read>,
    pub faults: Vec<(u64, Fault)>,
}

/// One value heard.
#[derive(Debug)]
pub struct Read {
    pub line: u64,
    pub what: String,
    pub sender: String,
    pub instance: Option<u32>,
    pub kind: Option<u32>,
    pub field: String,
    pub unit: String,
    pub reading: Reading,
}

impl Listener for Gathered {
    fn value(&mut self, heading: &Heading, field: &Field<'_>, reading: Reading) {
        self.reads.push(Read {
            line: heading.line,
            what: heading.what.to_string(),
            sender: heading.sender.to_string(),
            instance: heading.instance,
            kind: heading.kind,
            field: field.name.into(),
            unit: field.unit.into(),
            reading,
        });
    }

    fn fault(&mut self, line: u64, fault: Fault) {
        self.faults.push((line, fault));
    }
}

impl Gathered {
    /// What a line said; lines come in order.
    pub fn of(&self, line: u64) -> impl Iterator<Item = &Read> {
        let from = self.reads.partition_point(|read| read.line < line);
        self.reads[from..].iter().take_while(move |read| read.line == line)
    }
}

/// Counts, keeps nothing.
#[derive(Default)]
pub struct Count {
    pub values: u64,
    pub faults: u64,
}

impl Listener for Count {
    fn value(&mut self, _: &Heading, _: &Field<'_>, _: Reading) {
        self.values += 1;
    }

    fn fault(&mut self, _: u64, _: Fault) {
        self.faults += 1;
    }
}

/// A frame of a message from an address.
pub fn frame(source: u32, pgn: u32, bytes: &[u8]) -> Frame {
    let mut data = [0; 8];
    data[..bytes.len()].copy_from_slice(bytes);
    Frame { id: 6 << 26 | pgn << 8 | source, len: bytes.len() as u8, data, bus: 0 }
}

/// `oilPressure`, `oil_pressure` to `oil-pressure`.
pub fn kebab(name: &str) -> String {
    let mut out = String::new();
    for letter in name.chars() {
        if letter.is_ascii_uppercase() {
            out.push('-');
        }
        out.push(if letter == '_' { '-' } else { letter.to_ascii_lowercase() });
    }
    out
}

/// Factor and offset of a unit into SI, written down apart from the crate that converts.
pub fn si(unit: &str) -> (f64, f64) {
    let factor = match unit {
        "degC" => return (1.0, 273.15),
        "rpm" => std::f64::consts::PI / 30.0,
        "kPa" => 1e3,
        "bar" => 1e5,
        "inHg" => 13595.1 * 9.80665 * 0.0254,
        "L/h" => 1e-3 / 3600.0,
        "L" | "L/s" => 1e-3,
        "%" => 0.01,
        "h" | "Ah" => 3600.0,
        "min" => 60.0,
        "d" => 86400.0,
        "deg" | "position" => std::f64::consts::PI / 180.0,
        "kn" => 1852.0 / 3600.0,
        "km/h" => 1.0 / 3.6,
        "nm" => 1852.0,
        "ft" => 0.3048,
        "fathom" => 1.8288,
        _ => 1.0,
    };
    (factor, 0.0)
}

/// What another decoder's field of a sentence is here.
pub enum Theirs {
    /// Our field, the unit of theirs, and whether theirs has no sign, for a letter tells it.
    Field { name: &'static str, unit: &'static str, unsigned: bool },
    /// The letter that tells the sign of our field, and that for less than nothing.
    Sign { of: &'static str, minus: &'static str },
    /// The letter of the unit of the number before it.
    Letter(&'static str),
}

/// What a field of PyPI `pynmea2` is here.
#[allow(clippy::match_same_arms)] // a table, a row each
pub fn sentence_field(sentence: &str, field: &str) -> Theirs {
    let plain = |name, unit| Theirs::Field { name, unit, unsigned: false };
    let unsigned = |name, unit| Theirs::Field { name, unit, unsigned: true };
    match (sentence, field) {
        (_, "timestamp") => plain("time", "s"),
        (_, "lat") => unsigned("latitude", "position"),
        (_, "lon") => unsigned("longitude", "position"),
        (_, "lat_dir") => Theirs::Sign { of: "latitude", minus: "S" },
        (_, "lon_dir") => Theirs::Sign { of: "longitude", minus: "W" },
        (_, "mag_var_dir" | "var_dir") => Theirs::Sign { of: "variation", minus: "W" },
        (_, "dev_dir") => Theirs::Sign { of: "deviation", minus: "W" },
        ("RMC" | "GLL" | "RPM" | "ROT" | "MWV", "status") => plain("status", ""),
        ("RMC", "spd_over_grnd") => plain("speed-over-ground", "kn"),
        ("RMC", "true_course") => plain("course-true", "deg"),
        ("RMC", "datestamp") => plain("date", "d"),
        ("RMC", "mag_variation") => unsigned("variation", "deg"),
        ("RMC" | "GLL" | "VTG", "mode_indicator" | "faa_mode") => plain("mode", ""),
        ("RMC", "nav_status") => plain("navigational-status", ""),
        ("VTG", "true_track") => plain("course-true", "deg"),
        ("VTG", "mag_track") => plain("course-magnetic", "deg"),
        ("VTG", "spd_over_grnd_kts") => plain("speed", "kn"),
        ("VTG", "spd_over_grnd_kmph") => plain("speed-metric", "km/h"),
        ("VTG", "true_track_sym") => Theirs::Letter("T"),
        ("VTG", "mag_track_sym") => Theirs::Letter("M"),
        ("VTG", "spd_over_grnd_kts_sym") => Theirs::Letter("N"),
        ("VTG", "spd_over_grnd_kmph_sym") => Theirs::Letter("K"),
        ("HDT" | "HDM" | "HDG", "heading") => plain("heading", "deg"),
        ("HDG", "deviation") => unsigned("deviation", "deg"),
        ("HDG", "variation") => unsigned("variation", "deg"),
        ("HDT", "hdg_true") => Theirs::Letter("T"),
        ("HDM", "magnetic") => Theirs::Letter("M"),
        ("ROT", "rate_of_turn") => plain("rate", "deg/min"),
        ("RPM", "source") => plain("source", ""),
        ("RPM", "engine_no") => plain("number", ""),
        ("RPM", "speed") => plain("speed", "rpm"),
        ("RPM", "pitch") => plain("pitch", "%"),
        ("RSA", "rsa_starboard") => plain("starboard", "deg"),
        ("RSA", "rsa_starboard_status") => plain("starboard-status", ""),
        ("RSA", "rsa_port") => plain("port", "deg"),
        ("RSA", "rsa_port_status") => plain("port-status", ""),
        ("DPT", "depth") => plain("depth", "m"),
        ("DPT", "offset") => plain("offset", "m"),
        ("DPT", "range") => plain("range", "m"),
        ("DBT", "depth_feet") => plain("depth-feet", "ft"),
        ("DBT", "depth_meters") => plain("depth", "m"),
        ("DBT", "depth_fathoms") => plain("depth-fathoms", "fathom"),
        ("DBT", "unit_feet") => Theirs::Letter("f"),
        ("DBT", "unit_meters") => Theirs::Letter("M"),
        ("DBT", "unit_fathoms") => Theirs::Letter("F"),
        ("MTW", "temperature") => plain("temperature", "degC"),
        ("MTW", "units") => Theirs::Letter("C"),
        ("VLW", "trip_distance") => plain("total", "nm"),
        ("VLW", "trip_distance_reset") => plain("trip", "nm"),
        ("VLW", _) => Theirs::Letter("N"),
        ("VHW", "heading_true") => plain("heading-true", "deg"),
        ("VHW", "heading_magnetic") => plain("heading-magnetic", "deg"),
        ("VHW", "water_speed_knots") => plain("speed", "kn"),
        ("VHW", "water_speed_km") => plain("speed-metric", "km/h"),
        ("VHW", "kilometers") => Theirs::Letter("K"),
        ("MWV", "wind_angle") => plain("angle", "deg"),
        ("MWV", "reference") => plain("reference", ""),
        ("MWV", "wind_speed") => plain("speed", "kn"),
        ("MWV", "wind_speed_units") => Theirs::Letter("N"),
        ("MWD", "direction_true") => plain("direction-true", "deg"),
        ("MWD", "direction_magnetic") => plain("direction-magnetic", "deg"),
        ("MWD", "wind_speed_knots") => plain("speed", "kn"),
        ("MWD", "wind_speed_meters") => plain("speed-metric", "m/s"),
        ("MDA", "b_pressure_inch") => plain("pressure-mercury", "inHg"),
        ("MDA", "b_pressure_bar") => plain("pressure", "bar"),
        ("MDA", "air_temp") => plain("air-temperature", "degC"),
        ("MDA", "water_temp") => plain("water-temperature", "degC"),
        ("MDA", "rel_humidity") => plain("humidity", "%"),
        ("MDA", "abs_humidity") => plain("humidity-absolute", "%"),
        ("MDA", "dew_point") => plain("dew-point", "degC"),
        ("MDA", "direction_true") => plain("wind-direction-true", "deg"),
        ("MDA", "direction_magnetic") => plain("wind-direction-magnetic", "deg"),
        ("MDA", "wind_speed_knots") => plain("wind-speed", "kn"),
        ("MDA", "wind_speed_meters") => plain("wind-speed-metric", "m/s"),
        ("MDA", "inches") => Theirs::Letter("I"),
        ("MDA", "bars") => Theirs::Letter("B"),
        ("MDA", "a_celsius" | "w_celsius" | "d_celsius") => Theirs::Letter("C"),
        ("VHW" | "MWD" | "MDA", "true") => Theirs::Letter("T"),
        ("VHW" | "MWD" | "MDA", "magnetic" | "meters") => Theirs::Letter("M"),
        ("VHW" | "MWD" | "MDA", "knots") => Theirs::Letter("N"),
        ("ZDA", "day") => plain("day", ""),
        ("ZDA", "month") => plain("month", ""),
        ("ZDA", "year") => plain("year", ""),
        ("ZDA", "local_zone") => plain("zone", "h"),
        ("ZDA", "local_zone_minutes") => plain("zone-minutes", "min"),
        ("GGA", "gps_qual") => plain("quality", ""),
        ("GGA", "num_sats") => plain("satellites", ""),
        ("GGA", "horizontal_dil") => plain("dilution", ""),
        ("GGA", "altitude") => plain("altitude", "m"),
        ("GGA", "geo_sep") => plain("geoid-separation", "m"),
        ("GGA", "age_gps_data") => plain("correction-age", "s"),
        ("GGA", "ref_station_id") => plain("station", ""),
        ("GGA", "altitude_units" | "geo_sep_units") => Theirs::Letter("M"),
        other => panic!("no field of ours is known for {other:?}"),
    }
}

/// Their number [unit], also where it is told as a time (`11:07:59.390000+00:00`) or a date.
pub fn number(value: &Value, unit: &str) -> Option<f64> {
    let parts = |text: &str, by: char| text.split(by).map(|part| part.parse::<f64>().ok()).collect::<Option<Vec<_>>>();
    match (value, unit) {
        // Degrees and minutes in one number, here in degrees.
        (Value::Number(number), "position") => {
            let degrees = (number.as_f64()? / 100.0).floor();
            Some(degrees + (number.as_f64()? - degrees * 100.0) / 60.0)
        }
        (Value::Number(number), _) => number.as_f64(),
        (Value::String(text), "s") => {
            let clock = parts(text.split(['+', 'Z']).next()?, ':')?;
            Some(clock[0] * 3600.0 + clock[1] * 60.0 + clock[2])
        }
        (Value::String(text), "d") => {
            let date = parts(text, '-')?;
            // Julian day number of a Gregorian date, less that of 1970-01-01; the textbook form.
            let (year, month, day) = (date[0] as i64, date[1] as i64, date[2] as i64);
            let a = (14 - month) / 12;
            let (y, m) = (year + 4800 - a, month + 12 * a - 3);
            let julian = day + (153 * m + 2) / 5 + 365 * y + y / 4 - y / 100 + y / 400 - 32045;
            Some((julian - 2_440_588) as f64)
        }
        (Value::String(text), _) => text.parse().ok(),
        _ => None,
    }
}
