//! Linear elastic space frames: how stiff a frame of tubes is, which tube matters, what each tube carries.
//!
//! - [`section`]: round and rectangular tubes from their sizes, with their rates by wall and outside diameter;
//! - [`model`]: nodes, members, rigid links, supports and loads, and what is wrong with them;
//! - [`solve`]: the structure kept while nodes are dragged, the factor of one shape, answers to many loads;
//! - [`motion`]: motions that nothing resists, found and named;
//! - [`rig`]: the twist and the bending test;
//! - [`sensitivity`]: what a thicker or larger tube brings, and each member's share of the strain energy;
//! - [`brace`]: what an added tube between two nodes brings;
//! - [`load_case`]: forces on masses in flight, balanced by one rigid acceleration;
//! - [`members`]: stresses, yield and column reserves.
//!
//! Frame: ISO 8855, x forward, y left, z up. SI throughout: m, N, kg, rad, Pa. Rotations and moments positive by
//! the right-hand rule. Small displacements; six freedoms a node, in the order x y z and rotations about x y z.
//! Out of range: plasticity, large displacement, buckling of the whole frame, crash, fatigue. No roll-over or crash
//! protection follows from these numbers. The crate does no I/O and keeps no state.

mod bodies;
pub mod brace;
mod element;
pub mod error;
pub mod load_case;
pub mod members;
pub mod model;
pub mod motion;
mod number;
pub mod rig;
pub mod section;
pub mod sensitivity;
pub mod solve;
mod symbolic;

pub use error::{FrameError, SolveError};
pub use model::{Frame, Load, Material, Member, Options, Pins, RigidLink, Support, Supports};
pub use section::{Section, SectionError, Shape};
pub use solve::{Factored, Solution, Symbolic};
