//! Is she as she was designed, and as she was when last known good? The sea trial: its sheet, its judgement, a baseline that
//! is named and never changed, and what has changed since.
//!
//! What is *designed* is what the description gives, what is *commissioned* the same narrowed by the readings of a baseline
//! and carried to the sea and speed of today, what is *now* was read. Nothing here opens a file or reads a clock.
//!
//! Start in `stages.rs` (what is done, and what ought to be read), then `kept.rs` (a trial as it is written down), `judged.rs`
//! (pass or fail) and `compared.rs` (designed, commissioned, now).

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod compared;
pub mod judged;
pub mod kept;
pub mod stages;
