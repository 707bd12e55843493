//! Assemblies made for the tube sheets.

use build::{Assembly, Bend, Build, Ends, Node, Place, Tube, TubeSection};
use units::{Angle, Length};

pub type V3 = [f64; 3];

pub fn round(outside: f64, wall: f64) -> TubeSection {
    TubeSection::Round {
        outside: Length::from_si(outside),
        wall: Length::from_si(wall),
    }
}

pub fn node(id: &str, at: V3) -> Node {
    Node {
        id: id.into(),
        at: Place::from_si(at),
    }
}

pub fn tube(id: &str, from: &str, to: &str, section: TubeSection) -> Tube {
    Tube {
        id: id.into(),
        label: format!("Tube {id}"),
        from: from.into(),
        to: to.into(),
        section,
        material: "1020 DOM".into(),
        turn: Angle::default(),
        bends: Vec::new(),
        die: None,
        ends: Ends::Welded,
    }
}

pub fn bent(mut tube: Tube, corners: &[&str], radius: f64) -> Tube {
    tube.bends = corners
        .iter()
        .map(|at| Bend {
            at: (*at).into(),
            radius: Length::from_si(radius),
        })
        .collect();
    tube
}

pub fn with(assembly: Assembly) -> Build {
    let mut b = Build::empty("Tubes");
    b.assembly = assembly;
    b
}

/// A branch between two mains that run through, each at its own angle and offset.
pub struct Branch {
    pub a: V3,
    pub b: V3,
    pub r: f64,
    pub wall: f64,
    /// Direction of each main, a point of its axis, its radius.
    pub mains: [(V3, V3, f64); 2],
}

impl Branch {
    pub fn build(&self) -> Build {
        let mut nodes = vec![node("a", self.a), node("b", self.b)];
        let mut tubes = Vec::new();
        for (k, (way, point, radius)) in self.mains.iter().enumerate() {
            let far = |t: f64| [0, 1, 2].map(|i| point[i] + t * way[i]);
            let names = [format!("m{k}0"), format!("m{k}1")];
            nodes.push(node(&names[0], far(-1.0)));
            nodes.push(node(&names[1], far(1.0)));
            tubes.push(tube(
                &format!("main{k}"),
                &names[0],
                &names[1],
                round(2.0 * radius, 3e-3),
            ));
        }
        tubes.push(tube("branch", "a", "b", round(2.0 * self.r, self.wall)));
        with(Assembly {
            nodes,
            tubes,
            ..Assembly::default()
        })
    }

    /// s of the cut at φ and ρ from the work point, m: engineering's closed form of one round main, with α,
    /// offset and clock from the vectors here.
    pub fn profile(&self, end: usize, phi: f64, rho: f64) -> f64 {
        let (way, point, big) = self.mains[end];
        let d = unit(sub(self.b, self.a));
        let (u, at) = if end == 0 {
            (d, self.a)
        } else {
            (scale(d, -1.0), self.b)
        };
        // The up rule: e_z made perpendicular to the tube; within 10° of plumb, e_x.
        let z = [0.0, 0.0, 1.0];
        let plumb = dot(d, z).abs() > 10.0_f64.to_radians().cos();
        let up = if plumb { [1.0, 0.0, 0.0] } else { z };
        let e1 = unit(sub(up, scale(d, dot(up, d))));
        let e2 = cross(d, e1);
        let mut m = unit(way);
        if dot(m, u) < 0.0 {
            m = scale(m, -1.0);
        }
        let alpha = norm(cross(m, u)).atan2(dot(m, u));
        let t = unit(sub(m, scale(u, dot(m, u))));
        let w = cross(u, t);
        let e = dot(sub(point, at), w);
        let foot = dot(sub(point, at), u) - dot(sub(point, at), t) * alpha.cos() / alpha.sin();
        let clock = dot(t, e2).atan2(dot(t, e1));
        let from_t = if end == 0 { phi - clock } else { clock - phi };
        let off = rho * from_t.sin() - e;
        foot + ((big * big - off * off).max(0.0).sqrt() + rho * from_t.cos() * alpha.cos())
            / alpha.sin()
    }

    /// Least s over both edges, by looking 200,000 times.
    pub fn long(&self, end: usize) -> f64 {
        let looks = 200_000;
        (0..looks)
            .flat_map(|k| {
                let phi = std::f64::consts::TAU * f64::from(k) / f64::from(looks);
                [self.r, self.r - self.wall].map(|rho| self.profile(end, phi, rho))
            })
            .fold(f64::MAX, f64::min)
    }
}

pub fn sub(a: V3, b: V3) -> V3 {
    [0, 1, 2].map(|i| a[i] - b[i])
}

pub fn dot(a: V3, b: V3) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

pub fn scale(a: V3, k: f64) -> V3 {
    a.map(|v| k * v)
}

pub fn norm(a: V3) -> f64 {
    dot(a, a).sqrt()
}

pub fn unit(a: V3) -> V3 {
    scale(a, 1.0 / norm(a))
}

pub fn cross(a: V3, b: V3) -> V3 {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// Branches of several kinds: square and raked, centred and offset, thin and thick, upright.
pub fn branches() -> Vec<(&'static str, Branch)> {
    let inch = 0.0254;
    vec![
        (
            "raked, one end offset",
            Branch {
                a: [0.0, 0.0, 0.0],
                b: [0.9, 0.25, 0.2],
                r: 0.75 * inch,
                wall: 0.095 * inch,
                mains: [
                    ([0.1, 1.0, 0.05], [0.0, 0.0, 0.002], 0.875 * inch),
                    ([-0.6, 1.0, 0.3], [0.9, 0.25, 0.2], 0.875 * inch),
                ],
            },
        ),
        (
            "upright, equal diameters",
            Branch {
                a: [0.0, 0.0, 0.0],
                b: [0.01, 0.0, 0.8],
                r: 0.8125 * inch,
                wall: 0.134 * inch,
                mains: [
                    ([0.0, 1.0, 0.0], [0.0, 0.0, 0.0], 0.8125 * inch),
                    ([1.0, 0.2, 0.6], [0.01, 0.0, 0.8], 0.9 * inch),
                ],
            },
        ),
        (
            "across, sharp",
            Branch {
                a: [0.3, -0.5, 0.2],
                b: [0.3, 0.5, 0.25],
                r: 0.5 * inch,
                wall: 0.065 * inch,
                mains: [
                    ([0.5, -1.0, 0.0], [0.3, -0.5, 0.205], 1.0 * inch),
                    ([0.2, 0.7, 0.9], [0.3, 0.5, 0.25], 0.75 * inch),
                ],
            },
        ),
    ]
}
