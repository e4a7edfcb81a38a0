//! One file a page: what stands on it, worded and rounded, ready for its template.

pub mod alerts;
pub mod book;
pub mod causes;
pub mod check;
pub mod frame;
pub mod gauge;
pub mod handbook;
pub mod ledger;
pub mod margins;
pub mod next;
pub mod now;
pub mod opening;
pub mod paper;
pub mod part;
pub mod plot;
pub mod samples;
pub mod schematic;
pub mod setup;
pub mod simulator;
pub mod stores;
pub mod task;
pub mod token;
pub mod trial;
pub mod ways;
pub mod wires;
pub mod work;
pub mod wrong;

use diagnosis::hypothesis::{kind_of, name_of};
use parts::kind::Kind;
use plant::evidence::Named;
use plant::plant::Plant;
use watch::saying::key;

/// The address of a part or gauge on the Plant page.
pub fn address(plant: &Plant, of: Named) -> String {
    format!("/plant?part={}#part", query(name_of(plant, of)))
}

/// What there is to choose from: each part or gauge with its choices, as sent and as read.
pub type Choices = Vec<(String, Vec<(String, String)>)>;

/// What a form offers of every part and gauge that has any of it; each is sent as "part.name".
pub fn choices<'a, I: Iterator<Item = (&'a str, &'a str)>>(plant: &Plant, of: impl Fn(&'static Kind) -> I) -> Choices {
    let each = Named::all(plant).map(|named| {
        let part = name_of(plant, named);
        let offered = of(kind_of(plant, named)).map(|(name, read)| (format!("{part}.{name}"), key(read)));
        (part.to_string(), offered.collect::<Vec<_>>())
    });
    each.filter(|(_, offered)| !offered.is_empty()).collect()
}

/// Text as it may stand in an address.
pub fn query(text: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    text.bytes().map(|b| if plain(b) { char::from(b).to_string() } else { format!("%{b:02X}") }).collect()
}

/// Minutes, hours and days that have passed [s], in words.
pub fn long(seconds: f64) -> String {
    match seconds {
        s if s < 90.0 => format!("{:.0} s", s.max(0.0)),
        s if s < 5400.0 => format!("{:.0} min", s / 60.0),
        s if s < 48.0 * 3600.0 => format!("{:.1} h", s / 3600.0),
        s => format!("{:.0} days", s / 86_400.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_hold_any_name() {
        assert_eq!(query("strainer-port"), "strainer-port");
        assert_eq!(query("pump 2 & läuft"), "pump%202%20%26%20l%C3%A4uft");
    }

    #[test]
    fn time_is_told_in_the_unit_it_is_spoken_of() {
        let told = [12.0, 600.0, 9000.0, 300_000.0].map(long);
        assert_eq!(told, ["12 s", "10 min", "2.5 h", "3 days"]);
    }
}
