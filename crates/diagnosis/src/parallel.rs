//! The same work for many things at once, each thread with a model of its own.

use crate::explain::NoAnswer;
use model::steady::Model;
use plant::plant::Plant;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Does `work` for each item on every core, in any order; answers keep the items' order, and know nothing of which items a
/// thread had before.
pub(crate) fn in_parallel<T: Sync, R: Send>(
    plant: &Plant,
    items: &[T],
    work: impl Fn(&mut Model, &T) -> Option<R> + Sync,
) -> Result<Vec<Option<R>>, NoAnswer> {
    let next = AtomicUsize::new(0);
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(8);
    let mut answers: Vec<Option<R>> = items.iter().map(|_| None).collect();
    let done: Vec<Result<Vec<(usize, R)>, NoAnswer>> = std::thread::scope(|scope| {
        let handles: Vec<_> = (0..threads)
            .map(|_| {
                scope.spawn(|| {
                    let mut model = Model::new(plant).map_err(|_| NoAnswer::Unready)?;
                    model.patient = false;
                    let mut mine = Vec::new();
                    loop {
                        let k = next.fetch_add(1, Ordering::Relaxed);
                        let Some(item) = items.get(k) else { return Ok(mine) };
                        model.forget();
                        if let Some(answer) = work(&mut model, item) {
                            mine.push((k, answer));
                        }
                    }
                })
            })
            .collect();
        handles.into_iter().map(|h| h.join().unwrap_or(Err(NoAnswer::Unready))).collect()
    });
    for list in done {
        for (k, answer) in list? {
            answers[k] = Some(answer);
        }
    }
    Ok(answers)
}
