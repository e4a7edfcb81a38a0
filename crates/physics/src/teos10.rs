//! Sea water exactly: the Gibbs function of TEOS-10, with the properties that follow from it.
//!
//! Too long for the inside of an iteration; [`crate::sea_water`] has the short fits, which are held against this.

use crate::constants::{ATMOSPHERE, ZERO_CELSIUS};

/// Absolute Salinity of standard sea water over its Practical Salinity of 35 [kg/kg]. Source: [TEOS10] table D.4.
pub const STANDARD_SALINITY: f64 = 35.165_04e-3;
/// Salinity that scales the saline terms, 40/35 of the standard [kg/kg]. Source: [IAPWS08].
const SALINITY_SCALE: f64 = STANDARD_SALINITY * 40.0 / 35.0;
/// Heat capacity that defines Conservative Temperature [J/(kg K)]. Source: [TEOS10] eq. 3.3.3.
const CONSERVATIVE_HEAT_CAPACITY: f64 = 3991.867_957_119_63;

/// Reference salinity [kg/kg] of sea water of standard composition, from Practical Salinity [1].
///
/// # Source
/// `[TEOS10]` eq. 2.4.1.
pub fn reference_salinity(practical: f64) -> f64 {
    STANDARD_SALINITY / 35.0 * practical
}

/// The Gibbs function and its slopes at one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gibbs {
    /// Slope in temperature, minus the entropy [J/(kg K)].
    pub by_temperature: f64,
    /// Slope in pressure, the specific volume [m³/kg].
    pub by_pressure: f64,
    /// Curvature in temperature [J/(kg K²)].
    pub by_temperature_twice: f64,
    /// The function itself [J/kg].
    pub value: f64,
}

impl Gibbs {
    /// At an absolute `temperature` [K], 271 ..= 313 (353 for the saline part), absolute `pressure` [Pa] and
    /// Absolute Salinity [kg/kg], 0 ..= 0.042.
    ///
    /// # Source
    /// Pure water `[IAPWS-SR7]` table 2, saline part `[IAPWS08]` table 2, coefficients as printed.
    pub fn at(salinity: f64, temperature: f64, pressure: f64) -> Self {
        let tau = (temperature - ZERO_CELSIUS) / 40.0;
        let pi = (pressure - ATMOSPHERE) / 100e6;
        let root = (salinity.max(0.0) / SALINITY_SCALE).sqrt();
        let mut sums = [0.0; 4];
        for &(j, k, g) in &WATER {
            add(&mut sums, g, (tau, j), (pi, k));
        }
        if root > 0.0 {
            for &(i, j, k, g) in &SALINE {
                let weight = if i == 1 { root * root * root.ln() } else { root.powi(i) };
                add(&mut sums, g * weight, (tau, j), (pi, k));
            }
        }
        Self {
            value: sums[0],
            by_temperature: sums[1] / 40.0,
            by_pressure: sums[2] / 100e6,
            by_temperature_twice: sums[3] / 1600.0,
        }
    }

    /// Density [kg/m³].
    pub fn density(&self) -> f64 {
        self.by_pressure.recip()
    }
}

/// Adds one term of the series to the sums of value, temperature slope, pressure slope and curvature.
fn add(sums: &mut [f64; 4], weight: f64, (tau, j): (f64, i32), (pi, k): (f64, i32)) {
    let power = |x: f64, n: i32| if n < 0 { 0.0 } else { x.powi(n) };
    sums[0] += weight * power(tau, j) * power(pi, k);
    sums[1] += weight * f64::from(j) * power(tau, j - 1) * power(pi, k);
    sums[2] += weight * f64::from(k) * power(tau, j) * power(pi, k - 1);
    sums[3] += weight * f64::from(j * (j - 1)) * power(tau, j - 2) * power(pi, k);
}

/// Isobaric heat capacity [J/(kg K)] at salinity [kg/kg], temperature [K] and pressure [Pa].
///
/// # Source
/// `[TEOS10]` eq. 2.20.1.
pub fn heat_capacity(salinity: f64, temperature: f64, pressure: f64) -> f64 {
    -temperature * Gibbs::at(salinity, temperature, pressure).by_temperature_twice
}

/// Conservative Temperature [K, so many above 273.15 as the scale has degrees] of water at `temperature` [K].
///
/// # Source
/// `[TEOS10]` eq. 3.3.1: potential enthalpy at surface pressure over the fixed heat capacity.
pub fn conservative_temperature(salinity: f64, temperature: f64, pressure: f64) -> f64 {
    let entropy = -Gibbs::at(salinity, temperature, pressure).by_temperature;
    // Potential temperature: the same entropy at the surface. Newton is quadratic here; three steps reach rounding.
    let mut potential = temperature;
    for _ in 0..4 {
        let surface = Gibbs::at(salinity, potential, ATMOSPHERE);
        potential += (entropy + surface.by_temperature) / -surface.by_temperature_twice;
    }
    let surface = Gibbs::at(salinity, potential, ATMOSPHERE);
    ZERO_CELSIUS + (surface.value - potential * surface.by_temperature) / CONSERVATIVE_HEAT_CAPACITY
}

/// In-situ temperature [K] of water whose Conservative Temperature [K] is known: the inverse of
/// [`conservative_temperature`].
pub fn temperature_from_conservative(salinity: f64, conservative: f64, pressure: f64) -> f64 {
    let mut temperature = conservative;
    // The two differ by tenths of a kelvin and move together almost one to one.
    for _ in 0..12 {
        temperature += conservative - conservative_temperature(salinity, temperature, pressure);
    }
    temperature
}

/// Powers of reduced temperature and pressure, coefficient [J/kg]. Source: [IAPWS-SR7] table 2.
const WATER: [(i32, i32, f64); 41] = [
    (0, 0, 0.101342743139674e3),
    (0, 1, 0.100015695367145e6),
    (0, 2, -0.254457654203630e4),
    (0, 3, 0.284517778446287e3),
    (0, 4, -0.333146754253611e2),
    (0, 5, 0.420263108803084e1),
    (0, 6, -0.546428511471039),
    (1, 0, 0.590578347909402e1),
    (1, 1, -0.270983805184062e3),
    (1, 2, 0.776153611613101e3),
    (1, 3, -0.196512550881220e3),
    (1, 4, 0.289796526294175e2),
    (1, 5, -0.213290083518327e1),
    (2, 0, -0.123577859330390e5),
    (2, 1, 0.145503645404680e4),
    (2, 2, -0.756558385769359e3),
    (2, 3, 0.273479662323528e3),
    (2, 4, -0.555604063817218e2),
    (2, 5, 0.434420671917197e1),
    (3, 0, 0.736741204151612e3),
    (3, 1, -0.672507783145070e3),
    (3, 2, 0.499360390819152e3),
    (3, 3, -0.239545330654412e3),
    (3, 4, 0.488012518593872e2),
    (3, 5, -0.166307106208905e1),
    (4, 0, -0.148185936433658e3),
    (4, 1, 0.397968445406972e3),
    (4, 2, -0.301815380621876e3),
    (4, 3, 0.152196371733841e3),
    (4, 4, -0.263748377232802e2),
    (5, 0, 0.580259125842571e2),
    (5, 1, -0.194618310617595e3),
    (5, 2, 0.120520654902025e3),
    (5, 3, -0.552723052340152e2),
    (5, 4, 0.648190668077221e1),
    (6, 0, -0.189843846514172e2),
    (6, 1, 0.635113936641785e2),
    (6, 2, -0.222897317140459e2),
    (6, 3, 0.817060541818112e1),
    (7, 0, 0.305081646487967e1),
    (7, 1, -0.963108119393062e1),
];

/// Powers of the root of salinity, of temperature and pressure, coefficient [J/kg]; power 1 stands for x² ln x.
/// Source: [IAPWS08] table 2.
const SALINE: [(i32, i32, i32, f64); 64] = [
    (1, 0, 0, 0.581281456626732e4),
    (2, 0, 0, 0.141627648484197e4),
    (3, 0, 0, -0.243214662381794e4),
    (4, 0, 0, 0.202580115603697e4),
    (5, 0, 0, -0.109166841042967e4),
    (6, 0, 0, 0.374601237877840e3),
    (7, 0, 0, -0.485891069025409e2),
    (1, 1, 0, 0.851226734946706e3),
    (2, 1, 0, 0.168072408311545e3),
    (3, 1, 0, -0.493407510141682e3),
    (4, 1, 0, 0.543835333000098e3),
    (5, 1, 0, -0.196028306689776e3),
    (6, 1, 0, 0.367571622995805e2),
    (2, 2, 0, 0.880031352997204e3),
    (3, 2, 0, -0.430664675978042e2),
    (4, 2, 0, -0.685572509204491e2),
    (2, 3, 0, -0.225267649263401e3),
    (3, 3, 0, -0.100227370861875e2),
    (4, 3, 0, 0.493667694856254e2),
    (2, 4, 0, 0.914260447751259e2),
    (3, 4, 0, 0.875600661808945),
    (4, 4, 0, -0.171397577419788e2),
    (2, 5, 0, -0.216603240875311e2),
    (4, 5, 0, 0.249697009569508e1),
    (2, 6, 0, 0.213016970847183e1),
    (2, 0, 1, -0.331049154044839e4),
    (3, 0, 1, 0.199459603073901e3),
    (4, 0, 1, -0.547919133532887e2),
    (5, 0, 1, 0.360284195611086e2),
    (2, 1, 1, 0.729116529735046e3),
    (3, 1, 1, -0.175292041186547e3),
    (4, 1, 1, -0.226683558512829e2),
    (2, 2, 1, -0.860764303783977e3),
    (3, 2, 1, 0.383058066002476e3),
    (2, 3, 1, 0.694244814133268e3),
    (3, 3, 1, -0.460319931801257e3),
    (2, 4, 1, -0.297728741987187e3),
    (3, 4, 1, 0.234565187611355e3),
    (2, 0, 2, 0.384794152978599e3),
    (3, 0, 2, -0.522940909281335e2),
    (4, 0, 2, -0.408193978912261e1),
    (2, 1, 2, -0.343956902961561e3),
    (3, 1, 2, 0.831923927801819e2),
    (2, 2, 2, 0.337409530269367e3),
    (3, 2, 2, -0.541917262517112e2),
    (2, 3, 2, -0.204889641964903e3),
    (2, 4, 2, 0.747261411387560e2),
    (2, 0, 3, -0.965324320107458e2),
    (3, 0, 3, 0.680444942726459e2),
    (4, 0, 3, -0.301755111971161e2),
    (2, 1, 3, 0.124687671116248e3),
    (3, 1, 3, -0.294830643494290e2),
    (2, 2, 3, -0.178314556207638e3),
    (3, 2, 3, 0.256398487389914e2),
    (2, 3, 3, 0.113561697840594e3),
    (2, 4, 3, -0.364872919001588e2),
    (2, 0, 4, 0.158408172766824e2),
    (3, 0, 4, -0.341251932441282e1),
    (2, 1, 4, -0.316569643860730e2),
    (2, 2, 4, 0.442040358308000e2),
    (2, 3, 4, -0.111282734326413e2),
    (2, 0, 5, -0.262480156590992e1),
    (2, 1, 5, 0.704658803315449e1),
    (2, 2, 5, -0.792001547211682e1),
];
