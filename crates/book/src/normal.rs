//! What is normal: what every gauge should read at four loads, and how to take it.

use crate::document::{Block, Chapter, Span};
use crate::facts::Facts;
use crate::make::{chapter, heading, say, strong, table, text};
use crate::words::{self, gauge_name, list, sentence};
use measure::quantity::Quantity;
use parts::kind::{Circuit, When};
use plant::plant::{GaugeId, Tap};
use watch::place::circuit_of;

/// The chapter.
pub(crate) fn chapter_of(facts: &Facts) -> Option<Chapter> {
    let plant = facts.plant;
    words::read_gauges(plant).next()?;
    let loads: Vec<String> =
        facts.normals.iter().map(|n| format!("{} means {}", n.name, n.words.trim_start_matches("at "))).collect();
    let mut blocks = vec![
        say(format!(
            "A gauge is right when it reads what it should at this speed and this load, not when it is somewhere in the \
             green. Here {}. Let her settle for a quarter of an hour before you compare.",
            list(&loads)
        )),
        say(
            "The bands hold for any sea that is neither icy nor tropical, because the book cannot know today's. On the \
             pages of the program they are narrower, for there sea and speed are known.",
        ),
    ];
    blocks.extend(in_words(facts));
    for normal in &facts.normals {
        if let Err(why) = &normal.expected {
            blocks.push(say(format!("There is no settled state {}: {}", normal.words, words::stopped(why))));
        } else if normal.unsteady() {
            blocks.push(Block::Caution(format!(
                "{} she does not hold: by this description her coolant would come to boil in time. Do not stay there.",
                sentence(&normal.words)
            )));
        }
    }
    blocks.push(Block::Table(bands(facts)));
    blocks.extend(alarms(facts));
    Some(chapter("What is normal", "normal", blocks))
}

/// The few readings that everyone should know by heart.
fn in_words(facts: &Facts) -> Vec<Block> {
    let plant = facts.plant;
    let wanted = [
        (Circuit::FreshWater, Quantity::Temperature),
        (Circuit::Oil, Quantity::GaugePressure),
        (Circuit::Exhaust, Quantity::Temperature),
    ];
    let Some(cruise) = facts.normal("cruise") else { return Vec::new() };
    let first = |(circuit, quantity): &(Circuit, Quantity)| {
        let gauge = words::read_gauges(plant)
            .find(|gauge| plant[*gauge].quantity == *quantity && circuit_of(plant, *gauge) == *circuit)?;
        let band = cruise.band(gauge)?;
        Some(format!("{} {}", gauge_name(&plant[gauge]), words::band(plant, band)))
    };
    let said: Vec<String> = wanted.iter().filter_map(first).collect();
    if said.is_empty() {
        return Vec::new();
    }
    vec![Block::Paragraph(vec![
        text(format!("Know these by heart. At cruise, {}: ", cruise.words.trim_start_matches("at "))),
        strong(list(&said)),
        text("."),
    ])]
}

/// A row for each gauge, circuit by circuit.
fn bands(facts: &Facts) -> crate::document::Table {
    let plant = facts.plant;
    let mut head = vec!["Circuit", "Gauge"];
    let titles: Vec<String> = facts.normals.iter().map(|normal| sentence(normal.name)).collect();
    head.extend(titles.iter().map(String::as_str));
    let mut widths = vec![1.5, 2.2];
    widths.extend(facts.normals.iter().map(|_| 1.7));
    let mut rows = Vec::new();
    // What is outside stands first, then circuit by circuit.
    let outside = |gauge: GaugeId| matches!(plant[gauge].tap, Tap::Sea | Tap::Air);
    let groups = std::iter::once(None).chain(Circuit::ALL.into_iter().map(Some));
    for group in groups {
        let mut title = Some(group.map_or("Outside", Circuit::title));
        let within = |gauge: &GaugeId| match group {
            None => outside(*gauge),
            Some(circuit) => !outside(*gauge) && circuit_of(plant, *gauge) == circuit,
        };
        for gauge in words::read_gauges(plant).filter(within) {
            let mut row = vec![title.take().unwrap_or("").to_string(), sentence(&gauge_name(&plant[gauge]))];
            row.extend(
                facts
                    .normals
                    .iter()
                    .map(|normal| normal.band(gauge).map_or_else(|| "–".into(), |band| words::band(plant, band))),
            );
            rows.push(row);
        }
    }
    let mut it = table(&head, &widths, rows);
    it.caption = "What each gauge should read; 95 of 100 sound engine rooms like this one lie between.".into();
    it
}

/// What speaks by itself, and where.
fn alarms(facts: &Facts) -> Vec<Block> {
    let plant = facts.plant;
    let line = |gauge: GaugeId| -> Option<Vec<Span>> {
        let it = &plant[gauge];
        let (trip, when) = it.trips?;
        let side = if when == When::High { "above" } else { "below" };
        Some(vec![text(format!("{} speaks {side} {}.", sentence(&gauge_name(it)), words::told(it, trip)))])
    };
    let lines: Vec<Vec<Span>> = plant.gauge_ids().filter_map(line).collect();
    if lines.is_empty() {
        return Vec::new();
    }
    vec![
        heading("What speaks by itself", "alarm-points"),
        say(
            "An alarm comes late: it speaks when harm is near. A gauge that has begun to move says the same much sooner.",
        ),
        Block::List(lines),
    ]
}
