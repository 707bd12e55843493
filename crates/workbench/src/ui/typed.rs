//! A field that takes a quantity the way a person writes it.

use std::hash::Hash;

use eframe::egui::{self, Key, Role, TextEdit, WidgetInfo};
use units::Kind;

use super::bench::{Action, Bench, Tray};

/// Text being typed and what is wrong with it.
#[derive(Clone, Default)]
struct Draft {
    text: String,
    error: Option<String>,
}

/// Shows `si`; returns a new value when the person has finished typing one. Nonsense stays in the
/// field with the reason under it, and the document keeps its value.
#[expect(
    clippy::too_many_arguments,
    reason = "a field is all of these; call sites read in order"
)]
pub fn field(
    ui: &mut egui::Ui,
    bench: &Bench<'_>,
    salt: impl Hash + std::fmt::Debug,
    name: &str,
    kind: Kind,
    si: f64,
    width: f32,
    tray: &mut Tray,
) -> Option<f64> {
    let id = egui::Id::unique((
        "typed",
        bench.generation,
        ui.scope_id(),
        egui::Id::unique(salt),
    ));
    let shown = bench.kept(kind, si);
    entry(ui, bench, id, name, &shown, width, tray, |text| {
        units::parse_typed(kind, text, bench.shop()).map_err(|e| e.to_string())
    })
    .filter(|v| *v != si)
}

/// [`field`] for a value that may be missing; an emptied field takes it away.
#[expect(
    clippy::too_many_arguments,
    reason = "a field is all of these; call sites read in order"
)]
pub fn optional(
    ui: &mut egui::Ui,
    bench: &Bench<'_>,
    salt: impl Hash + std::fmt::Debug,
    name: &str,
    kind: Kind,
    si: Option<f64>,
    width: f32,
    tray: &mut Tray,
) -> Option<Option<f64>> {
    let id = egui::Id::unique((
        "typed",
        bench.generation,
        ui.scope_id(),
        egui::Id::unique(salt),
    ));
    let shown = si.map_or_else(String::new, |v| bench.kept(kind, v));
    entry(ui, bench, id, name, &shown, width, tray, |text| {
        if text.trim().is_empty() {
            return Ok(None);
        }
        units::parse_typed(kind, text, bench.shop())
            .map(Some)
            .map_err(|e| e.to_string())
    })
}

/// A line of words, taken when the person has finished typing: one step to undo, not one a letter.
pub fn words(
    ui: &mut egui::Ui,
    bench: &Bench<'_>,
    salt: impl Hash + std::fmt::Debug,
    name: &str,
    now: &str,
    width: f32,
    tray: &mut Tray,
) -> Option<String> {
    let id = egui::Id::unique((
        "typed",
        bench.generation,
        ui.scope_id(),
        egui::Id::unique(salt),
    ));
    entry(ui, bench, id, name, now, width, tray, |text| {
        Ok(text.trim().to_owned())
    })
}

/// The text field itself; `read` turns what was typed into a value.
#[expect(clippy::too_many_arguments, reason = "shared by both kinds of field")]
fn entry<T>(
    ui: &mut egui::Ui,
    bench: &Bench<'_>,
    id: egui::Id,
    name: &str,
    shown: &str,
    width: f32,
    tray: &mut Tray,
    read: impl FnOnce(&str) -> Result<T, String>,
) -> Option<T> {
    let mut draft: Option<Draft> = ui.data(|d| d.get_temp(id));
    let mut text = draft
        .as_ref()
        .map_or_else(|| shown.to_owned(), |d| d.text.clone());
    let wrong = draft.as_ref().and_then(|d| d.error.clone());
    // Never narrower than what it shows.
    let font = egui::TextStyle::Body.resolve(ui.style());
    let full = ui
        .painter()
        .layout_no_wrap(shown.to_owned(), font, bench.palette.ink);
    let margins = 2.0 * ui.spacing().button_padding.x + 2.0;
    let width = width.max(full.size().x.ceil() + margins);
    let mut edit = TextEdit::singleline(&mut text)
        .id(id)
        .desired_width(width)
        .min_size(egui::vec2(width, 0.0));
    if wrong.is_some() {
        edit = edit.text_color(bench.palette.bad);
    }
    let response = ui.add(edit);
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::TextInput, true, name);
        info.current_text_value = Some(text.clone());
        info
    });
    if response.changed() {
        draft = Some(Draft {
            text: text.clone(),
            error: None,
        });
    }
    let mut result = None;
    if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)) {
        // egui has taken the focus already: the field is as it was.
        draft = None;
    } else if response.lost_focus() && draft.is_some() {
        if text.trim() == shown {
            draft = None;
        } else {
            match read(&text) {
                Ok(v) => {
                    draft = None;
                    result = Some(v);
                }
                Err(why) => {
                    tray.put(Action::Say(format!("{name}: {why}")));
                    draft = Some(Draft {
                        text,
                        error: Some(why),
                    });
                }
            }
        }
    }
    if !response.has_focus() && draft.as_ref().is_some_and(|d| d.error.is_none()) {
        // Left behind on another page: nobody is typing it any more.
        draft = None;
    }
    if let Some(why) = &wrong {
        response.on_hover_text(why);
    }
    ui.data_mut(|d| match draft {
        Some(draft) => {
            d.insert_temp(id, draft);
        }
        None => {
            d.remove_temp::<Draft>(id);
        }
    });
    result
}
