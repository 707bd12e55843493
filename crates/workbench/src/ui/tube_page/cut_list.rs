//! The cut list: bars with the pieces that come from them, the rack, and the saw.

use build::{Edit, EndCut, Nest, Part, StockBar, TubeEdit};
use eframe::egui::{
    self, Align2, CursorIcon, Grid, Painter, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo,
    pos2, vec2,
};
use geometry::tube::stock::{CutBar, Nested};
use units::{Kind, Length};

use super::super::assembly_view::make::fresh;
use super::super::assembly_view::words::section;
use super::super::bench::{Action, Bench, Tray};
use super::super::draw::text_fit;
use super::super::springs_page::common;
use super::super::theme::plain;
use super::super::typed;
use super::super::weld_panels::bits::{self, FIELD};
use super::words;

/// Height of a bar, points.
const BAR: f32 = 22.0;
/// A bar to begin with, in: 20 ft (common practice, no source).
const USUAL_BAR: f64 = 240.0;

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    bits::two(
        &mut (),
        ui,
        bench,
        tray,
        "cut list columns",
        0.66,
        bars,
        rack,
    );
}

fn kind_of(bench: &Bench<'_>, n: &Nest) -> String {
    format!("{} {}", section(&n.section, bench.shop()), n.material)
}

fn bars(_: &mut (), ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    for n in &bench.study.tubes.nests {
        let kind = kind_of(bench, n);
        let some = if n.tubes.len() == 1 {
            "piece"
        } else {
            "pieces"
        };
        let hint = format!(
            "{} {some}, {} to saw, {}",
            n.tubes.len(),
            bench.length(n.length),
            words::mass(bench, n.mass)
        );
        common::head(ui, bench, &kind, &hint);
        match &n.nested {
            Ok(nested) => {
                verdict(ui, bench, nested);
                for (i, bar) in nested.bars.iter().enumerate() {
                    strip(ui, bench, n, &kind, i, bar, tray);
                }
            }
            Err(why) => {
                bits::say_in(
                    ui,
                    bench.palette.bad,
                    format!("{}.", capital(&why.show(bench.shop()))),
                );
            }
        }
        ui.add_space(6.0);
    }
    common::caution(ui, bench, build::TUBE_CAUTION);
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(chars).collect()
}

/// What is bought, and whether less would do.
fn verdict(ui: &mut Ui, bench: &Bench<'_>, nested: &Nested) {
    let p = bench.palette;
    let bought = match nested.bought_bars {
        0 => "Nothing to buy: it all comes from the rack.".to_owned(),
        1 => format!("Buy 1 bar, {}.", bench.length(nested.bought_length)),
        n => format!(
            "Buy {n} bars, {} together.",
            bench.length(nested.bought_length)
        ),
    };
    let (words, colour) = if nested.proven {
        ("✓ proven: less will not do".to_owned(), p.good)
    } else {
        let over = (nested.bought_length - nested.least_length).max(0.0);
        let mut text = format!(
            "at most {} more than need be: no list does with under {}",
            bench.length(over),
            bench.length(nested.least_length)
        );
        if let (Some(bound), true) = (nested.lower_bound, nested.bought_bars > 0) {
            text = format!("{text}, {bound} bars");
        }
        (text, p.accent)
    };
    let left = if nested.longest_remnant > 1e-6 {
        format!(
            " Longest piece left {}.",
            bench.length(nested.longest_remnant)
        )
    } else {
        String::new()
    };
    bits::say(ui, format!("{bought}{left}"));
    bits::say_in(ui, colour, words);
}

/// One bar, cut up; a click on a piece takes its tube in hand.
fn strip(
    ui: &mut Ui,
    bench: &Bench<'_>,
    n: &Nest,
    kind: &str,
    i: usize,
    bar: &CutBar,
    tray: &mut Tray,
) {
    let p = bench.palette;
    let Some((row, long)) = n.bars.get(bar.stock) else {
        return;
    };
    let (all, r) = ui.allocate_exact_size(
        vec2(ui.available_width().max(80.0), BAR + 14.0),
        Sense::hover(),
    );
    let painter = ui.painter().with_clip_rect(all.intersect(ui.clip_rect()));
    let name = |piece: usize| n.tubes.get(piece).map_or("", |t| words::name(bench, *t));
    r.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Image, true, format!("Bar {} of {kind}", i + 1));
        let pieces: Vec<String> = bar
            .pieces
            .iter()
            .map(|x| {
                let long = n.lengths.get(x.piece).copied().unwrap_or(0.0);
                format!("{} {}", name(x.piece), words::marked(bench, long))
            })
            .collect();
        info.current_text_value = Some(format!(
            "{}; left {}",
            pieces.join(", "),
            bench.length(bar.remnant)
        ));
        info
    });
    let from = match row {
        Some(id) => format!("bar {id}"),
        None => "a usual bar".to_owned(),
    };
    let head = format!(
        "{} · {from}, {} · left {}",
        i + 1,
        bench.length(*long),
        bench.length(bar.remnant)
    );
    text_fit(
        &painter,
        all.left_top(),
        Align2::LEFT_TOP,
        &head,
        plain(11.0),
        p.dim,
        all.width(),
    );
    let lane = Rect::from_min_size(
        pos2(all.left(), all.top() + 13.0),
        vec2(all.width(), BAR - 1.0),
    );
    let x =
        |metres: f64| lane.left() + (metres / long.max(1e-6)).clamp(0.0, 1.0) as f32 * lane.width();
    painter.rect(
        lane,
        2,
        p.ground,
        Stroke::new(1.0, p.dim),
        StrokeKind::Inside,
    );
    hatch(
        &painter,
        lane,
        x(0.0)..=x(bench.build.tube_work.trim.si()),
        p.dim,
    );
    hatch(&painter, lane, x(long - bar.remnant)..=lane.right(), p.dim);
    for placed in &bar.pieces {
        let long = n.lengths.get(placed.piece).copied().unwrap_or(0.0);
        let piece = Rect::from_x_y_ranges(x(placed.start)..=x(placed.start + long), lane.y_range());
        let Some(tube) = n
            .tubes
            .get(placed.piece)
            .and_then(|t| bench.build.assembly.tubes.get(*t))
        else {
            continue;
        };
        let part = Part::Tube(tube.id.clone());
        let chosen = bench.selected == Some(&part);
        let id = ui.scope_id().with(("cut piece", kind, i, placed.piece));
        let r = ui
            .interact(piece, id, Sense::click())
            .on_hover_cursor(CursorIcon::PointingHand);
        r.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Piece {}", tube.id)));
        let share = match (chosen, r.hovered() || r.has_focus()) {
            (true, _) => 0.5,
            (_, true) => 0.38,
            _ => 0.26,
        };
        let line = if chosen || r.has_focus() {
            Stroke::new(2.0, p.accent)
        } else {
            Stroke::new(1.2, p.chalk)
        };
        painter.rect(piece, 1, p.faint(p.chalk, share), line, StrokeKind::Inside);
        let says = format!("{} {}", tube.label, words::marked(bench, long));
        if piece.width() > 24.0 {
            text_fit(
                &painter,
                piece.left_center() + vec2(4.0, 0.0),
                Align2::LEFT_CENTER,
                &says,
                plain(10.5),
                p.ink,
                piece.width() - 8.0,
            );
        }
        let r = r.on_hover_text(says);
        if r.clicked() {
            tray.put(Action::Select(part));
        }
    }
}

/// Strokes over what is not used.
fn hatch(
    painter: &Painter,
    lane: Rect,
    over: std::ops::RangeInclusive<f32>,
    colour: egui::Color32,
) {
    let part = Rect::from_x_y_ranges(over, lane.y_range());
    let inner = painter.with_clip_rect(part.intersect(painter.clip_rect()));
    let mut x = part.left() - part.height();
    while x < part.right() && part.width() > 0.5 {
        inner.line_segment(
            [pos2(x, part.bottom()), pos2(x + part.height(), part.top())],
            Stroke::new(1.0, colour.gamma_multiply(0.55)),
        );
        x += 7.0;
    }
}

/// The rack, and the saw.
fn rack(_: &mut (), ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    saw(ui, bench, tray);
    common::head(
        ui,
        bench,
        "On the rack and to buy",
        "how many: empty for as many as it takes",
    );
    let work = &bench.build.tube_work;
    for n in &bench.study.tubes.nests {
        let kind = kind_of(bench, n);
        bits::say(ui, &kind);
        let rows = work
            .stock
            .iter()
            .filter(|x| x.section == n.section && x.material == n.material);
        let mut any = false;
        Grid::new(("stock rows", &kind))
            .num_columns(5)
            .spacing([8.0, 4.0])
            .show(ui, |ui| {
                for x in rows {
                    any = true;
                    stock_row(ui, bench, x, tray);
                }
            });
        if !any {
            common::note(
                ui,
                bench,
                format!("None entered: {} bars are reckoned.", bench.length(6.096)),
            );
        }
        let r = ui.small_button("Add a bar");
        r.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Add a bar of {kind}")));
        if r.clicked() {
            let id = fresh("B", |id| work.stock.iter().any(|x| x.id == id));
            tray.edit(Edit::Tube(TubeEdit::PutBar(StockBar {
                id,
                section: n.section,
                material: n.material.clone(),
                length: Length::from_inches(USUAL_BAR),
                count: None,
            })));
        }
    }
    let used = |x: &&StockBar| {
        let nests = &bench.study.tubes.nests;
        !nests
            .iter()
            .any(|n| n.section == x.section && n.material == x.material)
    };
    let unused: Vec<&StockBar> = work.stock.iter().filter(used).collect();
    if !unused.is_empty() {
        bits::say(ui, "Of sections no tube has:");
        Grid::new("stock rows unused")
            .num_columns(5)
            .spacing([8.0, 4.0])
            .show(ui, |ui| {
                for x in unused {
                    stock_row(ui, bench, x, tray);
                }
            });
    }
}

fn stock_row(ui: &mut Ui, bench: &Bench<'_>, x: &StockBar, tray: &mut Tray) {
    let mut new = x.clone();
    ui.label(&x.id).on_hover_text(format!(
        "{} {}",
        section(&x.section, bench.shop()),
        x.material
    ));
    let name = format!("Bar {}, length", x.id);
    let now = x.length.si();
    if let Some(v) = typed::field(
        ui,
        bench,
        ("bar", &x.id),
        &name,
        Kind::Length,
        now,
        FIELD,
        tray,
    ) {
        new.length = Length::from_si(v);
    }
    let name = format!("Bar {}, how many", x.id);
    let now = x.count.map(f64::from);
    let salt = ("bars", &x.id);
    if let Some(v) = typed::optional(ui, bench, salt, &name, Kind::Count, now, 46.0, tray) {
        // A count is whole; what is typed between is rounded down.
        new.count = v.map(|v| v.clamp(0.0, 10_000.0) as u32);
    }
    let r = ui
        .small_button("–")
        .on_hover_text("Take this bar off the list");
    r.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Remove bar {}", x.id)));
    if r.clicked() {
        tray.edit(Edit::Tube(TubeEdit::RemoveBar(x.id.clone())));
    } else if new != *x {
        tray.edit(Edit::Tube(TubeEdit::PutBar(new)));
    }
    ui.end_row();
}

/// What a length of the saw is called, what it is for, what it is, and the edit that sets it.
type SawRow = (&'static str, &'static str, Length, fn(Length) -> TubeEdit);

fn saw(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let work = &bench.build.tube_work;
    common::head(ui, bench, "Saw and paper", "");
    Grid::new("saw and paper")
        .num_columns(2)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            let rows: [SawRow; 3] = [
                ("saw cut", "Width of the cut", work.kerf, TubeEdit::Kerf),
                (
                    "trim",
                    "Cut off each bar before the first piece",
                    work.trim,
                    TubeEdit::Trim,
                ),
                (
                    "paper",
                    "Thickness of the paper of a wrap; it makes the wrap longer",
                    work.paper,
                    TubeEdit::Paper,
                ),
            ];
            for (word, tip, now, edit) in rows {
                ui.label(word).on_hover_text(tip);
                let salt = ("saw", word);
                let v = bits::exactly(bench, Some(now.si()), |bench| {
                    typed::field(ui, bench, salt, word, Kind::Length, now.si(), FIELD, tray)
                });
                if let Some(v) = v {
                    tray.edit(Edit::Tube(edit(Length::from_si(v))));
                }
                ui.end_row();
            }
            ui.label("ends are cut");
            let mut cut = work.cut;
            let all = [
                (EndCut::FollowsMain, "along the other tube".to_owned()),
                (EndCut::Square, "straight in, no bevel".to_owned()),
            ];
            if bits::chooser(ui, "How ends are cut", 170.0, &mut cut, &all) {
                tray.edit(Edit::Tube(TubeEdit::Cut(cut)));
            }
            ui.end_row();
        });
    ui.add_space(4.0);
}
