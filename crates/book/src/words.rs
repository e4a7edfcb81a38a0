//! Names, places and values as a person would say them.

use crate::document::Span;
use model::expect::Band;
use plant::names::is_engine;
use plant::plant::{Gauge, GaugeId, PartId, Plant};
use watch::dial;
use watch::saying::key;
pub(crate) use watch::saying::{list, lower_first, sentence};
pub(crate) use watch::tale::note;

/// Sides that stand before what they tell apart: "port seacock".
const SIDES: [&str; 8] = ["port", "starboard", "forward", "aft", "centre", "upper", "lower", "generator"];

/// A part's name in running text: "port seacock" for `seacock-port`, "raw-water belt" as it is written.
pub fn name(plant: &Plant, part: PartId) -> String {
    let part = &plant[part];
    if is_engine(part.kind) {
        let engines = plant.engines().count();
        return match (engines, key(&part.name)) {
            (1, _) => "engine".into(),
            (_, name) if name.contains("engine") || name == "generator" => name,
            (_, name) => format!("{name} engine"),
        };
    }
    // What a name begins with is the thing, what follows tells which: belt-raw, strainer-port.
    let written = part.name.as_str();
    let known = std::iter::once(part.kind.name).chain(part.kind.called.iter().copied());
    let head = known.filter(|word| written.strip_prefix(word).is_some_and(|rest| rest.starts_with('-')));
    let head = head.max_by_key(|word| word.len());
    match head.and_then(|head| Some((head, written.strip_prefix(head)?.trim_start_matches('-')))) {
        Some((head, which)) if which.chars().all(|letter| letter.is_ascii_digit()) => format!("{} {which}", key(head)),
        Some((head, which)) => format!("{} {}", key(which), key(head)),
        None => side_first(written),
    }
}

/// The same, a side at its end put in front.
fn side_first(written: &str) -> String {
    match written.rsplit_once('-') {
        Some((thing, side)) if SIDES.contains(&side) => format!("{side} {}", key(thing)),
        _ => key(written),
    }
}

/// With its article.
pub fn the(plant: &Plant, part: PartId) -> String {
    format!("the {}", name(plant, part))
}

/// Several parts with their articles: "the port strainer and the pump".
pub fn the_all(plant: &Plant, parts: &[PartId]) -> String {
    list(&parts.iter().map(|part| the(plant, *part)).collect::<Vec<_>>())
}

/// A gauge's name in running text: "coolant at the helm".
pub fn gauge_name(gauge: &Gauge) -> String {
    match gauge.name.strip_suffix("-helm") {
        Some(what) => format!("{} at the helm", key(what)),
        None => side_first(&gauge.name),
    }
}

/// What links to a part use.
pub fn anchor(plant: &Plant, part: PartId) -> String {
    format!("part-{}", slug(&plant[part].name))
}

/// Letters and digits of a text, joined by hyphens: as an anchor and a file's name.
pub fn slug(text: &str) -> String {
    let plain = |letter: char| if letter.is_alphanumeric() { letter.to_ascii_lowercase() } else { '-' };
    let spaced: String = text.chars().map(plain).collect();
    spaced.split('-').filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-")
}

/// A part named in running text, leading to where it is told of.
pub fn linked(plant: &Plant, part: PartId) -> Span {
    Span::Link { text: the(plant, part), to: anchor(plant, part) }
}

/// Where a part is, as the owner wrote it: "in the port bilge" is left as it stands, so it is said in brackets.
pub fn place(plant: &Plant, part: PartId) -> Option<String> {
    note(plant, part, "where")
}

/// A part with its tag and where it is: "port seacock (V3; port bilge, under the second plate)".
pub fn found(plant: &Plant, part: PartId) -> String {
    let aside: Vec<String> = [note(plant, part, "tag"), place(plant, part)].into_iter().flatten().collect();
    if aside.is_empty() { name(plant, part) } else { format!("{} ({})", name(plant, part), aside.join("; ")) }
}

/// A band as it stands on the dial: "78 to 86 °C"; one number where both ends are it.
pub fn band(plant: &Plant, band: &Band) -> String {
    let gauge = &plant[band.gauge];
    let (low, high) = dial::band(gauge, band.low, band.high);
    let step = dial::step(high - low);
    let (low, high) = (minus(&dial::number(low, step)), minus(&dial::number(high, step)));
    let ends = if low == high { low } else { format!("{low} to {high}") };
    dial::with_unit(&ends, unit(gauge))
}

/// The same without its unit, for a table that names it in a column of its own.
pub fn band_alone(plant: &Plant, it: &Band) -> String {
    let gauge = &plant[it.gauge];
    let whole = band(plant, it);
    whole.strip_suffix(unit(gauge)).unwrap_or(&whole).trim_end().to_string()
}

/// The unit on a gauge's dial.
pub fn unit(gauge: &Gauge) -> &str {
    dial::unit(gauge)
}

/// A value [SI] that was told, as on the dial: "0.7 bar".
pub fn told(gauge: &Gauge, value: f64) -> String {
    dial::with_unit(&minus(&dial::as_told(dial::on_dial(gauge, value))), unit(gauge))
}

/// A true minus sign.
fn minus(number: &str) -> String {
    number.replacen('-', "−", 1)
}

/// "no valves", "one valve", "two valves", "14 valves".
pub fn count(number: usize, one: &str, many: &str) -> String {
    const WORDS: [&str; 13] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
    let said = WORDS.get(number).map_or_else(|| number.to_string(), |word| (*word).to_string());
    format!("{said} {}", if number == 1 { one } else { many })
}

/// "a" or "an" before a word.
pub fn a(word: &str) -> String {
    let vowel = word.starts_with(['a', 'e', 'i', 'o', 'A', 'E', 'I', 'O']) || word.starts_with("hour");
    format!("{} {word}", if vowel { "an" } else { "a" })
}

/// A sentence ends with one full stop.
pub fn stopped(text: &str) -> String {
    let text = text.trim();
    if text.ends_with(['.', '!', '?', '…']) || text.is_empty() { text.into() } else { format!("{text}.") }
}

/// Gauges that are read, without alarms.
pub fn read_gauges(plant: &Plant) -> impl Iterator<Item = GaugeId> + '_ {
    plant.gauge_ids().filter(|gauge| plant[*gauge].trips.is_none())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_articles_are_said() {
        assert_eq!(count(1, "valve", "valves"), "one valve");
        assert_eq!(count(0, "valve", "valves"), "no valves");
        assert_eq!(count(20, "valve", "valves"), "20 valves");
        assert_eq!(a("engine"), "an engine");
        assert_eq!(a("keel cooler"), "a keel cooler");
        assert_eq!(slug("Seacock (port) 2"), "seacock-port-2");
        assert_eq!(stopped("shut it"), "shut it.");
        assert_eq!(stopped("Is it open?"), "Is it open?");
    }

    #[test]
    fn names_are_said_as_people_say_them() {
        let text = include_str!("../../../vessels/marram/vessel.toml");
        let plant = plant::reader::read(text).0.expect("it loads");
        for (written, said) in [
            ("seacock-port", "port seacock"),
            ("strainer-starboard", "starboard strainer"),
            ("belt-raw", "raw belt"),
            ("raw-pump", "raw pump"),
            ("main", "engine"),
        ] {
            assert_eq!(name(&plant, plant.part(written).expect("it is there")), said);
        }
        let gauge = &plant[plant.gauge("oil-pressure-helm").expect("it is there")];
        assert_eq!(gauge_name(gauge), "oil pressure at the helm");
    }
}
