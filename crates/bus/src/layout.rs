//! One line of a recording, in any of the layouts that people keep.
//!
//! | layout | a line |
//! |---|---|
//! | candump | `  can0  18EEFF00   [8]  01 00 C0 E8 00 96 64 40`, also with a time in brackets in front |
//! | candump -L | `(1635188455.030900) can0 0CFEF100#F7000004000000FF` |
//! | comma-separated | `2016-02-28T19:57:02.364Z,6,127505,114,255,8,50,ff,7f,be,11,00,00,ff` |
//! | gateway text | `21:55:35.425 R 15FD0723 FF C0 D9 6F FF 7F FF FF` |
//! | NMEA 0183 | `$SDDPT,5.3,0.4,*79`, also with a time or a block of tags in front |

use crate::can::{Frame, Identifier};
use crate::heard::Fault;
use crate::stamp::{self, Stamp};
use crate::text::{before, byte, bytes, hex, whole, word};

/// The longest payload: what J1939's transport carries.
pub const LONGEST: usize = 1785;

/// What a line says.
#[derive(Debug, PartialEq)]
pub enum Line<'a> {
    /// Empty, or a comment.
    Nothing,
    Frame(Stamp, Frame),
    /// A message, or a frame of one, of so many bytes.
    Message(Stamp, Identifier, usize),
    /// A sentence from its `$` or `!` on.
    Sentence(Stamp, &'a [u8]),
}

/// Bit of an identifier that tells of an error on the bus.
const ERROR_FRAME: u32 = 0x2000_0000;
const EXTENDED: u32 = 0x1FFF_FFFF;

/// Reads a line; the bytes of a message go into `payload`.
pub fn read<'a>(line: &'a [u8], payload: &mut [u8; LONGEST]) -> Result<Line<'a>, Fault> {
    let line = line.trim_ascii();
    let Some(&first) = line.first() else { return Ok(Line::Nothing) };
    match first {
        b'#' => Ok(Line::Nothing),
        b'$' | b'!' => Ok(Line::Sentence(Stamp::None, line)),
        b'\\' => tagged(line),
        b'(' => {
            let (time, rest) = before(&line[1..], b')').ok_or(Fault::Layout)?;
            let (stamp, after) = stamp::seconds(time).or_else(|| stamp::date_and_time(time)).ok_or(Fault::Number)?;
            if !after.is_empty() {
                return Err(Fault::Number);
            }
            after_time(stamp, rest.trim_ascii_start())
        }
        b'0'..=b'9' => numbered(line, payload),
        _ => candump(Stamp::None, line),
    }
}

/// A line that begins with a digit: a date, a time of day, or seconds.
fn numbered<'a>(line: &'a [u8], payload: &mut [u8; LONGEST]) -> Result<Line<'a>, Fault> {
    if let Some((stamp, rest)) = stamp::date_and_time(line) {
        return match rest.strip_prefix(b",") {
            Some(rest) => commas(stamp, rest, payload),
            None if rest.first().is_some_and(u8::is_ascii_whitespace) => after_time(stamp, rest.trim_ascii_start()),
            None => Err(Fault::Layout),
        };
    }
    if let Some((nanos, rest)) = stamp::time(line) {
        return gateway(Stamp::Day(nanos), rest);
    }
    match stamp::seconds(line) {
        Some((stamp, rest)) if rest.first().is_some_and(|letter| b" \t".contains(letter)) => {
            after_time(stamp, rest.trim_ascii_start())
        }
        _ => Err(Fault::Layout),
    }
}

/// What follows a time that says nothing of the layout.
fn after_time(stamp: Stamp, rest: &[u8]) -> Result<Line<'_>, Fault> {
    match rest.first() {
        Some(b'$' | b'!') => Ok(Line::Sentence(stamp, rest)),
        _ => candump(stamp, rest),
    }
}

/// `\g:1-2-34,s:r3,c:1120959341*5D\$...`: `c` is the time in seconds, or thousandths of them.
fn tagged(line: &[u8]) -> Result<Line<'_>, Fault> {
    let (tags, rest) = before(&line[1..], b'\\').ok_or(Fault::Layout)?;
    if !matches!(rest.first(), Some(b'$' | b'!')) {
        return Err(Fault::Layout);
    }
    let tags = before(tags, b'*').map_or(tags, |(tags, _)| tags);
    let time = tags.split(|&letter| letter == b',').find_map(|tag| tag.strip_prefix(b"c:"));
    let stamp = match time {
        Some(time) if time.len() == 13 => {
            let nanos = std::str::from_utf8(time)
                .ok()
                .and_then(|time| time.parse::<i64>().ok())
                .and_then(|millis| millis.checked_mul(1_000_000));
            Stamp::Universal(nanos.ok_or(Fault::Number)?)
        }
        Some(time) => stamp::seconds(time).ok_or(Fault::Number)?.0,
        None => Stamp::None,
    };
    Ok(Line::Sentence(stamp, rest))
}

/// `can0 0CFEF100#F7000004000000FF` or `can0  18EEFF00   [8]  01 00 C0 E8 00 96 64 40`.
fn candump(stamp: Stamp, text: &[u8]) -> Result<Line<'_>, Fault> {
    let (interface, rest) = word(text);
    let (first, mut rest) = word(rest);
    let frame = |id: u32, len: usize, data| {
        let bus = interface.iter().fold(0_u32, |sum, &letter| sum.wrapping_mul(31).wrapping_add(u32::from(letter)));
        Ok(Line::Frame(stamp, Frame { id: id & EXTENDED, len: len as u8, data, bus }))
    };
    let mut data = [0; 8];
    if let Some((id, body)) = before(first, b'#') {
        let number = hex(id).ok_or(Fault::Number)?;
        if id.len() != 8 || number & ERROR_FRAME != 0 || body.first().is_some_and(|letter| b"#Rr".contains(letter)) {
            return Err(Fault::OtherFrame);
        }
        if body.len() > 16 && body.iter().all(u8::is_ascii_hexdigit) {
            return Err(Fault::OtherFrame);
        }
        let len = bytes(body, &mut data).ok_or(Fault::Number)?;
        return frame(number, len, data);
    }
    // Some options put direction and flags before the identifier.
    let (mut id, mut brackets) = (first, word(rest));
    while !brackets.0.starts_with(b"[") && !brackets.0.is_empty() {
        (id, rest) = (brackets.0, brackets.1);
        brackets = word(rest);
    }
    let count = brackets.0.strip_prefix(b"[").and_then(|count| count.strip_suffix(b"]")).ok_or(Fault::Layout)?;
    let (said, number) = (whole(count).ok_or(Fault::Number)?, hex(id).ok_or(Fault::Number)?);
    if id.len() != 8 || number & ERROR_FRAME != 0 || said > 8 {
        return Err(Fault::OtherFrame);
    }
    let mut rest = brackets.1;
    for (sent, place) in data.iter_mut().take(said as usize).enumerate() {
        let (digits, after) = word(rest);
        match digits {
            &[high, low] => *place = byte(high, low).ok_or(Fault::Number)?,
            b"remote" => return Err(Fault::OtherFrame),
            b"" => return Err(Fault::Length { said, are: sent as u32 }),
            _ => return Err(Fault::Number),
        }
        rest = after;
    }
    // Behind it there may be the same as text, in quotation marks.
    let more = word(rest).0;
    if more.len() == 2 && more.iter().all(u8::is_ascii_hexdigit) {
        return Err(Fault::Length { said, are: said + 1 });
    }
    frame(number, said as usize, data)
}

/// `21:55:35.425 R 15FD0723 FF C0 D9 ...`, R received, T sent by the gateway.
fn gateway(stamp: Stamp, rest: &[u8]) -> Result<Line<'_>, Fault> {
    if !rest.first().is_some_and(u8::is_ascii_whitespace) {
        return Err(Fault::Layout);
    }
    let (direction, after) = word(rest);
    if direction != b"R" && direction != b"T" {
        return after_time(stamp, rest.trim_ascii_start());
    }
    let (id, mut rest) = word(after);
    if id.len() > 8 {
        return Err(Fault::Number);
    }
    let id = hex(id).ok_or(Fault::Number)?;
    let (mut data, mut len) = ([0; 8], 0_u8);
    loop {
        let (digits, after) = word(rest);
        match (digits, data.get_mut(usize::from(len))) {
            (b"", _) => return Ok(Line::Frame(stamp, Frame { id: id & EXTENDED, len, data, bus: 0 })),
            (&[high, low], Some(place)) => *place = byte(high, low).ok_or(Fault::Number)?,
            (_, None) => return Err(Fault::OtherFrame),
            _ => return Err(Fault::Number),
        }
        (rest, len) = (after, len + 1);
    }
}

/// `6,127505,114,255,8,50,ff,...`: priority, message, source, destination, how many bytes, the bytes.
fn commas<'a>(stamp: Stamp, text: &[u8], payload: &mut [u8; LONGEST]) -> Result<Line<'a>, Fault> {
    let mut rest = text;
    let mut next = || {
        let (number, after) = before(rest, b',').unwrap_or((rest, b""));
        rest = after;
        number
    };
    let mut number = |most: u32| whole(next()).filter(|&number| number <= most).ok_or(Fault::Number);
    let (priority, pgn) = (number(7)? as u8, number(0x3_FFFF)?);
    let (source, destination, said) = (number(255)? as u8, number(255)? as u8, number(LONGEST as u32)?);
    let mut are = 0;
    while !rest.is_empty() {
        let (digits, after) = before(rest, b',').unwrap_or((rest, b""));
        let value = match *digits {
            [high, low] => byte(high, low),
            [low] => byte(b'0', low),
            _ => None,
        };
        if let Some(place) = payload.get_mut(are) {
            *place = value.ok_or(Fault::Number)?;
        }
        (rest, are) = (after, are + 1);
    }
    if are != said as usize {
        return Err(Fault::Length { said, are: are as u32 });
    }
    Ok(Line::Message(stamp, Identifier { priority, pgn, source, destination }, are))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(line: &str) -> Result<String, Fault> {
        let mut payload = [0; LONGEST];
        let line = read(line.as_bytes(), &mut payload)?;
        Ok(match line {
            Line::Nothing => "nothing".into(),
            Line::Frame(stamp, frame) => format!("{stamp} {:08X} {:02X?}", frame.id, frame.payload()),
            Line::Message(stamp, id, len) => format!("{stamp} {} from {} {:02X?}", id.pgn, id.source, &payload[..len]),
            Line::Sentence(stamp, text) => format!("{stamp} {}", String::from_utf8_lossy(text)),
        })
    }

    #[test]
    fn every_layout_is_read() {
        let frame = "18EEFF00 [01, 00, C0]";
        for (line, expected) in [
            ("  can0  18EEFF00   [3]  01 00 C0", format!(" {frame}")),
            ("  can0  RX - -  18EEFF00   [3]  01 00 C0", format!(" {frame}")),
            (" (1635188455.5)  can0  18EEFF00   [3]  01 00 C0   '...'", format!("2021-10-25T19:00:55.500Z {frame}")),
            ("(1635188455.030900) can0 18EEFF00#0100C0\r", format!("2021-10-25T19:00:55.030900Z {frame}")),
            ("21:55:35.425 R 18EEFF00 01 00 c0", format!("21:55:35.425 {frame}")),
            (
                "2016-02-28T19:57:02Z,6,127505,114,255,3,50,f,7F",
                "2016-02-28T19:57:02Z 127505 from 114 [50, 0F, 7F]".into(),
            ),
            ("$SDDPT,5.3,0.4,*79\r\n", " $SDDPT,5.3,0.4,*79".into()),
            ("2014-08-01T00:00:00.285000Z $INZDA*7E", "2014-08-01T00:00:00.285Z $INZDA*7E".into()),
            ("10:00:01 $INZDA*7E", "10:00:01 $INZDA*7E".into()),
            ("\\s:r3,c:1120959341*5D\\$INZDA*7E", "2005-07-10T01:35:41Z $INZDA*7E".into()),
            ("# a comment", "nothing".into()),
            ("   ", "nothing".into()),
        ] {
            assert_eq!(told(line), Ok(expected), "{line}");
        }
    }

    #[test]
    fn what_is_wrong_with_a_line_is_told() {
        for (line, fault) in [
            ("hello", Fault::Layout),
            ("2014-08-01T00:00:00.435000Z 12.25 19.28 507.5", Fault::Layout),
            ("can0 123#00", Fault::OtherFrame),
            ("can0 18EEFF00#R", Fault::OtherFrame),
            ("can0 18EEFF00##100", Fault::OtherFrame),
            ("can0 18EEFF00#0", Fault::Number),
            ("can0 18EEFF00#0G", Fault::Number),
            ("can0 18EEFF00 [9] 01", Fault::OtherFrame),
            ("can0 18EEFF00 [8] remote request", Fault::OtherFrame),
            ("can0 18EEFF00 [2] 01", Fault::Length { said: 2, are: 1 }),
            ("can0 18EEFF00 [1] 01 02", Fault::Length { said: 1, are: 2 }),
            ("2016-02-28T19:57:02Z,6,127505,114,255,8,50", Fault::Length { said: 8, are: 1 }),
            ("2016-02-28T19:57:02Z,6,127505,114,255,8000,50", Fault::Number),
            ("2016-02-28T19:57:02Z,6,127505,1140,255,1,50", Fault::Number),
            ("21:55:35.425 R 18EEFF00 01 02 03 04 05 06 07 08 09", Fault::OtherFrame),
            ("21:55:35.425 R", Fault::Number),
            ("\\c:9320950959341*5D\\$IIMTW,12,C", Fault::Number),
        ] {
            assert_eq!(told(line), Err(fault), "{line}");
        }
    }
}
