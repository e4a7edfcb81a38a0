//! The sample of the README is what the program says.

use crate::run::{answered, file};

const README: &str = include_str!("../../../../README.md");

/// Blocks of code of one sort under a heading of the README, in order.
fn blocks<'a>(heading: &str, sort: &str) -> Vec<&'a str> {
    let (_, section) = README.split_once(&format!("\n## {heading}\n")).expect("there is such a section");
    let section = section.split("\n## ").next().unwrap_or_default();
    let fences: Vec<&str> = section.split("```").collect();
    // Every second piece stands between fences.
    let inside = fences.into_iter().skip(1).step_by(2);
    inside.filter_map(|block| block.strip_prefix(sort)?.strip_prefix('\n')).collect()
}

#[test]
fn the_sample_of_the_readme_is_what_comes_out() {
    let (lines, told) = (blocks("Ten lines", "toml"), blocks("An answer", "toml"));
    let [gauge, evidence] = told[..] else { panic!("a gauge and the evidence: {told:?}") };
    let vessel = file("readme-vessel.toml", format!("{}{gauge}", lines[0]));
    let said = answered(&["explain", &vessel, &file("readme-evidence.toml", evidence)]);
    let [sample] = blocks("An answer", "text")[..] else { panic!("one sample") };
    // What is left out stands as a line of its own; all else is there word for word, in its order.
    let mut rest = said.as_str();
    for piece in sample.split("…\n").filter(|piece| !piece.trim().is_empty()) {
        let found = rest.find(piece);
        let at = found.unwrap_or_else(|| panic!("the README says\n{piece}\nand what comes out is\n{said}"));
        rest = &rest[at + piece.len()..];
    }
    assert!(said.starts_with(sample.split('…').next().unwrap_or_default()), "it begins as the answer does");
}
