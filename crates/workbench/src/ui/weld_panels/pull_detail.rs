//! What each joint does to one dimension, and the published estimates of one joint beside each
//! other.

use build::{ControlDimension, DimensionStudy, Held, JointWeld, Pulling};
use eframe::egui::{RichText, Ui};
use units::Kind;

use super::super::bench::Bench;
use super::super::theme::{bold, plain};
use super::bits::{self, Row};
use super::{common, words};

/// The joints of a dimension; a click on one shows its estimates.
pub(super) fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    d: &ControlDimension,
    s: &DimensionStudy,
    joint: &mut Option<String>,
) {
    let across = words::runs(s);
    common::head(ui, bench, &d.label, "what each joint does to it");
    if let Err(why) = &s.way {
        let text = format!("{}.", why.show(bench.shop()));
        bits::say_in(ui, bench.palette.bad, text);
        return;
    }
    if s.pulls.is_empty() {
        bits::say(
            ui,
            "No joint on its way pulls it: draw the joints between its two ends.",
        );
        return;
    }
    if let Some(w) = &s.whole {
        bits::say(
            ui,
            format!(
                "All its joints together: {}, from {} to {}.",
                words::change(bench, w.change, across),
                words::change(bench, w.low, across),
                words::change(bench, w.high, across)
            ),
        );
    }
    let mut pulls: Vec<&Pulling> = s.pulls.iter().collect();
    let size = |p: &Pulling| {
        let factor = bench.study.weld.factor(p.contribution.factor);
        (factor.map_or(1.0, |f| f.0) * p.contribution.change).abs()
    };
    pulls.sort_by(|a, b| size(b).total_cmp(&size(a)));
    for pull in pulls {
        let Some(j) = bench.build.fit_up.joints.get(pull.joint) else {
            continue;
        };
        let c = &pull.contribution;
        let factor = bench.study.weld.factor(c.factor);
        let by = factor.map_or(1.0, |f| f.0);
        let lean = if c.lean > 0.0 {
            format!(", leaning may add ± {}", words::fine(bench, c.lean))
        } else {
            String::new()
        };
        let under = format!(
            "{} · factor of {}: {by:.2}{lean}",
            words::how(pull.how),
            c.factor.label()
        );
        let row = Row {
            name: format!("Pull of {}: {}", j.label, words::how(pull.how)),
            label: &j.label,
            right: &words::change(bench, by * c.change, across),
            colour: bench.palette.ink,
            under: &under,
            drawn: "",
            chosen: joint.as_deref() == Some(&j.id),
            faint: false,
        };
        if bits::row(ui, bench, &row).clicked() {
            *joint = (joint.as_deref() != Some(&j.id)).then(|| j.id.clone());
        }
    }
    let Some(id) = joint.as_deref() else {
        common::note(
            ui,
            bench,
            "Click a joint to see its estimates side by side.",
        );
        return;
    };
    let joints = &bench.build.fit_up.joints;
    if let Some(i) = joints.iter().position(|j| j.id == id) {
        estimates(ui, bench, i);
    }
}

/// The estimates of the joint at this place of the fit-up log.
fn estimates(ui: &mut Ui, bench: &Bench<'_>, i: usize) {
    let (Some(j), Some(s)) = (
        bench.build.fit_up.joints.get(i),
        bench.study.fit_up.joints.get(i),
    ) else {
        return;
    };
    ui.add_space(4.0);
    common::head(ui, bench, &j.label, "estimates side by side");
    let held = match j.held {
        Held::Free => "free",
        Held::Tacked => "tacked",
        Held::Fixtured => "in a fixture",
    };
    bits::say(ui, format!("Held: {held}. {}.", passes(j.passes)));
    let work = match &s.weld {
        Ok(work) => work,
        Err(why) => {
            bits::say_in(
                ui,
                bench.palette.bad,
                format!("{}.", why.show(bench.shop())),
            );
            return;
        }
    };
    for (what, band) in [
        ("Pull-in", &work.welded.pull_in),
        ("Across the weld", &work.welded.across),
    ] {
        let Some(band) = band else { continue };
        ui.label(
            RichText::new(format!(
                "{what}: about {}, from {} to {}",
                words::fine(bench, band.point),
                words::fine(bench, band.low),
                words::fine(bench, band.high)
            ))
            .font(bold(12.5)),
        );
        if band.out_of_range {
            bits::say_in(
                ui,
                bench.palette.accent,
                "Outside every formula's range: the ends are widened. Weld a scrap joint of the same wall and measure it.",
            );
        }
        for e in &band.estimates {
            let range = if e.in_range {
                "in range"
            } else {
                "out of range"
            };
            let note = if e.note.is_empty() {
                String::new()
            } else {
                format!("; {}", e.note)
            };
            let text = format!(
                "{}  {range} · {}{note}",
                words::fine(bench, e.value),
                e.source
            );
            ui.add(bits_label(bench, text));
        }
    }
    kink(ui, bench, work);
}

fn bits_label(bench: &Bench<'_>, text: String) -> eframe::egui::Label {
    let text = RichText::new(text)
        .font(plain(11.5))
        .color(bench.palette.dim);
    eframe::egui::Label::new(text).wrap()
}

/// The kink of what a coped tube stands on.
fn kink(ui: &mut Ui, bench: &Bench<'_>, work: &JointWeld) {
    let Some(k) = &work.welded.main_kink else {
        return;
    };
    let degrees = |v: f64| format!("{:.2}°", v.to_degrees());
    let force = |v: f64| bench.show(Kind::Force, v);
    ui.label(
        RichText::new(format!(
            "Kink of what it stands on: about {}, from {} to {}",
            degrees(k.point),
            degrees(k.low),
            degrees(k.high)
        ))
        .font(bold(12.5)),
    );
    let text = format!(
        "{}  from the weld metal · Blodgett (from memory); as far as the tube yields: {}",
        degrees(k.by_metal),
        degrees(k.yield_limited)
    );
    ui.add(bits_label(bench, text));
    if k.out_of_range {
        bits::say_in(
            ui,
            bench.palette.accent,
            format!(
                "The weld would pull with {}, and {} is enough to make the tube yield there: both figures count and the ends are widened.",
                force(k.force),
                force(k.yield_force)
            ),
        );
    }
}

fn passes(n: u32) -> String {
    if n == 1 {
        "1 pass".to_owned()
    } else {
        format!("{n} passes")
    }
}
