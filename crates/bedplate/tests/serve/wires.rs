//! From a wire to the page and the disk, and wires that fail.

use crate::served::{Gateway, Served, folder, sentence, until};
use std::net::{TcpListener, UdpSocket};
use std::sync::atomic::Ordering;
use std::time::Duration;

fn lines() -> String {
    sentence("IIXDR,C,82.5,C,Engine#0") + &sentence("IIRPM,E,1,1432.5,10.5,A") + &sentence("IIMTW,18.5,C")
}

fn near(reading: &serde_json::Value, value: f64) -> bool {
    reading["value"].as_f64().is_some_and(|read| (read - value).abs() < 1e-3)
}

#[test]
fn what_is_heard_stands_on_the_pages_is_kept_and_is_there_when_she_is_served_again() {
    let gateway = Gateway::saying(lines(), Duration::from_millis(100));
    let folder = folder(&format!("[[wire]]\nname = \"engine bus\"\nfrom = \"tcp:127.0.0.1:{}\"\n", gateway.port));
    let served = Served::start(folder.path(), &[]);
    let coolant = until("the coolant is read", 10, || served.latest("coolant"));
    assert!(near(&coolant, 82.5) && coolant["stale"] == false && coolant["unit"] == "°C", "{coolant}");
    let now = served.page("/");
    assert!(now.contains("Periwinkle") && !now.contains("imulated") && !now.contains("/simulator"), "{now}");
    let wires = until("something is kept", 10, || {
        Some(served.page("/wires")).filter(|page| !page.contains(">0 readings are on the disk"))
    });
    assert!(wires.contains("Every wire is heard."), "{wires}");
    assert!(
        wires.contains("heard = &#34;MTW temperature from II&#34;"),
        "what is no gauge's is there to paste: {wires}"
    );
    assert_eq!(served.ask("GET", "/simulator", &[], "").0, 404);
    let (code, said) = served.end("-TERM");
    assert_eq!(code, 0, "{said}");
    assert!(said.starts_with("Ended. ") && !said.contains("could not be kept"), "{said}");
    assert!(!folder.path().join("log.db-wal").exists(), "the store was closed");

    // The gateway is gone, and what was kept is shown as old as it is.
    drop(gateway);
    std::thread::sleep(Duration::from_millis(500));
    let served = Served::start(folder.path(), &[]);
    let coolant = until("what was kept is taken up", 10, || served.latest("coolant"));
    assert!(near(&coolant, 82.5) && coolant["age"].as_f64().is_some_and(|age| age > 0.5), "{coolant}");
    until("the page says which wire is silent", 10, || {
        served.page("/").contains("engine bus silent since").then_some(())
    });
    assert!(!served.greeting.contains("token"), "it was printed once: {}", served.greeting);
    assert_eq!(served.end("-INT").0, 0);
}

#[test]
fn a_wire_that_fails_is_tried_again_and_ends_nothing() {
    let port = TcpListener::bind("127.0.0.1:0").and_then(|free| free.local_addr()).expect("a free port").port();
    let folder = folder(&format!(
        "[[wire]]\nname = \"gateway\"\nfrom = \"tcp:127.0.0.1:{port}\"\n[[wire]]\nfrom = \"serial:/dev/no-such-line\"\n\
         [[wire]]\nfrom = \"can:no-such-can\"\n"
    ));
    let served = Served::start(folder.path(), &[]);
    let page =
        until("it says so", 10, || Some(served.page("/wires")).filter(|page| page.contains("nobody answers there")));
    assert!(page.contains("Nothing is heard on any wire."), "{page}");
    let listener = TcpListener::bind(("127.0.0.1", port)).expect("the port is still free");
    let gateway = Gateway::on(listener, lines(), Duration::from_millis(100));
    until("it is heard once it is there", 20, || served.latest("coolant"));
    assert!(gateway.came.load(Ordering::Relaxed) >= 1);
    assert_eq!(served.end("-TERM").0, 0);
}

#[test]
fn lines_come_in_datagrams() {
    let port = UdpSocket::bind("127.0.0.1:0").and_then(|free| free.local_addr()).expect("a free port").port();
    let folder = folder(&format!("[[wire]]\nfrom = \"udp:127.0.0.1:{port}\"\ngauges = [\"speed\"]\n"));
    let served = Served::start(folder.path(), &[]);
    let sender = UdpSocket::bind("127.0.0.1:0").expect("loopback");
    let speed = until("the speed is read", 10, || {
        sender.send_to(lines().as_bytes(), ("127.0.0.1", port)).expect("it is sent");
        served.latest("speed")
    });
    assert!(near(&speed, 1432.5), "{speed}");
    assert!(served.latest("coolant").is_none(), "only the speed is heard on this wire");
}

#[test]
fn lines_come_over_a_serial_line() {
    use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
    use std::io::Write as _;
    let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("a pseudo-terminal");
    grantpt(&master).and_then(|()| unlockpt(&master)).expect("it may be used");
    let name = ptsname(&master, Vec::new()).expect("it has a name").into_string().expect("a plain path");
    let mut master = std::fs::File::from(master);
    let folder = folder(&format!("[[wire]]\nfrom = \"serial:{name}@38400\"\n"));
    let served = Served::start(folder.path(), &[]);
    let coolant = until("the coolant is read", 10, || {
        master.write_all(lines().as_bytes()).expect("it is read");
        served.latest("coolant")
    });
    assert!(near(&coolant, 82.5), "{coolant}");
}

#[test]
fn a_recording_is_played_for_trying_and_not_kept() {
    let folder = folder("[[wire]]\nname = \"trial\"\nfrom = \"trial.log\"\n");
    std::fs::write(folder.path().join("trial.log"), lines().repeat(20)).expect("it can be written");
    let served = Served::start(folder.path(), &[]);
    until("it is heard", 10, || served.latest("coolant"));
    until("it ends", 20, || served.page("/").contains("trial has been played to its end").then_some(()));
    assert_eq!(served.end("-TERM"), (0, "Ended. 0 readings were kept.\n".into()));
}

#[test]
fn ten_thousand_devices_and_a_flood_leave_memory_and_pages_as_they_were() {
    // 10,000 senders nobody knows, then one that floods with what is a gauge's.
    let (letters, unknown) = (b'A'..=b'Z', 10_000);
    let talkers: Vec<String> =
        letters.clone().flat_map(|a| letters.clone().map(move |b| [a, b].map(char::from).iter().collect())).collect();
    let strange =
        (0..unknown).map(|k| sentence(&format!("{}XDR,C,{}.5,C,Probe{k}#0", talkers[k % talkers.len()], k % 90)));
    let flood: String = strange.chain((0..20_000).map(|_| sentence("IIXDR,C,82.5,C,Engine#0"))).collect();
    let gateway = Gateway::saying(flood, Duration::ZERO);
    let folder = folder(&format!("[[wire]]\nfrom = \"tcp:127.0.0.1:{}\"\n", gateway.port));
    let served = Served::start(folder.path(), &[]);
    until("the coolant is read", 20, || served.latest("coolant"));
    let lines = |served: &Served| {
        let page = served.page("/wires");
        let text = page.split(" lines or frames").next().and_then(|text| text.rsplit(' ').next()).map(str::to_string);
        text.and_then(|text| text.parse::<u64>().ok()).unwrap_or(0)
    };
    until("all devices were heard", 60, || (lines(&served) > 60_000).then_some(()));
    let before = served.memory();
    let until_lines = lines(&served) + 400_000;
    until("as many again ten times over", 100, || (lines(&served) > until_lines).then_some(()));
    let after = served.memory();
    assert!(after < before + (16 << 20), "{before} bytes became {after}");
    let coolant = served.latest("coolant").expect("it is read");
    assert!(coolant["age"].as_f64().is_some_and(|age| age < 3.0), "the loop keeps its beat: {coolant}");
    let page = served.page("/wires");
    assert!(page.contains("quicker than ten a second") && page.contains("more"), "{}", &page[..page.len().min(3_000)]);
    assert_eq!(served.end("-TERM").0, 0);
}
