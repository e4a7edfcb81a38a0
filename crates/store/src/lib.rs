//! What is kept? Readings of gauges and what happened, for years, in one file that never loses what it has acknowledged.
//!
//! Readings are whole steps of a gauge's own resolution. They are written down at once, acknowledged once they are on the
//! disk, and packed by the hour later; minutes and hours are summarised, so that ten years are drawn as fast as ten
//! seconds. What happened (an alert, a piece of work) is an event: a line of JSON that is never changed. This room knows nothing of vessels and never learns what time it is: whoever gives a reading gives its time.
//!
//! Start with [`Store`], then `writer.rs` (what is committed when), `absorb.rs` (how readings are packed) and `reader.rs`
//! (how they are read back); `event.rs` for events. `schema.rs` has the layout of the file, and `docs/storage.md` tells it in words.

#![warn(clippy::disallowed_macros)]
// Counts, pages and milliseconds stay far below where a sign would turn.
#![allow(clippy::cast_possible_wrap)]

mod absorb;
mod check;
mod chunk;
mod clock;
mod codec;
mod copies;
mod error;
mod event;
mod reader;
mod reading;
mod retain;
mod schema;
mod store;
mod summary;
mod writer;

pub use check::Health;
pub use copies::restore;
pub use error::StoreError;
pub use event::{Event, Events, Noted, note_beside};
pub use reader::Reader;
pub use reading::{Arrival, Clock, Gauge, Kept, Plot, Point, Reading, Series, Taken};
pub use store::{Pending, Store};

pub(crate) use store::alone;
