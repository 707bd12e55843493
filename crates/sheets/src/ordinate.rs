//! Ordinate dimensions: places along one axis from one datum, labelled at the edge of a drawing so that no
//! two labels touch.

use crate::canvas::Canvas;
use crate::error::SheetError;
use crate::page::{Align, Face, Ink, Pen, Pt, Text, pt};
use crate::type_metrics::{cap_height, width};

/// Where the labels stand: the value is the edge where the straight part of the leaders ends, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Axis {
    /// Under a drawing, `y` mm down.
    Below(f64),
    /// Over a drawing, `y` mm down.
    Above(f64),
    /// To the right of a drawing, `x` mm.
    Right(f64),
    /// To the left of a drawing, `x` mm.
    Left(f64),
}

/// One place to label.
#[derive(Debug, Clone, PartialEq)]
pub struct Ordinate {
    /// Place along the axis, paper mm (x for labels below or above, y for labels at a side).
    pub at: f64,
    /// Where the leader begins, across the axis, paper mm.
    pub from: f64,
    /// The words, such as a length.
    pub label: String,
    /// Weight.
    pub face: Face,
    /// Colour role.
    pub ink: Ink,
}

impl Ordinate {
    /// A place with a regular label.
    pub fn new(at: f64, from: f64, label: impl Into<String>) -> Self {
        Self {
            at,
            from,
            label: label.into(),
            face: Face::Regular,
            ink: Ink::Ink,
        }
    }

    /// With a bold label.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.face = Face::Bold;
        self
    }

    /// With a label and leader in this colour role.
    #[must_use]
    pub fn ink(mut self, ink: Ink) -> Self {
        self.ink = ink;
        self
    }
}

/// Length of the slanted part of a leader, across the axis, mm.
const JOG: f64 = 5.0;
/// Room between leader and label, mm.
const AIR: f64 = 1.0;
/// Least room between labels standing one over another, mm.
const GAP_OVER: f64 = 1.0;
/// Least room between labels standing side by side, mm: plainly wider than the space inside "19 1/2".
const GAP_BESIDE: f64 = 3.2;

/// Centres for labels of the given `sizes`, as near their `wanted` places as can be (least sum of squared
/// moves), in the order of those places, at least `gap` apart and within `range` (all mm).
///
/// Pool-adjacent-violators on the places less the room taken before each (Barlow and others, Statistical
/// Inference under Order Restrictions, 1972, from memory), cut to the range; both steps keep the optimum.
///
/// # Errors
/// Labels that together are longer than the range, or numbers that are not finite.
pub fn spread(
    wanted: &[f64],
    sizes: &[f64],
    gap: f64,
    range: (f64, f64),
) -> Result<Vec<f64>, SheetError> {
    let n = wanted.len().min(sizes.len());
    if n == 0 {
        return Ok(Vec::new());
    }
    let needs = sizes[..n].iter().sum::<f64>() + gap * (n - 1) as f64;
    let room = range.1 - range.0;
    let finite = wanted[..n].iter().all(|v| v.is_finite()) && needs.is_finite() && room.is_finite();
    if !finite || needs > room + 1e-9 {
        return Err(SheetError::NoRoom {
            labels: n,
            needs,
            room,
        });
    }
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    let mut offset = vec![0.0; n];
    for k in 1..n {
        offset[k] = offset[k - 1] + 0.5 * (sizes[order[k - 1]] + sizes[order[k]]) + gap;
    }
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (k, o) in order.iter().enumerate() {
        let mut pool = (wanted[*o] - offset[k], 1usize);
        while let Some(&(mean, count)) = pools.last() {
            if mean < pool.0 {
                break;
            }
            let all = count + pool.1;
            pool = (
                (mean * count as f64 + pool.0 * pool.1 as f64) / all as f64,
                all,
            );
            pools.pop();
        }
        pools.push(pool);
    }
    let lo = range.0 + 0.5 * sizes[order[0]];
    let hi = (range.1 - 0.5 * sizes[order[n - 1]] - offset[n - 1]).max(lo);
    let mut out = vec![0.0; n];
    let mut k = 0;
    for (mean, count) in pools {
        for _ in 0..count {
            out[order[k]] = mean.clamp(lo, hi) + offset[k];
            k += 1;
        }
    }
    Ok(out)
}

/// Draws the labels of one axis with their leaders. Places that coincide (within 0.05 mm) and read alike
/// share one label, its leader beginning at the farther feature.
///
/// `range` is where labels may stand along the axis, mm.
///
/// # Errors
/// [`SheetError::NoRoom`] when the labels do not fit beside each other in the range.
pub fn draw(
    canvas: &mut Canvas,
    axis: Axis,
    range: (f64, f64),
    marks: &[Ordinate],
    size_pt: f64,
) -> Result<(), SheetError> {
    let upright = matches!(axis, Axis::Right(_) | Axis::Left(_));
    let (edge, out) = match axis {
        Axis::Below(e) | Axis::Right(e) => (e, 1.0),
        Axis::Above(e) | Axis::Left(e) => (e, -1.0),
    };
    let mut kept: Vec<Ordinate> = Vec::new();
    for m in marks {
        match kept
            .iter_mut()
            .find(|k| (k.at - m.at).abs() < 0.05 && k.label == m.label)
        {
            Some(k) => {
                if (m.from - k.from) * out < 0.0 {
                    k.from = m.from;
                }
                if m.face == Face::Bold {
                    k.face = Face::Bold;
                }
            }
            None => kept.push(m.clone()),
        }
    }
    let size_of = |m: &Ordinate| {
        if upright {
            1.3 * cap_height(size_pt)
        } else {
            width(&m.label, m.face, size_pt)
        }
    };
    let wanted: Vec<f64> = kept.iter().map(|m| m.at).collect();
    let sizes: Vec<f64> = kept.iter().map(size_of).collect();
    let places = spread(
        &wanted,
        &sizes,
        if upright { GAP_OVER } else { GAP_BESIDE },
        range,
    )?;
    let to = |along: f64, across: f64| -> Pt {
        if upright {
            pt(across, along)
        } else {
            pt(along, across)
        }
    };
    for (m, place) in kept.iter().zip(places) {
        let pen = if m.ink == Ink::Ink {
            Pen::LEADER
        } else {
            Pen {
                ink: m.ink,
                ..Pen::LEADER
            }
        };
        let end = edge + out * JOG;
        canvas.polyline([to(m.at, m.from), to(m.at, edge), to(place, end)], pen);
        let cap = cap_height(size_pt);
        let (x, y, align) = match axis {
            Axis::Below(_) => (place, end + AIR + cap, Align::Centre),
            Axis::Above(_) => (place, end - AIR, Align::Centre),
            Axis::Right(_) => (end + AIR, place + 0.5 * cap, Align::Left),
            Axis::Left(_) => (end - AIR, place + 0.5 * cap, Align::Right),
        };
        canvas.text(
            Text::new(x, y, size_pt, m.label.clone())
                .face(m.face)
                .ink(m.ink)
                .align(align),
        );
    }
    Ok(())
}
