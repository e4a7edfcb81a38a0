//! Many occasions gathered into few: what was told twice is one, readings taken again at the same point are taken
//! together, and of more points than tell anything new an even choice is kept. Else a log of a thousand lines would take an
//! hour and say no more than its few speeds.

use measure::reading::{Mark, ReadingText};
use model::expect::reading_noise;
use plant::evidence::{Evidence, Moment, Occasion, ToldPoint};
use plant::plant::{GaugeId, Plant};

/// Points kept, of before the trouble and of the trouble itself each. A prototype's three speeds told 70 to 88 of 100 faults
/// apart where one told 56; twice that is plenty.
pub const MOST: usize = 6;
/// Nearer than this share of the rated speed is the same speed, and nearer than this the same load or pitch [1]; as well as
/// a tachometer is read.
const SAME: f64 = 0.015;
/// Temperatures of sea and air nearer than this are the same [K].
const SAME_WATER: f64 = 1.0;
/// Readings of the same point further apart than so many standard deviations of their flicker are not of the same state.
const AGREE: f64 = 3.0;

/// What became of the occasions.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Gathered {
    /// Told.
    pub told: usize,
    /// Taken together with others of the same point.
    pub repeated: usize,
    /// Left out, for there are points enough.
    pub left_out: usize,
}

impl Gathered {
    /// Whether all stand as they were told.
    pub fn is_all(&self) -> bool {
        self.repeated + self.left_out == 0
    }
}

/// The same evidence in as few occasions as tell it.
pub fn gather(plant: &Plant, evidence: &Evidence) -> (Evidence, Gathered) {
    let told = evidence.occasions.len();
    let mut groups: Vec<Group> = Vec::new();
    for occasion in &evidence.occasions {
        match groups.iter_mut().find(|group| group.takes(plant, occasion)) {
            Some(group) => group.add(occasion),
            None => groups.push(Group::of(occasion)),
        }
    }
    let repeated = told - groups.len();
    let before = chosen(&groups, |when| when != Moment::Now);
    let now = chosen(&groups, |when| when == Moment::Now);
    let mut kept = [before, now].concat();
    kept.sort_unstable();
    let left_out = groups.len() - kept.len();
    let occasions = kept.into_iter().map(|place| groups[place].occasion.clone()).collect();
    (Evidence { occasions, ..evidence.clone() }, Gathered { told, repeated, left_out })
}

/// Occasions of one point that say the same.
struct Group {
    /// All of them as one: each reading the mean of theirs.
    occasion: Occasion,
    /// How many took part in each reading, in its order.
    counts: Vec<usize>,
}

impl Group {
    fn of(occasion: &Occasion) -> Group {
        Group { occasion: occasion.clone(), counts: vec![1; occasion.readings.len()] }
    }

    /// Whether an occasion is of the same point, says the same and shows no other state.
    fn takes(&self, plant: &Plant, other: &Occasion) -> bool {
        let own = &self.occasion;
        own.when == other.when
            && own.nothing_else == other.nothing_else
            && own.said == other.said
            && own.not == other.not
            && same_point(plant, &own.at, &other.at)
            && other.readings.iter().all(|(gauge, text)| self.agrees(plant, *gauge, text))
    }

    fn agrees(&self, plant: &Plant, gauge: GaugeId, text: &ReadingText) -> bool {
        let own = self.occasion.readings.iter().filter(|(other, _)| *other == gauge);
        own.map(|(_, own)| own).all(|own| match (steady(own), steady(text)) {
            (Some(a), Some(b)) => {
                let noise = reading_noise(plant, gauge, a, false);
                (a - b).abs() <= AGREE * std::f64::consts::SQRT_2 * noise
            }
            _ => own == text,
        })
    }

    fn add(&mut self, other: &Occasion) {
        for &(gauge, text) in &other.readings {
            let Some(place) = self.occasion.readings.iter().position(|(own, _)| *own == gauge) else {
                self.occasion.readings.push((gauge, text));
                self.counts.push(1);
                continue;
            };
            self.counts[place] += 1;
            let share = 1.0 / self.counts[place] as f64;
            if let (ReadingText::Value { value, .. }, Some(new)) = (&mut self.occasion.readings[place].1, steady(&text))
            {
                *value += (new - *value) * share;
            }
        }
    }
}

/// The value of a plain reading [SI].
fn steady(text: &ReadingText) -> Option<f64> {
    match text {
        ReadingText::Value { value, mark: Mark::Steady, rough: false } => Some(*value),
        _ => None,
    }
}

fn same_point(plant: &Plant, a: &ToldPoint, b: &ToldPoint) -> bool {
    let near = |a: Option<f64>, b: Option<f64>, within: f64| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= within,
        (None, None) => true,
        _ => false,
    };
    near(a.speed, b.speed, SAME * plant.rated_speed)
        && near(a.load, b.load, SAME)
        && near(a.pitch, b.pitch, SAME)
        && near(a.sea, b.sea, SAME_WATER)
        && near(a.air, b.air, SAME_WATER)
        && a.minutes == b.minutes
        && a.eased_from == b.eased_from
}

/// Places of the groups of these moments that are kept: those that say something first, then an even choice of the rest.
fn chosen(groups: &[Group], of: impl Fn(Moment) -> bool) -> Vec<usize> {
    let mine = (0..groups.len()).filter(|place| of(groups[*place].occasion.when));
    let speaks = |place: &usize| {
        let occasion = &groups[*place].occasion;
        !occasion.said.is_empty() || !occasion.not.is_empty()
    };
    let (mut kept, silent): (Vec<usize>, Vec<usize>) = mine.partition(speaks);
    kept.truncate(MOST);
    let room = MOST - kept.len();
    if silent.len() <= room {
        kept.extend(silent);
    } else {
        let last = silent.len() - 1;
        kept.extend((0..room).map(|k| silent[if room == 1 { last } else { k * last / (room - 1) }]));
    }
    kept
}
