//! Where a bus is heard: recordings, what comes in, and wires; only ever read.

mod can;
pub mod mqtt;
mod serial;

use std::fs::File;
use std::io::{self, Read};
use std::net::{TcpStream, ToSocketAddrs, UdpSocket};
use std::path::PathBuf;
use std::str::FromStr;
use std::time::Duration;

/// How long a wire is waited for before the clock is looked at again.
const WAIT: Duration = Duration::from_millis(200);
/// How long a connection may take to come about.
const CONNECT: Duration = Duration::from_secs(5);

/// Where a bus is heard.
#[derive(Clone, Debug, PartialEq)]
pub enum Place {
    /// A recording.
    File(PathBuf),
    /// What comes in.
    Stdin,
    /// `tcp:HOST:PORT`, where somebody serves lines.
    Tcp(String),
    /// `udp:PORT` or `udp:ADDRESS:PORT`, where lines arrive.
    Udp(String),
    /// `serial:PATH` or `serial:PATH@SPEED` [bit/s].
    Serial(PathBuf, u32),
    /// `can:INTERFACE`, of Linux.
    Can(String),
    /// `mqtt:HOST:PORT`, or `mqtt:HOST:PORT/TOPIC`: a broker, and a topic under which messages name their gauge.
    Mqtt(String, Option<String>),
}

/// Speed of a serial line that tells none [bit/s]: that of the standard of sentences.
const SPEED: u32 = 4800;

impl FromStr for Place {
    type Err = String;

    fn from_str(text: &str) -> Result<Place, String> {
        let port = |text: &str| text.parse::<u16>().is_ok_and(|port| port > 0);
        match text.split_once(':') {
            _ if text == "-" => Ok(Place::Stdin),
            Some(("tcp", to)) if to.rsplit_once(':').is_some_and(|(host, p)| !host.is_empty() && port(p)) => {
                Ok(Place::Tcp(to.into()))
            }
            Some(("tcp", _)) => Err("write it as tcp:HOST:PORT, such as tcp:10.0.0.7:7001".into()),
            Some(("udp", to)) if port(to) => Ok(Place::Udp(format!("0.0.0.0:{to}"))),
            Some(("udp", to)) if to.rsplit_once(':').is_some_and(|(host, p)| !host.is_empty() && port(p)) => {
                Ok(Place::Udp(to.into()))
            }
            Some(("udp", _)) => Err("write it as udp:PORT, such as udp:7002".into()),
            Some(("serial", path)) => {
                let (path, speed) = match path.rsplit_once('@') {
                    Some((path, speed)) => (path, speed.parse().ok().filter(|speed| (50..=4_000_000).contains(speed))),
                    None => (path, Some(SPEED)),
                };
                match speed.filter(|_| !path.is_empty()) {
                    Some(speed) => Ok(Place::Serial(path.into(), speed)),
                    None => Err("write it as serial:PATH@SPEED, such as serial:/dev/ttyUSB0@38400".into()),
                }
            }
            Some(("can", interface)) if !interface.is_empty() => Ok(Place::Can(interface.into())),
            Some(("can", _)) => Err("write it as can:INTERFACE, such as can:can0".into()),
            Some(("mqtt", to)) => {
                let (to, topic) = to.split_once('/').map_or((to, None), |(to, topic)| (to, Some(topic)));
                let named = to.rsplit_once(':').is_some_and(|(host, p)| !host.is_empty() && port(p));
                match topic {
                    Some("") => Err("write it as mqtt:HOST:PORT/TOPIC, such as mqtt:10.0.0.7:1883/engine/#".into()),
                    topic if named => Ok(Place::Mqtt(to.into(), topic.map(str::to_string))),
                    _ => Err("write it as mqtt:HOST:PORT, such as mqtt:10.0.0.7:1883".into()),
                }
            }
            _ => Ok(Place::File(text.into())),
        }
    }
}

impl Place {
    /// As it is spoken of.
    pub fn name(&self) -> String {
        match self {
            Place::File(path) => path.display().to_string(),
            Place::Stdin => "what came in".into(),
            Place::Tcp(to) => format!("tcp:{to}"),
            Place::Udp(at) => format!("udp:{at}"),
            Place::Serial(path, speed) => format!("serial:{}@{speed}", path.display()),
            Place::Can(interface) => format!("can:{interface}"),
            Place::Mqtt(to, None) => format!("mqtt:{to}"),
            Place::Mqtt(to, Some(topic)) => format!("mqtt:{to}/{topic}"),
        }
    }

    /// Whether it is a wire, which has no end.
    pub fn is_wire(&self) -> bool {
        !matches!(self, Place::File(_) | Place::Stdin)
    }

    /// Opens it.
    ///
    /// # Errors
    /// What the machine says.
    pub fn open(&self) -> io::Result<Feed> {
        let (source, form): (Box<dyn Read>, Form) = match self {
            Place::File(path) => (Box::new(File::open(path)?), Form::Lines),
            Place::Stdin => (Box::new(io::stdin().lock()), Form::Lines),
            Place::Tcp(to) => {
                let stream = connected(to)?;
                stream.set_read_timeout(Some(WAIT))?;
                (Box::new(stream), Form::Lines)
            }
            Place::Udp(at) => {
                let socket = UdpSocket::bind(at)?;
                socket.set_read_timeout(Some(WAIT))?;
                (Box::new(Datagrams(socket)), Form::Datagrams)
            }
            Place::Serial(path, speed) => (Box::new(serial::open(path, *speed)?), Form::Serial),
            Place::Can(interface) => (Box::new(can::open(interface, WAIT)?), Form::Frames),
            Place::Mqtt(..) => {
                let why = "a broker has messages of gauges, not of a bus: put it into wires.toml";
                return Err(io::Error::new(io::ErrorKind::Unsupported, why));
            }
        };
        Ok(Feed { source, form })
    }
}

/// Subscribes to a broker: to these topics, and to that of the place if it has one.
///
/// # Errors
/// What the machine says, or why the broker refuses.
pub fn subscribe(to: &str, topics: &[String]) -> io::Result<mqtt::Subscription> {
    let stream = connected(to)?;
    let name = format!("bedplate-{}", std::process::id());
    mqtt::Subscription::open(stream, &name, topics, WAIT)
}

/// The first address of a host that answers.
fn connected(to: &str) -> io::Result<TcpStream> {
    let mut failed = io::Error::new(io::ErrorKind::NotFound, "no such host");
    for address in to.to_socket_addrs()? {
        match TcpStream::connect_timeout(&address, CONNECT) {
            Ok(stream) => return Ok(stream),
            Err(error) => failed = error,
        }
    }
    Err(failed)
}

/// Something open to be heard.
pub struct Feed {
    source: Box<dyn Read>,
    form: Form,
}

/// How a source hands over what it has.
#[derive(Copy, Clone, PartialEq, Eq)]
enum Form {
    Lines,
    /// Lines, each datagram being whole ones.
    Datagrams,
    /// Lines; nothing read is not the end.
    Serial,
    /// Frames as Linux hands them over.
    Frames,
}

/// What was heard.
pub enum Taken<'a> {
    /// Part of the text of lines.
    Text(&'a [u8]),
    /// One whole line or more, of which the last may lack its break.
    Lines(&'a [u8]),
    /// A frame as Linux hands it over.
    Frame(&'a [u8]),
    /// Nothing for now.
    Nothing,
    /// The end.
    End,
}

impl Feed {
    /// Takes what there is, waiting no longer than a fifth of a second on a wire.
    ///
    /// # Errors
    /// What the machine says.
    pub fn take<'a>(&mut self, room: &'a mut [u8]) -> io::Result<Taken<'a>> {
        match self.source.read(room) {
            Ok(0) if self.form == Form::Datagrams || self.form == Form::Serial => Ok(Taken::Nothing),
            Ok(0) => Ok(Taken::End),
            Ok(read) => Ok(match self.form {
                Form::Lines | Form::Serial => Taken::Text(&room[..read]),
                Form::Datagrams => Taken::Lines(&room[..read]),
                Form::Frames => Taken::Frame(&room[..read]),
            }),
            Err(error) => match error.kind() {
                io::ErrorKind::Interrupted | io::ErrorKind::WouldBlock | io::ErrorKind::TimedOut => Ok(Taken::Nothing),
                _ => Err(error),
            },
        }
    }
}

/// Each read is one datagram.
struct Datagrams(UdpSocket);

impl Read for Datagrams {
    fn read(&mut self, room: &mut [u8]) -> io::Result<usize> {
        self.0.recv(room)
    }
}

#[cfg(test)]
mod tests;
