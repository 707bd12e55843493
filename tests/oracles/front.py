"""Front knuckles by scipy, beside the project's definitions.

A knuckle is a rigid body on five rods with its wheel-centre height held; R = Rz(psi) Rx(phi) Ry(theta). The five
other coordinates make every rod as long as it is drawn. Written from the definitions, not from the Rust sources.

For every `front_knuckle` case of the reference folder: poses by `least_squares` (MINPACK's Levenberg-Marquardt, analytic
Jacobian), twists by `numpy.linalg.lstsq`, the largest differences from the expected answers, and the time of one warm
solve. Then the whole grid of the bench, 41 travels x 21 rack positions of one side.

    python tests/oracles/front.py [--reference FOLDER] [--ours MICROSECONDS_OF_THE_GRID]

Ends with status 1 when a difference exceeds the tolerance stated in a case.
"""

import argparse
import glob
import json
import pathlib
import statistics
import sys
import time

import numpy as np
from scipy.optimize import least_squares


def rotation(phi, theta, psi):
    (sf, st, sp), (cf, ct, cp) = np.sin([phi, theta, psi]), np.cos([phi, theta, psi])
    rx = np.array([[1, 0, 0], [0, cf, -sf], [0, sf, cf]])
    ry = np.array([[ct, 0, st], [0, 1, 0], [-st, 0, ct]])
    rz = np.array([[cp, -sp, 0], [sp, cp, 0], [0, 0, 1]])
    axes = np.array([rz @ [1, 0, 0], rz @ rx @ [0, 1, 0], [0, 0, 1]])
    return rz @ rx @ ry, axes


class Knuckle:
    def __init__(self, centre, inner, outer):
        self.centre, self.inner, self.outer = (np.array(v, float) for v in (centre, inner, outer))
        self.length = np.linalg.norm(self.outer - self.inner, axis=1)

    def lines(self, q, z, rack):
        turn, axes = rotation(*q[2:])
        arm = (self.outer - self.centre) @ turn.T
        anchor = self.inner.copy()
        anchor[4, 1] += rack
        d = np.array([q[0], q[1], z]) + arm - anchor
        distance = np.linalg.norm(d, axis=1)
        return turn, axes, arm, d / distance[:, None], distance

    def solve(self, travel, rack, start=None):
        z = self.centre[2] + travel

        def residual(q):
            return self.lines(q, z, rack)[4] - self.length

        def jacobian(q):
            _, axes, arm, unit, _ = self.lines(q, z, rack)
            return np.hstack([unit[:, :2], np.cross(arm, unit) @ axes.T])

        if start is None:
            start = np.array([*self.centre[:2], 0, 0, 0])
        found = least_squares(residual, start, jacobian, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
        return found.x, np.abs(found.fun).max()

    def walk(self, travel, rack, steps=12):
        q = None
        for share in np.linspace(0, 1, steps + 1)[1:]:
            q, left = self.solve(share * travel, share * rack, q)
        return q, left

    def heave(self, q, travel, rack):
        _, _, arm, unit, _ = self.lines(q, self.centre[2] + travel, rack)
        moment = np.cross(arm, unit)
        free = np.hstack([unit[:, :2], moment])
        x = np.linalg.lstsq(free, -unit[:, 2], rcond=None)[0]
        return np.array([x[0], x[1], 1.0]), x[2:]


def case_of(path):
    case = json.loads(pathlib.Path(path).read_text())
    if case.get("kind") != "front_knuckle" or "rows" not in case["expected"]:
        return None
    if any(r["length"] is not None for r in case["rods"]):
        return None
    return case


def compare(case):
    rods = case["rods"]
    knuckle = Knuckle(case["knuckle"]["wheel_centre"], [r["a"] for r in rods], [r["b"] for r in rods])
    worst = {"length": 0.0, "angle": 0.0, "twist": 0.0}
    times = []
    for row in case["expected"]["rows"]:
        if not row.get("pose"):
            continue
        travel, rack = row["travel"], row["rack"]
        q, _ = knuckle.walk(travel, rack)
        near, _ = knuckle.solve(travel, rack - 1e-3, q)
        start = time.perf_counter()
        knuckle.solve(travel, rack, near)
        times.append(time.perf_counter() - start)
        pose = row["pose"]
        worst["length"] = max(worst["length"], abs(q[0] - pose["x"]), abs(q[1] - pose["y"]))
        angles = np.array([pose["phi"], pose["theta"], pose["psi"]])
        worst["angle"] = max(worst["angle"], np.abs(q[2:] - angles).max())
        v, w = knuckle.heave(q, travel, rack)
        twist = row["heave_twist"]
        off = max(np.abs(v - twist["v"]).max(), np.abs(w - twist["w"]).max())
        worst["twist"] = max(worst["twist"], off)
    allowed = case["tolerance"]
    limits = {"length": allowed["pose_length"], "angle": allowed["pose_angle"], "twist": allowed["twist"]}
    good = all(worst[k] <= limits[k] for k in worst)
    print(
        f"{case['id']}: pose {worst['length']:.1e} m, {worst['angle']:.1e} rad, twist {worst['twist']:.1e}; "
        f"one warm solve {1e6 * statistics.median(times):.0f} us{'' if good else '  BEYOND TOLERANCE'}"
    )
    return good


def grid(ours):
    """The corner of the bench (crates/geometry/benches/front.rs); change them together."""
    lower, upper = [2.715, 0.68, 0.186], [2.685, 0.63, 0.465]
    knuckle = Knuckle(
        [2.71, 0.74, 0.31],
        [[2.87, 0.33, 0.2], [2.56, 0.33, 0.192], [2.8, 0.42, 0.45], [2.58, 0.42, 0.438], [2.57, 0.34, 0.232]],
        [lower, lower, upper, upper, [2.585, 0.66, 0.229]],
    )
    start = time.perf_counter()
    largest = 0.0
    for way in (1, -1):
        column = None
        for i in range(0 if way == 1 else 1, 21):
            travel = way * 3e-3 * i
            column, _ = knuckle.solve(travel, 0.0, column)
            for side in (1, -1):
                q = column
                for j in range(1, 11):
                    q, left = knuckle.solve(travel, side * 6e-3 * j, q)
                    largest = max(largest, left)
                    knuckle.heave(q, travel, side * 6e-3 * j)
    taken = time.perf_counter() - start
    print(f"41 x 21 poses and twists of one side: {1e3 * taken:.0f} ms, rods off by at most {largest:.1e} m")
    if ours:
        print(f"ratio to {ours:.0f} us: {1e6 * taken / ours:.0f}")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    here = pathlib.Path(__file__).resolve().parent
    parser.add_argument("--reference", default=here.parent / "reference")
    parser.add_argument("--ours", type=float, help="this project's time for one side's grid, microseconds")
    options = parser.parse_args()
    cases = [c for c in map(case_of, sorted(glob.glob(f"{options.reference}/*.json"))) if c]
    good = [compare(case) for case in cases]
    if not good:
        print("no front_knuckle case found")
    grid(options.ours)
    sys.exit(0 if good and all(good) else 1)


if __name__ == "__main__":
    main()
