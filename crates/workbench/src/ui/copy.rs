//! Tables for a spreadsheet: tab-separated, units in the heads.

use build::{Build, Study};
use units::{Kind, Shop};

use crate::command::decimal;

/// A cell that a spreadsheet must not take for a formula.
fn cell(text: &str) -> String {
    let text = text.replace(['\t', '\n', '\r'], " ");
    if text.starts_with(['=', '+', '-', '@']) {
        format!("'{text}")
    } else {
        text
    }
}

/// Every reading.
pub fn readings(study: &Study, shop: &Shop) -> String {
    let mut out = String::from("Reading\tValue\tUnit\tBand from\tBand to\tStatus\n");
    for r in &study.readings {
        let kind = r.kind();
        let number = |v: f64| {
            if v.is_finite() {
                decimal(kind, v, shop)
            } else {
                String::new()
            }
        };
        let value = r
            .value
            .as_ref()
            .map_or_else(|_| String::new(), |v| number(*v));
        let (low, high) = r
            .band
            .map_or_else(Default::default, |b| (number(b.low), number(b.high)));
        out += &format!(
            "{}\t{value}\t{}\t{low}\t{high}\t{}\n",
            cell(&r.label()),
            units::unit_name(kind, shop),
            r.status().word()
        );
    }
    out
}

/// Every bracket hole.
pub fn holes(build: &Build, shop: &Shop) -> String {
    let unit = units::unit_name(Kind::Length, shop);
    let mut out =
        format!("Bracket\tHole\tAhead, {unit}\tOut, left +, {unit}\tUp, {unit}\tDrill, {unit}\n");
    let number = |v: f64| decimal(Kind::Length, v, shop);
    for b in &build.rear.brackets {
        for n in 1..=b.hole_count() {
            if let Some(p) = b.hole(n) {
                let [x, y, z] = p.si();
                out += &format!(
                    "{}\t{n}\t{}\t{}\t{}\t{}\n",
                    cell(&b.label),
                    number(x),
                    number(y),
                    number(z),
                    number(b.drill.si())
                );
            }
        }
    }
    out
}

/// The fit-up log.
pub fn fit_up(build: &Build, study: &Study, shop: &Shop) -> String {
    let unit = units::unit_name(Kind::Length, shop);
    let mut out = format!(
        "Joint\tKind\tWall, {unit}\tLeg, {unit}\tWorst gap, {unit}\tMean gap, {unit}\tPull-in from, {unit}\tto, {unit}\tGaps by clock, {unit}\tWho\tWhen\n"
    );
    let number = |v: f64| decimal(Kind::Length, v, shop);
    let maybe = |v: Option<f64>| v.map(number).unwrap_or_default();
    for (j, s) in build.fit_up.joints.iter().zip(&study.fit_up.joints) {
        let gaps: Vec<String> = j
            .gaps
            .iter()
            .map(|g| format!("{} o'clock {}", g.clock, number(g.gap.si())))
            .collect();
        let pull = s.shrinkage.as_ref().ok();
        out += &format!(
            "{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\n",
            cell(&j.label),
            super::fit_up_page::kind_name(j.kind),
            number(j.wall.si()),
            number(j.leg.si()),
            maybe(s.worst.map(|w| w.0)),
            maybe(s.mean),
            maybe(pull.map(|p| p.low)),
            maybe(pull.map(|p| p.high)),
            gaps.join("; "),
            cell(&j.who),
            cell(&j.when)
        );
    }
    out
}
