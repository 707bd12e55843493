//! What comes near what over travel and rack, and how far the joints tilt.

use geometry::distance::{self, Body, Core};
use geometry::front::{
    Bar, BarEnd, Carried, Carrier, Corner, CornerState, Front, FrontGrid, Joint, LockCause,
    RodSide, Side, rod_bars, segment_distance,
};
use geometry::{Point3, Vector3};
use vehicle::packaging::TyreShape;

use super::super::{Part, rail};
use super::{drawn, springs};
use crate::{Build, FrontEnd, JointPlace, NearWheel, WhichArm};

/// Gap that rods should keep, m: 1/4 in (common practice, no source).
const ROD_GAP: f64 = 0.006_35;
/// Gap that a tyre should keep, m: 1/2 in in front, where it is steered past (common practice, no source).
const TYRE_GAP: f64 = 0.0127;

/// Two things and how close they come.
#[derive(Debug, Clone, PartialEq)]
pub struct FrontGap {
    /// Short name: `tie_rod.lower_rear`.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// What a click jumps to.
    pub part: Part,
    /// A tyre is one of the two.
    pub of_tyre: bool,
    /// The gap, m; below zero: they touch by so much. None: they run through each other.
    pub gap: Option<f64>,
    /// Where the two are nearest, m.
    pub between: [Point3<f64>; 2],
    /// Travel of the wheel there, m.
    pub travel: f64,
    /// Rack there, m, left positive.
    pub rack: f64,
}

impl FrontGap {
    /// The gap asked, m.
    pub fn asked(&self) -> f64 {
        if self.of_tyre { TYRE_GAP } else { ROD_GAP }
    }
}

/// How far a joint tilts.
#[derive(Debug, Clone, PartialEq)]
pub struct JointTilt {
    /// Index in the build.
    pub joint: usize,
    /// Greatest tilt, rad; or why there is none.
    pub tilt: Result<f64, String>,
    /// Its limit less that, rad.
    pub room: f64,
    /// Travel of the wheel there, m.
    pub travel: f64,
    /// Rack there, m.
    pub rack: f64,
}

impl JointTilt {
    /// Room a joint should keep, rad: 2 degrees (common practice, no source).
    pub const ROOM: f64 = 0.034_906_585;
}

/// A bar of the left side.
struct Named {
    id: &'static str,
    label: &'static str,
    part: &'static str,
    bar: Bar,
}

/// A box near the tyre, left side.
struct Near {
    id: String,
    label: String,
    part: Part,
    body: Body,
}

/// Everything that is watched.
pub(super) struct Watch<'a> {
    f: &'a FrontEnd,
    tyre: TyreShape,
    bars: Vec<Named>,
    link: Option<(BarEnd, f64)>,
    boxes: Vec<Near>,
    joints: Vec<(Joint, f64)>,
}

/// Every so many travels and racks of the grid the tyre is looked at.
const COARSE: (usize, usize) = (5, 5);

impl<'a> Watch<'a> {
    pub(super) fn new(b: &Build, f: &'a FrontEnd) -> Self {
        let w = &f.wheel;
        let grown = w.growth.si();
        let width = b.car.front.tyre_width.si() + 2.0 * grown;
        let radius = 0.5 * b.car.front.tyre_diameter.si() + grown;
        Self {
            f,
            tyre: TyreShape {
                radius,
                width,
                shoulder_radius: w.shoulder.si().min(0.5 * width).min(radius),
            },
            bars: Vec::new(),
            link: springs::bar_end(f).zip(f.bar.as_ref().map(|x| 0.5 * x.link_outside.si())),
            boxes: boxes(b, f),
            joints: f.joints.iter().map(|j| (joint(j), j.limit.si())).collect(),
        }
    }

    fn bars(&self, corner: &Corner) -> Vec<Named> {
        let f = self.f;
        let (lower, upper) = (0.5 * f.lower.outside.si(), 0.5 * f.upper.outside.si());
        let tie = 0.5 * f.tie_rod.outside.si();
        let [lf, lr, uf, ur, t] = rod_bars(corner, [lower, lower, upper, upper, tie]);
        let mut out: Vec<Named> = [
            (
                "lower_front",
                "lower arm, front leg",
                "front_end.lower.front",
                lf,
            ),
            (
                "lower_rear",
                "lower arm, rear leg",
                "front_end.lower.rear",
                lr,
            ),
            (
                "upper_front",
                "upper arm, front leg",
                "front_end.upper.front",
                uf,
            ),
            (
                "upper_rear",
                "upper arm, rear leg",
                "front_end.upper.rear",
                ur,
            ),
            ("tie_rod", "tie rod", "front_end.tie_rod.inner", t),
        ]
        .into_iter()
        .map(|(id, label, part, bar)| Named {
            id,
            label,
            part,
            bar,
        })
        .collect();
        if let Some(c) = &f.coil_over {
            out.push(Named {
                id: "coil",
                label: "coil-over",
                part: "front_end.coil_over.at_arm",
                bar: Bar {
                    from: Carried {
                        carrier: Carrier::Frame,
                        point: drawn::point(c.at_frame),
                    },
                    to: drawn::on_arm(c.on, c.at_arm),
                    radius: 0.5 * c.outside.si(),
                },
            });
        }
        out
    }

    fn tyre(&self, s: &CornerState) -> Option<Body> {
        self.tyre.body(s.pose.position, s.spin_axis).ok()
    }

    /// What ends the steering first, and the room left to it.
    pub(super) fn room_at_lock(
        &self,
        front: &Front,
        l: &CornerState,
        r: &CornerState,
    ) -> (LockCause, f64) {
        let mut worst = (LockCause::RackEnd, f64::INFINITY);
        // The right corner at this rack is the left one at the opposite rack, mirrored.
        for s in [*l, r.mirrored()] {
            if let Some(tyre) = self.tyre(&s) {
                for near in &self.boxes {
                    let gap = distance::gap(&tyre, &near.body)
                        .map_or(f64::INFINITY, |g| g.value().unwrap_or(-1.0));
                    if gap < worst.1 {
                        worst = (LockCause::TyreContact, gap);
                    }
                }
            }
            for (joint, limit) in &self.joints {
                let Ok(tilt) = joint.misalignment(&front.left, &s.pose, s.rack) else {
                    continue;
                };
                if limit - tilt < worst.1 {
                    worst = (LockCause::JointAngle, limit - tilt);
                }
            }
        }
        worst
    }

    /// The least gap of every pair and the greatest tilt of every joint over the grid.
    pub(super) fn over(
        mut self,
        front: &Front,
        grid: &FrontGrid,
    ) -> (Vec<FrontGap>, Vec<JointTilt>) {
        let corner = &front.left;
        self.bars = self.bars(corner);
        let mut gaps = self.rods(corner, grid);
        gaps.extend(self.tyres(corner, grid));
        let rank = |g: &FrontGap| g.gap.unwrap_or(f64::NEG_INFINITY);
        gaps.sort_by(|a, b| rank(a).total_cmp(&rank(b)));
        (gaps, self.tilts(corner, grid))
    }

    /// Pairs of bars that share no joint.
    fn pairs(&self) -> Vec<(usize, usize)> {
        let at = |id: &str| self.bars.iter().position(|n| n.id == id);
        let coil_on = self.f.coil_over.as_ref().map(|c| c.on);
        let mut out = Vec::new();
        let mut add = |a: &str, b: &str| out.extend(at(a).zip(at(b)));
        for leg in ["lower_front", "lower_rear", "upper_front", "upper_rear"] {
            add("tie_rod", leg);
        }
        add("tie_rod", "coil");
        if coil_on == Some(WhichArm::Lower) {
            add("coil", "upper_front");
            add("coil", "upper_rear");
        } else {
            add("coil", "lower_front");
            add("coil", "lower_rear");
        }
        out
    }

    fn rods(&self, corner: &Corner, grid: &FrontGrid) -> Vec<FrontGap> {
        let pairs = self.pairs();
        let mut best: Vec<Option<FrontGap>> = vec![None; pairs.len()];
        // Against the drop link: whatever is not on its own arm.
        let on = self.f.bar.as_ref().map(|x| x.on);
        let beside: Vec<usize> = (0..self.bars.len())
            .filter(|&i| {
                self.link.is_some()
                    && !matches!(
                        (on, self.bars[i].id),
                        (Some(crate::LinkOn::Lower), "lower_front" | "lower_rear")
                            | (Some(crate::LinkOn::Upper), "upper_front" | "upper_rear")
                    )
            })
            .collect();
        let mut link_best: Vec<Option<FrontGap>> = vec![None; beside.len()];
        for s in grid.reached(Side::Left) {
            let Ok(axes) = self
                .bars
                .iter()
                .map(|n| corner.bar_axis(&n.bar, &s.pose, s.rack))
                .collect::<Result<Vec<_>, _>>()
            else {
                continue;
            };
            for (slot, (a, b)) in best.iter_mut().zip(&pairs) {
                let radii = self.bars[*a].bar.radius + self.bars[*b].bar.radius;
                let (d, p, q) = segment_distance(axes[*a], axes[*b]);
                keep(slot, d - radii, [p, q], s, || {
                    let (a, b) = (&self.bars[*a], &self.bars[*b]);
                    (
                        format!("{}.{}", a.id, b.id),
                        format!("{} to {}", super::super::advice::capital(a.label), b.label),
                        Part::Field(a.part),
                        false,
                    )
                });
            }
            let Some((end, radius)) = &self.link else {
                continue;
            };
            let Ok(state) = end.state(corner, &s.pose, s.rack) else {
                continue;
            };
            for (slot, &i) in link_best.iter_mut().zip(&beside) {
                let other = &self.bars[i];
                let (d, p, q) = segment_distance([state.arm_end, state.link_end], axes[i]);
                keep(slot, d - radius - other.bar.radius, [p, q], s, || {
                    (
                        format!("link.{}", other.id),
                        format!("Drop link to {}", other.label),
                        Part::Field("front_end.bar.link"),
                        false,
                    )
                });
            }
        }
        best.into_iter().chain(link_best).flatten().collect()
    }

    /// The tyre against boxes and coil-over. Arms and tie rod reach into the rim and are not asked.
    fn tyres(&self, corner: &Corner, grid: &FrontGrid) -> Vec<FrontGap> {
        let coil = self.bars.iter().find(|n| n.id == "coil");
        let mut best: Vec<Option<FrontGap>> = vec![None; self.boxes.len() + 1];
        let racks = grid.racks.len();
        for i in (0..grid.travels.len()).step_by(COARSE.0) {
            for k in (0..racks).step_by(COARSE.1) {
                let Some(Ok(s)) = grid.cell(Side::Left, i, k) else {
                    continue;
                };
                let Some(tyre) = self.tyre(s) else { continue };
                for (slot, near) in best.iter_mut().zip(&self.boxes) {
                    against(slot, &tyre, &near.body, s, || {
                        (
                            format!("tyre.{}", near.id),
                            format!("Tyre to {}", near.label),
                            near.part.clone(),
                            true,
                        )
                    });
                }
                let (Some(coil), Some(slot)) = (coil, best.last_mut()) else {
                    continue;
                };
                let Ok([a, b]) = corner.bar_axis(&coil.bar, &s.pose, s.rack) else {
                    continue;
                };
                let body = Body {
                    core: Core::Segment { a, b },
                    grown: coil.bar.radius,
                };
                against(slot, &tyre, &body, s, || {
                    (
                        "tyre.coil".to_owned(),
                        "Tyre to coil-over".to_owned(),
                        Part::Field("front_end.coil_over.at_arm"),
                        true,
                    )
                });
            }
        }
        best.into_iter().flatten().collect()
    }

    fn tilts(&self, corner: &Corner, grid: &FrontGrid) -> Vec<JointTilt> {
        self.joints
            .iter()
            .enumerate()
            .map(|(index, (joint, limit))| {
                let mut worst = JointTilt {
                    joint: index,
                    tilt: Err("no pose is reached".to_owned()),
                    room: *limit,
                    travel: 0.0,
                    rack: 0.0,
                };
                for s in grid.reached(Side::Left) {
                    match joint.misalignment(corner, &s.pose, s.rack) {
                        Ok(t) if worst.tilt.as_ref().map_or(true, |w| t > *w) => {
                            worst = JointTilt {
                                joint: index,
                                tilt: Ok(t),
                                room: limit - t,
                                travel: s.travel,
                                rack: s.rack,
                            };
                        }
                        Ok(_) => {}
                        Err(e) => {
                            worst.tilt = Err(drawn::words(&e));
                            break;
                        }
                    }
                }
                worst
            })
            .collect()
    }
}

type Names = (String, String, Part, bool);

fn keep(
    slot: &mut Option<FrontGap>,
    gap: f64,
    between: [Point3<f64>; 2],
    s: &CornerState,
    names: impl FnOnce() -> Names,
) {
    match slot {
        Some(old) if old.gap.is_none_or(|g| g <= gap) => {}
        Some(old) => {
            (old.gap, old.between) = (Some(gap), between);
            (old.travel, old.rack) = (s.travel, s.rack);
        }
        None => {
            let (id, label, part, of_tyre) = names();
            *slot = Some(FrontGap {
                id,
                label,
                part,
                of_tyre,
                gap: Some(gap),
                between,
                travel: s.travel,
                rack: s.rack,
            });
        }
    }
}

fn against(
    slot: &mut Option<FrontGap>,
    tyre: &Body,
    other: &Body,
    s: &CornerState,
    names: impl FnOnce() -> Names,
) {
    match distance::gap(tyre, other) {
        Some(distance::Gap::Apart { gap, first, second }) => {
            keep(slot, gap, [first, second], s, names);
        }
        Some(distance::Gap::RunsThrough) => {
            keep(slot, f64::NEG_INFINITY, [s.pose.position; 2], s, names);
            if let Some(g) = slot {
                g.gap = None;
            }
        }
        None => {}
    }
}

/// Rail stretches and body boxes near the left front tyre.
fn boxes(b: &Build, f: &FrontEnd) -> Vec<Near> {
    let mut out = Vec::new();
    let x = b.car.wheelbase.si();
    let reach = 0.5 * b.car.front.tyre_diameter.si() + f.wheel.growth.si() + 0.3048;
    for stretch in rail::stretches(&b.frame, x, reach) {
        out.push(Near {
            id: "rail".to_owned(),
            label: "frame rail".to_owned(),
            part: Part::Field("frame.offset"),
            body: Body {
                core: Core::Box {
                    centre: stretch.centre,
                    half: stretch.half,
                    axes: stretch.axes,
                },
                grown: 0.0,
            },
        });
    }
    let body = b.mock_up.iter().flat_map(|m| &m.body);
    for p in body.filter(|p| p.near == NearWheel::Front) {
        let (from, to) = (Point3::from(p.from.si()), Point3::from(p.to.si()));
        let half = (to - from) * 0.5;
        out.push(Near {
            id: p.id.clone(),
            label: p.label.to_lowercase(),
            part: Part::Body(p.id.clone()),
            body: Body {
                core: Core::Box {
                    centre: nalgebra::center(&from, &to),
                    half: [half.x, half.y, half.z],
                    axes: [Vector3::x(), Vector3::y(), Vector3::z()],
                },
                grown: 0.0,
            },
        });
    }
    out
}

fn joint(j: &crate::FrontJoint) -> Joint {
    let v =
        |d: (units::Count, units::Count, units::Count)| Vector3::new(d.0.si(), d.1.si(), d.2.si());
    let ball = |arm| Joint::Ball {
        arm,
        stud: v(j.along),
        housing: v(j.housing.unwrap_or(j.along)),
    };
    match j.at {
        JointPlace::LowerBall => ball(Carrier::LowerArm),
        JointPlace::UpperBall => ball(Carrier::UpperArm),
        JointPlace::Inner(r) => Joint::RodEnd {
            rod: drawn::rod(r),
            end: RodSide::Inner,
            bolt: v(j.along),
        },
        JointPlace::Outer(r) => Joint::RodEnd {
            rod: drawn::rod(r),
            end: RodSide::Outer,
            bolt: v(j.along),
        },
    }
}
