//! Correction beads: how far the dimension has come, how many to lay before measuring, where.

use build::{ControlDimension, Correction, CorrectionStudy, DimensionStudy, Part, WeldEdit};
use eframe::egui::{RichText, Ui};
use weld::beads::{Advice, Why};
use weld::control::{Factor, FactorKind};

use super::super::bench::{Action, Bench, Tray};
use super::super::theme::{bold, plain};
use super::bead_forms::{Log, Start, change_sites};
use super::{bead_plot, bits, common, words};

/// What goes with every correction bead.
const CAUTION: &str = "After correction look for cracks, by eye and with dye, at each bead and at the joints near it. \
     Dress beads flush on mild steel only. Lay none on chrome-moly, none on steel nobody knows.";

/// What the panel remembers.
#[derive(Debug, Default)]
pub(super) struct Beads {
    dimension: Option<usize>,
    /// Id of the correction in hand, where a dimension has several.
    correction: Option<String>,
    log: Log,
    start: Start,
}

/// The correction in hand with what the study says of it.
struct InHand<'a> {
    d: &'a ControlDimension,
    ds: &'a DimensionStudy,
    c: &'a Correction,
    s: &'a CorrectionStudy,
}

impl Beads {
    pub fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        dimension: Option<usize>,
        tray: &mut Tray,
    ) {
        self.dimension = dimension;
        bits::two(
            self,
            ui,
            bench,
            tray,
            "weld beads",
            0.56,
            Self::picture,
            Self::forms,
        );
    }

    fn in_hand<'a>(&self, bench: &Bench<'a>) -> Option<InHand<'a>> {
        let i = self.dimension?;
        let weld = &bench.build.weld_out;
        let study = &bench.study.weld;
        let (d, ds) = (weld.dimensions.get(i)?, study.dimensions.get(i)?);
        let s = study
            .corrections
            .iter()
            .find(|s| s.dimension == Some(i) && Some(&s.id) == self.correction.as_ref())
            .or_else(|| study.correction_of(i))?;
        let c = weld.correction(&s.id)?;
        Some(InHand { d, ds, c, s })
    }

    fn picture(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let weld = &bench.build.weld_out;
        let Some((d, ds)) = self.dimension.and_then(|i| {
            let s = bench.study.weld.dimensions.get(i)?;
            Some((weld.dimensions.get(i)?, s))
        }) else {
            common::head(ui, bench, "Correction beads", "");
            bits::say(
                ui,
                "No control dimensions yet: add one on the drawing, measure it, and beads can bring it back.",
            );
            return;
        };
        self.choose(ui, bench, d, tray);
        let tolerance = words::limits(bench, d, ds);
        let hint = tolerance.map_or_else(
            || "it has no tolerance yet".to_owned(),
            |t| format!("tolerance {t}"),
        );
        common::head(ui, bench, &format!("{} against beads", d.label), &hint);
        let Some(h) = self.in_hand(bench) else {
            nothing_yet(ui, bench, d, ds);
            return;
        };
        match (&h.s.plan, &h.s.advice, h.ds.tolerance) {
            (Ok(_), Some(advice), Some(tolerance)) => {
                let room = ui.available_height();
                big(ui, bench, &h, advice);
                let height = (room - 110.0).clamp(190.0, 380.0);
                bead_plot::show(ui, bench, h.d, tolerance, h.c, h.s, height);
            }
            _ => no_plan(ui, bench, &h),
        }
    }

    /// The dimension, and the correction where it has several.
    fn choose(&mut self, ui: &mut Ui, bench: &Bench<'_>, d: &ControlDimension, tray: &mut Tray) {
        ui.horizontal_wrapped(|ui| {
            let mut id = d.id.clone();
            let all: Vec<(String, String)> = bench
                .build
                .weld_out
                .dimensions
                .iter()
                .map(|x| (x.id.clone(), x.label.clone()))
                .collect();
            if bits::chooser(ui, "Dimension to correct", 220.0, &mut id, &all) {
                self.correction = None;
                tray.put(Action::Select(Part::Dimension(id)));
            }
            let mine: Vec<(String, String)> = bench
                .build
                .weld_out
                .corrections
                .iter()
                .filter(|c| c.dimension == d.id)
                .enumerate()
                .map(|(k, c)| {
                    let when = words::signed(&c.who, &c.when);
                    (c.id.clone(), format!("plan {} · {when}", k + 1))
                })
                .collect();
            if mine.len() > 1 {
                let last = mine.last().map(|x| x.0.clone()).unwrap_or_default();
                let mut now = self.correction.clone().unwrap_or(last);
                if bits::chooser(ui, "Which plan", 160.0, &mut now, &mine) {
                    self.correction = Some(now);
                }
            }
        });
    }

    fn forms(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let Some(d) = self
            .dimension
            .and_then(|i| bench.build.weld_out.dimensions.get(i))
        else {
            common::caution(ui, bench, CAUTION);
            return;
        };
        if let Some(h) = self.in_hand(bench) {
            if h.s.plan.is_ok() {
                facts(ui, bench, &h);
                self.log.show(ui, bench, h.c, h.s, tray);
            }
            laid(ui, bench, &h, tray);
            change_sites(ui, bench, h.c, tray);
            let past = h.s.advice.as_ref().is_some_and(|a| a.why == Why::Past);
            if past
                && ui
                    .button("Plan on the opposite face")
                    .on_hover_text(
                        "Fills the form below with the other face and the last measurement",
                    )
                    .clicked()
            {
                self.start.turn(h.c);
            }
        }
        let ds = self
            .dimension
            .and_then(|i| bench.study.weld.dimensions.get(i));
        if let Some(ds) = ds
            && let Some(id) = self.start.show(ui, bench, d, ds, tray)
        {
            self.correction = Some(id);
        }
        common::caution(ui, bench, CAUTION);
        super::cautions(ui, bench);
    }
}

fn nothing_yet(ui: &mut Ui, bench: &Bench<'_>, d: &ControlDimension, ds: &DimensionStudy) {
    let across = words::runs(ds);
    let text = match (words::now(bench, d).map(|v| v - d.want.si()), ds.tolerance) {
        (Some(off), Some(t)) if off.abs() <= t + 1e-9 => {
            format!(
                "No beads planned, and none needed: {}.",
                words::off(bench, off, across)
            )
        }
        (Some(off), _) => format!(
            "No beads planned: it is {}. Start a correction in the form.",
            words::off(bench, off, across)
        ),
        (None, _) => {
            "No beads planned: measure the dimension first, then start a correction in the form."
                .to_owned()
        }
    };
    bits::say(ui, text);
}

/// The reason why there is no plan, in the box the cautions stand in.
fn no_plan(ui: &mut Ui, bench: &Bench<'_>, h: &InHand<'_>) {
    let why = match (&h.s.plan, h.ds.tolerance) {
        (Err(why), _) => why.show(bench.shop()),
        (Ok(_), None) => "its dimension has no tolerance".to_owned(),
        (Ok(_), Some(_)) => "there is nothing to advise".to_owned(),
    };
    let head = if h.s.refusal().is_some() {
        "No correction beads"
    } else {
        "No plan yet"
    };
    ui.label(
        RichText::new(head)
            .font(bold(17.0))
            .color(bench.palette.bad),
    );
    common::caution(ui, bench, &format!("{why}."));
    let next = if h.s.refusal().is_some() {
        "Cut the joint and fit it again, or ask a qualified welder."
    } else {
        "Correct where the beads go, in the form."
    };
    bits::say(ui, next);
}

/// What to do, large; why, below it.
fn big(ui: &mut Ui, bench: &Bench<'_>, h: &InHand<'_>, advice: &Advice) {
    let p = bench.palette;
    let (text, colour) = match advice.why {
        Why::LayAndMeasure => (format!("{} more, then measure", advice.lay), p.accent),
        Why::Done => ("In tolerance: stop here".to_owned(), p.good),
        Why::Past => ("Past the target: stop".to_owned(), p.bad),
        Why::NotMoving => ("Beads do not move it: stop".to_owned(), p.bad),
        Why::NextMayOvershoot => ("The next bead may overshoot: stop".to_owned(), p.bad),
    };
    let label = eframe::egui::Label::new(RichText::new(text).font(bold(17.0)).color(colour));
    ui.add(label.wrap());
    let under = match advice.why {
        Why::LayAndMeasure => {
            let chance = advice.overshoot_chance.map_or_else(String::new, |o| {
                format!("Chance of overshoot {}. ", words::chance(o))
            });
            format!("{chance}Let it cool to the hand before you measure.")
        }
        Why::Done => {
            let last = h.c.laid.last().map_or(h.c.start, |x| x.value);
            let off = last.si() - h.d.want.si();
            format!("It is {}.", words::off(bench, off, words::runs(h.ds)))
        }
        Why::Past => "Begin a new plan on the opposite face, or leave it.".to_owned(),
        Why::NotMoving => "Look for what holds it before laying more.".to_owned(),
        Why::NextMayOvershoot => format!(
            "Chance {} with one more: a smaller bead, a shorter lever, or leave it.",
            words::chance(advice.overshoot_chance_one_more)
        ),
    };
    let under = RichText::new(under).font(plain(12.5)).color(p.dim);
    ui.add(eframe::egui::Label::new(under).wrap());
    if let Some(text) = next_place(bench, h, advice) {
        bits::say(ui, text);
    }
}

/// Where the next bead goes: tube, face, distance from its end.
fn next_place(bench: &Bench<'_>, h: &InHand<'_>, advice: &Advice) -> Option<String> {
    if advice.why != Why::LayAndMeasure {
        return None;
    }
    let site = h.c.sites.get(h.s.next_site?)?;
    let tube = bench.build.assembly.tube(&site.tube)?;
    Some(format!(
        "Next on {}, {} face, {} from its end A at {}; {}.",
        tube.label,
        site.face.word(),
        words::size(bench, site.at.si()),
        tube.from,
        words::bead(bench, &h.c.bead)
    ))
}

/// How many more, what one moves, whether they agree.
fn facts(ui: &mut Ui, bench: &Bench<'_>, h: &InHand<'_>) {
    let (Ok(plan), Some(advice)) = (&h.s.plan, &h.s.advice) else {
        return;
    };
    common::head(ui, bench, "Beads", &to_come(advice));
    let b = plan.per_bead();
    let text = format!(
        "One moves it {}, from {} to {}.",
        words::fine(bench, b.value),
        words::fine(bench, b.low),
        words::fine(bench, b.high)
    );
    bits::say(ui, text);
    let p = bench.palette;
    match (advice.moves, advice.disagree) {
        (_, true) => bits::say_in(
            ui,
            p.bad,
            "! The moves do not agree with each other: look for what holds or slips, and lay one at a time.",
        ),
        (0, _) => bits::say(ui, "None measured yet: one bead first."),
        (1, _) => bits::say(ui, "One move measured so far."),
        (n, _) => bits::say_in(ui, p.good, format!("✓ {n} moves agree.")),
    }
    if let (Some(m), [left, right, ..]) = (&h.s.members, h.c.sites.as_slice()) {
        let label = |id: &str| {
            bench
                .build
                .assembly
                .part_label(id)
                .unwrap_or("?")
                .to_owned()
        };
        let text = format!(
            "{} moves {} a bead, {} {}: {}.",
            label(&left.tube),
            words::fine(bench, m.means[0]),
            label(&right.tube),
            words::fine(bench, m.means[1]),
            if m.differ {
                "they do not move alike, look for what holds one of them"
            } else {
                "alike as far as can be told"
            }
        );
        if m.differ {
            bits::say_in(ui, p.bad, format!("! {text}"));
        } else {
            bits::say(ui, text);
        }
    }
    if let Some([low, point, high]) = h.s.first {
        let thin = h.s.sites.iter().any(|x| x.out_of_range);
        let factor = Factor::new(FactorKind::Kink, thin);
        let by = bench.study.weld.factor(factor);
        let by = by.map_or_else(String::new, |f| {
            format!(", times the shop's {:.2} for {}", f.0, factor.label())
        });
        let wide = if thin {
            "; outside every formula's range, ends widened"
        } else {
            ""
        };
        common::note(
            ui,
            bench,
            format!(
                "First estimate {}, from {} to {}: the kink formula and the lever{by}{wide}.",
                words::fine(bench, point),
                words::fine(bench, low),
                words::fine(bench, high)
            ),
        );
    }
    common::note(
        ui,
        bench,
        format!(
            "Chance of overshoot taken for the whole job: {}; {} of it used.",
            words::chance(h.c.chance.si()),
            words::chance(advice.chance_spent)
        ),
    );
    for site in h.s.sites.iter().filter(|x| x.wrong_way) {
        let label = bench.build.assembly.part_label(&site.tube).unwrap_or("?");
        let text = format!(
            "! A bead on the {} face of {label} moves it the wrong way.",
            site.face.word()
        );
        bits::say_in(ui, p.bad, text);
    }
}

/// "about 3, 2 to 5 to go".
pub(super) fn to_come(a: &Advice) -> String {
    match a.beads_to_come {
        [Some(0), Some(0), Some(0)] => "none to go".to_owned(),
        [Some(a), Some(b), Some(c)] if a == c => format!("{b} to go"),
        [Some(a), Some(b), Some(c)] => format!("about {b}, {a} to {c} to go"),
        [Some(a), Some(b), None] => format!("about {b}, {a} to more than 20 to go"),
        [Some(a), None, _] => format!("{a} or many more to go"),
        [None, ..] => "none within 20 beads will do it".to_owned(),
    }
}

/// What was laid, oldest first.
fn laid(ui: &mut Ui, bench: &Bench<'_>, h: &InHand<'_>, tray: &mut Tray) {
    let label = |id: &str| {
        let found = bench.build.assembly.part_label(id);
        found.unwrap_or(id).to_owned()
    };
    bits::say(
        ui,
        format!(
            "Before any: {} · {}",
            words::size(bench, h.c.start.si()),
            words::signed(&h.c.who, &h.c.when)
        ),
    );
    for x in &h.c.laid {
        let text = format!(
            "{} on {}: {} · {}",
            words::some(x.beads, "bead"),
            label(&x.on),
            words::size(bench, x.value.si()),
            words::signed(&x.who, &x.when)
        );
        bits::say(ui, text);
    }
    ui.horizontal_wrapped(|ui| {
        if !h.c.laid.is_empty()
            && ui
                .button("Take back the last")
                .accessible_name(format!("Take back the last beads for {}", h.d.label))
                .clicked()
        {
            let correction = h.c.id.clone();
            bits::edit(tray, WeldEdit::TakeBackBeads { correction });
        }
        if ui
            .button("Remove this plan")
            .accessible_name(format!("Remove the beads for {}", h.d.label))
            .on_hover_text("With all that was logged in it")
            .clicked()
        {
            bits::edit(tray, WeldEdit::RemoveCorrection(h.c.id.clone()));
        }
    });
}
