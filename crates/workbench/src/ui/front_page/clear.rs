//! What comes near what, and how far the joints tilt: each with the pose where it is worst.

use build::{FrontEnd, FrontMotion, JointTilt};
use eframe::egui::{self, Color32, Ui};
use units::Kind;

use super::super::bench::Bench;
use super::super::springs_page::common;
use super::super::theme::{bold, plain};

/// Width of a row's words, points: of a gap's and of a joint's.
const LABELS: [f32; 2] = [186.0, 124.0];

/// The lists; returns the travel and rack of a row that was clicked.
pub(super) fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    front: &FrontEnd,
    m: &FrontMotion,
) -> Option<(f64, f64)> {
    let p = bench.palette;
    let mut go = None;
    let colour = |room: f64, asked: f64| -> Color32 {
        if room < 0.0 {
            p.bad
        } else if room < asked {
            p.accent
        } else {
            p.ink
        }
    };
    let at = |travel: f64, rack: f64| {
        let wheel = match travel {
            t if t.abs() < 1e-6 => "ride height".to_owned(),
            t if t < 0.0 => format!("{} droop", bench.length(-t)),
            t => format!("{} bump", bench.length(t)),
        };
        match rack {
            r if r.abs() < 1e-6 => wheel,
            r if r > 0.0 => format!("{wheel}, rack {} left", bench.length(r)),
            r => format!("{wheel}, rack {} right", bench.length(-r)),
        }
    };
    let mut row =
        |ui: &mut Ui, label: (&str, f32), value: String, ink: Color32, travel: f64, rack: f64| {
            let (label, width) = label;
            // A width of its own: in a scrolled grid words would wrap at every letter.
            ui.vertical(|ui| {
                ui.set_width(width);
                ui.add(egui::Label::new(egui::RichText::new(label).font(plain(12.0))).wrap());
            });
            ui.label(egui::RichText::new(value).font(bold(12.5)).color(ink));
            let place = at(travel, rack);
            let r = ui.button(egui::RichText::new(&place).font(plain(11.0)));
            let r = r.on_hover_text("Show this pose");
            r.widget_info(|| {
                let name = format!("{label} at {place}");
                egui::WidgetInfo::labeled(egui::Role::Button, true, name)
            });
            if r.clicked() {
                go = Some((travel, rack));
            }
            ui.end_row();
        };
    common::head(
        ui,
        bench,
        "Least gaps",
        "over all travel and rack, click to see",
    );
    if m.gaps.is_empty() {
        common::note(ui, bench, "Nothing is near anything.");
    }
    egui::Grid::new("gaps")
        .num_columns(3)
        .spacing([10.0, 3.0])
        .striped(true)
        .show(ui, |ui| {
            for g in &m.gaps {
                let value = g
                    .gap
                    .map_or_else(|| "through".to_owned(), |v| bench.length(v));
                let ink = colour(g.gap.unwrap_or(-1.0), g.asked());
                row(ui, (&g.label, LABELS[0]), value, ink, g.travel, g.rack);
            }
        });
    ui.add_space(6.0);
    common::head(ui, bench, "Joints", "tilt of limit, 2° should be in hand");
    if front.joints.is_empty() {
        common::note(
            ui,
            bench,
            "No joints are described yet: add each below, with the tilt its maker allows.",
        );
    }
    egui::Grid::new("joint tilts")
        .num_columns(3)
        .spacing([10.0, 3.0])
        .striped(true)
        .show(ui, |ui| {
            for (j, t) in front.joints.iter().zip(&m.joints) {
                let show = |v| bench.show(Kind::Angle, v);
                let (value, ink) = match &t.tilt {
                    Ok(tilt) => (
                        format!("{} of {}", show(*tilt), show(j.limit.si())),
                        colour(t.room, JointTilt::ROOM),
                    ),
                    Err(why) => (why.clone(), p.bad),
                };
                row(ui, (&j.label, LABELS[1]), value, ink, t.travel, t.rack);
            }
        });
    go
}
