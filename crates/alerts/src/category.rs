//! How grave an alert is.

/// The four categories of the IMO's Code on Alerts and Indicators, the least first.
///
/// # Source
/// `[A1021]` 3.1.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Category {
    /// Worth attention out of the ordinary, and no more.
    Caution,
    /// No danger yet, but it may become one if nothing is done.
    Warning,
    /// Wants attention and action at once, to keep her going safely.
    Alarm,
    /// Danger to life, to the vessel or her machinery at this moment.
    EmergencyAlarm,
}

impl Category {
    /// All, the gravest first.
    pub const ALL: [Category; 4] = [Category::EmergencyAlarm, Category::Alarm, Category::Warning, Category::Caution];

    /// Its name.
    pub fn word(self) -> &'static str {
        match self {
            Category::EmergencyAlarm => "emergency alarm",
            Category::Alarm => "alarm",
            Category::Warning => "warning",
            Category::Caution => "caution",
        }
    }

    /// The one of this name.
    pub fn of(word: &str) -> Option<Category> {
        Category::ALL.into_iter().find(|category| category.word() == word)
    }

    /// It may be held for no longer than this [s]; the graver, the sooner it comes back. Common practice, no source.
    pub fn longest_hold(self) -> f64 {
        match self {
            Category::EmergencyAlarm => 15.0 * 60.0,
            Category::Alarm => 4.0 * 3600.0,
            Category::Warning => 24.0 * 3600.0,
            Category::Caution => 7.0 * 24.0 * 3600.0,
        }
    }
}
