//! The laboratory: sweeps, calibration, cases. For developers; owners need `bedplate`.

mod alerts;
mod bands;
mod calibrate;
mod cases;
mod chance;
mod chart;
mod check;
mod endure;
mod exact;
mod faults;
mod left_out;
mod live;
mod look;
mod memory;
mod network;
mod plots;
mod settings;
mod sisters;
mod speaker;
mod steps;
mod struck;
mod sweep;
mod trains;
mod trial;
mod vigil;
mod with_fault;
mod without;
mod world;

use plant::evidence::Situation;
use std::path::Path;

fn main() -> std::process::ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    let outcome = match words.as_slice() {
        ["look", rest @ ..] => {
            look::look(&rest.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>());
            Ok(())
        }
        ["sweep", vessel, cases, seed] => run_sweep(vessel, cases, seed),
        ["alerts", vessel, faults, seed, rest @ ..] => run_alerts(vessel, faults, seed, rest.first().copied()),
        ["check"] => check::check(),
        ["plots"] => plots::draw(),
        ["accuracy"] => check::write_accuracy(),
        ["bands", vessel, plants, seed] => run_bands(vessel, plants, seed),
        ["calibrate", vessel, plants, seed, rest @ ..] => run_calibrate(vessel, plants, seed, rest),
        ["settings", which, plants, seed, rest @ ..] => run_settings(which, plants, seed, !rest.is_empty()),
        ["exact", cases, draws, seed] => run_exact(cases, draws, seed),
        ["left-out", vessel, faults, seed] => run_left_out(vessel, faults, seed),
        ["vigil", vessel, vessels, hours, seed] => run_vigil(vessel, vessels, hours, seed, false),
        ["vigil", vessel, vessels, hours, seed, "departures"] => run_vigil(vessel, vessels, hours, seed, true),
        ["live", vessel, seed, fault] if fault.contains('@') => run_one(vessel, seed, fault),
        ["live", vessel, seed, rest @ ..] => run_live(vessel, seed, rest.first().copied().unwrap_or("40")),
        ["endure"] => run_endure(1_000_000, 24.0),
        ["endure", frames, hours] => match (frames.parse(), hours.parse()) {
            (Ok(frames), Ok(hours)) => run_endure(frames, hours),
            _ => Err("how many frames, and how many hours?".into()),
        },
        ["sisters", vessel, faults, seed] => run_sisters(vessel, faults, seed),
        ["network", vessel, share] => run_network(vessel, share),
        ["trains", vessel, share, sea] => run_trains(vessel, share, sea),
        ["steps", "cases"] => steps::cases(Path::new("cases")).map(|table| println!("{table}")),
        ["steps", vessel, faults, seed, rest @ ..] => run_steps(vessel, faults, seed, rest.first().copied()),
        ["cases"] => cases::table(Path::new("cases"), true).map(|table| println!("{table}")),
        ["cases", "--shown"] => cases::table(Path::new("cases"), false).map(|table| println!("{table}")),
        ["case", folder, file] => cases::show(Path::new(folder), file),
        ["with-fault", vessel, fault, speed, minutes] => {
            load(vessel).and_then(|plant| with_fault::show(&plant, fault, speed, minutes))
        }
        ["case", folder, file, "--why"] => without::each(Path::new(folder), file),
        _ => Err("usage: bedplate-lab check | alerts VESSEL.toml FAULTS SEED [SOUND-HOURS] | accuracy | sweep VESSEL.toml CASES SEED | bands VESSEL.toml PLANTS SEED | endure [FRAMES HOURS] | live VESSEL.toml SEED [HOURS | PART.CAUSE@PERCENT] | network VESSEL.toml SHARE | sisters VESSEL.toml FAULTS SEED | trains VESSEL.toml SHARE SEA | steps cases | steps VESSEL.toml FAULTS SEED [HOURS-TO-HAVEN] | cases [--shown] | case FOLDER EVIDENCE.toml [--why] | look VESSEL.toml [SHARE [LOAD]] | with-fault VESSEL.toml PART.CAUSE@PERCENT RPM MINUTES".into()),
    };
    match outcome {
        Ok(()) => std::process::ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            std::process::ExitCode::FAILURE
        }
    }
}

fn run_sweep(vessel: &str, cases: &str, seed: &str) -> Result<(), String> {
    let plant = load(vessel)?;
    let (cases, seed) = (cases.parse().map_err(|_| "how many?")?, seed.parse().map_err(|_| "which seed?")?);
    println!("{vessel}, seed {seed}");
    print!("{}", sweep::report(&sweep::sweep(&plant, cases, seed, true)));
    Ok(())
}

fn run_alerts(vessel: &str, faults: &str, seed: &str, sound: Option<&str>) -> Result<(), String> {
    let plant = load(vessel)?;
    let (faults, seed) = (faults.parse().map_err(|_| "how many?")?, seed.parse().map_err(|_| "which seed?")?);
    let sound: f64 = sound.map_or(Ok(0.0), str::parse).map_err(|_| "how many hours?")?;
    print!("{vessel}, seed {seed}\n{}", alerts::alerts(plant, faults, seed, sound));
    Ok(())
}

fn run_calibrate(vessel: &str, plants: &str, seed: &str, rest: &[&str]) -> Result<(), String> {
    let plant = load(vessel)?;
    let (plants, seed) = (trial::numbers(plants)?, seed.parse().map_err(|_| "which seed?")?);
    let word = rest.first().copied().unwrap_or("as-believed");
    let (_, nature) =
        world::NATURES.iter().find(|(name, _)| *name == word).ok_or("as-believed, spreads, rates or model?")?;
    println!("{vessel}, seed {seed}, {word}");
    let came = calibrate::calibrate(&plant, plants, seed, *nature, &trial::Rounds::once(&plant))?;
    print!("{}", came.report());
    Ok(())
}

fn run_settings(which: &str, plants: &str, seed: &str, tell: bool) -> Result<(), String> {
    let which: usize = which.parse().map_err(|_| "which setting, 1 to 8?")?;
    let setting = settings::SETTINGS.get(which.wrapping_sub(1)).ok_or("which setting, 1 to 8?")?;
    let (plants, seed) = (trial::numbers(plants)?, seed.parse().map_err(|_| "which seed?")?);
    let reached = settings::reach(setting, plants, seed)?;
    print!("seed {seed}: {}", reached.report(setting));
    for line in reached.missed.iter().filter(|_| tell) {
        println!("    {line}");
    }
    Ok(())
}

fn run_exact(cases: &str, draws: &str, seed: &str) -> Result<(), String> {
    let (cases, draws) = (cases.parse().map_err(|_| "how many?")?, draws.parse().map_err(|_| "how many draws?")?);
    let plant = exact::small()?;
    let compared = exact::compare(&plant, cases, draws, seed.parse().map_err(|_| "which seed?")?)?;
    print!("seed {seed}\n{}", exact::report(&plant, &compared));
    Ok(())
}

fn run_left_out(vessel: &str, faults: &str, seed: &str) -> Result<(), String> {
    let plant = load(vessel)?;
    let (numbers, seed) = (trial::numbers(faults)?, seed.parse().map_err(|_| "which seed?")?);
    let came = left_out::left_out(&plant, numbers, seed, &trial::Rounds::once(&plant))?;
    print!("{vessel}, seed {seed}, the true kind struck off\n{came}");
    Ok(())
}

fn run_vigil(vessel: &str, vessels: &str, hours: &str, seed: &str, departures_only: bool) -> Result<(), String> {
    let plant = load(vessel)?;
    let (vessels, seed) = (trial::numbers(vessels)?, seed.parse().map_err(|_| "which seed?")?);
    let hours: f64 = hours.parse().map_err(|_| "how many hours each?")?;
    let mut model = model::steady::Model::new(&plant).map_err(|e| format!("{e:?}"))?;
    let faults = faults::Faults::of(&mut model, world::AS_BELIEVED, &mut chance::Chance::new(seed));
    let list = trial::many(&plant, vessels, seed, |model, chance| {
        vigil::watch(model, &faults, hours, departures_only, chance)
    })?;
    print!("{vessel}, seed {seed}: {}", vigil::report(&plant, &list, departures_only));
    Ok(())
}

fn run_live(vessel: &str, seed: &str, hours: &str) -> Result<(), String> {
    let (seed, hours) = (seed.parse().map_err(|_| "which seed?")?, hours.parse().map_err(|_| "how many hours?")?);
    println!("{vessel}, seed {seed}");
    live::run(load(vessel)?, seed, hours)
}

fn run_one(vessel: &str, seed: &str, fault: &str) -> Result<(), String> {
    live::one(load(vessel)?, seed.parse().map_err(|_| "which seed?")?, fault)
}

fn run_sisters(vessel: &str, faults: &str, seed: &str) -> Result<(), String> {
    let plant = load(vessel)?;
    let (faults, seed) = (faults.parse().map_err(|_| "how many?")?, seed.parse().map_err(|_| "which seed?")?);
    println!("{vessel}, seed {seed}\n{}", sisters::bands(&plant, faults, seed)?);
    println!("faults in a world of sisters\n{}", sisters::faults(&plant, faults, seed, true)?);
    println!("in a world of strangers\n{}", sisters::faults(&plant, faults / 2, seed, false)?);
    Ok(())
}

fn run_steps(vessel: &str, faults: &str, seed: &str, haven: Option<&str>) -> Result<(), String> {
    let plant = load(vessel)?;
    let (faults, seed) = (faults.parse().map_err(|_| "how many?")?, seed.parse().map_err(|_| "which seed?")?);
    let hours = haven.map(|hours| hours.parse::<f64>().map_err(|_| "how many hours to a haven?")).transpose()?;
    let situation = Situation { at_sea: hours.is_some(), haven_hours: hours, ..Situation::default() };
    println!("{vessel}, seed {seed}{}", steps::simulated(&plant, faults, seed, situation)?);
    Ok(())
}

/// Frames at fifty times the pace of a common bus, then hours at its own.
fn run_endure(frames: u64, hours: f64) -> Result<(), String> {
    let mut wrong = Vec::new();
    let a_second = 39.5;
    for (what, frames, crowded) in [("a flood", frames, 50.0), ("hours", (hours * 3600.0 * a_second) as u64, 1.0)] {
        let folder = std::env::temp_dir().join(format!("bedplate-endure-{}-{crowded}", std::process::id()));
        std::fs::create_dir_all(&folder).map_err(|why| format!("{}: {why}", folder.display()))?;
        let run = endure::run(frames, crowded, &folder);
        // What is left of it is of no use to anybody.
        let _ = std::fs::remove_dir_all(&folder);
        let run = run?;
        print!("{what}: {}", run.report());
        wrong.extend(run.faults().into_iter().map(|fault| format!("{what}: {fault}")));
    }
    if wrong.is_empty() { Ok(()) } else { Err(wrong.join("\n")) }
}

fn run_network(vessel: &str, share: &str) -> Result<(), String> {
    let share = share.parse().map_err(|_| "at what share of rated speed?")?;
    println!("{}", network::network(&load(vessel)?, share)?);
    Ok(())
}

fn run_trains(vessel: &str, share: &str, sea: &str) -> Result<(), String> {
    let share = share.parse().map_err(|_| "at what share of rated speed?")?;
    let sea: f64 = sea.parse().map_err(|_| "in a sea of how many degrees Celsius?")?;
    println!("{}", trains::trains(&load(vessel)?, share, sea + 273.15)?);
    Ok(())
}

/// A vessel file, or "ten-lines" for the laboratory's own of ten lines and eighteen gauges.
fn load(vessel: &str) -> Result<plant::plant::Plant, String> {
    if vessel == "ten-lines" {
        return settings::ten_lines();
    }
    let text = std::fs::read_to_string(vessel).map_err(|e| format!("{vessel}: {e}"))?;
    plant::reader::read(&text).0.ok_or_else(|| format!("{vessel} does not load"))
}

fn run_bands(vessel: &str, plants: &str, seed: &str) -> Result<(), String> {
    let plant = load(vessel)?;
    let (plants, seed) = (plants.parse().map_err(|_| "how many?")?, seed.parse().map_err(|_| "which seed?")?);
    let (share, drawn, each) = bands::coverage(&plant, plants, seed);
    println!("{vessel}, seed {seed}: {:.2} % of readings of {drawn} plants inside", 100.0 * share);
    for (gauge, share) in each {
        println!("  {gauge}: {:.1} %", 100.0 * share);
    }
    let (accused, tried) = bands::accused(&plant, plants.min(200), seed);
    println!("{accused} of {tried} sound plants accused");
    Ok(())
}
