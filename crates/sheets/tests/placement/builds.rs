//! Builds for the sheet: the samples, and ones made to be a nuisance.

use std::path::Path;

use build::{Along, Bracket, Build, Holes, Place, SecondReference, Sides};
use units::{Angle, Length};

pub fn sample(name: &str) -> Build {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../samples/{name}.ron"));
    build::file::load(&file).unwrap()
}

fn place(x: f64, y: f64, z: f64) -> Place {
    Place::from_si([x, y, z])
}

fn bracket(base: &Bracket, k: usize, at: Place, holes: Holes) -> Bracket {
    Bracket {
        id: format!("n{k}"),
        label: format!("bracket {k}"),
        at,
        holes,
        ..base.clone()
    }
}

fn row(count: usize, pitch: f64, lean: f64) -> Holes {
    Holes::Row {
        count,
        pitch: Length::from_si(pitch),
        lean: Angle::from_degrees(lean),
    }
}

/// Builds a person could make by accident, each with its name.
pub fn nasty() -> Vec<(String, Build)> {
    let red = sample("redshank");
    let base = red.rear.brackets[0].clone();
    let mut out = Vec::new();
    let mut add = |name: &str, build: Build| out.push((name.to_owned(), build));

    let mut b = red.clone();
    b.name = "A name that goes on for a good deal longer than any plate has room for 🏁 ".repeat(3);
    b.revision = "C-prime, second try 🔧".into();
    for (k, x) in b.rear.brackets.iter_mut().enumerate() {
        x.label = match k % 3 {
            0 => "sixty characters of label that a person would never write!!".into(),
            1 => "🔩🔧 <b>&\"'` ".repeat(5),
            _ => "Unterlenkerkonsolenverstärkungsblechhalterungsplattenaußenkante".into(),
        };
    }
    for x in &mut b.rear.links {
        x.label = "one\nlink with a label of two lines, 上下, and quite some length to it".into();
    }
    b.rear.second_reference = Some(SecondReference {
        label: "the lower edge of the rocker panel where the pinch weld was cut".into(),
        along: Along::Height,
        at: Length::from_inches(7.0),
    });
    add("long labels", b);

    for (along, name) in [(Along::Station, "station"), (Along::Offset, "offset")] {
        let mut b = red.clone();
        b.rear.second_reference = Some(SecondReference {
            label: "rail, outside face".into(),
            along,
            at: Length::from_inches(16.5),
        });
        add(name, b);
    }
    let mut b = red.clone();
    b.rear.second_reference = None;
    add("no second reference", b);

    let mut b = red.clone();
    b.rear.brackets[0].holes = row(40, 0.0254, 0.0);
    b.rear.brackets[1].holes = row(40, 0.001, 0.0);
    b.rear.brackets[2].holes = Holes::List(vec![Default::default(); 40]);
    b.rear.brackets[3].holes = row(40, 0.02, 90.0);
    b.rear.brackets[4].holes = row(12, 0.01, -180.0);
    b.rear.brackets[5].plate_width = Length::from_si(1.0);
    add("forty holes", b);

    let mut b = red.clone();
    b.rear.brackets[0].at = place(20.0, 20.0, 20.0);
    b.rear.brackets[1].at = place(-20.0, -20.0, -20.0);
    b.rear.brackets[2].at = place(0.0, 0.0, -0.3);
    b.rear.brackets[3].plate_width = Length::from_mm(2.0);
    b.rear.brackets[3].drill = Length::from_mm(100.0);
    b.rear.brackets[4].drill = Length::from_mm(1.0);
    b.rear.brackets[5].at = place(3.5, 1.5, 1.7);
    add("far away", b);

    let mut b = red.clone();
    b.rear.brackets = (0..30)
        .map(|k| bracket(&base, k, base.at, row(3, 0.0254, 0.0)))
        .collect();
    b.rear.links.clear();
    add("thirty in one place", b);

    let mut b = red.clone();
    b.rear.brackets = (0..40)
        .map(|k| {
            let t = k as f64;
            let at = place(
                0.9 * (t * 0.7).sin(),
                0.5 * (t * 1.3).cos(),
                0.5 + 0.4 * (t * 2.1).sin(),
            );
            let mut x = bracket(&base, k, at, row(1 + k % 5, 0.02, t * 7.0));
            if k % 3 == 0 {
                x.sides = Sides::Single;
            }
            x
        })
        .collect();
    b.rear.links.clear();
    add("forty all over", b);

    let mut b = red.clone();
    b.rear.brackets.clear();
    add("links without brackets", b);

    let mut b = red.clone();
    b.rear.brackets[0].holes = Holes::List(Vec::new());
    b.frame.line.clear();
    b.phases.clear();
    add("no holes, no rail, no phases", b);

    let mut b = red.clone();
    for l in &mut b.rear.links {
        l.held = Some(build::HeldLength {
            left: Length::from_si(5.0),
            right: Length::from_si(0.02),
        });
    }
    add("held too far off", b);

    let mut b = red.clone();
    let joint = b.rear.brackets[0].at;
    for x in &mut b.rear.brackets {
        x.at = joint;
    }
    add("all joints in one place", b);

    let mut b = red;
    for l in &mut b.rear.links {
        l.at_frame.right_hole = Some(1);
        l.at_axle.right_hole = Some(9);
    }
    add("right holes differ", b);
    out
}
