//! Groups of rods that are chosen together.

use nalgebra::Point3;

use crate::axle::DrawnRod;

/// Rods that are chosen together: a mirrored pair of links, one link where left and right are
/// free, a lateral bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// The choices, each the same number of rods (at least one) with their ends in one
    /// combination of holes.
    pub choices: Vec<Vec<DrawnRod>>,
}

impl Group {
    /// One rod between every frame hole and every housing hole (m, sprung-mass axes, axle at
    /// design height as drawn). The choice at `frame hole × housing holes + housing hole`.
    /// `length` (m) and `stiffness` (N/m) as in [`DrawnRod`].
    #[must_use]
    pub fn single(
        frame: &[Point3<f64>],
        housing: &[Point3<f64>],
        length: Option<f64>,
        stiffness: Option<f64>,
    ) -> Self {
        let choices = frame.iter().flat_map(|a| {
            housing.iter().map(move |b| {
                vec![DrawnRod {
                    frame_point: *a,
                    housing_point: *b,
                    length,
                    stiffness,
                }]
            })
        });
        Self {
            choices: choices.collect(),
        }
    }

    /// The same with each rod's mirror image in the centreline plane beside it: a pair of
    /// links with the same holes left and right.
    #[must_use]
    pub fn mirrored(
        frame: &[Point3<f64>],
        housing: &[Point3<f64>],
        length: Option<f64>,
        stiffness: Option<f64>,
    ) -> Self {
        let mut group = Self::single(frame, housing, length, stiffness);
        for choice in &mut group.choices {
            let images: Vec<DrawnRod> = choice.iter().map(mirror).collect();
            choice.extend(images);
        }
        group
    }

    /// A rod that has no choice.
    #[must_use]
    pub fn fixed(rod: DrawnRod) -> Self {
        Self {
            choices: vec![vec![rod]],
        }
    }
}

fn mirror(rod: &DrawnRod) -> DrawnRod {
    let flip = |p: &Point3<f64>| Point3::new(p.x, -p.y, p.z);
    DrawnRod {
        frame_point: flip(&rod.frame_point),
        housing_point: flip(&rod.housing_point),
        ..*rod
    }
}

/// The ranges the range figures look at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Low and high end of travel at zero roll, m, bump positive.
    pub travel: [f64; 2],
    /// Low and high end of roll at zero travel, rad, left wheel in bump positive.
    pub roll: [f64; 2],
}
