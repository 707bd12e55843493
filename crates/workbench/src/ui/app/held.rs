//! What the hand holds: handles read, gestures closed, and the study that follows it.

use std::sync::Arc;

use eframe::egui;

use super::{FRONT_END, TUBE_WORK, Workbench, first_phase};
use crate::ui::bench::Action;
use crate::ui::handles::{Face, Hand, eyes, handles};
use crate::ui::rear_page::Topic;

impl Workbench {
    /// Studies the document, if it is another than before.
    pub(in crate::ui) fn derive(&mut self) {
        if !Arc::ptr_eq(&self.derived, self.history.build()) {
            self.derived = Arc::clone(self.history.build());
            self.study = Arc::new(self.deriver.derive(&self.derived));
            if self.derived.phase(&self.phase).is_none() {
                self.phase = first_phase(&self.derived);
            }
        }
    }

    /// Reads last frame's handles, so that what is drawn now has already moved.
    pub(super) fn read_handles(&mut self, ctx: &egui::Context) {
        let draws = self.draws();
        let shown = matches!(
            self.phase.as_str(),
            "rear_links" | "mock_up" | "driveline" | FRONT_END
        ) || draws;
        if !shown || self.preview.is_some() || self.dialog.is_some() {
            return;
        }
        let build = Arc::clone(self.history.build());
        let (shop, snap) = (
            &self.settings.shop,
            self.settings.snap && !ctx.input(|i| i.modifiers.alt),
        );
        let hand = Hand {
            ctx,
            build: &build,
            shop,
            snap,
        };
        if draws {
            let (tray, selected) = (&mut self.tray, self.selected.as_ref());
            if self.phase == TUBE_WORK {
                self.tubes.read(&hand, selected, tray);
            } else {
                self.weld.read(&hand, selected, tray);
            }
            return;
        }
        if self.phase == FRONT_END {
            self.front.read(&hand, &mut self.tray);
            return;
        }
        if self.phase == "mock_up" {
            self.mock_up.read(&hand, &mut self.tray);
            return;
        }
        if self.phase == "driveline" {
            self.driveline.read(&hand, &mut self.tray);
            return;
        }
        let rear = &mut self.rear;
        match rear.topic {
            Topic::Links => {
                for (face, view) in [
                    (Face::Side, &rear.side),
                    (Face::Plan, &rear.plan),
                    (Face::Rear, &rear.rear),
                ] {
                    let placed = handles(&build, face);
                    hand.read(&placed, face, view, None, &mut rear.grab, &mut self.tray);
                }
            }
            Topic::Power => {
                let carriage = rear.power.carriage(&build, &self.study);
                for (face, view) in [
                    (Face::Side, &rear.power.side),
                    (Face::Rear, &rear.power.behind),
                ] {
                    let mut placed = handles(&build, face);
                    placed.extend(eyes(&build, face));
                    let (grab, tray) = (&mut rear.grab, &mut self.tray);
                    hand.read(&placed, face, view, carriage.as_ref(), grab, tray);
                }
            }
            Topic::Springs => {
                for (face, view) in [
                    (Face::Side, &rear.springs.side),
                    (Face::Rear, &rear.springs.rear),
                ] {
                    let placed = eyes(&build, face);
                    hand.read(&placed, face, view, None, &mut rear.grab, &mut self.tray);
                }
            }
            _ => {}
        }
    }

    /// A drag whose handle is gone (off the sheet, Escape, another page) must not stay open.
    pub(super) fn close_gesture(&mut self, ctx: &egui::Context) {
        if !self.history.in_gesture() {
            return;
        }
        let (escape, held) =
            ctx.input(|i| (i.key_pressed(egui::Key::Escape), i.pointer.any_down()));
        if escape {
            self.tray.put(Action::CancelGesture);
            ctx.stop_dragging();
        } else if !held {
            self.tray.put(Action::EndGesture);
        }
    }
}
