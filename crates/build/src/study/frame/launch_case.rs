//! The frame under the launch balance: links, springs and driveshaft against what stands on it.
//!
//! Everything in axes of the sprung mass as drawn; weight and inertia are turned by the pitch and roll of the
//! loaded pose.

use geometry::{Point3, Vector3};
use nalgebra::Matrix3;
use structure::load_case::{LoadCase, nodal_masses, solve};
use structure::members::reserve;
use structure::motion::FreeMotions;
use structure::solve::Displacement;
use structure::{Load, load_case};
use vehicle::STANDARD_GRAVITY;
use vehicle::launch::Balance;

use super::super::{Case, LaunchStudy, RearStudy};
use super::skeleton::{Carried, Skeleton};
use super::spread::spread;
use super::words;
use crate::{Assembly, Build, Carried as LoadOf, FrameTest, Hand, Side, grade};

/// The frame at the acceleration looked at.
#[derive(Debug, Clone)]
pub struct LaunchFrame {
    /// Forward acceleration, m/s².
    pub acceleration: f64,
    /// What acts on the frame, weight and inertia apart.
    pub loads: Vec<FrameLoad>,
    /// Weight that is entered with its place, kg.
    pub entered: f64,
    /// The tubes' own, kg.
    pub own: f64,
    /// The rest of the sprung weight, spread over the frame's nodes, kg.
    pub rest: f64,
    /// Where the rest's centre must be for the car's to be right, m.
    pub rest_at: [f64; 3],
    /// What the loads give the whole weight, less the acceleration of the balance, m/s², x ahead, z up.
    pub difference: [f64; 3],
    /// Angular acceleration the loads would give it, rad/s².
    pub angular: [f64; 3],
    /// Largest force on the supports that only keep it in place, over the weight.
    pub unbalanced: f64,
    /// Displacement of every frame node, measured from three nodes kept in place: m and rad.
    pub displacements: Vec<Displacement>,
    /// What every tube stands, in the assembly's order; none where it is not part of the piece or its material has
    /// no yield strength.
    pub reserves: Vec<Option<TubeReserve>>,
    /// The tube with the lowest reserve.
    pub weakest: Option<usize>,
    /// Motions nothing resists and the loads do not drive.
    pub(super) free: Option<FreeMotions>,
}

/// A load on the frame, in the axes it is drawn in.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameLoad {
    /// What it is: "Upper link, left".
    pub label: String,
    /// Where it acts, m.
    pub at: [f64; 3],
    /// Force, N.
    pub force: [f64; 3],
    /// Moment of its own, N·m.
    pub moment: [f64; 3],
    /// Place among the assembly's tubes of the one that carries it; none where nodes share it.
    pub tube: Option<usize>,
    /// How far its place is outside that tube, m.
    pub arm: f64,
}

/// What a tube stands; a reserve is strength over load, infinite without load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TubeReserve {
    /// Place among the assembly's tubes.
    pub tube: usize,
    /// Yield strength over the largest von Mises stress.
    pub yields: f64,
    /// That stress, Pa.
    pub von_mises: f64,
    /// Where along the tube, m from end A.
    pub at: f64,
    /// Column strength over the largest compression of a straight.
    pub column: f64,
    /// That compression, N.
    pub compression: f64,
    /// Length of that straight, m.
    pub straight: f64,
}

impl TubeReserve {
    /// The lower of the two.
    pub fn lowest(&self) -> f64 {
        self.yields.min(self.column)
    }
}

/// Places whose load the nearest tube carries, in the order the case uses them: links, coil-overs, front wheels.
pub(super) fn places(b: &Build, rear: &RearStudy, launch: &LaunchStudy) -> Vec<[f64; 3]> {
    let links = rear.rods.iter().map(|r| r.frame);
    let coils = launch.coilovers.iter().map(|c| c.frame);
    links.chain(coils).chain(front_points(b)).collect()
}

fn front_points(b: &Build) -> [[f64; 3]; 2] {
    let car = &b.car;
    [0.5, -0.5].map(|s| {
        [
            car.wheelbase.si(),
            s * car.front.track.si(),
            car.front.loaded_radius.si(),
        ]
    })
}

fn v(p: [f64; 3]) -> Vector3<f64> {
    Vector3::from(p)
}

fn hand(side: Side) -> Option<Hand> {
    match side {
        Side::Left => Some(Hand::Left),
        Side::Right => Some(Hand::Right),
        Side::Both => None,
    }
}

fn sided(label: &str, side: Side) -> String {
    match side {
        Side::Both => label.to_owned(),
        Side::Left => format!("{label}, left"),
        Side::Right => format!("{label}, right"),
    }
}

struct Gather<'a> {
    s: &'a Skeleton,
    test: &'a FrameTest,
    loads: Vec<Load>,
    said: Vec<FrameLoad>,
}

impl Gather<'_> {
    /// A force at a place, on the node that carries it.
    fn at(&mut self, label: String, at: [f64; 3], force: Vector3<f64>, on: Option<Carried>) {
        let Some(c) = on else { return };
        let moment = (v(at) - self.s.frame.nodes[c.node]).cross(&force);
        self.loads.push(Load {
            node: c.node,
            force,
            moment,
        });
        self.said.push(FrameLoad {
            label,
            at,
            force: force.into(),
            moment: [0.0; 3],
            tube: (c.tube != usize::MAX).then_some(c.tube),
            arm: c.outside,
        });
    }

    /// A force and a moment shared by nodes.
    fn shared(
        &mut self,
        label: &str,
        nodes: &[usize],
        force: Vector3<f64>,
        moment: Vector3<f64>,
        about: Point3<f64>,
    ) {
        if force.norm() + moment.norm() == 0.0 {
            return;
        }
        let all = spread(nodes, &self.s.frame.nodes, force, moment, about);
        self.loads.extend(all);
        self.said.push(FrameLoad {
            label: label.to_owned(),
            at: about.coords.into(),
            force: force.into(),
            moment: moment.into(),
            tube: None,
            arm: 0.0,
        });
    }

    /// The node a person chose for a load.
    fn chosen(&self, is: impl Fn(&LoadOf) -> bool) -> Option<Carried> {
        let by = self.test.carriers.iter().find(|c| is(&c.load))?;
        Some(Carried {
            node: self.s.node(&by.node)?,
            tube: usize::MAX,
            outside: 0.0,
        })
    }
}

pub(super) fn study(
    b: &Build,
    s: &Skeleton,
    rear: &RearStudy,
    launch: &LaunchStudy,
) -> Result<LaunchFrame, String> {
    let reactions = launch.reactions.as_ref().map_err(Clone::clone)?;
    let balance = reactions.balance(Case::Drive)?;
    let car = reactions.settled.model().car();
    let origin = balance.sprung_point(&Point3::origin());
    // To the ground from the axes of the sprung mass.
    let turn = Matrix3::from_columns(
        &[Vector3::x(), Vector3::y(), Vector3::z()]
            .map(|e| balance.sprung_point(&Point3::from(e)) - origin),
    );
    let back = turn.transpose();
    let up = back * Vector3::z();
    let nodes = s.drawn_nodes();
    let mut g = Gather {
        s,
        test: &b.frame_test,
        loads: Vec::new(),
        said: Vec::new(),
    };
    links_and_coils(&mut g, b, rear, launch, balance, car.axle_height);
    front(&mut g, b, balance, up, s.carried.len().saturating_sub(2));
    let mounts: Vec<usize> = b
        .frame_test
        .engine_mounts
        .iter()
        .filter_map(|id| s.node(id))
        .collect();
    let mounts = if mounts.is_empty() { &nodes } else { &mounts };
    let middle = |all: &[usize]| {
        let sum: Vector3<f64> = all.iter().map(|i| s.frame.nodes[*i]).sum();
        Point3::from(sum / all.len().max(1) as f64)
    };
    let none = Vector3::zeros();
    let shaft = back * Vector3::x() * balance.driveshaft_torque;
    g.shared("Driveshaft torque", mounts, none, shaft, middle(mounts));
    let bar = car.rear_roll_stiffness * (balance.axle.phi - balance.sprung.roll);
    let held: Vec<usize> = b
        .frame_test
        .rear
        .iter()
        .flat_map(|p| [&p.left, &p.right])
        .filter_map(|id| s.node(id))
        .collect();
    let held = if held.is_empty() { &nodes } else { &held };
    let bar = back * Vector3::x() * bar;
    g.shared("Rear anti-roll bar", held, none, bar, middle(held));
    let yaw = up * balance.yaw_hold_moment;
    g.shared(
        "Moment that holds the heading",
        &nodes,
        none,
        yaw,
        middle(&nodes),
    );

    // The whole weight under these loads.
    let (mass, centre) = (car.sprung_mass, car.sprung_cg.coords);
    let force: Vector3<f64> = g.loads.iter().map(|l| l.force).sum();
    let moment: Vector3<f64> = g
        .loads
        .iter()
        .map(|l| l.moment + (s.frame.nodes[l.node] - centre).cross(&l.force))
        .sum();
    let accelerates = force / mass;
    let found = turn * accelerates - Vector3::z() * STANDARD_GRAVITY;
    let difference = found - Vector3::x() * balance.acceleration;

    // What stands where.
    let lumps =
        nodal_masses(&s.frame, &[], true).map_err(|e| words::solve_error(s, &b.assembly, &e))?;
    let own: f64 = lumps.iter().sum();
    let own_first: Vector3<f64> = lumps.iter().zip(&s.frame.nodes).map(|(m, p)| p * *m).sum();
    let mut entered = 0.0;
    let mut first = own_first;
    for m in &b.frame_test.masses {
        entered += m.mass.si();
        first += v(m.at.si()) * m.mass.si();
    }
    let rest = mass - own - entered;
    if rest.is_nan() || rest <= 0.0 {
        return Err(
            "the tubes and the weights entered come to more than the car weighs without its rear axle"
                .to_owned(),
        );
    }
    let rest_at = (centre * mass - first) / rest;
    let mut loads = g.loads.clone();
    for m in &b.frame_test.masses {
        let on: Vec<usize> = m.on.iter().filter_map(|id| s.node(id)).collect();
        let on = if on.is_empty() { &nodes } else { &on };
        let at = Point3::from(m.at.si());
        let pull = -accelerates * m.mass.si();
        loads.extend(spread(on, &s.frame.nodes, pull, none, at));
    }
    // What the loads turn, the rest takes as well.
    let pull = -accelerates * rest;
    loads.extend(spread(
        &nodes,
        &s.frame.nodes,
        pull,
        -moment,
        Point3::from(rest_at),
    ));
    let spin = inertia(s, b, &lumps, &nodes, rest, centre);
    let angular = spin
        .try_inverse()
        .map_or_else(Vector3::zeros, |inverse| turn * (inverse * moment));

    let case = LoadCase {
        loads,
        masses: Vec::new(),
        own_mass: true,
        gravity: back * Vector3::new(0.0, 0.0, -STANDARD_GRAVITY),
        expected: None,
    };
    let answer =
        solve(&s.frame, &case, None).map_err(|e| words::solve_error(s, &b.assembly, &e))?;
    let reserves = reserves(b, s, &answer);
    let weakest = reserves
        .iter()
        .flatten()
        .filter(|r| r.lowest().is_finite())
        .min_by(|x, y| x.lowest().total_cmp(&y.lowest()))
        .map(|r| r.tube);
    Ok(LaunchFrame {
        acceleration: balance.acceleration,
        loads: g.said,
        entered,
        own,
        rest,
        rest_at: rest_at.into(),
        difference: difference.into(),
        angular: angular.into(),
        unbalanced: answer.unbalanced * own / mass,
        displacements: answer.solution.displacements,
        reserves,
        weakest,
        free: answer.solution.free,
    })
}

fn links_and_coils(
    g: &mut Gather<'_>,
    b: &Build,
    rear: &RearStudy,
    launch: &LaunchStudy,
    balance: &Balance,
    axle_height: f64,
) {
    let axle = balance.axle_in_sprung();
    let lower = |p: [f64; 3]| axle.place(&Point3::new(p[0], p[1], p[2] - axle_height));
    for (i, (rod, tension)) in rear.rods.iter().zip(&balance.rod_force).enumerate() {
        let link = &b.rear.links[rod.link];
        let way = lower(rod.axle).coords - v(rod.frame);
        let chosen = g.chosen(|l| match l {
            LoadOf::Bracket { bracket, side } => {
                *bracket == link.at_frame.bracket && hand(rod.side).is_none_or(|h| h == *side)
            }
            LoadOf::CoilOver(_) => false,
        });
        let on = chosen.or_else(|| g.s.carried.get(i).copied().flatten());
        let pull = way.normalize() * *tension;
        g.at(sided(&link.label, rod.side), rod.frame, pull, on);
    }
    let rods = rear.rods.len();
    for (i, (coil, push)) in launch.coilovers.iter().zip(&balance.coil_force).enumerate() {
        let way = v(coil.frame) - lower(coil.axle).coords;
        let chosen = g.chosen(|l| match l {
            LoadOf::CoilOver(side) => hand(coil.side).is_none_or(|h| h == *side),
            LoadOf::Bracket { .. } => false,
        });
        let on = chosen.or_else(|| g.s.carried.get(rods + i).copied().flatten());
        let label = &b.power.coilovers[coil.coilover].label;
        g.at(
            sided(label, coil.side),
            coil.frame,
            way.normalize() * *push,
            on,
        );
    }
}

/// The front wheels' loads. On spring seats they keep their sum and what they turn the car by: unequal sides
/// are shared for the seats' distance apart, and what forces along the springs can not turn, the seats are turned by.
fn front(g: &mut Gather<'_>, b: &Build, balance: &Balance, up: Vector3<f64>, first: usize) {
    let load = [balance.tyre_load.front_left, balance.tyre_load.front_right];
    let points = front_points(b);
    let labels = ["Front spring, left", "Front spring, right"];
    let seats = b.frame_test.front_springs.as_ref().and_then(|p| {
        let (l, r) = (g.s.node(&p.left)?, g.s.node(&p.right)?);
        let apart = g.s.frame.nodes[l] - g.s.frame.nodes[r];
        (apart.y > 1e-3).then_some([l, r])
    });
    let Some(seats) = seats else {
        for i in 0..2 {
            let on = g.s.carried.get(first + i).copied().flatten();
            g.at(labels[i].to_owned(), points[i], up * load[i], on);
        }
        return;
    };
    let at = seats.map(|n| g.s.frame.nodes[n]);
    let middle = (at[0] + at[1]) / 2.0;
    let moment: Vector3<f64> = (0..2)
        .map(|i| (v(points[i]) - middle).cross(&(up * load[i])))
        .sum();
    let sum = load[0] + load[1];
    // d × up: what a newton more left and one less right turn it by.
    let couple = (at[0] - at[1]).cross(&up);
    let share = moment.dot(&couple) / couple.norm_squared();
    let forces = [0.5 * sum + share, 0.5 * sum - share].map(|f| up * f);
    let made: Vector3<f64> = (0..2).map(|i| (at[i] - middle).cross(&forces[i])).sum();
    let rest = (moment - made) / 2.0;
    for i in 0..2 {
        g.loads.push(Load {
            node: seats[i],
            force: forces[i],
            moment: rest,
        });
        g.said.push(FrameLoad {
            label: labels[i].to_owned(),
            at: at[i].into(),
            force: forces[i].into(),
            moment: rest.into(),
            tube: None,
            arm: 0.0,
        });
    }
}

/// Inertia about the centre, kg·m²; the rest in equal parts on the frame's nodes.
fn inertia(
    s: &Skeleton,
    b: &Build,
    lumps: &[f64],
    nodes: &[usize],
    rest: f64,
    centre: Vector3<f64>,
) -> Matrix3<f64> {
    let of = |m: f64, p: Vector3<f64>| {
        let r = p - centre;
        (Matrix3::identity() * r.norm_squared() - r * r.transpose()) * m
    };
    let own = lumps.iter().zip(&s.frame.nodes).map(|(m, p)| of(*m, *p));
    let entered = b
        .frame_test
        .masses
        .iter()
        .map(|m| of(m.mass.si(), v(m.at.si())));
    let each = rest / nodes.len().max(1) as f64;
    let spread = nodes.iter().map(|n| of(each, s.frame.nodes[*n]));
    own.chain(entered).chain(spread).sum()
}

/// Yield strength of a material, Pa.
fn yield_strength(a: &Assembly, material: &str) -> Option<f64> {
    let own = a.materials.iter().find(|m| m.id == material);
    own.map(|m| m.yield_strength.si())
        .or_else(|| grade(material).map(|g| g.yield_strength))
}

fn reserves(b: &Build, s: &Skeleton, answer: &load_case::CaseAnswer) -> Vec<Option<TubeReserve>> {
    let forces = &answer.solution.end_forces;
    s.lines
        .iter()
        .enumerate()
        .map(|(tube, line)| {
            let line = line.as_ref()?;
            let yields_at = yield_strength(&b.assembly, &b.assembly.tubes[tube].material)?;
            let mut all: Option<TubeReserve> = None;
            let straights = line.straights.iter().map(|m| (m, true));
            for (members, column) in straights.chain(line.bends.iter().map(|m| (m, false))) {
                if members.is_empty() {
                    continue;
                }
                let r = reserve(&s.frame, forces, members, yields_at).ok()?;
                let place = line.members.iter().position(|m| *m == r.at.0).unwrap_or(0) + r.at.1;
                let here = TubeReserve {
                    tube,
                    yields: r.yields,
                    von_mises: r.von_mises,
                    at: line.lengths.get(place).copied().unwrap_or(0.0),
                    column: if column { r.column } else { f64::INFINITY },
                    compression: if column { r.compression } else { 0.0 },
                    straight: r.length,
                };
                let worst = all.get_or_insert(here);
                if here.von_mises > worst.von_mises {
                    (worst.yields, worst.von_mises, worst.at) =
                        (here.yields, here.von_mises, here.at);
                }
                if here.column < worst.column {
                    (worst.column, worst.compression, worst.straight) =
                        (here.column, here.compression, here.straight);
                }
            }
            all
        })
        .collect()
}
