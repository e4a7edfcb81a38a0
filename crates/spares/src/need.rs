//! What must be aboard for a passage: what the planned work uses, and beside it the stock of least weight, cost or volume by
//! which the chance of lacking any spare that is needed stays below what the owner chooses.

use crate::amount::SAME;
use crate::demand::Demand;
use crate::item::{ItemId, Stores};
use crate::least::{Level, least};
use crate::levels::levels;
use crate::stock::Stock;
use crate::uses::{Passage, Uncured, Use, Wanted, uses};
use plant::plant::Plant;

/// Chances to run short that can be asked for [1].
pub const SHORT: (f64, f64) = (1e-4, 0.5);
/// The usual one [1].
pub const USUAL_SHORT: f64 = 0.05;
/// A chance that is as good as certain [1]: its logarithm is a number still.
const SURE: f64 = 1.0 - 1e-12;

/// What is to be least.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Goal {
    /// Mass [kg].
    Weight,
    /// Money [EUR].
    Cost,
    /// Room [m³].
    Volume,
}

/// What a passage needs.
#[derive(Clone, Debug)]
pub struct Need {
    /// Everything that is planned to be used or may be needed, in the order of the file.
    pub lines: Vec<Line>,
    /// Chance of lacking something that is needed, with what is aboard [1].
    pub short_now: f64,
    /// The same with what is to be bought [1]: at most that, as far as failures of different parts come apart from each other.
    pub short_then: f64,
    /// The chance that was allowed [1].
    pub allowed: f64,
    /// What is bought comes to so much: kg, EUR or m³.
    pub price: f64,
    /// No other list that keeps the chance comes to less than this.
    pub at_least: f64,
    /// Items without that figure, taken as the middle of the others.
    pub unpriced: Vec<ItemId>,
    /// Ways to fail for which nothing is described, the likeliest first.
    pub uncured: Vec<Uncured>,
    /// Planned uses that name nothing that is described.
    pub strangers: Vec<Wanted>,
}

/// An item, or several that serve as well as each other.
#[derive(Clone, Debug)]
pub struct Line {
    /// The item that is bought if any is; the others after it.
    pub items: Vec<ItemId>,
    /// Aboard, and good to the end of the passage.
    pub aboard: f64,
    /// Aboard, and no longer good by then.
    pub going_off: f64,
    /// What planned work uses.
    pub planned: f64,
    /// By which tasks, and how much.
    pub tasks: Vec<(String, f64)>,
    /// Kept for failures beside that.
    pub for_failures: f64,
    /// A tool: what is planned and what fails are served by one.
    pub tool: bool,
    /// Failures that would take it, expected on the passage [1].
    pub failures: f64,
    /// Its uses, by their place in [`Line::uses`] of all: the ways to fail it puts right.
    pub puts_right: Vec<(plant::evidence::Named, &'static parts::kind::Cause)>,
    /// To be bought, in packs.
    pub packs: f64,
    /// Chance that more is wanted than is aboard [1]; 1 if the planned work alone wants more.
    pub short_now: f64,
    /// The same with what is bought [1].
    pub short_then: f64,
}

impl Line {
    /// What must be aboard; one tool serves all.
    pub fn needed(&self) -> f64 {
        if self.tool { self.planned.max(self.for_failures) } else { self.planned + self.for_failures }
    }
}

/// Items that are one thing: those that serve as well as each other.
struct Pool {
    items: Vec<ItemId>,
    aboard: f64,
    going_off: f64,
    planned: f64,
    tasks: Vec<(String, f64)>,
    /// Price of a pack of the item that is bought, and its size.
    price: f64,
    pack: f64,
    tool: bool,
    /// Which uses take it, and how much each time.
    uses: Vec<(usize, f64)>,
}

impl Pool {
    /// Packs to buy so that there is so much beside the planned.
    fn packs(&self, beside: f64) -> f64 {
        let wanted = if self.tool { self.planned.max(beside) } else { self.planned + beside };
        ((wanted - self.aboard - SAME) / self.pack).ceil().max(0.0)
    }

    /// What is left for failures with so many packs; below zero if the planned work wants more.
    fn beside(&self, packs: f64) -> f64 {
        let there = self.aboard + packs * self.pack;
        if self.tool && there + SAME >= self.planned { there } else { there - self.planned }
    }

    /// Takes each of its uses the same amount?
    fn is_even(&self) -> bool {
        self.tool || self.uses.iter().all(|(_, amount)| (amount - self.uses[0].1).abs() <= SAME)
    }

    /// What one failure takes; of a tool, what the most demanding one does.
    fn each(&self) -> f64 {
        self.uses.iter().map(|(_, amount)| *amount).fold(0.0, f64::max)
    }
}

/// Pools whose failures are the same ones, so that they run short together: an impeller and its gasket.
struct Bundle {
    /// Each with what one failure takes of it.
    pools: Vec<(usize, f64)>,
    /// How many failures there may be; where a pool's failures take different amounts, how much they take.
    demand: Demand,
    /// How many of them are kept for, with the chance that there are more.
    levels: Vec<(f64, f64)>,
}

impl Pool {
    /// How much of it so many failures take that take so much each: of a tool, once.
    fn taken(&self, times: f64, each: f64) -> f64 {
        if self.tool { each * times.min(1.0) } else { each * times }
    }

    /// How many failures there may be until more is wanted than is there.
    fn lasts(&self, there: f64, each: f64) -> f64 {
        match there + SAME {
            there if there < each && self.tool => 0.0,
            _ if self.tool => f64::INFINITY,
            there => (there / each).max(0.0),
        }
    }
}

/// What a passage needs.
///
/// * `short`: the chance of lacking any spare that is needed, at most [1]
///
/// Things that are taken by the same failures are one in the reckoning; the chances of the others are multiplied. Where two
/// of them have a failure in common, that says too much and never too little, for what makes one run short makes
/// the other run short as well (`[Esary67]`).
pub fn need(
    plant: &Plant,
    stores: &Stores,
    stock: &Stock,
    passage: &Passage,
    planned: &[Wanted],
    goal: Goal,
    short: f64,
) -> Need {
    let allowed = short.clamp(SHORT.0, SHORT.1);
    let (uses, uncured) = uses(plant, stores, passage, planned);
    let (price_of, unpriced) = prices(stores, goal);
    let until = passage.departs + passage.days.ceil() as i64;
    let (pools, strangers) = pools(plant, stores, stock, until, planned, &uses, &price_of);
    let bundles = bundles(&pools, &uses, allowed);
    let classes: Vec<Vec<Level>> = bundles.iter().map(|bundle| class(&pools, bundle)).collect();
    let chosen = least(&classes, -(-allowed).ln_1p());
    let mut beside = vec![0.0; pools.len()];
    for (place, bundle) in bundles.iter().enumerate() {
        let last = bundle.levels.len() - 1;
        let (times, _) = bundle.levels[chosen.as_ref().map_or(last, |chosen| chosen.levels[place])];
        for (pool, each) in &bundle.pools {
            beside[*pool] = pools[*pool].taken(times, *each);
        }
    }
    let planned_price = pools.iter().fold(0.0, |sum, pool| sum + pool.packs(0.0) * pool.price);
    let lines: Vec<Line> = (0..pools.len()).map(|place| line(place, &pools, beside[place], &uses, &bundles)).collect();
    let short = |packs: &dyn Fn(usize) -> f64| {
        let there = |pool: usize| pools[pool].beside(packs(pool));
        let enough = |bundle: &Bundle| {
            let lasts = bundle.pools.iter().map(|(pool, each)| pools[*pool].lasts(there(*pool), *each));
            1.0 - bundle.demand.more_than(lasts.fold(f64::INFINITY, f64::min))
        };
        let planned = (0..pools.len()).all(|pool| there(pool) >= -SAME);
        if planned { 1.0 - bundles.iter().map(enough).product::<f64>() } else { 1.0 }
    };
    let (short_now, short_then) = (short(&|_| 0.0), short(&|pool| lines[pool].packs));
    Need {
        short_now,
        short_then,
        allowed,
        price: planned_price + chosen.as_ref().map_or(0.0, |chosen| chosen.price),
        at_least: planned_price + chosen.as_ref().map_or(0.0, |chosen| chosen.at_least),
        lines,
        unpriced,
        uncured,
        strangers,
    }
}

/// The levels of a bundle, by what they cost beyond what the planned work costs.
fn class(pools: &[Pool], bundle: &Bundle) -> Vec<Level> {
    let price = |times: f64| -> f64 {
        let of = |(pool, each): &(usize, f64)| {
            let pool = &pools[*pool];
            (pool.packs(pool.taken(times, *each)) - pool.packs(0.0)) * pool.price
        };
        bundle.pools.iter().map(of).sum()
    };
    let level = |(times, lack): &(f64, f64)| Level { price: price(*times), loss: -(-lack.min(SURE)).ln_1p() };
    bundle.levels.iter().map(level).collect()
}

fn line(place: usize, pools: &[Pool], beside: f64, uses: &[Use], bundles: &[Bundle]) -> Line {
    let pool = &pools[place];
    let packs = pool.packs(beside);
    let own = bundles.iter().find_map(|bundle| {
        let each = bundle.pools.iter().find(|(other, _)| *other == place)?.1;
        Some((&bundle.demand, each))
    });
    let short = |there: f64| match own {
        _ if there < -SAME => 1.0,
        Some((demand, each)) => demand.more_than(pool.lasts(there, each)),
        None => 0.0,
    };
    Line {
        items: pool.items.clone(),
        aboard: pool.aboard,
        going_off: pool.going_off,
        planned: pool.planned,
        tasks: pool.tasks.clone(),
        for_failures: beside,
        tool: pool.tool,
        failures: pool.uses.iter().fold(0.0, |sum, (at, _)| sum + uses[*at].count.mean),
        puts_right: pool.uses.iter().flat_map(|(at, _)| uses[*at].of.iter().copied()).collect(),
        packs,
        short_now: short(pool.beside(0.0)),
        short_then: short(pool.beside(packs)),
    }
}

/// Price of a pack of each item; what is not told is the middle of what is, and 1 where nothing is told: fewest packs.
fn prices(stores: &Stores, goal: Goal) -> (Vec<f64>, Vec<ItemId>) {
    let told = |id: ItemId| match goal {
        Goal::Weight => stores[id].weight,
        Goal::Cost => stores[id].cost,
        Goal::Volume => stores[id].volume,
    };
    let mut all: Vec<f64> = stores.ids().filter_map(told).collect();
    all.sort_by(f64::total_cmp);
    let middle = all.get(all.len() / 2).copied().unwrap_or(1.0);
    let unpriced = stores.ids().filter(|&id| told(id).is_none()).collect();
    (stores.ids().map(|id| told(id).unwrap_or(middle)).collect(), unpriced)
}

fn pools(
    plant: &Plant,
    stores: &Stores,
    stock: &Stock,
    until: i64,
    planned: &[Wanted],
    uses: &[Use],
    price_of: &[f64],
) -> (Vec<Pool>, Vec<Wanted>) {
    let mut pools: Vec<Pool> = Vec::new();
    let mut pool_of: Vec<usize> = Vec::new();
    for id in stores.ids() {
        let alike = |pool: &Pool| {
            pool.items
                .iter()
                .any(|&other| stores[other].counted == stores[id].counted && stores[other].serves_as(&stores[id]))
        };
        let place = pools.iter().position(alike).unwrap_or_else(|| {
            pools.push(Pool {
                items: Vec::new(),
                aboard: 0.0,
                going_off: 0.0,
                planned: 0.0,
                tasks: Vec::new(),
                price: f64::INFINITY,
                pack: stores[id].pack,
                tool: stores[id].tool,
                uses: Vec::new(),
            });
            pools.len() - 1
        });
        pool_of.push(place);
        let pool = &mut pools[place];
        let good = stock.good_on(id, until);
        pool.aboard += good;
        pool.going_off += stock.amount(id) - good;
        // What costs least for its size is what is bought.
        let (pack, price) = (stores[id].pack, price_of[id.0]);
        if price / pack < pool.price / pool.pack {
            (pool.price, pool.pack) = (price, pack);
            pool.items.insert(0, id);
        } else {
            pool.items.push(id);
        }
    }
    for (at, it) in uses.iter().enumerate() {
        for (id, amount) in &it.takes {
            let uses = &mut pools[pool_of[id.0]].uses;
            if !uses.iter().any(|(other, _)| *other == at) {
                uses.push((at, *amount));
            }
        }
    }
    let strangers = plan(plant, stores, planned, |item, task, amount| {
        let pool = &mut pools[pool_of[item.0]];
        // One tool serves all the work.
        pool.planned = if pool.tool { pool.planned.max(amount) } else { pool.planned + amount };
        pool.tasks.push((task.to_string(), amount));
    });
    (pools, strangers)
}

/// An item, by which name a task wants it, and how much.
type Planned<'a> = (ItemId, &'a str, f64);

/// What planned work uses, task by task: what a task names by itself and with a kit as well is used once. What it names and
/// nobody has described is handed back.
fn plan(plant: &Plant, stores: &Stores, planned: &[Wanted], mut uses: impl FnMut(ItemId, &str, f64)) -> Vec<Wanted> {
    let mut strangers = Vec::new();
    let mut tasks: Vec<(&str, Vec<Planned>)> = Vec::new();
    for wanted in planned {
        let Some(apart) = stores.taken_apart(plant, &wanted.told) else {
            strangers.push(wanted.clone());
            continue;
        };
        let place = tasks.iter().position(|(task, _)| *task == wanted.task).unwrap_or_else(|| {
            tasks.push((&wanted.task, Vec::new()));
            tasks.len() - 1
        });
        for (item, amount) in apart {
            let list = &mut tasks[place].1;
            match list.iter_mut().find(|(other, ..)| *other == item) {
                Some((_, by, sum)) if *by == wanted.told.item => *sum += amount,
                Some((.., most)) => *most = most.max(amount),
                None => list.push((item, &wanted.told.item, amount)),
            }
        }
    }
    for (task, list) in tasks {
        for (item, _, amount) in list {
            uses(item, task, amount);
        }
    }
    strangers
}

fn bundles(pools: &[Pool], uses: &[Use], short: f64) -> Vec<Bundle> {
    let mut bundles: Vec<Bundle> = Vec::new();
    let mut of: Vec<(Vec<usize>, usize)> = Vec::new();
    for (place, pool) in pools.iter().enumerate().filter(|(_, pool)| !pool.uses.is_empty()) {
        let chances = |at: &usize| uses[*at].count.chances();
        let key: Vec<usize> = pool.uses.iter().map(|(at, _)| *at).collect();
        if !pool.is_even() {
            let amounts = pool.uses.iter().map(|(at, amount)| Demand::each(&chances(at), *amount));
            let demand = amounts.fold(Demand::none(), |sum, one| sum.and(&one));
            bundles.push(Bundle { pools: vec![(place, 1.0)], levels: levels(&demand, short), demand });
        } else if let Some((_, bundle)) = of.iter().find(|(other, _)| *other == key) {
            bundles[*bundle].pools.push((place, pool.each()));
        } else {
            let demand = key.iter().fold(Demand::none(), |sum, at| sum.and(&Demand::each(&chances(at), 1.0)));
            of.push((key, bundles.len()));
            bundles.push(Bundle { pools: vec![(place, pool.each())], levels: levels(&demand, short), demand });
        }
    }
    bundles
}
