//! The drawing as text: sound XML, no style where the page forbids it, and everything in words too.

use drawing::{Live, Only, STYLE, Schematic, Shown, State};
use parts::kind::Circuit;
use plant::plant::Plant;
use roxmltree::{Document, Node};
use std::collections::BTreeSet;

fn marram() -> (Plant, Schematic) {
    let (plant, _) = plant::reader::read(include_str!("../../../vessels/marram/vessel.toml"));
    let plant = plant.expect("the demonstration vessel loads");
    let sheet = Schematic::lay_out(&plant);
    (plant, sheet)
}

fn live(plant: &Plant) -> Live {
    let state = [State::AsExpected, State::Off, State::Stale, State::NoReading];
    Live {
        gauges: (0..plant.gauges.len()).map(|k| Shown { text: format!("{k} <&>"), state: state[k % 4] }).collect(),
        marked: plant.parts.iter().map(|part| (part.name == "exchanger").then(|| "cause".to_string())).collect(),
        link: Some("/part/{}".into()),
        standalone: false,
        only: None,
        trail: Vec::new(),
        around: Vec::new(),
    }
}

fn has_class(node: &Node, class: &str) -> bool {
    node.attribute("class").is_some_and(|all| all.split(' ').any(|c| c == class))
}

fn with_class<'a, 'b>(document: &'a Document<'b>, class: &'static str) -> Vec<Node<'a, 'b>> {
    document.descendants().filter(|node| has_class(node, class)).collect()
}

#[test]
fn every_part_is_a_link_that_says_what_it_is() {
    let (plant, sheet) = marram();
    let svg = sheet.svg(&plant, &live(&plant));
    let document = Document::parse(&svg).expect("it is XML");
    let parts = with_class(&document, "part");
    assert_eq!(parts.len(), plant.parts.len());
    for part in &parts {
        let name = part.attribute("data-part").expect("its name");
        assert_eq!(part.tag_name().name(), "a");
        assert_eq!(part.attribute("href"), Some(format!("/part/{name}").as_str()));
        let title = part.children().find(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "title")));
        assert_eq!(title.and_then(|t| t.text()), part.attribute("aria-label"));
        assert!(part.attribute("aria-label").is_some_and(|words| words.contains(name)), "{name}");
        let hit = part.children().find(|node| has_class(node, "hit")).expect("something to tap");
        for side in ["width", "height"] {
            let long: f64 = hit.attribute(side).expect("a size").parse().expect("a number");
            assert!(long >= 44.0, "{name}: {side} {long}");
        }
    }
    let label = |name: &str| parts.iter().find(|p| p.attribute("data-part") == Some(name))?.attribute("aria-label");
    assert!(label("seacock-port").is_some_and(|words| words.ends_with(" open")), "{:?}", label("seacock-port"));
    assert!(label("seacock-starboard").is_some_and(|words| words.ends_with(" shut")));
    assert!(label("exchanger").is_some_and(|words| words.ends_with(", cause")));
}

#[test]
fn valves_show_their_position_by_shape_and_by_word() {
    let (plant, sheet) = marram();
    let half = plant::reader::read(&include_str!("../../../vessels/marram/vessel.toml").replace("\"0 %\"", "\"40 %\""));
    let half = half.0.expect("it loads");
    let svg = [sheet.svg(&plant, &Live::default()), Schematic::lay_out(&half).svg(&half, &Live::default())];
    for (svg, class, word) in [(&svg[0], "shut", "shut"), (&svg[1], "part-open", "40 % open")] {
        let document = Document::parse(svg).expect("it is XML");
        let valve = document.descendants().find(|n| n.attribute("data-part") == Some("seacock-starboard"));
        let valve = valve.expect("it is drawn");
        assert_eq!(valve.descendants().filter(|node| has_class(node, class)).count(), 1);
        assert!(
            valve
                .descendants()
                .any(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "text")) && node.text() == Some(word))
        );
    }
}

#[test]
fn every_gauge_can_be_found_and_shows_its_value_and_state() {
    let (plant, sheet) = marram();
    let svg = sheet.svg(&plant, &live(&plant));
    let document = Document::parse(&svg).expect("it is XML");
    let gauges = with_class(&document, "gauge");
    let names: BTreeSet<&str> = gauges.iter().filter_map(|node| node.attribute("data-gauge")).collect();
    assert_eq!(names, plant.gauges.iter().map(|gauge| gauge.name.as_str()).collect());
    for gauge in &gauges {
        let nth = plant.gauges.iter().position(|g| Some(g.name.as_str()) == gauge.attribute("data-gauge"));
        let nth = nth.expect("of this plant");
        let value: Vec<_> = gauge.children().filter(|node| has_class(node, "value")).collect();
        assert_eq!(value.len(), 1);
        assert_eq!(value[0].text(), Some(format!("{nth} <&>").as_str()));
        for (k, class) in ["", "off", "stale", "none"].into_iter().enumerate().skip(1) {
            assert_eq!(has_class(gauge, class), nth % 4 == k, "{class}");
        }
    }
    let plain = sheet.svg(&plant, &Live::default());
    let plain = Document::parse(&plain).expect("it is XML");
    assert!(with_class(&plain, "value").is_empty(), "nothing is read, so nothing is shown");
    assert_eq!(with_class(&plain, "gauge").len(), plant.gauges.len());
}

#[test]
fn what_is_marked_has_a_double_outline_and_the_word() {
    let (plant, sheet) = marram();
    let svg = sheet.svg(&plant, &live(&plant));
    let document = Document::parse(&svg).expect("it is XML");
    let marked = with_class(&document, "marked");
    assert_eq!(marked.len(), 1);
    assert_eq!(marked[0].attribute("data-part"), Some("exchanger"));
    assert_eq!(marked[0].descendants().filter(|node| has_class(node, "mark")).count(), 2);
    assert!(marked[0].descendants().any(|node| has_class(&node, "word") && node.text() == Some("CAUSE")));
}

#[test]
fn a_page_brings_its_own_style_and_a_file_brings_it_along() {
    let (plant, sheet) = marram();
    let page = sheet.svg(&plant, &live(&plant));
    assert!(!page.contains("<style") && !page.contains("style=") && !page.contains("<script"));
    let alone = sheet.svg(&plant, &Live { standalone: true, ..Live::default() });
    assert!(alone.contains(STYLE) && !alone.contains("style="));
    let document = Document::parse(&alone).expect("it is XML");
    let root = document.root_element();
    assert_eq!(root.attribute("role"), Some("group"));
    assert!(root.attribute("aria-label").is_some_and(|words| words.contains("Marram")));
    // Every class that is drawn and coloured stands in the style.
    for class in ["c-rw", "c-fw", "c-lo", "c-ex", "c-fo", "c-go"] {
        assert!(!with_class(&document, class).is_empty() && STYLE.contains(&format!(".{class} ")), "{class}");
    }
    for variable in ["paper", "ink", "soft", "line", "card", "hot", "sea", "fresh", "oil", "fuel", "gas", "gear", "air"]
    {
        assert!(STYLE.contains(&format!("var(--{variable}, #")), "{variable} has nothing to fall back on");
    }
}

#[test]
fn every_pipe_carries_letters_and_an_arrow() {
    let (plant, sheet) = marram();
    let svg = sheet.svg(&plant, &Live::default());
    let document = Document::parse(&svg).expect("it is XML");
    for (class, letters) in
        [("c-rw", "RW"), ("c-fw", "FW"), ("c-lo", "LO"), ("c-ex", "EX"), ("c-fo", "FO"), ("c-go", "GO")]
    {
        let drawn = with_class(&document, class);
        assert!(drawn.iter().any(|node| node.text() == Some(letters)), "{letters}");
        assert!(drawn.iter().any(|node| has_class(node, "arrow")), "{letters} flows");
    }
}

#[test]
fn odd_names_stay_text() {
    let text = "[vessel]\nname = \"A <b> & \\\"C\\\"\"\n[engine.main]\nkind = \"diesel\"\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n";
    let (plant, _) = plant::reader::read(text);
    let plant = plant.expect("it loads");
    let svg = Schematic::lay_out(&plant).svg(&plant, &Live { standalone: true, ..Live::default() });
    let document = Document::parse(&svg).expect("it is XML");
    let label = document.root_element().attribute("aria-label");
    assert_eq!(label, Some("Schematic of A <b> & \"C\""));
}

#[test]
fn one_circuit_is_cut_out_with_its_own_parts_and_gauges_alone() {
    let (plant, sheet) = marram();
    let of = |part: &plant::plant::Part| part.flows.iter().flatten().any(|f| plant.flows[f.0].circuit == Circuit::Oil);
    let parts: Vec<bool> = plant.parts.iter().map(of).collect();
    let gauges: Vec<bool> = plant.gauges.iter().map(|gauge| gauge.name.starts_with("oil-")).collect();
    let only = Only { circuit: Circuit::Oil, parts: parts.clone(), gauges: gauges.clone() };
    let svg = sheet.svg(&plant, &Live { only: Some(only), ..live(&plant) });
    let document = Document::parse(&svg).expect("it is XML");
    let count = |all: &[bool]| all.iter().filter(|drawn| **drawn).count();
    assert_eq!(with_class(&document, "part").len(), count(&parts));
    assert_eq!(with_class(&document, "gauge").len(), count(&gauges));
    assert!(with_class(&document, "c-rw").is_empty() && !with_class(&document, "c-lo").is_empty());
    let size = |name| document.root_element().attribute(name).and_then(|it| it.parse::<f64>().ok()).expect("a size");
    let (high, wide) = (size("height"), size("width"));
    assert!(high < 0.8 * sheet.size.1 && wide <= sheet.size.0, "{wide} by {high} of {:?}", sheet.size);
}
