//! A first coil-over, from what the build says of itself.

use build::{Build, Coilover, Place, Sides};
use units::{Angle, Length, SpringRate};

use super::super::dialog::fresh_id;

/// Standard gravity, m/s².
const G: f64 = 9.806_65;
/// Ride frequency the first spring is chosen for, Hz (common practice for a street car's rear, no source).
const FREQUENCY: f64 = 1.4;
const INCH: f64 = 0.0254;

fn to(step: f64, metres: f64) -> f64 {
    (metres / (step * INCH)).round() * step * INCH
}

/// A pair of coil-overs that could stand in this build: behind the axle tube (ahead of it once there is one), between tyre
/// and rail, leaning in, with stroke for the travel looked at and a spring for some 1.4 Hz. Every figure is a start to be
/// replaced by what is bought and taped. Proportions are common practice, no source.
pub fn usual_pair(b: &Build) -> Coilover {
    let rear = &b.car.rear;
    let travel = b.rear.travel.si().clamp(INCH, 6.0 * INCH);
    let spare = 0.5 * INCH;
    let stroke = to(0.25, 2.0 * (travel + spare));
    let compressed = stroke + 4.25 * INCH;

    // Clear of the tube by two inches; the lower eye clear of the tyre by three.
    let count = b.power.coilovers.len();
    let back = to(0.25, 0.5 * b.rear.housing.tube_diameter.si() + 2.0 * INCH);
    let back = if count == 0 {
        -back
    } else {
        back + 3.0 * INCH * (count - 1) as f64
    };
    let tyre = 0.5 * (rear.track.si() - rear.tyre_width.si()) - 3.0 * INCH;
    let out = to(0.25, tyre.min(0.5 * b.rear.housing.width.si() - 4.0 * INCH));
    let out = out.max(4.0 * INCH);
    let low = to(0.25, (rear.loaded_radius.si() - 4.0 * INCH).max(4.0 * INCH));
    let length = compressed + spare + travel;
    let inward = to(0.25, (0.2 * length).min(0.5 * out));
    let at_axle = [back, out, low];
    let up = to(0.25, (length * length - inward * inward).max(0.0).sqrt());
    let at_frame = [back, out - inward, low + up];
    let length = inward.hypot(up);

    let sprung = b.car.mass.si() * b.car.rear_share.si() - b.power.rear_unsprung.si();
    let ratio = (up / length).max(0.1);
    let corner = 0.5 * sprung.max(50.0);
    let pounds_per_inch = 4.448_221_615_260_5 / INCH;
    let wheel_rate = corner * (std::f64::consts::TAU * FREQUENCY).powi(2);
    let rate = (wheel_rate / (ratio * ratio) / (10.0 * pounds_per_inch))
        .round()
        .max(1.0)
        * 10.0
        * pounds_per_inch;

    // Long enough not to be solid with the shock shut; solid at some three eighths of its length.
    let squeeze = corner * G / ratio / rate;
    let shut = squeeze + (length - compressed) + spare;
    let free = (shut / 0.62 / INCH).ceil() * INCH;
    let block = to(0.25, 0.38 * free);

    let label = if count == 0 {
        "rear coil-over".to_owned()
    } else {
        format!("rear coil-over {}", count + 1)
    };
    Coilover {
        id: fresh_id(&label, |id| b.power.coilover(id).is_some()),
        label,
        sides: Sides::Pair,
        at_frame: Place::from_si(at_frame),
        at_axle: Place::from_si(at_axle),
        rate: SpringRate::from_si(rate),
        spring_free: Length::from_si(free.min(2.5)),
        spring_block: Length::from_si(block.min(1.0)),
        extended: Length::from_si(compressed + stroke),
        compressed: Length::from_si(compressed),
        eye_tilt: Angle::from_degrees(15.0),
        preload: None,
    }
}
