//! Where things are in the engine room: the owner's words as a coarse place, and where there are none, the usual one.

use crate::kinds::{self, Stop};
use plant::plant::{PartId, Plant, Terminal};
use watch::tale::note;

/// A coarse place in the engine room.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Place {
    /// From the forward bulkhead, 0, to the aft one, 1; a little over 1 is abaft of it.
    pub along: f64,
    /// From port, −1, to starboard, 1.
    pub across: f64,
    /// From the keel, 0, to the deckhead, 1; above it is over 1.
    pub height: f64,
}

/// How a place came to be known.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Known {
    /// The owner wrote it.
    Told,
    /// From what it is joined to, or where such a part usually stands.
    Supposed,
}

/// What words say of a place; what they do not say is left out.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
struct Said {
    along: Option<f64>,
    across: Option<f64>,
    height: Option<f64>,
}

/// Words of a place and what they say: (along, across, height), none where it says nothing of that.
const WORDS: &[(&str, Said)] = &[
    ("forward", at(Some(0.14), None, None)),
    ("fore", at(Some(0.14), None, None)),
    ("front", at(Some(0.14), None, None)),
    ("aft", at(Some(0.84), None, None)),
    ("abaft", at(Some(0.88), None, None)),
    ("after", at(Some(0.92), None, None)),
    ("amidships", at(Some(0.5), Some(0.0), None)),
    ("lazarette", at(Some(1.08), None, Some(0.5))),
    ("stern", at(Some(0.95), None, None)),
    ("port", at(None, Some(-0.78), None)),
    ("starboard", at(None, Some(0.78), None)),
    ("middle", at(None, Some(0.0), None)),
    ("centre", at(None, Some(0.0), None)),
    ("centreline", at(None, Some(0.0), None)),
    ("bilge", at(None, None, Some(0.06))),
    ("plate", at(None, None, Some(0.06))),
    ("floor", at(None, None, Some(0.12))),
    ("under", at(None, None, Some(0.15))),
    ("below", at(None, None, Some(0.15))),
    ("keel", at(None, Some(0.0), Some(0.02))),
    ("waterline", at(None, None, Some(0.45))),
    ("over", at(None, None, Some(0.8))),
    ("above", at(None, None, Some(0.8))),
    ("overhead", at(None, None, Some(0.92))),
    ("deckhead", at(None, None, Some(0.95))),
    ("funnel", at(Some(0.62), None, Some(1.15))),
    ("wheelhouse", at(Some(0.12), None, Some(1.2))),
    ("helm", at(Some(0.12), None, Some(1.2))),
    ("companion", at(Some(0.05), None, Some(0.5))),
    ("companionway", at(Some(0.05), None, Some(0.5))),
];

const fn at(along: Option<f64>, across: Option<f64>, height: Option<f64>) -> Said {
    Said { along, across, height }
}

/// Reads the owner's words; nothing where they name no place that is known.
fn read(text: &str) -> Said {
    let mut said = Said::default();
    let words = text.split(|letter: char| !letter.is_alphanumeric()).map(str::to_lowercase);
    for word in words {
        let Some((_, means)) = WORDS.iter().find(|(known, _)| *known == word) else { continue };
        // The word that comes first is the one that places it: "port bilge, under the second plate".
        said.along = said.along.or(means.along);
        said.across = said.across.or(means.across);
        said.height = said.height.or(means.height);
    }
    said
}

/// Where a part usually stands that nobody placed; common practice, no source.
fn usual(stop: Stop) -> Place {
    let (along, across, height) = match stop {
        Stop::Door => (0.0, 0.0, 0.5),
        Stop::Bilge => (0.8, 0.12, 0.04),
        Stop::Inlet => (0.3, -0.78, 0.15),
        Stop::RawPump => (0.26, -0.34, 0.35),
        Stop::Coolers => (0.42, 0.5, 0.5),
        Stop::Header => (0.3, 0.1, 0.88),
        Stop::Engine => (0.46, 0.0, 0.45),
        Stop::Cylinders => (0.5, -0.14, 0.72),
        Stop::Fuel => (0.55, -0.62, 0.5),
        Stop::Air => (0.6, 0.2, 0.95),
        Stop::Exhaust => (0.74, 0.4, 0.8),
        Stop::Charging => (0.2, 0.42, 0.4),
        Stop::Gear => (0.68, 0.0, 0.3),
        Stop::Shaft => (0.92, 0.0, 0.14),
        Stop::Hydraulics => (1.06, 0.3, 0.4),
        Stop::Helm => (0.12, 0.0, 1.2),
    };
    Place { along, across, height }
}

/// The stop of the round at which a part is passed.
pub fn stop(plant: &Plant, part: PartId) -> Stop {
    let told = kinds::told(plant[part].kind).and_then(|told| told.stop);
    told.unwrap_or_else(|| {
        let flow = plant[part].flows.iter().flatten().next();
        kinds::stop_of(flow.map_or(plant[part].kind.circuit, |flow| plant.flows[flow.0].circuit))
    })
}

/// How far to a side the engine stands that a part serves, by its name: −1 to 1.
fn side_of(plant: &Plant, part: PartId) -> f64 {
    let engines = plant.engines().count();
    let named = |name: &str| read(&name.replace('-', " ")).across;
    let own = named(&plant[part].name);
    if engines < 2 {
        return own.map_or(0.0, |side| side * 0.3);
    }
    let engine = plant[part].engine.and_then(|engine| named(&plant[engine].name));
    own.or(engine).map_or(0.0, |side| side * 0.62)
}

/// Where a part is, and how that is known.
pub fn of(plant: &Plant, part: PartId) -> (Place, Known) {
    of_joined(plant, part, true)
}

fn of_joined(plant: &Plant, part: PartId, look_about: bool) -> (Place, Known) {
    let stop = stop(plant, part);
    let mut place = usual(stop);
    let side = side_of(plant, part);
    let said = note(plant, part, "where").map(|text| read(&text)).unwrap_or_default();
    if said != Said::default() {
        place.along = said.along.unwrap_or(place.along);
        place.across = said.across.unwrap_or(if side == 0.0 { place.across } else { side });
        place.height = said.height.unwrap_or(place.height);
        return (place, Known::Told);
    }
    if look_about && let Some(near) = beside(plant, part) {
        return (near, Known::Supposed);
    }
    if side != 0.0 {
        place.across = (side + place.across * 0.3).clamp(-0.95, 0.95);
    }
    (place, Known::Supposed)
}

/// The place of a part that is joined to this one at the same stop, and was told.
fn beside(plant: &Plant, part: PartId) -> Option<Place> {
    let ends = |of: PartId| {
        let flows = plant[of].flows.iter().flatten().map(|flow| &plant.flows[flow.0]);
        flows.flat_map(|flow| [flow.from, flow.to]).filter(|end| matches!(end, Terminal::Node(_))).collect::<Vec<_>>()
    };
    let (own, own_stop) = (ends(part), stop(plant, part));
    let others = (0..plant.parts.len()).map(PartId).filter(|other| *other != part && stop(plant, *other) == own_stop);
    others
        .filter(|other| ends(*other).iter().any(|end| own.contains(end)))
        .map(|other| of_joined(plant, other, false))
        .find(|(_, known)| *known == Known::Told)
        .map(|(place, _)| place)
}

/// Every part in walking order: by stop, there by engine and place, and then along the flow.
pub fn walk(plant: &Plant) -> Vec<PartId> {
    let mut all: Vec<(Stop, i64, i64, usize, PartId)> = (0..plant.parts.len())
        .map(PartId)
        .map(|part| {
            let (place, _) = of(plant, part);
            let coarse = |share: f64| (share * 4.0).round() as i64;
            let depth = plant::follow::depth(plant, part);
            (stop(plant, part), coarse(place.across), coarse(place.along), depth, part)
        })
        .collect();
    all.sort_by_key(|(stop, across, along, depth, part)| (*stop, *across, *along, *depth, part.0));
    all.into_iter().map(|(.., part)| part).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_say_where_it_is() {
        let port = read("port bilge, under the second plate");
        assert!(port.across.is_some_and(|across| across < -0.5) && port.height.is_some_and(|height| height < 0.1));
        assert_eq!(port.along, None);
        let fore = read("forward end, starboard");
        assert!(fore.along.is_some_and(|along| along < 0.3) && fore.across.is_some_and(|across| across > 0.5));
        assert!(read("up the funnel, port side").height.is_some_and(|height| height > 1.0));
        assert_eq!(read("frame 20"), Said::default());
        assert_eq!(read(""), Said::default());
    }

    #[test]
    fn what_has_no_place_stands_by_what_it_is_joined_to() {
        let text = include_str!("../../../vessels/marram/vessel.toml");
        let plant = plant::reader::read(text).0.expect("it loads");
        let place = |name: &str| of(&plant, plant.part(name).expect("it is there"));
        let (seacock, known) = place("seacock-port");
        assert_eq!(known, Known::Told);
        let (strainer, known) = place("strainer-port");
        assert_eq!(known, Known::Supposed);
        assert_eq!(strainer, seacock);
        assert!(place("seacock-starboard").0.across > 0.5);
    }

    #[test]
    fn the_walk_takes_every_part_once_in_the_order_of_the_round() {
        let text = include_str!("../../../vessels/orache/vessel.toml");
        let plant = plant::reader::read(text).0.expect("it loads");
        let walk = walk(&plant);
        assert_eq!(walk.len(), plant.parts.len());
        let stops: Vec<Stop> = walk.iter().map(|part| stop(&plant, *part)).collect();
        assert!(stops.windows(2).all(|pair| pair[0] <= pair[1]));
    }
}
