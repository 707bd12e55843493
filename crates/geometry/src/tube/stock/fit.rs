//! Whether pieces fit in given bars: bin completion with dominance, and the bound L2.
//!
//! Bars are filled one after another. A filling another piece could join, or in which a
//! piece could be changed for a larger one left over, is dominated: what it leads to, the
//! other leads to as well (Martello & Toth; Korf 2002, from memory).

use std::collections::BTreeSet;

/// Lower bound L2 of Martello & Toth on the bars of one capacity. Sizes falling.
pub(super) fn lower_bound(sizes: &[i64], capacity: i64) -> usize {
    let total: i128 = sizes.iter().map(|s| i128::from(*s)).sum();
    let room = i128::from(capacity.max(1));
    let mut best = (total + room - 1) / room;
    let half = sizes.iter().filter(|s| 2 * **s > capacity).count();
    // Sums of the sizes before each place.
    let mut before = Vec::with_capacity(sizes.len() + 1);
    before.push(0_i128);
    for size in sizes {
        before.push(before[before.len() - 1] + i128::from(*size));
    }
    // Sizes above capacity − K stand alone; K falls with the place, so they grow fewer.
    for place in half..sizes.len() {
        let least = sizes[place];
        if place + 1 < sizes.len() && sizes[place + 1] == least {
            continue;
        }
        let alone = sizes.partition_point(|s| *s > capacity - least);
        let room_left =
            (half - alone.min(half)) as i128 * room - (before[half] - before[alone.min(half)]);
        let small = before[place + 1] - before[half];
        let more = (small - room_left).max(0);
        best = best.max(half as i128 + (more + room - 1) / room);
    }
    best.max(half as i128) as usize
}

/// What a search came to.
pub(super) enum Fit {
    /// For each bar how many of each size it holds.
    Yes(Vec<Vec<u32>>),
    /// They do not fit.
    No,
    /// The budget ran out first.
    Unknown,
}

struct OutOfBudget;

struct Search<'a> {
    sizes: &'a [i64],
    bars: &'a [i64],
    /// Whether all bars from this one on are alike.
    alike: Vec<bool>,
    room: Vec<i128>,
    failed: BTreeSet<(usize, Vec<u32>)>,
    budget: &'a mut u64,
    filled: Vec<Vec<u32>>,
}

/// Most failed states remembered.
const REMEMBERED: usize = 100_000;

/// Fits `counts` pieces of distinct falling `sizes` into `bars`, given in the order to be
/// filled; bars may stay empty.
pub(super) fn fit(sizes: &[i64], counts: &[u32], bars: &[i64], budget: &mut u64) -> Fit {
    let alike = (0..bars.len()).map(|i| bars[i..].iter().all(|b| *b == bars[i]));
    let mut room = vec![0; bars.len() + 1];
    for i in (0..bars.len()).rev() {
        room[i] = room[i + 1] + i128::from(bars[i]);
    }
    let mut search = Search {
        sizes,
        bars,
        alike: alike.collect(),
        room,
        failed: BTreeSet::new(),
        budget,
        filled: Vec::with_capacity(bars.len()),
    };
    match search.bar(0, &mut counts.to_vec()) {
        Ok(true) => {
            let mut filled = search.filled;
            filled.resize(bars.len(), vec![0; sizes.len()]);
            Fit::Yes(filled)
        }
        Ok(false) => Fit::No,
        Err(OutOfBudget) => Fit::Unknown,
    }
}

/// A bar being filled.
struct Filling {
    index: usize,
    /// Length that may stay unused in this bar.
    waste: i128,
    /// Sum of what is left of the sizes from each on.
    rest: Vec<i128>,
    picked: Vec<u32>,
}

impl Search<'_> {
    fn spend(&mut self) -> Result<(), OutOfBudget> {
        *self.budget = self.budget.checked_sub(1).ok_or(OutOfBudget)?;
        Ok(())
    }

    fn bar(&mut self, index: usize, left: &mut Vec<u32>) -> Result<bool, OutOfBudget> {
        self.spend()?;
        let mut rest = vec![0; left.len() + 1];
        for k in (0..left.len()).rev() {
            rest[k] = rest[k + 1] + i128::from(self.sizes[k]) * i128::from(left[k]);
        }
        if rest[0] == 0 {
            return Ok(true);
        }
        if index == self.bars.len() || rest[0] > self.room[index] {
            return Ok(false);
        }
        if self.failed.contains(&(index, left.clone())) {
            return Ok(false);
        }
        let most = self.bars[index..].iter().copied().max().unwrap_or(0);
        let all: Vec<i64> = left
            .iter()
            .zip(self.sizes)
            .flat_map(|(n, size)| std::iter::repeat_n(*size, *n as usize))
            .collect();
        let hopeless = all.first().is_some_and(|size| *size > most)
            || lower_bound(&all, most) > self.bars.len() - index;
        if !hopeless {
            let mut filling = Filling {
                index,
                waste: self.room[index] - rest[0],
                picked: vec![0; left.len()],
                rest,
            };
            let mut space = self.bars[index];
            let mut from = 0;
            if self.alike[index] {
                // The largest piece must lie in one of bars all alike: this one.
                if let Some(k) = left.iter().position(|n| *n > 0) {
                    left[k] -= 1;
                    filling.picked[k] += 1;
                    space -= self.sizes[k];
                    from = k;
                    // The rest no longer holds it.
                    for sum in &mut filling.rest[..=k] {
                        *sum -= i128::from(self.sizes[k]);
                    }
                    let found = self.fill(&mut filling, from, space, left);
                    left[k] += 1;
                    if found? {
                        return Ok(true);
                    }
                }
            } else if self.fill(&mut filling, from, space, left)? {
                return Ok(true);
            }
        }
        if self.failed.len() < REMEMBERED {
            self.failed.insert((index, left.clone()));
        }
        Ok(false)
    }

    /// Tries what of size `k` and on joins the bar. `left` and `picked` are as they
    /// were on return, unless all fit.
    fn fill(
        &mut self,
        filling: &mut Filling,
        k: usize,
        space: i64,
        left: &mut Vec<u32>,
    ) -> Result<bool, OutOfBudget> {
        // A loop over the first size that joins: no deeper than the pieces in the bar.
        for j in k..self.sizes.len() {
            if i128::from(space) - filling.rest[j] > filling.waste {
                return Ok(false);
            }
            let size = self.sizes[j];
            let most = i64::from(left[j]).min(space / size.max(1)) as u32;
            for n in (1..=most).rev() {
                self.spend()?;
                left[j] -= n;
                filling.picked[j] += n;
                let found = self.fill(filling, j + 1, space - i64::from(n) * size, left);
                left[j] += n;
                filling.picked[j] -= n;
                if found? {
                    return Ok(true);
                }
            }
        }
        if i128::from(space) > filling.waste || self.dominated(&filling.picked, space, left) {
            return Ok(false);
        }
        self.filled.push(filling.picked.clone());
        if self.bar(filling.index + 1, left)? {
            return Ok(true);
        }
        self.filled.pop();
        Ok(false)
    }

    /// Whether a piece left over could join, or take the place of a smaller one. The piece
    /// that had to lie in the bar is the largest, so nothing takes its place.
    fn dominated(&self, picked: &[u32], space: i64, left: &[u32]) -> bool {
        let mut larger: Option<i64> = None;
        for (k, size) in self.sizes.iter().enumerate() {
            // The smallest piece left over that is larger than this size.
            if picked[k] > 0 && larger.is_some_and(|l| l - size <= space) {
                return true;
            }
            if left[k] > 0 {
                if *size <= space {
                    return true;
                }
                larger = Some(*size);
            }
        }
        false
    }
}
