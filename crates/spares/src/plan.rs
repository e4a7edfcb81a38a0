//! What planned work uses, item by item.

use crate::item::{ItemId, Stores};
use crate::uses::Wanted;
use plant::plant::Plant;

/// An item, by which name a task wants it, and how much.
type Planned<'a> = (ItemId, &'a str, f64);

/// What planned work uses, task by task: what a task names by itself and with a kit as well is used once. What it names and
/// nobody has described is handed back.
pub(crate) fn plan(
    plant: &Plant,
    stores: &Stores,
    planned: &[Wanted],
    mut uses: impl FnMut(ItemId, &str, f64),
) -> Vec<Wanted> {
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
