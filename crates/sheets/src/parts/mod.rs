//! What several sheets are made of: brackets with their letters, plates, numbers in the shop's dress.

pub(crate) mod facts;
pub(crate) mod plate;
pub(crate) mod words;

use build::Study;

use crate::head::Knot;

/// The string line: every phase by how far it is, the one this sheet belongs to in hand.
pub(crate) fn knots(study: &Study, here: &str) -> Vec<Knot> {
    study
        .phases
        .iter()
        .map(|p| match p.id.as_str() {
            id if id == here => Knot::Here,
            _ if p.total > 0 && p.done == p.total => Knot::Done,
            _ => Knot::Open,
        })
        .collect()
}

/// Name, revision, date and what else is said under the title.
pub(crate) fn subtitle(build: &build::Build, date: &str, rest: &str) -> String {
    let (name, revision) = (build.name.trim(), build.revision.trim());
    let revision = if revision.is_empty() {
        String::new()
    } else {
        format!("rev {revision}")
    };
    [name, &revision, date.trim(), rest]
        .into_iter()
        .filter(|s| !s.is_empty())
        .collect::<Vec<_>>()
        .join(" · ")
}
