//! Stores: what is aboard locker by locker, what a passage needs, what to order, and a form for what was counted.

use crate::desk::Worked;
use crate::page::frame::{Frame, Status, Theme};
use crate::page::opening::drawn;
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;
use plant::plant::Plant;
use serde::Deserialize;
use spares::need::{SHORT, USUAL_SHORT};
use spares::said::{day, fit, on_passage, price, used_by, verdict, way};
use spares::stock::Notice;
use spares::written::{Deed, Refused, movement};
use spares::{Goal, ItemId, Movement, Need, Passage, Stores, Wanted, listing, need, odds, order};
use std::fmt::Write as _;
use watch::saying::sentence;
use work::date::DAY;

/// Ways to fail without a spare that are told.
const FIRST: usize = 10;
/// Hours of a passage within reason [h]: two years without a stop.
const LONGEST: f64 = 17_500.0;
/// What is to be least, by its word.
pub const GOALS: [(&str, Goal); 3] = [("weight", Goal::Weight), ("cost", Goal::Cost), ("volume", Goal::Volume)];

/// What is asked of a passage, as it was sent.
#[derive(Clone, Debug, Default, Deserialize)]
pub struct Asked {
    /// Running hours; nothing asks nothing.
    #[serde(default)]
    hours: String,
    #[serde(default)]
    days: String,
    /// Days from today to the departure.
    #[serde(default)]
    leaves: String,
    /// Chance of lacking anything [%].
    #[serde(default)]
    short: String,
    #[serde(default)]
    least: String,
}

/// The same, read.
#[derive(Copy, Clone)]
pub struct Leg {
    /// The passage.
    pub passage: Passage,
    short: f64,
    goal: Goal,
}

impl Asked {
    /// The passage asked about, if one is.
    ///
    /// # Errors
    /// What cannot be, in words.
    pub fn leg(&self, today: i64) -> Result<Option<Leg>, String> {
        let number = |text: &str, what: &str, usual: f64, within: (f64, f64)| match text.trim() {
            "" => Ok(usual),
            text => text
                .parse::<f64>()
                .ok()
                .filter(|number| (within.0..=within.1).contains(number))
                .ok_or_else(|| format!("{what} must be a number from {} to {}.", within.0, within.1)),
        };
        if self.hours.trim().is_empty() {
            return Ok(None);
        }
        let hours = number(&self.hours, "Running hours", 0.0, (0.0, LONGEST))?;
        let days = number(&self.days, "Days", hours / 24.0, (0.0, 800.0))?;
        if hours > 24.0 * days + 1e-6 {
            return Err(format!("{hours} running hours do not fit into {days} days."));
        }
        let leaves = number(&self.leaves, "Days to the departure", 0.0, (0.0, 1_000.0))?;
        let percent = (SHORT.0 * 100.0, SHORT.1 * 100.0);
        let short = number(&self.short, "The chance to run short", USUAL_SHORT * 100.0, percent)? / 100.0;
        let goal = GOALS.iter().find(|(word, _)| *word == self.least).map_or(Goal::Weight, |(_, goal)| *goal);
        let departs = today + leaves.floor() as i64;
        Ok(Some(Leg { passage: Passage { hours, days, departs }, short, goal }))
    }
}

/// What was counted, received, used or stowed elsewhere.
#[derive(Debug, Deserialize)]
pub struct MoveForm {
    item: String,
    deed: String,
    how: String,
}

impl MoveForm {
    /// The entry it makes.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn read(&self, stores: &Stores) -> Result<Movement, String> {
        let deed = Deed::ALL.iter().find(|(word, _)| *word == self.deed).map(|(_, deed)| *deed);
        let deed = deed.ok_or("Nobody says what happened to it.")?;
        let said = |Refused { why, advice }| format!("{}. {advice}", sentence(&why));
        movement(stores, deed, &self.item, &self.how, None).map_err(said)
    }
}

/// The page.
#[derive(Template)]
#[template(path = "stores.html")]
pub struct StoresPage {
    frame: Frame,
    headline: String,
    lockers: String,
    notices: Vec<String>,
    places: Vec<(String, Vec<Row>)>,
    kits: Vec<Row>,
    names: Vec<String>,
    asked: Asked,
    leg: Option<LegTold>,
    suppliers: Vec<(String, Vec<Row>)>,
    cost: String,
    rates: Vec<Row>,
}

/// A line of a list: name, amount, and what is said beside it.
struct Row {
    name: String,
    amount: String,
    beside: String,
    /// It wants a look.
    off: bool,
}

/// A passage, told.
struct LegTold {
    rows: Vec<Row>,
    price: String,
    strangers: Vec<String>,
    uncured: Vec<Row>,
}

impl StoresPage {
    /// Of what lies on the desk.
    ///
    /// * `planned`: what the work that falls due on the passage uses
    pub fn of(
        scene: &Scene,
        theme: Theme,
        worked: &Worked,
        planned: &[Wanted],
        asked: Asked,
        leg: Option<Leg>,
    ) -> StoresPage {
        let today = worked.now.div_euclid(DAY);
        let Worked { plant, stores, stock, .. } = worked;
        let found = leg.map(|leg| (leg, need(plant, stores, stock, &leg.passage, planned, leg.goal, leg.short)));
        let sheet = order(stores, stock, today, found.as_ref().map(|(leg, need)| (need, leg.passage.departs)));
        let says = sentence(&verdict(stores, stock, today)) + ".";
        let headline = found.as_ref().map(|(_, need)| sentence(&on_passage(stores, need)) + ".");
        let supplier = |supplier: &order::Supplier| {
            let lines = supplier.lines.iter().map(|line| ordered(stores, line)).collect();
            (supplier.name.clone().unwrap_or("No supplier told".into()), lines)
        };
        let without = if sheet.unpriced > 0 { format!(", {} without a price", sheet.unpriced) } else { String::new() };
        StoresPage {
            frame: Frame::of(scene, "Stores", theme, "/work/stores"),
            lockers: if headline.is_some() { says.clone() } else { String::new() },
            headline: headline.unwrap_or(says),
            notices: stock.notices.iter().map(Notice::said).collect(),
            places: places(worked, today),
            kits: kits(worked, today),
            names: stores.names().map(String::from).collect(),
            asked,
            leg: found.as_ref().map(|(leg, need)| told(plant, stores, need, leg.goal)),
            suppliers: sheet.suppliers.iter().map(supplier).collect(),
            cost: format!("{:.0} EUR together{without}.", sheet.cost),
            rates: rates(plant),
        }
    }

    /// What changes on it: the line under the vessel's name.
    pub fn pieces(scene: &Scene) -> Pieces {
        Pieces { html: vec![("status".into(), drawn(&Status::of(scene)))], marks: Vec::new() }
    }
}

/// Locker by locker; what nobody says of where it is comes last.
fn places(worked: &Worked, today: i64) -> Vec<(String, Vec<Row>)> {
    let Worked { stores, stock, .. } = worked;
    let place = |id: ItemId| stock.held[id.0].stowed.clone().unwrap_or_default();
    let mut places: Vec<String> = stores.ids().map(place).collect();
    places.sort_by_key(|place| (place.is_empty(), place.clone()));
    places.dedup();
    let heading = |place: &String| if place.is_empty() { "Nobody says where".into() } else { sentence(place) };
    let rows = |here: &String| {
        let own = stores.ids().filter(|id| place(*id) == *here);
        own.map(|id| row(worked, id, today)).collect()
    };
    places.iter().map(|place| (heading(place), rows(place))).collect()
}

fn row(Worked { plant, stores, stock, .. }: &Worked, id: ItemId, today: i64) -> Row {
    let item = &stores[id];
    let keep = if item.keep > 0.0 { format!(", keep {}", item.counted.print(item.keep)) } else { String::new() };
    let used = used_by(plant, stores, id);
    let mut beside = item.what.clone();
    if !used.is_empty() {
        let _ = write!(beside, "; for {}", used.join(", "));
    }
    let first = stock.held[id.0].lots.iter().find_map(|lot| lot.good_until);
    if let Some(until) = first {
        let _ = write!(beside, "; {} {}", if until < today { "past its day" } else { "use by" }, day(until));
    }
    let good = stock.good_on(id, today);
    Row {
        name: item.name.clone(),
        amount: format!("{} aboard{keep}", item.counted.print(stock.amount(id))),
        beside,
        off: good + 1e-9 < item.keep || first.is_some_and(|until| until < today),
    }
}

fn kits(Worked { plant, stores, stock, .. }: &Worked, today: i64) -> Vec<Row> {
    let kit = |kit: &spares::Kit| {
        let holds = |(id, each): &(ItemId, f64)| format!("{} {}", stores[*id].counted.print(*each), stores[*id].name);
        let contents: Vec<String> = kit.contents.iter().map(holds).collect();
        let fits: Vec<String> = kit.fits.iter().map(|of| fit(plant, of)).collect();
        let there = stock.kits_on(stores, kit, today);
        Row {
            name: kit.name.clone(),
            amount: format!("{there} can be made up"),
            beside: format!("{}: {}; for {}", kit.what, contents.join(", "), fits.join(", ")),
            off: there < 1.0,
        }
    };
    stores.kits.iter().map(kit).collect()
}

fn told(plant: &Plant, stores: &Stores, need: &Need, goal: Goal) -> LegTold {
    let row = |line: &spares::need::Line| {
        let item = &stores[line.items[0]];
        let names: Vec<&str> = line.items.iter().map(|id| stores[*id].name.as_str()).collect();
        let print = |amount: f64| item.counted.print(amount);
        let buy = line.packs * item.pack;
        let bought = if buy > 0.0 {
            format!("; buy {}: lacking it then {}", print(buy), odds(line.short_then))
        } else {
            String::new()
        };
        Row {
            name: names.join(" or "),
            amount: format!("{} must be aboard, {} is", print(line.needed()), print(line.aboard)),
            beside: format!(
                "planned work {}, for failures {}; lacking it now {}{bought}",
                print(line.planned),
                print(line.for_failures),
                odds(line.short_now)
            ),
            off: buy > 0.0,
        }
    };
    let uncured = |it: &spares::uses::Uncured| Row {
        name: way(plant, it.of, it.cause),
        amount: odds(it.chance),
        beside: it.cause.remedy.into(),
        off: false,
    };
    let stranger = |wanted: &Wanted| format!("{} wants {}", wanted.task, wanted.told.item);
    LegTold {
        rows: need.lines.iter().filter(|line| line.needed() > 0.0 || line.failures > 0.0).map(row).collect(),
        price: price(need, goal),
        strangers: need.strangers.iter().map(stranger).collect(),
        uncured: need.uncured.iter().take(FIRST).filter(|it| it.chance > 1e-4).map(uncured).collect(),
    }
}

fn ordered(stores: &Stores, line: &order::Line) -> Row {
    let item = &stores[line.item];
    let numbers: Vec<&str> = item.number.iter().chain(&item.equivalents).map(String::as_str).collect();
    let mut beside = item.what.clone();
    if !numbers.is_empty() {
        let _ = write!(beside, ", {}", numbers.join(" or "));
    }
    beside += if line.for_passage { "; for the passage" } else { "; below what is to be kept" };
    match line.comes {
        Some(comes) if line.too_late => drop(write!(beside, "; too late: it comes {}", day(comes))),
        Some(comes) => drop(write!(beside, "; comes {}", day(comes))),
        None => beside += "; lead time not told",
    }
    let cost = line.cost.map_or(String::new(), |cost| format!(", {cost:.0} EUR"));
    Row {
        name: item.name.clone(),
        amount: format!("{}{cost}", item.counted.print(line.amount)),
        beside,
        off: line.too_late,
    }
}

fn rates(plant: &Plant) -> Vec<Row> {
    let row = |line: &listing::Line| {
        let (middle, wide) = listing::in_words(&line.rate);
        Row {
            name: way(plant, line.of, line.cause),
            amount: middle,
            beside: format!("{wide}; {}; {}", line.cause.title, line.rate.label),
            off: false,
        }
    };
    listing::rates(plant).iter().map(row).collect()
}
