//! The laboratory: sweeps, calibration, cases. For developers; owners need `bedplate`.

mod cases;
mod chance;
mod look;
mod sweep;

use std::path::Path;

fn main() -> std::process::ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    let outcome = match words.as_slice() {
        ["look", rest @ ..] => {
            look::look(&rest.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>());
            Ok(())
        }
        ["sweep", vessel, cases, seed] => run_sweep(vessel, cases, seed),
        ["cases"] => cases::table(Path::new("cases")).map(|table| println!("{table}")),
        ["case", folder, file] => cases::show(Path::new(folder), file),
        _ => Err("usage: bedplate-lab look VESSEL.toml [SHARE] | cases | case FOLDER EVIDENCE.toml".into()),
    };
    match outcome {
        Ok(()) => std::process::ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            std::process::ExitCode::FAILURE
        }
    }
}

fn run_sweep(vessel: &str, cases: &str, seed: &str) -> Result<(), String> {
    let plant = load(vessel)?;
    let (cases, seed) = (cases.parse().map_err(|_| "how many?")?, seed.parse().map_err(|_| "which seed?")?);
    println!("{vessel}, seed {seed}");
    print!("{}", sweep::report(&sweep::sweep(&plant, cases, seed, true)));
    Ok(())
}

fn load(vessel: &str) -> Result<plant::plant::Plant, String> {
    let text = std::fs::read_to_string(vessel).map_err(|e| format!("{vessel}: {e}"))?;
    plant::reader::read(&text).0.ok_or_else(|| format!("{vessel} does not load"))
}
