//! The needle of an injector: a spring against the fuel.

use std::f64::consts::PI;

/// A needle held shut by a spring.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Needle {
    /// Diameter of its guide [m].
    pub guide: f64,
    /// Diameter of its seat [m], smaller than the guide.
    pub seat: f64,
}

impl Needle {
    /// Area that the fuel lifts while it is shut [m²]: the ring between seat and guide.
    pub fn lifting(&self) -> f64 {
        PI / 4.0 * (self.guide * self.guide - self.seat * self.seat)
    }

    /// Pressure [Pa] at which it opens under a spring of that `rate` [N/m] pressed by `preload` [m].
    ///
    /// # Source
    /// Balance of spring and pressure, as of any spring-loaded valve, `[Esposito7]` ex. 8.1.
    pub fn opens(&self, rate: f64, preload: f64) -> f64 {
        rate * preload / self.lifting()
    }

    /// Pressure at which it shuts again over that at which it opens [1]: open, the fuel lifts all of the guide.
    ///
    /// # Source
    /// As [`Needle::opens`]; the little that the spring gives by the lift is left out.
    pub fn shuts_at(&self) -> f64 {
        self.lifting() / (PI / 4.0 * self.guide * self.guide)
    }
}
