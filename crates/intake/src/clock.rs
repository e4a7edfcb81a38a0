//! From what a line says of its time to universal time.

use crate::fault::Fault;
use crate::lines::shown;
use crate::moment::{DAY, Moment, NoMoment, Order, offset, read};
use jiff::Timestamp;
use jiff::tz::{AmbiguousOffset, Offset, TimeZone};

/// Before the year 2000 no clock of a vessel was set [ms since 1970].
const SET: i64 = 946_684_800_000;
/// Changes of the offset that are kept: ten years of two a year and many zones crossed.
const MOST_CHANGES: usize = 1000;

/// Finds a zone by the name it has in the tables of the world's clocks.
pub type Zones = fn(&str) -> Option<TimeZone>;

/// How times are to be taken that do not say it themselves.
#[derive(Clone, Debug)]
pub struct ClockAsked {
    /// The zone of times that name none.
    pub zone: Option<TimeZone>,
    /// Which of day and month comes first, where both are numbers before the year.
    pub order: Option<Order>,
    /// The day on which times of day begin [ms since 1970, at its start on that clock].
    pub day: Option<i64>,
    /// Where zones are looked up by name.
    pub zones: Zones,
}

/// A clock: what it was set to, as far as that was told, and what it has shown.
#[derive(Debug)]
pub(crate) struct Clock {
    pub asked: ClockAsked,
    /// The last time [ms since 1970, UTC].
    before: Option<i64>,
    /// Of times of day: the day they are on, and the last of them [ms].
    day: Option<(i64, i64)>,
    /// From when on the clock was how far ahead [ms since 1970, UTC; s].
    pub changes: Vec<(i64, i32)>,
}

impl Clock {
    pub fn new(asked: ClockAsked) -> Clock {
        Clock { asked, before: None, day: None, changes: Vec::new() }
    }

    /// The universal time [ms since 1970] of what stands in a line, with the zone the line itself names.
    pub fn time(&mut self, text: &[u8], zone: Option<&[u8]>) -> Result<i64, Fault> {
        let moment = read(text, self.asked.order).map_err(|why| match why {
            _ if text.trim_ascii().is_empty() => Fault::NoTime,
            NoMoment::NoTime => Fault::BadTime { text: shown(text) },
            NoMoment::Ambiguous => Fault::Ambiguous { text: shown(text) },
        })?;
        self.universal(moment, zone, text)
    }

    /// The same of a moment that was read already.
    pub fn universal(&mut self, moment: Moment, zone: Option<&[u8]>, text: &[u8]) -> Result<i64, Fault> {
        let (time, ahead) = match moment {
            Moment::Universal(time) => (time, None),
            Moment::Offset(time, ahead) => (time, Some(ahead)),
            Moment::Local(local) => self.of_zone(local, zone, text)?,
            Moment::Day(time) => {
                let local = self.on_day(time).ok_or(Fault::NoDay)?;
                self.of_zone(local, zone, text)?
            }
            Moment::Date(_) => return Err(Fault::NoTime),
        };
        if time < SET {
            return Err(Fault::NotSet);
        }
        self.before = Some(time);
        let last = self.changes.last().map(|(_, ahead)| *ahead);
        if let Some(ahead) = ahead
            && last != Some(ahead)
            && self.changes.len() < MOST_CHANGES
        {
            self.changes.push((time, ahead));
        }
        Ok(time)
    }

    /// A time of day on its day: where it goes back by more than half a day, the next has begun.
    fn on_day(&mut self, time: i64) -> Option<i64> {
        let (day, before) = self.day.or(self.asked.day.map(|day| (day, time)))?;
        let day = if before - time > DAY / 2 { day + DAY } else { day };
        self.day = Some((day, time));
        Some(day + time)
    }

    /// A clock's time in the zone it was set to [ms since 1970, UTC], and how far ahead it was [s].
    fn of_zone(&self, local: i64, zone: Option<&[u8]>, text: &[u8]) -> Result<(i64, Option<i32>), Fault> {
        let told;
        let zone = match zone.map(<[u8]>::trim_ascii).filter(|zone| !zone.is_empty()) {
            Some(named) => {
                told = self.named(named).ok_or_else(|| Fault::BadZone { text: shown(named) })?;
                &told
            }
            None => self.asked.zone.as_ref().ok_or(Fault::NoTime)?,
        };
        let at = |offset: Offset| (local - i64::from(offset.seconds()) * 1000, Some(offset.seconds()));
        let unreadable = |_| Fault::BadTime { text: shown(text) };
        let shows = Offset::UTC.to_datetime(Timestamp::from_millisecond(local).map_err(unreadable)?);
        match zone.to_ambiguous_timestamp(shows).offset() {
            AmbiguousOffset::Unambiguous { offset } => Ok(at(offset)),
            AmbiguousOffset::Gap { .. } => Err(Fault::Skipped { text: shown(text) }),
            // The clock was put back, and shows this twice: the second time, if the first would lie before the last line.
            AmbiguousOffset::Fold { before, after } => {
                let first = at(before);
                Ok(if self.before.is_some_and(|last| first.0 < last) { at(after) } else { first })
            }
        }
    }

    fn named(&self, zone: &[u8]) -> Option<TimeZone> {
        if let Some(seconds) = offset(zone) {
            return Offset::from_seconds(seconds).ok().map(TimeZone::fixed);
        }
        std::str::from_utf8(zone).ok().and_then(self.asked.zones)
    }
}

/// A zone as a person names it: `UTC`, `+02:00`, or by its name in the tables of the world's clocks.
pub fn zone(text: &str, zones: Zones) -> Option<TimeZone> {
    let none = ClockAsked { zone: None, order: None, day: None, zones };
    Clock::new(none).named(text.trim().as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Central European time by its rule, as POSIX writes it; no table is looked into.
    fn berlin() -> TimeZone {
        TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").expect("a rule")
    }

    fn clock(zone: Option<TimeZone>) -> Clock {
        Clock::new(ClockAsked { zone, order: None, day: None, zones: |_| None })
    }

    fn utc(clock: &mut Clock, text: &str) -> Result<String, Fault> {
        let time = clock.time(text.as_bytes(), None)?;
        Ok(Timestamp::from_millisecond(time).expect("in range").to_string())
    }

    #[test]
    fn a_clock_that_is_put_back_shows_an_hour_twice() {
        let mut clock = clock(Some(berlin()));
        for (shows, is) in [
            ("2026-10-25 01:59:59", "2026-10-24T23:59:59Z"),
            ("2026-10-25 02:30:00", "2026-10-25T00:30:00Z"),
            ("2026-10-25 02:00:00", "2026-10-25T01:00:00Z"),
            ("2026-10-25 02:30:00", "2026-10-25T01:30:00Z"),
            ("2026-10-25 03:00:00", "2026-10-25T02:00:00Z"),
        ] {
            assert_eq!(utc(&mut clock, shows).as_deref(), Ok(is), "{shows}");
        }
        let ahead: Vec<i32> = clock.changes.iter().map(|(_, ahead)| *ahead).collect();
        assert_eq!(ahead, [7200, 3600]);
        assert!(matches!(utc(&mut clock, "2026-03-29 02:30:00"), Err(Fault::Skipped { .. })));
    }

    #[test]
    fn a_line_may_name_its_own_zone() {
        let mut clock = clock(None);
        assert_eq!(clock.time(b"2026-07-02 08:00", None), Err(Fault::NoTime));
        let first = clock.time(b"2026-07-02 08:00", Some(b"+02:00")).expect("told");
        let second = clock.time(b"2026-07-02 08:00", Some(b"+03:00")).expect("told");
        assert_eq!(first - second, 3_600_000);
        assert_eq!(clock.changes.len(), 2);
        assert!(matches!(clock.time(b"2026-07-02 08:00", Some(b"ship")), Err(Fault::BadZone { .. })));
    }

    #[test]
    fn times_of_day_go_on_over_midnight() {
        let mut clock = clock(Some(TimeZone::UTC));
        assert_eq!(clock.time(b"08:00", None), Err(Fault::NoDay));
        clock.asked.day = Some(1_782_950_400_000);
        for (shows, is) in [("23:59:59", "2026-07-02T23:59:59Z"), ("00:00:01", "2026-07-03T00:00:01Z")] {
            assert_eq!(utc(&mut clock, shows).as_deref(), Ok(is));
        }
        assert_eq!(utc(&mut clock, "1999-12-31T23:59:59Z"), Err(Fault::NotSet));
    }
}
