//! The watch from outside: readings of the demonstration vessel go in, pictures come out.

use diagnosis::hypothesis::{What, name_of};
use model::steady::Model;
use model::under::Change;
use plant::evidence::{Evidence, Named, ToldPoint};
use plant::plant::{GaugeId, Plant};
use std::sync::{Arc, OnceLock};
use watch::headline::{count, headline};
use watch::picture::{Entry, Picture, Steadiness};
use watch::recent::Reading;
use watch::watch::Watch;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");
/// Between two readings [s].
const BEAT: f64 = 10.0;

fn plant() -> Arc<Plant> {
    static PLANT: OnceLock<Arc<Plant>> = OnceLock::new();
    PLANT.get_or_init(|| Arc::new(plant::reader::read(MARRAM).0.expect("the demonstration vessel loads"))).clone()
}

/// A vessel exactly as described, that answers at once to whatever is done to her, and who watches her.
struct Bridge {
    model: Model,
    watch: Watch,
    now: f64,
    /// Share of rated speed [1].
    share: f64,
    fault: Option<Change>,
    /// Gauges that no longer report.
    silent: Vec<GaugeId>,
}

impl Bridge {
    fn new() -> Bridge {
        let plant = plant();
        let model = Model::new(&plant).expect("it has a structure");
        let watch = Watch::new(plant, true).expect("it can be watched");
        Bridge { model, watch, now: 0.0, share: 0.85, fault: None, silent: Vec::new() }
    }

    /// Lets minutes pass, a reading of every gauge each beat.
    fn minutes(&mut self, minutes: f64) -> Arc<Picture> {
        let plant = plant();
        let told = ToldPoint { speed: Some(self.share * plant.rated_speed), ..ToldPoint::default() };
        let point = model::point::told(&plant, &told).0;
        let sound = self.model.figures.clone();
        let figures = self.fault.as_ref().map_or_else(|| sound.clone(), |change| change.apply(&sound));
        let state = self.model.solve(&figures, &point, None).expect("it has a state");
        for _ in 0..(60.0 * minutes / BEAT) as usize {
            self.now += BEAT;
            for gauge in plant.gauge_ids().filter(|gauge| !self.silent.contains(gauge)) {
                let seen = self.model.read(&state, plant[gauge].tap);
                let value = match plant[gauge].trips {
                    Some((trip, parts::kind::When::High)) => f64::from(seen > trip),
                    Some((trip, parts::kind::When::Low)) => f64::from(seen < trip),
                    None => seen.clamp(plant[gauge].scale.0, plant[gauge].scale.1),
                };
                self.watch.take(Reading { gauge, value, at: self.now });
            }
            self.watch.tick(self.now);
            while let Some(job) = self.watch.job() {
                self.watch.done(job.run(&plant));
            }
        }
        self.watch.picture()
    }

    fn put_wrong(&mut self, part: &str, cause: &str, severity: f64) {
        let plant = plant();
        let of = Named::Part(plant.part(part).expect("it is there"));
        let all = diagnosis::hypothesis::all(&plant, &self.model.layout, &Evidence::default());
        let named = |what: What| matches!(what, What::Cause(it, k) if it == of && diagnosis::hypothesis::kind_of(&plant, of).causes[k].name == cause);
        let moves = all.into_iter().find(|h| named(h.what)).expect("it fails so").moves;
        self.fault = Some(Change { moves, severity });
    }
}

fn top(picture: &Picture) -> String {
    let explained = picture.explained.as_ref().expect("it was weighed");
    match explained.answer.ranked[0].what {
        What::Cause(of, k) => {
            let kind = diagnosis::hypothesis::kind_of(&picture.plant, of);
            format!("{}.{}", name_of(&picture.plant, of), kind.causes[k].name)
        }
        other => format!("{other:?}"),
    }
}

#[test]
fn before_the_first_reading_nothing_is_claimed() {
    let picture = Watch::new(plant(), false).expect("it can be watched").picture();
    assert_eq!(picture.steadiness, Steadiness::Unknown);
    assert!(picture.point.is_none() && picture.explained.is_none() && picture.act.is_empty());
    assert_eq!(headline(&picture).sentence, "Nothing has been read yet.");
    assert_eq!(count(&picture), (0, 0));
}

#[test]
fn readings_that_are_none_are_passed_over() {
    let mut watch = Watch::new(plant(), false).expect("it can be watched");
    let gauge = plant().gauge("coolant").expect("it is there");
    watch.take(Reading { gauge, value: 350.0, at: 10.0 });
    for wrong in [
        Reading { gauge, value: f64::NAN, at: 11.0 },
        Reading { gauge, value: 351.0, at: f64::INFINITY },
        Reading { gauge, value: 352.0, at: 9.0 },
        Reading { gauge: GaugeId(999), value: 353.0, at: 11.0 },
    ] {
        watch.take(wrong);
    }
    watch.tick(10.0);
    let shown = watch.picture().gauges[gauge.0].reading.expect("it was read");
    assert_eq!((shown.value, shown.at), (350.0, 10.0));
}

#[test]
fn a_sound_vessel_is_called_well_and_what_would_escape_is_told() {
    let mut bridge = Bridge::new();
    let picture = bridge.minutes(2.0);
    assert!(matches!(picture.steadiness, Steadiness::Settling(_)), "{:?}", picture.steadiness);
    let picture = bridge.minutes(13.0);
    assert!(matches!(picture.steadiness, Steadiness::Steady(_)), "{:?}", picture.steadiness);
    assert_eq!(top(&picture), "Well");
    let (outside, held) = count(&picture);
    assert_eq!((outside, held), (0, 18));
    let said = headline(&picture);
    assert!(said.sentence.starts_with("All is well"), "{}", said.sentence);
    assert!(said.escapes.expect("gauges never show all").contains("would not show"));
    assert!(said.next.is_none());
}

#[test]
fn a_fault_is_found_then_mended_and_what_was_entered_is_forgotten_with_it() {
    let mut bridge = Bridge::new();
    bridge.minutes(15.0);
    bridge.put_wrong("raw-pump", "worn", 0.6);
    let picture = bridge.minutes(12.0);
    assert!(top(&picture).starts_with("raw-pump."), "{}", top(&picture));
    let said = headline(&picture);
    assert!(said.sentence.contains("raw-pump") && said.next.is_some(), "{}", said.sentence);
    let of = Named::Part(plant().part("main").expect("it is there"));
    bridge.watch.enter(Entry::Said { of, word: 0, there: true });
    assert_eq!(bridge.watch.picture().said.len(), 1);
    bridge.fault = None;
    let picture = bridge.minutes(20.0);
    assert_eq!(top(&picture), "Well");
    assert!(picture.said.is_empty(), "what was said of an old trouble is held against a mended vessel");
}

#[test]
fn what_is_entered_can_be_taken_back() {
    let mut bridge = Bridge::new();
    let plant = plant();
    let of = Named::Part(plant.part("strainer-port").expect("it is there"));
    for entry in [
        Entry::Said { of, word: 0, there: true },
        Entry::Said { of, word: 1, there: false },
        Entry::Said { of, word: 0, there: false },
        Entry::Checked { of, check: 0, found: plant::evidence::Found::Clean },
    ] {
        bridge.watch.enter(entry);
    }
    let picture = bridge.watch.picture();
    assert_eq!(
        picture.said.iter().map(|(said, there)| (said.word, *there)).collect::<Vec<_>>(),
        [(1, false), (0, false)]
    );
    assert_eq!(picture.checks.len(), 1);
    bridge.watch.enter(Entry::Unsaid { of, word: 1 });
    bridge.watch.enter(Entry::Unchecked { of, check: 0 });
    let picture = bridge.watch.picture();
    assert_eq!((picture.said.len(), picture.checks.len()), (1, 0));
    bridge.watch.enter(Entry::Cleared);
    assert!(bridge.watch.picture().said.is_empty());
}

#[test]
fn at_another_speed_old_bands_are_not_shown() {
    let mut bridge = Bridge::new();
    bridge.minutes(10.0);
    bridge.share = 0.6;
    let picture = bridge.minutes(1.0);
    assert!(matches!(picture.steadiness, Steadiness::Settling(_)), "{:?}", picture.steadiness);
    let coolant = plant().gauge("raw-pressure").expect("it is there");
    let read = picture.gauges[coolant.0].reading.expect("it was read").value;
    if let Some(band) = picture.gauges[coolant.0].band {
        assert!(band.low < read && read < band.high, "a band of the old speed is held against the new one");
    }
    let picture = bridge.minutes(9.0);
    assert!(matches!(picture.steadiness, Steadiness::Steady(_)));
    assert_eq!((count(&picture).0, top(&picture).as_str()), (0, "Well"));
}

#[test]
fn a_gauge_that_falls_silent_is_not_judged() {
    let mut bridge = Bridge::new();
    bridge.minutes(10.0);
    let gauge = plant().gauge("raw-out").expect("it is there");
    bridge.silent.push(gauge);
    let picture = bridge.minutes(4.0);
    assert_eq!(picture.gauges[gauge.0].fresh(picture.at), None);
    assert_eq!(count(&picture), (0, 17));
    assert_eq!(top(&picture), "Well");
}

#[test]
fn a_limit_that_is_passed_is_told_at_once() {
    let mut bridge = Bridge::new();
    bridge.minutes(10.0);
    bridge.put_wrong("oil-pickup", "screen_blocked", 0.93);
    let picture = bridge.minutes(BEAT / 60.0);
    assert!(!picture.act.is_empty(), "the lamp is on and nothing is told to do");
}

#[test]
fn what_is_named_stays_until_another_is_clearly_likelier() {
    let mut bridge = Bridge::new();
    bridge.minutes(15.0);
    bridge.put_wrong("raw-pump", "worn", 0.6);
    let picture = bridge.minutes(20.0);
    let plant = plant();
    let mut explained = watch::picture::Explained::clone(picture.explained.as_ref().expect("it was weighed"));
    let all = explained.answer.ranked.iter().map(|ranked| ranked.what);
    let causes: Vec<What> = all.filter(|what| matches!(what, What::Cause(Named::Part(_), _))).take(2).collect();
    for (first, second, named) in
        [(0.45, 0.40, causes[1]), (0.56, 0.38, causes[1]), (0.60, 0.36, causes[0]), (0.45, 0.30, causes[0])]
    {
        for ranked in &mut explained.answer.ranked {
            ranked.probability = match ranked.what {
                what if what == causes[0] => first,
                what if what == causes[1] => second,
                _ => 0.001,
            };
        }
        explained.held = Some(causes[1]);
        assert_eq!(explained.named(&plant), Some(named), "{first} against {second}");
    }
}

#[test]
fn the_sentence_names_what_is_off_and_where_it_names_it() {
    let mut bridge = Bridge::new();
    bridge.minutes(15.0);
    bridge.put_wrong("raw-pump", "worn", 0.8);
    let said = headline(&bridge.minutes(20.0));
    assert!(said.named.len() >= 2, "{}", said.sentence);
    for (place, of) in &said.named {
        let words = said.sentence[place.clone()].to_lowercase().replace(' ', "-");
        assert_eq!(words, name_of(&plant(), *of), "{}", said.sentence);
    }
    assert!(said.sentence.contains(" high") && said.sentence.contains("raw-pump"), "{}", said.sentence);
    assert!(said.age.is_some_and(|age| age < 1500.0) && said.escapes.is_none());
}

#[test]
fn what_one_cause_moves_is_one_alert_and_a_limit_passed_under_it_makes_it_graver() {
    let mut bridge = Bridge::new();
    bridge.minutes(30.0);
    assert!(bridge.watch.picture().alerts.lines(&[]).is_empty());
    bridge.put_wrong("raw-pump", "worn", 0.9);
    let picture = bridge.minutes(30.0);
    let lines = picture.alerts.lines(&picture.groups);
    let told = |lines: &[alerts::Line]| lines.iter().map(|line| format!("{line:?}")).collect::<Vec<_>>().join("\n");
    assert_eq!(lines.len(), 1, "{}", told(&lines));
    assert!(lines[0].alerts.len() > 1, "{}", told(&lines));
    let alerts::Sort::Gathered(_, title) = &lines[0].sort else { panic!("{}", told(&lines)) };
    assert!(title.contains("raw-pump"), "{title}");
    let gravest = lines[0].alerts.iter().map(|alert| alert.sign.category).max();
    assert_eq!(Some(lines[0].category), gravest);
}
