//! The combinations a hole search found, as a table and in short words.

use build::{Bolted, End, Figure, HoleOutcome, HolePlan, Side, reading_of};
use units::{Kind, Shop};

use super::{Trouble, decimal};

/// A combination in short: "upper frame 2 axle 2 · lower left frame 3 axle 1".
pub(crate) fn words(plan: &HolePlan, index: u64) -> String {
    let mut out: Vec<String> = Vec::new();
    for pair in plan.holes(index).chunks(2) {
        if let [frame, axle] = pair {
            let side = match frame.side {
                Side::Both => "",
                Side::Left => " left",
                Side::Right => " right",
            };
            out.push(format!(
                "{}{side} frame {} axle {}",
                frame.link, frame.hole, axle.hole
            ));
        }
    }
    out.join(" · ")
}

/// The combinations found, best first: rank, distance, every figure in display units, every link end's hole.
///
/// # Errors
/// The table could not be written.
pub(crate) fn csv(plan: &HolePlan, found: &HoleOutcome, shop: &Shop) -> Result<String, Trouble> {
    let figures: Vec<_> = Figure::ALL
        .into_iter()
        .filter_map(|f| Some((f, reading_of(f)?)))
        .collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut head = vec!["rank".to_owned(), "distance".to_owned()];
    for (_, d) in &figures {
        let unit = units::unit_name(d.kind, shop);
        head.push(format!("{}, {unit}", d.label));
    }
    let end = |x: &Bolted| match x.end {
        End::Frame => "frame",
        End::Axle => "axle",
    };
    let side = |x: &Bolted| match x.side {
        Side::Both => "",
        Side::Left => " left",
        Side::Right => " right",
    };
    head.extend(
        plan.holes(0)
            .iter()
            .map(|x| format!("{}{} {} hole", x.link, side(x), end(x))),
    );
    writer.write_record(&head)?;
    for (rank, f) in found.best.iter().enumerate() {
        let mut row = vec![
            (rank + 1).to_string(),
            decimal(Kind::Count, f.distance, shop),
        ];
        row.extend(figures.iter().map(|(figure, d)| {
            let value = f.figures.get(*figure);
            value.map_or_else(String::new, |v| decimal(d.kind, v, shop))
        }));
        row.extend(plan.holes(f.index).iter().map(|x| x.hole.to_string()));
        writer.write_record(&row)?;
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}
