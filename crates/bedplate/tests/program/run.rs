//! Runs the program and keeps what it said.

use serde_json::Value;
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

/// The answer for programs.
pub fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&answered(&[arguments, &["--json"]].concat())).expect("it is JSON")
}

/// It must be refused, with nothing printed as an answer, and say each of these.
#[track_caller]
pub fn refuses(arguments: &[&str], says: &[&str]) {
    let Ran { code, out, err } = bedplate(arguments);
    assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}: {err}");
    for says in says {
        assert!(err.contains(says), "{arguments:?} says {err}");
    }
}

/// A folder of its own with the demonstration vessel in it, and what is told of work.
pub fn marram(name: &str, work: &str) -> String {
    marram_with(name, work, "")
}

/// The same with more after her description.
pub fn marram_with(name: &str, work: &str, more: &str) -> String {
    let folder = folder(name);
    std::fs::remove_dir_all(&folder).expect("left by the run before");
    std::fs::create_dir_all(&folder).expect("a folder for tests");
    let text = std::fs::read_to_string(format!("{}/vessel.toml", vessel("marram"))).expect("it is shipped");
    std::fs::write(format!("{folder}/vessel.toml"), text + more).expect("a folder for tests");
    std::fs::write(format!("{folder}/work.toml"), work).expect("a folder for tests");
    folder
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
