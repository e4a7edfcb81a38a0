//! Checks on propeller, shaft and hull.

use crate::kind::*;

/// Checks that can be made on a propeller of fixed pitch.
pub(super) const CHECKS: [Check; 8] = joined(
    [
        DIVE,
        FULL_SPEED,
        Check {
            name: "read_the_stamp",
            title: "Read diameter and pitch on the hub and have them reckoned against engine and gear",
            minutes: 30.0,
            state: State::UnderWater,
            tool: Some("wire brush, rule"),
            caution: "Engine locked out; a stamp may be of before a repair.",
            finds: &[Find { cause: "over_pitched", power: "visual-general" }],
        },
    ],
    LINE,
);

/// For what grows on it and hangs in it.
pub(crate) const DIVE: Check = Check {
    name: "dive",
    title: "Dive and look at propeller, shaft and hull",
    minutes: 30.0,
    state: State::UnderWater,
    tool: Some("mask, knife, scraper"),
    caution: "No one in the water until the engine cannot be started; a line on the diver, and no \
              swell under the stern.",
    finds: &[
        Find { cause: "rope", power: "dive" },
        Find { cause: "propeller_fouled", power: "dive" },
        Find { cause: "hull_fouled", power: "dive" },
        Find { cause: "blade_damaged", power: "dive" },
        Find { cause: "lost", power: "dive" },
    ],
};

/// For what makes it hard to turn.
pub(crate) const FULL_SPEED: Check = Check {
    name: "full_speed",
    title: "Clear calm water: open up slowly and note engine speed, boat speed and smoke",
    minutes: 10.0,
    state: State::Running,
    tool: Some("log or position receiver"),
    caution: "Only as long as the coolant stays within its limit.",
    finds: &[
        Find { cause: "over_pitched", power: "compare-log" },
        Find { cause: "hull_fouled", power: "compare-log" },
        Find { cause: "propeller_fouled", power: "compare-log" },
    ],
};

/// Checks on shaft, gland, coupling and mounts.
pub(crate) const LINE: [Check; 5] = [
    Check {
        name: "feel_the_gland",
        title: "Measure the gland and count its drips, running and stopped",
        minutes: 3.0,
        state: State::Running,
        tool: Some("infrared thermometer, watch"),
        caution: "Hair, sleeves and lamp cord away from shaft and coupling.",
        finds: &[Find { cause: "gland_leaks", power: "gland-ir" }, Find { cause: "seal_unfed", power: "gland-ir" }],
    },
    Check {
        name: "feed_hose_off",
        title: "Take the feed hose off the shaft seal: does water come?",
        minutes: 5.0,
        state: State::Idling,
        tool: Some("screwdriver, cup"),
        caution: "Out of gear, shaft still; stop if the seal is too hot to touch.",
        finds: &[Find { cause: "seal_unfed", power: "valve-status-seen" }],
    },
    Check {
        name: "look_at_the_coupling",
        title: "Look at coupling, bolts, key and mounts; lever each mount",
        minutes: 10.0,
        state: State::Stopped,
        tool: Some("spanner, lever, torch"),
        caution: "Key out: a shaft may turn with the stream; block it.",
        finds: &[
            Find { cause: "coupling_loose", power: "visual-general" },
            Find { cause: "mount_loose", power: "visual-general" },
            Find { cause: "mount_failed", power: "visual-general" },
            Find { cause: "rope_damage", power: "visual-general" },
        ],
    },
    Check {
        name: "coupling_gaps",
        title: "Slack the coupling, afloat, and measure the gap at four points",
        minutes: 45.0,
        state: State::StoppedCold,
        tool: Some("feelers, spanner"),
        caution: "Afloat and in trim; make sure that the shaft cannot slide aft out of the gland.",
        finds: &[
            Find { cause: "shaft_misaligned", power: "coupling-gaps" },
            Find { cause: "mount_failed", power: "coupling-gaps" },
        ],
    },
    Check {
        name: "lift_the_shaft",
        title: "Lift the shaft by a lever at the bearing and measure the play",
        minutes: 15.0,
        state: State::UnderWater,
        tool: Some("lever, dial gauge"),
        caution: "Ashore, and chocks checked.",
        finds: &[
            Find { cause: "shaft_bearing_worn", power: "shaft-lift" },
            Find { cause: "rope_damage", power: "shaft-lift" },
        ],
    },
];
