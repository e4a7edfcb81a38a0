//! Readings of transducers: the sentence `XDR`, four fields each, over and over.

use crate::heard::{Absent, Fault, Heading, Listener, Reading};
use crate::sentence::Fields;
use crate::table::{Field, TRANSDUCERS};
use crate::text::{decimal, whole};

/// Tells type, value, unit and name, over and over; the number behind `#` in a name is the instance, the letter of its type
/// the kind.
pub fn read(mut heading: Heading, fields: &Fields<'_>, listener: &mut impl Listener) {
    let mut place = 1;
    while let (Some(sort), Some(value)) = (fields.get(place), fields.get(place + 1)) {
        let letter = fields.get(place + 2).unwrap_or_default();
        let name = fields.get(place + 3).unwrap_or_default();
        match one(sort, value, letter, name) {
            Ok((instance, kind, field, reading)) => {
                (heading.instance, heading.kind) = (instance, kind);
                listener.value(&heading, &field, reading);
            }
            Err(offset) => listener.fault(heading.line, Fault::Field { place: (place + offset) as u8 }),
        }
        place += 4;
    }
}

type One<'a> = (Option<u32>, Option<u32>, Field<'a>, Reading);

/// One reading, or which of its four fields is wrong.
fn one<'a>(sort: &'a [u8], value: &[u8], letter: &'a [u8], name: &'a [u8]) -> Result<One<'a>, usize> {
    let text = |bytes: &'a [u8]| {
        let plain = bytes.iter().all(|letter| letter.is_ascii_graphic() || *letter == b' ');
        std::str::from_utf8(bytes).ok().filter(|_| plain)
    };
    let (sort, letter, name) = (text(sort).ok_or(0_usize)?, text(letter).ok_or(2_usize)?, text(name).ok_or(3_usize)?);
    let meant = TRANSDUCERS.iter().find(|row| row.sort == sort && row.letter == letter);
    let (name, instance) = match name.rsplit_once('#') {
        Some((name, number)) if !name.is_empty() => match whole(number.as_bytes()) {
            Some(number) => (name, Some(number)),
            None => (name, None),
        },
        _ => (name, None),
    };
    let field = Field {
        name: if name.is_empty() { "unnamed" } else { name },
        quantity: meant.and_then(|row| row.quantity),
        unit: meant.map_or(letter, |row| row.unit),
        list: None,
    };
    let reading = if value.is_empty() {
        Reading::Absent(Absent::NotAvailable)
    } else {
        let value = decimal(value).ok_or(1_usize)?;
        Reading::Value(meant.map_or(value, |row| value * row.scale + row.offset))
    };
    Ok((instance, sort.chars().next().map(u32::from), field, reading))
}
