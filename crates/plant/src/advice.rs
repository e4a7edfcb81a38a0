//! Words that findings and their advice are put together from.

/// The name that may have been meant, or all that are known.
pub(crate) fn meant(nearest: Option<&str>, known: &[String]) -> String {
    let all =
        if known.is_empty() { "None is known here.".into() } else { format!("Known here: {}.", known.join(", ")) };
    meant_or(nearest, &all)
}

/// The name that may have been meant, or else this.
pub(crate) fn meant_or(nearest: Option<&str>, otherwise: &str) -> String {
    nearest.map_or_else(|| otherwise.to_string(), |near| format!("Did you mean `{near}`?"))
}

/// What may stand in place of a way through a part that is not there.
pub(crate) fn instead_of_passage(passages: &[String]) -> String {
    match passages {
        [] => "Nothing flows through a part of this kind.".into(),
        known => format!("Ways through it: {}.", known.join(", ")),
    }
}

/// The first few, joined by "or".
pub(crate) fn some(known: &[String]) -> String {
    const MOST: usize = 6;
    let more = if known.len() > MOST { " or another" } else { "" };
    known.iter().take(MOST).map(|name| format!("`{name}`")).collect::<Vec<_>>().join(" or ") + more
}

/// " at `near`".
pub(crate) fn at(near: &str) -> String {
    if near.is_empty() { String::new() } else { format!(" at `{near}`") }
}

/// "two parts".
pub(crate) fn count(number: usize) -> String {
    match number {
        2 => "two parts".into(),
        3 => "three parts".into(),
        n => format!("{n} parts"),
    }
}
