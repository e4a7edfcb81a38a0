//! The answer in words, by injector, and drawn.

use super::BAR;
use super::injectors::{Injectors, One, Spray, Verdict};
use crate::jobs::by_cylinder::{Bar, bars, named};
use crate::sketch::{Look, Sketch};
use crate::worked::{Table, Worked};

fn bar(pressure: f64) -> String {
    format!("{:.0} bar", pressure / BAR)
}

fn mm(length: f64) -> String {
    format!("{:.2} mm", length * 1e3)
}

impl One {
    fn does(&self) -> String {
        match (self.verdict, self.spray) {
            (Verdict::Leave, _) => "leave it".into(),
            (Verdict::Shim, _) if self.by_steps < 0.0 => format!("take {} out", mm(-self.by_steps)),
            (Verdict::Shim, _) => format!("add {}", mm(self.by_steps)),
            (Verdict::Nozzle, Spray::Drips) => "drips: its seat or nozzle first".into(),
            (Verdict::Nozzle, Spray::Streams) => "streams: its nozzle first".into(),
            (Verdict::Nozzle, _) => "sprays weakly: its nozzle first".into(),
            (Verdict::Broken, _) => "broken spring or stuck needle".into(),
        }
    }

    fn spray_says(&self) -> &'static str {
        match self.spray {
            Spray::NotTold => "–",
            Spray::Good => "good",
            Spray::Drips => "drips",
            Spray::Streams => "streams",
            Spray::Weak => "weak",
            Spray::Stuck => "stuck",
        }
    }
}

pub fn says(all: &Injectors) -> String {
    let wants: Vec<String> = all
        .each
        .iter()
        .filter(|one| one.verdict == Verdict::Shim)
        .map(|one| format!("injector {}: {}", one.number, one.does()))
        .collect();
    let mut text = if wants.is_empty() {
        format!("No injector wants a shim for {}.", bar(all.target))
    } else {
        format!("For {}: {}.", bar(all.target), wants.join("; "))
    };
    let nozzle = all.with(Verdict::Nozzle);
    if !nozzle.is_empty() {
        text = format!("{text} {} to be cleaned or given a new nozzle before any shim.", named("injector", &nozzle));
    }
    let broken = all.with(Verdict::Broken);
    if !broken.is_empty() {
        text = format!(
            "{text} {} to be taken apart: no shim mends a broken spring or a stuck needle.",
            named("injector", &broken)
        );
    }
    text
}

pub fn tell(worked: &mut Worked, all: &Injectors) {
    flags(worked, all);
    let row = |one: &One| {
        let shims = one.shims_now.map_or_else(
            || "–".into(),
            |now| match one.verdict {
                Verdict::Shim => format!("{} → {}", mm(now), mm(now + one.by_steps)),
                _ => mm(now),
            },
        );
        let then = if matches!(one.verdict, Verdict::Leave | Verdict::Shim) { bar(one.then) } else { "–".into() };
        vec![one.number.to_string(), bar(one.found), one.spray_says().into(), one.does(), then, shims]
    };
    worked.tables.push(Table {
        title: "By injector".into(),
        heads: ["injector", "found", "spray", "do", "then", "shims"].map(Into::into).into(),
        rows: all.each.iter().map(row).collect(),
    });
    worked.step_with_care(
        "Clamp the injector in the tester with its nozzle into a clear chamber; pump slowly, and read where it opens, three times.",
        "The spray goes through gloves and skin and poisons the blood: hospital at once, even for a prick that hardly hurts. Never a hand before it; the mist burns and harms the lungs.",
    );
    worked.step("Hold it 20 bar under that for ten seconds: a drop at the nozzle is a seat that leaks. Look at the spray: fine, even, ending sharply.");
    for one in all.each.iter().filter(|one| one.verdict == Verdict::Shim) {
        worked.step(format!(
            "Injector {}: {}, clean, and test again: about {}.",
            one.number,
            one.does(),
            bar(one.then)
        ));
    }
    worked.step("Put them back with new washers, each in its own cylinder, to the torque the manual tells; bleed, and look for leaks with a card, never a finger.");
    worked.working(
        "x = (wanted + settling − found) / (dp/dx)",
        format!(
            "({} + {} − found) / {:.1} bar a 0.1 mm, then to whole steps of {}",
            bar(all.wanted),
            bar(all.settles),
            all.slope * 0.1e-3 / BAR,
            mm(all.step)
        ),
        "balance of spring and fuel on the needle, [Esposito7] ex. 8.1",
    );
    worked.working("dp/dx", format!("{:.1} bar a 0.1 mm", all.slope * 0.1e-3 / BAR), all.slope_from);
}

fn flags(worked: &mut Worked, all: &Injectors) {
    let flags = &mut worked.flags;
    if all.settles > 0.0 {
        flags.push(format!(
            "New springs settle: set {} high, they come down to {} in the first hours. Test again after some 50 hours (common practice, no source).",
            bar(all.settles),
            bar(all.wanted)
        ));
    }
    if all.slope_doubt.is_some() {
        flags.push("What 0.1 mm does was not told, and 10 bar is taken: change one injector, test it, and tell what it did before the others.".into());
    }
    if all.coarse() {
        flags.push(format!(
            "One step of {} is {}: more than the band of {}. Finer shims, or swap them between injectors.",
            mm(all.step),
            bar(all.step * all.slope),
            bar(all.band)
        ));
    }
    let far = all.far();
    if !far.is_empty() {
        flags.push(format!(
            "{} far off: more shim than springs lose by wear. Look at the spring and its seat before it is shimmed.",
            named("injector", &far)
        ));
    }
    let least = all.each.iter().map(|one| one.found).fold(f64::MAX, f64::min);
    let most = all.each.iter().map(|one| one.found).fold(f64::MIN, f64::max);
    if most - least > 0.15 * all.wanted {
        flags.push(format!("They were {} apart: she will have run unevenly.", bar(most - least)));
    }
    if all.each.iter().all(|one| one.spray == Spray::NotTold) {
        flags.push(
            "How they spray was not told: a nozzle that drips or streams is no better for the right pressure.".into(),
        );
    }
    for (one, left) in all.each.iter().zip(&all.left) {
        if *left < all.target - 1.0 || *left > all.target + all.band + 1.0 {
            flags.push(format!(
                "Injector {} was left at {}, outside {} to {}.",
                one.number,
                bar(*left),
                bar(all.target),
                bar(all.target + all.band)
            ));
        }
    }
}

pub fn sketch(all: &Injectors) -> Sketch {
    let each: Vec<Bar> = all
        .each
        .iter()
        .map(|one| Bar {
            height: one.found / BAR,
            marked: one.verdict != Verdict::Leave,
            beside: matches!(one.verdict, Verdict::Leave | Verdict::Shim).then_some(one.then / BAR),
        })
        .collect();
    let limits = [(all.target / BAR, Look::Firm, "set to"), ((all.target + all.band) / BAR, Look::Dashed, "at most")];
    bars(
        "Opening pressure of each injector as found, and beside it as it will be, with the band.",
        "bar",
        &each,
        &limits,
    )
}
