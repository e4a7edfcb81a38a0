//! Where the plant is run, and where a gauge looks, in words.

use crate::saying;
use measure::quantity::Quantity;
use measure::unit::print_usual;
use parts::kind::Circuit;
use parts::laws::Point;
use plant::plant::{GaugeId, Plant, Tap};

/// Is the engine stopped?
pub fn stopped(point: &Point<f64>) -> bool {
    point.speed < 1.0
}

/// "at 1500 rpm, sea 18 °C"; out of gear is said, a usual load or the design pitch is not.
pub fn in_words(point: &Point<f64>) -> String {
    let sea = print_usual(point.sea, Quantity::Temperature);
    if stopped(point) {
        return format!("stopped and cold, sea {sea}");
    }
    let speed = speed(point.speed);
    let load = match point.load {
        load if load < 0.02 => ", out of gear".to_string(),
        load if (load - 1.0).abs() > 0.02 => format!(", load {:.0} % of calm water", 100.0 * load),
        _ => String::new(),
    };
    let pitch =
        if (point.pitch - 1.0).abs() > 0.005 { format!(", pitch {:.0} %", 100.0 * point.pitch) } else { String::new() };
    format!("at {speed}{load}{pitch}, sea {sea}")
}

/// A speed [rad/s] to the nearest ten turns a minute, as tachometers are read.
pub fn speed(speed: f64) -> String {
    let turns = speed * 60.0 / std::f64::consts::TAU;
    format!("{:.0} rpm", (turns / 10.0).round() * 10.0)
}

/// The circuit a gauge is listed under.
pub fn circuit_of(plant: &Plant, gauge: GaugeId) -> Circuit {
    match plant[gauge].tap {
        Tap::Pressure(node) | Tap::Voltage(node) | Tap::Temperature(node) => plant.nodes[node.0].circuit,
        Tap::Drop(flow) | Tap::Flow(flow) | Tap::Meter(flow) => plant.flows[flow.0].circuit,
        Tap::Unknown(part, _) => plant[part].kind.circuit,
        Tap::Sea => Circuit::RawWater,
        Tap::Air => Circuit::Air,
    }
}

/// Where a gauge looks: "raw pump out", "across strainer port".
pub fn looks_at(plant: &Plant, gauge: GaugeId) -> String {
    let part = |flow: plant::plant::FlowId| saying::key(&plant[plant.flows[flow.0].part].name);
    match plant[gauge].tap {
        Tap::Pressure(node) | Tap::Voltage(node) | Tap::Temperature(node) => saying::key(&plant.nodes[node.0].name),
        Tap::Drop(flow) => format!("across {}", part(flow)),
        Tap::Flow(flow) | Tap::Meter(flow) => format!("through {}", part(flow)),
        Tap::Unknown(of, place) => {
            let unknown = plant[of].kind.unknowns.get(place).map_or("", |unknown| unknown.name);
            format!("{} {}", saying::key(&plant[of].name), saying::key(unknown))
        }
        Tap::Sea => "sea".into(),
        Tap::Air => "outside air".into(),
    }
}
