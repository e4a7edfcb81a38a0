//! Causes: ranked, each with its reasons; which check to make next; what was entered, and what can be.

use crate::page::check::CheckCard;
use crate::page::frame::{Frame, Theme};
use crate::page::next::{NextCard, checked};
use crate::page::opening::{Opening, drawn};
use crate::page::{Choices, address, choices, long};
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;
use diagnosis::explain::Ranked;
use diagnosis::hypothesis::{What, cause_of, kind_of, name_of};
use diagnosis::next_check::Advice;
use plant::evidence::{CheckMade, Found, Moment, Named, Renewal, RenewalResult, Said, Situation};
use plant::plant::{PartId, Plant};
use watch::because;
use watch::next::ABOVE_FIRST;
use watch::picture::{Explained, Picture};
use watch::saying::{Odds, key, list, sentence};
use watch::standby::{ChangeOver, change_over};
use watch::trust;
use watch::verdict::{self, Entry, LISTED, entries, entry_title, unlisted};
use watch::why::Case;

/// The page.
#[derive(Template)]
#[template(path = "causes.html")]
pub struct CausesPage {
    frame: Frame,
    opening: Opening,
    ranking: Ranking,
    checks: Checks,
    entered: Entered,
    /// Where she may be: its word, in running text, whether she is there.
    places: Vec<(&'static str, &'static str, bool)>,
    /// Hours to a haven, as told.
    hours: String,
    /// What can be said of each part: its name, and its words as "part.word" and in running text.
    sayable: Choices,
}

impl CausesPage {
    /// At this moment.
    pub fn of(scene: &Scene, theme: Theme) -> CausesPage {
        let picture = &scene.picture;
        CausesPage {
            frame: Frame::of(scene, "Causes", theme, "/causes"),
            opening: Opening::of(picture),
            ranking: Ranking::of(picture),
            checks: Checks::of(scene),
            entered: Entered::of(picture),
            places: places(picture.situation),
            hours: picture.situation.haven_hours.map_or(String::new(), |hours| hours.to_string()),
            sayable: choices(&picture.plant, |kind| kind.words.iter().map(|word| (word.name, word.name))),
        }
    }

    /// What changes on it.
    pub fn pieces(scene: &Scene) -> Pieces {
        let mut html = Opening::pieces(scene);
        html.push(("ranking".into(), drawn(&Ranking::of(&scene.picture))));
        html.push(("checks".into(), drawn(&Checks::of(scene))));
        html.push(("entered".into(), drawn(&Entered::of(&scene.picture))));
        Pieces { html, marks: Vec::new() }
    }
}

/// Where she may be, for what can be done there.
fn places(now: Situation) -> Vec<(&'static str, &'static str, bool)> {
    let is = |at_sea, cannot_stop| (now.at_sea, now.cannot_stop) == (at_sea, cannot_stop);
    vec![
        ("port", "In port, or where help is at hand", is(false, false)),
        ("sea", "At sea; her engine may be stopped", is(true, false)),
        ("lee", "At sea; her engine must not be stopped now", is(true, true)),
    ]
}

/// The causes, likeliest first.
#[derive(Template)]
#[template(path = "ranking.html")]
struct Ranking {
    basis: String,
    rows: Vec<CauseRow>,
    rest: Option<String>,
    /// How far it can be trusted, a sentence or two each.
    trust: Vec<String>,
}

/// A cause, or all is well, or what is on no list.
struct CauseRow {
    id: String,
    title: String,
    link: Option<String>,
    odds: String,
    exact: String,
    /// Shares of the bar's width [%]: the chance, and what it would be if it happened a third or three times as often.
    chance: f64,
    range: (f64, f64),
    bad: Option<String>,
    /// Readings that are off: which of them it explains.
    explains: Vec<String>,
    sides: Vec<Side>,
    /// What would have to be so besides.
    needs: Vec<String>,
    /// What else there is to know of it.
    also: Vec<String>,
}

/// What speaks for a cause, or against it.
struct Side {
    head: &'static str,
    lines: Vec<Weight>,
}

/// One thing that does, and by how much.
struct Weight {
    times: String,
    text: String,
}

impl Side {
    fn of(lines: &[because::Line], speaks_for: bool) -> Option<Side> {
        let head = if speaks_for { "For it" } else { "Against it" };
        let weight = |line: &because::Line| Weight { times: line.times(speaks_for), text: sentence(&line.text) + "." };
        (!lines.is_empty()).then(|| Side { head, lines: lines.iter().map(weight).collect() })
    }
}

impl Ranking {
    fn of(picture: &Picture) -> Ranking {
        let Some(explained) = &picture.explained else {
            let basis = "Nothing has been weighed yet: causes are weighed once the readings have kept still.".into();
            return Ranking { basis, rows: Vec::new(), rest: None, trust: Vec::new() };
        };
        let case = explained.case(&picture.plant, Odds::Words);
        let named = entries(&case);
        let mut rows: Vec<CauseRow> = named.iter().map(|entry| CauseRow::of(&case, entry)).collect();
        let others = unlisted(&case).filter(|ranked| ranked.what == What::Well || ranked.probability >= LISTED);
        rows.extend(others.map(|ranked| CauseRow::unlisted(&case, ranked)));
        rows.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        let left = 1.0 - rows.iter().map(|row| row.chance / 100.0).sum::<f64>();
        let rest = (left > 0.005).then(|| format!("Everything else together: {}.", case.odds.say(left)));
        let standing = trust::standing(&case).map(|standing| standing.in_words() + ".");
        let trust = standing.into_iter().chain(trust::alike(&case)).collect();
        Ranking { basis: basis(picture, explained), rows, rest, trust }
    }
}

/// What the odds rest on, and how old they are.
fn basis(picture: &Picture, explained: &Explained) -> String {
    let count = |when| explained.answer.evidence.occasions.iter().filter(|occasion| occasion.when == when).count();
    let (usual, now) = (count(Moment::Usual), count(Moment::Now));
    let checks = explained.answer.evidence.checks.len();
    let looked = if checks == 0 { String::new() } else { format!(", {} made", many(checks, "check")) };
    format!(
        "Weighed {} ago from {} when it was well and {} now{looked}.",
        long(picture.at - explained.at),
        many(usual, "snapshot"),
        many(now, "snapshot"),
    )
}

fn many(count: usize, what: &str) -> String {
    match count {
        0 => format!("no {what}"),
        1 => format!("one {what}"),
        more => format!("{more} {what}s"),
    }
}

impl CauseRow {
    fn of(case: &Case, entry: &Entry) -> CauseRow {
        let first = entry.ways[0];
        let one = entry.ways.len() == 1;
        let ways = entry.ways.iter().filter_map(|way| {
            let title = cause_of(case.plant, way.what)?.title;
            Some(format!("{title}: {}", case.odds.say(way.probability)))
        });
        let of = if let What::Cause(of, _) = first.what { Some(of) } else { None };
        let mut row = CauseRow {
            bad: if one { verdict::severity(case, first) } else { None },
            link: of.map(|of| address(case.plant, of)),
            ..CauseRow::bare(case, first, sentence(&entry_title(case, entry)), entry.chance)
        };
        let cure = cause_of(case.plant, first.what).filter(|_| one).map(|cause| format!("Cure: {}", cause.remedy));
        row.also.extend(ways.filter(|_| !one).map(|line| sentence(&line)).chain(cure));
        row
    }

    fn unlisted(case: &Case, ranked: &Ranked) -> CauseRow {
        CauseRow::bare(case, ranked, sentence(&verdict::title(case, ranked)), ranked.probability)
    }

    fn bare(case: &Case, ranked: &Ranked, title: String, chance: f64) -> CauseRow {
        let if_rate = |times: f64| times * chance / (times * chance + 1.0 - chance);
        let share = |p: f64| (1000.0 * p).round() / 10.0;
        let why = case.why(ranked);
        let sentences = |lines: &[String]| lines.iter().map(|line| sentence(line) + ".").collect();
        CauseRow {
            id: id_of(ranked.what),
            title,
            link: None,
            odds: case.odds.say(chance),
            exact: Odds::Exact.say(chance),
            chance: share(chance),
            range: (share(if_rate(1.0 / trust::RATE_DOUBT)), share(if_rate(trust::RATE_DOUBT))),
            bad: None,
            explains: sentences(&why.explains),
            sides: [Side::of(&why.speaks_for, true), Side::of(&why.against, false)].into_iter().flatten().collect(),
            needs: sentences(&why.needs),
            also: sentences(&why.also),
        }
    }
}

fn id_of(what: What) -> String {
    match what {
        What::Well => "well".into(),
        What::Else(circuit) => format!("else-{}", circuit.name()),
        What::Cause(Named::Part(part), cause) => format!("part{}-{cause}", part.0),
        What::Cause(Named::Gauge(gauge), cause) => format!("gauge{}-{cause}", gauge.0),
    }
}

/// The checks worth making.
#[derive(Template)]
#[template(path = "checks.html")]
struct Checks {
    /// All is well as far as can be told, and nothing is asked for.
    well: bool,
    /// What stands to be done this minute, and no step beside it.
    above: Option<&'static str>,
    /// A line that stands by: how to change over to it, and what that tells.
    over: Option<String>,
    next: Option<NextCard>,
    cards: Vec<CheckCard>,
}

/// Checks shown.
const CHECKS: usize = 5;

impl Checks {
    fn of(scene: &Scene) -> Checks {
        let picture = &scene.picture;
        let Some(explained) = &picture.explained else {
            return Checks { well: false, above: above(picture, None), over: None, next: None, cards: Vec::new() };
        };
        let case = explained.case(&picture.plant, Odds::Words);
        let next = NextCard::of(scene, &case);
        let step = explained.answer.next.as_ref().and_then(|next| checked(&next.then.does));
        let other =
            |advice: &&Advice| step.is_none_or(|(of, check)| (advice.of, advice.check.name) != (of, check.name));
        let advised = explained.answer.checks.iter().filter(other).take(CHECKS);
        Checks {
            well: explained.well() > 0.5 && picture.act.is_empty(),
            above: above(picture, next.as_ref()),
            over: match explained.named(&picture.plant) {
                Some(What::Cause(Named::Part(part), _)) => {
                    change_over(&picture.plant, part).map(|over| in_words(&picture.plant, &over))
                }
                _ => None,
            },
            next,
            cards: advised.map(|advice| CheckCard::advised(scene, &case, advice)).collect(),
        }
    }
}

/// That something else comes first, where no step says so.
fn above(picture: &Picture, next: Option<&NextCard>) -> Option<&'static str> {
    (!picture.act.is_empty() && next.is_none()).then_some(ABOVE_FIRST)
}

/// "Change over to strainer-starboard, which stands by: …".
fn in_words(plant: &Plant, over: &ChangeOver) -> String {
    let name = |part: PartId| plant[part].name.clone();
    let shut = over.shut.map_or(String::new(), |shut| format!(", then shut {}", name(shut)));
    let line: Vec<String> = over.line.iter().map(|part| name(*part)).collect();
    format!(
        "Change over to {}, which stands by: open {}{shut}. If the readings come back, it was in {}.",
        name(over.to),
        name(over.open),
        any_of(&line)
    )
}

/// "a, b or c".
fn any_of(names: &[String]) -> String {
    match names {
        [most @ .., last] if !most.is_empty() => format!("{} or {last}", most.join(", ")),
        all => list(all),
    }
}

/// What people have entered.
#[derive(Template)]
#[template(path = "entered.html")]
struct Entered {
    said: Vec<Line>,
    checks: Vec<Line>,
    repairs: Vec<Line>,
}

/// Something entered: what of, which, and how it came out.
struct Line {
    of: String,
    what: String,
    text: String,
}

impl Entered {
    fn of(picture: &Picture) -> Entered {
        let plant = &picture.plant;
        Entered {
            said: picture.said.iter().filter_map(|(said, there)| Line::said(plant, *said, *there)).collect(),
            checks: picture.checks.iter().filter_map(|made| Line::check(plant, made)).collect(),
            repairs: picture.repairs.iter().filter_map(|made| Line::repair(plant, made)).collect(),
        }
    }
}

impl Line {
    fn said(plant: &Plant, said: Said, there: bool) -> Option<Line> {
        let word = kind_of(plant, said.of).words.get(said.word)?;
        let of = name_of(plant, said.of).to_string();
        let seen = if there { key(word.name) } else { format!("{}: looked for, not there", key(word.name)) };
        Some(Line { text: format!("{}: {seen}", sentence(&key(&of))), what: format!("{of}.{}", word.name), of })
    }

    fn check(plant: &Plant, made: &CheckMade) -> Option<Line> {
        let kind = kind_of(plant, made.of);
        let check = kind.checks.get(made.check)?;
        let of = name_of(plant, made.of).to_string();
        let found = match made.found {
            Found::Clean => "nothing wrong".to_string(),
            Found::Something => "something, not named".into(),
            Found::Cause(cause) => kind.causes.get(cause)?.title.to_string(),
            Found::Each(ref things) if things.iter().any(|(_, there)| *there) => "something".into(),
            Found::Each(_) => "nothing wrong".into(),
        };
        let text = format!("{}: {} {found}", sentence(&key(&of)), check.title);
        Some(Line { text, what: check.name.into(), of })
    }

    fn repair(plant: &Plant, made: &Renewal) -> Option<Line> {
        let cause = kind_of(plant, made.of).causes.iter().find(|cause| cause.remedy == made.what)?;
        let of = name_of(plant, made.of).to_string();
        let result = match made.result {
            RenewalResult::NoChange => "no change",
            RenewalResult::Better => "better, not cured",
            RenewalResult::Cured => "cured",
        };
        let text = format!("{}: {}: {result}", sentence(&key(&of)), cause.remedy);
        Some(Line { text, what: cause.name.into(), of })
    }
}
