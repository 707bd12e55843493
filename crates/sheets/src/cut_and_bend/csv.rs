//! Tubes, ends and bends, a line each, with all their digits.

use build::{EndShape, TubePart};
use units::{Kind, display_value, unit_name};

use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};
use crate::tubework::{Facts, ends};

pub(super) fn table(f: &Facts<'_>) -> Table {
    let (len, mass) = (
        unit_name(Kind::Length, &f.shop),
        unit_name(Kind::Mass, &f.shop),
    );
    let columns = [
        "tube".to_owned(),
        "id".into(),
        "label".into(),
        "section".into(),
        "material".into(),
        "what".into(),
        format!("saw to {len}"),
        format!("weight {mass}"),
        "angle deg".into(),
        "set to deg".into(),
        "turn clockwise deg".into(),
        format!("radius {len}"),
        format!("straight before {len}"),
        format!("mark from A {len}"),
        format!("mark from B {len}"),
        format!("offset {len}"),
        "clock deg".into(),
        format!("hole saw {len}"),
        "from square deg".into(),
        format!("saw centre to long point {len}"),
        format!("cup depth {len}"),
        "words".into(),
    ];
    let mut t = Table::new(columns.into_iter().map(Col::left));
    for (i, (tube, study)) in f
        .build
        .assembly
        .tubes
        .iter()
        .zip(&f.tubes.tubes)
        .enumerate()
    {
        let begin = [
            f.number(i),
            tube.id.clone(),
            tube.label.clone(),
            f.section(&tube.section),
            tube.material.clone(),
        ];
        match &study.part {
            Err(why) => {
                let mut row = begin.to_vec();
                row.push("not made".into());
                row.resize(21, String::new());
                row.push(why.show(&f.shop));
                t.push(Row::new(row.into_iter().map(Cell::from)));
            }
            Ok(part) => rows(f, &mut t, &begin, part),
        }
    }
    t
}

fn rows(f: &Facts<'_>, t: &mut Table, begin: &[String; 5], part: &TubePart) {
    let number = |v: f64| {
        if v.is_finite() {
            digits(v)
        } else {
            String::new()
        }
    };
    let length = |m: f64| number(display_value(Kind::Length, m, &f.shop));
    let angle = |rad: f64| number(rad.to_degrees());
    let mut push = |what: String, values: [String; 16]| {
        let row = begin.iter().cloned().chain([what]).chain(values);
        t.push(Row::new(row.map(Cell::from)));
    };
    let mut v: [String; 16] = Default::default();
    v[0] = length(part.cut);
    v[1] = number(display_value(Kind::Mass, part.mass, &f.shop));
    push("tube".into(), v);
    for (k, b) in part.bends.iter().enumerate() {
        let mut v: [String; 16] = Default::default();
        v[2] = angle(b.bend.angle);
        v[3] = b.set.map_or_else(|_| String::new(), angle);
        v[4] = b.bend.rotation.map_or_else(String::new, angle);
        v[5] = length(b.bend.radius);
        v[6] = length(b.straight);
        v[7] = length(b.from_a);
        v[8] = length(b.from_b);
        v[15] = b.set.err().unwrap_or_default().to_owned();
        push(format!("bend {}", k + 1), v);
    }
    for end in &part.ends {
        let mut v: [String; 16] = Default::default();
        match &end.shape {
            EndShape::Cope(cut) => {
                if let [pair] = cut.cope.pairs() {
                    v[2] = angle(pair.alpha);
                    v[9] = length(pair.offset);
                    v[10] = angle(pair.clock);
                }
                if let Ok(saw) = &cut.saw {
                    v[11] = length(saw.diameter);
                    v[12] = angle(saw.from_square);
                    v[13] = length(saw.centre_to_long_point);
                    v[14] = length(saw.cup_depth);
                }
            }
            EndShape::Mitre { mitre, toward, .. } => {
                v[2] = angle(mitre.included);
                v[10] = angle(*toward);
                v[12] = angle(mitre.saw);
            }
            EndShape::Square | EndShape::RunsOn(_) | EndShape::Failed(_) => {}
        }
        v[15] = ends::sentences(f, end).join(" ");
        push(format!("end {}", ends::letter(end.end)), v);
    }
}
