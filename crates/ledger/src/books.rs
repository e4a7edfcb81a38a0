//! Everything the entries say together.

use crate::balance::{Amount, Balance};
use crate::hours::{Absurd, Hours};
use crate::posting::Posting;
use crate::told::Told;
use crate::topping::Topping;
use diary::{Diary, Entry, Key};
use measure::figure::Origin;
use parts::kind::Circuit;
use plant::names;
use plant::plant::{PartId, Plant};
use std::collections::BTreeMap;

/// What can hardly be so; the entry is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Odd {
    /// The entry.
    pub key: Key,
    /// When [ms since 1970, UTC].
    pub time: i64,
    /// What is odd.
    pub what: What,
}

/// What is odd about an entry.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A reading of an hour-meter.
    Hours(Absurd, String),
    /// More in a tank [m³] than it holds [m³].
    Overfull {
        /// Which tank.
        tank: String,
        /// What would be in it [m³].
        volume: f64,
        /// What it holds [m³].
        holds: f64,
    },
    /// Something below nothing was taken, moved, burnt or added, or what is no number.
    Below,
    /// A name that the description does not have.
    Nameless(String),
    /// It lies in the time to come.
    Ahead,
}

/// The ledger of a vessel, worked out.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// The entries.
    pub diary: Diary<Posting>,
    /// Running hours of each engine whose meter was read.
    pub hours: BTreeMap<String, Hours>,
    /// The tanks' balance.
    pub balance: Balance,
    /// What was topped up, part by part in the order of the description.
    pub topping: Vec<Topping>,
    /// Fuel burnt an hour [m³/h], as the balance has it.
    pub burn: Option<Amount>,
    /// What can hardly be so.
    pub odd: Vec<Odd>,
    /// When it was worked out [ms since 1970, UTC].
    pub now: i64,
}

/// Hours that it takes to say what is burnt in one [h].
const BURN_HOURS: f64 = 20.0;

impl Ledger {
    /// Works out everything.
    ///
    /// * `now` [ms since 1970, UTC]
    pub fn of(diary: Diary<Posting>, told: &Told, plant: &Plant, now: i64) -> Ledger {
        let entries = &diary.entries;
        let mut hours: BTreeMap<String, Hours> = BTreeMap::new();
        for entry in entries {
            if let Posting::Hours { engine, .. } | Posting::MeterChanged { engine, .. } = &entry.what
                && !hours.contains_key(engine)
            {
                hours.insert(engine.clone(), Hours::of(entries, engine));
            }
        }
        let balance = Balance::of(entries, told, &hours);
        let topping = parts_filled(entries)
            .into_iter()
            .filter_map(|name| {
                let part = plant.part(name)?;
                let engine = plant[part].engine.map(|engine| plant[engine].name.as_str());
                let run = engine.and_then(|engine| hours.get(engine)).or_else(|| hours.values().next())?;
                Topping::of(entries, name, run, holds(plant, part))
            })
            .collect();
        let odd = odd(entries, told, plant, &hours, now);
        let mut ledger = Ledger { balance, topping, burn: None, odd, now, hours, diary };
        ledger.burn = ledger.burnt_an_hour();
        ledger
    }

    /// Fuel burnt an hour: by the meter or the soundings over all rounds of soundings [m³/h].
    fn burnt_an_hour(&self) -> Option<Amount> {
        let whole = self.balance.whole.as_ref().or_else(|| self.balance.all.first())?;
        let hours = whole.hours.filter(|hours| *hours >= BURN_HOURS)?;
        let metered = whole.burnt.filter(|(_, by)| *by == crate::balance::By::Meter).map(|(burnt, _)| burnt);
        Some(metered.unwrap_or(whole.drawn).times(1.0 / hours))
    }

    /// Running hours now, of the engine that a part serves [h].
    pub fn hours_of(&self, engine: &str) -> Option<f64> {
        self.hours.get(engine)?.at(self.now)
    }

    /// Oil topped up in a part as a share of the fuel burnt in the same hours [1].
    pub fn oil_for_fuel(&self, topping: &Topping) -> Option<Amount> {
        let burn = self.burn.filter(|burn| burn.value > 0.0)?;
        let share = topping.rate.value / burn.value;
        let relative = (burn.sigma / burn.value).hypot(topping.rate.sigma / topping.rate.value.max(1e-12));
        Some(Amount { value: share, sigma: share.max(topping.rate.sigma / burn.value) * relative.min(1.0) })
    }
}

/// What a part holds [m³], where that is told.
fn holds(plant: &Plant, part: PartId) -> Option<f64> {
    let place = plant[part].kind.parameters.iter().position(|parameter| parameter.name == "volume")?;
    Some(&plant[part].figures[place]).filter(|figure| figure.origin != Origin::Typical).map(|figure| figure.value)
}

/// Parts that something was ever topped up in, in the order in which that was first done.
fn parts_filled(entries: &[Entry<Posting>]) -> Vec<&str> {
    let mut names: Vec<&str> = Vec::new();
    for entry in entries {
        if let Posting::Added { part, .. } = &entry.what
            && !names.contains(&part.as_str())
        {
            names.push(part);
        }
    }
    names
}

/// Is it the sump of an engine, or another part that holds the engine's oil?
pub fn holds_oil(plant: &Plant, part: &str) -> bool {
    plant.part(part).is_some_and(|part| plant[part].kind.circuit == Circuit::Oil)
}

/// Does it hold coolant?
pub fn holds_coolant(plant: &Plant, part: &str) -> bool {
    plant.part(part).is_some_and(|part| plant[part].kind.circuit == Circuit::FreshWater)
}

fn odd(entries: &[Entry<Posting>], told: &Told, plant: &Plant, hours: &BTreeMap<String, Hours>, now: i64) -> Vec<Odd> {
    /// A sounding may be so much over what a tank holds, as a share of it [1]: a filler pipe holds some. From memory.
    const OVER: f64 = 0.03;
    /// A clock may be so much ahead [ms].
    const AHEAD: i64 = 86_400_000;
    let mut odd = Vec::new();
    let mut holds: BTreeMap<&str, Option<f64>> = BTreeMap::new();
    for entry in entries {
        let mut say = |what: What| odd.push(Odd { key: entry.key.clone(), time: entry.time, what });
        if entry.time > now + AHEAD {
            say(What::Ahead);
        }
        let volume = match &entry.what {
            Posting::Taken { volume, .. }
            | Posting::Moved { volume, .. }
            | Posting::Sounded { volume, .. }
            | Posting::Burnt { volume, .. }
            | Posting::Added { volume, .. }
            | Posting::Drained { volume, .. }
            | Posting::Renewed { volume, .. } => *volume,
            Posting::Hours { hours, .. } => *hours,
            Posting::MeterChanged { old, new, .. } => old.min(*new),
        };
        if !(volume >= 0.0 && volume.is_finite()) {
            say(What::Below);
            continue;
        }
        for name in strangers(&entry.what, told, plant) {
            say(What::Nameless(name));
        }
        let mut stands = |tank: &str, volume: f64| {
            let size = told.tanks.iter().find(|known| known.name == tank).and_then(|tank| tank.volume);
            if let Some(holds) = size.filter(|size| volume > size * (1.0 + OVER)) {
                odd.push(Odd {
                    key: entry.key.clone(),
                    time: entry.time,
                    what: What::Overfull { tank: tank.into(), volume, holds },
                });
            }
        };
        match &entry.what {
            Posting::Sounded { tank, volume, .. } => {
                holds.insert(tank, Some(*volume));
                stands(tank, *volume);
            }
            // What was burnt since the last sounding leaves room that the books do not know of: only what went in alone counts
            // for certain.
            Posting::Taken { tank, volume, .. } => stands(tank, *volume),
            Posting::Moved { to, volume, .. } => stands(to, *volume),
            _ => {}
        }
    }
    for (engine, hours) in hours {
        let absurd = hours.absurd.iter().map(|absurd| Odd {
            key: absurd.key.clone(),
            time: absurd.time,
            what: What::Hours(absurd.clone(), engine.clone()),
        });
        odd.extend(absurd);
    }
    odd.sort_by_key(|odd| odd.time);
    odd
}

/// Names in an entry that the description does not have: it may have been changed since.
fn strangers(what: &Posting, told: &Told, plant: &Plant) -> Vec<String> {
    let tank = |name: &String| (!told.tanks.iter().any(|tank| tank.name == *name)).then(|| name.clone());
    let part = |name: &String| plant.part(name).is_none().then(|| name.clone());
    let engine = |name: &String| {
        let known = plant.part(name).is_some_and(|part| names::is_engine(plant[part].kind));
        (!known).then(|| name.clone())
    };
    let all = match what {
        Posting::Taken { tank: of, .. } | Posting::Sounded { tank: of, .. } => vec![tank(of)],
        Posting::Moved { from, to, .. } => vec![tank(from), tank(to)],
        Posting::Burnt { tank: of, .. } => vec![of.as_ref().and_then(tank)],
        Posting::Added { part: of, .. } | Posting::Drained { part: of, .. } | Posting::Renewed { part: of, .. } => {
            vec![part(of)]
        }
        Posting::Hours { engine: of, .. } | Posting::MeterChanged { engine: of, .. } => vec![engine(of)],
    };
    all.into_iter().flatten().collect()
}
