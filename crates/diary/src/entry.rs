//! An entry as it is kept: a line of JSON with its time, its sort and its version.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// Bytes of the digest that a key shows: two of a vessel's 100,000 entries share one with a chance below 1 in 200 million.
const KEY_BYTES: usize = 8;

/// What an entry of one sort holds.
pub trait Sort: Serialize + DeserializeOwned {
    /// The word for it in the store: "work".
    const KIND: &'static str;
    /// Which version of its body is written. An older one must still be read.
    const VERSION: u32;
}

/// What an entry is called by another that corrects it: drawn from all of it, so that it is the same wherever the entry is
/// kept.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Key(pub String);

/// An entry as the store keeps it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// When it happened [ms since 1970, UTC].
    pub time: i64,
    /// Its sort.
    pub kind: String,
    /// The version of its body.
    pub version: u32,
    /// JSON.
    pub body: String,
}

/// The body: what is the same in every sort, and what is its own.
#[derive(Serialize, Deserialize)]
pub(crate) struct Body<T> {
    /// Who wrote it down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who: Option<String>,
    /// The entry that this one stands for instead.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<Key>,
    /// What it holds; nothing where the entry it corrects is only taken back.
    #[serde(default = "Option::default", skip_serializing_if = "Option::is_none")]
    pub what: Option<T>,
}

impl Line {
    /// An entry, as it is to be kept.
    ///
    /// * `time`: when it happened [ms since 1970, UTC]
    /// * `who`: who writes it down, if that is told
    /// * `corrects`: the entry that it stands for instead
    pub fn of<T: Sort>(time: i64, who: Option<&str>, corrects: Option<&Key>, what: &T) -> Line {
        line(time, who, corrects, Some(what))
    }

    /// An entry that takes another one back and puts nothing in its place.
    pub fn taking_back<T: Sort>(time: i64, who: Option<&str>, corrects: &Key) -> Line {
        line::<T>(time, who, Some(corrects), None)
    }

    /// What it is called.
    pub fn key(&self) -> Key {
        let all = format!("{}|{}|{}|{}", self.time, self.kind, self.version, self.body);
        Key(digest(all.as_bytes())[..2 * KEY_BYTES].to_string())
    }
}

fn line<T: Sort>(time: i64, who: Option<&str>, corrects: Option<&Key>, what: Option<&T>) -> Line {
    let body = Body { who: who.map(str::to_string), corrects: corrects.cloned(), what };
    // A number that is none and a key that is no text are all that JSON cannot say; both become null.
    let body = serde_json::to_string(&body).unwrap_or_else(|_| "{}".into());
    Line { time, kind: T::KIND.into(), version: T::VERSION, body }
}

/// Check sum of a file or a text, SHA-256 as hexadecimal digits.
///
/// # Source
/// FIPS 180-4; the well-known digest of the empty text is in the tests.
pub fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}
