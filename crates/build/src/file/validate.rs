//! Ranges: a value that reads but can not be right is named before anything uses it.

use units::{Kind, Quantity};

use crate::{Build, CheckKind, GapRule, Holes, JointKind, MAX_HOLES, fields};

/// A value out of range.
#[derive(Debug, Clone, PartialEq)]
pub struct Invalid {
    /// Path of the field in the file.
    pub path: String,
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub hint: String,
}

/// Coordinates beyond this are a slip of a unit: 20 m.
pub(super) const FAR: f64 = 20.0;
/// Most parts of one kind in a file.
pub(super) const MANY: usize = 2000;

/// A limit as it would be written in a file, with the shop's own form where that is another.
pub(crate) fn bound(kind: Kind, si: f64) -> String {
    let exact = units::exact(kind, si);
    let shop = units::format(kind, si, &units::Shop::default());
    if exact == shop || exact.ends_with(" in") {
        exact
    } else {
        format!("{exact} ({shop})")
    }
}

pub(super) struct Checker {
    first: Option<Invalid>,
}

impl Checker {
    pub(super) fn fail(
        &mut self,
        path: impl Into<String>,
        what: impl Into<String>,
        hint: impl Into<String>,
    ) {
        if self.first.is_none() {
            self.first = Some(Invalid {
                path: path.into(),
                what: what.into(),
                hint: hint.into(),
            });
        }
    }

    pub(super) fn range(
        &mut self,
        path: impl Into<String>,
        kind: Kind,
        si: f64,
        low: f64,
        high: f64,
    ) {
        if !(si >= low && si <= high) {
            self.fail(
                path,
                format!("{} is out of range", units::exact(kind, si)),
                format!(
                    "Write a value from {} to {}",
                    bound(kind, low),
                    bound(kind, high)
                ),
            );
        }
    }

    pub(super) fn length(
        &mut self,
        path: impl Into<String>,
        l: units::Length,
        low: f64,
        high: f64,
    ) {
        self.range(path, Kind::Length, l.si(), low, high);
    }

    pub(super) fn place(&mut self, path: &str, p: &crate::Place) {
        self.length(format!("{path}.station"), p.station, -FAR, FAR);
        self.length(format!("{path}.offset"), p.offset, -FAR, FAR);
        self.length(format!("{path}.height"), p.height, -FAR, FAR);
    }

    pub(super) fn most(&mut self, path: &str, n: usize, most: usize) {
        if n > most {
            self.fail(
                path,
                format!("{n} entries are too many"),
                format!("Keep at most {most}"),
            );
        }
    }

    pub(super) fn unique<'a>(&mut self, path: &str, ids: impl Iterator<Item = &'a str>) {
        let mut seen = std::collections::HashSet::new();
        for (i, id) in ids.enumerate() {
            if id.is_empty() {
                self.fail(
                    format!("{path}[{i}].id"),
                    "the short name is empty",
                    "Give it a name of its own",
                );
            } else if !seen.insert(id) {
                self.fail(
                    format!("{path}[{i}].id"),
                    format!("the short name \"{id}\" is used twice"),
                    "Give this one another name",
                );
            }
        }
    }

    fn quantity(&mut self, path: impl Into<String>, q: &Quantity) {
        if !q.si.is_finite() {
            self.fail(
                path,
                "this is not a finite number",
                "Write a number with its unit",
            );
        }
    }
}

/// Checks every value of a build; the first one out of range is returned.
pub(crate) fn check(b: &Build) -> Result<(), Invalid> {
    let mut c = Checker { first: None };
    for f in fields::all().filter(|f| (f.drawn)(b)) {
        c.range(f.id, f.kind, (f.get)(b), f.low, f.high);
    }
    for (i, (x, z)) in b.frame.line.iter().enumerate() {
        c.length(format!("frame.line[{i}][0]"), *x, -FAR, FAR);
        c.length(format!("frame.line[{i}][1]"), *z, -FAR, FAR);
    }
    for (path, n) in [
        ("frame.line", b.frame.line.len()),
        ("rear.brackets", b.rear.brackets.len()),
        ("rear.links", b.rear.links.len()),
        ("power.coilovers", b.power.coilovers.len()),
        ("targets", b.targets.len()),
        ("fit_up.joints", b.fit_up.joints.len()),
        ("phases", b.phases.len()),
    ] {
        c.most(path, n, MANY);
    }
    rear(&mut c, b);
    power(&mut c, b);
    for (i, t) in b.targets.iter().enumerate() {
        let path = format!("targets[{i}]");
        c.quantity(format!("{path}.low"), &t.low);
        c.quantity(format!("{path}.high"), &t.high);
        if t.low.kind != t.high.kind {
            c.fail(
                format!("{path}.high"),
                "the two ends of the band are different kinds of quantity",
                "Write both with the same kind of unit",
            );
        } else if t.low.si > t.high.si {
            c.fail(
                format!("{path}.low"),
                "the band's low end is above its high end",
                "Swap them",
            );
        }
    }
    joints(&mut c, b);
    phases(&mut c, b);
    super::validate_weld::check(&mut c, b);
    super::validate_tubes::check(&mut c, b);
    super::validate_run::check(&mut c, b);
    super::validate_rolling::check(&mut c, b);
    c.first.map_or(Ok(()), Err)
}

fn rear(c: &mut Checker, b: &Build) {
    if let Some(r) = &b.rear.second_reference {
        c.length("rear.second_reference.at", r.at, -FAR, FAR);
    }
    c.unique(
        "rear.brackets",
        b.rear.brackets.iter().map(|x| x.id.as_str()),
    );
    c.unique("rear.links", b.rear.links.iter().map(|x| x.id.as_str()));
    for (i, x) in b.rear.brackets.iter().enumerate() {
        let path = format!("rear.brackets[{i}]");
        c.place(&format!("{path}.at"), &x.at);
        c.length(format!("{path}.drill"), x.drill, 0.001, 0.1);
        c.length(format!("{path}.plate_width"), x.plate_width, 0.002, 1.0);
        let n = x.hole_count();
        if n == 0 || n > MAX_HOLES {
            c.fail(
                format!("{path}.holes"),
                format!("{n} holes in one bracket can not be"),
                format!("Give it from 1 to {MAX_HOLES}"),
            );
        }
        match &x.holes {
            Holes::Row { pitch, lean, .. } => {
                c.length(format!("{path}.holes.pitch"), *pitch, 0.001, 1.0);
                c.range(
                    format!("{path}.holes.lean"),
                    Kind::Angle,
                    lean.si(),
                    -3.2,
                    3.2,
                );
            }
            Holes::List(list) => {
                for (k, (x, z)) in list.iter().enumerate() {
                    c.length(format!("{path}.holes[0][{k}][0]"), *x, -1.0, 1.0);
                    c.length(format!("{path}.holes[0][{k}][1]"), *z, -1.0, 1.0);
                }
            }
        }
    }
    for (i, l) in b.rear.links.iter().enumerate() {
        let path = format!("rear.links[{i}]");
        c.length(format!("{path}.body"), l.body, 0.0, 5.0);
        c.length(
            format!("{path}.rod_end.thread"),
            l.rod_end.thread,
            0.002,
            0.1,
        );
        c.length(format!("{path}.rod_end.reach"), l.rod_end.reach, 0.005, 1.0);
        if let Some(h) = &l.held {
            c.length(format!("{path}.held.left"), h.left, 0.02, 5.0);
            c.length(format!("{path}.held.right"), h.right, 0.02, 5.0);
        }
    }
}

/// Only what no drawing could hold is refused here: a rate of zero or a coil-over past solid is a
/// finding, so that a build can be opened and mended.
fn power(c: &mut Checker, b: &Build) {
    for (i, l) in b.rear.links.iter().enumerate() {
        let Some(s) = &l.stock else { continue };
        let path = format!("rear.links[{i}].stock");
        let lengths = match s.section {
            crate::Section::Tube { outside, wall } => vec![("outside", outside), ("wall", wall)],
            crate::Section::Solid { diameter } => vec![("diameter", diameter)],
        };
        for (name, l) in lengths {
            c.length(format!("{path}.section.{name}"), l, 0.0, 0.5);
        }
        for (name, p) in [("yield_strength", s.yield_strength), ("modulus", s.modulus)] {
            c.range(format!("{path}.{name}"), Kind::Pressure, p.si(), 0.0, 1e13);
        }
        if let Some(f) = s.rod_end_rating {
            c.range(
                format!("{path}.rod_end_rating"),
                Kind::Force,
                f.si(),
                0.0,
                1e8,
            );
        }
        if let Some(bolt) = &s.bolt {
            c.length(format!("{path}.bolt.diameter"), bolt.diameter, 0.0, 0.2);
        }
    }
    c.unique(
        "power.coilovers",
        b.power.coilovers.iter().map(|x| x.id.as_str()),
    );
    for (i, x) in b.power.coilovers.iter().enumerate() {
        let path = format!("power.coilovers[{i}]");
        c.place(&format!("{path}.at_frame"), &x.at_frame);
        c.place(&format!("{path}.at_axle"), &x.at_axle);
        c.range(
            format!("{path}.rate"),
            Kind::SpringRate,
            x.rate.si(),
            -1e7,
            1e7,
        );
        for (name, l) in [
            ("spring_free", x.spring_free),
            ("spring_block", x.spring_block),
            ("extended", x.extended),
            ("compressed", x.compressed),
        ] {
            c.length(format!("{path}.{name}"), l, 0.0, 3.0);
        }
        c.range(
            format!("{path}.eye_tilt"),
            Kind::Angle,
            x.eye_tilt.si(),
            0.0,
            1.6,
        );
        if let Some(p) = &x.preload {
            c.length(format!("{path}.preload.left"), p.left, -1.0, 1.0);
            c.length(format!("{path}.preload.right"), p.right, -1.0, 1.0);
        }
    }
    if let Some(d) = &b.power.driveshaft {
        c.place("power.driveshaft.front_joint", &d.front_joint);
        c.place("power.driveshaft.rear_joint", &d.rear_joint);
        for (name, a) in [("output_down", d.output_down), ("pinion_up", d.pinion_up)] {
            c.range(
                format!("power.driveshaft.{name}"),
                Kind::Angle,
                a.si(),
                -1.0,
                1.0,
            );
        }
        c.length("power.driveshaft.slip_travel", d.slip_travel, 0.0, 1.0);
    }
}

fn joints(c: &mut Checker, b: &Build) {
    if let GapRule::Shop {
        grow_above,
        reject_above,
    } = b.fit_up.rule
    {
        c.length("fit_up.rule.grow_above", grow_above, 0.0, 0.05);
        c.length(
            "fit_up.rule.reject_above",
            reject_above,
            grow_above.si(),
            0.05,
        );
    }
    c.unique(
        "fit_up.joints",
        b.fit_up.joints.iter().map(|x| x.id.as_str()),
    );
    for (i, j) in b.fit_up.joints.iter().enumerate() {
        let path = format!("fit_up.joints[{i}]");
        if let JointKind::Tee { fillets } = j.kind {
            c.range(
                format!("{path}.kind.fillets"),
                Kind::Count,
                f64::from(fillets),
                1.0,
                2.0,
            );
        }
        c.length(format!("{path}.wall"), j.wall, 0.0002, 0.2);
        c.length(format!("{path}.leg"), j.leg, 0.0, 0.1);
        c.range(
            format!("{path}.passes"),
            Kind::Count,
            f64::from(j.passes),
            1.0,
            f64::from(crate::MAX_PASSES),
        );
        if j.gaps.len() > 120 {
            c.fail(
                format!("{path}.gaps"),
                "more than 120 gaps",
                "Keep the worst ones",
            );
        }
        for (k, g) in j.gaps.iter().enumerate() {
            c.range(
                format!("{path}.gaps[{k}].clock"),
                Kind::Count,
                g.clock,
                0.0,
                12.0,
            );
            c.length(format!("{path}.gaps[{k}].gap"), g.gap, 0.0, 0.1);
        }
    }
}

fn phases(c: &mut Checker, b: &Build) {
    c.unique("phases", b.phases.iter().map(|x| x.id.as_str()));
    for (i, p) in b.phases.iter().enumerate() {
        let path = format!("phases[{i}]");
        c.unique(
            &format!("{path}.checks"),
            p.checks.iter().map(|x| x.id.as_str()),
        );
        for (k, check) in p.checks.iter().enumerate() {
            let path = format!("{path}.checks[{k}]");
            if let CheckKind::Measure { low, high } = &check.kind {
                for (end, q) in [("low", low), ("high", high)] {
                    if let Some(q) = q {
                        c.quantity(format!("{path}.kind.{end}"), q);
                    }
                }
                if let (Some(l), Some(h)) = (low, high) {
                    if l.kind != h.kind {
                        c.fail(
                            format!("{path}.kind.high"),
                            "the two limits are different kinds of quantity",
                            "Write both with the same kind of unit",
                        );
                    } else if l.si > h.si {
                        c.fail(
                            format!("{path}.kind.low"),
                            "the least is above the greatest",
                            "Swap them",
                        );
                    }
                }
            }
            for (m, mark) in check.marks.iter().enumerate() {
                if let Some(q) = &mark.value {
                    c.quantity(format!("{path}.marks[{m}].value"), q);
                }
            }
        }
    }
}
