//! What pages and programs are told of wires and store, and how programs give readings.

use super::wire::{OnWire, SILENT, Standing};
use crate::clocks::Machine;
use crate::verbs::decode::listing;
use live::aboard::Clocks as _;
use live::inbox::{Inbox, Moment};
use live::keeper::Keeper;
use measure::unit::{print, print_usual};
use plant::plant::{GaugeId, Plant};
use std::collections::HashSet;
use std::fmt::Write as _;
use std::sync::Arc;
use store::Arrival;
use web::{Aboard, Given, HeardOn, Kept, Taken, Unkept, WireState};

/// Lines to paste that a page shows of one wire.
const SHOWN: usize = 300;

/// Wires and store of a vessel.
pub struct Board {
    /// The vessel.
    pub plant: Arc<Plant>,
    /// What comes in.
    pub inbox: Arc<Inbox>,
    /// Each wire.
    pub wires: Vec<Arc<OnWire>>,
    /// Who keeps what is heard; or why nobody does.
    pub keeper: Result<Arc<Keeper>, String>,
    /// The machine's clocks.
    pub clocks: Machine,
}

impl Board {
    /// On which wire each gauge is, where only one can be meant: one that falls silent as a whole is one alert.
    pub fn wires_of_gauges(&self) -> Vec<Option<String>> {
        let mut all: Vec<Vec<&str>> = vec![Vec::new(); self.plant.gauges.len()];
        for wire in &self.wires {
            let Ok(hearing) = wire.hearing.lock() else { continue };
            for (gauge, ..) in hearing.gauges() {
                all[gauge.0].push(&wire.name);
            }
        }
        let only = |names: Vec<&str>| (names.len() == 1).then(|| names[0].to_string());
        all.into_iter().map(only).collect()
    }

    /// What is told of wires and store at this moment.
    pub fn tell(&self, now: Moment) -> Aboard {
        let counts = self.inbox.counts();
        let kept = match &self.keeper {
            Ok(keeper) => {
                let state = keeper.state();
                let lost = counts.lost + state.lost;
                Kept { stored: state.stored, thinned: counts.thinned, lost, trouble: state.trouble }
            }
            Err(why) => Kept { trouble: Some(why.clone()), ..Kept::default() },
        };
        let wires = self.wires.iter().map(|wire| told(wire, now)).collect();
        Aboard { time: now.time, at: now.since, wires, kept }
    }
}

fn told(wire: &OnWire, now: Moment) -> web::Wire {
    let standing = wire.standing.lock().map(|standing| standing.clone()).ok();
    let values = wire.hearing.lock().map_or(0, |hearing| hearing.values);
    let (lines, state) = standing.map_or((0, WireState::Ended), |standing| (standing.lines, state(&standing, now)));
    web::Wire { name: wire.name.clone(), place: wire.place.name(), state, lines, values }
}

fn state(standing: &Standing, now: Moment) -> WireState {
    let long = (now.since - standing.last.since).max(0.0);
    if standing.ended {
        WireState::Ended
    } else if standing.heard && long < SILENT {
        // A gateway that closes each connection after a while is heard all the same.
        WireState::Heard(long)
    } else {
        WireState::Silent { since: on_the_wall(now, long), long, why: standing.trouble.clone() }
    }
}

/// The time of day so long ago [s], with its date if that was not today.
fn on_the_wall(now: Moment, ago: f64) -> String {
    let at = |time: i64| jiff::Timestamp::from_millisecond(time).map(|at| at.to_zoned(jiff::tz::TimeZone::system()));
    match (at(now.time - (ago * 1e3) as i64), at(now.time)) {
        (Ok(then), Ok(today)) if then.date() == today.date() => then.strftime("%H:%M").to_string(),
        (Ok(then), _) => then.strftime("%Y-%m-%d %H:%M").to_string(),
        _ => "a while ago".into(),
    }
}

impl web::Board for Board {
    fn heard(&self) -> Vec<HeardOn> {
        let now = self.clocks.now();
        let heard = |wire: &Arc<OnWire>| {
            let hearing = wire.hearing.lock().ok()?;
            Some(hearing.gauges().filter_map(|(gauge, _, last)| last.map(|_| gauge)).collect::<Vec<_>>())
        };
        let anywhere: HashSet<GaugeId> = self.wires.iter().filter_map(heard).flatten().collect();
        self.wires.iter().map(|wire| self.heard_on(wire, &anywhere, now)).collect()
    }

    fn give(&self, readings: Vec<Given>) -> Result<Taken, Unkept> {
        let now = self.clocks.now();
        // Watched first, and whether it can be kept or not: nobody waits for a disk to be told what is so.
        for Given { gauge, value, time } in &readings {
            let ago = (now.time - time.unwrap_or(now.time)) as f64 * 1e-3;
            self.inbox.show(*gauge, *value, now.since - ago.max(0.0));
        }
        self.keep(&readings, now)
    }

    fn time(&self) -> i64 {
        self.clocks.now().time
    }
}

impl Board {
    /// Those that tell their time may come late and twice; those that tell none are read now.
    fn keep(&self, readings: &[Given], now: Moment) -> Result<Taken, Unkept> {
        let keeper = self.keeper.as_ref().map_err(|why| Unkept(format!("nothing is kept: {why}")))?;
        let mut sum = Taken::default();
        for (arrival, timed) in [(Arrival::Import, true), (Arrival::Live, false)] {
            let those = readings.iter().filter(|given| given.time.is_some() == timed);
            let fits =
                |given: &Given| keeper.keeping().reading(given.gauge, given.time.unwrap_or(now.time), given.value);
            let these: Vec<_> = those.filter_map(fits).collect();
            if these.is_empty() {
                continue;
            }
            let taken = keeper.give(these, arrival).map_err(|why| Unkept(why.to_string()))?;
            sum.stored += taken.stored;
            sum.repeated += taken.repeated;
            sum.too_old += taken.too_old;
        }
        Ok(sum)
    }

    /// A gauge that is heard on another wire is not missed on this one.
    fn heard_on(&self, wire: &OnWire, anywhere: &HashSet<GaugeId>, now: Moment) -> HeardOn {
        let Ok(hearing) = wire.hearing.lock() else { return HeardOn::default() };
        let named: Vec<listing::Gauge> = self.plant.gauges.iter().filter_map(listing::Gauge::of).collect();
        let missed = |id: &GaugeId, last: bool| last || !anywhere.contains(id);
        let gauges = hearing.gauges().filter(|(id, _, last)| missed(id, last.is_some())).map(|(id, channel, last)| {
            let gauge = &self.plant[id];
            let said = last.map_or("not heard".into(), |(value, _)| {
                let value = if gauge.vacuum { -value } else { value };
                print(value, gauge.quantity, &gauge.unit).unwrap_or_else(|| print_usual(value, gauge.quantity))
            });
            let ago = last.map_or(String::new(), |(_, at)| format!("{:.0} s ago", (now.since - at.since).max(0.0)));
            [gauge.name.clone(), channel, said, ago]
        });
        let mut faults = listing::faults(&hearing.listing);
        if hearing.unfit > 0 {
            let unfit = hearing.unfit;
            let _ = writeln!(faults, "  {unfit} × value that is nothing its gauge can read");
        }
        HeardOn {
            wire: wire.name.clone(),
            gauges: gauges.collect(),
            free: listing::free(&hearing.listing.rows(), &named, SHOWN),
            faults,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wire_is_silent_once_nothing_has_come_for_half_a_minute() {
        let at = |since: f64| Moment { since, time: 1_782_972_000_000 + (since * 1e3) as i64 };
        let mut standing = Standing { last: at(0.0), heard: false, trouble: None, ended: false, lines: 0 };
        assert!(matches!(state(&standing, at(3.0)), WireState::Silent { .. }), "nothing ever came");
        standing.heard = true;
        assert_eq!(state(&standing, at(29.0)), WireState::Heard(29.0));
        standing.trouble = Some("the other side has closed it".into());
        assert_eq!(state(&standing, at(2.0)), WireState::Heard(2.0), "it will be there again");
        let WireState::Silent { since, long, why } = state(&standing, at(31.0)) else { panic!("it is silent") };
        assert_eq!((since.len(), long, why), ("14:05".len(), 31.0, standing.trouble.clone()));
        let WireState::Silent { since, .. } = state(&standing, at(400_000.0)) else { panic!("it is silent") };
        assert_eq!(since.len(), "2026-07-02 14:05".len(), "another day is told with its date");
        standing.ended = true;
        assert_eq!(state(&standing, at(2.0)), WireState::Ended);
    }
}
