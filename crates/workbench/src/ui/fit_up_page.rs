//! Fit-up and tack: the joints, the gap dial of the one in hand, and what its weld will pull.

use build::{Edit, Gap, GapRule, Held, Joint, JointKind, JointStudy, Part, shop_rule};
use eframe::egui::{
    self, Align2, ComboBox, Panel, Pos2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, vec2,
};
use units::{Kind, Length};

use super::bench::{Action, Bench, Tray};
use super::clock;
use super::command::Command;
use super::gap_file::GapFile;
use super::theme::{bold, plain};
use super::{draw, typed};

/// Clock positions every joint is asked for.
const CLOCKS: [f64; 4] = [12.0, 3.0, 6.0, 9.0];

/// What this page remembers.
#[derive(Debug, Default)]
pub struct FitUpPage {
    /// Further clock positions shown in the dial's table, by joint.
    extra: Vec<(String, f64)>,
    /// The log as a table in a file.
    file: GapFile,
}

impl FitUpPage {
    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let margin = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        let joints = &bench.build.fit_up.joints;
        let chosen = match bench.selected {
            Some(Part::Joint(id)) => joints.iter().position(|j| j.id == *id),
            _ => None,
        }
        .or((!joints.is_empty()).then_some(0));
        let height = (ui.available_height() * 0.58).clamp(220.0, 420.0);
        Panel::bottom("joint in hand")
            .resizable(true)
            .default_size(height)
            .min_size(160.0)
            .frame(margin)
            .show(ui, |ui| {
                egui::ScrollArea::vertical()
                    .auto_shrink(false)
                    .show(ui, |ui| match chosen {
                        Some(i) => self.joint(ui, bench, i, tray),
                        None => {
                            ui.label("No joints yet. Add one for every weld before it is tacked.");
                        }
                    });
            });
        margin.show(ui, |ui| {
            head(ui, bench, tray);
            self.file.show(ui, bench, tray);
            egui::ScrollArea::vertical()
                .auto_shrink(false)
                .show(ui, |ui| {
                    for (i, (j, s)) in joints.iter().zip(&bench.study.fit_up.joints).enumerate() {
                        row(ui, bench, j, s, chosen == Some(i), tray);
                    }
                });
        });
    }

    fn joint(&mut self, ui: &mut Ui, bench: &Bench<'_>, index: usize, tray: &mut Tray) {
        let (j, s) = (
            &bench.build.fit_up.joints[index],
            &bench.study.fit_up.joints[index],
        );
        let mut new = j.clone();
        ui.horizontal(|ui| {
            let salt = ("joint name", &j.id);
            if let Some(label) = typed::words(ui, bench, salt, "Joint name", &j.label, 320.0, tray)
            {
                new.label = label;
            }
            if ui.button("Remove joint").clicked() {
                tray.edit(Edit::RemoveJoint(j.id.clone()));
            }
        });
        let wide = ui.available_width() > 600.0;
        ui.horizontal_top(|ui| {
            dial(ui, bench, j, s);
            ui.vertical(|ui| {
                ui.set_width(190.0);
                self.gaps(ui, bench, j, &mut new, tray);
            });
            if wide {
                ui.vertical(|ui| {
                    kind_fields(ui, bench, j, &mut new, tray);
                    verdict(ui, bench, j, s);
                });
            }
        });
        if !wide {
            kind_fields(ui, bench, j, &mut new, tray);
            verdict(ui, bench, j, s);
        }
        pull(ui, bench, s);
        if new != *j {
            if new.gaps != j.gaps {
                new.when = clock::now();
                if !bench.settings.who.is_empty() {
                    new.who.clone_from(&bench.settings.who);
                }
            }
            tray.edit(Edit::PutJoint(new));
        }
    }

    fn gaps(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        j: &Joint,
        new: &mut Joint,
        tray: &mut Tray,
    ) {
        let mut clocks: Vec<f64> = CLOCKS.to_vec();
        let extra = self
            .extra
            .iter()
            .filter(|(id, _)| *id == j.id)
            .map(|(_, c)| *c);
        for c in j.gaps.iter().map(|g| g.clock).chain(extra) {
            let c = if c == 0.0 { 12.0 } else { c };
            if !clocks.iter().any(|k| (k - c).abs() < 1e-9) {
                clocks.push(c);
            }
        }
        egui::Grid::new("gaps")
            .num_columns(2)
            .spacing([8.0, 3.0])
            .show(ui, |ui| {
                ui.colored_label(bench.palette.dim, "o'clock");
                ui.colored_label(bench.palette.dim, "gap");
                ui.end_row();
                for c in clocks {
                    let at = |g: &&Gap| (g.clock % 12.0 - c % 12.0).abs() < 1e-9;
                    let now = j.gaps.iter().rev().find(at).map(|g| g.gap);
                    ui.label(format!("{c}"));
                    let name = format!("Gap at {c} o'clock");
                    if let Some(v) = gap_field(ui, bench, j, c, &name, now, tray) {
                        new.gaps.retain(|g| !at(&g));
                        if let Some(gap) = v {
                            new.gaps.push(Gap {
                                clock: c % 12.0,
                                gap,
                            });
                            new.gaps.sort_by(|a, b| a.clock.total_cmp(&b.clock));
                        }
                    }
                    ui.end_row();
                }
            });
        let next = (0..12)
            .map(|h| f64::from(h) + 0.5)
            .chain((1..12).map(f64::from));
        let mut free = next
            .filter(|c| !j.gaps.iter().any(|g| (g.clock - c).abs() < 1e-9) && !CLOCKS.contains(c));
        if ui.button("Another clock position").clicked()
            && let Some(c) = free.find(|c| !self.extra.iter().any(|(id, k)| *id == j.id && k == c))
        {
            self.extra.push((j.id.clone(), c));
        }
    }
}

/// A gap; an emptied field takes the reading away.
fn gap_field(
    ui: &mut Ui,
    bench: &Bench<'_>,
    j: &Joint,
    clock: f64,
    name: &str,
    now: Option<Length>,
    tray: &mut Tray,
) -> Option<Option<Length>> {
    typed::optional(
        ui,
        bench,
        ("gap", &j.id, clock.to_bits()),
        name,
        Kind::Length,
        now.map(Length::si),
        82.0,
        tray,
    )
    .map(|v| v.map(Length::from_si))
}

fn head(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    ui.horizontal(|ui| {
        ui.label(egui::RichText::new("Fit-up log").font(bold(13.0)));
        let mut rule = bench.build.fit_up.rule;
        ComboBox::from_id_salt("gap rule")
            .selected_text(rule_name(rule))
            .width(150.0)
            .show_ui(ui, |ui| {
                for r in [
                    GapRule::AwsD11,
                    GapRule::Iso5817B,
                    GapRule::Iso5817C,
                    GapRule::Iso5817D,
                    shop_rule(),
                ] {
                    let same = rule_name(r) == rule_name(rule);
                    if ui.selectable_label(same, rule_name(r)).clicked() && !same {
                        rule = r;
                    }
                }
            })
            .response
            .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "Gap rule"));
        if rule != bench.build.fit_up.rule {
            tray.edit(Edit::Rule(rule));
        }
        if let GapRule::Shop {
            grow_above,
            reject_above,
        } = rule
        {
            let a = typed::field(
                ui,
                bench,
                "grow",
                "Leg grows above",
                Kind::Length,
                grow_above.si(),
                60.0,
                tray,
            );
            let b = typed::field(
                ui,
                bench,
                "reject",
                "Rejected above",
                Kind::Length,
                reject_above.si(),
                60.0,
                tray,
            );
            if a.is_some() || b.is_some() {
                tray.edit(Edit::Rule(GapRule::Shop {
                    grow_above: Length::from_si(a.unwrap_or(grow_above.si())),
                    reject_above: Length::from_si(b.unwrap_or(reject_above.si())),
                }));
            }
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            for command in [Command::CopyFitUp, Command::AddJoint] {
                let e = command.entry();
                if ui.button(e.label).on_hover_text(e.tip).clicked() {
                    tray.put(Action::Run(command));
                }
            }
        });
    });
}

/// What the rule is called.
pub fn rule_name(rule: GapRule) -> &'static str {
    match rule {
        GapRule::AwsD11 => "AWS D1.1 style",
        GapRule::Iso5817B => "ISO 5817 level B",
        GapRule::Iso5817C => "ISO 5817 level C",
        GapRule::Iso5817D => "ISO 5817 level D",
        GapRule::Shop { .. } => "Shop's own",
    }
}

/// The verdict in words and whether it passes.
pub fn verdict_words(bench: &Bench<'_>, s: &JointStudy) -> (String, egui::Color32) {
    let p = bench.palette;
    match &s.judged {
        Err(e) => (e.to_string(), p.bad),
        Ok(f) => match f.verdict {
            weld::Verdict::Good if s.complete => ("✓ in limit".to_owned(), p.good),
            weld::Verdict::Good => ("in limit so far".to_owned(), p.dim),
            weld::Verdict::EnlargeLeg { leg } => {
                (format!("✓ with a {} leg", fine(bench, leg)), p.accent)
            }
            weld::Verdict::Reject => (format!("! past {}", fine(bench, f.limit)), p.bad),
            weld::Verdict::NotLogged { .. } => ("not logged".to_owned(), p.dim),
        },
    }
}

fn row(ui: &mut Ui, bench: &Bench<'_>, j: &Joint, s: &JointStudy, chosen: bool, tray: &mut Tray) {
    let p = bench.palette;
    let (rect, r) = ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::click());
    let (words, colour) = verdict_words(bench, s);
    r.widget_info(|| {
        let mut info = WidgetInfo::selected(
            Role::ListBoxOption,
            true,
            chosen,
            format!("Joint {}", j.label),
        );
        info.current_text_value = Some(words.clone());
        info
    });
    if r.clicked() {
        r.request_focus();
        tray.put(Action::Select(Part::Joint(j.id.clone())));
    }
    let painter = ui.painter();
    if chosen || r.hovered() || r.has_focus() {
        painter.rect_filled(
            rect,
            4,
            if chosen {
                p.field
            } else {
                p.field.gamma_multiply(0.5)
            },
        );
    }
    if chosen {
        painter.rect_filled(
            Rect::from_min_size(rect.min, vec2(2.5, rect.height())),
            0,
            p.accent,
        );
    }
    let y = rect.center().y;
    let w = rect.width();
    let cell = |x: f32, wide: f32, text: &str, colour, font| {
        draw::text_fit(
            painter,
            Pos2::new(rect.left() + x, y),
            Align2::LEFT_CENTER,
            text,
            font,
            colour,
            wide,
        );
    };
    let right = 400.0_f32.min(w * 0.62);
    cell(10.0, w - right - 16.0, &j.label, p.ink, plain(12.5));
    let number = |v: Option<f64>| {
        v.map_or("—".to_owned(), |v| {
            units::format_fine(Kind::Length, v, bench.shop())
        })
    };
    cell(
        w - right,
        right * 0.33,
        &format!("worst {}", number(s.worst.map(|w| w.0))),
        p.ink,
        plain(12.0),
    );
    cell(
        w - right * 0.66,
        right * 0.31,
        &format!("mean {}", number(s.mean)),
        p.dim,
        plain(12.0),
    );
    cell(
        w - right * 0.34,
        right * 0.34 - 6.0,
        &words,
        colour,
        plain(12.0),
    );
}

/// The joint seen along the tube: the gap drawn out from the ring, many times its size.
fn dial(ui: &mut Ui, bench: &Bench<'_>, j: &Joint, s: &JointStudy) {
    let p = bench.palette;
    let (rect, r) = ui.allocate_exact_size(vec2(176.0, 176.0), Sense::hover());
    r.widget_info(|| WidgetInfo::labeled(Role::Image, true, format!("Gap dial of {}", j.label)));
    let painter = ui.painter();
    let c = rect.center();
    let ring = 46.0;
    let at = |clock: f64, r: f32| {
        let a = (clock / 12.0 * std::f64::consts::TAU) as f32;
        c + vec2(a.sin(), -a.cos()) * r
    };
    let limit = s.judged.as_ref().map_or(0.0, |f| f.limit);
    let most = j
        .gaps
        .iter()
        .map(|g| g.gap.si())
        .fold(limit, f64::max)
        .max(1e-4);
    let out = |gap: f64| ring + (gap / most * 22.0) as f32;
    painter.circle_stroke(c, ring, Stroke::new(2.0, p.chalk));
    if limit > 0.0 {
        let points: Vec<Pos2> = (0..=60)
            .map(|k| at(f64::from(k) / 5.0, out(limit)))
            .collect();
        draw::dashed(painter, &points, Stroke::new(1.2, p.bad), 5.0, 4.0);
    }
    let mut gaps: Vec<&Gap> = j.gaps.iter().collect();
    gaps.sort_by(|a, b| a.clock.total_cmp(&b.clock));
    if gaps.len() > 1 {
        // Linear between readings, and round again.
        let mut points = Vec::new();
        for k in 0..gaps.len() {
            let (a, b) = (gaps[k], gaps[(k + 1) % gaps.len()]);
            let span = (b.clock - a.clock).rem_euclid(12.0);
            for step in 0..16 {
                let t = f64::from(step) / 16.0;
                points.push(at(
                    a.clock + span * t,
                    out(a.gap.si() + t * (b.gap.si() - a.gap.si())),
                ));
            }
        }
        if let Some(first) = points.first().copied() {
            points.push(first);
        }
        painter.line(points, Stroke::new(1.8, p.upper));
    }
    for g in gaps {
        painter.circle(
            at(g.clock, out(g.gap.si())),
            3.5,
            p.ground,
            Stroke::new(1.6, p.upper),
        );
    }
    for h in [12, 3, 6, 9] {
        painter.text(
            at(f64::from(h), ring - 12.0),
            Align2::CENTER_CENTER,
            h.to_string(),
            plain(11.0),
            p.dim,
        );
    }
    if limit > 0.0 {
        painter.text(
            rect.center_bottom(),
            Align2::CENTER_BOTTOM,
            format!("dashed: limit {}", fine(bench, limit)),
            plain(10.5),
            p.bad,
        );
    }
}

fn kind_fields(ui: &mut Ui, bench: &Bench<'_>, j: &Joint, new: &mut Joint, tray: &mut Tray) {
    egui::Grid::new("joint kind")
        .num_columns(2)
        .spacing([8.0, 3.0])
        .show(ui, |ui| {
            ui.label("kind");
            ComboBox::from_id_salt("joint kind")
                .selected_text(kind_name(j.kind))
                .width(130.0)
                .show_ui(ui, |ui| {
                    for k in [
                        JointKind::Butt,
                        JointKind::Tee { fillets: 1 },
                        JointKind::Tee { fillets: 2 },
                        JointKind::Lap,
                        JointKind::Cope,
                    ] {
                        ui.selectable_value(&mut new.kind, k, kind_name(k));
                    }
                })
                .response
                .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "Joint kind"));
            ui.end_row();
            for (label, now, slot) in [
                ("wall", j.wall, &mut new.wall),
                ("leg asked for", j.leg, &mut new.leg),
            ] {
                ui.label(label);
                if let Some(v) = typed::field(
                    ui,
                    bench,
                    (label, &j.id),
                    &format!("Joint {label}"),
                    Kind::Length,
                    now.si(),
                    82.0,
                    tray,
                ) {
                    *slot = Length::from_si(v);
                }
                ui.end_row();
            }
            ui.label("held");
            ComboBox::from_id_salt("joint held")
                .selected_text(held_name(j.held))
                .width(130.0)
                .show_ui(ui, |ui| {
                    for h in [Held::Free, Held::Tacked, Held::Fixtured] {
                        ui.selectable_value(&mut new.held, h, held_name(h));
                    }
                })
                .response
                .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, "How the joint is held"));
            ui.end_row();
            ui.label("passes");
            let r = ui.add(
                egui::DragValue::new(&mut new.passes)
                    .range(1..=build::MAX_PASSES)
                    .update_while_editing(false)
                    .speed(0.05),
            );
            if r.drag_started() {
                tray.put(Action::BeginGesture);
            }
            r.widget_info(|| WidgetInfo::labeled(Role::SpinButton, true, "Weld passes"));
            ui.end_row();
        });
}

/// What a joint kind is called.
pub fn kind_name(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Butt => "butt",
        JointKind::Tee { fillets: 1 } => "tee, one fillet",
        JointKind::Tee { .. } => "tee, two fillets",
        JointKind::Lap => "lap",
        JointKind::Cope => "coped tube",
    }
}

fn held_name(held: Held) -> &'static str {
    match held {
        Held::Free => "free",
        Held::Tacked => "tacked",
        Held::Fixtured => "in a fixture",
    }
}

fn verdict(ui: &mut Ui, bench: &Bench<'_>, j: &Joint, s: &JointStudy) {
    let (words, colour) = verdict_words(bench, s);
    ui.colored_label(colour, words);
    if !j.when.is_empty() {
        ui.colored_label(
            bench.palette.dim,
            format!("{} {}", j.who, super::checklist::short_date(&j.when)),
        );
    }
}

fn pull(ui: &mut Ui, bench: &Bench<'_>, s: &JointStudy) {
    let p = bench.palette;
    ui.add_space(4.0);
    ui.label(egui::RichText::new("What the weld will pull in, first estimate").font(bold(13.0)));
    match &s.shrinkage {
        Err(e) => {
            ui.colored_label(p.dim, e.show(bench.shop()));
        }
        Ok(x) => {
            let fine = |v| units::format_fine(Kind::Length, v, bench.shop());
            ui.label(format!(
                "about {}, from {} to {}",
                fine(x.point),
                fine(x.low),
                fine(x.high)
            ));
            if x.out_of_range {
                ui.colored_label(p.accent, "Outside every formula's range: weld a scrap joint of the same wall and measure it.");
            }
            cost(ui, bench, s);
            for e in &x.estimates {
                let range = if e.in_range { "" } else { " · " };
                let note = if e.in_range { "" } else { e.note };
                ui.label(
                    egui::RichText::new(format!("{}  {}{range}{note}", fine(e.value), e.source))
                        .small()
                        .color(p.dim),
                );
            }
        }
    }
}

/// What the gaps cost against a tight joint.
fn cost(ui: &mut Ui, bench: &Bench<'_>, s: &JointStudy) {
    let Ok(work) = &s.weld else { return };
    let Some(extra) = &work.extra else { return };
    let share = extra.volume / (work.welded.volume - extra.volume);
    let metal = if share.is_finite() && share >= 0.005 {
        format!("{:.0} % more weld metal", 100.0 * share)
    } else {
        "no more weld metal".to_owned()
    };
    ui.label(format!(
        "Its gaps cost {metal} and {} more pull.",
        units::format_fine(Kind::Length, extra.shrinkage, bench.shop())
    ));
}

/// Gaps and legs to a thousandth: a tape would round them to nothing.
fn fine(bench: &Bench<'_>, metres: f64) -> String {
    units::format_fine(Kind::Length, metres, bench.shop())
}
