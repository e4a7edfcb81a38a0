//! Times as people and machines write them.
//!
//! # Source
//! ISO 8601-1:2019 (calendar date, time of day, offset, basic and extended), RFC 3339 §5.6 (a blank for the `T`); midnight
//! as `24:00` by ISO 8601:2004 4.2.3. Day and month before the year, and seconds since 1970, are common practice.

/// Which comes first in `03/04/2026`.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Order {
    /// 3 April.
    DayFirst,
    /// 4 March.
    MonthFirst,
}

/// What a text says of a time.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Moment {
    /// Universal time [ms since 1970].
    Universal(i64),
    /// With its offset: universal time [ms since 1970], and how far ahead the clock was [s].
    Offset(i64, i32),
    /// A clock's date and time, without a zone [ms since 1970 on that clock].
    Local(i64),
    /// A time of day alone [ms since midnight].
    Day(i64),
    /// A date alone [ms since 1970 on its clock].
    Date(i64),
}

/// Why a text is no time.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum NoMoment {
    /// It is none.
    NoTime,
    /// Day and month could be either way round.
    Ambiguous,
}

const SECOND: i64 = 1000;
const MINUTE: i64 = 60 * SECOND;
const HOUR: i64 = 60 * MINUTE;
pub(crate) const DAY: i64 = 24 * HOUR;

/// Reads a date, a time of day, both, or seconds, milliseconds, microseconds or nanoseconds since 1970.
///
/// # Errors
/// [`NoMoment`]; day and month are ambiguous only if `order` is not told and both are twelve at most and differ.
pub fn read(text: &[u8], order: Option<Order>) -> Result<Moment, NoMoment> {
    let text = text.trim_ascii();
    if let Some(moment) = since_1970(text) {
        return Ok(moment);
    }
    let Some((date, rest)) = date(text, order)? else {
        let (time, rest) = time(text).ok_or(NoMoment::NoTime)?;
        return rest.is_empty().then_some(Moment::Day(time)).ok_or(NoMoment::NoTime);
    };
    if rest.is_empty() {
        return Ok(Moment::Date(date));
    }
    // Something stands between date and time, but for fourteen digits in a row.
    let run = text.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let after = match rest {
        [b'T' | b't' | b'_' | b'-', after @ ..] => after,
        [b',' | b' ', after @ ..] => after.trim_ascii_start(),
        digits if run == 12 || run == 14 => digits,
        _ => return Err(NoMoment::NoTime),
    };
    let (time, zone) = time(after).ok_or(NoMoment::NoTime)?;
    let local = date + time;
    match zone {
        b"" => Ok(Moment::Local(local)),
        zone => match offset(zone).ok_or(NoMoment::NoTime)? {
            0 => Ok(Moment::Universal(local)),
            ahead => Ok(Moment::Offset(local - i64::from(ahead) * SECOND, ahead)),
        },
    }
}

/// An offset from universal time [s]: `Z`, `UTC`, `GMT`, `+02:00`, `-0330`, `+2`.
pub fn offset(text: &[u8]) -> Option<i32> {
    let text = text.trim_ascii();
    if text.eq_ignore_ascii_case(b"z") || text.eq_ignore_ascii_case(b"utc") || text.eq_ignore_ascii_case(b"gmt") {
        return Some(0);
    }
    let named = text.get(..3).filter(|name| name.eq_ignore_ascii_case(b"utc") || name.eq_ignore_ascii_case(b"gmt"));
    let text = if named.is_some() { &text[3..] } else { text };
    let (sign, digits) = match text.split_first()? {
        (b'+', digits) => (1, digits),
        (b'-', digits) => (-1, digits),
        _ => return text.strip_prefix("−".as_bytes()).and_then(|digits| Some(-hours_and_minutes(digits)?)),
    };
    Some(sign * hours_and_minutes(digits)?)
}

fn hours_and_minutes(text: &[u8]) -> Option<i32> {
    let (hours, rest) = number(text, 1, 2)?;
    let (minutes, rest) = match rest {
        b"" => (0, rest),
        [b':', minutes @ ..] | minutes => number(minutes, 2, 2)?,
    };
    // Clocks go from twelve hours behind to fourteen ahead.
    (rest.is_empty() && hours <= 14 && minutes < 60).then_some((hours * 3600 + minutes * 60) as i32)
}

/// Seconds or less since 1970, told apart by how many digits they have: ten are seconds until 2286, thirteen their
/// thousandths. A date of eight digits and one with its time of fourteen are no such count.
fn since_1970(text: &[u8]) -> Option<Moment> {
    let end = text.iter().position(|byte| !byte.is_ascii_digit()).unwrap_or(text.len());
    let (whole, rest) = text.split_at(end);
    let fraction = match rest.split_first() {
        None => &[][..],
        Some((b'.' | b',', digits)) if digits.iter().all(u8::is_ascii_digit) => digits,
        _ => return None,
    };
    let (count, _) = number(whole, 9, 19)?;
    // Units in a second.
    let unit = match end {
        9 | 10 => 1,
        13 => 1000,
        16 => 1_000_000,
        19 => 1_000_000_000,
        _ => return None,
    };
    let thousandths = if unit == 1 {
        let thousandth = fraction.iter().copied().chain([b'0'; 3]).take(3);
        count * 1000 + thousandth.fold(0, |sum, digit| sum * 10 + i64::from(digit - b'0'))
    } else {
        count / (unit / 1000)
    };
    Some(Moment::Universal(thousandths))
}

/// Day and month as they stand before the year, if they do: to find out which is which.
pub(crate) fn slashed(text: &[u8]) -> Option<(i64, i64)> {
    let (first, rest) = number(text.trim_ascii_start(), 1, 2)?;
    let (separator, rest) = rest.split_first().filter(|(byte, _)| matches!(byte, b'/' | b'-'))?;
    let (second, rest) = number(rest, 1, 2)?;
    let (again, year) = rest.split_first()?;
    (again == separator && year.first().is_some_and(u8::is_ascii_digit)).then_some((first, second))
}

type Dated<'a> = Option<(i64, &'a [u8])>;

/// A date at the head of a text [ms since 1970], and what follows.
fn date(text: &[u8], order: Option<Order>) -> Result<Dated<'_>, NoMoment> {
    let digits = text.iter().position(|byte| !byte.is_ascii_digit()).unwrap_or(text.len());
    let head = |length: usize| number(text, length, length);
    match digits {
        4 => Ok(year_first(text)),
        // Basic: 20260702, 20260702081500.
        8 | 12 | 14 => {
            let parts = head(4).and_then(|(year, rest)| {
                let (month, rest) = number(rest, 2, 2)?;
                let (day, rest) = number(rest, 2, 2)?;
                Some((civil(year, month, day)?, rest))
            });
            Ok(parts)
        }
        1 | 2 => year_last(text, order),
        _ => Ok(None),
    }
}

/// 2026-07-02, 2026/7/2, 2026.07.02.
fn year_first(text: &[u8]) -> Dated<'_> {
    let (year, rest) = number(text, 4, 4)?;
    let (separator, rest) = rest.split_first().filter(|(byte, _)| matches!(byte, b'-' | b'/' | b'.'))?;
    let (month, rest) = number(rest, 1, 2)?;
    let (day, rest) = number(rest.strip_prefix(&[*separator])?, 1, 2)?;
    Some((civil(year, month, day)?, rest))
}

/// 2.7.2026, 02/07/26, 7/2/2026, 2-Jul-2026.
fn year_last(text: &[u8], order: Option<Order>) -> Result<Dated<'_>, NoMoment> {
    let parts = || {
        let (first, rest) = number(text, 1, 2)?;
        let (separator, rest) = rest.split_first().filter(|(byte, _)| matches!(byte, b'.' | b'/' | b'-' | b' '))?;
        let (second, named, rest) = match month_named(rest) {
            Some((month, rest)) => (month, true, rest),
            None => number(rest, 1, 2).filter(|_| *separator != b' ').map(|(number, rest)| (number, false, rest))?,
        };
        let (year, rest) = number(rest.strip_prefix(&[*separator])?, 2, 4)?;
        Some((first, *separator, second, named, if year < 100 { 2000 + year } else { year }, rest))
    };
    let Some((first, separator, second, named, year, rest)) = parts() else { return Ok(None) };
    let day_first = match order {
        _ if separator == b'.' || named || first > 12 || first == second => true,
        _ if second > 12 => false,
        Some(order) => order == Order::DayFirst,
        None => return Err(NoMoment::Ambiguous),
    };
    // Told one way and written the other: a slip, and not to be guessed at.
    let contrary = order.is_some_and(|order| (order == Order::DayFirst) != day_first);
    if contrary && separator != b'.' && !named && first != second {
        return Ok(None);
    }
    let (day, month) = if day_first { (first, second) } else { (second, first) };
    Ok(civil(year, month, day).map(|date| (date, rest)))
}

fn month_named(text: &[u8]) -> Option<(i64, &[u8])> {
    const NAMES: [&[u8]; 12] =
        [b"jan", b"feb", b"mar", b"apr", b"may", b"jun", b"jul", b"aug", b"sep", b"oct", b"nov", b"dec"];
    let name = text.get(..3)?;
    let month = NAMES.iter().position(|known| known.eq_ignore_ascii_case(name))?;
    Some((i64::try_from(month).ok()? + 1, &text[3..]))
}

/// The beginning of a day [ms since 1970], of years that clocks show.
fn civil(year: i64, month: i64, day: i64) -> Option<i64> {
    if !(1900..=2200).contains(&year) {
        return None;
    }
    let date = jiff::civil::Date::new(year as i16, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()?;
    let start = jiff::tz::Offset::UTC.to_timestamp(date.at(0, 0, 0, 0)).ok()?;
    Some(start.as_millisecond())
}

/// A time of day at the head of a text [ms since midnight], and what follows: 8:15, 08:15:30.250, 8:15 pm, 0815.
fn time(text: &[u8]) -> Option<(i64, &[u8])> {
    let digits = text.iter().position(|byte| !byte.is_ascii_digit()).unwrap_or(text.len());
    let (hours, minutes, rest, colon) = match digits {
        1 | 2 => {
            let (hours, rest) = number(text, 1, 2)?;
            let (minutes, rest) = number(rest.strip_prefix(b":")?, 2, 2)?;
            (hours, minutes, rest, true)
        }
        4 | 6 => {
            let (hours, rest) = number(text, 2, 2)?;
            let (minutes, rest) = number(rest, 2, 2)?;
            (hours, minutes, rest, false)
        }
        _ => return None,
    };
    let (seconds, rest) = match rest.split_first() {
        Some((b':', seconds)) if colon => number(seconds, 2, 2)?,
        _ if digits == 6 => number(rest, 2, 2)?,
        _ => (0, rest),
    };
    let (thousandths, rest) = thousandths(rest);
    let rest = rest.trim_ascii();
    let (hours, rest) = match half_of_day(rest) {
        Some(_) if !(1..=12).contains(&hours) => return None,
        Some((afternoon, rest)) => (hours % 12 + if afternoon { 12 } else { 0 }, rest),
        None => (hours, rest),
    };
    let whole = hours < 24 && minutes < 60 && seconds <= 60;
    let midnight = (hours, minutes, seconds, thousandths) == (24, 0, 0, 0);
    let time = hours * HOUR + minutes * MINUTE + seconds * SECOND + thousandths;
    (whole || midnight).then_some((time, rest))
}

/// Whether it says before or after noon, and what follows.
fn half_of_day(text: &[u8]) -> Option<(bool, &[u8])> {
    for (word, afternoon) in [("am", false), ("pm", true), ("a.m.", false), ("p.m.", true)] {
        if text.get(..word.len()).is_some_and(|head| head.eq_ignore_ascii_case(word.as_bytes())) {
            return Some((afternoon, text[word.len()..].trim_ascii_start()));
        }
    }
    None
}

/// Decimals of a second after a point or comma, to a thousandth, and what follows.
fn thousandths(text: &[u8]) -> (i64, &[u8]) {
    let Some(rest) = text.strip_prefix(b".").or(text.strip_prefix(b",")) else { return (0, text) };
    let end = rest.iter().position(|byte| !byte.is_ascii_digit()).unwrap_or(rest.len());
    if end == 0 {
        return (0, text);
    }
    let digits = rest[..end].iter().copied().chain([b'0'; 3]).take(3);
    (digits.fold(0, |sum, digit| sum * 10 + i64::from(digit - b'0')), &rest[end..])
}

/// A number of at least `least` and at most `most` digits at the head of a text, and what follows.
fn number(text: &[u8], least: usize, most: usize) -> Option<(i64, &[u8])> {
    let end = text.iter().take(most).position(|byte| !byte.is_ascii_digit()).unwrap_or(text.len().min(most));
    if end < least {
        return None;
    }
    let (digits, rest) = text.split_at(end);
    let value =
        digits.iter().try_fold(0_i64, |sum, digit| sum.checked_mul(10)?.checked_add(i64::from(digit - b'0')))?;
    Some((value, rest))
}

#[cfg(test)]
mod tests {
    use super::*;
    use Moment::*;

    /// 2 July 2026, by `date -u -d 2026-07-02 +%s`.
    const SECOND_OF_JULY: i64 = 1_782_950_400_000;
    const QUARTER_PAST_EIGHT: i64 = SECOND_OF_JULY + 8 * HOUR + 15 * MINUTE;

    fn read(text: &str) -> Result<Moment, NoMoment> {
        super::read(text.as_bytes(), None)
    }

    #[test]
    fn iso_8601_and_rfc_3339_are_read() {
        for (text, moment) in [
            ("2026-07-02T08:15:00Z", Universal(QUARTER_PAST_EIGHT)),
            ("2026-07-02 08:15Z", Universal(QUARTER_PAST_EIGHT)),
            ("20260702T081500Z", Universal(QUARTER_PAST_EIGHT)),
            ("2026-07-02T08:15:00.25", Local(QUARTER_PAST_EIGHT + 250)),
            ("2026-07-02T08:15:00,2509", Local(QUARTER_PAST_EIGHT + 250)),
            ("2026-07-02T10:15:00+02:00", Offset(QUARTER_PAST_EIGHT, 7200)),
            ("2026-07-02T04:45:00-0330", Offset(QUARTER_PAST_EIGHT, -12600)),
            ("20260702081500", Local(QUARTER_PAST_EIGHT)),
            ("2026-07-01T24:00:00", Local(SECOND_OF_JULY)),
            ("2026-07-02", Date(SECOND_OF_JULY)),
            ("20260702", Date(SECOND_OF_JULY)),
            ("08:15", Day(8 * HOUR + 15 * MINUTE)),
            // The examples of RFC 3339 §5.8; 23:59:60 is the second before midnight and a second more.
            ("1985-04-12T23:20:50.52Z", Universal(482_196_050_520)),
            ("1996-12-19T16:39:57-08:00", Offset(851_042_397_000, -28800)),
            ("1990-12-31T23:59:60Z", Universal(662_688_000_000)),
        ] {
            assert_eq!(read(text), Ok(moment), "{text}");
        }
    }

    #[test]
    fn other_ways_to_write_it_are_read() {
        for text in [
            "2.7.2026 8:15",
            "02.07.26 08:15:00",
            "2026/07/02 08:15",
            "2-Jul-2026 8:15 am",
            "02-jul-26 08:15",
            "2026-07-02_08:15",
            "2026-07-02, 0815",
            "15/07/2026 08:15",
        ] {
            let expected = match text {
                "15/07/2026 08:15" => Ok(Local(QUARTER_PAST_EIGHT + 13 * DAY)),
                _ => Ok(Local(QUARTER_PAST_EIGHT)),
            };
            assert_eq!(read(text), expected, "{text}");
        }
        assert_eq!(read("7/15/2026 8:15 PM"), Ok(Local(QUARTER_PAST_EIGHT + 13 * DAY + 12 * HOUR)));
        assert_eq!(read("12:00 am"), Ok(Day(0)));
        for count in ["1782980100", "1782980100.000", "1782980100000", "1782980100000000", "1782980100000000000"] {
            assert_eq!(read(count), Ok(Universal(QUARTER_PAST_EIGHT)), "{count}");
        }
    }

    #[test]
    fn what_can_be_read_two_ways_is_not_guessed_at() {
        assert_eq!(read("03/04/2026 08:00"), Err(NoMoment::Ambiguous));
        assert_eq!(read("04/04/2026"), Ok(Date(SECOND_OF_JULY - 89 * DAY)));
        let third = super::read(b"03/04/2026", Some(Order::DayFirst));
        let fourth = super::read(b"03/04/2026", Some(Order::MonthFirst));
        assert_eq!((third, fourth), (Ok(Date(SECOND_OF_JULY - 90 * DAY)), Ok(Date(SECOND_OF_JULY - 120 * DAY))));
        assert_eq!(super::read(b"13/04/2026", Some(Order::MonthFirst)), Err(NoMoment::NoTime));
    }

    #[test]
    fn what_is_no_time_is_none() {
        for text in [
            "",
            "x",
            "78.3",
            "12345678",
            "2026-02-29 08:00",
            "2026-13-01",
            "2026-07-02 24:01",
            "2026-07-02 8:15:61",
            "2026-07-02T08:15+15:00",
            "2026-07-0208:15",
            "13:00 pm",
            "99999999999999999999",
            "2026-07-02 08:15 CET",
        ] {
            assert_eq!(read(text), Err(NoMoment::NoTime), "{text}");
        }
    }
}
