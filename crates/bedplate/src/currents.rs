//! The currents behind the readings: what is made, stored and used, and what is lost on the way.

use crate::circuits::in_order;
use model::steady::{Model, State};
use parts::kind::{Circuit, Probe};
use physics::electrical::run_time;
use plant::plant::{PartId, Plant, Terminal};

/// A current through a part.
pub struct Current {
    /// The part.
    pub part: String,
    /// What becomes of the current in it: "is made by".
    pub does: &'static str,
    /// Current in the drawn direction [A]; into a battery is above zero.
    pub amperes: f64,
    /// Voltage of its live side against ground [V].
    pub volts: f64,
    /// Voltage lost along it [V]; nothing for what ends in ground.
    pub lost: Option<f64>,
    /// How long a battery lasts at what it gives now [s]; nothing for one that is charged.
    pub lasts: Option<f64>,
}

/// Under this a current is none [A].
const NONE: f64 = 0.05;
/// The discharge for which makers state what a battery holds [s].
const TWENTY_HOURS: f64 = 72e3;
/// A battery that lasts longer is not spoken of [s]: a week.
const LONG: f64 = 7.0 * 86_400.0;

impl Current {
    /// Does anything pass?
    pub fn passes(&self) -> bool {
        self.amperes.abs() >= NONE
    }
}

/// Every current, in the order it flows.
pub fn all(model: &Model, state: &State, parameters: &[f64]) -> Vec<Current> {
    let plant = &model.plant;
    let first = |part| model.layout.first_parameter(part);
    let electric = Circuit::ALL.into_iter().filter(|circuit| circuit.is_electric());
    electric
        .flat_map(|circuit| in_order(plant, circuit))
        .filter_map(|id| {
            let flow = &plant.flows[id.0];
            let amperes = model.probe(state, flow.part, Probe::Flow(flow.passage))?;
            let grounded = [flow.from, flow.to].contains(&Terminal::Ground);
            let (from, to) = (model.pressure_at(state, flow.from), model.pressure_at(state, flow.to));
            let gives = plant.stores(id).filter(|_| amperes <= -NONE);
            let lasts = gives.and_then(|_| lasts(plant, parameters, first(flow.part), flow.part, -amperes));
            Some(Current {
                part: plant[flow.part].name.clone(),
                does: plant[flow.part].kind.passages[flow.passage].does,
                amperes,
                volts: if flow.from == Terminal::Ground { to } else { from },
                lost: (!grounded).then_some((from - to) * amperes.signum()),
                lasts: lasts.filter(|seconds| *seconds < LONG),
            })
        })
        .collect()
}

/// How long a battery lasts at a current [s], from its own figures.
fn lasts(plant: &Plant, parameters: &[f64], first: usize, part: PartId, amperes: f64) -> Option<f64> {
    let place = |name: &str| plant[part].kind.parameters.iter().position(|parameter| parameter.name == name);
    let figure = |name: &str| parameters.get(first + place(name)?).copied();
    let holds = figure("capacity")? * figure("sound")?;
    Some(run_time(holds, TWENTY_HOURS, amperes, figure("peukert")?) * figure("charge")?)
}
