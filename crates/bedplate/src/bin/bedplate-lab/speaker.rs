//! An engine's bus as it speaks: the demonstration vessel, sound and at cruise, in frames of NMEA 2000.

use bus::can::Frame;
use model::expect::quasi_normal;
use model::steady::Model;
use plant::evidence::ToldPoint;
use plant::plant::Plant;
use std::collections::VecDeque;

const MARRAM: &str = include_str!("../../../../../vessels/marram/vessel.toml");
/// Gauges that are on the bus: which value each is.
const HEARD: [(&str, &str); 8] = [
    ("speed", "127488 speed instance 0 from 16"),
    ("oil-pressure", "127489 oil-pressure instance 0 from 16"),
    ("oil-temperature", "127489 oil-temperature instance 0 from 16"),
    ("coolant", "127489 temperature instance 0 from 16"),
    ("volts", "127489 alternator-potential instance 0 from 16"),
    ("sea", "130312 actual-temperature instance 0 kind 0 from 17"),
    ("raw-out", "130312 actual-temperature instance 1 kind 1 from 17"),
    ("exhaust", "130312 actual-temperature instance 2 kind 14 from 17"),
];
/// Rounds of a bus in a second [1/s].
const ROUNDS: f64 = 10.0;
/// Frames of a round that nobody knows: a device of some maker's own.
const STRANGE: u64 = 2;

/// Speaks frame by frame, without end.
pub struct Speaker {
    /// What each gauge of [`HEARD`] reads [SI], and how it flickers.
    reads: Vec<(f64, f64)>,
    round: u64,
    /// Between two rounds [s].
    stride: f64,
    ready: VecDeque<Frame>,
    /// Values of gauges in the messages that are whole by now.
    pub values: u64,
    /// Of each frame that is ready: values that are whole with it.
    whole: VecDeque<u64>,
}

/// The demonstration vessel, with those of her gauges on a bus.
///
/// # Errors
/// If she does not load.
pub fn vessel() -> Result<Plant, String> {
    let text = HEARD.iter().fold(MARRAM.to_string(), |text, (gauge, heard)| {
        text.replace(&format!("[gauge.{gauge}]\n"), &format!("[gauge.{gauge}]\nheard = \"{heard}\"\n"))
    });
    plant::reader::read(&text).0.ok_or_else(|| "the vessel does not load".into())
}

impl Speaker {
    /// Her bus, so many times as crowded as is common.
    ///
    /// # Errors
    /// If she has no state at cruise.
    pub fn of(plant: &Plant, crowded: f64) -> Result<Speaker, String> {
        let mut model = Model::new(plant).map_err(|why| format!("{why:?}"))?;
        let cruise = model::point::told(plant, &ToldPoint::default()).0;
        let figures = model.figures.clone();
        let state = model.solve(&figures, &cruise, None).map_err(|why| why.to_string())?;
        let read = |(name, _): &(&str, &str)| {
            let gauge = plant.gauge(name).ok_or_else(|| format!("no gauge {name}"))?;
            Ok((model.read(&state, plant[gauge].tap), plant[gauge].noise))
        };
        let reads = HEARD.iter().map(read).collect::<Result<_, String>>()?;
        let stride = 1.0 / (ROUNDS * crowded);
        Ok(Speaker { reads, round: 0, stride, ready: VecDeque::new(), values: 0, whole: VecDeque::new() })
    }

    /// How late it is in the world [s].
    pub fn time(&self) -> f64 {
        self.round as f64 * self.stride
    }

    /// The next frame, and when it comes [s].
    pub fn next(&mut self) -> (f64, Frame) {
        loop {
            if let Some(frame) = self.ready.pop_front() {
                self.values += self.whole.pop_front().unwrap_or(0);
                return (self.time(), frame);
            }
            self.round += 1;
            self.speak();
        }
    }

    /// One round.
    fn speak(&mut self) {
        let round = self.round;
        let now: Vec<f64> = (0..)
            .zip(&self.reads)
            .map(|(k, (value, noise))| value + noise * quasi_normal(round as usize % 5_000, k))
            .collect();
        let raw = |k: usize, step: f64| ((now[k] / step).round().clamp(0.0, 65_000.0) as u16).to_le_bytes();
        let speed = raw(0, 0.25 * std::f64::consts::PI / 30.0);
        self.say(2, 127_488, 16, [0, speed[0], speed[1], 0xFF, 0xFF, 0x7F, 0xFF, 0xFF], 1);
        for k in 0..STRANGE {
            self.say(6, 65_300 + k as u32, 77, round.to_le_bytes(), 0);
        }
        if round.is_multiple_of(5) {
            let mut all = vec![0];
            for bytes in [raw(1, 100.0), raw(2, 0.1), raw(3, 0.01), raw(4, 0.01)] {
                all.extend(bytes);
            }
            all.resize(26, 0xFF);
            self.say_long(127_489, 16, &all, 4);
        }
        if round.is_multiple_of(20) {
            for (k, instance, kind) in [(5, 0, 0), (6, 1, 1), (7, 2, 14)] {
                let value = raw(k, 0.01);
                self.say(5, 130_312, 17, [1, instance, kind, value[0], value[1], 0xFF, 0xFF, 0xFF], 1);
            }
        }
    }

    fn say(&mut self, priority: u32, pgn: u32, source: u8, data: [u8; 8], values: u64) {
        let id = priority << 26 | pgn << 8 | u32::from(source);
        self.ready.push_back(Frame { id, len: 8, data, bus: 0 });
        self.whole.push_back(values);
    }

    /// In a fast packet: six bytes in the first frame, seven in each that follows.
    fn say_long(&mut self, pgn: u32, source: u8, payload: &[u8], values: u64) {
        let sequence = ((self.round / 5) as u8 & 7) << 5;
        let (first, rest) = payload.split_at(6);
        let frames = 1 + rest.len().div_ceil(7);
        let mut data = [0xFF; 8];
        (data[0], data[1]) = (sequence, payload.len() as u8);
        data[2..].copy_from_slice(first);
        self.say(2, pgn, source, data, 0);
        for (k, piece) in rest.chunks(7).enumerate() {
            let mut data = [0xFF; 8];
            data[0] = sequence | (k as u8 + 1);
            data[1..=piece.len()].copy_from_slice(piece);
            self.say(2, pgn, source, data, if k + 2 == frames { values } else { 0 });
        }
    }
}
