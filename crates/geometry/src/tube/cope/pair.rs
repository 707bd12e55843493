//! How one main lies to a branch's end: angle, offset, clock and foot.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::{Point3, Vector3};

use super::solid::{Main, Outside, Solid};
use super::{CopeError, End, Landing};
use crate::tube::direction::within_turn;

/// |cos α| below which the axes count as square to each other.
const SQUARE: f64 = 1.0e-9;

/// Branch and one main. With m along the main, m·u ≥ 0, t = m made perpendicular to u and
/// w = u × t.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// Acute angle α between the axes, rad, 0 to π/2.
    pub alpha: f64,
    /// Offset e of the main's axis along w, m.
    pub offset: f64,
    /// Clock ψ = φ of t, rad, in (−π, π]; square to each other, where t has no sense, in
    /// (−π/2, π/2] with the offset to match.
    pub clock: f64,
    /// s of the foot of the common perpendicular, m.
    pub foot: f64,
    /// t, unit vector across the branch.
    pub t: Vector3<f64>,
    /// w = u × t.
    pub w: Vector3<f64>,
}

impl Pair {
    /// Figures of a branch's end and a main.
    ///
    /// # Errors
    /// Numbers that are not usable.
    pub fn new(landing: &Landing, main: &Main) -> Result<Self, CopeError> {
        landing.check()?;
        Ok(Self::of(landing, &Solid::new(main, &landing.inward())?))
    }

    pub(super) fn of(landing: &Landing, solid: &Solid) -> Self {
        let u = landing.inward();
        let mut m = solid.axis;
        if m.dot(&u) < 0.0 {
            m = -m;
        }
        let cosine = m.dot(&u);
        let across = m - u * cosine;
        let sine = across.norm();
        let mut t = if sine > 1e-12 {
            across / sine
        } else {
            landing.axes.up
        };
        let mut clock = landing.axes.phi(&t);
        if cosine < SQUARE && !(-FRAC_PI_2 + 1e-9..=FRAC_PI_2 + 1e-9).contains(&clock) {
            t = -t;
            clock = within_turn(clock + PI);
        }
        let w = u.cross(&t);
        let offset = solid.origin - landing.point;
        // The foot: along the main from its point to where it is nearest the branch's axis.
        let foot = if sine > 1e-12 {
            offset.dot(&u) - offset.dot(&t) * cosine / sine
        } else {
            offset.dot(&u)
        };
        Self {
            alpha: sine.atan2(cosine),
            offset: offset.dot(&w),
            clock,
            foot,
            t,
            w,
        }
    }

    /// A round main that stands to the landing by these figures alone: `alpha`, `offset`,
    /// `clock` and `foot` (`t` and `w` are not read). With one figure changed it stands for
    /// a cut made wrong.
    #[must_use]
    pub fn main(&self, landing: &Landing, radius: f64) -> Main {
        let u = landing.inward();
        let t = landing.axes.across(self.clock);
        let (sin, cos) = self.alpha.sin_cos();
        let point: Point3<f64> = landing.point + u * self.foot + u.cross(&t) * self.offset;
        Main {
            point,
            direction: u * cos + t * sin,
            outside: Outside::Round { radius },
            ends_here: false,
            straight: None,
        }
    }

    /// s of a round main's surface where it is left by the generator at φ on the radius
    /// `rho`, m: [sqrt(R² − (ρ sin φ' − e)²) + ρ cos φ' cos α]/sin α from the foot, from the
    /// work point here; None where the generator misses.
    #[must_use]
    pub fn profile(&self, end: End, phi: f64, rho: f64, main_radius: f64) -> Option<f64> {
        let (sin, cos) = self.phi_from_t(end, phi).sin_cos();
        let y = rho * sin - self.offset;
        let square = main_radius * main_radius - y * y;
        let tangent = -1e-9 * main_radius * main_radius;
        if square.is_nan() || square < tangent || self.alpha.sin() < 1e-12 {
            return None;
        }
        let up = square.max(0.0).sqrt() + rho * cos * self.alpha.cos();
        Some(self.foot + up / self.alpha.sin())
    }

    /// φ' about u from t, rad, of φ about d from the scribe line.
    #[must_use]
    pub fn phi_from_t(&self, end: End, phi: f64) -> f64 {
        match end {
            End::A => phi - self.clock,
            End::B => self.clock - phi,
        }
    }
}

/// Clock of end B's main less end A's, rad, in (−π, π].
#[must_use]
pub fn relative_clock(a: &Pair, b: &Pair) -> f64 {
    within_turn(b.clock - a.clock)
}
