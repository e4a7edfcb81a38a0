//! A long run: frames of a bus through the whole path of a served vessel, decoder, gauges, store and watch, as fast as it
//! goes. What came in must be on the disk to the last reading, and memory must not grow.

use crate::speaker::Speaker;
use ::live::aboard::{Aboard, Clocks};
use ::live::hearing::Hearing;
use ::live::inbox::{Inbox, Moment};
use ::live::keeper::Keeper;
use ::live::keeping::Keeping;
use ::live::{Event, Live};
use bus::decoder::Decoder;
use plant::plant::{GaugeId, Plant};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};
use watch::job::{Job, Outcome};

/// When it is taken to begin [ms since 1970]: July 2026.
const BEGIN: i64 = 1_782_972_000_000;
/// Beats of the loop, as in a served vessel [s].
const BEAT: f64 = 0.25;
/// Readings that may wait for the disk before the bus is held back: time goes faster here than any disk was made for.
const WAITING: u64 = 30_000;
/// Memory is flat if it grows by no more than this over the second half [bytes].
const FLAT: u64 = 8 << 20;
/// Looks at memory.
const LOOKS: u64 = 24;

/// A clock that is put on by hand.
#[derive(Default)]
struct ByHand(AtomicU64);

impl ByHand {
    fn put(&self, since: f64) {
        self.0.store(since.to_bits(), Ordering::Relaxed);
    }
}

impl Clocks for ByHand {
    fn now(&self) -> Moment {
        let since = f64::from_bits(self.0.load(Ordering::Relaxed));
        Moment { since, time: BEGIN + (since * 1e3).round() as i64 }
    }
}

/// What came of a run.
pub struct Run {
    /// Frames sent and frames heard.
    frames: [u64; 2],
    /// Values of gauges sent and heard.
    values: [u64; 2],
    /// Of these, more than are kept in a second; without room; and on the disk as the store counted and as it is read back.
    thinned: u64,
    lost: u64,
    stored: u64,
    read_back: u64,
    /// What the store's own check found.
    problems: Vec<String>,
    /// Pictures made meanwhile, and readings that the last one showed fresh.
    pictures: u64,
    fresh: usize,
    gauges: usize,
    /// How much time passed in the world and on the clock [s].
    passed: f64,
    took: f64,
    /// Memory held, as it went [bytes].
    memory: Vec<u64>,
    /// Size of the store [bytes].
    size: u64,
}

/// Runs so many frames past, at so many times the pace of a common bus.
///
/// # Errors
/// What could not be set up, in words.
pub fn run(frames: u64, crowded: f64, folder: &Path) -> Result<Run, String> {
    let plant = Arc::new(crate::speaker::vessel()?);
    let mut speaker = Speaker::of(&plant, crowded)?;
    let keeping = Keeping::open(folder, &plant, None).map_err(|why| why.to_string())?;
    let keeper = Arc::new(Keeper::new(keeping));
    let (inbox, received) = Inbox::new(plant.gauges.len());
    let inbox = Arc::new(inbox);
    let stop = Arc::new(AtomicBool::new(false));
    let (keeps, stops) = (keeper.clone(), stop.clone());
    let kept = std::thread::spawn(move || keeps.run(&received, &stops));
    let clock = Arc::new(ByHand::default());
    let aboard = Aboard::new(inbox.clone(), clock.clone(), |_| web::Aboard::default());
    let mut live = Live::aboard(plant.clone(), aboard, Vec::new(), &[]).map_err(|why| why.to_string())?;
    let mut hearing = Hearing::new(&plant, &[], inbox.clone(), true);
    let mut decoder = Decoder::new();
    let (mut beat, mut pictures, mut memory) = (0.0, 0, vec![held()]);
    let begun = Instant::now();
    for sent in 0..frames {
        let (since, frame) = speaker.next();
        clock.put(since);
        hearing.now = clock.now();
        decoder.frame(bus::stamp::Stamp::Universal((since * 1e9) as i64), &frame, &mut hearing);
        while since - beat >= BEAT {
            beat += BEAT;
            live.handle(Event::Tick(BEAT));
            if let Some(job) = live.job() {
                live.handle(Event::Outcome(work_out(&job, &plant)));
            }
            let _ = live.scene();
            pictures += 1;
        }
        if (sent + 1) % (frames / LOOKS).max(1) == 0 {
            memory.push(held());
        }
        hold_back(&inbox, &keeper);
    }
    stop.store(true, Ordering::Relaxed);
    kept.join().map_err(|_| "who keeps has panicked")?;
    let took = begun.elapsed().as_secs_f64();
    let counts = inbox.counts();
    let picture = live.picture();
    let health = keeper.keeping().reader().check().map_err(|why| why.to_string())?;
    Ok(Run {
        frames: [frames, decoder.lines()],
        values: [speaker.values, counts.heard],
        thinned: counts.thinned,
        lost: counts.lost + keeper.state().lost,
        stored: keeper.state().stored + keeper.state().repeated,
        read_back: read_back(&plant, &keeper)? + keeper.state().repeated,
        problems: health.problems,
        pictures,
        fresh: picture.gauges.iter().filter(|gauged| gauged.fresh(picture.at).is_some()).count(),
        gauges: plant.gauges.iter().filter(|gauge| gauge.heard.is_some()).count(),
        passed: speaker.time(),
        took,
        memory,
        size: size(folder),
    })
}

/// What comes of a job; causes are not weighed here, which takes seconds each time beside the loop, not in it, and is
/// measured by other runs.
fn work_out(job: &Job, plant: &Plant) -> Outcome {
    match job {
        Job::Weigh { .. } => Outcome::Weighed(None),
        other => other.run(plant),
    }
}

/// Waits while the disk is behind.
fn hold_back(inbox: &Inbox, keeper: &Keeper) {
    let behind = || {
        let (counts, state) = (inbox.counts(), keeper.state());
        counts.heard - counts.thinned - counts.lost - state.stored - state.repeated - state.lost
    };
    while behind() > WAITING {
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// Readings of every gauge, as the store hands them back.
fn read_back(plant: &Plant, keeper: &Keeper) -> Result<u64, String> {
    let mut sum = 0;
    for gauge in plant.gauge_ids().filter(|gauge: &GaugeId| plant[*gauge].heard.is_some()) {
        let year = 366 * 86_400_000;
        let plot = keeper.keeping().reader().query(&plant[gauge].name, BEGIN - year..BEGIN + year, 1_000);
        sum += plot.map_err(|why| why.to_string())?.points.iter().map(|point| point.count).sum::<u64>();
    }
    Ok(sum)
}

/// All files of a folder together [bytes].
fn size(folder: &Path) -> u64 {
    let files = std::fs::read_dir(folder).into_iter().flatten().flatten();
    files.filter_map(|file| file.metadata().ok()).map(|file| file.len()).sum()
}

/// Memory this program holds [bytes]; nothing where the system does not tell.
fn held() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap_or("0 kB");
    1024 * line.trim().trim_end_matches(" kB").parse::<u64>().unwrap_or(0)
}

impl Run {
    /// What is not as it must be, in words.
    pub fn faults(&self) -> Vec<String> {
        let mut faults = self.problems.clone();
        let mut must = |so: bool, what: String| {
            if !so {
                faults.push(what);
            }
        };
        must(self.frames[0] == self.frames[1], format!("{} frames sent, {} heard", self.frames[0], self.frames[1]));
        must(self.values[0] == self.values[1], format!("{} values sent, {} heard", self.values[0], self.values[1]));
        must(self.lost == 0, format!("{} readings lost", self.lost));
        let kept = self.values[1] - self.thinned - self.lost;
        must(self.stored == kept, format!("{kept} readings to keep, {} on the disk", self.stored));
        must(self.read_back == kept, format!("{kept} readings to keep, {} read back", self.read_back));
        must(self.fresh == self.gauges, format!("{} of {} gauges fresh at the end", self.fresh, self.gauges));
        must(self.grown() <= FLAT, format!("memory grew by {} bytes in the second half", self.grown()));
        faults
    }

    /// How much more memory was held at most in the second half than in the middle [bytes].
    fn grown(&self) -> u64 {
        let (before, after) = self.memory.split_at(self.memory.len() / 2);
        let most = |memory: &[u64]| memory.iter().copied().max().unwrap_or(0);
        most(after).saturating_sub(most(before))
    }

    /// What came of it, in words.
    pub fn report(&self) -> String {
        let megabytes = |bytes: u64| bytes as f64 / f64::from(1 << 20);
        let Run { frames: [_, frames], values: [_, values], thinned, stored, pictures, passed, took, .. } = self;
        let (least, most) = (self.memory.iter().skip(1).min(), self.memory.iter().max());
        format!(
            "{frames} frames, {passed:.0} s of a bus, in {took:.1} s ({:.0} frames/s): {values} values of gauges, {thinned} beyond \
             ten a second, {stored} on the disk in {:.1} MB, {pictures} pictures; memory {:.1} to {:.1} MB, {:.1} MB more in the second half\n",
            *frames as f64 / took,
            megabytes(self.size),
            megabytes(least.copied().unwrap_or(0)),
            megabytes(most.copied().unwrap_or(0)),
            megabytes(self.grown()),
        )
    }
}
