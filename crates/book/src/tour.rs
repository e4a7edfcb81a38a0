//! The tour: a walk through the engine room in the order of the round, numbered on a plan and a side sketch, each stop with
//! its own piece of the schematic.

mod sketch;

use crate::circuits::parts_told;
use crate::document::{Block, Chapter, Document};
use crate::facts::Facts;
use crate::kinds::Stop;
use crate::make::{chapter, document, say};
use crate::rounds::senses;
use crate::whereabouts::{self, Known, Place};
use crate::words::{self, sentence, the_all};
use drawing::Live;
use plant::plant::PartId;

/// A stop of the tour: what stands in one place and belongs together.
pub(crate) struct Halt {
    /// Which stop of the round it is.
    stop: Stop,
    /// The side it is on, where the same stop is made twice: "port".
    side: String,
    /// Where it is.
    place: Place,
    /// How that is known.
    known: Known,
    /// What stands there, in walking order.
    parts: Vec<PartId>,
}

/// Parts of one stop that are nearer than this are one halt [shares of the room].
const NEAR: f64 = 0.55;

/// The tour.
pub fn tour(facts: &Facts) -> Document {
    let halts = halts(facts);
    let mut chapters = vec![first(facts, &halts)];
    chapters.extend(halts.iter().enumerate().map(|(place, halt)| stop(facts, place + 1, halt)));
    let subtitle = "A walk through her engine room, in the order it is walked.";
    document(facts, "Tour", subtitle, chapters)
}

/// The halts in walking order.
pub(crate) fn halts(facts: &Facts) -> Vec<Halt> {
    let mut all: Vec<Halt> = Vec::new();
    for part in &facts.walk {
        let stop = whereabouts::stop(facts.plant, *part);
        let (place, known) = whereabouts::of(facts.plant, *part);
        let near = |halt: &&mut Halt| {
            let apart = (halt.place.across - place.across).hypot((halt.place.along - place.along) * 2.0);
            halt.stop == stop && apart < NEAR
        };
        match all.iter_mut().find(near) {
            Some(halt) => {
                halt.parts.push(*part);
                // What was told places the halt; what is only supposed follows it.
                if halt.known == Known::Supposed && known == Known::Told {
                    (halt.place, halt.known) = (place, known);
                }
            }
            None => all.push(Halt { stop, side: String::new(), place, known, parts: vec![*part] }),
        }
    }
    for at in 0..all.len() {
        let twice = all.iter().filter(|other| other.stop == all[at].stop).count() > 1;
        if twice {
            all[at].side = side(all[at].place).into();
        }
    }
    // The same side twice: told apart by how far forward.
    for at in 0..all.len() {
        let alike = |other: &Halt| other.stop == all[at].stop && other.side == all[at].side;
        if !all[at].side.is_empty() && all.iter().filter(|other| alike(other)).count() > 1 {
            let how = along(all[at].place);
            let side = all[at].side.clone();
            if !side.contains(how) {
                all[at].side = format!("{side} {how}");
            }
        }
    }
    all
}

/// How far forward a place is, in a word.
fn along(place: Place) -> &'static str {
    match place.along {
        along if along < 0.35 => "forward",
        along if along > 0.68 => "aft",
        _ => "amidships",
    }
}

/// The side of a place, in a word.
fn side(place: Place) -> &'static str {
    match place {
        Place { height, .. } if height > 1.05 => "above",
        Place { across, .. } if across < -0.3 => "port",
        Place { across, .. } if across > 0.3 => "starboard",
        Place { along, .. } if along < 0.35 => "forward",
        Place { along, .. } if along > 0.75 => "aft",
        _ => "amidships",
    }
}

impl Halt {
    fn title(&self) -> String {
        if self.side.is_empty() { self.stop.title().into() } else { format!("{}, {}", self.stop.title(), self.side) }
    }
}

fn anchor(number: usize) -> String {
    format!("stop-{number}")
}

/// Where one begins: the plan, the side, what is to be seen.
fn first(facts: &Facts, halts: &[Halt]) -> Chapter {
    let places: Vec<Place> = halts.iter().map(|halt| halt.place).collect();
    let drawn = sketch::both(&places);
    let mut blocks = vec![
        say(format!(
            "{} stops, in the order of the round. The numbers on the plan and on the side sketch are those of the stops. \
             Neither is drawn to scale.",
            sentence(words::count(halts.len(), "", "").trim()),
        )),
        Block::Caution("With the engine running keep hands, hair and sleeves away from belts, shaft and pulleys, and touch no pipe: hot ones look like cold ones.".into()),
        Block::Drawing { svg: drawn.plan, caption: "Plan, seen from above; the bow is to the left.".into(), width: 1.0 },
        Block::Drawing { svg: drawn.side, caption: "From the side; the bow is to the left.".into(), width: 1.0 },
    ];
    let supposed: Vec<PartId> =
        facts.walk.iter().copied().filter(|part| whereabouts::of(facts.plant, *part).1 == Known::Supposed).collect();
    if !supposed.is_empty() {
        let told = facts.walk.len() - supposed.len();
        blocks.push(say(format!(
            "The description says where {} stand{}. The others are put where such things usually are, or beside what they are joined \
             to; at each stop it is said which.",
            words::count(told, "part", "parts"),
            if told == 1 { "s" } else { "" },
        )));
    }
    let title = if facts.vessel().is_empty() {
        "Her engine room".into()
    } else {
        format!("The engine room of {}", facts.vessel())
    };
    chapter(&title, "tour", blocks)
}

fn stop(facts: &Facts, number: usize, halt: &Halt) -> Chapter {
    let plant = facts.plant;
    let mut blocks = vec![say(senses(facts, halt.stop))];
    blocks.extend(detail(facts, halt));
    let supposed: Vec<PartId> =
        halt.parts.iter().copied().filter(|part| whereabouts::of(plant, *part).1 == Known::Supposed).collect();
    if !supposed.is_empty() {
        let (is, here) = if supposed.len() == 1 {
            ("is", "it is shown here because of what it has to do with")
        } else {
            ("are", "they are shown here because of what they have to do with")
        };
        blocks.push(say(format!("The description does not say where {} {is}; {here}.", the_all(plant, &supposed))));
    }
    blocks.extend(parts_told(facts, &halt.parts));
    chapter(&format!("{number}. {}", halt.title()), &anchor(number), blocks)
}

/// Its piece of the schematic.
fn detail(facts: &Facts, halt: &Halt) -> Option<Block> {
    let drawn = |part: &&PartId| {
        let rect = facts.schematic.pieces[part.0].rect;
        rect.w > 0.0 && rect.h > 0.0
    };
    let around: Vec<usize> = halt.parts.iter().filter(drawn).map(|part| part.0).collect();
    if around.is_empty() {
        return None;
    }
    let live = Live { standalone: true, around, ..Live::default() };
    let svg = drawing::on_paper(&facts.schematic.svg(facts.plant, &live));
    let caption = format!("{} on the schematic.", sentence(&the_all(facts.plant, &halt.parts)));
    Some(Block::Drawing { svg, caption, width: 0.9 })
}
