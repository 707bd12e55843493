//! Cross sections of tubes: areas, second moments, torsion and shear, and their rates.
//!
//! Axes of a section: y across, z up; the height of a rectangular section lies along z. `i_y` = ∫z² dA resists loads
//! along z, `i_z` = ∫y² dA loads along y.
//!
//! Torsion of a rectangular tube: Bredt's thin wall with the wall's own p t³/3. Shear areas: Cowper, J. Appl. Mech. 33
//! (1966), Poisson's ratio 0.3.

use std::f64::consts::PI;

use thiserror::Error;

use crate::number::{Dual, Real};

/// Poisson's ratio in the shear coefficients.
const NU: f64 = 0.3;

/// Sizes that make no section. Lengths in m.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum SectionError {
    /// A size is not a positive finite number.
    #[error("the {what} of the section is {value}; it must be a number above zero")]
    Size {
        /// Which size.
        what: &'static str,
        /// The number given.
        value: f64,
    },
    /// Nothing hollow is left.
    #[error("a wall of {wall} m fills a section {side} m wide; the wall must be under half of it")]
    Wall {
        /// Wall, m.
        wall: f64,
        /// Smallest outside size, m.
        side: f64,
    },
    /// The corner radius does not fit.
    #[error(
        "an outside corner radius of {corner} m does not fit a side of {side} m; it must be between 0 and half of it"
    )]
    Corner {
        /// Outside corner radius, m.
        corner: f64,
        /// Smallest outside size, m.
        side: f64,
    },
}

/// What the section was made from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// Round tube.
    Round {
        /// Outside diameter, m.
        od: f64,
        /// Wall, m.
        wall: f64,
    },
    /// Rectangular tube.
    Rectangular {
        /// Outside size along z, m.
        height: f64,
        /// Outside size along y, m.
        width: f64,
        /// Wall, m.
        wall: f64,
        /// Outside corner radius, m.
        corner: f64,
    },
    /// Given by its numbers.
    Raw {
        /// Farthest fibre along y, m.
        c_y: f64,
        /// Farthest fibre along z, m.
        c_z: f64,
    },
}

/// Numbers of a section, or their rates by one of its sizes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Properties {
    /// Area, m².
    pub area: f64,
    /// ∫z² dA, m⁴.
    pub i_y: f64,
    /// ∫y² dA, m⁴.
    pub i_z: f64,
    /// Torsion constant, m⁴.
    pub j: f64,
    /// Shear area for shear along y, m².
    pub shear_y: f64,
    /// Shear area for shear along z, m².
    pub shear_z: f64,
}

/// A cross section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    numbers: Properties,
    shape: Shape,
}

/// The same six numbers of any kind.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Numbers<T> {
    pub(crate) area: T,
    pub(crate) i_y: T,
    pub(crate) i_z: T,
    pub(crate) j: T,
    pub(crate) shear_y: T,
    pub(crate) shear_z: T,
}

impl<T: Real> Numbers<T> {
    fn map(self, f: impl Fn(T) -> f64) -> Properties {
        Properties {
            area: f(self.area),
            i_y: f(self.i_y),
            i_z: f(self.i_z),
            j: f(self.j),
            shear_y: f(self.shear_y),
            shear_z: f(self.shear_z),
        }
    }
}

/// A size by which a section's stiffness is differentiated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Size {
    /// Wall, outside sizes held.
    Wall,
    /// Outside diameter of a round tube, wall held.
    OutsideDiameter,
}

fn square<T: Real>(x: T) -> T {
    x.squared()
}

/// Round tube.
fn round<T: Real>(od: T, wall: T) -> Numbers<T> {
    let r = od.scaled(0.5);
    let ri = r - wall;
    let (r2, ri2) = (square(r), square(ri));
    let area = (r2 - ri2).scaled(PI);
    let i = (square(r2) - square(ri2)).scaled(PI / 4.0);
    let m2 = ri2 / r2;
    let q = square(T::from(1.0) + m2);
    let kappa =
        q.scaled(6.0 * (1.0 + NU)) / (q.scaled(7.0 + 6.0 * NU) + m2.scaled(20.0 + 12.0 * NU));
    Numbers {
        area,
        i_y: i,
        i_z: i,
        j: i.scaled(2.0),
        shear_y: area * kappa,
        shear_z: area * kappa,
    }
}

/// A solid rectangle with rounded corners: area and ∫ over the depth² along `depth`.
fn rounded<T: Real>(depth: T, breadth: T, corner: T) -> (T, T) {
    let r2 = square(corner);
    let area = depth * breadth - r2.scaled(4.0 - PI);
    let whole = breadth * depth * square(depth).scaled(1.0 / 12.0);
    // Each corner: a square of side r goes, a quarter disc comes.
    let gone = square(r2).scaled(1.0 / 12.0) + r2 * square((depth - corner).scaled(0.5));
    let centroid = 4.0 / (3.0 * PI);
    let disc = square(r2).scaled(PI / 16.0 - 4.0 / (9.0 * PI))
        + r2.scaled(PI / 4.0) * square(depth.scaled(0.5) - corner.scaled(1.0 - centroid));
    (area, whole - gone.scaled(4.0) + disc.scaled(4.0))
}

/// Cowper's coefficient of a thin box of even wall, shear along h; m = b/h of the centreline.
fn box_kappa<T: Real>(m: T) -> T {
    let poly = |c: [f64; 4]| {
        T::from(c[0]) + m.scaled(c[1]) + square(m).scaled(c[2]) + m * square(m).scaled(c[3])
    };
    let top = square(T::from(1.0) + m.scaled(3.0)).scaled(10.0 * (1.0 + NU));
    let bottom = poly([12.0, 72.0, 150.0, 90.0])
        + poly([11.0, 66.0, 135.0, 90.0]).scaled(NU)
        + square(m).scaled(10.0) * (m.scaled(3.0 + NU) + square(m).scaled(3.0));
    top / bottom
}

/// Area inside the middle line of the wall.
fn middle<T: Real>(height: T, width: T, wall: T, corner: T) -> (T, T) {
    let (h, b) = (height - wall, width - wall);
    let r = corner - wall.scaled(0.5);
    let r = if r.value() > 0.0 { r } else { T::from(0.0) };
    let area = h * b - square(r).scaled(4.0 - PI);
    let length = (h + b).scaled(2.0) - r.scaled(8.0 - 2.0 * PI);
    (area, length)
}

/// Rectangular tube.
fn rectangular<T: Real>(height: T, width: T, wall: T, corner: T) -> Numbers<T> {
    let (hi, bi) = (height - wall.scaled(2.0), width - wall.scaled(2.0));
    let ri = corner - wall;
    let ri = if ri.value() > 0.0 { ri } else { T::from(0.0) };
    let (outer, outer_y) = rounded(height, width, corner);
    let (inner, inner_y) = rounded(hi, bi, ri);
    let outer_z = rounded(width, height, corner).1;
    let inner_z = rounded(bi, hi, ri).1;
    let area = outer - inner;
    let (h, b) = (height - wall, width - wall);
    let (am, p) = middle(height, width, wall, corner);
    Numbers {
        area,
        i_y: outer_y - inner_y,
        i_z: outer_z - inner_z,
        j: square(am) * wall.scaled(4.0) / p + p * wall * square(wall).scaled(1.0 / 3.0),
        shear_y: area * box_kappa(h / b),
        shear_z: area * box_kappa(b / h),
    }
}

fn positive(what: &'static str, value: f64) -> Result<f64, SectionError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(SectionError::Size { what, value })
    }
}

impl Section {
    /// Round tube: outside diameter and wall, m.
    ///
    /// # Errors
    /// [`SectionError`]: a size not above zero, or a wall of half the diameter or more.
    pub fn round(od: f64, wall: f64) -> Result<Self, SectionError> {
        positive("outside diameter", od)?;
        positive("wall", wall)?;
        if wall >= od / 2.0 {
            return Err(SectionError::Wall { wall, side: od });
        }
        Self::checked(round(od, wall).map(|x| x), Shape::Round { od, wall })
    }

    /// Rectangular tube: outside height (along z) and width (along y), wall, outside corner radius; m.
    ///
    /// # Errors
    /// [`SectionError`]: a size not above zero, a wall of half a side or more, a corner that does not fit.
    pub fn rectangular(
        height: f64,
        width: f64,
        wall: f64,
        corner: f64,
    ) -> Result<Self, SectionError> {
        positive("height", height)?;
        positive("width", width)?;
        positive("wall", wall)?;
        let side = height.min(width);
        if wall >= side / 2.0 {
            return Err(SectionError::Wall { wall, side });
        }
        if !(0.0..=side / 2.0).contains(&corner) {
            return Err(SectionError::Corner { corner, side });
        }
        Self::checked(
            rectangular(height, width, wall, corner).map(|x| x),
            Shape::Rectangular {
                height,
                width,
                wall,
                corner,
            },
        )
    }

    /// A section given by its numbers; `c_y`, `c_z` are its farthest fibres along y and z, m.
    ///
    /// # Errors
    /// [`SectionError::Size`]: a number not above zero.
    pub fn raw(numbers: Properties, c_y: f64, c_z: f64) -> Result<Self, SectionError> {
        positive("farthest fibre along y", c_y)?;
        positive("farthest fibre along z", c_z)?;
        Self::checked(numbers, Shape::Raw { c_y, c_z })
    }

    fn checked(numbers: Properties, shape: Shape) -> Result<Self, SectionError> {
        positive("area", numbers.area)?;
        positive("second moment about y", numbers.i_y)?;
        positive("second moment about z", numbers.i_z)?;
        positive("torsion constant", numbers.j)?;
        positive("shear area along y", numbers.shear_y)?;
        positive("shear area along z", numbers.shear_z)?;
        Ok(Self { numbers, shape })
    }

    /// Area, second moments, torsion constant, shear areas.
    #[must_use]
    pub fn numbers(&self) -> &Properties {
        &self.numbers
    }

    /// What it was made from.
    #[must_use]
    pub fn shape(&self) -> &Shape {
        &self.shape
    }

    /// Area, m².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.numbers.area
    }

    /// Mass per metre at a density in kg/m³, kg/m.
    #[must_use]
    pub fn mass_per_metre(&self, density: f64) -> f64 {
        density * self.numbers.area
    }

    /// Least radius of gyration, m.
    #[must_use]
    pub fn gyration(&self) -> f64 {
        (self.numbers.i_y.min(self.numbers.i_z) / self.numbers.area).sqrt()
    }

    /// Area within the middle line of a rectangular tube's wall, m²; None for others.
    #[must_use]
    pub fn enclosed_area(&self) -> Option<f64> {
        match self.shape {
            Shape::Rectangular {
                height,
                width,
                wall,
                corner,
            } => Some(middle(height, width, wall, corner).0),
            _ => None,
        }
    }

    /// Rates of the numbers by a size, per metre of it. The outside corner radius of a rectangular tube is held.
    /// None where the section has no such size.
    #[must_use]
    pub fn rates(&self, by: Size) -> Option<Properties> {
        self.dual(by).map(|numbers| numbers.map(|x| x.rate))
    }

    pub(crate) fn dual(&self, by: Size) -> Option<Numbers<Dual>> {
        let vary = |value| Dual { value, rate: 1.0 };
        match (self.shape, by) {
            (Shape::Round { od, wall }, Size::Wall) => Some(round(od.into(), vary(wall))),
            (Shape::Round { od, wall }, Size::OutsideDiameter) => {
                Some(round(vary(od), wall.into()))
            }
            (
                Shape::Rectangular {
                    height,
                    width,
                    wall,
                    corner,
                },
                Size::Wall,
            ) => Some(rectangular(
                height.into(),
                width.into(),
                vary(wall),
                corner.into(),
            )),
            _ => None,
        }
    }

    pub(crate) fn plain(&self) -> Numbers<f64> {
        let n = &self.numbers;
        Numbers {
            area: n.area,
            i_y: n.i_y,
            i_z: n.i_z,
            j: n.j,
            shear_y: n.shear_y,
            shear_z: n.shear_z,
        }
    }
}

/// How much softer in bending a bent round tube is than a straight one, because its section goes oval under load:
/// k = (10 + 12λ²)/(1 + 12λ²), λ = wall × centreline radius / mean radius² (von Kármán 1911). At least 1; EI is
/// divided by it. `radius` is the bend's centreline radius, m. 1 for a section that is not round or a radius that is
/// not above zero.
#[must_use]
pub fn bend_flexibility(section: &Section, radius: f64) -> f64 {
    let Shape::Round { od, wall } = section.shape else {
        return 1.0;
    };
    let mean = (od - wall) / 2.0;
    let lambda = wall * radius / (mean * mean);
    let l = 12.0 * lambda * lambda;
    let k = (10.0 + l) / (1.0 + l);
    if radius > 0.0 && k.is_finite() {
        k
    } else {
        1.0
    }
}
