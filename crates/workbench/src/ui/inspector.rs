//! The part in hand: its numbers, typed.

use build::{Bracket, Carrier, Edit, End, HeldLength, Holes, Link, Part, Place, Side, Sides};
use eframe::egui::{self, ComboBox, Ui};
use units::{Kind, Length};

use super::bench::{Action, Bench, Tray};
use super::dialog::Dialog;
use super::stock_form;
use super::theme::bold;
use super::typed;

/// The selected bracket or link.
pub fn show(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    egui::ScrollArea::vertical()
        .auto_shrink(false)
        .show(ui, |ui| match bench.selected {
            Some(Part::Bracket(id)) => match bench.build.rear.bracket(id) {
                Some(b) => bracket(ui, bench, b, tray),
                None => gone(ui),
            },
            Some(Part::Link(id)) => match bench.build.rear.link(id) {
                Some(l) => link(ui, bench, l, tray),
                None => gone(ui),
            },
            _ => gone(ui),
        });
}

fn gone(ui: &mut Ui) {
    ui.label("Click a link end or a bracket to see its numbers.");
}

fn head(ui: &mut Ui, title: &str, tray: &mut Tray) {
    ui.horizontal(|ui| {
        ui.add(egui::Label::new(egui::RichText::new(title).font(bold(13.0))).truncate());
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui
                .small_button("Done")
                .on_hover_text("Back to the plan and rear views")
                .clicked()
            {
                tray.put(Action::Select(Part::Build));
            }
        });
    });
}

fn length(
    ui: &mut Ui,
    bench: &Bench<'_>,
    id: &str,
    label: &str,
    owner: &str,
    metres: f64,
    tray: &mut Tray,
) -> Option<f64> {
    ui.label(label);
    typed::field(
        ui,
        bench,
        (id, owner),
        &format!("{owner} {label}"),
        Kind::Length,
        metres,
        86.0,
        tray,
    )
}

fn bracket(ui: &mut Ui, bench: &Bench<'_>, b: &Bracket, tray: &mut Tray) {
    head(ui, &format!("Bracket {}", b.label), tray);
    egui::Grid::new("bracket grid")
        .num_columns(4)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            let mut at = b.at.si();
            let mut moved = false;
            for (k, (id, label)) in [
                ("station", "ahead"),
                ("offset", "out, left +"),
                ("height", "up"),
            ]
            .into_iter()
            .enumerate()
            {
                if let Some(v) = length(ui, bench, id, label, &b.label, at[k], tray) {
                    at[k] = v;
                    moved = true;
                }
                if k == 1 {
                    ui.end_row();
                }
            }
            if moved {
                tray.edit(Edit::MoveBracket {
                    bracket: b.id.clone(),
                    to: Place::from_si(at),
                });
            }
            let mut new = b.clone();
            if let Some(v) = length(ui, bench, "drill", "drill", &b.label, b.drill.si(), tray) {
                new.drill = Length::from_si(v);
            }
            ui.end_row();
            if let Holes::Row { count, pitch, lean } = &b.holes {
                let (mut count, mut pitch, mut lean) = (*count, *pitch, *lean);
                ui.label("holes");
                let r = ui.add(
                    egui::DragValue::new(&mut count)
                        .range(1..=build::MAX_HOLES)
                        .update_while_editing(false)
                        .speed(0.05),
                );
                if r.drag_started() {
                    // However many holes the hand passes, it is one step to undo.
                    tray.put(Action::BeginGesture);
                }
                r.widget_info(|| {
                    egui::WidgetInfo::labeled(
                        egui::Role::SpinButton,
                        true,
                        format!("{} holes", b.label),
                    )
                });
                if let Some(v) = length(
                    ui,
                    bench,
                    "pitch",
                    "hole to hole",
                    &b.label,
                    pitch.si(),
                    tray,
                ) {
                    pitch = Length::from_si(v);
                }
                ui.end_row();
                ui.label("lean ahead");
                let name = format!("{} lean", b.label);
                if let Some(v) = typed::field(
                    ui,
                    bench,
                    ("lean", &b.id),
                    &name,
                    Kind::Angle,
                    lean.si(),
                    86.0,
                    tray,
                ) {
                    lean = units::Angle::from_si(v);
                }
                new.holes = Holes::Row { count, pitch, lean };
            } else {
                ui.label("holes");
                ui.label(format!("{}, one by one", b.hole_count()));
            }
            if let Some(v) = length(
                ui,
                bench,
                "plate",
                "plate wide",
                &b.label,
                b.plate_width.si(),
                tray,
            ) {
                new.plate_width = Length::from_si(v);
            }
            ui.end_row();
            if new != *b {
                tray.edit(Edit::PutBracket(new));
            }
        });
    ui.horizontal(|ui| {
        let on = match b.on {
            Carrier::Frame => "on the frame",
            Carrier::Axle => "on the axle",
        };
        let sides = match b.sides {
            Sides::Pair => "both sides",
            Sides::Single => "one only",
        };
        ui.colored_label(bench.palette.dim, format!("{on}, {sides}"));
        if ui
            .button("Change…")
            .accessible_name(format!("Change {}", b.label))
            .clicked()
        {
            tray.put(Action::Ask(Dialog::bracket(Some(b))));
        }
        if ui
            .button("Remove")
            .accessible_name(format!("Remove {}", b.label))
            .clicked()
        {
            tray.edit(Edit::RemoveBracket(b.id.clone()));
        }
    });
}

fn link(ui: &mut Ui, bench: &Bench<'_>, l: &Link, tray: &mut Tray) {
    head(ui, &l.label, tray);
    egui::Grid::new("link grid")
        .num_columns(4)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            for (end, word, at) in [
                (End::Frame, "frame end", &l.at_frame),
                (End::Axle, "axle end", &l.at_axle),
            ] {
                let Some(b) = bench.build.rear.bracket(&at.bracket) else {
                    continue;
                };
                let right = at.right_hole.unwrap_or(at.hole);
                ui.label(word);
                if l.sides == Sides::Pair {
                    hole_choice(
                        ui,
                        l,
                        end,
                        Side::Both,
                        "hole",
                        at.hole,
                        b.hole_count(),
                        tray,
                    );
                    ui.label("right");
                    hole_choice(
                        ui,
                        l,
                        end,
                        Side::Right,
                        "right hole",
                        right,
                        b.hole_count(),
                        tray,
                    );
                } else {
                    hole_choice(
                        ui,
                        l,
                        end,
                        Side::Both,
                        "hole",
                        at.hole,
                        b.hole_count(),
                        tray,
                    );
                }
                ui.end_row();
            }
            let index = bench
                .build
                .rear
                .links
                .iter()
                .position(|x| x.id == l.id)
                .unwrap_or(0);
            let rods: Vec<_> = bench
                .study
                .rear
                .rods
                .iter()
                .filter(|r| r.link == index)
                .collect();
            for r in &rods {
                let word = match r.side {
                    Side::Left => "left, eye to eye",
                    Side::Right => "right, eye to eye",
                    Side::Both => "eye to eye",
                };
                if let Some(v) = length(ui, bench, word, word, &l.label, r.length, tray) {
                    let other = |s: Side| rods.iter().find(|x| x.side == s).map_or(v, |x| x.length);
                    let (mut left, mut right) = (other(Side::Left), other(Side::Right));
                    match r.side {
                        Side::Left => left = v,
                        Side::Right => right = v,
                        Side::Both => (left, right) = (v, v),
                    }
                    tray.edit(Edit::HoldLength {
                        link: l.id.clone(),
                        held: Some(HeldLength {
                            left: Length::from_si(left),
                            right: Length::from_si(right),
                        }),
                    });
                }
                ui.label("thread in");
                let colour = if r.reserve < 0.0 {
                    bench.palette.bad
                } else {
                    bench.palette.ink
                };
                ui.colored_label(
                    colour,
                    format!(
                        "{}, {} left",
                        bench.length(r.engaged),
                        bench.length(r.reserve)
                    ),
                );
                ui.end_row();
            }
        });
    ui.horizontal_wrapped(|ui| {
        if l.held.is_some() {
            ui.colored_label(bench.palette.dim, "length held");
            let tip = "Give each link the length that keeps the axle where it is drawn";
            if ui.button("Reset length").on_hover_text(tip).clicked() {
                tray.edit(Edit::HoldLength {
                    link: l.id.clone(),
                    held: None,
                });
            }
        } else {
            ui.colored_label(bench.palette.dim, "length follows the holes");
            let tip = "Keep this length when a hole changes; the pinion moves instead";
            if ui.button("Hold length").on_hover_text(tip).clicked() {
                let index = bench
                    .build
                    .rear
                    .links
                    .iter()
                    .position(|x| x.id == l.id)
                    .unwrap_or(0);
                let of = |s| {
                    bench
                        .study
                        .rear
                        .rod(index, s)
                        .map(|r| Length::from_si(r.length))
                };
                if let (Some(left), Some(right)) = (of(Side::Left), of(Side::Right)) {
                    tray.edit(Edit::HoldLength {
                        link: l.id.clone(),
                        held: Some(HeldLength { left, right }),
                    });
                }
            }
        }
        if ui
            .button("Change…")
            .accessible_name(format!("Change {}", l.label))
            .clicked()
        {
            tray.put(Action::Ask(Dialog::link(bench.build, Some(l))));
        }
        if ui
            .button("Remove")
            .accessible_name(format!("Remove {}", l.label))
            .clicked()
        {
            tray.edit(Edit::RemoveLink(l.id.clone()));
        }
    });
    stock_form::show(ui, bench, l, tray);
}

#[expect(clippy::too_many_arguments, reason = "a choice is all of these")]
fn hole_choice(
    ui: &mut Ui,
    l: &Link,
    end: End,
    side: Side,
    word: &str,
    now: usize,
    count: usize,
    tray: &mut Tray,
) {
    let mut hole = now;
    let end_word = if end == End::Frame {
        "frame end"
    } else {
        "axle end"
    };
    ComboBox::from_id_salt(("hole", &l.id, end, side))
        .selected_text(format!("hole {now}"))
        .width(70.0)
        .show_ui(ui, |ui| {
            for n in 1..=count {
                ui.selectable_value(&mut hole, n, format!("hole {n}"));
            }
        })
        .response
        .widget_info(|| {
            let mut info = egui::WidgetInfo::labeled(
                egui::Role::ComboBox,
                true,
                format!("{}, {end_word}, {word}", l.label),
            );
            info.current_text_value = Some(format!("hole {now}"));
            info
        });
    if hole != now {
        tray.edit(Edit::SetHole {
            link: l.id.clone(),
            end,
            side,
            hole,
        });
    }
}
