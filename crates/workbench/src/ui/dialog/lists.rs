//! Dialogs to look things up: keys, about, remarks, commands.

use eframe::egui::{self, Role, TextEdit, Ui, WidgetInfo};

use super::super::bench::{Action, Bench, Tray};
use super::super::command::COMMANDS;
use super::title;

pub(super) fn keys(ui: &mut Ui) -> bool {
    title(ui, "Keys");
    egui::ScrollArea::vertical()
        .max_height(ui.ctx().content_rect().height() * 0.6)
        .min_scrolled_height(ui.ctx().content_rect().height() * 0.6)
        .show(ui, |ui| {
            egui::Grid::new("keys")
                .num_columns(2)
                .spacing([24.0, 4.0])
                .show(ui, |ui| {
                    for e in COMMANDS {
                        if let Some(s) = &e.shortcut {
                            ui.label(ui.ctx().format_shortcut(s));
                            ui.label(format!("{}: {}", e.label, e.tip));
                            ui.end_row();
                        }
                    }
                    for (key, what) in [
                        (
                            "Arrow keys",
                            "Nudge the link end or bracket in hand by one step",
                        ),
                        ("Shift + arrow", "Nudge a bracket by sixteen steps"),
                        ("Escape", "Give up a drag, or leave a field as it was"),
                        (
                            "Alt while dragging",
                            "A bracket moves freely, off the tape's steps",
                        ),
                        ("Wheel", "Zoom at the pointer"),
                        ("Drag the floor", "Pan"),
                        ("Tab", "Next field, check or handle; Space presses it"),
                    ] {
                        ui.label(key);
                        ui.label(what);
                        ui.end_row();
                    }
                });
        });
    !ui.button("Close").clicked()
}

pub(super) fn about(ui: &mut Ui) -> bool {
    title(ui, &format!("Stringline {}", env!("CARGO_PKG_VERSION")));
    ui.label("Plans the build of a fast street car's chassis. Reads and writes build files of format version 1.");
    ui.label("Program: MIT or Apache-2.0. Text: B612, SIL Open Font License 1.1. Symbols: DejaVu Sans Condensed, Bitstream Vera and DejaVu licence.");
    ui.add_space(4.0);
    ui.label(
        "It computes; it approves nothing. Structural welds, roll structures, brakes and driveline are decided by the current \
         rule book, local codes and licensed practice. Measure before you cut, and test in a safe place.",
    );
    !ui.button("Close").clicked()
}

pub(super) fn findings(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) -> bool {
    title(ui, &format!("{} remarks", bench.study.findings.len()));
    let mut keep = true;
    let p = bench.palette;
    egui::ScrollArea::vertical()
        .max_height(ui.ctx().content_rect().height() * 0.6)
        .min_scrolled_height(ui.ctx().content_rect().height() * 0.6)
        .show(ui, |ui| {
            for f in &bench.study.findings {
                let colour = match f.severity {
                    build::Severity::Error => p.bad,
                    build::Severity::Warning => p.accent,
                    build::Severity::Remark => p.dim,
                };
                let text = f.text.show(bench.shop());
                ui.horizontal(|ui| {
                    ui.colored_label(colour, f.severity.word());
                    if ui
                        .small_button("Show")
                        .accessible_name(format!("Show: {text}"))
                        .clicked()
                    {
                        tray.put(Action::Select(f.part.clone()));
                        keep = false;
                    }
                });
                ui.label(&text);
                ui.colored_label(p.dim, f.next.show(bench.shop()));
                ui.separator();
            }
        });
    keep && !ui.button("Close").clicked()
}

pub(super) fn find(
    ui: &mut Ui,
    bench: &Bench<'_>,
    text: &mut String,
    chosen: &mut usize,
    tray: &mut Tray,
) -> bool {
    let down = ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::ArrowDown));
    let up = ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::ArrowUp));
    let r = ui.add(
        TextEdit::singleline(text)
            .hint_text("What do you want to do?")
            .desired_width(f32::INFINITY),
    );
    r.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::TextInput, true, "Command to find");
        info.current_text_value = Some(text.clone());
        info
    });
    if r.changed() {
        *chosen = 0;
    }
    let entered = ui.input(|i| i.key_pressed(egui::Key::Enter));
    if !r.has_focus() {
        r.request_focus();
    }
    let words: Vec<String> = text
        .to_lowercase()
        .split_whitespace()
        .map(str::to_owned)
        .collect();
    let fits: Vec<_> = COMMANDS
        .iter()
        .filter(|e| {
            let all = format!("{} {}", e.label, e.tip).to_lowercase();
            words.iter().all(|w| all.contains(w))
        })
        .collect();
    *chosen = (*chosen + usize::from(down))
        .saturating_sub(usize::from(up))
        .min(fits.len().saturating_sub(1));
    let mut keep = true;
    egui::ScrollArea::vertical()
        .max_height(300.0)
        .min_scrolled_height(300.0)
        .show(ui, |ui| {
            for (i, e) in fits.iter().enumerate() {
                let key = e
                    .shortcut
                    .map(|s| ui.ctx().format_shortcut(&s))
                    .unwrap_or_default();
                let r = ui.add(
                    egui::Button::selectable(i == *chosen, e.label)
                        .shortcut_text(key)
                        .min_size(egui::vec2(ui.available_width(), 0.0)),
                );
                let r = r.on_hover_text(e.tip);
                if r.clicked() || (entered && i == *chosen) {
                    tray.put(Action::Run(e.command));
                    keep = false;
                }
                if i == *chosen && (down || up) {
                    r.scroll_to_me(None);
                }
            }
            if fits.is_empty() {
                ui.colored_label(bench.palette.dim, "Nothing is called that.");
            }
        });
    keep
}
