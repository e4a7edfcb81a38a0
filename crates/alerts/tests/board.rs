//! The board: delays, floods, holds, what is gathered; and whatever happens in whatever order, nothing is lost.

use alerts::{Board, Category, Deed, Delays, Group, Input, Past, Refused, Shown, Sign, Sort, State, after};
use proptest::prelude::*;

const QUICK: Delays = Delays { on: 0.0, off: 0.0, deadband: 0.0 };

fn sign(key: &str, category: Category, past: Past) -> Sign {
    let of = key.split('.').next().unwrap_or_default().to_string();
    let (key, text) = (key.to_string(), format!("{key} is off"));
    Sign { key, of, text, category, past, delays: QUICK, suppressed: None }
}

fn warning(past: Past) -> Vec<Sign> {
    vec![sign("coolant.high", Category::Warning, past)]
}

fn state(board: &Board) -> State {
    board.alert("coolant.high").expect("it is known").state
}

#[test]
fn it_has_to_last_before_it_is_told_and_to_be_well_gone_before_it_is_over() {
    let delays = Delays { on: 30.0, off: 60.0, deadband: 2.0 };
    let mut board = Board::default();
    let mut at = 0.0;
    let mut look = |value: f64, seconds: f64| {
        at += seconds;
        let past = Past::limit(value, 95.0, true, delays.deadband);
        board.look(at, vec![Sign { delays, ..sign("coolant.high", Category::Alarm, past) }]);
        state(&board)
    };
    assert_eq!(look(96.0, 0.0), State::Normal);
    assert_eq!(look(96.0, 20.0), State::Normal);
    assert_eq!(look(92.0, 5.0), State::Normal, "a peak");
    assert_eq!(look(96.0, 5.0), State::Normal, "and its time begins again");
    assert_eq!(look(96.0, 30.0), State::Unacknowledged);
    assert_eq!(look(94.0, 90.0), State::Unacknowledged, "within the deadband");
    assert_eq!(look(92.0, 1.0), State::Unacknowledged);
    assert_eq!(look(f64::NAN, 70.0), State::Unacknowledged, "nothing known is not well");
    assert_eq!(look(92.0, 1.0), State::Unacknowledged);
    assert_eq!(look(92.0, 60.0), State::Returned);
}

#[test]
fn what_is_held_comes_back_by_itself_also_when_the_clock_is_put_back() {
    for jump in [0.0, -5000.0] {
        let mut board = Board::default();
        board.look(10_000.0, warning(Past::Beyond));
        let keys = vec!["coolant.high".to_string()];
        board.act(&Deed::Hold { keys, until: 10_600.0 }).expect("it may be held");
        assert_eq!(board.lines(&[])[0].shown, Shown::Held(10_600.0));
        assert_eq!(board.sounds(), None);
        for second in [300.0, 599.0] {
            board.look(10_000.0 + second + jump, warning(Past::Beyond));
        }
        assert_eq!(state(&board), State::Shelved);
        // Put back by 5,000 s between two looks: of the 600 s, what that took is not counted, and no more.
        board.look(10_000.0 + 901.0 + jump, warning(Past::Beyond));
        assert_eq!(state(&board), State::Unacknowledged, "{jump}");
        assert_eq!(board.sounds(), Some(Category::Warning));
    }
}

#[test]
fn what_may_not_be_is_refused_with_the_reason_and_nothing_is_done() {
    let mut board = Board::default();
    board.look(1000.0, warning(Past::Beyond));
    board.changes();
    let hold = |until| Deed::Hold { keys: vec!["coolant.high".into()], until };
    let out = |reason: &str, until| Deed::TakeOut { of: "coolant".into(), reason: reason.into(), until };
    let day = 24.0 * 3600.0;
    for (deed, why) in [
        (hold(999.0), "passed already"),
        (hold(1000.0), "passed already"),
        (hold(f64::INFINITY), "24 hours at most"),
        (hold(f64::NAN), "24 hours at most"),
        (hold(1000.0 + 25.0 * 3600.0), "24 hours at most"),
        (Deed::See(vec!["coolant.high".into(), "oil.low".into()]), "no alert “oil.low”"),
        (Deed::EndHold(vec!["oil.low".into()]), "no alert"),
        (Deed::PutBack("oil".into()), "no gauge “oil”"),
        (out("  ", 2000.0), "whoever comes next will ask"),
        (out("sender broken", 1000.0 + 91.0 * day), "90 days at most"),
    ] {
        let refused = board.act(&deed).expect_err("it is refused");
        assert_eq!(board.may(&deed), Err(refused.clone()));
        assert!(refused.to_string().contains(why), "{refused}");
        assert_eq!((board.changes(), state(&board)), (Vec::new(), State::Unacknowledged));
    }
    assert_eq!(board.act(&hold(900.0)), Err(Refused::InThePast));
}

#[test]
fn two_who_see_it_at_once_and_one_who_sees_what_is_gone_do_no_harm() {
    let mut board = Board::default();
    board.look(0.0, warning(Past::Beyond));
    let seen = Deed::See(vec!["coolant.high".into()]);
    assert_eq!(board.changes().len(), 1);
    for _ in 0..2 {
        board.act(&seen).expect("seen");
    }
    assert_eq!((board.changes().len(), state(&board)), (1, State::Acknowledged));
    board.look(1.0, warning(Past::Clear));
    board.changes();
    board.act(&seen).expect("it is gone, and that is no mistake");
    assert_eq!((board.changes().len(), state(&board)), (0, State::Normal));
}

#[test]
fn a_gauge_taken_out_is_silent_with_all_its_alerts_and_is_back_at_its_end() {
    let mut board = Board::default();
    let both = |past| vec![sign("oil.low", Category::EmergencyAlarm, past), sign("oil.off", Category::Warning, past)];
    board.look(0.0, both(Past::Clear)[..1].to_vec());
    let out = Deed::TakeOut { of: "oil".into(), reason: "sender broken".into(), until: 3600.0 };
    board.act(&out).expect("taken out");
    board.look(1.0, both(Past::Beyond));
    assert!(board.alerts().all(|alert| alert.state == State::OutOfService));
    assert!(board.lines(&[]).is_empty() && board.sounds().is_none());
    assert_eq!(board.out().collect::<Vec<_>>(), [("oil", "sender broken", 3600.0)]);
    assert!(board.changes().iter().all(|c| c.until == Some(3600.0) && c.why.as_deref() == Some("sender broken")));
    board.look(3600.0, both(Past::Beyond));
    assert!(board.alerts().all(|alert| alert.state == State::Unacknowledged));
}

#[test]
fn what_means_nothing_stopped_is_told_as_such_and_has_to_last_anew_once_she_runs() {
    let mut board = Board::default();
    let low = |suppressed| {
        let delays = Delays { on: 3.0, ..QUICK };
        vec![Sign { suppressed, delays, ..sign("oil.low", Category::EmergencyAlarm, Past::Beyond) }]
    };
    board.look(0.0, low(None));
    board.look(3.0, low(None));
    board.look(4.0, low(Some("the engine is stopped")));
    assert_eq!(board.lines(&[])[0].shown, Shown::New, "she was stopped for it, and nobody has seen it");
    assert_eq!(board.sounds(), None);
    board.act(&Deed::See(vec!["oil.low".into()])).expect("seen");
    board.look(5.0, low(Some("the engine is stopped")));
    assert!(board.lines(&[]).is_empty());
    board.look(100.0, low(None));
    assert_eq!(board.alert("oil.low").map(|alert| alert.state), Some(State::Normal));
    board.look(103.0, low(None));
    assert_eq!(board.sounds(), Some(Category::EmergencyAlarm));
    let path: Vec<State> = board.changes().iter().map(|change| change.to).collect();
    let (new, stopped) = (State::Unacknowledged, [State::Returned, State::Normal, State::Suppressed]);
    assert_eq!(path, [&[new][..], &stopped, &[State::Normal, new]].concat());
}

#[test]
fn what_chatters_is_one_alert_that_says_how_often() {
    let mut board = Board::default();
    let mut news = 0;
    for turn in 0..40 {
        let past = if turn % 2 == 0 { Past::Beyond } else { Past::Clear };
        board.look(f64::from(turn) * 20.0, warning(past));
        board.act(&Deed::See(vec!["coolant.high".into()])).expect("seen");
        news += board.changes().iter().filter(|change| change.to == State::Unacknowledged).count();
    }
    assert_eq!(news, 4);
    assert_eq!(board.alert("coolant.high").and_then(|alert| alert.chatters), Some(4));
    board.look(1000.0, warning(Past::Clear));
    board.look(1400.0, warning(Past::Clear));
    assert_eq!(state(&board), State::Normal);
}

#[test]
fn in_a_flood_the_lesser_are_one_line_and_the_grave_stay_their_own() {
    let mut board = Board::default();
    let mut signs: Vec<Sign> = (0..14).map(|k| sign(&format!("g{k}.off"), Category::Warning, Past::Beyond)).collect();
    signs.push(sign("oil.low", Category::EmergencyAlarm, Past::Beyond));
    board.look(0.0, signs.clone());
    let lines = board.lines(&[]);
    assert_eq!(lines.len(), 2);
    assert_eq!((lines[0].sort.clone(), lines[0].category), (Sort::One, Category::EmergencyAlarm));
    assert_eq!((lines[1].sort.clone(), lines[1].alerts.len()), (Sort::Flood, 14));
    board.look(700.0, signs);
    assert_eq!((board.floods(), board.lines(&[]).len()), (false, 15));
}

#[test]
fn one_cause_is_one_line_as_grave_as_the_gravest_in_it() {
    let mut board = Board::default();
    let off = |key| sign(key, Category::Warning, Past::Beyond);
    board.look(0.0, vec![off("coolant.off"), off("raw-out.off"), off("voltage.off")]);
    let group = |members: &[&str]| Group {
        key: "strainer.blocked".into(),
        title: "strainer blocked".into(),
        members: members.iter().map(ToString::to_string).collect(),
    };
    let groups = [group(&["coolant.off", "raw-out.off", "coolant.high"]), group(&["coolant.off"])];
    board.act(&Deed::See(vec!["coolant.off".into(), "raw-out.off".into()])).expect("seen");
    let lines = board.lines(&groups);
    assert_eq!(
        lines.iter().map(|line| (line.alerts.len(), line.shown)).collect::<Vec<_>>(),
        [(1, Shown::New), (2, Shown::Seen)]
    );
    // A limit passed under the same cause is told at once, as new and as grave as it is.
    let high = sign("coolant.high", Category::EmergencyAlarm, Past::Beyond);
    board.look(1.0, vec![off("coolant.off"), off("raw-out.off"), off("voltage.off"), high]);
    let lines = board.lines(&groups);
    assert_eq!((lines[0].category, lines[0].shown, lines[0].alerts.len()), (Category::EmergencyAlarm, Shown::New, 3));
    assert_eq!(lines[0].alerts[0].sign.key, "coolant.high");
    assert_eq!(board.sounds(), Some(Category::EmergencyAlarm));
}

#[test]
fn a_hold_of_an_earlier_run_ends_though_the_clock_was_not_set_when_the_program_began() {
    let mut before = Board::default();
    before.look(1.78e9, warning(Past::Beyond));
    let keys = vec!["coolant.high".to_string()];
    before.act(&Deed::Hold { keys, until: 1.78e9 + 3600.0 }).expect("it may be held");
    let history = before.changes();
    // In 1970, by a clock that nobody has set.
    let mut board = Board::default();
    board.resume(100.0, &history);
    board.look(101.0, warning(Past::Beyond));
    assert_eq!(state(&board), State::Shelved);
    board.look(100.0 + 3599.0, warning(Past::Beyond));
    board.look(100.0 + 3602.0, warning(Past::Beyond));
    assert_eq!(state(&board), State::Unacknowledged, "an hour is an hour");
}

#[test]
fn a_hold_does_not_hold_what_has_become_graver_and_what_was_seen_is_new_again_then() {
    for held in [true, false] {
        let mut board = Board::default();
        board.look(0.0, warning(Past::Beyond));
        let keys = vec!["coolant.high".to_string()];
        let deed = if held { Deed::Hold { keys, until: 3600.0 } } else { Deed::See(keys) };
        board.act(&deed).expect("done");
        board.look(1.0, vec![sign("coolant.high", Category::EmergencyAlarm, Past::Beyond)]);
        assert_eq!(state(&board), State::Unacknowledged);
    }
}

#[test]
fn after_a_restart_what_was_seen_and_held_is_so_still() {
    let keys = ["a.off", "b.off", "c.off", "d.off", "e.off"];
    let signs = |past| keys.map(|key| sign(key, Category::Warning, past)).to_vec();
    let mut board = Board::default();
    board.look(0.0, signs(Past::Beyond));
    board.act(&Deed::See(vec!["a.off".into()])).expect("seen");
    board.act(&Deed::Hold { keys: vec!["b.off".into()], until: 3600.0 }).expect("held");
    board.act(&Deed::Hold { keys: vec!["c.off".into()], until: 60.0 }).expect("held");
    board.act(&Deed::TakeOut { of: "d".into(), reason: "broken".into(), until: 7200.0 }).expect("out");
    let history = board.changes();
    let mut next = Board::default();
    next.resume(600.0, &history);
    next.look(600.0, signs(Past::Beyond));
    let states = keys.map(|key| next.alert(key).expect("known").state);
    assert_eq!(
        states,
        [State::Acknowledged, State::Shelved, State::Unacknowledged, State::OutOfService, State::Unacknowledged]
    );
    assert_eq!(next.changes().iter().map(|c| c.key.as_str()).collect::<Vec<_>>(), ["c.off", "c.off"]);
    next.look(3600.0, signs(Past::Beyond));
    assert_eq!(next.alert("b.off").map(|alert| alert.state), Some(State::Unacknowledged));
}

/// Something that happens to a board of four alerts of three gauges.
#[derive(Clone, Debug)]
enum Happens {
    Look { seconds: f64, pasts: [u8; 4], stopped: bool, grave: bool },
    Deed(Deed),
}

const KEYS: [&str; 4] = ["oil.low", "oil.off", "coolant.off", "sea.silent"];

fn happens() -> impl Strategy<Value = Happens> {
    let seconds = prop_oneof![Just(0.0), 0.0..90.0, -4000.0..4000.0];
    let look = (seconds, prop::array::uniform4(0u8..4), any::<bool>(), any::<bool>())
        .prop_map(|(seconds, pasts, stopped, grave)| Happens::Look { seconds, pasts, stopped, grave });
    let keys = prop::collection::vec(prop::sample::select(KEYS.to_vec()), 1..3)
        .prop_map(|keys| keys.into_iter().map(str::to_string).collect::<Vec<_>>());
    let of = prop::sample::select(vec!["oil", "coolant", "sea", "none"]).prop_map(str::to_string);
    let until = prop_oneof![-2000.0..200_000.0, Just(f64::INFINITY)];
    let deed = prop_oneof![
        keys.clone().prop_map(Deed::See),
        (keys.clone(), until.clone()).prop_map(|(keys, until)| Deed::Hold { keys, until }),
        keys.prop_map(Deed::EndHold),
        (of.clone(), until).prop_map(|(of, until)| Deed::TakeOut { of, reason: "tried".into(), until }),
        of.prop_map(Deed::PutBack),
    ];
    prop_oneof![3 => look, 1 => deed.prop_map(Happens::Deed)]
}

fn signs(pasts: [u8; 4], stopped: bool, grave: bool) -> Vec<Sign> {
    let past = |k: u8| [Past::Beyond, Past::Near, Past::Clear, Past::Unknown][usize::from(k)];
    let each = KEYS.iter().zip(pasts).enumerate();
    each.map(|(k, (key, p))| {
        let category = if grave && k == 1 { Category::Alarm } else { Category::ALL[k] };
        let delays = Delays { on: 10.0 * k as f64, off: 30.0, deadband: 0.0 };
        let suppressed = (stopped && k < 2).then_some("the engine is stopped");
        Sign { delays, suppressed, ..sign(key, category, past(p)) }
    })
    .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn nothing_is_lost_and_the_history_says_all(list in prop::collection::vec(happens(), 1..120)) {
        let mut board = Board::default();
        let (mut clock, mut known) = (5_000.0, std::collections::BTreeMap::new());
        for happens in list {
            match &happens {
                Happens::Look { seconds, pasts, stopped, grave } => {
                    clock += seconds;
                    board.look(clock, signs(*pasts, *stopped, *grave));
                }
                Happens::Deed(deed) => prop_assert_eq!(board.may(deed), board.act(deed)),
            }
            // The history leads from state to state, each by an arrow of the table, and ends where the alert is.
            for change in board.changes() {
                let was = known.insert(change.key.clone(), change.to).unwrap_or(State::Normal);
                prop_assert_eq!(was, change.from);
                let arrow = Input::ALL.iter().any(|i| [true, false].iter().any(|so| after(was, *i, *so) == change.to));
                prop_assert!(arrow, "{:?} to {:?}", was, change.to);
                let aside = matches!(change.to, State::Shelved | State::OutOfService);
                prop_assert_eq!(change.until.is_some(), aside, "{:?}", change);
            }
            for alert in board.alerts() {
                let state = known.get(&alert.sign.key).copied().unwrap_or(State::Normal);
                prop_assert_eq!(state, alert.state);
                if alert.is_so() {
                    let told = matches!(state, State::Unacknowledged | State::Acknowledged);
                    prop_assert!(told || state.aside(), "{:?} is so and {:?}", alert.sign.key, state);
                } else {
                    prop_assert!(!matches!(state, State::Unacknowledged | State::Acknowledged));
                }
                if state == State::Shelved {
                    let left = alert.held_until.expect("a hold has an end") - board.now();
                    prop_assert!(left > 0.0, "held beyond its end");
                }
            }
            // Every alert that is to be told stands in one line, which is as grave as its gravest.
            let groups = [Group { key: "cause".into(), title: "cause".into(), members: vec![KEYS[0].into(), KEYS[2].into()] }];
            let lines = board.lines(&groups);
            let mut told: Vec<&str> = lines.iter().flat_map(|l| &l.alerts).map(|a| a.sign.key.as_str()).collect();
            told.sort_unstable();
            let all: Vec<&str> = board.alerts().filter(|a| a.shown().is_some()).map(|a| a.sign.key.as_str()).collect();
            prop_assert_eq!(told, all.into_iter().collect::<std::collections::BTreeSet<_>>().into_iter().collect::<Vec<_>>());
            for line in &lines {
                prop_assert_eq!(Some(line.category), line.alerts.iter().map(|a| a.sign.category).max());
                let new = line.alerts.iter().any(|a| a.shown() == Some(Shown::New));
                prop_assert_eq!(new, line.shown == Shown::New);
            }
            // The same again at the same time changes nothing.
            match happens {
                Happens::Look { pasts, stopped, grave, .. } => board.look(clock, signs(pasts, stopped, grave)),
                Happens::Deed(deed) => drop(board.act(&deed)),
            }
            prop_assert_eq!(board.changes(), Vec::new());
        }
    }
}
