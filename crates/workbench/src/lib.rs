//! The workbench: the window and the `stringline` command line, over the same study.

mod command;
pub mod ui;

use std::process::ExitCode;

/// Runs the program with its arguments, the program's own name first.
pub fn run(args: impl IntoIterator<Item = std::ffi::OsString>) -> ExitCode {
    command::run(args)
}

/// Name and text of every sample shipped, the first one opened on a first start.
pub const SAMPLES: &[(&str, &str)] = &[
    (
        "redshank",
        include_str!(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../samples/redshank.ron"
        )),
    ),
    (
        "whimbrel",
        include_str!(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../samples/whimbrel.ron"
        )),
    ),
    (
        "faulty",
        include_str!(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../samples/faulty.ron"
        )),
    ),
];
