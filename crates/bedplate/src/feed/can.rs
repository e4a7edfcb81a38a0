//! A CAN interface of Linux, read only.

use std::fs::File;
use std::io;
use std::time::Duration;

/// Opens an interface; each read is one frame, or nothing after `wait`.
#[cfg(target_os = "linux")]
pub fn open(interface: &str, wait: Duration) -> io::Result<File> {
    use socketcan::{CanSocket, Socket as _};
    let socket = CanSocket::open(interface)?;
    socket.set_read_timeout(wait)?;
    Ok(File::from(std::os::fd::OwnedFd::from(socket)))
}

/// Elsewhere there is none.
#[cfg(not(target_os = "linux"))]
pub fn open(_: &str, _: Duration) -> io::Result<File> {
    Err(io::Error::new(io::ErrorKind::Unsupported, "CAN interfaces are read on Linux only"))
}
