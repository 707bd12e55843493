//! How the ends of a tube are cut, in words, with who is cut first.

use build::{CopeStudy, Edit, EndShape, EndStudy, Part, Tube, TubeEdit, TubePart};
use eframe::egui::{self, Role, Ui, WidgetInfo};
use geometry::tube::cope::End;

use super::super::bench::{Action, Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::bold;
use super::super::weld_panels::bits;
use super::words;

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, part: &TubePart, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Ends",
        &format!("scribe line: {}", words::scribe(part)),
    );
    for end in &part.ends {
        let letter = match end.end {
            End::A => "A",
            End::B => "B",
        };
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            ui.label(
                egui::RichText::new(letter)
                    .font(bold(13.0))
                    .color(bench.palette.accent),
            );
            if ui
                .small_button(&end.node)
                .on_hover_text("Its node: drag it, or type where it is")
                .clicked()
            {
                tray.put(Action::Select(Part::Node(end.node.clone())));
            }
            ui.label(egui::RichText::new(words::end_short(bench, end)).font(bold(13.0)));
        });
        for line in said(bench, end) {
            bits::say(ui, line);
        }
        if let EndShape::Failed(why) = &end.shape {
            bits::say_in(
                ui,
                bench.palette.bad,
                format!("No cut: {}.", why.show(bench.shop())),
            );
        }
        first(ui, bench, tube, end, letter, tray);
    }
    if let Some(gap) = largest_gap(part) {
        common::note(
            ui,
            bench,
            format!(
                "Cut straight in, it leaves up to {} at the outside, {} to the other tube.",
                words::wall(bench, gap.0),
                words::wall(bench, gap.1)
            ),
        );
    }
}

fn largest_gap(part: &TubePart) -> Option<(f64, f64)> {
    let gaps = part.ends.iter().filter_map(|e| match &e.shape {
        EndShape::Cope(cut) => cut.gap,
        _ => None,
    });
    gaps.reduce(|a, b| (a.0.max(b.0), a.1.max(b.1)))
}

/// The cut of an end in sentences.
fn said(bench: &Bench<'_>, end: &EndStudy) -> Vec<String> {
    match &end.shape {
        EndShape::Square => {
            vec!["Nothing drawn there cuts it: saw it square at its node.".to_owned()]
        }
        EndShape::RunsOn(with) => vec![format!(
            "Saw it square: {} runs on in the same line.",
            words::name(bench, *with)
        )],
        EndShape::Mitre { mitre, toward, .. } => vec![
            format!(
                "Saw {} from square, both alike; {} between them.",
                words::angle(bench, mitre.saw),
                words::angle(bench, mitre.included)
            ),
            format!(
                "The side toward the other one is {}.",
                words::clock(bench, *toward)
            ),
        ],
        EndShape::Cope(cut) => coped(bench, cut),
        EndShape::Failed(_) => Vec::new(),
    }
}

fn coped(bench: &Bench<'_>, cut: &CopeStudy) -> Vec<String> {
    let mut out = Vec::new();
    for (pair, main) in cut.cope.pairs().iter().zip(&cut.mains) {
        let mut text = format!(
            "{} at {}",
            words::name(bench, *main),
            words::angle(bench, pair.alpha)
        );
        if pair.offset.abs() > 2e-5 {
            text = format!(
                "{text}, {} off its axis",
                words::marked(bench, pair.offset.abs())
            );
        }
        out.push(format!(
            "{text}; its clock is {}.",
            words::clock(bench, pair.clock)
        ));
    }
    let edge = if cut.long.inside { ", inside edge" } else { "" };
    out.push(format!(
        "Long point {}{edge}; from it the cut goes {} deep.",
        place(bench, cut),
        words::marked(bench, cut.short.s - cut.long.s)
    ));
    out.push(match &cut.saw {
        Ok(saw) => {
            let mut text = format!(
                "Hole saw {} across, tube {} from square to it",
                words::marked(bench, saw.diameter),
                words::angle(bench, saw.from_square)
            );
            if saw.offset.abs() > 2e-5 {
                text = format!("{text}, {} off the middle", words::marked(bench, saw.offset.abs()));
            }
            format!(
                "{text}; saw's centre {} from the long point, cup at least {} deep. Clamp the tube.",
                words::marked(bench, saw.centre_to_long_point),
                words::marked(bench, saw.cup_depth)
            )
        }
        Err(why) => format!("No hole saw: {why}. Use the wrap."),
    });
    out
}

fn place(bench: &Bench<'_>, cut: &CopeStudy) -> String {
    let at = if matches!(
        cut.cope.section(),
        geometry::tube::section::Section::Round { .. }
    ) {
        words::clock(bench, cut.long.at)
    } else {
        format!(
            "{} round from the scribe line",
            words::marked(bench, cut.long.at.abs())
        )
    };
    let s = cut.long.s;
    if s < 0.0 {
        format!("{} past the node, {at}", words::marked(bench, -s))
    } else {
        format!("{} short of the node, {at}", words::marked(bench, s))
    }
}

/// Others that end here: which is cut first.
fn first(
    ui: &mut Ui,
    bench: &Bench<'_>,
    tube: &Tube,
    end: &EndStudy,
    letter: &str,
    tray: &mut Tray,
) {
    let others: Vec<&Tube> = end
        .meets
        .iter()
        .filter(|m| m.ends_here.is_some() && m.cuts)
        .filter_map(|m| bench.build.assembly.tubes.get(m.tube))
        .collect();
    for other in others {
        let r = ui
            .small_button(format!("Cut before {}", other.label))
            .on_hover_text("It runs to the joint, and the other one is coped to it");
        r.widget_info(|| {
            WidgetInfo::labeled(
                Role::Button,
                true,
                format!("Tube {}, end {letter}, cut before {}", tube.id, other.id),
            )
        });
        if r.clicked() {
            tray.edit(Edit::Tube(TubeEdit::CutBefore {
                tube: tube.id.clone(),
                other: other.id.clone(),
            }));
        }
    }
}
