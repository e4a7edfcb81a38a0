//! A file that is read from its beginning to its end, while somebody may wish to stop.

use crate::files::in_words;
use crate::stop::Stop;
use crate::verbs::import::taken::Taken;
use crate::verbs::import::told::counted;
use intake::intake::HEAD;
use std::fs::File;
use std::io::{self, IsTerminal as _, Read, Write as _};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};
use store::StoreError;

/// Bytes taken at once.
const CHUNK: usize = 1 << 18;
/// Between two lines of progress.
const EVERY: Duration = Duration::from_millis(300);

/// A file, opened, with its beginning.
pub struct Source {
    /// The name it is spoken of by.
    pub name: String,
    file: Box<dyn Read>,
    head: Vec<u8>,
    /// How long it is [bytes], where that is known.
    length: Option<u64>,
}

/// Why reading ended early.
pub enum Failed {
    /// The file could not be read on, and why.
    Reading(String),
    /// The log could not be written.
    Keeping(StoreError),
}

impl Source {
    /// Opens a file, or what comes in for `-`, and reads its beginning.
    ///
    /// # Errors
    /// [`Stop::BadInput`] if it cannot be read.
    pub fn open(path: &Path) -> Result<Source, Stop> {
        let name = if path == Path::new("-") { "what comes in".to_string() } else { path.display().to_string() };
        let unreadable = |error: &io::Error| {
            Stop::BadInput(format!(
                "{name}: fault: {}\n  Check the name, and give files, not folders.",
                in_words(error)
            ))
        };
        let (file, length): (Box<dyn Read>, _) = if path == Path::new("-") {
            (Box::new(io::stdin()), None)
        } else {
            let file = File::open(path).map_err(|error| unreadable(&error))?;
            let about = file.metadata().map_err(|error| unreadable(&error))?;
            (Box::new(file), about.is_file().then_some(about.len()))
        };
        let mut source = Source { file, head: Vec::new(), length, name: name.clone() };
        let head = source.file.by_ref().take(HEAD as u64).read_to_end(&mut source.head);
        head.map_err(|error| unreadable(&error))?;
        Ok(source)
    }

    /// Its first bytes.
    pub fn head(&self) -> &[u8] {
        &self.head
    }

    /// Whether they are all of it.
    pub fn whole(&self) -> bool {
        self.head.len() < HEAD
    }

    /// Hands over all of it, piece by piece; whether it came to the end, for somebody may wish to stop.
    pub fn read(
        &mut self,
        wish: &Wish,
        mut each: impl FnMut(&[u8], &mut Progress) -> Result<(), StoreError>,
    ) -> Result<bool, Failed> {
        let mut progress = Progress::new(&self.name, self.length);
        let head = std::mem::take(&mut self.head);
        let mut room = vec![0; CHUNK];
        let mut pieces = head.chunks(CHUNK);
        loop {
            if wish.to_stop() {
                return Ok(false);
            }
            let piece = if let Some(piece) = pieces.next() {
                piece
            } else {
                match self.file.read(&mut room) {
                    Ok(0) => return Ok(true),
                    Ok(read) => &room[..read],
                    Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                    Err(error) => return Err(Failed::Reading(in_words(&error))),
                }
            };
            progress.read += piece.len() as u64;
            each(piece, &mut progress).map_err(Failed::Keeping)?;
        }
    }
}

/// How far it has come, on a terminal.
pub struct Progress {
    name: String,
    length: Option<u64>,
    read: u64,
    begun: Instant,
    told: Option<Instant>,
    shown: bool,
}

impl Progress {
    fn new(name: &str, length: Option<u64>) -> Progress {
        let shown = io::stderr().is_terminal();
        Progress { name: name.to_string(), length, read: 0, begun: Instant::now(), told: None, shown }
    }

    /// Says how far it is, now and then.
    pub fn tell(&mut self, taken: &Taken) {
        if !self.shown || self.told.unwrap_or(self.begun).elapsed() < EVERY {
            return;
        }
        self.told = Some(Instant::now());
        let share = match self.length {
            Some(length) if length > 0 => format!("{} %", self.read * 100 / length),
            _ => format!("{} MB", self.read / 1_000_000),
        };
        let seconds = self.begun.elapsed().as_secs_f64();
        let readings = counted(taken.readings);
        // The end of the line may hold more than this one: it is wiped.
        let line = format!("\r{}: {share}, {readings} readings, {seconds:.0} s (Ctrl-C stops)\x1b[K", self.name);
        let _ = io::stderr().write_all(line.as_bytes());
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.told.is_some() {
            let _ = io::stderr().write_all(b"\r\x1b[K");
        }
    }
}

/// Whether somebody wishes to stop: Ctrl-C, or the system asks to end.
pub struct Wish(Arc<AtomicBool>);

impl Wish {
    /// Listens from now on. A second Ctrl-C ends the program at once: what was acknowledged is safe.
    pub fn listen() -> Wish {
        let wish = Arc::new(AtomicBool::new(false));
        let told = wish.clone();
        // Without this thread the first Ctrl-C ends the program: nothing is lost by that either.
        let listening = std::thread::Builder::new().name("wish".into()).spawn(move || {
            let runtime = tokio::runtime::Builder::new_current_thread().enable_io().build();
            if let Ok(runtime) = runtime {
                runtime.block_on(async {
                    while told_to_stop().await.is_ok() {
                        if told.swap(true, Ordering::Relaxed) {
                            std::process::exit(130);
                        }
                    }
                });
            }
        });
        drop(listening);
        Wish(wish)
    }

    fn to_stop(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

#[cfg(unix)]
async fn told_to_stop() -> io::Result<()> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut terminate = signal(SignalKind::terminate())?;
    tokio::select! {
        done = tokio::signal::ctrl_c() => done,
        _ = terminate.recv() => Ok(()),
    }
}

#[cfg(not(unix))]
async fn told_to_stop() -> io::Result<()> {
    tokio::signal::ctrl_c().await
}
