//! Housing width and axle shaft lengths to order.
//!
//! y is + left from the car's centreline. Shaft lengths run from the outer face of the flange to the spline end.

use super::wheel::{RearWheel, TyreOnRim};
use super::{PackagingError, finite, not_negative, positive};

/// A housing to be ordered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Housing {
    /// Track between the wheel centre planes, m, positive.
    pub track: f64,
    /// Thickness of rotor hat or drum between axle flange and wheel, m, zero or more.
    pub hat_thickness: f64,
    /// Housing end face to axle flange outer face, m, zero or more.
    pub brake_stack: f64,
    /// Centre of the differential y_d, m, + left.
    pub differential_y: f64,
    /// Half the gap between the shaft ends g, m, zero or more.
    pub half_gap: f64,
    /// Pinion from the centre of the differential, m, + left.
    pub pinion_offset: f64,
}

/// Shafts as measured, for their engagement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredShafts {
    /// Length of the left and right shaft, m, positive.
    pub lengths: [f64; 2],
    /// Length of the spline, m, positive.
    pub spline_length: f64,
    /// Where the side gear begins and ends from the centre of the differential, m.
    pub side_gear: [f64; 2],
}

/// What to order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HousingOrder {
    /// Wheel mounting faces apart, m: track + 2·ET.
    pub mounting_face_width: f64,
    /// Outer faces of the axle flanges apart, m.
    pub axle_flange_width: f64,
    /// Housing ends apart, m.
    pub housing_end_width: f64,
    /// Length of the left shaft, m.
    pub left_shaft: f64,
    /// Length of the right shaft, m.
    pub right_shaft: f64,
    /// Pinion from the centreline, m, + left.
    pub pinion_y: f64,
}

impl Housing {
    /// Widths and lengths for wheels of an offset.
    ///
    /// # Errors
    /// [`PackagingError::BadInput`], also where a length comes out at zero or below.
    pub fn order(&self, wheel: &RearWheel) -> Result<HousingOrder, PackagingError> {
        wheel.check()?;
        positive("track", self.track)?;
        not_negative("hat thickness", self.hat_thickness)?;
        not_negative("brake stack", self.brake_stack)?;
        finite("offset of the differential", self.differential_y)?;
        not_negative("half gap between the shafts", self.half_gap)?;
        finite("pinion offset", self.pinion_offset)?;
        let mounting_face_width = self.track + 2.0 * wheel.offset;
        let axle_flange_width = mounting_face_width - 2.0 * self.hat_thickness;
        let housing_end_width = axle_flange_width - 2.0 * self.brake_stack;
        let half = 0.5 * axle_flange_width;
        Ok(HousingOrder {
            mounting_face_width: positive("width over the mounting faces", mounting_face_width)?,
            axle_flange_width: positive("width over the axle flanges", axle_flange_width)?,
            housing_end_width: positive("width over the housing ends", housing_end_width)?,
            left_shaft: positive(
                "length of the left shaft",
                half - self.differential_y - self.half_gap,
            )?,
            right_shaft: positive(
                "length of the right shaft",
                half + self.differential_y - self.half_gap,
            )?,
            pinion_y: self.differential_y + self.pinion_offset,
        })
    }

    /// Engagement of the left and right spline in the side gears, m, zero or more.
    ///
    /// # Errors
    /// [`PackagingError::BadInput`].
    pub fn engagement(
        &self,
        wheel: &RearWheel,
        shafts: &MeasuredShafts,
    ) -> Result<[f64; 2], PackagingError> {
        let half = 0.5 * self.order(wheel)?.axle_flange_width;
        let [left, right] = shafts.lengths;
        positive("length of the left shaft", left)?;
        positive("length of the right shaft", right)?;
        positive("spline length", shafts.spline_length)?;
        let [from, to] = shafts.side_gear;
        not_negative("inner end of the side gear", from)?;
        positive("length of the side gear", to - from)?;
        let one = |flange: f64, length: f64| {
            let end = flange - length;
            ((end + shafts.spline_length).min(to) - end.max(from)).max(0.0)
        };
        Ok([
            one(half - self.differential_y, left),
            one(half + self.differential_y, right),
        ])
    }

    /// Inner and outer side of the left tyre in service, m from the centreline.
    #[must_use]
    pub fn tyre_sides(&self, tyre: &TyreOnRim) -> [f64; 2] {
        let (middle, half) = (0.5 * self.track, 0.5 * tyre.service_width);
        [middle - half, middle + half]
    }
}
