//! What could leak into what: which spaces touch through which wall, and which side presses harder.

use crate::steady::{Model, State};
use parts::kind::{Beyond, Wall};
use parts::laws::Point;
use plant::plant::{PartId, Plant, Terminal};

/// Two spaces with a wall between.
#[derive(Clone, Debug)]
pub struct Touching {
    /// Whose wall.
    pub part: PartId,
    /// The wall.
    pub wall: &'static Wall,
    /// The side it is told from: a passage of the part.
    pub inside: usize,
    /// The passage beyond, if a passage lies there.
    pub beyond: Option<usize>,
    /// With the engine running as it does.
    pub running: Side,
    /// With the engine stopped, everything cold.
    pub stopped: Side,
}

/// Which side presses harder.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Side {
    /// The inside, so that it leaks out, by as much as this [Pa].
    Inside(f64),
    /// What lies beyond, so that it leaks in, by as much as this [Pa].
    Beyond(f64),
    /// Now this, now that: within this of each other [Pa].
    Either(f64),
}

/// Pressures closer than this leak either way [Pa]: a hand's breadth of water, less than height and flow make of it.
const CLOSE: f64 = 1_000.0;
/// What a firing cylinder has over anything else [Pa]: no less than compression gives, from memory.
const FIRING: f64 = 3e6;

impl Model {
    /// Every wall of the plant as described, run at this point and stopped; none if either state is not to be found.
    pub fn touching_at(&mut self, point: Point<f64>) -> Vec<Touching> {
        let figures = self.figures.clone();
        let still = Point { speed: 0.0, load: 0.0, ..point };
        let states = [point, still].map(|point| self.solve(&figures, &point, None));
        let [Ok(running), Ok(stopped)] = states else { return Vec::new() };
        touching(self, &running, &stopped)
    }
}

/// Every wall of the plant with liquid or gas on it, in the order of the parts.
///
/// * `running`, `stopped`: states of the same plant.
pub fn touching(model: &Model, running: &State, stopped: &State) -> Vec<Touching> {
    let plant = &model.plant;
    let mut all = Vec::new();
    for part in (0..plant.parts.len()).map(PartId) {
        for wall in plant[part].kind.walls {
            let Some(inside) = way(plant, part, wall.inside) else { continue };
            let beyond = match wall.beyond {
                Beyond::Way(name) => match way(plant, part, name) {
                    Some(passage) => Some(passage),
                    None => continue,
                },
                _ => None,
            };
            let side = |state: &State| side(model, state, part, inside, wall.beyond, beyond);
            let (Some(running), Some(stopped)) = (side(running), side(stopped)) else { continue };
            all.push(Touching { part, wall, inside, beyond, running, stopped });
        }
    }
    all
}

/// A passage of this name that is joined to something.
fn way(plant: &Plant, part: PartId, name: &str) -> Option<usize> {
    let passage = plant[part].kind.passages.iter().position(|passage| passage.name == name)?;
    ends(plant, part, passage).map(|_| passage)
}

fn ends(plant: &Plant, part: PartId, passage: usize) -> Option<[Terminal; 2]> {
    let flow = plant[part].flows.get(passage).copied().flatten().map(|flow| &plant.flows[flow.0]);
    let pool = || plant.pools.iter().find(|pool| pool.part == part && pool.passage == passage);
    flow.map(|flow| [flow.from, flow.to]).or_else(|| pool().map(|pool| [Terminal::Node(pool.node); 2]))
}

fn side(model: &Model, state: &State, part: PartId, inside: usize, beyond: Beyond, way: Option<usize>) -> Option<Side> {
    let pressures = |passage: usize| {
        let ends = ends(&model.plant, part, passage)?;
        let at = ends.map(|end| model.pressure_at(state, end));
        Some((at[0].min(at[1]), at[0].max(at[1])))
    };
    let mine = pressures(inside)?;
    let other = match (beyond, way) {
        (_, Some(passage)) => pressures(passage)?,
        (Beyond::Sea, None) => [model.pressure_at(state, Terminal::Sea); 2].into(),
        (Beyond::Cylinder, None) if state.point.speed > 1.0 => [state.point.atmosphere + FIRING; 2].into(),
        _ => [state.point.atmosphere; 2].into(),
    };
    let difference = f64::midpoint(mine.0, mine.1) - f64::midpoint(other.0, other.1);
    Some(if mine.0 > other.1 + CLOSE {
        Side::Inside(difference)
    } else if other.0 > mine.1 + CLOSE {
        Side::Beyond(-difference)
    } else {
        Side::Either(difference.abs().max(CLOSE))
    })
}
