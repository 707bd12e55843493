//! A bender that only knows its own moves: feed, rotate, bend.
//!
//! Machine frame: the die's tangent point is the origin, x the way the tube is fed, the die
//! to the left (+y), z up. The tube behind the tangent point lies along −x.

use nalgebra::{Point3, Rotation3, Vector3};

use super::bend::Centreline;

/// One bend as the machine does it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// Straight fed past the tangent point first, m.
    pub feed: f64,
    /// Then the tube is turned by this, rad, clockwise seen from its tail toward the die.
    pub turn: f64,
    /// Then bent to this angle, rad.
    pub angle: f64,
    /// Radius of the die at the tube's centreline, m.
    pub radius: f64,
}

/// The moves for a tube, A or B going first, and the straight left at the tail, m.
#[must_use]
pub fn moves(tube: &Centreline, a_first: bool) -> (Vec<Move>, f64) {
    let (bends, straights) = (tube.bends(), tube.straights());
    let count = bends.len();
    let moves = (0..count).map(|step| {
        let index = if a_first { step } else { count - 1 - step };
        let turn = match (step, a_first) {
            (0, _) => None,
            (_, true) => bends[index].rotation,
            (_, false) => bends[index + 1].rotation,
        };
        Move {
            feed: straights[if a_first { index } else { index + 1 }],
            turn: turn.unwrap_or(0.0),
            angle: bends[index].angle,
            radius: bends[index].radius,
        }
    });
    let tail = straights[if a_first { count } else { 0 }];
    (moves.collect(), tail)
}

/// Corner points of the tube the machine makes, in its frame, the end that went first at
/// the front of the list; the tail's end is the last, at the origin.
#[must_use]
pub fn bend(moves: &[Move], tail: f64) -> Vec<Point3<f64>> {
    let mut made = vec![Point3::origin()];
    for step in moves {
        let turn = Rotation3::from_axis_angle(&Vector3::x_axis(), step.turn);
        let bend = Rotation3::from_axis_angle(&Vector3::z_axis(), step.angle);
        let die = Vector3::new(0.0, step.radius, 0.0);
        for point in &mut made {
            let fed = turn * (point.coords + Vector3::x() * step.feed);
            // What stands ahead of the die swings about its centre.
            *point = Point3::from(bend * (fed - die) + die);
        }
        let setback = step.radius * (0.5 * step.angle).tan();
        made.push(Point3::new(setback, 0.0, 0.0));
    }
    for point in &mut made {
        point.x += tail;
    }
    made.push(Point3::origin());
    made
}
