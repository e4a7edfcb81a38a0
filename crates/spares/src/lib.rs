//! What must be aboard? Items and kits as the owner describes them, what of them is there, what a passage needs of them, and
//! what is to be ordered.
//!
//! A passage needs what the work that falls due uses up, and beside that what may fail. Failures of a part come as a Poisson
//! stream whose rate is known within a belief, so that their number in a passage is negative binomial ([`count`]); of all
//! stocks by which the chance of lacking anything stays below what the owner chooses, [`least`] finds the one of least
//! weight, cost or volume.
//!
//! Never here: files, the clock, words of a page. Start with [`read`], [`stock()`] and [`need`].

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod amount;
pub mod count;
pub mod demand;
pub mod item;
pub mod least;
mod levels;
pub mod listing;
pub mod meant;
pub mod movement;
pub mod need;
pub mod order;
mod reading;
pub mod said;
pub mod stock;
pub mod uses;
pub mod written;

pub use item::{Item, ItemId, Kit, Stores};
pub use meant::Told;
pub use movement::{Move, Movement, Taken};
pub use need::{Goal, Need, need};
pub use order::{Order, order};
pub use reading::{read, read_beside};
pub use said::odds;
pub use stock::{Stock, stock};
pub use uses::{Passage, Wanted};
