//! The chain of a gauge: the sender, ground, plug and supply that it names, which several gauges may have in common.
//!
//! Whoever is named and has no table of its own becomes a part by being named, as in a path.

use super::draft::{Draft, DraftPart};
use crate::finding::{Finding, Problem};
use crate::names::{self, folded};
use crate::plant::{Chain, GaugeId, PartId, Plant, Tap};
use crate::told::Entry;
use parts::catalogue;
use parts::kind::{Head, Kind, Sends};

/// Keys that name a member of the chain, and the ways of its sender and head.
pub(super) const KEYS: &[&str] = &["sender", "ground", "plug", "supply", "shares", "sender-resistance", "head"];

/// Which member a key names.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
enum Member {
    Sender,
    Ground,
    Plug,
    Supply,
    /// "shares": whichever of them the name is.
    Any,
}

const MEMBERS: &[(&str, Member)] = &[
    ("sender", Member::Sender),
    ("ground", Member::Ground),
    ("plug", Member::Plug),
    ("supply", Member::Supply),
    ("shares", Member::Any),
];

const RESISTANCES: &[(&str, Sends)] =
    &[("falling", Sends::Falling), ("240-33", Sends::Falling), ("rising", Sends::Rising), ("10-180", Sends::Rising)];
const HEADS: &[(&str, Head)] = &[
    ("bimetal", Head::Bimetal),
    ("crossed-coil", Head::CrossedCoil),
    ("electronic", Head::Electronic),
    ("mechanical", Head::Mechanical),
];

/// The kinds of sender, and what each sends.
const SENDERS: &[(&str, &[&str])] = &[
    ("temperature-sender", &["temperature"]),
    ("pressure-sender", &["pressure", "vacuum", "drop"]),
    ("level-sender", &["level"]),
    ("speed-pickup", &["speed"]),
];

/// What a member may be.
fn is(member: Member, kind: &Kind) -> bool {
    match member {
        Member::Sender => SENDERS.iter().any(|(sender, _)| *sender == kind.name),
        Member::Ground => matches!(kind.name, "ground" | "plug"),
        Member::Plug => kind.name == "plug",
        Member::Supply => kind.name == "instrument-supply",
        Member::Any => [Member::Sender, Member::Ground, Member::Supply].into_iter().any(|member| is(member, kind)),
    }
}

/// The kind that a member is where it has no table of its own.
fn kind(member: Member, reads: &str, alone: bool) -> Option<&'static Kind> {
    let sender =
        || SENDERS.iter().find(|(_, sends)| sends.contains(&reads)).and_then(|(kind, _)| catalogue::find(kind));
    match member {
        Member::Sender => sender(),
        Member::Ground => catalogue::find("ground"),
        Member::Supply => catalogue::find("instrument-supply"),
        // What gauges share that read one thing at one place is their sender.
        Member::Any if alone => sender().or_else(|| catalogue::find("plug")),
        Member::Plug | Member::Any => catalogue::find("plug"),
    }
}

/// Adds the members that gauges and alarms name and no table describes. What is wrong with them is found when the gauges
/// are read.
pub(super) fn members(draft: &mut Draft, sections: &[Entry]) {
    let gauges: Vec<Entry> = sections
        .iter()
        .filter(|section| matches!(section.key.as_str(), "gauge" | "alarm"))
        .flat_map(|section| section.table(&mut Vec::new()))
        .collect();
    let text = |gauge: &Entry, key: &str| {
        let told = gauge.table(&mut Vec::new());
        told.iter().find(|entry| entry.key == key).and_then(|entry| entry.value.as_str().map(folded))
    };
    for gauge in &gauges {
        let reads = text(gauge, "reads").unwrap_or_default();
        let looks = |gauge: &Entry| (text(gauge, "at"), text(gauge, "reads"));
        for (key, member) in MEMBERS {
            let Some(name) = text(gauge, key) else { continue };
            if name.is_empty() || draft.parts.iter().any(|part| part.name == name) {
                continue;
            }
            let mut sharing = gauges.iter().filter(|other| text(other, key).as_ref() == Some(&name));
            let Some(kind) = kind(*member, &reads, sharing.all(|other| looks(other) == looks(gauge))) else { continue };
            if draft.is_full(&gauge.key_place) {
                return;
            }
            draft.parts.push(DraftPart {
                serves: draft.engine_by_tail(&name).or_else(|| draft.engine_by_tail(&gauge.key)),
                name,
                kind,
                told: Vec::new(),
                place: gauge.key_place.clone(),
                assumed: false,
                declared: false,
            });
        }
    }
}

/// The chain of a gauge that looks at `tap`.
pub(super) fn chain(plant: &Plant, gauge: &Entry, told: &[Entry], tap: Tap, findings: &mut Vec<Finding>) -> Chain {
    let mut chain = Chain::default();
    for entry in told {
        if let Some((_, member)) = MEMBERS.iter().find(|(key, _)| *key == entry.key) {
            if let Some(part) = named(plant, gauge, entry, *member, findings) {
                let kind = plant[part].kind;
                let slot = if is(Member::Sender, kind) {
                    &mut chain.sender
                } else if is(Member::Supply, kind) {
                    &mut chain.supply
                } else if *member == Member::Ground || kind.name == "ground" {
                    &mut chain.ground
                } else {
                    &mut chain.plug
                };
                *slot = Some(part);
            }
        } else if entry.key == "sender-resistance" {
            chain.sends = entry.one_of(RESISTANCES, findings).unwrap_or_default();
        } else if entry.key == "head" {
            chain.head = entry.one_of(HEADS, findings).unwrap_or_default();
        }
    }
    let pulses = told.iter().any(|e| e.key == "reads" && matches!(e.value.as_str(), Some("speed" | "flow")));
    if pulses && !told.iter().any(|entry| entry.key == "head") {
        chain.head = Head::Electronic;
    }
    if let Some(sender) = chain.sender {
        sender_fits(plant, gauge, sender, tap, findings);
    }
    chain
}

fn named(plant: &Plant, gauge: &Entry, entry: &Entry, member: Member, findings: &mut Vec<Finding>) -> Option<PartId> {
    let name = folded(entry.text(findings)?);
    let wrong = |what: String, advice| Finding::at(Problem::Unfit { what, advice }, entry.place.clone());
    if name.is_empty() {
        let what = format!("`{}` of `{}` names nothing", entry.key, gauge.key);
        findings.push(wrong(what, "Write its name, or leave the line out."));
        return None;
    }
    let Some(part) = plant.part(&name) else {
        let what = format!("`{}` reads what no sender with a name of its own sends", gauge.key);
        findings.push(wrong(
            what,
            "Leave its sender out: a sender is shared by gauges of temperature, pressure, level or speed.",
        ));
        return None;
    };
    let kind = plant[part].kind;
    if !is(member, kind) {
        let what = format!("`{name}` ({}) cannot be the {} of `{}`", kind.title.to_lowercase(), entry.key, gauge.key);
        findings.push(wrong(what, "Name one of that sort; one without a table of its own needs none."));
        return None;
    }
    let reads =
        gauge.table(&mut Vec::new()).iter().find(|e| e.key == "reads").and_then(|e| e.value.as_str()).map(folded);
    let sends = SENDERS.iter().find(|(sender, _)| *sender == kind.name).map(|(_, sends)| *sends);
    if let (Some(reads), Some(sends)) = (reads, sends)
        && !sends.contains(&reads.as_str())
    {
        let what = format!("`{name}` ({}) cannot send `{}` a {reads}", kind.title.to_lowercase(), gauge.key);
        findings.push(wrong(what, "Name a sender of what the gauge reads."));
        return None;
    }
    Some(part)
}

/// One sender sends one thing: gauges on it look at the same.
fn sender_fits(plant: &Plant, gauge: &Entry, sender: PartId, tap: Tap, findings: &mut Vec<Finding>) {
    let mut wrong = |what: String, advice, first: Option<GaugeId>| {
        let finding = Finding::at(Problem::Unfit { what, advice }, gauge.key_place.clone());
        findings.push(match first {
            Some(first) => finding.and(plant[first].place.clone(), "the other is here"),
            None => finding,
        });
    };
    if let Tap::Unknown(part, _) = tap
        && plant[sender].kind.name == "speed-pickup"
        && !names::is_engine(plant[part].kind)
    {
        let what = format!("`{}` takes its signal from `{}`, which then is its sender", gauge.key, plant[part].name);
        wrong(what, "Leave the sender out, or read the speed of the engine.", None);
    }
    let other = plant.gauge_ids().find(|other| plant[*other].chain.sender == Some(sender) && plant[*other].tap != tap);
    if let Some(other) = other {
        let what = format!(
            "`{}` and `{}` read different things and cannot both be on the sender `{}`",
            plant[other].name, gauge.key, plant[sender].name
        );
        wrong(what, "Give each its own sender; a plug, ground or supply may be shared by all.", Some(other));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_member_that_may_be_named_is_a_kind() {
        for (_, member) in MEMBERS {
            for reads in ["temperature", "pressure", "level", "speed"] {
                for alone in [true, false] {
                    assert!(kind(*member, reads, alone).is_some_and(|kind| is(*member, kind)), "{member:?} {reads}");
                }
            }
        }
        assert!(SENDERS.iter().all(|(name, _)| catalogue::find(name).is_some()));
        assert!(kind(Member::Sender, "voltage", true).is_none());
    }
}
