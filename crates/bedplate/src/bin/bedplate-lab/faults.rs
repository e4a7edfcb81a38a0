//! What goes wrong in a drawn vessel: which cause, how bad, what it does to figures and to gauges. What there is and how often
//! is the table's; how a fault acts is written here once more, from the words of each move and of each way to misread.

use crate::chance::Chance;
use crate::world::{Nature, dials};
use diagnosis::hypothesis::{self, Hypothesis, What, cause_of};
use model::point;
use model::steady::{Model, State};
use parts::kind::{By, Circuit, Misreads, Sends, Severity};
use plant::evidence::{Evidence, Named, ToldPoint};
use plant::plant::{GaugeId, Plant};

/// Everything that may go wrong on a vessel, and how often in this world.
pub struct Faults {
    ways: Vec<Way>,
    /// How many are to be expected in the hours in which one may have come on [1]: by the table, and truly.
    expected: [f64; 2],
}

/// One way to fail.
struct Way {
    cause: Hypothesis,
    severity: Severity,
    misreads: Option<Misreads>,
    /// How often it is noticed, by the table and truly [1].
    rate: [f64; 2],
}

/// Something wrong.
#[derive(Clone, Debug)]
pub struct Fault {
    /// What an answer ought to name: the cause, or something that no list holds.
    pub what: What,
    /// The cause that acts.
    pub acts: What,
    /// Its circuit.
    pub circuit: Option<Circuit>,
    /// How bad [0 to 1].
    pub severity: f64,
    moves: Vec<(usize, By)>,
    /// How far each figure but the first goes, as a share of what goes with the severity [1].
    goes: Vec<f64>,
    graded: bool,
    misreads: Option<Misreads>,
    /// How far a gauge that lies is off, and which way [share of its scale].
    lies_by: f64,
}

/// Trouble that no list holds, as a share of what a list holds.
const UNLISTED: f64 = 0.07;
/// Share of what happens in a line that stands by that is noticed at all.
const IN_STANDBY: f64 = 0.02;
/// Nothing passes below this [kg/s].
const STILL: f64 = 3e-3;
/// What a cause moves beside the first figure goes with that only so far: one standard deviation of the share of its way.
const APART: f64 = 0.35;
/// A gauge that lies is off by up to this share of its scale.
const LIES_UP_TO: f64 = 1.0 / 3.0;

impl Faults {
    /// The causes of a vessel, each by its rate; in a world of other rates each as many times more or less often by the toss of
    /// a coin, once for the whole world.
    pub fn of(model: &mut Model, nature: Nature, chance: &mut Chance) -> Faults {
        let all = hypothesis::all(&model.plant, &model.layout, &Evidence::default());
        let mut faults = Faults { ways: Vec::new(), expected: [0.0; 2] };
        for cause in all {
            let Some(known) = cause_of(&model.plant, cause.what) else { continue };
            let off = if chance.uniform() < 0.5 { nature.rates } else { 1.0 / nature.rates };
            let happens = [cause.prior, cause.prior * off];
            faults.expected = [0, 1].map(|k| faults.expected[k] + happens[k]);
            let noticed = if stands_by(model, &cause) { IN_STANDBY } else { 1.0 };
            let rate = happens.map(|rate| rate * noticed);
            faults.ways.push(Way { cause, severity: known.severity, misreads: known.misreads, rate });
        }
        faults
    }

    /// Chance that nothing is wrong, or nothing that is noticed [1]: by the table, and truly.
    pub fn nothing(&self) -> [f64; 2] {
        [0, 1].map(|k| {
            // Chances of none and of one are as exp(-H) to 1 - exp(-H), of which each cause has its share.
            let none = self.expected[k] / self.expected[k].exp_m1();
            let listed: f64 = self.ways.iter().map(|way| way.rate[k]).sum();
            none / (none + listed + UNLISTED * self.expected[k])
        })
    }

    /// One of them by how often it happens, as bad as it is when it is noticed; now and then something that no list holds, which
    /// acts as any cause of its circuit might.
    pub fn draw(&self, chance: &mut Chance) -> Fault {
        let whole: f64 = self.ways.iter().map(|way| way.rate[1]).sum();
        let mut left = chance.uniform() * whole;
        let drawn = self.ways.iter().find(|way| {
            left -= way.rate[1];
            left < 0.0
        });
        let drawn = drawn.unwrap_or(&self.ways[0]);
        let unlisted = chance.uniform() < UNLISTED / (1.0 + UNLISTED);
        match drawn.cause.circuit.filter(|_| unlisted) {
            Some(circuit) => {
                let alike: Vec<&Way> = self.ways.iter().filter(|way| way.cause.circuit == Some(circuit)).collect();
                alike[chance.below(alike.len())].happens(What::Else(circuit), chance)
            }
            None => drawn.happens(drawn.cause.what, chance),
        }
    }
}

impl Way {
    fn happens(&self, what: What, chance: &mut Chance) -> Fault {
        let sign = if chance.uniform() < 0.5 { 1.0 } else { -1.0 };
        Fault {
            what,
            acts: self.cause.what,
            circuit: self.cause.circuit,
            severity: severity(self.severity, chance),
            graded: self.severity != Severity::Whole,
            moves: self.cause.moves.clone(),
            goes: (0..self.cause.moves.len())
                .map(|k| if k == 0 { 1.0 } else { 1.0 + APART * chance.normal() })
                .collect(),
            misreads: self.misreads,
            lies_by: sign * LIES_UP_TO * chance.uniform(),
        }
    }
}

/// Whether nothing passes through a part at cruise, sound or with the cause nearly at its worst.
fn stands_by(model: &mut Model, cause: &Hypothesis) -> bool {
    let What::Cause(Named::Part(part), _) = cause.what else { return false };
    let first = model.layout.first_flow();
    let flows: Vec<usize> = model.plant[part].flows.iter().flatten().map(|flow| first + flow.0).collect();
    if flows.is_empty() {
        return false;
    }
    let at = point::told(&model.plant, &ToldPoint::default()).0;
    let worse = worsen(&model.figures, &cause.moves, 0.9);
    [model.figures.clone(), worse].iter().all(|figures| {
        let still = |state: State| flows.iter().all(|flow| state.x[*flow].abs() < STILL);
        model.solve(figures, &at, None).is_ok_and(still)
    })
}

/// Figures with a cause as bad as this [SI].
fn worsen(figures: &[f64], moves: &[(usize, By)], s: f64) -> Vec<f64> {
    let mut worse = figures.to_vec();
    // A way blocked over this share of its width resists as the fourth power of what is left of that.
    let shut = |share: f64| (1.0 - share * s).powi(-4);
    for &(place, by) in moves {
        let was = worse[place];
        worse[place] = match by {
            By::Factor(most) => was * most.powf(s),
            By::Blocked => was * shut(0.98),
            By::Choked(share) => was * shut(share),
            By::Lost => was * (1.0 - 0.999 * s),
            By::Add(most) => was + most * s,
            By::Towards(end) => was * (1.0 - s) + end * s,
        };
    }
    worse
}

/// How bad a fault is when somebody notices: the worse, the surer it is noticed, so that of even faults the worse of two is
/// seen.
pub fn severity(spread: Severity, chance: &mut Chance) -> f64 {
    let mut worst_of = |count: usize| (0..count).map(|_| chance.uniform()).fold(0.0, f64::max);
    match spread {
        Severity::Even => worst_of(2),
        Severity::MostlyBad => worst_of(4),
        Severity::NearlyShut => worst_of(10),
        Severity::Whole => 1.0,
        // Slight ones are common and hardly noticed: the middle one of three.
        Severity::MostlySlight => {
            let mut three = [chance.uniform(), chance.uniform(), chance.uniform()];
            three.sort_by(f64::total_cmp);
            three[1]
        }
    }
}

impl Fault {
    /// Figures of a vessel with this wrong [SI].
    pub fn worsen(&self, figures: &[f64]) -> Vec<f64> {
        let mut worse = worsen(figures, &self.moves, self.severity);
        for ((place, _), goes) in self.moves.iter().zip(&self.goes) {
            // However far apart, none goes the other way.
            worse[*place] = figures[*place] + (worse[*place] - figures[*place]) * goes.max(0.0);
        }
        worse
    }

    /// How bad it is, or how far a gauge lies as a share of how far it may [0 to 1].
    pub fn bad(&self) -> f64 {
        if self.lies_more_or_less() { self.lies_by.abs() / LIES_UP_TO } else { self.severity }
    }

    /// Makes it so bad, or the gauge lie so far.
    pub fn set_bad(&mut self, bad: f64) {
        if self.graded {
            self.severity = bad;
        }
        self.lies_by = self.lies_by.signum() * LIES_UP_TO * bad;
    }

    /// Whether there is more or less of it.
    pub fn is_graded(&self) -> bool {
        self.graded || self.lies_more_or_less()
    }

    fn lies_more_or_less(&self) -> bool {
        use Misreads::{Either, High, Low, Resistance, Undervoltage};
        matches!(self.misreads, Some(High | Low | Either | Resistance | Undervoltage))
    }

    /// Whether it does anything to the plant, or to one of these dials.
    pub fn acts_on(&self, plant: &Plant, gauges: &[GaugeId]) -> bool {
        !self.moves.is_empty() || gauges.iter().any(|g| self.on_gauge(plant, *g).is_some())
    }

    /// Makes gauges lie [SI].
    pub fn falsify(&self, plant: &Plant, indicated: &mut [f64]) {
        for g in dials(plant) {
            let (low, high) = plant[g].scale;
            let by = self.lies_by.abs() * (high - low);
            let shown = &mut indicated[g.0];
            match self.on_gauge(plant, g) {
                Some(Misreads::High) => *shown += by,
                Some(Misreads::Low) => *shown -= by,
                // On one bad contact a sender whose resistance rises goes one way and one whose falls the other.
                Some(Misreads::Either) if plant[g].chain.sends == Sends::Rising => *shown += by * self.lies_by.signum(),
                Some(Misreads::Either) => *shown -= by * self.lies_by.signum(),
                Some(Misreads::LowStop) => *shown = low,
                Some(Misreads::HighStop) => *shown = high,
                _ => {}
            }
        }
    }

    /// What it comes to on a dial that it reaches: its own, or any that has the failing sender, ground, plug or supply in its
    /// chain.
    fn on_gauge(&self, plant: &Plant, gauge: GaugeId) -> Option<Misreads> {
        let What::Cause(named, _) = self.acts else { return None };
        let chain = &plant[gauge].chain;
        let reached = match named {
            Named::Gauge(own) => own == gauge,
            Named::Part(part) => chain.members().any(|member| member == part),
        };
        self.misreads.filter(|_| reached)?.on_gauge(chain.sends, chain.head)
    }
}
