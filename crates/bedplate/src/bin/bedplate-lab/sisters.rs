//! What a sister engine is worth: faults drawn on one of two engines of one make, explained from that engine's gauges alone,
//! from both as if they had nothing in common, and from both as sisters.

use crate::cases::place;
use crate::chance::Chance;
use crate::world::{AS_BELIEVED, Vessel, points, read_all};
use ::live::world::{MATTERS, moved};
use diagnosis::explain::explain;
use diagnosis::hypothesis::{self, Hypothesis, What};
use model::expect::usual;
use model::fit::Seen;
use model::steady::Model;
use model::under::Change;
use plant::evidence::{Evidence, Moment, Named, ToldPoint};
use plant::plant::{GaugeId, Plant};
use plant::sisters::Sisters;

/// Places of the true cause under one way of explaining.
#[derive(Default)]
struct Score {
    tried: usize,
    first: usize,
    in_three: usize,
    log: f64,
}

impl Score {
    fn line(&self, what: &str) -> String {
        let percent = |count: usize| 100.0 * count as f64 / self.tried.max(1) as f64;
        format!(
            "{what}: first {} of {} ({:.0} %), in the first three {} ({:.0} %), mean of −ln(odds of the true cause) {:.2}",
            self.first,
            self.tried,
            percent(self.first),
            self.in_three,
            percent(self.in_three),
            self.log / self.tried.max(1) as f64
        )
    }
}

/// A plant whose engines have nothing in common.
fn apart(plant: &Plant) -> Plant {
    Plant { sisters: Sisters::default(), ..plant.clone() }
}

/// Explains so many faults on sister engines in worlds where they are sisters, or (`alike` false) have nothing in common.
pub fn faults(plant: &Plant, faults: usize, seed: u64, alike: bool) -> Result<String, String> {
    let apart = apart(plant);
    let ready = |plant: &Plant| Model::new(plant).map_err(|e| format!("{e:?}"));
    let mut world = ready(if alike { plant } else { &apart })?;
    let mut chance = Chance::new(seed);
    let sisters: Vec<_> = plant.sisters.parts().into_iter().flatten().collect();
    let causes: Vec<Hypothesis> = hypothesis::all(plant, &world.layout, &Evidence::default())
        .into_iter()
        .filter(|h| {
            !h.moves.is_empty() && matches!(h.what, What::Cause(Named::Part(part), _) if sisters.contains(&part))
        })
        .collect();
    let names = ["from her own gauges", "both engines, nothing in common", "both engines, as sisters"];
    let mut scores: [Score; 3] = std::array::from_fn(|_| Score::default());
    let mut tried = 0;
    while scores[0].tried < faults && tried < 100 * faults {
        tried += 1;
        let fault = &causes[chance.below(causes.len())];
        let severity = 0.3 + 0.7 * chance.uniform();
        let vessel = Vessel::draw(&world, AS_BELIEVED, &mut chance);
        let (told, truth) = points(plant, &mut chance);
        let figures = Change { moves: fault.moves.clone(), severity }.apply(&vessel.parameters);
        let Ok(sound) = world.solve(&vessel.parameters, &truth, None) else { continue };
        let Ok(state) = world.solve(&figures, &truth, Some(&sound)) else { continue };
        if world.unsteady(&state).is_some() || moved(&world, &sound, &state) < MATTERS {
            continue;
        }
        let both = read_all(&world, &vessel, &state, &told, &mut chance);
        let own = hers(plant, &both, fault.what);
        let answers =
            [(plant, &own), (&apart, &both), (plant, &both)].map(|(plant, evidence)| explain(plant, evidence));
        let [Ok(a), Ok(b), Ok(c)] = answers else { continue };
        for (score, answer) in scores.iter_mut().zip([a, b, c]) {
            let rank = place(plant, &answer, &|ranked| ranked.what == fault.what, |ranked| ranked.probability);
            let odds = answer.ranked.iter().find(|ranked| ranked.what == fault.what).map_or(0.0, |r| r.probability);
            score.tried += 1;
            score.first += usize::from(rank == 1);
            score.in_three += usize::from(rank <= 3);
            score.log -= odds.max(1e-6).ln();
        }
    }
    let lines: Vec<String> = names.iter().zip(&scores).map(|(name, score)| score.line(name)).collect();
    Ok(lines.join("\n"))
}

/// The same evidence without the gauges that have their like on the engine that the fault is on.
fn hers(plant: &Plant, evidence: &Evidence, what: What) -> Evidence {
    let What::Cause(Named::Part(part), _) = what else { return evidence.clone() };
    let mut own = evidence.clone();
    for occasion in &mut own.occasions {
        occasion.readings.retain(|(gauge, _)| plant.sister_gauge(*gauge).is_none() || looks_at(plant, *gauge, part));
    }
    own
}

/// Does a gauge look at the engine that this part serves?
fn looks_at(plant: &Plant, gauge: GaugeId, part: plant::plant::PartId) -> bool {
    use plant::plant::{Tap, Terminal};
    let engine = plant[part].engine;
    let at = |node| {
        let ends = |flow: &&plant::plant::Flow| flow.from == Terminal::Node(node) || flow.to == Terminal::Node(node);
        let by_flow = plant.flows.iter().filter(ends).any(|flow| plant[flow.part].engine == engine);
        by_flow || plant.pools.iter().any(|pool| pool.node == node && plant[pool.part].engine == engine)
    };
    match plant[gauge].tap {
        Tap::Pressure(node) | Tap::Temperature(node) | Tap::Voltage(node) => at(node),
        Tap::Drop(flow) | Tap::Flow(flow) | Tap::Meter(flow) => plant[plant.flows[flow.0].part].engine == engine,
        Tap::Unknown(part, _) => plant[part].engine == engine,
        Tap::Sea | Tap::Air => true,
    }
}

/// How much the other engine's readings narrow the bands of one's own: mean width over so many sound plants, as a share of
/// that with nothing read, without and with what sisters have in common; and how many readings lie inside.
pub fn bands(plant: &Plant, plants: usize, seed: u64) -> Result<String, String> {
    let apart = apart(plant);
    let ready = |plant: &Plant| Model::new(plant).map_err(|e| format!("{e:?}"));
    let (mut alone, mut together) = (ready(&apart)?, ready(plant)?);
    let mut chance = Chance::new(seed);
    let dials = plant.gauge_ids().filter(|gauge| plant[*gauge].trips.is_none());
    let pairs: Vec<(GaugeId, GaugeId)> =
        dials.filter_map(|g| Some((g, plant.sister_gauge(g)?))).filter(|(g, like)| g > like).collect();
    let (mut widths, mut inside, mut drawn) = (vec![[0.0; 3]; pairs.len()], [0usize; 3], 0);
    for _ in 0..plants {
        let vessel = Vessel::draw(&together, AS_BELIEVED, &mut chance);
        let (told, truth) = points(plant, &mut chance);
        let Ok(state) = together.solve(&vessel.parameters, &truth, None) else { continue };
        let mut read = read_all(&together, &vessel, &state, &told, &mut chance);
        let round = vessel.round(&together, &state, &mut chance);
        let mine: Vec<f64> = pairs.iter().map(|(own, _)| round[own.0]).collect();
        for occasion in &mut read.occasions {
            occasion.when = Moment::Usual;
            occasion.readings.retain(|(gauge, _)| pairs.iter().all(|(own, _)| own != gauge));
        }
        let seen = usual(plant, &read);
        let expect = |model: &mut Model, seen: &Seen, told: &ToldPoint| model.expect(told, seen).ok();
        let bands = [
            expect(&mut alone, &Seen::default(), &told),
            expect(&mut alone, &seen, &told),
            expect(&mut together, &seen, &told),
        ];
        let [Some(a), Some(b), Some(c)] = bands else { continue };
        drawn += 1;
        for (k, expected) in [a, b, c].into_iter().enumerate() {
            for ((sum, (own, _)), reading) in widths.iter_mut().zip(&pairs).zip(&mine) {
                let band = expected.bands[own.0];
                sum[k] += (band.high - band.low) / plants as f64;
                inside[k] += usize::from((band.low..=band.high).contains(reading));
            }
        }
    }
    let mut lines =
        vec![format!("{drawn} plants; width of the band as a share of that with nothing read, apart and as sisters")];
    for (sum, (own, _)) in widths.iter().zip(&pairs) {
        lines.push(format!("  {}: {:.2} and {:.2}", plant[*own].name, sum[1] / sum[0], sum[2] / sum[0]));
    }
    let share = |k: usize| 100.0 * inside[k] as f64 / (drawn * pairs.len()).max(1) as f64;
    lines.push(format!("inside: {:.1} %, {:.1} % and {:.1} %", share(0), share(1), share(2)));
    Ok(lines.join("\n"))
}
