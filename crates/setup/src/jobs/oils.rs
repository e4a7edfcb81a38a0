//! What is known of an oil by its grade, for the jobs on oil.

use crate::given::Given;
use crate::job::Refused;
use physics::oil::{Grade, Oil, TYPICAL, grade};

/// The oil told by its two viscosities, or a typical one of its grade; nothing where neither is told.
pub(super) fn told(given: &Given) -> Result<Option<Oil>, Refused> {
    let at = (given.maybe("viscosity-40"), given.maybe("viscosity-100"));
    let (nu40, nu100) = match at {
        (Some(nu40), Some(nu100)) => (nu40, nu100),
        (None, None) if given.text("oil-grade").is_empty() => return Ok(None),
        (first, second) => {
            let word = plain(given.text("oil-grade"));
            let Some((_, nu40, nu100)) = TYPICAL.iter().find(|(name, ..)| plain(name) == word) else {
                let names: Vec<&str> = TYPICAL.iter().map(|(name, ..)| *name).collect();
                return Err(Refused::of(
                    "oil-grade",
                    format!("of `{}` no viscosity is known", given.text("oil-grade")),
                    format!("Tell viscosity-40 and viscosity-100 of its data sheet, or one of {}.", names.join(", ")),
                ));
            };
            (first.unwrap_or(*nu40), second.unwrap_or(*nu100))
        }
    };
    if nu40 <= nu100 {
        return Err(Refused::of(
            "viscosity-40",
            "no oil is thinner at 40 °C than at 100 °C",
            "Look whether they are exchanged.",
        ));
    }
    Ok(Some(Oil { nu40_m2s: nu40, nu100_m2s: nu100, density_15: Oil::USUAL_DENSITY }))
}

/// "SAE 15w-40" and "15W40" alike.
fn plain(name: &str) -> String {
    let name: String = name.to_uppercase().chars().filter(char::is_ascii_alphanumeric).collect();
    name.strip_prefix("SAE").unwrap_or(&name).to_string()
}

/// The winter half of a grade's name, if it has one that is known.
pub(super) fn winter(name: &str) -> Option<&'static Grade> {
    let name = plain(name);
    let end = name.find('W')?;
    grade(&name[..=end])
}
