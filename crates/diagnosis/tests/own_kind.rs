//! A kind that the owner describes with the law of one of the catalogue's answers as that one does.

use diagnosis::explain::{Answer, Ranked, explain};
use diagnosis::hypothesis::{What, cause_of, name_of};
use model::fit::Seen;
use model::steady::Model;
use plant::evidence::ToldPoint;
use plant::plant::Plant;

const ENGINE: &str = "[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
    [circuit]\nraw-water = [\"seacock\", \"screen\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
    [gauge.coolant]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n\
    [gauge.raw-out]\nat = \"exchanger.raw-out\"\nreads = \"temperature\"\n\
    [gauge.suction]\nat = \"screen.out\"\nreads = \"vacuum\"\n";
const CATALOGUE: &str = "[part.screen]\nkind = \"strainer\"\nrated = { flow = \"58 L/min\", drop = \"2.4 kPa\" }\n";
const OWN: &str = "[kind.sieve.passage.water]\ncarries = \"raw-water\"\nrated = { flow = \"58 L/min\", drop = \"2.4 kPa\" }\n\
    [kind.sieve.fails.blocked]\ntitle = \"strainer blocked\"\nmoves = { drop = \"blocked\" }\nseverity = \"mostly bad\"\n\
    says = { \"weed in the bowl\" = { chance = 0.85, otherwise = 0.25 }, \"raw-pump.hot to the touch\" = 0.15, \"diesel.smell of hot rubber\" = 0.12 }\n\
    rate = \"strainer-blocked\"\nremedy = \"clean the strainer\"\n\
    [kind.sieve.checks.open-and-look]\ntitle = \"Open and look\"\nstate = \"stopped and shut\"\ncaution = \"Seacock shut.\"\n\
    finds = [\"blocked\"]\npower = \"strainer-lid\"\n[part.screen]\nkind = \"sieve\"\n";

#[track_caller]
fn plant(kind: &str) -> Plant {
    let (plant, findings) = plant::reader::read(&format!("{kind}{ENGINE}"));
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

#[track_caller]
fn answer(plant: &Plant, rest: &str) -> Answer {
    let text = format!("[[occasion]]\nat = {{ speed = \"1500 rpm\", sea = \"15 C\" }}\n{rest}");
    let (evidence, findings) = plant::evidence_reader::read(&text, plant);
    assert!(findings.iter().all(|finding| !finding.is_fatal()), "{findings:?}");
    explain(plant, &evidence).expect("an answer")
}

#[track_caller]
fn blocked<'a>(plant: &Plant, answer: &'a Answer) -> &'a Ranked {
    let is = |what: What| match what {
        What::Cause(named, _) => {
            name_of(plant, named) == "screen" && cause_of(plant, what).is_some_and(|c| c.name == "blocked")
        }
        _ => false,
    };
    answer.ranked.iter().find(|ranked| is(ranked.what)).expect("the screen may be blocked")
}

#[test]
fn what_every_gauge_should_read_is_the_same() {
    let [catalogue, own] = [CATALOGUE, OWN].map(|kind| {
        let mut model = Model::new(&plant(kind)).expect("a sound structure");
        [0.4, 0.8, 1.0].map(|share| {
            let at = ToldPoint { speed: Some(share * 188.5), ..ToldPoint::default() };
            let expected = model.expect(&at, &Seen::default()).expect("it runs");
            expected.bands.iter().map(|band| band.value).collect::<Vec<f64>>()
        })
    });
    for (a, b) in catalogue.iter().flatten().zip(own.iter().flatten()) {
        assert!((a - b).abs() < 1e-6 * a.abs().max(1.0), "{a} against {b}");
    }
}

#[test]
fn a_cause_told_in_the_text_is_weighed_as_the_same_one_of_the_catalogue() {
    for rest in [
        "readings = { coolant = \"97 C\", raw-out = \"49 C\", suction = \"38 kPa\" }\n",
        "said = [\"engine.hot\", \"screen.weed in the bowl\"]\n",
        "readings = { coolant = \"97 C\", raw-out = \"49 C\" }\n[[check]]\npart = \"screen\"\ncheck = \"open-and-look\"\nfound = \"clean\"\n",
    ] {
        let [catalogue, own] = [CATALOGUE, OWN].map(|kind| {
            let plant = plant(kind);
            let answer = answer(&plant, rest);
            blocked(&plant, &answer).clone()
        });
        assert!((catalogue.weight - own.weight).abs() < 0.25, "{rest}: {} against {}", catalogue.weight, own.weight);
        assert!((catalogue.severity - own.severity).abs() < 0.02, "{} against {}", catalogue.severity, own.severity);
        assert!((catalogue.by_rate / own.by_rate - 1.0).abs() < 0.1, "{} {}", catalogue.by_rate, own.by_rate);
    }
}

#[test]
fn its_circuit_is_its_own_where_it_takes_a_class_of_rates() {
    let often = OWN.replace("rate = \"strainer-blocked\"", "rate = \"often\"");
    let plant = plant(&often);
    let told = answer(&plant, "said = [\"engine.hot\"]\n");
    let seldom = self::plant(&OWN.replace("rate = \"strainer-blocked\"", "rate = \"seldom\""));
    let rarely = answer(&seldom, "said = [\"engine.hot\"]\n");
    let (often, seldom) = (blocked(&plant, &told), blocked(&seldom, &rarely));
    assert_eq!(often.circuit, Some(parts::kind::Circuit::RawWater));
    // Two classes of the table apart: a hundred times, less what the rest of the list takes.
    assert!(often.by_rate > 20.0 * seldom.by_rate, "{} against {}", often.by_rate, seldom.by_rate);
}

#[test]
fn heat_told_of_it_warms_what_comes_after() {
    let base =
        "[kind.box.passage.water]\ncarries = \"raw-water\"\nrated = { flow = \"58 L/min\", drop = \"2.4 kPa\" }\n";
    let [cold, warm] = ["", "heat = \"3 kW\"\n"].map(|heat| {
        let plant = plant(&format!("{base}{heat}[part.screen]\nkind = \"box\"\n"));
        let mut model = Model::new(&plant).expect("a sound structure");
        let point = model::point::told(&plant, &ToldPoint::default()).0;
        let figures = model.figures.clone();
        let state = model.solve(&figures, &point, None).expect("it runs");
        let flow = plant[plant.part("screen").expect("a part")].flows[0].expect("in the path");
        let tap = plant.gauges[plant.gauge("raw-out").expect("a gauge").0].tap;
        (model.read(&state, tap), model.read(&state, plant::plant::Tap::Flow(flow)))
    });
    // 3 kW into the flow there is, of sea water at about 3,990 J/kg/K; what the exchanger then passes less is little.
    let rise = 3_000.0 / (warm.1 * 3_990.0);
    assert!(((warm.0 - cold.0) / rise - 1.0).abs() < 0.15, "{} K for {rise}", warm.0 - cold.0);
}
