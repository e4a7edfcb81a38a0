//! What a part's laws read of other parts, beside what flows through it.

/// A quantity of another part that a law reads.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Link {
    /// Speed of whatever turns this part (its `driven_by`, else the engine) [rad/s]; 0 if nothing does.
    DriverSpeed,
    /// An unknown of the engine this part serves, by name.
    Engine(&'static str),
    /// An unknown, by name, of what stands before this part on the propeller shaft: its `driven_by`, else the shaft part described
    /// before it, else the gearbox, else the engine, whose own turns and power stand for those of a shaft.
    Shaft(&'static str),
    /// Sum of the unknowns of this name of all that this engine turns, straight or by way of others.
    Drawn(&'static str),
    /// Sum of the unknowns of this name of the parts that this one turns.
    Turned(&'static str),
    /// Water fed to the stern tube of the engine this part serves [kg/s]; 0 if none is.
    Fed,
    /// How hard the load is to turn against a clean hull: the propeller's `demand` [1]; 1 if there is none.
    Demand,
    /// Speed through the water [m/s]; 0 if she has no propeller.
    BoatSpeed,
    /// Water injected upstream of this exhaust part [kg/s]; 0 before the elbow or in a dry exhaust.
    Injected,
    /// An unknown of what gives this part its charge air, by name: for an engine the cooler behind the turbocharger if it has
    /// one, else the turbocharger, which is also what a cooler asks; 0 of an engine that draws its air in unaided.
    Charge(&'static str),
    /// How far the feed fills the injection pump of the engine this part serves: its `delivery` [1]; 1 if there is none.
    Delivery,
    /// Sum of the unknowns of this name of every part upstream in the same circuit (air drawn in, fuel in the oil).
    Upstream(&'static str),
    /// Sum of the unknowns of this name of every part that serves the same engine: what its cylinders are short of.
    Own(&'static str),
    /// Sum of the unknowns of this name of every part aboard; 0 if none has one: the air of the engine space.
    All(&'static str),
    /// Gas that the engine this part serves gives [kg/s].
    Gas,
    /// Its temperature where it leaves the ports [K]; 0 if there is no engine.
    GasTemperature,
    /// Gas that all engines aboard give [kg/s]: what they draw in, and their fuel.
    EveryGas,
}
