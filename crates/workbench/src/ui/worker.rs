//! Slow work on a thread of its own, over a snapshot: progress, calling off, and a result that is
//! taken once. The window never waits for it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::Duration;

use eframe::egui;

/// Between two looks at the progress while a page shows it: twenty a second are enough for an eye.
const LOOK_AGAIN: Duration = Duration::from_millis(50);

/// Work under way. Dropped, it is called off: its result reaches nobody.
#[derive(Debug)]
pub struct Worker<K, T> {
    inputs: K,
    total: u64,
    progress: Arc<AtomicU64>,
    cancel: Arc<AtomicBool>,
    result: Receiver<T>,
}

/// What has become of the work.
#[derive(Debug, PartialEq)]
pub enum Taken<T> {
    /// It is under way.
    Running,
    /// It is done; this is its result, given once.
    Done(T),
    /// It ended without a result (the system gave no thread, or the work broke off), or the result
    /// was taken before.
    Lost,
}

/// Wakes the window whichever way the work ends.
struct Wake(egui::Context);

impl Drop for Wake {
    fn drop(&mut self) {
        self.0.request_repaint();
    }
}

impl<K: PartialEq, T: Send + 'static> Worker<K, T> {
    /// Begins. `inputs`: everything the job's answer depends on, to know later whether it still
    /// answers the question. `total`: what the job's progress counts up to. The job is given its
    /// progress, which it raises, and its flag for calling off, which it looks at often.
    pub fn start(
        ctx: &egui::Context,
        inputs: K,
        total: u64,
        job: impl FnOnce(&AtomicU64, &AtomicBool) -> T + Send + 'static,
    ) -> Self {
        let (progress, cancel) = (
            Arc::new(AtomicU64::new(0)),
            Arc::new(AtomicBool::new(false)),
        );
        let (sender, result) = channel();
        let wake = Wake(ctx.clone());
        let (counted, called_off) = (Arc::clone(&progress), Arc::clone(&cancel));
        // Without a thread the sender is gone, which is found when the result is asked for.
        let _ = std::thread::Builder::new()
            .name("slow work".to_owned())
            .spawn(move || {
                let wake = wake;
                let done = job(&counted, &called_off);
                // The page may be gone: then nobody waits for it.
                let _ = sender.send(done);
                drop(wake);
            });
        Self {
            inputs,
            total,
            progress,
            cancel,
            result,
        }
    }

    /// Whether it answers the question asked now.
    pub fn is_of(&self, now: &K) -> bool {
        self.inputs == *now
    }

    /// The result, if it is there. While it is not, the window is asked to look again soon.
    pub fn take(&self, ctx: &egui::Context) -> Taken<T> {
        match self.result.try_recv() {
            Ok(done) => Taken::Done(done),
            Err(TryRecvError::Disconnected) => Taken::Lost,
            Err(TryRecvError::Empty) => {
                ctx.request_repaint_after(LOOK_AGAIN);
                Taken::Running
            }
        }
    }

    /// How far it is, as it counts.
    pub fn done(&self) -> u64 {
        self.progress.load(Ordering::Relaxed)
    }

    /// What it counts up to.
    pub fn total(&self) -> u64 {
        self.total
    }

    /// How far it is, 0 to 1.
    pub fn share(&self) -> f32 {
        (self.done() as f64 / self.total.max(1) as f64).clamp(0.0, 1.0) as f32
    }
}

impl<K, T> Drop for Worker<K, T> {
    fn drop(&mut self) {
        self.cancel.store(true, Ordering::Relaxed);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use std::time::Instant;

    use super::*;

    fn wait<K: PartialEq, T: Send + 'static>(w: &Worker<K, T>, ctx: &egui::Context) -> Taken<T> {
        let began = Instant::now();
        loop {
            match w.take(ctx) {
                Taken::Running if began.elapsed() < Duration::from_secs(20) => {
                    std::thread::sleep(Duration::from_millis(2));
                }
                other => return other,
            }
        }
    }

    #[test]
    fn a_result_is_given_once_and_counts_up() {
        let ctx = egui::Context::default();
        let w = Worker::start(&ctx, 7, 4, |progress, _| {
            progress.fetch_add(3, Ordering::Relaxed);
            "found"
        });
        assert!(w.is_of(&7) && !w.is_of(&8));
        assert_eq!(wait(&w, &ctx), Taken::Done("found"));
        assert_eq!((w.done(), w.total()), (3, 4));
        assert_eq!(w.share(), 0.75);
        assert_eq!(w.take(&ctx), Taken::Lost);
    }

    #[test]
    fn dropped_it_is_called_off() {
        let ctx = egui::Context::default();
        let (sender, receiver) = channel();
        let w = Worker::start(&ctx, (), 1, move |_, cancel| {
            while !cancel.load(Ordering::Relaxed) {
                std::thread::sleep(Duration::from_millis(1));
            }
            sender.send("saw it").unwrap();
        });
        assert_eq!(w.take(&ctx), Taken::Running);
        drop(w);
        assert_eq!(
            receiver.recv_timeout(Duration::from_secs(20)).unwrap(),
            "saw it"
        );
    }

    #[test]
    fn work_that_breaks_off_is_lost_and_not_waited_for() {
        let ctx = egui::Context::default();
        let w: Worker<(), ()> = Worker::start(&ctx, (), 1, |_, _| {
            std::panic::resume_unwind(Box::new("broke off"));
        });
        assert_eq!(wait(&w, &ctx), Taken::Lost);
    }

    #[test]
    fn the_window_is_woken_by_the_end_and_rests_after_it() {
        let ctx = egui::Context::default();
        let (sender, woken) = channel();
        ctx.set_request_repaint_callback(move |info| {
            if info.delay == Duration::ZERO {
                let _ = sender.send(());
            }
        });
        let w = Worker::start(&ctx, (), 1, |_, _| ());
        woken.recv_timeout(Duration::from_secs(20)).unwrap();
        assert_eq!(w.take(&ctx), Taken::Done(()));
    }
}
