//! Readings in and out: imported once however often they are given, exported and imported again, read back from Parquet.

use crate::run::{Ran, SMALL, answered, bedplate};
use parquet::file::reader::{FileReader as _, SerializedFileReader};
use parquet::record::RowAccessor as _;
use serde_json::Value;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A new folder with the small vessel in it.
fn vessel(name: &str) -> PathBuf {
    let folder = PathBuf::from(crate::run::folder(name));
    // What an earlier run has left.
    for file in std::fs::read_dir(&folder).expect("a folder").flatten() {
        let _ = std::fs::remove_file(file.path());
    }
    std::fs::write(folder.join("vessel.toml"), SMALL).expect("it can be written");
    folder
}

fn text(path: &Path) -> &str {
    path.to_str().expect("a plain path")
}

fn put(folder: &Path, name: &str, contents: impl AsRef<[u8]>) -> String {
    std::fs::write(folder.join(name), contents).expect("it can be written");
    text(&folder.join(name)).to_string()
}

fn taken(ran: &str) -> Value {
    let answer: Value = serde_json::from_str(ran).expect("it is JSON");
    answer["files"][0]["taken"].clone()
}

const DAY: &str = "time;coolant [°C];raw-out (°F);rudder\n\
    2026-07-02 08:00:00;78,3;77;2\n\
    2026-07-02 08:00:01;78,4;77,9;2\n\
    2026-07-02 08:00:02;hot;78,8;2\n\
    2026-07-02 08:00:03;78,5\n";

#[test]
fn a_table_is_shown_then_kept_and_kept_once() {
    let folder = vessel("moved-once");
    let file = put(&folder, "day.csv", DAY);
    let shown = answered(&["import", text(&folder), &file, "--zone", "+02:00", "--preview"]);
    for words in
        ["semicolons", "decimal comma", "78.3, 78.4 °C", "raw-out", "--as \"rudder=GAUGE:UNIT\"", "Nothing is kept yet"]
    {
        assert!(shown.contains(words), "no “{words}” in\n{shown}");
    }
    assert!(!folder.join("log.db").exists(), "a preview keeps nothing");
    let first = answered(&["import", text(&folder), &file, "--zone", "+02:00"]);
    for words in [
        "5 readings: 5 stored, 0 in the log already",
        "From 2026-07-02T06:00:00.000Z to 2026-07-02T06:00:02.000Z",
        "Its clock was +02:00",
        "day.csv:4: coolant: `hot` is no number",
        "day.csv:5: 2 cells under 4 headings",
    ] {
        assert!(first.contains(words), "no “{words}” in\n{first}");
    }
    let again = taken(&answered(&["import", text(&folder), &file, "--zone", "+02:00", "--json"]));
    assert_eq!((&again["stored"], &again["repeated"], &again["faults"]), (&0.into(), &5.into(), &2.into()));
    assert_eq!(again["clock"][0]["ahead_s"], 7200);
    // Ship's time stands beside the readings, once.
    let log = store::Reader::open(&folder.join("log.db")).expect("a log");
    let noted = log.events(Some("import"), 0..i64::MAX, 9).expect("readable").list;
    assert_eq!(noted.len(), 1);
    let body: Value = serde_json::from_str(&noted[0].event.body).expect("it is JSON");
    assert_eq!((&body["file"], &body["stored"]), (&"day.csv".into(), &5.into()));
    assert_eq!(body["clock"], again["clock"]);
}

#[test]
fn what_was_exported_is_the_same_when_it_comes_back() {
    let folder = vessel("moved-out");
    let file = put(&folder, "day.csv", DAY);
    answered(&["import", text(&folder), &file, "--zone", "UTC"]);
    let table = folder.join("out.csv");
    let told = answered(&["export", text(&folder), "--csv", text(&table)]);
    assert!(told.contains("5 readings of 2 gauges"), "{told}");
    let lines = std::fs::read_to_string(&table).expect("it was written");
    assert_eq!(lines.lines().nth(1), Some("2026-07-02T08:00:00.000Z,coolant,78.3,°C,sound"));
    // 77 °F is 25 °C.
    assert_eq!(lines.lines().nth(2), Some("2026-07-02T08:00:00.000Z,raw-out,25,°C,sound"));
    let other = vessel("moved-back");
    let back = taken(&answered(&["import", text(&other), text(&table), "--json"]));
    assert_eq!((&back["stored"], &back["faults"]), (&5.into(), &0.into()));
    assert_eq!(answered(&["export", text(&other), "--csv", "-"]), lines);
    // A column a gauge, in SI, of a part of the time.
    let some = answered(&[
        "export",
        text(&folder),
        "--csv",
        "-",
        "--wide",
        "--si",
        "--from",
        "2026-07-02T08:00:01Z",
        "--to",
        "2026-07-02 10:00:02",
        "--zone",
        "+02:00",
    ]);
    assert_eq!(some, "time,coolant [K],raw-out [K]\r\n2026-07-02T08:00:01.000Z,351.55,298.65\r\n");
    let one = answered(&["export", text(&folder), "--csv", "-", "--gauge", "raw-out"]);
    assert_eq!(one.lines().count(), 4);
}

#[test]
fn parquet_holds_what_the_log_holds() {
    let folder = vessel("moved-parquet");
    let mut table = String::from("time,coolant,raw-out\n");
    for second in 0..3000 {
        let (minute, second) = (second / 60, second % 60);
        let raw = if second % 7 == 0 { String::new() } else { format!("2{}.5", second % 10) };
        let (whole, tenth) = (minute % 10, second % 10);
        let _ = writeln!(table, "2026-07-02T08:{minute:02}:{second:02}Z,7{whole}.{tenth},{raw}");
    }
    let file = put(&folder, "hour.csv", table);
    answered(&["import", text(&folder), &file]);
    let (long, wide) = (folder.join("long.parquet"), folder.join("wide.parquet"));
    answered(&["export", text(&folder), "--parquet", text(&long)]);
    answered(&["export", text(&folder), "--parquet", text(&wide), "--wide"]);
    let csv = answered(&["export", text(&folder), "--csv", "-"]);
    let open = |path: &Path| SerializedFileReader::new(std::fs::File::open(path).expect("written")).expect("Parquet");
    let rows = open(&long);
    let rows = rows.get_row_iter(None).expect("rows").map(|row| row.expect("a row"));
    let mut count = 0;
    for (row, line) in rows.zip(csv.lines().skip(1)) {
        let time = jiff::Timestamp::from_millisecond(row.get_timestamp_millis(0).expect("a time")).expect("a time");
        let of = |place| row.get_string(place).expect("words").clone();
        let told = format!("{time:.3},{},{},{},{}", of(1), row.get_double(2).expect("a value"), of(3), of(4));
        assert_eq!(told, line);
        count += 1;
    }
    assert_eq!(count, csv.lines().count() - 1);
    let columns = open(&wide);
    assert_eq!(columns.metadata().file_metadata().num_rows(), 3000);
    let values = csv.lines().filter(|line| line.contains("raw-out")).count();
    let raw =
        columns.get_row_iter(None).expect("rows").filter(|row| row.as_ref().expect("a row").get_double(2).is_ok());
    assert_eq!(raw.count(), values);
}

#[test]
fn json_lines_rounds_and_recordings_are_kept_too() {
    let folder = vessel("moved-forms");
    let heard = SMALL.replace("[gauge.raw-out]", "heard = \"127489 temperature instance 0 from 16\"\n[gauge.raw-out]");
    std::fs::write(folder.join("vessel.toml"), heard).expect("it can be written");
    let lines = put(&folder, "a.jsonl", "{\"time\":1782979200,\"raw-out\":\"25 °C\"}\n{\"time\":\n");
    let rounds = put(
        &folder,
        "rounds.toml",
        "zone = \"+02:00\"\n[[round]]\ntime = \"2026-07-02 08:30\"\nby = \"mate\"\nreadings = { raw-out = \"26 °C\" }\n",
    );
    let log = put(
        &folder,
        "bus.log",
        "(1782979200.000000) can0 09F20110#001A004006FFFF6F\n(1782979200.011000) can0 09F20110#018B6405FF7F20C9\n\
         (1782979200.012000) can0 09F20110#024300FFFFFFFFFF\n(1782979200.013000) can0 09F20110#03040000007F7FFF\n",
    );
    let told = answered(&["import", text(&folder), &lines, &rounds, &log]);
    for words in [
        "a.jsonl:2: no object of JSON",
        "rounds.toml: 1 round, 1 reading",
        "Its clock was +02:00",
        "bus.log: 4 lines, 1 reading",
    ] {
        assert!(told.contains(words), "no “{words}” in\n{told}");
    }
    assert_eq!(answered(&["export", text(&folder), "--csv", "-"]).lines().count(), 4);
}

#[track_caller]
fn refused(ran: &Ran, words: &str) {
    assert_eq!(ran.code, 2, "{}{}", ran.out, ran.err);
    assert!(ran.err.contains(words) && ran.err.lines().count() >= 2, "no “{words}” in\n{}", ran.err);
}

#[test]
fn what_cannot_be_used_is_refused_with_a_remedy() {
    let folder = vessel("moved-bad");
    let import = |name: &str, contents: &[u8]| bedplate(&["import", text(&folder), &put(&folder, name, contents)]);
    refused(&import("empty.csv", b""), "there is nothing in it");
    refused(&import("binary", b"\x7fELF\0\x01\x02"), "this is no text");
    refused(&import("wide.csv", b"\xff\xfet\0i\0m\0e\0"), "UTF-16");
    refused(&import("words.txt", b"Dear log,\nall well.\n"), "no table");
    refused(&import("zone.csv", b"time,coolant\n2026-07-02 08:00,78\n"), "--zone");
    refused(&import("dates.csv", b"time,coolant\n03/04/2026 08:00,78\n"), "3 April 2026 or 4 March 2026");
    refused(&import("none.csv", b"time,rudder\n2026-07-02T08:00Z,78\n"), "no gauge of this vessel");
    refused(&import("endless.csv", &vec![b'x'; 2 << 20]), "does not end");
    refused(&bedplate(&["import", text(&folder), text(&folder)]), "this is a folder");
    refused(&bedplate(&["import", text(&folder), "no-such.csv"]), "there is no such file");
    refused(&bedplate(&["import", "no-such-vessel", "no-such.csv"]), "there is no such file");
    let good = put(&folder, "good.csv", "time,coolant\n2026-07-02T08:00Z,78\n");
    refused(&bedplate(&["import", text(&folder), &good, "--zone", "Atlantis"]), "no zone known");
    refused(&bedplate(&["import", text(&folder), &good, "--as", "coolant=colant"]), "did you mean `coolant`");
    refused(&bedplate(&["import", text(&folder), &good, "--as", "water=coolant"]), "it has no column `water`");
    refused(&bedplate(&["import", text(&folder), &good, "--day", "soon"]), "no date");
    refused(&bedplate(&["export", text(&folder), "--csv", "-"]), "Nothing was kept of this vessel yet");
    let held = store::Store::open(&folder.join("log.db")).expect("a new log");
    refused(&bedplate(&["import", text(&folder), &good]), "bedplate serve");
    drop(held);
    answered(&["import", text(&folder), &good]);
    refused(&bedplate(&["export", text(&folder), "--csv", "-", "--gauge", "colant"]), "Did you mean `coolant`");
    refused(&bedplate(&["export", text(&folder), "--csv", "-", "--from", "later"]), "no time");
    refused(&bedplate(&["export", text(&folder), "--csv", text(&folder.join("no/such.csv"))]), "no such folder");
    std::fs::write(folder.join("log.db"), "no log").expect("it can be written");
    refused(&bedplate(&["import", text(&folder), &good]), "no store of readings");
}

#[cfg(unix)]
#[test]
fn an_import_that_is_stopped_keeps_what_it_counted_and_goes_on_later() {
    use std::io::Read as _;
    let folder = vessel("moved-stopped");
    let mut importing = Command::new(env!("CARGO_BIN_EXE_bedplate"))
        .args(["import", text(&folder), "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it was built");
    let mut input = importing.stdin.take().expect("piped");
    let id = importing.id().to_string();
    // It is told to stop while it reads, and goes on reading until it sees that.
    let writer = std::thread::spawn(move || {
        let mut line = String::from("time,coolant,raw-out\n");
        for second in 0_i64.. {
            let (day, rest) = (second / 86_400, second % 86_400);
            let (hour, minute, second) = (rest / 3600, rest / 60 % 60, rest % 60);
            let _ = writeln!(line, "2026-07-{:02}T{hour:02}:{minute:02}:{second:02}Z,78.3,25.1", day % 28 + 1);
            if line.len() > 1 << 16 && std::io::Write::write_all(&mut input, line.as_bytes()).is_err() {
                return;
            }
            if line.len() > 1 << 16 {
                line.clear();
            }
        }
    });
    std::thread::sleep(std::time::Duration::from_millis(1500));
    let killed = Command::new("kill").args(["-INT", &id]).status().expect("there is kill");
    assert!(killed.success());
    let done = importing.wait().expect("it ends");
    writer.join().expect("it ends too");
    let (mut out, mut err) = (String::new(), String::new());
    importing.stdout.take().expect("piped").read_to_string(&mut out).expect("text");
    importing.stderr.take().expect("piped").read_to_string(&mut err).expect("text");
    assert_eq!(done.code(), Some(130), "{out}{err}");
    assert!(err.contains("Stopped") && err.contains("Run it again"), "{err}");
    let stored: u64 = out
        .split(" stored")
        .next()
        .and_then(|text| text.rsplit(": ").next())
        .and_then(|count| count.replace(',', "").parse().ok())
        .expect("it says how many");
    assert!(stored > 0, "{out}");
    let kept = answered(&["export", text(&folder), "--csv", "-"]).lines().count() as u64 - 1;
    assert_eq!(kept, stored);
}
