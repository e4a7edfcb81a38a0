//! `wires.toml`: where a vessel's buses are heard.

use crate::finding::{Finding, Problem};
use crate::names::folded;
use crate::plant::{GaugeId, Plant};
use crate::told::{Entry, document, entries, tables};
use measure::nearest::nearest;
use std::ops::Range;

/// A wire at which a bus, or something like it, is heard.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire<P> {
    /// How pages speak of it.
    pub name: String,
    /// Where it is heard.
    pub from: P,
    /// The gauges heard on it; all, where none are named.
    pub gauges: Vec<GaugeId>,
    /// Where each gauge has a topic of its own: gauge and topic.
    pub topics: Vec<(GaugeId, String)>,
}

/// Keys of one `[[wire]]`.
const KEYS: &[&str] = &["name", "from", "gauges", "topics"];
/// More wires than any vessel has.
const MOST: usize = 32;
/// Said of a place that is none.
const PLACES: &str = "Write tcp:HOST:PORT, udp:PORT, serial:PATH@SPEED, can:INTERFACE, mqtt:HOST:PORT, or the name of a recording for trying.";

/// Reads the wires of this plant; `place` reads what stands after `from`, or tells what it should look like.
///
/// Every mistake is found in one go. What comes back holds all that could be read; whether it may be used is for the
/// findings to say.
pub fn read<P>(text: &str, plant: &Plant, place: impl Fn(&str) -> Result<P, String>) -> (Vec<Wire<P>>, Vec<Finding>) {
    let document = match document(text) {
        Ok(document) => document,
        // Nothing but comments: no wire yet.
        Err(findings) if findings.iter().all(|f| f.problem == Problem::Empty) => return (Vec::new(), Vec::new()),
        Err(findings) => return (Vec::new(), findings),
    };
    let (mut wires, mut findings) = (Vec::<Wire<P>>::new(), Vec::new());
    for section in entries(document.as_table(), &mut findings) {
        if section.key != "wire" {
            findings.push(section.unknown("a file of wires", &["wire"]));
            continue;
        }
        for (told, at) in tables(&section, &mut findings) {
            let Some(wire) = one(plant, &told, &at, &place, &mut findings) else { continue };
            if wires.iter().any(|other| other.name == wire.name) {
                findings.push(Finding::at(Problem::Duplicate { what: format!("the wire `{}`", wire.name) }, at));
                continue;
            }
            wires.push(wire);
        }
    }
    if wires.len() > MOST {
        findings.push(Finding::whole(Problem::TooMany { what: "wires", limit: MOST }));
    }
    (wires, findings)
}

fn one<P>(
    plant: &Plant,
    told: &[Entry],
    at: &Range<usize>,
    place: &impl Fn(&str) -> Result<P, String>,
    findings: &mut Vec<Finding>,
) -> Option<Wire<P>> {
    let (mut name, mut from, mut gauges, mut topics) = (None, None, Vec::new(), Vec::new());
    for entry in told {
        match entry.key.as_str() {
            "name" => name = entry.text(findings).map(|text| text.trim().to_string()).filter(|text| !text.is_empty()),
            "from" => {
                let text = entry.text(findings)?;
                match place(text) {
                    Ok(place) => from = Some((text, place)),
                    Err(why) => {
                        let what = format!("`{text}` is no place where a bus is heard: {why}");
                        findings.push(Finding::at(Problem::Unfit { what, advice: PLACES }, entry.place.clone()));
                        return None;
                    }
                }
            }
            "gauges" => {
                let named = entry.list(findings).into_iter().filter_map(|(word, at)| gauge(plant, word, at, findings));
                gauges = named.collect();
            }
            "topics" => {
                for topic in entry.table(findings) {
                    let text = topic.text(findings).map(str::to_string);
                    let gauge = gauge(plant, &topic.key, topic.key_place.clone(), findings);
                    topics.extend(gauge.zip(text));
                }
            }
            _ => findings.push(entry.unknown("`[[wire]]`", KEYS)),
        }
    }
    let Some((text, from)) = from else {
        let example = "\"tcp:10.0.0.7:7001\"";
        findings.push(Finding::at(Problem::MissingKey { key: "from", of: "`[[wire]]`".into(), example }, at.clone()));
        return None;
    };
    Some(Wire { name: name.unwrap_or_else(|| text.to_string()), from, gauges, topics })
}

/// The gauge of that name; an alarm is none that is heard.
fn gauge(plant: &Plant, word: &str, at: Range<usize>, findings: &mut Vec<Finding>) -> Option<GaugeId> {
    let name = folded(word);
    let dials = || plant.gauge_ids().filter(|gauge| plant[*gauge].trips.is_none());
    let found = dials().find(|gauge| plant[*gauge].name == name);
    if found.is_none() {
        let nearest = nearest(&name, dials().map(|gauge| plant[gauge].name.as_str())).map(str::to_string);
        findings.push(Finding::at(Problem::UnknownGauge { name, nearest }, at));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::line_and_column;

    const VESSEL: &str = "[vessel]\nname = \"Small\"\n[engine.main]\nkind = \"diesel\"\nrated = { power = \"60 kW\", speed = \
                          \"1800 rpm\" }\n[circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \
                          \"elbow\"]\n[gauge.coolant]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n";

    fn place(text: &str) -> Result<String, String> {
        if text.starts_with("tcp:") { Ok(text.into()) } else { Err("write it as tcp:HOST:PORT".into()) }
    }

    fn small() -> Plant {
        crate::reader::read(VESSEL).0.expect("the small vessel loads")
    }

    #[test]
    fn wires_are_read_with_what_is_heard_on_them() {
        let text = "[[wire]]\nname = \"engine bus\"\nfrom = \"tcp:a:1\"\ngauges = [\"coolant\"]\n[[wire]]\nfrom = \
                    \"tcp:b:2\"\ntopics = { coolant = \"Boat/Coolant\" }\n";
        let (wires, findings) = read(text, &small(), place);
        assert!(findings.is_empty(), "{findings:?}");
        let told: Vec<_> = wires.iter().map(|w| (w.name.as_str(), w.from.as_str(), w.gauges.len())).collect();
        assert_eq!(told, [("engine bus", "tcp:a:1", 1), ("tcp:b:2", "tcp:b:2", 0)]);
        assert_eq!(wires[1].topics, [(GaugeId(0), "Boat/Coolant".to_string())], "topics keep their letters");
    }

    #[test]
    fn a_file_of_comments_has_no_wires() {
        assert_eq!(read("# nothing yet\n", &small(), place), (Vec::new(), Vec::new()));
    }

    #[test]
    fn every_mistake_is_told_at_its_place() {
        let text = "[[wire]]\nform = \"tcp:a:1\"\n[[wire]]\nfrom = \"usb\"\n[[wire]]\nfrom = \"tcp:a:1\"\ngauges = \
                    [\"coolnt\"]\n[[wire]]\nfrom = \"tcp:a:1\"\n[[wires]]\nfrom = 3\n";
        let (wires, findings) = read(text, &small(), place);
        let lines: Vec<usize> = findings.iter().map(|f| line_and_column(text, f.places[0].0.start).0).collect();
        // An unknown key, no place, a place that is none, a gauge that is none, a wire twice, a section that is none.
        assert_eq!((wires.len(), lines), (1, vec![2, 1, 4, 7, 8, 10]), "{findings:#?}");
        assert!(findings.iter().all(Finding::is_fatal));
        let near = Problem::UnknownGauge { name: "coolnt".into(), nearest: Some("coolant".into()) };
        assert!(findings.iter().any(|f| f.problem == near));
    }
}
