//! The tables: the usual order of each circuit, what it cannot do without, its side ways, and what may stand in for what.

use parts::kind::Circuit;

/// The usual shape of a circuit.
pub(super) struct Layout {
    pub circuit: Circuit,
    /// Kinds in the order of the flow.
    pub order: &'static [&'static str],
    /// Kinds it cannot do without.
    pub needs: &'static [&'static str],
    /// Kinds it has besides if the owner says nothing of it at all.
    pub usual: &'static [&'static str],
    /// Kind that a path begins with if it begins with an open port; "" in a ring.
    pub begins: &'static str,
    /// Kind that the main path ends with if it ends with an open port; "" in a ring.
    pub ends: &'static str,
}

/// A way beside the main path.
pub(super) struct Side {
    pub circuit: Circuit,
    pub kind: &'static str,
    pub passage: &'static str,
    /// It leaves after this kind; "" if its own start is in the main path already.
    pub after: &'static str,
    /// It comes back before this kind; "" if it ends in the open.
    pub before: &'static str,
    /// Every plant with this circuit has it, told or not.
    pub usual: bool,
}

/// Common practice, no source. A relief valve, a by-pass, a cap: every diesel with this circuit has them.
pub(super) const LAYOUTS: &[Layout] = &[
    Layout {
        circuit: Circuit::RawWater,
        order: &[
            "intake",
            "sea-chest",
            "valve",
            "strainer",
            "duplex-strainer",
            "check-valve",
            "raw-pump",
            "plunger-pump",
            "centrifugal-pump",
            "gear-cooler",
            "oil-cooler",
            "charge-air-cooler",
            "exchanger",
            "plate-exchanger",
            "vented-loop",
            "elbow",
        ],
        needs: &["raw-pump"],
        usual: &["strainer"],
        begins: "intake",
        ends: "elbow",
    },
    Layout {
        circuit: Circuit::FreshWater,
        order: &[
            "coolant-pump",
            "gear-cooler",
            "oil-cooler",
            "charge-air-cooler",
            "diesel",
            "thermostat",
            "exchanger",
            "plate-exchanger",
            "keel-cooler",
            "skin-tank",
            "box-cooler",
        ],
        needs: &["coolant-pump", "diesel", "thermostat"],
        usual: &[],
        begins: "",
        ends: "",
    },
    Layout {
        circuit: Circuit::Oil,
        order: &["sump", "oil-pickup", "oil-pump", "oil-filter", "oil-cooler", "diesel"],
        needs: &["sump", "oil-pickup", "oil-pump", "diesel"],
        usual: &["oil-filter", "oil-cooler"],
        begins: "",
        ends: "",
    },
    Layout {
        circuit: Circuit::Exhaust,
        order: &["diesel", "turbocharger", "bellows", "elbow", "exhaust-hose", "dry-stack", "silencer", "outlet"],
        needs: &["diesel"],
        usual: &["exhaust-hose", "silencer"],
        begins: "",
        ends: "outlet",
    },
    Layout {
        circuit: Circuit::GearOil,
        order: &["gearbox", "gear-cooler"],
        needs: &[],
        usual: &[],
        begins: "",
        ends: "",
    },
    // No pump among what it needs: fuel may run down to the engine by itself.
    Layout {
        circuit: Circuit::Fuel,
        order: &[
            "fuel-tank",
            "fuel-pickup",
            "valve",
            "fuel-separator",
            "duplex-fuel-filter",
            "feed-pump",
            "electric-feed-pump",
            "fuel-filter",
            "injection-pump",
        ],
        needs: &["fuel-tank", "injection-pump"],
        usual: &[],
        begins: "",
        ends: "",
    },
];

pub(super) const SIDES: &[Side] = &[
    Side {
        circuit: Circuit::FreshWater,
        kind: "thermostat",
        passage: "bypass",
        after: "",
        before: "coolant-pump",
        usual: true,
    },
    Side {
        circuit: Circuit::FreshWater,
        kind: "header-tank",
        passage: "pool",
        after: "",
        before: "coolant-pump",
        usual: true,
    },
    Side {
        circuit: Circuit::Oil,
        kind: "relief-valve",
        passage: "oil",
        after: "oil-pump",
        before: "sump",
        usual: true,
    },
    Side {
        circuit: Circuit::FreshWater,
        kind: "cabin-heater",
        passage: "coolant",
        after: "diesel",
        before: "coolant-pump",
        usual: false,
    },
    Side {
        circuit: Circuit::Oil,
        kind: "bypass-filter",
        passage: "oil",
        after: "oil-pump",
        before: "sump",
        usual: false,
    },
    Side {
        circuit: Circuit::RawWater,
        kind: "stern-tube-feed",
        passage: "water",
        after: "raw-pump",
        before: "",
        usual: false,
    },
    Side { circuit: Circuit::Fuel, kind: "injection-pump", passage: "injected", after: "", before: "", usual: false },
];

/// What may be there in place of a kind: one of these in the main path, and it is not missed.
const INSTEAD: &[(&str, &[&str])] = &[
    ("intake", &["sea-chest"]),
    ("strainer", &["duplex-strainer"]),
    ("raw-pump", &["plunger-pump", "centrifugal-pump", "electric-pump"]),
    ("coolant-pump", &["centrifugal-pump", "electric-pump"]),
    ("exhaust-hose", &["dry-stack"]),
];

/// Kinds that may stand in for this one.
pub(super) fn instead_of(kind: &str) -> &'static [&'static str] {
    INSTEAD.iter().find(|(of, _)| *of == kind).map_or(&[], |(_, others)| others)
}
