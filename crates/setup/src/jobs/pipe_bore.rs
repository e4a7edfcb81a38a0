//! Bore of a pipe or hose: speed, loss, and on a suction the vacuum and what is left for the pump.

use super::asked;
use super::shared::{HOSES, celsius, crossing, mm, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::Worked;
use measure::quantity::Quantity::{Length, PressureDifference, Ratio, Temperature, Velocity, VolumeFlow};
use physics::constants::{ATMOSPHERE, GRAVITY};
use physics::contents::Contents;
use physics::coolant::Glycol;
use physics::flow::{ENTRANCE, EXIT, elbow, gate_valve, pipe_drop, reynolds, suction_head, velocity};

pub const JOB: Job = Job {
    word: "pipe-bore",
    title: "Bore of a pipe or hose",
    about: "How wide a pipe must be for its flow, what it loses, and on a suction what vacuum stands at the pump.",
    group: Group::Size,
    kinds: &["hose"],
    task: None,
    asks: &[
        Ask::one("pipe-flow", "Flow through it", VolumeFlow, (1e-7, 1.0)).like("150 L/min"),
        Ask::choice(
            "liquid",
            "What flows",
            &[
                ("sea-water", "sea water"),
                ("fresh-water", "fresh water"),
                ("coolant", "half glycol, half water"),
                ("diesel", "diesel fuel"),
                ("oil", "lubricating or hydraulic oil of some 110 cSt at 40 °C"),
            ],
        )
        .usual("sea-water", "the commonest"),
        Ask::one("liquid-temperature", "Its temperature", Temperature, (253.0, 420.0))
            .like("20 °C")
            .usual("20 °C", "none told"),
        Ask::choice("pipe-side", "On which side of the pump", &[("suction", "before it"), ("discharge", "behind it")])
            .usual("suction", "the stricter"),
        Ask::one("pipe-length", "Length of it", Length, (0.01, 200.0)).like("4 m").of_plant(&[("hose", "length")]),
        asked::BENDS,
        Ask::one("valves", "Ball or gate valves of full bore in it, counted", Ratio, (0.0, 40.0))
            .like("1")
            .usual("0", "none told"),
        Ask::one(
            "fitting-loss",
            "Other fittings, in velocity heads together (a strainer some 2 to 6)",
            Ratio,
            (0.0, 500.0),
        )
        .like("2.5")
        .usual("0", "none told"),
        Ask::one("pipe-roughness", "Roughness of its wall", Length, (0.0, 5e-3))
            .like("0.03 mm")
            .usual("0.03 mm", "hose or drawn tube, common practice, no source")
            .of_plant(&[("hose", "roughness")]),
        Ask::one(
            "pump-height",
            "Height of the pump over the surface it draws from; minus where it lies below",
            Length,
            (-10.0, 10.0),
        )
        .like("-0.4 m")
        .usual("0 m", "none told")
        .only("pipe-side", &["suction"]),
        Ask::one("velocity-limit", "Most speed in it", Velocity, (0.1, 20.0)).like("1.5 m/s").may(),
        Ask::one("drop-limit", "Most that it may lose", PressureDifference, (100.0, 1e6)).like("10 kPa").may(),
        Ask::one("bore", "Bore of the pipe that is there", Length, (0.003, 0.5))
            .like("51 mm")
            .may()
            .of_plant(&[("hose", "bore")]),
    ],
    work,
};

/// Most speed before and behind the pump, of thin liquids and of oil [m/s]. Source: [Trade] 2.1 (water); oil from memory.
const WATER: (f64, f64) = (1.5, 3.0);
const OIL: (f64, f64) = (0.8, 3.0);
/// Vacuum that pumps aboard draw without trouble [Pa]: a flexible impeller, from memory; a lift pump, [Trade] 2.4.
const DRAWS: (f64, f64) = (25e3, 17e3);
/// Least head over vapour pressure that a pump wants, where its maker says nothing [m]; from memory.
const LEAST_HEAD: f64 = 4.0;

fn contents(word: &str) -> Contents {
    match word {
        "fresh-water" => Contents::FreshWater,
        "coolant" => Contents::Coolant { glycol: Glycol::Ethylene, volume_fraction: 0.5 },
        "diesel" => Contents::Fuel,
        "oil" => Contents::Oil { nu40_m2s: 110e-6, nu100_m2s: 14.7e-6, dilution: 0.0 },
        _ => Contents::OCEAN,
    }
}

struct Pipe {
    flow: f64,
    density: f64,
    viscosity: f64,
    length: f64,
    roughness: f64,
    bends: f64,
    valves: f64,
    other: f64,
}

impl Pipe {
    /// Loss of the fittings in velocity heads, with the opening at its end [1].
    fn fittings(&self, bore: f64) -> f64 {
        self.other + self.bends * elbow(bore) + self.valves * gate_valve(bore)
    }

    fn drop(&self, bore: f64) -> f64 {
        pipe_drop(
            self.flow * self.density,
            self.length,
            bore,
            self.roughness,
            self.fittings(bore),
            self.density,
            self.viscosity,
        )
    }

    fn speed(&self, bore: f64) -> f64 {
        velocity(self.flow * self.density, bore, self.density)
    }
}

fn kpa(pressure: f64) -> String {
    show(pressure, PressureDifference, "kPa")
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let (liquid, warm) = (contents(given.word("liquid")), given.value("liquid-temperature")?);
    let suction = given.word("pipe-side") == "suction";
    let pipe = Pipe {
        flow: given.value("pipe-flow")?,
        density: liquid.density(warm),
        viscosity: liquid.viscosity(warm),
        length: given.value("pipe-length")?,
        roughness: given.value("pipe-roughness")?,
        bends: given.value("bends")?,
        valves: given.value("valves")?,
        other: given.value("fitting-loss")? + if suction { ENTRANCE } else { EXIT },
    };
    let usual = if given.word("liquid") == "oil" { OIL } else { WATER };
    let fastest = given.maybe("velocity-limit").unwrap_or(if suction { usual.0 } else { usual.1 });
    let most = given.maybe("drop-limit").unwrap_or(f64::INFINITY);
    let fits = |bore: f64| pipe.speed(bore) <= fastest && pipe.drop(bore) <= most;
    let room = |bore: f64| {
        let drop = if most.is_finite() { 1.0 - pipe.drop(bore) / most } else { 1.0 };
        drop.min(1.0 - pipe.speed(bore) / fastest)
    };
    let needed = crossing((1e-3, 2.0), room).ok_or_else(|| {
        Refused::together("No bore from 1 mm to 2 m does this.", "Look at flow, length and the limits.")
    })?;
    let chosen = HOSES.into_iter().find(|bore| fits(*bore));
    let says = match chosen {
        Some(bore) => {
            format!("Take {}: {} and {} lost.", mm(bore), show(pipe.speed(bore), Velocity, "m/s"), kpa(pipe.drop(bore)))
        }
        None => format!("No usual hose is wide enough: it needs {}.", mm(needed)),
    };
    let mut worked = Worked { says, ..Worked::default() };
    worked.result("needed-bore", "Bore that just meets the limits", needed, Length, "mm");
    let there = given.maybe("bore");
    let shown = chosen.into_iter().map(|bore| (bore, "chosen")).chain(there.map(|bore| (bore, "there")));
    let height = given.value("pump-height")?;
    for (bore, which) in shown {
        let key = |what: &str| format!("{what}-{which}-{}", mm(bore).replace(' ', "-"));
        let of = if which == "there" { "that is there" } else { "chosen" };
        worked.result(
            key("velocity"),
            format!("Speed in the pipe {of}, {}", mm(bore)),
            pipe.speed(bore),
            Velocity,
            "m/s",
        );
        worked.result(key("drop"), format!("Lost in it, {}", mm(bore)), pipe.drop(bore), PressureDifference, "kPa");
        if suction {
            let vacuum = vacuum(&pipe, bore, height);
            worked.result(
                key("vacuum"),
                format!("Vacuum that a gauge shows at the pump, {}", mm(bore)),
                vacuum,
                PressureDifference,
                "kPa",
            );
            if let Some(vapour) = liquid.saturation_pressure(warm) {
                let head = suction_head(ATMOSPHERE, vapour, pipe.drop(bore), -height, pipe.density);
                worked.result(
                    key("suction-head"),
                    format!("Head left for the pump (NPSH available), {}", mm(bore)),
                    head,
                    Length,
                    "m",
                );
                if head < LEAST_HEAD {
                    worked.flags.push(format!(
                        "With {} only {} of head are left over what boils: most pumps want more and cavitate.",
                        mm(bore),
                        show(head, Length, "m")
                    ));
                }
            }
            let draws = if given.word("liquid") == "diesel" { DRAWS.1 } else { DRAWS.0 };
            if vacuum > draws {
                worked.flags.push(format!("With {} a vacuum of {} stands at the pump, more than {}: a wider or shorter pipe, or the pump lower.", mm(bore), kpa(vacuum), kpa(draws)));
            }
        }
        if which == "there" && !fits(bore) {
            worked.flags.push(format!(
                "The pipe that is there is too narrow: {} and {} lost.",
                show(pipe.speed(bore), Velocity, "m/s"),
                kpa(pipe.drop(bore))
            ));
        }
    }
    let rows = HOSES.into_iter().filter(|bore| (0.4..2.6).contains(&(bore / needed)));
    worked.tables.push(table(
        "Hoses on sale",
        &["bore", "speed", "lost", "vacuum at the pump", "fits"],
        rows.map(|bore| {
            let drawn = match vacuum(&pipe, bore, height) {
                _ if !suction => "–".into(),
                vacuum if vacuum >= ATMOSPHERE => "more than there is".into(),
                vacuum => kpa(vacuum),
            };
            vec![
                mm(bore),
                show(pipe.speed(bore), Velocity, "m/s"),
                kpa(pipe.drop(bore)),
                drawn,
                if fits(bore) { "yes" } else { "no" }.into(),
            ]
        })
        .collect(),
    ));
    let bore = there.or(chosen).unwrap_or(needed);
    worked.working(
        "Δp = (f L/D + ΣK) ρ v²/2",
        format!(
            "in {}: v = {}, Re = {:.0}, ρ = {} kg/m³ at {}, ΣK = {:.2} with the opening at its end: {}",
            mm(bore),
            show(pipe.speed(bore), Velocity, "m/s"),
            reynolds(pipe.flow * pipe.density, bore, pipe.viscosity),
            pipe.density.round(),
            celsius(warm),
            pipe.fittings(bore),
            kpa(pipe.drop(bore)),
        ),
        "[White7] eq. 6.10, friction [Zigrang1982], bends and valves [Crane410] p. A-28 and A-30",
    );
    if suction {
        worked.working(
            "vacuum = Δp + ρ g h + ρ v²/2;  NPSH = (atmosphere − vapour − Δp) / (ρ g) − h",
            format!("h = {}", show(height, Length, "m")),
            "[Crane410] ch. 2",
        );
    }
    worked.working(
        "most speed",
        show(fastest, Velocity, "m/s"),
        if given.maybe("velocity-limit").is_some() { "told" } else { "[Trade] 2.1; oil from memory" },
    );
    worked.step_with_care(
        "On a suction take hose with a wire in it, two clamps at each end, no high bend where air gathers, and as few fittings narrower than the hose as can be.",
        "A raw-water hose that comes off below the waterline sinks her: shut the seacock before it is touched, and know where it is.",
    );
    Ok(worked)
}

/// Vacuum at the pump [Pa]: what is lost, what is lifted, and what sets it moving.
fn vacuum(pipe: &Pipe, bore: f64, height: f64) -> f64 {
    pipe.drop(bore) + pipe.density * (GRAVITY * height + pipe.speed(bore).powi(2) / 2.0)
}
