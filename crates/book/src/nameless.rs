//! What tells whose she is, taken out before anything is made of it: for showing an engine room to strangers.

use crate::facts::Asked;
use crate::procedures::Procedure;
use plant::plant::Plant;

/// Notes that tell one vessel from every other.
const TELLING: [&str; 2] = ["serial", "photo"];

/// The plant without its name, without serial numbers and photographs, and without her name or a position in any note.
pub fn plant(plant: &Plant) -> Plant {
    let mut out = plant.clone();
    out.name.clear();
    let notes = out.parts.iter_mut().map(|part| &mut part.notes);
    for notes in notes.chain(out.gauges.iter_mut().map(|gauge| &mut gauge.notes)) {
        notes.retain(|(key, _)| !TELLING.contains(&key.as_str()));
        for (_, text) in notes.iter_mut() {
            *text = without(text, &plant.name);
        }
    }
    out
}

/// The same of what is asked: her procedures, and what of her history is written in words.
pub fn asked(asked: &Asked, name: &str) -> Asked {
    let mut out = asked.clone();
    out.nameless = true;
    out.address = None;
    let clean = |procedure: &Procedure| Procedure { text: without(&procedure.text, name), ..procedure.clone() };
    out.procedures = asked.procedures.iter().map(clean).collect();
    for done in &mut out.history.done {
        done.who.clear();
        done.remarks = without(&done.remarks, name);
        done.what = without(&done.what, name);
    }
    out
}

/// A text without a name, and without what reads like a latitude or a longitude.
fn without(text: &str, name: &str) -> String {
    let lines = text.lines().map(|line| {
        let words = line.split(' ').filter(|word| !is_position(word));
        unnamed(&words.collect::<Vec<_>>().join(" "), name)
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// Degrees of north, south, east or west: "50°21.4'N".
fn is_position(word: &str) -> bool {
    let word = word.trim_matches(|letter: char| ",;.()".contains(letter));
    word.contains('°') && word.ends_with(['N', 'S', 'E', 'W'])
}

/// The name wherever it stands as a word of its own, in any letters.
fn unnamed(text: &str, name: &str) -> String {
    if name.is_empty() {
        return text.into();
    }
    let (low, wanted) = (text.to_lowercase(), name.to_lowercase());
    if low.len() != text.len() {
        // Letters that change their length: as it is written only.
        return text.replace(name, "she");
    }
    let (mut out, mut from) = (String::new(), 0);
    while let Some(at) = low[from..].find(&wanted).map(|at| from + at) {
        let end = at + wanted.len();
        let part = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
        let inside = part(low[..at].chars().next_back()) || part(low[end..].chars().next());
        out.push_str(&text[from..at]);
        out.push_str(if inside { &text[at..end] } else { "she" });
        from = end;
    }
    out + &text[from..]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_positions_go_and_the_rest_stays() {
        let said = without("Made for Marram at 50°21.4'N 4°08.1'W, opens at 77 °C; marram grass, Marrams.", "Marram");
        assert_eq!(said, "Made for she at opens at 77 °C; she grass, Marrams.");
        assert_eq!(without("Nothing here.", ""), "Nothing here.");
    }
}
