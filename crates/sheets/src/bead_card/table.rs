//! The beads laid, and rows for those to come.

use weld::beads::{Advice, Forecast, Move, Plan};

use super::card::Card;
use crate::error::SheetError;
use crate::layout::Composer;
use crate::table::{Cell, Col, Mark, Row, Table};
use crate::welding::facts::Facts;
use crate::welding::words::{by, short, signed};

/// Rows for beads to come: at least and at most.
const ROWS: (u32, u32) = (4, 8);
/// Two-sided chance below which a move is outside the range nine in ten fall in.
const RANGE: f64 = 0.1;

/// How many beads to come get a row.
pub(super) fn ahead(advice: &Advice) -> u32 {
    if advice.lay == 0 {
        return 0;
    }
    let likely = advice.beads_to_come[2].unwrap_or(ROWS.1);
    likely.max(advice.lay).clamp(ROWS.0, ROWS.1.max(advice.lay))
}

/// Did the move agree with what was expected of it?
pub(super) fn agreed(m: &Move) -> &'static str {
    if m.two_sided_p >= RANGE {
        "yes"
    } else if m.innovation > 0.0 {
        "moved more"
    } else {
        "moved less"
    }
}

/// A reading beside what was expected of it.
pub(super) struct Told {
    /// The reading and its chance.
    pub(super) taken: Move,
    /// What it moved the dimension, m.
    pub(super) change: f64,
    /// Half of the range it was expected in, nine in ten, m.
    pub(super) half: f64,
}

/// The readings one by one, each as it was expected before it was taken.
pub(super) fn story(plan: &Plan) -> Vec<Told> {
    let job = plan.job();
    let mut out = Vec::new();
    let mut before = job.first_reading;
    // What was taken in once is taken in again.
    let Ok(mut then) = Plan::start(job) else {
        return out;
    };
    for m in plan.moves() {
        let now = then.position();
        let quantile = if now.scale > 0.0 {
            (now.high - now.value) / now.scale
        } else {
            0.0
        };
        let half = quantile * (then.scatter_factor() * m.variance).sqrt();
        out.push(Told {
            taken: *m,
            change: m.reading.measured - before,
            half,
        });
        before = m.reading.measured;
        if then.measured(m.reading.beads, m.reading.measured).is_err() {
            break;
        }
    }
    out
}

pub(super) fn beads(
    sheet: &mut Composer,
    f: &Facts<'_>,
    card: &Card<'_>,
    plan: &Plan,
    advice: &Advice,
) -> Result<(), SheetError> {
    let mut t = Table::new([
        Col::right("bead").fixed(11.0),
        Col::left("on tube").share(1.0),
        Col::right("expected after it").fixed(32.0),
        Col::right("measured").fixed(21.0),
        Col::right("moved").fixed(18.0),
        Col::left("agreed").fixed(24.0),
        Col::left("who, when").fixed(37.5),
    ]);
    t.size_pt = 8.5;
    let start = plan.job().first_reading;
    t.push(Row::new([
        Cell::new("0"),
        Cell::new("before the first"),
        Cell::default(),
        Cell::new(f.kept(start)).bold(),
        Cell::default(),
        Cell::default(),
        Cell::new(short(&by(&card.document.who, &card.document.when))),
    ]));
    let mut laid = 0_u32;
    for (x, told) in card.document.laid.iter().zip(story(plan)) {
        let from = laid.saturating_add(1);
        laid = laid.saturating_add(x.beads);
        let number = if x.beads == 1 {
            laid.to_string()
        } else {
            format!("{from}–{laid}")
        };
        let agreed = agreed(&told.taken);
        let mark = if agreed == "yes" {
            Mark::Ticked
        } else {
            Mark::Box
        };
        let mut who = by(&x.who, &x.when);
        if !x.note.trim().is_empty() {
            who = format!("{who}\n{}", x.note.trim());
        }
        t.push(Row::new([
            Cell::new(number).bold(),
            Cell::new(short(&f.part(&x.on))),
            Cell::new(format!(
                "{} ± {}",
                f.fine(told.taken.expected_dimension),
                f.fine(told.half)
            ))
            .dim(),
            Cell::new(f.kept(x.value.si())).bold(),
            Cell::new(signed(told.change, &f.shop)),
            Cell::new(agreed).mark(mark),
            Cell::new(short(&who)),
        ]));
    }
    let forecast = plan.forecast(ahead(advice));
    for (k, x) in (1_u32..).zip(forecast.iter().skip(1)) {
        t.push(coming(f, card, advice, laid, k, x));
    }
    let note = if advice.lay == 0 {
        "nothing to be laid"
    } else {
        "to come: as expected from here, if no reading came between · range: nine in ten"
    };
    sheet.section("Beads", note);
    sheet.table(&t)
}

fn coming(f: &Facts<'_>, card: &Card<'_>, advice: &Advice, laid: u32, k: u32, x: &Forecast) -> Row {
    // The beads of one lay go on one member, then the other's turn comes.
    let lay = advice.lay.max(1);
    let turn = ((k - 1) / lay) as usize;
    let measure = k.is_multiple_of(lay);
    let half = 0.5 * (x.high - x.low);
    let mut row = Row::new([
        Cell::new(laid.saturating_add(k).to_string()),
        Cell::new(card.tube(f, card.site_after(turn))).dim(),
        Cell::new(format!("{} ± {}", f.fine(x.mean), f.fine(half))).dim(),
        if measure {
            Cell::blank()
        } else {
            Cell::new("—").dim()
        },
        if measure {
            Cell::blank()
        } else {
            Cell::default()
        },
        if measure {
            Cell::new("yes").mark(Mark::Box)
        } else {
            Cell::default()
        },
        Cell::blank(),
    ]);
    row.tint = k <= lay;
    row
}
