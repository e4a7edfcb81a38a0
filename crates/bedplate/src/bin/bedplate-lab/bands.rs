//! Do bands hold what they promise, and are sound plants left in peace?

use crate::chance::Chance;
use crate::world::{AS_BELIEVED, Vessel, points, read_all, truth};
use diagnosis::explain::explain;
use diagnosis::hypothesis::What;
use model::fit::Seen;
use model::steady::Model;
use plant::plant::{GaugeId, Plant};

/// Plants drawn for each band.
const PLANTS_EACH: usize = 20;

/// Share of readings inside their 95 % band, over so many independent plants; the share for each gauge beside it.
pub fn coverage(plant: &Plant, plants: usize, seed: u64) -> (f64, usize, Vec<(String, f64)>) {
    let mut model = Model::new(plant).expect("shipped plants have a sound structure");
    let mut chance = Chance::new(seed);
    let gauges: Vec<GaugeId> = plant.gauge_ids().filter(|g| plant[*g].trips.is_none()).collect();
    let (mut inside, mut drawn) = (vec![0usize; gauges.len()], 0);
    while drawn < plants {
        let (told, _) = points(plant, &mut chance);
        let Ok(expected) = model.expect(&told, &Seen::default()) else { continue };
        for _ in 0..PLANTS_EACH {
            let vessel = Vessel::draw(&model, AS_BELIEVED, &mut chance);
            let truth = truth(plant, &told, &mut chance);
            let Ok(state) = model.solve(&vessel.parameters, &truth, Some(&expected.state)) else { continue };
            drawn += 1;
            let read = vessel.round(&model, &state, &mut chance);
            for (hits, gauge) in inside.iter_mut().zip(&gauges) {
                let reading = read[gauge.0];
                let band = &expected.bands[gauge.0];
                *hits += usize::from(reading >= band.low && reading <= band.high);
            }
        }
    }
    let share = |hits: usize| hits as f64 / drawn as f64;
    let each = inside.iter().zip(&gauges).map(|(hits, g)| (plant[*g].name.clone(), share(*hits))).collect();
    (inside.iter().sum::<usize>() as f64 / (drawn * gauges.len()) as f64, drawn, each)
}

/// How many of so many sound plants, read once, have a named cause that is likelier than all is well.
pub fn accused(plant: &Plant, plants: usize, seed: u64) -> (usize, usize) {
    let mut model = Model::new(plant).expect("shipped plants have a sound structure");
    let mut chance = Chance::new(seed);
    let (mut accused, mut tried) = (0, 0);
    for _ in 0..plants {
        let vessel = Vessel::draw(&model, AS_BELIEVED, &mut chance);
        let (told, truth) = points(plant, &mut chance);
        let Ok(state) = model.solve(&vessel.parameters, &truth, None) else { continue };
        let evidence = read_all(&model, &vessel, &state, &told, &mut chance);
        let Ok(answer) = explain(plant, &evidence) else { continue };
        tried += 1;
        accused += usize::from(answer.ranked.first().is_some_and(|r| r.what != What::Well));
    }
    (accused, tried)
}
