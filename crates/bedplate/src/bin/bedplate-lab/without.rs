//! What each thing told does for the true cause of a case, and for the one named first instead: the case weighed again
//! with that thing left out.

use crate::cases::label;
use diagnosis::explain::{Answer, explain};
use plant::evidence::{Evidence, Named};
use plant::plant::Plant;
use std::path::Path;

/// Prints, for each thing told, how far it moved the logarithm of the odds of the true cause and of its rival.
pub fn each(path: &Path, file: &str) -> Result<(), String> {
    let read = |name: &str| std::fs::read_to_string(path.join(name)).map_err(|e| format!("{name}: {e}"));
    let plant = plant::reader::read(&read("vessel.toml")?).0.ok_or("no plant")?;
    let evidence = plant::evidence_reader::read(&read(file)?, &plant).0;
    let expected = read("expected.toml")?;
    let weigh = |evidence: &Evidence| explain(&plant, evidence).map_err(|e| format!("{e:?}"));
    let whole = weigh(&evidence)?;
    let names = |what| label(&plant, what);
    let truth = |name: &str| expected.contains(&format!("\"{name}\""));
    let first = |right: bool| whole.ranked.iter().map(|r| names(r.what)).find(|name| truth(name) == right);
    let (Some(truth), Some(rival)) = (first(true), first(false)) else { return Err("nothing ranked".into()) };
    let of = |answer: &Answer, name: &str| {
        let found = answer.ranked.iter().find(|r| names(r.what) == *name);
        found.map_or((0.0, 0.0), |r| (r.weight, r.by_rate.max(1e-9).ln()))
    };
    let ((t, t_rate), (r, r_rate)) = (of(&whole, &truth), of(&whole, &rival));
    println!("{:44} {truth:>30} {rival:>30}", "");
    println!("{:44} {t_rate:30.2} {r_rate:30.2}", "how often it happens");
    println!("{:44} {t:30.2} {r:30.2}", "all that was told, over all being well");
    for (what, rest) in left_out(&plant, &evidence) {
        let Ok(answer) = weigh(&rest) else { continue };
        println!("{what:44} {:30.2} {:30.2}", t - of(&answer, &truth).0, r - of(&answer, &rival).0);
    }
    Ok(())
}

/// The evidence without each of its things in turn.
fn left_out(plant: &Plant, all: &Evidence) -> Vec<(String, Evidence)> {
    let mut list = Vec::new();
    let name = |named: Named| diagnosis::hypothesis::name_of(plant, named).to_owned();
    let word = |said: plant::evidence::Said| {
        let word = diagnosis::hypothesis::kind_of(plant, said.of).words.get(said.word).map_or("", |word| word.name);
        format!("{}.{word}", name(said.of))
    };
    let without = |change: &dyn Fn(&mut Evidence)| {
        let mut rest = all.clone();
        change(&mut rest);
        rest
    };
    for (place, occasion) in all.occasions.iter().enumerate() {
        for (k, &said) in occasion.said.iter().enumerate() {
            list.push((
                format!("{place} {}", word(said)),
                without(&|e| {
                    let _ = e.occasions[place].said.remove(k);
                }),
            ));
        }
        for (k, &not) in occasion.not.iter().enumerate() {
            list.push((
                format!("{place} not {}", word(not)),
                without(&|e| {
                    let _ = e.occasions[place].not.remove(k);
                }),
            ));
        }
        for (k, (gauge, _)) in occasion.readings.iter().enumerate() {
            let rest = without(&|e| {
                let _ = e.occasions[place].readings.remove(k);
            });
            list.push((format!("{place} reads {}", plant[*gauge].name), rest));
        }
    }
    for (k, made) in all.checks.iter().enumerate() {
        list.push((
            format!("check of {} {:?}", name(made.of), made.found),
            without(&|e| {
                let _ = e.checks.remove(k);
            }),
        ));
    }
    for (k, renewal) in all.renewed.iter().enumerate() {
        list.push((
            format!("renewed {}.{}", name(renewal.of), renewal.what),
            without(&|e| {
                let _ = e.renewed.remove(k);
            }),
        ));
    }
    list
}
