"""Reference cases solved with general-purpose libraries: agreement, and time beside this project's own.

Ends with status 1 if an answer differs by more than the tolerance its case states.
"""

import os
import sys

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.dont_write_bytecode = True

import argparse
import json
import platform
import re
import time
from pathlib import Path

import mujoco
import numpy as np
import scipy

from launch import Car
from linkage import PHI, Z, Linkage, rotation
from mujoco_linkage import MujocoLinkage

HERE = Path(__file__).resolve().parent
POSITION_CASES = ["r01", "r03", "r05", "r10"]
# MuJoCo's soft constraints are right only where the rods allow every motion asked for.
MUJOCO_CASES = ["r05"]
LAUNCH_CASES = ["l01"]
STANDARD_GRAVITY = 9.80665


class Report:
    """Differences of one case, each against its own tolerance."""

    def __init__(self):
        self.count, self.failures = 0, []
        self.worst, self.worst_field = -1.0, ""
        self.largest = {}

    def value(self, field, unit, got, want, tolerance):
        got, want = np.asarray(got, float), np.asarray(want, float)
        if got.shape != want.shape or got.size == 0:
            raise ValueError(f"{field}: shape {got.shape}, expected {want.shape}")
        difference = float(np.abs(got - want).max())
        share = float((np.abs(got - want) / tolerance).max())
        self.count += got.size
        if not share <= 1.0:  # NaN fails too
            self.failures.append(f"{field}: off by {difference:.3e} {unit}, {share:.3g} of its tolerance")
        if not share <= self.worst:
            self.worst, self.worst_field = share, field
        self.largest[unit] = max(self.largest.get(unit, 0.0), difference)

    def flag(self, field, got, want):
        self.count += len(want)
        if [bool(g) for g in got] != want:
            self.failures.append(f"{field}: {list(got)}, expected {want}")


def load(folder, case_id):
    found = sorted(folder.glob(f"{case_id}_*.json"))
    if len(found) != 1:
        raise FileNotFoundError(f"{len(found)} files {case_id}_*.json among the reference cases")
    return json.loads(found[0].read_text())


def linkage_of(case):
    if case["rotation_order"] != "zxy":
        raise ValueError(f"rotation order {case['rotation_order']}")
    return Linkage.of(case["rods"], case["car"]["loaded_radius"])


def compare_pose(report, at, q, want, tolerance):
    report.value(f"{at} pose", "m", q[:3], [want[k] for k in "xyz"], tolerance["pose_length"])
    angles = [want[k] for k in ("phi", "theta", "psi")]
    report.value(f"{at} pose", "rad", q[3:], angles, tolerance["pose_angle"])
    if "R" in want:
        report.value(f"{at} R", "rad", rotation(*q[3:]), want["R"], tolerance["pose_angle"])


def compare_twist(report, at, v, w, want, tolerance):
    report.value(f"{at} v", "per unit rate", v, want["v"], tolerance["twist"])
    report.value(f"{at} w", "per unit rate", w, want["w"], tolerance["twist"])


def rows_of(case):
    rows = case["expected"]["rows"]
    if [[r["travel"], r["roll"]] for r in rows] != case["sweep"]:
        raise ValueError(f"{case['id']}: rows and sweep differ")
    if any(abs(r["q"]) > 8.0 for r in rows):
        raise ValueError(f"{case['id']}: a row next to a lock has a tolerance of its own")
    return rows


def position_case(case):
    """Every row with scipy, from the drawn pose."""
    linkage, tolerance, report = linkage_of(case), case["tolerance"], Report()
    report.value(
        "rod lengths", "m", linkage.length, case["expected"]["rod_lengths"], tolerance["pose_length"]
    )
    for row in rows_of(case):
        at = f"travel {row['travel']} roll {row['roll']:.4f}"
        q = linkage.position(linkage.drawn, {Z: linkage.drawn[Z] + row["travel"], PHI: row["roll"]})
        compare_pose(report, at, q, row["pose"], tolerance)
        stretch = linkage.stretch(q)
        report.value(f"{at} stretch", "m", stretch, row["stretch"], tolerance["stretch"])
        bind = np.abs(stretch).max()
        report.value(f"{at} bind", "m", bind, row["bind_max"], tolerance["stretch"])
        if linkage.stiffness is not None:
            force = linkage.stiffness * stretch
            within = tolerance["stretch"] * linkage.stiffness
            report.value(f"{at} rod force", "N", force, row["rod_force"], within)
        for name, rates in [("heave", {Z: 1.0, PHI: 0.0}), ("roll", {Z: 0.0, PHI: 1.0})]:
            v, w, stretching = linkage.twist(q, rates)
            compare_twist(report, f"{at} {name} twist", v, w, row[f"{name}_twist"], tolerance)
            got, want = np.abs(stretching).max(), row[f"{name}_stretch_rate_max"]
            report.value(f"{at} {name} stretch rate", "per unit rate", got, want, tolerance["twist"])
    for row in case["expected"].get("free_roll_rows", []):
        at = f"free roll, travel {row['travel']}"
        q = linkage.position(linkage.drawn, {Z: linkage.drawn[Z] + row["travel"]})
        compare_pose(report, at, q, row["pose"], tolerance)
        bind = np.abs(linkage.stretch(q)).max()
        report.value(f"{at} bind", "m", bind, row["bind_max"], tolerance["stretch"])
    return report


def mujoco_case(case, how):
    linkage, tolerance, report = linkage_of(case), case["tolerance"], Report()
    model = MujocoLinkage(linkage)
    solve = getattr(model, how)
    for row in rows_of(case):
        if row["bind_max"] > 1e-12:
            raise ValueError(f"{case['id']}: MuJoCo is asked for a pose with bind")
        at = f"travel {row['travel']} roll {row['roll']:.4f}"
        q = solve(linkage.drawn, linkage.drawn[Z] + row["travel"], row["roll"])
        compare_pose(report, at, q, row["pose"], tolerance)
        v, w, missed = model.twists(q)
        report.value(f"{at} rates met", "per unit rate", missed, 0.0, tolerance["twist"])
        for i, name in enumerate(["heave", "roll"]):
            compare_twist(report, f"{at} {name} twist", v[i], w[i], row[f"{name}_twist"], tolerance)
    return report


def launch_tolerance(path, lengths, angles, forces):
    """Unit and tolerance of a field; thrust, torque and moments share the figure given for forces."""
    name, _, part = path.partition(".")
    if name == "acceleration_g":
        return "g", 1e-12
    if name in ("sprung", "axle"):
        return ("m", lengths) if part in ("x", "y", "z") else ("rad", angles)
    if name in ("coil_length", "front_lift", "front_lift_left_right", "rear_squat", "rear_separation"):
        return "m", lengths
    if name in ("driveshaft_torque", "yaw_hold_moment"):
        return "N m", forces
    if name in ("tyre_load", "thrust", "rod_force", "coil_force", "rear_load_difference"):
        return "N", forces
    raise KeyError(f"no tolerance for {path}")


def launch_case(case):
    car, report = Car(case["car"], case["rods"], case["coilovers"], case["gravity"]), Report()
    tolerance = case["tolerance"]
    said = re.fullmatch(r"(\S+) of the weight", tolerance["force"])
    force = float(said.group(1)) * car.weight

    def compare(at, got, row):
        for name, want in row.items():
            if name == "checks":  # residuals of the answer itself
                continue
            if name == "front_wheel_lifted":
                report.flag(f"{at} {name}", got[name], want)
                continue
            parts = want.items() if isinstance(want, dict) else [("", want)]
            for part, value in parts:
                path = f"{name}.{part}" if part else name
                unit, within = launch_tolerance(path, tolerance["length"], tolerance["angle"], force)
                ours = got[name][part] if part else got[name]
                report.value(f"{at} {path}", unit, ours, value, within)

    at_rest = car.balance(car.drawn, 0.0)
    compare("static", car.answers(at_rest, 0.0, at_rest), case["expected"]["static"])
    rows = case["expected"]["rows"]
    if [r["acceleration_g"] for r in rows] != case["accelerations_g"]:
        raise ValueError(f"{case['id']}: rows and accelerations differ")
    u = at_rest
    for row in rows:
        a = row["acceleration_g"] * car.g
        u = car.balance(u, a)
        compare(f"{row['acceleration_g']} g", car.answers(u, a, at_rest), row)
    return report


def median_time(solve, repeats):
    for _ in range(max(3, repeats // 10)):
        solve()
    times = []
    for _ in range(repeats):
        began = time.perf_counter_ns()
        solve()
        times.append(time.perf_counter_ns() - began)
    return float(np.median(times)) * 1e-9


def warm_step(linkage):
    """As the benches do: from the pose at 30 mm of travel, one millimetre up."""
    start = linkage.position(linkage.drawn, {Z: linkage.drawn[Z] + 0.03, PHI: 0.0})
    return start, start[Z] + 0.001


def bench_linkage(upper_right_hole):
    """The linkage of crates/geometry/benches/rods.rs."""
    ends = [
        ([0.65, 0.41, 0.23], [0.02, 0.41, 0.2]),
        ([0.65, -0.41, 0.23], [0.02, -0.41, 0.2]),
        ([0.58, 0.4, 0.36], [0.01, 0.4, 0.47]),
        ([0.58, -0.4, 0.36 - upper_right_hole], [0.01, -0.4, 0.47]),
        ([-0.15, -0.38, 0.35], [-0.15, 0.36, 0.34]),
    ]
    rods = [{"a": a, "b": b, "length": None, "stiffness": 3.5e7} for a, b in ends]
    return Linkage.of(rods, 0.34)


def bench_car():
    """The car of crates/vehicle/benches/launch.rs (five rods, driveshaft torque on)."""
    car = {
        "wheelbase": 2.7,
        "sprung_mass": 1180.0,
        "sprung_cg": [1.38, 0.0, 0.54],
        "axle_mass": 150.0,
        "axle_cg": [0.015, 0.0, 0.335],
        "design_axle_height": 0.33,
        "rear_track": 1.46,
        "front_track": 1.49,
        "front_hub_height": 0.31,
        "front_rate": 26000.0,
        "front_free_height": 0.427,
        "tyre_rate": 220000.0,
        "tyre_free_radius": 0.3465,
        "final_drive": 3.9,
        "differential": "open",
        "driveshaft_torque": 1,
    }
    ends = [
        ([0.64, 0.41, 0.228], [0.02, 0.41, 0.2]),
        ([0.64, -0.41, 0.228], [0.02, -0.41, 0.2]),
        ([0.58, 0.4, 0.355], [0.01, 0.4, 0.465]),
        ([0.58, -0.4, 0.355], [0.01, -0.4, 0.465]),
        ([-0.15, -0.37, 0.33], [-0.15, 0.36, 0.33]),
    ]
    rods = [{"a": a, "b": b, "length": None, "stiffness": 3.5e7} for a, b in ends]
    coilovers = [
        {"a": [-0.08, 0.43 * s, 0.62], "b": [-0.11, 0.48 * s, 0.25], "rate": 34000.0, "free_length": 0.456}
        for s in (1, -1)
    ]
    return Car(car, rods, coilovers, STANDARD_GRAVITY)


def bench_times(repeats):
    """(name of the bench, what solved it here, seconds)."""
    out = []
    square, bound = bench_linkage(0.0), bench_linkage(0.025)
    start, z = warm_step(square)
    held = {Z: z, PHI: 0.0}
    name = "warm position solve, 5 rods, no bind"
    model = MujocoLinkage(square)
    pose = square.position(start, held)
    for how in (model.position, model.relax):
        apart = np.abs(how(start, z, 0.0) - pose).max()
        if not apart <= 1e-9:
            raise AssertionError(f"MuJoCo and scipy are {apart:.3e} apart on the benched linkage")
    out.append((name, "scipy least_squares", median_time(lambda: square.position(start, held), repeats)))
    out.append(
        (name, "MuJoCo constraints, Newton", median_time(lambda: model.position(start, z, 0.0), repeats))
    )
    out.append((name, "MuJoCo time stepping", median_time(lambda: model.relax(start, z, 0.0), repeats)))
    bound_start, bound_z = warm_step(bound)
    bound_held = {Z: bound_z, PHI: 0.0}
    name = "warm position solve, 5 rods, bind"
    seconds = median_time(lambda: bound.position(bound_start, bound_held, finish=False), repeats)
    out.append((name, "scipy least_squares alone", seconds))
    seconds = median_time(lambda: bound.position(bound_start, bound_held), repeats)
    out.append((name, "scipy least_squares, root", seconds))
    name = "velocity solve, 5 rods"
    rates = {Z: 1.0, PHI: 0.0}
    out.append((name, "numpy lstsq", median_time(lambda: square.twist(start, rates), repeats)))
    out.append(
        (name, "MuJoCo constraints (heave and roll)", median_time(lambda: model.twists(start), repeats))
    )

    car, g = bench_car(), STANDARD_GRAVITY
    near = car.balance(car.balance(car.drawn, 0.0), 0.48 * g)
    there = car.balance(near, 0.5 * g)
    s = car.state(there, 0.5 * g)
    if abs(s.front_load.sum() + s.rear_load.sum() - car.weight) > 1e-6 * car.weight:
        raise AssertionError("the tyres of the benched car do not carry its weight")
    # The lateral rod alone moves load by less than a newton.
    if not s.rear_load[0] > s.rear_load[1] + 10.0:
        raise AssertionError("driveshaft torque does not load the left rear tyre")
    name = "warm balance: 0.48 g to 0.5 g"
    out.append((name, "scipy root", median_time(lambda: car.balance(near, 0.5 * g), repeats)))

    def cold():
        fresh = bench_car()
        return fresh.balance(fresh.balance(fresh.drawn, 0.0), 0.5 * g)

    name = "cold: settle from the drawing and balance at 0.5 g"
    out.append((name, "scipy root", median_time(cold, max(3, repeats // 4))))
    return out


def criterion_medians(folder):
    """Median seconds by the full name of the bench."""
    out = {}
    for described in folder.glob("*/new/benchmark.json"):
        estimates = described.with_name("estimates.json")
        if estimates.exists():
            name = json.loads(described.read_text())["full_id"]
            out[name] = json.loads(estimates.read_text())["median"]["point_estimate"] * 1e-9
    return out


def shown(seconds):
    return f"{seconds * 1e6:.2f} µs" if seconds < 1e-3 else f"{seconds * 1e3:.2f} ms"


def table(head, rows):
    cells = [head, *rows]
    widths = [max(len(row[i]) for row in cells) for i in range(len(head))]
    lines = [
        "| " + " | ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)) + " |" for row in cells
    ]
    lines.insert(1, "|" + "|".join("-" * (w + 2) for w in widths) + "|")
    print("\n".join(lines))


def main():
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--reference", type=Path, default=HERE.parent / "reference", help="folder of cases")
    ask.add_argument(
        "--criterion",
        type=Path,
        default=HERE.parent.parent / "target" / "criterion",
        help="folder with the estimates of cargo bench",
    )
    ask.add_argument("--repeats", type=int, default=300, help="solves per median")
    args = ask.parse_args()

    print(
        f"Python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}, "
        f"MuJoCo {mujoco.__version__}\n"
    )
    rows, failures = [], []

    def add(case, what, report, solve, repeats):
        largest = ", ".join(f"{d:.1e} {unit}" for unit, d in report.largest.items() if unit != "g")
        worst = f"{report.worst:.1e} ({report.worst_field})"
        time_ = shown(median_time(solve, repeats))
        rows.append([case["id"], what, str(report.count), largest, worst, time_])
        failures.extend(f"{case['id']}, {what}: {line}" for line in report.failures)

    for case_id in POSITION_CASES:
        case = load(args.reference, case_id)
        linkage = linkage_of(case)
        start, z = warm_step(linkage)
        held = {Z: z, PHI: 0.0}
        report = position_case(case)
        binds = any(row["bind_max"] > 1e-12 for row in case["expected"]["rows"])
        what = "scipy least_squares, root where rods bind" if binds else "scipy least_squares"
        add(case, what, report, lambda: linkage.position(start, held), args.repeats)
        if case_id in MUJOCO_CASES:
            model = MujocoLinkage(linkage)
            report = mujoco_case(case, "position")
            add(
                case,
                "MuJoCo constraints, Newton",
                report,
                lambda: model.position(start, z, 0.0),
                args.repeats,
            )
            report = mujoco_case(case, "relax")
            add(case, "MuJoCo time stepping", report, lambda: model.relax(start, z, 0.0), args.repeats)
    for case_id in LAUNCH_CASES:
        case = load(args.reference, case_id)
        car = Car(case["car"], case["rods"], case["coilovers"], case["gravity"])
        near = car.balance(car.balance(car.drawn, 0.0), 0.48 * car.g)
        report = launch_case(case)
        add(case, "scipy root", report, lambda: car.balance(near, 0.5 * car.g), args.repeats)

    print("Agreement with the expected answers; time: a warm step of 1 mm, or of 0.48 to 0.5 g\n")
    table(["case", "solved with", "values", "largest difference", "worst share of tolerance", "time"], rows)

    own = criterion_medians(args.criterion)
    timed = []
    for name, what, seconds in bench_times(args.repeats):
        ours = own.get(name)
        here = "not measured" if ours is None else shown(ours)
        timed.append([name, what, shown(seconds), here, "" if ours is None else f"{seconds / ours:.0f}"])
    print("\nTimes on the inputs of this project's benches (medians)\n")
    table(["bench", "solved with", "time", "this project", "ratio"], timed)
    if any(row[3] == "not measured" for row in timed):
        print("\nFor this project's own times run cargo bench -p geometry -p vehicle first.")

    if failures:
        print(f"\n{len(failures)} differences beyond tolerance:", file=sys.stderr)
        print("\n".join(failures), file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
