//! Speeds, strength and gearing.

use vehicle::driveline::gearing::SIXTY_MPH;
use vehicle::driveline::{
    AxleShaft, CriticalSpeed, DrivelineError, FinalDriveChoice, GearingChart, Gears, Goal,
    ShaftTorsion, ShaftTube, Spline, SplineStress, driveshaft_torque,
};
use vehicle::strength::{Material, Section};

use super::{LaunchStudy, Phrase, RunStudy, words};
use crate::{Build, CouplingData, Driveline};

/// Share of a spline's teeth that carry (Machinery's Handbook form, from memory).
const CARRYING: f64 = 0.5;

/// The highest speeds the shaft must stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopSpeed {
    /// Of the car, m/s.
    pub road: f64,
    /// Of the shaft, rad/s.
    pub shaft: f64,
    /// It is the redline in top gear, not a speed that was entered.
    pub redline: bool,
}

/// The shaft against its critical speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CriticalStudy {
    /// Critical speed and how much of it is used.
    pub speed: CriticalSpeed,
    /// Longest shaft of this tube for the top speed, joint to joint, m.
    pub longest: f64,
}

/// Shaft and axle shafts under torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrengthStudy {
    /// Torque of the driveshaft with its shock, N·m.
    pub torque: f64,
    /// The tyres slip before the engine gives all of it.
    pub by_tyres: bool,
    /// The shaft's tube; none while no driveshaft is drawn.
    pub tube: Option<ShaftTorsion>,
    /// The axle shaft; none while it is not entered.
    pub axle: Option<AxleShaftStudy>,
}

/// An axle shaft under torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleShaftStudy {
    /// Torque with its shock, N·m.
    pub torque: f64,
    /// Shear stress at the smallest section, Pa.
    pub stress: f64,
    /// Shear yield over it; none without torque.
    pub safety: Option<f64>,
    /// Its spline, where entered.
    pub spline: Option<SplineStress>,
    /// Shear yield of the shaft over the spline's shear.
    pub spline_safety: Option<f64>,
}

/// Road speed against engine speed.
#[derive(Debug, Clone)]
pub struct GearingStudy {
    /// The gears.
    pub gears: Gears,
    /// Every gear, and where the marks fall; trap figures only count with [`GearingStudy::trap`].
    pub chart: GearingChart,
    /// The trap of the run; none without a run.
    pub trap: Option<Trap>,
    /// Engine speed wanted at the trap, rad/s.
    pub wanted: f64,
    /// Final drives that can be had, the nearest to the goal first; empty without a run.
    pub choices: Vec<FinalDriveChoice>,
}

/// Where the run passes the trap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trap {
    /// Speed, m/s.
    pub speed: f64,
    /// Gear, from 0.
    pub gear: usize,
    /// Engine speed in that gear at that road speed, rad/s.
    pub engine: f64,
}

/// Gears as the library takes them, all with one slip.
fn gears(b: &Build, d: &Driveline, slip: f64) -> Result<Gears, Phrase> {
    let r = &b.run;
    if r.gears.is_empty() {
        return Err(Phrase::from("no gear is entered for the run"));
    }
    let ratios: Vec<f64> = r.gears.iter().map(|g| g.ratio.si()).collect();
    if ratios.windows(2).any(|p| p[0] <= p[1]) {
        return Err(Phrase::from(
            "the gears do not get longer from first to last",
        ));
    }
    Ok(Gears {
        slip: vec![slip; ratios.len()],
        ratios,
        final_drive: b.power.final_drive.si(),
        rolling_radius: r.rolling_radius.si(),
        redline: d.redline.si(),
        efficiency: r.gears[0].efficiency.si(),
    })
}

pub(super) fn top(b: &Build, d: &Driveline) -> Result<TopSpeed, Phrase> {
    let per_road = b.power.final_drive.si() / b.run.rolling_radius.si();
    if let Some(v) = d.top_speed {
        return Ok(TopSpeed {
            road: v.si(),
            shaft: v.si() * per_road,
            redline: false,
        });
    }
    let Some(last) = b.run.gears.last() else {
        return Err(Phrase::from("no top speed and no gear is entered"));
    };
    let shaft = d.redline.si() / last.ratio.si();
    Ok(TopSpeed {
        road: shaft / per_road,
        shaft,
        redline: true,
    })
}

fn tube(d: &Driveline, length: f64) -> ShaftTube {
    let t = &d.tube;
    ShaftTube {
        section: Section::Tube {
            outside: t.outside.si(),
            wall: t.wall.si(),
        },
        length,
        material: Material {
            modulus: t.modulus.si(),
            yield_strength: t.yield_strength.si(),
        },
        shear_modulus: t.shear_modulus.si(),
        density: t.density.si(),
    }
}

pub(super) fn critical(d: &Driveline, length: f64, speed: f64) -> Result<CriticalStudy, Phrase> {
    let tube = tube(d, length);
    let found = || {
        Ok::<_, DrivelineError>(CriticalStudy {
            speed: tube.critical_speed(speed)?,
            longest: tube.longest(speed)?,
        })
    };
    found().map_err(|e| words(&e))
}

/// Greatest torque ratio of the converter; 1 with a clutch.
fn multiplied(c: &CouplingData) -> f64 {
    match c {
        CouplingData::Clutch => 1.0,
        CouplingData::Converter(points) => points.iter().map(|p| p.2).fold(1.0, f64::max),
    }
}

pub(super) fn strength(
    b: &Build,
    d: &Driveline,
    length: Option<f64>,
    launch: &LaunchStudy,
) -> Result<StrengthStudy, Phrase> {
    let r = &b.run;
    let engine = r.torque.iter().map(|p| p.1.si()).fold(0.0, f64::max);
    let first = r
        .gears
        .first()
        .filter(|_| engine > 0.0)
        .ok_or_else(|| Phrase::from("no torque curve or no gear is entered for the run"))?;
    let (final_drive, mu) = (b.power.final_drive.si(), b.power.friction.si());
    let radius = b.car.rear.loaded_radius.si();
    // Where the tyres slip the rear carries most; standing where that is not known.
    let standing = 0.5 * b.car.mass.si() * vehicle::STANDARD_GRAVITY * b.car.rear_share.si();
    let loads = launch
        .reactions
        .as_ref()
        .ok()
        .and_then(|x| x.traction.as_ref().ok())
        .map_or([standing; 2], |t| {
            [
                t.balance.tyre_load.rear_left,
                t.balance.tyre_load.rear_right,
            ]
        });
    let both = mu * (loads[0] + loads[1]) * radius;
    let heavier = mu * loads[0].max(loads[1]) * radius;
    let work = || {
        let converter = multiplied(&r.coupling);
        let torque = |tyres, shock| {
            driveshaft_torque(
                engine,
                first.ratio.si(),
                converter,
                first.efficiency.si(),
                tyres,
                shock,
            )
        };
        let free = torque(None, 1.0)?;
        let shocked = torque(Some(both / final_drive), d.shock.si())?;
        let tube = length
            .map(|length| tube(d, length).torsion(shocked))
            .transpose()?;
        let axle = d
            .axle_shaft
            .map(|x| axle_shaft(&x, d.shock.si(), free * final_drive, heavier))
            .transpose()?;
        Ok::<_, DrivelineError>(StrengthStudy {
            torque: shocked,
            by_tyres: both / final_drive < free,
            tube,
            axle,
        })
    };
    work().map_err(|e| words(&e))
}

fn axle_shaft(
    x: &crate::AxleShaftData,
    shock: f64,
    axle_torque: f64,
    tyre: f64,
) -> Result<AxleShaftStudy, DrivelineError> {
    let shaft = AxleShaft {
        diameter: x.diameter.si(),
        bore: x.bore.si(),
        material: Material {
            modulus: crate::steel_modulus().si(),
            yield_strength: x.yield_strength.si(),
        },
        share: x.share.si(),
        shock,
    };
    let torque = shaft.torque(axle_torque, tyre)?;
    let (stress, safety) = shaft.stress(torque)?;
    let spline = x
        .spline
        .map(|s| {
            Spline {
                pitch_diameter: s.pitch.si(),
                teeth: s.teeth,
                engagement: s.engagement.si(),
                tooth_depth: s.depth.si(),
                carrying: CARRYING,
            }
            .stress(torque)
        })
        .transpose()?;
    let shear = x.yield_strength.si() / 3.0_f64.sqrt();
    Ok(AxleShaftStudy {
        torque,
        stress,
        safety,
        spline_safety: spline.and_then(|s| (s.shear > 0.0).then(|| shear / s.shear)),
        spline,
    })
}

pub(super) fn gearing(b: &Build, d: &Driveline, run: &RunStudy) -> Result<GearingStudy, Phrase> {
    let dry = gears(b, d, 0.0)?;
    let passed = run.run.as_ref().ok().and_then(|x| {
        let s = x.at(x.duration()).ok()?;
        let gear = s.gear.checked_sub(1).filter(|g| *g < dry.ratios.len())?;
        Some((x.slip.quarter_trap, gear, s))
    });
    // A converter slips at the trap as the run says.
    let slip = match (&b.run.coupling, &passed) {
        (CouplingData::Converter(_), Some((_, gear, s))) => s.engine_speed.map_or(0.0, |engine| {
            let turbine = s.speed / dry.rolling_radius * dry.final_drive * dry.ratios[*gear];
            (1.0 - turbine / engine).clamp(0.0, 0.9)
        }),
        _ => 0.0,
    };
    let gears = Gears {
        slip: vec![slip; dry.ratios.len()],
        ..dry
    };
    let wanted = d.trap_engine.unwrap_or(d.redline).si();
    let goal = Goal {
        trap_speed: passed.as_ref().map_or(SIXTY_MPH, |p| p.0),
        trap_gear: passed.as_ref().map_or(gears.ratios.len() - 1, |p| p.1),
        trap_engine_speed: wanted,
    };
    let drives: Vec<f64> = d.final_drives.iter().map(|r| r.si()).collect();
    let work = || {
        let chart = gears.chart(&goal)?;
        let choices = match passed {
            Some(_) => gears.choose(&goal, &drives)?,
            None => Vec::new(),
        };
        let trap = passed.as_ref().map(|(speed, gear, _)| Trap {
            speed: *speed,
            gear: *gear,
            engine: chart.gears[*gear].at_trap,
        });
        Ok::<_, DrivelineError>((chart, choices, trap))
    };
    let (chart, choices, trap) = work().map_err(|e| words(&e))?;
    Ok(GearingStudy {
        gears,
        chart,
        trap,
        wanted,
        choices,
    })
}
