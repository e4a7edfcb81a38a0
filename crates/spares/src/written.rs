//! What somebody says was counted, received, used, thrown away or stowed, made into an entry; or why it cannot be.

use crate::amount;
use crate::item::{Meant, Stores};
use crate::movement::{Move, Movement};
use measure::nearest::nearest;

/// Longest place or note [letters].
const LONGEST: usize = 200;

/// What happened.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Deed {
    /// Counted.
    Counted,
    /// Came aboard.
    Received,
    /// Used.
    Used,
    /// Thrown or given away.
    Discarded,
    /// Stowed elsewhere.
    Stowed,
}

impl Deed {
    /// Every deed with its word.
    pub const ALL: [(&'static str, Deed); 5] = [
        ("counted", Deed::Counted),
        ("received", Deed::Received),
        ("used", Deed::Used),
        ("discarded", Deed::Discarded),
        ("stowed", Deed::Stowed),
    ];
}

/// Why an entry cannot be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// What is wrong.
    pub why: String,
    /// What to write instead.
    pub advice: String,
}

/// The entry of a deed.
///
/// * `how`: how much ("2", "5 L"), or where it is stowed now
/// * `good_until`: of what was received, the day to use it by [days since 1970]
///
/// # Errors
/// [`Refused`].
pub fn movement(
    stores: &Stores,
    deed: Deed,
    item: &str,
    how: &str,
    good_until: Option<i64>,
) -> Result<Movement, Refused> {
    let refused = |why: String, advice: &str| Err(Refused { why, advice: advice.into() });
    let Some(meant) = stores.called(item) else {
        let advice = match nearest(item, stores.names()) {
            Some(near) => format!("Is `{near}` meant?"),
            None => "Use a name that is described under [item.…] or [kit.…].".into(),
        };
        return Err(Refused { why: format!("there is no item or kit `{}`", short(item)), advice });
    };
    let (name, counted) = match meant {
        Meant::Item(id) => (stores[id].name.clone(), Some(stores[id].counted)),
        Meant::Kit(kit) => (kit.name.clone(), None),
    };
    if deed == Deed::Stowed {
        let place = how.trim();
        if place.is_empty() || place.chars().count() > LONGEST || place.chars().any(char::is_control) {
            return refused("that is no place".into(), "Write where it is stowed now, such as \"locker 3\".");
        }
        return Ok(Movement { item: name, counted_in: counted, what: Move::Stowed(place.into()), note: None });
    }
    if counted.is_none() && matches!(deed, Deed::Counted) {
        return refused(format!("`{name}` is a kit"), "Count what is in it, item by item.");
    }
    let Some((amount, found)) = amount::parse(how).filter(|(amount, _)| (0.0..=100_000.0).contains(amount)) else {
        return refused(
            format!("`{}` is no amount", short(how)),
            "Write a count such as 2, or an amount such as \"5 L\".",
        );
    };
    let expected = counted.unwrap_or(amount::Counted::Pieces);
    if found != expected && amount != 0.0 {
        return refused(format!("`{name}` is counted in {}", expected.word()), "Write the amount in that.");
    }
    if expected == amount::Counted::Pieces && amount.fract() != 0.0 {
        return refused(format!("`{}` is no whole number", short(how)), "Write whole pieces.");
    }
    if amount == 0.0 && deed != Deed::Counted {
        return refused("nothing is no movement".into(), "Write how much.");
    }
    let what = match deed {
        Deed::Received => Move::Received { amount, good_until },
        Deed::Used => Move::Used(amount),
        Deed::Discarded => Move::Discarded(amount),
        Deed::Counted | Deed::Stowed => Move::Counted(amount),
    };
    Ok(Movement { item: name, counted_in: counted, what, note: None })
}

fn short(text: &str) -> String {
    text.chars().take(40).map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}
