//! What can be done on a vessel follows from what she is and what is fitted.

use plant::evidence::Named;
use plant::plant::Plant;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");
const ORACHE: &str = include_str!("../../../vessels/orache/vessel.toml");

fn loaded(text: &str) -> Plant {
    let (plant, findings) = plant::reader::read(text);
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

#[test]
fn checks_and_orders_follow_the_plant() {
    let all = |plant: &Plant| {
        let each = Named::all(plant).flat_map(|of| {
            let kind = match of {
                Named::Part(part) => plant[part].kind,
                Named::Gauge(gauge) => plant[gauge].kind,
            };
            kind.checks.iter().filter(move |check| plant.can_be_made(of, check)).map(|check| check.title)
        });
        each.collect::<Vec<_>>()
    };
    let (wet, dry) = (loaded(MARRAM), loaded(ORACHE));
    let water = |title: &&str| title.contains("comes out with the exhaust") || title.contains("outlet water");
    assert_eq!(all(&wet).iter().filter(|title| water(title)).count(), 2);
    assert_eq!(all(&dry).iter().filter(|title| water(title)).count(), 0, "no water comes out of a dry stack");
    let hot = |plant: &Plant| {
        let engine = plant.parts.iter().find(|part| part.kind.name == "diesel").expect("an engine");
        plant.worded(engine.kind.limits[0].act).into_owned()
    };
    assert!(hot(&wet).contains("look at the overboard water"), "{}", hot(&wet));
    assert!(!hot(&dry).contains("overboard") && hot(&dry).contains("let it circulate. Still rising"), "{}", hot(&dry));
}

#[test]
fn a_gauge_that_is_fitted_is_as_good_as_one_screwed_in() {
    let missing = |gauges: &str| {
        let plant = loaded(&format!(
            "[engine.main]\n[circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
             [aboard]\ntools = []\n{gauges}"
        ));
        let pump = plant.part("raw-pump").expect("a pump");
        let check = plant[pump].kind.checks.iter().find(|check| check.name == "suction_and_delivery").expect("a check");
        plant.missing(Named::Part(pump), check)
    };
    assert_eq!(missing(""), ["vacuum gauge"]);
    assert!(missing("[gauge.suction]\nat = \"raw-pump.in\"\nreads = \"vacuum\"\n").is_empty());
    let elsewhere = "[gauge.suction]\nat = \"exchanger.raw-out\"\nreads = \"temperature\"\n";
    assert_eq!(missing(elsewhere), ["vacuum gauge"]);
}
