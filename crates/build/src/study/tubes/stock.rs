//! Bars to cut the tubes from.

use geometry::tube::stock::{Nested, Stock, StockError, nest};

use super::super::Phrase;
use super::{TubeStudy, TubesStudy};
use crate::{Build, TubeSection};

/// Length of a bar where none is entered, m: 20 ft (common practice, no source).
const USUAL_BAR: f64 = 6.096;

/// Pieces of one section and material, and the bars they come from.
#[derive(Debug, Clone)]
pub struct Nest {
    /// Section.
    pub section: TubeSection,
    /// Material.
    pub material: String,
    /// Places of the tubes among the assembly's.
    pub tubes: Vec<usize>,
    /// Length to saw of each, m.
    pub lengths: Vec<f64>,
    /// Bars offered: short name of the stock row (none: the usual bar), length m.
    pub bars: Vec<(Option<String>, f64)>,
    /// Which piece from which bar.
    pub nested: Result<Nested, Phrase>,
    /// Length to saw together, m.
    pub length: f64,
    /// Mass together, kg.
    pub mass: f64,
    stock: Vec<Stock>,
    kerf: f64,
    trim: f64,
}

pub(super) fn nests(b: &Build, tubes: &[TubeStudy], earlier: Option<&TubesStudy>) -> Vec<Nest> {
    let work = &b.tube_work;
    let mut nests: Vec<Nest> = Vec::new();
    for (i, (tube, study)) in b.assembly.tubes.iter().zip(tubes).enumerate() {
        let Ok(part) = &study.part else { continue };
        let found = nests
            .iter_mut()
            .find(|n| n.section == tube.section && n.material == tube.material);
        let nest = match found {
            Some(nest) => nest,
            None => {
                nests.push(empty(b, tube.section, &tube.material));
                let Some(last) = nests.last_mut() else {
                    continue;
                };
                last
            }
        };
        nest.tubes.push(i);
        nest.lengths.push(part.cut);
        nest.length += part.cut;
        nest.mass += part.mass;
    }
    for n in &mut nests {
        let same = earlier.and_then(|e| {
            e.nests.iter().find(|old| {
                old.lengths == n.lengths
                    && old.stock == n.stock
                    && old.tubes == n.tubes
                    && (old.kerf, old.trim) == (n.kerf, n.trim)
            })
        });
        n.nested = match same {
            Some(old) => old.nested.clone(),
            None => nest(&n.lengths, &n.stock, work.kerf.si(), work.trim.si())
                .map_err(|e| failure(b, n, &e)),
        };
    }
    nests
}

fn empty(b: &Build, section: TubeSection, material: &str) -> Nest {
    let rows = b
        .tube_work
        .stock
        .iter()
        .filter(|x| x.section == section && x.material == material);
    let mut bars = Vec::new();
    let mut stock = Vec::new();
    for row in rows {
        bars.push((Some(row.id.clone()), row.length.si()));
        stock.push(match row.count {
            None => Stock::bought(row.length.si()),
            Some(n) => Stock::on_hand(row.length.si(), n as usize),
        });
    }
    if stock.is_empty() {
        bars.push((None, USUAL_BAR));
        stock.push(Stock::bought(USUAL_BAR));
    }
    Nest {
        section,
        material: material.to_owned(),
        tubes: Vec::new(),
        lengths: Vec::new(),
        bars,
        nested: Err(Phrase::default()),
        length: 0.0,
        mass: 0.0,
        stock,
        kerf: b.tube_work.kerf.si(),
        trim: b.tube_work.trim.si(),
    }
}

fn failure(b: &Build, n: &Nest, e: &StockError) -> Phrase {
    let name = |piece: usize| {
        let tube = n.tubes.get(piece).and_then(|i| b.assembly.tubes.get(*i));
        tube.map_or_else(|| "a piece".to_owned(), |t| t.label.clone())
    };
    match *e {
        StockError::PieceTooLong { index: piece, .. } => {
            Phrase::from(format!("{} is ", name(piece)))
                .len(n.lengths.get(piece).copied().unwrap_or(0.0))
                .t(" to saw: longer than any bar")
        }
        StockError::NotEnough { .. } => {
            Phrase::from("the bars on the rack are not enough for these pieces")
        }
        _ => Phrase::from("these pieces can not be laid out"),
    }
}
