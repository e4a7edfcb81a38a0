//! Pitch indicator: a scale at the rod or an electric repeater of it. What the blades do beside it is the propeller's.

use crate::gauge::gauge;
use crate::gauge::shared::*;
use crate::kind::*;

/// Reads the pitch of a propeller.
pub const KIND: Kind = gauge(
    "pitch-gauge",
    "Pitch indicator",
    "Z",
    &[
        WIRE_OPEN,
        WIRE_GROUNDED,
        Cause {
            name: "feedback_worn",
            title: "feedback of the pitch indicator worn or loose on the rod",
            severity: Severity::Even,
            misreads: Some(Misreads::Either),
            rate: "pitch-feedback-worn",
            remedy: "renew the feedback and set it to the marks",
            ..WANDERS
        },
        HEAD_FAULTY,
    ],
    WORDS,
    &[
        Check {
            name: "marks",
            title: "Compare it with the marks where the rod leaves the shaft",
            minutes: 5.0,
            state: State::Idling,
            tool: Some("torch"),
            caution: "Shaft out of gear or stopped before you bend over it; fingers away from the rod.",
            finds: &[
                find("feedback_worn", "visual-general"),
                find("wire_open", "visual-general"),
                find("wire_grounded", "visual-general"),
                find("head_faulty", "visual-general"),
            ],
        },
        Check {
            name: "wiggle",
            title: "Move the plugs and wires of the indicator while a helper watches the needle",
            finds: &[find("wire_open", "wiggle"), find("wire_grounded", "wiggle")],
            ..WIGGLE
        },
    ],
);
