//! What is due: each task with what makes it due, when, and how sure that is.

use crate::chance::quantile;
use crate::date::{self, DAY};
use crate::record::Record;
use crate::task::{Last, Side, Task, Trigger};
use crate::trend::{Span, Trend};
use crate::usage::{Ahead, Planned, Usage};
use diary::{Diary, Entry};
use plant::plant::{GaugeId, PartId, Plant};

/// Everything that it is worked out from.
pub struct Asked<'a> {
    /// The vessel.
    pub plant: &'a Plant,
    /// Her tasks.
    pub tasks: &'a [Task],
    /// What was done and what happened; what lies in the future is planned.
    pub records: &'a Diary<Record>,
    /// What the hour meter of each engine showed: times [ms since 1970, UTC] and running hours [h], both rising.
    pub meters: &'a [(PartId, Vec<(i64, f64)>)],
    /// What a gauge read since a time, by running hours [h, SI]; empty where nothing is kept.
    pub readings: &'a dyn Fn(GaugeId, i64) -> Vec<(f64, f64)>,
    /// The time [ms since 1970, UTC].
    pub now: i64,
    /// A passage planned.
    pub planned: Option<Planned>,
}

/// One task, and when it is due.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// Place among the tasks.
    pub task: usize,
    /// When it was done last.
    pub last: Last,
    /// The record of that, by its key.
    pub record: Option<diary::Key>,
    /// At which running hours [h], if hours count.
    pub at_hours: Option<f64>,
    /// By which day [ms since 1970, UTC], if the calendar counts.
    pub at_time: Option<i64>,
    /// What makes it due, or will.
    pub by: By,
    /// How it stands.
    pub stands: Stands,
    /// When it falls due: 5, 50 and 95 % of belief [ms since 1970, UTC].
    pub when: Option<[i64; 3]>,
    /// Share of its interval that is used up [1].
    pub used: Option<f64>,
}

/// What makes a task due.
#[derive(Clone, Debug, PartialEq)]
pub enum By {
    /// Running hours.
    Hours,
    /// The calendar.
    Calendar,
    /// Where a reading or a measure has come to, or goes.
    Condition,
    /// Something that happened, or is planned.
    Event(String),
    /// Nothing yet: nobody knows when it was done, or what it waits for has not happened.
    Nothing,
}

/// How a task stands.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Stands {
    /// Past.
    Past {
        /// By so many hours, if hours make it due [h].
        hours: Option<f64>,
        /// By so many days, if the calendar does [days].
        days: Option<f64>,
    },
    /// Still ahead.
    Ahead,
    /// Nobody knows when it was done.
    Unknown,
    /// Waits for something to happen.
    Waits,
}

/// All that is due, with what it was worked out from.
pub struct List {
    /// A row a task, the soonest first.
    pub rows: Vec<Due>,
    /// Each engine: where its meter stands [h], and its use.
    pub engines: Vec<EngineUse>,
}

/// An engine's hours.
pub struct EngineUse {
    /// Which.
    pub engine: PartId,
    /// When its meter was read last, and what it showed [ms since 1970, UTC; h]; nothing if never.
    pub read: Option<(i64, f64)>,
    /// What it shows by now: 5, 50 and 95 % of belief [h].
    pub hours: [f64; 3],
    /// Hours a year: 5, 50 and 95 % of belief [h].
    pub a_year: [f64; 3],
    /// The future.
    pub ahead: Ahead,
}

/// A candidate for what makes a task due: when, path by path.
struct Candidate {
    by: By,
    /// For each path [ms since 1970, UTC].
    times: Vec<f64>,
    /// Past already, by hours and by days.
    past: Option<PastBy>,
}

/// An engine with fewer hours is taken as new: nothing was done on it that nobody knows of [h].
const NEW: f64 = 200.0;

/// By so many hours, and by so many days, where either counts [h, days].
type PastBy = (Option<f64>, Option<f64>);

/// Works out what is due.
pub fn list(asked: &Asked) -> List {
    let engines: Vec<EngineUse> = asked.plant.engines().map(|engine| use_of(asked, engine)).collect();
    let mut rows: Vec<Due> = (0..asked.tasks.len()).map(|task| one(asked, &engines, task)).collect();
    let order = |due: &Due| match (due.stands, due.when) {
        (Stands::Past { .. }, when) => (0, when.map_or(0, |when| when[1])),
        (Stands::Ahead, when) => (1, when.map_or(i64::MAX, |when| when[1])),
        (Stands::Unknown, _) => (2, 0),
        (Stands::Waits, _) => (3, 0),
    };
    rows.sort_by_key(order);
    List { rows, engines }
}

fn use_of(asked: &Asked, engine: PartId) -> EngineUse {
    let meter = asked.meters.iter().find(|(of, _)| *of == engine).map_or(&[][..], |(_, meter)| meter);
    let seen = &meter[..meter.partition_point(|(time, _)| *time <= asked.now)];
    let usage = Usage::of(seen);
    let read = seen.last().copied();
    let (start, hours) = read.unwrap_or((asked.now, 0.0));
    let ahead = usage.ahead(start, hours, asked.planned);
    EngineUse { engine, read, hours: ahead.hours_at(asked.now), a_year: usage.a_year(), ahead }
}

/// The record that tells when a task was done last.
fn last_done<'a>(asked: &'a Asked, task: &Task) -> Option<&'a Entry<Record>> {
    let mut done = asked.records.entries.iter().filter(|entry| entry.time <= asked.now);
    done.rfind(|entry| entry.what.task.as_deref() == Some(&task.name))
}

/// Running hours that a meter showed at a time, between its readings [h].
pub fn hours_at(meter: &[(i64, f64)], time: i64) -> Option<f64> {
    let after = meter.partition_point(|(at, _)| *at <= time);
    let before = after.checked_sub(1).map(|place| meter[place])?;
    match meter.get(after) {
        Some(next) if next.0 > before.0 => {
            let part = (time - before.0) as f64 / (next.0 - before.0) as f64;
            Some(before.1 + part * (next.1 - before.1))
        }
        _ => Some(before.1),
    }
}

fn one(asked: &Asked, engines: &[EngineUse], place: usize) -> Due {
    let task = &asked.tasks[place];
    let engine = engines.iter().find(|engine| Some(engine.engine) == task.engine);
    let meter = asked.meters.iter().find(|(of, _)| Some(*of) == task.engine).map_or(&[][..], |(_, meter)| meter);
    let record = last_done(asked, task);
    let mut last = record.map_or(task.told_last, |entry| Last { time: Some(entry.time), hours: entry.what.hours });
    if last.hours.is_none() {
        last.hours = last.time.and_then(|time| hours_at(meter, time));
    }
    // Hours told without a meter read are as good as none.
    let engine = engine.filter(|engine| engine.read.is_some());
    let at_hours = at_hours(task, last, engine);
    let at_time = task.every.months.zip(last.time).map(|(months, time)| date::months_after(time, months));
    let mut candidates = Vec::new();
    if let (Some(at), Some(engine)) = (at_hours, engine) {
        let over = engine.hours[1] - at;
        let past = (over >= 0.0).then_some((Some(over), None));
        candidates.push(Candidate { by: By::Hours, times: engine.ahead.reach(at), past });
    }
    if let Some(at) = at_time {
        candidates.push(by_date(By::Calendar, at, asked.now));
    }
    for trigger in &task.also {
        candidates.extend(triggered(asked, trigger, task, last, engine));
    }
    let mut due = Due {
        task: place,
        last,
        record: record.map(|entry| entry.key.clone()),
        at_hours,
        at_time,
        by: By::Nothing,
        stands: Stands::Unknown,
        when: None,
        used: None,
    };
    due.used = used(task, last, engine, asked.now);
    if candidates.is_empty() {
        let by_use = task.every.hours.is_some() || task.every.months.is_some();
        due.stands = if last.is_unknown() && by_use { Stands::Unknown } else { Stands::Waits };
        return due;
    }
    soonest(&mut due, candidates);
    due
}

fn at_hours(task: &Task, last: Last, engine: Option<&EngineUse>) -> Option<f64> {
    match (last.hours, task.every.hours, task.every.first) {
        (Some(last), Some(every), _) => Some(last + every),
        // A new engine: nothing was done yet, and nothing needed to be.
        (None, Some(every), first) => {
            let first = first.unwrap_or(every);
            let new = last.time.is_none() && engine.is_some_and(|engine| engine.hours[1] < NEW.min(first));
            new.then_some(first)
        }
        _ => None,
    }
}

fn used(task: &Task, last: Last, engine: Option<&EngineUse>, now: i64) -> Option<f64> {
    let by_hours =
        task.every.hours.zip(last.hours).zip(engine).map(|((every, last), engine)| (engine.hours[1] - last) / every);
    let by_time = task.every.months.zip(last.time).map(|(months, last)| {
        let whole = (date::months_after(last, months) - last).max(1);
        (now - last) as f64 / whole as f64
    });
    [by_hours, by_time].into_iter().flatten().reduce(f64::max)
}

fn by_date(by: By, at: i64, now: i64) -> Candidate {
    let past = (now >= at).then(|| (None, Some((now - at) as f64 / DAY as f64)));
    Candidate { by, times: vec![at as f64], past }
}

/// What else makes it due.
fn triggered(
    asked: &Asked,
    trigger: &Trigger,
    task: &Task,
    last: Last,
    engine: Option<&EngineUse>,
) -> Option<Candidate> {
    let since = last.time.unwrap_or(i64::MIN);
    let happened = |name: &str, future: bool| {
        let named = asked.records.entries.iter().filter(move |entry| entry.what.happened.as_deref() == Some(name));
        let mut times = named.map(|entry| entry.time).filter(|time| (*time > asked.now) == future && *time > since);
        if future { times.min() } else { times.next_back() }
    };
    match trigger {
        Trigger::After(event) => {
            let at = happened(event, false).or_else(|| happened(event, true))?;
            Some(by_date(By::Event(event.clone()), at, asked.now))
        }
        Trigger::Before(event) => Some(by_date(By::Event(event.clone()), happened(event, true)?, asked.now)),
        Trigger::Season(month) => season(*month, last, asked.now).map(|at| by_date(By::Calendar, at, asked.now)),
        Trigger::Reading { gauge, limit, side } => {
            let readings = (asked.readings)(*gauge, since);
            condition(&[readings], &[0], asked.plant[*gauge].accuracy, *limit, *side, engine)
        }
        Trigger::Measured { measure, limit, side } => {
            let (spans, current) = measured(asked.records, task, measure);
            condition(&spans, &current, scatter(&spans), *limit, *side, engine)
        }
    }
}

/// What a task's records tell of one measure: from one setting or renewal to the next a span, place by place; and which of
/// them still go on.
pub fn measured(records: &Diary<Record>, task: &Task, measure: &str) -> (Vec<Span>, Vec<usize>) {
    let of_task = records.entries.iter().filter(|entry| entry.what.task.as_deref() == Some(&task.name));
    let (mut spans, mut open): (Vec<Span>, Vec<(Option<&str>, usize)>) = (Vec::new(), Vec::new());
    for entry in of_task {
        let Some(hours) = entry.what.hours else { continue };
        for one in entry.what.measured.iter().filter(|one| one.name == measure) {
            let at = one.at.as_deref();
            let place = open.iter().position(|(place, _)| *place == at).unwrap_or_else(|| {
                spans.push(Vec::new());
                open.push((at, spans.len() - 1));
                open.len() - 1
            });
            if let Some(found) = one.found {
                spans[open[place].1].push((hours, found));
            }
            // Left otherwise than it was found, it begins anew.
            if let Some(left) = one.left.filter(|left| one.found != Some(*left)) {
                if !spans[open[place].1].is_empty() {
                    spans.push(Vec::new());
                    open[place].1 = spans.len() - 1;
                }
                spans[open[place].1].push((hours, left));
            }
        }
    }
    (spans, open.into_iter().map(|(_, span)| span).collect())
}

/// How far a measure is off by nothing but its being measured, where nothing tells [SI]: a twentieth of it.
pub fn scatter(spans: &[Span]) -> f64 {
    (spans.iter().flatten().map(|(_, value)| value.abs()).fold(0.0, f64::max) * 0.05).max(1e-9)
}

/// By where a value has come to, or goes.
fn condition(
    spans: &[Span],
    current: &[usize],
    scatter: f64,
    limit: f64,
    side: Side,
    engine: Option<&EngineUse>,
) -> Option<Candidate> {
    let last = || current.iter().filter_map(|place| spans[*place].last());
    last().next()?;
    let beyond = last().any(|(_, now)| if side == Side::Above { *now >= limit } else { *now <= limit });
    if beyond {
        let time = engine.map_or(0.0, |engine| engine.read.map_or(0.0, |(time, _)| time as f64));
        return Some(Candidate { by: By::Condition, times: vec![time], past: Some((None, None)) });
    }
    let crossings = Trend::through(spans, current, scatter)?.crossings(limit, side);
    let engine = engine?;
    // One path for one line: both are drawn.
    let times = crossings
        .iter()
        .enumerate()
        .map(|(draw, hours)| {
            let hours = hours.max(engine.hours[1]);
            if hours.is_finite() { engine.ahead.reach_on(draw, hours) } else { engine.ahead.end() as f64 }
        })
        .collect();
    Some(Candidate { by: By::Condition, times, past: None })
}

/// The first day of this month after it was done last; what was done within half a year before counts for it.
fn season(month: i8, last: Last, now: i64) -> Option<i64> {
    let today = date::day(now)?;
    let of = |year: i16| jiff::civil::Date::new(year, month, 1).ok().and_then(date::noon);
    let served = |at: &i64| last.time.is_some_and(|time| time > at - 182 * DAY);
    (today.year() - 1..=today.year() + 2).filter_map(of).filter(|at| *at > now - 182 * DAY).find(|at| !served(at))
}

/// The soonest of several, path by path.
fn soonest(due: &mut Due, candidates: Vec<Candidate>) {
    let middle = |candidate: &Candidate| {
        let mut times = candidate.times.clone();
        times.sort_by(f64::total_cmp);
        quantile(&times, 0.5)
    };
    let count = candidates.iter().map(|candidate| candidate.times.len()).max().unwrap_or(1);
    let at = |candidate: &Candidate, path: usize| candidate.times[path % candidate.times.len()];
    let mut times: Vec<f64> = (0..count)
        .map(|path| candidates.iter().map(|candidate| at(candidate, path)).fold(f64::INFINITY, f64::min))
        .collect();
    times.sort_by(f64::total_cmp);
    due.when = Some([0.05, 0.5, 0.95].map(|share| quantile(&times, share) as i64));
    let past: Vec<PastBy> = candidates.iter().filter_map(|candidate| candidate.past).collect();
    let first = candidates.into_iter().min_by(|a, b| {
        // What is past already tells, before what only may be.
        (a.past.is_none(), middle(a)).partial_cmp(&(b.past.is_none(), middle(b))).unwrap_or(std::cmp::Ordering::Equal)
    });
    due.by = first.map_or(By::Nothing, |candidate| candidate.by);
    due.stands = if past.is_empty() {
        Stands::Ahead
    } else {
        let most = |of: fn(&PastBy) -> Option<f64>| past.iter().filter_map(of).reduce(f64::max);
        Stands::Past { hours: most(|past| past.0), days: most(|past| past.1) }
    };
}
