//! Particle counts as a code of three numbers, by size.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// Scale numbers of the particles of at least 4, 6 and 14 µm(c), as "17/15/12".
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Code(pub [u8; 3]);

/// The largest number of the scale: more than 2,500,000 in a millilitre.
const LARGEST: u8 = 29;
/// Most particles in a millilitre for each number, from 0.
///
/// # Source
/// `[ISO4406]` table 1: each number up to twice what the one before has, with the steps of the printed table.
const UP_TO: [f64; LARGEST as usize] = [
    0.01, 0.02, 0.04, 0.08, 0.16, 0.32, 0.64, 1.3, 2.5, 5.0, 10.0, 20.0, 40.0, 80.0, 160.0, 320.0, 640.0, 1_300.0,
    2_500.0, 5e3, 1e4, 2e4, 4e4, 8e4, 1.6e5, 3.2e5, 6.4e5, 1.3e6, 2.5e6,
];

/// The scale number for so many particles in a millilitre [1/mL].
pub fn scale(per_millilitre: f64) -> u8 {
    UP_TO.iter().position(|most| per_millilitre <= *most).map_or(LARGEST, |number| number as u8)
}

/// More than, and up to how many particles in a millilitre a scale number stands for [1/mL].
pub fn range(number: u8) -> (f64, f64) {
    let most = |number: u8| UP_TO.get(usize::from(number)).copied().unwrap_or(f64::INFINITY);
    (number.checked_sub(1).map_or(0.0, most), most(number))
}

impl Code {
    /// The code for so many particles in a millilitre of at least 4, 6 and 14 µm(c) [1/mL].
    pub fn of(counts: [f64; 3]) -> Code {
        Code(counts.map(scale))
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [a, b, c] = self.0;
        write!(f, "{a}/{b}/{c}")
    }
}

impl FromStr for Code {
    type Err = String;
    fn from_str(text: &str) -> Result<Code, String> {
        let numbers: Vec<u8> = text.split('/').filter_map(|number| number.trim().parse().ok()).collect();
        match (numbers.as_slice(), text.split('/').count()) {
            ([a, b, c], 3) if *a <= LARGEST && b <= a && c <= b => Ok(Code([*a, *b, *c])),
            _ => Err(format!("`{text}` is no code of particles; three numbers that do not rise, such as \"17/15/12\"")),
        }
    }
}

impl TryFrom<String> for Code {
    type Error = String;
    fn try_from(text: String) -> Result<Code, String> {
        text.parse()
    }
}

impl From<Code> for String {
    fn from(code: Code) -> String {
        code.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_of_published_counts() {
        // Rows smp.iso4406.* and smp.pub.4406.code of reference/check-values.toml; limits belong to the lower number.
        let rows = [
            ([1100.0, 300.0, 35.0], "17/15/12"),
            ([1300.0, 320.0, 20.0], "17/15/11"),
            ([1300.1, 320.1, 20.1], "18/16/12"),
            ([100.0, 30.0, 1.0], "14/12/7"),
        ];
        for (counts, code) in rows {
            assert_eq!(Code::of(counts).to_string(), code, "{counts:?}");
            assert_eq!(code.parse::<Code>(), Ok(Code::of(counts)));
        }
        // Row smp.pub.4406.17.
        assert_eq!(range(17), (640.0, 1300.0));
        assert_eq!(scale(3e6), LARGEST);
        assert_eq!(scale(0.0), 0);
    }

    #[test]
    fn what_is_no_code_is_refused() {
        for text in ["", "17/15", "17/15/12/3", "12/15/17", "99/1/1", "a/b/c", "17/-1/0"] {
            assert!(text.parse::<Code>().is_err(), "{text}");
        }
    }
}
