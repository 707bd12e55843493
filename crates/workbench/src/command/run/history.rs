//! The history of a run as a table: a row every hundredth of a second.

use build::Run;
use units::{Kind, Shop, System, unit_name};

use crate::command::{Trouble, decimal};

/// Rows in a second.
const PER_SECOND: f64 = 100.0;

/// Way down the strip: feet read better than inches.
fn way(shop: &Shop) -> (&'static str, f64) {
    match shop.system {
        System::InchPound => ("ft", 0.3048),
        System::Si => ("m", 1.0),
    }
}

/// A row every 0.01 s from first motion up to the finish.
pub(super) fn table(run: &Run, shop: &Shop) -> Result<String, Trouble> {
    let (unit, metres) = way(shop);
    let mut writer = csv::Writer::from_writer(Vec::new());
    let head = |what: &str, kind: Kind| format!("{what}, {}", unit_name(kind, shop));
    writer.write_record([
        head("time", Kind::Time),
        format!("distance, {unit}"),
        head("speed", Kind::Speed),
        head("acceleration", Kind::Acceleration),
        head("pitch nose up", Kind::Angle),
        head("front travel", Kind::Length),
        head("rear travel", Kind::Length),
        head("front tyre load", Kind::Force),
        head("rear tyre load", Kind::Force),
        head("thrust", Kind::Force),
        "limit".to_owned(),
        "gear".to_owned(),
        head("engine speed", Kind::RotationSpeed),
    ])?;
    let rows = (run.duration() * PER_SECOND + 1e-9).floor() as usize;
    for k in 0..=rows {
        let s = run.at(k as f64 / PER_SECOND)?;
        let cell = |kind: Kind, si: f64| decimal(kind, si, shop);
        writer.write_record([
            cell(Kind::Time, s.time),
            decimal(Kind::Count, s.travel / metres, shop),
            cell(Kind::Speed, s.speed),
            cell(Kind::Acceleration, s.acceleration),
            cell(Kind::Angle, s.nose_up),
            cell(Kind::Length, s.front_travel),
            cell(Kind::Length, s.rear_travel),
            cell(Kind::Force, s.front_load),
            cell(Kind::Force, s.rear_load),
            cell(Kind::Force, s.thrust),
            s.limit.to_string(),
            s.gear.to_string(),
            s.engine_speed
                .map_or_else(String::new, |v| cell(Kind::RotationSpeed, v)),
        ])?;
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}
