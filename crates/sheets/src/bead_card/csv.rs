//! Every bead laid and to come, one a line, for a spreadsheet.

use units::{Kind, display_value, unit_name};

use super::card::cards;
use super::table::{agreed, ahead, story};
use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};
use crate::welding::facts::Facts;

pub(super) fn table(f: &Facts<'_>) -> Table {
    let mut t = Table::new(
        [
            "correction",
            "dimension",
            "unit",
            "wanted",
            "tolerance",
            "what",
            "bead",
            "beads laid",
            "on tube",
            "expected",
            "low",
            "high",
            "measured",
            "moved",
            "agreed",
            "who",
            "when",
            "note",
            "why there is no plan",
        ]
        .map(Col::left),
    );
    let length = |m: f64| {
        let v = display_value(Kind::Length, m, &f.shop);
        if v.is_finite() {
            digits(v)
        } else {
            String::new()
        }
    };
    let unit = unit_name(Kind::Length, &f.shop);
    for card in cards(f) {
        let (document, study) = (card.document, card.study);
        let place = study.dimension;
        let d = place.and_then(|k| f.build.weld_out.dimensions.get(k));
        let label = d.map_or(document.dimension.clone(), |d| d.label.clone());
        let head = [
            document.id.clone(),
            label,
            unit.to_owned(),
            d.map_or_else(String::new, |d| length(d.want.si())),
            place
                .and_then(|k| f.dimension(k)?.tolerance)
                .map_or_else(String::new, length),
        ];
        let mut push = |rest: [String; 14]| {
            let cells = head.iter().cloned().chain(rest).map(Cell::from);
            t.push(Row::new(cells));
        };
        let none = String::new;
        let plan = match &study.plan {
            Ok(plan) => plan,
            Err(why) => {
                let mut row: [String; 14] = std::array::from_fn(|_| none());
                row[0] = "no plan".into();
                row[13] = why.show(&f.shop);
                push(row);
                continue;
            }
        };
        push([
            "before the first".into(),
            "0".into(),
            "0".into(),
            none(),
            none(),
            none(),
            none(),
            length(document.start.si()),
            none(),
            none(),
            document.who.clone(),
            document.when.clone(),
            none(),
            none(),
        ]);
        let mut laid = 0_u32;
        for (x, told) in document.laid.iter().zip(story(plan)) {
            let (m, half) = (&told.taken, told.half);
            laid = laid.saturating_add(x.beads);
            push([
                "laid".into(),
                laid.to_string(),
                x.beads.to_string(),
                f.part(&x.on),
                length(m.expected_dimension),
                length(m.expected_dimension - half),
                length(m.expected_dimension + half),
                length(x.value.si()),
                length(told.change),
                agreed(m).into(),
                x.who.clone(),
                x.when.clone(),
                x.note.clone(),
                none(),
            ]);
        }
        let advice = plan.next();
        let lay = advice.lay.max(1);
        let forecast = plan.forecast(ahead(&advice));
        for (k, x) in (1_u32..).zip(forecast.iter().skip(1)) {
            let turn = ((k - 1) / lay) as usize;
            push([
                "to come".into(),
                laid.saturating_add(k).to_string(),
                none(),
                card.tube(f, card.site_after(turn)),
                length(x.mean),
                length(x.low),
                length(x.high),
                none(),
                none(),
                none(),
                none(),
                none(),
                none(),
                none(),
            ]);
        }
    }
    t
}
