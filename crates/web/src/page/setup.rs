//! Set-up: the adjusting jobs and calculators, each with its form, its answer and its drawing.

use crate::desk::Worked;
use crate::page::frame::{Frame, Theme};
use crate::page::query;
use crate::setting::Wanted;
use crate::ship::Scene;
use askama::Template;
use setup::ask::{Ask, Need, Sort};
use setup::given::{From, Given};
use setup::job::{Group, Job, Refused};
use setup::jobs::JOBS;
use setup::known::Known;
use setup::worked;
use std::fmt::Write as _;
use watch::saying::sentence;
use work::date;

/// The page of all jobs.
#[derive(Template)]
#[template(path = "setup.html")]
pub struct SetupPage {
    frame: Frame,
    groups: Vec<(&'static str, Vec<&'static Job>)>,
}

impl SetupPage {
    /// At this moment.
    pub fn of(scene: &Scene, theme: Theme) -> SetupPage {
        let of = |group: Group| JOBS.iter().filter(|job| job.group == group).collect::<Vec<_>>();
        let groups = Group::ALL.map(|group| (group.title(), of(group))).into_iter();
        SetupPage {
            frame: Frame::of(scene, "Set-up", theme, "/setup"),
            groups: groups.filter(|(_, jobs)| !jobs.is_empty()).collect(),
        }
    }
}

/// The page of a job.
#[derive(Template)]
#[template(path = "job.html")]
pub struct JobPage {
    frame: Frame,
    job: &'static Job,
    /// Parts it can be done on, where there are several: name, and whether it is this one.
    parts: Vec<(String, bool)>,
    /// What must be told, or changes what is asked.
    fields: Vec<Field>,
    /// What is taken where it is not told; shown open where something of it was told.
    taken: Vec<Field>,
    opened: bool,
    /// What is wrong with all of it together.
    wrong: Vec<String>,
    answer: Option<Answer>,
    /// The day a record would be of.
    day: String,
    invented: bool,
}

/// One thing asked.
struct Field {
    ask: &'static Ask,
    /// As it was told.
    value: String,
    /// What is taken where it is left empty, and from where.
    taken: String,
    /// How it could be written.
    hint: String,
    wrong: Option<String>,
}

/// What was worked out.
struct Answer {
    says: String,
    results: Vec<(String, String)>,
    flags: Vec<String>,
    tables: Vec<worked::Table>,
    steps: Vec<worked::Step>,
    working: Vec<worked::Working>,
    from: Vec<[String; 3]>,
    sketch: Option<String>,
    keeps: bool,
    /// What was told, to be sent again with what is kept.
    told: Vec<(String, String)>,
}

impl JobPage {
    /// Of a job, from what was told.
    pub fn of(scene: &Scene, worked: &Worked, wanted: &Wanted, theme: Theme) -> JobPage {
        let Wanted { job, of, told, known } = wanted;
        let mut here = format!("/setup/{}", job.word);
        for (place, (name, value)) in told.iter().enumerate() {
            let _ = write!(here, "{}{}={}", if place == 0 { '?' } else { '&' }, query(name), query(value));
        }
        let plant = &worked.plant;
        let of_kind = (0..plant.parts.len()).filter(|part| job.kinds.contains(&plant.parts[*part].kind.name));
        let parts: Vec<(String, bool)> =
            of_kind.map(|part| (plant.parts[part].name.clone(), of.is_some_and(|of| of.0 == part))).collect();
        let (answer, refused) = match wanted.work() {
            Ok((given, answer)) => (Some(Answer::of(job, &given, answer, wanted, plant)), Refused::default()),
            // Nothing was told yet, so nothing is wrong yet.
            Err(_) if told.is_empty() => (None, Refused::default()),
            Err(refused) => (None, refused),
        };
        let in_words = |one: &setup::job::Refusal| sentence(&format!("{}. {}", one.why, one.advice));
        let field = |ask: &'static Ask| {
            let (taken, hint) = taken(ask, known);
            Field {
                ask,
                value: told
                    .iter()
                    .find(|(name, _)| name == ask.key)
                    .map_or_else(String::new, |(_, value)| value.clone()),
                taken,
                hint,
                wrong: refused.0.iter().find(|one| one.key == Some(ask.key)).map(in_words),
            }
        };
        let shown = job.asks.iter().filter(|ask| wanted.asks(ask)).map(field);
        let (taken, fields): (Vec<Field>, Vec<Field>) =
            shown.partition(|field| field.hint.is_empty() && !field.is_choice());
        JobPage {
            frame: Frame::of(scene, "Set-up", theme, &here),
            job,
            parts: if parts.len() > 1 { parts } else { Vec::new() },
            opened: taken.iter().any(|field| !field.value.is_empty() || field.wrong.is_some()),
            fields,
            taken,
            wrong: refused.0.iter().filter(|one| one.key.is_none()).map(in_words).collect(),
            answer,
            day: date::iso(worked.now),
            invented: worked.invented,
        }
    }
}

impl Field {
    fn is_choice(&self) -> bool {
        !self.words().is_empty()
    }

    fn words(&self) -> &'static [(&'static str, &'static str)] {
        match self.ask.sort {
            Sort::Choice(words) => words,
            _ => &[],
        }
    }
}

/// How it could be written.
fn example(ask: &Ask) -> String {
    match ask.sort {
        Sort::Many(_) => format!("{}; commas between, the unit once at the end", ask.example()),
        _ => ask.example(),
    }
}

/// What is taken where nothing is told, in words; and how it could be written, where nothing else shows that.
fn taken(ask: &Ask, known: &[(&'static str, Known)]) -> (String, String) {
    let left = |what: String| (format!("left empty: {what}"), String::new());
    match known.iter().find(|(key, _)| *key == ask.key).map(|(_, known)| known) {
        Some(Known::Section { part, text }) => left(format!("{text} ([setup.{part}])")),
        Some(Known::Figure { part, origin, written, .. }) => left(format!("{written} ({part}, {origin})")),
        None => match ask.need {
            Need::Must => ("must be told".into(), example(ask)),
            Need::May => ("may be left empty".into(), example(ask)),
            Need::Usual(value, source) => left(format!("{value} ({source})")),
        },
    }
}

impl Answer {
    fn of(job: &Job, given: &Given, worked: worked::Worked, wanted: &Wanted, plant: &plant::plant::Plant) -> Answer {
        let from = job.asks.iter().filter_map(|ask| {
            let told = given.told(ask.key).filter(|told| told.from != From::Told)?;
            Some([ask.says.to_string(), told.written.clone(), told.from.words()])
        });
        let mut told = wanted.told.clone();
        told.extend(wanted.of.map(|of| ("of".to_string(), plant.parts[of.0].name.clone())));
        Answer {
            results: worked.results.iter().map(|one| (one.says.clone(), one.shown())).collect(),
            from: from.collect(),
            sketch: worked.sketch.as_ref().map(|sketch| sketch.svg(false)),
            keeps: !worked.kept.is_empty(),
            says: worked.says,
            flags: worked.flags,
            tables: worked.tables,
            steps: worked.steps,
            working: worked.working,
            told,
        }
    }
}
