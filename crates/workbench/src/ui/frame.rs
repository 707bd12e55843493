//! The frame round every page: head, rail, readings and checklist, status line.

use std::path::Path;

use build::{CheckKind, Part, Severity};
use eframe::egui::{self, Button, Panel, Role, Ui, WidgetInfo};
use units::{Fraction, System};

use super::bench::{Action, Bench, Tray};
use super::command::Command;
use super::rear_page::Topic;
use super::theme::{bold, plain};
use super::{checklist, gauge, rail};

/// What the head line shows.
pub struct Head<'a> {
    /// Step that undo takes back.
    pub undo: Option<&'a str>,
    /// Step that redo brings back.
    pub redo: Option<&'a str>,
    /// Changes not in the file.
    pub unsaved: bool,
    /// Time of the last save.
    pub saved_at: Option<&'a str>,
    /// The file.
    pub path: Option<&'a Path>,
    /// Why it is open for reading only.
    pub trouble: Option<&'a str>,
}

fn run(ui: &mut Ui, command: Command, tray: &mut Tray) {
    let e = command.entry();
    let mut button = Button::new(e.label);
    if let Some(s) = &e.shortcut {
        button = button.shortcut_text(ui.format_shortcut(s));
    }
    if ui.add(button).on_hover_text(e.tip).clicked() {
        tray.put(Action::Run(command));
    }
}

/// Name, revision, undo and redo, units, theme, find, print.
pub fn top(ui: &mut Ui, bench: &Bench<'_>, head: &Head<'_>, tray: &mut Tray) {
    let p = bench.palette;
    let frame = egui::Frame::NONE
        .fill(p.panel)
        .inner_margin(egui::Margin::symmetric(14, 7));
    Panel::top("head").frame(frame).show(ui, |ui| {
        ui.horizontal(|ui| {
            let name = egui::RichText::new(format!("{} ▾", bench.build.name)).font(bold(15.0));
            let menu = ui.menu_button(name, |ui| file_menu(ui, bench, tray));
            menu.response
                .widget_info(|| WidgetInfo::labeled(Role::MenuItem, true, "Build menu"));
            let saved = match (head.unsaved, head.saved_at, head.path) {
                (true, ..) => "not saved yet".to_owned(),
                (false, Some(t), _) => format!("saved {t}"),
                (false, None, Some(_)) => "as in its file".to_owned(),
                (false, None, None) => "no file yet".to_owned(),
            };
            let wide = ui.available_width() > 800.0;
            if let Some(why) = head.trouble {
                ui.colored_label(p.bad, "for reading only")
                    .on_hover_text(why);
            }
            if wide {
                let text = format!("rev {} · {saved}", bench.build.revision);
                let r = ui.add(
                    egui::Label::new(egui::RichText::new(text).font(plain(12.0)).color(p.dim))
                        .truncate(),
                );
                if let Some(path) = head.path {
                    r.on_hover_text(path.display().to_string());
                }
            } else if head.unsaved {
                ui.colored_label(p.accent, "●")
                    .on_hover_text("not saved yet");
            }
            ui.add_space(12.0);
            step(ui, Command::Undo, head.undo, wide, tray);
            step(ui, Command::Redo, head.redo, false, tray);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let print = egui::RichText::new(Command::Print.entry().label)
                    .color(p.on_accent)
                    .font(bold(13.0));
                let print = Button::new(print).fill(p.accent);
                if ui
                    .add(print)
                    .on_hover_text(Command::Print.entry().tip)
                    .clicked()
                {
                    tray.put(Action::Run(Command::Print));
                }
                let find = Command::Find.entry();
                if ui.button(find.label).on_hover_text(find.tip).clicked() {
                    tray.put(Action::Run(Command::Find));
                }
                let theme = if ui.ctx().theme() == egui::Theme::Dark {
                    "Light"
                } else {
                    "Dark"
                };
                if ui
                    .button(theme)
                    .on_hover_text(Command::SwitchTheme.entry().tip)
                    .clicked()
                {
                    tray.put(Action::Run(Command::SwitchTheme));
                }
                units_choice(ui, bench, tray);
            });
        });
    });
}

fn step(ui: &mut Ui, command: Command, label: Option<&str>, wide: bool, tray: &mut Tray) {
    let e = command.entry();
    let text = match label {
        Some(l) if wide => {
            let mut short: String = l.chars().take(28).collect();
            if short.len() < l.len() {
                short.push('…');
            }
            format!("{} {short}", e.label)
        }
        _ => e.label.to_owned(),
    };
    let r = ui.add_enabled(label.is_some(), Button::new(text));
    let r = match label {
        Some(l) => r.on_hover_text(format!("{}: {l}", e.label)),
        None => r,
    };
    r.widget_info(|| WidgetInfo::labeled(Role::Button, label.is_some(), e.label));
    if r.clicked() {
        tray.put(Action::Run(command));
    }
}

fn units_choice(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let shop = bench.shop();
    let mut settings = bench.settings.clone();
    let metric = shop.system == System::Si;
    // Right to left: millimetres stand right of inches.
    if ui
        .add(Button::selectable(metric, "mm"))
        .on_hover_text("Millimetres, kilograms, newtons")
        .clicked()
    {
        settings.shop.system = System::Si;
    }
    let fraction = |f: Fraction| match f {
        Fraction::Sixteenth => "in 1/16",
        Fraction::ThirtySecond => "in 1/32",
        Fraction::SixtyFourth => "in 1/64",
        Fraction::Decimal => "in 0.001",
    };
    let r = ui.add(Button::selectable(!metric, fraction(shop.fraction)));
    if r.clicked() {
        settings.shop.system = System::InchPound;
    }
    let pick = ui
        .add(Button::new("▾").small())
        .on_hover_text("Fineness of lengths");
    pick.widget_info(|| WidgetInfo::labeled(Role::Button, true, "Fineness of lengths"));
    egui::Popup::menu(&pick).show(|ui| {
        for f in [
            Fraction::Sixteenth,
            Fraction::ThirtySecond,
            Fraction::SixtyFourth,
            Fraction::Decimal,
        ] {
            let words = if metric {
                match f {
                    Fraction::Sixteenth => "1 mm",
                    Fraction::ThirtySecond => "0.5 mm",
                    Fraction::SixtyFourth => "0.1 mm",
                    Fraction::Decimal => "0.01 mm",
                }
            } else {
                fraction(f)
            };
            if ui.selectable_label(f == shop.fraction, words).clicked() {
                settings.shop.fraction = f;
            }
        }
    });
    if settings != *bench.settings {
        tray.put(Action::Prefer(settings));
    }
}

fn file_menu(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    for command in [Command::New, Command::Open] {
        run(ui, command, tray);
    }
    ui.menu_button("Open a sample", |ui| {
        for (i, (name, _)) in crate::SAMPLES.iter().enumerate() {
            let mut label = name.to_string();
            if let Some(first) = label.get_mut(..1) {
                first.make_ascii_uppercase();
            }
            if ui.button(label).clicked() {
                tray.put(Action::OpenSample(i));
            }
        }
    });
    ui.menu_button("Open recent", |ui| {
        if bench.settings.recent.is_empty() {
            ui.label("None yet");
        }
        let there = are_there(ui, &bench.settings.recent);
        for (path, there) in bench.settings.recent.iter().zip(there) {
            let name = path.file_name().map_or_else(
                || path.display().to_string(),
                |n| n.to_string_lossy().into_owned(),
            );
            let tip = if there {
                path.display().to_string()
            } else {
                format!("{}: not there any more", path.display())
            };
            if ui
                .add_enabled(there, Button::new(name))
                .on_hover_text(&tip)
                .on_disabled_hover_text(&tip)
                .clicked()
            {
                tray.put(Action::OpenPath(path.clone()));
            }
        }
    });
    for command in [Command::Save, Command::SaveAs, Command::Print] {
        run(ui, command, tray);
    }
    ui.separator();
    for command in [
        Command::Rename,
        Command::CarForm,
        Command::AddBracket,
        Command::AddLink,
        Command::AddJoint,
    ] {
        run(ui, command, tray);
    }
    ui.separator();
    for command in [
        Command::CopyReadings,
        Command::CopyHoles,
        Command::CopyFitUp,
        Command::Findings,
    ] {
        run(ui, command, tray);
    }
    ui.separator();
    for command in [Command::Keys, Command::About, Command::Quit] {
        run(ui, command, tray);
    }
}

/// Which files are there: looked for once each time the menu opens, since a network folder that
/// has gone away answers slowly.
fn are_there(ui: &Ui, paths: &[std::path::PathBuf]) -> Vec<bool> {
    #[derive(Clone, Default)]
    struct Seen {
        frame: u64,
        there: Vec<bool>,
    }
    let id = egui::Id::unique("recent files there");
    let frame = ui.ctx().cumulative_frame_nr();
    let mut seen: Seen = ui.data(|d| d.get_temp(id)).unwrap_or_default();
    if seen.frame + 1 < frame || seen.there.len() != paths.len() {
        seen.there = paths.iter().map(|p| p.exists()).collect();
    }
    seen.frame = frame;
    ui.data_mut(|d| d.insert_temp(id, seen.clone()));
    seen.there
}

/// The worst remark and what to do, or what was just said.
pub fn status(ui: &mut Ui, bench: &Bench<'_>, said: Option<&str>, tray: &mut Tray) {
    let p = bench.palette;
    let frame = egui::Frame::NONE
        .fill(p.panel)
        .inner_margin(egui::Margin::symmetric(14, 5));
    Panel::bottom("status").frame(frame).show(ui, |ui| {
        ui.horizontal(|ui| {
            let n = bench.study.findings.len();
            let worst = bench.study.findings.first();
            let colour = match worst.map(|f| f.severity) {
                Some(Severity::Error) => p.bad,
                Some(Severity::Warning) => p.accent,
                _ => p.dim,
            };
            let count = match n {
                0 => "no remarks".to_owned(),
                1 => "1 remark".to_owned(),
                n => format!("{n} remarks"),
            };
            let text = egui::RichText::new(count).font(bold(12.5)).color(colour);
            let r = ui
                .add(Button::new(text).frame(false))
                .on_hover_text(Command::Findings.entry().tip);
            if r.clicked() {
                tray.put(Action::Run(Command::Findings));
            }
            let line = match (said, worst) {
                (Some(said), _) => Some((said.replace('\n', " "), None)),
                (None, Some(f)) => {
                    let line = f.sentences(bench.shop());
                    Some((line, Some(f.part.clone())))
                }
                (None, None) => None,
            };
            if let Some((line, part)) = line {
                let label =
                    egui::Label::new(egui::RichText::new(&line).font(plain(12.5)).color(p.ink))
                        .truncate();
                let r = ui
                    .add(label.sense(egui::Sense::click()))
                    .on_hover_text(&line);
                if let (true, Some(part)) = (r.clicked(), part) {
                    tray.put(Action::Select(part));
                }
            }
        });
    });
}

/// The string line.
pub fn left(ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
    let frame = egui::Frame::NONE
        .fill(bench.palette.panel)
        .inner_margin(egui::Margin {
            left: 2,
            right: 0,
            top: 8,
            bottom: 4,
        });
    Panel::left("rail")
        .resizable(true)
        .default_size(206.0)
        .size_range(120.0..=300.0)
        .frame(frame)
        .show(ui, |ui| rail::show(ui, bench, phase, tray));
}

/// Readings of the phase, its caution, its checklist.
pub fn right(ui: &mut Ui, bench: &Bench<'_>, phase: &str, topic: Topic, tray: &mut Tray) {
    let p = bench.palette;
    let frame = egui::Frame::NONE
        .fill(p.panel)
        .inner_margin(egui::Margin::symmetric(16, 10));
    Panel::right("readings")
        .resizable(true)
        .default_size(306.0)
        .size_range(220.0..=460.0)
        .frame(frame)
        .show(ui, |ui| {
            egui::ScrollArea::vertical()
                .auto_shrink(false)
                .show(ui, |ui| {
                    let shown: Vec<_> = readings_of(bench, phase, topic);
                    if !shown.is_empty() {
                        ui.label(egui::RichText::new("Readings").font(bold(13.0)));
                        ui.spacing_mut().item_spacing.y = 2.0;
                        for r in shown {
                            let marked =
                                matches!(bench.selected, Some(Part::Reading(id)) if r.is(id));
                            let before = ui.cursor().top();
                            gauge::show(ui, bench, r, tray);
                            if marked {
                                let x = ui.max_rect().left() - 8.0;
                                ui.painter().vline(
                                    x,
                                    before..=ui.cursor().top() - 4.0,
                                    egui::Stroke::new(2.5, p.accent),
                                );
                            }
                        }
                        ui.add_space(6.0);
                    }
                    let index = bench.build.phases.iter().position(|x| x.id == phase);
                    if let Some(i) = index {
                        let (phase, study) = (&bench.build.phases[i], &bench.study.phases[i]);
                        caution(ui, bench, &phase.caution);
                        checklist::show(ui, bench, phase, study, tray);
                    }
                });
        });
}

/// The readings a phase is about: its own, and those its rules name.
fn readings_of<'a>(bench: &Bench<'a>, phase: &str, topic: Topic) -> Vec<&'a build::Reading> {
    let about: &[&str] = match phase {
        "fit_up" => &["fit_up."],
        "weld_out" => &[
            "weld.dimension",
            "weld.per_bead",
            "weld.joints_left",
            "weld.metal_left",
            "weld.gas_left",
        ],
        "tube_work" => &["tubes.", "frame."],
        "goal" => &["car.", "run."],
        "mock_up" => &["clearance."],
        "front_end" => &["front."],
        "plumbing" => &["brakes."],
        "driveline" => &["driveline."],
        "shake_down" => &["run.sixty_foot", "run.eighth", "run.quarter"],
        _ => &[],
    };
    let ruled: Vec<&String> = bench
        .build
        .phase(phase)
        .into_iter()
        .flat_map(|p| &p.checks)
        .filter_map(|c| match &c.kind {
            CheckKind::Rule { readings } => Some(readings),
            _ => None,
        })
        .flatten()
        .collect();
    let mut shown: Vec<_> = bench
        .study
        .readings
        .iter()
        .filter(|r| {
            if phase == "rear_links" && !topic.readings().contains(&"rear.") {
                return topic.lists(r);
            }
            // The page lists gaps and joints itself.
            if phase == "front_end" && r.of.is_some() && r.band.is_none() {
                return false;
            }
            about.iter().any(|of| r.definition.id.starts_with(of))
                || phase == "rear_links" && topic.lists(r)
                || ruled.iter().any(|id| r.is(id))
        })
        .collect();
    // Those with a band first: they are what the phase is judged by.
    shown.sort_by_key(|r| r.band.is_none());
    shown
}

/// The caution box: wraps, never clips.
fn caution(ui: &mut Ui, bench: &Bench<'_>, text: &str) {
    if text.is_empty() {
        return;
    }
    egui::Frame::NONE
        .stroke(egui::Stroke::new(1.3, bench.palette.bad))
        .corner_radius(5)
        .inner_margin(egui::Margin::symmetric(10, 6))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.add(egui::Label::new(egui::RichText::new(text).font(plain(12.0))).wrap());
        });
    ui.add_space(4.0);
}
