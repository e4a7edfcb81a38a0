//! Grade of the engine oil for a climate: what cranks and pumps cold, and how thick it is warm.

use super::asked;
use super::oils;
use super::shared::{celsius, graph, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::sketch::{Look, Sketch};
use crate::worked::Worked;
use measure::quantity::Quantity::{DynamicViscosity, KinematicViscosity, Temperature};
use physics::constants::ZERO_CELSIUS;
use physics::oil::{GRADES, Oil, PUMPED, TYPICAL};

pub const JOB: Job = Job {
    word: "oil-grade",
    title: "Grade of the engine oil",
    about: "Which grade of oil cranks and pumps at the coldest start, and how thick it is when warm.",
    group: Group::Size,
    kinds: &["sump"],
    task: None,
    asks: &[
        Ask::one(
            "coldest-start",
            "Coldest that engine and oil are started at, without heating",
            Temperature,
            (225.0, 320.0),
        )
        .like("-5 °C"),
        asked::WARM_OIL,
        asked::OIL_GRADE.may(),
        asked::VISCOSITY_40.may(),
        asked::VISCOSITY_100.may(),
        Ask::one("thinnest", "Thinnest that the bearings are to run on, warm", KinematicViscosity, (2e-6, 1e-4))
            .like("10 cSt")
            .usual("10 cSt", "slow engines, from memory; the engine's manual counts"),
        Ask::one("thickest", "Thickest that it is to be, warm", KinematicViscosity, (3e-6, 3e-4))
            .like("25 cSt")
            .usual("25 cSt", "from memory; the engine's manual counts"),
    ],
    work,
};

/// Viscosity at which a starter hardly turns an engine [Pa s]; from memory, the limits of the winter grades lie about it.
const STIFF: f64 = 7.0;

fn cst(viscosity: f64) -> String {
    show(viscosity, KinematicViscosity, "cSt")
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let (cold, warm) = (given.value("coldest-start")?, given.value("warm-oil")?);
    let (thin, thick) = (given.value("thinnest")?, given.value("thickest")?);
    if thin >= thick {
        return Err(Refused::of("thinnest", "it is not below `thickest`", "Look whether they are exchanged."));
    }
    if cold >= warm {
        return Err(Refused::of(
            "coldest-start",
            "she is not started hotter than she runs",
            "Look at coldest-start and warm-oil.",
        ));
    }
    // The winter grade that needs the least: the last whose cranking test is as cold as the start.
    let cranks = GRADES.iter().rfind(|grade| grade.cranking.is_some_and(|(_, at)| at <= cold));
    let window = |viscosity: f64| {
        if viscosity < thin {
            "too thin"
        } else if viscosity > thick {
            "too thick"
        } else {
            "yes"
        }
    };
    let fits = |name: &str, oil: &Oil| {
        let cranked = oils::winter(name)
            .map_or(oil.viscosity(cold) <= STIFF, |winter| winter.cranking.is_some_and(|(_, at)| at <= cold));
        (cranked, window(oil.kinematic_viscosity(warm)))
    };
    let typical =
        TYPICAL.map(|(name, nu40_m2s, nu100_m2s)| (name, Oil { nu40_m2s, nu100_m2s, density_15: Oil::USUAL_DENSITY }));
    let good: Vec<&str> =
        typical.iter().filter(|(name, oil)| fits(name, oil) == (true, "yes")).map(|(name, _)| *name).collect();
    let says = match cranks {
        Some(grade) => {
            format!("For starts at {} a {} or a smaller number before the W cranks.", celsius(cold), grade.name)
        }
        None => format!("No grade is tested for starts at {}: heat engine and oil first.", celsius(cold)),
    };
    let mut worked = Worked { says, ..Worked::default() };
    worked.say(if good.is_empty() {
        format!("No usual oil also keeps within {} and {} at {}.", cst(thin), cst(thick), celsius(warm))
    } else {
        format!("Within {} and {} at {} too: {}.", cst(thin), cst(thick), celsius(warm), good.join(", "))
    });
    let rows = typical.iter().map(|(name, oil)| {
        let (cranked, warm_fit) = fits(name, oil);
        let pumped = oils::winter(name)
            .and_then(|winter| winter.cranking)
            .map_or("not tested".into(), |(_, at)| celsius(at - PUMPED.0));
        vec![
            (*name).into(),
            if cranked { "yes" } else { "no" }.into(),
            pumped,
            cst(oil.kinematic_viscosity(warm)),
            warm_fit.into(),
        ]
    });
    worked.tables.push(table(
        format!("Typical oils: a start at {}, and warm at {}", celsius(cold), celsius(warm)),
        &["grade", "cranks", "pumped down to", "warm", "in the window"],
        rows.collect(),
    ));
    if let Some(oil) = oils::told(given)? {
        own(given, &oil, cold, warm, (thin, thick), &mut worked);
    }
    worked.working(
        "winter grades: most cranking viscosity at a temperature, and still pumped 5 K below it (60 Pa s at most)",
        GRADES
            .iter()
            .filter_map(|grade| {
                grade.cranking.map(|(most, at)| format!("{} {:.1} Pa s at {}", grade.name, most, celsius(at)))
            })
            .collect::<Vec<_>>()
            .join("; "),
        "[J300] table 1; pumping from memory",
    );
    worked.working("log log (ν + 0.7) straight over log T", "through the viscosities at 40 and 100 °C", "[D341]");
    worked.flags.push(
        "The engine's manual goes before this: it names grade, class and the ash that seals and bearings stand.".into(),
    );
    worked.step_with_care(
        "Change grade with the oil: drain warm, new filter, and look at the pressure warm at idle afterwards; that is the proof.",
        "Hot oil burns; catch it, and none in the bilge.",
    );
    worked.sketch = Some(sketch(&typical, cold, warm, (thin, thick)));
    Ok(worked)
}

fn own(given: &Given, oil: &Oil, cold: f64, warm: f64, (thin, thick): (f64, f64), worked: &mut Worked) {
    let hot = oil.kinematic_viscosity(warm);
    worked.result("warm-viscosity", "Hers, warm", hot, KinematicViscosity, "cSt");
    worked.result(
        "cold-viscosity",
        "Hers at the coldest start, by the straight line of [D341], at rest",
        oil.viscosity(cold),
        DynamicViscosity,
        "Pa s",
    );
    if hot < thin {
        worked.flags.push(format!(
            "Hers is {} warm, thinner than {}: a higher number behind the dash, or cooler oil.",
            cst(hot),
            cst(thin)
        ));
    } else if hot > thick {
        worked.flags.push(format!(
            "Hers is {} warm, thicker than {}: a lower number, or it never gets warm.",
            cst(hot),
            cst(thick)
        ));
    }
    match oils::winter(given.text("oil-grade")).and_then(|winter| winter.cranking) {
        Some((most, at)) => {
            worked.result("cranks-to", "Hers is tested to crank down to", at, Temperature, "°C");
            worked.result("pumped-to", "and to be pumped down to", at - PUMPED.0, Temperature, "°C");
            if at > cold {
                worked.flags.push(format!("Hers is tested to crank ({} at most) at {}, not at {}.", show(most, DynamicViscosity, "Pa s"), celsius(at), celsius(cold)));
            }
        }
        None if oil.viscosity(cold) > STIFF => worked.flags.push(format!(
            "Without a W it is not tested cold; by the straight line it stands at {} at {}, more than a starter turns: heat it first.",
            show(oil.viscosity(cold), DynamicViscosity, "Pa s"), celsius(cold),
        )),
        None => {}
    }
}

fn sketch(typical: &[(&str, Oil)], cold: f64, warm: f64, (thin, thick): (f64, f64)) -> Sketch {
    let low = (warm - ZERO_CELSIUS - 40.0).max(cold - ZERO_CELSIUS).floor();
    let ends = (low, warm - ZERO_CELSIUS + 20.0);
    let curve = |oil: &Oil| -> Vec<(f64, f64)> {
        let at = |k: i32| ends.0 + (ends.1 - ends.0) * f64::from(k) / 60.0;
        (0..=60).map(|k| (at(k), 1e6 * oil.kinematic_viscosity(at(k) + ZERO_CELSIUS))).collect()
    };
    let shown = ["20", "30", "15W-40", "50"];
    let mut lines: Vec<_> = typical
        .iter()
        .filter(|(name, _)| shown.contains(name))
        .map(|(name, oil)| (Look::Thin, curve(oil), (*name).to_string()))
        .collect();
    for limit in [thin, thick] {
        lines.push((
            Look::Dashed,
            vec![ends, ends]
                .into_iter()
                .enumerate()
                .map(|(k, ends)| (if k == 0 { ends.0 } else { ends.1 }, 1e6 * limit))
                .collect(),
            String::new(),
        ));
    }
    let at = warm - ZERO_CELSIUS;
    lines.push((Look::Marked, vec![(at, 1e6 * thin), (at, 1e6 * thick)], String::new()));
    graph(
        "Viscosity of usual oils over temperature, with the window at the warm oil.",
        ("oil temperature [°C]", ends),
        ("viscosity [cSt]", (0.0, 2.0e6 * thick)),
        &lines,
    )
}
