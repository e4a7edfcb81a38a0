//! Where every valve is, what it does, which way its handle lies; and tags to hang on them.

use crate::circuits::handle;
use crate::document::{Block, Chapter, Document, Span};
use crate::facts::Facts;
use crate::make::{chapter, document, say, table, text};
use crate::words::{self, list, name, note, sentence, slug, the};
use parts::kind::Handled;
use plant::plant::{PartId, Plant, Terminal};
use watch::tale::stuff;

/// Everything set by hand, in walking order.
pub(crate) fn all<'a>(facts: &'a Facts) -> impl Iterator<Item = PartId> + 'a {
    facts.walk.iter().copied().filter(|part| facts.plant.opening_of(*part).is_some())
}

/// Does the sea stand at it, with nothing between that shuts: a seacock?
pub(crate) fn is_seacock(plant: &Plant, part: PartId) -> bool {
    if plant[part].kind.handled_as() != Handled::Valve {
        return false;
    }
    let beside = |end: Terminal| {
        let sea = |of: PartId| {
            let flows = plant[of].flows.iter().flatten().map(|flow| &plant.flows[flow.0]);
            flows.into_iter().any(|flow| {
                let outside = flow.from == Terminal::Sea || flow.to == Terminal::Sea;
                outside && (flow.from == end || flow.to == end)
            })
        };
        (0..plant.parts.len()).map(PartId).any(|of| of != part && sea(of))
    };
    let own = plant[part].flows.iter().flatten().map(|flow| &plant.flows[flow.0]);
    own.into_iter().any(|flow| {
        let ends = [flow.from, flow.to];
        ends.contains(&Terminal::Sea) || ends.iter().any(|end| matches!(end, Terminal::Node(_)) && beside(*end))
    })
}

/// What shutting it does: what is behind it and gets nothing then.
pub(crate) fn does(plant: &Plant, valve: PartId) -> String {
    let Some(flow) = plant[valve].flows.iter().flatten().next().map(|flow| &plant.flows[flow.0]) else {
        return match plant[valve].kind.handled_as() {
            Handled::Clutch => "couples what the engine drives by it".into(),
            _ => "is set by hand".into(),
        };
    };
    let what = stuff(flow.circuit);
    let next: Vec<PartId> = plant
        .flows
        .iter()
        .filter(|other| other.part != valve && (other.from == flow.to) && matches!(flow.to, Terminal::Node(_)))
        .map(|other| other.part)
        .collect();
    let before: Vec<PartId> = plant
        .flows
        .iter()
        .filter(|other| other.part != valve && other.to == flow.from && matches!(flow.from, Terminal::Node(_)))
        .map(|other| other.part)
        .collect();
    match (before.first(), next.first()) {
        (Some(from), Some(to)) => format!("lets {what} from {} to {}", the(plant, *from), the(plant, *to)),
        (None, Some(to)) => format!("lets {what} to {}", the(plant, *to)),
        (Some(from), None) => format!("lets {what} out of {}", the(plant, *from)),
        (None, None) => format!("shuts off the {what}"),
    }
}

/// The chapter: a table of all of them.
pub(crate) fn valves(facts: &Facts) -> Option<Chapter> {
    let plant = facts.plant;
    let rows: Vec<Vec<Vec<Span>>> = all(facts).map(|valve| row(plant, valve)).collect();
    if rows.is_empty() {
        return None;
    }
    let seacocks: Vec<PartId> = all(facts).filter(|valve| is_seacock(plant, *valve)).collect();
    let mut blocks = vec![say(format!(
        "There {} {} that a hand sets, in the order of the round. Whoever turns one says so and writes it down; the next \
         watch is told of every one that does not stand as it stands here.",
        if rows.len() == 1 { "is" } else { "are" },
        words::count(rows.len(), "valve, switch or clutch", "valves, switches and clutches"),
    ))];
    if !seacocks.is_empty() {
        let them: Vec<String> = seacocks.iter().map(|valve| words::found(plant, *valve)).collect();
        let (are, know) = if seacocks.len() == 1 { ("is the", "it") } else { ("are the", "them") };
        blocks.push(say(format!(
            "The sea stands at {}: {}. These {are} {} to shut when water comes in; know {know} with your eyes closed.",
            words::count(seacocks.len(), "valve", "valves"),
            list(&them),
            if seacocks.len() == 1 { "one" } else { "ones" },
        )));
    }
    let mut it =
        table(&["Valve", "Where", "What it does", "How it stands", "Its handle"], &[1.6, 2.0, 2.6, 1.0, 2.2], vec![]);
    it.rows = rows;
    blocks.push(Block::Table(it));
    Some(chapter("Where every valve is", "valves", blocks))
}

fn row(plant: &Plant, valve: PartId) -> Vec<Vec<Span>> {
    let tag = note(plant, valve, "tag").map_or(String::new(), |tag| format!(" ({tag})"));
    let stands = plant.opening(valve).map_or(String::new(), |share| plant[valve].kind.stands(share));
    vec![
        vec![Span::Link { text: sentence(&name(plant, valve)), to: words::anchor(plant, valve) }, text(tag)],
        vec![text(words::place(plant, valve).unwrap_or_else(|| "not told".into()))],
        vec![text(sentence(&does(plant, valve)))],
        vec![text(sentence(&stands))],
        vec![text(note(plant, valve, "handle").unwrap_or_else(|| "not told".into()))],
    ]
}

/// A tag for each valve, to be cut out and hung on it.
pub fn tags(facts: &Facts) -> Document {
    let plant = facts.plant;
    let tags = all(facts).map(|valve| Block::Tag {
        title: sentence(&name(plant, valve)),
        anchor: format!("tag-{}", slug(&plant[valve].name)),
        blocks: tag(facts, valve),
    });
    let blocks = tags.collect();
    let chapters = vec![Chapter { title: String::new(), anchor: "tags".into(), new_sheet: false, blocks }];
    document(facts, "Valve tags", "One for each valve; hang it where the hand is.", chapters)
}

/// What is on a tag.
pub(crate) fn tag(facts: &Facts, valve: PartId) -> Vec<Block> {
    let plant = facts.plant;
    let tag = note(plant, valve, "tag").map(|tag| format!("{tag}. "));
    let mut blocks = vec![say(format!("{}It {}.", tag.unwrap_or_default(), does(plant, valve)))];
    let place = words::place(plant, valve).map(|place| format!("It is here: {}", words::stopped(&place)));
    let stands = plant.opening(valve).map(|share| format!("It usually stands {}.", plant[valve].kind.stands(share)));
    let said: Vec<String> = [place, handle(plant, valve), stands].into_iter().flatten().collect();
    blocks.push(say(said.join(" ")));
    if is_seacock(plant, valve) {
        let when = if plant.is_shut(valve) {
            "It stands by: open it only to change over"
        } else {
            "Open it before she is started"
        };
        blocks.push(Block::Caution(format!(
            "The sea stands at it. {when}, and shut it before anything behind it is opened."
        )));
    }
    if let Some(address) = &facts.asked.address {
        let content = format!("{}/plant?part={}", address.trim_end_matches('/'), encoded(&plant[valve].name));
        blocks.push(Block::Code { content, text: "Opens its page aboard.".into() });
    }
    blocks
}

/// A name as it stands in an address.
fn encoded(name: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    name.bytes().map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") }).collect()
}

/// The valves of a stop that stand otherwise than open, for the watch.
pub(crate) fn not_open(facts: &Facts) -> Vec<PartId> {
    all(facts).filter(|valve| facts.plant.is_shut(*valve)).collect()
}
