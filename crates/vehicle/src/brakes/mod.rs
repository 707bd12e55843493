//! Brakes from the pedal to the ground.
//!
//! - [`pedal`]: pedal, booster, master cylinders, proportioning valve: pressure in each circuit;
//! - [`wheel`]: disc and drum: torque for a pressure, fluid taken;
//! - [`car`]: axle loads and the ideal split;
//! - [`balance`]: axle forces against the ideal, first axle to lock, changes of order;
//! - [`residual`]: residual pressure valves: one in each line that needs it, none doubled, the right rating;
//! - [`stroke`]: fluid, piston strokes and pedal travel;
//! - [`pedal_return`]: what brings the pedal back, over its travel;
//! - [`parking`]: the parking brake on a grade;
//! - [`heat`]: rotor temperature rise and distance of one stop.
//!
//! Pressures are gauge, Pa; forces N; torques N·m; lengths m. The braking rate z is deceleration over standard gravity.
//! Aerodynamic drag, rolling resistance and engine braking are left out: they only help.
//!
//! Caution: bleed and test with the wheels chocked, then at walking pace; a locked rear axle spins the car.

pub mod balance;
pub mod car;
pub mod heat;
pub mod parking;
pub mod pedal;
pub mod pedal_return;
pub mod residual;
pub mod stroke;
pub mod wheel;

pub use balance::{
    AxleBrakes, AxleRow, BrakeBalance, BrakeSystem, BrakingRow, Changeover, FirstLock, Regulation,
};
pub use car::{Axle, BrakeCar, Ends};
pub use heat::{DiscHeat, Stop, StopHeat, stopping_distance};
pub use parking::{Foundation, GradeHold, ParkingBrake, ParkingRow, Slope};
pub use pedal::{BalanceBar, Booster, Master, Pedal, ProportioningValve};
pub use pedal_return::{PedalArm, PedalReturn, PedalSpring, ReturnPoint, ReturnReport, SpringKind};
pub use residual::{
    BranchKind, Fitted, ResidualBranch, ResidualDrag, ResidualFinding, ResidualVerdict,
};
pub use stroke::{Hose, LostCircuit, PedalTravel, PlumbedCircuit, StrokeBudget, VolumeParts};
pub use wheel::{Brake, Disc, Drum, PivotedShoe, Sense, SweptBand};

use thiserror::Error;

/// Why a brake has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum BrakeError {
    /// A figure is not finite or out of its range.
    #[error("{what} is {value}: it must be {range}")]
    BadInput {
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
        /// What it may be.
        range: &'static str,
    },
    /// A shoe that pulls itself into the drum: no torque can be named.
    #[error(
        "the leading shoe locks itself: friction moment {friction} m against {normal} m of the lining pressure; less lining friction or another pivot is needed"
    )]
    SelfLocking {
        /// Arm of the normal moment n, m.
        normal: f64,
        /// Arm of the friction moment f, m.
        friction: f64,
    },
    /// The balance bar's pivot stands outside its clevises.
    #[error(
        "the bar's pivot is {offset} m off centre, its clevises are {width} m apart: one master would be pulled"
    )]
    PivotOutsideBar {
        /// Offset of the pivot, m, + toward the front master.
        offset: f64,
        /// Distance between the clevises, m.
        width: f64,
    },
}

pub(crate) fn bad(what: &'static str, value: f64, range: &'static str) -> BrakeError {
    BrakeError::BadInput { what, value, range }
}

fn positive(what: &'static str, value: f64) -> Result<f64, BrakeError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(bad(what, value, "above zero"))
    }
}

fn not_negative(what: &'static str, value: f64) -> Result<f64, BrakeError> {
    if value >= 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(bad(what, value, "zero or more"))
    }
}

fn finite(what: &'static str, value: f64) -> Result<f64, BrakeError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(bad(what, value, "a finite number"))
    }
}

/// An efficiency: above 0, at most 1.
fn share(what: &'static str, value: f64) -> Result<f64, BrakeError> {
    if value > 0.0 && value <= 1.0 {
        Ok(value)
    } else {
        Err(bad(what, value, "above 0 and at most 1"))
    }
}

/// Area of a round bore, m².
#[must_use]
pub(crate) fn bore_area(diameter: f64) -> f64 {
    0.25 * std::f64::consts::PI * diameter * diameter
}
