//! Nodes, members, rigid links, supports and loads.

use nalgebra::{Rotation3, Unit, Vector3};

use crate::error::FrameError;
use crate::section::Section;

/// Shortest member, m.
pub const SHORTEST: f64 = 1e-9;

/// cos 10°: nearer to vertical than this, "up" is forward.
const NEAR_VERTICAL: f64 = 0.984_807_753_012_208;

/// Elastic constants and density.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Young's modulus, Pa.
    pub e: f64,
    /// Shear modulus, Pa.
    pub g: f64,
    /// Density, kg/m³.
    pub density: f64,
}

impl Material {
    /// Structural steel: 200 GPa, 77 GPa, 7850 kg/m³.
    pub const STEEL: Self = Self {
        e: 200e9,
        g: 77e9,
        density: 7850.0,
    };
}

/// Which ends of a member are ball joints, that take no moment about any axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Hash)]
pub enum Pins {
    /// Welded at both ends.
    #[default]
    None,
    /// Pinned at its beginning.
    I,
    /// Pinned at its end.
    J,
    /// Pinned at both ends: an axial bar.
    Both,
}

impl Pins {
    /// Whether the end takes no moment; `end` 0 is the beginning.
    #[must_use]
    pub fn at(self, end: usize) -> bool {
        match self {
            Self::None => false,
            Self::I => end == 0,
            Self::J => end != 0,
            Self::Both => true,
        }
    }
}

/// A straight member from node `i` to node `j`. Its local x runs from i to j, z by the up rule turned by `roll`, y = z × x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// Node at its beginning.
    pub i: usize,
    /// Node at its end.
    pub j: usize,
    /// Cross section.
    pub section: Section,
    /// Elastic constants.
    pub material: Material,
    /// Turn of the section about x from the up rule, right hand, rad.
    pub roll: f64,
    /// Pinned ends.
    pub pins: Pins,
    /// k of a bend's ovalling: EI is divided by it when the frame's options say so; 1 for a straight. See
    /// [`crate::section::bend_flexibility`].
    pub bend_factor: f64,
    /// The tube it is a piece of; sensitivities are summed over a tube.
    pub tube: usize,
}

impl Member {
    /// A welded straight member of steel, roll 0, tube 0.
    #[must_use]
    pub fn new(i: usize, j: usize, section: Section) -> Self {
        Self {
            i,
            j,
            section,
            material: Material::STEEL,
            roll: 0.0,
            pins: Pins::None,
            bend_factor: 1.0,
            tube: 0,
        }
    }

    /// The same member as a piece of a tube.
    #[must_use]
    pub fn of_tube(self, tube: usize) -> Self {
        Self { tube, ..self }
    }

    /// The same member with pinned ends.
    #[must_use]
    pub fn pinned(self, pins: Pins) -> Self {
        Self { pins, ..self }
    }
}

/// A node carried rigidly by another: u_s = u_m + ω × (p_s − p_m). A master may itself be carried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RigidLink {
    /// The node carried.
    pub slave: usize,
    /// The node that carries.
    pub master: usize,
}

/// What is taken into account.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Options {
    /// Shear deformation (Timoshenko); off gives Euler-Bernoulli.
    pub shear: bool,
    /// Ovalling of bends: EI over each member's `bend_factor`.
    pub bend_flexibility: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            shear: true,
            bend_flexibility: true,
        }
    }
}

/// A space frame.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Frame {
    /// Positions of the nodes, m.
    pub nodes: Vec<Vector3<f64>>,
    /// Members.
    pub members: Vec<Member>,
    /// Rigid links, in any order.
    pub rigid_links: Vec<RigidLink>,
    /// What is taken into account.
    pub options: Options,
}

/// A node with some of its freedoms held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Support {
    /// Node.
    pub node: usize,
    /// Held freedoms: x y z, rotations about x y z.
    pub held: [bool; 6],
}

/// Held freedoms of a frame. The same node may come more than once.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Supports(pub Vec<Support>);

impl Supports {
    /// None.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Also holds freedoms of a node, by letters: x y z for translations, a b c for rotations about x y z. Other
    /// letters mean nothing.
    #[must_use]
    pub fn hold(mut self, node: usize, freedoms: &str) -> Self {
        let mut held = [false; 6];
        for (held, letter) in held.iter_mut().zip("xyzabc".chars()) {
            *held = freedoms.contains(letter);
        }
        self.0.push(Support { node, held });
        self
    }
}

/// Force and moment on a node, frame axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Node.
    pub node: usize,
    /// Force, N.
    pub force: Vector3<f64>,
    /// Moment, N·m.
    pub moment: Vector3<f64>,
}

impl Load {
    /// A force without moment.
    #[must_use]
    pub fn force(node: usize, force: Vector3<f64>) -> Self {
        Self {
            node,
            force,
            moment: Vector3::zeros(),
        }
    }
}

/// The direction a section's height takes by the up rule: e_z made perpendicular to the member, e_x instead within 10°
/// of vertical, turned by `roll` about the direction. Both returned vectors, (y, z), are unit; `x` must be.
#[must_use]
pub fn section_axes(x: &Vector3<f64>, roll: f64) -> (Vector3<f64>, Vector3<f64>) {
    let up = if x.z.abs() > NEAR_VERTICAL {
        Vector3::x()
    } else {
        Vector3::z()
    };
    let z = (up - x * x.dot(&up)).normalize();
    let z = if roll == 0.0 {
        z
    } else {
        Rotation3::from_axis_angle(&Unit::new_unchecked(*x), roll) * z
    };
    (z.cross(x), z)
}

/// The roll, rad, that lays a section's height as near as can be along `wanted` on a member from i toward j
/// (`direction`, of any length). 0 where `wanted` lies along the member or a vector is not finite. With it a height
/// carried round a bend keeps its place.
#[must_use]
pub fn roll_toward(direction: &Vector3<f64>, wanted: &Vector3<f64>) -> f64 {
    let Some(x) = direction.try_normalize(f64::MIN_POSITIVE) else {
        return 0.0;
    };
    let (y, z) = section_axes(&x, 0.0);
    // A right-hand turn about x takes z toward −y.
    let angle = (-wanted.dot(&y)).atan2(wanted.dot(&z));
    if angle.is_finite() { angle } else { 0.0 }
}

/// The height's direction carried over a bend by the rotation that takes one leg to the next (both of any length);
/// unchanged where the legs are parallel or not finite.
#[must_use]
pub fn carry_over_bend(
    height: &Vector3<f64>,
    leg: &Vector3<f64>,
    next: &Vector3<f64>,
) -> Vector3<f64> {
    Rotation3::rotation_between(leg, next)
        .map(|r| r * height)
        .filter(|h| h.iter().all(|x| x.is_finite()))
        .unwrap_or(*height)
}

impl Frame {
    /// Length of a member, m; None for one that is not there or names nodes that are not.
    #[must_use]
    pub fn length(&self, member: usize) -> Option<f64> {
        let m = self.members.get(member)?;
        Some((self.nodes.get(m.j)? - self.nodes.get(m.i)?).norm())
    }

    /// Mass of a member, kg.
    #[must_use]
    pub fn member_mass(&self, member: usize) -> Option<f64> {
        let m = self.members.get(member)?;
        Some(m.section.mass_per_metre(m.material.density) * self.length(member)?)
    }

    /// Mass of all members, kg; members that name no nodes count nothing.
    #[must_use]
    pub fn mass(&self) -> f64 {
        (0..self.members.len())
            .filter_map(|m| self.member_mass(m))
            .sum()
    }

    /// Whether it is a frame.
    ///
    /// # Errors
    /// [`FrameError`]: the first thing wrong, with its index and numbers.
    pub fn check(&self) -> Result<(), FrameError> {
        for (node, p) in self.nodes.iter().enumerate() {
            if !p.iter().all(|x| x.is_finite()) {
                let position = [p.x, p.y, p.z];
                return Err(FrameError::Position { node, position });
            }
        }
        self.check_members()?;
        for (index, link) in self.rigid_links.iter().enumerate() {
            self.check_node("rigid link", index, link.slave)?;
            self.check_node("rigid link", index, link.master)?;
        }
        Ok(())
    }

    pub(crate) fn check_node(
        &self,
        what: &'static str,
        index: usize,
        node: usize,
    ) -> Result<(), FrameError> {
        let nodes = self.nodes.len();
        if node < nodes {
            return Ok(());
        }
        Err(FrameError::NoSuchNode {
            what,
            index,
            node,
            nodes,
        })
    }

    fn check_members(&self) -> Result<(), FrameError> {
        let mut pairs: Vec<(usize, usize, usize)> = Vec::with_capacity(self.members.len());
        for (member, m) in self.members.iter().enumerate() {
            self.check_node("member", member, m.i)?;
            self.check_node("member", member, m.j)?;
            let length = self.length(member).unwrap_or(0.0);
            if !length.is_finite() || length < SHORTEST {
                return Err(FrameError::NoLength {
                    member,
                    i: m.i,
                    j: m.j,
                    length,
                });
            }
            let number = |what, value: f64, good: bool, range| {
                if value.is_finite() && good {
                    return Ok(());
                }
                Err(FrameError::MemberNumber {
                    member,
                    what,
                    value,
                    range,
                })
            };
            let Material { e, g, density } = m.material;
            number("Young's modulus", e, e > 0.0, "above zero")?;
            number("shear modulus", g, g > 0.0, "above zero")?;
            number("density", density, density >= 0.0, "zero or more")?;
            number("roll", m.roll, true, "a finite angle")?;
            number(
                "bend factor",
                m.bend_factor,
                m.bend_factor > 0.0,
                "above zero",
            )?;
            pairs.push((m.i.min(m.j), m.i.max(m.j), member));
        }
        pairs.sort_unstable();
        for pair in pairs.windows(2) {
            if let [(i, j, first), (k, l, member)] = *pair
                && (i, j) == (k, l)
            {
                return Err(FrameError::Duplicate {
                    member,
                    first,
                    i,
                    j,
                });
            }
        }
        Ok(())
    }
}
