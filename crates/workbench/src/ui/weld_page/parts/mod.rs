//! Parts of the assembly, typed: the one in hand first, the lists beside it.

pub(in crate::ui) mod common;
mod joint;
mod lists;
mod material;
pub(in crate::ui) mod pieces;

use build::{Build, Part};
use eframe::egui::{ScrollArea, Ui, UiBuilder};

use super::super::bench::{Bench, Tray};

/// Width from which the lists stand beside the form, points.
const BESIDE: f32 = 760.0;

/// The panel.
pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let room = ui.available_rect_before_wrap();
    let ui = &mut ui.new_child(UiBuilder::new().max_rect(room));
    let chosen = bench.selected.filter(|p| is_there(bench.build, p));
    if ui.available_width() < BESIDE {
        ScrollArea::vertical()
            .id_salt("parts")
            .auto_shrink(false)
            .show(ui, |ui| {
                if let Some(part) = chosen {
                    form(ui, bench, part, tray);
                    ui.separator();
                }
                lists::nodes(ui, bench, chosen, tray);
                lists::others(ui, bench, chosen, tray);
            });
        return;
    }
    let half = (0.5 * (room.width() - 16.0)).floor();
    let mut left = room;
    left.set_width(half);
    let mut right = room;
    right.set_left(room.left() + half + 16.0);
    let line = eframe::egui::Stroke::new(1.0, bench.palette.field);
    ui.painter().vline(left.right() + 8.0, room.y_range(), line);
    for (rect, first) in [(left, true), (right, false)] {
        let mut column = ui.new_child(UiBuilder::new().max_rect(rect).id_salt(first));
        ScrollArea::vertical()
            .id_salt(("parts", first))
            .auto_shrink(false)
            .show(&mut column, |ui| {
                if !first {
                    lists::others(ui, bench, chosen, tray);
                    return;
                }
                if let Some(part) = chosen {
                    form(ui, bench, part, tray);
                    ui.separator();
                }
                lists::nodes(ui, bench, chosen, tray);
            });
    }
}

/// Is the part one this panel has a form for, and still in the build?
fn is_there(b: &Build, part: &Part) -> bool {
    let a = &b.assembly;
    match part {
        Part::Node(id) => a.node(id).is_some(),
        Part::Tube(id) => a.tube(id).is_some(),
        Part::Plate(id) => a.plate(id).is_some(),
        Part::Dimension(id) => b.weld_out.dimension(id).is_some(),
        Part::Joint(id) => b.fit_up.joints.iter().any(|j| j.id == *id),
        _ => false,
    }
}

/// The form of the part in hand.
fn form(ui: &mut Ui, bench: &Bench<'_>, part: &Part, tray: &mut Tray) {
    let b = bench.build;
    match part {
        Part::Node(id) => {
            if let Some(x) = b.assembly.node(id) {
                pieces::node(ui, bench, x, tray);
            }
        }
        Part::Tube(id) => {
            if let Some(x) = b.assembly.tube(id) {
                pieces::tube(ui, bench, x, tray);
            }
        }
        Part::Plate(id) => {
            if let Some(x) = b.assembly.plate(id) {
                pieces::plate(ui, bench, x, tray);
            }
        }
        Part::Dimension(id) => {
            if let Some(x) = b.weld_out.dimension(id) {
                pieces::dimension(ui, bench, x, tray);
            }
        }
        Part::Joint(id) => {
            if let Some(x) = b.fit_up.joints.iter().find(|j| j.id == *id) {
                joint::show(ui, bench, x, tray);
            }
        }
        _ => {}
    }
}
