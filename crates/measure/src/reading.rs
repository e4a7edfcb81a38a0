//! What a gauge says, and how an owner writes it down.

use crate::quantity::Quantity;
use crate::unit::{UnitError, parse, parse_change, shown};

/// How a gauge behaves while it is read.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Mark {
    /// It stands still.
    Steady,
    /// It goes up.
    Climbing,
    /// It goes down.
    Falling,
    /// It is against its upper stop; the truth is at least the value.
    OffScaleHigh,
    /// It is against its lower stop; the truth is at most the value.
    OffScaleLow,
}

/// One gauge, read once.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The gauge's name in the vessel file.
    pub gauge: String,
    /// As the gauge reads [SI unit of its quantity; pressure over the atmosphere, temperature in K].
    pub value: f64,
    /// How it behaved.
    pub mark: Mark,
}

/// A reading as written, before the gauge and its usual reading are looked up.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum ReadingText {
    /// "78 C", "about 80 C", "96 C and climbing".
    Value {
        /// The value [SI].
        value: f64,
        /// How the gauge behaved.
        mark: Mark,
        /// Said with "about".
        rough: bool,
    },
    /// "+4 K over usual", "0.3 bar under usual".
    OverUsual {
        /// How far over; negative is under [SI unit of the difference].
        difference: f64,
        /// How the gauge behaved.
        mark: Mark,
        /// Said with "about".
        rough: bool,
    },
    /// "usual".
    AsUsual,
    /// "off the scale high": the gauge's own stop is the value.
    OffScale {
        /// [`Mark::OffScaleHigh`] or [`Mark::OffScaleLow`].
        mark: Mark,
    },
}

/// Endings that tell how the gauge behaved.
const MARKS: &[(&str, Mark)] = &[
    ("steady", Mark::Steady),
    ("climbing", Mark::Climbing),
    ("rising", Mark::Climbing),
    ("falling", Mark::Falling),
    ("dropping", Mark::Falling),
    ("off the scale high", Mark::OffScaleHigh),
    ("off scale high", Mark::OffScaleHigh),
    ("off the scale low", Mark::OffScaleLow),
    ("off scale low", Mark::OffScaleLow),
];

/// Beginnings that make a reading rough.
const ROUGHLY: &[&str] = &["about ", "around ", "roughly ", "approx. ", "approx ", "ca. ", "ca ", "~"];

/// Endings that compare with the usual reading, and whether they say more.
const COMPARED: &[(&str, bool)] = &[
    ("over the usual", true),
    ("over usual", true),
    ("above the usual", true),
    ("above usual", true),
    ("under the usual", false),
    ("under usual", false),
    ("below the usual", false),
    ("below usual", false),
];

/// Reads what an owner writes of a gauge: "78 C", "about 80 C", "96 C and climbing", "usual",
/// "+4 K over usual", "0.3 bar under usual", "off the scale high".
///
/// # Errors
/// As [`parse`], and [`UnitError::Contradiction`] for "-4 K over usual".
pub fn parse_reading(text: &str, quantity: Quantity) -> Result<ReadingText, UnitError> {
    let written = text.trim();
    if is(written, "usual") || is(written, "as usual") {
        return Ok(ReadingText::AsUsual);
    }
    let (rest, mark) = take_mark(written);
    if rest.is_empty() && matches!(mark, Mark::OffScaleHigh | Mark::OffScaleLow) {
        return Ok(ReadingText::OffScale { mark });
    }
    if rest.is_empty() && !written.is_empty() {
        return Err(UnitError::NoNumber { text: shown(written) });
    }
    let (rest, rough) = take_rough(rest);
    for &(words, more) in COMPARED {
        if let Some(amount) = without_ending(rest, words) {
            let change = parse_change(amount, quantity)?;
            if more && change < 0.0 {
                return Err(UnitError::Contradiction { text: shown(written) });
            }
            let difference = if more { change } else { -change.abs() };
            return Ok(ReadingText::OverUsual { difference, mark, rough });
        }
    }
    parse(rest, quantity).map(|value| ReadingText::Value { value, mark, rough })
}

/// The text before "and climbing", and what that says.
fn take_mark(text: &str) -> (&str, Mark) {
    for &(words, mark) in MARKS {
        if let Some(rest) = without_ending(text, words) {
            let rest = without_ending(rest, "and").unwrap_or(rest);
            return (rest.trim_end_matches([',', ';', ' ']), mark);
        }
    }
    (text, Mark::Steady)
}

fn take_rough(text: &str) -> (&str, bool) {
    for word in ROUGHLY {
        if text.get(..word.len()).is_some_and(|start| is(start, word)) {
            return (text[word.len()..].trim_start(), true);
        }
    }
    (text, false)
}

/// The text before its last words, if those they are; capitals do not count, for units keep theirs.
fn without_ending<'a>(text: &'a str, words: &str) -> Option<&'a str> {
    let start = text.len().checked_sub(words.len())?;
    let whole_word = text.get(..start)?.chars().next_back().is_none_or(|before| !before.is_alphanumeric());
    (whole_word && is(text.get(start..)?, words)).then(|| text[..start].trim_end())
}

fn is(text: &str, words: &str) -> bool {
    text.eq_ignore_ascii_case(words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use Quantity::{GaugePressure, RotationalSpeed, Temperature};

    #[track_caller]
    fn value(text: &str, quantity: Quantity) -> (f64, Mark, bool) {
        match parse_reading(text, quantity) {
            Ok(ReadingText::Value { value, mark, rough }) => (value, mark, rough),
            other => panic!("{text}: {other:?}"),
        }
    }

    #[track_caller]
    fn over_usual(text: &str, quantity: Quantity) -> (f64, Mark, bool) {
        match parse_reading(text, quantity) {
            Ok(ReadingText::OverUsual { difference, mark, rough }) => (difference, mark, rough),
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn a_value_keeps_its_mark_and_its_roughness() {
        for (text, kelvin, mark, rough) in [
            ("78 C", 351.15, Mark::Steady, false),
            ("96 C and climbing", 369.15, Mark::Climbing, false),
            ("96 °C, rising", 369.15, Mark::Climbing, false),
            ("96 C Falling", 369.15, Mark::Falling, false),
            ("about 80 C", 353.15, Mark::Steady, true),
            ("About 80 C and dropping", 353.15, Mark::Falling, true),
            ("~80 C", 353.15, Mark::Steady, true),
            ("120 C and off the scale high", 393.15, Mark::OffScaleHigh, false),
        ] {
            let (value, its_mark, its_rough) = value(text, Temperature);
            assert!((value - kelvin).abs() < 1e-9, "{text}: {value}");
            assert_eq!((its_mark, its_rough), (mark, rough), "{text}");
        }
    }

    #[test]
    fn over_and_under_usual_are_differences() {
        for (text, quantity, difference, mark, rough) in [
            ("+4 K over usual", Temperature, 4.0, Mark::Steady, false),
            ("4 C above usual", Temperature, 4.0, Mark::Steady, false),
            ("9 F over the usual and climbing", Temperature, 5.0, Mark::Climbing, false),
            ("-0.3 bar under usual", GaugePressure, -3e4, Mark::Steady, false),
            ("about 0.3 bar below usual", GaugePressure, -3e4, Mark::Steady, true),
            ("60 rpm UNDER usual", RotationalSpeed, -std::f64::consts::TAU, Mark::Steady, false),
        ] {
            let (over, its_mark, its_rough) = over_usual(text, quantity);
            assert!((over - difference).abs() < 1e-9, "{text}: {over}");
            assert_eq!((its_mark, its_rough), (mark, rough), "{text}");
        }
    }

    #[test]
    fn usual_and_off_the_scale_need_no_number() {
        for text in ["usual", " Usual ", "as usual"] {
            assert_eq!(parse_reading(text, Temperature), Ok(ReadingText::AsUsual));
        }
        for (text, mark) in [("off the scale high", Mark::OffScaleHigh), ("Off scale low", Mark::OffScaleLow)] {
            assert_eq!(parse_reading(text, Temperature), Ok(ReadingText::OffScale { mark }));
        }
    }

    #[test]
    fn what_cannot_be_meant_is_refused() {
        let text = |t: &str| t.to_string();
        assert_eq!(parse_reading("", Temperature), Err(UnitError::Empty));
        assert_eq!(parse_reading("climbing", Temperature), Err(UnitError::NoNumber { text: text("climbing") }));
        assert_eq!(
            parse_reading("-4 K over usual", Temperature),
            Err(UnitError::Contradiction { text: text("-4 K over usual") })
        );
        let no_unit = parse_reading("20 over usual", Temperature);
        assert!(matches!(no_unit, Err(UnitError::NoUnit { .. })), "{no_unit:?}");
        let other = parse_reading("4 bar over usual", Temperature);
        assert!(matches!(other, Err(UnitError::WrongQuantity { is: GaugePressure, .. })), "{other:?}");
        assert!(parse_reading("about", Temperature).is_err());
        assert!(parse_reading("over usual", Temperature).is_err());
    }
}
