//! The order, one joint a line, for a spreadsheet.

use build::JointKind;
use units::{Kind, display_value, unit_name};

use super::tables::outside;
use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};
use crate::welding::facts::Facts;
use crate::welding::words::{held, kind, process};

pub(super) fn table(f: &Facts<'_>) -> Table {
    let order = f.weld.order.as_ref().ok();
    let watched = order.map_or(&[][..], |o| &o.dimensions);
    let unit = unit_name(Kind::Length, &f.shop);
    let mut columns: Vec<String> = [
        "step",
        "joint",
        "label",
        "kind",
        "part",
        "stands on",
        "node",
        "process",
    ]
    .map(str::to_owned)
    .into();
    columns.extend([
        format!("leg asked {unit}"),
        format!("leg required {unit}"),
        "passes".into(),
        "held".into(),
        format!("worst gap {unit}"),
        "at clock".into(),
        "verdict".into(),
    ]);
    for d in watched {
        let name = format!("{} {}", f.letter(*d), f.label(*d));
        columns.push(format!("{name}: drift {unit}"));
        columns.push(format!("{name}: low {unit}"));
        columns.push(format!("{name}: high {unit}"));
        columns.push(format!("{name}: measure now"));
    }
    columns.extend(["welded by".into(), "when".into()]);
    let mut t = Table::new(columns.into_iter().map(Col::left));
    let length = |m: f64| {
        let v = display_value(Kind::Length, m, &f.shop);
        if v.is_finite() {
            digits(v)
        } else {
            String::new()
        }
    };
    let steps = order.map_or(&[][..], |o| &o.joints);
    let places = steps
        .iter()
        .enumerate()
        .map(|(k, p)| (Some(k), *p))
        .chain(outside(f).map(|p| (None, p)));
    for (step, place) in places {
        let Some((j, s)) = f.joint(place) else {
            continue;
        };
        let joins = j.joins.as_ref();
        let mut row: Vec<String> = vec![
            step.map_or_else(String::new, |k| (k + 1).to_string()),
            j.id.clone(),
            j.label.clone(),
            kind(j.kind).into(),
            joins.map_or_else(String::new, |x| x.part.clone()),
            joins.map_or_else(String::new, |x| x.onto.clone()),
            joins.map_or_else(String::new, |x| x.at.clone()),
            process(j.process).into(),
        ];
        let butt = j.kind == JointKind::Butt;
        row.push(if butt {
            String::new()
        } else {
            length(j.leg.si())
        });
        let judged = s.judged.as_ref();
        row.push(match judged {
            Ok(x) if !butt => length(x.required_leg),
            _ => String::new(),
        });
        row.push(j.passes.to_string());
        row.push(held(j.held).into());
        row.push(s.worst.map_or_else(String::new, |(g, _)| length(g)));
        row.push(s.worst.map_or_else(String::new, |(_, c)| digits(c)));
        row.push(match judged {
            Ok(x) => match x.verdict {
                weld::Verdict::Good => "good".into(),
                weld::Verdict::EnlargeLeg { .. } => "larger leg".into(),
                weld::Verdict::Reject => "reject".into(),
                weld::Verdict::NotLogged { .. } => "not logged".into(),
            },
            Err(e) => e.to_string(),
        });
        for k in 0..watched.len() {
            let drift = step.and_then(|s| order?.steps.get(s)?.dimensions.get(k));
            match drift {
                Some(d) => row.extend([d.drift, d.low, d.high].map(length)),
                None => row.extend(std::iter::repeat_n(String::new(), 3)),
            }
            let now = order.and_then(|o| o.measure.get(k).copied().flatten());
            row.push(if step.is_some() && now == step {
                "yes".into()
            } else {
                String::new()
            });
        }
        let (who, when) = match &j.welded {
            Some(w) => (w.who.clone(), w.when.clone()),
            None => Default::default(),
        };
        row.extend([who, when]);
        t.push(Row::new(row.into_iter().map(Cell::from)));
    }
    t
}
