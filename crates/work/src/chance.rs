//! Draws that come from a number, so that the same input gives the same answer.

/// A row of draws.
pub(crate) struct Chance(u64);

impl Chance {
    /// Begins at a number.
    pub fn new(seed: u64) -> Chance {
        Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0xD1B5_4A32_D192_ED03)
    }

    /// Even between 0 and 1, neither of them.
    ///
    /// # Source
    /// SplitMix64, `[Steele2014]`.
    pub fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        ((z >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// From the normal law, mean 0 and deviation 1 (Box and Muller).
    pub fn normal(&mut self) -> f64 {
        let (u, v) = (self.even(), self.even());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }

    /// From the gamma law of this shape and scale 1.
    ///
    /// # Source
    /// `[Marsaglia2000]`, with the power of an even draw for shapes below 1.
    pub fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            let lift = self.even().powf(1.0 / shape.max(1e-9));
            return self.gamma(shape + 1.0) * lift;
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let v = (1.0 + c * x).powi(3);
            if v > 0.0 && self.even().ln() < 0.5 * x * x + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }
}

/// The value below which this share of sorted values lies; the values must be sorted and at least one.
pub(crate) fn quantile(sorted: &[f64], share: f64) -> f64 {
    let place = share * (sorted.len() - 1) as f64;
    let (low, part) = (place.floor() as usize, place.fract());
    let high = (low + 1).min(sorted.len() - 1);
    sorted[low] + part * (sorted[high] - sorted[low])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn draws_have_the_mean_and_the_variance_of_their_laws() {
        // Mean and variance of the gamma law of scale 1 are its shape: any textbook.
        for shape in [0.2, 1.0, 7.5] {
            let mut chance = Chance::new(3);
            let draws: Vec<f64> = (0..40_000).map(|_| chance.gamma(shape)).collect();
            let mean = draws.iter().sum::<f64>() / 40_000.0;
            let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 40_000.0;
            assert!(
                (mean / shape - 1.0).abs() < 0.03 && (variance / shape - 1.0).abs() < 0.08,
                "{shape}: {mean} {variance}"
            );
        }
        let mut chance = Chance::new(4);
        let draws: Vec<f64> = (0..40_000).map(|_| chance.normal()).collect();
        let mean = draws.iter().sum::<f64>() / 40_000.0;
        let beyond = draws.iter().filter(|x| x.abs() > 1.96).count() as f64 / 40_000.0;
        assert!(mean.abs() < 0.02 && (beyond - 0.05).abs() < 0.005, "{mean} {beyond}");
    }
}
