//! `bedplate serve`: a real vessel on pages: her wires heard, her readings kept and watched.

mod board;
mod network;
mod token;
mod wire;

use crate::clocks::Machine;
use crate::feed::Place;
use crate::folder::Folder;
use crate::keeping::{self, Keeping};
use crate::pages::Server;
use crate::stop::Stop;
use crate::{bookshelf, clocks, files, sound};
use alerts::Change;
use board::Board;
use clap::Args;
use live::Live;
use live::aboard::{Aboard, Clocks as _, shifted};
use live::desk::Desk;
use live::hearing::Hearing;
use live::inbox::Inbox;
use live::keeper::Keeper;
use live::kept_alerts;
use plant::plant::Plant;
use plant::reader::wires::Wire;
use std::io::{IsTerminal as _, Write};
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::sync_channel;
use std::thread;
use store::{Kept, Reader, StoreError};
use wire::OnWire;

/// Where pages are served if nothing else is said.
const PORT: u16 = 8461;

/// Changes of alerts that may wait for the disk: hours of a bad day.
const EVENTS: usize = 4_096;
/// Changes of alerts that are taken up again.
const REMEMBERED: usize = 4_096;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// The vessel's folder, with vessel.toml and, for her buses, wires.toml; `bedplate new` begins one
    #[arg(value_name = "DIR")]
    vessel: PathBuf,
    /// Address for the vessel's network, such as 0.0.0.0:8461; left out, this machine alone sees the pages
    #[arg(long, value_name = "ADDRESS:PORT", value_parser = network::address)]
    listen: Option<SocketAddr>,
    /// Another name by which this machine is known on the network, beside its own
    #[arg(long, value_name = "NAME")]
    known_as: Vec<String>,
    /// Port of the local address
    #[arg(long, default_value_t = PORT, conflicts_with = "listen")]
    port: u16,
    /// Alerts sound on this computer too: by a program that plays a file (named, or the first found), or by "bell", the
    /// terminal's; never in place of the engine's own switch and bell
    #[arg(long, value_name = "HOW", num_args = 0..=1, default_missing_value = "auto")]
    sound: Option<String>,
}

/// Serves until the program is told to end.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let folder = &asked.vessel;
    is_a_vessel(folder)?;
    let mut plant = files::plant(folder)?;
    let told = Folder::open(folder)?;
    let papers = told.papers(&plant)?;
    papers.lay_over(&mut plant, clocks::day_now());
    let plant = Arc::new(plant);
    let stores = told.stores(&plant, &papers.tasks)?;
    let desk = Desk::of_folder(plant.clone(), papers.tasks, folder.clone(), clocks::day_now).with(stores);
    let desk = Arc::new(desk.under(told.terms(&plant)?));
    let wires = files::wires(folder, &plant)?;
    let address = asked.listen.unwrap_or(SocketAddr::from(([127, 0, 0, 1], asked.port)));
    let server = Server::open(address).map_err(|error| network::taken(address, &error))?;
    let keeper = open(folder, &plant)?;
    let token = token::of(folder)?;
    let clocks = Machine::start();
    let (inbox, received) = match &keeper {
        Ok(_) => {
            let (inbox, received) = Inbox::new(plant.gauges.len());
            (Arc::new(inbox), Some(received))
        }
        Err(_) => (Arc::new(Inbox::unkept(plant.gauges.len())), None),
    };
    take_up(folder, &plant, keeper.as_ref().ok().map(Arc::as_ref), &inbox, clocks);
    let wires = wires.into_iter().map(|wire| on_wire(wire, &plant, &inbox, clocks)).collect();
    let board = Arc::new(Board { plant: plant.clone(), inbox: inbox.clone(), wires, keeper, clocks });
    let telling = board.clone();
    let (events, noted) = sync_channel(EVENTS);
    let aboard = Aboard::new(inbox, Arc::new(clocks), move |now| telling.tell(now))
        // An alert without room to be kept is on the pages all the same.
        .noting(move |change| drop(events.try_send(kept_alerts::event(&change))));
    let history = history(&board, clocks);
    let live = Live::aboard(plant.clone(), aboard, board.wires_of_gauges(), &history)
        .map_err(|why| Stop::NoAnswer(format!("{}: she cannot be watched: {why}.", plant.name)))?;

    let stop = Arc::new(AtomicBool::new(false));
    for wire in &board.wires {
        let (wire, stop) = (wire.clone(), stop.clone());
        thread::spawn(move || wire::hear(&wire, clocks, &stop));
    }
    let kept = board.keeper.as_ref().ok().zip(received).map(|(keeper, received)| {
        let (keeps, stops) = (keeper.clone(), stop.clone());
        let (notes, ends) = (keeper.clone(), stop.clone());
        let readings = thread::spawn(move || keeps.run(&received, &stops));
        (readings, thread::spawn(move || notes.run_events(&noted, &ends)))
    });
    let sounder = sound::asked(asked.sound.as_deref(), out)?;
    let access = network::access(address, &asked.known_as, &token);
    greet(&board, &server.address()?, &access, &token, out)?;
    let asked = bookshelf::asked_for_pages(folder, &plant);
    let served = server.serve(live, access, (Some(board.clone()), desk, asked), sounder);

    // What was heard until now is on the disk before the program ends.
    stop.store(true, Ordering::Relaxed);
    if let Some((readings, events)) = kept {
        let _ = (readings.join(), events.join());
    }
    served?;
    if let Ok(keeper) = &board.keeper {
        let state = keeper.state();
        writeln!(out, "Ended. {} readings were kept.", state.stored)?;
        if state.lost > 0 {
            writeln!(out, "{} could not be kept.", state.lost)?;
        }
    }
    Ok(out.flush()?)
}

fn is_a_vessel(folder: &Path) -> Result<(), Stop> {
    let no = |what: &str| {
        let advice = format!("Begin a vessel's folder: bedplate new {}", folder.display());
        Err(Stop::BadInput(format!("{}: fault: {what}\n  {advice}", folder.display())))
    };
    match folder {
        _ if !folder.exists() => no("there is no such folder"),
        _ if !folder.is_dir() => {
            let what = "fault: this is a file, and what is served is a folder";
            Err(Stop::BadInput(format!("{}: {what}\n  Give the folder it lies in.", folder.display())))
        }
        _ if !folder.join("vessel.toml").exists() => no("there is no vessel.toml in this folder"),
        _ => Ok(()),
    }
}

/// The store; or why nothing is kept: a vessel is watched all the same, for her engine does not wait for a disk.
fn open(folder: &Path, plant: &Plant) -> Result<Result<Arc<Keeper>, String>, Stop> {
    match Keeping::open(folder, plant, None) {
        Ok(keeping) => Ok(Ok(Arc::new(Keeper::new(keeping)))),
        // She is served already.
        Err(why @ StoreError::InUse { .. }) => {
            Err(Stop::BadInput(format!("{}: fault: {why}", keeping::file(folder).display())))
        }
        Err(why) => Ok(Err(why.to_string())),
    }
}

/// The last readings that were kept, each as old as it is.
fn take_up(folder: &Path, plant: &Plant, keeper: Option<&Keeper>, inbox: &Inbox, clocks: Machine) {
    let reading;
    let reader = match keeper {
        Some(keeper) => keeper.keeping().reader(),
        // A store that may not be written can still be read.
        None => match Reader::open(&keeping::file(folder)) {
            Ok(reader) => {
                reading = reader;
                &reading
            }
            Err(_) => return,
        },
    };
    let now = clocks.now();
    for gauge in plant.gauge_ids() {
        // What cannot be read is not shown; the store's own check tells of it.
        let Ok(Some(Kept { value, time, .. })) = reader.latest(&plant[gauge].name) else { continue };
        let ago = (now.time - time) as f64 * 1e-3;
        // Kept by a clock that was ahead of this one: how old it is nobody knows, but it is not of now.
        let ago = if ago < 0.0 { 2.0 * watch::recent::STALE } else { ago };
        inbox.show(gauge, value, now.since - ago);
    }
}

/// Changes of alerts of earlier runs, told by the watch's own clock; what cannot be read is passed over.
fn history(board: &Board, clocks: Machine) -> Vec<Change> {
    let Ok(keeper) = &board.keeper else { return Vec::new() };
    let events = keeper.keeping().reader().events(Some(kept_alerts::KIND), i64::MIN..i64::MAX, REMEMBERED);
    let ahead = clocks.now().day();
    let changes = events.map(|events| events.list).unwrap_or_default();
    changes.iter().filter_map(|noted| kept_alerts::change(&noted.event)).map(|change| shifted(change, -ahead)).collect()
}

fn on_wire(wire: Wire<Place>, plant: &Arc<Plant>, inbox: &Arc<Inbox>, clocks: Machine) -> Arc<OnWire> {
    // A recording is for trying: what it tells was not read on this day.
    let keep = wire.from.is_wire();
    let hearing = Hearing::new(plant, &wire.gauges, inbox.clone(), keep);
    let hearing = if matches!(wire.from, Place::Mqtt(..)) { hearing.by_topics(wire.topics) } else { hearing };
    Arc::new(OnWire::new(wire.name, wire.from, hearing, clocks.now()))
}

/// What is said once the pages are there.
fn greet(
    board: &Board,
    address: &SocketAddr,
    access: &web::Access,
    token: &token::Token,
    out: &mut dyn Write,
) -> Result<(), Stop> {
    let heard = match board.wires.len() {
        0 => "no wire is described in wires.toml".to_string(),
        1 => format!("listening to {}", board.wires[0].name),
        wires => format!("listening to {wires} wires"),
    };
    let kept = match &board.keeper {
        Ok(_) => String::new(),
        Err(why) => format!(" Nothing is kept: {why}."),
    };
    writeln!(out, "{}: {heard}.{kept} Ctrl-C ends it.", board.plant.name)?;
    if token.new {
        // A journal is read by more people than the file is.
        let told = !token.kept || std::io::stdout().is_terminal();
        if told {
            writeln!(out, "\nThe token of this vessel: {}", token.text)?;
        } else {
            writeln!(out, "\nA token was made for this vessel.")?;
        }
        let where_to = match (token.kept, told) {
            (true, true) => "It is kept in the file `token` of her folder, and not printed again.",
            (true, false) => "It stands in the file `token` of her folder.",
            (false, _) => "It could not be kept in her folder and holds for this run alone.",
        };
        writeln!(
            out,
            "Devices on the network enter it once, on the page that asks for it, before they may change anything;\n\
             programs send it as `Authorization: Bearer`. {where_to}\n"
        )?;
    }
    for page in network::addresses(*address, access) {
        writeln!(out, "Open {page}")?;
    }
    Ok(out.flush()?)
}
