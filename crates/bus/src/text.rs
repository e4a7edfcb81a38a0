//! Small pieces of text: hexadecimal digits, numbers, words.

/// Value of a hexadecimal digit, 255 for what is none.
static HEX: [u8; 256] = {
    let mut table = [255; 256];
    let mut digit = 0;
    while digit < 10 {
        table[b'0' as usize + digit] = digit as u8;
        digit += 1;
    }
    let mut digit = 0;
    while digit < 6 {
        table[b'A' as usize + digit] = 10 + digit as u8;
        table[b'a' as usize + digit] = 10 + digit as u8;
        digit += 1;
    }
    table
};

/// A byte from its two digits.
#[inline]
pub fn byte(high: u8, low: u8) -> Option<u8> {
    let (high, low) = (HEX[usize::from(high)], HEX[usize::from(low)]);
    (high | low < 16).then_some(high << 4 | low)
}

/// A number from all of a text of one to eight hexadecimal digits.
#[inline]
pub fn hex(text: &[u8]) -> Option<u32> {
    if text.is_empty() || text.len() > 8 {
        return None;
    }
    text.iter().try_fold(0, |number: u32, &digit| {
        let digit = HEX[usize::from(digit)];
        (digit < 16).then_some(number << 4 | u32::from(digit))
    })
}

/// A number from all of a text of one to nine digits.
#[inline]
pub fn whole(text: &[u8]) -> Option<u32> {
    if text.is_empty() || text.len() > 9 {
        return None;
    }
    text.iter().try_fold(0, |number, digit| digit.is_ascii_digit().then(|| number * 10 + u32::from(digit - b'0')))
}

/// A decimal number from all of a text, with sign and point but no exponent, as sentences have it.
pub fn decimal(text: &[u8]) -> Option<f64> {
    let plain = text.iter().all(|letter| letter.is_ascii_digit() || b"+-.".contains(letter));
    if !plain || text.len() > 32 {
        return None;
    }
    std::str::from_utf8(text).ok()?.parse().ok()
}

/// Bytes from pairs of digits without anything between; `None` where one is no digit or there is no room.
#[inline]
pub fn bytes(text: &[u8], into: &mut [u8]) -> Option<usize> {
    let (pairs, odd) = text.as_chunks::<2>();
    if !odd.is_empty() || pairs.len() > into.len() {
        return None;
    }
    for (place, &[high, low]) in into.iter_mut().zip(pairs) {
        *place = byte(high, low)?;
    }
    Some(pairs.len())
}

/// The text before a letter, and what follows it; nothing without that letter.
#[inline]
pub fn before(text: &[u8], letter: u8) -> Option<(&[u8], &[u8])> {
    let at = text.iter().position(|&other| other == letter)?;
    Some((&text[..at], &text[at + 1..]))
}

/// The first word and what follows; empty where there is none.
#[inline]
pub fn word(text: &[u8]) -> (&[u8], &[u8]) {
    let text = text.trim_ascii_start();
    let end = text.iter().position(u8::is_ascii_whitespace).unwrap_or(text.len());
    text.split_at(end)
}
