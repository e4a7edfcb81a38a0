//! What people do about alerts, read against those there are.

use alerts::{Board, Deed};

/// What was sent: pairs, for several alerts may be meant at once.
pub type Sent = Vec<(String, String)>;

/// What it asks.
///
/// # Errors
/// What is wrong with it, in words.
pub fn read(sent: &Sent, board: &Board) -> Result<Deed, String> {
    let find = |key: &str| sent.iter().find(|(name, _)| name == key).map_or("", |(_, value)| value.as_str());
    let keys: Vec<String> = sent.iter().filter(|(name, _)| name == "key").map(|(_, key)| key.clone()).collect();
    let until = |unit: &str, seconds: f64| {
        let text = find(unit).trim();
        let number: f64 = text.parse().map_err(|_| format!("“{text}” is no number of {unit}."))?;
        Ok::<f64, String>(board.now() + seconds * number)
    };
    let deed = match find("deed") {
        "see" => Deed::See(keys),
        "hold" => Deed::Hold { keys, until: until("minutes", 60.0)? },
        "end-hold" => Deed::EndHold(keys),
        "take-out" => {
            Deed::TakeOut { of: find("of").into(), reason: find("reason").into(), until: until("days", 86_400.0)? }
        }
        "put-back" => Deed::PutBack(find("of").into()),
        other => return Err(format!("“{other}” is nothing that is done about an alert.")),
    };
    if matches!(&deed, Deed::See(keys) | Deed::Hold { keys, .. } | Deed::EndHold(keys) if keys.is_empty()) {
        return Err("No alert was named.".into());
    }
    board.may(&deed).map_err(|refused| watch::saying::sentence(&format!("{refused}.")))?;
    Ok(deed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use alerts::{Category, Delays, Past, Sign};

    fn board() -> Board {
        let mut board = Board::default();
        let delays = Delays { on: 0.0, off: 0.0, deadband: 0.0 };
        let (category, past) = (Category::EmergencyAlarm, Past::Beyond);
        let (key, of) = ("oil.limit-1".to_string(), "oil".to_string());
        board.look(1000.0, vec![Sign { key, of, text: "low".into(), category, past, delays, suppressed: None }]);
        board
    }

    fn sent(pairs: &[(&str, &str)]) -> Result<Deed, String> {
        read(&pairs.iter().map(|(a, b)| ((*a).to_string(), (*b).to_string())).collect(), &board())
    }

    #[test]
    fn what_is_meant_is_read_and_what_may_not_be_is_told_with_its_reason() {
        let key = ("key", "oil.limit-1");
        assert_eq!(sent(&[key, ("deed", "see")]), Ok(Deed::See(vec!["oil.limit-1".into()])));
        let held = Deed::Hold { keys: vec!["oil.limit-1".into()], until: 1900.0 };
        assert_eq!(sent(&[("deed", "hold"), key, ("minutes", "15")]), Ok(held));
        for (pairs, why) in [
            (vec![key, ("deed", "hold"), ("minutes", "16")], "15 minutes at most"),
            (vec![key, ("deed", "hold"), ("minutes", "-1")], "passed already"),
            (vec![key, ("deed", "hold"), ("minutes", "inf")], "at most"),
            (vec![key, ("deed", "hold"), ("minutes", "ever")], "no number of minutes"),
            (vec![("deed", "see")], "No alert was named"),
            (vec![("key", "gone"), ("deed", "see")], "no alert “gone”"),
            (vec![key, ("deed", "silence")], "nothing that is done"),
            (vec![("of", "oil"), ("deed", "take-out"), ("days", "1")], "whoever comes next"),
            (vec![("of", "sea"), ("deed", "put-back")], "no gauge"),
        ] {
            let told = sent(&pairs).expect_err("it is refused");
            assert!(told.contains(why), "{told}");
        }
    }
}
