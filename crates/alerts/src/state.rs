//! The states of an alert, and what leads from one to another.
//!
//! # Source
//! The states and arrows are those of the state diagram in `[IEC62682]` (and of the standard it grew from, `[ISA18-2]`),
//! from memory; read again against a public list of its arrows. Latching, which it leaves open, is not used.

/// Where an alert stands.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum State {
    /// Nothing to tell.
    Normal,
    /// It is so, and nobody has seen it.
    Unacknowledged,
    /// It is so, and somebody has seen it.
    Acknowledged,
    /// It was so, nobody saw it, and it is no more.
    Returned,
    /// Held back by a person, until an end.
    Shelved,
    /// Means nothing in the state the plant is in.
    Suppressed,
    /// Its gauge was taken out by the owner, until an end.
    OutOfService,
}

/// What moves it.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Input {
    /// The condition has come, and lasted.
    Came,
    /// The condition has gone, and stayed away.
    Went,
    /// A person has seen it.
    Seen,
    /// A person holds it back.
    Held,
    /// The hold has come to its end, or was ended.
    HoldEnded,
    /// The plant has come to a state where it means nothing.
    Suppressed,
    /// That is over.
    SuppressionEnded,
    /// Its gauge was taken out.
    TakenOut,
    /// Its gauge is back.
    PutBack,
    /// It has become graver than it was when it was seen.
    Graver,
}

impl State {
    /// Every state.
    pub const ALL: [State; 7] = [
        State::Normal,
        State::Unacknowledged,
        State::Acknowledged,
        State::Returned,
        State::Shelved,
        State::Suppressed,
        State::OutOfService,
    ];

    /// The standard's word for it, as the history keeps it.
    pub fn word(self) -> &'static str {
        match self {
            State::Normal => "normal",
            State::Unacknowledged => "unacknowledged",
            State::Acknowledged => "acknowledged",
            State::Returned => "returned to normal unacknowledged",
            State::Shelved => "shelved",
            State::Suppressed => "suppressed by design",
            State::OutOfService => "out of service",
        }
    }

    /// The one of this word.
    pub fn of(word: &str) -> Option<State> {
        State::ALL.into_iter().find(|state| state.word() == word)
    }

    /// Whether nothing of it is told, for a reason that is: held, suppressed, out of service.
    pub fn aside(self) -> bool {
        matches!(self, State::Shelved | State::Suppressed | State::OutOfService)
    }
}

impl Input {
    /// Every input.
    pub const ALL: [Input; 10] = [
        Input::Came,
        Input::Went,
        Input::Seen,
        Input::Held,
        Input::HoldEnded,
        Input::Suppressed,
        Input::SuppressionEnded,
        Input::TakenOut,
        Input::PutBack,
        Input::Graver,
    ];
}

/// The state after an input; `so` is whether the condition is there at this moment. The same state where the input means
/// nothing: to see what was seen, or what is gone, changes nothing.
///
/// What was set aside comes back as new where the condition is there, and as normal where it is not; whether something
/// else sets it aside again is for the next input to say.
pub fn after(state: State, input: Input, so: bool) -> State {
    use State::{Acknowledged, Normal, OutOfService, Returned, Shelved, Suppressed, Unacknowledged};
    let back = if so { Unacknowledged } else { Normal };
    match (state, input) {
        (Normal | Returned, Input::Came) | (Acknowledged, Input::Graver) => Unacknowledged,
        (Unacknowledged, Input::Went) => Returned,
        (Acknowledged, Input::Went) | (Returned, Input::Seen) => Normal,
        (Unacknowledged, Input::Seen) => Acknowledged,
        (Normal | Unacknowledged | Acknowledged | Returned, Input::Held) => Shelved,
        (Normal | Unacknowledged | Acknowledged | Returned, Input::Suppressed) => Suppressed,
        (_, Input::TakenOut) => OutOfService,
        (Shelved, Input::HoldEnded) | (Suppressed, Input::SuppressionEnded) | (OutOfService, Input::PutBack) => back,
        _ => state,
    }
}
