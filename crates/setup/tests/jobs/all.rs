//! What all jobs owe.

use setup::ask::{Need, Sort};
use setup::given;
use setup::jobs::JOBS;
use std::collections::BTreeMap;

#[test]
fn a_key_means_one_thing_in_every_job() {
    let mut sorts: BTreeMap<&str, (&str, String)> = BTreeMap::new();
    for job in JOBS {
        let mut seen = std::collections::BTreeSet::new();
        for ask in job.asks {
            assert!(seen.insert(ask.key), "{}: {} is asked twice", job.word, ask.key);
            let sort = match ask.sort {
                // Each job has its own words.
                Sort::Choice(_) => "a choice".to_string(),
                other => format!("{other:?}"),
            };
            let (first, known) = sorts.entry(ask.key).or_insert((job.word, sort.clone()));
            assert_eq!(*known, sort, "{} is one thing in {first} and another in {}", ask.key, job.word);
        }
    }
}

#[test]
fn what_is_usual_can_be_read_and_says_where_it_is_from() {
    for ask in JOBS.iter().flat_map(|job| job.asks) {
        if let Need::Usual(text, source) = ask.need {
            assert!(given::read(ask, text).is_ok(), "{}: {text}", ask.key);
            assert!(!source.is_empty(), "{}", ask.key);
        }
        if let Some((key, words)) = ask.only {
            let choice =
                JOBS.iter().find(|job| job.asks.iter().any(|other| std::ptr::eq(other, ask))).expect("it is of a job");
            let choice = choice.asks.iter().find(|other| other.key == key).expect("the choice is of the same job");
            let Sort::Choice(known) = choice.sort else { panic!("{key} is no choice") };
            assert!(words.iter().all(|word| known.iter().any(|(known, _)| known == word)), "{}: {words:?}", ask.key);
        }
        assert!(ask.within.0 < ask.within.1 || ask.quantity().is_none(), "{}", ask.key);
        assert!(!ask.says.ends_with('.') && ask.says.starts_with(char::is_uppercase), "{}: {}", ask.key, ask.says);
    }
}

#[test]
fn what_the_plant_may_know_is_a_figure_of_a_kind() {
    for ask in JOBS.iter().flat_map(|job| job.asks) {
        for (kind, figure) in ask.plant {
            let kind = parts::catalogue::find(kind).unwrap_or_else(|| panic!("{}: no kind {kind}", ask.key));
            let parameter = kind.parameters.iter().find(|parameter| parameter.name == *figure);
            let parameter = parameter.unwrap_or_else(|| panic!("{}: no {figure} of {}", ask.key, kind.name));
            assert_eq!(Some(parameter.quantity), ask.quantity(), "{}", ask.key);
        }
    }
    for job in JOBS {
        for kind in job.kinds {
            assert!(parts::catalogue::find(kind).is_some(), "{}: no kind {kind}", job.word);
        }
    }
}
