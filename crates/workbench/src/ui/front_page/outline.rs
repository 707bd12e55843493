//! The outline of a cloud of points: what a body shows of itself from one side.

/// Corners of the convex outline, in order (Andrew's monotone chain).
pub(super) fn outline(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.retain(|p| p[0].is_finite() && p[1].is_finite());
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turn = |o: [f64; 2], a: [f64; 2], b: [f64; 2]| {
        (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
    };
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..]
                && turn(a, b, p) <= 0.0
            {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut all = half(&mut points.iter().copied());
    all.extend(half(&mut points.iter().rev().copied()));
    all
}

#[cfg(test)]
mod tests {
    use super::outline;

    #[test]
    fn what_lies_inside_is_left_out() {
        let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        let mut points = square.to_vec();
        points.extend([[0.5, 0.5], [0.2, 0.9], [0.5, 0.0]]);
        let got = outline(points);
        assert_eq!(got.len(), 4);
        assert!(square.iter().all(|p| got.contains(p)));
        assert!(outline(Vec::new()).is_empty());
    }
}
