//! The chain from sender to dial, and what a fault anywhere along it makes a gauge show.
//!
//! # Source
//! Ohm's law on a sender whose resistance is what is read, in series with its wire and ground: resistance added reads as
//! more of it, an open wire as endless, a grounded one as none. Which way the needle then goes is the sender's sort.

/// Which way a sender's resistance goes as what is read rises.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub enum Sends {
    /// It falls: temperature senders, and the 240 to 33 ohm family. Taken where nothing is told; common practice, no source.
    #[default]
    Falling,
    /// It rises: the 10 to 180 ohm family.
    Rising,
}

/// What shows the reading.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub enum Head {
    /// A bimetal that the sender's current heats: it follows the supply. Taken where nothing is told.
    #[default]
    Bimetal,
    /// Two coils whose currents are compared: the supply cancels.
    CrossedCoil,
    /// A signal that is no resistance: pulses, a current loop, a data line.
    Electronic,
    /// A tube or a spring, and no wire.
    Mechanical,
}

/// How a faulty gauge, sender or wire falsifies what it shows.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Misreads {
    /// Too high, by anything up to a third of the scale.
    High,
    /// Too low, by anything up to a third of the scale.
    Low,
    /// Wrong either way; gauges that share the fault all the way that their senders give.
    Either,
    /// At the low stop.
    LowStop,
    /// At the high stop.
    HighStop,
    /// The sender's circuit is open.
    Open,
    /// The wire to the sender lies on ground.
    Grounded,
    /// Resistance is added to the sender's circuit.
    Resistance,
    /// The instrument gets too little voltage.
    Undervoltage,
    /// The instrument gets none.
    NoSupply,
    /// An alarm that speaks though nothing is wrong.
    CriesWolf,
    /// An alarm that keeps silent.
    Silent,
}

impl Misreads {
    /// What a fault of the chain comes to on a gauge with this sender and head; nothing where it does not reach it.
    pub fn on_gauge(self, sends: Sends, head: Head) -> Option<Misreads> {
        use Misreads::*;
        let more = if sends == Sends::Rising { High } else { Low };
        let (open, shut) = if sends == Sends::Rising { (HighStop, LowStop) } else { (LowStop, HighStop) };
        match (self, head) {
            (CriesWolf | Silent, _)
            | (Open | Grounded | Resistance | Undervoltage | NoSupply, Head::Mechanical)
            | (Resistance | Undervoltage, Head::Electronic)
            | (Undervoltage, Head::CrossedCoil) => None,
            (High | Low | Either | LowStop | HighStop, _) => Some(self),
            // A signal that fails is no signal.
            (NoSupply, _) | (Open | Grounded, Head::Electronic) => Some(LowStop),
            (Open, _) => Some(open),
            (Grounded, _) => Some(shut),
            // Less voltage drives less current, as more resistance does.
            (Resistance, _) | (Undervoltage, Head::Bimetal) => Some(more),
        }
    }

    /// What it comes to on an alarm whose switch closes to ground; nothing where it does not reach it.
    pub fn on_alarm(self) -> Option<Misreads> {
        use Misreads::*;
        match self {
            CriesWolf | Silent => Some(self),
            Grounded | HighStop => Some(CriesWolf),
            Open | Resistance | Undervoltage | NoSupply | Either | LowStop => Some(Silent),
            High | Low => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a divider reads: the share of the scale that a sender's resistance stands for, with so much added to it [ohm].
    fn reads(at: (f64, f64), share: f64, added: f64) -> f64 {
        let (low, high) = at;
        (low + (high - low) * share + added - low) / (high - low)
    }

    #[test]
    fn the_way_a_gauge_goes_is_that_of_its_resistance() {
        // The two families in ohm at the low and the high mark.
        for (sends, family) in [(Sends::Falling, (240.0, 33.0)), (Sends::Rising, (10.0, 180.0))] {
            let way = |added: f64| if reads(family, 0.5, added) > 0.5 { Misreads::High } else { Misreads::Low };
            assert_eq!(Misreads::Resistance.on_gauge(sends, Head::CrossedCoil), Some(way(20.0)));
            let stop = |off: f64| if off > 0.0 { Misreads::HighStop } else { Misreads::LowStop };
            assert_eq!(Misreads::Open.on_gauge(sends, Head::Bimetal), Some(stop(reads(family, 0.5, 1e6) - 0.5)));
            let none = -(family.0 + family.1) / 2.0;
            assert_eq!(Misreads::Grounded.on_gauge(sends, Head::Bimetal), Some(stop(reads(family, 0.5, none) - 0.5)));
        }
    }

    #[test]
    fn only_a_head_that_measures_current_follows_the_supply() {
        let low = |head| Misreads::Undervoltage.on_gauge(Sends::Falling, head);
        assert_eq!(low(Head::Bimetal), Some(Misreads::Low));
        assert_eq!((low(Head::CrossedCoil), low(Head::Electronic), low(Head::Mechanical)), (None, None, None));
        assert_eq!(Misreads::Open.on_gauge(Sends::Falling, Head::Mechanical), None);
    }

    #[test]
    fn a_switch_that_loses_its_wire_is_silent_and_one_on_ground_cries_wolf() {
        assert_eq!(Misreads::Open.on_alarm(), Some(Misreads::Silent));
        assert_eq!(Misreads::Grounded.on_alarm(), Some(Misreads::CriesWolf));
        assert_eq!(Misreads::High.on_alarm(), None);
    }
}
