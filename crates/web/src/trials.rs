//! Addresses of the sea trial: its sheet, a trial that was kept, what is read now beside it, and one written down.

use crate::desk::Worked;
use crate::page::frame::Theme;
use crate::page::trial::{Sheet, TrialPage, TrialsPage, WHERE};
use crate::routes::{Bridge, NO_FORM, page, wrong};
use crate::working::{self, day_of, refused};
use axum::Form;
use axum::extract::rejection::{FormRejection, QueryRejection};
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use diary::{Diary, Line};
use measure::quantity::Quantity;
use measure::unit::parse;
use model::steady::Model;
use plant::plant::Plant;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::Arc;
use tokio::task::spawn_blocking;
use trial::kept::{Step, Trial};

/// What is asked.
#[derive(Clone, Debug, Default, Deserialize)]
pub struct Asked {
    /// The sea the sheet is for [°C, as written].
    #[serde(default)]
    sea: String,
    /// A trial that was kept; "now" is what is read at this moment.
    #[serde(default)]
    trial: String,
    /// The trial it is held against.
    #[serde(default)]
    against: String,
}

/// What stands for the readings of this moment.
pub const NOW: &str = "now";

/// `GET /setup/sea-trial`
pub async fn shown(
    State(bridge): State<Bridge>,
    theme: Theme,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    let Ok(Query(asked)) = asked else { return refused(&bridge, theme, NO_FORM) };
    let worked = match working::worked(&bridge, theme).await {
        Ok(worked) => worked,
        Err(wrong) => return wrong,
    };
    let scene = bridge.scene();
    let made = spawn_blocking(move || {
        let kept: Diary<Trial> = diary::read(&worked.lines);
        let mut model = Model::new(&worked.plant).map_err(|why| format!("This plant cannot be worked out: {why}."))?;
        if asked.trial.is_empty() {
            let sea = sea(&asked.sea)?;
            let sheet = Sheet::of(&mut model, sea);
            return Ok(Made::Sheet(TrialsPage::of(&scene, &worked, &kept, sheet, theme)));
        }
        let find = |name: &str| kept.entries.iter().rev().map(|entry| &entry.what).find(|trial| trial.name == name);
        let absent = |name: &str| format!("No trial “{name}” was kept.");
        let trial = match asked.trial.as_str() {
            NOW => Trial {
                name: NOW.into(),
                text: String::new(),
                steps: vec![now(&scene.picture).ok_or("Nothing is read at this moment.")?],
            },
            name => find(name).ok_or_else(|| absent(name))?.clone(),
        };
        let against = match asked.against.as_str() {
            "" => None,
            name => Some(find(name).ok_or_else(|| absent(name))?),
        };
        TrialPage::of(&scene, &mut model, &kept, &trial, against, theme).map(Made::Trial)
    });
    match made.await.map_err(|why| why.to_string()).and_then(|made| made) {
        Ok(Made::Sheet(it)) => page(&it),
        Ok(Made::Trial(it)) => page(&it),
        Err(what) => wrong(&bridge.scene(), theme, StatusCode::NOT_FOUND, what),
    }
}

enum Made {
    Sheet(TrialsPage),
    Trial(TrialPage),
}

/// "18", "18 C": the sea of the sheet [K]; none where nothing is told.
fn sea(text: &str) -> Result<Option<f64>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let parsed = parse(text, Quantity::Temperature).or_else(|_| parse(&format!("{text} °C"), Quantity::Temperature));
    match parsed {
        Ok(sea) if (270.0..=310.0).contains(&sea) => Ok(Some(sea)),
        _ => Err(format!("“{text}” is no temperature of a sea: write it such as 18 °C.")),
    }
}

/// What the gauges show at this moment, where they show something.
fn now(picture: &watch::picture::Picture) -> Option<Step> {
    let point = picture.point?;
    let plant = &picture.plant;
    let read = picture.gauges.iter().filter(|gauged| plant[gauged.gauge].trips.is_none());
    let readings: Vec<(String, f64)> =
        read.filter_map(|gauged| Some((plant[gauged.gauge].name.clone(), gauged.fresh(picture.at)?))).collect();
    let step = Step {
        speed: Some(point.speed),
        load: Some(point.load),
        pitch: plant.sets_pitch().then_some(point.pitch),
        sea: Some(point.sea),
        air: Some(point.air),
        readings,
    };
    (!step.readings.is_empty()).then_some(step)
}

/// `POST /setup/sea-trial`
pub async fn keep(
    State(bridge): State<Bridge>,
    theme: Theme,
    sent: Result<Form<Vec<(String, String)>>, FormRejection>,
) -> Response {
    let Ok(Form(sent)) = sent else { return refused(&bridge, theme, NO_FORM) };
    let worked = match working::worked(&bridge, theme).await {
        Ok(worked) => worked,
        Err(wrong) => return wrong,
    };
    match entry(&worked, &sent, bridge.ship.desk.now(), &bridge.scene().picture) {
        Ok((line, name)) => {
            let back = format!("{WHERE}?trial={}", crate::page::query(&name));
            working::written(&bridge, theme, line, &back).await
        }
        Err(what) => refused(&bridge, theme, &format!("{what} Nothing was written.")),
    }
}

fn entry(
    worked: &Arc<Worked>,
    sent: &[(String, String)],
    time: i64,
    picture: &watch::picture::Picture,
) -> Result<(Line, String), String> {
    let field = |name: &str| sent.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value.trim());
    let steps = match field("from") {
        NOW => now(picture).into_iter().collect(),
        _ => steps(&worked.plant, sent)?,
    };
    let sentence = |(why, advice): (String, String)| watch::saying::sentence(&format!("{why}. {advice}"));
    let trial = Trial::named(field("name"), field("text"), steps).map_err(sentence)?;
    let kept: Diary<Trial> = diary::read(&worked.lines);
    if kept.entries.iter().any(|entry| entry.what.name == trial.name) {
        return Err(format!(
            "A trial “{}” was kept already, and what was kept is never changed: choose another name.",
            trial.name
        ));
    }
    let time = if field("at").is_empty() { time } else { day_of(field("at"), time)? };
    let who = Some(field("who")).filter(|who| !who.is_empty());
    Ok((Line::of(time, who, None, &trial), trial.name))
}

/// The steps that a form tells: "speed:3", "sea:3", "r:3:coolant".
fn steps(plant: &Plant, sent: &[(String, String)]) -> Result<Vec<Step>, String> {
    let mut steps: BTreeMap<usize, Step> = BTreeMap::new();
    for (name, value) in sent.iter().filter(|(_, value)| !value.trim().is_empty()) {
        let mut words = name.splitn(3, ':');
        let (what, place, gauge) = (words.next().unwrap_or_default(), words.next(), words.next());
        let Some(place) = place.and_then(|place| place.parse().ok()) else { continue };
        let step = steps.entry(place).or_default();
        let value = value.trim();
        let of = |quantity: Quantity, unit: &str| {
            let read =
                parse(value, quantity).or_else(|error| parse(&format!("{value} {unit}"), quantity).map_err(|_| error));
            read.map_err(|error| watch::saying::sentence(&error.to_string()))
        };
        match (what, gauge) {
            ("speed", None) => step.speed = Some(of(Quantity::RotationalSpeed, "rpm")?),
            ("sea", None) => step.sea = Some(of(Quantity::Temperature, "°C")?),
            ("air", None) => step.air = Some(of(Quantity::Temperature, "°C")?),
            ("r", Some(name)) => {
                let gauge = plant.gauge(name).ok_or_else(|| format!("There is no gauge “{name}”."))?;
                let gauge = &plant[gauge];
                let read = gauge
                    .given(value)
                    .or_else(|error| gauge.given(&format!("{value} {}", gauge.unit)).map_err(|_| error));
                let read = read.map_err(|error| format!("“{value}” of {name}: {error}."))?;
                step.readings.push((name.to_string(), read));
            }
            _ => {}
        }
    }
    Ok(steps.into_values().collect())
}
