//! The `stringline` program: a thin door into the workbench library.

fn main() -> std::process::ExitCode {
    workbench::run(std::env::args_os())
}
