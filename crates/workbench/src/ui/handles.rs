//! What can be taken hold of in the rear-link drawings, and what moving it means.

use build::{Build, Carrier, Edit, End, Link, LinkRole, Part, Place, Side, Sides};
use eframe::egui::{self, Id, Vec2};
use units::{Kind, Shop};

use super::bench::{Action, Tray};
use super::canvas::{self, Moved, View};
use super::power_page::Carriage;

/// Which way the floor is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Face {
    /// From the left: ahead to the right, up.
    Side,
    /// From above: ahead to the right, left side up.
    Plan,
    /// From behind: left side left, up.
    Rear,
    /// Turned before the eye.
    Turned(Turn),
}

/// Where the eye stands of a turned view, whole degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Turn {
    /// Round the car: 0 behind it, 90 on its right, ±180 ahead of it, -90 on its left.
    pub round: i16,
    /// Above it, -90 to 90.
    pub over: i16,
}

impl Turn {
    /// Right and up on the sheet, and from the sheet to the eye: unit vectors of the build frame.
    pub fn axes(self) -> [[f64; 3]; 3] {
        let (s, c) = f64::from(self.round).to_radians().sin_cos();
        let (up, level) = f64::from(self.over).to_radians().sin_cos();
        [
            [s, -c, 0.0],
            [up * c, up * s, level],
            [-level * c, -level * s, up],
        ]
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Moved less than this by a turned view, a coordinate stays, m: it is the turn's rounding.
const STILL: f64 = 1e-7;

impl Face {
    /// Build frame to drawing.
    pub fn flat(self, p: [f64; 3]) -> [f64; 2] {
        match self {
            Self::Side => [p[0], p[2]],
            Self::Plan => [p[0], p[1]],
            Self::Rear => [-p[1], p[2]],
            Self::Turned(turn) => {
                let [right, up, _] = turn.axes();
                [dot(p, right), dot(p, up)]
            }
        }
    }

    /// A point moved in the drawing; what the drawing does not show stays.
    pub fn lift(self, q: [f64; 2], old: [f64; 3]) -> [f64; 3] {
        match self {
            Self::Side => [q[0], old[1], q[1]],
            Self::Plan => [q[0], q[1], old[2]],
            Self::Rear => [old[0], -q[0], q[1]],
            Self::Turned(turn) => {
                let [right, up, _] = turn.axes();
                let now = self.flat(old);
                let d = [q[0] - now[0], q[1] - now[1]];
                std::array::from_fn(|k| {
                    let by = d[0] * right[k] + d[1] * up[k];
                    if by.abs() < STILL {
                        old[k]
                    } else {
                        old[k] + by
                    }
                })
            }
        }
    }

    /// One step of an arrow key: along the coordinate that lies most that way on the sheet.
    fn stepped(self, at: [f64; 3], nudge: [i32; 2], step: f64) -> [f64; 3] {
        let Self::Turned(turn) = self else {
            let q = self.flat(at);
            let q = [
                q[0] + f64::from(nudge[0]) * step,
                q[1] + f64::from(nudge[1]) * step,
            ];
            return self.lift(q, at);
        };
        let [right, up, _] = turn.axes();
        let mut to = at;
        for (n, d) in nudge.into_iter().zip([right, up]) {
            let most = (0..3).max_by(|a, b| d[*a].abs().total_cmp(&d[*b].abs()));
            let k = most.unwrap_or(2);
            to[k] += f64::from(n) * step * d[k].signum();
        }
        to
    }
}

/// Something that can be taken hold of.
#[derive(Debug, Clone, PartialEq)]
pub enum Handle {
    /// A link's end on its hole.
    End {
        /// The link's id.
        link: String,
        /// Which end.
        end: End,
    },
    /// A bracket as a whole, held at hole 1.
    Bracket {
        /// The bracket's id.
        bracket: String,
    },
    /// An eye of a coil-over.
    Eye {
        /// The coil-over's id.
        coilover: String,
        /// Which eye.
        end: End,
    },
}

/// A handle where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// What it is.
    pub handle: Handle,
    /// Its name for eyes, ears and tests.
    pub name: String,
    /// Its point in the build frame, m.
    pub at: [f64; 3],
    /// What it is fixed to.
    pub on: Carrier,
    /// Widget id: never depends on where it is.
    pub id: Id,
}

/// The handles a face shows: brackets first, so that link ends lie on top of them.
pub fn handles(b: &Build, face: Face) -> Vec<Placed> {
    let mut out = Vec::new();
    let shown = |sides: Sides| (sides == Sides::Pair) == (face == Face::Side);
    for x in b.rear.brackets.iter().filter(|x| shown(x.sides)) {
        out.push(Placed {
            id: Id::unique(("bracket", face, &x.id)),
            name: format!("bracket {}", x.label),
            at: x.at.si(),
            on: x.on,
            handle: Handle::Bracket {
                bracket: x.id.clone(),
            },
        });
    }
    for l in b.rear.links.iter().filter(|l| shown(l.sides)) {
        for (end, at, word) in [
            (End::Frame, &l.at_frame, "frame end"),
            (End::Axle, &l.at_axle, "axle end"),
        ] {
            let Some(bracket) = b.rear.bracket(&at.bracket) else {
                continue;
            };
            // A single hole: the bracket itself is the handle.
            if bracket.hole_count() < 2 {
                continue;
            }
            if let Some(place) = bracket.hole(at.hole) {
                out.push(Placed {
                    id: Id::unique(("end", face, &l.id, end)),
                    name: format!("{}, {word}", l.label),
                    at: place.si(),
                    on: bracket.on,
                    handle: Handle::End {
                        link: l.id.clone(),
                        end,
                    },
                });
            }
        }
    }
    out
}

/// The eyes of the coil-overs, in every face: of a pair the left one's.
pub fn eyes(b: &Build, face: Face) -> Vec<Placed> {
    let mut out = Vec::new();
    for x in &b.power.coilovers {
        for (end, on, at, word) in [
            (End::Frame, Carrier::Frame, x.at_frame, "upper eye"),
            (End::Axle, Carrier::Axle, x.at_axle, "lower eye"),
        ] {
            out.push(Placed {
                id: Id::unique(("eye", face, &x.id, end)),
                name: format!("{}, {word}", x.label),
                at: at.si(),
                on,
                handle: Handle::Eye {
                    coilover: x.id.clone(),
                    end,
                },
            });
        }
    }
    out
}

/// What the handle is and where, in two lines for the callout.
pub fn describe(b: &Build, shop: &Shop, placed: &Placed, face: Face) -> (String, String) {
    let length = |v| units::format_kept(Kind::Length, v, shop);
    let first = match &placed.handle {
        Handle::Bracket { .. } | Handle::Eye { .. } => placed.name.clone(),
        Handle::End { link, end } => {
            let at = b.rear.link(link).map(|l| end_of(l, *end));
            let hole = at.map_or(0, |a| a.hole);
            let count = at
                .and_then(|a| b.rear.bracket(&a.bracket))
                .map_or(0, build::Bracket::hole_count);
            let right = at
                .and_then(|a| a.right_hole)
                .map(|r| format!(", right {r}"))
                .unwrap_or_default();
            format!("{} · hole {hole} of {count}{right}", placed.name)
        }
    };
    let [x, y, z] = placed.at;
    let ahead = super::bench::ahead(x, shop);
    let out = format!(
        "{} out {}",
        length(y.abs()),
        if y < 0.0 { "right" } else { "left" }
    );
    let up = format!("{} up", length(z));
    let second = match face {
        Face::Side => format!("{ahead} · {up}"),
        Face::Plan => format!("{ahead} · {out}"),
        Face::Rear => format!("{out} · {up}"),
        Face::Turned(_) => format!("{ahead} · {out} · {up}"),
    };
    (first, second)
}

fn end_of(l: &Link, end: End) -> &build::LinkEnd {
    match end {
        End::Frame => &l.at_frame,
        End::Axle => &l.at_axle,
    }
}

/// How something was taken hold of.
#[derive(Debug, Clone, Copy, Default)]
pub struct Grab {
    /// From where it stands to where the pointer took it.
    offset: Option<Vec2>,
    /// The pose it was taken in. What is moved moves the pose, drawn large even more than the hand does: the way back
    /// stays that of the beginning, or the hand would chase the car.
    carriage: Option<Carriage>,
}

impl Grab {
    /// Reads a handle that stands in the drawing as it is drawn; see [`canvas::read`].
    pub fn read(&mut self, ctx: &egui::Context, view: &View, id: Id, at: [f64; 2]) -> Moved {
        canvas::read(ctx, view, id, &mut self.offset, at)
    }
}

/// How a hand moves things: what every reading of handles needs.
#[derive(Clone, Copy)]
pub struct Hand<'a> {
    /// Where the pointer is heard.
    pub ctx: &'a egui::Context,
    /// The document.
    pub build: &'a Build,
    /// Display units.
    pub shop: &'a Shop,
    /// By display steps, not freely.
    pub snap: bool,
}

impl Hand<'_> {
    /// Reads handles of a face as they were laid last frame and puts what it means in the tray. In a pose (`carriage`)
    /// they stand where it carries them, and what the pointer says is taken back to the drawing board.
    pub fn read(
        &self,
        placed: &[Placed],
        face: Face,
        view: &View,
        carriage: Option<&Carriage>,
        grab: &mut Grab,
        tray: &mut Tray,
    ) {
        for placed in placed {
            let stands = carriage.map_or(placed.at, |c| c.carry(placed.on, placed.at));
            let at = face.flat(stands);
            let mut moved = canvas::read(self.ctx, view, placed.id, &mut grab.offset, at);
            if moved == Moved::default() {
                continue;
            }
            if moved.began {
                grab.carriage = carriage.copied();
            }
            if let (Some(c), Some(q)) = (&grab.carriage, moved.to) {
                moved.to = c.take_back(placed.on, face, q, placed.at);
            }
            if moved.picked {
                tray.put(Action::Select(match &placed.handle {
                    Handle::End { link, .. } => Part::Link(link.clone()),
                    Handle::Bracket { bracket } => Part::Bracket(bracket.clone()),
                    Handle::Eye { coilover, .. } => Part::Coilover(coilover.clone()),
                }));
            }
            if moved.began {
                tray.put(Action::BeginGesture);
            }
            if let Some(edit) = meaning(self.build, self.shop, self.snap, face, placed, &moved) {
                tray.edit(edit);
            }
            if moved.ended {
                tray.put(Action::EndGesture);
            }
        }
    }
}

/// Where a point at `at` is moved to; `None` when it stays.
pub fn moved_place(
    shop: &Shop,
    snap: bool,
    face: Face,
    at: [f64; 3],
    moved: &Moved,
) -> Option<Place> {
    let step = units::step(Kind::Length, shop);
    let to = if let Some(q) = moved.to {
        let free = face.lift(q, at);
        if free == at {
            return None;
        }
        // Only what the face shows is moved and tidied.
        tidy(free, at, shop, snap)
    } else if moved.nudge != [0, 0] {
        let k = if moved.coarse { 16.0 } else { 1.0 } * step;
        tidy(face.stepped(at, moved.nudge, k), at, shop, true)
    } else {
        return None;
    };
    let to = Place::from_si(to);
    // A hand that holds still asks for nothing.
    (to.si() != at).then_some(to)
}

fn meaning(
    b: &Build,
    shop: &Shop,
    snap: bool,
    face: Face,
    placed: &Placed,
    moved: &Moved,
) -> Option<Edit> {
    match &placed.handle {
        Handle::Bracket { bracket } => Some(Edit::MoveBracket {
            bracket: bracket.clone(),
            to: moved_place(shop, snap, face, placed.at, moved)?,
        }),
        Handle::Eye { coilover, end } => Some(Edit::MoveEye {
            coilover: coilover.clone(),
            end: *end,
            to: moved_place(shop, snap, face, placed.at, moved)?,
        }),
        Handle::End { link, end } => {
            let l = b.rear.link(link)?;
            let (bracket, hole) = match moved.to {
                Some(q) => nearest_hole(b, l, *end, face, q)?,
                None if moved.nudge != [0, 0] => next_hole(b, l, *end, face, moved.nudge)?,
                None => return None,
            };
            let now = end_of(l, *end);
            if now.bracket == bracket {
                return (now.hole != hole).then(|| Edit::SetHole {
                    link: link.clone(),
                    end: *end,
                    side: Side::Both,
                    hole,
                });
            }
            let mut l = l.clone();
            let at = match end {
                End::Frame => &mut l.at_frame,
                End::Axle => &mut l.at_axle,
            };
            at.bracket = bracket;
            at.hole = hole;
            at.right_hole = None;
            Some(Edit::PutLink(l))
        }
    }
}

/// Moved coordinates to the display step (as they read on the tape), or to 0.1 mm when free.
pub fn tidy(free: [f64; 3], old: [f64; 3], shop: &Shop, snap: bool) -> [f64; 3] {
    std::array::from_fn(|k| {
        if free[k] == old[k] {
            return old[k];
        }
        if snap {
            let text = units::format(Kind::Length, free[k], shop);
            units::parse_typed(Kind::Length, &text, shop).unwrap_or(free[k])
        } else {
            (free[k] * 1e4).round() / 1e4
        }
    })
}

/// Any hole that this end could be bolted to, with its place in the drawing.
fn candidates<'a>(
    b: &'a Build,
    l: &Link,
    end: End,
    face: Face,
) -> impl Iterator<Item = (&'a str, usize, [f64; 2])> {
    let carrier = match end {
        End::Frame => Carrier::Frame,
        End::Axle => Carrier::Axle,
    };
    let sides = l.sides;
    b.rear
        .brackets
        .iter()
        .filter(move |x| x.on == carrier && x.sides == sides)
        .flat_map(move |x| {
            (1..=x.hole_count())
                .filter_map(move |n| Some((x.id.as_str(), n, face.flat(x.hole(n)?.si()))))
        })
}

fn nearest_hole(b: &Build, l: &Link, end: End, face: Face, q: [f64; 2]) -> Option<(String, usize)> {
    let distance = |p: [f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]);
    candidates(b, l, end, face)
        .min_by(|x, y| distance(x.2).total_cmp(&distance(y.2)))
        .map(|(id, n, _)| (id.to_owned(), n))
}

/// The nearest hole of the same bracket in the direction of the arrow key.
fn next_hole(
    b: &Build,
    l: &Link,
    end: End,
    face: Face,
    nudge: [i32; 2],
) -> Option<(String, usize)> {
    let now = end_of(l, end);
    let here = face.flat(b.rear.bracket(&now.bracket)?.hole(now.hole)?.si());
    let dir = [f64::from(nudge[0].signum()), f64::from(nudge[1].signum())];
    candidates(b, l, end, face)
        .filter(|(id, _, _)| *id == now.bracket)
        .filter_map(|(id, n, p)| {
            let d = [p[0] - here[0], p[1] - here[1]];
            let along = d[0] * dir[0] + d[1] * dir[1];
            (along > 1e-9).then_some((id, n, along))
        })
        .min_by(|x, y| x.2.total_cmp(&y.2))
        .map(|(id, n, _)| (id.to_owned(), n))
}

/// Whether a link is a lateral bar.
pub fn is_bar(l: &Link) -> bool {
    l.role == LinkRole::Lateral
}
