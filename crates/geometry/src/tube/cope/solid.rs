//! Mains as solids of their outside surface, and where a line leaves them.

use nalgebra::{Point3, Vector3};

use super::CopeError;
use crate::tube::{BadInput, not_negative, place, positive, unit, usable};

/// Slack of a tangent line, relative: a discriminant above −1e-9 R² is tangent.
const TANGENT: f64 = 1.0e-9;

/// Outside of a main, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outside {
    /// Round, by its radius.
    Round {
        /// Outside radius R.
        radius: f64,
    },
    /// Rectangular or square.
    Rectangular {
        /// Outside height, along `up`.
        height: f64,
        /// Outside width.
        width: f64,
        /// Outside corner radius.
        corner: f64,
        /// Direction of the height; made perpendicular to the main.
        up: Vector3<f64>,
    },
}

/// A tube that another is cut to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Main {
    /// A point of its axis, m; of a main that ends at the joint its own work point.
    pub point: Point3<f64>,
    /// Direction of its axis, any length; of a main that ends at the joint away from it.
    pub direction: Vector3<f64>,
    /// Its outside.
    pub outside: Outside,
    /// Whether it ends at `point`, with a flat end, instead of running through.
    pub ends_here: bool,
    /// How far its straight reaches from `point` along `direction`, m, lower end first; for
    /// remarks only. None: not known.
    pub straight: Option<[f64; 2]>,
}

impl Main {
    /// A round main that runs through.
    #[must_use]
    pub const fn through(point: Point3<f64>, direction: Vector3<f64>, radius: f64) -> Self {
        Self {
            point,
            direction,
            outside: Outside::Round { radius },
            ends_here: false,
            straight: None,
        }
    }

    /// A round main that ends at `point` and runs from there along `direction`.
    #[must_use]
    pub const fn ending(point: Point3<f64>, direction: Vector3<f64>, radius: f64) -> Self {
        Self {
            ends_here: true,
            ..Self::through(point, direction, radius)
        }
    }
}

/// Cross-section in the plane across the main.
#[derive(Clone, Copy, Debug)]
enum Shape {
    Round(f64),
    /// Half height and half width within the corner radius, and that radius.
    Box([f64; 2], f64),
}

/// A checked main.
#[derive(Clone, Copy, Debug)]
pub(super) struct Solid {
    pub(super) origin: Point3<f64>,
    /// Unit direction as given.
    pub(super) axis: Vector3<f64>,
    up: Vector3<f64>,
    side: Vector3<f64>,
    shape: Shape,
    pub(super) ends_here: bool,
    pub(super) straight: Option<[f64; 2]>,
    /// The lines' direction across the main, along up and side, and its square.
    v: [f64; 2],
    speed: f64,
    /// The same along the main.
    slope: f64,
}

impl Solid {
    /// A main that lines along `u`, a unit vector, are to leave.
    pub(super) fn new(main: &Main, u: &Vector3<f64>) -> Result<Self, CopeError> {
        place("point of the main", &main.point)?;
        let axis = unit("direction of the main", &main.direction)?;
        if let Some([from, to]) = main.straight {
            usable("start of the main's straight", from)?;
            usable("end of the main's straight", to)?;
        }
        let (shape, up) = match main.outside {
            Outside::Round { radius } => {
                positive("radius of the main", radius)?;
                (Shape::Round(radius), any_across(&axis))
            }
            Outside::Rectangular {
                height,
                width,
                corner,
                up,
            } => {
                let least = positive("height of the main", height)?
                    .min(positive("width of the main", width)?);
                not_negative("corner radius of the main", corner)?;
                if corner > 0.5 * least {
                    return Err(CopeError::Bad(BadInput::TooMuch {
                        what: "corner radius of the main",
                        value: corner,
                        most: 0.5 * least,
                    }));
                }
                let up = unit("up of the main", &up)?;
                let up = unit("up of the main", &(up - axis * up.dot(&axis)))?;
                let half = [0.5 * height - corner, 0.5 * width - corner];
                (Shape::Box(half, corner), up)
            }
        };
        let side = axis.cross(&up);
        let v = [u.dot(&up), u.dot(&side)];
        Ok(Self {
            v,
            speed: v[0] * v[0] + v[1] * v[1],
            slope: u.dot(&axis),
            origin: main.point,
            axis,
            up,
            side,
            shape,
            ends_here: main.ends_here,
            straight: main.straight,
        })
    }

    pub(super) fn radius(&self) -> Option<f64> {
        match self.shape {
            Shape::Round(radius) => Some(radius),
            Shape::Box(..) => None,
        }
    }

    /// How far the outside reaches from the axis along `w`, a unit vector across the main.
    pub(super) fn reach(&self, w: &Vector3<f64>) -> f64 {
        match self.shape {
            Shape::Round(radius) => radius,
            Shape::Box(half, corner) => {
                let (up, side) = (w.dot(&self.up).abs(), w.dot(&self.side).abs());
                half[0] * up + half[1] * side + corner * up.hypot(side)
            }
        }
    }

    /// Largest s at which the line `from` + s·u leaves the solid; None where it misses.
    #[inline]
    pub(super) fn exit(&self, from: &Point3<f64>) -> Option<f64> {
        let offset = from - self.origin;
        let p = [offset.dot(&self.up), offset.dot(&self.side)];
        let (v, speed) = (self.v, self.speed);
        let (enters, leaves) = match self.shape {
            Shape::Round(radius) => disc(p, v, speed, radius)?,
            Shape::Box(half, corner) => {
                if !self.ends_here
                    && let Some(leaves) = leaves(p, v, speed, half, corner)
                {
                    return Some(leaves);
                }
                rounded(p, v, speed, half, corner)?
            }
        };
        if !self.ends_here {
            return Some(leaves);
        }
        let (z, slope) = (offset.dot(&self.axis), self.slope);
        if slope.abs() < 1e-12 {
            return (z >= -1e-12).then_some(leaves);
        }
        let flat = -z / slope;
        if slope > 0.0 {
            (flat <= leaves).then_some(leaves)
        } else {
            (flat >= enters).then_some(leaves.min(flat))
        }
    }

    /// Largest exit of the lines from points between `from` and `to`, where a main of flats that runs
    /// through has it in closed form; the inner None where all of them miss.
    ///
    /// In the plane of a point's share of the way and s the section is convex: its highest point is where a line along
    /// the way from `from` to `to` touches it, and beyond the ends s falls away from it.
    #[expect(clippy::option_option, reason = "no closed form, or a miss")]
    pub(super) fn most_between(&self, from: &Point3<f64>, to: &Point3<f64>) -> Option<Option<f64>> {
        let (Shape::Box(half, corner), false) = (self.shape, self.ends_here) else {
            return None;
        };
        let across = |w: &Vector3<f64>| [w.dot(&self.up), w.dot(&self.side)];
        let p = across(&(from - self.origin));
        let (way, v) = (across(&(to - from)), self.v);
        let turned = way[0] * v[1] - way[1] * v[0];
        let size = (way[0] * way[0] + way[1] * way[1]) * self.speed;
        if turned * turned < 1e-18 * size {
            return None;
        }
        // s and the share of the way as linear functions in the plane.
        let s = [-way[1] / turned, way[0] / turned];
        let share = [v[1] / turned, -v[0] / turned];
        let length = (s[0] * s[0] + s[1] * s[1]).sqrt();
        let touch = [0, 1].map(|k| half[k].copysign(s[k]) + corner * s[k] / length - p[k]);
        let at = share[0] * touch[0] + share[1] * touch[1];
        if (0.0..=1.0).contains(&at) {
            return Some(Some(s[0] * touch[0] + s[1] * touch[1]));
        }
        let ends = [self.exit(from), self.exit(to)];
        Some(ends.into_iter().flatten().reduce(f64::max))
    }

    /// Distance of a point from the solid, m; 0 inside.
    pub(super) fn distance(&self, point: &Point3<f64>) -> f64 {
        let offset = point - self.origin;
        let (up, side) = (offset.dot(&self.up).abs(), offset.dot(&self.side).abs());
        let across = match self.shape {
            Shape::Round(radius) => up.hypot(side) - radius,
            Shape::Box(half, corner) => {
                let (x, y) = ((up - half[0]).max(0.0), (side - half[1]).max(0.0));
                x.hypot(y) - corner
            }
        };
        let before = if self.ends_here {
            (-offset.dot(&self.axis)).max(0.0)
        } else {
            0.0
        };
        across.max(0.0).hypot(before)
    }
}

fn any_across(axis: &Vector3<f64>) -> Vector3<f64> {
    let least = axis.iamin();
    let mut pick = Vector3::zeros();
    pick[least] = 1.0;
    (pick - axis * axis[least]).normalize()
}

/// Where the line p + s·v enters and leaves a disc round the origin.
#[inline]
fn disc(p: [f64; 2], v: [f64; 2], speed: f64, radius: f64) -> Option<(f64, f64)> {
    // Distance of the line from the centre, by the cross product: no digits lost far away.
    let miss = p[0] * v[1] - p[1] * v[0];
    let square = radius * radius - miss * miss / speed;
    if square.is_nan() || square < -TANGENT * radius * radius {
        return None;
    }
    let half = (square.max(0.0) / speed).sqrt();
    let middle = -(p[0] * v[0] + p[1] * v[1]) / speed;
    Some((middle - half, middle + half))
}

/// Where the line leaves a rectangle with rounded corners: a flat where it ends on one, else the corner in its way. None
/// where it misses, or nearly so, or runs along a flat: for [`rounded`] to say.
#[inline]
fn leaves(p: [f64; 2], v: [f64; 2], speed: f64, half: [f64; 2], corner: f64) -> Option<f64> {
    if v[0].abs() < 1e-9 || v[1].abs() < 1e-9 {
        return None;
    }
    // Mirrored so that the line rises along both.
    let p = [p[0] * v[0].signum(), p[1] * v[1].signum()];
    let v = [v[0].abs(), v[1].abs()];
    let t = [0, 1].map(|k| (half[k] + corner - p[k]) / v[k]);
    let beside = [p[1] + t[0] * v[1], p[0] + t[1] * v[0]];
    if beside[0].abs() <= half[1] {
        return Some(t[0]);
    }
    if beside[1].abs() <= half[0] {
        return Some(t[1]);
    }
    // Past the far corner, or under one flat's end or beside the other's.
    let sign = if beside[0] < 0.0 {
        [1.0, -1.0]
    } else if beside[1] < 0.0 {
        [-1.0, 1.0]
    } else {
        [1.0, 1.0]
    };
    let from = [0, 1].map(|k| p[k] - sign[k] * half[k]);
    let miss = from[0] * v[1] - from[1] * v[0];
    let square = corner * corner - miss * miss / speed;
    (square > TANGENT * corner * corner).then(|| {
        let middle = -(from[0] * v[0] + from[1] * v[1]) / speed;
        middle + (square / speed).sqrt()
    })
}

/// The same for a rectangle whose corners are rounded: two crossed rectangles and four discs.
fn rounded(
    p: [f64; 2],
    v: [f64; 2],
    speed: f64,
    half: [f64; 2],
    corner: f64,
) -> Option<(f64, f64)> {
    let mut span: Option<(f64, f64)> = None;
    let mut join = |part: Option<(f64, f64)>| {
        if let Some((enters, leaves)) = part {
            span = Some(span.map_or((enters, leaves), |(a, b)| (a.min(enters), b.max(leaves))));
        }
    };
    join(slab(p, v, [half[0] + corner, half[1]]));
    join(slab(p, v, [half[0], half[1] + corner]));
    if corner > 0.0 {
        for (x, y) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
            let from = [p[0] - x * half[0], p[1] - y * half[1]];
            join(disc(from, v, speed, corner));
        }
    }
    span
}

fn slab(p: [f64; 2], v: [f64; 2], half: [f64; 2]) -> Option<(f64, f64)> {
    let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
    let size = half[0].max(half[1]);
    for i in 0..2 {
        if v[i].abs() < 1e-12 {
            if p[i].abs() > half[i] + 0.5 * TANGENT * size {
                return None;
            }
            continue;
        }
        let (a, b) = ((-half[i] - p[i]) / v[i], (half[i] - p[i]) / v[i]);
        from = from.max(a.min(b));
        to = to.min(a.max(b));
    }
    (from <= to + TANGENT * size && to.is_finite()).then_some((from, to))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

    use proptest::prelude::*;

    use super::*;

    fn box_main(height: f64, width: f64, corner: f64) -> Main {
        Main {
            point: Point3::new(0.01, -0.02, 0.03),
            direction: Vector3::new(1.0, 0.2, -0.1),
            outside: Outside::Rectangular {
                height,
                width,
                corner,
                up: Vector3::new(0.0, 0.3, 1.0),
            },
            ends_here: false,
            straight: None,
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        /// The short way agrees with crossed rectangles and discs, and what it leaves to them is a miss or a hair's touch.
        #[test]
        fn a_line_leaves_where_the_pieces_say(
            p in [-0.2..0.2, -0.2..0.2], angle in 0.0..std::f64::consts::TAU,
            half in [0.0..0.08, 0.0..0.08], corner in 0.0..0.03,
        ) {
            let v = [angle.cos(), angle.sin()];
            let whole = rounded(p, v, 1.0, half, corner);
            match leaves(p, v, 1.0, half, corner) {
                Some(s) => {
                    let (_, most) = whole.expect("the pieces are met");
                    prop_assert!((s - most).abs() < 1e-9, "{s} {most}");
                }
                None => {
                    let chord = whole.map_or(0.0, |(from, to)| to - from);
                    let flat = v[0].abs().min(v[1].abs()) < 1e-9;
                    prop_assert!(flat || chord < 1e-4, "{whole:?}");
                }
            }
        }

        /// The closed form is the largest of many lines between the two.
        #[test]
        fn the_most_between_two_lines_is_the_largest_of_many(
            from in [-0.1..0.1, -0.1..0.1, -0.1..0.1], way in [-0.02..0.02, -0.02..0.02, -0.02..0.02],
            u in [-1.0..1.0, -1.0..1.0, -1.0..1.0],
            size in [0.02..0.15, 0.02..0.15], round in 0.0..0.5,
        ) {
            let u = Vector3::from(u);
            prop_assume!(u.norm() > 0.1);
            let main = box_main(size[0], size[1], round * size[0].min(size[1]));
            let solid = Solid::new(&main, &u.normalize()).unwrap();
            let (from, way) = (Point3::from(from), Vector3::from(way));
            let Some(most) = solid.most_between(&from, &(from + way)) else { return Ok(()) };
            let many = (0..=400).filter_map(|i| solid.exit(&(from + way * (f64::from(i) / 400.0))));
            match (most, many.reduce(f64::max)) {
                (Some(most), Some(seen)) => {
                    prop_assert!(seen <= most + 1e-9, "{seen} above {most}");
                    // The highest of 401 lines lies within a share of the way of the highest of all.
                    let steep = way.norm() / 400.0 * 60.0;
                    prop_assert!(most - seen < steep + 1e-6, "{most} far above {seen}");
                }
                (None, None) => {}
                (Some(_), None) => {} // met between two of the many only
                (None, Some(seen)) => prop_assert!(false, "missed, yet left at {seen}"),
            }
        }
    }
}
