//! Service tasks out of the owner's text, laid over the starting set.
//!
//! `[task.NAME]` with `of = "raw-pump"` and a name (or `like = "impeller"`) that the starting set has for that kind changes
//! what it tells and keeps the rest; any other name is a task of the owner's own.

use crate::fields::{guards, last, uses, usual, when};
use crate::measure_told;
use crate::starting;
use crate::task::*;
use measure::nearest::nearest;
use plant::evidence::Named;
use plant::finding::{Finding, Problem};
use plant::plant::Plant;
use plant::told::{Entry, document, entries};

/// Most tasks in one file.
const MOST: usize = 2_000;
const KEYS: &[&str] = &[
    "of",
    "like",
    "title",
    "hours",
    "months",
    "first",
    "after",
    "before",
    "season",
    "when",
    "needs",
    "minutes",
    "steps",
    "procedure",
    "caution",
    "tools",
    "uses",
    "measures",
    "guards",
    "renews",
    "harm",
    "mark",
    "last",
    "never",
];
const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Who tells a task.
#[derive(Copy, Clone, PartialEq, Eq)]
pub(crate) enum Given {
    /// The starting set: a cause that this kind has not is passed over, for a row is told of several kinds.
    Starting,
    /// The owner.
    Owner,
}

/// The service tasks of a plant: the starting set, with what these texts (`vessel.toml`, `work.toml`) say laid over it; and
/// every mistake, with the place of the text it is in.
pub fn tasks(plant: &Plant, texts: &[&str]) -> (Vec<Task>, Vec<(usize, Finding)>) {
    let mut all = starting::set(plant, &mut Vec::new());
    let mut findings = Vec::new();
    for (place, text) in texts.iter().enumerate() {
        let mut own = Vec::new();
        owners(plant, text, &mut all, &mut own);
        findings.extend(own.into_iter().map(|finding| (place, finding)));
    }
    (all, findings)
}

fn owners(plant: &Plant, text: &str, all: &mut Vec<Task>, findings: &mut Vec<Finding>) {
    let document = match document(text) {
        Ok(document) => document,
        Err(wrong) => return findings.extend(wrong.into_iter().filter(|f| f.problem != Problem::Empty)),
    };
    // What is wrong with the other sections is told by whoever reads them.
    let sections = entries(document.as_table(), &mut Vec::new());
    for section in sections.iter().filter(|section| section.key == "task") {
        for entry in section.table(findings) {
            if all.iter().filter(|task| task.own).count() >= MOST {
                findings.push(Finding::at(Problem::TooMany { what: "tasks", limit: MOST }, entry.key_place));
                return;
            }
            owner(plant, &entry, all, findings);
        }
    }
}

/// One `[task.NAME]`.
fn owner(plant: &Plant, section: &Entry, all: &mut Vec<Task>, findings: &mut Vec<Finding>) {
    let told = section.table(findings);
    let told_of = |key: &str| told.iter().find(|entry| entry.key == key);
    let of = match told_of("of") {
        None => None,
        Some(entry) => {
            let Some(word) = entry.text(findings) else { return };
            match named(plant, word) {
                Ok(named) => Some(named),
                Err(problem) => return findings.push(Finding::at(problem, entry.place.clone())),
            }
        }
    };
    let like = match told_of("like") {
        Some(entry) => entry.text(findings).map(plant::names::folded),
        None => Some(section.key.clone()),
    };
    let wanted = like.map(|like| of.map_or(like.clone(), |of| format!("{}.{like}", of.name(plant))));
    let place = wanted.and_then(|wanted| all.iter().position(|task| !task.own && task.name == wanted));
    if let (Some(entry), None) = (told_of("like"), place) {
        let part = of.map_or("the vessel".to_string(), |of| of.name(plant).to_string());
        let known = all.iter().filter(|task| !task.own && task.of == of);
        let known: Vec<String> = known.filter_map(|task| task.name.rsplit('.').next()).map(str::to_string).collect();
        let word = entry.text(findings).unwrap_or_default().to_string();
        let nearest = nearest(&word, known.iter().map(String::as_str)).map(str::to_string);
        let problem = Problem::UnknownChoice { key: format!("like of {part}"), word, nearest, known };
        return findings.push(Finding::at(problem, entry.place.clone()));
    }
    if let Some(entry) = told_of("never") {
        match (entry.value.as_bool(), place) {
            (Some(true), Some(place)) => {
                all.remove(place);
                return;
            }
            (Some(_), _) => {}
            (None, _) => return findings.push(entry.wrong("true or false")),
        }
    }
    let mut task = match place {
        Some(place) => Task { own: true, mark: "the owner".into(), ..all[place].clone() },
        None => Task { own: true, mark: "the owner".into(), ..Task::on(plant, section.key.clone(), of) },
    };
    for entry in told.iter().filter(|entry| !matches!(entry.key.as_str(), "of" | "like" | "never")) {
        fill(&mut task, entry, plant, Given::Owner, findings);
    }
    let falls_due = task.every.hours.is_some() || task.every.months.is_some() || !task.also.is_empty();
    if !falls_due {
        let what = format!("nothing says when `{}` is due", section.key);
        let advice = "Add `hours = 250`, `months = 12`, `after = [\"haul-out\"]` or `when = { gauge = …, above = … }`.";
        findings.push(Finding::at(Problem::Unfit { what, advice }, section.key_place.clone()));
    }
    match place {
        Some(place) => all[place] = task,
        None if all.iter().any(|other| other.name == task.name) => {
            let problem = Problem::Duplicate { what: format!("the task `{}`", task.name) };
            findings.push(Finding::at(problem, section.key_place.clone()));
        }
        None => all.push(task),
    }
}

/// The part or gauge of this name.
fn named(plant: &Plant, word: &str) -> Result<Named, Problem> {
    let folded = plant::names::folded(word);
    let found = Named::find(plant, &folded).or_else(|| plant::names::part_called(plant, word).map(Named::Part));
    found.ok_or_else(|| {
        let names =
            plant.parts.iter().map(|part| part.name.as_str()).chain(plant.gauges.iter().map(|g| g.name.as_str()));
        Problem::UnknownName { nearest: nearest(&folded, names).map(str::to_string), name: word.to_string() }
    })
}

impl Task {
    /// A task that tells nothing yet.
    pub(crate) fn on(plant: &Plant, name: String, of: Option<Named>) -> Task {
        let engine = match of {
            Some(Named::Part(part)) => plant[part].engine,
            _ => None,
        };
        // What serves no engine by itself runs with the first.
        let engine = engine.or_else(|| plant.engines().next());
        Task {
            title: name.clone(),
            name,
            of,
            engine,
            every: Every::default(),
            also: Vec::new(),
            needs: Needs::Stopped,
            minutes: 30.0,
            steps: Vec::new(),
            procedure: None,
            caution: None,
            tools: Vec::new(),
            uses: Vec::new(),
            measures: Vec::new(),
            guards: Vec::new(),
            renews: false,
            harm: Harm::Wear,
            mark: String::new(),
            told_last: Last::default(),
            own: false,
        }
    }
}

/// Takes one key of a task in.
pub(crate) fn fill(task: &mut Task, entry: &Entry, plant: &Plant, given: Given, findings: &mut Vec<Finding>) {
    let texts = |entry: &Entry, findings: &mut Vec<Finding>| -> Vec<String> {
        entry.list(findings).into_iter().map(|(text, _)| text.to_string()).collect()
    };
    match entry.key.as_str() {
        "title" => task.title = entry.text(findings).unwrap_or_default().to_string(),
        "hours" => task.every.hours = usual(entry, "hours", findings).or(task.every.hours),
        "months" => task.every.months = usual(entry, "months", findings).or(task.every.months),
        "first" => task.every.first = usual(entry, "hours", findings).or(task.every.first),
        "after" => also(task, texts(entry, findings).iter().map(|text| Trigger::After(plant::names::folded(text)))),
        "before" => also(task, texts(entry, findings).iter().map(|text| Trigger::Before(plant::names::folded(text)))),
        "season" => {
            if let Some(month) = entry.choice(&MONTHS, findings) {
                let number = MONTHS.iter().position(|known| *known == month).unwrap_or(0) + 1;
                also(task, [Trigger::Season(number as i8)]);
            }
        }
        "when" => {
            if let Some(trigger) = when(task, entry, plant, findings) {
                also(task, [trigger]);
            }
        }
        "needs" => {
            let known = Needs::ALL.map(|needs| (needs.key(), needs));
            task.needs = entry.one_of(&known, findings).unwrap_or(task.needs);
        }
        "minutes" => {
            let minutes =
                entry.digits().and_then(|text| text.trim().trim_end_matches("min").trim().parse::<f64>().ok());
            match minutes.filter(|minutes| (0.0..=100_000.0).contains(minutes)) {
                Some(minutes) => task.minutes = minutes,
                None => findings.push(entry.wrong("a number of minutes, 0 to 100000")),
            }
        }
        "steps" => task.steps = texts(entry, findings),
        "procedure" => task.procedure = entry.text(findings).map(str::to_string),
        "caution" => task.caution = entry.text(findings).map(str::to_string),
        "tools" => task.tools = texts(entry, findings),
        "uses" => task.uses = uses(entry, plant, task, findings),
        "measures" => task.measures = measure_told::read(entry, plant, task.engine, findings),
        "guards" => task.guards = guards(task, entry, plant, given, findings),
        "renews" => match entry.value.as_bool() {
            Some(renews) => task.renews = renews,
            None => findings.push(entry.wrong("true or false")),
        },
        "harm" => task.harm = entry.one_of(&Harm::WORDS, findings).unwrap_or(task.harm),
        "mark" => task.mark = entry.text(findings).unwrap_or_default().to_string(),
        "last" => task.told_last = last(entry, findings),
        _ => findings.push(entry.unknown("a task", KEYS)),
    }
}

/// The owner's word on when goes before that of the starting set, sort by sort.
fn also(task: &mut Task, triggers: impl IntoIterator<Item = Trigger>) {
    let triggers: Vec<Trigger> = triggers.into_iter().collect();
    task.also.retain(|had| !triggers.iter().any(|new| std::mem::discriminant(had) == std::mem::discriminant(new)));
    task.also.extend(triggers);
}
