//! The answer of `explain` for people: action, verdict, readings, causes, the next step, other checks.

use crate::page::{Side, columns, wrapped};
use diagnosis::deviation::{Against, Deviation, OneSided};
use diagnosis::explain::Ranked;
use diagnosis::hypothesis::{What, cause_of, name_of};
use diagnosis::next_check::Advice;
use diagnosis::next_step::Deed;
use measure::reading::{Mark, ReadingText};
use plant::evidence::{Moment, Named, Situation};
use plant::plant::GaugeId;
use std::fmt::Write as _;
use watch::saying::{self, Odds, list, sentence};
use watch::verdict::{Entry, LISTED, entries, entry_title, found, named, severity, title, unlisted, verdict};
use watch::why::Case;
use watch::{assumed, dial, place, trust};

/// Other checks told.
const CHECKS: usize = 4;

pub fn of(case: &Case) -> String {
    let said = [
        act(case),
        wrapped(&verdict(case), "", ""),
        readings(case),
        causes(case),
        trusted(case),
        next(case),
        checks(case),
        footer(case),
    ];
    said.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\n")
}

/// What to do this minute.
fn act(case: &Case) -> String {
    case.answer.act.iter().map(|act| wrapped(&format!("NOW: {} ({})", act.line, act.because), "", "     ")).collect()
}

/// Readings against what a sound plant would show, occasion by occasion.
fn readings(case: &Case) -> String {
    let mut out = String::new();
    let answer = case.answer;
    for (occasion, told) in
        case.answer.evidence.occasions.iter().enumerate().filter(|(_, told)| told.when == Moment::Now)
    {
        let Some(&run) = case.answer.setting.run_of.get(occasion) else { continue };
        let at = case
            .answer
            .setting
            .seen
            .runs
            .get(run)
            .map_or(String::new(), |run| format!(" {}", place::in_words(&run.point)));
        let mut rows = vec![["gauge", "reads", "", "should read", "how far off", ""].map(String::from).to_vec()];
        let here = answer.deviations.iter().filter(|deviation| deviation.run == run);
        rows.extend(here.map(|deviation| row(case, deviation).to_vec()));
        let one_sided_here = answer.one_sided.iter().filter(|one| one.deviation.run == run);
        rows.extend(one_sided_here.map(|one| one_sided(case, one)));
        if rows.len() > 1 {
            let _ = writeln!(out, "Readings{at}");
            out += &columns(&rows, &[Side::Left, Side::Right, Side::Left, Side::Left, Side::Right, Side::Left], "  ");
        }
        for (gauge, text) in &told.readings {
            out += &taken(case, *gauge, text);
        }
    }
    out
}

fn row(case: &Case, deviation: &Deviation) -> [String; 6] {
    let gauge = &case.plant[deviation.gauge];
    let off = deviation.read - deviation.expected;
    let far = off / deviation.sigma;
    // Suction dials turn the sign round; words follow the dial.
    let far = if gauge.vacuum { -far } else { far };
    let half = 1.96 * deviation.sigma;
    let (change, change_unit) = dial::change(gauge, off);
    let step = dial::step(2.0 * dial::change(gauge, half).0.abs());
    let difference = dial::with_unit(&dial::signed(change, step), change_unit);
    let (read, unit, expected) = if let Some(against) = deviation.against {
        let (read, unit) = dial::change(gauge, deviation.read);
        let expected = match against {
            Against::Usual => "as usual".into(),
            Against::Sister => dial::signed(dial::change(gauge, deviation.expected).0, step),
        };
        (dial::signed(read, step), format!("{unit} {}", against.words()), expected)
    } else {
        let number = |value| dial::number(dial::on_dial(gauge, value), step);
        // A reading is told as it was told, however wide the band.
        let fine = step.min(dial::reading_step(gauge));
        let read = dial::number(dial::on_dial(gauge, deviation.read), fine);
        let (low, high) = dial::band(gauge, deviation.expected - half, deviation.expected + half);
        let (low, high) = (dial::number(low, step), dial::number(high, step));
        (read, dial::unit(gauge).to_string(), format!("{} ({low} to {high})", number(deviation.expected)))
    };
    [gauge.name.clone(), read, unit, expected, difference, saying::far_off(far).into()]
}

/// A one-sided reading: it is off by no less than its row says, where a sound plant would not be past it too.
fn one_sided(case: &Case, one: &OneSided) -> Vec<String> {
    let gauge = &case.plant[one.deviation.gauge];
    let [name, read, unit, expected, difference, word] = row(case, &one.deviation);
    // Suction dials turn the side round as well.
    let most = if one.at_least == gauge.vacuum { "at most" } else { "at least" };
    let (difference, word) = match one.far() {
        0.0 => (String::new(), "not past what it should read".into()),
        _ => (format!("{difference} or more"), word),
    };
    vec![name, format!("{most} {read}"), unit, expected, difference, word]
}

/// How a one-sided reading is taken.
fn taken(case: &Case, gauge: GaugeId, text: &ReadingText) -> String {
    let told = &case.plant[gauge];
    let mark = match text {
        ReadingText::Value { mark, .. } | ReadingText::OffScale { mark } => *mark,
        _ => return String::new(),
    };
    let line = match mark {
        Mark::Steady => return String::new(),
        Mark::OffScaleHigh | Mark::OffScaleLow => {
            let side = if (mark == Mark::OffScaleHigh) == told.vacuum { "low" } else { "high" };
            format!("{} is off its scale, {side}: it may be past its end by any amount", told.name)
        }
        Mark::Climbing | Mark::Falling => {
            let (moves, most) =
                if (mark == Mark::Climbing) == told.vacuum { ("falls", "most") } else { ("rises", "least") };
            format!("{} still {moves}: taken as at {most} that", told.name)
        }
    };
    wrapped(&format!("{line}."), "  ", "    ")
}

fn causes(case: &Case) -> String {
    let mut out = "What it may be\n".to_string();
    let mut told = 0.0;
    for (place, entry) in entries(case).iter().enumerate() {
        told += entry.chance;
        let first = entry.ways[0];
        let bad =
            severity(case, first).filter(|_| entry.ways.len() == 1).map_or(String::new(), |bad| format!("; {bad}"));
        let head =
            format!("{}. {}: {}{bad}", place + 1, sentence(&entry_title(case, entry)), case.odds.say(entry.chance));
        out += &wrapped(&head, "  ", "     ");
        if let Some(beside) = beside(case, first) {
            out += &wrapped(&beside, "     - ", "       ");
        }
        let ways = if entry.ways.len() == 1 { None } else { ways_to_lie(case, entry) };
        for line in case.why(first).lines().into_iter().chain(ways) {
            out += &wrapped(&line, "     - ", "       ");
        }
        if let Some(cause) = cause_of(case.plant, first.what).filter(|_| entry.ways.len() == 1) {
            out += &wrapped(&format!("cure: {}", cause.remedy), "     - ", "       ");
        }
    }
    let mut rest = Vec::new();
    for ranked in unlisted(case).filter(|ranked| ranked.what == What::Well || ranked.probability >= LISTED) {
        told += ranked.probability;
        rest.push(format!("{}: {}", title(case, ranked), case.odds.say(ranked.probability)));
    }
    let others = 1.0 - told;
    if others > 0.005 {
        rest.push(format!("everything else together: {}", case.odds.say(others)));
    }
    out += &wrapped(&format!("{}.", sentence(&rest.join("; "))), "  ", "     ");
    if case.answer.unweighed > 0 {
        let count = case.answer.unweighed;
        let causes = if count == 1 { "cause" } else { "causes" };
        let text = format!("{count} further {causes} could not be worked out at this point and had to be left out.");
        out += &wrapped(&text, "  ", "     ");
    }
    out
}

/// What is so besides: what a check found, or how bad the second of two at once would be.
fn beside(case: &Case, ranked: &Ranked) -> Option<String> {
    let other = ranked.beside?;
    let graded = cause_of(case.plant, other).filter(|_| ranked.beside_severity > 0.0);
    let bad = ranked.beside_severity;
    match graded.and_then(|cause| saying::severity(cause, bad, (bad, bad))) {
        Some(bad) => Some(format!("{}: {bad}", named(case.plant, other))),
        None if found(case, other) => Some(format!("besides what was found: {}", named(case.plant, other))),
        // The title of two at once names both.
        None => None,
    }
}

/// How a gauge may lie.
fn ways_to_lie(case: &Case, entry: &Entry) -> Option<String> {
    let ways: Vec<String> = entry
        .ways
        .iter()
        .filter(|ranked| ranked.probability >= LISTED / 2.0)
        .filter_map(|ranked| {
            Some(format!("{} ({})", cause_of(case.plant, ranked.what)?.title, case.odds.say(ranked.probability)))
        })
        .collect();
    (!ways.is_empty()).then(|| format!("it may be: {}", list(&ways)))
}

/// How far that can be trusted.
fn trusted(case: &Case) -> String {
    let standing = trust::standing(case).map(|standing| standing.in_words() + ".");
    let lines: Vec<String> = standing.into_iter().chain(trust::alike(case)).collect();
    if lines.is_empty() {
        return String::new();
    }
    lines.iter().fold("How firmly that stands\n".to_string(), |out, line| out + &wrapped(line, "  ", "    "))
}

/// The step of least expected cost, and what then.
fn next(case: &Case) -> String {
    let (Some(told), Some(next)) = (watch::next::told(case, !case.answer.act.is_empty()), &case.answer.next) else {
        return String::new();
    };
    let mut out = "What to do next\n".to_string();
    for line in &told.first {
        out += &wrapped(line, "  ", "     ");
    }
    out += &wrapped(&told.head, "  ", "     ");
    if !told.takes.is_empty() {
        out += &wrapped(&told.takes, "     ", "     ");
    }
    for line in told.way.iter().chain(told.caution.map(|caution| format!("Care: {caution}")).iter()) {
        out += &wrapped(line, "     ", "       ");
    }
    out += &wrapped(&format!("Why: {}", told.why), "     ", "       ");
    for line in &told.then {
        let indent = " ".repeat(5 + 3 * line.depth);
        out += &wrapped(&line.text, &indent, &format!("{indent}  "));
    }
    // The words to write down what came of it.
    let evidence = match &next.then.does {
        Deed::Check { of, check, .. } => Some(in_evidence(case, *of, check.name)),
        Deed::Repair { of, causes, .. } => {
            let cause = causes.first().and_then(|what| cause_of(case.plant, *what)).map_or("", |cause| cause.name);
            let part = name_of(case.plant, *of);
            Some(format!("In evidence: [[renewed]] part = \"{part}.{cause}\", result = \"no change\" or \"cured\""))
        }
        _ => None,
    };
    for line in evidence.iter().chain(&told.lacking) {
        out += &wrapped(line, "     ", "       ");
    }
    let asks = matches!(next.then.does, Deed::Check { .. } | Deed::Repair { .. } | Deed::Help);
    if asks && case.answer.evidence.situation == Situation::default() {
        let text = "It is taken that she may be stopped and that help is at hand. If not, write [situation] with at-sea, \
                    cannot-stop and haven-hours in evidence.";
        out += &wrapped(text, "     ", "       ");
    }
    out
}

fn in_evidence(case: &Case, of: Named, check: &str) -> String {
    format!("In evidence: [[check]] part = \"{}\", check = \"{check}\"", name_of(case.plant, of))
}

/// Other looks than the one that comes next.
fn checks(case: &Case) -> String {
    let step = case.answer.next.as_ref().map(|next| &next.then.does);
    if matches!(step, Some(Deed::Cured)) {
        return String::new();
    }
    let is_next = |advice: &Advice| matches!(step, Some(Deed::Check { of, check, .. }) if (*of, check.name) == (advice.of, advice.check.name));
    let others: Vec<&Advice> = case.answer.checks.iter().filter(|advice| !is_next(advice)).take(CHECKS).collect();
    if others.is_empty() {
        return if step.is_none() { "Next: no check known here would settle more.\n".into() } else { String::new() };
    }
    let mut out = "Other looks: what settles most for the trouble it takes comes first\n".to_string();
    for (place, advice) in others.into_iter().enumerate() {
        out += &check(case, place, advice);
    }
    out
}

fn check(case: &Case, place: usize, advice: &Advice) -> String {
    let head = format!("{}. {}: {}", place + 1, name_of(case.plant, advice.of), advice.check.title);
    let mut out = wrapped(&head, "  ", "     ");
    let tool = advice.check.tool.map_or(String::new(), |tool| format!("; {tool}"));
    let minutes = dial::number(advice.hands_on, 1.0);
    out += &wrapped(&format!("{minutes} min, {}{tool}", advice.check.state.words()), "     ", "     ");
    if !advice.lacks.is_empty() {
        let tools: Vec<String> = advice.lacks.iter().map(ToString::to_string).collect();
        out += &wrapped(&format!("It needs {}, which is not aboard.", list(&tools)), "     ", "       ");
    }
    if !advice.check.caution.is_empty() {
        out += &wrapped(&format!("Care: {}", advice.check.caution), "     ", "       ");
    }
    let tells: Vec<String> = advice
        .tells
        .iter()
        .map(|(what, chance)| format!("{} {}", case.odds.say(*chance), named(case.plant, *what)))
        .collect();
    if !tells.is_empty() {
        let finds = case.odds.say(advice.finds);
        out += &wrapped(&format!("If it shows something ({finds}): {}.", list(&tells)), "     ", "       ");
    }
    // The word to write down what came of it.
    out + &wrapped(&in_evidence(case, advice.of, advice.check.name), "     ", "     ")
}

/// Once: what the answer rests on, and what comes before it.
fn footer(case: &Case) -> String {
    let parts = assumed::parts(case.plant).len();
    let typical = assumed::typical(case.plant).count();
    let exact = if case.odds == Odds::Exact { "" } else { " Exact figures: --exact." };
    let text = format!(
        "This rests on what was told, on a model of this plant ({parts} parts assumed, {typical} typical figures) and on how \
         often things fail.{exact} The maker's manual, the flag and class rules, local codes and a licensed engineer come \
         before it. It advises; it never replaces the oil-pressure switch and its bell."
    );
    let corrected = watch::sender::corrections(case.plant);
    corrected.iter().map(|line| wrapped(&format!("{line}."), "", "  ")).collect::<String>() + &wrapped(&text, "", "")
}
