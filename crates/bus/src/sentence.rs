//! A sentence of NMEA 0183: its letters checked, its fields read.

use crate::heard::{Absent, Fault, Heading, Listener, Reading};
use crate::stamp::days;
use crate::table::{Column, Form, Sentence};
use crate::text::{byte, decimal};

/// More fields than any sentence has; what comes behind them is left out.
const MOST: usize = 64;

/// What stands between `$` and `*`, if its checksum is right, or it has none: it was not asked for at first.
pub fn checked(text: &[u8]) -> Result<&[u8], Fault> {
    let body = text.get(1..).unwrap_or_default();
    let Some(star) = body.iter().rposition(|&letter| letter == b'*') else { return Ok(body) };
    let (body, check) = (&body[..star], &body[star + 1..]);
    let said = match *check.trim_ascii_end() {
        [high, low] => byte(high, low).ok_or(Fault::Number)?,
        _ => return Err(Fault::Number),
    };
    let is = body.iter().fold(0, |sum, letter| sum ^ letter);
    if said == is { Ok(body) } else { Err(Fault::Checksum { said, is }) }
}

/// The fields of a sentence, the first being its name.
pub struct Fields<'a> {
    texts: [&'a [u8]; MOST],
    count: usize,
}

impl<'a> Fields<'a> {
    pub fn of(body: &'a [u8]) -> Fields<'a> {
        let mut fields = Fields { texts: [b""; MOST], count: 0 };
        for (place, text) in fields.texts.iter_mut().zip(body.split(|&letter| letter == b',')) {
            *place = text.trim_ascii();
            fields.count += 1;
        }
        fields
    }

    /// The field at a place, 0 being the name; nothing behind the last.
    pub fn get(&self, place: usize) -> Option<&'a [u8]> {
        self.texts[..self.count].get(place).copied()
    }
}

/// Tells what the table's columns say of the fields.
pub fn read(mut heading: Heading, sentence: &'static Sentence, fields: &Fields<'_>, listener: &mut impl Listener) {
    let columns = sentence.columns;
    let mut readings: [Option<Reading>; MOST] = [None; MOST];
    let (mut place, mut valid_from) = (1, 0);
    for (index, column) in columns.iter().enumerate() {
        match column.read(fields, place) {
            Ok(reading) => readings[index] = Some(reading),
            Err(()) => listener.fault(heading.line, Fault::Field { place: place as u8 }),
        }
        place += column.form.width();
    }
    for (index, column) in columns.iter().enumerate() {
        let Form::Valid { each } = column.form else { continue };
        if readings[index] == Some(Reading::Letter('V')) {
            let upto = if each { index } else { columns.len() };
            let of = columns[..upto].iter().zip(&mut readings).skip(if each { valid_from } else { 0 });
            // What time it is holds whatever else does not.
            of.filter(|(column, _)| !matches!(column.form, Form::Time | Form::Date)).for_each(|(_, r)| void_it(r));
        }
        valid_from = index + 1;
    }
    let number = |index: Option<usize>| match readings[index?]? {
        Reading::Value(value) if value >= 0.0 => Some(value as u32),
        Reading::Letter(letter) => Some(u32::from(letter)),
        _ => None,
    };
    (heading.instance, heading.kind) = (number(sentence.instance), number(sentence.kind));
    for (column, reading) in columns.iter().zip(readings) {
        if let Some(reading) = reading {
            listener.value(&heading, &column.field, reading);
        }
    }
}

fn void_it(reading: &mut Option<Reading>) {
    if let Some(Reading::Value(_)) = reading {
        *reading = Some(Reading::Absent(Absent::Void));
    }
}

impl Form {
    /// How many fields it takes.
    fn width(&self) -> usize {
        match self {
            Form::Lettered(_) | Form::Signed { .. } | Form::Units(_) | Form::Position { .. } => 2,
            Form::Number | Form::Time | Form::Date | Form::Letter | Form::Valid { .. } => 1,
        }
    }
}

impl Column {
    /// What stands at a place; an error if it is not what belongs there.
    fn read(&self, fields: &Fields<'_>, place: usize) -> Result<Reading, ()> {
        let Some(text) = fields.get(place) else { return Ok(Reading::Absent(Absent::NotSent)) };
        if text.is_empty() {
            return Ok(Reading::Absent(Absent::NotAvailable));
        }
        let letter = fields.get(place + 1).filter(|letter| !letter.is_empty());
        let letter = || match letter {
            None => Ok(None),
            Some(&[letter]) => Ok(Some(char::from(letter))),
            Some(_) => Err(()),
        };
        let scaled = |value: f64| Ok(Reading::Value(value * self.scale + self.offset));
        let number = || decimal(text).ok_or(());
        match self.form {
            Form::Number => scaled(number()?),
            Form::Lettered(wanted) => match letter()? {
                Some(other) if other != wanted => Err(()),
                _ => scaled(number()?),
            },
            Form::Signed { plus, minus } => scaled(signed(number()?, letter()?, plus, minus)?),
            Form::Units(units) => {
                let letter = letter()?;
                let &(_, scale, offset) = units.iter().find(|(unit, ..)| Some(*unit) == letter).ok_or(())?;
                Ok(Reading::Value(number()? * scale + offset))
            }
            Form::Time => scaled(time(text).ok_or(())?),
            Form::Date => scaled(date(text).ok_or(())?),
            Form::Position { plus, minus } => {
                let degrees = degrees(number()?).filter(|&degrees| degrees <= if plus == 'N' { 90.0 } else { 180.0 });
                scaled(signed(degrees.ok_or(())?, letter()?, plus, minus)?)
            }
            Form::Letter | Form::Valid { .. } => match text {
                &[letter] if letter.is_ascii_graphic() => Ok(Reading::Letter(char::from(letter))),
                _ => Err(()),
            },
        }
    }
}

/// A number without its letter is of no use: it may go either way.
fn signed(value: f64, letter: Option<char>, plus: char, minus: char) -> Result<f64, ()> {
    match letter {
        Some(letter) if letter == plus => Ok(value),
        Some(letter) if letter == minus => Ok(-value),
        _ => Err(()),
    }
}

/// hhmmss.ss [s].
fn time(text: &[u8]) -> Option<f64> {
    let value = decimal(text).filter(|value| (0.0..240_000.0).contains(value))?;
    let (hours, minutes) = ((value / 1e4).floor(), (value / 100.0).floor() % 100.0);
    let seconds = value - (hours * 1e4 + minutes * 100.0);
    (minutes < 60.0 && seconds < 61.0).then_some(hours * 3600.0 + minutes * 60.0 + seconds)
}

/// ddmmyy [d since 1970]; two digits of a year reach from 1970 to 2069.
fn date(text: &[u8]) -> Option<f64> {
    let number = crate::text::whole(text).filter(|_| text.len() == 6)?;
    let (day, month, year) = (number / 10_000, number / 100 % 100, number % 100);
    let year = year + if year < 70 { 2000 } else { 1900 };
    days(year.into(), month.into(), day.into()).map(|days| days as f64)
}

/// dddmm.mmm [°].
fn degrees(value: f64) -> Option<f64> {
    let whole = (value / 100.0).floor();
    let minutes = value - whole * 100.0;
    (value >= 0.0 && minutes < 60.0).then_some(whole + minutes / 60.0)
}
