//! One page's part of a wrap, drawn.

use super::template::{TAB, Template};
use super::tiles::{EDGE, Tile};
use crate::bracket_placement::drawing::Area;
use crate::canvas::{Canvas, View};
use crate::check::extent;
use crate::page::{Align, Dash, Face, Ink, Item, Pen, Pt, Text, pt};
use crate::tubework::ends;
use crate::type_metrics::{cap_height, fit, width};

/// The cut.
const CUT: Pen = Pen::new(0.5, Ink::Ink);
/// The straight edge, flush with the sawn end.
const FLUSH: Pen = Pen::new(0.7, Ink::Ink);
const CLOSE: Pen = Pen::new(0.35, Ink::Accent);
const SCRIBE: Pen = Pen::new(0.35, Ink::Accent).dashed(Dash::DashDot);
const SIZE: f64 = 8.5;
/// Rows of words on the body, mm from its edge.
const ROWS: [f64; 3] = [4.6, 9.4, 14.2];
/// Between words, mm.
const APART: f64 = 0.6;

/// What is drawn so far: words keep clear of each other and of the cut.
struct Words<'a> {
    c: &'a mut Canvas,
    taken: Vec<[f64; 4]>,
    cut: Vec<Pt>,
    edge: [f64; 4],
}

impl Words<'_> {
    /// Puts a level text where its anchor says, if it is inside and on nothing else.
    fn put(&mut self, text: Text) -> bool {
        let Some(b) = extent(&Item::Text(text.clone())) else {
            return false;
        };
        let inside = b[0] >= self.edge[0] + 0.4
            && b[1] >= self.edge[1] + 0.4
            && b[2] <= self.edge[2] - 0.4
            && b[3] <= self.edge[3] - 0.4;
        if !inside || !self.free(b) {
            return false;
        }
        self.taken.push(b);
        self.c.label(text);
        true
    }

    fn free(&self, b: [f64; 4]) -> bool {
        let apart = |o: &[f64; 4]| {
            b[2] + APART <= o[0]
                || o[2] + APART <= b[0]
                || b[3] + APART <= o[1]
                || o[3] + APART <= b[1]
        };
        let on_cut = self
            .cut
            .iter()
            .any(|p| p.x > b[0] - 0.9 && p.x < b[2] + 0.9 && p.y > b[1] - 0.9 && p.y < b[3] + 0.9);
        self.taken.iter().all(apart) && !on_cut
    }
}

pub(super) fn tile(c: &mut Canvas, t: &Template, tile: &Tile) {
    let [l, _, _, high] = tile.window;
    let edge = [EDGE, EDGE, c.w - EDGE, c.h - EDGE];
    let area = Area {
        view: View::true_size(pt(EDGE - 1000.0 * l, EDGE + 1000.0 * high)),
        edge,
    };
    let half = 0.5 * t.girth;
    let (flush, body) = (t.up(0.0), t.up(t.height));
    let upright = |c: &mut Canvas, x: f64, pen: Pen| area.line(c, (x, flush), (x, body), pen);
    // The tab first: it lies under the other edge.
    area.line(c, (half, flush), (half + TAB, flush), Pen::THIN);
    area.line(c, (half, body), (half + TAB, body), Pen::THIN);
    upright(c, half + TAB, Pen::THIN);
    area.line(c, (-half, body), (half, body), Pen::THIN);
    area.line(c, (-half, flush), (half, flush), FLUSH);
    for line in &t.lines {
        upright(c, line.x, if line.scribe { SCRIBE } else { Pen::THIN });
    }
    upright(c, -half, CLOSE);
    upright(c, half, CLOSE);
    let cut: Vec<(f64, f64)> = t.cut.iter().map(|p| (p[1], t.up(p[2]))).collect();
    area.polyline(c, &cut, CUT);
    // Where another page goes on.
    seams(c, tile, edge);
    for r in &tile.registers {
        let at = area.view.at(r.at[0], r.at[1]);
        c.circle(at, 1.6, Some(Pen::THIN), None);
        c.cross(at, 3.2, Pen::THIN);
    }
    let curve: Vec<Pt> = cut.iter().map(|(x, y)| area.view.at(*x, *y)).collect();
    let mut words = Words {
        c,
        taken: Vec::new(),
        cut: curve,
        edge,
    };
    for r in &tile.registers {
        let at = area.view.at(r.at[0], r.at[1]);
        words
            .taken
            .push([at.x - 3.3, at.y - 3.3, at.x + 3.3, at.y + 3.3]);
    }
    for r in &tile.registers {
        register_name(&mut words, &r.name, area.view.at(r.at[0], r.at[1]));
    }
    print(&mut words, t, tile, &area);
}

/// The borders of a tile along which another page goes on.
fn seams(c: &mut Canvas, tile: &Tile, [l, t, r, b]: [f64; 4]) {
    let pen = Pen::new(0.18, Ink::Dim).dashed(Dash::Fine);
    let [col, row] = tile.place;
    let mut border = |on: bool, a: Pt, z: Pt| {
        if on {
            c.line(a, z, pen);
        }
    };
    border(col > 0, pt(l, t), pt(l, b));
    border(col + 1 < tile.of[0], pt(r, t), pt(r, b));
    border(row > 0, pt(l, t), pt(r, t));
    border(row + 1 < tile.of[1], pt(l, b), pt(r, b));
}

fn register_name(words: &mut Words<'_>, name: &str, at: Pt) {
    let up = cap_height(SIZE);
    for (dx, dy, align) in [
        (4.0, 0.5 * up, Align::Left),
        (-4.0, 0.5 * up, Align::Right),
        (0.0, -4.0, Align::Centre),
        (0.0, 4.0 + up, Align::Centre),
        (4.0, 5.0, Align::Left),
        (-4.0, 5.0, Align::Right),
        (4.0, -5.0, Align::Left),
        (-4.0, -5.0, Align::Right),
    ] {
        let text = Text::new(at.x + dx, at.y + dy, SIZE, name)
            .bold()
            .align(align);
        if words.put(text) {
            return;
        }
    }
}

/// Names of the lines, of the tube, and which way is which.
fn print(words: &mut Words<'_>, t: &Template, tile: &Tile, area: &Area) {
    let half = 0.5 * t.girth;
    // Rows are counted from the body's edge toward the cut.
    let body = area.view.at(0.0, t.up(t.height)).y;
    let sign = if t.up(1.0) > 0.0 { 1.0 } else { -1.0 };
    let base =
        |row: usize| body + sign * ROWS[row] + if sign > 0.0 { 0.0 } else { cap_height(SIZE) };
    let x = |m: f64| area.view.at(m, 0.0).x;
    for line in t.lines.iter().filter(|l| !l.name.is_empty()) {
        let text = Text::new(x(line.x), base(0), SIZE, line.name.clone()).bold();
        let ink = if line.scribe { Ink::Accent } else { Ink::Ink };
        words.put(text.ink(ink).centred());
    }
    for face in &t.faces {
        let mid = 0.5 * (face.x[0] + face.x[1]);
        let room = 1000.0 * (face.x[1] - face.x[0]).abs() - 3.0;
        if width(&face.name, Face::Regular, SIZE) <= room {
            words.put(Text::new(x(mid), base(0), SIZE, face.name.clone()).centred());
        }
    }
    let round = t.faces.is_empty();
    let close = if round { "6" } else { "close" };
    words.put(Text::new(x(-half) + 1.2, base(0), SIZE, close).bold());
    words.put(
        Text::new(x(half) - 1.2, base(0), SIZE, close)
            .bold()
            .right(),
    );
    // As much of the tube's name as the piece has room for, clear of the crosses.
    let [l, _, r, _] = tile.window;
    let (left, right) = (x(l.max(-half)) + 2.0, x(r.min(half)) - 2.0);
    let mid = 0.5 * (left + right);
    let most = right - left;
    let full = fit(&t.name, Face::Bold, SIZE, most);
    let short = format!("{} {}", t.tube, ends::letter(t.end));
    let rows = [1, 2];
    let mut named = false;
    for row in rows {
        for name in [&full, &short] {
            named = named
                || words.put(
                    Text::new(mid, base(row), SIZE, name.clone())
                        .bold()
                        .centred(),
                );
        }
    }
    for say in [
        "↑ end B this way · printed side out",
        "↑ B · print out",
        "↑ B",
    ] {
        let said = [2, 1].into_iter().any(|row| {
            let places = [mid, left + 0.25 * most, left + 0.75 * most];
            width(say, Face::Regular, SIZE) <= most
                && places
                    .into_iter()
                    .any(|at| words.put(Text::new(at, base(row), SIZE, say).centred()))
        });
        if said {
            break;
        }
    }
    // The tab's and the waste's names, where they have room.
    let tab = Text::new(x(half + 0.5 * TAB), base(1), SIZE, "tab").ink(Ink::Dim);
    words.put(tab.centred());
    waste(words, t, area);
}

/// "waste" between the straight edge and the cut, where there is most room.
fn waste(words: &mut Words<'_>, t: &Template, area: &Area) {
    let w = 0.5 * width("waste", Face::Regular, SIZE) / 1000.0 + 0.002;
    let high = (cap_height(SIZE) + 3.0) / 1000.0;
    let mut best: Option<(f64, f64)> = None;
    for step in 0..=48 {
        let x = t.girth * (f64::from(step) / 48.0 - 0.5);
        if x - w < -0.5 * t.girth || x + w > 0.5 * t.girth {
            continue;
        }
        let near = t.cut.iter().filter(|p| (p[1] - x).abs() <= w);
        let low = near.map(|p| p[2]).fold(f64::MAX, f64::min);
        if low > high && best.is_none_or(|(_, most)| low > most + 1e-6) {
            let at = area.view.at(x, t.up(0.5 * low));
            let text = Text::new(at.x, at.y + 0.5 * cap_height(SIZE), SIZE, "waste");
            let b = extent(&Item::Text(text.centred()));
            if b.is_some_and(|b| words.free(b) && b[0] > words.edge[0] && b[2] < words.edge[2]) {
                best = Some((x, low));
            }
        }
    }
    if let Some((x, low)) = best {
        let at = area.view.at(x, t.up(0.5 * low));
        words.put(
            Text::new(at.x, at.y + 0.5 * cap_height(SIZE), SIZE, "waste")
                .ink(Ink::Dim)
                .centred(),
        );
    }
}
