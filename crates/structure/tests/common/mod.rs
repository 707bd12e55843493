//! Frames used by tests and benches.

use nalgebra::Vector3;
use structure::rig::{Pair, RearHold, Test};
use structure::{Frame, Member, RigidLink, Section};

pub fn v(x: f64, y: f64, z: f64) -> Vector3<f64> {
    Vector3::new(x, y, z)
}

pub fn tube() -> Section {
    Section::round(0.04445, 0.003).unwrap()
}

/// A box of four rails over `stations` rings 0.5 m apart, a diagonal in each bay of each side, every tube divided into
/// `pieces`. Node 4s + 0, 1, 2, 3 of station s: lower left, lower right, upper right, upper left.
pub fn box_frame(stations: usize, pieces: usize) -> Frame {
    let mut frame = Frame::default();
    for s in 0..stations {
        let x = 0.5 * s as f64;
        for (y, z) in [(0.4, 0.2), (-0.4, 0.2), (-0.35, 0.7), (0.35, 0.7)] {
            frame.nodes.push(v(x, y, z));
        }
    }
    let mut ends = Vec::new();
    for s in 0..stations {
        for k in 0..4 {
            ends.push((4 * s + k, 4 * s + (k + 1) % 4));
            if s + 1 < stations {
                ends.push((4 * s + k, 4 * s + 4 + k));
                ends.push((4 * s + k, 4 * s + 4 + (k + 1) % 4));
            }
        }
    }
    for (tube_index, (i, j)) in ends.into_iter().enumerate() {
        let (from, to) = (frame.nodes[i], frame.nodes[j]);
        let mut last = i;
        for piece in 1..=pieces {
            let next = if piece == pieces {
                j
            } else {
                frame
                    .nodes
                    .push(from + (to - from) * (piece as f64 / pieces as f64));
                frame.nodes.len() - 1
            };
            frame
                .members
                .push(Member::new(last, next, tube()).of_tube(tube_index));
            last = next;
        }
    }
    frame
}

pub fn box_twist(stations: usize) -> Test {
    let at = 4 * (stations - 1);
    Test::Twist {
        front: Pair::new(at, at + 1),
        rear: Pair::new(0, 1),
        hold: RearHold::Determinate,
    }
}

/// A ladder: rails of rectangular tube, round crossmembers, kicked up at the front. Left nodes 0..7, right 7..14.
pub fn ladder() -> Frame {
    let mut frame = Frame::default();
    let x = [-0.2, 0.0, 0.55, 1.3, 1.8, 2.4, 2.7];
    for side in [1.0, -1.0] {
        for (k, x) in x.into_iter().enumerate() {
            let front = k > 4;
            let (y, z) = if front { (0.3, 0.31) } else { (0.38, 0.25) };
            frame.nodes.push(v(x, side * y, z));
        }
    }
    let rail = Section::rectangular(0.1, 0.05, 0.003, 0.006).unwrap();
    let mut number = 0;
    for side in [0, 7] {
        for k in 0..6 {
            frame
                .members
                .push(Member::new(side + k, side + k + 1, rail).of_tube(number));
            number += 1;
        }
    }
    for k in [0, 1, 2, 4, 5, 6] {
        frame
            .members
            .push(Member::new(k, k + 7, tube()).of_tube(number));
        number += 1;
    }
    frame
}

pub fn ladder_twist() -> Test {
    Test::Twist {
        front: Pair::new(6, 13),
        rear: Pair::new(1, 8),
        hold: RearHold::Determinate,
    }
}

pub fn ladder_bending() -> Test {
    Test::Bending {
        front: Pair::new(6, 13),
        rear: Pair::new(1, 8),
        middle: Pair::new(3, 10),
    }
}

/// A node carried by another, off to the side.
pub fn carried(frame: &mut Frame, master: usize, offset: Vector3<f64>) -> usize {
    frame.nodes.push(frame.nodes[master] + offset);
    let slave = frame.nodes.len() - 1;
    frame.rigid_links.push(RigidLink { slave, master });
    slave
}
