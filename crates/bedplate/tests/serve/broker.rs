//! A broker of messages for real, where there is one on this machine.

use crate::served::{Served, folder, until};
use std::io::{Read as _, Write as _};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// The broker of Debian's package, on a port of its own.
struct Broker(Child, u16);

impl Broker {
    fn start() -> Option<Broker> {
        let program =
            ["/usr/sbin/mosquitto", "/usr/bin/mosquitto"].into_iter().find(|path| Path::new(path).exists())?;
        let port = TcpListener::bind("127.0.0.1:0").and_then(|free| free.local_addr()).expect("a free port").port();
        let child = Command::new(program)
            .args(["-p", &port.to_string()])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("it can be run");
        until("the broker listens", 10, || TcpStream::connect(("127.0.0.1", port)).ok());
        Some(Broker(child, port))
    }

    /// Publishes, as another program does.
    fn publish(&self, topic: &str, payload: &str, retained: bool) {
        let mut stream = TcpStream::connect(("127.0.0.1", self.1)).expect("it listens");
        stream.set_read_timeout(Some(Duration::from_secs(5))).expect("it waits no longer");
        stream.write_all(b"\x10\x10\x00\x04MQTT\x04\x02\x00\x1e\x00\x04test").expect("it is taken");
        let mut answer = [0; 4];
        stream.read_exact(&mut answer).expect("it answers");
        assert_eq!(answer, [0x20, 2, 0, 0], "it takes us in");
        let length = 2 + topic.len() + payload.len();
        let head = [0x30 | u8::from(retained), length as u8, 0, topic.len() as u8];
        assert!(length < 128, "one digit of length");
        stream.write_all(&[&head, topic.as_bytes(), payload.as_bytes(), &[0xE0, 0]].concat()).expect("it is taken");
        let _ = stream.read(&mut answer);
    }
}

impl Drop for Broker {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[test]
fn what_a_broker_tells_is_watched_and_kept() {
    let Some(broker) = Broker::start() else {
        println!("there is no mosquitto here: nothing was heard of a broker");
        return;
    };
    broker.publish("engine/oil", "9", true);
    let folder = folder(&format!(
        "[[wire]]\nname = \"broker\"\nfrom = \"mqtt:127.0.0.1:{}/engine/all\"\ntopics = {{ coolant = \"Engine/1/Coolant\", oil = \"engine/oil\" }}\n",
        broker.1
    ));
    let served = Served::start(folder.path(), &[]);
    let coolant = until("the coolant is read", 15, || {
        broker.publish("Engine/1/Coolant", "82.5", false);
        served.latest("coolant")
    });
    assert_eq!(coolant["value"], 82.5);
    broker.publish("engine/all", "{\"gauge\": \"speed\", \"value\": 24, \"unit\": \"rps\"}", false);
    broker.publish("engine/all", "{\"gauge\": \"speed\", \"value\": 1500}", false);
    let speed = until("the speed is read", 10, || served.latest("speed"));
    assert_eq!(speed["value"], 1500.0);
    assert!(served.latest("oil").is_none(), "nobody knows how old a kept message is");
    broker.publish("engine/oil", "320 kPa", false);
    let oil = until("the oil is read", 10, || served.latest("oil"));
    assert_eq!(oil["value"], 3.2, "told in another unit than the dial's");
    let page = served.page("/wires");
    assert!(page.contains("Every wire is heard.") && page.contains("Engine/1/Coolant"), "{page}");
    drop(broker);
    until("the page says that it is gone", 15, || served.page("/wires").contains("broker").then_some(()));
    let (code, said) = served.end("-TERM");
    assert!(code == 0 && !said.contains("Ended. 0 "), "{said}");
}

#[test]
fn a_broker_without_topics_is_refused() {
    let folder = folder("[[wire]]\nfrom = \"mqtt:127.0.0.1:1883\"\n");
    let ran =
        Command::new(env!("CARGO_BIN_EXE_bedplate")).arg("serve").arg(folder.path()).output().expect("it was built");
    let said = String::from_utf8_lossy(&ran.stderr).into_owned();
    assert!(ran.status.code() == Some(2) && said.contains("topics = {"), "{said}");
}
