"""A car settled at a forward acceleration, solved with scipy.optimize.root.

Nine unknowns: heave, pitch and roll of the sprung mass, u[0:3], which turns by Ry(pitch) Rx(roll) about
the datum point; and the axle's pose u[3:9] = (x, y, z, phi, theta, psi) as in linkage.py, both in
world axes. Nine balances: the sprung mass's force along z and moments about world x and y (held in x, y
and about z); the axle's force and moment. Rods and coil-overs are springs along their own line, tyres
and the front end vertical springs; tyres, front springs and coil-overs only push.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import root

from linkage import rotation


def cross(r, f):
    """Row by row; numpy's own is slower for so few rows."""
    return np.stack(
        [
            r[..., 1] * f[..., 2] - r[..., 2] * f[..., 1],
            r[..., 2] * f[..., 0] - r[..., 0] * f[..., 2],
            r[..., 0] * f[..., 1] - r[..., 1] * f[..., 0],
        ],
        axis=-1,
    )


def sprung_rotation(pitch, roll):
    """Ry(pitch) Rx(roll)."""
    cp, sp = np.cos(pitch), np.sin(pitch)
    cr, sr = np.cos(roll), np.sin(roll)
    return np.array([[cp, sp * sr, sp * cr], [0.0, cr, -sr], [-sp, cp * sr, cp * cr]])


@dataclass
class State:
    """Everything at one configuration; world axes."""

    axle_force: np.ndarray
    axle_moment: np.ndarray  # about the datum point
    sprung_force: np.ndarray
    sprung_moment: np.ndarray  # about the datum point
    thrust: np.ndarray  # left, right
    shaft_torque: float
    rod_force: np.ndarray  # tension positive
    coil_length: np.ndarray
    coil_force: np.ndarray  # compression positive
    front_load: np.ndarray  # left, right
    rear_load: np.ndarray
    front_hub: np.ndarray  # heights of the body points at the front hubs
    axle_seat: float  # height of the body point at the drawn axle centre


class Car:
    """Inputs as the reference cases write them."""

    def __init__(self, car, rods, coilovers, gravity):
        self.car, self.g = car, gravity
        self.centre = np.array([0.0, 0.0, car["design_axle_height"]])
        links = [*rods, *coilovers]
        self.frame = np.array([r["a"] for r in links], float)
        self.housing = np.array([r["b"] for r in links], float) - self.centre
        as_drawn = np.linalg.norm(self.housing + self.centre - self.frame, axis=1)
        self.n = n = len(rods)
        given = [r["length"] for r in rods]
        self.rod_length = np.array(
            [d if g is None else g for d, g in zip(as_drawn[:n], given, strict=True)]
        )
        self.rod_stiffness = np.array([r["stiffness"] for r in rods], float)
        self.coil_rate = np.array([c["rate"] for c in coilovers], float)
        self.coil_free = np.array([c["free_length"] for c in coilovers], float)
        half, axle_half = car["front_track"] / 2, car["rear_track"] / 2
        length, hub = car["wheelbase"], car["front_hub_height"]
        # Points of the sprung mass: its CG, the front hubs, the drawn axle centre.
        self.sprung = np.array(
            [car["sprung_cg"], [length, half, hub], [length, -half, hub], self.centre], float
        )
        # Points of the axle from its centre: its CG and the wheel centres.
        self.axle = np.array(
            [np.array(car["axle_cg"]) - self.centre, [0, axle_half, 0], [0, -axle_half, 0]], float
        )
        self.weight = (car["sprung_mass"] + car["axle_mass"]) * gravity
        self.drawn = np.array([0, 0, 0, 0, 0, car["design_axle_height"], 0, 0, 0], float)
        # Moments count as forces at half the wheelbase.
        lever = length / 2
        self.scale = self.weight * np.array([1, lever, lever, 1, 1, 1, lever, lever, lever])

    def state(self, u, acceleration):
        car = self.car
        body, p, turn = sprung_rotation(u[1], u[2]), u[3:6], rotation(*u[6:9])
        heave = np.array([0.0, 0.0, u[0]])
        top = self.frame @ body.T + heave
        bottom = self.housing @ turn.T + p
        line = bottom - top
        length = np.sqrt((line**2).sum(axis=1))
        n = self.n
        rod_force = self.rod_stiffness * (length[:n] - self.rod_length)
        coil_force = np.maximum(self.coil_rate * (self.coil_free - length[n:]), 0.0)
        tension = np.concatenate([rod_force, -coil_force])
        # Tension draws the frame end down its line and the housing end up it.
        pull = (tension / length)[:, None] * line

        sprung = self.sprung @ body.T + heave
        axle = self.axle @ turn.T + p
        front_hub = sprung[1:3, 2]
        front = np.maximum(car["front_rate"] * (car["front_free_height"] - front_hub), 0.0)
        wheel_height = axle[1:, 2]
        rear = np.maximum(car["tyre_rate"] * (car["tyre_free_radius"] - wheel_height), 0.0)
        whole = (car["sprung_mass"] + car["axle_mass"]) * acceleration
        if car["differential"] == "open":
            thrust = np.full(2, whole / 2)
        elif car["differential"] == "locked":
            thrust = whole * rear / rear.sum()
        else:
            raise ValueError(f"differential {car['differential']}")
        # The usual engine (+1) loads the left rear tyre: it turns the housing left side down, about -x.
        torque = car["driveshaft_torque"] * (thrust @ wheel_height) / car["final_drive"]

        loads = np.zeros((3, 3))
        loads[0] = car["sprung_mass"] * np.array([-acceleration, 0.0, -self.g])
        loads[1:, 2] = front
        sprung_force = loads.sum(axis=0) + pull.sum(axis=0)
        sprung_moment = cross(sprung[:3], loads).sum(axis=0) + cross(top, pull).sum(axis=0)
        sprung_moment[0] += torque

        loads = np.zeros((3, 3))
        loads[0] = car["axle_mass"] * np.array([-acceleration, 0.0, -self.g])
        loads[1:, 0], loads[1:, 2] = thrust, rear
        at = axle.copy()
        at[1:, 2] = 0.0  # the contacts lie on the ground under the wheel centres
        axle_force = loads.sum(axis=0) - pull.sum(axis=0)
        axle_moment = cross(at, loads).sum(axis=0) - cross(bottom, pull).sum(axis=0)
        axle_moment[0] -= torque
        return State(
            axle_force,
            axle_moment,
            sprung_force,
            sprung_moment,
            thrust,
            torque,
            rod_force,
            length[n:],
            coil_force,
            front,
            rear,
            front_hub,
            sprung[3, 2],
        )

    def balance(self, start, acceleration):
        """The configuration in balance, found from a near one."""

        def out_of_balance(u):
            s = self.state(u, acceleration)
            moment = s.axle_moment - cross(u[3:6], s.axle_force)
            sprung = [s.sprung_force[2], s.sprung_moment[0], s.sprung_moment[1]]
            return np.concatenate([sprung, s.axle_force, moment]) / self.scale

        # MINPACK's hybrid method, Jacobian by differences. Metres and radians are left unscaled: its own
        # scaling, by the columns of the Jacobian, stops short of a solution now and then.
        found = root(out_of_balance, start, method="hybr", options={"xtol": 1e-12, "diag": np.ones(9)})
        if not found.success:
            raise RuntimeError(f"root at {acceleration} m/s2: {found.message}")
        return found.x

    def answers(self, u, acceleration, at_rest):
        """The fields of a row of a reference case; changes are from the configuration at 0 g."""
        s, zero = self.state(u, acceleration), self.state(at_rest, 0.0)
        lift = s.front_hub - zero.front_hub
        squat = zero.axle_seat - s.axle_seat
        return {
            "acceleration_g": acceleration / self.g,
            "sprung": {"z": u[0], "pitch": u[1], "roll": u[2]},
            "axle": dict(zip(["x", "y", "z", "phi", "theta", "psi"], u[3:9], strict=True)),
            "tyre_load": {
                "front_left": s.front_load[0],
                "front_right": s.front_load[1],
                "rear_left": s.rear_load[0],
                "rear_right": s.rear_load[1],
            },
            "thrust": s.thrust,
            "driveshaft_torque": s.shaft_torque,
            # What holds the whole car against turning about world z.
            "yaw_hold_moment": -(s.sprung_moment[2] + s.axle_moment[2]),
            "rod_force": s.rod_force,
            "coil_length": s.coil_length,
            "coil_force": s.coil_force,
            "front_lift": lift.mean(),
            "front_lift_left_right": lift,
            "rear_squat": squat,
            # The body point at the drawn axle centre, away from the axle.
            "rear_separation": -squat - (u[5] - at_rest[5]),
            "rear_load_difference": s.rear_load[0] - s.rear_load[1],
            "front_wheel_lifted": s.front_load <= 0.0,
        }
