//! Form of a joint: what it joins, and how.

use build::{CopeTubes, Edges, Edit, Held, Joins, Joint, JointKind, MAX_PASSES, Part, Process};
use eframe::egui::{self, Role, Ui, WidgetInfo};
use units::{Angle, Kind, Length};

use super::super::super::bench::{Action, Bench, Tray};
use super::super::super::fit_up_page::kind_name;
use super::common::{Form, Pairs, choose, head, nodes, parts};

/// What a process is called.
pub(super) fn process_name(p: Process) -> &'static str {
    match p {
        Process::SubmergedArc => "submerged arc",
        Process::Stick => "stick",
        Process::Mig => "MIG",
        Process::FluxCored => "flux-cored",
        Process::Tig => "TIG",
        Process::Plasma => "plasma",
    }
}

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, j: &Joint, tray: &mut Tray) {
    let mut new = j.clone();
    let part = Part::Joint(j.id.clone());
    let hint = match &j.welded {
        Some(w) => format!("welded {} {}", w.who, w.when),
        None => "not welded yet".to_owned(),
    };
    head(ui, bench, &j.label, &hint, &part, tray);
    let form = Form {
        owner: format!("Joint {}", j.id),
        bench,
    };
    ui.horizontal_wrapped(|ui| {
        form.words(ui, "label", &mut new.label, 220.0, tray);
    });
    joins(ui, &form, &mut new);
    Pairs::show(ui, ("joint form", &j.id), |ui, pairs| {
        let kinds = [
            JointKind::Butt,
            JointKind::Tee { fillets: 1 },
            JointKind::Tee { fillets: 2 },
            JointKind::Lap,
            JointKind::Cope,
        ];
        let kinds = kinds.map(|k| (k, kind_name(k).to_owned()));
        form.choose(ui, pairs, "kind", &mut new.kind, &kinds);
        form.length(ui, pairs, "wall", &mut new.wall, tray);
        form.length(ui, pairs, "leg", &mut new.leg, tray);
        let held = [
            (Held::Free, "free".to_owned()),
            (Held::Tacked, "tacked".to_owned()),
            (Held::Fixtured, "in a fixture".to_owned()),
        ];
        form.choose(ui, pairs, "held", &mut new.held, &held);
        let processes = Process::ALL.map(|p| (p, process_name(p).to_owned()));
        form.choose(ui, pairs, "process", &mut new.process, &processes);
        ui.label("passes");
        let r = ui.add(
            egui::DragValue::new(&mut new.passes)
                .range(1..=MAX_PASSES)
                .update_while_editing(false)
                .speed(0.05),
        );
        if r.drag_started() {
            tray.put(Action::BeginGesture);
        }
        let name = format!("{}, passes", form.owner);
        r.widget_info(|| WidgetInfo::labeled(Role::SpinButton, true, &name));
        pairs.next(ui);
        let now = j.length.map(Length::si);
        if let Some(v) = form.optional(ui, pairs, "seam length", Kind::Length, now, tray) {
            new.length = v.map(Length::from_si);
        }
        let now = j.base.map(Length::si);
        if let Some(v) = form.optional(ui, pairs, "base", Kind::Length, now, tray) {
            new.base = v.map(Length::from_si);
        }
        edges(ui, &form, pairs, &mut new, tray);
        cope(ui, &form, pairs, j, &mut new, tray);
    });
    if new != *j {
        tray.edit(Edit::PutJoint(new));
    }
}

/// What joins what, where.
fn joins(ui: &mut Ui, form: &Form<'_, '_>, new: &mut Joint) {
    let b = form.bench.build;
    let mut part = new.joins.as_ref().map(|j| j.part.clone());
    let mut all = vec![(None, "not drawn".to_owned())];
    all.extend(parts(b).into_iter().map(|(id, label)| (Some(id), label)));
    ui.horizontal_wrapped(|ui| {
        ui.label("joins");
        let before = part.clone();
        let name = format!("{}, part", form.owner);
        choose(ui, &name, &mut part, &all, 120.0);
        if part != before {
            new.joins = match (part, new.joins.take()) {
                (Some(part), Some(old)) => Some(Joins { part, ..old }),
                (Some(part), None) => Some(first(b, part)),
                (None, _) => None,
            };
        }
        if let Some(joins) = &mut new.joins {
            ui.label("onto");
            let name = format!("{}, onto", form.owner);
            choose(ui, &name, &mut joins.onto, &parts(b), 120.0);
            ui.label("at");
            let name = format!("{}, at", form.owner);
            choose(ui, &name, &mut joins.at, &nodes(b), 100.0);
        }
    });
}

/// A joint of this part to begin with: its end A on the first other part.
fn first(b: &build::Build, part: String) -> Joins {
    let at = b.assembly.tube(&part).map(|t| t.from.clone());
    let at = at.or_else(|| b.assembly.plate(&part)?.outline.first().cloned());
    let onto = parts(b).into_iter().find(|(id, _)| *id != part);
    Joins {
        onto: onto.map_or_else(|| part.clone(), |(id, _)| id),
        at: at.unwrap_or_default(),
        part,
    }
}

/// Edges of a butt.
fn edges(ui: &mut Ui, form: &Form<'_, '_>, pairs: &mut Pairs, new: &mut Joint, tray: &mut Tray) {
    if new.kind != JointKind::Butt {
        return;
    }
    let word = |e: &Edges| match e {
        Edges::Square => "square",
        Edges::Vee { .. } => "vee",
        Edges::Bevel { .. } => "one bevel",
    };
    let mut kind = word(&new.edges);
    let all = ["square", "vee", "one bevel"].map(|w| (w, w.to_owned()));
    form.choose(ui, pairs, "edges", &mut kind, &all);
    let (bevel, face) = match new.edges {
        Edges::Vee { bevel, face } | Edges::Bevel { bevel, face } => (bevel, face),
        Edges::Square => (Angle::from_degrees(30.0), Length::from_si(0.0015)),
    };
    if kind != word(&new.edges) {
        new.edges = match kind {
            "vee" => Edges::Vee { bevel, face },
            "one bevel" => Edges::Bevel { bevel, face },
            _ => Edges::Square,
        };
    }
    if let Edges::Vee { bevel, face } | Edges::Bevel { bevel, face } = &mut new.edges {
        if let Some(v) = form.value(ui, pairs, "bevel", Kind::Angle, bevel.si(), tray) {
            *bevel = Angle::from_si(v);
        }
        form.length(ui, pairs, "root face", face, tray);
    }
}

/// Tubes of a cope that are not drawn.
fn cope(
    ui: &mut Ui,
    form: &Form<'_, '_>,
    pairs: &mut Pairs,
    j: &Joint,
    new: &mut Joint,
    tray: &mut Tray,
) {
    if j.kind != JointKind::Cope || j.joins.is_some() {
        return;
    }
    let mut has = new.tubes.is_some();
    let all = [
        (false, "not entered".to_owned()),
        (true, "by hand".to_owned()),
    ];
    form.choose(ui, pairs, "tubes", &mut has, &all);
    if has != new.tubes.is_some() {
        new.tubes = has.then(|| CopeTubes {
            branch: Length::from_inches(1.625),
            main: Length::from_inches(1.625),
            angle: Angle::from_degrees(90.0),
            offset: Length::from_si(0.0),
        });
    }
    if let Some(t) = &mut new.tubes {
        form.length(ui, pairs, "branch", &mut t.branch, tray);
        form.length(ui, pairs, "main", &mut t.main, tray);
        if let Some(v) = form.value(ui, pairs, "angle", Kind::Angle, t.angle.si(), tray) {
            t.angle = Angle::from_si(v);
        }
        form.length(ui, pairs, "axis beside", &mut t.offset, tray);
    }
}
