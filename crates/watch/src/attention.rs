//! What becomes an alert: fixed limits, alarms that sound, gauges that have departed from what a sound plant shows, gauges
//! and wires that are silent. `alerts` keeps them; here it is said what is so.

use crate::dial;
use crate::gathered::groups;
use crate::picture::Explained;
use crate::recent::{Recent, STALE};
use crate::story::Story;
use alerts::{Board, Category, Change, Deed, Delays, Group, Past, Sign};
use diagnosis::act::{Urgency, limits_by_part, urgency};
use diagnosis::stands::Engine;
use parts::kind::{Limit, When};
use plant::plant::{GaugeId, PartId, Plant};
use std::collections::{BTreeMap, VecDeque};
use std::sync::Arc;

/// Changes that are remembered for the pages.
const REMEMBERED: usize = 500;
/// After a look so long ago [s] nothing is known of how far a gauge is off: two looks and some.
const KNOWN_FOR: f64 = 240.0;
/// A gauge that has been off is taken to be so no more after two looks that do not show it [s].
const OFF_FOR: f64 = 150.0;
/// Once the engine turns, pressures are given so long to build up [s]. Common practice, no source.
const STARTING: f64 = 15.0;
/// A gauge is silent after so many times the time that usually passes between its readings [1], and not before
/// [`STALE`]. Common practice, no source.
const MISSED: f64 = 10.0;
const STOPPED: &str = "the engine is stopped";
const STARTS: &str = "the engine has just been started";
const ALL_SILENT: &str = "its whole wire is silent";

/// What ends the key of an alert of a gauge that has departed, and of one that is silent.
pub const OFF: &str = "off";
pub const SILENT: &str = "silent";

/// Whether a key is of that sort.
pub fn is_of(key: &str, sort: &str) -> bool {
    key.rsplit('.').next() == Some(sort)
}

/// What a look needs to know.
pub struct Look<'a> {
    pub plant: &'a Plant,
    pub recent: &'a Recent,
    pub story: &'a Story,
    pub explained: Option<&'a Explained>,
    /// When it is, on the clock of the readings [s].
    pub now: f64,
    /// When the plant was last held against its bands [s].
    pub looked: f64,
}

/// The alerts of a plant.
pub struct Attention {
    board: Arc<Board>,
    groups: Arc<[Group]>,
    history: Arc<VecDeque<Change>>,
    /// Changes that nobody has asked for yet.
    untold: Vec<Change>,
    /// Which wire each gauge is on.
    wires: Vec<Option<String>>,
    engines: Vec<Standing>,
    /// Limits that each gauge watches over, with the part whose each is.
    limits: Vec<Vec<(PartId, &'static Limit)>>,
}

/// How an engine is, as far as limits go that mean nothing while it stands.
struct Standing {
    engine: Engine,
    stopped: bool,
    /// Since when it turns [s].
    turns_since: f64,
}

impl Attention {
    /// Nothing seen yet.
    pub fn of(plant: &Plant) -> Attention {
        Attention {
            board: Arc::default(),
            groups: Arc::new([]),
            history: Arc::default(),
            untold: Vec::new(),
            wires: vec![None; plant.gauges.len()],
            engines: Engine::all(plant)
                .into_iter()
                .map(|engine| Standing { engine, stopped: false, turns_since: f64::NEG_INFINITY })
                .collect(),
            limits: plant.gauge_ids().map(|gauge| limits_by_part(plant, gauge).collect()).collect(),
        }
    }

    pub fn on_wires(&mut self, mut wires: Vec<Option<String>>) {
        wires.resize(self.wires.len(), None);
        self.wires = wires;
    }

    pub fn resume(&mut self, at: f64, history: &[Change]) {
        Arc::make_mut(&mut self.board).resume(at, history);
        self.remember(history);
    }

    /// One that is refused is not done; whoever asks has asked [`Board::may`] before.
    pub fn act(&mut self, deed: &Deed) {
        let _ = Arc::make_mut(&mut self.board).act(deed);
        self.note();
    }

    pub fn board(&self) -> Arc<Board> {
        self.board.clone()
    }

    pub fn groups(&self) -> Arc<[Group]> {
        self.groups.clone()
    }

    pub fn history(&self) -> Arc<VecDeque<Change>> {
        self.history.clone()
    }

    pub fn changes(&mut self) -> Vec<Change> {
        std::mem::take(&mut self.untold)
    }

    /// Takes a look, at this time of the clock [s].
    pub fn look(&mut self, look: &Look, at: f64) {
        // As the gauges show it now: a mean would make an engine turn for a minute after it was stopped.
        let reads = |gauge: GaugeId| look.recent.fresh(gauge, look.now);
        for standing in &mut self.engines {
            let stopped = standing.engine.stands(None, &reads);
            if standing.stopped && !stopped {
                standing.turns_since = look.now;
            }
            standing.stopped = stopped;
        }
        let signs = self.signs(look);
        Arc::make_mut(&mut self.board).look(at, signs);
        self.note();
        let groups = groups(look.plant, look.explained, &self.board);
        if *self.groups != *groups {
            self.groups = groups.into();
        }
    }

    fn note(&mut self) {
        let changes = Arc::make_mut(&mut self.board).changes();
        self.remember(&changes);
        self.untold.extend(changes);
    }

    fn remember(&mut self, changes: &[Change]) {
        if changes.is_empty() {
            return;
        }
        let history = Arc::make_mut(&mut self.history);
        history.extend(changes.iter().cloned());
        let over = history.len().saturating_sub(REMEMBERED);
        history.drain(..over);
    }

    fn signs(&self, look: &Look) -> Vec<Sign> {
        let silent: Vec<bool> = look.plant.gauge_ids().map(|gauge| is_silent(look, gauge)).collect();
        let mut signs = self.wire_signs(look, &silent);
        let dumb: Vec<String> = signs.iter().filter(|s| s.past == Past::Beyond).map(|s| s.of.clone()).collect();
        for gauge in look.plant.gauge_ids() {
            if look.plant[gauge].trips.is_some() {
                signs.push(self.alarm(look, gauge));
            } else {
                signs.extend(self.limits(look, gauge));
                signs.push(self.off(look, gauge));
            }
            let wire_is = dumb.contains(&wire_of(&self.wires, gauge));
            signs.extend(self.silence(look, gauge, silent[gauge.0], wire_is));
        }
        signs
    }

    /// A sign of a gauge that comes and goes at once, and of which nothing is so yet.
    fn plain(look: &Look, gauge: GaugeId, what: &str, text: String) -> Sign {
        let name = &look.plant[gauge].name;
        Sign {
            key: format!("{name}.{what}"),
            of: name.clone(),
            text,
            category: Category::Warning,
            past: Past::Unknown,
            delays: Delays { on: 0.0, off: 0.0, deadband: 0.0 },
            suppressed: None,
        }
    }

    fn limits<'a>(&'a self, look: &'a Look, gauge: GaugeId) -> impl Iterator<Item = Sign> + 'a {
        let value = look.recent.fresh(gauge, look.now);
        self.limits[gauge.0].iter().enumerate().map(move |(k, &(part, limit))| {
            let of = &look.plant[gauge];
            let category = category(limit);
            let usual = alerts::delays(of.quantity, of.scale, category);
            let told = of.delays;
            let delays = Delays {
                on: told.on.unwrap_or(usual.on),
                off: told.off.unwrap_or(usual.off),
                deadband: told.deadband.unwrap_or(usual.deadband),
            };
            let high = limit.when == When::High;
            // More suction is less pressure, and stands higher on its dial.
            let side = if high == of.vacuum { "below" } else { "above" };
            let at = dial::with_unit(&dial::as_told(dial::on_dial(of, limit.value)), dial::unit(of));
            let text = format!("{} is {side} its limit of {at}", of.name);
            Sign {
                category,
                past: value.map_or(Past::Unknown, |value| Past::limit(value, limit.value, high, delays.deadband)),
                delays,
                suppressed: self.means_nothing(look, part, limit),
                ..Self::plain(look, gauge, &format!("limit-{}", k + 1), text)
            }
        })
    }

    /// How the engine is that a part serves.
    fn standing(&self, look: &Look, part: PartId) -> Option<&Standing> {
        self.engines.iter().find(|standing| standing.engine.which == look.plant[part].engine)
    }

    fn means_nothing(&self, look: &Look, part: PartId, limit: &Limit) -> Option<&'static str> {
        let standing = self.standing(look, part)?;
        match limit {
            Limit { running_only: true, .. } if standing.stopped => Some(STOPPED),
            Limit { running_only: true, when: When::Low, .. } if look.now - standing.turns_since < STARTING => {
                Some(STARTS)
            }
            _ => None,
        }
    }

    /// Whether what a gauge shows means nothing now, whatever it is: every engine that has to do with it stands, and no limit
    /// that holds then too is watched over by it.
    fn rests(&self, look: &Look, gauge: GaugeId) -> bool {
        let limits = &self.limits[gauge.0];
        if limits.is_empty() {
            let mut engines = self.engines.iter().filter(|standing| standing.engine.which.is_some());
            return engines.all(|standing| standing.stopped);
        }
        let stopped = |part: PartId| self.standing(look, part).is_some_and(|standing| standing.stopped);
        limits.iter().all(|(part, limit)| limit.running_only && stopped(*part))
    }

    /// An alarm of the vessel's own: it sounds or it does not.
    fn alarm(&self, look: &Look, alarm: GaugeId) -> Sign {
        let (part, limit) = self.limits[alarm.0].first().copied().unzip();
        let on = look.recent.fresh(alarm, look.now).map(|value| value > 0.5);
        let delays = look.plant[alarm].delays;
        Sign {
            category: limit.map_or(Category::Alarm, category),
            past: on.map_or(Past::Unknown, |on| if on { Past::Beyond } else { Past::Clear }),
            delays: Delays { on: delays.on.unwrap_or(0.0), off: delays.off.unwrap_or(0.0), deadband: 0.0 },
            suppressed: part.zip(limit).and_then(|(part, limit)| self.means_nothing(look, part, limit)),
            ..Self::plain(look, alarm, "sounds", format!("{} sounds", look.plant[alarm].name))
        }
    }

    /// A gauge that reads what no sound plant would show, look after look.
    fn off(&self, look: &Look, gauge: GaugeId) -> Sign {
        let off = look.story.off(gauge).filter(|_| look.now - look.looked < KNOWN_FOR);
        let past = match off {
            None => Past::Unknown,
            Some(_) if look.story.departed().contains(&gauge) => Past::Beyond,
            Some(_) => Past::Clear,
        };
        let way = match off {
            Some((off, _)) if (off > 0.0) == look.plant[gauge].vacuum => "below",
            Some(_) => "above",
            None => "off",
        };
        let text = format!("{} reads far {way} what a sound plant would show", look.plant[gauge].name);
        Sign {
            past,
            // That it lasts is judged by looks already.
            delays: Delays { on: 0.0, off: OFF_FOR, deadband: 0.0 },
            suppressed: self.rests(look, gauge).then_some(STOPPED),
            ..Self::plain(look, gauge, OFF, text)
        }
    }

    /// A gauge that was read regularly and is heard no more.
    fn silence(&self, look: &Look, gauge: GaugeId, silent: bool, wire_is: bool) -> Option<Sign> {
        // After a start nothing is known of how often it is read: an alert of before stays as it is until something comes.
        let known = look.recent.rhythm(gauge).is_some();
        let heard = look.recent.fresh(gauge, look.now).is_some();
        if !known && (heard || !self.board.holds(&format!("{}.{SILENT}", look.plant[gauge].name))) {
            return None;
        }
        let grave = self.limits[gauge.0].iter().any(|(_, limit)| category(limit) >= Category::Alarm);
        let text = format!("{} is not heard any more", look.plant[gauge].name);
        Some(Sign {
            category: if grave { Category::Warning } else { Category::Caution },
            past: match silent {
                _ if !known => Past::Unknown,
                true => Past::Beyond,
                false => Past::Clear,
            },
            suppressed: if wire_is { Some(ALL_SILENT) } else { self.rests(look, gauge).then_some(STOPPED) },
            ..Self::plain(look, gauge, SILENT, text)
        })
    }

    /// Wires of several gauges of which none is heard.
    fn wire_signs(&self, look: &Look, silent: &[bool]) -> Vec<Sign> {
        let mut wires: BTreeMap<String, (usize, usize, bool)> = BTreeMap::new();
        for gauge in look.plant.gauge_ids().filter(|gauge| look.recent.rhythm(*gauge).is_some()) {
            let (all, dumb, rests) = wires.entry(wire_of(&self.wires, gauge)).or_insert((0, 0, true));
            *all += 1;
            *dumb += usize::from(silent[gauge.0]);
            *rests &= self.rests(look, gauge);
        }
        let several = wires.into_iter().filter(|(_, (all, ..))| *all > 1);
        several
            .map(|(of, (all, dumb, rests))| Sign {
                key: format!("{of}.{SILENT}"),
                text: format!("nothing is heard on {of} any more: {all} gauges are silent"),
                category: Category::Warning,
                past: if dumb == all { Past::Beyond } else { Past::Clear },
                delays: Delays { on: 0.0, off: 0.0, deadband: 0.0 },
                suppressed: rests.then_some(STOPPED),
                of,
            })
            .collect()
    }
}

/// The wire a gauge is on; no gauge or part has such a name.
fn wire_of(wires: &[Option<String>], gauge: GaugeId) -> String {
    let name = wires.get(gauge.0).and_then(Option::as_deref);
    name.map_or_else(|| "the wire".into(), |name| format!("wire {name}"))
}

fn is_silent(look: &Look, gauge: GaugeId) -> bool {
    let (Some(rhythm), Some((last, _))) = (look.recent.rhythm(gauge), look.recent.last(gauge)) else { return false };
    look.now - last > STALE.max(MISSED * rhythm)
}

/// How grave passing a limit is: by what is to be done about it.
///
/// # Source
/// `[A1021]` 3.1: danger to life, vessel or machinery that wants action at once is an emergency alarm; what wants attention and
/// action at once is an alarm.
fn category(limit: &Limit) -> Category {
    match urgency(limit.act) {
        Urgency::People | Urgency::Stop => Category::EmergencyAlarm,
        Urgency::OutOfGear | Urgency::Idle | Urgency::Ease => Category::Alarm,
        Urgency::Look => Category::Warning,
    }
}
