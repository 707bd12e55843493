//! Weld metal of fillets and grooves, per length of seam.

use crate::error::{WeldError, between, positive, size};
use std::f64::consts::{FRAC_PI_2, PI};

/// Height of a fillet's crown over the chord of its face, as a share of the face width
/// (a choice; 0 is flat).
pub const CONVEXITY: f64 = 0.05;
/// Height of a groove weld's cap, m (a choice).
pub const CAP_HEIGHT: f64 = 0.001;
/// How far a cap runs over both edges together, m (a choice).
pub const CAP_OVERLAP: f64 = 0.002;

/// An equal-leg fillet between two faces.
///
/// A = max(½ D² sin Ψ, floor) + ⅔ b h + g p, b = 2 D sin(Ψ/2), throat D cos(Ψ/2).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fillet {
    /// Leg D, m: the leg the fit-up rule asks for.
    pub leg: f64,
    /// Angle Ψ between the faces through the weld, rad, between 0 and π. 90° on a square tee.
    pub dihedral: f64,
    /// Crown height over face width, 0 or more.
    pub convexity: f64,
    /// Root gap g, m.
    pub gap: f64,
    /// Depth p to which an open gap fills, m: half the stem wall on a tee, 0 on a lap.
    pub gap_depth: f64,
    /// Least metal of the triangle, m² (0 unless the joint names one).
    pub floor: f64,
}

/// What a fillet is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilletMetal {
    /// Leg, m.
    pub leg: f64,
    /// Throat, m.
    pub throat: f64,
    /// Width of the face, m.
    pub face_width: f64,
    /// Metal added, m² of section.
    pub area: f64,
}

impl Fillet {
    /// A fillet in a square corner with the usual crown and no gap.
    #[must_use]
    pub const fn square(leg: f64) -> Self {
        Self {
            leg,
            dihedral: FRAC_PI_2,
            convexity: CONVEXITY,
            gap: 0.0,
            gap_depth: 0.0,
            floor: 0.0,
        }
    }

    /// The same fillet over a gap (m) that fills to half the stem wall (m).
    #[must_use]
    pub const fn over_gap(self, gap: f64, stem_wall: f64) -> Self {
        Self {
            gap,
            gap_depth: stem_wall / 2.0,
            ..self
        }
    }

    /// Its metal.
    ///
    /// # Errors
    /// A leg that is not positive, other sizes that are negative, any that are not finite
    /// or huge; a dihedral outside 0 to π.
    pub fn metal(&self) -> Result<FilletMetal, WeldError> {
        positive("the leg", self.leg)?;
        between("the dihedral angle", self.dihedral, 0.0, PI)?;
        size("the crown", self.convexity)?;
        size("the gap", self.gap)?;
        size("the depth of the gap", self.gap_depth)?;
        size("the least section", self.floor)?;
        Ok(self.metal_unchecked())
    }

    /// As [`Self::metal`], for inputs known to be good; a dihedral of π is let through.
    pub(crate) fn metal_unchecked(&self) -> FilletMetal {
        let (sin_half, cos_half) = (0.5 * self.dihedral).sin_cos();
        let face_width = 2.0 * self.leg * sin_half;
        let triangle = (self.leg * self.leg * sin_half * cos_half).max(self.floor);
        let crown = 2.0 / 3.0 * face_width * face_width * self.convexity;
        FilletMetal {
            leg: self.leg,
            throat: self.leg * cos_half,
            face_width,
            area: triangle + crown + self.gap * self.gap_depth,
        }
    }
}

/// Shape of a butt joint's edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GrooveShape {
    /// Edges left square.
    Square,
    /// Both edges bevelled.
    V {
        /// Bevel of each edge from square, rad, between 0 and π/2.
        bevel: f64,
        /// Height left square at the root, m.
        root_face: f64,
    },
    /// One edge bevelled.
    SingleBevel {
        /// Bevel from square, rad, between 0 and π/2.
        bevel: f64,
        /// Height left square at the root, m.
        root_face: f64,
    },
}

/// A butt weld's groove.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Groove {
    /// Shape of the edges.
    pub shape: GrooveShape,
    /// Wall t, m.
    pub thickness: f64,
    /// Root gap g, m.
    pub gap: f64,
    /// Height of the cap, m.
    pub cap: f64,
    /// Height of the cap at the root, m.
    pub root_cap: f64,
}

impl Groove {
    /// A groove with the usual cap and none at the root.
    #[must_use]
    pub const fn new(shape: GrooveShape, thickness: f64, gap: f64) -> Self {
        Self {
            shape,
            thickness,
            gap,
            cap: CAP_HEIGHT,
            root_cap: 0.0,
        }
    }

    /// Angle included between the two edges, rad.
    #[must_use]
    pub const fn included_angle(&self) -> f64 {
        match self.shape {
            GrooveShape::Square => 0.0,
            GrooveShape::V { bevel, .. } => 2.0 * bevel,
            GrooveShape::SingleBevel { bevel, .. } => bevel,
        }
    }

    /// Width w at the face, m: g + 2 (t − f) tan β; single bevel once, square g.
    #[must_use]
    pub fn width(&self) -> f64 {
        match self.shape {
            GrooveShape::Square => self.gap,
            GrooveShape::V { bevel, root_face } => {
                self.gap + 2.0 * (self.thickness - root_face) * bevel.tan()
            }
            GrooveShape::SingleBevel { bevel, root_face } => {
                self.gap + (self.thickness - root_face) * bevel.tan()
            }
        }
    }

    /// Metal added, m² of section: square g t; V g t + (t − f)² tan β; single bevel half of
    /// that second term; cap ⅔ (w + 2 mm) h over the groove's width w; root cap ⅔ (g + 2 mm) h_r.
    ///
    /// # Errors
    /// A thickness that is not positive, other sizes that are negative, any that are not
    /// finite or huge; a bevel outside 0 to π/2; a root face above the wall.
    pub fn area(&self) -> Result<f64, WeldError> {
        self.area_with(CAP_OVERLAP)
    }

    /// As [`Self::area`], a cap running `overlap` (m) over both edges together.
    ///
    /// # Errors
    /// As [`Self::area`].
    pub fn area_with(&self, overlap: f64) -> Result<f64, WeldError> {
        let overlap = size("the overlap of the cap", overlap)?;
        let (t, g) = (
            positive("the thickness", self.thickness)?,
            size("the gap", self.gap)?,
        );
        size("the cap", self.cap)?;
        size("the root cap", self.root_cap)?;
        let (edges, bevel, root_face) = match self.shape {
            GrooveShape::Square => (0.0, 0.0, t),
            GrooveShape::V { bevel, root_face } => (2.0, bevel, root_face),
            GrooveShape::SingleBevel { bevel, root_face } => (1.0, bevel, root_face),
        };
        if edges > 0.0 {
            between("the bevel", bevel, 0.0, FRAC_PI_2)?;
            if size("the root face", root_face)? > t {
                let thickness = t;
                return Err(WeldError::RootFace {
                    root_face,
                    thickness,
                });
            }
        }
        let (depth, slope) = (t - root_face, bevel.tan());
        let width = self.width();
        Ok(g * t
            + 0.5 * edges * depth * depth * slope
            + 2.0 / 3.0 * (width + overlap) * self.cap
            + 2.0 / 3.0 * (g + overlap) * self.root_cap)
    }
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn close(got: f64, wanted: f64) {
        assert!((got / wanted - 1.0).abs() < 1e-8, "{got} for {wanted}");
    }

    /// Six tee fillets of an independent model (numpy), relative tolerance 1e-8.
    #[test]
    fn tee_fillets_agree_with_an_independent_model() {
        let tee = Fillet::square(0.004_762_5);
        let sixty = Fillet {
            dihedral: std::f64::consts::FRAC_PI_3,
            ..Fillet::square(0.005)
        };
        let wide = Fillet {
            dihedral: 2.0 * std::f64::consts::FRAC_PI_3,
            ..Fillet::square(0.005)
        };
        let flat = Fillet {
            convexity: 0.0,
            ..Fillet::square(0.006_35)
        };
        let grown = Fillet::square(0.007_143_75).over_gap(0.002_381_25, 0.006);
        let filled = tee.over_gap(0.001_587_5, 0.006);
        for (fillet, throat, width, area) in [
            (
                tee,
                0.003_367_596_045_401,
                0.006_735_192_090_802,
                1.285_279_687_5e-5,
            ),
            (
                flat,
                0.004_490_128_060_535,
                0.008_980_256_121_069,
                2.016_125e-5,
            ),
            (
                grown,
                0.005_051_394_068_101,
                0.010_102_788_136_2,
                3.606_254_296_875e-5,
            ),
            (
                filled,
                0.003_367_596_045_401,
                0.006_735_192_090_802,
                1.761_529_687_5e-5,
            ),
            (sixty, 0.004_330_127_018_922, 0.005, 1.165_865_088_064e-5),
            (wide, 0.0025, 0.008_660_254_037_844, 1.332_531_754_731e-5),
        ] {
            let metal = fillet.metal().unwrap();
            close(metal.throat, throat);
            close(metal.face_width, width);
            close(metal.area, area);
        }
    }

    /// Filler tables give 0.106 lb/ft for a flat 1/4 in fillet (leg²/2 at 7850 kg/m³).
    #[test]
    fn quarter_inch_fillet_weighs_what_filler_tables_say() {
        let flat = Fillet {
            convexity: 0.0,
            ..Fillet::square(0.006_35)
        };
        let kg_per_m = flat.metal().unwrap().area * 7850.0;
        let lb_per_ft = kg_per_m * 0.3048 / 0.453_592_37;
        assert!((lb_per_ft - 0.106).abs() < 0.0005, "{lb_per_ft}");
    }

    /// Sections drawn by hand: a 60° V in 10 mm with a 2 mm root face and a 3 mm gap, no caps:
    /// rectangle 3 × 10 plus two triangles 8 × 8 tan 30° / 2.
    #[test]
    fn grooves_are_the_sections_drawn() {
        let v = GrooveShape::V {
            bevel: 30_f64.to_radians(),
            root_face: 0.002,
        };
        let bare = Groove {
            cap: 0.0,
            ..Groove::new(v, 0.010, 0.003)
        };
        close(
            bare.area().unwrap(),
            30e-6 + 64e-6 * 30_f64.to_radians().tan(),
        );
        close(bare.included_angle(), 60_f64.to_radians());
        let single = Groove {
            shape: GrooveShape::SingleBevel {
                bevel: 30_f64.to_radians(),
                root_face: 0.002,
            },
            ..bare
        };
        close(
            single.area().unwrap(),
            30e-6 + 32e-6 * 30_f64.to_radians().tan(),
        );
        let square = Groove {
            root_cap: 0.0005,
            ..Groove::new(GrooveShape::Square, 0.002, 0.001)
        };
        close(square.area().unwrap(), 2e-6 + 2e-6 + 1e-6);
    }

    #[test]
    fn impossible_welds_are_named() {
        for leg in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e9] {
            assert!(Fillet::square(leg).metal().is_err());
        }
        let flat = Fillet {
            dihedral: PI,
            ..Fillet::square(0.005)
        };
        assert!(matches!(flat.metal(), Err(WeldError::AngleOutside { .. })));
        let gap = Fillet::square(0.005).over_gap(-0.001, 0.002);
        assert!(matches!(gap.metal(), Err(WeldError::Negative { .. })));
        let square = |t, g| Groove::new(GrooveShape::Square, t, g).area();
        assert!(matches!(
            square(0.0, 0.001),
            Err(WeldError::NotPositive { .. })
        ));
        assert!(matches!(
            square(0.002, f64::NAN),
            Err(WeldError::NotFinite { .. })
        ));
        let tall = GrooveShape::V {
            bevel: 0.5,
            root_face: 0.011,
        };
        assert!(matches!(
            Groove::new(tall, 0.010, 0.0).area(),
            Err(WeldError::RootFace { .. })
        ));
    }

    proptest! {
        #[test]
        fn metal_rises_with_leg_and_gap(leg in 0.001..0.02_f64, gap in 0.0..0.005_f64, more in 1.01..2.0_f64) {
            let area = |leg, gap| Fillet::square(leg).over_gap(gap, 0.003).metal().unwrap().area;
            prop_assert!(area(leg * more, gap) > area(leg, gap));
            prop_assert!(area(leg, gap + 1e-4) > area(leg, gap));
        }
    }
}
