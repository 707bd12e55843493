//! The stiffness of one member as six springs.
//!
//! A 12 × 12 beam is a sum of k·b·bᵀ over its natural modes: stretch, twist, and in each plane an even bending (EI/L on
//! the ends' turn against each other) and a shear bending, 12/(L³/EI + 12L/(G A_s)) on the ends' offset from the mean
//! turn. The sum equals the beam of Przemieniecki, Theory of Matrix Structural Analysis (1968), with
//! Φ = 12EI/(G A_s L²). Every b vanishes for a rigid motion, so none is resisted. A pinned end leaves one bending mode a
//! plane, 3/(L³/EI + 3L/(G A_s)), and no twist.

use nalgebra::Vector3;

use crate::model::{Frame, Member, Options, Pins, section_axes};
use crate::number::Real;
use crate::section::Numbers;

/// Stiffness of the six modes: stretch, twist, then even and shear bending along y, then along z.
pub(crate) fn mode_stiffness<T: Real>(
    n: &Numbers<T>,
    member: &Member,
    options: Options,
    length: f64,
) -> [T; 6] {
    let (e, g) = (member.material.e, member.material.g);
    let bent = if options.bend_flexibility {
        member.bend_factor
    } else {
        1.0
    };
    let zero = T::from(0.0);
    let plane = |i: T, area: T| {
        let ei = i.scaled(e / bent);
        let bending = T::from(length * length * length) / ei;
        let shear = if options.shear {
            T::from(length) / area.scaled(g)
        } else {
            zero
        };
        match member.pins {
            Pins::None => [
                ei.scaled(1.0 / length),
                T::from(12.0) / (bending + shear.scaled(12.0)),
            ],
            Pins::I | Pins::J => [zero, T::from(3.0) / (bending + shear.scaled(3.0))],
            Pins::Both => [zero, zero],
        }
    };
    let [y_even, y_shear] = plane(n.i_z, n.shear_y);
    let [z_even, z_shear] = plane(n.i_y, n.shear_z);
    let twist = if member.pins == Pins::None {
        n.j.scaled(g / length)
    } else {
        zero
    };
    [
        n.area.scaled(e / length),
        twist,
        y_even,
        y_shear,
        z_even,
        z_shear,
    ]
}

/// One member in place.
#[derive(Clone, Debug)]
pub(crate) struct Element {
    /// Local x, y, z in frame axes.
    pub(crate) axes: [Vector3<f64>; 3],
    pub(crate) length: f64,
    pub(crate) stiffness: [f64; 6],
    /// Shape of each mode in frame axes: force-like parts at i, then j (translation, rotation at each).
    pub(crate) shapes: [[Vector3<f64>; 4]; 6],
}

impl Element {
    /// The member must have passed [`Frame::check`].
    pub(crate) fn new(frame: &Frame, member: &Member) -> Self {
        let node = |n: usize| frame.nodes.get(n).copied().unwrap_or_default();
        let along = node(member.j) - node(member.i);
        let length = along.norm();
        let x = along / length;
        let (y, z) = section_axes(&x, member.roll);
        let o = Vector3::zeros();
        // The turns of pinned ends follow the others: only the welded end's turn counts, over the whole length.
        let arms = match member.pins {
            Pins::None => [length / 2.0, length / 2.0],
            Pins::I => [0.0, length],
            Pins::J => [length, 0.0],
            Pins::Both => [0.0, 0.0],
        };
        Self {
            axes: [x, y, z],
            length,
            stiffness: mode_stiffness(&member.section.plain(), member, frame.options, length),
            shapes: [
                [-x, o, x, o],
                [o, -x, o, x],
                [o, z, o, -z],
                [y, z * arms[0], -y, z * arms[1]],
                [o, y, o, -y],
                [z, y * -arms[0], -z, y * -arms[1]],
            ],
        }
    }

    /// How far each mode is driven by the displacements of its ends.
    pub(crate) fn strains(&self, i: &[f64; 6], j: &[f64; 6]) -> [f64; 6] {
        let ends = [
            Vector3::new(i[0], i[1], i[2]),
            Vector3::new(i[3], i[4], i[5]),
            Vector3::new(j[0], j[1], j[2]),
            Vector3::new(j[3], j[4], j[5]),
        ];
        self.shapes
            .map(|shape| shape.iter().zip(&ends).map(|(b, u)| b.dot(u)).sum())
    }

    /// Forces and moments that the joints exert on the member, frame axes: force and moment at i, then at j.
    pub(crate) fn forces(&self, strains: &[f64; 6]) -> [Vector3<f64>; 4] {
        let mut out = [Vector3::zeros(); 4];
        for ((shape, k), s) in self.shapes.iter().zip(&self.stiffness).zip(strains) {
            for (total, b) in out.iter_mut().zip(shape) {
                *total += b * (k * s);
            }
        }
        out
    }

    /// The same in local axes, twelve values.
    pub(crate) fn local(&self, forces: &[Vector3<f64>; 4]) -> [f64; 12] {
        let mut out = [0.0; 12];
        for (values, f) in out.chunks_exact_mut(3).zip(forces) {
            for (value, axis) in values.iter_mut().zip(&self.axes) {
                *value = f.dot(axis);
            }
        }
        out
    }
}
