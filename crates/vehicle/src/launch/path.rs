//! The path of balances as the acceleration grows, and where it ends.
//!
//! The path is followed by arclength, so that it can be seen turning back: a limit point. Scaled coordinates:
//! lengths and angles over 0.02 m (rad), acceleration in standard gravities.

use super::car::{LaunchModel, MAX_COILOVERS, Manoeuvre};
use super::forces::{Acting, Coordinates, N};
use super::newton::{Lu, largest};
use crate::STANDARD_GRAVITY;

/// What ends the path of balances.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitKind {
    /// Both front tyres carry nothing: beyond it the car goes over backwards.
    FrontWheelsOff,
    /// Both rear tyres carry nothing (braking): beyond it the car goes over its nose.
    RearWheelsOff,
    /// The path turns back: no balance exists at a larger acceleration.
    LimitPoint,
}

impl std::fmt::Display for LimitKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::FrontWheelsOff => "front wheels off the ground",
            Self::RearWheelsOff => "rear wheels off the ground",
            Self::LimitPoint => "limit point, no balance beyond",
        })
    }
}

const M: usize = N + 1;
/// Scale of lengths and angles, m or rad.
const SCALE: f64 = 0.02;
const LONGEST: f64 = 0.5;
const SHORTEST: f64 = 1e-9;
const MAX_STEPS: usize = 4000;
/// Deflection (m) of a spring or tyre that counts as none: what the bisection of a limit leaves.
const NO_LOAD: f64 = 1e-9;
/// The same where a walk ends stuck at it, m.
const STUCK_LOAD: f64 = 1e-8;
/// Least cosine between the tangents at both ends of a step.
const STRAIGHT: f64 = 0.85;
/// A step shorter than this may change what touches.
const NEAR_CORNER: f64 = 1e-3;
/// A step shorter than this may turn a sharp corner.
const SHORT: f64 = 1e-5;

/// A point on the path: the state and the acceleration, m/s².
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PathPoint {
    pub(crate) q: Coordinates,
    pub(crate) a: f64,
}

/// How a walk ended.
pub(crate) enum Ended {
    /// The watched quantity reached zero.
    Watched(PathPoint),
    /// No balance beyond.
    Limit(LimitKind, PathPoint),
    /// Lost on the way, at the last point.
    Lost(PathPoint),
}

/// A point with the tangent there, scaled.
#[derive(Clone, Copy)]
struct Node {
    point: PathPoint,
    tangent: [f64; M],
    acting: Acting,
}

/// A figure of a node that is positive until something happens.
type Reading<'a> = &'a dyn Fn(&Node) -> f64;

fn scaled(p: &PathPoint) -> [f64; M] {
    std::array::from_fn(|i| match p.q.get(i) {
        Some(v) => v / SCALE,
        None => p.a / STANDARD_GRAVITY,
    })
}

fn unscaled(y: &[f64; M]) -> PathPoint {
    PathPoint {
        q: std::array::from_fn(|i| y[i] * SCALE),
        a: y[N] * STANDARD_GRAVITY,
    }
}

fn dot(a: &[f64; M], b: &[f64; M]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// One arclength walk of a model.
pub(crate) struct Walk<'a> {
    pub(crate) model: &'a LaunchModel,
    pub(crate) manoeuvre: Manoeuvre,
}

impl Walk<'_> {
    /// Stiffness and acceleration column over a last row, in scaled coordinates.
    fn bordered(&self, y: &[f64; M], last: &[f64; M]) -> ([[f64; M]; M], [f64; N], Acting) {
        let p = unscaled(y);
        let s = self.model.system(&p.q, p.a, self.manoeuvre, &[]);
        let matrix = std::array::from_fn(|i| {
            if i == N {
                return *last;
            }
            std::array::from_fn(|j| {
                if j == N {
                    s.by_acceleration[i] * STANDARD_GRAVITY
                } else {
                    s.stiffness[i][j] * SCALE
                }
            })
        });
        (matrix, s.residual, s.acting)
    }

    /// The node at `y`, its tangent on the side of `along`.
    fn node(&self, y: &[f64; M], along: &[f64; M]) -> Option<Node> {
        let (matrix, _, acting) = self.bordered(y, along);
        let mut right = [0.0; M];
        right[N] = 1.0;
        let t = Lu::new(matrix)?.solve(&right);
        let length = dot(&t, &t).sqrt();
        (length.is_finite() && length > 0.0).then(|| Node {
            point: unscaled(y),
            tangent: t.map(|v| v / length),
            acting,
        })
    }

    /// The point of the path on the plane at `ds` from `from` along the unit vector `normal` (mostly the tangent: then `ds` is
    /// the arclength to first order).
    fn step(&self, from: &Node, normal: &[f64; M], ds: f64) -> Option<Node> {
        let start = scaled(&from.point);
        let slant = dot(normal, &from.tangent);
        if slant <= 1e-6 {
            return None;
        }
        let mut y: [f64; M] = std::array::from_fn(|i| start[i] + ds / slant * from.tangent[i]);
        for _ in 0..16 {
            let (matrix, residual, _) = self.bordered(&y, normal);
            let mut right = [0.0; M];
            right[..N].copy_from_slice(&residual);
            right[N] = dot(normal, &std::array::from_fn(|i| y[i] - start[i])) - ds;
            let d = Lu::new(matrix)?.solve(&right);
            let size = largest(&d);
            // Far away means another path.
            if !(size.is_finite() && size < 10.0) {
                return None;
            }
            for (v, s) in y.iter_mut().zip(&d) {
                *v -= s;
            }
            if size < 1e-9 {
                let mut node = self.node(&y, normal)?;
                // Behind a sharp corner "onward" may point against the tangent before it, never against the way through.
                let changed = node.acting.contacts() ^ from.acting.contacts();
                if changed != 0
                    && dot(&node.tangent, &from.tangent) < STRAIGHT
                    && let Some(through) = self.through_the_corner(from, changed)
                    && dot(&through, &node.tangent) < 0.0
                {
                    node.tangent = node.tangent.map(|v| -v);
                }
                return Some(node);
            }
        }
        None
    }

    /// Where tyres lift or springs come loose: each falls through zero there.
    fn kinks(&self, y: &[f64; M]) -> [f64; 4 + MAX_COILOVERS] {
        let p = unscaled(y);
        let acting = self.model.system(&p.q, p.a, self.manoeuvre, &[]).acting;
        let front = acting
            .front_unclamped
            .map(|n| n / self.model.car.front_rate);
        let mut all = [f64::INFINITY; 4 + MAX_COILOVERS];
        all[..2].copy_from_slice(&front);
        all[2..4].copy_from_slice(&acting.rear_deflection);
        for (i, coil) in self.model.coilovers.iter().enumerate() {
            all[4 + i] = coil.length - acting.coil_length[i];
        }
        all
    }

    /// At a corner of the path (a tyre about to lift, a spring about to come loose or the reverse): the unit vector straight
    /// through it. Planes square to the tangent may miss the path behind a sharp corner, planes square to this do not.
    /// `changed` says which of them ([`Acting::contacts`]) turn it, 0: the nearest.
    fn through_the_corner(&self, here: &Node, changed: u16) -> Option<[f64; M]> {
        const H: f64 = 1e-6;
        let y = scaled(&here.point);
        let now = self.kinks(&y);
        let gradient = |kink: usize| -> [f64; M] {
            std::array::from_fn(|i| {
                let shifted = |d: f64| {
                    let mut z = y;
                    z[i] += d;
                    self.kinks(&z)[kink]
                };
                (shifted(H) - shifted(-H)) / (2.0 * H)
            })
        };
        let (kink, _) = now
            .iter()
            .enumerate()
            .filter(|(i, v)| {
                let turns = changed == 0 || changed >> (now.len() - 1 - i) & 1 == 1;
                v.is_finite() && turns
            })
            .min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
        let g = gradient(kink);
        let toward = if dot(&g, &here.tangent) < 0.0 {
            -1.0
        } else {
            1.0
        };
        let length = dot(&g, &g).sqrt();
        (length > 0.0).then(|| g.map(|v| toward * v / length))
    }

    /// Where `f` (positive at 0, not positive at `high`) reaches zero along `normal` from `from`.
    fn root(
        &self,
        from: &Node,
        normal: &[f64; M],
        high: f64,
        f: Reading<'_>,
    ) -> Option<(f64, Node)> {
        let (mut low, mut high, mut f_low) = (0.0, high, f(from));
        let mut at_high = self.step(from, normal, high)?;
        let mut f_high = f(&at_high);
        let (mut low_kept, mut high_kept) = (0, 0);
        for turn in 0..80 {
            if high - low < 1e-13 || f_high == 0.0 {
                break;
            }
            // False position weakened at an end that stays (Illinois); every fourth a halving.
            let weigh = |f: f64, kept: i32| f * 0.5_f64.powi(kept);
            let (a, b) = (weigh(f_low, low_kept), weigh(f_high, high_kept));
            let mut s = if turn % 4 == 3 {
                0.5 * (low + high)
            } else {
                low + (high - low) * a / (a - b)
            };
            if !(s > low && s < high) {
                s = 0.5 * (low + high);
            }
            if !(s > low && s < high) {
                break;
            }
            let node = self.step(from, normal, s)?;
            let value = f(&node);
            if value > 0.0 {
                (low, f_low) = (s, value);
                (low_kept, high_kept) = (0, high_kept + 1);
            } else {
                (high, f_high, at_high) = (s, value, node);
                (high_kept, low_kept) = (0, low_kept + 1);
            }
            // The acceleration can not move by more than the arclength left.
            if high - low < 1e-11 {
                break;
            }
        }
        Some((high, at_high))
    }

    /// Follows the path from `from` with the acceleration growing in the sense of `direction` (±1) until `watch` falls to
    /// zero or there is no balance beyond.
    pub(crate) fn walk(
        &self,
        from: PathPoint,
        direction: f64,
        watch: &dyn Fn(&PathPoint, &Acting) -> f64,
    ) -> Ended {
        let mut along = [0.0; M];
        along[N] = direction;
        let Some(mut here) = self.node(&scaled(&from), &along) else {
            return Ended::Lost(from);
        };
        let watched = |n: &Node| watch(&n.point, &n.acting);
        let front = |n: &Node| n.acting.front_deflection[0].max(n.acting.front_deflection[1]);
        let rear = |n: &Node| n.acting.rear_deflection[0].max(n.acting.rear_deflection[1]);
        let onward = |n: &Node| n.tangent[N] * direction;
        if watched(&here) <= 0.0 {
            return Ended::Watched(from);
        }
        let mut ds = 0.1;
        // At a corner: the way through it.
        let mut corner: Option<[f64; M]> = None;
        'walk: for _ in 0..MAX_STEPS {
            let normal = corner.unwrap_or(here.tangent);
            let next = self.step(&here, &normal, ds).filter(|n| {
                // A sharp bend is either a corner or a jump to another path: only a short step may take it.
                dot(&n.tangent, &here.tangent) > STRAIGHT || ds < SHORT
            });
            // Further off than a bend can carry it, it is on another path.
            let next = next.filter(|n| {
                let (to, from) = (scaled(&n.point), scaled(&here.point));
                let way: [f64; M] = std::array::from_fn(|i| to[i] - from[i]);
                let far = if ds < SHORT { NEAR_CORNER } else { 2.0 * ds };
                dot(&way, &way).sqrt() <= far
            });
            // One corner at a time: two of them in one step could hide that the path turns back between.
            let next =
                next.filter(|n| n.acting.contacts() == here.acting.contacts() || ds < NEAR_CORNER);
            let Some(next) = next else {
                ds *= 0.5;
                if ds < SHORTEST {
                    match (corner, self.through_the_corner(&here, 0)) {
                        (None, Some(through)) => (corner, ds) = (Some(through), 0.5 * SHORT),
                        // Nothing follows however short the step.
                        _ => return self.stuck(&here),
                    }
                }
                continue;
            };
            // Where the path turns back first: behind that nothing counts. Then tyres, then what is watched, each looked
            // for before what was found already.
            let mut found: Option<(f64, Node, Option<LimitKind>)> = None;
            let events: [(Reading<'_>, f64, Option<LimitKind>); 4] = [
                (&onward, 0.0, Some(LimitKind::LimitPoint)),
                (&front, NO_LOAD, Some(LimitKind::FrontWheelsOff)),
                (&rear, NO_LOAD, Some(LimitKind::RearWheelsOff)),
                (&watched, 0.0, None),
            ];
            for (f, nothing, kind) in events {
                let (end, past) = match &found {
                    Some((s, node, _)) => (*s, node),
                    None => (ds, &next),
                };
                let value = f(past);
                if value > nothing || (value > 0.0 && found.is_none()) {
                    continue;
                }
                if value > 0.0 {
                    // The path turns back where the tyres leave the ground: they are the reason.
                    found = found.map(|(s, node, _)| (s, node, kind));
                    continue;
                }
                match self.root(&here, &normal, end, f) {
                    Some((s, node)) => found = Some((s, node, kind)),
                    // Too much happens within this step: take a shorter one.
                    None if ds > SHORTEST => {
                        ds *= 0.25;
                        continue 'walk;
                    }
                    None => return self.stuck(&here),
                }
            }
            if let Some((_, node, kind)) = found {
                return match kind {
                    None => Ended::Watched(node.point),
                    Some(kind) => Ended::Limit(kind, node.point),
                };
            }
            here = next;
            corner = None;
            ds = (1.6 * ds).min(LONGEST);
        }
        Ended::Lost(here.point)
    }

    /// The end of a walk that finds no way on.
    fn stuck(&self, here: &Node) -> Ended {
        let most = |d: [f64; 2]| d[0].max(d[1]);
        if most(here.acting.front_deflection) < STUCK_LOAD {
            Ended::Limit(LimitKind::FrontWheelsOff, here.point)
        } else if most(here.acting.rear_deflection) < STUCK_LOAD {
            Ended::Limit(LimitKind::RearWheelsOff, here.point)
        } else {
            Ended::Lost(here.point)
        }
    }
}
