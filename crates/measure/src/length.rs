//! Lengths as the trade writes them: feet with inches, and pipes by their nominal size.

use crate::number;

/// One foot [m], one inch [m]: exact by definition.
const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;

/// Pipes by nominal size: DN, inches, and outside diameter and wall of schedule 40, both in inches.
///
/// # Source
/// [ASMEB3610] table 1 (and ISO 6708 for the DN numbers); BSP pipe of the same size differs by a millimetre or less.
const PIPES: [(u32, f64, f64, f64); 16] = [
    (6, 0.125, 0.405, 0.068),
    (8, 0.25, 0.540, 0.088),
    (10, 0.375, 0.675, 0.091),
    (15, 0.5, 0.840, 0.109),
    (20, 0.75, 1.050, 0.113),
    (25, 1.0, 1.315, 0.133),
    (32, 1.25, 1.660, 0.140),
    (40, 1.5, 1.900, 0.145),
    (50, 2.0, 2.375, 0.154),
    (65, 2.5, 2.875, 0.203),
    (80, 3.0, 3.500, 0.216),
    (90, 3.5, 4.000, 0.226),
    (100, 4.0, 4.500, 0.237),
    (125, 5.0, 5.563, 0.258),
    (150, 6.0, 6.625, 0.280),
    (200, 8.0, 8.625, 0.322),
];
/// What says that inches are a pipe's nominal size.
const NOMINAL: [&str; 4] = ["nps", "npt", "bsp", "pipe"];

/// A length that is more than a number and a unit: "6 ft 3 in", "DN 40", "1-1/4 in NPT" [m]; the bore, of a pipe.
pub(crate) fn of_the_trade(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase();
    feet_and_inches(&text).or_else(|| pipe(&text))
}

fn feet_and_inches(text: &str) -> Option<f64> {
    let (feet, rest) = number::split(text).ok()?;
    let inches = ["ft", "feet", "foot", "'"].iter().find_map(|unit| rest.strip_prefix(unit))?;
    let (inches, unit) = number::split(inches).ok()?;
    let sound = feet >= 0.0 && (0.0..12.0).contains(&inches) && ["in", "inch", "inches", "\"", "''"].contains(&unit);
    sound.then_some(feet * FOOT + inches * INCH)
}

fn pipe(text: &str) -> Option<f64> {
    let bore = |found: Option<&(u32, f64, f64, f64)>| found.map(|(_, _, outside, wall)| (outside - 2.0 * wall) * INCH);
    if let Some(size) = text.strip_prefix("dn") {
        let size: u32 = size.trim().parse().ok()?;
        return bore(PIPES.iter().find(|pipe| pipe.0 == size));
    }
    let size = NOMINAL.iter().find_map(|word| text.strip_suffix(word))?;
    let (size, unit) = number::split(size).ok()?;
    let inches = ["", "in", "inch", "\""].contains(&unit);
    bore(PIPES.iter().find(|pipe| inches && (pipe.1 - size).abs() < 1e-6))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pipes_have_the_bore_that_is_printed() {
        // Inside diameters of schedule 40 as the `NPS40` table of the library fluids 1.3.1 gives them [m].
        for (text, printed) in [
            ("DN 15", 0.01576),
            ("dn25", 0.02664),
            ("1-1/4 in NPT", 0.03508),
            ("1 1/2 NPS", 0.04094),
            ("2 in pipe", 0.05248),
            ("DN100", 0.10226),
            ("6 BSP", 0.15408),
        ] {
            // The library rounds walls to a hundredth of a millimetre.
            let ours = of_the_trade(text).unwrap_or_else(|| panic!("{text} is a pipe"));
            assert!((ours - printed).abs() < 6e-5, "{text}: {ours} against {printed}");
        }
    }

    #[test]
    fn feet_and_inches_are_added() {
        // By definition a foot is 304.8 mm and an inch 25.4 mm.
        for (text, metres) in
            [("6 ft 3 in", 1.905), ("6' 3\"", 1.905), ("0 ft 1/2 in", 0.0127), ("47 feet 10 1/2 inches", 14.5923)]
        {
            assert!((of_the_trade(text).unwrap_or(f64::NAN) - metres).abs() < 1e-9, "{text}");
        }
        for text in ["6 ft 13 in", "-6 ft 3 in", "6 ft 3", "DN 41", "1-1/3 NPT", "pipe", "DN", "6 ft", ""] {
            assert_eq!(of_the_trade(text), None, "{text}");
        }
    }
}
