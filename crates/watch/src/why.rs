//! Why a cause stands where it stands: readings, words, rates, work and checks, each in one line with its number.

use crate::dial;
use crate::place;
use crate::saying::{Odds, list};
use crate::valves;
use diagnosis::explain::{Answer, Deviation, Ranked};
use diagnosis::hypothesis::{What, cause_of, kind_of, name_of};
use diagnosis::lies::falsified;
use diagnosis::setting::Setting;
use diagnosis::tried;
use model::touching::Touching;
use parts::catalogue;
use parts::kind::Cause;
use plant::evidence::{Evidence, Found, Moment, Named, RenewalResult, Said};
use plant::plant::Plant;

/// Everything a reason can come from.
pub struct Case<'a> {
    /// The plant.
    pub plant: &'a Plant,
    /// What was told.
    pub evidence: &'a Evidence,
    /// The same, set out.
    pub setting: &'a Setting,
    /// What came of it.
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

impl Case<'_> {
    /// The reasons for and against a cause.
    pub fn why(&self, ranked: &Ranked) -> Vec<String> {
        let mut lines = self.readings(ranked);
        if let (What::Cause(of, _), Some(cause)) = (ranked.what, cause_of(self.plant, ranked.what)) {
            lines.extend(self.words(of, cause));
            lines.extend(self.leak(of, cause));
            lines.push(self.rate(ranked, of));
            lines.extend(self.work(of));
            lines.extend(self.checks(ranked.what));
            lines.extend(self.renewals(of, cause));
        }
        lines
    }

    /// Readings that are off, and what each would be with this cause.
    fn readings(&self, ranked: &Ranked) -> Vec<String> {
        let (mut fits, mut stays) = (Vec::new(), Vec::new());
        for (deviation, with) in self.answer.deviations.iter().zip(self.with(ranked)) {
            let off = deviation.read - deviation.expected;
            if (off / deviation.sigma).abs() < OFF {
                continue;
            }
            if matches!(ranked.what, What::Cause(Named::Gauge(own), _) if own == deviation.gauge) {
                fits.push(format!("the reading of {}, which then says nothing", self.plant[deviation.gauge].name));
                continue;
            }
            let named = self.reading(deviation, with);
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
        line("explains", fits).into_iter().chain(line("does not explain", stays)).collect()
    }

    /// What each deviation's reading would be under a cause [SI].
    fn with(&self, ranked: &Ranked) -> Vec<f64> {
        let troubled = |place: usize| {
            let first = self.setting.seen.observed.get(place).and_then(|observed| observed.terms.first());
            first.is_some_and(|(run, ..)| self.setting.seen.runs[*run].troubled)
        };
        if ranked.readings.len() == self.answer.deviations.len() {
            return ranked.readings.clone();
        }
        ranked.readings.iter().enumerate().filter(|(place, _)| troubled(*place)).map(|(_, with)| *with).collect()
    }

    /// "raw-out (34 °C; 33 with it, 24 without)".
    fn reading(&self, deviation: &Deviation, with: f64) -> String {
        let gauge = &self.plant[deviation.gauge];
        let step = dial::step(4.0 * dial::change(gauge, deviation.sigma).0.abs());
        let name = format!("{}{}", gauge.name, self.at(deviation));
        if let Some(against) = deviation.against {
            let (read, unit) = dial::change(gauge, deviation.read);
            let (with, _) = dial::change(gauge, with);
            let (read, with) = (dial::signed(read, step), dial::signed(with, step));
            return format!("{name} ({} {}; {with} with it)", dial::with_unit(&read, unit), against.words());
        }
        let number = |value| dial::number(dial::on_dial(gauge, value), step);
        let fine = step.min(dial::reading_step(gauge));
        let read = dial::number(dial::on_dial(gauge, deviation.read), fine);
        let read = dial::with_unit(&read, dial::unit(gauge));
        format!("{name} (reads {read}; {} with it, {} without)", number(with), number(deviation.expected))
    }

    /// " at 1480 rpm", where readings were taken at more than one operating point.
    fn at(&self, deviation: &Deviation) -> String {
        let several = self.answer.deviations.iter().any(|other| other.run != deviation.run);
        let run = self.setting.seen.runs.get(deviation.run).filter(|_| several);
        run.map_or(String::new(), |run| format!(" at {}", place::speed(run.point.speed)))
    }

    /// Words that go with the cause, said or looked for in vain.
    fn words(&self, of: Named, cause: &Cause) -> Vec<String> {
        let now = || self.evidence.occasions.iter().filter(|occasion| occasion.when == Moment::Now);
        let mut lines = Vec::new();
        for (said, word, chance) in now().flat_map(|o| &o.said).filter_map(|said| self.told_by(of, cause, said)) {
            let chance = self.odds.say(chance);
            lines.push(format!("“{} {word}” speaks for it: said of {chance} such cases", name_of(self.plant, said.of)));
        }
        for (said, word, chance) in now().flat_map(|o| &o.not).filter_map(|said| self.told_by(of, cause, said)) {
            let chance = self.odds.say(chance);
            let name = name_of(self.plant, said.of);
            lines.push(format!("“{name} {word}” was looked for in vain; it is there in {chance} such cases"));
        }
        lines
    }

    fn told_by<'s>(&self, of: Named, cause: &Cause, said: &'s Said) -> Option<(&'s Said, &'static str, f64)> {
        let kind = kind_of(self.plant, said.of);
        let word = kind.words.get(said.word)?;
        let says = cause.says.iter().find(|says| {
            says.word == word.name
                && if says.kind.is_empty() { said.of == of } else { catalogue::answers_for(kind, says.kind) }
        })?;
        Some((said, word.name, says.chance))
    }

    /// What goes where, if the cause lets one liquid into another.
    fn leak(&self, of: Named, cause: &Cause) -> Option<String> {
        let Named::Part(part) = of else { return None };
        let lets = |at: &&Touching| at.part == part && at.wall.causes.contains(&cause.name);
        let at = self.answer.touching.iter().find(lets)?;
        Some(format!("at {} {}", at.wall.name, valves::leak(self.plant, at)))
    }

    /// How often it happens, before anything is read.
    fn rate(&self, ranked: &Ranked, of: Named) -> String {
        let often = format!("by how often it happens alone: {}", self.odds.say(ranked.by_rate));
        match of {
            Named::Part(part) => match self.plant[part].hours_since {
                Some(hours) => format!("{often}; {hours:.0} h since it was last seen to"),
                None => often,
            },
            Named::Gauge(_) => often,
        }
    }

    fn work(&self, of: Named) -> Vec<String> {
        let mine = self.evidence.work.iter().filter(|work| work.of == of);
        mine.map(|work| format!("worked on {:.0} h ago, and a new part is not an innocent part", work.hours_ago))
            .collect()
    }

    /// Checks that could have shown it.
    fn checks(&self, what: What) -> Vec<String> {
        let mut lines = Vec::new();
        for made in &self.evidence.checks {
            let kind = kind_of(self.plant, made.of);
            let Some(check) = kind.checks.get(made.check) else { continue };
            let Some(find) = tried::find_of(self.plant, made.of, check, what) else { continue };
            let named = format!("the check {} of {}", check.name, name_of(self.plant, made.of));
            let sees = self.odds.say(tried::detect(find, 1.0));
            lines.push(match &made.found {
                Found::Clean => {
                    format!("{named} found nothing: that speaks against it, though it shows only {sees} of them")
                }
                Found::Something => format!("{named} found something: that speaks for it"),
                Found::Cause(k) if what == What::Cause(made.of, *k) => format!("{named} found just this"),
                Found::Cause(_) => format!("{named} found something else"),
            });
        }
        lines
    }

    fn renewals(&self, of: Named, cause: &Cause) -> Vec<String> {
        let mine = self.evidence.renewed.iter().filter(|renewal| renewal.of == of);
        mine.filter(|renewal| plant::evidence_reader::undoes(renewal, cause))
            .map(|renewal| match renewal.result {
                RenewalResult::NoChange => "renewed already, without change: that speaks against it".to_string(),
                RenewalResult::Better => "renewed already, and it got better".to_string(),
                RenewalResult::Cured => "renewed already, and that cured it".to_string(),
            })
            .collect()
    }
}
