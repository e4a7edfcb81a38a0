//! Ways through a part, and pools in it.

use super::Circuit;

/// One way through a part for one liquid or gas; or, where both ends are the same port, a pool.
#[derive(Copy, Clone, Debug)]
pub struct Passage {
    /// Name, for "exchanger.raw".
    pub name: &'static str,
    /// The circuits it can belong to.
    pub carries: &'static [Circuit],
    /// Where it begins.
    pub from: End,
    /// Where it ends.
    pub to: End,
    /// What becomes of its contents in the part, told before its name: "is strained in".
    pub does: &'static str,
}

/// An end of a passage.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum End {
    /// A port that other parts join on to.
    Port(&'static str),
    /// The sea outside the hull, at the depth of the opening.
    Sea,
    /// The open air (and, for an outlet above water, the sea's surface).
    Air,
    /// Ground: the hull or the negative busbar, at 0 V.
    Ground,
    /// What the part itself stores, against ground: a battery takes current and gives it.
    Store,
    /// Into the node of another port of this part without joining its balance: water sprayed into exhaust gas.
    Into(&'static str),
}

impl Passage {
    /// A pool is one node with a pressure of its own (a sump, a header tank), not a way through.
    pub fn is_pool(&self) -> bool {
        matches!((self.from, self.to), (End::Port(a), End::Port(b)) if a == b)
    }

    /// Its one port, where the other end is ground: what goes on from it or comes to it is joined there.
    pub fn live_port(&self) -> Option<&'static str> {
        match (self.from, self.to) {
            (End::Port(port), End::Ground | End::Store) | (End::Ground, End::Port(port)) => Some(port),
            _ => None,
        }
    }

    /// The same, telling what becomes of its contents.
    pub const fn that(self, does: &'static str) -> Passage {
        Passage { does, ..self }
    }
}

/// A way through from port `from` to port `to`.
pub const fn passage(name: &'static str, carries: &'static [Circuit], from: &'static str, to: &'static str) -> Passage {
    way_through(name, carries, End::Port(from), End::Port(to))
}

/// A way through between any two ends.
pub const fn way_through(name: &'static str, carries: &'static [Circuit], from: End, to: End) -> Passage {
    Passage { name, carries, from, to, does: "passes" }
}
