//! The table of states against the arrows of the standard's diagram, written down apart from the code.

use alerts::{Input, State, after};
use proptest::prelude::*;

/// From, input, to where the condition is there, to where it is not; from memory, and read against a public list.
const ARROWS: [(State, Input, State, State); 25] = {
    use Input::*;
    use State::{
        Acknowledged as Ack, Normal as Norm, OutOfService as Out, Returned as Rtn, Shelved as Shlv, Suppressed as Supp,
        Unacknowledged as Unack,
    };
    [
        (Norm, Came, Unack, Unack),
        (Unack, Input::Seen, Ack, Ack),
        (Unack, Went, Rtn, Rtn),
        (Ack, Went, Norm, Norm),
        (Ack, Graver, Unack, Unack),
        (Rtn, Input::Seen, Norm, Norm),
        (Rtn, Came, Unack, Unack),
        (Norm, Held, Shlv, Shlv),
        (Unack, Held, Shlv, Shlv),
        (Ack, Held, Shlv, Shlv),
        (Rtn, Held, Shlv, Shlv),
        (Shlv, HoldEnded, Unack, Norm),
        (Norm, Input::Suppressed, Supp, Supp),
        (Unack, Input::Suppressed, Supp, Supp),
        (Ack, Input::Suppressed, Supp, Supp),
        (Rtn, Input::Suppressed, Supp, Supp),
        (Supp, SuppressionEnded, Unack, Norm),
        (Norm, TakenOut, Out, Out),
        (Unack, TakenOut, Out, Out),
        (Ack, TakenOut, Out, Out),
        (Rtn, TakenOut, Out, Out),
        (Shlv, TakenOut, Out, Out),
        (Supp, TakenOut, Out, Out),
        (Out, PutBack, Unack, Norm),
        (Out, TakenOut, Out, Out),
    ]
};

fn states() -> impl Strategy<Value = State> {
    prop::sample::select(State::ALL.to_vec())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn every_state_and_input_leads_where_the_diagram_leads(state in states(), k in 0..Input::ALL.len(), so: bool) {
        let input = Input::ALL[k];
        let arrow = ARROWS.iter().find(|(from, by, ..)| (*from, *by) == (state, input));
        let expected = arrow.map_or(state, |(_, _, there, gone)| if so { *there } else { *gone });
        prop_assert_eq!(after(state, input, so), expected);
    }

    #[test]
    fn the_same_input_twice_is_as_once(state in states(), k in 0..Input::ALL.len(), so: bool) {
        let once = after(state, Input::ALL[k], so);
        // What came back as new is not seen by ending the hold twice.
        prop_assert_eq!(after(once, Input::ALL[k], so), once);
    }

    #[test]
    fn an_alert_that_is_so_goes_out_of_sight_only_when_it_is_set_aside(state in states(), k in 0..Input::ALL.len()) {
        let input = Input::ALL[k];
        prop_assume!(input != Input::Went);
        let told = |state| matches!(state, State::Unacknowledged | State::Acknowledged);
        if told(state) {
            let next = after(state, input, true);
            prop_assert!(told(next) || next.aside());
        }
    }
}

#[test]
fn every_state_has_a_word_that_leads_back_to_it() {
    for state in State::ALL {
        assert_eq!(State::of(state.word()), Some(state));
    }
}
