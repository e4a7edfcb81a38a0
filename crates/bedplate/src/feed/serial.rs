//! A serial line, read only.

use std::fs::File;
use std::io;
use std::path::Path;

/// Opens a terminal as a line of so many bit/s, eight data bits, no parity, nothing changed on the way.
///
/// A read that has waited a fifth of a second gives nothing.
#[cfg(unix)]
pub fn open(path: &Path, speed: u32) -> io::Result<File> {
    use rustix::fs::{Mode, OFlags};
    use rustix::termios::{ControlModes, OptionalActions, SpecialCodeIndex, tcgetattr, tcsetattr};
    let flags = OFlags::RDONLY | OFlags::NOCTTY | OFlags::CLOEXEC;
    let line = rustix::fs::open(path, flags, Mode::empty())?;
    let mut termios = tcgetattr(&line)?;
    termios.make_raw();
    termios.control_modes |= ControlModes::CREAD | ControlModes::CLOCAL;
    termios.set_speed(speed)?;
    // In tenths of a second, whether anything came or not.
    termios.special_codes[SpecialCodeIndex::VMIN] = 0;
    termios.special_codes[SpecialCodeIndex::VTIME] = 2;
    tcsetattr(&line, OptionalActions::Now, &termios)?;
    Ok(File::from(line))
}

/// There are serial lines of another sort elsewhere.
#[cfg(not(unix))]
pub fn open(_: &Path, _: u32) -> io::Result<File> {
    Err(io::Error::new(io::ErrorKind::Unsupported, "serial lines are read on Unix only"))
}
