//! The frame's test: where it is held and loaded, where the twist is read, what counts.

use build::{Edit, FrameTest, Pair, TubeEdit};
use eframe::egui::{Grid, Role, Ui, WidgetInfo};
use units::{Kind, Torque};

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::typed;
use super::super::weld_page::parts::common::{choose, nodes};
use super::super::weld_panels::bits::FIELD;

/// Width of a box to choose a node, points.
const NODE: f32 = 104.0;

/// A pair of nodes, left and right; an empty one is no pair.
pub(super) fn pair(
    ui: &mut Ui,
    bench: &Bench<'_>,
    name: &str,
    now: &Option<Pair>,
) -> Option<Option<Pair>> {
    let mut all = vec![(String::new(), "none".to_owned())];
    all.extend(nodes(bench.build));
    let mut left = now.as_ref().map_or_else(String::new, |p| p.left.clone());
    let mut right = now.as_ref().map_or_else(String::new, |p| p.right.clone());
    let before = (left.clone(), right.clone());
    choose(ui, &format!("{name}, left"), &mut left, &all, NODE);
    choose(ui, &format!("{name}, right"), &mut right, &all, NODE);
    if (left.clone(), right.clone()) == before {
        return None;
    }
    // The first of the two brings its mirror image along.
    let other = |id: &str| {
        let a = &bench.build.assembly;
        let node = a.node(id)?;
        Some(
            super::super::assembly_view::make::partner(a, node)?
                .id
                .clone(),
        )
    };
    if right.is_empty() && !left.is_empty() && before.1.is_empty() {
        right = other(&left).unwrap_or_default();
    }
    if left.is_empty() && !right.is_empty() && before.0.is_empty() {
        left = other(&right).unwrap_or_default();
    }
    let none = left.is_empty() || right.is_empty();
    let label = now.as_ref().map_or_else(String::new, |p| p.label.clone());
    // Half a pair is none; one taken away takes the other along.
    Some((!none).then_some(Pair { label, left, right }))
}

fn set(test: &FrameTest, tray: &mut Tray, change: impl FnOnce(&mut FrameTest)) {
    let mut new = test.clone();
    change(&mut new);
    if new != *test {
        tray.edit(Edit::Tube(TubeEdit::SetTest(Box::new(new))));
    }
}

/// What a pair is called, what it is for, which it is, and how it is put.
type PairRow<'a> = (
    &'a str,
    &'a str,
    &'a Option<Pair>,
    fn(&mut FrameTest, Option<Pair>),
);

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let test = &bench.build.frame_test;
    common::head(ui, bench, "The test", "nodes left and right of the car");
    Grid::new("frame test")
        .num_columns(3)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            let rows: [PairRow<'_>; 3] = [
                (
                    "held at the back",
                    "Held without strain at three points, or clamped",
                    &test.rear,
                    |t, p| t.rear = p,
                ),
                (
                    "loaded in front",
                    "One up, one down: the torque",
                    &test.front,
                    |t, p| t.front = p,
                ),
                (
                    "sags in the middle",
                    "Loaded down in the bending test",
                    &test.middle,
                    |t, p| t.middle = p,
                ),
            ];
            for (word, tip, now, put) in rows {
                ui.label(word).on_hover_text(tip);
                if let Some(p) = pair(ui, bench, word, now) {
                    set(test, tray, |t| put(t, p));
                }
                ui.end_row();
            }
        });
    ui.horizontal_wrapped(|ui| {
        ui.label("torque");
        let now = test.torque.si();
        let v = typed::field(
            ui,
            bench,
            "twist torque",
            "Twist torque",
            Kind::Torque,
            now,
            FIELD,
            tray,
        );
        if let Some(v) = v {
            set(test, tray, |t| t.torque = Torque::from_si(v));
        }
        let mut clamped = test.clamped;
        ui.checkbox(&mut clamped, "rear clamped")
            .on_hover_text("Clamped in all six ways: another, stiffer test");
        let mut shear = test.shear;
        ui.checkbox(&mut shear, "shear counts")
            .on_hover_text("Off: as most textbooks reckon");
        let mut soft = test.soft_bends;
        ui.checkbox(&mut soft, "soft bends")
            .on_hover_text("Round tube ovals where it is bent, and gives more there");
        set(test, tray, |t| {
            t.clamped = clamped;
            t.shear = shear;
            t.soft_bends = soft;
        });
    });
    stations(ui, bench, test, tray);
}

fn stations(ui: &mut Ui, bench: &Bench<'_>, test: &FrameTest, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Twist is read at",
        "back to front, beside the two ends",
    );
    Grid::new("stations")
        .num_columns(4)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            for (i, x) in test.stations.iter().enumerate() {
                let n = i + 1;
                let name = format!("Place {n}, name");
                let salt = ("station", i);
                if let Some(label) = typed::words(ui, bench, salt, &name, &x.label, 110.0, tray) {
                    set(test, tray, |t| t.stations[i].label = label);
                }
                match pair(ui, bench, &format!("Place {n}"), &Some(x.clone())) {
                    Some(Some(p)) => set(test, tray, |t| t.stations[i] = p),
                    Some(None) => set(test, tray, |t| {
                        t.stations.remove(i);
                    }),
                    None => {}
                }
                let r = ui
                    .small_button("–")
                    .on_hover_text("Read the twist there no longer");
                r.widget_info(|| {
                    WidgetInfo::labeled(Role::Button, true, format!("Remove place {n}"))
                });
                if r.clicked() {
                    set(test, tray, |t| {
                        t.stations.remove(i);
                    });
                }
                ui.end_row();
            }
        });
    ui.horizontal_wrapped(|ui| {
        ui.label("another place");
        if let Some(Some(p)) = pair(ui, bench, "Another place", &None) {
            set(test, tray, |t| {
                let label = format!("{} / {}", p.left, p.right);
                t.stations.push(Pair { label, ..p });
                let at = |id: &str| bench.build.assembly.node(id).map_or(0.0, |n| n.at.si()[0]);
                t.stations
                    .sort_by(|a, b| at(&a.left).total_cmp(&at(&b.left)));
            });
        }
    });
}
