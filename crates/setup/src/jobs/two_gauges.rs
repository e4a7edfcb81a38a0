//! Two gauges that do not agree: which of them lies, by how much, and how sure that is.

mod asks;
mod shown;
mod weighed;

use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::{Kept, Worked};
use asks::Family;
use measure::quantity::Quantity::{self, Ratio};
use weighed::{Gauges, Side, Weighed};

pub const JOB: Job = Job {
    word: "two-gauges",
    title: "Which of two gauges lies",
    about: "Which of two gauges of the same thing lies, by how much and how surely, and the correction to write down.",
    group: Group::Judge,
    kinds: &[],
    task: None,
    asks: asks::ASKS,
    work,
};

fn work(given: &Given) -> Result<Worked, Refused> {
    let (family, others) = Family::told(given)?;
    let gauges = Gauges::read(given, family)?;
    let weighed = gauges.weighed()?;
    let mut worked = Worked { says: shown::says(&gauges, &weighed), ..Worked::default() };
    for side in Side::BOTH {
        results(&mut worked, &gauges, &weighed, side);
    }
    if gauges.swapped() {
        let (place, doubt) = (weighed.at[4], weighed.sigma([0.0, 0.0, 0.0, 0.0, 1.0]));
        tell(&mut worked, "place", "The first place has more than the second by", place, doubt, &gauges);
    }
    shown::flags(&mut worked, &gauges, &weighed);
    if others {
        worked.flags.push(format!("Readings of {} alone were compared; the others told are left out.", family.word));
    }
    shown::tables(&mut worked, given, &gauges, &weighed);
    shown::steps(&mut worked, &gauges, &weighed);
    shown::working(&mut worked, &gauges, &weighed);
    worked.sketch = Some(shown::sketch(&gauges, &weighed));
    for point in &gauges.known {
        let name = format!("{} at {}", gauges.name(point.side), point.says);
        let (quantity, unit) = (gauges.family.quantity, gauges.family.unit);
        worked.kept.push(Kept { name, found: Some(point.shows), left: None, quantity, unit });
    }
    for (place, pair) in gauges.pairs.iter().enumerate() {
        for (side, shows) in [(Side::A, pair.a), (Side::B, pair.b)] {
            let swapped = if pair.swapped { " swapped" } else { "" };
            let name = format!("{} reading {}{swapped}", gauges.name(side), place + 1);
            let (quantity, unit) = (gauges.family.quantity, gauges.family.unit);
            worked.kept.push(Kept { name, found: Some(shows), left: None, quantity, unit });
        }
    }
    Ok(worked)
}

/// How far off one of them is, and its scale.
fn results(worked: &mut Worked, gauges: &Gauges, weighed: &Weighed, side: Side) {
    if !gauges.has(side) {
        return;
    }
    let name = gauges.name(side);
    let letter = side.letter();
    let (off, doubt) = weighed.off(side, gauges.middle, gauges.middle);
    let at = measure::unit::print(gauges.middle, gauges.family.quantity, gauges.family.unit).unwrap_or_default();
    tell(worked, &format!("{letter}-offset"), &format!("{name} shows too much by, at {at}"), off, doubt, gauges);
    let (scale, doubt) = weighed.scale(side);
    // A scale that no reading tells stays out.
    if gauges.spread() {
        worked.result(format!("{letter}-factor"), format!("{name} shows of each unit"), 1.0 + scale, Ratio, "");
        if let Some(last) = worked.results.last_mut() {
            last.doubt = Some(doubt);
        }
    }
    worked.result(
        format!("{letter}-lies"),
        format!("Chance that {name} lies"),
        (weighed.lies(side) * 100.0).round() / 100.0,
        Ratio,
        "%",
    );
}

fn tell(worked: &mut Worked, key: &str, says: &str, value: f64, doubt: f64, gauges: &Gauges) {
    let change: Quantity = gauges.family.quantity.difference();
    worked.result(key, says, value, change, gauges.family.change_unit);
    if let Some(last) = worked.results.last_mut() {
        last.doubt = Some(doubt);
    }
}
