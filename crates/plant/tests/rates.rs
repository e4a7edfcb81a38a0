//! How often things fail on a vessel: the owner's own figures and every mistake in them.

use parts::rates::{Basis, HOURS_A_YEAR};
use plant::evidence::Named;
use plant::finding::Problem;
use plant::plant::Plant;

const VESSEL: &str = "[vessel]\nname = \"x\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
    [circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n";

fn read(rates: &str) -> (Option<Plant>, Vec<Problem>) {
    let (plant, findings) = plant::reader::read(&format!("{VESSEL}[rates]\n{rates}"));
    (plant, findings.into_iter().filter(plant::finding::Finding::is_fatal).map(|finding| finding.problem).collect())
}

fn rate(plant: &Plant, part: &str, cause: &str) -> parts::rates::Rate {
    let of = Named::Part(plant.part(part).expect("a part"));
    let cause = plant.own_causes(of).find(|row| row.name == cause).expect("a way to fail");
    plant.rate(of, cause).expect("every way to fail has a rate")
}

#[test]
fn an_owners_rate_counts_instead_of_the_tables_and_keeps_its_width() {
    let table = rate(&read("").0.expect("a plant"), "raw-pump", "worn");
    for written in ["\"raw-pump.worn\" = \"0.8 per 1000 h\"", "raw_pump.worn = \"0.8 per 1000 hours\""] {
        let (plant, faults) = read(written);
        let own = rate(&plant.unwrap_or_else(|| panic!("{faults:?}")), "raw-pump", "worn");
        assert_eq!((own.basis, own.use_factor, own.comes), (Basis::RunningHour, 1.0, table.comes));
        assert!((own.per_1000_h[1] - 0.8).abs() < 1e-12);
        let width = |rate: parts::rates::Rate| rate.per_1000_h[2] / rate.per_1000_h[0];
        assert!((width(own) / width(table) - 1.0).abs() < 1e-9, "{own:?} of {table:?}");
    }
}

#[test]
fn a_rate_by_the_year_is_turned_into_hours_as_the_table_does() {
    let (plant, faults) = read("\"raw-pump.worn\" = \"0.6 per year\"");
    let own = rate(&plant.unwrap_or_else(|| panic!("{faults:?}")), "raw-pump", "worn");
    assert_eq!((own.basis, own.native_unit, own.native[1]), (Basis::Calendar, "per year", 0.6));
    assert!((own.per_1000_h[1] - 0.6 * 1000.0 / HOURS_A_YEAR).abs() < 1e-12);
}

#[test]
fn what_comes_with_a_departure_or_was_there_from_the_start_may_be_told_as_such() {
    let (plant, faults) =
        read("\"seacock.left_shut\" = \"2 % per departure\"\n\"propeller.over_pitched\" = \"5 % of plants\"");
    let plant = plant.unwrap_or_else(|| panic!("{faults:?}"));
    let shut = rate(&plant, "seacock", "left_shut");
    assert_eq!((shut.basis, shut.native[1]), (Basis::Event, 0.02));
    let pitched = rate(&plant, "propeller", "over_pitched");
    assert_eq!((pitched.basis, pitched.native[1]), (Basis::Prevalence, 0.05));
}

#[test]
fn every_mistake_is_found_at_once() {
    let (plant, faults) = read(
        "\"raw-pmp.worn\" = \"0.8 per 1000 h\"\n\"raw-pump.wron\" = \"0.8 per 1000 h\"\n\
         \"strainer.blocked\" = \"now and then\"\n\"exchanger.tube_leaks\" = 3\n\
         \"raw-pump.worn\" = \"5000 per 1000 h\"\n\"raw-pump.vanes_lost\" = \"-1 per year\"\n",
    );
    assert!(plant.is_none());
    assert!(matches!(&faults[0], Problem::UnknownName { nearest: Some(near), .. } if near == "raw-pump"), "{faults:?}");
    assert!(matches!(&faults[1], Problem::UnknownCause { nearest: Some(near), .. } if near == "worn"));
    assert!(matches!(&faults[2], Problem::Unfit { .. }));
    assert!(matches!(&faults[4], Problem::Unreasonable { high, .. } if high == "100 per 1000 h"), "{faults:?}");
    assert_eq!(faults.len(), 6, "{faults:?}");
    let (_, faults) = read("\"raw-pump.worn\" = \"1 per year\"\nraw-pump.worn = \"2 per year\"\n");
    assert!(matches!(&faults[..], [Problem::Duplicate { .. }]), "{faults:?}");
}

#[test]
fn without_the_section_every_rate_is_the_tables() {
    let plant = read("").0.expect("a plant");
    let mut seen = 0;
    for of in Named::all(&plant) {
        for cause in plant.own_causes(of) {
            let (ours, table) = (plant.rate(of, cause), parts::rates::rate(cause.rate));
            assert_eq!(ours.map(|rate| (rate.key, rate.per_1000_h)), table.map(|rate| (rate.key, rate.per_1000_h)));
            seen += 1;
        }
    }
    assert!(seen > 50, "{seen}");
}
