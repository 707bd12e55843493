"""Random space frames solved by PyNite and by scipy's sparse solver, and times beside this project's own.

    env/bin/python tests/oracles/frames.py             check the two against each other, print times
    env/bin/python tests/oracles/frames.py --write     also write crates/structure/tests/fixtures/frames.json

Beam: Przemieniecki, Theory of Matrix Structural Analysis (1968), 12 x 12 with shear; pinned ends by static condensation;
rigid links by a transformation matrix; supports by striking rows. Local x from i to j, z = up (e_z, or e_x within 10 deg of
vertical) made perpendicular and turned by roll about x, y = z x x. PyNite has no shear deformation and other section axes:
it answers the frames of round tubes without shear and links.
"""

import json
import pathlib
import sys
import time

import numpy as np
import scipy.sparse as sp
import scipy.sparse.linalg as spla

E, G = 200e9, 77e9
FIXTURE = pathlib.Path(__file__).resolve().parents[2] / "crates/structure/tests/fixtures/frames.json"


def axes(p, q, roll):
    x = (q - p) / np.linalg.norm(q - p)
    up = np.array([1.0, 0, 0]) if abs(x[2]) > np.cos(np.radians(10)) else np.array([0, 0, 1.0])
    z = up - x * (x @ up)
    z /= np.linalg.norm(z)
    z = z * np.cos(roll) + np.cross(x, z) * np.sin(roll)
    return np.array([x, np.cross(z, x), z])


def local_stiffness(length, s, shear, pins):
    a, iy, iz, j, asy, asz = s
    k = np.zeros((12, 12))
    for dof, value in ((0, E * a / length), (3, G * j / length)):
        k[dof, dof] = k[dof + 6, dof + 6] = value
        k[dof, dof + 6] = k[dof + 6, dof] = -value
    for i, area, (v, t), sign in ((iz, asy, (1, 5), 1.0), (iy, asz, (2, 4), -1.0)):
        phi = 12 * E * i / (G * area * length**2) if shear else 0.0
        c = E * i / (length**3 * (1 + phi))
        m = c * np.array([
            [12, 6 * length, -12, 6 * length],
            [6 * length, (4 + phi) * length**2, -6 * length, (2 - phi) * length**2],
            [-12, -6 * length, 12, -6 * length],
            [6 * length, (2 - phi) * length**2, -6 * length, (4 + phi) * length**2],
        ])
        flip = np.diag([1, sign, 1, sign])
        index = np.array([v, t, v + 6, t + 6])
        k[np.ix_(index, index)] += flip @ m @ flip
    out = {"none": [], "i": [3, 4, 5], "j": [9, 10, 11], "both": [3, 4, 5, 9, 10, 11]}[pins]
    if out:
        keep = [d for d in range(12) if d not in out]
        red = k[np.ix_(keep, keep)] - k[np.ix_(keep, out)] @ np.linalg.pinv(k[np.ix_(out, out)]) @ k[np.ix_(out, keep)]
        k = np.zeros((12, 12))
        k[np.ix_(keep, keep)] = red
    return k


def assemble(f):
    nodes = np.array(f["nodes"])
    rows, cols, values = [], [], []
    for m in f["members"]:
        i, j = m["i"], m["j"]
        r = np.kron(np.eye(4), axes(nodes[i], nodes[j], m["roll"]))
        k = local_stiffness(np.linalg.norm(nodes[j] - nodes[i]), m["section"], f["shear"], m["pins"])
        k = r.T @ k @ r
        index = np.r_[6 * i:6 * i + 6, 6 * j:6 * j + 6]
        rows.append(np.repeat(index, 12))
        cols.append(np.tile(index, 12))
        values.append(k.ravel())
    n = 6 * len(nodes)
    return sp.csc_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(cols))), shape=(n, n))


def reduced(f, k):
    """Stiffness on the unknowns and the matrix that carries them to all freedoms."""
    nodes = np.array(f["nodes"])
    n = 6 * len(nodes)
    master = {s: m for s, m in f["links"]}
    t = sp.lil_matrix((n, n))
    for node in range(len(nodes)):
        root = node
        while root in master:
            root = master[root]
        t[6 * node:6 * node + 6, 6 * root:6 * root + 6] = np.eye(6)
        if root != node:
            a = nodes[node] - nodes[root]
            t[6 * node:6 * node + 3, 6 * root + 3:6 * root + 6] = np.array(
                [[0, a[2], -a[1]], [-a[2], 0, a[0]], [a[1], -a[0], 0]])
    t = t.tocsc()
    kr = (t.T @ k @ t).tocsc()
    held = {6 * node + k for node, letters in f["supports"] for k, c in enumerate("xyzabc") if c in letters}
    diagonal = kr.diagonal()
    # Turns where only pinned ends meet have no stiffness.
    free = [d for d in range(n) if d not in held and diagonal[d] > 1e-6 and d // 6 not in master]
    return kr[free][:, free].tocsc(), t[:, free]


def load_vector(f):
    out = np.zeros(6 * len(f["nodes"]))
    for node, values in f["loads"]:
        out[6 * node:6 * node + 6] += values
    return out


def solve(f):
    kr, t = reduced(f, assemble(f))
    load = t.T @ load_vector(f)
    lu = spla.splu(kr)
    x = lu.solve(load)
    for _ in range(3):
        x += lu.solve(load - kr @ x)
    return (t @ x).reshape(-1, 6)


def pynite(f):
    from Pynite import FEModel3D
    model = FEModel3D()
    model.add_material("steel", E, G, 0.3, 7850.0)
    for n, p in enumerate(f["nodes"]):
        model.add_node(f"N{n}", *p)
    for n, m in enumerate(f["members"]):
        a, iy, iz, j = m["section"][:4]
        model.add_section(f"S{n}", a, iy, iz, j)
        model.add_member(f"M{n}", f"N{m['i']}", f"N{m['j']}", "steel", f"S{n}")
    for node, letters in f["supports"]:
        model.def_support(f"N{node}", *[c in letters for c in "xyzabc"])
    for node, values in f["loads"]:
        for direction, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), values):
            model.add_node_load(f"N{node}", direction, float(value))
    model.analyze_linear()
    name = list(model.load_combos)[0]
    return np.array([[getattr(model.nodes[f"N{n}"], d)[name] for d in ("DX", "DY", "DZ", "RX", "RY", "RZ")]
                     for n in range(len(f["nodes"]))])


def round_tube(od, wall):
    r, ri = od / 2, od / 2 - wall
    m2 = (ri / r)**2
    kappa = 6 * 1.3 * (1 + m2)**2 / (8.8 * (1 + m2)**2 + 23.6 * m2)
    a, i = np.pi * (r * r - ri * ri), np.pi / 4 * (r**4 - ri**4)
    return [a, i, i, 2 * i, kappa * a, kappa * a]


def random_frame(seed, plain):
    rng = np.random.default_rng(seed)
    stations = int(rng.integers(3, 6))
    nodes = [[0.6 * s + rng.uniform(-.1, .1), y + rng.uniform(-.1, .1), z + rng.uniform(-.1, .1)]
             for s in range(stations) for y, z in ((.4, .2), (-.4, .2), (-.3, .8), (.3, .8))]
    members, seen = [], set()

    def add(i, j, pins="none"):
        if i == j or (min(i, j), max(i, j)) in seen:
            return
        seen.add((min(i, j), max(i, j)))
        s = round_tube(rng.uniform(.03, .06), rng.uniform(.0015, .004))
        roll = 0.0
        if not plain:
            s = [v * rng.uniform(.5, 2.0) for v in s]
            roll = float(rng.uniform(-3, 3))
        members.append({"i": int(i), "j": int(j), "section": s, "roll": roll, "pins": pins})

    for s in range(stations):
        for k in range(4):
            add(4 * s + k, 4 * s + (k + 1) % 4)
            if s + 1 < stations:
                add(4 * s + k, 4 * s + 4 + k)
    for _ in range(stations * 2):
        add(rng.integers(4 * stations), rng.integers(4 * stations),
            "none" if plain else str(rng.choice(["none", "i", "j", "both"])))
    links = []
    if not plain:
        for _ in range(2):
            m = int(rng.integers(len(nodes)))
            links.append([len(nodes), m])
            nodes.append([float(c + rng.uniform(-.2, .2)) for c in nodes[m]])
    loads = [[int(rng.integers(8, len(nodes))), [float(v) for v in rng.uniform(-500, 500, 6)]] for _ in range(3)]
    return {"nodes": [[float(c) for c in p] for p in nodes], "members": members, "links": links,
            "supports": [[0, "xyzb"], [1, "xz"]] if seed % 2 else [[0, "xyzabc"], [5, "xz"]],
            "loads": loads, "shear": not plain}


def box_frame(stations, pieces):
    """The frame of the project's benches."""
    nodes = [[.5 * s, y, z] for s in range(stations) for y, z in ((.4, .2), (-.4, .2), (-.35, .7), (.35, .7))]
    ends = []
    for s in range(stations):
        for k in range(4):
            ends.append((4 * s + k, 4 * s + (k + 1) % 4))
            if s + 1 < stations:
                ends += [(4 * s + k, 4 * s + 4 + k), (4 * s + k, 4 * s + 4 + (k + 1) % 4)]
    members = []
    for i, j in ends:
        p, q, last = np.array(nodes[i]), np.array(nodes[j]), i
        for piece in range(1, pieces + 1):
            new = j
            if piece < pieces:
                nodes.append(list(p + (q - p) * piece / pieces))
                new = len(nodes) - 1
            members.append({"i": last, "j": new, "section": round_tube(.04445, .003), "roll": 0.0, "pins": "none"})
            last = new
    at = 4 * (stations - 1)
    return {"nodes": [[float(c) for c in p] for p in nodes], "members": members, "links": [],
            "supports": [[0, "xyzb"], [1, "xz"]],
            "loads": [[at, [0, 0, 1.25, 0, 0, 0]], [at + 1, [0, 0, -1.25, 0, 0, 0]]], "shear": False}


def difference(a, b):
    return max(np.abs(a[:, k] - b[:, k]).max() / np.abs(b[:, k]).max() for k in (slice(0, 3), slice(3, 6)))


def main():
    worst, out = 0.0, []
    for seed in range(8):
        f = random_frame(seed, plain=seed < 3)
        f["displacements"] = solve(f).tolist()
        if seed < 3:
            worst = max(worst, difference(pynite(f), np.array(f["displacements"])))
        out.append(f)
    print(f"PyNite and scipy differ by at most {worst:.1e} of the largest displacement")
    assert worst < 1e-8
    if "--write" in sys.argv:
        FIXTURE.parent.mkdir(exist_ok=True)
        FIXTURE.write_text(json.dumps(out, separators=(",", ":")) + "\n")
    for stations in (5, 20):
        f = box_frame(stations, 7)
        kr, t = reduced(f, assemble(f))
        load = t.T @ load_vector(f)
        times = []
        for _ in range(7):
            begin = time.perf_counter()
            x = spla.splu(kr, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0,
                          options={"SymmetricMode": True}).solve(load)
            times.append(time.perf_counter() - begin)
        u = t @ x
        at = 4 * (stations - 1)
        stiffness = 1.0 / ((u[6 * at + 2] - u[6 * at + 8]) / .8)
        begin = time.perf_counter()
        d = pynite(f)
        took = time.perf_counter() - begin
        print(f"{len(f['nodes'])} nodes: twist {stiffness:.6f} N m/rad (no shear); scipy solve alone "
              f"{1e3 * np.median(times):.1f} ms; PyNite {1e3 * took:.0f} ms, difference "
              f"{difference(d, u.reshape(-1, 6)):.1e}")


if __name__ == "__main__":
    main()
