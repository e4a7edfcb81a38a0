//! What is asked, for each sort of gauge alike.

use crate::ask::Ask;
use crate::given::{From, Given};
use crate::job::Refused;
use measure::quantity::Quantity::{
    self, GaugePressure, Length, Pressure, PressureDifference, Temperature, TemperatureDifference, Voltage,
};

const HOT: (f64, f64) = (200.0, 1500.0);
const PRESSURES: (f64, f64) = (-1.1e5, 1e8);
const VOLTS: (f64, f64) = (0.0, 1000.0);

pub const ASKS: &[Ask] = &[
    Ask::choice(
        "gauge-quantity",
        "What both show",
        &[("temperature", "degrees"), ("pressure", "over the atmosphere"), ("voltage", "volts")],
    )
    .usual("temperature", "the usual case"),
    Ask::text("a-name", "Name of gauge A, as in her text", "coolant").usual("A", "a name to call it by"),
    Ask::text("b-name", "Name of gauge B", "coolant-2").usual("B", "a name to call it by"),
    Ask::text("day", "Day of the comparison, for the correction to be pasted", "2026-05-03").may(),
    Ask::many(
        "a-temperatures",
        "Temperatures A shows, one for each look, B looked at in the same minute",
        Temperature,
        HOT,
    )
    .may()
    .like("78, 84 °C")
    .only("gauge-quantity", &["temperature"]),
    Ask::many("b-temperatures", "Temperatures B shows at the same looks", Temperature, HOT)
        .may()
        .like("82, 88.5 °C")
        .only("gauge-quantity", &["temperature"]),
    Ask::many("a-temperatures-swapped", "What A shows in B's place, the two changed over", Temperature, HOT)
        .may()
        .like("80, 86 °C")
        .only("gauge-quantity", &["temperature"]),
    Ask::many("b-temperatures-swapped", "What B shows in A's place at the same looks", Temperature, HOT)
        .may()
        .like("83, 89 °C")
        .only("gauge-quantity", &["temperature"]),
    Ask::one("a-in-ice", "What A shows in melting ice, stirred, much ice and little fresh water", Temperature, HOT)
        .may()
        .like("1.5 °C")
        .only("gauge-quantity", &["temperature"]),
    Ask::one("b-in-ice", "What B shows in melting ice", Temperature, HOT)
        .may()
        .like("4 °C")
        .only("gauge-quantity", &["temperature"]),
    Ask::one("a-boiling", "What A shows in fresh water at a rolling boil, off the bottom", Temperature, HOT)
        .may()
        .like("102 °C")
        .only("gauge-quantity", &["temperature"]),
    Ask::one("b-boiling", "What B shows in boiling fresh water", Temperature, HOT)
        .may()
        .like("104 °C")
        .only("gauge-quantity", &["temperature"]),
    Ask::one("air-pressure", "Pressure of the air when it boiled, from the barometer", Pressure, (5e4, 1.1e5))
        .may()
        .about(300.0)
        .like("1.013 bar_abs")
        .only("gauge-quantity", &["temperature"]),
    Ask::one("height-above-sea", "Height of the place above the sea", Length, (-400.0, 5000.0))
        .usual("0 m", "she floats on the sea")
        .about(0.0)
        .only("gauge-quantity", &["temperature"]),
    Ask::one(
        "a-cold",
        "What A shows after a night stopped, all at the temperature of its surroundings",
        Temperature,
        HOT,
    )
    .may()
    .like("19 °C")
    .only("gauge-quantity", &["temperature"]),
    Ask::one("b-cold", "What B shows after the same night", Temperature, HOT)
        .may()
        .like("22 °C")
        .only("gauge-quantity", &["temperature"]),
    Ask::one("surroundings", "The temperature of the surroundings then, by a thermometer of its own", Temperature, HOT)
        .may()
        .like("18 °C")
        .only("gauge-quantity", &["temperature"]),
    Ask::one(
        "a-temperature-within",
        "What A promises, or a good one of its sort keeps",
        TemperatureDifference,
        (0.05, 100.0),
    )
    .usual("4 K", "from memory")
    .only("gauge-quantity", &["temperature"]),
    Ask::one("b-temperature-within", "What B promises", TemperatureDifference, (0.05, 100.0))
        .usual("4 K", "from memory")
        .only("gauge-quantity", &["temperature"]),
    Ask::many(
        "a-pressures",
        "Pressures A shows, one for each look, B looked at in the same minute",
        GaugePressure,
        PRESSURES,
    )
    .may()
    .like("2.4, 3.1 bar")
    .only("gauge-quantity", &["pressure"]),
    Ask::many("b-pressures", "Pressures B shows at the same looks", GaugePressure, PRESSURES)
        .may()
        .like("2.8, 3.6 bar")
        .only("gauge-quantity", &["pressure"]),
    Ask::many("a-pressures-swapped", "What A shows in B's place, the two changed over", GaugePressure, PRESSURES)
        .may()
        .like("2.4, 3.1 bar")
        .only("gauge-quantity", &["pressure"]),
    Ask::many("b-pressures-swapped", "What B shows in A's place at the same looks", GaugePressure, PRESSURES)
        .may()
        .like("2.8, 3.6 bar")
        .only("gauge-quantity", &["pressure"]),
    Ask::one("a-stopped", "What A shows with the engine stopped and the pressure off", GaugePressure, PRESSURES)
        .may()
        .like("0.1 bar")
        .only("gauge-quantity", &["pressure"]),
    Ask::one("b-stopped", "What B shows then", GaugePressure, PRESSURES)
        .may()
        .like("0 bar")
        .only("gauge-quantity", &["pressure"]),
    Ask::one("a-pressure-within", "What A promises, or a good one of its sort keeps", PressureDifference, (10.0, 1e7))
        .usual("0.25 bar", "from memory: 2.5 % of a scale to 10 bar")
        .only("gauge-quantity", &["pressure"]),
    Ask::one("b-pressure-within", "What B promises", PressureDifference, (10.0, 1e7))
        .usual("0.25 bar", "from memory: 2.5 % of a scale to 10 bar")
        .only("gauge-quantity", &["pressure"]),
    Ask::many("a-voltages", "Voltages A shows, one for each look, B looked at in the same minute", Voltage, VOLTS)
        .may()
        .like("12.4, 14.1 V")
        .only("gauge-quantity", &["voltage"]),
    Ask::many("b-voltages", "Voltages B shows at the same looks", Voltage, VOLTS)
        .may()
        .like("12.7, 14.4 V")
        .only("gauge-quantity", &["voltage"]),
    Ask::many("a-voltages-swapped", "What A shows in B's place, the two changed over", Voltage, VOLTS)
        .may()
        .like("12.4, 14.1 V")
        .only("gauge-quantity", &["voltage"]),
    Ask::many("b-voltages-swapped", "What B shows in A's place at the same looks", Voltage, VOLTS)
        .may()
        .like("12.7, 14.4 V")
        .only("gauge-quantity", &["voltage"]),
    Ask::one("a-shorted", "What A shows with its leads held together", Voltage, VOLTS)
        .may()
        .like("0 V")
        .only("gauge-quantity", &["voltage"]),
    Ask::one("b-shorted", "What B shows with its leads held together", Voltage, VOLTS)
        .may()
        .like("0 V")
        .only("gauge-quantity", &["voltage"]),
    Ask::one("a-voltage-within", "What A promises, or a good one of its sort keeps", Voltage, (1e-3, 100.0))
        .usual("0.2 V", "from memory")
        .only("gauge-quantity", &["voltage"]),
    Ask::one("b-voltage-within", "What B promises", Voltage, (1e-3, 100.0))
        .usual("0.2 V", "from memory")
        .only("gauge-quantity", &["voltage"]),
];

/// A sort of gauge, with the keys that belong to it.
#[derive(Debug)]
pub struct Family {
    /// The word of the choice.
    pub word: &'static str,
    pub quantity: Quantity,
    pub unit: &'static str,
    pub change_unit: &'static str,
    /// Readings of A and B, and swapped.
    pub lists: [&'static str; 4],
    pub within: [&'static str; 2],
    /// Where the truth is known: the key of A and of B, what it is, and how well it is known [SI].
    pub known: &'static [([&'static str; 2], Known, f64)],
    /// How finely such a gauge is read, standard uncertainty [SI]; common practice, no source.
    pub read_to: f64,
    /// Half of a usual scale, over which a scale that is off adds as much as an offset [SI].
    pub half_scale: f64,
}

/// Where the truth is known.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Known {
    Ice,
    Boiling,
    Surroundings,
    Nothing,
}

/// Ice water stirred, and a rolling boil, stand so near their temperature [K]; from memory.
const ICE: f64 = 0.2;
const BOIL: f64 = 0.3;

static FAMILIES: [Family; 3] = [
    Family {
        word: "temperature",
        quantity: Temperature,
        unit: "°C",
        change_unit: "K",
        lists: ["a-temperatures", "b-temperatures", "a-temperatures-swapped", "b-temperatures-swapped"],
        within: ["a-temperature-within", "b-temperature-within"],
        known: &[
            (["a-in-ice", "b-in-ice"], Known::Ice, ICE),
            (["a-boiling", "b-boiling"], Known::Boiling, BOIL),
            (["a-cold", "b-cold"], Known::Surroundings, 1.0),
        ],
        read_to: 0.5,
        half_scale: 60.0,
    },
    Family {
        word: "pressure",
        quantity: GaugePressure,
        unit: "bar",
        change_unit: "bar",
        lists: ["a-pressures", "b-pressures", "a-pressures-swapped", "b-pressures-swapped"],
        within: ["a-pressure-within", "b-pressure-within"],
        known: &[(["a-stopped", "b-stopped"], Known::Nothing, 0.0)],
        read_to: 0.04e5,
        half_scale: 5e5,
    },
    Family {
        word: "voltage",
        quantity: Voltage,
        unit: "V",
        change_unit: "V",
        lists: ["a-voltages", "b-voltages", "a-voltages-swapped", "b-voltages-swapped"],
        within: ["a-voltage-within", "b-voltage-within"],
        known: &[(["a-shorted", "b-shorted"], Known::Nothing, 0.0)],
        read_to: 0.03,
        half_scale: 8.0,
    },
];

impl Family {
    fn is_told(&self, given: &Given) -> bool {
        let known = self.known.iter().flat_map(|(keys, ..)| keys);
        self.lists.iter().chain(known).any(|key| !given.values(key).is_empty())
    }

    /// The one that is chosen, or else the one that is told of; and whether another is told of besides.
    pub fn told(given: &Given) -> Result<(&'static Family, bool), Refused> {
        let told: Vec<&Family> = FAMILIES.iter().filter(|family| family.is_told(given)).collect();
        let chosen = given.told("gauge-quantity").filter(|told| told.from == From::Told);
        let of_choice =
            told.iter().copied().find(|family| chosen.is_some() && family.word == given.word("gauge-quantity"));
        match (of_choice, &told[..]) {
            (Some(family), told) => Ok((family, told.len() > 1)),
            (None, [family]) if chosen.is_none() => Ok((family, false)),
            (None, [family, ..]) if chosen.is_some() => Err(Refused::of(
                "gauge-quantity",
                format!("readings of {} are told", family.word),
                "Choose what was read, or tell readings of what was chosen.",
            )),
            (None, []) => Err(Refused::together(
                "No reading of either gauge is told.",
                "Tell a-temperatures and b-temperatures, or a-pressures and b-pressures, or a-voltages and b-voltages.",
            )),
            _ => Err(Refused::together(
                "Readings of more than one sort are told.",
                "Choose by gauge-quantity which of them is to be compared: temperature, pressure or voltage.",
            )),
        }
    }
}
