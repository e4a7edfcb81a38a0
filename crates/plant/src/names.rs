//! The words of the trade, and which kind of part or circuit each one means.

use crate::finding::Problem;
use crate::plant::{PartId, Plant};
use measure::nearest::nearest;
use parts::catalogue;
use parts::kind::{Circuit, Kind};

/// Words for kinds that go by another name in the catalogue; more than one kind means that the word does not tell.
const SYNONYMS: &[(&str, &[&str])] = &[
    ("engine", &["diesel"]),
    ("main-engine", &["diesel"]),
    ("motor", &["diesel"]),
    ("seacock", &["valve"]),
    ("sea-valve", &["valve"]),
    ("ball-valve", &["valve"]),
    ("gate-valve", &["valve"]),
    ("cock", &["valve"]),
    ("non-return-valve", &["check-valve"]),
    ("non-return", &["check-valve"]),
    ("foot-valve", &["check-valve"]),
    ("sea-box", &["sea-chest"]),
    ("sea-suction-chest", &["sea-chest"]),
    ("through-hull", &["intake"]),
    ("thru-hull", &["intake"]),
    ("skin-fitting", &["intake"]),
    ("scoop", &["intake"]),
    ("sea-strainer", &["strainer"]),
    ("raw-water-strainer", &["strainer"]),
    ("weed-trap", &["strainer"]),
    ("twin-strainer", &["duplex-strainer"]),
    ("double-strainer", &["duplex-strainer"]),
    ("change-over-strainer", &["duplex-strainer"]),
    ("raw-water-pump", &["raw-pump"]),
    ("sea-water-pump", &["raw-pump"]),
    ("seawater-pump", &["raw-pump"]),
    ("impeller-pump", &["raw-pump"]),
    ("piston-pump", &["plunger-pump"]),
    ("reciprocating-pump", &["plunger-pump"]),
    ("electric-circulating-pump", &["electric-pump"]),
    ("motor-pump", &["electric-pump"]),
    ("water-pump", &["raw-pump", "coolant-pump"]),
    ("cooling-pump", &["raw-pump", "coolant-pump"]),
    ("pump", &["raw-pump", "coolant-pump", "oil-pump", "centrifugal-pump", "electric-pump", "plunger-pump"]),
    (
        "cooler",
        &[
            "exchanger",
            "plate-exchanger",
            "oil-cooler",
            "gear-cooler",
            "charge-air-cooler",
            "keel-cooler",
            "skin-tank",
            "box-cooler",
        ],
    ),
    (
        "filter",
        &[
            "oil-filter",
            "bypass-filter",
            "strainer",
            "duplex-strainer",
            "fuel-separator",
            "fuel-filter",
            "duplex-fuel-filter",
        ],
    ),
    ("circulating-pump", &["coolant-pump"]),
    ("fresh-water-pump", &["coolant-pump"]),
    ("heat-exchanger", &["exchanger"]),
    ("fresh-water-cooler", &["exchanger"]),
    ("plate-cooler", &["plate-exchanger"]),
    ("plate-heat-exchanger", &["plate-exchanger"]),
    ("brazed-exchanger", &["plate-exchanger"]),
    ("sea-chest-cooler", &["box-cooler"]),
    ("skin-cooler", &["skin-tank"]),
    ("hull-tank", &["skin-tank"]),
    ("grid-cooler", &["keel-cooler"]),
    ("expansion-tank", &["header-tank"]),
    ("lube-oil-pump", &["oil-pump"]),
    ("lube-oil-cooler", &["oil-cooler"]),
    ("engine-oil-cooler", &["oil-cooler"]),
    ("gearbox-cooler", &["gear-cooler"]),
    ("gear-oil-cooler", &["gear-cooler"]),
    ("gearbox-oil-cooler", &["gear-cooler"]),
    ("transmission", &["gearbox"]),
    ("reverse-gear", &["gearbox"]),
    ("reduction-gear", &["gearbox"]),
    ("gear", &["gearbox"]),
    ("muffler", &["silencer"]),
    ("waterlock", &["silencer"]),
    ("water-lift", &["silencer"]),
    ("lift-silencer", &["silencer"]),
    ("mixing-elbow", &["elbow"]),
    ("exhaust-elbow", &["elbow"]),
    ("injection-elbow", &["elbow"]),
    ("riser", &["elbow"]),
    ("exhaust-pipe", &["exhaust-hose"]),
    ("turbo", &["turbocharger"]),
    ("charge-cooler", &["charge-air-cooler"]),
    ("intercooler", &["charge-air-cooler"]),
    ("aftercooler", &["charge-air-cooler"]),
    ("dry-exhaust", &["dry-stack"]),
    ("dry-pipe", &["dry-stack"]),
    ("exhaust-stack", &["dry-stack"]),
    ("stack", &["dry-stack"]),
    ("exhaust-bellows", &["bellows"]),
    ("expansion-bellows", &["bellows"]),
    ("compensator", &["bellows"]),
    ("exhaust-outlet", &["outlet"]),
    ("anti-siphon-valve", &["vented-loop"]),
    ("siphon-break", &["vented-loop"]),
    ("pipe", &["hose"]),
    ("prop", &["propeller"]),
    ("screw", &["propeller"]),
    ("heater", &["cabin-heater"]),
    ("heater-matrix", &["cabin-heater"]),
    ("shaft-seal-feed", &["stern-tube-feed"]),
    ("seal-feed", &["stern-tube-feed"]),
    ("shaft-bearing-feed", &["stern-tube-feed"]),
    ("by-pass-filter", &["bypass-filter"]),
    ("bypass-oil-filter", &["bypass-filter"]),
    ("generator", &["alternator"]),
    ("fuel-pump", &["lift-pump"]),
    ("fuel-feed-pump", &["feed-pump"]),
    ("electric-fuel-pump", &["electric-feed-pump"]),
    ("water-separator", &["fuel-separator"]),
    ("primary-filter", &["fuel-separator"]),
    ("primary-fuel-filter", &["fuel-separator"]),
    ("secondary-fuel-filter", &["fuel-filter"]),
    ("fine-filter", &["fuel-filter"]),
    ("fine-fuel-filter", &["fuel-filter"]),
    ("twin-fuel-filter", &["duplex-fuel-filter"]),
    ("fuel-cock", &["valve"]),
    ("fuel-valve", &["valve"]),
    ("dip-pipe", &["fuel-pickup"]),
    ("injector-pump", &["injection-pump"]),
    ("pickup", &["oil-pickup"]),
    ("oil-screen", &["oil-pickup"]),
    ("oil-pan", &["sump"]),
    ("pressure-relief-valve", &["relief-valve"]),
];

/// Words for circuits.
const CIRCUITS: &[(&str, Circuit)] = &[
    ("sea-water", Circuit::RawWater),
    ("seawater", Circuit::RawWater),
    ("raw", Circuit::RawWater),
    ("coolant", Circuit::FreshWater),
    ("fresh", Circuit::FreshWater),
    ("jacket-water", Circuit::FreshWater),
    ("engine-oil", Circuit::Oil),
    ("lube-oil", Circuit::Oil),
    ("lubricating-oil", Circuit::Oil),
    ("gearbox-oil", Circuit::GearOil),
];

/// A name as it is compared: small letters, hyphens for spaces and underscores.
pub fn folded(word: &str) -> String {
    let spaced = |letter: char| if letter == '_' || letter.is_whitespace() { '-' } else { letter };
    word.trim().chars().flat_map(char::to_lowercase).map(spaced).collect()
}

/// The kind that a word means: its name or another word for it, perhaps with a tail ("strainer-port", "strainer-2").
///
/// # Errors
/// [`Problem::AmbiguousKind`] or [`Problem::UnknownKind`].
pub fn kind_called(word: &str) -> Result<&'static Kind, Problem> {
    let word = folded(word);
    let mut head = word.as_str();
    loop {
        if let Some(kind) = catalogue::find(head).or_else(|| catalogue::find(&head.replace('-', "_"))) {
            return Ok(kind);
        }
        match SYNONYMS.iter().find(|(synonym, _)| *synonym == head).map(|(_, kinds)| *kinds) {
            Some([one]) => {
                if let Some(kind) = catalogue::find(one) {
                    return Ok(kind);
                }
            }
            Some(kinds) => {
                let known = kinds.iter().map(|kind| format!("`{kind}`")).collect();
                return Err(Problem::AmbiguousKind { word, known });
            }
            None => {}
        }
        match head.rfind('-') {
            Some(dash) => head = &head[..dash],
            None => break,
        }
    }
    let known = catalogue::KINDS.iter().map(|kind| kind.name).chain(SYNONYMS.iter().map(|(synonym, _)| *synonym));
    let nearest = nearest(&word, known).map(str::to_string);
    Err(Problem::UnknownKind { kind: word, nearest })
}

/// The circuit that a word means.
///
/// # Errors
/// [`Problem::UnknownCircuit`].
pub fn circuit_called(word: &str) -> Result<Circuit, Problem> {
    let word = folded(word);
    let by_name = Circuit::ALL.iter().copied().find(|circuit| circuit.name() == word);
    let found = by_name.or_else(|| CIRCUITS.iter().find(|(name, _)| *name == word).map(|(_, circuit)| *circuit));
    found.ok_or_else(|| {
        let known: Vec<&str> =
            Circuit::ALL.iter().map(|circuit| circuit.name()).filter(|name| has_flow(name)).collect();
        let nearest = nearest(&word, known.iter().copied()).map(str::to_string);
        Problem::UnknownCircuit { name: word, nearest, known: known.iter().map(ToString::to_string).collect() }
    })
}

fn has_flow(name: &str) -> bool {
    catalogue::KINDS.iter().any(|kind| kind.passages.iter().any(|p| p.carries.iter().any(|c| c.name() == name)))
}

/// Is it the kind that turns and heats everything?
pub fn is_engine(kind: &Kind) -> bool {
    kind.name == "diesel"
}

/// Is it a gauge or an alarm, which have sections of their own?
pub fn is_gauge(kind: &Kind) -> bool {
    kind.circuit == Circuit::Gauges && (kind.name.ends_with("gauge") || kind.name == "alarm")
}

/// The part that a word means: by its name; "engine" for the engine; or the kind's word where there is but one.
pub fn part_called(plant: &Plant, word: &str) -> Option<PartId> {
    let word = folded(word);
    if let Some(part) = plant.part(&word) {
        return Some(part);
    }
    let kind = kind_called(&word).ok()?;
    // With a tail it names one of several, and that one is not there.
    let whole = kind.name == word || SYNONYMS.iter().any(|(synonym, _)| *synonym == word);
    let mut of_kind = plant.parts.iter().enumerate().filter(|(_, part)| std::ptr::eq(part.kind, kind));
    let first = of_kind.next()?.0;
    (whole && of_kind.next().is_none()).then_some(PartId(first))
}
