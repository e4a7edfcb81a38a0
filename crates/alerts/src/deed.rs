//! What people do about alerts, and what they may not.

use crate::category::Category;

/// What a person does.
#[derive(Clone, Debug, PartialEq)]
pub enum Deed {
    /// Has seen these, by key.
    See(Vec<String>),
    /// Holds these back until a time [s by the clock].
    Hold {
        /// Which, by key.
        keys: Vec<String>,
        /// Until when [s by the clock].
        until: f64,
    },
    /// Holds these back no longer.
    EndHold(Vec<String>),
    /// Takes a gauge out of service, with all its alerts.
    TakeOut {
        /// Which gauge.
        of: String,
        /// Why.
        reason: String,
        /// Until when [s by the clock].
        until: f64,
    },
    /// Puts it back.
    PutBack(String),
}

/// Nothing stays out of service for longer without being asked again [s]: 90 days. Common practice, no source.
pub(crate) const LONGEST_OUT: f64 = 90.0 * 24.0 * 3600.0;

/// Why it was not done.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Refused {
    /// No alert has this key.
    #[error("there is no alert “{0}”; it may be of another vessel or an older page: load the page again")]
    Unknown(String),
    /// Nothing of this name has alerts.
    #[error("there is no gauge “{0}” that could be taken out")]
    NoGauge(String),
    /// The end is not in the future.
    #[error("the end has passed already; choose one that is still to come")]
    InThePast,
    /// No end, or one too far off.
    #[error("{what} may be set aside for {longest} at most, so that it comes back by itself; choose an earlier end")]
    TooLong {
        /// What.
        what: &'static str,
        /// How long it may be.
        longest: String,
    },
    /// Taken out without a reason.
    #[error("say in a few words why it is taken out: whoever comes next will ask")]
    NoReason,
}

/// That an end is after now and not too far off.
pub(crate) fn ends(now: f64, until: f64, what: &'static str, longest: f64) -> Result<(), Refused> {
    let days = 24.0 * 3600.0;
    match until - now {
        long if long > 0.0 && long <= longest * (1.0 + 1e-9) => Ok(()),
        long if long <= 0.0 => Err(Refused::InThePast),
        // For ever, or no number at all.
        _ => Err(Refused::TooLong {
            what,
            longest: match longest {
                s if s < 2.0 * 3600.0 => format!("{:.0} minutes", s / 60.0),
                s if s < 2.0 * days => format!("{:.0} hours", s / 3600.0),
                s => format!("{:.0} days", s / days),
            },
        }),
    }
}

/// What an alert of this category is called where it is refused.
pub(crate) fn named(category: Category) -> &'static str {
    match category {
        Category::EmergencyAlarm => "an emergency alarm",
        Category::Alarm => "an alarm",
        Category::Warning => "a warning",
        Category::Caution => "a caution",
    }
}
