//! Judging one combination after the other.

use std::sync::atomic::{AtomicBool, Ordering};

use super::HoleSearch;
use super::figure::{Figure, Figures, larger_end};
use super::four::{Factor, Four, Packed, largest, less, plus, scaled};
use super::outcome::Tally;
use super::question::{Band, Question};
use super::station::{Lanes, Model, SURE, Solved, normal};
use super::table::{DESIGN, Rates, STATIONS, TRAVEL, Table};
use crate::axle::AxleCar;
use crate::rods::MAX_RODS;
use crate::state::INFINITY_RATE;

type Values = [f64; Figure::COUNT];

/// With held lengths: furthest (m or rad) from the drawn pose at which the fast solver vouches
/// for having found the same assembly.
const NEAR_DRAWN: f64 = 0.05;
/// A pose further than this from where the rates at design height point, as a share of the
/// motion, is left to the full solver: something happens on the way.
const STRAIGHT: f64 = 0.25;
/// Combinations between two looks at the cancel flag.
const CANCEL_EVERY: u64 = 64;

/// The axle at design height.
struct Ride {
    /// x, y, θ, ψ.
    pose: Four,
    sin_cos_psi: (f64, f64),
    /// Rates of x, y, θ, ψ per unit of heave and per unit of roll.
    heave: Four,
    roll: Four,
}

/// Asks the full solver.
struct InFull;

/// A thread's place in the search, with the sums over the groups up to each level.
pub(super) struct Judge<'a, const N: usize> {
    search: &'a HoleSearch,
    table: &'a Table,
    /// Bands of design height and of ranges, with their places in the question.
    near: Vec<(usize, Band)>,
    far: Vec<(usize, Band)>,
    /// Range figures whose exact value is wanted of every kept combination.
    wanted: Vec<Figure>,
    bands: &'a [Band],
    digits: [usize; MAX_RODS],
    rates: [Rates; MAX_RODS],
    models: [[Model; MAX_RODS]; STATIONS],
    lanes: Lanes<N>,
    /// Lowest level whose choice is not yet in `models` and `lanes`.
    stale: usize,
    ends: [Option<Solved<N>>; STATIONS],
}

impl<'a, const N: usize> Judge<'a, N> {
    pub(super) fn new(search: &'a HoleSearch, question: &'a Question) -> Self {
        let all = question.bands.iter().copied().enumerate();
        let (far, near) = all.partition(|(_, b)| b.figure.is_of_range());
        let ranges = Figure::ALL.into_iter().filter(|f| f.is_of_range());
        Self {
            search,
            table: &search.table,
            near,
            far,
            wanted: ranges.filter(|f| question.wants_value(*f)).collect(),
            bands: &question.bands,
            digits: [0; MAX_RODS],
            rates: [[0.0; 18]; MAX_RODS],
            models: [[[0.0; 34]; MAX_RODS]; STATIONS],
            lanes: Lanes::EMPTY,
            stale: 0,
            ends: [None; STATIONS],
        }
    }

    /// Judges the combinations from `from` to before `to`, counted in the order of the levels;
    /// returns how many it did.
    pub(super) fn judge(
        &mut self,
        from: u64,
        to: u64,
        tally: &mut Tally,
        cancel: &AtomicBool,
    ) -> u64 {
        let mut rest = from;
        for (level, l) in self.table.levels.iter().enumerate().rev() {
            let count = l.rates.len() as u64;
            self.digits[level] = (rest % count) as usize;
            rest /= count;
        }
        self.chosen_from(0);
        for done in 0..to - from {
            if done % CANCEL_EVERY == 0 && cancel.load(Ordering::Relaxed) {
                return done;
            }
            self.one(tally);
            self.advance();
        }
        to - from
    }

    /// All figures of one combination.
    pub(super) fn figures(&mut self, index: u64) -> Figures {
        for (level, l) in self.table.levels.iter().enumerate() {
            self.digits[level] = ((index / l.stride) % l.rates.len() as u64) as usize;
        }
        self.chosen_from(0);
        let mut values = [f64::NAN; Figure::COUNT];
        let fast = self.fast_figures(&mut values);
        if fast.is_err() {
            values = self.values_in_full().unwrap_or([f64::NAN; Figure::COUNT]);
        }
        Figures::from_values(&values)
    }

    fn fast_figures(&mut self, values: &mut Values) -> Result<(), InFull> {
        let ride = self.ride()?;
        ride.figures(&self.search.car, values);
        for figure in Figure::ALL.into_iter().filter(|f| f.is_of_range()) {
            values[figure.index()] = self.exactly(figure, &ride)?;
        }
        Ok(())
    }

    /// The choices of the levels from `level` on have changed.
    fn chosen_from(&mut self, level: usize) {
        self.stale = self.stale.min(level);
        for end in &mut self.ends {
            *end = None;
        }
        let last = self.table.levels.len() - 1;
        for at in level..last {
            let term = &self.table.levels[at].rates[self.digits[at]];
            let below = self.rates[at];
            let above = &mut self.rates[at + 1];
            for ((sum, b), t) in above.iter_mut().zip(&below).zip(term) {
                *sum = b + t;
            }
        }
    }

    fn advance(&mut self) {
        let mut level = self.table.levels.len() - 1;
        loop {
            self.digits[level] += 1;
            if self.digits[level] < self.table.levels[level].rates.len() {
                break;
            }
            self.digits[level] = 0;
            if level == 0 {
                break;
            }
            level -= 1;
        }
        self.chosen_from(level);
    }

    /// Brings the rods and the sums of the models up to date.
    fn freshen(&mut self) {
        let last = self.table.levels.len() - 1;
        for at in self.stale..=last {
            let level = &self.table.levels[at];
            let choice = self.digits[at];
            for n in 0..level.width {
                self.lanes
                    .put(level.lane + n, &level.bars[choice * level.width + n]);
            }
            if at == last {
                continue;
            }
            for (sums, models) in self.models.iter_mut().zip(&level.models) {
                if let Some(term) = models.get(choice) {
                    let below = sums[at];
                    for ((sum, b), t) in sums[at + 1].iter_mut().zip(&below).zip(term) {
                        *sum = b + t;
                    }
                }
            }
        }
        self.stale = last + 1;
    }

    fn index(&self) -> u64 {
        let levels = self.table.levels.iter().zip(&self.digits);
        levels.map(|(l, digit)| l.stride * *digit as u64).sum()
    }

    fn broken(&self) -> bool {
        let mut levels = self.table.levels.iter().zip(&self.digits);
        levels.any(|(l, digit)| l.broken[*digit])
    }

    fn one(&mut self, tally: &mut Tally) {
        if self.broken() {
            tally.cannot_stand += 1;
            return;
        }
        if self.fast(tally).is_err() {
            self.in_full(tally);
        }
    }

    fn fast(&mut self, tally: &mut Tally) -> Result<(), InFull> {
        let ride = self.ride()?;
        let mut values = [f64::NAN; Figure::COUNT];
        ride.figures(&self.search.car, &mut values);
        for (place, band) in &self.near {
            if !band.holds(values[band.figure.index()]) {
                tally.reject(*place, &values);
                return Ok(());
            }
        }
        for n in 0..self.far.len() {
            let (place, band) = self.far[n];
            if !self.within(&band, &ride)? {
                tally.reject(place, &values);
                return Ok(());
            }
        }
        for n in 0..self.wanted.len() {
            let figure = self.wanted[n];
            values[figure.index()] = self.exactly(figure, &ride)?;
        }
        self.keep(&values, tally);
        Ok(())
    }

    fn keep(&self, values: &Values, tally: &mut Tally) {
        let mut sum = 0.0;
        for band in self.bands.iter().filter(|b| b.target.is_some()) {
            sum += band.distance_squared(values[band.figure.index()]);
        }
        tally.keep(self.index(), sum.sqrt(), values);
    }

    fn values_in_full(&self) -> Option<Values> {
        let full = self.search.evaluate(self.index()).ok()?;
        Some(full.figures.values())
    }

    fn in_full(&self, tally: &mut Tally) {
        tally.solved_in_full += 1;
        let Some(values) = self.values_in_full() else {
            tally.cannot_stand += 1;
            return;
        };
        for (place, band) in self.near.iter().chain(&self.far) {
            if !band.holds(values[band.figure.index()]) {
                tally.reject(*place, &values);
                return;
            }
        }
        self.keep(&values, tally);
    }

    /// Whether a range figure lies in its band.
    fn within(&mut self, band: &Band, ride: &Ride) -> Result<bool, InFull> {
        let ends = Table::ends_of(band.figure);
        if band.figure == Figure::BindStretch {
            // Too much at one end is too much.
            for k in ends {
                self.solve(k)?;
                let (worst, margin) = self.end(k)?.bind(self.table.rods);
                if worst - margin > band.high {
                    return Ok(false);
                }
            }
        } else {
            self.solve(ends[0])?;
            self.solve(ends[1])?;
        }
        let (value, margin) = self.range_figure(band.figure, ride)?;
        let holds = match band.decide(value, margin) {
            Some(holds) => holds,
            None => {
                self.refine(ends)?;
                band.holds(self.range_figure(band.figure, ride)?.0)
            }
        };
        if holds {
            self.vouch(ends, ride)?;
        }
        Ok(holds)
    }

    /// The exact value of a range figure.
    fn exactly(&mut self, figure: Figure, ride: &Ride) -> Result<f64, InFull> {
        let ends = Table::ends_of(figure);
        self.refine(ends)?;
        self.vouch(ends, ride)?;
        Ok(self.range_figure(figure, ride)?.0)
    }

    /// A range figure of the solved ends and how far it can be off.
    fn range_figure(&self, figure: Figure, ride: &Ride) -> Result<(f64, f64), InFull> {
        let [low, high] = Table::ends_of(figure);
        let (a, b) = (self.end(low)?, self.end(high)?);
        let stations = &self.table.stations;
        let (p, q) = (stations[low].pose(a), stations[high].pose(b));
        let margin = a.margin + b.margin;
        Ok(match figure {
            Figure::BindStretch => {
                let (a, b) = (a.bind(self.table.rods), b.bind(self.table.rods));
                (a.0.max(b.0), a.1.max(b.1))
            }
            Figure::PinionChange => ((q[2] - p[2]).abs(), margin),
            _ => {
                let (low, high) = (ride.pose[0] - p[0], ride.pose[0] - q[0]);
                // Which end is larger must not be in doubt.
                let close = (low.abs() - high.abs()).abs() <= margin;
                let margin = if close && margin > 0.0 {
                    f64::INFINITY
                } else {
                    margin
                };
                (larger_end(low, high), margin)
            }
        })
    }

    /// The pose at one end, solved before.
    #[inline]
    fn end(&self, k: usize) -> Result<&Solved<N>, InFull> {
        self.ends[k].as_ref().ok_or(InFull)
    }

    /// Solves the pose at one end, once per combination.
    #[inline]
    fn solve(&mut self, k: usize) -> Result<(), InFull> {
        if self.ends[k].is_some() {
            return Ok(());
        }
        self.freshen();
        let last = self.table.levels.len() - 1;
        let term = self.table.levels[last].models[k].get(self.digits[last]);
        let mut model = self.models[k][last];
        for (sum, t) in model.iter_mut().zip(term.ok_or(InFull)?) {
            *sum += t;
        }
        self.ends[k] = self.table.stations[k].approach(&model, &self.lanes);
        if self.ends[k].is_some() {
            Ok(())
        } else {
            Err(InFull)
        }
    }

    fn refine(&mut self, ends: [usize; 2]) -> Result<(), InFull> {
        for k in ends {
            self.solve(k)?;
            let solved = self.end(k)?;
            if solved.margin > 0.0 {
                let refined = self.table.stations[k].refine(solved, &self.lanes);
                self.ends[k] = Some(refined.ok_or(InFull)?);
            }
        }
        Ok(())
    }

    /// Makes sure that the full solver would have come to the same poses.
    fn vouch(&self, ends: [usize; 2], ride: &Ride) -> Result<(), InFull> {
        for k in ends {
            let solved = self.end(k)?;
            let moved = self.table.moved[k];
            let rates = if TRAVEL.contains(&k) {
                &ride.heave
            } else {
                &ride.roll
            };
            let pose = self.table.stations[k].pose(solved);
            let ahead = scaled(moved, rates);
            let off = less(&pose, &plus(&ride.pose, &ahead));
            let straight = largest(&off) <= STRAIGHT * (largest(&ahead) + moved.abs()) + 1e-9;
            let reached = solved.surely_reached(&self.lanes, self.table.rods, self.table.contrast);
            if !(straight && reached) {
                return Err(InFull);
            }
        }
        Ok(())
    }

    /// The axle at design height, with its rates.
    fn ride(&mut self) -> Result<Ride, InFull> {
        let last = self.table.levels.len() - 1;
        let term = &self.table.levels[last].rates[self.digits[last]];
        let mut sums = self.rates[last];
        for (sum, t) in sums.iter_mut().zip(term) {
            *sum += t;
        }
        let drawn = self.rates_at(&sums)?;
        if !self.table.held {
            return Ok(Ride {
                pose: [0.0; 4],
                sin_cos_psi: (0.0, 1.0),
                ..drawn
            });
        }
        let station = &self.table.stations[DESIGN];
        self.solve(DESIGN)?;
        let solved = self.end(DESIGN)?;
        let solved = station.refine(solved, &self.lanes).ok_or(InFull)?;
        let pose = station.pose(&solved);
        let near = largest(&pose) <= NEAR_DRAWN;
        if !(near && solved.surely_reached(&self.lanes, self.table.rods, self.table.contrast)) {
            return Err(InFull);
        }
        let lines = station.lines_at(&self.lanes, &solved);
        let mut sums = [0.0; 18];
        sums[..10].copy_from_slice(&normal(&lines.rows, &self.lanes.weight));
        for (d, driven) in lines.driven.iter().enumerate() {
            for (c, row) in lines.rows.iter().enumerate() {
                let each = row.iter().zip(driven).zip(&self.lanes.weight);
                let sum: f64 = each.map(|((r, d), w)| r * d * w).sum();
                sums[10 + 4 * d + c] = -sum;
            }
        }
        Ok(Ride {
            pose,
            sin_cos_psi: station.heading(&solved),
            ..self.rates_at(&sums)?
        })
    }

    /// Solves the velocity problem from its sums.
    fn rates_at(&self, sums: &Rates) -> Result<Ride, InFull> {
        let matrix: &Packed = sums[..10].first_chunk().ok_or(InFull)?;
        let heave: &Four = sums[10..14].first_chunk().ok_or(InFull)?;
        let roll: &Four = sums[14..].first_chunk().ok_or(InFull)?;
        let factor = Factor::of(matrix).ok_or(InFull)?;
        if self.table.contrast * factor.floor_squared(matrix) <= SURE {
            return Err(InFull);
        }
        Ok(Ride {
            pose: [0.0; 4],
            sin_cos_psi: (0.0, 1.0),
            heave: factor.solve(heave),
            roll: factor.solve(roll),
        })
    }
}

impl Ride {
    /// The figures of design height; NaN where there is none. φ = 0 here, so the axis of θ is
    /// (−sin ψ, cos ψ, 0) and that of φ (cos ψ, sin ψ, 0).
    fn figures(&self, car: &AxleCar, values: &mut Values) {
        let (sin, cos) = self.sin_cos_psi;
        let [vx, _, theta, _] = self.heave;
        let q = cos * theta;
        let tan_as = car.loaded_radius * q - vx;
        let anti_squat = tan_as / (car.cg_height / car.wheelbase);
        let [_, vy, theta, psi] = self.roll;
        let wx = cos - sin * theta;
        values[Figure::AntiSquat.index()] = anti_squat;
        values[Figure::AntiLift.index()] = car.rear_brake_share * anti_squat;
        if q.abs() >= INFINITY_RATE {
            let (ahead, up) = (1.0 / q, -vx / q);
            values[Figure::IcStation.index()] = self.pose[0] + ahead;
            values[Figure::IcHeight.index()] = car.loaded_radius + up;
            values[Figure::SwingArmLength.index()] = ahead;
            values[Figure::SwingArmHeight.index()] = car.loaded_radius + up;
        }
        values[Figure::RollSteer.index()] = -psi;
        values[Figure::RollCentreHeight.index()] = car.loaded_radius + vy / wx;
        values[Figure::RollAxisSlope.index()] = psi / wx;
    }
}
