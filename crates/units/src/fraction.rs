//! Whole numbers with a fraction, as a tape is read.

/// `count`/`denominator` in lowest terms: `43 3/4`, `-1/2`, `10`, `0`.
///
/// The denominator must be a power of two.
pub(crate) fn mixed(count: i64, denominator: u32) -> String {
    let size = count.unsigned_abs();
    let denominator = u64::from(denominator);
    let (whole, mut top, mut bottom) = (size / denominator, size % denominator, denominator);
    while top != 0 && top.is_multiple_of(2) {
        top /= 2;
        bottom /= 2;
    }
    let sign = if count < 0 { "-" } else { "" };
    match (whole, top) {
        (whole, 0) => format!("{sign}{whole}"),
        (0, top) => format!("{sign}{top}/{bottom}"),
        (whole, top) => format!("{sign}{whole} {top}/{bottom}"),
    }
}

/// `value` as a count of 1/`denominator`, halves away from zero; `None` beyond 2^53.
pub(crate) fn count(value: f64, denominator: u32) -> Option<i64> {
    let scaled = (value * f64::from(denominator)).round();
    (scaled.abs() < 9.0e15).then_some(scaled as i64)
}
