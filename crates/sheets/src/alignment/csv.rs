//! The card for a spreadsheet: what, where, value, unit, and columns to fill in.

use units::{Kind, Shop, display_value, unit_name};

use super::Card;
use super::tables::{ANGLES, curve, dimensions, short};
use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};

pub(super) fn table(card: Option<&Card<'_>>, shop: &Shop) -> Table {
    let heads = [
        "what",
        "of",
        "value",
        "unit",
        "left measured",
        "right measured",
    ];
    let mut t = Table::new(heads.map(Col::left));
    let Some(c) = card else { return t };
    let mut put = |what: &str, of: String, kind: Kind, si: f64| {
        let v = display_value(kind, si, shop);
        let value = if v.is_finite() {
            digits(v)
        } else {
            String::new()
        };
        let row = [what.to_owned(), of, value, unit_name(kind, shop).to_owned()];
        t.push(Row::new(row.map(Cell::from)));
    };
    for (id, name) in ANGLES {
        if let Some(Ok(v)) = c.study.reading(id).map(|r| &r.value) {
            put("set", name.to_owned(), Kind::Angle, *v);
        }
    }
    for (a, effect) in c.front.adjusters.iter().zip(&c.motion.adjusters) {
        let Ok((_, one)) = effect else { continue };
        for (word, v) in [
            ("camber", one.camber),
            ("caster", one.caster),
            ("toe-in", one.toe_in),
        ] {
            let of = format!("{}: {word}", short(&a.label));
            put("one turn", of, Kind::Angle, v);
        }
    }
    let unit = unit_name(Kind::Length, shop);
    for [travel, toe] in curve(c) {
        let z = display_value(Kind::Length, travel, shop);
        put(
            "toe change",
            format!("travel {} {unit}", digits(z)),
            Kind::Angle,
            toe,
        );
    }
    for (name, kind, si) in dimensions(c) {
        put("cut and place", name.to_owned(), kind, si);
    }
    t
}
