//! Road speed against engine speed in every gear, and the final drive for a goal.

use super::{DrivelineError, bad, positive, share};

/// 60 mph, m/s, exact.
pub const SIXTY_MPH: f64 = 26.8224;
/// One turn per minute, rad/s.
pub const RPM: f64 = std::f64::consts::PI / 30.0;

/// The gears and what turns with them.
#[derive(Clone, Debug, PartialEq)]
pub struct Gears {
    /// Ratios from first to last, positive, falling.
    pub ratios: Vec<f64>,
    /// Slip of the converter in each gear, 0 to below 1; 0 with a clutch.
    pub slip: Vec<f64>,
    /// Final drive ratio, positive.
    pub final_drive: f64,
    /// Rolling radius of the driven tyre, m, positive: measured roll-out over 2π, not the loaded radius.
    pub rolling_radius: f64,
    /// Redline, rad/s, positive.
    pub redline: f64,
    /// Efficiency from the flywheel to the wheels, above 0, at most 1.
    pub efficiency: f64,
}

/// What the gearing is for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Goal {
    /// Speed at the trap, m/s, positive.
    pub trap_speed: f64,
    /// Gear in which it is passed, from 0.
    pub trap_gear: usize,
    /// Engine speed wanted there, rad/s, positive.
    pub trap_engine_speed: f64,
}

/// One gear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearRow {
    /// Ratio.
    pub ratio: f64,
    /// Ratio times final drive.
    pub overall: f64,
    /// Speed at the redline, m/s.
    pub speed_at_redline: f64,
    /// Engine speed at 60 mph, rad/s.
    pub at_sixty: f64,
    /// Engine speed at the trap, rad/s.
    pub at_trap: f64,
    /// Engine speed after the shift out of this gear at the redline, rad/s; None: the last.
    pub after_shift: Option<f64>,
}

/// All gears, and where the marks fall.
#[derive(Clone, Debug, PartialEq)]
pub struct GearingChart {
    /// From first to last.
    pub gears: Vec<GearRow>,
    /// Shifts at the redline before 60 mph; None: no gear reaches it.
    pub shifts_before_sixty: Option<usize>,
    /// Lowest gear that reaches the trap speed, from 0; None: none does.
    pub gear_at_trap: Option<usize>,
    /// Final drive that meets the goal exactly.
    pub final_drive_for_goal: f64,
}

/// A final drive that can be bought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FinalDriveChoice {
    /// Its ratio.
    pub final_drive: f64,
    /// Engine speed at the trap, rad/s.
    pub at_trap: f64,
    /// First gear's speed at the redline, m/s.
    pub first_at_redline: f64,
    /// |ln(engine speed/wanted)|.
    pub miss: f64,
    /// Past the redline at the trap.
    pub over_redline: bool,
}

impl Gears {
    fn check(&self) -> Result<(), DrivelineError> {
        if self.ratios.is_empty() {
            return Err(bad("number of gears", 0.0, "at least 1"));
        }
        if self.slip.len() != self.ratios.len() {
            return Err(bad(
                "number of converter slips",
                self.slip.len() as f64,
                "one for each gear",
            ));
        }
        for ratio in &self.ratios {
            positive("gear ratio", *ratio)?;
        }
        for pair in self.ratios.windows(2) {
            positive(
                "step down from one gear's ratio to the next",
                pair[0] - pair[1],
            )?;
        }
        for slip in &self.slip {
            if !(0.0..1.0).contains(slip) {
                return Err(bad("converter slip", *slip, "from 0 to below 1"));
            }
        }
        positive("final drive ratio", self.final_drive)?;
        positive("rolling radius", self.rolling_radius)?;
        positive("redline", self.redline)?;
        share("efficiency", self.efficiency).map(|_| ())
    }

    /// Speed per engine speed in a gear with a final drive, m.
    fn reach(&self, gear: usize, final_drive: f64) -> f64 {
        (1.0 - self.slip[gear]) * self.rolling_radius / (self.ratios[gear] * final_drive)
    }

    /// Road speed (m/s) at an engine speed (rad/s) in a gear (from 0): a straight line through zero.
    ///
    /// # Errors
    /// [`DrivelineError::BadInput`].
    pub fn speed(&self, gear: usize, engine_speed: f64) -> Result<f64, DrivelineError> {
        self.check()?;
        self.known(gear)?;
        Ok(engine_speed * self.reach(gear, self.final_drive))
    }

    /// Torque of the driveshaft and of the axle (N·m), and thrust at the ground (N), for an engine torque (N·m) in a gear (from 0). The
    /// converter's torque ratio is not in it.
    ///
    /// # Errors
    /// [`DrivelineError::BadInput`].
    pub fn torques(&self, gear: usize, engine_torque: f64) -> Result<[f64; 3], DrivelineError> {
        self.check()?;
        self.known(gear)?;
        let shaft = engine_torque * self.ratios[gear] * self.efficiency;
        let axle = shaft * self.final_drive;
        Ok([shaft, axle, axle / self.rolling_radius])
    }

    fn known(&self, gear: usize) -> Result<(), DrivelineError> {
        if gear < self.ratios.len() {
            Ok(())
        } else {
            Err(bad("gear", gear as f64 + 1.0, "one of the gearbox"))
        }
    }

    fn check_goal(&self, goal: &Goal) -> Result<(), DrivelineError> {
        self.check()?;
        positive("trap speed", goal.trap_speed)?;
        positive("engine speed at the trap", goal.trap_engine_speed)?;
        self.known(goal.trap_gear)
    }

    /// Every gear, and where the goal's speeds fall.
    ///
    /// # Errors
    /// [`DrivelineError::BadInput`].
    pub fn chart(&self, goal: &Goal) -> Result<GearingChart, DrivelineError> {
        self.check_goal(goal)?;
        let gears: Vec<GearRow> = (0..self.ratios.len())
            .map(|i| {
                let reach = self.reach(i, self.final_drive);
                let speed_at_redline = self.redline * reach;
                GearRow {
                    ratio: self.ratios[i],
                    overall: self.ratios[i] * self.final_drive,
                    speed_at_redline,
                    at_sixty: SIXTY_MPH / reach,
                    at_trap: goal.trap_speed / reach,
                    after_shift: (i + 1 < self.ratios.len())
                        .then(|| speed_at_redline / self.reach(i + 1, self.final_drive)),
                }
            })
            .collect();
        let lowest = |speed: f64| gears.iter().position(|g| g.speed_at_redline >= speed);
        Ok(GearingChart {
            shifts_before_sixty: lowest(SIXTY_MPH),
            gear_at_trap: lowest(goal.trap_speed),
            final_drive_for_goal: goal.trap_engine_speed * self.reach(goal.trap_gear, 1.0)
                / goal.trap_speed,
            gears,
        })
    }

    /// Real final drives, nearest to the goal first, those past the redline last.
    ///
    /// # Errors
    /// [`DrivelineError::BadInput`].
    pub fn choose(
        &self,
        goal: &Goal,
        final_drives: &[f64],
    ) -> Result<Vec<FinalDriveChoice>, DrivelineError> {
        self.check_goal(goal)?;
        let mut out = Vec::with_capacity(final_drives.len());
        for &final_drive in final_drives {
            positive("final drive ratio", final_drive)?;
            let at_trap = goal.trap_speed / self.reach(goal.trap_gear, final_drive);
            out.push(FinalDriveChoice {
                final_drive,
                at_trap,
                first_at_redline: self.redline * self.reach(0, final_drive),
                miss: (at_trap / goal.trap_engine_speed).ln().abs(),
                over_redline: at_trap > self.redline,
            });
        }
        out.sort_by(|a, b| (a.over_redline.cmp(&b.over_redline)).then(a.miss.total_cmp(&b.miss)));
        Ok(out)
    }
}
