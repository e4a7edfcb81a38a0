//! Whatever becomes of a vessel file, reading it neither panics nor yields a plant with a loose end.

use plant::finding::{Finding, render};
use plant::plant::{Linked, Plant, Tap, Terminal};
use plant::reader::read;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");
const MUTANTS: usize = 2000;

/// Marsaglia's xorshift, 64 bits.
struct Dice(u64);

impl Dice {
    fn below(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % sides.max(1) as u64) as usize
    }
}

/// One change: a byte or a token deleted, doubled or replaced by another of the file.
fn mutant(text: &str, dice: &mut Dice) -> String {
    if dice.below(2) == 0 {
        let mut bytes = text.as_bytes().to_vec();
        let at = dice.below(bytes.len());
        match dice.below(3) {
            0 => drop(bytes.remove(at)),
            1 => bytes.insert(at, bytes[at]),
            _ => bytes[at] = b"\"[]{}=.,#\n-_0179aeK%"[dice.below(20)],
        }
        return String::from_utf8_lossy(&bytes).into_owned();
    }
    let mut tokens: Vec<&str> = text.split_inclusive([' ', '"', '.', '[', ']', '\n', ',']).collect();
    let (at, other) = (dice.below(tokens.len()), dice.below(tokens.len()));
    match dice.below(4) {
        0 => drop(tokens.remove(at)),
        1 => tokens.insert(at, tokens[at]),
        2 => tokens[at] = tokens[other],
        _ => tokens.swap(at, other),
    }
    tokens.concat()
}

fn in_range(plant: &Plant) -> bool {
    let node = |end: Terminal| match end {
        Terminal::Node(node) | Terminal::Into(node) => node.0 < plant.nodes.len(),
        Terminal::Sea | Terminal::Air | Terminal::Ground => true,
    };
    let parts = plant.parts.iter().all(|part| {
        part.figures.len() == part.kind.parameters.len()
            && part.links.len() == part.kind.links.len()
            && part.flows.len() == part.kind.passages.len()
            && part.figures.iter().all(|figure| figure.value.is_finite())
            && part.flows.iter().flatten().all(|flow| flow.0 < plant.flows.len())
            && part.links.iter().all(|link| match link {
                Linked::Unknowns(all) => {
                    all.iter().all(|(p, u)| p.0 < plant.parts.len() && *u < plant[*p].kind.unknowns.len())
                }
                Linked::Flows(all) => all.iter().all(|flow| flow.0 < plant.flows.len()),
                Linked::Temperature(node) => node.0 < plant.nodes.len(),
                Linked::Constant(value) => value.is_finite(),
            })
    });
    let flows = plant.flows.iter().all(|f| f.part.0 < plant.parts.len() && node(f.from) && node(f.to));
    let pools = plant.pools.iter().all(|p| p.part.0 < plant.parts.len() && p.node.0 < plant.nodes.len());
    let gauges = plant.gauges.iter().all(|gauge| match gauge.tap {
        Tap::Pressure(node) | Tap::Voltage(node) | Tap::Temperature(node) => node.0 < plant.nodes.len(),
        Tap::Drop(flow) | Tap::Flow(flow) | Tap::Meter(flow) => flow.0 < plant.flows.len(),
        Tap::Unknown(part, unknown) => unknown < plant[part].kind.unknowns.len(),
        Tap::Sea | Tap::Air => true,
    });
    parts && flows && pools && gauges
}

#[test]
fn mutants_never_break_the_reader() {
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let (mut sound, mut refused) = (0, 0);
    for round in 0..MUTANTS {
        let mut text = MARRAM.to_string();
        for _ in 0..=dice.below(3) {
            text = mutant(&text, &mut dice);
        }
        let (plant, findings) = read(&text);
        for finding in &findings {
            let shown = render(finding, &text, "vessel.toml");
            assert!(shown.lines().count() >= 2, "{shown}");
        }
        assert_eq!(plant.is_none(), findings.iter().any(Finding::is_fatal), "mutant {round}");
        if let Some(plant) = plant {
            assert!(in_range(&plant), "mutant {round}:\n{text}");
            sound += 1;
        } else {
            refused += 1;
        }
    }
    // Both sorts must occur, or the mutants are too mild or too wild to say anything.
    assert!(sound > MUTANTS / 20 && refused > MUTANTS / 20, "{sound} sound, {refused} refused");
}
