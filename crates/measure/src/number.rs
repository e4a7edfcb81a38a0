//! A written number and the text after it.

use crate::unit::{UnitError, shown};

/// Splits "1-1/2 in" into 1.5 and "in"; the number may be whole, decimal, with an exponent, or a fraction.
pub(crate) fn split(text: &str) -> Result<(f64, &str), UnitError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(UnitError::Empty);
    }
    let (sign, body) = sign(text);
    let mantissa_end = end_of(body, |c| c.is_ascii_digit() || c == '.');
    let (mantissa, rest) = body.split_at(mantissa_end);
    if rest.starts_with(',') {
        return Err(UnitError::DecimalComma { text: shown(text) });
    }
    let whole = mantissa.is_empty() || mantissa.bytes().all(|b| b.is_ascii_digit());
    if whole && let Some((value, rest)) = fraction(mantissa, rest) {
        return finite(sign * value, text).map(|value| (value, rest.trim()));
    }
    let (number, rest) = body.split_at(mantissa_end + exponent_length(rest));
    let value = number.parse::<f64>().map_err(|_| no_number(body, text))?;
    Ok((finite(sign * value, text)?, rest.trim()))
}

/// The factor of the sign [1] and what follows it; the typeset minus counts too.
fn sign(text: &str) -> (f64, &str) {
    let (sign, rest) = match text.chars().next() {
        Some('+') => (1.0, &text[1..]),
        Some(minus @ ('-' | '−' | '–')) => (-1.0, &text[minus.len_utf8()..]),
        _ => (1.0, text),
    };
    (sign, rest.trim_start())
}

/// The value of "3/4", "1 1/2", "1-1/2", "1½" or "½", `whole` being what was read before `rest`.
fn fraction<'a>(whole: &str, rest: &'a str) -> Option<(f64, &'a str)> {
    let units = if whole.is_empty() { 0.0 } else { whole.parse::<f64>().ok()? };
    if let Some(after) = rest.strip_prefix('/')
        && let Some((below, after)) = digits(after)
    {
        return (!whole.is_empty()).then_some((units / below, after));
    }
    let part = rest.strip_prefix('-').unwrap_or(rest).trim_start();
    for (sign, value) in [('½', 0.5), ('¼', 0.25), ('¾', 0.75)] {
        if let Some(after) = part.strip_prefix(sign) {
            return Some((units + value, after));
        }
    }
    // The break between "1" and "1/2" is what makes it a mixed number.
    if part.len() == rest.len() {
        return None;
    }
    let (above, after) = digits(part)?;
    let (below, after) = digits(after.strip_prefix('/')?)?;
    Some((units + above / below, after))
}

fn digits(text: &str) -> Option<(f64, &str)> {
    let (digits, rest) = text.split_at(end_of(text, |c| c.is_ascii_digit()));
    Some((digits.parse().ok()?, rest))
}

/// The length of a leading "e-5", or zero [bytes].
fn exponent_length(text: &str) -> usize {
    let Some(rest) = text.strip_prefix(['e', 'E']) else { return 0 };
    let signed = usize::from(rest.starts_with(['+', '-']));
    match end_of(&rest[signed..], |c| c.is_ascii_digit()) {
        0 => 0,
        digits => 1 + signed + digits,
    }
}

/// Where the leading run of such characters ends [bytes].
fn end_of(text: &str, such: impl Fn(char) -> bool) -> usize {
    text.find(|c| !such(c)).unwrap_or(text.len())
}

fn no_number(body: &str, text: &str) -> UnitError {
    let starts = |word: &str| body.get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word));
    let text = shown(text);
    if starts("nan") || starts("inf") { UnitError::NotFinite { text } } else { UnitError::NoNumber { text } }
}

fn finite(value: f64, text: &str) -> Result<f64, UnitError> {
    if value.is_finite() { Ok(value) } else { Err(UnitError::NotFinite { text: shown(text) }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_an_owner_writes_them() {
        for (text, value, rest) in [
            ("35 psi", 35.0, "psi"),
            ("  2.4bar ", 2.4, "bar"),
            ("-12 kPa", -12.0, "kPa"),
            ("− 12 kPa", -12.0, "kPa"),
            ("+4 K", 4.0, "K"),
            ("1.2e3 Pa", 1200.0, "Pa"),
            ("2E-5K/W", 2e-5, "K/W"),
            (".5 bar", 0.5, "bar"),
            ("5. bar", 5.0, "bar"),
            ("1-1/2 in", 1.5, "in"),
            ("1 1/2 in", 1.5, "in"),
            ("-1 1/2 in", -1.5, "in"),
            ("3/4 in", 0.75, "in"),
            ("1½ in", 1.5, "in"),
            ("¾\"", 0.75, "\""),
            ("25 1/s", 25.0, "1/s"),
            ("3 e", 3.0, "e"),
            ("3ev", 3.0, "ev"),
            ("60%", 60.0, "%"),
            ("0.6", 0.6, ""),
        ] {
            assert_eq!(split(text), Ok((value, rest)), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_said_to_be_none() {
        let text = |t: &str| t.to_string();
        for nothing in ["", "  ", "\t\n"] {
            assert_eq!(split(nothing), Err(UnitError::Empty));
        }
        for no in ["bar", ".", "1.2.3 bar", "-", "/2 in", "--3 K", "e5 Pa", "°C"] {
            assert_eq!(split(no), Err(UnitError::NoNumber { text: text(no) }));
        }
        for endless in ["NaN K", "inf bar", "-Infinity bar", "1e999 bar", "1/0 in", "0/0 in"] {
            assert_eq!(split(endless), Err(UnitError::NotFinite { text: text(endless) }));
        }
        for comma in ["14,6 m", "1,500 rpm", "-0,3 bar"] {
            assert_eq!(split(comma), Err(UnitError::DecimalComma { text: text(comma) }));
        }
    }
}
