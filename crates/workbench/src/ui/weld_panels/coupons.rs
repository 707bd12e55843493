//! Coupons: scrap joints and beads, welded and measured to learn from.

use build::{
    Bead, CopeTubes, Coupon, CouponTest, Joint, JointKind, Lie, RecordOf, Tool, Tube, TubeSection,
    WeldEdit,
};
use eframe::egui::{Button, RichText, Ui};
use units::{Angle, Kind, Length};

use super::super::bench::{Bench, Tray};
use super::super::dialog::fresh_id;
use super::super::theme::bold;
use super::super::{clock, fit_up_page, typed};
use super::bead_forms::bead_form;
use super::{bits, common, measure, words};

/// Arm on which one bead's kink can be read with a tape (common practice, no source).
const ARM: f64 = 16.0;

/// What a new coupon is like.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Like {
    /// A joint of the build, by id.
    Joint(String),
    /// One bead on a tube of the build, by id.
    Bead(String),
}

/// A coupon that is not added yet.
#[derive(Debug, Default)]
pub(super) struct Coupons {
    like: Option<Like>,
    before: Option<f64>,
    tool: Tool,
    bead: Option<Bead>,
    arm: Option<f64>,
}

impl Coupons {
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        common::head(
            ui,
            bench,
            "Coupons",
            "scrap, welded as on the car, measured cold",
        );
        let list = &bench.build.weld_out.coupons;
        if list.is_empty() {
            bits::say(
                ui,
                "No coupons yet: weld a scrap joint of the same wall before the real one, and measure it.",
            );
        }
        for c in list {
            ui.push_id(("coupon", &c.id), |ui| one(ui, bench, c, tray));
            ui.add_space(6.0);
        }
        self.form(ui, bench, tray);
    }

    fn form(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let joints = bench.build.fit_up.joints.iter().map(|j| {
            let text = format!("a joint like {}", j.label);
            (Like::Joint(j.id.clone()), text)
        });
        let tubes = bench.build.assembly.tubes.iter().map(|t| {
            let text = format!("one bead on a tube like {}", t.label);
            (Like::Bead(t.id.clone()), text)
        });
        let options: Vec<(Like, String)> = joints.chain(tubes).collect();
        let Some((first, _)) = options.first() else {
            common::note(
                ui,
                bench,
                "Log a joint or draw a tube first: a coupon is welded like one of them.",
            );
            return;
        };
        let mut like = self.like.clone().unwrap_or_else(|| first.clone());
        common::head(ui, bench, "New coupon", "");
        if bits::chooser(ui, "New coupon is", 300.0, &mut like, &options) {
            self.like = Some(like.clone());
        }
        let mut bead = self.bead.unwrap_or(Bead {
            lie: Lie::Across,
            leg: Length::from_inches(0.125),
            length: Length::from_inches(1.25),
        });
        if let Like::Bead(_) = like {
            bead_form(ui, bench, "Coupon", &mut bead, tray);
            self.bead = Some(bead);
            ui.horizontal_wrapped(|ui| {
                ui.label("from the bead to where it is read");
                let mut arm = self.arm.or(Some(ARM * 0.0254));
                bits::draft_length(ui, bench, "Coupon arm", &mut arm, tray);
                self.arm = arm;
            });
        }
        ui.horizontal_wrapped(|ui| {
            ui.label("before it reads");
            bits::draft_length(ui, bench, "Coupon before", &mut self.before, tray);
            tool(ui, bench, "Coupon measured with", &mut self.tool);
            let ready = self.before.filter(|v| v.is_finite());
            let r = ui
                .add_enabled(ready.is_some(), Button::new("Add coupon"))
                .on_disabled_hover_text("Measure it before welding and type what it reads");
            if let (true, Some(before)) = (r.clicked(), ready)
                && let Some(c) = self.made(bench, &like, bead, before)
            {
                bits::edit(tray, WeldEdit::PutCoupon(c));
                *self = Self {
                    tool: self.tool,
                    ..Self::default()
                };
            }
        });
    }

    fn made(&self, bench: &Bench<'_>, like: &Like, bead: Bead, before: f64) -> Option<Coupon> {
        let b = bench.build;
        let (label, test, material) = match like {
            Like::Joint(id) => {
                let i = b.fit_up.joints.iter().position(|j| j.id == *id)?;
                let (joint, material) = scrap(bench, i)?;
                (
                    format!("Scrap: {}", joint.label),
                    CouponTest::Joint(joint),
                    material,
                )
            }
            Like::Bead(id) => {
                let t = b.assembly.tube(id)?;
                let test = CouponTest::Bead {
                    section: t.section,
                    bead,
                    arm: Length::from_si(self.arm.unwrap_or(ARM * 0.0254)),
                };
                (format!("One bead on {}", t.label), test, t.material.clone())
            }
        };
        let w = &b.weld_out;
        let taken = |id: &str| w.coupons.iter().any(|c| c.id == id) || w.dimension(id).is_some();
        Some(Coupon {
            id: fresh_id(&label, taken),
            label,
            test,
            material,
            before: Length::from_si(before),
            after: None,
            tool: self.tool,
            who: bench.settings.who.clone(),
            when: clock::now(),
            learn: false,
            void: None,
        })
    }
}

/// A joint of the build as a scrap piece that stands by itself, and what it is made of.
fn scrap(bench: &Bench<'_>, i: usize) -> Option<(Joint, String)> {
    let b = bench.build;
    let j = b.fit_up.joints.get(i)?;
    let work = bench
        .study
        .fit_up
        .joints
        .get(i)
        .and_then(|s| s.weld.as_ref().ok());
    let mut new = j.clone();
    new.joins = None;
    new.gaps.clear();
    new.welded = None;
    new.note.clear();
    let (mut part, mut onto): (Option<&Tube>, Option<&Tube>) = (None, None);
    if let Some(joins) = &j.joins {
        part = b.assembly.tube(&joins.part);
        onto = b.assembly.tube(&joins.onto);
    }
    if let Some(t) = part {
        new.wall = t.section.wall();
    }
    if let Some(work) = work.filter(|w| w.seam_known && j.kind != JointKind::Cope) {
        new.length = Some(Length::from_si(work.welded.length));
    }
    if j.kind == JointKind::Cope && new.tubes.is_none() {
        let round = |t: Option<&Tube>| match t?.section {
            TubeSection::Round { outside, .. } => Some(outside),
            TubeSection::Rectangular { .. } => None,
        };
        let meeting = work.and_then(|w| w.place.as_ref()?.meeting.as_ref());
        new.tubes = Some(CopeTubes {
            branch: round(part)?,
            main: round(onto)?,
            angle: Angle::from_si(meeting.map_or(std::f64::consts::FRAC_PI_2, |m| m.angle)),
            offset: Length::from_si(meeting.map_or(0.0, |m| m.offset)),
        });
    }
    let material = part.map(|t| t.material.clone());
    let material = material.or_else(|| {
        let plate = b.assembly.plate(&j.joins.as_ref()?.part)?;
        Some(plate.material.clone())
    });
    Some((new, material.unwrap_or_else(|| "1020 DOM".to_owned())))
}

fn tool(ui: &mut Ui, bench: &Bench<'_>, name: &str, now: &mut Tool) {
    let mut options = vec![Tool::Tape, Tool::Trammel];
    if !options.contains(now) {
        options.push(*now);
    }
    let options: Vec<(Tool, String)> = options
        .into_iter()
        .map(|t| (t, words::tool(bench, &t)))
        .collect();
    bits::chooser(ui, name, 110.0, now, &options);
}

/// What to weld and how to measure it.
fn task(bench: &Bench<'_>, c: &Coupon) -> String {
    match &c.test {
        CouponTest::Joint(j) => {
            let marks = match j.kind {
                JointKind::Butt | JointKind::Lap => {
                    "Two punch marks across the seam; measure between them before and cold after."
                }
                JointKind::Tee { .. } | JointKind::Cope => {
                    "A punch mark on the part that ends there; measure from it to the far face of what it stands on, before and cold after."
                }
            };
            format!(
                "Weld a {}: {} wall, {} leg, held as on the car. {marks}",
                fit_up_page::kind_name(j.kind),
                words::size(bench, j.wall.si()),
                words::size(bench, j.leg.si())
            )
        }
        CouponTest::Bead { section, bead, arm } => format!(
            "Clamp a tube of {} wall at one end; lay one bead {}. Measure {} from it, from a straight edge, before and cold after; toward the bead counts up.",
            words::size(bench, section.wall().si()),
            words::bead(bench, bead),
            words::size(bench, arm.si())
        ),
    }
}

/// One coupon: what to do, what was measured, what it would teach.
fn one(ui: &mut Ui, bench: &Bench<'_>, c: &Coupon, tray: &mut Tray) {
    let record = bench.study.weld.record.as_ref().ok();
    let study = record.and_then(|r| r.coupons.iter().find(|s| s.id == c.id));
    ui.label(RichText::new(&c.label).font(bold(12.5)));
    common::note(ui, bench, task(bench, c));
    if let Some(s) = study {
        match &s.predicted {
            Ok((change, factor)) => {
                let f = bench.study.weld.factor(*factor).map_or(1.0, |f| f.0);
                let text = format!(
                    "Expected {}: {} before factors, times {f:.2} for {}.",
                    words::change(bench, f * change, words::runs_of(c)),
                    words::fine(bench, change.abs()),
                    factor.label()
                );
                bits::say(ui, text);
            }
            Err(why) => {
                let text = format!("! {}.", why.show(bench.shop()));
                bits::say_in(ui, bench.palette.bad, text);
            }
        }
    }
    let mut new = c.clone();
    ui.horizontal_wrapped(|ui| {
        ui.label("before");
        let name = format!("{} before", c.label);
        let now = c.before.si();
        let width = bits::FIELD;
        let typed = bits::exactly(bench, Some(now), |bench| {
            typed::field(ui, bench, "before", &name, Kind::Length, now, width, tray)
        });
        if let Some(v) = typed {
            new.before = Length::from_si(v);
        }
        ui.label("after, cold");
        let name = format!("{} after", c.label);
        let now = c.after.map(Length::si);
        let typed = bits::exactly(bench, now, |bench| {
            typed::optional(ui, bench, "after", &name, Kind::Length, now, width, tray)
        });
        if let Some(v) = typed
            && v != now
        {
            new.after = v.map(Length::from_si);
            new.when = clock::now();
            if !bench.settings.who.is_empty() {
                new.who.clone_from(&bench.settings.who);
            }
        }
        tool(
            ui,
            bench,
            &format!("{} measured with", c.label),
            &mut new.tool,
        );
        if ui
            .button("Remove")
            .accessible_name(format!("Remove coupon {}", c.label))
            .clicked()
        {
            bits::edit(tray, WeldEdit::RemoveCoupon(c.id.clone()));
        }
    });
    if new != *c {
        bits::edit(tray, WeldEdit::PutCoupon(new));
    }
    let of = RecordOf::Coupon(c.id.clone());
    let counted = record.and_then(|r| r.rows.iter().find(|x| x.of == of));
    let offered = record.and_then(|r| r.offered.iter().find(|x| x.of == of));
    if let Some(row) = offered {
        measure::offered(ui, bench, row, words::runs_of(c), tray);
    } else if let Some(row) = counted {
        let text = match &row.void {
            Some(why) => format!("Left out of the shop's record: {why}."),
            None => format!(
                "It counts: {} measured, as far off as that {} of the time.",
                words::change(bench, row.row.update.measured, words::runs_of(c)),
                words::chance(row.row.update.chance)
            ),
        };
        common::note(ui, bench, text);
    }
}
