//! "Did you mean?"

/// The word of `among` nearest to `word`, if any is near enough to be meant.
///
/// Near enough is at most one slip (a letter too many, too few, wrong, or two swapped) in three letters of the
/// longer word; capitals do not count. Of equals the first wins.
pub fn nearest<'a>(word: &str, among: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = folded(word);
    let mut best: Option<(usize, &str)> = None;
    for candidate in among {
        let letters = folded(candidate);
        let limit = word.len().max(letters.len()) / 3;
        // The lengths alone may settle it, which also spares the table for a hopelessly long word.
        if word.len().abs_diff(letters.len()) > limit || word.len() > LONGEST {
            continue;
        }
        let slips = slips(&word, &letters);
        if slips <= limit && best.is_none_or(|(least, _)| slips < least) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Words longer than this were never a name [letters].
const LONGEST: usize = 100;

fn folded(word: &str) -> Vec<char> {
    word.trim().chars().flat_map(char::to_lowercase).collect()
}

/// The Damerau-Levenshtein distance in its plain form, where no letter is touched twice.
fn slips(a: &[char], b: &[char]) -> usize {
    let mut two_up: Vec<usize> = Vec::new();
    let mut up: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let same = a[i - 1] == b[j - 1];
            row[j] = (up[j] + 1).min(row[j - 1] + 1).min(up[j - 1] + usize::from(!same));
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(two_up[j - 2] + 1);
            }
        }
        two_up = std::mem::replace(&mut up, row);
    }
    up[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_slip_in_three_letters_is_forgiven() {
        let kinds = ["strainer", "stern_tube", "thermostat"];
        assert_eq!(nearest("strianer", kinds), Some("strainer"));
        assert_eq!(nearest("Termostat", kinds), Some("thermostat"));
        assert_eq!(nearest("stern-tube", kinds), Some("stern_tube"));
        assert_eq!(nearest("pump", kinds), None);
        assert_eq!(nearest("", kinds), None);
        assert_eq!(nearest("bar", []), None);
        assert_eq!(nearest(&"strainer".repeat(100_000), kinds), None);
    }

    #[test]
    fn slips_are_counted_as_by_hand() {
        let count = |a: &str, b: &str| slips(&folded(a), &folded(b));
        for (a, b, by_hand) in [
            ("", "", 0),
            ("", "abc", 3),
            ("kitten", "sitting", 3),
            ("abc", "acb", 1),
            ("ca", "abc", 3),
            ("µm", "mm", 1),
        ] {
            assert_eq!(count(a, b), by_hand, "{a} {b}");
            assert_eq!(count(b, a), by_hand, "{b} {a}");
        }
    }

    #[test]
    fn of_equals_the_first_wins() {
        assert_eq!(nearest("pump-3", ["pump-1", "pump-2"]), Some("pump-1"));
    }
}
