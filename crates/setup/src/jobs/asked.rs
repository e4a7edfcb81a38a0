//! What several jobs ask alike: the key, its words, range, usual value and figure of the plant stand once.

use crate::ask::Ask;
use measure::quantity::Quantity::*;

pub(super) const BACK_PRESSURE_LIMIT: Ask = Ask::one(
    "back-pressure-limit",
    "Most back pressure that the engine's maker allows",
    PressureDifference,
    (500.0, 40e3),
)
.like("6.8 kPa")
.usual("6.8 kPa", "[Trade] 2.5, the lower of a handbook's two; the engine's data sheet counts");
pub(super) const BENDS: Ask =
    Ask::one("bends", "Bends of 90° in the pipe, counted", Ratio, (0.0, 40.0)).like("3").usual("0", "none told");
pub(super) const DERATING: Ask = Ask::one("derating", "Share of that it gives hot and all day", Ratio, (0.2, 1.0))
    .like("75 %")
    .usual("75 %", "[Trade] 2.7")
    .about(0.04)
    .of_plant(&[("alternator", "continuous")]);
pub(super) const DISPLACEMENT: Ask =
    Ask::one("displacement", "What she weighs as tried", Mass, (100.0, 2e6)).like("30 t");
pub(super) const ENGINE_POWER: Ask = Ask::one("engine-power", "Power of the engine at full load", Power, (500.0, 5e6))
    .like("60 kW")
    .of_plant(&[("diesel", "rated_power")]);
pub(super) const FLYWHEEL_DIAMETER: Ask = Ask::one(
    "flywheel-diameter",
    "Diameter of the flywheel, or of the pulley that carries the mark",
    Length,
    (0.05, 3.0),
)
.like("480 mm")
.about(0.5e-3);
pub(super) const GAS_TEMPERATURE: Ask =
    Ask::one("gas-temperature", "Temperature of the gas behind the engine at full load", Temperature, (350.0, 1_000.0))
        .like("420 °C");
pub(super) const HALF_BENDS: Ask =
    Ask::one("half-bends", "Bends of 45° in the pipe, counted", Ratio, (0.0, 40.0)).like("2").usual("0", "none told");
pub(super) const OIL_GRADE: Ask = Ask::text("oil-grade", "Grade of the oil in her", "15W-40");
pub(super) const ROD_LENGTH: Ask =
    Ask::one("rod-length", "Length of the connecting rod between its eyes", Length, (0.05, 3.0));
pub(super) const SILENCER_DROP: Ask =
    Ask::one("silencer-drop", "What the silencer costs at full load, by its maker", PressureDifference, (0.0, 20e3))
        .like("2.0 kPa")
        .usual("0 kPa", "none told")
        .of_plant(&[("silencer", "rated_drop")]);
pub(super) const STROKE: Ask =
    Ask::one("stroke", "Stroke", Length, (0.03, 1.0)).usual("120 mm", "from memory").of_plant(&[("diesel", "stroke")]);
pub(super) const VISCOSITY_100: Ask = Ask::one(
    "viscosity-100",
    "Its viscosity at 100 °C, from its data sheet or a sample",
    KinematicViscosity,
    (2e-6, 1e-4),
)
.like("14.7 cSt")
.about(0.3e-6);
pub(super) const VISCOSITY_40: Ask = Ask::one(
    "viscosity-40",
    "Its viscosity at 40 °C, from its data sheet or a sample",
    KinematicViscosity,
    (5e-6, 2e-3),
)
.like("110 cSt")
.about(3e-6);
pub(super) const WARM_OIL: Ask = Ask::one("warm-oil", "Temperature of the oil when warm", Temperature, (300.0, 420.0))
    .like("95 °C")
    .usual("95 °C", "[Trade] 2.3, in the middle of 80 to 110")
    .about(2.0);
