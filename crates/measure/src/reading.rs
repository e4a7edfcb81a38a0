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
    /// "+8 K over sister", "as sister": against the same gauge of the sister engine.
    OverSister {
        /// How far over; negative is under [SI unit of the difference].
        difference: f64,
        /// How the gauge behaved.
        mark: Mark,
        /// Said with "about".
        rough: bool,
    },
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

/// What a reading may be compared with.
#[derive(Copy, Clone, PartialEq, Eq)]
enum With {
    Usual,
    Sister,
}

/// Endings that name it.
const WITH: &[(&str, With)] = &[
    ("the usual", With::Usual),
    ("usual", With::Usual),
    ("the sister engine", With::Sister),
    ("the other engine", With::Sister),
    ("the other one", With::Sister),
    ("the other", With::Sister),
    ("the sister", With::Sister),
    ("sister", With::Sister),
];

/// Words before it, and whether they say more.
const COMPARED: &[(&str, bool)] = &[("over", true), ("above", true), ("under", false), ("below", false)];

/// Reads what an owner writes of a gauge: "78 C", "about 80 C", "96 C and climbing", "usual",
/// "+4 K over usual", "0.3 bar under usual", "8 K over sister", "as the other engine", "off the scale high".
///
/// # Errors
/// As [`parse`], and [`UnitError::Contradiction`] for "-4 K over usual".
pub fn parse_reading(text: &str, quantity: Quantity) -> Result<ReadingText, UnitError> {
    let written = text.trim();
    if is(written, "usual") || is(written, "as usual") {
        return Ok(ReadingText::AsUsual);
    }
    let alike = compared(written).filter(|(rest, with)| *with == With::Sister && (is(rest, "as") || is(rest, "like")));
    if alike.is_some() {
        return Ok(ReadingText::OverSister { difference: 0.0, mark: Mark::Steady, rough: false });
    }
    let (rest, mark) = take_mark(written);
    if rest.is_empty() && matches!(mark, Mark::OffScaleHigh | Mark::OffScaleLow) {
        return Ok(ReadingText::OffScale { mark });
    }
    if rest.is_empty() && !written.is_empty() {
        return Err(UnitError::NoNumber { text: shown(written) });
    }
    let (rest, rough) = take_rough(rest);
    let compared = compared(rest).and_then(|(rest, with)| {
        let side = COMPARED.iter().find_map(|&(words, more)| Some((without_ending(rest, words)?, more)))?;
        Some((side, with))
    });
    if let Some(((amount, more), with)) = compared {
        let change = parse_change(amount, quantity)?;
        if more && change < 0.0 {
            return Err(UnitError::Contradiction { text: shown(written) });
        }
        let difference = if more { change } else { -change.abs() };
        return Ok(match with {
            With::Usual => ReadingText::OverUsual { difference, mark, rough },
            With::Sister => ReadingText::OverSister { difference, mark, rough },
        });
    }
    parse(rest, quantity).map(|value| ReadingText::Value { value, mark, rough })
}

/// The text before what it is compared with, and that.
fn compared(text: &str) -> Option<(&str, With)> {
    WITH.iter().find_map(|&(words, with)| Some((without_ending(text, words)?, with)))
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
    fn the_sister_engine_is_compared_with_by_any_of_her_names() {
        let over = |difference, mark, rough| Ok(ReadingText::OverSister { difference, mark, rough });
        for (text, difference, mark, rough) in [
            ("+8 K over sister", 8.0, Mark::Steady, false),
            ("20 K above the other one", 20.0, Mark::Steady, false),
            ("about 5 C below the other engine and falling", -5.0, Mark::Falling, true),
            ("as the other engine", 0.0, Mark::Steady, false),
            ("like the sister", 0.0, Mark::Steady, false),
        ] {
            assert_eq!(parse_reading(text, Temperature), over(difference, mark, rough), "{text}");
        }
        assert!(parse_reading("-4 K over sister", Temperature).is_err());
        assert!(parse_reading("sister", Temperature).is_err() && parse_reading("over sister", Temperature).is_err());
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
