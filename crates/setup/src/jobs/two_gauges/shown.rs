//! The answer in words, the correction to be pasted, and the drawing.

use super::weighed::{Gauges, Side, Weighed};
use crate::chart::{Chart, reach};
use crate::given::Given;
use crate::sketch::{Hold, Look, Sketch};
use crate::sure::sure;
use crate::worked::{Table, Worked};
use measure::figure::SIGMAS_TO_95;
use measure::quantity::Quantity::{Temperature, Voltage};
use measure::unit::convert_to;

/// From this chance on it is said outright.
const SURE: f64 = 0.7;

impl Gauges {
    /// A reading with its unit.
    fn print(&self, value: f64) -> String {
        let places = if self.family.quantity == Temperature { 1 } else { 2 };
        let written = convert_to(value, self.family.quantity, self.family.unit).unwrap_or(value);
        // A minus before nothing is none.
        let written = if written.abs() < 0.5 * 0.1f64.powi(places) { 0.0 } else { written };
        let places = places as usize;
        format!("{written:.places$} {}", self.family.unit)
    }

    /// A difference with its unit.
    fn change(&self, value: f64) -> String {
        let places = if self.family.quantity == Temperature { 1 } else { 2 };
        let quantity = self.family.quantity.difference();
        let written = convert_to(value, quantity, self.family.change_unit).unwrap_or(value);
        format!("{written:.places$} {}", self.family.change_unit)
    }

    /// Something of this gauge was read where the truth is known.
    fn is_known(&self, side: Side) -> bool {
        self.known.iter().any(|point| point.side == side)
    }
}

fn off(gauges: &Gauges, weighed: &Weighed, side: Side) -> String {
    let (off, doubt) = weighed.off(side, gauges.middle, gauges.middle);
    let way = if off < 0.0 { "too little" } else { "too much" };
    let doubt = gauges.change(SIGMAS_TO_95 * doubt);
    let bare = doubt.rsplit_once(' ').map_or(doubt.as_str(), |(number, _)| number);
    format!("{} ± {bare} {way} at {}", gauges.change(off.abs()), gauges.print(gauges.middle))
}

pub fn says(gauges: &Gauges, weighed: &Weighed) -> String {
    let lies = Side::BOTH.map(|side| weighed.lies(side));
    let (worse, other) = if lies[0] >= lies[1] { (Side::A, Side::B) } else { (Side::B, Side::A) };
    let chance = weighed.lies(worse);
    let name = gauges.name(worse);
    if weighed.neither() >= 0.5 {
        let each = Side::BOTH
            .into_iter()
            .filter(|side| gauges.has(*side))
            .map(|side| format!("{} shows {}", gauges.name(side), off(gauges, weighed, side)));
        return format!("Nothing says that either lies: {}.", each.collect::<Vec<_>>().join("; "));
    }
    if chance >= SURE && weighed.lies(other) >= SURE {
        let each = Side::BOTH.map(|side| format!("{} shows {}", gauges.name(side), off(gauges, weighed, side)));
        return format!("Both lie ({}, {}): {}.", sure(lies[0]), sure(lies[1]), each.join("; "));
    }
    if chance >= SURE {
        return format!("{name} lies: {}. It shows {}.", sure(chance), off(gauges, weighed, worse));
    }
    format!(
        "They do not agree, and nothing read tells which of them lies: {} {}, {} {}. Hold each against something of known truth.",
        gauges.name(Side::A),
        sure(lies[0]),
        gauges.name(Side::B),
        sure(lies[1])
    )
}

pub fn flags(worked: &mut Worked, gauges: &Gauges, weighed: &Weighed) {
    let flags = &mut worked.flags;
    if gauges.known.is_empty() {
        flags.push("Nothing was read where the truth is known: who lies rests on what each promises alone.".into());
    }
    if !gauges.pairs.is_empty() && !gauges.swapped() && !gauges.known.is_empty() {
        flags.push("They were not changed over: both are taken to stand at the same tap. In two places, the places may differ.".into());
    }
    if gauges.swapped() {
        let (place, doubt) = (weighed.at[4], weighed.sigma([0.0, 0.0, 0.0, 0.0, 1.0]));
        if place.abs() > SIGMAS_TO_95 * doubt {
            let (more, less) = if place > 0.0 { ("first", "second") } else { ("second", "first") };
            flags.push(format!(
                "The two places are not the same: the {more} has {} more than the {less}, whichever gauge stands there.",
                gauges.change(place.abs())
            ));
        }
    }
    if let Some(place) = weighed.odd {
        let which = gauges.pairs.get(place).map_or_else(
            || "One look in a known state".to_string(),
            |pair| format!("{} against {}", gauges.print(pair.a), gauges.print(pair.b)),
        );
        flags.push(format!("{which} stands out from the others: read it again."));
    }
    let lied: Vec<&str> =
        Side::BOTH.into_iter().filter(|side| weighed.lies(*side) >= SURE).map(|side| gauges.name(side)).collect();
    if lied.iter().any(|name| name.len() == 1) {
        flags.push(
            "Tell a-name and b-name as her text names them, and the correction can be pasted as it stands.".into(),
        );
    }
}

pub fn tables(worked: &mut Worked, given: &Given, gauges: &Gauges, weighed: &Weighed) {
    let names = Side::BOTH.map(|side| gauges.name(side).to_string());
    let looks = gauges.pairs.iter().map(|pair| {
        let told =
            [(Side::A, pair.a), (Side::B, pair.b)].map(|(side, shows)| weighed.truth(side, shows, gauges.middle));
        vec![
            if pair.swapped { "changed over" } else { "as they stand" }.to_string(),
            gauges.print(pair.a),
            gauges.print(pair.b),
            gauges.change(pair.a - pair.b),
            gauges.print(told[0]),
            gauges.print(told[1]),
        ]
    });
    if !gauges.pairs.is_empty() {
        let heads = [String::new(), names[0].clone(), names[1].clone(), "apart".into()];
        let truths = names.iter().map(|name| format!("truth by {name}"));
        worked.tables.push(Table {
            title: "What they showed, as read".into(),
            heads: heads.into_iter().chain(truths).collect(),
            rows: looks.collect(),
        });
    }
    if !gauges.known.is_empty() {
        let row = |point: &super::weighed::Point| {
            let shows =
                [gauges.print(point.shows), gauges.print(point.truth), gauges.change(point.shows - point.truth)];
            [format!("{} in {}", gauges.name(point.side), point.says)].into_iter().chain(shows).collect()
        };
        worked.tables.push(Table {
            title: "Where the truth is known".into(),
            heads: ["", "shows", "truth", "too much"].map(Into::into).into(),
            rows: gauges.known.iter().map(row).collect(),
        });
    }
    for side in Side::BOTH {
        let (off, doubt) = weighed.off(side, gauges.middle, gauges.middle);
        if gauges.has(side) && (weighed.lies(side) >= SURE || off.abs() > SIGMAS_TO_95 * doubt) {
            worked.tables.push(entry(given, gauges, weighed, side));
        }
    }
}

/// The correction as her text takes it: raw readings against the truth.
fn entry(given: &Given, gauges: &Gauges, weighed: &Weighed, side: Side) -> Table {
    let known = gauges.known.iter().filter(|point| point.side == side);
    let mut found: Vec<(f64, f64)> = known.map(|point| (point.shows, point.truth)).collect();
    let apart = |found: &[(f64, f64)], shows: f64| {
        found.iter().all(|(other, _)| (other - shows).abs() > 0.1 * gauges.family.half_scale)
    };
    for pair in &gauges.pairs {
        let shows = [pair.a, pair.b][side as usize];
        if apart(&found, shows) {
            found.push((shows, weighed.truth(side, shows, gauges.middle)));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    // The reader wants both to rise.
    found.dedup_by(|next, before| next.0 <= before.0 || next.1 <= before.1);
    let quoted = |values: Vec<f64>| {
        values.into_iter().map(|value| format!("\"{}\"", gauges.print(value))).collect::<Vec<_>>().join(", ")
    };
    let (_, doubt) = weighed.off(side, gauges.middle, gauges.middle);
    let other = gauges.name(if side == Side::A { Side::B } else { Side::A });
    let mut by: Vec<String> = Vec::new();
    for point in gauges.known.iter().filter(|point| point.side == side) {
        by.push(point.says.clone());
    }
    if !gauges.pairs.is_empty() {
        by.push(if gauges.swapped() { format!("{other}, changed over") } else { other.to_string() });
    }
    let day = given.text("day");
    let rows = [
        format!("on = {}", if day.is_empty() { "DAY" } else { day }),
        format!("by = \"{}\"", by.join("; ")),
        format!("reads = [{}]", quoted(found.iter().map(|(shows, _)| *shows).collect())),
        format!("true = [{}]", quoted(found.iter().map(|(_, truth)| *truth).collect())),
        format!("within = \"{}\"", gauges.change(SIGMAS_TO_95 * doubt)),
    ];
    Table {
        title: format!("The correction of {}, for her text", gauges.name(side)),
        heads: vec![format!("[[gauge.{}.calibrated]]", plant::names::folded(gauges.name(side)))],
        rows: rows.into_iter().map(|row| vec![row]).collect(),
    }
}

pub fn steps(worked: &mut Worked, gauges: &Gauges, weighed: &Weighed) {
    let quantity = gauges.family.quantity;
    let unproven = Side::BOTH.into_iter().any(|side| !gauges.is_known(side));
    if quantity == Temperature {
        let care = "Take a sender out only of a cold engine with the pressure off: hot coolant scalds. Boiling water does too.";
        if unproven {
            worked.step_with_care(
                "Put both senders into melting ice, then into fresh water at a rolling boil, each on its own wire; wait until nothing moves.",
                care,
            );
        } else {
            worked.step_with_care(
                "Put the senders back with their washers, cold, and look for drips when she is warm.",
                care,
            );
        }
    } else if quantity == Voltage {
        worked.step_with_care(
            "Read both across the same two posts with the leads changed over, then with each one's leads held together.",
            "A lead across a battery's posts welds and burns: one hand, no rings, tips covered.",
        );
    } else {
        worked.step_with_care(
            "Read both with the engine stopped and the pressure off; then at the same tap, one after the other at the same speed and temperature.",
            "Hot oil or water under pressure scalds: let it cool, and let the pressure off before a gauge is taken out.",
        );
    }
    if !gauges.swapped() {
        worked.step("Change them over, each in the other's place, and read again: what follows the gauge is the gauge, what stays is the place.");
    }
    let lied: Vec<&str> =
        Side::BOTH.into_iter().filter(|side| weighed.lies(*side) >= SURE).map(|side| gauges.name(side)).collect();
    if !lied.is_empty() {
        worked.step(format!(
            "Look at the wire, plug and earth of {} before it is corrected or renewed; then paste the correction, with the day.",
            lied.join(" and ")
        ));
    }
}

pub fn working(worked: &mut Worked, gauges: &Gauges, weighed: &Weighed) {
    for side in Side::BOTH.into_iter().filter(|side| gauges.has(*side)) {
        let (off, _) = weighed.off(side, gauges.middle, gauges.middle);
        let (scale, _) = weighed.scale(side);
        worked.working(
            "truth = m + (shows − m − offset) / factor",
            format!(
                "{}: m = {}, offset = {}, factor = {:.3}",
                gauges.name(side),
                gauges.print(gauges.middle),
                gauges.change(off),
                1.0 + scale
            ),
            "weighted least squares of offset and scale of both, with what each promises, [Gelman2013] ch. 14",
        );
    }
    if let Some(point) = gauges.known.iter().find(|point| point.says == "boiling water") {
        worked.working(
            "T = Ts(p)",
            format!("fresh water boils at {} under this air", gauges.print(point.truth)),
            "[IF97] eq. 31; air over height [USSA76]",
        );
    }
}

/// How much each shows too much, over the truth.
pub fn sketch(gauges: &Gauges, weighed: &Weighed) -> Sketch {
    let unit = gauges.family.unit;
    let change = gauges.family.quantity.difference();
    let x = |truth: f64| convert_to(truth, gauges.family.quantity, unit).unwrap_or(truth);
    let y = |off: f64| convert_to(off, change, gauges.family.change_unit).unwrap_or(off);
    let truths = gauges.pairs.iter().map(|pair| {
        f64::midpoint(weighed.truth(Side::A, pair.a, gauges.middle), weighed.truth(Side::B, pair.b, gauges.middle))
    });
    let truths: Vec<f64> = truths.collect();
    let (from, to) = reach(truths.iter().copied().chain(gauges.known.iter().map(|point| point.truth)));
    let (from, to) = if to > from {
        (from, to)
    } else {
        (from - 0.1 * gauges.family.half_scale, to + 0.1 * gauges.family.half_scale)
    };
    let sides: Vec<Side> = Side::BOTH.into_iter().filter(|side| gauges.has(*side)).collect();
    let at: Vec<f64> = (0..=20).map(|place| from + (to - from) * f64::from(place) / 20.0).collect();
    let edge = |side: Side, truth: f64, times: f64| {
        let (off, doubt) = weighed.off(side, truth, gauges.middle);
        y(off + times * SIGMAS_TO_95 * doubt)
    };
    let all = sides.iter().flat_map(|side| [from, to].map(|truth| [edge(*side, truth, -1.0), edge(*side, truth, 1.0)]));
    let points = gauges.known.iter().map(|point| y(point.shows - point.truth));
    let mut chart = Chart::new(
        "How much each gauge shows too much, over the truth; dashed: what it lies within; rings: looks.",
        (x(from), x(to)),
        reach(all.flatten().chain(points).chain([0.0])),
    );
    chart.upright(&format!("shows too much [{}]", gauges.family.change_unit));
    chart.level(&format!("truth [{unit}]"));
    chart.line(Look::Thin, &[(x(from), 0.0), (x(to), 0.0)]);
    let mut ends = Vec::new();
    for side in sides {
        let look = if side == Side::A { Look::Marked } else { Look::Firm };
        for (times, look) in [(-1.0, Look::Dashed), (1.0, Look::Dashed), (0.0, look)] {
            let line: Vec<(f64, f64)> = at.iter().map(|truth| (x(*truth), edge(side, *truth, times))).collect();
            chart.line(look, &line);
        }
        for point in gauges.known.iter().filter(|point| point.side == side) {
            chart.ring(look, (x(point.truth), y(point.shows - point.truth)));
        }
        for (pair, truth) in gauges.pairs.iter().zip(&truths) {
            let shows = [pair.a, pair.b][side as usize];
            // A gauge in the other place sees the other place.
            let first = (side == Side::A) != pair.swapped;
            let here = truth + weighed.at[4] * if first { 0.5 } else { -0.5 };
            chart.ring(look, (x(here), y(shows - here)));
        }
        ends.push((edge(side, to, 0.0), gauges.name(side).to_string()));
    }
    let height = |value: f64| chart.at(x(to), value).1;
    if let [one, two] = &ends[..]
        && (height(one.0) - height(two.0)).abs() < 4.0
    {
        ends = vec![(f64::midpoint(one.0, two.0), format!("{}, {}", one.1, two.1))];
    }
    for (end, name) in ends {
        chart.letters((x(to) + 0.01 * (x(to) - x(from)), end), Hold::Start, name);
    }
    chart.sketch
}
