//! What speaks for a cause, what against it and what else would have to be so, each in a sentence with its numbers.

use crate::assumed::{Told, in_owners_unit};
use crate::dial;
use crate::place;
use crate::saying::{key, list};
use crate::verdict::named;
use crate::why::Case;
use diagnosis::deviation::Against;
use diagnosis::explain::Ranked;
use diagnosis::hypothesis::{What, cause_of, kind_of, name_of};
use diagnosis::lies::falsified;
use diagnosis::reasons::{Need, Of, Piece, Reason};
use diagnosis::tried;
use measure::quantity::Quantity;
use measure::unit::print_usual;
use parts::kind::State;
use parts::rates::{Comes, rate};
use plant::evidence::{Came, Found, Named, RenewalResult, Said};
use plant::plant::{Gauge, GaugeId};

/// One thing that speaks for a cause or against it.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// In words, without how much.
    pub text: String,
    /// How many times likelier it makes the cause than the others, or less likely where it speaks against it [1].
    pub times: f64,
}

impl Line {
    /// "…: 12 times likelier".
    pub fn whole(&self, speaks_for: bool) -> String {
        format!("{}: {}", self.text, self.times(speaks_for))
    }

    /// "12 times likelier".
    pub fn times(&self, speaks_for: bool) -> String {
        let side = if speaks_for { "likelier" } else { "less likely" };
        format!("{} {side}", times(self.times))
    }
}

/// Lines told of either side.
const TOLD: usize = 3;
/// What makes a cause less than this much likelier, or less likely, is left out [1].
const SLIGHT: f64 = 1.5;

/// "12 times".
fn times(times: f64) -> String {
    match times {
        t if t > 1000.0 => "more than 1,000 times".into(),
        t if t >= 100.0 => format!("{:.0} times", (t / 50.0).round() * 50.0),
        t if t >= 20.0 => format!("{:.0} times", (t / 5.0).round() * 5.0),
        t if t >= 2.95 => format!("{t:.0} times"),
        t => format!("{t:.1} times"),
    }
}

/// A reading or a difference with its unit, as fine as the gauge is read.
fn shown(gauge: &Gauge, value: f64, against: Option<Against>) -> String {
    let step = dial::reading_step(gauge);
    match against {
        Some(_) => {
            let (value, unit) = dial::change(gauge, value);
            dial::with_unit(&dial::signed(value, step), unit)
        }
        None => dial::with_unit(&dial::number(dial::on_dial(gauge, value), step), dial::unit(gauge)),
    }
}

fn bare(gauge: &Gauge, value: f64, against: Option<Against>) -> String {
    let step = dial::reading_step(gauge);
    match against {
        Some(_) => dial::signed(dial::change(gauge, value).0, step),
        None => dial::number(dial::on_dial(gauge, value), step),
    }
}

impl Case<'_> {
    /// What speaks most for a cause, and what most against it.
    pub fn for_and_against(&self, ranked: &Ranked) -> (Vec<Line>, Vec<Line>) {
        let Some(reasons) = &ranked.reasons else { return (Vec::new(), Vec::new()) };
        let side = |speaks_for: bool| -> Vec<Line> {
            let mine = reasons.reasons.iter().filter(|reason| (reason.gain > 0.0) == speaks_for);
            let weighty = mine.filter(|reason| reason.gain.abs() >= SLIGHT.ln());
            let lines = weighty.filter_map(|reason| {
                let text = self.reason(ranked, reason)?;
                Some(Line { text, times: reason.gain.abs().exp() })
            });
            lines.take(TOLD).collect()
        };
        (side(true), side(false))
    }

    fn reason(&self, ranked: &Ranked, reason: &Reason) -> Option<String> {
        match reason.piece {
            Piece::Reading(place) => self.reading_says(ranked, reason, place),
            Piece::Bound(place) => self.bound_says(ranked, reason, place),
            Piece::Said(..) => Some(self.words_say(&reason.words)),
            Piece::LeftOut(..) => {
                let (word, _) = reason.words.first()?;
                Some(format!("nobody speaks of “{}”", self.word(*word)))
            }
            Piece::Check(place) => self.check_says(ranked, place),
            Piece::Renewed(place) => self.renewal_says(place),
            Piece::Came => self.came_so(ranked),
            Piece::Sister if reason.gain > 0.0 => Some("the other engine is well, and this would spare it".into()),
            Piece::Sister => Some("the other engine is well, and this would reach it too".into()),
            Piece::Asked if reason.gain > 0.0 => Some("what was told is of its making".into()),
            Piece::Asked => Some("nothing that was told need be of its making".into()),
            Piece::Bent if reason.gain > 0.0 => {
                Some("no figure of hers need be far from what is believed for it".into())
            }
            Piece::Bent => Some("figures of hers would have to be far from what is believed".into()),
            Piece::Severity if reason.gain > 0.0 => Some("more or less bad, it would show much the same".into()),
            Piece::Severity => Some("it would have to be just so bad, neither less nor more".into()),
            Piece::Late => Some("it showed only after a while, and such a thing shows at once".into()),
            // What was weighed by a first look alone tells of no reading which it is.
            Piece::Slips if reason.gain > 0.0 && ranked.reasons.as_ref()?.doubted.is_empty() => {
                Some("no reading has to be misread for it".into())
            }
            Piece::Slips => match ranked.reasons.as_ref()?.doubted.len() {
                0 => None,
                1 => Some("a reading would have to be misread".into()),
                more => Some(format!("{more} readings would have to be misread")),
            },
            Piece::Rate => Some(self.rate(ranked)),
        }
    }

    /// "it came at once, and such trouble comes by degrees".
    fn came_so(&self, ranked: &Ranked) -> Option<String> {
        let told = match self.answer.evidence.came? {
            Came::AtOnce => "at once",
            Came::ByDegrees => "by degrees",
            Came::OnAndOff => "on and off",
        };
        let comes =
            cause_of(self.plant, ranked.what).and_then(|cause| rate(cause.rate)).map_or(Comes::Either, |r| r.comes);
        Some(match comes {
            Comes::AtOnce if told != "at once" => format!("it came {told}, and such trouble comes at once"),
            Comes::ByDegrees if told != "by degrees" => format!("it came {told}, and such trouble comes by degrees"),
            Comes::OnAndOff if told != "on and off" => format!("it came {told}, and such trouble comes and goes"),
            Comes::Either => format!("it came {told}, and such trouble may come so or otherwise"),
            _ => format!("it came {told}, as such trouble does"),
        })
    }

    /// "raw-out reads 52 °C; the rest foretells 51 with this, 30 with strainer blocked (strainer)": without that reading.
    fn reading_says(&self, ranked: &Ranked, reason: &Reason, place: usize) -> Option<String> {
        let observed = self.answer.setting.seen.observed.get(place)?;
        let &(run, id, _) = observed.terms.first()?;
        let gauge = &self.plant[id];
        let name = format!("{}{}", gauge.name, self.at_run(run));
        let against =
            observed.terms.get(1).map(|(_, other, _)| if *other == id { Against::Usual } else { Against::Sister });
        let read = shown(gauge, observed.value, against);
        let says = match against {
            Some(against) => format!("{name} is {read} {}", against.words()),
            None => format!("{name} reads {read}"),
        };
        let lies = |what: What| falsified(self.plant, what).contains(&id);
        // What is taken for a slip, or of a gauge that lies, is told as such.
        if ranked.reasons.as_ref()?.doubted.contains(&place) || lies(ranked.what) {
            return None;
        }
        let with = reason.with.map(|value| bare(gauge, value, against));
        let alike = reason.rival.filter(|(what, value)| !lies(*what) && with == Some(bare(gauge, *value, against)));
        if let Some((what, _)) = alike {
            let surely = if reason.gain > 0.0 { "more" } else { "less" };
            return Some(format!("{says}, which comes out {surely} surely with this than {}", self.if_it_is(what)));
        }
        let other = reason.rival.filter(|(what, _)| !lies(*what));
        let other = other.map(|(what, value)| format!("{} {}", bare(gauge, value, against), self.if_it_is(what)));
        Some(match (with, other) {
            (Some(with), Some(other)) => format!("{says}; the rest foretells {with} with this, {other}"),
            (Some(with), None) => format!("{says}; the rest foretells {with} with this"),
            (None, _) => says,
        })
    }

    /// "with strainer blocked (strainer)", "if all is well".
    fn if_it_is(&self, what: What) -> String {
        match what {
            What::Well => "if all is well".into(),
            other => format!("with {}", named(self.plant, other)),
        }
    }

    fn bound_says(&self, ranked: &Ranked, reason: &Reason, place: usize) -> Option<String> {
        let bound = self.answer.setting.bounds.get(place)?;
        let gauge = &self.plant[bound.gauge];
        let most = if bound.at_least == gauge.vacuum { "at most" } else { "at least" };
        let says = format!("{}{} is {most} {}", gauge.name, self.at_run(bound.run), shown(gauge, bound.value, None));
        if falsified(self.plant, ranked.what).contains(&bound.gauge) {
            return None;
        }
        let with = bare(gauge, reason.with?, None);
        let other = reason
            .rival
            .map_or(String::new(), |(what, value)| format!(", {} {}", bare(gauge, value, None), self.if_it_is(what)));
        Some(format!("{says}; the rest foretells {with} with this{other}"))
    }

    /// " at 1480 rpm", where readings were taken on more than one occasion after onset; which of them, where the speed does
    /// not tell.
    pub(crate) fn at_run(&self, run: usize) -> String {
        let speed = |run: usize| {
            self.answer.setting.seen.runs.get(run).map_or(String::new(), |run| place::speed(run.point.speed))
        };
        let troubled = &self.answer.setting.troubled;
        if troubled.len() < 2 || !troubled.contains(&run) {
            return String::new();
        }
        let alike = troubled.iter().filter(|other| speed(**other) == speed(run)).count() > 1;
        let told = self.answer.setting.run_of.iter().position(|other| *other == run).filter(|_| alike);
        match told {
            Some(occasion) => format!(" on occasion {}", occasion + 1),
            None => format!(" at {}", speed(run)),
        }
    }

    fn word(&self, said: Said) -> String {
        let word = kind_of(self.plant, said.of).words.get(said.word).map_or("", |word| word.name);
        format!("{} {}", key(name_of(self.plant, said.of)), key(word))
    }

    fn words_say(&self, words: &[(Said, bool)]) -> String {
        let of = |yes: bool| -> Vec<String> {
            words.iter().filter(|(_, said)| *said == yes).map(|(word, _)| format!("“{}”", self.word(*word))).collect()
        };
        let (said, not) = (of(true), of(false));
        match (said.is_empty(), not.is_empty()) {
            (false, true) => format!("{} is said", list(&said)),
            (true, _) => format!("{} was looked for in vain", list(&not)),
            (false, false) => format!("{} is said, and {} was looked for in vain", list(&said), list(&not)),
        }
    }

    fn check_says(&self, ranked: &Ranked, place: usize) -> Option<String> {
        let made = self.answer.evidence.checks.get(place)?;
        let check = kind_of(self.plant, made.of).checks.get(made.check)?;
        let find = tried::find_of(self.plant, made.of, check, ranked.what);
        let sees = find.map(|find| tried::detect(find, 1.0));
        let of = name_of(self.plant, made.of);
        // What is kept of her says itself where it comes from.
        let named = if check.state == State::Kept {
            format!("{} ({of})", check.title)
        } else {
            format!("{} of {of}", key(check.name))
        };
        let found = match &made.found {
            Found::Clean => "found nothing".to_string(),
            Found::Something => "found something".into(),
            Found::Cause(k) if ranked.what == What::Cause(made.of, *k) => "found just this".into(),
            Found::Cause(_) => "found something else".into(),
            Found::Each(things) => match find.and_then(|find| tried::shown(check, things, find)) {
                Some(true) => "found this".into(),
                Some(false) => "looked for this and found nothing".into(),
                None => "says nothing of this".into(),
            },
        };
        // How much a look can miss matters where it found nothing.
        let misses = sees.filter(|_| made.found == Found::Clean);
        let misses = misses.map_or(String::new(), |sees| format!(", and shows {} such cases", self.odds.say(sees)));
        Some(format!("{named} {found}{misses}"))
    }

    fn renewal_says(&self, place: usize) -> Option<String> {
        let renewal = self.answer.evidence.renewed.get(place)?;
        let of = name_of(self.plant, renewal.of);
        let what = if renewal.what.is_empty() { of.to_string() } else { format!("{of} ({})", key(&renewal.what)) };
        Some(match renewal.result {
            RenewalResult::NoChange => format!("{what} was renewed and nothing changed"),
            RenewalResult::Better => format!("{what} was renewed and it got better"),
            RenewalResult::Cured => format!("{what} was renewed and that cured it"),
        })
    }

    /// How often it happens, before anything is read.
    fn rate(&self, ranked: &Ranked) -> String {
        let often = format!("by how often it happens alone it is {}", self.odds.say(ranked.by_rate));
        match ranked.what {
            What::Cause(Named::Part(part), _) => match self.plant[part].hours_since {
                Some(hours) => format!("{often}, {hours:.0} h since it was last seen to"),
                None => often,
            },
            _ => often,
        }
    }

    /// What would have to be so besides, the furthest from what is believed first.
    pub fn needs(&self, ranked: &Ranked) -> Vec<String> {
        let Some(reasons) = &ranked.reasons else { return Vec::new() };
        reasons.needs.iter().filter_map(|need| self.need(need)).collect()
    }

    fn need(&self, need: &Need) -> Option<String> {
        Some(match need.of {
            Of::Gauge(gauge) => {
                format!("{} would have to read {}", self.plant[gauge].name, self.off(gauge, need.needed))
            }
            Of::Lie(gauge) => format!("{} would be reading {}", self.plant[gauge].name, self.off(gauge, need.needed)),
            Of::Figure(part, figure) => {
                let part = &self.plant[part];
                let parameter = part.kind.parameters.get(figure)?;
                let told = Told::of(self.plant, part, parameter, part.figures.get(figure)?);
                let print = |value| in_owners_unit(value, parameter.quantity, told.density);
                let (needed, unit) = print(need.needed);
                let (believed, was) = print(need.believed);
                let needed = if unit == was { needed } else { dial::with_unit(&needed, unit) };
                let believed = dial::with_unit(&believed, was);
                format!("{}: {} would have to be {needed} instead of {believed}", part.name, told.title())
            }
            Of::Point(run, k) => self.point(run, k, need)?,
        })
    }

    /// "9 °C too high".
    fn off(&self, gauge: GaugeId, by: f64) -> String {
        let gauge = &self.plant[gauge];
        let (by, unit) = dial::change(gauge, by);
        let side = if by > 0.0 { "high" } else { "low" };
        let by = dial::number(by.abs(), dial::step(by.abs()).max(dial::reading_step(gauge)));
        format!("{} too {side}", dial::with_unit(&by, unit))
    }

    /// "the sea would have to be 6 °C warmer".
    fn point(&self, run: usize, k: usize, need: &Need) -> Option<String> {
        let (more, by) = (need.needed > need.believed, (need.needed - need.believed).abs());
        let at = self.at_run(run);
        let degrees = || {
            let kelvins = print_usual(by, Quantity::TemperatureDifference);
            format!("{} {}", kelvins.replace(" K", " °C"), if more { "warmer" } else { "colder" })
        };
        let share = |value: f64| format!("{:.0} %", 100.0 * value);
        let told = self.plant.sets_pitch();
        Some(match k {
            0 => {
                let (needed, believed) = (place::speed(need.needed), place::speed(need.believed));
                format!("she would have to run at {needed} instead of {believed}")
            }
            1 => format!(
                "the load{at} would have to be {} instead of {} of calm water",
                share(need.needed),
                share(need.believed)
            ),
            2 => format!("the sea{at} would have to be {}", degrees()),
            3 => format!("the air outside{at} would have to be {}", degrees()),
            4 => format!(
                "the barometer{at} would have to stand {} {}",
                print_usual(by, Quantity::PressureDifference),
                if more { "higher" } else { "lower" }
            ),
            5 if told => {
                format!("pitch{at} would have to be {} instead of {}", share(need.needed), share(need.believed))
            }
            _ => return None,
        })
    }

    /// A reading by its place among those set out: "coolant at 1500 rpm (96 °C)".
    pub fn reading_named(&self, place: usize) -> Option<String> {
        let observed = self.answer.setting.seen.observed.get(place)?;
        let &(run, id, _) = observed.terms.first()?;
        let gauge = &self.plant[id];
        let against =
            observed.terms.get(1).map(|(_, other, _)| if *other == id { Against::Usual } else { Against::Sister });
        let read = shown(gauge, observed.value, against);
        let than = against.map_or(String::new(), |against| format!(" {}", against.words()));
        Some(format!("{}{} ({read}{than})", gauge.name, self.at_run(run)))
    }
}
