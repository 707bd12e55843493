//! Cases of kind `tube_nest`.

use geometry::tube::stock::{Stock, StockError, nest};
use serde_json::{Value, json};

use crate::compare::Report;
use crate::tubes::{Read, field, known, list, number};

fn stock(given: &Value) -> Read<Vec<Stock>> {
    let one = |value: &Value, on_hand: bool| -> Read<Stock> {
        if let Some(length) = value.as_f64() {
            let count = on_hand.then_some(1);
            return Ok(Stock {
                length,
                count,
                on_hand,
            });
        }
        let length = number(value, &["length", "stock"]).ok_or("stock length")?;
        let count = number(value, &["count", "number", "quantity", "available"]);
        Ok(Stock {
            length,
            count: count.map(|n| n as usize),
            on_hand: value["on_hand"].as_bool().unwrap_or(on_hand),
        })
    };
    let mut all = Vec::new();
    for (names, on_hand) in [
        (&["remnants", "on_hand", "offcuts"][..], true),
        (&["stock", "stocks", "stock_lengths", "bars"][..], false),
    ] {
        match field(given, names) {
            Some(Value::Array(list)) => {
                for value in list {
                    all.push(one(value, on_hand)?);
                }
            }
            Some(value) => all.push(one(value, on_hand)?),
            None => {}
        }
    }
    Ok(all)
}

/// Cut lists by name.
pub fn nests(case: &Value, report: &mut Report) {
    let near = case["tolerance"]["length"].as_f64().unwrap_or(1e-9);
    let lists = case["lists"].as_object();
    let single;
    let lists: Vec<(&str, &Value, &Value)> = match lists {
        Some(lists) => {
            let expected = &case["expected"];
            lists
                .iter()
                .map(|(k, v)| (k.as_str(), v, &expected[k]))
                .collect()
        }
        None => {
            single = field(case, &["list", "nest", "system"]).unwrap_or(case);
            vec![("list", single, &case["expected"])]
        }
    };
    for (name, given, want) in lists {
        let names = [
            "pieces",
            "stock",
            "stocks",
            "stock_lengths",
            "bars",
            "kerf",
            "trim",
            "remnants",
            "on_hand",
            "offcuts",
            "note",
            "name",
        ];
        let stock = match known(given, &names).and_then(|()| stock(given)) {
            Ok(stock) => stock,
            Err(why) => {
                report.skip(&format!("{name}: {why}"));
                continue;
            }
        };
        let pieces = list(&given["pieces"]);
        let (kerf, trim) = (
            number(given, &["kerf"]).unwrap_or(0.0),
            number(given, &["trim"]).unwrap_or(0.0),
        );
        match nest(&pieces, &stock, kerf, trim) {
            Ok(nested) => {
                report.check(name, want.get("failure").is_none(), || {
                    "no failure".to_owned()
                });
                // The answer itself: every piece once, every bar within its length.
                let mut seen = vec![0; pieces.len()];
                for bar in &nested.bars {
                    let used: f64 = bar.pieces.iter().map(|p| pieces[p.piece] + kerf).sum();
                    let room = stock[bar.stock].length - trim + kerf;
                    report.check(name, used <= room + 1e-9, || format!("{used} in {room}"));
                    bar.pieces.iter().for_each(|p| seen[p.piece] += 1);
                }
                report.check(name, seen.iter().all(|n| *n == 1), || {
                    "a piece lost".to_owned()
                });
                let mut by_stock: Vec<usize> = vec![0; stock.len()];
                nested.bars.iter().for_each(|bar| by_stock[bar.stock] += 1);
                let got = json!({
                    "least_bars": nested.bars.len(), "bars": nested.bars.len(),
                    "proven": nested.proven, "ffd_bars": nested.first_fit_bars,
                    "lower_bound_L2": nested.lower_bound,
                    "least_length": nested.bought_length,
                    "least_length_bought": nested.bought_length,
                    "length_bought": nested.bought_length, "bought": nested.bought_length,
                    "bought_length": nested.bought_length, "least_total": nested.bought_length,
                    "total_length": nested.bought_length, "bought_bars": nested.bought_bars,
                    "longest_remnant": nested.longest_remnant,
                    "best_remnant": nested.longest_remnant,
                    "largest_remnant": nested.longest_remnant,
                    "by_stock": by_stock, "bars_by_stock": by_stock,
                });
                let leaf = |path: &str, _: f64| {
                    let counted = ["bars", "bound", "by_stock"]
                        .iter()
                        .any(|w| path.contains(w));
                    Some(if counted { 1e-12 } else { near })
                };
                report.tree(name, "", Some(&got), want, &leaf);
            }
            Err(error) => {
                let got = match &error {
                    StockError::PieceTooLong { index, .. } => {
                        json!({"failure": "piece_longer_than_stock", "index": index})
                    }
                    other => json!({"failure": other.to_string()}),
                };
                report.check(name, want.get("failure").is_some(), || error.to_string());
                report.tree(name, "", Some(&got), want, &|_, _| Some(near));
            }
        }
    }
}
