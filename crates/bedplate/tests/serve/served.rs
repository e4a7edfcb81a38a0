//! A vessel served by the program itself, and what talks to it: other programs over HTTP, a bus over TCP.

use serde_json::Value;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::thread;
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// A small vessel of which two gauges are on a bus.
pub const VESSEL: &str = r#"
[vessel]
name = "Periwinkle"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "exchanger", "elbow"]
[gauge.coolant]
at = "engine.coolant-out"
reads = "temperature"
heard = "XDR Engine instance 0 kind C"
[gauge.speed]
at = "engine.speed"
reads = "speed"
heard = "RPM speed instance 1 kind E"
[gauge.oil]
at = "engine.oil-in"
reads = "pressure"
[alarm.bell]
at = "engine.coolant-out"
reads = "temperature"
trips-above = "96 °C"
"#;

/// A folder with that vessel and these wires.
pub fn folder(wires: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("vessel.toml"), VESSEL).expect("it can be written");
    if !wires.is_empty() {
        std::fs::write(folder.path().join("wires.toml"), wires).expect("it can be written");
    }
    folder
}

/// The program as it serves a folder.
pub struct Served {
    child: Child,
    /// Of the pages.
    pub port: u16,
    /// What it printed before the pages were there.
    pub greeting: String,
    said: BufReader<std::process::ChildStdout>,
}

impl Served {
    /// Starts it and waits for its first page.
    pub fn start(folder: &Path, options: &[&str]) -> Served {
        let mut command = Command::new(env!("CARGO_BIN_EXE_bedplate"));
        command.arg("serve").arg(folder).args(options).stdout(Stdio::piped()).stderr(Stdio::inherit());
        if !options.contains(&"--listen") {
            command.args(["--port", "0"]);
        }
        let mut child = command.spawn().expect("the program was built");
        let mut said = BufReader::new(child.stdout.take().expect("it is piped"));
        let mut greeting = String::new();
        let port = loop {
            let mut line = String::new();
            assert!(said.read_line(&mut line).is_ok_and(|read| read > 0), "it ended: {greeting}");
            greeting += &line;
            if let Some(address) = line.strip_prefix("Open http://") {
                break address.trim_end_matches("/\n").rsplit(':').next().and_then(|port| port.parse().ok());
            }
        };
        Served { child, port: port.expect("it prints an address"), greeting, said }
    }

    /// Sends a request and gives status and body.
    pub fn ask(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &str) -> (u16, String) {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        stream.set_read_timeout(Some(Duration::from_secs(20))).expect("it waits no longer");
        let host = format!("127.0.0.1:{}", self.port);
        let host =
            if headers.iter().any(|(name, _)| *name == "Host") { String::new() } else { format!("Host: {host}\r\n") };
        let headers: String = headers.iter().flat_map(|(name, value)| [name, ": ", value, "\r\n"]).collect();
        let length = body.len();
        let head =
            format!("{method} {path} HTTP/1.1\r\n{host}{headers}Content-Length: {length}\r\nConnection: close\r\n\r\n");
        stream.write_all(head.as_bytes()).and_then(|()| stream.write_all(body.as_bytes())).expect("it is taken");
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        let answer = String::from_utf8_lossy(&answer).into_owned();
        let status = answer.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
        (status, answer.split_once("\r\n\r\n").map_or(String::new(), |(_, body)| body.to_string()))
    }

    /// A page.
    pub fn page(&self, path: &str) -> String {
        let (status, body) = self.ask("GET", path, &[], "");
        assert_eq!(status, 200, "{path}: {body}");
        body
    }

    /// The last reading of a gauge, if it ever had one.
    pub fn latest(&self, gauge: &str) -> Option<Value> {
        let told: Value = serde_json::from_str(&self.page("/api/1/readings/latest")).expect("it is JSON");
        let all = told["readings"].as_array().expect("a list").clone();
        all.into_iter().find(|reading| reading["gauge"] == gauge)
    }

    /// Gives readings as another program does.
    pub fn give(&self, token: &str, readings: &str) -> (u16, Value) {
        let bearer = format!("Bearer {token}");
        let headers = [("Authorization", bearer.as_str()), ("Content-Type", "application/json")];
        let (status, body) = self.ask("POST", "/api/1/readings", &headers, &format!("{{\"readings\": [{readings}]}}"));
        (status, serde_json::from_str(&body).unwrap_or(Value::Null))
    }

    /// Sends a form as a page does.
    pub fn form(&self, path: &str, body: &str, cookie: &str) -> (u16, String) {
        let origin = format!("http://127.0.0.1:{}", self.port);
        let kind = "application/x-www-form-urlencoded";
        self.ask("POST", path, &[("Origin", &origin), ("Cookie", cookie), ("Content-Type", kind)], body)
    }

    /// Bytes of memory it holds.
    pub fn memory(&self) -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap_or("0 kB");
        1024 * line.trim().trim_end_matches(" kB").parse::<u64>().unwrap_or(0)
    }

    /// Ends it as a service is ended; exit code and what else it said.
    pub fn end(mut self, signal: &str) -> (i32, String) {
        let killed = Command::new("kill").args([signal, &self.child.id().to_string()]).status();
        assert!(killed.is_ok_and(|status| status.success()), "it runs");
        let begun = Instant::now();
        let status = loop {
            match self.child.try_wait().expect("it is ours") {
                Some(status) => break status,
                None => assert!(begun.elapsed() < Duration::from_secs(15), "it does not end"),
            }
            thread::sleep(Duration::from_millis(20));
        };
        let mut rest = String::new();
        let _ = self.said.read_to_string(&mut rest);
        (status.code().unwrap_or(-1), rest)
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The token in a folder.
pub fn token(folder: &Path) -> String {
    std::fs::read_to_string(folder.join("token")).expect("it was made").trim().to_string()
}

/// Waits until something is so.
#[track_caller]
pub fn until<T>(what: &str, seconds: u64, mut so: impl FnMut() -> Option<T>) -> T {
    let begun = Instant::now();
    loop {
        if let Some(value) = so() {
            return value;
        }
        assert!(begun.elapsed() < Duration::from_secs(seconds), "not within {seconds} s: {what}");
        thread::sleep(Duration::from_millis(50));
    }
}

/// A sentence with its checksum.
pub fn sentence(text: &str) -> String {
    format!("${text}*{:02X}\r\n", text.bytes().fold(0, |sum, byte| sum ^ byte))
}

/// A gateway that serves lines to all who come, until it is dropped.
pub struct Gateway {
    /// Where.
    pub port: u16,
    over: Arc<AtomicBool>,
    /// How often somebody came.
    pub came: Arc<AtomicU64>,
}

impl Gateway {
    /// Which says these lines every so often.
    pub fn saying(lines: String, every: Duration) -> Gateway {
        let listener = TcpListener::bind("127.0.0.1:0").expect("loopback");
        Gateway::on(listener, lines, every)
    }

    /// On a listener that is there.
    pub fn on(listener: TcpListener, lines: String, every: Duration) -> Gateway {
        let port = listener.local_addr().expect("it is bound").port();
        listener.set_nonblocking(true).expect("it can be asked");
        let (over, came) = (Arc::new(AtomicBool::new(false)), Arc::new(AtomicU64::new(0)));
        let (ends, comes) = (over.clone(), came.clone());
        thread::spawn(move || {
            let mut streams: Vec<TcpStream> = Vec::new();
            while !ends.load(Ordering::Relaxed) {
                while let Ok((stream, _)) = listener.accept() {
                    comes.fetch_add(1, Ordering::Relaxed);
                    streams.push(stream);
                }
                streams.retain_mut(|stream| stream.write_all(lines.as_bytes()).is_ok());
                thread::sleep(every);
            }
        });
        Gateway { port, over, came }
    }
}

impl Drop for Gateway {
    fn drop(&mut self) {
        self.over.store(true, Ordering::Relaxed);
    }
}
