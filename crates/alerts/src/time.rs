//! Time that only goes on, made of a clock that may jump.

/// The clock as it was last told, and how much has passed.
#[derive(Copy, Clone, Debug, Default)]
pub struct Time {
    /// As the clock has it [s]; nothing before it was first told.
    pub clock: Option<f64>,
    /// Time that has passed [s]: what a clock put back takes away is not counted, so it never goes back itself.
    pub passed: f64,
}

/// An end that is kept, whichever way the clock is put: it has come when the clock says so, or when as much time has
/// passed as there was to it.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct End {
    /// By the clock [s].
    pub clock: f64,
    passed: f64,
}

impl Time {
    /// It is now this late [s]; what is no number is passed over.
    pub fn goes_on(&mut self, clock: f64) {
        if !clock.is_finite() {
            return;
        }
        self.passed += self.clock.map_or(0.0, |was| (clock - was).max(0.0));
        self.clock = Some(clock);
    }

    /// What the clock says [s].
    pub fn now(&self) -> f64 {
        self.clock.unwrap_or(0.0)
    }

    /// An end at this time of the clock [s].
    pub fn end(&self, clock: f64) -> End {
        End { clock, passed: self.passed + (clock - self.now()).max(0.0) }
    }

    /// Whether it has come.
    pub fn is_past(&self, end: End) -> bool {
        self.now() >= end.clock || self.passed >= end.passed
    }
}
