//! Recordings of buses: read from files and from what comes in, listed, and refused where they are none.

use crate::run::{answered, bedplate, file, folder};
use serde_json::Value;
use std::io::Write as _;
use std::process::{Command, Stdio};

/// A twin-engined invented vessel: engine data in a fast packet, a temperature, sentences; and what is wrong with some lines.
const MIXED: &str = "\
(1700000000.000000) can0 09F20010#00E02EFFFF7FFFFF\n\
(1700000000.010000) can0 09F20110#001A004006FFFF6F\n\
(1700000000.011000) can0 09F20110#018B6405FF7F20C9\n\
(1700000000.012000) can0 09F20110#024300FFFFFFFFFF\n\
(1700000000.013000) can0 09F20110#03040000007F7FFF\n\
(1700000000.500000) can0 09F20010#00002FFFFF7FFFFF\n\
(1700000000.600000) can0 19FF0010#0102030405060708\n\
$IIMTW,18.5,C*1F\n\
$IIMTW,19.5,C*1F\n\
$IIXDR,C,88.5,C,Engine#1*69\n\
not a line of a recording\n";

#[track_caller]
fn objects(text: &str) -> Vec<Value> {
    text.lines().map(|line| serde_json::from_str(line).expect("each line is JSON")).collect()
}

#[test]
fn everything_heard_is_listed_with_a_line_to_paste() {
    let text = answered(&["decode", &file("mixed.log", MIXED)]);
    for words in [
        "11 lines",
        "127489 from 16 instance 0 (engine parameters, dynamic): once",
        "oil-pressure          1.6",
        "low oil pressure",
        "127488 from 16 instance 0 (engine parameters, rapid update): 2 times, every 500 ms",
        "heard = \"127488 speed instance 0 from 16\"",
        "heard = \"MTW temperature from II\"",
        "heard = \"XDR Engine instance 1 kind C from II\"",
        "1 × wrong checksum",
        "line 9: 1F written",
        "1 × message not in the table",
        "130816 from 16: one time",
        "1 × line in no known layout",
    ] {
        assert!(text.contains(words), "no “{words}” in\n{text}");
    }
}

#[test]
fn what_is_pasted_is_taken() {
    let text = answered(&["decode", &file("to-paste.log", MIXED)]);
    let line = text.lines().find(|line| line.contains("127489 temperature")).expect("the coolant").trim();
    let vessel =
        crate::run::SMALL.replace("at = \"engine.coolant-out\"", &format!("{line}\nat = \"engine.coolant-out\""));
    assert_ne!(vessel, crate::run::SMALL);
    answered(&["draw", &file("pasted.toml", vessel)]);
}

#[test]
fn what_a_gauge_reads_already_is_not_to_be_pasted_again() {
    let coolant = "heard = \"127489 temperature instance 0\"\nat = \"engine.coolant-out\"";
    let raw = "heard = \"130312 actual-temperature instance 4\"\nat = \"exchanger.raw-out\"";
    let vessel =
        crate::run::SMALL.replace("at = \"engine.coolant-out\"", coolant).replace("at = \"exchanger.raw-out\"", raw);
    let (vessel, log) = (file("mapped.toml", vessel), file("mapped.log", MIXED));
    let text = answered(&["decode", &log, "--vessel", &vessel]);
    let gauges = text.split("Her gauges:").nth(1).expect("they are told");
    assert!(gauges.contains("coolant  127489 temperature instance 0         83.8 °C"), "{text}");
    assert!(gauges.contains("raw-out  130312 actual-temperature instance 4  not heard"), "{text}");
    assert!(
        !gauges.contains("heard = \"127489 temperature") && gauges.contains("heard = \"127489 oil-pressure"),
        "{text}"
    );
    let answer = objects(&answered(&["decode", "--json", &log, "--vessel", &vessel]));
    let last = answer.last().expect("there is a last line");
    assert_eq!(last["not_heard"], serde_json::json!(["raw-out"]));
    let gauges = last["heard"].as_array().expect("a list").iter().filter_map(|row| row["gauge"].as_str());
    assert_eq!(gauges.collect::<Vec<_>>(), ["coolant"]);
}

#[test]
fn each_value_is_told_as_it_comes() {
    let text = answered(&["decode", "--each", &file("each.log", MIXED)]);
    assert!(
        text.contains("line 5: 2023-11-14T22:13:20.013Z 127489 from 16 instance 0 temperature: 83.8 °C\n"),
        "{text}"
    );
    assert!(text.contains("line 9: wrong checksum"), "{text}");
}

#[test]
fn for_programs_it_is_an_object_a_line() {
    let answer = objects(&answered(&["decode", "--json", &file("json.log", MIXED)]));
    let (last, before) = answer.split_last().expect("there is a last line");
    assert_eq!((last["version"].as_u64(), last["lines"].as_u64()), (Some(1), Some(11)));
    let faults: Vec<&Value> = before.iter().filter(|object| object["fault"].is_string()).collect();
    assert_eq!(faults.iter().map(|fault| fault["line"].as_u64()).collect::<Vec<_>>(), [Some(7), Some(9), Some(11)]);
    let speed = before.iter().find(|object| object["field"] == "speed").expect("a speed");
    // 0x2EE0 quarters of a turn a minute are 3000 rpm.
    let expected = 3000.0 * std::f64::consts::PI / 30.0;
    assert!((speed["value"].as_f64().expect("a number") - expected).abs() < 1e-9, "{speed}");
    assert_eq!(
        (speed["unit"].as_str(), speed["source"].as_u64(), speed["pgn"].as_u64()),
        (Some("rad/s"), Some(16), Some(127488))
    );
    let values: u64 = last["heard"].as_array().expect("a list").iter().filter_map(|row| row["times"].as_u64()).sum();
    assert_eq!(values, (before.len() - faults.len()) as u64, "the listing counts every value told");
}

#[test]
fn what_comes_in_is_read_like_a_file() {
    let path = file("piped.log", MIXED);
    let mut program = Command::new(env!("CARGO_BIN_EXE_bedplate"))
        .args(["decode", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program was built");
    program.stdin.take().expect("piped").write_all(MIXED.as_bytes()).expect("it reads");
    let out = program.wait_with_output().expect("it ends");
    assert_eq!(String::from_utf8_lossy(&out.stdout), answered(&["decode", &path]));
}

#[test]
fn two_recordings_are_one_listing() {
    let path = file("twice.log", MIXED);
    let text = answered(&["decode", &path, &path]);
    assert!(text.contains("22 lines") && text.contains("(engine parameters, dynamic): 2 times"), "{text}");
}

#[test]
fn what_is_no_recording_is_refused() {
    for (name, contents, says) in [
        ("empty.log", &b""[..], "nothing in its 0 lines is understood"),
        ("prose.log", b"Once upon a time\nthere was a bus\n", "2 × line in no known layout"),
        ("binary.log", &[0, 159, 146, 150, 10, 255, 0, 10], "line in no known layout"),
        ("columns.log", b"2014-08-01T00:00:00.435000Z 12.25 19.28 507.5\n", "comma-separated"),
    ] {
        let ran = bedplate(&["decode", &file(name, contents)]);
        assert_eq!(ran.code, 2, "{name}: {}", ran.out);
        assert!(ran.out.is_empty() && ran.err.contains(name) && ran.err.contains(says), "{name}: {}", ran.err);
    }
    for (path, says) in
        [("no/such.log".to_string(), "no such file"), (folder("a-folder-of-logs"), "a folder, not a file")]
    {
        let ran = bedplate(&["decode", &path]);
        assert_eq!(ran.code, 2);
        assert!(ran.err.contains(says), "{}", ran.err);
    }
    assert_eq!(bedplate(&["decode"]).code, 2);
}

#[cfg(unix)]
#[test]
fn an_endless_device_is_no_recording() {
    let ran = bedplate(&["decode", "/dev/zero"]);
    assert_eq!(ran.code, 2, "{}", ran.out);
    assert!(ran.err.contains("without the end of a line"), "{}", ran.err);
}

#[test]
fn a_wire_is_heard_for_as_long_as_is_said() {
    let listener = std::net::TcpListener::bind("127.0.0.1:0").expect("loopback");
    let place = format!("tcp:{}", listener.local_addr().expect("it has one"));
    let server = std::thread::spawn(move || {
        let (mut stream, _) = listener.accept().expect("somebody comes");
        stream.write_all(MIXED.as_bytes()).expect("it is read");
        // The other side ends it.
        let _ = std::io::Read::read(&mut stream, &mut [0]);
    });
    let text = answered(&["decode", &place, "--for", "700 ms"]);
    assert!(text.contains("11 lines") && text.contains("heard = \"MTW temperature from II\""), "{text}");
    server.join().expect("it served");
    for (arguments, says) in [
        (&["decode", "udp:7002"][..], "a wire has no end"),
        (&["decode", "udp:7002", "--for", "never"], "--for"),
        (&["decode", "udp:7002", "--for", "0s"], "no time at all"),
        (&["decode", "tcp:nowhere"], "tcp:HOST:PORT"),
        (&["decode", "can:no-such-can", "--for", "1s"], "can:no-such-can"),
    ] {
        let ran = bedplate(arguments);
        assert!(ran.code == 2 && ran.err.contains(says), "{arguments:?}: {}", ran.err);
    }
}
