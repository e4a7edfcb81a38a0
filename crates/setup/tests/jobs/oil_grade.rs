//! Grade of the engine oil.

use crate::check::Check;
use crate::{near, refuses, value, work};

#[test]
fn viscosity_and_cranking_of_the_check_values() {
    for id in ["oil.nu.sae40.90", "oil.nu.sae40.110", "oil.nu.15w40.62"] {
        let check = Check::of(id);
        let told = [
            ("coldest-start", "5 °C".to_string()),
            ("warm-oil", format!("{} °C", check.get("T_degC"))),
            ("viscosity-40", format!("{} cSt", check.get("nu40_mm2_per_s"))),
            ("viscosity-100", format!("{} cSt", check.get("nu100_mm2_per_s"))),
        ];
        let told: Vec<(&str, &str)> = told.iter().map(|(key, value)| (*key, value.as_str())).collect();
        check.holds(value(&work("oil-grade", &told), "warm-viscosity") * 1e6);
    }
    // 15W: its cranking is tested at −20 °C (the row names it), pumping 5 K below.
    let check = Check::of("oil.j300.15w");
    assert_eq!(check.word("grade"), "15W");
    let worked = work("oil-grade", &[("coldest-start", "-20 °C"), ("oil-grade", "SAE 15w40")]);
    near(value(&worked, "cranks-to"), 253.15, 1e-9);
    near(value(&worked, "pumped-to"), 248.15, 1e-9);
    let limit = format!("15W {:.1} Pa s at -20 °C", check.numbers()[0] / 1e3);
    assert!(worked.working.iter().any(|one| one.with.contains(&limit)), "{:?}", worked.working);
}

#[test]
fn the_climate_chooses_the_winter_number_and_the_window_the_other() {
    let worked = work("oil-grade", &[("coldest-start", "-18 °C")]);
    assert!(worked.says.contains("a 15W or a smaller number"), "{}", worked.says);
    let colder = work("oil-grade", &[("coldest-start", "-21 °C")]);
    assert!(colder.says.contains("a 10W or a smaller number"), "{}", colder.says);
    assert!(work("oil-grade", &[("coldest-start", "-40 °C")]).says.contains("heat engine and oil"));
    // Warm at 95 °C, 10 to 25 cSt: a 20 with 7.8 cSt at 100 °C is too thin, 15W-40 and 50 fit.
    let row = |grade: &str| worked.tables[0].rows.iter().find(|row| row[0] == grade).expect("it is typical").clone();
    assert_eq!((row("20")[4].as_str(), row("15W-40")[4].as_str()), ("too thin", "yes"));
    assert_eq!(row("30")[1], "no", "an SAE 30 does not crank at -18 °C");
}

#[test]
fn what_does_not_fit_is_told() {
    let worked = work("oil-grade", &[("coldest-start", "-10 °C"), ("oil-grade", "40")]);
    assert!(worked.flags.iter().any(|flag| flag.contains("heat it first")), "{:?}", worked.flags);
    refuses("oil-grade", &[("coldest-start", "0 °C"), ("oil-grade", "17W-45")], "viscosity-40");
    refuses(
        "oil-grade",
        &[("coldest-start", "0 °C"), ("viscosity-40", "14 cSt"), ("viscosity-100", "90 cSt")],
        "exchanged",
    );
    refuses("oil-grade", &[("coldest-start", "0 °C"), ("thinnest", "30 cSt")], "exchanged");
}
