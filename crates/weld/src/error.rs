//! Why a weld question has no answer.

use thiserror::Error;

/// Greatest size of a leg, wall, gap or radius taken seriously, m.
pub(crate) const LARGEST: f64 = 10.0;

/// An input for which no answer can be given. Lengths are in m, angles in rad.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum WeldError {
    /// Not a number, or infinite.
    #[error("{what} is not a finite number ({value})")]
    NotFinite {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// Zero or negative where something must be there.
    #[error("{what} must be more than zero, it is {value}")]
    NotPositive {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// Negative where zero is the least.
    #[error("{what} cannot be negative, it is {value}")]
    Negative {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// Beyond any weld.
    #[error("{what} of {value} is beyond any weld (at most {limit})")]
    TooLarge {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Greatest value accepted.
        limit: f64,
    },
    /// An angle outside its range, ends excluded.
    #[error("{what} of {value} rad must lie between {low} and {high} rad")]
    AngleOutside {
        /// Name of the input.
        what: &'static str,
        /// Its value, rad.
        value: f64,
        /// Lower end, rad.
        low: f64,
        /// Upper end, rad.
        high: f64,
    },
    /// A gap profile without readings.
    #[error("no gap has been logged")]
    NoReadings,
    /// A clock position outside 0 to 12 hours.
    #[error("clock position {hours} is not between 0 and 12")]
    ClockOutside {
        /// The position, hours.
        hours: f64,
    },
    /// A position beyond the ends of an open seam.
    #[error("position {position} m is not on the seam of {length} m")]
    PositionOutside {
        /// The position, m from the start.
        position: f64,
        /// Length of the seam, m.
        length: f64,
    },
    /// Two readings at one place.
    #[error("two gaps are logged at position {position}")]
    DuplicatePosition {
        /// The position: hours on a closed seam, m on an open one.
        position: f64,
    },
    /// A shop rule whose limits are in the wrong order.
    #[error("gaps are left alone up to {unchanged} m but rejected above {reject} m")]
    LimitsCrossed {
        /// Greatest gap with the leg unchanged, m.
        unchanged: f64,
        /// Greatest gap accepted, m.
        reject: f64,
    },
    /// A rule written for fillets, asked about a butt joint.
    #[error("this rule is written for fillets; a butt joint needs the shop's own limits")]
    FilletRule,
    /// A root face taller than the wall.
    #[error("a root face of {root_face} m leaves nothing to bevel in {thickness} m")]
    RootFace {
        /// Height of the root face, m.
        root_face: f64,
        /// Wall, m.
        thickness: f64,
    },
    /// A branch wider than what it is coped on.
    #[error(
        "a branch of radius {branch} m set off by {offset} m overhangs a main of radius {main} m"
    )]
    Overhang {
        /// Outside radius of the branch, m.
        branch: f64,
        /// Offset between the axes, m.
        offset: f64,
        /// Outside radius of the main, m.
        main: f64,
    },
    /// A factor below 1 where it can only add.
    #[error("{what} must be 1 or more, it is {value}")]
    BelowOne {
        /// Name of the choice.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// Too small to be told from nothing.
    #[error("{what} of {value} is too small to be measured (at least {limit})")]
    TooSmall {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Least value accepted.
        limit: f64,
    },
    /// A chance or share that is not between 0 and 1.
    #[error("{what} must lie between 0 and 1, it is {value}")]
    NotAShare {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// A reading without a bead before it, or a plan without beads.
    #[error("at least one bead must be laid")]
    NoBeads,
    /// Kinks of one bead that point both ways, or nowhere.
    #[error("the kinks {low}, {point} and {high} rad of one bead do not turn one way")]
    KinkSign {
        /// End nearest zero, rad.
        low: f64,
        /// Point estimate, rad.
        point: f64,
        /// End farthest from zero, rad.
        high: f64,
    },
    /// No passes.
    #[error("a weld takes at least one pass")]
    NoPasses,
    /// Two points too close to tell the direction from one to the other.
    #[error("the points are {distance} m apart: no direction from one to the other")]
    PointsCoincide {
        /// Distance between them, m.
        distance: f64,
    },
    /// A direction that is not one long.
    #[error("{what} must be a unit vector, it is {length} long")]
    NotUnit {
        /// Name of the direction.
        what: &'static str,
        /// Its length.
        length: f64,
    },
    /// Outside its range, ends included.
    #[error("{what} of {value} must lie from {low} to {high}")]
    OutsideRange {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Least value accepted.
        low: f64,
        /// Greatest value accepted.
        high: f64,
    },
    /// Lists that belong together and are not equally long.
    #[error("{what}: {found} where {wanted} are needed")]
    Count {
        /// What is counted.
        what: &'static str,
        /// How many there are.
        found: usize,
        /// How many there must be.
        wanted: usize,
    },
    /// A weld order that leaves a joint out or names one twice.
    #[error("joint {joint} is missing from the weld order or is there twice")]
    NotAnOrder {
        /// Index of the first such joint.
        joint: usize,
    },
}

/// A finite value, else the error.
pub(crate) fn finite(what: &'static str, value: f64) -> Result<f64, WeldError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(WeldError::NotFinite { what, value })
    }
}

/// Zero or more, at most [`LARGEST`].
pub(crate) fn size(what: &'static str, value: f64) -> Result<f64, WeldError> {
    finite(what, value)?;
    if value < 0.0 {
        return Err(WeldError::Negative { what, value });
    }
    if value > LARGEST {
        return Err(WeldError::TooLarge {
            what,
            value,
            limit: LARGEST,
        });
    }
    Ok(value)
}

/// More than zero, at most [`LARGEST`].
pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, WeldError> {
    if size(what, value)? > 0.0 {
        Ok(value)
    } else {
        Err(WeldError::NotPositive { what, value })
    }
}

/// Strictly between two angles.
pub(crate) fn between(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<f64, WeldError> {
    finite(what, value)?;
    if value > low && value < high {
        Ok(value)
    } else {
        Err(WeldError::AngleOutside {
            what,
            value,
            low,
            high,
        })
    }
}

/// From `low` to `high`, ends included.
pub(crate) fn from_to(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<f64, WeldError> {
    finite(what, value)?;
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(WeldError::OutsideRange {
            what,
            value,
            low,
            high,
        })
    }
}

/// Either sign, at most [`LARGEST`] in size.
pub(crate) fn signed(what: &'static str, value: f64) -> Result<f64, WeldError> {
    finite(what, value)?;
    if value.abs() > LARGEST {
        return Err(WeldError::TooLarge {
            what,
            value,
            limit: LARGEST,
        });
    }
    Ok(value)
}

/// Strictly between 0 and 1.
pub(crate) fn share(what: &'static str, value: f64) -> Result<f64, WeldError> {
    if finite(what, value)? > 0.0 && value < 1.0 {
        Ok(value)
    } else {
        Err(WeldError::NotAShare { what, value })
    }
}
