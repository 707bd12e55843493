//! Integrals of several functions at once, by halving until they agree.

/// Nodes and weights of the five-point Gauss-Legendre rule on −1 to 1 (Abramowitz and
/// Stegun, table 25.4).
const NODES: [(f64, f64); 5] = [
    (0.0, 0.568_888_888_888_888_9),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

/// Halvings after which a piece is too short to matter.
const DEPTH: u32 = 30;

fn gauss<const N: usize>(f: &impl Fn(f64) -> [f64; N], from: f64, to: f64) -> [f64; N] {
    let (mid, half) = (0.5 * (from + to), 0.5 * (to - from));
    let mut sum = [0.0; N];
    for (node, weight) in NODES {
        for (total, value) in sum.iter_mut().zip(f(mid + half * node)) {
            *total += weight * half * value;
        }
    }
    sum
}

/// Integrals of each component of `f` between consecutive `breaks`, added up.
///
/// A piece is halved until both halves together agree with the whole within `accuracy`
/// of the largest value of each component so far.
pub(crate) fn integrate<const N: usize>(
    f: &impl Fn(f64) -> [f64; N],
    breaks: &[f64],
    accuracy: f64,
) -> [f64; N] {
    let mut total = [0.0; N];
    let whole: Vec<[f64; N]> = breaks.windows(2).map(|w| gauss(f, w[0], w[1])).collect();
    let mut scale = [f64::MIN_POSITIVE; N];
    for piece in &whole {
        for (scale, value) in scale.iter_mut().zip(piece) {
            *scale += value.abs();
        }
    }
    for (pair, first) in breaks.windows(2).zip(whole) {
        let mut stack = vec![(pair[0], pair[1], first, 0_u32)];
        while let Some((from, to, coarse, depth)) = stack.pop() {
            let mid = 0.5 * (from + to);
            let (left, right) = (gauss(f, from, mid), gauss(f, mid, to));
            let agree =
                (0..N).all(|i| (left[i] + right[i] - coarse[i]).abs() <= accuracy * scale[i]);
            if agree || depth >= DEPTH {
                for i in 0..N {
                    total[i] += left[i] + right[i];
                }
            } else {
                stack.push((from, mid, left, depth + 1));
                stack.push((mid, to, right, depth + 1));
            }
        }
    }
    total
}
