//! One drawn vessel, run and read, and the answer to what was read.

use crate::chance::Chance;
use crate::faults::{Fault, Faults};
use crate::world::{Nature, Vessel, dials, occasion, told, truth};
use diagnosis::explain::{Answer, explain};
use model::steady::{Model, State};
use plant::evidence::{Evidence, Moment};
use plant::plant::{GaugeId, Plant};
use std::ops::Range;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What is read, and when.
#[derive(Clone, Debug)]
pub struct Rounds {
    /// Speeds at which she was read while she was well [shares of rated].
    pub usual: Vec<f64>,
    /// And now; empty for one somewhere from 45 to 95 %.
    pub now: Vec<f64>,
    /// The dials read.
    pub gauges: Vec<GaugeId>,
}

impl Rounds {
    /// One round of every dial at one speed.
    pub fn once(plant: &Plant) -> Rounds {
        Rounds { usual: Vec::new(), now: Vec::new(), gauges: dials(plant).collect() }
    }
}

/// One vessel and what was made of her.
pub struct Trial {
    /// What is wrong, if anything is.
    pub fault: Option<Fault>,
    /// How far it moved the gauges that were read, all together [standard deviations of flicker and the model's passing error].
    pub shows: f64,
    /// The answer.
    pub answer: Answer,
}

/// Draws a vessel with this wrong, runs and reads her, and asks; nothing if she has no state.
pub fn run(
    model: &mut Model,
    nature: Nature,
    fault: Option<Fault>,
    rounds: &Rounds,
    chance: &mut Chance,
) -> Option<Trial> {
    let (evidence, shows) = read(model, nature, fault.as_ref(), rounds, chance)?;
    let answer = explain(&model.plant, &evidence).ok()?;
    Some(Trial { fault, shows, answer })
}

/// Draws a vessel with this wrong, runs and reads her: what is written down, and how far the fault moved it.
pub fn read(
    model: &mut Model,
    nature: Nature,
    fault: Option<&Fault>,
    rounds: &Rounds,
    chance: &mut Chance,
) -> Option<(Evidence, f64)> {
    let vessel = Vessel::draw(model, nature, chance);
    let worse = fault.map_or_else(|| vessel.parameters.clone(), |fault| fault.worsen(&vessel.parameters));
    let now = if rounds.now.is_empty() { vec![0.45 + 0.5 * chance.uniform()] } else { rounds.now.clone() };
    let mut evidence = Evidence::default();
    let mut shows = 0.0;
    for (when, shares) in [(Moment::Usual, &rounds.usual), (Moment::Now, &now)] {
        // Another day, another sea.
        let sea = 278.15 + 20.0 * chance.uniform();
        for share in shares {
            let at = told(&model.plant, *share, sea);
            let point = truth(&model.plant, &at, chance);
            let sound = model.solve(&vessel.parameters, &point, None).ok()?;
            let with = when == Moment::Now && fault.is_some();
            let state = if with { model.solve(&worse, &point, Some(&sound)).ok()? } else { sound.clone() };
            let mut indicated = vessel.round(model, &state, chance);
            if with && let Some(fault) = fault {
                let honest = indicated.clone();
                fault.falsify(&model.plant, &mut indicated);
                shows += moved(model, &rounds.gauges, [&sound, &state], [&honest, &indicated]);
            }
            slip(&model.plant, fault.is_some(), &mut indicated, chance);
            evidence.occasions.push(occasion(&model.plant, when, &at, &rounds.gauges, &indicated));
        }
    }
    Some((evidence, shows.sqrt()))
}

/// Who reads misreads now and then, or writes down another gauge; seldom when nothing is wrong and nobody is asked.
fn slip(plant: &Plant, troubled: bool, indicated: &mut [f64], chance: &mut Chance) {
    let often = if troubled { 2e-3 } else { 1e-4 };
    for (shown, gauge) in indicated.iter_mut().zip(&plant.gauges) {
        if chance.uniform() < often {
            *shown += 0.3 * (gauge.scale.1 - gauge.scale.0) * chance.normal();
        }
    }
}

/// Square of how far a fault moved the gauges, by the plant and by what lies.
pub fn moved(model: &Model, gauges: &[GaugeId], states: [&State; 2], indicated: [&[f64]; 2]) -> f64 {
    let by = |g: &GaugeId| {
        let gauge = &model.plant[*g];
        let on_dial = |value: f64| value.clamp(gauge.scale.0, gauge.scale.1);
        let read = |k: usize| model.read(states[k], gauge.tap);
        // What it would have indicated without the fault, its own errors and flicker being the same.
        let without = indicated[0][g.0] - read(1) + read(0);
        let change = on_dial(indicated[1][g.0]) - on_dial(without);
        change / model::expect::reading_noise(&model.plant, *g, read(0), false)
    };
    gauges.iter().map(|g| by(g).powi(2)).sum()
}

/// Does these trials on every core, each from its own seed by its number; one that comes to nothing is drawn again.
pub fn many<R: Send>(
    plant: &Plant,
    numbers: Range<usize>,
    seed: u64,
    work: impl Fn(&mut Model, &mut Chance) -> Option<R> + Sync,
) -> Result<Vec<R>, String> {
    let next = AtomicUsize::new(numbers.start);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let mut done: Vec<(usize, R)> = std::thread::scope(|scope| {
        let each = || {
            let mut model = Model::new(plant).map_err(|e| format!("{e:?}"))?;
            let mut mine = Vec::new();
            loop {
                let k = next.fetch_add(1, Ordering::Relaxed);
                if k >= numbers.end {
                    return Ok::<_, String>(mine);
                }
                let mut chance = Chance::new(seed.wrapping_mul(1_000_003).wrapping_add(k as u64));
                let found = (0..AGAIN).find_map(|_| work(&mut model, &mut chance));
                mine.extend(found.map(|found| (k, found)));
            }
        };
        let handles: Vec<_> = (0..threads).map(|_| scope.spawn(each)).collect();
        let mut all = Vec::new();
        for handle in handles {
            all.extend(handle.join().map_err(|_| "a trial broke off")??);
        }
        Ok::<_, String>(all)
    })?;
    done.sort_by_key(|(k, _)| *k);
    Ok(done.into_iter().map(|(_, found)| found).collect())
}

/// "300" for the first so many trials, "40..41" for those of these numbers.
pub fn numbers(text: &str) -> Result<Range<usize>, String> {
    let (from, to) = text.split_once("..").unwrap_or(("0", text));
    match (from.parse(), to.parse()) {
        (Ok(from), Ok(to)) => Ok(from..to),
        _ => Err(format!("how many, or from..to? not `{text}`")),
    }
}

/// Draws before a trial is given up.
const AGAIN: usize = 50;

/// What is wrong with the next vessel: nothing with this chance, else something.
pub fn next_fault(faults: &Faults, sound: f64, chance: &mut Chance) -> Option<Fault> {
    (chance.uniform() >= sound).then(|| faults.draw(chance))
}
