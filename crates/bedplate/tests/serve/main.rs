//! `bedplate serve` as it is run: on folders of its own, with buses, other programs and signals for real.
#![cfg(unix)]

mod access;
mod broker;
mod folders;
mod kept;
mod served;
mod wires;
