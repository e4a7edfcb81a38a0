//! The units against a printed standard, against themselves, and against bad input.

use measure::quantity::Quantity::{self, *};
use measure::reading::parse_reading;
use measure::unit::{UnitError, convert_to, parse, parse_change, print, print_usual, usual_unit};

#[track_caller]
fn agrees(text: &str, quantity: Quantity, printed: f64, within: f64) {
    let ours = parse(text, quantity).unwrap_or_else(|error| panic!("{text}: {error}"));
    assert!((ours - printed).abs() <= within * printed.abs(), "{text}: printed {printed}, we compute {ours}");
}

/// Seven printed digits, hence within half a unit of the last.
const ROUNDING: f64 = 5e-7;

#[test]
fn factors_agree_with_the_printed_standard() {
    // [SP811] appendix B.8, as printed.
    for (text, quantity, printed) in [
        ("1 bar", GaugePressure, 1.0e5),
        ("1 psi", GaugePressure, 6.894757e3),
        ("1 psia", Pressure, 6.894757e3),
        ("1 atm_abs", Pressure, 1.01325e5),
        ("1 inHg", GaugePressure, 3.386389e3),
        ("1 mmHg", GaugePressure, 1.333224e2),
        ("1 inH2O", PressureDifference, 2.490889e2),
        ("1 ftH2O", PressureDifference, 2.989067e3),
        ("1 mmH2O", PressureDifference, 9.80665),
        ("1 kgf/cm2", GaugePressure, 9.80665e4),
        ("1 hp", Power, 7.456999e2),
        ("1 hp_metric", Power, 7.354988e2),
        ("1 BTU/h", Power, 2.930711e-1),
        ("1 lb/h", MassFlow, 1.259979e-4),
        ("1 lb/min", MassFlow, 7.559873e-3),
        ("1 gal_us/min", VolumeFlow, 6.309020e-5),
        ("1 cfm", VolumeFlow, 4.719474e-4),
        ("1 gal_us", Volume, 3.785412e-3),
        ("1 in3", Volume, 1.638706e-5),
        ("1 ft3", Volume, 2.831685e-2),
        ("1 in", Length, 2.54e-2),
        ("1 ft", Length, 3.048e-1),
        ("1 nm", Length, 1.852e3),
        ("1 in2", Area, 6.4516e-4),
        ("1 ft2", Area, 9.290304e-2),
        ("1 lb", Mass, 4.535924e-1),
        ("1 oz", Mass, 2.834952e-2),
        ("1 t", Mass, 1e3),
        ("1 km/h", Velocity, 2.777778e-1),
        ("1 mph", Velocity, 4.4704e-1),
        ("1 ft/s", Velocity, 3.048e-1),
        ("1 lbf ft", Torque, 1.355818),
        ("1 lbf in", Torque, 1.129848e-1),
        ("1 cSt", KinematicViscosity, 1e-6),
        ("1 cP", DynamicViscosity, 1e-3),
        ("1 lb/ft3", Density, 1.601846e1),
        ("1 g/cm3", Density, 1e3),
        ("1 deg", Angle, 1.745329e-2),
        ("1 d", Duration, 8.64e4),
    ] {
        agrees(text, quantity, printed, ROUNDING);
    }
}

#[test]
fn factors_agree_with_values_from_memory() {
    for (text, quantity, remembered) in [
        ("1 gal_imp", Volume, 4.54609e-3),
        ("1 gal_imp/h", VolumeFlow, 1.262803e-6),
        ("1 kn", Velocity, 5.144444e-1),
        ("1 rpm", RotationalSpeed, 1.047198e-1),
        ("10 1/s", RotationalSpeed, 62.83185),
        ("1 lbf/in", SpringRate, 1.751268e2),
        ("1 lbf", Force, 4.448222),
        ("1 kgf", Force, 9.80665),
        ("1 lb/(hp h)", SpecificConsumption, 1.689659e-7),
        ("1 g/kWh", SpecificConsumption, 2.777778e-10),
        ("1 mH2O", PressureDifference, 9.80665e3),
    ] {
        agrees(text, quantity, remembered, ROUNDING);
    }
}

#[test]
fn temperatures_agree_at_their_fixed_points() {
    // Ice, boiling water, and where the two scales cross.
    for (text, kelvin) in [("0 °C", 273.15), ("32 F", 273.15), ("212 °F", 373.15), ("100 C", 373.15), ("-40 F", 233.15)]
    {
        agrees(text, Temperature, kelvin, 1e-12);
    }
    agrees("-400 F", Temperature, 33.15, 1e-12);
    agrees("9 F_diff", TemperatureDifference, 5.0, 1e-12);
    assert_eq!(parse_change("9 °F", Temperature).map(f64::round), Ok(5.0));
}

#[test]
fn spellings_of_one_unit_agree() {
    let same: &[(Quantity, &[&str])] = &[
        (Temperature, &["62 °C", "62 C", "62°C", "62 degC", "62 deg C", "62 º C", "62 ℃"]),
        (GaugePressure, &["2 bar", "2 Bar", "2bar", "200 kPa", "2 bar_g", "2 bar(g)", "2 barg"]),
        (Pressure, &["2 bar_abs", "2 bar abs", "2 bar(abs)", "2 bara", "200 kPa_abs"]),
        (VolumeFlow, &["60 L/min", "60 l/min", "60 L / min", "1 L/s", "3.6 m3/h", "3.6 m³/h", "3.6 m^3/h"]),
        (Length, &["1-1/2 in", "1 1/2 in", "1½ in", "1.5 inch", "1.5\"", "38.1 mm", "38100 µm", "38100 μm"]),
        (Torque, &["10 Nm", "10 N m", "10 N·m", "0.01 kNm"]),
        (DynamicViscosity, &["2 mPa s", "2 mPa·s", "2 cP"]),
        (HydraulicResistance, &["2000 Pa/(kg/s)²", "2000 Pa/(kg/s)^2", "2 kPa/(kg/s)2"]),
        (Ratio, &["0.6", "60 %", "60%", "3/5"]),
        (RotationalSpeed, &["1500 rpm", "1500 RPM", "1500 1/min", "25 1/s"]),
        (Power, &["88 kW", "88 KW", "88000 W"]),
    ];
    for (quantity, texts) in same {
        let first = parse(texts[0], *quantity).unwrap();
        for text in *texts {
            agrees(text, *quantity, first, 1e-12);
        }
    }
}

#[test]
fn every_unit_of_every_quantity_goes_there_and_back() {
    for &quantity in Quantity::ALL {
        let units: Vec<_> = quantity.units().collect();
        assert!(!units.is_empty(), "{quantity:?}");
        for unit in units {
            for written in [0.25, 1.0, 3.0, 1500.0, 2e5] {
                let value =
                    parse(&format!("{written} {unit}"), quantity).unwrap_or_else(|e| panic!("{written} {unit}: {e}"));
                let back = convert_to(value, quantity, unit).unwrap();
                assert!((back - written).abs() <= 1e-9 * written.max(300.0), "{written} {unit} came back as {back}");
                let printed = print(value, quantity, unit).unwrap();
                let again = parse(&printed, quantity).unwrap();
                // Three digits are kept; a temperature keeps tenths of a degree.
                assert!((again - value).abs() <= 0.0051 * value.abs(), "{written} {unit} is printed as {printed}");
            }
        }
    }
}

#[test]
fn the_words_of_every_quantity_can_be_read_back() {
    for &quantity in Quantity::ALL {
        assert!(parse(quantity.example(), quantity).is_ok(), "{}", quantity.example());
        assert!(!quantity.name().is_empty());
        assert_eq!(convert_to(7.0, quantity, quantity.si_unit()), Some(7.0), "{}", quantity.si_unit());
        assert!(convert_to(7.0, quantity, usual_unit(quantity)).is_some(), "{}", usual_unit(quantity));
        assert!(parse(&print_usual(300.0, quantity), quantity).is_ok(), "{}", print_usual(300.0, quantity));
        assert_eq!(quantity.difference().difference(), quantity.difference());
    }
}

#[test]
fn values_print_as_an_owner_would_write_them() {
    for (value, quantity, printed) in [
        (2.413e5, GaugePressure, "2.41 bar"),
        (2.4e5, GaugePressure, "2.4 bar"),
        (-1.2e4, GaugePressure, "-0.12 bar"),
        (1.01325e5, Pressure, "1.01 bar_abs"),
        (351.5, Temperature, "78.4 °C"),
        (273.149, Temperature, "0 °C"),
        (4.0, TemperatureDifference, "4 K"),
        (0.003, VolumeFlow, "180 L/min"),
        (157.0796, RotationalSpeed, "1500 rpm"),
        (74e3, Power, "74 kW"),
        (0.118, Length, "118 mm"),
        (14.6, Length, "14.6 m"),
        (0.027, Volume, "27 L"),
        (3.8584, Velocity, "7.5 kn"),
        (0.6, Ratio, "0.6"),
        (0.6, Level, "60 %"),
        (0.0, Mass, "0 kg"),
        (2e-5, FoulingResistance, "2e-5 K/W"),
        (45.0, Duration, "45 s"),
        (2400.0, Duration, "40 min"),
        (36000.0, Duration, "10 h"),
    ] {
        assert_eq!(print_usual(value, quantity), printed);
    }
    assert_eq!(print(2.4e5, GaugePressure, "psi").as_deref(), Some("34.8 psi"));
    assert_eq!(print(2.4e5, GaugePressure, "psia"), None);
    assert_eq!(print(1.0, Length, "furlong"), None);
    assert_eq!(convert_to(1.0, Length, "kg"), None);
}

#[test]
fn each_fault_has_its_own_answer() {
    let wrong = |unit: &str, is, wanted| UnitError::WrongQuantity { unit: unit.into(), is, wanted };
    let unknown = |unit: &str, quantity, nearest| UnitError::UnknownUnit { unit: unit.into(), quantity, nearest };
    let text = |t: &str| t.to_string();
    for (written, quantity, error) in [
        ("", Length, UnitError::Empty),
        ("bar", GaugePressure, UnitError::NoNumber { text: text("bar") }),
        ("NaN K", Temperature, UnitError::NotFinite { text: text("NaN K") }),
        ("1e308 km", Length, UnitError::NotFinite { text: text("1e308 km") }),
        ("35", Angle, UnitError::NoUnit { text: text("35"), quantity: Angle, expected: text("°, rad") }),
        ("2 barr", GaugePressure, unknown("barr", GaugePressure, Some("bar"))),
        ("2 mpa", GaugePressure, unknown("mpa", GaugePressure, Some("MPa"))),
        ("12 v", Voltage, unknown("v", Voltage, Some("V"))),
        ("2 furlongs", Length, unknown("furlongs", Length, None)),
        ("0.5 1", Ratio, unknown("1", Ratio, None)),
        ("3 Nm", Length, wrong("Nm", Torque, Length)),
        ("3 nm", Torque, wrong("nm", Length, Torque)),
        ("180 L/min", MassFlow, wrong("L/min", VolumeFlow, MassFlow)),
        ("8 °C", TemperatureDifference, wrong("°C", Temperature, TemperatureDifference)),
        ("8 C_diff", Temperature, wrong("C_diff", TemperatureDifference, Temperature)),
        ("1 bar_abs", GaugePressure, wrong("bar_abs", Pressure, GaugePressure)),
        ("1 psia", PressureDifference, wrong("psia", Pressure, PressureDifference)),
        ("1 psig", PressureDifference, wrong("psig", GaugePressure, PressureDifference)),
        ("1 bar", Pressure, wrong("bar", GaugePressure, Pressure)),
        ("60 %", GaugePressure, wrong("%", Ratio, GaugePressure)),
        ("14,6 m", Length, UnitError::DecimalComma { text: text("14,6 m") }),
        ("3 gal/h", VolumeFlow, UnitError::BareGallon { text: text("3 gal/h") }),
        ("3 GPM", VolumeFlow, UnitError::BareGallon { text: text("3 GPM") }),
        ("3 gallons", Volume, UnitError::BareGallon { text: text("3 gallons") }),
        ("-1 K", Temperature, UnitError::BelowAbsoluteZero { text: text("-1 K"), quantity: Temperature }),
        ("-300 C", Temperature, UnitError::BelowAbsoluteZero { text: text("-300 C"), quantity: Temperature }),
        ("-1 bar_abs", Pressure, UnitError::BelowAbsoluteZero { text: text("-1 bar_abs"), quantity: Pressure }),
        ("-3 L", Volume, UnitError::NegativeNotAllowed { text: text("-3 L"), quantity: Volume }),
    ] {
        assert_eq!(parse(written, quantity), Err(error), "{written}");
    }
    agrees("-12 kPa", GaugePressure, -12e3, 1e-12);
    agrees("-0.4 m", Length, -0.4, 1e-12);
}

#[test]
fn messages_say_what_to_write() {
    for (written, quantity, hint) in [
        ("8 °C", TemperatureDifference, "write `K` (a difference)"),
        ("1 bar_abs", GaugePressure, "write `bar`"),
        ("1 bar", Pressure, "`bar_abs`"),
        ("3 gal", Volume, "`gal_us` or `gal_imp`"),
        ("14,6 m", Length, "write a point"),
        ("35", GaugePressure, "`2.4 bar`"),
        ("2 barr", GaugePressure, "did you mean `bar`?"),
    ] {
        let message = parse(written, quantity).unwrap_err().to_string();
        assert!(message.contains(hint), "{written}: {message}");
    }
}

/// Pieces that have broken parsers before, to be put together in every pair.
const SCRAPS: &[&str] = &[
    "",
    " ",
    "-",
    "+",
    ".",
    ",",
    "/",
    "1/",
    "/2",
    "1",
    "0",
    "1e",
    "1e+",
    "e9",
    "1e309",
    "NaN",
    "inf",
    "½",
    "1½",
    "−",
    "–",
    "\0",
    "\n",
    "\u{7f}",
    "\u{202e}",
    "\u{a0}",
    "℃",
    "°",
    "µ",
    "²",
    "٣",
    "日本",
    "🚢",
    "é",
    "e\u{301}",
    "bar",
    "C",
    "K",
    "(",
    ")",
    "_",
    "usual",
    "over usual",
    "under usual",
    "about ",
    "~",
    "and",
    "climbing",
    "off the scale high",
    "1 1/2",
    "1-",
    "1-1/0",
];

#[test]
fn no_input_panics_and_every_value_is_finite() {
    let long = ["9".repeat(100_000), "x".repeat(100_000), format!("1 {}", "é".repeat(100_000)), "1/".repeat(50_000)];
    let pairs = SCRAPS.iter().flat_map(|a| SCRAPS.iter().flat_map(move |b| [format!("{a}{b}"), format!("3 {a}{b}")]));
    for text in pairs.chain(long) {
        for quantity in [Temperature, Ratio, Length] {
            for outcome in [parse(&text, quantity), parse_change(&text, quantity)] {
                match outcome {
                    Ok(value) => assert!(value.is_finite(), "{text:?}"),
                    Err(error) => {
                        let message = error.to_string();
                        assert!(message.chars().count() < 250 && !message.contains('\n'), "{message:?}");
                    }
                }
            }
            if let Err(error) = parse_reading(&text, quantity) {
                assert!(!error.to_string().is_empty());
            }
        }
    }
}

#[test]
fn values_that_are_no_numbers_still_print() {
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN_POSITIVE, -0.0] {
        for &quantity in Quantity::ALL {
            assert!(!print_usual(value, quantity).is_empty());
        }
    }
}
