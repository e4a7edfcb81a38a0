//! Heat through a wall: exchangers, films, fouling.

use crate::number::Number;
use crate::smooth::{ln_one_plus_over, one_minus_exp_over, positive_part, ramp};

/// Capacity rate that stands for none [W/K]: a stopped side still gives a finite answer.
const REST_RATE: f64 = 1e-3;
/// Share of the design flow below which a film no longer thins with flow [1]: still liquid conducts a little.
const REST_SHARE: f64 = 0.01;

/// How the two liquids pass each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrangement {
    /// Against each other.
    Counterflow,
    /// Side by side.
    Parallel,
    /// One shell pass, an even number of tube passes.
    Shell,
    /// Across each other, neither mixed.
    CrossUnmixed,
    /// Across each other, the side of lesser capacity rate mixed.
    CrossSmallMixed,
    /// Across each other, the side of greater capacity rate mixed.
    CrossLargeMixed,
}

/// Heat passed in counterflow [W]; the rates may come in either order, be equal or vanish.
///
/// * `ua`: conductance [W/K]; `first`, `second`: capacity rates [W/K]
/// * `difference`: hot inlet minus cold inlet temperature [K]
///
/// # Source
/// Effectiveness method, `[Incropera6]` eq. 11.29a, in a form with no switch at equal rates.
pub fn counterflow_heat<N: Number>(ua: N, first: N, second: N, difference: N) -> N {
    let (small, large) = ordered(first, second);
    let z = ua / small - ua / large;
    let f = ua * one_minus_exp_over(z);
    difference * f / (f / large + 1.0)
}

/// Both rates above zero, the lesser first.
fn ordered<N: Number>(first: N, second: N) -> (N, N) {
    let (a, b) = (positive_part(first, REST_RATE), positive_part(second, REST_RATE));
    if a.re() <= b.re() { (a, b) } else { (b, a) }
}

/// Heat passed [W] in any [`Arrangement`]; arguments as [`counterflow_heat`].
///
/// # Source
/// `[Incropera6]` table 11.3, by way of [`effectiveness`].
pub fn exchanged_heat<N: Number>(arrangement: Arrangement, ua: N, first: N, second: N, difference: N) -> N {
    if arrangement == Arrangement::Counterflow {
        return counterflow_heat(ua, first, second, difference);
    }
    let (small, large) = ordered(first, second);
    effectiveness(arrangement, ua / small, small / large) * small * difference
}

/// Share of the greatest possible heat that passes [1], from transfer units [1] and ratio of capacity rates [1].
///
/// # Source
/// `[Incropera6]` eq. 11.28 to 11.34; both unmixed by the exact series `[Mason1955]`.
pub fn effectiveness<N: Number>(arrangement: Arrangement, units: N, ratio: N) -> N {
    match arrangement {
        Arrangement::Counterflow => {
            let f = units * one_minus_exp_over(units - units * ratio);
            f / (f * ratio + 1.0)
        }
        Arrangement::Parallel => units * one_minus_exp_over(units * (ratio + 1.0)),
        Arrangement::Shell => {
            let root = (ratio * ratio + 1.0).sqrt();
            let rest = (-(units * root)).exp();
            let gone = -rest + 1.0;
            gone * 2.0 / ((ratio + 1.0) * gone + root * (rest + 1.0))
        }
        Arrangement::CrossUnmixed => cross_unmixed(units, ratio),
        Arrangement::CrossSmallMixed => {
            let z = units * one_minus_exp_over(ratio * units);
            -(-z).exp() + 1.0
        }
        Arrangement::CrossLargeMixed => {
            let gone = units * one_minus_exp_over(units);
            gone * one_minus_exp_over(ratio * gone)
        }
    }
}

/// Both sides unmixed: a sum of products of Poisson tails, one tail for each side.
///
/// More than 50 transfer units count as 50: little is left to gain, and the sum stays short.
fn cross_unmixed<N: Number>(units: N, ratio: N) -> N {
    let units = if units.re() > 50.0 { N::constant(50.0) } else { units };
    let z = units * ratio;
    // Tail of the one side, and tail of the other over z, so that a vanishing ratio is no 0/0.
    let mut point = (-units).exp();
    let mut tail = -point + 1.0;
    let mut other_point = (-z).exp();
    let mut other_tail = one_minus_exp_over(z);
    let mut sum = tail * other_tail;
    for n in 1..150 {
        point *= units / f64::from(n);
        tail -= point;
        other_point *= if n == 1 { N::one() } else { z / f64::from(n) };
        other_tail -= other_point;
        let term = tail * other_tail;
        sum += term;
        if term.re().abs() < 1e-14 {
            break;
        }
    }
    sum
}

/// Logarithmic mean of two temperature differences of the same sign [K]; equal ones give that difference.
///
/// # Source
/// `[Incropera6]` eq. 11.15, in a form without 0/0.
pub fn log_mean_difference<N: Number>(one_end: N, other_end: N) -> N {
    let y = (one_end - other_end) / other_end;
    ln_one_plus_over(y).recip() * other_end
}

/// Correction of the logarithmic mean for one shell pass and an even number of tube passes [1].
///
/// Temperatures [K]: shell side in and out, tube side in and out.
///
/// # Source
/// `[Bowman1940]`, as in `[Incropera6]` fig. 11S.1, in a form without 0/0 at equal rates.
pub fn one_shell_correction<N: Number>(shell_in: N, shell_out: N, tube_in: N, tube_out: N) -> N {
    let r = (shell_in - shell_out) / (tube_out - tube_in);
    let p = (tube_out - tube_in) / (shell_in - tube_in);
    let root = (r * r + 1.0).sqrt();
    let rest = -(p * r) + 1.0;
    // ln((1 − P)/(1 − PR))/(R − 1)
    let above = ln_one_plus_over(p * (r - 1.0) / rest) * p / rest;
    let below = ((-(p * (r + 1.0 - root)) + 2.0) / (-(p * (r + 1.0 + root)) + 2.0)).ln();
    root * above / below
}

/// Nusselt number of turbulent flow in a tube [1]; `heated` when the liquid takes heat up.
///
/// Reynolds number from 10 000, Prandtl number 0.6 ..= 160 [1].
///
/// # Source
/// `[Incropera6]` eq. 8.60 (Dittus-Boelter).
pub fn dittus_boelter<N: Number>(reynolds: N, prandtl: N, heated: bool) -> N {
    reynolds.powf(0.8) * prandtl.powf(if heated { 0.4 } else { 0.3 }) * 0.023
}

/// Nusselt number in a tube [1]; Reynolds number 3000 ..= 5e6, Prandtl number 0.5 ..= 2000, Darcy factor [1].
///
/// # Source
/// `[Gnielinski1976]`, as in `[Incropera6]` eq. 8.62.
pub fn gnielinski<N: Number>(reynolds: N, prandtl: N, friction: N) -> N {
    let eighth = friction / 8.0;
    let below = eighth.sqrt() * (prandtl.powf(2.0 / 3.0) - 1.0) * 12.7 + 1.0;
    eighth * (reynolds - 1000.0) * prandtl / below
}

/// Nusselt number of laminar flow in a long tube at one wall temperature [1]. Source: `[Incropera6]` eq. 8.55.
pub const LAMINAR_NUSSELT: f64 = 3.66;

/// Nusselt number in a tube over the whole range [1]: laminar, then [`gnielinski`], blended over Re 2300 ..= 4000.
///
/// # Source
/// `[Incropera6]` eq. 8.55 and 8.62; the blend is ours.
pub fn tube_nusselt<N: Number>(reynolds: N, prandtl: N, friction: N) -> N {
    if reynolds.re() <= 2300.0 {
        return N::constant(LAMINAR_NUSSELT);
    }
    let turbulent = gnielinski(reynolds, prandtl, friction);
    (turbulent - LAMINAR_NUSSELT) * ramp(reynolds, 2300.0, 4000.0) + LAMINAR_NUSSELT
}

/// Conductance once a resistance has grown on the wall; [W/K] with [K/W], or [W/(m² K)] with [m² K/W].
///
/// # Source
/// `[Incropera6]` eq. 11.1.
pub fn fouled<N: Number>(clean: N, resistance: N) -> N {
    clean / (clean * resistance + 1.0)
}

/// Two conductances in a row, a film on each side of a wall [W/K].
pub fn in_series<N: Number>(first: N, second: N) -> N {
    first * second / (first + second)
}

/// Conductance of a film at `flow` when it is `design` [W/K] at `design_flow`; flows in the same unit, either way.
///
/// # Source
/// Turbulent films grow with flow to the 0.8, `[Incropera6]` eq. 8.60; a floor near rest is ours.
pub fn scaled_film<N: Number>(design: N, flow: N, design_flow: N) -> N {
    let share = flow / design_flow;
    design * (share * share + REST_SHARE * REST_SHARE).powf(0.4)
}
