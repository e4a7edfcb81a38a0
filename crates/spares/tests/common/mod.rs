//! A small vessel and her stores.
#![allow(dead_code)] // Each test file uses some of it.

use diary::{Diary, Line, read};
use plant::finding::{Finding, Problem};
use plant::plant::Plant;
use spares::{Movement, Stock, Stores, stock};

pub const VESSEL: &str = "[vessel]\nname = \"x\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
    [part.belt-raw]\nkind = \"belt\"\n[part.raw-pump]\nkind = \"raw-pump\"\ndriven-by = \"belt-raw\"\n[part.lift-pump]\nkind = \"lift-pump\"\n\
    [circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n";

/// 2026-11-26.
pub const TODAY: i64 = 20_783;
pub const DAY: i64 = 86_400_000;

pub fn plant(more: &str) -> Plant {
    let (plant, findings) = plant::reader::read(&format!("{VESSEL}{more}"));
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

pub fn stores(text: &str) -> Stores {
    let (stores, findings) = spares::read(text, &plant(""));
    assert!(findings.is_empty(), "{findings:?}");
    stores
}

pub fn faults(text: &str) -> Vec<Problem> {
    let (_, findings): (_, Vec<Finding>) = spares::read(text, &plant(""));
    for finding in &findings {
        let (place, _) = finding.places.first().expect("a place");
        assert!(place.end <= text.len() && !place.is_empty(), "{finding:?}");
    }
    findings.into_iter().map(|finding| finding.problem).collect()
}

pub fn aboard(stores: &Stores) -> Stock {
    stock(&plant(""), stores, &Diary::default(), &[])
}

pub fn moved(stores: &Stores, movements: &[(i64, Movement)]) -> Stock {
    let lines: Vec<Line> = movements.iter().map(|(time, what)| Line::of(*time, None, None, what)).collect();
    stock(&plant(""), stores, &read::<Movement>(&lines), &[])
}
