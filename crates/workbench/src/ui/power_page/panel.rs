//! Beside the curves: what each link bears, and the numbers of the car under power.

use build::{Case, Differential, Edit, EngineTurn, Part, Side, fields};
use eframe::egui::{self, Align2, Color32, CursorIcon, Role, Sense, Ui, WidgetInfo, vec2};
use units::Kind;

use super::forces;
use super::scene::balance_of;
use crate::ui::bench::{Action, Bench, Tray};
use crate::ui::draw::text_fit;
use crate::ui::stock_form::choice;
use crate::ui::theme::{bold, plain};
use crate::ui::typed;

/// Every rod: force in the case shown, safety factor, what gives way first.
pub fn links(ui: &mut Ui, bench: &Bench<'_>, case: Case, tray: &mut Tray) {
    if bench.study.rear.rods.is_empty() {
        ui.colored_label(bench.palette.dim, "No links yet.");
        return;
    }
    let asked = bench.show(Kind::Count, bench.build.power.safety_target.si());
    ui.add(
        egui::Label::new(
            egui::RichText::new(format!("Safety factor, least of all cases; {asked} asked"))
                .font(plain(11.0))
                .color(bench.palette.dim),
        )
        .truncate(),
    );
    egui::ScrollArea::vertical()
        .id_salt("link strength")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for rod in 0..bench.study.rear.rods.len() {
                row(ui, bench, case, rod, tray);
            }
        });
}

/// Verdict of a rod: its words, its colour.
fn verdict(bench: &Bench<'_>, rod: usize) -> (String, Color32) {
    let p = bench.palette;
    let target = bench.build.power.safety_target.si();
    let asked = bench.show(Kind::Count, target);
    let count = |v: f64| format!("{v:.1}");
    match bench.study.launch.links.get(rod) {
        None => ("no such link".to_owned(), p.dim),
        Some(Err(why)) => {
            let link = bench.study.rear.rods.get(rod).map(|r| r.link);
            let link = link.and_then(|l| bench.build.rear.links.get(l));
            if link.is_some_and(|l| l.stock.is_none()) {
                ("click to enter tube, rod ends, bolts".to_owned(), p.dim)
            } else {
                (why.clone(), p.dim)
            }
        }
        Some(Ok(s)) => {
            let Some(g) = s.verdict.governing else {
                return ("nothing loads it".to_owned(), p.dim);
            };
            let what = s.governing().unwrap_or_default();
            let without = if s.without.is_empty() {
                String::new()
            } else {
                format!("; not counted: {}", s.without.join(", "))
            };
            if g.factor < 1.0 {
                let words = format!("✗ {:.2}, gives way: {what}{without}", g.factor);
                (words, p.bad)
            } else if !s.verdict.meets_target {
                let words = format!("! {:.2}, under {asked} asked: {what}{without}", g.factor);
                (words, p.accent)
            } else {
                (format!("✓ {}: {what}{without}", count(g.factor)), p.good)
            }
        }
    }
}

fn row(ui: &mut Ui, bench: &Bench<'_>, case: Case, rod: usize, tray: &mut Tray) {
    let p = bench.palette;
    let Some(r) = bench.study.rear.rods.get(rod) else {
        return;
    };
    let Some(link) = bench.build.rear.links.get(r.link) else {
        return;
    };
    let name = match r.side {
        Side::Left => format!("{}, left", link.label),
        Side::Right => format!("{}, right", link.label),
        Side::Both => link.label.clone(),
    };
    let force = bench
        .study
        .launch
        .reactions
        .as_ref()
        .ok()
        .and_then(|x| balance_of(x, case).0.rod_force.get(rod).copied());
    let (said, colour) = verdict(bench, rod);
    let value = force.map_or_else(
        || "—".to_owned(),
        |f| format!("{} {}", bench.show(Kind::Force, f.abs()), forces::word(f)),
    );
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 34.0), Sense::click());
    let response = response
        .on_hover_cursor(CursorIcon::PointingHand)
        .on_hover_text(&said);
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Button, true, format!("Strength of {name}"));
        info.current_text_value = Some(format!("{value}; {said}"));
        info
    });
    if response.clicked() {
        tray.put(Action::Select(Part::Link(link.id.clone())));
    }
    let painter = ui.painter();
    if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, 4, p.field.gamma_multiply(0.6));
    }
    let tone = force.map_or(p.dim, |f| forces::colour(bench, f));
    let number = painter.text(
        rect.right_top() + vec2(-4.0, 9.0),
        Align2::RIGHT_CENTER,
        &value,
        bold(12.5),
        tone,
    );
    text_fit(
        painter,
        rect.left_top() + vec2(4.0, 9.0),
        Align2::LEFT_CENTER,
        &name,
        plain(12.5),
        p.ink,
        number.left() - rect.left() - 12.0,
    );
    text_fit(
        painter,
        rect.left_top() + vec2(4.0, 25.0),
        Align2::LEFT_CENTER,
        &said,
        plain(11.0),
        colour,
        rect.width() - 8.0,
    );
}

/// The numbers of the car under power.
pub fn car(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let power = &bench.build.power;
    egui::ScrollArea::vertical()
        .id_salt("power numbers")
        .auto_shrink(false)
        .show(ui, |ui| {
            egui::Grid::new("power form")
                .num_columns(2)
                .spacing([12.0, 4.0])
                .show(ui, |ui| {
                    let mut differential = power.differential;
                    ui.label("Differential")
                        .on_hover_text("Locked: each tyre pushes as it is loaded. Open: both push alike, the lighter one slips first.");
                    ui.spacing_mut().combo_width = 96.0;
                    choice(
                        ui,
                        "Differential".to_owned(),
                        &mut differential,
                        &[
                            (Differential::Locked, "locked, spool"),
                            (Differential::Open, "open"),
                        ],
                    );
                    ui.end_row();
                    if differential != power.differential {
                        tray.edit(Edit::Differential(differential));
                    }
                    let mut engine = power.engine;
                    ui.label("Engine turns, from ahead").on_hover_text(
                        "Clockwise, as most do: the driveshaft loads the left rear tyre. Against the clock it loads the right one.",
                    );
                    choice(
                        ui,
                        "Engine turns".to_owned(),
                        &mut engine,
                        &[
                            (EngineTurn::Usual, "clockwise, usual"),
                            (EngineTurn::Reversed, "reversed"),
                        ],
                    );
                    ui.end_row();
                    if engine != power.engine {
                        tray.edit(Edit::EngineTurn(engine));
                    }
                    for f in fields::FIELDS.iter().filter(|f| f.id.starts_with("power.")) {
                        ui.label(f.label).on_hover_text(f.help);
                        let now = (f.get)(bench.build);
                        let salt = ("power form", f.id);
                        if let Some(si) =
                            typed::field(ui, bench, salt, f.label, f.kind, now, 96.0, tray)
                        {
                            tray.edit(Edit::Field {
                                id: f.id.to_owned(),
                                si,
                            });
                        }
                        ui.end_row();
                    }
                });
        });
}
