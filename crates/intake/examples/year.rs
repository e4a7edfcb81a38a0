//! Writes a table of one-second readings of forty gauges, as a logger would: to try how soon a year of it is imported.
//!
//! `cargo run --release -p intake --example year -- vessel` writes a description with these gauges, `… -- 7` seven days.
//! Each gauge swings over the day and over a quarter of an hour, and flickers by about a tenth, its last digit.

use std::io::{self, BufWriter, Write};

const GAUGES: usize = 40;
/// 1 January 2025 [s since 1970].
const BEGIN: i64 = 1_735_689_600;

fn main() -> io::Result<()> {
    let mut out = BufWriter::with_capacity(1 << 20, io::stdout().lock());
    let asked = std::env::args().nth(1).unwrap_or_default();
    if asked == "vessel" {
        writeln!(out, "[vessel]\nname = \"Year\"\n[engine.main]\nkind = \"diesel\"")?;
        writeln!(out, "rated = {{ power = \"60 kW\", speed = \"1800 rpm\" }}\n[circuit]")?;
        writeln!(out, "raw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]")?;
        for gauge in 0..GAUGES {
            writeln!(
                out,
                "[gauge.g{gauge}]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\naccuracy = \"4 °C\""
            )?;
        }
        return Ok(());
    }
    let days: i64 = asked.parse().unwrap_or(1);
    write!(out, "time")?;
    (0..GAUGES).try_for_each(|gauge| write!(out, ",g{gauge} [°C]"))?;
    writeln!(out)?;
    let mut line = Vec::new();
    // Slow swings are worked out once a minute.
    let mut slow = [0.0; GAUGES];
    for second in 0..days * 86_400 {
        if second % 60 == 0 {
            for (gauge, slow) in slow.iter_mut().enumerate() {
                let (t, g) = (second as f64, gauge as f64);
                let swing = 60.0 * (t / 86_400.0 * std::f64::consts::TAU + g).sin() + 8.0 * (t / 900.0 + g * g).sin();
                *slow = 600.0 + 5.0 * g + swing;
            }
        }
        line.clear();
        time(&mut line, BEGIN + second);
        for (gauge, slow) in slow.iter().enumerate() {
            let bits = draw(second as u64 * 64 + gauge as u64);
            let even = |shift: u32| ((bits >> shift) & 0xF_FFFF) as f64 / f64::from(1 << 20) - 0.5;
            let tenths = (slow + 2.0 * (even(0) + even(20) + even(40))).round() as u64;
            line.push(b',');
            write!(line, "{}.{}", tenths / 10, tenths % 10)?;
        }
        line.push(b'\n');
        out.write_all(&line)?;
    }
    out.flush()
}

/// `2025-01-01T00:00:00Z`
fn time(line: &mut Vec<u8>, seconds: i64) {
    let time = jiff::Timestamp::from_second(seconds).expect("a time of this century");
    let _ = write!(line, "{time}");
}

/// Splitmix64.
fn draw(seed: u64) -> u64 {
    let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}
