//! The best combinations, row by row: only the rows in sight are laid out.

use build::{Definition, Figure, HoleOutcome, HolePlan, figure_of, reading_of};
use eframe::egui::{
    self, Align2, EventFilter, Id, Key, Modifiers, Rect, Role, Sense, Stroke, StrokeKind, Ui,
    WidgetInfo, pos2, vec2,
};

use super::super::bench::Bench;
use super::super::draw::text_fit;
use super::super::theme::{bold, plain};
use super::words;

const ROW: f32 = 22.0;
const RANK: f32 = 62.0;
const DISTANCE: f32 = 66.0;
const FIGURE: f32 = 86.0;
/// Room at the left of every cell.
const PAD: f32 = 6.0;

/// Where the table stands between frames.
#[derive(Debug, Default)]
pub(super) struct Table {
    /// Row that the keys are at.
    cursor: usize,
    /// How far it is scrolled, and how much of it is seen.
    offset: f32,
    seen: f32,
    /// Where it is to be scrolled to, so that the cursor is in sight.
    follow: Option<f32>,
}

struct Column {
    title: &'static str,
    wide: f32,
    what: What,
}

#[derive(Clone, Copy, PartialEq)]
enum What {
    Rank,
    Distance,
    Holes,
    Figure(Figure, &'static Definition),
}

/// A name short enough for the head of a column.
fn short(figure: Figure) -> &'static str {
    match figure {
        Figure::AntiSquat => "Anti-squat",
        Figure::AntiLift => "Anti-lift",
        Figure::IcStation => "IC ahead",
        Figure::IcHeight => "IC up",
        Figure::SwingArmLength => "Swing arm",
        Figure::SwingArmHeight => "Arm up",
        Figure::RollSteer => "Roll steer",
        Figure::RollCentreHeight => "Roll centre",
        Figure::RollAxisSlope => "Roll axis",
        Figure::PinionChange => "Pinion",
        Figure::BindStretch => "Bind",
        Figure::Recession => "Recession",
    }
}

/// The figures in the table: those with a band, or the first three where there is none.
fn figures(plan: &HolePlan) -> Vec<(Figure, &'static Definition)> {
    let with_band = |f: &Figure| {
        plan.build()
            .targets
            .iter()
            .any(|t| figure_of(&t.reading) == Some(*f))
    };
    let mut shown: Vec<Figure> = Figure::ALL.into_iter().filter(with_band).collect();
    if shown.is_empty() {
        shown = vec![Figure::AntiSquat, Figure::IcStation, Figure::IcHeight];
    }
    shown
        .into_iter()
        .filter_map(|f| Some((f, reading_of(f)?)))
        .collect()
}

impl Table {
    /// Draws the table; returns the combination that was clicked or entered.
    pub(super) fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        plan: &HolePlan,
        outcome: &HoleOutcome,
        stale: bool,
    ) -> Option<u64> {
        let p = bench.palette;
        let rows = outcome.best.len();
        if rows == 0 {
            ui.label(
                egui::RichText::new("No combination is left to list.")
                    .font(plain(12.0))
                    .color(p.dim),
            );
            return None;
        }
        self.cursor = self.cursor.min(rows - 1);
        let columns = columns(ui, plan, outcome);
        let wide: f32 = columns.iter().map(|c| c.wide).sum();
        let id = Id::unique(("holes table", bench.generation));
        let (head, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
        let entered = self.keys(ui, id, rows);
        let mut picked = entered.then_some(self.cursor);
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
        let now = &outcome.best[self.cursor];
        focus.widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::Table, true, "Best combinations");
            info.current_text_value = Some(format!(
                "{}: {}",
                self.cursor + 1,
                words::holes(plan, now.index)
            ));
            info
        });
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        let mut area = egui::ScrollArea::both()
            .id_salt(("holes rows", bench.generation))
            .auto_shrink(false);
        if let Some(to) = self.follow {
            area = area.vertical_scroll_offset(to);
        }
        let out = area.show_rows(ui, ROW, rows, |ui, range| {
            ui.set_width(wide.max(ui.available_width()));
            for i in range {
                if self.row(ui, bench, plan, outcome, i, &columns, focus.has_focus()) {
                    picked = Some(i);
                }
            }
        });
        self.offset = out.state.clamped_offset().y;
        self.seen = out.inner_rect.height();
        self.follow = None;
        let painter = ui.painter().with_clip_rect(head.expand2(vec2(2.0, 0.0)));
        let mut x = head.left() - out.state.clamped_offset().x;
        for c in &columns {
            let at = pos2(x + PAD, head.center().y);
            text_fit(
                &painter,
                at,
                Align2::LEFT_CENTER,
                c.title,
                bold(12.0),
                p.ink,
                c.wide - PAD,
            );
            x += c.wide;
        }
        painter.hline(head.x_range(), head.bottom(), Stroke::new(1.0, p.field));
        if focus.has_focus() {
            ui.painter()
                .rect_stroke(body, 2, Stroke::new(1.0, p.accent), StrokeKind::Inside);
        }
        if let Some(i) = picked {
            self.cursor = i;
            if !stale {
                ui.memory_mut(|m| m.request_focus(id));
            }
        }
        picked.and_then(|i| outcome.best.get(i)).map(|f| f.index)
    }

    /// Arrow keys move, Home and End go to the ends, Enter tries.
    fn keys(&mut self, ui: &Ui, id: Id, rows: usize) -> bool {
        if !ui.memory(|m| m.has_focus(id)) {
            return false;
        }
        let before = self.cursor;
        let page = ((self.seen / ROW) as usize).max(1);
        let entered = ui.input_mut(|i| {
            let mut pressed = |k| i.count_and_consume_key(Modifiers::NONE, k);
            let down = pressed(Key::ArrowDown) + page * pressed(Key::PageDown);
            let up = pressed(Key::ArrowUp) + page * pressed(Key::PageUp);
            self.cursor = (self.cursor + down).saturating_sub(up).min(rows - 1);
            if pressed(Key::Home) > 0 {
                self.cursor = 0;
            }
            if pressed(Key::End) > 0 {
                self.cursor = rows - 1;
            }
            pressed(Key::Enter) > 0
        });
        if self.cursor != before {
            // Scrolled just so far that the row is in sight.
            let top = self.cursor as f32 * ROW;
            let lowest = top + ROW - self.seen;
            if top < self.offset {
                self.follow = Some(top);
            } else if lowest > self.offset {
                self.follow = Some(lowest.max(0.0));
            }
        }
        entered
    }

    #[expect(clippy::too_many_arguments, reason = "one row of one table")]
    fn row(
        &self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        plan: &HolePlan,
        outcome: &HoleOutcome,
        i: usize,
        columns: &[Column],
        focused: bool,
    ) -> bool {
        let p = bench.palette;
        let (rect, r) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::CLICK);
        let Some(found) = outcome.best.get(i) else {
            return false;
        };
        let holes = words::holes(plan, found.index);
        let bolted = words::is_bolted(bench, plan, found.index);
        r.widget_info(|| {
            let mut info =
                WidgetInfo::selected(Role::Row, true, bolted, format!("Combination {}", i + 1));
            info.current_text_value = Some(format!(
                "{holes}, distance {:.2}{}",
                found.distance,
                if bolted { ", bolted up now" } else { "" }
            ));
            info
        });
        let painter = ui.painter().with_clip_rect(ui.clip_rect());
        if bolted {
            painter.rect_filled(rect, 2, p.faint(p.band, 0.8));
        } else if i % 2 == 1 {
            painter.rect_filled(rect, 0, p.faint(p.panel, 0.6));
        }
        if r.hovered() || (focused && i == self.cursor) {
            painter.rect_filled(rect, 2, p.field);
        }
        if bolted {
            let bar = Rect::from_min_size(rect.min, vec2(3.0, rect.height()));
            painter.rect_filled(bar, 0, p.accent);
        }
        let mut x = rect.left();
        for c in columns {
            let (text, font, colour) = match c.what {
                What::Rank if bolted => (format!("{} · now", i + 1), bold(12.0), p.ink),
                What::Rank => ((i + 1).to_string(), plain(12.0), p.dim),
                What::Distance => (format!("{:.2}", found.distance), plain(12.0), p.ink),
                What::Holes => (holes.clone(), plain(12.0), p.ink),
                What::Figure(f, d) => {
                    let text = found.figures.get(f);
                    let text = text.map_or_else(|| "—".to_owned(), |v| d.display(v, bench.shop()));
                    (text, plain(12.0), p.ink)
                }
            };
            let at = pos2(x + PAD, rect.center().y);
            text_fit(
                &painter,
                at,
                Align2::LEFT_CENTER,
                &text,
                font,
                colour,
                c.wide - PAD,
            );
            x += c.wide;
        }
        r.on_hover_text(if bolted {
            "Bolted up now".to_owned()
        } else {
            format!("Bolt up {holes}")
        })
        .clicked()
    }
}

fn columns(ui: &Ui, plan: &HolePlan, outcome: &HoleOutcome) -> Vec<Column> {
    // All are about as long: the widest numbers make the room.
    let text = words::holes(plan, outcome.best.last().map_or(0, |f| f.index));
    let galley = ui
        .painter()
        .layout_no_wrap(text, plain(12.0), egui::Color32::PLACEHOLDER);
    let mut all = vec![
        Column {
            title: "Rank",
            wide: RANK,
            what: What::Rank,
        },
        Column {
            title: "Distance",
            wide: DISTANCE,
            what: What::Distance,
        },
        Column {
            title: "Holes: F frame, A axle",
            wide: (galley.size().x + 24.0).max(150.0),
            what: What::Holes,
        },
    ];
    all.extend(figures(plan).into_iter().map(|(f, d)| Column {
        title: short(f),
        wide: FIGURE,
        what: What::Figure(f, d),
    }));
    all
}
