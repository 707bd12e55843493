//! Monte Carlo: random builds of the model, the same for a seed whatever the thread count.
//!
//! The samples come in blocks; block b draws from stream b of ChaCha8 (Bernstein, ChaCha, a
//! variant of Salsa20, 2008) under the seed, so no thread's work depends on another's, and
//! the blocks are put together in their order.

use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::summary::distribution;
use super::{Distribution, Placement, PlacementError, PlacementFigure};

/// Most samples of one run (they are kept for the quantiles).
pub const MAX_SAMPLES: usize = 1_000_000;
/// Samples of one block; what is left over makes a shorter last block.
const BLOCK: usize = 128;
/// Most bins of a histogram.
const MAX_BINS: usize = 1000;

/// What to sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sampling {
    /// Random builds, at most [`MAX_SAMPLES`].
    pub samples: usize,
    /// Seed: the same seed gives the same builds and the same answer.
    pub seed: u64,
    /// Threads to use; 0 counts as 1. The answer does not depend on it.
    pub threads: usize,
    /// Bins of the histograms, 1 to 1000 (clamped).
    pub bins: usize,
    /// Per figure, in the order of [`PlacementFigure::ALL`], the band [low, high] (SI) of
    /// which the share inside is wanted. An end may be infinite.
    pub bands: [Option<[f64; 2]>; 6],
}

impl Default for Sampling {
    /// 10,000 samples, seed 1, one thread, 40 bins, no bands.
    fn default() -> Self {
        Self {
            samples: 10_000,
            seed: 1,
            threads: 1,
            bins: 40,
            bands: [None; 6],
        }
    }
}

impl Sampling {
    /// The same with a band for one figure.
    #[must_use]
    pub const fn with_band(mut self, figure: PlacementFigure, low: f64, high: f64) -> Self {
        self.bands[figure.index()] = Some([low, high]);
        self
    }

    fn check(&self) -> Result<(), PlacementError> {
        if self.samples > MAX_SAMPLES {
            return Err(PlacementError::TooManySamples {
                samples: self.samples,
            });
        }
        for (figure, band) in PlacementFigure::ALL.iter().zip(self.bands) {
            if let Some([low, high]) = band
                && (low.is_nan() || high.is_nan() || low > high)
            {
                return Err(PlacementError::BadBand {
                    figure: *figure,
                    low,
                    high,
                });
            }
        }
        Ok(())
    }
}

/// The figures over many random builds.
#[derive(Clone, Debug, PartialEq)]
pub struct Scatter {
    /// Builds sampled.
    pub samples: usize,
    /// Builds whose rods do not hold the axle at ride height.
    pub cannot_stand: usize,
    distributions: [Distribution; 6],
}

impl Scatter {
    /// The distribution of one figure.
    #[must_use]
    pub const fn of(&self, figure: PlacementFigure) -> &Distribution {
        &self.distributions[figure.index()]
    }
}

/// Values of one block, in the order of its samples.
#[derive(Default)]
struct Block {
    cannot_stand: usize,
    values: [Vec<f64>; 6],
}

impl Placement {
    /// Samples random builds, every dimension off by its own uniform error in ± its tolerance.
    ///
    /// `cancel` is looked at and `progress` raised by the samples done after every 128
    /// samples; `progress` is not set to zero first.
    ///
    /// # Errors
    /// [`PlacementError::TooManySamples`], [`PlacementError::BadBand`] for faulty input;
    /// [`PlacementError::Cancelled`].
    pub fn monte_carlo(
        &self,
        sampling: &Sampling,
        cancel: &AtomicBool,
        progress: &AtomicU64,
    ) -> Result<Scatter, PlacementError> {
        sampling.check()?;
        let samples = sampling.samples;
        let count = samples.div_ceil(BLOCK);
        let (next, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let work = || {
            let mut bench = self.nominal.clone();
            let mut errors = vec![0.0; self.dimensions.len()];
            let mut mine = Vec::new();
            while !cancel.load(Ordering::Relaxed) {
                let index = next.fetch_add(1, Ordering::Relaxed);
                if index >= count {
                    break;
                }
                let size = BLOCK.min(samples - index * BLOCK);
                let mut rng = stream(sampling.seed, index);
                let mut block = Block::default();
                for _ in 0..size {
                    self.draw(&mut rng, &mut errors);
                    match self.build(&mut bench, &errors) {
                        Ok(build) => {
                            let figures = build.figures().values;
                            for (kept, value) in block.values.iter_mut().zip(figures) {
                                kept.extend(value);
                            }
                        }
                        Err(_) => block.cannot_stand += 1,
                    }
                }
                mine.push((index, block));
                done.fetch_add(size, Ordering::Relaxed);
                progress.fetch_add(size as u64, Ordering::Relaxed);
            }
            mine
        };
        let threads = sampling.threads.clamp(1, count.max(1));
        let mut blocks = std::thread::scope(|scope| {
            let others: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
            let mut all = work();
            for other in others {
                match other.join() {
                    Ok(blocks) => all.extend(blocks),
                    Err(panic) => std::panic::resume_unwind(panic),
                }
            }
            all
        });
        let done = done.into_inner();
        if done < samples {
            return Err(PlacementError::Cancelled { done });
        }
        blocks.sort_unstable_by_key(|(index, _)| *index);
        let mut cannot_stand = 0;
        let mut values: [Vec<f64>; 6] = Default::default();
        for (_, block) in blocks {
            cannot_stand += block.cannot_stand;
            for (all, part) in values.iter_mut().zip(block.values) {
                all.extend(part);
            }
        }
        let bins = sampling.bins.clamp(1, MAX_BINS);
        let standing = samples - cannot_stand;
        let mut bands = sampling.bands.into_iter();
        let distributions = values
            .map(|values| distribution(values, standing, samples, bins, bands.next().flatten()));
        Ok(Scatter {
            samples,
            cannot_stand,
            distributions,
        })
    }

    /// The errors (m, one per dimension) of one sample under a seed: what
    /// [`Placement::monte_carlo`] builds as its sample number `sample`, from 0.
    #[must_use]
    pub fn sample_errors(&self, seed: u64, sample: usize) -> Vec<f64> {
        let mut rng = stream(seed, sample / BLOCK);
        let words_before = (sample % BLOCK) as u128 * 2 * self.dimensions.len() as u128;
        rng.set_word_pos(words_before);
        let mut errors = vec![0.0; self.dimensions.len()];
        self.draw(&mut rng, &mut errors);
        errors
    }

    fn draw(&self, rng: &mut ChaCha8Rng, errors: &mut [f64]) {
        for (error, dimension) in errors.iter_mut().zip(&self.dimensions) {
            // The top 53 bits: a multiple of 2⁻⁵³ in [0, 1).
            let unit = (rng.next_u64() >> 11) as f64 * (0.5 * f64::EPSILON);
            *error = dimension.plus_minus * (2.0 * unit - 1.0);
        }
    }
}

fn stream(seed: u64, block: usize) -> ChaCha8Rng {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(block as u64);
    rng
}
