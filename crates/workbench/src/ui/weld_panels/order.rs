//! The weld order: what is welded, what is next, how far each dimension has drifted by then.

use build::{Joint, OrderStudy, Part, WeldEdit, Welding};
use eframe::egui::{
    self, Align, Button, CursorIcon, Label, Layout, Rect, RichText, Role, Sense, Stroke, Ui,
    WidgetInfo, vec2,
};

use super::super::bench::{Action, Bench, Tray};
use super::super::theme::{bold, plain};
use super::super::{clock, draw};
use super::bits::{self, Marks, Scale};
use super::words::Runs;
use super::{common, words};

/// Least width of a column of strips, points.
const COLUMN: f32 = 84.0;
/// Grip, number, tick and both buttons of a row with the room between them, points.
const FIXED: f32 = 178.0;

/// What the panel remembers.
#[derive(Debug, Default)]
pub(super) struct Order {
    /// A row being dragged: from this place to that one.
    drag: Option<(usize, usize)>,
}

/// A column of strips.
struct Lane<'a> {
    /// Place among the order's dimensions.
    at: usize,
    label: &'a str,
    runs: Runs,
    tolerance: f64,
    scale: Scale,
}

impl Order {
    pub fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        dimension: Option<usize>,
        tray: &mut Tray,
    ) {
        bits::scroll(ui, "weld order", |ui| {
            self.page(ui, bench, dimension, tray);
            super::cautions(ui, bench);
        });
    }

    fn page(&mut self, ui: &mut Ui, bench: &Bench<'_>, dimension: Option<usize>, tray: &mut Tray) {
        let order = match &bench.study.weld.order {
            Ok(order) => order,
            Err(why) => {
                let text = format!("No order: {}.", why.show(bench.shop()));
                bits::say_in(ui, bench.palette.bad, text);
                return;
            }
        };
        head(ui, bench, order, tray);
        if order.joints.is_empty() {
            bits::say(
                ui,
                "No joint is drawn yet: draw the tubes and say in the fit-up log which parts each joint joins.",
            );
            return;
        }
        let label = (ui.available_width() * 0.36).clamp(120.0, 230.0);
        let lanes = lanes(
            bench,
            order,
            dimension,
            ui.available_width() - FIXED - label,
        );
        let rows = self.rows(ui, bench, order, &lanes, label, tray);
        self.drop(ui, bench, order, &rows, tray);
        if lanes.len() < order.dimensions.len() {
            let n = order.dimensions.len() - lanes.len();
            common::note(
                ui,
                bench,
                format!(
                    "{} not shown: make the panel wider.",
                    words::some(n as u64, "more dimension")
                ),
            );
        }
        common::note(
            ui,
            bench,
            "Strips: how far a dimension has moved after that joint, with the range it may be in; dashed: its tolerance. \
             Where it all ends up does not depend on the order here; how far it wanders on the way does. One side, then the other; \
             let it cool to the hand before you measure.",
        );
    }

    fn rows(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        order: &OrderStudy,
        lanes: &[Lane<'_>],
        label: f32,
        tray: &mut Tray,
    ) -> Vec<Rect> {
        let room = ui.available_width() - FIXED - label;
        let width = (room / lanes.len().max(1) as f32 - 8.0).clamp(40.0, 190.0);
        if !lanes.is_empty() {
            let (rect, _) =
                ui.allocate_exact_size(vec2(ui.available_width(), 16.0), Sense::hover());
            let mut x = rect.left() + 90.0 + label;
            for lane in lanes {
                draw::text_fit(
                    ui.painter(),
                    egui::pos2(x, rect.center().y),
                    egui::Align2::LEFT_CENTER,
                    lane.label,
                    plain(11.0),
                    bench.palette.dim,
                    width,
                );
                x += width + 8.0;
            }
        }
        let mut rects = Vec::new();
        for (k, i) in order.joints.iter().enumerate() {
            let Some(j) = bench.build.fit_up.joints.get(*i) else {
                continue;
            };
            let inner = ui.push_id(("weld order row", &j.id), |ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                self.row(ui, bench, order, k, j, lanes, [label, width], tray);
            });
            rects.push(inner.response.rect);
        }
        rects
    }

    #[expect(clippy::too_many_arguments, reason = "a row is all of these")]
    fn row(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        order: &OrderStudy,
        k: usize,
        j: &Joint,
        lanes: &[Lane<'_>],
        [label, width]: [f32; 2],
        tray: &mut Tray,
    ) {
        let p = bench.palette;
        let is_next = order.joints.get(k).copied() == order.next;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            self.grip(ui, bench, k, j);
            let colour = match (&j.welded, is_next) {
                (Some(_), _) => p.good,
                (None, true) => p.accent,
                _ => p.ink,
            };
            let (rect, _) = ui.allocate_exact_size(vec2(24.0, 24.0), Sense::hover());
            ui.painter()
                .circle_stroke(rect.center(), 11.0, Stroke::new(1.6, colour));
            ui.painter().text(
                rect.center(),
                egui::Align2::CENTER_CENTER,
                (k + 1).to_string(),
                bold(11.5),
                colour,
            );
            let mut welded = j.welded.is_some();
            let tick = ui
                .checkbox(&mut welded, "")
                .on_hover_text("Welded; signed with your initials");
            tick.widget_info(|| {
                WidgetInfo::selected(Role::CheckBox, true, welded, format!("Welded: {}", j.label))
            });
            if tick.clicked() {
                let welded = welded.then(|| Welding {
                    who: bench.settings.who.clone(),
                    when: clock::now(),
                });
                let joint = j.id.clone();
                bits::edit(tray, WeldEdit::SetWelded { joint, welded });
            }
            ui.allocate_ui_with_layout(
                vec2(label, 24.0),
                Layout::left_to_right(Align::Center),
                |ui| {
                    ui.set_min_width(label);
                    let name = RichText::new(&j.label).font(if is_next {
                        bold(12.5)
                    } else {
                        plain(12.5)
                    });
                    let chosen = matches!(bench.selected, Some(Part::Joint(id)) if *id == j.id);
                    let r = ui.add(Button::selectable(chosen, name).truncate());
                    if r.clicked() {
                        tray.put(Action::Select(Part::Joint(j.id.clone())));
                    }
                },
            );
            for lane in lanes {
                cell(ui, bench, order, k, j, lane, width);
            }
            for (up, sign, word) in [(true, "▴", "earlier"), (false, "▾", "later")] {
                let to = if up { k.checked_sub(1) } else { Some(k + 1) };
                let to = to.filter(|to| *to < order.joints.len());
                let r = ui.add_enabled(to.is_some(), Button::new(sign).small());
                r.widget_info(|| {
                    WidgetInfo::labeled(
                        Role::Button,
                        to.is_some(),
                        format!("Weld {} {word}", j.label),
                    )
                });
                if let (true, Some(to)) = (r.clicked(), to) {
                    moved(bench, order, k, to, tray);
                }
            }
        });
        under(ui, bench, order, k, j);
    }

    /// Three lines to take hold of.
    fn grip(&mut self, ui: &mut Ui, bench: &Bench<'_>, k: usize, j: &Joint) {
        let (rect, r) = ui.allocate_exact_size(vec2(14.0, 22.0), Sense::drag());
        r.widget_info(|| {
            WidgetInfo::labeled(Role::Image, true, format!("Drag {} to its place", j.label))
        });
        let colour = if r.hovered() || r.dragged() {
            bench.palette.accent
        } else {
            bench.palette.dim
        };
        for dy in [-4.0, 0.0, 4.0] {
            let y = rect.center().y + dy;
            ui.painter()
                .hline(rect.shrink(2.0).x_range(), y, Stroke::new(1.4, colour));
        }
        if r.drag_started() {
            self.drag = Some((k, k));
        }
        r.on_hover_cursor(CursorIcon::Grab);
    }

    /// Shows where a dragged row would go, and puts it there when it is let go.
    fn drop(
        &mut self,
        ui: &Ui,
        bench: &Bench<'_>,
        order: &OrderStudy,
        rows: &[Rect],
        tray: &mut Tray,
    ) {
        let Some((from, _)) = self.drag else { return };
        let (down, at, gave_up) = ui.input(|i| {
            let key = i.key_pressed(egui::Key::Escape);
            (i.pointer.any_down(), i.pointer.interact_pos(), key)
        });
        let Some(at) = at.filter(|_| !gave_up && from < rows.len()) else {
            self.drag = None;
            return;
        };
        let above = rows.iter().filter(|r| r.center().y < at.y).count();
        // Its own place does not count.
        let to = if above > from { above - 1 } else { above };
        let to = to.min(rows.len() - 1);
        self.drag = Some((from, to));
        if down {
            let y = if to > from {
                rows[to].bottom()
            } else {
                rows[to].top()
            };
            let line = Stroke::new(2.0, bench.palette.accent);
            ui.painter().hline(rows[to].x_range(), y, line);
            return;
        }
        self.drag = None;
        if to != from {
            moved(bench, order, from, to, tray);
        }
    }
}

fn head(ui: &mut Ui, bench: &Bench<'_>, order: &OrderStudy, tray: &mut Tray) {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Weld order").font(bold(13.0)));
        let done = format!("{} of {} welded", order.welded, order.joints.len());
        ui.label(RichText::new(done).color(bench.palette.dim));
        let next = order.next.and_then(|i| bench.build.fit_up.joints.get(i));
        if let Some(j) = next {
            ui.label(RichText::new(format!("next: {}", j.label)).color(bench.palette.accent));
        }
        let r = ui
            .add_enabled(order.by_hand, Button::new("Use the proposed order"))
            .on_disabled_hover_text("It is the proposed order: what is welded first, then what keeps every dimension nearest its mark");
        if r.clicked() {
            bits::edit(tray, WeldEdit::Order(Vec::new()));
        }
    });
}

/// The columns there is room for: the dimension in hand first.
fn lanes<'a>(
    bench: &Bench<'a>,
    order: &OrderStudy,
    in_hand: Option<usize>,
    room: f32,
) -> Vec<Lane<'a>> {
    let mut all: Vec<Lane<'a>> = Vec::new();
    for (at, i) in order.dimensions.iter().enumerate() {
        let (Some(d), Some(s)) = (
            bench.build.weld_out.dimensions.get(*i),
            bench.study.weld.dimensions.get(*i),
        ) else {
            continue;
        };
        let tolerance = s.tolerance.unwrap_or(0.0);
        let ends = order
            .steps
            .iter()
            .filter_map(|step| step.dimensions.get(at));
        let ends = ends.flat_map(|x| [x.low, x.high]).chain([tolerance]);
        let lane = Lane {
            at,
            label: &d.label,
            runs: words::runs(s),
            tolerance,
            scale: Scale::both_ways(ends),
        };
        if Some(*i) == in_hand {
            all.insert(0, lane);
        } else {
            all.push(lane);
        }
    }
    all.truncate((room / COLUMN).max(0.0) as usize);
    all
}

/// The drift of one dimension after one joint.
fn cell(
    ui: &mut Ui,
    bench: &Bench<'_>,
    order: &OrderStudy,
    k: usize,
    j: &Joint,
    lane: &Lane<'_>,
    width: f32,
) {
    let (rect, r) = ui.allocate_exact_size(vec2(width, 20.0), Sense::hover());
    let Some(x) = order
        .steps
        .get(k)
        .and_then(|step| step.dimensions.get(lane.at))
    else {
        return;
    };
    let text = format!(
        "{} ({} to {})",
        words::change(bench, x.drift, lane.runs),
        words::change(bench, x.low, lane.runs),
        words::change(bench, x.high, lane.runs)
    );
    r.widget_info(|| {
        let name = format!("{} after {}", lane.label, j.label);
        let mut info = WidgetInfo::labeled(Role::Image, true, name);
        info.current_text_value = Some(text.clone());
        info
    });
    let marks = Marks {
        limits: Some((-lane.tolerance, lane.tolerance)),
        band: Some((x.low, x.high)),
        point: Some(x.drift),
        ..Marks::default()
    };
    bits::strip(ui.painter(), bench, rect, lane.scale, &marks);
    r.on_hover_text(format!("{}: {text}", lane.label));
}

/// Side, who welded it, and what to measure after it.
fn under(ui: &mut Ui, bench: &Bench<'_>, order: &OrderStudy, k: usize, j: &Joint) {
    let mut parts = Vec::new();
    let place = order.joints.get(k).and_then(|i| {
        let s = bench.study.fit_up.joints.get(*i)?;
        s.weld.as_ref().ok()?.place.as_ref()
    });
    if let Some(place) = place {
        let y = place.at[1];
        parts.push(if y > 1e-3 {
            "left side".to_owned()
        } else if y < -1e-3 {
            "right side".to_owned()
        } else {
            "in the middle".to_owned()
        });
    }
    if let Some(w) = &j.welded {
        parts.push(format!("welded {}", words::signed(&w.who, &w.when)));
    }
    let measure: Vec<&str> = order
        .measure
        .iter()
        .zip(&order.dimensions)
        .filter(|(step, _)| **step == Some(k))
        .filter_map(|(_, i)| bench.build.weld_out.dimensions.get(*i))
        .map(|d| d.label.as_str())
        .collect();
    ui.horizontal_top(|ui| {
        ui.add_space(74.0);
        ui.vertical(|ui| {
            let small = |text: String| RichText::new(text).font(plain(11.0));
            ui.add(Label::new(small(parts.join(" · ")).color(bench.palette.dim)).wrap());
            if !measure.is_empty() {
                let text = format!("measure after this: {}", measure.join(", "));
                ui.add(Label::new(small(text).color(bench.palette.accent)).wrap());
            }
        });
    });
}

/// Puts a joint at another place of the order.
fn moved(bench: &Bench<'_>, order: &OrderStudy, from: usize, to: usize, tray: &mut Tray) {
    let mut list = order.joints.clone();
    if from >= list.len() || to >= list.len() {
        return;
    }
    let joint = list.remove(from);
    list.insert(to, joint);
    let ids = list
        .into_iter()
        .filter_map(|i| bench.build.fit_up.joints.get(i))
        .map(|j| j.id.clone());
    bits::edit(tray, WeldEdit::Order(ids.collect()));
}
