//! A plant of which the judging side knows less: causes struck off its list, figures that are certain.

use measure::figure::Spread;
use parts::kind::{Cause, Kind};
use plant::plant::Plant;

/// The same plant with only those causes listed that pass. Kinds are made anew and live as long as the program.
pub fn with_causes(plant: &Plant, keeps: &dyn Fn(&Kind, &Cause) -> bool) -> Plant {
    let mut struck: Vec<(&'static Kind, &'static Kind)> = Vec::new();
    let mut of = |kind: &'static Kind| {
        if let Some((_, is)) = struck.iter().find(|(was, _)| std::ptr::eq(*was, kind)) {
            return *is;
        }
        let causes: Vec<Cause> = kind.causes.iter().filter(|cause| keeps(kind, cause)).copied().collect();
        let is: &'static Kind = Box::leak(Box::new(Kind { causes: Vec::leak(causes), ..*kind }));
        struck.push((kind, is));
        is
    };
    let mut plant = plant.clone();
    for part in &mut plant.parts {
        part.kind = of(part.kind);
    }
    for gauge in &mut plant.gauges {
        gauge.kind = of(gauge.kind);
    }
    plant
}

/// The same plant with every figure certain but these, by place in the plant's list.
pub fn certain_but(plant: &Plant, uncertain: &[usize]) -> Plant {
    let mut plant = plant.clone();
    let figures = plant.parts.iter_mut().flat_map(|part| part.figures.iter_mut());
    for (place, figure) in figures.enumerate() {
        if !uncertain.contains(&place) {
            figure.spread = Spread::Exact;
        }
    }
    plant
}
