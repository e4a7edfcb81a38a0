//! Curve of a sender: what it gives and what that means, and the entry for it.

use super::shared::{graph, percent, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::sketch::{Look, Sketch};
use crate::worked::Worked;
use measure::quantity::Quantity::{
    self, Current, GaugePressure, Level, Resistance, Temperature, TemperatureDifference, Voltage,
};
use measure::unit::{convert_to, print};
use physics::constants::ZERO_CELSIUS;
use physics::sender::platinum_class_b;
use plant::sends::Law;

mod reading;

use reading::{FLOATS, Sender, sender, unit};

pub const JOB: Job = Job {
    word: "sender-curve",
    title: "Curve of a sender",
    about: "What a sender gives at which value, what a reading of it means, and the entry for her description.",
    group: Group::Size,
    kinds: &[],
    task: None,
    asks: &[
        Ask::choice(
            "sender-sort",
            "What sort of sender",
            &[
                ("points", "any, measured at two points or more"),
                ("platinum", "platinum element, 100 or 1000 Ω at 0 °C"),
                ("thermistor", "thermistor of one resistance and its beta, or of three points"),
                ("type-k", "thermocouple of type K"),
                ("level-240-33", "float with 240 Ω empty and 33 Ω full"),
                ("level-10-180", "float with 10 Ω empty and 180 Ω full"),
            ],
        ),
        Ask::many("given-ohms", "What it gave, by a meter, its wire off", Resistance, (0.0, 1e7))
            .like("240, 103, 33 ohm")
            .may()
            .only("sender-sort", &["points", "thermistor"]),
        Ask::many("given-milliamps", "Or what it gave as a current", Current, (0.0, 0.1))
            .like("4, 20 mA")
            .may()
            .only("sender-sort", &["points"]),
        Ask::many("given-volts", "Or what it gave as a voltage", Voltage, (-1.0, 100.0))
            .like("0.5, 4.5 V")
            .may()
            .only("sender-sort", &["points"]),
        Ask::many("meant-temperatures", "Temperature at each of these", Temperature, (70.0, 1_700.0))
            .like("20, 60, 95 °C")
            .may()
            .only("sender-sort", &["points", "thermistor"]),
        Ask::many("meant-pressures", "Or pressure at each of these", GaugePressure, (-1e5, 1e8))
            .like("0, 5, 10 bar")
            .may()
            .only("sender-sort", &["points"]),
        Ask::many("meant-levels", "Or level at each of these", Level, (0.0, 1.0))
            .like("0, 50, 100 %")
            .may()
            .only("sender-sort", &["points"]),
        Ask::one(
            "sender-ohms",
            "Resistance of the element: of platinum at 0 °C, of a thermistor at 25 °C",
            Resistance,
            (0.1, 1e7),
        )
        .like("100 ohm")
        .may()
        .only("sender-sort", &["platinum", "thermistor"]),
        Ask::one("beta", "Beta of the thermistor", Temperature, (500.0, 19e3))
            .like("3950 K")
            .may()
            .only("sender-sort", &["thermistor"]),
        Ask::one("terminals", "Temperature where the thermocouple's wires end", Temperature, (230.0, 400.0))
            .like("35 °C")
            .usual("35 °C", "a warm engine space, common practice, no source")
            .about(3.0)
            .only("sender-sort", &["type-k"]),
        Ask::one("read-ohms", "A reading to be told", Resistance, (0.0, 1e7)).like("120 ohm").may(),
        Ask::one("read-milliamps", "The same as a current", Current, (0.0, 0.1)).like("12 mA").may(),
        Ask::one("read-millivolts", "The same as a voltage", Voltage, (-1.0, 100.0)).like("15.8 mV").may(),
    ],
    work,
};

/// How near an end must be to be that sender's [Ω]; what suppliers' pages differ by.
const NEAR: f64 = 10.0;
/// Resistors are sold in these steps of a tenfold, 5 %. Source: [IEC60063], from memory.
const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2,
    9.1,
];

/// The nearest resistor on sale [Ω].
fn resistor(ohms: f64) -> Option<f64> {
    if ohms < 0.5 {
        return None;
    }
    let power = 10f64.powf(ohms.log10().floor());
    let near = |a: &f64, b: &f64| (a / ohms).ln().abs().total_cmp(&(b / ohms).ln().abs());
    let steps = E24.iter().map(|step| (step * power * 1e3).round() / 1e3).chain([10.0 * power]);
    steps.min_by(near)
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let sender = sender(given)?;
    let curve = &sender.curve;
    let (least, most) = curve.ends();
    if least.is_nan() || most.is_nan() {
        return Err(Refused::together(
            "From frost to boiling oil this would give less than 10 mΩ or more than 10 MΩ: no sender does.",
            "Look at its resistances and units.",
        ));
    }
    let shown = |value: f64| print(value, sender.of, unit(sender.of)).unwrap_or_default();
    let mut worked =
        Worked { says: "Here is its table, and the entry for her description.".into(), ..Worked::default() };
    let keys = [("read-ohms", Resistance), ("read-milliamps", Current), ("read-millivolts", Voltage)];
    for (key, gives) in keys {
        let Some(signal) = given.maybe(key) else { continue };
        if gives != curve.gives {
            return Err(Refused::of(
                key,
                format!("this sender gives {}", curve.gives.name()),
                "Tell the reading of what it gives.",
            ));
        }
        let value = curve.reads(signal).map_err(|beyond| {
            Refused::of(
                key,
                format!(
                    "{} is outside {} to {}",
                    curve.shown(signal),
                    curve.shown(beyond.ends.0),
                    curve.shown(beyond.ends.1)
                ),
                "A wire is open or shorted, or it is another sender.",
            )
        })?;
        worked.result("value", "What the reading means", value, sender.of, unit(sender.of));
        worked.says = format!("{} means {}.", curve.shown(signal), shown(value));
    }
    let step = (sender.ends.1 - sender.ends.0) / 10.0;
    let values: Vec<f64> = (0..=10).map(|k| sender.ends.0 + step * f64::from(k)).collect();
    let ohms = curve.gives == Resistance;
    let rows = values.iter().filter_map(|value| {
        let signal = curve.sends(value.clamp(sender.ends.0, sender.ends.1))?;
        let mut row = vec![shown(*value), curve.shown(signal)];
        if ohms {
            row.push(resistor(signal).map_or("–".into(), |near| format!("{near} Ω")));
            row.push(resistor(signal).and_then(|near| curve.reads(near).ok()).map_or("–".into(), shown));
        }
        Some(row)
    });
    let heads = ["value", "it gives", "resistor in its place", "then shown"];
    worked.tables.push(table("What it gives", if ohms { &heads } else { &heads[..2] }, rows.collect()));
    said(given, &sender, &mut worked);
    worked.step_with_care(
        "Measure it with the engine stopped and its wire off; take it out only of a cold engine with the pressure off.",
        "Hot coolant and oil scald, and fuel stands behind a fuel sender.",
    );
    if ohms {
        worked.step("To try gauge and wire without the sender, put the resistor of the table between its wire and ground: the gauge must show what stands beside it.");
    }
    worked.step(format!("Paste into the section of its gauge in her description: sends = {{ {} }}", sender.entry));
    worked.sketch = Some(sketch(&sender));
    Ok(worked)
}

/// Law and its source, and which known sender the points are.
fn said(given: &Given, sender: &Sender, worked: &mut Worked) {
    match &sender.curve.law {
        Law::Platinum(nominal) => {
            worked.working(
                "R = R₀ (1 + a t + b t²), below 0 °C with c (t − 100) t³",
                format!("R₀ = {nominal} Ω"),
                "[IEC60751]",
            );
            worked.result(
                "class-b",
                "How far an element of class B may be off at 100 °C",
                platinum_class_b(ZERO_CELSIUS + 100.0),
                TemperatureDifference,
                "K",
            );
        }
        Law::Thermistor(_) => worked.working(
            "1/T = a + b ln R + c (ln R)³",
            "through what was told; of one point and beta c = 0",
            "[SteinhartHart1968]",
        ),
        Law::TypeK(terminals) => worked.working(
            "volts at the terminals = E(hot) − E(terminals)",
            format!(
                "the terminals at {} give {} that is added before the table is read: volts add up, degrees do not",
                show(*terminals, Temperature, "°C"),
                show(physics::sender::type_k_voltage(*terminals), Voltage, "mV")
            ),
            "[ITS90-K]",
        ),
        Law::Points(points) => {
            worked.working("straight lines between the points", format!("{} points", points.len()), "definition");
            let (first, last) = (points[0], points[points.len() - 1]);
            if sender.of == Level && given.word("sender-sort") == "points" && sender.curve.gives == Resistance {
                let (empty, full) = if first.1 < last.1 { (first.0, last.0) } else { (last.0, first.0) };
                let known = FLOATS.iter().find(|(_, a, b)| (a - empty).abs() <= NEAR && (b - full).abs() <= NEAR);
                worked.flags.push(known.map_or_else(
                    || "Its ends are those of no usual float sender: a gauge made for a usual one shows wrong with it.".into(),
                    |(name, ..)| format!("Its ends are those of a sender of {name}: that is what to order, and the gauge must be made for it."),
                ));
            }
            if sender.of == Level {
                worked.flags.push("Floats go by steps and by the shape of the tank: half way on the float is half the litres only in a box. Measure more points while the tank fills.".into());
            }
            if points.len() == 2 && sender.of == Temperature && sender.curve.gives == Resistance {
                let bend = points[0].0 / points[1].0;
                worked.flags.push(format!("Two points of a temperature sender ({} of one another) miss how it bends: three points as sender-sort=thermistor are far nearer between them.", percent(bend)));
            }
        }
    }
    let ends = sender.curve.ends();
    worked.result("least", "Least that it gives", ends.0, sender.curve.gives, signal_unit(sender.curve.gives, ends));
    worked.result("most", "Most that it gives", ends.1, sender.curve.gives, signal_unit(sender.curve.gives, ends));
}

fn signal_unit(gives: Quantity, ends: (f64, f64)) -> &'static str {
    match gives {
        Current => "mA",
        Voltage if ends.1 < 0.2 => "mV",
        Voltage => "V",
        _ => "Ω",
    }
}

fn sketch(sender: &Sender) -> Sketch {
    let unit_of_signal = signal_unit(sender.curve.gives, sender.curve.ends());
    let written = |value: f64| convert_to(value, sender.of, unit(sender.of)).unwrap_or(value);
    let at = |k: i32| sender.ends.0 + (sender.ends.1 - sender.ends.0) * f64::from(k) / 100.0;
    let curve: Vec<(f64, f64)> = (0..=100)
        .filter_map(|k| {
            Some((written(at(k)), convert_to(sender.curve.sends(at(k))?, sender.curve.gives, unit_of_signal)?))
        })
        .collect();
    let (low, high) =
        curve.iter().fold((0.0_f64, f64::MIN_POSITIVE), |(low, high), point| (low.min(point.1), high.max(point.1)));
    let what = format!("it gives [{unit_of_signal}]");
    let of = format!("{} [{}]", sender.of.name(), unit(sender.of));
    let ends = (written(sender.ends.0), written(sender.ends.1));
    graph(
        "What the sender gives over what it measures.",
        (&of, ends),
        (&what, (low, high * 1.05)),
        &[(Look::Firm, curve, String::new())],
    )
}
