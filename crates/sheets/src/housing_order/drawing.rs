//! The axle from behind with its widths.

use vehicle::packaging::HousingOrder;

use crate::canvas::Canvas;
use crate::page::{Ink, Pen, Pt, Text, pt};

const SIZE: f64 = 8.5;

/// Tyres, flanges, housing and shafts with the widths between them. Along the car's width to scale.
pub(super) fn axle(c: &mut Canvas, order: &HousingOrder, len: &impl Fn(f64) -> String) {
    let half = 0.5 * order.mounting_face_width.max(order.axle_flange_width);
    let scale = (0.5 * c.w - 16.0) / half.max(1e-3);
    let middle = 0.5 * c.w;
    // Seen from behind, left stands left.
    let x = |y: f64| middle - y * scale;
    let axis = 15.0;
    let end = 0.5 * order.housing_end_width;
    let flange = 0.5 * order.axle_flange_width;
    let face = 0.5 * order.mounting_face_width;
    c.rect(
        pt(x(end), axis - 4.0),
        2.0 * end * scale,
        8.0,
        0.5,
        Some(Pen::OBJECT),
        None,
    );
    let pinion = x(order.pinion_y);
    c.circle(pt(pinion, axis), 8.5, Some(Pen::OBJECT), Some(Ink::White));
    c.cross(pt(pinion, axis), 3.0, Pen::THIN);
    for sign in [1.0, -1.0] {
        let out = x(sign * flange);
        c.line(
            pt(x(sign * end), axis - 1.4),
            pt(out, axis - 1.4),
            Pen::THIN,
        );
        c.line(
            pt(x(sign * end), axis + 1.4),
            pt(out, axis + 1.4),
            Pen::THIN,
        );
        c.line(
            pt(out, axis - 5.5),
            pt(out, axis + 5.5),
            Pen::new(0.8, Ink::Ink),
        );
        let at = x(sign * face);
        c.line(
            pt(at, axis - 9.0),
            pt(at, axis + 9.0),
            Pen::new(0.5, Ink::Accent),
        );
    }
    let mut row = 0.0;
    let mut dim = |from: f64, to: f64, words: &str| {
        let y = axis + 16.0 + row * 8.2;
        row += 1.0;
        let (a, b) = (x(from), x(to));
        for p in [a, b] {
            c.line(pt(p, axis + 9.5), pt(p, y + 1.2), Pen::LEADER);
        }
        c.line(pt(a, y), pt(b, y), Pen::THIN);
        arrow(c, pt(a, y), 1.0);
        arrow(c, pt(b, y), -1.0);
        c.label(
            Text::new(0.5 * (a + b), y + 1.1, SIZE, words)
                .bold()
                .centred(),
        );
    };
    dim(end, -end, &format!("housing {}", len(2.0 * end)));
    dim(flange, -flange, &format!("flanges {}", len(2.0 * flange)));
    dim(face, -face, &format!("wheel faces {}", len(2.0 * face)));
    let inner = flange - order.left_shaft;
    dim(
        flange,
        inner,
        &format!("left shaft {}", len(order.left_shaft)),
    );
    let inner = flange - order.right_shaft;
    dim(
        -inner,
        -flange,
        &format!("right shaft {}", len(order.right_shaft)),
    );
}

/// An arrow head at `tip` that points left (`way` 1 draws its tail to the right) or right.
fn arrow(c: &mut Canvas, tip: Pt, way: f64) {
    let back = tip.x + way * 2.2;
    c.polygon(
        vec![tip, pt(back, tip.y - 0.7), pt(back, tip.y + 0.7)],
        None,
        Some(Ink::Ink),
    );
}
