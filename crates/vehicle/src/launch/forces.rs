//! The nine equations of balance and their analytic stiffness.
//!
//! Coordinates q: 0 sprung heave, 1 sprung pitch, 2 sprung roll, 3–5 axle x, y, z, 6–8 axle φ, θ, ψ.
//! g is minus the sum of all forces along a virtual motion each: of the sprung mass up and about the ground's y and x (about z
//! it is held), of the axle along its own six coordinates. In balance g = 0. Units N and N·m.
#![allow(
    clippy::needless_range_loop,
    reason = "matrix index arithmetic reads better than zipped iterators"
)]

use geometry::MAX_RODS;
use nalgebra::Vector3;

use super::car::{Bar, Differential, LaunchModel, MAX_COILOVERS, Manoeuvre};
use super::turn::Turn;
use crate::STANDARD_GRAVITY;

/// Number of coordinates.
pub(crate) const N: usize = 9;
/// The nine coordinates, m and rad.
pub(crate) type Coordinates = [f64; N];

/// Residual, stiffness, and the derivative of the residual by the acceleration.
pub(crate) struct System {
    /// g, N and N·m.
    pub(crate) residual: [f64; N],
    /// ∂g/∂q.
    pub(crate) stiffness: [[f64; N]; N],
    /// ∂g/∂a, kg and kg·m.
    pub(crate) by_acceleration: [f64; N],
    /// What acts, for whoever wants to read it.
    pub(crate) acting: Acting,
}

/// The forces in a state.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Acting {
    /// Tension of each rod, N.
    pub(crate) rod_force: [f64; MAX_RODS],
    /// Push of each coil-over, N, zero or more.
    pub(crate) coil_force: [f64; MAX_COILOVERS],
    /// Length of each coil-over, m.
    pub(crate) coil_length: [f64; MAX_COILOVERS],
    /// Rear tyre loads left, right, N.
    pub(crate) rear_load: [f64; 2],
    /// Front tyre loads left, right, N.
    pub(crate) front_load: [f64; 2],
    /// Front loads as they would be if the tyres could pull, N.
    pub(crate) front_unclamped: [f64; 2],
    /// Deflection of the front springs left, right, m (negative: off the ground).
    pub(crate) front_deflection: [f64; 2],
    /// Deflection of the rear tyres left, right, m (negative: off the ground).
    pub(crate) rear_deflection: [f64; 2],
    /// Longitudinal force at the rear contacts, N, forward positive.
    pub(crate) thrust: [f64; 2],
    /// Longitudinal force at each front contact, N, forward positive.
    pub(crate) front_thrust: f64,
    /// Driveshaft torque with its sense, N·m.
    pub(crate) shaft_torque: f64,
    /// Energy of springs, rods and weights, J.
    pub(crate) energy: f64,
}

impl Acting {
    /// What touches and what pushes, a bit each: it changes where the path of balances has a corner.
    pub(crate) fn contacts(&self) -> u16 {
        let all = self.front_load.iter().chain(&self.rear_load);
        all.chain(&self.coil_force)
            .fold(0, |bits, load| (bits << 1) | u16::from(*load > 0.0))
    }
}

/// Which body a point is on, with the place of its angles φ, θ, ψ among the coordinates.
/// The sprung mass has no ψ.
#[derive(Clone, Copy)]
enum Side {
    Sprung,
    Axle,
}

impl Side {
    const fn angles(self) -> &'static [usize] {
        match self {
            Self::Sprung => &[2, 1],
            Self::Axle => &[6, 7, 8],
        }
    }
}

/// A point with its derivatives by the nine coordinates, and how it moves in the nine virtual motions.
struct Point {
    at: Vector3<f64>,
    arm: Vector3<f64>,
    columns: [Vector3<f64>; N],
    virtual_motion: [Vector3<f64>; N],
    side: Side,
}

/// The two bodies placed.
pub(crate) struct Placed {
    pub(crate) sprung: Turn,
    pub(crate) axle: Turn,
    heave: f64,
    centre: Vector3<f64>,
}

impl Placed {
    pub(crate) fn new(q: &Coordinates) -> Self {
        Self {
            sprung: Turn::sprung(q[2], q[1]),
            axle: Turn::axle(q[6], q[7], q[8]),
            heave: q[0],
            centre: Vector3::new(q[3], q[4], q[5]),
        }
    }

    /// A point of the sprung mass (sprung axes, m) over the ground.
    pub(crate) fn on_sprung(&self, a: &Vector3<f64>) -> Vector3<f64> {
        self.sprung.rotation * a + Vector3::new(0.0, 0.0, self.heave)
    }

    /// A point of the axle (axle axes from its origin, m) over the ground.
    pub(crate) fn on_axle(&self, b: &Vector3<f64>) -> Vector3<f64> {
        self.centre + self.axle.rotation * b
    }

    fn turn(&self, side: Side) -> &Turn {
        match side {
            Side::Sprung => &self.sprung,
            Side::Axle => &self.axle,
        }
    }

    fn point(&self, side: Side, body_point: &Vector3<f64>) -> Point {
        let turn = self.turn(side);
        let arm = turn.rotation * body_point;
        let mut columns = [Vector3::zeros(); N];
        for (index, column) in side.angles().iter().zip(turn.columns(&arm)) {
            columns[*index] = column;
        }
        let (at, virtual_motion) = match side {
            Side::Sprung => {
                columns[0] = Vector3::z();
                let mut motion = columns;
                motion[1] = Vector3::y().cross(&arm);
                motion[2] = Vector3::x().cross(&arm);
                (arm + Vector3::new(0.0, 0.0, self.heave), motion)
            }
            Side::Axle => {
                columns[3] = Vector3::x();
                columns[4] = Vector3::y();
                columns[5] = Vector3::z();
                (arm + self.centre, columns)
            }
        };
        Point {
            at,
            arm,
            columns,
            virtual_motion,
            side,
        }
    }

    /// Axes of the virtual turns of a side, in the order of its angles.
    fn virtual_axes(&self, side: Side) -> [Vector3<f64>; 3] {
        match side {
            Side::Sprung => [Vector3::x(), Vector3::y(), Vector3::z()],
            Side::Axle => self.axle.axes,
        }
    }

    /// ∂(virtual axis i)/∂(angle j).
    fn virtual_axis_rate(&self, side: Side, i: usize, j: usize) -> Vector3<f64> {
        match side {
            Side::Sprung => Vector3::zeros(),
            Side::Axle => self.axle.axis_rate(i, j),
        }
    }

    /// f·∂(virtual motion i of the point)/∂(angle j).
    fn bend(&self, p: &Point, f: &Vector3<f64>) -> [[f64; 3]; 3] {
        match p.side {
            Side::Axle => self.axle.bend(f, &p.arm),
            Side::Sprung => {
                // f·(w × (e × r)) = (f·e)(w·r) − (f·r)(w·e), w = x, y.
                let fr = f.dot(&p.arm);
                let e = &self.sprung.axes;
                let mut h = [[0.0; 3]; 3];
                for i in 0..2 {
                    for j in 0..2 {
                        h[i][j] = f.dot(&e[j]) * p.arm[i] - fr * e[j][i];
                    }
                }
                h
            }
        }
    }
}

/// Loads of the front end for deflections δ (m) with the bar rate K_f/t_f² (N/m): loads, loads if the
/// tyres could pull, and the derivative of the loads by δ. With one tyre off the ground its (massless) wheel
/// hangs where spring and bar balance.
#[inline]
fn front_end(deflection: [f64; 2], spring: impl Fn(f64) -> [f64; 3], bar: f64) -> FrontEnd {
    let [l, r] = deflection;
    let ([f, k, e], [g, m, u]) = (spring(l), spring(r));
    let unclamped = [f + bar * (l - r), g + bar * (r - l)];
    let mut out = FrontEnd {
        load: [0.0; 2],
        unclamped,
        rate: [[0.0; 2]; 2],
        energy: 0.0,
    };
    if unclamped[0] > 0.0 && unclamped[1] > 0.0 {
        out.load = unclamped;
        out.rate = [[k + bar, -bar], [-bar, m + bar]];
        out.energy = e + u + 0.5 * bar * (l - r) * (l - r);
        return out;
    }
    let (i, x, [f, k, e]) = if l >= r {
        (0, l, [f, k, e])
    } else {
        (1, r, [g, m, u])
    };
    let sound = x > 0.0;
    if !sound {
        return out;
    }
    // The lifted wheel hangs where its spring holds the bar: f(y) = bar·(x − y).
    let mut y = bar * x / (k + bar);
    let mut there = spring(y);
    for _ in 0..HANGING {
        let miss = there[0] - bar * (x - y);
        if miss.abs() <= 1e-12 * f.abs() {
            break;
        }
        y -= miss / (there[1] + bar);
        there = spring(y);
    }
    out.load[i] = f + bar * (x - y);
    out.rate[i][i] = k + bar * there[1] / (there[1] + bar);
    out.energy = e + there[2] + 0.5 * bar * (x - y) * (x - y);
    out
}

/// Newton steps for the place of a lifted wheel; a straight spring takes none.
const HANGING: usize = 30;

/// Loads of the front wheels, what they would be if the ground could pull, their rates by the two
/// squeezes, and the energy.
struct FrontEnd {
    load: [f64; 2],
    unclamped: [f64; 2],
    rate: [[f64; 2]; 2],
    energy: f64,
}

struct Builder<'a> {
    placed: &'a Placed,
    g: [f64; N],
    k: [[f64; N]; N],
    ga: [f64; N],
    energy: f64,
}

impl Builder<'_> {
    /// A constant force on a point; `per_a` is its derivative by the acceleration.
    fn force(&mut self, p: &Point, f: &Vector3<f64>, per_a: &Vector3<f64>) {
        for j in 0..N {
            self.g[j] -= f.dot(&p.virtual_motion[j]);
            self.ga[j] -= per_a.dot(&p.virtual_motion[j]);
        }
        self.bend(p, f, -1.0);
        self.energy -= f.dot(&p.at);
    }

    /// Adds factor · f·∂(virtual motion)/∂q to the stiffness.
    #[inline]
    fn bend(&mut self, p: &Point, f: &Vector3<f64>, factor: f64) {
        let h = self.placed.bend(p, f);
        let angles = p.side.angles();
        for (i, a) in angles.iter().enumerate() {
            for (j, b) in angles.iter().enumerate() {
                self.k[*a][*b] += factor * h[i][j];
            }
        }
    }

    /// Height springs under points: forces `load` up, K = ∂load/∂(deflection).
    fn stand(&mut self, points: [&Point; 2], load: [f64; 2], rate: [[f64; 2]; 2]) {
        for (i, p) in points.iter().enumerate() {
            if load[i] > 0.0 {
                for j in 0..N {
                    self.g[j] -= load[i] * p.virtual_motion[j].z;
                }
                self.bend(p, &Vector3::new(0.0, 0.0, load[i]), -1.0);
            }
            for (m, other) in points.iter().enumerate() {
                if rate[i][m] != 0.0 {
                    for a in 0..N {
                        for b in 0..N {
                            self.k[a][b] += rate[i][m] * p.virtual_motion[a].z * other.columns[b].z;
                        }
                    }
                }
            }
        }
    }

    /// A two-ended bar with tension `tension` and stiffness `k` at the given ends.
    fn bar(
        &mut self,
        frame: &Point,
        axle: &Point,
        unit: &Vector3<f64>,
        distance: f64,
        tension: f64,
        k: f64,
    ) {
        let across = tension / distance;
        let mut pull = [Vector3::zeros(); N];
        for j in 0..N {
            // How the force on the axle end (u·tension) changes with q_j.
            let d = axle.columns[j] - frame.columns[j];
            pull[j] = unit * ((k - across) * unit.dot(&d)) + d * across;
        }
        for i in 0..N {
            let motion = axle.virtual_motion[i] - frame.virtual_motion[i];
            self.g[i] += tension * unit.dot(&motion);
            for j in 0..N {
                self.k[i][j] += motion.dot(&pull[j]);
            }
        }
        self.bend(axle, unit, tension);
        self.bend(frame, unit, -tension);
    }

    /// A longitudinal force F on the body of `p` at the ground under `p`; `by_q` and `by_a` are
    /// its derivatives.
    fn contact(&mut self, p: &Point, f: f64, by_q: Option<&[f64; N]>, by_a: f64) {
        let axes = self.placed.virtual_axes(p.side);
        let angles = p.side.angles();
        let mut row: [f64; N] = std::array::from_fn(|j| p.virtual_motion[j].x);
        for (i, j) in angles.iter().enumerate() {
            row[*j] -= p.at.z * axes[i].y;
        }
        for j in 0..N {
            self.g[j] -= f * row[j];
            self.ga[j] -= by_a * row[j];
            if let Some(by_q) = by_q {
                for m in 0..N {
                    self.k[j][m] -= by_q[m] * row[j];
                }
            }
        }
        self.bend(p, &Vector3::new(f, 0.0, 0.0), -1.0);
        for (i, j) in angles.iter().enumerate() {
            for m in 0..N {
                self.k[*j][m] += f * p.columns[m].z * axes[i].y;
            }
            for (other, m) in angles.iter().enumerate() {
                let rate = self.placed.virtual_axis_rate(p.side, i, other);
                self.k[*j][*m] += f * p.at.z * rate.y;
            }
        }
    }

    /// A moment `m` about the ground's x axis on a body.
    fn roll_moment(&mut self, side: Side, m: f64, by_q: &[f64; N], by_a: f64) {
        let axes = self.placed.virtual_axes(side);
        let angles = side.angles();
        for (i, j) in angles.iter().enumerate() {
            let x = axes[i].x;
            self.g[*j] -= m * x;
            self.ga[*j] -= by_a * x;
            for c in 0..N {
                self.k[*j][c] -= by_q[c] * x;
            }
            for (other, c) in angles.iter().enumerate() {
                let rate = self.placed.virtual_axis_rate(side, i, other);
                self.k[*j][*c] -= m * rate.x;
            }
        }
    }
}

/// Two ends of a bar as drawn, joined: distance and unit vector from frame to axle.
fn joined(frame: &Point, axle: &Point) -> (f64, Vector3<f64>) {
    let d = axle.at - frame.at;
    let distance = d.norm();
    (distance, d / distance)
}

impl LaunchModel {
    /// Front body points, sprung axes, left and right.
    pub(crate) fn front_points(&self) -> [Vector3<f64>; 2] {
        let c = &self.car;
        [0.5, -0.5].map(|side| Vector3::new(c.wheelbase, side * c.front_track, c.front_hub_height))
    }

    /// Wheel centres, axle axes, left and right.
    pub(crate) fn wheel_centres(&self) -> [Vector3<f64>; 2] {
        [0.5, -0.5].map(|side| Vector3::new(0.0, side * self.car.rear_track, 0.0))
    }

    /// Everything at `q` and acceleration `a` (m/s²); rod i has the length `lengths[i]`, its own
    /// where `lengths` ends.
    pub(crate) fn system(
        &self,
        q: &Coordinates,
        a: f64,
        manoeuvre: Manoeuvre,
        lengths: &[f64],
    ) -> System {
        let car = &self.car;
        let placed = Placed::new(q);
        let mut b = Builder {
            placed: &placed,
            g: [0.0; N],
            k: [[0.0; N]; N],
            ga: [0.0; N],
            energy: 0.0,
        };
        // Weights and inertia.
        let masses = [
            (Side::Sprung, &car.sprung_cg.coords, car.sprung_mass),
            (Side::Axle, &self.axle_cg, car.axle_mass),
        ];
        for (side, cg, mass) in masses {
            let point = placed.point(side, cg);
            let force = Vector3::new(-mass * a, 0.0, -mass * STANDARD_GRAVITY);
            b.force(&point, &force, &Vector3::new(-mass, 0.0, 0.0));
        }
        // Rods and coil-overs.
        let ends = |bar: &Bar| {
            (
                placed.point(Side::Sprung, &bar.frame),
                placed.point(Side::Axle, &bar.axle),
            )
        };
        let mut rod_force = [0.0; MAX_RODS];
        for (index, bar) in self.rods.iter().enumerate() {
            let (frame, axle) = ends(bar);
            let (distance, unit) = joined(&frame, &axle);
            let stretch = distance - lengths.get(index).copied().unwrap_or(bar.length);
            let tension = bar.stiffness * stretch;
            rod_force[index] = tension;
            b.energy += 0.5 * tension * stretch;
            b.bar(&frame, &axle, &unit, distance, tension, bar.stiffness);
        }
        let (mut coil_force, mut coil_length) = ([0.0; MAX_COILOVERS], [0.0; MAX_COILOVERS]);
        for (index, bar) in self.coilovers.iter().enumerate() {
            let (frame, axle) = ends(bar);
            let (distance, unit) = joined(&frame, &axle);
            coil_length[index] = distance;
            let squeeze = bar.length - distance;
            if squeeze > 0.0 {
                let push = bar.stiffness * squeeze;
                coil_force[index] = push;
                b.energy += 0.5 * push * squeeze;
                b.bar(&frame, &axle, &unit, distance, -push, bar.stiffness);
            }
        }
        // Front end.
        let front = self.front_points().map(|p| placed.point(Side::Sprung, &p));
        let front_deflection = [0, 1].map(|i: usize| car.front_free_height - front[i].at.z);
        let bar_rate = car.front_roll_stiffness / (car.front_track * car.front_track);
        let straight = |x: f64| {
            let load = car.front_rate * x;
            [load, car.front_rate, 0.5 * load * x]
        };
        let at_front = match &car.front_curve {
            None => front_end(front_deflection, straight, bar_rate),
            Some(curve) => front_end(front_deflection, |x| curve.at(x), bar_rate),
        };
        let (front_load, front_unclamped) = (at_front.load, at_front.unclamped);
        b.stand([&front[0], &front[1]], front_load, at_front.rate);
        b.energy += at_front.energy;
        // Rear tyres.
        let wheels = self.wheel_centres().map(|p| placed.point(Side::Axle, &p));
        let rear_deflection = [0, 1].map(|i: usize| car.tyre_free_radius - wheels[i].at.z);
        let rear_load = rear_deflection.map(|d| (car.tyre_rate * d).max(0.0));
        let touching = |i: usize| {
            if rear_load[i] > 0.0 {
                car.tyre_rate
            } else {
                0.0
            }
        };
        let rear_rate = [[touching(0), 0.0], [0.0, touching(1)]];
        b.stand([&wheels[0], &wheels[1]], rear_load, rear_rate);
        for i in 0..2 {
            b.energy += 0.5 * rear_load[i] * rear_deflection[i];
        }
        // Roll stiffness at the rear.
        let stiff = car.rear_roll_stiffness;
        if stiff > 0.0 {
            let twist = q[6] - q[2];
            b.energy += 0.5 * stiff * twist * twist;
            let mut by_q = [0.0; N];
            (by_q[6], by_q[2]) = (stiff, -stiff);
            b.roll_moment(Side::Sprung, stiff * twist, &by_q, 0.0);
            b.roll_moment(Side::Axle, -stiff * twist, &by_q.map(|v| -v), 0.0);
        }
        // Thrust or brake force.
        let mass = car.mass();
        let (rear_share, sense, locked) = match manoeuvre {
            Manoeuvre::Drive => (
                1.0,
                car.shaft_torque.sense(),
                car.differential == Differential::Locked,
            ),
            Manoeuvre::Brake { rear_share } => (rear_share, 0.0, false),
        };
        let whole = mass * a * rear_share;
        let sum = rear_load[0] + rear_load[1];
        let mut thrust = [0.0; 2];
        let (mut moment, mut moment_by_q, mut moment_by_a) = (0.0, [0.0; N], 0.0);
        for i in 0..2 {
            let wheel = &wheels[i];
            let mut by_q = [0.0; N];
            let share = if locked && sum > 0.0 {
                let share = rear_load[i] / sum;
                for j in 0..N {
                    let change = |w: usize| -touching(w) * wheels[w].columns[j].z;
                    by_q[j] = whole * (change(i) - share * (change(0) + change(1))) / sum;
                }
                share
            } else {
                0.5
            };
            thrust[i] = whole * share;
            let by_a = mass * rear_share * share;
            b.contact(wheel, thrust[i], locked.then_some(&by_q), by_a);
            let ratio = sense / car.final_drive;
            moment += ratio * thrust[i] * wheel.at.z;
            moment_by_a += ratio * by_a * wheel.at.z;
            for j in 0..N {
                moment_by_q[j] += ratio * (by_q[j] * wheel.at.z + thrust[i] * wheel.columns[j].z);
            }
        }
        if sense != 0.0 {
            b.roll_moment(Side::Sprung, moment, &moment_by_q, moment_by_a);
            b.roll_moment(Side::Axle, -moment, &moment_by_q.map(|v| -v), -moment_by_a);
        }
        let front_thrust = 0.5 * mass * a * (1.0 - rear_share);
        if rear_share < 1.0 {
            for p in &front {
                b.contact(p, front_thrust, None, 0.5 * mass * (1.0 - rear_share));
            }
        }
        System {
            residual: b.g,
            stiffness: b.k,
            by_acceleration: b.ga,
            acting: Acting {
                rod_force,
                coil_force,
                coil_length,
                rear_load,
                front_load,
                front_unclamped,
                front_deflection,
                rear_deflection,
                thrust,
                front_thrust,
                shaft_torque: moment,
                energy: b.energy,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::super::car::{DrawnCoilover, LaunchCar, ShaftTorque};
    use super::*;
    use geometry::DrawnRod;
    use nalgebra::Point3;

    fn model(differential: Differential) -> LaunchModel {
        let car = LaunchCar {
            wheelbase: 2.7,
            sprung_mass: 1200.0,
            sprung_cg: Point3::new(1.3, 0.02, 0.55),
            axle_mass: 150.0,
            axle_cg: Point3::new(0.02, 0.01, 0.34),
            axle_height: 0.33,
            rear_track: 1.5,
            front_track: 1.48,
            front_hub_height: 0.31,
            front_rate: 25_000.0,
            front_free_height: 0.44,
            front_curve: None,
            tyre_rate: 2.0e5,
            tyre_free_radius: 0.35,
            final_drive: 3.7,
            differential,
            shaft_torque: ShaftTorque::Usual,
            front_roll_stiffness: 9000.0,
            rear_roll_stiffness: 4000.0,
        };
        let rod = |a: [f64; 3], b: [f64; 3]| DrawnRod {
            frame_point: Point3::from(a),
            housing_point: Point3::from(b),
            length: None,
            stiffness: Some(3.0e7),
        };
        let rods = [
            rod([0.6, 0.4, 0.2], [0.0, 0.45, 0.18]),
            rod([0.6, -0.4, 0.2], [0.0, -0.45, 0.18]),
            rod([0.5, 0.4, 0.38], [0.0, 0.1, 0.5]),
            rod([0.5, -0.4, 0.38], [0.0, -0.1, 0.5]),
        ];
        let coil = |s: f64| DrawnCoilover {
            frame_point: Point3::new(-0.1, 0.4 * s, 0.7),
            housing_point: Point3::new(-0.15, 0.5 * s, 0.3),
            rate: 30_000.0,
            free_length: 0.5,
        };
        LaunchModel::drawn(&car, &rods, &[coil(1.0), coil(-1.0)]).unwrap()
    }

    /// Outside check: central differences of the residual, at a pose with every angle away from zero,
    /// for every manoeuvre and differential; and at rest of the energy.
    #[test]
    fn the_stiffness_is_the_derivative_of_the_residual() {
        let q = [0.01, -0.03, 0.02, 0.004, -0.003, 0.325, 0.03, -0.05, 0.02];
        let brake = Manoeuvre::Brake { rear_share: 0.4 };
        for (differential, manoeuvre, a) in [
            (Differential::Open, Manoeuvre::Drive, 0.0),
            (Differential::Open, Manoeuvre::Drive, 7.0),
            (Differential::Locked, Manoeuvre::Drive, 7.0),
            (Differential::Open, brake, -6.0),
        ] {
            let m = model(differential);
            let at = |q: &Coordinates, a: f64| m.system(q, a, manoeuvre, &[]);
            let s = at(&q, a);
            let h = 1e-6;
            for j in 0..N {
                let shifted = |d: f64| {
                    let mut p = q;
                    p[j] += d;
                    at(&p, a)
                };
                let (low, high) = (shifted(-h), shifted(h));
                for i in 0..N {
                    let difference = (high.residual[i] - low.residual[i]) / (2.0 * h);
                    let scale = s.stiffness[i][i].abs().max(s.stiffness[j][j].abs());
                    assert!(
                        (difference - s.stiffness[i][j]).abs() < 1e-7 * scale,
                        "{differential:?} {manoeuvre:?} {i} {j}: {difference} {}",
                        s.stiffness[i][j]
                    );
                }
                // The axle has an energy at rest but for the roll moments about the ground's x, in ψ and θ.
                if a == 0.0 && j >= 3 && j != 7 && j != 8 {
                    let slope = (high.acting.energy - low.acting.energy) / (2.0 * h);
                    assert!((slope - s.residual[j]).abs() < 1e-4 * s.residual[j].abs().max(1e3));
                }
            }
            for i in 0..N {
                let d = 0.5 * (at(&q, a + 1.0).residual[i] - at(&q, a - 1.0).residual[i]);
                assert!((d - s.by_acceleration[i]).abs() < 1e-6, "{i}");
            }
        }
    }

    #[test]
    fn a_lifted_front_wheel_hangs_on_the_bar() {
        let (rate, bar) = (20_000.0, 5_000.0);
        // Continuous where the left tyre leaves: rate·l + bar·(l − r) = 0 at l = r/5.
        let straight = |x: f64| [rate * x, rate, 0.5 * rate * x * x];
        let just = |l: f64| front_end([l, 0.05], straight, bar).load;
        let (before, after) = (just(0.01 + 1e-9), just(0.01 - 1e-9));
        assert!(before[0] < 1e-3 && after[0] == 0.0);
        assert!((before[1] - after[1]).abs() < 1e-3);
        assert_eq!(front_end([-0.01, -0.02], straight, bar).load, [0.0, 0.0]);
    }
}
