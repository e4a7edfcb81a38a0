//! Why a cause stands where it stands: what speaks for it, what against it, what else would have to be so.

use crate::because::Line;
use crate::dial;
use crate::saying::{Odds, list};
use crate::valves;
use diagnosis::deviation::Deviation;
use diagnosis::explain::{Answer, Ranked};
use diagnosis::hypothesis::{What, cause_of};
use diagnosis::lies::falsified;
use model::touching::Touching;
use parts::kind::Cause;
use plant::evidence::Named;
use plant::plant::{GaugeId, Plant};

/// Everything a reason can come from.
pub struct Case<'a> {
    /// The plant.
    pub plant: &'a Plant,
    /// What was told, and what came of it.
    pub answer: &'a Answer,
    /// How chances are told.
    pub odds: Odds,
    /// What was named before, if anything was.
    pub held: Option<What>,
}

/// A reading off by less than this wants no cause [standard deviations].
const OFF: f64 = 1.5;
/// A cause explains a reading if it leaves at most this share of how far it is off [1].
const EXPLAINED: f64 = 0.5;
/// Readings named in one line.
const NAMED: usize = 4;

/// Why a cause stands where it stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Why {
    /// Readings that are off: which of them it explains, and which not.
    pub explains: Vec<String>,
    /// What speaks most for it, beside all else that it may be, the weightiest first.
    pub speaks_for: Vec<Line>,
    /// And against it.
    pub against: Vec<Line>,
    /// What would have to be so besides.
    pub needs: Vec<String>,
    /// What else there is to know of it.
    pub also: Vec<String>,
}

impl Why {
    /// All of it, a line each.
    pub fn lines(&self) -> Vec<String> {
        let speaks_for = self.speaks_for.iter().map(|line| format!("for it: {}", line.whole(true)));
        let against = self.against.iter().map(|line| format!("against it: {}", line.whole(false)));
        let needs = self.needs.iter().map(|need| format!("for it to be so: {need}"));
        self.explains
            .iter()
            .cloned()
            .chain(speaks_for)
            .chain(against)
            .chain(needs)
            .chain(self.also.iter().cloned())
            .collect()
    }
}

impl Case<'_> {
    /// The reasons for and against a cause.
    pub fn why(&self, ranked: &Ranked) -> Why {
        let (speaks_for, against) = self.for_and_against(ranked);
        let mut also = Vec::new();
        if let (What::Cause(of, _), Some(cause)) = (ranked.what, cause_of(self.plant, ranked.what)) {
            also.extend(self.leak(of, cause));
            also.extend(self.work(of));
        }
        Why { explains: self.readings(ranked), speaks_for, against, needs: self.needs(ranked), also }
    }

    /// Readings that are off, and what each would be with this cause.
    fn readings(&self, ranked: &Ranked) -> Vec<String> {
        let (mut fits, mut stays) = (Vec::new(), Vec::new());
        for (deviation, with) in self.answer.deviations.iter().zip(self.with(ranked)) {
            let off = deviation.read - deviation.expected;
            if (off / deviation.sigma).abs() < OFF || self.doubts(ranked, deviation) {
                continue;
            }
            if matches!(ranked.what, What::Cause(Named::Gauge(own), _) if own == deviation.gauge) {
                let at = self.at_run(deviation.run);
                fits.push(format!("the reading of {}{at}, which then says nothing", self.plant[deviation.gauge].name));
                continue;
            }
            let named = self.reading(ranked.what, deviation, with);
            // A gauge that lies moves no other, however well the rest of the plant may be fitted around it.
            let apart = matches!(ranked.what, What::Cause(Named::Gauge(_), _))
                && !falsified(self.plant, ranked.what).contains(&deviation.gauge);
            if !apart && (deviation.read - with).abs() <= EXPLAINED * off.abs() {
                fits.push(named);
            } else {
                stays.push(named);
            }
        }
        let line = |what: &str, all: Vec<String>| {
            let more = all.len().saturating_sub(NAMED);
            let mut named: Vec<String> = all.into_iter().take(NAMED).collect();
            if more > 0 {
                named.push(format!("{more} more"));
            }
            (!named.is_empty()).then(|| format!("{what} {}", list(&named)))
        };
        let doubted = ranked.reasons.iter().flat_map(|reasons| &reasons.doubted);
        let doubted = doubted.filter_map(|place| self.reading_named(*place)).collect();
        let (explains, leaves) = match ranked.what {
            What::Well => ("at a stretch a sound plant shows", "a sound plant would hardly show"),
            _ => ("explains", "does not explain"),
        };
        let lines = [line(explains, fits), line(leaves, stays), line("takes for misread", doubted)];
        lines.into_iter().flatten().collect()
    }

    /// Whether a reading is taken for a slip with this cause.
    fn doubts(&self, ranked: &Ranked, deviation: &Deviation) -> bool {
        let this = |place: &usize| {
            let observed = self.answer.setting.seen.observed.get(*place);
            observed.is_some_and(|o| o.terms.first().is_some_and(|t| (t.0, t.1) == (deviation.run, deviation.gauge)))
        };
        ranked.reasons.iter().flat_map(|reasons| &reasons.doubted).any(this)
    }

    /// Gauges that a cause moves the way they are off, or whose being off it explains; of those that were not read as steady,
    /// the ones that it moves by what the model foretells.
    pub fn moves(&self, ranked: &Ranked, foretold: &[GaugeId]) -> Vec<GaugeId> {
        let lies = falsified(self.plant, ranked.what);
        let own = match ranked.what {
            What::Cause(Named::Gauge(gauge), _) => Some(gauge),
            _ => None,
        };
        let moved = self.answer.deviations.iter().zip(self.with(ranked)).filter(|(deviation, with)| {
            let (off, made) = (deviation.read - deviation.expected, with - deviation.expected);
            let explains = (deviation.read - with).abs() <= EXPLAINED * off.abs();
            // A gauge that lies moves no other.
            own.is_none() && (made / deviation.sigma).abs() > OFF && (explains || made * off > 0.0)
        });
        let mut gauges: Vec<GaugeId> = moved.map(|(deviation, _)| deviation.gauge).chain(lies).chain(own).collect();
        let steady = |gauge: &&GaugeId| self.answer.deviations.iter().any(|deviation| deviation.gauge == **gauge);
        gauges.extend(foretold.iter().filter(|gauge| !steady(gauge)));
        gauges.sort_unstable();
        gauges.dedup();
        gauges
    }

    /// What each deviation's reading would be under a cause [SI].
    fn with(&self, ranked: &Ranked) -> Vec<f64> {
        let troubled = |place: usize| {
            let first = self.answer.setting.seen.observed.get(place).and_then(|observed| observed.terms.first());
            first.is_some_and(|(run, ..)| self.answer.setting.seen.runs[*run].troubled)
        };
        if ranked.readings.len() == self.answer.deviations.len() {
            return ranked.readings.clone();
        }
        ranked.readings.iter().enumerate().filter(|(place, _)| troubled(*place)).map(|(_, with)| *with).collect()
    }

    /// "raw-out (reads 34 °C, about 24 if sound; this can make it 33)": the last is what a fit to all readings makes of it.
    fn reading(&self, what: What, deviation: &Deviation, with: f64) -> String {
        let gauge = &self.plant[deviation.gauge];
        let step = dial::step(4.0 * dial::change(gauge, deviation.sigma).0.abs());
        let name = format!("{}{}", gauge.name, self.at_run(deviation.run));
        if let Some(against) = deviation.against {
            let (read, unit) = dial::change(gauge, deviation.read);
            let (with, _) = dial::change(gauge, with);
            let (read, with) = (dial::signed(read, step), dial::signed(with, step));
            let made = if what == What::Well { String::new() } else { format!("; this can make it {with}") };
            return format!("{name} ({} {}{made})", dial::with_unit(&read, unit), against.words());
        }
        let number = |value| dial::number(dial::on_dial(gauge, value), step);
        let fine = step.min(dial::reading_step(gauge));
        let read = dial::number(dial::on_dial(gauge, deviation.read), fine);
        let read = dial::with_unit(&read, dial::unit(gauge));
        let made = if what == What::Well { String::new() } else { format!("; this can make it {}", number(with)) };
        format!("{name} (reads {read}, about {} if sound{made})", number(deviation.expected))
    }

    /// What goes where, if the cause lets one liquid into another.
    fn leak(&self, of: Named, cause: &Cause) -> Option<String> {
        let Named::Part(part) = of else { return None };
        let lets = |at: &&Touching| at.part == part && at.wall.causes.contains(&cause.name);
        let at = self.answer.touching.iter().find(lets)?;
        Some(format!("at {} {}", at.wall.name, valves::leak(self.plant, at)))
    }

    /// What was done to it lately.
    fn work(&self, of: Named) -> Vec<String> {
        let mine = self.answer.evidence.work.iter().filter(|work| work.of == of);
        mine.map(|work| format!("worked on {:.0} h ago, and a new part is not an innocent part", work.hours_ago))
            .collect()
    }
}
