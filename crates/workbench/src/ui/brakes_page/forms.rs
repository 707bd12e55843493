//! Every field of the brakes, part by part; each change is one step to undo.

use build::{
    AxleBrake, Booster, BrakeKind, Brakes, DiscBrake, DrumBrake, Hose, HoseKind, Masters,
    ParkingData, Part, PedalSpringData, PressureValve, Proportioning, ReturnData, RotorData,
    SpringPull, ValvePlace,
};
use eframe::egui::{self, Ui};
use units::{
    Acceleration, Angle, Count, Force, Inertia, Kind, Length, Mass, Pressure, Ratio, Speed,
    SpringRate, Time, Torque, Volume,
};

use super::circuit;
use crate::ui::bench::{Bench, Tray};
use crate::ui::springs_page::common;
use crate::ui::stock_form::choice;
use crate::ui::typed;

/// A grid of labelled fields, two in a row where there is room.
struct Form<'u, 'a, 'b> {
    ui: &'u mut Ui,
    bench: &'a Bench<'b>,
    tray: &'u mut Tray,
    owner: String,
    count: usize,
    columns: usize,
}

impl Form<'_, '_, '_> {
    fn raw(&mut self, label: &str, kind: Kind, si: f64) -> Option<f64> {
        let got = common::value(self.ui, self.bench, &self.owner, label, kind, si, self.tray);
        self.turn();
        got
    }

    fn turn(&mut self) {
        self.count += 1;
        if self.count.is_multiple_of(self.columns) {
            self.ui.end_row();
        }
    }

    fn pick<T: PartialEq + Copy>(&mut self, label: &str, now: &mut T, all: &[(T, &str)]) {
        self.ui.label(label);
        choice(self.ui, format!("{} {label}", self.owner), now, all);
        self.turn();
    }

    fn tick(&mut self, label: &str, now: &mut bool) {
        self.ui.label("");
        self.ui.checkbox(now, label);
        self.turn();
    }

    fn optional(&mut self, label: &str, kind: Kind, si: Option<f64>) -> Option<Option<f64>> {
        self.ui.label(label);
        let name = format!("{} {label}", self.owner);
        let (bench, tray) = (self.bench, &mut *self.tray);
        let salt = (&self.owner, label);
        let got = typed::optional(self.ui, bench, salt, &name, kind, si, common::FIELD, tray);
        self.turn();
        got
    }
}

macro_rules! num {
    ($f:expr, $label:expr, $kind:ident, $slot:expr) => {
        if let Some(v) = $f.raw($label, Kind::$kind, $slot.si()) {
            $slot = $kind::from_si(v);
        }
    };
}

fn form(
    ui: &mut Ui,
    bench: &Bench<'_>,
    owner: &str,
    tray: &mut Tray,
    rows: impl FnOnce(&mut Form<'_, '_, '_>),
) {
    let columns = if ui.available_width() > 470.0 { 2 } else { 1 };
    egui::Grid::new(("brakes form", owner))
        .num_columns(2 * columns)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            rows(&mut Form {
                ui,
                bench,
                tray,
                owner: owner.to_owned(),
                count: 0,
                columns,
            });
        });
}

/// The chosen part of the circuit: its fields and what is to be said about it.
pub(super) fn part(ui: &mut Ui, bench: &Bench<'_>, b: &mut Brakes, tray: &mut Tray) {
    let path = circuit::chosen(bench).unwrap_or(match bench.selected {
        Some(Part::Field(id)) if id.starts_with("brakes.front") => "brakes.front.valves",
        Some(Part::Field(id)) if id.starts_with("brakes.rear") => "brakes.rear.valves",
        Some(Part::Reading(id)) if id.ends_with("s.front") || id.ends_with("l.front") => {
            "brakes.front.valves"
        }
        Some(Part::Reading(id)) if id.ends_with("s.rear") || id.ends_with("l.rear") => {
            "brakes.rear.valves"
        }
        _ => "brakes.pedal",
    });
    for f in &bench.study.findings {
        if let Part::Field(id) = &f.part
            && id.starts_with(path)
        {
            common::remarks(ui, bench, &f.part);
            break;
        }
    }
    match path {
        "brakes.masters" => masters(ui, bench, b, tray),
        "brakes.booster" => booster(ui, bench, b, tray),
        "brakes.parking" => parking(ui, bench, b, tray),
        p if p.starts_with("brakes.front") => axle(ui, bench, "Front", &mut b.front, tray),
        p if p.starts_with("brakes.rear") => axle(ui, bench, "Rear", &mut b.rear, tray),
        _ => {
            pedal(ui, bench, b, tray);
            booster(ui, bench, b, tray);
        }
    }
    ui.separator();
    form(ui, bench, "Brake fluid", tray, |f| {
        num!(f, "lowest surface up", Length, b.fluid_height);
        num!(f, "stiffness", Pressure, b.bulk_modulus);
    });
}

fn pedal(ui: &mut Ui, bench: &Bench<'_>, b: &mut Brakes, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Pedal",
        "ratio: pivot to pad over pivot to push rod pin",
    );
    form(ui, bench, "Pedal", tray, |f| {
        num!(f, "ratio", Count, b.pedal.ratio);
        num!(f, "efficiency", Ratio, b.pedal.efficiency);
        num!(f, "travel to the stop", Length, b.pedal.travel);
        num!(f, "foot force looked at", Force, b.pedal.force);
    });
}

fn booster(ui: &mut Ui, bench: &Bench<'_>, b: &mut Brakes, tray: &mut Tray) {
    let Some(x) = &mut b.booster else {
        if ui.button("Add a booster").clicked() {
            b.booster = Some(Booster {
                gain: Count::from_si(4.0),
                vacuum: Pressure::from_si(60_000.0),
                diameter: Length::from_inches(9.0),
                diaphragms: 1,
                efficiency: Ratio::from_si(0.9),
            });
        }
        return;
    };
    let mut out = false;
    head_with(ui, bench, "Booster", "Take the booster out", &mut out);
    form(ui, bench, "Booster", tray, |f| {
        num!(f, "gain", Count, x.gain);
        num!(f, "vacuum at idle", Pressure, x.vacuum);
        num!(f, "diaphragm", Length, x.diameter);
        num!(f, "efficiency", Ratio, x.efficiency);
        f.pick("diaphragms", &mut x.diaphragms, &[(1, "one"), (2, "two")]);
    });
    if out {
        b.booster = None;
    }
}

fn head_with(ui: &mut Ui, bench: &Bench<'_>, title: &str, button: &str, pressed: &mut bool) {
    ui.horizontal(|ui| {
        common::head(ui, bench, title, "");
        *pressed = ui.small_button(button).clicked();
    });
}

fn masters(ui: &mut Ui, bench: &Bench<'_>, b: &mut Brakes, tray: &mut Tray) {
    common::head(ui, bench, "Master cylinders", "");
    let kind = |m: &Masters| match m {
        Masters::Single { .. } => 0,
        Masters::Tandem { .. } => 1,
        Masters::Twin { .. } => 2,
    };
    let mut now = kind(&b.masters);
    ui.horizontal_wrapped(|ui| {
        for (i, word) in [
            (0, "one, single"),
            (1, "one, tandem"),
            (2, "two on a balance bar"),
        ] {
            ui.radio_value(&mut now, i, word);
        }
    });
    if now != kind(&b.masters) {
        b.masters = other(&b.masters, now);
        return;
    }
    form(ui, bench, "Master", tray, |f| match &mut b.masters {
        Masters::Single {
            bore,
            efficiency,
            spring,
            dead_stroke,
            stroke,
        } => {
            num!(f, "bore", Length, *bore);
            num!(f, "efficiency", Ratio, *efficiency);
            num!(f, "return spring", Force, *spring);
            num!(f, "stroke to close the port", Length, *dead_stroke);
            num!(f, "whole stroke", Length, *stroke);
        }
        Masters::Tandem {
            bore,
            efficiency,
            spring,
            dead_stroke,
            front_stroke,
            rear_stroke,
        } => {
            num!(f, "bore", Length, *bore);
            num!(f, "efficiency", Ratio, *efficiency);
            num!(f, "return spring", Force, *spring);
            num!(f, "stroke to close a port", Length, *dead_stroke);
            num!(f, "front piston's stroke", Length, *front_stroke);
            num!(f, "rear piston's stroke", Length, *rear_stroke);
        }
        Masters::Twin {
            front_bore,
            rear_bore,
            efficiency,
            spring,
            dead_stroke,
            stroke,
            bar,
            offset,
        } => {
            num!(f, "front bore", Length, *front_bore);
            num!(f, "rear bore", Length, *rear_bore);
            num!(f, "efficiency", Ratio, *efficiency);
            num!(f, "return spring of each", Force, *spring);
            num!(f, "stroke to close a port", Length, *dead_stroke);
            num!(f, "whole stroke of each", Length, *stroke);
            num!(f, "bar, clevis to clevis", Length, *bar);
            num!(f, "pivot off the middle, front +", Length, *offset);
        }
    });
}

/// Another kind of master with what the old one says of bore, spring and strokes.
fn other(m: &Masters, kind: u8) -> Masters {
    let (bore, rear, efficiency, spring, dead_stroke, stroke) = match *m {
        Masters::Single {
            bore,
            efficiency,
            spring,
            dead_stroke,
            stroke,
        } => (bore, bore, efficiency, spring, dead_stroke, stroke),
        Masters::Tandem {
            bore,
            efficiency,
            spring,
            dead_stroke,
            front_stroke,
            ..
        } => (bore, bore, efficiency, spring, dead_stroke, front_stroke),
        Masters::Twin {
            front_bore,
            rear_bore,
            efficiency,
            spring,
            dead_stroke,
            stroke,
            ..
        } => (
            front_bore,
            rear_bore,
            efficiency,
            spring,
            dead_stroke,
            stroke,
        ),
    };
    match kind {
        0 => Masters::Single {
            bore,
            efficiency,
            spring,
            dead_stroke,
            stroke,
        },
        1 => Masters::Tandem {
            bore,
            efficiency,
            spring,
            dead_stroke,
            front_stroke: stroke,
            rear_stroke: stroke,
        },
        _ => Masters::Twin {
            front_bore: bore,
            rear_bore: rear,
            efficiency,
            spring,
            dead_stroke,
            stroke,
            bar: Length::from_inches(2.5),
            offset: Length::from_si(0.0),
        },
    }
}

fn axle(ui: &mut Ui, bench: &Bench<'_>, which: &str, x: &mut AxleBrake, tray: &mut Tray) {
    let line = format!("{which} line");
    let mut add = false;
    head_with(
        ui,
        bench,
        &format!("{line}: residual valves"),
        "Add a valve",
        &mut add,
    );
    let mut remove = None;
    for (i, v) in x.valves.iter_mut().enumerate() {
        let owner = format!("{line} valve {}", i + 1);
        form(ui, bench, &owner, tray, |f| {
            f.pick(
                "where",
                &mut v.at,
                &[
                    (ValvePlace::MasterOutlet, "in the outlet"),
                    (ValvePlace::Line, "in the line"),
                    (ValvePlace::CombinationValve, "combination"),
                ],
            );
            num!(f, "holds", Pressure, v.holds);
        });
        if ui
            .small_button("Take it out")
            .accessible_name(format!("Take out {}", owner.to_lowercase()))
            .clicked()
        {
            remove = Some(i);
        }
    }
    if let Some(i) = remove {
        x.valves.remove(i);
    }
    if add {
        let psi = if matches!(x.brake, BrakeKind::Disc(_)) {
            2.0
        } else {
            10.0
        };
        x.valves.push(PressureValve {
            at: ValvePlace::Line,
            holds: Pressure::from_si(psi * 6_894.757_293_168_361),
        });
    }
    match &mut x.proportioning {
        Some(p) => {
            let mut out = false;
            head_with(
                ui,
                bench,
                &format!("{line}: proportioning valve"),
                "Take the valve out",
                &mut out,
            );
            form(ui, bench, &format!("{line} proportioning"), tray, |f| {
                num!(f, "knee", Pressure, p.knee);
                num!(f, "slope beyond", Ratio, p.slope);
            });
            if out {
                x.proportioning = None;
            }
        }
        None => {
            if ui.button("Add a proportioning valve").clicked() {
                x.proportioning = Some(Proportioning {
                    knee: Pressure::from_si(500.0 * 6_894.757_293_168_361),
                    slope: Ratio::from_si(0.4),
                });
            }
        }
    }
    let mut add = false;
    head_with(
        ui,
        bench,
        &format!("{line}: hoses and fluid"),
        "Add a hose",
        &mut add,
    );
    let mut remove = None;
    for (i, h) in x.hoses.iter_mut().enumerate() {
        let owner = format!("{line} hose {}", i + 1);
        form(ui, bench, &owner, tray, |f| {
            num!(f, "length", Length, h.length);
            f.pick(
                "kind",
                &mut h.kind,
                &[
                    (HoseKind::Regular, "regular"),
                    (HoseKind::LowExpansion, "low expansion"),
                ],
            );
        });
        if ui
            .small_button("Take it out")
            .accessible_name(format!("Take out {}", owner.to_lowercase()))
            .clicked()
        {
            remove = Some(i);
        }
    }
    if let Some(i) = remove {
        x.hoses.remove(i);
    }
    if add {
        x.hoses.push(Hose {
            length: Length::from_inches(14.0),
            kind: HoseKind::Regular,
        });
    }
    form(ui, bench, &line, tray, |f| {
        num!(f, "fluid under pressure", Volume, x.fluid);
        num!(f, "highest bore up", Length, x.bore_height);
    });
    brake(ui, bench, which, &mut x.brake, tray);
}

fn brake(ui: &mut Ui, bench: &Bench<'_>, which: &str, now: &mut BrakeKind, tray: &mut Tray) {
    common::head(ui, bench, &format!("{which} brakes"), "each wheel");
    let mut disc = matches!(now, BrakeKind::Disc(_));
    let was = disc;
    ui.horizontal(|ui| {
        ui.radio_value(&mut disc, true, "disc")
            .on_hover_text(format!("{which} disc"));
        ui.radio_value(&mut disc, false, "drum")
            .on_hover_text(format!("{which} drum"));
    });
    if disc != was {
        let usual = Brakes::usual(&bench.build.car);
        *now = if disc {
            usual.front.brake
        } else {
            usual.rear.brake
        };
        return;
    }
    let owner = format!("{which} brake");
    form(ui, bench, &owner, tray, |f| match now {
        BrakeKind::Disc(d) => disc_fields(f, d),
        BrakeKind::Drum(d) => drum_fields(f, d),
    });
}

fn disc_fields(f: &mut Form<'_, '_, '_>, d: &mut DiscBrake) {
    num!(f, "piston", Length, d.piston);
    let all: [(u32, &str); 6] = [(1, "1"), (2, "2"), (3, "3"), (4, "4"), (5, "5"), (6, "6")];
    f.pick("pistons on one side", &mut d.pistons_one_side, &all);
    num!(f, "pad friction", Count, d.friction);
    num!(f, "band, outer radius", Length, d.outer);
    num!(f, "band, inner radius", Length, d.inner);
    num!(f, "pressure to move pads", Pressure, d.threshold);
    num!(f, "efficiency", Ratio, d.efficiency);
    num!(f, "clearance each pad", Length, d.clearance);
    if let Some(v) = f.optional("caliper rate", Kind::SpringRate, d.caliper.map(|k| k.si())) {
        d.caliper = v.map(SpringRate::from_si);
    }
    if let Some(v) = f.optional("pad rate", Kind::SpringRate, d.pad.map(|k| k.si())) {
        d.pad = v.map(SpringRate::from_si);
    }
}

fn drum_fields(f: &mut Form<'_, '_, '_>, d: &mut DrumBrake) {
    num!(f, "cylinder bore", Length, d.cylinder);
    num!(f, "shoe factor", Count, d.shoe_factor);
    num!(f, "drum diameter", Length, d.drum);
    num!(f, "pressure to lift shoes", Pressure, d.threshold);
    num!(f, "efficiency", Ratio, d.efficiency);
    num!(f, "shoe travel", Length, d.shoe_travel);
    num!(f, "swell at 1000 psi", Volume, d.swell);
    f.tick("cups with expanders", &mut d.cup_expanders);
}

/// Foot force and surfaces.
pub(super) fn looked_at(ui: &mut Ui, bench: &Bench<'_>, b: &mut Brakes, tray: &mut Tray) {
    form(ui, bench, "Balance", tray, |f| {
        num!(f, "foot force", Force, b.pedal.force);
    });
    let mut add = false;
    head_with(ui, bench, "Surfaces", "Add a surface", &mut add);
    common::list(ui, bench, "friction", &mut b.surfaces, 1, tray);
    if add {
        let last = b.surfaces.last().map_or(0.8, |m| m.si());
        b.surfaces.push(Count::from_si((last + 0.1).min(2.0)));
    }
}

/// Parking brake.
pub(super) fn parking(ui: &mut Ui, bench: &Bench<'_>, b: &mut Brakes, tray: &mut Tray) {
    let drums = matches!(b.rear.brake, BrakeKind::Drum(_));
    let Some(x) = &mut b.parking else {
        common::note(ui, bench, "No parking brake is entered.");
        if ui.button("Add a parking brake").clicked() {
            b.parking = Some(ParkingData {
                force: Force::from_si(300.0),
                lever: Count::from_si(7.0),
                cables: Ratio::from_si(0.75),
                wheel_lever: Count::from_si(6.0),
                backward_factor: Count::from_si(2.0),
                forward_factor: Count::from_si(2.0),
                foot: false,
                grade: Ratio::from_si(0.2),
            });
        }
        return;
    };
    let mut out = false;
    head_with(
        ui,
        bench,
        "Parking brake",
        "Take the parking brake out",
        &mut out,
    );
    form(ui, bench, "Parking", tray, |f| {
        num!(f, "lever force", Force, x.force);
        num!(f, "lever ratio", Count, x.lever);
        num!(f, "cable efficiency", Ratio, x.cables);
        num!(f, "ratio at the wheel", Count, x.wheel_lever);
        if drums {
            num!(f, "shoe factor backward", Count, x.backward_factor);
            num!(f, "shoe factor forward", Count, x.forward_factor);
        }
        num!(f, "grade to hold", Ratio, x.grade);
        f.tick("worked by a foot", &mut x.foot);
    });
    if out {
        b.parking = None;
    }
}

/// The stop and the rotors.
pub(super) fn heat(ui: &mut Ui, bench: &Bench<'_>, b: &mut Brakes, tray: &mut Tray) {
    common::head(ui, bench, "The stop looked at", "");
    form(ui, bench, "Stop", tray, |f| {
        num!(f, "from", Speed, b.stop.from);
        num!(f, "at", Acceleration, b.stop.rate);
        num!(f, "reaction", Time, b.stop.reaction);
        num!(f, "turning parts", Count, b.stop.rotating);
    });
    for (which, x) in [("Front", &mut b.front), ("Rear", &mut b.rear)] {
        match &mut x.rotor {
            None => {
                if ui
                    .button(format!("Enter the {} rotor", which.to_lowercase()))
                    .clicked()
                {
                    x.rotor = Some(RotorData {
                        mass: Mass::from_si(5.0),
                        ring: Length::from_inches(0.375),
                    });
                }
            }
            Some(r) => {
                let mut out = false;
                head_with(ui, bench, &format!("{which} rotor"), "Forget it", &mut out);
                form(ui, bench, &format!("{which} rotor"), tray, |f| {
                    num!(f, "weight", Mass, r.mass);
                    num!(f, "ring thickness", Length, r.ring);
                });
                if out {
                    x.rotor = None;
                }
            }
        }
    }
}

/// What brings the pedal back.
pub(super) fn pedal_return(ui: &mut Ui, bench: &Bench<'_>, b: &mut Brakes, tray: &mut Tray) {
    let Some(r) = &mut b.pedal_return else {
        common::note(ui, bench, "What brings the pedal back is not entered.");
        if ui.button("Describe the pedal's return").clicked() {
            b.pedal_return = Some(usual_return());
        }
        return;
    };
    let mut out = false;
    head_with(ui, bench, "Pedal return", "Forget the return", &mut out);
    common::note(
        ui,
        bench,
        "Points in the pedal's plane from its pivot, at rest: ahead and up.",
    );
    form(ui, bench, "Return", tray, |f| {
        for (name, p) in [
            ("pad", &mut r.pad),
            ("push rod pin", &mut r.pin),
            ("weight", &mut r.cg),
        ] {
            num!(f, &format!("{name} ahead"), Length, p.0);
            num!(f, &format!("{name} up"), Length, p.1);
        }
        num!(f, "bore rises ahead", Angle, r.bore_up);
        num!(f, "turn to full travel", Angle, r.full);
        num!(f, "master spring rate", SpringRate, r.master_rate);
        num!(f, "pressure left in chamber", Pressure, r.chamber);
        num!(f, "seal friction", Force, r.seals);
        num!(f, "pivot friction", Torque, r.pivot);
        num!(f, "pedal weight", Mass, r.mass);
        num!(f, "pedal inertia", Inertia, r.inertia);
        f.tick("pad stands above its pivot", &mut r.standing);
    });
    let mut remove = None;
    for (i, s) in r.springs.iter_mut().enumerate() {
        let owner = format!("Spring {}", i + 1);
        let mut gone = false;
        head_with(
            ui,
            bench,
            &s.label,
            &format!("Take out spring {}", i + 1),
            &mut gone,
        );
        if gone {
            remove = Some(i);
        }
        form(ui, bench, &owner, tray, |f| {
            let mut pulls = matches!(s.acts, SpringPull::Pulls(_));
            f.pick("acts", &mut pulls, &[(true, "pulls"), (false, "pushes")]);
            match &mut s.acts {
                SpringPull::Pulls(tension) if pulls => num!(f, "initial tension", Force, *tension),
                _ if pulls => s.acts = SpringPull::Pulls(Force::from_si(10.0)),
                _ => s.acts = SpringPull::Pushes,
            }
            num!(f, "rate", SpringRate, s.rate);
            num!(f, "free length", Length, s.free);
            num!(f, "on the body ahead", Length, s.anchor.0);
            num!(f, "on the body up", Length, s.anchor.1);
            num!(f, "on the pedal ahead", Length, s.on_pedal.0);
            num!(f, "on the pedal up", Length, s.on_pedal.1);
        });
    }
    if let Some(i) = remove {
        r.springs.remove(i);
    }
    if ui.button("Add a spring").clicked() {
        r.springs.push(usual_spring());
    }
    if out {
        b.pedal_return = None;
    }
}

fn usual_spring() -> PedalSpringData {
    let inch = Length::from_inches;
    PedalSpringData {
        label: "Return spring".to_owned(),
        acts: SpringPull::Pulls(Force::from_si(15.0)),
        rate: SpringRate::from_si(700.0),
        free: inch(4.0),
        anchor: (inch(-5.0), inch(-4.0)),
        on_pedal: (inch(0.0), inch(-4.0)),
    }
}

/// A hanging pedal of six to one: round figures to be replaced.
fn usual_return() -> ReturnData {
    let inch = Length::from_inches;
    ReturnData {
        standing: false,
        pad: (inch(0.0), inch(-12.0)),
        pin: (inch(0.0), inch(-2.0)),
        bore_up: Angle::default(),
        full: Angle::from_si(0.5),
        springs: vec![usual_spring()],
        master_rate: SpringRate::from_si(1500.0),
        chamber: Pressure::from_si(0.0),
        seals: Force::from_si(20.0),
        pivot: Torque::from_si(0.3),
        mass: Mass::from_si(0.9),
        cg: (inch(0.0), inch(-7.0)),
        inertia: Inertia::from_si(0.03),
    }
}
