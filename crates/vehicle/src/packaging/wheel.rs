//! Rim, offset and backspacing; the tyre on its rim.

use super::{PackagingError, finite, not_negative, positive};

/// Section growth per rim width growth (tyre-yearbook rule, from memory).
const SECTION_PER_RIM: f64 = 0.4;

/// A rear wheel by its rim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RearWheel {
    /// Rim width between the flanges w, m, positive.
    pub rim_width: f64,
    /// Thickness of one flange t, m, zero or more; about ½ in.
    pub flange_thickness: f64,
    /// Offset ET, m: + when the mounting face is outboard of the rim's centre plane.
    pub offset: f64,
}

impl RearWheel {
    pub(super) fn check(&self) -> Result<(), PackagingError> {
        positive("rim width", self.rim_width)?;
        not_negative("flange thickness", self.flange_thickness)?;
        finite("wheel offset", self.offset).map(|_| ())
    }

    /// The wheel with a measured backspacing (mounting face to the inboard edge), m.
    ///
    /// # Errors
    /// [`PackagingError::BadInput`].
    pub fn from_backspacing(
        rim_width: f64,
        flange_thickness: f64,
        backspacing: f64,
    ) -> Result<Self, PackagingError> {
        let wheel = Self {
            rim_width,
            flange_thickness,
            offset: backspacing - 0.5 * rim_width - flange_thickness,
        };
        wheel.check()?;
        Ok(wheel)
    }

    /// Width over the flanges, m: w + 2t.
    #[must_use]
    pub fn overall_width(&self) -> f64 {
        self.rim_width + 2.0 * self.flange_thickness
    }

    /// Mounting face to the inboard edge, m.
    #[must_use]
    pub fn backspacing(&self) -> f64 {
        0.5 * self.overall_width() + self.offset
    }

    /// Mounting face to the outboard edge, m.
    #[must_use]
    pub fn front_spacing(&self) -> f64 {
        0.5 * self.overall_width() - self.offset
    }
}

/// A tyre by its marking and what is known of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tyre {
    /// Nominal width, m, positive.
    pub nominal_width: f64,
    /// Aspect, section height over nominal width, positive.
    pub aspect: f64,
    /// Rim diameter, m, positive.
    pub rim_diameter: f64,
    /// Section width on the measuring rim, m, positive.
    pub section_width: f64,
    /// Width of the measuring rim, m, positive.
    pub measuring_rim_width: f64,
    /// Load on it, N, zero or more.
    pub load: f64,
    /// Radial rate, N/m, positive.
    pub radial_rate: f64,
    /// Growth of the width in service, as a share, zero or more.
    pub growth_width: f64,
    /// Growth of the radius in service, m, zero or more.
    pub growth_radius: f64,
    /// Loaded radius as measured, m, positive; None: estimated.
    pub measured_loaded_radius: Option<f64>,
    /// Rolling radius as measured (roll-out over 2π), m, positive; None: estimated.
    pub measured_rolling_radius: Option<f64>,
}

/// A tyre on a rim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TyreOnRim {
    /// Diameter unloaded D, m.
    pub diameter: f64,
    /// Section width, m.
    pub section_width: f64,
    /// Section width with its growth in service, m.
    pub service_width: f64,
    /// Unloaded radius with its growth in service, m.
    pub service_radius: f64,
    /// Loaded radius, m: measured, else D/2 − load/rate.
    pub loaded_radius: f64,
    /// Rolling radius, m: measured, else D/2 − ⅓ of the deflection (common practice).
    pub rolling_radius: f64,
}

impl Tyre {
    /// On a rim of a width between flanges, m.
    ///
    /// # Errors
    /// [`PackagingError::BadInput`].
    pub fn on(&self, rim_width: f64) -> Result<TyreOnRim, PackagingError> {
        positive("rim width", rim_width)?;
        for (what, v) in [
            ("nominal width", self.nominal_width),
            ("aspect", self.aspect),
            ("rim diameter", self.rim_diameter),
            ("section width", self.section_width),
            ("measuring rim width", self.measuring_rim_width),
            ("radial rate", self.radial_rate),
        ] {
            positive(what, v)?;
        }
        not_negative("tyre load", self.load)?;
        not_negative("growth of the width", self.growth_width)?;
        not_negative("growth of the radius", self.growth_radius)?;
        let diameter = self.rim_diameter + 2.0 * self.nominal_width * self.aspect;
        let deflection = self.load / self.radial_rate;
        let radius = 0.5 * diameter;
        let either = |what, measured: Option<f64>, estimate: f64| {
            positive(what, measured.unwrap_or(estimate))
        };
        let section_width =
            self.section_width + SECTION_PER_RIM * (rim_width - self.measuring_rim_width);
        positive("section width on this rim", section_width)?;
        Ok(TyreOnRim {
            diameter,
            section_width,
            service_width: section_width * (1.0 + self.growth_width),
            service_radius: radius + self.growth_radius,
            loaded_radius: either(
                "loaded radius",
                self.measured_loaded_radius,
                radius - deflection,
            )?,
            rolling_radius: either(
                "rolling radius",
                self.measured_rolling_radius,
                radius - deflection / 3.0,
            )?,
        })
    }
}
