//! The machine's clocks: one that nobody sets, and the one that tells the day.

use live::aboard::Clocks;
use live::inbox::Moment;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// Since a moment before which nothing was heard.
#[derive(Copy, Clone)]
pub struct Machine {
    begun: Duration,
}

impl Machine {
    /// From now on.
    pub fn start() -> Machine {
        Machine { begun: running() }
    }
}

impl Clocks for Machine {
    fn now(&self) -> Moment {
        let since = running().saturating_sub(self.begun);
        let day = day();
        // Both tell the beginning of that millisecond: were only one cut short, a time turned from one clock to the other and back
        // could come out a millisecond early.
        let into = Duration::from_nanos(u64::from(day.subsec_nanos() % 1_000_000));
        Moment { since: since.saturating_sub(into).as_secs_f64(), time: millis(day) }
    }
}

/// What the day's clock shows [ms since 1970, UTC]. One that stands before 1970 was never set; the store tells such times apart.
pub fn day_now() -> i64 {
    millis(day())
}

fn day() -> Duration {
    SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default()
}

fn millis(day: Duration) -> i64 {
    i64::try_from(day.as_millis()).unwrap_or(i64::MAX)
}

/// How long the machine has been running, asleep or not: setting the clock changes nothing of it.
#[cfg(target_os = "linux")]
fn running() -> Duration {
    use rustix::time::{ClockId, clock_gettime};
    let time = clock_gettime(ClockId::Boottime);
    Duration::new(time.tv_sec.unsigned_abs(), u32::try_from(time.tv_nsec).unwrap_or(0))
}

/// Elsewhere without the time it was asleep.
#[cfg(not(target_os = "linux"))]
fn running() -> Duration {
    use std::sync::OnceLock;
    use std::time::Instant;
    static BEGUN: OnceLock<Instant> = OnceLock::new();
    BEGUN.get_or_init(Instant::now).elapsed()
}
