"""What welding does to the control dimensions of a sample, in numpy and scipy.

Written from the formulas, not from the Rust sources. SI; x ahead, y left, z up. A branch of outside radius r
ends on a main of outside radius R, axes intersecting or e apart:

    u   unit, from the joint along the branch; m unit along the main, m.u >= 0; cos alpha = m.u
    t   m made perpendicular to u; w = u x t; phi' about u from t
    y = r sin phi' - e, q = sqrt(R^2 - y^2), s = (q + r cos phi' cos alpha)/sin alpha
    root curve X = r cos phi' t + r sin phi' w + s u
    dihedral angle Psi = arccos((q cos alpha cos phi' - y sin phi')/R)
    leg here: the leg D the fit-up rule asks for at this gap g, times min(1.5, max(1, 1/(sqrt 2 cos(Psi/2))))
    metal A = max(leg^2 sin(Psi)/2, t_branch D/2) + 2/3 b h + g t_branch/2, b = 2 leg sin(Psi/2), h = b/20
    V = ring integral of A |X'|

Pull-in of the branch: 0.05 V/(length t), 0.10 V/(length t) + 0.05 mean gap (Blodgett; Spraragen & Ettinger, both
for half the metal) and 0.8 mm, times the restraint. Kink of the main: 0.04 ring integral A (q, y) |X'| / I
(Blodgett's shrinkage force) and, where that force passes first yield, the kink at first yield; geometric mean of
the two. The force acts at one point of the ring, so yield holds back both components of the kink alike. A control
dimension sums the parts along its way; factors per kind of weld are learned by the conjugate normal, inverse-gamma
update (West & Harrison). That ISO 5817 asks for no larger leg was settled after a first comparison with the program.

    python tests/oracles/welds.py [--parts] [sample.ron ...]
"""

import re
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.stats import t as student

E = 200e9
INCH = 0.0254
YIELD = {"1018": 54e3, "1020 DOM": 60e3, "4130": 60e3}  # psi
PSI = 6894.757293168361
HELD = {"Free": (1, 1, 1), "Tacked": (0.75, 0.85, 1), "Fixtured": (0.4, 0.6, 0.85)}
READING_SD = 0.1e-3  # trammel
THICK, WIDEN = 5e-3, 1.5
KINDS = [(kind, thin) for kind in ("butt", "tee", "lap", "cope", "kink") for thin in (False, True)]

# The tubes each dimension runs along, and the joints where it changes tube.
WAYS = {
    "towers": ["tower_l", "C1", "crossmember", "C2", "tower_r"],
    "rails": ["rail_l", "C9", "crossmember", "C10", "rail_r"],
    "square_l": ["tower_l", "C1", "crossmember", "C10", "rail_r"],
    "square_r": ["tower_r", "C2", "crossmember", "C9", "rail_l"],
    "tabs_front": ["side_l", "S1", "cross_f", "S2", "side_r"],
    "tabs_rear": ["side_l", "S3", "cross_r", "S4", "side_r"],
}


# ---------------------------------------------------------------- reading a sample
TOKEN = re.compile(r'\s+|//[^\n]*|("(?:[^"\\]|\\.)*"|[A-Za-z_]\w*|-?\d+(?:\.\d+)?|[()\[\]:,])')


def read(text):
    """Nested dicts and lists. A named value is {"is": name, ...} or {"is": name, "args": [...]}."""
    tokens = [m.group(1) for m in TOKEN.finditer(text) if m.group(1)]
    at = 0

    def value():
        nonlocal at
        token = tokens[at]
        at += 1
        if token[0] == '"':
            return token[1:-1]
        if token == "[":
            return body("]")["args"]
        if token == "(":
            return body(")")
        if re.match(r"-?\d", token):
            return float(token)
        if token in ("true", "false"):
            return token == "true"
        if at < len(tokens) and tokens[at] == "(":
            at += 1
            return {"is": token, **body(")")}
        return {"is": token}

    def body(close):
        nonlocal at
        out, args = {}, []
        while tokens[at] != close:
            if tokens[at + 1] == ":":
                name = tokens[at]
                at += 2
                out[name] = value()
            else:
                args.append(value())
            if tokens[at] == ",":
                at += 1
        at += 1
        if args or close == "]" or not out:
            out["args"] = args
        return out

    return value()


def length(text):
    """Metres from "27 5/8 in", "-6 in", "1.65 mm"."""
    number, unit = text.rsplit(" ", 1)
    negative = number.startswith("-")
    total = 0.0
    for part in number.lstrip("-").split():
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom or 1)
    return (-total if negative else total) * {"in": INCH, "mm": 1e-3}[unit]


def unit(v):
    return v / np.linalg.norm(v)


def perpendicular(v, axis):
    return v - (v @ axis) * axis


# ---------------------------------------------------------------- tubes
class Tube:
    def __init__(self, raw, nodes):
        self.a, self.b = nodes[raw["from"]], nodes[raw["to"]]
        self.d = unit(self.b - self.a)
        self.material = raw["material"]
        section = raw["section"]
        self.round = section["is"] == "Round"
        self.wall = length(section["wall"])
        if self.round:
            self.radius = length(section["outside"]) / 2
            self.area, self.inertia = ring(self.radius, self.wall)
        up = np.array([0.0, 0, 1])
        if abs(self.d @ up) > np.cos(np.radians(10)):
            up = np.array([1.0, 0, 0])
        self.e1 = unit(perpendicular(up, self.d))
        self.e2 = np.cross(self.d, self.e1)

    def along(self, point):
        return (point - self.a) @ self.d


def ring(radius, wall):
    inner = radius - wall
    return np.pi * (radius**2 - inner**2), np.pi / 4 * (radius**4 - inner**4)


def clock_gap(readings):
    """Gap at an angle from 12 o'clock (radians, array), linear between the readings, and the angles read."""
    if not readings:
        return (lambda angle: np.zeros_like(angle)), []
    hours = np.array([r["clock"] % 12 for r in readings])
    gaps = np.array([length(r["gap"]) for r in readings])
    return (lambda angle: np.interp(angle * 6 / np.pi, hours, gaps, period=12)), hours * np.pi / 6


def required_leg(rule, leg, gap):
    """AWS D1.1: the gap is added above 1/16 in; ISO 5817 allows a gap or not. None here is past its limit."""
    if rule == "AwsD11":
        assert np.all(gap <= 3 / 16 * INCH + 1e-9)
        return np.where(gap <= INCH / 16 + 1e-9, leg, leg + gap)
    assert rule == "Iso5817C"
    assert np.all(gap * 1e3 <= min(1e-6 + 0.5 + 0.2 * leg * 1e3 / np.sqrt(2), 3))
    return np.full_like(gap, leg)


def convexity(width):
    return 2 / 3 * width * 0.05 * width


@dataclass
class Band:
    low: float
    point: float
    high: float
    thin: bool


def band(estimates, in_range, restraint=(1, 1, 1)):
    """Estimates in range if there is one, else all of them, widened."""
    used = [e for e, ok in zip(estimates, in_range, strict=True) if ok] or estimates
    thin = not any(in_range)
    low, high = min(used), max(used)
    widen = WIDEN if thin else 1.0
    return Band(
        low / widen * restraint[0], np.sqrt(low * high) * restraint[1], high * widen * restraint[2], thin
    )


GAUSS = np.polynomial.legendre.leggauss(10)


def ring_points(breaks, panels=1500):
    """Points and weights once round, no panel across a break."""
    edges = np.unique(np.concatenate([np.linspace(0, 2 * np.pi, 4 * panels + 1), np.mod(breaks, 2 * np.pi)]))
    edges = edges[np.concatenate([[True], np.diff(edges) > 1e-12])]
    mid, half = (edges[1:] + edges[:-1]) / 2, (edges[1:] - edges[:-1]) / 2
    return (mid[:, None] + half[:, None] * GAUSS[0]).ravel(), (half[:, None] * GAUSS[1]).ravel()


# ---------------------------------------------------------------- joints
class Cope:
    """A round branch coped onto a round main."""

    kind = "cope"

    def __init__(self, raw, rule, r, main_radius, u, m, origin=None, offset=0.0, clock=None):
        self.u = u
        m = m if m @ u >= 0 else -m
        self.m, self.r, big = m, r, main_radius
        cos = m @ u
        sin = np.sqrt(1 - cos**2)
        t = unit(perpendicular(m, u))
        w = np.cross(u, t)
        self.t, self.w, self.origin = t, w, origin
        self.wall, leg = length(raw["wall"]), length(raw["leg"])
        gap_at, read_at = clock_gap(raw.get("gaps", []))
        clock = clock or (lambda direction: np.arctan2(direction @ w, direction @ t))
        # phi' of the readings: the clock is phi' turned, either way round.
        zero = clock(t[None, :])[0]
        sense = np.sign(np.sin(clock((np.cos(1) * t + np.sin(1) * w)[None, :])[0] - zero))
        p, weight = ring_points([sense * (h - zero) for h in read_at])
        c, s = np.cos(p), np.sin(p)
        gap = gap_at(zero + sense * p)
        y = r * s - offset
        q = np.sqrt(np.maximum(big**2 - y**2, 0))
        slope = (-y * r * c / q - r * s * cos) / sin
        arc = np.sqrt(r**2 + slope**2)
        psi = np.arccos(np.clip(-(y * s - q * cos * c) / big, -1, 1))
        asked = required_leg(rule, leg, gap)
        grown = asked * np.clip(1 / (np.sqrt(2) * np.cos(psi / 2)), 1, 1.5)
        metal = np.maximum(grown**2 * np.sin(psi) / 2, self.wall * asked / 2)
        metal = metal + convexity(2 * grown * np.sin(psi / 2)) + gap * self.wall / 2

        def ring_sum(f):
            return float(np.sum(weight * f))

        self.volume = ring_sum(metal * arc)
        self.length = ring_sum(arc)
        self.gap = ring_sum(gap * arc) / self.length
        self.first = ring_sum(metal * q * arc), ring_sum(metal * y * arc)
        area = self.volume / self.length
        thick = self.wall >= THICK
        self.pull = band(
            [0.05 * area / self.wall, 0.10 * area / self.wall + 0.05 * self.gap, 0.8e-3],
            [thick, thick, thick and leg <= 0.75 * self.wall],
            HELD[raw["held"]["is"]],
        )
        scale = 2 / r * self.pull.point / ring_sum(metal)
        self.lean = scale * ring_sum(metal * c), scale * ring_sum(metal * s)
        self.sin = sin

    def bend(self, main):
        """The main's kink; `side` is its part toward w, scaled like the point where yield limits it."""
        plain = 0.04 * self.first[0] / main.inertia
        lever = self.first[0] / self.volume
        footprint = 2 * self.r / self.sin
        force = 0.04 * E * self.volume / footprint
        limit = YIELD[main.material] * PSI / (1 / main.area + lever**2 / main.inertia)
        self.limited = limit * footprint * lever / (E * main.inertia)
        inside = force <= limit
        self.kink = band([plain], [True]) if inside else band([plain, self.limited], [False, False])
        self.plain = plain
        self.side_by_metal = 0.04 * self.first[1] / main.inertia
        self.side = self.side_by_metal * self.kink.point / plain
        self.shortening = 0.04 * self.volume / main.area
        # The main turns toward the bead: about (along the main) x (this).
        over = self.sin * self.u - (self.m @ self.u) * self.t
        self.toward = self.kink.point * over + self.side * self.w


class TeeAllRound:
    """A round tube on the flat of a rectangular one, one fillet all round."""

    kind = "tee"

    def __init__(self, raw, rule, tube, main):
        self.wall, leg = tube.wall, length(raw["leg"])
        along = abs(tube.d @ main.d)  # sine of the slope
        p, weight = ring_points([])
        arc = tube.radius * np.sqrt(np.sin(p) ** 2 / (1 - along**2) + np.cos(p) ** 2)
        assert along < 1e-9, "a sloping tube needs the clock's place on the ellipse"
        gap = clock_gap(raw["gaps"])[0](p)
        asked = required_leg(rule, leg, gap)
        metal = asked**2 / 2 + convexity(np.sqrt(2) * asked) + gap * self.wall / 2
        self.length = float(np.sum(weight * arc))
        self.volume = float(np.sum(weight * arc * metal))
        self.gap = float(np.sum(weight * arc * gap)) / self.length
        area = self.volume / self.length
        thick = self.wall >= THICK
        self.pull = band(
            [0.05 * area / self.wall, 0.10 * area / self.wall + 0.05 * self.gap],
            [thick] * 2,
            HELD[raw["held"]["is"]],
        )


def common_foot(branch, main, near):
    """Foot of the common perpendicular on the main's axis; on the flat of a box: the end's place along it."""
    if not main.round:
        return main.a + main.along(near) * main.d
    across = np.cross(branch.d, main.d)
    solved = np.linalg.solve(np.stack([branch.d, -main.d, across], axis=1), main.a - branch.a)
    return main.a + solved[1] * main.d


# ---------------------------------------------------------------- factors
class Factors:
    def __init__(self):
        sd = np.array(
            [(0.7 if thin else 0.5) if kind == "kink" else (0.525 if thin else 0.35) for kind, thin in KINDS]
        )
        self.f = np.ones(len(KINDS))
        self.p = np.outer(sd, sd) * (0.5 + 0.5 * np.eye(len(KINDS)))
        self.s2, self.nu = 1.0, 8.0

    def split(self, parts):
        """Sum per kind and the independent variance of [(kind, thin, c, lean)]."""
        by_kind = np.zeros(len(KINDS))
        own = 0.0
        for kind, thin, c, lean in parts:
            by_kind[KINDS.index((kind, bool(thin)))] += c
            own += (0.20 * c) ** 2 + lean**2
        return by_kind, own

    def predict(self, parts):
        by_kind, own = self.split(parts)
        m = by_kind @ self.f
        reach = student.ppf(0.95, self.nu) * np.sqrt(self.s2 * (by_kind @ self.p @ by_kind + own))
        return by_kind.sum(), m, m - reach, m + reach

    def learn(self, parts, y):
        by_kind, own = self.split(parts)
        s = by_kind @ self.p @ by_kind + own + 2 * READING_SD**2
        gain = self.p @ by_kind / s
        off = y - by_kind @ self.f
        self.f = self.f + gain * off
        self.p = self.p - np.outer(gain, gain) * s
        self.s2 = (self.nu * self.s2 + off**2 / s) / (self.nu + 1)
        self.nu += 1


# ---------------------------------------------------------------- a sample
class Sample:
    def __init__(self, path):
        raw = read(Path(path).read_text())
        self.raw = raw
        self.rule = raw["fit_up"]["rule"]["is"]
        self.nodes = {
            n["id"]: np.array([length(n["at"][k]) for k in ("station", "offset", "height")])
            for n in raw["assembly"]["nodes"]
        }
        self.tubes = {t["id"]: Tube(t, self.nodes) for t in raw["assembly"]["tubes"]}
        self.joints = {}
        for j in raw["fit_up"]["joints"]:
            if "joins" in j:
                self.joints[j["id"]] = self.joint(j)

    def joint(self, j):
        branch, main = self.tubes[j["joins"]["part"]], self.tubes[j["joins"]["onto"]]
        near = self.nodes[j["joins"]["at"]]
        at_a = np.linalg.norm(near - branch.a) < np.linalg.norm(near - branch.b)
        foot = common_foot(branch, main, near)
        if j["kind"]["is"] == "Tee":
            made = TeeAllRound(j, self.rule, branch, main)
        else:
            u = branch.d if at_a else -branch.d
            m = main.d if main.d @ u >= 0 else -main.d
            w = np.cross(u, unit(perpendicular(m, u)))
            made = Cope(
                j,
                self.rule,
                branch.radius,
                main.radius,
                u,
                m,
                offset=(foot - near) @ w,
                clock=lambda v: np.arctan2(v @ branch.e2, v @ branch.e1),
            )
            made.bend(main)
        made.branch, made.main, made.foot = branch, main, foot
        return made

    def parts(self, dimension):
        """[(kind, thin, change, lean, joint, how)] along the way of a control dimension."""
        way = WAYS[dimension["id"]]
        p, q = self.nodes[dimension["from"]], self.nodes[dimension["to"]]
        n = unit(q - p)
        found = []
        here = p
        for i, name in enumerate(way):
            if i % 2:
                continue
            tube = self.tubes[name]
            joint = self.joints[way[i + 1]] if i + 1 < len(way) else None
            off = q
            if joint is not None:
                off = joint.foot if joint.main is tube else self.end_on(joint)
            start, stop = tube.along(here), tube.along(off)
            a = tube.d * np.sign(stop - start)
            for name_on, on in self.joints.items():
                if on.main is not tube or on.kind != "cope":
                    continue
                place = tube.along(on.foot)
                at_end = min(abs(place - start), abs(place - stop)) <= 1e-4
                if not at_end and not min(start, stop) < place < max(start, stop):
                    continue
                share = 0.5 if at_end else 1.0
                turn = np.cross(a, on.toward)
                kink = share * np.cross(turn, q - on.foot) @ n
                found.append(("kink", on.kink.thin, kink, 0.0, name_on, "kinks"))
                shorter = -share * on.shortening * (a @ n)
                found.append(("cope", on.kink.thin, shorter, 0.0, name_on, "shortens"))
            if joint is None:
                break
            ending = joint.branch
            # The way runs along the ending tube toward the joint, or from it.
            along = a if ending is tube else self.away(joint)
            lean = 0.0
            if joint.kind == "cope":
                turn = joint.lean[0] * joint.w - joint.lean[1] * joint.t
                lean = np.cross(turn, q - joint.foot) @ n
            found.append(
                (joint.kind, joint.pull.thin, -joint.pull.point * (along @ n), lean, way[i + 1], "pulls in")
            )
            here = joint.foot if ending is tube else self.end_on(joint)
        return found

    @staticmethod
    def end_on(joint):
        """The branch's end at the joint."""
        ends = (joint.branch.a, joint.branch.b)
        return min(ends, key=lambda e: np.linalg.norm(e - joint.foot))

    def away(self, joint):
        """Unit along the branch, from the joint."""
        return joint.branch.d if np.allclose(self.end_on(joint), joint.branch.a) else -joint.branch.d

    def learned(self):
        factors = Factors()
        for coupon in self.raw["weld_out"].get("coupons", []):
            if not coupon["learn"]:
                continue
            y = length(coupon["after"]) - length(coupon["before"])
            test = coupon["test"]
            if test["is"] == "Joint":
                j = test["args"][0]
                assert j["tubes"]["angle"] == "90 deg"
                made = Cope(
                    j,
                    self.rule,
                    length(j["tubes"]["branch"]) / 2,
                    length(j["tubes"]["main"]) / 2,
                    np.array([0.0, 0, 1]),
                    np.array([1.0, 0, 0]),
                )
                parts = [("cope", made.pull.thin, -made.pull.point, 0.0)]
            else:
                section, bead = test["section"], test["bead"]
                r, wall = length(section["outside"]) / 2, length(section["wall"])
                _, inertia = ring(r, wall)
                laid, leg = length(bead["length"]), length(bead["leg"])
                gamma = laid / (2 * r)
                volume = np.sqrt(0.04 * 0.17) * leg**2 / 2 * laid
                kink = volume * r * np.sin(gamma) / gamma / inertia
                parts = [("kink", wall < THICK, kink * length(test["arm"]), 0.0)]
            factors.learn(parts, y)
        return factors


def show(path, detail=False):
    sample = Sample(path)
    print(f"\n{Path(path).name}")
    print("joint  volume m3  seam m  mean gap m  pull-in low point high m")
    for name, j in sample.joints.items():
        p = j.pull
        print(
            f"{name:5} {j.volume:.10e} {j.length:.10e} {j.gap:.10e}"
            f"  {p.low:.10e} {p.point:.10e} {p.high:.10e}  {j.kind}"
        )
    print(
        "joint  main kink: plain, at first yield, low, point, high, side by the metal, side rad;"
        " lean toward t, w rad"
    )
    for name, j in sample.joints.items():
        if j.kind == "cope":
            k = j.kink
            print(
                f"{name:5} {j.plain:.10e} {j.limited:.10e}  {k.low:.10e} {k.point:.10e} {k.high:.10e}"
                f" {j.side_by_metal:.10e} {j.side:.10e}"
                f"  {j.lean[0]:.10e} {j.lean[1]:.10e} {'thin' if k.thin else ''}"
            )
    factors = sample.learned()
    print(f"factors after {factors.nu - 8:.0f} coupons: s2 {factors.s2:.12g}, nu {factors.nu:.0f}")
    for (kind, thin), f, var in zip(KINDS, factors.f, np.diag(factors.p), strict=True):
        reach = student.ppf(0.95, factors.nu) * np.sqrt(factors.s2 * var)
        print(
            f"  {kind:5}{'thin' if thin else '    '} {f:.10e}, 90 % from {f - reach:.10e} to {f + reach:.10e}"
        )
    print("dimension  unfactored, m, low, high m")
    for d in sample.raw["weld_out"]["dimensions"]:
        parts = sample.parts(d)
        print(f"{d['id']:11}", *(f"{v:.10e}" for v in factors.predict([x[:4] for x in parts])))
        if detail:
            for kind, thin, c, lean, where, how in parts:
                print(
                    f"    {where:4} {how:8} {kind:5}{'thin' if thin else '    '} {c: .10e} lean {lean: .10e}"
                )


if __name__ == "__main__":
    names = [a for a in sys.argv[1:] if a != "--parts"]
    root = Path(__file__).parents[2] / "samples"
    for each in names or [root / "redshank.ron", root / "whimbrel.ron"]:
        show(each, "--parts" in sys.argv)
