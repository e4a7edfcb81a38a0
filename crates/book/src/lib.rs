//! What is printed? Documents made of the description: plain data, set as pages or on paper by others.
//!
//! `document.rs` says what a document is made of, `facts.rs` what all of them are made from: the plant and what is normal
//! on it, worked out once. A file for each document; `kinds.rs` holds what a part is for, in plain words.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

pub mod catalogue;
pub mod document;
pub mod emergencies;
pub mod facts;
pub mod handbook;
pub mod history;
pub mod html;
pub mod kept;
pub mod kinds;
pub mod nameless;
pub mod procedures;
pub mod rounds;
pub mod tour;
pub mod valves;
pub mod watch_cards;
pub mod whereabouts;
pub mod words;

mod cast;
mod circuits;
mod glossary;
mod kinds_told;
mod make;
mod normal;
mod running;
mod story;
mod survey;
