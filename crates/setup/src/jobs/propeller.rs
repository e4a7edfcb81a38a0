//! Propeller: slip, the admiralty coefficient, and what pitch or diameter lets the engine reach its rated speed.

use super::asked;
use super::shared::{crossing, mm, pair, percent, show};
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refusal, Refused};
use crate::sketch::{Hold, Look, Sketch};
use crate::worked::Worked;
use measure::quantity::Quantity::{Length, Mass, Power, Ratio, RotationalSpeed, Velocity};
use measure::unit::convert_to;
use physics::propeller::{BSeries, admiralty_power, advance_ratio, advance_speed, geared, slip};
use std::f64::consts::{PI, TAU};

pub const JOB: Job = Job {
    word: "propeller",
    title: "Propeller: slip and pitch",
    about: "What slip the propeller runs with, what power another speed or weight takes, and what pitch lets the engine reach its rated speed.",
    group: Group::Judge,
    kinds: &["propeller"],
    task: None,
    asks: &[
        Ask::one(
            "boat-speed",
            "Speed through the water, both ways over a measured distance or by a log that was tried",
            Velocity,
            (0.1, 30.0),
        )
        .like("7.2 kn")
        .about(0.05),
        Ask::one("engine-speed", "Engine speed with it", RotationalSpeed, (10.0, 700.0)).like("1500 rpm").about(1.0),
        Ask::one("reduction", "Reduction of the gear, turns of the engine to one of the shaft", Ratio, (0.5, 8.0))
            .like("2.80")
            .of_plant(&[("gearbox", "reduction")]),
        Ask::one("propeller-pitch", "Pitch of the propeller, from its hub or its drawing", Length, (0.05, 5.0))
            .like("610 mm"),
        Ask::one(
            "propeller-diameter",
            "Diameter of the propeller; with it the pitch for rated speed is worked",
            Length,
            (0.1, 5.0),
        )
        .like("760 mm")
        .may(),
        Ask::one("blades", "Blades of the propeller, counted", Ratio, (2.0, 7.0))
            .like("4")
            .usual("3", "the commonest; from memory"),
        Ask::one("area-ratio", "Area of the blades over that of the disc", Ratio, (0.3, 1.05))
            .like("0.55")
            .usual("0.5", "from memory"),
        Ask::one(
            "wake",
            "How much slower the water runs at the propeller than she goes, as a share",
            Ratio,
            (0.0, 0.5),
        )
        .like("0.20")
        .usual("0.18", "full displacement hull with one screw, from memory")
        .about(0.04),
        Ask::one("rated-speed", "Engine speed that the maker rates her at", RotationalSpeed, (10.0, 700.0))
            .like("1800 rpm")
            .may()
            .of_plant(&[("diesel", "rated_speed")]),
        Ask::one(
            "reached-speed",
            "Engine speed that she reaches at full throttle, clean and deep laden",
            RotationalSpeed,
            (10.0, 700.0),
        )
        .like("1680 rpm")
        .may(),
        Ask::one("speed-reached", "Speed through the water at that", Velocity, (0.1, 30.0)).like("7.9 kn").may(),
        Ask::one("shaft-power", "Power at that boat speed, from fuel burnt or the engine's curve", Power, (100.0, 5e6))
            .like("51.4 kW")
            .may(),
        asked::DISPLACEMENT.may(),
        Ask::one("other-displacement", "What she is to weigh instead", Mass, (100.0, 2e6)).like("33 t").may(),
        Ask::one("other-speed", "Speed she is to make instead", Velocity, (0.1, 30.0)).like("7.6 kn").may(),
    ],
    work,
};

/// Slip that displacement craft run with, least and most [1]; from memory.
const USUAL_SLIP: (f64, f64) = (0.10, 0.45);
/// Greatest change of weight or speed that one coefficient is trusted over [1]; common practice, no source.
const TRUSTED: f64 = 0.15;
/// How sure a change of pitch or diameter by the series is, of itself [1]: a real screw, hull and engine differ. From memory.
const BY_SERIES: f64 = 0.1;
/// Pitch over diameter that the series holds [1].
const SERIES: (f64, f64) = (physics::propeller::LEAST_PITCH, 1.4);

fn work(given: &Given) -> Result<Worked, Refused> {
    let speed = given.value("boat-speed")?;
    let turns = geared(given.value("engine-speed")?, given.value("reduction")?) / TAU;
    let pitch = given.value("propeller-pitch")?;
    let apparent = slip(speed, pitch, turns);
    if apparent < -0.2 {
        return Err(Refused::together(
            format!(
                "She makes {} where the pitch alone gives {}: no propeller runs ahead of itself.",
                kn(speed),
                kn(pitch * turns)
            ),
            "Look at pitch, reduction and engine speed; measure the speed both ways, for current.",
        ));
    }
    let wake = given.value("wake")?;
    let real = slip(advance_speed(speed, wake), pitch, turns);
    let mut worked = Worked {
        says: format!(
            "Her pitch alone would make {}; at {} she slips {}.",
            kn(pitch * turns),
            kn(speed),
            percent(apparent)
        ),
        ..Worked::default()
    };
    worked.result("slip", "Slip by her own speed", apparent, Ratio, "%");
    worked.result("real-slip", "Slip by the water at the propeller", real, Ratio, "%");
    worked.result("pitch-speed", "What pitch and turns alone would make", pitch * turns, Velocity, "kn");
    worked.working(
        "slip = 1 − v / (pitch · n)",
        format!("n = {:.1} rpm; 1 − {} / {} = {}", turns * 60.0, kn(speed), kn(pitch * turns), percent(apparent)),
        "[Carlton4] ch. 3",
    );
    if !(USUAL_SLIP.0..=USUAL_SLIP.1).contains(&apparent) {
        worked.flags.push(format!(
            "A slip of {} is unusual for a displacement hull ({} to {}, from memory): first look at speed (current, log), at the \
             engine-speed gauge and at the pitch that is stamped in; then at growth.",
            percent(apparent), percent(USUAL_SLIP.0), percent(USUAL_SLIP.1),
        ));
    }
    admiralty(given, speed, &mut worked)?;
    reached(given, speed, &mut worked)?;
    if let Some(diameter) = given.maybe("propeller-diameter") {
        worked.sketch = Some(sketch(diameter, pitch, speed / turns));
    }
    Ok(worked)
}

fn kn(speed: f64) -> String {
    format!("{:.2} kn", convert_to(speed, Velocity, "kn").unwrap_or(speed))
}

/// Power at another weight or speed.
fn admiralty(given: &Given, speed: f64, worked: &mut Worked) -> Result<(), Refused> {
    let Some((weight, power)) = pair(given, "displacement", "shaft-power", "the admiralty coefficient")? else {
        for key in ["other-displacement", "other-speed"] {
            if given.maybe(key).is_some() {
                let advice = "Tell displacement=30 t and shaft-power=51.4 kW beside it.";
                return Err(Refused::of(key, "the power for it is worked from weight and power as tried", advice));
            }
        }
        return Ok(());
    };
    // The coefficient has tonnes, knots and kilowatts in it.
    let knots = |speed: f64| convert_to(speed, Velocity, "kn").unwrap_or(speed);
    let coefficient = admiralty_power(weight / 1e3, knots(speed), power / 1e3);
    worked.result("admiralty", "Admiralty coefficient (t, kn, kW)", coefficient, Ratio, "");
    worked.working(
        "C = displacement^(2/3) v³ / P",
        format!(
            "({})^(2/3) · ({})³ / {} = {coefficient:.1}",
            show(weight, Mass, "t"),
            kn(speed),
            show(power, Power, "kW")
        ),
        "[Carlton4] ch. 17; kept for small changes only",
    );
    let (other, fast) = (given.maybe("other-displacement"), given.maybe("other-speed"));
    if other.is_none() && fast.is_none() {
        return Ok(());
    }
    let (other, fast) = (other.unwrap_or(weight), fast.unwrap_or(speed));
    let wanted = 1e3 * admiralty_power(other / 1e3, knots(fast), coefficient);
    let says = format!("Power for {} at {}", kn(fast), show(other, Mass, "t"));
    worked.result("other-power", says, wanted, Power, "kW");
    worked.say(format!("{} at {} takes {}.", kn(fast), show(other, Mass, "t"), show(wanted, Power, "kW")));
    if (other / weight - 1.0).abs() > TRUSTED || (fast / speed - 1.0).abs() > TRUSTED {
        worked.flags.push(
            "That is far from what was tried: near her hull speed power grows faster than the third power of speed."
                .into(),
        );
    }
    Ok(())
}

/// The screw as it works at full throttle.
struct Working {
    blades: u32,
    area: f64,
    turns: f64,
    speed: f64,
    diameter: f64,
    pitch: f64,
}

impl Working {
    fn series(&self, diameter: f64, pitch: f64) -> BSeries {
        BSeries { pitch_ratio: pitch / diameter, area_ratio: self.area, blades: self.blades }
    }

    fn advance(&self) -> f64 {
        advance_ratio(self.speed, self.turns, self.diameter)
    }

    /// Torque over density and the square of turns [m⁵] of another screw that pushes the same hull.
    ///
    /// The hull's drag goes with the square of speed, so thrust over speed squared is what it is now: K_T D²/J² stays.
    fn torque(&self, diameter: f64, pitch: f64) -> Option<f64> {
        let now = self.series(self.diameter, self.pitch);
        let load = now.thrust_coefficient(self.advance()) * (self.diameter / self.advance()).powi(2);
        let other = self.series(diameter, pitch);
        let advance = crossing((0.01, 1.5), |j| load - other.thrust_coefficient(j) * (diameter / j).powi(2))?;
        Some(other.torque_coefficient(advance) * diameter.powi(5))
    }

    /// A change of the screw with which the torque that the engine gives turns it this fast [1/s].
    fn for_turns(&self, turns: f64, ends: (f64, f64), of: impl Fn(f64) -> (f64, f64)) -> Option<f64> {
        let has = self.torque(self.diameter, self.pitch)? * self.turns.powi(2);
        crossing(ends, |x| {
            let (diameter, pitch) = of(x);
            self.torque(diameter, pitch).map_or(f64::NAN, |torque| torque * turns * turns - has)
        })
    }
}

/// Whether the engine reaches its rated speed, and what lets it.
fn reached(given: &Given, speed: f64, worked: &mut Worked) -> Result<(), Refused> {
    let (Some(rated), Some(reached)) = (given.maybe("rated-speed"), given.maybe("reached-speed")) else {
        return Ok(());
    };
    if !(0.4..=1.3).contains(&(reached / rated)) {
        return Err(Refused(vec![Refusal {
            key: Some("reached-speed"),
            why: format!(
                "{} reached of {} rated cannot be",
                show(reached, RotationalSpeed, "rpm"),
                show(rated, RotationalSpeed, "rpm")
            ),
            advice: "Look at both, and at the gauge with a hand tachometer.".into(),
        }]));
    }
    let demand = (rated / reached).powi(3);
    worked.result(
        "demand",
        "Power that this propeller wants at rated speed, over what the engine has",
        demand,
        Ratio,
        "",
    );
    worked.working(
        "demand = (rated / reached)³",
        format!("({} / {})³ = {demand:.2}", show(rated, RotationalSpeed, "rpm"), show(reached, RotationalSpeed, "rpm")),
        "common practice, no source: the propeller law",
    );
    if demand <= 1.0 {
        worked.says += " She reaches rated speed: the governor holds her there, and how much the propeller leaves unused this cannot tell.";
        return Ok(());
    }
    let engine = given.value("engine-speed")?;
    let fast = given.maybe("speed-reached");
    if fast.is_none() && (reached / engine - 1.0).abs() > 0.02 {
        worked.flags.push("Her speed at full throttle is not told: it is taken as at the same slip.".into());
    }
    let fast = fast.unwrap_or(speed * reached / engine);
    let pitch = given.value("propeller-pitch")?;
    let thumb = pitch * reached / rated;
    worked.say(format!(
        "She falls short of rated speed by {}: the propeller is too much for the engine.",
        show(rated - reached, RotationalSpeed, "rpm")
    ));
    worked.step_with_care(
        "Before any propeller is touched: clean hull and propeller, and try again with weight as usual; then see that the throttle opens fully, the air and fuel filters are clean and the gauge is true.",
        "Until then stay below full throttle: an engine held under its rated speed burns hot.",
    );
    let Some(diameter) = given.maybe("propeller-diameter") else {
        worked.result("thumb-pitch", "Pitch by the rule of thumb (in proportion)", thumb, Length, "mm");
        worked.flags.push(
            "With propeller-diameter told, the pitch is worked by the propeller series too, which counts for more."
                .into(),
        );
        return Ok(());
    };
    let reduction = given.value("reduction")?;
    let now = Working {
        blades: given.value("blades")?.round() as u32,
        area: given.value("area-ratio")?,
        turns: geared(reached, reduction) / TAU,
        speed: advance_speed(fast, given.value("wake")?),
        diameter,
        pitch,
    };
    let ratio = pitch / diameter;
    let series = now.series(diameter, pitch);
    if !(SERIES.0..=SERIES.1).contains(&ratio) || now.advance() > 1.5 || series.thrust_coefficient(now.advance()) <= 0.0
    {
        return Err(Refused::together(
            format!(
                "The propeller series holds no screw of {ratio:.2} pitch to diameter that pushes at J = {:.2}.",
                now.advance()
            ),
            "Look at pitch, diameter, speed and reduction.",
        ));
    }
    let turns = geared(rated, reduction) / TAU;
    let new_pitch = now.for_turns(turns, (SERIES.0 * diameter, pitch), |pitch| (diameter, pitch));
    let least = (pitch / SERIES.1).max(0.5 * diameter);
    let new_diameter = now.for_turns(turns, (least, diameter), |diameter| (diameter, pitch));
    let mut changed = |key: &str, says: &str, was: f64, new: f64| {
        worked.result(key, says, new, Length, "mm");
        if let Some(result) = worked.results.last_mut() {
            result.doubt = Some(BY_SERIES * (was - new).abs());
        }
    };
    let less = |was: f64, new: f64| format!("{:.0} mm less", (was - new) * 1e3);
    if let Some(new) = new_pitch {
        changed("new-pitch", "Pitch that lets her reach rated speed, by the propeller series", pitch, new);
    }
    if let Some(new) = new_diameter {
        changed("new-diameter", "Or diameter, at the same pitch", diameter, new);
    }
    let other = new_diameter
        .map_or(String::new(), |new| format!("; or {} diameter ({:.0} mm)", less(diameter, new), new * 1e3));
    worked.say(match new_pitch {
        Some(new) => format!("{} pitch ({:.0} mm) lets her reach it{other}.", less(pitch, new), new * 1e3),
        None => format!("No pitch of the series lets her reach it at this diameter{other}."),
    });
    worked.result("thumb-pitch", "Pitch by the rule of thumb (in proportion)", thumb, Length, "mm");
    worked.working(
        "K_Q(J, P/D) n² D⁵ as the engine gives it, K_T D²/J² as the hull wants it",
        format!(
            "now J = {:.3}, P/D = {ratio:.3}, K_Q = {:.4}; the engine's torque at full throttle is taken as the same at both speeds",
            now.advance(), series.torque_coefficient(now.advance()),
        ),
        "[Oosterveld1975] table 5; hull drag with the square of speed, from memory",
    );
    worked.working(
        "pitch = pitch · reached / rated",
        format!("{} · {:.3} = {}", mm(pitch), reached / rated, mm(thumb)),
        "rule of thumb, common practice, no source: for comparison only",
    );
    worked.step("Have the propeller measured before it is repitched: what is stamped in is not always what it has, and blades differ.");
    worked.step("A shop can take out about an inch of pitch; more is another propeller (from memory). Try her again afterwards, deep laden.");
    Ok(())
}

/// One turn at seven tenths of the radius, unrolled: the pitch, and how far she gets.
fn sketch(diameter: f64, pitch: f64, advance: f64) -> Sketch {
    let round = 0.7 * PI * diameter;
    let mut sketch =
        Sketch::new("One turn unrolled at seven tenths of the radius: the pitch, and how far she gets in it.");
    sketch.line(Look::Thin, [(0.0, 0.0), (round, 0.0)]);
    sketch.line(Look::Firm, [(0.0, 0.0), (round, pitch)]);
    sketch.line(Look::Marked, [(0.0, 0.0), (round, advance)]);
    sketch.line(Look::Thin, [(round, 0.0), (round, pitch.max(advance))]);
    let beside = 0.05 * round;
    sketch.measure((round, pitch), (round, 0.0), 7.0 * beside, format!("pitch {}", mm(pitch)));
    sketch.measure((round, advance), (round, 0.0), beside, format!("advance {}", mm(advance)));
    sketch.letters((round / 2.0, -beside), Hold::Middle, format!("once round, {}", mm(round)));
    sketch
}
