//! The document's brakes as the brake library takes them.

use nalgebra::{Point2, Vector2};
use vehicle::brakes::residual::ResidualBranch;
use vehicle::brakes::stroke::{
    Hose, LOW_EXPANSION_HOSE, PlumbedCircuit, REGULAR_HOSE, StrokeBudget,
};
use vehicle::brakes::{
    AxleBrakes, BalanceBar, Booster, Brake, BrakeError, BrakeSystem, BranchKind, Disc, DiscHeat,
    Drum, Fitted, Foundation, Master, ParkingBrake, Pedal, PedalArm, PedalReturn, PedalSpring,
    ProportioningValve, SpringKind, SweptBand, heat,
};

use crate::{
    AxleBrake, BrakeKind, Brakes, Build, HoseKind, Masters, ParkingData, ReturnData, RotorData,
    SpringPull, ValvePlace,
};

/// Pa of 1000 psi.
const THOUSAND_PSI: f64 = 6_894_757.293_168_361;
/// Conductivity of cast iron, W/(m·K), and its density, kg/m³ (handbook values, from memory).
const IRON: (f64, f64) = (50.0, 7200.0);

fn round(diameter: f64) -> f64 {
    0.25 * std::f64::consts::PI * diameter * diameter
}

pub(super) fn brake(x: &AxleBrake) -> Result<Brake, BrakeError> {
    Ok(match &x.brake {
        BrakeKind::Disc(d) => Brake::Disc(Disc {
            piston_area: f64::from(d.pistons_one_side) * round(d.piston.si()),
            mu: d.friction.si(),
            effective_radius: SweptBand::Mean.effective_radius(d.outer.si(), d.inner.si())?,
            threshold_pressure: d.threshold.si(),
            efficiency: d.efficiency.si(),
            pad_clearance: d.clearance.si(),
            caliper_stiffness: d.caliper.map(|k| k.si()),
            pad_stiffness: d.pad.map(|k| k.si()),
        }),
        BrakeKind::Drum(d) => Brake::Drum(Drum {
            cylinder_area: round(d.cylinder.si()),
            shoe_factor: d.shoe_factor.si(),
            drum_radius: 0.5 * d.drum.si(),
            threshold_pressure: d.threshold.si(),
            efficiency: d.efficiency.si(),
            shoe_travel: d.shoe_travel.si(),
            compliance: d.swell.si() / THOUSAND_PSI,
        }),
    })
}

pub(super) fn branch(brakes: &Brakes, x: &AxleBrake) -> ResidualBranch {
    let (kind, cup_expanders) = match &x.brake {
        BrakeKind::Disc(_) => (BranchKind::Disc, false),
        BrakeKind::Drum(d) => (BranchKind::Drum, d.cup_expanders),
    };
    ResidualBranch {
        kind,
        cup_expanders,
        fluid_height: brakes.fluid_height.si(),
        highest_bore: x.bore_height.si(),
        valves: x
            .valves
            .iter()
            .map(|v| {
                let at = match v.at {
                    ValvePlace::MasterOutlet => Fitted::MasterOutlet,
                    ValvePlace::Line => Fitted::Line,
                    ValvePlace::CombinationValve => Fitted::CombinationValve,
                };
                (at, v.holds.si())
            })
            .collect(),
    }
}

fn master(m: &Masters) -> Master {
    match *m {
        Masters::Single {
            bore,
            efficiency,
            spring,
            ..
        } => Master::Single {
            bore: bore.si(),
            efficiency: efficiency.si(),
            spring_force: spring.si(),
        },
        Masters::Tandem {
            bore,
            efficiency,
            spring,
            ..
        } => Master::Tandem {
            bore: bore.si(),
            efficiency: efficiency.si(),
            spring_force: spring.si(),
        },
        Masters::Twin {
            front_bore,
            rear_bore,
            efficiency,
            spring,
            bar,
            offset,
            ..
        } => Master::Twin {
            bar: BalanceBar {
                width: bar.si(),
                offset: offset.si(),
            },
            bores: [front_bore.si(), rear_bore.si()],
            efficiencies: [efficiency.si(); 2],
            spring_forces: [spring.si(); 2],
        },
    }
}

pub(super) fn system(
    b: &Build,
    brakes: &Brakes,
    held: [f64; 2],
) -> Result<BrakeSystem, BrakeError> {
    let axle = |x: &AxleBrake, radius: units::Length, held: f64| {
        Ok::<_, BrakeError>(AxleBrakes {
            brake: brake(x)?,
            loaded_radius: radius.si(),
            valve: x.proportioning.map(|p| ProportioningValve {
                knee: p.knee.si(),
                slope: p.slope.si(),
            }),
            held,
        })
    };
    let booster = brakes
        .booster
        .map(|x| {
            Booster::vacuum(
                x.gain.si(),
                x.vacuum.si(),
                f64::from(x.diaphragms) * round(x.diameter.si()),
                x.efficiency.si(),
            )
        })
        .transpose()?;
    Ok(BrakeSystem {
        car: super::car(b),
        pedal: Pedal {
            ratio: brakes.pedal.ratio.si(),
            efficiency: brakes.pedal.efficiency.si(),
        },
        booster,
        master: master(&brakes.masters),
        front: axle(&brakes.front, b.car.front.loaded_radius, held[0])?,
        rear: axle(&brakes.rear, b.car.rear.loaded_radius, held[1])?,
    })
}

pub(super) fn budget(brakes: &Brakes) -> Result<StrokeBudget, BrakeError> {
    let (dead, full) = match brakes.masters {
        Masters::Single {
            dead_stroke,
            stroke,
            ..
        }
        | Masters::Twin {
            dead_stroke,
            stroke,
            ..
        } => (dead_stroke, [stroke; 2]),
        Masters::Tandem {
            dead_stroke,
            front_stroke,
            rear_stroke,
            ..
        } => (dead_stroke, [front_stroke, rear_stroke]),
    };
    let circuit = |x: &AxleBrake, full: units::Length| {
        Ok::<_, BrakeError>(PlumbedCircuit {
            brakes: vec![brake(x)?; 2],
            hoses: x
                .hoses
                .iter()
                .map(|h| Hose {
                    length: h.length.si(),
                    growth: match h.kind {
                        HoseKind::Regular => REGULAR_HOSE,
                        HoseKind::LowExpansion => LOW_EXPANSION_HOSE,
                    },
                })
                .collect(),
            trapped_volume: x.fluid.si(),
            bulk_modulus: brakes.bulk_modulus.si(),
            dead_stroke: dead.si(),
            full_stroke: full.si(),
        })
    };
    Ok(StrokeBudget {
        master: master(&brakes.masters),
        pedal_ratio: brakes.pedal.ratio.si(),
        pedal_travel: brakes.pedal.travel.si(),
        front: circuit(&brakes.front, full[0])?,
        rear: circuit(&brakes.rear, full[1])?,
    })
}

pub(super) fn pedal_return(brakes: &Brakes, r: &ReturnData) -> PedalReturn {
    let point = |p: (units::Length, units::Length)| Point2::new(p.0.si(), p.1.si());
    let (force, area) = match brakes.masters {
        Masters::Single { bore, spring, .. } | Masters::Tandem { bore, spring, .. } => {
            (spring.si(), round(bore.si()))
        }
        Masters::Twin {
            front_bore,
            rear_bore,
            spring,
            ..
        } => (
            2.0 * spring.si(),
            round(front_bore.si()) + round(rear_bore.si()),
        ),
    };
    let (sin, cos) = r.bore_up.si().sin_cos();
    PedalReturn {
        arm: if r.standing {
            PedalArm::Standing
        } else {
            PedalArm::Hanging
        },
        pad: point(r.pad),
        push_rod_pin: point(r.pin),
        bore: Vector2::new(cos, sin),
        full_angle: r.full.si(),
        springs: r
            .springs
            .iter()
            .map(|s| PedalSpring {
                kind: match s.acts {
                    SpringPull::Pulls(f) => SpringKind::Extension {
                        initial_tension: f.si(),
                    },
                    SpringPull::Pushes => SpringKind::Compression,
                },
                rate: s.rate.si(),
                free_length: s.free.si(),
                anchor: point(s.anchor),
                on_pedal: point(s.on_pedal),
            })
            .collect(),
        master_spring_force: force,
        master_spring_rate: r.master_rate.si(),
        master_area: area,
        chamber_pressure: r.chamber.si(),
        seal_friction: r.seals.si(),
        pivot_friction: r.pivot.si(),
        mass: r.mass.si(),
        cg: point(r.cg),
        inertia: r.inertia.si(),
        damping: 0.0,
    }
}

pub(super) fn parking(
    b: &Build,
    brakes: &Brakes,
    p: &ParkingData,
) -> Result<ParkingBrake, BrakeError> {
    Ok(ParkingBrake {
        hand_force: p.force.si(),
        lever_ratio: p.lever.si(),
        cable_efficiency: p.cables.si(),
        wheel_lever_ratio: p.wheel_lever.si(),
        foundation: match &brakes.rear.brake {
            BrakeKind::Disc(d) => Foundation::Disc {
                mu: d.friction.si(),
                effective_radius: SweptBand::Mean.effective_radius(d.outer.si(), d.inner.si())?,
            },
            BrakeKind::Drum(d) => Foundation::Drum {
                factor_nose_up: p.backward_factor.si(),
                factor_nose_down: p.forward_factor.si(),
                drum_radius: 0.5 * d.drum.si(),
            },
        },
        loaded_radius: b.car.rear.loaded_radius.si(),
    })
}

pub(super) fn rotor(x: &AxleBrake, r: &RotorData, share: f64) -> DiscHeat {
    let swept_area = match &x.brake {
        BrakeKind::Disc(d) => {
            2.0 * std::f64::consts::PI * (d.outer.si().powi(2) - d.inner.si().powi(2))
        }
        BrakeKind::Drum(_) => 1.0, // its surface is not asked for
    };
    DiscHeat {
        axle_share: share,
        pad_share: 0.0,
        mass: r.mass.si(),
        specific_heat: heat::IRON_HEAT,
        swept_area,
        conductivity: IRON.0,
        density: IRON.1,
        ring_thickness: Some(r.ring.si()),
    }
}
