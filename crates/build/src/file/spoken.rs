//! Where a value sits, in the words of the window rather than the file.

use crate::{Build, fields};

/// `rear.brackets[0].drill` of a build as "upper front, drill".
pub(crate) fn spoken(b: &Build, path: &str) -> String {
    if let Some(f) = fields::field(path) {
        return f.label.to_owned();
    }
    let named = |label: Option<&String>, kind: &str, i: usize| match label {
        Some(l) if !l.is_empty() => l.clone(),
        _ => format!("{kind} {}", i + 1),
    };
    let mut out = Vec::new();
    let mut phase = None;
    for part in path.split('.') {
        let mut steps = part.split('[').map(|s| s.trim_end_matches(']'));
        let name = steps.next().unwrap_or(part);
        let index: Vec<usize> = steps.filter_map(|s| s.parse().ok()).collect();
        match (name, index.first().copied()) {
            ("rear" | "power" | "fit_up" | "frame" | "car" | "at" | "kind" | "id", None) => {}
            ("brackets", Some(i)) => {
                out.push(named(
                    b.rear.brackets.get(i).map(|x| &x.label),
                    "bracket",
                    i,
                ));
            }
            ("links", Some(i)) => {
                out.push(named(b.rear.links.get(i).map(|x| &x.label), "link", i));
            }
            ("coilovers", Some(i)) => {
                let found = b.power.coilovers.get(i).map(|x| &x.label);
                out.push(named(found, "coil-over", i));
            }
            ("assembly" | "weld_out" | "run", None) => {}
            ("nodes", Some(i)) => {
                out.push(named(b.assembly.nodes.get(i).map(|x| &x.id), "node", i));
            }
            ("tubes", Some(i)) => {
                out.push(named(b.assembly.tubes.get(i).map(|x| &x.label), "tube", i));
            }
            ("plates", Some(i)) => {
                out.push(named(
                    b.assembly.plates.get(i).map(|x| &x.label),
                    "plate",
                    i,
                ));
            }
            ("dimensions", Some(i)) => {
                let found = b.weld_out.dimensions.get(i).map(|x| &x.label);
                out.push(named(found, "dimension", i));
            }
            ("coupons", Some(i)) => {
                let found = b.weld_out.coupons.get(i).map(|x| &x.label);
                out.push(named(found, "coupon", i));
            }
            ("joints", Some(i)) => {
                out.push(named(b.fit_up.joints.get(i).map(|x| &x.label), "joint", i));
            }
            ("phases", Some(i)) => {
                phase = b.phases.get(i);
                out.push(named(phase.map(|p| &p.title), "phase", i));
            }
            ("checks", Some(i)) => {
                let check = phase.and_then(|p| p.checks.get(i));
                out.push(named(check.map(|c| &c.label), "check", i));
            }
            ("targets", Some(i)) => {
                let id = b.targets.get(i).map(|t| &t.reading);
                let known = id.and_then(|id| crate::definition(id));
                out.push(match known {
                    Some(d) => d.label.to_owned(),
                    None => named(id, "target", i),
                });
            }
            ("line", Some(i)) => out.push(format!("rail line, point {}", i + 1)),
            // A list of holes is the one value of its choice: [0], then the hole.
            ("holes", Some(_)) => {
                out.push(format!("hole {}", index.get(1).map_or(1, |k| k + 1)));
            }
            (list, Some(i)) => out.push(format!("{} {}", list.trim_end_matches('s'), i + 1)),
            (field, None) => out.push(field.replace('_', " ")),
        }
    }
    out.join(", ")
}
