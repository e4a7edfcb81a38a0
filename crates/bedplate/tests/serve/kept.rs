//! Power that is pulled at any moment: what was answered is kept, and the store is whole.

use crate::served::{Gateway, Served, folder, sentence, token, until};
use std::collections::BTreeSet;
use std::time::Duration;

#[test]
fn what_was_answered_is_there_after_the_program_was_killed_again_and_again() {
    let line = sentence("IIXDR,C,82.5,C,Engine#0");
    let gateway = Gateway::saying(line, Duration::from_millis(20));
    let folder = folder(&format!("[[wire]]\nfrom = \"tcp:127.0.0.1:{}\"\n", gateway.port));
    let mut answered = BTreeSet::new();
    for round in 0..8 {
        let served = Served::start(folder.path(), &[]);
        let token = token(folder.path());
        for k in 0..=round {
            let time = format!("2026-01-02T03:{round:02}:{k:02}Z");
            let (status, answer) =
                served.give(&token, &format!("{{\"gauge\": \"oil\", \"value\": 3, \"time\": \"{time}\"}}"));
            assert_eq!((status, &answer["stored"]), (200, &serde_json::Value::from(1)), "{answer}");
            answered.insert((round, k));
        }
        let (code, _) = served.end("-KILL");
        assert_eq!(code, -1, "it had no time to end");
    }
    let store = store::Store::open(&folder.path().join("log.db")).expect("it can be opened");
    let health = store.reader().check().expect("it can be checked");
    assert!(health.problems.is_empty(), "{health:?}");
    let kept = store.reader().readings("oil", 0..i64::MAX).expect("it can be read");
    assert_eq!(kept.len(), answered.len());
    assert!(!store.reader().readings("coolant", 0..i64::MAX).expect("it can be read").is_empty());
}

#[test]
fn alerts_are_kept_by_the_days_clock_and_stand_there_when_she_is_served_again() {
    let folder = folder("");
    let served = Served::start(folder.path(), &[]);
    let token = token(folder.path());
    let hot = "{\"gauge\": \"bell\", \"value\": true}, {\"gauge\": \"coolant\", \"value\": 104}";
    until("the alert is there", 60, || {
        assert_eq!(served.give(&token, hot).0, 200);
        served.page("/alerts").contains("bell").then_some(())
    });
    let (code, said) = served.end("-TERM");
    assert_eq!(code, 0, "{said}");
    let reader = store::Reader::open(&folder.path().join("log.db")).expect("it can be read");
    let events = reader.events(Some("alert"), i64::MIN..i64::MAX, 100).expect("it was kept").list;
    // In the years this program is used, and not in the seconds since it began.
    assert!(!events.is_empty() && events.iter().all(|noted| noted.event.time > 1_700_000_000_000), "{events:?}");
    drop(reader);
    let served = Served::start(folder.path(), &[]);
    assert!(served.page("/alerts").contains("bell"), "it is not forgotten");
}
