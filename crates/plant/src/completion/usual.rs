//! What the kinds say of their usual places, gathered: the order of each circuit, what it cannot do without, its side ways.

use parts::catalogue::KINDS;
use parts::kind::{Circuit, Kind, Place, Role, Station};

/// The usual shape of a circuit.
pub(super) struct Layout {
    pub circuit: Circuit,
    /// Kinds of its main path.
    pub along: Vec<Along>,
}

/// A kind in the main path of a circuit.
pub(super) struct Along {
    pub kind: &'static Kind,
    pub station: Station,
    pub role: Role,
}

/// A way beside the main path.
pub(super) struct Side {
    pub circuit: Circuit,
    pub kind: &'static Kind,
    pub passage: &'static str,
    pub after: Option<Station>,
    pub before: Option<Station>,
    pub usual: bool,
}

/// The usual shape of every circuit that has one, each in the order of the flow.
pub(super) fn layouts() -> Vec<Layout> {
    let shape = |&circuit: &Circuit| {
        let mut along: Vec<Along> = KINDS.iter().flat_map(|kind| places_in(kind, circuit)).collect();
        along.sort_by_key(|it| it.station);
        (!along.is_empty()).then_some(Layout { circuit, along })
    };
    Circuit::ALL.iter().filter_map(shape).collect()
}

/// Every side way, by circuit.
pub(super) fn sides() -> Vec<Side> {
    let mut sides: Vec<Side> =
        KINDS.iter().flat_map(|kind| kind.places.iter().filter_map(|place| side(kind, place))).collect();
    sides.sort_by_key(|side| side.circuit);
    sides
}

fn side(kind: &'static Kind, place: &Place) -> Option<Side> {
    let Place::Beside { circuit, passage, after, before, usual } = *place else { return None };
    Some(Side { circuit, kind, passage, after, before, usual })
}

fn places_in(kind: &'static Kind, of: Circuit) -> impl Iterator<Item = Along> {
    kind.places.iter().filter_map(move |place| match *place {
        Place::Along { circuit, station, role } if circuit == of => Some(Along { kind, station, role }),
        _ => None,
    })
}

/// The station of a kind in the main path of a circuit.
pub(super) fn station(kind: &'static Kind, circuit: Circuit) -> Option<Station> {
    places_in(kind, circuit).next().map(|it| it.station)
}

/// Does one kind stand in for the other in this circuit?
pub(super) fn stands_for(other: &'static Kind, kind: &'static Kind, circuit: Circuit) -> bool {
    let place = station(kind, circuit);
    std::ptr::eq(other, kind) || (place.is_some() && place == station(other, circuit))
}

impl Layout {
    /// Kinds of a role, in the order of the flow.
    pub fn of(&self, role: Role) -> impl Iterator<Item = &'static Kind> {
        self.along.iter().filter(move |it| it.role == role).map(|it| it.kind)
    }

    /// Is the kind in its main path?
    pub fn has(&self, kind: &Kind) -> bool {
        self.along.iter().any(|it| std::ptr::eq(it.kind, kind))
    }
}
