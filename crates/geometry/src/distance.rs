//! Distance between convex bodies: cylinders, boxes and segments, each grown by a radius.
//!
//! The core distance is found by walking the difference of both bodies toward the origin (Gilbert, Johnson, Keerthi 1988);
//! two segments have a closed form (Ericson, Real-Time Collision Detection, 5.1.9, from memory).

use nalgebra::{Point3, Vector3};

use crate::pose::Pose;

/// What is left of a body when its rounding is taken off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Core {
    /// A right circular cylinder; a disc when it has no width.
    Cylinder {
        /// Middle of its axis, m.
        centre: Point3<f64>,
        /// Unit vector along its axis.
        axis: Vector3<f64>,
        /// Radius, m, zero or more.
        radius: f64,
        /// Half its width, m, zero or more.
        half_width: f64,
    },
    /// A box.
    Box {
        /// Its centre, m.
        centre: Point3<f64>,
        /// Half its edges, m, zero or more.
        half: [f64; 3],
        /// Unit vectors along its edges, at right angles.
        axes: [Vector3<f64>; 3],
    },
    /// The line between two points.
    Segment {
        /// One end, m.
        a: Point3<f64>,
        /// The other, m.
        b: Point3<f64>,
    },
}

impl Core {
    /// Farthest point in a direction.
    fn support(&self, d: &Vector3<f64>) -> Point3<f64> {
        match self {
            Self::Cylinder {
                centre,
                axis,
                radius,
                half_width,
            } => {
                let along = d.dot(axis);
                let aside = d - axis * along;
                // A direction almost along the axis leaves rounding behind, which need not stand square to it.
                let square = |v: Vector3<f64>| {
                    let u = v.try_normalize(0.0)?;
                    let u = u - axis * u.dot(axis);
                    u.try_normalize(0.5)
                };
                let rim = square(aside).map_or_else(Vector3::zeros, |u| u * *radius);
                centre + rim + axis * half_width.copysign(along)
            }
            Self::Box { centre, half, axes } => {
                let mut p = *centre;
                for (axis, half) in axes.iter().zip(half) {
                    p += axis * half.copysign(d.dot(axis));
                }
                p
            }
            Self::Segment { a, b } => {
                if d.dot(&(b - a)) > 0.0 {
                    *b
                } else {
                    *a
                }
            }
        }
    }

    /// Carried by a body to a pose; drawn in body axes from the body's origin.
    #[must_use]
    pub fn placed(&self, pose: &Pose) -> Self {
        let turn = pose.rotation();
        match self {
            Self::Cylinder {
                centre,
                axis,
                radius,
                half_width,
            } => Self::Cylinder {
                centre: pose.place(centre),
                axis: turn * axis,
                radius: *radius,
                half_width: *half_width,
            },
            Self::Box { centre, half, axes } => Self::Box {
                centre: pose.place(centre),
                half: *half,
                axes: axes.map(|a| turn * a),
            },
            Self::Segment { a, b } => Self::Segment {
                a: pose.place(a),
                b: pose.place(b),
            },
        }
    }

    fn is_finite(&self) -> bool {
        let point = |p: &Point3<f64>| p.iter().all(|v| v.is_finite());
        let vector = |v: &Vector3<f64>| v.iter().all(|x| x.is_finite());
        match self {
            Self::Cylinder {
                centre,
                axis,
                radius,
                half_width,
            } => point(centre) && vector(axis) && radius.is_finite() && half_width.is_finite(),
            Self::Box { centre, half, axes } => {
                point(centre) && half.iter().all(|h| h.is_finite()) && axes.iter().all(vector)
            }
            Self::Segment { a, b } => point(a) && point(b),
        }
    }
}

/// A core grown by a radius, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Core.
    pub core: Core,
    /// Radius it is grown by, m, zero or more.
    pub grown: f64,
}

/// Two points that are nearest to each other, one on each body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// Their distance, m.
    pub distance: f64,
    /// On the first.
    pub first: Point3<f64>,
    /// On the second.
    pub second: Point3<f64>,
}

/// Room between two grown bodies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gap {
    /// Their cores are apart.
    Apart {
        /// Gap, m; negative: they overlap by that much.
        gap: f64,
        /// Nearest point on the surface of the first, m.
        first: Point3<f64>,
        /// On the second.
        second: Point3<f64>,
    },
    /// Their cores meet: one runs through the other, and no number says how deep.
    RunsThrough,
}

impl Gap {
    /// The gap, m; None when one runs through the other.
    #[must_use]
    pub const fn value(&self) -> Option<f64> {
        match self {
            Self::Apart { gap, .. } => Some(*gap),
            Self::RunsThrough => None,
        }
    }
}

/// Share of the distance within which it is found.
pub const CLOSE: f64 = 1e-11;

/// Gap between two grown bodies. None: a figure is not finite.
#[must_use]
pub fn gap(one: &Body, other: &Body) -> Option<Gap> {
    gap_from(one, other, &Vector3::x(), CLOSE)
}

/// The same from a guess: a direction from the first toward the second, and the share of the core distance within which
/// it is to be found ([`CLOSE`]; more is faster, and never says less than the gap).
#[must_use]
pub fn gap_from(one: &Body, other: &Body, toward: &Vector3<f64>, close: f64) -> Option<Gap> {
    if !(one.core.is_finite()
        && other.core.is_finite()
        && one.grown.is_finite()
        && other.grown.is_finite())
    {
        return None;
    }
    let Some(near) = core_distance_from(&one.core, &other.core, toward, close) else {
        return Some(Gap::RunsThrough);
    };
    let way = (near.second - near.first) / near.distance;
    let gap = near.distance - one.grown - other.grown;
    if !gap.is_finite() {
        return None;
    }
    Some(Gap::Apart {
        gap,
        first: near.first + way * one.grown,
        second: near.second - way * other.grown,
    })
}

/// Nearest points of two segments a–b and c–d, m. At 0 distance both are the point in common.
#[must_use]
pub fn segments(a: &Point3<f64>, b: &Point3<f64>, c: &Point3<f64>, d: &Point3<f64>) -> Nearest {
    let (u, v, r) = (b - a, d - c, a - c);
    let (uu, vv) = (u.norm_squared(), v.norm_squared());
    let (uv, ur, vr) = (u.dot(&v), u.dot(&r), v.dot(&r));
    let held = |x: f64| if x.is_nan() { 0.0 } else { x.clamp(0.0, 1.0) };
    let (s, t) = if uu <= 0.0 {
        (0.0, held(vr / vv))
    } else if vv <= 0.0 {
        (held(-ur / uu), 0.0)
    } else {
        let cross = uu * vv - uv * uv;
        // Parallel: any point will do, its partner is clamped below.
        let s = if cross > 1e-14 * uu * vv {
            held((uv * vr - ur * vv) / cross)
        } else {
            0.0
        };
        let t = (uv * s + vr) / vv;
        if t < 0.0 {
            (held(-ur / uu), 0.0)
        } else if t > 1.0 {
            (held((uv - ur) / uu), 1.0)
        } else {
            (s, t)
        }
    };
    let (first, second) = (a + u * s, c + v * t);
    Nearest {
        distance: (second - first).norm(),
        first,
        second,
    }
}

/// A point of the difference with the points it comes from.
#[derive(Clone, Copy)]
struct Vertex {
    w: Vector3<f64>,
    first: Point3<f64>,
    second: Point3<f64>,
}

/// Up to four vertices and the weights of the point nearest to the origin.
#[derive(Clone, Copy)]
struct Simplex {
    vertex: [Vertex; 4],
    weight: [f64; 4],
    count: usize,
}

impl Simplex {
    fn keep(&mut self, kept: &[(usize, f64)]) {
        let old = *self;
        self.count = kept.len();
        for (slot, (index, weight)) in kept.iter().enumerate() {
            self.vertex[slot] = old.vertex[*index];
            self.weight[slot] = *weight;
        }
    }

    fn nearest(&self) -> Vector3<f64> {
        let mut v = Vector3::zeros();
        for i in 0..self.count {
            v += self.vertex[i].w * self.weight[i];
        }
        v
    }

    fn edge(&self, i: usize, j: usize) -> Reduced {
        let (a, b) = (self.vertex[i].w, self.vertex[j].w);
        let ab = b - a;
        let t = -a.dot(&ab);
        let length = ab.norm_squared();
        if t <= 0.0 || length <= 0.0 {
            Reduced::one(i)
        } else if t >= length {
            Reduced::one(j)
        } else {
            Reduced::two(i, j, t / length)
        }
    }

    /// Nearest point of a triangle to the origin: inside, or on one of its edges.
    fn triangle(&self, i: usize, j: usize, k: usize) -> Reduced {
        let (a, b, c) = (self.vertex[i].w, self.vertex[j].w, self.vertex[k].w);
        let n = (b - a).cross(&(c - a));
        let nn = n.norm_squared();
        if nn > 0.0 {
            // Weights of the foot of the normal from the origin.
            let wa = n.dot(&b.cross(&c));
            let wb = n.dot(&c.cross(&a));
            let wc = n.dot(&a.cross(&b));
            if wa > 0.0 && wb > 0.0 && wc > 0.0 {
                let sum = wa + wb + wc;
                return Reduced::three([(i, wa / sum), (j, wb / sum), (k, wc / sum)]);
            }
        }
        self.least(&[self.edge(i, j), self.edge(j, k), self.edge(k, i)])
    }

    fn value(&self, r: &Reduced) -> f64 {
        let mut v = Vector3::zeros();
        for (i, weight) in &r.kept[..r.count] {
            v += self.vertex[*i].w * *weight;
        }
        v.norm_squared()
    }

    fn least(&self, of: &[Reduced]) -> Reduced {
        let mut best = of[0];
        let mut least = self.value(&best);
        for r in &of[1..] {
            let value = self.value(r);
            if value < least {
                (best, least) = (*r, value);
            }
        }
        best
    }

    /// Reduces to the vertices that carry the nearest point; true: the origin is inside. `apart`: it is proved that it is not, whatever
    /// rounding makes of a flat tetrahedron.
    fn reduce(&mut self, apart: bool) -> bool {
        let reduced = match self.count {
            1 => Reduced::one(0),
            2 => self.edge(0, 1),
            3 => self.triangle(0, 1, 2),
            _ => {
                let faces = [[0, 1, 2, 3], [0, 2, 3, 1], [0, 3, 1, 2], [1, 3, 2, 0]];
                let mut outside = [Reduced::one(0); 4];
                let mut count = 0;
                for [i, j, k, opposite] in faces {
                    let a = self.vertex[i].w;
                    let n = (self.vertex[j].w - a).cross(&(self.vertex[k].w - a));
                    let (origin, inner) = (-n.dot(&a), n.dot(&(self.vertex[opposite].w - a)));
                    if apart || origin * inner < 0.0 {
                        outside[count] = self.triangle(i, j, k);
                        count += 1;
                    }
                }
                if count == 0 {
                    return true;
                }
                self.least(&outside[..count])
            }
        };
        self.keep(&reduced.kept[..reduced.count]);
        false
    }
}

#[derive(Clone, Copy)]
struct Reduced {
    kept: [(usize, f64); 3],
    count: usize,
}

impl Reduced {
    const fn one(i: usize) -> Self {
        Self {
            kept: [(i, 1.0), (0, 0.0), (0, 0.0)],
            count: 1,
        }
    }

    fn two(i: usize, j: usize, t: f64) -> Self {
        Self {
            kept: [(i, 1.0 - t), (j, t), (0, 0.0)],
            count: 2,
        }
    }

    const fn three(kept: [(usize, f64); 3]) -> Self {
        Self { kept, count: 3 }
    }
}

/// Nearest points of two cores; None: they meet.
#[must_use]
pub fn core_distance(one: &Core, other: &Core) -> Option<Nearest> {
    core_distance_from(one, other, &Vector3::x(), CLOSE)
}

fn core_distance_from(
    one: &Core,
    other: &Core,
    toward: &Vector3<f64>,
    close: f64,
) -> Option<Nearest> {
    /// m: nearer than this they meet.
    const MEET: f64 = 1e-12;
    if let (Core::Segment { a, b }, Core::Segment { a: c, b: d }) = (one, other) {
        let near = segments(a, b, c, d);
        return (near.distance > MEET).then_some(near);
    }
    let vertex = |d: &Vector3<f64>| {
        let (first, second) = (one.support(d), other.support(&-d));
        Vertex {
            w: first - second,
            first,
            second,
        }
    };
    let start = vertex(toward);
    let mut simplex = Simplex {
        vertex: [start; 4],
        weight: [1.0, 0.0, 0.0, 0.0],
        count: 1,
    };
    let mut v = start.w;
    let mut apart = false;
    for _ in 0..128 {
        let square = v.norm_squared();
        if square <= MEET * MEET {
            return None;
        }
        let new = vertex(&-v);
        // The plane through the new point, square to v, has the whole difference on its far side.
        apart |= v.dot(&new.w) > 0.0;
        if square - v.dot(&new.w) <= close * square {
            break;
        }
        if simplex.vertex[..simplex.count]
            .iter()
            .any(|old| old.w == new.w)
        {
            break;
        }
        let before = simplex;
        simplex.vertex[simplex.count] = new;
        simplex.count += 1;
        if simplex.reduce(apart) {
            return None;
        }
        let next = simplex.nearest();
        if next.norm_squared() >= square {
            // Rounding has the last word.
            simplex = before;
            break;
        }
        v = next;
    }
    let (mut first, mut second) = (Vector3::zeros(), Vector3::zeros());
    for i in 0..simplex.count {
        first += simplex.vertex[i].first.coords * simplex.weight[i];
        second += simplex.vertex[i].second.coords * simplex.weight[i];
    }
    Some(Nearest {
        distance: v.norm(),
        first: Point3::from(first),
        second: Point3::from(second),
    })
}
