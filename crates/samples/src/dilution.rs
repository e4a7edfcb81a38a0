//! How much metal wears off in an hour, from what is found in oil that was topped up meanwhile.
//!
//! Oil that is burnt or lost carries metal away, and clean oil takes its place: the same wear shows less in an engine that
//! burns oil.
//!
//! # Source
//! Balance of the metal in the sump, V dC/dt = w − m C for an even make-up m, which gives C = (w/m)(1 − exp(−m t/V)); held
//! against the rows `smp.makeup` and `smp.nomakeup` of `reference/check-values.toml`. For single top-ups the same balance with a
//! level that sinks between them: while oil is lost at a rate q the metal per volume rises by w/V(t) alone, by (w/q) ln(V/(V − a))
//! until a has been lost, and clean oil then thins it by (V − a)/V.

/// What is found per unit of wear an hour, with an even make-up: C/w [h/m³].
///
/// * `makeup` [m³/h], `volume` of the sump [m³], `hours` on the oil [h]
pub fn even(makeup: f64, volume: f64, hours: f64) -> f64 {
    let x = makeup * hours / volume;
    // −expm1(−x)/x, which is 1 − x/2 for little of it.
    let thinned = if x.abs() < 1e-8 { 1.0 - x / 2.0 } else { -(-x).exp_m1() / x };
    hours / volume * thinned
}

/// The same where each top-up is known: C/w [h/m³] just after `hours`.
///
/// * `topped`: hours on the oil [h] and how much went in then [m³], by hours; each brings the sump back to its mark
/// * `volume` of the sump at its mark [m³], `hours` on the oil [h]
///
/// What was lost since the last top-up is not known, and nothing is taken to be. A top-up of half the sump or more is taken as
/// half: that is no top-up but a change.
pub fn topped_up(topped: &[(f64, f64)], volume: f64, hours: f64) -> f64 {
    let (mut found, mut last) = (0.0, 0.0);
    for &(at, added) in topped.iter().filter(|(at, _)| (0.0..=hours).contains(at)) {
        let span = (at - last).max(0.0);
        let share = (added / volume).clamp(0.0, 0.5);
        // (span/a) ln(V/(V − a)), which is span/V for little of it.
        let rise = if share < 1e-9 { 1.0 } else { -(-share).ln_1p() / share };
        found = (found + span / volume * rise) * (1.0 - share);
        last = at.max(last);
    }
    found + (hours - last) / volume
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn concentrations_worked_out_elsewhere() {
        // Rows smp.makeup and smp.nomakeup: mg/h, L, mg/L.
        let found = 0.9 * even(0.03, 27.0, 400.0);
        assert!((found / 10.764_588_35 - 1.0).abs() < 1e-6, "{found}");
        let found = 0.9 * even(0.0, 27.0, 400.0);
        assert!((found / 13.333_333_33 - 1.0).abs() < 1e-6, "{found}");
        assert!((even(1e-12, 27.0, 400.0) / even(0.0, 27.0, 400.0) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn many_small_top_ups_come_to_an_even_make_up() {
        let steps = 4_000;
        let topped: Vec<(f64, f64)> =
            (1..=steps).map(|k| (400.0 * f64::from(k) / f64::from(steps), 12.0 / f64::from(steps))).collect();
        let (single, even) = (topped_up(&topped, 27.0, 400.0), even(0.03, 27.0, 400.0));
        assert!((single / even - 1.0).abs() < 1e-3, "{single} {even}");
    }

    #[test]
    fn metal_is_neither_made_nor_lost() {
        // Step by step: metal in the sump, the level sinking evenly, clean oil to the mark at each top-up.
        let (volume, wear, topped) = (16.0, 2.0, [(30.0, 1.5), (70.0, 0.5), (95.0, 2.0)]);
        let (mut metal, mut level, mut time) = (0.0, volume, 0.0);
        for (at, added) in topped {
            let steps = 200_000;
            let step = (at - time) / f64::from(steps);
            for _ in 0..steps {
                let lost = added / f64::from(steps);
                metal += wear * step - metal / level * lost;
                level -= lost;
            }
            (level, time) = (volume, at);
        }
        metal += wear * (120.0 - time);
        let found = wear * topped_up(&topped, volume, 120.0);
        assert!((metal / volume / found - 1.0).abs() < 1e-4, "{} {found}", metal / volume);
    }

    #[test]
    fn a_change_in_disguise_stays_finite() {
        assert!(topped_up(&[(10.0, 99.0)], 16.0, 20.0).is_finite());
        assert_eq!(topped_up(&[], 16.0, 32.0), 2.0);
    }
}
