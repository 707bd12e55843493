//! The running head: title, subtitle, page count and the string line with its knots; and the foot line.

use crate::canvas::Canvas;
use crate::page::{Face, Ink, Item, Paper, Pen, Text, pt};
use crate::type_metrics::{leading, wrap_to};

/// State of one phase on the string line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Knot {
    /// Not begun: open circle.
    #[default]
    Open,
    /// Done: filled circle.
    Done,
    /// The phase this sheet belongs to: filled in accent inside a ring.
    Here,
}

/// What every page of a sheet carries.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetSetup {
    /// The paper.
    pub paper: Paper,
    /// Title, bold; at most two lines are printed.
    pub title: String,
    /// Line under the title: project, revision, date, units; at most two lines are printed.
    pub subtitle: String,
    /// The phases in order, any number; empty for a plain string.
    pub knots: Vec<Knot>,
    /// Line at the foot; at most two lines are printed.
    pub footer: String,
}

impl SheetSetup {
    /// `count` knots, those before `here` (from 0) done, `here` in hand, the others open.
    pub fn knots_at(count: usize, here: usize) -> Vec<Knot> {
        (0..count)
            .map(|k| match k.cmp(&here) {
                std::cmp::Ordering::Less => Knot::Done,
                std::cmp::Ordering::Equal => Knot::Here,
                std::cmp::Ordering::Greater => Knot::Open,
            })
            .collect()
    }
}

/// Left and right margin of the type area, mm (0.5 in).
pub(crate) const SIDE: f64 = 12.7;
const SIZE_TITLE: f64 = 18.0;
const SIZE_SUB: f64 = 9.5;
const SIZE_COUNT: f64 = 10.5;
const SIZE_FOOT: f64 = 8.0;
const COUNT_ROOM: f64 = 32.0;

/// Head and foot laid out once for a sheet.
pub(crate) struct Frame {
    pub(crate) items: Vec<Item>,
    /// Where the content begins and ends, mm down the page.
    pub(crate) top: f64,
    pub(crate) bottom: f64,
    count_at: (f64, f64),
}

impl Frame {
    pub(crate) fn new(setup: &SheetSetup) -> Self {
        let size = setup.paper.size();
        let (x0, x1) = (SIDE, size.w - SIDE);
        let mut c = Canvas::new(size.w, size.h);
        let first = 15.4;
        let mut y = first;
        for (k, line) in wrap_to(
            &setup.title,
            Face::Bold,
            SIZE_TITLE,
            x1 - x0 - COUNT_ROOM,
            2,
        )
        .into_iter()
        .enumerate()
        {
            y = first + k as f64 * leading(SIZE_TITLE);
            c.text(Text::new(x0, y, SIZE_TITLE, line).bold());
        }
        if !setup.subtitle.trim().is_empty() {
            y += 1.3;
            for line in wrap_to(&setup.subtitle, Face::Regular, SIZE_SUB, x1 - x0, 2) {
                y += leading(SIZE_SUB) * 0.95;
                c.text(Text::new(x0, y, SIZE_SUB, line).ink(Ink::Dim));
            }
        }
        y += 4.0;
        string_line(&mut c, x0, x1, y, &setup.knots);
        let top = y + 6.0;

        let foot = wrap_to(&setup.footer, Face::Regular, SIZE_FOOT, x1 - x0, 2);
        let last = size.h - 9.2;
        let mut bottom = last;
        for (k, line) in foot.iter().rev().enumerate() {
            bottom = last - k as f64 * leading(SIZE_FOOT);
            c.text(Text::new(x0, bottom, SIZE_FOOT, line.clone()).ink(Ink::Dim));
        }
        Self {
            items: c.items,
            top,
            bottom: bottom - 5.0,
            count_at: (x1, first),
        }
    }

    /// Head and foot of page `n` of `m`.
    pub(crate) fn page(&self, n: usize, m: usize) -> Vec<Item> {
        let mut items = self.items.clone();
        let (x, y) = self.count_at;
        items.push(Item::Text(
            Text::new(x, y, SIZE_COUNT, format!("{n} of {m}"))
                .ink(Ink::Dim)
                .right(),
        ));
        items
    }
}

fn string_line(c: &mut Canvas, x0: f64, x1: f64, y: f64, knots: &[Knot]) {
    let string = Pen::new(0.4, Ink::Ink);
    c.line(pt(x0, y), pt(x1, y), string);
    let (first, last) = (x0 + 2.2, x1 - 2.2);
    let step = if knots.len() > 1 {
        (last - first) / (knots.len() - 1) as f64
    } else {
        0.0
    };
    let radius = (step * 0.3).clamp(0.2, 1.35);
    for (k, knot) in knots.iter().enumerate() {
        let at = pt(first + k as f64 * step, y);
        match knot {
            Knot::Open => c.circle(at, radius, Some(Pen::OBJECT), Some(Ink::White)),
            Knot::Done => c.circle(at, radius, Some(Pen::OBJECT), Some(Ink::Ink)),
            Knot::Here => {
                c.circle(
                    at,
                    radius * 1.6,
                    Some(Pen::new(0.35, Ink::Accent)),
                    Some(Ink::White),
                );
                c.circle(at, radius, None, Some(Ink::Accent));
            }
        }
    }
}
