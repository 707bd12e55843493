//! Twist tests of the real frame.

use crate::TwistReading;

/// A measured twist test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredTwist {
    /// Twist between rear and front, rad; none where the dials say nothing.
    pub twist: Option<f64>,
    /// Torque over twist, N·m/rad.
    pub stiffness: Option<f64>,
    /// Measured over predicted; none where either is missing.
    pub factor: Option<f64>,
}

pub(super) fn study(readings: &[TwistReading], predicted: Option<f64>) -> Vec<MeasuredTwist> {
    readings
        .iter()
        .map(|r| {
            let rise = r.left_up.si() + r.right_down.si();
            let twist = (rise / r.apart.si()).atan() - r.rear_turned.si();
            let twist = (twist.is_finite() && twist > 1e-9).then_some(twist);
            let stiffness = twist.map(|t| r.torque.si() / t).filter(|k| k.is_finite());
            let factor = stiffness.zip(predicted).map(|(m, p)| m / p);
            MeasuredTwist {
                twist,
                stiffness,
                factor: factor.filter(|f| f.is_finite() && *f > 0.0),
            }
        })
        .collect()
}
