//! The drawn front end in the terms of the rods solver, and its failures in the words of a shop.

use geometry::front::{
    Adjuster, AdjusterChange, Carried, Carrier, DrawnCorner, FrontError, FrontMoving, FrontRod,
    Side, TieRod, Wishbone,
};
use geometry::{Point3, Vector3};

use crate::{AdjusterMoves, ArmRod, Build, FrontArm, FrontEnd, LinkOn, Place, WhichArm};

pub(super) fn point(p: Place) -> Point3<f64> {
    Point3::from(p.si())
}

/// The left corner: its wheel centre stands so that the contact is half a track out.
pub(super) fn corner(b: &Build, f: &FrontEnd) -> DrawnCorner {
    let (camber, up) = (f.camber.si(), b.car.front.loaded_radius.si());
    let arm = |a: &FrontArm| Wishbone {
        front: point(a.front),
        rear: point(a.rear),
        ball: point(a.ball),
        front_length: None,
        rear_length: None,
    };
    DrawnCorner {
        side: Side::Left,
        wheel_centre: Point3::new(
            b.car.wheelbase.si(),
            0.5 * b.car.front.track.si() + up * camber.tan(),
            up,
        ),
        loaded_radius: up / camber.cos(),
        camber,
        toe_in: f.toe_in.si(),
        lower: arm(&f.lower),
        upper: arm(&f.upper),
        tie_rod: TieRod {
            inner: point(f.tie_rod.inner),
            outer: point(f.tie_rod.outer),
            length: None,
        },
    }
}

pub(super) fn rod(rod: ArmRod) -> FrontRod {
    match rod {
        ArmRod::LowerFront => FrontRod::LowerFront,
        ArmRod::LowerRear => FrontRod::LowerRear,
        ArmRod::UpperFront => FrontRod::UpperFront,
        ArmRod::UpperRear => FrontRod::UpperRear,
        ArmRod::TieRod => FrontRod::TieRod,
    }
}

pub(super) fn adjuster(a: &crate::Adjuster) -> Adjuster {
    let change = |m: &AdjusterMoves| match m {
        AdjusterMoves::Length { rod: r, per_turn } => AdjusterChange::Length {
            rod: rod(*r),
            per_turn: per_turn.si(),
        },
        AdjusterMoves::Shift {
            rod: r,
            ahead,
            out,
            up,
        } => AdjusterChange::Shift {
            rod: rod(*r),
            per_turn: Vector3::new(ahead.si(), out.si(), up.si()),
        },
    };
    Adjuster {
        changes: a.moves.iter().map(change).collect(),
    }
}

pub(super) fn on_arm(on: WhichArm, p: Place) -> Carried {
    Carried {
        carrier: match on {
            WhichArm::Lower => Carrier::LowerArm,
            WhichArm::Upper => Carrier::UpperArm,
        },
        point: point(p),
    }
}

pub(super) fn on_link(on: LinkOn, p: Place) -> Carried {
    Carried {
        carrier: match on {
            LinkOn::Lower => Carrier::LowerArm,
            LinkOn::Upper => Carrier::UpperArm,
            LinkOn::Knuckle => Carrier::Knuckle,
        },
        point: point(p),
    }
}

/// A failure in the words of a shop; lengths in inches and millimetres, for want of the reader's units.
pub(super) fn words(e: &FrontError) -> String {
    let both = |m: f64| format!("{:.2} in ({:.0} mm)", m / 0.0254, m * 1e3);
    match e {
        FrontError::BadNumber { what, value } => format!("{what} can not be {value:.4}"),
        FrontError::NoSteeringAxis { .. } => {
            "the upper ball joint is not above the lower one".to_owned()
        }
        FrontError::CannotAssemble { .. } => {
            "the arms and the tie rod do not go together at these lengths".to_owned()
        }
        FrontError::OutOfReach {
            moving: FrontMoving::Turns,
            begins_at,
            ..
        } => format!("out of reach from {begins_at:.2} turns on"),
        FrontError::OutOfReach {
            moving, begins_at, ..
        } => format!("out of reach from a {moving} of {} on", both(*begins_at)),
        FrontError::Motion(_) => {
            "the arms lie in one line there: nothing holds the wheel".to_owned()
        }
        FrontError::LinkDoesNotReach { .. } => {
            "the anti-roll bar's drop link does not reach".to_owned()
        }
        FrontError::CannotStraighten { .. } => "no place of the rack makes it straight".to_owned(),
        FrontError::AdjustersSingular { .. } => {
            "the adjusters do not set these angles one apart from the other".to_owned()
        }
    }
}
