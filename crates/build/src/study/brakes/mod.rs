//! The brakes from pedal to ground.

mod circuit;
mod findings;
mod readings;
mod system;

pub use circuit::{Circuit, CircuitKind, CircuitPart};
pub use vehicle::brakes::{
    Axle as BrakeAxle, BrakingRow, Changeover, Ends, FirstLock, GradeHold, LostCircuit, ParkingRow,
    PedalTravel, Regulation, ResidualDrag, ResidualFinding, ResidualVerdict, ReturnPoint,
    ReturnReport, StopHeat, VolumeParts,
};

pub(super) use findings::findings;
pub(super) use readings::readings;

use vehicle::brakes::{BrakeBalance, BrakeCar, BrakeError, Stop, stopping_distance};

use super::{Band, Certainty, Definition, Finding, NoValue, Of, Part, Phrase, Reading, Severity};
use crate::{Brakes, Build};

/// Greatest force of a foot that is looked at, N (common practice, no source).
pub const GREATEST_FOOT: f64 = 2000.0;
/// Points of the balance curve.
const CURVE: u32 = 96;

/// The brakes from pedal to ground.
#[derive(Debug, Clone)]
pub struct BrakeStudy {
    /// Every part from pedal to wheel, in its line.
    pub circuit: Circuit,
    /// Residual valves of the front and the rear line.
    pub lines: [LineStudy; 2],
    /// Forces against what the tyres hold, or why there are none.
    pub balance: Result<BalanceStudy, Phrase>,
    /// Where the pedal's travel goes at the force of [`BalanceStudy::judged`].
    pub travel: Result<TravelStudy, Phrase>,
    /// What brings the pedal back; none while it is not drawn.
    pub pedal_return: Option<Result<ReturnReport, Phrase>>,
    /// Parking brake on the grade asked; none without one.
    pub parking: Option<Result<ParkingRow, Phrase>>,
    /// The stop looked at, or why there is none.
    pub stop: Result<StopStudy, Phrase>,
}

/// Residual pressure in a line.
#[derive(Debug, Clone, PartialEq)]
pub struct LineStudy {
    /// The valves, or why they can not be judged.
    pub verdict: Result<ResidualVerdict, Phrase>,
    /// Drag of each wheel at rest pressure, at the speed of the stop looked at.
    pub drag: Result<ResidualDrag, Phrase>,
}

/// Forces against what the tyres hold.
#[derive(Debug, Clone)]
pub struct BalanceStudy {
    /// At the foot force looked at.
    pub at_foot: BrakingRow,
    /// The same without vacuum; none without a booster.
    pub unassisted: Option<BrakingRow>,
    /// Tyre friction everything is judged at: the highest surface, else the car's.
    pub friction: f64,
    /// First lock there; none up to [`BalanceStudy::greatest`].
    pub first_lock: Option<FirstLock>,
    /// Every surface with its first lock, lowest friction first.
    pub surfaces: Vec<(f64, Option<FirstLock>)>,
    /// Where the order of locking changes.
    pub changeovers: Vec<Changeover>,
    /// Least braking rate below the friction at which the rear locks first.
    pub rear_first: Option<f64>,
    /// Remark against UN ECE R13-H (from memory). Not an approval.
    pub regulation: Regulation,
    /// From no force to the lift of the rear or the greatest force.
    pub curve: Vec<BalancePoint>,
    /// Greatest pedal force looked at, N.
    pub greatest: f64,
    balance: BrakeBalance,
}

/// A point of the balance curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BalancePoint {
    /// Force at the pad, N.
    pub pedal: f64,
    /// Braking rate asked for.
    pub z: f64,
    /// Brake force asked of the axles, N.
    pub force: Ends,
    /// Forces at which both tyres work equally hard, N.
    pub ideal: Ends,
}

impl BalancePoint {
    /// Front share of the force; none without braking.
    pub fn front_share(&self) -> Option<f64> {
        let sum = self.force.front + self.force.rear;
        (sum > 0.0).then(|| self.force.front / sum)
    }

    /// Front share that works both tyres equally hard; none without braking.
    pub fn ideal_share(&self) -> Option<f64> {
        let sum = self.ideal.front + self.ideal.rear;
        (sum > 0.0).then(|| self.ideal.front / sum)
    }
}

impl BalanceStudy {
    /// Pedal force the stroke is judged at, N: first lock, else the foot force looked at.
    pub fn judged(&self) -> f64 {
        self.first_lock
            .map_or(self.at_foot.pedal_force, |l| l.pedal_force)
    }

    /// Pedal force for a braking rate, N; none up to the greatest looked at.
    pub fn pedal_for(&self, z: f64) -> Option<f64> {
        let weight = self.balance.system().car.weight();
        let rate = |p: f64| {
            let d = self.balance.demand(p);
            (d.front + d.rear) / weight
        };
        let (mut low, mut high) = (0.0, self.greatest);
        if rate(high).is_nan() || rate(high) < z {
            return None;
        }
        // The rate never falls with the force.
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if rate(middle) < z {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(high)
    }

    /// Front share of the force asked for at a pedal force (N); none without braking.
    pub fn share_at(&self, pedal: f64) -> Option<f64> {
        let d = self.balance.demand(pedal);
        let sum = d.front + d.rear;
        (sum > 0.0).then(|| d.front / sum)
    }
}

/// Where the pedal's travel goes.
#[derive(Debug, Clone, PartialEq)]
pub struct TravelStudy {
    /// Force at the pad, N.
    pub pedal: f64,
    /// Strokes and shares there.
    pub used: PedalTravel,
    /// A tandem master with its front, then its rear circuit lost.
    pub lost: Option<[LostCircuit; 2]>,
}

/// The stop looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct StopStudy {
    /// Distance with the reaction time, m.
    pub distance: f64,
    /// Energy of the whole stop, J.
    pub energy: f64,
    /// Share of the front axle at that rate.
    pub front_share: Option<f64>,
    /// Force at the pad it takes, N; none up to the greatest looked at.
    pub pedal: Option<f64>,
    /// Heat of one front and one rear rotor; none where no rotor is entered. A drum's surface is not worked out.
    pub heat: [Option<Result<StopHeat, Phrase>>; 2],
}

/// None while nothing is drawn.
pub(super) fn study(b: &Build) -> Option<BrakeStudy> {
    let brakes = b.brakes.as_ref()?;
    let lines = [
        line(brakes, &brakes.front, b.car.front.loaded_radius.si()),
        line(brakes, &brakes.rear, b.car.rear.loaded_radius.si()),
    ];
    let balance = balance(b, brakes, &lines).map_err(|e| words(&e));
    Some(BrakeStudy {
        circuit: circuit::circuit(brakes),
        travel: balance
            .as_ref()
            .map_err(Clone::clone)
            .and_then(|x| travel(brakes, x).map_err(|e| words(&e))),
        pedal_return: brakes.pedal_return.as_ref().map(|r| {
            system::pedal_return(brakes, r)
                .report()
                .map_err(|e| words(&e))
        }),
        parking: brakes.parking.as_ref().map(|p| {
            let friction = friction(b, brakes);
            system::parking(b, brakes, p)
                .and_then(|x| x.on_grade(&car(b), friction, p.grade.si()))
                .map_err(|e| words(&e))
        }),
        stop: stop(b, brakes, balance.as_ref().ok()),
        lines,
        balance,
    })
}

/// The car under braking.
fn car(b: &Build) -> BrakeCar {
    BrakeCar {
        mass: b.car.mass.si(),
        wheelbase: b.car.wheelbase.si(),
        cg_to_front: b.car.wheelbase.si() * b.car.rear_share.si(),
        cg_height: b.car.cg_height.si(),
    }
}

fn friction(b: &Build, brakes: &Brakes) -> f64 {
    let surfaces = brakes.surfaces.iter().map(|s| s.si());
    surfaces.reduce(f64::max).unwrap_or(b.power.friction.si())
}

fn line(brakes: &Brakes, axle: &crate::AxleBrake, radius: f64) -> LineStudy {
    let verdict = system::branch(brakes, axle).judge();
    let drag = verdict.as_ref().map_err(|e| *e).and_then(|v| {
        let brake = system::brake(axle)?;
        vehicle::brakes::residual::drag(&brake, v.pressure_at_wheel, radius, brakes.stop.from.si())
    });
    LineStudy {
        verdict: verdict.map_err(|e| words(&e)),
        drag: drag.map_err(|e| words(&e)),
    }
}

fn balance(b: &Build, brakes: &Brakes, lines: &[LineStudy; 2]) -> Result<BalanceStudy, BrakeError> {
    let held = lines
        .each_ref()
        .map(|l| l.verdict.as_ref().map_or(0.0, |v| v.held));
    let balance = BrakeBalance::new(system::system(b, brakes, held)?)?;
    let friction = friction(b, brakes);
    let foot = brakes.pedal.force.si();
    let greatest = GREATEST_FOOT.max(foot);
    let mut surfaces: Vec<f64> = brakes.surfaces.iter().map(|s| s.si()).collect();
    surfaces.sort_by(f64::total_cmp);
    let surfaces = surfaces
        .into_iter()
        .map(|mu| Ok((mu, balance.first_lock(mu, greatest)?)))
        .collect::<Result<_, BrakeError>>()?;
    let vehicle_car = car(b);
    let mut curve = Vec::new();
    for i in 0..=CURVE {
        let pedal = greatest * f64::from(i) / f64::from(CURVE);
        let force = balance.demand(pedal);
        let z = (force.front + force.rear) / vehicle_car.weight();
        if z > vehicle_car.lift_rate() {
            break;
        }
        curve.push(BalancePoint {
            pedal,
            z,
            force,
            ideal: vehicle_car.ideal(z),
        });
    }
    Ok(BalanceStudy {
        at_foot: balance.row(foot, friction)?,
        unassisted: match brakes.booster {
            Some(_) => Some(balance.without_assist().row(foot, friction)?),
            None => None,
        },
        friction,
        first_lock: balance.first_lock(friction, greatest)?,
        surfaces,
        changeovers: balance.changeovers(greatest)?,
        rear_first: balance.rear_first_from(friction, greatest)?,
        regulation: balance.regulation(greatest)?,
        curve,
        greatest,
        balance,
    })
}

fn travel(brakes: &Brakes, x: &BalanceStudy) -> Result<TravelStudy, BrakeError> {
    let budget = system::budget(brakes)?;
    let pedal = x.judged();
    let pressures = x.balance.wheel_pressures(pedal);
    Ok(TravelStudy {
        pedal,
        used: budget.at(pressures)?,
        lost: budget.one_circuit_lost(pressures)?,
    })
}

fn stop(b: &Build, brakes: &Brakes, balance: Option<&BalanceStudy>) -> Result<StopStudy, Phrase> {
    let data = &brakes.stop;
    let rate = data.rate.si() / vehicle::STANDARD_GRAVITY;
    if data.from.si() <= 0.0 {
        return Err(Phrase::from("the stop looked at starts from a standstill"));
    }
    let stop = Stop {
        mass: b.car.mass.si(),
        rotating_factor: data.rotating.si(),
        from_speed: data.from.si(),
        to_speed: 0.0,
        rate,
    };
    let pedal = balance.and_then(|x| x.pedal_for(rate));
    let front_share = balance.zip(pedal).and_then(|(x, p)| x.share_at(p));
    let heat = [
        (&brakes.front, front_share),
        (&brakes.rear, front_share.map(|f| 1.0 - f)),
    ]
    .map(|(axle, share)| {
        let rotor = axle.rotor?;
        let Some(share) = share else {
            return Some(Err(Phrase::from(
                "the brakes do not reach the deceleration of the stop looked at",
            )));
        };
        let disc = system::rotor(axle, &rotor, share);
        Some(stop.heat(&disc).map_err(|e| words(&e)).map(|mut h| {
            if matches!(axle.brake, crate::BrakeKind::Drum(_)) {
                // Its swept width is not entered.
                (h.flux, h.surface_rise, h.thick_enough) = (None, None, None);
            }
            h
        }))
    });
    Ok(StopStudy {
        distance: stopping_distance(data.from.si(), rate, data.reaction.si())
            .map_err(|e| words(&e))?,
        energy: stop.energy(),
        front_share,
        pedal,
        heat,
    })
}

/// An error as part of a sentence for the shop.
fn words(e: &BrakeError) -> Phrase {
    match e {
        BrakeError::BadInput { what, value, range } => Phrase::from(format!(
            "the {what} can not be {value:.4}: it must be {range}"
        )),
        BrakeError::SelfLocking { .. } => Phrase::from("a leading shoe locks itself"),
        BrakeError::PivotOutsideBar { offset, width } => {
            Phrase::from("the balance bar's pivot stands ")
                .fine(offset.abs())
                .t(" off the middle, outside its clevises ")
                .fine(*width)
                .t(" apart")
        }
    }
}
