//! From what is read to what counts: a condition has to last, and to be gone for a while, before anything follows.

/// How long before it counts.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Delays {
    /// It has to last so long before it is there [s].
    pub on: f64,
    /// It has to be gone so long before it is over [s].
    pub off: f64,
    /// A reading has to be so far on the right side of its limit before it is gone [SI of its quantity].
    pub deadband: f64,
}

/// What a look shows of a condition.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Past {
    /// Past the limit.
    Beyond,
    /// On the right side of it, but by less than the deadband.
    Near,
    /// Well on the right side.
    Clear,
    /// Nothing is known at this moment.
    Unknown,
}

impl Past {
    /// A value against a limit above which, or below which, it is past [SI].
    pub fn limit(value: f64, limit: f64, high: bool, deadband: f64) -> Past {
        let over = if high { value - limit } else { limit - value };
        match over {
            over if over.is_nan() => Past::Unknown,
            over if over > 0.0 => Past::Beyond,
            over if over > -deadband => Past::Near,
            _ => Past::Clear,
        }
    }
}

/// A condition as it has been.
#[derive(Copy, Clone, Debug, Default)]
pub(crate) struct Condition {
    /// Whether it is there.
    pub so: bool,
    /// Since when looks say otherwise [s passed].
    other: Option<f64>,
}

impl Condition {
    /// Takes a look in; whether it has come or gone with it.
    pub fn look(&mut self, past: Past, delays: Delays, passed: f64) -> bool {
        let (says_so, wait) = match past {
            Past::Beyond => (true, delays.on),
            Past::Clear => (false, delays.off),
            // Neither: it stays as it is, and what was on its way begins again.
            Past::Near | Past::Unknown => (self.so, 0.0),
        };
        if says_so == self.so {
            self.other = None;
            return false;
        }
        let since = *self.other.get_or_insert(passed);
        let turns = passed - since >= wait;
        if turns {
            *self = Condition { so: says_so, other: None };
        }
        turns
    }
}
