//! How often things fail on this vessel: as the project's table has it, or as her owner knows better. There is one rate of
//! each way to fail, for whoever asks.

use crate::evidence::Named;
use crate::evidence_names::kind_of;
use crate::plant::{Part, PartId, Plant};
use parts::kind::{Cause, Link};
use parts::rates::{self, Rate};

/// How often a part fails in one way, as the owner tells it.
#[derive(Clone, Debug)]
pub struct OwnRate {
    /// The part or gauge.
    pub of: Named,
    /// Name of the way to fail in its kind's table.
    pub cause: &'static str,
    /// The rate that counts: his middle, with the width of the table's belief.
    pub rate: Rate,
    /// As he wrote it.
    pub told: String,
}

impl Plant {
    /// How often a part or gauge fails in one way: the owner's figure if he tells one, else the table's.
    pub fn rate(&self, of: Named, cause: &Cause) -> Option<Rate> {
        self.own_rate(of, cause).map(|own| own.rate).or_else(|| rates::rate(cause.rate).copied())
    }

    /// The owner's own figure for it.
    pub fn own_rate(&self, of: Named, cause: &Cause) -> Option<&OwnRate> {
        self.rates.iter().find(|own| own.of == of && own.cause == cause.name)
    }

    /// Does a part that serves this engine fail that very way? What an engine is said to suffer in general, as of its
    /// turbocharger, is then that part's; and so is what a propeller is said to suffer of its shaft, if bearing or gland is
    /// told.
    pub fn told_of_a_part(&self, named: Named, cause: &Cause) -> bool {
        let whole = match named {
            Named::Part(whole) => whole,
            // What a gauge is said to suffer of its sender or ground is that part's, where it has a name of its own.
            Named::Gauge(gauge) => {
                let own = |part: PartId| self[part].kind.causes.iter().any(|own| own.rate == cause.rate);
                return self[gauge].chain.members().any(own);
            }
        };
        // What looks at every engine aboard, as the space they stand in, serves each.
        let serves = |part: &Part| part.engine == Some(whole) || part.kind.links.contains(&Link::EveryGas);
        let on_shaft = |part: &Part| part.kind.links.iter().any(|link| matches!(link, Link::Shaft(_)));
        let drives_her = self[whole].kind.unknowns.iter().any(|unknown| unknown.name == "boat_speed");
        let other = |(id, part): &(usize, &Part)| {
            let of_shaft = drives_her && part.engine == self[whole].engine && on_shaft(part);
            (serves(part) || of_shaft) && *id != whole.0
        };
        let mut others = self.parts.iter().enumerate().filter(other);
        others.any(|(_, part)| part.kind.causes.iter().any(|own| own.rate == cause.rate))
    }

    /// The causes of a part or gauge that are counted with it and not with a part that it is told apart into.
    pub fn own_causes(&self, named: Named) -> impl Iterator<Item = &'static Cause> + '_ {
        kind_of(self, named).causes.iter().filter(move |cause| !self.told_of_a_part(named, cause))
    }
}
