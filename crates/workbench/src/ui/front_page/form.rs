//! Points and numbers of the front end, typed: each change is one step to undo.

use build::points::POINTS;
use build::{Edit, FrontEnd, RollingEdit, fields};
use eframe::egui::{self, Ui};

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::typed;
use super::parts;

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, front: &FrontEnd, tray: &mut Tray) {
    ui.horizontal(|ui| {
        common::head(ui, bench, "Points", "left side, ride height, rack centred");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui
                .small_button("Take it out")
                .accessible_name("Take out the front end")
                .clicked()
            {
                tray.edit(Edit::Rolling(RollingEdit::FrontEnd(
                    "Take out the front end",
                    None,
                )));
            }
        });
    });
    egui::Grid::new("front points")
        .num_columns(4)
        .spacing([6.0, 4.0])
        .show(ui, |ui| {
            common::place_head(ui, bench);
            let all = POINTS.iter().filter(|p| p.id.starts_with("front_end."));
            for p in all {
                let Some(now) = (p.get)(bench.build) else {
                    continue;
                };
                let label = p.label.strip_prefix("Front coil-over, ");
                let label = label.map_or(p.label.to_owned(), |end| format!("Coil-over, {end}"));
                if let Some(to) = common::place(ui, bench, "front end", &label, now, tray) {
                    tray.edit(Edit::Rolling(RollingEdit::Move {
                        point: p.id.to_owned(),
                        to,
                    }));
                }
            }
        });
    ui.add_space(6.0);
    common::head(ui, bench, "Numbers", "");
    egui::Grid::new("front numbers")
        .num_columns(2)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            let all = fields::all().filter(|f| f.id.starts_with("front_end."));
            for f in all.filter(|f| (f.drawn)(bench.build)) {
                ui.label(f.label).on_hover_text(f.help);
                let now = (f.get)(bench.build);
                let typed =
                    typed::field(ui, bench, ("front", f.id), f.label, f.kind, now, 97.0, tray);
                if let Some(si) = typed {
                    tray.edit(Edit::Field {
                        id: f.id.to_owned(),
                        si,
                    });
                }
                ui.end_row();
            }
        });
    let mut on_knuckle = front.caliper_on_knuckle;
    if ui
        .checkbox(&mut on_knuckle, "calipers on the knuckles")
        .on_hover_text("Off: brakes inboard; it changes anti-dive and the steering loads")
        .changed()
    {
        let new = FrontEnd {
            caliper_on_knuckle: on_knuckle,
            ..front.clone()
        };
        parts::put("Move the calipers", new, tray);
    }
    parts::show(ui, bench, front, tray);
    if front.coil_over.is_some() {
        common::note(
            ui,
            bench,
            "The launch stands on this coil-over; the plain front wheel rate is not read.",
        );
    }
}
