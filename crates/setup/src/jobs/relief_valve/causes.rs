//! Which of gauge, filter, oil, bearings and setting explains what is read.

use super::circuit::Circuit;
use super::{BAR, SURE, Verdict, bar, celsius, rpm};
use crate::given::Given;
use crate::sure::{below, sure};
use crate::worked::{Table, Worked};
use physics::constants::ZERO_CELSIUS as ZERO;
use physics::halving::zero;
use physics::oil::Oil;
use physics::oil_pressure::clearance_for;

/// A gauge that shows more than this at rest is off [Pa].
const AT_REST: f64 = 0.1 * BAR;
/// A filter that takes more than this warm wants renewing [Pa]; common practice, no source.
const FILTER: f64 = 0.7 * BAR;
/// Cold oil that makes so many times the pressure of warm oil shows that the valve is shut when warm [1].
const HELD_SHUT: f64 = 1.25;
/// Less of the sound pressure than this is wear, or thin oil, and not the spread of such figures [1].
const WORN: f64 = 0.6;
/// Most fuel in the oil that is reckoned with [1].
const FUEL: f64 = 0.3;

/// Tells of each, in the order in which it is looked at: the cheapest look first.
pub fn tell(worked: &mut Worked, given: &Given, circuit: &Circuit, verdict: Verdict, limited: f64, idle_low: f64) {
    let mut rows = vec![gauge(given), filter(given)];
    rows.extend(lost(circuit, limited, idle_low));
    rows.push(setting(circuit, verdict));
    worked.tables.push(Table {
        title: "What explains the pressure, the cheapest look first".into(),
        heads: ["", "So?", "Because"].map(Into::into).into(),
        rows: rows.into_iter().map(Vec::from).collect(),
    });
}

type Row = [String; 3];

fn row(what: &str, so: &str, because: impl Into<String>) -> Row {
    [what.into(), so.into(), because.into()]
}

fn gauge(given: &Given) -> Row {
    match given.maybe("gauge-at-rest") {
        Some(rest) if rest.abs() > AT_REST => {
            row("gauge", "yes, in part", format!("it shows {} at rest; taken off every reading here", bar(rest)))
        }
        Some(_) => {
            row("gauge", "not its zero", "it stands at nothing when she is stopped; a second gauge tells the rest")
        }
        None => row("gauge", "not told", "read it stopped, and hold a second gauge against it"),
    }
}

fn filter(given: &Given) -> Row {
    let (Some(before), Some(after)) = (given.maybe("before-filter"), given.maybe("after-filter")) else {
        return row("filter", "not told", "read before and after it: clogged, it looks like a low setting");
    };
    let takes = before - after;
    let so = if takes > FILTER { "yes" } else { "no" };
    row("filter", so, format!("it takes {}; {} or more warm is too much", bar(takes), bar(FILTER)))
}

/// The oil and the bearings: both let the pressure go in the same way.
fn lost(circuit: &Circuit, limited: f64, idle_low: f64) -> Vec<Row> {
    let free = circuit.now.free;
    let needed = circuit.wanted.max(circuit.least_idle * circuit.rated / circuit.idle);
    let chance = limited.max(idle_low);
    if !circuit.free_known() && chance < SURE {
        let why = format!("nothing read is low enough to tell; read warm at idle, about {}", rpm(circuit.idle));
        return vec![row("oil too thin", "cannot tell", why.clone()), row("bearings or pump", "cannot tell", why)];
    }
    if chance < 1.0 - SURE || free >= needed {
        let mut why = format!("without the valve she would make {} warm at {}", bar(free), rpm(circuit.rated));
        if let Some(sound) = circuit.sound {
            why = format!("{why}; a sound one about {}", bar(sound));
        }
        let worn = circuit.sound.is_some_and(|sound| free < WORN * sound);
        let so = if worn { "not so far that it matters" } else { "no" };
        return vec![row("oil too thin", so, why.clone()), row("bearings or pump", so, why)];
    }
    let share = (free / needed).clamp(1e-3, 1.0);
    let so = format!("one of the two: {}", sure(chance));
    vec![
        row("oil too thin", &so, thinner(circuit, share)),
        row(
            "bearings or pump",
            &so,
            format!(
                "they pass {:.1} times what they may: clearances {:.2} times",
                1.0 / share,
                clearance_for(1.0 / share)
            ),
        ),
    ]
}

/// What would thin the oil so far.
fn thinner(circuit: &Circuit, share: f64) -> String {
    let wanted = share * circuit.warm;
    let fuel = |share: f64| Oil::diluted(circuit.oil.nu40_m2s, circuit.oil.nu100_m2s, share).viscosity(circuit.warm_at);
    let hotter = zero((circuit.warm_at, ZERO + 180.0), |temperature| wanted - circuit.oil.viscosity(temperature));
    let with_fuel = if fuel(FUEL) < wanted {
        format!("{:.0} % fuel in it", zero((0.0, FUEL), |share| wanted - fuel(share)) * 100.0)
    } else {
        "more fuel in it than anyone would miss".into()
    };
    format!("it would take {with_fuel}, or oil at {} in the bearings", celsius(hotter))
}

fn setting(circuit: &Circuit, verdict: Verdict) -> Row {
    let plateau = circuit.now.cracks + circuit.now.rise;
    let wide = circuit.sigma_at(circuit.rated, circuit.warm);
    let low = below(circuit.now.at(circuit.rated, circuit.warm), wide, circuit.wanted);
    let holds = format!("it lets all go by {}; wanted {}", bar(plateau), bar(circuit.wanted));
    match verdict {
        Verdict::Limited => row("setting of the valve", "no", "it is shut before the pressure is there"),
        Verdict::Idle => match circuit.cold_share() {
            Some(share) if share > HELD_SHUT => row(
                "setting of the valve",
                "no",
                "turned, it changed nothing, and cold she makes more: it is shut when warm",
            ),
            Some(_) => row(
                "valve stuck",
                "likely",
                "turned, it changed nothing, and cold she makes no more: held, or the pump is gone",
            ),
            None => row(
                "valve stuck",
                "cannot tell",
                "turned, it changed nothing: shut when warm, or stuck; read with cold oil at speed",
            ),
        },
        Verdict::Right => row("setting of the valve", "no", holds),
        Verdict::First => row("setting of the valve", "not at idle", "at idle it is shut and has no say"),
        Verdict::Move(by) | Verdict::Unscaled(by) if by < 0.0 => {
            row("setting of the valve", &format!("yes, too high: {}", sure(1.0 - low)), holds)
        }
        _ => row("setting of the valve", &format!("yes, too low: {}", sure(low)), holds),
    }
}
