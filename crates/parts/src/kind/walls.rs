//! What keeps one liquid from another, and from what is outside: walls and seals.

/// A wall or seal of a part.
#[derive(Copy, Clone, Debug)]
pub struct Wall {
    /// Its words: "the tubes".
    pub name: &'static str,
    /// The passage on one side of it.
    pub inside: &'static str,
    /// What is on the other.
    pub beyond: Beyond,
    /// Causes of the part that let one into the other.
    pub causes: &'static [&'static str],
}

/// What lies beyond a wall.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Beyond {
    /// Another passage of the part.
    Way(&'static str),
    /// The cylinders: gas at far more than any liquid has when the engine fires, and at that of the air when it stands.
    Cylinder,
    /// The engine's oil below its bearings, at the pressure of the air.
    Crankcase,
    /// The sea outside the hull.
    Sea,
    /// The engine space and its bilge.
    Space,
}

/// A wall between a passage and what lies beyond.
pub const fn wall(name: &'static str, inside: &'static str, beyond: Beyond, causes: &'static [&'static str]) -> Wall {
    Wall { name, inside, beyond, causes }
}
