//! Running a search over its threads.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use super::judge::Judge;
use super::outcome::{Found, Outcome, Tally};
use super::question::Question;
use super::{HoleSearch, SearchError};

/// Combinations a thread takes at a time.
const CHUNK: u64 = 1024;

impl HoleSearch {
    /// Judges every combination. `progress` counts the combinations done from where it stands;
    /// setting `cancel` ends the search within a few thousand combinations.
    ///
    /// The answer does not depend on the number of threads.
    ///
    /// # Errors
    /// [`SearchError::BadBand`], [`SearchError::BadAxis`], [`SearchError::Cancelled`].
    pub fn run(
        &self,
        question: &Question,
        progress: &AtomicU64,
        cancel: &AtomicBool,
    ) -> Result<Outcome, SearchError> {
        question.check()?;
        match self.table.rods {
            ..=4 => self.run_lanes::<4>(question, progress, cancel),
            5 | 6 => self.run_lanes::<6>(question, progress, cancel),
            _ => self.run_lanes::<8>(question, progress, cancel),
        }
    }

    fn run_lanes<const N: usize>(
        &self,
        question: &Question,
        progress: &AtomicU64,
        cancel: &AtomicBool,
    ) -> Result<Outcome, SearchError> {
        let next = AtomicU64::new(0);
        let done = AtomicU64::new(0);
        let work = || {
            let mut judge = Judge::<N>::new(self, question);
            let mut tally = Tally::new(question);
            loop {
                let from = next.fetch_add(CHUNK, Ordering::Relaxed);
                if from >= self.combinations || cancel.load(Ordering::Relaxed) {
                    return tally;
                }
                let to = from.saturating_add(CHUNK).min(self.combinations);
                let judged = judge.judge(from, to, &mut tally, cancel);
                done.fetch_add(judged, Ordering::Relaxed);
                progress.fetch_add(judged, Ordering::Relaxed);
            }
        };
        let threads = question.threads.max(1) as u64;
        let threads = threads.min(self.combinations.div_ceil(CHUNK));
        let mut tally = std::thread::scope(|scope| {
            let others: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
            let mut tally = work();
            for other in others {
                match other.join() {
                    Ok(part) => tally.merge(part),
                    Err(panic) => std::panic::resume_unwind(panic),
                }
            }
            tally
        });
        let done = done.into_inner();
        if done < self.combinations {
            return Err(SearchError::Cancelled { done });
        }
        let mut judge = Judge::<N>::new(self, question);
        let mut best = Vec::new();
        for (distance, index) in tally.ranked() {
            if cancel.load(Ordering::Relaxed) {
                return Err(SearchError::Cancelled { done });
            }
            best.push(Found {
                index,
                distance,
                figures: judge.figures(index),
            });
        }
        Ok(Outcome {
            evaluated: done,
            kept: tally.kept,
            cannot_stand: tally.cannot_stand,
            rejected: tally.rejected,
            solved_in_full: tally.solved_in_full,
            best,
            map: tally.map,
        })
    }
}
