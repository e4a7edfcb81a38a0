//! What each kind of part is for, in plain words for somebody new aboard, where the round passes it, and what it is to
//! the cards. The one place where the book knows kinds by name; a kind of the owner's own goes by its title and circuit.

use parts::kind::{Circuit, Kind};

/// The stops of a round, always walked in this order. Common practice, no source.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stop {
    /// At the door, before going in.
    Door,
    /// The bilge.
    Bilge,
    /// Where the sea comes in: intakes, seacocks, strainers.
    Inlet,
    /// The raw-water pump.
    RawPump,
    /// Heat exchangers and coolers.
    Coolers,
    /// The header tank.
    Header,
    /// The engine itself, its oil and its coolant.
    Engine,
    /// Its cylinders.
    Cylinders,
    /// Fuel, from tank to injectors.
    Fuel,
    /// Air and starting air.
    Air,
    /// Exhaust.
    Exhaust,
    /// Belts, alternators and batteries.
    Charging,
    /// The gearbox.
    Gear,
    /// The shaft, to the propeller.
    Shaft,
    /// Hydraulics and steering.
    Hydraulics,
    /// The helm, where the same is read once more.
    Helm,
}

impl Stop {
    /// All, in order.
    pub const ALL: [Stop; 16] = [
        Stop::Door,
        Stop::Bilge,
        Stop::Inlet,
        Stop::RawPump,
        Stop::Coolers,
        Stop::Header,
        Stop::Engine,
        Stop::Cylinders,
        Stop::Fuel,
        Stop::Air,
        Stop::Exhaust,
        Stop::Charging,
        Stop::Gear,
        Stop::Shaft,
        Stop::Hydraulics,
        Stop::Helm,
    ];

    /// The words on a sheet.
    pub fn title(self) -> &'static str {
        match self {
            Stop::Door => "At the door",
            Stop::Bilge => "Bilge",
            Stop::Inlet => "Sea inlet and strainer",
            Stop::RawPump => "Raw-water pump",
            Stop::Coolers => "Coolers",
            Stop::Header => "Header tank",
            Stop::Engine => "Engine",
            Stop::Cylinders => "Cylinders",
            Stop::Fuel => "Fuel",
            Stop::Air => "Air",
            Stop::Exhaust => "Exhaust",
            Stop::Charging => "Belts and charging",
            Stop::Gear => "Gearbox",
            Stop::Shaft => "Shaft and propeller",
            Stop::Hydraulics => "Hydraulics and steering",
            Stop::Helm => "Helm",
        }
    }

    /// What eyes, hands, ears and nose do there, whatever the gauges say. Common practice, no source.
    pub fn senses(self) -> &'static str {
        match self {
            Stop::Door => "Heat on the face; smell of fuel, hot paint, rubber or exhaust; any new noise.",
            Stop::Bilge => "How high it stands, and its colour: clear sea, oily, or coolant.",
            Stop::Inlet => "Weed or bubbles in the bowl; any drip; the handle where it belongs.",
            Stop::RawPump => "A drip or salt below it; a bearing that sounds rough; hot to the hand.",
            Stop::Coolers => "Weeping joints, salt crust, one end cold.",
            Stop::Header => "Level in the glass, colour, froth; a cap that hisses stays shut.",
            Stop::Engine => "A knock, a tick, a leak, a bracket that has come loose; oil mist from the breather.",
            Stop::Cylinders => "One that is cold or hot beside the others.",
            Stop::Fuel => "Smell of fuel, unions that sweat, water in a bowl.",
            Stop::Air => "Vents clear, filter dry, no hatch that sucks shut.",
            Stop::Exhaust => "Soot, hiss, smoke from lagging; water at the outlet where it is cooled by water.",
            Stop::Charging => "Belt dust, a squeal, a lug or a battery that is warm.",
            Stop::Gear => "Whine, a leak, colour of the oil.",
            Stop::Shaft => "A shaft that whips, a wet coupling, drips counted over a minute.",
            Stop::Hydraulics => "Oil under rams and hoses, foam in the tank.",
            Stop::Helm => "Whatever disagrees with what was read below.",
        }
    }
}

/// What a part is to the cards and to starting and stopping.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// Nothing that they name.
    Plain,
    /// Keeps weed out.
    Strainer,
    /// The same, in pairs, changed over while it runs.
    DuplexStrainer,
    /// Draws raw water.
    RawPump,
    /// Raw water cools something in it.
    RawCooler,
    /// The sea cools coolant through the hull.
    HullCooler,
    /// Has a pressure cap that scalds.
    Header,
    /// Sprays water into the exhaust.
    Injection,
    /// Exhaust without water.
    DryStack,
    /// Oil level is read here.
    Sump,
    /// Cleans engine oil.
    OilFilter,
    /// Holds fuel.
    Tank,
    /// Cleans fuel.
    FuelFilter,
    /// The same, in pairs.
    DuplexFuelFilter,
    /// Fuel can be primed by it.
    FuelPump,
    /// Stores current.
    Battery,
    /// Turned with the engine stopped or dead: a crank.
    HandStart,
    /// Starts her with air.
    AirStart,
    /// Stores that air.
    AirReceiver,
    /// Pumps the bilge by current.
    BilgePump,
    /// By hand.
    HandBilgePump,
    /// By the engine.
    EngineBilgePump,
    /// Drives the ship's way by pitch.
    Pitch,
    /// Puts her ahead and astern.
    Gearbox,
    /// Oil under high pressure.
    Hydraulics,
    /// Turns the rudder.
    Steering,
    /// Keeps the sea out where the shaft goes through.
    Gland,
    /// Spins long after the engine stops.
    Turbo,
    /// Draws in the engine's air.
    AirFilter,
    /// A belt or chain.
    Belt,
}

/// What is told of a kind.
#[derive(Debug)]
pub struct Told {
    /// The kind's word in a vessel file.
    pub kind: &'static str,
    /// Where the round passes it; none goes by what flows in it.
    pub stop: Option<Stop>,
    /// What the cards know it as.
    pub role: Role,
    /// What it is for: whole sentences that begin with "It".
    pub what: &'static str,
}

/// What is told of a kind; nothing of one of the owner's own.
pub fn told(kind: &Kind) -> Option<&'static Told> {
    crate::kinds_told::TOLD.iter().find(|told| told.kind == kind.name)
}

/// What the cards know it as.
pub fn role(kind: &Kind) -> Role {
    told(kind).map_or(Role::Plain, |told| told.role)
}

/// Where the round passes what carries this.
pub fn stop_of(circuit: Circuit) -> Stop {
    match circuit {
        Circuit::RawWater => Stop::Inlet,
        Circuit::FreshWater => Stop::Coolers,
        Circuit::Oil => Stop::Engine,
        Circuit::Exhaust => Stop::Exhaust,
        Circuit::GearOil => Stop::Gear,
        Circuit::Fuel => Stop::Fuel,
        Circuit::Air => Stop::Air,
        Circuit::Bilge => Stop::Bilge,
        Circuit::Drive => Stop::Shaft,
        Circuit::Charging => Stop::Charging,
        Circuit::Gauges => Stop::Helm,
    }
}

#[cfg(test)]
mod tests {
    use parts::catalogue::KINDS;

    #[test]
    fn every_kind_is_explained_once_in_whole_sentences() {
        let told = |name: &str| crate::kinds_told::TOLD.iter().filter(|told| told.kind == name).count();
        let parts = KINDS.iter().filter(|kind| !plant::names::is_gauge(kind));
        let wrong: Vec<&str> = parts.map(|kind| kind.name).filter(|name| told(name) != 1).collect();
        assert_eq!(wrong, Vec::<&str>::new(), "one row of each");
        for told in crate::kinds_told::TOLD {
            let what = told.what;
            assert!(what.starts_with("It ") && what.ends_with('.') && what.len() > 30, "{}: {what}", told.kind);
            assert!(KINDS.iter().any(|kind| kind.name == told.kind), "{} is no kind", told.kind);
        }
    }
}
