//! The runs, row by row: only the rows in sight are laid out.

use build::{RunEdit, RunRecord};
use eframe::egui::{
    self, Align2, Checkbox, EventFilter, Id, Key, Modifiers, Rect, Role, Sense, Stroke, StrokeKind,
    Ui, UiBuilder, WidgetInfo, pos2, vec2,
};

use super::super::bench::{Bench, Tray};
use super::super::draw::text_fit;
use super::super::theme::{bold, plain};
use super::view::{Column, Figure, Run, Shown, Sort};
use super::words::{self, NONE};

pub(super) const ROW: f32 = 23.0;
/// Room at the left of every cell.
const PAD: f32 = 6.0;

const COLUMNS: [(Column, &str, f32); 12] = [
    (Column::Run, "Run", 72.0),
    (Column::When, "When", 142.0),
    (Column::Figure(Figure::Sixty), "60 ft", 58.0),
    (Column::Figure(Figure::Eighth), "Eighth", 64.0),
    (Column::Figure(Figure::Quarter), "Quarter", 70.0),
    (Column::Figure(Figure::Speed), "Speed", 92.0),
    (Column::Predicted, "Predicted", 80.0),
    (Column::Off, "Off", 56.0),
    (Column::Counts, "Counts", 64.0),
    (Column::Seen, "Seen", 128.0),
    (Column::Changed, "Since the run before", 250.0),
    (Column::Place, "Place", 190.0),
];

/// Where the table stands between frames.
#[derive(Debug, Default)]
pub(super) struct Table {
    /// How far it is scrolled, and how much of it is seen.
    offset: egui::Vec2,
    seen: f32,
    /// Where it is to be scrolled to, so that the chosen run is in sight.
    follow: Option<f32>,
    /// The run that was last brought in sight.
    brought: Option<String>,
}

impl Table {
    pub fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        shown: &Shown<'_>,
        sort: &mut Sort,
        chosen: &mut Option<String>,
        tray: &mut Tray,
    ) {
        let p = bench.palette;
        let wide: f32 = COLUMNS.iter().map(|c| c.2).sum();
        let (head, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
        let sorted = *sort;
        self.heads(ui, bench, head, sort);
        let turned = *sort != sorted;
        if shown.rows.is_empty() {
            words::say_in(ui, p.dim, "No run is left: show all, or look for less.");
            return;
        }
        let id = Id::unique(("runs table", bench.generation));
        self.keys(ui, id, shown, chosen);
        self.bring(shown, chosen.as_deref());
        let body = ui.available_rect_before_wrap();
        let focus = ui.interact(body, id, Sense::focusable_noninteractive());
        if focus.has_focus() {
            ui.memory_mut(|m| {
                let filter = EventFilter {
                    vertical_arrows: true,
                    ..Default::default()
                };
                m.set_focus_lock_filter(id, filter);
            });
        }
        focus.widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::Table, true, "Runs");
            info.current_text_value = chosen.clone();
            info
        });
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        let mut area = egui::ScrollArea::both()
            .id_salt(("runs rows", bench.generation))
            .auto_shrink(false);
        if let Some(to) = self.follow.take() {
            area = area.vertical_scroll_offset(to);
        }
        let mut clicked = None;
        let out = area.show_rows(ui, ROW, shown.rows.len(), |ui, range| {
            ui.set_width(wide.max(ui.available_width()));
            for i in range {
                let Some(run) = shown.rows.get(i) else { break };
                let is = chosen.as_deref() == Some(run.record.id.as_str());
                if row(ui, bench, run, i, is, tray) {
                    clicked = Some(run.record.id.clone());
                }
            }
        });
        let offset = out.state.clamped_offset();
        if offset != self.offset {
            // The heads stand over their columns in the next frame.
            self.offset = offset;
            ui.ctx().request_repaint();
        }
        self.seen = out.inner_rect.height();
        if focus.has_focus() {
            ui.painter()
                .rect_stroke(body, 2, Stroke::new(1.0, p.accent), StrokeKind::Inside);
        }
        if clicked.is_some() {
            self.brought.clone_from(&clicked);
            *chosen = clicked;
            ui.memory_mut(|m| m.request_focus(id));
        }
        if turned {
            // The rows turn in the next frame; the run in hand stays in sight wherever it goes.
            self.brought = None;
            ui.ctx().request_repaint();
        }
    }

    fn heads(&self, ui: &mut Ui, bench: &Bench<'_>, head: Rect, sort: &mut Sort) {
        let p = bench.palette;
        let mut all = ui.new_child(UiBuilder::new().max_rect(head).id_salt("run heads"));
        all.set_clip_rect(head.intersect(ui.clip_rect()));
        let mut x = head.left() - self.offset.x;
        for (column, title, wide) in COLUMNS {
            let rect = Rect::from_min_size(pos2(x, head.top()), vec2(wide, head.height()));
            x += wide;
            if !rect.intersects(head) {
                continue;
            }
            let at = rect.left_center() + vec2(PAD, 0.0);
            if column == Column::Changed {
                let painter = all.painter();
                let room = wide - PAD;
                text_fit(
                    painter,
                    at,
                    Align2::LEFT_CENTER,
                    title,
                    bold(12.0),
                    p.ink,
                    room,
                );
                continue;
            }
            let r = all.interact(rect, all.scope_id().with(title), Sense::click());
            let is = sort.by == column;
            let way = if sort.down {
                "most first"
            } else {
                "least first"
            };
            r.widget_info(|| {
                let name = format!("Sort by {}", title.to_lowercase());
                let mut info = WidgetInfo::selected(Role::Button, true, is, name);
                info.current_text_value = is.then(|| way.to_owned());
                info
            });
            if r.clicked() {
                let down = is && !sort.down;
                *sort = Sort { by: column, down };
            }
            let mark = match (is, sort.down) {
                (false, _) => "",
                (true, false) => " ▴",
                (true, true) => " ▾",
            };
            let text = format!("{title}{mark}");
            let colour = if r.hovered() || r.has_focus() {
                p.accent
            } else {
                p.ink
            };
            let painter = all.painter();
            text_fit(
                painter,
                at,
                Align2::LEFT_CENTER,
                &text,
                bold(12.0),
                colour,
                wide - PAD,
            );
            if r.has_focus() {
                let line = Stroke::new(1.0, p.accent);
                painter.rect_stroke(rect.shrink(1.0), 2, line, StrokeKind::Inside);
            }
        }
        let line = Stroke::new(1.0, p.field);
        ui.painter().hline(head.x_range(), head.bottom(), line);
    }

    /// Arrow keys move, Home and End go to the ends.
    fn keys(&mut self, ui: &Ui, id: Id, shown: &Shown<'_>, chosen: &mut Option<String>) {
        if !ui.memory(|m| m.has_focus(id)) || shown.rows.is_empty() {
            return;
        }
        let is = |r: &Run<'_>| chosen.as_deref() == Some(r.record.id.as_str());
        let before = shown.rows.iter().position(is).unwrap_or(0);
        let last = shown.rows.len() - 1;
        let page = ((self.seen / ROW) as usize).max(1);
        let now = ui.input_mut(|i| {
            let mut pressed = |k| i.count_and_consume_key(Modifiers::NONE, k);
            let down = pressed(Key::ArrowDown) + page * pressed(Key::PageDown);
            let up = pressed(Key::ArrowUp) + page * pressed(Key::PageUp);
            let mut now = (before + down).saturating_sub(up).min(last);
            if pressed(Key::Home) > 0 {
                now = 0;
            }
            if pressed(Key::End) > 0 {
                now = last;
            }
            now
        });
        if now != before {
            *chosen = shown.rows.get(now).map(|r| r.record.id.clone());
        }
    }

    /// Scrolls just so far that a run newly in hand is in sight.
    fn bring(&mut self, shown: &Shown<'_>, chosen: Option<&str>) {
        if self.brought.as_deref() == chosen || self.seen <= 0.0 {
            return;
        }
        self.brought = chosen.map(str::to_owned);
        let is = |r: &Run<'_>| chosen == Some(r.record.id.as_str());
        let Some(at) = shown.rows.iter().position(is) else {
            return;
        };
        let top = at as f32 * ROW;
        let lowest = top + ROW - self.seen;
        if top < self.offset.y {
            self.follow = Some(top);
        } else if lowest > self.offset.y {
            self.follow = Some(lowest.max(0.0));
        }
    }
}

/// A row; true when it was clicked.
fn row(
    ui: &mut Ui,
    bench: &Bench<'_>,
    run: &Run<'_>,
    place: usize,
    chosen: bool,
    tray: &mut Tray,
) -> bool {
    let p = bench.palette;
    let (rect, r) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::CLICK);
    r.widget_info(|| {
        let name = format!("Run {}", run.record.id);
        let mut info = WidgetInfo::selected(Role::Row, true, chosen, name);
        info.current_text_value = Some(spoken(bench, run));
        info
    });
    let painter = ui.painter().with_clip_rect(ui.clip_rect());
    if place % 2 == 1 {
        painter.rect_filled(rect, 0, p.faint(p.panel, 0.6));
    }
    if run.best {
        painter.rect_filled(rect, 2, p.faint(p.band, 0.8));
    }
    if chosen || r.hovered() {
        painter.rect_filled(rect, 2, p.field);
    }
    if chosen {
        let bar = Rect::from_min_size(rect.min, vec2(3.0, rect.height()));
        painter.rect_filled(bar, 0, p.accent);
    }
    let mut x = rect.left();
    for (column, _, wide) in COLUMNS {
        let at = pos2(x + PAD, rect.center().y);
        let cell = Rect::from_min_size(pos2(x, rect.top()), vec2(wide, ROW));
        x += wide;
        if column == Column::Counts {
            counts(ui, cell, run.record, tray);
            continue;
        }
        let (text, font, colour) = match column {
            Column::Run if run.best => (format!("{} best", run.record.id), bold(12.0), p.good),
            Column::Off => (text(bench, run, column), bold(12.0), p.ink),
            _ if text(bench, run, column) == NONE => (NONE.to_owned(), plain(12.0), p.dim),
            Column::Predicted => (text(bench, run, column), plain(12.0), p.dim),
            _ => (text(bench, run, column), plain(12.0), p.ink),
        };
        let room = wide - PAD - 4.0;
        text_fit(&painter, at, Align2::LEFT_CENTER, &text, font, colour, room);
    }
    r.on_hover_text(words::since_before(bench, run)).clicked()
}

/// The tick of a run that counts for the friction.
fn counts(ui: &mut Ui, cell: Rect, record: &RunRecord, tray: &mut Tray) {
    let mut learn = record.learn;
    let room = Rect::from_min_size(cell.min + vec2(PAD, 2.0), vec2(20.0, ROW - 4.0));
    let salt = ("counts", &record.id);
    let mut child = ui.new_child(UiBuilder::new().max_rect(room).id_salt(salt));
    // Nothing is learned from a run without a 60 ft time.
    let can = learn || record.times.sixty_foot.is_some();
    let r = child.add_enabled(can, Checkbox::without_text(&mut learn));
    r.widget_info(|| {
        let name = format!("Run {} counts for the friction", record.id);
        WidgetInfo::selected(Role::CheckBox, can, learn, name)
    });
    let r = r.on_disabled_hover_text("It has no 60 ft time");
    if r.on_hover_text("Counts in the friction fit").changed() {
        let mut changed = record.clone();
        changed.learn = learn;
        words::edit(tray, RunEdit::PutRun(changed));
    }
}

fn text(bench: &Bench<'_>, run: &Run<'_>, column: Column) -> String {
    let or_none = |t: Option<String>| t.unwrap_or_else(|| NONE.to_owned());
    match column {
        Column::Run => run.record.id.clone(),
        Column::When => run.record.when.clone(),
        Column::Place => run.record.place.clone(),
        Column::Changed => words::since_before(bench, run),
        Column::Figure(f) => or_none(run.measured(f).map(|v| words::measured(bench, f.kind(), v))),
        Column::Predicted => {
            let f = Figure::Quarter;
            or_none(
                run.predicted(f)
                    .map(|v| words::predicted(bench, f.kind(), v)),
            )
        }
        Column::Off => {
            let f = Figure::Quarter;
            or_none(run.off(f).map(|v| words::off(bench, f.kind(), v)))
        }
        Column::Counts => if run.record.learn { "yes" } else { "no" }.to_owned(),
        Column::Seen => words::seen(&run.record.seen),
    }
}

/// A row for a reader of the screen.
fn spoken(bench: &Bench<'_>, run: &Run<'_>) -> String {
    let mut out = Vec::new();
    if run.best {
        out.push("best run".to_owned());
    }
    for (column, title, _) in COLUMNS {
        let text = text(bench, run, column);
        if column != Column::Run && column != Column::Counts && !text.is_empty() && text != NONE {
            out.push(format!("{} {text}", title.to_lowercase()));
        }
    }
    out.join(", ")
}
