//! What is on the pages? Routes, one struct a page, and the stream that keeps an open page true.
//!
//! A handler takes a [`Scene`] and renders a page struct; what is asked of the vessel goes out as an [`Ask`]. Nothing
//! here computes odds, opens a file or looks at the clock, and no page sends a request to anywhere else.
//!
//! Start in `routes.rs`; `page/` has a file for each page, `templates/` how it is laid out, `guard.rs` who may ask.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

mod alerting;
mod assets;
mod form;
mod guard;
mod page;
mod routes;
mod ship;
mod stream;

pub use ship::{Ask, Introduced, Order, Scene, Ship, Simulated};

use tokio::net::TcpListener;

/// Serves the pages on a listener that is already bound, until the program ends.
///
/// # Errors
/// What the network says.
pub async fn serve(listener: TcpListener, ship: Ship) -> tokio::io::Result<()> {
    let port = listener.local_addr()?.port();
    axum::serve(listener, routes::all(ship, port)).await
}
