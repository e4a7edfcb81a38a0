//! Events: written down once, in order, kept whatever is let go, and read by span and kind.

mod common;

use common::*;
use store::{Arrival, Clock, Event, Events, Reader, StoreError};

fn event(time: i64, kind: &str, body: &str) -> Event {
    Event { time, kind: kind.into(), version: 1, body: body.into() }
}

fn bodies(events: &Events) -> Vec<&str> {
    assert_eq!(events.damaged, Vec::<String>::new());
    events.list.iter().map(|noted| noted.event.body.as_str()).collect()
}

#[test]
fn events_are_read_back_by_span_and_kind_in_the_order_they_were_written_also_when_the_clock_was_put_back() {
    let (_folder, path) = place();
    let store = open(&path);
    let first = vec![event(JUNE, "alert", r#"{"n":1}"#), event(JUNE, "work", r#"{"n":2}"#)];
    assert_eq!(store.note(first.clone(), Arrival::Live).expect("taken").wait().expect("kept").stored, 2);
    assert_eq!(store.note(first, Arrival::Live).expect("taken").wait().expect("kept").repeated, 2);
    let back = vec![event(JUNE - DAY, "alert", r#"{"n":3}"#), event(JUNE - DAY + 1, "alert", r#"{"n":4}"#)];
    store.note(back, Arrival::Live).expect("taken").wait().expect("kept");
    drop(store);
    // A reading that comes after events belongs to their run of the clock, also after a new start.
    let store = open(&path);
    let series = store.register(&gauge("oil", "engine", 0.5)).expect("a series");
    give(&store, vec![reading(series, JUNE - DAY + 2, 7)], Arrival::Live);
    assert_eq!(all(store.reader(), "oil")[0].run, 2);
    let every = |kind, span, most| store.reader().events(kind, span, most).expect("read");
    let ever = i64::MIN..i64::MAX;
    assert_eq!(bodies(&every(None, ever.clone(), 9)), [r#"{"n":1}"#, r#"{"n":2}"#, r#"{"n":3}"#, r#"{"n":4}"#]);
    assert_eq!(bodies(&every(Some("alert"), ever.clone(), 2)), [r#"{"n":3}"#, r#"{"n":4}"#]);
    assert_eq!(bodies(&every(Some("work"), ever.clone(), 9)), [r#"{"n":2}"#]);
    assert_eq!(bodies(&every(None, JUNE..JUNE + 1, 9)), [r#"{"n":1}"#, r#"{"n":2}"#]);
    assert_eq!(every(Some("round"), ever.clone(), 9), Events::default());
    let list = every(None, ever, 9).list;
    assert_eq!([list[0].run, list[2].run], [1, 2]);
    assert_eq!([list[0].clock, list[2].clock], [Clock::Sound, Clock::PutBack]);
    assert_eq!(sound(store.reader()).events, 4);
}

#[test]
fn what_cannot_be_an_event_is_refused_with_the_reason_and_nothing_of_it_is_kept() {
    let (_folder, path) = place();
    let store = open(&path);
    let good = event(JUNE, "alert", "{}");
    for (bad, why) in [
        (event(JUNE, "", "{}"), "a kind has"),
        (event(i64::MAX, "alert", "{}"), "year 9999"),
        (event(JUNE, "alert", &format!("\"{}\"", "x".repeat(70_000))), "the most is"),
        (event(JUNE, "alert", "not JSON"), "not JSON"),
    ] {
        let answer = store.note(vec![good.clone(), bad], Arrival::Live).and_then(store::Pending::wait);
        let Err(StoreError::BadEvent { what, .. }) = answer else { panic!("{answer:?}") };
        assert!(what.contains(why), "{what}");
    }
    assert_eq!(sound(store.reader()).events, 0);
}

#[test]
fn events_outlive_the_readings_that_are_let_go_and_come_back_with_a_backup() {
    let (folder, path) = place();
    let store = open(&path);
    let series = store.register(&gauge("oil", "engine", 0.5)).expect("a series");
    give(&store, (0..100).map(|i| reading(series, JUNE + i * 1000, i)).collect(), Arrival::Live);
    store.note(vec![event(JUNE, "alert", r#"{"n":1}"#)], Arrival::Live).expect("taken").wait().expect("kept");
    store.seal().expect("sealed");
    assert_eq!(store.retain(JUNE + DAY), Ok(1));
    let copy = folder.path().join("copy.db");
    store.reader().backup(&copy).expect("copied");
    drop(store);
    store::restore(&copy, &path).expect("restored");
    let reader = Reader::open(&path).expect("a store");
    assert!(all(&reader, "oil").is_empty());
    assert_eq!(bodies(&reader.events(None, 0..i64::MAX, 9).expect("read")), [r#"{"n":1}"#]);
}

#[test]
fn an_event_is_never_changed_and_a_byte_changed_on_the_disk_is_told() {
    let (_folder, path) = place();
    let store = open(&path);
    let two = vec![event(JUNE, "alert", r#"{"gauge":"oil"}"#), event(JUNE, "alert", r#"{"gauge":"sea"}"#)];
    store.note(two, Arrival::Live).expect("taken").wait().expect("kept");
    drop(store);
    let file = rusqlite::Connection::open(&path).expect("a file");
    for change in ["UPDATE event SET time = 0", "DELETE FROM event"] {
        assert!(file.execute(change, []).is_err(), "{change}");
    }
    drop(file);
    let mut bytes = std::fs::read(&path).expect("a file");
    let at = bytes.windows(15).position(|w| w == br#"{"gauge":"oil"}"#).expect("the body is there");
    bytes[at + 11] = b'a';
    std::fs::write(&path, bytes).expect("written");
    let reader = Reader::open(&path).expect("a store");
    let events = reader.events(Some("alert"), 0..i64::MAX, 9).expect("read");
    assert_eq!((events.list.len(), events.list[0].event.body.as_str()), (1, r#"{"gauge":"sea"}"#));
    assert_eq!(events.damaged, ["event 1 is not as it was written"]);
    assert_eq!(reader.check().expect("a check").problems, ["event 1 is not as it was written"]);
}

#[test]
fn who_writes_by_hand_writes_beside_a_store_that_is_held_open_and_both_are_kept() {
    let (_folder, path) = place();
    assert!(store::note_beside(&path, &[event(1, "work", "{}")]).is_err(), "nothing is made where nothing is");
    let store = open(&path);
    store.note(vec![event(1, "alert", r#"{"n":1}"#)], Arrival::Live).expect("taken").wait().expect("kept");
    let before = store.reader().last_event().expect("read");
    let by_hand = [event(2, "work", r#"{"n":2}"#), event(3, "work", r#"{"n":3}"#)];
    assert_eq!(store::note_beside(&path, &by_hand).expect("kept").stored, 2);
    assert_eq!(store::note_beside(&path, &by_hand).expect("kept").repeated, 2, "given again");
    assert!(store::note_beside(&path, &[event(2, "work", "no JSON")]).is_err());
    store.note(vec![event(4, "alert", r#"{"n":4}"#)], Arrival::Live).expect("taken").wait().expect("kept");
    assert_eq!(store.reader().last_event().expect("read"), before + 3);
    let all = store.reader().events(None, i64::MIN..i64::MAX, 99).expect("read");
    assert_eq!(bodies(&all), [r#"{"n":1}"#, r#"{"n":2}"#, r#"{"n":3}"#, r#"{"n":4}"#]);
}
