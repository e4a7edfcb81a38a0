//! Procedures in Markdown: references told as they are on her, what leads nowhere found at its place.

use book::document::Block;
use book::facts::{Asked, Facts};
use book::handbook::{handbook, text_of};
use book::procedures::{self, Procedure};
use book::{html, words};
use plant::finding::Problem;
use plant::plant::Plant;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn marram() -> Plant {
    let text = std::fs::read_to_string(root().join("vessels/marram/vessel.toml")).expect("it is part of the project");
    plant::reader::read(&text).0.expect("it loads")
}

fn asked() -> Asked {
    Asked { date: "1 May 2026".into(), ..Asked::default() }
}

fn written(name: &str) -> String {
    let path = root().join("vessels/marram/procedures").join(name);
    std::fs::read_to_string(path).expect("it is part of the project")
}

#[test]
fn procedures_of_the_demonstration_are_told_with_her_own_values() {
    let plant = marram();
    let mut with = asked();
    for name in ["start", "stop", "change-over"] {
        let text = written(&format!("{name}.md"));
        assert_eq!(procedures::findings(&plant, &text), []);
        with.procedures.push(Procedure { name: name.into(), text });
    }
    let facts = Facts::of(&plant, &with).expect("it can be worked out");
    let book = handbook(&facts);
    let of = |anchor: &str| book.chapters.iter().find(|chapter| chapter.anchor == anchor).expect("a chapter");
    assert_eq!(of("start").title, "Starting Marram");
    let said = format!("{:?}", of("start").blocks);
    assert!(said.contains("port bilge, under the second plate") && said.contains("96 °C") && said.contains("0.7 bar"));
    let band =
        facts.normal("idle").and_then(|it| it.band(plant.gauge("oil-pressure").expect("there"))).expect("a band");
    assert!(said.contains(&words::band(&plant, band)));
    let Some(Block::Steps(steps)) = of("start").blocks.iter().find(|block| matches!(block, Block::Steps(_))) else {
        panic!("steps")
    };
    assert_eq!(steps.len(), 10);
    assert!(steps[1].caution.as_ref().is_some_and(|caution| caution.contains("impeller")));
    assert!(!text_of(&book).contains("Caution:"));
    // Ours is not there beside it.
    assert_eq!(book.chapters.iter().filter(|chapter| chapter.anchor == "start").count(), 1);
    assert!(!text_of(&book).contains("No step is forgotten so often"));
}

#[test]
fn what_leads_nowhere_is_found_at_its_place_with_the_nearest_name() {
    let plant = marram();
    let text = "# Start\n\n1. Open {seacock-prot}.\n2. Read {coolant at cruse}, {coolant at cruise} and {raw-pump colour}.\n\
                3. {suction limit}, {} and { open\n4. Plain {vessel}.\n";
    let found = procedures::findings(&plant, text);
    let told: Vec<((usize, usize), String)> = found
        .iter()
        .map(|finding| {
            let place = plant::finding::line_and_column(text, finding.places[0].0.start);
            let nearest = if let Problem::Unknown { nearest, .. } = &finding.problem { nearest.clone() } else { None };
            (place, nearest.unwrap_or_default())
        })
        .collect();
    assert_eq!(told[0], ((3, 9), "seacock-port".into()));
    assert_eq!(told[1].0, (4, 9));
    assert_eq!(told[1].1, "cruise");
    assert_eq!(told.len(), 6, "{told:?}");
    assert!(found.iter().all(plant::finding::Finding::is_fatal));
    // And nothing of it ends in a panic when it is set all the same.
    let mut with = asked();
    with.procedures.push(Procedure { name: "start".into(), text: text.into() });
    let facts = Facts::of(&plant, &with).expect("it can be worked out");
    assert!(text_of(&handbook(&facts)).contains("seacock-prot"));
}

#[test]
fn absurd_procedures_are_set_without_a_panic() {
    let plant = marram();
    let long = "- ".repeat(300) + "deep";
    let texts = [
        "",
        "{",
        "}",
        "{{{{",
        "{\u{0}}",
        "# ",
        "1.\n2.\n",
        "***",
        "{é",
        "Caution:",
        "- Caution: x\n",
        &long,
        "|a|b|\n|-|-|\n",
    ];
    for text in texts {
        let mut with = asked();
        with.procedures.push(Procedure { name: "odd".into(), text: text.into() });
        let _ = procedures::findings(&plant, text);
        let facts = Facts::of(&plant, &with).expect("it can be worked out");
        let _ = html::folder(&handbook(&facts));
    }
}
