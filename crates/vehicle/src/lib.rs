//! The car under power: loads on four tyres, in every rod and spring, and what the parts stand.
//!
//! - [`mass`]: the car as a mass on two axles, static loads and first-order load transfer;
//! - [`launch`]: the quasi-static balance at a forward acceleration or under braking;
//! - [`springs`]: coil-overs over travel, preload, ride frequency, travel budget, spring choice;
//! - [`strength`]: rods as columns, rod ends and bolts, safety factors;
//! - [`driveshaft`]: joint angles and plunge over travel;
//! - [`driveline`]: joints and their residual acceleration, shafts, gearing;
//! - [`brakes`]: from the pedal to the ground;
//! - [`packaging`]: wheels, housing and shafts to order, clearance over travel and roll;
//! - [`front`]: wheel and roll stiffness of the front end, moments about the steering axis;
//! - [`run`]: the launch run in time: 0–60, 60 ft, quarter mile;
//! - [`weighing`]: corner scales, and the height of the centre of gravity from raising one end.
//!
//! Frame: ISO 8855, x forward, y left, z up, origin on the floor under the rear axle centreline at
//! design ride height. SI throughout: m, N, kg, s, rad, Pa. Angles positive by the right-hand
//! rule: nose up and pinion up are negative turns about y. The crate does no I/O and keeps no state.

pub mod brakes;
pub mod driveline;
pub mod driveshaft;
pub mod front;
pub mod launch;
pub mod mass;
pub mod packaging;
pub mod run;
pub mod springs;
pub mod strength;
pub mod weighing;

pub use mass::{Body, BodyError, STANDARD_GRAVITY};
