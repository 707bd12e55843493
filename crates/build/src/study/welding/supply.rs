//! Filler and gas for the joints still to be welded.

use weld::consumables::{ArcTime, Cylinder, Filler, FillerSettings, GasJob, GasSettings, Supply};

use super::super::Phrase;
use super::joints::JointWeld;
use crate::{Build, Process};

/// What one process needs for the joints still to be welded.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyRow {
    /// The process.
    pub process: Process,
    /// Joints.
    pub joints: usize,
    /// Weld metal, m³.
    pub volume: f64,
    /// Length of seam, m, every pass and side counted once.
    pub seam: f64,
    /// Metal and filler, kg; none without an efficiency on record.
    pub filler: Option<Filler>,
    /// Length of wire or rod, m.
    pub wire: Option<f64>,
    /// Rods.
    pub rods: Option<f64>,
    /// Arc time, s.
    pub arc_time: Option<f64>,
    /// Net heat, J/m.
    pub net_heat: Option<f64>,
    /// Starts.
    pub starts: f64,
    /// What is missing.
    pub missing: Option<Phrase>,
}

/// Filler and gas.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyStudy {
    /// One row per process in use.
    pub rows: Vec<SupplyRow>,
    /// Joints whose seam is not known: they are not counted.
    pub unknown: Vec<usize>,
    /// The cylinder against the gas those joints need.
    pub gas: Result<Supply, Phrase>,
    /// Surge of one start, m³.
    pub surge: Option<f64>,
    /// Arc time of the joints under gas, s.
    pub arc_time: f64,
}

const fn takes_gas(process: Process) -> bool {
    matches!(process, Process::Mig | Process::Tig | Process::Plasma)
}

pub(super) fn study(b: &Build, joints: &[Option<&JointWeld>]) -> SupplyStudy {
    let w = &b.weld_out;
    let open: Vec<usize> = (0..b.fit_up.joints.len())
        .filter(|i| b.fit_up.joints[*i].welded.is_none())
        .collect();
    let known = |i: &usize| {
        let found = joints.get(*i).copied().flatten();
        found.filter(|j| j.seam_known)
    };
    let unknown: Vec<usize> = open
        .iter()
        .copied()
        .filter(|i| known(i).is_none())
        .collect();
    let mut rows = Vec::new();
    for process in Process::ALL {
        let mine: Vec<usize> = open
            .iter()
            .copied()
            .filter(|i| b.fit_up.joints[*i].process == process && known(i).is_some())
            .collect();
        if mine.is_empty() {
            continue;
        }
        rows.push(row(b, process, &mine, joints));
    }
    let with_gas = rows.iter().filter(|r| takes_gas(r.process));
    let arc_time: f64 = with_gas.clone().filter_map(|r| r.arc_time).sum::<f64>() + 0.0;
    let starts: f64 = with_gas.clone().map(|r| r.starts).sum();
    let seam: f64 = with_gas.clone().map(|r| r.seam).sum();
    let unset = with_gas.clone().any(|r| r.arc_time.is_none());
    let gas = &w.gas;
    let job = GasJob {
        flow: gas.flow.si(),
        arc_time,
        starts: starts.clamp(0.0, 1e9) as u32,
        pre_flow: gas.pre_flow.si(),
        post_flow: gas.post_flow.si(),
        hose_length: gas.hose_length.si(),
        hose_bore: gas.hose_bore.si(),
        hose_pressure: gas.hose_pressure.si(),
        seam,
    };
    let cylinder = Cylinder {
        water_volume: gas.cylinder.si(),
        pressure: gas.pressure.si(),
        fill: gas.fill,
    };
    let settings = GasSettings {
        keep: gas.keep.si(),
        ..GasSettings::default()
    };
    let verdict = if with_gas.count() == 0 {
        Err(Phrase::from("no joint under gas is left to weld"))
    } else if unset {
        Err(Phrase::from(
            "the arc settings of a process are missing: without them there is no arc time",
        ))
    } else if gas.cylinder.si() <= 0.0 {
        Err(Phrase::from("no cylinder is entered"))
    } else {
        cylinder
            .against(&job, &settings)
            .map_err(|e| Phrase::from(e.to_string()))
    };
    SupplyStudy {
        rows,
        unknown,
        gas: verdict,
        surge: job.surge().ok(),
        arc_time,
    }
}

fn row(b: &Build, process: Process, mine: &[usize], joints: &[Option<&JointWeld>]) -> SupplyRow {
    let settings = FillerSettings::default();
    let arc = b.weld_out.arc(process);
    let welded = |i: &usize| joints.get(*i).copied().flatten().map(|j| &j.welded);
    let volume: f64 = mine.iter().filter_map(|i| Some(welded(i)?.volume)).sum();
    let sides = |i: &usize| match b.fit_up.joints[*i].kind {
        crate::JointKind::Tee { fillets } => f64::from(fillets.clamp(1, 2)),
        crate::JointKind::Lap => 2.0,
        crate::JointKind::Butt | crate::JointKind::Cope => 1.0,
    };
    let runs = |i: &usize| f64::from(b.fit_up.joints[*i].passes.max(1)) * sides(i);
    let seam: f64 = mine
        .iter()
        .filter_map(|i| Some(welded(i)?.length * runs(i)))
        .sum();
    let starts = mine.iter().map(runs).sum::<f64>() * b.weld_out.gas.starts.si().round();
    let filler = Filler::of_process(volume, process, &settings)
        .ok()
        .flatten();
    let wire = filler
        .as_ref()
        .zip(arc)
        .and_then(|(f, a)| f.wire(a.wire.si(), &settings).ok());
    let rods = wire
        .as_ref()
        .zip(arc.and_then(|a| a.rod))
        .and_then(|(wire, rod)| wire.rods(rod.si(), &settings).ok());
    let time = arc.and_then(|a| {
        let time = match (a.feed, &wire) {
            (Some(feed), Some(wire)) => ArcTime::Feed {
                wire: wire.length,
                speed: feed.si(),
            },
            _ => ArcTime::Travel {
                seam,
                passes: 1,
                speed: a.travel.si(),
            },
        };
        time.seconds().ok()
    });
    let net_heat = super::seams::net_heat(b, process);
    let missing = match (arc, &filler) {
        (None, _) => Some(Phrase::from("write volts, amps, travel and wire for it")),
        (Some(_), None) => Some(Phrase::from(
            "no deposition efficiency is on record for this process",
        )),
        _ => None,
    };
    SupplyRow {
        process,
        joints: mine.len(),
        volume,
        seam,
        filler,
        wire: wire.map(|w| w.length),
        rods,
        arc_time: time,
        net_heat,
        starts,
        missing,
    }
}
