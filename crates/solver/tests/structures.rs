//! Findings before any number.

use solver::{Structure, matching};

#[test]
fn a_sound_pattern_is_matched_one_to_one_along_its_entries() {
    // A ring that a greedy choice gets wrong, and a long chain that must not exhaust the stack.
    let ring = [(0, 0), (0, 1), (1, 0), (2, 1), (2, 2), (2, 2)];
    assert_eq!(matching(3, 3, &ring), Ok(vec![1, 0, 2]));
    let n = 200_000;
    let mut chain: Vec<_> = (0..n - 1).flat_map(|i| [(i, i), (i, i + 1)]).collect();
    chain.push((n - 1, 0));
    let unknown_of = matching(n, n, &chain).expect("one matching exists");
    assert!(unknown_of.iter().enumerate().all(|(i, &j)| j == if i == n - 1 { 0 } else { i + 1 }));
}

#[test]
fn what_competes_and_what_floats_is_named_apart_from_what_is_sound() {
    // Equations 0..3 share unknowns 0 and 1; equation 3 must fix unknowns 2 and 3; the last two are sound.
    let pattern = [(0, 0), (1, 0), (1, 1), (2, 1), (3, 2), (3, 3), (3, 0), (4, 4), (5, 5), (5, 4), (4, 0)];
    let structure = matching(6, 6, &pattern).unwrap_err();
    assert_eq!(structure, Structure { excess: vec![0, 1, 2], lacking: vec![2, 3] });
    assert_eq!(structure.to_string(), "3 equations compete for too few unknowns, 2 unknowns share too few equations");
}

#[test]
fn unequal_numbers_are_one_sided() {
    assert_eq!(matching(2, 1, &[(0, 0), (1, 0)]), Err(Structure { excess: vec![0, 1], lacking: vec![] }));
    assert_eq!(matching(1, 2, &[(0, 0)]), Err(Structure { excess: vec![], lacking: vec![1] }));
    assert_eq!(matching(1, 1, &[]), Err(Structure { excess: vec![0], lacking: vec![0] }));
    assert_eq!(matching(0, 0, &[]), Ok(vec![]));
}

/// Against every assignment tried in turn, on all 512 patterns of three by three.
#[test]
fn agrees_with_trying_everything() {
    let orders = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];
    for bits in 0..512_usize {
        let pattern: Vec<_> = (0..9).filter(|k| bits >> k & 1 == 1).map(|k| (k / 3, k % 3)).collect();
        let possible = orders.iter().any(|order| (0..3).all(|i| pattern.contains(&(i, order[i]))));
        match matching(3, 3, &pattern) {
            Ok(unknown_of) => {
                assert!(possible && (0..3).all(|i| pattern.contains(&(i, unknown_of[i]))), "{pattern:?}");
            }
            Err(Structure { excess, lacking }) => {
                assert!(!possible && !excess.is_empty() && !lacking.is_empty(), "{pattern:?}");
                // An over-determined set sees fewer unknowns than it has equations, and the other way round.
                let seen = (0..3).filter(|&j| excess.iter().any(|&i| pattern.contains(&(i, j)))).count();
                let seeing = (0..3).filter(|&i| lacking.iter().any(|&j| pattern.contains(&(i, j)))).count();
                assert!(seen < excess.len() && seeing < lacking.len(), "{pattern:?}");
            }
        }
    }
}
