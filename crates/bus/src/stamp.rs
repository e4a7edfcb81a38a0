//! When something was heard, as the recording says.

/// A time of a line.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Default)]
pub enum Stamp {
    /// The recording has none.
    #[default]
    None,
    /// Time of day; which day is not told [ns since midnight].
    Day(i64),
    /// Universal time [ns since the beginning of 1970].
    Universal(i64),
}

const SECOND: i64 = 1_000_000_000;

impl Stamp {
    /// This one, or else that.
    pub(crate) fn or(self, other: Stamp) -> Stamp {
        if self == Stamp::None { other } else { self }
    }

    /// From this one to a later one [ns]; nothing where they cannot be compared.
    pub(crate) fn until(self, later: Stamp) -> Option<i64> {
        match (self, later) {
            (Stamp::Day(a), Stamp::Day(b)) | (Stamp::Universal(a), Stamp::Universal(b)) => b.checked_sub(a),
            _ => None,
        }
    }

    /// Reads a date and time, as `2026-07-02T06:01:33.004Z` or with an offset from universal time; nothing where something
    /// else follows.
    pub fn parse(text: &str) -> Option<Stamp> {
        date_and_time(text.trim().as_bytes()).filter(|(_, rest)| rest.is_empty()).map(|(stamp, _)| stamp)
    }

    /// Seconds since 1970, or since midnight [s].
    pub fn seconds(self) -> Option<f64> {
        match self {
            Stamp::None => None,
            Stamp::Day(nanos) | Stamp::Universal(nanos) => Some(nanos as f64 / SECOND as f64),
        }
    }
}

impl std::fmt::Display for Stamp {
    /// `2026-07-02T06:01:33.004Z`, `21:55:35.425`, or nothing; as many decimals as are needed.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let nanos = match *self {
            Stamp::None => return Ok(()),
            Stamp::Day(nanos) => nanos,
            Stamp::Universal(nanos) => {
                let (year, month, day) = civil(nanos.div_euclid(86400 * SECOND));
                write!(f, "{year:04}-{month:02}-{day:02}T")?;
                nanos
            }
        };
        let (seconds, rest) = (nanos.div_euclid(SECOND).rem_euclid(86400), nanos.rem_euclid(SECOND));
        write!(f, "{:02}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)?;
        match rest {
            0 => {}
            _ if rest % 1_000_000 == 0 => write!(f, ".{:03}", rest / 1_000_000)?,
            _ if rest % 1000 == 0 => write!(f, ".{:06}", rest / 1000)?,
            _ => write!(f, ".{rest:09}")?,
        }
        f.write_str(if matches!(self, Stamp::Universal(_)) { "Z" } else { "" })
    }
}

/// Days since the beginning of 1970 of a date; nothing for one that is in no calendar, or in another century (a billionth
/// of a second is counted until 2262).
pub(crate) fn days(year: i64, month: i64, day: i64) -> Option<i64> {
    if !(1..=12).contains(&month) || day < 1 || day > length(year, month) || !(1900..=2200).contains(&year) {
        return None;
    }
    // Years that begin in March have their leap day last; 719468 days lead from such a year 0 to 1970.
    let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    Some(
        365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400) + (153 * month + 2) / 5 + day
            - 1
            - 719_468,
    )
}

fn length(year: i64, month: i64) -> i64 {
    match month {
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Year, month and day of a number of days since 1970.
fn civil(days: i64) -> (i64, i64, i64) {
    // A guess that is never late, then forward; a year has at most 366 days.
    let mut year = 1970 + days.div_euclid(366) - i64::from(days < 0);
    let begins = |year: i64| {
        let before = year - 1;
        365 * (year - 1970) + before.div_euclid(4) - before.div_euclid(100) + before.div_euclid(400) - 477
    };
    while begins(year + 1) <= days {
        year += 1;
    }
    let (mut month, mut rest) = (1, days - begins(year));
    while rest >= length(year, month) {
        rest -= length(year, month);
        month += 1;
    }
    (year, month, rest + 1)
}

/// A date and time at the head of a text, and what follows: `2016-02-28T19:57:02.364Z`, also with a space, a hyphen or a
/// `Z` between the two, without decimals, and with an offset from universal time.
pub(crate) fn date_and_time(text: &[u8]) -> Option<(Stamp, &[u8])> {
    let (year, rest) = digits(text, 4)?;
    let (month, rest) = digits(rest.strip_prefix(b"-")?, 2)?;
    let (day, rest) = digits(rest.strip_prefix(b"-")?, 2)?;
    let (between, rest) = rest.split_first()?;
    if !b"T Z-".contains(between) {
        return None;
    }
    let (nanos, rest) = time(rest)?;
    let (ahead, rest) = match rest.split_first() {
        Some((b'Z', rest)) => (0, rest),
        Some((sign @ (b'+' | b'-'), after)) => {
            let (hours, after) = digits(after, 2)?;
            let after = after.strip_prefix(b":").unwrap_or(after);
            let (minutes, after) = digits(after, 2).unwrap_or((0, after));
            let offset = (hours * 60 + minutes) * 60 * SECOND;
            (if *sign == b'+' { offset } else { -offset }, after)
        }
        _ => (0, rest),
    };
    Some((Stamp::Universal(days(year, month, day)? * 86400 * SECOND + nanos - ahead), rest))
}

/// A time of day at the head of a text [ns since midnight], and what follows: `21:55:35.425`.
pub(crate) fn time(text: &[u8]) -> Option<(i64, &[u8])> {
    let (hours, rest) = digits(text, 2)?;
    let (minutes, rest) = digits(rest.strip_prefix(b":")?, 2)?;
    let (seconds, rest) = digits(rest.strip_prefix(b":")?, 2)?;
    if hours > 23 || minutes > 59 || seconds > 60 {
        return None;
    }
    let (nanos, rest) = decimals(rest);
    Some((((hours * 60 + minutes) * 60 + seconds) * SECOND + nanos, rest))
}

/// Seconds since 1970 at the head of a text, as `1635188455.030900`, and what follows.
pub(crate) fn seconds(text: &[u8]) -> Option<(Stamp, &[u8])> {
    let end = text.iter().position(|letter| !letter.is_ascii_digit()).unwrap_or(text.len());
    // Ten digits last until the year 2286; more overflow nothing up to eighteen.
    if end == 0 || end > 10 {
        return None;
    }
    let (whole, rest) = digits(text, end)?;
    let (nanos, rest) = decimals(rest);
    Some((Stamp::Universal(whole.checked_mul(SECOND)?.checked_add(nanos)?), rest))
}

/// Exactly so many digits.
fn digits(text: &[u8], count: usize) -> Option<(i64, &[u8])> {
    let (head, rest) = text.split_at_checked(count)?;
    let number = head
        .iter()
        .try_fold(0_i64, |number, digit| digit.is_ascii_digit().then(|| number * 10 + i64::from(digit - b'0')))?;
    Some((number, rest))
}

/// What stands after a point, to a billionth.
fn decimals(text: &[u8]) -> (i64, &[u8]) {
    let Some(rest) = text.strip_prefix(b".") else { return (0, text) };
    let end = rest.iter().position(|letter| !letter.is_ascii_digit()).unwrap_or(rest.len());
    let mut nanos = 0;
    for place in 0..9 {
        nanos = nanos * 10 + rest[..end].get(place).map_or(0, |digit| i64::from(digit - b'0'));
    }
    (nanos, &rest[end..])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> String {
        date_and_time(text.as_bytes()).map_or("-".into(), |(stamp, _)| stamp.to_string())
    }

    #[test]
    fn dates_are_read_in_every_common_form() {
        assert_eq!(read("2016-02-28T19:57:02.364Z"), "2016-02-28T19:57:02.364Z");
        assert_eq!(read("2016-02-29 19:57:02"), "2016-02-29T19:57:02Z");
        assert_eq!(read("2009-06-18Z09:46:01.129"), "2009-06-18T09:46:01.129Z");
        assert_eq!(read("2026-07-26T12:55:52.549432738-07:00"), "2026-07-26T19:55:52.549432738Z");
        assert_eq!(read("2026-12-31T23:30:00+0930"), "2026-12-31T14:00:00Z");
        for wrong in
            ["2015-02-29T00:00:00Z", "2016-13-01T00:00:00Z", "2016-01-01T24:00:00Z", "2016-1-1T00:00:00", "", "2016"]
        {
            assert_eq!(read(wrong), "-", "{wrong}");
        }
    }

    #[test]
    fn days_and_dates_agree_over_three_centuries() {
        let mut expected = days(1900, 1, 1).unwrap();
        for year in 1900..=2200 {
            for month in 1..=12 {
                for day in 1..=length(year, month) {
                    assert_eq!(days(year, month, day), Some(expected));
                    assert_eq!(civil(expected), (year, month, day));
                    expected += 1;
                }
            }
        }
        // The standard Unix moment of a billion seconds was 2001-09-09.
        assert_eq!(civil(1_000_000_000 / 86400), (2001, 9, 9));
    }

    #[test]
    fn seconds_since_1970_are_read() {
        let (stamp, rest) = seconds(b"1635188455.030900) can0").unwrap();
        assert_eq!((stamp.to_string().as_str(), rest), ("2021-10-25T19:00:55.030900Z", &b") can0"[..]));
        assert!(seconds(b"99999999999.0").is_none() && seconds(b".5").is_none());
    }
}
