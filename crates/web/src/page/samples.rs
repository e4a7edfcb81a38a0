//! Samples: what the laboratory found in oil, coolant and fuel.

use crate::desk::Worked;
use crate::page::frame::{Frame, Theme};
use crate::page::plot::{Mark, Plot};
use crate::ship::Scene;
use askama::Template;
use plant::plant::Plant;
use samples::{Ahead, Analyte, Judged, Results, Standing, saying};
use watch::saying::Odds;
use work::date;

/// Samples of one part shown side by side.
const LAST: usize = 6;
/// Wear within this factor is the laboratory's own scatter, drawn about each point [1]. From memory.
const SCATTER: f64 = 1.4;

/// The page.
#[derive(Template)]
#[template(path = "samples.html")]
pub struct SamplesPage {
    frame: Frame,
    first: String,
    rest: String,
    invented: bool,
    parts: Vec<PartRows>,
    struck: Vec<String>,
    unread: Vec<String>,
    correct: Option<Line>,
    part_names: Vec<String>,
}

/// The entry that is to be corrected.
struct Line {
    key: String,
    day: String,
    text: String,
}

/// Samples of one part.
struct PartRows {
    name: String,
    heads: Vec<Head>,
    rows: Vec<(String, Vec<Cell>)>,
    odds: Vec<(String, String, String)>,
    wear: Vec<(String, Option<Plot>)>,
}

/// A sample over its column.
struct Head {
    day: String,
    number: String,
    key: String,
    hours: String,
}

/// A value.
struct Cell {
    text: String,
    /// Said beside it, where it is beyond a limit.
    stands: &'static str,
}

impl SamplesPage {
    /// Of what lies on the desk.
    ///
    /// * `correct`: key of a sample that is to be corrected
    pub fn of(scene: &Scene, theme: Theme, worked: &Worked, correct: Option<&str>) -> SamplesPage {
        let results = &worked.results;
        let said = saying::first(results, &|chance| Odds::Words.say(chance));
        let (first, rest) = said.split_once(". ").map_or((said.as_str(), ""), |(first, rest)| (first, rest));
        let mut names: Vec<&str> = Vec::new();
        for one in &results.judged {
            if !names.contains(&one.entry.what.of.as_str()) {
                names.push(&one.entry.what.of);
            }
        }
        let old = correct.and_then(|key| results.diary.entries.iter().find(|entry| entry.key.0 == key));
        SamplesPage {
            frame: Frame::of(scene, "Samples", theme, "/work/samples"),
            first: if rest.is_empty() { first.into() } else { format!("{first}.") },
            rest: rest.into(),
            invented: worked.invented,
            parts: names.into_iter().map(|name| part(results, name)).collect(),
            struck: results
                .diary
                .struck
                .iter()
                .map(|struck| {
                    format!("{} {} of {}", date::iso(struck.entry.time), struck.entry.what.number, struck.entry.what.of)
                })
                .collect(),
            unread: results.diary.unread.clone(),
            correct: old.map(|entry| Line {
                key: entry.key.0.clone(),
                day: date::iso(entry.time),
                text: format!("sample {} of {}", entry.what.number, entry.what.of),
            }),
            part_names: sampled(&worked.plant),
        }
    }
}

/// Parts that samples are drawn from: what holds a liquid and has a level.
fn sampled(plant: &Plant) -> Vec<String> {
    let parts = plant.parts.iter().filter(|part| {
        samples::liquid(part.kind).is_some() && part.kind.unknowns.iter().any(|unknown| unknown.name == "level")
    });
    parts.map(|part| part.name.clone()).collect()
}

fn part(results: &Results, name: &str) -> PartRows {
    let all: Vec<&Judged> = results.judged.iter().filter(|one| one.entry.what.of == name).collect();
    let shown = &all[all.len().saturating_sub(LAST)..];
    let heads = shown.iter().map(|one| Head {
        day: date::iso(one.entry.time),
        number: one.entry.what.number.clone(),
        key: one.entry.key.0.clone(),
        hours: one.entry.what.hours_on_fill.map_or_else(String::new, |hours| format!("{hours:.0} h on it")),
    });
    let mut rows: Vec<(String, Vec<Cell>)> = Analyte::all()
        .filter(|analyte| shown.iter().any(|one| one.entry.what.values.contains_key(analyte)))
        .map(|analyte| (analyte.title(), shown.iter().map(|one| cell(one, analyte)).collect()))
        .collect();
    if shown.iter().any(|one| one.entry.what.particles.is_some()) {
        let code = |one: &&Judged| one.entry.what.particles.map_or_else(String::new, |code| code.to_string());
        rows.push(("particles".into(), shown.iter().map(|one| Cell { text: code(one), stands: "" }).collect()));
    }
    PartRows {
        name: name.into(),
        heads: heads.collect(),
        rows,
        odds: all.last().map_or_else(Vec::new, |last| odds(last)),
        wear: results
            .ahead
            .iter()
            .filter(|ahead| ahead.part == name)
            .map(|ahead| (saying::ahead(ahead), wear(ahead)))
            .collect(),
    }
}

fn cell(one: &Judged, analyte: Analyte) -> Cell {
    let sample = &one.entry.what;
    let Some(value) = sample.values.get(&analyte) else { return Cell { text: String::new(), stands: "" } };
    let less = if sample.under.contains(&analyte) { "< " } else { "" };
    let stands = match one.standing.iter().find(|(of, _, _)| *of == analyte).map(|(_, standing, _)| *standing) {
        Some(Standing::Act) => "act on it",
        Some(Standing::Look) => "look into it",
        _ => "",
    };
    Cell { text: format!("{less}{}", analyte.shown(*value)), stands }
}

/// What may have got in: name, odds in words, and a bar to scale.
fn odds(one: &Judged) -> Vec<(String, String, String)> {
    let Some(origin) = &one.origin else { return Vec::new() };
    let sources = origin.sources.iter().map(|(source, chance)| (source.word(), *chance));
    let all = sources.chain([("nothing of these", origin.none), ("something on no list", origin.other)]);
    all.map(|(word, chance)| (word.into(), Odds::Words.say(chance), format!("M2 16H{:.0}", 2.0 + 196.0 * chance)))
        .collect()
}

fn wear(ahead: &Ahead) -> Option<Plot> {
    let marks: Vec<Mark> = ahead
        .points
        .iter()
        .map(|(at, rate, _)| Mark { at: *at, value: *rate, band: (rate / SCATTER, rate * SCATTER) })
        .collect();
    let line = ahead.trend.map(|trend| move |at: f64| trend.at(at));
    let line = line.as_ref().map(|line| line as &dyn Fn(f64) -> f64);
    let label = format!("Wear of {} sample by sample", ahead.of.title());
    if marks.len() < 2 { None } else { Plot::of(&marks, line, Some((0.0, 0)), label) }
}
