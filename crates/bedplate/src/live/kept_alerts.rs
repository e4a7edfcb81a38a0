//! Changes of alerts as events of the store, and back: the history that outlives the program.

use alerts::{Category, Change, State};
use serde_json::{Value, json};
use store::Event;

/// What sort of event, and the version of its body; `docs/storage.md` tells it in words.
pub const KIND: &str = "alert";
const VERSION: u32 = 1;

/// A change as an event.
pub fn event(change: &Change) -> Event {
    let mut body = json!({
        "key": change.key,
        "of": change.of,
        "text": change.text,
        "category": change.category.word(),
        "from": change.from.word(),
        "to": change.to.word(),
    });
    if let Some(until) = change.until {
        body["until"] = milliseconds(until).into();
    }
    if let Some(why) = &change.why {
        body["why"] = why.as_str().into();
    }
    Event { time: milliseconds(change.at), kind: KIND.into(), version: VERSION, body: body.to_string() }
}

/// The change that an event tells of; nothing if it is of another kind or version, or says what no change is.
pub fn change(event: &Event) -> Option<Change> {
    if event.kind != KIND || event.version != VERSION {
        return None;
    }
    let body: Value = serde_json::from_str(&event.body).ok()?;
    let text = |key: &str| body.get(key).and_then(Value::as_str);
    Some(Change {
        at: event.time as f64 / 1000.0,
        key: text("key")?.into(),
        of: text("of")?.into(),
        text: text("text")?.into(),
        category: Category::of(text("category")?)?,
        from: State::of(text("from")?)?,
        to: State::of(text("to")?)?,
        until: body.get("until").and_then(Value::as_f64).map(|until| until / 1000.0),
        why: text("why").map(str::to_string),
    })
}

fn milliseconds(seconds: f64) -> i64 {
    (1000.0 * seconds).round() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_comes_back_from_the_store_as_it_was_and_what_is_none_is_passed_over() {
        let seen = Change {
            at: 1_717_200_000.25,
            key: "oil-pressure.limit-1".into(),
            of: "oil-pressure".into(),
            text: "oil-pressure is below its limit of 0.69 bar".into(),
            category: Category::EmergencyAlarm,
            from: State::Unacknowledged,
            to: State::Acknowledged,
            until: None,
            why: None,
        };
        let to = State::OutOfService;
        let (until, why) = (Some(1_717_203_600.0), Some("sender “broken”".to_string()));
        let out = Change { at: seen.at + 1.0, from: State::Acknowledged, to, until, why, ..seen.clone() };
        let folder = std::env::temp_dir().join(format!("bedplate-kept-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a folder");
        let store = store::Store::open(&folder.join("log.db")).expect("a store");
        let mut events: Vec<Event> = [&seen, &out].map(event).to_vec();
        let other = |kind: &str, version, body: &str| Event { time: 0, kind: kind.into(), version, body: body.into() };
        events.extend([other("work", 1, "{}"), other("alert", 2, "{}"), other("alert", 1, r#"{"key":"x","of":"x"}"#)]);
        store.note(events, store::Arrival::Import).expect("taken").wait().expect("kept");
        let kept = store.reader().events(None, i64::MIN..i64::MAX, 99).expect("read").list;
        let back: Vec<Change> = kept.iter().filter_map(|noted| change(&noted.event)).collect();
        assert_eq!((kept.len(), back), (5, vec![seen, out]));
        drop(store);
        std::fs::remove_dir_all(folder).expect("gone");
    }
}
