//! What is said on the buses?
//!
//! Frames of NMEA 2000 and J1939, and sentences of NMEA 0183, to a stream of values: time, sender, message, instance,
//! field, SI value. What cannot be used is told as a fault with its line, and counted; nothing is ever sent.
//!
//! Never here: files, sockets, the clock, what a gauge of the plant is (`plant` maps). Memory is bounded whatever is fed
//! in. What a message holds stands in `messages.toml` alone.
//!
//! Start at [`decoder::Decoder`]; [`listing::Listing`] gathers what was heard, [`channel::Channel`] is how a description
//! names one value of it.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod can;
pub mod channel;
pub mod decoder;
pub mod heard;
pub mod listing;
pub mod stamp;
pub mod table;

mod fast_packet;
mod layout;
mod parcels;
mod sentence;
mod text;
mod transducer;
mod transport;
mod trouble;
