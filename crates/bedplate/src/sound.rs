//! The computer's own sound: a program that plays a file, or the terminal's bell, while something new is unseen.

use alerts::{Category, Pattern};
use std::io::{IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::{Duration, Instant};

/// Programs that play a file, each with what makes it do so quietly; the first that is found is used.
const PROGRAMS: [(&str, &[&str]); 4] = [("pw-play", &[]), ("paplay", &[]), ("aplay", &["-q"]), ("play", &["-q"])];
/// The sound that was asked for, if one was, and what is said of it.
///
/// # Errors
/// If that cannot be said. Without a sound pages are worth having all the same.
pub fn asked(how: Option<&str>, out: &mut dyn std::io::Write) -> std::io::Result<Option<Sounder>> {
    match how.map(start) {
        None => Ok(None),
        Some(Ok((sounder, words))) => {
            writeln!(out, "{words}")?;
            Ok(Some(sounder))
        }
        Some(Err(why)) => {
            writeln!(out, "{why} The pages can sound, on phones and here.")?;
            Ok(None)
        }
    }
}

/// A player is given so much longer than what it plays lasts [s].
const PATIENCE: f64 = 3.0;
/// Samples a second of what is played [1/s].
const RATE: u32 = 22_050;

/// What sounds.
#[derive(Clone, Debug, PartialEq)]
pub enum Player {
    /// A program, and what it is called with before the file.
    Program(PathBuf, Vec<String>),
    /// The bell of the terminal the program runs in.
    Bell,
}

/// Follows what is new and sounds it, on a thread of its own.
pub struct Sounder(Sender<Option<Category>>);

impl Player {
    /// The one asked for: "auto", "bell", or the name of a program that plays the file it is called with.
    ///
    /// # Errors
    /// Why there is none, and what would help.
    pub fn find(asked: &str, path: &std::ffi::OsStr, terminal: bool) -> Result<Player, String> {
        let on_path =
            |name: &str| std::env::split_paths(path).map(|folder| folder.join(name)).find(|file| file.is_file());
        let names = || PROGRAMS.map(|(name, _)| name).join(", ");
        match asked {
            "bell" if terminal => Ok(Player::Bell),
            "bell" => Err("There is no bell: the program does not run in a terminal.".into()),
            "auto" => PROGRAMS
                .iter()
                .find_map(|(name, with)| {
                    let with = with.iter().map(ToString::to_string).collect();
                    Some(Player::Program(on_path(name)?, with))
                })
                .or_else(|| terminal.then_some(Player::Bell))
                .ok_or_else(|| {
                    format!(
                        "This computer has no sound: none of {} is on it, and the program does not run in a terminal.",
                        names()
                    )
                }),
            name => {
                let with = PROGRAMS.iter().find(|(known, _)| *known == name).map_or(&[][..], |(_, with)| with);
                let file =
                    if name.contains('/') { Some(PathBuf::from(name)).filter(|f| f.is_file()) } else { on_path(name) };
                let file = file.ok_or_else(|| {
                    format!(
                        "There is no program “{name}” to play a sound; write --sound alone, or one of {}, bell.",
                        names()
                    )
                })?;
                Ok(Player::Program(file, with.iter().map(ToString::to_string).collect()))
            }
        }
    }

    /// What it is, in words.
    pub fn words(&self) -> String {
        match self {
            Player::Program(file, _) => format!("by {}", file.display()),
            Player::Bell => "by the bell of this terminal".into(),
        }
    }

    /// Sounds a pattern once, and returns when it is over.
    fn sound(&self, pattern: &Pattern, file: &Path) -> Result<(), String> {
        match self {
            Player::Bell => {
                for _ in pattern.tones {
                    std::io::stderr().write_all(b"\x07").map_err(|why| why.to_string())?;
                    std::thread::sleep(Duration::from_millis(300));
                }
                Ok(())
            }
            Player::Program(program, with) => {
                std::fs::write(file, wave(pattern)).map_err(|why| why.to_string())?;
                let ran = run(Command::new(program).args(with).arg(file), pattern.lasts() + PATIENCE);
                drop(std::fs::remove_file(file));
                ran
            }
        }
    }
}

/// Runs a player for so long at most [s]: one that waits for a device must not keep an alarm, or the vessel's pages, waiting.
fn run(player: &mut Command, seconds: f64) -> Result<(), String> {
    let piped = player.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped());
    let mut running = piped.spawn().map_err(|why| why.to_string())?;
    let until = Instant::now() + Duration::from_secs_f64(seconds);
    loop {
        match running.try_wait().map_err(|why| why.to_string())? {
            Some(status) if status.success() => return Ok(()),
            Some(_) => {
                let said = running.wait_with_output().map_err(|why| why.to_string())?.stderr;
                return Err(String::from_utf8_lossy(&said).trim().to_string());
            }
            None if Instant::now() > until => {
                // It may have ended just now; then there is nothing to end.
                let _ = running.kill();
                let _ = running.wait();
                return Err(format!("it has not ended after {seconds:.0} s"));
            }
            None => std::thread::sleep(Duration::from_millis(20)),
        }
    }
}

/// A new folder that nobody else may write in: a file of a name that can be guessed, in a folder of everybody's, can be a link.
fn private_folder() -> Result<PathBuf, String> {
    let mut bytes = [0; 8];
    getrandom::fill(&mut bytes).map_err(|why| why.to_string())?;
    let folder = std::env::temp_dir().join(format!("bedplate-{:016x}", u64::from_ne_bytes(bytes)));
    let mut builder = std::fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(&folder).map_err(|why| format!("{}: {why}", folder.display()))?;
    Ok(folder)
}

/// Starts the computer's own sound; what to say of it. It is tried once, by the sound of a caution.
///
/// # Errors
/// Why there is none, and what would help.
pub fn start(asked: &str) -> Result<(Sounder, String), String> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let player = Player::find(asked, &path, std::io::stderr().is_terminal())?;
    let file = private_folder()?.join("alert.wav");
    player
        .sound(&Category::Caution.pattern(), &file)
        .map_err(|why| format!("The sound {} does not work: {why}", player.words()))?;
    let words = format!(
        "Alerts sound on this computer {}; one low tone was the trial. It is never in place of the engine's own switch and bell.",
        player.words()
    );
    let (says, heard) = channel();
    std::thread::spawn(move || follow(&heard, |category| drop(player.sound(&category.pattern(), &file))));
    Ok((Sounder(says), words))
}

impl Sounder {
    /// This is the gravest that is new and unseen at this moment, if anything is.
    pub fn follow(&self, category: Option<Category>) {
        // A thread that has ended sounds no more, and there is nobody to tell.
        let _ = self.0.send(category);
    }
}

/// Sounds what is told until something else is, again and again after its pattern.
fn follow(heard: &Receiver<Option<Category>>, mut sound: impl FnMut(Category)) {
    let mut now: Option<Category> = None;
    let mut next: Option<Instant> = None;
    loop {
        let wait = next.map_or(Duration::from_secs(3600), |at| at.saturating_duration_since(Instant::now()));
        match heard.recv_timeout(wait) {
            Ok(told) if told == now => {}
            Ok(told) => (now, next) = (told, told.map(|_| Instant::now())),
            Err(RecvTimeoutError::Timeout) => {
                let Some(category) = now.filter(|_| next.is_some()) else { continue };
                let begun = Instant::now();
                sound(category);
                next = category.pattern().again.map(|after| begun + Duration::from_secs_f64(after));
            }
            Err(RecvTimeoutError::Disconnected) => return,
        }
    }
}

/// A pattern as a WAV file: one channel, 16 bit.
fn wave(pattern: &Pattern) -> Vec<u8> {
    let count = (f64::from(RATE) * (pattern.lasts() + 0.05)) as u32;
    let sample = |k: u32| {
        let at = f64::from(k) / f64::from(RATE);
        let tone = pattern.tones.iter().find(|(_, begins, lasts)| at >= *begins && at < begins + lasts);
        let wave = tone.map_or(0.0, |(pitch, begins, lasts)| {
            // Fades in and out, so that it does not click.
            let edge = ((at - begins).min(begins + lasts - at) / 0.02).min(1.0);
            edge * (std::f64::consts::TAU * pitch * at).sin()
        });
        (wave * 24_000.0) as i16
    };
    let bytes = 2 * count;
    let mut file = Vec::with_capacity(44 + bytes as usize);
    file.extend(b"RIFF");
    file.extend((36 + bytes).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16u32.to_le_bytes());
    file.extend([1u16, 1].iter().flat_map(|n| n.to_le_bytes()));
    file.extend([RATE, 2 * RATE].iter().flat_map(|n| n.to_le_bytes()));
    file.extend([2u16, 16].iter().flat_map(|n| n.to_le_bytes()));
    file.extend(b"data");
    file.extend(bytes.to_le_bytes());
    file.extend((0..count).flat_map(|k| sample(k).to_le_bytes()));
    file
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt as _;

    /// A folder with a program that keeps the file it is called with.
    fn player(name: &str, says: &str) -> (PathBuf, PathBuf) {
        let folder = std::env::temp_dir().join(format!("bedplate-sound-{}-{name}-{}", std::process::id(), says.len()));
        std::fs::create_dir_all(&folder).expect("a folder");
        let program = folder.join(name);
        let text = format!("#!/bin/sh\nfor f; do :; done\ncp \"$f\" {}/played.wav\n{says}\n", folder.display());
        std::fs::write(&program, text).expect("written");
        std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).expect("may run");
        (folder, program)
    }

    #[test]
    fn a_program_is_found_and_plays_what_was_meant_and_one_that_fails_is_told() {
        let (folder, program) = player("aplay", "");
        let found = Player::find("auto", folder.as_os_str(), true).expect("it is there");
        assert_eq!(found, Player::Program(program, vec!["-q".into()]));
        let pattern = Category::Alarm.pattern();
        let file = folder.join("given.wav");
        found.sound(&pattern, &file).expect("it plays");
        assert!(!file.exists(), "it is cleared away");
        let played = std::fs::read(folder.join("played.wav")).expect("it was handed over");
        assert_eq!(
            (&played[..4], &played[8..16], played.len()),
            (&b"RIFF"[..], &b"WAVEfmt "[..], wave(&pattern).len())
        );
        let loud = played[44..].chunks(2).filter(|s| i16::from_le_bytes([s[0], s[1]]).abs() > 1000).count();
        assert!(loud as f64 > 0.6 * 0.75 * f64::from(RATE), "three tones of a quarter of a second: {loud}");
        std::fs::remove_dir_all(folder).expect("gone");
        let (folder, _) = player("aplay", "echo no card >&2; exit 1");
        let found = Player::find("aplay", folder.as_os_str(), false).expect("it is there");
        assert_eq!(found.sound(&pattern, &folder.join("given.wav")), Err("no card".into()));
        std::fs::remove_dir_all(folder).expect("gone");
        // A device that is busy for ever.
        let begun = Instant::now();
        let ended = run(Command::new("sleep").arg("60"), 0.2);
        assert!(ended.is_err_and(|why| why.contains("not ended")) && begun.elapsed() < Duration::from_secs(10));
    }

    #[test]
    fn where_there_is_none_it_is_said() {
        let none = std::ffi::OsStr::new("/nowhere");
        assert_eq!(Player::find("auto", none, true), Ok(Player::Bell));
        for (asked, terminal, why) in
            [("auto", false, "has no sound"), ("bell", false, "no bell"), ("aplya", true, "no program “aplya”")]
        {
            assert!(Player::find(asked, none, terminal).is_err_and(|said| said.contains(why)), "{asked}");
        }
    }

    #[test]
    fn it_sounds_again_until_it_is_seen_and_a_graver_one_at_once() {
        let (says, heard) = channel();
        let (sounded, list) = channel();
        let thread = std::thread::spawn(move || follow(&heard, |category| sounded.send(category).expect("heard")));
        let next = || list.recv_timeout(Duration::from_secs(5)).expect("it sounds");
        for _ in 0..3 {
            says.send(Some(Category::Warning)).expect("told");
        }
        assert_eq!(next(), Category::Warning);
        says.send(Some(Category::EmergencyAlarm)).expect("told");
        assert_eq!([next(), next()], [Category::EmergencyAlarm; 2]);
        says.send(None).expect("told");
        std::thread::sleep(Duration::from_millis(50));
        while list.try_recv().is_ok() {}
        assert!(list.recv_timeout(Duration::from_secs(1)).is_err(), "it was seen");
        drop(says);
        thread.join().expect("it ends");
    }
}
