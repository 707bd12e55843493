//! Long point, short point and the other extremes of a cut.

use super::profile::{Cope, Look};

/// An extreme of a cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// s, m.
    pub s: f64,
    /// Where round the tube, within half a turn of the scribe line; of equal ones the
    /// nearest to the scribe line.
    pub at: f64,
    /// Whether it lies on the inside edge.
    pub inside: bool,
}

const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// Place and value of the maximum of a function with one, between two places.
pub(super) fn golden(f: &dyn Fn(f64) -> f64, mut low: f64, mut high: f64) -> (f64, f64) {
    let mut a = high - GOLDEN * (high - low);
    let mut b = low + GOLDEN * (high - low);
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..48 {
        if fa >= fb {
            (high, b, fb) = (b, a, fa);
            a = high - GOLDEN * (high - low);
            fa = f(a);
        } else {
            (low, a, fa) = (a, b, fb);
            b = low + GOLDEN * (high - low);
            fb = f(b);
        }
    }
    if fa >= fb { (a, fa) } else { (b, fb) }
}

fn known(edge: Option<(f64, usize)>) -> f64 {
    edge.map_or(f64::NAN, |(s, _)| s)
}

impl Cope {
    /// The largest of a function round the tube.
    pub(super) fn largest(&self, f: &dyn Fn(f64) -> f64) -> (f64, f64) {
        self.largest_from(&|look| f(look.at), f)
    }

    pub(super) fn least(&self, f: &dyn Fn(f64) -> f64) -> (f64, f64) {
        self.least_from(&|look| f(look.at), f)
    }

    /// [`Self::largest`] of what is known at the looks.
    fn largest_from(&self, known: &dyn Fn(&Look) -> f64, f: &dyn Fn(f64) -> f64) -> (f64, f64) {
        let looks = &self.looked;
        let values: Vec<f64> = looks.iter().map(known).collect();
        let count = looks.len();
        let peak = |i: usize| {
            let (before, after) = (values[i.saturating_sub(1)], values[(i + 1).min(count - 1)]);
            values[i] >= before && values[i] >= after
        };
        let mut peaks: Vec<usize> = (0..count).filter(|i| peak(*i)).collect();
        peaks.sort_by(|a, b| values[*b].total_cmp(&values[*a]));
        let mut best: Option<(f64, f64)> = None;
        let mut keep = |at: f64, value: f64| {
            let better = match best {
                None => true,
                // Equal to rounding: the nearer to the scribe line.
                Some((place, most)) => {
                    value > most + 1e-13 || (value >= most - 1e-13 && at.abs() < place.abs() - 1e-6)
                }
            };
            if better && !value.is_nan() {
                best = Some((at, value));
            }
        };
        for &i in peaks.iter().take(8) {
            keep(looks[i].at, values[i]);
            let [low, high] = [i.saturating_sub(1), (i + 1).min(count - 1)].map(|k| looks[k].at);
            let (at, value) = golden(f, low, high);
            if value > values[i] {
                keep(at, value);
            }
        }
        best.unwrap_or((0.0, f64::NAN))
    }

    fn least_from(&self, known: &dyn Fn(&Look) -> f64, f: &dyn Fn(f64) -> f64) -> (f64, f64) {
        let (at, value) = self.largest_from(&|look| -known(look), &|at| -f(at));
        (at, -value)
    }

    /// Least s of the outside edge.
    #[must_use]
    pub fn outer_least(&self) -> Extreme {
        let (at, s) = self.least_from(&|l| known(l.outer), &|at| self.outer(at));
        let inside = false;
        Extreme { s, at, inside }
    }

    /// Least s of the inside edge.
    #[must_use]
    pub fn inner_least(&self) -> Extreme {
        let (at, s) = self.least_from(&|l| known(l.inner), &|at| self.inner(at));
        let inside = true;
        Extreme { s, at, inside }
    }

    /// Long point: least s over both edges, what a square blank must reach to.
    #[must_use]
    pub fn long_point(&self) -> Extreme {
        let (outer, inner) = (self.outer_least(), self.inner_least());
        if inner.s < outer.s - 1e-12 {
            inner
        } else {
            outer
        }
    }

    /// Short point: largest s of the outside edge.
    #[must_use]
    pub fn short_point(&self) -> Extreme {
        let (at, s) = self.largest_from(&|l| known(l.outer), &|at| self.outer(at));
        let inside = false;
        Extreme { s, at, inside }
    }

    /// Long point of a cut straight in: least s of the square profile, on the outside.
    #[must_use]
    pub fn square_long_point(&self) -> Extreme {
        let (at, s) = self.least(&|at| self.square(at));
        let inside = false;
        Extreme { s, at, inside }
    }

    /// Depth of the cut at the outside edge, short point less its long point, m.
    #[must_use]
    pub fn depth(&self) -> f64 {
        self.short_point().s - self.outer_least().s
    }
}
