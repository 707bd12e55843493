//! A rigid body on rods, and what it means for a rear axle.
//!
//! Both ends of a car are a rigid body held by rods with spherical ends. This
//! crate finds where such a body stands ([`solve_position`]), how it moves
//! ([`solve_velocity`]), how hard the rods fight a motion they do not allow
//! ([`bind`]), where the rods stop reaching ([`sweep`]), and, for a driven rigid
//! rear axle, the side-view and roll figures a chassis builder works with
//! ([`axle`], [`state`], [`curves`], [`side_view`]). The tubes of a frame, how they bend, cope
//! and come out of stock, are in [`tube`].
//!
//! Frame and units, everywhere in this crate: ISO 8855 axes (x forward, y left,
//! z up, right-handed), fixed to the sprung mass, origin on the floor under the
//! rear axle centreline at design ride height; SI units (m, N, kg, s, rad).
//! Angles are positive by the right-hand rule.
//!
//! The crate does no I/O and keeps no state. The solvers allocate nothing.
//!
//! Outside checks: the integration tests beside this crate hold exact
//! constructions from the literature and general laws; the acceptance tests of
//! the workspace compare with the answers of an independently written model.

pub mod axle;
pub mod bind;
pub mod curves;
pub mod pose;
pub mod position;
pub mod rods;
pub mod search;
pub mod side_view;
mod small;
pub mod state;
pub mod sweep;
pub mod tolerance;
pub mod tube;
pub mod velocity;

pub use nalgebra::{Point2, Point3, Vector3};

pub use axle::{AssembledAxle, AxleCar, AxleError, AxleLinkage, DrawnRod, Moving};
pub use bind::{StretchEnergy, path_velocity, stretch_energy};
pub use curves::{Columns, Curve, FreeRollCurve, FreeRollState, Limit};
pub use pose::{Coordinate, Pose, Prescribed, Twist};
pub use position::{Position, conditioning, solve_position};
pub use rods::{MAX_RODS, Rod, RodValues, Unreachable};
pub use search::{
    Band, Cell, Evaluation, Figure, Figures, Found, Group, HoleSearch, Look, Map, MapAxes, MapAxis,
    Outcome, Question, SearchError,
};
pub use side_view::{Crossing, hundred_percent_line, line_crossing_2d, side_view_crossing};
pub use state::{AxleState, InstantCentre, PathDerivative};
pub use sweep::{Stopped, follow, march};
pub use tolerance::{
    Dimension, Distribution, FigureValues, Histogram, Lengths, LinearFigure, Missing, Placement,
    PlacementError, PlacementFigure, RodEnd, Sampling, Scatter, Sensitivities, Summary,
};
pub use velocity::{Velocity, solve_velocity};
