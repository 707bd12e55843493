//! Forms of correction beads: begin a plan, log what was laid, change where they go.

use build::{
    Bead, BeadReading, BeadSite, ControlDimension, Correction, CorrectionStudy, DimensionStudy,
    Face, Lie, WeldEdit,
};
use eframe::egui::{self, Button, Ui};
use units::{Kind, Length, Ratio};

use super::super::bench::{Bench, Tray};
use super::super::dialog::fresh_id;
use super::super::{clock, typed};
use super::bead_places::{bead_for, sites, usual_bead};
use super::{bits, common, words};

/// Most beads logged at once.
const MOST: u32 = 20;
/// Chance of passing the tolerance that is accepted at first (a choice).
const CHANCE: f64 = 0.05;
/// Width of a field for a place or a bead's size, points.
const SIZE: f32 = 88.0;

/// What is being logged.
#[derive(Debug, Default)]
pub(super) struct Log {
    of: String,
    beads: Option<u32>,
    on: Option<String>,
    value: Option<f64>,
    who: Option<String>,
}

impl Log {
    pub fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        c: &Correction,
        s: &CorrectionStudy,
        tray: &mut Tray,
    ) {
        if self.of != c.id {
            *self = Self {
                of: c.id.clone(),
                ..Self::default()
            };
        }
        let advised = s.advice.as_ref().map_or(1, |a| a.lay).clamp(1, MOST);
        let mut beads = self.beads.unwrap_or(advised);
        let next = s.next_site.and_then(|k| c.sites.get(k));
        let next = next.map(|x| x.tube.clone()).unwrap_or_default();
        let mut on = self.on.clone().unwrap_or(next);
        let tubes: Vec<(String, String)> = c
            .sites
            .iter()
            .map(|x| {
                let label = bench.build.assembly.part_label(&x.tube);
                (x.tube.clone(), label.unwrap_or(&x.tube).to_owned())
            })
            .collect();
        ui.horizontal_wrapped(|ui| {
            bits::count(ui, "Beads laid", &mut beads, MOST);
            if beads != advised || self.beads.is_some() {
                self.beads = Some(beads);
            }
            ui.label(if beads == 1 { "bead on" } else { "beads on" });
            if bits::chooser(ui, "Beads laid on", 150.0, &mut on, &tubes) {
                self.on = Some(on.clone());
            }
        });
        ui.horizontal_wrapped(|ui| {
            ui.label("cold, it reads");
            bits::draft_length(ui, bench, "Reading after the beads", &mut self.value, tray);
            ui.label("by");
            let mut who = self
                .who
                .clone()
                .unwrap_or_else(|| bench.settings.who.clone());
            bits::draft_words(ui, bench, "Beads laid by", &mut who, 48.0, tray);
            if who != bench.settings.who {
                self.who = Some(who.clone());
            }
            let ready = self.value.filter(|v| *v > 0.0);
            let r = ui
                .add_enabled(ready.is_some() && !on.is_empty(), Button::new("Log beads"))
                .on_disabled_hover_text("Let it cool, measure, and type what it reads");
            if let (true, Some(value)) = (r.clicked(), ready) {
                bits::edit(
                    tray,
                    WeldEdit::LayBeads {
                        correction: c.id.clone(),
                        reading: BeadReading {
                            beads,
                            on,
                            value: Length::from_si(value),
                            who,
                            when: clock::now(),
                            note: String::new(),
                        },
                    },
                );
                *self = Self {
                    of: c.id.clone(),
                    who: self.who.clone(),
                    ..Self::default()
                };
            }
        });
    }
}

/// A plan that is not begun yet.
#[derive(Debug, Default)]
pub(super) struct Start {
    /// Dimension it is for.
    of: String,
    sites: Vec<BeadSite>,
    bead: Option<Bead>,
    chance: Option<f64>,
    first: Option<f64>,
    /// The form is opened.
    open: bool,
}

impl Start {
    /// Takes over a plan that went past, onto the other faces.
    pub fn turn(&mut self, c: &Correction) {
        let last = c.laid.last().map_or(c.start, |x| x.value);
        self.of.clone_from(&c.dimension);
        self.sites.clone_from(&c.sites);
        for site in &mut self.sites {
            site.face = site.face.opposite();
        }
        self.bead = Some(c.bead);
        self.chance = Some(c.chance.si());
        self.first = Some(last.si());
        self.open = true;
    }

    /// The form; the id of a plan when one was begun.
    pub fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        d: &ControlDimension,
        s: &DimensionStudy,
        tray: &mut Tray,
    ) -> Option<String> {
        let weld = &bench.build.weld_out;
        let has_one = weld.corrections.iter().any(|c| c.dimension == d.id);
        if has_one && !(self.open && self.of == d.id) {
            // Suggested anew when it is asked for: by then more may be measured.
            *self = Self::default();
            if ui.button("Start another correction").clicked() {
                *self = suggest(bench, d, s);
                self.open = true;
            }
            return None;
        }
        if self.of != d.id {
            *self = suggest(bench, d, s);
        }
        common::head(ui, bench, "New correction", &d.label);
        if bench.build.assembly.tubes.is_empty() {
            bits::say(
                ui,
                "No tubes are drawn: draw the one the beads go on first.",
            );
            return None;
        }
        let mut bead = self.bead.unwrap_or_else(usual_bead);
        ui.push_id("new correction", |ui| {
            sites_form(ui, bench, "New", &mut self.sites, tray);
            bead_form(ui, bench, "New", &mut bead, tray);
        });
        self.bead = Some(bead);
        let mut chance = self.chance.unwrap_or(CHANCE);
        ui.horizontal_wrapped(|ui| {
            ui.label("chance of overshoot taken");
            chance_field(ui, bench, "New chance of overshoot", &mut chance, tray);
        });
        ui.horizontal_wrapped(|ui| {
            ui.label("reads now");
            bits::draft_length(ui, bench, "First reading", &mut self.first, tray);
        });
        self.chance = Some(chance);
        let refused = refusal(bench, &self.sites);
        if let Some(why) = &refused {
            common::caution(ui, bench, why);
        }
        let first = self.first.filter(|v| *v > 0.0);
        let ready = refused.is_none() && !self.sites.is_empty();
        let button = ui
            .add_enabled(ready && first.is_some(), Button::new("Start correction"))
            .on_disabled_hover_text(
                "Say which tube the beads go on and what the dimension reads now",
            );
        let first = first.filter(|_| button.clicked())?;
        let id = fresh_id(&format!("{} beads", d.id), |id| {
            weld.correction(id).is_some()
        });
        bits::edit(
            tray,
            WeldEdit::PutCorrection(Correction {
                id: id.clone(),
                dimension: d.id.clone(),
                sites: std::mem::take(&mut self.sites),
                bead,
                chance: Ratio::from_si(chance),
                start: Length::from_si(first),
                laid: Vec::new(),
                who: bench.settings.who.clone(),
                when: clock::now(),
            }),
        );
        *self = Self::default();
        Some(id)
    }
}

/// Why the material of one of these tubes gets no beads.
fn refusal(bench: &Bench<'_>, sites: &[BeadSite]) -> Option<String> {
    sites.iter().find_map(|site| {
        let tube = bench.build.assembly.tube(&site.tube)?;
        let found = bench.study.weld.materials.iter();
        let (name, verdict) = found.into_iter().find(|(m, _)| *m == tube.material)?;
        match verdict {
            Ok(g) => g.refusal.map(|r| {
                format!(
                    "No beads on {}: {name} is {}; {}.",
                    tube.label,
                    r.reason(),
                    r.caution()
                )
            }),
            Err(why) => Some(format!("{}: {}.", tube.label, why.show(bench.shop()))),
        }
    })
}

/// A plan that could do it.
fn suggest(bench: &Bench<'_>, d: &ControlDimension, s: &DimensionStudy) -> Start {
    let sites = sites(bench, d, s);
    Start {
        of: d.id.clone(),
        first: words::now(bench, d),
        bead: Some(bead_for(bench, &sites)),
        sites,
        ..Start::default()
    }
}

/// Changes where the beads of a plan go: each change is a step.
pub(super) fn change_sites(ui: &mut Ui, bench: &Bench<'_>, c: &Correction, tray: &mut Tray) {
    let mut new = c.clone();
    egui::CollapsingHeader::new("Where the beads go")
        .id_salt(("bead sites", &c.id))
        .default_open(false)
        .show(ui, |ui| {
            ui.push_id(("correction", &c.id), |ui| {
                sites_form(ui, bench, "Plan", &mut new.sites, tray);
                bead_form(ui, bench, "Plan", &mut new.bead, tray);
                ui.horizontal_wrapped(|ui| {
                    ui.label("chance of overshoot taken");
                    let mut chance = new.chance.si();
                    chance_field(ui, bench, "Plan chance of overshoot", &mut chance, tray);
                    if chance != new.chance.si() {
                        new.chance = Ratio::from_si(chance);
                    }
                });
            });
        });
    if new.bead != c.bead && new.sites == c.sites && new.chance == c.chance {
        bits::edit(
            tray,
            WeldEdit::SetBead {
                correction: c.id.clone(),
                bead: new.bead,
            },
        );
    } else if new != *c {
        bits::edit(tray, WeldEdit::PutCorrection(new));
    }
}

fn chance_field(ui: &mut Ui, bench: &Bench<'_>, name: &str, now: &mut f64, tray: &mut Tray) {
    if let Some(v) = typed::field(ui, bench, name, name, Kind::Ratio, *now, 54.0, tray) {
        *now = v.clamp(0.001, 0.5);
    }
}

/// One member or two, each with a place, a face and how far it is out of square.
fn sites_form(
    ui: &mut Ui,
    bench: &Bench<'_>,
    owner: &str,
    sites: &mut Vec<BeadSite>,
    tray: &mut Tray,
) {
    let tubes: Vec<(String, String)> = bench
        .build
        .assembly
        .tubes
        .iter()
        .map(|t| (t.id.clone(), t.label.clone()))
        .collect();
    let faces = Face::ALL.map(|f| (f, format!("{} face", f.word())));
    let mut gone = None;
    let several = sites.len() > 1;
    for (k, site) in sites.iter_mut().enumerate() {
        let name = |what: &str| format!("{owner} tube {} {what}", k + 1);
        ui.horizontal_wrapped(|ui| {
            bits::chooser(ui, &name("with beads"), 150.0, &mut site.tube, &tubes);
            bits::chooser(ui, &name("face"), 96.0, &mut site.face, &faces);
            if several {
                let r = ui
                    .small_button("–")
                    .accessible_name(format!("{owner}: leave out tube {}", k + 1));
                if r.clicked() {
                    gone = Some(k);
                }
            }
        });
        ui.horizontal_wrapped(|ui| {
            let mut length = |ui: &mut Ui, what: &str, slot: &mut Length| {
                ui.label(what);
                let name = name(what);
                let salt = ("bead site", k, what);
                size_field(ui, bench, salt, &name, slot, tray);
            };
            length(ui, "from end A", &mut site.at);
            if several {
                length(ui, "out of square", &mut site.out_of_square);
            }
        });
    }
    if let Some(k) = gone {
        sites.remove(k);
    }
    if sites.len() < 2
        && ui
            .button("Take a second tube in turn")
            .accessible_name(format!("{owner}: take a second tube in turn"))
            .clicked()
    {
        let used = |id: &String| sites.iter().any(|x| x.tube == *id);
        let tube = tubes.iter().find(|(id, _)| !used(id));
        if let Some((id, _)) = tube {
            let face = sites.first().map_or(Face::Left, |x| x.face.opposite());
            let at = sites.first().map_or(Length::from_inches(3.0), |x| x.at);
            sites.push(BeadSite {
                tube: id.clone(),
                at,
                face,
                out_of_square: Length::default(),
            });
        }
    }
}

/// How the bead lies and its size.
pub(super) fn bead_form(
    ui: &mut Ui,
    bench: &Bench<'_>,
    owner: &str,
    bead: &mut Bead,
    tray: &mut Tray,
) {
    ui.horizontal_wrapped(|ui| {
        ui.label("bead");
        let lies = [Lie::Across, Lie::Along].map(|l| (l, words::lie(l).to_owned()));
        bits::chooser(
            ui,
            &format!("{owner} bead lies"),
            130.0,
            &mut bead.lie,
            &lies,
        );
    });
    ui.horizontal_wrapped(|ui| {
        for (word, slot) in [("leg", &mut bead.leg), ("long", &mut bead.length)] {
            ui.label(word);
            let name = format!("{owner} bead {word}");
            size_field(ui, bench, ("bead size", word), &name, slot, tray);
        }
    });
}

/// A length that is changed in place.
fn size_field(
    ui: &mut Ui,
    bench: &Bench<'_>,
    salt: impl std::hash::Hash + std::fmt::Debug,
    name: &str,
    slot: &mut Length,
    tray: &mut Tray,
) {
    let now = slot.si();
    let typed = bits::exactly(bench, Some(now), |bench| {
        typed::field(ui, bench, salt, name, Kind::Length, now, SIZE, tray)
    });
    if let Some(v) = typed {
        *slot = Length::from_si(v);
    }
}
