//! The built `stringline` program as a process, with no display to open a window on.

use std::path::Path;
use std::process::{Command, Stdio};

/// What a run said and how it ended.
#[derive(Debug)]
pub struct Said {
    /// Exit status.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

/// The program in a folder, with no display.
pub fn command(folder: &Path) -> Command {
    let mut c = Command::new(env!("CARGO_BIN_EXE_stringline"));
    c.current_dir(folder)
        .stdin(Stdio::null())
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET");
    c
}

/// Runs it to its end.
pub fn run<S: AsRef<std::ffi::OsStr>>(folder: &Path, args: impl IntoIterator<Item = S>) -> Said {
    let out = command(folder).args(args).output().unwrap();
    Said {
        code: out.status.code().expect("it ended by itself"),
        out: String::from_utf8(out.stdout).unwrap(),
        err: String::from_utf8(out.stderr).unwrap(),
    }
}

impl Said {
    /// Went well: status 0, nothing on standard error.
    #[track_caller]
    pub fn well(self) -> String {
        assert_eq!((self.code, self.err.as_str()), (0, ""), "{}", self.out);
        self.out
    }

    /// Trouble: status 2, nothing on standard output, no panic, and these words on standard error.
    #[track_caller]
    pub fn trouble(self, words: &[&str]) -> String {
        assert_eq!(self.code, 2, "{self:?}");
        assert_eq!(self.out, "", "trouble is told on standard error");
        assert!(!self.err.contains("panicked"), "{}", self.err);
        for w in words {
            assert!(self.err.contains(w), "{w:?} is not said: {}", self.err);
        }
        self.err
    }
}
