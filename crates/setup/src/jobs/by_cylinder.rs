//! What jobs that read every cylinder share: the middle of the others, numbers in words, and bars side by side.

use crate::chart::Chart;
use crate::job::Refused;
use crate::sketch::{Hold, Look, Sketch};

/// Most cylinders.
pub const MOST: usize = 24;

/// So many readings are one for each cylinder of an engine.
pub fn fit_for(key: &'static str, count: usize) -> Result<(), Refused> {
    match count {
        1 => Err(Refused::of(key, "one cylinder alone has none to be compared with", "Tell all of them, in order.")),
        count if count > MOST => {
            let why = format!("{count} cylinders are too many");
            Err(Refused::of(key, why, format!("At most {MOST}, one value for each, in order.")))
        }
        _ => Ok(()),
    }
}

/// Two lists of one engine are as long as each other.
pub fn as_many(key: &'static str, count: usize, cylinders: usize) -> Result<(), Refused> {
    if count == 0 || count == cylinders {
        return Ok(());
    }
    let why = format!("there are {count} of them for {cylinders} cylinders");
    Err(Refused::of(key, why, "Tell one for each cylinder, in the same order."))
}

/// The middle one of some values; not a number of none.
pub fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    match sorted.len() {
        0 => f64::NAN,
        count if count % 2 == 1 => sorted[count / 2],
        count => f64::midpoint(sorted[count / 2 - 1], sorted[count / 2]),
    }
}

/// How far sound values scatter, whatever a few bad ones do: 1.4826 times the median distance from the median.
///
/// # Source
/// The median absolute deviation, as it is for a normal distribution; from memory.
pub fn scatter(values: &[f64]) -> f64 {
    let middle = median(values);
    1.4826 * median(&values.iter().map(|value| (value - middle).abs()).collect::<Vec<_>>())
}

/// "3", "2 and 3", "1, 2 and 5".
pub fn together(cylinders: &[usize]) -> String {
    let each: Vec<String> = cylinders.iter().map(ToString::to_string).collect();
    match each.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => each.concat(),
    }
}

/// "Injector 3 is", "Injectors 1 and 3 are".
pub fn named(what: &str, numbers: &[usize]) -> String {
    let what: String = what.chars().take(1).flat_map(char::to_uppercase).chain(what.chars().skip(1)).collect();
    let (plural, is) = if numbers.len() > 1 { ("s", "are") } else { ("", "is") };
    format!("{what}{plural} {} {is}", together(numbers))
}

/// One bar of a cylinder; the marked ones are those that are off.
#[derive(Copy, Clone, Debug)]
pub struct Bar {
    pub height: f64,
    pub marked: bool,
    /// A second value of it, drawn beside.
    pub beside: Option<f64>,
}

/// Bars by cylinder from the ground up, with limits across, each with its name. Heights in the unit named.
pub fn bars(title: &str, says: &str, each: &[Bar], limits: &[(f64, Look, &str)]) -> Sketch {
    let count = each.len() as f64;
    let heights = each.iter().flat_map(|bar| [Some(bar.height), bar.beside]).flatten();
    let all: Vec<f64> = heights.chain(limits.iter().map(|limit| limit.0)).collect();
    let top = all.iter().copied().fold(0.0, f64::max);
    let low = all.iter().copied().fold(0.0, f64::min);
    let room = 0.08 * (top - low).max(1e-9);
    let mut chart = Chart::new(title, (0.0, count), (if low < 0.0 { low - room } else { 0.0 }, top + room));
    chart.upright(says);
    chart.line(Look::Firm, &[(0.0, 0.0), (count, 0.0)]);
    for (place, bar) in each.iter().enumerate() {
        let left = place as f64;
        let look = if bar.marked { Look::Marked } else { Look::Face };
        let right = if bar.beside.is_some() { 0.52 } else { 0.8 };
        chart.bar(look, (left + 0.2, left + right), bar.height);
        if let Some(beside) = bar.beside {
            chart.bar(Look::Thin, (left + 0.54, left + 0.86), beside);
        }
        chart.under(left + 0.5, &(place + 1).to_string());
    }
    chart.under_all("cylinder");
    // Names of limits stand one above the other where the limits lie close.
    let mut taken: Vec<f64> = Vec::new();
    let mut limits = limits.to_vec();
    limits.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (height, look, name) in &limits {
        let (_, y) = chart.at(0.0, *height);
        let mut at = y;
        while taken.iter().any(|other| (other - at).abs() < 3.6) {
            at += 0.4;
        }
        taken.push(at);
        chart.line(*look, &[(0.0, *height), (count, *height)]);
        let (x, _) = chart.at(count, 0.0);
        chart.sketch.letters((x + 1.0, at - 0.8), Hold::Start, *name);
    }
    chart.sketch
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_bad_value_moves_neither_middle_nor_scatter() {
        assert_eq!(median(&[3.0, 1.0, 2.0]), 2.0);
        assert_eq!(median(&[4.0, 1.0, 2.0, 3.0]), 2.5);
        assert!(median(&[]).is_nan());
        assert_eq!(scatter(&[1.0, 2.0, 3.0, 4.0, 100.0]), 1.4826);
        assert_eq!(named("cylinder", &[1, 2]), "Cylinders 1 and 2 are");
        assert_eq!([together(&[3]), together(&[1, 2, 5])], ["3", "1, 2 and 5"]);
    }
}
