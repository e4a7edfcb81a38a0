//! Chances in words.

/// A chance as it is said aboard: "1 in 40", "9 in 10", "for sure".
pub fn odds(chance: f64) -> String {
    match chance {
        c if c >= 0.995 => "for sure".into(),
        c if c > 0.95 => "more than 19 in 20".into(),
        c if c > 0.45 => format!("{} in 10", (c * 10.0).round().clamp(5.0, 9.0)),
        c if c < 1e-5 => "less than 1 in 100000".into(),
        c => {
            let one_in = 1.0 / c;
            // Two digits of it.
            let size = 10f64.powi(one_in.log10().floor() as i32 - 1).max(1.0);
            format!("1 in {}", (one_in / size).round() * size)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_said_by_whole_numbers() {
        for (chance, said) in [
            (1.0, "for sure"),
            (0.97, "more than 19 in 20"),
            (0.71, "7 in 10"),
            (0.46, "5 in 10"),
            (0.3, "1 in 3"),
            (0.025, "1 in 40"),
            (0.00333, "1 in 300"),
            (1.4e-4, "1 in 7100"),
            (1e-9, "less than 1 in 100000"),
        ] {
            assert_eq!(odds(chance), said, "{chance}");
        }
    }
}
