//! What a hole search found as a table: one row a combination, best first, units in the heads.

use build::{Bolted, End, Figure, HoleOutcome, HolePlan, Side, reading_of};
use units::{Kind, Shop};

use super::decimal;

/// What a figure is called and what kind of quantity it is; the one without a gauge too.
fn label(figure: Figure) -> (&'static str, Kind) {
    reading_of(figure).map_or(("Swing arm height", Kind::Length), |d| (d.label, d.kind))
}

/// A combination in short: "upper frame 2 axle 2 · lower left frame 3 axle 1".
pub(super) fn words(plan: &HolePlan, index: u64) -> String {
    let holes = plan.holes(index);
    let link = |pair: &[Bolted]| match pair {
        [frame, axle] => {
            let side = match frame.side {
                Side::Both => "",
                Side::Left => " left",
                Side::Right => " right",
            };
            format!(
                "{}{side} frame {} axle {}",
                frame.link, frame.hole, axle.hole
            )
        }
        _ => String::new(),
    };
    holes.chunks(2).map(link).collect::<Vec<_>>().join(" · ")
}

fn place(plan: &HolePlan, x: &Bolted) -> String {
    let link = plan.build().rear.link(&x.link);
    let end = match x.end {
        End::Frame => "frame",
        End::Axle => "axle",
    };
    let side = match x.side {
        Side::Both => "",
        Side::Left => " left",
        Side::Right => " right",
    };
    format!("{}{side}, {end} hole", link.map_or("", |l| &l.label))
}

fn table(plan: &HolePlan, outcome: &HoleOutcome, shop: &Shop) -> Vec<Vec<String>> {
    let mut head = vec!["Rank".to_owned(), "Distance, half bands".to_owned()];
    for figure in Figure::ALL {
        let (label, kind) = label(figure);
        head.push(match units::unit_name(kind, shop) {
            "" => label.to_owned(),
            unit => format!("{label}, {unit}"),
        });
    }
    // Every combination bolts the same ends: the first one tells which.
    head.extend(plan.holes(0).iter().map(|x| place(plan, x)));
    let rows = outcome.best.iter().enumerate().map(|(i, found)| {
        let mut row = vec![
            (i + 1).to_string(),
            decimal(Kind::Count, found.distance, shop),
        ];
        row.extend(Figure::ALL.map(|figure| {
            let value = found.figures.get(figure);
            value.map_or_else(String::new, |v| decimal(label(figure).1, v, shop))
        }));
        row.extend(plan.holes(found.index).iter().map(|x| x.hole.to_string()));
        row
    });
    std::iter::once(head).chain(rows).collect()
}

/// What the search found as comma-separated text with a head: rank, distance from the middle of the
/// bands, every figure in display units (empty where it has none), the hole of every link end.
pub(crate) fn csv(plan: &HolePlan, outcome: &HoleOutcome, shop: &Shop) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in table(plan, outcome, shop) {
        // Memory takes every record; all are as long as the head.
        let _ = writer.write_record(row.iter().map(|c| harmless(c)));
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

/// The same for pasting into a spreadsheet.
pub(crate) fn tab_separated(plan: &HolePlan, outcome: &HoleOutcome, shop: &Shop) -> String {
    let line = |row: Vec<String>| {
        let cells: Vec<String> = row
            .iter()
            .map(|c| harmless(c).replace(['\t', '\n', '\r'], " "))
            .collect();
        cells.join("\t") + "\n"
    };
    table(plan, outcome, shop).into_iter().map(line).collect()
}

/// A label that a spreadsheet must not take for a formula; a number is left alone.
fn harmless(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@']) && text.parse::<f64>().is_err() {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}
