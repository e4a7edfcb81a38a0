//! How fast frames become values: the same frames of J1939 through us and through `voltage_j1939`, in one run; NMEA 2000
//! with its fast packets; and recordings as text.

#![allow(missing_docs)] // criterion writes functions of its own

use bus::can::{Frame, Identifier};
use bus::decoder::Decoder;
use bus::heard::{Fault, Heading, Listener, Reading};
use bus::stamp::Stamp;
use bus::table::{Field, message};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;

const KEPT: &str = include_str!("../tests/frames.log");
/// Frames of one measurement.
const FRAMES: usize = 20_000;

/// Takes every value and does the least with it.
#[derive(Default)]
struct Sum {
    values: u64,
    sum: f64,
}

impl Listener for Sum {
    #[inline]
    fn value(&mut self, _: &Heading, field: &Field<'_>, reading: Reading) {
        if let Reading::Value(value) = reading {
            self.values += 1;
            self.sum += value;
            black_box(field.name);
        }
    }

    fn fault(&mut self, _: u64, fault: Fault) {
        black_box(fault);
    }
}

/// The frames kept for the tests, over and over; of those with values alone every third (ordinary, lowest, none).
fn frames(wanted: impl Fn(u32) -> bool) -> Vec<Frame> {
    let frame = |line: &str| {
        let (id, bytes) = line.split(' ').nth(2)?.split_once('#')?;
        let byte = |at| u8::from_str_radix(&bytes[at * 2..at * 2 + 2], 16).ok();
        let mut data = [0; 8];
        let len = bytes.len() / 2;
        for (at, place) in data.iter_mut().take(len).enumerate() {
            *place = byte(at)?;
        }
        Some(Frame { id: u32::from_str_radix(id, 16).ok()?, len: len as u8, data, bus: 0 })
    };
    let kept: Vec<Frame> =
        KEPT.lines().filter_map(frame).filter(|frame| wanted(Identifier::of(frame.id).pgn)).collect();
    kept.iter().copied().cycle().take(FRAMES / kept.len() * kept.len()).collect()
}

fn ours(decoder: &mut Decoder, frames: &[Frame]) -> Sum {
    let mut sum = Sum::default();
    for frame in frames {
        decoder.frame(Stamp::None, black_box(frame), &mut sum);
    }
    sum
}

fn theirs(frames: &[Frame]) -> Sum {
    let mut sum = Sum::default();
    for frame in frames {
        for spn in voltage_j1939::decode_frame(black_box(frame).id, frame.payload()) {
            sum.values += 1;
            sum.sum += spn.value;
            black_box(spn.name);
        }
    }
    sum
}

fn j1939(criterion: &mut Criterion) {
    // The messages whose layouts both hold.
    let frames =
        frames(|pgn| pgn != 65226 && pgn != 65110 && !voltage_j1939::decode_frame(pgn << 8, &[0; 8]).is_empty());
    let mut decoder = Decoder::new();
    let (us, them) = (ours(&mut decoder, &frames), theirs(&frames));
    println!(
        "{} frames of J1939: {:.2} values a frame here, {:.2} there",
        frames.len(),
        us.values as f64 / frames.len() as f64,
        them.values as f64 / frames.len() as f64
    );
    let mut group = criterion.benchmark_group("j1939");
    group.throughput(Throughput::Elements(frames.len() as u64));
    group.bench_function("ours", |bench| bench.iter(|| ours(&mut decoder, black_box(&frames)).values));
    group.bench_function("voltage_j1939", |bench| bench.iter(|| theirs(black_box(&frames)).values));
    group.finish();
}

fn n2k(criterion: &mut Criterion) {
    let single = frames(|pgn| pgn > 126_000 && message(pgn).is_some_and(|message| !message.fast));
    let fast = frames(|pgn| message(pgn).is_some_and(|message| message.fast));
    let mut group = criterion.benchmark_group("n2k");
    for (name, frames) in [("single frames", single), ("fast packets", fast)] {
        group.throughput(Throughput::Elements(frames.len() as u64));
        let mut decoder = Decoder::new();
        group.bench_function(name, |bench| bench.iter(|| ours(&mut decoder, black_box(&frames)).values));
    }
    group.finish();
}

fn text(criterion: &mut Criterion) {
    let recording = KEPT.repeat(FRAMES / KEPT.lines().count());
    let sentences =
        "$IIRPM,E,1,1432.5,10.5,A*53\r\n$IIMTW,18.5,C*12\r\n$IIXDR,C,88.5,C,Engine#1*2C\r\n".repeat(FRAMES / 3);
    let mut group = criterion.benchmark_group("text");
    for (name, text) in [("candump", recording), ("sentences", sentences)] {
        group.throughput(Throughput::Elements(text.lines().count() as u64));
        group.bench_function(name, |bench| {
            bench.iter(|| {
                let (mut decoder, mut sum) = (Decoder::new(), Sum::default());
                decoder.bytes(black_box(text.as_bytes()), &mut sum);
                sum.values
            });
        });
    }
    group.finish();
}

criterion_group!(benches, j1939, n2k, text);
criterion_main!(benches);
