//! Cross-sections of tube.
//!
//! The coordinate round the outside is φ (rad) for round tube, and for rectangular tube the
//! distance p (m) round the outside from the middle of the up face, toward e2. Both are
//! called `at` here.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::{BadInput, not_negative, positive};

/// A tube's cross-section, nominal sizes, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Section {
    /// Round tube.
    Round {
        /// Outside diameter.
        od: f64,
        /// Wall.
        wall: f64,
    },
    /// Rectangular or square tube.
    Rectangular {
        /// Outside height, along e1.
        height: f64,
        /// Outside width, along e2.
        width: f64,
        /// Wall.
        wall: f64,
        /// Outside corner radius, 0 for sharp corners.
        corner: f64,
    },
}

/// A place on a section: along e1, along e2, and the outward normal there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Along e1, m.
    pub up: f64,
    /// Along e2, m.
    pub side: f64,
    /// Outward unit normal of the outside: along e1, along e2.
    pub normal: [f64; 2],
}

impl Section {
    /// Round tube.
    #[must_use]
    pub const fn round(od: f64, wall: f64) -> Self {
        Self::Round { od, wall }
    }

    /// Rectangular tube with the usual outside corner radius of twice the wall.
    #[must_use]
    pub const fn rectangular(height: f64, width: f64, wall: f64) -> Self {
        Self::Rectangular {
            height,
            width,
            wall,
            corner: 2.0 * wall,
        }
    }

    /// Wall, m.
    #[must_use]
    pub const fn wall(&self) -> f64 {
        match self {
            Self::Round { wall, .. } | Self::Rectangular { wall, .. } => *wall,
        }
    }

    /// Whether such a tube can exist.
    ///
    /// # Errors
    /// A size that is not positive or finite; a wall of half the tube or more; corners
    /// rounder than the side is long.
    pub fn check(&self) -> Result<(), BadInput> {
        let least = match *self {
            Self::Round { od, .. } => positive("outside diameter", od)?,
            Self::Rectangular {
                height,
                width,
                corner,
                ..
            } => {
                let least = positive("height", height)?.min(positive("width", width)?);
                not_negative("corner radius", corner)?;
                if corner > 0.5 * least {
                    return Err(BadInput::TooMuch {
                        what: "corner radius",
                        value: corner,
                        most: 0.5 * least,
                    });
                }
                least
            }
        };
        let wall = positive("wall", self.wall())?;
        if wall > 0.5 * least {
            return Err(BadInput::TooMuch {
                what: "wall",
                value: wall,
                most: 0.5 * least,
            });
        }
        Ok(())
    }

    /// Length of the coordinate round the outside: 2π (rad) for round tube, the girth (m)
    /// for rectangular.
    #[must_use]
    pub fn turn(&self) -> f64 {
        match *self {
            Self::Round { .. } => TAU,
            Self::Rectangular { .. } => self.girth(),
        }
    }

    /// Girth of the outside, m.
    #[must_use]
    pub fn girth(&self) -> f64 {
        match *self {
            Self::Round { od, .. } => PI * od,
            Self::Rectangular {
                height,
                width,
                corner,
                ..
            } => 2.0 * (height + width - 4.0 * corner) + TAU * corner,
        }
    }

    /// Area of metal, m².
    #[must_use]
    pub fn area(&self) -> f64 {
        match *self {
            Self::Round { od, wall } => PI * wall * (od - wall),
            Self::Rectangular {
                height,
                width,
                wall,
                corner,
            } => {
                let cut = (4.0 - PI) * corner * corner;
                let inner = (corner - wall).max(0.0);
                let hole =
                    (height - 2.0 * wall) * (width - 2.0 * wall) - (4.0 - PI) * inner * inner;
                height * width - cut - hole
            }
        }
    }

    /// Distance x from the scribe line along the face of a sheet of thickness `paper`
    /// wrapped round the tube, its middle kept at length, m.
    #[must_use]
    pub fn wrapped(&self, at: f64, paper: f64) -> f64 {
        match *self {
            Self::Round { od, .. } => at * 0.5 * (od + paper),
            Self::Rectangular { .. } => {
                // The straight faces keep their length, the corners grow.
                let turn = self.turn();
                let laps = (at / turn).floor();
                let normal = self.walk(at - laps * turn).1;
                at + 0.5 * paper * (normal + laps * TAU)
            }
        }
    }

    /// A place at `depth` (m, 0 the outside, the wall the inside) below the outside.
    #[must_use]
    pub fn place(&self, at: f64, depth: f64) -> Place {
        match *self {
            Self::Round { od, .. } => {
                let (sin, cos) = at.sin_cos();
                let radius = 0.5 * od - depth;
                Place {
                    up: radius * cos,
                    side: radius * sin,
                    normal: [cos, sin],
                }
            }
            Self::Rectangular { height, width, .. } => {
                let turn = self.turn();
                let ([up, side], angle) = self.walk(at.rem_euclid(turn));
                let (sin, cos) = angle.sin_cos();
                // Inside corners are sharp where the wall is more than the corner radius.
                let within = |v: f64, normal: f64, half: f64| {
                    let most = (half - depth).max(0.0);
                    (v - depth * normal).clamp(-most, most)
                };
                Place {
                    up: within(up, cos, 0.5 * height),
                    side: within(side, sin, 0.5 * width),
                    normal: [cos, sin],
                }
            }
        }
    }

    /// Curvature of the outside at `at`, 1/m; 0 on a flat.
    #[must_use]
    pub fn curvature(&self, at: f64) -> f64 {
        match *self {
            Self::Round { od, .. } => 2.0 / od,
            Self::Rectangular { corner, .. } => {
                let angle = self.walk(at.rem_euclid(self.turn())).1;
                let quarter = angle / FRAC_PI_2;
                if corner > 0.0 && (quarter - quarter.round()).abs() > 1e-12 {
                    1.0 / corner
                } else {
                    0.0
                }
            }
        }
    }

    /// Coordinates where flats and corners meet; none for round tube.
    #[must_use]
    pub fn edges(&self) -> Vec<f64> {
        let Self::Rectangular {
            height,
            width,
            corner,
            ..
        } = *self
        else {
            return Vec::new();
        };
        let arc = FRAC_PI_2 * corner;
        let mut at = 0.5 * width - corner;
        let mut edges = Vec::with_capacity(8);
        for flat in [height, width, height, width] {
            edges.push(at);
            edges.push(at + arc);
            at += arc + flat - 2.0 * corner;
        }
        edges
    }

    /// Place on the outside of a rectangular section and the turn of its normal from e1
    /// toward e2, 0 to 2π. `at` within one turn.
    fn walk(&self, at: f64) -> ([f64; 2], f64) {
        let Self::Rectangular {
            height,
            width,
            corner,
            ..
        } = *self
        else {
            let (sin, cos) = at.sin_cos();
            return ([cos, sin], at);
        };
        let (h, b) = (0.5 * height - corner, 0.5 * width - corner);
        let arc = FRAC_PI_2 * corner;
        let mut left = at;
        // Faces in order: up, e2, down, −e2; each with the corner that follows it. The first
        // face starts in its middle.
        let faces = [
            ([h, b], [1.0, 0.0], [0.0, 1.0], b),
            ([-h, b], [0.0, 1.0], [-1.0, 0.0], 2.0 * h),
            ([-h, -b], [-1.0, 0.0], [0.0, -1.0], 2.0 * b),
            ([h, -b], [0.0, -1.0], [1.0, 0.0], 2.0 * h),
        ];
        for (index, (centre, normal, along, flat)) in faces.into_iter().enumerate() {
            let turned = FRAC_PI_2 * index as f64;
            if left <= flat {
                let back = flat - left;
                let at = |i: usize| centre[i] + corner * normal[i] - back * along[i];
                return ([at(0), at(1)], turned);
            }
            left -= flat;
            if left < arc {
                let angle = turned + left / corner;
                let (sin, cos) = angle.sin_cos();
                return ([centre[0] + corner * cos, centre[1] + corner * sin], angle);
            }
            left -= arc;
        }
        // The other half of the up face.
        ([0.5 * height, -b + left], TAU)
    }
}
