//! Compares with the answers of an independently written model.
//!
//! Every *.json of the folder named by `REFERENCE_CASES`, or else of `reference` beside this folder,
//! is one case: full inputs and expected outputs, SI, with its own tolerances. A case
//! whose kind is not modelled is named as skipped; a field not known is named once per case.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "reference/compare.rs"]
mod compare;
#[path = "reference/frames.rs"]
mod frames;
#[path = "reference/friction_fits.rs"]
mod friction_fits;
#[path = "reference/hole_search.rs"]
mod hole_search;
#[path = "reference/launch.rs"]
mod launch;
#[path = "reference/launch_runs.rs"]
mod launch_runs;
#[path = "reference/rear_axle.rs"]
mod rear_axle;
#[path = "reference/tube_nests.rs"]
mod tube_nests;
#[path = "reference/tubes.rs"]
mod tubes;
#[path = "reference/weighing.rs"]
mod weighing;
#[path = "reference/weld_beads.rs"]
mod weld_beads;
#[path = "reference/weld_joints.rs"]
mod weld_joints;
#[path = "reference/weld_sections.rs"]
mod weld_sections;

use std::path::PathBuf;

use compare::Report;
use serde_json::Value;

#[test]
fn reference_cases() {
    let folder = std::env::var_os("REFERENCE_CASES").map_or_else(
        || PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("reference"),
        PathBuf::from,
    );
    let mut files: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("cannot read {}: {e}", folder.display()))
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "no case in {}", folder.display());
    let (mut compared, mut failed) = (0, Vec::new());
    for file in &files {
        let text = std::fs::read_to_string(file).unwrap();
        let case: Value = serde_json::from_str(&text)
            .unwrap_or_else(|e| panic!("{} is not JSON: {e}", file.display()));
        let name = file.file_stem().unwrap().to_string_lossy().into_owned();
        let id = case["id"].as_str().unwrap_or(&name);
        let mut report = Report::new();
        match case["kind"].as_str() {
            Some("rear_axle") => rear_axle::compare(&case, &mut report),
            Some("hole_search") => hole_search::compare(&case, &mut report),
            Some("launch_balance") => launch::compare(&case, &mut report),
            Some("launch_run") => launch_runs::compare(&case, &mut report),
            Some("friction_fit") => friction_fits::compare(&case, &mut report),
            Some("weighing") => weighing::compare(&case, &mut report),
            Some("tube_bend" | "tube_cope" | "tube_cope_set") => tubes::tubes(&case, &mut report),
            Some("tube_nest") => tube_nests::nests(&case, &mut report),
            Some("weld_joints") => weld_joints::compare(&case, &mut report),
            Some("weld_beads_section") => weld_sections::beads(&case, &mut report),
            Some("weld_bead_plan") => weld_beads::compare(&case, &mut report),
            Some("weld_guard") => weld_sections::materials(&case, &mut report),
            Some("weld_iso13920") => weld_sections::tolerances(&case, &mut report),
            Some(kind) if kind.starts_with("frame_") => frames::compare(&case, &mut report),
            kind => {
                println!(
                    "skipped: {id} kind {}: not modelled yet",
                    kind.unwrap_or("(none)")
                );
                continue;
            }
        }
        compared += 1;
        report.print(id);
        if !report.passed() {
            failed.push(id.to_owned());
        }
    }
    println!(
        "{compared} cases compared, {} skipped, {} failed",
        files.len() - compared,
        failed.len()
    );
    assert!(
        compared > 0,
        "none of the {} cases in {} is modelled",
        files.len(),
        folder.display()
    );
    assert!(failed.is_empty(), "cases that differ: {failed:?}");
}
