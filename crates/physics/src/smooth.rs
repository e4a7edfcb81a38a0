//! Corners rounded off, so that every law keeps a finite slope: at rest, at a limit, at equality.

use crate::number::Number;

/// x·|x| with a finite slope at rest; `small` is in the unit of `x` and above 0.
#[inline]
pub fn signed_square<N: Number>(x: N, small: f64) -> N {
    let re = x.re();
    let root = (re * re + small * small).sqrt();
    x.chain(re * root, root + re * re / root)
}

/// Root of |x| with the sign of x; straight within `small` (unit of `x`, above 0) of zero.
#[inline]
pub fn signed_root<N: Number>(x: N, small: f64) -> N {
    let re = x.re();
    let square = re * re + small * small;
    let value = re / square.sqrt().sqrt();
    x.chain(value, (1.0 - 0.5 * re * re / square) / square.sqrt().sqrt())
}

/// Magnitude, never below half its `width` (unit of `x`, above 0) times two.
#[inline]
pub fn magnitude<N: Number>(x: N, width: f64) -> N {
    let root = (x.re() * x.re() + width * width).sqrt();
    x.chain(root, x.re() / root)
}

/// x where positive, 0 where negative; the corner is `width` (unit of `x`, above 0) wide and always above 0.
#[inline]
pub fn positive_part<N: Number>(x: N, width: f64) -> N {
    let re = x.re();
    let root = (re * re + width * width).sqrt();
    // Both branches are the same number; the plain one would cancel far below zero.
    let value = if re >= 0.0 { 0.5 * (re + root) } else { 0.5 * width * width / (root - re) };
    x.chain(value, value / root)
}

/// The greater of two, the corner `width` wide.
#[inline]
pub fn smooth_max<N: Number>(a: N, b: N, width: f64) -> N {
    b + positive_part(a - b, width)
}

/// The lesser of two, the corner `width` wide.
#[inline]
pub fn smooth_min<N: Number>(a: N, b: N, width: f64) -> N {
    a - positive_part(a - b, width)
}

/// x itself between two limits; outside it bends off and never gets farther than `width` (unit of `x`) beyond.
#[inline]
pub fn within<N: Number>(x: N, low: f64, high: f64, width: f64) -> N {
    if x.re() < low {
        ((x - low) / width).tanh() * width + low
    } else if x.re() > high {
        ((x - high) / width).tanh() * width + high
    } else {
        x
    }
}

/// 0 well below zero, 1 well above, half at zero.
#[inline]
pub fn step<N: Number>(x: N, width: f64) -> N {
    ((x / width).tanh() + 1.0) * 0.5
}

/// 0 at `low` and before, 1 at `high` and after, a cubic between them: exact outside, slope without a jump.
#[inline]
pub fn ramp<N: Number>(x: N, low: f64, high: f64) -> N {
    if x.re() <= low {
        N::zero()
    } else if x.re() >= high {
        N::one()
    } else {
        let s = (x - low) / (high - low);
        s * s * (-(s * 2.0) + 3.0)
    }
}

/// `width`·ln(1 + e^(x/width)): as [`positive_part`], dying away faster below zero.
#[inline]
pub fn softplus<N: Number>(x: N, width: f64) -> N {
    let z = x.re() / width;
    // Whichever side, only e^(-|z|) is formed, so nothing overflows.
    let tail = (-z.abs()).exp();
    let slope = if z >= 0.0 { 1.0 / (1.0 + tail) } else { tail / (1.0 + tail) };
    x.chain(width * (z.max(0.0) + tail.ln_1p()), slope)
}

/// (1 − e^−z)/z, which is 1 at z = 0.
#[inline]
pub fn one_minus_exp_over<N: Number>(z: N) -> N {
    let x = z.re();
    if x.abs() < 1e-3 {
        let value = 1.0 - x / 2.0 * (1.0 - x / 3.0 * (1.0 - x / 4.0 * (1.0 - x / 5.0)));
        let slope = -0.5 + x / 3.0 - x * x / 8.0 + x * x * x / 30.0;
        return z.chain(value, slope);
    }
    // Beyond e^700 the slopes of a double are gone; a negative z that far is no longer physics.
    let x = x.max(-600.0);
    let value = -(-x).exp_m1() / x;
    z.chain(value, ((-x).exp() - value) / x)
}

/// ln(1 + y)/y for y above −1, which is 1 at y = 0.
#[inline]
pub fn ln_one_plus_over<N: Number>(y: N) -> N {
    let x = y.re();
    if x.abs() < 1e-3 {
        let value = 1.0 - x / 2.0 + x * x / 3.0 - x * x * x / 4.0 + x * x * x * x / 5.0;
        let slope = -0.5 + 2.0 * x / 3.0 - 3.0 * x * x / 4.0 + 4.0 * x * x * x / 5.0;
        return y.chain(value, slope);
    }
    let value = x.ln_1p() / x;
    y.chain(value, (1.0 / (1.0 + x) - value) / x)
}

/// c0 + x·(c1 + x·(c2 + …)), by Horner's rule.
#[inline]
pub fn polynomial<N: Number, const COUNT: usize>(x: N, coefficients: &[f64; COUNT]) -> N {
    let (re, mut value, mut slope) = (x.re(), 0.0, 0.0);
    for coefficient in coefficients.iter().rev() {
        slope = slope * re + value;
        value = value * re + coefficient;
    }
    x.chain(value, slope)
}

/// The integral of [`polynomial`] from 0 to x: c0·x + c1·x²/2 + …
#[inline]
pub fn integral<N: Number, const COUNT: usize>(x: N, coefficients: &[f64; COUNT]) -> N {
    let (re, mut value, mut slope) = (x.re(), 0.0, 0.0);
    for (power, coefficient) in coefficients.iter().enumerate().rev() {
        value = value * re + coefficient / (power as f64 + 1.0);
        slope = slope * re + coefficient;
    }
    x.chain(value * re, slope)
}
