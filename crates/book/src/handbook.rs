//! The handbook: all of it, in the order somebody new aboard would want it.

use crate::circuits;
use crate::document::{Block, Chapter, Document, Span};
use crate::facts::Facts;
use crate::make::{chapter, document, heading, joined, link, plain, say, text};
use crate::words::{self, a, list, name, sentence};
use crate::{emergencies, glossary, normal, rounds, running, survey, valves, watch_cards};
use measure::quantity::Quantity;
use measure::unit::print_usual;
use parts::kind::Circuit;
use plant::plant::PartId;

/// The whole of it.
pub fn handbook(facts: &Facts) -> Document {
    let mut chapters = vec![what_she_is(facts)];
    chapters.extend(normal::chapter_of(facts));
    chapters.extend(running::chapters(facts));
    let cards = chapter(
        "Emergencies",
        "emergencies",
        [
            vec![say("One card for each. Read them before you need them; there is no time then.")],
            emergencies::blocks(facts),
        ]
        .concat(),
    );
    chapters.push(cards);
    chapters.push(round(facts));
    chapters.push(chapter("The watch", "watch", watch_cards::blocks(facts)));
    chapters.push(circuits::engines(facts));
    chapters.extend(circuits::chapters(facts));
    chapters.extend(valves::valves(facts));
    chapters.extend(tags(facts));
    chapters.push(survey::record(facts));
    chapters.push(survey::history(facts));
    chapters.push(survey::yard(facts));
    let said: String = chapters.iter().map(words_of).collect();
    chapters.extend(glossary::of(&said));
    document(facts, "Handbook", "Her engine room, for whoever looks after it.", chapters)
}

/// The round as it is walked, in the book.
fn round(facts: &Facts) -> Chapter {
    let stops = rounds::stops(facts.plant);
    let line = |stop: &crate::kinds::Stop| {
        vec![crate::make::strong(stop.title()), text(format!(". {}", rounds::senses(facts, *stop)))]
    };
    chapter(
        "The round",
        "round",
        vec![
            say("Every hour in the first watch and in bad weather, every two hours otherwise, and every quarter of an hour after \
                 anything was worked on. Always the same way round, so that what has changed is seen. Readings go on the round sheet."),
            Block::Caution("Hands, hair and sleeves stay clear of belts, shaft and pulleys. Hot pipes look like cold ones. One hand for the rail.".into()),
            Block::List(stops.iter().map(line).collect()),
        ],
    )
}

/// The tags, each on its card.
fn tags(facts: &Facts) -> Option<Chapter> {
    let cards: Vec<Block> = valves::all(facts)
        .map(|valve| Block::Tag {
            title: sentence(&name(facts.plant, valve)),
            anchor: format!("tag-{}", words::slug(&facts.plant[valve].name)),
            blocks: valves::tag(facts, valve),
        })
        .collect();
    if cards.is_empty() {
        return None;
    }
    let says = if facts.asked.address.is_some() {
        "A tag for each, to be cut out and hung where the hand is. The code opens its page aboard."
    } else {
        "A tag for each, to be cut out and hung where the hand is."
    };
    Some(chapter("Valve tags", "tags", [vec![say(says)], cards].concat()))
}

/// What she is, in a page.
fn what_she_is(facts: &Facts) -> Chapter {
    let plant = facts.plant;
    let mut blocks = vec![say(engines(facts))];
    let notes = facts.engines.iter().filter_map(|engine| {
        let note = words::note(plant, *engine, "note")?;
        let whose =
            if facts.several() { format!("{}: ", sentence(&words::the(plant, *engine))) } else { String::new() };
        Some(words::stopped(&format!("{whose}{}", if facts.several() { words::lower_first(&note) } else { note })))
    });
    let mut notes: Vec<String> = notes.collect();
    notes.dedup();
    if !notes.is_empty() {
        blocks.push(say(notes.join(" ")));
    }
    blocks.push(say(cooling(facts)));
    let first = link(if facts.several() { "the engines" } else { "the engine" }, "engine");
    let circuits = circuits::present(plant)
        .into_iter()
        .map(|circuit| link(words::lower_first(circuit.title()), circuits::anchor(circuit)));
    let circuits: Vec<Span> = std::iter::once(first).chain(circuits).collect();
    let mut spans = vec![text("This book goes through her part by part: ")];
    spans.extend(joined(circuits));
    spans.push(text(". Before that it tells how she is "));
    spans.extend(joined(vec![link("started", "start"), link("stopped", "stop")]));
    spans.push(text(" and what to do when something goes "));
    spans.push(link("wrong", "emergencies"));
    spans.push(text("."));
    blocks.push(Block::Paragraph(spans));
    let assumed = plant.parts.iter().filter(|part| part.assumed).count();
    if assumed > 0 {
        let (are, of) = if assumed == 1 { ("one more is", "it") } else { ("are", "each") };
        let more = if assumed == 1 { String::new() } else { format!("{} more ", words::count(assumed, "", "").trim()) };
        blocks.push(say(format!(
            "The description names {} of what is in this book; {more}{are} taken to be there, as on any vessel of her sort, and it is \
             said of {of}.",
            words::count(plant.parts.len() - assumed, "part", "parts"),
        )));
    }
    blocks.push(heading("How to read it", "how-to-read"));
    blocks.push(say(
        "Names are those on the drawing. In brackets stands where a thing is, and how it stands if it can be turned. What \
         should be read on a gauge is given as a band, because no two days are alike.",
    ));
    let title =
        if facts.vessel().is_empty() { "What she is".to_string() } else { format!("What {} is", facts.vessel()) };
    chapter(&title, "vessel", blocks)
}

/// Her engines in a sentence or two.
fn engines(facts: &Facts) -> String {
    let plant = facts.plant;
    let figure = |engine: PartId, name: &str| {
        let place = plant[engine].kind.parameters.iter().position(|parameter| parameter.name == name)?;
        plant[engine].figures.get(place).map(|figure| figure.value)
    };
    let each: Vec<String> = facts
        .engines
        .iter()
        .map(|engine| {
            let power = figure(*engine, "rated_power")
                .map_or_else(String::new, |power| format!(" of {}", print_usual(power, Quantity::Power)));
            let speed = figure(*engine, "rated_speed")
                .map_or_else(String::new, |speed| format!(" at {}", watch::place::speed(speed)));
            let cylinders = figure(*engine, "cylinders").filter(|_| !plant[*engine].assumed);
            let cylinders = cylinders.map_or_else(String::new, |count| {
                format!(", with {}", words::count(count as usize, "cylinder", "cylinders"))
            });
            let it = if facts.several() { words::the(plant, *engine) } else { "one diesel engine".into() };
            format!("{it}{power}{speed}{cylinders}")
        })
        .collect();
    if facts.several() {
        let she = facts.she();
        format!("{she} has {}: {}.", words::count(each.len(), "engine", "engines"), each.join("; "))
    } else {
        format!("{} is driven by {}.", facts.she(), list(&each))
    }
}

/// How she is cooled, in a few sentences.
fn cooling(facts: &Facts) -> String {
    use crate::kinds::Role;
    let plant = facts.plant;
    let hull = facts.cast(Role::HullCooler);
    let mut said = Vec::new();
    if facts.has_raw_water() {
        let inlets = facts.seacocks();
        let by =
            if inlets.is_empty() { String::new() } else { format!(" by way of {}", words::the_all(plant, &inlets)) };
        said.push(format!("Sea water comes in{by} and carries her heat away."));
    }
    if !hull.is_empty() {
        let kind = words::lower_first(plant[hull[0]].kind.title);
        let inboard = if facts.has_raw_water() { "" } else { ", so that no sea water comes inboard to cool her" };
        said.push(format!("Her coolant gives its heat to the sea through {}{inboard}.", a(&kind)));
    }
    if facts.has(Role::DryStack) {
        said.push("Her exhaust is dry: it goes up and out hot, with no water in it.".into());
    } else if facts.has(Role::Injection) {
        said.push(
            "Her exhaust is wet: the used sea water is sprayed into it, and cools what would otherwise burn the hose."
                .into(),
        );
    }
    if facts.has(Role::HandStart) {
        said.push("She can be started by hand.".into());
    } else if facts.has(Role::AirStart) {
        said.push("She is started with air.".into());
    }
    if facts.has(Role::Pitch) {
        said.push("Her propeller's blades turn: how hard the engine works is a matter of pitch and of speed.".into());
    }
    if said.is_empty() && facts.carries(Circuit::FreshWater) {
        said.push("Coolant carries her heat away.".into());
    }
    said.join(" ")
}

/// Everything that is written in a chapter.
pub(crate) fn words_of(chapter: &Chapter) -> String {
    let mut out = format!("{}\n", chapter.title);
    chapter.blocks.iter().for_each(|block| read(block, &mut out));
    out
}

fn read(block: &Block, out: &mut String) {
    let mut line = |words: &str| {
        out.push_str(words);
        out.push('\n');
    };
    match block {
        Block::Heading { text, .. } | Block::Caution(text) | Block::Lines { text, .. } | Block::Code { text, .. } => {
            line(text);
        }
        Block::Paragraph(spans) => line(&plain(spans)),
        Block::Steps(steps) => {
            for step in steps {
                step.caution.iter().for_each(|caution| line(caution));
                line(&plain(&step.text));
            }
        }
        Block::List(items) => items.iter().for_each(|item| line(&plain(item))),
        Block::Table(table) => {
            line(&table.caption);
            line(&table.head.join(" | "));
            for row in &table.rows {
                line(&row.iter().map(|cell| plain(cell)).collect::<Vec<_>>().join(" | "));
            }
        }
        Block::Drawing { caption, .. } => line(caption),
        Block::Card { title, blocks, .. } | Block::Tag { title, blocks, .. } => {
            line(title);
            for block in blocks {
                read(block, out);
            }
        }
    }
}

/// Everything that is written in a document, as plain text: to be searched, or read aloud.
pub fn text_of(document: &Document) -> String {
    document.chapters.iter().map(words_of).collect()
}
