//! What becomes an alert, from readings alone: limits, alarms, silence; and what means nothing while the engine is stopped.

use alerts::{Category, Deed, Shown, State};
use plant::plant::{GaugeId, Plant};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};
use watch::picture::{Entry, Picture};
use watch::recent::Reading;
use watch::watch::Watch;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");

fn plant() -> Arc<Plant> {
    static PLANT: OnceLock<Arc<Plant>> = OnceLock::new();
    PLANT.get_or_init(|| Arc::new(plant::reader::read(MARRAM).0.expect("the demonstration vessel loads"))).clone()
}

/// Somebody who reads out the same numbers every second until told others.
struct Reader {
    watch: Watch,
    now: f64,
    shows: BTreeMap<GaugeId, f64>,
}

fn named(name: &str) -> GaugeId {
    plant().gauge(name).expect("it is there")
}

impl Reader {
    fn new() -> Reader {
        let mut reader =
            Reader { watch: Watch::new(plant(), false).expect("watched"), now: 0.0, shows: BTreeMap::new() };
        for (name, value) in [
            ("speed", 150.0),
            ("coolant", 353.15),
            ("oil-pressure", 350_000.0),
            ("oil-pressure-helm", 350_000.0),
            ("sea", 288.15),
            ("oil-lamp", 0.0),
        ] {
            reader.shows.insert(named(name), value);
        }
        reader
    }

    fn shows(&mut self, name: &str, value: f64) {
        self.shows.insert(named(name), value);
    }

    fn silent(&mut self, name: &str) {
        self.shows.remove(&named(name));
    }

    fn seconds(&mut self, seconds: usize) -> Arc<Picture> {
        for _ in 0..seconds {
            self.now += 1.0;
            for (gauge, value) in &self.shows {
                self.watch.take(Reading { gauge: *gauge, value: *value, at: self.now });
            }
            self.watch.tick(self.now);
        }
        self.watch.picture()
    }
}

/// Each line: its category, how it is shown, the keys of its alerts.
fn lines(picture: &Picture) -> Vec<(Category, Shown, Vec<String>)> {
    let lines = picture.alerts.lines(&picture.groups);
    let keys = |line: &alerts::Line| line.alerts.iter().map(|alert| alert.sign.key.clone()).collect();
    lines.iter().map(|line| (line.category, line.shown, keys(line))).collect()
}

fn state(picture: &Picture, key: &str) -> State {
    picture.alerts.alert(key).expect("it is known").state
}

#[test]
fn oil_pressure_that_is_lost_is_an_emergency_within_seconds_and_one_line_with_its_lamp() {
    let mut reader = Reader::new();
    assert!(lines(&reader.seconds(60)).is_empty());
    reader.shows("oil-pressure", 40_000.0);
    assert!(lines(&reader.seconds(2)).is_empty(), "a dropped reading is none");
    let picture = reader.seconds(2);
    assert_eq!(lines(&picture), [(Category::EmergencyAlarm, Shown::New, vec!["oil-pressure.limit-1".to_string()])]);
    let alert = picture.alerts.alert("oil-pressure.limit-1").expect("it is there");
    assert_eq!(alert.sign.text, "oil-pressure is below its limit of 0.69 bar");
    // The second gauge and the lamp at the same place are no news of their own.
    reader.shows("oil-pressure-helm", 30_000.0);
    reader.shows("oil-lamp", 1.0);
    let told = lines(&reader.seconds(5));
    assert_eq!((told.len(), told[0].2.len()), (1, 3));
    reader.shows("oil-pressure-helm", 350_000.0);
    reader.shows("oil-lamp", 0.0);
    reader.watch.enter(Entry::Alert(Deed::See(vec!["oil-pressure-helm.limit-1".into(), "oil-lamp.sounds".into()])));
    reader.seconds(30);
    // Seen by two at once; then it comes back, and it is over.
    for _ in 0..2 {
        reader.watch.enter(Entry::Alert(Deed::See(vec!["oil-pressure.limit-1".into()])));
    }
    assert_eq!(lines(&reader.seconds(1))[0].1, Shown::Seen);
    reader.shows("oil-pressure", 350_000.0);
    let picture = reader.seconds(30);
    assert!(lines(&picture).is_empty());
    let own = picture.history.iter().filter(|change| change.key == "oil-pressure.limit-1");
    let path: Vec<State> = own.map(|change| change.to).collect();
    assert_eq!(path, [State::Unacknowledged, State::Acknowledged, State::Normal]);
    assert_eq!(reader.watch.changes().len(), picture.history.len());
    assert_eq!(reader.watch.changes().len(), 0);
}

#[test]
fn a_lamp_that_lights_is_as_grave_as_what_it_watches() {
    let mut reader = Reader::new();
    reader.shows("oil-lamp", 1.0);
    let picture = reader.seconds(1);
    assert_eq!(lines(&picture), [(Category::EmergencyAlarm, Shown::New, vec!["oil-lamp.sounds".to_string()])]);
}

#[test]
fn no_oil_pressure_is_nothing_while_she_is_stopped_or_just_started() {
    let mut reader = Reader::new();
    // An ordinary stop: the pressure is gone with the speed, and nobody is called.
    reader.seconds(120);
    reader.shows("speed", 0.0);
    reader.shows("oil-pressure", 0.0);
    reader.shows("oil-pressure-helm", 0.0);
    let picture = reader.seconds(100);
    assert!(lines(&picture).is_empty(), "{:?}", lines(&picture));
    assert!(picture.act.is_empty());
    assert_eq!(state(&picture, "oil-pressure.limit-1"), State::Suppressed);
    reader.shows("speed", 80.0);
    assert!(lines(&reader.seconds(14)).is_empty());
    assert!(!lines(&reader.seconds(10)).is_empty(), "it has not come up");
}

#[test]
fn a_speed_gauge_that_shows_nothing_is_no_stop_while_oil_is_pumped() {
    // The demonstration's speed gauge counts pulses of the alternator: its belt is gone.
    let mut reader = Reader::new();
    reader.seconds(60);
    reader.shows("speed", 0.0);
    reader.shows("coolant", 273.15 + 112.0);
    let picture = reader.seconds(60);
    assert!(
        lines(&picture).iter().any(|line| line.2.iter().any(|key| key.starts_with("coolant.limit"))),
        "{:?}",
        lines(&picture)
    );
    assert!(!picture.act.is_empty());
}

#[test]
fn a_speed_gauge_that_is_heard_no_more_keeps_nobody_stopped() {
    let mut reader = Reader::new();
    for name in ["oil-pressure", "oil-pressure-helm", "speed"] {
        reader.shows(name, 0.0);
    }
    assert!(lines(&reader.seconds(60)).is_empty());
    reader.silent("speed");
    let picture = reader.seconds(120);
    assert!(
        lines(&picture).iter().any(|line| line.2.contains(&"oil-pressure.limit-1".to_string())),
        "{:?}",
        lines(&picture)
    );
}

#[test]
fn one_gauge_that_is_silent_is_one_alert_and_so_is_a_whole_wire() {
    let mut reader = Reader::new();
    reader.seconds(100);
    reader.silent("sea");
    let picture = reader.seconds(90);
    assert_eq!(lines(&picture), [(Category::Caution, Shown::New, vec!["sea.silent".to_string()])]);
    reader.shows("sea", 288.15);
    let picture = reader.seconds(2);
    assert_eq!(state(&picture, "sea.silent"), State::Returned, "nobody has seen it yet");
    reader.watch.enter(Entry::Alert(Deed::See(vec!["sea.silent".into()])));
    reader.shows.clear();
    let picture = reader.seconds(90);
    assert_eq!(lines(&picture), [(Category::Warning, Shown::New, vec!["the wire.silent".to_string()])]);
    assert!(state(&picture, "coolant.silent") == State::Suppressed);
}

#[test]
fn of_two_wires_the_one_that_is_silent_is_told() {
    let mut reader = Reader::new();
    let on = |gauge: GaugeId| Some(if plant()[gauge].name.starts_with("oil") { "can0" } else { "usb" }.to_string());
    reader.watch.on_wires(plant().gauge_ids().map(on).collect());
    reader.seconds(100);
    for name in ["oil-pressure", "oil-pressure-helm", "oil-lamp"] {
        reader.silent(name);
    }
    let told = lines(&reader.seconds(90));
    assert_eq!(told, [(Category::Warning, Shown::New, vec!["wire can0.silent".to_string()])]);
}

#[test]
fn what_was_read_by_hand_now_and_then_is_not_missed() {
    let mut reader = Reader::new();
    reader.seconds(10);
    for gauge in [named("volts"), named("fuel-level")] {
        reader.watch.take(Reading { gauge, value: 14.0, at: reader.now });
    }
    assert!(lines(&reader.seconds(400)).is_empty());
}

#[test]
fn a_gauge_taken_out_says_nothing_until_its_end_and_alerts_outlive_a_restart() {
    let mut reader = Reader::new();
    reader.seconds(20);
    let out = Deed::TakeOut { of: "oil-pressure".into(), reason: "sender broken".into(), until: 620.0 };
    reader.watch.enter(Entry::Alert(out));
    reader.shows("oil-pressure", 0.0);
    assert!(lines(&reader.seconds(60)).is_empty());
    let history = reader.watch.changes();
    let mut next = Reader::new();
    next.watch.resume(80.0, &history);
    next.now = 80.0;
    next.shows("oil-pressure", 0.0);
    assert!(lines(&next.seconds(500)).is_empty());
    assert_eq!(lines(&next.seconds(50))[0].2, ["oil-pressure.limit-1"]);
}

#[test]
fn the_owner_tells_other_delays_and_a_wrong_one_is_a_finding() {
    let told = |keys: &str| {
        let text = MARRAM.replace("[gauge.oil-pressure]\n", &format!("[gauge.oil-pressure]\n{keys}\n"));
        assert_ne!(text, MARRAM);
        plant::reader::read(&text)
    };
    let (plant, findings) = told("on-delay = \"1 s\"\noff-delay = \"2 min\"\ndeadband = \"0.3 bar\"");
    assert!(findings.iter().all(|f| !f.problem.to_string().contains("delay")));
    let delays = plant.expect("it loads").gauges[2].delays;
    assert_eq!((delays.on, delays.off), (Some(1.0), Some(120.0)));
    assert!(delays.deadband.is_some_and(|pressure| (pressure - 30_000.0).abs() < 1e-6));
    for (wrong, what) in
        [("on-delay = \"2 h\"", "10 min"), ("off-delay = \"-3 s\"", "10 min"), ("deadband = \"3 K\"", "K")]
    {
        let findings = told(wrong).1;
        assert!(findings.iter().any(|f| f.problem.to_string().contains(what)), "{wrong}: {findings:?}");
    }
}
