//! What every remedy and every check's tools must hold, walked over the whole catalogue.

use parts::catalogue::KINDS;
use parts::kind::{Cause, Circuit, Kind, State};
use parts::remedy::{ANY, JOBS, OPENED, SORTS, effort, sort};
use parts::tools;

/// Everything that is wrong, at once; empty when all is well.
#[track_caller]
fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

fn every_cause() -> impl Iterator<Item = (&'static Kind, &'static Cause)> {
    KINDS.iter().flat_map(|kind| kind.causes.iter().map(move |cause| (*kind, cause)))
}

fn cause(kind: &str, name: &str) -> (&'static Kind, &'static Cause) {
    every_cause().find(|(k, c)| k.name == kind && c.name == name).unwrap_or_else(|| panic!("no {kind}/{name}"))
}

#[test]
fn every_cause_tells_what_sort_of_job_cures_it() {
    let unsorted = every_cause().filter(|(_, cause)| sort(cause.remedy).is_none());
    none(
        &unsorted.map(|(kind, cause)| format!("{}/{}: {:?}", kind.name, cause.name, cause.remedy)).collect::<Vec<_>>(),
    );
}

#[test]
fn every_row_is_of_a_remedy_that_is_there_and_differs_from_its_sort() {
    let mut wrong = Vec::new();
    for job in JOBS {
        let mine =
            |(kind, cause): &(&Kind, &Cause)| (job.kind == ANY || kind.name == job.kind) && cause.remedy == job.remedy;
        let Some((_, cause)) = every_cause().find(mine) else {
            wrong.push(format!("{}: no cause has the remedy {:?}", job.kind, job.remedy));
            continue;
        };
        let sort = sort(cause.remedy).expect("every cause has a sort");
        let differs = job.minutes.is_some_and(|it| it != sort.minutes)
            || job.money.is_some_and(|it| it != sort.money)
            || (job.state.is_some() && job.state != sort.state)
            || job.yard.is_some_and(|it| it != sort.yard)
            || job.spare.is_some_and(|it| it != sort.spare);
        if !differs {
            wrong.push(format!("{}: {:?} is as its sort", job.kind, job.remedy));
        }
    }
    none(&wrong);
}

#[test]
fn every_effort_is_one_a_person_can_make() {
    let mut wrong = Vec::new();
    for (kind, cause) in every_cause() {
        let effort = effort(kind, cause);
        if !(1.0..=3000.0).contains(&effort.minutes) || !(0.0..=5000.0).contains(&effort.money) {
            wrong.push(format!("{}/{}: {effort:?}", kind.name, cause.name));
        }
    }
    for circuit in Circuit::ALL {
        if !OPENED.iter().any(|(name, _)| *name == circuit.name()) {
            wrong.push(format!("nothing says what it takes to open {}", circuit.name()));
        }
    }
    none(&wrong);
}

/// What owners tell each other, as bounds: a remedy that left them would be a slip in the table.
#[test]
fn known_jobs_are_of_their_known_size() {
    let of = |kind, name| {
        let (kind, cause) = cause(kind, name);
        effort(kind, cause)
    };
    let strainer = of("strainer", "blocked");
    assert!(strainer.minutes < 20.0 && strainer.state == State::StoppedAndShut && !strainer.spare);
    let impeller = of("raw-pump", "worn");
    assert!((20.0..=60.0).contains(&impeller.minutes) && impeller.spare && !impeller.yard);
    let gasket = of("diesel", "head_gasket");
    assert!(gasket.minutes > 300.0 && gasket.minutes > 10.0 * impeller.minutes);
    assert!(of("keel-cooler", "fouled").state == State::UnderWater);
    assert!(of("diesel", "compression_low").yard, "an overhaul is a yard's");
    // The pressure cap comes off cold, by the circuit alone.
    assert_eq!(of("header-tank", "low").state, State::StoppedCold);
    // The same remedy on two kinds of propeller is one row.
    assert_eq!(of("propeller", "rope"), of("controllable-pitch-propeller", "rope"));
}

#[test]
fn a_remedy_in_the_owners_own_words_is_a_job_too() {
    let (kind, like) = cause("strainer", "blocked");
    let own = Cause { remedy: "whistle at it", ..*like };
    assert!(sort(own.remedy).is_none());
    let find_and_mend = SORTS.iter().find(|sort| sort.name == "find and mend").expect("it is a sort");
    assert_eq!(effort(kind, &own).minutes, find_and_mend.minutes);
    assert_eq!(effort(kind, &own).state, State::StoppedAndShut, "raw water is opened with the seacock shut");
}

#[test]
fn every_tool_of_a_check_is_known() {
    let checks = KINDS.iter().flat_map(|kind| kind.checks.iter().map(move |check| (kind, check)));
    let mut wrong = Vec::new();
    for (kind, check) in checks {
        for thing in check.tool.into_iter().flat_map(tools::wanted).flatten() {
            if tools::find(thing).is_none() && !tools::at_hand(thing) {
                wrong.push(format!("{}.{}: {thing:?}", kind.name, check.name));
            }
        }
    }
    none(&wrong);
}

#[test]
fn no_thing_is_two_tools() {
    let mut names: Vec<&str> =
        tools::TOOLS.iter().flat_map(|tool| tool.also.iter().copied().chain([tool.name])).collect();
    names.extend(tools::AT_HAND);
    let count = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), count, "a tool stands twice");
}
