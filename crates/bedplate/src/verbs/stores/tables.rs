//! The answer in words and columns.

use super::Answer;
use crate::page::{Side, columns, wrapped};
use crate::verbs::expect::name;
use spares::need::Line;
use spares::said::{day, fit, on_passage, price, used_by, verdict, way};
use spares::{ItemId, Need, listing, odds};
use std::fmt::Write as _;
use work::date;
use work::passage::Passage;

/// Ways to fail without a spare that are told by themselves.
const FIRST: usize = 12;
/// Of less chance than this on a passage they are not told [1].
const SELDOM: f64 = 1e-4;

impl Answer<'_> {
    pub(super) fn text(&self) -> String {
        let (stores, stock) = (&self.shelf.stores, &self.shelf.stock);
        let says = verdict(stores, stock, self.today);
        let mut text = match &self.leg {
            Some((_, need)) => {
                wrapped(&format!("{}: {}.", name(self.plant), on_passage(stores, need)), "", "")
                    + &wrapped(&format!("In the lockers: {says}."), "", "")
            }
            None => wrapped(&format!("{}: {says}.", name(self.plant)), "", ""),
        };
        for notice in &stock.notices {
            text += &wrapped(&format!("Does not add up: {}.", notice.said()), "", "  ");
        }
        match &self.leg {
            Some((passage, need)) => text += &self.passage(passage, need),
            None => text += &self.lockers(),
        }
        if self.asked.order {
            text += &self.sheet();
        }
        if self.asked.rates {
            text += &self.rates();
        }
        text + "\n" + &wrapped(WARNING, "", "")
    }

    /// What is aboard, locker by locker.
    fn lockers(&self) -> String {
        let (stores, stock) = (&self.shelf.stores, &self.shelf.stock);
        let mut places: Vec<&str> = stock.held.iter().map(|held| held.stowed.as_deref().unwrap_or("")).collect();
        places.sort_unstable();
        places.dedup();
        // What nobody says of where it is comes last.
        if places.first() == Some(&"") {
            places.rotate_left(1);
        }
        let mut text = String::new();
        for place in places {
            let heading = if place.is_empty() { "Nobody says where" } else { place };
            let _ = write!(text, "\n{heading}\n");
            let here = stores.ids().filter(|id| stock.held[id.0].stowed.as_deref().unwrap_or("") == place);
            let rows: Vec<Vec<String>> = here.map(|id| self.row(id)).collect();
            text += &columns(&rows, &[Side::Left, Side::Right, Side::Left, Side::Left, Side::Left], "  ");
        }
        if !stores.kits.is_empty() {
            text += "\nKits\n";
            let rows: Vec<Vec<String>> = stores
                .kits
                .iter()
                .map(|kit| {
                    let fits: Vec<String> = kit.fits.iter().map(|of| fit(self.plant, of)).collect();
                    let there = stock.kits_on(stores, kit, self.today);
                    vec![kit.name.clone(), format!("{there}"), kit.what.clone(), format!("for {}", fits.join(", "))]
                })
                .collect();
            text += &columns(&rows, &[Side::Left, Side::Right, Side::Left, Side::Left], "  ");
        }
        text
    }

    fn row(&self, id: ItemId) -> Vec<String> {
        let (item, held) = (&self.shelf.stores[id], &self.shelf.stock.held[id.0]);
        let keep = if item.keep > 0.0 { format!("keep {}", item.counted.print(item.keep)) } else { String::new() };
        let first = held.lots.iter().find_map(|lot| lot.good_until);
        let used = used_by(self.plant, &self.shelf.stores, id);
        let mut notes = if used.is_empty() { String::new() } else { format!("for {}", used.join(", ")) };
        if let Some(until) = first {
            let word = if until < self.today { "past its day" } else { "use by" };
            let between = if notes.is_empty() { "" } else { "; " };
            let _ = write!(notes, "{between}{word} {}", day(until));
        }
        vec![item.name.clone(), item.counted.print(self.shelf.stock.amount(id)), keep, item.what.clone(), notes]
    }

    fn passage(&self, passage: &Passage, need: &Need) -> String {
        let stores = &self.shelf.stores;
        let ends = date::words(passage.end());
        let mut text = format!("\nFor {:.0} running hours, {} to {ends}\n", passage.hours, date::words(passage.start));
        let heading = ["", "aboard", "work", "failures", "must be", "buy", "lacking now", "then"].map(String::from);
        let rows =
            need.lines.iter().filter(|line| line.needed() > 0.0 || line.failures > 0.0).map(|line| self.need(line));
        let rows: Vec<Vec<String>> = std::iter::once(heading.to_vec()).chain(rows).collect();
        if rows.len() > 1 {
            let right = Side::Right;
            text += &columns(&rows, &[Side::Left, right, right, right, right, right, Side::Left, Side::Left], "  ");
        } else {
            text += "  nothing that is described is used on it\n";
        }
        text += &wrapped(&price(need, self.goal), "  ", "  ");
        if !need.unpriced.is_empty() {
            let names: Vec<&str> = need.unpriced.iter().map(|id| stores[*id].name.as_str()).collect();
            let told = format!("Not told of {}: taken as the middle of the others.", names.join(", "));
            text += &wrapped(&told, "  ", "  ");
        }
        for wanted in &need.strangers {
            let told = format!("{} wants {}, which is not described as kept aboard.", wanted.task, wanted.told.item);
            text += &wrapped(&told, "  ", "    ");
        }
        text + &self.uncured(need)
    }

    fn need(&self, line: &Line) -> Vec<String> {
        let item = &self.shelf.stores[line.items[0]];
        let names: Vec<&str> = line.items.iter().map(|id| self.shelf.stores[*id].name.as_str()).collect();
        let print = |amount: f64| if amount > 0.0 { item.counted.print(amount) } else { "–".into() };
        let buy = line.packs * item.pack;
        vec![
            names.join(" or "),
            print(line.aboard),
            print(line.planned),
            print(line.for_failures),
            print(line.needed()),
            print(buy),
            odds(line.short_now),
            if buy > 0.0 { odds(line.short_then) } else { String::new() },
        ]
    }

    fn uncured(&self, need: &Need) -> String {
        let seldom = need.uncured.iter().take_while(|it| it.chance > SELDOM).count();
        let shown = seldom.min(FIRST);
        if shown == 0 {
            return String::new();
        }
        let more = if seldom > shown { format!("; {shown} of {seldom}") } else { String::new() };
        let mut text = format!("\nNo spare that is described puts right, the likeliest first{more}\n");
        let row = |it: &spares::uses::Uncured| {
            vec![way(self.plant, it.of, it.cause), odds(it.chance), it.cause.remedy.to_string()]
        };
        let rows: Vec<Vec<String>> = need.uncured[..shown].iter().map(row).collect();
        text += &columns(&rows, &[Side::Left; 3], "  ");
        text
    }

    fn sheet(&self) -> String {
        if self.order.suppliers.is_empty() {
            return "\nNothing is to be ordered\n".into();
        }
        let mut text = String::new();
        for supplier in &self.order.suppliers {
            let name = supplier.name.as_deref().unwrap_or("No supplier told");
            let _ = write!(text, "\nOrder: {name}\n");
            let row = |line: &spares::order::Line| {
                let item = &self.shelf.stores[line.item];
                let numbers: Vec<&str> = item.number.iter().chain(&item.equivalents).map(String::as_str).collect();
                let why = match (line.below.is_some(), line.for_passage) {
                    (true, true) => "below, and for the passage",
                    (true, false) => "below what is to be kept",
                    _ => "for the passage",
                };
                let comes = line.comes.map_or("lead time not told".into(), |comes| {
                    let late = if line.too_late { ": TOO LATE" } else { "" };
                    format!("comes {}{late}", day(comes))
                });
                let cost = line.cost.map_or(String::new(), |cost| format!("{cost:.0} EUR"));
                vec![item.counted.print(line.amount), item.what.clone(), numbers.join(" or "), cost, comes, why.into()]
            };
            let rows: Vec<Vec<String>> = supplier.lines.iter().map(row).collect();
            let left = Side::Left;
            text += &columns(&rows, &[Side::Right, left, left, Side::Right, left, left], "  ");
        }
        let without = match self.order.unpriced {
            0 => String::new(),
            some => format!(", {some} without a price"),
        };
        let _ = writeln!(text, "  {:.0} EUR together{without}", self.order.cost);
        text
    }

    fn rates(&self) -> String {
        let mut text =
            "\nHow often what wants a spare fails; write your own under [rates] of vessel.toml\n".to_string();
        let row = |line: &listing::Line| {
            let (middle, wide) = listing::in_words(&line.rate);
            vec![format!("\"{}\" = \"{middle}\"", way(self.plant, line.of, line.cause)), wide, line.rate.label.into()]
        };
        let rows: Vec<Vec<String>> = listing::rates(self.plant).iter().map(row).collect();
        text += &columns(&rows, &[Side::Left; 3], "  ");
        text
    }
}

/// Said once.
const WARNING: &str = "Chances rest on rates of failure that are common figures (`--rates`); planned work comes from the \
                       service tasks (`bedplate due`). What class, flag and the maker want aboard comes first.";
