//! Clearances found and left, valve by valve: which to set, how far to turn the screw, and what they say of wear.

use super::order::{Engine, Valve};
use crate::given::Given;
use crate::job::Refused;
use crate::jobs::by_cylinder::{median, scatter};
use crate::worked::{Kept, Table, Worked};
use measure::quantity::Quantity::{Length, Ratio, TemperatureDifference};
use measure::unit::print_usual;
use physics::valve_train::{ALUMINIUM, AUSTENITIC_STEEL, CAST_IRON, STEEL, clearance_gain};

/// A valve that lies farther from the middle of its like than so many times their spread is the odd one out [1].
const ODD: f64 = 3.5;

/// Found, left and wanted of one sort of valve, cylinder by cylinder.
struct Row {
    valve: Valve,
    found: Vec<f64>,
    left: Vec<f64>,
    wanted: Option<f64>,
}

/// Judges what was found and left.
pub fn judge(given: &Given, engine: &Engine, worked: &mut Worked) -> Result<(), Refused> {
    let rows = [
        (Valve::Inlet, "found-inlet", "left-inlet", "wanted-inlet", "hot-inlet"),
        (Valve::Exhaust, "found-exhaust", "left-exhaust", "wanted-exhaust", "hot-exhaust"),
    ];
    let count = engine.order.len();
    let hot = given.word("engine-is") == "hot";
    let within = given.value("clearance-within")?;
    let mut told = Vec::new();
    for (valve, found, left, wanted, when_hot) in rows {
        if !engine.open.iter().any(|(one, ..)| *one == valve) {
            continue;
        }
        for key in [found, left] {
            let values = given.list(key).len();
            if values != 0 && values != count {
                let why = format!("{values} values for {count} cylinders");
                return Err(Refused::of(key, why, "Tell one for each cylinder, in the order of their numbers."));
            }
        }
        let wanted = wanted_now(given, valve, (wanted, when_hot), hot, worked);
        told.push(Row { valve, found: given.list(found), left: given.list(left), wanted });
    }
    if told.iter().all(|row| row.found.is_empty() && row.left.is_empty()) {
        return Ok(());
    }
    table(given, &told, within, worked);
    for row in &told {
        wear(row, within, worked);
    }
    for cylinder in 0..count {
        for row in &told {
            let at = |values: &[f64]| values.get(cylinder).copied();
            let (found, left) = (at(&row.found), at(&row.left));
            if found.is_some() || left.is_some() {
                let name = format!("clearance cylinder {} {}", cylinder + 1, row.valve.word());
                worked.kept.push(Kept { name, found, left, quantity: Length, unit: "mm" });
            }
        }
    }
    Ok(())
}

/// What the maker wants with the engine as it is; where he tells it for the other state only, an estimate.
fn wanted_now(
    given: &Given,
    valve: Valve,
    (cold_key, hot_key): (&str, &str),
    hot: bool,
    worked: &mut Worked,
) -> Option<f64> {
    let (cold, warm) = (given.maybe(cold_key), given.maybe(hot_key));
    let gain = gain(given, valve);
    let word = valve.word();
    if let Some((gain, with)) = &gain {
        worked.result(
            format!("warming-{word}"),
            format!("{} clearance from cold to hot, an estimate", capital(word)),
            *gain,
            Length,
            "mm",
        );
        worked.working(
            "Δ = l_valve (α_head ΔT_head − α_valve ΔT_valve) + i l_rod (α_block ΔT_block − α_rod ΔT_rod)",
            with.clone(),
            "geometry; expansions and temperatures from memory",
        );
    }
    let (here, other) = if hot { (warm, cold) } else { (cold, warm) };
    if here.is_some() || other.is_none() {
        return here;
    }
    let gain = gain.map(|(gain, _)| if hot { gain } else { -gain });
    let (is, told) = if hot { ("hot", "cold") } else { ("cold", "hot") };
    let Some(gain) = gain else {
        worked.flags.push(format!(
            "The {word} clearance is told for the {told} engine and she is {is}: tell the maker's {is} one, or valve-length and \
             pushrod-length for an estimate. Nothing is judged by it."
        ));
        return None;
    };
    worked.flags.push(format!(
        "The {word} clearance for the {is} engine is an estimate from the {told} one; the maker's own goes before it."
    ));
    other.map(|other| (other + gain).max(0.0))
}

/// What a clearance gains from cold to hot, and how it was worked.
fn gain(given: &Given, valve: Valve) -> Option<(f64, String)> {
    let (stem, rod) = (given.maybe("valve-length")?, given.maybe("pushrod-length")?);
    let (expands, key) = match valve {
        Valve::Inlet => (STEEL, "inlet-valve-warms"),
        Valve::Exhaust => (AUSTENITIC_STEEL, "exhaust-valve-warms"),
    };
    let block = if given.word("block-of") == "aluminium" { ALUMINIUM } else { CAST_IRON };
    let (hot, warm) = (given.maybe(key)?, given.maybe("block-warms")?);
    let ratio = given.maybe("rocker-ratio")?;
    let gain = clearance_gain(stem, (expands * hot, block * warm), rod, (STEEL * warm, block * warm), ratio);
    let kelvin = |rise: f64| print_usual(rise, TemperatureDifference);
    let with = format!(
        "{}: {} · ({:.1} · {} − {:.1} · {}) + {ratio} · {} · ({:.1} − {:.1}) · {}, expansions in µm/(m K), = {}",
        valve.word(),
        whole(stem),
        block * 1e6,
        kelvin(warm),
        expands * 1e6,
        kelvin(hot),
        whole(rod),
        block * 1e6,
        STEEL * 1e6,
        kelvin(warm),
        mm(gain)
    );
    Some((gain, with))
}

fn table(given: &Given, rows: &[Row], within: f64, worked: &mut Worked) {
    let pitch = given.maybe("screw-pitch").zip(given.maybe("rocker-ratio"));
    let mut table = Table {
        title: "Clearances".into(),
        heads: ["cylinder", "valve", "found", "wanted", "off by", "do", "left"].map(String::from).to_vec(),
        rows: Vec::new(),
    };
    let (mut out, mut judged, mut left_out) = (0, 0, Vec::new());
    let count = rows.iter().map(|row| row.found.len().max(row.left.len())).max().unwrap_or(0);
    for cylinder in 0..count {
        for row in rows {
            let (found, left) = (row.found.get(cylinder).copied(), row.left.get(cylinder).copied());
            let off = |value: Option<f64>| value.zip(row.wanted).map(|(value, wanted)| value - wanted);
            let bad = |off: f64| off.abs() > within + 1e-9;
            judged += usize::from(off(found).is_some());
            let verdict = match off(found) {
                Some(off) if bad(off) => {
                    out += 1;
                    let way = if off > 0.0 { "close" } else { "open" };
                    let turn = pitch.map(|(pitch, ratio)| {
                        let (turns, degrees) = (off.abs() / pitch / ratio, off.abs() / pitch / ratio * 360.0);
                        format!(", {turns:.2} turn ({degrees:.0}°)")
                    });
                    format!("{way}{}", turn.unwrap_or_default())
                }
                Some(_) => "let be".into(),
                None => String::new(),
            };
            if off(left).is_some_and(bad) {
                left_out.push(format!("{} {}", cylinder + 1, row.valve.word()));
            }
            let show = |value: Option<f64>| value.map_or_else(String::new, mm);
            let cells =
                [show(found), show(row.wanted), off(found).map_or_else(String::new, signed), verdict, show(left)];
            let name = [(cylinder + 1).to_string(), row.valve.word().to_string()];
            table.rows.push(name.into_iter().chain(cells).collect());
        }
    }
    worked.tables.push(table);
    if judged > 0 {
        worked.result("to-set", "Valves to set", f64::from(out), Ratio, "");
        worked.say(if out == 0 {
            format!("All {judged} clearances are within {} of what is wanted.", mm(within))
        } else {
            format!("{out} of {judged} clearances are to be set.")
        });
    }
    if pitch.is_some() && out > 0 {
        worked.working(
            "turn = d / (pitch · rocker ratio)",
            "for each valve in the table; the screw is taken to stand at the pushrod's end of the rocker, ratio 1 where it is at the valve",
            "geometry",
        );
    }
    if !left_out.is_empty() {
        worked.flags.push(format!("Left more than {} off: {}.", mm(within), left_out.join(", ")));
    }
}

/// What the clearances of one sort of valve say.
fn wear(row: &Row, within: f64, worked: &mut Worked) {
    let word = row.valve.word();
    let numbers = |of: &dyn Fn(f64) -> bool| -> Option<String> {
        let which = row.found.iter().enumerate().filter(|(_, found)| of(**found));
        let all: Vec<String> = which.map(|(place, _)| (place + 1).to_string()).collect();
        (!all.is_empty()).then(|| all.join(", "))
    };
    if let Some(which) = numbers(&|found| found < 0.02e-3) {
        worked.flags.push(format!(
            "No clearance at {word} {which}: the valve may stand open when hot, burns at its seat and loses compression. \
             Measure compression after it is set."
        ));
    }
    if let Some(wanted) = row.wanted {
        if let Some(which) = numbers(&|found| found < wanted - within - 1e-9) {
            worked.flags.push(match row.valve {
                Valve::Exhaust => format!(
                    "Tight: exhaust {which}. The seat has worn back or the valve has stretched; tight again at the next setting \
                     says the head comes off before long."
                ),
                Valve::Inlet => format!("Tight: inlet {which}. The valve has sunk into its seat, or it was set so."),
            });
        }
        if let Some(which) = numbers(&|found| found > wanted + within + 1e-9) {
            worked.flags.push(format!(
                "Wide: {word} {which}. Wear of rocker pad, stem end, pushrod end, tappet or cam, or a screw that has worked \
                 loose; wide again soon after setting says the cam or its tappet goes."
            ));
        }
    }
    // The odd one out, by the middle of all and the middle of how far they lie from it.
    if row.found.len() >= 4 {
        let middle = median(&row.found);
        let most = (ODD * scatter(&row.found)).max(within);
        if let Some(which) = numbers(&|found| (found - middle).abs() > most + 1e-9) {
            worked.flags.push(format!(
                "Odd one out: {word} {which}, where the others lie about {}. One alone is its own valve, rocker, pushrod or cam; \
                 measure it again first.",
                mm(middle)
            ));
        }
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn mm(length: f64) -> String {
    format!("{:.2} mm", length * 1e3)
}

fn whole(length: f64) -> String {
    format!("{:.0} mm", length * 1e3)
}

fn signed(length: f64) -> String {
    format!("{:+.2} mm", length * 1e3)
}
