//! Runs the program and keeps what it said.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// What came of a run.
pub struct Ran {
    /// Exit code; -1 if it was killed.
    pub code: i32,
    /// What it printed.
    pub out: String,
    /// What it printed on the error stream.
    pub err: String,
}

/// Runs the program with these arguments.
pub fn bedplate(arguments: &[&str]) -> Ran {
    let ran: Output =
        Command::new(env!("CARGO_BIN_EXE_bedplate")).args(arguments).output().expect("the program was built");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("it prints text");
    let ran = Ran { code: ran.status.code().unwrap_or(-1), out: text(ran.stdout), err: text(ran.stderr) };
    assert!(!ran.err.contains("panicked"), "{arguments:?}: {}", ran.err);
    ran
}

/// The same, and it must have answered.
#[track_caller]
pub fn answered(arguments: &[&str]) -> String {
    let ran = bedplate(arguments);
    assert_eq!(ran.code, 0, "{arguments:?}: {}", ran.err);
    ran.out
}

/// A vessel of the project.
pub fn vessel(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../vessels").join(name);
    path.to_str().expect("a plain path").to_string()
}

/// Writes a file for one test and gives its path.
pub fn file(name: &str, contents: impl AsRef<[u8]>) -> String {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, contents).expect("the folder for tests can be written");
    path.to_str().expect("a plain path").to_string()
}

/// An empty folder for one test.
pub fn folder(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&path).expect("the folder for tests can be written");
    path.to_str().expect("a plain path").to_string()
}

/// A small vessel with two gauges.
pub const SMALL: &str = r#"
[vessel]
name = "Small"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "exchanger", "elbow"]
[gauge.coolant]
at = "engine.coolant-out"
reads = "temperature"
[gauge.raw-out]
at = "exchanger.raw-out"
reads = "temperature"
"#;

/// Evidence that the small vessel runs hot.
pub const HOT: &str = r#"
[[occasion]]
when = "now"
at = { speed = "1500 rpm", sea = "15 °C" }
readings = { coolant = "99 °C", raw-out = "52 °C" }
said = ["strainer.weed in the bowl"]
[[check]]
part = "exchanger"
check = "end_cap_off"
found = "clean"
[[work]]
part = "raw-pump"
hours-ago = 12
"#;
