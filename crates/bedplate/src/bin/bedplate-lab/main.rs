//! The laboratory: sweeps, calibration, cases. For developers; owners need `bedplate`.

mod cases;
mod look;

use std::path::Path;

fn main() -> std::process::ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    let outcome = match words.as_slice() {
        ["look", rest @ ..] => {
            look::look(&rest.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>());
            Ok(())
        }
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
