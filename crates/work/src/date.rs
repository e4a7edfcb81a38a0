//! Days of the calendar and times in milliseconds.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp};

/// A day [ms].
pub const DAY: i64 = 86_400_000;

/// The day of a time [ms since 1970, UTC]; nothing beyond the years a calendar has.
pub fn day(time: i64) -> Option<Date> {
    Timestamp::from_millisecond(time).ok().map(|at| at.to_zoned(TimeZone::UTC).date())
}

/// Noon of a day [ms since 1970, UTC]: the day stays the same in nearly every zone.
pub fn noon(date: Date) -> Option<i64> {
    date.at(12, 0, 0, 0).to_zoned(TimeZone::UTC).ok().map(|at| at.timestamp().as_millisecond())
}

/// A day written as "2026-05-01".
pub fn read(text: &str) -> Option<i64> {
    text.trim().parse::<Date>().ok().and_then(noon)
}

/// So many months after a time; part months by thirtieths of a month's days [ms since 1970, UTC].
pub fn months_after(time: i64, months: f64) -> i64 {
    let whole = months.trunc();
    let days = (months - whole) * 30.436_875;
    let moved = Timestamp::from_millisecond(time).ok().and_then(|at| {
        let span = Span::new().try_months(whole as i64).ok()?;
        at.to_zoned(TimeZone::UTC).checked_add(span).ok()
    });
    moved.map_or(time, |at| at.timestamp().as_millisecond()) + (days * DAY as f64) as i64
}

/// "14 May 2026"; the number itself where no calendar has it.
pub fn words(time: i64) -> String {
    day(time).map_or_else(|| time.to_string(), |date| date.strftime("%-d %b %Y").to_string())
}

/// "2026-05-14".
pub fn iso(time: i64) -> String {
    day(time).map_or_else(|| time.to_string(), |date| date.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_go_by_the_calendar_and_stop_at_its_last_day() {
        let time = read("2025-01-31").expect("a day");
        // ISO 8601 leaves the last day of a shorter month to convention: the 28th.
        assert_eq!(iso(months_after(time, 1.0)), "2025-02-28");
        assert_eq!(iso(months_after(time, 12.0)), "2026-01-31");
        assert_eq!(iso(months_after(time, 1.5)), "2025-03-15");
        assert_eq!(words(time), "31 Jan 2025");
        assert_eq!((read("31.1.2025"), read("2025-02-30")), (None, None));
    }
}
