//! Ranges of the assembly and of the weld-out record.

use units::Kind;

use super::validate::{Checker, MANY};
use crate::{Build, CouponTest, Edges, Joint, Limit, TubeSection};

/// Most entries of one list inside a part.
pub(super) const SEVERAL: usize = 400;
/// Longest dimension, tube or change, m.
pub(super) const LONG: f64 = 20.0;

pub(super) fn check(c: &mut Checker, b: &Build) {
    let (a, w) = (&b.assembly, &b.weld_out);
    for (path, n) in [
        ("assembly.nodes", a.nodes.len()),
        ("assembly.tubes", a.tubes.len()),
        ("assembly.plates", a.plates.len()),
        ("assembly.materials", a.materials.len()),
        ("weld_out.dimensions", w.dimensions.len()),
        ("weld_out.order", w.order.len()),
        ("weld_out.coupons", w.coupons.len()),
        ("weld_out.corrections", w.corrections.len()),
        ("weld_out.past", w.past.len()),
        ("weld_out.arcs", w.arcs.len()),
    ] {
        c.most(path, n, MANY);
    }
    c.unique("assembly.nodes", a.nodes.iter().map(|x| x.id.as_str()));
    let tubes = a.tubes.iter().map(|x| x.id.as_str());
    c.unique("assembly.tubes", tubes);
    c.unique("assembly.plates", a.plates.iter().map(|x| x.id.as_str()));
    c.unique(
        "assembly.materials",
        a.materials.iter().map(|x| x.id.as_str()),
    );
    for (i, x) in a.nodes.iter().enumerate() {
        c.place(&format!("assembly.nodes[{i}].at"), &x.at);
    }
    for (i, x) in a.tubes.iter().enumerate() {
        let path = format!("assembly.tubes[{i}]");
        section(c, &format!("{path}.section"), &x.section);
        c.range(format!("{path}.turn"), Kind::Angle, x.turn.si(), -7.0, 7.0);
    }
    for (i, x) in a.plates.iter().enumerate() {
        let path = format!("assembly.plates[{i}]");
        if a.tube(&x.id).is_some() {
            c.fail(
                format!("{path}.id"),
                format!("the short name \"{}\" is a tube's", x.id),
                "Give this one another name",
            );
        }
        c.length(format!("{path}.thickness"), x.thickness, 0.0002, 0.2);
        c.most(&format!("{path}.outline"), x.outline.len(), SEVERAL);
    }
    for (i, x) in a.materials.iter().enumerate() {
        let path = format!("assembly.materials[{i}]");
        c.range(
            format!("{path}.yield_strength"),
            Kind::Pressure,
            x.yield_strength.si(),
            1e6,
            1e10,
        );
        for (name, modulus) in [("modulus", x.modulus), ("shear_modulus", x.shear_modulus)] {
            if let Some(e) = modulus {
                c.range(format!("{path}.{name}"), Kind::Pressure, e.si(), 1e8, 1e13);
            }
        }
        if let Some(d) = x.density {
            let path = format!("{path}.density");
            c.range(path, Kind::Density, d.si(), 100.0, 30_000.0);
        }
        if let Some(sheet) = x.mill_sheet {
            for (name, value) in [
                ("carbon", sheet.carbon),
                ("manganese", sheet.manganese),
                ("silicon", sheet.silicon),
                ("chromium", sheet.chromium),
                ("molybdenum", sheet.molybdenum),
                ("vanadium", sheet.vanadium),
                ("nickel", sheet.nickel),
                ("copper", sheet.copper),
            ] {
                let path = format!("{path}.mill_sheet.{name}");
                c.range(path, Kind::Count, value, 0.0, 100.0);
            }
        }
    }
    for (i, x) in b.fit_up.joints.iter().enumerate() {
        joint(c, &format!("fit_up.joints[{i}]"), x);
    }
    dimensions(c, b);
    coupons(c, b);
    corrections(c, b);
    for (i, x) in w.past.iter().enumerate() {
        let path = format!("weld_out.past[{i}]");
        c.most(&format!("{path}.pulls"), x.pulls.len(), SEVERAL);
        for (k, p) in x.pulls.iter().enumerate() {
            c.length(format!("{path}.pulls[{k}].change"), p.change, -1.0, 1.0);
        }
        c.length(format!("{path}.scatter"), x.scatter, 0.0, 1.0);
        c.length(format!("{path}.change"), x.change, -1.0, 1.0);
        c.length(format!("{path}.error"), x.error, 0.0, 0.1);
    }
    for (i, x) in w.arcs.iter().enumerate() {
        let path = format!("weld_out.arcs[{i}]");
        if w.arcs[..i].iter().any(|y| y.process == x.process) {
            c.fail(
                format!("{path}.process"),
                "this process stands twice",
                "Keep one row for each process",
            );
        }
        for (name, kind, value, low, high) in [
            ("voltage", Kind::Voltage, x.voltage.si(), 0.1, 200.0),
            ("current", Kind::Current, x.current.si(), 0.1, 5000.0),
            ("travel", Kind::FeedSpeed, x.travel.si(), 1e-5, 1.0),
            ("wire", Kind::Length, x.wire.si(), 1e-4, 0.02),
        ] {
            c.range(format!("{path}.{name}"), kind, value, low, high);
        }
        if let Some(feed) = x.feed {
            c.range(
                format!("{path}.feed"),
                Kind::FeedSpeed,
                feed.si(),
                1e-5,
                2.0,
            );
        }
        if let Some(rod) = x.rod {
            c.length(format!("{path}.rod"), rod, 0.06, 2.0);
        }
    }
}

pub(super) fn section(c: &mut Checker, path: &str, section: &TubeSection) {
    let sides = match *section {
        TubeSection::Round { outside, .. } => [("outside", outside), ("outside", outside)],
        TubeSection::Rectangular { height, width, .. } => [("height", height), ("width", width)],
    };
    for (name, side) in sides {
        c.length(format!("{path}.{name}"), side, 0.002, 0.5);
    }
    let wall = section.wall();
    c.length(format!("{path}.wall"), wall, 0.0002, 0.1);
    let least = sides[0].1.si().min(sides[1].1.si());
    if wall.si() >= 0.5 * least {
        c.fail(
            format!("{path}.wall"),
            format!("a wall of {wall} leaves no bore"),
            "Write a wall under half the outside size",
        );
    }
    if let TubeSection::Rectangular {
        corner: Some(r), ..
    } = *section
    {
        c.length(format!("{path}.corner"), r, 0.0, 0.5 * least);
    }
}

fn joint(c: &mut Checker, path: &str, j: &Joint) {
    if let Some(t) = &j.tubes {
        c.length(format!("{path}.tubes.branch"), t.branch, 0.002, 0.5);
        c.length(format!("{path}.tubes.main"), t.main, 0.002, 0.5);
        c.length(format!("{path}.tubes.offset"), t.offset, -0.5, 0.5);
        c.range(
            format!("{path}.tubes.angle"),
            Kind::Angle,
            t.angle.si(),
            0.01,
            std::f64::consts::FRAC_PI_2 + 1e-9,
        );
    }
    if let Some(l) = j.length {
        c.length(format!("{path}.length"), l, 0.001, LONG);
    }
    if let Some(l) = j.base {
        c.length(format!("{path}.base"), l, 0.0002, 0.2);
    }
    if let Edges::Vee { bevel, face } | Edges::Bevel { bevel, face } = j.edges {
        c.range(
            format!("{path}.edges.bevel"),
            Kind::Angle,
            bevel.si(),
            0.0,
            1.4,
        );
        c.length(format!("{path}.edges.face"), face, 0.0, 0.2);
    }
}

fn tool(c: &mut Checker, path: &str, tool: &crate::Tool) {
    if let crate::Tool::Error(e) = tool {
        c.length(format!("{path}.tool[0]"), *e, 0.0, 0.1);
    }
}

fn dimensions(c: &mut Checker, b: &Build) {
    let list = &b.weld_out.dimensions;
    c.unique("weld_out.dimensions", list.iter().map(|x| x.id.as_str()));
    for (i, x) in list.iter().enumerate() {
        let path = format!("weld_out.dimensions[{i}]");
        c.length(format!("{path}.want"), x.want, 0.0, LONG);
        if let Limit::Within(t) = x.tolerance {
            c.length(format!("{path}.tolerance[0]"), t, 0.0, 1.0);
        }
        tool(c, &path, &x.tool);
        c.most(&format!("{path}.through"), x.through.len(), SEVERAL);
        c.most(&format!("{path}.readings"), x.readings.len(), SEVERAL);
        for (k, r) in x.readings.iter().enumerate() {
            c.length(format!("{path}.readings[{k}].value"), r.value, 0.0, LONG);
        }
    }
}

fn coupons(c: &mut Checker, b: &Build) {
    let list = &b.weld_out.coupons;
    c.unique("weld_out.coupons", list.iter().map(|x| x.id.as_str()));
    for (i, x) in list.iter().enumerate() {
        let path = format!("weld_out.coupons[{i}]");
        if b.weld_out.dimension(&x.id).is_some() {
            c.fail(
                format!("{path}.id"),
                format!("the short name \"{}\" is a dimension's", x.id),
                "Give this one another name",
            );
        }
        match &x.test {
            CouponTest::Joint(j) => {
                c.length(format!("{path}.test[0].wall"), j.wall, 0.0002, 0.2);
                c.length(format!("{path}.test[0].leg"), j.leg, 0.0, 0.1);
                joint(c, &format!("{path}.test[0]"), j);
            }
            CouponTest::Bead {
                section: s,
                bead,
                arm,
            } => {
                section(c, &format!("{path}.test.section"), s);
                self::bead(c, &format!("{path}.test.bead"), bead);
                c.length(format!("{path}.test.arm"), *arm, 0.001, LONG);
            }
        }
        tool(c, &path, &x.tool);
        c.length(format!("{path}.before"), x.before, -LONG, LONG);
        if let Some(after) = x.after {
            c.length(format!("{path}.after"), after, -LONG, LONG);
        }
    }
}

fn bead(c: &mut Checker, path: &str, bead: &crate::Bead) {
    c.length(format!("{path}.leg"), bead.leg, 0.0005, 0.05);
    c.length(format!("{path}.length"), bead.length, 0.001, 2.0);
}

fn corrections(c: &mut Checker, b: &Build) {
    let list = &b.weld_out.corrections;
    c.unique("weld_out.corrections", list.iter().map(|x| x.id.as_str()));
    for (i, x) in list.iter().enumerate() {
        let path = format!("weld_out.corrections[{i}]");
        bead(c, &format!("{path}.bead"), &x.bead);
        c.range(
            format!("{path}.chance"),
            Kind::Ratio,
            x.chance.si(),
            1e-6,
            0.5,
        );
        c.length(format!("{path}.start"), x.start, 0.0, LONG);
        if x.sites.is_empty() || x.sites.len() > 2 {
            c.fail(
                format!("{path}.sites"),
                "beads go on one member or two",
                "Name one or two",
            );
        }
        for (k, s) in x.sites.iter().enumerate() {
            c.length(format!("{path}.sites[{k}].at"), s.at, 0.0, LONG);
            let out = format!("{path}.sites[{k}].out_of_square");
            c.length(out, s.out_of_square, -1.0, 1.0);
        }
        c.most(&format!("{path}.laid"), x.laid.len(), SEVERAL);
        for (k, r) in x.laid.iter().enumerate() {
            let beads = f64::from(r.beads);
            c.range(
                format!("{path}.laid[{k}].beads"),
                Kind::Count,
                beads,
                1.0,
                100.0,
            );
            c.length(format!("{path}.laid[{k}].value"), r.value, 0.0, LONG);
        }
    }
}
