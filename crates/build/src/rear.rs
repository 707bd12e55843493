//! The rear axle, its links, the brackets that hold them and their holes.

use serde::{Deserialize, Serialize};
use units::{Angle, Length};

/// A point in the build frame: from the datum on the floor under the rear axle centreline.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Ahead of the rear axle centreline (x).
    pub station: Length,
    /// Out from the vehicle centreline, left positive (y).
    pub offset: Length,
    /// Up from the floor (z).
    pub height: Length,
}

impl Place {
    /// The three coordinates in metres, x y z.
    pub fn si(&self) -> [f64; 3] {
        [self.station.si(), self.offset.si(), self.height.si()]
    }

    /// From metres, x y z.
    pub fn from_si(p: [f64; 3]) -> Self {
        Self {
            station: Length::from_si(p[0]),
            offset: Length::from_si(p[1]),
            height: Length::from_si(p[2]),
        }
    }

    /// The same place on the other side of the car.
    pub fn mirrored(self) -> Self {
        Self {
            offset: -self.offset,
            ..self
        }
    }
}

/// Everything that hangs the rear axle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rear {
    /// Travel looked at, bump and droop alike.
    pub travel: Length,
    /// Axle roll looked at, both ways.
    pub roll: Angle,
    /// The axle housing, for the drawing.
    pub housing: Housing,
    /// A bracket hole may sit this far from where it is drawn.
    pub placement_tolerance: Length,
    /// A face that can be reached with a tape when the datum can not.
    #[serde(default)]
    pub second_reference: Option<SecondReference>,
    /// Brackets on frame and housing.
    pub brackets: Vec<Bracket>,
    /// Links and lateral bar.
    pub links: Vec<Link>,
}

/// Outline of the axle housing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Housing {
    /// Outside diameter of the axle tubes.
    pub tube_diameter: Length,
    /// Diameter of the centre section seen from the side.
    pub centre_diameter: Length,
    /// Flange to flange.
    pub width: Length,
}

/// Direction a second reference measures in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Along {
    /// Ahead of the reference.
    Station,
    /// Out from the reference.
    Offset,
    /// Up from the reference.
    Height,
}

/// A plane that bracket holes are measured from a second time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SecondReference {
    /// What it is: "rail, bottom face".
    pub label: String,
    /// Which coordinate it measures.
    pub along: Along,
    /// Where the face is, from the datum.
    pub at: Length,
}

/// What a bracket is welded to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Carrier {
    /// The frame: moves with the body.
    Frame,
    /// The axle housing.
    Axle,
}

/// Whether a part stands once or on both sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Sides {
    /// Drawn on the left, mirrored on the right.
    Pair,
    /// Stands where it is drawn and nowhere else.
    Single,
}

/// A bracket with its pattern of holes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bracket {
    /// Short name that links refer to.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// What it is welded to.
    pub on: Carrier,
    /// Once or both sides.
    pub sides: Sides,
    /// Centre of hole 1 (a pair: of the left one).
    pub at: Place,
    /// The holes.
    pub holes: Holes,
    /// Drill size.
    pub drill: Length,
    /// Plate around the holes: across the row.
    pub plate_width: Length,
}

/// Hole pattern in the side view, from hole 1.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Holes {
    /// A straight row.
    Row {
        /// Number of holes, 1 or more.
        count: usize,
        /// Hole to hole.
        pitch: Length,
        /// Row's lean from straight up; top ahead is positive.
        #[serde(default)]
        lean: Angle,
    },
    /// Holes one by one: (ahead of hole 1, up from hole 1); hole 1 itself is (0, 0).
    List(Vec<(Length, Length)>),
}

/// Most holes a bracket may have: past this a plate is a sieve.
pub const MAX_HOLES: usize = 40;

impl Bracket {
    /// Number of holes.
    pub fn hole_count(&self) -> usize {
        match &self.holes {
            Holes::Row { count, .. } => *count,
            Holes::List(points) => points.len(),
        }
    }

    /// Offset of hole `n` (from 1) from hole 1: (ahead, up), metres. `None` if there is no such hole.
    pub fn hole_shift(&self, n: usize) -> Option<(f64, f64)> {
        if n == 0 || n > self.hole_count() {
            return None;
        }
        Some(match &self.holes {
            Holes::Row { pitch, lean, .. } => {
                let d = pitch.si() * (n - 1) as f64;
                let (sin, cos) = lean.si().sin_cos();
                (d * sin, d * cos)
            }
            Holes::List(points) => {
                let (x, z) = points[n - 1];
                (x.si(), z.si())
            }
        })
    }

    /// Centre of hole `n` (from 1) as drawn; a pair: the left one.
    pub fn hole(&self, n: usize) -> Option<Place> {
        let (x, z) = self.hole_shift(n)?;
        let [x0, y0, z0] = self.at.si();
        Some(Place::from_si([x0 + x, y0, z0 + z]))
    }
}

/// What a link does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum LinkRole {
    /// Upper link.
    Upper,
    /// Lower link.
    Lower,
    /// Lateral bar: holds the axle sideways.
    Lateral,
}

/// A link with a spherical joint at each end.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Link {
    /// Short name.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// What it does.
    pub role: LinkRole,
    /// A pair of links, or one bar.
    pub sides: Sides,
    /// Its end on the frame.
    pub at_frame: LinkEnd,
    /// Its end on the axle.
    pub at_axle: LinkEnd,
    /// Eye to eye. Left out: the length that keeps the axle where it is drawn.
    #[serde(default)]
    pub held: Option<HeldLength>,
    /// Tube between the rod ends.
    pub body: Length,
    /// The rod ends.
    pub rod_end: RodEnd,
    /// Tube, rod ends and bolts by what they bear: since version 2.
    #[serde(default)]
    pub stock: Option<crate::LinkStock>,
}

/// Which hole a link's end is bolted to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinkEnd {
    /// The bracket's id.
    pub bracket: String,
    /// Hole in use, from 1.
    pub hole: usize,
    /// The right side's hole where it differs.
    #[serde(default)]
    pub right_hole: Option<usize>,
}

/// Lengths that were set on the bench and stay when a hole changes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeldLength {
    /// Left link, or the only one, eye to eye.
    pub left: Length,
    /// Right link, eye to eye.
    pub right: Length,
}

/// Thread and reach of a rod end.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RodEnd {
    /// Thread diameter: also the least engagement (common practice, no source).
    pub thread: Length,
    /// Eye centre to the end of the shank.
    pub reach: Length,
}

impl Link {
    /// Thread engaged at each end for an eye-to-eye length, both ends alike, metres.
    ///
    /// L = body + 2 (reach − engaged).
    pub fn engaged(&self, eye_to_eye: f64) -> f64 {
        self.rod_end.reach.si() - 0.5 * (eye_to_eye - self.body.si())
    }
}

impl Rear {
    /// The bracket with this id.
    pub fn bracket(&self, id: &str) -> Option<&Bracket> {
        self.brackets.iter().find(|b| b.id == id)
    }

    /// The link with this id.
    pub fn link(&self, id: &str) -> Option<&Link> {
        self.links.iter().find(|l| l.id == id)
    }
}
