//! What every kind of part must hold, walked over the whole catalogue.

use parts::catalogue::{self, KINDS};
use parts::kind::{Beyond, Kind, Of, Place, Probe, Typical, Whose};
use parts::rates;
use std::collections::BTreeSet;

/// Everything that is wrong, at once; empty when all is well.
#[track_caller]
fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

/// Keys that SOURCES.md explains.
fn known_sources() -> BTreeSet<String> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../SOURCES.md");
    let text = std::fs::read_to_string(path).expect("SOURCES.md is part of the project");
    let keys = text.lines().filter_map(|line| line.strip_prefix("- **[")?.split_once("]**"));
    keys.map(|(key, _)| key.to_string()).collect()
}

/// Whether a source says where a figure comes from.
fn founded(source: &str, known: &BTreeSet<String>) -> bool {
    let cited = source.split('[').skip(1).filter_map(|rest| rest.split_once(']')).map(|(key, _)| key);
    let mut cited = cited.peekable();
    if cited.peek().is_some() {
        return cited.all(|key| known.contains(key));
    }
    source.contains("common practice, no source") || source.contains("from memory")
}

fn parameter(kind: &Kind, name: &str) -> bool {
    kind.parameters.iter().any(|p| p.name == name)
}

/// A kind and one of its causes, from "kind/cause" or from a cause's name alone.
fn cause<'a>(own: &'a Kind, name: &'a str) -> Option<(&'static str, &'a str)> {
    let (kind, name) = match name.split_once('/') {
        Some((kind, name)) => (catalogue::find(kind)?, name),
        None => (own, name),
    };
    kind.causes.iter().any(|c| c.name == name).then_some((kind.name, name))
}

#[test]
fn every_wall_keeps_apart_what_is_there() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        let way = |name: &str| kind.passages.iter().any(|passage| passage.name == name);
        for wall in kind.walls {
            let beyond = if let Beyond::Way(name) = wall.beyond { way(name) && name != wall.inside } else { true };
            let causes = wall.causes.iter().all(|name| kind.causes.iter().any(|cause| cause.name == *name));
            if !(way(wall.inside) && beyond && causes) {
                wrong.push(format!("{}: {wall:?}", kind.name));
            }
        }
        // Two liquids in one part meet at a wall.
        let pair = |a: &str, b: &str| {
            kind.walls.iter().any(|wall| {
                let ends = [wall.inside, if let Beyond::Way(name) = wall.beyond { name } else { "" }];
                ends.contains(&a) && ends.contains(&b)
            })
        };
        // In an engine all of them meet at the cylinders and below the bearings.
        let engine = kind.walls.iter().any(|wall| wall.beyond == Beyond::Cylinder);
        for (k, a) in kind.passages.iter().enumerate() {
            for b in &kind.passages[k + 1..] {
                let apart = !a.carries.iter().any(|circuit| b.carries.contains(circuit));
                if apart && !engine && !pair(a.name, b.name) {
                    wrong.push(format!("{}: nothing is said to keep {} from {}", kind.name, a.name, b.name));
                }
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_typical_value_lies_in_its_range() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        for p in kind.parameters {
            let (low, high) = p.range;
            // For the reference engine, and for the smallest and the largest of the vessels meant.
            for (power, speed) in [(60e3, 188.5), (15e3, 314.0), (300e3, 105.0)] {
                let typical = p.typical.of(power, speed);
                if !(low <= typical && typical <= high) {
                    wrong.push(format!("{}.{}: {typical} is outside {low} to {high}", kind.name, p.name));
                }
            }
        }
    }
    none(&wrong);
}

#[test]
fn a_typical_value_is_its_own_at_the_reference_rating() {
    let typical = Typical { value: 3.0, power: 0.7, speed: -1.0, in_coolant: 1.0, of_swept: 0.0, volts: 0.0 };
    assert!((typical.of(parts::kind::REFERENCE_POWER, parts::kind::REFERENCE_SPEED) - 3.0).abs() < 1e-12);
}

#[test]
fn every_figure_says_where_it_comes_from() {
    let known = known_sources();
    assert!(known.contains("Trade"), "no key was read from SOURCES.md");
    let mut wrong = Vec::new();
    for kind in KINDS {
        let parameters = kind.parameters.iter().map(|p| (p.name, p.source));
        let words = kind.words.iter().map(|w| (w.name, w.source));
        let limits = kind.limits.iter().map(|l| ("limit", l.source));
        for (name, source) in parameters.chain(words).chain(limits) {
            if !founded(source, &known) {
                wrong.push(format!("{}.{name}: {source:?}", kind.name));
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_cause_has_a_rate_and_shows_somehow() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        for c in kind.causes {
            let name = format!("{}/{}", kind.name, c.name);
            if rates::rate(c.rate).is_none() {
                wrong.push(format!("{name}: no rate {:?}", c.rate));
            }
            if c.moves.is_empty() && c.says.is_empty() && c.misreads.is_none() {
                wrong.push(format!("{name}: moves nothing, says nothing, misreads nothing"));
            }
            if c.title.is_empty() || c.remedy.is_empty() {
                wrong.push(format!("{name}: no title or no remedy"));
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_rate_and_power_is_a_number() {
    let mut wrong = Vec::new();
    for rate in rates::RATES {
        let [low, middle, high] = rate.per_1000_h;
        let sound = 0.0 <= low && low <= middle && middle <= high && middle > 0.0 && rate.use_factor > 0.0;
        if !sound || !high.is_finite() || !rate.use_factor.is_finite() {
            wrong.push(format!("rate {}: {rate:?}", rate.key));
        }
    }
    for power in rates::POWERS {
        if !((0.0..1.0).contains(&power.miss) && (0.0..1.0).contains(&power.false_find)) {
            wrong.push(format!("power {}: {power:?}", power.key));
        }
    }
    none(&wrong);
}

#[test]
fn every_move_names_a_parameter() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        for (c, m) in kind.causes.iter().flat_map(|c| c.moves.iter().map(move |m| (c, m))) {
            let kinds: Vec<&str> = match m.on {
                Whose::Own => vec![kind.name],
                Whose::Kind(other) | Whose::Flooded(other) => vec![other],
                Whose::Downstream(others) => others.to_vec(),
            };
            for other in kinds {
                match catalogue::find(other) {
                    None => wrong.push(format!("{}/{}: no kind {other:?}", kind.name, c.name)),
                    Some(found) if !parameter(found, m.parameter) => {
                        wrong.push(format!("{}/{}: {other} has no {:?}", kind.name, c.name, m.parameter));
                    }
                    Some(_) => {}
                }
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_word_a_cause_says_exists() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        for (c, s) in kind.causes.iter().flat_map(|c| c.says.iter().map(move |s| (c, s))) {
            let of = if s.kind.is_empty() { Some(*kind) } else { catalogue::find(s.kind) };
            if !of.is_some_and(|of| of.words.iter().any(|w| w.name == s.word)) {
                wrong.push(format!("{}/{}: no word {:?} of {:?}", kind.name, c.name, s.word, s.kind));
            }
            if !(s.chance > 0.0 && s.chance < 1.0) {
                wrong.push(format!("{}/{}: chance of {:?} is {}", kind.name, c.name, s.word, s.chance));
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_word_is_said_of_something() {
    let said: BTreeSet<(&str, &str)> = KINDS
        .iter()
        .flat_map(|kind| {
            kind.causes
                .iter()
                .flat_map(|c| c.says)
                .map(|s| (if s.kind.is_empty() { kind.name } else { s.kind }, s.word))
        })
        .collect();
    let mut wrong = Vec::new();
    for kind in KINDS {
        for w in kind.words {
            if w.of == Of::Cause && !said.contains(&(kind.name, w.name)) {
                wrong.push(format!("{}: nothing says {:?}", kind.name, w.name));
            }
            if w.false_said < 0.0 || w.miss < 0.0 || w.false_said + w.miss >= 1.0 {
                wrong.push(format!(
                    "{}: {:?} is said falsely {} and missed {}",
                    kind.name, w.name, w.false_said, w.miss
                ));
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_probe_is_there() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        let words = kind.words.iter().filter_map(|w| match w.of {
            Of::Value { probe, spread, .. }
            | Of::Found { probe, spread, .. }
            | Of::About { probe, spread, .. }
            | Of::Share { probe, spread, .. }
            | Of::Change { probe, spread, .. } => Some((w.name, probe, spread)),
            Of::Cause | Of::Danger | Of::Trip => None,
        });
        let limits = kind.limits.iter().map(|l| ("limit", l.probe, 1.0));
        for (name, probe, spread) in words.chain(limits) {
            let there = match probe {
                Probe::Unknown(u) => u < kind.unknowns.len(),
                Probe::Flow(k)
                | Probe::InletTemperature(k)
                | Probe::OutletTemperature(k)
                | Probe::Rise(k)
                | Probe::InletPressure(k)
                | Probe::OutletPressure(k)
                | Probe::Drop(k)
                | Probe::BoilingMargin(k) => k < kind.passages.len(),
            };
            if !there || spread <= 0.0 {
                wrong.push(format!("{}.{name}: {probe:?}, spread {spread}", kind.name));
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_check_takes_time_warns_and_finds() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        for check in kind.checks {
            let name = format!("{}.{}", kind.name, check.name);
            if check.minutes <= 0.0 || check.caution.is_empty() || check.finds.is_empty() || check.title.is_empty() {
                wrong.push(format!("{name}: no minutes, no caution, no title or no finds"));
            }
            for find in check.finds {
                if cause(kind, find.cause).is_none() {
                    wrong.push(format!("{name}: no cause {:?}", find.cause));
                }
                if rates::power(find.power).is_none() {
                    wrong.push(format!("{name}: no power {:?}", find.power));
                }
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_cause_is_found_by_a_check() {
    let found: BTreeSet<(&str, &str)> = KINDS
        .iter()
        .flat_map(|kind| kind.checks.iter().flat_map(|check| check.finds).filter_map(|find| cause(kind, find.cause)))
        .collect();
    let causes = KINDS.iter().flat_map(|kind| kind.causes.iter().map(|c| (kind.name, c.name)));
    let wrong: Vec<String> = causes
        .filter(|name| !found.contains(name))
        .map(|(kind, name)| format!("{kind}/{name}: no check finds it"))
        .collect();
    none(&wrong);
}

#[test]
fn every_limit_says_what_to_do() {
    let limits = KINDS.iter().flat_map(|kind| kind.limits.iter().map(|limit| (kind.name, limit)));
    let wrong: Vec<String> =
        limits.filter(|(_, limit)| limit.act.is_empty()).map(|(name, limit)| format!("{name}: {limit:?}")).collect();
    none(&wrong);
}

/// Names that cannot be told apart, hyphens, underscores and spaces being alike to an owner.
fn twins<'a>(what: &str, names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut seen = BTreeSet::new();
    names
        .filter(|name| !seen.insert(name.replace(['_', ' '], "-")))
        .map(|name| format!("{what}: {name} twice"))
        .collect()
}

#[test]
fn names_can_be_told_apart() {
    let mut wrong = twins("kinds", KINDS.iter().map(|kind| kind.name));
    for kind in KINDS {
        let what = |list: &str| format!("{} of {}", list, kind.name);
        wrong.extend(twins(&what("parameters"), kind.parameters.iter().map(|p| p.name)));
        wrong.extend(twins(&what("unknowns"), kind.unknowns.iter().map(|u| u.name)));
        wrong.extend(twins(&what("passages"), kind.passages.iter().map(|p| p.name)));
        wrong.extend(twins(&what("causes"), kind.causes.iter().map(|c| c.name)));
        wrong.extend(twins(&what("words"), kind.words.iter().map(|w| w.name)));
        wrong.extend(twins(&what("checks"), kind.checks.iter().map(|c| c.name)));
    }
    wrong.extend(twins("rates", rates::RATES.iter().map(|rate| rate.key)));
    wrong.extend(twins("powers", rates::POWERS.iter().map(|power| power.key)));
    none(&wrong);
}

#[test]
fn another_word_for_a_kind_is_no_kind() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        wrong.extend(twins(kind.name, kind.called.iter().copied()));
        wrong.extend(
            kind.called.iter().filter(|word| catalogue::find(word).is_some()).map(|word| format!("{word} is a kind")),
        );
    }
    none(&wrong);
}

#[test]
fn a_variant_has_the_words_of_what_it_is_a_sort_of() {
    let words = |kind: &Kind| kind.words.iter().map(|word| word.name).collect::<BTreeSet<_>>();
    let variants: Vec<_> = KINDS.iter().filter_map(|kind| Some((kind, catalogue::find(kind.variant_of?)))).collect();
    assert!(!variants.is_empty());
    for (kind, of) in variants {
        let of = of.unwrap_or_else(|| panic!("{}: {:?} is no kind", kind.name, kind.variant_of));
        assert!(words(kind).is_superset(&words(of)), "{} lacks words of {}", kind.name, of.name);
    }
}

#[test]
fn every_place_is_one_it_has_a_way_for() {
    let carries = |kind: &Kind, circuit| kind.passages.iter().any(|passage| passage.carries.contains(&circuit));
    let mut wrong = Vec::new();
    for kind in KINDS {
        for place in kind.places {
            let fits = match *place {
                Place::Along { circuit, .. } => carries(kind, circuit),
                Place::Beside { circuit, passage, .. } => {
                    kind.passages.iter().any(|it| it.name == passage && it.carries.contains(&circuit))
                }
            };
            if !fits {
                wrong.push(format!("{}: {place:?}", kind.name));
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_margin_asks_and_says_what_to_change() {
    let known = known_sources();
    let mut wrong = Vec::new();
    for kind in KINDS {
        for margin in kind.margins {
            let bounded = margin.least < margin.most && (margin.least.is_finite() || margin.most.is_finite());
            if !margin.asks.ends_with('?') || margin.remedy.is_empty() || !bounded || !founded(margin.source, &known) {
                wrong.push(format!("{}: {}", kind.name, margin.name));
            }
        }
        wrong.extend(twins(kind.name, kind.margins.iter().map(|margin| margin.name)));
    }
    none(&wrong);
}

#[test]
fn no_kind_outgrows_what_its_laws_can_hold() {
    use parts::laws::{LINKS, PASSAGES, UNKNOWNS};
    for kind in KINDS {
        assert!(
            kind.passages.len() <= PASSAGES && kind.unknowns.len() <= UNKNOWNS && kind.links.len() <= LINKS,
            "{}",
            kind.name
        );
    }
}
