//! The pages of a vessel, simulated or real, from the loop to the network and back, until somebody ends the program.

use crate::paper;
use crate::sound::Sounder;
use crate::stop::Stop;
use book::facts::Asked;
use live::{Event, Live};
use std::net::{SocketAddr, TcpListener};
use std::sync::mpsc::{Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;
use tokio::runtime::Runtime;
#[cfg(unix)]
use tokio::signal::unix::{Signal, SignalKind, signal};
use tokio::sync::watch;
use web::{Access, Ask, Board, Desk, Scene, Ship};

/// Work that a page has asked for may take so long once the program is to end.
const PATIENCE: Duration = Duration::from_secs(2);

/// An address that is open for pages, and whoever ends the program is heard from here on.
pub struct Server {
    listener: TcpListener,
    runtime: Runtime,
    ending: Ending,
}

impl Server {
    /// Opens an address.
    ///
    /// # Errors
    /// What the machine says.
    pub fn open(address: SocketAddr) -> std::io::Result<Server> {
        let listener = TcpListener::bind(address)?;
        listener.set_nonblocking(true)?;
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
        let ending = {
            let _within = runtime.enter();
            Ending::heard()?
        };
        Ok(Server { listener, runtime, ending })
    }

    /// The address, with the port that was free.
    ///
    /// # Errors
    /// What the machine says.
    pub fn address(&self) -> std::io::Result<SocketAddr> {
        self.listener.local_addr()
    }

    /// Serves pages, with the sound of what is new if it is wanted, until the program is told to end (Ctrl-C, or SIGTERM):
    /// then nobody is in the middle of anything.
    ///
    /// # Errors
    /// [`Stop`].
    pub fn serve(
        self,
        mut live: Live,
        access: Access,
        (board, desk, asked): (Option<Arc<dyn Board>>, Arc<dyn Desk>, Asked),
        sounder: Option<Sounder>,
    ) -> Result<(), Stop> {
        let Server { listener, runtime, mut ending } = self;
        let (scenes, seen) = watch::channel(Arc::new(live.scene()));
        let (events, happens) = channel();
        let show = move |scene: Scene| {
            if let Some(sounder) = &sounder {
                sounder.follow(scene.picture.alerts.sounds());
            }
            scenes.send(Arc::new(scene)).is_ok()
        };
        let looped = thread::spawn(move || live::run(live, &happens, show));
        let (telling, desk_of) = (events.clone(), desk.clone());
        thread::spawn(move || tell_kept(desk_of.as_ref(), &telling));
        // Requests come from several tasks, and the loop takes one event at a time.
        let events = Mutex::new(events);
        let ask = move |ask| {
            let event = match ask {
                Ask::Entry(entry) => Event::Entry(entry),
                Ask::Order(order) => Event::Order(order),
            };
            events.lock().is_ok_and(|events| events.send(event).is_ok())
        };
        let ship =
            Ship { scenes: seen, ask: Arc::new(ask), board, desk, asked: Arc::new(asked), press: paper::press() };
        let served = runtime.block_on(async {
            let listener = tokio::net::TcpListener::from_std(listener)?;
            tokio::select! {
                served = web::serve(listener, ship, access) => served,
                () = ending.told() => Ok(()),
            }
        });
        // Open pages wait for news for ever; with the runtime their connections end, and so does the loop.
        runtime.shutdown_timeout(PATIENCE);
        // It has nothing to give back, and what it did is done.
        let _ = looped.join();
        Ok(served?)
    }
}

/// How often it is looked whether something new was written down.
const LOOK: Duration = Duration::from_secs(10);

/// Tells the loop what the ledger and the laboratory say of causes, at the start and whenever that is news, as long as it listens.
/// Of a simulated vessel nothing: what was invented for her is not of the world that is simulated.
fn tell_kept(desk: &dyn Desk, events: &Sender<Event>) {
    let mut told = Vec::new();
    loop {
        // What cannot be read now is not news; the pages say why.
        if let Ok(worked) = desk.worked().map_err(drop)
            && !worked.invented
        {
            let mut kept = worked.ledger.evidence(&worked.plant);
            kept.extend(worked.results.evidence(&worked.plant));
            if kept != told && events.send(Event::Kept(kept.clone())).is_err() {
                return;
            }
            told = kept;
        }
        thread::sleep(LOOK);
    }
}

/// Hears when somebody ends the program.
#[cfg(unix)]
struct Ending {
    interrupt: Signal,
    terminate: Signal,
}

#[cfg(unix)]
impl Ending {
    fn heard() -> std::io::Result<Ending> {
        Ok(Ending { interrupt: signal(SignalKind::interrupt())?, terminate: signal(SignalKind::terminate())? })
    }

    async fn told(&mut self) {
        tokio::select! {
            _ = self.interrupt.recv() => {}
            _ = self.terminate.recv() => {}
        }
    }
}

/// Elsewhere there is Ctrl-C.
#[cfg(not(unix))]
struct Ending;

#[cfg(not(unix))]
impl Ending {
    fn heard() -> std::io::Result<Ending> {
        Ok(Ending)
    }

    async fn told(&mut self) {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    }
}
