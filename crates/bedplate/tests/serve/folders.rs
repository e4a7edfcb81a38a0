//! Folders that cannot be served, or not wholly, and folders that are begun.

use crate::served::{Served, VESSEL, folder, token};
use std::net::TcpListener;
use std::path::Path;
use std::process::Command;

/// Exit code and all that was said.
fn bedplate(arguments: &[&str]) -> (i32, String) {
    let ran = Command::new(env!("CARGO_BIN_EXE_bedplate")).args(arguments).output().expect("the program was built");
    let said = String::from_utf8_lossy(&ran.stdout).into_owned() + &String::from_utf8_lossy(&ran.stderr);
    assert!(!said.contains("panicked"), "{said}");
    (ran.status.code().unwrap_or(-1), said)
}

fn text(path: &Path) -> &str {
    path.to_str().expect("a plain path")
}

#[track_caller]
fn refused(arguments: &[&str], words: &[&str]) {
    let (code, said) = bedplate(arguments);
    assert_eq!(code, 2, "{said}");
    for word in words {
        assert!(said.contains(word), "{word}: {said}");
    }
}

#[test]
fn what_is_no_vessels_folder_is_refused_with_a_remedy() {
    let empty = tempfile::tempdir().expect("a folder");
    let missing = empty.path().join("nowhere");
    refused(&["serve", text(&missing)], &["there is no such folder", "bedplate new"]);
    refused(&["serve", text(empty.path())], &["there is no vessel.toml", "bedplate new"]);
    let file = empty.path().join("vessel.toml");
    std::fs::write(&file, VESSEL).expect("it can be written");
    refused(&["serve", text(&file)], &["this is a file", "folder it lies in"]);
    refused(&["serve", text(empty.path()), "--listen", "boat"], &["0.0.0.0:8461"]);
    refused(&["serve", text(empty.path()), "--listen", "192.0.2.1:8461"], &["no such address"]);
}

#[test]
fn faults_of_wires_are_shown_at_their_places() {
    let folder = folder("[[wire]]\nfrom = \"tcp:host\"\n[[wire]]\nfrom = \"day.log\"\ngauges = [\"coolent\"]\n");
    let words = ["wires.toml:2:8: fault", "tcp:HOST:PORT", "wires.toml:4:8", "no such recording"];
    refused(&["serve", text(folder.path())], &words);
}

#[test]
fn a_port_or_a_store_that_is_taken_is_told() {
    let taken = TcpListener::bind("127.0.0.1:0").expect("loopback");
    let port = taken.local_addr().expect("it is bound").port().to_string();
    let folder = folder("");
    refused(&["serve", text(folder.path()), "--port", &port], &["another program serves there", "--port"]);
    let served = Served::start(folder.path(), &[]);
    refused(&["serve", text(folder.path()), "--port", "0"], &["log.db: fault", "written by another program"]);
    assert_eq!(served.end("-TERM").0, 0);
}

#[test]
fn a_token_that_others_may_read_or_that_is_none_is_refused() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = folder("");
    let file = folder.path().join("token");
    std::fs::write(&file, "abcd-efgh-jkmn-pqrs\n").expect("it can be written");
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o644)).expect("it is ours");
    refused(&["serve", text(folder.path()), "--port", "0"], &["others than its owner may read it", "chmod 600"]);
}

#[test]
fn where_nothing_can_be_kept_she_is_watched_and_it_is_said() {
    let folder = folder("");
    // As on a disk that may not be written: whoever runs this test may be allowed to write everywhere.
    std::fs::create_dir(folder.path().join("log.db.lock")).expect("it can be made");
    let served = Served::start(folder.path(), &[]);
    assert!(served.greeting.contains("Nothing is kept: "), "{}", served.greeting);
    assert!(served.page("/").contains("nothing is kept"));
    let token = token(folder.path());
    let (status, answer) = served.give(&token, "{\"gauge\": \"oil\", \"value\": 3.1}");
    assert!(status == 503 && answer["advice"].as_str().is_some_and(|advice| advice.contains("watched")), "{answer}");
    crate::served::until("it is watched", 10, || served.latest("oil"));
    assert_eq!(served.end("-TERM").0, 0);
}

#[test]
fn a_folder_is_begun_served_and_never_written_over() {
    let parent = tempfile::tempdir().expect("a folder");
    for layout in ["wet-exhaust", "keel-cooled", "twin-engines", "sailing"] {
        let folder = parent.path().join(layout);
        let arguments =
            ["new", text(&folder), "--layout", layout, "--name", "Winkle", "--power", "55 kW", "--speed", "2500 rpm"];
        let (code, said) = bedplate(&arguments);
        assert_eq!(code, 0, "{said}");
        let vessel = std::fs::read_to_string(folder.join("vessel.toml")).expect("it was written");
        assert!(vessel.contains("\"Winkle\"") && vessel.contains("\"55 kW\"") && !vessel.contains('@'), "{vessel}");
        refused(&arguments, &["it is there already", "nothing was changed"]);
        assert_eq!(std::fs::read_to_string(folder.join("vessel.toml")).expect("it is there"), vessel);
        let (code, said) = bedplate(&["expect", text(&folder)]);
        assert!(code == 0 && !said.contains("fault") && !said.contains("doubt"), "{said}");
    }
    let served = Served::start(&parent.path().join("sailing"), &[]);
    assert!(served.page("/").contains("Winkle"));
    assert_eq!(served.end("-TERM").0, 0);
    let nowhere = parent.path().join("nowhere");
    refused(&["new", text(&nowhere)], &["which layout", "--layout keel-cooled"]);
    refused(&["new", text(&nowhere), "--layout", "steam"], &["the layouts are"]);
    refused(&["new", text(&nowhere), "--layout", "sailing", "--power", "60"], &["unit"]);
    assert!(!nowhere.exists(), "nothing was begun");
}

#[test]
fn the_demonstration_keeps_what_it_reads_where_no_other_vessel_lies() {
    use std::io::{BufRead as _, BufReader, Read as _};
    let parent = tempfile::tempdir().expect("a folder");
    let folder = parent.path().join("simulated");
    let mut child = Command::new(env!("CARGO_BIN_EXE_bedplate"))
        .args(["demo", "--port", "0", "--keep", text(&folder)])
        .stdout(std::process::Stdio::piped())
        .spawn()
        .expect("the program was built");
    let mut said = BufReader::new(child.stdout.take().expect("it is piped"));
    let mut line = String::new();
    assert!(said.read_line(&mut line).is_ok() && line.contains("simulated"), "{line}");
    std::thread::sleep(std::time::Duration::from_secs(2));
    assert!(Command::new("kill").arg(child.id().to_string()).status().is_ok_and(|killed| killed.success()));
    assert!(child.wait().is_ok_and(|status| status.success()));
    let mut rest = String::new();
    said.read_to_string(&mut rest).expect("text");
    let kept: usize = rest.split(' ').nth(1).and_then(|kept| kept.parse().ok()).unwrap_or(0);
    assert!(kept > 100, "{rest}");
    let reader = store::Reader::open(&folder.join("log.db")).expect("a store");
    let coolant = reader.readings("coolant", 0..i64::MAX).expect("it was kept");
    assert!(coolant.len() > 3 && coolant.iter().all(|kept| (330.0..380.0).contains(&kept.value)), "{coolant:?}");
    let real = crate::served::folder("");
    refused(&["demo", "--port", "0", "--keep", text(real.path())], &["another vessel is described here"]);
}

/// As the machine's own service manager reads it, with the program where it was built.
#[test]
fn the_service_unit_is_good() {
    let unit = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../packaging/bedplate@.service");
    let unit = std::fs::read_to_string(unit).expect("it is part of the project");
    let command = unit.lines().find_map(|line| line.strip_prefix("ExecStart=")).expect("it starts something");
    assert!(command.starts_with("/usr/local/bin/bedplate serve /var/lib/bedplate/%i --listen "), "{command}");
    for line in [
        "Restart=on-failure",
        "DynamicUser=yes",
        "StateDirectory=bedplate/%i",
        "ProtectSystem=strict",
        "NoNewPrivileges=yes",
    ] {
        assert!(unit.lines().any(|told| told == line), "{line} is missing");
    }
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("bedplate@periwinkle.service");
    std::fs::write(&path, unit.replace("/usr/local/bin/bedplate", env!("CARGO_BIN_EXE_bedplate")))
        .expect("it can be written");
    let Ok(verified) = Command::new("systemd-analyze").args(["verify", "--man=no"]).arg(&path).output() else {
        println!("there is no systemd-analyze here: the unit was read by nobody else");
        return;
    };
    let said = String::from_utf8_lossy(&verified.stderr).into_owned();
    assert!(verified.status.success() && !said.contains("bedplate@"), "{said}");
}
