//! The answer of `expect` for programs.

use super::{Answer, Boils};
use crate::json::{
    Alarm, Assumed, At, Band, Circuit, Current, Engine, Expect, Figure, Named, Share, Unsteady, VERSION, Way,
    WouldNotShow,
};
use crate::verbs::expect::name;
use diagnosis::hypothesis::{What, cause_of, name_of};
use measure::quantity::Quantity;
use measure::unit::{convert_to, usual_unit};
use parts::kind::When;
use parts::laws::Point;
use plant::plant::Plant;
use watch::assumed::{self, Told};
use watch::dial::{self, sensible};
use watch::escape::{Escape, in_words};

/// Figures listed as the widest.
const WIDEST: usize = 10;

pub fn of(answer: &Answer) -> Expect {
    let plant = &answer.model.plant;
    let (holds, unseen) = (answer.boils.is_none(), answer.unseen());
    Expect {
        version: VERSION,
        vessel: name(plant).into(),
        at: at(plant, &answer.expected.point),
        gauges: if holds { gauges(answer) } else { Vec::new() },
        alarms: if holds { alarms(answer) } else { Vec::new() },
        circuits: if holds { circuits(answer) } else { Vec::new() },
        currents: if holds { currents(answer) } else { Vec::new() },
        engine: engine(answer),
        would_not_show: unseen.escapes.iter().map(|escape| would_not_show(plant, escape)).collect(),
        would_look_alike: unseen
            .alike
            .iter()
            .map(|group| group.iter().map(|what| named(plant, *what)).collect())
            .collect(),
        assumed: Assumed {
            parts: assumed::parts(plant),
            typical: assumed::typical(plant).map(|told| figure(&told, None)).collect(),
        },
        widest: assumed::widest(plant, &answer.expected)
            .iter()
            .take(WIDEST)
            .map(|wide| figure(&wide.told, Some(sensible(wide.share))))
            .collect(),
        unsteady: answer.boils.as_ref().map(unsteady),
    }
}

/// The operating point in units people use.
pub fn at(plant: &Plant, point: &Point<f64>) -> At {
    let celsius = |kelvin| sensible(convert_to(kelvin, Quantity::Temperature, "°C").unwrap_or(kelvin));
    At {
        speed_rpm: rpm(point.speed),
        load: sensible(point.load),
        pitch: plant.sets_pitch().then(|| sensible(point.pitch)),
        sea_c: celsius(point.sea),
        air_c: celsius(point.air),
    }
}

fn rpm(speed: f64) -> f64 {
    sensible(convert_to(speed, Quantity::RotationalSpeed, "rpm").unwrap_or(speed))
}

fn gauges(answer: &Answer) -> Vec<Band> {
    let plant = &answer.model.plant;
    let bands = answer.expected.bands.iter().filter(|band| plant[band.gauge].trips.is_none());
    bands
        .map(|band| {
            let gauge = &plant[band.gauge];
            let (low, high) = dial::band(gauge, band.low, band.high);
            Band {
                gauge: gauge.name.clone(),
                value: sensible(dial::on_dial(gauge, band.value)),
                low: sensible(low),
                high: sensible(high),
                unit: dial::unit(gauge).into(),
            }
        })
        .collect()
}

fn alarms(answer: &Answer) -> Vec<Alarm> {
    let plant = &answer.model.plant;
    answer
        .expected
        .bands
        .iter()
        .filter_map(|band| {
            let gauge = &plant[band.gauge];
            let (trip, when) = gauge.trips?;
            Some(Alarm {
                alarm: gauge.name.clone(),
                on: if when == When::High { band.value > trip } else { band.value < trip },
                value: sensible(dial::on_dial(gauge, band.value)),
                trips: sensible(dial::on_dial(gauge, trip)),
                unit: dial::unit(gauge).into(),
            })
        })
        .collect()
}

fn circuits(answer: &Answer) -> Vec<Circuit> {
    let celsius = |kelvin| sensible(convert_to(kelvin, Quantity::Temperature, "°C").unwrap_or(kelvin));
    let way = |way: &crate::circuits::Way| Way {
        part: way.part.clone(),
        passage: way.passage,
        flow_kg_s: sensible(way.mass_flow),
        flow_l_min: sensible(way.volume_flow * 60_000.0),
        in_c: celsius(way.temperature.0),
        out_c: celsius(way.temperature.1),
        drop_kpa: way.drop.map(|drop| sensible(drop / 1000.0)),
        heat_kw: sensible(way.heat / 1000.0),
    };
    let all = answer.circuits.iter();
    all.map(|c| Circuit { circuit: c.circuit.name(), ways: c.ways.iter().map(way).collect(), idle: c.idle.clone() })
        .collect()
}

fn currents(answer: &Answer) -> Vec<Current> {
    let shape = |current: &crate::currents::Current| Current {
        part: current.part.clone(),
        current_a: sensible(current.amperes),
        volts: sensible(current.volts),
        lost_v: current.lost.map(sensible),
        lasts_h: current.lasts.map(|seconds| sensible(seconds / 3600.0)),
    };
    answer.currents.iter().map(shape).collect()
}

fn engine(answer: &Answer) -> Option<Engine> {
    answer.heat.as_ref().filter(|_| answer.boils.is_none()).map(|heat| Engine {
        engine: heat.engine.clone(),
        power_kw: sensible(heat.power / 1000.0),
        fuel_l_h: sensible(heat.fuel_volume() * 3.6e6),
        shares: heat.shares.iter().map(|(to, share)| Share { to: to.clone(), share: sensible(*share) }).collect(),
    })
}

fn would_not_show(plant: &Plant, escape: &Escape) -> WouldNotShow {
    let whole = cause_of(plant, escape.what).is_none_or(|cause| cause.severity == parts::kind::Severity::Whole);
    let below = (!whole && escape.shows_from < 1.0).then(|| sensible(escape.shows_from));
    WouldNotShow { cause: named(plant, escape.what), below, text: in_words(plant, escape) }
}

fn named(plant: &Plant, what: What) -> Named {
    let part = if let What::Cause(of, _) = what { name_of(plant, of).into() } else { String::new() };
    let cause = cause_of(plant, what);
    Named {
        part,
        cause: cause.map_or("", |cause| cause.name).into(),
        title: cause.map_or("", |cause| cause.title).into(),
    }
}

fn figure(told: &Told, share: Option<f64>) -> Figure {
    let quantity = told.parameter.quantity;
    let unit = usual_unit(quantity);
    let shown = |value| sensible(convert_to(value, quantity, unit).unwrap_or(value));
    let (low, high) = told.figure.spread.band(told.figure.value);
    Figure {
        part: told.part.into(),
        figure: told.parameter.name,
        value: shown(told.figure.value),
        low: shown(low),
        high: shown(high),
        unit,
        origin: told.figure.origin.word(),
        source: told.source().into(),
        share,
    }
}

fn unsteady(boils: &Boils) -> Unsteady {
    Unsteady {
        boils_at: boils.part.clone(),
        minutes: boils.minutes.map(sensible),
        holds_at_rpm: boils.holds_at.map(rpm),
    }
}
