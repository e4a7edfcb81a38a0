//! The one bound of every law: a real number that may carry its slopes along.

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, DivAssign, Mul, MulAssign, Neg, Sub, SubAssign};

/// A real number: plain `f64`, or [`Dual`] when slopes are wanted as well.
///
/// Literals stand on the right (`t * 2.0`), branches look at [`Number::re`] only.
pub trait Number:
    Copy
    + Debug
    + Send
    + Sync
    + 'static
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
    + MulAssign
    + DivAssign
    + AddAssign<f64>
    + SubAssign<f64>
    + MulAssign<f64>
    + DivAssign<f64>
{
    /// A number that does not move: all its slopes are zero.
    fn constant(value: f64) -> Self;

    /// The plain value, without slopes.
    fn re(&self) -> f64;

    /// A function of `self` whose value and slope at `self` are already known.
    ///
    /// The one place where the chain rule is applied to a function of one argument.
    fn chain(self, value: f64, slope: f64) -> Self;

    /// A function of `self` alone, given twice: in plain numbers, and with its own one slope.
    ///
    /// One slope is followed through the function and the chain rule applied once, whatever number of directions
    /// `self` carries: a quarter of the cost of following them all.
    fn through(self, plain: impl Fn(f64) -> f64, sloped: impl Fn(Line) -> Line) -> Self;

    /// Zero.
    #[inline]
    fn zero() -> Self {
        Self::constant(0.0)
    }

    /// One.
    #[inline]
    fn one() -> Self {
        Self::constant(1.0)
    }

    /// One over the number.
    #[inline]
    fn recip(self) -> Self {
        let r = self.re().recip();
        self.chain(r, -r * r)
    }

    /// e to the number.
    #[inline]
    fn exp(self) -> Self {
        let e = self.re().exp();
        self.chain(e, e)
    }

    /// Natural logarithm.
    #[inline]
    fn ln(self) -> Self {
        self.chain(self.re().ln(), self.re().recip())
    }

    /// Square root.
    #[inline]
    fn sqrt(self) -> Self {
        let root = self.re().sqrt();
        self.chain(root, 0.5 / root)
    }

    /// The number to a real power.
    #[inline]
    fn powf(self, power: f64) -> Self {
        self.chain(self.re().powf(power), power * self.re().powf(power - 1.0))
    }

    /// The number to a whole power; at power 0 it is 1 everywhere.
    #[inline]
    fn powi(self, power: i32) -> Self {
        if power == 0 {
            return Self::one();
        }
        let below = self.re().powi(power - 1);
        self.chain(below * self.re(), f64::from(power) * below)
    }

    /// Hyperbolic tangent.
    #[inline]
    fn tanh(self) -> Self {
        let t = self.re().tanh();
        self.chain(t, 1.0 - t * t)
    }

    /// Sine of an angle [rad].
    #[inline]
    fn sin(self) -> Self {
        let (sine, cosine) = self.re().sin_cos();
        self.chain(sine, cosine)
    }

    /// Cosine of an angle [rad].
    #[inline]
    fn cos(self) -> Self {
        let (sine, cosine) = self.re().sin_cos();
        self.chain(cosine, -sine)
    }

    /// Arc tangent [rad].
    #[inline]
    fn atan(self) -> Self {
        let x = self.re();
        self.chain(x.atan(), 1.0 / (1.0 + x * x))
    }

    /// Arc sine [rad].
    #[inline]
    fn asin(self) -> Self {
        let x = self.re();
        self.chain(x.asin(), 1.0 / (1.0 - x * x).sqrt())
    }

    /// Magnitude; the slope jumps at zero, so laws that pass through zero use [`crate::smooth`].
    #[inline]
    fn abs(self) -> Self {
        if self.re() < 0.0 { -self } else { self }
    }
}

impl Number for f64 {
    #[inline]
    fn constant(value: f64) -> Self {
        value
    }
    #[inline]
    fn re(&self) -> f64 {
        *self
    }
    #[inline]
    fn chain(self, value: f64, _slope: f64) -> Self {
        value
    }
    #[inline]
    fn through(self, plain: impl Fn(f64) -> f64, _sloped: impl Fn(Line) -> Line) -> Self {
        plain(self)
    }
}

/// A value and its exact slopes in [`Dual::DIRECTIONS`] directions at once, kept on the stack.
///
/// Wraps a library's dual number. A hand-written one over `[f64; 16]` was measured against it: 1.2 times
/// as fast in a release build and 1.4 in a test build, too little to keep our own.
#[derive(Clone, Copy, Debug)]
pub struct Dual(Inner);

type Inner = num_dual::DualSVec64<16>;

impl Dual {
    /// How many directions one evaluation follows.
    pub const DIRECTIONS: usize = 16;

    /// A value that does not move.
    #[inline]
    pub fn new(value: f64) -> Self {
        Self(Inner::from_re(value))
    }

    /// A value that moves with slope 1 in `direction`; a direction out of range leaves it a constant.
    #[inline]
    pub fn variable(value: f64, direction: usize) -> Self {
        let mut slopes = [0.0; Self::DIRECTIONS];
        if let Some(slope) = slopes.get_mut(direction) {
            *slope = 1.0;
        }
        Self(Inner::new(value, num_dual::Derivative::some(slopes.into())))
    }

    /// The plain value.
    #[inline]
    pub fn value(&self) -> f64 {
        self.0.re
    }

    /// Slope in `direction`; zero out of range and for a constant.
    #[inline]
    pub fn slope(&self, direction: usize) -> f64 {
        self.0.eps.0.as_ref().and_then(|slopes| slopes.get(direction)).copied().unwrap_or(0.0)
    }
}

impl Number for Dual {
    #[inline]
    fn constant(value: f64) -> Self {
        Self::new(value)
    }
    #[inline]
    fn re(&self) -> f64 {
        self.0.re
    }
    #[inline]
    fn chain(self, value: f64, slope: f64) -> Self {
        Self(Inner::new(value, self.0.eps * slope))
    }
    #[inline]
    fn through(self, _plain: impl Fn(f64) -> f64, sloped: impl Fn(Line) -> Line) -> Self {
        let line = sloped(Line(num_dual::Dual64::new(self.0.re, 1.0)));
        self.chain(line.0.re, line.0.eps)
    }
}

/// A value and one slope: what a function of one argument needs.
#[derive(Clone, Copy, Debug)]
pub struct Line(num_dual::Dual64);

impl Number for Line {
    #[inline]
    fn constant(value: f64) -> Self {
        Self(num_dual::Dual64::from_re(value))
    }
    #[inline]
    fn re(&self) -> f64 {
        self.0.re
    }
    #[inline]
    fn chain(self, value: f64, slope: f64) -> Self {
        Self(num_dual::Dual64::new(value, self.0.eps * slope))
    }
    #[inline]
    fn through(self, _plain: impl Fn(f64) -> f64, sloped: impl Fn(Line) -> Line) -> Self {
        sloped(self)
    }
}

/// Hands an operation on, for another dual and for a plain number alike.
macro_rules! hand_on {
    ($type:ident) => {
        impl Neg for $type {
            type Output = Self;
            #[inline]
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        hand_on! { $type: Add add, AddAssign add_assign; Sub sub, SubAssign sub_assign; Mul mul, MulAssign mul_assign; Div div, DivAssign div_assign; }
    };
    ($type:ident: $($trait:ident $method:ident, $assign_trait:ident $assign:ident;)*) => { $(
        impl $trait for $type {
            type Output = Self;
            #[inline]
            fn $method(self, other: Self) -> Self {
                Self(self.0.$method(other.0))
            }
        }
        impl $trait<f64> for $type {
            type Output = Self;
            #[inline]
            fn $method(self, other: f64) -> Self {
                Self(self.0.$method(other))
            }
        }
        impl $assign_trait for $type {
            #[inline]
            fn $assign(&mut self, other: Self) {
                *self = (*self).$method(other);
            }
        }
        impl $assign_trait<f64> for $type {
            #[inline]
            fn $assign(&mut self, other: f64) {
                *self = (*self).$method(other);
            }
        }
    )* };
}
hand_on!(Dual);
hand_on!(Line);
