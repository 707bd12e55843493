//! The phases a new build starts with, from assets/phases.ron.

use crate::{Phase, file};

const PHASES: &str = include_str!(concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../assets/phases.ron"
));

/// The template's phases, unmarked. A damaged asset gives no phases; a test keeps it whole.
pub fn phases() -> Vec<Phase> {
    file::parse_phases(PHASES).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn template_is_whole() {
        let phases = file::parse_phases(PHASES).unwrap();
        assert_eq!(phases.len(), 12);
        let holds: Vec<String> = phases
            .iter()
            .flat_map(|p| {
                p.checks
                    .iter()
                    .filter(|c| c.hold)
                    .map(|c| format!("{}/{}", p.id, c.id))
            })
            .collect();
        for phase in &phases {
            assert!(!phase.checks.is_empty(), "{}", phase.id);
            for wait in &phase.waits_for {
                assert!(holds.contains(wait), "{} waits for {wait}", phase.id);
            }
            for check in &phase.checks {
                assert!(check.marks.is_empty());
                assert!(check.label.chars().count() <= 72, "{}", check.label);
            }
        }
    }
}
