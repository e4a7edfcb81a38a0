//! How far to go along a direction: limits, bounds and sufficient decrease.
//!
//! Everything here is in scaled form: gaps in gap sizes, steps in unknown sizes.

use crate::{Options, Steps, System};

/// A step may take this share of the way to a bound, so that no unknown is glued to it by one bad step.
const TO_BOUND: f64 = 0.95;
/// Share of the promised decrease that must come true (the usual choice).
const SUFFICIENT: f64 = 1e-4;
/// Share of a step's length by which the next one must be shorter, where the gaps do not tell `[Deuflhard2004]`.
const NEARER: f64 = 0.25;
/// Shorter than this a direction is not worth following; a damped one is better.
const SHORTEST: f64 = 1.0 / 64.0;

/// The system next to the present values.
#[derive(Default)]
pub(crate) struct Local {
    pub(crate) gaps: Vec<f64>,
    pub(crate) slopes: Vec<f64>,
    /// Half the sum of squared gaps.
    pub(crate) merit: f64,
}

/// Where a step would lead from the present values, and no further than this.
#[derive(Copy, Clone)]
pub(crate) struct Ahead<'a> {
    pub(crate) local: &'a Local,
    pub(crate) direction: &'a [f64],
    pub(crate) max_step: f64,
    pub(crate) steps: Steps,
}

/// Work space of the searches.
pub(crate) struct Search {
    step: Vec<f64>,
    x: Vec<f64>,
    gaps: Vec<f64>,
    image: Vec<f64>,
}

impl Search {
    pub(crate) fn new(n: usize) -> Search {
        Search { step: vec![0.0; n], x: vec![0.0; n], gaps: vec![0.0; n], image: vec![0.0; n] }
    }

    /// Moves `x` along Newton's direction as far as the gaps fall well below `reference`, or, where steps are brisk, as what
    /// is left to go by the factors at hand (`correct`) falls; shortens the step if neither does.
    ///
    /// # Source
    /// Armijo's condition against the worst of the last few merits `[Grippo1986]`, or the natural monotonicity test
    /// `[Deuflhard2004]`.
    pub(crate) fn along<S: System + ?Sized>(
        &mut self,
        system: &S,
        x: &mut [f64],
        ahead: &Ahead,
        reference: f64,
        mut correct: impl FnMut(&mut [f64]),
    ) -> bool {
        let descent = self.prepare(system, x, ahead);
        let mut t = 1.0;
        while descent < 0.0 && t >= SHORTEST {
            let merit = self.merit_at(system, x, t);
            if merit <= reference + SUFFICIENT * t * descent
                || ahead.steps == Steps::Brisk && self.nearer(system, ahead.direction, t, &mut correct)
            {
                x.copy_from_slice(&self.x);
                return true;
            }
            // Lowest point of the parabola through what is known; NaN (no gap there) falls to the shortest.
            let parabola = -descent * t * t / (2.0 * (merit - ahead.local.merit - descent * t));
            t = parabola.max(0.1 * t).min(0.5 * t);
        }
        false
    }

    /// Whether the trial point is nearer the solution by what Newton's method would go from there with the factors at hand.
    fn nearer<S: System + ?Sized>(
        &mut self,
        system: &S,
        direction: &[f64],
        t: f64,
        correct: &mut impl FnMut(&mut [f64]),
    ) -> bool {
        let length = |step: &[f64]| step.iter().map(|part| part * part).sum::<f64>().sqrt();
        self.correction(system, correct);
        // NaN is not nearer.
        length(&self.image) <= length(direction) - NEARER * t * length(&self.step)
    }

    /// What Newton's method would go from the trial point with the factors at hand [unknown sizes], left in `image`.
    fn correction<S: System + ?Sized>(&mut self, system: &S, correct: &mut impl FnMut(&mut [f64])) {
        self.image.iter_mut().zip(&self.gaps).zip(system.gap_sizes()).for_each(|((to, gap), size)| *to = gap * size);
        correct(&mut self.image);
        self.image.iter_mut().zip(system.sizes()).for_each(|(step, size)| *step /= size);
    }

    /// Whether the trial point is a solution: its gaps are within tolerance, and so is what is left to go by the factors at
    /// hand.
    pub(crate) fn arrived<S: System + ?Sized>(
        &mut self,
        system: &S,
        options: &Options,
        mut correct: impl FnMut(&mut [f64]),
    ) -> bool {
        if self.worst_gap() > options.tolerance {
            return false;
        }
        self.correction(system, &mut correct);
        largest(&self.image) <= options.step_tolerance
    }

    /// Largest gap at the trial point [gap sizes].
    pub(crate) fn worst_gap(&self) -> f64 {
        largest(&self.gaps)
    }

    /// Moves `x` by the whole of a step if that lowers the merit; tells the new merit.
    pub(crate) fn whole<S: System + ?Sized>(&mut self, system: &S, x: &mut [f64], ahead: &Ahead) -> Option<f64> {
        let descent = self.prepare(system, x, ahead);
        let merit = self.merit_at(system, x, 1.0);
        let better = descent < 0.0 && merit <= ahead.local.merit + SUFFICIENT * descent;
        better.then(|| x.copy_from_slice(&self.x)).map(|()| merit)
    }

    /// Whether every gap is no larger than the rounding of its own terms.
    pub(crate) fn at_round_off<S: System + ?Sized>(&mut self, system: &S, x: &[f64], local: &Local) -> bool {
        self.image.fill(0.0);
        for (&(equation, unknown), slope) in system.pattern().iter().zip(&local.slopes) {
            self.image[equation] += (slope * x[unknown] / system.sizes()[unknown]).abs();
        }
        local.gaps.iter().zip(&self.image).all(|(gap, terms)| gap.abs() <= 4.0 * f64::EPSILON * terms)
    }

    /// Cuts the direction to the limits and gives the slope of the merit along what is left.
    fn prepare<S: System + ?Sized>(&mut self, system: &S, x: &[f64], ahead: &Ahead) -> f64 {
        let Ahead { local, direction, max_step, .. } = *ahead;
        let shrink = (max_step / largest(direction)).min(1.0);
        let room = |j: usize, step: f64| {
            let (low, high) = system.bounds()[j];
            let distance = if step < 0.0 { x[j] - low } else { high - x[j] };
            TO_BOUND * distance.max(0.0) / system.sizes()[j]
        };
        for (j, step) in self.step.iter_mut().enumerate() {
            let wanted = direction[j] * shrink;
            *step = wanted.signum() * wanted.abs().min(room(j, wanted));
        }
        let descent = self.descent(system, local);
        if descent < 0.0 {
            return descent;
        }
        // Cutting single unknowns turned the step uphill; keep its direction instead.
        let share = (0..x.len()).map(|j| room(j, direction[j]) / (direction[j] * shrink).abs()).fold(1.0, f64::min);
        self.step.iter_mut().zip(direction).for_each(|(step, wanted)| *step = wanted * shrink * share);
        self.descent(system, local)
    }

    fn descent<S: System + ?Sized>(&mut self, system: &S, local: &Local) -> f64 {
        self.image.fill(0.0);
        for (&(equation, unknown), slope) in system.pattern().iter().zip(&local.slopes) {
            self.image[equation] += slope * self.step[unknown];
        }
        self.image.iter().zip(&local.gaps).map(|(image, gap)| image * gap).sum()
    }

    fn merit_at<S: System + ?Sized>(&mut self, system: &S, x: &[f64], t: f64) -> f64 {
        for (j, trial) in self.x.iter_mut().enumerate() {
            *trial = x[j] + t * self.step[j] * system.sizes()[j];
        }
        keep_inside(&mut self.x, system.bounds()); // rounding may have crossed
        system.gaps(&self.x, &mut self.gaps);
        self.gaps.iter_mut().zip(system.gap_sizes()).for_each(|(gap, size)| *gap /= size);
        merit(&self.gaps)
    }
}

pub(crate) fn merit(gaps: &[f64]) -> f64 {
    0.5 * gaps.iter().map(|gap| gap * gap).sum::<f64>()
}

pub(crate) fn largest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |largest, value| largest.max(value.abs()))
}

/// Moves every value that lies outside onto its bound; leaves NaN alone, to be found out later.
pub(crate) fn keep_inside(x: &mut [f64], bounds: &[(f64, f64)]) {
    for (x, &(low, high)) in x.iter_mut().zip(bounds) {
        if *x < low {
            *x = low;
        } else if *x > high {
            *x = high;
        }
    }
}
