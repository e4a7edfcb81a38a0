//! Odds against the exact ones: on a plant so small that every figure, operating point and severity can be drawn thousands of
//! times through the equations as they are, nothing made linear.

use crate::chance::Chance;
use crate::faults::Faults;
use crate::struck::{certain_but, with_causes};
use crate::trial::{Rounds, read};
use crate::world::AS_BELIEVED;
use diagnosis::explain::explain;
use diagnosis::hypothesis::{self, Hypothesis, What, cause_of};
use measure::reading::ReadingText;
use model::expect::{discrepancy, reading_noise};
use model::fit::Seen;
use model::point;
use model::steady::{Model, State};
use model::under::Change;
use parts::kind::{Circuit, Severity};
use plant::evidence::{Evidence, ToldPoint};
use plant::plant::{GaugeId, Plant};

/// A raw-water line with three gauges. Invented.
const SMALL: &str = r#"
[vessel]
name = "Three gauges"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "exchanger", "elbow"]
[gauge.coolant]
at = "engine.coolant-out"
reads = "temperature"
[gauge.raw-out]
at = "exchanger.raw-out"
reads = "temperature"
[gauge.raw-pressure]
at = "raw-pump.out"
reads = "pressure"
"#;

/// What may go wrong in it: (kind, cause).
const CAUSES: [(&str, &str); 5] = [
    ("strainer", "blocked"),
    ("raw-pump", "worn"),
    ("exchanger", "scaled"),
    ("elbow", "blocked"),
    ("thermostat", "stuck_open"),
];
/// Figures of it that are uncertain.
const FIGURES: usize = 5;

/// The small plant: a few causes, and of its figures only those uncertain that matter most.
pub fn small() -> Result<Plant, String> {
    let plant = plant::reader::read(SMALL).0.ok_or("the small plant does not load")?;
    let plant = with_causes(&plant, &|kind, cause| CAUSES.contains(&(kind.name, cause.name)));
    let mut model = Model::new(&plant).map_err(|e| format!("{e:?}"))?;
    let expected = model.expect(&ToldPoint::default(), &Seen::default()).map_err(|e| e.to_string())?;
    let widest: Vec<usize> = expected.widest.iter().take(FIGURES).map(|(place, _)| *place).collect();
    Ok(certain_but(&plant, &widest))
}

/// Told odds and exact ones of one set of readings.
pub struct Compared {
    /// (what, told, exact, one standard deviation of the latter by chance)
    pub odds: Vec<(What, f64, f64, f64)>,
}

impl Compared {
    /// The largest gap [1].
    pub fn gap(&self) -> f64 {
        self.odds.iter().map(|(_, told, exact, _)| (told - exact).abs()).fold(0.0, f64::max)
    }
}

/// Compares on so many drawn vessels, with so many draws of each hypothesis.
pub fn compare(plant: &Plant, cases: usize, draws: usize, seed: u64) -> Result<Vec<Compared>, String> {
    let mut model = Model::new(plant).map_err(|e| format!("{e:?}"))?;
    let mut chance = Chance::new(seed);
    let faults = Faults::of(&mut model, AS_BELIEVED, &mut chance);
    let rounds = Rounds::once(plant);
    let mut list = Vec::new();
    for case in 0..cases {
        let fault = (case % 4 != 0).then(|| faults.draw(&mut chance));
        let Some((evidence, _)) = read(&mut model, AS_BELIEVED, fault.as_ref(), &rounds, &mut chance) else { continue };
        // A needle on its stop says less than a number; here all are numbers.
        let readings = &evidence.occasions[0].readings;
        if readings.iter().any(|(_, text)| !matches!(text, ReadingText::Value { .. })) {
            continue;
        }
        let answer = explain(plant, &evidence).map_err(|e| format!("{e:?}"))?;
        let exact = exact(&mut model, &evidence, draws, &mut chance);
        let told = |what: What| answer.ranked.iter().find(|r| r.what == what).map_or(0.0, |r| r.probability);
        list.push(Compared { odds: exact.into_iter().map(|(what, p, sigma)| (what, told(what), p, sigma)).collect() });
    }
    Ok(list)
}

/// Chance of every hypothesis, and one standard deviation of it by chance.
fn exact(model: &mut Model, evidence: &Evidence, draws: usize, chance: &mut Chance) -> Vec<(What, f64, f64)> {
    let list = hypothesis::all(&model.plant, &model.layout, evidence);
    let read = Read::of(model, evidence);
    let mut likely: Vec<(f64, f64)> = Vec::new();
    for h in &list {
        likely.push(if matches!(h.what, What::Else(_)) { (0.0, 0.0) } else { read.likelihood(model, h, draws, chance) });
    }
    // What no list holds is as likely as its circuit's causes are on average.
    let alike = |circuit: Circuit| {
        let own: Vec<f64> = list
            .iter()
            .zip(&likely)
            .filter(|(h, _)| matches!(h.what, What::Cause(..)) && h.circuit == Some(circuit))
            .map(|(_, l)| l.0)
            .collect();
        own.iter().sum::<f64>() / own.len().max(1) as f64
    };
    let weights: Vec<(f64, f64)> = list
        .iter()
        .zip(&likely)
        .map(|(h, l)| match h.what {
            What::Else(circuit) => (h.prior * alike(circuit), 0.0),
            _ => (h.prior * l.0, h.prior * l.1),
        })
        .collect();
    let whole: f64 = weights.iter().map(|w| w.0).sum();
    list.iter().zip(weights).map(|(h, (weight, sigma))| (h.what, weight / whole, sigma / whole)).collect()
}

/// What was read, and how far each gauge may be off whatever the plant does.
struct Read {
    told: ToldPoint,
    /// (gauge, reading, one standard deviation) [SI]
    gauges: Vec<(GaugeId, f64, f64)>,
}

impl Read {
    fn of(model: &Model, evidence: &Evidence) -> Read {
        let occasion = &evidence.occasions[0];
        let gauges = occasion.readings.iter().filter_map(|(g, text)| {
            let ReadingText::Value { value, .. } = text else { return None };
            let gauge = &model.plant[*g];
            let middle = 0.5 * (gauge.scale.0 + gauge.scale.1);
            let lasting = discrepancy(gauge.quantity, middle) * model::expect::LASTING_SHARE.sqrt();
            let own = gauge.accuracy / 1.96;
            let noise = reading_noise(&model.plant, *g, *value, false);
            Some((*g, *value, own.hypot(lasting).hypot(noise)))
        });
        Read { told: occasion.at.clone(), gauges: gauges.collect() }
    }

    /// Mean likelihood of what was read over so many draws, and one standard deviation of that mean.
    fn likelihood(&self, model: &mut Model, h: &Hypothesis, draws: usize, chance: &mut Chance) -> (f64, f64) {
        let severity = cause_of(&model.plant, h.what).map_or(Severity::Whole, |cause| cause.severity);
        let (at, spread) = point::told(&model.plant, &self.told);
        let at = point::to_array(&at);
        let (mut sum, mut squares) = (0.0, 0.0);
        // From slight to bad, each solved from the one before it.
        let mut severities: Vec<f64> = (0..draws).map(|_| crate::faults::severity(severity, chance)).collect();
        severities.sort_by(f64::total_cmp);
        let mut near: Option<State> = None;
        for severity in severities {
            let figures = drawn(model, chance);
            let change = Change { moves: h.moves.clone(), severity };
            let (figures, _) = change.apply(&figures);
            let mut truth: [f64; point::SIZE] =
                std::array::from_fn(|k| point::off(at[k], spread.0[k], || chance.normal()));
            truth[0] = truth[0].max(0.0);
            truth[1] = truth[1].max(0.0);
            let Ok(state) = model.solve(&figures, &point::from_array(truth), near.as_ref()) else { continue };
            let value = self.density(model, &state);
            sum += value;
            squares += value * value;
            near = Some(state);
        }
        let n = draws as f64;
        let mean = sum / n;
        (mean, ((squares / n - mean * mean).max(0.0) / n).sqrt())
    }

    fn density(&self, model: &Model, state: &State) -> f64 {
        let off = |(g, value, sigma): &(GaugeId, f64, f64)| {
            let z = (value - model.read(state, model.plant[*g].tap)) / sigma;
            -0.5 * z * z - sigma.ln()
        };
        self.gauges.iter().map(off).sum::<f64>().exp()
    }
}

/// Figures drawn from their spreads [SI].
fn drawn(model: &Model, chance: &mut Chance) -> Vec<f64> {
    let figures = model.plant.parts.iter().flat_map(|part| &part.figures);
    figures
        .map(|figure| match figure.spread.sigma() {
            0.0 => figure.value,
            sigma if figure.spread.is_factor() => figure.value * (sigma * chance.normal()).exp(),
            sigma => figure.value + sigma * chance.normal(),
        })
        .collect()
}

/// In words.
pub fn report(plant: &Plant, list: &[Compared]) -> String {
    let mut text = String::new();
    for compared in list {
        let mut odds = compared.odds.clone();
        odds.sort_by(|a, b| b.2.total_cmp(&a.2));
        let row = |(what, told, exact, sigma): &(What, f64, f64, f64)| {
            format!("{} {told:.3} ({exact:.3} ± {sigma:.3})", crate::cases::label(plant, *what))
        };
        let first: Vec<String> = odds.iter().take(4).map(row).collect();
        text += &format!("  gap {:.3}: {}\n", compared.gap(), first.join(", "));
    }
    let worst = list.iter().map(Compared::gap).fold(0.0, f64::max);
    let mean = list.iter().map(Compared::gap).sum::<f64>() / list.len().max(1) as f64;
    text + &format!("{} sets of readings: largest gap {worst:.3}, mean of the largest of each {mean:.3}\n", list.len())
}
