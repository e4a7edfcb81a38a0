//! The real cases: every folder at both moments, where the true cause came and with what odds.

use diagnosis::explain::{Answer, Ranked, explain};
use diagnosis::hypothesis::{self, What, name_of};
use parts::kind::Circuit;
use plant::evidence::Named;
use plant::plant::Plant;
use std::fmt::Write as _;
use std::path::Path;

/// One case at one moment.
#[derive(Clone)]
struct Outcome {
    id: String,
    set: String,
    moment: &'static str,
    rank: usize,
    probability: f64,
    rate_rank: usize,
    flat_rank: usize,
    right_circuit: bool,
    rate_circuit: bool,
    first: String,
    first_probability: f64,
    accepted: String,
}

/// The sets of cases, by their key in `expected.toml`, and what they are.
const SETS: [(&str, &str); 3] = [
    ("first", "The 24 that all was changed with in view"),
    ("open", "Every second of the rest: may be looked at"),
    (KEPT, "The others: run, and not looked into, so that no table shows their rows"),
];
/// The set that nothing may be chosen by: its sums are shown, its rows never.
const KEPT: &str = "kept";

/// Moments scored: the evidence file of each.
const MOMENTS: [(&str, &str); 2] = [("told", "evidence.toml"), ("before the finding", "evidence-before-finding.toml")];

/// Runs the cases under `folder` and returns the table of them as Markdown; those that may not be looked into only
/// `with_kept`, for their sums.
pub fn table(folder: &Path, with_kept: bool) -> Result<String, String> {
    let mut folders: Vec<_> = std::fs::read_dir(folder)
        .map_err(|e| format!("{}: {e}", folder.display()))?
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.join("expected.toml").is_file())
        .collect();
    folders.sort();
    let mut outcomes = Vec::new();
    for path in &folders {
        let expected = std::fs::read_to_string(path.join("expected.toml")).unwrap_or_default();
        if !with_kept && expected.contains(&format!("set = \"{KEPT}\"")) {
            continue;
        }
        let first = run(path, MOMENTS[0].0, MOMENTS[0].1)?;
        // Where nothing was tried before the finding there is nothing to weigh again.
        let told = |file: &str| std::fs::read_to_string(path.join(file)).map(|text| without_remarks(&text));
        let same = MOMENTS.map(|(_, file)| told(file).ok());
        let second = match same {
            [Some(a), Some(b)] if a == b => Outcome { moment: MOMENTS[1].0, ..first.clone() },
            _ => run(path, MOMENTS[1].0, MOMENTS[1].1)?,
        };
        outcomes.extend([first, second]);
    }
    Ok(write(&outcomes))
}

/// Evidence without its remarks and empty lines.
fn without_remarks(text: &str) -> String {
    text.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#')).collect::<Vec<_>>().join("\n")
}

fn run(path: &Path, moment: &'static str, file: &str) -> Result<Outcome, String> {
    let id = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let read = |name: &str| std::fs::read_to_string(path.join(name)).map_err(|e| format!("{id}/{name}: {e}"));
    let (plant, findings) = plant::reader::read(&read("vessel.toml")?);
    let plant = plant.ok_or_else(|| format!("{id}/vessel.toml: {}", findings[0].problem))?;
    let (evidence, findings) = plant::evidence_reader::read(&read(file)?, &plant);
    if let Some(fatal) = findings.iter().find(|f| f.is_fatal()) {
        return Err(format!("{id}/{file}: {}", fatal.problem));
    }
    let expected: toml_edit::DocumentMut =
        read("expected.toml")?.parse().map_err(|e| format!("{id}/expected.toml: {e}"))?;
    let accepted: Vec<String> =
        expected["accepted"].as_array().into_iter().flatten().filter_map(|v| v.as_str().map(str::to_owned)).collect();
    let set = expected["set"].as_str().unwrap_or("").to_owned();
    if !SETS.iter().any(|(key, _)| *key == set) {
        return Err(format!("{id}/expected.toml: `set` is `{set}`, not first, open or kept"));
    }
    let circuit = expected["right_circuit"].as_str().unwrap_or("").replace(' ', "-");
    let answer = explain(&plant, &evidence).map_err(|e| format!("{id}: {e:?}"))?;
    let name = |what: What| label(&plant, what);
    let right = |r: &Ranked| accepted.contains(&name(r.what));
    let rank = place(&plant, &answer, &right, |r| r.probability);
    let rate_rank = place(&plant, &answer, &right, |r| r.by_rate);
    let flat_rank = place(&plant, &answer, &right, |r| r.weight.exp());
    let first = answer.ranked.iter().find(|r| matches!(r.what, What::Cause(..))).ok_or("nothing ranked")?;
    let probability = answer.ranked.iter().filter(|r| accepted.contains(&name(r.what))).map(|r| r.probability).sum();
    if rank == 999 {
        return Err(format!("{id}: {accepted:?} is no cause of this plant"));
    }
    Ok(Outcome {
        moment,
        rank,
        probability,
        rate_rank,
        flat_rank,
        right_circuit: likeliest_circuit(&answer, |r| r.probability) == Some(circuit.clone()),
        rate_circuit: likeliest_circuit(&answer, |r| r.by_rate) == Some(circuit),
        first: name(first.what),
        first_probability: first.probability,
        accepted: accepted.join(" or "),
        set,
        id,
    })
}

/// "part.cause".
pub fn label(plant: &Plant, what: What) -> String {
    match what {
        What::Cause(named, _) => {
            let cause = hypothesis::cause_of(plant, what).map_or("", |c| c.name);
            format!("{}.{cause}", name_of(plant, named))
        }
        What::Well => "all is well".into(),
        What::Else(circuit) => format!("something else in {}", circuit.name()),
    }
}

/// Place among named causes; those of one part that one repair cures count as one.
pub fn place(
    plant: &Plant,
    answer: &Answer,
    right: &dyn Fn(&Ranked) -> bool,
    weight: impl Fn(&Ranked) -> f64,
) -> usize {
    let mut repairs: Vec<((Named, &str), f64, bool)> = Vec::new();
    for r in &answer.ranked {
        let What::Cause(named, _) = r.what else { continue };
        let remedy = hypothesis::cause_of(plant, r.what).map_or("", |c| c.remedy);
        match repairs.iter_mut().find(|entry| entry.0 == (named, remedy)) {
            Some(entry) => {
                entry.1 += weight(r);
                entry.2 |= right(r);
            }
            None => repairs.push(((named, remedy), weight(r), right(r))),
        }
    }
    repairs.sort_by(|a, b| b.1.total_cmp(&a.1));
    repairs.iter().position(|entry| entry.2).map_or(999, |k| k + 1)
}

fn likeliest_circuit(answer: &Answer, weight: impl Fn(&diagnosis::explain::Ranked) -> f64) -> Option<String> {
    let sum = |circuit: Circuit| answer.ranked.iter().filter(|r| r.circuit == Some(circuit)).map(&weight).sum::<f64>();
    Circuit::ALL.into_iter().max_by(|a, b| sum(*a).total_cmp(&sum(*b))).map(|c| c.name().to_owned())
}

fn write(outcomes: &[Outcome]) -> String {
    let mut text = String::new();
    for (moment, _) in MOMENTS {
        let mine: Vec<&Outcome> = outcomes.iter().filter(|o| o.moment == moment).collect();
        let _ = writeln!(text, "\n### {}\n", if moment == "told" { "As told" } else { "Before the finding" });
        text.push_str("| case | true cause | place | odds | first named | its odds | right circuit | place by rates only | place with all rates alike |\n|---|---|---|---|---|---|---|---|---|\n");
        for o in mine.iter().filter(|o| o.set != KEPT) {
            let _ = writeln!(
                text,
                "| {} | {} | {} | {:.0} % | {} | {:.0} % | {} | {} | {} |",
                o.id,
                o.accepted,
                o.rank,
                100.0 * o.probability,
                o.first,
                100.0 * o.first_probability,
                if o.right_circuit { "yes" } else { "no" },
                o.rate_rank,
                o.flat_rank,
            );
        }
        for (set, title) in SETS {
            let mine: Vec<&Outcome> = mine.iter().copied().filter(|o| o.set == set).collect();
            if !mine.is_empty() {
                let _ = write!(text, "\n{title}:\n{}", summary(&mine));
            }
        }
        let _ = write!(text, "\nAll:\n{}", summary(&mine));
    }
    text
}

/// Shares of these cases, with their intervals.
fn summary(mine: &[&Outcome]) -> String {
    let mut text = String::new();
    let share = |name: &str,
                 test: &dyn Fn(&Outcome) -> bool,
                 rates: &dyn Fn(&Outcome) -> bool,
                 flat: Option<&dyn Fn(&Outcome) -> bool>| {
        let (k, r, n) = (mine.iter().filter(|o| test(o)).count(), mine.iter().filter(|o| rates(o)).count(), mine.len());
        let f = flat.map_or("–".to_owned(), |flat| format!("{} of {n}", mine.iter().filter(|o| flat(o)).count()));
        let (low, high) = wilson(k, n);
        format!(
            "| {name} | {k} of {n} | {:.0} % | {:.0} to {:.0} % | {r} of {n} | {f} |\n",
            100.0 * k as f64 / n as f64,
            100.0 * low,
            100.0 * high
        )
    };
    text.push_str(
        "\n| | cases | share | 95 % interval | by rates only | all rates alike |\n|---|---|---|---|---|---|\n",
    );
    text.push_str(&share("first", &|o| o.rank == 1, &|o| o.rate_rank == 1, Some(&|o| o.flat_rank == 1)));
    text.push_str(&share("in first three", &|o| o.rank <= 3, &|o| o.rate_rank <= 3, Some(&|o| o.flat_rank <= 3)));
    text.push_str(&share("right circuit first", &|o| o.right_circuit, &|o| o.rate_circuit, None));
    let log: f64 = mine.iter().map(|o| -o.probability.max(1e-6).ln()).sum::<f64>() / mine.len() as f64;
    let brier: f64 = mine.iter().map(|o| (1.0 - o.probability).powi(2)).sum::<f64>() / mine.len() as f64;
    let _ = writeln!(text, "\nMean of −ln(odds of the true cause): {log:.2}; mean of (1 − odds)²: {brier:.2}.");
    text
}

/// Wilson's 95 % interval of k in n.
pub fn wilson(k: usize, n: usize) -> (f64, f64) {
    let (n, z) = (n as f64, 1.959_964);
    let p = k as f64 / n;
    let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    ((middle - half).max(0.0), (middle + half).min(1.0))
}

/// Prints the first causes of one case at one moment, for reading by eye.
pub fn show(path: &Path, file: &str) -> Result<(), String> {
    let read = |name: &str| std::fs::read_to_string(path.join(name)).map_err(|e| e.to_string());
    let (plant, _) = plant::reader::read(&read("vessel.toml")?);
    let plant = plant.ok_or("no plant")?;
    let (evidence, _) = plant::evidence_reader::read(&read(file)?, &plant);
    let start = std::time::Instant::now();
    let answer = explain(&plant, &evidence).map_err(|e| format!("{e:?}"))?;
    println!("{:?}, {} hypotheses, {} unweighed", start.elapsed(), answer.ranked.len(), answer.unweighed);
    for act in &answer.act {
        println!("!! {} ({})", act.line, act.because);
    }
    for r in answer.ranked.iter().take(14) {
        println!(
            "{:6.2} %  {:40} weight {:6.2} rate {:6.3} % severity {:.2} {:.2}..{:.2}",
            100.0 * r.probability,
            label(&plant, r.what),
            r.weight,
            100.0 * r.by_rate,
            r.severity,
            r.severity_range.0,
            r.severity_range.1
        );
    }
    if let Ok(expected) = read("expected.toml") {
        for (k, r) in answer
            .ranked
            .iter()
            .enumerate()
            .filter(|(_, r)| expected.contains(&format!("\"{}\"", label(&plant, r.what))))
        {
            println!(
                "TRUE {k} {:.3} % {} weight {:.2} severity {:.2} {:.2}..{:.2}",
                100.0 * r.probability,
                label(&plant, r.what),
                r.weight,
                r.severity,
                r.severity_range.0,
                r.severity_range.1
            );
        }
    }
    for c in answer.checks.iter().take(4) {
        println!("-> {} {} ({} min, {:.2} bits)", name_of(&plant, c.of), c.check.title, c.minutes, c.bits);
    }
    Ok(())
}
