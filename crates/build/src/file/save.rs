//! Atomic saves: beside, flush, backup, rename. The last good file is never at risk.

use std::fs::File;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::{FileError, Problem, to_text};
use crate::Build;

/// A step of the save, in order; the observer of [`save_observed`] may fail any of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaveStep {
    /// Make the new file beside the old one.
    Create,
    /// First half of the text.
    WriteHalf,
    /// The rest of the text.
    Write,
    /// Flush it to the disk.
    Flush,
    /// Copy the old file to its backup.
    Backup,
    /// Put the new file in the old one's place.
    Rename,
    /// Flush the folder.
    FlushFolder,
}

impl SaveStep {
    /// Every step, in order.
    pub const ALL: [Self; 7] = [
        Self::Create,
        Self::WriteHalf,
        Self::Write,
        Self::Flush,
        Self::Backup,
        Self::Rename,
        Self::FlushFolder,
    ];

    fn words(self) -> &'static str {
        match self {
            Self::Create => "make a new file beside it",
            Self::WriteHalf | Self::Write => "write the text",
            Self::Flush => "flush the text to the disk",
            Self::Backup => "keep the old file as a backup",
            Self::Rename => "put the new file in place",
            Self::FlushFolder => "flush the folder",
        }
    }
}

/// Saves a build, keeping the previous file as `NAME.bak`.
///
/// # Errors
/// Names the step that failed; the file that was there is whole.
pub fn save(build: &Build, path: &Path) -> Result<(), FileError> {
    save_observed(build, path, &mut |_| Ok(()))
}

/// [`save`], asking `observer` before each step; for fault injection.
///
/// # Errors
/// As [`save`], and whatever the observer returns.
pub fn save_observed(
    build: &Build,
    path: &Path,
    observer: &mut dyn FnMut(SaveStep) -> io::Result<()>,
) -> Result<(), FileError> {
    let text = to_text(build)?;
    let target = behind_links(path);
    let backup = backup_path(&target);
    write_steps(text.as_bytes(), &target, Some(&backup), observer).map_err(|(step, source)| {
        FileError::new(
            path,
            "",
            Problem::Save {
                step: step.words(),
                in_place: step == SaveStep::FlushFolder,
                source,
            },
        )
    })
}

fn write_steps(
    bytes: &[u8],
    target: &Path,
    backup: Option<&Path>,
    observer: &mut dyn FnMut(SaveStep) -> io::Result<()>,
) -> Result<(), (SaveStep, io::Error)> {
    let folder = folder_of(target);
    let old = std::fs::metadata(target).ok();
    let mut step = |s: SaveStep| observer(s).map_err(|e| (s, e));
    let at = |s: SaveStep| move |e: io::Error| (s, e);

    step(SaveStep::Create)?;
    let mut new = tempfile::Builder::new()
        .prefix(".stringline-")
        .tempfile_in(&folder)
        .map_err(at(SaveStep::Create))?;
    let half = bytes.len() / 2;
    step(SaveStep::WriteHalf)?;
    new.write_all(&bytes[..half])
        .map_err(at(SaveStep::WriteHalf))?;
    step(SaveStep::Write)?;
    new.write_all(&bytes[half..]).map_err(at(SaveStep::Write))?;
    step(SaveStep::Flush)?;
    new.as_file().sync_all().map_err(at(SaveStep::Flush))?;
    // A fresh temporary file is private; the build keeps the rights it had.
    let permissions = old.as_ref().map(std::fs::Metadata::permissions);
    set_rights(new.as_file(), permissions).map_err(at(SaveStep::Flush))?;
    if let (Some(backup), true) = (backup, old.is_some()) {
        step(SaveStep::Backup)?;
        keep_backup(target, backup, &folder).map_err(at(SaveStep::Backup))?;
    }
    step(SaveStep::Rename)?;
    new.persist(target)
        .map_err(|e| (SaveStep::Rename, e.error))?;
    step(SaveStep::FlushFolder)?;
    flush_folder(&folder).map_err(at(SaveStep::FlushFolder))
}

/// The backup too appears whole or not at all.
fn keep_backup(target: &Path, backup: &Path, folder: &Path) -> io::Result<()> {
    let copy = tempfile::Builder::new()
        .prefix(".stringline-")
        .tempfile_in(folder)?;
    std::fs::copy(target, copy.path())?;
    copy.as_file().sync_all()?;
    copy.persist(backup).map_err(|e| e.error)?;
    Ok(())
}

/// The file itself behind any link to it, so that a link survives the rename, and two names of one
/// file share a lock.
fn behind_links(path: &Path) -> PathBuf {
    let through = |_| std::fs::read_link(path).map(|to| folder_of(path).join(to));
    std::fs::canonicalize(path)
        .or_else(through)
        .unwrap_or_else(|_| path.to_owned())
}

fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_owned(),
        _ => PathBuf::from("."),
    }
}

#[cfg(unix)]
fn set_rights(file: &File, old: Option<std::fs::Permissions>) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(old.unwrap_or_else(|| std::fs::Permissions::from_mode(0o644)))
}

#[cfg(not(unix))]
fn set_rights(_: &File, _: Option<std::fs::Permissions>) -> io::Result<()> {
    Ok(())
}

#[cfg(unix)]
fn flush_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn flush_folder(_: &Path) -> io::Result<()> {
    Ok(())
}

fn beside(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    PathBuf::from(name)
}

/// Where the previous save is kept.
pub fn backup_path(path: &Path) -> PathBuf {
    beside(path, ".bak")
}

/// Where unsaved work is kept.
pub fn autosave_path(path: &Path) -> PathBuf {
    beside(path, ".autosave")
}

/// Writes unsaved work beside the file.
///
/// # Errors
/// The step that failed.
pub fn write_autosave(build: &Build, path: &Path) -> Result<(), FileError> {
    let target = autosave_path(path);
    let text = to_text(build)?;
    write_steps(text.as_bytes(), &target, None, &mut |_| Ok(())).map_err(|(step, source)| {
        FileError::new(
            &target,
            "",
            Problem::Save {
                step: step.words(),
                in_place: step == SaveStep::FlushFolder,
                source,
            },
        )
    })
}

/// Removes the autosave after a clean save; it may be gone already.
pub fn discard_autosave(path: &Path) {
    // Nothing is lost if it stays: it is offered again and says the same.
    let _ = std::fs::remove_file(autosave_path(path));
}

/// The autosave, if it reads and differs from what the file holds.
pub fn newer_autosave(path: &Path, on_disk: Option<&Build>) -> Option<Build> {
    let kept = super::load(&autosave_path(path)).ok()?;
    (on_disk != Some(&kept)).then_some(kept)
}

/// Held while a window has the file open.
#[derive(Debug)]
pub struct Lock {
    file: File,
    path: PathBuf,
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Removed before the lock goes: a later window makes its own.
        let _ = std::fs::remove_file(&self.path);
        let _ = self.file.unlock();
    }
}

/// Takes the lock beside the file; a save swaps the file itself, so the lock stands apart.
///
/// # Errors
/// Another window holds it, or the folder can not be written.
pub fn lock(path: &Path) -> Result<Lock, FileError> {
    let lock_path = beside(&behind_links(path), ".lock");
    let io = |e: io::Error| FileError::new(path, "", Problem::Lock(e));
    loop {
        let file = File::options()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&lock_path)
            .map_err(io)?;
        match file.try_lock() {
            // A window that closed meanwhile took the name away: this lock would keep nobody out.
            Ok(()) if !still_named(&file, &lock_path) => {}
            Ok(()) => {
                return Ok(Lock {
                    file,
                    path: lock_path,
                });
            }
            Err(std::fs::TryLockError::WouldBlock) => {
                return Err(FileError::new(path, "", Problem::InUse));
            }
            Err(std::fs::TryLockError::Error(e)) => return Err(io(e)),
        }
    }
}

#[cfg(unix)]
fn still_named(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (file.metadata(), std::fs::metadata(path)) {
        (Ok(a), Ok(b)) => (a.dev(), a.ino()) == (b.dev(), b.ino()),
        _ => false,
    }
}

/// An open file keeps its name there.
#[cfg(not(unix))]
fn still_named(_: &File, _: &Path) -> bool {
    true
}
