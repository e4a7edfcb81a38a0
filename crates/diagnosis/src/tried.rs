//! Checks made and parts renewed as evidence: a clean finding lowers the odds by what it can miss, and no more.

use crate::hypothesis::{self, What, kind_of};
use parts::kind::{Check, Find};
use parts::rates;
use plant::evidence::{CheckMade, Evidence, Found, Named, Renewal, RenewalResult};
use plant::plant::Plant;

/// Trouble outlives the renewal of what caused it this often: bad spare, second fault. Prototype's 0.05 to 0.15.
const OUTLIVES: f64 = 0.10;
/// And the renewal of anything else.
const STAYS: f64 = 0.97;
/// "Better, not cured" where the cause was renewed, and where it was not. From memory.
const BETTER_IF_IT: f64 = 0.35;
const BETTER_IF_NOT: f64 = 0.12;
/// "Cured" where it was not the cause: it was coming anyway, or something was touched by chance. From memory.
const CURED_IF_NOT: f64 = 0.03;
/// No chain of human looks is surer than this, `[Rates]` "From a check".
const LEAST_MISS: f64 = 0.003;
/// A report that a check was made is weaker than the check. `[Rates]` has 0.2 for routine checks; one made because of
/// trouble is skipped less, from memory.
const NOT_REALLY_DONE: f64 = 0.05;

/// Where there are two causes, how often the renewal of one comes out as it did. From memory.
fn one_of_two(result: RenewalResult) -> f64 {
    match result {
        RenewalResult::NoChange => 0.35,
        RenewalResult::Better => 0.55,
        RenewalResult::Cured => 0.10,
    }
}

/// Logarithm of how likely everything tried came out as it did under a cause of this severity, and one beside it, up to a
/// term common to all hypotheses.
pub fn log_likelihood(plant: &Plant, evidence: &Evidence, own: (What, f64), beside: Option<(What, f64)>) -> f64 {
    let each = || std::iter::once(own).chain(beside);
    let looked = |made: &CheckMade| each().map(|(what, severity)| looked(plant, made, what, severity)).sum::<f64>();
    let renewed = |renewal: &Renewal| {
        let of_it: Vec<What> = each().map(|(what, _)| what).filter(|what| undone(plant, renewal, *what)).collect();
        match (of_it.as_slice(), beside) {
            ([_], Some(_)) => one_of_two(renewal.result).ln(),
            _ => renewed(plant, renewal, of_it.first().copied().unwrap_or(own.0)).ln(),
        }
    };
    looks(evidence).map(|(_, made)| looked(made)).sum::<f64>() + evidence.renewed.iter().map(renewed).sum::<f64>()
}

/// Looks that tell something new, with their places: the same look with the same answer, told again, is no second look, for
/// what it missed it would miss again.
pub(crate) fn looks(evidence: &Evidence) -> impl Iterator<Item = (usize, &CheckMade)> {
    let again = |k: usize, made: &CheckMade| evidence.checks[..k].contains(made);
    evidence.checks.iter().enumerate().filter(move |(k, made)| !again(*k, made))
}

/// Whether a renewal cured it, as far as nothing told of the same renewal says otherwise.
pub fn cured(evidence: &Evidence) -> bool {
    let otherwise = |made: &Renewal| {
        let same = |other: &&Renewal| (other.of, &other.what) == (made.of, &made.what);
        evidence.renewed.iter().filter(same).any(|other| other.result != RenewalResult::Cured)
    };
    evidence.renewed.iter().any(|made| made.result == RenewalResult::Cured && !otherwise(made))
}

/// Which find of a check speaks of this hypothesis.
pub fn find_of(plant: &Plant, of: Named, check: &'static Check, what: What) -> Option<&'static Find> {
    let What::Cause(own, _) = what else { return None };
    let cause = hypothesis::cause_of(plant, what)?;
    check.finds.iter().filter(|find| plant.can_show(of, find)).find(|find| match find.cause.split_once('/') {
        Some((kind, name)) => kind_of(plant, own).name == kind && cause.name == name,
        None => own == of && cause.name == find.cause,
    })
}

/// Chance that a check shows a cause of this severity [1].
pub fn detect(find: &Find, severity: f64) -> f64 {
    let miss = rates::power(find.power).map_or(0.3, |power| power.miss);
    (1.0 - miss) * (0.4 + 0.6 * (severity / 0.5).min(1.0))
}

/// Chance that a check that is told of shows a cause of this severity [1]: not every check told was really made.
pub fn told_detect(find: &Find, severity: f64) -> f64 {
    detect(find, severity) * (1.0 - NOT_REALLY_DONE)
}

/// Powers of looks by which a thing is seen: it names itself. What is measured tells only that something is off, and the
/// causes that it is off by alike are not told apart. From memory.
const SEEN: [&str; 15] = [
    "visual-general",
    "visual-engine-parts",
    "round-walk",
    "valve-status-seen",
    "exchanger-end-cap",
    "dive",
    "strainer-lid",
    "impeller-cover",
    "impeller-out",
    "dipstick",
    "gear-oil-look",
    "fuel-clear-hose",
    "injector-tester",
    "relief-valve-out",
    "filter-cut-open",
];

/// Does what a check shows by this find name the cause?
pub fn names_it(find: &Find) -> bool {
    SEEN.contains(&find.power)
}

/// Chance that a check names a cause that is not there [1].
pub fn named_by_chance(find: &Find) -> f64 {
    rates::power(find.power).map_or(0.01, |power| power.false_find.max(0.01))
}

/// Chance that a check shows something that is not there [1].
pub fn false_find(check: &Check) -> f64 {
    check.finds.iter().filter_map(|f| rates::power(f.power)).map(|power| power.false_find).fold(0.01, f64::max)
}

/// What a check that tells each thing by itself shows of one of them; nothing if it does not speak of it.
pub fn shown(check: &Check, things: &[(usize, bool)], find: &Find) -> Option<bool> {
    let of_it = |k: usize| check.finds.get(k).is_some_and(|own| own.cause == find.cause);
    things.iter().find(|(k, _)| of_it(*k)).map(|(_, there)| *there)
}

fn looked(plant: &Plant, made: &CheckMade, what: What, severity: f64) -> f64 {
    let kind = kind_of(plant, made.of);
    let Some(check) = kind.checks.get(made.check) else { return 0.0 };
    let false_find = false_find(check);
    let found = find_of(plant, made.of, check, what);
    let detect = found.map(|find| told_detect(find, severity));
    match (&made.found, detect) {
        (Found::Clean, Some(detect)) => ((1.0 - detect).max(LEAST_MISS) / (1.0 - false_find)).ln(),
        (Found::Something, Some(detect)) => (detect.max(false_find) / false_find).ln(),
        (Found::Cause(k), Some(detect)) => {
            let same = what == What::Cause(made.of, *k);
            // Found by name: what else the check is often wrong about says nothing against it.
            let by_chance = found.map_or(0.01, named_by_chance);
            if same { (detect.max(by_chance) / by_chance).ln() } else { (1.0 - detect).max(LEAST_MISS).ln() }
        }
        (Found::Each(things), Some(detect)) => {
            let by_chance = found.map_or(0.01, named_by_chance);
            match found.and_then(|find| shown(check, things, find)) {
                Some(true) => (detect.max(by_chance) / by_chance).ln(),
                Some(false) => ((1.0 - detect).max(LEAST_MISS) / (1.0 - by_chance)).ln(),
                None => 0.0,
            }
        }
        (_, None) => 0.0,
    }
}

/// Trouble outlives a job that had the part in hand, though not for its sake, this often. From memory.
const OUTLIVES_IN_PASSING: f64 = 0.3;

/// What a job puts right in passing.
struct InPassing {
    /// Kind of part that is renewed, and the word that says what of it; "" for the whole.
    job: (&'static str, &'static str),
    /// Kinds and causes that it cannot leave as they were.
    puts_right: &'static [(&'static str, &'static str)],
}

/// Jobs that cannot be done without. Common practice, no source: bearings are renewed with the sump off, and new oil and
/// filter after; a thermostat is changed with the coolant drained and filled up again.
const IN_PASSING: &[InPassing] = &[
    InPassing {
        job: ("diesel", "bearings"),
        puts_right: &[
            ("sump", "level_low"),
            ("sump", "wrong_grade"),
            ("oil-filter", "double_gasket"),
            ("oil-filter", "misfitted"),
            ("oil-filter", "clogged"),
            ("oil-pickup", "screen_blocked"),
            ("oil-pump", "lost_prime"),
        ],
    },
    InPassing {
        job: ("oil-pump", ""),
        puts_right: &[("sump", "level_low"), ("sump", "wrong_grade"), ("oil-pickup", "screen_blocked")],
    },
    InPassing {
        job: ("raw-pump", "impeller"),
        puts_right: &[("raw-pump", "wear_plate_failed"), ("raw-pump", "drive_broken"), ("raw-pump", "not_primed")],
    },
    InPassing { job: ("thermostat", ""), puts_right: &[("header-tank", "low")] },
    InPassing { job: ("coolant-pump", ""), puts_right: &[("header-tank", "low"), ("belt", "slack")] },
    InPassing { job: ("exchanger", ""), puts_right: &[("header-tank", "low")] },
];

/// Was it put right in passing?
fn in_passing(plant: &Plant, renewal: &Renewal, what: What) -> bool {
    put_right(plant, what, |(kind, of)| {
        kind == kind_of(plant, renewal.of).name && (renewal.what.is_empty() || of == renewal.what)
    })
}

/// Does a job that `done` knows put this right in passing?
fn put_right(plant: &Plant, what: What, done: impl Fn((&str, &str)) -> bool) -> bool {
    let (What::Cause(of, _), Some(cause)) = (what, hypothesis::cause_of(plant, what)) else { return false };
    let kind = kind_of(plant, of).name;
    IN_PASSING.iter().filter(|row| done(row.job)).any(|row| row.puts_right.contains(&(kind, cause.name)))
}

/// Chance that the repair of one cause undoes another, or itself [1]: those of one part with one remedy go together.
pub fn mends(plant: &Plant, repaired: What, what: What) -> f64 {
    let (What::Cause(of, _), Some(mended)) = (repaired, hypothesis::cause_of(plant, repaired)) else { return 0.0 };
    let same_part = matches!(what, What::Cause(other, _) if other == of);
    if same_part && hypothesis::cause_of(plant, what).is_some_and(|cause| cause.remedy == mended.remedy) {
        return 1.0 - OUTLIVES;
    }
    let job = |(kind, of_it): (&str, &str)| {
        kind == kind_of(plant, of).name && (mended.name.contains(of_it) || mended.remedy.contains(of_it))
    };
    if put_right(plant, what, job) { 1.0 - OUTLIVES_IN_PASSING } else { 0.0 }
}

/// Was this renewed already?
pub fn renewed_already(plant: &Plant, evidence: &Evidence, what: What) -> bool {
    let (What::Cause(of, _), Some(cause)) = (what, hypothesis::cause_of(plant, what)) else { return false };
    evidence.renewed.iter().any(|renewal| renewal.of == of && plant::evidence_reader::undoes(renewal, cause))
}

/// Does a renewal undo this?
fn undone(plant: &Plant, renewal: &Renewal, what: What) -> bool {
    let What::Cause(of, _) = what else { return false };
    of == renewal.of
        && hypothesis::cause_of(plant, what).is_some_and(|cause| plant::evidence_reader::undoes(renewal, cause))
}

fn renewed(plant: &Plant, renewal: &Renewal, what: What) -> f64 {
    let it = undone(plant, renewal, what);
    if !it && renewal.result == RenewalResult::NoChange && in_passing(plant, renewal, what) {
        return OUTLIVES_IN_PASSING;
    }
    match (renewal.result, it) {
        (RenewalResult::NoChange, true) => OUTLIVES,
        (RenewalResult::NoChange, false) => STAYS,
        (RenewalResult::Better, true) => BETTER_IF_IT,
        (RenewalResult::Better, false) => BETTER_IF_NOT,
        (RenewalResult::Cured, true) => 1.0 - OUTLIVES,
        (RenewalResult::Cured, false) => CURED_IF_NOT,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use parts::catalogue::KINDS;

    #[test]
    fn what_is_seen_is_in_the_table_of_powers() {
        assert!(SEEN.iter().all(|key| rates::power(key).is_some()), "{SEEN:?}");
    }

    #[test]
    fn jobs_and_what_they_put_right_are_there() {
        let kind = |name: &str| KINDS.iter().find(|kind| kind.name == name).unwrap_or_else(|| panic!("no kind {name}"));
        for row in IN_PASSING {
            let what = row.job.1;
            let undone = |cause: &&parts::kind::Cause| cause.name.contains(what) || cause.remedy.contains(what);
            assert!(kind(row.job.0).causes.iter().any(|cause| undone(&cause)), "{:?}", row.job);
            for &(of, cause) in row.puts_right {
                assert!(kind(of).causes.iter().any(|c| c.name == cause), "{of}/{cause}");
            }
        }
    }
}
