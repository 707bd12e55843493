//! What a turn of each adjuster does, and the turns for the bands that are asked for.

use build::{Adjuster, AdjusterMoves, ArmRod, Edit, FrontEnd, FrontMotion, RollingEdit};
use eframe::egui::{self, Ui};
use units::{Kind, Length};

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::stock_form::choice;
use super::super::theme::{bold, plain};
use super::super::typed;
use super::parts;

pub(super) fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    front: &FrontEnd,
    m: &FrontMotion,
    tray: &mut Tray,
) {
    effects(ui, bench, front, m);
    ui.add_space(6.0);
    let hint = "it lengthens a rod or shifts its inner point";
    if parts::head(ui, bench, "Adjusters", hint, "Add an adjuster") {
        let new = Adjuster::usual(front);
        tray.edit(Edit::Rolling(RollingEdit::PutAdjuster(new)));
    }
    for now in &front.adjusters {
        let mut new = now.clone();
        if describe(ui, bench, &mut new, tray) {
            let id = now.id.clone();
            tray.edit(Edit::Rolling(RollingEdit::RemoveAdjuster(id)));
        } else if new != *now {
            tray.edit(Edit::Rolling(RollingEdit::PutAdjuster(new)));
        }
    }
}

const RODS: [(ArmRod, &str); 5] = [
    (ArmRod::TieRod, "tie rod"),
    (ArmRod::UpperFront, "upper arm, front"),
    (ArmRod::UpperRear, "upper arm, rear"),
    (ArmRod::LowerFront, "lower arm, front"),
    (ArmRod::LowerRear, "lower arm, rear"),
];

/// One adjuster; is it to go?
fn describe(ui: &mut Ui, bench: &Bench<'_>, x: &mut Adjuster, tray: &mut Tray) -> bool {
    let name = x.label.clone();
    let mut gone = false;
    ui.horizontal_wrapped(|ui| {
        for (slot, word, width) in [
            (&mut x.label, "name", 150.0),
            (&mut x.unit, "counted in", 76.0),
        ] {
            if word != "name" {
                ui.label(word);
            }
            let of = format!("{name} {word}");
            let typed = typed::words(ui, bench, (&x.id, word), &of, slot, width, tray);
            if let Some(text) = typed.filter(|t| !t.is_empty()) {
                *slot = text;
            }
        }
        gone = ui
            .small_button("–")
            .accessible_name(format!("Remove {name}"))
            .on_hover_text("Take this adjuster away")
            .clicked();
    });
    let mut out = None;
    let more = x.moves.len() > 1;
    for (i, m) in x.moves.iter_mut().enumerate() {
        let owner = format!("{name} move {}", i + 1);
        ui.horizontal_wrapped(|ui| {
            ui.add_space(10.0);
            let (mut rod, mut shifts) = match m {
                AdjusterMoves::Length { rod, .. } => (*rod, false),
                AdjusterMoves::Shift { rod, .. } => (*rod, true),
            };
            let was = (rod, shifts);
            let all = [(false, "lengthens"), (true, "shifts the inner point of")];
            choice(ui, format!("{owner} does"), &mut shifts, &all);
            choice(ui, format!("{owner} rod"), &mut rod, &RODS);
            if (rod, shifts) != was {
                *m = kind_of(m, rod, shifts);
            }
            let mut amount = |ui: &mut Ui, word: &str, slot: &mut Length| {
                let si = slot.si();
                if let Some(v) = common::value(ui, bench, &owner, word, Kind::Length, si, tray) {
                    *slot = Length::from_si(v);
                }
            };
            match m {
                AdjusterMoves::Length { per_turn, .. } => amount(ui, "by", per_turn),
                AdjusterMoves::Shift { ahead, out, up, .. } => {
                    amount(ui, "ahead", ahead);
                    amount(ui, "out", out);
                    amount(ui, "up", up);
                }
            }
            if more {
                let minus = ui.small_button("–");
                if minus.accessible_name(format!("Remove {owner}")).clicked() {
                    out = Some(i);
                }
            }
        });
    }
    if let Some(i) = out {
        x.moves.remove(i);
    }
    let also = ui.small_button("It moves something else too");
    if also
        .accessible_name(format!("{name} moves something else too"))
        .clicked()
    {
        x.moves.push(AdjusterMoves::Length {
            rod: ArmRod::TieRod,
            per_turn: Length::from_inches(0.0625),
        });
    }
    ui.add_space(4.0);
    gone
}

/// The same amount, of another rod or kind.
fn kind_of(m: &AdjusterMoves, rod: ArmRod, shifts: bool) -> AdjusterMoves {
    match (*m, shifts) {
        (AdjusterMoves::Length { per_turn, .. }, false) => AdjusterMoves::Length { rod, per_turn },
        (AdjusterMoves::Length { per_turn, .. }, true) => AdjusterMoves::Shift {
            rod,
            ahead: Length::default(),
            out: per_turn,
            up: Length::default(),
        },
        (AdjusterMoves::Shift { ahead, out, up, .. }, true) => AdjusterMoves::Shift {
            rod,
            ahead,
            out,
            up,
        },
        (AdjusterMoves::Shift { out, .. }, false) => AdjusterMoves::Length { rod, per_turn: out },
    }
}

fn effects(ui: &mut Ui, bench: &Bench<'_>, front: &FrontEnd, m: &FrontMotion) {
    let p = bench.palette;
    common::head(
        ui,
        bench,
        "One turn, wheel height and rack held",
        "toe last: everything moves it",
    );
    if front.adjusters.is_empty() {
        common::note(
            ui,
            bench,
            "No adjusters are described yet: add a sleeve that lengthens a rod, or a shim that shifts an inner point.",
        );
        return;
    }
    // To a hundredth: a turn's worth is little more.
    let angle = |v: f64| format!("{:+.2}°", v.to_degrees());
    egui::Grid::new("adjusters")
        .num_columns(5)
        .spacing([12.0, 4.0])
        .striped(true)
        .show(ui, |ui| {
            for word in ["", "camber", "caster", "toe-in", "to the bands"] {
                ui.label(egui::RichText::new(word).font(plain(11.0)).color(p.dim));
            }
            ui.end_row();
            for (i, (a, effect)) in front.adjusters.iter().zip(&m.adjusters).enumerate() {
                let name = format!("{}\none {}", a.label, a.unit);
                ui.label(egui::RichText::new(name).font(plain(12.0)));
                match effect {
                    Ok((rate, one)) => {
                        let three = |a: &geometry::front::Alignment| [a.camber, a.caster, a.toe_in];
                        for (one, rate) in three(one).into_iter().zip(three(rate)) {
                            ui.label(angle(one))
                                .on_hover_text(format!("{} per turn at first", angle(rate)));
                        }
                    }
                    Err(why) => {
                        ui.colored_label(p.bad, why.to_string());
                        ui.label("");
                        ui.label("");
                    }
                }
                let turns = match &m.turns {
                    Some(Ok(all)) => all.get(i).map_or_else(String::new, |t| format!("{t:+.2}")),
                    Some(Err(_)) | None => "–".to_owned(),
                };
                ui.label(egui::RichText::new(turns).font(bold(13.0)));
                ui.end_row();
            }
        });
    match &m.turns {
        None => common::note(
            ui,
            bench,
            "Set a band for camber, caster or toe-in in the readings: the last column then says how far to turn to its middle.",
        ),
        Some(Err(why)) => {
            ui.colored_label(p.bad, format!("No turns: {why}."));
        }
        Some(Ok(_)) => common::note(
            ui,
            bench,
            "Turns to the middle of the bands, from the first-order table: turn, measure, turn the rest.",
        ),
    }
}
