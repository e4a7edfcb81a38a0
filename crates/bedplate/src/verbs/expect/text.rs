//! The answer of `expect` for people.

use super::{Answer, Boils, name};
use crate::circuits::{CircuitFlow, HeatBalance, flow_in_words};
use crate::currents::Current;
use crate::page::{Side, columns, wrapped};
use measure::figure::Origin;
use measure::quantity::Quantity;
use measure::unit::print_usual;
use model::expect::Band;
use parts::kind::{Circuit, When};
use plant::plant::Plant;
use std::fmt::Write as _;
use watch::assumed::{self, Told};
use watch::dial;
use watch::escape::{Unseen, alike_in_words, in_words};
use watch::place::{self, circuit_of};
use watch::saying::{self, list, sentence};

/// Which typical figures are listed.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Figures {
    /// Only those that make the bands wide.
    Heaviest,
    /// Every one.
    All,
}

/// Figures shown as making the bands wide.
const HEAVIEST: usize = 6;
/// A share of the width below this is not worth a measurement [1].
const SLIGHT: f64 = 0.01;

pub fn of(answer: &Answer, figures: Figures) -> String {
    if let Some(boils) = &answer.boils {
        return boiling(answer, boils) + "\n" + &rests_on(answer, figures);
    }
    [verdict(answer), gauges(answer), unseen(answer), behind(answer), rests_on(answer, figures)]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

/// The gauges and what stands behind them, without what is assumed.
pub fn gauges_of(answer: &Answer) -> String {
    [verdict(answer), gauges(answer)].join("\n")
}

fn boiling(answer: &Answer, boils: &Boils) -> String {
    let at = place::in_words(&answer.expected.point);
    let long = match (boils.minutes, boils.holds_at) {
        (Some(minutes), Some(speed)) => {
            let long = if minutes < 1.0 { "less than a minute".into() } else { format!("about {minutes:.0} min") };
            format!("taken up from {}, where it still holds, it boils in {long}", place::speed(speed))
        }
        (None, Some(speed)) => format!("it boils; at {} it still holds", place::speed(speed)),
        (_, None) => "it boils, and at every lower speed too".into(),
    };
    wrapped(&format!("{} {at} has no steady state: {long} (at {}).", name(&answer.model.plant), boils.part), "", "")
}

/// One sentence that answers.
fn verdict(answer: &Answer) -> String {
    let plant = &answer.model.plant;
    let expected = &answer.expected;
    let at = place::in_words(&expected.point);
    if place::stopped(&expected.point) {
        let text = format!(
            "{} {at}: pressures read next to nothing, and thermometers what is around them, the sea or the engine \
             room; a gauge that does not is wrong.",
            name(plant)
        );
        return wrapped(&text, "", "");
    }
    let first = |circuit, quantity| {
        let found = expected.bands.iter().find(|band| {
            let gauge = &plant[band.gauge];
            gauge.trips.is_none() && gauge.quantity == quantity && circuit_of(plant, band.gauge) == circuit
        });
        found.map(|band| {
            let gauge = &plant[band.gauge];
            let (value, low, high) = on_dial(plant, band);
            let unit = dial::with_unit(&value, dial::unit(gauge));
            format!("{} about {unit} ({low} to {high})", gauge.name)
        })
    };
    let named: Vec<String> =
        [first(Circuit::FreshWater, Quantity::Temperature), first(Circuit::Oil, Quantity::GaugePressure)]
            .into_iter()
            .flatten()
            .collect();
    let what = match (named.is_empty(), plant.gauges.is_empty()) {
        (false, _) => list(&named),
        (true, false) => "the gauges below".into(),
        (true, true) => "it has no gauges, so only what flows is told".into(),
    };
    wrapped(&format!("{} {at}: {what}.", name(plant)), "", "")
}

fn gauges(answer: &Answer) -> String {
    let plant = &answer.model.plant;
    let mut out = String::new();
    if plant.gauges.is_empty() {
        return out;
    }
    out += "What the gauges should read (95 of 100 plants like this one lie between)\n";
    let mut rows = Vec::new();
    for circuit in Circuit::ALL {
        let mut title = sentence(&saying::circuit(circuit));
        for band in answer.expected.bands.iter().filter(|band| circuit_of(plant, band.gauge) == circuit) {
            let gauge = &plant[band.gauge];
            if gauge.trips.is_some() {
                continue;
            }
            let (value, low, high) = on_dial(plant, band);
            let shown = vec![
                std::mem::take(&mut title),
                gauge.name.clone(),
                value,
                dial::unit(gauge).into(),
                format!("{low} to {high}"),
            ];
            rows.push(shown);
        }
    }
    out += &columns(&rows, &[Side::Left, Side::Left, Side::Right, Side::Left, Side::Left], "  ");
    let alarms: Vec<String> = answer.expected.bands.iter().filter_map(|band| alarm(plant, band)).collect();
    if !alarms.is_empty() {
        out += &wrapped(&format!("Alarms: {}.", alarms.join("; ")), "  ", "    ");
    }
    out
}

fn alarm(plant: &Plant, band: &Band) -> Option<String> {
    let gauge = &plant[band.gauge];
    let (trip, when) = gauge.trips?;
    let past = |value: f64| if when == When::High { value > trip } else { value < trip };
    let word = match (past(band.low), past(band.high)) {
        (true, true) => "on",
        (false, false) => "off",
        _ => "may come on",
    };
    let side = if when == When::High { "above" } else { "below" };
    let (value, _, _) = on_dial(plant, band);
    let trip = dial::on_dial(gauge, trip);
    let trip = dial::with_unit(&dial::as_told(trip), dial::unit(gauge));
    Some(format!("{} {word} (trips {side} {trip}, stands at {value})", gauge.name))
}

/// Value, low and high end in digits that the band is worth.
fn on_dial(plant: &Plant, band: &Band) -> (String, String, String) {
    let gauge = &plant[band.gauge];
    let (low, high) = dial::band(gauge, band.low, band.high);
    let step = dial::step(high - low);
    let number = |value| dial::number(value, step);
    (number(dial::on_dial(gauge, band.value)), number(low), number(high))
}

/// What all readings in their bands would not tell.
fn unseen(answer: &Answer) -> String {
    let plant = &answer.model.plant;
    let Unseen { escapes, alike } = &answer.unseen();
    let mut out = String::new();
    if !escapes.is_empty() {
        out += "All in their bands, these would still not show\n";
        for escape in escapes {
            out += &wrapped(&sentence(&in_words(plant, escape)), "  ", "    ");
        }
    }
    if !alike.is_empty() {
        out += "Out of their bands, these would look alike\n";
        for group in alike {
            out += &wrapped(&sentence(&alike_in_words(plant, group)), "  ", "    ");
        }
    }
    out
}

/// The flows and the heat behind the readings.
fn behind(answer: &Answer) -> String {
    let mut out = "What flows and what it carries\n".to_string();
    if place::stopped(&answer.expected.point) {
        return out + "  The engine is stopped: nothing turns, nothing is burnt.\n" + &currents(&answer.currents);
    }
    for circuit in answer.circuits.iter().filter(|circuit| !circuit.ways.is_empty()) {
        out += &circuit_lines(circuit);
    }
    out += &currents(&answer.currents);
    out += &answer.heat.as_ref().map_or(String::new(), engine);
    out
}

/// What is made, stored and used, and what is lost on the way.
fn currents(all: &[Current]) -> String {
    let passing = || all.iter().filter(|current| current.passes());
    let Some(most) = passing().max_by(|a, b| a.amperes.abs().total_cmp(&b.amperes.abs())) else {
        return String::new();
    };
    let volts = |volts| measure::unit::print(volts, Quantity::Voltage, "V").unwrap_or_default();
    let amperes = |amperes| print_usual(amperes, Quantity::Current);
    let head = format!("Current: {} at {}", amperes(most.amperes.abs()), volts(most.volts));
    let mut out = wrapped(&head, "  ", "    ");
    let mut table = vec![["part", "current", "voltage", "lost"].map(String::from).to_vec()];
    for current in passing() {
        let lost = current
            .lost
            .map_or(String::new(), |lost| measure::unit::print(lost, Quantity::Voltage, "mV").unwrap_or_default());
        let does = current.does.trim_start_matches("is ").trim_end_matches(" by");
        let does = if current.amperes < 0.0 { "given back" } else { does };
        table.push(vec![
            format!("{} ({does})", current.part),
            amperes(current.amperes.abs()),
            volts(current.volts),
            lost,
        ]);
    }
    out += &columns(&table, &[Side::Left, Side::Right, Side::Right, Side::Right], "    ");
    for (current, lasts) in all.iter().filter_map(|current| Some((current, current.lasts?))) {
        let text = format!("At that {} lasts about {:.0} h.", current.part, lasts / 3600.0);
        out += &wrapped(&text, "    ", "    ");
    }
    let still: Vec<String> = all.iter().filter(|current| !current.passes()).map(|c| c.part.clone()).collect();
    if !still.is_empty() {
        out += &wrapped(&format!("Nothing passes {}.", list(&still)), "    ", "    ");
    }
    out
}

fn circuit_lines(circuit: &CircuitFlow) -> String {
    let Some((most, _)) = circuit.most() else { return String::new() };
    let mut head = format!("{}: {}", sentence(&saying::circuit(circuit.circuit)), flow_in_words(most));
    if let Some((low, high)) = circuit.temperatures() {
        let celsius = |kelvin| print_usual(kelvin, Quantity::Temperature);
        let _ = write!(head, ", {} to {}", celsius(low), celsius(high));
        if high - low > 0.05 {
            let _ = write!(head, ", a rise of {}", print_usual(high - low, Quantity::TemperatureDifference));
        }
    }
    if circuit.heat() > 50.0 {
        let _ = write!(head, ", {} taken up", print_usual(circuit.heat(), Quantity::Power));
    }
    let mut out = wrapped(&head, "  ", "    ");
    let rows: Vec<Vec<String>> = circuit
        .ways
        .iter()
        .filter(|way| way.heat.abs() > 100.0 || way.drop.is_some_and(|drop| drop.abs() > 1_500.0))
        .map(|way| {
            let heat = if way.heat.abs() > 100.0 { print_usual(way.heat, Quantity::Power) } else { String::new() };
            vec![
                format!("{} ({})", way.part, saying::key(way.passage)),
                flow_in_words(way),
                print_usual(way.temperature.1, Quantity::Temperature),
                heat.replace('-', "−"),
                way.drop.map_or(String::new(), drop),
            ]
        })
        .collect();
    if rows.len() > 1 {
        let mut table = vec![["part", "flow", "out", "heat", "pressure lost"].map(String::from).to_vec()];
        table.extend(rows);
        out += &columns(&table, &[Side::Left, Side::Right, Side::Right, Side::Right, Side::Right], "    ");
    }
    if !circuit.idle.is_empty() {
        out += &wrapped(&format!("Nothing passes {}.", list(&circuit.idle)), "    ", "    ");
    }
    out
}

/// Pressure lost; a pump's gain is told as such.
fn drop(drop: f64) -> String {
    let unit = |value| measure::unit::print(value, Quantity::PressureDifference, "kPa").unwrap_or_default();
    match drop {
        d if d < -500.0 => format!("gains {}", unit(-d)),
        d if d > 100.0 => unit(d),
        _ => String::new(),
    }
}

fn engine(heat: &HeatBalance) -> String {
    let power = print_usual(heat.power, Quantity::Power);
    let fuel = measure::unit::print(heat.fuel_volume(), Quantity::VolumeFlow, "L/h").unwrap_or_default();
    let shares: Vec<String> =
        heat.shares.iter().map(|(to, share)| format!("{:.0} % {}", 100.0 * share, to_whom(to))).collect();
    let text = format!(
        "The engine ({}) gives {power} for {fuel} of fuel. Of the fuel's heat: {}.",
        heat.engine,
        list(&shares)
    );
    wrapped(&text, "  ", "    ")
}

fn to_whom(to: &str) -> String {
    if to == "work" {
        "becomes work".into()
    } else if to.starts_with("off") {
        to.into()
    } else {
        format!("to the {to}")
    }
}

/// What the answer rests on, and what would narrow it most.
fn rests_on(answer: &Answer, figures: Figures) -> String {
    let plant = &answer.model.plant;
    let mut out = "What this rests on\n".to_string();
    let parts = assumed::parts_in_words(plant);
    if !parts.is_empty() {
        out += &wrapped(&format!("Not described, so assumed: {}.", list(&parts)), "  ", "    ");
    }
    for line in watch::sender::corrections(plant) {
        out += &wrapped(&format!("{line}. What stands above is what is so, not what that dial shows."), "  ", "    ");
    }
    let typical: Vec<Told> = assumed::typical(plant).collect();
    let all = assumed::uncertain(plant).count();
    out += &wrapped(
        &format!("{} of {all} uncertain figures are typical ones, for want of better.", typical.len()),
        "  ",
        "    ",
    );
    if figures == Figures::All {
        out += &columns(&typical.iter().map(|told| row(told, None)).collect::<Vec<_>>(), &ROW, "    ");
    }
    let widest = assumed::widest(plant, &answer.expected);
    let heaviest: Vec<_> = widest.iter().filter(|wide| wide.share > SLIGHT).take(HEAVIEST).collect();
    if !heaviest.is_empty() {
        out += "What would narrow it most: knowing better\n";
        out += &columns(&heaviest.iter().map(|wide| row(&wide.told, Some(wide.share))).collect::<Vec<_>>(), &ROW, "  ");
    }
    if !answer.has_usual {
        let advice = "Readings from when it was well narrow all of them at once: put a round taken on a good day into a file \
                      and give it with --usual.";
        out += &wrapped(advice, "  ", "  ");
    }
    out
}

const ROW: [Side; 4] = [Side::Left, Side::Left, Side::Left, Side::Left];

fn row(told: &Told, share: Option<f64>) -> Vec<String> {
    let title = told.title();
    let origin = match told.figure.origin {
        Origin::Typical => format!("typical: {}", told.source()),
        other => other.word().to_string(),
    };
    let share = share.map_or(String::new(), |share| format!(", {:.0} % of the width", 100.0 * share));
    vec![told.part.into(), title, told.value(), format!("({origin}{share})")]
}
