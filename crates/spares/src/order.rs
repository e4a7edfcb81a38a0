//! What is to be ordered: what is below what is to be kept, and what a passage needs and is not aboard.

use crate::item::{ItemId, Stores};
use crate::need::Need;
use crate::stock::Stock;

/// An order sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Order {
    /// By supplier; those of none last.
    pub suppliers: Vec<Supplier>,
    /// What all of it costs, as far as it is told [EUR].
    pub cost: f64,
    /// Lines without a cost.
    pub unpriced: usize,
}

/// What is ordered of one supplier.
#[derive(Clone, Debug, PartialEq)]
pub struct Supplier {
    /// His name, if it is told.
    pub name: Option<String>,
    /// What.
    pub lines: Vec<Line>,
    /// What it costs, as far as it is told [EUR].
    pub cost: f64,
}

/// A line of an order sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What.
    pub item: ItemId,
    /// How many packs.
    pub packs: f64,
    /// How much that is.
    pub amount: f64,
    /// Because so much is aboard and good, and so much is to be kept.
    pub below: Option<(f64, f64)>,
    /// The passage needs it.
    pub for_passage: bool,
    /// What it costs, if it is told [EUR].
    pub cost: Option<f64>,
    /// It comes on this day at the earliest [days since 1970], if the lead time is told.
    pub comes: Option<i64>,
    /// Wanted for the passage, and it comes after the departure.
    pub too_late: bool,
}

/// The order sheet of today.
///
/// * `today`: days since 1970
/// * `passage`: what a passage needs, and the day of its departure [days since 1970]
pub fn order(stores: &Stores, stock: &Stock, today: i64, passage: Option<(&Need, i64)>) -> Order {
    let mut order = Order::default();
    for id in stores.ids() {
        let item = &stores[id];
        let good = good(stores, stock, id, today);
        let below = (good + crate::amount::SAME < item.keep).then_some((good, item.keep));
        let keeping = below.map_or(0.0, |(good, keep)| ((keep - good - crate::amount::SAME) / item.pack).ceil());
        let need = passage.and_then(|(need, _)| need.lines.iter().find(|line| line.items[0] == id));
        let bought = need.map_or(0.0, |line| line.packs);
        let packs = keeping.max(bought);
        if packs < 1.0 {
            continue;
        }
        let comes = item.lead.map(|days| today + days.ceil() as i64);
        let departs = passage.map(|(_, departs)| departs);
        let line = Line {
            item: id,
            packs,
            amount: packs * item.pack,
            below,
            for_passage: bought > 0.0,
            cost: item.cost.map(|cost| cost * packs),
            comes,
            too_late: bought > 0.0 && comes.zip(departs).is_some_and(|(comes, departs)| comes > departs),
        };
        order.cost += line.cost.unwrap_or(0.0);
        order.unpriced += usize::from(line.cost.is_none());
        let known = order.suppliers.iter().position(|supplier| supplier.name == item.supplier);
        let place = known.unwrap_or_else(|| {
            order.suppliers.push(Supplier { name: item.supplier.clone(), lines: Vec::new(), cost: 0.0 });
            order.suppliers.len() - 1
        });
        let supplier = &mut order.suppliers[place];
        supplier.cost += line.cost.unwrap_or(0.0);
        supplier.lines.push(line);
    }
    order.suppliers.sort_by(|a, b| a.name.is_none().cmp(&b.name.is_none()).then(a.name.cmp(&b.name)));
    order
}

/// What is aboard and good of an item; what serves as well stands in for it.
pub(crate) fn good(stores: &Stores, stock: &Stock, id: ItemId, today: i64) -> f64 {
    let alike = |other: &ItemId| *other == id || stores[id].serves_as(&stores[*other]);
    stores.ids().filter(alike).fold(0.0, |sum, other| sum + stock.good_on(other, today))
}
