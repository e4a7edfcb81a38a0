//! Who may look, who may change something, and other programs on board.

use crate::served::{Served, folder, token, until};
use serde_json::Value;
use std::os::unix::fs::PermissionsExt as _;

const READING: &str = r#"{"gauge": "coolant", "value": 78, "unit": "°C", "time": "2026-01-02T03:04:05Z"}"#;

#[test]
fn programs_give_readings_that_are_on_the_disk_when_they_are_answered() {
    let folder = folder("");
    let served = Served::start(folder.path(), &[]);
    let token = token(folder.path());
    assert!(served.greeting.contains("no wire is described"), "{}", served.greeting);
    let mode = std::fs::metadata(folder.path().join("token")).expect("it is there").permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
    let given = format!(
        "{READING}, {{\"gauge\": \"oil\", \"value\": 3.1}}, {{\"gauge\": \"bell\", \"value\": false}}, {{\"gauge\": \"oli\", \"value\": 1}}"
    );
    let (status, answer) = served.give(&token, &given);
    assert_eq!((status, &answer["stored"], &answer["repeated"]), (200, &Value::from(3), &Value::from(0)), "{answer}");
    assert_eq!(answer["refused"][0]["index"], 3);
    assert!(answer["refused"][0]["advice"].as_str().is_some_and(|advice| advice.contains("`oil`")), "{answer}");
    let (status, answer) = served.give(&token, READING);
    assert_eq!((status, &answer["stored"], &answer["repeated"]), (200, &Value::from(0), &Value::from(1)), "{answer}");
    let oil = until("it is watched", 10, || served.latest("oil"));
    assert_eq!(
        (&oil["value"], &oil["unit"], &oil["stale"]),
        (&Value::from(3.1), &Value::from("bar"), &Value::from(false))
    );
    let coolant = served.latest("coolant").expect("it is told, however old it is");
    assert_eq!(
        (&coolant["stale"], &coolant["time"]),
        (&Value::from(true), &Value::from("2026-01-02T03:04:05Z")),
        "{coolant}"
    );
    // Nobody had time to close anything.
    drop(served);
    let reader = store::Reader::open(&folder.path().join("log.db")).expect("it can be read");
    let kept = reader.readings("coolant", 0..i64::MAX).expect("it was kept");
    assert_eq!(
        kept.iter().map(|kept| (kept.time, (kept.value - 273.15).round())).collect::<Vec<_>>(),
        [(1_767_323_045_000, 78.0)]
    );
}

#[test]
fn what_a_program_does_wrong_is_told() {
    let folder = folder("");
    let served = Served::start(folder.path(), &[]);
    let token = token(folder.path());
    let bearer = format!("Bearer {token}");
    let post = |headers: &[(&str, &str)], body: &str| served.ask("POST", "/api/1/readings", headers, body);
    assert_eq!(post(&[], READING).0, 401, "no token");
    assert_eq!(post(&[("Authorization", &bearer)], "{").0, 400);
    assert_eq!(post(&[("Authorization", &bearer)], &" ".repeat(300_000)).0, 413);
    assert_eq!(served.give(&token, "{\"gauge\": \"oli\", \"value\": 1}").0, 422);
    assert_eq!(post(&[("Authorization", &bearer), ("Origin", "http://evil.example")], "{}").0, 403);
    assert_eq!(post(&[("Authorization", &bearer), ("Host", "evil.example")], "{}").0, 421);
    assert_eq!(served.ask("GET", "/api/1/readings", &[], "").0, 405);
    assert_eq!(served.ask("GET", "/api/1/nothing", &[], "").0, 404);
    for _ in 0..5 {
        assert_eq!(served.give("guessed-guessed", READING).0, 401);
    }
    let (status, answer) = served.give(&token, READING);
    assert_eq!(status, 429, "{answer}");
    assert_eq!(served.ask("GET", "/", &[], "").0, 200, "everybody may look");
}

/// Every route is asked once, and what comes back is what the description says: its fields, and their types.
#[test]
fn answers_are_as_the_description_says() {
    let folder = folder("");
    let served = Served::start(folder.path(), &[]);
    let told: Value = serde_json::from_str(&served.page("/api/1/openapi.json")).expect("it is JSON");
    let token = token(folder.path());
    served.give(&token, &format!("{READING}, 3"));
    until("it is watched", 10, || served.latest("coolant"));
    let mut asked = 0;
    for (path, operations) in told["paths"].as_object().expect("paths") {
        for (method, operation) in operations.as_object().expect("operations") {
            let body = operation["requestBody"]["content"]["application/json"]["example"].to_string();
            let bearer = format!("Bearer {token}");
            let (status, answer) = served.ask(
                &method.to_uppercase(),
                path,
                &[("Authorization", &bearer)],
                if method == "get" { "" } else { &body },
            );
            assert_eq!(status, 200, "{method} {path}: {answer}");
            let schema = &operation["responses"]["200"]["content"]["application/json"]["schema"];
            let answer: Value = serde_json::from_str(&answer).expect("it is JSON");
            let mut wrong = Vec::new();
            fits(&told, schema, &answer, path, &mut wrong);
            assert!(wrong.is_empty(), "{wrong:#?}\n{answer}");
            asked += 1;
        }
    }
    assert_eq!(asked, 4);
}

/// Whether a value is of a schema, as far as ours say anything.
fn fits(told: &Value, schema: &Value, value: &Value, at: &str, wrong: &mut Vec<String>) {
    if let Some(reference) = schema["$ref"].as_str() {
        let pointer = reference.trim_start_matches('#');
        return fits(told, told.pointer(pointer).expect("it leads somewhere"), value, at, wrong);
    }
    let is = match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(number) if number.is_f64() => "number",
        Value::Number(_) => "integer",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    };
    let types: Vec<&str> = match &schema["type"] {
        Value::Array(types) => types.iter().filter_map(Value::as_str).collect(),
        one => one.as_str().into_iter().collect(),
    };
    let counts = is == "integer" && types.contains(&"number");
    if !counts && !types.contains(&is) {
        wrong.push(format!("{at} is {is}, not {types:?}"));
    }
    let none = serde_json::Map::new();
    let properties = schema["properties"].as_object().unwrap_or(&none);
    for required in schema["required"].as_array().into_iter().flatten().filter_map(Value::as_str) {
        if value.get(required).is_none() {
            wrong.push(format!("{at} lacks {required}"));
        }
    }
    for (key, value) in value.as_object().into_iter().flatten() {
        match properties.get(key) {
            Some(schema) => fits(told, schema, value, &format!("{at}.{key}"), wrong),
            None if properties.is_empty() => {}
            None => wrong.push(format!("{at}.{key} is not described")),
        }
    }
    for (k, item) in value.as_array().into_iter().flatten().enumerate() {
        fits(told, &schema["items"], item, &format!("{at}[{k}]"), wrong);
    }
}

#[test]
fn over_the_network_everybody_looks_and_who_has_the_token_changes() {
    let folder = folder("");
    let served = Served::start(folder.path(), &["--listen", "0.0.0.0:0", "--known-as", "engine-room"]);
    let token = token(folder.path());
    let port = served.port;
    assert!(served.greeting.contains("127.0.0.1"), "{}", served.greeting);
    for (host, status) in [
        (format!("192.168.4.2:{port}"), 200),
        (format!("engine-room:{port}"), 200),
        (format!("evil.example:{port}"), 421),
        ("192.168.4.2:1".to_string(), 421),
    ] {
        assert_eq!(served.ask("GET", "/", &[("Host", &host)], "").0, status, "{host}");
    }
    let situation = "at-sea=yes";
    let (status, page) = served.form("/cleared", situation, "");
    assert!(status == 403 && page.contains("has not shown the token") && page.contains("name=\"token\""), "{page}");
    let (status, page) = served.form("/token", "token=wrong&here=%2Fcauses", "");
    assert!(status == 403 && page.contains("That is not the token"), "{page}");
    let (status, _) = served.form("/token", &format!("token={}&here=%2Fcauses", token.to_uppercase()), "");
    assert_eq!(status, 303);
    let cookie = format!("theme=day; token={}", token.replace('-', ""));
    assert_eq!(served.form("/cleared", situation, &cookie).0, 303);
    assert_eq!(
        served.form("/theme", "theme=night&here=%2F", "").0,
        303,
        "how one's own page is lit is nobody else's business"
    );
    let evil = [("Origin", "http://evil.example"), ("Cookie", cookie.as_str())];
    assert_eq!(served.ask("POST", "/cleared", &evil, "").0, 403);
    for _ in 0..4 {
        served.form("/token", "token=guess&here=%2F", "");
    }
    let (status, page) = served.form("/cleared", situation, &cookie);
    assert!(status == 429 && page.contains("Wait a minute"), "{status} {page}");
}

#[test]
fn on_this_machine_alone_pages_need_no_token() {
    let folder = folder("");
    let served = Served::start(folder.path(), &[]);
    assert_eq!(served.form("/cleared", "", "").0, 303);
    assert_eq!(served.ask("GET", "/", &[("Host", &format!("192.168.4.2:{}", served.port))], "").0, 421);
}
