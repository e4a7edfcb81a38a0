//! Evidence that contradicts itself, cannot be, is hardly any or far too much: the answer says so and is never sure of a wrong
//! cause.

mod common;

use common::{plant, told};
use diagnosis::explain::{Answer, explain};
use diagnosis::gather::{Gathered, MOST, gather};
use diagnosis::hypothesis::What;
use diagnosis::reasons::Piece;
use measure::reading::ReadingText;
use plant::evidence::Named;
use std::fmt::Write as _;

fn answer(text: &str) -> Answer {
    explain(&plant(), &told(text)).expect("an answer")
}

/// An occasion at cruise with these readings.
fn now(readings: &str) -> String {
    format!("[[occasion]]\nat = {{ speed = \"1500 rpm\", sea = \"15 C\" }}\nreadings = {{ {readings} }}\n")
}

/// Chance of the likeliest cause in the plant, lying gauges apart [1].
fn surest_in_plant(answer: &Answer) -> f64 {
    let in_plant = answer.ranked.iter().filter(|r| matches!(r.what, What::Cause(Named::Part(_), _)));
    in_plant.map(|r| r.probability).fold(0.0, f64::max)
}

#[test]
fn a_gauge_that_reads_two_things_at_one_point_is_said_to_and_accuses_no_part() {
    let twice = now("coolant = \"20 C\", raw-out = \"24 C\"") + &now("coolant = \"90 C\", raw-out = \"24 C\"");
    let answer = answer(&twice);
    let odd = answer.unexplained.as_ref().expect("no plant reads both");
    let seen = diagnosis::setting::set_out(&plant(), &told(&twice)).seen;
    let coolant = plant().gauge("coolant").expect("a gauge");
    assert!(odd.readings.iter().any(|place| seen.observed[*place].terms[0].1 == coolant), "{odd:?}");
    assert!(surest_in_plant(&answer) < 0.5, "{}", surest_in_plant(&answer));
}

#[test]
fn readings_that_no_cause_makes_together_are_said_to_be_unexplained() {
    // Boiling hot water out of a cold engine, at a suction of half an atmosphere, with oil at its stop.
    let wild = answer(&now("coolant = \"25 C\", raw-out = \"85 C\", suction = \"90 kPa\", oil = \"0.1 bar\""));
    let odd = wild.unexplained.as_ref().expect("nothing makes these");
    assert!(!odd.readings.is_empty());
    assert!(surest_in_plant(&wild) < 0.5, "{}", surest_in_plant(&wild));
    // And what one cause does make is not.
    let hot = answer(&now("coolant = \"97 C\", raw-out = \"48 C\", suction = \"2 kPa\", oil = \"3.5 bar\""));
    assert_eq!(hot.unexplained, None, "{:?}", hot.ranked[0]);
}

#[test]
fn where_nothing_was_read_nothing_is_left_to_explain() {
    for words in ["said = [\"main.hot\"]", "said = [\"strainer.weed in the bowl\"]\nnot = [\"main.hot\"]"] {
        let said = answer(&format!("[[occasion]]\nat = {{ speed = \"1500 rpm\" }}\n{words}\n"));
        assert_eq!(said.unexplained, None, "{words}");
    }
}

#[test]
fn a_gauge_that_nobody_read_is_not_accused() {
    let lying = |answer: &Answer, name: &str| -> f64 {
        let gauge = plant().gauge(name).expect("a gauge");
        let ways = answer.ranked.iter().filter(|r| matches!(r.what, What::Cause(Named::Gauge(own), _) if own == gauge));
        ways.map(|r| r.probability).sum()
    };
    let answer = answer(&now("coolant = \"97 C\""));
    assert!(lying(&answer, "coolant") > 0.01 && lying(&answer, "suction") == 0.0, "{:?}", answer.ranked[0]);
}

#[test]
fn a_needle_at_its_stop_is_past_every_limit_on_that_side() {
    let first = |readings: &str| answer(&now(readings)).act.first().map(|act| act.because.clone());
    let (hot, low) = ("coolant = \"off the scale high\"", "oil = \"off the scale low\"");
    assert_eq!(first(hot).as_deref(), Some("coolant is past its limit"));
    assert_eq!(first(low).as_deref(), Some("oil is past its limit"));
    assert_eq!(first("coolant = \"off the scale low\""), None);
    // It is held against what a sound plant shows like any other reading.
    let answer = answer(&now(hot));
    let [coolant] = answer.one_sided.as_slice() else { panic!("{:?}", answer.one_sided) };
    let end = plant()[plant().gauge("coolant").expect("a gauge")].scale.1;
    assert!(coolant.at_least && coolant.deviation.read == end && coolant.far() > 4.0, "{coolant:?}");
}

#[test]
fn one_gauge_is_little_to_go_by() {
    let one = answer(&now("coolant = \"97 C\""));
    assert!(one.ranked[0].probability < 0.7, "{:?}", one.ranked[0]);
    assert!(!one.alike.is_empty(), "a single reading tells few causes apart");
}

#[test]
fn what_was_told_twice_counts_once() {
    let occasion = now("coolant = \"97 C\", raw-out = \"48 C\"");
    let (once, twice) = (answer(&occasion), answer(&occasion.repeat(2)));
    assert_eq!(once.deviations.len(), twice.deviations.len());
    for (a, b) in once.ranked.iter().zip(&twice.ranked).take(5) {
        assert_eq!(a.what, b.what);
        assert!((a.probability - b.probability).abs() < 1e-9, "{} {}", a.probability, b.probability);
    }
    let (gathered, what) = gather(&plant(), &told(&occasion.repeat(7)));
    assert_eq!((gathered.occasions.len(), what), (1, Gathered { told: 7, repeated: 6, left_out: 0 }));
}

#[test]
fn readings_of_one_point_are_taken_together_by_their_mean_and_those_that_disagree_are_not() {
    let three = [("96 C", "30 C"), ("97 C", "30.5 C"), ("98 C", "31 C")];
    let mut text: String =
        three.iter().map(|(coolant, raw)| now(&format!("coolant = \"{coolant}\", raw-out = \"{raw}\""))).collect();
    text += &now("coolant = \"20 C\"");
    let (gathered, what) = gather(&plant(), &told(&text));
    assert_eq!((gathered.occasions.len(), what.repeated), (2, 2));
    let ReadingText::Value { value, .. } = gathered.occasions[0].readings[0].1 else { panic!("a value") };
    assert!((value - 370.15).abs() < 1e-9, "{value}");
    // Gathered once is gathered.
    assert!(gather(&plant(), &gathered).1.is_all());
}

#[test]
fn a_thousand_occasions_are_few() {
    let mut text = String::new();
    for k in 0..1000 {
        let (speed, hot) = (900 + k % 90 * 10, 90.0 + f64::from(k % 7) * 0.1);
        let _ = writeln!(
            text,
            "[[occasion]]\nat = {{ speed = \"{speed} rpm\", sea = \"15 C\" }}\nreadings = {{ coolant = \"{hot} C\" }}"
        );
    }
    let evidence = told(&text);
    assert_eq!(evidence.occasions.len(), 1000);
    let (gathered, what) = gather(&plant(), &evidence);
    assert_eq!(gathered.occasions.len(), MOST);
    assert_eq!((what.told, what.repeated + what.left_out), (1000, 1000 - MOST));
    // The first and the last speed are among them.
    let speeds: Vec<f64> = gathered.occasions.iter().filter_map(|o| o.at.speed).collect();
    let (low, high) =
        (speeds.iter().copied().fold(f64::INFINITY, f64::min), speeds.iter().copied().fold(0.0, f64::max));
    assert!(low < 95.0 && high > 180.0, "{speeds:?}");
    // Memory and time go with what is kept: an answer has as many readings.
    let answer = explain(&plant(), &evidence).expect("an answer");
    assert_eq!(answer.deviations.len(), MOST);
}

#[test]
fn every_piece_is_asked_and_what_is_off_speaks_against_all_is_well() {
    let hot = answer(&now("coolant = \"97 C\", raw-out = \"48 C\", suction = \"2 kPa\""));
    let first = hot.ranked[0].reasons.as_ref().expect("the likeliest has reasons");
    let well = hot.ranked.iter().find(|r| r.what == What::Well).and_then(|r| r.reasons.as_ref()).expect("always asked");
    for reasons in [first, well] {
        let asked = |piece| reasons.reasons.iter().any(|reason| reason.piece == piece);
        assert!((0..3).map(Piece::Reading).all(asked) && asked(Piece::Rate), "{reasons:?}");
        // The weightiest first, whichever way.
        assert!(reasons.reasons.windows(2).all(|two| two[0].gain.abs() >= two[1].gain.abs()));
    }
    let of = |reasons: &diagnosis::reasons::Reasons, piece| {
        reasons.reasons.iter().find(|reason| reason.piece == piece).expect("it was asked").clone()
    };
    // A sound plant's coolant is far cooler; and such plants are far more frequent.
    let coolant = of(well, Piece::Reading(0));
    assert!(coolant.gain < -1.0 && coolant.with.expect("a reading") < 273.15 + 87.0, "{coolant:?}");
    assert!(of(well, Piece::Rate).gain > 2.0 && of(first, Piece::Rate).gain < of(well, Piece::Rate).gain);
    // It would need a gauge that reads too high, and far.
    let high = well.needs.iter().any(|need| matches!(need.of, diagnosis::reasons::Of::Gauge(_)) && need.far > 1.0);
    assert!(high, "{:?}", well.needs);
}
