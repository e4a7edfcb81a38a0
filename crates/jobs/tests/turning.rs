//! What comes of turning valves, how a part is taken out, and what could leak into what.

use jobs::take_out::{Running, TakeOut};
use jobs::turning::{Effect, STOPPED, Turning};
use model::steady::Model;
use model::touching::{Side, touching};
use parts::laws::Point;
use plant::evidence::ToldPoint;
use plant::plant::{PartId, Plant};
use plant::reader::read;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");
/// Marram's raw water with an inlet and an outlet valve at each strainer, as of a vessel that cleans one under way.
const CHANGEABLE: &str = r#"
[engine.main]
kind = "diesel"
rated = { power = "74 kW", speed = "1700 rpm" }

[part.in-a]
kind = "valve"
[part.out-a]
kind = "valve"
[part.in-b]
kind = "valve"
opening = "0 %"
[part.out-b]
kind = "valve"
opening = "0 %"
[part.delivery]
kind = "valve"

[circuit.raw-water]
path = ["intake", "seacock", "in-a", "strainer-a", "out-a", "raw-pump", "delivery", "exchanger", "elbow"]
paths = [["seacock", "in-b", "strainer-b", "out-b", "raw-pump"]]
"#;

#[track_caller]
fn model(text: &str) -> Model {
    let (plant, findings) = read(text);
    let plant = plant.unwrap_or_else(|| panic!("{findings:?}"));
    Model::new(&plant).expect("it can be worked out")
}

fn cruise(model: &Model) -> Point<f64> {
    model::point::told(&model.plant, &ToldPoint::default()).0
}

#[track_caller]
fn id(plant: &Plant, name: &str) -> PartId {
    plant.part(name).unwrap_or_else(|| panic!("{name} is there"))
}

#[track_caller]
fn effects(model: &mut Model, turned: &[(&str, f64)]) -> Vec<Effect> {
    let turned: Vec<(PartId, f64)> = turned.iter().map(|(name, to)| (id(&model.plant, name), *to)).collect();
    let point = cruise(model);
    Turning { model, point }.effects(&turned)
}

#[test]
fn nothing_comes_of_turning_nothing() {
    let mut model = model(MARRAM);
    assert_eq!(effects(&mut model, &[]), Vec::new());
    let starboard = effects(&mut model, &[("seacock-starboard", 1.0)]);
    assert!(!starboard.iter().any(Effect::harms), "{starboard:?}");
}

#[test]
fn without_the_sea_the_pump_runs_dry_and_the_coolant_boils() {
    let mut model = model(MARRAM);
    let pump = id(&model.plant, "raw-pump");
    let found = effects(&mut model, &[("seacock-port", 0.0)]);
    assert!(found.contains(&Effect::RunsDry { pump }), "{found:?}");
    // [Trade] 2.1: an engine that loses its raw water at load is too hot within minutes.
    let boils =
        found.iter().find_map(|effect| if let Effect::Boils { minutes, .. } = effect { *minutes } else { None });
    assert!(boils.is_some_and(|minutes| (1.0..20.0).contains(&minutes)), "{found:?}");
    let stopped = found
        .iter()
        .any(|effect| matches!(effect, Effect::Starves { flows, left } if *left < STOPPED && flows.len() > 5));
    assert!(stopped, "{found:?}");
}

#[test]
fn a_pump_against_a_shut_pipe_is_no_dry_pump() {
    let mut model = model(CHANGEABLE);
    let pump = id(&model.plant, "raw-pump");
    let found = effects(&mut model, &[("delivery", 0.0)]);
    let pressure = found.iter().find_map(|effect| match effect {
        Effect::DeadHeads { pump: it, pressure } if *it == pump => Some(*pressure),
        _ => None,
    });
    // A flexible impeller slips all it moves at a few bar at most.
    assert!(pressure.is_some_and(|p| (5e4..6e5).contains(&p)), "{found:?}");
    assert!(!found.contains(&Effect::RunsDry { pump }));
}

#[test]
fn a_strainer_is_changed_over_before_it_is_taken_out() {
    // Common practice, no source: the other side is opened first, inlet before outlet, then the outlet of this side is shut,
    // then its inlet; both outlets are never shut together.
    let mut model = model(CHANGEABLE);
    let strainer = id(&model.plant, "strainer-a");
    let point = cruise(&model);
    let TakeOut { running, stopped, open, .. } = Turning { model: &mut model, point }.take_out(strainer);
    assert_eq!(open, Vec::new());
    let Running::Can { plan, fastest, effects } = running else { panic!("{running:?}") };
    let steps: Vec<String> = plan
        .steps
        .iter()
        .map(|step| format!("{} {}", model.plant[step.valve].name, model.plant[step.valve].kind.stands(step.to)))
        .collect();
    assert_eq!(steps, ["in-b open", "out-b open", "out-a shut", "in-a shut"]);
    assert!((fastest - model.plant.rated_speed).abs() < 1e-9, "the strainers are alike");
    assert!(!effects.iter().any(Effect::harms), "{effects:?}");
    assert_eq!(stopped.steps.len(), 1, "stopped, the inlet alone will do");
    assert_eq!(model.plant[stopped.steps[0].valve].name, "in-a");
}

#[test]
fn where_no_other_way_is_she_must_stop() {
    let mut model = model(MARRAM);
    let strainer = id(&model.plant, "strainer-port");
    let point = cruise(&model);
    let TakeOut { running, stopped, .. } = Turning { model: &mut model, point }.take_out(strainer);
    let pump = id(&model.plant, "raw-pump");
    let Running::Cannot { effects } = running else { panic!("{running:?}") };
    assert!(effects.contains(&Effect::RunsDry { pump }), "{effects:?}");
    assert_eq!(model.plant[stopped.steps[0].valve].name, "seacock-port");
    assert_eq!(stopped.stay, [id(&model.plant, "seacock-starboard")]);
}

#[test]
fn what_leaks_into_what_follows_from_the_pressures() {
    let mut model = model(MARRAM);
    let point = cruise(&model);
    let figures = model.figures.clone();
    let running = model.solve(&figures, &point, None).expect("it runs");
    let at_rest = Point { speed: 0.0, load: 0.0, ..point };
    let stopped = model.solve(&figures, &at_rest, None).expect("it stands");
    let all = touching(&model, &running, &stopped);
    let of = |part: &str, wall: &str| {
        let found = all.iter().find(|t| model.plant[t.part].name == part && t.wall.name == wall);
        found.unwrap_or_else(|| panic!("{part}: {wall}"))
    };
    // Oil at some bar goes into the water of its cooler while she runs; common practice, no source.
    assert!(matches!(of("oil-cooler", "the tubes").running, Side::Inside(over) if over > 1e5));
    // A firing cylinder blows into the coolant.
    assert!(matches!(of("main", "the head gasket").running, Side::Beyond(_)));
    // Under a tight cap hot coolant presses harder than raw water near the open end.
    assert!(!matches!(of("exchanger", "the tubes").running, Side::Beyond(_)));
}
