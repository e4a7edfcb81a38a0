//! A CAN interface of Linux, read only.

use std::io::{self, Read};
use std::time::Duration;

/// Opens an interface; each read is one frame, or nothing after `wait`.
#[cfg(target_os = "linux")]
pub fn open(interface: &str, wait: Duration) -> io::Result<Box<dyn Read>> {
    use socketcan::{CanSocket, Socket as _};
    let socket = CanSocket::open(interface)?;
    socket.set_read_timeout(wait)?;
    Ok(Box::new(socket))
}

/// Elsewhere there is none.
#[cfg(not(target_os = "linux"))]
pub fn open(_: &str, _: Duration) -> io::Result<Box<dyn Read>> {
    Err(io::Error::new(io::ErrorKind::Unsupported, "CAN interfaces are read on Linux only"))
}
