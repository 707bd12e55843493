//! The string line: one knot per phase, filling as its checks are done; a bar across it at every
//! hold point that a later phase waits for.

use build::PhaseStudy;
use eframe::egui::{
    self, Align2, CursorIcon, Pos2, Rect, Role, Sense, Stroke, WidgetInfo, pos2, vec2,
};

use super::bench::{Action, Bench, Tray};
use super::command::Command;
use super::theme::{bold, plain};

const ROW: f32 = 42.0;
const KNOT: f32 = 8.5;
const STRING_X: f32 = 24.0;

/// The rail of phases; `current` is the id of the one shown.
pub fn show(ui: &mut egui::Ui, bench: &Bench<'_>, current: &str, tray: &mut Tray) {
    egui::ScrollArea::vertical()
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let top = ui.cursor().top();
            let count = bench.build.phases.len();
            let holds = holds_waited_for(bench);
            let heights: Vec<f32> = holds
                .iter()
                .map(|h| if h.is_some() { ROW + 12.0 } else { ROW })
                .collect();
            let bottom = top + heights.iter().sum::<f32>();
            let x = ui.max_rect().left() + STRING_X;
            ui.painter().vline(
                x,
                top + 6.0..=bottom - 6.0,
                Stroke::new(1.5, bench.palette.dim),
            );
            for (i, study) in bench.study.phases.iter().enumerate().take(count) {
                knot_row(
                    ui,
                    bench,
                    i,
                    study,
                    current,
                    holds[i].as_deref(),
                    heights[i],
                    tray,
                );
            }
            ui.add_space(8.0);
            ui.horizontal(|ui| {
                ui.add_space(STRING_X - 10.0);
                let add = ui
                    .add(egui::Button::new("+").small())
                    .on_hover_text(Command::AddPhase.entry().tip);
                add.widget_info(|| {
                    WidgetInfo::labeled(Role::Button, true, Command::AddPhase.entry().label)
                });
                if add.clicked() {
                    tray.put(Action::Run(Command::AddPhase));
                }
            });
        });
}

/// For each phase, the short name of its hold point that a later phase waits for.
fn holds_waited_for(bench: &Bench<'_>) -> Vec<Option<String>> {
    let waited: Vec<&String> = bench
        .build
        .phases
        .iter()
        .flat_map(|p| &p.waits_for)
        .collect();
    let named = |p: &build::Phase, c: &build::Check| format!("{}/{}", p.id, c.id);
    bench
        .build
        .phases
        .iter()
        .map(|p| {
            let hold = p
                .checks
                .iter()
                .find(|c| c.hold && waited.iter().any(|w| **w == named(p, c)))?;
            Some(hold.id.replace('_', " "))
        })
        .collect()
}

#[expect(
    clippy::too_many_arguments,
    reason = "one row of one list; a struct would only rename them"
)]
fn knot_row(
    ui: &mut egui::Ui,
    bench: &Bench<'_>,
    index: usize,
    study: &PhaseStudy,
    current: &str,
    hold: Option<&str>,
    height: f32,
    tray: &mut Tray,
) {
    let p = bench.palette;
    let phase = &bench.build.phases[index];
    let is_current = phase.id == current;
    let waiting = !study.waits.is_empty();
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click());
    let response = response.on_hover_cursor(CursorIcon::PointingHand);
    let row = Rect::from_min_size(rect.min, vec2(rect.width(), ROW));
    let state = if waiting {
        "waits for a hold point".to_owned()
    } else {
        format!("{} / {}", study.done, study.total)
    };
    response.widget_info(|| {
        let mut info = WidgetInfo::selected(
            Role::Tab,
            true,
            is_current,
            format!("Phase {}", phase.title),
        );
        info.current_text_value = Some(state.clone());
        info
    });
    if response.clicked() {
        tray.put(Action::Phase(phase.id.clone()));
        response.request_focus();
    }
    let painter = ui.painter();
    if is_current || response.hovered() || response.has_focus() {
        painter.rect_filled(row.shrink2(vec2(4.0, 1.0)), 4, p.field);
    }
    if is_current || response.has_focus() {
        let bar = Rect::from_min_size(row.left_top() + vec2(4.0, 1.0), vec2(2.5, ROW - 2.0));
        painter.rect_filled(bar, 0, p.accent);
    }
    let centre = pos2(row.left() + STRING_X, row.center().y);
    let share = if study.total == 0 {
        0.0
    } else {
        study.done as f32 / study.total as f32
    };
    knot(painter, centre, share, waiting, bench);
    let x = centre.x + 20.0;
    let wide = row.right() - x - 6.0;
    let ink = if waiting && !is_current { p.dim } else { p.ink };
    let font = if is_current { bold(13.0) } else { plain(13.0) };
    super::draw::text_fit(
        painter,
        pos2(x, row.center().y - 7.5),
        Align2::LEFT_CENTER,
        &phase.title,
        font,
        ink,
        wide,
    );
    super::draw::text_fit(
        painter,
        pos2(x, row.center().y + 8.5),
        Align2::LEFT_CENTER,
        &state,
        plain(11.0),
        p.dim,
        wide,
    );
    if let Some(name) = hold {
        let y = row.bottom() + 4.0;
        let stroke = Stroke::new(2.5, p.accent);
        painter.line_segment([pos2(centre.x - 11.0, y), pos2(centre.x + 11.0, y)], stroke);
        super::draw::text_fit(
            painter,
            pos2(x, y),
            Align2::LEFT_CENTER,
            name,
            plain(11.0),
            p.accent,
            wide,
        );
    }
    if waiting {
        let why: Vec<String> = study
            .waits
            .iter()
            .map(|w| format!("{}: {}", w.phase, w.check))
            .collect();
        response.on_hover_text(format!("Waits for\n{}", why.join("\n")));
    }
}

/// A knot filled by its share, with a tick when whole.
fn knot(painter: &egui::Painter, centre: Pos2, share: f32, waiting: bool, bench: &Bench<'_>) {
    let p = bench.palette;
    let line = if waiting { p.dim } else { p.chalk };
    painter.circle(centre, KNOT, p.panel, Stroke::new(1.5, line));
    if share >= 1.0 {
        painter.circle_filled(centre, KNOT, line);
        let tick = [
            centre + vec2(-4.0, 0.5),
            centre + vec2(-1.0, 3.5),
            centre + vec2(4.5, -3.5),
        ];
        painter.line(tick.to_vec(), Stroke::new(2.0, p.panel));
    } else if share > 0.0 {
        // From twelve o'clock, the way a dial fills.
        let steps = (share * 32.0).ceil().max(2.0) as usize;
        let mut points = vec![centre];
        for k in 0..=steps {
            let a = share * std::f32::consts::TAU * k as f32 / steps as f32;
            points.push(centre + vec2(a.sin(), -a.cos()) * (KNOT - 1.0));
        }
        let mut mesh = egui::Mesh::default();
        for q in &points {
            mesh.colored_vertex(*q, line);
        }
        for k in 1..points.len() as u32 - 1 {
            mesh.add_triangle(0, k, k + 1);
        }
        painter.add(mesh);
    }
}
