//! Lines of the catalogue that hold for some plants only in part.

use crate::kind::Circuit;
use std::borrow::Cow;

/// A line as it holds for a plant with these circuits: `[raw-water: …]` stands only where there is raw water, and
/// `[no raw-water: …]` only where there is none.
pub fn for_circuits(line: &'static str, has: impl Fn(Circuit) -> bool) -> Cow<'static, str> {
    if !line.contains('[') {
        return line.into();
    }
    let mut out = String::with_capacity(line.len());
    let mut rest = line;
    while let Some((before, after)) = rest.split_once('[') {
        out += before;
        let (clause, after) = after.split_once(']').unwrap_or((after, ""));
        let (wants, text) = clause.split_once(": ").unwrap_or(("", clause));
        let (wanted, name) = wants.strip_prefix("no ").map_or((true, wants), |name| (false, name));
        let there = Circuit::ALL.into_iter().find(|circuit| circuit.name() == name).is_none_or(&has);
        if there == wanted {
            out += text;
        }
        rest = after;
    }
    (out + rest).into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::KINDS;

    #[test]
    fn a_clause_stands_where_its_circuit_is_and_the_other_where_it_is_not() {
        let line = "Ease off[raw-water: ; look at the water]. [no raw-water: Feel the keel. ]Then stop.";
        assert_eq!(for_circuits(line, |_| true), "Ease off; look at the water. Then stop.");
        assert_eq!(for_circuits(line, |_| false), "Ease off. Feel the keel. Then stop.");
    }

    #[test]
    fn every_clause_of_the_catalogue_names_a_circuit_and_every_line_says_something_without_it() {
        let limits = KINDS.iter().flat_map(|kind| kind.limits).map(|limit| limit.act);
        let dangers = KINDS.iter().flat_map(|kind| kind.words).filter_map(|word| word.danger);
        for line in limits.chain(dangers) {
            for clause in line.split('[').skip(1) {
                let wants = clause.split_once(": ").expect("a circuit and a clause").0.trim_start_matches("no ");
                assert!(Circuit::ALL.iter().any(|circuit| circuit.name() == wants), "{line}");
            }
            for has in [true, false] {
                let whole = for_circuits(line, |_| has);
                assert!(whole.len() > 20 && whole.ends_with('.') && !whole.contains(['[', ']']), "{whole}");
                assert!(!whole.contains("  ") && !whole.contains(" ."), "{whole}");
            }
        }
    }
}
