//! The one law of all kinds that an owner describes.

use super::Outside;
use crate::kind::Link;
use crate::laws::{Say, Site};
use physics::heat_transfer::counterflow_heat;
use physics::number::Number;
use physics::smooth::{magnitude, signed_square};

/// Flow below which the drop turns linear, and heat goes with the flow [shares of rated flow].
const REST: f64 = 0.02;
const TRICKLE: f64 = 0.05;
/// Capacity rate of what is not warmed by it: the sea, the room [W/K].
const ENDLESS: f64 = 1e12;
/// Seconds at rated flow that a way holds; from memory, and as much again in metal.
const HOLDS: f64 = 8.0;

/// What a kind reads that has to do with the engine space.
pub(super) const SPACE: &[Link] = &[Link::All("space_temperature")];

/// The law of such a kind: for each way, where in the table its figures are.
#[derive(Clone, Debug)]
pub struct OwnLaw {
    pub(super) ways: Vec<OwnLawWay>,
}

#[derive(Copy, Clone, Debug)]
pub(super) struct OwnLawWay {
    pub flow: usize,
    pub drop: usize,
    pub heat: Option<usize>,
    pub passes: Option<(usize, Outside)>,
}

impl OwnLaw {
    /// Says drops and heat: a drop with the square of the flow; heat told, while it flows; heat passed to what lies beyond,
    /// in counterflow, or from an endless one that keeps its temperature.
    ///
    /// # Source
    /// Effectiveness method, `[Incropera6]` ch. 11, by way of [`counterflow_heat`].
    pub fn state<N: Number>(&self, at: &Site<N>, say: &mut Say<N>) {
        let share = |k: usize| at.flow[k] / at.parameters[self.ways[k].flow];
        let capacity = |k: usize| at.contents[k].heat_capacity(at.inlet_temperature[k]);
        let rate = |k: usize| magnitude(share(k), REST) * at.parameters[self.ways[k].flow] * capacity(k);
        for (k, way) in self.ways.iter().enumerate() {
            let moving = share(k);
            at.drop(say, k, at.parameters[way.drop] * signed_square(moving, REST));
            say.storage[k] = at.parameters[way.flow] * capacity(k) * HOLDS;
            if let Some(heat) = way.heat {
                let square = moving * moving;
                say.heat[k] += at.parameters[heat] * square / (square + TRICKLE * TRICKLE);
            }
            let Some((conductance, to)) = way.passes else { continue };
            let (other, there) = match to {
                Outside::Room => (N::constant(ENDLESS), at.room(0)),
                Outside::Sea => (N::constant(ENDLESS), at.point.sea),
                Outside::Way(j) => (rate(j), at.inlet_temperature[j]),
            };
            let heat = counterflow_heat(at.parameters[conductance], rate(k), other, there - at.inlet_temperature[k]);
            say.heat[k] += heat;
            if let Outside::Way(j) = to {
                say.heat[j] -= heat;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, MILD};
    use crate::kind::Circuit;
    use crate::own_kind::{Opening, OwnFigure, OwnKind, OwnWay};
    use measure::figure::Spread;
    use physics::contents::Contents;

    fn exactly(value: f64) -> OwnFigure {
        OwnFigure { value, spread: Spread::Exact }
    }

    /// Two ways of water, the second giving its heat to the first.
    fn exchanger() -> OwnKind {
        let way = |name: &str, carries| OwnWay {
            name: name.into(),
            carries: vec![carries],
            from: Opening::Port(format!("{name}_in")),
            to: Opening::Port(format!("{name}_out")),
            does: "passes".into(),
            flow: exactly(1.0),
            drop: exactly(4_000.0),
            heat: None,
            conductance: None,
        };
        let mut ways = vec![way("sea", Circuit::RawWater), way("loop", Circuit::FreshWater)];
        ways[0].conductance = Some((exactly(2_000.0), Outside::Way(1)));
        OwnKind {
            name: "x".into(),
            title: "Wine cooler".into(),
            circuit: Circuit::RawWater,
            ways,
            causes: Vec::new(),
            checks: Vec::new(),
        }
    }

    #[test]
    fn heat_between_two_ways_is_what_the_book_has_for_counterflow() {
        let mut bench = Bench::of(exchanger().kind());
        bench.site.flow = [0.5, 0.25, 0.0];
        bench.site.inlet_temperature[1] = MILD + 40.0;
        let say = bench.say();
        let rate = |k: usize| {
            let contents: Contents = bench.site.contents[k];
            bench.site.flow[k] * contents.heat_capacity(bench.site.inlet_temperature[k])
        };
        let (a, b) = (rate(0), rate(1));
        let (least, most) = (a.min(b), a.max(b));
        // [Incropera6] eq. 11.29a.
        let (units, ratio) = (2_000.0 / least, least / most);
        let wane = (-units * (1.0 - ratio)).exp();
        let effectiveness = (1.0 - wane) / (1.0 - ratio * wane);
        let heat = effectiveness * least * 40.0;
        assert!((say.heat[0] / heat - 1.0).abs() < 5e-3, "{} against {heat}", say.heat[0]);
        assert_eq!(say.heat[0], -say.heat[1]);
        // Half the flow, a quarter of the drop.
        assert!((say.gap[0] + 1_000.0).abs() < 1.0, "{}", say.gap[0]);
    }

    #[test]
    fn heat_told_comes_while_it_flows_and_the_room_takes_what_its_conductance_lets_by() {
        let mut own = exchanger();
        own.ways.truncate(1);
        own.ways[0].heat = Some(exactly(1_200.0));
        own.ways[0].conductance = Some((exactly(50.0), Outside::Room));
        let kind = own.kind();
        assert_eq!(own.parameters(), ["rated_flow", "rated_drop", "heat", "conductance"]);
        let mut bench = Bench::of(kind);
        bench.site.inlet_temperature[0] = MILD + 30.0;
        assert!(bench.say().heat[0].abs() < 50.0 * 30.0, "at rest {}", bench.say().heat[0]);
        bench.site.flow[0] = 1.0;
        // Capacity is far above the conductance: nearly all of 50 W/K times 30 K goes.
        let heat = bench.say().heat[0];
        assert!((heat - (1_200.0 - 1_500.0)).abs() < 20.0, "{heat}");
        assert_eq!(kind.symbol.letters, "WC");
    }
}
