//! The pages of a vessel, simulated or real, from the loop to the network and back, until somebody ends the program.

use crate::sound::Sounder;
use crate::stop::Stop;
use live::{Event, Live};
use std::net::{SocketAddr, TcpListener};
use std::sync::mpsc::channel;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;
use tokio::sync::watch;
use web::{Access, Ask, Board, Scene, Ship};

/// Work that a page has asked for may take so long once the program is to end.
const PATIENCE: Duration = Duration::from_secs(2);

/// Opens an address for pages.
///
/// # Errors
/// What the machine says.
pub fn listen(address: SocketAddr) -> std::io::Result<TcpListener> {
    let listener = TcpListener::bind(address)?;
    listener.set_nonblocking(true)?;
    Ok(listener)
}

/// Serves pages, with the sound of what is new if it is wanted, until the program is told to end (Ctrl-C, or SIGTERM): then nobody is in the middle of anything.
///
/// # Errors
/// [`Stop`].
pub fn serve(
    mut live: Live,
    listener: TcpListener,
    access: Access,
    board: Option<Arc<dyn Board>>,
    sounder: Option<Sounder>,
) -> Result<(), Stop> {
    let (scenes, seen) = watch::channel(Arc::new(live.scene()));
    let (events, happens) = channel();
    let show = move |scene: Scene| {
        if let Some(sounder) = &sounder {
            sounder.follow(scene.picture.alerts.sounds());
        }
        scenes.send(Arc::new(scene)).is_ok()
    };
    let looped = thread::spawn(move || live::run(live, &happens, show));
    // Requests come from several tasks, and the loop takes one event at a time.
    let events = Mutex::new(events);
    let ask = move |ask| {
        let event = match ask {
            Ask::Entry(entry) => Event::Entry(entry),
            Ask::Order(order) => Event::Order(order),
        };
        events.lock().is_ok_and(|events| events.send(event).is_ok())
    };
    let ship = Ship { scenes: seen, ask: Arc::new(ask), board };
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    let served = runtime.block_on(async {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        tokio::select! {
            served = web::serve(listener, ship, access) => served,
            () = told_to_end() => Ok(()),
        }
    });
    // Open pages wait for news for ever; with the runtime their connections end, and so does the loop.
    runtime.shutdown_timeout(PATIENCE);
    // It has nothing to give back, and what it did is done.
    let _ = looped.join();
    Ok(served?)
}

/// Waits until somebody ends the program.
#[cfg(unix)]
async fn told_to_end() {
    use tokio::signal::unix::{SignalKind, signal};
    let (Ok(mut interrupt), Ok(mut terminate)) = (signal(SignalKind::interrupt()), signal(SignalKind::terminate()))
    else {
        // Then they end the program as they end any other.
        return std::future::pending().await;
    };
    tokio::select! {
        _ = interrupt.recv() => {}
        _ = terminate.recv() => {}
    }
}

/// Elsewhere there is Ctrl-C.
#[cfg(not(unix))]
async fn told_to_end() {
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
}
