//! `bedplate demo --terminal`: the demonstration vessel in words, sound and then with a fault to find.

use super::Asked;
use crate::files::{self, Text};
use crate::page::wrapped;
use crate::stop::Stop;
use crate::verbs::{expect, explain};
use diagnosis::hypothesis::{cause_of, name_of};
use diagnosis::next_step::Deed;
use diagnosis::tried;
use live::simulation::{self, Fault, Simulation};
use model::steady::{Model, Unsolved};
use parts::laws::Point;
use plant::evidence::{Evidence, ToldPoint};
use plant::plant::Plant;
use std::fmt::Write as _;
use std::io::Write;
use watch::saying::{Odds, sentence};

/// What is put wrong.
const PART: &str = "strainer-port";
const CAUSE: &str = "blocked";
/// Sea temperature before and now [K].
const SEA_BEFORE: f64 = 288.15;
const SEA_NOW: f64 = 289.15;

/// Runs the demonstration.
///
/// # Errors
/// [`Stop`].
pub fn run(plant: &Plant, asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    title(out, "Simulated: Marram is invented, and every reading here is made by the model")?;
    say(out, "First what she should read at cruise, from her vessel file alone.")?;
    let before = simulation::cruise(plant, SEA_BEFORE);
    let at = ToldPoint { speed: Some(before.speed), sea: Some(before.sea), ..ToldPoint::default() };
    let expected = expect::answer(plant, &at, None)?;
    write!(out, "\n{}", expect::gauges(&expected))?;
    out.flush()?;

    let model = Model::new(plant).map_err(|structure| Stop::NoAnswer(structure.to_string()))?;
    let mut vessel = Simulation::draw(model, asked.seed as usize);
    let fault = Fault { part: PART, cause: CAUSE, severity: f64::from(asked.blocked) / 100.0 };
    let mut written = rounds(&mut vessel, &fault, &before)?;
    title(out, "A fault is introduced (simulated)")?;
    say(out, &introduction(asked))?;
    write!(out, "\n{written}\n")?;
    out.flush()?;

    title(out, "bedplate explain marram evidence.toml")?;
    let odds = if asked.exact { Odds::Exact } else { Odds::Words };
    let mut answer = explain::answer(plant, &read(&written, plant)?)?;
    out.write_all(explain::in_words(plant, &answer, odds).as_bytes())?;
    out.flush()?;

    title(out, "What comes next is done, step by step (simulated)")?;
    for turn in 0..MOST_STEPS {
        let Some(step) = answer.next.as_ref().map(|next| next.then.does.clone()) else { break };
        let (made, cured) = match &step {
            Deed::Check { of, check, .. } => {
                let (name, found) = (name_of(plant, *of), vessel.check(&fault, *of, check, turn));
                let _ = writeln!(
                    written,
                    "\n[[check]]\npart = \"{name}\"\ncheck = \"{}\"\nfound = \"{found}\"",
                    check.name
                );
                (format!("{name}: {}: {found}.", check.title), false)
            }
            Deed::Repair { of, causes, .. } => {
                let Some(cause) = causes.first().and_then(|what| cause_of(plant, *what)) else { break };
                let wrong = vessel.what(&fault);
                let cured =
                    wrong.is_some_and(|wrong| causes.iter().any(|what| tried::mends(plant, *what, wrong) > 0.0));
                let (name, result) = (name_of(plant, *of), if cured { "cured" } else { "no change" });
                let _ = writeln!(written, "\n[[renewed]]\npart = \"{name}.{}\"\nresult = \"{result}\"", cause.name);
                (format!("{name}: {}: {result}.", sentence(cause.remedy)), cured)
            }
            Deed::Help | Deed::Leave | Deed::ReadAgain(_) | Deed::Cured => break,
        };
        out.write_all(wrapped(&format!("{}. {made}", turn + 1), "", "   ").as_bytes())?;
        if cured {
            break;
        }
        answer = explain::answer(plant, &read(&written, plant)?)?;
        out.write_all(wrapped(&explain::verdict(plant, &answer, odds), "   ", "   ").as_bytes())?;
        out.flush()?;
    }
    title(out, "What it really was (simulated)")?;
    say(out, &truth(asked))
}

/// Steps made at most.
const MOST_STEPS: usize = 6;

fn read(written: &str, plant: &Plant) -> Result<Evidence, Stop> {
    files::evidence_in(&Text { name: "evidence.toml".into(), text: written.into() }, plant)
}

/// The rounds before and now, as the owner writes them.
fn rounds(vessel: &mut Simulation, fault: &Fault, before: &Point<f64>) -> Result<String, Stop> {
    let stuck = |Unsolved::NotSolved(why)| {
        Stop::NoAnswer(format!("the simulated vessel of this seed has no steady state: {why}."))
    };
    let now = Point { sea: SEA_NOW, ..*before };
    let usual = vessel.round(before, None, 0).map_err(stuck)?;
    let troubled = vessel.round(&now, Some(fault), 1).map_err(stuck)?;
    Ok(format!("{}\n{}", usual.occasion("usual", before), troubled.occasion("now", &now)))
}

fn introduction(asked: &Asked) -> String {
    format!(
        "A vessel of this description is drawn (seed {}): its true figures lie somewhere within their spreads, each gauge \
         has a lasting error and flickers, and the model is not quite right either. None of that is known to what \
         explains. A round on a good day; then the port strainer is shut by {} % and another round is taken:",
        asked.seed, asked.blocked
    )
}

fn truth(asked: &Asked) -> String {
    let next = u64::from(asked.seed) + 1;
    let shut = 100.0 * parts::kind::By::Blocked.shut(f64::from(asked.blocked) / 100.0);
    format!(
        "{PART} {CAUSE}, {shut:.0} % of its area shut. Another vessel of the same description: bedplate demo --terminal --seed {next}."
    )
}

fn title(out: &mut dyn Write, text: &str) -> Result<(), Stop> {
    Ok(writeln!(out, "\n=== {text} ===\n")?)
}

fn say(out: &mut dyn Write, text: &str) -> Result<(), Stop> {
    Ok(out.write_all(wrapped(text, "", "").as_bytes())?)
}
