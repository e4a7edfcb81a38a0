//! Power that goes at any moment, a log torn at its end, a full disk, a read-only one: nothing acknowledged is lost.

mod common;

use common::*;
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use store::{Arrival, Reader, Store, StoreError};

/// What the child is told, by its environment.
const FOLDER: &str = "BEDPLATE_STORE_CHILD";

/// Not a test: the program that is killed. It stores readings without end, eleven gauges a moment, and prints the last
/// moment that was acknowledged.
#[test]
#[ignore = "run by the other tests as a program of its own"]
fn child() {
    let Ok(path) = std::env::var(FOLDER) else { return };
    let store = match Store::open(Path::new(&path)) {
        Ok(store) => store,
        Err(error) => return println!("\nrefused {error:?}"),
    };
    let names: Vec<String> = (0..11).map(|i| format!("g{i}")).collect();
    let series: Result<Vec<_>, _> = names.iter().map(|name| store.register(&gauge(name, "engine", 0.5))).collect();
    let series = match series {
        Ok(series) => series,
        Err(error) => return println!("\nrefused {error:?}"),
    };
    let mut moment = store.reader().latest("g0").ok().flatten().map_or(0, |k| (k.time - JUNE) / 1000 + 1);
    println!("\nready");
    let mut waiting = std::collections::VecDeque::new();
    loop {
        let batch = (0..97).flat_map(|i| moments(moment + i, &series)).collect();
        moment += 97;
        let pending = store.append(batch, Arrival::Live).expect("the store is open");
        waiting.push_back((moment, pending));
        if waiting.len() >= 8 {
            let (moment, pending) = waiting.pop_front().expect("eight");
            match pending.wait() {
                Ok(_) => println!("ack {moment}"),
                Err(error) => {
                    println!("refused {error:?}");
                    // The disk is full: reading goes on.
                    let read = store.reader().latest("g0").expect("still read");
                    return println!("read {}", read.is_some());
                }
            }
            std::io::stdout().flush().expect("a pipe");
        }
    }
}

fn moments(moment: i64, series: &[store::Series]) -> impl Iterator<Item = store::Reading> + '_ {
    series.iter().enumerate().map(move |(i, s)| reading(*s, JUNE + moment * 1000, shown(moment, i)))
}

fn shown(moment: i64, gauge: usize) -> i64 {
    700 + moment / 600 + Draw(moment as u64 * 31 + gauge as u64).below(4)
}

fn command(path: &Path, limit_in_blocks: Option<u64>) -> Command {
    let own = std::env::current_exe().expect("this test");
    let mut command = match limit_in_blocks {
        None => Command::new(own),
        // The signal that a limit of size sends is ignored, so that the write fails as on a full disk.
        Some(blocks) => {
            let mut shell = Command::new("bash");
            shell.args(["-c", &format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"")]).arg(own);
            shell
        }
    };
    command.args(["--exact", "child", "--ignored", "--nocapture"]).env(FOLDER, path);
    command.stdout(Stdio::piped()).stderr(Stdio::null());
    command
}

/// Lines of the child from its own on, as they come.
fn lines(child: &mut Child) -> impl Iterator<Item = String> + use<> {
    BufReader::new(child.stdout.take().expect("a pipe")).lines().map_while(Result::ok)
}

/// That every moment before this one is there, to the step, and that all there is is right.
#[track_caller]
fn all_there(reader: &Reader, before: i64) {
    for i in 0..11 {
        let kept = pairs(&all(reader, &format!("g{i}")));
        assert!(kept.iter().all(|&(time, steps)| steps == shown((time - JUNE) / 1000, i)));
        let moments: BTreeSet<i64> = kept.iter().map(|(time, _)| (time - JUNE) / 1000).collect();
        let missing = (0..before).filter(|moment| !moments.contains(moment)).count();
        assert_eq!(missing, 0, "of {before} moments acknowledged");
    }
}

#[test]
fn killed_again_and_again_it_loses_nothing_it_acknowledged() {
    let (_folder, path) = place();
    let mut draw = Draw(3);
    let mut acknowledged = 0;
    for _ in 0..25 {
        let mut child = command(&path, None).spawn().expect("the child runs");
        let mut after = 1 + draw.below(12);
        let pause = draw.below(40) as u64;
        for line in lines(&mut child) {
            assert!(!line.starts_with("refused"), "{line}");
            if let Some(moment) = line.strip_prefix("ack ") {
                acknowledged = moment.parse().expect("a number");
                after -= 1;
                if after == 0 {
                    std::thread::sleep(std::time::Duration::from_millis(pause));
                    // SIGKILL on Unix: no destructor runs. What it printed before its end still counts.
                    child.kill().expect("killed");
                }
            }
        }
        child.wait().expect("gone");
        let reader = Reader::open(&path).expect("readable");
        all_there(&reader, acknowledged);
    }
    assert!(acknowledged > 10_000, "{acknowledged} moments are too few to have packed any");
    let store = open(&path);
    store.seal().expect("sealed");
    sound(store.reader());
    all_there(store.reader(), acknowledged);
}

fn copy(from: &Path, to: &Path, log: &[u8]) {
    std::fs::copy(from, to).expect("copied");
    std::fs::write(with(to, "-wal"), log).expect("written");
    let _ = std::fs::remove_file(with(to, "-shm"));
}

fn with(path: &Path, ending: &str) -> PathBuf {
    PathBuf::from(format!("{}{ending}", path.display()))
}

#[test]
fn a_log_torn_or_garbled_after_what_was_acknowledged_loses_none_of_it() {
    let (folder, path) = place();
    let store = open(&path);
    let series: Vec<_> =
        (0..11).map(|i| store.register(&gauge(&format!("g{i}"), "engine", 0.5)).expect("a series")).collect();
    let log = || std::fs::read(with(&path, "-wal")).expect("a log");
    // Length of the log once so many moments were acknowledged.
    let mut known = Vec::new();
    for round in 0..12 {
        let batch = (0..60).flat_map(|i| moments(round * 60 + i, &series)).collect();
        give(&store, batch, Arrival::Live);
        known.push((log().len(), (round + 1) * 60));
    }
    let whole = log();
    assert!(known.windows(2).all(|pair| pair[0].0 < pair[1].0), "the log grew with each commit: {known:?}");
    let torn = folder.path().join("torn.db");
    let mut draw = Draw(11);
    for i in 0..60 {
        let (safe, moment) = known[draw.below(11) as usize];
        let at = safe + draw.next() as usize % (whole.len() - safe);
        let mut log = whole.clone();
        if i % 2 == 0 {
            log.truncate(at);
        } else {
            log[at..].iter_mut().for_each(|byte| *byte = draw.next() as u8);
        }
        copy(&path, &torn, &log);
        let store = open(&torn);
        all_there(store.reader(), moment);
        sound(store.reader());
        // And it goes on being written.
        let more = moments(1_000_000, &series).collect();
        if i % 10 == 0 {
            assert_eq!(give(&store, more, Arrival::Live).stored, 11);
            store.seal().expect("sealed");
            sound(store.reader());
        }
    }
}

#[test]
fn at_a_limit_of_size_a_failed_write_is_told_and_what_was_acknowledged_is_read_and_goes_on_when_there_is_room() {
    // Of a file's size, in blocks of 1024 bytes: some before the first commit, some in the log, some in the file.
    for (blocks, begins) in [(16, false), (700, true), (2_000, true), (8_000, true)] {
        let (_folder, path) = place();
        let mut child = command(&path, Some(blocks)).spawn().expect("the child runs");
        let (mut acknowledged, mut refused, mut read) = (0, String::new(), false);
        for line in lines(&mut child) {
            if let Some(moment) = line.strip_prefix("ack ") {
                acknowledged = moment.parse().expect("a number");
            } else if let Some(why) = line.strip_prefix("refused ") {
                refused = why.to_string();
            }
            read |= line == "read true";
        }
        child.wait().expect("gone");
        if begins {
            assert_eq!(refused, "WriteFailed", "with {blocks} blocks, {acknowledged} acknowledged");
            assert!(acknowledged > 0 && read);
        } else {
            assert!(!refused.is_empty());
            continue;
        }
        let store = open(&path);
        all_there(store.reader(), acknowledged);
        sound(store.reader());
        let series: Vec<_> =
            (0..11).map(|i| store.register(&gauge(&format!("g{i}"), "engine", 0.5)).expect("a series")).collect();
        assert_eq!(give(&store, moments(10_000_000, &series).collect(), Arrival::Live).stored, 11);
        store.seal().expect("sealed");
        sound(store.reader());
    }
}

#[test]
fn a_full_disk_is_told_and_what_was_acknowledged_is_whole() {
    for size in ["300k", "1m", "3m"] {
        let (folder, path) = place();
        // A disk in memory that nobody else sees; what it holds in the end is copied out.
        let (disk, out) = (folder.path().join("disk"), folder.path().join("out"));
        std::fs::create_dir(&disk).and_then(|()| std::fs::create_dir(&out)).expect("folders");
        let script = format!(
            "mount -t tmpfs -o size={size} tmpfs \"$1\" && \"$0\" --exact child --ignored --nocapture; cp -a \"$1\"/. \"$2\""
        );
        let output = Command::new("unshare")
            .args(["-rm", "bash", "-c", &script])
            .arg(std::env::current_exe().expect("this test"))
            .args([&disk, &out])
            .env(FOLDER, disk.join(path.file_name().expect("a name")))
            .output();
        let said = output.map(|o| String::from_utf8_lossy(&o.stdout).to_string()).unwrap_or_default();
        if !said.contains("running 1 test") {
            return println!("no disk in memory can be made here: not tested");
        }
        assert!(said.contains("refused DiskFull"), "{said}");
        let acknowledged = said.lines().filter_map(|l| l.strip_prefix("ack ")?.parse().ok()).max().unwrap_or(0);
        assert!(acknowledged > 0 || size == "300k", "{said}");
        let store = open(&out.join("log.db"));
        if acknowledged > 0 {
            all_there(store.reader(), acknowledged);
        }
        sound(store.reader());
    }
}

#[test]
fn on_a_read_only_disk_it_is_read_and_the_rest_is_refused_in_words() {
    let (folder, path) = place();
    let store = open(&path);
    let series: Vec<_> =
        (0..11).map(|i| store.register(&gauge(&format!("g{i}"), "engine", 0.5)).expect("a series")).collect();
    give(&store, (0..60).flat_map(|i| moments(i, &series)).collect(), Arrival::Live);
    drop(store);
    assert!(!with(&path, "-wal").exists(), "closed in order, it is one file");
    // A mount of the test's own, read-only even for the superuser; where that is not allowed there is nothing to test with.
    let script = "mount --bind \"$1\" \"$1\" && mount -o remount,ro,bind \"$1\" && exec \"$0\" --exact read_only_child --ignored --nocapture";
    let output = Command::new("unshare")
        .args(["-rm", "bash", "-c", script])
        .arg(std::env::current_exe().expect("this test"))
        .arg(folder.path())
        .env(FOLDER, &path)
        .output();
    let said = output.map(|o| String::from_utf8_lossy(&o.stdout).to_string()).unwrap_or_default();
    if said.contains("running 1 test") {
        assert!(said.contains("ReadOnly and 60 read"), "{said}");
    } else {
        println!("no read-only mount can be made here: not tested");
    }
    assert_eq!(open(&path).reader().latest("g0").expect("read").expect("there").time, JUNE + 59_000);
}

/// Not a test: what is done on the read-only disk.
#[test]
#[ignore = "run by the test above as a program of its own"]
fn read_only_child() {
    let Ok(path) = std::env::var(FOLDER) else { return };
    let path = Path::new(&path);
    let refused = Store::open(path).err().expect("it cannot be written");
    assert!(refused.to_string().contains("read-only"));
    assert_eq!(refused, StoreError::ReadOnly { path: path.to_path_buf() });
    let reader = Reader::open(path).expect("it can be read");
    let plot = reader.query("g3", JUNE..JUNE + 60_000, 100).expect("a plot");
    println!("\nReadOnly and {} read", plot.points.iter().map(|p| p.count).sum::<u64>());
}
