//! What goes wrong with any propeller, its shaft and the hull, and what people say of them.

use crate::kind::*;

/// What makes any propeller harder to turn.
pub(crate) const LOADS: [Cause; 4] = [
    Cause {
        name: "hull_fouled",
        title: "growth on the hull",
        moves: &[Move { on: Whose::Own, parameter: "hull_growth", by: By::Factor(1.6) }],
        severity: Severity::MostlySlight,
        says: &[says("growth at the waterline", 0.6)],
        misreads: None,
        rate: "hull-fouled",
        remedy: "clean the hull",
    },
    Cause {
        name: "propeller_fouled",
        title: "growth on the propeller",
        moves: &[Move { on: Whose::Own, parameter: "propeller_growth", by: By::Factor(2.2) }],
        severity: Severity::MostlySlight,
        says: &[says("vibrates", 0.2), says("growth at the waterline", 0.25)],
        misreads: None,
        rate: "propeller-fouled",
        remedy: "clean the propeller",
    },
    Cause {
        name: "rope",
        title: "rope, net or bag in the propeller",
        moves: &[Move { on: Whose::Own, parameter: "propeller_growth", by: By::Factor(3.0) }],
        severity: Severity::MostlyBad,
        says: &[
            says("vibrates", 0.65),
            says("bang or jerk as it began", 0.4),
            says_of("diesel", "stops by itself", 0.25),
            says("stern gland hot", 0.1),
        ],
        misreads: None,
        rate: "rope-in-propeller",
        remedy: "clear the propeller",
    },
    Cause {
        name: "blade_damaged",
        title: "blade of the propeller bent or eroded",
        moves: &[Move { on: Whose::Own, parameter: "propeller_growth", by: By::Factor(1.25) }],
        severity: Severity::Even,
        says: &[says("vibrates", 0.8), says("bang or jerk as it began", 0.35)],
        misreads: None,
        rate: "propeller-blade-damaged",
        remedy: "have the propeller repaired",
    },
];

/// What it is when there is no propeller any more; which figure that moves is the kind's.
pub(crate) const LOST: Cause = Cause {
    name: "lost",
    title: "propeller lost or turning on its shaft",
    moves: &[Move { on: Whose::Own, parameter: "pitch", by: By::Towards(0.001) }],
    severity: Severity::Whole,
    says: &[says("bang or jerk as it began", 0.3), says("thumps when shifting", 0.15)],
    misreads: None,
    rate: "propeller-lost",
    remedy: "fit a propeller",
};

/// Ways that the shaft line fails, whatever turns the blades.
pub(crate) const CAUSES: [Cause; 8] = [
    spoken(&Spoken {
        name: "rope_damage",
        title: "shaft gear hurt by an earlier rope",
        says: &[
            says("vibrates", 0.7),
            says("stern gland leaks fast", 0.5),
            says("bang or jerk as it began", 0.4),
            says("engine rocks", 0.3),
        ],
        rate: "rope-strike-damage",
        remedy: "survey shaft, tube and mounts, and repair",
    }),
    spoken(&Spoken {
        name: "coupling_loose",
        title: "shaft loose in its coupling, or its bolts loose",
        says: &[
            says("thumps when shifting", 0.6),
            says("vibrates", 0.4),
            says("rust dust at coupling or mount", 0.4),
            says("slower than usual", 0.2),
            says("no drive", 0.15),
        ],
        rate: "shaft-coupling-loose",
        remedy: "make the coupling fast",
    }),
    spoken(&Spoken {
        name: "shaft_misaligned",
        title: "shaft out of line with the engine",
        says: &[
            says("vibrates", 0.6),
            says("stern gland leaks fast", 0.4),
            says("stern gland hot", 0.25),
            says("rust dust at coupling or mount", 0.2),
        ],
        rate: "shaft-misaligned",
        remedy: "align the engine, afloat",
    }),
    spoken(&Spoken {
        name: "shaft_bearing_worn",
        title: "shaft bearing worn",
        says: &[says("vibrates", 0.6), says("rumbles at the stern", 0.55), says("stern gland leaks fast", 0.3)],
        rate: "shaft-bearing-worn",
        remedy: "renew the bearing",
    }),
    Cause {
        moves: &[Move { on: Whose::Flooded("bilge"), parameter: "inflow", by: By::Add(0.02) }],
        ..spoken(&Spoken {
            name: "gland_leaks",
            title: "stern gland leaks or runs hot",
            says: &[says("stern gland leaks fast", 0.75), says("stern gland hot", 0.3)],
            rate: "stern-gland-leaks",
            remedy: "adjust or repack the gland",
        })
    },
    spoken(&Spoken {
        name: "seal_unfed",
        title: "water feed of the shaft seal blocked",
        says: &[
            says("squeals at the stern", 0.65),
            says("stern gland hot", 0.7),
            says_of("diesel", "smell of hot rubber", 0.5),
            says("stern gland leaks fast", 0.3),
        ],
        rate: "shaft-seal-water-feed-blocked",
        remedy: "clear the water feed",
    }),
    spoken(&Spoken {
        name: "mount_loose",
        title: "nut or bolt of an engine mount loose",
        says: &[
            says("engine rocks", 0.5),
            says_of("diesel", "shakes", 0.5),
            says("vibrates", 0.4),
            says("thumps when shifting", 0.35),
            says("rust dust at coupling or mount", 0.35),
        ],
        rate: "engine-mount-loose",
        remedy: "tighten the mount, then check the alignment",
    }),
    spoken(&Spoken {
        name: "mount_failed",
        title: "engine mount collapsed or its rubber let go",
        says: &[
            says("engine rocks", 0.6),
            says_of("diesel", "shakes", 0.6),
            says("vibrates", 0.5),
            says("stern gland leaks fast", 0.2),
            says("thumps when shifting", 0.35),
        ],
        rate: "engine-mount-failed",
        remedy: "renew the mount, then align",
    }),
];

/// What people say of it.
pub(crate) const WORDS: [Word; 13] = [
    Word {
        name: "slower than usual",
        of: Of::Share { probe: Probe::Unknown(1), midpoint: 0.9, spread: 0.05, when: When::Low },
        false_said: 0.05,
        miss: 0.2,
        group: "speed",
        danger: None,
        source: "from memory",
    },
    Word {
        name: "no drive",
        of: Of::Share { probe: Probe::Unknown(1), midpoint: 0.3, spread: 0.1, when: When::Low },
        false_said: 0.01,
        miss: 0.05,
        group: "speed",
        danger: Some("Engine to idle. Anchor, sail or fenders at once; then see whether the shaft turns."),
        source: "from memory",
    },
    Word {
        name: "labours",
        of: Of::Share { probe: Probe::Unknown(0), midpoint: 1.3, spread: 0.15, when: When::High },
        false_said: 0.05,
        miss: 0.3,
        group: "load",
        danger: None,
        source: "from memory",
    },
    Word {
        name: "vibrates",
        of: Of::Cause,
        false_said: 0.05,
        miss: 0.2,
        group: "shaft-feel",
        danger: Some("Slow down until it stops. Look for water at the stern gland before going on."),
        source: "from memory",
    },
    said("growth at the waterline", 0.15, 0.2, "growth"),
    said("bang or jerk as it began", 0.01, 0.2, "onset"),
    said("thumps when shifting", 0.05, 0.3, "shaft-feel"),
    said("rumbles at the stern", 0.04, 0.35, "shaft-noise"),
    said("squeals at the stern", 0.03, 0.25, "shaft-noise"),
    Word {
        name: "stern gland hot",
        of: Of::Cause,
        false_said: 0.04,
        miss: 0.3,
        group: "gland",
        danger: Some(
            "Ease back until it cools: a wet cloth round it, a trickle of drip let in. Do not run \
                  a dry seal on.",
        ),
        source: "from memory",
    },
    Word {
        name: "stern gland leaks fast",
        of: Of::Cause,
        false_said: 0.05,
        miss: 0.15,
        group: "gland",
        danger: Some(
            "Slow down, pumps ready and counted. If it gains, out of gear, and press or wrap the \
                  gland tight.",
        ),
        source: "from memory",
    },
    said("engine rocks", 0.04, 0.3, "mounts"),
    said("rust dust at coupling or mount", 0.06, 0.35, "mounts"),
];
