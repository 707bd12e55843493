//! Joints described: where each sits, which way it points, how far it may tilt.

use build::{ArmRod, FrontEnd, FrontJoint, JointPlace};
use eframe::egui::{self, Ui};
use units::{Angle, Count, Kind};

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::stock_form::choice;
use super::super::theme::plain;
use super::super::typed;
use super::parts::{head, put};

const PLACES: [(JointPlace, &str); 12] = [
    (JointPlace::LowerBall, "lower ball joint"),
    (JointPlace::UpperBall, "upper ball joint"),
    (JointPlace::Inner(ArmRod::TieRod), "tie rod, inner end"),
    (JointPlace::Outer(ArmRod::TieRod), "tie rod, outer end"),
    (
        JointPlace::Inner(ArmRod::LowerFront),
        "lower arm, front inner",
    ),
    (
        JointPlace::Inner(ArmRod::LowerRear),
        "lower arm, rear inner",
    ),
    (
        JointPlace::Inner(ArmRod::UpperFront),
        "upper arm, front inner",
    ),
    (
        JointPlace::Inner(ArmRod::UpperRear),
        "upper arm, rear inner",
    ),
    (
        JointPlace::Outer(ArmRod::LowerFront),
        "lower arm, front leg's outer end",
    ),
    (
        JointPlace::Outer(ArmRod::LowerRear),
        "lower arm, rear leg's outer end",
    ),
    (
        JointPlace::Outer(ArmRod::UpperFront),
        "upper arm, front leg's outer end",
    ),
    (
        JointPlace::Outer(ArmRod::UpperRear),
        "upper arm, rear leg's outer end",
    ),
];

type Direction = (Count, Count, Count);

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, front: &FrontEnd, tray: &mut Tray) {
    ui.add_space(6.0);
    let hint = "where, which way, the maker's limit";
    let add = head(ui, bench, "Joints described", hint, "Add a joint");
    let mut joints = front.joints.clone();
    let mut what = "Change a joint";
    if add {
        joints.push(FrontJoint::usual(front));
        what = "Add a joint";
    }
    let mut out = None;
    for (i, j) in joints.iter_mut().enumerate().take(front.joints.len()) {
        if joint(ui, bench, j, tray) {
            out = Some(i);
        }
    }
    if let Some(i) = out {
        joints.remove(i);
        what = "Remove a joint";
    }
    if joints != front.joints {
        let new = FrontEnd {
            joints,
            ..front.clone()
        };
        put(what, new, tray);
    }
}

/// One joint; is it to go?
fn joint(ui: &mut Ui, bench: &Bench<'_>, j: &mut FrontJoint, tray: &mut Tray) -> bool {
    let name = j.label.clone();
    let gone = ui
        .horizontal(|ui| {
            let label = typed::words(
                ui,
                bench,
                ("joint", &j.id),
                &format!("{name} name"),
                &j.label,
                150.0,
                tray,
            );
            if let Some(label) = label.filter(|l| !l.is_empty()) {
                j.label = label;
            }
            choice(ui, format!("{name} sits at"), &mut j.at, &PLACES);
            ui.small_button("–")
                .accessible_name(format!("Remove {name}"))
                .on_hover_text("Take this joint away")
                .clicked()
        })
        .inner;
    egui::Grid::new(("joint", &j.id))
        .num_columns(4)
        .spacing([6.0, 3.0])
        .show(ui, |ui| {
            ui.label("");
            for word in ["ahead", "out", "up"] {
                let word = egui::RichText::new(word).font(plain(11.0));
                ui.label(word.color(bench.palette.dim));
            }
            ui.end_row();
            let ball = matches!(j.at, JointPlace::LowerBall | JointPlace::UpperBall);
            let word = if ball { "stud" } else { "bolt" };
            direction(ui, bench, &name, word, &mut j.along, tray);
            ui.end_row();
            if let (true, Some(axis)) = (ball, &mut j.housing) {
                direction(ui, bench, &name, "housing", axis, tray);
                if ui.small_button("in line with the stud").clicked() {
                    j.housing = None;
                }
                ui.end_row();
            } else if ball {
                ui.label("housing");
                if ui.small_button("stands at an angle").clicked() {
                    j.housing = Some(j.along);
                }
                ui.end_row();
            }
        });
    ui.horizontal(|ui| {
        let now = j.limit.si();
        if let Some(v) = common::value(ui, bench, &name, "limit", Kind::Angle, now, tray) {
            j.limit = Angle::from_si(v);
        }
    });
    ui.add_space(4.0);
    gone
}

/// Only the way counts, not the length.
fn direction(
    ui: &mut Ui,
    bench: &Bench<'_>,
    name: &str,
    word: &str,
    d: &mut Direction,
    tray: &mut Tray,
) {
    ui.label(word);
    for (slot, axis) in [(&mut d.0, "ahead"), (&mut d.1, "out"), (&mut d.2, "up")] {
        let label = format!("{name} {word} {axis}");
        let typed = typed::field(
            ui,
            bench,
            (name, word, axis),
            &label,
            Kind::Count,
            slot.si(),
            54.0,
            tray,
        );
        if let Some(v) = typed {
            *slot = Count::from_si(v);
        }
    }
}
