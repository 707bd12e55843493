//! The assembly: nodes, tubes and plates, drawn once. Joints name the parts they join, so welds,
//! tube work and frame stiffness read the same drawing.

use serde::{Deserialize, Serialize};
use units::{Angle, Density, Length, Pressure};
pub use weld::guard::{Composition, Family};

use crate::Place;

/// Everything that is tube and plate.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Assembly {
    /// What the drawing shows: "Coil-over crossmember".
    #[serde(default)]
    pub label: String,
    /// Points that parts run between.
    #[serde(default)]
    pub nodes: Vec<Node>,
    /// Tubes.
    #[serde(default)]
    pub tubes: Vec<Tube>,
    /// Flat plates.
    #[serde(default)]
    pub plates: Vec<Plate>,
    /// The shop's own materials, beside the table.
    #[serde(default)]
    pub materials: Vec<Material>,
}

/// A point of the assembly.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Node {
    /// Short name that parts refer to.
    pub id: String,
    /// Where it is.
    pub at: Place,
}

/// A tube on its centreline: straights, joined by a bend at each corner.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tube {
    /// Short name, unique among tubes and plates.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// Node at end A.
    pub from: String,
    /// Node at end B.
    pub to: String,
    /// Its section.
    pub section: TubeSection,
    /// Material: a row of the table or one of the build's own.
    pub material: String,
    /// Turn about its own axis, right hand from A to B, from where its height points up (a tube
    /// within 10° of plumb: forward).
    #[serde(default)]
    pub turn: Angle,
    /// Corners from A to B: since version 4.
    #[serde(default)]
    pub bends: Vec<Bend>,
    /// Die it is bent on, by its id in the tube work; only a bent tube needs one.
    #[serde(default)]
    pub die: Option<String>,
    /// How its ends hold, for the frame's stiffness.
    #[serde(default)]
    pub ends: Ends,
}

/// A corner of a bent tube.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bend {
    /// Node where the two straights would meet.
    pub at: String,
    /// Centreline radius of the finished bend.
    pub radius: Length,
}

/// How the ends of a tube hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Ends {
    /// Welded at both.
    #[default]
    Welded,
    /// On a pin or a rod end at both: it only pulls and pushes.
    Pinned,
}

/// Section of a tube, outside sizes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum TubeSection {
    /// Round.
    Round {
        /// Outside diameter.
        outside: Length,
        /// Wall.
        wall: Length,
    },
    /// Rectangular.
    Rectangular {
        /// Up, as it sits in the car.
        height: Length,
        /// Across.
        width: Length,
        /// Wall.
        wall: Length,
        /// Outside radius of the corners; left out: twice the wall.
        #[serde(default)]
        corner: Option<Length>,
    },
}

impl TubeSection {
    /// Wall.
    pub fn wall(&self) -> Length {
        match *self {
            Self::Round { wall, .. } | Self::Rectangular { wall, .. } => wall,
        }
    }

    /// Outside radius of a rectangular tube's corners, m; 0 for a round one.
    pub fn corner(&self) -> f64 {
        match *self {
            Self::Round { .. } => 0.0,
            Self::Rectangular { wall, corner, .. } => {
                corner.map_or_else(|| 2.0 * wall.si(), |c| c.si())
            }
        }
    }

    /// Half of the largest outside size, m.
    pub fn reach(&self) -> f64 {
        match *self {
            Self::Round { outside, .. } => 0.5 * outside.si(),
            Self::Rectangular { height, width, .. } => 0.5 * height.si().max(width.si()),
        }
    }
}

/// A flat plate between three nodes or more.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plate {
    /// Short name, unique among tubes and plates.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// Nodes round its edge.
    pub outline: Vec<String>,
    /// Thickness.
    pub thickness: Length,
    /// Material: a row of the table or one of the build's own.
    pub material: String,
}

/// A material of the build's own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Short name that parts refer to.
    pub id: String,
    /// What is written on it.
    pub label: String,
    /// Carbon steel, or something else.
    #[serde(default)]
    pub family: Family,
    /// Yield strength.
    pub yield_strength: Pressure,
    /// Young's modulus; left out: steel, 200 GPa.
    #[serde(default)]
    pub modulus: Option<Pressure>,
    /// Shear modulus; left out: steel, 77 GPa, or the modulus over 2.6 where that is given.
    #[serde(default)]
    pub shear_modulus: Option<Pressure>,
    /// Density; left out: steel, 7850 kg/m³.
    #[serde(default)]
    pub density: Option<Density>,
    /// Per cent by mass from the mill sheet.
    #[serde(default)]
    pub mill_sheet: Option<Composition>,
}

/// A row of the table of materials.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grade {
    /// Name that parts refer to.
    pub id: &'static str,
    /// What the shop calls it.
    pub label: &'static str,
    /// Least yield strength, Pa.
    pub yield_strength: f64,
    /// Row of [`weld::guard::GRADES`] with its range of composition.
    pub composition: &'static str,
    /// Where the yield strength is from.
    pub source: &'static str,
}

/// Pounds per square inch in a thousand of them, Pa.
const KSI: f64 = 6.894_757_293_168e6;

/// Materials that need no entry. Compositions: ASTM A519/A576 ranges.
pub const MATERIALS: [Grade; 4] = [
    Grade {
        id: "1018",
        label: "1018 cold drawn bar and plate",
        yield_strength: 54.0 * KSI,
        composition: "1018",
        source: "cold drawn 1018, SAE J1397 estimate 54 ksi (from memory)",
    },
    Grade {
        id: "1020 DOM",
        label: "1020 DOM tube",
        yield_strength: 60.0 * KSI,
        composition: "1020",
        source: "ASTM A513 type 5, 1020, least 60 ksi (from memory)",
    },
    Grade {
        id: "1026 DOM",
        label: "1026 DOM tube",
        yield_strength: 65.0 * KSI,
        composition: "1026",
        source: "ASTM A513 type 5, 1026, least 65 ksi (from memory)",
    },
    Grade {
        id: "4130",
        label: "4130 normalised tube",
        yield_strength: 60.0 * KSI,
        composition: "4130",
        source: "ASTM A519, 4130 normalised, least 60 ksi (from memory)",
    },
];

/// The row of the table with this name.
pub fn grade(id: &str) -> Option<&'static Grade> {
    MATERIALS.iter().find(|g| g.id == id)
}

/// Round tubes the chooser offers, (outside, wall), in: common stock (common practice, no source).
pub const ROUND_STOCK: [(f64, f64); 12] = [
    (0.75, 0.065),
    (1.0, 0.065),
    (1.0, 0.083),
    (1.25, 0.065),
    (1.25, 0.083),
    (1.25, 0.120),
    (1.5, 0.095),
    (1.5, 0.120),
    (1.625, 0.083),
    (1.625, 0.134),
    (1.75, 0.095),
    (1.75, 0.120),
];

impl Assembly {
    /// The node with this name.
    pub fn node(&self, id: &str) -> Option<&Node> {
        self.nodes.iter().find(|x| x.id == id)
    }

    /// The tube with this name.
    pub fn tube(&self, id: &str) -> Option<&Tube> {
        self.tubes.iter().find(|x| x.id == id)
    }

    /// The plate with this name.
    pub fn plate(&self, id: &str) -> Option<&Plate> {
        self.plates.iter().find(|x| x.id == id)
    }

    /// What the shop calls a tube or plate.
    pub fn part_label(&self, id: &str) -> Option<&str> {
        self.tube(id)
            .map(|x| x.label.as_str())
            .or_else(|| self.plate(id).map(|x| x.label.as_str()))
    }

    /// The nodes a tube runs through, from end A over its corners to end B.
    pub fn nodes_of<'a>(&'a self, tube: &'a Tube) -> impl Iterator<Item = &'a str> {
        let corners = tube.bends.iter().map(|x| x.at.as_str());
        std::iter::once(tube.from.as_str())
            .chain(corners)
            .chain(std::iter::once(tube.to.as_str()))
    }

    /// Is there nothing drawn?
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty() && self.tubes.is_empty() && self.plates.is_empty()
    }
}
