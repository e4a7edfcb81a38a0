//! Shape of `stores`. Amounts are in the item's `unit`.

use serde::Serialize;

/// Answer of `stores`.
#[derive(Serialize)]
pub struct Stores {
    pub version: u32,
    pub vessel: String,
    pub today: String,
    pub says: String,
    pub items: Vec<Item>,
    pub kits: Vec<Kit>,
    /// What does not add up.
    pub notices: Vec<String>,
    pub passage: Option<Passage>,
    pub order: Option<Order>,
    /// Only where they are asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rates: Option<Vec<Rate>>,
}

/// An item.
#[derive(Serialize)]
pub struct Item {
    pub name: String,
    pub what: String,
    pub number: Option<String>,
    pub equivalents: Vec<String>,
    pub supplier: Option<String>,
    pub lead_days: Option<f64>,
    pub stowed: Option<String>,
    /// "1" of pieces, else "m³", "kg" or "m".
    pub unit: &'static str,
    pub aboard: f64,
    /// Of that, not past its day.
    pub good: f64,
    pub keep: f64,
    pub below: bool,
    pub lots: Vec<Lot>,
    pub used_by: Vec<String>,
}

/// What came aboard together.
#[derive(Serialize)]
pub struct Lot {
    pub amount: f64,
    pub good_until: Option<String>,
}

/// A kit.
#[derive(Serialize)]
pub struct Kit {
    pub name: String,
    pub what: String,
    /// How many can be made up of what is aboard.
    pub aboard: f64,
    pub contents: Vec<(String, f64)>,
    pub fits: Vec<String>,
}

/// What a passage needs.
#[derive(Serialize)]
pub struct Passage {
    pub says: String,
    pub hours: f64,
    pub days: f64,
    pub leaves: String,
    /// "weight", "cost" or "volume".
    pub least: &'static str,
    /// Chance of lacking something that is needed: with what is aboard, with what is to be bought, allowed.
    pub short_now: f64,
    pub short_then: f64,
    pub allowed: f64,
    /// What is to be bought comes to so much [kg, EUR or m³], and no list to less than `at_least`.
    pub price: f64,
    pub at_least: f64,
    pub unpriced: Vec<String>,
    pub lines: Vec<Line>,
    pub not_described: Vec<Wanted>,
    /// Ways to fail that no described spare puts right, the likeliest first.
    pub uncured: Vec<Uncured>,
}

/// An item, or several that serve as well as each other.
#[derive(Serialize)]
pub struct Line {
    pub item: String,
    pub serve_as_well: Vec<String>,
    pub unit: &'static str,
    pub aboard: f64,
    pub going_off: f64,
    pub planned: f64,
    pub tasks: Vec<Wanted>,
    pub for_failures: f64,
    pub needed: f64,
    /// Failures expected.
    pub failures: f64,
    pub puts_right: Vec<String>,
    pub buy_packs: f64,
    pub buy: f64,
    pub short_now: f64,
    pub short_then: f64,
}

/// What a task uses.
#[derive(Serialize)]
pub struct Wanted {
    pub task: String,
    pub item: String,
    pub amount: f64,
}

/// A way to fail without its spare.
#[derive(Serialize)]
pub struct Uncured {
    pub way: String,
    pub title: &'static str,
    pub remedy: &'static str,
    pub chance: f64,
}

/// The order sheet.
#[derive(Serialize)]
pub struct Order {
    pub suppliers: Vec<Supplier>,
    pub cost_eur: f64,
    pub unpriced: usize,
}

/// What is ordered of one supplier.
#[derive(Serialize)]
pub struct Supplier {
    pub name: Option<String>,
    pub cost_eur: f64,
    pub lines: Vec<Ordered>,
}

/// A line of the order sheet.
#[derive(Serialize)]
pub struct Ordered {
    pub item: String,
    pub what: String,
    pub number: Option<String>,
    pub equivalents: Vec<String>,
    pub packs: f64,
    pub amount: f64,
    pub unit: &'static str,
    pub below: bool,
    pub for_passage: bool,
    pub cost_eur: Option<f64>,
    pub comes: Option<String>,
    pub too_late: bool,
}

/// A rate.
#[derive(Serialize)]
pub struct Rate {
    pub way: String,
    pub title: &'static str,
    /// 5, 50 and 95 % of belief, in `per`.
    pub belief: [f64; 3],
    pub per: &'static str,
    /// How well founded: published, derived, common-practice, from-memory, or told by the owner.
    pub label: &'static str,
    pub told: Option<String>,
}
