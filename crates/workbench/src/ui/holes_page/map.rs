//! The map: how the combinations spread over two figures, coloured by how near they come.

use std::fmt::Write as _;
use std::sync::Arc;

use build::{
    Build, Definition, Figure, History, HoleMap, HoleOutcome, HolePlan, derive, figure_of,
    reading_of,
};
use eframe::egui::{
    self, Align2, CursorIcon, EventFilter, Key, Modifiers, Painter, Pos2, Rect, Role, Sense,
    Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use units::Shop;

use super::super::bench::Bench;
use super::super::draw::{dashed, text_fit, text_on};
use super::super::theme::{bold, plain};
use super::words;

/// Room for the figures beside the map and under it.
const LEFT: f32 = 46.0;
const BELOW: f32 = 36.0;
const ABOVE: f32 = 18.0;
const LEGEND: f32 = 20.0;

/// What the map remembers between frames.
#[derive(Debug, Default)]
pub(super) struct MapState {
    /// Cell that the keys are at: across, up.
    cursor: Option<[usize; 2]>,
    /// The words of the combination hovered last: they need its whole study.
    hovered: Option<(u64, Shop, Arc<str>)>,
}

/// The map's place on the screen.
struct Sheet<'a> {
    map: &'a HoleMap,
    area: Rect,
    /// Nearest and farthest distance of all cells.
    ends: [f64; 2],
}

impl Sheet<'_> {
    fn cells(&self) -> [usize; 2] {
        [self.map.axes.across.cells, self.map.axes.up.cells]
    }

    fn x(&self, si: f64) -> f32 {
        let a = &self.map.axes.across;
        let share = ((si - a.low) / (a.high - a.low)).clamp(-1.0, 2.0) as f32;
        self.area.left() + share * self.area.width()
    }

    fn y(&self, si: f64) -> f32 {
        let a = &self.map.axes.up;
        let share = ((si - a.low) / (a.high - a.low)).clamp(-1.0, 2.0) as f32;
        self.area.bottom() - share * self.area.height()
    }

    fn rect(&self, [i, j]: [usize; 2]) -> Rect {
        let [n, m] = self.cells();
        let size = vec2(self.area.width() / n as f32, self.area.height() / m as f32);
        let corner = pos2(
            self.area.left() + i as f32 * size.x,
            self.area.bottom() - (j + 1) as f32 * size.y,
        );
        Rect::from_min_size(corner, size)
    }

    fn cell_at(&self, at: Pos2) -> Option<[usize; 2]> {
        if !self.area.contains(at) {
            return None;
        }
        let [n, m] = self.cells();
        let i = (at.x - self.area.left()) / self.area.width() * n as f32;
        let j = (self.area.bottom() - at.y) / self.area.height() * m as f32;
        Some([(i as usize).min(n - 1), (j as usize).min(m - 1)])
    }

    /// 1 for the nearest, 0 for the farthest.
    fn nearness(&self, distance: f64) -> f32 {
        let [low, high] = self.ends;
        if high > low {
            ((high - distance) / (high - low)).clamp(0.0, 1.0) as f32
        } else {
            1.0
        }
    }

    fn kept(&self, [i, j]: [usize; 2]) -> Option<(u64, f64)> {
        self.map.cell(i, j)?.best
    }
}

impl MapState {
    /// Draws the map; returns the combination that was clicked or entered.
    pub(super) fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        plan: &HolePlan,
        outcome: &HoleOutcome,
    ) -> Option<u64> {
        let p = bench.palette;
        let Some(map) = &outcome.map else {
            let text = "No map: fewer than two combinations have both figures.";
            ui.add(egui::Label::new(egui::RichText::new(text).color(p.dim)).wrap());
            return None;
        };
        let (Some(across), Some(up)) = (
            reading_of(map.axes.across.figure),
            reading_of(map.axes.up.figure),
        ) else {
            return None;
        };
        let free = ui.available_rect_before_wrap();
        let area = Rect::from_min_max(
            pos2(free.left() + LEFT, free.top() + ABOVE),
            pos2(free.right() - 8.0, free.bottom() - BELOW - LEGEND),
        );
        if area.width() < 60.0 || area.height() < 40.0 {
            return None;
        }
        let distances = map.cells.iter().filter_map(|c| Some(c.best?.1));
        let ends = distances.fold([f64::INFINITY, f64::NEG_INFINITY], |e, d| {
            [e[0].min(d), e[1].max(d)]
        });
        let sheet = Sheet { map, area, ends };
        let r = ui.allocate_rect(free, Sense::hover());
        let id = r.id.with("map");
        let r = ui.interact(area, id, Sense::click());
        let entered = self.keys(ui, id, &sheet);
        let pointed = r.hover_pos().and_then(|at| sheet.cell_at(at));
        let focused = r.has_focus();
        let painter = ui.painter().with_clip_rect(free);
        draw_axes(&painter, bench, &sheet, across, up);
        let inside = painter.with_clip_rect(area.expand(1.0).intersect(free));
        draw_band(&inside, bench, &sheet);
        draw_cells(&inside, bench, &sheet);
        draw_band_edge(&inside, bench, &sheet);
        draw_now(&inside, bench, &sheet, across, up);
        legend(&painter, bench, &sheet, free);
        let marked = pointed.or(self.cursor.filter(|_| focused));
        if let Some(cell) = marked {
            let stroke = Stroke::new(2.0, p.accent);
            inside.rect_stroke(sheet.rect(cell).expand(1.5), 1, stroke, StrokeKind::Outside);
        }
        if focused {
            painter.rect_stroke(area, 0, Stroke::new(1.5, p.accent), StrokeKind::Outside);
        }
        let kept = marked.and_then(|c| sheet.kept(c));
        r.widget_info(|| {
            let name = format!("Map of {} over {}", up.label, across.label);
            let mut info = WidgetInfo::labeled(Role::Button, true, name);
            info.current_text_value = kept.map(|k| words::holes(plan, k.0));
            info
        });
        if kept.is_some() && pointed.is_some() {
            ui.set_cursor_icon(CursorIcon::PointingHand);
        }
        if let Some(cell) = marked {
            let text = self.words(bench, plan, &sheet, cell);
            if pointed.is_some() {
                r.clone().on_hover_ui_at_pointer(|ui| {
                    ui.set_max_width(340.0);
                    ui.label(&*text);
                });
            } else {
                callout(&painter, bench, sheet.rect(cell), area, &text);
            }
        }
        if r.clicked() {
            r.request_focus();
            self.cursor = pointed;
        }
        (r.clicked() || entered).then_some(kept?.0)
    }

    /// Arrow keys go from cell to cell, Enter tries the best of it.
    fn keys(&mut self, ui: &Ui, id: egui::Id, sheet: &Sheet<'_>) -> bool {
        if !ui.memory(|m| m.has_focus(id)) {
            return false;
        }
        ui.memory_mut(|m| {
            let filter = EventFilter {
                horizontal_arrows: true,
                vertical_arrows: true,
                ..Default::default()
            };
            m.set_focus_lock_filter(id, filter);
        });
        let [n, m] = sheet.cells();
        // It begins at the nearest cell.
        let nearest = || {
            let kept = sheet.map.cells.iter().enumerate();
            let best = kept.filter_map(|(k, c)| Some((k, c.best?.1)));
            best.min_by(|a, b| a.1.total_cmp(&b.1))
                .map_or([0, 0], |(k, _)| [k % n, k / n])
        };
        let [i, j] = self.cursor.unwrap_or_else(nearest);
        let (moved, entered) = ui.input_mut(|input| {
            let mut pressed = |k| input.count_and_consume_key(Modifiers::NONE, k);
            let right = pressed(Key::ArrowRight);
            let left = pressed(Key::ArrowLeft);
            let (up, down) = (pressed(Key::ArrowUp), pressed(Key::ArrowDown));
            let moved = [
                (i + right).saturating_sub(left).min(n - 1),
                (j + up).saturating_sub(down).min(m - 1),
            ];
            (moved, pressed(Key::Enter) > 0)
        });
        self.cursor = Some(moved);
        entered
    }

    /// Values and holes of the best in a cell, or why there is none.
    fn words(
        &mut self,
        bench: &Bench<'_>,
        plan: &HolePlan,
        sheet: &Sheet<'_>,
        cell: [usize; 2],
    ) -> Arc<str> {
        let Some(c) = sheet.map.cell(cell[0], cell[1]) else {
            return "".into();
        };
        let Some((index, distance)) = c.best else {
            return match c.rejected {
                0 => "No combination comes here.".into(),
                1 => "1 combination, left out by a band.".into(),
                n => format!("{} combinations, all left out by a band.", words::count(n)).into(),
            };
        };
        if let Some((of, shop, text)) = &self.hovered
            && (*of, shop) == (index, bench.shop())
        {
            return Arc::clone(text);
        }
        let mut text = words::holes(plan, index);
        let _ = write!(text, "\ndistance {distance:.2} half bands");
        if let Some(b) = bolted_up(bench.build, plan, index) {
            let study = derive(&b);
            let axes = [sheet.map.axes.across.figure, sheet.map.axes.up.figure];
            let shown = Figure::ALL.into_iter().filter(|f| {
                axes.contains(f)
                    || plan
                        .build()
                        .targets
                        .iter()
                        .any(|t| figure_of(&t.reading) == Some(*f))
            });
            for d in shown.filter_map(reading_of) {
                if let Some(reading) = study.reading(d.id) {
                    let _ = write!(text, "\n{}: {}", d.label, reading.display(bench.shop()));
                }
            }
        }
        let more = c.kept.saturating_sub(1);
        if more > 0 {
            let _ = write!(text, "\nand {} more in this cell", words::count(more));
        }
        text += "\nClick to bolt it up.";
        let text: Arc<str> = text.into();
        self.hovered = Some((index, *bench.shop(), Arc::clone(&text)));
        text
    }
}

/// The build with a combination bolted up.
fn bolted_up(b: &Build, plan: &HolePlan, index: u64) -> Option<Arc<Build>> {
    let mut h = History::new(b.clone());
    h.apply(&plan.edit(index)).ok()?;
    Some(Arc::clone(h.build()))
}

fn draw_axes(
    painter: &Painter,
    bench: &Bench<'_>,
    sheet: &Sheet<'_>,
    across: &'static Definition,
    up: &'static Definition,
) {
    let p = bench.palette;
    let area = sheet.area;
    painter.rect_filled(area, 0, p.ground);
    let shop = bench.shop();
    for (d, axis, is_x) in [
        (across, &sheet.map.axes.across, true),
        (up, &sheet.map.axes.up, false),
    ] {
        let [low, high] = [axis.low, axis.high].map(|v| units::display_value(d.kind, v, shop));
        let long = if is_x { area.width() } else { area.height() };
        let most = (long / if is_x { 56.0 } else { 30.0 }).clamp(1.0, 9.0);
        for mark in marks(low, high, f64::from(most)) {
            let si = units::from_display_value(d.kind, mark, shop);
            let text = number(mark);
            let (font, colour) = (plain(11.0), p.dim);
            if is_x {
                let x = sheet.x(si);
                painter.vline(x, area.y_range(), Stroke::new(1.0, p.grid));
                let at = pos2(x, area.bottom() + 3.0);
                painter.text(at, Align2::CENTER_TOP, text, font, colour);
            } else {
                let y = sheet.y(si);
                painter.hline(area.x_range(), y, Stroke::new(1.0, p.grid));
                let at = pos2(area.left() - 5.0, y);
                painter.text(at, Align2::RIGHT_CENTER, text, font, colour);
            }
        }
    }
    painter.rect_stroke(area, 0, Stroke::new(1.0, p.dim), StrokeKind::Outside);
    let title = |d: &Definition| format!("{}, {}", d.label, units::unit_name(d.kind, shop));
    let at = pos2(area.left() - LEFT + 6.0, area.top() - ABOVE + 1.0);
    let wide = area.width() + LEFT - 8.0;
    text_fit(
        painter,
        at,
        Align2::LEFT_TOP,
        &title(up),
        plain(11.5),
        p.ink,
        wide,
    );
    let at = pos2(area.right(), area.bottom() + 18.0);
    text_fit(
        painter,
        at,
        Align2::RIGHT_TOP,
        &title(across),
        plain(11.5),
        p.ink,
        wide,
    );
}

/// A band of each axis: its ends, SI.
fn band_of(bench: &Bench<'_>, figure: Figure) -> Option<[f64; 2]> {
    let t = bench
        .build
        .targets
        .iter()
        .find(|t| figure_of(&t.reading) == Some(figure))?;
    Some([t.low.si, t.high.si])
}

/// Where both bands hold; with one band it reaches from edge to edge.
fn band_rect(bench: &Bench<'_>, sheet: &Sheet<'_>) -> Option<Rect> {
    let x = band_of(bench, sheet.map.axes.across.figure).map(|b| b.map(|v| sheet.x(v)));
    let y = band_of(bench, sheet.map.axes.up.figure).map(|b| b.map(|v| sheet.y(v)));
    if x.is_none() && y.is_none() {
        return None;
    }
    let [left, right] = x.unwrap_or([sheet.area.left() - 4.0, sheet.area.right() + 4.0]);
    let [bottom, top] = y.unwrap_or([sheet.area.bottom() + 4.0, sheet.area.top() - 4.0]);
    Some(Rect::from_min_max(pos2(left, top), pos2(right, bottom)))
}

fn draw_band(painter: &Painter, bench: &Bench<'_>, sheet: &Sheet<'_>) {
    if let Some(rect) = band_rect(bench, sheet) {
        let shade = bench.palette.faint(bench.palette.band, 0.45);
        painter.rect_filled(rect.intersect(sheet.area), 0, shade);
    }
}

fn draw_band_edge(painter: &Painter, bench: &Bench<'_>, sheet: &Sheet<'_>) {
    if let Some(r) = band_rect(bench, sheet) {
        let corners = [
            r.left_top(),
            r.right_top(),
            r.right_bottom(),
            r.left_bottom(),
            r.left_top(),
        ];
        dashed(
            painter,
            &corners,
            Stroke::new(1.5, bench.palette.ink),
            6.0,
            4.0,
        );
    }
}

/// Kept cells filled, the nearer the stronger and bigger; cells with nothing kept hollow.
fn draw_cells(painter: &Painter, bench: &Bench<'_>, sheet: &Sheet<'_>) {
    let [n, m] = sheet.cells();
    for j in 0..m {
        for i in 0..n {
            let Some(cell) = sheet.map.cell(i, j) else {
                continue;
            };
            let rect = sheet.rect([i, j]);
            match cell.best {
                Some((_, distance)) => mark_kept(painter, bench, rect, sheet.nearness(distance)),
                None if cell.rejected > 0 => mark_left_out(painter, bench, rect),
                None => {}
            }
        }
    }
}

fn mark_kept(painter: &Painter, bench: &Bench<'_>, cell: Rect, nearness: f32) {
    let p = bench.palette;
    let share = 0.5 + 0.5 * nearness;
    let size = (cell.size() * share - vec2(1.0, 1.0)).max(vec2(3.0, 3.0));
    let colour = p.faint(p.good, 0.4 + 0.6 * nearness);
    painter.rect_filled(Rect::from_center_size(cell.center(), size), 1, colour);
}

fn mark_left_out(painter: &Painter, bench: &Bench<'_>, cell: Rect) {
    let p = bench.palette;
    let size = cell.size().min(vec2(7.0, 7.0)) * 0.7;
    let rect = Rect::from_center_size(cell.center(), size.max(vec2(3.0, 3.0)));
    let stroke = Stroke::new(1.0, p.faint(p.dim, 0.7));
    painter.rect_stroke(rect, 0, stroke, StrokeKind::Inside);
}

/// The car as it is bolted up, with its word; at the edge when it reads beyond the map.
fn draw_now(
    painter: &Painter,
    bench: &Bench<'_>,
    sheet: &Sheet<'_>,
    across: &Definition,
    up: &Definition,
) {
    let p = bench.palette;
    let value = |d: &Definition| bench.study.reading(d.id)?.value.clone().ok();
    let (Some(x), Some(y)) = (value(across), value(up)) else {
        return;
    };
    let at = pos2(sheet.x(x), sheet.y(y));
    let seen = sheet.area.contains(at);
    let at = sheet.area.shrink(8.0).clamp(at);
    let arm = 8.0;
    for (width, colour) in [(5.0, p.ground), (2.2, p.accent)] {
        let stroke = Stroke::new(width, colour);
        painter.line_segment([at - vec2(arm, 0.0), at + vec2(arm, 0.0)], stroke);
        painter.line_segment([at - vec2(0.0, arm), at + vec2(0.0, arm)], stroke);
    }
    let text = if seen { "now" } else { "now: beyond the map" };
    let right = at.x < sheet.area.right() - if seen { 44.0 } else { 140.0 };
    let (anchor, dx) = if right {
        (Align2::LEFT_CENTER, 12.0)
    } else {
        (Align2::RIGHT_CENTER, -12.0)
    };
    text_on(
        painter,
        at + vec2(dx, 0.0),
        anchor,
        text,
        bold(11.5),
        p.accent,
        p.ground,
    );
}

/// What the marks mean, in one line that is cut where it is too long.
fn legend(painter: &Painter, bench: &Bench<'_>, sheet: &Sheet<'_>, free: Rect) {
    let p = bench.palette;
    let y = free.bottom() - 0.5 * LEGEND;
    let mut x = free.left() + 4.0;
    let cell = |x: f32| Rect::from_center_size(pos2(x + 6.0, y), vec2(12.0, 12.0));
    let word = |x: &mut f32, text: &str| {
        let wide = free.right() - *x - 4.0;
        if wide > 24.0 {
            let at = pos2(*x, y);
            let font = plain(11.0);
            let rect = text_fit(painter, at, Align2::LEFT_CENTER, text, font, p.dim, wide);
            *x = rect.right() + 10.0;
        } else {
            *x = free.right();
        }
    };
    let [low, high] = sheet.ends;
    if low <= high {
        word(&mut x, &format!("distance {low:.2}"));
        x -= 4.0;
        for k in 0..5 {
            mark_kept(painter, bench, cell(x), 1.0 - k as f32 / 4.0);
            x += 13.0;
        }
        x += 5.0;
        word(&mut x, &format!("{high:.2} half bands"));
    }
    if sheet.map.axes.counts_rejected() && x < free.right() - 70.0 {
        mark_left_out(painter, bench, cell(x));
        x += 14.0;
        word(&mut x, "left out");
    }
    if band_rect(bench, sheet).is_some() && x < free.right() - 60.0 {
        let y_range = y - 5.0..=y + 5.0;
        let corners = [
            pos2(x, *y_range.start()),
            pos2(x + 14.0, *y_range.start()),
            pos2(x + 14.0, *y_range.end()),
            pos2(x, *y_range.end()),
            pos2(x, *y_range.start()),
        ];
        dashed(painter, &corners, Stroke::new(1.2, p.ink), 4.0, 2.5);
        x += 20.0;
        word(&mut x, "band");
    }
    let outside = sheet.map.kept_outside;
    if outside > 0 && x < free.right() - 90.0 {
        word(&mut x, &format!("{} beyond the map", words::count(outside)));
    }
}

/// What the keys are at, said beside it.
fn callout(painter: &Painter, bench: &Bench<'_>, cell: Rect, area: Rect, text: &str) {
    let p = bench.palette;
    let galley = painter.layout(text.to_owned(), plain(12.0), p.ink, 260.0);
    let size = galley.size() + vec2(16.0, 12.0);
    let mut min = cell.right_top() + vec2(10.0, -10.0);
    if min.x + size.x > area.right() {
        min.x = cell.left() - size.x - 10.0;
    }
    min.x = min.x.max(area.left());
    min.y = min.y.min(area.bottom() - size.y).max(area.top());
    let rect = Rect::from_min_size(min, size);
    painter.rect(
        rect,
        4,
        p.panel,
        Stroke::new(1.2, p.accent),
        StrokeKind::Inside,
    );
    painter.galley(rect.min + vec2(8.0, 6.0), galley, p.ink);
}

/// Round marks from `low` to `high`, at most about `most`.
fn marks(low: f64, high: f64, most: f64) -> Vec<f64> {
    let rough = (high - low) / most;
    if !rough.is_finite() || rough <= 0.0 {
        return Vec::new();
    }
    let decade = 10f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|k| k * decade)
        .into_iter()
        .find(|s| *s >= rough * 0.999)
        .unwrap_or(rough);
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last.min(first.saturating_add(20)))
        .map(|k| k as f64 * step)
        .collect()
}

/// A mark's figure without noise at its end.
fn number(v: f64) -> String {
    let text = format!("{v:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_round_and_few() {
        assert_eq!(marks(0.3, 9.7, 5.0), [2.0, 4.0, 6.0, 8.0]);
        assert_eq!(marks(95.0, 131.0, 4.0), [100.0, 110.0, 120.0, 130.0]);
        assert!(marks(1.0, 1.0, 4.0).is_empty());
        assert!(marks(f64::NAN, 1.0, 4.0).is_empty());
        assert_eq!(number(0.30000000000000004), "0.3");
        assert_eq!(number(-0.0), "0");
    }
}
