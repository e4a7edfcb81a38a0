//! Addresses of the Set-up pages: the jobs, one job worked from what its form tells, and what it found written down.

use crate::desk::Worked;
use crate::page::frame::Theme;
use crate::page::setup::{JobPage, SetupPage};
use crate::routes::{Bridge, NO_FORM, alone, live, page, wrong};
use crate::trials;
use crate::working::{self, day_of, in_words, refused};
use axum::extract::rejection::{FormRejection, PathRejection, QueryRejection};
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use axum::{Form, Router};
use diary::Line;
use plant::plant::{PartId, Plant};
use setup::ask::{Ask, Need};
use setup::doubt;
use setup::given::Given;
use setup::job::{Job, Refused};
use setup::jobs;
use setup::known::{Known, known, part_of};
use work::setting;
use work::written::hours_fit;

/// The routes.
pub fn routes() -> Router<Bridge> {
    Router::new()
        .route("/setup", get(all))
        .route("/setup/sea-trial", get(trials::shown).post(trials::keep))
        .route("/setup/{job}", get(one).post(keep))
        .route("/live/setup", get(|bridge| live(bridge, alone)))
        .route("/live/setup/{job}", get(|bridge| live(bridge, alone)))
}

/// Names and values, as a form sends them.
type Pairs = Vec<(String, String)>;
/// Names that are not of the job.
const OWN: [&str; 4] = ["of", "at", "hours", "who"];

/// What is asked of a job.
pub struct Wanted {
    /// The job.
    pub job: &'static Job,
    /// The part it is done on.
    pub of: Option<PartId>,
    /// What is told of it.
    pub told: Pairs,
    /// What is known of it.
    pub known: Vec<(&'static str, Known)>,
}

impl Wanted {
    /// As it was sent.
    fn read(job: &'static Job, worked: &Worked, sent: &[(String, String)]) -> Wanted {
        let of = sent.iter().find(|(name, _)| name == "of").and_then(|(_, word)| part(&worked.plant, job, word));
        let of = of.or_else(|| part_of(job, &worked.plant));
        let filled = |(name, value): &&(String, String)| !OWN.contains(&name.as_str()) && !value.trim().is_empty();
        let told = sent.iter().filter(filled).cloned().collect();
        Wanted { job, of, told, known: known(job, &worked.plant, &worked.sections, of) }
    }

    /// Whether this is asked, with the words chosen so far; what was told is never hidden.
    pub fn asks(&self, ask: &Ask) -> bool {
        let told = |key: &str| self.told.iter().find(|(name, _)| name == key).map(|(_, value)| value.as_str());
        let known = |key: &str| {
            self.known.iter().find(|(name, _)| *name == key).and_then(|(_, known)| match known {
                Known::Section { text, .. } => Some(text.as_str()),
                Known::Figure { .. } => None,
            })
        };
        let usual = |key: &str| {
            self.job.asks.iter().find(|ask| ask.key == key).and_then(|ask| match ask.need {
                Need::Usual(word, _) => Some(word),
                _ => None,
            })
        };
        let chosen =
            |key: &str| told(key).or_else(|| known(key)).or_else(|| usual(key)).unwrap_or_default().to_string();
        told(ask.key).is_some() || ask.only.is_none_or(|(key, words)| words.contains(&chosen(key).as_str()))
    }

    /// Works it.
    ///
    /// # Errors
    /// What is wrong with what was told.
    pub fn work(&self) -> Result<(Given, setup::worked::Worked), Refused> {
        let given = Given::read(self.job, &self.told, &self.known)?;
        let worked = doubt::work(self.job, &given)?;
        Ok((given, worked))
    }
}

fn part(plant: &Plant, job: &Job, word: &str) -> Option<PartId> {
    plant.part(word).filter(|part| job.kinds.contains(&plant.parts[part.0].kind.name))
}

async fn all(State(bridge): State<Bridge>, theme: Theme) -> Response {
    page(&SetupPage::of(&bridge.scene(), theme))
}

type Asked = Result<Path<String>, PathRejection>;

async fn one(
    State(bridge): State<Bridge>,
    theme: Theme,
    word: Asked,
    sent: Result<Query<Pairs>, QueryRejection>,
) -> Response {
    let Some(job) = word.ok().and_then(|Path(word)| jobs::job(&word)) else { return nothing(&bridge, theme) };
    let Ok(Query(sent)) = sent else { return refused(&bridge, theme, NO_FORM) };
    match working::worked(&bridge, theme).await {
        Ok(worked) => page(&JobPage::of(&bridge.scene(), &worked, &Wanted::read(job, &worked, &sent), theme)),
        Err(wrong) => wrong,
    }
}

async fn keep(
    State(bridge): State<Bridge>,
    theme: Theme,
    word: Asked,
    sent: Result<Form<Pairs>, FormRejection>,
) -> Response {
    let Some(job) = word.ok().and_then(|Path(word)| jobs::job(&word)) else { return nothing(&bridge, theme) };
    let Ok(Form(sent)) = sent else { return refused(&bridge, theme, NO_FORM) };
    let worked = match working::worked(&bridge, theme).await {
        Ok(worked) => worked,
        Err(wrong) => return wrong,
    };
    match entry(&worked, &Wanted::read(job, &worked, &sent), &sent, bridge.ship.desk.now()) {
        Ok(line) => working::written(&bridge, theme, line, "/work#records").await,
        Err(what) => refused(&bridge, theme, &format!("{what} Nothing was written.")),
    }
}

/// The entry that was written.
fn entry(worked: &Worked, wanted: &Wanted, sent: &[(String, String)], now: i64) -> Result<Line, String> {
    let field = |name: &str| sent.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value.trim());
    let time = day_of(field("at"), now)?;
    let (_, answer) = wanted.work().map_err(|refused| {
        let all = refused.0.iter().map(|one| watch::saying::sentence(&format!("{}. {}", one.why, one.advice)));
        all.collect::<Vec<_>>().join(" ")
    })?;
    let hours = Some(field("hours")).filter(|hours| !hours.is_empty());
    let record = setting::record(&worked.plant, &worked.tasks, wanted.job, &answer, wanted.of, hours);
    let record = record.map_err(|refused| in_words(&refused))?;
    hours_fit(&worked.plant, &worked.tasks, &worked.meters, &record, time, None)
        .map_err(|refused| in_words(&refused))?;
    let who = Some(field("who")).filter(|who| !who.is_empty());
    Ok(Line::of(time, who, None, &record))
}

fn nothing(bridge: &Bridge, theme: Theme) -> Response {
    let what = "There is no such job; the page Set-up lists them.";
    wrong(&bridge.scene(), theme, StatusCode::NOT_FOUND, what.into())
}
