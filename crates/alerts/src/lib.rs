//! What deserves attention? Conditions that last become alerts; alerts are seen, held, gathered, and never lost.
//!
//! This room knows no vessel: whoever watches one says at every look what is past its limit and what is not ([`Sign`]),
//! and what people do ([`Deed`]). It has no clock; the time is handed in, and may jump. What comes of it is a change of
//! state ([`Change`]), each of them one line of the history.
//!
//! Start in `state.rs` (the table of states), then `board.rs` (all alerts of a vessel), `condition.rs` (how long before
//! it counts), `line.rs` (what people are shown) and `delays.rs` (how long, by quantity).

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

mod board;
mod category;
mod condition;
mod deed;
mod delays;
mod line;
mod sound;
mod state;
mod time;

pub use board::{Alert, Board, Change, Sign};
pub use category::Category;
pub use condition::{Delays, Past};
pub use deed::{Deed, Refused};
pub use delays::delays;
pub use line::{Group, Line, Shown, Sort};
pub use sound::Pattern;
pub use state::{Input, State, after};
