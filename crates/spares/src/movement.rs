//! What was counted, received, used, thrown away, stowed elsewhere: entries that are written down and never changed.

use crate::amount::Counted;
use crate::meant::Told;
use diary::Sort;
use serde::{Deserialize, Serialize};

/// An entry of the sort "stock".
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Movement {
    /// Name of the item; of a kit where something of all its contents was received or used.
    pub item: String,
    /// What it was counted in then; nothing for a kit, and where nothing was counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counted_in: Option<Counted>,
    /// What happened.
    pub what: Move,
    /// In the words of whoever wrote it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// What happened to it; amounts are pieces, m³, kg or m, as the item is counted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Move {
    /// So much was there.
    Counted(f64),
    /// So much came aboard.
    Received {
        /// How much.
        amount: f64,
        /// To be used by this day [days since 1970], if that was told.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        good_until: Option<i64>,
    },
    /// So much was used.
    Used(f64),
    /// So much was thrown away or given away.
    Discarded(f64),
    /// It is stowed here from now on.
    Stowed(String),
}

impl Sort for Movement {
    const KIND: &'static str = "stock";
    const VERSION: u32 = 1;
}

/// What a record of work used: a movement that is written down elsewhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// When [ms since 1970, UTC].
    pub time: i64,
    /// What, and how much.
    pub told: Told,
    /// For what, in words: the task.
    pub by: String,
}
