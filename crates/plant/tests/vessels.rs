//! The shipped vessels load, whole, and so do the odd shapes that a vessel may have.

use measure::quantity::Quantity;
use parts::kind::{Circuit, Link};
use plant::finding::render;
use plant::plant::{Linked, Plant, Tap, Terminal};
use plant::reader::read;

const TEN: &str = include_str!("../../../vessels/first-ten-lines/vessel.toml");
const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");
const EELGRASS: &str = include_str!("../../../vessels/eelgrass/vessel.toml");
const SAMPHIRE: &str = include_str!("../../../vessels/samphire/vessel.toml");
const ORACHE: &str = include_str!("../../../vessels/orache/vessel.toml");
const REFERENCE: &str = include_str!("../../../vessels/reference/vessel.toml");

/// The plant; whatever keeps it from being one is printed.
#[track_caller]
fn loaded(text: &str) -> Plant {
    let (plant, findings) = read(text);
    for finding in &findings {
        println!("{}", render(finding, text, "vessel.toml"));
    }
    whole(plant.expect("a plant"))
}

/// Every index of the plant points at something.
#[track_caller]
fn whole(plant: Plant) -> Plant {
    for part in &plant.parts {
        assert_eq!(part.figures.len(), part.kind.parameters.len(), "{}", part.name);
        assert_eq!(part.flows.len(), part.kind.passages.len(), "{}", part.name);
        assert_eq!(part.links.len(), part.kind.links.len(), "{}", part.name);
        assert!(part.flows.iter().flatten().all(|flow| flow.0 < plant.flows.len()));
        for link in &part.links {
            match link {
                Linked::Unknowns(all) => assert!(all.iter().all(|(p, u)| *u < plant[*p].kind.unknowns.len())),
                Linked::Flows(all) => assert!(all.iter().all(|flow| flow.0 < plant.flows.len())),
                Linked::Temperature(node) => assert!(node.0 < plant.nodes.len()),
                Linked::Constant(value) => assert!(value.is_finite()),
            }
        }
        for (figure, parameter) in part.figures.iter().zip(part.kind.parameters) {
            assert!(
                figure.value >= parameter.range.0 && figure.value <= parameter.range.1,
                "{} {}",
                part.name,
                parameter.name
            );
        }
    }
    for flow in &plant.flows {
        for end in [flow.from, flow.to] {
            if let Terminal::Node(node) | Terminal::Into(node) = end {
                assert!(node.0 < plant.nodes.len());
            }
        }
    }
    assert!(plant.pools.iter().all(|pool| pool.node.0 < plant.nodes.len() && pool.part.0 < plant.parts.len()));
    for gauge in &plant.gauges {
        match gauge.tap {
            Tap::Pressure(node) | Tap::Voltage(node) | Tap::Temperature(node) => assert!(node.0 < plant.nodes.len()),
            Tap::Drop(flow) | Tap::Flow(flow) | Tap::Meter(flow) => assert!(flow.0 < plant.flows.len()),
            Tap::Unknown(part, unknown) => assert!(unknown < plant[part].kind.unknowns.len()),
            Tap::Sea | Tap::Air => {}
        }
        assert!(gauge.accuracy > 0.0 && gauge.noise >= 0.0 && gauge.scale.0 < gauge.scale.1, "{}", gauge.name);
    }
    plant
}

fn kinds(plant: &Plant, circuit: Circuit) -> Vec<&str> {
    plant.flows.iter().filter(|flow| flow.circuit == circuit).map(|flow| plant[flow.part].kind.name).collect()
}

#[test]
fn an_oil_cooler_that_nobody_told_of_hangs_in_the_coolant_and_is_said_to() {
    let (plant, findings) = read(TEN);
    let plant = plant.expect("ten lines load");
    let cooler = plant.parts.iter().find(|part| part.kind.name == "oil-cooler").expect("an assumed cooler");
    let circuits: Vec<_> = cooler.flows.iter().flatten().map(|flow| plant.flows[flow.0].circuit).collect();
    assert_eq!(circuits, [Circuit::FreshWater, Circuit::Oil]);
    let said = findings.iter().any(|finding| finding.problem.to_string().contains("`oil-cooler` (cooled by coolant)"));
    assert!(said, "{findings:?}");
    // The path of the oil, told without one, is believed.
    let (plain, _) = read(&format!("{TEN}\n[circuit.oil]\npath = [\"sump\", \"oil-pump\", \"engine\"]\n"));
    assert!(plain.expect("loads").parts.iter().all(|part| part.kind.name != "oil-cooler"));
}

/// A figure of the engine by the name of its parameter [SI].
fn of_engine(plant: &Plant, name: &str) -> f64 {
    let engine = plant.parts.iter().find(|part| part.kind.name == "diesel").expect("an engine");
    let place = engine.kind.parameters.iter().position(|parameter| parameter.name == name).expect("a parameter");
    engine.figures[place].value
}

#[test]
fn an_untold_engine_has_the_swept_volume_of_its_rating_whatever_else_is_told() {
    let engine = |lines: &str| loaded(&format!("[vessel]\nname = \"x\"\n[engine.main]\n{lines}\n"));
    let rated = "rated = { power = \"74 kW\", speed = \"1700 rpm\" }";
    for told in ["", "bore = \"100 mm\"", "cylinders = 3", "cylinders = 6\nbore = \"100 mm\"", "stroke = \"130 mm\""] {
        let plant = engine(&format!("{rated}\n{told}"));
        let [bore, stroke, cylinders] = ["bore", "stroke", "cylinders"].map(|name| of_engine(&plant, name));
        let swept = physics::engine::swept_volume(bore, stroke, cylinders as u32);
        let speed = 1700.0 / 60.0 * std::f64::consts::TAU;
        let pressure =
            physics::engine::mean_effective_pressure(74e3, swept, speed, physics::engine::Cycle::FourStroke) / 1e3;
        // Slow unblown engines are rated at 500 to 700 kPa (from memory).
        assert!((500.0..=700.0).contains(&pressure), "{told}: {pressure} kPa");
        assert!(cylinders.fract() == 0.0, "{told}: {cylinders} cylinders");
    }
    // Marram's plate says five.
    let plant = engine(&format!("{rated}\nbore = \"118 mm\"\nstroke = \"146 mm\""));
    assert_eq!(of_engine(&plant, "cylinders"), 5.0);
}

#[test]
fn ten_lines_are_enough() {
    assert_eq!(TEN.lines().filter(|line| !line.trim().is_empty()).count(), 10);
    let plant = loaded(TEN);
    for circuit in [Circuit::RawWater, Circuit::FreshWater, Circuit::Oil, Circuit::Exhaust] {
        assert!(!kinds(&plant, circuit).is_empty(), "{}", circuit.name());
    }
    for kind in ["intake", "header-tank", "sump", "relief-valve", "thermostat", "outlet", "propeller"] {
        assert!(plant.parts.iter().any(|part| part.kind.name == kind && part.assumed), "{kind}");
    }
    assert_eq!(plant.pools.len(), 2);
    assert_eq!(plant.gauges.len(), 1);
}

#[test]
fn the_demonstration_vessel_loads_with_all_it_says() {
    let plant = loaded(MARRAM);
    assert!((plant.rated_power - 74e3).abs() < 1.0);
    assert_eq!(plant.gauges.iter().filter(|gauge| gauge.trips.is_none()).count(), 18);
    assert_eq!(plant.gauges.iter().filter(|gauge| gauge.trips.is_some()).count(), 3);
    let pump = plant.part("raw-pump").expect("the pump");
    let belt = plant.part("belt-raw").expect("its belt");
    assert_eq!(plant[pump].links[0], Linked::Unknowns(vec![(belt, 0)]));
    // Two strainers before the pump, each of which may draw air.
    let Linked::Unknowns(air) = &plant[pump].links[1] else { panic!("air drawn in is an inner quantity") };
    assert_eq!(air.len(), 2);
    // The hose stands between strainer and pump, and both branches meet at the pump.
    let hose = plant.part("suction-hose").expect("the hose");
    let flow =
        |part: plant::plant::PartId, passage: usize| &plant.flows[plant[part].flows[passage].expect("connected").0];
    assert_eq!(flow(hose, 0).to, flow(pump, 0).from);
    let standby = plant.part("strainer-starboard").expect("the other strainer");
    assert_eq!(flow(standby, 0).to, flow(pump, 0).from);
    // What leaves the exchanger is read before the by-pass joins it.
    let exchanger = plant.part("exchanger").expect("the exchanger");
    let circulating = plant.part("coolant-pump").expect("the pump");
    let thermostat = plant.part("thermostat").expect("the thermostat");
    assert_eq!(flow(thermostat, 1).to, flow(circulating, 0).from);
    assert_ne!(flow(exchanger, 1).to, flow(circulating, 0).from);
    let (port, helm) = (plant.gauge("coolant").expect("one"), plant.gauge("coolant-helm").expect("two"));
    assert_eq!(plant[port].tap, plant[helm].tap);
}

#[test]
fn water_reaches_what_lies_after_the_elbow_only() {
    let plant = loaded(MARRAM);
    let elbow = plant.part("elbow").expect("the elbow");
    let water = plant[elbow].flows[1].expect("its water");
    for (name, wet) in [("exhaust-hose", true), ("silencer", true), ("outlet", true)] {
        let part = plant.part(name).expect("in the path");
        let link = plant[part].kind.links.iter().position(|link| *link == Link::Injected).expect("it asks");
        let expected = if wet { Linked::Flows(vec![water]) } else { Linked::Constant(0.0) };
        assert_eq!(plant[part].links[link], expected, "{name}");
    }
    let dry = "[engine.main]\n[circuit]\nexhaust = [\"engine\", \"exhaust-hose\", \"elbow\", \"outlet\"]\n";
    let plant = loaded(dry);
    let riser = plant.part("exhaust-hose").expect("the riser");
    assert_eq!(plant[riser].links[0], Linked::Constant(0.0), "before the elbow it is dry");
}

#[test]
fn the_reference_vessel_states_its_exchanger() {
    let plant = loaded(REFERENCE);
    let exchanger = plant.part("exchanger").expect("it is told");
    let value = |name: &str| {
        let at = plant[exchanger].kind.parameters.iter().position(|p| p.name == name).expect("a parameter");
        plant[exchanger].figures[at].value
    };
    assert_eq!(value("clean_conductance"), 2000.0);
    // 90 L/min of sea water of 1026 kg/m³; 180 L/min of half glycol, which the questions take as 1030 kg/m³.
    assert!((value("rated_cold_flow") - 1.539).abs() < 0.002);
    assert!((value("rated_hot_flow") - 3.09).abs() < 0.05);
}

#[test]
fn keel_cooling_and_a_dry_exhaust_load() {
    let text = "[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n[circuit]\n\
                fresh-water = [\"circulating-pump\", \"engine\", \"thermostat\", \"keel-cooler\"]\n\
                exhaust = [\"engine\", \"exhaust-pipe\", \"silencer\", \"outlet\"]\n";
    let plant = loaded(text);
    assert!(kinds(&plant, Circuit::RawWater).is_empty());
    assert!(!plant.parts.iter().any(|part| part.kind.name == "elbow" || part.kind.name == "exchanger"));
    let keel_only = loaded("[engine.main]\n[part.skin-tank]\n");
    assert!(kinds(&keel_only, Circuit::RawWater).is_empty());
}

#[test]
fn an_engine_cooled_by_raw_water_has_no_coolant() {
    let plant = loaded("[engine.main]\n[circuit]\nraw-water = [\"seacock\", \"raw-pump\", \"engine\", \"elbow\"]\n");
    assert!(kinds(&plant, Circuit::FreshWater).is_empty());
}

#[test]
fn two_chests_feed_one_block_and_the_loop_stands_before_the_elbow() {
    let samphire = loaded(SAMPHIRE);
    let raw = kinds(&samphire, Circuit::RawWater);
    assert_eq!(raw.iter().filter(|kind| **kind == "sea-chest").count(), 2);
    assert!(raw.contains(&"diesel") && raw.contains(&"thermostat") && kinds(&samphire, Circuit::FreshWater).is_empty());
    let eelgrass = loaded(EELGRASS);
    let after = |kind: &str| eelgrass.flows.iter().find(|f| eelgrass[f.part].kind.name == kind).map(|f| f.to);
    let elbow = eelgrass.part("elbow").expect("its water is injected");
    let before = eelgrass[elbow].flows.iter().flatten().map(|flow| eelgrass.flows[flow.0].from);
    assert!(before.into_iter().any(|from| Some(from) == after("vented-loop")));
}

#[test]
fn three_engines_without_raw_water_each_have_their_keel_cooler_and_stack() {
    let orache = loaded(ORACHE);
    assert!(kinds(&orache, Circuit::RawWater).is_empty() && orache.part("elbow").is_none());
    for engine in ["port", "starboard", "generator"] {
        let id = orache.part(engine).expect("an engine of that name");
        let own = |kind: &str| orache.parts.iter().filter(|p| p.engine == Some(id) && p.kind.name == kind).count();
        let charged = usize::from(engine != "generator");
        assert_eq!([own("keel-cooler"), own("dry-stack"), own("bellows"), own("outlet")], [1; 4], "{engine}");
        assert_eq!([own("turbocharger"), own("charge-air-cooler"), own("propeller")], [charged; 3], "{engine}");
    }
    let alternator = &orache[orache.part("alternator").expect("one on the power take-off")];
    let port = orache.part("port").expect("it turns it");
    assert!(matches!(&alternator.links[0], Linked::Unknowns(turned_by) if turned_by[0].0 == port));
}

#[test]
fn what_stands_in_for_a_usual_part_is_not_given_it_besides() {
    let told = "[engine.main]\n[part.chest]\nkind = \"sea-chest\"\n[part.twin]\nkind = \"duplex-strainer\"\n\
                [part.pump]\nkind = \"plunger-pump\"\n";
    let plant = loaded(told);
    let raw = kinds(&plant, Circuit::RawWater);
    for (is, not) in [("sea-chest", "intake"), ("duplex-strainer", "strainer"), ("plunger-pump", "raw-pump")] {
        assert!(raw.contains(&is) && !raw.contains(&not), "{raw:?}");
    }
    let electric =
        "[engine.main]\n[circuit]\nfresh-water = [\"electric-pump\", \"engine\", \"thermostat\", \"exchanger\"]\n";
    let plant = loaded(electric);
    let fresh = kinds(&plant, Circuit::FreshWater);
    assert!(fresh.contains(&"electric-pump") && !fresh.contains(&"coolant-pump"), "{fresh:?}");
    assert!(
        plant.pools.iter().any(|pool| plant[pool.part].kind.name == "header-tank"),
        "the tank hangs before any pump"
    );
}

#[test]
fn an_engine_alone_gets_all_that_is_usual() {
    let plant = loaded("[engine.main]\n");
    assert!(kinds(&plant, Circuit::RawWater).contains(&"exchanger"));
    let generator = loaded("[engine.main]\ndrives = \"generator\"\n");
    assert!(!generator.parts.iter().any(|part| part.kind.name == "propeller"));
    let demand = generator.parts[0].kind.links.iter().position(|link| *link == Link::Demand).expect("it asks");
    assert_eq!(generator.parts[0].links[demand], Linked::Constant(1.0));
}

/// Two engines and a generator on one sea chest, in as few lines as will do.
const THREE: &str = r#"
[engine.port]
rated = { power = "120 kW", speed = "2200 rpm" }
[engine.starboard]
rated = { power = "120 kW", speed = "2200 rpm" }
[engine.generator]
rated = { power = "12 kW", speed = "1500 rpm" }
fixed-speed = "1500 rpm"
drives = "generator"
[part.sea-chest]
[part.belt-starboard]
kind = "belt"
[part.strainer-big]
kind = "strainer"
engine = "starboard"
[circuit]
raw-water-port = ["sea-chest", "seacock", "strainer", "raw-pump", "exchanger", "elbow"]
raw-water-starboard = ["sea-chest", "seacock", "strainer-big", "raw-pump", "exchanger", "elbow"]
raw-water-generator = ["sea-chest", "seacock", "strainer", "raw-pump", "exchanger", "elbow"]
"#;

#[test]
fn several_engines_have_circuits_of_their_own() {
    let plant = loaded(THREE);
    let serves = |name: &str| {
        let part = plant.part(name).unwrap_or_else(|| panic!("{name} is there"));
        plant[plant[part].engine.expect("an engine")].name.clone()
    };
    assert_eq!(serves("raw-pump-port"), "port");
    assert_eq!(serves("strainer-big"), "starboard");
    assert_eq!(serves("belt-starboard"), "starboard");
    assert_eq!(serves("thermostat-generator"), "generator");
    assert_eq!(serves("generator"), "generator");
    let count = |kind: &str| plant.parts.iter().filter(|part| part.kind.name == kind).count();
    assert_eq!((count("sump"), count("header-tank"), count("sea-chest"), count("propeller")), (3, 3, 1, 2));
    let engines = |name: &str| {
        let mut all: Vec<String> = plant
            .engines_of(plant.part(name).expect("it is there"))
            .into_iter()
            .filter_map(|engine| Some(plant[engine?].name.clone()))
            .collect();
        all.sort();
        all
    };
    assert_eq!(engines("sea-chest"), ["generator", "port", "starboard"]);
    assert_eq!(engines("oil-filter-port"), ["port"]);
    // What is usual of an engine is usual of this engine.
    let size = |name: &str| plant[plant.part(name).expect("it is there")].figures[1].value;
    assert!(size("raw-pump-port") > 4.0 * size("raw-pump-generator"));
    // Each pump is turned by its own engine, and no oil finds its way from one to another.
    for engine in ["port", "starboard", "generator"] {
        let pump = plant.part(&format!("oil-pump-{engine}")).expect("assumed");
        let turned = plant::follow::turned_by(&plant, pump).expect("it turns");
        assert_eq!(plant[turned].name, engine);
        let (_, trail) = plant::follow::follow(&plant, pump, plant::follow::Along::Onward).remove(0);
        let told = format!("{trail:?}");
        let foreign = plant
            .parts
            .iter()
            .enumerate()
            .filter(|(_, part)| part.engine.is_some_and(|other| plant[other].name != engine));
        for (_, part) in foreign {
            for flow in part.flows.iter().flatten() {
                assert!(!told.contains(&format!("Flow({flow:?})")), "{} has the oil of {engine}", part.name);
            }
        }
    }
}

#[test]
fn an_engine_that_is_not_there_is_named() {
    let (_, findings) = read(&THREE.replace("engine = \"starboard\"", "engine = \"starbord\""));
    let told = |f: &plant::finding::Finding| matches!(&f.problem, plant::finding::Problem::UnknownPart { nearest: Some(near), .. } if near == "starboard");
    assert!(findings.iter().any(told), "{findings:?}");
}

#[test]
fn a_vacuum_gauge_counts_downwards() {
    let plant = loaded(MARRAM);
    let suction = &plant[plant.gauge("suction").expect("it is told")];
    assert!(suction.vacuum && suction.quantity == Quantity::GaugePressure);
    assert_eq!(suction.scale.1, 0.0);
    assert!((suction.scale.0 + 100e3).abs() < 1.0);
}

#[test]
fn every_parameter_of_every_kind_can_be_written_in_its_unit() {
    for kind in parts::catalogue::KINDS.iter().filter(|kind| kind.circuit != Circuit::Gauges) {
        for (index, parameter) in kind.parameters.iter().enumerate() {
            let wanted = parameter.typical.value;
            let unit = parameter.quantity.si_unit();
            let unit = if unit == "1" { "" } else { unit };
            let text = format!("[part.thing]\nkind = \"{}\"\n{} = \"{wanted:?} {unit}\"\n", kind.name, parameter.name);
            let text = if kind.name == "diesel" { text } else { format!("[engine.main]\n{text}") };
            let (_, findings) = read(&text);
            let about = |f: &&plant::finding::Finding| {
                f.places.iter().any(|(place, _)| text[place.clone()].contains(&format!("{wanted:?}")))
            };
            let wrong: Vec<String> =
                findings.iter().filter(|f| f.is_fatal()).filter(about).map(|f| render(f, &text, "")).collect();
            assert!(wrong.is_empty(), "{}.{}: {wrong:?}", kind.name, parameter.name);
            if let (Some(plant), _) = read(&text) {
                let part = plant.part("thing").expect("it was told");
                let read = plant[part].figures[index].value;
                assert!(
                    (read - wanted).abs() <= 1e-9 * wanted.abs().max(1e-12),
                    "{}.{}: {read}",
                    kind.name,
                    parameter.name
                );
            }
        }
    }
}

#[test]
fn a_meter_reads_volume_or_mass_as_its_dial_is_marked() {
    let text = format!(
        "{MARRAM}\n[gauge.flow]\nat = \"raw-pump\"\nreads = \"flow\"\n[gauge.by-mass]\nat = \"raw-pump\"\nreads = \"flow\"\nunit = \"kg/min\"\n"
    );
    let plant = loaded(&text);
    let gauge = |name: &str| &plant[plant.gauge(name).expect("it is told")];
    assert!(matches!((gauge("flow").tap, gauge("flow").quantity), (Tap::Meter(_), Quantity::VolumeFlow)));
    assert!(matches!((gauge("by-mass").tap, gauge("by-mass").quantity), (Tap::Flow(_), Quantity::MassFlow)));
}
