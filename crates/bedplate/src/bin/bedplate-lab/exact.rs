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
use model::under::{Change, Under};
use parts::kind::Severity;
use plant::evidence::{Evidence, ToldPoint};
use plant::plant::{GaugeId, Plant};
use std::fmt::Write as _;

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
/// Chance that a reading is a slip, and the same when all is well; how far a slip goes as a share of the scale.
const SLIPS: f64 = 2e-3;
const SLIPS_IF_WELL: f64 = 1e-4;
const SLIP_GOES: f64 = 0.3;
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

    /// Whether no gap is wider than three points and twice what chance leaves open.
    pub fn agrees(&self) -> bool {
        self.odds.iter().all(|(_, told, exact, sigma)| (told - exact).abs() <= 0.03 + 2.0 * sigma)
    }
}

/// Compares on so many drawn vessels, with so many draws of each hypothesis.
pub fn compare(plant: &Plant, cases: usize, draws: usize, seed: u64) -> Result<Vec<Compared>, String> {
    let mut model = Model::new(plant).map_err(|e| format!("{e:?}"))?;
    let mut chance = Chance::new(seed);
    let faults = Faults::of(&mut model, AS_BELIEVED, &mut chance);
    let rounds = Rounds::once(plant);
    // Of its own, so that more draws compare the same vessels.
    let mut draw = Chance::new(seed.wrapping_add(1));
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
        let exact = exact(&mut model, &evidence, draws, &mut draw);
        // One cause at a time, all as common as that all is well: rates would leave nothing but that to be compared.
        let single = answer.ranked.iter().filter(|r| r.beside.is_none() && !matches!(r.what, What::Else(_)));
        let single: Vec<(What, f64)> = single.map(|r| (r.what, r.weight.exp())).collect();
        let whole: f64 = single.iter().map(|(_, weight)| weight).sum();
        let told = |what: What| single.iter().find(|s| s.0 == what).map_or(0.0, |(_, weight)| weight / whole);
        list.push(Compared { odds: exact.into_iter().map(|(what, p, sigma)| (what, told(what), p, sigma)).collect() });
    }
    Ok(list)
}

/// Chance of every hypothesis, all as common, and one standard deviation of it by chance.
fn exact(model: &mut Model, evidence: &Evidence, draws: usize, chance: &mut Chance) -> Vec<(What, f64, f64)> {
    let list = hypothesis::all(&model.plant, &model.layout, evidence);
    let read = Read::of(model, evidence);
    let listed = list.iter().filter(|h| !matches!(h.what, What::Else(_)));
    let likely: Vec<(What, (f64, f64))> = listed.map(|h| (h.what, read.likelihood(model, h, draws, chance))).collect();
    let whole: f64 = likely.iter().map(|(_, (mean, _))| mean).sum();
    likely.into_iter().map(|(what, (mean, sigma))| (what, mean / whole, sigma / whole)).collect()
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
        let slips = if h.what == What::Well { SLIPS_IF_WELL } else { SLIPS };
        let (mut sum, mut squares) = (0.0, 0.0);
        // From slight to bad, each solved from the one before it.
        let mut severities: Vec<f64> = (0..draws).map(|_| crate::faults::severity(severity, chance)).collect();
        severities.sort_by(f64::total_cmp);
        let mut near: Option<State> = None;
        model.patient = false;
        for severity in severities {
            let figures = drawn(model, chance);
            let under = Under { changes: vec![Change { moves: h.moves.clone(), severity }], lie: None };
            let out_of_step: Vec<f64> = (0..under.further()).map(|_| chance.normal()).collect();
            let changed = under.apply(&figures, &out_of_step);
            let mut truth: [f64; point::SIZE] =
                std::array::from_fn(|k| point::off(at[k], spread.0[k], || chance.normal()));
            truth[0] = truth[0].max(0.0);
            truth[1] = truth[1].max(0.0);
            let Ok(state) = model.solve(&changed.values, &point::from_array(truth), near.as_ref()) else { continue };
            let value = self.density(model, &state, slips);
            sum += value;
            squares += value * value;
            near = Some(state);
        }
        let n = draws as f64;
        let mean = sum / n;
        (mean, ((squares / n - mean * mean).max(0.0) / n).sqrt())
    }

    /// Density of what was read in this state, each reading being a slip with this chance.
    fn density(&self, model: &Model, state: &State, slips: f64) -> f64 {
        let normal = |off: f64, sigma: f64| (-0.5 * (off / sigma).powi(2)).exp() / sigma;
        let each = |&(g, value, sigma): &(GaugeId, f64, f64)| {
            let gauge = &model.plant[g];
            let off = value - model.read(state, gauge.tap);
            let slip = SLIP_GOES * (gauge.scale.1 - gauge.scale.0);
            (1.0 - slips) * normal(off, sigma) + slips * normal(off, sigma.hypot(slip))
        };
        self.gauges.iter().map(each).product()
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
        let _ = writeln!(text, "  gap {:.3}: {}", compared.gap(), first.join(", "));
    }
    let worst = list.iter().map(Compared::gap).fold(0.0, f64::max);
    let mean = list.iter().map(Compared::gap).sum::<f64>() / list.len().max(1) as f64;
    text + &format!("{} sets of readings: largest gap {worst:.3}, mean of the largest of each {mean:.3}\n", list.len())
}
