//! Evidence in its full form: a TOML file of occasions, checks, renewals and work.

use crate::evidence::{CheckMade, Evidence, Moment, Named, Occasion, Renewal, Said, Situation, Work};
use crate::evidence_names as names;
use crate::evidence_values as values;
use crate::finding::{Finding, Problem, SECTION};
use crate::plant::Plant;
use crate::told::{Entry, entries};
use measure::reading::ReadingText;
use std::ops::Range;
use toml_edit::{Document, TableLike};

/// The sections of an evidence file.
const SECTIONS: &[&str] = &["occasion", "check", "renewed", "work", "came", "sister", "situation"];
/// The keys of an occasion.
const OCCASION: &[&str] = &["when", "at", "readings", "said", "not", "nothing-else"];
/// After this many places that are no TOML the file is something else, and more findings help nobody.
const MOST_BROKEN: usize = 20;

/// Reads the full form. A section with a line that is no TOML is left out and the rest is read.
pub(crate) fn read(text: &str, plant: &Plant) -> (Evidence, Vec<Finding>) {
    let mut findings = Vec::new();
    let mut sound = text.to_string();
    for _ in 0..MOST_BROKEN {
        let broken = match Document::parse(sound.as_str()) {
            Ok(document) => {
                let mut walk = Walk { plant, evidence: Evidence::default(), findings };
                walk.file(document.as_table());
                return (walk.evidence, walk.findings);
            }
            Err(error) => {
                let place = error.span().unwrap_or(0..0);
                let (finding, broken) = not_toml(&sound, error.message(), place);
                findings.push(finding);
                broken
            }
        };
        blank(&mut sound, broken);
    }
    (Evidence::default(), findings)
}

/// What is wrong at a place that is no TOML, and what to leave out so that the rest can be read.
fn not_toml(text: &str, message: &str, place: Range<usize>) -> (Finding, Range<usize>) {
    let start = place.start.min(text.len());
    let line_start = text[..start].rfind('\n').map_or(0, |newline| newline + 1);
    let line_end = text[start..].find('\n').map_or(text.len(), |newline| start + newline);
    let heading = text[line_start..].starts_with('[');
    let message = message.trim_end().replace('\n', ", ");
    if message.starts_with("duplicate key") && !heading {
        let key = text.get(place.clone()).unwrap_or_default().trim_matches(['"', '\'']);
        let problem = Problem::Duplicate { what: format!("`{}`", names::short(key)) };
        return (Finding::at(problem, place), line_start..line_end);
    }
    let problem = if heading && message.starts_with("duplicate key") {
        let written = names::short(&text[line_start..line_end]);
        let message = format!("`{written}` stands here again; more than one of them are written with [[ and ]]");
        Problem::NotToml { message }
    } else {
        Problem::NotToml { message }
    };
    let from = if heading { line_start } else { text[..line_start].rfind("\n[").map_or(0, |newline| newline + 1) };
    let to = text[line_end..].find("\n[").map_or(text.len(), |newline| line_end + newline);
    (Finding::at(problem, place), from..to)
}

/// Puts spaces in place of what is left out, so that all other places stay where they are.
fn blank(text: &mut String, out: Range<usize>) {
    let spaces: String = text[out.clone()].bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect();
    text.replace_range(out, &spaces);
}

/// An engine that turns slower than this stands [rad/s].
const TURNS: f64 = 1.0;

/// The walk through a file.
struct Walk<'a> {
    plant: &'a Plant,
    evidence: Evidence,
    findings: Vec<Finding>,
}

impl Walk<'_> {
    fn file(&mut self, table: &dyn TableLike) {
        for section in entries(table, &mut self.findings) {
            match section.key.as_str() {
                "occasion" => self.each(&section, Walk::occasion),
                "check" => self.each(&section, Walk::check),
                "renewed" => self.each(&section, Walk::renewal),
                "work" => self.each(&section, Walk::work),
                "came" => self.evidence.came = self.by(&section, values::came),
                "sister" => self.sister(&section),
                "situation" => self.situation(&section),
                key if OCCASION.contains(&key) => {
                    self.report(Problem::OutsideOccasion { key: key.to_string() }, &section.key_place);
                }
                _ => self.findings.push(section.unknown("an evidence file", SECTIONS)),
            }
        }
        let moments = || self.evidence.occasions.iter().map(|occasion| occasion.when);
        if moments().count() > 0 && moments().all(|when| when != Moment::Now) {
            let what = "no occasion tells of the trouble itself".to_string();
            let advice = "Add an [[occasion]] with when = \"now\".";
            self.findings.push(Finding::whole(Problem::Contradiction { what, advice }));
        }
    }

    /// Of a vessel with one engine described it speaks of another that is not: not to be taken without a word.
    fn sister(&mut self, section: &Entry) {
        self.evidence.sister_well = self.by(section, values::sister).unwrap_or_default();
        if self.evidence.sister_well && self.plant.engines().count() < 2 {
            let what = "`sister` speaks of another engine, and one is described".to_string();
            let advice = "If she has no other, take this line out: it counts against what would reach both.";
            self.report(Problem::Contradiction { what, advice }, &section.key_place);
        }
    }

    /// Every table of a section; a single one needs no list.
    fn each(&mut self, section: &Entry, read: fn(&mut Self, &[Entry], &Range<usize>)) {
        let one = |walk: &mut Self, table: &dyn TableLike, place: Option<Range<usize>>| {
            let told = entries(table, &mut walk.findings);
            read(walk, &told, &place.unwrap_or_else(|| section.key_place.clone()));
        };
        if let Some(tables) = section.value.as_array_of_tables() {
            tables.iter().for_each(|table| one(self, table, table.span()));
        } else if let Some(table) = section.value.as_table_like() {
            one(self, table, section.value.span());
        } else if let Some(list) = section.value.as_array() {
            for value in list {
                match value.as_inline_table() {
                    Some(table) => one(self, table, value.span()),
                    None => self.findings.push(section.wrong(SECTION)),
                }
            }
        } else {
            self.findings.push(section.wrong(SECTION));
        }
    }

    fn occasion(&mut self, told: &[Entry], place: &Range<usize>) {
        let mut occasion = Occasion::default();
        for entry in told {
            match entry.key.as_str() {
                "when" => occasion.when = self.by(entry, values::moment).unwrap_or_default(),
                "at" => self.at(entry, &mut occasion),
                "readings" => self.readings(entry, &mut occasion),
                "said" => occasion.said = self.words(entry),
                "not" => occasion.not = self.words(entry),
                "nothing-else" => occasion.nothing_else = self.flag(entry).unwrap_or_default(),
                _ => self.findings.push(entry.unknown("an occasion", OCCASION)),
            }
        }
        self.doubts(&occasion, told, place);
        self.evidence.occasions.push(occasion);
    }

    fn doubts(&mut self, occasion: &Occasion, told: &[Entry], place: &Range<usize>) {
        if told.is_empty() {
            let advice = "Add readings = { … } or said = [ … ], or take it out.";
            self.report(Problem::BadOccasion { why: "tells nothing".into(), advice }, place);
        }
        for both in occasion.said.iter().filter(|said| occasion.not.contains(said)) {
            let what = format!("`{}` is both said and looked for in vain", names::form(self.plant, *both));
            let at = told.iter().find(|entry| entry.key == "not").map_or(place, |entry| &entry.place);
            self.report(Problem::Contradiction { what, advice: "Leave it in one of the two lists." }, at);
        }
        for (k, one) in occasion.said.iter().enumerate() {
            for other in occasion.said[..k].iter().filter(|other| names::contrary(self.plant, **other, *one)) {
                let (one, other) = (names::form(self.plant, *one), names::form(self.plant, *other));
                let what =
                    format!("`{other}` and `{one}` are said of the same occasion, and each is the other's contrary");
                let at = told.iter().find(|entry| entry.key == "said").map_or(place, |entry| &entry.place);
                let advice = "Tell of each in an [[occasion]] of its own, with its speed.";
                self.report(Problem::Contradiction { what, advice }, at);
            }
        }
        let stopped = occasion.at.speed.is_some_and(|speed| speed < TURNS);
        for word in occasion.said.iter().filter(|word| stopped && names::at_work(self.plant, **word)) {
            let what = format!("`{}` is said of a stopped engine", names::form(self.plant, *word));
            let at = told.iter().find(|entry| entry.key == "said").map_or(place, |entry| &entry.place);
            self.report(
                Problem::Contradiction { what, advice: "Give the speed she reached, in at = { speed = … }." },
                at,
            );
        }
        let compares = |reading: &ReadingText| matches!(reading, ReadingText::AsUsual | ReadingText::OverUsual { .. });
        if occasion.when == Moment::Usual
            && let Some((gauge, _)) = occasion.readings.iter().find(|(_, reading)| compares(reading))
        {
            let why = format!("is itself the usual, but compares `{}` with it", self.plant[*gauge].name);
            let at = told.iter().find(|entry| entry.key == "readings").map_or(place, |entry| &entry.place);
            self.report(Problem::BadOccasion { why, advice: "Write the value it showed, with its unit." }, at);
        }
    }

    fn at(&mut self, entry: &Entry, occasion: &mut Occasion) {
        for item in entry.table(&mut self.findings) {
            let place = if values::POINT_KEYS.contains(&item.key.as_str()) { &item.place } else { &item.key_place };
            match item.digits() {
                Some(text) => {
                    let problem = values::enter(&mut occasion.at, &item.key, &text, Some(self.plant));
                    self.findings.extend(problem.map(|problem| Finding::at(problem, place.clone())));
                }
                None => self.findings.push(item.wrong("a value with its unit, in quotes")),
            }
        }
    }

    fn readings(&mut self, entry: &Entry, occasion: &mut Occasion) {
        for item in entry.table(&mut self.findings) {
            let gauge = match names::gauge(self.plant, &item.key) {
                Ok(gauge) => gauge,
                Err(problem) => {
                    self.report(problem, &item.key_place);
                    continue;
                }
            };
            let Some(text) = item.digits() else {
                self.findings.push(item.wrong("what it showed, in quotes"));
                continue;
            };
            match values::reading(self.plant, gauge, &text) {
                Ok((reading, doubt)) => {
                    occasion.readings.push((gauge, reading));
                    self.findings.extend(doubt.map(|problem| Finding::at(problem, item.place.clone())));
                }
                Err(problem) => self.report(problem, &item.place),
            }
        }
    }

    fn words(&mut self, entry: &Entry) -> Vec<Said> {
        let mut said: Vec<Said> = Vec::new();
        for (text, place) in entry.list(&mut self.findings) {
            match names::said(self.plant, text) {
                Ok(word) if said.contains(&word) => {
                    let what = format!("`{}`", names::form(self.plant, word));
                    self.report(Problem::Repeated { what }, &place);
                }
                Ok(word) => said.push(word),
                Err(problem) => self.report(problem, &place),
            }
        }
        said
    }

    fn check(&mut self, told: &[Entry], place: &Range<usize>) {
        self.known(told, "a check", &["part", "check", "found"]);
        let of = self.need(told, "part", "a check", "\"raw-pump\"", place);
        let check = self.need(told, "check", "a check", "\"open_and_look\"", place);
        let found = self.need(told, "found", "a check", "\"clean\"", place);
        let Some(of) = of.and_then(|entry| self.by(entry, |text| names::named(self.plant, text))) else { return };
        let Some(check) = check.and_then(|entry| self.by(entry, |text| names::check(self.plant, of, text))) else {
            return;
        };
        let made = &names::kind_of(self.plant, of).checks[check];
        if let Some(found) = found.and_then(|entry| self.by(entry, |text| names::found(self.plant, of, made, text))) {
            let made = CheckMade { of, check, found };
            let again = self.evidence.checks.iter().find(|other| (other.of, other.check) == (of, check));
            let name = names::kind_of(self.plant, of).checks[check].name;
            let named = format!("the check `{name}` of `{}`", names::name_of(self.plant, of));
            match again.map(|other| *other == made) {
                Some(true) => return self.report(Problem::Repeated { what: named }, place),
                Some(false) => {
                    let what = format!("{named} is told twice and found two things");
                    let advice =
                        "Leave the later one, if the first was put right or mistaken; as they stand both are weighed.";
                    self.report(Problem::Contradiction { what, advice }, place);
                }
                None => {}
            }
            self.evidence.checks.push(made);
        }
    }

    fn renewal(&mut self, told: &[Entry], place: &Range<usize>) {
        self.known(told, "a renewal", &["part", "result"]);
        let part = self.need(told, "part", "a renewal", "\"raw-pump.impeller\"", place);
        let result = self.need(told, "result", "a renewal", "\"no change\"", place);
        let part = part.and_then(|entry| self.by(entry, |text| names::renewed(self.plant, text)));
        let result = result.and_then(|entry| self.by(entry, values::result));
        if let (Some((of, what)), Some(result)) = (part, result) {
            let made = Renewal { of, what, result };
            let again = self.evidence.renewed.iter().find(|other| (other.of, &other.what) == (of, &made.what));
            let named = format!("the renewal of `{}`", names::renewal(self.plant, &made));
            match again.map(|other| *other == made) {
                Some(true) => return self.report(Problem::Repeated { what: named }, place),
                Some(false) => {
                    let what = format!("{named} is told twice and came out two ways");
                    let advice = "Leave the one that holds now; as they stand both are weighed.";
                    self.report(Problem::Contradiction { what, advice }, place);
                }
                None => {}
            }
            self.evidence.renewed.push(made);
        }
    }

    fn work(&mut self, told: &[Entry], place: &Range<usize>) {
        self.known(told, "a piece of work", &["part", "hours-ago", "since"]);
        let part = self.need(told, "part", "a piece of work", "\"raw-pump\"", place);
        let hours = self.need(told, "hours-ago", "a piece of work", "12", place);
        // What of the part was worked on does not count, only the part.
        let whole = |text: &str| -> Result<Named, Problem> { names::renewed(self.plant, text).map(|(of, _)| of) };
        let of = part.and_then(|entry| self.by(entry, whole));
        let hours_ago = hours.and_then(|entry| {
            let text = entry.digits();
            if text.is_none() {
                self.findings.push(entry.wrong("running hours, such as 12"));
            }
            self.take(values::hours(&text?, "hours-ago", "100000 h"), &entry.place)
        });
        let since = told.iter().find(|entry| entry.key == "since").and_then(|entry| self.flag(entry));
        if let (Some(of), Some(hours_ago)) = (of, hours_ago) {
            self.evidence.work.push(Work { of, hours_ago, since: since.unwrap_or_default() });
        }
    }

    /// `[situation]`: where she is while it is put right.
    fn situation(&mut self, section: &Entry) {
        let told = section.table(&mut self.findings);
        self.known(&told, "`[situation]`", &["at-sea", "cannot-stop", "haven-hours"]);
        let mut yes = |key: &str| told.iter().find(|entry| entry.key == key).and_then(|entry| self.flag(entry));
        let (at_sea, cannot_stop) = (yes("at-sea"), yes("cannot-stop"));
        let haven = told.iter().find(|entry| entry.key == "haven-hours").and_then(|entry| {
            let text = entry.digits();
            if text.is_none() {
                self.findings.push(entry.wrong("hours, such as 5"));
            }
            self.take(values::hours(&text?, "haven-hours", "1000 h"), &entry.place)
        });
        if cannot_stop == Some(true) && at_sea == Some(false) {
            let what = "she cannot be stopped, and is not at sea".to_string();
            self.report(Problem::Contradiction { what, advice: "Leave one of the two lines." }, &section.key_place);
        }
        let cannot_stop = cannot_stop.unwrap_or(false);
        // Where she must not be stopped, or has hours to go, she is under way.
        let at_sea = at_sea.unwrap_or(cannot_stop || haven.is_some_and(|hours| hours > 0.0));
        self.evidence.situation = Situation { at_sea, cannot_stop, haven_hours: haven };
    }

    /// Reports the keys that do not belong.
    fn known(&mut self, told: &[Entry], of: &str, known: &[&str]) {
        let strange = told.iter().filter(|entry| !known.contains(&entry.key.as_str()));
        self.findings.extend(strange.map(|entry| entry.unknown(of, known)));
    }

    fn need<'e, 'i>(
        &mut self,
        told: &'e [Entry<'i>],
        key: &'static str,
        of: &str,
        example: &'static str,
        place: &Range<usize>,
    ) -> Option<&'e Entry<'i>> {
        let entry = told.iter().find(|entry| entry.key == key);
        if entry.is_none() {
            self.report(Problem::MissingKey { key, of: of.to_string(), example }, place);
        }
        entry
    }

    /// The text of an entry, read.
    fn by<T>(&mut self, entry: &Entry, read: impl Fn(&str) -> Result<T, Problem>) -> Option<T> {
        let text = entry.text(&mut self.findings)?;
        self.take(read(text), &entry.place)
    }

    /// True or false; nothing, and a finding, where it is neither.
    fn flag(&mut self, entry: &Entry) -> Option<bool> {
        let flag = entry.value.as_bool();
        if flag.is_none() {
            self.findings.push(entry.wrong("true or false"));
        }
        flag
    }

    fn take<T>(&mut self, read: Result<T, Problem>, place: &Range<usize>) -> Option<T> {
        read.map_err(|problem| self.report(problem, place)).ok()
    }

    fn report(&mut self, problem: Problem, place: &Range<usize>) {
        self.findings.push(Finding::at(problem, place.clone()));
    }
}
