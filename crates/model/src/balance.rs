//! The equations: parts' laws, and the balances of mass and heat around them.

use crate::layout::{Layout, Rows, Seat, Slot, pressure, temperature};
use crate::point;
use parts::laws::{LINKS, PASSAGES, Point, Say, Site, UNKNOWNS};
use physics::contents::Contents;
use physics::number::{Dual, Number};
use plant::plant::{Flow, NodeId, PartId, Plant, Terminal};
use solver::System;

/// Every node loses a little heat to its surroundings: what keeps the temperature of a still node determined [W/K].
/// Common practice, no source: about a hand's breadth of bare pipe.
pub const NODE_LOSS: f64 = 0.3;
/// Depth of the intake [m]; common practice, no source.
const INTAKE_DEPTH: f64 = 0.6;
/// Density of sea water over the intake [kg/m³].
const SEA_DENSITY: f64 = 1025.0;

/// A plant's equations at given figures and operating point.
pub struct Balance<'a> {
    /// The plant.
    pub plant: &'a Plant,
    /// Its layout.
    pub layout: &'a Layout,
    /// Every parameter [SI].
    pub parameters: &'a [f64],
    /// Operating point [SI].
    pub point: Point<f64>,
    /// If marching: state a step ago, and heat stored per kelvin over the step, of each node [W/K].
    pub march: Option<(&'a [f64], &'a [f64])>,
}

/// What a part said, with slopes in one set of directions.
pub(crate) struct Spoken {
    pub say: Say<Dual>,
    pub first: usize,
}

impl Balance<'_> {
    /// What a part's laws say at these unknowns.
    pub(crate) fn say(&self, part: usize, x: &[f64]) -> Say<f64> {
        let laws = self.plant.parts[part].kind.laws;
        self.at_part(PartId(part), x, |site| {
            let mut say = Say::nothing();
            laws.plain(site, &mut say);
            say
        })
    }

    /// What a question finds at a part at these unknowns.
    pub(crate) fn at_part<R>(&self, part: PartId, x: &[f64], question: impl Fn(&Site<f64>) -> R) -> R {
        let first = self.layout.seats[part.0].first_parameter;
        let parameters = &self.parameters[first..first + self.plant[part].kind.parameters.len()];
        question(&self.site(part.0, parameters, self.point, &|u| x[u]))
    }

    /// The same with slopes in the part's unknowns, 16 directions a time.
    pub(crate) fn say_in_unknowns(&self, part: usize, x: &[f64], each: &mut dyn FnMut(&Spoken)) {
        let seat = &self.layout.seats[part];
        let kind = self.plant.parts[part].kind;
        let own = &self.parameters[seat.first_parameter..seat.first_parameter + kind.parameters.len()];
        let mut parameters = [Dual::new(0.0); MAX_PARAMETERS];
        for (to, from) in parameters.iter_mut().zip(own) {
            *to = Dual::new(*from);
        }
        let point = constant_point(&self.point);
        for first in (0..seat.locals.len()).step_by(Dual::DIRECTIONS) {
            let read = |u: usize| {
                let place = seat.locals.binary_search(&u).unwrap_or(usize::MAX);
                Dual::variable(x[u], place.wrapping_sub(first))
            };
            let site = self.site(part, &parameters[..own.len()], point, &read);
            let mut spoken = Spoken { say: Say::nothing(), first };
            kind.laws.sloped(&site, &mut spoken.say);
            each(&spoken);
        }
    }

    /// The same with slopes in the part's parameters and then the operating point, 16 directions a time.
    pub(crate) fn say_in_figures(&self, part: usize, x: &[f64], each: &mut dyn FnMut(&Spoken)) {
        let seat = &self.layout.seats[part];
        let kind = self.plant.parts[part].kind;
        let count = kind.parameters.len();
        let own = &self.parameters[seat.first_parameter..seat.first_parameter + count];
        for first in (0..count + point::SIZE).step_by(Dual::DIRECTIONS) {
            let mut parameters = [Dual::new(0.0); MAX_PARAMETERS];
            for (k, (to, from)) in parameters.iter_mut().zip(own).enumerate() {
                *to = Dual::variable(*from, k.wrapping_sub(first));
            }
            let point = point::seeded(&self.point, count.wrapping_sub(first));
            let site = self.site(part, &parameters[..count], point, &|u| Dual::new(x[u]));
            let mut spoken = Spoken { say: Say::nothing(), first };
            kind.laws.sloped(&site, &mut spoken.say);
            each(&spoken);
        }
    }

    fn site<'s, N: Number>(
        &self,
        part: usize,
        parameters: &'s [N],
        point: Point<N>,
        read: &dyn Fn(usize) -> N,
    ) -> Site<'s, N> {
        let seat = &self.layout.seats[part];
        let slot = |slot: Slot| match slot {
            Slot::Unknown(u) => read(u),
            Slot::Sea => point.sea,
            Slot::Air => point.air,
            Slot::AirPressure => point.atmosphere,
            Slot::SeaPressure => sea_pressure(point.atmosphere),
            Slot::Zero => N::constant(0.0),
        };
        // Filled in place: a site with slopes is some kilobytes, and most parts use few of its passages.
        let nothing = N::constant(0.0);
        let mut site = Site {
            parameters,
            flow: [nothing; PASSAGES],
            inlet_pressure: [nothing; PASSAGES],
            outlet_pressure: [nothing; PASSAGES],
            inlet_temperature: [N::constant(288.15); PASSAGES],
            outlet_temperature: [N::constant(288.15); PASSAGES],
            unknowns: [nothing; UNKNOWNS],
            links: [nothing; LINKS],
            point,
            contents: [Contents::FreshWater; PASSAGES],
        };
        let described = &self.plant.parts[part];
        for k in 0..described.kind.passages.len() {
            site.flow[k] = slot(seat.flow[k]);
            site.inlet_pressure[k] = slot(seat.inlet_pressure[k]);
            site.outlet_pressure[k] = slot(seat.outlet_pressure[k]);
            if seat.rows[k].gap.is_none() {
                continue;
            }
            site.outlet_temperature[k] = slot(seat.to_temperature[k]);
            if let Some(flow) = described.flows[k] {
                site.contents[k] = self.plant.flows[flow.0].contents;
                let forward = forward_share(site.flow[k], self.layout.widths[flow.0]);
                let (from, to) = (slot(seat.from_temperature[k]), site.outlet_temperature[k]);
                site.inlet_temperature[k] = to + (from - to) * forward;
            } else if let Some(pool) = self.plant.pools.iter().find(|p| p.part.0 == part && p.passage == k) {
                site.contents[k] = self.plant.nodes[pool.node.0].contents;
                site.inlet_temperature[k] = site.outlet_temperature[k];
            }
        }
        for u in 0..described.kind.unknowns.len() {
            site.unknowns[u] = read(seat.first_unknown + u);
        }
        for k in 0..described.kind.links.len() {
            site.links[k] = seat.links[k].iter().fold(N::constant(seat.link_constants[k]), |sum, &u| sum + read(u));
        }
        site
    }

    /// Heat stored per kelvin at each node at these unknowns [J/K].
    pub(crate) fn storage(&self, x: &[f64]) -> Vec<f64> {
        // Pipe ends and fittings; keeps a node that nothing claims from answering at once (from memory).
        let gas = |n: &plant::plant::Node| n.circuit == parts::kind::Circuit::Exhaust;
        let mut stored: Vec<f64> = self.plant.nodes.iter().map(|n| if gas(n) { 500.0 } else { 4_000.0 }).collect();
        for part in 0..self.plant.parts.len() {
            let say = self.say(part, x);
            let seat = &self.layout.seats[part];
            let flows = &self.plant.parts[part].flows;
            for (k, rows) in seat.rows.iter().enumerate() {
                // What a passage stores is warmed where its heat goes: at both ends, if what is in it stands.
                let forward = match (rows.heat_to, rows.heat_from, flows.get(k).copied().flatten()) {
                    (Some(_), Some(_), Some(f)) => forward_share(x[self.layout.flow(f.0)], self.layout.widths[f.0]),
                    (None, _, _) => 0.0,
                    _ => 1.0,
                };
                for (row, share) in [(rows.heat_to, forward), (rows.heat_from, 1.0 - forward)] {
                    if let Some(row) = row {
                        stored[row / 2] += say.storage[k] * share;
                    }
                }
            }
        }
        stored
    }

    /// Heat into the passages of a part at these unknowns [W].
    pub fn heat(&self, part: PartId, x: &[f64]) -> [f64; PASSAGES] {
        self.say(part.0, x).heat
    }

    /// Writes what flows and nodes do beyond the laws: carrying of mass and heat, losses, storage.
    fn carry(&self, x: &[f64], gaps: &mut [f64], mut slope: impl FnMut(f64)) {
        for (k, flow) in self.plant.flows.iter().enumerate() {
            self.carry_flow(k, flow, x, gaps, &mut slope);
        }
        let room = self.point.room();
        for n in 0..self.layout.nodes {
            let row = temperature(NodeId(n));
            let (was, rate) = self.march.map_or((0.0, 0.0), |(old, rates)| (old[row], rates[n]));
            gaps[row] += NODE_LOSS * (room - x[row]) - rate * (x[row] - was);
            slope(-NODE_LOSS - rate);
        }
    }

    fn carry_flow(&self, k: usize, flow: &Flow, x: &[f64], gaps: &mut [f64], slope: &mut impl FnMut(f64)) {
        let m = x[self.layout.flow(k)];
        let width = self.layout.widths[k];
        let temperature_of = |terminal| match terminal {
            Terminal::Node(n) | Terminal::Into(n) => x[temperature(n)],
            Terminal::Sea => self.point.sea,
            Terminal::Air | Terminal::Ground => self.point.air,
        };
        // (end, other end, flow arriving at the end, its slope)
        for (end, other, arriving, sign) in [(flow.from, flow.to, -m, -1.0), (flow.to, flow.from, m, 1.0)] {
            let Terminal::Node(node) = end else { continue };
            if !self.layout.held[node.0] {
                gaps[pressure(node)] += arriving;
                slope(sign);
            }
            let (carried, carried_slope) = positive(arriving, width);
            // What is sprayed into gas takes its heat along; nothing comes back.
            let (here, there) = (temperature_of(end), temperature_of(other));
            let drop = flow.contents.enthalpy(there) - flow.contents.enthalpy(here);
            gaps[temperature(node)] += carried * drop;
            slope(sign * carried_slope * drop);
            slope(-carried * flow.contents.heat_capacity(here));
            if let Terminal::Node(_) = other {
                slope(carried * flow.contents.heat_capacity(there));
            }
        }
    }
}

/// Pressure in the sea at the intake [Pa].
pub(crate) fn sea_pressure<N: Number>(atmosphere: N) -> N {
    atmosphere + SEA_DENSITY * physics::constants::GRAVITY * INTAKE_DEPTH
}

/// Most parameters a kind may have.
pub(crate) const MAX_PARAMETERS: usize = 40;

fn constant_point(p: &Point<f64>) -> Point<Dual> {
    point::from_array(point::to_array(p).map(Dual::new))
}

/// Share of a flow that runs in the drawn direction, smooth through rest.
pub(crate) fn forward_share<N: Number>(flow: N, width: f64) -> N {
    physics::smooth::step(flow, width)
}

/// A flow's positive part and its slope, smooth through rest.
fn positive(flow: f64, width: f64) -> (f64, f64) {
    let root = (flow * flow + width * width).sqrt();
    ((flow + root) * 0.5, (1.0 + flow / root) * 0.5)
}

/// Spreads what a part said over its equations, plain.
fn spread(
    seat: &Seat,
    flows: &[f64; PASSAGES],
    widths: &[f64; PASSAGES],
    say: &Say<f64>,
    own: usize,
    gaps: &mut [f64],
) {
    for (k, rows) in seat.rows.iter().enumerate() {
        if let Some(row) = rows.gap {
            gaps[row] += say.gap[k];
        }
        let forward = if rows.heat_from.is_some() { forward_share(flows[k], widths[k]) } else { 1.0 };
        if let Some(row) = rows.heat_from {
            gaps[row] += say.heat[k] * (1.0 - forward);
        }
        if let Some(row) = rows.heat_to {
            gaps[row] += say.heat[k] * forward;
        }
        if let Some(row) = rows.mass_to {
            gaps[row] -= say.leak[k];
        }
    }
    for u in 0..own {
        gaps[seat.first_unknown + u] += say.unknown[u];
    }
}

impl Balance<'_> {
    /// Flow of each passage of a part, and its width [kg/s].
    pub(crate) fn flows_of(&self, part: usize, x: &[f64]) -> ([f64; PASSAGES], [f64; PASSAGES]) {
        let (mut flows, mut widths) = ([0.0; PASSAGES], [1.0; PASSAGES]);
        for (k, flow) in self.plant.parts[part].flows.iter().enumerate() {
            if let Some(flow) = flow {
                flows[k] = x[self.layout.flow(flow.0)];
                widths[k] = self.layout.widths[flow.0];
            }
        }
        (flows, widths)
    }

    /// Rows and slopes of a part's laws in one set of directions, in the order of [`Rows::written`] and then its
    /// own unknowns: `each(place in that order, row, direction, slope)`. `moving` says how fast each passage's flow moves in a direction.
    pub(crate) fn slopes(
        &self,
        part: usize,
        x: &[f64],
        spoken: &Spoken,
        count: usize,
        moving: &dyn Fn(usize, usize) -> f64,
        each: &mut dyn FnMut(usize, usize, usize, f64),
    ) {
        let seat = &self.layout.seats[part];
        let (flows, widths) = self.flows_of(part, x);
        let mut place = 0;
        for (k, rows) in seat.rows.iter().enumerate() {
            let forward = if rows.heat_from.is_some() { forward_share(flows[k], widths[k]) } else { 1.0 };
            let turn = if rows.heat_from.is_some() {
                // d(forward)/d(flow)
                let t = 2.0 * forward - 1.0;
                0.5 * (1.0 - t * t) / widths[k]
            } else {
                0.0
            };
            let heat = &spoken.say.heat[k];
            let shift = |d: usize| if turn == 0.0 { 0.0 } else { heat.value() * turn * moving(k, d) };
            let Rows { gap, heat_from, heat_to, mass_to } = *rows;
            let mut write = |row: Option<usize>, slope: &dyn Fn(usize) -> f64| {
                if let Some(row) = row {
                    (0..count).for_each(|d| each(place, row, d, slope(d)));
                    place += 1;
                }
            };
            write(gap, &|d| spoken.say.gap[k].slope(d));
            write(heat_from, &|d| heat.slope(d) * (1.0 - forward) - shift(d));
            write(heat_to, &|d| heat.slope(d) * forward + shift(d));
            write(mass_to, &|d| -spoken.say.leak[k].slope(d));
        }
        for u in 0..self.plant.parts[part].kind.unknowns.len() {
            (0..count).for_each(|d| each(place, seat.first_unknown + u, d, spoken.say.unknown[u].slope(d)));
            place += 1;
        }
    }
}

impl System for Balance<'_> {
    fn len(&self) -> usize {
        self.layout.len()
    }

    fn pattern(&self) -> &[(usize, usize)] {
        &self.layout.pattern
    }

    fn evaluate(&self, x: &[f64], gaps: &mut [f64], slopes: &mut [f64]) {
        gaps.fill(0.0);
        let mut next = 0;
        for part in 0..self.plant.parts.len() {
            let seat = &self.layout.seats[part];
            let own = self.plant.parts[part].kind.unknowns.len();
            let rows = seat.rows.iter().flat_map(Rows::written).count() + own;
            let width = seat.locals.len();
            let block = &mut slopes[next..next + rows * width];
            next += rows * width;
            let mut first_pass = true;
            self.say_in_unknowns(part, x, &mut |spoken| {
                if std::mem::take(&mut first_pass) {
                    let (flows, widths) = self.flows_of(part, x);
                    spread(seat, &flows, &widths, &spoken.say.plain(), own, gaps);
                }
                let count = (width - spoken.first).min(Dual::DIRECTIONS);
                let moving =
                    |k: usize, d: usize| f64::from(seat.flow[k] == Slot::Unknown(seat.locals[spoken.first + d]));
                self.slopes(part, x, spoken, count, &moving, &mut |place, _, d, slope| {
                    block[place * width + spoken.first + d] = slope;
                });
            });
        }
        self.carry(x, gaps, |slope| {
            slopes[next] = slope;
            next += 1;
        });
    }

    fn gaps(&self, x: &[f64], gaps: &mut [f64]) {
        gaps.fill(0.0);
        for part in 0..self.plant.parts.len() {
            let seat = &self.layout.seats[part];
            let say = self.say(part, x);
            let (flows, widths) = self.flows_of(part, x);
            spread(seat, &flows, &widths, &say, self.plant.parts[part].kind.unknowns.len(), gaps);
        }
        self.carry(x, gaps, |_| {});
    }

    fn sizes(&self) -> &[f64] {
        &self.layout.sizes
    }

    fn gap_sizes(&self) -> &[f64] {
        &self.layout.gap_sizes
    }

    fn bounds(&self) -> &[(f64, f64)] {
        &self.layout.bounds
    }
}
