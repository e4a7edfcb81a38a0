//! Line-ups, where it flows, and which valves shut a part off.

use parts::kind::Circuit;
use plant::finding::{Finding, Problem};
use plant::follow::{Along, End, Step, Trail, follow, turned_by, turns};
use plant::isolate::{Closing, Fence, Shutting, Source, is_shut_off, isolate};
use plant::plant::{PartId, Plant};
use plant::reader::line_ups::{called, turned};
use plant::reader::read;
use std::fmt::Write as _;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");

/// Two strainers between an inlet and an outlet valve each, as a vessel has that cleans one under way.
const CHANGEABLE: &str = r#"
[engine.main]
kind = "diesel"
rated = { power = "74 kW", speed = "1700 rpm" }

[part.in-b]
kind = "valve"
opening = "0 %"
[part.out-b]
kind = "valve"
opening = "0 %"

[circuit.raw-water]
path = ["intake", "seacock", "in-a", "strainer-a", "out-a", "raw-pump", "exchanger", "elbow"]
paths = [["seacock", "in-b", "strainer-b", "out-b", "raw-pump"]]

[part.seacock]
[part.in-a]
kind = "valve"
[part.out-a]
kind = "valve"
[part.strainer-a]
kind = "strainer"
[part.strainer-b]
kind = "strainer"

[line-up.a]
in-a = "open"
out-a = "open"
in-b = "shut"
out-b = "shut"

[line-up.b]
in-a = "shut"
out-a = "shut"
in-b = "open"
out-b = "open"
"#;

#[track_caller]
fn loaded(text: &str) -> Plant {
    let (plant, findings) = read(text);
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

#[track_caller]
fn id(plant: &Plant, name: &str) -> PartId {
    plant.part(name).unwrap_or_else(|| panic!("{name} is there"))
}

fn names(plant: &Plant, parts: &[PartId]) -> Vec<String> {
    let mut names: Vec<String> = parts.iter().map(|part| plant[*part].name.clone()).collect();
    names.sort();
    names
}

/// Names along a trail; where it parts, the first way of it.
fn told(plant: &Plant, trail: &Trail) -> Vec<String> {
    let name = |step: &Step| match step {
        Step::Flow(flow) => plant[plant.flows[flow.0].part].name.clone(),
        Step::Pool(pool) => plant[plant.pools[*pool].part].name.clone(),
    };
    let mut all: Vec<String> = trail.steps.iter().map(name).collect();
    if let End::Parts(ways) = &trail.end {
        all.extend(told(plant, &ways[0]));
    }
    all
}

#[track_caller]
fn closing(plant: &Plant, part: &str, circuit: Circuit) -> Closing {
    let all = isolate(plant, id(plant, part));
    all.into_iter().find(|closing| closing.circuit == circuit).expect("it belongs to that circuit")
}

/// The fewest valves around a part, and the nearest.
#[track_caller]
fn fences(plant: &Plant, part: &str) -> (Fence, Fence) {
    let Shutting::Valves { fewest, nearest } = closing(plant, part, Circuit::RawWater).by else {
        panic!("it can be shut off")
    };
    (fewest, nearest)
}

#[test]
fn a_line_up_is_known_by_how_the_valves_stand() {
    let mut plant = loaded(CHANGEABLE);
    assert_eq!(plant.line_up().map(|l| l.name.as_str()), Some("a"));
    let b = called(&plant, "B").expect("it is there").stands.clone();
    plant.turn(&b);
    assert_eq!(plant.line_up().map(|l| l.name.as_str()), Some("b"));
    plant.turn(&[(id(&plant, "in-b"), 0.4)]);
    assert_eq!(plant.line_up(), None);
    let half = id(&plant, "in-b");
    assert_eq!(plant[half].kind.stands(plant.opening(half).expect("a valve")), "40 % open");
    assert_eq!(plant.opening(id(&plant, "strainer-a")), None);
}

#[test]
fn what_was_turned_last_counts_with_who_and_when() {
    let plant = loaded(CHANGEABLE);
    let text = "[[turned]]\nwhen = 2026-03-01T08:00:00Z\nwho = \"mate\"\nline-up = \"b\"\n\n\
                [[turned]]\nwho = \"owner\"\nvalves = { in-a = \"open\", out-b = \"30 %\" }\n";
    let (all, findings) = turned(text, &plant);
    assert_eq!(findings, Vec::new());
    let standing = plant.standing(&all);
    let of = |name: &str| standing.iter().find(|s| s.valve == id(&plant, name)).expect("a valve").clone();
    assert_eq!((of("in-b").opening, of("in-b").since), (1.0, Some(("2026-03-01 08:00:00Z".into(), "mate".into()))));
    assert_eq!((of("out-b").opening, of("out-b").since), (0.3, Some((String::new(), "owner".into()))));
    assert_eq!((of("seacock").opening, of("seacock").since), (1.0, None));
    assert_eq!(turned("", &plant), (Vec::new(), Vec::new()), "nothing turned yet is no mistake");
}

#[test]
fn every_mistake_of_a_line_up_is_found_at_its_place() {
    let plant = loaded(CHANGEABLE);
    let problems = |text: &str| turned(text, &plant).1.into_iter().map(|f| f.problem).collect::<Vec<_>>();
    let found = problems(
        "[[turned]]\nline-up = \"c\"\n[[turned]]\nvalves = { strainer-a = \"shut\", in-a = \"ajar\", in-b = \"140 %\", in-c = 1 }\nby = \"me\"\n",
    );
    assert!(matches!(&found[0], Problem::UnknownLineUp { name, .. } if name == "c"), "{found:?}");
    assert!(matches!(&found[1], Problem::ValveGone { name, .. } if name == "strainer-a"), "{found:?}");
    assert!(matches!(&found[2], Problem::Unreasonable { key, .. } if key == "in-a"), "{found:?}");
    assert!(matches!(&found[3], Problem::Unreasonable { key, .. } if key == "in-b"), "{found:?}");
    assert!(matches!(&found[4], Problem::ValveGone { nearest: Some(n), .. } if n.starts_with("in-")), "{found:?}");
    assert!(matches!(&found[5], Problem::UnknownKey { key, .. } if key == "by"), "{found:?}");
    assert!(matches!(problems("[[turned]\n")[0], Problem::NotToml { .. }));
    assert!(matches!(problems("\0")[0], Problem::NotText));
    let (_, findings) = read(&format!("{CHANGEABLE}\n[line-up.c]\nraw-pump = \"shut\"\n"));
    assert!(
        findings.iter().any(|f: &Finding| matches!(&f.problem, Problem::NotAValve { name, .. } if name == "raw-pump"))
    );
}

#[test]
fn raw_water_is_followed_from_the_sea_overboard_and_back() {
    let plant = loaded(MARRAM);
    let (circuit, onward) = follow(&plant, id(&plant, "intake-port"), Along::Onward).remove(0);
    assert_eq!(circuit, Circuit::RawWater);
    let way = told(&plant, &onward);
    let last = ["elbow", "exhaust-hose", "silencer", "outlet"];
    assert_eq!(way[..4], ["intake-port", "seacock-port", "strainer-port", "suction-hose"]);
    assert_eq!(way[way.len() - 4..], last, "water is followed into the gas: {way:?}");
    // Back from the pump there are two ways, one of them shut.
    let (_, back) = follow(&plant, id(&plant, "raw-pump"), Along::Back).remove(0);
    let End::Parts(ways) = &back.end else { panic!("{back:?}") };
    assert_eq!(ways[0].end, End::Sea);
    let other = ways.last().expect("two ways");
    assert_eq!(told(&plant, other), ["strainer-starboard"]);
    assert_eq!(other.end, End::Shut(id(&plant, "seacock-starboard")));
}

#[test]
fn oil_comes_back_to_where_it_was() {
    let plant = loaded(MARRAM);
    let (_, trail) = follow(&plant, id(&plant, "oil-pump"), Along::Onward).remove(0);
    let mut ends = Vec::new();
    gather(&trail, &mut ends);
    assert!(ends.contains(&End::Again(id(&plant, "oil-pump"))), "{ends:?}");
    assert!(told(&plant, &trail).contains(&"sump".into()));
    assert_eq!(turned_by(&plant, id(&plant, "raw-pump")), plant.part("belt-raw"));
    assert_eq!(turned_by(&plant, id(&plant, "belt-raw")), plant.part("main"));
    assert_eq!(turned_by(&plant, id(&plant, "main")), None);
    assert!(turns(&plant, id(&plant, "main")).contains(&id(&plant, "coolant-pump")));
}

fn gather(trail: &Trail, ends: &mut Vec<End>) {
    match &trail.end {
        End::Parts(ways) => ways.iter().for_each(|way| gather(way, ends)),
        end => ends.push(end.clone()),
    }
}

#[test]
fn a_strainer_between_two_valves_is_shut_off_by_these_two() {
    let plant = loaded(CHANGEABLE);
    let (fewest, nearest) = fences(&plant, "strainer-a");
    assert_eq!(names(&plant, &fewest.shut), ["in-a"], "behind it the water has no other way in");
    assert_eq!(names(&plant, &fewest.stay), ["out-b"]);
    assert!(names(&plant, &fewest.with).contains(&"raw-pump".into()), "so the pump is shut off with it");
    assert_eq!(names(&plant, &nearest.shut), ["in-a", "out-a"]);
    assert_eq!((nearest.stay, nearest.with), (Vec::new(), Vec::new()));
}

#[test]
fn with_the_other_one_in_use_two_valves_leave_it_so() {
    let mut plant = loaded(CHANGEABLE);
    plant.turn(&[(id(&plant, "in-b"), 1.0), (id(&plant, "out-b"), 1.0)]);
    let (fewest, nearest) = fences(&plant, "strainer-a");
    assert_eq!(names(&plant, &fewest.shut), ["seacock"], "one valve will do, and stops the rest");
    assert!(names(&plant, &fewest.with).contains(&"strainer-b".into()));
    assert_eq!(names(&plant, &nearest.shut), ["in-a", "out-a"], "two leave the other strainer in use");
    assert_eq!(nearest.with, Vec::new());
    plant.turn(&[(id(&plant, "in-a"), 0.0), (id(&plant, "out-a"), 0.0)]);
    assert!(is_shut_off(&plant, Circuit::RawWater, id(&plant, "strainer-a")));
}

#[test]
fn where_no_valve_stands_between_it_says_what_pours_in() {
    let plant = loaded(MARRAM);
    let seacock = closing(&plant, "seacock-port", Circuit::RawWater);
    let intake = vec![id(&plant, "intake-port")];
    assert_eq!(seacock.by, Shutting::Open { source: Source::Sea, through: intake });
    let filter = closing(&plant, "oil-filter", Circuit::Oil);
    assert!(matches!(filter.by, Shutting::Open { source: Source::Pool(pool), .. } if pool == id(&plant, "sump")));
}

/// Every set of open valves, smaller ones first: the first that shuts the part off is as large as ours.
#[track_caller]
fn held_to_all_sets(plant: &Plant) -> usize {
    let mut tried = 0;
    for part in (0..plant.parts.len()).map(PartId) {
        for Closing { circuit, by } in isolate(plant, part) {
            let valves: Vec<PartId> = plant.valves().filter(|v| !plant.is_shut(*v) && *v != part).collect();
            let shuts = |set: u32| {
                let mut plant = plant.clone();
                let chosen = valves.iter().enumerate().filter(|(k, _)| set >> k & 1 == 1);
                plant.turn(&chosen.map(|(_, valve)| (*valve, 0.0)).collect::<Vec<_>>());
                is_shut_off(&plant, circuit, part)
            };
            let fewest = (0..1_u32 << valves.len()).filter(|set| shuts(*set)).map(u32::count_ones).min();
            match by {
                Shutting::Open { .. } => assert_eq!(fewest, None, "{} in {circuit:?}", plant[part].name),
                Shutting::Valves { fewest: Fence { shut, .. }, nearest } => {
                    for valves in [&shut, &nearest.shut] {
                        let mut done = plant.clone();
                        done.turn(&valves.iter().map(|valve| (*valve, 0.0)).collect::<Vec<_>>());
                        assert!(is_shut_off(&done, circuit, part), "{} in {circuit:?}", plant[part].name);
                    }
                    assert_eq!(fewest, Some(shut.len() as u32), "{} in {circuit:?}", plant[part].name);
                    tried += usize::from(!shut.is_empty());
                }
            }
        }
    }
    tried
}

#[test]
fn no_smaller_set_of_valves_would_do() {
    assert!(held_to_all_sets(&loaded(MARRAM)) > 5);
    assert!(held_to_all_sets(&loaded(CHANGEABLE)) > 5);
    let (mut tried, mut several) = (0, 0);
    for seed in 0..60 {
        let plant = loaded(&network(seed));
        tried += held_to_all_sets(&plant);
        let most =
            (0..plant.parts.len()).flat_map(|part| isolate(&plant, PartId(part))).map(|closing| match closing.by {
                Shutting::Valves { fewest, .. } => fewest.shut.len(),
                Shutting::Open { .. } => 0,
            });
        several += usize::from(most.max() > Some(2));
    }
    assert!(tried > 400 && several > 15, "{tried} parts shut off, {several} nets that need three valves or more");
}

/// A suction of hoses and strainers in a row, with valves and plain hoses across, drawn by `seed`.
fn network(seed: u64) -> String {
    const ROW: usize = 6;
    let mut state = seed;
    // SplitMix64.
    let mut below = |n: usize| {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % n as u64) as usize
    };
    let mut valves = String::new();
    let mut count = 0;
    let mut between = |below: &mut dyn FnMut(usize) -> usize| {
        (below(3) > 0).then(|| {
            count += 1;
            let opening = if below(6) == 0 { 0 } else { 100 };
            let _ = write!(valves, "[part.v{count}]\nkind = \"valve\"\nopening = \"{opening} %\"\n");
            format!("\"v{count}\", ")
        })
    };
    let mut trunk = String::from("\"intake\", ");
    for k in 0..ROW {
        trunk += &between(&mut below).unwrap_or_default();
        let _ = write!(trunk, "\"hose-{k}\", ");
    }
    let mut branches = String::new();
    for _ in 0..3 + below(4) {
        let from = below(ROW - 1);
        let to = from + 1 + below(ROW - 1 - from);
        let from = if below(3) == 0 { "intake".to_string() } else { format!("hose-{from}") };
        let middle = between(&mut below).unwrap_or_else(|| format!("\"strainer-{from}-{to}\", "));
        let _ = write!(branches, "[\"{from}\", {middle}\"hose-{to}\"], ");
    }
    format!(
        "[engine.main]\nkind = \"diesel\"\n{valves}\n[circuit.raw-water]\npath = [{trunk}\"raw-pump\", \"exchanger\", \
         \"elbow\"]\npaths = [{branches}]\n"
    )
}

#[test]
fn a_line_up_that_was_renamed_since_still_tells_where_each_valve_went() {
    let plant = loaded(CHANGEABLE);
    let (all, findings) = turned("[[turned]]\nline-up = \"old name\"\nvalves = { in-a = \"shut\" }\n", &plant);
    assert_eq!(findings, Vec::new());
    assert_eq!(all[0].stands, [(id(&plant, "in-a"), 0.0)]);
    assert_eq!(turned("[[turned]]\nline-up = \"old name\"\n", &plant).1.len(), 1);
}
