//! Bending dies: their sizes, and what each springs back.

use build::{Die, Edit, Springback, TubeEdit};
use eframe::egui::{Grid, Role, Ui, WidgetInfo};
use units::{Angle, Kind, Length};

use super::super::assembly_view::make::fresh;
use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::typed;
use super::super::weld_page::parts::common::{Form, Pairs};
use super::super::weld_panels::bits;

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    bits::scroll(ui, "dies", |ui| {
        let dies = &bench.build.tube_work.dies;
        if dies.is_empty() {
            bits::say(
                ui,
                "No die entered. With one a bent tube gets the angle to set, the clamp's room is checked, and the \
                 bend marks stand where the die wants them.",
            );
        }
        for die in dies {
            one(ui, bench, die, tray);
            ui.separator();
        }
        if ui.button("Add a die").clicked() {
            let id = fresh("D", |id| dies.iter().any(|x| x.id == id));
            let outside = Length::from_inches(1.75);
            // Three diameters: a rule book's usual least.
            let radius = Length::from_inches(5.25);
            tray.edit(Edit::Tube(TubeEdit::PutDie(Die {
                label: format!("Die {}", id.trim_start_matches('D')),
                id,
                outside,
                radius,
                clamp: Length::default(),
                between: Length::default(),
                mark: Length::default(),
                gain: Length::default(),
                springback: Vec::new(),
            })));
        }
        common::caution(ui, bench, build::TUBE_CAUTION);
    });
}

fn one(ui: &mut Ui, bench: &Bench<'_>, die: &Die, tray: &mut Tray) {
    let mut new = die.clone();
    let users: Vec<&str> = bench
        .build
        .assembly
        .tubes
        .iter()
        .filter(|t| t.die.as_ref() == Some(&die.id))
        .map(|t| t.label.as_str())
        .collect();
    let hint = if users.is_empty() {
        "no tube is bent on it".to_owned()
    } else {
        format!("bends {}", users.join(", "))
    };
    common::head(ui, bench, &die.label, &hint);
    let form = Form {
        owner: format!("Die {}", die.id),
        bench,
    };
    ui.horizontal_wrapped(|ui| {
        form.words(ui, "label", &mut new.label, 180.0, tray);
    });
    Pairs::show(ui, ("die", &die.id), |ui, pairs| {
        form.length(ui, pairs, "tube outside", &mut new.outside, tray);
        form.length(ui, pairs, "radius", &mut new.radius, tray);
        form.length(ui, pairs, "clamp needs", &mut new.clamp, tray);
        form.length(ui, pairs, "between bends", &mut new.between, tray);
        form.length(ui, pairs, "mark beyond start", &mut new.mark, tray);
        form.length(ui, pairs, "gain a bend", &mut new.gain, tray);
    });
    springback(ui, bench, die, &mut new, tray);
    let r = ui.small_button("Remove this die");
    r.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Remove die {}", die.id)));
    if r.clicked() {
        tray.edit(Edit::Tube(TubeEdit::RemoveDie(die.id.clone())));
    } else if new != *die {
        new.springback
            .sort_by(|a, b| a.wanted.si().total_cmp(&b.wanted.si()));
        tray.edit(Edit::Tube(TubeEdit::PutDie(new)));
    }
}

/// The measured table: angle wanted, angle to bend to.
fn springback(ui: &mut Ui, bench: &Bench<'_>, die: &Die, new: &mut Die, tray: &mut Tray) {
    common::note(
        ui,
        bench,
        "Springback, measured on scrap: between its rows the angle to set is found, outside them it is not.",
    );
    let mut remove = None;
    Grid::new(("springback", &die.id))
        .num_columns(4)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            if !die.springback.is_empty() {
                ui.label("wanted");
                ui.label("set");
                ui.label("springs back");
                ui.end_row();
            }
            for (i, row) in die.springback.iter().enumerate() {
                let n = i + 1;
                let cells = [("wanted", row.wanted), ("set", row.set)];
                for (word, now) in cells {
                    let name = format!("Die {}, row {n}, {word}", die.id);
                    let salt = ("springback", &die.id, i, word);
                    let v = typed::field(ui, bench, salt, &name, Kind::Angle, now.si(), 72.0, tray);
                    let (Some(v), Some(slot)) = (v, new.springback.get_mut(i)) else {
                        continue;
                    };
                    if word == "wanted" {
                        slot.wanted = Angle::from_si(v);
                    } else {
                        slot.set = Angle::from_si(v);
                    }
                }
                ui.label(bench.show(Kind::Angle, row.set.si() - row.wanted.si()));
                let r = ui.small_button("–").on_hover_text("Take this row out");
                r.widget_info(|| {
                    WidgetInfo::labeled(
                        Role::Button,
                        true,
                        format!("Die {}, remove row {n}", die.id),
                    )
                });
                if r.clicked() {
                    remove = Some(i);
                }
                ui.end_row();
            }
        });
    if let Some(i) = remove.filter(|i| *i < new.springback.len()) {
        new.springback.remove(i);
    }
    let r = ui.small_button("Add a row");
    r.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Die {}, add a row", die.id)));
    if r.clicked() {
        let last = die.springback.last();
        let wanted = last.map_or(30.0, |x| (x.wanted.degrees() + 30.0).min(175.0));
        let set = last.map_or(wanted, |x| wanted + (x.set.degrees() - x.wanted.degrees()));
        new.springback.push(Springback {
            wanted: Angle::from_degrees(wanted),
            set: Angle::from_degrees(set),
        });
    }
}
