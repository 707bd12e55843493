//! The driveline phase: the shaft over travel, speeds and gearing, strength, slip and loop.

use build::{
    AxleShaftData, Driveline, Edit, LoopData, Part, Place, RollingEdit, SplineData, Study,
};
use eframe::egui::{self, ScrollArea, Ui};
use units::{Angle, Count, Density, Kind, Length, Pressure, Ratio};

use super::{DrivelinePage, speeds};
use crate::ui::bench::{Bench, Tray};
use crate::ui::canvas::View;
use crate::ui::handles::Hand;
use crate::ui::springs_page::common;

const CAUTION: &str = "A driveshaft that lets go at speed comes through the floor: loop, balance, bolts to torque. Measure on \
    stands with the axle at ride height, wheels chocked; nobody near it while it turns. The current rule book decides on loop and \
    shields.";

/// What stands on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Topic {
    /// Joints and angles over travel.
    #[default]
    Shaft,
    /// Yokes, slip and loop.
    Slip,
    /// Gearing chart.
    Speeds,
    /// Critical speed, tube and axle shafts.
    Strength,
    /// The phase's record.
    Record,
}

impl Topic {
    /// In the order of the row of tabs.
    pub const ALL: [Self; 5] = [
        Self::Shaft,
        Self::Slip,
        Self::Speeds,
        Self::Strength,
        Self::Record,
    ];

    /// What its tab says.
    pub fn label(self) -> &'static str {
        match self {
            Self::Shaft => "Angles",
            Self::Slip => "Yokes, slip, loop",
            Self::Speeds => "Speeds",
            Self::Strength => "Strength",
            Self::Record => "Record",
        }
    }

    fn of(part: &Part) -> Option<Self> {
        let id = match part {
            Part::Driveshaft => return Some(Self::Shaft),
            Part::Reading(id) => id.as_str(),
            Part::Field(id) => id,
            _ => return None,
        };
        let rest = id.strip_prefix("driveline.")?;
        let any = |of: &[&str]| of.iter().any(|o| rest.starts_with(o));
        Some(
            if any(&[
                "slip",
                "hoop",
                "phase",
                "engagement",
                "bottoming",
                "loop",
                "output_left",
                "pinion_left",
            ]) {
                Self::Slip
            } else if any(&["sixty", "trap", "final", "redline", "top_speed"]) {
                Self::Speeds
            } else if any(&[
                "tube",
                "axle",
                "critical",
                "longest",
                "tors",
                "spline",
                "torque",
                "top_shaft",
                "shock",
            ]) {
                Self::Strength
            } else {
                Self::Shaft
            },
        )
    }
}

/// What this page remembers between frames.
#[derive(Debug, Default)]
pub struct DrivelinePhase {
    /// What is on the bench.
    pub topic: Topic,
    shaft: DrivelinePage,
}

impl DrivelinePhase {
    /// Is this a reading of the driveline's own data, beyond what the rear links show?
    pub fn own(id: &str) -> bool {
        id.starts_with("driveline.")
            && ![
                "driveline.front_angle",
                "driveline.rear_angle",
                "driveline.difference",
                "driveline.worst_angle",
                "driveline.plunge",
            ]
            .contains(&id)
    }

    /// Does this phase show it as well?
    pub fn shows(part: &Part) -> bool {
        match part {
            Part::Driveshaft => true,
            Part::Reading(id) => id.starts_with("driveline."),
            _ => false,
        }
    }

    /// Shows the topic of a part.
    pub fn jump(&mut self, part: &Part) {
        if let Some(topic) = Topic::of(part) {
            self.topic = topic;
        }
    }

    /// Fit the drawing at the next chance.
    pub fn fit(&mut self) {
        self.shaft.fit();
    }

    /// The drawing that the zoom keys act on.
    pub fn main_view(&mut self) -> &mut View {
        &mut self.shaft.side
    }

    /// Reads the handles as they were laid last frame.
    pub fn read(&mut self, hand: &Hand<'_>, tray: &mut Tray) {
        if matches!(self.topic, Topic::Shaft | Topic::Slip) {
            self.shaft.read(hand, tray);
        }
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
        egui::Frame::NONE
            .fill(bench.palette.panel)
            .inner_margin(egui::Margin::symmetric(10, 3))
            .show(ui, |ui| {
                ui.set_min_width(ui.available_width());
                ui.horizontal_wrapped(|ui| {
                    for topic in Topic::ALL {
                        ui.selectable_value(&mut self.topic, topic, topic.label());
                    }
                });
            });
        match self.topic {
            Topic::Shaft => return self.shaft.show(ui, bench, tray),
            Topic::Slip if bench.build.driveline.is_some() => {
                let topic = self.topic;
                return self
                    .shaft
                    .beside(ui, bench, topic.label(), false, &mut |ui| {
                        page(ui, bench, topic, tray);
                    });
            }
            Topic::Record => return crate::ui::bench_page::show(ui, bench, phase, tray),
            _ => {}
        }
        let ui = &mut common::in_sight(ui);
        let topic = self.topic;
        egui::Frame::NONE
            .inner_margin(egui::Margin::symmetric(12, 6))
            .show(ui, |ui| {
                ScrollArea::vertical()
                    .id_salt(("driveline", topic.label()))
                    .auto_shrink(false)
                    .show(ui, |ui| page(ui, bench, topic, tray));
            });
    }
}

fn page(ui: &mut Ui, bench: &Bench<'_>, topic: Topic, tray: &mut Tray) {
    let Some(now) = &bench.build.driveline else {
        common::head(ui, bench, "No driveline yet", "");
        common::note(
            ui,
            bench,
            "Describe tube, slip yoke, loop and speeds: the page then says how even the pinion turns, whether the shaft stays \
             under its critical speed, how far the slip stays in, and what the gears do.",
        );
        if ui.button("Describe the driveline").clicked() {
            tray.edit(Edit::Rolling(RollingEdit::Driveline(
                "Describe the driveline",
                Some(Box::new(Driveline::usual())),
            )));
        }
        common::caution(ui, bench, CAUTION);
        return;
    };
    let mut new = now.clone();
    match topic {
        Topic::Slip => slip(ui, bench, &mut new, tray),
        Topic::Speeds => speeds::show(ui, bench, &mut new, tray),
        _ => strength(ui, bench, &mut new, tray),
    }
    common::caution(ui, bench, CAUTION);
    if new != *now {
        tray.edit(Edit::Rolling(RollingEdit::Driveline(
            "Change the driveline",
            Some(Box::new(new)),
        )));
    }
}

pub(super) fn findings(ui: &mut Ui, bench: &Bench<'_>, of: &[&'static str]) {
    for id in of {
        common::remarks(ui, bench, &Part::Field(id));
    }
}

/// Readings in a row of words.
fn said(ui: &mut Ui, bench: &Bench<'_>, ids: &[&str]) {
    egui::Grid::new(("said", ids.first().copied().unwrap_or("")))
        .num_columns(2)
        .spacing([14.0, 2.0])
        .show(ui, |ui| {
            for id in ids {
                let Some(r) = bench.study.reading(id) else {
                    continue;
                };
                ui.label(r.label());
                match &r.value {
                    Ok(_) => ui.label(r.display(bench.shop())),
                    Err(why) => ui.colored_label(bench.palette.dim, why.to_string()),
                };
                ui.end_row();
            }
        });
}

macro_rules! rows {
    ($ui:expr, $bench:expr, $tray:expr, $owner:literal, $($label:literal $kind:ident $slot:expr),+ $(,)?) => {{
        let columns = if $ui.available_width() > 470.0 { 2 } else { 1 };
        egui::Grid::new(("driveline form", $owner))
            .num_columns(2 * columns)
            .spacing([10.0, 4.0])
            .show($ui, |ui| {
                let mut count = 0;
                $(
                    if let Some(v) = common::value(ui, $bench, $owner, $label, Kind::$kind, $slot.si(), $tray) {
                        $slot = $kind::from_si(v);
                    }
                    count += 1;
                    if count % columns == 0 {
                        ui.end_row();
                    }
                )+
            });
    }};
}

fn slip(ui: &mut Ui, bench: &Bench<'_>, d: &mut Driveline, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Yokes and plan angles",
        "left toward the rear, in plan",
    );
    rows!(ui, bench, tray, "Yokes",
        "output left" Angle d.output_left,
        "pinion left" Angle d.pinion_left,
        "phase of the yokes" Angle d.phase,
    );
    findings(ui, bench, &["driveline.phase", "driveline.pinion_left"]);
    said(
        ui,
        bench,
        &[
            "driveline.equivalent_angle",
            "driveline.equivalent_launch",
            "driveline.equivalent_worst",
            "driveline.torsional",
            "driveline.shaft_acceleration",
        ],
    );
    common::head(ui, bench, "Slip yoke", "at ride height");
    rows!(ui, bench, tray, "Slip",
        "spline engaged" Length d.slip.engagement,
        "room inward" Length d.slip.room,
        "spline diameter" Length d.slip.diameter,
    );
    let teeth = f64::from(d.spline_teeth);
    ui.horizontal(|ui| {
        if let Some(v) = common::value(ui, bench, "Slip", "spline teeth", Kind::Count, teeth, tray)
        {
            d.spline_teeth = v.round().clamp(1.0, 200.0) as u32;
        }
    });
    findings(
        ui,
        bench,
        &["driveline.slip.engagement", "driveline.slip.room"],
    );
    said(
        ui,
        bench,
        &[
            "driveline.engagement",
            "driveline.bottoming",
            "driveline.plunge",
        ],
    );
    common::head(ui, bench, "Safety loop", "");
    match &mut d.hoop {
        None => {
            if ui.button("Add a loop").clicked() {
                d.hoop = Some(usual_loop(bench));
            }
        }
        Some(h) => {
            egui::Grid::new("loop place")
                .num_columns(4)
                .spacing([8.0, 4.0])
                .show(ui, |ui| {
                    common::place_head(ui, bench);
                    if let Some(p) = common::place(ui, bench, "Loop", "centre", h.at, tray) {
                        h.at = p;
                    }
                });
            rows!(ui, bench, tray, "Loop",
                "inside" Length h.inside,
                "within (rule book)" Length h.within,
            );
            if ui.small_button("Take the loop out").clicked() {
                d.hoop = None;
            }
        }
    }
    findings(ui, bench, &["driveline.hoop", "driveline.hoop.at"]);
    said(
        ui,
        bench,
        &["driveline.loop_distance", "driveline.loop_gap"],
    );
}

/// Four inches behind the front joint, round the shaft.
fn usual_loop(bench: &Bench<'_>) -> LoopData {
    let behind = 4.0 * 0.0254;
    let at = bench.build.power.driveshaft.map_or([1.2, 0.0, 0.3], |s| {
        let (f, r) = (s.front_joint.si(), s.rear_joint.si());
        let length = (f[0] - r[0]).abs().max(1e-3);
        let t = (behind / length).min(0.9);
        [0, 1, 2].map(|k| f[k] + t * (r[k] - f[k]))
    });
    LoopData {
        at: Place::from_si(at),
        inside: Length::from_inches(5.0),
        within: Length::from_inches(6.0),
    }
}

fn strength(ui: &mut Ui, bench: &Bench<'_>, d: &mut Driveline, tray: &mut Tray) {
    common::head(ui, bench, "Shaft tube", "");
    rows!(ui, bench, tray, "Tube",
        "outside" Length d.tube.outside,
        "wall" Length d.tube.wall,
        "yield" Pressure d.tube.yield_strength,
        "modulus" Pressure d.tube.modulus,
        "shear modulus" Pressure d.tube.shear_modulus,
        "density" Density d.tube.density,
        "shock factor" Count d.shock,
    );
    said(
        ui,
        bench,
        &[
            "driveline.top_shaft",
            "driveline.critical",
            "driveline.critical_share",
            "driveline.longest",
            "driveline.torque",
            "driveline.torsion_safety",
        ],
    );
    note_half(ui, bench, bench.study);
    findings(
        ui,
        bench,
        &[
            "driveline.tube.outside",
            "driveline.tube.wall",
            "driveline.top_speed",
            "run.torque",
        ],
    );
    common::head(ui, bench, "Axle shaft", "");
    match &mut d.axle_shaft {
        None => {
            if ui.button("Enter the axle shafts").clicked() {
                d.axle_shaft = Some(AxleShaftData {
                    diameter: Length::from_inches(1.3),
                    bore: Length::from_si(0.0),
                    yield_strength: Pressure::from_si(800e6),
                    share: Ratio::from_si(1.0),
                    spline: None,
                });
            }
        }
        Some(x) => {
            rows!(ui, bench, tray, "Axle shaft",
                "diameter" Length x.diameter,
                "bore" Length x.bore,
                "yield" Pressure x.yield_strength,
                "one shaft's share" Ratio x.share,
            );
            match &mut x.spline {
                None => {
                    if ui.button("Enter its spline").clicked() {
                        x.spline = Some(SplineData {
                            pitch: Length::from_inches(1.25),
                            teeth: 30,
                            engagement: Length::from_inches(1.25),
                            depth: Length::from_inches(0.04),
                        });
                    }
                }
                Some(s) => {
                    rows!(ui, bench, tray, "Axle spline",
                        "pitch diameter" Length s.pitch,
                        "engagement" Length s.engagement,
                        "tooth depth" Length s.depth,
                    );
                    ui.horizontal(|ui| {
                        let teeth = f64::from(s.teeth);
                        if let Some(v) = common::value(
                            ui,
                            bench,
                            "Axle spline",
                            "teeth",
                            Kind::Count,
                            teeth,
                            tray,
                        ) {
                            s.teeth = v.round().clamp(3.0, 200.0) as u32;
                        }
                    });
                }
            }
            if ui.small_button("Forget the axle shafts").clicked() {
                d.axle_shaft = None;
            }
        }
    }
    said(
        ui,
        bench,
        &["driveline.axle_safety", "driveline.spline_shear"],
    );
    findings(
        ui,
        bench,
        &[
            "driveline.axle_shaft.diameter",
            "driveline.axle_shaft.spline",
        ],
    );
}

/// Half the critical speed: the joints excite it twice a turn.
fn note_half(ui: &mut Ui, bench: &Bench<'_>, study: &Study) {
    if let Some(Ok(c)) = study.driveline.as_ref().map(|d| &d.critical) {
        let half = bench.show(Kind::RotationSpeed, c.speed.half);
        common::note(
            ui,
            bench,
            format!(
                "At {half}, half of it, the joints shake the shaft twice a turn: do not cruise there."
            ),
        );
    }
}
