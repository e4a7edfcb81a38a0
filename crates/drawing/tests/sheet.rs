//! Every sheet: nothing lies on anything else, every pipe ends where it should, and the same plant gives the same.

use drawing::{Live, Of, Point, Rect, Run, Schematic};
use plant::plant::{Plant, Tap, Terminal};
use std::collections::BTreeSet;
use std::sync::LazyLock;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");
const TEN: &str = include_str!("../../../vessels/first-ten-lines/vessel.toml");
const REFERENCE: &str = include_str!("../../../vessels/reference/vessel.toml");
const EELGRASS: &str = include_str!("../../../vessels/eelgrass/vessel.toml");
const SAMPHIRE: &str = include_str!("../../../vessels/samphire/vessel.toml");
const THRIFT: &str = include_str!("../../../vessels/thrift/vessel.toml");
const ORACHE: &str = include_str!("../../../vessels/orache/vessel.toml");
const ENGINE: &str = "[engine.main]\nkind = \"diesel\"\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n";

/// Every vessel that the cases tell of.
fn cases() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases");
    let mut found: Vec<(String, String)> = std::fs::read_dir(folder)
        .expect("the cases are part of the project")
        .flatten()
        .filter_map(|case| {
            let text = std::fs::read_to_string(case.path().join("vessel.toml")).ok()?;
            Some((case.file_name().to_string_lossy().into_owned(), text))
        })
        .collect();
    found.sort();
    assert!(found.len() > 10, "only {} cases have a vessel", found.len());
    found
}

/// The vessels of the project, and others that strain the layout.
fn plants() -> Vec<(String, Plant)> {
    let shipped = [
        ("marram", MARRAM),
        ("ten lines", TEN),
        ("reference", REFERENCE),
        ("eelgrass", EELGRASS),
        ("samphire", SAMPHIRE),
        ("orache", ORACHE),
        ("thrift", THRIFT),
    ];
    let mut texts: Vec<(String, String)> = shipped.map(|(name, text)| (name.to_string(), text.to_string())).into();
    let without =
        |text: &str, word: &str| text.split("\n[").filter(|p| !p.starts_with(word)).collect::<Vec<_>>().join("\n[");
    texts.push(("marram without gauges".into(), without(&without(MARRAM, "gauge."), "alarm.")));
    texts.push((
        "marram without a gear cooler".into(),
        without(&MARRAM.replace("\"gear-cooler\", ", ""), "part.gear-cooler"),
    ));
    texts.push(("an engine alone".into(), ENGINE.into()));
    texts.push((
        "two engines and a generator".into(),
        "[engine.port]\nrated = { power = \"120 kW\", speed = \"2200 rpm\" }\n\
         [engine.starboard]\nrated = { power = \"120 kW\", speed = \"2200 rpm\" }\n\
         [engine.generator]\nrated = { power = \"12 kW\", speed = \"1500 rpm\" }\nfixed-speed = \"1500 rpm\"\n\
         drives = \"generator\"\n[part.sea-chest]\n[circuit]\n\
         raw-water-port = [\"sea-chest\", \"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
         raw-water-starboard = [\"sea-chest\", \"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
         raw-water-generator = [\"sea-chest\", \"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
         [gauge.coolant-port]\nat = \"port.coolant-out\"\nreads = \"temperature\"\n\
         [gauge.chest]\nat = \"sea-chest.out\"\nreads = \"pressure\"\n\
         [gauge.oil-generator]\nat = \"generator.oil-in\"\nreads = \"pressure\"\n"
            .into(),
    ));
    let many: String = (0..6)
        .map(|k| format!("[gauge.coolant-number-{k}]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n"))
        .chain((0..4).map(|k| format!("[gauge.oil-{k}]\nat = \"engine.oil-in\"\nreads = \"pressure\"\n")))
        .collect();
    texts.push(("many gauges".into(), format!("{TEN}{many}")));
    let long = TEN.replace("exchanger", "heat-exchanger-of-the-main-engine-on-the-starboard-side");
    let long = format!("{long}[part.heat-exchanger-of-the-main-engine-on-the-starboard-side]\nkind = \"exchanger\"\n");
    texts.push(("long names".into(), long));
    texts.push((
        "keel cooling".into(),
        format!(
            "{ENGINE}[circuit]\nfresh-water = [\"coolant-pump\", \"engine\", \"thermostat\", \"keel-cooler\"]\n\
             exhaust = [\"engine\", \"exhaust-hose\", \"silencer\", \"outlet\"]\n"
        ),
    ));
    texts.push((
        "coolers in the coolant".into(),
        format!(
            "{ENGINE}[part.gearbox]\nkind = \"gearbox\"\n[circuit]\n\
             fresh-water = [\"engine\", \"thermostat\", \"keel-cooler\", \"gear-cooler\", \"oil-cooler\", \"coolant-pump\"]\n\
             oil = [\"sump\", \"oil-pickup\", \"oil-pump\", \"oil-filter\", \"oil-cooler\", \"engine\"]\n"
        ),
    ));
    texts.push((
        "hoses and a vented loop".into(),
        format!(
            "{ENGINE}[part.hose-a]\nkind = \"hose\"\n[part.hose-b]\nkind = \"hose\"\n[circuit]\nraw-water = [\"intake\", \
             \"seacock\", \"hose-a\", \"strainer\", \"raw-pump\", \"exchanger\", \"vented-loop\", \"hose-b\", \"elbow\"]\n"
        ),
    ));
    texts.push((
        "a chest, a twin strainer and a pump of its own".into(),
        format!(
            "{ENGINE}[part.feed]\nkind = \"stern-tube-feed\"\n[part.fine]\nkind = \"bypass-filter\"\n[circuit]\nraw-water = \
             [\"sea-chest\", \"seacock\", \"duplex-strainer\", \"check-valve\", \"electric-pump\", \"plate-exchanger\", \"elbow\"]\n"
        ),
    ));
    for cooler in ["skin-tank", "box-cooler"] {
        texts.push((
            format!("a {cooler} and a heater"),
            format!(
                "{ENGINE}[part.heater]\nkind = \"cabin-heater\"\n[circuit]\nfresh-water = [\"centrifugal-pump\", \"engine\", \
                 \"thermostat\", \"{cooler}\"]\nexhaust = [\"engine\", \"exhaust-hose\", \"silencer\", \"outlet\"]\n"
            ),
        ));
    }
    let line = |first: &str| {
        format!(
            "[\"fuel-tank\", \"fuel-pickup\", \"fuel-valve\", \"{first}\", \"feed-pump\", \"fuel-filter\", \"injection-pump\"]"
        )
    };
    texts.push((
        "fuel from tank to cylinders and back".into(),
        format!(
            "{TEN}[circuit.fuel]\npath = {}\n[gauge.fuel-vacuum]\nat = \"feed-pump.in\"\nreads = \"vacuum\"\n\
             [gauge.fuel-feed]\nat = \"injection-pump.in\"\nreads = \"pressure\"\n",
            line("fuel-separator")
        ),
    ));
    texts.push((
        "twins on one fuel tank".into(),
        format!(
            "[engine.port]\nrated = {{ power = \"60 kW\", speed = \"1800 rpm\" }}\n\
             [engine.starboard]\nrated = {{ power = \"60 kW\", speed = \"1800 rpm\" }}\n[part.fuel-tank]\n\
             [circuit]\nfuel-port = {}\nfuel-starboard = {}\n",
            line("duplex-fuel-filter"),
            line("fuel-separator").replace("feed-pump", "electric-feed-pump")
        ),
    ));
    texts.extend(cases());
    let read = |(name, text): (String, String)| {
        let (plant, findings) = plant::reader::read(&text);
        let told: Vec<String> = findings.iter().map(|f| plant::finding::render(f, &text, &name)).collect();
        (name, plant.unwrap_or_else(|| panic!("{}", told.join("\n"))))
    };
    texts.into_iter().map(read).collect()
}

static SHEETS: LazyLock<Vec<(String, Plant, Schematic)>> = LazyLock::new(|| {
    let laid = |(name, plant)| {
        let sheet = Schematic::lay_out(&plant);
        (name, plant, sheet)
    };
    plants().into_iter().map(laid).collect()
});

/// Walks all of them and shows everything that is wrong at once.
#[track_caller]
fn all(wrong: impl Fn(&Plant, &Schematic) -> Vec<String>) {
    assert!(SHEETS.len() > 8);
    let found = SHEETS.iter().flat_map(|(name, plant, sheet)| {
        let found = wrong(plant, sheet);
        found.into_iter().map(|line| format!("{name}: {line}")).collect::<Vec<_>>()
    });
    let found: Vec<String> = found.collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

fn pieces_of(run: &Run) -> impl Iterator<Item = Rect> + '_ {
    run.points.windows(2).map(|pair| Rect::about(pair[0], pair[1]))
}

/// With a width, so that it can lie on something.
fn thick(line: Rect) -> Rect {
    line.grown(0.4)
}

#[test]
fn every_part_is_drawn_once_and_every_gauge_hangs() {
    all(|plant, sheet| {
        let mut wrong = Vec::new();
        if sheet.pieces.len() != plant.parts.len() {
            wrong.push(format!("{} pieces for {} parts", sheet.pieces.len(), plant.parts.len()));
        }
        let hung: Vec<usize> = sheet.gauges.iter().map(|hung| hung.gauge).collect();
        let once: BTreeSet<usize> = hung.iter().copied().collect();
        if once.len() != plant.gauges.len() || hung.len() != plant.gauges.len() {
            wrong.push(format!("{} of {} gauges hang", hung.len(), plant.gauges.len()));
        }
        for (part, this) in plant.parts.iter().enumerate() {
            let labels = sheet.labels.iter().filter(|label| label.of == Of::Part(part)).count();
            let drawn = 1 + sheet.again.iter().filter(|(again, _)| *again == part).count();
            if labels != drawn {
                wrong.push(format!("{} has {labels} labels and is drawn {drawn} times", this.name));
            }
        }
        let page = Rect { x: 0.0, y: 0.0, w: sheet.size.0, h: sheet.size.1 };
        let pieces = sheet.pieces.iter().chain(sheet.again.iter().map(|(_, drawn)| drawn));
        let rooms = sheet.labels.iter().map(|l| l.rect).chain(pieces.map(|p| p.rect));
        wrong.extend(rooms.filter(|r| !page.holds(r)).map(|r| format!("{r:?} is not on the page")));
        wrong
    });
}

#[test]
fn symbols_lie_apart() {
    all(|plant, sheet| {
        let mut wrong = Vec::new();
        for (a, first) in sheet.pieces.iter().enumerate() {
            for (b, second) in sheet.pieces.iter().enumerate().skip(a + 1) {
                if first.rect.grown(4.0).meets(&second.rect) {
                    wrong.push(format!("{} on {}", plant.parts[a].name, plant.parts[b].name));
                }
            }
        }
        wrong
    });
}

#[test]
fn no_text_lies_on_anything() {
    all(|plant, sheet| {
        let mut wrong = Vec::new();
        for (nth, label) in sheet.labels.iter().enumerate() {
            let others = sheet.labels.iter().skip(nth + 1).filter(|other| other.rect.meets(&label.rect));
            wrong.extend(others.map(|other| format!("{:?} on {:?}", label.lines, other.lines)));
            let inside = |part: usize| label.of == Of::Part(part) && sheet.pieces[part].block;
            let symbols = sheet.pieces.iter().enumerate().filter(|(part, _)| !inside(*part));
            let symbols = symbols.filter(|(_, piece)| piece.rect.meets(&label.rect));
            wrong.extend(symbols.map(|(part, _)| format!("{:?} on {}", label.lines, plant.parts[part].name)));
            let pipes = sheet.runs.iter().flat_map(pieces_of).filter(|pipe| thick(*pipe).grown(1.3).meets(&label.rect));
            wrong.extend(pipes.map(|pipe| format!("{:?} on the pipe {pipe:?}", label.lines)));
            let circles = sheet.gauges.iter().filter(|hung| hung.circle.meets(&label.rect));
            wrong.extend(
                circles.map(|hung| format!("{:?} on the gauge {}", label.lines, plant.gauges[hung.gauge].name)),
            );
            for hung in &sheet.gauges {
                let leader = hung.leader.windows(2).map(|pair| thick(Rect::about(pair[0], pair[1])));
                wrong.extend(leader.filter(|l| l.meets(&label.rect)).map(|_| format!("{:?} on a leader", label.lines)));
            }
        }
        wrong
    });
}

#[test]
fn gauges_lie_on_nothing() {
    all(|plant, sheet| {
        let mut wrong = Vec::new();
        for (nth, hung) in sheet.gauges.iter().enumerate() {
            let name = &plant.gauges[hung.gauge].name;
            let pipes = sheet.runs.iter().flat_map(pieces_of).filter(|pipe| thick(*pipe).meets(&hung.circle));
            wrong.extend(pipes.map(|pipe| format!("{name} on the pipe {pipe:?}")));
            let symbols = sheet.pieces.iter().filter(|piece| piece.rect.meets(&hung.circle));
            wrong.extend(symbols.map(|piece| format!("{name} on {:?}", piece.rect)));
            let others = sheet.gauges.iter().skip(nth + 1).filter(|other| other.circle.meets(&hung.circle));
            wrong.extend(others.map(|other| format!("{name} on {}", plant.gauges[other.gauge].name)));
        }
        wrong
    });
}

#[test]
fn runs_are_square_and_end_at_their_ports() {
    all(|plant, sheet| {
        let mut wrong = Vec::new();
        let ends: BTreeSet<(usize, String)> =
            sheet.runs.iter().flat_map(|run| [run.from.clone(), run.to.clone()]).collect();
        for (part, piece) in sheet.pieces.iter().enumerate() {
            for port in &piece.ports {
                if !ends.contains(&(part, port.name.clone())) {
                    wrong.push(format!("nothing is joined to {}.{}", plant.parts[part].name, port.name));
                }
            }
        }
        for run in &sheet.runs {
            for ((part, name), at) in [(&run.from, run.points.first()), (&run.to, run.points.last())] {
                let again = sheet.again.iter().filter(|(again, _)| again == part).map(|(_, drawn)| drawn);
                let drawn = std::iter::once(&sheet.pieces[*part]).chain(again);
                let mut ports = drawn.flat_map(|drawn| &drawn.ports).filter(|port| port.name == *name);
                if !ports.any(|port| Some(port.at) == at.copied()) {
                    wrong.push(format!("{}.{name} is not where its run ends", plant.parts[*part].name));
                }
            }
            let askew = run.points.windows(2).filter(|pair| (pair[0].0 == pair[1].0) == (pair[0].1 == pair[1].1));
            wrong.extend(askew.map(|pair| format!("askew or no length: {pair:?}")));
        }
        wrong
    });
}

#[test]
fn no_run_leads_through_a_symbol_or_along_another() {
    all(|plant, sheet| {
        let mut wrong = Vec::new();
        for (nth, run) in sheet.runs.iter().enumerate() {
            for pipe in pieces_of(run) {
                for (part, piece) in sheet.pieces.iter().enumerate() {
                    if thick(pipe).meets(&piece.rect.grown(-0.5)) {
                        wrong.push(format!("a run of {} leads through {}", run.circuit.name(), plant.parts[part].name));
                    }
                }
                for other in sheet.runs.iter().skip(nth + 1).filter(|other| other.net != run.net) {
                    let along = |o: &Rect| (o.w == 0.0) == (pipe.w == 0.0) && thick(*o).grown(2.6).meets(&thick(pipe));
                    let found = pieces_of(other).filter(along);
                    wrong.extend(found.map(|o| format!("{pipe:?} along {o:?}")));
                }
            }
        }
        wrong
    });
}

/// Whether a point lies on the edge of a rectangle, or on a line.
fn touches(rect: Rect, (x, y): Point) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < 0.01;
    let inside = rect.grown(0.01).holds(&Rect { x, y, w: 0.0, h: 0.0 });
    let on_edge = near(x, rect.x) || near(x, rect.x + rect.w) || near(y, rect.y) || near(y, rect.y + rect.h);
    inside && on_edge
}

#[test]
fn every_leader_touches_what_its_gauge_looks_at() {
    all(|plant, sheet| {
        let of_part = |part: usize, tap: Point| touches(sheet.pieces[part].rect, tap);
        let of_flow = |flow: &plant::plant::Flow, tap: Point| {
            let way = plant[flow.part].kind.passages[flow.passage].name;
            let (own, ends) = (flow.part.0, [format!("{way}.in"), format!("{way}.out")]);
            let mine = |(part, port): &(usize, String)| *part == own && ends.contains(port);
            let mut runs = sheet.runs.iter().filter(|run| mine(&run.from) || mine(&run.to));
            runs.any(|run| pieces_of(run).any(|pipe| touches(pipe, tap))) || of_part(own, tap)
        };
        let of_node = |node: plant::plant::NodeId, tap: Point| {
            let pools = plant.pools.iter().filter(|pool| pool.node == node).map(|pool| pool.part.0);
            let here = Terminal::Node(node);
            pools.into_iter().any(|part| {
                let own = sheet.runs.iter().filter(|run| run.from.0 == part || run.to.0 == part);
                of_part(part, tap) || own.into_iter().any(|run| pieces_of(run).any(|pipe| touches(pipe, tap)))
            }) || plant.flows.iter().any(|flow| {
                let way = plant[flow.part].kind.passages[flow.passage].name;
                let begins = flow.from == here;
                let port = format!("{way}.{}", if begins { "in" } else { "out" });
                let mine = |end: &(usize, String)| end.0 == flow.part.0 && end.1 == port;
                (begins || flow.to == here)
                    && sheet
                        .runs
                        .iter()
                        .any(|run| (mine(&run.from) || mine(&run.to)) && pieces_of(run).any(|pipe| touches(pipe, tap)))
            })
        };
        let misses = sheet.gauges.iter().filter(|hung| {
            let tap = hung.leader[0];
            !match plant.gauges[hung.gauge].tap {
                Tap::Pressure(node) | Tap::Voltage(node) | Tap::Temperature(node) => of_node(node, tap),
                Tap::Flow(flow) | Tap::Meter(flow) | Tap::Drop(flow) => of_flow(&plant.flows[flow.0], tap),
                Tap::Unknown(part, _) => of_part(part.0, tap),
                Tap::Sea => {
                    let intakes = plant.flows.iter().filter(|flow| flow.from == Terminal::Sea).map(|flow| flow.part.0);
                    let at_the_sea = |part: &usize| {
                        plant.parts[*part].kind.walls.iter().any(|wall| wall.beyond == parts::kind::Beyond::Sea)
                    };
                    intakes.chain((0..plant.parts.len()).filter(at_the_sea)).any(|part| of_part(part, tap))
                }
                Tap::Air => (0..plant.parts.len()).any(|part| of_part(part, tap)),
            }
        });
        misses.map(|hung| format!("{} hangs on something else", plant.gauges[hung.gauge].name)).collect()
    });
}

#[test]
fn a_thumb_meets_one_part_only() {
    all(|plant, sheet| {
        let mut wrong = Vec::new();
        for (a, piece) in sheet.pieces.iter().enumerate() {
            let hit = drawing::thumb(piece.rect);
            for (b, other) in sheet.pieces.iter().enumerate().filter(|(b, _)| *b != a) {
                let (x, y) = other.rect.middle();
                if hit.holds(&Rect { x, y, w: 0.0, h: 0.0 }) {
                    wrong.push(format!("a tap on {} may open {}", plant.parts[b].name, plant.parts[a].name));
                }
            }
        }
        wrong
    });
}

#[test]
fn the_same_plant_gives_the_same_drawing() {
    for (name, plant, sheet) in SHEETS.iter() {
        let again = Schematic::lay_out(plant).svg(plant, &Live::default());
        assert_eq!(sheet.svg(plant, &Live::default()), again, "{name}");
    }
}

#[test]
fn the_shipped_sheets_fit_a_tablet() {
    for (name, _, sheet) in SHEETS.iter().take(3) {
        let (w, h) = sheet.size;
        assert!(w <= 1500.0 && h <= 1100.0, "{name} is {w:.0} by {h:.0}");
    }
}
