use super::*;
use crate::metal::Fillet;

const FOOT: f64 = 0.3048;
const PSI: f64 = 6_894.757_293_168;

fn within(got: f64, wanted: f64, share: f64) {
    assert!((got / wanted - 1.0).abs() < share, "{got} for {wanted}");
}

/// EN 1011-1: 18 V, 120 A, 5 mm/s is 0.432 kJ/mm of arc and, MAG, 0.346 kJ/mm of heat (derived
/// from the standard's formula and its k of 0.8).
#[test]
fn heat_input_of_en_1011_1() {
    within(arc_energy(18.0, 120.0, 0.005).unwrap(), 0.432e6, 1e-12);
    let net = heat_input(Process::Mig.thermal_efficiency(), 18.0, 120.0, 0.005).unwrap();
    assert_eq!((net * 1e-3).round(), 346.0);
    assert!(arc_energy(18.0, 120.0, 0.0).is_err());
    assert!(heat_input(1.1, 18.0, 120.0, 0.005).is_err());
    assert!(heat_input(0.8, f64::NAN, 120.0, 0.005).is_err());
}

/// EN 1011-1 factors as The Welding Institute's public answer lists them.
#[test]
fn thermal_efficiencies() {
    assert_eq!(
        Process::ALL.map(Process::thermal_efficiency),
        [1.0, 0.8, 0.8, 0.8, 0.6, 0.6]
    );
}

/// Filler tables: a flat 1/4 in fillet weighs 0.106 lb/ft; MIG wire is metal over 0.90.
#[test]
fn filler_of_a_quarter_inch_fillet() {
    let flat = Fillet {
        convexity: 0.0,
        ..Fillet::square(0.006_35)
    };
    let volume = flat.metal().unwrap().area * FOOT;
    let settings = FillerSettings::default();
    let filler = Filler::of_process(volume, Process::Mig, &settings)
        .unwrap()
        .unwrap();
    let pounds = filler.metal / 0.453_592_37;
    assert!((pounds - 0.106).abs() < 0.0005, "{pounds}");
    within(filler.consumed, filler.metal / 0.90, 1e-12);
    // Wire of 0.035 in holds as much metal as it has volume.
    let wire = filler.wire(0.035 * 0.0254, &settings).unwrap();
    let section = std::f64::consts::PI / 4.0 * (0.035 * 0.0254_f64).powi(2);
    within(wire.length * section, volume / 0.90, 1e-12);
    assert_eq!(
        Filler::of_process(volume, Process::Plasma, &settings).unwrap(),
        None
    );
}

/// Handbook table of wire: 0.035 in steel wire runs 3650 in to the pound (filler makers'
/// tables, from memory: 3650).
#[test]
fn inches_of_wire_to_the_pound() {
    let settings = FillerSettings::default();
    let pound = Filler {
        metal: 0.4,
        consumed: 0.453_592_37,
    };
    let inches = pound.wire(0.035 * 0.0254, &settings).unwrap().length / 0.0254;
    within(inches, 3650.0, 0.01);
}

#[test]
fn rods_leave_a_stub() {
    let settings = FillerSettings::default();
    // 350 mm rods melt 300 mm each.
    for (length, rods) in [(0.9, 3.0), (0.91, 4.0), (0.3, 1.0), (0.01, 1.0)] {
        assert_eq!(
            Wire { length }.rods(0.350, &settings).unwrap(),
            rods,
            "{length}"
        );
    }
    assert!(matches!(
        Wire { length: 1.0 }.rods(0.05, &settings),
        Err(ConsumablesError::RodTooShort { .. })
    ));
    assert!(Wire { length: 1.0 }.rods(f64::NAN, &settings).is_err());
}

#[test]
fn arc_time_three_ways() {
    let feed = ArcTime::Feed {
        wire: 30.0,
        speed: 0.1,
    };
    let deposition = ArcTime::Deposition {
        metal: 0.3,
        rate: 0.001,
    };
    let travel = |passes| ArcTime::Travel {
        seam: 0.5,
        passes,
        speed: 0.005,
    };
    for (time, seconds) in [(feed, 300.0), (deposition, 300.0), (travel(3), 300.0)] {
        within(time.seconds().unwrap(), seconds, 1e-12);
    }
    assert!(travel(0).seconds().is_err());
    assert!(
        ArcTime::Feed {
            wire: 30.0,
            speed: 0.0
        }
        .seconds()
        .is_err()
    );
    assert!(Filler::of_volume(1e-6, 0.0, &FillerSettings::default()).is_err());
    assert!(Filler::of_volume(0.0, 0.9, &FillerSettings::default()).is_err());
}

/// A job with the hose of the trade's gas-saving arithmetic: 12.5 ft of 1/4 in bore.
fn job() -> GasJob {
    GasJob {
        flow: 35.0 * FOOT.powi(3) / 3600.0,
        arc_time: 600.0,
        starts: 40,
        pre_flow: 0.5,
        post_flow: 2.0,
        hose_length: 12.5 * FOOT,
        hose_bore: 0.25 * 0.0254,
        hose_pressure: 50.0 * PSI,
        seam: 3.0,
    }
}

/// 12.5 ft of 1/4 in bore at 50 psig surges 0.0145 ft³ per start beyond the hose's own volume
/// (volume times gauge pressure over atmospheric).
#[test]
fn surge_of_the_hose() {
    let surge = job().surge().unwrap() / FOOT.powi(3);
    assert!((surge - 0.0145).abs() < 0.000_05, "{surge}");
    // 35 ft³/h for 10 min and 40 × 2.5 s, and 40 surges.
    let need = job().need().unwrap() / FOOT.powi(3);
    within(need, 35.0 * 700.0 / 3600.0 + 40.0 * surge, 1e-9);
}

/// Contents at one atmosphere are bottle volume times p1/p2: 50 l at 150 bar over the
/// pressure kept.
#[test]
fn contents_of_a_cylinder() {
    let settings = GasSettings {
        keep: 0.0,
        ..GasSettings::default()
    };
    let full = Cylinder {
        water_volume: 0.050,
        pressure: 150.0e5,
        fill: GasFill::Argon,
    };
    within(
        full.usable(&settings).unwrap(),
        0.050 * 150.0 / 1.013_25,
        1e-12,
    );
    let kept = full.usable(&GasSettings::default()).unwrap();
    within(kept, 0.050 * (150.0e5 - 200.0 * PSI) / 101_325.0, 1e-9);
    let low = Cylinder {
        pressure: 100.0 * PSI,
        ..full
    };
    assert_eq!(low.usable(&GasSettings::default()).unwrap(), 0.0);
    let liquid = Cylinder {
        fill: GasFill::CarbonDioxide,
        ..full
    };
    assert_eq!(liquid.usable(&settings), Err(ConsumablesError::Liquid));
    for wrong in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(
            Cylinder {
                water_volume: wrong,
                ..full
            }
            .usable(&settings)
            .is_err()
        );
        assert!(
            Cylinder {
                pressure: wrong,
                ..full
            }
            .usable(&settings)
            .is_err()
        );
    }
}

#[test]
fn will_this_cylinder_finish() {
    let settings = GasSettings {
        keep: 0.0,
        ..GasSettings::default()
    };
    let need = job().need().unwrap();
    let with = |share: f64| {
        let cylinder = Cylinder {
            water_volume: 0.010,
            pressure: share * need * ATMOSPHERE / 0.010,
            fill: GasFill::Argon,
        };
        cylinder.against(&job(), &settings).unwrap()
    };
    for (share, verdict) in [
        (2.0, WillDo::Yes),
        (1.25, WillDo::Yes),
        (1.24, WillDo::Tight),
        (1.0, WillDo::Tight),
        (0.99, WillDo::No),
    ] {
        assert_eq!(with(share).will_do, verdict, "{share}");
    }
    let half = with(0.5).endurance;
    within(half.arc_time.unwrap(), 300.0, 1e-9);
    within(half.starts.unwrap(), 20.0, 1e-9);
    within(half.seam.unwrap(), 1.5, 1e-9);
    let idle = GasJob {
        arc_time: 0.0,
        starts: 0,
        ..job()
    };
    let cylinder = Cylinder {
        water_volume: 0.01,
        pressure: 1e7,
        fill: GasFill::Helium,
    };
    assert_eq!(
        cylinder.against(&idle, &settings),
        Err(ConsumablesError::NoGas)
    );
    assert!(GasJob { flow: 0.0, ..job() }.need().is_err());
    assert!(
        GasJob {
            pre_flow: -1.0,
            ..job()
        }
        .need()
        .is_err()
    );
}
