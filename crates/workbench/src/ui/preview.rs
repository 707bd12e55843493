//! The sheets on screen, page by page, as they will be printed.

use eframe::egui::{
    self, Color32, FontFamily, FontId, Panel, Rect, Stroke, StrokeKind, Ui, Vec2, vec2,
};
use sheets::{Align, Face, Ink, Item, Pen, Sheet, Which};

use super::bench::{Action, Bench, Tray};
use super::dialog::SHEET_KINDS;
use super::files::Want;
use super::theme::{self, bold, plain};

/// Width from which the sheets stand in a column beside the page instead of in a list that opens, points.
const BESIDE: f32 = 640.0;

/// A sheet being looked at.
pub struct Preview {
    /// The sheet, or why there is none.
    sheet: Result<Sheet, String>,
    /// Made from this document, in these settings.
    of: (std::sync::Arc<build::Build>, units::Shop, bool, Which),
}

impl Preview {
    /// Makes the sheet.
    pub fn new(
        build: &std::sync::Arc<build::Build>,
        study: &build::Study,
        settings: &super::settings::Settings,
        which: Which,
    ) -> Self {
        let paper = if settings.a4 {
            sheets::Paper::A4
        } else {
            sheets::Paper::Letter
        };
        let sheet = which.make(build, study, &settings.shop, paper, &super::clock::today());
        Self {
            sheet: sheet.map_err(|e| e.to_string()),
            of: (
                std::sync::Arc::clone(build),
                settings.shop,
                settings.a4,
                which,
            ),
        }
    }

    /// Does it show this document in these settings?
    pub fn is_of(
        &self,
        build: &std::sync::Arc<build::Build>,
        settings: &super::settings::Settings,
        which: Which,
    ) -> bool {
        std::sync::Arc::ptr_eq(&self.of.0, build)
            && self.of.1 == settings.shop
            && self.of.2 == settings.a4
            && self.of.3 == which
    }

    /// The sheet.
    pub fn sheet(&self) -> Result<&Sheet, &str> {
        self.sheet.as_ref().map_err(String::as_str)
    }

    /// Every sheet under its phase, those of the whole build first.
    fn by_phase(&self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let phases = bench.build.phases.iter();
        let phases = phases.map(|p| (Some(p.id.as_str()), p.title.as_str()));
        let mut left: Vec<Which> = Which::ALL.to_vec();
        for (phase, title) in std::iter::once((None, "The whole build")).chain(phases) {
            let here = |w: &mut Which| w.phase() == phase;
            self.group(ui, bench, title, left.extract_if(.., here), tray);
        }
        // A phase that was taken out leaves its sheets.
        self.group(ui, bench, "Others", left.into_iter(), tray);
    }

    fn group(
        &self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        title: &str,
        sheets: impl Iterator<Item = Which>,
        tray: &mut Tray,
    ) {
        let mut sheets = sheets.peekable();
        if sheets.peek().is_none() {
            return;
        }
        let title = egui::RichText::new(title).font(plain(11.0));
        ui.label(title.color(bench.palette.dim));
        for which in sheets {
            self.choice(ui, bench, which, tray);
        }
        ui.add_space(5.0);
    }

    /// One sheet to choose; dim where there is nothing to say.
    fn choice(&self, ui: &mut Ui, bench: &Bench<'_>, which: Which, tray: &mut Tray) {
        let missing = which.missing(bench.build, bench.study);
        let mut name = egui::RichText::new(which.title()).font(bold(13.0));
        if missing.is_some() {
            name = name.color(bench.palette.dim);
        }
        let mut r = ui.selectable_label(self.of.3 == which, name);
        if let Some(why) = missing {
            r = r.on_hover_text(format!("Nothing on it yet: {why}"));
        }
        if r.clicked() {
            tray.put(Action::Sheet(which));
        }
    }

    /// Draws the pages with their buttons; false when it is closed.
    pub fn show(&self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) -> bool {
        let mut keep = true;
        let inside = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        let beside = ui.available_width() >= BESIDE;
        if beside {
            Panel::left("sheets")
                .resizable(false)
                .default_size(178.0)
                .frame(inside)
                .show(ui, |ui| {
                    egui::ScrollArea::vertical()
                        .id_salt("sheets")
                        .auto_shrink(false)
                        .show(ui, |ui| self.by_phase(ui, bench, tray));
                });
        }
        inside.show(ui, |ui| {
            ui.horizontal_wrapped(|ui| {
                if !beside {
                    egui::ComboBox::from_id_salt("sheets")
                        .selected_text(self.of.3.title())
                        .height(420.0)
                        .show_ui(ui, |ui| self.by_phase(ui, bench, tray))
                        .response
                        .widget_info(|| {
                            let mut info = egui::WidgetInfo::labeled(
                                egui::Role::ComboBox,
                                true,
                                "Sheet shown",
                            );
                            info.current_text_value = Some(self.of.3.title().to_owned());
                            info
                        });
                }
                let mut settings = bench.settings.clone();
                for (a4, name) in [(false, "Letter"), (true, "A4")] {
                    if ui.selectable_label(settings.a4 == a4, name).clicked() {
                        settings.a4 = a4;
                        tray.put(Action::Prefer(settings.clone()));
                    }
                }
                for (kind, name) in SHEET_KINDS {
                    if ui
                        .add_enabled(
                            self.sheet.is_ok(),
                            egui::Button::new(format!("Write {name}…")),
                        )
                        .clicked()
                    {
                        tray.put(Action::FileDialog(Want::Sheet(kind)));
                    }
                }
                if ui.button("Close preview").clicked() {
                    keep = false;
                }
                ui.colored_label(
                    bench.palette.dim,
                    "Print at 100 %, actual size; measure the bar before you drill.",
                );
            });
        });
        let Ok(sheet) = &self.sheet else {
            ui.colored_label(
                bench.palette.bad,
                self.sheet.as_ref().err().map_or("", String::as_str),
            );
            return keep;
        };
        egui::ScrollArea::vertical()
            .auto_shrink(false)
            .show(ui, |ui| {
                ui.vertical_centered(|ui| {
                    let count = sheet.document.pages.len();
                    for (i, page) in sheet.document.pages.iter().enumerate() {
                        let width = (ui.available_width() - 40.0).clamp(80.0, 760.0);
                        let scale = width / page.size.w as f32;
                        let size = vec2(width, page.size.h as f32 * scale);
                        let (rect, r) = ui.allocate_exact_size(size, egui::Sense::hover());
                        r.widget_info(|| {
                            egui::WidgetInfo::labeled(
                                egui::Role::Image,
                                true,
                                format!("Page {} of {count}", i + 1),
                            )
                        });
                        if ui.is_rect_visible(rect) {
                            paint_page(
                                &ui.painter().with_clip_rect(rect.intersect(ui.clip_rect())),
                                rect,
                                scale,
                                page,
                            );
                            ui.painter().rect_stroke(
                                rect,
                                0,
                                Stroke::new(1.0, bench.palette.dim),
                                StrokeKind::Outside,
                            );
                        }
                        ui.add_space(14.0);
                    }
                });
            });
        keep
    }
}

fn colour(ink: Ink) -> Color32 {
    theme::paper_ink(ink.rgb())
}

fn paint_page(painter: &egui::Painter, rect: Rect, scale: f32, page: &sheets::Page) {
    painter.rect_filled(rect, 0, theme::PAPER);
    let at = |p: sheets::Pt| rect.min + vec2(p.x as f32, p.y as f32) * scale;
    let stroke = |pen: &Pen| Stroke::new((pen.width as f32 * scale).max(0.6), colour(pen.ink));
    let line = |points: Vec<egui::Pos2>, pen: &Pen| {
        let pattern = pen.dash.pattern();
        if pattern.is_empty() {
            painter.line(points, stroke(pen));
        } else {
            let (mut on, mut off) = (Vec::new(), Vec::new());
            for (i, d) in pattern.iter().enumerate() {
                (if i % 2 == 0 { &mut on } else { &mut off }).push((*d as f32 * scale).max(0.8));
            }
            painter.extend(egui::Shape::dashed_line_with_offset(
                &points,
                stroke(pen),
                &on,
                &off,
                0.0,
            ));
        }
    };
    for item in &page.items {
        match item {
            Item::Line { from, to, pen } => line(vec![at(*from), at(*to)], pen),
            Item::Polyline { points, pen } => line(points.iter().map(|p| at(*p)).collect(), pen),
            Item::Polygon { points, pen, fill } => {
                let mut points: Vec<_> = points.iter().map(|p| at(*p)).collect();
                if let Some(fill) = fill {
                    painter.add(egui::Shape::convex_polygon(
                        points.clone(),
                        colour(*fill),
                        Stroke::NONE,
                    ));
                }
                if let (Some(pen), Some(first)) = (pen, points.first().copied()) {
                    points.push(first);
                    line(points, pen);
                }
            }
            Item::Rect {
                at: min,
                w,
                h,
                radius,
                pen,
                fill,
            } => {
                let r = Rect::from_min_size(at(*min), vec2(*w as f32, *h as f32) * scale);
                let round = (*radius as f32 * scale).round().clamp(0.0, 60.0) as u8;
                if let Some(fill) = fill {
                    painter.rect_filled(r, round, colour(*fill));
                }
                if let Some(pen) = pen {
                    painter.rect_stroke(r, round, stroke(pen), StrokeKind::Middle);
                }
            }
            Item::Circle {
                centre,
                radius,
                pen,
                fill,
            } => {
                let r = *radius as f32 * scale;
                if let Some(fill) = fill {
                    painter.circle_filled(at(*centre), r, colour(*fill));
                }
                if let Some(pen) = pen {
                    painter.circle_stroke(at(*centre), r, stroke(pen));
                }
            }
            Item::Text(t) => paint_text(painter, rect, scale, t),
        }
    }
}

fn paint_text(painter: &egui::Painter, rect: Rect, scale: f32, t: &sheets::Text) {
    let family = match t.face {
        Face::Regular => FontFamily::Proportional,
        Face::Bold => FontFamily::Name("bold".into()),
    };
    let size = t.size_pt as f32 * sheets::page::MM_PER_PT as f32 * scale;
    if size < 2.5 {
        return;
    }
    let font = FontId::new(size, family);
    let galley = painter.layout_no_wrap(t.text.clone(), font, colour(t.ink));
    // The page gives baselines; a galley hangs from its top.
    let ascent = galley.rows.first().map_or(size * 0.8, |r| {
        r.glyphs.first().map_or(size * 0.8, |g| g.font_ascent)
    });
    let shift: Vec2 = match t.align {
        Align::Left => vec2(0.0, -ascent),
        Align::Centre => vec2(-0.5 * galley.size().x, -ascent),
        Align::Right => vec2(-galley.size().x, -ascent),
    };
    let base = rect.min + vec2(t.x as f32, t.y as f32) * scale;
    if t.turn == 0.0 {
        painter.galley(base + shift, galley, colour(t.ink));
    } else {
        let angle = -t.turn as f32;
        let rot = egui::emath::Rot2::from_angle(angle);
        painter.add(
            egui::epaint::TextShape::new(base + rot * shift, galley, colour(t.ink))
                .with_angle(angle),
        );
    }
}
