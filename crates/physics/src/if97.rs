//! Fresh water exactly: IAPWS-IF97 regions 1 and 4, with the IAPWS transport formulations.
//!
//! Too long for the inside of an iteration; [`crate::fresh_water`] has the short fits, which are held against this.

use crate::number::Number;
use crate::smooth::polynomial;

/// Specific gas constant of water [J/(kg K)]. Source: [IF97] eq. 1.
const SPECIFIC_GAS_CONSTANT: f64 = 461.526;
/// Critical temperature [K]. Source: [IF97] eq. 2.
pub const CRITICAL_TEMPERATURE: f64 = 647.096;
/// Critical density [kg/m³]. Source: [IF97] eq. 4.
pub const CRITICAL_DENSITY: f64 = 322.0;

/// Liquid water in region 1 at one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Liquid {
    /// Specific volume [m³/kg].
    pub volume: f64,
    /// Specific enthalpy [J/kg], zero near the triple point.
    pub enthalpy: f64,
    /// Isobaric heat capacity [J/(kg K)].
    pub heat_capacity: f64,
}

/// Liquid water at `temperature` [K], 273.15 ..= 623.15, and `pressure` [Pa], saturation ..= 100 MPa.
///
/// # Source
/// `[IF97]` eq. 7 with table 2, properties by table 3.
pub fn liquid(temperature: f64, pressure: f64) -> Liquid {
    let tau = 1386.0 / temperature;
    let pi = pressure / 16.53e6;
    let (a, b) = (7.1 - pi, tau - 1.222);
    let (mut by_pi, mut by_tau, mut by_tau_twice) = (0.0, 0.0, 0.0);
    for &(i, j, n) in &REGION_1 {
        let (power_a, power_b) = (a.powi(i), b.powi(j));
        by_pi -= n * f64::from(i) * power_a / a * power_b;
        by_tau += n * power_a * f64::from(j) * power_b / b;
        by_tau_twice += n * power_a * f64::from(j * (j - 1)) * power_b / (b * b);
    }
    let rt = SPECIFIC_GAS_CONSTANT * temperature;
    Liquid {
        volume: rt / pressure * pi * by_pi,
        enthalpy: rt * tau * by_tau,
        heat_capacity: -SPECIFIC_GAS_CONSTANT * tau * tau * by_tau_twice,
    }
}

/// Saturation pressure [Pa] at `temperature` [K], 273.15 ..= 647.096.
///
/// # Source
/// `[IF97]` eq. 30.
pub fn saturation_pressure<N: Number>(temperature: N) -> N {
    let t = temperature;
    let theta = t + (t - N4[9]).recip() * N4[8];
    let square = theta * theta;
    let a = square + theta * N4[0] + N4[1];
    let b = square * N4[2] + theta * N4[3] + N4[4];
    let c = square * N4[5] + theta * N4[6] + N4[7];
    let quarter = c * 2.0 / ((b * b - a * c * 4.0).sqrt() - b);
    quarter.powi(4) * 1e6
}

/// Saturation temperature [K] at `pressure` [Pa], 611 ..= 22.064e6.
///
/// # Source
/// `[IF97]` eq. 31.
pub fn saturation_temperature<N: Number>(pressure: N) -> N {
    let square = (pressure / 1e6).sqrt();
    let beta = square.sqrt();
    let e = square + beta * N4[2] + N4[5];
    let f = square * N4[0] + beta * N4[3] + N4[6];
    let g = square * N4[1] + beta * N4[4] + N4[7];
    let d = -(g * 2.0) / (f + (f * f - e * g * 4.0).sqrt());
    let sum = d + N4[9];
    (sum - (sum * sum - (d * N4[9] + N4[8]) * 4.0).sqrt()) * 0.5
}

/// Dynamic viscosity [Pa s] at `temperature` [K], 273 ..= 1173, and `density` [kg/m³].
///
/// The rise close to the critical point is left out.
///
/// # Source
/// `[IAPWS-viscosity]` eq. 11 and 12, tables 1 and 2.
pub fn viscosity(temperature: f64, density: f64) -> f64 {
    let t = temperature / CRITICAL_TEMPERATURE;
    let d = density / CRITICAL_DENSITY;
    let dilute = 100.0 * t.sqrt() / (1.67752 + 2.20462 / t + 0.6366564 / (t * t) - 0.241605 / (t * t * t));
    let sum: f64 = VISCOSITY.iter().map(|&(i, j, h)| h * (1.0 / t - 1.0).powi(i) * (d - 1.0).powi(j)).sum();
    dilute * (d * sum).exp() * 1e-6
}

/// Thermal conductivity [W/(m K)] at `temperature` [K], 273 ..= 1173, and `density` [kg/m³].
///
/// The rise close to the critical point is left out.
///
/// # Source
/// `[IAPWS-conductivity]` eq. 16 and 17, tables 1 and 2.
pub fn conductivity(temperature: f64, density: f64) -> f64 {
    let t = temperature / CRITICAL_TEMPERATURE;
    let d = density / CRITICAL_DENSITY;
    let below = polynomial(1.0 / t, &[2.443221e-3, 1.323095e-2, 6.770357e-3, -3.454586e-3, 4.096266e-4]);
    let sum = polynomial(1.0 / t - 1.0, &CONDUCTIVITY.map(|row| polynomial(d - 1.0, &row)));
    t.sqrt() / below * (d * sum).exp() * 1e-3
}

/// Powers of pressure and temperature, coefficient. Source: [IF97] table 2.
const REGION_1: [(i32, i32, f64); 34] = [
    (0, -2, 0.14632971213167),
    (0, -1, -0.84548187169114),
    (0, 0, -3.756360367204),
    (0, 1, 0.33855169168385e1),
    (0, 2, -0.95791963387872),
    (0, 3, 0.15772038513228),
    (0, 4, -0.16616417199501e-1),
    (0, 5, 0.81214629983568e-3),
    (1, -9, 0.28319080123804e-3),
    (1, -7, -0.60706301565874e-3),
    (1, -1, -0.18990068218419e-1),
    (1, 0, -0.32529748770505e-1),
    (1, 1, -0.21841717175414e-1),
    (1, 3, -0.52838357969930e-4),
    (2, -3, -0.47184321073267e-3),
    (2, 0, -0.30001780793026e-3),
    (2, 1, 0.47661393906987e-4),
    (2, 3, -0.44141845330846e-5),
    (2, 17, -0.72694996297594e-15),
    (3, -4, -0.31679644845054e-4),
    (3, 0, -0.28270797985312e-5),
    (3, 6, -0.85205128120103e-9),
    (4, -5, -0.22425281908000e-5),
    (4, -2, -0.65171222895601e-6),
    (4, 10, -0.14341729937924e-12),
    (5, -8, -0.40516996860117e-6),
    (8, -11, -0.12734301741641e-8),
    (8, -6, -0.17424871230634e-9),
    (21, -29, -0.68762131295531e-18),
    (23, -31, 0.14478307828521e-19),
    (29, -38, 0.26335781662795e-22),
    (30, -39, -0.11947622640071e-22),
    (31, -40, 0.18228094581404e-23),
    (32, -41, -0.93537087292458e-25),
];

/// Coefficients n1 to n10 of the saturation line. Source: [IF97] table 34.
const N4: [f64; 10] = [
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
];

/// Powers of temperature and density, coefficient. Source: [IAPWS-viscosity] table 2.
const VISCOSITY: [(i32, i32, f64); 21] = [
    (0, 0, 0.520094),
    (1, 0, 0.850895e-1),
    (2, 0, -0.108374e1),
    (3, 0, -0.289555),
    (0, 1, 0.222531),
    (1, 1, 0.999115),
    (2, 1, 0.188797e1),
    (3, 1, 0.126613e1),
    (5, 1, 0.120573),
    (0, 2, -0.281378),
    (1, 2, -0.906851),
    (2, 2, -0.772479),
    (3, 2, -0.489837),
    (4, 2, -0.257040),
    (0, 3, 0.161913),
    (1, 3, 0.257399),
    (0, 4, -0.325372e-1),
    (3, 4, 0.698452e-1),
    (4, 5, 0.872102e-2),
    (3, 6, -0.435673e-2),
    (5, 6, -0.593264e-3),
];

/// Rows by power of temperature, columns by power of density. Source: [IAPWS-conductivity] table 2.
const CONDUCTIVITY: [[f64; 6]; 5] = [
    [1.60397357, -0.646013523, 0.111443906, 0.102997357, -0.0504123634, 0.00609859258],
    [2.33771842, -2.78843778, 1.53616167, -0.463045512, 0.0832827019, -0.00719201245],
    [2.19650529, -4.54580785, 3.55777244, -1.40944978, 0.275418278, -0.0205938816],
    [-1.21051378, 1.60812989, -0.621178141, 0.0716373224, 0.0, 0.0],
    [-2.7203370, 4.57586331, -3.18369245, 1.1168348, -0.19268305, 0.012913842],
];
