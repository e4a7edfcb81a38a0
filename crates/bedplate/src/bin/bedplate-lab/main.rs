//! The laboratory: sweeps, calibration, cases. For developers; owners need `bedplate`.

mod look;

fn main() {
    let args: Vec<String> = std::env::args().collect();
    match args.get(1).map(String::as_str) {
        Some("look") => look::look(&args[2..]),
        _ => eprintln!("usage: bedplate-lab look VESSEL.toml"),
    }
}
