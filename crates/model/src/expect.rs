//! What every gauge ought to read, with the band that 95 of 100 sound plants like this one would read in.

use crate::fit::{Fit, Observed, Run, Seen};
use crate::likeness::Likeness;
use crate::march::Unsteady;
use crate::point;
use crate::scores::Scores;
use crate::sensitivity::Slopes;
use crate::steady::{Model, State, Unsolved};
use crate::under::Under;
use crate::warmth::Warmth;
use measure::figure::{Spread, normal_below};
use measure::quantity::Quantity;
use measure::reading::ReadingText;
use parts::laws::Point;
use plant::evidence::{Evidence, Moment, ToldPoint};
use plant::plant::{GaugeId, Plant};

/// Expected readings at one operating point.
#[derive(Clone, Debug)]
pub struct Expected {
    /// Operating point [SI].
    pub point: Point<f64>,
    /// Best state.
    pub state: State,
    /// Parameters it rests on [SI].
    pub parameters: Vec<f64>,
    /// One for each gauge of the plant.
    pub bands: Vec<Band>,
    /// Why it cannot last, if it cannot.
    pub unsteady: Option<Unsteady>,
    /// How far from what such plants read a whole set of readings lies.
    pub likeness: Likeness,
    /// What narrowing the spread of each figure to nothing would do: (parameter, mean share of band width it causes).
    pub widest: Vec<(usize, f64)>,
}

/// A gauge's expected value and band.
#[derive(Copy, Clone, Debug)]
pub struct Band {
    /// Which gauge.
    pub gauge: GaugeId,
    /// Most likely reading [SI; pressures over the atmosphere].
    pub value: f64,
    /// 2.5 % of readings lie below [SI].
    pub low: f64,
    /// 2.5 % lie above [SI].
    pub high: f64,
    /// One standard deviation below and above, for what lies far out [SI]: as the ends of the band say, or more where draws
    /// lie further out than a normal's would. Where a valve may be shut or a regulator may hold, they do.
    sigma: [f64; 2],
}

impl Band {
    /// How far a reading [SI] is off, by how far draws lie out on that side [standard deviations].
    pub fn off(&self, reading: f64) -> f64 {
        let [below, above] = self.sigma;
        let side = if reading > self.value { above } else { below };
        (reading - self.value) / side.max(f64::MIN_POSITIVE)
    }
}

/// Places from the outside by which a side is measured; the outermost draw of all is chance, and the last is the band's end.
const OUTERMOST: [usize; 5] = [2, 3, 5, 8, 12];

/// One standard deviation of draws on one side of a value: the most that any of their outermost tells, `outwards` the
/// outermost first and each told by how far out it is [same unit].
fn side(outwards: impl Fn(usize) -> f64, count: usize) -> f64 {
    let each = OUTERMOST.iter().filter(|place| **place <= count);
    // The k-th of n draws has k/(n + 1) of all beyond it.
    each.map(|place| outwards(*place) / normal_score(*place as f64 / (count as f64 + 1.0))).fold(0.0, f64::max)
}

/// How far from the middle of a unit normal it is that this share, less than half, lies beyond [1].
fn normal_score(share: f64) -> f64 {
    let (mut low, mut high) = (0.0, 10.0);
    while high - low > 1e-9 {
        let middle = 0.5 * (low + high);
        if normal_below(-middle) > share { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Draws behind a band: enough that its ends are good to a tenth of its width.
pub const DRAWS: usize = 480;

/// One standard deviation of what the model itself gets wrong for a gauge [SI].
///
/// From memory: 1 K and 1.5 % of a temperature's distance from 15 °C, 3 % and 0.8 kPa of a pressure, 0.3 % of a speed,
/// 50 mV, half an ampere and 3 % of a current, 3 % of anything else.
pub fn discrepancy(quantity: Quantity, value: f64) -> f64 {
    match quantity {
        Quantity::Temperature => 1.0 + 0.015 * (value - 288.15).abs(),
        Quantity::GaugePressure | Quantity::PressureDifference | Quantity::Pressure => 800.0 + 0.03 * value.abs(),
        Quantity::RotationalSpeed => 0.3 + 0.003 * value.abs(),
        Quantity::Voltage => 0.05,
        // What is switched on changes from minute to minute.
        Quantity::Current => 0.5 + 0.03 * value.abs(),
        Quantity::VolumeFlow => 0.03 * value.abs() + 1e-6,
        _ => 0.03 * value.abs() + 1e-3,
    }
}

/// Sums up what was read on occasions when all was well.
pub fn usual(plant: &Plant, evidence: &Evidence) -> Seen {
    let mut seen = Seen::default();
    for occasion in evidence.occasions.iter().filter(|o| o.when != Moment::Now) {
        let (point, spread) = point::told(plant, &occasion.at);
        let run = seen.runs.len();
        seen.runs.push(Run { point, spread, warmth: Warmth::told(&occasion.at), troubled: false });
        for (gauge, text) in &occasion.readings {
            if let ReadingText::Value { value, rough, .. } = text
                && plant[*gauge].trips.is_none()
            {
                let noise = reading_noise(plant, *gauge, *value, *rough);
                seen.observed.push(Observed { terms: vec![(run, *gauge, 1.0)], value: *value, noise });
            }
        }
    }
    seen
}

/// Share of the variance of the model's own error that is the same on every occasion; from memory.
pub const LASTING_SHARE: f64 = 0.75;

/// Flicker, reading error and what of the model's own error changes from occasion to occasion, together [SI].
pub fn reading_noise(plant: &Plant, gauge: GaugeId, value: f64, rough: bool) -> f64 {
    let g = &plant[gauge];
    let model = discrepancy(g.quantity, value);
    (g.noise * g.noise + (1.0 - LASTING_SHARE) * model * model).sqrt() * if rough { 2.5 } else { 1.0 }
}

impl Model {
    /// What every gauge ought to read at this operating point, given readings from when all was well.
    ///
    /// # Errors
    /// [`Unsolved`] when the plant has no state there.
    pub fn expect(&mut self, at: &ToldPoint, usual: &Seen) -> Result<Expected, Unsolved> {
        let (told, spread) = point::told(&self.plant, at);
        let mut seen = usual.clone();
        seen.runs.push(Run { point: told, spread, warmth: Warmth::Settled, troubled: false });
        let now = seen.runs.len() - 1;
        let fit = self.fit(&seen, &Under::default(), None, 12)?;
        let scores = Scores::of(self, seen.runs.len());
        let state = fit.states[now].clone();
        let parameters = scores.parameters(self, fit.scores.as_slice());
        let draws = self.draws(&seen, &fit, &scores, now)?;
        let bands: Vec<Band> =
            (0..self.plant.gauges.len()).map(|g| self.band(GaugeId(g), &state, &draws, &fit, &scores)).collect();
        let noise: Vec<f64> =
            bands.iter().map(|band| reading_noise(&self.plant, band.gauge, band.value, false)).collect();
        let likeness = Likeness::of(&draws, &noise);
        let unsteady = self.unsteady(&state);
        let widest = self.widest(&parameters, &state, &scores);
        Ok(Expected { point: state.point, parameters, bands, unsteady, likeness, widest, state })
    }

    /// Readings without flicker of plants drawn from what is believed, one row a draw.
    fn draws(&mut self, seen: &Seen, fit: &Fit, scores: &Scores, now: usize) -> Result<Vec<Vec<f64>>, Unsolved> {
        let count = scores.len() + seen.observed.len();
        let mut rows = Vec::with_capacity(DRAWS);
        let mut failed = 0;
        let bends = self.bends(seen, scores, fit);
        for normals in matched_normals(DRAWS, count) {
            let mut u = fit.draw(seen, &normals);
            for bend in &bends {
                bend.take(fit, &mut u);
            }
            let parameters = scores.parameters(self, u.as_slice());
            let at = scores.point(now, &seen.runs[now], u.as_slice());
            let Ok(state) = self.solve(&parameters, &at, Some(&fit.states[now])) else {
                failed += 1;
                continue;
            };
            let row = (0..self.plant.gauges.len())
                .map(|g| {
                    let gauge = GaugeId(g);
                    self.read(&state, self.plant[gauge].tap) + self.lasting(gauge) * scores.off(gauge, u.as_slice())
                })
                .collect();
            rows.push(row);
        }
        if failed * 20 > DRAWS {
            return Err(Unsolved::NotSolved(format!("{failed} of {DRAWS} plants like this one have no state here")));
        }
        Ok(rows)
    }

    fn band(&self, gauge: GaugeId, state: &State, draws: &[Vec<f64>], fit: &Fit, scores: &Scores) -> Band {
        let value =
            self.read(state, self.plant[gauge].tap) + self.lasting(gauge) * scores.off(gauge, fit.scores.as_slice());
        let noise = reading_noise(&self.plant, gauge, value, false);
        let mut readings: Vec<f64> = draws
            .iter()
            .enumerate()
            .map(|(draw, row)| row[gauge.0] + noise * quasi_normal(draw, scores.len() + 1_000 + gauge.0))
            .collect();
        readings.sort_by(f64::total_cmp);
        let count = readings.len();
        let sigma = [side(|k| value - readings[k - 1], count), side(|k| readings[count - k] - value, count)];
        Band { gauge, value, low: quantile(&readings, 0.025), high: quantile(&readings, 0.975), sigma }
    }

    /// One standard deviation of what each gauge would read on plants like this one, none of which was read yet, to
    /// first order; nothing where slopes cannot be had [SI].
    pub fn spread(&mut self, told: &ToldPoint, state: &State) -> Option<Vec<f64>> {
        let (_, at) = point::told(&self.plant, told);
        let (parameters, scores) = (self.figures.clone(), Scores::of(self, 0));
        let taps: Vec<_> = self.plant.gauges.iter().map(|g| g.tap).collect();
        let slopes = self.slopes(&parameters, state, &taps).ok()?;
        let each = slopes.iter().zip(self.plant.gauge_ids()).map(|(row, gauge)| {
            let figures: f64 = shares(row, &parameters, &scores).iter().sum();
            let point: f64 = row.point.iter().zip(&at.0).map(|(slope, sigma)| (slope * sigma).powi(2)).sum();
            let noise = reading_noise(&self.plant, gauge, self.read(state, self.plant[gauge].tap), false);
            (figures + point + noise.powi(2) + self.lasting(gauge).powi(2)).sqrt()
        });
        Some(each.collect())
    }

    /// Which figures make the bands wide.
    fn widest(&mut self, parameters: &[f64], state: &State, scores: &Scores) -> Vec<(usize, f64)> {
        let taps: Vec<_> = self.plant.gauges.iter().map(|g| g.tap).collect();
        let Ok(slopes) = self.slopes(parameters, state, &taps) else { return Vec::new() };
        let mut shares = vec![0.0; scores.figures.len()];
        for row in &slopes {
            let parts = self::shares(row, parameters, scores);
            let whole: f64 = parts.iter().sum::<f64>().max(1e-30);
            for (share, part) in shares.iter_mut().zip(&parts) {
                *share += part / whole / slopes.len() as f64;
            }
        }
        let mut ranked: Vec<(usize, f64)> = scores.figures.iter().map(|f| f.0).zip(shares).collect();
        ranked.sort_by(|a, b| b.1.total_cmp(&a.1));
        ranked
    }
}

/// What the spread of each uncertain figure gives to the variance of a reading.
fn shares(row: &Slopes, parameters: &[f64], scores: &Scores) -> Vec<f64> {
    let share = |(place, spread): &(usize, Spread)| {
        let turn = if spread.is_factor() { parameters[*place] } else { 1.0 } * spread.sigma();
        (row.parameters[*place] * turn).powi(2)
    };
    scores.figures.iter().map(share).collect()
}

fn quantile(sorted: &[f64], share: f64) -> f64 {
    // The k-th of n draws has k/(n + 1) of all readings below it, so ends taken so hold what they promise.
    let place = (share * (sorted.len() as f64 + 1.0) - 1.0).clamp(0.0, sorted.len() as f64 - 1.0);
    let low = place.floor() as usize;
    let high = (low + 1).min(sorted.len() - 1);
    sorted[low] + (sorted[high] - sorted[low]) * (place - low as f64)
}

/// Unit normals, one row a draw, of which every column has no mean and a spread of exactly one: with a few hundred draws
/// chance else makes whole bands some per cent too wide or too narrow.
fn matched_normals(draws: usize, dimensions: usize) -> Vec<Vec<f64>> {
    let mut rows: Vec<Vec<f64>> =
        (0..draws).map(|draw| (0..dimensions).map(|k| quasi_normal(draw, k)).collect()).collect();
    for k in 0..dimensions {
        let mean = rows.iter().map(|row| row[k]).sum::<f64>() / draws as f64;
        let spread = (rows.iter().map(|row| (row[k] - mean).powi(2)).sum::<f64>() / draws as f64).sqrt();
        for row in &mut rows {
            row[k] = (row[k] - mean) / spread;
        }
    }
    rows
}

/// A unit normal for draw and dimension, the same each time: a hash (SplitMix64), then Box–Muller.
pub fn quasi_normal(draw: usize, dimension: usize) -> f64 {
    let mut state = (draw as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15)
        ^ (dimension as u64 + 1).wrapping_mul(0xD1B5_4A32_D192_ED03);
    let mut uniform = || {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    };
    let (a, b) = (uniform().max(1e-12), uniform());
    (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::figure::SIGMAS_TO_95;

    fn of(readings: &mut [f64]) -> [f64; 2] {
        readings.sort_by(f64::total_cmp);
        let count = readings.len();
        [side(|k| -readings[k - 1], count), side(|k| readings[count - k], count)]
    }

    #[test]
    fn a_normal_is_as_wide_as_it_is_and_a_far_few_widen_their_side() {
        assert!((normal_score(0.025) - SIGMAS_TO_95).abs() < 1e-6);
        // The scores themselves: each draw where the k-th of so many belongs.
        let n = DRAWS as f64 + 1.0;
        let score = |k: usize| {
            let share = k as f64 / n;
            if share < 0.5 { -normal_score(share) } else { normal_score(1.0 - share) }
        };
        let mut normal: Vec<f64> = (1..=DRAWS).map(score).collect();
        let [below, above] = of(&mut normal);
        assert!((below - 1.0).abs() < 1e-6 && (above - 1.0).abs() < 1e-6);
        // One plant in a hundred reads twenty out, above.
        normal[..5].fill(20.0);
        let [below, above] = of(&mut normal);
        assert!(below < 1.05 && (7.0..9.0).contains(&above), "{below} {above}");
    }
}
