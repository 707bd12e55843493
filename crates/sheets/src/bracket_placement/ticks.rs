//! Ordinate dimensions of the views: one label for each place, with the letters of all brackets that share it.

use crate::canvas::Canvas;
use crate::ordinate::{Axis, Ordinate, draw};
use crate::page::{Face, Ink};
use crate::type_metrics::width;

const SIZE: f64 = 9.5;
/// Leader's jog, its air and some room at the edge, mm.
const LEADER: f64 = 7.0;

/// A place to dimension, in the model: m along the axis, m across where its leader begins.
#[derive(Debug, Clone)]
pub(super) struct Tick {
    pub(super) letters: Vec<String>,
    pub(super) value: String,
    pub(super) at: f64,
    pub(super) from: f64,
    pub(super) strong: bool,
}

impl Tick {
    fn label(&self) -> String {
        match self.letters.len() {
            0 => self.value.clone(),
            1..=4 => format!("{} {}", self.letters.join(", "), self.value),
            n => format!("{} + {} {}", self.letters[0], n - 1, self.value),
        }
    }
}

/// Ticks that read alike at one place, made one. `outward` is the sign of the direction the leaders run in.
pub(super) fn merged(ticks: Vec<Tick>, outward: f64) -> Vec<Tick> {
    let mut out: Vec<Tick> = Vec::new();
    for t in ticks {
        match out
            .iter_mut()
            .find(|o| (o.at - t.at).abs() < 1e-4 && o.value == t.value)
        {
            Some(o) => {
                for l in t.letters {
                    if !o.letters.contains(&l) {
                        o.letters.push(l);
                    }
                }
                if (t.from - o.from) * outward < 0.0 {
                    o.from = t.from;
                }
                o.strong |= t.strong;
            }
            None => out.push(t),
        }
    }
    out
}

/// Room a side of the drawing needs for its labels, mm.
pub(super) fn margin(ticks: &[Tick]) -> f64 {
    ticks
        .iter()
        .map(|t| width(&t.label(), Face::Bold, SIZE))
        .fold(0.0, f64::max)
        + LEADER
}

/// Draws the ticks; those that do not fit are left out, the weak ones first. `place` maps a tick to the
/// paper: along and across, mm. Gives how many were left out.
pub(super) fn dimension(
    c: &mut Canvas,
    axis: Axis,
    range: (f64, f64),
    ticks: &[Tick],
    datum: Option<Ordinate>,
    place: impl Fn(&Tick) -> (f64, f64),
) -> usize {
    let mut order: Vec<&Tick> = ticks.iter().collect();
    order.sort_by_key(|t| !t.strong);
    let mut marks: Vec<Ordinate> = datum.into_iter().collect();
    let keep = marks.len();
    marks.extend(order.into_iter().map(|t| {
        let (at, from) = place(t);
        let o = Ordinate::new(at, from, t.label());
        if t.strong { o.bold() } else { o.ink(Ink::Dim) }
    }));
    let mut left_out = 0;
    loop {
        for size in [SIZE, 8.5, 7.5] {
            if draw(c, axis, range, &marks, size).is_ok() {
                return left_out;
            }
        }
        if marks.len() <= keep {
            return left_out + marks.len();
        }
        marks.pop();
        left_out += 1;
    }
}

/// Says how many places a drawing does not dimension; empty if none.
pub(super) fn say(left_out: usize) -> String {
    match left_out {
        0 => String::new(),
        n => format!("{n} more in the table of holes"),
    }
}
