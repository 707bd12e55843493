//! The car as weighed and taped: what every phase reads and nothing computed.

use serde::{Deserialize, Serialize};
use units::{Length, Mass, Ratio};

/// Weights and main dimensions at design ride height.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Car {
    /// Rear axle centreline to front axle centreline, along the floor.
    pub wheelbase: Length,
    /// Whole car with driver and half fuel.
    pub mass: Mass,
    /// Share of the static weight on the rear tyres, 0 to 1.
    pub rear_share: Ratio,
    /// Whole car's centre of gravity above the floor.
    pub cg_height: Length,
    /// Share of the brake force at the rear tyres, 0 to 1.
    pub rear_brake_share: Ratio,
    /// Front wheels.
    pub front: Wheels,
    /// Rear wheels; their loaded radius is the height of the rear axle.
    pub rear: Wheels,
}

/// One axle's pair of wheels.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wheels {
    /// Distance between the tyre centre planes at the floor.
    pub track: Length,
    /// Free diameter of the tyre.
    pub tyre_diameter: Length,
    /// Section width of the tyre.
    pub tyre_width: Length,
    /// Wheel centre above the floor under the car's weight.
    pub loaded_radius: Length,
}

/// One side's frame rail as drawn in the side view; the other side is its mirror.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrameRail {
    /// Inside face out from the centreline.
    pub offset: Length,
    /// Width of the rail, inside face to outside face.
    pub width: Length,
    /// Depth of the rail, bottom face to top face, measured straight up.
    pub depth: Length,
    /// Bottom face from the back of the car forward: (station, height).
    pub line: Vec<(Length, Length)>,
}
