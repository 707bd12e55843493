//! What fits around the rear wheels over the travel of each, what to order, and the bump stop before
//! metal.

mod findings;
mod parts;
mod readings;
mod stops;

use geometry::AssembledAxle;
use vehicle::packaging::{
    Clearance, Envelope, Housing, HousingOrder, MeasuredShafts, Notch, RearWheel, TyreOnRim,
    TyreShape, WheelTravel,
};

pub(super) use findings::findings;
pub use parts::{InTheWay, Kind as WayKind};
pub(super) use readings::readings;
pub use stops::{StopAt, StopStudy};

use super::{Part, RearStudy};
use crate::{Build, MockUp};

/// Poses over each wheel's travel; the least of them is refined.
const GRID: usize = 5;

/// The caution of the page and the sheet.
pub const CLEARANCE_CAUTION: &str = "A tyre that touches can lock or burst. Measure with the springs out, at real pressure, on stands that carry the frame. A notched rail without its plate bends.";

/// What fits around the rear wheels.
#[derive(Debug, Clone)]
pub struct ClearanceStudy {
    /// The rear wheel.
    pub wheel: RearWheel,
    /// The rear tyre on it.
    pub tyre: Result<TyreOnRim, String>,
    /// Housing and shafts to order.
    pub order: Result<HousingOrder, String>,
    /// Splines engaged, left and right, m; none without measured shafts.
    pub engaged: Option<Result<[f64; 2], String>>,
    /// Gaps over the travel of both wheels.
    pub fit: Result<Fit, String>,
}

/// Gaps over the travel of both wheels.
#[derive(Debug, Clone)]
pub struct Fit {
    /// Bodies and poses.
    pub envelope: Envelope,
    /// What is in the way, in the envelope's order.
    pub parts: Vec<InTheWay>,
    /// The least gap of every pair that is watched, the tightest first.
    pub pairs: Vec<PairStudy>,
    /// Notch needed in the left and right rail; none where no rail runs over the axle.
    pub notches: [Option<Notch>; 2],
    /// The bump stops; none while they are not drawn.
    pub stops: Option<Result<StopStudy, String>>,
    /// Why and how many poses of the travel are not reached.
    pub unreached: Option<(String, usize)>,
}

/// A pair of things and how close they come.
#[derive(Debug, Clone, PartialEq)]
pub struct PairStudy {
    /// Short name of the pair: `tyre.rail`.
    pub id: String,
    /// What the shop calls it: "Tyre to frame rail".
    pub label: String,
    /// What a click jumps to.
    pub part: Part,
    /// Does the gap asked of a tyre hold for it?
    pub of_tyre: bool,
    /// The least gap, where and in which pose.
    pub clearance: Clearance,
}

impl PairStudy {
    /// The gap, m; none where the two run through each other deeper than can be told.
    pub fn gap(&self) -> Option<f64> {
        self.clearance.gap.value()
    }
}

impl ClearanceStudy {
    /// The tightest pair.
    pub fn tightest(&self) -> Option<&PairStudy> {
        self.fit.as_ref().ok()?.pairs.first()
    }
}

/// None while nothing is mocked up.
pub(super) fn study(b: &Build, rear: &RearStudy) -> Option<ClearanceStudy> {
    let m = b.mock_up.as_ref()?;
    let wheel = RearWheel {
        rim_width: m.wheel.rim_width.si(),
        flange_thickness: m.wheel.flange.si(),
        offset: m.wheel.offset.si(),
    };
    let tyre = parts::tyre(b, m).on(wheel.rim_width);
    let tyre = tyre.map_err(|e| parts::words(&e));
    let housing = housing(b, m);
    let fit = match (&rear.motion, &tyre) {
        (Err(e), _) => Err(e.to_string()),
        (_, Err(e)) => Err(e.clone()),
        (Ok(motion), Ok(tyre)) => fit(b, m, rear, &motion.axle, tyre),
    };
    Some(ClearanceStudy {
        order: housing.order(&wheel).map_err(|e| parts::words(&e)),
        engaged: m.housing.shafts.map(|s| {
            let measured = MeasuredShafts {
                lengths: [s.left.si(), s.right.si()],
                spline_length: s.spline.si(),
                side_gear: [s.gear_from.si(), s.gear_to.si()],
            };
            let engaged = housing.engagement(&wheel, &measured);
            engaged.map_err(|e| parts::words(&e))
        }),
        wheel,
        tyre,
        fit,
    })
}

fn housing(b: &Build, m: &MockUp) -> Housing {
    Housing {
        track: b.car.rear.track.si(),
        hat_thickness: m.housing.hat.si(),
        brake_stack: m.housing.brake_stack.si(),
        differential_y: m.housing.differential.si(),
        half_gap: m.housing.half_gap.si(),
        pinion_offset: m.housing.pinion.si(),
    }
}

fn fit(
    b: &Build,
    m: &MockUp,
    rear: &RearStudy,
    axle: &AssembledAxle,
    tyre: &TyreOnRim,
) -> Result<Fit, String> {
    let shape = TyreShape {
        radius: tyre.service_radius,
        width: tyre.service_width,
        shoulder_radius: m.tyre.shoulder.si(),
    };
    let travel = WheelTravel {
        bump: m.bump.si(),
        droop: m.droop.si(),
        grid: GRID,
    };
    let parts = parts::in_the_way(b, m, rear);
    let obstacles: Vec<_> = parts.iter().map(|p| p.obstacle).collect();
    let track = b.car.rear.track.si();
    let envelope =
        Envelope::new(axle, travel, track, &shape, &obstacles).map_err(|e| parts::words(&e))?;
    let watched = parts::watched(&parts);
    let bodies: Vec<_> = watched.iter().map(|w| w.pair).collect();
    let least = envelope.least(&bodies).map_err(|e| parts::words(&e))?;
    if least.len() != watched.len() {
        return Err("no pose of the travel is reached".to_owned());
    }
    let mut pairs: Vec<PairStudy> = Vec::new();
    for (w, clearance) in watched.into_iter().zip(least) {
        let rank = |c: &Clearance| c.gap.value().unwrap_or(f64::NEG_INFINITY);
        match pairs.iter_mut().find(|p| p.id == w.of.id) {
            Some(p) if rank(&clearance) < rank(&p.clearance) => p.clearance = clearance,
            Some(_) => {}
            None => pairs.push(PairStudy {
                id: w.of.id,
                label: w.of.label,
                part: w.of.part,
                of_tyre: w.of.of_tyre,
                clearance,
            }),
        }
    }
    let rank = |p: &PairStudy| p.gap().unwrap_or(f64::NEG_INFINITY);
    pairs.sort_by(|a, b| rank(a).total_cmp(&rank(b)));
    let poses: Vec<_> = envelope.poses().iter().map(|p| p.pose).collect();
    let radius = 0.5 * b.rear.housing.tube_diameter.si();
    let notches = [1.0, -1.0].map(|sign| {
        let rail = parts::rail_over_axle(b, sign)?;
        rail.notch(radius, m.notch_clearance.si(), &poses).ok()
    });
    let unreached = envelope.limit();
    Ok(Fit {
        stops: m.bump_stop.as_ref().map(|s| stops::study(b, m, s, axle)),
        unreached: unreached.map(|(e, n)| (parts::words(&e.into()), n)),
        envelope,
        parts,
        pairs,
        notches,
    })
}
