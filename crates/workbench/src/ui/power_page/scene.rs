//! What both views of the car show: a balance, where it carries everything, and how it stood at rest.

use build::{Carrier, Case, Reactions, Side};
use vehicle::launch::{Balance, LaunchError, SettledCar};

use super::carriage::Carriage;
use crate::ui::bench::Bench;

/// The balance of a case to draw, and why it is not the one asked for: then it is the last one on the way.
pub fn balance_of(reactions: &Reactions, case: Case) -> (&Balance, Option<String>) {
    let why = match reactions.balance(case) {
        Ok(balance) => return (balance, None),
        Err(why) => why,
    };
    let failed = match case {
        Case::Rest => None,
        Case::Drive => reactions.drive.as_ref().err(),
        Case::Traction => reactions.traction.as_ref().err(),
        Case::Braking => reactions.braking.as_ref().err(),
    };
    let last = match failed {
        Some(LaunchError::NoBalance { last, .. } | LaunchError::Lost { last, .. }) => last,
        _ => &reactions.settled.at_rest,
    };
    (last, Some(why))
}

/// A balance that is shown.
pub struct Shown<'a> {
    /// The car.
    pub settled: &'a SettledCar,
    /// Where it stands.
    pub balance: &'a Balance,
    /// Where that carries frame and axle, as large as it is drawn.
    pub pose: Carriage,
    /// The same at rest.
    pub rest: Carriage,
    /// Which case.
    pub case: Case,
}

impl Shown<'_> {
    /// The car at rest.
    pub fn at_rest(&self) -> &Balance {
        &self.settled.at_rest
    }
}

/// What the views draw.
pub struct Scene<'a> {
    /// The snapshot.
    pub bench: &'a Bench<'a>,
    /// The balance; without one the car is drawn as it is on the board.
    pub shown: Option<Shown<'a>>,
    /// Movement is drawn so many times as large.
    pub factor: f64,
}

impl<'a> Scene<'a> {
    /// The scene of a case.
    pub fn of(bench: &'a Bench<'a>, case: Case, factor: f64) -> Self {
        let shown = bench.study.launch.reactions.as_ref().ok().map(|r| {
            let (balance, _) = balance_of(r, case);
            let rest = &r.settled.at_rest;
            Shown {
                settled: &r.settled,
                balance,
                pose: Carriage::of(bench.build, rest, balance, factor),
                rest: Carriage::of(bench.build, rest, rest, 1.0),
                case,
            }
        });
        Self {
            bench,
            shown,
            factor,
        }
    }

    /// The pose of the handles.
    pub fn carriage(&self) -> Option<&Carriage> {
        self.shown.as_ref().map(|s| &s.pose)
    }

    /// Where a point stands.
    pub fn carry(&self, on: Carrier, p: [f64; 3]) -> [f64; 3] {
        self.carriage().map_or(p, |c| c.carry(on, p))
    }

    /// Where a point stood at rest, when that is another place.
    pub fn ghost(&self, on: Carrier, p: [f64; 3]) -> Option<[f64; 3]> {
        let s = self.shown.as_ref().filter(|s| s.case != Case::Rest)?;
        Some(s.rest.carry(on, p))
    }

    /// Both ends of a rod.
    pub fn rod(&self, r: &build::RodStudy) -> [[f64; 3]; 2] {
        [
            self.carry(Carrier::Frame, r.frame),
            self.carry(Carrier::Axle, r.axle),
        ]
    }

    /// How far a front wheel is off the ground, m, as large as it is drawn.
    pub fn wheel_lift(&self, left: bool) -> f64 {
        let Some(s) = &self.shown else {
            return 0.0;
        };
        let car = s.settled.model().car();
        let y = if left { 0.5 } else { -0.5 } * car.front_track;
        let at = s.pose.carry(
            Carrier::Frame,
            [
                car.wheelbase,
                y,
                self.bench.build.car.front.loaded_radius.si(),
            ],
        );
        // Drawn larger than it is, only a wheel that is off the ground may leave it.
        let off = s.balance.front_wheel_lifted[usize::from(!left)];
        if off {
            (at[2] - car.front_free_height).max(0.0)
        } else {
            0.0
        }
    }

    /// Rods of a link: (index of the rod, side).
    pub fn rods_of(&self, link: usize) -> impl Iterator<Item = (usize, &'a build::RodStudy)> {
        self.bench
            .study
            .rear
            .rods
            .iter()
            .enumerate()
            .filter(move |(_, r)| r.link == link)
    }

    /// Force of a rod, tension positive, N.
    pub fn force(&self, rod: usize) -> Option<f64> {
        self.shown.as_ref()?.balance.rod_force.get(rod).copied()
    }
}

/// "L", "R", or nothing for a single one.
pub fn letter(side: Side) -> &'static str {
    match side {
        Side::Left => "L ",
        Side::Right => "R ",
        Side::Both => "",
    }
}
