//! What was written down, and what of it still stands? Entries that are never changed, and corrected by later ones.
//!
//! An owner writes down what he did, what he filled, what the laboratory found. A mistake in it is put right by a new
//! entry that names the old one: both stay, and what stands is the new one. An entry is taken back in the same way. This
//! room knows no vessel and keeps no file: a [`Line`] goes to the store and comes from it, and what an entry holds is up to
//! whoever makes a [`Sort`] of it.
//!
//! Start with [`Line::of`] (writing) and [`read`] (reading).

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

mod entry;
mod reading;

pub use entry::{Key, Line, Sort, digest};
pub use reading::{Diary, Entry, Struck, read};
