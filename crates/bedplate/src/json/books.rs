//! What `ledger` and `samples` print for programs. Volumes are in litres, times in milliseconds since 1970, UTC.

use super::VERSION;
use diary::{Entry, Key};
use ledger::balance::{Amount, By, Stretch as Between};
use ledger::{Posting, saying};
use plant::plant::Plant;
use samples::{Analyte, Results, Sample, Standing};
use serde::Serialize;

/// Answer of `ledger`.
#[derive(Serialize)]
pub struct Ledger {
    pub version: u32,
    pub vessel: String,
    pub now: i64,
    pub says: String,
    pub engines: Vec<Engine>,
    pub burn_l_per_h: Option<Range>,
    pub tanks: Vec<Tank>,
    pub stretches: Vec<Stretch>,
    pub whole: Option<Stretch>,
    pub topped_up: Vec<Topped>,
    pub odd: Vec<Odd>,
    pub entries: Vec<Written<Posting>>,
    pub corrected: Vec<Written<Posting>>,
    pub unread: Vec<String>,
}

/// A number and the band that holds 19 of 20.
#[derive(Serialize)]
pub struct Range {
    pub value: f64,
    pub low: f64,
    pub high: f64,
}

/// An engine's hours.
#[derive(Serialize)]
pub struct Engine {
    pub engine: String,
    pub hours: Option<f64>,
}

/// A tank now.
#[derive(Serialize)]
pub struct Tank {
    pub tank: String,
    pub holds_l: Range,
    pub sounded: i64,
}

/// Between two soundings of all tanks.
#[derive(Serialize)]
pub struct Stretch {
    pub from: i64,
    pub to: i64,
    pub taken_l: f64,
    pub drawn_l: Range,
    pub burnt_l: Option<Range>,
    pub burnt_by: Option<&'static str>,
    pub unaccounted_l: Option<Range>,
    pub hours: Option<f64>,
}

/// What a part takes.
#[derive(Serialize)]
pub struct Topped {
    pub part: String,
    pub hours: f64,
    pub added_l: f64,
    pub l_per_100_h: Range,
    pub share_of_fuel: Option<Range>,
    pub says: String,
}

/// What can hardly be so.
#[derive(Serialize)]
pub struct Odd {
    pub key: String,
    pub time: i64,
    pub says: String,
}

/// An entry.
#[derive(Serialize)]
pub struct Written<T> {
    pub key: String,
    pub time: i64,
    pub who: Option<String>,
    pub corrects: Option<String>,
    pub corrected_by: Option<String>,
    pub entry: T,
}

impl<T: Clone> Written<T> {
    fn of(entry: &Entry<T>, by: Option<&Key>) -> Written<T> {
        Written {
            key: entry.key.0.clone(),
            time: entry.time,
            who: entry.who.clone(),
            corrects: entry.corrects.as_ref().map(|key| key.0.clone()),
            corrected_by: by.map(|key| key.0.clone()),
            entry: entry.what.clone(),
        }
    }
}

impl Range {
    fn of(amount: Amount, scale: f64) -> Range {
        Range { value: amount.value * scale, low: amount.low() * scale, high: amount.high() * scale }
    }
}

/// Litres in a cubic metre.
const LITRES: f64 = 1e3;

impl Stretch {
    fn of(stretch: &Between) -> Stretch {
        let by = |by: By| match by {
            By::Meter => "meter",
            By::Rate => "rate",
            By::Usual => "usual",
        };
        Stretch {
            from: stretch.from,
            to: stretch.to,
            taken_l: stretch.taken.value * LITRES,
            drawn_l: Range::of(stretch.drawn, LITRES),
            burnt_l: stretch.burnt.map(|(burnt, _)| Range::of(burnt, LITRES)),
            burnt_by: stretch.burnt.map(|(_, how)| by(how)),
            unaccounted_l: stretch.unaccounted().map(|missing| Range::of(missing, LITRES)),
            hours: stretch.hours,
        }
    }
}

impl Ledger {
    /// Of what was worked out.
    pub fn of(ledger: &ledger::Ledger, vessel: &str, plant: &Plant, unread: &[String]) -> Ledger {
        let diary = &ledger.diary;
        Ledger {
            version: VERSION,
            vessel: vessel.into(),
            now: ledger.now,
            says: saying::first(ledger, plant),
            engines: ledger
                .hours
                .keys()
                .map(|engine| Engine { engine: engine.clone(), hours: ledger.hours_of(engine) })
                .collect(),
            burn_l_per_h: ledger.burn.map(|burn| Range::of(burn, LITRES)),
            tanks: ledger
                .balance
                .now
                .iter()
                .map(|(tank, holds, sounded)| Tank {
                    tank: tank.clone(),
                    holds_l: Range::of(*holds, LITRES),
                    sounded: *sounded,
                })
                .collect(),
            stretches: ledger.balance.all.iter().map(Stretch::of).collect(),
            whole: ledger.balance.whole.as_ref().map(Stretch::of),
            topped_up: ledger
                .topping
                .iter()
                .map(|topping| Topped {
                    part: topping.part.clone(),
                    hours: topping.hours,
                    added_l: topping.added * LITRES,
                    l_per_100_h: Range::of(topping.rate, 100.0 * LITRES),
                    share_of_fuel: ledger
                        .oil_for_fuel(topping)
                        .filter(|_| ledger::holds_oil(plant, &topping.part))
                        .map(|share| Range::of(share, 1.0)),
                    says: saying::topped(ledger, topping, plant),
                })
                .collect(),
            odd: ledger
                .odd
                .iter()
                .map(|odd| Odd { key: odd.key.0.clone(), time: odd.time, says: saying::odd(odd) })
                .collect(),
            entries: diary.entries.iter().map(|entry| Written::of(entry, None)).collect(),
            corrected: diary.struck.iter().map(|struck| Written::of(&struck.entry, Some(&struck.by))).collect(),
            unread: unread.to_vec(),
        }
    }
}

/// Answer of `samples`.
#[derive(Serialize)]
pub struct Samples {
    pub version: u32,
    pub vessel: String,
    pub now: i64,
    pub samples: Vec<Judged>,
    pub ahead: Vec<Ahead>,
    pub corrected: Vec<Written<Sample>>,
    pub unread: Vec<String>,
}

/// A sample and what follows from it.
#[derive(Serialize)]
pub struct Judged {
    #[serde(flatten)]
    pub written: Written<Sample>,
    pub standing: Vec<Stands>,
    pub got_in: Vec<Chance>,
    /// What wears off, as ppm of the filling in a hundred hours.
    pub wear: Vec<Wear>,
}

/// How something stands to its limit.
#[derive(Serialize)]
pub struct Stands {
    pub what: Analyte,
    pub stands: &'static str,
    /// In the unit in which it is kept: shares of the mass, m²/s, K.
    pub look: f64,
    pub act: f64,
    pub source: &'static str,
}

/// A chance.
#[derive(Serialize)]
pub struct Chance {
    pub what: String,
    pub probability: f64,
}

/// Wear of a metal.
#[derive(Serialize)]
pub struct Wear {
    pub metal: Analyte,
    pub ppm_per_100_h: f64,
}

/// How wear goes on.
#[derive(Serialize)]
pub struct Ahead {
    pub part: String,
    pub metal: Analyte,
    /// Hours on one filling: earliest, likely, latest.
    pub limit_after_h: [Option<f64>; 3],
}

impl Samples {
    /// Of what was worked out.
    pub fn of(results: &Results, vessel: &str, unread: &[String]) -> Samples {
        Samples {
            version: VERSION,
            vessel: vessel.into(),
            now: results.now,
            samples: results.judged.iter().map(Judged::of).collect(),
            ahead: results
                .ahead
                .iter()
                .map(|ahead| Ahead { part: ahead.part.clone(), metal: ahead.of, limit_after_h: ahead.reached })
                .collect(),
            corrected: results.diary.struck.iter().map(|struck| Written::of(&struck.entry, Some(&struck.by))).collect(),
            unread: unread.to_vec(),
        }
    }
}

impl Judged {
    fn of(one: &samples::Judged) -> Judged {
        let stands = |standing: Standing| match standing {
            Standing::Within => "within",
            Standing::Look => "look",
            Standing::Act => "act",
        };
        let mut got_in: Vec<Chance> = Vec::new();
        if let Some(origin) = &one.origin {
            let sources = origin.sources.iter().map(|(source, chance)| (source.word(), *chance));
            let all = sources.chain([("nothing of these", origin.none), ("something on no list", origin.other)]);
            got_in.extend(all.map(|(what, probability)| Chance { what: what.into(), probability }));
        }
        Judged {
            written: Written::of(&one.entry, None),
            standing: one
                .standing
                .iter()
                .map(|(what, standing, limit)| Stands {
                    what: *what,
                    stands: stands(*standing),
                    look: limit.look,
                    act: limit.act,
                    source: limit.source,
                })
                .collect(),
            got_in,
            wear: one.wear.iter().map(|metal| Wear { metal: metal.of, ppm_per_100_h: metal.rate * 1e8 }).collect(),
        }
    }
}
