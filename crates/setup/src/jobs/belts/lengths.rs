//! Where the tensioner goes for a length of belt, and the lengths that are made.

use super::layout::Layout;
use super::mm;
use crate::given::Given;
use crate::job::Refused;
use crate::worked::{Table, Worked};
use measure::quantity::Quantity::Length;
use std::f64::consts::PI;

/// The preferred numbers R 40 in one decade. Source: [ISO3], from memory; held to the tenth power they round.
pub const R40: [f64; 40] = [
    1.0, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0, 2.12, 2.24, 2.36, 2.5, 2.65, 2.8, 3.0, 3.15,
    3.35, 3.55, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0, 5.3, 5.6, 6.0, 6.3, 6.7, 7.1, 7.5, 8.0, 8.5, 9.0, 9.5,
];
/// How far and how finely the tensioner is moved in search [m].
const STEP: f64 = 10e-3;
const FAR: f64 = 0.4;

pub fn answer(given: &Given, layout: &Layout, worked: &mut Worked) -> Result<(), Refused> {
    let length = layout.round.length;
    if let Some(wanted) = given.maybe("belt-length") {
        match moved(layout, wanted) {
            Some(moves) => {
                worked.result("tensioner-move", tensioner_says(layout), moves, Length, "mm");
                let way = if moves < 0.0 { "back" } else { "on" };
                worked.say(format!(
                    "For a belt of {} {} moves {} {way}.",
                    mm(wanted),
                    layout.tensioner.map_or("", |(which, _)| &layout.names[which]),
                    mm(moves.abs())
                ));
            }
            None if layout.tensioner.is_none() => {
                return Err(Refused::of(
                    "tensioner",
                    "which pulley is moved is not told",
                    "Tell its number in the order.",
                ));
            }
            None => {
                let why = format!("with {} the tensioner finds no place within {} either way", mm(wanted), mm(FAR));
                return Err(Refused::of(
                    "belt-length",
                    why,
                    "Look at the length: it is the pitch length, and the drive as told has ".to_string()
                        + &mm(length)
                        + ".",
                ));
            }
        }
    }
    let pitch = given.maybe("tooth-pitch");
    let made: Vec<(f64, String)> = match (given.word("belt-kind"), pitch) {
        ("toothed", Some(pitch)) => {
            teeth(layout, pitch, worked);
            let teeth = (length / pitch).floor();
            (-1..=2)
                .map(|step| teeth + f64::from(step))
                .map(|teeth| (teeth * pitch, format!("{teeth:.0} teeth")))
                .collect()
        }
        ("toothed", None) => {
            worked.flags.push("Tell tooth-pitch for the lengths that are made.".into());
            return Ok(());
        }
        ("vee" | "ribbed", _) => preferred(length).into_iter().map(|length| (length, String::new())).collect(),
        _ => return Ok(()),
    };
    let rows = made.iter().map(|(made, name)| {
        let moves = moved(layout, *made).map_or_else(|| "-".into(), |moves| format!("{:+.1} mm", moves * 1e3));
        vec![format!("{:.0} mm", made * 1e3), name.clone(), format!("{:+.0} mm", (made - length) * 1e3), moves]
    });
    worked.tables.push(Table {
        title: match given.word("belt-kind") {
            "toothed" => "Lengths of whole teeth".into(),
            _ => "Preferred lengths about this one ([ISO3], R 40); makers have others between".into(),
        },
        heads: ["length", "", "longer by", "tensioner moves"].map(String::from).to_vec(),
        rows: rows.collect(),
    });
    Ok(())
}

fn tensioner_says(layout: &Layout) -> String {
    let name = layout.tensioner.map_or("", |(which, _)| &layout.names[which]);
    format!("{name} moves for that belt, the way that tightens (minus: back)")
}

/// How far the tensioner moves for a length [m]: by tangents from where it stands, and where those lead astray by looking.
fn moved(layout: &Layout, wanted: f64) -> Option<f64> {
    let mut at = 0.0;
    for _ in 0..12 {
        let Some((length, grows)) = layout.length_with(at) else { break };
        let step = (wanted - length) / grows;
        if !step.is_finite() || (at + step).abs() > FAR {
            break;
        }
        at += step;
        if step.abs() < 1e-8 {
            return Some(at);
        }
    }
    let both = [1.0, -1.0].map(|way| looked_for(layout, wanted, way));
    both.into_iter().flatten().min_by(|a, b| a.abs().total_cmp(&b.abs()))
}

/// The same, step by step one way.
fn looked_for(layout: &Layout, wanted: f64, way: f64) -> Option<f64> {
    let off = |moved: f64| layout.length_with(moved).map(|(length, _)| length - wanted);
    let mut last = (0.0, off(0.0)?);
    for step in 1..=(FAR / STEP) as usize {
        let at = way * STEP * step as f64;
        let here = off(at)?;
        if (here > 0.0) != (last.1 > 0.0) {
            let (mut a, mut b) = (last.0, at);
            for _ in 0..40 {
                let middle = f64::midpoint(a, b);
                if (off(middle)? > 0.0) == (last.1 > 0.0) { a = middle } else { b = middle }
            }
            return Some(f64::midpoint(a, b));
        }
        last = (at, here);
    }
    None
}

/// The two preferred lengths under and the two over one [m].
fn preferred(length: f64) -> Vec<f64> {
    let decade = 10f64.powf(length.log10().floor());
    let mut all: Vec<f64> = [0.1, 1.0, 10.0].iter().flat_map(|by| R40.map(|number| number * decade * by)).collect();
    all.sort_by(f64::total_cmp);
    let over = all.iter().position(|one| *one >= length).unwrap_or(all.len() - 2);
    all[over.saturating_sub(2)..(over + 2).min(all.len())].to_vec()
}

/// Pulleys of a toothed belt have whole teeth.
fn teeth(layout: &Layout, pitch: f64, worked: &mut Worked) {
    for (pulley, name) in layout.pulleys.iter().zip(&layout.names).filter(|(pulley, _)| !pulley.outside) {
        let teeth = 2.0 * PI * pulley.radius / pitch;
        if (teeth - teeth.round()).abs() > 0.2 {
            worked.flags.push(format!(
                "{name} would have {teeth:.1} teeth: look at its pitch diameter, which is teeth · pitch / π and stands outside the teeth."
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{R40, preferred};

    #[test]
    fn preferred_numbers_round_the_powers_they_stand_for() {
        for (place, number) in R40.iter().enumerate() {
            let power = 10f64.powf(place as f64 / 40.0);
            assert!((number / power - 1.0).abs() < 0.013, "{number} {power}");
        }
        assert!(R40.windows(2).all(|two| two[0] < two[1]));
    }

    #[test]
    fn two_under_and_two_over() {
        let near: Vec<i64> = preferred(0.982).iter().map(|length| (length * 1e3).round() as i64).collect();
        assert_eq!(near, [900, 950, 1000, 1060]);
    }
}
