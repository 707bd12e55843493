//! Dialogs that make or change a bracket or a link.

use build::{Bracket, Carrier, Edit, Holes, Link, LinkRole, Sides};
use eframe::egui::{self, ComboBox, Role, Ui, WidgetInfo};
use units::{Kind, Length};

use super::super::bench::{Action, Bench, Tray};
use super::super::typed;
use super::{answers, fresh_id, text_line, title};

pub(super) fn sides_choice(ui: &mut Ui, sides: &mut Sides) {
    ui.radio_value(sides, Sides::Pair, "both sides");
    ui.radio_value(sides, Sides::Single, "one only");
}

pub(super) fn bracket(
    ui: &mut Ui,
    bench: &Bench<'_>,
    b: &mut Bracket,
    new: bool,
    tray: &mut Tray,
) -> bool {
    title(
        ui,
        if new {
            "A new bracket"
        } else {
            "Change the bracket"
        },
    );
    text_line(ui, "Label", &mut b.label);
    ui.horizontal(|ui| {
        ui.radio_value(&mut b.on, Carrier::Frame, "on the frame");
        ui.radio_value(&mut b.on, Carrier::Axle, "on the axle");
    });
    ui.horizontal(|ui| sides_choice(ui, &mut b.sides));
    if let Holes::Row { count, .. } = &mut b.holes {
        ui.horizontal(|ui| {
            ui.label("holes in a row");
            let r = ui.add(egui::DragValue::new(count).range(1..=build::MAX_HOLES));
            r.widget_info(|| WidgetInfo::labeled(Role::SpinButton, true, "Holes in a row"));
        });
    }
    ui.colored_label(
        bench.palette.dim,
        "Where it stands, its drill and its pitch are set beside the drawing.",
    );
    match answers(ui, "Set", !b.label.trim().is_empty()) {
        Some(true) => {
            if new {
                b.id = fresh_id(&b.label, |id| bench.build.rear.bracket(id).is_some());
            }
            tray.edit(Edit::PutBracket(b.clone()));
            tray.put(Action::Select(build::Part::Bracket(b.id.clone())));
            false
        }
        Some(false) => false,
        None => true,
    }
}

pub(super) fn link(
    ui: &mut Ui,
    bench: &Bench<'_>,
    l: &mut Link,
    new: bool,
    tray: &mut Tray,
) -> bool {
    title(ui, if new { "A new link" } else { "Change the link" });
    text_line(ui, "Label", &mut l.label);
    ui.horizontal(|ui| {
        ui.radio_value(&mut l.role, LinkRole::Upper, "upper");
        ui.radio_value(&mut l.role, LinkRole::Lower, "lower");
        ui.radio_value(&mut l.role, LinkRole::Lateral, "lateral bar");
    });
    ui.horizontal(|ui| sides_choice(ui, &mut l.sides));
    for (word, on, end) in [
        ("frame end on", Carrier::Frame, &mut l.at_frame),
        ("axle end on", Carrier::Axle, &mut l.at_axle),
    ] {
        ui.horizontal(|ui| {
            ui.label(word);
            let name = bench
                .build
                .rear
                .bracket(&end.bracket)
                .map_or("choose", |x| x.label.as_str());
            ComboBox::from_id_salt(word)
                .selected_text(name)
                .width(200.0)
                .show_ui(ui, |ui| {
                    for x in bench.build.rear.brackets.iter().filter(|x| x.on == on) {
                        if ui.selectable_label(x.id == end.bracket, &x.label).clicked() {
                            end.bracket.clone_from(&x.id);
                            end.hole = 1;
                            end.right_hole = None;
                        }
                    }
                })
                .response
                .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, word));
        });
    }
    for (word, slot) in [
        ("tube length", &mut l.body),
        ("rod end thread", &mut l.rod_end.thread),
        ("rod end reach", &mut l.rod_end.reach),
    ] {
        ui.horizontal(|ui| {
            ui.label(word);
            if let Some(v) = typed::field(
                ui,
                bench,
                ("link dialog", word),
                word,
                Kind::Length,
                slot.si(),
                90.0,
                tray,
            ) {
                *slot = Length::from_si(v);
            }
        });
    }
    let possible = !l.label.trim().is_empty()
        && !l.at_frame.bracket.is_empty()
        && !l.at_axle.bracket.is_empty();
    if !possible {
        ui.colored_label(
            bench.palette.dim,
            "It needs a bracket on the frame and one on the axle.",
        );
    }
    match answers(ui, "Set", possible) {
        Some(true) => {
            if new {
                l.id = fresh_id(&l.label, |id| bench.build.rear.link(id).is_some());
            }
            tray.edit(Edit::PutLink(l.clone()));
            tray.put(Action::Select(build::Part::Link(l.id.clone())));
            false
        }
        Some(false) => false,
        None => true,
    }
}
