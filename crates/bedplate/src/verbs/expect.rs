//! `bedplate expect`: what should every gauge read now, and what stands behind it?

mod json;
mod text;

use crate::circuits::{self, CircuitFlow, HeatBalance};
use crate::currents::{self, Current};
use crate::stop::{Stop, tell};
use crate::turned::Turned;
use crate::{files, point};
use clap::Args;
use model::expect::Expected;
use model::fit::Seen;
use model::march::Unsteady;
use model::steady::{Model, Unsolved};
use plant::evidence::{Evidence, Moment, ToldPoint};
use plant::plant::{PartId, Plant};
use std::io::Write;
use std::path::PathBuf;
use watch::escape::Unseen;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    /// Operating point, such as speed=1500rpm, load=0.8, pitch=80%, sea=18C, air=25C; speed=0rpm is stopped and cold
    #[arg(long = "at", value_name = "KEY=VALUE")]
    at: Vec<String>,
    /// Readings from when it was well: they narrow the bands
    #[arg(long, value_name = "EVIDENCE")]
    usual: Option<PathBuf>,
    #[command(flatten)]
    turned: Turned,
    /// List every typical figure that was used, with its source
    #[arg(long)]
    figures: bool,
    /// For programs
    #[arg(long)]
    json: bool,
}

/// The answer, before it is worded.
pub struct Answer {
    /// The model it comes from.
    pub model: Model,
    /// Bands and the state behind them.
    pub expected: Expected,
    /// Readings from when it was well were given.
    pub has_usual: bool,
    /// Why it cannot last, if it cannot.
    pub boils: Option<Boils>,
    /// Flows and heat.
    pub circuits: Vec<CircuitFlow>,
    /// The currents.
    pub currents: Vec<Current>,
    /// Where the fuel's heat goes.
    pub heat: Option<HeatBalance>,
}

impl Answer {
    /// What these gauges would not show there; nothing where it boils or stands still. It takes as long as all the rest, so
    /// that only who tells it asks for it.
    fn unseen(&self) -> Unseen {
        let plant = &self.model.plant;
        let holds = self.boils.is_none() && !watch::place::stopped(&self.expected.point) && !plant.gauges.is_empty();
        if holds { watch::escape::unseen(plant, &self.expected) } else { Unseen::default() }
    }
}

/// The coolant boils.
pub struct Boils {
    /// At this part.
    pub part: String,
    /// So long after the point is taken up [min].
    pub minutes: Option<f64>,
    /// From this speed, where it still holds [rad/s].
    pub holds_at: Option<f64>,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let mut plant = files::plant(&asked.plant)?;
    asked.turned.apply(&mut plant)?;
    let at = point::told(&asked.at, &plant)?;
    if at.minutes.is_some() || at.eased_from.is_some() {
        tell(
            "--at: note: this is what she reads once she has settled\n  How warm she is so early is weighed by explain only.",
        );
    }
    let usual = asked.usual.as_ref().map(|path| files::evidence(path, &plant)).transpose()?;
    let answer = answer(&plant, &at, usual)?;
    if asked.json {
        return crate::json::write(out, &json::of(&answer));
    }
    let typical = if asked.figures { text::Figures::All } else { text::Figures::Heaviest };
    out.write_all(text::of(&answer, typical).as_bytes()).map_err(Stop::from)
}

/// The sentence and the gauges of an answer, without what stands behind them.
pub fn gauges(answer: &Answer) -> String {
    text::gauges_of(answer)
}

/// Works it out.
///
/// # Errors
/// [`Stop::NoAnswer`] when the plant has no state there.
pub fn answer(plant: &Plant, at: &ToldPoint, usual: Option<Evidence>) -> Result<Answer, Stop> {
    let mut model = super::ready(plant)?;
    let has_usual = usual.is_some();
    let seen = usual.map_or_else(Seen::default, |evidence| model::expect::usual(plant, &as_usual(evidence)));
    let expected = model.expect(at, &seen).map_err(|Unsolved::NotSolved(why)| {
        let (point, _) = model::point::told(plant, at);
        Stop::NoAnswer(format!("{} {}: {}.", name(plant), watch::place::in_words(&point), why.replace('_', " ")))
    })?;
    let boils = expected.unsteady.clone().map(|Unsteady::Boils { part }| boils(&mut model, &expected, part));
    let circuits = circuits::all(&model, &expected.state, &expected.parameters);
    let currents = currents::all(&model, &expected.state, &expected.parameters);
    let heat = circuits::heat_balance(&model, &expected.state, &expected.parameters);
    Ok(Answer { model, expected, has_usual, boils, circuits, currents, heat })
}

/// The vessel's name, or what stands for it.
pub fn name(plant: &Plant) -> &str {
    if plant.name.is_empty() { "This plant" } else { &plant.name }
}

/// Evidence given as the usual is the usual, unless it says itself which of it is.
fn as_usual(mut evidence: Evidence) -> Evidence {
    if evidence.occasions.iter().all(|occasion| occasion.when == Moment::Now) {
        evidence.occasions.iter_mut().for_each(|occasion| occasion.when = Moment::Usual);
    }
    evidence
}

/// Shares of the speed from which the point is taken up, to see how long it lasts.
const LOWER: [f64; 5] = [0.9, 0.8, 0.7, 0.55, 0.4];

fn boils(model: &mut Model, expected: &Expected, part: PartId) -> Boils {
    let part = model.plant[part].name.clone();
    for share in LOWER {
        let lower = parts::laws::Point { speed: expected.point.speed * share, ..expected.point };
        let Ok(state) = model.solve(&expected.parameters, &lower, None) else { continue };
        if model.unsteady(&state).is_none() {
            let minutes = model
                .minutes_to_boil(&state, &expected.parameters, &expected.parameters, &expected.point)
                .ok()
                .flatten();
            return Boils { part, minutes, holds_at: Some(lower.speed) };
        }
    }
    Boils { part, minutes: None, holds_at: None }
}
