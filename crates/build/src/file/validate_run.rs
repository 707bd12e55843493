//! Ranges of the launch run's inputs and of the run log.

use units::{Kind, Time};

use super::validate::{Checker, MANY};
use crate::{Build, CouplingData, RunTimes, WeatherData};

/// Most points of a curve, gears, or notes of a run.
const SEVERAL: usize = 400;

pub(super) fn check(c: &mut Checker, b: &Build) {
    let r = &b.run;
    c.most("run.torque", r.torque.len(), SEVERAL);
    for (i, (speed, torque)) in r.torque.iter().enumerate() {
        let path = format!("run.torque[{i}]");
        let si = speed.si();
        c.range(format!("{path}[0]"), Kind::RotationSpeed, si, 0.0, 3000.0);
        c.range(format!("{path}[1]"), Kind::Torque, torque.si(), -1e5, 1e5);
        if i > 0 && si <= r.torque[i - 1].0.si() {
            c.fail(
                format!("{path}[0]"),
                "this engine speed is not above the one before",
                "Write the points from low speed to high",
            );
        }
    }
    if let CouplingData::Converter(points) = &r.coupling {
        c.most("run.coupling[0]", points.len(), SEVERAL);
        for (i, (ratio, capacity, torque)) in points.iter().enumerate() {
            let path = format!("run.coupling[0][{i}]");
            c.range(format!("{path}[0]"), Kind::Count, *ratio, 0.0, 1.0);
            c.range(format!("{path}[1]"), Kind::Count, *capacity, 0.1, 1e5);
            c.range(format!("{path}[2]"), Kind::Count, *torque, 0.0, 10.0);
        }
    }
    c.most("run.gears", r.gears.len(), 20);
    for (i, g) in r.gears.iter().enumerate() {
        let path = format!("run.gears[{i}]");
        for (name, kind, si, low, high) in [
            ("ratio", Kind::Count, g.ratio.si(), 0.1, 50.0),
            ("efficiency", Kind::Ratio, g.efficiency.si(), 0.05, 1.0),
            ("shift", Kind::RotationSpeed, g.shift.si(), 1.0, 3000.0),
        ] {
            c.range(format!("{path}.{name}"), kind, si, low, high);
        }
    }
    if let Some(i) = r.pitch_inertia {
        c.range("run.pitch_inertia", Kind::Inertia, i.si(), 1.0, 1e5);
    }
    if let Some(g) = &r.goal {
        c.range("run.goal.time", Kind::Time, g.time.si(), 0.1, 1000.0);
    }
    if let Some(s) = &r.scales {
        for (name, m) in [
            ("left_front", s.left_front),
            ("right_front", s.right_front),
            ("left_rear", s.left_rear),
            ("right_rear", s.right_rear),
        ] {
            let path = format!("run.scales.{name}");
            c.range(path, Kind::Mass, m.si(), 0.0, 5000.0);
        }
    }
    if let Some(x) = &r.raised {
        for (name, m) in [
            ("front_level", x.front_level),
            ("front_raised", x.front_raised),
            ("scale_error", x.scale_error),
        ] {
            let path = format!("run.raised.{name}");
            c.range(path, Kind::Mass, m.si(), 0.0, 5000.0);
        }
        c.length("run.raised.rise", x.rise, -3.0, 3.0);
        c.length("run.raised.rise_error", x.rise_error, 0.0, 1.0);
        c.length("run.raised.front_radius", x.front_radius, 0.05, 1.0);
        c.length("run.raised.rear_radius", x.rear_radius, 0.05, 1.0);
    }
    log(c, b);
}

fn log(c: &mut Checker, b: &Build) {
    let list = &b.run.log;
    c.most("run.log", list.len(), MANY);
    c.unique("run.log", list.iter().map(|x| x.id.as_str()));
    for (i, x) in list.iter().enumerate() {
        let path = format!("run.log[{i}]");
        weather(c, &format!("{path}.weather"), &x.weather);
        times(c, &format!("{path}.times"), &x.times);
        times(c, &format!("{path}.predicted"), &x.predicted);
        c.most(&format!("{path}.seen"), x.seen.len(), SEVERAL);
        c.most(&format!("{path}.files"), x.files.len(), SEVERAL);
        let s = &x.setting;
        let path = format!("{path}.setting");
        c.most(&format!("{path}.links"), s.links.len(), SEVERAL);
        c.most(&format!("{path}.coils"), s.coils.len(), SEVERAL);
        c.most(&format!("{path}.shifts"), s.shifts.len(), SEVERAL);
        let kind = Kind::RotationSpeed;
        c.range(format!("{path}.launch"), kind, s.launch.si(), 10.0, 2500.0);
        for (k, shift) in s.shifts.iter().enumerate() {
            c.range(format!("{path}.shifts[{k}]"), kind, shift.si(), 1.0, 3000.0);
        }
        for (name, p) in [
            ("rear_pressure", s.rear_pressure),
            ("front_pressure", s.front_pressure),
        ] {
            if let Some(p) = p {
                c.range(format!("{path}.{name}"), Kind::Pressure, p.si(), 0.0, 2e6);
            }
        }
    }
}

fn weather(c: &mut Checker, path: &str, w: &WeatherData) {
    for (name, kind, si, low, high) in [
        (
            "temperature",
            Kind::Temperature,
            w.temperature.si(),
            200.0,
            340.0,
        ),
        ("pressure", Kind::Pressure, w.pressure.si(), 4e4, 1.15e5),
        ("humidity", Kind::Ratio, w.humidity.si(), 0.0, 1.0),
    ] {
        c.range(format!("{path}.{name}"), kind, si, low, high);
    }
}

fn times(c: &mut Checker, path: &str, t: &RunTimes) {
    let list: [(&str, Option<Time>); 6] = [
        ("sixty_foot", t.sixty_foot),
        ("three_thirty", t.three_thirty),
        ("eighth", t.eighth),
        ("thousand", t.thousand),
        ("quarter", t.quarter),
        ("zero_sixty", t.zero_sixty),
    ];
    for (name, value) in list {
        if let Some(value) = value {
            let path = format!("{path}.{name}");
            c.range(path, Kind::Time, value.si(), 0.05, 1000.0);
        }
    }
    if let Some(v) = t.quarter_speed {
        let path = format!("{path}.quarter_speed");
        c.range(path, Kind::Speed, v.si(), 1.0, 300.0);
    }
}
