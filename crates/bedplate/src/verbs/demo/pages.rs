//! The demonstration on pages: the simulated vessel, who watches her, and a local address.

use super::Asked;
use crate::sound::{self, Sounder};
use crate::stop::Stop;
use live::{Event, Live};
use plant::plant::Plant;
use std::io::Write;
use std::net::{Ipv4Addr, TcpListener};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};
use std::thread;
use tokio::sync::watch;
use web::{Ask, Scene, Ship};

/// Serves the pages until the program is ended.
///
/// # Errors
/// [`Stop`].
pub fn run(plant: Plant, asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let mut live = Live::new(Arc::new(plant), asked.seed as usize)
        .map_err(|why| Stop::NoAnswer(format!("the simulated vessel of this seed cannot put to sea: {why}.")))?
        .at_pace(f64::from(asked.pace));
    let sounder = match asked.sound.as_deref().map(sound::start) {
        None => None,
        Some(Ok((sounder, words))) => {
            writeln!(out, "{words}")?;
            Some(sounder)
        }
        // The pages are worth having without.
        Some(Err(why)) => {
            writeln!(out, "{why} The pages can sound, on phones and here.")?;
            None
        }
    };
    let listener = listen(asked.port)?;
    let address = listener.local_addr()?;
    let (scenes, seen) = watch::channel(Arc::new(live.scene()));
    let (events, happens) = channel();
    thread::spawn(move || go(live, &happens, &scenes, sounder.as_ref()));
    // Requests come from several tasks, and the loop takes one event at a time.
    let events = Mutex::new(events);
    let ask = move |ask| {
        let event = match ask {
            Ask::Entry(entry) => Event::Entry(entry),
            Ask::Order(order) => Event::Order(order),
        };
        events.lock().is_ok_and(|events| events.send(event).is_ok())
    };
    writeln!(out, "Marram is invented, and every reading is simulated. Open http://{address}/ (Ctrl-C ends it)")?;
    out.flush()?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    Ok(runtime.block_on(async {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        web::serve(listener, Ship { scenes: seen, ask: Arc::new(ask) }).await
    })?)
}

/// The loop; it ends with the pages.
fn go(live: Live, happens: &Receiver<Event>, scenes: &watch::Sender<Arc<Scene>>, sounder: Option<&Sounder>) {
    live::run(live, happens, |scene| {
        if let Some(sounder) = sounder {
            sounder.follow(scene.picture.alerts.sounds());
        }
        scenes.send(Arc::new(scene)).is_ok()
    });
}

/// This machine alone is listened to.
fn listen(port: u16) -> Result<TcpListener, Stop> {
    let free = || TcpListener::bind((Ipv4Addr::LOCALHOST, 0));
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).or_else(|_| free())?;
    listener.set_nonblocking(true)?;
    Ok(listener)
}
