//! Ranges of tube work and of the frame's test.

use units::Kind;

use super::validate::{Checker, MANY};
use super::validate_weld::{LONG, SEVERAL, section};
use crate::Build;

/// Greatest torque of a twist test, N·m.
const TORQUE: f64 = 1e6;

pub(super) fn check(c: &mut Checker, b: &Build) {
    for (i, x) in b.assembly.tubes.iter().enumerate() {
        let path = format!("assembly.tubes[{i}].bends");
        c.most(&path, x.bends.len(), SEVERAL);
        for (k, bend) in x.bends.iter().enumerate() {
            c.length(format!("{path}[{k}].radius"), bend.radius, 0.002, LONG);
        }
    }
    tube_work(c, b);
    frame_test(c, b);
}

fn tube_work(c: &mut Checker, b: &Build) {
    let w = &b.tube_work;
    c.most("tube_work.dies", w.dies.len(), SEVERAL);
    c.most("tube_work.stock", w.stock.len(), SEVERAL);
    c.unique("tube_work.dies", w.dies.iter().map(|x| x.id.as_str()));
    c.unique("tube_work.stock", w.stock.iter().map(|x| x.id.as_str()));
    c.length("tube_work.kerf", w.kerf, 0.0, 0.05);
    c.length("tube_work.trim", w.trim, 0.0, 1.0);
    c.length("tube_work.paper", w.paper, 0.0, 0.01);
    for (i, x) in w.dies.iter().enumerate() {
        let path = format!("tube_work.dies[{i}]");
        c.length(format!("{path}.outside"), x.outside, 0.002, 0.5);
        c.length(format!("{path}.radius"), x.radius, 0.002, LONG);
        c.length(format!("{path}.clamp"), x.clamp, 0.0, LONG);
        c.length(format!("{path}.between"), x.between, 0.0, LONG);
        c.length(format!("{path}.mark"), x.mark, -1.0, 1.0);
        c.length(format!("{path}.gain"), x.gain, -0.1, 0.1);
        c.most(&format!("{path}.springback"), x.springback.len(), SEVERAL);
        let mut last = 0.0;
        for (k, row) in x.springback.iter().enumerate() {
            let path = format!("{path}.springback[{k}]");
            c.range(
                format!("{path}.wanted"),
                Kind::Angle,
                row.wanted.si(),
                0.0,
                3.1,
            );
            c.range(format!("{path}.set"), Kind::Angle, row.set.si(), 0.0, 4.0);
            if k > 0 && row.wanted.si() <= last {
                c.fail(
                    format!("{path}.wanted"),
                    "the rows do not go up",
                    "Sort the table by the angle wanted, each angle once",
                );
            }
            last = row.wanted.si();
        }
    }
    for (i, x) in w.stock.iter().enumerate() {
        let path = format!("tube_work.stock[{i}]");
        section(c, &format!("{path}.section"), &x.section);
        c.length(format!("{path}.length"), x.length, 0.01, LONG);
        if let Some(n) = x.count {
            c.range(
                format!("{path}.count"),
                Kind::Count,
                f64::from(n),
                0.0,
                1000.0,
            );
        }
    }
}

fn frame_test(c: &mut Checker, b: &Build) {
    let t = &b.frame_test;
    for (path, n) in [
        ("frame_test.stations", t.stations.len()),
        ("frame_test.masses", t.masses.len()),
        ("frame_test.engine_mounts", t.engine_mounts.len()),
        ("frame_test.carriers", t.carriers.len()),
        ("frame_test.measured", t.measured.len()),
    ] {
        c.most(path, n, SEVERAL.min(MANY));
    }
    c.unique("frame_test.masses", t.masses.iter().map(|x| x.id.as_str()));
    c.range(
        "frame_test.torque",
        Kind::Torque,
        t.torque.si(),
        0.01,
        TORQUE,
    );
    for (i, x) in t.masses.iter().enumerate() {
        let path = format!("frame_test.masses[{i}]");
        c.range(
            format!("{path}.mass"),
            Kind::Mass,
            x.mass.si(),
            0.0,
            10_000.0,
        );
        c.place(&format!("{path}.at"), &x.at);
        c.most(&format!("{path}.on"), x.on.len(), SEVERAL);
    }
    for (i, x) in t.measured.iter().enumerate() {
        let path = format!("frame_test.measured[{i}]");
        c.range(
            format!("{path}.torque"),
            Kind::Torque,
            x.torque.si(),
            0.01,
            TORQUE,
        );
        c.length(format!("{path}.left_up"), x.left_up, -1.0, 1.0);
        c.length(format!("{path}.right_down"), x.right_down, -1.0, 1.0);
        c.length(format!("{path}.apart"), x.apart, 0.01, LONG);
        c.range(
            format!("{path}.rear_turned"),
            Kind::Angle,
            x.rear_turned.si(),
            -1.0,
            1.0,
        );
    }
}
