//! Forms of nodes, tubes, plates and control dimensions.

use build::{
    Build, ControlDimension, Edit, Limit, Node, Part, Place, Plate, ROUND_STOCK, ToleranceClass,
    Tool, Tube, TubeSection, WeldEdit,
};
use eframe::egui::{self, Role, Ui, WidgetInfo};
use units::{Angle, Kind, Length};

use super::super::super::assembly_view::{make, one_step, words};
use super::super::super::bench::{Action, Bench, Tray};
use super::super::super::typed;
use super::common::{FIELD, Form, Pairs, choose, head, materials, nodes};

/// What a coordinate is called.
pub(super) const COORDINATES: [&str; 3] = ["station", "offset", "height"];

/// A typed coordinate of a node; puts the edit in the tray.
pub(super) fn coordinate(ui: &mut Ui, bench: &Bench<'_>, x: &Node, k: usize, tray: &mut Tray) {
    let mut at = x.at.si();
    let name = format!("Node {}, {}", x.id, COORDINATES[k]);
    let salt = ("node", &x.id, k);
    let typed = typed::field(ui, bench, salt, &name, Kind::Length, at[k], FIELD, tray);
    if let Some(v) = typed {
        at[k] = v;
        tray.edit(Edit::Weld(WeldEdit::MoveNode {
            node: x.id.clone(),
            to: Place::from_si(at),
        }));
    }
}

pub(in crate::ui) fn node(ui: &mut Ui, bench: &Bench<'_>, x: &Node, tray: &mut Tray) {
    let b = bench.build;
    let part = Part::Node(x.id.clone());
    let other = make::partner(&b.assembly, x);
    let hint = other.map_or_else(String::new, |o| format!("mirrored: {}", o.id));
    head(ui, bench, &format!("node {}", x.id), &hint, &part, tray);
    Pairs::show(ui, ("node form", &x.id), |ui, pairs| {
        let hints = ["ahead +", "left +", "up"];
        for (k, (word, hint)) in COORDINATES.into_iter().zip(hints).enumerate() {
            ui.label(word).on_hover_text(hint);
            coordinate(ui, bench, x, k, tray);
            pairs.next(ui);
        }
    });
    let mut name = x.id.clone();
    let form = Form {
        owner: format!("Node {}", x.id),
        bench,
    };
    ui.horizontal_wrapped(|ui| {
        if form.words(ui, "name", &mut name, 120.0, tray) && name != x.id {
            rename(b, x, &name, tray);
        }
    });
    let users = users(b, &x.id);
    let text = if users.is_empty() {
        "Nothing runs to it.".to_owned()
    } else {
        users.join(" · ")
    };
    let text = egui::RichText::new(text).small().color(bench.palette.dim);
    ui.add(egui::Label::new(text).wrap());
}

/// What runs to a node.
fn users(b: &Build, id: &str) -> Vec<String> {
    let tubes = b.assembly.tubes.iter();
    let tubes = tubes
        .filter(|t| t.from == id || t.to == id)
        .map(|t| t.label.clone());
    let plates = b.assembly.plates.iter();
    let plates = plates
        .filter(|p| p.outline.iter().any(|n| n == id))
        .map(|p| p.label.clone());
    tubes.chain(plates).collect()
}

/// A node under another name: everything that runs to it follows, in one step.
fn rename(b: &Build, x: &Node, name: &str, tray: &mut Tray) {
    if b.assembly.node(name).is_some() {
        tray.put(Action::Say(format!(
            "There is a node {name} already: choose another name"
        )));
        return;
    }
    let swap = |id: &mut String| {
        if *id == x.id {
            name.clone_into(id);
        }
    };
    let mut edits = vec![WeldEdit::PutNode(Node {
        id: name.to_owned(),
        at: x.at,
    })];
    for t in &b.assembly.tubes {
        let mut new = t.clone();
        swap(&mut new.from);
        swap(&mut new.to);
        if new != *t {
            edits.push(WeldEdit::PutTube(new));
        }
    }
    for p in &b.assembly.plates {
        let mut new = p.clone();
        new.outline.iter_mut().for_each(swap);
        if new != *p {
            edits.push(WeldEdit::PutPlate(new));
        }
    }
    for j in &b.fit_up.joints {
        if let Some(joins) = j.joins.as_ref().filter(|g| g.at == x.id) {
            let mut new = joins.clone();
            swap(&mut new.at);
            edits.push(WeldEdit::SetJoins {
                joint: j.id.clone(),
                joins: Some(new),
            });
        }
    }
    for d in &b.weld_out.dimensions {
        let mut new = d.clone();
        swap(&mut new.from);
        swap(&mut new.to);
        new.through.iter_mut().for_each(swap);
        if new != *d {
            edits.push(WeldEdit::PutDimension(new));
        }
    }
    edits.push(WeldEdit::RemoveNode(x.id.clone()));
    one_step(edits.into_iter().map(Edit::Weld).collect(), tray);
    tray.put(Action::Select(Part::Node(name.to_owned())));
}

pub(in crate::ui) fn tube(ui: &mut Ui, bench: &Bench<'_>, x: &Tube, tray: &mut Tray) {
    let b = bench.build;
    let mut new = x.clone();
    let part = Part::Tube(x.id.clone());
    let hint = words::tube(b, x, bench.shop());
    head(ui, bench, &x.label, &hint, &part, tray);
    let form = Form {
        owner: format!("Tube {}", x.id),
        bench,
    };
    ui.horizontal_wrapped(|ui| {
        form.words(ui, "label", &mut new.label, 200.0, tray);
    });
    let nodes = nodes(b);
    Pairs::show(ui, ("tube form", &x.id), |ui, pairs| {
        form.choose(ui, pairs, "from", &mut new.from, &nodes);
        form.choose(ui, pairs, "to", &mut new.to, &nodes);
        form.choose(ui, pairs, "material", &mut new.material, &materials(b));
        section(ui, &form, pairs, &mut new.section, tray);
        if let Some(v) = form.value(ui, pairs, "turn", Kind::Angle, x.turn.si(), tray) {
            new.turn = Angle::from_si(v);
        }
    });
    if new != *x {
        tray.edit(Edit::Weld(WeldEdit::PutTube(new)));
    }
}

/// Kind and sizes of a section, with the chooser of common stock.
fn section(
    ui: &mut Ui,
    form: &Form<'_, '_>,
    pairs: &mut Pairs,
    section: &mut TubeSection,
    tray: &mut Tray,
) {
    let was = *section;
    let mut round = matches!(was, TubeSection::Round { .. });
    let kinds = [
        (true, "round".to_owned()),
        (false, "rectangular".to_owned()),
    ];
    form.choose(ui, pairs, "section", &mut round, &kinds);
    match section {
        TubeSection::Round { outside, wall } if round => {
            let mut stock = None;
            let shop = form.bench.shop();
            let mut all = vec![(None, "choose".to_owned())];
            for (o, w) in ROUND_STOCK {
                let s = TubeSection::Round {
                    outside: Length::from_inches(o),
                    wall: Length::from_inches(w),
                };
                all.push((Some(s), words::section(&s, shop)));
            }
            if all.iter().any(|(s, _)| *s == Some(was)) {
                stock = Some(was);
            }
            form.choose(ui, pairs, "stock", &mut stock, &all);
            form.length(ui, pairs, "outside", outside, tray);
            form.length(ui, pairs, "wall", wall, tray);
            if let Some(s) = stock
                && s != was
            {
                *section = s;
            }
        }
        TubeSection::Rectangular {
            height,
            width,
            wall,
            corner,
        } if !round => {
            form.length(ui, pairs, "height", height, tray);
            form.length(ui, pairs, "width", width, tray);
            form.length(ui, pairs, "wall", wall, tray);
            let mut radius = corner.unwrap_or_else(|| Length::from_si(2.0 * wall.si()));
            let was = radius;
            form.length(ui, pairs, "corner radius", &mut radius, tray);
            if radius != was {
                *corner = Some(radius);
            }
        }
        // Another kind begins at the same size and wall.
        TubeSection::Round { outside, wall } => {
            *section = TubeSection::Rectangular {
                height: *outside,
                width: *outside,
                wall: *wall,
                corner: None,
            };
        }
        TubeSection::Rectangular { height, wall, .. } => {
            *section = TubeSection::Round {
                outside: *height,
                wall: *wall,
            };
        }
    }
}

pub(super) fn plate(ui: &mut Ui, bench: &Bench<'_>, x: &Plate, tray: &mut Tray) {
    let b = bench.build;
    let mut new = x.clone();
    let part = Part::Plate(x.id.clone());
    let hint = words::plate(x, bench.shop());
    head(ui, bench, &x.label, &hint, &part, tray);
    let form = Form {
        owner: format!("Plate {}", x.id),
        bench,
    };
    ui.horizontal_wrapped(|ui| {
        form.words(ui, "label", &mut new.label, 200.0, tray);
    });
    Pairs::show(ui, ("plate form", &x.id), |ui, pairs| {
        form.length(ui, pairs, "thickness", &mut new.thickness, tray);
        form.choose(ui, pairs, "material", &mut new.material, &materials(b));
    });
    chain(ui, b, &form.owner, "corner", 3, &mut new.outline);
    if new != *x {
        tray.edit(Edit::Weld(WeldEdit::PutPlate(new)));
    }
}

/// A row of nodes that can be lengthened and shortened.
fn chain(ui: &mut Ui, b: &Build, owner: &str, word: &str, least: usize, all: &mut Vec<String>) {
    let nodes = nodes(b);
    let mut remove = None;
    ui.horizontal_wrapped(|ui| {
        for (i, id) in all.iter_mut().enumerate() {
            let n = i + 1;
            choose(
                ui,
                &format!("{owner}, {word} {n}"),
                id,
                &nodes,
                FIELD + 10.0,
            );
        }
        let count = all.len();
        if count > least {
            let r = ui
                .button("–")
                .on_hover_text(format!("Take the last {word} away"));
            r.widget_info(|| {
                WidgetInfo::labeled(Role::Button, true, format!("{owner}, remove last {word}"))
            });
            if r.clicked() {
                remove = Some(count - 1);
            }
        }
        let r = ui.button(format!("Add a {word}"));
        r.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("{owner}, add a {word}")));
        if r.clicked() {
            let free = nodes.iter().find(|(id, _)| !all.contains(id));
            if let Some((id, _)) = free.or(nodes.first()) {
                all.push(id.clone());
            }
        }
    });
    if let Some(i) = remove {
        all.remove(i);
    }
}

pub(super) fn dimension(ui: &mut Ui, bench: &Bench<'_>, x: &ControlDimension, tray: &mut Tray) {
    let b = bench.build;
    let mut new = x.clone();
    let part = Part::Dimension(x.id.clone());
    let (_, second, verdict) = words::dimension(bench, x);
    head(ui, bench, &x.label, "", &part, tray);
    ui.colored_label(verdict.colour(bench), second);
    let form = Form {
        owner: format!("Dimension {}", x.id),
        bench,
    };
    ui.horizontal_wrapped(|ui| {
        form.words(ui, "label", &mut new.label, 200.0, tray);
    });
    let nodes = nodes(b);
    Pairs::show(ui, ("dimension form", &x.id), |ui, pairs| {
        form.choose(ui, pairs, "from", &mut new.from, &nodes);
        form.choose(ui, pairs, "to", &mut new.to, &nodes);
        form.length(ui, pairs, "want", &mut new.want, tray);
        limit(ui, &form, pairs, x, &mut new, tray);
        let mut tool = words::tool(x.tool).to_owned();
        let before = tool.clone();
        let tools = ["tape", "trammel", "other"].map(|t| (t.to_owned(), t.to_owned()));
        form.choose(ui, pairs, "tool", &mut tool, &tools);
        if tool != before {
            new.tool = match tool.as_str() {
                "tape" => Tool::Tape,
                "trammel" => Tool::Trammel,
                _ => Tool::Error(Length::from_si(0.0004)),
            };
        }
        if let Tool::Error(e) = &mut new.tool {
            form.length(ui, pairs, "error", e, tray);
        }
    });
    let text = egui::RichText::new("the way passes")
        .small()
        .color(bench.palette.dim);
    ui.label(text)
        .on_hover_text("Nodes on the way from one end to the other; none: the shortest way");
    chain(ui, b, &form.owner, "node on the way", 0, &mut new.through);
    if new != *x {
        tray.edit(Edit::Weld(WeldEdit::PutDimension(new)));
    }
}

/// How far off it may be: a length, or a class.
fn limit(
    ui: &mut Ui,
    form: &Form<'_, '_>,
    pairs: &mut Pairs,
    x: &ControlDimension,
    new: &mut ControlDimension,
    tray: &mut Tray,
) {
    let mut class = match x.tolerance {
        Limit::Within(_) => None,
        Limit::Iso13920(class) => Some(class),
    };
    let before = class;
    let mut all = vec![(None, "within".to_owned())];
    for c in ToleranceClass::ALL {
        all.push((Some(c), format!("ISO 13920 {c:?}")));
    }
    form.choose(ui, pairs, "tolerance", &mut class, &all);
    if class != before {
        new.tolerance = class.map_or_else(
            || {
                Limit::Within(Length::from_si(
                    words::tolerance(form.bench, x).unwrap_or(0.001_587_5),
                ))
            },
            Limit::Iso13920,
        );
    }
    if let Limit::Within(t) = &mut new.tolerance {
        form.length(ui, pairs, "within", t, tray);
    }
}
