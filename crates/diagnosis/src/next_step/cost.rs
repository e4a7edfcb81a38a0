//! What a step costs, and what it takes to bring the engine into the state it wants.

use parts::kind::State;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};

/// Minutes, money and risk, each in its own coin.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct Cost {
    /// Minutes until it is done [min].
    pub minutes: f64,
    /// Money [EUR].
    pub money: f64,
    /// What may go wrong by it, as the minutes it is expected to cost [min].
    pub risk: f64,
}

impl Cost {
    /// So many minutes and nothing else.
    pub const fn of_minutes(minutes: f64) -> Cost {
        Cost { minutes, money: 0.0, risk: 0.0 }
    }

    /// All in minutes, with an hour worth so much [EUR/h].
    pub fn worth(self, hour: f64) -> f64 {
        self.minutes + self.risk + self.money * 60.0 / hour
    }
}

impl Add for Cost {
    type Output = Cost;
    fn add(self, other: Cost) -> Cost {
        Cost { minutes: self.minutes + other.minutes, money: self.money + other.money, risk: self.risk + other.risk }
    }
}

impl Sub for Cost {
    type Output = Cost;
    fn sub(self, other: Cost) -> Cost {
        self + other * -1.0
    }
}

impl AddAssign for Cost {
    fn add_assign(&mut self, other: Cost) {
        *self = *self + other;
    }
}

impl Mul<f64> for Cost {
    type Output = Cost;
    fn mul(self, times: f64) -> Cost {
        Cost { minutes: self.minutes * times, money: self.money * times, risk: self.risk * times }
    }
}

impl Sum for Cost {
    fn sum<I: Iterator<Item = Cost>>(all: I) -> Cost {
        all.fold(Cost::default(), Add::add)
    }
}

/// How the engine and the vessel stand between two steps.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// State of the engine.
    pub state: State,
    /// The sea valve is shut; one that is stopped, cold or looked at from below may have it either way.
    pub shut: bool,
    /// She lies where a yard, a shop and a diver can be had, and where she may be stopped.
    pub haven: bool,
}

/// What a step wants of engine and vessel.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// State of the engine.
    pub state: State,
    /// A yard, a shop, a diver, or a spare that is not aboard.
    pub ashore: bool,
    /// The engine that would be stopped is the only one that drives her.
    pub whole: bool,
}

/// Minutes that a change of state takes, beyond the step itself [min]; all from memory.
const TO_IDLE: f64 = 3.0;
const TO_STOP: f64 = 10.0;
const SHUT: f64 = 2.0;
const COOL: f64 = 50.0;
const INTO_WATER: f64 = 170.0;
const START: f64 = 3.0;
const WARM_UP: f64 = 10.0;
/// What lying stopped at sea with the only engine may cost: she drifts, and may not start again [min]; from memory.
const DRIFTS: f64 = 10.0;

/// What is done on the way to a haven counts by this share [1]; from memory.
const MEANWHILE: f64 = 0.25;

/// Where she is, and so what it takes to stop her or to get ashore.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct SetUp {
    /// At sea.
    pub at_sea: bool,
    /// The only engine must not be stopped before she is in a haven.
    pub cannot_stop: bool,
    /// Minutes to a haven [min].
    pub to_haven: f64,
}

impl SetUp {
    /// Brings engine and vessel from where they stand into what a step needs: what it costs, and how they stand then.
    pub fn reach(&self, from: Standing, need: Need) -> (Cost, Standing) {
        let mut cost = Cost::default();
        let mut now = from;
        let stopped = need.state >= State::Stopped;
        if !now.haven && self.waits_for_haven(need) {
            cost.minutes += self.to_haven;
            now = Standing { state: State::Running, shut: false, haven: true };
        }
        if !stopped {
            if now.state >= State::Stopped {
                let warm = if now.state == State::StoppedCold { WARM_UP } else { 0.0 };
                cost.minutes += START + warm + if now.shut { SHUT } else { 0.0 };
            } else if need.state == State::Idling && now.state == State::Running {
                cost.minutes += TO_IDLE;
            }
            return (cost, Standing { state: need.state, shut: false, ..now });
        }
        if now.state < State::Stopped {
            cost.minutes += TO_STOP;
            if self.at_sea && need.whole && !now.haven {
                cost.risk += DRIFTS;
            }
            now.state = State::Stopped;
        }
        match need.state {
            State::StoppedAndShut if !now.shut => {
                cost.minutes += SHUT;
                now.shut = true;
            }
            State::StoppedCold if now.state < State::StoppedCold => {
                cost.minutes += COOL;
                now.state = State::StoppedCold;
            }
            State::UnderWater if now.state < State::UnderWater => {
                cost.minutes += INTO_WATER;
                now.state = State::UnderWater;
            }
            _ => {}
        }
        (cost, now)
    }

    /// Share of a step's own minutes that count: what is done while she has to go on to her haven anyhow keeps her little.
    pub fn counts(&self, from: Standing, need: Need) -> f64 {
        let meanwhile = self.cannot_stop && !from.haven && need.whole && !self.waits_for_haven(need);
        if meanwhile { MEANWHILE } else { 1.0 }
    }

    /// Must she be in a haven first: for what is only there, for still water, or because she may not be stopped here?
    pub fn waits_for_haven(&self, need: Need) -> bool {
        let stops = self.cannot_stop && need.whole && need.state >= State::Stopped;
        self.at_sea && (need.ashore || need.state == State::UnderWater || stops)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RUNNING: Standing = Standing { state: State::Running, shut: false, haven: false };

    fn need(state: State) -> Need {
        Need { state, ashore: false, whole: true }
    }

    #[test]
    fn a_change_of_state_is_paid_once() {
        let port = SetUp::default();
        let (cost, stopped) = port.reach(RUNNING, need(State::Stopped));
        assert_eq!(cost, Cost::of_minutes(10.0));
        assert_eq!(port.reach(stopped, need(State::Stopped)), (Cost::default(), stopped));
        // With the cock shut two minutes more, and what only wants her stopped is free then.
        let (cost, shut) = port.reach(stopped, need(State::StoppedAndShut));
        assert_eq!(cost, Cost::of_minutes(2.0));
        assert_eq!(port.reach(shut, need(State::Stopped)).0, Cost::default());
        // Cold is cold, cock shut or not; and to run again she must be started and warmed, the cock opened.
        let (cost, cold) = port.reach(shut, need(State::StoppedCold));
        assert_eq!((cost, cold.shut), (Cost::of_minutes(50.0), true));
        assert_eq!(port.reach(cold, need(State::Running)).0, Cost::of_minutes(3.0 + 10.0 + 2.0));
    }

    #[test]
    fn what_must_not_be_stopped_waits_for_the_haven() {
        let lee = SetUp { at_sea: true, cannot_stop: true, to_haven: 240.0 };
        let (cost, then) = lee.reach(RUNNING, need(State::Stopped));
        assert_eq!((cost, then.haven), (Cost::of_minutes(240.0 + 10.0), true));
        assert_eq!(lee.reach(RUNNING, need(State::Idling)).0, Cost::of_minutes(3.0), "idling is no stopping");
        // One of two engines may be stopped, and the other takes her on.
        let one_of_two = Need { whole: false, ..need(State::Stopped) };
        assert_eq!(lee.reach(RUNNING, one_of_two).0, Cost::of_minutes(10.0));
    }

    #[test]
    fn what_is_done_on_the_way_to_a_haven_keeps_her_little() {
        let lee = SetUp { at_sea: true, cannot_stop: true, to_haven: 240.0 };
        assert_eq!(lee.counts(RUNNING, need(State::Running)), MEANWHILE);
        assert_eq!(lee.counts(RUNNING, need(State::Stopped)), 1.0);
        assert_eq!(lee.counts(Standing { haven: true, ..RUNNING }, need(State::Running)), 1.0);
    }

    #[test]
    fn a_yard_is_ashore_and_the_only_engine_stopped_at_sea_a_risk() {
        let sea = SetUp { at_sea: true, cannot_stop: false, to_haven: 120.0 };
        let (cost, _) = sea.reach(RUNNING, need(State::Stopped));
        assert_eq!(cost, Cost { minutes: 10.0, money: 0.0, risk: 10.0 });
        let yard = Need { ashore: true, ..need(State::Stopped) };
        assert_eq!(sea.reach(RUNNING, yard).0, Cost::of_minutes(120.0 + 10.0));
        assert_eq!(SetUp::default().reach(RUNNING, yard).0, Cost::of_minutes(10.0));
    }

    #[test]
    fn money_is_worth_the_hours_it_buys() {
        let cost = Cost { minutes: 30.0, money: 50.0, risk: 5.0 };
        assert_eq!(cost.worth(50.0), 95.0);
        assert_eq!((cost * 2.0 - cost).worth(100.0), 65.0);
    }
}
