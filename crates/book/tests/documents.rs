//! Every document of every vessel: all of her is in it, nothing leads nowhere, it reads as prose, and what it says is so.

use book::document::{Block, Document, Span};
use book::facts::{Asked, Facts};
use book::handbook::{handbook, text_of};
use book::procedures::Procedure;
use book::words;
use book::{emergencies, html, nameless, rounds, tour, valves, watch_cards};
use measure::unit::convert_to;
use plant::plant::{PartId, Plant};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use watch::saying::sentence;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn read(path: &str) -> Plant {
    let text = std::fs::read_to_string(root().join(path)).expect("it is part of the project");
    let filled = [("@name@", "Layout"), ("@power@", "40 kW"), ("@speed@", "2400 rpm"), ("@boat-speed@", "6.5 kn")];
    let text = filled.iter().fold(text, |text, (mark, value)| text.replace(mark, value));
    plant::reader::read(&text).0.unwrap_or_else(|| panic!("{path} loads"))
}

fn marram() -> Plant {
    read("vessels/marram/vessel.toml")
}

fn asked() -> Asked {
    Asked { date: "1 May 2026".into(), address: Some("http://10.0.0.5:8461".into()), ..Asked::default() }
}

/// Everything that must hold of every vessel, on documents that are made once.
fn all_holds(vessel: &str) {
    let plant = read(vessel);
    let asked = asked();
    let facts = Facts::of(&plant, &asked).unwrap_or_else(|why| panic!("{vessel}: {why}"));
    let all = [
        handbook(&facts),
        rounds::sheet(&facts),
        emergencies::cards(&facts),
        watch_cards::cards(&facts),
        valves::tags(&facts),
        tour::tour(&facts),
    ];
    for document in &all {
        every_part_and_every_valve_is_there(vessel, &facts, document);
        no_link_leads_nowhere_and_no_anchor_stands_twice(vessel, document);
        it_reads_as_somebody_wrote_it(vessel, document);
        pages_are_well_formed_and_need_nothing_from_elsewhere(vessel, document);
    }
    every_valve_is_in_the_list_with_its_place(vessel, &facts, &all[0]);
    the_round_reads_every_gauge_once_in_walking_order(vessel, &facts, &all[1]);
    tour_numbers_stand_once_each_and_apart(vessel, &all[5]);
}

macro_rules! holds {
    ($($name:ident: $path:literal,)*) => {
        $(#[test]
        fn $name() {
            all_holds($path);
        })*
    };
}

holds! {
    all_holds_of_marram: "vessels/marram/vessel.toml",
    all_holds_of_orache: "vessels/orache/vessel.toml",
    all_holds_of_thrift: "vessels/thrift/vessel.toml",
    all_holds_of_eelgrass: "vessels/eelgrass/vessel.toml",
    all_holds_of_glasswort: "vessels/glasswort/vessel.toml",
    all_holds_of_samphire: "vessels/samphire/vessel.toml",
    all_holds_of_reference: "vessels/reference/vessel.toml",
    all_holds_of_ten_lines: "vessels/first-ten-lines/vessel.toml",
    all_holds_of_the_keel_cooled_layout: "crates/bedplate/layouts/keel-cooled.toml",
    all_holds_of_the_sailing_layout: "crates/bedplate/layouts/sailing.toml",
    all_holds_of_the_twin_layout: "crates/bedplate/layouts/twin-engines.toml",
    all_holds_of_the_wet_layout: "crates/bedplate/layouts/wet-exhaust.toml",
}

fn blocks(document: &Document) -> Vec<&Block> {
    fn deep<'a>(block: &'a Block, out: &mut Vec<&'a Block>) {
        out.push(block);
        if let Block::Card { blocks, .. } | Block::Tag { blocks, .. } = block {
            for block in blocks {
                deep(block, out);
            }
        }
    }
    let mut out = Vec::new();
    document.chapters.iter().flat_map(|chapter| &chapter.blocks).for_each(|block| deep(block, &mut out));
    out
}

fn links(document: &Document) -> Vec<String> {
    let of = |spans: &[Span]| {
        let to = |span: &Span| if let Span::Link { to, .. } = span { Some(to.clone()) } else { None };
        spans.iter().filter_map(to).collect::<Vec<_>>()
    };
    let within = |block: &&Block| match block {
        Block::Paragraph(spans) => of(spans),
        Block::Steps(steps) => steps.iter().flat_map(|step| of(&step.text)).collect(),
        Block::List(items) => items.iter().flat_map(|item| of(item)).collect(),
        Block::Table(table) => table.rows.iter().flatten().flat_map(|cell| of(cell)).collect(),
        _ => Vec::new(),
    };
    blocks(document).iter().flat_map(within).collect()
}

fn every_part_and_every_valve_is_there(vessel: &str, facts: &Facts, document: &Document) {
    let whole = matches!(document.title.as_str(), "Handbook" | "Tour");
    let anchors: BTreeSet<String> = html::anchors(document).into_iter().map(|(anchor, _)| anchor).collect();
    for part in (0..facts.plant.parts.len()).map(PartId).filter(|_| whole) {
        let anchor = words::anchor(facts.plant, part);
        assert!(anchors.contains(&anchor), "{vessel}, {}: {anchor} is not told of", document.title);
    }
    if matches!(document.title.as_str(), "Valve tags" | "Handbook") {
        for valve in facts.plant.valves() {
            let anchor = format!("tag-{}", words::slug(&facts.plant[valve].name));
            assert!(anchors.contains(&anchor), "{vessel}, {}: no {anchor}", document.title);
        }
    }
}

fn every_valve_is_in_the_list_with_its_place(vessel: &str, facts: &Facts, book: &Document) {
    let plant = facts.plant;
    let Some(chapter) = book.chapters.iter().find(|chapter| chapter.anchor == "valves") else {
        assert_eq!(plant.valves().count(), 0, "{vessel} has valves and no list of them");
        return;
    };
    let table = chapter.blocks.iter().find_map(|block| if let Block::Table(it) = block { Some(it) } else { None });
    let rows: Vec<String> = table.expect("a table").rows.iter().map(|row| format!("{row:?}")).collect();
    assert_eq!(rows.len(), plant.valves().count());
    for valve in plant.valves() {
        let name = sentence(&words::name(plant, valve));
        let row = rows.iter().find(|row| row.contains(&format!("\"{name}\""))).expect("a row of its own");
        if let Some(place) = words::place(plant, valve) {
            assert!(row.contains(&place), "{vessel}: {name} is {place}: {row}");
        }
    }
}

fn no_link_leads_nowhere_and_no_anchor_stands_twice(vessel: &str, document: &Document) {
    let all = html::anchors(document);
    let anchors: BTreeSet<&String> = all.iter().map(|(anchor, _)| anchor).collect();
    assert_eq!(anchors.len(), all.len(), "{vessel}, {}: an anchor stands twice", document.title);
    if !matches!(document.title.as_str(), "Handbook" | "Tour") {
        return;
    }
    for to in links(document) {
        assert!(anchors.contains(&to), "{vessel}, {}: {to} leads nowhere", document.title);
    }
}

/// Words of the code that never reach a page.
const INNER: [&str; 9] =
    ["posterior", "prior", "likelihood", "bits", "residual", "identifiability", "hypothesis", "parameter", "NaN"];

fn it_reads_as_somebody_wrote_it(vessel: &str, document: &Document) {
    for line in text_of(document).lines().flat_map(|line| line.split(" | ")).map(|cell| cell.trim_matches([' ', '|'])) {
        let at = format!("{vessel}, {}: {line}", document.title);
        assert!(!line.contains("  "), "two spaces: {at}");
        assert!(!line.contains('_'), "underscore: {at}");
        assert!(!line.contains(['{', '}']), "brace: {at}");
        for wrong in [" .", " ,", " ;", "..", ",,", ". .", "()", " )", "( ", ": .", "the the ", " a a "] {
            assert!(!line.contains(wrong), "`{wrong}`: {at}");
        }
        for number in ["0", "1", "no", "one"] {
            for many in ["valves", "parts", "gauges", "alarms", "tanks", "engines", "cylinders", "stops"] {
                let wrong = format!(" {number} {many}");
                let none = number == "no" || number == "0";
                assert!(none || !format!(" {line}").contains(&wrong), "`{wrong}`: {at}");
            }
        }
        // Pieces of rubber are called so in the trade.
        let line = line.replace("rubber bits", "rubber pieces");
        let bare = |word: &&str| line.split(|l: char| !l.is_alphanumeric()).any(|own| own == *word);
        assert!(!INNER.iter().any(bare), "an inner word: {at}");
        // A sentence begins with a capital.
        for (place, _) in line.match_indices(". ") {
            let next = line[place + 2..].chars().next().unwrap_or('A');
            assert!(!next.is_lowercase(), "small letter after a full stop: {at}");
        }
    }
    for block in blocks(document) {
        match block {
            Block::Paragraph(spans) => {
                let said: String = format!("{spans:?}");
                assert!(!spans.is_empty() && said.len() > 12, "{vessel}: an empty paragraph");
            }
            Block::Steps(steps) => assert!(!steps.is_empty(), "{vessel}, {}: no steps", document.title),
            Block::List(items) => assert!(!items.is_empty(), "{vessel}, {}: an empty list", document.title),
            _ => {}
        }
    }
}

#[test]
fn chapters_are_those_of_what_she_has() {
    let chapters = |vessel: &str| {
        let plant = read(vessel);
        let asked = asked();
        let facts = Facts::of(&plant, &asked).expect("it can be worked out");
        let book = handbook(&facts);
        (book.chapters.iter().map(|chapter| chapter.anchor.clone()).collect::<Vec<_>>(), text_of(&book))
    };
    let (marram, text) = chapters("vessels/marram/vessel.toml");
    assert!(marram.contains(&"circuit-raw-water".into()) && !marram.contains(&"hand-start".into()));
    assert!(text.contains("Cooling water lost") && text.contains("Strainer blocked"));
    let (orache, text) = chapters("vessels/orache/vessel.toml");
    assert!(!orache.contains(&"circuit-raw-water".into()) && !orache.contains(&"hand-start".into()));
    assert!(!text.contains("Cooling water lost") && !text.contains("Strainer blocked") && !text.contains("seacock ("));
    assert!(text.contains("ten minutes, for the turbocharger"));
    let (thrift, text) = chapters("vessels/thrift/vessel.toml");
    assert!(thrift.contains(&"hand-start".into()));
    assert!(text.contains("never push down") && text.contains("pitch"));
    let (keel, _) = chapters("crates/bedplate/layouts/keel-cooled.toml");
    assert!(!keel.contains(&"circuit-raw-water".into()));
    let (sailing, text) = chapters("crates/bedplate/layouts/sailing.toml");
    assert!(sailing.contains(&"circuit-raw-water".into()) && text.contains("vented loop"));
    let (twin, text) = chapters("crates/bedplate/layouts/twin-engines.toml");
    assert!(twin.contains(&"engine".into()) && text.contains("two engines"));
}

#[test]
fn what_is_normal_is_what_the_model_says() {
    let plant = marram();
    let asked = asked();
    let facts = Facts::of(&plant, &asked).expect("it can be worked out");
    let book = handbook(&facts);
    // Worked out once more, beside the book.
    let mut model = model::steady::Model::new(&plant).expect("it can be worked out");
    let cruise = facts.normal("cruise").expect("there is a cruise");
    let speed = cruise.expected.as_ref().expect("it is steady").point.speed;
    let at = plant::evidence::ToldPoint { speed: Some(speed), ..Default::default() };
    let again = model.expect(&at, &model::fit::Seen::default()).expect("it has a state");
    let gauge = plant.gauge("coolant").expect("it is there");
    let celsius = |kelvin: f64| convert_to(kelvin, plant[gauge].quantity, "°C").expect("a temperature").round();
    let band = &again.bands[gauge.0];
    let said = format!("coolant {} to {} °C", celsius(band.low), celsius(band.high));
    let normal = book.chapters.iter().find(|chapter| chapter.anchor == "normal").expect("a chapter");
    let text = format!("{:?}", normal.blocks);
    assert!(text.contains(&said), "{said} is not in {}", &text[..600]);
    // Bands rise with load where they must: the book did not mix its columns.
    let bands: Vec<f64> = facts
        .normals
        .iter()
        .map(|normal| normal.band(plant.gauge("exhaust").expect("it is there")).expect("a band").value)
        .collect();
    assert!(bands.windows(2).all(|pair| pair[0] < pair[1]), "{bands:?}");
    assert!(text_of(&book).contains("Coolant bell speaks above 96 °C."));
}

fn the_round_reads_every_gauge_once_in_walking_order(vessel: &str, facts: &Facts, sheet: &Document) {
    assert!(sheet.landscape);
    let tables =
        sheet.chapters[0].blocks.iter().filter_map(|block| if let Block::Table(it) = block { Some(it) } else { None });
    let tables: Vec<_> = tables.collect();
    let [table] = tables[..] else { panic!("one table") };
    assert!(table.rows.iter().all(|row| row.len() == table.head.len()) && table.widths.len() == table.head.len());
    let rows: Vec<String> = table.rows.iter().map(|row| format!("{:?}", row[1])).collect();
    for gauge in words::read_gauges(facts.plant) {
        let name = sentence(&words::gauge_name(&facts.plant[gauge]));
        let count = rows.iter().filter(|row| row.contains(&format!("\"{name}\""))).count();
        assert_eq!(count, 1, "{vessel}: {name} is read {count} times");
    }
    let stops: Vec<String> = table.rows.iter().map(|row| format!("{:?}", row[0])).collect();
    let place = |word: &str| stops.iter().position(|stop| stop.contains(word));
    assert!(place("At the door") < place("Bilge") && place("Bilge") < place("Helm"));
}

fn tour_numbers_stand_once_each_and_apart(vessel: &str, document: &Document) {
    let stops = document.chapters.len() - 1;
    let drawings: Vec<&String> = document.chapters[0]
        .blocks
        .iter()
        .filter_map(|block| if let Block::Drawing { svg, .. } = block { Some(svg) } else { None })
        .collect();
    assert_eq!(drawings.len(), 2);
    for svg in drawings {
        let tree = roxmltree::Document::parse(svg).expect("it is well formed");
        let circles: Vec<(f64, f64, f64)> = tree
            .descendants()
            .filter(|node| node.has_tag_name("circle"))
            .map(|node| {
                let number = |name| node.attribute(name).and_then(|text| text.parse().ok()).expect("a number");
                (number("cx"), number("cy"), number("r"))
            })
            .collect();
        assert_eq!(circles.len(), stops, "{vessel}");
        for (k, a) in circles.iter().enumerate() {
            for b in &circles[..k] {
                assert!((a.0 - b.0).hypot(a.1 - b.1) > a.2 + b.2, "{vessel}: two numbers lie on each other");
            }
        }
        for number in 1..=stops {
            assert_eq!(svg.matches(&format!(">{number}</text>")).count(), 1, "{vessel}: {number}");
        }
    }
    for (number, chapter) in document.chapters.iter().enumerate().skip(1) {
        assert!(chapter.title.starts_with(&format!("{number}. ")), "{}", chapter.title);
    }
}

fn pages_are_well_formed_and_need_nothing_from_elsewhere(vessel: &str, document: &Document) {
    let pages = html::folder(document);
    let names: BTreeSet<&String> = pages.iter().map(|page| &page.name).collect();
    assert_eq!(names.len(), pages.len(), "{vessel}: two pages of one name");
    assert_eq!(pages[0].name, "index.html");
    for page in &pages {
        let body = page.text.trim_start_matches("<!doctype html>\n");
        let tree = roxmltree::Document::parse(body).unwrap_or_else(|why| panic!("{vessel} {}: {why}", page.name));
        if document.title == "Tour" {
            assert!(!page.text.contains("http"), "{vessel} {}: a network address", page.name);
        }
        assert!(!page.text.contains("src=") && !page.text.contains("<script"), "{}", page.name);
        for link in tree.descendants().filter_map(|node| node.attribute("href")) {
            let (file, anchor) = link.split_once('#').unwrap_or((link, ""));
            let there = pages.iter().find(|other| other.name == file).unwrap_or_else(|| panic!("{link} leads nowhere"));
            assert!(anchor.is_empty() || there.text.contains(&format!("id=\"{anchor}\"")), "{vessel}: {link}");
        }
        assert!(page.text.len() < 150_000, "{vessel} {} weighs {}", page.name, page.text.len());
    }
}

#[test]
fn nameless_leaves_no_name_anywhere() {
    let mut plant = marram();
    plant.parts[0].notes.push(("note".into(), "Marram's own, last laid up at 50°21.4'N.".into()));
    plant.parts[0].notes.push(("serial".into(), "XK-2231".into()));
    let text = "# Starting {vessel}\n\nMarram starts at once.";
    let mut with = asked();
    with.procedures.push(Procedure { name: "start".into(), text: text.into() });
    let with = nameless::asked(&with, &plant.name);
    let bare = nameless::plant(&plant);
    let facts = Facts::of(&bare, &with).expect("it can be worked out");
    for document in [handbook(&facts), tour::tour(&facts)] {
        for page in html::folder(&document) {
            for telling in ["Marram", "marram", "50°21", "XK-2231"] {
                assert!(!page.text.contains(telling), "{}: {telling}", page.name);
            }
        }
    }
}

#[test]
fn a_tag_opens_its_own_page() {
    let plant = marram();
    let asked = asked();
    let facts = Facts::of(&plant, &asked).expect("it can be worked out");
    let tags = valves::tags(&facts);
    let codes: Vec<&String> = blocks(&tags)
        .into_iter()
        .filter_map(|block| if let Block::Code { content, .. } = block { Some(content) } else { None })
        .collect();
    assert!(codes.contains(&&"http://10.0.0.5:8461/plant?part=seacock-port".to_string()), "{codes:?}");
    assert_eq!(codes.len(), plant.valves().count());
    // Without an address there is nothing to open.
    let bare = Asked::default();
    let facts = Facts::of(&plant, &bare).expect("it can be worked out");
    assert!(!blocks(&valves::tags(&facts)).iter().any(|block| matches!(block, Block::Code { .. })));
}
