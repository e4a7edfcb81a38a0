//! What would escape: ways to fail that these gauges would not show until they are bad, or would show as another.

use crate::lookalike::{lookalikes, moved, state_with};
use crate::saying::list;
use crate::verdict::named;
use diagnosis::hypothesis::{self, Hypothesis, What, cause_of};
use diagnosis::lies::falsified;
use model::expect::{Band, Expected};
use model::steady::{Model, State};
use parts::kind::Severity;
use plant::evidence::{Evidence, Named};
use plant::plant::{GaugeId, PartId, Plant, Tap};

/// Causes looked at: those that come about most often.
const LOOKED_AT: usize = 30;
/// Causes told.
const TOLD: usize = 6;
/// Groups of lookalikes told, and of each so many by name.
const GROUPS: usize = 3;
const NAMED: usize = 4;
/// What shows before it is this bad need not be told [1].
const MATTERS: f64 = 0.3;
/// A flow below this is none [kg/s].
const STILL: f64 = 1e-3;
/// Halvings of severity: to within 2 %.
const HALVINGS: usize = 6;

/// A way to fail that the gauges would not show until it is this bad.
#[derive(Clone, Debug)]
pub struct Escape {
    /// Which.
    pub what: What,
    /// Severity from which at least one gauge would leave its band; of what blocks, the share of the area shut [1].
    /// 1 if none ever would.
    pub shows_from: f64,
}

/// What these gauges cannot show, the likeliest first.
#[derive(Clone, Debug, Default)]
pub struct Unseen {
    /// Ways to fail that no gauge would show before they are bad.
    pub escapes: Vec<Escape>,
    /// Ways to fail that would look alike, in groups.
    pub alike: Vec<Vec<What>>,
}

/// What of the likeliest ways to fail these gauges would not show, or show as another.
pub fn unseen(plant: &Plant, expected: &Expected) -> Unseen {
    let Ok(mut model) = Model::new(plant) else { return Unseen::default() };
    model.patient = false;
    let mut all = hypothesis::all(plant, &model.layout, &Evidence::default());
    all.retain(|h| {
        !h.moves.is_empty() && matches!(h.what, What::Cause(Named::Part(part), _) if used(&model, expected, part))
    });
    all.sort_by(|a, b| b.prior.total_cmp(&a.prior));
    all.truncate(LOOKED_AT);
    let each = all.iter().filter_map(|hypothesis| {
        let shows_from = shows_from(&mut model, expected, hypothesis)?;
        (shows_from >= MATTERS).then_some(Escape { what: hypothesis.what, shows_from })
    });
    let escapes = each.take(TOLD).collect();
    let mut alike = lookalikes(&mut model, expected, &all);
    alike.truncate(GROUPS);
    Unseen { escapes, alike }
}

/// "Strainer blocked (strainer-port) by less than about 45 %", "thermostat stuck open (thermostat), however bad".
pub fn in_words(plant: &Plant, escape: &Escape) -> String {
    let title = named(plant, escape.what);
    let whole = cause_of(plant, escape.what).is_none_or(|cause| cause.severity == Severity::Whole);
    match escape.shows_from {
        _ if whole => title,
        from if from >= 1.0 => format!("{title}, however bad"),
        from => format!("{title} by less than about {:.0} %", (from * 20.0).round() * 5.0),
    }
}

/// "strainer blocked (strainer-port), or sea intake blocked (intake)".
pub fn alike_in_words(plant: &Plant, group: &[What]) -> String {
    let mut titles: Vec<String> = group.iter().take(NAMED).map(|what| named(plant, *what)).collect();
    if group.len() > NAMED {
        titles.push(format!("{} more", group.len() - NAMED));
    }
    list(&titles)
}

/// Whether anything passes through a part; what stands by shows nothing and fails nobody.
fn used(model: &Model, expected: &Expected, part: PartId) -> bool {
    let mut flows = model.plant[part].flows.iter().flatten().peekable();
    flows.peek().is_none() || flows.any(|flow| model.read(&expected.state, Tap::Flow(*flow)).abs() > STILL)
}

/// Odder than one sound plant in a hundred [standard deviations]: so odd a cause would make the readings that it could
/// not be there unseen.
const SHOWN: f64 = 2.33;

/// Whether a cause, this bad (of what blocks, the share of the area shut [1]), would show in these gauges.
pub fn would_show(plant: &Plant, expected: &Expected, what: What, severity: f64) -> bool {
    // A gauge that lies does so at every speed.
    if !falsified(plant, what).is_empty() {
        return true;
    }
    let Ok(mut model) = Model::new(plant) else { return false };
    let all = hypothesis::all(plant, &model.layout, &Evidence::default());
    let Some(hypothesis) = all.iter().find(|h| h.what == what) else { return false };
    let severity = unshut(hypothesis, severity);
    let Some(state) = state_with(&mut model, expected, hypothesis, severity, &expected.state) else { return true };
    let readings: Vec<_> = reads(&model, expected, &state).map(|(band, reads)| (band.gauge, reads)).collect();
    expected.likeness.oddity(&readings).is_some_and(|oddity| oddity > SHOWN)
}

/// Gauges that a cause, this bad (of what blocks, the share of the area shut [1]), moves by as much as from the middle of the
/// band to its end; none where the plant has no state with it.
pub fn moves(plant: &Plant, expected: &Expected, what: What, severity: f64) -> Vec<GaugeId> {
    let Ok(mut model) = Model::new(plant) else { return Vec::new() };
    let all = hypothesis::all(plant, &model.layout, &Evidence::default());
    let Some(hypothesis) = all.iter().find(|h| h.what == what) else { return Vec::new() };
    let severity = unshut(hypothesis, severity);
    let Some(state) = state_with(&mut model, expected, hypothesis, severity, &expected.state) else {
        return Vec::new();
    };
    let gauges = expected.bands.iter().filter(|band| plant[band.gauge].trips.is_none());
    let far = |band: &&Band| moved(&model, expected, &state, band.gauge).abs() > 0.5 * (band.high - band.low);
    gauges.filter(far).map(|band| band.gauge).collect()
}

/// Severity at which so much of an area is shut [1].
fn unshut(hypothesis: &Hypothesis, shut: f64) -> f64 {
    let Some((_, by)) = hypothesis.moves.first() else { return shut };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..2 * HALVINGS {
        let middle = 0.5 * (low + high);
        if by.shut(middle) < shut { low = middle } else { high = middle }
    }
    high
}

/// Least severity at which a gauge leaves its band; 1 if none does. Nothing where the plant has no state.
fn shows_from(model: &mut Model, expected: &Expected, hypothesis: &Hypothesis) -> Option<f64> {
    let whole = cause_of(&model.plant, hypothesis.what)?.severity == Severity::Whole;
    let worst = shows(model, expected, hypothesis, 1.0);
    if whole || worst == Some(false) {
        return (worst == Some(false)).then_some(1.0);
    }
    let (mut hidden, mut seen) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (hidden + seen);
        // Where it has gone so far that there is no state, it would not have stayed hidden either.
        if shows(model, expected, hypothesis, middle).unwrap_or(true) { seen = middle } else { hidden = middle }
    }
    Some(hypothesis.moves.first().map_or(seen, |(_, by)| by.shut(seen)))
}

/// Whether a gauge leaves its band at this severity.
fn shows(model: &mut Model, expected: &Expected, hypothesis: &Hypothesis, severity: f64) -> Option<bool> {
    let state = state_with(model, expected, hypothesis, severity, &expected.state)?;
    Some(leaves(model, expected, &state))
}

fn leaves(model: &Model, expected: &Expected, state: &State) -> bool {
    reads(model, expected, state).any(|(band, reads)| reads < band.low || reads > band.high)
}

/// What each gauge would read in a state: what it is off by lastingly is in its band, not in the state.
fn reads<'a>(model: &'a Model, expected: &'a Expected, state: &'a State) -> impl Iterator<Item = (&'a Band, f64)> {
    let gauges = expected.bands.iter().filter(|band| model.plant[band.gauge].trips.is_none());
    gauges.map(|band| (band, band.value + moved(model, expected, state, band.gauge)))
}
