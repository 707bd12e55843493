//! The run once more with another integrator.

use super::RunError;
use super::check::within;
use super::motion::{Leg, N, V, WE, X};
use super::report::{Mark, Run};

impl Run {
    /// Time to the quarter mile with the classical Runge–Kutta method of order 4 in steps of `width` s between
    /// the events of this run, s: a check of the integration, and the baseline of its speed.
    ///
    /// # Errors
    /// A width outside 1e-6 to 0.1 s; what the right-hand side says.
    pub fn fixed_steps(&self, width: f64) -> Result<f64, RunError> {
        within("width of the steps", width, 1e-6, 0.1)?;
        let model = &self.model;
        let mut state = [0.0; N];
        state[WE] = model.car.driveline.launch_speed;
        let mut last: Option<Leg> = None;
        let mut legs: Vec<(Leg, f64)> = Vec::new();
        for (step, leg) in &self.trace.steps {
            match legs.last_mut() {
                Some((old, end)) if old == leg => *end = step.end,
                _ => legs.push((*leg, step.end)),
            }
        }
        let mut time = 0.0;
        for (leg, end) in legs {
            if let Some(old) = last
                && old.gear != leg.gear
            {
                let gears = &model.car.driveline.gears;
                state[WE] *= gears[leg.gear] / gears[old.gear];
            }
            last = Some(leg);
            while time < end {
                let h = width.min(end - time);
                let add = |k: &[f64; N], s: f64| std::array::from_fn(|i| state[i] + s * k[i]);
                let a = model.rates(leg, time, &state)?;
                let b = model.rates(leg, time + 0.5 * h, &add(&a, 0.5 * h))?;
                let c = model.rates(leg, time + 0.5 * h, &add(&b, 0.5 * h))?;
                let d = model.rates(leg, time + h, &add(&c, h))?;
                for i in 0..N {
                    state[i] += h / 6.0 * (a[i] + 2.0 * b[i] + 2.0 * c[i] + d[i]);
                }
                time = if width < end - time { time + h } else { end };
            }
        }
        Ok(time + (Mark::Quarter.travel() - state[X]) / state[V])
    }
}
