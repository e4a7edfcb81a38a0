//! What is on the pages? Routes, one struct a page, and the stream that keeps an open page true.
//!
//! A handler takes a [`Scene`] and renders a page struct; what is asked of the vessel goes out as an [`Ask`]. Nothing
//! here computes odds, opens a file or looks at the clock, and no page sends a request to anywhere else.
//!
//! Start in `routes.rs`; `page/` has a file for each page, `templates/` how it is laid out, `guard.rs` who may ask,
//! `api.rs` what programs ask.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

mod aboard;
mod alerting;
mod api;
mod assets;
mod bookcase;
mod books;
mod desk;
mod form;
mod gate;
mod guard;
mod page;
mod paper;
mod routes;
mod setting;
mod shelf;
mod ship;
mod stream;
mod token;
mod trials;
mod working;

pub use aboard::{Aboard, Board, Given, HeardOn, Kept, Taken, Unkept, Wire, WireState};
pub use desk::{Desk, Worked};
pub use gate::Access;
pub use paper::Press;
pub use ship::{Ask, Introduced, Order, Scene, Ship, Simulated};

use tokio::net::TcpListener;

/// Serves the pages on a listener that is already bound, to whom `access` says, until the program ends.
///
/// # Errors
/// What the network says.
pub async fn serve(listener: TcpListener, ship: Ship, access: Access) -> tokio::io::Result<()> {
    let port = listener.local_addr()?.port();
    let all = routes::all(ship, access, port).into_make_service_with_connect_info::<core::net::SocketAddr>();
    axum::serve(listener, all).await
}
