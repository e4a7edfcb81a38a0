//! The demonstration on pages: the simulated vessel, who watches her, and a local address.

use super::Asked;
use super::keep::Kept;
use crate::bookshelf;
use crate::files::Text;
use crate::folder::stores_in;
use crate::pages::Server;
use crate::stop::Stop;
use crate::{clocks, sound};
use live::Live;
use live::books::Terms;
use live::desk::Desk;
use plant::plant::Plant;
use std::io::Write;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use web::Access;

/// The demonstration vessel's procedures, built in as her description is.
const PROCEDURES: [(&str, &str); 3] = [
    ("start", include_str!("../../../../../vessels/marram/procedures/start.md")),
    ("stop", include_str!("../../../../../vessels/marram/procedures/stop.md")),
    ("change-over", include_str!("../../../../../vessels/marram/procedures/change-over.md")),
];

/// Serves the pages until the program is ended.
///
/// # Errors
/// [`Stop`].
pub fn run(plant: Plant, asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let plant = Arc::new(plant);
    let tasks = work::tasks(&plant, &[super::MARRAM, super::WORK]).0;
    let terms = Terms::of(&plant, &[super::MARRAM, super::WORK]).0;
    let lines = super::history::invented(&plant, &terms, clocks::day_now());
    let text = Text { name: "marram/work.toml".into(), text: super::WORK.into() };
    let stores = stores_in(&[text], &plant, &tasks)?;
    let desk = Arc::new(Desk::in_memory(plant.clone(), tasks, lines, clocks::day_now).under(terms).with(stores));
    let mut live = Live::new(plant.clone(), asked.seed as usize)
        .map_err(|why| Stop::NoAnswer(format!("the simulated vessel of this seed cannot put to sea: {why}.")))?
        .at_pace(f64::from(asked.pace));
    let kept = asked.keep.as_deref().map(|folder| Kept::begin(folder, &plant)).transpose()?;
    if let Some(kept) = &kept {
        live = live.keeping(kept.taking());
    }
    let sounder = sound::asked(asked.sound.as_deref(), out)?;
    // This machine alone is listened to.
    let at = |port| SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    let server = Server::open(at(asked.port)).or_else(|_| Server::open(at(0)))?;
    let address = server.address()?;
    writeln!(out, "Marram is invented, and every reading is simulated. Open http://{address}/ (Ctrl-C ends it)")?;
    out.flush()?;
    server.serve(live, Access::default(), (None, desk, bookshelf::built_in(&PROCEDURES)), sounder)?;
    if let Some(kept) = kept {
        writeln!(out, "Ended. {} simulated readings were kept.", kept.end())?;
    }
    Ok(out.flush()?)
}
