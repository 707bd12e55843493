//! Which dimensions the spread comes from: the three that matter most in words, all of them as bars.

use build::{Along, Build, Matter, Misplaced, PlacementStudy, placement_label};
use eframe::egui::{
    self, Align2, Painter, Pos2, Rect, RichText, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};

use super::super::bench::Bench;
use super::super::draw::text_fit;
use super::super::theme::{bold, plain};
use super::amount;
use super::words::per_cent;

/// How many are named.
pub(super) const NAMED: usize = 3;

/// What the tape calls a coordinate.
pub(super) fn along_word(along: Along) -> &'static str {
    match along {
        Along::Station => "station",
        Along::Offset => "offset",
        Along::Height => "height",
    }
}

/// "upper front, height".
pub(super) fn name_of(b: &Build, m: &Matter) -> String {
    let label = b.rear.brackets.get(m.bracket).map_or("", |x| &x.label);
    format!("{label}, {}", along_word(m.along))
}

/// A numbered disc, the same in the list, at the bars and on the drawing.
pub(super) fn disc(painter: &Painter, bench: &Bench<'_>, at: Pos2, n: usize) {
    let p = bench.palette;
    painter.circle(at, 9.0, p.accent, Stroke::new(1.5, p.ground));
    painter.text(
        at,
        Align2::CENTER_CENTER,
        n.to_string(),
        bold(12.0),
        p.on_accent,
    );
}

/// The three dimensions that matter most, boxed.
pub(super) fn boxed(
    ui: &mut Ui,
    bench: &Bench<'_>,
    b: &Build,
    study: &PlacementStudy,
    figure: Misplaced,
) {
    let p = bench.palette;
    let most = study.most(figure, NAMED);
    egui::Frame::NONE
        .fill(p.panel)
        .stroke(Stroke::new(1.3, p.accent))
        .corner_radius(5)
        .inner_margin(egui::Margin::symmetric(10, 7))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 4.0;
            let title = match most.len() {
                0 => "No dimension moves this figure",
                1 => "The dimension that matters most",
                2 => "The two dimensions that matter most",
                _ => "The three dimensions that matter most",
            };
            ui.label(RichText::new(title).font(bold(13.0)));
            if most.is_empty() {
                let why = if study.plus_minus <= 0.0 {
                    "The tolerance is nothing."
                } else if study.sensitivities.of(figure).is_err() {
                    "It has no value as drawn."
                } else {
                    "Within the tolerance it stays as it is."
                };
                ui.label(RichText::new(why).font(plain(12.5)));
            }
            for (i, m) in most.iter().enumerate() {
                ui.horizontal_top(|ui| {
                    let (rect, _) = ui.allocate_exact_size(vec2(20.0, 18.0), Sense::hover());
                    disc(ui.painter(), bench, rect.center(), i + 1);
                    let said = study.sentence(b, figure, m).show(bench.shop());
                    let text = format!("{said}: {} of the spread", per_cent(m.share));
                    ui.add(egui::Label::new(RichText::new(text).font(plain(12.5))).wrap());
                });
            }
        });
    ui.add_space(4.0);
}

const ROW: f32 = 20.0;

/// Every dimension that moves the figure: how far, and its share.
pub(super) fn bars(
    ui: &mut Ui,
    bench: &Bench<'_>,
    b: &Build,
    study: &PlacementStudy,
    figure: Misplaced,
) {
    let p = bench.palette;
    let all = study.most(figure, usize::MAX);
    let Some(largest) = all.iter().map(|m| m.effect).max_by(f64::total_cmp) else {
        return;
    };
    let off = bench.kept(units::Kind::Length, study.plus_minus);
    let title = format!(
        "{} moved by {off} off, share of the spread",
        placement_label(figure).0
    );
    ui.add(egui::Label::new(RichText::new(title).font(bold(12.5))).wrap());
    ui.spacing_mut().item_spacing.y = 1.0;
    for (i, m) in all.iter().enumerate() {
        let (rect, r) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
        let mut name = name_of(b, m);
        if m.each_side {
            name += ", each side";
        }
        let (moved, share) = (amount(bench, figure, m.effect), per_cent(m.share));
        r.widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::Label, true, format!("Sensitivity {name}"));
            info.current_text_value = Some(format!("{moved}, {share}"));
            info
        });
        if !ui.is_rect_visible(rect) {
            continue;
        }
        let painter = ui.painter();
        let y = rect.center().y;
        if i < NAMED {
            disc(painter, bench, pos2(rect.left() + 9.0, y), i + 1);
        }
        let text_left = rect.left() + 24.0;
        // Share and amount stand in columns of their own at the right.
        let (share_left, amount_left) = (rect.right() - 62.0, rect.right() - 142.0);
        let bar_left = text_left + ((amount_left - text_left) * 0.78).max(60.0);
        text_fit(
            painter,
            pos2(text_left, y),
            Align2::LEFT_CENTER,
            &name,
            plain(12.0),
            p.ink,
            bar_left - text_left - 8.0,
        );
        let room = amount_left - 8.0 - bar_left;
        let long = room * (m.effect / largest.max(f64::MIN_POSITIVE)) as f32;
        let strip = Rect::from_min_size(pos2(bar_left, y - 4.0), vec2(room.max(0.0), 8.0));
        painter.rect_filled(strip, 1, p.field);
        let bar = Rect::from_min_size(strip.min, vec2(long.clamp(1.0, room.max(1.0)), 8.0));
        painter.rect_filled(bar, 1, if i < NAMED { p.accent } else { p.upper });
        for (left, wide, text, colour) in [
            (amount_left, 76.0, &moved, p.ink),
            (share_left, 60.0, &share, p.dim),
        ] {
            let at = pos2(left, y);
            text_fit(
                painter,
                at,
                Align2::LEFT_CENTER,
                text,
                plain(12.0),
                colour,
                wide,
            );
        }
    }
}
