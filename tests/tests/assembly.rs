//! The assembly through the real window code: nodes dragged, nudged and typed, tubes and control
//! dimensions drawn with the pen, parts removed; each is one step, and no build brings it down.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use std::time::Duration;

use build::{Build, ControlDimension, JointKind, Limit, Node, Part, Place, Plate, Tube};
use eframe::egui::{Event, Key, Pos2, Vec2, vec2};
use egui_kittest::kittest::Queryable as _;
use screen::{Screen, button};
use units::Length;
use window::{Window, click, drag, fill, hold, open, open_with, sample, undo};
use workbench::ui::bench::Action;
use workbench::ui::handles::Face;
use workbench::ui::settings::Settings;
use workbench::ui::weld_page::Topic;

const SIZE: [f32; 2] = [1440.0, 900.0];
const SIXTEENTH: f64 = 0.0254 / 16.0;

fn page<'a>(build: Build, size: [f32; 2]) -> Window<'a> {
    let mut h = open(build, None, size);
    phase(&mut h, "weld_out");
    click(&mut h, "Parts");
    h
}

fn phase(h: &mut Window<'_>, id: &str) {
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, Action::Phase(id.into()));
    h.run();
}

fn scroll_and_click(h: &mut Window<'_>, label: &str) {
    h.get_by_label(label).scroll_to_me();
    h.run();
    click(h, label);
}

fn at(h: &Window<'_>, label: &str) -> Pos2 {
    h.get_by_label(label).rect().center()
}

fn node(b: &Build, id: &str) -> [f64; 3] {
    b.assembly.node(id).unwrap().at.si()
}

/// Points per metre in the view in use.
fn scale(h: &Window<'_>) -> f64 {
    h.state().weld_page().view.view().scale
}

/// On the tape, and within half a step of what the hand did.
#[track_caller]
fn moved_by(was: f64, now: f64, metres: f64) {
    assert!(
        (now - was - metres).abs() <= 0.5 * SIXTEENTH + 1e-9,
        "moved by {}, not {metres}",
        now - was
    );
    let steps = now / SIXTEENTH;
    assert!(
        (steps - steps.round()).abs() < 1e-6,
        "{now} is off the tape"
    );
}

/// Redshank before the rest of its frame was drawn: nothing stands behind the crossmember.
fn crossmember_alone() -> Build {
    sample("redshank_version_3.ron")
}

#[test]
fn a_dragged_node_moves_as_the_hand_does_in_one_step() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    let was = node(&start, "eye_l");
    let by = vec2(37.0, -22.0);
    let metres = [37.0, 22.0].map(|v| v / scale(&h));
    let from = at(&h, "Node eye_l");
    drag(&mut h, from, by);
    let now = node(h.state().build(), "eye_l");
    // From behind, left is left: to the right is less offset, up is height, and the station stays.
    moved_by(was[1], now[1], -metres[0]);
    moved_by(was[2], now[2], metres[1]);
    assert_eq!(now[0], was[0]);
    // It is drawn where it now is, and nothing else moved.
    let off = at(&h, "Node eye_l") - from - by;
    assert!(off.length() < 2.0, "{off:?}");
    let mut back = Build::clone(h.state().build());
    back.assembly
        .nodes
        .iter_mut()
        .find(|x| x.id == "eye_l")
        .unwrap()
        .at = Place::from_si(was);
    assert_eq!(back, start);
    undo(&mut h);
    assert_eq!(**h.state().build(), start, "one step");
}

#[test]
fn escape_gives_a_held_node_back() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    let from = at(&h, "Node bar_l");
    hold(&mut h, from, vec2(50.0, 30.0));
    assert_ne!(**h.state().build(), start, "it follows while it is held");
    h.key_press(Key::Escape);
    h.step();
    h.drop_at(from + vec2(50.0, 30.0));
    h.run();
    assert_eq!(**h.state().build(), start);
}

#[test]
fn the_other_side_follows_with_mirror_and_stays_without() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Both sides");
    let from = at(&h, "Node eye_r");
    drag(&mut h, from, vec2(-31.0, 18.0));
    let b = h.state().build().clone();
    let (l, r) = (node(&b, "eye_l"), node(&b, "eye_r"));
    assert_ne!(r, node(&start, "eye_r"));
    assert_eq!([r[0], -r[1], r[2]], l);
    assert_eq!(start.assembly.nodes.len(), b.assembly.nodes.len());
    undo(&mut h);
    assert_eq!(**h.state().build(), start, "both in one step");
    click(&mut h, "Both sides");
    let from = at(&h, "Node eye_r");
    drag(&mut h, from, vec2(-31.0, 18.0));
    assert_eq!(node(h.state().build(), "eye_l"), node(&start, "eye_l"));
}

#[test]
fn arrow_keys_nudge_the_chosen_node_by_a_step_in_the_plane_of_the_view() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    // Chosen in the drawing; then in the list, where nothing has the keys.
    for (choose, views) in [("Node foot_l", 1), ("Choose node foot_l", 3)] {
        // From the side the right one's handle lies behind the left one's: there the list alone is used.
        let faces = [
            (Face::Rear, "From behind", [(1, -1.0), (2, 1.0)]),
            (Face::Side, "Side", [(0, 1.0), (2, 1.0)]),
            (Face::Plan, "From above", [(0, 1.0), (1, 1.0)]),
        ];
        for (face, button, axes) in faces.into_iter().take(views) {
            click(&mut h, button);
            assert_eq!(h.state().weld_page().view.face, face);
            scroll_and_click(&mut h, choose);
            for (key, (axis, sign)) in [Key::ArrowRight, Key::ArrowUp].into_iter().zip(axes) {
                let was = node(h.state().build(), "foot_l");
                h.key_press(key);
                h.run();
                let now = node(h.state().build(), "foot_l");
                for k in 0..3 {
                    let by = if k == axis { sign * SIXTEENTH } else { 0.0 };
                    assert!(
                        (now[k] - was[k] - by).abs() < 1e-9,
                        "{choose} {button} {key:?}: {was:?} to {now:?}"
                    );
                }
                undo(&mut h);
            }
        }
        assert_eq!(**h.state().build(), start);
    }
}

#[test]
fn a_typed_coordinate_moves_the_node_and_nonsense_does_not() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    let mut expected = start.clone();
    for (k, (word, text)) in [
        ("station", "-7"),
        ("offset", "10 5/8"),
        ("height", "285 mm"),
    ]
    .into_iter()
    .enumerate()
    {
        fill(&mut h, &format!("Node foot_l, {word}"), text);
        let x = expected
            .assembly
            .nodes
            .iter_mut()
            .find(|x| x.id == "foot_l")
            .unwrap();
        let value: Length = ["-7 in", "10 5/8 in", "285 mm"][k].parse().unwrap();
        match k {
            0 => x.at.station = value,
            1 => x.at.offset = value,
            _ => x.at.height = value,
        }
        assert_eq!(**h.state().build(), expected, "{word}");
    }
    let before = h.state().build().clone();
    for text in ["here", "1e9 in", ""] {
        fill(&mut h, "Node foot_l, station", text);
        assert_eq!(*h.state().build(), before, "{text}");
        h.key_press(Key::Escape);
        h.run();
    }
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start, "three steps");
}

/// The point of a tube this far from its end A.
fn along(b: &Build, tube: &str, t: f64) -> [f64; 3] {
    let x = b.assembly.tube(tube).unwrap();
    let (p, q) = (node(b, &x.from), node(b, &x.to));
    std::array::from_fn(|k| p[k] + t * (q[k] - p[k]))
}

fn off_line(b: &Build, tube: &str, p: [f64; 3]) -> f64 {
    let (a, c) = (along(b, tube, 0.0), along(b, tube, 1.0));
    let d: [f64; 3] = std::array::from_fn(|k| c[k] - a[k]);
    let v: [f64; 3] = std::array::from_fn(|k| p[k] - a[k]);
    let n = d.iter().map(|x| x * x).sum::<f64>();
    let t = d.iter().zip(v).map(|(x, y)| x * y).sum::<f64>() / n;
    (0..3)
        .map(|k| (v[k] - t * d[k]).powi(2))
        .sum::<f64>()
        .sqrt()
}

fn on_screen(h: &Window<'_>, p: [f64; 3]) -> Pos2 {
    let view = &h.state().weld_page().view;
    view.view().at(view.face.flat(p))
}

#[test]
fn a_tube_drawn_from_tube_to_tube_brings_a_node_and_the_right_joint_at_each_end() {
    let start = crossmember_alone();
    for (from, to, kinds) in [
        // Round on round is coped at both ends.
        (
            ("tower_l", 0.35),
            ("tower_r", 0.35),
            [("tower_l", true), ("tower_r", true)],
        ),
        // The rail, a square point from behind, takes a tee; where along it the tower's station says.
        (
            ("bar", 0.3),
            ("rail_r", 0.5),
            [("bar", true), ("rail_r", false)],
        ),
    ] {
        let mut h = page(start.clone(), SIZE);
        click(&mut h, "Draw a tube");
        let ends = [from, to].map(|(tube, t)| on_screen(&h, along(&start, tube, t)));
        drag(&mut h, ends[0], ends[1] - ends[0]);
        let b = h.state().build().clone();
        let a = &b.assembly;
        assert_eq!(a.tubes.len(), start.assembly.tubes.len() + 1);
        assert_eq!(a.nodes.len(), start.assembly.nodes.len() + 2);
        assert_eq!(
            b.fit_up.joints.len(),
            start.fit_up.joints.len() + 2,
            "one joint at each end"
        );
        let new = a.tubes.last().unwrap();
        let last = start.assembly.tubes.last().unwrap();
        assert_eq!((new.section, &new.material), (last.section, &last.material));
        let joints = &b.fit_up.joints[start.fit_up.joints.len()..];
        for ((j, end), (onto, coped)) in joints.iter().zip([&new.from, &new.to]).zip(kinds) {
            let joins = j.joins.as_ref().unwrap();
            assert_eq!((&joins.part, joins.onto.as_str()), (&new.id, onto));
            assert_eq!(&joins.at, end);
            let kind = if coped {
                JointKind::Cope
            } else {
                JointKind::Tee { fillets: 1 }
            };
            assert_eq!(j.kind, kind);
            assert_eq!(j.wall, new.section.wall());
            let off = off_line(&start, onto, node(&b, end));
            assert!(off < 1e-6, "{off} m beside the centreline of {onto}");
        }
        for (end, screen) in [&new.from, &new.to].into_iter().zip(ends) {
            let off = on_screen(&h, node(&b, end)) - screen;
            assert!(off.length() < 3.0, "{off:?} from where it was drawn");
        }
        // What the view does not show: the station of the assembly's own plane.
        assert!((node(&b, &new.to)[0] - node(&start, "foot_l")[0]).abs() < 1e-6);
        undo(&mut h);
        assert_eq!(**h.state().build(), start, "one step");
    }
}

#[test]
fn a_tube_from_node_to_floor_makes_one_node_and_no_second_joint() {
    let start = crossmember_alone();
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Draw a tube");
    let from = at(&h, "Node eye_l");
    drag(&mut h, from, vec2(70.0, 30.0));
    let b = h.state().build().clone();
    assert_eq!(b.assembly.nodes.len(), start.assembly.nodes.len() + 1);
    let new = b.assembly.tubes.last().unwrap();
    assert_eq!(new.from, "eye_l");
    let (p, q) = (node(&b, "eye_l"), node(&b, &new.to));
    assert_eq!(q[0], p[0], "at the depth it began");
    let joints = &b.fit_up.joints[start.fit_up.joints.len()..];
    assert_eq!(joints.len(), 1, "it stands on the tower's end");
    assert_eq!(joints[0].joins.as_ref().unwrap().onto, "tower_l");
    // The same with the other side.
    undo(&mut h);
    click(&mut h, "Both sides");
    drag(&mut h, from, vec2(70.0, 30.0));
    let b = h.state().build().clone();
    let n = b.assembly.tubes.len();
    assert_eq!(n, start.assembly.tubes.len() + 2);
    let [x, y] = [&b.assembly.tubes[n - 2], &b.assembly.tubes[n - 1]];
    assert_eq!((x.from.as_str(), y.from.as_str()), ("eye_l", "eye_r"));
    let (p, q) = (node(&b, &x.to), node(&b, &y.to));
    assert_eq!([p[0], -p[1], p[2]], q);
    undo(&mut h);
    assert_eq!(**h.state().build(), start, "both in one step");
}

#[test]
fn a_stroke_given_up_or_too_short_draws_nothing() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Draw a tube");
    let from = at(&h, "Node eye_l");
    hold(&mut h, from, vec2(70.0, 30.0));
    h.key_press(Key::Escape);
    h.step();
    h.drop_at(from + vec2(70.0, 30.0));
    h.run();
    assert_eq!(**h.state().build(), start);
    // Out and back to the same node.
    hold(&mut h, from, vec2(70.0, 30.0));
    h.hover_at(from);
    h.step();
    h.drop_at(from);
    h.run();
    assert_eq!(**h.state().build(), start);
    assert!(h.query_by_label_contains("two ends apart").is_some());
    // Escape puts the pen down: a drag moves the node again.
    h.key_press(Key::Escape);
    h.run();
    drag(&mut h, from, vec2(30.0, 0.0));
    assert_ne!(node(h.state().build(), "eye_l"), node(&start, "eye_l"));
}

#[test]
fn a_dimension_drawn_from_node_to_node_wants_what_is_there() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Measure");
    let (a, b) = (at(&h, "Node bar_l"), at(&h, "Node bar_r"));
    drag(&mut h, a, b - a);
    let now = h.state().build().clone();
    let d: &ControlDimension = now.weld_out.dimensions.last().unwrap();
    assert_eq!((d.from.as_str(), d.to.as_str()), ("bar_l", "bar_r"));
    // 2 x 12.7773 = 25.5546 in, on a tape of sixteenths 25 9/16.
    assert_eq!(d.want, "25 9/16 in".parse().unwrap());
    assert_eq!(d.tolerance, Limit::Within("1/16 in".parse().unwrap()));
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
    // To nowhere there is none, and it says why.
    drag(&mut h, a, vec2(40.0, 80.0));
    assert_eq!(**h.state().build(), start);
    assert!(h.query_by_label_contains("from node to node").is_some());
}

#[test]
fn a_part_in_use_is_not_removed_and_says_by_what() {
    let start = crossmember_alone();
    let mut h = page(start.clone(), SIZE);
    for (part, reason) in [
        ("Node foot_l", "Tower, left runs to node foot_l"),
        (
            "Tube crossmember",
            "Joint Left tower to crossmember is on it",
        ),
        ("Tube bar", "Joint Upper bar to left tower is on it"),
        ("Dimension towers", "Correction beads were laid"),
    ] {
        click(&mut h, part);
        h.key_press(Key::Delete);
        h.run();
        assert_eq!(**h.state().build(), start, "{part}");
        assert!(
            h.query_all_by_label_contains(reason).next().is_some(),
            "{part}: {reason}"
        );
    }
    // A joint stands on nothing else: it goes, and then its tube.
    click(&mut h, "Joint C7");
    h.key_press(Key::Delete);
    h.run();
    assert_eq!(
        h.state().build().fit_up.joints.len(),
        start.fit_up.joints.len() - 1
    );
    click(&mut h, "Joint C5");
    h.key_press(Key::Delete);
    h.run();
    click(&mut h, "Tube brace_l");
    scroll_and_click(&mut h, "Remove tube brace_l");
    assert!(h.state().build().assembly.tube("brace_l").is_none());
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start);
}

#[test]
fn a_click_on_the_drawing_chooses_and_the_floor_lets_go() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    // A tube anywhere along it, not only at its named middle.
    let p = on_screen(&h, along(&start, "bar", 0.2));
    h.hover_at(p);
    h.run();
    h.drag_at(p);
    h.step();
    h.drop_at(p);
    h.run();
    assert!(h.query_by_label("Tube bar, outside").is_some());
    let view = h.state().weld_page().view.view().rect;
    let floor = view.left_bottom() + vec2(20.0, -20.0);
    h.hover_at(floor);
    h.run();
    h.drag_at(floor);
    h.step();
    h.drop_at(floor);
    h.run();
    assert!(h.query_by_label("Tube bar, outside").is_none());
    assert_eq!(**h.state().build(), start);
    click(&mut h, "Joint C5");
    assert!(h.query_by_label("Joint C5, leg").is_some());
    click(&mut h, "Dimension towers");
    fill(&mut h, "Dimension towers, want", "27 11/16");
    let d = h.state().build().weld_out.dimension("towers").unwrap().want;
    assert_eq!(d, "27 11/16 in".parse().unwrap());
}

#[test]
fn forms_change_one_thing_in_one_step() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    type Set = fn(&mut Build);
    let rows: [(&str, &str, &str, Set); 5] = [
        ("Choose tube bar", "Tube bar, outside", "1 1/2", |b| {
            let t = b.assembly.tubes.iter_mut().find(|t| t.id == "bar").unwrap();
            let build::TubeSection::Round { outside, .. } = &mut t.section else {
                panic!("round")
            };
            *outside = "1 1/2 in".parse().unwrap();
        }),
        ("Choose tube rail_l", "Tube rail_l, width", "3", |b| {
            let t = b.assembly.tubes.iter_mut().find(|t| t.id == "rail_l");
            let build::TubeSection::Rectangular { width, .. } = &mut t.unwrap().section else {
                panic!("rectangular")
            };
            *width = "3 in".parse().unwrap();
        }),
        ("Choose joint C9", "Joint C9, base", "3/16", |b| {
            let j = b.fit_up.joints.iter_mut().find(|j| j.id == "C9");
            j.unwrap().base = Some("3/16 in".parse().unwrap());
        }),
        ("Choose joint C9", "Joint C9, seam length", "5", |b| {
            let j = b.fit_up.joints.iter_mut().find(|j| j.id == "C9");
            j.unwrap().length = Some("5 in".parse().unwrap());
        }),
        (
            "Choose dimension rails",
            "Dimension rails, within",
            "1/8",
            |b| {
                let d = b.weld_out.dimensions.iter_mut().find(|d| d.id == "rails");
                d.unwrap().tolerance = Limit::Within("1/8 in".parse().unwrap());
            },
        ),
    ];
    for (choose, field, text, set) in rows {
        scroll_and_click(&mut h, choose);
        fill(&mut h, field, text);
        let mut expected = start.clone();
        set(&mut expected);
        assert_eq!(**h.state().build(), expected, "{field}");
        undo(&mut h);
        assert_eq!(**h.state().build(), start, "{field}");
    }
    // A node's name: everything that ran to it runs to it.
    scroll_and_click(&mut h, "Choose node foot_l");
    fill(&mut h, "Node foot_l, name", "toe");
    let b = h.state().build().clone();
    assert!(b.assembly.node("foot_l").is_none());
    assert_eq!(b.assembly.tube("tower_l").unwrap().from, "toe");
    let text = format!("{:?}", (&b.assembly, &b.fit_up, &b.weld_out.dimensions));
    assert!(!text.contains("foot_l\"") || text.contains("brace_foot_l"));
    assert_eq!(
        text.matches("\"foot_l\"").count(),
        0,
        "nothing names it any more"
    );
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn an_empty_assembly_is_begun_with_buttons_pen_and_keys() {
    let mut h = page(Build::empty("Empty"), SIZE);
    assert!(h.query_by_label_contains("Nothing drawn yet").is_some());
    click(&mut h, "Draw the first tube");
    let view = h.state().weld_page().view.view().rect;
    drag(&mut h, view.center() + vec2(-120.0, 80.0), vec2(240.0, 0.0));
    let b = h.state().build().clone();
    assert_eq!((b.assembly.nodes.len(), b.assembly.tubes.len()), (2, 1));
    assert!(b.fit_up.joints.is_empty());
    undo(&mut h);
    h.key_press(Key::Escape);
    h.run();
    click(&mut h, "Add the first node");
    assert_eq!(h.state().build().assembly.nodes.len(), 1);
    fill(&mut h, "Node N1, height", "12");
    scroll_and_click(&mut h, "Add a node");
    fill(&mut h, "Node N2, offset", "20");
    scroll_and_click(&mut h, "Add a tube");
    assert!(h.state().build().assembly.tube("T1").is_some());
    scroll_and_click(&mut h, "Add a dimension");
    let d = &h.state().build().weld_out.dimensions[0];
    // 20 in out, 12 in up: 23.32 in, on the tape 23 5/16.
    assert_eq!(d.want, "23 5/16 in".parse().unwrap());
    scroll_and_click(&mut h, "Add a material");
    fill(&mut h, "Material M1, yield", "50000");
    let y = h.state().build().assembly.materials[0].yield_strength;
    assert_eq!(y, "50000 psi".parse().unwrap());
}

/// An assembly that no one would draw.
fn hostile() -> Build {
    let mut b = sample("redshank.ron");
    let a = &mut b.assembly;
    let place = |x: f64, y: f64, z: f64| Place::from_si([x, y, z]);
    let like = a.tubes[3].clone();
    a.nodes.push(Node {
        id: "same".into(),
        at: a.nodes[0].at,
    });
    a.nodes.push(Node {
        id: "far".into(),
        at: place(20.0, -20.0, 9.0),
    });
    for (id, from, to) in [
        ("nowhere", "gone", "lost"),
        ("half", "eye_l", "gone"),
        ("point", "eye_l", "eye_l"),
        ("none", "rail_rear_l", "same"),
        ("long", "far", "eye_l"),
    ] {
        a.tubes.push(Tube {
            id: id.into(),
            label: "x".repeat(300),
            from: from.into(),
            to: to.into(),
            ..like.clone()
        });
    }
    for (id, outline) in [
        ("p0", vec![]),
        ("p1", vec!["eye_l"]),
        ("p2", vec!["eye_l", "eye_l", "eye_l"]),
        ("p3", vec!["eye_l", "gone", "eye_r"]),
        ("p4", vec!["eye_l", "foot_r", "eye_r", "foot_l", "seat_l"]),
    ] {
        a.plates.push(Plate {
            id: id.into(),
            label: String::new(),
            outline: outline.into_iter().map(str::to_owned).collect(),
            thickness: Length::from_inches(0.25),
            material: "unobtainium".into(),
        });
    }
    let like = b.weld_out.dimensions[0].clone();
    for (id, from, to) in [
        ("d0", "gone", "eye_l"),
        ("d1", "eye_l", "eye_l"),
        ("d2", "far", "same"),
    ] {
        b.weld_out.dimensions.push(ControlDimension {
            id: id.into(),
            from: from.into(),
            to: to.into(),
            ..like.clone()
        });
    }
    let like = b.fit_up.joints.last().unwrap().clone();
    for (id, part, onto, at) in [
        ("j0", "gone", "gone", "gone"),
        ("j1", "bar", "bar", "bar_l"),
        ("j2", "tower_l", "bar", "far"),
        ("j3", "bar", "tower_l", "bar_l"),
    ] {
        let mut j = like.clone();
        j.id = id.into();
        j.joins = Some(build::Joins {
            part: part.into(),
            onto: onto.into(),
            at: at.into(),
        });
        b.fit_up.joints.push(j);
    }
    b.weld_out.order = vec!["gone".into(), "j2".into(), "j2".into(), "J1".into()];
    b.weld_out.corrections[0].sites[0].tube = "point".into();
    b.weld_out.corrections[0].sites[1].face = build::Face::Top;
    b.weld_out.corrections[0].laid[0].beads = u32::MAX;
    b
}

#[test]
fn no_assembly_and_no_size_brings_it_down() {
    for build in [hostile(), Build::empty("Empty"), sample("redshank.ron")] {
        for size in [
            [320.0, 240.0],
            [620.0, 380.0],
            [1024.0, 700.0],
            [2000.0, 500.0],
        ] {
            for phase_id in ["weld_out", "fit_up"] {
                let mut h = open_with(
                    Settings {
                        shop: units::Shop {
                            system: units::System::Si,
                            ..Default::default()
                        },
                        ..Default::default()
                    },
                    build.clone(),
                    None,
                    size,
                );
                phase(&mut h, phase_id);
                for face in [
                    "Side",
                    "From above",
                    "From behind",
                    "Draw a tube",
                    "Measure",
                ] {
                    if h.query_by_label(face).is_some() {
                        click(&mut h, face);
                        let r = h.state().weld_page().view.view().rect;
                        drag(&mut h, r.center(), vec2(30.0, 20.0));
                    }
                }
                let mut parts = Vec::new();
                let b = h.state().build().clone();
                parts.extend(b.assembly.nodes.iter().map(|x| Part::Node(x.id.clone())));
                parts.extend(b.assembly.tubes.iter().map(|x| Part::Tube(x.id.clone())));
                parts.extend(b.assembly.plates.iter().map(|x| Part::Plate(x.id.clone())));
                let dims = &b.weld_out.dimensions;
                parts.extend(dims.iter().map(|x| Part::Dimension(x.id.clone())));
                parts.extend(b.fit_up.joints.iter().map(|x| Part::Joint(x.id.clone())));
                parts.push(Part::Node("gone".into()));
                parts.push(Part::Coupon("scrap_1".into()));
                parts.push(Part::Correction("towers_out".into()));
                let ctx = h.ctx.clone();
                for part in parts {
                    h.state_mut().act(&ctx, Action::Select(part));
                    h.run();
                }
            }
        }
    }
}

#[test]
fn the_page_rests_when_nothing_is_done() {
    for build in [sample("redshank.ron"), hostile(), Build::empty("Empty")] {
        let mut s = Screen::new(build, Vec2::from(SIZE));
        s.act(Action::Phase("weld_out".into()));
        for part in [
            Part::Build,
            Part::Node("foot_l".into()),
            Part::Tube("bar".into()),
            Part::Joint("C5".into()),
            Part::Dimension("towers".into()),
        ] {
            s.act(Action::Select(part));
            assert!(s.settle().is_some());
            for _ in 0..5 {
                assert_eq!(s.frame(Vec::new()).again, Duration::MAX);
            }
        }
    }
}

#[test]
fn a_dragged_node_is_where_the_pointer_is_in_the_frame_that_heard_of_it() {
    let mut s = Screen::new(sample("redshank.ron"), Vec2::from(SIZE));
    s.act(Action::Phase("weld_out".into()));
    assert!(s.settle().is_some());
    let from = s.frame(Vec::new()).rect("Node eye_l").center();
    s.frame(vec![Event::PointerMoved(from)]);
    s.frame(vec![button(from, true)]);
    let mut moved = 0;
    for n in 1..=30 {
        let before = s.app.build().clone();
        let pointer = from + vec2(3.0 * n as f32 + 6.0, -1.5 * n as f32);
        let frame = s.frame(vec![Event::PointerMoved(pointer)]);
        let view = &s.app.weld_page().view;
        let half = (0.5 * SIXTEENTH * view.view().scale) as f32 + 0.01;
        let at = s.app.build().assembly.node("eye_l").unwrap().at.si();
        let stands = view.view().at(view.face.flat(at));
        let off = stands - pointer;
        assert!(
            off.x.abs() <= half && off.y.abs() <= half,
            "{off:?} off the pointer"
        );
        let drawn = frame.rect("Node eye_l").center();
        assert!((drawn - stands).length() < 0.6, "drawn at {drawn:?}");
        moved += usize::from(*before != **s.app.build());
    }
    assert!(moved > 25, "{moved}");
}

#[test]
fn fit_up_keeps_its_gaps_and_shows_the_parts_beside_them() {
    let mut h = open(sample("redshank.ron"), None, SIZE);
    phase(&mut h, "fit_up");
    assert_eq!(h.state().weld_page().fit_up, Topic::Gaps);
    assert!(h.query_by_label("Gap rule").is_some());
    click(&mut h, "Parts");
    assert!(h.query_by_label("Gap rule").is_none());
    assert!(h.query_by_label("Node foot_l, station").is_some());
    click(&mut h, "Joint C5");
    assert!(h.query_by_label("Joint C5, leg").is_some(), "it stays here");
}

#[test]
fn balloons_say_how_the_joints_stand() {
    let mut b = sample("redshank.ron");
    b.weld_out.order = vec!["C3".into(), "C6".into()];
    for j in &mut b.fit_up.joints {
        if ["C5", "C6", "C8"].contains(&j.id.as_str()) {
            j.welded = None;
        }
    }
    let far = b.fit_up.joints.iter_mut().find(|j| j.id == "C8").unwrap();
    far.gaps[0].gap = "1/4 in".parse().unwrap();
    let h = page(b, SIZE);
    for (id, said) in [
        ("C3", "Upper bar to left tower, welded"),
        ("C6", "Right brace to tower, next"),
        ("C5", "Left brace to tower, to be welded"),
        ("C8", "Right brace to rail, gap rejected"),
    ] {
        let value = h.get_by_label(&format!("Joint {id}")).value();
        assert_eq!(value.as_deref(), Some(said), "{id}");
    }
    // 27 5/8 - 27.547 = 0.078 in: 5/64.
    let value = h.get_by_label("Dimension towers").value().unwrap();
    assert!(
        value.contains("Towers, eye to eye 27 5/8 ± 1/16"),
        "{value}"
    );
    assert!(value.contains("now 27 35/64 · 5/64 narrow"), "{value}");
    let value = h.get_by_label("Dimension rails").value().unwrap();
    assert!(value.contains("1/32 wide, in tolerance"), "{value}");
}
