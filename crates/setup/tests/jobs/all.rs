//! What all jobs owe.

use setup::ask::{Ask, Need, Sort};
use setup::doubt;
use setup::given::{self, Given};
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

/// Numbers that come the same every time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        ((self.0 >> 33) as usize) % count
    }

    fn share(&mut self) -> f64 {
        self.below(1_000_001) as f64 / 1e6
    }
}

/// Something that could be told, likely or absurd.
fn anything(ask: &Ask, dice: &mut Dice) -> String {
    const TEXTS: [&str; 8] =
        ["", "1-5-3-6-2-4", "1-3-4-2", "a, b", "inside, outside", "1", "-,;", "1-2-3-4-5-6-7-8-9-10"];
    let value = |dice: &mut Dice| {
        let (low, high) = ask.within;
        match dice.below(6) {
            0 => low,
            1 => high,
            2 => 0.0_f64.clamp(low, high),
            // The small end, where lengths of tapes and gaps lie.
            3 => low + (high - low) * dice.share().powi(4),
            _ => low + (high - low) * dice.share(),
        }
    };
    match ask.sort {
        Sort::Choice(words) => words[dice.below(words.len())].0.into(),
        Sort::Text(example) => [example, TEXTS[dice.below(TEXTS.len())]][dice.below(2)].into(),
        Sort::One(quantity) => format!("{:e} {}", value(dice), quantity.si_unit()),
        Sort::Many(quantity) => {
            let count = [1, 2, 3, 4, 4, 6, 6, 200][dice.below(8)];
            let all: Vec<String> = (0..count).map(|_| format!("{:e}", value(dice))).collect();
            format!("{} {}", all.join(", "), quantity.si_unit())
        }
    }
}

/// Its example, of a choice the first word.
fn usual(ask: &Ask) -> String {
    match ask.sort {
        Sort::Choice(words) => words[0].0.into(),
        _ => ask.example().replace(", …", ""),
    }
}

#[test]
fn nothing_that_is_told_makes_a_job_stumble() {
    for job in JOBS {
        let (mut dice, mut worked) = (Dice(11), 0);
        for _ in 0..1_500 {
            let mut told = Vec::new();
            // As one would tell it, with a slip in it, or with nothing but slips.
            let wild = [0.0, 0.1, 1.0][dice.below(3)];
            for ask in job.asks {
                if ask.need == Need::Must && dice.below(20) > 0 || dice.below(3) == 0 {
                    let text = if dice.share() < wild { anything(ask, &mut dice) } else { usual(ask) };
                    told.push((ask.key.to_string(), text));
                }
            }
            let Ok(answer) = Given::read(job, &told, &[]).and_then(|given| doubt::work(job, &given)) else { continue };
            worked += 1;
            for result in &answer.results {
                assert!(result.value.is_finite(), "{}: {} of {told:?}", job.word, result.key);
                assert!(result.doubt.is_none_or(f64::is_finite), "{}: {} of {told:?}", job.word, result.key);
            }
            let drawn = answer.sketch.map(|sketch| sketch.svg(true)).unwrap_or_default();
            assert!(!drawn.contains("NaN") && !drawn.contains("inf"), "{}: {told:?}", job.word);
            let said = format!("{} {:?} {:?}", answer.says, answer.flags, answer.tables);
            assert!(!said.contains("NaN") && !said.contains("inf "), "{}: {said}", job.word);
        }
        assert!(worked > 0, "{}: nothing came out of any of them", job.word);
    }
}
