//! A broker of messages by topic (MQTT 3.1.1), subscribed to and never published on.
//!
//! As much of the protocol as a listener needs: connect, subscribe at most once, hear, and say now and then that one is
//! there. What a packet may hold is bounded.
//!
//! # Source
//! OASIS standard MQTT version 3.1.1 (2014), chapters 2 and 3: packets, their flags and lengths.

use std::io::{self, Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};

/// The broker is told that somebody is there this often, and may wait half as long again for it [s].
const ALIVE: u16 = 30;
/// Longest packet that is read [bytes]: a reading is a few dozen.
const LONGEST: usize = 1 << 16;
/// How long the broker may take to answer to connect and subscribe.
const PATIENCE: Duration = Duration::from_secs(5);

/// A subscription that is heard.
pub struct Subscription {
    stream: TcpStream,
    /// What has come and is not yet a whole packet.
    come: Vec<u8>,
    told: Instant,
}

/// One message.
#[derive(Debug, PartialEq)]
pub struct Message {
    /// Under which topic.
    pub topic: String,
    /// What it says.
    pub payload: Vec<u8>,
    /// Kept by the broker from before: how old it is nobody knows.
    pub retained: bool,
}

/// A packet: its kind and flags, and what follows its length.
type Packet = (u8, Vec<u8>);

impl Subscription {
    /// Subscribes to topics on a connection; `name` tells this listener from others.
    ///
    /// # Errors
    /// What the machine says, or why the broker refuses.
    pub fn open(stream: TcpStream, name: &str, topics: &[String], wait: Duration) -> io::Result<Subscription> {
        let mut subscription = Subscription { stream, come: Vec::new(), told: Instant::now() };
        subscription.stream.set_read_timeout(Some(wait))?;
        // Protocol 4, nothing remembered from before.
        let mut connect = vec![0, 4, b'M', b'Q', b'T', b'T', 4, 2];
        connect.extend(ALIVE.to_be_bytes());
        connect.extend(text(name));
        subscription.send(0x10, &connect)?;
        match subscription.answer(0x20)?.as_slice() {
            [_, 0] => {}
            [_, 4 | 5] => return Err(refused("the broker wants a name and a password, which is not supported")),
            _ => return Err(refused("the broker refuses to be listened to")),
        }
        let mut subscribe = vec![0, 1];
        for topic in topics {
            subscribe.extend(text(topic));
            subscribe.push(0);
        }
        subscription.send(0x82, &subscribe)?;
        let granted = subscription.answer(0x90)?;
        if granted.iter().skip(2).any(|code| *code > 2) {
            return Err(refused("the broker refuses one of the topics"));
        }
        Ok(subscription)
    }

    /// The next message; nothing if none came for a moment.
    ///
    /// # Errors
    /// What the machine says, or that what comes is not this protocol.
    pub fn next(&mut self) -> io::Result<Option<Message>> {
        if self.told.elapsed() > Duration::from_secs(u64::from(ALIVE) / 2) {
            self.send(0xC0, &[])?;
        }
        let Some((kind, body)) = self.packet()? else { return Ok(None) };
        if kind & 0xF0 != 0x30 {
            return Ok(None);
        }
        message(kind, &body).map(Some)
    }

    fn send(&mut self, kind: u8, body: &[u8]) -> io::Result<()> {
        let mut packet = vec![kind];
        let mut length = body.len();
        loop {
            let (rest, digit) = (length >> 7, (length & 0x7F) as u8);
            packet.push(if rest > 0 { digit | 0x80 } else { digit });
            length = rest;
            if rest == 0 {
                break;
            }
        }
        packet.extend(body);
        self.told = Instant::now();
        self.stream.write_all(&packet)
    }

    /// Waits for a packet of that kind.
    fn answer(&mut self, wanted: u8) -> io::Result<Vec<u8>> {
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            match self.packet()? {
                Some((kind, body)) if kind == wanted && body.len() >= 2 => return Ok(body),
                Some(_) | None => {}
            }
        }
        Err(io::ErrorKind::TimedOut.into())
    }

    /// The next whole packet, if there is one or one comes in a moment.
    fn packet(&mut self) -> io::Result<Option<Packet>> {
        if let Some(packet) = whole(&mut self.come)? {
            return Ok(Some(packet));
        }
        let mut room = [0; 4096];
        match self.stream.read(&mut room) {
            Ok(0) => Err(io::ErrorKind::UnexpectedEof.into()),
            Ok(read) => {
                self.come.extend_from_slice(&room[..read]);
                whole(&mut self.come)
            }
            Err(error) => match error.kind() {
                io::ErrorKind::Interrupted | io::ErrorKind::WouldBlock | io::ErrorKind::TimedOut => Ok(None),
                _ => Err(error),
            },
        }
    }
}

fn refused(why: &str) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, why)
}

/// Text with its length before it.
fn text(text: &str) -> Vec<u8> {
    // Topics are read from a file of lines; none is longer than a length can tell.
    let bytes = &text.as_bytes()[..text.len().min(usize::from(u16::MAX))];
    [&(bytes.len() as u16).to_be_bytes(), bytes].concat()
}

/// Takes the first packet off what has come, if it is whole.
fn whole(come: &mut Vec<u8>) -> io::Result<Option<Packet>> {
    let Some((&kind, rest)) = come.split_first() else { return Ok(None) };
    let (mut length, mut digits) = (0, 0);
    loop {
        let Some(&digit) = rest.get(digits) else { return Ok(None) };
        length |= usize::from(digit & 0x7F) << (7 * digits);
        digits += 1;
        if digit & 0x80 == 0 {
            break;
        }
        if digits == 4 {
            return Err(refused("what comes is no message of a broker"));
        }
    }
    if length > LONGEST {
        return Err(refused("a message is longer than any reading"));
    }
    let Some(body) = rest.get(digits..digits + length).map(<[u8]>::to_vec) else { return Ok(None) };
    come.drain(..1 + digits + length);
    Ok(Some((kind, body)))
}

/// A message as it was published.
fn message(kind: u8, body: &[u8]) -> io::Result<Message> {
    let cut = || refused("a message is cut short");
    let (length, rest) = body.split_first_chunk::<2>().ok_or_else(cut)?;
    let (topic, rest) = rest.split_at_checked(usize::from(u16::from_be_bytes(*length))).ok_or_else(cut)?;
    // A message that wants an answer has a number of its own; none was asked for, and none is answered.
    let payload = if kind & 0x06 == 0 { rest } else { rest.get(2..).ok_or_else(cut)? };
    let topic = String::from_utf8(topic.to_vec()).map_err(|_| refused("a topic is no text"))?;
    Ok(Message { topic, payload: payload.to_vec(), retained: kind & 1 == 1 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn packets_are_taken_apart_wherever_they_are_cut() {
        // Published: "a/b" says "21.5", retained; then a long one; then half of another.
        let mut sent = vec![0x31, 9, 0, 3, b'a', b'/', b'b', b'2', b'1', b'.', b'5'];
        let long = vec![7; 200];
        sent.extend([0x30, 0xC8, 0x01]);
        sent.extend(&long);
        sent.extend([0xD0, 0, 0x30, 9, 0]);
        let (mut come, mut packets) = (Vec::new(), Vec::new());
        for byte in sent {
            come.push(byte);
            while let Some(packet) = whole(&mut come).expect("it is the protocol") {
                packets.push(packet);
            }
        }
        assert_eq!(packets.len(), 3);
        let first = message(packets[0].0, &packets[0].1).expect("it is a message");
        assert_eq!(first, Message { topic: "a/b".into(), payload: b"21.5".to_vec(), retained: true });
        assert_eq!((packets[1].1.len(), packets[2].clone(), come.len()), (200, (0xD0, Vec::new()), 3));
    }

    #[test]
    fn what_is_no_packet_is_an_error_and_no_memory() {
        for wrong in [&[0x30, 0xFF, 0xFF, 0xFF, 0xFF, 1][..], &[0x30, 0xFF, 0xFF, 0xFF, 0x7F]] {
            assert!(whole(&mut wrong.to_vec()).is_err(), "{wrong:?}");
        }
        for wrong in [&[][..], &[0], &[0, 9, b'a'], &[0, 1, 0xFF]] {
            assert!(message(0x30, wrong).is_err(), "{wrong:?}");
        }
        assert!(message(0x32, &[0, 1, b'a', 0]).is_err(), "no room for its number");
    }
}
