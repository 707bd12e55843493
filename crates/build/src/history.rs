//! Undo and redo: whole-document snapshots, one per finished gesture.

use std::sync::Arc;

use crate::{Build, Edit, EditError};

/// A document with its past and future.
#[derive(Debug, Clone)]
pub struct History {
    present: Arc<Build>,
    past: Vec<Step>,
    future: Vec<Step>,
    saved: Arc<Build>,
    open: Option<Gesture>,
}

/// What was, and the name of the edit that left it.
#[derive(Debug, Clone)]
struct Step {
    label: String,
    build: Arc<Build>,
}

#[derive(Debug, Clone)]
struct Gesture {
    before: Arc<Build>,
    label: String,
}

/// Steps kept; older ones are dropped.
const DEPTH: usize = 500;

impl History {
    /// A document as opened: nothing to undo, nothing unsaved.
    pub fn new(build: Build) -> Self {
        let present = Arc::new(build);
        Self {
            saved: Arc::clone(&present),
            present,
            past: Vec::new(),
            future: Vec::new(),
            open: None,
        }
    }

    /// The document now.
    pub fn build(&self) -> &Arc<Build> {
        &self.present
    }

    /// Applies an edit. Outside a gesture it is one step; inside, it joins the gesture's step.
    ///
    /// # Errors
    /// The edit does not fit the document; nothing changes.
    pub fn apply(&mut self, edit: &Edit) -> Result<(), EditError> {
        let mut next = Build::clone(&self.present);
        edit.apply(&mut next)?;
        if next == *self.present {
            return Ok(());
        }
        let before = std::mem::replace(&mut self.present, Arc::new(next));
        match &mut self.open {
            // What could be brought back stays until the gesture is kept.
            Some(gesture) => gesture.label = edit.label(&before),
            None => {
                let label = edit.label(&before);
                self.push(label, before);
            }
        }
        Ok(())
    }

    /// Starts a gesture: every edit until [`History::end_gesture`] is one step.
    pub fn begin_gesture(&mut self) {
        if self.open.is_none() {
            self.open = Some(Gesture {
                before: Arc::clone(&self.present),
                label: String::new(),
            });
        }
    }

    /// Ends the gesture; a gesture that changed nothing leaves no step.
    pub fn end_gesture(&mut self) {
        if let Some(gesture) = self.open.take()
            && *gesture.before != *self.present
        {
            self.push(gesture.label, gesture.before);
        }
    }

    /// Drops the gesture and returns to where it began.
    pub fn cancel_gesture(&mut self) {
        if let Some(gesture) = self.open.take() {
            self.present = gesture.before;
        }
    }

    /// Is a gesture under way?
    pub fn in_gesture(&self) -> bool {
        self.open.is_some()
    }

    /// A new step: what was undone before it can not come back.
    fn push(&mut self, label: String, build: Arc<Build>) {
        self.future.clear();
        self.past.push(Step { label, build });
        if self.past.len() > DEPTH {
            self.past.remove(0);
        }
    }

    /// Name of the edit that undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.past.last().map(|s| s.label.as_str())
    }

    /// Name of the edit that redo would bring back.
    pub fn redo_label(&self) -> Option<&str> {
        self.future.last().map(|s| s.label.as_str())
    }

    /// Takes the last step back; false if there is none.
    pub fn undo(&mut self) -> bool {
        self.end_gesture();
        let Some(step) = self.past.pop() else {
            return false;
        };
        let build = std::mem::replace(&mut self.present, step.build);
        self.future.push(Step {
            label: step.label,
            build,
        });
        true
    }

    /// Brings the last undone step back; false if there is none.
    pub fn redo(&mut self) -> bool {
        self.end_gesture();
        let Some(step) = self.future.pop() else {
            return false;
        };
        let build = std::mem::replace(&mut self.present, step.build);
        self.past.push(Step {
            label: step.label,
            build,
        });
        true
    }

    /// Has the document changed since it was opened or saved?
    pub fn is_unsaved(&self) -> bool {
        !Arc::ptr_eq(&self.present, &self.saved) && *self.present != *self.saved
    }

    /// The document was written to its file as it is now.
    pub fn mark_saved(&mut self) {
        self.saved = Arc::clone(&self.present);
    }

    /// The document differs from any file: a recovered autosave.
    pub fn mark_unsaved_since(&mut self, on_disk: Build) {
        self.saved = Arc::new(on_disk);
    }
}
