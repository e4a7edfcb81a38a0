//! Which items a word means that a task or a record of work uses: an item, a kit, or "raw-pump.impeller".

use crate::amount::Counted;
use crate::item::{Fit, ItemId, Meant, Stores};
use parts::kind::Cause;
use plant::aboard::puts_right;
use plant::evidence::Named;
use plant::names::folded;
use plant::plant::Plant;

/// Something used or wanted, as whoever tells it names it.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// An item, a kit, or a part and a word of what is used on it: "raw-pump.impeller".
    pub item: String,
    /// How much: pieces, m³, kg or m.
    pub amount: f64,
    /// What that is counted in; where it is not told, pieces, and of what is measured so many jobs' worth.
    pub counted: Option<Counted>,
}

impl Stores {
    /// What is told, item by item; nothing if it names nothing that is described, or not how much of it.
    pub fn taken_apart(&self, plant: &Plant, told: &Told) -> Option<Vec<(ItemId, f64)>> {
        let word = || told.item.split_once('.').and_then(|(_, word)| self.called(word));
        let meant = self.called(&told.item).or_else(|| self.used_on(plant, &told.item)).or_else(word)?;
        Some(match meant {
            Meant::Item(item) => vec![(item, self.amount(item, told)?)],
            Meant::Kit(kit) => {
                // One tool serves however many.
                let times = |item: &ItemId| if self[*item].tool { told.amount.min(1.0) } else { told.amount };
                kit.contents.iter().map(|(item, each)| (*item, each * times(item))).collect()
            }
        })
    }

    fn amount(&self, item: ItemId, told: &Told) -> Option<f64> {
        let of = &self[item];
        match told.counted {
            Some(counted) => (counted == of.counted).then_some(told.amount),
            None if of.counted == Counted::Pieces => Some(told.amount),
            None => of.each().map(|each| each * told.amount),
        }
    }

    /// "raw-pump.cover gasket": what fits the part and is called so; else what puts the same right; else what alone fits it.
    fn used_on(&self, plant: &Plant, text: &str) -> Option<Meant<'_>> {
        let (part, word) = text.split_once('.')?;
        let (of, word) = (Named::find(plant, part)?, folded(word));
        let all = || self.ids().map(Meant::Item).chain(self.kits.iter().map(Meant::Kit));
        let fitting = || all().filter(|meant| self.fits(*meant).iter().any(|(named, _)| *named == of));
        let words = |meant: Meant| self.fits(meant).iter().filter(|fit| fit.0 == of).map(|fit| fit.1.clone()).collect();
        let exact = fitting().find(|meant| -> bool {
            let words: Vec<String> = words(*meant);
            words.contains(&word)
        });
        // In a kit of that part, too: its gasket.
        let in_kits = self.kits.iter().filter(|kit| kit.fits.iter().any(|(named, _)| *named == of));
        let in_kits = in_kits.flat_map(|kit| kit.contents.iter().map(|(item, _)| Meant::Item(*item)));
        let by_name = || fitting().chain(in_kits).find(|meant| is_called(self.name(*meant), &word));
        let kind = match of {
            Named::Part(part) => plant[part].kind,
            Named::Gauge(gauge) => plant[gauge].kind,
        };
        let same = |meant: &Meant| {
            let put_right = |cause: &&Cause| puts_right(&word, cause);
            let by = |(named, what): &Fit, cause: &Cause| *named == of && !what.is_empty() && puts_right(what, cause);
            kind.causes.iter().filter(put_right).any(|cause| self.fits(*meant).iter().any(|fit| by(fit, cause)))
        };
        let alone = || {
            let mut whole =
                fitting().filter(|meant| self.fits(*meant).iter().any(|fit| fit.0 == of && fit.1.is_empty()));
            whole.next().filter(|_| whole.next().is_none())
        };
        exact.or_else(by_name).or_else(|| fitting().find(same)).or_else(alone)
    }

    fn fits(&self, meant: Meant) -> &[Fit] {
        match meant {
            Meant::Item(item) => &self[item].fits,
            Meant::Kit(kit) => self.kits.iter().find(|own| own.name == kit.name).map_or(&[], |own| &own.fits),
        }
    }

    fn name(&self, meant: Meant) -> &str {
        match meant {
            Meant::Item(item) => &self[item].name,
            Meant::Kit(kit) => self.kits.iter().find(|own| own.name == kit.name).map_or("", |own| &own.name),
        }
    }
}

/// Is it called by this word, or by its last: a "cover gasket" is a gasket?
fn is_called(name: &str, word: &str) -> bool {
    let last = word.rsplit('-').next().unwrap_or(word);
    name.contains(word) || name.split('-').any(|piece| piece == last)
}
