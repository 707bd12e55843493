//! Which bars are taken, and what lies in each.

use super::fit::{Fit, fit, lower_bound};
use super::{EXACT, SEARCHED, Stock};

/// Search steps for the bars, and for the remnant, of a list held to be exact.
const BUDGET: u64 = 400_000;

/// Ways to buy looked through before the answer counts as unproven.
const WAYS: usize = 20_000;

/// A bar with its pieces.
pub(super) struct Bin {
    /// Index of its stock.
    pub(super) kind: usize,
    load: i64,
    /// Indices of its pieces, longest first.
    pub(super) items: Vec<usize>,
}

pub(super) struct Plan {
    pub(super) bins: Vec<Bin>,
    pub(super) proven: bool,
    /// Least length bought, units.
    pub(super) bound: i64,
    pub(super) remnant_proven: bool,
    pub(super) first_fit: Option<usize>,
    pub(super) lower_bound: Option<usize>,
}

struct Planner<'a> {
    sizes: &'a [i64],
    stock: &'a [Stock],
    capacity: &'a [i64],
    /// Indices of the pieces, falling.
    order: Vec<usize>,
    /// Falling distinct sizes with how many there are.
    distinct: Vec<i64>,
    counts: Vec<u32>,
}

/// One way to buy: how many of each stock, what they cost.
struct Way {
    cost: i64,
    bars: usize,
    counts: Vec<usize>,
}

/// Plans; the error is how many pieces found no bar.
pub(super) fn plan(sizes: &[i64], stock: &[Stock], capacity: &[i64]) -> Result<Plan, usize> {
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    order.sort_by_key(|i| (-sizes[*i], *i));
    let (mut distinct, mut counts) = (Vec::new(), Vec::<u32>::new());
    for &i in &order {
        if distinct.last() == Some(&sizes[i]) {
            if let Some(last) = counts.last_mut() {
                *last += 1;
            }
        } else {
            distinct.push(sizes[i]);
            counts.push(1);
        }
    }
    let planner = Planner {
        sizes,
        stock,
        capacity,
        order,
        distinct,
        counts,
    };
    planner.plan()
}

impl Planner<'_> {
    fn cost(&self, kind: usize) -> i64 {
        if self.stock[kind].on_hand {
            0
        } else {
            (self.stock[kind].length / super::UNIT).round() as i64
        }
    }

    fn cost_of(&self, bins: &[Bin]) -> (i64, usize) {
        let used = || bins.iter().filter(|bin| !bin.items.is_empty());
        (used().map(|bin| self.cost(bin.kind)).sum(), used().count())
    }

    fn plan(&self) -> Result<Plan, usize> {
        let single = match self.stock {
            [only] if !only.on_hand && only.count.is_none() => Some(self.capacity[0]),
            _ => None,
        };
        let falling: Vec<i64> = self.order.iter().map(|i| self.sizes[*i]).collect();
        let mut best = self.greedy();
        let first_fit = single.and(best.as_ref().ok().map(Vec::len));
        let searched = self.sizes.len() <= SEARCHED;
        let mut budget = if self.sizes.len() <= EXACT {
            BUDGET
        } else {
            BUDGET / 4
        };
        let (mut proven, mut bound) = (true, None);
        let known = best.as_ref().ok().map(|bins| self.cost_of(bins));
        let (ways, all) = self.ways(known);
        proven &= all;
        if !all {
            bound = Some(self.least_cost());
        }
        for way in ways {
            if known.is_some_and(|known| (way.cost, way.bars) >= known) {
                break;
            }
            if way.bars < lower_bound(&falling, self.capacity.iter().copied().max().unwrap_or(0)) {
                continue;
            }
            let found = if searched {
                self.fit_way(&way.counts, &mut budget)
            } else {
                Fit::Unknown
            };
            match found {
                Fit::Yes(filled) => {
                    best = Ok(self.bins(&way.counts, &filled));
                    break;
                }
                Fit::No => {}
                Fit::Unknown => {
                    proven = false;
                    bound = bound.or(Some(way.cost));
                    if !searched {
                        break;
                    }
                    // The next way is looked at with a budget of its own.
                    budget = budget.max(BUDGET / 40);
                }
            }
        }
        let mut bins = best?;
        bins.retain(|bin| !bin.items.is_empty());
        let cost = self.cost_of(&bins).0;
        // Only a cheaper way leaves the cost open.
        let bound = bound.unwrap_or(cost).min(cost);
        let proven = proven || bound == cost;
        let remnant_proven = searched && self.lengthen_remnant(&mut bins);
        Ok(Plan {
            bins,
            proven,
            bound,
            remnant_proven,
            first_fit,
            lower_bound: single.map(|room| lower_bound(&falling, room)),
        })
    }

    /// Length of metal less what is on hand: nothing is bought for less.
    fn least_cost(&self) -> i64 {
        let wanted: i128 = self.sizes.iter().map(|s| i128::from(*s)).sum();
        let on_hand: i128 = self
            .stock
            .iter()
            .zip(self.capacity)
            .filter(|(bars, _)| bars.on_hand)
            .map(|(bars, room)| i128::from(*room) * bars.count.unwrap_or(0) as i128)
            .sum();
        // A bar may give a kerf more than its length.
        let bought = (0..self.stock.len()).filter(|k| !self.stock[*k].on_hand);
        let share = bought.map(|k| self.cost(k) as f64 / self.capacity[k].max(1) as f64);
        let share = share.fold(1.0, f64::min);
        ((wanted - on_hand).max(0) as f64 * share) as i64
    }

    /// First-fit decreasing into what is on hand, then into bought bars; with several
    /// lengths the best of opening each, bars then changed for shorter ones that do.
    fn greedy(&self) -> Result<Vec<Bin>, usize> {
        let mut best: Option<Vec<Bin>> = None;
        let mut least_left = self.sizes.len();
        for preferred in 0..self.stock.len() {
            match self.greedy_with(preferred) {
                Ok(bins) => {
                    let better = best.as_ref();
                    if better.is_none_or(|b| self.cost_of(&bins) < self.cost_of(b)) {
                        best = Some(bins);
                    }
                }
                Err(left) => least_left = least_left.min(left),
            }
        }
        best.ok_or(least_left)
    }

    fn greedy_with(&self, preferred: usize) -> Result<Vec<Bin>, usize> {
        let kinds = self.stock.len();
        let mut left: Vec<usize> = self
            .stock
            .iter()
            .map(|bars| bars.count.unwrap_or(usize::MAX))
            .collect();
        // On hand first, then the preferred, then the shortest.
        let mut turns: Vec<usize> = (0..kinds).collect();
        turns.sort_by_key(|k| {
            (
                !self.stock[*k].on_hand,
                *k != preferred,
                self.capacity[*k],
                *k,
            )
        });
        let mut bins: Vec<Bin> = Vec::new();
        let mut missing = 0;
        for &item in &self.order {
            let size = self.sizes[item];
            let fits = |bin: &&mut Bin| bin.load + size <= self.capacity[bin.kind];
            if let Some(bin) = bins.iter_mut().find(fits) {
                bin.load += size;
                bin.items.push(item);
                continue;
            }
            match turns
                .iter()
                .find(|k| left[**k] > 0 && size <= self.capacity[**k])
            {
                Some(&kind) => {
                    left[kind] -= 1;
                    bins.push(Bin {
                        kind,
                        load: size,
                        items: vec![item],
                    });
                }
                None => missing += 1,
            }
        }
        if missing > 0 {
            return Err(missing);
        }
        for bin in &mut bins {
            let fitting = (0..kinds).filter(|k| left[*k] > 0 && self.capacity[*k] >= bin.load);
            if let Some(kind) = fitting.min_by_key(|k| (self.cost(*k), *k))
                && self.cost(kind) < self.cost(bin.kind)
            {
                left[kind] -= 1;
                left[bin.kind] = left[bin.kind].saturating_add(1);
                bin.kind = kind;
            }
        }
        Ok(bins)
    }

    /// Ways to buy that could hold everything for less than what is known, cheapest first;
    /// whether those are all.
    fn ways(&self, known: Option<(i64, usize)>) -> (Vec<Way>, bool) {
        let wanted: i128 = self.sizes.iter().map(|s| i128::from(*s)).sum();
        let kinds = self.stock.len();
        let mut counts = vec![0; kinds];
        let mut room = 0_i128;
        for (k, bars) in self.stock.iter().enumerate() {
            if bars.on_hand {
                counts[k] = bars.count.unwrap_or(self.sizes.len()).min(self.sizes.len());
                room += i128::from(self.capacity[k].max(0)) * counts[k] as i128;
            }
        }
        let mut ways = Vec::new();
        let mut start = Way {
            cost: 0,
            bars: counts.iter().sum(),
            counts,
        };
        let mut steps = 0;
        self.more_ways(0, room, wanted, known, &mut start, &mut ways, &mut steps);
        ways.sort_by(|a, b| {
            (a.cost, a.bars)
                .cmp(&(b.cost, b.bars))
                .then_with(|| a.counts.cmp(&b.counts))
        });
        (ways, steps < WAYS)
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "what the recursion carries: the question, then what it has found so far"
    )]
    fn more_ways(
        &self,
        kind: usize,
        room: i128,
        wanted: i128,
        known: Option<(i64, usize)>,
        now: &mut Way,
        ways: &mut Vec<Way>,
        steps: &mut usize,
    ) {
        *steps += 1;
        if *steps >= WAYS {
            return;
        }
        if kind == self.stock.len() {
            if room >= wanted {
                ways.push(Way {
                    counts: now.counts.clone(),
                    ..*now
                });
            }
            return;
        }
        if self.stock[kind].on_hand {
            return self.more_ways(kind + 1, room, wanted, known, now, ways, steps);
        }
        let (cost, capacity) = (self.cost(kind), i128::from(self.capacity[kind].max(0)));
        let most = self.stock[kind]
            .count
            .unwrap_or(usize::MAX)
            .min(self.sizes.len());
        for n in 0..=most {
            let (cost_before, bars_before) = (now.cost, now.bars);
            let total = cost_before.saturating_add((n as i64).saturating_mul(cost));
            if known.is_some_and(|(best, _)| total > best) {
                break;
            }
            now.cost = total;
            now.bars += n;
            now.counts[kind] = n;
            let room = room + capacity * n as i128;
            self.more_ways(kind + 1, room, wanted, known, now, ways, steps);
            now.counts[kind] = 0;
            (now.cost, now.bars) = (cost_before, bars_before);
            if *steps >= WAYS {
                return;
            }
        }
    }

    /// Bars of a way in the order they are filled, shortest first.
    fn bars(&self, counts: &[usize]) -> Vec<usize> {
        let each = counts.iter().enumerate();
        let mut kinds: Vec<usize> = each.flat_map(|(k, n)| std::iter::repeat_n(k, *n)).collect();
        kinds.sort_by_key(|k| (self.capacity[*k], *k));
        kinds
    }

    fn fit_way(&self, counts: &[usize], budget: &mut u64) -> Fit {
        let bars = self.bars(counts);
        let rooms: Vec<i64> = bars.iter().map(|k| self.capacity[*k]).collect();
        fit(&self.distinct, &self.counts, &rooms, budget)
    }

    fn bins(&self, counts: &[usize], filled: &[Vec<u32>]) -> Vec<Bin> {
        self.assign(&self.bars(counts), filled)
    }

    /// Gives each bar its pieces by index.
    fn assign(&self, kinds: &[usize], filled: &[Vec<u32>]) -> Vec<Bin> {
        let mut next: Vec<usize> = Vec::with_capacity(self.counts.len());
        let mut sum = 0;
        for count in &self.counts {
            next.push(sum);
            sum += *count as usize;
        }
        let bars = kinds.iter().zip(filled).map(|(&kind, picked)| {
            let mut bin = Bin {
                kind,
                load: 0,
                items: Vec::new(),
            };
            for (k, &n) in picked.iter().enumerate() {
                for _ in 0..n {
                    bin.items.push(self.order[next[k]]);
                    bin.load += self.distinct[k];
                    next[k] += 1;
                }
            }
            bin
        });
        bars.collect()
    }

    /// Packs the same bars again so that one bought bar keeps as much as it can; whether no
    /// longer remnant is possible.
    fn lengthen_remnant(&self, bins: &mut Vec<Bin>) -> bool {
        let smallest = self.distinct.last().copied().unwrap_or(0);
        let mut kinds: Vec<usize> = bins.iter().map(|bin| bin.kind).collect();
        kinds.sort_by_key(|k| (self.capacity[*k], *k));
        let mut bought = kinds.clone();
        bought.retain(|k| !self.stock[*k].on_hand);
        bought.dedup();
        let total: i64 = self.sizes.iter().sum();
        let rooms: i64 = kinds.iter().map(|k| self.capacity[*k]).sum();
        let mut proven = true;
        let exact = self.sizes.len() <= EXACT;
        let mut budget = if exact { BUDGET } else { BUDGET / 8 };
        for kind in bought {
            let keeps = |bins: &[Bin]| {
                let bought = bins.iter().filter(|bin| !self.stock[bin.kind].on_hand);
                bought.map(|bin| self.capacity[bin.kind] - bin.load).max()
            };
            // A load that keeps one unit more than the best so far, or less.
            let best = keeps(bins).unwrap_or(0);
            let mut high = self.capacity[kind] - best;
            let mut low = (total - (rooms - self.capacity[kind])).max(smallest);
            let mut others = kinds.clone();
            if let Some(at) = others.iter().position(|k| *k == kind) {
                others.remove(at);
            }
            let mut first = true;
            while low < high {
                let most = if first { low } else { low + (high - low) / 2 };
                first = false;
                let mut order = vec![kind];
                order.extend(&others);
                let mut room: Vec<i64> = order.iter().map(|k| self.capacity[*k]).collect();
                room[0] = most;
                let mut share = budget.min(BUDGET / 8);
                budget -= share;
                let found = fit(&self.distinct, &self.counts, &room, &mut share);
                budget += share;
                match found {
                    Fit::Yes(filled) => {
                        *bins = self.assign(&order, &filled);
                        bins.retain(|bin| !bin.items.is_empty());
                        high = most;
                        let load = filled[0].iter().zip(&self.distinct);
                        high = high.min(load.map(|(n, size)| i64::from(*n) * size).sum());
                    }
                    Fit::No => low = most + 1,
                    Fit::Unknown => {
                        proven = false;
                        low = most + 1;
                    }
                }
            }
        }
        proven
    }
}
