//! Readings of the brakes.

use super::Definition;

pub(super) const BRAKES: [Definition; 0] = [];
