//! Placement tolerance: what a bracket welded a little off does to the axle's figures.
//!
//! Every measured bracket coordinate ([`Dimension`]) is off by an independent error, uniform
//! between −t and +t. [`Placement`] is one drawn axle with its dimensions; it answers
//!
//! - [`Placement::figures`]: the figures with given errors (the same model as everything
//!   below, and what to ask once the brackets have been measured),
//! - [`Placement::sensitivities`]: d(figure)/d(dimension), the linear standard deviation
//!   √(Σ (s t)²/3), the worst case Σ |s| t, and which dimensions matter most,
//! - [`Placement::monte_carlo`]: the distribution of every figure over random builds.
//!
//! A uniform error has the variance t²/3 (any text on probability; e.g. JCGM 100:2008, the
//! GUM, 4.3.7), and the variances of independent errors add in the linear model (GUM, 5.1.2).

mod linear;
mod model;
mod sampling;
mod summary;

use nalgebra::Vector3;
use thiserror::Error;

use crate::axle::AxleError;

pub use linear::{LinearFigure, Missing, Sensitivities};
pub use model::Placement;
pub use sampling::{MAX_SAMPLES, Sampling, Scatter};
pub use summary::{Distribution, Histogram, Summary};

/// Largest tolerance that is taken, m: no bracket is out by more than this.
pub const MAX_TOLERANCE: f64 = 1.0;

/// Which end of a rod.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RodEnd {
    /// On the sprung mass.
    Frame,
    /// On the axle housing.
    Housing,
}

/// One measured bracket coordinate: a distance someone sets out, and what stands off with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// The rod ends that move together when this coordinate is off: rod index and end. A
    /// bracket shared by two links lists both. Each end at most once.
    pub moves: Vec<(usize, RodEnd)>,
    /// Direction of the coordinate, sprung-mass axes as drawn, unit vector (within 1e-9).
    pub along: Vector3<f64>,
    /// Largest error t either way, m, 0 to [`MAX_TOLERANCE`].
    pub plus_minus: f64,
}

/// What the links' lengths do when a bracket is off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Lengths {
    /// Each link is set so that the axle stands square where it is drawn: the pose at ride
    /// height is the drawn one.
    #[default]
    Reset,
    /// The links keep the lengths of the drawing: the axle takes the pose that the misplaced
    /// holes give; pinion and squareness move.
    Held,
}

/// A figure of the axle at ride height and zero roll that a misplaced bracket changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PlacementFigure {
    /// Anti-squat as a ratio, 1 = 100 %.
    AntiSquat,
    /// Station of the instant centre, m, forward positive. No value at infinity.
    IcStation,
    /// Height of the instant centre above the floor, m. No value at infinity.
    IcHeight,
    /// Roll steer −ψ̇/φ̇, rad/rad, positive = roll understeer.
    RollSteer,
    /// Pinion up against the drawn pose, rad: −θ. Zero with every link reset.
    PinionAtRide,
    /// Largest less smallest pinion angle over the two ends of the travel range and ride
    /// height, rad, zero or positive. No value where an end of travel is out of reach.
    PinionChange,
}

impl PlacementFigure {
    /// All of them, in order.
    pub const ALL: [Self; 6] = [
        Self::AntiSquat,
        Self::IcStation,
        Self::IcHeight,
        Self::RollSteer,
        Self::PinionAtRide,
        Self::PinionChange,
    ];

    /// Place in [`PlacementFigure::ALL`], 0 to 5.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// The figures of one build, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FigureValues {
    pub(crate) values: [Option<f64>; 6],
}

impl FigureValues {
    /// The value (SI); None where the figure has none: an instant centre at infinity, an end
    /// of travel out of reach. Always finite.
    #[must_use]
    pub const fn get(&self, figure: PlacementFigure) -> Option<f64> {
        self.values[figure.index()]
    }
}

/// Why a placement question has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum PlacementError {
    /// The axle as drawn (or with the errors asked for) has no answer.
    #[error(transparent)]
    Axle(#[from] AxleError),
    /// A dimension moves a rod that is not there.
    #[error("dimension {dimension} moves rod {rod} of {rods} rods")]
    NoSuchRod {
        /// Index of the dimension.
        dimension: usize,
        /// Rod asked for.
        rod: usize,
        /// Rods there are.
        rods: usize,
    },
    /// A dimension lists the same rod end twice.
    #[error("dimension {dimension} moves the same end of rod {rod} twice")]
    MovedTwice {
        /// Index of the dimension.
        dimension: usize,
        /// The rod.
        rod: usize,
    },
    /// The direction of a dimension is no unit vector.
    #[error("the direction of dimension {dimension} has length {length}, not 1")]
    BadDirection {
        /// Index of the dimension.
        dimension: usize,
        /// Length found.
        length: f64,
    },
    /// A tolerance is negative, more than [`MAX_TOLERANCE`] or not a number.
    #[error("dimension {dimension} has the tolerance {plus_minus} m, not 0 to {MAX_TOLERANCE}")]
    BadTolerance {
        /// Index of the dimension.
        dimension: usize,
        /// The tolerance given, m.
        plus_minus: f64,
    },
    /// An end of the travel range is not a finite number.
    #[error("an end of the travel range is {travel} m")]
    BadTravel {
        /// The travel given, m.
        travel: f64,
    },
    /// Not one error per dimension.
    #[error("{given} errors given for {dimensions} dimensions")]
    ErrorCount {
        /// Errors given.
        given: usize,
        /// Dimensions there are.
        dimensions: usize,
    },
    /// An error asked for is not a finite number.
    #[error("the error of dimension {dimension} is {error} m")]
    BadError {
        /// Index of the dimension.
        dimension: usize,
        /// The error given, m.
        error: f64,
    },
    /// The smallest move of a dimension takes the axle out of reach: no slope there.
    #[error("no slope for dimension {dimension}: {step:e} m off it already fails ({reason})")]
    NoSlope {
        /// Index of the dimension.
        dimension: usize,
        /// The move tried, m.
        step: f64,
        /// What happens there.
        reason: AxleError,
    },
    /// A band whose ends are out of order or not numbers.
    #[error("the band of {figure:?} is {low} to {high}")]
    BadBand {
        /// Whose band.
        figure: PlacementFigure,
        /// Its low end, SI.
        low: f64,
        /// Its high end, SI.
        high: f64,
    },
    /// More samples than [`MAX_SAMPLES`].
    #[error("{samples} samples asked for, at most {MAX_SAMPLES} can be kept")]
    TooManySamples {
        /// Samples asked for.
        samples: usize,
    },
    /// The caller called it off.
    #[error("called off after {done} samples")]
    Cancelled {
        /// Samples done by then.
        done: usize,
    },
}
