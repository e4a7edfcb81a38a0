//! Keel cooler: the area that gives its heat to the sea, at the speeds she goes and lying still.

use super::asked;
use super::shared::{percent, show, table};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::Worked;
use measure::quantity::Quantity::{Area, Length, Power, Ratio, Temperature, Velocity, VolumeFlow};
use measure::unit::convert_to;
use physics::coolant::{Coolant, Glycol};
use physics::hull_cooler::{ALONG_HULL, INSIDE, Skin};

pub const JOB: Job = Job {
    word: "keel-cooler",
    title: "Size of a keel cooler",
    about: "How much pipe or channel on the hull gives the engine's heat to the sea, under way and lying still.",
    group: Group::Size,
    kinds: &["keel-cooler"],
    task: None,
    asks: &[
        Ask::one(
            "heat-to-sea",
            "Heat that the coolant brings at full load, from the engine's data sheet",
            Power,
            (500.0, 5e6),
        )
        .like("40 kW"),
        Ask::one("cooler-flow", "Coolant through the cooler", VolumeFlow, (1e-5, 0.1)).like("90 L/min"),
        Ask::one("cooler-inlet", "Hottest that the coolant may come into the cooler", Temperature, (300.0, 393.0))
            .like("85 °C")
            .usual("85 °C", "[Trade] 2.2, the warm end of 75 to 85 °C"),
        Ask::one("sea", "Warmest sea", Temperature, (271.0, 310.0))
            .like("30 °C")
            .usual("30 °C", "the tropics, common practice, no source"),
        Ask::one("slowest", "Slowest that she goes on full load for hours", Velocity, (0.0, 20.0))
            .like("6 kn")
            .usual("0 kn", "made fast or towing, the strictest"),
        Ask::choice(
            "cooler-make",
            "What it is made of",
            &[
                ("channel", "channel or half pipe of painted steel, welded on"),
                ("tube", "bare tubes of bronze or copper-nickel"),
            ],
        )
        .usual("channel", "the stricter"),
        Ask::one(
            "wetted-width",
            "Width of the channel on the sea, or the outside round of all tubes that lie side by side",
            Length,
            (0.01, 5.0),
        )
        .like("150 mm")
        .may(),
        Ask::one("passage-area", "Free section that the coolant flows through", Area, (1e-5, 0.2)).like("15 cm²").may(),
        Ask::one("cooler-area", "Area on the sea of the cooler that is there", Area, (1e-2, 200.0)).like("3 m²").may(),
        asked::ENGINE_POWER.may(),
    ],
    work,
};

/// Area that the figures of the model's keel cooler stand for [m²/W]: painted steel, up to 8 kn. Source: [Trade] 2.2.
const RATED_AREA: f64 = 0.050e-3;
/// Power of the engine that typical figures are given for [W].
const RATED_POWER: f64 = 60e3;
/// Speeds and areas for the power of the engine of the printed rule [m/s, m²/W]. Source: [Trade] 2.2; "slow" as 4 kn, from memory.
const RULE: [(f64, &str, f64); 4] = [
    (0.0, "lying still", 0.125e-3),
    (2.06, "slow", 0.062e-3),
    (3.6, "up to 8 kn", 0.050e-3),
    (5.1, "above 8 kn", 0.042e-3),
];
/// Speed that coolant should have inside, to carry heat and to wear nothing [m/s]; from memory.
const INSIDE_SPEED: (f64, f64) = (0.6, 2.5);

/// Figures of the kind of the model, of painted steel.
struct Figures {
    clean: f64,
    grown: f64,
    skin: Skin<f64>,
}

fn figures() -> Option<Figures> {
    let kind = parts::catalogue::find("keel-cooler")?;
    let of = |name: &str| kind.parameters.iter().find(|one| one.name == name).map(|one| one.typical.value);
    let area = RATED_AREA * RATED_POWER;
    Some(Figures {
        clean: area / of("clean_conductance")?,
        grown: of("fouling_resistance")? * area,
        skin: Skin {
            outside: of("outside")?,
            at_rest: of("at_rest")?,
            rated_boat_speed: of("rated_boat_speed")?,
            power: ALONG_HULL,
        },
    })
}

impl Figures {
    /// Resistance of a square metre [m² K/W] at a boat speed, the coolant so much over the sea; tubes have no wall of paint.
    fn resistance(&self, speed: f64, difference: f64, tube: bool) -> f64 {
        let whole = self.skin.resistance(speed, difference, 1.0);
        let wall = (1.0 - self.skin.outside) * (1.0 - INSIDE);
        self.clean * (whole - if tube { wall } else { 0.0 }) + self.grown
    }
}

fn m2(area: f64) -> String {
    show(area, Area, "m²")
}

fn kn(speed: f64) -> String {
    format!("{:.0} kn", convert_to(speed, Velocity, "kn").unwrap_or(speed))
}

fn work(given: &Given) -> Result<Worked, Refused> {
    let Some(figures) = figures() else {
        return Err(Refused::together(
            "The figures of a keel cooler are not there.",
            "Tell whoever keeps this program.",
        ));
    };
    let (heat, hot, sea) = (given.value("heat-to-sea")?, given.value("cooler-inlet")?, given.value("sea")?);
    let coolant = Coolant::by_volume(Glycol::Ethylene, 0.5);
    let flow = given.value("cooler-flow")?;
    let rate = flow * coolant.density(hot) * coolant.heat_capacity(hot);
    let difference = hot - sea;
    if difference < 5.0 {
        return Err(Refused::of(
            "cooler-inlet",
            "it is hardly warmer than the sea",
            "Tell the coolant where it leaves the engine.",
        ));
    }
    let out = hot - heat / rate;
    if out <= sea + 1.0 {
        return Err(Refused::of(
            "cooler-flow",
            format!("so little flow would have to come back at {}, colder than the sea", show(out, Temperature, "°C")),
            "More flow, or look at heat and flow.",
        ));
    }
    // Coolant that cools along the way, against a sea that does not warm.
    let conductance = -rate * (1.0 - heat / (rate * difference)).ln();
    let tube = given.word("cooler-make") == "tube";
    // The film outside feels the mean difference.
    let mean = heat / conductance;
    let area = |speed: f64| conductance * figures.resistance(speed, mean, tube);
    let slowest = given.value("slowest")?;
    let needed = area(slowest);
    let mut worked = Worked {
        says: format!(
            "It needs {} on the sea at {}; the coolant comes back at {}.",
            m2(needed),
            if slowest < 0.1 { "rest".into() } else { kn(slowest) },
            show(out, Temperature, "°C")
        ),
        ..Worked::default()
    };
    worked.result("area", "Area on the sea", needed, Area, "m²");
    worked.result("back", "Coolant comes back at", out, Temperature, "°C");
    if let Some(width) = given.maybe("wetted-width") {
        worked.result("length", "Length of it", needed / width, Length, "m");
        worked.say(format!("That is {} of its width.", show(needed / width, Length, "m")));
    }
    if let Some(section) = given.maybe("passage-area") {
        let speed = flow / section;
        worked.result("inside-speed", "Speed of the coolant inside", speed, Velocity, "m/s");
        if !(INSIDE_SPEED.0..=INSIDE_SPEED.1).contains(&speed) {
            worked.flags.push(format!(
                "The coolant runs at {} inside; {} to {} m/s carries heat well and wears nothing (from memory).",
                show(speed, Velocity, "m/s"),
                INSIDE_SPEED.0,
                INSIDE_SPEED.1
            ));
        }
    }
    if let Some(there) = given.maybe("cooler-area") {
        worked.result("share-there", "The cooler that is there, of what is needed", there / needed, Ratio, "%");
        if there < needed {
            worked.flags.push(format!(
                "The cooler that is there has {} of the area: full load for hours overheats her at this speed.",
                percent(there / needed)
            ));
        }
    }
    let rule = given.maybe("engine-power");
    let rows = [0.0, 2.0, 4.0, 6.0, 8.0, 10.0].map(|knots| {
        let speed = knots * 1852.0 / 3600.0;
        let printed = RULE
            .iter()
            .rev()
            .find(|(from, ..)| speed >= *from - 0.01)
            .zip(rule)
            .map_or("–".into(), |((_, _, k), power)| m2(k * power));
        vec![
            format!("{knots} kn"),
            m2(area(speed)),
            show(1.0 / figures.resistance(speed, mean, tube), Ratio, ""),
            printed,
        ]
    });
    worked.tables.push(table(
        "Area over boat speed",
        &["speed", "area", "W/(m² K)", "printed rule for painted steel"],
        rows.into(),
    ));
    worked.working(
        "U A = −C ln(1 − Q / (C (T − T_sea)))",
        format!(
            "C = {:.0} W/K, {} over the sea by {:.0} K: {:.0} W/K",
            rate,
            show(hot, Temperature, "°C"),
            difference,
            conductance
        ),
        "an exchanger whose other side does not warm, [Incropera6] ch. 11",
    );
    worked.working(
        "U = 1 / (film outside by boat speed and by itself + wall and paint + film inside + growth)",
        format!("{:.0} W/(m² K) at the slowest", 1.0 / figures.resistance(slowest, mean, tube)),
        "the law of her keel cooler: [Incropera6] ch. 7 to 9, set to the areas of [Trade] 2.2",
    );
    if slowest > 0.1 {
        worked.flags.push(format!(
            "Lying still on the same load, as made fast or with a generator, it takes {}.",
            m2(area(0.0))
        ));
    }
    worked.flags.push("Growth that is usual between two cleanings is in it; paint never goes on bare tubes, and a box inside the hull with a missing baffle cools nothing.".into());
    worked.step_with_care(
        "Test it at the dock, made fast and in gear at full load for an hour, with someone at the lines: no creep of the coolant after a quarter of an hour.",
        "Lines part under full load: nobody in their way, and ask the harbour first.",
    );
    Ok(worked)
}
