//! Prints what is written in a document, for reading it from beginning to end: `cargo run -p book --example read -- VESSEL.toml handbook`.

use book::facts::{Asked, Facts};

fn main() {
    let mut arguments = std::env::args().skip(1);
    let (path, what) = (arguments.next().unwrap_or_default(), arguments.next().unwrap_or_default());
    let Ok(text) = std::fs::read_to_string(&path) else { return eprintln!("{path} cannot be read") };
    let Some(plant) = plant::reader::read(&text).0 else { return eprintln!("{path} does not load") };
    let asked = Asked { date: "26 November 2026".into(), ..Asked::default() };
    let facts = match Facts::of(&plant, &asked) {
        Ok(facts) => facts,
        Err(why) => return eprintln!("{why}"),
    };
    let document = match what.as_str() {
        "rounds" => book::rounds::sheet(&facts),
        "cards" => book::emergencies::cards(&facts),
        "watch" => book::watch_cards::cards(&facts),
        "tour" => book::tour::tour(&facts),
        "tags" => book::valves::tags(&facts),
        _ => book::handbook::handbook(&facts),
    };
    if let Some(folder) = arguments.next() {
        for file in book::html::folder(&document) {
            if let Err(why) = std::fs::write(std::path::Path::new(&folder).join(&file.name), &file.text) {
                return eprintln!("{}: {why}", file.name);
            }
        }
        return;
    }
    println!("{}", book::handbook::text_of(&document));
}
