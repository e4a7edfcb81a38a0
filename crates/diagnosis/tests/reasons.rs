//! What speaks for and against a cause comes to its odds: no piece is left out, and none is counted twice.

mod common;

use common::{plant, told};
use diagnosis::explain::{Answer, Ranked, explain};
use diagnosis::hypothesis::What;
use diagnosis::reasons::Piece;
use plant::evidence::Named;

/// Ways of one gauge to lie are no alternatives to each other.
fn one_trouble(a: &Ranked, b: &Ranked) -> bool {
    matches!((a.what, b.what), (What::Cause(Named::Gauge(a), _), What::Cause(Named::Gauge(b), _)) if a == b)
}

/// Every cause's pieces against its odds beside a typical one of the others.
fn sums_to_its_odds(answer: &Answer) -> usize {
    let asked: Vec<&Ranked> = answer.ranked.iter().filter(|ranked| ranked.reasons.is_some()).collect();
    for own in &asked {
        let others = || asked.iter().filter(|other| !std::ptr::eq(**other, *own) && !one_trouble(other, own));
        let whole: f64 = others().map(|other| other.probability).sum();
        let typical: f64 = others().map(|other| other.probability * other.probability.ln()).sum::<f64>() / whole;
        let pieces = own.reasons.as_ref().expect("it was asked").reasons.iter();
        let sum: f64 = pieces.clone().map(|reason| reason.gain).sum();
        let expected = own.probability.ln() - typical;
        let each: Vec<(Piece, f64)> = pieces.map(|reason| (reason.piece, reason.gain)).collect();
        assert!((sum - expected).abs() < 1e-6, "{:?}: {sum}, not {expected}: {each:?}", own.what);
    }
    asked.len()
}

const READ: &str = "readings = { coolant = \"94 C\", raw-out = \"42 C\", suction = \"14 kPa\" }\n";
const LOOKED: &str = "[[check]]\npart = \"strainer\"\ncheck = \"open_and_look\"\nfound = \"clean\"\n";
const AT: &str = "[[occasion]]\nat = { speed = \"1500 rpm\", sea = \"15 C\" }\n";

#[test]
fn the_pieces_sum_to_the_odds_where_readings_speak() {
    let usual = "[[occasion]]\nwhen = \"usual\"\nat = { speed = \"1500 rpm\", sea = \"15 C\" }\n\
        readings = { coolant = \"80 C\", raw-out = \"25 C\" }\n";
    assert!(sums_to_its_odds(&explain(&plant(), &told(&format!("{usual}{AT}{READ}{LOOKED}"))).expect("an answer")) > 3);
}

#[test]
fn the_pieces_sum_to_the_odds_where_words_speak_and_how_it_came() {
    let words = "came = \"by degrees\"\nsister = \"well\"\n";
    let said = "said = [\"outlet.flow weak\", \"engine.hotter than usual\"]\nnot = [\"outlet.steam\"]\n";
    let renewed = "[[renewed]]\npart = \"raw-pump.impeller\"\nresult = \"no change\"\n";
    let text = format!("{words}{AT}{said}readings = {{ coolant = \"94 C and climbing\" }}\n{LOOKED}{renewed}");
    let answer = explain(&plant(), &told(&text)).expect("an answer");
    assert!(sums_to_its_odds(&answer) > 3);
    let asked = answer.ranked.iter().find_map(|ranked| ranked.reasons.as_ref()).expect("one was asked");
    for piece in [Piece::Came, Piece::Sister, Piece::Asked, Piece::Severity] {
        assert!(asked.reasons.iter().any(|reason| reason.piece == piece), "{piece:?}");
    }
}

#[test]
fn the_same_check_told_twice_is_one_piece() {
    let mut evidence = told(&format!("{AT}{READ}{LOOKED}"));
    evidence.checks.push(evidence.checks[0].clone());
    assert!(sums_to_its_odds(&explain(&plant(), &evidence).expect("an answer")) > 3);
}
