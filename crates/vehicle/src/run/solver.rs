//! Dormand–Prince 5(4) with dense output, step control and root finding.
//!
//! Coefficients: Dormand & Prince 1980; interpolant and PI step control: Hairer, Nørsett & Wanner,
//! Solving Ordinary Differential Equations I, sec. II.4–II.6 (from memory; the order of both the
//! steps and the interpolant is measured in the tests).

const C: [f64; 7] = [0.0, 0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0];
const A: [[f64; 6]; 7] = [
    [0.0; 6],
    [0.2, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [
        19372.0 / 6561.0,
        -25360.0 / 2187.0,
        64448.0 / 6561.0,
        -212.0 / 729.0,
        0.0,
        0.0,
    ],
    [
        9017.0 / 3168.0,
        -355.0 / 33.0,
        46732.0 / 5247.0,
        49.0 / 176.0,
        -5103.0 / 18656.0,
        0.0,
    ],
    [
        35.0 / 384.0,
        0.0,
        500.0 / 1113.0,
        125.0 / 192.0,
        -2187.0 / 6784.0,
        11.0 / 84.0,
    ],
];
/// Fifth-order less fourth-order weights.
const E: [f64; 7] = [
    71.0 / 57600.0,
    0.0,
    -71.0 / 16695.0,
    71.0 / 1920.0,
    -17253.0 / 339200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];
/// Weights of the interpolant's last term.
const D: [f64; 7] = [
    -12715105075.0 / 11282082432.0,
    0.0,
    87487479700.0 / 32700410799.0,
    -10690763975.0 / 1880347072.0,
    701980252875.0 / 199316789632.0,
    -1453857185.0 / 822651844.0,
    69997945.0 / 29380423.0,
];
const SAFETY: f64 = 0.9;
const BETA: f64 = 0.04;
const EXPONENT: f64 = 0.2 - 0.75 * BETA;
/// First step after a restart, s.
const FIRST: f64 = 2e-3;
/// Below this width a step is given up, s.
const LEAST: f64 = 1e-11;

/// Tolerances of the steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tolerance {
    pub(crate) relative: f64,
    pub(crate) absolute: f64,
    /// Widest step, s.
    pub(crate) widest: f64,
}

/// One accepted step with its interpolant.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Step<const N: usize> {
    pub(crate) start: f64,
    width: f64,
    /// Up to where it counts: the end of the step, or the event in it.
    pub(crate) end: f64,
    terms: [[f64; N]; 5],
}

impl<const N: usize> Step<N> {
    /// The state at a time of the step.
    pub(crate) fn at(&self, time: f64) -> [f64; N] {
        let s = (time - self.start) / self.width;
        let r = 1.0 - s;
        let [a, b, c, d, e] = &self.terms;
        std::array::from_fn(|i| a[i] + s * (b[i] + r * (c[i] + s * (d[i] + r * e[i]))))
    }

    /// One component of the state at a time of the step.
    pub(crate) fn component(&self, i: usize, time: f64) -> f64 {
        let s = (time - self.start) / self.width;
        let r = 1.0 - s;
        let [a, b, c, d, e] = &self.terms;
        a[i] + s * (b[i] + r * (c[i] + s * (d[i] + r * e[i])))
    }
}

/// Why no step could be made.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Fault<E> {
    /// The right-hand side says so, however small the step.
    Rate(E),
    /// The step became too small at this time.
    TooSmall(f64),
}

/// Where the integration stands.
#[derive(Clone, Debug)]
pub(crate) struct Stepper<const N: usize> {
    tolerance: Tolerance,
    pub(crate) time: f64,
    pub(crate) state: [f64; N],
    first_rate: Option<[f64; N]>,
    width: f64,
    last_error: f64,
}

impl<const N: usize> Stepper<N> {
    pub(crate) fn new(tolerance: Tolerance, time: f64, state: [f64; N]) -> Self {
        Self {
            tolerance,
            time,
            state,
            first_rate: None,
            width: FIRST,
            last_error: 1e-4,
        }
    }

    /// Goes on from a state after an event: nothing of the past is kept.
    pub(crate) fn restart(&mut self, time: f64, state: [f64; N]) {
        *self = Self::new(self.tolerance, time, state);
    }

    /// One accepted step, not beyond `stop` (which lies ahead).
    pub(crate) fn advance<E>(
        &mut self,
        rate: &mut impl FnMut(f64, &[f64; N]) -> Result<[f64; N], E>,
        stop: f64,
    ) -> Result<Step<N>, Fault<E>> {
        let first = match self.first_rate {
            Some(k) => k,
            None => rate(self.time, &self.state).map_err(Fault::Rate)?,
        };
        let left = stop - self.time;
        let mut rejected = false;
        let mut fault = None;
        loop {
            let mut h = self.width.min(self.tolerance.widest);
            // No sliver of a step is left before the stop.
            if h * 1.01 >= left {
                h = left;
            } else if 2.0 * h > left {
                h = 0.5 * left;
            }
            if h < LEAST.min(left) || !h.is_finite() {
                return Err(fault.map_or(Fault::TooSmall(self.time), Fault::Rate));
            }
            let mut k = [first; 7];
            let mut y = self.state;
            let mut failed = None;
            for stage in 1..7 {
                y = std::array::from_fn(|i| {
                    let sum: f64 = (0..stage).map(|j| A[stage][j] * k[j][i]).sum();
                    self.state[i] + h * sum
                });
                match rate(self.time + C[stage] * h, &y) {
                    Ok(slope) => k[stage] = slope,
                    Err(e) => {
                        failed = Some(e);
                        break;
                    }
                }
            }
            if let Some(e) = failed {
                fault = Some(e);
                self.width = 0.25 * h;
                rejected = true;
                continue;
            }
            let error = self.error(&k, &y, h);
            if error.is_nan() || error.is_infinite() {
                self.width = 0.1 * h;
                rejected = true;
                continue;
            }
            let shrink = error.powf(EXPONENT);
            if error > 1.0 {
                self.width = h / (shrink / SAFETY).clamp(0.2, 5.0);
                rejected = true;
                continue;
            }
            let factor = (shrink / self.last_error.powf(BETA) / SAFETY).clamp(0.1, 5.0);
            // A step cut short by the stop says little about the next width.
            let next = h / factor;
            self.width = if rejected { next.min(h) } else { next };
            self.last_error = error.max(1e-4);
            let step = self.dense(&k, &y, h);
            self.time = step.end;
            self.state = y;
            self.first_rate = Some(k[6]);
            if h >= left {
                self.time = stop;
            }
            return Ok(Step {
                end: self.time,
                ..step
            });
        }
    }

    /// Root mean square of the local errors over their tolerances.
    fn error(&self, k: &[[f64; N]; 7], y: &[f64; N], h: f64) -> f64 {
        let mut sum = 0.0;
        for i in 0..N {
            let e: f64 = h * (0..7).map(|j| E[j] * k[j][i]).sum::<f64>();
            let scale = self.tolerance.absolute
                + self.tolerance.relative * self.state[i].abs().max(y[i].abs());
            sum += (e / scale).powi(2);
        }
        (sum / N as f64).sqrt()
    }

    fn dense(&self, k: &[[f64; N]; 7], y: &[f64; N], h: f64) -> Step<N> {
        let mut terms = [self.state; 5];
        for i in 0..N {
            let change = y[i] - self.state[i];
            let bend = h * k[0][i] - change;
            terms[1][i] = change;
            terms[2][i] = bend;
            terms[3][i] = change - h * k[6][i] - bend;
            terms[4][i] = h * (0..7).map(|j| D[j] * k[j][i]).sum::<f64>();
        }
        Step {
            start: self.time,
            width: h,
            end: self.time + h,
            terms,
        }
    }
}

/// The time between `low` and `high` at which `f` reaches zero from below, to 1e-12 s; `f` is below
/// zero at `low` and not at `high`. Illinois form of the false position, bisection when it dawdles.
pub(crate) fn root(mut low: f64, mut high: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (mut f_low, mut f_high) = (f(low), f(high));
    if f_low >= 0.0 {
        return low;
    }
    let mut side = 0;
    for turn in 0..200 {
        if high - low <= 1e-12 * (1.0 + high.abs()) || f_high == 0.0 {
            break;
        }
        let guess = low + (high - low) * f_low / (f_low - f_high);
        let middle = if turn % 3 == 2 || !(guess > low && guess < high) {
            0.5 * (low + high)
        } else {
            guess
        };
        let value = f(middle);
        if value >= 0.0 {
            (high, f_high) = (middle, value);
            if side == 1 {
                f_low *= 0.5;
            }
            side = 1;
        } else {
            (low, f_low) = (middle, value);
            if side == -1 {
                f_high *= 0.5;
            }
            side = -1;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

    use super::*;

    fn tolerance(relative: f64) -> Tolerance {
        Tolerance {
            relative,
            absolute: relative,
            widest: 1.0,
        }
    }

    /// Largest error of steps and of the interpolant over one turn of y'' = −y (exact: cos t), and
    /// the number of steps.
    fn turn(relative: f64) -> (f64, f64, usize) {
        let mut s = Stepper::new(tolerance(relative), 0.0, [1.0, 0.0]);
        let mut rate = |_: f64, y: &[f64; 2]| Ok::<_, ()>([y[1], -y[0]]);
        let end = std::f64::consts::TAU;
        let (mut at_steps, mut between, mut count) = (0.0_f64, 0.0_f64, 0);
        while s.time < end {
            let step = s.advance(&mut rate, end).unwrap();
            at_steps = at_steps.max((s.state[0] - s.time.cos()).abs());
            for i in 0..=10 {
                let t = step.start + (step.end - step.start) * f64::from(i) / 10.0;
                between = between.max((step.at(t)[0] - t.cos()).abs());
                assert_eq!(step.at(t)[1].to_bits(), step.component(1, t).to_bits());
            }
            count += 1;
        }
        (at_steps, between, count)
    }

    #[test]
    fn tighter_tolerances_cost_the_steps_a_fifth_order_method_needs() {
        let (coarse, dense, few) = turn(1e-6);
        let (fine, dense_fine, many) = turn(1e-11);
        assert!(coarse < 1e-5 && dense < 1e-4, "{coarse:e} {dense:e}");
        assert!(fine < 1e-10 && dense_fine < 1e-9, "{fine:e} {dense_fine:e}");
        // 10^5 tighter: 10^(5/5) = 10 times as many steps.
        let ratio = many as f64 / few as f64;
        assert!((6.0..14.0).contains(&ratio), "{few} {many}");
    }

    /// One step of width h: error of the step falls with h⁶ and of its interpolant with h⁵.
    #[test]
    fn orders_of_step_and_interpolant() {
        let errors = |h: f64| {
            let loose = Tolerance {
                relative: 1e9,
                absolute: 1e9,
                widest: h,
            };
            let mut s = Stepper::new(loose, 0.0, [1.0, 0.0]);
            s.width = h;
            let step = s
                .advance(&mut |_, y: &[f64; 2]| Ok::<_, ()>([y[1], -y[0]]), h)
                .unwrap();
            let t = 0.4 * h;
            (
                (s.state[0] - h.cos()).hypot(s.state[1] + h.sin()),
                (step.at(t)[0] - t.cos()).hypot(step.at(t)[1] + t.sin()),
            )
        };
        let (a, b) = (errors(0.4), errors(0.2));
        let step_order = (a.0 / b.0).log2();
        let dense_order = (a.1 / b.1).log2();
        assert!(step_order > 5.7, "{step_order}");
        assert!(dense_order > 4.7, "{dense_order}");
    }

    #[test]
    fn stops_on_the_dot_and_names_what_stops_it() {
        let mut s = Stepper::new(tolerance(1e-8), 0.0, [0.0]);
        let mut rate = |_: f64, _: &[f64; 1]| Ok::<_, ()>([1.0]);
        while s.time < 0.3 {
            s.advance(&mut rate, 0.3).unwrap();
        }
        assert_eq!(s.time.to_bits(), 0.3_f64.to_bits());
        assert!((s.state[0] - 0.3).abs() < 1e-15);
        // y' = 1/(1 − t): no step gets beyond t = 1.
        let mut s = Stepper::new(tolerance(1e-8), 0.0, [0.0]);
        let mut wall = |t: f64, _: &[f64; 1]| if t < 1.0 { Ok([1.0]) } else { Err("wall") };
        let fault = loop {
            if let Err(f) = s.advance(&mut wall, 2.0) {
                break f;
            }
        };
        assert_eq!(fault, Fault::Rate("wall"));
        assert!((s.time - 1.0).abs() < 1e-9);
        let mut s = Stepper::new(tolerance(1e-8), 0.0, [0.0]);
        let nan = s.advance(&mut |_, _: &[f64; 1]| Ok::<_, ()>([f64::NAN]), 1.0);
        assert!(matches!(nan, Err(Fault::TooSmall(_))));
    }

    #[test]
    fn roots_to_a_picosecond() {
        let r = root(0.0, 2.0, |t| t * t * t - 2.0);
        assert!((r - 2.0_f64.cbrt()).abs() < 2e-12);
        let r = root(0.0, 1.0, |t| if t < 0.123_456 { -1.0 } else { 1.0 });
        assert!((r - 0.123_456).abs() < 2e-12);
        assert!(root(0.5, 1.0, |_| 1.0) <= 0.5);
    }
}
