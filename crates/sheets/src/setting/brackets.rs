//! Every bracket with a link on it, small, all at one scale: which hole is in use.

use build::{Link, Sides};

use super::facts::Setting;
use crate::canvas::{Canvas, View};
use crate::error::SheetError;
use crate::layout::Composer;
use crate::ordinate::spread;
use crate::page::{Face, Ink, Pen, Pt, Text, pt};
use crate::parts::facts::{Hole, Piece, Used};
use crate::parts::plate::{extent, outline};
use crate::type_metrics::{cap_height, leading, width, wrap_to};

const SIZE_LETTER: f64 = 11.0;
const SIZE: f64 = 9.0;
/// Sizes the numbers of the holes are tried in, points.
const SIZE_NUMBERS: [f64; 2] = [9.0, 7.5];
/// Most brackets in a row.
const ACROSS: usize = 6;
/// Widest a bracket's place is, mm.
const WIDEST: f64 = 46.0;
/// Between two places, mm.
const GAP: f64 = 3.0;
/// From the plate to the numbers of its holes, and the longest of them, mm.
const NUMBERS: f64 = 11.3;
/// Between the words and the plate, mm.
const UNDER_WORDS: f64 = 2.6;
/// Scales, model over paper. True size is left to the templates.
const SCALES: [f64; 17] = [
    2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0,
];
const PLATE: Pen = Pen::new(0.3, Ink::Ink);
const HOLE: Pen = Pen::new(0.25, Ink::Ink);

/// A bracket measured.
struct Tile<'a, 'b> {
    piece: &'a Piece<'b>,
    letter_w: f64,
    label: Vec<String>,
    links: Vec<String>,
    holes: Vec<String>,
    /// A hole asked for that the bracket has not.
    missing: bool,
    corners: Vec<(f64, f64)>,
    /// Plate and holes, m from hole 1: ahead 0, ahead 1, up 0, up 1.
    extent: [f64; 4],
}

/// Draws them; plates no higher than `most` mm where a scale allows it.
pub(super) fn tiles(sheet: &mut Composer, s: &Setting<'_>, most: f64) -> Result<(), SheetError> {
    let used: Vec<(&Piece<'_>, Vec<&Link>)> = s
        .facts
        .pieces
        .iter()
        .map(|p| (p, s.links_on(p)))
        .filter(|(_, links)| !links.is_empty())
        .collect();
    if used.is_empty() {
        return super::nothing(sheet, "Brackets", "no bracket has a link on it yet");
    }
    let rows = used.len().div_ceil(ACROSS);
    let across = used.len().div_ceil(rows);
    let step = ((sheet.width() + GAP) / across as f64).min(WIDEST + GAP);
    let wide = step - GAP;
    let tiles: Vec<Tile<'_, '_>> = used
        .iter()
        .map(|(p, links)| Tile::new(p, links, wide))
        .collect();
    let scale = scale(&tiles, wide - NUMBERS, most);
    let plans: Vec<Plan> = tiles.iter().map(|t| t.plan(scale, wide)).collect();

    let mut note = format!("scale 1 : {scale} · front → · filled: the hole in use");
    if tiles.iter().any(|t| t.piece.holes.iter().any(one_side)) {
        note.push_str(", L left, R right");
    }
    if tiles
        .iter()
        .zip(&plans)
        .any(|(t, plan)| plan.numbers.len() < t.piece.holes.len())
    {
        note.push_str(" · too close to number them all");
    }
    sheet.section("Brackets", &note);
    for (row, plans) in tiles.chunks(across).zip(plans.chunks(across)) {
        let words = row.iter().map(Tile::words_height).fold(0.0, f64::max);
        let high = plans.iter().map(|p| p.high).fold(0.0, f64::max);
        sheet.draw(words + UNDER_WORDS + high, |c| {
            for (k, (tile, plan)) in row.iter().zip(plans).enumerate() {
                tile.draw(c, k as f64 * step, words + UNDER_WORDS, plan);
            }
        })?;
    }
    Ok(())
}

fn one_side(h: &Hole) -> bool {
    matches!(h.used, Used::Left | Used::Right)
}

/// The largest scale at which every plate fits; past the coarsest, as coarse as it must be.
fn scale(tiles: &[Tile<'_, '_>], wide: f64, high: f64) -> f64 {
    let needs = tiles
        .iter()
        .map(|t| {
            let [x0, x1, z0, z1] = t.extent;
            (1000.0 * (x1 - x0) / wide).max(1000.0 * (z1 - z0) / high)
        })
        .fold(0.0, f64::max);
    SCALES
        .into_iter()
        .find(|s| *s >= needs)
        .unwrap_or_else(|| needs.ceil())
}

/// Where things stand at a scale, mm from the top left of the plate's place.
struct Plan {
    view: View,
    radius: f64,
    /// Right edge of plate and holes.
    right: f64,
    /// Height of all.
    high: f64,
    size: f64,
    /// Index of the hole, height of its number's middle.
    numbers: Vec<(usize, f64)>,
}

impl<'a, 'b> Tile<'a, 'b> {
    fn new(piece: &'a Piece<'b>, links: &[&Link], wide: f64) -> Self {
        let bracket = piece.bracket;
        let corners = outline(bracket);
        let mut e = extent(&corners);
        let r = 0.5 * bracket.drill.si();
        for (x, z) in (1..=bracket.hole_count()).filter_map(|n| bracket.hole_shift(n)) {
            e = [
                e[0].min(x - r),
                e[1].max(x + r),
                e[2].min(z - r),
                e[3].max(z + r),
            ];
        }
        let letter_w = width(&piece.letter, Face::Bold, SIZE_LETTER) + 1.8;
        let (holes, missing) = holes_in_words(piece, links);
        let names: Vec<&str> = links.iter().map(|l| l.label.trim()).collect();
        Self {
            piece,
            letter_w,
            label: wrap_to(
                bracket.label.trim(),
                Face::Regular,
                SIZE,
                wide - letter_w,
                3,
            ),
            links: wrap_to(&names.join(", "), Face::Regular, SIZE, wide, 2),
            holes: wrap_to(&holes, Face::Bold, SIZE, wide, 2),
            missing,
            corners,
            extent: e,
        }
    }

    fn words_height(&self) -> f64 {
        let lines = self.label.len() + self.links.len() + self.holes.len();
        cap_height(SIZE_LETTER) + (lines - 1) as f64 * leading(SIZE) + 1.0
    }

    fn plan(&self, scale: f64, wide: f64) -> Plan {
        let mm = 1000.0 / scale;
        let [x0, x1, z0, z1] = self.extent.map(|v| v * mm);
        let first = self.piece.bracket.at.si();
        let view = View {
            origin: pt(-x0 - first[0] * mm, z1 + first[2] * mm),
            mm_per_m: mm,
            mirrored: false,
        };
        let plate = z1 - z0;
        let ys: Vec<f64> = self
            .piece
            .holes
            .iter()
            .map(|h| view.at(h.at[0], h.at[2]).y)
            .collect();
        let (size, numbers) = self.numbers(&ys, plate);
        let low = numbers
            .iter()
            .map(|(_, y)| y + 0.6 * cap_height(size))
            .fold(plate, f64::max);
        Plan {
            view,
            radius: (0.5 * self.piece.bracket.drill.si() * mm).max(0.35),
            right: (x1 - x0).min(wide),
            high: low,
            size,
            numbers,
        }
    }

    /// As many numbers as there is room for: those in use and the first always, of the others every one, every
    /// second, every third …
    fn numbers(&self, ys: &[f64], plate: f64) -> (f64, Vec<(usize, f64)>) {
        let holes = &self.piece.holes;
        let all = holes.len();
        for every in 1..=all.max(1) {
            let kept: Vec<usize> = (0..all)
                .filter(|k| k % every == 0 || holes[*k].used.anywhere())
                .collect();
            for size in SIZE_NUMBERS {
                let tall = cap_height(size);
                let range = (-1.0, plate.max(tall * 2.0 + 2.0) + 1.0);
                let wanted: Vec<f64> = kept.iter().map(|k| ys[*k]).collect();
                let sizes = vec![tall; kept.len()];
                if let Ok(at) = spread(&wanted, &sizes, 0.9, range) {
                    return (size, kept.into_iter().zip(at).collect());
                }
            }
        }
        (SIZE, Vec::new())
    }

    fn draw(&self, c: &mut Canvas, x: f64, top: f64, plan: &Plan) {
        self.words(c, x);
        let at = |p: Pt| pt(x + p.x, top + p.y);
        let first = self.piece.bracket.at.si();
        let corners: Vec<Pt> = self
            .corners
            .iter()
            .map(|(a, z)| at(plan.view.at(first[0] + a, first[2] + z)))
            .collect();
        c.polygon(corners, Some(PLATE), Some(Ink::White));
        let centre = |h: &Hole| at(plan.view.at(h.at[0], h.at[2]));
        for (k, y) in &plan.numbers {
            let (from, to) = (
                centre(&self.piece.holes[*k]),
                pt(x + plan.right + 1.4, top + y),
            );
            // A number level with its hole, with no other hole between, needs no line to it.
            let between = self.piece.holes.iter().map(centre).any(|o| {
                o.x > from.x + 0.3 && (o.y - from.y).abs() < plan.radius + cap_height(plan.size)
            });
            if (from.y - to.y).abs() > 0.25 || between {
                c.line(from, to, Pen::LEADER);
            }
        }
        for h in &self.piece.holes {
            let fill = if h.used.anywhere() {
                Ink::Ink
            } else {
                Ink::White
            };
            c.circle(centre(h), plan.radius, Some(HOLE), Some(fill));
        }
        // Where holes run into each other, the one in use must stay whole.
        for h in self.piece.holes.iter().filter(|h| h.used.anywhere()) {
            c.circle(centre(h), plan.radius, None, Some(Ink::Ink));
        }
        for (k, y) in &plan.numbers {
            let h = &self.piece.holes[*k];
            let side = match h.used {
                Used::Left => " L",
                Used::Right => " R",
                _ => "",
            };
            let text = Text::new(
                x + plan.right + 2.3,
                top + y + 0.5 * cap_height(plan.size),
                plan.size,
                format!("{}{side}", h.n),
            );
            c.text(if h.used.anywhere() {
                text.bold()
            } else {
                text.ink(Ink::Dim)
            });
        }
    }

    fn words(&self, c: &mut Canvas, x: f64) {
        let mut base = cap_height(SIZE_LETTER) + 0.4;
        c.text(
            Text::new(x, base, SIZE_LETTER, self.piece.letter.clone())
                .bold()
                .ink(Ink::Accent),
        );
        let lines = |c: &mut Canvas,
                     base: &mut f64,
                     lines: &[String],
                     x: f64,
                     dress: &dyn Fn(Text) -> Text| {
            for line in lines {
                c.text(dress(Text::new(x, *base, SIZE, line.clone())));
                *base += leading(SIZE);
            }
        };
        lines(c, &mut base, &self.label, x + self.letter_w, &|t| t);
        lines(c, &mut base, &self.links, x, &|t| t.ink(Ink::Dim));
        let ink = if self.missing { Ink::Accent } else { Ink::Ink };
        lines(c, &mut base, &self.holes, x, &|t| t.bold().ink(ink));
    }
}

/// "hole 2 of 4", "hole 2 L, 3 R of 4"; and whether a hole asked for is not there.
fn holes_in_words(piece: &Piece<'_>, links: &[&Link]) -> (String, bool) {
    let (mut both, mut left, mut right) = (Vec::new(), Vec::new(), Vec::new());
    for link in links {
        for end in [&link.at_frame, &link.at_axle] {
            if end.bracket != piece.bracket.id {
                continue;
            }
            let other = end.right_hole.filter(|_| link.sides == Sides::Pair);
            match other {
                Some(r) if r != end.hole => {
                    left.push(end.hole);
                    right.push(r);
                }
                _ => both.push(end.hole),
            }
        }
    }
    let all = piece.holes.len();
    let there = |n: &usize| (1..=all).contains(n);
    let missing = !both.iter().chain(&left).chain(&right).all(there);
    let mut names = Vec::new();
    for (list, side) in [(both, ""), (left, " L"), (right, " R")] {
        let mut list = list;
        list.sort_unstable();
        list.dedup();
        names.extend(list.iter().map(|n| {
            let gone = if there(n) { "" } else { " (not there)" };
            format!("{n}{side}{gone}")
        }));
    }
    (format!("hole {} of {all}", names.join(", ")), missing)
}
