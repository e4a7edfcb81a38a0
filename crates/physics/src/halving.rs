//! Where a function of one number crosses, by halving: slow, sure, and for what is asked once, not in a balance.

/// The zero of a rising function between two ends, by 60 halvings, which leave nothing of any range here [same unit]. Where it has
/// none there, the end that lies nearer to it.
pub fn zero((mut low, mut high): (f64, f64), rising: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if rising(middle) < 0.0 { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

/// Where a rising function has this value; nothing outside the range.
pub fn inverse(of: impl Fn(f64) -> f64, value: f64, range: (f64, f64)) -> Option<f64> {
    (of(range.0)..=of(range.1)).contains(&value).then(|| zero(range, |x| of(x) - value))
}
