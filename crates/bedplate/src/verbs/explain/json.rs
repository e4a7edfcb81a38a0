//! The answer of `explain` for programs.

use super::name;
use crate::json::{
    Act, Alike, Besides, Cause, Check, CheckOf, Deviation, Explain, Named, Reads, Reason, Rival, Severity, Standing,
    Tell, Telling, Unexplained, VERSION,
};
use diagnosis::deviation::{Against, OneSided};
use diagnosis::explain::Ranked;
use diagnosis::hypothesis::{What, cause_of, name_of};
use diagnosis::next_check::Advice;
use watch::because::Line;
use watch::dial::{self, sensible};
use watch::trust;
use watch::verdict::{self, listed, unlisted};
use watch::why::Case;

/// 95 % of readings lie within so many standard deviations.
const BAND: f64 = 1.96;

pub fn of(case: &Case) -> Explain {
    let (plant, answer) = (case.plant, case.answer);
    Explain {
        version: VERSION,
        vessel: name(plant).into(),
        act: answer.act.iter().map(|act| Act { line: act.line.clone(), because: act.because.clone() }).collect(),
        gauges: answer
            .deviations
            .iter()
            .map(|deviation| gauge(case, deviation))
            .chain(answer.one_sided.iter().map(|one| one_sided(case, one)))
            .collect(),
        causes: listed(case).into_iter().chain(unlisted(case)).map(|ranked| cause(case, ranked)).collect(),
        unexplained: unexplained(case),
        standing: standing(case),
        alike: trust::alike(case)
            .into_iter()
            .zip(&answer.alike)
            .map(|(text, group)| alike(case, group, text))
            .collect(),
        checks: answer.checks.iter().map(|advice| check(case, advice)).collect(),
        next: answer.next.as_ref().map(|next| super::json_next::of(case, next)),
        go_on: None,
        unweighed: answer.unweighed,
    }
}

fn gauge(case: &Case, deviation: &diagnosis::deviation::Deviation) -> Deviation {
    let gauge = &case.plant[deviation.gauge];
    let (low, high) = (deviation.expected - BAND * deviation.sigma, deviation.expected + BAND * deviation.sigma);
    let difference = deviation.against.is_some();
    let shown = |value| if difference { dial::change(gauge, value).0 } else { dial::on_dial(gauge, value) };
    let unit = if difference { dial::change(gauge, 0.0).1 } else { dial::unit(gauge) };
    let (low, high) = (shown(low), shown(high));
    Deviation {
        occasion: case.answer.setting.run_of.iter().position(|run| *run == deviation.run).unwrap_or_default(),
        gauge: gauge.name.clone(),
        read: sensible(shown(deviation.read)),
        expected: sensible(shown(deviation.expected)),
        low: sensible(low.min(high)),
        high: sensible(low.max(high)),
        unit: unit.into(),
        z: sensible((deviation.read - deviation.expected) / deviation.sigma),
        over_usual: deviation.against == Some(Against::Usual),
        over_sister: deviation.against == Some(Against::Sister),
        only: None,
    }
}

fn one_sided(case: &Case, one: &OneSided) -> Deviation {
    let vacuum = case.plant[one.deviation.gauge].vacuum;
    let only = Some(if one.at_least == vacuum { "at most" } else { "at least" });
    Deviation { z: sensible(one.far()), only, ..gauge(case, &one.deviation) }
}

fn cause(case: &Case, ranked: &Ranked) -> Cause {
    let (part, cause, title) = named(case, ranked.what);
    let graded = cause_of(case.plant, ranked.what)
        .is_some_and(|cause| watch::saying::severity(cause, 0.5, (0.0, 1.0)).is_some());
    let (low, high) = ranked.severity_range;
    let why = case.why(ranked);
    let reasons = |lines: &[Line]| {
        lines.iter().map(|line| Reason { text: line.text.clone(), times: sensible(line.times) }).collect()
    };
    Cause {
        part,
        cause,
        title,
        circuit: ranked.circuit.map(parts::kind::Circuit::name),
        probability: sensible(ranked.probability),
        severity: graded.then(|| Severity {
            middle: sensible(ranked.severity),
            low: sensible(low),
            high: sensible(high),
        }),
        besides: ranked.beside.map(|other| {
            let (part, cause, title) = named(case, other);
            let severity = (ranked.beside_severity > 0.0).then(|| sensible(ranked.beside_severity));
            Besides { part, cause, title, severity }
        }),
        why: why.lines(),
        speaks_for: reasons(&why.speaks_for),
        against: reasons(&why.against),
        needs: why.needs,
    }
}

fn unexplained(case: &Case) -> Option<Unexplained> {
    let odd = case.answer.unexplained.as_ref()?;
    let readings = odd.readings.iter().filter_map(|place| case.reading_named(*place)).collect();
    Some(Unexplained { readings, misread: odd.slips, text: trust::unexplained(case)? })
}

fn standing(case: &Case) -> Option<Standing> {
    let standing = trust::standing(case)?;
    let rivals = standing.rivals.iter();
    Some(Standing {
        first: standing.first.clone(),
        holds: standing.rivals.is_empty(),
        rivals: rivals.map(|rival| Rival { title: rival.title.clone(), times: sensible(rival.times) }).collect(),
        text: standing.in_words(),
    })
}

fn alike(case: &Case, group: &diagnosis::alike::Alike, text: String) -> Alike {
    let causes = group.of.iter().map(|what| {
        let (part, cause, title) = named(case, *what);
        Named { part, cause, title }
    });
    let telling = |telling: &diagnosis::alike::Telling| {
        let gauge = &case.plant[telling.gauge];
        Telling {
            gauge: gauge.name.clone(),
            speed_rpm: sensible(telling.speed * 60.0 / std::f64::consts::TAU),
            with: telling.reads.map(|(cause, reads)| Reads { cause, reads: sensible(dial::on_dial(gauge, reads)) }),
            unit: dial::unit(gauge).into(),
            far: sensible(telling.far),
        }
    };
    Alike {
        causes: causes.collect(),
        far: sensible(group.far),
        check: group
            .check
            .as_ref()
            .map(|advice| CheckOf { check: advice.check.name, part: name_of(case.plant, advice.of).into() }),
        reading: group.reading.as_ref().map(telling),
        text,
    }
}

/// Part, word and title of a cause; all is well has neither part nor word.
fn named(case: &Case, what: What) -> (String, String, String) {
    match what {
        What::Well => (String::new(), String::new(), verdict::named(case.plant, what)),
        What::Else(_) => (String::new(), "something else".into(), verdict::named(case.plant, what)),
        What::Cause(of, _) => {
            let cause = cause_of(case.plant, what);
            let word = cause.map_or("", |cause| cause.name);
            (name_of(case.plant, of).into(), word.into(), cause.map_or("", |cause| cause.title).into())
        }
    }
}

fn check(case: &Case, advice: &Advice) -> Check {
    Check {
        check: advice.check.name,
        part: name_of(case.plant, advice.of).into(),
        title: advice.check.title,
        minutes: sensible(advice.hands_on),
        state: advice.check.state.words(),
        tool: advice.check.tool,
        caution: advice.check.caution,
        bits: sensible(advice.bits),
        finds: sensible(advice.finds),
        tells: advice
            .tells
            .iter()
            .map(|(what, chance)| {
                let (part, cause, _) = named(case, *what);
                Tell { part, cause, probability: sensible(*chance) }
            })
            .collect(),
        lacks: advice.lacks.clone(),
    }
}
