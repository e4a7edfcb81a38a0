//! Under which address and names the pages are served.

use super::token::Token;
use crate::stop::Stop;
use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use web::Access;

/// Reads `0.0.0.0:8461`, `[::]:8461`, or an address alone.
///
/// # Errors
/// How it is written.
pub fn address(text: &str) -> Result<SocketAddr, String> {
    let alone = || text.parse::<IpAddr>().ok().map(|address| SocketAddr::new(address, super::PORT));
    let how = "write an address of this machine with a port, such as 0.0.0.0:8461 for all it has";
    text.parse().ok().or_else(alone).ok_or_else(|| how.into())
}

/// Why no pages can be served there.
pub fn taken(address: SocketAddr, error: &io::Error) -> Stop {
    let (why, advice) = match error.kind() {
        io::ErrorKind::AddrInUse => {
            ("another program serves there".into(), "End that one, or take another port: --port, or --listen with it.")
        }
        io::ErrorKind::AddrNotAvailable => {
            ("this machine has no such address".into(), "Take 0.0.0.0 for all it has: --listen 0.0.0.0:8461.")
        }
        io::ErrorKind::PermissionDenied => ("this port may not be taken".into(), "Take one above 1023."),
        _ => (error.to_string(), "Look at the address."),
    };
    Stop::BadInput(format!("{address}: fault: {why}\n  {advice}"))
}

/// Who may ask for pages, and what a change needs.
pub fn access(address: SocketAddr, known_as: &[String], token: &Token) -> Access {
    let network = !address.ip().is_loopback();
    let own = own_name().into_iter().flat_map(|name| [format!("{name}.local"), name]);
    let names = if network { own.chain(known_as.iter().cloned()).collect() } else { Vec::new() };
    Access { network, names, token: Some(token.text.clone()) }
}

/// What to open in a browser.
pub fn addresses(address: SocketAddr, access: &Access) -> Vec<String> {
    let port = address.port();
    if !address.ip().is_unspecified() {
        return vec![format!("http://{address}/")];
    }
    let numbers = towards_the_network().map(|ip| SocketAddr::new(ip, port).to_string());
    let names = access.names.first().map(|name| format!("{name}:{port}"));
    let here = format!("127.0.0.1:{port}");
    [Some(here), numbers, names].into_iter().flatten().map(|host| format!("http://{host}/")).collect()
}

/// This machine's address on the network it has; nothing is sent to learn it.
fn towards_the_network() -> Option<IpAddr> {
    // An address of documentation: to be connected by datagrams only chooses the way.
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    socket.local_addr().ok().map(|address| address.ip()).filter(|ip| !ip.is_loopback())
}

/// What this machine calls itself.
#[cfg(unix)]
fn own_name() -> Option<String> {
    let name = rustix::system::uname().nodename().to_str().ok()?.to_ascii_lowercase();
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'.';
    (!name.is_empty() && name.bytes().all(plain)).then_some(name)
}

#[cfg(not(unix))]
fn own_name() -> Option<String> {
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_are_read_as_they_are_written() {
        assert_eq!(address("0.0.0.0:80").map(|a| a.to_string()), Ok("0.0.0.0:80".into()));
        assert_eq!(address("192.168.4.2").map(|a| a.to_string()), Ok("192.168.4.2:8461".into()));
        assert_eq!(address("[::1]:9").map(|a| a.to_string()), Ok("[::1]:9".into()));
        assert_eq!(address("::").map(|a| a.to_string()), Ok("[::]:8461".into()));
        for wrong in ["", "boat", "1.2.3.4:x", "1.2.3.4:99999"] {
            assert!(address(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn only_what_the_network_can_reach_needs_the_token() {
        let token = Token { text: "x".into(), new: false, kept: true };
        let of = |text: &str| access(address(text).expect("an address"), &["engine-room".into()], &token);
        assert!(!of("127.0.0.1:1").network && !of("[::1]:1").network && of("127.0.0.1:1").names.is_empty());
        let network = of("0.0.0.0:1");
        assert!(network.network && network.names.contains(&"engine-room".to_string()));
    }
}
