//! The path of balances as the acceleration grows, and where it ends.
//!
//! The path is followed by arclength, so that it can be seen turning back: a limit point. Scaled coordinates:
//! lengths and angles over 0.02 m (rad), acceleration in standard gravities.

use super::car::{LaunchModel, Manoeuvre};
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

    /// The point at arclength `ds` along the tangent of `from`.
    fn step(&self, from: &Node, ds: f64) -> Option<Node> {
        let start = scaled(&from.point);
        let t = &from.tangent;
        let mut y: [f64; M] = std::array::from_fn(|i| start[i] + ds * t[i]);
        let mut before = f64::INFINITY;
        for _ in 0..14 {
            let (matrix, residual, _) = self.bordered(&y, t);
            let mut right = [0.0; M];
            right[..N].copy_from_slice(&residual);
            right[N] = dot(t, &std::array::from_fn(|i| y[i] - start[i])) - ds;
            let d = Lu::new(matrix)?.solve(&right);
            let size = largest(&d);
            if !(size.is_finite() && (size < 0.9 * before || size < 1e-9)) {
                return None;
            }
            for (v, s) in y.iter_mut().zip(&d) {
                *v -= s;
            }
            if size < 1e-9 {
                return self.node(&y, t);
            }
            before = size;
        }
        None
    }

    /// Where `f` (positive at 0, not positive at `high`) reaches zero along the tangent of `from`.
    fn root(&self, from: &Node, high: f64, f: &dyn Fn(&Node) -> f64) -> Option<(f64, Node)> {
        let (mut low, mut high, mut f_low) = (0.0, high, f(from));
        let mut at_high = self.step(from, high)?;
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
            let node = self.step(from, s)?;
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
        for _ in 0..MAX_STEPS {
            let next = self.step(&here, ds).filter(|n| {
                // A sharp bend is either a kink (a tyre lifting) or a jump to another path: only a short step may take it.
                dot(&n.tangent, &here.tangent) > 0.7 || ds < 1e-5
            });
            let Some(next) = next else {
                ds *= 0.5;
                if ds < SHORTEST {
                    // Nothing follows however short the step: where the stiffness breaks down.
                    return Ended::Lost(here.point);
                }
                continue;
            };
            let events: [(&dyn Fn(&Node) -> f64, Option<LimitKind>); 4] = [
                (&watched, None),
                (&front, Some(LimitKind::FrontWheelsOff)),
                (&rear, Some(LimitKind::RearWheelsOff)),
                (&onward, Some(LimitKind::LimitPoint)),
            ];
            let mut first: Option<(f64, Node, Option<LimitKind>)> = None;
            for (f, kind) in events {
                let end = first.as_ref().map_or(ds, |(s, ..)| *s);
                let past = first.as_ref().map_or(&next, |(_, node, _)| node);
                if f(past) > 0.0 {
                    continue;
                }
                match self.root(&here, end, f) {
                    Some((s, node)) => first = Some((s, node, kind)),
                    None => return Ended::Lost(here.point),
                }
            }
            if let Some((_, node, kind)) = first {
                return match kind {
                    None => Ended::Watched(node.point),
                    Some(kind) => Ended::Limit(kind, node.point),
                };
            }
            here = next;
            ds = (1.6 * ds).min(LONGEST);
        }
        Ended::Lost(here.point)
    }
}
