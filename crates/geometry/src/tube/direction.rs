//! The rule for "up": scribe lines, rectangular sections and the axes of frame members.

use std::f64::consts::PI;

use nalgebra::{Rotation3, Unit, Vector3};

use super::{BadInput, unit, usable};

/// Within this angle of vertical a straight has no top, rad; "up" is then the car's front.
pub const UPRIGHT: f64 = 10.0 * PI / 180.0;

/// A straight's own axes, right-handed: along × up = side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axes {
    /// d, unit vector from end A to end B.
    pub along: Vector3<f64>,
    /// e1, the scribe line's direction, φ = 0; the height of a rectangular section lies
    /// along it.
    pub up: Vector3<f64>,
    /// e2 = d × e1, φ = 90°.
    pub side: Vector3<f64>,
}

impl Axes {
    /// Axes of a straight along `along` (any length) by the up rule, turned by `roll`
    /// (rad, right hand about `along`): e_z made perpendicular to the straight; within 10°
    /// of vertical e_x, forward, instead.
    ///
    /// # Errors
    /// A direction without length, or a number that is not finite.
    pub fn by_up_rule(along: &Vector3<f64>, roll: f64) -> Result<Self, BadInput> {
        let along = unit("direction", along)?;
        usable("roll", roll)?;
        let upright = along.z.abs() >= UPRIGHT.cos();
        let toward = if upright { Vector3::x() } else { Vector3::z() };
        let axes = Self::toward(&along, &toward)?;
        Ok(axes.rolled(roll))
    }

    /// Axes of a straight whose e1 is `toward` made perpendicular to it.
    ///
    /// # Errors
    /// A direction without length, or `toward` along the straight.
    pub fn toward(along: &Vector3<f64>, toward: &Vector3<f64>) -> Result<Self, BadInput> {
        let along = unit("direction", along)?;
        let toward = unit("scribe direction", toward)?;
        let up = unit("scribe direction", &(toward - along * toward.dot(&along)))?;
        // Once more: the first difference may have lost digits.
        let up = unit("scribe direction", &(up - along * up.dot(&along)))?;
        Ok(Self {
            along,
            up,
            side: along.cross(&up),
        })
    }

    /// The same straight turned by `roll` about itself, rad, right hand about d.
    #[must_use]
    pub fn rolled(&self, roll: f64) -> Self {
        let (sin, cos) = roll.sin_cos();
        Self {
            along: self.along,
            up: self.up * cos + self.side * sin,
            side: self.side * cos - self.up * sin,
        }
    }

    /// The axes after a bend: carried by the rotation that takes this leg to the next.
    ///
    /// # Errors
    /// A next leg without length, or one that doubles straight back.
    pub fn carried(&self, next: &Vector3<f64>) -> Result<Self, BadInput> {
        let next = unit("direction", next)?;
        let normal = self.along.cross(&next);
        let angle = normal.norm().atan2(self.along.dot(&next));
        let up = match Unit::try_new(normal, 1e-12) {
            Some(axis) => Rotation3::from_axis_angle(&axis, angle) * self.up,
            None if angle < 1.0 => self.up,
            None => return Err(BadInput::NoDirection { what: "bend" }),
        };
        Self::toward(&next, &up)
    }

    /// Unit vector across the straight at φ (rad, right hand about d from the scribe line).
    #[must_use]
    pub fn across(&self, phi: f64) -> Vector3<f64> {
        let (sin, cos) = phi.sin_cos();
        self.up * cos + self.side * sin
    }

    /// φ of a direction, rad, in (−π, π]; along the straight: 0.
    #[must_use]
    pub fn phi(&self, v: &Vector3<f64>) -> f64 {
        within_turn(v.dot(&self.side).atan2(v.dot(&self.up)))
    }
}

/// An angle brought into (−π, π]; a hair above −π counts as π.
pub(crate) fn within_turn(angle: f64) -> f64 {
    let angle = angle - (angle / (2.0 * PI)).round() * 2.0 * PI;
    if angle <= -PI + 1e-9 {
        angle + 2.0 * PI
    } else {
        angle
    }
}
