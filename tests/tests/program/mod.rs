//! The built `stringline` program as a process, with no display to open a window on.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

/// The program, built from these sources with the profile of this test.
///
/// A package's binary is only promised to that package's own tests, so cargo is asked for it: it
/// waits for a build that runs, and does nothing when the program is fresh.
pub fn program() -> &'static Path {
    static PATH: OnceLock<PathBuf> = OnceLock::new();
    PATH.get_or_init(|| {
        // target/[triple/]profile/deps/command_line-…
        let test = std::env::current_exe().unwrap();
        let profile = test.parent().unwrap().parent().unwrap();
        let Some(cargo) = std::env::var_os("CARGO") else {
            // Run by hand, without cargo: what was built last.
            let path = profile.join(format!("stringline{}", std::env::consts::EXE_SUFFIX));
            assert!(path.exists(), "build the program first: cargo build");
            return path;
        };
        let target = profile.ancestors().skip(1).take(2);
        let target = target
            .into_iter()
            .find(|p| p.join("CACHEDIR.TAG").exists())
            .unwrap_or_else(|| profile.parent().unwrap());
        let name = match profile.file_name().unwrap().to_str().unwrap() {
            "debug" => "dev",
            other => other,
        };
        let out = Command::new(cargo)
            .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(".."))
            .args(["build", "--offline", "--quiet", "--package", "workbench"])
            .args(["--bin", "stringline", "--profile", name])
            .arg("--target-dir")
            .arg(target)
            .arg("--message-format=json")
            .stderr(Stdio::inherit())
            .output()
            .unwrap();
        assert!(out.status.success(), "the program was not built");
        String::from_utf8(out.stdout)
            .unwrap()
            .lines()
            .filter_map(|l| serde_json::from_str::<serde_json::Value>(l).ok())
            .filter(|m| m["target"]["name"] == "stringline")
            .find_map(|m| m["executable"].as_str().map(PathBuf::from))
            .expect("cargo names the program it built")
    })
}

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
    let mut c = Command::new(program());
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
