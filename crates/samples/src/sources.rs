//! What gets into oil, coolant and fuel, and what it brings with it.
//!
//! A source brings several things in the ratios in which it holds them. Ratios, and what a sound filling holds without any source,
//! are log-normal: a median with a spread, given as the logarithm of the factor within which two of three lie.

use crate::sample::Analyte::{self, *};
use parts::kind::Circuit;
use physics::sea_water::salt;

/// What may have got in.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Source {
    /// Coolant.
    Coolant,
    /// Sea water.
    SeaWater,
    /// Diesel fuel, in oil.
    Fuel,
    /// Dust and sand.
    Dirt,
    /// Metal from cylinders, pistons and rings.
    CylinderWear,
    /// Metal from bearings and bushes.
    BearingWear,
    /// Metal from gears and clutches.
    GearWear,
    /// Fresh water, in fuel.
    Water,
    /// Growth, in fuel.
    Growth,
}

impl Source {
    /// As it is said: "coolant".
    pub fn word(self) -> &'static str {
        match self {
            Source::Coolant => "coolant",
            Source::SeaWater => "sea water",
            Source::Fuel => "fuel",
            Source::Dirt => "dirt",
            Source::CylinderWear => "metal from cylinders or rings",
            Source::BearingWear => "metal from bearings",
            Source::GearWear => "metal from gears or clutches",
            Source::Water => "water",
            Source::Growth => "growth",
        }
    }
}

/// One make-up of a source.
#[derive(Debug)]
pub(crate) struct Signature {
    /// Which source.
    pub of: Source,
    /// Least and greatest amount that matters, as a share of the filling [1]; all between are as likely, in logarithm. Of growth
    /// in a millilitre.
    pub amount: (f64, f64),
    /// What it brings: share in it [1] and spread.
    pub brings: &'static [(Analyte, f64, f64)],
    /// Chance that it has got in before anything is known [1]. From memory.
    pub chance: f64,
}

/// What a filling holds without any source: median and spread.
pub(crate) type Ground = &'static [(Analyte, f64, f64)];

const PPM: f64 = 1e-6;
/// Absolute salinity of sea water of standard composition [kg/kg].
const SALT: f64 = 0.03516504;
const fn of_sea(share: f64) -> f64 {
    share * SALT
}

/// Water that has got into hot oil boils off again: a tenth of it is found, more or less. From memory.
const LEFT: f64 = 0.1;
const BOILED: f64 = 1.3;

/// Sea water: ions by the Reference Composition, which differ between seas by far less than a laboratory errs.
const SEA_WATER: Signature = Signature {
    of: Source::SeaWater,
    amount: (1e-4, 0.1),
    brings: &[
        (Sodium, of_sea(salt::SODIUM), 0.05),
        (Magnesium, of_sea(salt::MAGNESIUM), 0.05),
        (Potassium, of_sea(salt::POTASSIUM), 0.05),
        (Calcium, of_sea(salt::CALCIUM), 0.05),
        // Part of it goes off or is bound.
        (Chloride, of_sea(salt::CHLORIDE), 0.3),
        (Water, LEFT * 0.965, BOILED),
    ],
    chance: 0.015,
};

/// Coolant, half glycol, with inhibitors on sodium, and with inhibitors of organic acids on potassium; glycol breaks up in hot oil,
/// and is often not found where coolant has got in.
/// From memory.
const COOLANT: [Signature; 2] = [
    Signature {
        of: Source::Coolant,
        amount: (1e-4, 0.1),
        brings: &[
            (Sodium, 2_500.0 * PPM, 0.5),
            (Potassium, 300.0 * PPM, 1.2),
            (Boron, 300.0 * PPM, 1.0),
            (Silicon, 150.0 * PPM, 0.8),
            (Glycol, 0.02, 1.6),
            (Water, LEFT * 0.5, BOILED),
        ],
        chance: 0.01,
    },
    Signature {
        of: Source::Coolant,
        amount: (1e-4, 0.1),
        brings: &[
            (Potassium, 3_500.0 * PPM, 0.5),
            (Sodium, 600.0 * PPM, 1.0),
            (Boron, 50.0 * PPM, 1.5),
            (Silicon, 60.0 * PPM, 1.0),
            (Glycol, 0.02, 1.6),
            (Water, LEFT * 0.5, BOILED),
        ],
        chance: 0.01,
    },
];

/// Fuel; it thins the oil besides.
const FUEL: Signature = Signature { of: Source::Fuel, amount: (0.015, 0.2), brings: &[(Fuel, 1.0, 0.2)], chance: 0.04 };

/// Dust: metals of the test dust of filters, silica 68 to 76 %, alumina 10 to 15 %, iron oxide 2 to 5 %, of potash, soda and lime 2
/// to 5 % each, as the metals in them; and the iron that it wears off, about as much again as there is silicon. [ISO12103], the
/// ranges and the iron from memory.
const DIRT: Signature = Signature {
    of: Source::Dirt,
    amount: (2e-5, 2e-3),
    brings: &[
        (Silicon, 0.34, 0.15),
        (Aluminium, 0.066, 0.35),
        (Iron, 0.3, 0.7),
        (Chromium, 0.01, 1.0),
        (Calcium, 0.025, 0.6),
        (Potassium, 0.02, 0.6),
        (Sodium, 0.02, 0.6),
        (Magnesium, 0.009, 0.6),
    ],
    chance: 0.05,
};

/// Cast iron, aluminium pistons, chromed rings. From memory.
const CYLINDERS: Signature = Signature {
    of: Source::CylinderWear,
    amount: (4e-5, 1e-3),
    brings: &[(Iron, 1.0, 0.2), (Chromium, 0.06, 1.0), (Aluminium, 0.1, 1.0), (Nickel, 0.01, 1.0)],
    chance: 0.03,
};

/// Lead or aluminium overlays on copper or bronze. From memory.
const BEARINGS: Signature = Signature {
    of: Source::BearingWear,
    amount: (2e-5, 1e-3),
    brings: &[(Lead, 0.5, 0.7), (Copper, 0.4, 0.8), (Tin, 0.07, 0.8), (Aluminium, 0.03, 1.0), (Iron, 0.1, 1.0)],
    chance: 0.02,
};

const GEARS: Signature = Signature {
    of: Source::GearWear,
    amount: (5e-5, 5e-3),
    brings: &[(Iron, 0.6, 0.6), (Copper, 0.3, 1.2), (Lead, 0.05, 1.2), (Tin, 0.02, 1.2), (Nickel, 0.01, 1.0)],
    chance: 0.04,
};

/// What a sound engine's oil holds after some two hundred hours. Wear metals, silicon and sodium are the middle of what is usual in
/// diesel oil by [Trade] 2.3; additives (boron, magnesium, calcium), and the rest, from memory: where fresh oil was sampled too,
/// that is taken instead.
const OIL: Ground = &[
    (Iron, 20.0 * PPM, 0.45),
    (Copper, 5.5 * PPM, 0.6),
    (Lead, 2.8 * PPM, 0.6),
    (Aluminium, 2.8 * PPM, 0.6),
    (Chromium, 2.0 * PPM, 0.5),
    (Tin, 1.0 * PPM, 0.7),
    (Nickel, 1.0 * PPM, 0.7),
    (Silicon, 5.0 * PPM, 0.7),
    (Sodium, 6.0 * PPM, 0.8),
    (Potassium, 2.0 * PPM, 0.8),
    (Magnesium, 60.0 * PPM, 1.6),
    (Calcium, 2_500.0 * PPM, 0.5),
    (Boron, 20.0 * PPM, 1.6),
    (Vanadium, 0.5 * PPM, 0.7),
    (Chloride, 20.0 * PPM, 1.2),
    (Fuel, 0.005, 0.5),
    (Water, 3e-4, 0.7),
    (Glycol, 2e-5, 1.0),
];
const GEAR_OIL: Ground = &[
    (Iron, 40.0 * PPM, 0.8),
    (Copper, 20.0 * PPM, 1.0),
    (Lead, 5.0 * PPM, 1.0),
    (Tin, 2.0 * PPM, 0.9),
    (Aluminium, 3.0 * PPM, 0.8),
    (Chromium, 1.0 * PPM, 0.8),
    (Nickel, 1.0 * PPM, 0.8),
    (Silicon, 6.0 * PPM, 0.8),
    (Sodium, 5.0 * PPM, 0.9),
    (Potassium, 2.0 * PPM, 0.9),
    (Magnesium, 30.0 * PPM, 1.8),
    (Calcium, 1_500.0 * PPM, 1.0),
    (Chloride, 20.0 * PPM, 1.2),
    (Water, 3e-4, 0.7),
];
/// Half glycol, half water of little hardness, inhibitors of any sort. From memory.
const COOLANT_ITSELF: Ground = &[
    (Chloride, 12.0 * PPM, 0.7),
    (Magnesium, 2.0 * PPM, 1.0),
    (Calcium, 5.0 * PPM, 1.2),
    (Sodium, 1_500.0 * PPM, 1.0),
];
/// Water dissolved in fuel; few live in dry fuel. From memory.
const FUEL_ITSELF: Ground = &[(Water, 80.0 * PPM, 0.4), (Bacteria, 100.0, 1.5), (Sodium, 0.3 * PPM, 0.8)];

/// What a sound filling holds, and what may have got into it.
pub(crate) fn of(circuit: Circuit) -> Option<(Ground, Vec<&'static Signature>)> {
    const IN_FUEL: [Signature; 3] = [
        Signature {
            of: Source::Water,
            amount: (1e-4, 0.1),
            brings: &[(Water, 1.0, 0.3), (Bacteria, 1e6, 2.5)],
            chance: 0.05,
        },
        Signature {
            of: Source::SeaWater,
            amount: (1e-4, 0.1),
            brings: &[(Water, 0.965, 0.3), (Sodium, of_sea(salt::SODIUM), 0.7), (Bacteria, 1e6, 2.5)],
            chance: 0.02,
        },
        Signature { of: Source::Growth, amount: (1e4, 1e8), brings: &[(Bacteria, 1.0, 0.3)], chance: 0.05 },
    ];
    static FUEL_TANK: [Signature; 3] = IN_FUEL;
    static WEAR: [Signature; 2] = [CYLINDERS, BEARINGS];
    static REST: [Signature; 3] = [SEA_WATER, FUEL, DIRT];
    static GEAR: [Signature; 3] = [SEA_WATER, GEARS, DIRT];
    static SALT_ALONE: [Signature; 1] = [SEA_WATER];
    static TWO_COOLANTS: [Signature; 2] = COOLANT;
    Some(match circuit {
        Circuit::Oil => (OIL, TWO_COOLANTS.iter().chain(&REST).chain(&WEAR).collect()),
        Circuit::GearOil => (GEAR_OIL, GEAR.iter().collect()),
        Circuit::FreshWater => (COOLANT_ITSELF, SALT_ALONE.iter().collect()),
        Circuit::Fuel => (FUEL_ITSELF, FUEL_TANK.iter().collect()),
        _ => return None,
    })
}
