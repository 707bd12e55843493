//! Which pieces come out of which bar.
//!
//! Pieces in a bar satisfy Σ(piece + kerf) ≤ stock − trim + kerf, the trim cut off one end
//! first. Least is bought: the fewest bars of one stock length, the least length of several;
//! bars on hand cost nothing. Then the longest single remnant in a bought bar. Proven where
//! the search ends within its budget, otherwise the lower bound stands beside it. Lists of
//! more than [`EXACT`] pieces: first-fit decreasing (at most 11/9 of the least + 6/9, Dósa
//! 2007) and a short search, beside the lower bound L2 of Martello & Toth (Knapsack
//! Problems, 1990). Copes are not nested into each other. The same list always gives the
//! same answer.

mod fit;
mod plan;

use thiserror::Error;

use super::{BadInput, not_negative, positive};

/// Pieces up to which the search is given its full budget.
pub const EXACT: usize = 40;

/// Pieces above which nothing is searched.
const SEARCHED: usize = 400;

/// Most pieces taken.
const MOST_PIECES: usize = 10_000;

/// Most stock lengths taken.
const MOST_STOCK: usize = 500;

/// One unit of length inside the search, m.
const UNIT: f64 = 1.0e-10;

/// Slack of a full bar in units: 1e-9 m.
const SLACK: i64 = 10;

/// Bars of one length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    /// Length of a bar, m.
    pub length: f64,
    /// How many there are; None: as many as wanted.
    pub count: Option<usize>,
    /// Already on hand, not bought.
    pub on_hand: bool,
}

impl Stock {
    /// Bars to buy, as many as wanted.
    #[must_use]
    pub const fn bought(length: f64) -> Self {
        Self {
            length,
            count: None,
            on_hand: false,
        }
    }

    /// Bars or remnants on hand.
    #[must_use]
    pub const fn on_hand(length: f64, count: usize) -> Self {
        Self {
            length,
            count: Some(count),
            on_hand: true,
        }
    }
}

/// Why a list cannot be cut. Lengths in m.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum StockError {
    /// A length nothing can have.
    #[error(transparent)]
    Bad(#[from] BadInput),
    /// No bar to cut from.
    #[error("no stock length given")]
    NoStock,
    /// A list too long to look through.
    #[error("{0} pieces, at most {MOST_PIECES}")]
    TooMany(usize),
    /// A piece that no bar holds.
    #[error("piece {index} of {length} m is longer than the {longest} m a bar gives")]
    PieceTooLong {
        /// Index of the piece.
        index: usize,
        /// Its length.
        length: f64,
        /// The longest piece any bar can give.
        longest: f64,
    },
    /// The bars there are do not hold all pieces.
    #[error("{left} pieces do not fit in the bars there are")]
    NotEnough {
        /// Pieces left over by first-fit decreasing.
        left: usize,
    },
}

/// A piece in a bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Index of the piece in the list.
    pub piece: usize,
    /// Where it starts from the bar's end, m.
    pub start: f64,
}

/// A bar cut up.
#[derive(Clone, Debug, PartialEq)]
pub struct CutBar {
    /// Index of its stock.
    pub stock: usize,
    /// Its pieces, longest first.
    pub pieces: Vec<Placed>,
    /// What is left after the last cut, m.
    pub remnant: f64,
}

/// A cut list nested into bars.
#[derive(Clone, Debug, PartialEq)]
pub struct Nested {
    /// The bars, fullest first within a stock length, stock in its order.
    pub bars: Vec<CutBar>,
    /// Bars bought.
    pub bought_bars: usize,
    /// Length bought, m.
    pub bought_length: f64,
    /// No answer buys less than this, m.
    pub least_length: f64,
    /// Whether no answer buys less.
    pub proven: bool,
    /// Longest remnant among the bought bars, m; 0 when none is bought.
    pub longest_remnant: f64,
    /// Whether no answer that buys these bars leaves a longer single remnant.
    pub remnant_proven: bool,
    /// Bars first-fit decreasing needs, of one stock length.
    pub first_fit_bars: Option<usize>,
    /// Lower bound L2 on the bars, of one stock length.
    pub lower_bound: Option<usize>,
}

/// Nests `pieces` (m) into bars, with the width of a cut `kerf` and the end `trim` cut off
/// every bar, both m.
///
/// # Errors
/// [`StockError`]: bad numbers, a piece longer than the bar, too few bars.
pub fn nest(pieces: &[f64], stock: &[Stock], kerf: f64, trim: f64) -> Result<Nested, StockError> {
    not_negative("kerf", kerf)?;
    not_negative("trim", trim)?;
    for piece in pieces {
        positive("length of a piece", *piece)?;
    }
    for bars in stock {
        positive("stock length", bars.length)?;
    }
    if stock.is_empty() {
        return Err(StockError::NoStock);
    }
    if stock.len() > MOST_STOCK {
        return Err(StockError::Bad(BadInput::TooMuch {
            what: "number of stock lengths",
            value: stock.len() as f64,
            most: MOST_STOCK as f64,
        }));
    }
    if pieces.len() > MOST_PIECES {
        return Err(StockError::TooMany(pieces.len()));
    }
    let units = |length: f64| (length / UNIT).round() as i64;
    let capacity: Vec<i64> = stock
        .iter()
        .map(|bars| units(bars.length - trim + kerf) + SLACK)
        .collect();
    let there = |k: usize| stock[k].count != Some(0);
    let room = (0..stock.len()).filter(|k| there(*k)).map(|k| capacity[k]);
    let longest = room.max().unwrap_or(0);
    let sizes: Vec<i64> = pieces.iter().map(|piece| units(piece + kerf)).collect();
    if let Some(index) = sizes.iter().position(|size| *size > longest) {
        let bars = stock.iter().enumerate().filter(|(k, _)| there(*k));
        return Err(StockError::PieceTooLong {
            index,
            length: pieces[index],
            longest: bars
                .map(|(_, b)| b.length - trim)
                .fold(0.0, f64::max)
                .max(0.0),
        });
    }
    let plan =
        plan::plan(&sizes, stock, &capacity).map_err(|left| StockError::NotEnough { left })?;
    let mut bars: Vec<CutBar> = plan
        .bins
        .into_iter()
        .filter(|bin| !bin.items.is_empty())
        .map(|bin| {
            let mut start = trim;
            let mut placed = Vec::with_capacity(bin.items.len());
            for piece in bin.items {
                placed.push(Placed { piece, start });
                start += pieces[piece] + kerf;
            }
            CutBar {
                stock: bin.kind,
                pieces: placed,
                remnant: (stock[bin.kind].length - start).max(0.0),
            }
        })
        .collect();
    bars.sort_by(|a, b| {
        let first = |bar: &CutBar| bar.pieces.first().map_or(0, |p| p.piece);
        a.stock
            .cmp(&b.stock)
            .then(a.remnant.total_cmp(&b.remnant))
            .then(first(a).cmp(&first(b)))
    });
    let bought = || bars.iter().filter(|bar| !stock[bar.stock].on_hand);
    let bought_length = bought().map(|bar| stock[bar.stock].length).sum();
    Ok(Nested {
        bought_bars: bought().count(),
        bought_length,
        // The unit's rounding is not a gap.
        least_length: if plan.proven {
            bought_length
        } else {
            plan.bound as f64 * UNIT
        },
        proven: plan.proven,
        longest_remnant: bought().map(|bar| bar.remnant).fold(0.0, f64::max),
        remnant_proven: plan.remnant_proven,
        first_fit_bars: plan.first_fit,
        lower_bound: plan.lower_bound,
        bars,
    })
}
