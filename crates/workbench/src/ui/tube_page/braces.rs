//! Try a brace: its gain before it is kept, and the best places for one.

use std::sync::Arc;

use build::{
    BraceEnd, BraceTried, Edit, FrameStudy, Part, Phrase, Place, ROUND_STOCK, TubeSection,
};
use eframe::egui::{self, Ui};
use units::Length;

use super::super::assembly_view::make::{self, Anchor, Stock};
use super::super::assembly_view::scene::Space;
use super::super::assembly_view::{one_step, words as drawing};
use super::super::bench::{Action, Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::{bold, plain};
use super::super::weld_page::parts::common::{choose, materials, nodes};
use super::super::weld_panels::bits;
use super::super::worker::{Taken, Worker};
use super::words;

/// Places nearer than this are one, m.
const ONE: f64 = 1e-3;

/// A brace tried: what it was tried on and with, and what came of it.
#[derive(Debug)]
struct Tried {
    frame: Arc<FrameStudy>,
    bars: Vec<[BraceEnd; 2]>,
    stock: Stock,
    came: Result<BraceTried, Phrase>,
}

/// What the topic remembers.
#[derive(Debug, Default)]
pub(super) struct State {
    ends: [Option<BraceEnd>; 2],
    stock: Option<Stock>,
    both: bool,
    tried: Option<Tried>,
    search: Option<Worker<(), Arc<FrameStudy>>>,
    /// The frame the best places are known of.
    found: Option<Arc<FrameStudy>>,
    pointed: Option<usize>,
}

impl State {
    /// A brace drawn with the pen.
    pub fn take(&mut self, ends: [Anchor; 2]) {
        self.ends = ends.map(|x| Some(x.node.map_or(BraceEnd::At(x.at), BraceEnd::Node)));
        self.pointed = None;
    }

    /// The bars that are tried, in space.
    pub fn bars(&self, bench: &Bench<'_>) -> Vec<[Space; 2]> {
        let at = |e: &BraceEnd| place(bench, e);
        self.wanted(bench)
            .iter()
            .filter_map(|[a, b]| Some([at(a)?, at(b)?]))
            .collect()
    }

    /// The brace in hand, with its mirror image where both sides are meant.
    fn wanted(&self, bench: &Bench<'_>) -> Vec<[BraceEnd; 2]> {
        let [Some(a), Some(b)] = &self.ends else {
            return Vec::new();
        };
        let mut all = vec![[a.clone(), b.clone()]];
        if self.both
            && let (Some(c), Some(d)) = (mirrored(bench, a), mirrored(bench, b))
        {
            let same = (near(bench, &c, a) && near(bench, &d, b))
                || (near(bench, &c, b) && near(bench, &d, a));
            if !same {
                all.push([c, d]);
            }
        }
        all
    }
}

fn place(bench: &Bench<'_>, end: &BraceEnd) -> Option<Space> {
    match end {
        BraceEnd::Node(id) => Some(bench.build.assembly.node(id)?.at.si()),
        BraceEnd::At(p) => Some(*p),
    }
}

fn near(bench: &Bench<'_>, a: &BraceEnd, b: &BraceEnd) -> bool {
    match (place(bench, a), place(bench, b)) {
        (Some(p), Some(q)) => (0..3).all(|k| (p[k] - q[k]).abs() < ONE),
        _ => false,
    }
}

fn mirrored(bench: &Bench<'_>, end: &BraceEnd) -> Option<BraceEnd> {
    let there = Place::from_si(place(bench, end)?).mirrored().si();
    let other = BraceEnd::At(there);
    let nodes = bench.build.assembly.nodes.iter();
    let mut at = nodes
        .map(|n| BraceEnd::Node(n.id.clone()))
        .filter(|n| near(bench, n, &other));
    Some(at.next().unwrap_or(other))
}

pub(super) fn show(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, both: bool, tray: &mut Tray) {
    state.both = both;
    bits::two(state, ui, bench, tray, "brace columns", 0.5, one, best);
}

/// What a new brace is made of: as chosen, else as the last tube drawn.
fn stock(state: &State, bench: &Bench<'_>) -> Stock {
    state.stock.clone().unwrap_or_else(|| {
        let round = |s: &TubeSection| matches!(s, TubeSection::Round { .. });
        let tubes = bench.build.assembly.tubes.iter().rev();
        let last = tubes
            .filter(|t| round(&t.section))
            .min_by(|a, b| a.section.reach().total_cmp(&b.section.reach()));
        last.map_or_else(Stock::default, |t| Stock {
            section: t.section,
            material: t.material.clone(),
        })
    })
}

/// The brace in hand.
fn one(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Try a brace",
        "with the pen above, or from node to node here",
    );
    let mut all = vec![(None, "choose".to_owned())];
    all.extend(
        nodes(bench.build)
            .into_iter()
            .map(|(id, word)| (Some(BraceEnd::Node(id)), word)),
    );
    ui.horizontal_wrapped(|ui| {
        for (k, word) in ["from", "to"].into_iter().enumerate() {
            ui.label(word);
            let mut options = all.clone();
            if let Some(BraceEnd::At(p)) = &state.ends[k] {
                let says = drawing::place(Place::from_si(*p), bench.shop());
                options.push((state.ends[k].clone(), says));
            }
            choose(
                ui,
                &format!("Brace {word}"),
                &mut state.ends[k],
                &options,
                120.0,
            );
            if let Some(Part::Node(id)) = bench.selected {
                let r = ui
                    .small_button("node in hand")
                    .on_hover_text(format!("Node {id}, the one clicked last"));
                r.widget_info(|| {
                    egui::WidgetInfo::labeled(
                        egui::Role::Button,
                        true,
                        format!("Brace {word} the node in hand"),
                    )
                });
                if r.clicked() {
                    state.ends[k] = Some(BraceEnd::Node(id.clone()));
                }
            }
        }
    });
    let mut made = stock(state, bench);
    let before = made.clone();
    ui.horizontal_wrapped(|ui| {
        ui.label("tube");
        let mut all: Vec<(TubeSection, String)> = Vec::new();
        let mut add = |s: TubeSection| {
            if !all.iter().any(|(x, _)| *x == s) {
                all.push((s, drawing::section(&s, bench.shop())));
            }
        };
        add(made.section);
        for t in &bench.build.assembly.tubes {
            add(t.section);
        }
        for (o, w) in ROUND_STOCK {
            add(TubeSection::Round {
                outside: Length::from_inches(o),
                wall: Length::from_inches(w),
            });
        }
        choose(ui, "Brace section", &mut made.section, &all, 120.0);
        choose(
            ui,
            "Brace material",
            &mut made.material,
            &materials(bench.build),
            120.0,
        );
    });
    if made != before {
        state.stock = Some(made.clone());
    }
    let bars = state.wanted(bench);
    if bars.is_empty() {
        common::note(
            ui,
            bench,
            "Its gain is shown here before anything is drawn. “Both sides” above tries it left and right at once.",
        );
    } else {
        gain(state, ui, bench, &bars, &made, tray);
    }
    common::caution(ui, bench, build::FRAME_CAUTION);
}

/// What it gains, and keeping it.
fn gain(
    state: &mut State,
    ui: &mut Ui,
    bench: &Bench<'_>,
    bars: &[[BraceEnd; 2]],
    made: &Stock,
    tray: &mut Tray,
) {
    let p = bench.palette;
    let frame = &bench.study.frame;
    let fresh = state
        .tried
        .as_ref()
        .is_none_or(|t| !Arc::ptr_eq(&t.frame, frame) || t.bars != bars || t.stock != *made);
    if fresh {
        let came = frame.try_braces(bars, made.section, &made.material);
        state.tried = Some(Tried {
            frame: Arc::clone(frame),
            bars: bars.to_vec(),
            stock: made.clone(),
            came,
        });
    }
    let Some(tried) = &state.tried else { return };
    match &tried.came {
        Ok(x) => {
            ui.horizontal_wrapped(|ui| {
                let sign = if x.gain < 0.0 { "−" } else { "+" };
                let text = format!(
                    "{sign}{}",
                    words::stiffness(bench, frame.shown(x.gain.abs()))
                );
                let colour = if x.gain > 0.0 { p.good } else { p.bad };
                ui.label(egui::RichText::new(text).font(bold(16.0)).color(colour));
                let share = format!("{:+.1} %", 100.0 * x.gain / x.before.max(1e-9));
                ui.label(egui::RichText::new(share).font(bold(13.0)));
                let pair = if bars.len() > 1 { "both " } else { "" };
                ui.label(
                    egui::RichText::new(format!(
                        "{pair}{} · {}",
                        words::mass(bench, x.mass),
                        words::per_weight(bench, frame.shown(x.gain_per_kg))
                    ))
                    .font(plain(12.0))
                    .color(p.dim),
                );
            });
            common::note(
                ui,
                bench,
                format!(
                    "Twist {} now, {} with it.",
                    words::stiffness(bench, frame.shown(x.before)),
                    words::stiffness(bench, frame.shown(x.after))
                ),
            );
            if let Some(note) = &x.note {
                bits::say_in(ui, p.accent, note.show(bench.shop()));
            }
        }
        Err(why) => bits::say_in(ui, p.bad, why.show(bench.shop())),
    }
    let fits = tried.came.is_ok();
    ui.horizontal(|ui| {
        let r = ui
            .add_enabled(fits, egui::Button::new("Keep it"))
            .on_hover_text("Draws it into the assembly, with its joints: one step to undo");
        if r.clicked() {
            keep(state, bench, bars, made, tray);
        }
        if ui.button("Let it go").clicked() {
            state.ends = [None, None];
            state.pointed = None;
        }
    });
}

/// Draws the brace, in one step with its mirror image.
fn keep(
    state: &mut State,
    bench: &Bench<'_>,
    bars: &[[BraceEnd; 2]],
    made: &Stock,
    tray: &mut Tray,
) {
    let Some(bar) = bars.first() else { return };
    let anchors = bar.each_ref().map(|e| {
        let at = place(bench, e).unwrap_or_default();
        Anchor {
            at,
            node: match e {
                BraceEnd::Node(id) => Some(id.clone()),
                BraceEnd::At(_) => None,
            },
            tube: None,
        }
    });
    let [a, b] = &anchors;
    match make::draw_tube(bench.build, [a, b], made, bars.len() > 1) {
        Ok((edits, id)) => {
            one_step(edits.into_iter().map(Edit::Weld).collect(), tray);
            tray.put(Action::Select(Part::Tube(id)));
            state.ends = [None, None];
            state.pointed = None;
        }
        Err(why) => tray.put(Action::Say(why.to_owned())),
    }
}

/// The best places, looked for on a thread of its own.
fn best(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let frame = &bench.study.frame;
    common::head(
        ui,
        bench,
        "Best places",
        "every two places where tubes meet are tried",
    );
    if let Err(why) = &frame.twist {
        bits::say_in(ui, bench.palette.bad, format!("No twist test: {why}."));
        return;
    }
    if let Some(search) = &state.search {
        match search.take(ui.ctx()) {
            Taken::Running => {
                bits::say(ui, "Looking…");
            }
            Taken::Done(of) => {
                state.found = Some(of);
                state.search = None;
            }
            Taken::Lost => state.search = None,
        }
    }
    let current = state
        .found
        .as_ref()
        .is_some_and(|of| Arc::ptr_eq(of, frame));
    if state.search.is_none() && !current {
        let word = if state.found.is_some() {
            "The frame has changed: look again"
        } else {
            "Find the best places"
        };
        if ui.button(word).clicked() {
            let of = Arc::clone(frame);
            state.search = Some(Worker::start(ui.ctx(), (), 1, move |_, _| {
                // Found once and kept in the study; why there is none is said above.
                let _ = of.braces();
                of
            }));
        }
    }
    let Some(of) = state.found.clone() else {
        common::note(
            ui,
            bench,
            "Places 6 in to 8 ft apart, not along a tube, mirror images together; the first twenty are \
             solved with their own section. Seat, engine and tyres are not known to it: what a brace may pass through \
             is yours to see.",
        );
        return;
    };
    let Ok(list) = of.braces() else { return };
    common::note(
        ui,
        bench,
        format!(
            "{} places looked at, as {} of {}{}",
            list.looked_at,
            drawing::section(&list.section, bench.shop()),
            list.material,
            if current {
                ""
            } else {
                "; of the frame as it was"
            }
        ),
    );
    if let Some(note) = &list.note {
        bits::say_in(ui, bench.palette.accent, note.show(bench.shop()));
    }
    let most = list
        .places
        .iter()
        .map(|x| x.tried.gain)
        .fold(0.0_f64, f64::max)
        .max(1e-9);
    for (i, x) in list.places.iter().enumerate() {
        let right = format!("+{}", words::stiffness(bench, of.shown(x.tried.gain)));
        let under = format!(
            "{} long · {} · {}",
            bench.length(x.length),
            words::mass(bench, x.tried.mass),
            words::per_weight(bench, of.shown(x.tried.gain_per_kg))
        );
        let row = bits::Row {
            name: format!("Brace place {}", i + 1),
            label: &x.label,
            right: &right,
            colour: bench.palette.ink,
            under: &under,
            drawn: "",
            chosen: state.pointed == Some(i),
            faint: !current,
        };
        let share = (x.tried.gain / most).clamp(0.0, 1.0) as f32;
        let r = bits::strip_row(ui, bench, &row, 6.0, |painter, lane| {
            let bar = egui::Rect::from_min_size(
                lane.min + egui::vec2(0.0, 1.0),
                egui::vec2((lane.width() * share).max(1.0), 4.0),
            );
            painter.rect_filled(bar, 1, bench.palette.good);
        });
        if r.clicked()
            && let Some([a, b]) = x.bars.first()
        {
            state.ends = [Some(a.clone()), Some(b.clone())];
            state.stock = Some(Stock {
                section: list.section,
                material: list.material.clone(),
            });
            state.pointed = Some(i);
            if (x.bars.len() > 1) != state.both {
                let word = if x.bars.len() > 1 { "on" } else { "off" };
                tray.put(Action::Say(format!(
                    "This place is reckoned with “Both sides” {word}"
                )));
            }
        }
    }
}
