//! Where a kind usually stands: what completes a description that leaves parts out.

use super::Circuit;

/// A kind's usual place in a circuit. Common practice, no source, wherever a kind states one.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// In the main path.
    Along {
        /// The circuit.
        circuit: Circuit,
        /// Where along the flow. Kinds at one station stand in for each other.
        station: Station,
        /// How it comes to be there.
        role: Role,
    },
    /// On a way of its own beside the main path.
    Beside {
        /// The circuit.
        circuit: Circuit,
        /// Its passage on that way.
        passage: &'static str,
        /// The station the way leaves after; none if its own start is in the main path already.
        after: Option<Station>,
        /// The station the way comes back before; none if it ends in the open.
        before: Option<Station>,
        /// Every plant with this circuit has it, told or not.
        usual: bool,
    },
}

/// Places along a circuit, in the order of the flow; each circuit has some of them.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Station {
    /// Where it comes from: an opening in the hull, a tank, a sump, the engine's ports.
    Source,
    /// What draws it from there.
    Pickup,
    /// What shuts it off.
    Valve,
    /// What holds back the coarse dirt.
    Strainer,
    /// What lets it one way only.
    NonReturn,
    /// What holds back the fine dirt ahead of the pump.
    SuctionFilter,
    /// What moves it.
    Pump,
    /// What holds back the fine dirt after it.
    Filter,
    /// What it takes heat from before the engine: gear oil.
    GearCooler,
    /// Engine oil.
    OilCooler,
    /// Charge air.
    ChargeCooler,
    /// The engine itself.
    Engine,
    /// What drives or is driven by exhaust gas.
    Turbine,
    /// What gives way to heat and shaking.
    Flexible,
    /// What decides which way it goes.
    Thermostat,
    /// What it gives its heat to, or takes the coolant's from.
    Cooler,
    /// What keeps the sea from siphoning in.
    Loop,
    /// Where water and gas meet.
    Mixer,
    /// What leads the gas away.
    Pipe,
    /// What quiets it.
    Silencer,
    /// Where it leaves.
    End,
    /// What stores current.
    Bank,
    /// What uses it.
    Consumer,
}

/// How a kind comes to be at its station.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// The circuit cannot do without it or what stands in for it.
    Needed,
    /// It is there if the owner says nothing of the circuit at all.
    Usual,
    /// It is there if it is told of.
    IfTold,
    /// A path that begins with an open port begins with it.
    Begins,
    /// The main path ends with it if it would end with an open port.
    Ends,
}

/// In the main path of a circuit.
pub const fn along(circuit: Circuit, station: Station, role: Role) -> Place {
    Place::Along { circuit, station, role }
}
