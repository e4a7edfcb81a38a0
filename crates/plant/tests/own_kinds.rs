//! Kinds that the owner describes in the text: read in full, and nothing that may be written there ends in a panic.

use parts::kind::{By, Circuit, End, Severity, State, Whose};
use plant::finding::Finding;
use plant::reader::read;

const GLASSWORT: &str = include_str!("../../../vessels/glasswort/vessel.toml");

#[test]
fn a_kind_in_the_text_is_a_kind_like_any_other() {
    let (plant, findings) = read(GLASSWORT);
    let plant = plant.unwrap_or_else(|| panic!("{findings:?}"));
    let id = plant.part("cold-store-condenser").expect("the part its word in the path made");
    let kind = plant[id].kind;
    assert_eq!((kind.name, kind.circuit), ("cold-store-condenser", Circuit::RawWater));
    assert_eq!((kind.passages[0].from, kind.passages[0].to), (End::Port("in"), End::Port("out")));
    let names: Vec<&str> = kind.parameters.iter().map(|p| p.name).collect();
    assert_eq!(names, ["rated_flow", "rated_drop", "heat"]);
    // 70 L/min of sea water, 9 kPa, 1.4 kW.
    let values: Vec<f64> = plant[id].figures.iter().map(|figure| figure.value).collect();
    assert!((values[0] - 70.0 / 60_000.0 * 1026.0).abs() < 2e-3, "{values:?}");
    assert!((values[1] - 9e3).abs() < 1e-6 && (values[2] - 1.4e3).abs() < 1e-6, "{values:?}");
    assert!((plant[id].figures[2].spread.sigma() * 1.96 - 300.0).abs() < 0.1);
    let scaled = &kind.causes[0];
    assert_eq!((scaled.name, scaled.severity, scaled.moves.len()), ("scaled", Severity::MostlyBad, 1));
    assert!(matches!(scaled.moves[0].by, By::Blocked) && scaled.moves[0].on == Whose::Own);
    assert_eq!(kind.causes[1].name, "gas_lost");
    // The first check is told; what it does not find, a look does.
    assert_eq!((kind.checks[0].name, kind.checks[0].state), ("end_cap", State::StoppedAndShut));
    assert_eq!(kind.checks[1].finds[0].cause, "gas_lost");
    assert_eq!(kind.words.len(), 2);
    // A part of it may say a figure of its own, by the same names.
    let louder = format!("{GLASSWORT}\n[part.cold-store-condenser]\nheat = \"2 kW\"\n");
    let plant = read(&louder).0.expect("a plant");
    let id = plant.part("cold-store-condenser").expect("the same part");
    assert!((plant[id].figures[2].value - 2e3).abs() < 1e-6);
}

#[test]
fn two_ways_have_ports_of_their_own_and_pass_heat_between_them() {
    let text = "[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
        [kind.pool-heater.passage.sea]\ncarries = \"raw-water\"\nflow = \"20 L/min\"\ndrop = \"4 kPa\"\nconductance = \"300 W/K\"\nheat-to = \"loop\"\n\
        [kind.pool-heater.passage.loop]\ncarries = \"fresh-water\"\nflow = \"30 L/min\"\ndrop = \"6 kPa\"\n\
        [kind.pool-heater.fails.fouled]\nmoves = { sea.conductance = \"x 0.2\", \"diesel.fuel-limit\" = \"x 0.9\" }\nremedy = \"clean it\"\n\
        [circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"pool-heater\", \"elbow\"]\n\
        fresh-water = [\"coolant-pump\", \"engine\", \"thermostat\", \"pool-heater\", \"exchanger\"]\n";
    let (plant, findings) = read(text);
    let plant = plant.unwrap_or_else(|| panic!("{findings:?}"));
    let kind = plant[plant.part("pool-heater").expect("a part")].kind;
    assert_eq!((kind.passages[0].from, kind.passages[1].to), (End::Port("sea_in"), End::Port("loop_out")));
    let moved: Vec<(Whose, &str)> = kind.causes[0].moves.iter().map(|m| (m.on, m.parameter)).collect();
    assert_eq!(moved, [(Whose::Own, "sea_conductance"), (Whose::Kind("diesel"), "fuel_limit")]);
    assert!(plant[plant.part("pool-heater").expect("a part")].flows.iter().all(Option::is_some));
}

#[test]
fn a_kind_named_after_an_engine_is_no_engine() {
    let text = "[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n[kind.diesel-heater]\ncircuit = \"fuel\"\n\
        [kind.diesel-heater.fails.sooted]\nsays = { \"smokes at its pipe\" = 0.8 }\nremedy = \"burn it clean\"\n[part.heater]\nkind = \"diesel-heater\"\n\
        [circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n";
    let (plant, findings) = read(text);
    let plant = plant.unwrap_or_else(|| panic!("{findings:?}"));
    assert_eq!(plant[plant.part("heater").expect("a part")].kind.name, "diesel-heater");
    let engines = plant.parts.iter().filter(|part| plant::names::is_engine(part.kind)).count();
    assert_eq!(engines, 1);
}

#[test]
fn absurd_kinds_are_findings_and_never_a_panic() {
    // Every line of the kinds left out, doubled, emptied, or with another sort of value.
    let lines: Vec<&str> = GLASSWORT.lines().collect();
    let first = lines.iter().position(|line| line.starts_with("[kind.")).expect("a kind");
    let last = lines.iter().position(|line| line.starts_with("[circuit")).expect("a circuit");
    let mut refused = 0;
    for at in first..last {
        let key = lines[at].split('=').next().unwrap_or_default();
        let changes = [
            String::new(),
            format!("{}\n{}", lines[at], lines[at]),
            format!("{key} = \"\""),
            format!("{key} = -1e308"),
            format!("{key} = [[1, 2], {{ a = \"b\" }}]"),
            format!("{key} = {{ value = \"1e300 kW\", to = {{ deep = {{ x = 1 }} }} }}"),
            format!("{key} = \"x nan\""),
            format!("{key} = \"to inf kW\""),
            format!("{key} = true"),
        ];
        for change in changes {
            let mut text: Vec<&str> = lines.clone();
            text[at] = &change;
            let (plant, findings) = read(&text.join("\n"));
            assert_eq!(plant.is_some(), !findings.iter().any(Finding::is_fatal));
            refused += usize::from(plant.is_none());
        }
    }
    assert!(refused > 100, "{refused}");
    let many: String = (0..200).map(|k| format!("[kind.k{k}]\ncircuit = \"fuel\"\n")).collect::<Vec<_>>().concat();
    assert!(read(&many).0.is_none());
}
