//! Scalar fields of the document as a table: typed entry, ranges and help come from here.

use units::Kind;

use crate::Build;

/// One scalar field.
pub struct Field {
    /// Its path in the file.
    pub id: &'static str,
    /// What the form calls it.
    pub label: &'static str,
    /// How to measure it.
    pub help: &'static str,
    /// Kind of quantity.
    pub kind: Kind,
    /// Least value taken, SI.
    pub low: f64,
    /// Greatest value taken, SI.
    pub high: f64,
    /// Is the part it belongs to drawn?
    pub drawn: fn(&Build) -> bool,
    /// Reads it, SI; not a number while its part is not drawn.
    pub get: fn(&Build) -> f64,
    /// Writes it, SI; the caller has checked the range.
    pub set: fn(&mut Build, f64),
}

impl std::fmt::Debug for Field {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Field")
            .field("id", &self.id)
            .finish_non_exhaustive()
    }
}

macro_rules! field {
    ($label:literal, $kind:ident, $low:literal ..= $high:literal, $($path:ident).+, $help:literal) => {
        Field {
            id: stringify!($($path).+),
            label: $label,
            help: $help,
            kind: Kind::$kind,
            low: $low,
            high: $high,
            drawn: |_| true,
            get: |b| b.$($path).+.si(),
            set: |b, v| b.$($path).+ = units::$kind::from_si(v),
        }
    };
}

/// The scalar fields of what every build has, in the order forms show them.
pub const FIELDS: &[Field] = &[
    field!(
        "Wheelbase",
        Length,
        1.0..=6.0,
        car.wheelbase,
        "Rear axle centreline to front axle centreline, along the floor. Tape both sides: they must agree within 1/16 in."
    ),
    field!(
        "Weight",
        Mass,
        200.0..=5000.0,
        car.mass,
        "The whole car with driver and half fuel, from corner scales."
    ),
    field!(
        "Rear share",
        Ratio,
        0.05..=0.95,
        car.rear_share,
        "Weight on the two rear tyres over the whole weight."
    ),
    field!(
        "Centre of gravity up",
        Length,
        0.1..=2.0,
        car.cg_height,
        "Height of the whole car's centre of gravity above the floor, from weighing with one axle raised."
    ),
    field!(
        "Rear brake share",
        Ratio,
        0.0..=1.0,
        car.rear_brake_share,
        "Share of the brake force that the rear tyres make."
    ),
    field!(
        "Front track",
        Length,
        0.5..=3.0,
        car.front.track,
        "Between the front tyres' centre planes, at the floor."
    ),
    field!(
        "Front tyre diameter",
        Length,
        0.2..=1.5,
        car.front.tyre_diameter,
        "Free diameter of the front tyre."
    ),
    field!(
        "Front tyre width",
        Length,
        0.03..=0.8,
        car.front.tyre_width,
        "Section width of the front tyre."
    ),
    field!(
        "Front wheel centre up",
        Length,
        0.1..=0.75,
        car.front.loaded_radius,
        "Floor to front wheel centre with the car on its wheels."
    ),
    field!(
        "Rear track",
        Length,
        0.5..=3.0,
        car.rear.track,
        "Between the rear tyres' centre planes, at the floor."
    ),
    field!(
        "Rear tyre diameter",
        Length,
        0.2..=1.5,
        car.rear.tyre_diameter,
        "Free diameter of the rear tyre."
    ),
    field!(
        "Rear tyre width",
        Length,
        0.03..=0.8,
        car.rear.tyre_width,
        "Section width of the rear tyre."
    ),
    field!(
        "Rear wheel centre up",
        Length,
        0.1..=0.75,
        car.rear.loaded_radius,
        "Floor to rear axle centreline with the car on its wheels: the loaded radius of the tyre."
    ),
    field!(
        "Rail out",
        Length,
        0.0..=1.5,
        frame.offset,
        "Centreline to the rail's inside face."
    ),
    field!(
        "Rail width",
        Length,
        0.005..=0.5,
        frame.width,
        "Inside face to outside face."
    ),
    field!(
        "Rail depth",
        Length,
        0.005..=0.6,
        frame.depth,
        "Bottom face to top face, straight up."
    ),
    field!(
        "Travel looked at",
        Length,
        0.001..=0.4,
        rear.travel,
        "Curves run this far into bump and into droop."
    ),
    field!(
        "Roll looked at",
        Angle,
        0.001..=0.35,
        rear.roll,
        "Curves run this far both ways in axle roll; bind is the worst in it."
    ),
    field!(
        "Axle tube diameter",
        Length,
        0.01..=0.4,
        rear.housing.tube_diameter,
        "Outside diameter of the housing's tubes."
    ),
    field!(
        "Centre section diameter",
        Length,
        0.05..=0.8,
        rear.housing.centre_diameter,
        "The housing's round centre, seen from the side."
    ),
    field!(
        "Housing width",
        Length,
        0.3..=2.5,
        rear.housing.width,
        "Flange to flange."
    ),
    field!(
        "Hole placement ±",
        Length,
        0.0..=0.02,
        rear.placement_tolerance,
        "How far a hole may sit from where it is drawn."
    ),
    field!(
        "Rear unsprung",
        Mass,
        0.0..=1000.0,
        power.rear_unsprung,
        "Rear axle with wheels, tyres and brakes, half the links and coil-overs: weigh it hanging, or add the parts."
    ),
    field!(
        "Front unsprung",
        Mass,
        0.0..=600.0,
        power.front_unsprung,
        "Front wheels, tyres, hubs and brakes, both sides, with half the arms."
    ),
    field!(
        "Final drive",
        Count,
        0.1..=20.0,
        power.final_drive,
        "Pinion turns per wheel turn."
    ),
    field!(
        "Tyre friction",
        Count,
        0.05..=6.0,
        power.friction,
        "Largest push of a rear tyre over its load. Street tyres on dry road 0.9 to 1.1, drag tyres on a prepared strip 1.5 to 3 (common practice, no source)."
    ),
    field!(
        "Acceleration looked at",
        Acceleration,
        0.0..=60.0,
        power.acceleration,
        "Forward acceleration of the reactions shown; the slider sets it."
    ),
    field!(
        "Braking looked at",
        Acceleration,
        0.0..=30.0,
        power.braking,
        "Deceleration of the braking case."
    ),
    field!(
        "Bump factor",
        Count,
        0.1..=20.0,
        power.bump_factor,
        "A bump loads the links this many times as hard as standing does: 3 is usual (common practice, no source)."
    ),
    field!(
        "Safety factor asked",
        Count,
        0.1..=50.0,
        power.safety_target,
        "Least strength over load of links, rod ends and bolts: 3 on yield or static rating is usual (common practice, no source)."
    ),
    field!(
        "Front wheel rate",
        SpringRate,
        -1.0e6..=1.0e6,
        power.front_wheel_rate,
        "Rate of one front wheel against the body: spring rate times motion ratio squared."
    ),
    field!(
        "Rear tyre rate",
        SpringRate,
        -1.0e7..=1.0e7,
        power.rear_tyre_rate,
        "How hard one rear tyre is to squash: load over squash, near its working load."
    ),
    field!(
        "Front anti-roll bar",
        RollStiffness,
        0.0..=1.0e6,
        power.front_bar,
        "Roll stiffness the bar adds at the front; zero without one."
    ),
    field!(
        "Rear anti-roll bar",
        RollStiffness,
        0.0..=1.0e6,
        power.rear_bar,
        "Roll stiffness the bar adds at the rear; zero without one."
    ),
    field!(
        "Gas flow",
        Flow,
        0.0..=0.01,
        weld_out.gas.flow,
        "What the flow meter shows while welding: 30 to 40 ft³/h MIG, 15 to 20 TIG (common practice, no source). Zero without gas."
    ),
    field!(
        "Gas before the arc",
        Time,
        0.0..=60.0,
        weld_out.gas.pre_flow,
        "Flow before the arc strikes, at each start."
    ),
    field!(
        "Gas after the arc",
        Time,
        0.0..=120.0,
        weld_out.gas.post_flow,
        "Flow after the arc goes out, at each stop."
    ),
    field!(
        "Starts per pass",
        Count,
        0.0..=1000.0,
        weld_out.gas.starts,
        "How often the trigger is pulled for one pass of one joint."
    ),
    field!(
        "Gas hose",
        Length,
        0.0..=200.0,
        weld_out.gas.hose_length,
        "From the flow meter to the gas valve in the feeder or torch."
    ),
    field!(
        "Hose bore",
        Length,
        0.0..=0.05,
        weld_out.gas.hose_bore,
        "Inside diameter of the gas hose."
    ),
    field!(
        "Hose pressure",
        Pressure,
        0.0..=5.0e6,
        weld_out.gas.hose_pressure,
        "Gauge pressure the hose fills to between starts: the regulator's. It surges out at the next start."
    ),
    field!(
        "Cylinder volume",
        Volume,
        0.0..=1.0,
        weld_out.gas.cylinder,
        "Water volume stamped on the cylinder's shoulder. Zero without one."
    ),
    field!(
        "Cylinder pressure",
        Pressure,
        0.0..=1.0e8,
        weld_out.gas.pressure,
        "What its gauge shows now."
    ),
    field!(
        "Pressure to keep",
        Pressure,
        0.0..=1.0e8,
        weld_out.gas.keep,
        "Left in it at the end: a cylinder run empty takes in air. 200 psi (a choice)."
    ),
    field!(
        "Formulas hold from",
        Length,
        0.0..=0.1,
        weld_out.choices.thick,
        "Wall from which the published shrinkage formulas are taken to hold (a choice)."
    ),
    field!(
        "Widening",
        Count,
        1.0..=10.0,
        weld_out.choices.widening,
        "Outside every formula's range a band is widened by this both ways (a choice)."
    ),
    field!(
        "Crown",
        Ratio,
        0.0..=0.5,
        weld_out.choices.crown,
        "Height of a fillet's crown over its face width (a choice)."
    ),
    field!(
        "Gap fills",
        Ratio,
        0.0..=1.0,
        weld_out.choices.gap_depth,
        "How deep an open gap fills, over the stem wall (a choice)."
    ),
    field!(
        "Cap",
        Length,
        0.0..=0.02,
        weld_out.choices.cap,
        "Height of a butt weld's cap (a choice)."
    ),
    field!(
        "Factor spread",
        Ratio,
        0.01..=2.0,
        weld_out.choices.spread,
        "Spread of a kind's factor before the shop has measured any: half the published factor of two is 0.35 (a choice)."
    ),
    field!(
        "Joint spread",
        Ratio,
        0.0..=2.0,
        weld_out.choices.joint_scatter,
        "Spread of one joint against others of its kind (a choice)."
    ),
    field!(
        "Bead spread",
        Ratio,
        0.01..=2.0,
        weld_out.choices.bead_spread,
        "Spread of the movement per bead before the first is measured (a choice)."
    ),
    field!(
        "Bead to bead",
        Ratio,
        0.0..=2.0,
        weld_out.choices.bead_scatter,
        "Spread from one bead to the next (a choice)."
    ),
    field!(
        "Launch rpm",
        RotationSpeed,
        10.0..=2500.0,
        run.launch,
        "Engine speed the clutch holds as the car leaves; with a converter, its stall speed."
    ),
    field!(
        "Launch rpm off by",
        RotationSpeed,
        -500.0..=500.0,
        run.launch_off,
        "How far the engine is really held above the launch rpm written down, as the run log's fit or the tachometer's error has it; below zero: under it."
    ),
    field!(
        "Shift time",
        Time,
        0.0..=5.0,
        run.shift_time,
        "Time without thrust at every shift."
    ),
    field!(
        "Take-up",
        Time,
        0.0..=5.0,
        run.take_up,
        "Time over which the clutch takes up; zero: at once."
    ),
    field!(
        "Engine inertia",
        Inertia,
        0.0..=50.0,
        run.engine_inertia,
        "Crank, rods, flywheel and clutch; with a converter its pump."
    ),
    field!(
        "Gearbox input inertia",
        Inertia,
        0.0..=50.0,
        run.input_inertia,
        "What turns with the gearbox input; a converter's turbine."
    ),
    field!(
        "Driveshaft inertia",
        Inertia,
        0.0..=50.0,
        run.shaft_inertia,
        "The driveshaft about its own axis."
    ),
    field!(
        "Rear wheels' inertia",
        Inertia,
        0.01..=200.0,
        run.rear_wheel_inertia,
        "Both rear wheels with tyres, discs and axle shafts."
    ),
    field!(
        "Front wheels' inertia",
        Inertia,
        0.01..=200.0,
        run.front_wheel_inertia,
        "Both front wheels with tyres and discs."
    ),
    field!(
        "Rolling radius",
        Length,
        0.1..=0.8,
        run.rolling_radius,
        "Roll the loaded car ten turns of a rear tyre, divide by 10 · 2π."
    ),
    field!(
        "Load sensitivity",
        Ratio,
        0.0..=0.9,
        run.load_sensitivity,
        "How much friction is lost per doubling of the standing load: 5 to 10 % is usual (common practice, no source)."
    ),
    field!(
        "Front bump damping",
        Damping,
        0.0..=200000.0,
        run.front.bump,
        "Both front dampers at the wheels: damper rate times motion ratio squared, twice."
    ),
    field!(
        "Front rebound damping",
        Damping,
        0.0..=200000.0,
        run.front.rebound,
        "As bump, coming out."
    ),
    field!(
        "Front bump stop",
        Length,
        0.0..=0.5,
        run.front.bump_stop,
        "Bump travel from standing until the stop."
    ),
    field!(
        "Front droop stop",
        Length,
        0.0..=0.5,
        run.front.droop_stop,
        "Droop travel from standing until it tops out."
    ),
    field!(
        "Front stop rate",
        SpringRate,
        1000.0..=1.0e8,
        run.front.stop_rate,
        "Both front stops: 4 to 5·10⁵ N/m is usual (common practice, no source)."
    ),
    field!(
        "Rear bump damping",
        Damping,
        0.0..=200000.0,
        run.rear.bump,
        "Both rear dampers at the wheels."
    ),
    field!(
        "Rear rebound damping",
        Damping,
        0.0..=200000.0,
        run.rear.rebound,
        "As bump, coming out."
    ),
    field!(
        "Rear bump stop",
        Length,
        0.0..=0.5,
        run.rear.bump_stop,
        "Bump travel from standing until the stop."
    ),
    field!(
        "Rear droop stop",
        Length,
        0.0..=0.5,
        run.rear.droop_stop,
        "Droop travel from standing until it tops out."
    ),
    field!(
        "Rear stop rate",
        SpringRate,
        1000.0..=1.0e8,
        run.rear.stop_rate,
        "Both rear stops."
    ),
    field!(
        "Drag area",
        Area,
        0.0..=10.0,
        run.drag_area,
        "Drag coefficient times frontal area: 7 to 9 ft² for a street car (common practice, no source)."
    ),
    field!(
        "Drag height",
        Length,
        0.0..=3.0,
        run.drag_height,
        "Height at which the drag pushes."
    ),
    field!(
        "Rolling resistance",
        Ratio,
        0.0..=0.2,
        run.rolling,
        "Rolling drag over weight: 1.5 % (common practice, no source)."
    ),
    field!(
        "Headwind",
        Speed,
        -40.0..=40.0,
        run.headwind,
        "Wind against the car; a tailwind is below zero."
    ),
    field!(
        "Air temperature",
        Temperature,
        200.0..=340.0,
        run.weather.temperature,
        "In the shade at the strip."
    ),
    field!(
        "Station pressure",
        Pressure,
        40000.0..=115000.0,
        run.weather.pressure,
        "What a barometer at the strip reads; a sea-level reading is not station pressure: ask."
    ),
    field!(
        "Humidity",
        Ratio,
        0.0..=1.0,
        run.weather.humidity,
        "Relative humidity."
    ),
    field!(
        "Rollout",
        Length,
        0.0..=1.0,
        run.rollout,
        "How far the front tyre rolls before the clock starts: 1 ft is usual (common practice, no source); 0 starts it at first motion."
    ),
    field!(
        "Power ±",
        Ratio,
        0.0..=0.5,
        run.unsure.power,
        "One standard deviation of the power, over power."
    ),
    field!(
        "Weight ±",
        Mass,
        0.0..=500.0,
        run.unsure.mass,
        "One standard deviation of the weight."
    ),
    field!(
        "Friction ±",
        Ratio,
        0.0..=0.9,
        run.unsure.friction,
        "One standard deviation of tyre friction, over friction."
    ),
    field!(
        "Height of gravity ±",
        Length,
        0.0..=0.5,
        run.unsure.cg_height,
        "One standard deviation of the centre of gravity's height."
    ),
    field!(
        "Station of gravity ±",
        Length,
        0.0..=0.5,
        run.unsure.cg_station,
        "One standard deviation of its place along the car."
    ),
    field!(
        "Launch rpm ±",
        RotationSpeed,
        0.0..=200.0,
        run.unsure.launch,
        "One standard deviation of the engine speed it really leaves at."
    ),
];

/// The field with this path.
pub fn field(id: &str) -> Option<&'static Field> {
    all().find(|f| f.id == id)
}

/// Every scalar field, those of parts not drawn too.
pub fn all() -> impl Iterator<Item = &'static Field> {
    FIELDS.iter().chain(crate::rolling::fields::FIELDS)
}
