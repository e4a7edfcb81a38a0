//! One wire: heard on a thread of its own, tried again with growing pauses when it fails.

use crate::clocks::Machine;
use crate::feed::{Feed, Place, Taken, subscribe};
use bus::can::Frame;
use bus::decoder::Decoder;
use bus::stamp::Stamp;
use live::aboard::Clocks as _;
use live::hearing::Hearing;
use live::inbox::Moment;
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

/// After a failure it is tried again after this, then after twice as long each time, up to the last [s].
const PAUSES: (f64, f64) = (1.0, 60.0);
/// A wire of which nothing came for so long counts as silent [s].
pub const SILENT: f64 = 30.0;
/// Then it is opened again after so long [s]: a gateway that was switched off and on does not say so.
const DEAF: f64 = 60.0;
/// Bytes taken at once.
const CHUNK: usize = 1 << 16;
/// How often it is looked whether to stop.
const GLANCE: Duration = Duration::from_millis(100);

/// A wire and what is heard on it.
pub struct OnWire {
    /// How pages speak of it.
    pub name: String,
    /// Where it is.
    pub place: Place,
    /// What is heard.
    pub hearing: Mutex<Hearing>,
    /// How it stands.
    pub standing: Mutex<Standing>,
}

/// How a wire stands.
#[derive(Clone, Debug)]
pub struct Standing {
    /// When something came last; at first when the program began.
    pub last: Moment,
    /// Whether anything ever came.
    pub heard: bool,
    /// What the machine said when it was tried last.
    pub trouble: Option<String>,
    /// A recording has been played to its end.
    pub ended: bool,
    /// Lines and frames.
    pub lines: u64,
}

impl OnWire {
    /// Not heard yet.
    pub fn new(name: String, place: Place, hearing: Hearing, now: Moment) -> OnWire {
        let standing = Standing { last: now, heard: false, trouble: None, ended: false, lines: 0 };
        OnWire { name, place, hearing: Mutex::new(hearing), standing: Mutex::new(standing) }
    }

    fn note(&self, change: impl FnOnce(&mut Standing)) {
        if let Ok(mut standing) = self.standing.lock() {
            change(&mut standing);
        }
    }

    fn heard(&self, now: Moment, lines: u64) {
        self.note(|standing| {
            (standing.last, standing.heard, standing.trouble) = (now, true, None);
            standing.lines += lines;
        });
    }
}

/// Hears a wire until it is told to stop.
pub fn hear(wire: &Arc<OnWire>, clocks: Machine, stop: &AtomicBool) {
    let mut pause = PAUSES.0;
    while !stop.load(Ordering::Relaxed) {
        let begun = clocks.now().since;
        let came = match &wire.place {
            Place::Mqtt(to, topic) => subscribed(wire, to, topic.as_ref(), clocks, stop),
            place => place.open().and_then(|mut feed| listen(wire, &mut feed, clocks, stop)),
        };
        match came {
            Ok(End::Stopped) => return,
            Ok(End::Over) if !wire.place.is_wire() => return wire.note(|standing| standing.ended = true),
            Ok(End::Over) => wire.note(|standing| standing.trouble = Some("the other side has closed it".into())),
            Ok(End::Deaf) => wire.note(|standing| standing.trouble = Some("it is open, and nothing comes".into())),
            Err(why) => wire.note(|standing| standing.trouble = Some(in_words(&why))),
        }
        // One that served a while begins anew with its pauses.
        if clocks.now().since - begun > PAUSES.1 {
            pause = PAUSES.0;
        }
        rest(pause, clocks, stop);
        pause = (2.0 * pause).min(PAUSES.1);
    }
}

/// Waits so long [s], or until it is told to stop.
fn rest(seconds: f64, clocks: Machine, stop: &AtomicBool) {
    let until = clocks.now().since + seconds;
    while !stop.load(Ordering::Relaxed) {
        let left = until - clocks.now().since;
        if left <= 0.0 {
            return;
        }
        thread::sleep(GLANCE.min(Duration::from_secs_f64(left)));
    }
}

/// Why it is no longer listened to.
enum End {
    Stopped,
    Over,
    Deaf,
}

fn listen(wire: &OnWire, feed: &mut Feed, clocks: Machine, stop: &AtomicBool) -> io::Result<End> {
    let mut decoder = Decoder::new();
    let mut room = vec![0; CHUNK];
    let mut last = clocks.now().since;
    let mut player = (!wire.place.is_wire()).then(Player::default);
    while !stop.load(Ordering::Relaxed) {
        let taken = feed.take(&mut room)?;
        let now = clocks.now();
        let lines = decoder.lines();
        match taken {
            Taken::Nothing if now.since - last > DEAF => return Ok(End::Deaf),
            Taken::Nothing => continue,
            Taken::End => {
                if let Ok(mut hearing) = wire.hearing.lock() {
                    decoder.end(&mut *hearing);
                }
                return Ok(End::Over);
            }
            Taken::Text(text) if player.is_some() => {
                let mut play = player.take().unwrap_or_default();
                play.play(text, &mut decoder, wire, clocks, stop);
                player = Some(play);
            }
            other => {
                let Ok(mut hearing) = wire.hearing.lock() else { return Ok(End::Stopped) };
                hearing.now = now;
                // Pieces of a message are put together by a clock that nobody sets.
                let stamp = Stamp::Universal((now.since * 1e9) as i64);
                decoder.at(stamp);
                take(&mut decoder, &other, stamp, &mut hearing);
            }
        }
        last = now.since;
        wire.heard(clocks.now(), decoder.lines() - lines);
    }
    Ok(End::Stopped)
}

/// Hears a broker.
fn subscribed(wire: &OnWire, to: &str, topic: Option<&String>, clocks: Machine, stop: &AtomicBool) -> io::Result<End> {
    let own = wire.hearing.lock().map(|hearing| hearing.gauges().map(|(_, topic, _)| topic).collect());
    let topics: Vec<String> = own.unwrap_or_else(|_| Vec::new());
    let topics: Vec<String> = topics.into_iter().chain(topic.cloned()).collect();
    let mut subscription = subscribe(to, &topics)?;
    while !stop.load(Ordering::Relaxed) {
        // A broker that has nothing to tell says so to whoever asks: it is never opened anew for its silence.
        let Some(message) = subscription.next()? else { continue };
        if message.retained {
            continue;
        }
        let now = clocks.now();
        if let Ok(mut hearing) = wire.hearing.lock() {
            hearing.now = now;
            hearing.message(&message.topic, &message.payload);
        }
        wire.heard(now, 1);
    }
    Ok(End::Stopped)
}

/// Decodes what was heard.
fn take(decoder: &mut Decoder, taken: &Taken<'_>, stamp: Stamp, hearing: &mut Hearing) {
    match taken {
        Taken::Text(text) => decoder.bytes(text, hearing),
        Taken::Lines(text) => {
            decoder.bytes(text, hearing);
            if !text.ends_with(b"\n") {
                decoder.bytes(b"\n", hearing);
            }
        }
        Taken::Frame(raw) => match Frame::of_raw(raw) {
            Ok(frame) => decoder.frame(stamp, &frame, hearing),
            Err(fault) => decoder.passed_over(fault, hearing),
        },
        Taken::Nothing | Taken::End => {}
    }
}

/// Plays a recording as fast as it was made; one that tells no times at [`Player::STRIDE`] a line.
#[derive(Default)]
struct Player {
    /// When it began, here and in the recording [s].
    begun: Option<(f64, f64)>,
}

impl Player {
    /// Between two lines without times [s]: about as many as a busy bus has.
    const STRIDE: f64 = 0.01;
    /// A gap in a recording is passed over in this time [s].
    const LONGEST: f64 = 5.0;

    fn play(&mut self, text: &[u8], decoder: &mut Decoder, wire: &OnWire, clocks: Machine, stop: &AtomicBool) {
        for line in text.split_inclusive(|byte| *byte == b'\n') {
            if stop.load(Ordering::Relaxed) {
                return;
            }
            let now = clocks.now();
            let told = {
                let Ok(mut hearing) = wire.hearing.lock() else { return };
                hearing.now = now;
                decoder.bytes(line, &mut *hearing);
                hearing.told_at
            };
            wire.heard(now, 0);
            self.wait(told, now.since, clocks, stop);
        }
    }

    /// Waits until it is as late here as in the recording [s].
    fn wait(&mut self, told: Option<f64>, now: f64, clocks: Machine, stop: &AtomicBool) {
        let Some(told) = told else { return rest(Self::STRIDE, clocks, stop) };
        let (begun, first) = *self.begun.get_or_insert((now, told));
        let ahead = (told - first) - (now - begun);
        if !(0.0..=Self::LONGEST).contains(&ahead) {
            self.begun = Some((now + ahead.clamp(0.0, Self::LONGEST), told));
        }
        if ahead > 0.0 {
            rest(ahead.min(Self::LONGEST), clocks, stop);
        }
    }
}

fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::ConnectionRefused => "nobody answers there".into(),
        io::ErrorKind::NotFound => "it is not there".into(),
        io::ErrorKind::PermissionDenied => "it may not be read".into(),
        io::ErrorKind::TimedOut => "no answer".into(),
        io::ErrorKind::UnexpectedEof => "the other side has closed it".into(),
        io::ErrorKind::AddrInUse => "another program listens there".into(),
        _ => error.to_string(),
    }
}
