//! Ranges of the rolling chassis beyond its scalar fields.

use units::Kind;

use super::validate::{Checker, MANY};
use crate::rolling::points;
use crate::{AdjusterMoves, AxleBrake, BrakeKind, Brakes, Build, Masters};

/// Most valves, hoses, springs, surfaces or ratios.
const SEVERAL: usize = 40;

pub(super) fn check(c: &mut Checker, b: &Build) {
    for p in points::POINTS {
        if let Some(place) = (p.get)(b) {
            c.place(p.id, &place);
        }
    }
    front_end(c, b);
    if let Some(brakes) = &b.brakes {
        self::brakes(c, brakes);
    }
    driveline(c, b);
    mock_up(c, b);
}

fn front_end(c: &mut Checker, b: &Build) {
    let Some(f) = &b.front_end else { return };
    if let Some(free) = f.coil_over.and_then(|x| x.free) {
        c.length("front_end.coil_over.free", free, 0.02, 3.0);
    }
    if let Some(bar) = &f.bar {
        if let Some(wall) = bar.wall {
            c.length("front_end.bar.wall", wall, 0.0002, 0.1);
        }
        let g = bar.shear_modulus.si();
        c.range("front_end.bar.shear_modulus", Kind::Pressure, g, 1e8, 1e13);
    }
    c.most("front_end.adjusters", f.adjusters.len(), SEVERAL);
    c.most("front_end.joints", f.joints.len(), SEVERAL);
    c.unique(
        "front_end.adjusters",
        f.adjusters.iter().map(|x| x.id.as_str()),
    );
    c.unique("front_end.joints", f.joints.iter().map(|x| x.id.as_str()));
    for (i, x) in f.adjusters.iter().enumerate() {
        let path = format!("front_end.adjusters[{i}].moves");
        c.most(&path, x.moves.len(), SEVERAL);
        for (k, m) in x.moves.iter().enumerate() {
            let path = format!("{path}[{k}]");
            match m {
                AdjusterMoves::Length { per_turn, .. } => {
                    c.length(format!("{path}.per_turn"), *per_turn, -0.1, 0.1);
                }
                AdjusterMoves::Shift { ahead, out, up, .. } => {
                    for (name, l) in [("ahead", ahead), ("out", out), ("up", up)] {
                        c.length(format!("{path}.{name}"), *l, -0.1, 0.1);
                    }
                }
            }
        }
    }
    for (i, x) in f.joints.iter().enumerate() {
        let path = format!("front_end.joints[{i}]");
        let directions = [("along", Some(x.along)), ("housing", x.housing)];
        for (name, d) in directions {
            let Some(d) = d else { continue };
            let parts = [d.0.si(), d.1.si(), d.2.si()];
            for (k, v) in parts.into_iter().enumerate() {
                c.range(format!("{path}.{name}[{k}]"), Kind::Count, v, -1e3, 1e3);
            }
            if parts.iter().all(|v| v.abs() < 1e-6) {
                c.fail(
                    format!("{path}.{name}"),
                    "this direction has no length",
                    "Write how far it runs ahead, out and up, such as (0, 0, 1)",
                );
            }
        }
        c.range(
            format!("{path}.limit"),
            Kind::Angle,
            x.limit.si(),
            0.001,
            1.6,
        );
    }
}

fn brakes(c: &mut Checker, x: &Brakes) {
    c.most("brakes.surfaces", x.surfaces.len(), SEVERAL);
    for (i, mu) in x.surfaces.iter().enumerate() {
        c.range(
            format!("brakes.surfaces[{i}]"),
            Kind::Count,
            mu.si(),
            0.01,
            6.0,
        );
    }
    if let Some(booster) = &x.booster {
        let n = f64::from(booster.diaphragms);
        c.range("brakes.booster.diaphragms", Kind::Count, n, 1.0, 4.0);
    }
    masters(c, &x.masters);
    axle(c, "brakes.front", &x.front);
    axle(c, "brakes.rear", &x.rear);
    let Some(r) = &x.pedal_return else { return };
    let path = "brakes.pedal_return";
    for (name, p) in [("pad", r.pad), ("pin", r.pin), ("cg", r.cg)] {
        point(c, &format!("{path}.{name}"), p);
    }
    for (name, kind, si, low, high) in [
        ("bore_up", Kind::Angle, r.bore_up.si(), -1.6, 1.6),
        ("full", Kind::Angle, r.full.si(), 0.01, 1.57),
        (
            "master_rate",
            Kind::SpringRate,
            r.master_rate.si(),
            0.0,
            1e7,
        ),
        ("chamber", Kind::Pressure, r.chamber.si(), -1e5, 1e7),
        ("seals", Kind::Force, r.seals.si(), 0.0, 1e4),
        ("pivot", Kind::Torque, r.pivot.si(), 0.0, 1e3),
        ("mass", Kind::Mass, r.mass.si(), 0.0, 50.0),
        ("inertia", Kind::Inertia, r.inertia.si(), 1e-5, 10.0),
    ] {
        c.range(format!("{path}.{name}"), kind, si, low, high);
    }
    c.most(&format!("{path}.springs"), r.springs.len(), SEVERAL);
    for (i, s) in r.springs.iter().enumerate() {
        let path = format!("{path}.springs[{i}]");
        if let crate::SpringPull::Pulls(f) = s.acts {
            c.range(format!("{path}.acts[0]"), Kind::Force, f.si(), 0.0, 1e4);
        }
        c.range(
            format!("{path}.rate"),
            Kind::SpringRate,
            s.rate.si(),
            0.0,
            1e7,
        );
        c.length(format!("{path}.free"), s.free, 0.0, 2.0);
        point(c, &format!("{path}.anchor"), s.anchor);
        point(c, &format!("{path}.on_pedal"), s.on_pedal);
    }
}

fn point(c: &mut Checker, path: &str, p: (units::Length, units::Length)) {
    c.length(format!("{path}[0]"), p.0, -2.0, 2.0);
    c.length(format!("{path}[1]"), p.1, -2.0, 2.0);
}

fn masters(c: &mut Checker, m: &Masters) {
    let path = "brakes.masters";
    let (lengths, efficiency, spring) = match *m {
        Masters::Single {
            bore,
            efficiency,
            spring,
            dead_stroke,
            stroke,
        } => (
            vec![
                ("bore", bore, 0.005),
                ("dead_stroke", dead_stroke, 0.0),
                ("stroke", stroke, 0.001),
            ],
            efficiency,
            spring,
        ),
        Masters::Tandem {
            bore,
            efficiency,
            spring,
            dead_stroke,
            front_stroke,
            rear_stroke,
        } => (
            vec![
                ("bore", bore, 0.005),
                ("dead_stroke", dead_stroke, 0.0),
                ("front_stroke", front_stroke, 0.001),
                ("rear_stroke", rear_stroke, 0.001),
            ],
            efficiency,
            spring,
        ),
        Masters::Twin {
            front_bore,
            rear_bore,
            efficiency,
            spring,
            dead_stroke,
            stroke,
            bar,
            offset,
        } => {
            let half = 0.5 * bar.si();
            c.range(
                format!("{path}.offset"),
                Kind::Length,
                offset.si(),
                -half,
                half,
            );
            (
                vec![
                    ("front_bore", front_bore, 0.005),
                    ("rear_bore", rear_bore, 0.005),
                    ("dead_stroke", dead_stroke, 0.0),
                    ("stroke", stroke, 0.001),
                    ("bar", bar, 0.005),
                ],
                efficiency,
                spring,
            )
        }
    };
    for (name, l, low) in lengths {
        c.length(format!("{path}.{name}"), l, low, 0.3);
    }
    c.range(
        format!("{path}.efficiency"),
        Kind::Ratio,
        efficiency.si(),
        0.05,
        1.0,
    );
    c.range(
        format!("{path}.spring"),
        Kind::Force,
        spring.si(),
        0.0,
        5000.0,
    );
}

fn axle(c: &mut Checker, path: &str, x: &AxleBrake) {
    c.most(&format!("{path}.valves"), x.valves.len(), SEVERAL);
    c.most(&format!("{path}.hoses"), x.hoses.len(), SEVERAL);
    for (i, v) in x.valves.iter().enumerate() {
        c.range(
            format!("{path}.valves[{i}].holds"),
            Kind::Pressure,
            v.holds.si(),
            0.0,
            1e6,
        );
    }
    for (i, h) in x.hoses.iter().enumerate() {
        c.length(format!("{path}.hoses[{i}].length"), h.length, 0.0, 5.0);
    }
    if let Some(p) = &x.proportioning {
        let path = format!("{path}.proportioning");
        c.range(
            format!("{path}.knee"),
            Kind::Pressure,
            p.knee.si(),
            0.0,
            3e7,
        );
        c.range(
            format!("{path}.slope"),
            Kind::Ratio,
            p.slope.si(),
            0.0,
            0.999,
        );
    }
    if let Some(r) = &x.rotor {
        c.range(
            format!("{path}.rotor.mass"),
            Kind::Mass,
            r.mass.si(),
            0.1,
            100.0,
        );
        c.length(format!("{path}.rotor.ring"), r.ring, 0.001, 0.1);
    }
    let path = format!("{path}.brake[0]");
    match &x.brake {
        BrakeKind::Disc(d) => {
            let n = f64::from(d.pistons_one_side);
            c.range(
                format!("{path}.pistons_one_side"),
                Kind::Count,
                n,
                1.0,
                12.0,
            );
            for (name, kind, si, low, high) in [
                ("piston", Kind::Length, d.piston.si(), 0.005, 0.2),
                ("friction", Kind::Count, d.friction.si(), 0.01, 2.0),
                ("outer", Kind::Length, d.outer.si(), 0.02, 0.5),
                (
                    "inner",
                    Kind::Length,
                    d.inner.si(),
                    0.0,
                    d.outer.si() - 0.001,
                ),
                ("threshold", Kind::Pressure, d.threshold.si(), 0.0, 1e7),
                ("efficiency", Kind::Ratio, d.efficiency.si(), 0.05, 1.0),
                ("clearance", Kind::Length, d.clearance.si(), 0.0, 0.01),
            ] {
                c.range(format!("{path}.{name}"), kind, si, low, high);
            }
            for (name, k) in [("caliper", d.caliper), ("pad", d.pad)] {
                if let Some(k) = k {
                    c.range(
                        format!("{path}.{name}"),
                        Kind::SpringRate,
                        k.si(),
                        1e4,
                        1e12,
                    );
                }
            }
        }
        BrakeKind::Drum(d) => {
            for (name, kind, si, low, high) in [
                ("cylinder", Kind::Length, d.cylinder.si(), 0.005, 0.1),
                ("shoe_factor", Kind::Count, d.shoe_factor.si(), 0.01, 50.0),
                ("drum", Kind::Length, d.drum.si(), 0.05, 1.0),
                ("threshold", Kind::Pressure, d.threshold.si(), 0.0, 1e7),
                ("efficiency", Kind::Ratio, d.efficiency.si(), 0.05, 1.0),
                ("shoe_travel", Kind::Length, d.shoe_travel.si(), 0.0, 0.02),
                ("swell", Kind::Volume, d.swell.si(), 0.0, 1e-3),
            ] {
                c.range(format!("{path}.{name}"), kind, si, low, high);
            }
        }
    }
}

fn driveline(c: &mut Checker, b: &Build) {
    let Some(d) = &b.driveline else { return };
    let teeth = f64::from(d.spline_teeth);
    c.range("driveline.spline_teeth", Kind::Count, teeth, 1.0, 200.0);
    let t = &d.tube;
    let half = 0.5 * t.outside.si();
    c.range(
        "driveline.tube.wall",
        Kind::Length,
        t.wall.si(),
        0.0003,
        half,
    );
    for (name, p) in [("modulus", t.modulus), ("shear_modulus", t.shear_modulus)] {
        c.range(
            format!("driveline.tube.{name}"),
            Kind::Pressure,
            p.si(),
            1e8,
            1e13,
        );
    }
    let density = t.density.si();
    c.range(
        "driveline.tube.density",
        Kind::Density,
        density,
        100.0,
        30_000.0,
    );
    if let Some(x) = &d.axle_shaft {
        let most = 0.99 * x.diameter.si();
        c.range(
            "driveline.axle_shaft.bore",
            Kind::Length,
            x.bore.si(),
            0.0,
            most,
        );
        if let Some(s) = &x.spline {
            let path = "driveline.axle_shaft.spline";
            let teeth = f64::from(s.teeth);
            c.range(format!("{path}.teeth"), Kind::Count, teeth, 3.0, 200.0);
            c.length(format!("{path}.pitch"), s.pitch, 0.005, 0.2);
            c.length(format!("{path}.engagement"), s.engagement, 0.001, 0.5);
            c.length(format!("{path}.depth"), s.depth, 0.0001, 0.02);
        }
    }
    if let Some(v) = d.top_speed {
        c.range("driveline.top_speed", Kind::Speed, v.si(), 1.0, 200.0);
    }
    if let Some(w) = d.trap_engine {
        c.range(
            "driveline.trap_engine",
            Kind::RotationSpeed,
            w.si(),
            10.0,
            3000.0,
        );
    }
    c.most("driveline.final_drives", d.final_drives.len(), SEVERAL);
    for (i, r) in d.final_drives.iter().enumerate() {
        c.range(
            format!("driveline.final_drives[{i}]"),
            Kind::Count,
            r.si(),
            0.1,
            20.0,
        );
    }
}

fn mock_up(c: &mut Checker, b: &Build) {
    let Some(m) = &b.mock_up else { return };
    c.most("mock_up.body", m.body.len(), MANY);
    c.unique("mock_up.body", m.body.iter().map(|x| x.id.as_str()));
    for (i, x) in m.body.iter().enumerate() {
        let path = format!("mock_up.body[{i}]");
        c.place(&format!("{path}.from"), &x.from);
        c.place(&format!("{path}.to"), &x.to);
        let (from, to) = (x.from.si(), x.to.si());
        if from.iter().zip(&to).any(|(a, b)| a > b) {
            c.fail(
                format!("{path}.to"),
                "this corner is not ahead of, outside and above the other",
                "Write the rear, inner, lower corner first",
            );
        }
    }
    if let Some(s) = &m.housing.shafts {
        let path = "mock_up.housing.shafts";
        for (name, l, low) in [
            ("left", s.left, 0.05),
            ("right", s.right, 0.05),
            ("spline", s.spline, 0.001),
            ("gear_from", s.gear_from, 0.0),
            ("gear_to", s.gear_to, s.gear_from.si()),
        ] {
            c.length(format!("{path}.{name}"), l, low, 2.0);
        }
    }
}
