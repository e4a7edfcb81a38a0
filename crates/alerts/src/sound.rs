//! How each category sounds, on a page and on the computer alike.

use crate::category::Category;

/// What is heard while something new is unseen.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Tones: pitch [Hz], when it begins [s], how long it lasts [s].
    pub tones: &'static [(f64, f64, f64)],
    /// After how long it begins again [s]; nothing: it is heard once.
    pub again: Option<f64>,
}

impl Pattern {
    /// How long it lasts [s].
    pub fn lasts(&self) -> f64 {
        self.tones.iter().map(|(_, begins, lasts)| begins + lasts).fold(0.0, f64::max)
    }

    /// No word comes from the program: falling tones.
    pub const NO_WORD: Pattern =
        Pattern { tones: &[(700.0, 0.0, 0.3), (520.0, 0.35, 0.3), (390.0, 0.7, 0.5)], again: Some(15.0) };
}

impl Category {
    /// How it sounds.
    ///
    /// # Source
    /// `[MSC302]`, from memory: an alarm is three short sounds every 7 to 10 s, a warning two short sounds, again after a
    /// while if nobody sees to it, a caution none. Ours: an emergency alarm without a pause, a caution one low sound.
    pub fn pattern(self) -> Pattern {
        match self {
            Category::EmergencyAlarm => Pattern { tones: &[(880.0, 0.0, 0.4), (660.0, 0.4, 0.4)], again: Some(0.8) },
            Category::Alarm => {
                Pattern { tones: &[(780.0, 0.0, 0.25), (780.0, 0.45, 0.25), (780.0, 0.9, 0.25)], again: Some(8.0) }
            }
            Category::Warning => Pattern { tones: &[(590.0, 0.0, 0.3), (590.0, 0.5, 0.3)], again: Some(60.0) },
            Category::Caution => Pattern { tones: &[(440.0, 0.0, 0.3)], again: None },
        }
    }
}
