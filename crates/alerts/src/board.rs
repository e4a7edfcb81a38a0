//! All alerts of a vessel: looks and deeds in, changes out.

use crate::category::Category;
use crate::condition::{Condition, Delays, Past};
use crate::deed::{Deed, LONGEST_OUT, Refused, ends, named};
use crate::state::{Input, State, after};
use crate::time::{End, Time};
use std::collections::{BTreeMap, VecDeque};

/// What one look shows of one thing that could be wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Sign {
    /// Its key: the same at every look, and after a restart.
    pub key: String,
    /// The gauge, or whatever else it is of; what is taken out is taken out by this name.
    pub of: String,
    /// What it is, in words.
    pub text: String,
    /// How grave.
    pub category: Category,
    /// Whether it is so at this look.
    pub past: Past,
    /// How long before it counts.
    pub delays: Delays,
    /// Why it means nothing in the state the plant is in; nothing if it does.
    pub suppressed: Option<&'static str>,
}

/// One alert.
#[derive(Clone, Debug)]
pub struct Alert {
    /// What was told of it last.
    pub sign: Sign,
    /// Where it stands.
    pub state: State,
    /// Since when [s by the clock].
    pub since: f64,
    /// When its condition came last [s by the clock].
    pub came: Option<f64>,
    /// Until when it is held [s by the clock].
    pub held_until: Option<f64>,
    /// It comes and goes: how often it has come of late; nothing while it does not.
    pub chatters: Option<usize>,
    condition: Condition,
    hold: Option<End>,
    /// The end that the last change told of.
    told_until: Option<f64>,
    /// When it came, of late [s passed].
    comings: VecDeque<f64>,
}

/// A change of state: a line of the history.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// When [s by the clock].
    pub at: f64,
    /// Which alert.
    pub key: String,
    /// The gauge, or whatever else it is of.
    pub of: String,
    /// What it is, in words.
    pub text: String,
    /// How grave.
    pub category: Category,
    /// From.
    pub from: State,
    /// To.
    pub to: State,
    /// Until when, of what is held or taken out [s by the clock].
    pub until: Option<f64>,
    /// The owner's reason, or the plant's state.
    pub why: Option<String>,
}

/// A gauge that was taken out.
#[derive(Clone, Debug)]
struct Out {
    reason: String,
    end: End,
}

/// The alerts of a vessel.
#[derive(Clone, Debug, Default)]
pub struct Board {
    alerts: BTreeMap<String, Alert>,
    out: BTreeMap<String, Out>,
    time: Time,
    changes: Vec<Change>,
    /// When any alert became new, of late [s passed].
    news: VecDeque<f64>,
    /// So many come that the lesser ones are told together.
    pub(crate) flood: bool,
}

/// An alert that comes so often within so long chatters [1, s]: from then on it stays, as one, until it has been gone for
/// as long as [`CALM`]. Common practice, no source: three within a minute in process plants, where delays are shorter.
const CHATTERS: usize = 4;
const CHATTERS_WITHIN: f64 = 1800.0;
/// What chatters is over when it has been gone for so long [s].
const CALM: f64 = 600.0;
/// More than so many new within so long are a flood [1, s], which is over once there are fewer than so many [1].
/// `[ISA18-2]`, from memory: more than ten in ten minutes, until fewer than five.
const FLOOD: usize = 10;
const FLOOD_WITHIN: f64 = 600.0;
const FLOOD_OVER: usize = 5;

impl Board {
    /// All alerts, by key; those that were never told too.
    pub fn alerts(&self) -> impl Iterator<Item = &Alert> {
        self.alerts.values()
    }

    /// One of them.
    pub fn alert(&self, key: &str) -> Option<&Alert> {
        self.alerts.get(key)
    }

    /// Gauges that are out of service: which, why, until when [s by the clock].
    pub fn out(&self) -> impl Iterator<Item = (&str, &str, f64)> {
        self.out.iter().map(|(of, out)| (of.as_str(), out.reason.as_str(), out.end.clock))
    }

    /// What the clock said last [s].
    pub fn now(&self) -> f64 {
        self.time.now()
    }

    /// Changes since this was last asked, in order.
    pub fn changes(&mut self) -> Vec<Change> {
        std::mem::take(&mut self.changes)
    }

    /// Whether there is anything to tell of an alert: it stands, is held, or is over and not seen yet.
    pub fn holds(&self, key: &str) -> bool {
        self.alerts.get(key).is_some_and(|alert| alert.state != State::Normal)
    }

    /// It is now this late [s by the clock], and this is what is seen of everything that could be wrong. What was told
    /// before and is not among it is taken to be clear.
    pub fn look(&mut self, at: f64, signs: Vec<Sign>) {
        self.time.goes_on(at);
        let passed = self.time.passed;
        while self.news.front().is_some_and(|news| passed - news > FLOOD_WITHIN) {
            self.news.pop_front();
        }
        let back: Vec<String> =
            self.out.iter().filter(|(_, out)| self.time.is_past(out.end)).map(|(of, _)| of.clone()).collect();
        for of in &back {
            self.put_back(of);
        }
        let mut absent: Vec<String> = self.alerts.keys().cloned().collect();
        for sign in signs {
            absent.retain(|key| *key != sign.key);
            self.sign(sign);
        }
        for key in absent {
            if let Some(sign) = self.alerts.get(&key).map(|alert| alert.sign.clone()) {
                self.sign(Sign { past: Past::Clear, suppressed: None, ..sign });
            }
        }
        let least = if self.flood { FLOOD_OVER } else { FLOOD + 1 };
        self.flood = self.news.len() >= least;
    }

    fn sign(&mut self, sign: Sign) {
        let Board { alerts, out, time, changes, news, .. } = self;
        let alert = alerts.entry(sign.key.clone()).or_insert_with(|| Alert::of(&sign, time.now()));
        let graver = sign.category > alert.sign.category;
        alert.sign = sign;
        let mut tell = |alert: &mut Alert, input: Input, why: Option<&str>| {
            if let Some(change) = alert.take(input, time.now(), why) {
                if change.to == State::Unacknowledged {
                    news.push_back(time.passed);
                }
                changes.push(change);
            }
        };
        if let Some(out) = out.get(&alert.sign.of) {
            (alert.hold, alert.held_until) = (None, Some(out.end.clock));
            tell(alert, Input::TakenOut, Some(&out.reason));
        }
        // A hold on what was less grave does not hold this.
        if alert.hold.is_some_and(|hold| time.is_past(hold) || graver) {
            (alert.hold, alert.held_until) = (None, None);
            tell(alert, Input::HoldEnded, None);
        }
        if graver {
            tell(alert, Input::Graver, None);
        }
        match alert.sign.suppressed {
            Some(why) => {
                // What was so is over with it, and what nobody has seen stays to be seen: who stops the engine for an alert
                // is to find it there.
                if std::mem::take(&mut alert.condition).so {
                    tell(alert, Input::Went, Some(why));
                }
                if alert.state == State::Normal {
                    tell(alert, Input::Suppressed, Some(why));
                }
                return;
            }
            None => tell(alert, Input::SuppressionEnded, None),
        }
        if alert.looked(time.passed) {
            let input = if alert.condition.so { Input::Came } else { Input::Went };
            if alert.condition.so {
                alert.came = Some(time.now());
            }
            tell(alert, input, None);
        }
    }

    /// Whether this could be done now.
    ///
    /// # Errors
    /// [`Refused`].
    pub fn may(&self, deed: &Deed) -> Result<(), Refused> {
        let now = self.time.now();
        let known = |key: &String| self.alerts.get(key).ok_or_else(|| Refused::Unknown(key.clone()));
        match deed {
            Deed::See(keys) | Deed::EndHold(keys) => keys.iter().try_for_each(|key| known(key).map(|_| ())),
            Deed::Hold { keys, until } => keys.iter().try_for_each(|key| {
                let category = known(key)?.sign.category;
                ends(now, *until, named(category), category.longest_hold())
            }),
            Deed::TakeOut { of, reason, until } => {
                self.has(of)?;
                if reason.trim().is_empty() {
                    return Err(Refused::NoReason);
                }
                ends(now, *until, "a gauge", LONGEST_OUT)
            }
            Deed::PutBack(of) => self.has(of),
        }
    }

    fn has(&self, of: &str) -> Result<(), Refused> {
        let known = self.alerts.values().any(|alert| alert.sign.of == of);
        if known { Ok(()) } else { Err(Refused::NoGauge(of.into())) }
    }

    /// Does it; twice is as once.
    ///
    /// # Errors
    /// [`Refused`]; then nothing of it is done.
    pub fn act(&mut self, deed: &Deed) -> Result<(), Refused> {
        self.may(deed)?;
        match deed {
            Deed::See(keys) => self.each(keys, Input::Seen, None),
            Deed::Hold { keys, until } => self.each(keys, Input::Held, Some(self.time.end(*until))),
            Deed::EndHold(keys) => self.each(keys, Input::HoldEnded, None),
            Deed::TakeOut { of, reason, until } => {
                let end = self.time.end(*until);
                self.out.insert(of.clone(), Out { reason: reason.trim().into(), end });
                for alert in self.alerts.values_mut().filter(|alert| alert.sign.of == *of) {
                    (alert.hold, alert.held_until) = (None, Some(end.clock));
                    self.changes.extend(alert.take(Input::TakenOut, self.time.now(), Some(reason.trim())));
                }
            }
            Deed::PutBack(of) => self.put_back(of),
        }
        Ok(())
    }

    fn each(&mut self, keys: &[String], input: Input, end: Option<End>) {
        for key in keys {
            let Some(alert) = self.alerts.get_mut(key) else { continue };
            let may_hold = !matches!(alert.state, State::Suppressed | State::OutOfService);
            if input == Input::HoldEnded && alert.state == State::Shelved {
                (alert.hold, alert.held_until) = (None, None);
            } else if input == Input::Held && may_hold {
                (alert.hold, alert.held_until) = (end, end.map(|end| end.clock));
            }
            if let Some(change) = alert.take(input, self.time.now(), None) {
                if change.to == State::Unacknowledged {
                    self.news.push_back(self.time.passed);
                }
                self.changes.push(change);
            }
        }
    }

    fn put_back(&mut self, of: &str) {
        if self.out.remove(of).is_none() {
            return;
        }
        for alert in self.alerts.values_mut().filter(|alert| alert.sign.of == of) {
            alert.held_until = None;
            let change = alert.take(Input::PutBack, self.time.now(), None);
            self.news.extend(change.iter().filter(|c| c.to == State::Unacknowledged).map(|_| self.time.passed));
            self.changes.extend(change);
        }
    }

    /// Takes up what the history says of an earlier run, the oldest first: what was seen, held or out of service then is so
    /// still; this late it is now [s by the clock]. To be called before the first look.
    pub fn resume<'a>(&mut self, at: f64, history: impl IntoIterator<Item = &'a Change>) {
        self.time.goes_on(at);
        for change in history {
            let sign = Sign {
                key: change.key.clone(),
                of: change.of.clone(),
                text: change.text.clone(),
                category: change.category,
                past: Past::Unknown,
                delays: Delays { on: 0.0, off: 0.0, deadband: 0.0 },
                suppressed: None,
            };
            let mut alert = Alert::of(&sign, change.at);
            alert.state = change.to;
            alert.condition.so = matches!(change.to, State::Unacknowledged | State::Acknowledged);
            alert.came = alert.condition.so.then_some(change.at);
            alert.told_until = change.until;
            // An end that came while nobody watched has come at the next look, and is told then.
            // A clock that was not set when the program began must not make it longer than it may ever be.
            let longest = match change.to {
                State::OutOfService => LONGEST_OUT,
                _ => change.category.longest_hold(),
            };
            let asked = change.until.map_or(0.0, |until| (until - change.at).clamp(0.0, longest));
            let end = self.time.end(change.until.unwrap_or(at).min(at + asked));
            match change.to {
                State::Shelved => (alert.hold, alert.held_until) = (Some(end), change.until),
                State::OutOfService => {
                    alert.held_until = change.until;
                    let reason = change.why.clone().unwrap_or_default();
                    self.out.insert(change.of.clone(), Out { reason, end });
                }
                _ => {
                    self.out.remove(&change.of);
                }
            }
            self.alerts.insert(change.key.clone(), alert);
        }
    }
}

impl Alert {
    fn of(sign: &Sign, now: f64) -> Alert {
        Alert {
            sign: sign.clone(),
            state: State::Normal,
            since: now,
            came: None,
            held_until: None,
            chatters: None,
            condition: Condition::default(),
            hold: None,
            told_until: None,
            comings: VecDeque::new(),
        }
    }

    /// Whether its condition is there.
    pub fn is_so(&self) -> bool {
        self.condition.so
    }

    /// Takes the last sign in; whether the condition came or went.
    fn looked(&mut self, passed: f64) -> bool {
        let Sign { past, delays, .. } = self.sign;
        let off = if self.chatters.is_some() { delays.off.max(CALM) } else { delays.off };
        let turned = self.condition.look(past, Delays { off, ..delays }, passed);
        if turned && self.condition.so {
            self.comings.push_back(passed);
            while self.comings.front().is_some_and(|came| passed - came > CHATTERS_WITHIN) {
                self.comings.pop_front();
            }
            self.chatters = (self.comings.len() >= CHATTERS).then_some(self.comings.len());
        } else if turned {
            self.chatters = None;
        }
        turned
    }

    fn take(&mut self, input: Input, now: f64, why: Option<&str>) -> Option<Change> {
        let (from, to) = (self.state, after(self.state, input, self.condition.so));
        let until = self.held_until.filter(|_| matches!(to, State::Shelved | State::OutOfService));
        if from == to && until == self.told_until {
            return None;
        }
        if from != to {
            self.since = now;
        }
        (self.state, self.told_until) = (to, until);
        let Sign { key, of, text, category, .. } = self.sign.clone();
        Some(Change { at: now, key, of, text, category, from, to, until, why: why.map(str::to_string) })
    }
}
