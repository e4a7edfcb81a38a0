//! The one list of kinds: every `pub const …: Kind` of this folder's files, gathered by `build.rs`.

use crate::kind::Kind;

include!(concat!(env!("OUT_DIR"), "/catalogue.rs"));

/// The kind of that name.
pub fn find(name: &str) -> Option<&'static Kind> {
    KINDS.iter().copied().find(|kind| kind.name == name)
}
