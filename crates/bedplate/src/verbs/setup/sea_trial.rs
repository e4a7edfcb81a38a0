//! `bedplate setup sea-trial`: the sheet, the judgement, a named baseline, and designed, commissioned and now side by side.

use super::{Asked, unusable};
use crate::page::{Side, columns, wrapped};
use crate::stop::Stop;
use crate::{clocks, files, json, point};
use diary::{Diary, Line};
use live::history::History;
use measure::nearest::nearest;
use plant::evidence::ToldPoint;
use plant::plant::{GaugeId, Plant};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::io::Write;
use std::path::{Path, PathBuf};
use trial::compared::{Baseline, Beside, beside};
use trial::judged::{Item, Verdict, between, judge, shown};
use trial::kept::Trial;
use trial::stages::{Ought, Stage, sheet};
use watch::dial::on_dial;

/// The word it is asked by.
pub const WORD: &str = "sea-trial";

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let (pairs, paths) = asked.split();
    let [path] = &paths[..] else {
        return Err(unusable(WORD, "a trial is of one vessel", "Give her folder: bedplate setup sea-trial DIR."));
    };
    let path = PathBuf::from(path);
    let plant = files::plant(&path)?;
    let history = History::of(&path).map_err(|error| Stop::BadInput(error.to_string()))?;
    let kept: Diary<Trial> = history.read();
    let at = point::told(&pairs, &plant)?;
    let mut model = crate::verbs::ready(&plant)?;
    let Some(trial) = told(asked, &plant, &kept)? else {
        let sheet = sheet(&mut model, &at);
        return if asked.json {
            json::write(out, &sheet_shape(&model.plant, &sheet, &kept))
        } else {
            out.write_all(sheet_text(&model.plant, &sheet, &kept).as_bytes()).map_err(Stop::from)
        };
    };
    let items = judge(&mut model, &trial);
    let against = asked.against.as_deref().map(|name| find(&kept, name, "--against")).transpose()?;
    let unsolved = |why: model::steady::Unsolved| Stop::NoAnswer(format!("The baseline cannot be worked out: {why}."));
    let baseline = against.map(|trial| Baseline::of(&mut model, trial)).transpose().map_err(unsolved)?;
    let steps: Vec<(ToldPoint, Vec<Beside>)> =
        trial.steps.iter().map(|step| (step.at(&plant), beside(&mut model, baseline.as_ref(), step))).collect();
    let key = if asked.keep { Some(keep(asked, &path, &kept, &trial)?) } else { None };
    let answer = Answer { plant: &plant, trial: &trial, items, against, baseline, steps, key };
    if asked.json {
        return json::write(out, &answer.shape());
    }
    out.write_all(answer.text().as_bytes()).map_err(Stop::from)
}

/// The trial that is asked about: read from a file, or kept before.
fn told(asked: &Asked, plant: &Plant, kept: &Diary<Trial>) -> Result<Option<Trial>, Stop> {
    if let Some(name) = &asked.trial {
        return find(kept, name, "--trial").map(|trial| Some(trial.clone()));
    }
    let Some(path) = &asked.from else {
        return if asked.keep {
            Err(unusable("--keep", "nothing was read", "Give the readings with --from FILE."))
        } else {
            Ok(None)
        };
    };
    let evidence = files::evidence(path, plant)?;
    let name = asked.name.as_deref().unwrap_or(if asked.keep { "" } else { "this trial" });
    let trial = Trial::of(plant, name, "", &evidence);
    trial.map(Some).map_err(|(why, advice)| unusable(if name.is_empty() { "--name" } else { "--from" }, &why, &advice))
}

fn find<'a>(kept: &'a Diary<Trial>, name: &str, option: &str) -> Result<&'a Trial, Stop> {
    let all = || kept.entries.iter().map(|entry| entry.what.name.as_str());
    kept.entries.iter().rev().map(|entry| &entry.what).find(|trial| trial.name == name.trim()).ok_or_else(|| {
        let near = nearest(name, all()).map(|near| format!("Did you mean \"{near}\"?"));
        let list: Vec<&str> = all().collect();
        let advice = near.unwrap_or_else(|| {
            if list.is_empty() {
                "None was kept yet: give readings with --from FILE --keep --name NAME.".into()
            } else {
                format!("There are: {}.", list.join(", "))
            }
        });
        unusable(option, &format!("no trial \"{name}\" was kept"), &advice)
    })
}

/// Writes it down under its name, which no other has.
fn keep(asked: &Asked, path: &Path, kept: &Diary<Trial>, trial: &Trial) -> Result<String, Stop> {
    if kept.entries.iter().any(|entry| entry.what.name == trial.name) {
        let advice = "What was kept is never changed. Give this one another name.";
        return Err(unusable("--name", &format!("a trial \"{}\" was kept already", trial.name), advice));
    }
    let time =
        asked.at.as_deref().map_or_else(|| Ok(clocks::day_now()), |text| crate::verbs::leg::day("--at", text))?;
    let line = Line::of(time, asked.who.as_deref(), None, trial);
    crate::verbs::entered::note(path, std::slice::from_ref(&line))?;
    Ok(line.key().0)
}

fn sheet_text(plant: &Plant, sheet: &[(Stage, Vec<Ought>)], kept: &Diary<Trial>) -> String {
    let mut text = "Sea trial\n".to_string();
    for (place, (stage, _)) in sheet.iter().enumerate() {
        let minutes = if stage.minutes > 0.0 { format!(", {:.0} min", stage.minutes) } else { String::new() };
        text += &wrapped(&format!("{}{minutes}. {}", stage.name, stage.says), &format!("\n{:2}. ", place + 1), "    ");
        if let Some(caution) = stage.caution {
            text += &wrapped(caution, "    CAUTION: ", "    ");
        }
    }
    let read: Vec<&(Stage, Vec<Ought>)> = sheet.iter().filter(|(_, oughts)| !oughts.is_empty()).collect();
    let mut rows =
        vec![std::iter::once(String::new()).chain(read.iter().map(|(stage, _)| stage.name.clone())).collect()];
    let gauges: Vec<GaugeId> =
        read.first().map_or_else(Vec::new, |(_, oughts)| oughts.iter().map(|ought| ought.gauge).collect());
    for gauge in gauges {
        let cell = |(_, oughts): &&(Stage, Vec<Ought>)| {
            let ought = oughts.iter().find(|ought| ought.gauge == gauge);
            ought.map_or_else(String::new, |ought| between(plant, ought))
        };
        rows.push(
            std::iter::once(format!("{} [{}]", plant[gauge].name, plant[gauge].unit))
                .chain(read.iter().map(cell))
                .collect(),
        );
    }
    let sides: Vec<Side> = (0..=read.len()).map(|place| if place == 0 { Side::Left } else { Side::Right }).collect();
    let _ = write!(
        text,
        "\nWhat each gauge ought to read (95 of 100 plants like this one)\n{}",
        columns(&rows, &sides, "  ")
    );
    if !kept.entries.is_empty() {
        let names: Vec<&str> = kept.entries.iter().map(|entry| entry.what.name.as_str()).collect();
        text += &wrapped(&format!("Kept: {}.", names.join(", ")), "\n", "");
    }
    text += &wrapped(
        "Readings are given with --from FILE (occasions as for explain, or a table), kept with --keep --name NAME, and held against a kept one with --against NAME.",
        "\n",
        "",
    );
    text + super::text::BASIS
}

/// All that an answer is made of.
struct Answer<'a> {
    plant: &'a Plant,
    trial: &'a Trial,
    items: Vec<Item>,
    against: Option<&'a Trial>,
    baseline: Option<Baseline>,
    steps: Vec<(ToldPoint, Vec<Beside>)>,
    key: Option<String>,
}

impl Answer<'_> {
    fn text(&self) -> String {
        let count = |verdict: Verdict| self.items.iter().filter(|item| item.verdict == verdict).count();
        let (failed, passed, unread) = (count(Verdict::Failed), count(Verdict::Passed), count(Verdict::NotRead));
        let mut text =
            wrapped(&format!("{}: {failed} failed, {passed} passed, {unread} not read.", self.trial.name), "", "");
        for verdict in [Verdict::Failed, Verdict::NotRead, Verdict::Passed] {
            for item in self.items.iter().filter(|item| item.verdict == verdict) {
                text +=
                    &wrapped(&format!("{}: {}: {}", verdict.word().to_uppercase(), item.asks, item.found), "\n", "  ");
                if !item.advice.is_empty() {
                    text += &wrapped(&item.advice, "  ", "  ");
                }
                text += &wrapped(&format!("({})", item.source), "  ", "   ");
            }
        }
        if let Some(baseline) = self.baseline.as_ref().filter(|baseline| !baseline.gone.is_empty()) {
            text += &wrapped(
                &format!("The baseline read gauges that she no longer has: {}.", baseline.gone.join(", ")),
                "\n",
                "",
            );
        }
        for (at, all) in &self.steps {
            text += &self.step(at, all);
        }
        if let Some(key) = &self.key {
            text += &wrapped(&format!("Kept as \"{}\". Its key is {key}.", self.trial.name), "\n", "");
        }
        text + "\n" + super::text::BASIS
    }

    fn step(&self, at: &ToldPoint, all: &[Beside]) -> String {
        let speed =
            at.speed.and_then(|speed| measure::unit::print(speed, measure::quantity::Quantity::RotationalSpeed, "rpm"));
        let mut heads = vec![speed.unwrap_or_else(|| "speed not told".into()), "designed".into()];
        heads.extend(self.against.map(|trial| trial.name.clone()));
        heads.extend(["now".into(), String::new()]);
        let told = |value: Option<Ought>, gauge: GaugeId| {
            value.map_or_else(String::new, |ought| {
                format!("{} ({})", shown(self.plant, gauge, ought.value), between(self.plant, &ought))
            })
        };
        let row = |one: &Beside| {
            let mut row = vec![self.plant[one.gauge].name.clone(), told(one.designed, one.gauge)];
            if self.against.is_some() {
                row.push(told(one.commissioned, one.gauge));
            }
            row.push(one.now.map_or_else(String::new, |now| shown(self.plant, one.gauge, now)));
            row.push(one.stands(self.plant).unwrap_or_default().into());
            row
        };
        let rows: Vec<Vec<String>> = std::iter::once(heads.clone()).chain(all.iter().map(row)).collect();
        let sides: Vec<Side> =
            (0..heads.len()).map(|place| if place == 0 { Side::Left } else { Side::Right }).collect();
        format!("\n{}", columns(&rows, &sides, "  "))
    }

    fn shape(&self) -> Value {
        let item = |item: &Item| {
            json!({
                "asks": item.asks, "found": item.found, "verdict": item.verdict.word(), "advice": item.advice, "source": item.source,
            })
        };
        let step = |(at, all): &(ToldPoint, Vec<Beside>)| {
            let gauges: Vec<Value> = all
                .iter()
                .map(|one| {
                    json!({
                        "gauge": self.plant[one.gauge].name, "unit": self.plant[one.gauge].unit,
                        "designed": one.designed.map(|ought| ought_shape(self.plant, &ought)),
                        "commissioned": one.commissioned.map(|ought| ought_shape(self.plant, &ought)),
                        "now": one.now.map(|now| written(self.plant, one.gauge, now)),
                        "off": one.stands(self.plant),
                    })
                })
                .collect();
            json!({ "speed_rpm": at.speed.map(|speed| speed * 30.0 / std::f64::consts::PI), "gauges": gauges })
        };
        json!({
            "version": json::VERSION, "job": WORD, "trial": self.trial.name,
            "against": self.against.map(|trial| trial.name.clone()),
            "items": self.items.iter().map(item).collect::<Vec<_>>(),
            "steps": self.steps.iter().map(step).collect::<Vec<_>>(), "kept": self.key,
        })
    }
}

fn written(plant: &Plant, gauge: GaugeId, value: f64) -> f64 {
    on_dial(&plant[gauge], value)
}

fn ought_shape(plant: &Plant, ought: &Ought) -> Value {
    let of = |value: f64| written(plant, ought.gauge, value);
    json!({ "value": of(ought.value), "low": of(ought.low), "high": of(ought.high) })
}

fn sheet_shape(plant: &Plant, sheet: &[(Stage, Vec<Ought>)], kept: &Diary<Trial>) -> Value {
    let stage = |(stage, oughts): &(Stage, Vec<Ought>)| {
        let gauges: Vec<Value> = oughts.iter().map(|ought| json!({
            "gauge": plant[ought.gauge].name, "unit": plant[ought.gauge].unit, "expected": ought_shape(plant, ought),
        })).collect();
        json!({
            "stage": stage.name, "says": stage.says, "caution": stage.caution, "minutes": stage.minutes, "gauges": gauges,
        })
    };
    let names: Vec<&str> = kept.entries.iter().map(|entry| entry.what.name.as_str()).collect();
    json!({ "version": json::VERSION, "job": WORD, "stages": sheet.iter().map(stage).collect::<Vec<_>>(), "kept": names })
}
