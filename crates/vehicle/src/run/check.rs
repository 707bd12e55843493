//! Checks of single inputs, shared by the parts of the car.

use super::RunError;

/// Finite and between two values, both allowed.
pub(super) fn within(
    what: &'static str,
    value: f64,
    least: f64,
    most: f64,
) -> Result<(), RunError> {
    if value >= least && value <= most {
        Ok(())
    } else {
        Err(RunError::OutOfRange {
            what,
            value,
            least,
            most,
        })
    }
}

/// Finite and above zero.
pub(super) fn positive(what: &'static str, value: f64) -> Result<(), RunError> {
    if value > 0.0 && value.is_finite() {
        Ok(())
    } else {
        Err(RunError::BadInput { what, value })
    }
}

/// Finite and zero or more.
pub(super) fn not_negative(what: &'static str, value: f64) -> Result<(), RunError> {
    if value >= 0.0 && value.is_finite() {
        Ok(())
    } else {
        Err(RunError::BadInput { what, value })
    }
}

pub(super) fn finite(what: &'static str, value: f64) -> Result<(), RunError> {
    if value.is_finite() {
        Ok(())
    } else {
        Err(RunError::BadInput { what, value })
    }
}

/// As many values as expected.
pub(super) fn as_many(what: &'static str, count: usize, expected: usize) -> Result<(), RunError> {
    if count == expected {
        Ok(())
    } else {
        Err(RunError::Count {
            what,
            count,
            expected,
        })
    }
}

/// At least two finite values, each above the one before.
pub(super) fn rising(what: &'static str, values: &[f64], least: usize) -> Result<(), RunError> {
    if values.len() < least {
        return Err(RunError::TooFew {
            what,
            count: values.len(),
            least,
        });
    }
    for value in values {
        finite(what, *value)?;
    }
    match values.windows(2).find(|w| w[1] <= w[0]) {
        Some(w) => Err(RunError::NotRising {
            what,
            before: w[0],
            value: w[1],
        }),
        None => Ok(()),
    }
}

/// Linear between the points, the last value held beyond the ends.
pub(super) fn lookup(xs: &[f64], ys: &[f64], x: f64) -> f64 {
    match place(xs, x) {
        Some((i, s)) => {
            let s = s.clamp(0.0, 1.0);
            ys[i] + s * (ys[i + 1] - ys[i])
        }
        None => ys.first().copied().unwrap_or(0.0),
    }
}

/// Linear between the points and on beyond the ends.
pub(super) fn extended(xs: &[f64], ys: &[f64], x: f64) -> f64 {
    match place(xs, x) {
        Some((i, s)) => ys[i] + s * (ys[i + 1] - ys[i]),
        None => ys.first().copied().unwrap_or(0.0),
    }
}

/// The interval of `x` and the place in it: below 0 or above 1 beyond the ends.
fn place(xs: &[f64], x: f64) -> Option<(usize, f64)> {
    if xs.len() < 2 {
        return None;
    }
    let i = xs.partition_point(|v| *v <= x).clamp(1, xs.len() - 1) - 1;
    Some((i, (x - xs[i]) / (xs[i + 1] - xs[i])))
}
