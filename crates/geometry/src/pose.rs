//! Pose of the body, its six coordinates, and twists.
//!
//! Rotation of the body: R = Rz(ψ)·Rx(φ)·Ry(θ). For a rear axle θ is the
//! housing's turn about the tube (pinion), φ the roll of the tube (left wheel up
//! positive), ψ the tube's heading in plan.

use nalgebra::{Matrix3, Point3, Vector3};

/// One of the six coordinates of a body pose, in the order in which every
/// six-vector of this crate lists them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Coordinate {
    /// Position forward, m.
    X,
    /// Position to the left, m.
    Y,
    /// Position up, m.
    Z,
    /// Roll φ about the forward axis after heading, rad, left side up positive.
    Phi,
    /// Turn θ about the body's own y axis, rad; nose (pinion) up is negative.
    Theta,
    /// Heading ψ about z, rad, to the left positive.
    Psi,
}

impl Coordinate {
    /// All six, in order.
    pub const ALL: [Self; 6] = [Self::X, Self::Y, Self::Z, Self::Phi, Self::Theta, Self::Psi];

    /// Place of the coordinate in a six-vector, 0 to 5.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Whether the coordinate is an angle (rad) and not a length (m).
    #[must_use]
    pub const fn is_angle(self) -> bool {
        matches!(self, Self::Phi | Self::Theta | Self::Psi)
    }
}

/// Pose of the body in sprung-mass axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Body origin (rear axle: midpoint between the wheel centres), m.
    pub position: Point3<f64>,
    /// Roll φ, rad. The coordinates are singular at ±π/2.
    pub phi: f64,
    /// Turn θ about the body's y axis, rad.
    pub theta: f64,
    /// Heading ψ, rad.
    pub psi: f64,
}

impl Pose {
    /// A pose with all angles zero.
    #[must_use]
    pub const fn level(position: Point3<f64>) -> Self {
        Self {
            position,
            phi: 0.0,
            theta: 0.0,
            psi: 0.0,
        }
    }

    /// The six coordinates x, y, z (m), φ, θ, ψ (rad).
    #[must_use]
    pub fn coordinates(&self) -> [f64; 6] {
        let p = &self.position;
        [p.x, p.y, p.z, self.phi, self.theta, self.psi]
    }

    /// Pose from its six coordinates.
    #[must_use]
    pub fn from_coordinates(q: &[f64; 6]) -> Self {
        Self {
            position: Point3::new(q[0], q[1], q[2]),
            phi: q[3],
            theta: q[4],
            psi: q[5],
        }
    }

    /// Value of one coordinate, m or rad.
    #[must_use]
    pub fn get(&self, coordinate: Coordinate) -> f64 {
        self.coordinates()[coordinate.index()]
    }

    /// R = Rz(ψ)·Rx(φ)·Ry(θ), from body axes to sprung-mass axes.
    #[must_use]
    pub fn rotation(&self) -> Matrix3<f64> {
        Frame::new(self.phi, self.theta, self.psi).rotation
    }

    /// A point given in body axes from the body origin (m), in sprung-mass axes.
    #[must_use]
    pub fn place(&self, body_point: &Point3<f64>) -> Point3<f64> {
        self.position + self.rotation() * body_point.coords
    }
}

/// Rotation matrix with the axes of the three angle rates: a rate (φ̇, θ̇, ψ̇)
/// turns the body at ω = φ̇ e_φ + θ̇ e_θ + ψ̇ e_z.
#[derive(Clone, Copy)]
pub(crate) struct Frame {
    pub(crate) rotation: Matrix3<f64>,
    pub(crate) e_phi: Vector3<f64>,
    pub(crate) e_theta: Vector3<f64>,
}

impl Frame {
    #[inline]
    pub(crate) fn new(phi: f64, theta: f64, psi: f64) -> Self {
        let (sf, cf) = phi.sin_cos();
        let (st, ct) = theta.sin_cos();
        let (sp, cp) = psi.sin_cos();
        // Rx·Ry, rows 0 and 1, then Rz applied from the left.
        let (a0, a2) = (ct, st);
        let (b0, b1, b2) = (sf * st, cf, -sf * ct);
        Self {
            rotation: Matrix3::new(
                cp * a0 - sp * b0,
                -sp * b1,
                cp * a2 - sp * b2,
                sp * a0 + cp * b0,
                cp * b1,
                sp * a2 + cp * b2,
                -cf * st,
                sf,
                cf * ct,
            ),
            e_phi: Vector3::new(cp, sp, 0.0),
            e_theta: Vector3::new(-sp * cf, cp * cf, sf),
        }
    }

    #[inline]
    pub(crate) fn at(q: &[f64; 6]) -> Self {
        Self::new(q[3], q[4], q[5])
    }

    /// Angular velocity of the rates (φ̇, θ̇, ψ̇), rad/s, sprung-mass axes.
    #[inline]
    pub(crate) fn spin(&self, phi: f64, theta: f64, psi: f64) -> Vector3<f64> {
        self.e_phi * phi + self.e_theta * theta + Vector3::new(0.0, 0.0, psi)
    }
}

/// Velocity of the body: v of the body origin and ω, both in sprung-mass axes.
/// Per unit of the prescribed rate: with ż = 1 the units are m/m and rad/m, with
/// φ̇ = 1 they are m/rad and rad/rad.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Twist {
    /// Velocity of the body origin.
    pub v: Vector3<f64>,
    /// Angular velocity.
    pub w: Vector3<f64>,
}

/// Some of the six coordinates with a value each: held positions (m, rad) for a
/// position problem, held rates for a velocity problem.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prescribed {
    mask: u8,
    values: [f64; 6],
}

impl Prescribed {
    /// Nothing held.
    pub const NONE: Self = Self {
        mask: 0,
        values: [0.0; 6],
    };

    /// The same with `coordinate` held at `value` (m, rad, or their rates).
    #[must_use]
    pub const fn with(mut self, coordinate: Coordinate, value: f64) -> Self {
        self.mask |= 1 << coordinate.index();
        self.values[coordinate.index()] = value;
        self
    }

    /// z and φ held, as for a rear axle: height of the body origin (m) and roll (rad).
    #[must_use]
    pub const fn height_and_roll(z: f64, phi: f64) -> Self {
        Self::NONE.with(Coordinate::Z, z).with(Coordinate::Phi, phi)
    }

    /// The held value, if the coordinate is held.
    #[must_use]
    pub const fn get(&self, coordinate: Coordinate) -> Option<f64> {
        if self.holds(coordinate.index()) {
            Some(self.values[coordinate.index()])
        } else {
            None
        }
    }

    /// How many coordinates are left free, 0 to 6.
    #[must_use]
    pub const fn unknowns(&self) -> usize {
        6 - self.mask.count_ones() as usize
    }

    #[inline]
    pub(crate) const fn holds(&self, index: usize) -> bool {
        self.mask & (1 << index) != 0
    }

    /// Value for a held coordinate, zero for a free one.
    #[inline]
    pub(crate) const fn values(&self) -> &[f64; 6] {
        &self.values
    }

    #[inline]
    pub(crate) fn finite(&self) -> bool {
        self.values.iter().all(|v| v.is_finite())
    }

    /// Indices of the free coordinates; N must be `unknowns()`.
    #[inline]
    pub(crate) fn free<const N: usize>(&self) -> [usize; N] {
        let mut free = [0; N];
        let mut next = 0;
        for index in 0..6 {
            if !self.holds(index) && next < N {
                free[next] = index;
                next += 1;
            }
        }
        free
    }
}

impl Default for Prescribed {
    fn default() -> Self {
        Self::NONE
    }
}
