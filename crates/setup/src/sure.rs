//! How sure something is, in words.

/// "nearly certain", "about 3 in 4", "an even chance", "hardly".
pub(crate) fn sure(share: f64) -> &'static str {
    match share {
        share if share.is_nan() => "unknown",
        share if share >= 0.97 => "nearly certain",
        share if share >= 0.85 => "about 9 in 10",
        share if share >= 0.70 => "about 3 in 4",
        share if share >= 0.58 => "about 2 in 3",
        share if share >= 0.42 => "an even chance",
        share if share >= 0.29 => "about 1 in 3",
        share if share >= 0.15 => "about 1 in 5",
        share if share >= 0.03 => "about 1 in 10",
        _ => "hardly",
    }
}

/// Chance that something of that value and standard uncertainty lies below a limit [1].
pub(crate) fn below(value: f64, sigma: f64, limit: f64) -> f64 {
    if sigma > 0.0 {
        measure::figure::normal_below((limit - value) / sigma)
    } else {
        f64::from(u8::from(value < limit))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_said_as_they_are() {
        assert_eq!(
            [0.999, 0.9, 0.75, 0.5, 0.25, 0.1, 0.0].map(sure),
            [
                "nearly certain",
                "about 9 in 10",
                "about 3 in 4",
                "an even chance",
                "about 1 in 5",
                "about 1 in 10",
                "hardly",
            ]
        );
        assert!((below(1.0, 1.0, 2.0) - 0.841345).abs() < 1e-6);
        assert!(below(1.0, 0.0, 2.0) == 1.0 && below(3.0, 0.0, 2.0) == 0.0);
    }
}
