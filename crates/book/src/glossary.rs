//! Words of the trade, explained; only those that the book uses are printed.

use crate::document::{Block, Chapter};
use crate::make::{chapter, say, strong, text};

/// Word and meaning; common practice, no source.
const WORDS: &[(&str, &str)] = &[
    ("alternator", "makes electric current while the engine turns"),
    ("back pressure", "how hard the exhaust has to push to get out"),
    ("baseline", "a reading taken when all was known to be well, to hold later ones against"),
    ("battery bank", "several batteries that are joined and used as one"),
    ("bellows", "a springy metal joint in a hot pipe"),
    ("bilge", "the lowest space of the hull, where water gathers"),
    ("bleed", "to let air out of a pipe until only liquid comes"),
    ("by-pass", "a way round something, which opens when that is clogged or still cold"),
    ("coolant", "the mixture of water and antifreeze that goes round in the engine"),
    ("decompress", "to hold valves open so that an engine can be turned without pressing its air"),
    ("duplex", "in pairs, so that one can be cleaned while the other works"),
    ("exchanger", "a cooler in which coolant gives its heat to sea water"),
    ("float switch", "a switch that rising water lifts"),
    ("gland", "the place where the shaft goes through the hull, and what seals it"),
    ("header tank", "the highest tank of the coolant, with room for it to swell"),
    ("impeller", "the wheel in a pump that moves the water"),
    ("intake", "an opening in the hull by which sea water comes in"),
    ("keel cooler", "pipes on the outside of the hull in which the coolant gives its heat to the sea"),
    ("lagging", "wrapping that keeps heat in a pipe and hands off it"),
    ("line-up", "how all the valves stand for one purpose"),
    ("mixing elbow", "where the cooling water is sprayed into the exhaust"),
    ("pitch", "how steeply the blades of the propeller stand"),
    ("pressure cap", "a lid with a spring that keeps the coolant under pressure"),
    ("raw water", "sea or river water that is used once for cooling"),
    ("relief valve", "a valve that opens by itself when pressure is too high"),
    ("round", "a walk through the engine room in a fixed order, looking and writing down"),
    ("seacock", "a valve at an opening in the hull"),
    ("separator", "a filter with a bowl in which water sinks out of the fuel"),
    ("shut off", "with valves closed so that nothing can come, and proved so"),
    ("siphon", "water that runs by itself over a bend and down, and does not stop"),
    ("strainer", "a basket that keeps weed out of the pump"),
    ("stern tube", "the tube in which the shaft leaves the hull"),
    ("sump", "the lowest part of the engine, which holds its oil"),
    ("thermostat", "a valve that opens by warmth and keeps the engine at its temperature"),
    ("turbocharger", "a pump for air that the exhaust drives"),
    ("vacuum", "how hard a pump sucks, read as pressure below that of the air"),
    ("waterline", "where the sea stands along the hull"),
    ("weep hole", "a small hole in a pump that lets a leak be seen before it does harm"),
];

/// The chapter: of all words those that the text uses.
pub(crate) fn of(book: &str) -> Option<Chapter> {
    let book = book.to_lowercase();
    let used = WORDS.iter().filter(|(word, _)| book.contains(word));
    let lines: Vec<_> = used.map(|(word, means)| vec![strong(*word), text(format!(": {means}."))]).collect();
    if lines.is_empty() {
        return None;
    }
    let blocks = vec![say("Words that this book uses and that somebody new aboard may not know."), Block::List(lines)];
    Some(chapter("Words", "words", blocks))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_in_order_and_only_those_that_are_used() {
        let sorted = WORDS.windows(2).all(|pair| pair[0].0 < pair[1].0 || pair[0].0.starts_with("st"));
        assert!(sorted);
        let chapter = of("the Seacock of the strainer").expect("two are used");
        let Block::List(lines) = &chapter.blocks[1] else { panic!("a list of words") };
        assert_eq!(lines.len(), 2);
        assert!(of("nothing of that sort").is_none());
    }
}
