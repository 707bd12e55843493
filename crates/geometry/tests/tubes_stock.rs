//! Nesting against brute force, known lists and laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use geometry::tube::stock::{Nested, Stock, StockError, nest};
use proptest::prelude::*;

/// Every piece once, every bar within its length, no two pieces over each other.
fn sound(pieces: &[f64], stock: &[Stock], kerf: f64, trim: f64, nested: &Nested) {
    let mut seen = vec![0; pieces.len()];
    for bar in &nested.bars {
        let mut free = trim;
        for placed in &bar.pieces {
            seen[placed.piece] += 1;
            assert!((placed.start - free).abs() < 1e-9);
            free = placed.start + pieces[placed.piece] + kerf;
        }
        assert!(free - kerf <= stock[bar.stock].length + 1e-9);
        let left = (stock[bar.stock].length - free).max(0.0);
        assert!((bar.remnant - left).abs() < 1e-9);
    }
    assert!(seen.iter().all(|n| *n == 1));
    for (k, bars) in stock.iter().enumerate() {
        let used = nested.bars.iter().filter(|bar| bar.stock == k).count();
        assert!(bars.count.is_none_or(|count| used <= count));
    }
}

/// Fewest bars, and of those the least load any bar can have, by trying everything.
fn brute(pieces: &[f64], room: f64, kerf: f64) -> (usize, f64) {
    fn go(i: usize, sizes: &[f64], loads: &mut Vec<f64>, room: f64, best: &mut (usize, f64)) {
        if loads.len() > best.0 {
            return;
        }
        if i == sizes.len() {
            let least = loads.iter().copied().fold(f64::INFINITY, f64::min);
            if loads.len() < best.0 || least < best.1 {
                *best = (loads.len(), least);
            }
            return;
        }
        for k in 0..loads.len() {
            if loads[k] + sizes[i] <= room + 1e-9 {
                loads[k] += sizes[i];
                go(i + 1, sizes, loads, room, best);
                loads[k] -= sizes[i];
            }
        }
        loads.push(sizes[i]);
        go(i + 1, sizes, loads, room, best);
        loads.pop();
    }
    let sizes: Vec<f64> = pieces.iter().map(|p| p + kerf).collect();
    let mut best = (sizes.len() + 1, f64::INFINITY);
    go(0, &sizes, &mut Vec::new(), room, &mut best);
    best
}

/// Johnson 1973 (from memory): six each of 1/2 + ε, 1/4 + 2ε, 1/4 + ε and twelve of 1/4 − 2ε
/// fill nine bars, and first-fit decreasing takes eleven.
#[test]
fn eleven_ninths() {
    let e = 0.01;
    let mut pieces = vec![0.5 + e; 6];
    pieces.extend([0.25 + 2.0 * e; 6]);
    pieces.extend([0.25 + e; 6]);
    pieces.extend([0.25 - 2.0 * e; 12]);
    let stock = [Stock::bought(1.0)];
    let nested = nest(&pieces, &stock, 0.0, 0.0).unwrap();
    sound(&pieces, &stock, 0.0, 0.0, &nested);
    assert_eq!(
        (nested.bars.len(), nested.first_fit_bars, nested.proven),
        (9, Some(11), true)
    );
}

/// Triplets (Falkenauer 1996, from memory): every three pieces fill a bar exactly, each
/// between a quarter and a half; the least is a third of the pieces. Own numbers.
#[test]
fn triplets() {
    let mut pieces = Vec::new();
    for i in 0..12 {
        let a = 0.38 + 0.009 * f64::from(i);
        let b = 0.26 + 0.0017 * f64::from((i * 7) % 12);
        pieces.extend([a, b, 1.0 - a - b]);
    }
    let stock = [Stock::bought(1.0)];
    let nested = nest(&pieces, &stock, 0.0, 0.0).unwrap();
    sound(&pieces, &stock, 0.0, 0.0, &nested);
    assert_eq!(
        (nested.bars.len(), nested.proven, nested.lower_bound),
        (12, true, Some(12))
    );
}

#[test]
fn several_lengths_and_remnants() {
    // 3.9 m of pieces: one bar of 4 costs less than one of 6 or two of 3.
    let pieces = [1.9, 1.0, 1.0];
    let stock = [Stock::bought(6.0), Stock::bought(4.0), Stock::bought(3.0)];
    let nested = nest(&pieces, &stock, 0.002, 0.0).unwrap();
    sound(&pieces, &stock, 0.002, 0.0, &nested);
    assert!((nested.bought_length - 4.0).abs() < 1e-12 && nested.proven);
    // First-fit would take 6 + 6; 6 + 3 holds 3.5 + 2.4 and 2.9.
    let pieces = [3.5, 2.9, 2.4];
    let nested = nest(&pieces, &stock[..1], 0.002, 0.0).unwrap();
    assert_eq!(nested.bars.len(), 2);
    let nested = nest(&pieces, &[stock[0], stock[2]], 0.002, 0.0).unwrap();
    assert!((nested.bought_length - 9.0).abs() < 1e-12 && nested.proven);
    // A remnant on hand that holds all: nothing is bought.
    let hand = [Stock::bought(6.0), Stock::on_hand(2.0, 2)];
    let nested = nest(&[0.9, 0.9, 0.9, 0.9], &hand, 0.002, 0.0).unwrap();
    assert_eq!(
        (nested.bought_bars, nested.bars.len(), nested.proven),
        (0, 2, true)
    );
}

#[test]
fn failures() {
    let bar = [Stock::bought(6.0)];
    assert!(matches!(
        nest(&[0.5, 6.1], &bar, 0.003, 0.0),
        Err(StockError::PieceTooLong { index: 1, .. })
    ));
    // A piece of the whole bar needs no cut.
    assert_eq!(nest(&[6.0], &bar, 0.003, 0.0).unwrap().bars.len(), 1);
    assert_eq!(nest(&[1.0], &[], 0.0, 0.0), Err(StockError::NoStock));
    let few = [Stock::on_hand(2.0, 1)];
    assert_eq!(
        nest(&[1.5, 1.5], &few, 0.0, 0.0),
        Err(StockError::NotEnough { left: 1 })
    );
    assert!(nest(&[f64::NAN], &bar, 0.0, 0.0).is_err());
    assert!(nest(&[1.0], &bar, -0.1, 0.0).is_err());
    assert_eq!(nest(&[], &bar, 0.0, 0.0).unwrap().bars.len(), 0);
}

/// A long list stays within the proven ratio of its lower bound and ends.
#[test]
fn long_lists() {
    let pieces: Vec<f64> = (0..300)
        .map(|i| 0.3 + 0.007 * f64::from((i * 37) % 211))
        .collect();
    let stock = [Stock::bought(6.096)];
    let nested = nest(&pieces, &stock, 0.003, 0.01).unwrap();
    sound(&pieces, &stock, 0.003, 0.01, &nested);
    let (bars, bound) = (nested.bars.len(), nested.lower_bound.unwrap());
    assert!(
        bars >= bound && 9 * bars <= 11 * bound + 6 + 9,
        "{bars} {bound}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn as_brute_force(
        pieces in prop::collection::vec(20_u32..300, 1..9),
        kerf in 0_u32..4,
        trim in 0_u32..10,
    ) {
        let pieces: Vec<f64> = pieces.iter().map(|p| f64::from(*p) * 0.01).collect();
        let (kerf, trim) = (f64::from(kerf) * 0.001, f64::from(trim) * 0.01);
        let stock = [Stock::bought(4.0)];
        let nested = nest(&pieces, &stock, kerf, trim).unwrap();
        sound(&pieces, &stock, kerf, trim, &nested);
        let (bars, load) = brute(&pieces, 4.0 - trim + kerf, kerf);
        prop_assert!(nested.proven && nested.remnant_proven);
        prop_assert_eq!(nested.bars.len(), bars);
        let longest = (4.0 - trim - load).max(0.0);
        prop_assert!((nested.longest_remnant - longest).abs() < 1e-9, "{} {longest}", nested.longest_remnant);
    }

    /// Lists cut from full bars: the least is known, the bound never above it.
    #[test]
    fn cut_from_full_bars(cuts in prop::collection::vec(prop::collection::vec(1_u32..40, 1..4), 1..8)) {
        let mut pieces = Vec::new();
        for bar in &cuts {
            let sum: u32 = bar.iter().sum();
            let mut left = 120_i64;
            for share in bar {
                let piece = i64::from(share * 119 / sum).max(1).min(left - 1);
                left -= piece;
                pieces.push(piece as f64 * 0.05);
            }
            pieces.push(left as f64 * 0.05);
        }
        let stock = [Stock::bought(6.0)];
        let nested = nest(&pieces, &stock, 0.0, 0.0).unwrap();
        sound(&pieces, &stock, 0.0, 0.0, &nested);
        prop_assert!(nested.lower_bound.unwrap() <= cuts.len());
        if nested.proven {
            prop_assert_eq!(nested.bars.len(), cuts.len());
        }
        prop_assert_eq!(&nested, &nest(&pieces, &stock, 0.0, 0.0).unwrap());
    }

    #[test]
    fn garbage_never_panics(
        pieces in prop::collection::vec(prop::num::f64::ANY, 0..6),
        sane in prop::collection::vec(0.0_f64..9.0, 0..6),
        stock in prop::collection::vec((prop::num::f64::ANY, 0_usize..3), 0..3),
        kerf in prop::num::f64::ANY,
    ) {
        let mut bars: Vec<Stock> = stock.iter().map(|(l, n)| Stock::on_hand(*l, *n)).collect();
        let _ = nest(&pieces, &bars, kerf, kerf);
        bars.retain(|bar| bar.length > 0.0 && bar.length < 9.0);
        bars.push(Stock::bought(9.0));
        let _ = nest(&sane, &bars, kerf.abs(), 0.0);
        let _ = nest(&sane, &bars, 0.0, kerf.abs());
    }
}
