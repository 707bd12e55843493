//! Materials of the shop's own.

use build::{Composition, Edit, Family, Material, WeldEdit};
use eframe::egui::{Role, Ui, WidgetInfo};
use units::{Kind, Pressure};

use super::super::super::bench::{Bench, Tray};
use super::common::{Form, Pairs};

/// One material.
pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, x: &Material, tray: &mut Tray) {
    let mut new = x.clone();
    let form = Form {
        owner: format!("Material {}", x.id),
        bench,
    };
    ui.horizontal_wrapped(|ui| {
        ui.label(&x.id);
        form.words(ui, "label", &mut new.label, 160.0, tray);
        let r = ui.button("Remove");
        r.widget_info(|| {
            WidgetInfo::labeled(Role::Button, true, format!("Remove material {}", x.id))
        });
        if r.clicked() {
            tray.edit(Edit::Weld(WeldEdit::RemoveMaterial(x.id.clone())));
        }
    });
    Pairs::show(ui, ("material form", &x.id), |ui, pairs| {
        let families = [
            (Family::Steel, "carbon steel".to_owned()),
            (Family::Other, "other".to_owned()),
        ];
        form.choose(ui, pairs, "family", &mut new.family, &families);
        let si = x.yield_strength.si();
        if let Some(v) = form.value(ui, pairs, "yield", Kind::Pressure, si, tray) {
            new.yield_strength = Pressure::from_si(v);
        }
        let now = x.modulus.map(Pressure::si);
        if let Some(v) = form.optional(ui, pairs, "modulus", Kind::Pressure, now, tray) {
            new.modulus = v.map(Pressure::from_si);
        }
        let mut has = x.mill_sheet.is_some();
        let all = [(false, "none".to_owned()), (true, "typed".to_owned())];
        form.choose(ui, pairs, "mill sheet", &mut has, &all);
        if has != x.mill_sheet.is_some() {
            new.mill_sheet = has.then(Composition::default);
        }
        if let Some(c) = &mut new.mill_sheet {
            for (word, slot) in [
                ("C %", &mut c.carbon),
                ("Mn %", &mut c.manganese),
                ("Si %", &mut c.silicon),
                ("Cr %", &mut c.chromium),
                ("Mo %", &mut c.molybdenum),
                ("V %", &mut c.vanadium),
                ("Ni %", &mut c.nickel),
                ("Cu %", &mut c.copper),
            ] {
                if let Some(v) = form.value(ui, pairs, word, Kind::Count, *slot, tray) {
                    *slot = v;
                }
            }
        }
    });
    if new != *x {
        tray.edit(Edit::Weld(WeldEdit::PutMaterial(new)));
    }
}

/// A material to be changed into what is on the rack: 36 000 psi as plain structural steel (ASTM A36, from memory).
pub(super) fn usual(id: String) -> Material {
    Material {
        label: format!("Material {}", id.trim_start_matches('M')),
        id,
        family: Family::Steel,
        yield_strength: Pressure::from_si(36_000.0 * 6_894.757_293_168_36),
        modulus: None,
        shear_modulus: None,
        density: None,
        mill_sheet: None,
    }
}
