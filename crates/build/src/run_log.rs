//! The run log: each run with the exact setting it was made with.

use serde::{Deserialize, Serialize};
use units::{Length, Pressure, Ratio, RotationSpeed, Speed, SpringRate, Time};

use crate::{Build, HeldLength, Preload, WeatherData};

/// A run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RunRecord {
    /// Short name.
    pub id: String,
    /// Date and time.
    #[serde(default)]
    pub when: String,
    /// Track and lane.
    #[serde(default)]
    pub place: String,
    /// What it was set to.
    pub setting: RunSetting,
    /// The air.
    pub weather: WeatherData,
    /// What the clock said.
    #[serde(default)]
    pub times: RunTimes,
    /// What was seen.
    #[serde(default)]
    pub seen: Vec<Seen>,
    /// Anything worth remembering.
    #[serde(default)]
    pub note: String,
    /// Photos and notes, by path.
    #[serde(default)]
    pub files: Vec<String>,
    /// What the model said for this setting when it was written down.
    #[serde(default)]
    pub predicted: RunTimes,
    /// It counts in the friction fit.
    #[serde(default)]
    pub learn: bool,
}

/// A time slip; what was not measured is left out.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RunTimes {
    /// 60 ft.
    #[serde(default)]
    pub sixty_foot: Option<Time>,
    /// 330 ft.
    #[serde(default)]
    pub three_thirty: Option<Time>,
    /// 660 ft.
    #[serde(default)]
    pub eighth: Option<Time>,
    /// 1000 ft.
    #[serde(default)]
    pub thousand: Option<Time>,
    /// 1320 ft.
    #[serde(default)]
    pub quarter: Option<Time>,
    /// Speed over the last 66 ft of the quarter.
    #[serde(default)]
    pub quarter_speed: Option<Speed>,
    /// 0–60 mph, from first motion.
    #[serde(default)]
    pub zero_sixty: Option<Time>,
}

/// What was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Seen {
    /// The tyres spun.
    Spun,
    /// The engine bogged.
    Bogged,
    /// The front wheels came up.
    StoodUp,
    /// It pulled left.
    PulledLeft,
    /// It pulled right.
    PulledRight,
    /// The suspension hit a stop.
    HitStop,
    /// It left straight and clean.
    Clean,
}

impl Seen {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Spun,
        Self::Bogged,
        Self::StoodUp,
        Self::PulledLeft,
        Self::PulledRight,
        Self::HitStop,
        Self::Clean,
    ];

    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Spun => "spun the tyres",
            Self::Bogged => "bogged",
            Self::StoodUp => "stood up",
            Self::PulledLeft => "pulled left",
            Self::PulledRight => "pulled right",
            Self::HitStop => "hit a stop",
            Self::Clean => "left clean",
        }
    }
}

/// Everything that is set between runs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RunSetting {
    /// The holes of every link.
    #[serde(default)]
    pub links: Vec<LinkSetting>,
    /// Coil-overs.
    #[serde(default)]
    pub coils: Vec<CoilSetting>,
    /// Launch speed of the engine.
    pub launch: RotationSpeed,
    /// Shift speed of each gear.
    #[serde(default)]
    pub shifts: Vec<RotationSpeed>,
    /// Damper clicks, in the shop's own words: "rear rebound 6".
    #[serde(default)]
    pub clicks: String,
    /// Rear tyre pressure.
    #[serde(default)]
    pub rear_pressure: Option<Pressure>,
    /// Front tyre pressure.
    #[serde(default)]
    pub front_pressure: Option<Pressure>,
    /// Load sensitivity of the tyres, as it was then.
    #[serde(default)]
    pub load_sensitivity: Option<Ratio>,
}

/// One link as it was bolted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinkSetting {
    /// The link.
    pub link: String,
    /// Hole at the frame, left (or both).
    pub frame: usize,
    /// Hole at the frame, right, where it is another.
    #[serde(default)]
    pub frame_right: Option<usize>,
    /// Hole at the axle.
    pub axle: usize,
    /// Hole at the axle, right, where it is another.
    #[serde(default)]
    pub axle_right: Option<usize>,
    /// Held lengths.
    #[serde(default)]
    pub held: Option<HeldLength>,
}

/// One coil-over as it was set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoilSetting {
    /// The coil-over.
    pub coilover: String,
    /// Spring rate.
    pub rate: SpringRate,
    /// Free length of the spring.
    pub spring_free: Length,
    /// Preload set by hand.
    #[serde(default)]
    pub preload: Option<Preload>,
}

impl RunSetting {
    /// The setting a build is at; clicks and pressures are not in it and stay empty.
    pub fn of(b: &Build) -> Self {
        Self {
            links: b
                .rear
                .links
                .iter()
                .map(|l| LinkSetting {
                    link: l.id.clone(),
                    frame: l.at_frame.hole,
                    frame_right: l.at_frame.right_hole,
                    axle: l.at_axle.hole,
                    axle_right: l.at_axle.right_hole,
                    held: l.held,
                })
                .collect(),
            coils: b
                .power
                .coilovers
                .iter()
                .map(|c| CoilSetting {
                    coilover: c.id.clone(),
                    rate: c.rate,
                    spring_free: c.spring_free,
                    preload: c.preload,
                })
                .collect(),
            launch: b.run.launch,
            shifts: b.run.gears.iter().map(|g| g.shift).collect(),
            clicks: String::new(),
            rear_pressure: None,
            front_pressure: None,
            load_sensitivity: Some(b.run.load_sensitivity),
        }
    }

    /// Sets a build to it; parts that are gone are left alone and named.
    pub fn apply(&self, b: &mut Build) -> Vec<String> {
        let mut gone = Vec::new();
        for s in &self.links {
            let Some(l) = b.rear.links.iter_mut().find(|l| l.id == s.link) else {
                gone.push(s.link.clone());
                continue;
            };
            l.at_frame.hole = s.frame;
            l.at_frame.right_hole = s.frame_right;
            l.at_axle.hole = s.axle;
            l.at_axle.right_hole = s.axle_right;
            l.held = s.held;
        }
        for s in &self.coils {
            let Some(c) = b.power.coilovers.iter_mut().find(|c| c.id == s.coilover) else {
                gone.push(s.coilover.clone());
                continue;
            };
            c.rate = s.rate;
            c.spring_free = s.spring_free;
            c.preload = s.preload;
        }
        b.run.launch = self.launch;
        for (g, shift) in b.run.gears.iter_mut().zip(&self.shifts) {
            g.shift = *shift;
        }
        if let Some(k) = self.load_sensitivity {
            b.run.load_sensitivity = k;
        }
        gone
    }
}
