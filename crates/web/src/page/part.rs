//! A part or a gauge, opened: what it is, what it reads, its figures, how it fails, what can be checked.

use crate::page::check::CheckCard;
use crate::page::gauge::Row;
use crate::ship::Scene;
use askama::Template;
use diagnosis::hypothesis::{What, kind_of, name_of};
use measure::figure::Origin;
use parts::kind::{Circuit, Kind, Limit, When};
use plant::evidence::Named;
use plant::plant::{GaugeId, PartId, Plant, Tap, Terminal};
use watch::assumed::{self, Told};
use watch::picture::Picture;
use watch::place::circuit_of;
use watch::saying::{Odds, key, sentence};
use watch::{dial, sender};

/// What is told of it.
#[derive(Template)]
#[template(path = "part.html")]
pub struct Panel {
    title: String,
    kind: String,
    /// Name in an address, of a part that something flows through or that turns.
    ways: Option<String>,
    circuit: Circuit,
    assumed: bool,
    notes: Vec<(String, String)>,
    hours_since: Option<String>,
    gauges: Vec<Row>,
    figures: Vec<FigureRow>,
    narrows: Option<String>,
    fails: Vec<Failing>,
    checks: Vec<CheckCard>,
    limits: Vec<String>,
}

/// A figure with its origin.
struct FigureRow {
    title: String,
    value: String,
    origin: &'static str,
    source: String,
    typical: bool,
    /// Share of the width of the gauges' bands [%], where it is worth telling.
    width: Option<String>,
}

/// A way to fail.
struct Failing {
    title: String,
    odds: Option<String>,
    remedy: String,
}

/// A share of the width below this is not worth a measurement [1].
const SLIGHT: f64 = 0.01;

impl Panel {
    /// Of a part or gauge at this moment.
    pub fn of(scene: &Scene, of: Named) -> Panel {
        let picture = &scene.picture;
        let plant = &picture.plant;
        let kind = kind_of(plant, of);
        let (notes, assumed, hours) = match of {
            Named::Part(part) => (&plant[part].notes, plant[part].assumed, plant[part].hours_since),
            Named::Gauge(gauge) => (&plant[gauge].notes, false, None),
        };
        let facts = match of {
            Named::Part(_) => Vec::new(),
            Named::Gauge(gauge) => sender::facts(&plant[gauge]),
        };
        let figures = figures(picture, of);
        let checks = kind.checks.iter().filter(|check| plant.can_be_made(of, check));
        Panel {
            title: sentence(&key(name_of(plant, of))),
            kind: kind.title.to_lowercase(),
            ways: match of {
                Named::Part(part) => Some(super::query(&plant[part].name)),
                Named::Gauge(_) => None,
            },
            circuit: match of {
                Named::Part(part) => plant[part].kind.circuit,
                Named::Gauge(gauge) => circuit_of(plant, gauge),
            },
            assumed,
            notes: notes.iter().map(|(name, text)| (sentence(&key(name)), text.clone())).chain(facts).collect(),
            hours_since: hours.map(|hours| format!("{hours:.0} h since it was serviced or found good")),
            gauges: gauges(plant, of).map(|gauge| Row::of(picture, gauge)).collect(),
            narrows: narrows(&figures, name_of(plant, of)),
            figures,
            fails: fails(picture, of),
            checks: checks.map(|check| CheckCard::of(scene, of, check)).collect(),
            limits: kind.limits.iter().map(|each| limit(plant, kind, each)).collect(),
        }
    }
}

/// Gauges that look at a part, or the gauge itself.
pub fn gauges(plant: &Plant, of: Named) -> impl Iterator<Item = GaugeId> + '_ {
    plant.gauge_ids().filter(move |gauge| match of {
        Named::Gauge(own) => own == *gauge,
        Named::Part(part) => touches(plant, plant[*gauge].tap, part) || shares(plant, *gauge, part),
    })
}

fn shares(plant: &Plant, gauge: GaugeId, part: PartId) -> bool {
    plant[gauge].chain.members().any(|member| member == part)
}

fn touches(plant: &Plant, tap: Tap, part: PartId) -> bool {
    match tap {
        Tap::Unknown(of, _) => of == part,
        Tap::Drop(flow) | Tap::Flow(flow) | Tap::Meter(flow) => plant.flows[flow.0].part == part,
        Tap::Pressure(node) | Tap::Voltage(node) | Tap::Temperature(node) => {
            let at = |end: Terminal| end == Terminal::Node(node);
            let flows = plant[part].flows.iter().flatten().map(|flow| &plant.flows[flow.0]);
            let pools = plant.pools.iter().filter(|pool| pool.part == part);
            flows.into_iter().any(|flow| at(flow.from) || at(flow.to))
                || pools.into_iter().any(|pool| pool.node == node)
        }
        Tap::Sea | Tap::Air => false,
    }
}

fn figures(picture: &Picture, of: Named) -> Vec<FigureRow> {
    let Named::Part(part) = of else { return Vec::new() };
    let plant = &picture.plant;
    let widest = picture.expected.as_ref().map(|expected| assumed::widest(plant, expected)).unwrap_or_default();
    let part = &plant[part];
    let each = part.kind.parameters.iter().zip(&part.figures);
    let told = each.map(|(parameter, figure)| Told::of(plant, part, parameter, figure));
    told.map(|told| {
        let share = widest.iter().find(|wide| {
            wide.told.part == told.part && std::ptr::eq(wide.told.parameter, told.parameter) && wide.share >= SLIGHT
        });
        FigureRow {
            title: told.title(),
            value: told.value(),
            origin: told.figure.origin.word(),
            source: told.source().into(),
            typical: told.figure.origin == Origin::Typical,
            width: share.map(|wide| format!("{:.0} % of the bands' width", 100.0 * wide.share)),
        }
    })
    .collect()
}

/// What would make the bands narrower.
fn narrows(figures: &[FigureRow], part: &str) -> Option<String> {
    let wide = figures.iter().find(|figure| figure.width.is_some() && figure.typical)?;
    Some(format!(
        "The bands would be narrower with a measured value of “{}”; write it under {part} in the vessel file.",
        wide.title.to_lowercase()
    ))
}

fn fails(picture: &Picture, of: Named) -> Vec<Failing> {
    let ranked = picture.explained.as_ref().map(|explained| &explained.answer.ranked);
    let causes = kind_of(&picture.plant, of).causes.iter().enumerate();
    let odds = |cause: usize| {
        let it = ranked?.iter().find(|ranked| ranked.what == What::Cause(of, cause))?;
        Some(Odds::Words.say(it.probability))
    };
    causes
        .map(|(place, cause)| Failing {
            title: sentence(cause.title),
            odds: odds(place),
            remedy: sentence(cause.remedy),
        })
        .collect()
}

fn limit(plant: &Plant, kind: &Kind, limit: &Limit) -> String {
    let side = if limit.when == When::High { "Above" } else { "Below" };
    let quantity = limit.probe.quantity(kind);
    let (value, unit) = assumed::in_owners_unit(limit.value, quantity, None);
    format!("{side} {}: {}", dial::with_unit(&value, unit), plant.worded(limit.act))
}
