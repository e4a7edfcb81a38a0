//! The one list of kinds: every `pub const …: Kind` of this folder's files, gathered by `build.rs`.

use crate::kind::Kind;

include!(concat!(env!("OUT_DIR"), "/catalogue.rs"));

/// Does this kind answer for the one of that name: is it that, or do the words people say of it begin with all of that one's?
pub fn answers_for(kind: &'static Kind, name: &str) -> bool {
    let words = |kind: &'static Kind| kind.words.iter().map(|word| word.name);
    kind.name == name
        || find(name)
            .is_some_and(|other| !other.words.is_empty() && words(kind).take(other.words.len()).eq(words(other)))
}

/// The kind of that name.
pub fn find(name: &str) -> Option<&'static Kind> {
    KINDS.iter().copied().find(|kind| kind.name == name)
}
