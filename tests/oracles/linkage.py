"""A rigid axle on rods with spherical ends, solved with scipy.optimize.least_squares.

Frame as ISO 8855: x ahead, y left, z up; SI. The pose of the axle is q = (x, y, z, phi, theta, psi):
position of its origin and the rotation Rz(psi) Rx(phi) Ry(theta). Rod i joins a_i, fixed to the sprung
mass, to p + R b_i; its stretch is the distance of the two less its length. Some coordinates are held,
the others make the sum of weight times stretch squared least.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares, root

X, Y, Z, PHI, THETA, PSI = range(6)


def rotation(phi, theta, psi):
    """Rz(psi) Rx(phi) Ry(theta), multiplied out."""
    cp, sp = np.cos(phi), np.sin(phi)
    ct, st = np.cos(theta), np.sin(theta)
    cs, ss = np.cos(psi), np.sin(psi)
    return np.array(
        [
            [cs * ct - ss * sp * st, -ss * cp, cs * st + ss * sp * ct],
            [ss * ct + cs * sp * st, cs * cp, ss * st - cs * sp * ct],
            [-cp * st, sp, cp * ct],
        ]
    )


def turning_axes(phi, psi):
    """Columns: the axes, in sprung-mass axes, about which phi, theta and psi turn the axle."""
    cp, sp = np.cos(phi), np.sin(phi)
    cs, ss = np.cos(psi), np.sin(psi)
    return np.array([[cs, -ss * cp, 0.0], [ss, cs * cp, 0.0], [0.0, sp, 1.0]])


@dataclass(frozen=True)
class Linkage:
    frame: np.ndarray  # a_i, rows
    housing: np.ndarray  # b_i from the axle's origin, rows
    length: np.ndarray
    weight: np.ndarray  # rod stiffness over the largest; equal where none is given
    stiffness: np.ndarray | None  # N/m
    drawn: np.ndarray  # q as drawn

    @staticmethod
    def of(rods, axle_height):
        """From rods as the reference cases write them; a length of null is the drawn one."""
        drawn = np.array([0.0, 0.0, axle_height, 0.0, 0.0, 0.0])
        frame = np.array([r["a"] for r in rods], float)
        housing = np.array([r["b"] for r in rods], float) - drawn[:3]
        as_drawn = np.linalg.norm(housing + drawn[:3] - frame, axis=1)
        given = [r["length"] for r in rods]
        length = np.array([d if g is None else g for d, g in zip(as_drawn, given, strict=True)])
        stiffness = [r["stiffness"] for r in rods]
        known = None if None in stiffness else np.array(stiffness, float)
        weight = np.ones(len(rods)) if known is None else known / known.max()
        return Linkage(frame, housing, length, weight, known, drawn)

    def span(self, q):
        """Vectors from the frame end to the housing end of every rod."""
        return q[:3] + self.housing @ rotation(*q[3:]).T - self.frame

    def stretch(self, q):
        return np.sqrt((self.span(q) ** 2).sum(axis=1)) - self.length

    def jacobian(self, q):
        """d stretch / d q."""
        arm = self.housing @ rotation(*q[3:]).T
        span = q[:3] + arm - self.frame
        unit = span / np.sqrt((span**2).sum(axis=1))[:, None]
        # A turn w moves the housing end by w x arm, along the rod by (arm x unit) . w.
        lever = np.stack(
            [
                arm[:, 1] * unit[:, 2] - arm[:, 2] * unit[:, 1],
                arm[:, 2] * unit[:, 0] - arm[:, 0] * unit[:, 2],
                arm[:, 0] * unit[:, 1] - arm[:, 1] * unit[:, 0],
            ],
            axis=1,
        )
        return np.hstack([unit, lever @ turning_axes(q[PHI], q[PSI])])

    def position(self, start, held, finish=True):
        """The pose with the held coordinates ({index: value}) that stretches the rods least.

        least_squares judges by the sum of squares: where stretch remains (bind), double precision ends its
        search near 1e-9 m or rad. `finish` then brings the gradient of that sum to zero with root.
        """
        free = [i for i in range(6) if i not in held]
        q = np.array(start, float)
        for index, value in held.items():
            q[index] = value
        share = np.sqrt(self.weight)

        def residual(u):
            q[free] = u
            return share * self.stretch(q)

        def slope(u):
            q[free] = u
            return share[:, None] * self.jacobian(q)[:, free]

        # MINPACK's Levenberg-Marquardt; stops on the step, as far as double precision allows.
        found = least_squares(residual, q[free], jac=slope, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
        if not found.success:
            raise RuntimeError(f"least_squares: {found.message}")
        if finish and np.abs(found.fun).max() > 1e-12:
            found = root(
                lambda u: slope(u).T @ residual(u),
                found.x,
                method="lm",
                options={"xtol": 1e-12, "ftol": 1e-15},
            )
            if not found.success:
                raise RuntimeError(f"root: {found.message}")
        q[free] = found.x
        return q

    def twist(self, q, rates):
        """Twist (v, w) and rates of stretch while the held coordinates move at the given rates."""
        free = [i for i in range(6) if i not in rates]
        jac = self.jacobian(q)
        dq = np.zeros(6)
        for index, rate in rates.items():
            dq[index] = rate
        share = np.sqrt(self.weight)
        dq[free] = np.linalg.lstsq(share[:, None] * jac[:, free], -share * (jac @ dq), rcond=None)[0]
        return dq[:3], turning_axes(q[PHI], q[PSI]) @ dq[3:], jac @ dq
