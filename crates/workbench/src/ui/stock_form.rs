//! What a link is made of: tube or bar, rod ends, bolts.

use build::{BoltGrade, Edit, Link, LinkBolt, LinkStock, Section, Shear};
use eframe::egui::{self, ComboBox, Ui};
use units::{Force, Kind, Length, Pressure};

use super::bench::{Bench, Tray};
use super::theme::bold;
use super::typed;

/// The stock of a link: typed, or how to begin.
pub fn show(ui: &mut Ui, bench: &Bench<'_>, l: &Link, tray: &mut Tray) {
    ui.add_space(4.0);
    ui.label(egui::RichText::new("What it bears").font(bold(13.0)));
    let Some(stock) = l.stock else {
        ui.add(
            egui::Label::new(
                egui::RichText::new(
                    "Nothing entered: no safety factor. Needed are its tube, the yield strength from the mill sheet, the rod \
                     ends' static rating and the bolts.",
                )
                .color(bench.palette.dim),
            )
            .wrap(),
        );
        if ui
            .button("Enter tube and bolts")
            .accessible_name(format!("Enter tube and bolts of {}", l.label))
            .on_hover_text(
                "Begins with a 1 1/4 by 0.120 in tube of mild steel: change it to what you have",
            )
            .clicked()
        {
            put(l, Some(first()), tray);
        }
        return;
    };
    let mut new = stock;
    egui::Grid::new(("stock", &l.id))
        .num_columns(4)
        .spacing([8.0, 4.0])
        .show(ui, |ui| fields(ui, bench, l, &stock, &mut new, tray));
    if ui
        .button("Forget")
        .accessible_name(format!("Forget what {} is made of", l.label))
        .on_hover_text("Take tube, rod ends and bolts out again")
        .clicked()
    {
        put(l, None, tray);
    } else if new != stock {
        put(l, Some(new), tray);
    }
}

fn put(l: &Link, stock: Option<LinkStock>, tray: &mut Tray) {
    tray.edit(Edit::PutLink(Link { stock, ..l.clone() }));
}

/// A tube to be replaced by what is on the bench: 1 1/4 by 0.120 in, 36 000 psi as plain structural steel (ASTM A36, from
/// memory). Rod ends and bolts are for their maker to say.
fn first() -> LinkStock {
    LinkStock {
        section: Section::Tube {
            outside: Length::from_inches(1.25),
            wall: Length::from_inches(0.12),
        },
        yield_strength: Pressure::from_si(36_000.0 * 6_894.757_293_168_36),
        modulus: build::steel_modulus(),
        rod_end_rating: None,
        bolt: None,
    }
}

fn fields(
    ui: &mut Ui,
    bench: &Bench<'_>,
    l: &Link,
    now: &LinkStock,
    new: &mut LinkStock,
    tray: &mut Tray,
) {
    let mut value = |ui: &mut Ui, label: &str, kind: Kind, si: f64| {
        ui.label(label);
        let name = format!("{} {label}", l.label);
        typed::field(ui, bench, (label, &l.id), &name, kind, si, 82.0, tray)
    };
    let tube = matches!(now.section, Section::Tube { .. });
    ui.label("made of");
    let mut is_tube = tube;
    choice(
        ui,
        format!("{} section", l.label),
        &mut is_tube,
        &[(true, "tube"), (false, "solid bar")],
    );
    let across = match now.section {
        Section::Tube { outside, .. } => outside,
        Section::Solid { diameter } => diameter,
    };
    let wide = value(ui, "outside", Kind::Length, across.si()).map_or(across, Length::from_si);
    ui.end_row();
    new.section = match now.section {
        Section::Tube { wall, .. } if is_tube => Section::Tube {
            outside: wide,
            wall: value(ui, "wall", Kind::Length, wall.si()).map_or(wall, Length::from_si),
        },
        // A bar that becomes a tube needs some wall to begin with.
        _ if is_tube => Section::Tube {
            outside: wide,
            wall: Length::from_si(0.1 * wide.si()),
        },
        _ => Section::Solid { diameter: wide },
    };
    if let Some(v) = value(ui, "yield", Kind::Pressure, now.yield_strength.si()) {
        new.yield_strength = Pressure::from_si(v);
    }
    ui.end_row();
    ui.label("rod ends");
    let name = format!("{} rod end rating", l.label);
    let rating = now.rod_end_rating.map(|r| r.si());
    if let Some(v) = typed::optional(
        ui,
        bench,
        ("rating", &l.id),
        &name,
        Kind::Force,
        rating,
        82.0,
        tray,
    ) {
        new.rod_end_rating = v.map(Force::from_si);
    }
    ui.label("bolt");
    let name = format!("{} bolt diameter", l.label);
    let diameter = now.bolt.map(|b| b.diameter.si());
    let typed = typed::optional(
        ui,
        bench,
        ("bolt", &l.id),
        &name,
        Kind::Length,
        diameter,
        82.0,
        tray,
    );
    if let Some(v) = typed {
        new.bolt = v.map(|d| LinkBolt {
            diameter: Length::from_si(d),
            ..now.bolt.unwrap_or(LinkBolt {
                diameter: Length::from_si(d),
                grade: BoltGrade::Grade5,
                shear: Shear::Double,
            })
        });
    }
    ui.end_row();
    if let Some(bolt) = &mut new.bolt {
        ui.label("grade");
        choice(
            ui,
            format!("{} bolt grade", l.label),
            &mut bolt.grade,
            &[
                (BoltGrade::Grade2, "grade 2"),
                (BoltGrade::Grade5, "grade 5"),
                (BoltGrade::Grade8, "grade 8"),
            ],
        );
        ui.label("sheared");
        choice(
            ui,
            format!("{} bolt shear", l.label),
            &mut bolt.shear,
            &[(Shear::Single, "one plate"), (Shear::Double, "both sides")],
        );
        ui.end_row();
    }
}

/// A choice of words with a name.
pub(super) fn choice<T: PartialEq + Copy>(
    ui: &mut Ui,
    name: impl Into<String>,
    now: &mut T,
    all: &[(T, &str)],
) {
    let name = name.into();
    let said = all
        .iter()
        .find(|(v, _)| v == now)
        .map_or("", |(_, word)| *word);
    ComboBox::from_id_salt(("choice", &name))
        .selected_text(said)
        .width(78.0)
        .show_ui(ui, |ui| {
            for (v, word) in all {
                ui.selectable_value(now, *v, *word);
            }
        })
        .response
        .widget_info(|| {
            let mut info = egui::WidgetInfo::labeled(egui::Role::ComboBox, true, &name);
            info.current_text_value = Some(said.to_owned());
            info
        });
}
