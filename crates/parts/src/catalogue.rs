//! The one list of kinds: every `pub const …: Kind` of this folder's files, gathered by `build.rs`.

use crate::kind::Kind;

include!(concat!(env!("OUT_DIR"), "/catalogue.rs"));

/// Does what is said of a kind of that name go for this one: is it that, or a sort of it?
pub fn answers_for(kind: &Kind, name: &str) -> bool {
    kind.name == name || kind.variant_of == Some(name)
}

/// The kind of that name.
pub fn find(name: &str) -> Option<&'static Kind> {
    KINDS.iter().copied().find(|kind| kind.name == name)
}
