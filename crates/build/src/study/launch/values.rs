//! Readings of the car under power.

use vehicle::launch::{Balance, TractionKind};
use vehicle::springs::SpringChoice;

use super::{Case, CoilStudy, LaunchStudy, coils};
use crate::study::{Definition, Motion, NoValue, Of, RearStudy};
use crate::{Build, Side};

fn because(why: impl Into<String>) -> NoValue {
    NoValue::Because(why.into())
}

/// The case a reading's id names, and what is left of the id.
fn case_of(id: &str) -> Option<(Case, &str)> {
    let rest = id.strip_prefix("launch.")?;
    Some(match rest.split_once('.') {
        Some(("rest", what)) => (Case::Rest, what),
        Some(("traction", what)) => (Case::Traction, what),
        Some(("braking", what)) => (Case::Braking, what),
        _ => (Case::Drive, rest),
    })
}

fn side_id(side: Side) -> &'static str {
    match side {
        Side::Left => ".left",
        Side::Right => ".right",
        Side::Both => "",
    }
}

fn side_word(side: Side) -> &'static str {
    match side {
        Side::Left => ", left",
        Side::Right => ", right",
        Side::Both => "",
    }
}

fn of(id: &str, label: &str, side: Side) -> Of {
    Of {
        id: format!("{id}{}", side_id(side)),
        label: format!("{label}{}", side_word(side)),
    }
}

impl LaunchStudy {
    pub(in crate::study) fn value(&self, b: &Build, d: &Definition) -> Result<f64, NoValue> {
        match d.id {
            "spring.frequency.front" => return self.front_frequency.clone().map_err(because),
            "spring.frequency.rear" => return self.rear_frequency.clone().map_err(because),
            id if id.starts_with("driveline.") => return self.shaft_value(id),
            _ => {}
        }
        let reactions = self
            .reactions
            .as_ref()
            .map_err(|why| because(why.clone()))?;
        match d.id {
            "launch.traction.acceleration" => {
                let t = reactions.traction.as_ref();
                let t = t.map_err(|e| because(super::words::launch(e)))?;
                return match t.kind {
                    TractionKind::Slip => Ok(t.acceleration),
                    TractionKind::Balance(_) => {
                        Err(because("the tyres never slip: the front comes up first"))
                    }
                };
            }
            "launch.lift_off" => {
                let lift = reactions.lift.as_ref();
                let lift = lift.map_err(|e| because(super::words::launch(e)))?;
                return lift.as_ref().map(|l| l.acceleration).ok_or_else(|| {
                    because("the car finds no balance any more before a front tyre lifts")
                });
            }
            _ => {}
        }
        let (case, what) = case_of(d.id).ok_or_else(|| because("there is no such reading"))?;
        let balance = reactions.balance(case).map_err(because)?;
        in_balance(b, balance, what).ok_or_else(|| because("there is no such reading"))
    }

    fn shaft_value(&self, id: &str) -> Result<f64, NoValue> {
        let shaft = match &self.shaft {
            None => return Err(because("no driveshaft is drawn yet")),
            Some(s) => s.as_ref().map_err(|why| because(why.clone()))?,
        };
        Ok(match id {
            "driveline.front_angle" => shaft.ride.front_angle,
            "driveline.rear_angle" => shaft.ride.rear_angle,
            "driveline.difference" => shaft.ride.difference,
            "driveline.worst_angle" => shaft.worst_angle(),
            _ => {
                let (low, high) = shaft.plunge();
                high - low
            }
        })
    }

    /// The value of one reading, family or not.
    pub(in crate::study) fn one(
        &self,
        b: &Build,
        rear: &RearStudy,
        d: &Definition,
        id: &str,
    ) -> Option<f64> {
        if !d.family {
            return self.value(b, d).ok();
        }
        let part = id.strip_prefix(d.id)?.strip_prefix('.')?;
        let all = self.family(b, rear, d);
        all.into_iter().find(|(of, _)| of.id == part)?.1.ok()
    }

    /// The readings of a family: one for every part.
    pub(in crate::study) fn family(
        &self,
        b: &Build,
        rear: &RearStudy,
        d: &Definition,
    ) -> Vec<(Of, Result<f64, NoValue>)> {
        match d.id {
            id if id.starts_with("spring.") => self
                .coilovers
                .iter()
                .map(|c| (self.coil_of(b, c), coil_value(c, id)))
                .collect(),
            "launch.coilover_force" | "launch.coilover_length" => self
                .coilovers
                .iter()
                .enumerate()
                .map(|(i, c)| {
                    let value = self.balance(Case::Drive).and_then(|balance| {
                        let all = if d.id == "launch.coilover_force" {
                            &balance.coil_force
                        } else {
                            &balance.coil_length
                        };
                        all.get(i).copied().ok_or_else(|| because("no such spring"))
                    });
                    (self.coil_of(b, c), value)
                })
                .collect(),
            id => rear
                .rods
                .iter()
                .enumerate()
                .map(|(i, r)| {
                    let link = &b.rear.links[r.link];
                    (of(&link.id, &link.label, r.side), self.link_value(id, i))
                })
                .collect(),
        }
    }

    fn coil_of(&self, b: &Build, c: &CoilStudy) -> Of {
        let x = &b.power.coilovers[c.coilover];
        of(&x.id, &x.label, c.side)
    }

    fn link_value(&self, id: &str, rod: usize) -> Result<f64, NoValue> {
        if let Some(what) = id.strip_prefix("link.") {
            let study = match self.links.get(rod) {
                Some(s) => s.as_ref().map_err(|why| because(why.clone()))?,
                None => return Err(because("no such link")),
            };
            return match what {
                "stress" => Ok(study.verdict.stress),
                _ => study
                    .verdict
                    .governing
                    .map(|g| g.factor)
                    .ok_or_else(|| because("nothing loads it")),
            };
        }
        let (case, _) = case_of(id).ok_or_else(|| because("there is no such reading"))?;
        let force = self.balance(case)?.rod_force.get(rod).copied();
        force.ok_or_else(|| because("no such link"))
    }

    fn balance(&self, case: Case) -> Result<&Balance, NoValue> {
        let reactions = self
            .reactions
            .as_ref()
            .map_err(|why| because(why.clone()))?;
        reactions.balance(case).map_err(because)
    }

    /// How a coil-over moves over the travel looked at: (travel m, motion ratio, wheel rate N/m).
    pub fn over_travel(&self, b: &Build, motion: &Motion, coil: usize) -> Vec<[f64; 3]> {
        self.coilovers
            .get(coil)
            .map_or_else(Vec::new, |c| coils::over_travel(b, motion, c))
    }

    /// The springs of a catalogue (least, greatest, step, N/m) that give a ride frequency in a band (Hz).
    ///
    /// # Errors
    /// Why there is no choice, in words.
    pub fn spring_choices(
        &self,
        b: &Build,
        coil: usize,
        catalogue: [f64; 3],
        band: (f64, f64),
    ) -> Result<Vec<SpringChoice>, String> {
        let c = self.coilovers.get(coil).ok_or("no such coil-over")?;
        coils::choices(b, c, catalogue, band)
    }
}

fn in_balance(b: &Build, x: &Balance, what: &str) -> Option<f64> {
    let t = &x.tyre_load;
    Some(match what {
        "front_left" => t.front_left,
        "front_right" => t.front_right,
        "rear_left" => t.rear_left,
        "rear_right" => t.rear_right,
        "rear_difference" => x.rear_load_difference,
        "squat" => x.rear_squat,
        "front_rise" => x.front_lift,
        "separation" => x.rear_separation,
        // Nose up is a negative turn about y.
        "pitch" => -x.pitch_change,
        "roll" => x.roll_change,
        "height" => {
            let over_axle = geometry::Point3::new(0.0, 0.0, b.car.rear.loaded_radius.si());
            x.sprung_point(&over_axle).z - over_axle.z
        }
        "lean" => x.sprung.roll,
        _ => return None,
    })
}

fn coil_value(c: &CoilStudy, id: &str) -> Result<f64, NoValue> {
    let ride = c.ride.as_ref().map_err(|why| because(why.clone()))?;
    let seat = || {
        ride.seat
            .as_ref()
            .ok_or_else(|| because("spring and shock do not fit each other at ride height"))
    };
    let left = |way: Option<f64>| way.ok_or_else(|| because("more than the travel looked at"));
    let budget = || {
        ride.budget
            .as_ref()
            .ok_or_else(|| because("spring and shock do not fit each other at ride height"))
    };
    match id {
        "spring.motion_ratio" => Ok(ride.state.motion.motion_ratio),
        "spring.wheel_rate" => Ok(ride.state.wheel_rate),
        "spring.force" => Ok(ride.force),
        "spring.preload" => Ok(ride.preload),
        "spring.seat" => Ok(seat()?.seat_distance),
        "spring.bump_left" => left(budget()?.bump),
        "spring.droop_left" => left(budget()?.droop),
        "spring.tilt" => Ok(ride.tilt),
        _ => Err(because("there is no such reading")),
    }
}
