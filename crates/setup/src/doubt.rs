//! How uncertain results are, from how uncertain each measurement is.

use crate::given::Given;
use crate::job::{Job, Refused};
use crate::worked::Worked;

/// Share of a value below which a move is rounding [1].
const ROUNDING: f64 = 1e-9;

/// Works a job, and works it again with every uncertain measurement moved up and down by its standard uncertainty: the moves
/// of each result, squared and summed, are the square of its own.
///
/// Measurements are taken to err independently; a result that bends within the moves is told by its mean slope there. Where
/// moving one way is refused (past an end), the other way counts alone.
///
/// # Source
/// The law of propagation of uncertainty in its numerical form, [GUM2008] 5.1.2 and 5.1.3 note 2.
///
/// # Errors
/// [`Refused`] where what was told cannot be.
pub fn work(job: &Job, given: &Given) -> Result<Worked, Refused> {
    let mut worked = (job.work)(given)?;
    let mut squares = vec![0.0; worked.results.len()];
    for (key, place, sigma) in given.uncertain() {
        let moved = [sigma, -sigma].map(|by| (job.work)(&given.moved(key, place, by)).ok());
        for (result, square) in worked.results.iter().zip(&mut squares) {
            let value = |moved: &Option<Worked>| moved.as_ref().and_then(|moved| moved.value(&result.key));
            let change = match moved.each_ref().map(value) {
                [Some(up), Some(down)] => (up - down) / 2.0,
                [Some(one), None] | [None, Some(one)] => one - result.value,
                [None, None] => 0.0,
            };
            *square += change * change;
        }
    }
    for (result, square) in worked.results.iter_mut().zip(squares) {
        // What a job told of itself (the scatter of a fit) stands beside what the measurements bring.
        let own = result.doubt.unwrap_or(0.0);
        let all = (square + own * own).sqrt();
        // What is left of a value that does not move is rounding, and no doubt.
        result.doubt = (all > ROUNDING * result.value.abs() && all.is_finite()).then_some(all);
    }
    Ok(worked)
}
