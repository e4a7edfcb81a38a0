//! Wires for real, as far as the machine has them: TCP, UDP, a pseudo-terminal; and the reading of a CAN socket over a pair
//! of sockets that hand over the same packets, for few machines that build have a CAN interface.

use super::*;
use crate::verbs::decode::{Heard, hear};
use std::io::Write as _;
use std::net::TcpListener;
use std::thread;

const LINES: &str = "$IIMTW,18.5,C*1F\r\n$IIRPM,E,1,1432.5,10.5,A*53\r\n$IIMTW,19.5,C*1F\r\n";

/// What is heard of a place within a second.
fn heard(place: &Place) -> Heard {
    hear(place.open().expect("it can be opened"), Some(Duration::from_secs(1))).expect("it can be read")
}

fn right(heard: &Heard) {
    let rows: Vec<String> = heard.listing.rows().iter().map(|row| row.channel().to_string()).collect();
    assert!(rows.contains(&"MTW temperature from II".into()), "{rows:?}");
    assert!(rows.contains(&"RPM speed instance 1 kind E from II".into()), "{rows:?}");
    assert_eq!((heard.lines, heard.listing.counts().iter().sum::<u64>()), (3, 1), "one checksum is wrong");
}

#[test]
fn lines_come_over_tcp() {
    let listener = TcpListener::bind("127.0.0.1:0").expect("loopback");
    let address = listener.local_addr().expect("it has one").to_string();
    let server = thread::spawn(move || {
        let (mut stream, _) = listener.accept().expect("somebody comes");
        // Cut where no line ends.
        for piece in LINES.as_bytes().chunks(7) {
            stream.write_all(piece).expect("it is read");
            stream.flush().expect("it is read");
            thread::sleep(Duration::from_millis(5));
        }
    });
    right(&heard(&Place::Tcp(address)));
    server.join().expect("it served");
}

#[test]
fn lines_come_over_udp() {
    let free = UdpSocket::bind("127.0.0.1:0").expect("loopback").local_addr().expect("it has one");
    let sender = thread::spawn(move || {
        thread::sleep(Duration::from_millis(200));
        let socket = UdpSocket::bind("127.0.0.1:0").expect("loopback");
        for line in LINES.lines() {
            // Some senders leave the break of the line out.
            socket.send_to(line.as_bytes(), free).expect("it is sent");
        }
        socket.send_to(b"", free).expect("it is sent");
    });
    right(&heard(&Place::Udp(free.to_string())));
    sender.join().expect("it sent");
}

#[cfg(unix)]
#[test]
fn lines_come_over_a_serial_line() {
    use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
    let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("a pseudo-terminal");
    grantpt(&master).and_then(|()| unlockpt(&master)).expect("it may be used");
    let name = ptsname(&master, Vec::new()).expect("it has a name").into_string().expect("a plain path");
    let place = Place::Serial(name.into(), 38400);
    let feed = place.open().expect("it can be opened");
    let mut master = File::from(master);
    let writer = thread::spawn(move || {
        master.write_all(LINES.as_bytes()).expect("it is read");
        master
    });
    // The other end stays open as long as this one is read.
    right(&hear(feed, Some(Duration::from_millis(500))).expect("it can be read"));
    writer.join().expect("it wrote");
}

#[cfg(target_os = "linux")]
#[test]
fn frames_come_from_a_socket_as_linux_hands_them_over() {
    use std::os::fd::OwnedFd;
    use std::os::unix::net::UnixDatagram;
    let (ours, bus) = UnixDatagram::pair().expect("a pair of sockets");
    ours.set_read_timeout(Some(WAIT)).expect("it waits no longer");
    let socket = socketcan::CanSocket::from(OwnedFd::from(ours));
    let frame = |id: u32, data: [u8; 8]| [&id.to_ne_bytes()[..], &[8, 0, 0, 0], &data].concat();
    let extended = 1 << 31;
    bus.send(&frame(extended | 0x09F2_0010, [0, 0xE0, 0x2E, 0xFF, 0xFF, 0x7F, 0xFF, 0xFF])).expect("it is sent");
    bus.send(&frame(0x123, [0; 8])).expect("it is sent");
    bus.send(&[0; 3]).expect("it is sent");
    let feed = Feed { source: Box::new(socket), form: Form::Frames };
    let heard = hear(feed, Some(Duration::from_millis(600))).expect("it can be read");
    let row = heard.listing.rows().into_iter().find(|row| row.field == "speed").expect("a speed").clone();
    assert_eq!(row.channel().to_string(), "127488 speed instance 0 from 16");
    assert!(row.heading.stamp.seconds().is_some_and(|seconds| seconds > 1e9), "frames are timed as they come");
    assert_eq!((heard.lines, heard.listing.counts().iter().sum::<u64>()), (3, 2), "a short identifier and a scrap");
}

#[test]
fn a_wire_that_is_not_there_is_an_error() {
    for place in ["tcp:127.0.0.1:1", "serial:/dev/no-such-line", "serial:/dev/null", "can:no-such-can"] {
        let place: Place = place.parse().expect("well written");
        assert!(place.open().is_err(), "{place:?}");
    }
}

#[test]
fn places_are_read_as_they_are_written() {
    let file = |name: &str| Ok(Place::File(name.into()));
    for (text, place) in [
        ("-", Ok(Place::Stdin)),
        ("day.log", file("day.log")),
        ("C:\\day.log", file("C:\\day.log")),
        ("tcp:boat.local:7001", Ok(Place::Tcp("boat.local:7001".into()))),
        ("udp:7002", Ok(Place::Udp("0.0.0.0:7002".into()))),
        ("udp:127.0.0.1:7002", Ok(Place::Udp("127.0.0.1:7002".into()))),
        ("serial:/dev/ttyUSB0", Ok(Place::Serial("/dev/ttyUSB0".into(), 4800))),
        ("serial:/dev/ttyUSB0@38400", Ok(Place::Serial("/dev/ttyUSB0".into(), 38400))),
        ("can:can0", Ok(Place::Can("can0".into()))),
        ("mqtt:boat.local:1883", Ok(Place::Mqtt("boat.local:1883".into(), None))),
        ("mqtt:10.0.0.1:1883/a/+", Ok(Place::Mqtt("10.0.0.1:1883".into(), Some("a/+".into())))),
    ] {
        assert_eq!(text.parse::<Place>(), place, "{text}");
    }
    for wrong in [
        "tcp:",
        "tcp:host",
        "tcp::1",
        "tcp:host:0",
        "udp:",
        "udp:x",
        "udp:99999",
        "serial:",
        "serial:@9600",
        "serial:x@fast",
        "can:",
        "mqtt:",
        "mqtt:host",
        "mqtt:host:1883/",
    ] {
        assert!(wrong.parse::<Place>().is_err(), "{wrong}");
    }
}
