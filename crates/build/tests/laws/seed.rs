//! What random edits are made of.

use build::{
    Along, BoltGrade, Bolted, Bracket, Build, Carrier, Check, CheckKind, Coilover, Differential,
    Driveshaft, Edit, End, EngineTurn, Gap, GapRule, Held, HeldLength, Holes, Joint, JointKind,
    Link, LinkBolt, LinkEnd, LinkRole, LinkStock, Mark, Phase, Place, Preload, RodEnd, RollingEdit,
    SecondReference, Section, Shear, Side, Sides, Slip, Target, fields, points,
};
use proptest::prelude::*;
use units::{Angle, Force, Kind, Length, Pressure, Quantity, SpringRate};

/// What an edit is made of: which, where, and a few numbers and words.
#[derive(Debug, Clone)]
pub(crate) struct Seed {
    pub(crate) which: u8,
    pub(crate) at: usize,
    pub(crate) also: usize,
    /// From 0 to 1 for values within reach; outside for the others.
    pub(crate) part: f64,
    pub(crate) wild: f64,
    pub(crate) words: String,
}

/// From 0 to 1 with every bit of the fraction in play, now and then something no file may hold.
fn part() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => any::<u64>().prop_map(|u| (u >> 11) as f64 / (1u64 << 53) as f64),
        1 => Just(0.0),
        1 => Just(1.0),
    ]
}

fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -1.0..1.0f64,
        1 => any::<f64>(),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => Just(-0.0),
        1 => Just(0.1 + 0.2),
        1 => Just(f64::MIN_POSITIVE / 8.0),
    ]
}

pub(crate) fn seed() -> impl Strategy<Value = Seed> {
    let words = prop_oneof![3 => "[a-z_]{0,8}", 1 => any::<String>()];
    (any::<u8>(), 0usize..64, 0usize..64, part(), wild(), words).prop_map(
        |(which, at, also, part, wild, words)| Seed {
            which,
            at,
            also,
            part,
            wild,
            words,
        },
    )
}

impl Seed {
    /// The id of one of the list, or now and then of none.
    pub(crate) fn id<'a>(&self, mut ids: impl Iterator<Item = &'a String> + Clone) -> String {
        let n = ids.clone().count();
        match self.at % (n + 1) {
            i if i < n => ids.nth(i).unwrap().clone(),
            _ => self.words.clone(),
        }
    }

    pub(crate) fn length(&self) -> Length {
        Length::from_si(self.wild)
    }

    pub(crate) fn place(&self) -> Place {
        let step =
            |k: usize| Length::from_si(self.wild * (1.0 + 0.37 * ((self.also + k) % 5) as f64));
        Place {
            station: step(0),
            offset: step(1),
            height: step(2),
        }
    }

    pub(crate) fn end(&self) -> End {
        if self.also.is_multiple_of(2) {
            End::Frame
        } else {
            End::Axle
        }
    }

    pub(crate) fn side(&self) -> Side {
        [Side::Both, Side::Left, Side::Right][self.also % 3]
    }

    pub(crate) fn sides(&self) -> Sides {
        if self.also.is_multiple_of(2) {
            Sides::Pair
        } else {
            Sides::Single
        }
    }

    pub(crate) fn quantity(&self) -> Quantity {
        Quantity::new(Kind::ALL[self.also % Kind::ALL.len()], self.wild)
    }

    pub(crate) fn bracket(&self) -> Bracket {
        Bracket {
            id: self.words.clone(),
            label: self.words.clone(),
            on: if self.at.is_multiple_of(2) {
                Carrier::Frame
            } else {
                Carrier::Axle
            },
            sides: self.sides(),
            at: self.place(),
            holes: if self.at.is_multiple_of(3) {
                Holes::List(vec![(self.length(), self.length()); self.also % 5])
            } else {
                Holes::Row {
                    count: self.also,
                    pitch: Length::from_si(self.part),
                    lean: Angle::from_si(self.wild),
                }
            },
            drill: Length::from_si(0.001 + 0.1 * self.part),
            plate_width: Length::from_si(0.002 + self.part),
        }
    }

    pub(crate) fn link(&self, b: &Build) -> Link {
        let end = |hole| LinkEnd {
            bracket: self.id(b.rear.brackets.iter().map(|x| &x.id)),
            hole,
            right_hole: (self.also % 4 == 1).then_some(self.also),
        };
        Link {
            id: self.words.clone(),
            label: self.words.clone(),
            role: [LinkRole::Upper, LinkRole::Lower, LinkRole::Lateral][self.also % 3],
            sides: self.sides(),
            at_frame: end(self.at % 4),
            at_axle: end(self.also % 4),
            held: self.held(),
            body: Length::from_si(self.part),
            rod_end: RodEnd {
                thread: Length::from_si(0.002 + 0.05 * self.part),
                reach: Length::from_si(0.005 + 0.1 * self.part),
            },
            stock: self.stock(),
        }
    }

    pub(crate) fn stock(&self) -> Option<LinkStock> {
        (!self.at.is_multiple_of(3)).then(|| LinkStock {
            section: if self.at.is_multiple_of(2) {
                Section::Tube {
                    outside: Length::from_si(0.05 * self.part),
                    wall: Length::from_si(0.01 * self.wild),
                }
            } else {
                Section::Solid {
                    diameter: Length::from_si(0.05 * self.wild),
                }
            },
            yield_strength: Pressure::from_si(4e8 * self.part),
            modulus: Pressure::from_si(2e11 * self.wild),
            rod_end_rating: self
                .also
                .is_multiple_of(2)
                .then(|| Force::from_si(1e5 * self.part)),
            bolt: self.also.is_multiple_of(3).then(|| LinkBolt {
                diameter: Length::from_si(0.03 * self.part),
                grade: [BoltGrade::Grade2, BoltGrade::Grade5, BoltGrade::Grade8][self.at % 3],
                shear: [Shear::Single, Shear::Double][self.at % 2],
            }),
        })
    }

    pub(crate) fn preload(&self) -> Option<Preload> {
        self.also.is_multiple_of(2).then(|| Preload {
            left: self.length(),
            right: Length::from_si(0.1 * self.part),
        })
    }

    pub(crate) fn coilover(&self) -> Coilover {
        Coilover {
            id: self.words.clone(),
            label: self.words.clone(),
            sides: self.sides(),
            at_frame: self.place(),
            at_axle: Place {
                height: Length::from_si(self.part),
                ..self.place()
            },
            rate: SpringRate::from_si(3e4 * self.wild),
            spring_free: Length::from_si(0.5 * self.part),
            spring_block: self.length(),
            extended: Length::from_si(0.2 + self.part),
            compressed: self.length(),
            eye_tilt: Angle::from_si(self.part),
            preload: self.preload(),
        }
    }

    pub(crate) fn driveshaft(&self) -> Option<Driveshaft> {
        (!self.at.is_multiple_of(4)).then(|| Driveshaft {
            front_joint: self.place(),
            rear_joint: Place {
                height: Length::from_si(self.part),
                ..self.place()
            },
            output_down: Angle::from_si(self.wild),
            pinion_up: Angle::from_si(self.part),
            slip: [Slip::Transmission, Slip::Shaft][self.at % 2],
            slip_travel: Length::from_si(self.part),
        })
    }

    pub(crate) fn held(&self) -> Option<HeldLength> {
        self.also.is_multiple_of(3).then(|| HeldLength {
            left: Length::from_si(0.02 + self.part),
            right: Length::from_si(0.02 + self.part * self.wild),
        })
    }

    pub(crate) fn joint(&self) -> Joint {
        Joint {
            id: self.words.clone(),
            label: self.words.clone(),
            kind: [
                JointKind::Butt,
                JointKind::Tee {
                    fillets: (self.at % 4) as u8,
                },
                JointKind::Lap,
                JointKind::Cope,
            ][self.also % 4],
            wall: Length::from_si(0.0002 + 0.01 * self.part),
            leg: Length::from_si(0.01 * self.part),
            held: [Held::Free, Held::Tacked, Held::Fixtured][self.at % 3],
            passes: (self.also % 6) as u32,
            gaps: (0..self.at % 7)
                .map(|k| Gap {
                    clock: self.part * k as f64 * 2.1,
                    gap: Length::from_si(0.01 * self.wild.abs()),
                })
                .collect(),
            who: self.words.clone(),
            when: self.words.clone(),
            note: self.words.clone(),
            length: self
                .also
                .is_multiple_of(2)
                .then(|| Length::from_si(self.part)),
            base: self
                .at
                .is_multiple_of(2)
                .then(|| Length::from_si(0.01 * self.part)),
            joins: self.at.is_multiple_of(3).then(|| build::Joins {
                part: self.words.clone(),
                onto: "nothing".to_owned(),
                at: self.words.clone(),
            }),
            ..Joint::new(
                &self.words,
                "",
                JointKind::Butt,
                Length::from_si(0.1),
                Length::from_si(0.0),
            )
        }
    }

    pub(crate) fn rule(&self) -> GapRule {
        match self.at % 5 {
            0 => GapRule::AwsD11,
            1 => GapRule::Iso5817B,
            2 => GapRule::Iso5817C,
            3 => GapRule::Iso5817D,
            _ => GapRule::Shop {
                grow_above: Length::from_si(0.01 * self.part),
                reject_above: Length::from_si(0.01 * self.wild),
            },
        }
    }

    pub(crate) fn mark(&self) -> Mark {
        Mark {
            done: self.also.is_multiple_of(2),
            who: self.words.clone(),
            when: self.words.clone(),
            note: self.words.clone(),
            value: self.at.is_multiple_of(2).then(|| self.quantity()),
        }
    }

    pub(crate) fn check(&self) -> Check {
        Check {
            id: self.words.clone(),
            label: self.words.clone(),
            kind: match self.also % 3 {
                0 => CheckKind::Tick,
                1 => CheckKind::Measure {
                    low: self.at.is_multiple_of(2).then(|| self.quantity()),
                    high: self.at.is_multiple_of(3).then(|| self.quantity()),
                },
                _ => CheckKind::Rule {
                    readings: vec![self.reading(); self.at % 3],
                },
            },
            hold: self.at.is_multiple_of(2),
            caution: self.words.clone(),
            marks: vec![self.mark(); self.at % 3],
        }
    }

    pub(crate) fn reading(&self) -> String {
        let all = build::DEFINITIONS;
        all.get(self.also % (all.len() + 2))
            .map_or(self.words.clone(), |d| d.id.to_owned())
    }

    pub(crate) fn waits(&self, b: &Build) -> Vec<String> {
        // Any check of any phase, itself among them: circles come up.
        b.phases
            .iter()
            .cycle()
            .skip(self.also)
            .take(self.at % 4)
            .filter_map(|p| Some(format!("{}/{}", p.id, p.checks.get(self.at % 5)?.id)))
            .chain(self.at.is_multiple_of(7).then(|| self.words.clone()))
            .collect()
    }

    /// The edit this is on a build.
    pub(crate) fn edit(&self, b: &Build) -> Edit {
        let phase = self.id(b.phases.iter().map(|p| &p.id));
        let check = || {
            let p = b.phase(&phase);
            let ids: Vec<&String> =
                p.map_or(Vec::new(), |p| p.checks.iter().map(|c| &c.id).collect());
            match ids.get(self.also % (ids.len() + 1)) {
                Some(id) => (*id).clone(),
                None => self.words.clone(),
            }
        };
        let bracket = || self.id(b.rear.brackets.iter().map(|x| &x.id));
        let coilover = || self.id(b.power.coilovers.iter().map(|x| &x.id));
        let link = || self.id(b.rear.links.iter().map(|x| &x.id));
        match self.which % 46 {
            36..=43 => Edit::Weld(self.weld(b)),
            0 => Edit::Rename(self.words.clone()),
            1 => Edit::Revision(self.words.clone()),
            2 => Edit::Note(self.words.clone()),
            3..=5 => {
                let f = &fields::FIELDS[self.also % fields::FIELDS.len()];
                let si = match self.at % 4 {
                    0 => self.wild,
                    _ => f.low + self.part * (f.high - f.low),
                };
                Edit::Field {
                    id: f.id.to_owned(),
                    si,
                }
            }
            6 => Edit::MoveBracket {
                bracket: bracket(),
                to: self.place(),
            },
            7 => Edit::PutBracket(self.bracket()),
            8 => Edit::RemoveBracket(bracket()),
            9 => Edit::SetHole {
                link: link(),
                end: self.end(),
                side: self.side(),
                hole: self.also % 6,
            },
            10 => Edit::PutLink(self.link(b)),
            11 => Edit::RemoveLink(link()),
            12 => Edit::HoldLength {
                link: link(),
                held: self.held(),
            },
            13 => Edit::SecondReference(self.at.is_multiple_of(2).then(|| SecondReference {
                label: self.words.clone(),
                along: [Along::Station, Along::Offset, Along::Height][self.also % 3],
                at: self.length(),
            })),
            14 => Edit::PutTarget(Target {
                reading: self.reading(),
                low: self.quantity(),
                high: Quantity {
                    si: self.wild + self.part,
                    ..self.quantity()
                },
            }),
            15 => Edit::RemoveTarget(self.id(b.targets.iter().map(|t| &t.reading))),
            16 => Edit::Rule(self.rule()),
            17 => Edit::PutJoint(self.joint()),
            18 => Edit::RemoveJoint(self.id(b.fit_up.joints.iter().map(|j| &j.id))),
            19 => Edit::RailLine(vec![
                (Length::from_si(self.wild - 1.0), Length::from_inches(12.0)),
                (
                    Length::from_si(self.wild + self.part),
                    Length::from_inches(10.0),
                ),
            ]),
            20 => Edit::Mark {
                check: check(),
                phase,
                mark: self.mark(),
            },
            21 => Edit::PutCheck {
                phase,
                check: self.check(),
            },
            22 => Edit::RemoveCheck {
                check: check(),
                phase,
            },
            23 => Edit::MoveCheck {
                check: check(),
                phase,
                to: self.at,
            },
            24 => Edit::AddPhase(Phase {
                id: self.words.clone(),
                title: self.words.clone(),
                caution: self.words.clone(),
                waits_for: self.waits(b),
                checks: vec![self.check(); self.also % 2],
            }),
            25 => Edit::DescribePhase {
                phase,
                title: self.words.clone(),
                caution: self.words.clone(),
                waits_for: self.waits(b),
            },
            26 => Edit::RemovePhase(phase),
            27 => Edit::MovePhase { phase, to: self.at },
            28 => Edit::SetHoles {
                reset: self.also.is_multiple_of(2),
                holes: vec![
                    Bolted {
                        link: link(),
                        end: self.end(),
                        side: self.side(),
                        hole: self.also % 6,
                    };
                    self.at % 3
                ],
            },
            29 => Edit::Differential(
                [Differential::Locked, Differential::Open][usize::from(self.at.is_multiple_of(2))],
            ),
            30 => Edit::EngineTurn(
                [EngineTurn::Usual, EngineTurn::Reversed][usize::from(self.at.is_multiple_of(2))],
            ),
            31 => Edit::PutCoilover(self.coilover()),
            32 => Edit::RemoveCoilover(coilover()),
            33 => Edit::MoveEye {
                coilover: coilover(),
                end: self.end(),
                to: self.place(),
            },
            34 => Edit::SetPreload {
                coilover: coilover(),
                preload: self.preload(),
            },
            44 | 45 => Edit::Rolling(RollingEdit::Move {
                point: points::POINTS[self.also % points::POINTS.len()]
                    .id
                    .to_owned(),
                to: self.place(),
            }),
            _ => Edit::Driveshaft(self.driveshaft()),
        }
    }
}

pub(crate) fn seeds(most: usize) -> impl Strategy<Value = Vec<Seed>> {
    prop::collection::vec(seed(), 1..most)
}
