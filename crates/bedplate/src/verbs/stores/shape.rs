//! The answer for programs.

use super::Answer;
use crate::json::VERSION;
use crate::json::stores as json;
use measure::quantity::Quantity;
use spares::amount::Counted;
use spares::said::{below, day, fit, on_passage, used_by, verdict, way};
use spares::stock::Notice;
use spares::{Goal, ItemId, Need, Wanted, listing};
use work::date;
use work::passage::Passage;

fn unit(counted: Counted) -> &'static str {
    counted.quantity().map_or("1", Quantity::si_unit)
}

fn wanted(wanted: &Wanted) -> json::Wanted {
    json::Wanted { task: wanted.task.clone(), item: wanted.told.item.clone(), amount: wanted.told.amount }
}

impl Answer<'_> {
    pub(super) fn shape(&self) -> json::Stores {
        let (stores, stock) = (&self.shelf.stores, &self.shelf.stock);
        let kit = |kit: &spares::Kit| json::Kit {
            name: kit.name.clone(),
            what: kit.what.clone(),
            aboard: stock.kits_on(stores, kit, self.today),
            contents: kit.contents.iter().map(|(id, each)| (stores[*id].name.clone(), *each)).collect(),
            fits: kit.fits.iter().map(|of| fit(self.plant, of)).collect(),
        };
        let rates = || listing::rates(self.plant).iter().map(|line| self.rate(line)).collect();
        let low: Vec<ItemId> = below(stores, stock, self.today).collect();
        json::Stores {
            version: VERSION,
            vessel: self.plant.name.clone(),
            today: day(self.today),
            says: verdict(stores, stock, self.today),
            items: stores.ids().map(|id| self.item(id, low.contains(&id))).collect(),
            kits: stores.kits.iter().map(kit).collect(),
            notices: stock.notices.iter().map(Notice::said).collect(),
            passage: self.leg.as_ref().map(|(passage, need)| self.leg_shape(passage, need)),
            order: (self.asked.order || self.leg.is_some()).then(|| self.order_shape()),
            rates: self.asked.rates.then(rates),
        }
    }

    fn item(&self, id: ItemId, below: bool) -> json::Item {
        let (stores, stock) = (&self.shelf.stores, &self.shelf.stock);
        let (item, held) = (&stores[id], &stock.held[id.0]);
        let lot = |lot: &spares::stock::Lot| json::Lot { amount: lot.amount, good_until: lot.good_until.map(day) };
        json::Item {
            name: item.name.clone(),
            what: item.what.clone(),
            number: item.number.clone(),
            equivalents: item.equivalents.clone(),
            supplier: item.supplier.clone(),
            lead_days: item.lead,
            stowed: held.stowed.clone(),
            unit: unit(item.counted),
            aboard: stock.amount(id),
            good: stock.good_on(id, self.today),
            keep: item.keep,
            below,
            lots: held.lots.iter().map(lot).collect(),
            used_by: used_by(self.plant, stores, id),
        }
    }

    fn leg_shape(&self, passage: &Passage, need: &Need) -> json::Passage {
        let stores = &self.shelf.stores;
        let line = |line: &spares::need::Line| {
            let item = &stores[line.items[0]];
            let task = |(task, amount): &(String, f64)| json::Wanted {
                task: task.clone(),
                item: item.name.clone(),
                amount: *amount,
            };
            json::Line {
                item: item.name.clone(),
                serve_as_well: line.items[1..].iter().map(|id| stores[*id].name.clone()).collect(),
                unit: unit(item.counted),
                aboard: line.aboard,
                going_off: line.going_off,
                planned: line.planned,
                tasks: line.tasks.iter().map(task).collect(),
                for_failures: line.for_failures,
                needed: line.needed(),
                failures: line.failures,
                puts_right: line.puts_right.iter().map(|(of, cause)| way(self.plant, *of, cause)).collect(),
                buy_packs: line.packs,
                buy: line.packs * item.pack,
                short_now: line.short_now,
                short_then: line.short_then,
            }
        };
        let uncured = |it: &spares::uses::Uncured| json::Uncured {
            way: way(self.plant, it.of, it.cause),
            title: it.cause.title,
            remedy: it.cause.remedy,
            chance: it.chance,
        };
        json::Passage {
            says: on_passage(stores, need),
            hours: passage.hours,
            days: passage.days,
            leaves: date::iso(passage.start),
            least: match self.goal {
                Goal::Weight => "weight",
                Goal::Cost => "cost",
                Goal::Volume => "volume",
            },
            short_now: need.short_now,
            short_then: need.short_then,
            allowed: need.allowed,
            price: need.price,
            at_least: need.at_least,
            unpriced: need.unpriced.iter().map(|id| stores[*id].name.clone()).collect(),
            lines: need.lines.iter().filter(|line| line.needed() > 0.0 || line.failures > 0.0).map(line).collect(),
            not_described: need.strangers.iter().map(wanted).collect(),
            uncured: need.uncured.iter().map(uncured).collect(),
        }
    }

    fn order_shape(&self) -> json::Order {
        let line = |line: &spares::order::Line| {
            let item = &self.shelf.stores[line.item];
            json::Ordered {
                item: item.name.clone(),
                what: item.what.clone(),
                number: item.number.clone(),
                equivalents: item.equivalents.clone(),
                packs: line.packs,
                amount: line.amount,
                unit: unit(item.counted),
                below: line.below.is_some(),
                for_passage: line.for_passage,
                cost_eur: line.cost,
                comes: line.comes.map(day),
                too_late: line.too_late,
            }
        };
        let supplier = |supplier: &spares::order::Supplier| json::Supplier {
            name: supplier.name.clone(),
            cost_eur: supplier.cost,
            lines: supplier.lines.iter().map(line).collect(),
        };
        let suppliers = self.order.suppliers.iter().map(supplier).collect();
        json::Order { suppliers, cost_eur: self.order.cost, unpriced: self.order.unpriced }
    }

    fn rate(&self, line: &listing::Line) -> json::Rate {
        let (belief, per) = listing::belief(&line.rate);
        json::Rate {
            way: way(self.plant, line.of, line.cause),
            title: line.cause.title,
            belief,
            per,
            label: line.rate.label,
            told: line.told.clone(),
        }
    }
}
