//! Launch reactions: the quasi-static balance of a car on its links, springs and tyres.
//!
//! For a given acceleration a along x the car settles where everything is in balance.
//!
//! **Unknowns** (nine): of the sprung mass the heave z (m), pitch θ_s and roll φ_s (rad), its
//! rotation being Ry(θ_s)·Rx(φ_s) about the datum origin, while it is held in x, y and
//! yaw; of the axle x, y, z (m) of the midpoint between the wheel centres and φ, θ, ψ (rad),
//! R = Rz(ψ)·Rx(φ)·Ry(θ). All in the frame that goes along with the car without turning, z from the ground.
//!
//! **What pushes**
//! - rods: elastic bars, force k·(length now − own length), tension positive; preload is a changed own length;
//! - coil-overs: springs along their own line, k·(length at zero force − length now), pushing only;
//! - rear tyres: vertical springs, k_t·(free radius − height of the wheel centre), pushing only;
//! - front end: two vertical wheel-rate springs under the body points (L, ±t_f/2, hub height),
//!   k_f·(free height − height of the point), pushing only; no longitudinal force there under
//!   power, the front unsprung mass is counted with the sprung mass;
//! - weights, and the inertia −m a at the sprung and at the axle centre of gravity;
//! - thrust F = (m_s + m_u)·a on the housing at the rear contact points (x, y of each wheel centre, on the
//!   ground): halves with an open differential, F_i = F·N_i/ΣN with a locked one;
//! - driveshaft torque T = Σ F_i·z_i/N (z_i height of wheel centre i, N final drive ratio): −T about x on the
//!   housing, +T on the sprung mass for an engine that turns clockwise seen from the front, which loads the left
//!   rear tyre; the other way round for a reversed engine;
//! - roll stiffness, only where given: rear K_r·(φ − φ_s) about x between axle and sprung mass; front a bar
//!   K_f between the two body points, force K_f·(z_left − z_right)/t_f² at each.
//!
//! **Braking** ([`Manoeuvre::Brake`], a negative): the whole force F = (m_s + m_u)·a is shared, p_r·F at the
//! rear contact points on the housing (the brakes are on it, so its links feel the torque) and (1 − p_r)·F
//! at the ground under the front body points on the sprung mass (the front end is a wheel rate: no
//! anti-dive), halves left and right; no driveshaft torque.
//!
//! A moment about z that uneven forces leave is held on the sprung mass and reported.
//!
//! The nine equations are solved by Newton's method with the analytic stiffness. Statically indeterminate rods need no
//! special case. With one front tyre in the air the balance goes on on three wheels. Where both are, or where the path
//! of balances turns back (a limit point), there is none beyond: a named result, [`LaunchError::NoBalance`].
//!
//! Sources: Gillespie, Fundamentals of Vehicle Dynamics, ch. 1, 2 and 7; Newton's method with the natural
//! monotonicity test and arclength continuation: Deuflhard, Newton Methods for Nonlinear Problems, ch. 3 and 5.

mod balance;
mod car;
mod first_order;
mod forces;
mod front_curve;
mod newton;
mod path;
mod settled;
mod turn;

pub use balance::{Balance, Checks, SprungPose, TyreLoads};
pub use car::{
    Differential, DrawnCoilover, LaunchCar, LaunchError, LaunchModel, Manoeuvre, ShaftTorque,
};
pub use first_order::FirstOrder;
pub use front_curve::FrontCurve;
pub use path::LimitKind;
pub use settled::{LiftPoint, Limit, SettledCar, TractionKind, TractionLimit};
