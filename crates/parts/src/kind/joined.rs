//! Two lists as one: what several kinds share, and what one has besides.

/// One list after the other; `C` must be `A + B`, and neither list empty.
pub(crate) const fn joined<T: Copy, const A: usize, const B: usize, const C: usize>(a: [T; A], b: [T; B]) -> [T; C] {
    assert!(A + B == C && A > 0, "a list of the wrong length");
    let mut all = [a[0]; C];
    let mut next = 0;
    while next < C {
        all[next] = if next < A { a[next] } else { b[next - A] };
        next += 1;
    }
    all
}
