"""The same axle on rods as a MuJoCo model.

One body hangs on three slides and three hinges (z, x, y: each turned by the ones before it, so that
the joint angles are psi, phi, theta). Every rod is a spatial tendon between a site of the world and a
site of the body, held at its drawn length by an equality constraint: that is a distance constraint
without the masses, inertias and spin that a rod modelled as a body on two ball joints would add. Height
and roll are held by joint equality constraints. Only for rods that allow the motion: MuJoCo's constraints
are soft, and where rods fight each other the stretch is shared by its own regularisation, not by the
rods' stiffness.
"""

import mujoco
import numpy as np

# Places of (x, y, z, phi, theta, psi) among the joints.
ORDER = [0, 1, 2, 4, 5, 3]


class MujocoLinkage:
    def __init__(self, linkage):
        as_drawn = np.abs(linkage.stretch(linkage.drawn)).max()
        if as_drawn > 1e-12:
            raise ValueError("tendons take their lengths from the drawing; these rods differ from it")

        def text(point):
            return " ".join(repr(float(c)) for c in point)

        n = len(linkage.length)
        frame = "".join(f'<site name="a{i}" pos="{text(linkage.frame[i])}"/>' for i in range(n))
        housing = "".join(f'<site name="b{i}" pos="{text(linkage.housing[i])}"/>' for i in range(n))
        tendons = "".join(
            f'<spatial name="rod{i}"><site site="a{i}"/><site site="b{i}"/></spatial>' for i in range(n)
        )
        rods = "".join(f'<tendon tendon1="rod{i}"/>' for i in range(n))
        joints = "".join(
            f'<joint name="{name}" type="{kind}" axis="{axis}"/>'
            for name, kind, axis in [
                ("x", "slide", "1 0 0"),
                ("y", "slide", "0 1 0"),
                ("z", "slide", "0 0 1"),
                ("psi", "hinge", "0 0 1"),
                ("phi", "hinge", "1 0 0"),
                ("theta", "hinge", "0 1 0"),
            ]
        )
        # The time constant of a constraint may not be shorter than two steps.
        self.model = mujoco.MjModel.from_xml_string(
            f"""<mujoco>
            <option timestep="0.01" gravity="0 0 0" jacobian="dense" tolerance="1e-15"/>
            <default><equality solref="0.02 1"/></default>
            <worldbody>{frame}
              <body name="axle" pos="{text(linkage.drawn[:3])}">
                <inertial pos="0 0 0" mass="1" diaginertia="0.1 0.1 0.1"/>{joints}{housing}
              </body>
            </worldbody>
            <tendon>{tendons}</tendon>
            <equality><joint joint1="z"/><joint joint1="phi"/>{rods}</equality>
            </mujoco>"""
        )
        self.data = mujoco.MjData(self.model)
        self.drawn = linkage.drawn
        self.body = self.model.body("axle").id

    def _hold(self, start, z, phi):
        # Joint coordinates are counted from the drawn pose.
        self.data.qpos[ORDER] = start - self.drawn
        self.model.eq_data[0, 0] = z - self.drawn[2]
        self.model.eq_data[1, 0] = phi

    def _pose(self):
        return self.data.qpos[ORDER] + self.drawn

    def _constraints(self):
        """Rows of MuJoCo's constraint Jacobian, the first two being z and phi, and what they miss by."""
        m, d = self.model, self.data
        mujoco.mj_kinematics(m, d)
        mujoco.mj_comPos(m, d)
        mujoco.mj_tendon(m, d)
        mujoco.mj_makeConstraint(m, d)
        return d.efc_J.reshape(d.nefc, m.nv), d.efc_pos

    def position(self, start, z, phi):
        """Newton on MuJoCo's own constraint rows and Jacobian."""
        self._hold(start, z, phi)
        for _ in range(30):
            rows, miss = self._constraints()
            step = np.linalg.lstsq(rows, -miss, rcond=1e-10)[0]
            self.data.qpos += step
            if np.abs(step).max() < 1e-12:
                return self._pose()
        raise RuntimeError("MuJoCo constraints: Newton did not come to rest")

    def relax(self, start, z, phi):
        """MuJoCo's own time stepping, until the constraints have pulled the axle to rest."""
        self._hold(start, z, phi)
        d = self.data
        d.qvel[:] = 0.0
        d.qacc_warmstart[:] = 0.0
        for _ in range(60):
            mujoco.mj_step(self.model, d, nstep=10)
            if max(np.abs(d.qvel).max(), np.abs(d.efc_pos).max()) < 1e-12:
                return self._pose()
        raise RuntimeError("MuJoCo time stepping did not come to rest")

    def twists(self, q):
        """Twists (v, w) of unit heave (roll held) and unit roll (height held) at a pose."""
        self._hold(q, q[2], q[3])
        rows, _ = self._constraints()
        wanted = np.zeros((len(rows), 2))
        wanted[0, 0] = wanted[1, 1] = 1.0
        rates = np.linalg.lstsq(rows, wanted, rcond=1e-10)[0]
        missed = np.abs(rows @ rates - wanted).max()
        along, about = np.empty((3, self.model.nv)), np.empty((3, self.model.nv))
        mujoco.mj_jacBody(self.model, self.data, along, about, self.body)
        return (along @ rates).T, (about @ rates).T, missed
