//! Chances, severities and distances in the words of the page.

use parts::kind::{By, Cause, Circuit, Severity};

/// How chances are told.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Odds {
    /// "about 3 in 4".
    Words,
    /// "73.4 %".
    Exact,
}

/// Chances that people say, as "n in d".
const SAID: [(u32, u32); 17] = [
    (1, 200),
    (1, 100),
    (1, 50),
    (1, 20),
    (1, 10),
    (1, 5),
    (1, 4),
    (1, 3),
    (1, 2),
    (2, 3),
    (3, 4),
    (4, 5),
    (9, 10),
    (19, 20),
    (49, 50),
    (99, 100),
    (199, 200),
];

impl Odds {
    /// A chance [1] in words.
    pub fn say(self, chance: f64) -> String {
        if self == Odds::Exact {
            return format!("{:.1} %", 100.0 * chance);
        }
        match chance {
            c if c < 0.003 => "less than 1 in 200".into(),
            c if c > 0.997 => "more than 199 in 200".into(),
            _ => {
                let (n, d) = nearest(chance);
                format!("about {n} in {d}")
            }
        }
    }
}

/// The chance people say that is nearest in odds.
fn nearest(chance: f64) -> (u32, u32) {
    let odds = |p: f64| (p / (1.0 - p)).ln();
    let far = |&(n, d): &(u32, u32)| (odds(f64::from(n) / f64::from(d)) - odds(chance)).abs();
    SAID.iter().copied().min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or((1, 2))
}

/// How bad a cause is, if it is so and if there is a more or less of it: "about 60 % blocked, 40 to 80 %".
pub fn severity(cause: &Cause, middle: f64, (low, high): (f64, f64)) -> Option<String> {
    if cause.severity == Severity::Whole || cause.moves.is_empty() {
        return None;
    }
    let share = cause.moves.iter().find_map(|m| match m.by {
        By::Blocked | By::Choked(_) => Some("blocked"),
        By::Lost => Some(lost(m.parameter)),
        By::Factor(_) | By::Add(_) | By::Towards(_) => None,
    });
    Some(match share {
        Some(word) if percent(low) == percent(high) => format!("about {} % {word}", percent(middle)),
        Some(word) => format!("about {} % {word}, {} to {} %", percent(middle), percent(low), percent(high)),
        None => match (grade(low), grade(high)) {
            (low, high) if low == high => high.to_string(),
            (low, high) => format!("{low} to {high}"),
        },
    })
}

/// What a part has lost when a parameter of it goes towards nothing, as it is said after "about 60 %".
fn lost(parameter: &str) -> &'static str {
    match parameter {
        "opening" | "greatest" => "shut",
        "free" | "bypass_closing" => "stuck",
        "impeller" => "of the impeller gone",
        "oil_level" => "of its oil lost",
        "holds" => "of its pressure lost",
        "output" | "excitation" => "of its output lost",
        "prime" => "of its prime lost",
        "valves" => "of its valves lost",
        "left" => "of its air lost",
        "vent" => "of its vent shut",
        "holes_free" => "blocked",
        "health" => "of its stroke lost",
        "exchange" => "of its exchange lost",
        "filled" => "of its filling lost",
        _ => "lost",
    }
}

/// In fives, but whole where nothing is left to round.
fn percent(share: f64) -> u32 {
    let exact = 100.0 * share.clamp(0.0, 1.0);
    if (5.0..95.0).contains(&exact) { (exact / 5.0).round() as u32 * 5 } else { exact.round() as u32 }
}

fn grade(severity: f64) -> &'static str {
    match severity {
        s if s < 0.25 => "slight",
        s if s < 0.55 => "middling",
        s if s < 0.85 => "bad",
        _ => "as bad as it gets",
    }
}

/// How far a reading is off, from how many standard deviations of a sound plant it is off.
pub fn far_off(deviations: f64) -> &'static str {
    match deviations {
        d if !d.is_finite() => "cannot be judged",
        d if d > 4.0 => "far too high",
        d if d > 2.5 => "too high",
        d if d > 1.5 => "rather high",
        d if d < -4.0 => "far too low",
        d if d < -2.5 => "too low",
        d if d < -1.5 => "rather low",
        _ => "as it should be",
    }
}

/// "a", "a and b", "a, b and c".
pub fn list(items: &[String]) -> String {
    match items {
        [] => "nothing".into(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// The same with a capital first letter.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// A title in running text: its first letter small, unless the word is all capitals.
pub fn lower_first(title: &str) -> String {
    let mut letters = title.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() || second == ' ' => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => title.into(),
    }
}

/// A circuit's name in running text.
pub fn circuit(circuit: Circuit) -> String {
    circuit.name().replace('-', " ")
}

/// A key of a vessel file or of evidence in running text.
pub fn key(name: &str) -> String {
    name.replace(['_', '-'], " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odds_are_said_by_the_nearest_of_them() {
        for (chance, said) in [
            (0.0, "less than 1 in 200"),
            (0.06, "about 1 in 20"),
            (0.34, "about 1 in 3"),
            (0.52, "about 1 in 2"),
            (0.74, "about 3 in 4"),
            (0.91, "about 9 in 10"),
            (1.0, "more than 199 in 200"),
        ] {
            assert_eq!(Odds::Words.say(chance), said);
        }
        assert_eq!(Odds::Exact.say(0.734), "73.4 %");
    }

    #[test]
    fn titles_run_on_in_small_letters() {
        assert_eq!(lower_first("Open it and look."), "open it and look.");
        assert_eq!(lower_first("GPS against log"), "GPS against log");
    }

    #[test]
    fn a_valve_is_shut_and_not_lost() {
        let cause = |kind: &str, name: &str| {
            let kind = parts::catalogue::KINDS.iter().find(|k| k.name == kind).expect("it is a kind");
            kind.causes.iter().find(|cause| cause.name == name).expect("it fails so")
        };
        let said = |kind, name| severity(cause(kind, name), 0.6, (0.4, 0.8)).expect("it has a more or less");
        for kind in parts::catalogue::KINDS {
            for cause in kind.causes.iter().filter(|cause| cause.moves.iter().any(|m| matches!(m.by, By::Lost))) {
                let words = severity(cause, 0.6, (0.4, 0.8)).unwrap_or_default();
                assert!(!words.contains("% lost"), "{} {}: {words}", kind.name, cause.name);
            }
        }
        assert_eq!(said("strainer", "blocked"), "about 60 % blocked, 40 to 80 %");
        assert_eq!(said("valve", "part_shut"), "about 60 % shut, 40 to 80 %");
    }

    #[test]
    fn said_odds_are_in_order_so_more_never_sounds_less() {
        let mut last = 0.0;
        for (n, d) in SAID {
            let chance = f64::from(n) / f64::from(d);
            assert!(chance > last);
            last = chance;
        }
    }
}
