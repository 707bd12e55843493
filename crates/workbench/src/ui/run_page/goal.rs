//! The goal, the run against it, and what would meet it.

use build::{Goal, GoalOver, RunEdit, RunPlan};
use eframe::egui::{self, RichText, Ui};
use units::{Kind, Time};

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::bold;
use super::super::typed;
use super::{RunPage, live, pieces, plots, sensitivities, slip, words};

/// What is said of every run.
const CAUTION: &str = "Closed course only. The run is a model, not a promise. A car that lifts its front wheels needs \
    bars and a licensed inspector's eye; the sanctioning body's rules come first.";
/// What the run does not have.
const LEFT_OUT: &str = "Left out of the run: the tyres' give under load, give of the rods, roll and driveshaft torque, \
    tyre growth, lift of the air. The balance under power, on the page Rear links, has the first three.";

pub(super) fn show(page: &mut RunPage, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let study = &bench.study.run;
    let plan = study.plan().ok();
    let plan = plan.as_deref();
    pieces::page(ui, "goal page", |ui| {
        choose(ui, bench, tray);
        verdict(ui, bench, plan);
        match &study.run {
            Ok(run) => {
                page.cursor.run(ui, run.duration());
                pieces::two(
                    ui,
                    page,
                    0.56,
                    |ui, page| {
                        live::show(&mut page.cursor, ui, bench, run);
                        let samples = page.drawn.as_ref().map_or(&[][..], |d| &d.samples);
                        plots::show(&mut page.cursor, ui, bench, run, samples);
                    },
                    |ui, page| {
                        slip::show(ui, bench, run, plan);
                        changes(ui, bench, plan);
                        page.thousand.show(ui, bench);
                        if let Some(plan) = plan {
                            sensitivities::show(ui, bench, plan);
                        }
                        page.what_if.show(ui, bench, tray);
                    },
                );
                pieces::say(ui, bench.palette.dim, LEFT_OUT);
            }
            Err(why) => {
                page.cursor.pause();
                missing(ui, bench, &why.show(bench.shop()));
            }
        }
        common::caution(ui, bench, CAUTION);
    });
}

fn choose(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let now = bench.build.run.goal;
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Goal").font(bold(14.0)));
        let mut over = now.map(|g| g.over);
        let shown = over.map_or("none", |o| {
            let found = words::OVER.iter().find(|(x, _)| *x == o);
            found.map_or("none", |(_, w)| w)
        });
        egui::ComboBox::from_id_salt("goal over")
            .selected_text(shown)
            .width(210.0_f32.min(ui.available_width().max(60.0)))
            .show_ui(ui, |ui| {
                ui.selectable_value(&mut over, None, "none");
                for (value, word) in words::OVER {
                    ui.selectable_value(&mut over, Some(value), word);
                }
            })
            .response
            .widget_info(|| {
                let mut info = egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Goal over");
                info.current_text_value = Some(shown.to_owned());
                info
            });
        if over != now.map(|g| g.over) {
            let goal = over.map(|over| Goal {
                over,
                time: begin(bench, over),
            });
            pieces::edit(tray, RunEdit::Goal(goal));
        }
        if let Some(goal) = now {
            ui.label("in");
            let si = goal.time.si();
            let typed = typed::field(
                ui,
                bench,
                "goal time",
                "Goal time",
                Kind::Time,
                si,
                pieces::FIELD,
                tray,
            );
            if let Some(si) = typed {
                let time = Time::from_si(si);
                pieces::edit(tray, RunEdit::Goal(Some(Goal { time, ..goal })));
            }
            ui.label("or less");
        }
    });
}

/// A new goal begins at what the run takes now, to the tenth.
fn begin(bench: &Bench<'_>, over: GoalOver) -> Time {
    let run = bench.study.run.run.as_ref().ok();
    let now = run.and_then(|r| r.slip.reading(build::reading_over(over)));
    let usual = match over {
        GoalOver::SixtyFoot => 1.8,
        GoalOver::ZeroSixty | GoalOver::ZeroSixtyRollout => 4.0,
        GoalOver::Eighth => 7.5,
        GoalOver::Quarter => 12.0,
    };
    Time::from_si((now.unwrap_or(usual) * 10.0).floor() / 10.0)
}

fn verdict(ui: &mut Ui, bench: &Bench<'_>, plan: Option<&RunPlan>) {
    let p = bench.palette;
    let Some(study) = &bench.study.run.goal else {
        pieces::say(
            ui,
            p.dim,
            "No goal yet: choose above what it is over, then type the time.",
        );
        return;
    };
    let (Some(predicted), Some(over)) = (study.predicted, study.over) else {
        if bench.study.run.run.is_ok() {
            pieces::say(
                ui,
                p.bad,
                "✗ The car does not reach 60 mph in a quarter mile.",
            );
        }
        return;
    };
    let bar = plan
        .and_then(|x| x.bar(build::reading_over(study.goal.over)))
        .map(|b| format!(" ± {:.2}", b.sigma))
        .unwrap_or_default();
    let (words, colour) = if over > 0.0 {
        (format!("✗ Misses it by {over:.2} s"), p.bad)
    } else {
        (format!("✓ Meets it by {:.2} s", -over), p.good)
    };
    let text = format!("{words}: {predicted:.2}{bar} s predicted");
    ui.add(egui::Label::new(RichText::new(text).font(bold(14.0)).color(colour)).wrap());
}

fn changes(ui: &mut Ui, bench: &Bench<'_>, plan: Option<&RunPlan>) {
    let (Some(plan), Ok(car)) = (plan, &bench.study.run.car) else {
        return;
    };
    if plan.changes.is_empty() {
        return;
    }
    pieces::head(
        ui,
        bench,
        "What would meet it",
        "one change alone, easiest first",
    );
    let (p, changes) = (bench.palette, &plan.changes);
    let mut any = false;
    for c in changes.iter().filter(|c| c.meets) {
        any = true;
        pieces::say(ui, p.good, format!("✓ {}", words::outcome(bench, car, c)));
    }
    if !any {
        pieces::say(
            ui,
            p.bad,
            "No one change a shop would make meets it: several together.",
        );
    }
    for c in changes.iter().filter(|c| !c.meets) {
        pieces::say(ui, p.dim, words::outcome(bench, car, c));
    }
}

/// What is missing, and where it is typed.
fn missing(ui: &mut Ui, bench: &Bench<'_>, why: &str) {
    let run = &bench.build.run;
    let place = if run.torque.len() < 2 || run.gears.is_empty() {
        "type torque and gears under Engine and gears"
    } else if bench.study.launch.coilovers.is_empty() || bench.build.rear.links.is_empty() {
        "links and coil-overs are drawn on the page Rear links"
    } else {
        "see Engine and gears, Chassis and air, Car and record"
    };
    ui.add_space(6.0);
    pieces::say(ui, bench.palette.ink, format!("No run: {why}; {place}."));
}
