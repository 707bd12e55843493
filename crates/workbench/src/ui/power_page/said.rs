//! What the side view says in figures: loads, link forces, squat and rise, thrust, springs.

use build::{Carrier, Case, Side};
use eframe::egui::{self, Painter, Rect, pos2, vec2};
use units::Kind;

use super::forces::{self, Scale};
use super::notes::{Notes, Run};
use super::scene::{Scene, letter};
use crate::ui::canvas::View;
use crate::ui::handles::Face;
use crate::ui::theme::{bold, plain};

const FACE: Face = Face::Side;

/// A load and its change from rest, two values apart.
pub fn load_words(scene: &Scene<'_>, now: f64, rest: f64) -> (String, String) {
    let bench = scene.bench;
    if now <= 0.0 {
        return ("off the ground".to_owned(), String::new());
    }
    let bare = |v: f64| units::format_bare(Kind::Force, v, bench.shop());
    let change = now - rest;
    let moved = scene.shown.as_ref().is_some_and(|s| s.case != Case::Rest);
    let said = bare(change.abs());
    let sign = if said == bare(0.0) {
        "±"
    } else if change < 0.0 {
        "−"
    } else {
        "+"
    };
    let change = if moved {
        format!("{sign}{said}")
    } else {
        String::new()
    };
    (bench.show(Kind::Force, now), change)
}

pub(super) fn loads(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    let Some(s) = &scene.shown else {
        return;
    };
    let scale = Scale::of(bench, view.rect.width());
    let (now, rest) = (&s.balance.tyre_load, &s.at_rest().tyre_load);
    let rear = scene.carry(
        Carrier::Axle,
        [0.0, 0.0, bench.build.car.rear.loaded_radius.si()],
    )[0];
    for (x, left, right) in [
        (
            rear,
            (now.rear_left, rest.rear_left),
            (now.rear_right, rest.rear_right),
        ),
        (
            bench.build.car.wheelbase.si(),
            (now.front_left, rest.front_left),
            (now.front_right, rest.front_right),
        ),
    ] {
        let foot = view.at([x, 0.0]);
        for (load, dx, tone, width) in [
            (right.0, 5.0, p.faint(p.ink, 0.6), 1.6),
            (left.0, -5.0, p.ink, 2.2),
        ] {
            let length = scale.length(load);
            let at = foot + vec2(dx, 0.0);
            forces::single(painter, at, vec2(0.0, -length), tone, width);
            notes.keep_line_clear(at, at + vec2(0.0, -length), 4.0);
        }
        let mut runs = Vec::new();
        for (k, (word, (load, was))) in [("left", left), ("right", right)].into_iter().enumerate() {
            let (value, change) = load_words(scene, load, was);
            let line = if k == 0 { "" } else { "\n" };
            runs.push(Run::new(format!("{line}{word} "), plain(11.0), p.dim));
            runs.push(Run::new(value, bold(12.0), p.ink));
            runs.push(Run::new(format!("  {change}"), plain(11.0), p.dim));
        }
        notes.put(
            painter,
            foot + vec2(0.0, 3.0),
            vec2(0.0, 1.0),
            &runs,
            p.ground,
        );
    }
}

/// Values of both sides of a pair in one line.
fn both(
    runs: &mut Vec<Run>,
    scene: &Scene<'_>,
    values: impl Iterator<Item = (Side, String, egui::Color32)>,
) {
    let p = scene.bench.palette;
    for (k, (side, value, colour)) in values.enumerate() {
        if k > 0 {
            runs.push(Run::new(" · ", plain(11.5), p.dim));
        }
        runs.push(Run::new(
            format!("{}{value}", letter(side)),
            bold(11.5),
            colour,
        ));
    }
}

pub(super) fn link_notes(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    let target = bench.build.power.safety_target.si();
    for (k, link) in bench.build.rear.links.iter().enumerate() {
        let rods: Vec<_> = scene.rods_of(k).collect();
        let Some((_, first)) = rods.first() else {
            continue;
        };
        let ends = scene.rod(first).map(|q| view.at(FACE.flat(q)));
        let middle = ends[0].lerp(ends[1], 0.5);
        let mut runs = vec![Run::new(format!("{}  ", link.label), plain(11.0), p.dim)];
        both(
            &mut runs,
            scene,
            rods.iter().filter_map(|(rod, r)| {
                let f = scene.force(*rod)?;
                let value = format!("{} {}", bench.show(Kind::Force, f.abs()), forces::word(f));
                Some((r.side, value, forces::colour(bench, f)))
            }),
        );
        let weak = rods.iter().any(|(rod, _)| {
            let study = bench.study.launch.links.get(*rod);
            study.is_some_and(|s| s.as_ref().is_ok_and(|s| !s.verdict.meets_target))
        });
        if weak {
            let asked = bench.show(Kind::Count, target);
            runs.push(Run::new(
                format!("  ! under {asked} asked"),
                bold(11.0),
                p.bad,
            ));
        }
        // Over the upper links, under the lower ones: where the drawing is emptier.
        let up = match link.role {
            build::LinkRole::Upper => -1.0,
            _ => 1.0,
        };
        notes.put(painter, middle, vec2(0.45, up), &runs, p.ground);
    }
}

/// How far the body has sunk or risen over each axle.
pub(super) fn heights(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    let car = &bench.build.car;
    let Some(s) = scene.shown.as_ref().filter(|s| s.case != Case::Rest) else {
        return;
    };
    let l = car.wheelbase.si();
    let rear_x = view.at([-0.5 * car.rear.tyre_diameter.si(), 0.0]).x - 14.0;
    let front_x = view.at([l + 0.5 * car.front.tyre_diameter.si(), 0.0]).x + 14.0;
    let ends = [
        (
            [0.0, 0.0, car.rear.loaded_radius.si()],
            rear_x,
            -s.balance.rear_squat,
            ["rear rises", "rear squats"],
        ),
        (
            [l, 0.0, car.front.loaded_radius.si()],
            front_x,
            s.balance.front_lift,
            ["front rises", "front dips"],
        ),
    ];
    for (point, x, rise, words) in ends {
        let from = view.at(FACE.flat(s.rest.carry(Carrier::Frame, point))).y;
        let to = view.at(FACE.flat(s.pose.carry(Carrier::Frame, point))).y;
        forces::dimension(painter, x, from, to, p.ink);
        let rect = Rect::from_two_pos(pos2(x - 8.0, from), pos2(x + 8.0, to));
        notes.keep_clear(rect.expand(4.0));
        let value = units::format_fine(Kind::Length, rise.abs(), bench.shop());
        let word = words[usize::from(rise < 0.0)];
        let runs = [
            Run::new(format!("{word} "), plain(11.0), p.ink),
            Run::new(value, bold(12.0), p.ink),
        ];
        let at = pos2(x, from.min(to));
        notes.put(painter, at, vec2(0.0, -1.0), &runs, p.ground);
    }
}

/// Thrust at the contacts, along the floor.
pub(super) fn thrusts(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    let Some(s) = &scene.shown else {
        return;
    };
    let scale = Scale::of(bench, view.rect.width());
    let rear = scene.carry(
        Carrier::Axle,
        [0.0, 0.0, bench.build.car.rear.loaded_radius.si()],
    )[0];
    for (x, push) in [
        (rear, s.balance.thrust),
        (bench.build.car.wheelbase.si(), s.balance.front_thrust),
    ] {
        if push.iter().all(|f| f.abs() < 1.0) {
            continue;
        }
        let foot = view.at([x, 0.0]);
        let ahead = push[0] + push[1] > 0.0;
        for (k, tone, width) in [(1, p.faint(p.good, 0.7), 1.6), (0, p.good, 2.4)] {
            let length = scale.length(push[k]) * push[k].signum() as f32;
            let at = foot + vec2(0.0, if k == 0 { 4.0 } else { 9.0 });
            forces::single(painter, at, vec2(length, 0.0), tone, width);
            notes.keep_line_clear(at, at + vec2(length, 0.0), 4.0);
        }
        let mut runs = vec![Run::new(
            if ahead { "thrust  " } else { "brake  " },
            plain(11.0),
            p.dim,
        )];
        let value = |k: usize| bench.show(Kind::Force, push[k].abs());
        both(
            &mut runs,
            scene,
            [
                (Side::Left, value(0), p.good),
                (Side::Right, value(1), p.good),
            ]
            .into_iter(),
        );
        let way = if ahead { 1.0 } else { -1.0 };
        let tip = foot + vec2(way * scale.length(push[0]), 10.0);
        notes.put(painter, tip, vec2(way, 0.7), &runs, p.ground);
    }
}

pub(super) fn spring_notes(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    let Some(s) = &scene.shown else {
        return;
    };
    for (k, x) in bench.build.power.coilovers.iter().enumerate() {
        let all: Vec<_> = bench
            .study
            .launch
            .coilovers
            .iter()
            .enumerate()
            .filter(|(_, c)| c.coilover == k)
            .collect();
        let Some((_, first)) = all.first() else {
            continue;
        };
        let top = view.at(FACE.flat(scene.carry(Carrier::Frame, first.frame)));
        let mut runs = vec![Run::new(format!("{}  ", x.label), plain(11.0), p.dim)];
        both(
            &mut runs,
            scene,
            all.iter().filter_map(|(i, c)| {
                let f = s.balance.coil_force.get(*i)?;
                Some((c.side, bench.show(Kind::Force, *f), p.ink))
            }),
        );
        notes.put(painter, top, vec2(0.5, -1.0), &runs, p.ground);
    }
}
