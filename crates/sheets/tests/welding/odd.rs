//! Builds that are hard on a sheet: nasty values, long labels, many joints.

use build::{
    BeadReading, BeadSite, Build, Face, Held, Joins, Joint, JointKind, Limit, Node, Place, Plate,
    ToleranceClass, Tube, TubeSection,
};
use units::Length;

use crate::builds::sample;

pub(crate) fn inches(x: f64, y: f64, z: f64) -> Place {
    let m = 0.0254;
    Place::from_si([m * x, m * y, m * z])
}

pub(crate) const LONG: &str = "a label that goes on and on, Unterlenkerkonsolenverstärkungsblechhalterungsplattenaußenkante 🔩 上下 <b>&\"'` ";

/// Builds a person could make by accident, each with its name.
pub(crate) fn nasty() -> Vec<(&'static str, Build)> {
    let red = sample("redshank");
    let mut out = Vec::new();
    let mut add = |name, b: Build| out.push((name, b));

    let mut b = red.clone();
    b.assembly
        .nodes
        .retain(|n| n.id != "eye_l" && n.id != "seat_r");
    b.assembly.tubes[3].to = "nowhere".into();
    b.assembly.plates.push(Plate {
        id: "p".into(),
        label: "plate to nowhere".into(),
        outline: vec!["foot_l".into(), "gone".into(), "bar_l".into()],
        thickness: Length::from_mm(3.0),
        material: "1018".into(),
    });
    b.weld_out.corrections[0].sites[0].tube = "no such tube".into();
    b.weld_out.corrections[0].dimension = "no such dimension".into();
    add("dangling", b);

    let mut b = red.clone();
    b.weld_out.dimensions.clear();
    add("no dimensions", b);

    let mut b = red.clone();
    b.fit_up.joints.clear();
    add("no joints", b);

    let mut b = red.clone();
    b.weld_out.corrections.clear();
    add("no corrections", b);

    let mut b = red.clone();
    b.name = LONG.repeat(4);
    b.revision = LONG.into();
    for j in &mut b.fit_up.joints {
        j.label = LONG.repeat(3);
        j.id = format!("{}{}", j.id, "very-long-id-".repeat(6));
        j.note = LONG.repeat(5);
        j.welded = Some(build::Welding {
            who: LONG.into(),
            when: LONG.into(),
        });
    }
    for t in &mut b.assembly.tubes {
        t.label = LONG.repeat(3);
    }
    for d in &mut b.weld_out.dimensions {
        d.label = LONG.repeat(6);
        d.void = Some(LONG.repeat(6));
        for r in &mut d.readings {
            r.who = LONG.into();
            r.note = LONG.repeat(4);
        }
    }
    for x in &mut b.weld_out.corrections[0].laid {
        x.who = LONG.repeat(3);
        x.note = LONG.repeat(9);
    }
    b.weld_out.order.clear();
    add("long labels", b);

    add("three hundred joints", ladder(300));

    let mut b = red.clone();
    let d = b.weld_out.dimensions[0].clone();
    for k in 0..30 {
        let mut d = d.clone();
        d.id = format!("d{k}");
        d.label = format!("dimension {k}");
        b.weld_out.dimensions.push(d);
    }
    add("thirty dimensions", b);

    let mut b = red.clone();
    for n in &mut b.assembly.nodes {
        n.at = inches(0.0, 0.0, 0.0);
    }
    add("all in one place", b);

    let mut b = red.clone();
    b.assembly.nodes[0].at = inches(1.0e5, -1.0e5, 3.0e4);
    b.assembly.nodes[9].at = inches(-4.0, -2.0e5, 11.0);
    add("far away", b);

    let mut b = red.clone();
    b.weld_out.dimensions[0].want = Length::from_si(1.0e-4);
    b.weld_out.dimensions[1].tolerance = Limit::Iso13920(ToleranceClass::D);
    b.weld_out.dimensions[1].want = Length::from_mm(1.0);
    b.weld_out.dimensions[2].tolerance = Limit::Within(Length::from_si(0.0));
    add("odd tolerances", b);

    let mut b = red.clone();
    let c = b.weld_out.corrections[0].clone();
    for (k, start) in [27.9, 27.64, 20.0, 27.60].into_iter().enumerate() {
        let mut c = c.clone();
        c.id = format!("c{k}");
        c.start = Length::from_inches(start);
        c.laid = (0..k as u32 * 9)
            .map(|n| BeadReading {
                beads: 1 + n % 3,
                on: "tower_l".into(),
                value: Length::from_inches(start + 0.01 * f64::from(n)),
                who: "NK".into(),
                when: "2026-05-03 15:00".into(),
                note: String::new(),
            })
            .collect();
        b.weld_out.corrections.push(c);
    }
    let mut c = c;
    c.id = "huge".into();
    c.laid[0].beads = u32::MAX;
    c.laid[1].beads = u32::MAX;
    c.sites.push(BeadSite {
        tube: "bar".into(),
        at: Length::from_inches(2.0),
        face: Face::Left,
        out_of_square: Length::from_si(0.0),
    });
    b.weld_out.corrections.push(c);
    add("many corrections", b);

    let mut b = red.clone();
    for t in &mut b.assembly.tubes {
        t.material = "4130".into();
    }
    add("chromoly", b);

    let mut b = red;
    b.fit_up.joints[5].gaps[0].gap = Length::from_inches(0.25);
    b.fit_up.joints[6].gaps[0].gap = Length::from_inches(0.125);
    b.fit_up.joints[7].passes = 3;
    b.fit_up.joints[8].held = Held::Free;
    b.weld_out.arcs.clear();
    add("wide gaps, no arc", b);
    out
}

/// Rungs between two rails, a joint at each end.
pub(crate) fn ladder(joints: usize) -> Build {
    let mut b = Build::empty("Ladder");
    let round = |d: f64, w: f64| TubeSection::Round {
        outside: Length::from_inches(d),
        wall: Length::from_inches(w),
    };
    let tube = |id: String, from: String, to: String, section| Tube {
        label: format!("tube {id}"),
        id,
        from,
        to,
        section,
        material: "1020 DOM".into(),
        turn: units::Angle::from_si(0.0),
        bends: Vec::new(),
        die: None,
        ends: build::Ends::Welded,
    };
    let end = joints as f64;
    for (id, x, y) in [
        ("l0", -1.0, 20.0),
        ("l1", end, 20.0),
        ("r0", -1.0, -20.0),
        ("r1", end, -20.0),
    ] {
        b.assembly.nodes.push(Node {
            id: id.into(),
            at: inches(x, y, 10.0),
        });
    }
    for s in ["l", "r"] {
        b.assembly.tubes.push(tube(
            format!("rail_{s}"),
            format!("{s}0"),
            format!("{s}1"),
            round(1.75, 0.12),
        ));
    }
    for k in 0..joints / 2 {
        let x = 2.0 * k as f64;
        for (s, y) in [("l", 20.0), ("r", -20.0)] {
            b.assembly.nodes.push(Node {
                id: format!("{s}{k}n"),
                at: inches(x, y, 10.0),
            });
        }
        let rung = format!("rung{k}");
        b.assembly.tubes.push(tube(
            rung.clone(),
            format!("l{k}n"),
            format!("r{k}n"),
            round(1.0, 0.083),
        ));
        for s in ["l", "r"] {
            let mut j = Joint::new(
                &format!("{s}{k}"),
                &format!("rung {k}, {s}"),
                JointKind::Cope,
                Length::from_inches(0.083),
                Length::from_inches(0.125),
            );
            j.joins = Some(Joins {
                part: rung.clone(),
                onto: format!("rail_{s}"),
                at: format!("{s}{k}n"),
            });
            b.fit_up.joints.push(j);
        }
    }
    let mut d = sample("redshank").weld_out.dimensions[1].clone();
    d.from = "l0".into();
    d.to = "r0".into();
    d.want = Length::from_inches(40.0);
    d.readings.clear();
    b.weld_out.dimensions.push(d);
    b
}

pub(crate) fn all() -> Vec<(&'static str, Build)> {
    let mut out: Vec<(&str, Build)> = ["redshank", "whimbrel", "faulty"]
        .map(|n| (n, sample(n)))
        .into();
    out.push(("empty", Build::empty("Nothing")));
    out.extend(nasty());
    out
}
