//! The live demonstration as fast as it goes: how soon faults are found, and how often a sound vessel is accused.

use crate::cases::label;
use ::live::world::Wrong;
use ::live::{Event, Live, as_fast_as_it_can};
use diagnosis::hypothesis::{What, kind_of};
use plant::evidence::Named;
use plant::plant::Plant;
use std::sync::Arc;
use std::time::{Duration, Instant};
use watch::job::{Job, Outcome};
use watch::picture::Picture;
use web::Order;

/// Hours that a sound vessel is watched first, and between two faults [h].
const SOUND_FIRST: f64 = 8.0;
const SOUND: f64 = 3.0;
/// Minutes that a fault is given to be found, and that are let pass before it is introduced, so that she is on a leg
/// and not between two [min].
const GIVEN: f64 = 180.0;
/// Between two readings [s]: as at the quickest pace, where they are the fewest.
const EVERY: f64 = 30.0;
/// Faults.
const FAULTS: usize = 10;
/// A chance that is a verdict [1].
const VERDICT: f64 = 0.5;

/// How long jobs took: bands, causes, escapes, whether a cause would show.
#[derive(Default)]
struct Clock([Vec<Duration>; 4]);

impl Clock {
    fn work(&mut self, job: &Job, plant: &Plant) -> Outcome {
        let start = Instant::now();
        let outcome = job.run(plant);
        let kind = match job {
            Job::Bands { .. } => 0,
            Job::Weigh { .. } => 1,
            Job::Escapes { .. } => 2,
            Job::Shows { .. } => 3,
        };
        self.0[kind].push(start.elapsed());
        outcome
    }

    fn tell(mut self) {
        for (name, times) in ["bands", "causes", "escapes", "shows"].iter().zip(&mut self.0) {
            times.sort();
            if let (Some(middle), Some(longest)) = (times.get(times.len() / 2), times.last()) {
                println!("{name}: {} times, middle {middle:.1?}, longest {longest:.1?}", times.len());
            }
        }
    }
}

/// What was counted while nothing was wrong.
#[derive(Default)]
struct Sound {
    hours: f64,
    weighings: usize,
    accused: usize,
}

impl Sound {
    fn pass(&mut self, live: &mut Live, clock: &mut Clock, hours: f64) {
        self.hours += hours;
        let (mut weighings, mut accused) = (0, Vec::new());
        pass(live, clock, hours, &mut |picture| {
            weighings += 1;
            accused.extend(accuses(picture));
        });
        self.weighings += weighings;
        self.accused += accused.len();
        for line in &accused {
            println!("  sound, and accused: {line}");
        }
    }
}

fn pass(live: &mut Live, clock: &mut Clock, hours: f64, see: &mut dyn FnMut(&Arc<Picture>)) {
    as_fast_as_it_can(live, 3600.0 * hours, EVERY, &mut |job, plant| clock.work(job, plant), see);
}

/// What a picture accuses, if all is well is not the likelier.
fn accuses(picture: &Picture) -> Option<String> {
    let answer = &picture.explained.as_ref()?.answer;
    let well = answer.ranked.iter().find(|ranked| ranked.what == What::Well)?.probability;
    let top = answer.ranked.first()?;
    (well < VERDICT).then(|| {
        format!(
            "at {:.1} h well {well:.2}, {} {:.2}, {} occasions",
            picture.at / 3600.0,
            label(&picture.plant, top.what),
            top.probability,
            picture.explained.as_ref().map_or(0, |explained| explained.answer.evidence.occasions.len())
        )
    })
}

/// When a fault was found and at what odds.
struct Found {
    minutes: f64,
    place: usize,
    chance: f64,
    top: String,
}

/// Runs it.
pub fn run(plant: Plant, seed: usize, hours: f64) -> Result<(), String> {
    let start = Instant::now();
    let plant = Arc::new(plant);
    let mut live = Live::new(plant.clone(), seed).map_err(|why| why.to_string())?;
    println!("ready in {:.0} ms", 1000.0 * start.elapsed().as_secs_f64());
    let (mut sound, mut clock) = (Sound::default(), Clock::default());
    sound.pass(&mut live, &mut clock, SOUND_FIRST.min(hours));
    println!("{:<44} {:>5} {:>22} {:>26}  last: top", "fault", "bad", "noticed", "first named");
    for _ in 0..if hours > SOUND_FIRST { FAULTS } else { 0 } {
        let Some(wrong) = live.surprise() else { return Err("nothing to put wrong".into()) };
        println!("{}", fault(&mut live, &mut clock, wrong));
        live.handle(Event::Order(Order::Mend));
        // Mending is a change like any other: the watch is given an hour to see it.
        pass(&mut live, &mut clock, 1.0, &mut |_| {});
        sound.pass(&mut live, &mut clock, SOUND);
    }
    sound.pass(&mut live, &mut clock, (hours - sound.hours).max(0.0));
    println!(
        "sound for {:.0} h: {} weighings, {} of them accuse; {} kB resident; {:.0} s",
        sound.hours,
        sound.weighings,
        sound.accused,
        resident(),
        start.elapsed().as_secs_f64()
    );
    clock.tell();
    Ok(())
}

/// One chosen fault, "part.cause@percent", after an hour of sound running: what was weighed, and what came of it.
pub fn one(plant: Plant, seed: usize, fault: &str) -> Result<(), String> {
    let plant = Arc::new(plant);
    let mut live = Live::new(plant.clone(), seed).map_err(|why| why.to_string())?;
    let mut clock = Clock::default();
    pass(&mut live, &mut clock, 1.0, &mut |_| {});
    let (cause, percent) = fault.split_once('@').ok_or("which? part.cause@percent")?;
    let (part, cause) = cause.rsplit_once('.').ok_or("which? part.cause@percent")?;
    let of = Named::find(&plant, part).ok_or("no such part")?;
    let place = kind_of(&plant, of).causes.iter().position(|known| known.name == cause).ok_or("no such cause")?;
    let severity = percent.parse::<f64>().map_err(|_| "how bad [%]?")? / 100.0;
    let at = live.time();
    live.handle(Event::Order(Order::Fault { what: What::Cause(of, place), severity }));
    pass(&mut live, &mut clock, GIVEN / 60.0, &mut |picture| {
        let Some(explained) = &picture.explained else { return };
        println!("after {:.0} min", (picture.at - at) / 60.0);
        for occasion in &explained.answer.evidence.occasions {
            println!("  {:?} {:?}", occasion.when, occasion.at);
            for (gauge, text) in &occasion.readings {
                if let measure::reading::ReadingText::Value { value, mark, .. } = text {
                    let gauge = &plant[*gauge];
                    println!("    {} = {:.2} {} {mark:?}", gauge.name, watch::dial::on_dial(gauge, *value), gauge.unit);
                }
            }
        }
        for ranked in explained.answer.ranked.iter().take(6) {
            println!("  {:.3} {} {:.2}", ranked.probability, label(&plant, ranked.what), ranked.severity);
        }
    });
    Ok(())
}

/// Lets a fault be found, and says how it was.
fn fault(live: &mut Live, clock: &mut Clock, wrong: Wrong) -> String {
    let plant = live.picture().plant.clone();
    let (mut noticed, mut first, mut last) = (None, None, None);
    pass(live, clock, GIVEN / 60.0, &mut |picture| {
        let Some(explained) = &picture.explained else { return };
        let minutes = (picture.at - wrong.at) / 60.0;
        let ranked = &explained.answer.ranked;
        let well = ranked.iter().find(|r| r.what == What::Well).map_or(0.0, |r| r.probability);
        let mut places = ranked.iter().filter(|r| matches!(r.what, What::Cause(..))).enumerate();
        let Some((place, it)) = places.find(|(_, r)| r.what == wrong.what) else { return };
        let top =
            ranked.first().map_or(String::new(), |top| format!("{} {:.2}", label(&plant, top.what), top.probability));
        let found = || Found { minutes, place: place + 1, chance: it.probability, top: top.clone() };
        if well < VERDICT && noticed.is_none() {
            noticed = Some(found());
        }
        if well < VERDICT && place < 3 && first.is_none() {
            first = Some(found());
        }
        last = Some(found());
    });
    let say = |found: &Option<Found>| {
        found.as_ref().map_or("never".into(), |f| format!("{:.0} min, place {}, {:.2}", f.minutes, f.place, f.chance))
    };
    let name = label(&plant, wrong.what);
    let end = last.as_ref().map_or(String::new(), |f| format!("place {}, {:.2}; {}", f.place, f.chance, f.top));
    format!("{name:<44} {:>5.2} {:>22} {:>26}  {end}", wrong.severity, say(&noticed), say(&first))
}

/// Memory in use [kB], where the system tells it.
fn resident() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmRSS"));
    line.and_then(|line| line.split_whitespace().nth(1)).and_then(|kb| kb.parse().ok()).unwrap_or(0)
}
