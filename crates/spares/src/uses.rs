//! What wants spares: the planned work of a passage, and every way to fail that a spare puts right.

use crate::count::Count;
use crate::item::{Fit, ItemId, Stores};
use crate::meant::Told;
use parts::kind::Cause;
use parts::rates::{Basis, HOURS_A_YEAR, Rate};
use parts::remedy::effort;
use plant::aboard::puts_right;
use plant::evidence::Named;
use plant::plant::Plant;

/// A passage.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Passage {
    /// Hours that the engine runs [h].
    pub hours: f64,
    /// Days at sea [d].
    pub days: f64,
    /// The day of departure [days since 1970].
    pub departs: i64,
}

/// What planned work uses.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// What, and how much.
    pub told: Told,
    /// By which task, in words.
    pub task: String,
}

/// Failures that are put right with the same things at the same rate.
#[derive(Clone, Debug)]
pub struct Use {
    /// Which ways to fail, of which parts.
    pub of: Vec<(Named, &'static Cause)>,
    /// How many there may be on the passage.
    pub count: Count,
    /// What one of them takes.
    pub takes: Vec<(ItemId, f64)>,
}

/// A way to fail that wants a spare which is not described.
#[derive(Clone, Debug)]
pub struct Uncured {
    /// The part or gauge.
    pub of: Named,
    /// The way to fail.
    pub cause: &'static Cause,
    /// Chance that it happens on the passage [1].
    pub chance: f64,
}

/// Every way to fail of the plant that hands aboard can put right, and only with a spare.
pub fn curable(plant: &Plant) -> impl Iterator<Item = (Named, &'static Cause)> + '_ {
    Named::all(plant).flat_map(move |of| {
        let kind = match of {
            Named::Part(part) => plant[part].kind,
            Named::Gauge(gauge) => plant[gauge].kind,
        };
        let wants = move |cause: &&'static Cause| {
            let effort = effort(kind, cause);
            effort.spare && !effort.yard
        };
        plant.own_causes(of).filter(wants).map(move |cause| (of, cause))
    })
}

/// How many failures of this rate there may be on a passage.
///
/// By the hours run, by the days at sea, once for the departure, and once for each planned job on that part. What a share of
/// plants has from the start comes on no passage: it shows on the first.
pub fn count(rate: &Rate, passage: &Passage, jobs: f64) -> Count {
    let by_year = if rate.native_unit == "per year" {
        rate.native
    } else {
        rate.per_1000_h.map(|per| per * HOURS_A_YEAR / 1000.0)
    };
    let (belief, exposure) = match rate.basis {
        Basis::RunningHour => (rate.per_1000_h, passage.hours / 1000.0),
        Basis::Calendar => (by_year, passage.days / 365.25),
        Basis::Event if rate.native_unit == "per departure" => (rate.native, 1.0),
        Basis::Event => (rate.native, jobs),
        Basis::Prevalence => (rate.native, 0.0),
    };
    Count::of(belief.map(|bound| bound * rate.use_factor), exposure)
}

/// What failures of a passage take, and those for which nothing is described, the likeliest first.
///
/// What fits a word of a part is taken for what that word puts right; what fits the whole part only for the rest. Of several
/// that fit, all are taken, one of those that serve as well as each other.
pub fn uses(plant: &Plant, stores: &Stores, passage: &Passage, planned: &[Wanted]) -> (Vec<Use>, Vec<Uncured>) {
    let mut all: Vec<(Rate, Use)> = Vec::new();
    let mut uncured: Vec<Uncured> = Vec::new();
    for (of, cause) in curable(plant) {
        let Some(rate) = plant.rate(of, cause) else { continue };
        let count = count(&rate, passage, jobs_on(plant, stores, planned, of));
        let takes = taken(stores, of, cause);
        if takes.is_empty() {
            uncured.push(Uncured { of, cause, chance: count.more_than(0) });
            continue;
        }
        // One rate of several like parts is one belief: what is true of it is true of all of them.
        let same = |(other, it): &&mut (Rate, Use)| {
            (other.key, other.basis, other.per_1000_h) == (rate.key, rate.basis, rate.per_1000_h) && it.takes == takes
        };
        if let Some((_, it)) = all.iter_mut().find(same) {
            it.of.push((of, cause));
            it.count.mean += count.mean;
        } else {
            all.push((rate, Use { of: vec![(of, cause)], count, takes }));
        }
    }
    // What was there from the start comes on no passage.
    uncured.retain(|it| it.chance > 0.0);
    uncured.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    (all.into_iter().map(|(_, it)| it).filter(|it| it.count.mean > 0.0).collect(), uncured)
}

/// Planned jobs that work on a part: those that use something which fits it.
fn jobs_on(plant: &Plant, stores: &Stores, planned: &[Wanted], of: Named) -> f64 {
    let fits = |fits: &[Fit]| fits.iter().any(|(named, _)| *named == of);
    let kits_with = |item: ItemId| stores.kits.iter().filter(move |kit| kit.contents.iter().any(|(id, _)| *id == item));
    let on = |wanted: &&Wanted| {
        let apart = stores.taken_apart(plant, &wanted.told).unwrap_or_default();
        apart.iter().any(|(item, _)| fits(&stores[*item].fits) || kits_with(*item).any(|kit| fits(&kit.fits)))
    };
    let mut tasks: Vec<&str> = planned.iter().filter(on).map(|wanted| wanted.task.as_str()).collect();
    tasks.sort_unstable();
    tasks.dedup();
    tasks.len() as f64
}

/// What putting one such failure right takes.
fn taken(stores: &Stores, of: Named, cause: &Cause) -> Vec<(ItemId, f64)> {
    let whole = |fits: &[Fit]| fits.iter().any(|(named, what)| *named == of && what.is_empty());
    let word =
        |fits: &[Fit]| fits.iter().any(|(named, what)| *named == of && !what.is_empty() && puts_right(what, cause));
    let by = |fitting: &dyn Fn(&[Fit]) -> bool| {
        let items =
            stores.ids().filter(|&id| fitting(&stores[id].fits)).filter_map(|id| Some((id, stores[id].each()?)));
        let kits = stores.kits.iter().filter(|kit| fitting(&kit.fits)).flat_map(|kit| kit.contents.iter().copied());
        let mut takes: Vec<(ItemId, f64)> = Vec::new();
        for (id, amount) in items.chain(kits) {
            // Of several that serve as well, and of what stands in a kit as well, one is taken.
            match takes.iter_mut().find(|(other, _)| *other == id || stores[*other].serves_as(&stores[id])) {
                Some((_, most)) => *most = most.max(amount),
                None => takes.push((id, amount)),
            }
        }
        takes
    };
    let takes = by(&word);
    if takes.is_empty() { by(&whole) } else { takes }
}
