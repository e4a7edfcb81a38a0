//! The valve train: when valves are open, and how clearances grow with heat. Angles [rad], lengths [m].

/// What the clearance of a valve gains from cold to hot [m], at the valve; below 0 where it closes.
///
/// * `valve`, `pushrod` [m]: lengths of the two; the head and block beside each are taken as long
/// * `growth_valve`, `growth_pushrod`, `growth_head`, `growth_block` [1]: how much each grows on its length, expansion × rise
/// * `ratio` [1]: valve lift over pushrod lift
///
/// # Source
/// Geometry: the stem and the rod close the clearance, the metal beside them opens it. Even temperature along each is taken.
pub fn clearance_gain(
    valve: f64,
    (growth_valve, growth_head): (f64, f64),
    pushrod: f64,
    (growth_pushrod, growth_block): (f64, f64),
    ratio: f64,
) -> f64 {
    valve * (growth_head - growth_valve) + ratio * pushrod * (growth_block - growth_pushrod)
}

/// Expansion of cast iron [1/K]. From memory.
pub const CAST_IRON: f64 = 10.5e-6;
/// Expansion of aluminium alloy [1/K]. From memory.
pub const ALUMINIUM: f64 = 21e-6;
/// Expansion of steel of pushrods and inlet valves [1/K]. From memory.
pub const STEEL: f64 = 11.5e-6;
/// Expansion of austenitic steel of exhaust valves [1/K]. From memory.
pub const AUSTENITIC_STEEL: f64 = 17.5e-6;
