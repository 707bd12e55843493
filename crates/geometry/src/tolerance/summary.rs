//! What is kept of a figure over many builds.

/// Distribution of one figure over the samples of a Monte Carlo.
/// `with_value + without_value` + the samples that cannot stand = all samples.
#[derive(Clone, Debug, PartialEq)]
pub struct Distribution {
    /// Samples in which the figure has a value.
    pub with_value: usize,
    /// Samples that stand but have no value: an instant centre at infinity, an end of travel
    /// out of reach.
    pub without_value: usize,
    /// Statistics of the values; None without any.
    pub summary: Option<Summary>,
    /// Share of all samples whose value lies in the band (ends included), 0 to 1: a sample
    /// without a value or that cannot stand is outside. None without a band or samples.
    pub inside: Option<f64>,
}

/// Statistics of at least one value, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// Mean.
    pub mean: f64,
    /// Standard deviation with n − 1; zero for one value.
    pub standard_deviation: f64,
    /// Smallest value.
    pub min: f64,
    /// 5 % quantile, interpolated (type 7 of Hyndman & Fan, Am. Statistician 50 (1996) 361).
    pub q05: f64,
    /// Median.
    pub median: f64,
    /// 95 % quantile.
    pub q95: f64,
    /// Largest value.
    pub max: f64,
    /// Histogram.
    pub histogram: Histogram,
}

/// Equal bins. A long tail (an instant centre that wanders off to 100 m) does not stretch
/// them: they reach at most 1.5 times q95 − q05 beyond those two; what lies outside is counted.
#[derive(Clone, Debug, PartialEq)]
pub struct Histogram {
    /// Bin edges, rising, one more than bins, SI. A single bin of no width where all values
    /// are the same.
    pub edges: Vec<f64>,
    /// Values in each bin; a value on an inner edge counts upward.
    pub counts: Vec<usize>,
    /// Values below the first edge.
    pub below: usize,
    /// Values above the last edge.
    pub above: usize,
}

/// Takes the values in the order of the samples (so that sums round the same way every time).
pub(super) fn distribution(
    mut values: Vec<f64>,
    standing: usize,
    samples: usize,
    bins: usize,
    band: Option<[f64; 2]>,
) -> Distribution {
    let inside = band.filter(|_| samples > 0).map(|[low, high]| {
        let inside = values.iter().filter(|v| (low..=high).contains(*v)).count();
        inside as f64 / samples as f64
    });
    Distribution {
        with_value: values.len(),
        without_value: standing - values.len(),
        summary: summary(&mut values, bins),
        inside,
    }
}

/// Sorts the values.
fn summary(values: &mut [f64], bins: usize) -> Option<Summary> {
    let n = values.len() as f64;
    // From the first value, so that equal values have exactly no spread.
    let first = *values.first()?;
    let mean = first + values.iter().map(|v| v - first).sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    values.sort_unstable_by(f64::total_cmp);
    let (min, max) = (*values.first()?, *values.last()?);
    let (q05, q95) = (quantile(values, 0.05), quantile(values, 0.95));
    Some(Summary {
        mean,
        standard_deviation: if n > 1.0 {
            (squares / (n - 1.0)).sqrt()
        } else {
            0.0
        },
        min,
        q05,
        median: quantile(values, 0.5),
        q95,
        max,
        histogram: histogram(values, bins, [min, max], [q05, q95]),
    })
}

fn quantile(sorted: &[f64], share: f64) -> f64 {
    let at = share * (sorted.len() - 1) as f64;
    let index = at as usize;
    let low = sorted[index];
    let high = sorted[(index + 1).min(sorted.len() - 1)];
    low + (high - low) * at.fract()
}

fn histogram(sorted: &[f64], bins: usize, [min, max]: [f64; 2], [q05, q95]: [f64; 2]) -> Histogram {
    let reach = 1.5 * (q95 - q05);
    let (mut low, mut high) = (min.max(q05 - reach), max.min(q95 + reach));
    if q95 <= q05 {
        // Nine of ten values are equal: only the whole range says anything.
        (low, high) = (min, max);
    }
    let bins = if high > low { bins.max(1) } else { 1 };
    let width = (high - low) / bins as f64;
    let edges: Vec<f64> = (0..=bins)
        .map(|i| {
            if i == bins {
                high
            } else {
                low + width * i as f64
            }
        })
        .collect();
    let mut histogram = Histogram {
        counts: vec![0; bins],
        below: 0,
        above: 0,
        edges,
    };
    for &v in sorted {
        if v < low {
            histogram.below += 1;
        } else if v > high {
            histogram.above += 1;
        } else {
            // By the edges themselves: a quotient would round the other way now and then.
            let bin = histogram.edges.partition_point(|e| *e <= v);
            histogram.counts[bin.clamp(1, bins) - 1] += 1;
        }
    }
    histogram
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    // By hand; the quantiles are those of type 7 for 1, 2, 3, 4: 1 + 3 p.
    #[test]
    fn of_four_values() {
        let d = distribution(vec![4.0, 1.0, 3.0, 2.0], 6, 8, 3, Some([2.0, 3.5]));
        assert_eq!((d.with_value, d.without_value), (4, 2));
        assert_eq!(d.inside, Some(0.25));
        let s = d.summary.unwrap();
        assert!((s.mean - 2.5).abs() < 1e-15);
        assert!((s.standard_deviation - (5.0_f64 / 3.0).sqrt()).abs() < 1e-15);
        assert!((s.q05 - 1.15).abs() < 1e-14 && (s.q95 - 3.85).abs() < 1e-14);
        assert!((s.median - 2.5).abs() < 1e-15);
        assert_eq!(s.histogram.edges, vec![1.0, 2.0, 3.0, 4.0]);
        assert_eq!(s.histogram.counts, vec![1, 1, 2]);
    }

    #[test]
    fn a_far_tail_is_counted_outside_the_bins() {
        let mut values: Vec<f64> = (0..=100).map(f64::from).collect();
        values.push(1e6);
        let s = summary(&mut values, 20).unwrap();
        let h = &s.histogram;
        assert_eq!((h.below, h.above), (0, 1));
        assert_eq!(h.counts.iter().sum::<usize>(), 101);
        assert_eq!(s.max, 1e6);
    }

    #[test]
    fn nothing_and_one_value() {
        let none = distribution(Vec::new(), 3, 3, 10, Some([0.0, 1.0]));
        assert_eq!((none.without_value, none.summary), (3, None));
        assert_eq!(none.inside, Some(0.0));
        assert_eq!(
            distribution(Vec::new(), 0, 0, 10, Some([0.0, 1.0])).inside,
            None
        );
        let s = summary(&mut [0.3], 10).unwrap();
        assert_eq!((s.mean, s.standard_deviation), (0.3, 0.0));
        assert_eq!(s.histogram.edges, vec![0.3, 0.3]);
        assert_eq!(s.histogram.counts, vec![1]);
    }
}
