//! What the person prefers; kept between starts, never part of a build.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use units::Shop;

/// Preferences.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Units and fineness.
    pub shop: Shop,
    /// Dark or light; none follows the system.
    pub dark: Option<bool>,
    /// Initials put on marks.
    pub who: String,
    /// Files opened lately, newest first.
    pub recent: Vec<PathBuf>,
    /// Brackets move by the display step; else freely.
    pub snap: bool,
    /// A4 instead of Letter.
    pub a4: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            shop: Shop::default(),
            dark: None,
            who: String::new(),
            recent: Vec::new(),
            snap: true,
            a4: false,
        }
    }
}

/// Recent files kept.
const RECENT: usize = 10;

impl Settings {
    /// Puts a file at the head of the recent list.
    pub fn opened(&mut self, path: &Path) {
        let path = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        self.recent.retain(|p| *p != path);
        self.recent.insert(0, path);
        self.recent.truncate(RECENT);
    }
}
