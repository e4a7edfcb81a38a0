//! What is aboard: the text's count, and everything moved since.

use crate::amount::{Counted, SAME};
use crate::item::{Fit, ItemId, Meant, Stores};
use crate::meant::Told;
use crate::movement::{Move, Movement, Taken};
use diary::Diary;
use jiff::Timestamp;
use plant::plant::Plant;

/// Milliseconds of a day.
const DAY: i64 = 86_400_000;
/// Average length of a month [d].
const MONTH: f64 = 365.25 / 12.0;

/// What is aboard, item by item.
#[derive(Clone, Debug, Default)]
pub struct Stock {
    /// One for each item.
    pub held: Vec<Held>,
    /// What does not add up: of each item the last time since it was counted, and of each entry that names none.
    pub notices: Vec<Notice>,
}

/// What is aboard of one item.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Held {
    /// By the day to use it by, the soonest first.
    pub lots: Vec<Lot>,
    /// Where it is stowed now.
    pub stowed: Option<String>,
    /// When it was last counted, if that was written down [ms since 1970, UTC].
    pub counted: Option<i64>,
}

/// What came aboard together.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Lot {
    /// How much is left.
    pub amount: f64,
    /// The day to use it by [days since 1970], if it is known.
    pub good_until: Option<i64>,
}

/// Something in the entries that does not add up.
#[derive(Clone, Debug, PartialEq)]
pub struct Notice {
    /// Of which item, if it is one.
    pub item: Option<ItemId>,
    /// What, in a sentence.
    pub what: String,
    /// How often it was so before, since it was counted.
    pub before: usize,
}

impl Notice {
    /// The sentence, with how often it was so before.
    pub fn said(&self) -> String {
        match self.before {
            0 => self.what.clone(),
            1 => format!("{} (and once before)", self.what),
            times => format!("{} (and {times} times before)", self.what),
        }
    }
}

impl Stock {
    /// All that is aboard of an item, good or not.
    pub fn amount(&self, item: ItemId) -> f64 {
        self.held.get(item.0).map_or(0.0, |held| held.lots.iter().fold(0.0, |sum, lot| sum + lot.amount))
    }

    /// What is still good on a day [days since 1970].
    pub fn good_on(&self, item: ItemId, day: i64) -> f64 {
        let good = |lot: &&Lot| lot.good_until.is_none_or(|until| until >= day);
        self.held.get(item.0).map_or(0.0, |held| held.lots.iter().filter(good).fold(0.0, |sum, lot| sum + lot.amount))
    }

    /// How many of a kit can be made up of what is good on a day.
    pub fn kits_on(&self, stores: &Stores, kit: &crate::item::Kit, day: i64) -> f64 {
        let of = |(item, each): &(ItemId, f64)| {
            let there = self.good_on(*item, day) + SAME;
            if stores[*item].tool { if there >= *each { f64::INFINITY } else { 0.0 } } else { (there / each).floor() }
        };
        let least = kit.contents.iter().map(of).fold(f64::INFINITY, f64::min);
        if least.is_finite() { least } else { 0.0 }
    }

    /// What can be renewed with what is aboard and good on a day, as `[aboard] spares` of a vessel file tells it.
    pub fn spares(&self, stores: &Stores, day: i64) -> Vec<Fit> {
        let items = stores.ids().filter(|&id| {
            !stores[id].tool && stores[id].each().is_some_and(|each| self.good_on(id, day) + SAME >= each)
        });
        let kits = stores.kits.iter().filter(|kit| self.kits_on(stores, kit, day) >= 1.0);
        let mut fits: Vec<Fit> = Vec::new();
        for fit in items.flat_map(|id| &stores[id].fits).chain(kits.flat_map(|kit| &kit.fits)) {
            if !fits.contains(fit) {
                fits.push(fit.clone());
            }
        }
        fits
    }
}

impl Held {
    /// Takes so much, what goes off first before the rest; what is not there is handed back.
    fn take(&mut self, amount: f64) -> f64 {
        let mut left = amount;
        for lot in &mut self.lots {
            let taken = left.min(lot.amount);
            lot.amount -= taken;
            left -= taken;
        }
        self.lots.retain(|lot| lot.amount > SAME);
        if left > SAME { left } else { 0.0 }
    }

    fn put(&mut self, amount: f64, good_until: Option<i64>) {
        if amount <= SAME {
            return;
        }
        match self.lots.iter_mut().find(|lot| lot.good_until == good_until) {
            Some(lot) => lot.amount += amount,
            None => self.lots.push(Lot { amount, good_until }),
        }
        // What has no day is used last.
        self.lots.sort_by_key(|lot| lot.good_until.unwrap_or(i64::MAX));
    }
}

/// One thing that changed the stock.
struct Change<'a> {
    time: i64,
    item: &'a str,
    counted: Option<Counted>,
    what: Move,
    by: Option<&'a str>,
}

/// What is aboard after all that was written down, and what records of work used.
///
/// The text's count stands before everything; if it tells its day, what was moved before that day is in it. More used than
/// was there leaves nothing, and is told.
pub fn stock(plant: &Plant, stores: &Stores, movements: &Diary<Movement>, taken: &[Taken]) -> Stock {
    let begin = |item: &crate::item::Item| {
        let mut held = Held { stowed: item.stowed.clone(), ..Held::default() };
        held.put(item.aboard, item.good_until);
        held
    };
    let mut stock = Stock { held: stores.items.iter().map(begin).collect(), notices: Vec::new() };
    stock.notices.extend(movements.unread.iter().map(|what| Notice { item: None, what: what.clone(), before: 0 }));
    let written = movements.entries.iter().map(|entry| Change {
        time: entry.time,
        item: &entry.what.item,
        counted: entry.what.counted_in,
        what: entry.what.what.clone(),
        by: None,
    });
    let used = taken.iter().map(|taken| Change {
        time: taken.time,
        item: &taken.told.item,
        counted: taken.told.counted,
        what: Move::Used(taken.told.amount),
        by: Some(&taken.by),
    });
    let mut changes: Vec<Change> = written.chain(used).collect();
    changes.sort_by_key(|change| change.time);
    for change in &changes {
        stock.change(plant, stores, change);
    }
    stock
}

impl Stock {
    fn change(&mut self, plant: &Plant, stores: &Stores, change: &Change) {
        let on = day_of(change.time);
        let amounts = |amount: f64| {
            let told = Told { item: change.item.to_string(), amount, counted: change.counted };
            stores.taken_apart(plant, &told).unwrap_or_default()
        };
        if amounts(1.0).is_empty() {
            let nearest = measure::nearest::nearest(change.item, stores.names());
            let meant = nearest
                .filter(|near| *near != change.item)
                .map_or(String::new(), |near| format!("; was `{near}` meant?"));
            let why = match stores.called(change.item) {
                Some(Meant::Item(item)) => {
                    format!("is counted in {} now, and was not then", stores[item].counted.word())
                }
                _ => "is no item or kit that is described".into(),
            };
            let what = format!("`{}` of {on} {why}{meant}; it is left out", change.item);
            self.notices.push(Notice { item: None, what, before: 0 });
            return;
        }
        let in_the_text = |item: ItemId| stores[item].counted_on.is_some_and(|day| change.time < day * DAY);
        match &change.what {
            Move::Counted(amount) => {
                for (item, amount) in amounts(*amount) {
                    if !in_the_text(item) {
                        let held = &mut self.held[item.0];
                        let there: f64 = held.lots.iter().map(|lot| lot.amount).sum();
                        held.take((there - amount).max(0.0));
                        held.put(amount - there, None);
                        held.counted = Some(change.time);
                        // What did not add up before does no longer matter.
                        self.notices.retain(|notice| notice.item != Some(item));
                    }
                }
            }
            Move::Received { amount, good_until } => {
                for (item, amount) in amounts(*amount) {
                    let by_shelf = stores[item]
                        .shelf_life
                        .map(|months| change.time.div_euclid(DAY) + (months * MONTH).round() as i64);
                    if !in_the_text(item) {
                        self.held[item.0].put(amount, good_until.or(by_shelf));
                    }
                }
            }
            Move::Used(amount) | Move::Discarded(amount) => {
                let used = matches!(change.what, Move::Used(_));
                for (item, amount) in amounts(*amount) {
                    // A tool comes back.
                    if in_the_text(item) || (used && stores[item].tool) {
                        continue;
                    }
                    let missing = self.held[item.0].take(amount);
                    if missing > 0.0 {
                        let print = |amount| stores[item].counted.print(amount);
                        let verb = if used { "used" } else { "thrown away" };
                        let by = change.by.map_or(String::new(), |by| format!(" for {by}"));
                        let what = format!(
                            "{} of `{}` {verb}{by} on {on}, but only {} aboard by the entries: count it",
                            print(amount),
                            stores[item].name,
                            print(amount - missing)
                        );
                        let same = self.notices.iter().position(|notice| notice.item == Some(item));
                        let before = same.map_or(0, |same| self.notices.remove(same).before + 1);
                        self.notices.push(Notice { item: Some(item), what, before });
                    }
                }
            }
            Move::Stowed(place) => {
                for (item, _) in amounts(1.0) {
                    if !in_the_text(item) {
                        self.held[item.0].stowed = Some(place.clone());
                    }
                }
            }
        }
    }
}

/// The day of a time, as 2026-05-03 (UTC).
pub fn day_of(time: i64) -> String {
    Timestamp::from_millisecond(time)
        .map_or_else(|_| "an unknown day".into(), |time| time.strftime("%Y-%m-%d").to_string())
}
