//! "Before you leave this phase": its checks, what was recorded, and a row of ways to record more.

use build::{Check, CheckKind, CheckState, Edit, Mark, Phase, PhaseStudy};
use eframe::egui::{
    self, CursorIcon, Rect, Role, Sense, Stroke, StrokeKind, WidgetInfo, pos2, vec2,
};
use units::Quantity;

use super::bench::{Action, Bench, Tray};
use super::clock;
use super::command::Command;
use super::dialog::Dialog;
use super::theme::{bold, plain};

/// The checklist of a phase.
pub fn show(
    ui: &mut egui::Ui,
    bench: &Bench<'_>,
    phase: &Phase,
    study: &PhaseStudy,
    tray: &mut Tray,
) {
    ui.horizontal(|ui| {
        ui.label(egui::RichText::new("Before you leave this phase").font(bold(13.0)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(
                egui::RichText::new(format!("{} of {}", study.done, study.total))
                    .color(bench.palette.dim),
            );
        });
    });
    if let Some(wait) = study.waits.first() {
        ui.colored_label(
            bench.palette.accent,
            format!("Waits for {}: {}", wait.phase, wait.check),
        );
    }
    ui.spacing_mut().item_spacing.y = 3.0;
    for (check, state) in phase.checks.iter().zip(&study.checks) {
        row(ui, bench, phase, check, &state.state, tray);
    }
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        for command in [Command::AddCheck, Command::EditPhase] {
            let e = command.entry();
            if ui.button(e.label).on_hover_text(e.tip).clicked() {
                tray.put(Action::Run(command));
            }
        }
    });
    ui.horizontal(|ui| {
        ui.label(
            egui::RichText::new("Ticks are signed by")
                .font(plain(12.0))
                .color(bench.palette.dim),
        );
        let mut settings = bench.settings.clone();
        let r = ui.add(
            egui::TextEdit::singleline(&mut settings.who)
                .hint_text("initials")
                .desired_width(64.0),
        );
        r.widget_info(|| WidgetInfo::labeled(Role::TextInput, true, "Your initials"));
        if r.changed() {
            tray.put(Action::Prefer(settings));
        }
    });
}

fn row(
    ui: &mut egui::Ui,
    bench: &Bench<'_>,
    phase: &Phase,
    check: &Check,
    state: &CheckState,
    tray: &mut Tray,
) {
    let p = bench.palette;
    let passed = *state == CheckState::Passed;
    let width = ui.available_width();
    let text_width = (width - 62.0).max(60.0);
    let ink = if passed || check.hold { p.ink } else { p.dim };
    let label = ui
        .painter()
        .layout(check.label.clone(), plain(12.5), ink, text_width);
    let (sub, sub_colour) = under_line(bench, check, state);
    let sub = ui
        .painter()
        .layout(sub, plain(11.0), sub_colour, text_width);
    let under = if sub.text().is_empty() {
        0.0
    } else {
        sub.size().y
    };
    let height = (label.size().y + under + 4.0).max(24.0);
    let (rect, _) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let id = ui.scope_id().with(("check", &phase.id, &check.id));

    let is_rule = matches!(check.kind, CheckKind::Rule { .. });
    let hit = Rect::from_min_max(rect.min, pos2(rect.right() - 34.0, rect.bottom()));
    let response = ui.interact(hit, id, Sense::click());
    response.widget_info(|| {
        let mut info = WidgetInfo::selected(Role::CheckBox, !is_rule, passed, &check.label);
        info.current_text_value = Some(sub.text().to_owned());
        info
    });
    let response = if is_rule {
        response
    } else {
        response.on_hover_cursor(CursorIcon::PointingHand)
    };
    if response.clicked() {
        response.request_focus();
        match &check.kind {
            CheckKind::Tick => tray.edit(tick(bench, phase, check, !passed)),
            CheckKind::Measure { .. } => tray.put(Action::Ask(Dialog::record(phase, check))),
            CheckKind::Rule { readings } => {
                if let Some(id) = readings.first() {
                    tray.put(Action::Select(build::Part::Reading(id.clone())));
                }
            }
        }
    }
    let painter = ui.painter();
    let marked = matches!(bench.selected, Some(build::Part::Check(a, b)) if *a == phase.id && *b == check.id);
    if response.hovered() || response.has_focus() || marked {
        painter.rect_filled(
            rect.expand2(vec2(4.0, 0.0)),
            4,
            p.field.gamma_multiply(if marked { 1.0 } else { 0.6 }),
        );
    }
    draw_box(
        painter,
        pos2(rect.left() + 8.0, rect.top() + 9.0),
        check,
        state,
        bench,
    );
    let x = rect.left() + 26.0;
    let y = rect.top() + 1.0;
    let drop = label.size().y;
    painter.galley(pos2(x, y), label, ink);
    painter.galley(pos2(x, y + drop + 1.0), sub, sub_colour);

    let more = Rect::from_center_size(
        pos2(rect.right() - 14.0, rect.top() + 10.0),
        vec2(26.0, 20.0),
    );
    // A child of its own: `put` would move the list's cursor back into this row.
    let mut corner = ui.new_child(egui::UiBuilder::new().max_rect(more));
    let more = corner.add(egui::Button::new("…").frame(false));
    more.widget_info(|| {
        WidgetInfo::labeled(Role::Button, true, format!("More about {}", check.label))
    });
    egui::Popup::menu(&more)
        .width(300.0)
        .show(|ui| menu(ui, bench, phase, check, tray));
}

fn tick(bench: &Bench<'_>, phase: &Phase, check: &Check, done: bool) -> Edit {
    Edit::Mark {
        phase: phase.id.clone(),
        check: check.id.clone(),
        mark: Mark {
            done,
            who: bench.settings.who.clone(),
            when: clock::now(),
            note: String::new(),
            value: None,
        },
    }
}

/// The small line under a check.
fn under_line(bench: &Bench<'_>, check: &Check, state: &CheckState) -> (String, egui::Color32) {
    let p = bench.palette;
    let mark = check.last_mark().filter(|m| m.done);
    let by = mark.map(|m| {
        let value = m
            .value
            .map(|q| bench.kept(q.kind, q.si) + " · ")
            .unwrap_or_default();
        let note = if m.note.is_empty() {
            String::new()
        } else {
            format!(" · {}", m.note)
        };
        format!("{value}{} {}{note}", m.who, short_date(&m.when))
            .trim()
            .to_owned()
    });
    match state {
        CheckState::Passed => match &check.kind {
            CheckKind::Rule { .. } => ("rule: passes".to_owned(), p.good),
            _ => (by.unwrap_or_default(), p.dim),
        },
        CheckState::Failed(miss) => {
            let why = miss.words().show(bench.shop());
            let by = by.map(|b| b + " · ").unwrap_or_default();
            let prefix = if matches!(check.kind, CheckKind::Rule { .. }) {
                "rule fails: "
            } else {
                ""
            };
            (format!("{by}! {prefix}{why}"), p.bad)
        }
        CheckState::Unknown { why, .. } => (format!("rule: {why}"), p.dim),
        CheckState::Open => match &check.kind {
            CheckKind::Measure { low, high } => (
                format!("measure: {}", limits(bench, low.as_ref(), high.as_ref())),
                p.dim,
            ),
            _ if check.hold => ("hold point".to_owned(), p.accent),
            _ if !check.caution.is_empty() => (check.caution.clone(), p.dim),
            _ => (String::new(), p.dim),
        },
    }
}

/// Limits in words: "± 1/16", "at least …", "… to …".
pub(super) fn limits(bench: &Bench<'_>, low: Option<&Quantity>, high: Option<&Quantity>) -> String {
    let show = |q: &Quantity| bench.kept(q.kind, q.si);
    match (low, high) {
        (Some(l), Some(h)) if (l.si + h.si).abs() < 1e-12 => format!("± {}", show(h)),
        (Some(l), Some(h)) => format!("{} to {}", show(l), show(h)),
        (Some(l), None) => format!("at least {}", show(l)),
        (None, Some(h)) => format!("at most {}", show(h)),
        (None, None) => "write down the value".to_owned(),
    }
}

/// "2026-11-14 09:20" as "14 Nov".
pub(super) fn short_date(when: &str) -> String {
    const MONTHS: [&str; 12] = [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ];
    let mut parts = when.get(..10).unwrap_or(when).split('-');
    let (_, month, day) = (parts.next(), parts.next(), parts.next());
    match (
        month.and_then(|m| m.parse::<usize>().ok()),
        day.and_then(|d| d.parse::<u8>().ok()),
    ) {
        (Some(m @ 1..=12), Some(d)) => format!("{d} {}", MONTHS[m - 1]),
        _ => when.to_owned(),
    }
}

fn draw_box(
    painter: &egui::Painter,
    centre: egui::Pos2,
    check: &Check,
    state: &CheckState,
    bench: &Bench<'_>,
) {
    let p = bench.palette;
    let colour = match state {
        CheckState::Passed if matches!(check.kind, CheckKind::Rule { .. }) => p.good,
        CheckState::Passed => p.chalk,
        CheckState::Failed(_) => p.bad,
        _ if check.hold => p.accent,
        _ => p.dim,
    };
    let r = Rect::from_center_size(centre, vec2(15.0, 15.0));
    painter.rect_stroke(r, 3, Stroke::new(1.5, colour), StrokeKind::Inside);
    let at = |x: f32, y: f32| centre + vec2(x, y);
    let pen = Stroke::new(1.8, colour);
    match state {
        CheckState::Passed => {
            painter.line(vec![at(-4.0, 0.0), at(-1.0, 3.5), at(4.5, -3.5)], pen);
        }
        CheckState::Failed(_) => {
            painter.line_segment([at(-3.5, -3.5), at(3.5, 3.5)], pen);
            painter.line_segment([at(-3.5, 3.5), at(3.5, -3.5)], pen);
        }
        _ => {}
    }
}

fn menu(ui: &mut egui::Ui, bench: &Bench<'_>, phase: &Phase, check: &Check, tray: &mut Tray) {
    ui.label(egui::RichText::new(&check.label).font(bold(13.0)));
    if !check.caution.is_empty() {
        ui.colored_label(bench.palette.bad, &check.caution);
    }
    match &check.kind {
        CheckKind::Measure { low, high } => {
            ui.label(limits(bench, low.as_ref(), high.as_ref()));
        }
        CheckKind::Rule { readings } => {
            ui.label(format!("Passes when in band: {}", readings.join(", ")));
        }
        CheckKind::Tick => {}
    }
    ui.separator();
    if !matches!(check.kind, CheckKind::Rule { .. }) && ui.button("Record with a note…").clicked()
    {
        tray.put(Action::Ask(Dialog::record(phase, check)));
    }
    if ui.button("Change…").clicked() {
        tray.put(Action::Ask(Dialog::check(phase, Some(check))));
    }
    let index = phase
        .checks
        .iter()
        .position(|c| c.id == check.id)
        .unwrap_or(0);
    for (label, to, possible) in [
        ("Move up", index.wrapping_sub(1), index > 0),
        ("Move down", index + 1, index + 1 < phase.checks.len()),
    ] {
        if ui.add_enabled(possible, egui::Button::new(label)).clicked() {
            tray.edit(Edit::MoveCheck {
                phase: phase.id.clone(),
                check: check.id.clone(),
                to,
            });
        }
    }
    if ui.button("Remove").clicked() {
        tray.edit(Edit::RemoveCheck {
            phase: phase.id.clone(),
            check: check.id.clone(),
        });
    }
    if !check.marks.is_empty() {
        ui.separator();
        for m in check.marks.iter().rev().take(8) {
            let word = if m.done { "recorded" } else { "taken back" };
            let value = m
                .value
                .map(|q| bench.kept(q.kind, q.si) + " ")
                .unwrap_or_default();
            let line = format!("{} {word} {value}{} {}", m.when, m.who, m.note);
            ui.label(
                egui::RichText::new(line.trim_end())
                    .small()
                    .color(bench.palette.dim),
            );
        }
    }
}
