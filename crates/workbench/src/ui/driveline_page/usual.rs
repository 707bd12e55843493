//! A first driveshaft, from what the build says of itself.

use build::{Build, Driveshaft, Place, Slip};
use units::{Angle, Length};

const INCH: f64 = 0.0254;

/// A shaft that could stand in this build: from the pinion to a transmission a little less than half a wheelbase ahead, output and
/// pinion parallel and some degree and a half off the shaft, so that both joints work alike. Every figure is a start to be
/// replaced by what is taped. Proportions are common practice, no source.
pub fn usual_shaft(b: &Build) -> Driveshaft {
    let quarter = |m: f64| (m / (0.25 * INCH)).round() * 0.25 * INCH;
    let back = quarter(0.5 * b.rear.housing.centre_diameter.si() + 2.5 * INCH);
    let front = quarter((0.44 * b.car.wheelbase.si()).max(back + 12.0 * INCH));
    let low = quarter(b.car.rear.loaded_radius.si());
    let high = low + INCH;
    let fall = ((high - low) / (front - back)).atan().to_degrees();
    let angle = Angle::from_degrees(((fall + 1.5) * 2.0).round() / 2.0);
    let at = |x, z| Place::from_si([x, 0.0, z]);
    Driveshaft {
        front_joint: at(front, high),
        rear_joint: at(back, low),
        output_down: angle,
        pinion_up: angle,
        slip: Slip::Transmission,
        slip_travel: Length::from_inches(1.0),
    }
}
